"""A bench machine judged as a whole: nothing overlaps, everything is held, faults that are planted are found.

What holds a part is tried by moving it: with shapely alone, by slabs, without the room that found it.
"""

import math
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import limits
from cyclokit.machine import bench
from cyclokit.machine.hardware import thread
from cyclokit.machine.layout import layout
from cyclokit.machine.reducer import Reducer
from cyclokit.making import assembly, axial_rows, contact, order, solids
from cyclokit.making.loops import Circle
from cyclokit.making.parts import parts_list
from cyclokit.making.shapes import part_moved, part_turned_over, plane
from tests.making.parts import FEW, KINDS, OTHERS, SMALL, STORY

MACHINE = Reducer(STORY)
ANGLES = (0.0, 0.7, 2.0, 3.3, 5.9)
SOLID = Reducer(SMALL, **FEW)


@cache
def parts(crank=0.7):
    return solids.machine(MACHINE, crank)


@cache
def holds():
    return assembly.held(parts())


def changed(name, change):
    return tuple(change(part) if part.name == name else part for part in parts())


def overlapping(one, other):
    """Whether two parts share room, by their slabs: deeper than 10 um, which is more than polygons leave."""
    return any(
        min(mine.top, theirs.top) - max(mine.bottom, theirs.bottom) > 1e-6
        and not plane(mine).intersection(plane(theirs)).buffer(-0.005).is_empty
        for mine in one.slabs
        for theirs in other.slabs
    )


@pytest.mark.parametrize("crank", ANGLES)
def test_no_two_parts_of_the_story_overlap(crank):
    assert contact.overlaps(parts(crank)) == []
    assert assembly.loose_joints(parts(crank)) == []


@pytest.mark.parametrize("figures", KINDS.values(), ids=KINDS)
def test_other_machines_go_together_too(figures):
    machine = solids.machine(Reducer(STORY, **figures), 0.4)
    assert contact.overlaps(machine) == []
    assert assembly.loose_joints(machine) == []
    assert order.blocked(machine) == []
    assert assembly.unheld(assembly.held(machine)) == []


@cache
def held_of(reducer):
    return assembly.held(solids.machine(reducer, ANGLES[-1]))


@pytest.mark.parametrize("reducer", OTHERS.values(), ids=OTHERS)
def test_machines_of_other_kinds_go_together_at_every_crank_angle(reducer):
    for crank in ANGLES:
        machine = solids.machine(reducer, crank)
        assert contact.overlaps(machine) == []
        assert assembly.loose_joints(machine) == []
        assert order.blocked(machine) == []
    found = held_of(reducer)
    assert assembly.unheld(found) == []
    assert ends(found) == {assembly.GROUND}
    assert all(row.ok for row in axial_rows.rows(reducer))


@pytest.mark.parametrize("kind", ["three discs", "inserts"])
def test_a_screw_nut_or_insert_that_is_missing_is_seen(kind):
    machine = solids.machine(OTHERS[kind], 0.7, lever=True)
    assert assembly.loose_joints(machine) == []
    taken = [part for part in machine if re.match(r".*screw|nut|insert", part.name)]
    assert len(taken) == 4 + 2 * 4 + 3 + (
        kind == "three discs"
    )  # motor's, cover's with what holds them, cap's, crank's
    for one in taken:
        assert assembly.loose_joints([part for part in machine if part is not one]), one.name
    for screws in set(assembly.SCREWS.values()) - {"crank_screw"}:
        without = [part for part in machine if not part.name.startswith(screws)]
        lacking = {part for part, names in assembly.SCREWS.items() if names == screws}
        assert lacking <= {part for part, _ in assembly.loose_joints(without)}


def test_what_is_beside_nuts_and_a_second_plate_is_there():
    names = {kind: {part.name for part in solids.machine(reducer)} for kind, reducer in OTHERS.items()}
    assert "insert_0" in names["inserts"]
    assert "nut_0" not in names["inserts"]
    assert "output_collar_2" in names["rods held at one end"]
    assert "second_plate" not in names["rods held at one end"]
    assert {"crank_upper", "crank_screw"} < names["three discs"]
    assert {"crank_neck", "crank_upper", "crank_screw"} < names["thick journals"]
    assert "crank_neck" not in names["three discs"]


