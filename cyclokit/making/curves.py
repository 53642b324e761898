"""A disc's outline in the two forms that files hold: one closed cubic spline, and a closed polyline of arcs.

Both begin at root 0 and end there, to the last digit, so that no curve tool has a gap to close. A tool that is given
the formula and a parameter that stops short of a full turn leaves one as wide as the outline's speed times what is
missing, and a closing line across it that no roller runs on: at t = 6.28 the story's outline is open by 0.63 mm.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.drive import Drive
from cyclokit.geometry import outline
from cyclokit.signatures import Length, read

DEVIATION = 5e-4  # mm: half a micrometre, which no workshop measures
FEWEST = 12  # points a lobe to begin with, even, so that tips are among them
SAMPLED = 1.02  # what the farthest of the places that were looked at is multiplied by: it may lie between two
MOST = 3072  # points a lobe; an outline that needs more has a cusp


@dataclass(frozen=True)
class Spline:
    """A closed cubic B-spline, clamped: its first control point is its last, and the curve passes through it.

    Attributes
    ----------
    knots : ndarray
        (n + 4,), the first four and the last four alike.
    control_points : ndarray
        (n, 2) mm.
    deviation : float
        Farthest measured distance from the outline [mm].
    """

    knots: Floats
    control_points: Floats
    deviation: float


@dataclass(frozen=True)
class Arcs:
    """A closed polyline whose edges are arcs.

    Attributes
    ----------
    corners : ndarray
        (n, 2) mm on the outline, not closed.
    bulges : ndarray
        (n,) tangent of a quarter of each arc's angle, above zero where it bulges outwards.
    deviation : float
        Farthest measured distance from the outline [mm].
    """

    corners: Floats
    bulges: Floats
    deviation: float


Curve = TypeVar("Curve", Spline, Arcs)


@read
def spline(drive: Drive, deviation: Length = DEVIATION) -> Spline:
    """A sound drive's outline as a spline through points that are even along it, no farther off than `deviation` [mm].

    It is the one with the fewest points of those tried, each with twice the points of the one before. A ValueError says
    that no number of points is enough: the outline has a cusp.

    Examples
    --------
    >>> found = spline(Drive(20, 42.0, 5.0, 1.4))
    >>> found.control_points.shape, found.deviation < 5e-4
    ((915, 2), True)
    """
    return _coarsest(_spline, drive, deviation)


@read
def arcs(drive: Drive, deviation: Length = DEVIATION) -> Arcs:
    """The same as arcs between points that are even along the outline, each through the point half-way too.

    `deviation` [mm] and the ValueError are as for `spline`.

    Examples
    --------
    >>> found = arcs(Drive(20, 42.0, 5.0, 1.4))
    >>> found.bulges.size, found.deviation < 5e-4
    (912, True)
    """
    return _coarsest(_arcs, drive, deviation)


@read
def even_along(drive: Drive, count: int) -> Floats:
    """Values of t (count + 1,) from 0 to 2 pi at which the outline's points are evenly apart along it.

    They are alike on every lobe: the count of steps is a multiple of the lobes.
    """
    each = count // drive.lobes
    pitch = 2 * math.pi / drive.lobes
    grid = np.linspace(0.0, pitch, 64 * each + 1)
    travelled = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(outline.points(drive, grid), axis=0).T))])
    one = np.interp(np.arange(each) * travelled[-1] / each, travelled, grid)
    return np.append((pitch * np.arange(drive.lobes)[:, None] + one).ravel(), 2 * math.pi)


def _coarsest(fitted: Callable[[Drive, int], Curve], drive: Drive, deviation: float) -> Curve:
    """The first curve that is near enough, with twice the pieces a lobe each time."""
    each = FEWEST
    while each <= MOST:
        found = fitted(drive, each)
        if found.deviation <= deviation:
            return found
        each *= 2
    raise ValueError(
        f"deviation is {deviation:g} mm, which {MOST} points a lobe don't reach: the outline has a cusp, or it is too "
        "fine. Choose a sound drive, or allow more."
    )


def _spline(drive: Drive, each: int) -> Spline:
    """A spline through so many points a lobe."""
    from scipy import interpolate

    t = even_along(drive, each * drive.lobes)
    steps = np.arange(t.size, dtype=float)
    places = outline.points(drive, t)
    places[-1] = places[0]
    step = outline.length(drive) / (t.size - 1)
    ends = [(1, np.array([0.0, step]))]  # at a root on +x the outline runs along +y
    curve = interpolate.make_interp_spline(steps, places, k=3, bc_type=(ends, ends))
    # seven times between points of the first two lobes: the last is the first's mirror image, and what the clamped
    # ends do dies out along the points (to a quarter with each), so that all others are as the second
    between = np.arange(0.125, each * min(2, drive.lobes), 0.125)
    points = np.array(curve.c)
    points[-1] = points[0]
    return Spline(np.array(curve.t), points, _distance(drive, curve(between), np.interp(between, steps, t)))


def _arcs(drive: Drive, each: int) -> Arcs:
    """So many arcs a lobe, each from a point to the next but one and through that between; alike on every lobe."""
    t = even_along(drive, 2 * each * drive.lobes)[: 2 * each + 1]
    places = outline.points(drive, t) @ [1, 1j]
    start, middle, end = places[:-1:2], places[1::2], places[2::2]
    # from a point of an arc of angle a its ends are seen pi - a/2 apart: the inscribed angle, Euclid III.20
    seen = np.angle((start - middle) / (end - middle))
    bulges = np.sign(seen) * np.tan((math.pi - np.abs(seen)) / 2)
    turned = np.exp(2j * math.pi / drive.lobes * np.arange(drive.lobes))
    corners = (turned[:, None] * start).ravel()
    return Arcs(
        np.column_stack([corners.real, corners.imag]),
        np.tile(bulges, drive.lobes),
        _arc_distance(drive, start, end, bulges, t),
    )


def _distance(drive: Drive, places: Floats, near: Floats) -> float:
    """Farthest distance of places [mm] from the outline, each sought from a value of t near to it."""
    t = near.copy()
    for _ in range(3):  # each round takes the rest to its square
        off = places - outline.points(drive, t)
        normal = outline.normals(drive, t)
        ahead = off[:, 1] * normal[:, 0] - off[:, 0] * normal[:, 1]  # along the outline, counter-clockwise
        t = t + ahead / _speed(drive, t)
    return SAMPLED * float(np.hypot(*(places - outline.points(drive, t)).T).max())


def _speed(drive: Drive, t: Floats) -> Floats:
    """Length of outline [mm] for a radian of t."""
    step = 1e-6
    return np.hypot(*(outline.points(drive, t + step) - outline.points(drive, t - step)).T) / (2 * step)


def _arc_distance(drive: Drive, start: np.ndarray, end: np.ndarray, bulges: Floats, t: Floats) -> float:
    """Farthest distance of arcs from the outline [mm], at every eighth of each; the ends and the middle are on it."""
    angle = 4 * np.arctan(bulges)
    far = 0.0
    for share in (0.125, 0.25, 0.375, 0.625, 0.75, 0.875):
        safe = np.where(angle == 0, 1.0, angle)
        part = np.where(angle == 0, share, (np.exp(1j * safe * share) - 1) / (np.exp(1j * safe) - 1))
        places = start + (end - start) * part
        near = t[:-1:2] + share * (t[2::2] - t[:-1:2])
        far = max(far, _distance(drive, np.column_stack([places.real, places.imag]), near))
    return far
