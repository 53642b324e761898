"""A drive dressed as a machine, and the file it is kept in.

Sources
-------
Output holes: common practice, no source: 13 mm rollers and 1.5 mm eccentricity take
holes 3 mm wider than the rollers. TOML: TOML v1.0.0, https://toml.io/en/v1.0.0; read here with Python's own tomllib.
Shaft of 5 mm: NEMA ICS 16, the face of size 17. The story's output circle radius of 26 mm: derived values.
"""

import dataclasses
import tomllib

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cyclokit import Drive, reducer
from cyclokit.geometry import limits
from cyclokit.mechanics import space
from cyclokit.reducer import Reducer, from_toml, to_toml
from cyclokit.stock import BEARINGS, MATERIALS, Bearing
from tests.geometry.drives import STORY, sound_drives

FOUR = "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"
OWN = Bearing("turned from bronze", 14.0, 19.5, 6.25)


# what is chosen where nothing is given


def test_the_story_as_a_machine():
    machine = Reducer(STORY)
    assert (machine.output_rollers, machine.output_circle_radius, machine.output_roller_radius) == (6, 26.0, 5.0)
    assert machine.eccentric_bearing == BEARINGS["61801"]
    assert machine.crank_bearing == BEARINGS["625"]
    assert (machine.pin_made, machine.pin_rod_radius) == ("bearing on rod", 1.5)  # 623, 3 mm bore
    assert machine.shaft_radius == 2.5
    assert machine.disc_pitch == machine.disc_thickness + machine.disc_gap == 6.0
    assert machine.hole_allowance == machine.outline_allowance == 0  # until a calibration print decides


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_the_storys_machine_is_sound_by_spaces_own_report(discs):
    machine = Reducer(STORY, discs=discs)
    report = space.check(machine, least_wall=reducer.LEAST_WALL)
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
    assert all(limit.ok for limit in space.check(machine)), space.check(machine)


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


def test_a_copy_with_one_figure_changed_keeps_the_others():
    machine = Reducer(STORY)
    other = dataclasses.replace(machine, discs=1)
    assert other.discs == 1
    assert dataclasses.replace(other, discs=2) == machine


# what follows from the figures


def test_common_practice_holes_are_3_mm_wider_than_13_mm_rollers_at_1_5_mm_eccentricity():
    # common practice, no source; without clearance, as it is told there
    machine = Reducer(Drive(16, 45.0, 6.5, 1.5), output_roller_radius=6.5, hole_clearance=0.0)
    assert 2 * machine.hole_radius - 2 * machine.output_roller_radius == pytest.approx(3.0, abs=1e-12)  # rounding


def test_clearances_make_the_machine_and_allowances_dont():
    machine = Reducer(STORY)
    for name in reducer.ALLOWANCES:
        made_up = dataclasses.replace(machine, **{name: 0.3})
        assert (made_up.hole_radius, made_up.disc_drive) == (machine.hole_radius, machine.disc_drive)
    looser = dataclasses.replace(machine, hole_clearance=0.3, outline_clearance=0.2)
    assert looser.hole_radius == pytest.approx(5.0 + 1.4 + 0.3)
    assert looser.disc_drive == Drive(20, 42.0, 5.2, 1.4)


def test_the_way_of_printing_picks_the_strength():
    flat, upright = (Reducer(STORY, disc_material="PLA", print_orientation=way) for way in ("flat", "upright"))
    assert flat.disc_strength == MATERIALS["PLA"].strength
    assert upright.disc_strength == MATERIALS["PLA"].strength_across
    assert Reducer(STORY, disc_material="ABS").disc_strength == (35.0, 38.0)
    with pytest.raises(ValueError, match="no source says how strong ABS is across"):
        _ = Reducer(STORY, disc_material="ABS", print_orientation="upright").disc_strength


