"""Printed plates, cover, flange, cap and lever as solids, each where it stands in the machine.

Allowances for the printer are asked for, and none by default.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from cyclokit.machine.hardware import MOTOR, thread
from cyclokit.machine.layout import (
    AXIAL_GAP,
    LEAD_IN,
    LEVER,
    LEVER_PLAY,
    LID,
    PILOT_PLAY,
    SCREW_GAP,
    SEAT_PLAY,
    THREAD_END,
    Layout,
    carrier_bore,
    chamfer,
    lever_radii,
)
from cyclokit.machine.reducer import Reducer
from cyclokit.making.bought import around, thread_places
from cyclokit.making.loops import Circle, Point, Polyline, hexagon, moved
from cyclokit.making.shapes import Part
from cyclokit.making.stacking import NONE, Allowances, Piece, bored, stacked
from cyclokit.signatures import read


def _chamfered(radius: float, bottom: float, top: float, centre: Point, width: float) -> list[Piece]:
    """A round hole that is open below, with a chamfer of as many steps as it has layers [mm]."""
    steps = round(width / LEAD_IN)
    pieces = [
        (Circle(radius + width - step * LEAD_IN, centre), bottom + step * LEAD_IN, bottom + (step + 1) * LEAD_IN)
        for step in range(steps)
    ]
    return [*pieces, (Circle(radius, centre), bottom + width, top)]


def _lugged(radius: float, lugs: Sequence[tuple[float, float, float]]) -> Circle | Polyline:
    """A round plate's edge with round lugs, as arcs; a circle where no lug sticks out.

    Of each lug how far out its middle is, its radius [mm], and its angle [rad], counter-clockwise; they don't meet.
    """
    corners: list[Point] = []
    ends, swept = [], []
    for far, lug, angle in lugs:
        if far + lug <= radius:
            continue
        if far - lug >= radius:
            raise ValueError("allow leaves lugs that don't meet their plate any more: choose less for its outline.")
        half = math.acos((radius**2 + far**2 - lug**2) / (2 * radius * far))
        ends.append((angle - half, angle + half))
        swept.append(math.atan2(radius * math.sin(half), radius * math.cos(half) - far))
    if not ends:
        return Circle(radius)
    bulges: list[float] = []
    for number, (start, end) in enumerate(ends):
        follows = ends[(number + 1) % len(ends)][0] + (2 * math.pi if number + 1 == len(ends) else 0.0)
        corners += [(radius * math.cos(angle), radius * math.sin(angle)) for angle in (start, end)]
        bulges += [math.tan(swept[number] / 2), math.tan((follows - end) / 4)]
    return Polyline(tuple(corners), tuple(bulges))


@read
def screw_places(reducer: Reducer, plan: Layout) -> tuple[tuple[Point, float], ...]:
    """Where the cover's screws stand [mm], and their angles [rad]."""
    return around(plan.screw_circle, reducer.screws, math.pi / reducer.screws)


def _foot_places(reducer: Reducer, plan: Layout) -> tuple[tuple[Point, float], ...]:
    """Where the feet's screws stand [mm], and their angles [rad]: between those of the cover."""
    return around(plan.foot_circle, reducer.screws)


@read
def pin_places(reducer: Reducer) -> tuple[tuple[Point, float], ...]:
    """Where the ring pins stand [mm], and their angles [rad]."""
    return around(reducer.drive.pin_circle_radius, reducer.drive.pins)


@read
def output_places(reducer: Reducer, crank: float = 0.0) -> tuple[tuple[Point, float], ...]:
    """Where the output rods stand at a crank angle [rad], and their angles."""
    lobes = reducer.drive.lobes
    first = 2 * math.pi * reducer.hole_phase / lobes - crank / lobes
    return around(reducer.output_circle_radius, reducer.output_rollers, first)


