"""A drive dressed as a machine: what is given, what follows, and what can't be.

Sources
-------
Output holes: common practice, no source: 13 mm rollers and 1.5 mm eccentricity take holes 3 mm wider than the rollers.
"""

import dataclasses

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.machine import reducer
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import BEARINGS, MATERIALS
from tests.geometry.drives import STORY


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
    for name in ("hole_allowance", "outline_allowance"):
        made_up = dataclasses.replace(machine, **{name: 0.3})
        assert (made_up.hole_radius, made_up.disc_drive) == (machine.hole_radius, machine.disc_drive)
    looser = dataclasses.replace(machine, hole_clearance=0.3, outline_clearance=0.2)
    assert looser.hole_radius == pytest.approx(5.0 + 1.4 + 0.3)
    assert looser.disc_drive == Drive(20, 42.0, 5.2, 1.4)


def test_the_way_of_printing_picks_the_strength():
    flat, upright = (Reducer(STORY, disc_material="PLA", print_orientation=way) for way in ("flat", "upright"))
    assert flat.disc_strength == MATERIALS["PLA"].strength
    assert upright.disc_strength == MATERIALS["PLA"].strength_across
    assert Reducer(STORY, disc_material="ABS").disc_strength == MATERIALS["ABS"].strength
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
    with pytest.raises(TypeError, match="drive must be a Drive, not a int: make one from four numbers first"):
        Reducer(20)


def test_numpys_numbers_are_stored_as_plain_ones():
    machine = Reducer(
        STORY, output_rollers=np.int64(6), discs=np.int32(3), disc_gap=np.float32(2), hole_phase=np.int8(0)
    )
    assert [type(size) for size in (machine.output_rollers, machine.discs, machine.disc_gap, machine.hole_phase)] == [
        int, int, float, float,
    ]  # fmt: skip


def test_a_figure_that_isnt_there_is_refused():
    with pytest.raises(ValueError, match="name is 'nonsense', but must be a figure of a reducer: discs"):
        reducer.checked("nonsense", 0.5)


def test_every_figure_is_documented_where_it_is_declared():
    for name, figure in reducer.FIGURES.items():
        assert f"    {name} : " in Reducer.__doc__
        assert figure.meaning in Reducer.__doc__
    assert "output_rollers : int, chosen" in Reducer.__doc__ and "From 3 to 100." in Reducer.__doc__
    assert "disc_material : str, default 'PETG'" in Reducer.__doc__


def test_the_ring_bearing_is_the_one_that_is_as_wide_or_the_one_that_is_named():
    assert Reducer(STORY).ring_bearing == BEARINGS["623"]
    assert Reducer(STORY, pin_made="solid").ring_bearing is None
    wide = dataclasses.replace(STORY, pin_circle_radius=100.0, roller_radius=9.5)  # 626, 607, 61800: 19 mm, ISO 15
    assert Reducer(wide).ring_bearing == BEARINGS["626"]
    named = Reducer(wide, pin_bearing="61800")
    assert (named.ring_bearing, named.pin_rod_radius, named.pin_made) == (BEARINGS["61800"], 5.0, "bearing on rod")
    by_its_rod = Reducer(wide, pin_made="bearing on rod", pin_rod_radius=5.0)  # as files without pin_bearing say it
    assert by_its_rod.ring_bearing == BEARINGS["61800"]


def test_a_notebooks_table_has_every_figure():
    page = Reducer(STORY)._repr_html_()
    assert page.count("<tr>") == 1 + len(reducer.DRIVE) + len(dataclasses.fields(Reducer)) - 2  # drive and given
    assert ">26.0<" in page and ">61801<" in page


@pytest.mark.parametrize("name", ["discs", "hole_phase", "outline_clearance", "disc_material", "least_wall"])
def test_nothing_in_place_of_a_figure_that_is_not_chosen_is_refused(name):
    with pytest.raises((TypeError, ValueError), match=name):
        Reducer(STORY, **{name: None})


def test_a_figure_that_is_chosen_may_be_left_open():
    assert Reducer(STORY, disc_gap=None) == Reducer(STORY)
