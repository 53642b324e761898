"""Reducers as makers mistype and mismeasure them: a right machine, or a sentence that helps, and never half of it."""

import re

import pytest

from cyclokit.__main__ import main
from cyclokit.machine.reducer_file import from_toml
from cyclokit.making import solids
from cyclokit.making.shapes import plane

STORY = "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"
SMALL = "pins = 12\npin_circle_radius = 25.0\nroller_radius = 3.0\neccentricity = 1.2\n"
REFUSED = {  # nothing is written
    "misspelled": (STORY.replace("eccentricity", "excentricity"), "perhaps eccentricity is meant"),
    "diameter": (STORY.replace("circle_radius", "circle_diameter"), "Write pin_circle_radius, half of it"),
    "centimetres": (SMALL.replace("25.0", "2.5"), r"pin_circle_radius|pin circle"),
    "eccentricity of 14 mm": (STORY.replace("1.4", "14"), "loop: 5.67 too much"),
    "a diameter as a radius": (STORY.replace("5.0", "10.0"), r"undercut.* Enough for this: .*roller_radius = \d"),
    "decimal comma": (STORY.replace("1.4", "1,4"), "numbers have a point, no comma"),
    "a unit in a number": (STORY.replace("1.4", "'1.4 mm'"), "give the plain number"),
    "61 pins on the story's circle": (STORY.replace("20", "61"), r"(?s)loop.*\nEnough for all of this: pin_circle_r"),
    "a bearing's maker's name": (STORY + "crank_bearing = '688ZZ-C3'", "perhaps '688ZZ'"),
    "output circle of 260 mm": (STORY + "output_circle_radius = 260", "output_circle_radius = 28.9"),
    "three discs, small bearings": (STORY + "discs = 3\neccentric_bearing = '688'", "middle eccentric on the shaft"),
    "side play of 2 mm": (STORY + "axial_clearance = 2", "Enough for this: axial_clearance = 0.95"),
}
DISCS = {  # what is no bench machine: the discs alone, and why
    "wall of 0.1 mm": (STORY + "least_wall = 0.1", "lead-ins inside the walls.*least_wall = 0.3"),
    "shaft of 240 mm": (STORY + "motor_shaft_length = 240", "motor_shaft_length = 34.6"),
    "shaft of 2.4 mm": (STORY + "motor_shaft_length = 2.4", "motor_shaft_length = 9.6"),
    "seats of 30 mm": (STORY + "seat_depth = 30", "Enough for this: seat_depth = 20.5"),
    "three discs, small drive": (SMALL + "discs = 3", "crank's screw in its thread.*motor_shaft_length = 23.8"),
    "lever of 10 mm": (STORY + "lever_arm = 10", "lever_arm = 19.4"),
}
RIGHT = {
    "5 lobes": "pins = 6\npin_circle_radius = 40\nroller_radius = 6\neccentricity = 2\n",
    "60 lobes": "pins = 61\npin_circle_radius = 70\nroller_radius = 2\neccentricity = 0.6\n",
    "wall of 0.4 mm": STORY + "least_wall = 0.4\n",
    "three discs": STORY + "discs = 3\n",
}


def _make(text, tmp_path, capsys):
    (tmp_path / "mine.toml").write_text(text)
    code = main(["make", str(tmp_path / "mine.toml"), str(tmp_path / "out"), "--formats", "dxf"])
    made = {path.name for path in (tmp_path / "out").iterdir()} if (tmp_path / "out").exists() else set()
    assert not list(tmp_path.glob(".making-*"))
    return code, made, capsys.readouterr()


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_cannot_be_made_is_refused_in_a_sentence_that_helps(name, tmp_path, capsys):
    text, helps = REFUSED[name]
    code, made, said = _make(text, tmp_path, capsys)
    assert (code, made) == (2, set())
    assert re.search(helps, said.err), said.err


@pytest.mark.parametrize("name", DISCS)
def test_what_is_no_bench_machine_is_told_with_what_is_enough(name, tmp_path, capsys):
    text, helps = DISCS[name]
    code, made, said = _make(text, tmp_path, capsys)
    assert code == 0 and made and all(file.startswith("disc") for file in made)
    assert re.search(helps, said.out), said.out


@pytest.mark.parametrize("name", RIGHT)
def test_every_slab_of_an_awkward_machine_is_a_plate_with_holes(name):
    made = solids.made(from_toml(RIGHT[name]))
    assert len(made) > 10
    for part in made:
        for slab in part.slabs:
            assert plane(slab).is_valid, part.name  # `plane` refuses holes that meet
