"""For how much of each allowance a machine has room: by arithmetic where the wall is known, else by drawing it."""

import math
import re
from dataclasses import replace

import pytest

from cyclokit import Drive
from cyclokit.__main__ import main
from cyclokit.machine import bench
from cyclokit.machine.layout import layout
from cyclokit.machine.reducer import Reducer
from cyclokit.making import allowed, files, plates, solids
from cyclokit.making.allowed import SLIVER
from cyclokit.making.shapes import plane
from cyclokit.making.stacking import Allowances
from tests.making.parts import STORY

MACHINE = Reducer(STORY)
CLOSE = Reducer(Drive(60, 30.5, 1.5, 0.36), discs=1, motor_shaft_length=22.0)  # seats of 3 mm, 3.19 mm apart
TOLD = re.compile(r"(\w+) is (\S+) mm, with which (\w+) loses a wall or a hole: .* room for (\S+) mm, no (more|less)\.")


def _told(machine):
    with pytest.raises(ValueError, match="has room for") as refused:
        solids.made(machine)
    name, value, part, room, side = TOLD.match(str(refused.value)).groups()
    return name, float(value), part, float(room), side


def test_holes_that_eat_the_wall_between_two_pin_seats_are_told_with_what_is_left_of_it():
    """Derived: each of two seats takes half of the wall, which is the chord less a rod's diameter."""
    assert bench.refused(CLOSE) is None
    wall = 2 * 30.5 * math.sin(math.pi / 60) - 3.0
    left = math.floor(100 * (wall - SLIVER) / 2) / 100
    assert _told(replace(CLOSE, hole_allowance=0.15)) == ("hole_allowance", 0.15, "motor_plate", left, "more")
    assert _told(replace(CLOSE, fit_allowance=0.15)) == ("fit_allowance", 0.15, "motor_plate", left, "more")
    beside = math.floor(100 * ((wall - SLIVER) / 2 - 0.02 * 3.0)) / 100  # of a seat's diameter, what a share leaves
    shared = replace(CLOSE, hole_allowance=0.05, hole_allowance_share=0.02)
    assert _told(shared) == ("hole_allowance", 0.05, "motor_plate", beside, "more")
    assert solids.made(replace(CLOSE, hole_allowance=left))


@pytest.mark.parametrize(
    ("name", "value", "room"),
    [
        ("hole_allowance", 2.0, 0.59),  # half of the ring plate's wall of 1.2 mm round its screws
        ("hole_allowance", -3.0, -1.24),  # the cap's screws cut their thread in a hole of 2.5 mm, an M3's: ISO 2306
        ("hole_allowance_share", 0.02, None),
        ("outline_allowance", 3.0, 0.59),  # half of the lug's wall of 1.2 mm round the foot's screw
        ("outline_allowance_share", 0.02, None),
        ("fit_allowance", 4.0, None),
        ("fit_allowance", -2.0, -1.49),  # the rods are 3 mm thick
    ],
)
def test_an_allowance_is_named_with_what_there_is_room_for_and_that_is_drawn(name, value, room):
    told_name, told_value, _, most, side = _told(replace(MACHINE, **{name: value}))
    assert (told_name, told_value, side) == (name, value, "more" if value > 0 else "less")
    assert room is None or most == pytest.approx(room, abs=0.011)
    assert 0 < most / value < 1
    for part in solids.made(replace(MACHINE, **{name: most})):
        assert all(plane(slab).is_valid for slab in part.slabs)
    step = allowed.SHARE_STEP if name.endswith("_share") else allowed.STEP
    with pytest.raises(ValueError, match=f"^{name} is"):
        solids.made(replace(MACHINE, **{name: most + math.copysign(step, value)}))


def test_of_several_the_one_that_is_too_much_is_named_and_else_all_of_them():
    both = {"outline_allowance": 0.05, "fit_allowance": 0.02}
    assert _told(replace(MACHINE, hole_allowance=1.0, **both))[0] == "hole_allowance"
    with pytest.raises(ValueError, match="hole_allowance 3 mm and outline_allowance 3 mm are more together"):
        solids.made(replace(MACHINE, hole_allowance=3.0, outline_allowance=3.0))


@pytest.mark.parametrize("kind", ["dxf", "stl"])
def test_nothing_is_written_and_the_message_is_one_sentence_of_ours(kind, tmp_path, capsys):
    (tmp_path / "mine.toml").write_text(
        "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\nhole_allowance = 1.0\n"
    )
    assert main(["make", str(tmp_path / "mine.toml"), str(tmp_path / "out"), "--formats", kind]) == 2
    assert TOLD.match(capsys.readouterr().err)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.toml"]


def test_usual_allowances_change_nothing_but_sizes_and_an_unsound_disc_is_left_as_it_is(tmp_path):
    usual = replace(MACHINE, hole_allowance=0.12, outline_allowance=0.05, fit_allowance=-0.03, depth_allowance=0.2)
    assert [part.name for part in solids.made(usual)] == [part.name for part in solids.made(MACHINE)]
    meet = Reducer(STORY, output_rollers=9, hole_allowance=0.1)  # its output holes meet without any allowance
    assert files.write(meet, tmp_path / "out", ("dxf",), unsound=True)


def test_lugs_that_an_outline_parts_from_their_plate_are_told_in_words():
    with pytest.raises(ValueError, match="lugs that don't meet their plate"):
        plates.motor_plate(MACHINE, layout(MACHINE), Allowances(outline=1.0))