def test_the_lever_is_held_by_its_seat_and_does_not_come_off():
    with_it = solids.machine(SOLID, 0.7, lever=True)
    assert contact.overlaps(with_it) == []
    assert assembly.loose_joints(with_it) == []
    assert order.blocked(with_it) == []
    reach = [part.top for part in with_it if part.name == "lever" or part.name.startswith("cap_screw")]
    assert len(set(reach)) == 2  # the screws' heads stand on it
    lever = next(part for part in with_it if part.name == "lever")
    by_name = {part.name: part for part in with_it}
    far = math.hypot(*lever.slabs[0].holes[0].centre)
    assert far == pytest.approx(SOLID.lever_arm)
    lifted = part_moved(lever, by=(0.0, 0.0, 0.05))
    assert all(overlapping(lifted, by_name[f"cap_screw_{number}"]) for number in range(3))
    assert overlapping(part_moved(lever, 0.05), by_name["cap"])
    assert overlapping(part_moved(lever, by=(0.0, 0.0, -0.05)), by_name["cap"])


def test_faults_of_inserts_and_collars_are_found():
    def _longer(part):
        return replace(part, slabs=(replace(part.slabs[0], bottom=part.bottom - 0.5),))

    assert faulty(OTHERS["inserts"], "insert_1", _longer) == [("motor_plate", "insert_1")]
    one_end = OTHERS["rods held at one end"]
    aside = faulty(one_end, "output_collar_1", lambda part: part_moved(part, by=(0.1, 0.0, 0.0)))
    assert aside == [("output_rod_1", "output_collar_1")]
    whole = solids.machine(one_end, ANGLES[-1])
    key = ("output_roller_1_0_inner", "-z")
    held = {(hold.part, hold.direction): hold for hold in held_of(one_end)}
    others = re.compile(r"ring_rod_\d+|output_(rod|collar|bush_\w+)_[02]|output_roller_[02]_\d_\w+|output_collar_1")
    lost = assembly.held(tuple(part for part in whole if not others.fullmatch(part.name)))  # of fewer parts: faster
    assert held[key].by == "output_bush_lower_1"
    assert held[key].in_all < 0.3
    assert {(hold.part, hold.direction): hold for hold in lost}[key].in_all > held[key].in_all + 3.0


def faulty(reducer, name, change):
    """The pairs that overlap in a machine, one part of which is changed."""
    return contact.overlaps([change(part) if part.name == name else part for part in solids.machine(reducer, 0.7)])


def test_faults_of_a_divided_crank_are_found():
    three = OTHERS["three discs"]
    turned = faulty(three, "crank_upper", lambda part: part_moved(part, 2 * math.pi / 3))
    assert ("crank", "crank_upper") in turned  # the flat
    assert ("crank_upper", "eccentric_bearing_2_inner") in turned
    low = faulty(three, "crank_screw", lambda part: part_moved(part, by=(0.0, 0.0, -2.0)))
    assert low == [("crank", "crank_screw"), ("crank_upper", "crank_screw")]  # below its thread's end, and its head


def test_faults_of_a_crank_with_a_neck_of_its_own_are_found(monkeypatch):
    thick = OTHERS["thick journals"]
    turned = faulty(thick, "crank_upper", lambda part: part_moved(part, math.pi))
    assert ("crank", "crank_upper") in turned  # the flat
    aside = faulty(thick, "crank_neck", lambda part: part_moved(part, by=(0.1, 0.0, 0.0)))
    assert aside == [("crank", "crank_neck")]
    whole = solids.machine(thick, 0.7)
    short = [replace(p, slabs=(replace(p.slabs[-1], top=p.top - 0.1),)) if p.name == "crank_neck" else p for p in whole]
    assert not {row.name: row for row in axial_rows.rows_of(thick, short)}["crank"].ok
    usual = tuple(step for step in order.STEPS if step[0] == "CRANK")  # bearing 0 from below, over the thick journal
    neck = (usual[0], ("CRANK", "crank_neck", order.ABOVE, "Slide the neck on."), *usual[1:])
    monkeypatch.setattr(order, "FROM_THE_CUT", neck)
    assert ("eccentric_bearing_0_inner", "crank") in {(part, other) for _, part, other in order.blocked(whole)}


