"""What a cut through a reducer's axis leaves: faces, part by part, as `cyclokit.machine.layout` has them standing.

The plane holds the axis and the first disc's eccentricity; that points upwards. As drawings do (aligned section, ISO
128-3, from memory), what stands evenly on a circle is turned into the plane: the output with its rods, so that one lies
above the axis, and below the axis the screws of motor and cover. Left out are the discs' witness marks, holes of a
millimetre whose place is settled where solids are made, and the lever, an arm for tests alone. Of a reducer that can't
be built as a bench machine only discs, their bearings and the crank are known, and heights are from the first disc's
outer face.
"""

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from cyclokit.arguments import Floats
from cyclokit.geometry import motion, outline
from cyclokit.machine import bench
from cyclokit.machine.crank import Division, cylinders, division
from cyclokit.machine.hardware import MOTOR, thread
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
    THREAD_END,
    Layout,
    carrier_bore,
    chamfer,
    layout,
)
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.signatures import read
from cyclokit.view.cut_shapes import Face, bar, bearing_faces, bored, both_sides, faces_of, flatted, screw_faces

DISCS = ("disc", "second disc", "third disc")
BODY = 8.0  # mm of the motor's body that are drawn
CORNER = 3.0  # mm, of the motor's face


@read
def faces(reducer: Reducer) -> list[Face]:
    """All faces that the cut leaves, on both sides of the axis, no two in one place; alike parts have one name."""
    plan = plan_of(reducer)
    places = middles(reducer)
    middle = [*_discs(reducer, places), *_eccentric_bearings(reducer, places)]
    if plan is None:
        return [*middle, *_plain_crank(reducer, places)]
    still = [*_crank(reducer, plan), *_frame(reducer, plan)]
    return [*middle, *still, *_output(reducer, plan), *_on_rods(reducer, plan)]


@read
def plan_of(reducer: Reducer) -> Layout | None:
    """Where everything stands; None for a reducer that can't be built as a bench machine."""
    return None if bench.hindrance(reducer) else layout(reducer)


@read
def middles(reducer: Reducer) -> Floats:
    """Where the middle plane of each disc lies along the axis [mm]: from the motor's face, where there is a machine."""
    if plan := plan_of(reducer):
        return np.mean(plan.discs, axis=1)
    return np.asarray(reducer.disc_thickness / 2 + reducer.disc_pitch * np.arange(reducer.discs), dtype=np.float64)


@read
def offsets(reducer: Reducer) -> Floats:
    """How far each disc's middle lies off the axis, along the plane of the cut and square to it [mm], (n, 2)."""
    return motion.disc_poses(reducer.drive, 0.0, reducer.discs).centre


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
        gone = [bar(reducer.hole_radius, along, *(centre + hole)) for hole in holes]
        gone.append(bar(reducer.bore_radius, along, *centre))
        yield from faces_of(name, [shapely.box(along[0], low, along[1], high) for low, _, high, _ in ends], gone)


def _eccentric_bearings(reducer: Reducer, places: Floats) -> Iterable[Face]:
    bearing = reducer.eccentric_bearing
    for middle, off in zip(places, offsets(reducer), strict=True):
        yield from bearing_faces("eccentric bearing", bearing, middle - bearing.width / 2, *off)


def _plain_crank(reducer: Reducer, places: Floats) -> Iterable[Face]:
    """Eccentrics on a plain shaft, where no machine says more."""
    width = reducer.eccentric_bearing.width
    ends = places[0] - 1.5 * width, places[-1] + 1.5 * width
    eccentrics = [
        bar(reducer.eccentric_bearing.bore_diameter / 2, (middle - width / 2, middle + width / 2), *off)
        for middle, off in zip(places, offsets(reducer), strict=True)
    ]
    return faces_of("crank", [bar(reducer.shaft_radius, ends), *eccentrics])


