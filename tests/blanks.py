"""Make the blank exercise sheets from the solved ones.

    python -m tests.blanks

A cell of a solved sheet that sets an answer keeps, in the blank, only that: the answer's name and
`yours`, or the function's head and `return yours`. All other cells stay as they are. Outputs are fresh,
and those of the checks are left out.
"""

import ast
from copy import deepcopy
from pathlib import Path

import nbformat

from cyclokit.course.reader.folder import notebooks
from cyclokit.course.sheets.library import load_tasks
from tests.refresh import refresh

SOLVED = Path(__file__).parent / "course" / "sheets" / "solved"


def sheet_name(path):
    """The name under which a sheet is opened: 03_one_lobe_fewer.ipynb -> one_lobe_fewer."""
    return path.stem.partition("_")[2]


def answer_names(path):
    """Every name that the sheet asks for."""
    return {name for task in load_tasks(sheet_name(path)).tasks for name in task.names}


def without_answers(notebook, names):
    """A copy of a notebook in which the answers with these names are open again."""
    copy = deepcopy(notebook)
    for cell in copy.cells:
        if cell.cell_type == "code":
            cell.source = _opened(cell.source, names)
    return copy


def without_check_outputs(notebook):
    """A copy of a notebook in which no check has printed anything, and nothing is handed in."""
    copy = deepcopy(notebook)
    for cell in copy.cells:
        if cell.source.startswith(("sheet.check_yourself(", "sheet.hand_in(")):
            cell.outputs = []
    return copy


def make_blank(solved, target):
    """Write the blank of a solved sheet."""
    notebook = nbformat.read(solved, as_version=4)
    nbformat.write(without_answers(notebook, answer_names(solved)), target)
    refresh(target)
    nbformat.write(without_check_outputs(nbformat.read(target, as_version=4)), target)


def _opened(source, names):
    statements = ast.parse(source).body
    answers = dict.fromkeys(text for statement in statements for text in _open_answers(source, statement, names))
    return "\n".join(answers) if answers else source


def _open_answers(source, statement, names):
    """The statement with `yours` for every answer that it sets; nothing if it sets none."""
    if isinstance(statement, ast.FunctionDef) and statement.name in names:
        docstring = statement.body[0]
        head = source.splitlines()[statement.lineno - 1 : docstring.end_lineno]
        return ["\n".join([*head, "    return yours"])]
    stored = [part.id for part in ast.walk(statement) if isinstance(part, ast.Name) and isinstance(part.ctx, ast.Store)]
    return [f"{name} = yours" for name in stored if name in names]


if __name__ == "__main__":
    for path in sorted(SOLVED.glob("*.ipynb")):
        make_blank(path, notebooks() / "exercises" / path.name)