def test_overlaps_are_those_of_laying_all_pairs_over_each_other():
    some = [part for part in changed("ring_rod_3", lambda part: part_moved(part, by=(0.3, 0.0, 0.4)))]
    some = [part for part in some if "_rod" in part.name or not part.bought or "bearing_0" in part.name]
    pairs = {
        (one.name, other.name)
        for number, one in enumerate(some)
        for other in some[number + 1 :]
        if overlapping(one, other)
    }
    assert set(contact.overlaps(some)) == pairs
    assert pairs


def test_every_part_is_held_in_every_direction_or_turns_freely():
    assert assembly.unheld(holds()) == []
    assert {hold.part for hold in holds()} == {part.name for part in parts()} - {assembly.GROUND}
    free = {hold.part for hold in holds() if hold.how == "free"}
    assert not free & {"crank", "flange", "disc_0", "disc_1", "cover", "motor_plate"}


def ends(found):
    """The parts by which those that don't turn freely are held in the end."""
    chains = assembly.chains(found)
    return {chains[hold.part, hold.direction][-1] for hold in found if hold.how != "free"}


def test_every_chain_ends_in_the_ring_plate():
    assert ends(holds()) == {assembly.GROUND}


def test_the_output_is_held_by_its_own_bearings_each_way():
    by = {(hold.part, hold.direction): hold for hold in holds()}
    chains = assembly.chains(holds())
    up, down = chains["flange", "+z"], chains["flange", "-z"]
    assert up[-2:] == down[-2:] == ["cover", assembly.GROUND]
    assert "output_bearing" in up[0]
    assert "output_bearing" in down[0]
    assert by["crank", "turning"].by == "motor_shaft"
    assert by["crank", "+z"].in_all == pytest.approx(MACHINE.axial_clearance)
    assert by["ring_rod_4", "+z"].by == "cover"
    assert by["ring_rod_4", "+z"].play == pytest.approx(0.1)


def test_the_lip_holds_the_output_each_way_even_where_no_ring_is_pressed_in(monkeypatch):
    loose = {name: how for name, how in assembly.JOINTS.items() if not name.startswith("output_bearing_")}
    kept = {name: how for name, how in assembly.JOINTS.items() if name.endswith("er_inner")}
    monkeypatch.setattr(assembly, "JOINTS", loose | kept)
    few = tuple(part for part in parts() if not part.name.startswith(("ring_r", "ring_b")) or part.name[-2:] == "_0")
    found = assembly.held(few)
    up, down = (assembly.chains(found)["flange", direction] for direction in ("+z", "-z"))
    assert up == ["output_bearing_lower_balls", "output_bearing_lower_outer", "cover", assembly.GROUND]
    assert down == ["output_bearing_upper_balls", "output_bearing_upper_outer", "cover", assembly.GROUND]


def one_of_a_kind(name):
    """Whether a part's number is 0 or 1: the others are alike."""
    return all(piece in "01" for piece in name.split("_") if piece.isdigit())


def moved(body, direction, way, reach, centre):
    """Parts of a body moved that far: turned about their body's middle, or along an axis."""
    if direction == "turning":
        (x, y), turn = centre, way / reach
        out = [part_moved(part, by=(-x, -y, 0.0)) for part in body]
        return [part_moved(part_moved(part, turn), by=(x, y, 0.0)) for part in out]
    sign = 1.0 if direction[0] == "+" else -1.0
    by = tuple(sign * way * (axis == direction[1]) for axis in "xyz")
    return [part_moved(part, by=by) for part in body]


