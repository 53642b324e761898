"""What a cut through a reducer's axis leaves: faces, part by part, as `cyclokit.machine.layout` has them standing.

The plane holds the axis and the first disc's eccentricity; that points upwards. As drawings do (aligned section, ISO
128-3, from memory), what stands evenly on a circle is turned into the plane: the output with its rods, so that one lies
above the axis, and below the axis the screws of motor and cover. The discs' witness marks are left out, and the lever,
which is put on for tests alone. Of a reducer that can't be built as a bench machine only discs, their bearings and the
crank are known, and heights are from the first disc's outer face.
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
from cyclokit.machine.crank import THREAD_END, Division, cylinders, division
from cyclokit.machine.hardware import MOTOR, Screw, thread
from cyclokit.machine.layout import (
    AXIAL_GAP,
    BUSH_PLAY,
    BUSH_STEP,
    LEAD_IN,
    LEVER,
    PILOT_PLAY,
    SCREW_GAP,
    SEAT_PLAY,
    STACK_PLAY,
    Layout,
    carrier_bore,
    chamfer,
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


def _bored(
    radius: float, along: tuple[float, float], x: float = 0.0, *, below: float = 0.0, above: float = 0.0
) -> BaseGeometry:
    """The same of a hole, with steps of a lead-in as wide as that where it is open below or above."""
    (low, high), width = along, max(below, above)
    found = [_round(radius, along, x)]
    for step in range(1, round(width / LEAD_IN) + 1):
        deep = width - (step - 1) * LEAD_IN
        found.append(_round(radius + step * LEAD_IN, (low, low + deep) if below else (high - deep, high), x))
    return shapely.union_all(found)


def _flatted(radius: float, flat: float, along: tuple[float, float], lead_in: bool = False) -> BaseGeometry:
    """A shaft with a flat above the axis, or a hole for one, with a lead-in below or not."""
    low, high = along
    whole = shapely.box(low, -radius, high, flat)
    return whole.union(shapely.box(low, -radius - LEAD_IN, low + LEAD_IN, flat + LEAD_IN)) if lead_in else whole


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
    bore = _flatted(radius + wide, radius - flat + wide, (low, min(reducer.motor_shaft_length + AXIAL_GAP, high)), True)
    whole = shapely.union_all([_round(one.radius, (one.bottom, one.top), one.x, one.y) for one in cylinders(reducer)])
    if divided := division(reducer):
        yield from _two_pieces(whole, bore, divided)
    else:
        yield from _part("crank", [whole], [bore])
    round_one = _round(radius, (-BODY, MOTOR.pilot_height))
    flatted = _flatted(radius, radius - flat, (MOTOR.pilot_height, reducer.motor_shaft_length))
    yield from _part("motor shaft", [round_one, flatted])
    for bottom, _ in (plan.lower_bearing, plan.upper_bearing):
        yield from _bearing("crank bearing", reducer.crank_bearing, bottom)
    large, small = reducer.spacer_radius, min(reducer.spacer_radius, reducer.crank_bearing.shoulder_radius)
    upper = plan.upper_bearing[0] - reducer.axial_clearance
    for near, far in ((plan.lower_bearing[1], plan.eccentrics[0][0]), (upper, plan.eccentrics[-1][1])):
        step = near + math.copysign(min(BUSH_STEP, abs(far - near) / 2), far - near)
        gone = _round(reducer.crank_bearing.bore_diameter / 2 + BUSH_PLAY, (near, far))
        yield from _part("crank bush", [_round(small, (near, step)), _round(large, (step, far))], [gone])


def _two_pieces(whole: BaseGeometry, bore: BaseGeometry, cut: Division) -> Iterable[Face]:
    """A divided crank's pieces, and the screw that holds them together."""
    left, low, right, high = whole.bounds
    below, above = shapely.box(left, low, cut.bottom, high), shapely.box(cut.upper, low, right, high)
    screw, roof = cut.screw, cut.spigot_top + LEAD_IN
    spigot = _flatted(cut.radius, cut.flat, (cut.bottom, cut.spigot_top))
    threaded = _round(screw.diameter / 2, (cut.thread_bottom, cut.spigot_top))
    yield from _part("crank", [whole.intersection(below), spigot], [bore, threaded])
    gone = [
        _flatted(cut.radius, cut.flat, (cut.upper, roof), True),
        _round(screw.hole_diameter / 2, (roof, cut.seat)),
        _round(screw.head_diameter / 2 + SCREW_GAP, (cut.seat, right)),
    ]
    if cut.loose_neck:
        along = (cut.bottom, cut.upper)
        neck = whole.intersection(shapely.box(cut.bottom, low, cut.upper, high))
        yield from _part("crank neck", [neck], [_bored(cut.radius, along, below=LEAD_IN)])
    yield from _part("crank upper", [whole.intersection(above)], gone)
    yield from _screw("crank screw", screw, cut.length, cut.seat, 0.0)


