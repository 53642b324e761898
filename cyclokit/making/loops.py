"""Plane loops with their true curves: circles, a disc's outline, lines and arcs, in mm and rad, counter-clockwise."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_kind, checked_length, checked_number, finite
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, polygons
from cyclokit.signatures import FARTHEST, Length, read
from cyclokit.texts import shown

Point = tuple[float, float]


def _checked_point(name: str, value: object) -> None:
    """Refuse what is no tuple of x and y [mm], by the argument's name."""
    if not isinstance(value, tuple) or len(value) != 2:
        raise TypeError(f"{name} must be a tuple of x and y in mm, not {shown(value)}: give (0.0, 0.0), say.")
    for number in value:
        checked_number(name, number, -FARTHEST, FARTHEST)


At = Annotated[Point, _checked_point]


@dataclass(frozen=True)
class Circle:
    """A circle.

    Attributes
    ----------
    radius : float
        Radius [mm].
    centre : tuple of float
        Its centre [mm].
    """

    radius: float
    centre: Point = (0.0, 0.0)

    def __post_init__(self) -> None:
        checked_length("radius", self.radius)
        _checked_point("centre", self.centre)


@dataclass(frozen=True)
class Lobes:
    """The outline of a disc: rolled from the drive's four numbers, its roller radius with all allowances in it.

    Attributes
    ----------
    drive : Drive
        The drive whose outline it is.
    centre : tuple of float
        The disc's centre [mm].
    turn : float
        Where root 0 points [rad].
    """

    drive: Drive
    centre: Point = (0.0, 0.0)
    turn: float = 0.0

    def __post_init__(self) -> None:
        checked_kind("drive", self.drive, Drive)
        _checked_point("centre", self.centre)
        checked_number("turn", self.turn, -FARTHEST, FARTHEST)


@dataclass(frozen=True)
class Polyline:
    """A closed loop of lines and arcs.

    Attributes
    ----------
    corners : tuple of tuple of float
        Where lines and arcs meet, counter-clockwise, not closed [mm].
    bulges : tuple of float
        For the edge from each corner to the next: tangent of a quarter of the arc's angle, above zero where it bulges
        outwards, 0 for a line. The measure of DXF's polylines.
    """

    corners: tuple[Point, ...]
    bulges: tuple[float, ...]

    def __post_init__(self) -> None:
        for name in ("corners", "bulges"):
            checked_kind(name, getattr(self, name), tuple, "give a tuple, as `polygon` makes it")
        for corner in self.corners:
            _checked_point("corners", corner)
        finite("bulges", self.bulges)
        if len(self.corners) < 2 or len(self.bulges) != len(self.corners):
            raise ValueError(
                f"corners are {len(self.corners)} and bulges {len(self.bulges)}, but a loop needs two corners or more, "
                "and a bulge for each: 0 for a line."
            )

    @property
    def edges(self) -> Iterator[tuple[Point, Point, float]]:
        """Each edge: where it begins and ends, and its bulge."""
        return zip(self.corners, (*self.corners[1:], self.corners[0]), self.bulges, strict=True)


Loop = Circle | Lobes | Polyline


@read
def polygon(corners: ArrayLike) -> Polyline:
    """A loop of straight lines through corners [mm], (n, 2), counter-clockwise, not closed."""
    points = polygons.vectors("corners", corners).reshape(-1, 2)
    return Polyline(tuple((float(x), float(y)) for x, y in points), (0.0,) * len(points))


@read
def rounded_rectangle(width: Length, height: Length, radius: Length, centre: At = (0.0, 0.0)) -> Polyline:
    """A rectangle along x and y, its corners rounded by a radius of at most half the shorter side [mm].

    Examples
    --------
    >>> round(area(rounded_rectangle(40.0, 30.0, 5.0)), 3)
    1178.54
    """
    across, up = width / 2, height / 2
    if radius > min(across, up):
        raise ValueError(
            f"radius is {radius:g} mm, but must be at most half the width and half the height: choose a smaller one."
        )
    quarter = math.tan(math.pi / 8)
    half = ((across, radius - up), (across, up - radius), (across - radius, up), (radius - across, up))
    corners = tuple((centre[0] + side * x, centre[1] + side * y) for side in (1, -1) for x, y in half)
    return Polyline(corners, (0.0, quarter) * 4)


@read
def circle_with_flat(radius: Length, flat: Length, turn: float = 0.0) -> Polyline:
    """A round shaft or bore about (0, 0), with a flat nearer to it than the radius [mm], looking to `turn` [rad]."""
    if not flat < radius:
        raise ValueError(f"flat is {flat:g} mm, but must be less than the radius, {radius:g}: measure from the middle.")
    half = math.acos(flat / radius)
    start, end = turn + half, turn + 2 * math.pi - half
    corners = tuple((radius * math.cos(angle), radius * math.sin(angle)) for angle in (start, end))
    return Polyline(corners, (math.tan((end - start) / 4), 0.0))


@read
def hexagon(across_flats: Length, centre: At = (0.0, 0.0), turn: float = 0.0) -> Polyline:
    """A nut's outline: its width across flats [mm], one corner towards `turn` [rad]."""
    radius = across_flats / math.sqrt(3)
    angles = turn + np.arange(6) * math.pi / 3
    return polygon(np.column_stack([centre[0] + radius * np.cos(angles), centre[1] + radius * np.sin(angles)]))


