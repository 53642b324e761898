"""How sure one is of a number: lines through measured points, points far off them, digits that mean something."""

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import GREATEST_SIZE, SMALLEST_SIZE, Floats, checked_number, finite
from cyclokit.texts import shown

FEWEST = 3  # points: two always lie on a line, and say nothing of their scatter
FEWEST_JUDGED = 5  # points: of fewer, too little scatter is left to hold one of them against


@dataclass(frozen=True)
class Line:
    """A straight line through measured points: ``y = intercept + slope x``.

    Attributes
    ----------
    slope, intercept : float
        The line of least squares [y/x], [y].
    slope_uncertainty, intercept_uncertainty : float
        Their standard uncertainties, from the scatter about the line [y/x], [y].
    scatter : float
        Standard deviation of the points about the line, with two less than the points in the denominator [y].
    middle : float
        Mean of the points' x; slope and the line's height there are uncertain independently of each other.
    points : int
        How many points there were.
    """

    slope: float
    intercept: float
    slope_uncertainty: float
    intercept_uncertainty: float
    scatter: float
    middle: float
    points: int

    @property
    def degrees_of_freedom(self) -> int:
        """Points less the two that a line takes up."""
        return self.points - 2

    @property
    def correlation(self) -> float:
        """Correlation of intercept and slope, -1 to 1; 0 where nothing scatters."""
        if self.slope_uncertainty == 0 or self.intercept_uncertainty == 0:
            return 0.0
        return -self.middle * self.slope_uncertainty / self.intercept_uncertainty

    def at(self, x: ArrayLike) -> tuple[Floats, Floats]:
        """Height of the line at x, any shape, and its standard uncertainty [y], without the scatter of one more point.

        Far outside the points the uncertainty grows with the distance.

        Examples
        --------
        >>> height, uncertainty = line([0, 1, 2, 3], [0.1, 0.9, 2.1, 2.9]).at(1.5)
        >>> print(f"{height:.3f}, {uncertainty:.3f}")
        1.500, 0.063
        """
        where = finite("x", x)
        return self.intercept + self.slope * where, np.hypot(
            self.scatter / math.sqrt(self.points), self.slope_uncertainty * (where - self.middle)
        )


def line(x: ArrayLike, y: ArrayLike) -> Line:
    """The straight line of least squares through points whose y scatters and whose x doesn't.

    At least three points, (n,) each, in any one unit each; not all at one x.

    Raises
    ------
    TypeError
        If they aren't real numbers.
    ValueError
        If there are fewer than three points, as many x as y aren't there, or all stand at one x.

    Notes
    -----
    Ordinary least squares (JCGM 100:2008, H.3). Every point counts alike. The scatter comes from the residuals, not
    from a correlation near 1, which would lose half its digits.

    Examples
    --------
    >>> found = line([0, 1, 2, 3], [0.1, 0.9, 2.1, 2.9])
    >>> print(f"{found.slope:.2f} +- {found.slope_uncertainty:.2f}")
    0.96 +- 0.06
    """
    across, up = _points(x, y)
    if across.size < FEWEST:
        raise ValueError(f"x has {across.size} points, but a line and its scatter need {FEWEST}: measure more.")
    if np.ptp(across) == 0:
        raise ValueError(f"x is {across[0]} at every point, so that no slope can be told: measure at another x too.")
    middle, height = float(across.mean()), float(up.mean())
    apart = across - middle
    width = float(apart @ apart)
    slope = float(apart @ up) / width
    residuals = up - height - slope * apart
    scatter = math.sqrt(float(residuals @ residuals) / (across.size - 2))
    return Line(
        slope=slope,
        intercept=height - slope * middle,
        slope_uncertainty=scatter / math.sqrt(width),
        intercept_uncertainty=scatter * math.sqrt(1 / across.size + middle**2 / width),
        scatter=scatter,
        middle=middle,
        points=across.size,
    )


