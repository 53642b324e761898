"""What each part of a reducer is: a stack of slabs with true curves, at its own place in the machine or on a bed.

A part that runs in the machine has the reducer's clearances in it. What a printer makes too small or too large is made
up for by the reducer's allowances, and only in a part that is made (`made`): the machine is judged without them.
"""

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import shapely

from cyclokit.arguments import checked_count, checked_kind, checked_number
from cyclokit.drive import Drive
from cyclokit.geometry import limits, motion, outline
from cyclokit.machine import bench, crank, same_part
from cyclokit.machine.hardware import MOTOR, thread
from cyclokit.machine.layout import LEVER, LID, Layout, layout
from cyclokit.machine.reducer import Reducer
from cyclokit.making import allowed, bought, plates, spacers, stacking
from cyclokit.making.loops import Circle, Lobes, Loop, corners_of, polygon
from cyclokit.making.shapes import Part, Slab, part_moved, part_turned_over
from cyclokit.report import SLACK
from cyclokit.signatures import Place, read
from cyclokit.texts import plain

FRAME = (plates.motor_plate, plates.ring_plate, plates.cover)
FINE = 400  # points a lobe, and a quarter circle, of an outline that is no curve of ours any more
MOST_TURN = 1e6  # rad, of the crank, either way
UNMARKED = "no witness mark: there is no room for one; mark hole 0 with a pen, as the drawing of the disc shows it"
MARK = 0.5  # mm, radius of a witness mark: a hole right through, seen from both faces
MARK_WALL = 0.8  # mm from the mark to whatever is next to it; two lines of a usual nozzle: common practice, no source


@read
def made(reducer: Reducer) -> tuple[Part, ...]:
    """The parts that are made, each once, as it lies on the bed, standing on z = 0: allowances included; discs first.

    Of a reducer that can't be built as a bench machine (`cyclokit.machine.bench.refused`) only the discs. A ValueError
    says for which allowance there is no room.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> [part.name for part in made(Reducer(Drive(20, 42.0, 5.0, 1.4)))][:4]
    ['disc', 'motor_plate', 'ring_plate', 'cover']
    """
    return allowed.drawn(reducer, _drawn)


def _drawn(reducer: Reducer) -> Iterator[Part]:
    """The same one by one, whether there is room for the allowances or not."""
    yield from _discs_made(reducer).values()
    if bench.hindrance(reducer):
        return
    plan, allow = layout(reducer), stacking.allowances(reducer)
    for shape in (*FRAME, *_carriers(reducer), spacers.hub_spacer):
        yield _on_bed(shape(reducer, plan, allow))
    for several in (spacers.crank, spacers.crank_bushes, spacers.collar):
        yield from map(_on_bed, several(reducer, plan, allow))
    for which in ("ring", "output"):
        row = spacers.row_on_rod(reducer, plan, which, allow)[0]
        yield from (_on_bed(part) for part in row if not re.search(r"middle_\d", part.name))  # like the first one
    yield _on_bed(part_turned_over(plates.lever(reducer, plan, allow)))  # its open seat up


def _on_bed(part: Part) -> Part:
    return part_moved(part, by=(0.0, 0.0, -part.bottom))


