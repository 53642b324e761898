"""The verdict: every row both ways, what isn't known, and sums by other routes.

- SKF general catalogue, worked example (ISO 281): C 55.3 kN, P 10 kN, 3000 rpm: 940 hours.
- K. L. Johnson, Contact Mechanics, ch. 6: a line contact begins to yield at 1.67 times the strength (Tresca).
"""

import dataclasses
import re
from functools import cache
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.making import solids
from cyclokit.mechanics import bearings, loads, pins, rods, verdict
from cyclokit.mechanics.verdict_table import Row, Verdict
from tests.geometry.drives import STORY, UNDERCUT

MACHINE = Reducer(STORY)
PLASTIC = dataclasses.replace(
    MACHINE, roller_material="PLA", pin_made="sleeve on rod", pin_bearing=None, pin_rod_radius=2.5
)
OUTPUT = {
    "overhung_load": 10.0,
    "overhang": 20.0,
    "output_bearing_distance": 10.0,
    "output_ratings": bearings.Ratings(4000.0, 2300.0),
}
KNOWN = {"shaft_material": "plain steel", "grip_torque": 500.0, **OUTPUT}
LIGHT, HEAVY = 20.0, 1e6  # N mm at the output

# row -> what makes it hold and what makes it fail, beside the load
BOTH_WAYS = {
    "ring pins": ({}, {}),
    "web between hole and root": ({}, {}),
    "output rods": ({}, {}),
    "crank shaft": ({}, {}),
    "crank screws": ({}, {}),
    "contact pressure": ({}, {}),
    "eccentric bearing, life": ({}, {}),
    "eccentric bearing, at rest": ({}, {}),
    "rollers' bearings, life": ({}, {}),
    "rollers' bearings, at rest": ({}, {}),
    "crank's own bearings, life": ({}, {}),
    "crank's own bearings, at rest": ({}, {}),
    "output bearing, life": ({}, {"overhung_load": 1e5}),
    "output bearing, at rest": ({}, {"overhung_load": 1e5}),
    "fatigue": ({}, {}),
    "creep": ({}, {}),
    "heat, p v": ({"reducer": PLASTIC}, {"reducer": PLASTIC}),
    "heat, softening": ({}, {"speed": 20.0}),
}


def fresh(torque, **changed):
    figures = KNOWN | changed
    return verdict.judge(figures.pop("reducer", MACHINE), torque, figures.pop("speed", 10.0), **figures)


judged = cache(fresh)


@pytest.mark.parametrize("name", BOTH_WAYS)
def test_every_row_comes_out_both_ways(name):
    light, heavy = BOTH_WAYS[name]
    good, bad = judged(LIGHT, **light)[name], judged(HEAVY, **heavy)[name]
    assert (good.ok, good.answer) == (True, "holds")
    assert (bad.ok, bad.answer) == (False, "fails")
    assert good.safety[0] > 1.5 > bad.safety[1]


def test_no_row_is_left_out_of_that():
    names = [row.name for row in (*judged(LIGHT), *judged(LIGHT, reducer=PLASTIC))]
    assert set(names) == set(BOTH_WAYS)


UNKNOWN = {
    "crank shaft": {"shaft_material": None},
    "crank screws": {"grip_torque": None},
    "output bearing, life": {"overhung_load": None},
    "output bearing, at rest": {"output_ratings": None},
    "ring pins": {"reducer": dataclasses.replace(MACHINE, rod_material="ABS")},
    "output rods": {"reducer": dataclasses.replace(MACHINE, rod_material="ABS")},
    "fatigue": {"reducer": dataclasses.replace(MACHINE, rod_material="ABS")},
    "creep": {"reducer": dataclasses.replace(MACHINE, rod_material="ABS")},
    "contact pressure": {"reducer": dataclasses.replace(MACHINE, disc_material="ABS", print_orientation="upright")},
    "web between hole and root": {
        "reducer": dataclasses.replace(MACHINE, disc_material="ABS", print_orientation="upright")
    },
    "rollers' bearings, life": {
        "reducer": dataclasses.replace(MACHINE, pin_bearing=Bearing("of a toy", 3.0, 10.0, 4.0))
    },
    "crank's own bearings, at rest": {
        "reducer": dataclasses.replace(MACHINE, crank_bearing=Bearing("625", 5.0, 16.0, 4.0))  # no 625 is that narrow
    },
}


