"""Learn how a cycloidal speed reducer works, then design, make and test one.

- `arguments.checked_count`: A whole number of any integer type, as an int
- `arguments.checked_number`: A number of any real type, as a float
- `arguments.checked_length`: A length in mm above zero, as a float
- `arguments.checked_choice`: One of a few words, as it is; a ValueError names those that are allowed
- `arguments.checked_kind`: Refuse an object of another kind than is needed, with what to give
- `arguments.finite`: Real finite numbers of any shape, as an array of floats
- `arguments.numbers`: Real numbers as `finite` takes them, infinite ones and NaN too, where these have a meaning
- `arguments.positive`: Finite numbers above zero, 1e-15 to 1e15, as `finite` returns them
- `arguments.from_zero`: Finite sizes from 0 to 1e15, as `finite` returns them
- `arguments.angles`: Finite angles, not so many turns that nothing is left of where they point
- `clone.start`: Set up the clone's own environment for the lessons, then open lesson 0
- `clone.test`: Set up the clone's own environment for the tests, then run them all
- `clone.elsewhere`: Whether this Python isn't the one of the clone's environment, though there is one
- `clone.there`: Run a command of ours in the clone's environment; return its exit code
- `clone.constraints`: What makes pip take the versions that the tests were last seen to pass with
- `columns.Column`: What a column is to hold
- `columns.name_and_unit`: A heading's name and unit: "Length [cm]" and "length_cm" give "length" and "cm"
- `course`: What a course needs: the reader's folder, their own drive, questions that answer
- `design`: Designs that meet a brief, and which demand must give way where none does
- `drive.Drive`: The shape of a cycloidal drive: ring pins round a disc with one lobe fewer
- `drive.checked_pins`: A whole number of pins, 3 to 10 000, as an int; fewer than 3 hold no disc
- `files.as_path`: A path that was given as text or as a `Path`
- `files.make_folder`: Make a folder if it isn't there, with those above it
- `files.write_whole`: Write a file beside its place, then move it there, so that it is never half written
- `files.alone`: Keep everybody else who asks for the same out of a file's folder meanwhile
- `geometry`: Curves, limits and motion of a drive; every function takes the `Drive` first
- `machine`: A drive dressed as a machine: what is bought, the reducer and its file, its room, same parts
- `making`: What is made of a reducer: the shape of each part, and the files for those who make it
- `mechanics`: What forces do in a reducer
- `report.within`: Whether values keep their bounds, for arrays: the one comparison that reports and searches share
- `report.Limit`: One limit of a drive: `value` must stay below `bound`, or must not pass it
- `report.Report`: All limits of a drive, or of what is built on it, in the order in which they are judged
- `signatures.read`: Have a function refuse arguments of another kind than its signature says, by their names
- `tables.Fault`: A cell that can't be used: its row as a spreadsheet counts (0: the whole file), its column
- `tables.BadTable`: A table that can't be used as it is; `faults` has every bad cell
- `tables.Table`: What was read
- `tables.template`: A table to fill in: its header alone, which a spreadsheet opens as UTF-8
- `tables.written`: Rows as CSV that a spreadsheet opens as UTF-8
- `tables.read`: The rows of a table, if every cell can be used
- `texts.plain`: A text on one line, for a terminal or a message; what would act there is spelled out
- `texts.in_html`: A text for HTML or SVG: it is read there, and does nothing
- `texts.in_figure`: A text for a figure of Matplotlib's, in which no dollar begins a formula
- `texts.shown`: Any object in a message: as Python writes it, on one line, cut short where it is long
- `texts.in_table`: A table of HTML: each row's first cell heads it; what `in_html` makes safe must be so already
- `uncertainty.Line`: A straight line through measured points: ``y = intercept + slope x``
- `uncertainty.line`: The straight line of least squares through points whose y scatters and whose x doesn't
- `uncertainty.outliers`: Places of points too far off the straight line through the others, the farthest first
- `uncertainty.coverage_factor`: How many standard uncertainties to either side hold a stated share of what may be
- `uncertainty.rounded`: A value and its standard uncertainty with the digits that mean something
- `view`: Pictures of what the rooms below have computed: still ones and ones that move
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  (every command passes here first, an old Python's too)
    raise SystemExit(
        "cyclokit needs Python 3.11 or newer and this is Python %d.%d: install a newer one from "  # noqa: UP031
        "your system's packages or python.org, then type the command again with it." % sys.version_info[:2]
    )

from cyclokit.drive import Drive

__all__ = ["Drive"]
__version__ = "0.1.0"
