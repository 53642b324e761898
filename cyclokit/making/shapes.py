"""Plane loops with their true curves (circles, a disc's outline, lines and arcs), and parts as stacks of slabs of them.

A part is what it is before anybody chose a file format: each writer takes from it the circle, the curve or as many
corners as its format can hold. All lengths in mm, all angles in rad, counter-clockwise.
"""

import math
import re
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
import shapely
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_kind, checked_length, checked_number, finite
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, polygons
from cyclokit.signatures import FARTHEST, Length, read
from cyclokit.texts import shown

Point = tuple[float, float]
NAME = re.compile("[A-Za-z0-9_]{1,100}")  # of a part


def _checked_point(name: str, value: object) -> None:
    """Refuse what is no tuple of x and y [mm], by the argument's name."""
    if not isinstance(value, tuple) or len(value) != 2:
        raise TypeError(f"{name} must be a tuple of x and y in mm, not {shown(value)}: give (0.0, 0.0), say.")
    for number in value:
        checked_number(name, number, -FARTHEST, FARTHEST)


At = Annotated[Point, _checked_point]


def _checked_step(name: str, value: object) -> None:
    """Refuse what is no tuple of x, y and z [mm], by the argument's name."""
    if not isinstance(value, tuple) or len(value) != 3:
        raise TypeError(f"{name} must be a tuple of x, y and z in mm, not {shown(value)}: give (0.0, 0.0, 1.0), say.")
    for number in value:
        checked_number(name, number, -FARTHEST, FARTHEST)


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


Loop = Circle | Lobes | Polyline


def _checked_loop(name: str, value: object) -> None:
    """Refuse what is neither a Circle, nor Lobes, nor a Polyline, by the argument's name."""
    if not isinstance(value, Loop):
        raise TypeError(f"{name} must be a Circle, Lobes or a Polyline, not a {type(value).__name__}: make one.")


Step = Annotated[tuple[float, float, float], _checked_step]


@read
def polygon(corners: ArrayLike) -> Polyline:
    """A loop of straight lines through corners [mm], (n, 2), counter-clockwise, not closed."""
    points = polygons.vectors("corners", corners).reshape(-1, 2)
    return Polyline(tuple((float(x), float(y)) for x, y in points), (0.0,) * len(points))


@read
def rounded_rectangle(width: Length, height: Length, radius: Length, centre: At = (0.0, 0.0)) -> Polyline:
    """A rectangle with rounded corners.

    Parameters
    ----------
    width, height : float
        Along x and y [mm].
    radius : float
        Of the corners [mm], at most half the shorter side.
    centre : tuple of float
        Its middle [mm].

    Returns
    -------
    Polyline
        Four lines and four quarter circles.

    Examples
    --------
    >>> round(area(rounded_rectangle(40.0, 30.0, 5.0)), 3)
    1178.54
    """
    across, up, (x, y) = width / 2, height / 2, centre
    if radius > min(across, up):
        raise ValueError(
            f"radius is {radius:g} mm, but must be at most half the width and half the height: choose a smaller one."
        )
    quarter = math.tan(math.pi / 8)
    corners = (
        (x + across, y - up + radius),
        (x + across, y + up - radius),
        (x + across - radius, y + up),
        (x - across + radius, y + up),
        (x - across, y + up - radius),
        (x - across, y - up + radius),
        (x - across + radius, y - up),
        (x + across - radius, y - up),
    )
    return Polyline(corners, (0.0, quarter) * 4)


