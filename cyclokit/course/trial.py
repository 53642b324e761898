"""A file of tasks tried out: a thousand draws of numbers, what they give, and what is wrong with them."""

import math
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from cyclokit.course.draw import Draw
from cyclokit.course.folder import write_whole
from cyclokit.course.formulas import FunctionQuestion, OutlineQuestion
from cyclokit.course.kinds import ChoiceQuestion, NumberQuestion, Question
from cyclokit.course.sheets import Task, collisions, load_tasks, numbers_of, twin_of
from cyclokit.drive import Drive
from cyclokit.geometry import limits

DRAWS = 1000
TEMPLATE = Path(__file__).parent / "tasks" / "template.py"
TELLING = r"\b(too|larger|smaller|bigger|greater|higher|lower|twice|double|divide|multiply)\b"
COMMONEST = 0.25  # share of readers with one answer, above which a number can be copied

SENTENCES = {
    "sound": "drives: {count}, all sound",
    "unsound": "{count} of the drives are not sound",
    "collide": "{one} and {other} come within three tolerances in {count} draws, and are drawn anew",
    "common": "{share:.0%} of readers have the same answer, so that it can be copied: draw from wider ranges",
    "telling": "a line tells a direction, a factor or the answer: {line!r}",
    "wrong": "NOT YET FIT: ",
}


@dataclass(frozen=True)
class Trial:
    """What many draws of a task's numbers gave.

    Attributes
    ----------
    task : Task
        The task.
    numbers : dict
        Each number's least and greatest value and how many different ones, in words.
    answers : str
        The spread of the right answers, in words.
    remarks : tuple of str
        What an author should know.
    faults : tuple of str
        What must be changed before anybody gets the task.
    """

    task: Task
    numbers: dict[str, str]
    answers: str
    remarks: tuple[str, ...]
    faults: tuple[str, ...]

    def __str__(self) -> str:
        lines = [f"{self.task.letter}. {self.task.title} ({self.task.marks} marks)"]
        lines += [f"   {name}: {spread}" for name, spread in self.numbers.items()]
        lines += [f"   answer: {self.answers}"]
        lines += [f"   {remark}" for remark in self.remarks]
        lines += [f"   {SENTENCES['wrong']}{fault}" for fault in self.faults]
        return "\n".join(lines)


def try_file(name: str, draws: int = DRAWS) -> list[Trial]:
    """Try every task of a sheet or file.

    Parameters
    ----------
    name : str
        A sheet's name, or a file of tasks that ends in .py.
    draws : int
        How many sets of numbers.

    Returns
    -------
    list of Trial
        One a task.
    """
    return [try_task(task, draws) for task in load_tasks(name)[1]]


def try_task(task: Task, draws: int = DRAWS) -> Trial:
    """Draw a task's numbers many times, as for so many readers, and look at what comes."""
    drawn = [task.numbers(Draw(f"trial {number}/{task.letter}/0")) for number in range(draws)]
    questions = [task.question(**given) for given in drawn]
    pairs = Counter(pair for question in questions for pair in collisions(question))
    remarks = [
        SENTENCES["collide"].format(one=_called(one), other=_called(other), count=count)
        for (one, other), count in sorted(pairs.items())
    ]
    drives = [value for given in drawn for value in given.values() if isinstance(value, Drive)]
    unsound = sum(not limits.check(drive).sound for drive in drives)
    faults = [SENTENCES["unsound"].format(count=unsound)] if unsound else []
    remarks += [SENTENCES["sound"].format(count=len(drives))] if drives and not unsound else []
    answers = [_plain(question) for question in questions]
    share = Counter(answers).most_common(1)[0][1] / draws
    if share > COMMONEST and not isinstance(questions[0], ChoiceQuestion):
        faults.append(SENTENCES["common"].format(share=share))
    faults += [SENTENCES["telling"].format(line=line) for line in _telling(questions)]
    faults += _unwritten(task)
    return Trial(task, _spreads(drawn), _spread(answers, questions[0]), tuple(remarks), tuple(faults))


def new_file(target: Path) -> None:
    """Write the template of a file of tasks, never over a file that is there."""
    if target.exists() or target.suffix != ".py":
        raise ValueError(f"{str(target)!r} must be a file that is not there yet and ends in .py: give another name.")
    write_whole(target, TEMPLATE.read_bytes())


def _called(number: int) -> str:
    return f"slip {number}" if number else "the right answer"


def _telling(questions: list[Question]) -> list[str]:
    """Lines in which a direction or a factor stands, or a number near the answer."""
    told = (line for question in questions for line in lines_of(question) if gives_away(line, question.right))
    return list(dict.fromkeys(told))


def lines_of(question: Question) -> list[str]:
    """Every line that a wrong answer can bring up."""
    return [line for line in (question.look, *(slip.look for slip in question.slips)) if line]


def gives_away(line: str, right: Any) -> bool:
    """Whether a line tells a direction, a factor, or a number that is the answer."""
    words = re.sub(r'Lesson \d+[a-z]?(, "[^"]*")?', "", line)
    if re.search(TELLING, words, flags=re.IGNORECASE):
        return True
    if not isinstance(right, int | float):
        return False
    return any(math.isclose(float(number), abs(right), rel_tol=0.02) for number in re.findall(r"\d+(?:\.\d+)?", words))


def _unwritten(task: Task) -> list[str]:
    """What goes wrong where the texts are made, in words."""
    try:
        given = numbers_of(task, "trial")
        task.text.format(**given)
        task.worked(**twin_of(task, "trial"))
    except Exception as error:  # an author's file may raise anything
        return [f"{type(error).__name__}: {error}"]
    return []


def _plain(question: Question) -> Any:
    """The right answer as something that can be counted."""
    if isinstance(question, FunctionQuestion | OutlineQuestion):
        points = question.right if isinstance(question, OutlineQuestion) else question.value(question.right)
        return tuple(float(f"{number:.6g}") for number in np.ravel(points)[:4])
    return question.right


def _spreads(drawn: list[dict[str, Any]]) -> dict[str, str]:
    return {name: _range([given[name] for given in drawn]) for name in drawn[0]}


def _range(values: list[Any]) -> str:
    different = len(set(map(repr, values)))
    if all(isinstance(value, int | float) for value in values):
        return f"{min(values):g} to {max(values):g}, {different} different"
    if isinstance(values[0], Drive):
        ratios = [drive.trochoid_ratio for drive in values]
        pins = [drive.pins for drive in values]
        shape = f"{min(pins)} to {max(pins)} pins, trochoid ratio {min(ratios):.2f} to {max(ratios):.2f}"
        return f"{different} different, {shape}"
    return f"{different} different"


def _spread(answers: list[Any], question: Question) -> str:
    share = Counter(answers).most_common(1)[0][1] / len(answers)
    words = f"{len(set(answers))} different, the commonest for {share:.1%} of readers"
    if not isinstance(question, NumberQuestion):
        return words
    low, middle, high = np.quantile(np.array(answers, dtype=float), [0, 0.5, 1])
    return f"{low:g} to {high:g}{' ' * bool(question.unit)}{question.unit}, median {middle:g}; {words}"
