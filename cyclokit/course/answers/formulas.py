"""Kinds of answer that are compared in many places: an expression, a function, an outline."""

import math
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from numbers import Real
from typing import Any

import numpy as np
import sympy as sp

from cyclokit.arguments import GREATEST_SIZE, Floats, checked_number, finite
from cyclokit.course.answers import outlines
from cyclokit.course.answers.kinds import Slip
from cyclokit.course.answers.patience import PATIENCE, within
from cyclokit.course.answers.reading import (
    SENTENCES,
    StillOpen,
    Unreadable,
    kind_of,
    one_line,
    real,
    reals,
    told,
    yours,
)

EQUAL = 1e-6  # relative, for expressions: a pi typed with seven digits passes, a wrong term doesn't
ROUNDED = 0.01  # relative: three figures of each number in an expression make it wrong by less
LEAST = 0.01  # share of the largest value: below it one isn't compared by its own size, but by that share
NOTHING = 1e-200  # in place of zero, where something is divided by it
PLACES = 5  # values at which two expressions are compared
MOST_POINTS = 100_000  # of an outline
MANY = 500  # points that tell whether all of them lie on an outline


@dataclass(frozen=True)
class ExpressionQuestion:
    """A question whose answer is an expression, equal in value, whatever its form.

    Attributes
    ----------
    right : sympy expression
        The right one.
    ranges : dict
        For each symbol's name the least and greatest value at which expressions are compared.
    look : str
        One thing to look at, and where.
    slips : tuple of Slip
        Wrong expressions in the same symbols.
    """

    right: sp.Expr
    ranges: dict[str, tuple[float, float]]
    look: str
    slips: tuple[Slip, ...] = ()
    _known: dict[sp.Expr, Floats] = field(default_factory=dict, init=False, repr=False, compare=False)
    accepted = ""

    def read(self, answer: object) -> Floats:
        """The values of the expression that was answered; its symbols are known by their names."""
        expression: Any = answer
        if not isinstance(answer, sp.Expr):
            try:
                expression = sp.Float(real(answer))
            except Unreadable as error:
                raise (error if isinstance(answer, Real) else self.refusal(answer)) from None
        for symbol in sorted(expression.free_symbols, key=str):
            if symbol.name not in self.ranges:
                raise Unreadable("symbols", strange=one_line(symbol), known=", ".join(self.ranges))
        return self._values(expression.doit() if expression.has(sp.Derivative) else expression)

    def refusal(self, answer: object) -> Unreadable:
        """What to say of an answer that is no expression."""
        return Unreadable("expression", kind=kind_of(answer))

    def value(self, known: sp.Expr) -> Floats:
        """The values of the right expression or a wrong one, worked out once: it takes long."""
        if known not in self._known:
            self._known[known] = self._values(known)
        return self._known[known]

    def apart(self, value: Floats, target: Floats) -> float:
        """Distance in tolerances, at the place where it is greatest."""
        return float(_shares(value, target, EQUAL).max())

    def aside(self, value: Floats) -> str:
        """What is to be said where an expression is all but right, as one with rounded numbers in it is."""
        near = float(_shares(value, self.value(self.right), ROUNDED).max()) <= 1
        return SENTENCES["rounded"] if near else ""

    def said(self, answer: object, value: Floats) -> str:
        """What was read."""
        return one_line(answer)

    def _values(self, expression: sp.Expr) -> Floats:
        """The expression's values at all places."""
        return np.array([_value_at(expression, place) for place in self._places()])

    def _places(self) -> list[dict[str, float]]:
        """Values for all symbols, spread over their ranges by multiples of irrational numbers."""
        places = []
        for number in range(1, PLACES + 1):
            shares = [(number * math.sqrt(prime)) % 1 for prime in (2, 3, 5, 7, 11, 13)]
            ranges = zip(self.ranges.items(), shares, strict=False)
            places.append({name: low + share * (high - low) for (name, (low, high)), share in ranges})
        return places


