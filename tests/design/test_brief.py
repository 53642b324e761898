"""A brief that can't be is refused by the name of its figure."""

import dataclasses

import pytest

from tests.design.briefs import STORYS


@pytest.mark.parametrize(
    ("figures", "named"),
    [
        ({"ratio": 1}, "ratio is 1"),
        ({"ratio": 19.0}, "ratio is 19.0"),
        ({"greatest_outer_diameter": 0.0}, "greatest_outer_diameter is 0.0"),
        ({"least_wall": float("nan")}, "least_wall is nan"),
        ({"rollers": ()}, r"rollers is \(\)"),
        ({"rollers": "623"}, "rollers is '623'"),
        ({"rollers": ("6233",)}, "rollers has '6233'"),
        ({"rollers": (-3.0,)}, "rollers is -3.0"),
        ({"eccentric_bearings": ("none",)}, "eccentric_bearings has 'none'"),
        ({"output_rollers": 2}, "output_rollers is 2"),
        ({"hole_clearance": -0.1}, "hole_clearance is -0.1"),
    ],
)
def test_a_brief_that_cant_be_is_refused_by_name(figures, named):
    with pytest.raises(ValueError, match=named):
        dataclasses.replace(STORYS, **figures)
