"""Exercise sheets: tasks with numbers of each reader's own, and checks that print one line.

A sheet knows one thing about its reader, the word from which all numbers are drawn. In practice the
reader picks it. Checks guide; they don't mark, because whoever has this library can work out what is right.
"""

import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from IPython.core.getipython import get_ipython
from IPython.display import Markdown, display

from cyclokit import __version__
from cyclokit.arguments import checked_kind
from cyclokit.course.answers import yours
from cyclokit.course.answers.outcomes import RIGHT, Judged, judge
from cyclokit.course.answers.reading import one_line
from cyclokit.course.sheets.hand_in import HandIn, data_of, entry
from cyclokit.course.sheets.library import load_tasks
from cyclokit.course.sheets.task import Asked, Given, Task, asked, normalised, twin_of
from cyclokit.signatures import read
from cyclokit.texts import shown

RUNGS = 3
SHEETS_WORD = "turntable"  # what stands in a blank sheet

SENTENCES = {
    "task": "{text}\n\n*{marks} marks.* Set {names}. {accepted}",
    "quiet": "There are no other looks in an examination.",
    "more": '\n\n*Another look:* `sheet.another_look("{letter}", {rung})`',
    "word": "The word is still the sheet's own.",
}


class NotYetRight(Exception):
    """What a check raises where pytest runs the sheet, so that pytest fails there."""


@dataclass(frozen=True, repr=False)
class Sheet:
    """A sheet with one reader's numbers."""

    title: str
    tasks: dict[str, Task]  # by their letters
    name: str  # what the numbers are drawn from: the sheet's own, and the reader's word
    word: str  # as it is `normalised`
    quiet: bool  # whether checks say only what was read, as in an examination
    edition: int  # that was handed out
    _asked: dict[str, Asked] = field(default_factory=dict, init=False)

    def __repr__(self) -> str:
        marks, count = sum(task.marks for task in self.tasks.values()), len(self.tasks)
        return f"{self.title}: {count} task{'s' * (count != 1)}, {marks} marks"

    def ask(self, letter: str) -> Given:
        """Show a task with the reader's numbers, and return the numbers by their names."""
        task, (given, question) = self._task(letter), self.asked(letter)
        display(Markdown(task_shown(task, Asked(given, question))))
        return Given(**vars(given))  # a copy, so that a reader who changes one doesn't change the question

    def check_yourself(self, letter: str) -> None:
        """Print one line about the answer to a task; the answer is looked up by its name.

        Raises
        ------
        NotYetRight
            Only where pytest runs the sheet, with the same line and the word, for anything but a right answer.
        """
        judged = self.outcome(letter, vars(sys.modules["__main__"]))  # where a notebook's variables are
        under_pytest = run_by_pytest()
        name = f'{letter}, word "{one_line(self.word)}"' if under_pytest else letter
        line = judged.quiet_line(name) if self.quiet else judged.line(name)
        if self.word == SHEETS_WORD:
            line = f"{line} {SENTENCES['word']}"
        if judged.outcome != RIGHT and under_pytest:
            raise NotYetRight(line) from None
        print(line)

    def outcome(self, letter: str, answers: Mapping[str, object]) -> Judged:
        """What comes of the answer to a task; nothing is printed or raised. What isn't there is open."""
        answer = tuple(answers.get(name, yours) for name in self._task(letter).names)
        return judge(self.asked(letter).question, answer if len(answer) > 1 else answer[0])

    def hand_in(self) -> HandIn:
        """Show what is read from each answer, and keep it as data in the output of this cell, to be handed in."""
        names, shell = vars(sys.modules["__main__"]), get_ipython()
        entries = {letter: entry(task, self.asked(letter).question, names) for letter, task in self.tasks.items()}
        cells = list(shell.user_ns.get("In", [])) if shell is not None else []
        asked_for = [name for task in self.tasks.values() for name in task.names]
        data = data_of(self.name, self.word, self.edition, __version__, entries, cells, asked_for)
        return HandIn(data, SENTENCES["word"] if self.word == SHEETS_WORD else "")

    def another_look(self, letter: str, rung: int = 1) -> None:
        """Show another way to look at a task; nothing counts or remembers it.

        Rung 1 is the task in other words, 2 the place in the lesson, 3 a worked twin with other numbers.
        """
        task = self._task(letter)
        if type(rung) is not int or not 1 <= rung <= RUNGS:
            raise ValueError(f"rung is {shown(rung)}, but must be 1, 2 or {RUNGS}: begin with 1.")
        if self.quiet:
            display(Markdown(SENTENCES["quiet"]))
        elif rung == RUNGS:
            display(Markdown(task.worked(twin_of(task, self._drawn_from, self.edition))))
        else:
            more = SENTENCES["more"].format(letter=letter, rung=rung + 1)
            display(Markdown((task.other_words, task.place)[rung - 1] + more))

    def asked(self, letter: str) -> Asked:
        """A task's numbers and question, drawn once."""
        if letter not in self._asked:
            self._asked[letter] = asked(self._task(letter), self._drawn_from, self.edition)
        return self._asked[letter]

    @property
    def _drawn_from(self) -> str:
        return f"{self.name}/{self.word}"

    def _task(self, letter: str) -> Task:
        if not isinstance(letter, str) or letter not in self.tasks:
            raise ValueError(f"letter is {shown(letter)}, but the tasks are {', '.join(self.tasks)}: take one.")
        return self.tasks[letter]