def _crank(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """The crank and the motor's shaft in it, its bearings and spacers."""
    low, high = plan.lower_bearing[0], plan.upper_bearing[1]
    radius, flat, wide = reducer.shaft_radius, reducer.motor_shaft_flat, reducer.shaft_play
    bore = flatted(radius + wide, radius - flat + wide, (low, min(reducer.motor_shaft_length + AXIAL_GAP, high)), True)
    whole = shapely.union_all([bar(one.radius, (one.bottom, one.top), one.x, one.y) for one in cylinders(reducer)])
    if divided := division(reducer):
        yield from _two_pieces(whole, bore, divided)
    else:
        yield from faces_of("crank", [whole], [bore])
    end = flatted(radius, radius - flat, (MOTOR.pilot_height, reducer.motor_shaft_length))
    yield from faces_of("motor shaft", [bar(radius, (-BODY, MOTOR.pilot_height)), end])
    for bottom, _ in (plan.lower_bearing, plan.upper_bearing):
        yield from bearing_faces("crank bearing", reducer.crank_bearing, bottom)
    large, small = reducer.spacer_radius, min(reducer.spacer_radius, reducer.crank_bearing.shoulder_radius)
    upper = plan.upper_bearing[0] - reducer.axial_clearance
    for near, far in ((plan.lower_bearing[1], plan.eccentrics[0][0]), (upper, plan.eccentrics[-1][1])):
        step = near + math.copysign(min(BUSH_STEP, abs(far - near) / 2), far - near)
        gone = bar(reducer.crank_bearing.bore_diameter / 2 + BUSH_PLAY, (near, far))
        yield from faces_of("crank bush", [bar(small, (near, step)), bar(large, (step, far))], [gone])


def _two_pieces(whole: BaseGeometry, bore: BaseGeometry, cut: Division) -> Iterable[Face]:
    """A divided crank's pieces, and the screw that holds them together."""
    left, low, right, high = whole.bounds
    below, above = shapely.box(left, low, cut.bottom, high), shapely.box(cut.upper, low, right, high)
    screw, roof = cut.screw, cut.spigot_top + LEAD_IN
    spigot = flatted(cut.radius, cut.flat, (cut.bottom, cut.spigot_top))
    threaded = bar(screw.diameter / 2, (cut.thread_bottom, cut.spigot_top))
    yield from faces_of("crank", [whole.intersection(below), spigot], [bore, threaded])
    gone = [
        flatted(cut.radius, cut.flat, (cut.upper, roof), True),
        bar(screw.hole_diameter / 2, (roof, cut.seat)),
        bar(screw.head_diameter / 2 + SCREW_GAP, (cut.seat, right)),
    ]
    if cut.loose_neck:
        neck = whole.intersection(shapely.box(cut.bottom, low, cut.upper, high))
        yield from faces_of("crank neck", [neck], [bored(cut.radius, (cut.bottom, cut.upper), below=LEAD_IN)])
    yield from faces_of("crank upper", [whole.intersection(above)], gone)
    yield from screw_faces("crank screw", screw, cut.length, cut.seat, 0.0)


def _frame(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """Motor and plates, cover, and their screws, which are turned into the plane below the axis."""
    screw, motors, bearing = thread(reducer.screw), thread(MOTOR.screw), reducer.output_bearing
    assert bearing is not None  # `layout` refuses a reducer without
    top, ring_top, cover_top, place = plan.plate_top, plan.cover_bottom, plan.cover_top, -plan.screw_circle

    def _plate(bottom: float, upper: float) -> list[Polygon]:
        return [bar(plan.outside, (bottom, upper)), bar(plan.lug, (bottom, upper), place)]

    foot = bar(plan.foot_lug, (0.0, top), plan.foot_circle)
    held, fastened = _fastened(reducer, plan)
    yield from faces_of("motor plate", [*_plate(0.0, top), foot], [*_holes_in_motor_plate(reducer, plan), *held])
    yield from fastened
    through = bar(screw.hole_diameter / 2, (top, cover_top), place)
    yield from faces_of("ring plate", _plate(top, ring_top), [bar(plan.inside, (top, ring_top)), through])
    housing, (first, last) = bar(plan.housing, (cover_top, plan.housing_top)), plan.output_bearings
    seats = (ring_top, ring_top + reducer.seat_depth + SEAT_PLAY)
    gone = [
        through,
        *(bored(reducer.pin_rod_radius, seats, pin, below=chamfer(reducer)) for pin in _pins(reducer)),
        bored(bearing.outer_diameter / 2, first, below=LEAD_IN),
        bar(bearing.lip_radius, (first[1], last[0])),
        bored(bearing.outer_diameter / 2, last, above=LEAD_IN),
    ]
    yield from faces_of("cover", [*_plate(ring_top, cover_top), housing], gone)
    yield from screw_faces(
        "motor screw", motors, plan.motor_screw_length, plan.motor_screw_seat, -MOTOR.hole_circle_radius
    )
    yield from screw_faces("cover screw", screw, plan.screw_length, cover_top, place)
    yield from _motor(reducer)


def _pins(reducer: Reducer) -> tuple[float, ...]:
    """Where the plane meets ring pins."""
    return both_sides(reducer.drive.pins, reducer.drive.pin_circle_radius)


def _holes_in_motor_plate(reducer: Reducer, plan: Layout) -> list[BaseGeometry]:
    """All of them but that for the cover's screw."""
    bearing, motors, top = reducer.crank_bearing, thread(MOTOR.screw), plan.plate_top
    seats, place = (top - reducer.seat_depth - SEAT_PLAY, top), -MOTOR.hole_circle_radius
    return [
        bar(MOTOR.pilot_diameter / 2 + PILOT_PLAY, (0.0, plan.recess_top)),
        bar(bearing.lip_radius, (plan.recess_top, plan.lower_bearing[0])),
        bored(bearing.outer_diameter / 2, plan.lower_bearing, above=LEAD_IN),
        *(bored(reducer.pin_rod_radius, seats, pin, above=LEAD_IN) for pin in _pins(reducer)),
        bar(thread(reducer.screw).hole_diameter / 2, (0.0, top), plan.foot_circle),
        bar(motors.hole_diameter / 2, (0.0, plan.motor_screw_seat), place),
        bar(motors.head_diameter / 2 + SCREW_GAP, (plan.motor_screw_seat, top), place),
    ]


def _fastened(reducer: Reducer, plan: Layout) -> tuple[list[Polygon], Iterable[Face]]:
    """What the cover's screw goes into, the holes for it in the motor's plate first."""
    screw, place = thread(reducer.screw), -plan.screw_circle
    if reducer.screws_into == "inserts":
        along, under = (plan.insert_bottom, plan.plate_top), (0.0, plan.insert_bottom)
        pocket = bar(screw.insert_diameter / 2, along, place)
        name, body = "insert", pocket
    else:
        along, under = (plan.screw_tip, plan.pocket_top), (plan.pocket_top, plan.plate_top)
        pocket = bar((screw.nut_width + 2 * SCREW_GAP) / math.sqrt(3), (0.0, plan.pocket_top), place)
        name, body = "nut", bar(screw.nut_width / math.sqrt(3), along, place)  # from corner to corner
    hole = bar(screw.hole_diameter / 2, under, place)
    return [pocket, hole], faces_of(name, [body], [bar(screw.diameter / 2, along, place)])


def _motor(reducer: Reducer) -> Iterable[Face]:
    """The upper end of the motor; below the axis it is cut from corner to corner, through one of its threads."""
    half = MOTOR.side / 2
    corner = math.sqrt(2) * (half - CORNER) + CORNER
    pilot = bar(MOTOR.pilot_diameter / 2, (0.0, MOTOR.pilot_height))
    threaded = bar(thread(MOTOR.screw).diameter / 2, (-MOTOR.thread_depth, 0.0), -MOTOR.hole_circle_radius)
    gone = [bar(reducer.shaft_radius, (-BODY, MOTOR.pilot_height)), threaded]
    return faces_of("motor", [shapely.box(-BODY, -corner, 0.0, half), pilot], gone)


def _output(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """The carrier, its bearings, spacer, cap and the cap's screw above the axis."""
    bearing, crank, screw = reducer.output_bearing, reducer.crank_bearing, thread(reducer.screw)
    assert bearing is not None  # as for the frame
    rods, rod = both_sides(reducer.output_rollers, reducer.output_circle_radius), reducer.output_rod_radius
    (low, high), top, lip = plan.flange, plan.cap_top + LEVER, plan.upper_bearing[1]
    mouth, seat = carrier_bore(reducer), crank.outer_diameter / 2
    if reducer.output_plates == 2:
        holes = [bored(rod, plan.second_plate, x, above=LEAD_IN) for x in rods]
        clear = bar(mouth, plan.second_plate)
        yield from faces_of("second plate", [bar(plan.carrier, plan.second_plate)], [clear, *holes])
    shoulder, tip = high + AXIAL_GAP, top - plan.cap_screw_length - THREAD_END
    solid = [bar(plan.carrier, (low, high)), bar(bearing.shoulder_radius, (high, shoulder))]
    deep = plan.upper_bearing[0] if mouth > seat else low  # where a spacer on the crank is thicker than the bearing
    gone = [
        bored(seat, (deep, lip), below=LEAD_IN),
        *([bar(mouth, (low, deep))] if mouth > seat else []),
        bar(crank.lip_radius, (lip, lip + reducer.least_wall)),
        *(bored(rod, (low, high), x, below=LEAD_IN) for x in rods),
        bar(screw.diameter / 2, (tip, plan.hub_top), plan.cap_circle),
    ]
    yield from faces_of("flange", [*solid, bar(plan.hub, (shoulder, plan.hub_top))], gone)
    wide = bar(bearing.shoulder_radius, (plan.housing_top, plan.cap_top))
    hexagon = bar(reducer.lever_width / math.sqrt(3), (plan.cap_top, top))  # from corner to corner
    through = bar(screw.hole_diameter / 2, (plan.housing_top, top), plan.cap_circle)
    yield from faces_of("cap", [wide, hexagon], [through])
    yield from screw_faces("cap screw", screw, plan.cap_screw_length, top, plan.cap_circle)
    between = (plan.output_bearings[0][1], plan.output_bearings[1][0])
    yield from faces_of("hub spacer", [bar(bearing.shoulder_radius, between)], [bar(plan.hub + BUSH_PLAY, between)])
    for bottom, _ in plan.output_bearings:
        yield from bearing_faces("output bearing", bearing, bottom)


def _on_rods(reducer: Reducer, plan: Layout) -> Iterable[Face]:
    """The rods that the plane meets, of ring and output, and what stands on them."""
    seats = (plan.plate_top - reducer.seat_depth, plan.cover_bottom + reducer.seat_depth)
    inside = (plan.plate_top, plan.cover_bottom - STACK_PLAY)
    for x in _pins(reducer):
        yield from faces_of("ring rod", [bar(reducer.pin_rod_radius, seats, x)])
        on = reducer.pin_rod_radius, reducer.drive.roller_radius, reducer.ring_bearing
        yield from _row("ring", on, plan.ring_rollers, inside, x)
    held = (plan.second_plate[0], plan.flange[1])
    inside = (plan.second_plate[1], plan.flange[0] - STACK_PLAY)
    rod, roller, bearing = reducer.output_rod_radius, reducer.output_roller_radius, reducer.output_roller_bearing
    for x in both_sides(reducer.output_rollers, reducer.output_circle_radius):
        yield from faces_of("output rod", [bar(rod, held, x)])
        if reducer.output_plates == 1 and rod < roller:
            wide, along = bearing.shoulder_radius if bearing else roller, plan.second_plate
            yield from faces_of("output collar", [bar(wide, along, x)], [bar(rod, along, x)])
        yield from _row("output", (rod, roller, bearing), plan.output_rollers, inside, x)


def _row(
    which: str, on: tuple[float, float, Bearing | None], bottoms: Sequence[float], along: tuple[float, float], x: float
) -> Iterable[Face]:
    """Bearings and spacers on a rod, or a sleeve, or nothing: a solid pin is its own roller."""
    rod, roller, bearing = on
    if bearing is None:
        yield from faces_of(f"{which} sleeve", [bar(roller, along, x)], [bar(rod, along, x)])
        return
    taken = [bar(bearing.outer_diameter / 2, (bottom, bottom + bearing.width), x) for bottom in bottoms]
    yield from faces_of(
        f"{which} bush", [bar(bearing.shoulder_radius, along, x)], [bar(rod + BUSH_PLAY, along, x), *taken]
    )
    for bottom in bottoms:
        yield from bearing_faces(f"{which} roller", bearing, bottom, x)
