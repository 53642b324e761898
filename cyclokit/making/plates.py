"""Printed parts as solids, each where it stands in the machine: plates, cover, flange, crank, spacers.

Each is cut out of what it is made of (`_stacked`). Allowances for the printer are asked for, and none by default.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from typing import Annotated, Any

from cyclokit.arguments import checked_choice
from cyclokit.machine import crank as machine_crank
from cyclokit.machine.hardware import MOTOR, Screw, thread
from cyclokit.machine.layout import (
    AXIAL_GAP,
    BUSH_PLAY,
    BUSH_STEP,
    LEAD_IN,
    LEVER,
    LEVER_PLAY,
    LID,
    PILOT_PLAY,
    SCREW_GAP,
    SEAT_PLAY,
    STACK_PLAY,
    THREAD_END,
    Layout,
    carrier_bore,
    chamfer,
    lever_radii,
    outer_lip,
)
from cyclokit.machine.reducer import FIGURES, Reducer
from cyclokit.making.bought import around, thread_places
from cyclokit.making.shapes import Circle, Loop, Part, Point, Polyline, Slab, circle_with_flat, hexagon, moved
from cyclokit.signatures import read


@dataclass(frozen=True)
class Allowances:
    """What is added to and taken from sizes because of what the printer does; a reducer's figures of that name.

    Attributes
    ----------
    hole, outline : float
        Added to a hole's radius, taken from an outside's [mm].
    hole_share, outline_share : float
        The same for each mm of the diameter.
    fit : float
        Added to the radius of the seat of a bearing or a rod besides [mm].
    depth : float
        Added to a recess's depth [mm].
    threads : bool
        Whether a hole in which a screw cuts its own thread is as narrow as that needs, not as wide as the screw.
    """

    hole: float = 0.0
    hole_share: float = 0.0
    outline: float = 0.0
    outline_share: float = 0.0
    fit: float = 0.0
    depth: float = 0.0
    threads: bool = False

    def bored(self, radius: float) -> float:
        """The radius with which a hole is drawn [mm]."""
        return radius + self.hole + 2 * radius * self.hole_share

    def turned(self, radius: float) -> float:
        """The radius with which an outside is drawn [mm]."""
        return radius - self.outline - 2 * radius * self.outline_share

    def seat(self, radius: float) -> float:
        """The radius with which the seat of a bearing or a rod is drawn [mm]."""
        return self.bored(radius) + self.fit

    def threaded(self, screw: Screw) -> float:
        """The radius with which a hole is drawn in which a screw cuts its own thread [mm]."""
        return self.bored((screw.core_diameter if self.threads else screw.diameter) / 2)


@read
def allowances(reducer: Reducer) -> Allowances:
    """A reducer's allowances; ValueError where recesses that are drawn deeper would meet back to back."""
    if 2 * reducer.depth_allowance >= reducer.least_wall:
        raise ValueError(
            f"depth_allowance is {reducer.depth_allowance:g} mm, which leaves nothing of a wall of "
            f"{reducer.least_wall:g} mm between two recesses: choose less than half of that."
        )
    return Allowances(
        reducer.hole_allowance,
        reducer.hole_allowance_share,
        reducer.outline_allowance,
        reducer.outline_allowance_share,
        reducer.fit_allowance,
        reducer.depth_allowance,
        threads=True,
    )


@read
def exact(reducer: Reducer) -> Reducer:
    """A reducer without any allowance; its clearances are as they were."""
    none: dict[str, Any] = dict.fromkeys((name for name in FIGURES if "_allowance" in name), 0.0)
    return replace(reducer, **none)


NONE = Allowances()
Which = Annotated[str, partial(checked_choice, allowed=("ring", "output"))]
Piece = tuple[Loop, float, float]  # a loop from one height to another


def _stacked(name: str, solids: Sequence[Piece], cuts: Sequence[Piece], material: str) -> Part:
    """A part from what it is made of, piece on piece, and what is cut out of that.

    Parameters
    ----------
    name : str
        Its name.
    solids, cuts : sequence of tuple
        Loops, each from a height to a height [mm]. Solids stand one on another; cuts at one height don't meet.
    material : str
        Its material.

    Returns
    -------
    Part
        As few slabs as there are heights at which something changes.
    """
    levels = sorted({round(z, 9) for _, bottom, top in (*solids, *cuts) for z in (bottom, top)})
    slabs = []
    for low, high in pairwise(levels):
        middle = (low + high) / 2
        outside = [loop for loop, bottom, top in solids if bottom < middle < top]
        holes = tuple(loop for loop, bottom, top in cuts if bottom < middle < top)
        if outside:
            slabs.append(Slab(outside[0], holes, low, high))
    return Part(name, tuple(slabs), material)