def test_a_part_meets_what_holds_it_just_beyond_its_play():
    """Moved by its play and 0.05 mm it meets the neighbour that is named; by 0.05 mm less than its play it doesn't."""
    by_name, bodies = {part.name: part for part in parts()}, assembly.bodies(parts())
    tried = 0
    for hold in holds():
        if hold.how != "stop" or not one_of_a_kind(hold.part) or hold.direction == "turning":
            continue
        body = bodies[assembly.root(hold.part)]
        holder = by_name[hold.by]
        beyond = moved(body, hold.direction, hold.play + 0.05, 0.0, (0.0, 0.0))
        assert any(overlapping(part, holder) for part in beyond), hold
        if hold.play > 0.05:
            before = moved(body, hold.direction, hold.play - 0.05, 0.0, (0.0, 0.0))
            assert not any(overlapping(part, holder) for part in before), hold
        tried += 1
    assert tried > 200


@pytest.mark.parametrize("name", ["crank", "flange", "disc_0", "disc_1"])
def test_a_part_that_is_turned_meets_what_holds_it(name):
    """The same for turning; the output's rollers go along with the flange, the crank's rings with the crank."""
    by_name, bodies = {part.name: part for part in parts()}, assembly.bodies(parts())
    hold = next(hold for hold in holds() if (hold.part, hold.direction) == (name, "turning"))
    rides = {"flange": "output_", "crank": "eccentric_bearing_"}.get(name)
    riders = [p for p in parts() if rides and p.name.startswith(rides) and p.name not in {hold.by}]
    riders = [p for p in riders if assembly._is_round(bodies[assembly.root(p.name)])]
    body, centre = bodies[name], assembly._middle(bodies[name])
    reach = assembly._reach(body)
    beyond = moved([*body, *riders], "turning", hold.play + 0.05, reach, centre)
    before = moved([*body, *riders], "turning", max(0.0, hold.play - 0.05), reach, centre)
    assert any(overlapping(part, by_name[hold.by]) for part in beyond)
    assert not any(overlapping(part, by_name[hold.by]) for part in before)


def test_a_pin_that_is_too_long_is_found():
    long = changed("ring_rod_3", lambda part: replace(part, slabs=(replace(part.slabs[0], top=part.top + 0.2),)))
    assert contact.overlaps(long) == [("cover", "ring_rod_3")]


def test_a_flange_hole_on_the_wrong_circle_is_found():
    def _wrong(part):
        def _there(loop):
            far = math.hypot(*loop.centre)
            if far < 20 or loop.centre[0] < 20:
                return loop
            return replace(loop, centre=tuple(coordinate * (far + 0.3) / far for coordinate in loop.centre))

        return replace(part, slabs=tuple(replace(s, holes=tuple(map(_there, s.holes))) for s in part.slabs))

    wrong = contact.overlaps(changed("flange", _wrong))
    assert wrong
    assert all({"flange"} < set(pair) and any("output_rod" in name for name in pair) for pair in wrong)


def test_two_left_hand_discs_are_found():
    left = next(part for part in parts() if part.name == "disc_1")

    def _unturned(part):
        x, y = (math.cos(0.7 + math.pi) * 1.4, math.sin(0.7 + math.pi) * 1.4)
        flat = part_turned_over(part_moved(part, by=(-x, -y, -part.bottom)))
        for roller in range(6):  # its mark on the rod that it belongs to: the other side up fits none
            there = part_moved(flat, 2 * math.pi * roller / 6, (x, y, part.bottom))
            yield there

    for there in _unturned(left):
        wrong = contact.overlaps(changed("disc_1", lambda part, there=there: there))
        assert wrong
        assert all("disc_1" in pair for pair in wrong)


def test_a_missing_bush_is_found():
    without = tuple(part for part in parts() if part.name != "crank_bush_lower")
    lost = assembly.held(without)
    now = {(hold.part, hold.direction): hold for hold in lost}
    before = {(hold.part, hold.direction): hold for hold in holds()}
    key = ("crank", "-z")
    assert before[key].by == "crank_bush_lower"
    assert not now[key].by or now[key].in_all > before[key].in_all + 0.1