@pytest.mark.parametrize(
    ("figures", "error", "named"),
    [
        ({"output_rollers": 2}, ValueError, "output_rollers is 2"),
        ({"output_rollers": 6.0}, TypeError, "output_rollers must be a whole number"),
        ({"discs": 4}, ValueError, "discs is 4"),
        ({"discs": True}, TypeError, "discs must be"),
        ({"disc_thickness": 0.0}, ValueError, "disc_thickness is 0.0"),
        ({"disc_gap": "1 mm"}, TypeError, "disc_gap must be a number in mm"),
        ({"hole_phase": 1.0}, ValueError, "hole_phase is 1.0"),
        ({"hole_phase": float("nan")}, ValueError, "hole_phase is nan"),
        ({"hole_clearance": -0.1}, ValueError, "hole_clearance is -0.1"),
        ({"outline_allowance": 50}, ValueError, "outline_allowance is 50"),
        ({"axial_clearance": "much"}, TypeError, "axial_clearance must be"),
        ({"eccentric_bearing": "12345"}, ValueError, "eccentric_bearing is '12345'"),
        ({"pin_support": "none"}, ValueError, "pin_support is 'none'"),
        ({"disc_material": "cheese"}, ValueError, "disc_material is 'cheese'"),
        ({"print_orientation": 0}, ValueError, "print_orientation is 0"),
        ({"pin_made": "solid", "pin_rod_radius": 2.0}, ValueError, "pin_rod_radius is 2"),
        ({"shaft_radius": 2.5, "crank_bearing": "623"}, ValueError, "crank_bearing is 623"),
    ],
)
def test_a_figure_that_cant_be_is_refused_by_name(figures, error, named):
    with pytest.raises(error, match=named):
        Reducer(STORY, **figures)


def test_a_reducer_is_made_from_a_drive():
    with pytest.raises(TypeError, match="drive must be a Drive"):
        Reducer(20)


# the file


@st.composite
def reducers(draw):
    """A reducer of any figures that can be, sound or not."""
    length = st.floats(1e-6, 1e6)
    figures = {name: draw(length) for name in reducer.LENGTHS if name != "pin_rod_radius"}
    figures |= {name: draw(st.integers(*between)) for name, between in reducer.COUNTS.items()}
    figures |= {name: draw(st.sampled_from(allowed)) for name, allowed in reducer.CHOICES.items()}
    figures |= {name: draw(st.floats(0, 5)) for name in reducer.CLEARANCES}
    figures |= {name: draw(st.floats(-5, 5)) for name in reducer.ALLOWANCES}
    drive = draw(sound_drives())
    return Reducer(
        drive,
        **figures | {"shaft_radius": draw(st.floats(0.1, 7.0))},
        pin_rod_radius=drive.roller_radius if figures["pin_made"] == "solid" else draw(length),
        hole_phase=draw(st.floats(0, 1, exclude_max=True)),
        eccentric_bearing=draw(st.sampled_from([*BEARINGS.values(), OWN])),
        crank_bearing=OWN,
    )


@given(reducers())
def test_reading_back_gives_the_equal_reducer(machine):
    assert from_toml(to_toml(machine)) == machine


def test_the_file_has_every_figure_and_says_its_unit():
    text = to_toml(Reducer(STORY))
    table = tomllib.loads(text)
    figures = {field.name for field in dataclasses.fields(Reducer)} - {"drive"}
    assert set(table) == figures | set(reducer.DRIVE)
    assert text.startswith("#") and "mm" in text.splitlines()[0]
    assert table["eccentric_bearing"] == "61801"


def test_four_numbers_typed_by_hand_are_enough():
    assert from_toml(FOUR) == Reducer(STORY)
    assert from_toml(FOUR + "discs = 1\ndisc_thickness = 8") == Reducer(STORY, discs=1, disc_thickness=8.0)


def test_a_bearing_of_ones_own_is_a_table():
    table = '\n[eccentric_bearing]\nname = "mine"\nbore_diameter = 12\nouter_diameter = 20.5\nwidth = 5.0\n'
    assert from_toml(FOUR + table).eccentric_bearing == Bearing("mine", 12.0, 20.5, 5.0)
    with pytest.raises(ValueError, match=r"eccentric_bearing has wrong or missing keys, outer, outer_diameter"):
        from_toml(FOUR + table.replace("outer_diameter", "outer"))
    with pytest.raises(ValueError, match="eccentric_bearing: bore_diameter is 22"):
        from_toml(FOUR + table.replace("12", "22"))


