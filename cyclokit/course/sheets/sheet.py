"""Exercise sheets: tasks with numbers of each reader's own, and checks that print one line.

A sheet knows one thing about its reader, the word from which all numbers are drawn. In practice the
reader picks it. Checks guide; they don't mark, because whoever has this library can work out what is right.
"""

import importlib
import importlib.util
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

from IPython.display import Markdown, display

from cyclokit.course.answers import yours
from cyclokit.course.answers.kinds import Question
from cyclokit.course.answers.outcomes import RIGHT, judge
from cyclokit.course.answers.reading import told
from cyclokit.course.sheets.lots import Draw

APART = 3  # tolerances by which every slip keeps away from the truth and from the other slips
MOST_DRAWS = 1000
RUNGS = 3

SENTENCES = {
    "task": "{text}\n\n*{marks} marks.* Set {names}. {accepted}",
    "quiet": "There are no other looks in an examination.",
    "more": '\n\n*Another look:* `sheet.another_look("{letter}", {rung})`',
}


class NotYetRight(Exception):
    """What a check raises where pytest runs the sheet, so that pytest fails there."""


@dataclass(frozen=True)
class Task:
    """One task of a sheet.

    Attributes
    ----------
    letter, title : str
        Its name within the sheet, and a few words.
    marks : int
        What it is worth.
    text : str
        The task, with the numbers' names in braces: "A coin of {radius_mm} mm radius ...".
    names : tuple of str
        The variables that the reader sets, with the unit in the name. Two for a choice with a reason.
    numbers : callable
        Draws the reader's numbers: takes a `Draw` and returns a dict.
    question : callable
        Takes these numbers by name and returns the question: right answer, tolerance and slips.
    other_words, place : str
        The first two rungs of `another_look`: the task in other words, and where the lesson has it.
    worked : callable
        The third rung: takes numbers by name and returns a solution in words.
    """

    letter: str
    title: str
    marks: int
    text: str
    names: tuple[str, ...]
    numbers: Callable[[Draw], dict[str, Any]]
    question: Callable[..., Question]
    other_words: str
    place: str
    worked: Callable[..., str]


@dataclass(frozen=True, repr=False)
class Sheet:
    """A sheet with one reader's numbers.

    Attributes
    ----------
    title : str
        The sheet's title.
    tasks : dict
        Its tasks by their letters.
    word : str
        What the numbers are drawn from.
    quiet : bool
        Whether checks say only what was read, as in an examination.
    """

    title: str
    tasks: dict[str, Task]
    word: str
    quiet: bool

    def __repr__(self) -> str:
        marks, count = sum(task.marks for task in self.tasks.values()), len(self.tasks)
        return f"{self.title}: {count} task{'s' * (count != 1)}, {marks} marks"

    def ask(self, letter: str) -> SimpleNamespace:
        """Show a task with the reader's numbers, and return the numbers.

        Parameters
        ----------
        letter : str
            The task.

        Returns
        -------
        SimpleNamespace
            The numbers by their names.
        """
        task = self._task(letter)
        given = numbers_of(task, self.word)
        names = " and ".join(f"`{name}`" for name in task.names)
        words = {"text": task.text.format(**given), "marks": task.marks, "names": names}
        display(Markdown(SENTENCES["task"].format(accepted=task.question(**given).accepted, **words).rstrip()))
        return SimpleNamespace(**given)

    def check_yourself(self, letter: str) -> None:
        """Print one line about the answer to a task; the answer is looked up by its name.

        Parameters
        ----------
        letter : str
            The task.

        Raises
        ------
        NotYetRight
            Only where pytest runs the sheet, with the same line, for anything but a right answer.
        """
        task = self._task(letter)
        set_by_reader = vars(sys.modules["__main__"])  # a notebook's variables are those of this module
        answers = tuple(set_by_reader.get(name, yours) for name in task.names)
        judged = judge(task.question(**numbers_of(task, self.word)), answers if len(answers) > 1 else answers[0])
        line = judged.quiet_line(letter) if self.quiet else judged.line(letter)
        if judged.outcome != RIGHT and run_by_pytest():
            raise NotYetRight(line) from None
        print(line)

    def another_look(self, letter: str, rung: int = 1) -> None:
        """Show another way to look at a task; nothing counts or remembers it.

        Parameters
        ----------
        letter : str
            The task.
        rung : int
            1 for the task in other words, 2 for the place in the lesson, 3 for a worked twin with other
            numbers.
        """
        task = self._task(letter)
        if rung not in range(1, RUNGS + 1):
            raise ValueError(f"rung is {rung!r}, but must be 1, 2 or {RUNGS}: begin with 1.")
        texts = (lambda: task.other_words, lambda: task.place, lambda: task.worked(**twin_of(task, self.word)))
        more = SENTENCES["more"].format(letter=letter, rung=rung + 1) if rung < RUNGS else ""
        display(Markdown(SENTENCES["quiet"] if self.quiet else texts[rung - 1]() + more))

    def _task(self, letter: str) -> Task:
        if letter not in self.tasks:
            raise ValueError(f"letter is {letter!r}, but the tasks are {', '.join(self.tasks)}: take one of these.")
        return self.tasks[letter]


