"""What a cut through a reducer's axis leaves: faces, part by part, as `cyclokit.machine.layout` has them standing.

The plane holds the axis and the first disc's eccentricity; that points upwards. As drawings do (aligned section, ISO
128-3, from memory), what stands evenly on a circle is turned into the plane: the output with its rods, so that one lies
above the axis, and below the axis the screws of motor and cover. Leads-in of holes, a fifth of a millimetre, and the
discs' witness marks are left out. Of a reducer that can't be built as a bench machine only discs, their bearings and
the crank are known, and heights are from the first disc's outer face.
"""

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from cyclokit.arguments import Floats
from cyclokit.geometry import motion, outline
from cyclokit.machine import bench
from cyclokit.machine import crank as cranks
from cyclokit.machine.hardware import MOTOR, Screw, thread
from cyclokit.machine.layout import (
    AXIAL_GAP,
    BUSH_PLAY,
    BUSH_STEP,
    LEVER,
    PILOT_PLAY,
    SCREW_GAP,
    SEAT_PLAY,
    STACK_PLAY,
    THREAD_END,
    Layout,
    layout,
    outer_lip,
)
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.signatures import read

DISCS = ("disc", "second disc", "third disc")
BODY = 8.0  # mm of the motor's body that are drawn
CORNER = 3.0  # mm, of the motor's face
Shapes = Sequence[BaseGeometry]


class Face(NamedTuple):
    """A face of the cut: its part, its shape along the axis and off it [mm], and whether it is a bearing's ball."""

    part: str
    shape: Polygon
    ball: bool = False


@read
def faces(reducer: Reducer) -> list[Face]:
    """All faces that the cut leaves; no two are in one place.

    Parameters
    ----------
    reducer : Reducer
        The machine.

    Returns
    -------
    list of Face
        Each part's faces, on both sides of the axis; alike parts have one name.

    Raises
    ------
    TypeError
        If `reducer` is no Reducer.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> made = faces(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> sorted({face.part for face in made if "disc" in face.part})
    ['disc', 'second disc']
    """
    plan = plan_of(reducer)
    places = _middles(reducer, plan)
    middle = [*_discs(reducer, places), *_eccentric_bearings(reducer, places)]
    if plan is None:
        return [*middle, *_plain_crank(reducer, places)]
    return [*middle, *_crank(reducer, plan), *_frame(reducer, plan), *_output(reducer, plan), *_on_rods(reducer, plan)]


@read
def plan_of(reducer: Reducer) -> Layout | None:
    """Where everything stands; None for a reducer that can't be built as a bench machine."""
    return None if bench.refused(reducer) else layout(reducer)


@read
def middles(reducer: Reducer) -> Floats:
    """Where the middle plane of each disc lies along the axis [mm]: from the motor's face, where there is a machine."""
    return _middles(reducer, plan_of(reducer))


def _middles(reducer: Reducer, plan: Layout | None) -> Floats:
    if plan:
        return np.mean(plan.discs, axis=1)
    return np.asarray(reducer.disc_thickness / 2 + reducer.disc_pitch * np.arange(reducer.discs), dtype=np.float64)


@read
def offsets(reducer: Reducer) -> Floats:
    """How far each disc's middle lies off the axis, along the plane of the cut and square to it [mm], (n, 2)."""
    return motion.disc_poses(reducer.drive, 0.0, reducer.discs).centre


def _round(radius: float, along: tuple[float, float], x: float = 0.0, y: float = 0.0) -> Polygon:
    """Where the plane cuts a cylinder whose middle is x off the axis and y off the plane; a hexagon by its corners."""
    half = math.sqrt(max(0.0, radius**2 - y**2))
    return shapely.box(along[0], x - half, along[1], x + half) if half else Polygon()


def _part(name: str, solid: Shapes, gone: Shapes = ()) -> Iterable[Face]:
    """The faces of a part: what it is made of, less what is cut out of it."""
    left = shapely.union_all(list(solid)).difference(shapely.union_all(list(gone)))
    return (Face(name, one) for one in shapely.get_parts(left) if one.area > 0)


def _sides(number: int, radius: float) -> tuple[float, ...]:
    """Where the plane meets what stands evenly on a circle: an odd number has none opposite another."""
    return (radius,) if number % 2 else (radius, -radius)


