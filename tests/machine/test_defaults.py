"""What a reducer's figures are where nobody gives them: parts that go together, or a refusal in words.

Sources
-------
Shaft of 5 mm: NEMA ICS 16, the face of size 17. Bearings 623 and 688: ISO 15. The story's output circle radius of
26 mm: derived values.
"""

import dataclasses

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.design.brief import Brief
from cyclokit.geometry import limits
from cyclokit.machine import bench, defaults, space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import BEARINGS
from tests.geometry.drives import STORY, sound_drives


def test_the_story_as_a_machine():
    machine = Reducer(STORY)
    assert (machine.output_rollers, machine.output_circle_radius, machine.output_roller_radius) == (6, 26.0, 5.0)
    assert machine.eccentric_bearing == BEARINGS["61801"]
    assert machine.crank_bearing == BEARINGS["688ZZ"]  # a shaft of 5 and two walls of 1.2 in its bore of 8 (ISO 15)
    assert (machine.pin_made, machine.pin_rod_radius) == ("bearing on rod", 1.5)  # 623, 3 mm bore
    assert machine.shaft_radius == 2.5
    assert machine.disc_pitch == machine.disc_thickness + machine.disc_gap == 6.0
    assert machine.hole_allowance == machine.outline_allowance == 0  # until a calibration print decides


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_the_storys_machine_is_sound_by_spaces_own_report(discs):
    machine = Reducer(STORY, discs=discs)
    report = space.check(machine, least_wall=defaults.LEAST_WALL)
    assert report.sound
    assert all(limit.ok for limit in report)
    assert limits.check(machine.disc_drive).sound


@given(sound_drives(), st.integers(1, 3))
def test_what_is_chosen_goes_together_or_is_refused_in_words(drive, discs):
    clearance = {"outline_clearance": 0.0}  # on a drive that hardly is sound any clearance undercuts
    try:
        machine = Reducer(drive, discs=discs, **clearance)
    except ValueError as error:
        assert any(word in str(error) for word in ("can't be chosen", "eccentric_bearing must"))
        return
    report = space.check(machine)
    assert report.sound, report
    chosen = (
        "wall between holes",
        "wall to the roots",
        "wall to the bore",
        "wall of the eccentric",
        "wall of the housing",
    )
    assert all(report[name].ok for name in chosen), report


@given(st.integers(11, 40), st.floats(38, 120), st.floats(0.3, 0.75))
def test_a_drive_of_the_storys_kind_is_never_refused(pins, radius, depth):
    # ten rollers and more, half as wide as they may be
    roller = min(0.5 * float(limits.half_pin_distance(pins, radius)), 6.0)
    eccentricity = min(depth * float(limits.greatest_eccentricity(pins, radius, roller)), 2.0)
    assume(eccentricity > 0.05)
    machine = Reducer(Drive(pins, radius, roller, eccentricity))
    assert space.check(machine).sound


@pytest.mark.parametrize(
    ("drive", "named"),
    [
        (Drive(20, 10.0, 1.0, 0.3), "output_roller_radius can't be chosen"),
        (Drive(20, 1000.0, 50.0, 30.0), "eccentric_bearing must have a bore of 67.4"),
    ],
)
def test_a_drive_that_leaves_no_choice_says_what_to_give(drive, named):
    with pytest.raises(ValueError, match=named):
        Reducer(drive)


def test_what_is_given_is_kept_and_the_rest_is_chosen_to_suit():
    machine = Reducer(STORY, output_roller_radius=3.0, eccentric_bearing="61804", pin_made="solid")
    assert machine.output_roller_radius == 3.0
    assert machine.eccentric_bearing == BEARINGS["61804"]
    assert machine.disc_thickness == 7.0  # that bearing's width
    assert machine.pin_rod_radius == 5.0  # a solid pin is its own rod
    assert space.check(machine).sound


def test_search_and_reducer_choose_from_the_same_wall_and_the_housings_is_its_own():
    assert Brief(19, 100.0, ("623",)).least_wall == Reducer(STORY).least_wall == defaults.LEAST_WALL
    thick = Reducer(STORY, housing_wall=20.0)
    assert thick == dataclasses.replace(Reducer(STORY), housing_wall=20.0)  # nothing else is chosen from it
    assert Reducer(STORY, least_wall=3.5).output_circle_radius < 26.0