@dataclass(frozen=True)
class FunctionQuestion:
    """A question whose answer is a function, tried on inputs that the reader has not seen.

    Attributes
    ----------
    right : callable
        The right one; it returns a number, or a tuple of numbers.
    tries : tuple of tuple
        The inputs of each run.
    wanted : str
        What it returns, in words, with units.
    tolerance : float
        Accepted departure of each number that comes out, relative to that number, or to 1 % of the largest one.
    look : str
        One thing to look at, and where.
    slips : tuple of Slip
        Wrong functions.
    """

    right: Callable[..., Any]
    tries: tuple[tuple[Any, ...], ...]
    wanted: str
    tolerance: float
    look: str
    slips: tuple[Slip, ...] = ()

    def read(self, answer: object) -> Floats:
        """What the reader's function gives in all runs."""
        if not callable(answer):
            raise self.refusal(answer)
        shape = np.shape(self.right(*self.tries[0]))
        return np.array([self._run(answer, inputs, shape) for inputs in self.tries])

    def refusal(self, answer: object) -> Unreadable:
        """What to say of an answer that is no function."""
        return Unreadable("function", kind=kind_of(answer))

    def value(self, known: Callable[..., Any]) -> Floats:
        """What the right function or a wrong one gives in all runs."""
        return np.array([known(*inputs) for inputs in self.tries], dtype=float)

    def apart(self, value: Floats, target: Floats) -> float:
        """Distance in tolerances, of the number that is farthest off."""
        return float(_shares(value, target, self.tolerance).max())

    def aside(self, value: Floats) -> str:
        """Where a function goes wrong that is right at first."""
        off = [run.max() for run in _shares(value, self.value(self.right), self.tolerance)]
        if off[0] > 1:
            return ""
        where = self.tries[int(np.argmax(off))]
        return SENTENCES["elsewhere"].format(first=_inputs(self.tries[0]), where=_inputs(where))

    def said(self, answer: object, value: Floats) -> str:
        """What was read: the first run."""
        numbers = ", ".join(f"{number:.6g}" for number in np.ravel(value[0]))
        return f"a function that gives {numbers} for {_inputs(self.tries[0])}"

    @property
    def accepted(self) -> str:
        """The tolerance in words."""
        return f"Accepted within {100 * self.tolerance:g} %."

    def _run(self, function: Callable[..., Any], inputs: tuple[Any, ...], shape: tuple[int, ...]) -> Floats:
        try:
            result = within(PATIENCE, lambda: function(*inputs))
        except BaseException as error:  # whatever a reader's function raises; nothing may get past the check
            raise Unreadable("raised", inputs=_inputs(inputs), error=told(error)) from None
        if result is yours:
            raise StillOpen
        words = {"inputs": _inputs(inputs), "wanted": self.wanted}
        try:
            numbers = np.array(real(result) if shape == () else reals(result))
        except Unreadable as error:
            raise Unreadable("result", why=error, **words) from None
        if numbers.shape != shape:
            raise Unreadable("shape", shape=numbers.shape, **words)
        return numbers


@dataclass(frozen=True, eq=False)
class OutlineQuestion:
    """A question whose answer is an outline, an array (m, 2) of points joined by straight lines.

    Where the points begin, which way they run and how many they are makes no difference.

    Attributes
    ----------
    right : ndarray
        The right outline [mm], (m, 2).
    tolerance : float
        Accepted distance of either outline from the other [mm].
    look : str
        One thing to look at, and where.
    slips : tuple of Slip
        Wrong outlines.
    """

    right: Floats
    tolerance: float
    look: str
    slips: tuple[Slip, ...] = ()

    def read(self, answer: object) -> Floats:
        """The outline that was answered."""
        points = reals(answer)
        if points.ndim != 2 or points.shape[1] != 2 or not 3 <= len(points) <= MOST_POINTS:
            raise Unreadable("rows", most=MOST_POINTS, shape=points.shape)
        return self.value(points)

    def refusal(self, answer: object) -> Unreadable:
        """What to say of an answer that is no array of points."""
        return Unreadable("outline", kind=kind_of(answer))

    def value(self, known: Floats) -> Floats:
        """The outline's corners, the first once more at the end."""
        return np.vstack([known, known[:1]])

    def apart(self, value: Floats, target: Floats) -> float:
        """Greatest distance of either from the other, in tolerances; where that is over 3, perhaps less."""
        return outlines.apart(value, target, self.tolerance)

    def aside(self, value: Floats) -> str:
        """Whether the points alone would pass: then there are too few of them, or a piece is missing."""
        off = outlines.off(value[:: 1 + len(value) // MANY], self.value(self.right))
        return SENTENCES["between"] if off <= self.tolerance else ""

    def said(self, answer: object, value: Floats) -> str:
        """What was read."""
        reach = np.hypot(*value.T)
        return f"{len(value) - 1} points, {reach.min():.6g} to {reach.max():.6g} mm from the origin"

    @property
    def accepted(self) -> str:
        """The tolerance in words."""
        return f"Accepted within {self.tolerance:g} mm."


def _value_at(expression: sp.Expr, place: dict[str, float]) -> float:
    numbers = {symbol: sp.Float(place[symbol.name]) for symbol in expression.free_symbols}
    value = complex("nan")
    for work_out in (lambda: expression.evalf(subs=numbers), lambda: expression.subs(numbers).evalf()):
        with suppress(TypeError, ValueError):  # the first is quicker, the second understands more
            value = complex(work_out())
            break
    if not math.isfinite(value.real) or not abs(value.imag) <= EQUAL * abs(value.real):
        words = ", ".join(f"{name} = {number:.4g}" for name, number in place.items())
        raise Unreadable("value", place=words)
    return value.real


def shares(value: Floats, target: Floats, tolerance: float) -> Floats:
    """Each departure counted in tolerances (relative); from a target that is nothing everything else is far away."""
    value, target = finite("value", value), finite("target", target)
    if value.shape != target.shape or not value.size:
        raise ValueError(f"value and target must have one shape, but have {value.shape} and {target.shape}: see both.")
    return _shares(value, target, checked_number("tolerance", tolerance, 0.0, GREATEST_SIZE))


def _shares(value: Floats, target: Floats, tolerance: float) -> Floats:
    size = np.maximum(np.abs(target), LEAST * np.abs(target).max())
    return np.asarray(np.abs(value - target) / np.maximum(tolerance * size, NOTHING))


def _inputs(inputs: tuple[Any, ...]) -> str:
    return ", ".join(f"{value:.6g}" if isinstance(value, float) else str(value) for value in inputs)
