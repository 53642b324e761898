"""Bought parts as solids at their nominal size: bearings, rods, screws, nuts and a motor.

A bearing is an inner ring, an outer ring and a ring in place of the balls: each race has a groove, so that one ring
carries the other sideways and along the axis as balls do. Threads are cylinders of their nominal diameter.
"""

import math

from cyclokit.machine.hardware import Motor, Screw
from cyclokit.machine.stock import Bearing
from cyclokit.making.loops import At, Circle, Point, circle_with_flat, hexagon, rounded_rectangle
from cyclokit.making.shapes import Part, Slab
from cyclokit.signatures import Length, read

STEEL, RING_STEEL = "plain steel", "bearing steel"
BODY = 20.0  # mm of the motor's body that are drawn
CORNER = 3.0  # mm, of its face
SHOULDER = 0.25  # of a bearing's width, beside the groove on either side: a drawing's, not a maker's


@read
def bearing(name: str, one: Bearing, bottom: float, centre: At = (0.0, 0.0)) -> tuple[Part, ...]:
    """A bearing's inner ring, balls and outer ring, called after its name, from a height upwards [mm]."""
    bore, outside = one.bore_diameter / 2, one.outer_diameter / 2
    inner, outer = one.shoulder_radius, one.lip_radius
    deep = (inner - bore) / 2  # half of the ring is left below its groove
    heights = [bottom + share * one.width for share in (0.0, SHOULDER, 1 - SHOULDER, 1.0)]

    def _ring(radii: tuple[tuple[float, float], ...]) -> tuple[Slab, ...]:
        return tuple(
            Slab(Circle(far, centre), (Circle(near, centre),), low, high)
            for (near, far), low, high in zip(radii, heights[:-1], heights[1:], strict=True)
        )

    race, groove = (bore, inner), (bore, inner - deep)
    outer_race, outer_groove = (outer, outside), (outer + deep, outside)
    balls = Slab(Circle(outer + deep, centre), (Circle(inner - deep, centre),), heights[1], heights[2])
    return (
        Part(f"{name}_inner", _ring((race, groove, race)), RING_STEEL, bought=True),
        Part(f"{name}_balls", (balls,), RING_STEEL, bought=True),
        Part(f"{name}_outer", _ring((outer_race, outer_groove, outer_race)), RING_STEEL, bought=True),
    )


@read
def rod(name: str, radius: Length, bottom: float, top: float, centre: At, material: str) -> Part:
    """A round rod between two heights [mm]."""
    return Part(name, (Slab(Circle(radius, centre), (), bottom, top),), material, bought=True)


@read
def screw(name: str, one: Screw, length: Length, seat: float, centre: At) -> Part:
    """A screw whose head stands on a face at the height `seat`, its tip below [mm]."""
    shank = Slab(Circle(one.diameter / 2, centre), (), seat - length, seat)
    head = Slab(Circle(one.head_diameter / 2, centre), (), seat, seat + one.head_height)
    return Part(name, (shank, head), STEEL, bought=True)


@read
def nut(name: str, one: Screw, bottom: float, centre: At, turn: float) -> Part:
    """A nut, one of its corners towards `turn` [rad]."""
    hole = Circle(one.diameter / 2, centre)
    slab = Slab(hexagon(one.nut_width, centre, turn), (hole,), bottom, bottom + one.nut_height)
    return Part(name, (slab,), STEEL, bought=True)


@read
def insert(name: str, one: Screw, bottom: float, centre: At) -> Part:
    """An insert that is melted into a print, as wide as its hole."""
    hole, outside = Circle(one.diameter / 2, centre), Circle(one.insert_diameter / 2, centre)
    return Part(name, (Slab(outside, (hole,), bottom, bottom + one.insert_length),), STEEL, bought=True)


@read
def motor(face: Motor, radius: Length, flat: Length, length: Length, turn: float) -> tuple[Part, Part]:
    """A motor below its face at height 0, and its shaft, whose flat looks towards `turn` [rad].

    Of the shaft its radius is given, how deep its flat is, above the axis, and how far it stands out of the face,
    beyond the pilot [mm].
    """
    if not flat < radius:
        raise ValueError(f"flat is {flat:g} mm deep, but must be less than the radius, {radius:g}: measure it again.")
    if not length > face.pilot_height:
        raise ValueError(
            f"length is {length:g} mm, but must be more than the pilot's height, {face.pilot_height:g}: "
            "measure from the face."
        )
    square = rounded_rectangle(face.side, face.side, CORNER)
    threads = tuple(Circle(_thread_radius(face), place) for place in thread_places(face))
    shaft = Circle(radius)
    body = (
        Slab(square, (shaft,), -BODY, -face.thread_depth),
        Slab(square, (shaft, *threads), -face.thread_depth, 0.0),
        Slab(Circle(face.pilot_diameter / 2), (shaft,), 0.0, face.pilot_height),
    )
    stands_out = Slab(circle_with_flat(radius, radius - flat, turn), (), face.pilot_height, length)
    inside = Slab(shaft, (), -BODY, face.pilot_height)
    return (
        Part("motor", body, STEEL, bought=True),
        Part("motor_shaft", (inside, stands_out), STEEL, bought=True),
    )


@read
def thread_places(face: Motor) -> tuple[Point, ...]:
    """Where the threads stand in a motor's face [mm]."""
    half = face.hole_square / 2
    return ((half, half), (-half, half), (-half, -half), (half, -half))


def _thread_radius(face: Motor) -> float:
    """Nominal radius of a motor's threads [mm], from their name."""
    return float(face.screw.removeprefix("M")) / 2


@read
def around(radius: Length, number: int, first: float = 0.0) -> tuple[tuple[Point, float], ...]:
    """Places evenly spaced on a circle [mm], each with its angle [rad]."""
    angles = (first + 2 * math.pi * place / number for place in range(number))
    return tuple(((radius * math.cos(angle), radius * math.sin(angle)), angle) for angle in angles)
