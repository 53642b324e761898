"""Heights and radii of a bench machine, and whether it can be built.

Sources
-------
Bearings 688, 61804 and 623: ISO 15. Walls that hold an M3's hole or nut: from memory. The story's heights were laid out
on paper first; a row of spacers and bearings of 7, 5, 3, 5 and 7 mm is 27 mm long: common practice, no source.
"""

import cmath
import itertools
import math

import pytest
import shapely

from cyclokit import Drive
from cyclokit.machine import bench, frame, remedies, space
from cyclokit.machine.hardware import FASTENINGS, INSERT_WALL, MOTOR, SCREWS, thread
from cyclokit.machine.layout import ENGAGED, LAYER, SCREW_GAP, STACK_PLAY, chamfer, layout
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.reducer_file import from_toml, to_toml
from cyclokit.machine.stock import BEARINGS, Bearing
from cyclokit.making import plates, solids
from cyclokit.making.shapes import plane
from cyclokit.mechanics import rods
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)
PLAN = layout(MACHINE)


def test_the_storys_heights_are_those_of_the_paper():
    assert (PLAN.recess_top, PLAN.plate_top, PLAN.lower_bearing) == (2.4, 8.6, (3.6, 8.6))
    assert PLAN.second_plate == (9.2, 15.2)
    assert PLAN.discs == PLAN.eccentrics == ((15.8, 20.8), (21.8, 26.8))
    assert PLAN.flange == (27.4, 33.4)
    assert (PLAN.cover_bottom, PLAN.cover_top) == (34.0, 39.0)
    assert PLAN.upper_bearing == (29.0, 34.0)
    assert PLAN.output_bearings == ((34.0, 41.0), (44.0, 51.0))


@pytest.mark.parametrize("width", [2.5, 3.0, 4.0, 5.0, 6.0])
def test_the_rows_play_takes_every_roller_to_the_middle_of_its_disc(width):
    """Spacers are whole layers, so a row that stands on its plate may be too low: by no more than it has play."""
    bearing = Bearing("one", 3.0, 10.0, width)
    machine = Reducer(STORY, pin_bearing=bearing, output_roller_bearing=bearing, disc_gap=2.0)
    plan = layout(machine)
    for floor, bottoms in ((plan.plate_top, plan.ring_rollers), (plan.second_plate[1], plan.output_rollers)):
        below = [sum(disc) / 2 - bottom - width / 2 for disc, bottom in zip(plan.discs, bottoms, strict=True)]
        assert below == pytest.approx(below[:1] * len(below))
        assert -1e-9 < below[0] < STACK_PLAY
        layers = (bottoms[0] - floor) / LAYER
        assert layers == pytest.approx(round(layers))


def test_the_storys_bearings_suit_each_other():
    assert MACHINE.crank_bearing == BEARINGS["688ZZ"]
    assert MACHINE.output_bearing == BEARINGS["61804"]
    assert MACHINE.output_roller_bearing == BEARINGS["623"]
    assert frame.output_bearing(BEARINGS["61808"], 1.2) is None
    assert frame.output_roller_bearing(4.0, 1.5) is None  # no bearing of 8 mm on a rod of 3


def test_the_cover_screws_tip_is_inside_and_the_nut_is_all_on_the_thread():
    assert PLAN.screw_length == 35
    assert PLAN.screw_tip == pytest.approx(PLAN.cover_top - 35)
    assert PLAN.pocket_top - PLAN.screw_tip == pytest.approx(SCREWS["M3"].nut_height)
    assert PLAN.plate_top - PLAN.pocket_top >= MACHINE.least_wall


def test_the_motors_screws_hold_and_do_not_bottom():
    assert PLAN.motor_screw_length == 8
    assert PLAN.motor_screw_length - PLAN.motor_screw_seat == ENGAGED < MOTOR.thread_depth
    assert PLAN.motor_screw_seat + 3.0 < PLAN.plate_top  # the head of an M3: ISO 4762


