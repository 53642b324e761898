"""What a reader answers, read strictly, and what comes back: one line, never an exception.

`yours` stands where an answer is still open.
"""

import math
from dataclasses import dataclass
from numbers import Real

RIGHT, LOOK_AGAIN, UNREADABLE, OPEN = "right", "look again", "can't be read", "still open"


class _Yours:
    """Stands for an answer that nobody has given yet."""

    def __repr__(self) -> str:
        return OPEN


yours = _Yours()
ROUNDING = 1e-12  # relative: a whole number that came out of a sum is still whole


@dataclass(frozen=True)
class NumberQuestion:
    """A question whose answer is a number.

    Attributes
    ----------
    right : float
        The right value, in `unit`.
    unit : str
        The unit, "" for a plain number.
    tolerance : float
        Accepted relative departure; 0 for a whole number that must be met.
    look : str
        One thing to look at, and where, for whoever has another value.
    slips : dict
        Wrong values that have a known cause, each with its own thing to look at.
    """

    right: float
    unit: str
    tolerance: float
    look: str
    slips: dict[float, str]


@dataclass(frozen=True)
class ChoiceQuestion:
    """A question with a few answers to choose from by letter; `looks` has a line for each wrong one."""

    right: str
    looks: dict[str, str]


def judge(question: NumberQuestion | ChoiceQuestion, answer: object) -> tuple[str, str]:
    """Outcome and sentence for an answer, whatever object it is.

    Parameters
    ----------
    question : NumberQuestion or ChoiceQuestion
        What was asked.
    answer : object
        What the reader set; anything at all.

    Returns
    -------
    tuple of str
        One of the four outcomes, and what was read and what to look at.
    """
    if answer is yours:
        return OPEN, "Put your answer in place of `yours`."
    read = _judge_number if isinstance(question, NumberQuestion) else _judge_choice
    try:
        return read(question, answer)  # type: ignore[arg-type]  # the line above pairs them
    except Exception:  # an answer may raise at anything that is done with it
        return UNREADABLE, NEEDED.format(kind=_kind(answer))


NEEDED = "I need a plain number, and got something of type {kind}. An exact number goes into float(...)."


def _judge_number(question: NumberQuestion, answer: object) -> tuple[str, str]:
    if isinstance(answer, bool) or not isinstance(answer, Real):
        return UNREADABLE, NEEDED.format(kind=_kind(answer))
    value = float(answer)
    if not math.isfinite(value):
        return UNREADABLE, "I need a finite number."
    said = f"I read {value:.12g}{' ' + question.unit if question.unit else ''}."
    accepted = f" (Accepted within {question.tolerance:.2%}.)" if question.tolerance else ""
    if _near(value, question.right, question.tolerance):
        return RIGHT, said
    for slip, look in question.slips.items():
        if _near(value, slip, question.tolerance):
            return LOOK_AGAIN, f"{said} {look}{accepted}"
    return LOOK_AGAIN, f"{said} {question.look}{accepted}"


def _judge_choice(question: ChoiceQuestion, answer: object) -> tuple[str, str]:
    letters = sorted([question.right, *question.looks])
    if type(answer) is not str or answer.strip().lower() not in letters:
        return UNREADABLE, f"I need one of the letters {', '.join(letters)}, in quotes."
    letter = answer.strip().lower()
    if letter == question.right:
        return RIGHT, f"I read {letter}."
    return LOOK_AGAIN, f"I read {letter}. {question.looks[letter]}"


def _kind(answer: object) -> str:
    """The type's name on one line, whatever somebody called it."""
    return " ".join(type(answer).__name__.split())[:40]


def _near(value: float, target: float, tolerance: float) -> bool:
    return abs(value - target) <= max(tolerance, ROUNDING) * abs(target)
