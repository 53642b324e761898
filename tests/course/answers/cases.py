"""Answers that somebody may set, as data: the kind of answer, the answer, and what is said of it.

Every case is tried with a question of every kind (`ASKED`), so a new kind of question meets all of them. DEVELOPERS.md
counts the cases.
"""

import math
import sys
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

import numpy as np
import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion, OutlineQuestion
from cyclokit.course.answers.guesses import GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion
from cyclokit.course.answers.outcomes import LOOK_AGAIN, RIGHT, UNREADABLE

SQUARE = np.array([[2.0, 2.0], [-2.0, 2.0], [-2.0, -2.0], [2.0, -2.0]])
ASKED = {
    "number": NumberQuestion(2.15, "mm", 0.001, "Look there."),
    "number to be met": NumberQuestion(2.15, "mm", 0, "Look there."),
    "letter": ChoiceQuestion("b", {"a": "Look there."}),
    "letter with a reason": ChoiceQuestion("b", {"a": "Look there."}, reason=True),
    "guessed number": GuessedNumber(2.15, "mm", 0.1, "Look there.", told="There."),
    "guessed word": GuessedWord("b", {"a": "Look there."}, told="There."),
    "expression": ExpressionQuestion(sp.Rational(215, 100), {"r": (1, 2)}, "Look there."),
    "function": FunctionQuestion(lambda a: 2.15, ((0.3,), (2.0,)), "a number of mm", 0.001, "Look there."),
    "function of a point": FunctionQuestion(lambda a: (2.15, 2.15), ((0.3,),), "x and y in mm", 0.001, "Look there."),
    "outline": OutlineQuestion(SQUARE, 0.01, "Look there."),
}
NUMBERS = ("number", "number to be met", "guessed number", "expression")


class Case(NamedTuple):
    """One answer. What is said is an outcome, or words of the line; kinds of question that aren't named refuse it."""

    kind: str
    answer: Any
    said: str
    by: tuple[str, ...] = ()


class Shouts:
    """An object whose type and text are full of escape characters."""

    def __str__(self):
        return "\x1b[31mred\x1b[0m \x07\u202e\ud800"


class Unwilling:
    """Raises where it is made an array."""

    def __array__(self, *_, **__):
        raise RuntimeError("not for you")


Red = type("\x1b[31mRed", (Shouts,), {})


def _raises_red(*inputs):
    raise ValueError("\x1b[31mred\x1b[0m \x07\u202e\ud800")


async def _awaited(*inputs):
    return 2.15


def _gives(result):
    return lambda *inputs: result


def _busy(*inputs):
    """Works for a share of the patience that all calls together would use up."""
    end = __import__("time").thread_time() + 1.2
    while __import__("time").thread_time() < end:
        pass
    return 2.15


FAIR = (
    2.15,
    np.float64(2.15),
    np.float32(2.15),
    np.float16(2.15),
    np.longdouble("2.15"),
    np.array(2.15),
    np.array([2.15]),
    np.array([[2.15]]),
    np.where(True, 2.15, 0.0),
    np.array([Fraction(215, 100)], dtype=object),
    Decimal("2.15"),
    Fraction(215, 100),
    sp.Rational(215, 100),
    sp.Float(2.15),
    2.15 + 0j,
    np.complex128(2.15 + 1e-17j),
    np.array([2.15 + 0j]),
)
NO_NUMBER = (
    (np.timedelta64(2, "s"), "of type timedelta64"),
    (np.array([np.timedelta64(2, "s")]), "of type"),
    (np.array(["2.15"]), "of type"),
    ("2.15", "of type str"),
    (2.15 + 1j, "of type complex"),
    (Red(), "of type"),
)
POINTS = (
    [2.15, 2.15],
    (np.array([2.15]), 2.15),
    (np.array(2.15), np.float32(2.15)),
    [Decimal("2.15"), Fraction(215, 100)],
    (2.15 + 0j, 2.15),
    np.array([2.15 + 0j, 2.15]),
    np.array([[2.15], [2.15]], dtype=np.float32),
    sp.Matrix([2.15, 2.15]),
)
OUTLINES = (
    SQUARE.tolist(),
    [tuple(point) for point in SQUARE],
    list(SQUARE),
    tuple(SQUARE),
    [[Decimal(str(x)), Fraction(y)] for x, y in SQUARE],
    SQUARE.astype(np.float32),
    SQUARE.astype(complex),
    SQUARE.astype(np.longdouble),
)
HUGE = (
    np.array([[np.longdouble(10) ** 4000, 0], [1, 0], [0, 1]])
    if sys.float_info.max < np.finfo(np.longdouble).max
    else math.inf
)
NOT_FINITE = (math.nan, -math.inf, np.float32("nan"), Decimal("NaN"), Decimal("Infinity"), Decimal("1e999"), 10**400)

CASES = [
    *(Case("a number in a fair form", answer, RIGHT, NUMBERS) for answer in FAIR),
    *(Case("a function that gives a fair number", _gives(answer), RIGHT, ("function",)) for answer in FAIR),
    *(Case("a function that gives a fair point", _gives(point), RIGHT, ("function of a point",)) for point in POINTS),
    *(Case("an outline in a fair form", points, RIGHT, ("outline",)) for points in OUTLINES),
    *(Case("no number", answer, said, ("number", "guessed number")) for answer, said in NO_NUMBER),
    *(
        Case("a function that gives no number", _gives(answer), "Called with 0.3 it should give", ("function",))
        for answer, _ in NO_NUMBER
    ),
    *(
        Case("a number that is not finite", answer, "a finite number", ("number", "guessed number"))
        for answer in NOT_FINITE
    ),
    *(
        Case("a function that gives nothing finite", _gives(answer), "a finite number", ("function",))
        for answer in NOT_FINITE
    ),
    Case("commas", (16, 6), "Write a decimal point", NUMBERS[:3]),
    Case("commas", (16,), "Write a decimal point", NUMBERS[:3]),
    Case("commas", (1, 234, 5), "Write a decimal point", NUMBERS[:3]),
    Case("an outline that is none", HUGE, "Entry 0 is inf", ("outline",)),
    Case("an outline that is none", np.full((5, 2), 1.7e308), LOOK_AGAIN, ("outline",)),
    Case("an outline that is none", [[1, 2], [3], [4, 5]], "of type list", ("outline",)),
    Case("an outline that is none", Unwilling(), "of type Unwilling", ("outline",)),
    Case("a function that gives what is none", _gives((np.ones(2), 2.0)), "x and y in mm", ("function of a point",)),
    Case("a function that gives what is none", _gives(Unwilling()), "x and y in mm", ("function of a point",)),
    Case("a function that gives what is none", _gives((Unwilling(), 1.0)), "x and y in mm", ("function of a point",)),
    Case("a function that is never awaited", _awaited, "of type coroutine", ("function", "function of a point")),
    Case("escape characters", Shouts(), UNREADABLE),
    Case("escape characters", _raises_red, "it raised ValueError: [31mred [0m", ("function", "function of a point")),
    Case("escape characters", sp.Symbol("\x1b[31mr\x07"), "the symbol [31mr in it", ("expression",)),
    Case("escape characters", ("b", Red()), "I need a reason in words", ("letter with a reason",)),
    Case("a function that takes its time", _busy, RIGHT, ("function",)),
]