def _bored(
    radius: float, bottom: float, top: float, centre: Point = (0.0, 0.0), *, below: bool = False, above: bool = False
) -> list[Piece]:
    """A round hole with a step for a lead-in where it is open below or above [mm]."""
    low, high = bottom + LEAD_IN * below, top - LEAD_IN * above
    pieces: list[Piece] = [(Circle(radius, centre), low, high)]
    if below:
        pieces.append((Circle(radius + LEAD_IN, centre), bottom, low))
    if above:
        pieces.append((Circle(radius + LEAD_IN, centre), high, top))
    return pieces


def _chamfered(radius: float, bottom: float, top: float, centre: Point, width: float) -> list[Piece]:
    """A round hole that is open below, with a chamfer of as many steps as it has layers [mm]."""
    steps = round(width / LEAD_IN)
    pieces = [
        (Circle(radius + width - step * LEAD_IN, centre), bottom + step * LEAD_IN, bottom + (step + 1) * LEAD_IN)
        for step in range(steps)
    ]
    return [*pieces, (Circle(radius, centre), bottom + width, top)]


def _lugged(radius: float, lugs: Sequence[tuple[float, float, float]]) -> Circle | Polyline:
    """A round plate's edge with round lugs.

    Parameters
    ----------
    radius : float
        Of the plate [mm].
    lugs : sequence of tuple
        How far out each lug's middle is, its radius [mm], and its angle [rad], counter-clockwise; they don't meet.

    Returns
    -------
    Circle or Polyline
        Arcs; a circle where no lug sticks out.
    """
    corners: list[Point] = []
    ends, swept = [], []
    for far, lug, angle in lugs:
        if far + lug <= radius:
            continue
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
        (Circle(allow.bored(outer_lip(bearing))), recess, floor),
        *_bored(allow.seat(bearing.outer_diameter / 2), floor, plan.lower_bearing[1], above=True),
    ]
    for place, _ in pin_places(reducer):
        end = top - reducer.seat_depth - SEAT_PLAY - allow.depth
        cuts += _bored(allow.seat(reducer.pin_rod_radius), end, top, place, above=chamfer(reducer) > 0)
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
    return _stacked("motor_plate", [(edge, 0.0, top)], cuts, reducer.housing_material)


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
    return _stacked("ring_plate", [(edge, low, high)], cuts, reducer.housing_material)


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
        *_bored(seat, first[0], lip[0], below=True),
        (Circle(allow.bored(outer_lip(bearing))), *lip),
        *_bored(seat, lip[1], last[1], above=True),
    ]
    for place, _ in pin_places(reducer):
        end = low + reducer.seat_depth + SEAT_PLAY + allow.depth
        cuts += _chamfered(allow.seat(reducer.pin_rod_radius), low, end, place, chamfer(reducer))
    hole = allow.bored(thread(reducer.screw).hole_diameter / 2)
    cuts += [(Circle(hole, place), low, high) for place, _ in places]
    housing = Circle(allow.turned(plan.housing))
    return _stacked("cover", [(edge, low, high), (housing, high, plan.housing_top)], cuts, reducer.housing_material)


@read
def second_plate(reducer: Reducer, plan: Layout, allow: Allowances = NONE, crank: float = 0.0) -> Part:
    """The plate that holds the output rods' lower ends."""
    low, high = plan.second_plate
    cuts: list[Piece] = [(Circle(allow.bored(carrier_bore(reducer))), low, high)]
    for place, _ in output_places(reducer, crank):
        cuts += _bored(allow.seat(reducer.output_rod_radius), low, high, place, above=True)
    edge = Circle(allow.turned(plan.carrier))
    return _stacked("second_plate", [(edge, low, high)], cuts, reducer.housing_material)


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
        *_bored(allow.seat(seat), deep, lip, below=True),
        (Circle(allow.bored(outer_lip(bearing))), lip, lip + reducer.least_wall),
    ]
    if mouth > seat:
        cuts.append((Circle(allow.bored(mouth)), low, deep))
    for place, _ in output_places(reducer, crank):
        cuts += _bored(allow.seat(reducer.output_rod_radius), low, high, place, below=True)
    tip = plan.cap_top + LEVER - plan.cap_screw_length - THREAD_END
    for place, _ in cap_screw_places(plan, reducer, crank):
        cuts.append((Circle(allow.threaded(thread(reducer.screw)), place), tip, plan.hub_top))
    return _stacked("flange", solids, cuts, reducer.housing_material)


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
    return _stacked("cap", solids, cuts, reducer.housing_material)


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
    return _stacked("lever", [(edge, low, top)], cuts, reducer.housing_material)