@pytest.mark.parametrize("name", UNKNOWN)
def test_what_is_not_known_is_not_safe(name):
    whole = judged(LIGHT, **UNKNOWN[name])
    row = whole[name]
    assert row.safety is row.ok is None and row.answer == "not known, which is not safe"
    assert whole.holds is None
    assert judged(HEAVY, **UNKNOWN[name]).holds is False  # others fail


def test_all_known_and_light_holds():
    gentle = judged(LIGHT, speed=1.0)
    assert gentle.holds is True and "every row holds" in repr(gentle)
    assert judged(0.0, overhung_load=0.0).holds is True
    still = judged(0.0, overhung_load=0.0, speed=0.0)
    assert still.holds is True and not [row.name for row in still if row.name.endswith("life")]
    assert "Nothing that is known is loaded." in repr(verdict.judge(MACHINE, 0.0, 0.0))


def test_open_is_neither():
    row = Row("a", "b", "c", (1.0, 2.0), (2.5, 4.0), "N", 1.5)
    assert row.safety == (1.25, 4.0) and row.ok is None and row.answer == "open: it hangs on the range"
    sure = dataclasses.replace(row, bears=(3.0, 4.0))
    assert sure.ok is True  # just what is asked for
    assert Verdict(1.0, 1.0, 1.5, (sure,)).holds is True
    assert Verdict(1.0, 1.0, 1.5, (sure, row)).holds is None
    assert Verdict(1.0, 1.0, 1.5, (sure, row, dataclasses.replace(row, bears=(0.1, 0.2)))).holds is False


def test_what_goes_first_is_the_least_safe_of_all():
    for torque in (100.0, 3000.0, 30000.0):
        whole = judged(torque)
        assert whole.first.safety[0] == min(row.safety[0] for row in whole)
        assert f"First to go: {whole.first.name}" in repr(whole)


@settings(max_examples=5, deadline=None)
@given(st.floats(1, 1e5), st.floats(1.01, 10), st.floats(0.1, 100))
def test_more_torque_or_more_hours_never_make_a_row_safer(torque, factor, speed):
    with patch.object(loads, "CRANKS", 40):  # for time
        small, large, long = (
            fresh(torque, speed=speed),
            fresh(factor * torque, speed=speed),
            fresh(torque, speed=speed, hours=1000.0 * factor),
        )
    for row, more, longer in zip(small, large, long, strict=True):
        for end in (0, 1):
            assert more.safety[end] <= row.safety[end] * (1 + 1e-9)
            assert longer.safety[end] <= row.safety[end] * (1 + 1e-9)


def test_without_the_cover_pins_are_cantilevers():
    on, off = judged(1000.0), judged(1000.0, cover=False)
    assert off["ring pins"].loaded[0] > 1.5 * on["ring pins"].loaded[0]  # softer pins share better
    assert off["output rods"] == on["output rods"]


def test_a_bearing_that_just_lives_the_hours_has_a_safety_of_one():
    ratings = {MACHINE.eccentric_bearing.name: bearings.Ratings(55300.0, 31500.0)}
    speed = 3000 * 2 * np.pi / 60 * 19 / 20  # the bearing itself turns at 3000 rpm then
    row = fresh(1000.0, speed=speed, hours=940.0, ratings=ratings, safety=1.0)["eccentric bearing, life"]
    assert row.bears == pytest.approx((10e3, 10e3), rel=1e-3)  # 940 is a rounded figure


def test_a_contact_yields_where_the_textbook_says():
    row = judged(1000.0)["contact pressure"]
    assert row.bears == pytest.approx((1.67 * 30.0, 1.67 * 56.0), rel=5e-3)  # PETG; 1.67 is rounded


def test_the_overhung_load_is_carried_as_by_a_lever():
    bare = judged(1e-6)["output bearing, at rest"]
    assert bare.loaded == pytest.approx((30.0, 30.0))  # 10 N, 20 mm out, bearings 10 mm apart


def test_the_cranks_torque_is_the_outputs_by_ratio_and_more_by_friction():
    row = judged(1900.0)["crank screws"]
    assert 100.0 < row.loaded[0] < row.loaded[1] < 150.0


def test_fatigue_begins_after_a_thousand_cycles():
    seconds = 2 * np.pi / 10.0
    fresh = judged(100.0, hours=500 * seconds / 3600)["fatigue"]
    assert fresh.bears == judged(100.0)["web between hole and root"].bears
    million, more = (judged(100.0, hours=cycles * seconds / 3600)["fatigue"] for cycles in (1e6, 1e8))
    assert million.bears == pytest.approx(more.bears) == (30.0 * 0.15, 56.0 * 0.4)