def _bearing(part: str, bearing: Bearing, bottom: float, x: float = 0.0, y: float = 0.0) -> Iterable[Face]:
    """Rings and balls of a bearing; how large balls are is common practice, no source."""
    along = (bottom, bottom + bearing.width)
    radii = bearing.bore_diameter / 2, bearing.shoulder_radius, outer_lip(bearing), bearing.outer_diameter / 2
    bore, inner, outer, outside = (_round(radius, along, x, y) for radius in radii)
    away = sum(math.sqrt(radius**2 - y**2) for radius in radii[1:3]) / 2  # of balls from the bearing's middle
    ball = min(0.6 * (radii[3] - radii[0]), 0.8 * bearing.width) / 2
    balls = [shapely.Point(bottom + bearing.width / 2, x + side * away).buffer(ball, 8) for side in (1, -1)]
    yield from _part(part, [inner.difference(bore), outside.difference(outer)], balls)
    yield from (Face(part, one, ball=True) for one in balls)


def _discs(reducer: Reducer, places: Floats) -> Iterable[Face]:
    """What is left of each disc beside its bore and its holes, one of them turned into the plane."""
    poses = motion.disc_poses(reducer.drive, 0.0, reducer.discs)
    edge, half = outline.polygon(reducer.disc_drive), reducer.disc_thickness / 2
    turns = 2 * math.pi * np.arange(reducer.output_rollers) / reducer.output_rollers
    holes = reducer.output_circle_radius * np.column_stack([np.cos(turns), np.sin(turns)])
    for name, middle, centre, angle in zip(DISCS, places, poses.centre, poses.angle, strict=False):
        along, far = (middle - half, middle + half), 2 * np.abs(edge).max()
        whole = Polygon(centre + motion.turned(edge, angle)).buffer(0)  # without the tails of an undercut outline
        met = whole.intersection(shapely.LineString([(-far, 0), (far, 0)]))
        ends = [one.bounds for one in shapely.get_parts(met)]
        gone = [_round(reducer.hole_radius, along, *(centre + hole)) for hole in holes]
        gone.append(_round(reducer.bore_radius, along, *centre))
        yield from _part(name, [shapely.box(along[0], low, along[1], high) for low, _, high, _ in ends], gone)


def _eccentric_bearings(reducer: Reducer, places: Floats) -> Iterable[Face]:
    bearing = reducer.eccentric_bearing
    for middle, off in zip(places, offsets(reducer), strict=True):
        yield from _bearing("eccentric bearing", bearing, middle - bearing.width / 2, *off)


def _plain_crank(reducer: Reducer, places: Floats) -> Iterable[Face]:
    """Eccentrics on a plain shaft, where no machine says more."""
    width = reducer.eccentric_bearing.width
    ends = places[0] - 1.5 * width, places[-1] + 1.5 * width
    eccentrics = [
        _round(reducer.eccentric_bearing.bore_diameter / 2, (middle - width / 2, middle + width / 2), *off)
        for middle, off in zip(places, offsets(reducer), strict=True)
    ]
    return _part("crank", [_round(reducer.shaft_radius, ends), *eccentrics])