@read
def hub_spacer(reducer: Reducer, plan: Layout, allow: Allowances = NONE) -> Part:
    """The ring between the output bearings' inner rings; its length sets their play."""
    output = reducer.output_bearing
    assert output is not None
    return _bush(
        "hub_spacer",
        (plan.hub, output.shoulder_radius),
        plan.output_bearings[0][1],
        plan.output_bearings[1][0],
        reducer.housing_material,
        allow,
    )


@read
def crank(reducer: Reducer, plan: Layout, allow: Allowances = NONE, turn: float = 0.0) -> tuple[Part, ...]:
    """The crank: journals, an eccentric a disc, necks between; a bore with a flat for the motor.

    Where it is divided it is two pieces. The lower one ends in a spigot with a flat, on which the upper one goes one
    way only; a screw along the axis, its head sunk in the upper journal, holds them together. A neck that no bearing
    passes is a ring that they clamp.
    """
    solids, shaft = _crank_solids(reducer, plan, allow, turn), _shaft_bore(reducer, plan, allow, turn)
    cut, material = machine_crank.division(reducer), reducer.housing_material
    if cut is None:
        return (_stacked("crank", solids, shaft, material),)

    def _spigot(more: float) -> Polyline:
        return circle_with_flat(cut.radius + more, cut.flat + more, turn)

    more = allow.bored(cut.radius) - cut.radius
    screw, roof = cut.screw, cut.spigot_top + LEAD_IN + allow.depth
    lower = [
        *(piece for piece in solids if piece[2] <= cut.bottom),
        (_spigot(allow.turned(cut.radius) - cut.radius), cut.bottom, cut.spigot_top),
    ]
    thread_hole: Piece = (Circle(allow.threaded(screw)), cut.thread_bottom, cut.spigot_top)
    sunk: list[Piece] = [
        (_spigot(LEAD_IN + more), cut.upper, cut.upper + LEAD_IN),
        (_spigot(more), cut.upper + LEAD_IN, roof),
        (Circle(allow.bored(screw.hole_diameter / 2)), roof, cut.seat),
        (Circle(allow.bored(screw.head_diameter / 2 + SCREW_GAP)), cut.seat, plan.upper_bearing[1]),
    ]
    upper = [piece for piece in solids if piece[1] >= cut.upper]
    made = [_stacked("crank", lower, [*shaft, thread_hole], material), _stacked("crank_upper", upper, sunk, material)]
    if cut.loose_neck:
        neck = [piece for piece in solids if cut.bottom <= piece[1] < cut.upper]
        bore = _bored(allow.bored(cut.radius), cut.bottom, cut.upper, below=True)
        made.insert(1, _stacked("crank_neck", neck, bore, material))
    return tuple(made)


def _crank_solids(reducer: Reducer, plan: Layout, allow: Allowances, turn: float) -> list[Piece]:
    """What a crank is made of, from the bottom up."""
    journal = Circle(allow.turned(reducer.crank_bearing.bore_diameter / 2))
    solids: list[Piece] = [(journal, plan.lower_bearing[0], plan.eccentrics[0][0])]
    for number, (bottom, top) in enumerate(plan.eccentrics):
        if number:
            solids.append((Circle(allow.turned(reducer.spacer_radius)), plan.eccentrics[number - 1][1], bottom))
        angle, e = turn + 2 * math.pi * number / reducer.discs, reducer.drive.eccentricity
        centre = (e * math.cos(angle), e * math.sin(angle))
        solids.append((Circle(allow.turned(reducer.eccentric_bearing.bore_diameter / 2), centre), bottom, top))
    return [*solids, (journal, plan.eccentrics[-1][1], plan.upper_bearing[1])]


def _shaft_bore(reducer: Reducer, plan: Layout, allow: Allowances, turn: float) -> list[Piece]:
    """The crank's bore for the motor's shaft, wider where it begins."""
    wide, low = reducer.shaft_play + allow.bored(reducer.shaft_radius) - reducer.shaft_radius, plan.lower_bearing[0]
    end = min(reducer.motor_shaft_length + AXIAL_GAP, plan.upper_bearing[1])

    def _bore(more: float) -> Polyline:
        return circle_with_flat(
            reducer.shaft_radius + wide + more, reducer.shaft_radius - reducer.motor_shaft_flat + wide + more, turn
        )

    return [(_bore(LEAD_IN), low, low + LEAD_IN), (_bore(0.0), low + LEAD_IN, end)]