@pytest.mark.parametrize("radius", [20.0, 42.0, 100.0])
def test_the_housings_wall_is_a_wall_outside_its_running_gap(radius):
    assert defaults.housing_wall(radius, 1.2, 0.3) == max(1.5, round(0.07 * radius, 1))
    assert space.check(Reducer(STORY, least_wall=4.0))["wall of the housing"].ok


def test_an_output_roller_of_a_millimetre_is_never_chosen():
    tight = Drive(20, 18.2, 2.0, 0.5)
    with pytest.raises(ValueError, match=r"no holes for rollers of 1.5 mm\. Give output_roller_radius or a smaller"):
        Reducer(tight)
    with pytest.raises(ValueError, match="output_roller_radius can't be chosen"):
        Reducer(tight, least_wall=1.1)
    assert Reducer(tight, output_roller_radius=1.0).output_roller_radius == 1.0  # who gives it has it
    small_pins = Drive(20, 42.0, 1.0, 0.5)
    assert Reducer(small_pins).output_roller_radius == defaults.SMALLEST_OUTPUT_ROLLER


@given(st.floats(0.3, 1.7), st.sampled_from([0.4, 0.8, 1.2]))
def test_a_bearing_that_is_chosen_passes_the_journals_of_a_crank_whose_bearing_is_chosen(eccentricity, least_wall):
    machine = Reducer(dataclasses.replace(STORY, eccentricity=eccentricity), least_wall=least_wall)
    report = bench.check(machine)
    assert report["crank bearing passes the eccentric's"].ok
    assert bench.refused(machine) is None  # not even where less than 1.2 mm is asked for


def test_where_a_wider_bearing_takes_the_output_rollers_room_the_smallest_stays():
    small = Drive(41, 17.0, 1.16, 0.29)  # 688, 16 mm across; 61800 has 19
    assert Reducer(small).eccentric_bearing.name == "688"
    assert Reducer(small, output_roller_radius=1.0).eccentric_bearing.name == "61800"
    assert Reducer(small, crank_bearing="608", output_roller_radius=1.0).eccentric_bearing.name == "688"


@given(st.floats(30, 80), st.sampled_from([1.5, 2.0, 5.0, 8.0]), st.floats(0.5, 3.0))
def test_output_rollers_are_never_smaller_and_leave_their_walls(radius, roller, least_wall):
    drive = Drive(12, radius, roller, 1.0)
    try:
        machine = Reducer(drive, least_wall=least_wall)
    except ValueError as error:
        assert "can't be chosen" in str(error) or "eccentric_bearing must" in str(error)
        return
    assert machine.output_roller_radius >= defaults.SMALLEST_OUTPUT_ROLLER
    report = space.check(machine)
    assert all(report[name].ok for name in ("wall between holes", "wall to the roots", "wall to the bore"))


def test_discs_stand_as_far_apart_as_their_bearings_need():
    assert Reducer(STORY).disc_gap == 1.0
    wide = Drive(10, 60.0, 9.5, 2.0)  # 626, 6 mm wide, on 61802, 5 mm wide (ISO 15)
    machine = Reducer(wide)
    assert (machine.ring_bearing.name, machine.eccentric_bearing.width) == ("626", 5.0)
    assert machine.disc_gap == 1.5  # 6 and a washer of 0.5, less a disc of 5
    assert space.check(machine).sound
    assert Reducer(STORY, disc_thickness=3.0).disc_pitch == 5.5  # the eccentric's bearing of 5, and a washer


def test_rods_go_with_their_rollers():
    assert Reducer(STORY).output_rod_radius == 1.5  # alike: the same 623
    assert Reducer(STORY, output_roller_radius=6.5).output_rod_radius == 2.0  # 624, 13 mm outside, 4 mm bore (ISO 15)
    assert Reducer(STORY, output_roller_radius=4.0).output_rod_radius == 2.0  # a sleeve
    assert Reducer(STORY, output_roller_radius=2.0).output_rod_radius == 2.0  # solid
