"""A task as its author writes it, and one reader's share of it: numbers, question, worked twin."""

import unicodedata
from abc import ABC, abstractmethod
from dataclasses import replace
from itertools import combinations
from types import SimpleNamespace
from typing import Any, NamedTuple

from cyclokit.course.answers.kinds import Asking, Question
from cyclokit.course.sheets.lots import Draw
from cyclokit.signatures import read

APART = 3  # tolerances by which every slip keeps away from the truth and from the other slips
MOST_DRAWS = 1000

Given = SimpleNamespace  # one reader's numbers, by their names


class Task(ABC):
    """One task of a sheet: its text, then how numbers are drawn, the question with its slips, a worked solution.

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
    other_words, place : str
        The first two rungs of `another_look`: the task in other words, and where the lesson has it.
    """

    letter: str
    title: str
    marks: int
    text: str
    names: tuple[str, ...]
    other_words: str
    place: str

    @abstractmethod
    def numbers(self, draw: Draw) -> Given:
        """Draw a reader's numbers."""

    @abstractmethod
    def question(self, given: Given) -> Question:
        """The right answer for these numbers, how near it must be met, and the slips."""

    @abstractmethod
    def worked(self, given: Given) -> str:
        """A solution in words; with other numbers it is the third rung of `another_look`."""

    def shown(self, given: Given) -> str:
        """The text with a reader's numbers in it."""
        return self.text.format(**vars(given))


class Asked(NamedTuple):
    """What a reader is asked: their numbers, and the question that these make."""

    given: Given
    question: Question


@read
def normalised(word: str) -> str:
    """The word from which numbers are drawn: blanks round it, capitals and how its accents are typed don't count.

    Two words are the same by "canonical caseless matching" of the Unicode Standard, section 3.13, D145; the result is
    composed (NFC).
    """
    folded = unicodedata.normalize("NFD", word.strip()).casefold()
    return unicodedata.normalize("NFC", folded)


@read
def asked(task: Task, word: str, edition: int = 1) -> Asked:
    """What a reader is asked: of the first draw that keeps every slip apart from the truth and the others.

    The word is already normalised, with the sheet's name before it. A slip that is newer than the edition refuses no
    draw; where it collides, it is left out. ValueError if no draw does.
    """
    for number in range(MOST_DRAWS):
        given = task.numbers(Draw(f"{word}/{task.letter}/{number}", edition))
        question: Any = task.question(given)
        newer = [slip for slip in question.slips if slip.since > edition]
        if newer:
            question = replace(question, slips=tuple(slip for slip in question.slips if slip.since <= edition))
        if not collisions(question):
            return Asked(given, _with_newer(question, newer))
    raise ValueError(f"task {task.letter} finds no numbers that keep its slips apart: change its numbers or slips.")


@read
def numbers_of(task: Task, word: str, edition: int = 1) -> Given:
    """A reader's numbers alone."""
    return asked(task, word, edition).given


@read
def twin_of(task: Task, word: str, edition: int = 1) -> Given:
    """Other numbers, whose right answer is another one."""
    question = asked(task, word, edition).question
    for number in range(MOST_DRAWS):
        other = asked(task, f"{word}/twin {number}", edition)
        right = other.question.right
        if isinstance(right, str) or question.apart(question.value(right), question.value(question.right)) > APART:
            return other.given
    raise ValueError(f"task {task.letter} has only one answer: draw its numbers from wider ranges.")


@read
def collisions(question: Asking) -> list[tuple[int, int]]:
    """Pairs of answers nearer than three tolerances; 0 is the right one, 1 the first slip, and so on."""
    values = [question.value(known) for known in (question.right, *(slip.wrong for slip in question.slips))]
    return [
        (one, other)
        for one, other in combinations(range(len(values)), 2)
        if question.apart(values[other], values[one]) <= APART
    ]


def _with_newer(question: Any, newer: list[Any]) -> Question:
    for slip in newer:
        more = replace(question, slips=(*question.slips, slip))
        question = question if collisions(more) else more
    return question
