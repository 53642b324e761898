"""What is made of a reducer: the shape of each part, and the files for those who make it.

- `shapes`: closed loops in a plane (circle, a disc's outline, lines and arcs), and parts as stacks of slabs.
- `solids`: what each part of a reducer is.
- `curves`: a disc's outline as a spline and as arcs.
- `lying`: how a part lies on a printer's bed.
- `paper_drive`, `drawing`: a drive to cut out and turn by hand; a disc's drawing for a workshop.
- `flat`, `paper`, `mesh`, `step`: DXF, SVG and CSV; sheets in true size; STL and 3MF; STEP.
- `printing`: a test piece and the table for what is measured on it; `allowances`: what follows from that table;
  `over_rollers`: the size of a disc over two gauge rollers, and what it says of a print.
- `files`: all of them, in a folder.
"""