def machine(reducer: Reducer, crank: float = 0.0, *, lever: bool = False) -> tuple[Part, ...]:
    """All parts of the bench machine in their places, those that are bought too, at nominal size, each by its own name.

    They stand as at a crank angle [rad], z = 0 the motor's face, the lever for a test bench on the output or not. A
    ValueError says why a reducer can't be built so (`cyclokit.machine.bench.check`).

    Examples
    --------
    >>> from cyclokit import Drive
    >>> parts = machine(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> max(part.top for part in parts)  # the heads of the cap's screws
    63.0
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    checked_kind("lever", lever, bool)
    turn = checked_number("crank", crank, -MOST_TURN, MOST_TURN)
    if why := bench.refused(reducer):
        raise ValueError(f"reducer can't be built as a bench machine: {plain(' '.join(why.splitlines()))}")
    plan, exact = layout(reducer), stacking.exact(reducer)
    return (
        *_frame(exact, plan, turn),
        *_on_rods(exact, plan, "ring", turn),
        *_crank(exact, plan, turn),
        *_discs_placed(exact, plan, turn),
        *_on_rods(exact, plan, "output", turn),
        *_output(exact, plan, turn, lever),
    )


def _frame(reducer: Reducer, plan: Layout, turn: float) -> Iterator[Part]:
    """Motor, plates, cover and the screws that hold them."""
    flat, length = reducer.motor_shaft_flat, reducer.motor_shaft_length
    yield from bought.motor(MOTOR, reducer.shaft_radius, flat, length, turn)
    for number, place in enumerate(bought.thread_places(MOTOR)):
        one, size = thread(MOTOR.screw), plan.motor_screw_length
        yield bought.screw(f"motor_screw_{number}", one, size, plan.motor_screw_seat, place)
    yield from (shape(reducer, plan) for shape in FRAME)
    screw = thread(reducer.screw)
    for number, (place, angle) in enumerate(plates.screw_places(reducer, plan)):
        yield bought.screw(f"cover_screw_{number}", screw, plan.screw_length, plan.cover_top, place)
        if reducer.screws_into == "inserts":
            yield bought.insert(f"insert_{number}", screw, plan.insert_bottom, place)
        else:
            yield bought.nut(f"nut_{number}", screw, plan.screw_tip, place, angle)
    yield from bought.bearing("crank_bearing_lower", reducer.crank_bearing, plan.lower_bearing[0])


def _crank(reducer: Reducer, plan: Layout, turn: float) -> Iterator[Part]:
    """Crank, its spacers and upper bearing, and the eccentrics' bearings."""
    yield from spacers.crank(reducer, plan, turn=turn)
    if cut := crank.division(reducer):
        yield bought.screw("crank_screw", cut.screw, cut.length, cut.seat, (0.0, 0.0))
    yield from spacers.crank_bushes(reducer, plan)
    yield from bought.bearing("crank_bearing_upper", reducer.crank_bearing, plan.upper_bearing[0])
    poses = motion.disc_poses(reducer.drive, turn, reducer.discs)
    for number, ((bottom, _), centre) in enumerate(zip(plan.eccentrics, poses.centre, strict=True)):
        place = (float(centre[0]), float(centre[1]))
        yield from bought.bearing(f"eccentric_bearing_{number}", reducer.eccentric_bearing, bottom, place)


def _output(reducer: Reducer, plan: Layout, turn: float, lever: bool) -> Iterator[Part]:
    """The carrier, its bearings, spacer, cap and screws, and the lever under their heads."""
    bearing = reducer.output_bearing
    assert bearing is not None  # `layout` refuses a reducer without
    yield from (shape(reducer, plan, crank=turn) for shape in _carriers(reducer))
    yield spacers.hub_spacer(reducer, plan)
    for name, (bottom, _) in zip(("lower", "upper"), plan.output_bearings, strict=True):
        yield from bought.bearing(f"output_bearing_{name}", bearing, bottom)
    if lever:
        yield plates.lever(reducer, plan, crank=turn)
    head = plan.cap_top + LEVER + LID * lever
    for number, (place, _) in enumerate(plates.cap_screw_places(plan, reducer, turn)):
        yield bought.screw(f"cap_screw_{number}", thread(reducer.screw), plan.cap_screw_length, head, place)


def _carriers(reducer: Reducer) -> tuple[Callable[..., Part], ...]:
    """The shapes of the plates that turn with the output."""
    second = (plates.second_plate,) if reducer.output_plates == 2 else ()
    return (*second, plates.flange, plates.cap)


