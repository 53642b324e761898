"""The crank, and the spacers that stand on shafts and rods, printed, each where it stands in the machine."""

import math
from functools import partial
from typing import Annotated

from cyclokit.arguments import checked_choice
from cyclokit.machine import crank as machine_crank
from cyclokit.machine.layout import (
    AXIAL_GAP,
    BUSH_PLAY,
    BUSH_STEP,
    LEAD_IN,
    SCREW_GAP,
    STACK_PLAY,
    Layout,
)
from cyclokit.machine.reducer import Reducer
from cyclokit.making.loops import Circle, Polyline, circle_with_flat
from cyclokit.making.shapes import Part, Slab
from cyclokit.making.stacking import NONE, Allowances, Piece, bored, stacked
from cyclokit.signatures import read

Which = Annotated[str, partial(checked_choice, allowed=("ring", "output"))]


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
        return (stacked("crank", solids, shaft, material),)

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
    made = [stacked("crank", lower, [*shaft, thread_hole], material), stacked("crank_upper", upper, sunk, material)]
    if cut.loose_neck:
        neck = [piece for piece in solids if cut.bottom <= piece[1] < cut.upper]
        bore = bored(allow.bored(cut.radius), cut.bottom, cut.upper, below=True)
        made.insert(1, stacked("crank_neck", neck, bore, material))
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
def hub_spacer(reducer: Reducer, plan: Layout, allow: Allowances = NONE) -> Part:
    """The ring between the output bearings' inner rings; its length sets their play."""
    output = reducer.output_bearing
    assert output is not None
    (_, low), (high, _) = plan.output_bearings
    return _bush("hub_spacer", (plan.hub, output.shoulder_radius), low, high, reducer.housing_material, allow)


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
        made.append(stacked(name, pieces, [cut], reducer.housing_material))
    return made[0], made[1]


@read
def row_on_rod(
    reducer: Reducer, plan: Layout, which: Which, allow: Allowances = NONE
) -> tuple[tuple[Part, ...], tuple[float, ...]]:
    """What stands on a rod of the ring or of the output about (0, 0), and heights of its bearings' lower faces [mm].

    Spacers from the bottom up, those between discs alike, or the sleeve, or nothing on a solid pin.
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
    bottoms = plan.ring_rollers if ring else plan.output_rollers
    ends = [low, *(z for bottom in bottoms for z in (bottom, bottom + bearing.width)), high]
    between = [f"middle_{number}" if number else "middle" for number in range(len(bottoms) - 1)]
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
