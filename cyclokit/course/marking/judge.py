"""What comes of an answer that was handed in as data: read strictly, held against the ledger. Nothing is run."""

import re
from typing import Annotated, Any, NamedTuple

import numpy as np

from cyclokit.course.answers.formulas import EQUAL, MOST_POINTS, OutlineQuestion, shares
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.answers.outcomes import LOOK_AGAIN, OPEN, RIGHT, UNREADABLE
from cyclokit.course.answers.reading import one_line
from cyclokit.course.marking import ledger
from cyclokit.course.marking.ledger import Row, TaskRow
from cyclokit.course.sheets.hand_in import MOST_WORDS
from cyclokit.course.sheets.library import load_tasks, sheet_names
from cyclokit.signatures import read
from cyclokit.texts import shown

NUMBER = re.compile(r"[+-]?\d{1,330}(\.\d{0,330})?([eE][+-]?\d{1,3})?", re.ASCII)

SENTENCES = {
    "number": "{text} is no number.",
    "count": "{count} numbers were handed in where {wanted} are expected.",
    "none": "Nothing of this kind was handed in.",
    "letter": "I need one of the letters {letters}.",
    "points": "I need 3 to {most} points with x and y.",
    "long": "It is too long.",
}


class Result(NamedTuple):
    """What came of an answer."""

    outcome: str  # one of the four that a sheet's check has
    read: str = ""  # on one line
    slip: int = 0  # from 1; 0 for none
    why: str = ""  # it can't be read
    reason: str = ""  # a choice's, in words


class _Unread(Exception):
    def __init__(self, sentence: str, **words: object) -> None:
        super().__init__(SENTENCES[sentence].format(**words))


def _checked_entry(name: str, value: object) -> None:
    """Refuse what is no entry of a hand-in, by an argument's name; `collect.read` gives them."""
    if not isinstance(value, dict) or not isinstance(value.get("state"), str):
        raise TypeError(f"{name} must be what was handed in for a task, with its state: read a notebook.")


Entry = Annotated[Row, _checked_entry]


@read
def judge(sheet: str, kept: TaskRow, entry: Entry | None) -> Result:
    """What comes of the answer to a task as the corrected ledger has it; never an exception, whatever the texts are."""
    if entry is None or entry["state"] == "still open":
        return Result(OPEN)
    if entry["state"] != "read":
        why = entry.get("why", "")
        return Result(UNREADABLE, why=one_line(why) if isinstance(why, str) else "")
    try:
        return KINDS[kept["kind"]](sheet, kept, entry)
    except _Unread as error:
        return Result(UNREADABLE, why=str(error))


def _number(sheet: str, kept: Row, entry: Row) -> Result:
    value = _real(_text(entry, "value"))
    slips = tuple(Slip(wrong, "") for wrong in kept["wrong"])
    question = NumberQuestion(kept["right"], kept["unit"], kept["tolerance"], "", slips)
    targets = [question.value(known) for known in (kept["right"], *kept["wrong"])]
    return _compared([question.apart(value, target) for target in targets], question.said(value, value))


def _choice(sheet: str, kept: Row, entry: Row) -> Result:
    letter, reason = _text(entry, "letter").strip().lower(), _text(entry, "reason").strip()
    letters = [kept["right"], *kept["wrong"]]
    if letter not in letters:
        raise _Unread("letter", letters=", ".join(sorted(letters)))
    if len(reason) > MOST_WORDS:
        raise _Unread("long")
    if kept["reason"] and not reason:
        return Result(OPEN)
    question = ChoiceQuestion(kept["right"], {})
    apart = [question.apart(letter, known) for known in letters]
    return _compared(apart, letter)._replace(reason=reason if kept["reason"] else "")


def _values(sheet: str, kept: Row, entry: Row) -> Result:
    texts = entry.get("values")
    if not isinstance(texts, list):
        raise _Unread("none")
    if len(texts) != len(kept["right"]):
        raise _Unread("count", count=len(texts), wanted=len(kept["right"]))
    value, tolerance = np.array([_real(text) for text in texts]), kept.get("tolerance", EQUAL)
    with np.errstate(over="ignore"):  # of numbers that are far away anyway
        apart = [float(shares(value, np.array(known), tolerance).max()) for known in (kept["right"], *kept["wrong"])]
    text = entry.get("text", "")
    shown = one_line(text) if isinstance(text, str) and text.strip() else ", ".join(f"{v:.6g}" for v in value[:3])
    return _compared(apart, shown)


def _outline(sheet: str, kept: Row, entry: Row) -> Result:
    pairs = [pair.split(" ") for pair in _text(entry, "points").split(";")]
    if not 3 <= len(pairs) <= MOST_POINTS or any(len(pair) != 2 for pair in pairs):
        raise _Unread("points", most=MOST_POINTS)
    question = outline_question(sheet, kept)
    value = question.value(np.array([[_real(text) for text in pair] for pair in pairs]))
    targets = (question.value(known) for known in (question.right, *(slip.wrong for slip in question.slips)))
    apart = []
    with np.errstate(over="ignore", invalid="ignore"):
        for target in targets:  # one after the other: most are right, and each takes time
            apart.append(float(question.apart(value, target)))
            if apart[-1] <= 1:
                break
    return _compared(apart, question.said(None, value))


@read
def outline_question(sheet: str, kept: TaskRow) -> OutlineQuestion:
    """The question of an outline, which follows from the numbers in the ledger; nothing is drawn."""
    if "right" in kept:
        slips = tuple(Slip(np.array(points), "") for points in kept["wrong"])
        return OutlineQuestion(np.array(kept["right"]), kept["tolerance"], "", slips)
    if sheet not in sheet_names():
        raise ValueError(f"sheet is {shown(sheet)}, but the sheets are {', '.join(sheet_names())}: take one of these.")
    if kept["kind"] != "outline":
        raise ValueError(f"kept is a task of the kind {kept['kind']}, but must be an outline: give another.")
    (task,) = [task for task in load_tasks(sheet).tasks if task.letter == kept["letter"]]
    question: Any = task.question(ledger.given(kept["given"]))
    slips = tuple(slip for slip in question.slips if slip.look in kept["looks"])
    return OutlineQuestion(question.right, kept["tolerance"], "", slips)


KINDS = {"number": _number, "choice": _choice, "expression": _values, "function": _values, "outline": _outline}


def _compared(apart: list[float], read: str) -> Result:
    """The first, right or a slip, that is within a tolerance."""
    near = next((place for place, distance in enumerate(apart) if distance <= 1), None)
    if near == 0:
        return Result(RIGHT, read)
    return Result(LOOK_AGAIN, read, slip=near or 0)


def _text(entry: Row, name: str) -> str:
    found = entry.get(name)
    if not isinstance(found, str):
        raise _Unread("none")
    return found


def _real(text: str) -> float:
    if not NUMBER.fullmatch(text) or not abs(value := float(text)) < np.inf:
        raise _Unread("number", text=one_line(text)[:40])
    return value