@read
def moved(loop: Loop, turn: float = 0.0, by: At = (0.0, 0.0)) -> Loop:
    """A loop turned about (0, 0) [rad] and then moved along x and y [mm]; of the same kind.

    Examples
    --------
    >>> moved(Circle(2.0, (1.0, 0.0)), by=(0.5, 0.0)).centre
    (1.5, 0.0)
    """
    cosine, sine = math.cos(turn), math.sin(turn)

    def _there(point: Point) -> Point:
        x, y = point
        return (cosine * x - sine * y + by[0], sine * x + cosine * y + by[1])

    if isinstance(loop, Polyline):
        return replace(loop, corners=tuple(map(_there, loop.corners)))
    if isinstance(loop, Lobes):
        return replace(loop, centre=_there(loop.centre), turn=loop.turn + turn)
    return replace(loop, centre=_there(loop.centre))


@read
def turned_over(loop: Loop) -> Loop:
    """A loop as seen from its other side: mirrored in the x axis, still counter-clockwise."""
    if isinstance(loop, Polyline):
        corners = tuple((x, -y) for x, y in reversed(loop.corners))
        bulges = tuple(reversed(loop.bulges[:-1])) + loop.bulges[-1:]
        return Polyline(corners, bulges)
    x, y = loop.centre
    if isinstance(loop, Lobes):  # an outline is its own mirror image in the line through root 0
        return replace(loop, centre=(x, -y), turn=-loop.turn)
    return replace(loop, centre=(x, -y))


@read
def area(loop: Loop) -> float:
    """Area inside a loop [mm^2], of its true curve; below zero for a path that runs clockwise.

    Examples
    --------
    >>> round(area(circle_with_flat(2.5, 2.0)), 4)  # of a 5 mm shaft with a flat
    18.6131
    """
    if isinstance(loop, Circle):
        return math.pi * loop.radius**2
    if isinstance(loop, Lobes):
        return outline.area(loop.drive)
    corners = np.array(loop.corners)
    ahead = np.roll(corners, -1, axis=0)
    straight = float(np.sum(corners[:, 0] * ahead[:, 1] - corners[:, 1] * ahead[:, 0])) / 2
    angle = 4 * np.arctan(loop.bulges)
    chord = np.hypot(*(ahead - corners).T)
    curved = np.flatnonzero(loop.bulges)
    radius = chord[curved] / (2 * np.sin(angle[curved] / 2))
    return straight + float(np.sum(radius**2 * (angle[curved] - np.sin(angle[curved]))) / 2)


@read
def corners_of(loop: Loop, tolerance: Length = 1e-3) -> Floats:
    """A loop as a polygon (m, 2) [mm]: first point == last, all on the curve, no chord farther off than the tolerance.

    Examples
    --------
    >>> corners_of(Circle(5.0), 0.01).shape
    (51, 2)
    """
    if isinstance(loop, Lobes):
        return motion.turned(outline.polygon(loop.drive, tolerance), loop.turn) + loop.centre
    if isinstance(loop, Circle):
        # an odd number of points would have no point opposite another, and the extent would be lost
        count = 2 * math.ceil(_chords(loop.radius, 2 * math.pi, tolerance) / 2)
        angles = np.append(np.arange(count) * (2 * math.pi / count), 0.0)
        return loop.radius * np.column_stack([np.cos(angles), np.sin(angles)]) + loop.centre
    points = [point for start, end, bulge in loop.edges for point in _along(start, end, bulge, tolerance)]
    return np.array([*points, points[0]])


@read
def arc(start: At, end: At, bulge: float) -> tuple[Point, float, float, float]:
    """Centre [mm], radius [mm], first angle and swept angle [rad], below zero if clockwise, of an edge with a bulge."""
    if bulge == 0 or start == end:
        raise ValueError("bulge is 0 or both ends are one, which makes no arc: draw a line instead.")
    swept = 4 * math.atan(bulge)
    x, y = end[0] - start[0], end[1] - start[1]
    across = (1 - bulge**2) / (4 * bulge)  # of the chord, from its middle to the centre, to the left
    centre = ((start[0] + end[0]) / 2 - across * y, (start[1] + end[1]) / 2 + across * x)
    radius = math.hypot(x, y) * (1 + bulge**2) / (4 * abs(bulge))
    return centre, radius, math.atan2(start[1] - centre[1], start[0] - centre[0]), swept


def _along(start: Point, end: Point, bulge: float, tolerance: float) -> list[Point]:
    """Points of an edge, its start among them and its end not."""
    if bulge == 0:
        return [start]
    (x, y), radius, first, swept = arc(start, end, bulge)
    count = _chords(radius, abs(swept), tolerance)
    return [start] + [
        (x + radius * math.cos(first + swept * k / count), y + radius * math.sin(first + swept * k / count))
        for k in range(1, count)
    ]


def _chords(radius: float, angle: float, tolerance: float) -> int:
    """How many chords keep that near to an arc: each sagitta is r (1 - cos(half its angle))."""
    if tolerance >= radius:
        return max(1, math.ceil(angle / (math.pi / 2)))
    return max(1, math.ceil(angle / (2 * math.acos(1 - tolerance / radius))), math.ceil(angle / (math.pi / 2)))