def outliers(x: ArrayLike, y: ArrayLike, resolved: float) -> tuple[int, ...]:
    """Places of points too far off the straight line through the others, the farthest first; those may be none.

    Points are (n,) in any one unit each; fewer than five, or all at one x, have none. A scatter of the others below
    `resolved` [y], above zero, counts as that much.

    Notes
    -----
    A point is one whose residual, over the scatter of the others about their own line, Student's distribution gives to
    fewer than 1 in 100 tables of that length (two-sided, by Bonferroni): R. D. Cook, S. Weisberg, "Residuals and
    Influence in Regression", 1982, from memory. The farthest is looked for first, then again without it.

    Examples
    --------
    >>> outliers([0, 1, 2, 3, 4, 5], [0.1, 0.9, 2.1, 9.0, 3.9, 5.1], 1e-6)
    (3,)
    """
    across, up = _points(x, y)
    least = checked_number("resolved", resolved, SMALLEST_SIZE, GREATEST_SIZE)
    found: list[int] = []
    while across.size - len(found) >= FEWEST_JUDGED:
        left = np.array([place for place in range(across.size) if place not in found])
        here, height = across[left], up[left]
        if np.ptp(here) == 0:
            break
        fitted = line(here, height)
        lever = 1 / here.size + (here - fitted.middle) ** 2 / float(np.sum((here - fitted.middle) ** 2))
        residual = height - fitted.at(here)[0]
        square = (fitted.scatter**2 * (here.size - 2) - residual**2 / np.maximum(1 - lever, 1e-12)) / (here.size - 3)
        alone = np.sqrt(np.maximum(square, least**2) * np.maximum(1 - lever, 1e-12))
        ratio = np.where(lever < 1 - 1e-9, np.abs(residual) / alone, 0.0)  # a line goes through what stands alone
        farthest = int(ratio.argmax())
        if ratio[farthest] <= coverage_factor(here.size - 3, 1 - 0.01 / here.size):
            break
        found.append(int(left[farthest]))
    return tuple(found)


def _points(x: ArrayLike, y: ArrayLike) -> tuple[Floats, Floats]:
    across, up = finite("x", x), finite("y", y)
    if across.ndim != 1 or across.shape != up.shape:
        raise ValueError(f"x has shape {across.shape} and y {up.shape}, but each must be one list of as many numbers.")
    return across, up


def coverage_factor(degrees_of_freedom: float, level: float = 0.95) -> float:
    """How many standard uncertainties to either side hold a stated share, above 0 and below 1, of what may be.

    Student's t (JCGM 100:2008, G.3); 1.96 for very many degrees of freedom and 0.95. They are 1 to 1e15, the latter
    where the standard uncertainty itself is known as good as exactly.

    Raises
    ------
    TypeError, ValueError
        If one is no number, or out of range.

    Examples
    --------
    >>> round(coverage_factor(16, 0.99), 2)
    2.92
    """
    from scipy import stats  # takes a third of a second to load

    freedom = checked_number("degrees_of_freedom", degrees_of_freedom, 1, GREATEST_SIZE)
    share = checked_number("level", level, 1e-6, 1 - 1e-9)
    return float(stats.t.ppf((1 + share) / 2, freedom))


def rounded(value: float, uncertainty: float, unit: str = "") -> str:
    """A value and its standard uncertainty with the digits that mean something.

    The uncertainty has two digits, the value ends at the same place (JCGM 100:2008, 7.2.6). Both are in the same unit;
    0 is an uncertainty of which none is known to be left.

    Raises
    ------
    TypeError
        If a number is none, or the unit no text.
    ValueError
        If a number isn't finite, or the uncertainty is below zero.

    Examples
    --------
    >>> print(rounded(1.00211681802045, 0.000429796848199937))
    1.00212 ± 0.00043
    >>> print(rounded(50000838.0, 32.0, "nm"))
    (50000838 ± 32) nm
    """
    if not isinstance(unit, str):
        raise TypeError(f"unit must be a text such as 'mm', not {shown(unit)}: give its short name.")
    number = Decimal(checked_number("value", value, -GREATEST_SIZE, GREATEST_SIZE))
    spread = Decimal(checked_number("uncertainty", uncertainty, 0, GREATEST_SIZE))
    if spread == 0:
        text = f"{value:.15g} ± 0"
    else:
        place = Decimal(1).scaleb(spread.adjusted() - 1)
        if spread.quantize(place, ROUND_HALF_EVEN).adjusted() > spread.adjusted():  # 0.0996 becomes 0.10
            place = place.scaleb(1)
        text = " ± ".join(f"{_to(part, place):f}" for part in (number, spread))
    return f"({text}) {unit}" if unit else text


def _to(number: Decimal, place: Decimal) -> Decimal:
    """A number rounded to a place; tens and hundreds as whole numbers, and never a minus before zero."""
    whole = (number / place).to_integral_value(ROUND_HALF_EVEN) * place
    return whole.quantize(min(place, Decimal(1))) + 0
