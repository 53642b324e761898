"""What stands on what along the axis.

Sources
-------
A row of spacers and bearings of 7, 5, 3, 5 and 7 mm is 27 mm long, and a rod of 35 leaves 4 mm in each wall: common
practice, no source. Nuts: ISO 4032.
"""

from dataclasses import replace

import pytest

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.making import axial_rows, solids

STORY = Drive(20, 42.0, 5.0, 1.4)
MACHINE = Reducer(STORY)
COMMON = {"spacer": 7.0, "bearing": 5.0, "middle": 3.0, "other bearing": 5.0, "other spacer": 7.0}


def test_the_row_of_common_practice():
    row = axial_rows.row("pin", COMMON, 27.0)
    assert row.length == 27.0
    assert row.ok
    assert axial_rows.left_for_walls(35.0, row.length) == 4.0


@pytest.mark.parametrize(("change", "said"), [(0.3, "0.3 mm too long"), (-0.4, "0.4 mm too short")])
def test_a_row_that_is_too_long_or_too_short_says_where_and_by_how_much(change, said):
    row = axial_rows.row("pin 3", COMMON | {"middle": 3.0 + change}, 27.0)
    assert not row.ok
    assert said in str(row)
    assert str(row).startswith("pin 3: spacer 7")


def test_the_storys_rows():
    rows = {row.name: row for row in axial_rows.rows(MACHINE)}
    assert all(row.ok for row in rows.values())
    assert [length for _, length, _, _ in rows["ring pin"].pieces] == pytest.approx([7.6, 4, 2, 4, 7.6])  # play: 0.2
    assert [length for _, length, _, _ in rows["output pin"].pieces] == pytest.approx([1, 4, 2, 4, 1])
    assert (rows["ring pin"].room, rows["output pin"].room) == (25.4, 12.2)
    assert rows["inside the ring plate"].length == pytest.approx(25.4)
    low, high = rows["ring pin"].worst
    assert (low, high) == pytest.approx((0.2 - 3 * 0.1, 0.2 + 3 * 0.1 + 2 * 0.12))


@pytest.mark.parametrize("figures", [{"discs": 1}, {"pin_made": "sleeve on rod"}, {"disc_thickness": 8.0}])
def test_rows_of_other_machines_come_out(figures):
    assert all(row.ok for row in axial_rows.rows(Reducer(STORY, **figures)))


@pytest.mark.parametrize(
    ("name", "row"),
    [("ring_bush_middle_0", "ring pin"), ("crank_bush_lower", "crank"), ("second_plate", "inside the ring plate")],
)
def test_a_piece_that_is_too_long_is_found_in_its_row(name, row):
    longer = [
        replace(p, slabs=(*p.slabs[:-1], replace(p.slabs[-1], top=p.slabs[-1].top + 0.5))) if p.name == name else p
        for p in solids.machine(MACHINE)
    ]
    wrong = [one for one in axial_rows.rows_of(MACHINE, longer) if not one.ok]
    assert [one.name for one in wrong] == [row]
    assert "0.5 mm too long" in str(wrong[0])


def test_rods_and_screws_are_engaged():
    engaged = axial_rows.engaged(MACHINE)
    assert engaged["ring pin's rod"] == (32.4, 3.5)
    assert engaged["cover's screw"] == (35.0, pytest.approx(2.4))  # the whole nut: ISO 4032
    assert engaged["motor's screw"] == (8.0, 4.0)
    assert engaged["cap's screw"][1] > 2 * 3.0  # twice the thread's diameter in a print: common practice, no source


def test_what_cannot_be_is_told():
    with pytest.raises(ValueError, match="rod_length is 20 mm, but must be more"):
        axial_rows.left_for_walls(20.0, 27.0)
    with pytest.raises(TypeError, match="lengths must be a Mapping"):
        axial_rows.row("pin", [1.0], 27.0)
