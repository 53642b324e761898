"""The crank in one piece as a stack of cylinders, and whether its bearings come on to it.

A bearing's ring is slid along the crank and may be shifted sideways on its way. Where it is round several cylinders at
once it must take all of them: its middle is then no farther from each one's than their radii differ.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from cyclokit.arguments import checked_kind, checked_length, checked_number
from cyclokit.machine.layout import layout
from cyclokit.machine.reducer import Reducer

FITS = 1e-9  # mm: a bore as wide as its cylinder takes it
JUST = 1e-7  # mm: just before, just after
FAR = 1e6  # mm, either way


@dataclass(frozen=True)
class Cylinder:
    """A piece of a crank.

    Attributes
    ----------
    radius : float
        Radius [mm].
    x, y : float
        Where its middle is [mm].
    bottom, top : float
        Heights [mm].
    """

    radius: float
    x: float
    y: float
    bottom: float
    top: float

    def __post_init__(self) -> None:
        checked_length("radius", self.radius)
        for name in ("x", "y", "bottom", "top"):
            checked_number(name, getattr(self, name), -FAR, FAR)
        if not self.bottom < self.top:
            raise ValueError(f"bottom is {self.bottom:g} mm and top {self.top:g}: the top must be higher. Swap them.")


def cylinders(reducer: Reducer) -> tuple[Cylinder, ...]:
    """A reducer's crank at crank angle 0, from the bottom up: journal, eccentrics with necks between, journal.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> pieces = cylinders(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> [(piece.radius, round(piece.x, 3)) for piece in pieces]  # mm
    [(4.0, 0.0), (6.0, 1.4), (5.1625, 0.0), (6.0, -1.4), (4.0, 0.0)]
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    plan = layout(reducer)
    journal, eccentric = reducer.crank_bearing.bore_diameter / 2, reducer.eccentric_bearing.bore_diameter / 2
    e, heights = reducer.drive.eccentricity, plan.eccentrics
    pieces = [Cylinder(journal, 0.0, 0.0, plan.lower_bearing[0], heights[0][0])]
    for number, (bottom, top) in enumerate(heights):
        if number:
            pieces.append(Cylinder(reducer.spacer_radius, 0.0, 0.0, pieces[-1].top, bottom))
        angle = 2 * math.pi * number / reducer.discs
        pieces.append(Cylinder(eccentric, e * math.cos(angle), e * math.sin(angle), bottom, top))
    return (*pieces, Cylinder(journal, 0.0, 0.0, heights[-1][1], plan.upper_bearing[1]))


def ends(reducer: Reducer) -> tuple[str, ...] | None:
    """From which end each disc's bearing comes on to a crank in one piece, from the lowest disc up.

    Parameters
    ----------
    reducer : Reducer
        The reducer.

    Returns
    -------
    tuple of str or None
        "below" or "above" for each; None if there is no way, so that the crank must be divided.

    Notes
    -----
    A bearing that is on bars the way of others through its place, so that those from below are under those from above.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> ends(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    ('below', 'above')
    >>> ends(Reducer(Drive(20, 42.0, 5.0, 1.4), discs=3)) is None
    True
    """
    pieces = cylinders(reducer)
    bore, seats = reducer.eccentric_bearing.bore_diameter / 2, [piece for piece in pieces[1:-1:2]]
    for below in range(len(seats), -1, -1):
        if all(comes_on(pieces, seat, bore, number < below) for number, seat in enumerate(seats)):
            return ("below",) * below + ("above",) * (len(seats) - below)
    return None


def comes_on(pieces: tuple[Cylinder, ...], seat: Cylinder, bore: float, below: bool) -> bool:
    """Whether a ring comes on to its seat from an end.

    Parameters
    ----------
    pieces : tuple of Cylinder
        The crank from the bottom up, piece on piece.
    seat : Cylinder
        The piece on which it ends, as long as the ring is wide.
    bore : float
        Radius of its bore [mm].
    below : bool
        Whether it comes from below.

    Returns
    -------
    bool
        Whether at every height of its way some place takes all that it is round.

    Examples
    --------
    >>> journal, seat = Cylinder(4.0, 0.0, 0.0, 0.0, 10.0), Cylinder(6.0, 1.4, 0.0, 10.0, 15.0)  # mm
    >>> comes_on((journal, seat), seat, 6.0, below=True)
    True
    >>> thick = Cylinder(5.0, 0.0, 0.0, 0.0, 10.0)  # 1.4 mm aside is more than the radii differ
    >>> comes_on((thick, seat), seat, 6.0, below=True), comes_on((thick, seat), seat, 6.0, below=False)
    (False, True)
    """
    checked_kind("seat", seat, Cylinder)
    checked_kind("below", below, bool)
    checked_kind("pieces", pieces, tuple, "give Cylinders from the bottom up")
    for piece in pieces:
        checked_kind("pieces", piece, Cylinder, "give Cylinders from the bottom up")
    checked_length("bore", bore)
    width = seat.top - seat.bottom
    # what it is round changes where its upper face comes to a piece, or its lower face leaves one
    changes = [z for piece in pieces for z in (piece.bottom - width + JUST, piece.top - JUST)]
    way = [z for z in changes if (z < seat.bottom if below else z > seat.bottom)]
    return all(
        _common([piece for piece in pieces if piece.top > z and piece.bottom < z + width], bore)
        for z in (*way, seat.bottom)
    )


def _common(pieces: Sequence[Cylinder], bore: float) -> bool:
    """Whether a ring of that bore can be round all of some cylinders: whether circles have a common point."""
    circles = [(piece.x, piece.y, bore - piece.radius + FITS) for piece in pieces]
    if any(radius < 0 for _, _, radius in circles):
        return False
    places = [(x, y) for x, y, _ in circles]
    for one, other in combinations(circles, 2):
        places += _crossings(one, other)
    return any(all(math.hypot(x - u, y - v) <= radius + FITS for u, v, radius in circles) for x, y in places)


def _crossings(one: tuple[float, float, float], other: tuple[float, float, float]) -> list[tuple[float, float]]:
    """Where two circles cross."""
    (x, y, first), (u, v, second) = one, other
    apart = math.hypot(u - x, v - y)
    if apart == 0 or apart > first + second + FITS or apart < abs(first - second):
        return []
    along = (apart**2 + first**2 - second**2) / (2 * apart)
    across = math.sqrt(max(0.0, first**2 - along**2))
    to = ((u - x) / apart, (v - y) / apart)
    return [(x + along * to[0] - side * across * to[1], y + along * to[1] + side * across * to[0]) for side in (1, -1)]