def test_steel_needs_no_cautions_of_plastics():
    steel = dataclasses.replace(MACHINE, disc_material="plain steel", housing_material="plain steel")
    names = [row.name for row in judged(LIGHT, reducer=steel)]
    assert "fatigue" in names and not {"creep", "heat, p v", "heat, softening"} & set(names)


UNSAID = verdict.judge(MACHINE, 1000.0, 10.0)


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_rods_and_crank_are_judged_as_long_as_they_are_drawn_or_longer(discs):
    """From the parts that the library draws: faces between which a rod is free, and places of what loads it."""
    reducer = Reducer(STORY, discs=discs)
    height = {part.name: (part.slabs[0].bottom, part.slabs[-1].top) for part in solids.machine(reducer)}
    rod, pin, shaft = rods.output_rod(reducer), rods.ring_pin(reducer), rods.crank(reducer, "plain steel")
    (_, plate), (cover, _) = height["motor_plate"], height["cover"]
    assert pin.span == pytest.approx(cover - plate)
    for disc in range(discs):
        bottom, top = height[f"disc_{disc}"]
        assert (pin.start + pin.end)[disc] / 2 == pytest.approx((bottom + top) / 2 - plate)
        first = np.mean(height[next(name for name in height if name.startswith("crank_bearing_lower"))])
        assert (shaft.start + shaft.end)[disc] / 2 == pytest.approx((bottom + top) / 2 - first)
    last = np.mean(height[next(name for name in height if name.startswith("crank_bearing_upper"))])
    assert shaft.span == pytest.approx(last - first)
    low, high = height["second_plate"][1], height["flange"][0]
    assert high - low <= rod.span
    layer = (pins.Layer(rod.diameter, 0.0, 2e5),)
    drawn = [
        pins.bend(layer, high - low, "both ends", [1.0], [one.bottom - low], [one.top - low]).stress[0]
        for name, one in ((part.name, part.slabs[0]) for part in solids.machine(reducer))
        if name.startswith("output_roller_0_") and name.endswith("inner")
    ]
    assert len(drawn) == discs
    assert max(drawn) < np.abs(rod.unit_moments()).max() / rod.section_modulus


def test_words_and_table_say_what_counts():
    whole = judged(1000.0)
    for text in (repr(whole), whole._repr_html_()):
        assert "Printed parts vary" in text and "behind a guard" in text and "holds no load when the power goes" in text
        assert all(row.name in text.replace("&#x27;", "'") for row in whole)
        assert "e+0" not in text  # 1110, not 1.11e+03
    assert any(1000 < end < 1e6 for row in whole for end in row.bears or ())
    for text in (repr(UNSAID), UNSAID._repr_html_()):
        assert "not known" in text and "not known MPa" not in text and "not known N" not in text  # no unit
        assert re.search(r"crank screws.*?\d N mm\b.*?not known", text)
    assert repr(whole) == repr(fresh(1000.0)) and whole._repr_html_() == fresh(1000.0)._repr_html_()
    hostile = Verdict(1.0, 1.0, 1.5, (Row("<script>", "<b>", "<i>", (1.0, 1.0), None, "<u>", 1.5), *whole.rows[:1]))
    assert not any(tag in hostile._repr_html_() for tag in ("<script>", "<b>", "<i>", "<u>"))
    with pytest.raises(KeyError, match="the rows are: ring pins"):
        whole["rung pins"]


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"reducer": Reducer(UNDERCUT, output_rollers=4)}, "don't go together"),
        ({"safety": 0.5}, "safety is 0.5"),
        ({"hours": 0.0}, "hours is 0"),
        ({"shaft_material": "cheese"}, "shaft_material is 'cheese'"),
        ({"ratings": {"623": 5.0}}, "must be a dict of Ratings"),
        ({"output_ratings": 5.0}, "output_ratings must be a Ratings"),
        ({"grip_torque": -1.0}, "grip_torque is -1"),
        ({"overhung_load": -1.0}, "overhung_load is -1"),
        ({"overhang": "far"}, "overhang must be a number"),
        ({"cover": None}, "cover must be a bool"),
    ],
)
def test_what_cannot_be_is_refused_in_words(changed, said):
    with pytest.raises((TypeError, ValueError), match=said):
        fresh(1000.0, **changed)