def open_sheet(name: str, word: str, quiet: bool = False) -> Sheet:
    """A sheet with the numbers that follow from a word.

    Parameters
    ----------
    name : str
        The sheet's name, such as "one_lobe_fewer", or a file of tasks, such as "my_tasks.py".
    word : str
        Any text; the same text gives the same numbers.
    quiet : bool
        True makes checks say only what was read.

    Returns
    -------
    Sheet
        The sheet.

    Raises
    ------
    ValueError
        If there is no such sheet or file, the file holds no tasks, or the word is empty.
    """
    if not isinstance(word, str) or not word.strip():
        raise ValueError(f"word is {word!r}, but must be a text with something in it: put a word in quotes.")
    title, tasks = load_tasks(name)
    return Sheet(title, {task.letter: task for task in tasks}, f"{Path(name).stem}/{word}", quiet)


def load_tasks(name: str) -> tuple[str, tuple[Task, ...]]:
    """Title and tasks of a sheet, by its name or from a file; refuses a file that holds none."""
    module = _from_file(Path(name)) if name.endswith(".py") else _from_library(name)
    title, tasks = getattr(module, "TITLE", None), getattr(module, "TASKS", None)
    if not isinstance(title, str) or not isinstance(tasks, tuple) or {type(task) for task in tasks} != {Task}:
        raise ValueError(f"{name} must have a text TITLE and a tuple TASKS, such as TASKS = (task_a,): add them.")
    letters = [task.letter for task in tasks]
    if len(set(letters)) < len(letters):
        raise ValueError(f"{name} has tasks with the letters {', '.join(letters)}: give each a letter of its own.")
    return title, tasks


def run_by_pytest() -> bool:
    """Whether pytest runs this kernel: its first name is set from 8.2 on, the second in older ones too."""
    return "PYTEST_VERSION" in os.environ or "PYTEST_CURRENT_TEST" in os.environ


def sheet_names() -> list[str]:
    """The names of all sheets that the library has."""
    folder = Path(__file__).parent / "tasks"
    return sorted(path.stem for path in folder.glob("*.py") if path.stem not in {"__init__", "template"})


def numbers_of(task: Task, word: str) -> dict[str, Any]:
    """A reader's numbers: the first draw that keeps every slip apart from the truth and the others.

    Raises
    ------
    ValueError
        If no draw does.
    """
    for number in range(MOST_DRAWS):
        given = task.numbers(Draw(f"{word}/{task.letter}/{number}"))
        if not collisions(task.question(**given)):
            return given
    raise ValueError(f"task {task.letter} finds no numbers that keep its slips apart: change its numbers or slips.")


def twin_of(task: Task, word: str) -> dict[str, Any]:
    """Other numbers, whose right answer is another one."""
    question = task.question(**numbers_of(task, word))
    for number in range(MOST_DRAWS):
        other = numbers_of(task, f"{word}/twin {number}")
        right = task.question(**other).right
        if isinstance(right, str) or question.apart(question.value(right), question.value(question.right)) > APART:
            return other
    raise ValueError(f"task {task.letter} has only one answer: draw its numbers from wider ranges.")


def collisions(question: Question) -> list[tuple[int, int]]:
    """Pairs of answers nearer than three tolerances; 0 is the right one, 1 the first slip, and so on."""
    values = [question.value(known) for known in (question.right, *(slip.wrong for slip in question.slips))]
    return [
        (one, other)
        for one, other in combinations(range(len(values)), 2)
        if question.apart(values[other], values[one]) <= APART
    ]


def _from_library(name: str) -> ModuleType:
    if name not in sheet_names():
        raise ValueError(f"name is {name!r}, but the sheets are {', '.join(sheet_names())}: take one of these.")
    return importlib.import_module(f"cyclokit.course.sheets.tasks.{name}")


def _from_file(path: Path) -> ModuleType:
    if not path.is_file():
        raise ValueError(f"name is {str(path)!r}, but there is no such file of tasks: give its path.")
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None and spec.loader is not None  # both are there for a file that ends in .py
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except (Exception, SystemExit) as error:  # an author's file may raise anything
        raise ValueError(f"{path} can't be run ({told(error)}): correct it.") from error
    return module