def _crank(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """The crank and the motor's shaft in it, its bearings and spacers."""
    low, high = plan.lower_bearing[0], plan.upper_bearing[1]
    radius, flat, wide = reducer.shaft_radius, reducer.motor_shaft_flat, reducer.shaft_play
    end = min(reducer.motor_shaft_length + AXIAL_GAP, high)
    solid = [_round(one.radius, (one.bottom, one.top), one.x, one.y) for one in cranks.cylinders(reducer)]
    yield from _part("crank", solid, [shapely.box(low, -radius - wide, end, radius - flat + wide)])
    round_one = _round(radius, (-BODY, MOTOR.pilot_height))
    flatted = shapely.box(MOTOR.pilot_height, -radius, reducer.motor_shaft_length, radius - flat)
    yield from _part("motor shaft", [round_one, flatted])
    for bottom, _ in (plan.lower_bearing, plan.upper_bearing):
        yield from _bearing("crank bearing", reducer.crank_bearing, bottom)
    large, small = reducer.spacer_radius, min(reducer.spacer_radius, reducer.crank_bearing.shoulder_radius)
    upper = plan.upper_bearing[0] - reducer.axial_clearance
    for near, far in ((plan.lower_bearing[1], plan.eccentrics[0][0]), (upper, plan.eccentrics[-1][1])):
        step = near + math.copysign(min(BUSH_STEP, abs(far - near) / 2), far - near)
        gone = _round(reducer.crank_bearing.bore_diameter / 2 + BUSH_PLAY, (near, far))
        yield from _part("crank bush", [_round(small, (near, step)), _round(large, (step, far))], [gone])


def _frame(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """Motor and plates, cover, and their screws, which are turned into the plane below the axis."""
    screw, motors, lower = thread(reducer.screw), thread(MOTOR.screw), reducer.crank_bearing
    place, motor_place = -plan.screw_circle, -MOTOR.hole_circle_radius
    top, ring_top, cover_top = plan.plate_top, plan.cover_bottom, plan.cover_top
    pins = _sides(reducer.drive.pins, reducer.drive.pin_circle_radius)
    rod, depth = reducer.pin_rod_radius, reducer.seat_depth + SEAT_PLAY

    def _plate(bottom: float, upper: float) -> list[Polygon]:
        return [_round(plan.outside, (bottom, upper)), _round(plan.lug, (bottom, upper), place)]

    pocket = (screw.nut_width + 2 * SCREW_GAP) / math.sqrt(3)  # to its corners
    gone = [
        _round(MOTOR.pilot_diameter / 2 + PILOT_PLAY, (0.0, plan.recess_top)),
        _round(outer_lip(lower), (plan.recess_top, plan.lower_bearing[0])),
        _round(lower.outer_diameter / 2, plan.lower_bearing),
        *(_round(rod, (top - depth, top), pin) for pin in pins),
        _round(pocket, (0.0, plan.pocket_top), place),
        _round(screw.hole_diameter / 2, (plan.pocket_top, top), place),
        _round(screw.hole_diameter / 2, (0.0, top), plan.foot_circle),
        _round(motors.hole_diameter / 2, (0.0, plan.motor_screw_seat), motor_place),
        _round(motors.head_diameter / 2 + SCREW_GAP, (plan.motor_screw_seat, top), motor_place),
    ]
    yield from _part("motor plate", [*_plate(0.0, top), _round(plan.foot_lug, (0.0, top), plan.foot_circle)], gone)
    through = _round(screw.hole_diameter / 2, (top, cover_top), place)
    yield from _part("ring plate", _plate(top, ring_top), [_round(plan.inside, (top, ring_top)), through])
    housing = _round(plan.housing, (cover_top, plan.housing_top))
    seats = [_round(rod, (ring_top, ring_top + depth), pin) for pin in pins]
    yield from _cover(reducer, plan, [*_plate(ring_top, cover_top), housing], [through, *seats])
    yield from _screw("motor screw", motors, plan.motor_screw_length, plan.motor_screw_seat, motor_place)
    yield from _screw("cover screw", screw, plan.screw_length, cover_top, place)
    nut = (plan.screw_tip, plan.pocket_top)
    shank = _round(screw.diameter / 2, nut, place)
    yield from _part("nut", [_round(screw.nut_width / math.sqrt(3), nut, place)], [shank])
    corner = -(
        math.sqrt(2) * (MOTOR.side / 2 - CORNER) + CORNER
    )  # below the axis the motor is cut from corner to corner
    body = [
        shapely.box(-BODY, corner, 0.0, MOTOR.side / 2),
        _round(MOTOR.pilot_diameter / 2, (0.0, MOTOR.pilot_height)),
    ]
    threaded = _round(motors.diameter / 2, (-MOTOR.thread_depth, 0.0), motor_place)
    yield from _part("motor", body, [_round(reducer.shaft_radius, (-BODY, MOTOR.pilot_height)), threaded])


def _screw(name: str, one: Screw, length: float, seat: float, x: float) -> Iterable[Face]:
    head = _round(one.head_diameter / 2, (seat, seat + one.head_height), x)
    return _part(name, [_round(one.diameter / 2, (seat - length, seat), x), head])


def _cover(reducer: Reducer, plan: Layout, solid: Shapes, gone: Shapes) -> Iterable[Face]:
    """The cover with its seats for the output bearings, and a lip between."""
    bearing = _output_bearing(reducer)
    first, last = plan.output_bearings
    seats = [_round(bearing.outer_diameter / 2, along) for along in (first, last)]
    return _part("cover", solid, [*gone, *seats, _round(outer_lip(bearing), (first[1], last[0]))])


def _output(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """The carrier, its bearings, spacer, cap and the cap's screw above the axis."""
    bearing, crank, screw = _output_bearing(reducer), reducer.crank_bearing, thread(reducer.screw)
    rods = _sides(reducer.output_rollers, reducer.output_circle_radius)
    spacer = max(reducer.spacer_radius, crank.shoulder_radius) + reducer.running_gap
    (low, high), top, lip = plan.flange, plan.cap_top + LEVER, plan.upper_bearing[1]
    clear = _round(max(spacer, crank.outer_diameter / 2), plan.second_plate)
    holes = [_round(reducer.output_rod_radius, plan.second_plate, x) for x in rods]
    yield from _part("second plate", [_round(plan.carrier, plan.second_plate)], [clear, *holes])
    shoulder, tip = high + AXIAL_GAP, top - plan.cap_screw_length - THREAD_END
    solid = [_round(plan.carrier, (low, high)), _round(bearing.shoulder_radius, (high, shoulder))]
    gone = [
        _round(crank.outer_diameter / 2, (low, lip)),
        _round(outer_lip(crank), (lip, lip + reducer.least_wall)),
        *(_round(reducer.output_rod_radius, (low, high), x) for x in rods),
        _round(screw.diameter / 2, (tip, plan.hub_top), plan.cap_circle),
    ]
    yield from _part("flange", [*solid, _round(plan.hub, (shoulder, plan.hub_top))], gone)
    wide = _round(bearing.shoulder_radius, (plan.housing_top, plan.cap_top))
    seat = _round(reducer.lever_width / math.sqrt(3), (plan.cap_top, top))
    through = _round(screw.hole_diameter / 2, (plan.housing_top, top), plan.cap_circle)
    yield from _part("cap", [wide, seat], [through])
    yield from _screw("cap screw", screw, plan.cap_screw_length, top, plan.cap_circle)
    first, last = plan.output_bearings
    between = (first[1], last[0])
    yield from _part("hub spacer", [_round(bearing.shoulder_radius, between)], [_round(plan.hub + BUSH_PLAY, between)])
    for bottom, _ in plan.output_bearings:
        yield from _bearing("output bearing", bearing, bottom)


def _output_bearing(reducer: Reducer) -> Bearing:
    assert reducer.output_bearing is not None  # `layout` refuses a reducer without
    return reducer.output_bearing


def _on_rods(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """The rods that the plane meets, of ring and output, and what stands on them."""
    ring, output, places = reducer.drive, reducer.output_circle_radius, _middles(reducer, plan)
    seats = (plan.plate_top - reducer.seat_depth, plan.cover_bottom + reducer.seat_depth)
    inside = (plan.plate_top, plan.cover_bottom - STACK_PLAY)
    for x in _sides(ring.pins, ring.pin_circle_radius):
        yield from _part("ring rod", [_round(reducer.pin_rod_radius, seats, x)])
        yield from _row("ring", (reducer.pin_rod_radius, ring.roller_radius, reducer.ring_bearing), places, inside, x)
    held = (plan.second_plate[0], plan.flange[1])
    inside = (plan.second_plate[1], plan.flange[0] - STACK_PLAY)
    rod, roller, bearing = reducer.output_rod_radius, reducer.output_roller_radius, reducer.output_roller_bearing
    for x in _sides(reducer.output_rollers, output):
        yield from _part("output rod", [_round(rod, held, x)])
        yield from _row("output", (rod, roller, bearing), places, inside, x)


def _row(
    which: str, on: tuple[float, float, Bearing | None], places: Floats, along: tuple[float, float], x: float
) -> Iterable[Face]:
    """Bearings and spacers on a rod, or a sleeve, or nothing: a solid pin is its own roller."""
    rod, roller, bearing = on
    if bearing is None:
        yield from _part(f"{which} sleeve", [_round(roller, along, x)], [_round(rod, along, x)])
        return
    bottoms = places - bearing.width / 2
    room = [_round(bearing.shoulder_radius, along, x)]
    taken = [_round(bearing.outer_diameter / 2, (bottom, bottom + bearing.width), x) for bottom in bottoms]
    yield from _part(f"{which} bush", room, [_round(rod + BUSH_PLAY, along, x), *taken])
    for bottom in bottoms:
        yield from _bearing(f"{which} roller", bearing, float(bottom), x)