def _on_rods(reducer: Reducer, plan: Layout, which: str, turn: float) -> Iterator[Part]:
    """The rods of ring or output with all that stands on them."""
    ring = which == "ring"
    places = plates.pin_places(reducer) if ring else plates.output_places(reducer, turn)
    radius = reducer.pin_rod_radius if ring else reducer.output_rod_radius
    bearing = reducer.ring_bearing if ring else reducer.output_roller_bearing
    low = plan.plate_top - reducer.seat_depth if ring else plan.second_plate[0]
    high = plan.cover_bottom + reducer.seat_depth if ring else plan.flange[1]
    row, bottoms = spacers.row_on_rod(reducer, plan, which)
    row = row if ring else (*row, *spacers.collar(reducer, plan))
    for number, (place, _) in enumerate(places):
        yield bought.rod(f"{which}_rod_{number}", radius, low, high, place, reducer.rod_material)
        for part in row:
            there = part_moved(part, by=(*place, 0.0))
            name, _, which_middle = part.name.partition("middle_")
            yield replace(there, name=f"{name}middle_{number}_{which_middle}" if which_middle else f"{name}_{number}")
        for disc_number, bottom in enumerate(bottoms):
            if bearing:
                yield from bought.bearing(f"{which}_roller_{number}_{disc_number}", bearing, bottom, place)


def _discs_placed(reducer: Reducer, plan: Layout, turn: float) -> Iterator[Part]:
    """The made discs, each put in as its witness mark says."""
    made_of = _discs_made(reducer)
    poses = motion.disc_poses(reducer.drive, turn, reducer.discs)
    for place, centre, (bottom, _) in zip(same_part.placings(reducer), poses.centre, plan.discs, strict=True):
        part = made_of[place.part]
        at, sense = _first_hole(reducer, _first_of(reducer, place.part)), 1
        if place.turned_over:
            part, sense = part_turned_over(part), -1
        _, roller = plates.output_places(reducer, turn)[place.roller]
        where = (float(centre[0]), float(centre[1]), bottom)
        yield replace(part_moved(part, roller - sense * at, where), name=f"disc_{place.disc}")


def _first_of(reducer: Reducer, part: int) -> int:
    """The first disc of the stack that is that part."""
    return next(place.disc for place in same_part.placings(reducer) if place.part == part)


@read
def disc_names(reducer: Reducer) -> tuple[str, ...]:
    """The name of the part that each disc is, from the lowest up; discs that are the same part share it.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> disc_names(Reducer(story)), disc_names(Reducer(story, discs=3, output_rollers=4))
    (('disc', 'disc'), ('disc_1', 'disc_2', 'disc_2'))
    """
    parts = [place.part for place in same_part.placings(reducer)]
    return tuple(f"disc_{part + 1}" if max(parts) else "disc" for part in parts)


def _discs_made(reducer: Reducer) -> dict[int, Part]:
    """The discs that are different parts, by their numbers as parts."""
    names = {place.part: name for place, name in zip(same_part.placings(reducer), disc_names(reducer), strict=True)}
    return {part: disc(reducer, _first_of(reducer, part), name) for part, name in sorted(names.items())}


def _first_hole(reducer: Reducer, number: int) -> float:
    """Where hole 0 of a disc lies, counter-clockwise from its root 0 [rad]."""
    return (reducer.hole_phase + number / reducer.discs) * 2 * math.pi / reducer.drive.lobes


@read
def disc(reducer: Reducer, number: Place, name: str) -> Part:
    """A disc of the stack about its own centre, root 0 on +x, standing on z = 0, with its allowances.

    It is one slab, with bore, output holes and the witness mark near hole 0, if there is room for one.
    """
    first = _first_hole(reducer, checked_count("number", number, 0, reducer.discs - 1))
    allow, drive = stacking.allowances(reducer), reducer.disc_drive
    tips = drive.pin_circle_radius + drive.eccentricity - drive.roller_radius
    edge = replace(drive, roller_radius=drive.roller_radius + tips - allow.turned(tips))
    radius = allow.bored(reducer.hole_radius)
    circle = reducer.output_circle_radius
    holes = [Circle(radius, place) for place, _ in bought.around(circle, reducer.output_rollers, first)]
    bore = Circle(allow.seat(reducer.bore_radius))
    plain_one = Slab(_edge(edge), (bore, *holes), 0.0, reducer.disc_thickness)
    marks = _marks(plain_one, circle - radius, first, 2 * math.pi / reducer.output_rollers)
    return Part(name, (replace(plain_one, marks=marks),), reducer.disc_material)


