"""A brief that can't be is refused by the name of its figure, and one that can is read whatever its numbers' type."""

import dataclasses
from fractions import Fraction

import numpy as np
import pytest

from cyclokit.design.brief import Brief, Roller, bearings_at_hand, rollers_at_hand
from cyclokit.machine.stock import BEARINGS, Bearing
from tests.design.briefs import STORYS


@pytest.mark.parametrize(
    ("figures", "named"),
    [
        ({"ratio": 1}, "ratio is 1"),
        ({"ratio": 10_000}, "ratio is 10000"),
        ({"greatest_outer_diameter": 0.0}, "greatest_outer_diameter is 0.0"),
        ({"least_wall": float("nan")}, "least_wall is nan"),
        ({"roller_diameters": ()}, r"roller_diameters is \(\)"),
        ({"roller_diameters": ("6233",)}, "roller_diameters has '6233'"),
        ({"roller_diameters": (-3.0,)}, "roller_diameters is -3.0"),
        ({"eccentric_bearings": ("none",)}, "eccentric_bearings has 'none'"),
        ({"output_rollers": 2}, "output_rollers is 2"),
        ({"discs": 4}, "discs is 4"),
        ({"hole_clearance": -0.1}, "hole_clearance is -0.1"),
        ({"running_gap": 0.0}, "running_gap is 0.0"),
        ({"least_share": -0.1}, "least_share is -0.1"),
        ({"greatest_share": 1.1}, "greatest_share is 1.1"),
        ({"least_share": 0.9}, "least_share is 0.9, but must not be above greatest_share, 0.8"),
        ({"shaft_diameter": 90.0}, "shaft_diameter is 90 mm"),
    ],
)
def test_a_brief_that_cant_be_is_refused_by_name(figures, named):
    with pytest.raises(ValueError, match=named):
        dataclasses.replace(STORYS, **figures)


@pytest.mark.parametrize(
    ("figures", "named"),
    [
        ({"ratio": 19.0}, "ratio must be a whole number"),
        ({"ratio": True}, "ratio must be a whole number"),
        ({"greatest_outer_diameter": "110"}, "greatest_outer_diameter must be a number"),
        ({"roller_diameters": "623"}, "roller_diameters must be a list or tuple"),
        ({"roller_diameters": 10.0}, "roller_diameters must be a list or tuple"),
        ({"roller_diameters": {"623", "624"}}, "roller_diameters must be a list or tuple"),
        ({"roller_diameters": (None,)}, "roller_diameters must be a number"),
        ({"eccentric_bearings": (19.0,)}, "eccentric_bearings has 19.0"),
        ({"least_share": None}, "least_share must be a number"),
    ],
)
def test_a_figure_of_another_kind_is_refused_by_name(figures, named):
    with pytest.raises(TypeError, match=named):
        dataclasses.replace(STORYS, **figures)


def test_lists_and_numbers_of_any_real_type_are_read():
    plain = Brief(19, 110.0, (8.0, 10.5), least_wall=1.5, discs=3, eccentric_bearings=("61800",))
    other = Brief(
        np.int64(19),
        110,
        np.array([8, 10.5]),
        least_wall=Fraction(3, 2),
        discs=np.int8(3),
        eccentric_bearings=["61800"],
    )
    assert other == plain and hash(other) == hash(plain)
    assert dataclasses.replace(plain, roller_diameters=[np.float32(8), Fraction(21, 2)]) == plain


def test_a_bearing_at_hand_stays_that_bearing_and_a_plain_roller_plain():
    # 61800 and 626 are both 19 mm wide, with bores of 10 and 6 mm: ISO 15
    brief = Brief(19, 110, ["61800", 19.0, 4.0, "626", "61800"])
    slim, plain, solid, thick = rollers_at_hand(brief)
    assert slim == Roller(9.5, BEARINGS["61800"])
    assert (slim.made, slim.rod_radius, thick.rod_radius) == ("bearing on rod", 5.0, 3.0)
    assert (plain.made, plain.turns, plain.rod_radius) == ("sleeve on rod", True, 4.75)
    assert (solid.made, solid.turns, solid.rod_radius) == ("solid", False, 2.0)


def test_a_bearing_of_ones_own_is_at_hand_too():
    own = Bearing("own", 10.0, 20.0, 4.0)
    brief = Brief(19, 110, [own], eccentric_bearings=[own, "61801"])
    assert rollers_at_hand(brief) == [Roller(10.0, own)]
    assert bearings_at_hand(brief) == [own, BEARINGS["61801"]]
