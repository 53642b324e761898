"""What a plane through the axis leaves of bars, holes, shafts, bearings and screws."""

import math
from collections.abc import Sequence
from typing import Annotated, NamedTuple

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from cyclokit.arguments import finite
from cyclokit.machine.hardware import Screw
from cyclokit.machine.layout import LEAD_IN
from cyclokit.machine.stock import Bearing
from cyclokit.signatures import Size, read


class Face(NamedTuple):
    """A face of the cut: its part, its shape along the axis and off it [mm], and whether it is a bearing's ball."""

    part: str
    shape: Polygon
    ball: bool = False


def _two(name: str, ends: object) -> None:
    """Refuse what isn't two places along the axis."""
    if finite(name, ends).shape != (2,):  # type: ignore[arg-type]  # whatever it is
        raise ValueError(f"{name} must be where it begins and ends, two numbers: give those.")


Along = Annotated[tuple[float, float], _two]  # mm


@read
def bar(radius: Size, along: Along, x: float = 0.0, y: float = 0.0) -> Polygon:
    """Where the plane cuts a cylinder whose middle is x off the axis and y off the plane; a hexagon by its corners."""
    half = math.sqrt(max(0.0, radius**2 - y**2))
    return shapely.box(along[0], x - half, along[1], x + half) if half else Polygon()


@read
def bored(radius: Size, along: Along, x: float = 0.0, *, below: Size = 0.0, above: Size = 0.0) -> BaseGeometry:
    """The same of a hole, with steps of a lead-in as wide as that where it is open below or above."""
    (low, high), width = along, max(below, above)
    found = [bar(radius, along, x)]
    for step in range(1, round(width / LEAD_IN) + 1):
        deep = width - (step - 1) * LEAD_IN
        found.append(bar(radius + step * LEAD_IN, (low, low + deep) if below else (high - deep, high), x))
    return shapely.union_all(found)


@read
def flatted(radius: Size, flat: float, along: Along, lead_in: bool = False) -> BaseGeometry:
    """A shaft with a flat above the axis, or a hole for one, with a lead-in below or not."""
    low, high = along
    whole = shapely.box(low, -radius, high, flat)
    return whole.union(shapely.box(low, -radius - LEAD_IN, low + LEAD_IN, flat + LEAD_IN)) if lead_in else whole


@read
def faces_of(name: str, solid: Sequence[BaseGeometry], gone: Sequence[BaseGeometry] = ()) -> list[Face]:
    """The faces of a part: what it is made of, less what is cut out of it."""
    left = shapely.union_all(list(solid)).difference(shapely.union_all(list(gone)))
    return [Face(name, one) for one in shapely.get_parts(left) if one.area > 0]


@read
def both_sides(number: int, radius: Size) -> tuple[float, ...]:
    """Where the plane meets what stands evenly on a circle: an odd number has none opposite another."""
    return (radius,) if number % 2 else (radius, -radius)


@read
def bearing_faces(name: str, bearing: Bearing, bottom: float, x: float = 0.0, y: float = 0.0) -> list[Face]:
    """Rings and balls of a bearing; how large balls are is common practice, no source."""
    along = (bottom, bottom + bearing.width)
    radii = bearing.bore_diameter / 2, bearing.shoulder_radius, bearing.lip_radius, bearing.outer_diameter / 2
    bore, inner, outer, outside = (bar(radius, along, x, y) for radius in radii)
    away = sum(math.sqrt(max(0.0, radius**2 - y**2)) for radius in radii[1:3]) / 2  # of balls from the bearing's middle
    ball = min(0.6 * (radii[3] - radii[0]), 0.8 * bearing.width) / 2
    balls = [shapely.Point(bottom + bearing.width / 2, x + side * away).buffer(ball, 8) for side in (1, -1)]
    rings = faces_of(name, [inner.difference(bore), outside.difference(outer)], balls)
    return [*rings, *(Face(name, one, ball=True) for one in balls)]


@read
def screw_faces(name: str, screw: Screw, length: Size, seat: float, x: float) -> list[Face]:
    """A screw's head on its seat, and what is under it."""
    head = bar(screw.head_diameter / 2, (seat, seat + screw.head_height), x)
    return faces_of(name, [bar(screw.diameter / 2, (seat - length, seat), x), head])