@read
def crank_bushes(reducer: Reducer, plan: Layout, allow: Allowances = NONE) -> tuple[Part, Part]:
    """The spacers between the crank's bearings and the eccentrics', stepped where they meet the smaller bearing."""
    bore = reducer.crank_bearing.bore_diameter / 2
    small, large = min(reducer.spacer_radius, reducer.crank_bearing.shoulder_radius), reducer.spacer_radius
    made = []
    for name, near, far in (
        ("crank_bush_lower", plan.lower_bearing[1], plan.eccentrics[0][0]),
        ("crank_bush_upper", plan.upper_bearing[0] - reducer.axial_clearance, plan.eccentrics[-1][1]),
    ):
        step = math.copysign(min(BUSH_STEP, abs(far - near) / 2), far - near)
        low, high = sorted((near, far))
        cut: Piece = (Circle(allow.bored(bore + BUSH_PLAY)), low, high)
        pieces: list[Piece] = [
            (Circle(allow.turned(small)), *sorted((near, near + step))),  # type: ignore[list-item]
            (Circle(allow.turned(large)), *sorted((near + step, far))),  # type: ignore[list-item]
        ]
        made.append(_stacked(name, pieces, [cut], reducer.housing_material))
    return made[0], made[1]


@read
def row_on_rod(
    reducer: Reducer, plan: Layout, which: Which, allow: Allowances = NONE
) -> tuple[tuple[Part, ...], tuple[float, ...]]:
    """What stands on a rod of the ring or of the output beside the rod itself, about (0, 0).

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    plan : Layout
        Its heights.
    which : str
        "ring" or "output".
    allow : Allowances
        Allowances.

    Returns
    -------
    tuple of Part
        Spacers from the bottom up, those between discs alike, or the sleeve, or nothing on a solid pin.
    tuple of float
        Heights of the roller bearings' lower faces [mm].
    """
    ring = which == "ring"
    bearing = reducer.ring_bearing if ring else reducer.output_roller_bearing
    rod = reducer.pin_rod_radius if ring else reducer.output_rod_radius
    roller = reducer.drive.roller_radius if ring else reducer.output_roller_radius
    low = plan.plate_top if ring else plan.second_plate[1]
    high = (plan.cover_bottom if ring else plan.flange[0]) - STACK_PLAY
    if bearing is None:
        if rod >= roller:
            return (), ()
        sleeve = _bush(f"{which}_sleeve", (rod - BUSH_PLAY, roller), low, high, reducer.roller_material, allow)
        return (sleeve,), ()
    middles = [(bottom + top) / 2 for bottom, top in plan.discs]
    bottoms = tuple(middle - bearing.width / 2 for middle in middles)
    ends = [low, *(z for bottom in bottoms for z in (bottom, bottom + bearing.width)), high]
    between = [f"middle_{number}" if number else "middle" for number in range(len(middles) - 1)]
    names = ["lower", *between, "upper"]
    bushes = tuple(
        _bush(f"{which}_bush_{name}", (rod, bearing.shoulder_radius), bottom, top, reducer.housing_material, allow)
        for name, bottom, top in zip(names, ends[::2], ends[1::2], strict=True)
    )
    return bushes, bottoms


@read
def collar(reducer: Reducer, plan: Layout, allow: Allowances = NONE) -> tuple[Part, ...]:
    """What is pressed on an output rod's free end, about (0, 0), to keep its rollers on; nothing where none is free."""
    rod, bearing = reducer.output_rod_radius, reducer.output_roller_bearing
    if reducer.output_plates == 2 or rod >= reducer.output_roller_radius:
        return ()
    wide = bearing.shoulder_radius if bearing else reducer.output_roller_radius
    return (_bush("output_collar", (rod - BUSH_PLAY, wide), *plan.second_plate, reducer.housing_material, allow),)


def _bush(name: str, radii: tuple[float, float], bottom: float, top: float, material: str, allow: Allowances) -> Part:
    """A round spacer that slides on something of the first radius and is as wide as the second."""
    inner, outer = allow.bored(radii[0] + BUSH_PLAY), allow.turned(radii[1])
    return Part(name, (Slab(Circle(outer), (Circle(inner),), bottom, top),), material)
