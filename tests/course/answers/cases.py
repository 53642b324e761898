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
    "one": NumberQuestion(1, "", 0, "Look there."),
    "letter": ChoiceQuestion("b", {"a": "Look there."}),
    "letter with a reason": ChoiceQuestion("b", {"a": "Look there."}, reason=True),
    "guessed number": GuessedNumber(2.15, "mm", 0.1, "Look there.", told="There."),
    "guessed word": GuessedWord("b", {"a": "Look there."}, told="There."),
    "expression": ExpressionQuestion(sp.Rational(215, 100), {"r": (1, 2)}, "Look there."),
    "function": FunctionQuestion(lambda a: 2.15, ((0.3,), (2.0,)), "a number of mm", 0.001, "Look there."),
    "function of a point": FunctionQuestion(
        lambda a: (2.15, 2.15), ((0.3,), (2.0,), (-4.0,)), "x and y in mm", 0.001, "Look there."
    ),
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


class AlwaysEqual:
    """Says yes to every comparison."""

    def __eq__(self, other):
        return True

    __le__ = __ge__ = __lt__ = __gt__ = __eq__
    __hash__ = None


class CalledAlwaysEqual(AlwaysEqual):
    """The same, and it can be called."""

    def __call__(self, *inputs):
        return self


class OddMeta(type):
    """A class that lies about its name, at length."""

    @property
    def __name__(cls):
        raise RuntimeError("not for you")


class Odd(metaclass=OddMeta):
    """Has no name to speak of."""


TwoLines = type("two\nlines", (), {})
Red = type("\x1b[31mRed", (Shouts,), {})


def _raises_red(*inputs):
    raise ValueError("\x1b[31mred\x1b[0m \x07\u202e\ud800")


async def _awaited(*inputs):
    return 2.15


def _gives(result):
    return lambda *inputs: result


PATIENCE = 0.5  # s, in place of the reader's 2 s: nothing else here takes long


def _busy(*inputs):
    """Works for a share of the patience that all calls together would use up."""
    end = __import__("time").thread_time() + 0.6 * PATIENCE
    while __import__("time").thread_time() < end:
        pass
    return 2.15


def for_ever(*inputs):
    while True:
        pass


def _exits(*inputs):
    raise SystemExit


def _interrupts(*inputs):
    raise KeyboardInterrupt


def _calls_itself(*inputs):
    return _calls_itself(*inputs)


def _needs_more(one, two, three, four):
    return 1.0


class _RaisesOddly(Exception):
    def __str__(self):
        raise RuntimeError("not for you")


def _raises_oddly(*inputs):
    raise _RaisesOddly


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

NO_FINITE_NUMBER = (
    "2.15",
    "",
    "2.15 mm",
    b"2.15",
    None,
    True,
    False,
    np.True_,
    2.15 + 1j,
    np.complex128(2.15 + 1j),
    [2.15],
    (2.15,),
    {2.15},
    {"answer": 2.15},
    np.array([2.15, 2.15]),
    range(84),
    len,
    NotImplemented,
    ...,
    math.nan,
    -math.nan,
    math.inf,
    -math.inf,
    np.float64("nan"),
    np.float32("inf"),
    sp.nan,
    sp.oo,
    sp.zoo,
    sp.Symbol("x"),
    10**400,
    -(10**400),
    Fraction(10**400, 3),
    AlwaysEqual(),
    TwoLines(),
    [0] * 1_250_000,  # ten megabytes
    "8" * 10_000_000,
    Exception("2.15"),
    object(),
)
NONE_OF_ITS_KIND = (
    "r * cos(2 * varphi)",
    "__import__('os').abort()",
    1j,
    b"",
    {"x": 1},
    CalledAlwaysEqual(),
    Odd(),
    sp.Eq(*sp.symbols("r phi")),
    [sp.Symbol("r")],
    [sp.Rational(215, 100)],
    np.array(["a", "b"]),
    np.full((50, 2), np.nan),
    np.ones((50, 2), dtype=bool),
    np.full((50, 2), 1j),
    np.ones((50, 3)),
    np.ones(2),
    np.empty((0, 2)),
    np.zeros((100_001, 2)),
    ("b",),
    ("b", None),
    ("b", 12),
    ("d", "because"),
    (1, "because"),
    (True, True),
    ("b", "because", "and so on"),
)
NOT_WORKING = (
    for_ever,
    _exits,
    _interrupts,
    _calls_itself,
    _needs_more,
    _raises_oddly,
    lambda *inputs: 1 / 0,
    lambda *inputs: undefined,  # noqa: F821
    lambda *inputs: None,
    lambda *inputs: "2.15",
    lambda *inputs: math.nan,
    lambda *inputs: (math.nan, math.nan),
    lambda *inputs: (True, False),
    lambda *inputs: (1j, 2j),
    lambda *inputs: (1.0, 2.0, 3.0),
    lambda *inputs: ((1.0, 2.0), (3.0, 4.0)),
    lambda *inputs: AlwaysEqual(),
    lambda *inputs: (AlwaysEqual(), AlwaysEqual()),
    lambda *inputs: [0.0] * 1_250_000,
    lambda *inputs: inputs,
    lambda *inputs: print,
    print,
    type,
)

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
    *(Case("no finite number", answer, UNREADABLE, tuple(ASKED)) for answer in NO_FINITE_NUMBER),
    Case(
        "no finite number", int, UNREADABLE, tuple(name for name in ASKED if name != "function")
    ),  # it gives 0 for 0.3
    *(Case("none of its kind", answer, UNREADABLE, tuple(ASKED)) for answer in NONE_OF_ITS_KIND),
    *(Case("a function that doesn't work", function, UNREADABLE, tuple(ASKED)) for function in NOT_WORKING),
    Case("a function that takes its time", _busy, RIGHT, ("function",)),
]
