"""A file of tasks tried out: a thousand draws of numbers, what they give, and what is wrong with them."""

import json
import math
import re
import textwrap
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from keyword import iskeyword
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from cyclokit.course.answers.formulas import FunctionQuestion, OutlineQuestion
from cyclokit.course.answers.kinds import Asking, ChoiceQuestion, NumberQuestion, Question
from cyclokit.course.answers.reading import told
from cyclokit.course.sheets.library import Tasks, load_tasks
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.sheet import SHEETS_WORD, task_shown
from cyclokit.course.sheets.task import Given, Task, asked, collisions, normalised, twin_of
from cyclokit.drive import Drive
from cyclokit.files import as_path, write_whole
from cyclokit.geometry import limits
from cyclokit.signatures import read
from cyclokit.texts import plain, shown

DRAWS = 1000
TEMPLATE = Path(__file__).parent / "tasks" / "template.py"
TELLING = r"\b(too|larger|smaller|bigger|greater|higher|lower|twice|double|divide|multiply)\b"
TWICE = 20  # draws that are made a second time
TOLD = 0.5  # share of readers for whom a number in the text may be the answer by chance
COMMONEST = 0.25  # share of readers with one answer, above which a number can be copied

Thing = TypeVar("Thing")

SENTENCES = {
    "reader": "As the reader with the word {word} sees it:",
    "right": "Right answer: {right}",
    "twin": "Worked twin, with {given}, where {right} is right:",
    "seconds": "task {letter}: {seconds} s",
    "sound": "drives: {count}, all sound",
    "unsound": "{count} of the drives are not sound",
    "collide": "{one} and {other} come within three tolerances in {count} draws, and are drawn anew",
    "common": "{share:.0%} of readers have the same answer, so that it can be copied: draw from wider ranges",
    "telling": "a line tells a direction, a factor or the answer: {line!r}",
    "more telling": "and so do {count} more",
    "told": "the task's own text holds the answer for {share:.0%} of readers",
    "changing": "the numbers change from one draw to the next: draw them all with `draw`",
    "raised": "it can't be made: {error}",
    "worked": "the worked twin doesn't come to what the question calls right, {right}: work one of them out anew",
    "names": "its names are {names!r}: give a tuple of variables that a reader can set, such as ('a_length_mm',)",
    "letter": "its letter is {letter!r}: give a letter in quotes, such as 'a'",
    "marks": "its marks are {marks!r}: give a number above zero",
    "tolerance": "its tolerance is {tolerance!r}: give one above zero; zero only for a whole number that must be met",
    "no drive": "no Drive is drawn, so whether drives are sound isn't tried",
    "wrong": "NOT YET FIT: ",
}


@dataclass(frozen=True)
class _Trial:
    """What many draws of a task's numbers gave, in words."""

    task: Task
    numbers: dict[str, str]  # each one's least and greatest value and how many different ones
    answers: str  # the spread of the right ones
    remarks: tuple[str, ...]  # what an author should know
    faults: tuple[str, ...]  # what must be changed before anybody gets the task
    reader: str = ""  # the task as one reader sees it, with its right answer and the worked twin

    def __str__(self) -> str:
        lines = [f"{self.task.letter}. {self.task.title} ({self.task.marks} marks)"]
        lines += [f"   {name}: {spread}" for name, spread in self.numbers.items()]
        lines += [f"   answer: {self.answers}"]
        lines += [f"   {remark}" for remark in self.remarks]
        lines += [f"   {SENTENCES['wrong']}{fault}" for fault in self.faults]
        lines += ["", textwrap.indent(self.reader, "   ")] if self.reader else []
        return "\n".join(lines)


@read
def try_file(
    name: str | Path, draws: int = DRAWS, word: str = SHEETS_WORD, say: Callable[[str], None] = lambda line: None
) -> list[_Trial]:
    """Try every task of a sheet or file, with so many sets of numbers, and show it as the reader with a word sees it.

    Once a second, if it takes so long, `say` is told which task is tried and for how many seconds.
    """
    found = load_tasks(name)
    return [try_task(task, found, draws, word, say) for task in found.tasks]


