"""The output circle that leaves the thickest walls, in closed form: bounds and walls are lines in its radius."""

from functools import reduce

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.machine import space
from cyclokit.signatures import read

PER_MM = 10  # lattice points in a mm
ROUGH = 1e-6  # mm; what the lines through two circles may be wrong by, at most


@read
def best_place(one: space.Lengths, two: space.Lengths) -> tuple[np.ndarray, Floats]:
    """The lower of the two neighbouring lattice places between which, or at which, the best output circle lies.

    Parameters
    ----------
    one, two : Lengths
        The candidates with an output circle of 1 mm radius, and the first of them with one of 2 mm. That gives the
        lines, because these have the same slope for all candidates.

    Returns
    -------
    ndarray
        Whole numbers, 1 or more: tenths of a mm. The best lattice place is that or the next; which of them, and
        whether it does, is for the bounds and walls themselves to say.
    ndarray
        The thinnest wall at the best circle itself, which no lattice place exceeds [mm]; 0 where the physical bounds
        leave no circle.

    Notes
    -----
    What rises with the circle bounds it from below, what falls from above. The thinnest wall is thickest where the
    lowest of the rising lines meets the lowest of the falling ones; if the physical bounds exclude that, at the
    nearest place that they allow.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from cyclokit import Drive
    >>> from cyclokit.machine.reducer import Reducer
    >>> plain = space.lengths(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> one, two = (replace(plain, output_circle_radius=circle) for circle in (1.0, 2.0))
    >>> place, thinnest = best_place(one, two)
    >>> int(place), round(float(thinnest), 3)  # tenths of a mm, mm
    (230, 2.1)
    """
    margins = [
        _line(bound - value, bound_two - value_two)
        for (value, bound), (value_two, bound_two) in zip(
            space.bounds(one).values(), space.bounds(two).values(), strict=True
        )
    ]
    walls = [_line(*pair) for pair in zip(space.walls(one).values(), space.walls(two).values(), strict=True)]
    least = reduce(np.maximum, [1 - start / slope for start, slope in margins if slope > 0])
    most = reduce(np.minimum, [1 - start / slope for start, slope in margins if slope < 0])
    best = np.minimum(np.maximum(_crossing(walls), least), most)
    possible = reduce(np.logical_and, [start > -ROUGH for start, slope in margins if slope == 0], least < most)
    thinnest = np.where(
        possible, reduce(np.minimum, [start + slope * (best - 1) if slope else start for start, slope in walls]), 0.0
    )
    lowest, highest = np.floor(PER_MM * least + ROUGH), np.ceil(PER_MM * most - ROUGH) - 1
    place = np.minimum(np.maximum(np.floor(PER_MM * best), lowest), highest)
    return np.broadcast_to(np.maximum(place, 1), thinnest.shape), thinnest


def _line(one: Floats, two: Floats) -> tuple[Floats, float]:
    """What a line has at a circle of 1 mm, and its slope."""
    slope = float(np.asarray(two).flat[0] - np.asarray(one).flat[0])
    return one, slope if abs(slope) > ROUGH else 0.0


def _crossing(lines: list[tuple[Floats, float]]) -> Floats:
    """Where the lowest of the rising lines meets the lowest of the falling ones."""
    rising, falling = ([line for line in lines if sign * line[1] > 0] for sign in (1, -1))
    meetings = [
        reduce(np.maximum, [1 + (start - start_up) / (slope_up - slope) for start_up, slope_up in rising])
        for start, slope in falling
    ]
    return reduce(np.minimum, meetings)
