"""The file a reducer is kept in: typed by hand, read back equal, and refused by line or key.

Source: TOML v1.0.0, https://toml.io/en/v1.0.0; read here with Python's own tomllib.
"""

import dataclasses
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.machine import reducer, reducer_file
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.reducer_file import from_toml, to_toml
from cyclokit.machine.stock import BEARINGS, Bearing
from tests.geometry.drives import STORY, sound_drives

FOUR = "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"
OWN = Bearing("turned from bronze", 14.0, 19.5, 6.25)


@st.composite
def reducers(draw):
    """A reducer of any figures that can be, sound or not."""
    length = st.floats(1e-6, 1e6)
    values = {
        "length": lambda allowed: length,
        "count": lambda allowed: st.integers(*allowed),
        "number": lambda allowed: st.floats(*allowed),
        "choice": st.sampled_from,
        "bearing": lambda allowed: st.sampled_from([*BEARINGS.values(), OWN]),
    }
    figures = {name: draw(values[figure.kind](figure.allowed)) for name, figure in reducer.FIGURES.items()}
    drive = draw(sound_drives())
    figures |= {"shaft_radius": draw(st.floats(0.1, 7.0)), "crank_bearing": OWN}
    if figures["pin_made"] == "solid":
        figures["pin_rod_radius"] = drive.roller_radius
    if draw(st.booleans()):
        del figures["pin_bearing"]  # chosen, or none
    return Reducer(drive, **figures)


@given(reducers())
def test_reading_back_gives_the_equal_reducer(machine):
    assert from_toml(to_toml(machine)) == machine


def test_the_file_has_every_figure_and_says_its_unit():
    text = to_toml(Reducer(STORY))
    table = tomllib.loads(text)
    figures = {field.name for field in dataclasses.fields(Reducer)} - {"drive", "given"}
    assert set(table) == figures | set(reducer.DRIVE)
    assert "pin_bearing" not in tomllib.loads(to_toml(Reducer(STORY, pin_made="solid")))
    assert text.startswith("#") and "mm" in text.splitlines()[0]
    assert table["eccentric_bearing"] == "61801"


OLD = """
output_rollers = 6\noutput_circle_radius = 26.0\noutput_roller_radius = 5.0\nhole_phase = 0.25\ndiscs = 2
disc_thickness = 5.0\ndisc_gap = 1.0\nshaft_radius = 2.5\neccentric_bearing = "61801"\ncrank_bearing = "625"
spacer_radius = 5.1625\npin_made = "bearing on rod"\npin_rod_radius = 1.5\npin_support = "both ends"
disc_material = "PETG"\nroller_material = "bearing steel"\nrod_material = "bearing steel"\nhousing_material = "PETG"
print_orientation = "flat"\nhousing_wall = 2.9\nhole_clearance = 0.1\noutline_clearance = 0.1\naxial_clearance = 0.2
hole_allowance = 0.0\noutline_allowance = 0.0
"""


def test_a_file_that_was_written_before_walls_gaps_and_ring_bearings_had_names_is_read():
    assert from_toml(FOUR + OLD) == Reducer(STORY, rod_material="bearing steel", crank_bearing="625")  # defaults then


def test_a_file_that_was_written_before_the_frame_had_figures_is_read():
    later = 'least_wall = 1.2\nrunning_gap = 0.3\npin_bearing = "623"\noutput_rod_radius = 1.5\n'
    held = 'output_support = "one end"\n'
    assert from_toml(FOUR + OLD + later + held) == Reducer(STORY, rod_material="bearing steel", crank_bearing="625")


