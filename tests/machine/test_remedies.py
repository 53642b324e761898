"""By how much a machine can't be built, and which figure would be enough: each that is told is typed and judged.

The judge knows nothing of how it was found: the value is put into the file that the reader has, and that is read anew.
"""

import re
import tomllib

import pytest
import tomli_w

from cyclokit.geometry import limits
from cyclokit.machine import bench, remedies, space
from cyclokit.machine.reducer import FIGURES, Reducer
from cyclokit.machine.reducer_file import from_toml
from cyclokit.report import Limit
from tests.geometry.drives import STORY

FOUR = {"pins": 20, "pin_circle_radius": 42.0, "roller_radius": 5.0, "eccentricity": 1.4}
SAID = re.compile(r"Enough for (?:all of )?this: (.*)\.$")
# what a file says besides the story's four numbers, or in their place: from some hundred that were drawn by lot
FILES = (
    {"crank_bearing": "625"},
    {"crank_bearing": "61801"},
    {"shaft_play": 0.74, "output_roller_bearing": "686ZZ"},
    {"pin_rod_radius": 2.71},
    {"output_bearing": "61803", "screw": "M5", "output_rod_radius": 1.99},
    {"screw": "M4", "disc_gap": 1.8, "screws_into": "inserts"},
    {"discs": 3, "motor_shaft_length": 32.0},
    {"output_plates": 1, "output_support": "both ends", "plate_thickness": 2.9},
    {"output_circle_radius": 260.0},
    {"least_wall": 2.09, "seat_depth": 6.55, "axial_clearance": 0.38},
    {"pins": 28, "pin_circle_radius": 55.89, "roller_radius": 1.93, "eccentricity": 1.87, "discs": 3},
    {"pins": 8, "pin_circle_radius": 31.97, "roller_radius": 2.1, "eccentricity": 1.64, "pin_bearing": "61801"},
    {"pins": 20, "pin_circle_radius": 42.0, "roller_radius": 5.0, "eccentricity": 2.2},
)


def _read(table):
    return from_toml(tomli_w.dumps(FOUR | table))


def _rows(machine):
    """Every row of both reports that forbids a machine."""
    return {row.name: row for report in (space.check(machine), bench.check(machine)) for row in report if row.physical}


@pytest.mark.parametrize("table", FILES, ids=str)
def test_what_is_told_to_be_enough_is_enough_when_it_is_typed(table):
    machine, told = _read(table), 0
    lines = bench.refused(machine).split("\n")
    for line in lines:
        named = [name for name, row in _rows(machine).items() if not row.ok]
        if not line.startswith("Enough"):
            named = [line.partition(". ")[0]]
            assert remedies.lacks(_rows(machine)[named[0]]) in line
        found = SAID.search(line)
        for figure in found[1].split(" or ") if found else ():
            better = _rows(_read(table | tomllib.loads(figure)))
            before = space.check(machine).sound
            for name in named:
                if name in better and (before or name in {row.name for row in space.check(machine)}):
                    assert better[name].ok and better[name].margin >= -1e-9, figure
            was = {row.name for row in (space.check(machine) if not before else bench.check(machine)) if row.ok}
            assert not [name for name in was & better.keys() if not better[name].ok], figure  # it brings no other
            told += 1
    assert told


def test_figures_that_were_not_given_are_chosen_anew_and_the_others_stay():
    """A thinner shaft alone has a smaller crank bearing chosen for it, but not where one is named."""
    assert Reducer(STORY, crank_bearing="625", discs=3).given[:2] == ("discs", "least_wall")
    assert "crank_bearing" in Reducer(STORY, crank_bearing="625").given
    assert "crank_bearing" not in Reducer(STORY).given
    assert Reducer(STORY) == Reducer(STORY, crank_bearing="688ZZ")
    assert "given" not in repr(Reducer(STORY)) and "given" not in Reducer(STORY).figures()


def test_the_nearest_value_is_told_and_one_step_less_is_not_enough():
    machine = Reducer(STORY, plate_thickness=3.5)
    why = bench.refused(machine)
    assert "0.1 mm too much" in why and "Enough for this: plate_thickness = 3.6" in why
    shaft = Reducer(STORY, motor_shaft_length=35.0)
    assert "0.4 mm too much" in bench.refused(shaft) and "motor_shaft_length = 34.6" in bench.refused(shaft)
    assert bench.refused(Reducer(STORY, motor_shaft_length=34.6)) is None
    assert bench.refused(Reducer(STORY, motor_shaft_length=34.7)) is not None


def test_where_nothing_was_found_the_kind_of_figure_is_told():
    machine = Reducer(STORY, motor_shaft_flat=2.5)
    assert bench.refused(machine) == (
        "flat of the motor's shaft. No shaft has a flat as deep as that. As much, but less is needed: how deep the "
        "flat of the motor's shaft is (2.5 mm), below the shaft's radius (2.5 mm). Measure it again: the radius, less "
        "what is left from the axis to the flat."
    )


def test_every_row_that_can_forbid_a_machine_says_what_it_compares():
    for sentences in (limits.SENTENCES, space.SENTENCES, bench.SENTENCES):
        for name, (meaning, *_) in sentences.items():
            if name != "pressure angle":
                row = Limit(name, 2.0, 1.0, "mm", True, False, meaning, "", "")
                assert remedies.lacks(row).startswith("1 mm too much: "), name
    assert set(remedies.TRIED) <= {*limits.SENTENCES, *space.SENTENCES, *bench.SENTENCES}
    for figure in {signed.lstrip("+-") for some in remedies.TRIED.values() for signed in some}:
        assert figure in FIGURES or figure in FOUR


def test_two_numbers_that_differ_by_little_are_told_apart_and_one_without_a_bound_is_refused():
    row = Limit("wall", 1.2003, 1.2, "mm", True, False, "least wall, up to the wall", "", "")
    assert remedies.lacks(row) == "0.0003 mm too much: least wall (1.2003 mm), up to the wall (1.2 mm)."
    with pytest.raises(ValueError, match="row is 'diameter over the lugs'"):
        remedies.lacks(bench.check(Reducer(STORY))["diameter over the lugs"])
