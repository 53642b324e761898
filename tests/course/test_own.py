"""The reader's own drive: always sound when chosen, never lost when kept.

Whether a disc's edge crosses itself is asked of Shapely, a general-purpose geometry library:
S. Gillies and others, "Shapely", which knows nothing of drives.
"""

import math
import subprocess
import sys
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LinearRing

from cyclokit import Drive
from cyclokit.course import own
from cyclokit.course.reader import folder
from cyclokit.geometry import limits, motion, outline

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
WISHES = {"turns": 15, "pin_circle_diameter_mm": 100, "roller_diameter_mm": 10}

turns = st.integers(min_value=2, max_value=200)
diameters = st.floats(min_value=1.0, max_value=1000.0)
shares = st.floats(min_value=0.01, max_value=1.5)  # of what neighbouring rollers have room for
lobes = st.sampled_from(sorted(own.DEPTHS))


def _room(turns, diameter):
    """Distance between neighbouring pins: the chord of one step round the circle."""
    step = 2 * math.pi / (turns + 1)
    return math.dist((diameter / 2, 0), (diameter / 2 * math.cos(step), diameter / 2 * math.sin(step)))


# choosing


@given(turns, diameters, shares, lobes)
def test_a_chosen_drive_is_sound_or_refused_in_words(turns, diameter, share, lobes):
    roller = share * _room(turns, diameter)
    try:
        drive = own.choose(turns, diameter, roller, lobes)
    except ValueError as refused:
        assert share > 0.999, refused  # a thousandth below touching there is always room
        assert "roller_diameter_mm" in str(refused)
        assert "choose smaller rollers" in str(refused)
        return
    assert limits.check(drive).sound
    assert share < 1.001  # rounding of the chord


@given(st.integers(2, 40), st.floats(20.0, 300.0), st.floats(0.05, 0.95), lobes)
def test_the_disc_of_a_chosen_drive_can_be_cut_from_a_plate(turns, diameter, share, lobes):
    drive = own.choose(turns, diameter, share * _room(turns, diameter), lobes)
    assert LinearRing(outline.polygon(drive, 1e-3 * diameter / 100)).is_simple
    apart = math.dist(*motion.pins(drive)[:2])
    assert apart > 2 * drive.roller_radius


@given(turns, diameters, st.floats(0.01, 0.99), lobes)
def test_the_wishes_are_met(turns, diameter, share, lobes):
    roller = share * _room(turns, diameter)
    drive = own.choose(turns, diameter, roller, lobes)
    assert drive.ratio == turns
    assert drive.pin_circle_radius == diameter / 2
    assert drive.roller_radius == roller / 2


@given(turns, diameters, st.floats(0.01, 0.99))
def test_deeper_lobes_have_more_eccentricity(turns, diameter, share):
    roller = share * _room(turns, diameter)
    shallow, middling, deep = (own.choose(turns, diameter, roller, word) for word in ("shallow", "middling", "deep"))
    assert shallow.eccentricity < middling.eccentricity < deep.eccentricity


def test_the_chosen_eccentricity_can_be_made():
    # three digits: common practice, no source; nobody sets a lathe to 1.7631297 mm
    assert own.choose(**WISHES).eccentricity == float(f"{own.choose(**WISHES).eccentricity:.3g}")


@pytest.mark.parametrize(
    ("wish", "value"),
    [
        ("turns", 1),
        ("turns", 0),
        ("turns", -15),
        ("turns", 10_000),
        ("turns", 15.0),
        ("turns", 15.5),
        ("turns", "15"),
        ("turns", None),
        ("turns", True),
        ("pin_circle_diameter_mm", 0),
        ("pin_circle_diameter_mm", -100),
        ("pin_circle_diameter_mm", math.nan),
        ("pin_circle_diameter_mm", math.inf),
        ("pin_circle_diameter_mm", "100"),
        ("pin_circle_diameter_mm", None),
        ("pin_circle_diameter_mm", True),
        ("roller_diameter_mm", 0),
        ("roller_diameter_mm", -10),
        ("roller_diameter_mm", math.nan),
        ("roller_diameter_mm", "10"),
        ("roller_diameter_mm", None),
        ("roller_diameter_mm", 20),  # rollers would touch
        ("lobes", "tall"),
        ("lobes", "Deep"),
        ("lobes", None),
        ("lobes", 0.5),
        ("lobes", ["deep"]),
    ],
)
def test_a_wish_out_of_range_is_refused_by_its_own_name(wish, value):
    with pytest.raises((ValueError, TypeError)) as refused:
        own.choose(**{**WISHES, wish: value})
    said = str(refused.value)
    assert wish in said
    assert "pin_circle_radius" not in said  # nobody has typed a radius
    assert len(said.splitlines()) == 1