@read
def motor_plate(reducer: Reducer, plan: Layout, allow: Allowances = NONE) -> Part:
    """The plate between motor and ring: pilot's recess, lower bearing, pins' seats, sunk screws, nuts, feet."""
    top, bearing, screw = plan.plate_top, reducer.crank_bearing, thread(reducer.screw)
    recess, floor = plan.recess_top + allow.depth, plan.lower_bearing[0] - allow.depth
    pocket = plan.pocket_top + allow.depth
    lugs = [(plan.screw_circle, allow.turned(plan.lug), angle) for _, angle in screw_places(reducer, plan)]
    feet = [(plan.foot_circle, allow.turned(plan.foot_lug), angle) for _, angle in _foot_places(reducer, plan)]
    edge = _lugged(allow.turned(plan.outside), sorted([*lugs, *feet], key=lambda lug: lug[2]))
    cuts: list[Piece] = [
        (Circle(allow.bored(MOTOR.pilot_diameter / 2 + PILOT_PLAY)), 0.0, recess),
        (Circle(allow.bored(bearing.lip_radius)), recess, floor),
        *bored(allow.seat(bearing.outer_diameter / 2), floor, plan.lower_bearing[1], above=True),
    ]
    for place, _ in pin_places(reducer):
        end = top - reducer.seat_depth - SEAT_PLAY - allow.depth
        cuts += bored(allow.seat(reducer.pin_rod_radius), end, top, place, above=chamfer(reducer) > 0)
    for place, angle in screw_places(reducer, plan):
        through = Circle(allow.bored(screw.hole_diameter / 2), place)
        if reducer.screws_into == "inserts":
            seat = Circle(allow.bored(screw.insert_diameter / 2), place)
            cuts += [(through, 0.0, plan.insert_bottom), (seat, plan.insert_bottom, top)]
        else:
            width = 2 * allow.bored(screw.nut_width / 2 + SCREW_GAP)
            cuts += [(hexagon(width, place, angle), 0.0, pocket), (through, pocket, top)]
    cuts += [
        (Circle(allow.bored(screw.hole_diameter / 2), place), 0.0, top) for place, _ in _foot_places(reducer, plan)
    ]
    motors = thread(MOTOR.screw)
    for place in thread_places(MOTOR):
        cuts.append((Circle(allow.bored(motors.hole_diameter / 2), place), 0.0, plan.motor_screw_seat - allow.depth))
        head = Circle(allow.bored(motors.head_diameter / 2 + SCREW_GAP), place)
        cuts.append((head, plan.motor_screw_seat - allow.depth, top))
    return stacked("motor_plate", [(edge, 0.0, top)], cuts, reducer.housing_material)


@read
def ring_plate(reducer: Reducer, plan: Layout, allow: Allowances = NONE) -> Part:
    """The wall round rollers and discs, with lugs for the screws."""
    places = screw_places(reducer, plan)
    edge = _lugged(
        allow.turned(plan.outside), [(plan.screw_circle, allow.turned(plan.lug), angle) for _, angle in places]
    )
    radius = allow.bored(thread(reducer.screw).hole_diameter / 2)
    low, high = plan.plate_top, plan.cover_bottom
    cuts: list[Piece] = [(Circle(allow.bored(plan.inside)), low, high)]
    cuts += [(Circle(radius, place), low, high) for place, _ in places]
    return stacked("ring_plate", [(edge, low, high)], cuts, reducer.housing_material)


@read
def cover(reducer: Reducer, plan: Layout, allow: Allowances = NONE) -> Part:
    """The cover: pins' seats, and the output bearings' housing with a lip between their outer rings."""
    places, bearing = screw_places(reducer, plan), reducer.output_bearing
    assert bearing is not None  # `layout` refuses a reducer without
    low, high = plan.cover_bottom, plan.cover_top
    edge = _lugged(
        allow.turned(plan.outside), [(plan.screw_circle, allow.turned(plan.lug), angle) for _, angle in places]
    )
    first, last = plan.output_bearings
    seat = allow.seat(bearing.outer_diameter / 2)
    lip = (first[1] + allow.depth, last[0] - allow.depth)
    cuts: list[Piece] = [
        *bored(seat, first[0], lip[0], below=True),
        (Circle(allow.bored(bearing.lip_radius)), *lip),
        *bored(seat, lip[1], last[1], above=True),
    ]
    for place, _ in pin_places(reducer):
        end = low + reducer.seat_depth + SEAT_PLAY + allow.depth
        cuts += _chamfered(allow.seat(reducer.pin_rod_radius), low, end, place, chamfer(reducer))
    hole = allow.bored(thread(reducer.screw).hole_diameter / 2)
    cuts += [(Circle(hole, place), low, high) for place, _ in places]
    housing = Circle(allow.turned(plan.housing))
    return stacked("cover", [(edge, low, high), (housing, high, plan.housing_top)], cuts, reducer.housing_material)


@read
def second_plate(reducer: Reducer, plan: Layout, allow: Allowances = NONE, crank: float = 0.0) -> Part:
    """The plate that holds the output rods' lower ends."""
    low, high = plan.second_plate
    cuts: list[Piece] = [(Circle(allow.bored(carrier_bore(reducer))), low, high)]
    for place, _ in output_places(reducer, crank):
        cuts += bored(allow.seat(reducer.output_rod_radius), low, high, place, above=True)
    edge = Circle(allow.turned(plan.carrier))
    return stacked("second_plate", [(edge, low, high)], cuts, reducer.housing_material)