def open_sheet(name: str | Path, word: str, quiet: bool = False, edition: int = 1) -> Sheet:
    """A sheet with the numbers that follow from a word.

    Parameters
    ----------
    name : str or Path
        The sheet's name, such as "one_lobe_fewer", or a file of tasks, such as "my_tasks.py".
    word : str
        Any text; the same text gives the same numbers. Capitals, blanks round it and how its accents are typed make no
        difference.
    quiet : bool
        True makes checks say only what was read.
    edition : int
        The edition that stands in the sheet: it has the same numbers for ever.

    Returns
    -------
    Sheet
        The sheet.

    Raises
    ------
    ValueError
        If there is no such sheet, file or edition, the file holds no tasks, or the word is empty.
    """
    if not isinstance(word, str) or not normalised(word):
        raise ValueError(f"word is {shown(word)}, but must be a text with something in it: put a word in quotes.")
    checked_kind("quiet", quiet, bool)
    found = load_tasks(name)
    if type(edition) is not int or edition not in found.editions:
        raise ValueError(
            f"edition is {shown(edition)}, but of this sheet the library here has {_listed(found.editions)}, so it "
            "can't judge yours: use the version of cyclokit that the sheet was handed out with, or take a fresh sheet."
        )
    tasks = {task.letter: task for task in found.tasks}
    return Sheet(found.title, tasks, found.name, normalised(word), quiet, edition)


@read
def outcomes(sheet: Sheet, answers: Mapping[str, object]) -> dict[str, Judged]:
    """What comes of a whole sheet's answers, by letters; nothing is printed or raised. What isn't there is open."""
    return {letter: sheet.outcome(letter, answers) for letter in sheet.tasks}


@read
def task_shown(task: Task, ask: Asked) -> str:
    """A task as a reader sees it: text, marks, names to set, tolerance."""
    names = " and ".join(f"`{name}`" for name in task.names)
    words = {"text": task.shown(ask.given), "marks": task.marks, "names": names, "accepted": ask.question.accepted}
    return SENTENCES["task"].format(**words).rstrip()


def run_by_pytest() -> bool:
    """Whether pytest runs this kernel: its first name is set from 8.2 on, the second in older ones too."""
    return "PYTEST_VERSION" in os.environ or "PYTEST_CURRENT_TEST" in os.environ


def _listed(editions: tuple[int, ...]) -> str:
    return f"edition{'s' * (len(editions) != 1)} {', '.join(map(str, editions))}"