def test_a_joint_that_does_not_touch_is_found():
    lower = changed("cap", lambda part: part_moved(part, by=(0.0, 0.0, 0.5)))
    assert ("cap", "output_bearing_upper_inner") in assembly.loose_joints(lower)


def test_the_written_order_brings_every_part_in_once():
    steps = order.steps(parts())
    into = [name for step in steps if step.group == "MACHINE" for name in step.parts]
    assert sorted(into) == sorted(part.name for part in parts())
    words = [step.words for step in steps if step.group == "MACHINE"]
    assert words.index("Put the motor under its plate.") < words.index("Put the ring plate on.")


def test_the_order_is_shown_with_what_to_mind():
    told, shown = str(order.of(SOLID, lever=True)), order.of(SOLID, lever=True)._repr_html_()
    for word in ("goggles", "splinter", "press", "hot", "swings", "Local rules"):
        assert word in told and word in shown
    assert shown.count("<li>") == len(order.CAUTIONS) + len(order.of(SOLID, lever=True).steps)
    assert "an arm that swings" in told
    assert "an arm that swings" not in str(order.of(SOLID))


FOUR = Reducer(SMALL, discs=3, pin_made="solid", output_rollers=4)
ODD = Reducer(Drive(11, 42.0, 5.0, 1.6), **FEW)  # its discs are turned over


@pytest.mark.parametrize("reducer", [MACHINE, SOLID, ODD, FOUR, *OTHERS.values()])
def test_discs_that_go_in_as_the_order_says_mesh_with_the_ring(reducer):
    """Seen from below, as the flange lies: the words alone say which file, which face and which rod."""
    made = {part.name: part for part in solids.made(reducer)}
    drive, turn = reducer.drive, 2 * math.pi / reducer.output_rollers
    told = str(order.of(reducer))
    first = 2 * math.pi * reducer.hole_phase / drive.lobes
    pins = shapely.MultiPoint(
        [
            drive.pin_circle_radius * np.array([math.cos(a), math.sin(a)])
            for a in 2 * math.pi * np.arange(drive.pins) / drive.pins
        ]
    )
    for number in range(reducer.discs):
        place = order.PLACES[number]
        name, up = re.search(rf"the {place} from the motor, made as (\w+); .* looks (up|down)", told).groups()
        rod = int(re.search(rf"the {place} disc's on rod (\d+)", told).group(1))
        plate = plane(made[name].slabs[0])
        (mark,) = made[name].slabs[0].marks
        x, y = mark.centre
        if up == "up":  # seen from below its lower face is on top
            plate, y = shapely.affinity.scale(plate, 1, -1, origin=(0, 0)), -y
        nearest = min(made[name].slabs[0].holes[1:], key=lambda hole: math.dist(hole.centre, mark.centre))
        hole = math.atan2(nearest.centre[1], nearest.centre[0]) * (-1 if up == "up" else 1)
        assert abs(math.remainder(math.atan2(y, x) - hole, 2 * math.pi)) < turn / 2  # the mark tells its hole
        there = -(first + rod * turn)  # clockwise
        plate = shapely.affinity.rotate(plate, there - hole, origin=(0, 0), use_radians=True)
        angle = -2 * math.pi * number / reducer.discs
        moved = shapely.affinity.translate(plate, *(drive.eccentricity * np.array([math.cos(angle), math.sin(angle)])))
        gap = moved.distance(pins) - drive.roller_radius
        assert gap == pytest.approx(reducer.outline_clearance, abs=0.01)  # chords


def test_the_order_says_which_spacer_goes_where():
    for step in order.of(MACHINE).steps:
        if re.search("(ring|output)_bush", step.parts[0]) and step.group == "CARRIER":
            assert re.sub(r"_\d+(_\d+)?$", "", step.parts[0]) in step.words


@pytest.mark.parametrize(
    "reducer", [MACHINE, SOLID, FOUR, *OTHERS.values(), *(Reducer(STORY, **k) for k in KINDS.values())]
)
def test_the_order_names_every_line_of_the_parts_list(reducer):
    told = str(order.of(reducer, lever=True)).replace("_", " ")
    for item in parts_list(reducer).items:
        assert re.sub(r"^disc \d$", "disc", item.part) in told, item.part