@read
def circle_with_flat(radius: Length, flat: Length, turn: float = 0.0) -> Polyline:
    """A round shaft or bore with one flat, about (0, 0).

    Parameters
    ----------
    radius : float
        Of the round part [mm].
    flat : float
        Distance of the flat from the middle [mm], below the radius.
    turn : float
        Which way the flat looks [rad].

    Returns
    -------
    Polyline
        One arc and one line.
    """
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
    """A loop turned about (0, 0) and then moved.

    Parameters
    ----------
    loop : Circle, Lobes or Polyline
        The loop.
    turn : float
        Angle [rad].
    by : tuple of float
        How far along x and y [mm].

    Returns
    -------
    Circle, Lobes or Polyline
        A loop of the same kind.

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
    """Area inside a loop [mm^2], of its true curve.

    Parameters
    ----------
    loop : Circle, Lobes or Polyline
        The loop.

    Returns
    -------
    float
        Area, below zero for a path that runs clockwise.

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
    """A loop as a polygon.

    Parameters
    ----------
    loop : Circle, Lobes or Polyline
        The loop.
    tolerance : float
        How far a corner's neighbour may be from the true curve [mm].

    Returns
    -------
    ndarray of float
        (m, 2) closed: first point == last, all of them on the curve [mm].

    Examples
    --------
    >>> corners_of(Circle(5.0), 0.01).shape
    (51, 2)
    """
    limit = checked_length("tolerance", tolerance)
    if isinstance(loop, Lobes):
        return motion.turned(outline.polygon(loop.drive, limit), loop.turn) + loop.centre
    if isinstance(loop, Circle):
        # an odd number of points would have no point opposite another, and the extent would be lost
        count = 2 * math.ceil(_chords(loop.radius, 2 * math.pi, limit) / 2)
        angles = np.append(np.arange(count) * (2 * math.pi / count), 0.0)
        return loop.radius * np.column_stack([np.cos(angles), np.sin(angles)]) + loop.centre
    points = [
        point
        for start, end, bulge in zip(loop.corners, (*loop.corners[1:], loop.corners[0]), loop.bulges, strict=True)
        for point in _along(start, end, bulge, limit)
    ]
    return np.array([*points, points[0]])


@read
def arc(start: At, end: At, bulge: float) -> tuple[Point, float, float, float]:
    """Centre [mm], radius [mm], first angle and swept angle [rad] of an edge that isn't straight.

    Parameters
    ----------
    start, end : tuple of float
        Its ends [mm].
    bulge : float
        Tangent of a quarter of its angle, not 0.

    Returns
    -------
    tuple
        Centre, radius (above zero), the angle at which it starts, and the angle it sweeps, below zero if clockwise.
    """
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


@dataclass(frozen=True)
class Slab:
    """A plate with holes, from one height to another.

    Attributes
    ----------
    outside : Circle, Lobes or Polyline
        Its edge.
    holes : tuple of Circle, Lobes or Polyline
        What is cut out; they don't meet each other or the edge.
    bottom, top : float
        Heights z [mm].
    marks : tuple of Circle, Lobes or Polyline
        Holes that only tell how the part goes in: witness marks.
    """

    outside: Loop
    holes: tuple[Loop, ...]
    bottom: float
    top: float
    marks: tuple[Loop, ...] = ()

    def __post_init__(self) -> None:
        _checked_loop("outside", self.outside)
        for name in ("holes", "marks"):
            checked_kind(name, getattr(self, name), tuple, "give a tuple of loops")
            for loop in getattr(self, name):
                _checked_loop(name, loop)
        for name in ("bottom", "top"):
            checked_number(name, getattr(self, name), -FARTHEST, FARTHEST)
        if not self.bottom < self.top:
            raise ValueError(f"bottom is {self.bottom} mm and top {self.top}: the top must be higher. Swap them.")

    @property
    def cut(self) -> tuple[Loop, ...]:
        """All that is cut out: holes and marks."""
        return (*self.holes, *self.marks)

    @property
    def area(self) -> float:
        """Area of the plate, what is cut out taken away [mm^2]."""
        return abs(area(self.outside)) - sum(abs(area(loop)) for loop in self.cut)

    @property
    def volume(self) -> float:
        """Its volume [mm^3]."""
        return self.area * (self.top - self.bottom)