def test_lugs_hold_an_m3_where_the_rim_holds_none():
    assert MACHINE.housing_wall == 2.9 < 5.6  # a rim of 5.6 mm holds an M3's hole, from memory
    assert PLAN.screw_circle + PLAN.lug - PLAN.inside > 7.2
    assert 2 * PLAN.outside == pytest.approx(space.outer_diameter(MACHINE))  # lugs aside nothing grew
    assert bench.check(MACHINE)["diameter over the lugs"].value == pytest.approx(117.4)


def test_an_inserts_rim_is_as_wide_as_is_remembered_and_the_screw_holds_in_it():
    machine = Reducer(STORY, screws_into="inserts")
    plan = layout(machine)
    assert SCREWS["M3"].insert_diameter + 2 * INSERT_WALL == 7.2  # a rim of 7.2 mm holds an M3's insert, from memory
    assert 2 * plan.lug >= 7.2
    assert plan.insert_bottom == plan.plate_top - SCREWS["M3"].insert_length
    assert plan.plate_top - max(plan.screw_tip, plan.insert_bottom) > 1.5 * 3.0  # of the screw's diameter
    assert bench.refused(machine) is None


def test_rods_in_one_plate_stand_free_and_are_judged_so():
    one = Reducer(STORY, output_plates=1)
    plan = layout(one)
    assert plan.second_plate == (9.2, 12.2)  # a collar as long as the rod is thick
    assert plan.housing_top == PLAN.housing_top - 3.0
    assert rods.output_rod(one).support == "one end"
    assert bench.refused(one) is None


def test_the_storys_machine_can_be_built_with_one_to_three_discs():
    assert bench.check(MACHINE).sound
    assert bench.refused(MACHINE) is None
    assert bench.refused(Reducer(STORY, discs=1)) is None
    assert bench.refused(Reducer(STORY, discs=3)) is None
    thick = {"crank_bearing": "61800", "spacer_radius": 5.5}  # divided between the discs, above a shorter motor's shaft
    assert bench.refused(Reducer(STORY, motor_shaft_length=18.0, **thick)) is None