def test_one_disc_goes_in_on_any_rod_and_more_by_their_marks():
    for discs in (1, 2):
        told = str(order.of(Reducer(STORY, discs=discs)))
        assert (order.ANY in told, order.MARKED in told) == (discs == 1, discs > 1)


def test_the_order_says_how_deep_a_bearing_sits_in_its_disc():
    for thick, says in ((5.0, "flush with"), (8.0, "1.5 mm below"), (4.0, "0.5 mm out of")):
        reducer = Reducer(STORY, disc_thickness=thick)
        there = {part.name: part for part in solids.machine(reducer)}
        apart = there["disc_0"].top - there["eccentric_bearing_0_outer"].top
        assert apart == pytest.approx((thick - 5.0) / 2)
        assert f"The bearing ends {says} " in str(order.of(reducer))


def test_different_discs_are_different_lines_of_the_list():
    items = {item.part.replace(" ", "_"): item.count for item in parts_list(FOUR).items}
    made = {part.name for part in solids.made(FOUR)}
    assert made <= items.keys()
    assert sum(count for name, count in items.items() if re.fullmatch(r"disc_\d", name)) == 3


@pytest.mark.parametrize("crank", ANGLES[:3])
def test_each_part_reaches_its_place_along_the_axis(crank):
    assert order.blocked(parts(crank)) == []


def turned_over(reducer, group, root, way):
    """Bodies of a group that nothing of it stops when it is turned over, its root held."""
    machine = solids.machine(reducer)
    names = {name for step in order.steps(machine) if step.group == group for name in step.parts}
    every = assembly.bodies([part for part in machine if part.name in names])
    stopped, before = {root}, set()
    while stopped != before:
        before = set(stopped)
        under = contact.Around([layer for name in stopped for layer in contact.layers(every[name])])
        for name in every.keys() - stopped:
            if contact.gaps_along(contact.layers(every[name]), under, way == "+z", frozenset()):
                stopped.add(name)
    return every.keys() - stopped


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_what_falls_off_when_it_is_turned_over_is_said_to_be_held(discs):
    reducer = Reducer(STORY, discs=discs)
    told = {step.parts[-1]: step.words for step in order.of(reducer).steps if step.group == "CRANK"}
    off_the_crank = turned_over(reducer, "CRANK", "crank", "+z")
    last = {f"disc_{discs - 1}", *(f"eccentric_bearing_{discs - 1}_{ring}" for ring in ("inner", "balls"))}
    assert off_the_crank == {"crank_bush_upper", *last}  # the disc lands on the flange
    out_of_the_carrier = turned_over(reducer, "CARRIER", "flange", "-z")
    assert out_of_the_carrier == {"crank_bush_lower", *(["crank"] if discs == 1 else [])}
    assert all("grease" in told[f"crank_bush_{which}"] for which in ("lower", "upper"))
    (let_in,) = (step.words for step in order.of(reducer).steps if step.group == "MACHINE" and "disc_0" in step.parts)
    assert "the crank held in it" in let_in and order.LEVEL not in let_in


def test_discs_that_no_second_plate_holds_are_let_in_with_the_axis_level():
    one_end = OTHERS["rods held at one end"]
    assert turned_over(one_end, "CARRIER", "flange", "-z") > {"crank", "disc_0", "disc_1"}
    assert order.LEVEL in str(order.of(one_end))


def off_the_jaw(steps, machine):
    """Bearings that are pressed in when something of their group stands out beyond them, where a vice's jaw comes."""
    layers, there, found = contact.by_part(machine), {}, []
    for step in steps:
        placed = there.setdefault(step.group, [])
        if re.fullmatch(r"(crank|output)_bearing_\w+", step.parts[0]):
            mine = [layer for name in step.parts for layer in layers[name]]
            jaw = shapely.unary_union([layer.area for layer in mine]).convex_hull.buffer(-0.01)
            top, bottom = max(layer.top for layer in mine), min(layer.bottom for layer in mine)
            beyond = (
                one.top > top + 1e-6 if step.comes == order.ABOVE else one.bottom < bottom - 1e-6
                for one in placed
                if one.area.intersects(jaw)
            )
            found += [step.parts[0]] * any(beyond)
        placed += [layer for name in step.parts for layer in layers[name]]
    return found