@dataclass(frozen=True)
class Part:
    """One part of a machine, where it is in the machine when the crank is at 0.

    Attributes
    ----------
    name : str
        Its name: letters of the alphabet, digits and underscores, so that a file can have it.
    slabs : tuple of Slab
        What it is, from the bottom up; slabs that touch are one piece.
    material : str
        What it is made of.
    bought : bool
        Whether it is bought rather than made.
    """

    name: str
    slabs: tuple[Slab, ...]
    material: str
    bought: bool = False

    def __post_init__(self) -> None:
        for name in ("name", "material"):
            checked_kind(name, getattr(self, name), str, "give a text")
        if not NAME.fullmatch(self.name):
            raise ValueError(
                f"name is {shown(self.name)}, but files are called so: give letters from a to z, digits and "
                "underscores, 100 at most."
            )
        checked_kind("slabs", self.slabs, tuple, "give a tuple of Slab")
        for slab in self.slabs:
            checked_kind("slabs", slab, Slab, "give a tuple of Slab")
        if not self.slabs:
            raise ValueError("slabs is empty, but a part has one or more: give a tuple of Slab.")
        checked_kind("bought", self.bought, bool, "give True or False")

    @property
    def volume(self) -> float:
        """Its volume [mm^3], of the true curves."""
        return sum(slab.volume for slab in self.slabs)

    @property
    def bottom(self) -> float:
        """Its lowest height [mm]."""
        return min(slab.bottom for slab in self.slabs)

    @property
    def top(self) -> float:
        """Its greatest height [mm]."""
        return max(slab.top for slab in self.slabs)


def checked_parts(parts: object) -> tuple[Part, ...]:
    """Some parts as a tuple; anything else is refused in words."""
    if not isinstance(parts, tuple | list) or not parts:
        raise TypeError(f"parts must be a tuple of Part, not {shown(parts)}: give what solids.machine gives.")
    for part in parts:
        checked_kind("parts", part, Part, "give what solids.machine gives")
    return tuple(parts)


@read
def part_moved(part: Part, turn: float = 0.0, by: Step = (0.0, 0.0, 0.0)) -> Part:
    """A part turned about the axis through (0, 0) [rad], then moved along x, y and z [mm]."""
    x, y, z = by

    def _there(loops: tuple[Loop, ...]) -> tuple[Loop, ...]:
        return tuple(moved(loop, turn, (x, y)) for loop in loops)

    return replace(
        part,
        slabs=tuple(
            Slab(_there((slab.outside,))[0], _there(slab.holes), slab.bottom + z, slab.top + z, _there(slab.marks))
            for slab in part.slabs
        ),
    )


@read
def part_turned_over(part: Part) -> Part:
    """A part upside down: turned over about the x axis, and lifted so that it stands on z = 0."""
    height = part.top

    def _over(loops: tuple[Loop, ...]) -> tuple[Loop, ...]:
        return tuple(map(turned_over, loops))

    return replace(
        part,
        slabs=tuple(
            Slab(
                turned_over(slab.outside), _over(slab.holes), height - slab.top, height - slab.bottom, _over(slab.marks)
            )
            for slab in reversed(part.slabs)
        ),
    )


@read
def plane(slab: Slab, tolerance: Length = 1e-3) -> shapely.Geometry:
    """A slab as an area of Shapely's, its curves as polygons within a tolerance.

    Parameters
    ----------
    slab : Slab
        The slab.
    tolerance : float
        How far the polygons may be from the true curves [mm].

    Returns
    -------
    shapely.Polygon
        The area.

    Raises
    ------
    ValueError
        If its holes meet each other or the edge, or a loop crosses itself.
    """
    found = shapely.Polygon(corners_of(slab.outside, tolerance), [corners_of(loop, tolerance) for loop in slab.cut])
    if not found.is_valid:
        why = shapely.is_valid_reason(found)
        raise ValueError(f"slab is no plate with holes ({why}): move or shrink what meets there.")
    return found


@read
def at_height(part: Part, z: float, tolerance: Length = 1e-3) -> shapely.Geometry:
    """What a plane cuts out of a part.

    Parameters
    ----------
    part : Part
        The part.
    z : float
        The plane's height [mm]; on a slab's own face it meets nothing of that slab.
    tolerance : float
        How far the polygons may be from the true curves [mm].

    Returns
    -------
    shapely.Geometry
        The area, empty where the plane passes the part by.
    """
    return shapely.union_all([plane(slab, tolerance) for slab in part.slabs if slab.bottom < z < slab.top])