def _frame(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """Motor and plates, cover, and their screws, which are turned into the plane below the axis."""
    screw, motors, bearing = thread(reducer.screw), thread(MOTOR.screw), _output_bearing(reducer)
    top, ring_top, cover_top, place = plan.plate_top, plan.cover_bottom, plan.cover_top, -plan.screw_circle

    def _plate(bottom: float, upper: float) -> list[Polygon]:
        return [_round(plan.outside, (bottom, upper)), _round(plan.lug, (bottom, upper), place)]

    foot = _round(plan.foot_lug, (0.0, top), plan.foot_circle)
    held, fastened = _fastened(reducer, plan)
    yield from _part("motor plate", [*_plate(0.0, top), foot], [*_holes_in_motor_plate(reducer, plan), *held])
    yield from fastened
    through = _round(screw.hole_diameter / 2, (top, cover_top), place)
    yield from _part("ring plate", _plate(top, ring_top), [_round(plan.inside, (top, ring_top)), through])
    housing, (first, last) = _round(plan.housing, (cover_top, plan.housing_top)), plan.output_bearings
    seats = (ring_top, ring_top + reducer.seat_depth + SEAT_PLAY)
    gone = [
        through,
        *(_bored(reducer.pin_rod_radius, seats, pin, below=chamfer(reducer)) for pin in _pins(reducer)),
        _bored(bearing.outer_diameter / 2, first, below=LEAD_IN),
        _round(outer_lip(bearing), (first[1], last[0])),
        _bored(bearing.outer_diameter / 2, last, above=LEAD_IN),
    ]
    yield from _part("cover", [*_plate(ring_top, cover_top), housing], gone)
    yield from _screw("motor screw", motors, plan.motor_screw_length, plan.motor_screw_seat, -MOTOR.hole_circle_radius)
    yield from _screw("cover screw", screw, plan.screw_length, cover_top, place)
    yield from _motor(reducer)


def _pins(reducer: Reducer) -> tuple[float, ...]:
    """Where the plane meets ring pins."""
    return _sides(reducer.drive.pins, reducer.drive.pin_circle_radius)


def _holes_in_motor_plate(reducer: Reducer, plan: Layout) -> list[BaseGeometry]:
    """All of them but that for the cover's screw."""
    bearing, motors, top = reducer.crank_bearing, thread(MOTOR.screw), plan.plate_top
    seats, place = (top - reducer.seat_depth - SEAT_PLAY, top), -MOTOR.hole_circle_radius
    return [
        _round(MOTOR.pilot_diameter / 2 + PILOT_PLAY, (0.0, plan.recess_top)),
        _round(outer_lip(bearing), (plan.recess_top, plan.lower_bearing[0])),
        _bored(bearing.outer_diameter / 2, plan.lower_bearing, above=LEAD_IN),
        *(_bored(reducer.pin_rod_radius, seats, pin, above=LEAD_IN) for pin in _pins(reducer)),
        _round(thread(reducer.screw).hole_diameter / 2, (0.0, top), plan.foot_circle),
        _round(motors.hole_diameter / 2, (0.0, plan.motor_screw_seat), place),
        _round(motors.head_diameter / 2 + SCREW_GAP, (plan.motor_screw_seat, top), place),
    ]


def _fastened(reducer: Reducer, plan: Layout) -> tuple[list[Polygon], Iterable[Face]]:
    """What the cover's screw goes into, the holes for it in the motor's plate first."""
    screw, place = thread(reducer.screw), -plan.screw_circle
    if reducer.screws_into == "inserts":
        along, under = (plan.insert_bottom, plan.plate_top), (0.0, plan.insert_bottom)
        pocket = _round(screw.insert_diameter / 2, along, place)
        name, body = "insert", pocket
    else:
        along, under = (plan.screw_tip, plan.pocket_top), (plan.pocket_top, plan.plate_top)
        pocket = _round((screw.nut_width + 2 * SCREW_GAP) / math.sqrt(3), (0.0, plan.pocket_top), place)
        name, body = "nut", _round(screw.nut_width / math.sqrt(3), along, place)  # from corner to corner
    hole = _round(screw.hole_diameter / 2, under, place)
    return [pocket, hole], _part(name, [body], [_round(screw.diameter / 2, along, place)])


def _motor(reducer: Reducer) -> Iterable[Face]:
    """The upper end of the motor; below the axis it is cut from corner to corner, through one of its threads."""
    half = MOTOR.side / 2
    corner = math.sqrt(2) * (half - CORNER) + CORNER
    pilot = _round(MOTOR.pilot_diameter / 2, (0.0, MOTOR.pilot_height))
    threaded = _round(thread(MOTOR.screw).diameter / 2, (-MOTOR.thread_depth, 0.0), -MOTOR.hole_circle_radius)
    gone = [_round(reducer.shaft_radius, (-BODY, MOTOR.pilot_height)), threaded]
    return _part("motor", [shapely.box(-BODY, -corner, 0.0, half), pilot], gone)


def _screw(name: str, one: Screw, length: float, seat: float, x: float) -> Iterable[Face]:
    head = _round(one.head_diameter / 2, (seat, seat + one.head_height), x)
    return _part(name, [_round(one.diameter / 2, (seat - length, seat), x), head])


def _output(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """The carrier, its bearings, spacer, cap and the cap's screw above the axis."""
    bearing, crank, screw = _output_bearing(reducer), reducer.crank_bearing, thread(reducer.screw)
    rods, rod = _sides(reducer.output_rollers, reducer.output_circle_radius), reducer.output_rod_radius
    (low, high), top, lip = plan.flange, plan.cap_top + LEVER, plan.upper_bearing[1]
    mouth, seat = carrier_bore(reducer), crank.outer_diameter / 2
    if reducer.output_plates == 2:
        holes = [_bored(rod, plan.second_plate, x, above=LEAD_IN) for x in rods]
        clear = _round(mouth, plan.second_plate)
        yield from _part("second plate", [_round(plan.carrier, plan.second_plate)], [clear, *holes])
    shoulder, tip = high + AXIAL_GAP, top - plan.cap_screw_length - THREAD_END
    solid = [_round(plan.carrier, (low, high)), _round(bearing.shoulder_radius, (high, shoulder))]
    deep = plan.upper_bearing[0] if mouth > seat else low  # where a spacer on the crank is thicker than the bearing
    gone = [
        _bored(seat, (deep, lip), below=LEAD_IN),
        *([_round(mouth, (low, deep))] if mouth > seat else []),
        _round(outer_lip(crank), (lip, lip + reducer.least_wall)),
        *(_bored(rod, (low, high), x, below=LEAD_IN) for x in rods),
        _round(screw.diameter / 2, (tip, plan.hub_top), plan.cap_circle),
    ]
    yield from _part("flange", [*solid, _round(plan.hub, (shoulder, plan.hub_top))], gone)
    wide = _round(bearing.shoulder_radius, (plan.housing_top, plan.cap_top))
    hexagon = _round(reducer.lever_width / math.sqrt(3), (plan.cap_top, top))  # from corner to corner
    through = _round(screw.hole_diameter / 2, (plan.housing_top, top), plan.cap_circle)
    yield from _part("cap", [wide, hexagon], [through])
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
    ring, output = reducer.drive, reducer.output_circle_radius
    seats = (plan.plate_top - reducer.seat_depth, plan.cover_bottom + reducer.seat_depth)
    inside = (plan.plate_top, plan.cover_bottom - STACK_PLAY)
    for x in _sides(ring.pins, ring.pin_circle_radius):
        yield from _part("ring rod", [_round(reducer.pin_rod_radius, seats, x)])
        on = (reducer.pin_rod_radius, ring.roller_radius, reducer.ring_bearing)
        yield from _row("ring", on, plan.ring_rollers, inside, x)
    held = (plan.second_plate[0], plan.flange[1])
    inside = (plan.second_plate[1], plan.flange[0] - STACK_PLAY)
    rod, roller, bearing = reducer.output_rod_radius, reducer.output_roller_radius, reducer.output_roller_bearing
    for x in _sides(reducer.output_rollers, output):
        yield from _part("output rod", [_round(rod, held, x)])
        if reducer.output_plates == 1 and rod < roller:
            wide, along = bearing.shoulder_radius if bearing else roller, plan.second_plate
            yield from _part("output collar", [_round(wide, along, x)], [_round(rod, along, x)])
        yield from _row("output", (rod, roller, bearing), plan.output_rollers, inside, x)


def _row(
    which: str, on: tuple[float, float, Bearing | None], bottoms: Sequence[float], along: tuple[float, float], x: float
) -> Iterable[Face]:
    """Bearings and spacers on a rod, or a sleeve, or nothing: a solid pin is its own roller."""
    rod, roller, bearing = on
    if bearing is None:
        yield from _part(f"{which} sleeve", [_round(roller, along, x)], [_round(rod, along, x)])
        return
    room = [_round(bearing.shoulder_radius, along, x)]
    taken = [_round(bearing.outer_diameter / 2, (bottom, bottom + bearing.width), x) for bottom in bottoms]
    yield from _part(f"{which} bush", room, [_round(rod + BUSH_PLAY, along, x), *taken])
    for bottom in bottoms:
        yield from _bearing(f"{which} roller", bearing, bottom, x)