@pytest.mark.parametrize("reducer", [MACHINE, Reducer(STORY, discs=1), *OTHERS.values()])
def test_a_bearing_is_pressed_in_while_a_jaw_comes_to_it(reducer):
    machine = solids.machine(reducer)
    steps = list(order.steps(machine))
    assert off_the_jaw(steps, machine) == []
    lower = next(step for step in steps if step.parts[0].startswith("crank_bearing_lower"))
    steps.remove(lower)
    after = next(number for number, step in enumerate(steps) if step.parts[0].startswith("motor_screw")) + 1
    steps.insert(after, lower)  # the motor's shaft is in its bore
    assert off_the_jaw(steps, machine) == [lower.parts[0]]


def test_a_nut_on_a_tape_over_its_pocket_is_out_of_its_screws_reach():
    plan, nut = layout(MACHINE), thread(MACHINE.screw).nut_height
    assert plan.screw_tip > nut  # the nut's top would be where the screw's tip doesn't come
    (words,) = (step.words for step in order.of(MACHINE).steps if step.parts[0] == "nut_0")
    assert "to the ends of their pockets" in words


def test_an_order_that_cannot_be_is_found(monkeypatch):
    swapped = list(order.STEPS)
    where = {step[:2]: number for number, step in enumerate(swapped)}
    cover, carrier = where["MACHINE", "COVER"], where["MACHINE", "CARRIER"]
    swapped[cover], swapped[carrier] = swapped[carrier], swapped[cover]
    monkeypatch.setattr(order, "STEPS", tuple(swapped))
    ways = order.blocked(parts())
    assert any(step.parts[0] == "flange" and other == "cover" for step, _, other in ways)
    with pytest.raises(ValueError, match="which is in no step"):
        order.steps((replace(parts()[0], name="strange"),))


@st.composite
def buildable(draw):
    """Sound drives that a bench machine can be made of."""
    pins = draw(st.integers(8, 26))
    radius = draw(st.integers(34, 60))
    widest = 0.75 * float(limits.half_pin_distance(pins, radius))
    roller = draw(st.sampled_from([size for size in (2.0, 3.0, 4.0, 5.0, 6.5) if size < widest] or [2.0]))
    most = float(limits.greatest_eccentricity(pins, radius, roller))
    e = round(min(draw(st.floats(0.3, 0.8)) * most, 2.5), 2)
    assume(e > 0.3)
    figures = {
        "discs": draw(st.integers(1, 3)),
        "output_plates": draw(st.integers(1, 2)),
        "screws_into": draw(st.sampled_from(["nuts", "inserts"])),
        "pin_made": draw(st.sampled_from(["solid", None])),
    }
    try:
        machine = Reducer(Drive(pins, float(radius), roller, e), **figures)
    except ValueError:
        assume(False)
    assume(bench.refused(machine) is None)
    return machine


# ten machines take about as long as all other tests here: no more are asked for, and none is made smaller
@settings(max_examples=10, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(buildable(), st.floats(0, 2 * math.pi))
def test_sound_reducers_go_together_as_a_whole(machine, crank):
    placed = solids.machine(machine, crank)
    assert contact.overlaps(placed) == []
    assert assembly.loose_joints(placed) == []
    assert order.blocked(placed) == []
    found = assembly.held(placed)
    assert assembly.unheld(found) == []
    assert ends(found) == {assembly.GROUND}


def test_round_bodies_are_told():
    bodies = assembly.bodies(parts())
    assert assembly._is_round(bodies["ring_rod_0"])
    assert not assembly._is_round(bodies["crank"])
    assert isinstance(bodies["ring_rod_0"][0].slabs[0].outside, Circle)
    assert shapely.Point(assembly._middle(bodies["disc_0"])).distance(shapely.Point(0, 0)) == pytest.approx(1.4)
