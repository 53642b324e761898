"""The blank sheet of a file of tasks: a notebook in which every answer is open."""

import json
import os
from pathlib import Path
from typing import Any

from cyclokit.course.sheets.library import Tasks, load_tasks
from cyclokit.course.sheets.sheet import SHEETS_WORD
from cyclokit.course.sheets.task import Task
from cyclokit.files import alone, as_path, write_whole
from cyclokit.signatures import read

HEAD = """# {title}: exercise sheet

- **Marks:** {marks}, in {count}; each task says how many.
- **Your numbers:** they are drawn from a word. Put a word of your own into the first cell and keep it; another word \
gives other numbers. Leave the edition as it is.
- **How it goes:** run a task's cell with Shift + Enter and read it. Put your answer in place of `yours`; add cells of \
your own wherever you like; then run the check. It tells what it read and, if need be, one thing to look at.
- **Stuck?** Put `sheet.another_look("a")` into a new cell. There are three such looks at each task, and nobody counts \
them.

A check guides; it is no mark, and it can't read a reason."""
FIRST = """import numpy as np
import sympy as sp

from cyclokit.course.answers import yours
from cyclokit.course.sheets import open_sheet

my_word = {word}
sheet = open_sheet({file}, my_word, edition={edition})
sheet"""
LAST = """## Hand it in

In a class: run this cell last, save the notebook, and hand in the file as it is. The cell shows what is read from \
each answer and keeps it as data; it says nothing about you but your word. After every change run it again."""
HAND_IN = "sheet.hand_in()"
VARIES = ["nbval-ignore-output"]  # nbval doesn't compare what hangs on the reader


def write(name: str | Path, target: str | Path) -> None:
    """Write the blank sheet of a file of tasks or of a sheet of the library, never over a file that is there.

    The file of tasks must be found from the notebook's folder as it can now.

    Raises
    ------
    ValueError
        If the target is there already or doesn't end in .ipynb, or the file holds no tasks.
    """
    found, target = load_tasks(name), as_path("target", target)
    if target.suffix != ".ipynb":
        raise ValueError(f"target is {str(target)!r}, but must be a notebook's, ending in .ipynb: give another name.")
    file = Path(os.path.relpath(name, target.parent)).as_posix() if str(name).endswith(".py") else str(name)
    text = json.dumps(notebook(found, file), indent=1, ensure_ascii=False) + "\n"
    with alone(target):
        if target.exists():
            raise ValueError(f"target {str(target)!r} is there already and was not touched: give another name.")
        write_whole(target, text.encode())


@read
def notebook(found: Tasks, file: str) -> dict[str, Any]:
    """The blank sheet of some tasks, which opens them by the name of a sheet or of a file."""
    marks, count = sum(task.marks for task in found.tasks), len(found.tasks)
    head = HEAD.format(title=found.title, marks=marks, count=f"{count} task{'s' * (count != 1)}")
    words = {"word": json.dumps(SHEETS_WORD), "file": json.dumps(file, ensure_ascii=False)}
    cells = [_cell(head), _cell(FIRST.format(edition=found.editions[-1], **words), [])]
    cells += [cell for task in found.tasks for cell in _cells(task)]
    cells += [_cell(LAST), _cell(HAND_IN, VARIES)]
    kernel = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
    return {
        "cells": [{**cell, "id": f"cell-{number:02d}"} for number, cell in enumerate(cells)],
        "metadata": {"kernelspec": kernel, "language_info": {"name": "python"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def _cells(task: Task) -> list[dict[str, Any]]:
    letter = task.letter
    return [
        _cell(f"## {letter}. {task.title}"),
        _cell(f'given_{letter} = sheet.ask("{letter}")', VARIES),
        _cell("\n".join(f"{name} = yours" for name in task.names), []),
        _cell(f'sheet.check_yourself("{letter}")', VARIES),
    ]


def _cell(text: str, tags: list[str] | None = None) -> dict[str, Any]:
    """A cell of text, or one of code where there are tags, if only none."""
    source = text.splitlines(keepends=True)
    if tags is None:
        return {"cell_type": "markdown", "metadata": {}, "source": source}
    metadata = {"tags": tags} if tags else {}
    return {"cell_type": "code", "execution_count": None, "metadata": metadata, "outputs": [], "source": source}
