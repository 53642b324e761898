"""Where nothing meets a brief: each easing is judged by the reports, and a little less of it finds nothing."""

import dataclasses

import numpy as np
import pytest

from cyclokit.design import search
from cyclokit.design.brief import Brief
from tests.design.briefs import FEW, STORYS, eased_brief, meets


@pytest.mark.parametrize(
    ("figures", "demand", "step"),
    [
        ({"greatest_outer_diameter": 60.0, "least_wall": 1.2}, "outer diameter", 0.98),
        ({"least_wall": 20.0}, "least wall", 1.1),
        ({"resolution": 20.0}, "resolution", 1.1),
    ],
)
def test_an_empty_answer_says_what_to_ease_and_by_how_much(figures, demand, step):
    brief = dataclasses.replace(STORYS, **figures)
    found = search.search(brief)
    assert not found.designs
    assert not found.together
    relaxation = next(r for r in found.relaxations if r.demand == demand)
    assert meets(relaxation.reducer, eased_brief(brief, [relaxation]))
    assert str(relaxation) in repr(found)
    assert f"{relaxation.needed:g}" in str(relaxation) and f"{relaxation.asked:g}" in str(relaxation)
    # a little less easing, and a search for it finds nothing; the steps of a grid are that coarse
    less = dataclasses.replace(relaxation, needed=relaxation.needed * step)
    assert not search.search(eased_brief(brief, [less])).designs


def test_the_outer_diameter_needed_is_about_the_least_that_the_rollers_need():
    # 20 rollers of 10 mm with walls of 1.2 mm between: 2 (5.6/sin(9 deg) + 5 + 1.2); lobes shallow
    found = search.search(dataclasses.replace(STORYS, greatest_outer_diameter=60.0))
    least = 2 * (5.6 / np.sin(np.pi / 20) + 5 + 1.2)
    needed = next(r for r in found.relaxations if r.demand == "outer diameter").needed
    assert least <= needed < least * 1.03  # a grid's step


def test_other_rollers_and_ratios_are_tried_too():
    brief = dataclasses.replace(STORYS, greatest_outer_diameter=75.0, rollers=(5.0,))
    demands = {r.demand: r for r in search.search(brief).relaxations}
    assert set(demands) == {"outer diameter", "least wall", "ratio", "rollers"}
    assert all(meets(relaxation.reducer, eased_brief(brief, [relaxation])) for relaxation in demands.values())
    assert 10 <= demands["ratio"].needed < 19
    assert 3 <= demands["rollers"].needed < 5


def test_demands_that_only_give_way_together_are_told_together():
    # lobes of 14 mm need an eccentric of 7 mm, for which no bearing at hand has the bore
    brief = dataclasses.replace(STORYS, greatest_outer_diameter=60.0, resolution=14.0)
    found = search.search(brief, candidates=200_000)
    assert found.together
    assert {r.demand for r in found.relaxations} == {"outer diameter", "resolution"}
    assert search.TOGETHER in repr(found)


def test_where_nothing_helps_that_is_said():
    brief = Brief(19, 110.0, ("623",), eccentric_bearings=("623",))  # no shaft fits in that bearing's eccentric
    found = search.search(brief, candidates=FEW)
    assert found.relaxations == ()
    assert search.HOPELESS in repr(found)