@read
def flange(reducer: Reducer, plan: Layout, allow: Allowances = NONE, crank: float = 0.0) -> Part:
    """The output: flange with the rods' upper ends, shoulder, and hub with the crank's upper bearing."""
    low, high = plan.flange
    bearing, output = reducer.crank_bearing, reducer.output_bearing
    assert output is not None
    solids: list[Piece] = [
        (Circle(allow.turned(plan.carrier)), low, high),
        (Circle(allow.turned(output.shoulder_radius)), high, high + AXIAL_GAP),
        (Circle(allow.turned(plan.hub)), high + AXIAL_GAP, plan.hub_top),
    ]
    lip = plan.upper_bearing[1] + allow.depth
    seat, mouth = bearing.outer_diameter / 2, carrier_bore(reducer)
    deep = plan.upper_bearing[0] if mouth > seat else low  # a mouth round the crank's spacer where that is thicker
    cuts: list[Piece] = [
        *bored(allow.seat(seat), deep, lip, below=True),
        (Circle(allow.bored(bearing.lip_radius)), lip, lip + reducer.least_wall),
    ]
    if mouth > seat:
        cuts.append((Circle(allow.bored(mouth)), low, deep))
    for place, _ in output_places(reducer, crank):
        cuts += bored(allow.seat(reducer.output_rod_radius), low, high, place, below=True)
    tip = plan.cap_top + LEVER - plan.cap_screw_length - THREAD_END
    for place, _ in cap_screw_places(plan, reducer, crank):
        cuts.append((Circle(allow.threaded(thread(reducer.screw)), place), tip, plan.hub_top))
    return stacked("flange", solids, cuts, reducer.housing_material)


@read
def cap_screw_places(plan: Layout, reducer: Reducer, crank: float = 0.0) -> tuple[tuple[Point, float], ...]:
    """Where the cap's three screws stand [mm]; they turn with the output."""
    return around(plan.cap_circle, 3, -crank / reducer.drive.lobes)


@read
def cap(reducer: Reducer, plan: Layout, allow: Allowances = NONE, crank: float = 0.0) -> Part:
    """The cap that clamps the output bearings' inner rings, with the lever's seat on it."""
    output = reducer.output_bearing
    assert output is not None
    low, high = plan.housing_top, plan.cap_top + LEVER
    seat = hexagon(2 * allow.turned(reducer.lever_width / 2), turn=-crank / reducer.drive.lobes)
    solids: list[Piece] = [
        (Circle(allow.turned(output.shoulder_radius)), low, plan.cap_top),
        (seat, plan.cap_top, high),
    ]
    radius = allow.bored(thread(reducer.screw).hole_diameter / 2)
    cuts: list[Piece] = [(Circle(radius, place), low, high) for place, _ in cap_screw_places(plan, reducer, crank)]
    return stacked("cap", solids, cuts, reducer.housing_material)


@read
def lever(reducer: Reducer, plan: Layout, allow: Allowances = NONE, crank: float = 0.0) -> Part:
    """The arm for a test bench: it goes over the cap's seat, under the heads of the cap's screws."""
    (near, far), arm, turn = lever_radii(reducer), reducer.lever_arm, -crank / reducer.drive.lobes
    near, far = allow.turned(near), allow.turned(far)
    half = math.acos((near - far) / arm)  # where the straight edges touch both round ends
    across, along = math.sin(half), math.cos(half)
    (u, v), (x, y) = (arm + far * along, far * across), (near * along, near * across)
    corners = ((u, -v), (u, v), (x, y), (x, -y))
    edge = moved(Polyline(corners, (math.tan(half / 2), 0.0, math.tan((math.pi - half) / 2), 0.0)), turn)
    low, seat, top = plan.cap_top, plan.cap_top + LEVER, plan.cap_top + LEVER + LID
    hole = Circle(allow.bored(thread(reducer.screw).hole_diameter / 2), (arm * math.cos(turn), arm * math.sin(turn)))
    wide = 2 * allow.bored(reducer.lever_width / 2 + LEVER_PLAY)
    cuts: list[Piece] = [(hole, low, top), (hexagon(wide, turn=turn), low, seat)]
    cuts += [(replace(hole, centre=place), seat, top) for place, _ in cap_screw_places(plan, reducer, crank)]
    return stacked("lever", [(edge, low, top)], cuts, reducer.housing_material)