@pytest.mark.parametrize(
    ("figures", "named"),
    [
        ({"discs": 3, "motor_shaft_length": 26.0}, "motor's shaft below the crank's joint"),
        ({"discs": 3, "motor_shaft_length": 32.0}, "crank's screw above the motor's shaft"),
        ({"discs": 3, "motor_shaft_length": 25.0}, "crank's screw in its thread"),
        ({"discs": 3, "eccentric_bearing": Bearing("slim", 10.5, 21.0, 5.0)}, "wall of the crank's spigot"),
        ({"discs": 3, "crank_bearing": Bearing("thin", 7.0, 16.0, 5.0)}, "head of the crank's screw"),
        (
            {"discs": 3, "plate_thickness": 1.8, "crank_bearing": Bearing("flat", 8.0, 16.0, 2.0)},
            "crank's screw clamps",
        ),
        ({"crank_bearing": "625"}, "crank bearing round the crank"),
        ({"discs": 1, "crank_bearing": "61801"}, "crank bearing passes the eccentric's"),
        ({"discs": 3, "crank_bearing": "61801"}, "crank bearing passes the eccentric's"),
        ({"crank_bearing": "61800", "spacer_radius": 5.5}, "motor's shaft below the crank's joint"),
        ({"crank_bearing": "61800", "spacer_radius": 5.5, "disc_gap": 0.3}, "crank's neck as a ring"),
        ({"crank_bearing": "61801"}, "spacer's wall"),
        ({"crank_bearing": "61801", "output_bearing": "61804"}, "hub inside the output bearing"),
        ({"output_bearing_span": 8.0}, "output bearings apart"),
        ({"output_circle_radius": 34.5, "output_roller_radius": 1.5}, "carrier passes the rollers"),
        ({"screw": "M5", "crank_bearing": Bearing("thin", 8.0, 16.0, 2.5)}, "wall over the nuts"),
        (
            {"screws_into": "inserts", "screw": "M5", "crank_bearing": Bearing("thin", 8.0, 16.0, 2.5)},
            "insert in the motor's plate",
        ),
        ({"screws_into": "inserts", "screw": "M4", "disc_gap": 1.8}, "screws in their inserts"),
        ({"output_plates": 1, "output_support": "both ends"}, "rods held as they are judged"),
        ({"motor_shaft_length": 9.0}, "motor's shaft in the crank"),
        ({"motor_shaft_length": 35.0}, "motor's shaft below the hub"),
        ({"motor_shaft_flat": 2.5}, "flat of the motor's shaft"),
        ({"seat_depth": 1.0}, "ring pins' seats"),
        ({"least_wall": 0.2}, "lead-ins inside the walls"),
        ({"plate_thickness": 2.9}, "output rods in their plates"),
        ({"output_circle_radius": 10.5, "output_roller_radius": 2.0}, "spacer in the carrier"),
        ({"lever_arm": 19.0}, "lever's hole outside its seat"),
        ({"lever_width": 14.0}, "lever's seat round its screws"),
        ({"lever_width": 22.0}, "lever's seat on the cap"),
        ({"axial_clearance": 3.0}, "side play beside the upper spacer"),
        ({"axial_clearance": 0.6}, "side play below the flange"),
        ({"output_roller_bearing": "624"}, "rod fills the output bearing"),
        ({"spacer_radius": 6.0}, "spacer on the bearing's inner ring"),
        ({"spacer_radius": 4.5}, "spacer reaches the inner ring"),
    ],
)
def test_what_cannot_be_built_is_told(figures, named):
    machine = Reducer(STORY, **figures)
    report, room = bench.check(machine), space.check(machine)
    assert not report[named].ok
    assert not report.sound
    why = bench.refused(machine)
    told = report if room.sound else room
    for row in (row for row in told if row.physical and not row.ok):  # each: the first's remedy needn't be enough
        assert f"{row.name}. {row.trouble} {remedies.lacks(row)} " in why


SHORT = {"screw": "M4", "disc_gap": 1.8}
LONG_SHAFT = {"discs": 3, "output_plates": 1, "motor_shaft_length": 30.0}


@pytest.mark.parametrize(
    ("figures", "named", "remedies"),
    [
        (SHORT, "wall over the nuts", [{"screw": "M3"}, {"crank_bearing": "608"}, {"plate_thickness": 7.0}]),
        (
            SHORT | {"screws_into": "inserts"},
            "screws in their inserts",
            [{"screw": "M3"}, {"crank_bearing": "608"}, {"plate_thickness": 7.0}],
        ),
        ({"plate_thickness": 3.5}, "upper bearing in the flange", [{"plate_thickness": 5.0}]),
        (
            {"crank_bearing": Bearing("narrow", 8.0, 16.0, 2.8)},
            "upper bearing in the flange",
            [{"crank_bearing": Bearing("wider", 8.0, 16.0, 4.0)}],
        ),
        (
            LONG_SHAFT,
            "motor's shaft below the crank's joint",
            [{"motor_shaft_length": 20.0}, {"disc_thickness": 12.0}, {"output_plates": 2, "plate_thickness": 12.0}],
        ),
    ],
)
def test_each_remedy_that_is_told_can_help(figures, named, remedies):
    assert not bench.check(Reducer(STORY, **figures))[named].ok
    for remedy in remedies:
        assert bench.check(Reducer(STORY, **figures | remedy))[named].ok, remedy


def test_a_small_ring_has_no_room_for_the_motors_screws():
    report = bench.check(Reducer(Drive(16, 24.0, 2.0, 0.8)))  # a pin at 45 degrees, where a screw is
    assert not report["motor's screws inside the pins"].ok