def test_a_wish_too_small_to_measure_is_refused_by_its_own_name():
    with pytest.raises(ValueError, match="pin_circle_diameter_mm"):
        own.choose(turns=2, pin_circle_diameter_mm=1e-5, roller_diameter_mm=2.1e-6)


# keeping and reading


@given(
    st.integers(3, 10_000),
    st.floats(1e-6, 1e6),
    st.floats(1e-6, 1e6),
    st.floats(1e-6, 1e6),
)
def test_what_is_read_is_the_very_drive_that_was_kept(tmp_path_factory, pins, circle, roller, eccentricity):
    file = tmp_path_factory.mktemp("own", numbered=True) / own.FILE
    drive = Drive(pins, circle, roller, eccentricity)
    own.keep(drive, file)
    assert own.read(file) == drive


def test_a_kept_drive_can_be_read_without_the_library(tmp_path):
    # by the standard library's TOML reader: https://toml.io/en/v1.0.0
    own.keep(STORY, tmp_path / "my_drive.toml")
    kept = tomllib.loads((tmp_path / "my_drive.toml").read_text(encoding="utf-8"))
    assert kept == {"pins": 20, "pin_circle_radius": 42.0, "roller_radius": 5.0, "eccentricity": 1.4}


def test_where_nothing_was_kept_nothing_is_read(tmp_path):
    assert own.read(tmp_path / "my_drive.toml") is None


def test_keeping_says_in_which_file(tmp_path):
    assert own.keep(STORY, tmp_path / "my_drive.toml").startswith("kept in my_drive.toml")


def test_keeping_the_same_drive_again_is_no_trouble(tmp_path):
    file = tmp_path / "my_drive.toml"
    own.keep(STORY, file)
    before = file.read_bytes()
    assert own.keep(STORY, file).startswith("kept")
    assert file.read_bytes() == before


def test_keeping_the_same_drive_leaves_what_else_is_in_the_file(tmp_path):
    file = tmp_path / "my_drive.toml"
    own.keep(STORY, file)
    noted = "# printed on Tuesday, a bit tight\r\n" + file.read_text().replace("1.4", "1.40  # measured") + "\n\n"
    file.write_bytes(noted.encode())
    assert own.keep(STORY, file).startswith("kept")
    assert file.read_bytes() == noted.encode()


def test_a_read_only_file_with_the_same_drive_is_no_trouble(tmp_path):
    file = tmp_path / "my_drive.toml"
    own.keep(STORY, file)
    file.chmod(0o444)
    assert own.keep(STORY, file).startswith("kept")


# Two kernels that keep at once, a hundred times over. Each starts at the other's sign, so that they really meet.
KEEPER = """
import sys, time
from pathlib import Path
from cyclokit import Drive
from cyclokit.course import own
mine, theirs = sys.argv[1], sys.argv[2]
for race in range(100):
    folder = Path(sys.argv[3]) / str(race)
    folder.mkdir(exist_ok=True)
    (folder / mine).touch()
    end = time.monotonic() + 30
    while not (folder / theirs).exists() and time.monotonic() < end:
        pass
    said = own.keep(Drive(int(mine), 42.0, 4.0, 1.0), folder / "my_drive.toml")
    (folder / mine).write_text(said)
"""


def test_of_two_kernels_that_keep_at_once_one_is_told_that_the_other_was_faster(tmp_path):
    command = [sys.executable, "-c", KEEPER]
    running = [subprocess.Popen([*command, *pair, str(tmp_path)]) for pair in (("15", "16"), ("16", "15"))]
    assert [process.wait(60) for process in running] == [0, 0]
    for race in tmp_path.iterdir():
        won = own.read(race / "my_drive.toml")
        lost = {"15", "16"} - {str(won.pins)}
        assert (race / str(won.pins)).read_text().startswith("kept")
        said = (race / lost.pop()).read_text()
        assert "was not touched" in said
        assert repr(won) in said
        assert sorted(path.name for path in race.iterdir()) == ["15", "16", "my_drive.toml"]