@read
def try_task(
    task: Task,
    found: Tasks | None = None,
    draws: int = DRAWS,
    word: str = SHEETS_WORD,
    say: Callable[[str], None] = lambda line: None,
) -> _Trial:
    """Draw a task's numbers many times, as for so many readers, and look at what comes."""
    try:
        return _tried(task, found or Tasks("trial", "", (task,), (1,)), draws, normalised(word), say)
    except (Exception, SystemExit) as error:  # an author's task may raise anything
        return _Trial(task, {}, "none", (), (_raised(error),))


def _tried(task: Task, found: Tasks, draws: int, word: str, say: Callable[[str], None]) -> _Trial:
    began = time.monotonic()
    drawn = [_draw(task, number, found.editions[-1]) for number in _timed(range(draws), task, began, say)]
    questions = [task.question(given) for given in _timed(drawn, task, began, say)]
    answers = [_plain(question) for question in questions]
    numbers = {name: _range([vars(given)[name] for given in drawn]) for name in vars(drawn[0])}
    changing = any(
        repr(_draw(task, number, found.editions[-1])) != repr(given) for number, given in enumerate(drawn[:TWICE])
    )
    faults = _faults(task, drawn, questions, answers, changing)
    if not all(map(_tolerance_fits, questions)):  # nothing can be compared
        return _Trial(task, numbers, _spread(answers, questions[0]), (), tuple(faults))
    try:
        reader, more = _as_a_reader(task, f"{found.name}/{word}", found.editions[-1], word)
    except (Exception, SystemExit) as error:  # an author's function may raise anything
        reader, more = "", [_raised(error)]
    remarks = tuple(_remarks(drawn, _timed(questions, task, began, say)))
    return _Trial(task, numbers, _spread(answers, questions[0]), remarks, (*faults, *more), reader)


def _timed(things: Iterable[Thing], task: Task, began: float, say: Callable[[str], None]) -> Iterator[Thing]:
    """The things one by one; once a second `say` is told for how long it has been."""
    told = int(time.monotonic() - began)
    for thing in things:
        seconds = int(time.monotonic() - began)
        if seconds > told:
            say(SENTENCES["seconds"].format(letter=task.letter, seconds=seconds))
            told = seconds
        yield thing


def _as_a_reader(task: Task, drawn_from: str, edition: int, word: str) -> tuple[str, list[str]]:
    """What one reader sees, what is right for them, the worked twin; and what is wrong with the twin."""
    ask = asked(task, drawn_from, edition)
    twin = twin_of(task, drawn_from, edition)
    worked, question = task.worked(twin), task.question(twin)
    given = ", ".join(f"{name} = {shown(value)}" for name, value in vars(twin).items())
    lines = [
        SENTENCES["reader"].format(word=plain(word)),
        textwrap.indent(task_shown(task, ask), "   "),
        SENTENCES["right"].format(right=right_in_words(ask.question)),
        SENTENCES["twin"].format(given=given, right=right_in_words(question)),
        textwrap.indent(worked, "   "),
    ]
    apart = isinstance(question, NumberQuestion) and not _holds(worked, question.right)
    return "\n".join(lines), [SENTENCES["worked"].format(right=right_in_words(question))] if apart else []


@read
def right_in_words(question: Asking) -> str:
    """The right answer as a check says what it read."""
    if isinstance(question, ChoiceQuestion):
        return question.right + ", and a reason" * question.reason
    return question.said(question.right, question.value(question.right))


def _draw(task: Task, number: int, edition: int) -> Given:
    return task.numbers(Draw(f"trial {number}/{task.letter}/0", edition))


def _drives(drawn: list[Given]) -> list[Drive]:
    return [value for given in drawn for value in vars(given).values() if isinstance(value, Drive)]


def _remarks(drawn: list[Given], questions: Iterable[Question]) -> list[str]:
    """Slips that collide, and whether drives were looked at."""
    pairs = Counter(pair for question in questions for pair in collisions(question))
    remarks = [
        SENTENCES["collide"].format(one=_called(one), other=_called(other), count=count)
        for (one, other), count in sorted(pairs.items())
    ]
    drives = _drives(drawn)
    if all(limits.check(drive).sound for drive in drives):
        remarks.append(SENTENCES["sound"].format(count=len(drives)) if drives else SENTENCES["no drive"])
    return remarks