def test_the_motors_screws_are_clear_of_every_pin_and_nut_where_they_are_said_to_be():
    """Each head's pocket, a wall round it, against each pin's seat and nut's pocket, as circles at their places."""
    told = set()
    for pins, circle, rod, into in itertools.product((7, 12, 13, 28), (20.0, 24.0, 26.0, 28.0), (1.0, 2.0), FASTENINGS):
        reducer = Reducer(Drive(pins, circle, rod, 0.5), output_rollers=3, pin_made="solid", screws_into=into)
        plan, report = layout(reducer), bench.check(reducer)
        screw = thread(reducer.screw)
        wide = (screw.nut_width / 2 + SCREW_GAP) / math.cos(math.pi / 6)
        wide = wide if into == "nuts" else screw.insert_diameter / 2
        heads = [31 / 2 * complex(x, y) for x in (-1, 1) for y in (-1, 1)]  # NEMA ICS 16: 31 mm apart
        seats = [(cmath.rect(circle, 2 * math.pi * pin / pins), rod) for pin in range(pins)]
        nuts = [(cmath.rect(plan.screw_circle, math.pi * (2 * nut + 1) / 4), wide) for nut in range(4)]
        walls = [abs(head - at) - radius - 5.5 / 2 - 0.25 for head in heads for at, radius in seats + nuts]
        ok = report["motor's screws inside the pins"].ok
        assert not ok or (min(walls) >= reducer.least_wall - 1e-9 and circle > 31 / math.sqrt(2))
        if circle - rod >= 21.93 + 5.5 / 2 + 0.25 + reducer.least_wall:
            assert ok  # wherever the pins stand
        told.add(ok)
    assert told == {True, False}
    assert bench.refused(Reducer(Drive(28, 27.0, 1.28, 0.8), disc_thickness=8.0)) is None  # its pins stand between


def test_the_largest_screws_have_a_levers_seat_that_stands_on_the_cap():
    machine = Reducer(STORY, screw="M5", seat_depth=5.0)
    assert bench.refused(machine) is None
    corner = machine.lever_width / 2 / math.cos(math.pi / 6)
    assert corner <= machine.output_bearing.shoulder_radius < corner + 0.1  # as wide as it can be


@pytest.mark.parametrize("least_wall", [0.4, 0.8, 1.0, 1.2])
@pytest.mark.parametrize("span", [8.5, 9.0, 10.0, 12.0, 13.0, 20.0])
def test_holes_of_the_caps_screws_end_above_the_lip_of_the_cranks_bearing(least_wall, span):
    machine = Reducer(STORY, least_wall=least_wall, output_bearing_span=span)
    plan = layout(machine)
    assert bench.refused(machine) is None
    whole = plates.flange(machine, plan)
    for place in plates.cap_screw_places(plan, machine):
        solid = [slab for slab in whole.slabs if plane(slab).covers(shapely.Point(*place[0]))]  # a slab whose holes
        assert max(slab.top for slab in solid) > plan.upper_bearing[1] + machine.least_wall  # meet is refused


def test_seats_that_are_close_have_no_lead_in_that_would_break_into_the_next():
    close = Reducer(Drive(60, 30.5, 1.5, 0.36), discs=1, motor_shaft_length=22.0)
    assert bench.refused(close) is None
    assert chamfer(close) == 0.0
    for part in solids.made(close):
        for slab in part.slabs:
            assert plane(slab).is_valid  # a slab whose holes meet is refused


def test_pins_held_at_one_end_and_a_missing_output_bearing_are_told():
    with pytest.raises(ValueError, match="pin_support is 'one end'"):
        bench.check(Reducer(STORY, pin_support="one end"))
    wide = Reducer(STORY, crank_bearing="61808")
    assert wide.output_bearing is None
    assert "output_bearing is None" in bench.refused(wide)
    assert from_toml(to_toml(wide)) == wide


def test_the_file_keeps_the_frames_figures():
    machine = Reducer(STORY, screw="M4", screws=6, output_bearing="61904", plate_thickness=8.0, shaft_play=0.05)
    assert from_toml(to_toml(machine)) == machine
    assert "screws = 6" in to_toml(machine)