def test_a_file_without_any_one_figure_that_a_machine_gained_is_read():
    lines = to_toml(Reducer(STORY)).splitlines(keepends=True)
    gained = ("output_plates", "screws_into", "lever_width", "motor_shaft_length", "output_bearing", "seat_depth")
    for name in gained:
        left = [line for line in lines if not line.startswith(f"{name} ")]
        assert len(left) == len(lines) - 1
        assert from_toml("".join(left)) == Reducer(STORY)


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
        ("colour = 3", "colour is no key of a reducer: the keys are axial_clearance, .*shaft_radius"),
        ("excentricity = 1.4", "excentricity is no key of a reducer: perhaps eccentricity is meant"),
        ("pinBearing = '623'", "pinBearing is no key of a reducer: perhaps pin_bearing is meant"),
        ("Pins = 20", "Pins is no key of a reducer: perhaps pins is meant"),
        ("zoo = 1\ncolour = 3\nape = 2", "ape is no key of a reducer"),
        ("shaft_diameter = 5", "shaft_diameter is no key.* its radius. Write shaft_radius, half of it"),
        ("[drive]\npins = 20", r"whose keys stand in no table: delete the line \[drive\]"),
        ("lever_arm = 1,5", "line 5.*correct that place; numbers have a point, no comma"),
        ("drive = 3", "drive is no key of a reducer"),
        ("spacer_radius = nan", "spacer_radius is nan"),
        ("spacer_radius = [5.0]", "spacer_radius must be"),
        ("discs = 2.0", "discs must be a whole number"),
        ("crank_bearing = 625", "crank_bearing is 625, .*perhaps '625' in quotation marks"),
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


@pytest.mark.parametrize(
    ("number", "wrong", "told"),
    [
        ("1.4", "14.0", r"the roots, 23.0 mm from the middle, are inside the bore of 26 .* sound. loop: 5.67 too much"),
        ("5.0", "50.0", "isn't sound. undercut: 42.63 mm too much"),
        ("42.0", "4.2", "isn't sound. loop: 5.67 too much"),
    ],
)
def test_a_number_ten_times_too_large_or_small_is_told_for_what_it_does_to_the_drive(number, wrong, told):
    with pytest.raises(ValueError, match=rf"can't be chosen: .*{told}"):
        from_toml(FOUR.replace(number, wrong))


@pytest.mark.parametrize(("line", "number"), [("discs = ", 5), ("discs = 1\ndiscs = 2", 6), ("a b = 3", 5)])
def test_a_syntax_error_names_its_line(line, number):
    with pytest.raises(ValueError, match=f"line {number}"):
        from_toml(FOUR + line + "\n")


def test_a_file_is_written_and_read(tmp_path):
    file = tmp_path / "machine.toml"
    machine = Reducer(STORY, discs=3)
    reducer_file.write(machine, file)
    assert reducer_file.read(file) == machine
    reducer_file.write(machine, file)  # the same again does no harm


def test_another_file_is_never_overwritten(tmp_path):
    file = tmp_path / "machine.toml"
    file.write_text("# my notes\n", encoding="utf-8")
    with pytest.raises(ValueError, match=r"machine\.toml holds something else"):
        reducer_file.write(Reducer(STORY), file)
    assert file.read_text(encoding="utf-8") == "# my notes\n"


def test_a_file_that_cant_be_understood_is_named(tmp_path):
    file = tmp_path / "machine.toml"
    for content in (FOUR.encode() + b"discs = 9\n", b"\xff\xfe", b"pins 20"):
        file.write_bytes(content)
        with pytest.raises(ValueError, match=r"machine\.toml: "):
            reducer_file.read(file)
    file.write_bytes(b"\xef\xbb\xbf" + FOUR.encode())  # some editors begin with such a mark
    assert reducer_file.read(file) == Reducer(STORY)


def test_a_readers_own_drive_is_a_reducer_already(tmp_path):
    from cyclokit.course import own

    own.keep(STORY, tmp_path / "my_drive.toml")
    assert reducer_file.read(tmp_path / "my_drive.toml") == Reducer(STORY)


def test_paths_may_be_text(tmp_path):
    file = str(tmp_path / "mine.toml")
    reducer_file.write(Reducer(STORY), file)
    assert reducer_file.read(file) == Reducer(STORY)