def _faults(task: Task, drawn: list[Given], questions: list[Question], answers: list[Any], changing: bool) -> list[str]:
    """What makes the task unfit."""
    faults = [] if _names_fit(task.names) else [SENTENCES["names"].format(names=task.names)]
    letter_fits = isinstance(task.letter, str) and task.letter != "" and f"given_{task.letter}".isidentifier()
    faults += [] if letter_fits else [SENTENCES["letter"].format(letter=task.letter)]
    marks_fit = isinstance(task.marks, int | float) and 0 < task.marks < math.inf
    faults += [] if marks_fit else [SENTENCES["marks"].format(marks=task.marks)]
    unfit = [question for question in questions if not _tolerance_fits(question)]
    faults += [SENTENCES["tolerance"].format(tolerance=unfit[0].tolerance)] if unfit else []  # type: ignore[attr-defined]
    unsound = sum(not limits.check(drive).sound for drive in _drives(drawn))
    faults += [SENTENCES["unsound"].format(count=unsound)] if unsound else []
    if changing:
        return [*faults, SENTENCES["changing"]]
    if not isinstance(questions[0], ChoiceQuestion):
        share = Counter(answers).most_common(1)[0][1] / len(answers)
        faults += [SENTENCES["common"].format(share=share)] if share > COMMONEST else []
    held = sum(_holds(task.shown(given), question.right) for given, question in zip(drawn, questions, strict=True))
    faults += [SENTENCES["told"].format(share=held / len(drawn))] if held > TOLD * len(drawn) else []
    telling = _telling(questions)
    faults += [SENTENCES["telling"].format(line=line) for line in telling[:1]]
    faults += [SENTENCES["more telling"].format(count=len(telling) - 1)] if telling[1:] else []
    return faults


def new_file(target: str | Path) -> None:
    """Write the template of a file of tasks, named like the file, never over a file that is there."""
    target = as_path("target", target)
    if target.exists() or target.suffix != ".py":
        raise ValueError(
            f"target is {str(target)!r}, but must be a file that is not there yet and ends in .py: give another name."
        )
    name = json.dumps(target.stem, ensure_ascii=False)  # in quotes, as Python reads it too
    write_whole(target, TEMPLATE.read_text(encoding="utf-8").replace('NAME = "my_tasks"', f"NAME = {name}").encode())


def _raised(error: BaseException) -> str:
    return SENTENCES["raised"].format(error=told(error))


def _names_fit(names: Any) -> bool:
    """Whether a reader can set variables of these names."""
    fit = isinstance(names, tuple) and all(isinstance(name, str) and name.isidentifier() for name in names)
    return fit and bool(names) and not any(map(iskeyword, names))


def _tolerance_fits(question: Question) -> bool:
    """Whether a right answer can be met: within a tolerance, or just, if it is a number of few figures."""
    tolerance = getattr(question, "tolerance", 1.0)  # of the other kinds none is asked for
    if isinstance(tolerance, bool) or not isinstance(tolerance, int | float):
        return False
    if isinstance(question, NumberQuestion) and tolerance == 0:
        return float(f"{question.right:.6g}") == question.right
    return 0 < tolerance < math.inf


def _called(number: int) -> str:
    return f"slip {number}" if number else "the right answer"


def _telling(questions: list[Question]) -> list[str]:
    """Lines in which a direction or a factor stands, or a number near the answer."""
    told = (line for question in questions for line in lines_of(question) if gives_away(line, question.right))
    return list(dict.fromkeys(told))


@read
def lines_of(question: Asking) -> list[str]:
    """Every line that a wrong answer can bring up."""
    return [line for line in (question.look, *(slip.look for slip in question.slips)) if line]


@read
def gives_away(line: str, right: Any) -> bool:
    """Whether a line tells a direction, a factor, or a number that is the answer."""
    words = re.sub(r'Lesson \d+[a-z]?(, "[^"]*")?', "", line)
    return bool(re.search(TELLING, words, flags=re.IGNORECASE)) or _holds(words, right)


def _holds(words: str, right: Any) -> bool:
    """Whether a number in a text is the right answer, or nearly."""
    if not isinstance(right, int | float):
        return False
    return any(math.isclose(float(number), abs(right), rel_tol=0.02) for number in re.findall(r"\d+(?:\.\d+)?", words))


def _plain(question: Question) -> Any:
    """The right answer as something that can be counted."""
    if isinstance(question, FunctionQuestion | OutlineQuestion):
        points = question.right if isinstance(question, OutlineQuestion) else question.value(question.right)
        return tuple(float(f"{number:.6g}") for number in np.ravel(points)[:4])
    return question.right


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