def test_a_listed_name_with_other_sizes_is_written_with_its_sizes():
    machine = Reducer(STORY, eccentric_bearing=Bearing("61801", 12.0, 21.0, 5.5))
    assert from_toml(to_toml(machine)).eccentric_bearing.width == 5.5


@pytest.mark.parametrize(
    ("line", "named"),
    [
        ('shaft_radius = "2.5 mm"', "shaft_radius must be a number in mm"),
        ("shaft_radius = true", "shaft_radius must be a number in mm"),
        ("shaft_radius_cm = 0.25", "shaft_radius_cm is no key.*Write shaft_radius, in mm"),
        ("pin_rod_radius_inch = 0.1", "pin_rod_radius_inch is no key.*Write pin_rod_radius, in mm"),
        ("eccentricity_um = 1400", "eccentricity_um is no key.*Write eccentricity, in mm"),
        ("colour = 3", "colour is no key of a reducer"),
        ("drive = 3", "drive is no key of a reducer"),
        ("spacer_radius = nan", "spacer_radius is nan"),
        ("spacer_radius = [5.0]", "spacer_radius must be"),
        ("discs = 2.0", "discs must be a whole number"),
        ("crank_bearing = 625", "crank_bearing is 625"),
        ("hole_clearance = 1979-05-27", "hole_clearance must be a number"),
    ],
)
def test_a_wrong_key_is_an_error_that_names_it(line, named):
    with pytest.raises(ValueError, match=named):
        from_toml(FOUR + line)


def test_the_drives_own_numbers_are_checked_too():
    with pytest.raises(ValueError, match="pins must be a whole number"):
        from_toml(FOUR.replace("20", "20.0"))
    with pytest.raises(ValueError, match="eccentricity is missing"):
        from_toml(FOUR.replace("eccentricity = 1.4\n", ""))


@pytest.mark.parametrize(("line", "number"), [("discs = ", 5), ("discs = 1\ndiscs = 2", 6), ("a b = 3", 5)])
def test_a_syntax_error_names_its_line(line, number):
    with pytest.raises(ValueError, match=f"line {number}"):
        from_toml(FOUR + line + "\n")


def test_a_file_is_written_and_read(tmp_path):
    file = tmp_path / "machine.toml"
    machine = Reducer(STORY, discs=3)
    reducer.write(machine, file)
    assert reducer.read(file) == machine
    reducer.write(machine, file)  # the same again does no harm


def test_another_file_is_never_overwritten(tmp_path):
    file = tmp_path / "machine.toml"
    file.write_text("# my notes\n", encoding="utf-8")
    with pytest.raises(ValueError, match=r"machine\.toml holds something else"):
        reducer.write(Reducer(STORY), file)
    assert file.read_text(encoding="utf-8") == "# my notes\n"


def test_a_file_that_cant_be_understood_is_named(tmp_path):
    file = tmp_path / "machine.toml"
    for content in (FOUR.encode() + b"discs = 9\n", b"\xff\xfe", b"pins 20"):
        file.write_bytes(content)
        with pytest.raises(ValueError, match=r"machine\.toml: "):
            reducer.read(file)
    file.write_bytes(b"\xef\xbb\xbf" + FOUR.encode())  # some editors begin with such a mark
    assert reducer.read(file) == Reducer(STORY)


def test_a_readers_own_drive_is_a_reducer_already(tmp_path):
    from cyclokit.course import own

    own.keep(STORY, tmp_path / "my_drive.toml")
    assert reducer.read(tmp_path / "my_drive.toml") == Reducer(STORY)


def test_a_notebooks_table_has_every_figure():
    page = Reducer(STORY)._repr_html_()
    assert page.count("<tr>") == 1 + len(reducer.DRIVE) + len(dataclasses.fields(Reducer)) - 1
    assert ">26.0<" in page and ">61801<" in page
