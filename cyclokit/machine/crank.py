"""The crank as a stack of cylinders, whether its bearings come on to it, and how it is divided where they don't.

A bearing's ring is slid along the crank and may be shifted sideways on its way. Where it is round several cylinders at
once it must take all of them: its middle is then no farther from each one's than their radii differ. The neck between
two discs is a shoulder for inner rings, so thick that no bearing passes from it on to an eccentric (derived). So with
three discs the crank is divided above the second one. With two, and journals so thick that no bearing passes them, it
is divided between the discs, and each bearing comes on to its piece from there; the neck would bar one of them, on
whichever piece it were, so it is a ring of its own.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from cyclokit.arguments import checked_kind, checked_length, checked_number
from cyclokit.machine.hardware import LENGTHS, SCREWS, Screw, longest_screw
from cyclokit.machine.layout import AXIAL_GAP, SCREW_GAP, THREAD_END, layout
from cyclokit.machine.reducer import Reducer

FITS = 1e-9  # mm: a bore as wide as its cylinder takes it
JUST = 1e-7  # mm: just before, just after
FAR = 1e6  # mm, either way
FLAT = 0.2  # of the spigot's radius, as on a motor's shaft of 5 mm
SUNK = 0.3  # mm, that the head of the crank's screw stays below the crank's upper face


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


@dataclass(frozen=True)
class Division:
    """How the two pieces of a divided crank find each other and hold together.

    Attributes
    ----------
    bottom, spigot_top : float
        Where the lower piece's upper face is, and the top of the spigot on it [mm].
    upper : float
        Where the upper piece begins [mm]: on that face, or on the neck where this is a ring of its own in between.
    radius, flat : float
        The spigot's radius, and how far its flat is from the axis [mm]: it goes in one way only.
    screw : Screw
        The screw along the axis that clamps the upper piece on to the lower one and cuts its thread in the spigot.
    seat, length, thread_bottom : float
        Height of the face under its head, its length, and where the hole for its thread begins [mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> found = division(Reducer(Drive(20, 42.0, 5.0, 1.4), discs=3))
    >>> found.screw.name, found.length, round(found.engaged, 3)  # mm
    ('M2.5', 10, 4.8)
    >>> found.loose_neck, division(Reducer(Drive(20, 42.0, 5.0, 1.4), crank_bearing="61800")).loose_neck
    (False, True)
    """

    bottom: float
    spigot_top: float
    upper: float
    radius: float
    flat: float
    screw: Screw
    seat: float
    length: float
    thread_bottom: float

    @property
    def loose_neck(self) -> bool:
        """Whether the neck is a ring of its own, clamped between the two pieces."""
        return self.upper > self.bottom

    @property
    def engaged(self) -> float:
        """Length of the screw that is in the spigot and below it [mm]."""
        return self.spigot_top - (self.seat - self.length)


def division(reducer: Reducer) -> Division | None:
    """Where a crank is divided that can't be put together in one piece, and how; None of one that can.

    It may have no room: that is for `cyclokit.machine.bench.check`. None too of one disc, where there is nothing to
    divide between, and where eccentrics leave no neck between them.

    Notes
    -----
    The spigot leaves a wall in the upper eccentric, above it and round it. The screw is the thickest of the table that
    leaves a wall in the spigot, and its head one in the upper journal, else the thinnest; as long as the motor's shaft
    under it lets it be. A neck that reaches the inner rings has a wall round the spigot too (derived).

    Examples
    --------
    >>> from cyclokit import Drive
    >>> division(Reducer(Drive(20, 42.0, 5.0, 1.4))) is None
    True
    >>> round(division(Reducer(Drive(20, 42.0, 5.0, 1.4), discs=3)).radius, 3)  # mm
    3.4
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    plan, wall, bore = layout(reducer), reducer.least_wall, reducer.eccentric_bearing.bore_diameter / 2
    necks = all(above[0] > below[1] for below, above in pairwise(plan.eccentrics))
    if reducer.discs == 1 or not necks:
        return None
    whole = cylinders(reducer)
    if _ends_of(whole, bore) is not None:
        return None
    radius = bore - reducer.drive.eccentricity - wall
    flat = (1 - FLAT) * radius
    room = reducer.crank_bearing.bore_diameter / 2 - wall - SCREW_GAP
    fitting = [
        one
        for one in SCREWS.values()
        if one.head_diameter / 2 <= room + FITS and one.diameter / 2 <= flat - wall + FITS
    ]
    screw = fitting[-1] if fitting else next(iter(SCREWS.values()))
    lowest = reducer.motor_shaft_length + AXIAL_GAP + wall + THREAD_END  # of its tip
    highest = plan.upper_bearing[1] - SUNK - screw.head_height  # of its seat
    length = longest_screw(max(highest - lowest, float(LENGTHS[0])) + FITS)
    top = plan.eccentrics[-1][1] - wall
    seat = min(max(lowest + length, top + 2 * wall), highest)
    return Division(
        bottom=plan.eccentrics[-2][1],
        spigot_top=top,
        upper=plan.eccentrics[-1][0] if _ends_of(whole[-3:], bore) is None else plan.eccentrics[-2][1],
        radius=radius,
        flat=flat,
        screw=screw,
        seat=seat,
        length=length,
        thread_bottom=seat - length - THREAD_END,
    )


def pieces(reducer: Reducer) -> tuple[tuple[Cylinder, ...], ...]:
    """The crank's pieces as cylinders, from the bottom up: one, or two and maybe a neck between them.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> lower, upper = pieces(Reducer(Drive(20, 42.0, 5.0, 1.4), discs=3))
    >>> [round(piece.radius, 2) for piece in lower], [round(piece.radius, 2) for piece in upper]  # mm
    ([4.0, 6.0, 5.16, 6.0, 3.4], [5.16, 6.0, 4.0])
    """
    whole, cut = cylinders(reducer), division(reducer)
    if cut is None:
        return (whole,)
    spigot = Cylinder(cut.radius, 0.0, 0.0, cut.bottom, cut.spigot_top)
    lower = (*whole[:-3], spigot)
    return (lower, whole[-3:-2], whole[-2:]) if cut.loose_neck else (lower, whole[-3:])


def ends(reducer: Reducer) -> tuple[str, ...] | None:
    """From which end of its piece each disc's bearing comes on to the crank, from the lowest disc up; None if it can't.

    "below" or "above" for each.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> ends(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    ('below', 'above')
    >>> ends(Reducer(Drive(20, 42.0, 5.0, 1.4), discs=3))  # the third one's on the upper piece, before they are joined
    ('below', 'above', 'above')
    """
    found: tuple[str, ...] = ()
    for piece in pieces(reducer):
        some = _ends_of(piece, reducer.eccentric_bearing.bore_diameter / 2)
        if some is None:
            return None
        found += some
    return found


def _ends_of(piece: Sequence[Cylinder], bore: float) -> tuple[str, ...] | None:
    """The same for one piece, and rings of that bore's radius on those of its cylinders that are off the axis.

    A bearing that is on bars the way of others through its place, so that those from below are under those from above.
    """
    seats = [one for one in piece if (one.x, one.y) != (0.0, 0.0)]
    for below in range(len(seats), -1, -1):
        if all(_comes_on(piece, seat, bore, number < below) for number, seat in enumerate(seats)):
            return ("below",) * below + ("above",) * (len(seats) - below)
    return None


def _comes_on(pieces: Sequence[Cylinder], seat: Cylinder, bore: float, below: bool) -> bool:
    """Whether at every height of a ring's way from an end to its seat some place takes all that it is round."""
    width = seat.top - seat.bottom
    # what it is round changes where its upper face comes to a piece, or its lower face leaves one
    changes = [z for piece in pieces for z in (piece.bottom - width + JUST, piece.top - JUST)]
    way = [z for z in changes if (z < seat.bottom if below else z > seat.bottom)]
    return all(
        _common([piece for piece in pieces if piece.top > z + JUST / 2 and piece.bottom < z + width - JUST / 2], bore)
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