@read
def notes(reducer: Reducer, part: Part) -> tuple[str, ...]:
    """What a file says of the part in it: its size, and which clearances and allowances it contains."""
    clearances = "seats of bearings and rods at nominal size, all else as `cyclokit.machine.layout` has it"
    if part.name.startswith("disc"):
        clearances = (
            f"outline moved in by {reducer.outline_clearance:g} mm, output holes' radius "
            f"{reducer.hole_clearance:g} mm more than it needs"
        )
    unmarked = part.name.startswith("disc") and not part.slabs[0].marks
    return (
        f"{part.name}: {part.material}, {part.top - part.bottom:g} mm high, lengths in mm",
        f"clearances it contains: {clearances}",
        f"allowances for the printer it contains: {_allowed(stacking.allowances(reducer))}",
        *((UNMARKED,) if unmarked else ()),
    )


def _allowed(allow: stacking.Allowances) -> str:
    """Allowances in words."""
    said = f"outline moved in by {allow.outline:g} mm{_for_each(allow.outline_share)}, holes' radius {allow.hole:g} mm"
    said += f"{_for_each(allow.hole_share)} more"
    if allow.fit:
        said += f", seats of bearings and rods {allow.fit:g} mm more besides"
    return said + (f", recesses {allow.depth:g} mm deeper" if allow.depth else "")


def _for_each(share: float) -> str:
    return f" and {share:g} mm for each mm across" if share else ""


def _edge(drive: Drive) -> Loop:
    """A disc's outline; where it is undercut, what rollers leave of it, as a polygon within half a micrometre."""
    if drive.roller_radius < limits.least_convex_radius(drive.pins, drive.pin_circle_radius, drive.eccentricity):
        return Lobes(drive)
    turned = np.linspace(0, 2 * math.pi, FINE * drive.lobes + 1)
    path = shapely.Polygon(outline.centre_path(drive, turned))
    if not path.is_valid:
        raise ValueError(f"{drive!r} has a centre path that loops, and no disc: choose a smaller eccentricity.")
    left = shapely.remove_repeated_points(path.buffer(-drive.roller_radius, quad_segs=FINE), 1e-6)
    if left.geom_type != "Polygon" or left.is_empty:
        raise ValueError(f"{drive!r} leaves no disc in one piece: choose smaller rollers.")
    return polygon(shapely.get_coordinates(left.normalize().exterior.reverse())[:-1])


def _marks(slab: Slab, inside: float, angle: float, apart: float) -> tuple[Circle, ...]:
    """A witness mark near hole 0, which lies at that angle, its inner side so far out [mm]; none without room.

    It stands towards the middle from the hole. Where walls are thin it takes the roomiest place that is nearer to hole
    0 than to its neighbours, which are `apart` [rad].
    """
    corners, *others = (corners_of(loop, 0.05) for loop in (slab.outside, *slab.holes))
    edge, *cut = map(shapely.Polygon, (corners, *others))
    free = edge.difference(shapely.union_all(cut))  # also where an unsound reducer's holes meet
    ray = np.array([(inside - MARK_WALL - MARK) * np.exp(1j * angle)])
    reach = np.linspace(0, np.abs(corners).max(), 121)[1:]
    turns = angle + np.linspace(-0.4, 0.4, 33) * apart
    for places in (ray, (reach[:, None] * np.exp(1j * turns)).ravel()):
        points = shapely.points(places.real, places.imag)
        room = np.where(shapely.contains(free, points), shapely.distance(free.boundary, points), 0.0)
        best = int(room.argmax())
        if room[best] >= MARK + MARK_WALL - SLACK:
            return (Circle(MARK, (float(places[best].real), float(places[best].imag))),)
    return ()