def test_the_file_may_be_given_as_text(tmp_path):
    file = tmp_path / "my_drive.toml"
    own.keep(STORY, str(file))
    assert own.read(str(file)) == own.read(file) == STORY


def test_another_drive_that_was_kept_is_never_overwritten(tmp_path):
    file = tmp_path / "my_drive.toml"
    own.keep(STORY, file)
    before = file.read_bytes()
    said = own.keep(own.choose(**WISHES), file)
    assert file.read_bytes() == before
    assert "was not touched" in said
    assert repr(STORY) in said


@pytest.mark.parametrize(
    "text", ["pins = = 3", "pins = 20", "# notes of mine\n", "\x00", "a = " + "[" * 5000, f"pins = {'9' * 5000}"]
)
def test_a_file_that_holds_no_drive_is_never_overwritten(text, tmp_path):
    file = tmp_path / "my_drive.toml"
    file.write_text(text)
    with pytest.raises(ValueError, match=r"my_drive\.toml"):
        own.keep(STORY, file)
    assert file.read_text() == text


def test_a_writing_that_fails_leaves_the_folder_as_it_was(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(folder.os, "replace", full)
    with pytest.raises(OSError, match="No space left"):
        own.keep(STORY, tmp_path / "my_drive.toml")
    assert list(tmp_path.iterdir()) == []


# files that people wrote


def _read(tmp_path, text, encoding="utf-8"):
    file = tmp_path / "my_drive.toml"
    file.write_bytes(text.encode(encoding))
    return own.read(file)


WRITTEN = "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"


@pytest.mark.parametrize(
    "text",
    [
        WRITTEN,
        WRITTEN.replace("\n", "\r\n"),
        "\n".join(reversed(WRITTEN.splitlines())),
        WRITTEN.replace("42.0", "42") + "# mine",
        "\ufeff" + WRITTEN,  # as editors on Windows may begin a file
    ],
)
def test_a_drive_may_be_written_by_hand(text, tmp_path):
    assert _read(tmp_path, text) == STORY


@pytest.mark.parametrize("line", [1, 2, 3, 4])
def test_a_line_that_can_not_be_understood_is_named(line, tmp_path):
    lines = WRITTEN.splitlines()
    lines[line - 1] = lines[line - 1].replace("=", "==")
    with pytest.raises(ValueError, match=rf"my_drive\.toml can't be read.*line {line}"):
        _read(tmp_path, "\n".join(lines))


def test_a_file_in_another_encoding_is_refused_in_words(tmp_path):
    with pytest.raises(ValueError, match=r"my_drive\.toml can't be read"):
        _read(tmp_path, WRITTEN + "# Scheibengröße", encoding="latin-1")


@pytest.mark.parametrize("key", ["pins", "pin_circle_radius", "roller_radius", "eccentricity"])
def test_a_missing_key_is_named(key, tmp_path):
    without = "\n".join(line for line in WRITTEN.splitlines() if not line.startswith(f"{key} "))
    with pytest.raises(ValueError, match=rf"wrong or missing: {key}\."):
        _read(tmp_path, without)


def test_an_unknown_key_is_named(tmp_path):
    with pytest.raises(ValueError, match=r"wrong or missing: rollers\."):
        _read(tmp_path, WRITTEN + "rollers = 20\n")


@pytest.mark.parametrize("key", ["pins", "pin_circle_radius", "roller_radius", "eccentricity"])
@pytest.mark.parametrize("value", ["9" * 400, '"20"', "true", "[20]", "nan", "inf", "-5", "0", "{}", "1979-05-27"])
def test_a_value_that_is_no_such_number_is_named(key, value, tmp_path):
    lines = [f"{key} = {value}" if line.startswith(f"{key} ") else line for line in WRITTEN.splitlines()]
    with pytest.raises(ValueError, match=key):
        _read(tmp_path, "\n".join(lines))


# beside the story's


def test_beside_the_storys_drive_stands_ones_own_where_there_is_one(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert own.beside(STORY) == {"the story's": STORY}
    assert capsys.readouterr().out == 'No drive of your own yet: lesson 0, "A drive of your own".\n'
    mine = own.choose(**WISHES)
    own.keep(mine)
    assert own.beside(STORY) == {"the story's": STORY, "yours": mine}
    assert capsys.readouterr().out == ""
