"""What all kinds of answer have in common, and the plain ones: a number, whole or with a unit, and a choice.

Every kind turns an answer into a value that can be compared: `read` does it for the reader's answer,
and refuses what is none; `value` does it for the right one and the slips. `apart` then tells how far
two values are from one another, counted in tolerances. Expressions, functions and outlines are in `formulas`.
"""

import math
import sys
from dataclasses import dataclass
from typing import Annotated, Any, NamedTuple, Protocol

from cyclokit.course.answers.reading import SENTENCES, StillOpen, Unreadable, kind_of, real

ROUNDING = 1e-12  # relative: a whole number that came out of a sum is still whole
FIGURES = 15  # that a number can have
HALF = 1e-6  # of the last figure: 22.5 is rounded up by some and down by others


class Slip(NamedTuple):
    """A wrong answer that has a known cause, the question that it raises, and the sheet's edition that first has it."""

    wrong: Any
    look: str
    since: int = 1


class Question(Protocol):
    """What all kinds have in common."""

    @property
    def right(self) -> Any:
        """The right answer."""

    @property
    def slips(self) -> tuple[Slip, ...]:
        """Wrong answers that have a known cause."""

    @property
    def look(self) -> str:
        """One thing to look at, for whoever has another wrong answer."""

    @property
    def accepted(self) -> str:
        """The tolerance in words, "" where there is none."""

    def read(self, answer: object) -> Any:
        """The value of a reader's answer."""

    def refusal(self, answer: object) -> Unreadable:
        """What to say of an answer that is none of the kind."""

    def value(self, known: Any) -> Any:
        """The value of the right answer or of a slip."""

    def apart(self, value: Any, target: Any) -> float:
        """Distance of two values in tolerances."""

    def aside(self, value: Any) -> str:
        """What can be seen of a wrong answer that is no slip, "" for nothing."""

    def said(self, answer: object, value: Any) -> str:
        """What was read, in words."""


def _checked(name: str, value: object) -> None:
    """Refuse what is a question of no kind."""
    if not all(hasattr(type(value), method) for method in ("read", "refusal", "value", "apart", "aside", "said")):
        raise TypeError(
            f"{name} must be a question, such as a NumberQuestion, not a {type(value).__name__}: make one first."
        )


Asking = Annotated[Question, _checked]


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
    slips : tuple of Slip
        Wrong numbers.
    """

    right: float
    unit: str
    tolerance: float
    look: str
    slips: tuple[Slip, ...] = ()

    def read(self, answer: object) -> float:
        """The number that was answered."""
        if type(answer) is tuple:  # 16,6 in place of 16.6
            raise Unreadable("commas")
        return real(answer)

    def refusal(self, answer: object) -> Unreadable:
        """What to say of an answer that is no number."""
        return Unreadable("number", kind=kind_of(answer))

    def value(self, known: float) -> float:
        """The right number or a wrong one."""
        return float(known)

    def apart(self, value: float, target: float) -> float:
        """Distance in tolerances."""
        return abs(value - target) / (max(self.tolerance, ROUNDING) * max(abs(target), sys.float_info.min))

    def aside(self, value: float) -> str:
        """Whether the value is the right one in fewer figures, or else that of a slip."""
        if self.tolerance and _in_fewer_figures(value, self.right):  # a whole number that must be met isn't rounded
            return SENTENCES["rounded"]
        meant = [slip for slip in self.slips if _in_fewer_figures(value, slip.wrong)]
        return min(meant, key=lambda slip: abs(value - slip.wrong)).look if meant else ""

    def said(self, answer: object, value: float) -> str:
        """What was read."""
        return f"{value:.12g} {self.unit}".strip()

    @property
    def accepted(self) -> str:
        """The tolerance in words, "" for a whole number."""
        return f"Accepted within {100 * self.tolerance:g} %." if self.tolerance else ""


@dataclass(frozen=True)
class ChoiceQuestion:
    """A question with a few answers to choose from by letter, perhaps with a reason in words.

    Attributes
    ----------
    right : str
        The right letter.
    looks : dict
        One thing to look at for each wrong letter.
    reason : bool
        Whether a reason is asked for; then the answer is a pair. A person reads it; here it only counts
        that something was written.
    """

    right: str
    looks: dict[str, str]
    reason: bool = False
    accepted = look = ""

    @property
    def slips(self) -> tuple[Slip, ...]:
        """The wrong letters."""
        return tuple(Slip(letter, look) for letter, look in self.looks.items())

    def read(self, answer: object) -> str:
        """The letter that was chosen."""
        letter: Any = answer
        reason: Any = "none is asked for"
        if self.reason:
            letter, reason = answer  # type: ignore[misc]  # a pair; anything else raises
        if type(letter) is not str or letter.strip().lower() not in {self.right, *self.looks}:
            raise self.refusal(answer)
        if type(reason) is not str:
            raise Unreadable("reason", kind=kind_of(reason))
        if not reason.strip():
            raise StillOpen("reason open")
        return letter.strip().lower()

    def refusal(self, answer: object) -> Unreadable:
        """What to say of an answer that is none of the letters."""
        return Unreadable("letter", letters=", ".join(sorted([self.right, *self.looks])))

    def value(self, known: str) -> str:
        """The right letter or a wrong one."""
        return known

    def apart(self, value: str, target: str) -> float:
        """Nothing for the same letter."""
        return 0.0 if value == target else math.inf

    def aside(self, value: Any) -> str:
        """Nothing: a letter has no parts to look at."""
        return ""

    def said(self, answer: object, value: str) -> str:
        """What was read."""
        if not self.reason:
            return value
        words = len(answer[1].split())  # type: ignore[index]  # a pair, as it could be read
        return f"{value}, and a reason of {words} word{'s' * (words != 1)}, which a person reads"


def _in_fewer_figures(value: float, exact: float) -> bool:
    """Whether a value is an exact one, rounded to two figures or more, or to a whole number."""
    if not value or not exact:
        return False
    size = math.floor(math.log10(abs(exact)))
    coarsest = 0 if size == 0 else 1 - size  # decimal places of two figures; a single whole figure is a rounding too
    places = (number for number in range(coarsest, coarsest + FIGURES) if round(value, number) == value)
    return abs(value - exact) <= (0.5 + HALF) * 10.0 ** -next(places, math.inf)
