"""What is made of a reducer: the shape of each part, and the files for those who make it.

- `shapes`: closed loops in a plane (circle, a disc's outline, lines and arcs), and parts as stacks of slabs.
- `plates`, `bought`: each printed and each bought part; `solids`: all of them, as made and in their places.
- `contact`, `assembly`: what overlaps and what holds what; `order`: how it goes together; `parts`: list, axial rows.
- `curves`: a disc's outline as a spline and as arcs.
- `flat`, `paper`, `mesh`, `step`: DXF, SVG and CSV; sheets in true size; STL and 3MF; STEP.
- `files`: all of them, in a folder.
"""
