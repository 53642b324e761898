"""Exercise sheets: numbers of one's own, tasks, and what comes of an answer.

- `blank.write`: Write the blank sheet of a file of tasks or of a sheet of the library, never over a file that is there
- `blank.notebook`: The blank sheet of some tasks, which opens them by the name of a sheet or of a file
- `hand_in.data_of`: All that is handed in, with its receipt code
- `hand_in.entry`: What is kept of the answer to a task
- `hand_in.cell_hash`: The hash of a cell's source; blanks at its ends make no difference
- `hand_in.receipt`: Eight letters and digits that follow from the data, whatever the order of its parts
- `hand_in.code`: As many letters and digits, five bits each, that are not taken for one another
- `hand_in.sets`: Whether a cell seems to set the answer with this name
- `hand_in.HandIn`: What the last cell shows, and keeps
- `library.Tasks`: What a sheet is made of
- `library.load_tasks`: The tasks of a sheet, by its name or from a file; refuses a file that holds none
- `library.sheet_names`: The names of all sheets that the library has
- `lots.Draw`: Draws one number after the other
- `sheet.NotYetRight`: What a check raises where pytest runs the sheet, so that pytest fails there
- `sheet.Sheet`: A sheet with one reader's numbers
- `sheet.open_sheet`: A sheet with the numbers that follow from a word
- `sheet.outcomes`: What comes of a whole sheet's answers; nothing is printed or raised
- `sheet.task_shown`: A task as a reader sees it: text, marks, names to set, tolerance
- `sheet.run_by_pytest`: Whether pytest runs this kernel
- `task.Task`: One task of a sheet: its text, then how numbers are drawn, the question with its slips, a worked solution
- `task.Asked`: What a reader is asked: their numbers, and the question that these make
- `task.normalised`: The word from which numbers are drawn; blanks round it and capitals don't count
- `task.asked`: What a reader is asked: of the first draw that keeps every slip apart from the truth and the others
- `task.numbers_of`: A reader's numbers alone
- `task.twin_of`: Other numbers, whose right answer is another one
- `task.collisions`: Pairs of answers nearer than three tolerances; 0 is the right one, 1 the first slip, and so on
- `tasks`: The exercise sheets' tasks, one file a sheet, under the names of their lessons
- `trial.try_file`: Try every task of a sheet or file
- `trial.try_task`: Draw a task's numbers many times, as for so many readers, and look at what comes
- `trial.right_in_words`: The right answer as a check says what it read
- `trial.new_file`: Write the template of a file of tasks, named like the file, never over a file that is there
- `trial.lines_of`: Every line that a wrong answer can bring up
- `trial.gives_away`: Whether a line tells a direction, a factor, or a number that is the answer
"""

from cyclokit.course.sheets.sheet import open_sheet

__all__ = ["open_sheet"]
