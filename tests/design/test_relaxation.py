"""Where nothing meets a brief: each easing is enough by the reports, and the next smaller one finds nothing."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings

from cyclokit.design import candidates, lattice, relaxation, search
from cyclokit.design.brief import Brief
from tests.design.briefs import STORYS, briefs, eased_brief, meets

STEPS = {
    "outer diameter": -0.1,
    "least wall": 0.01,
    "resolution": 0.01,
    "running gap": 0.01,
    "least share": 0.01,
    "greatest share": -0.01,
}


def any_design(brief):
    parts = lattice.choices(brief)
    return any(had.wall.size for had in candidates.judged(brief, parts, brief.greatest_outer_diameter, 0))


@settings(max_examples=40, deadline=None)  # a search's time hangs on the machine
@given(briefs())
def test_each_easing_is_enough_and_a_smaller_one_is_not(brief):
    found = search.search(brief, most=1)
    if found.together:
        eased = eased_brief(brief, found.relaxations)
        assert all(meets(easing.reducer, eased) for easing in found.relaxations)
        assert any_design(eased)
        for easing in found.relaxations:  # none of them is for nothing
            assert not any_design(eased_brief(brief, [other for other in found.relaxations if other != easing]))
        return
    for easing in found.relaxations:
        assert meets(easing.reducer, eased_brief(brief, [easing]))
        assert any_design(eased_brief(brief, [easing]))
        if easing.demand == "ratio":
            nearer = range(*sorted((brief.ratio, easing.needed)))
            less = [dataclasses.replace(brief, ratio=ratio) for ratio in nearer if ratio != easing.needed]
        else:
            needed = round(easing.needed + STEPS[easing.demand], 2)
            less = [eased_brief(brief, [dataclasses.replace(easing, needed=needed)])]
        assert not any(map(any_design, less))


def test_demands_that_are_not_named_help_only_beyond_what_was_looked_at():
    brief = dataclasses.replace(STORYS, greatest_outer_diameter=60.0)
    named = {easing.demand for easing in search.search(brief).relaxations}
    bounds = {
        "outer diameter": {"greatest_outer_diameter": 120.0},
        "least wall": {"least_wall": 0.01},
        "resolution": {"resolution": 0.01},
        "running gap": {"running_gap": 0.01},
        "least share": {"least_share": 0.0},
        "greatest share": {"greatest_share": 1.0},
    }
    would_do = {name for name, figures in bounds.items() if any_design(dataclasses.replace(brief, **figures))}
    assert named - {"ratio"} == would_do
    assert "outer diameter" in named


def test_the_outer_diameter_needed_is_the_least_that_the_rollers_need():
    # 20 rollers of 10 mm, 0.3 mm apart: (10.3/2)/sin(9 deg) is 32.92, the next 0.1 mm 33; wall and gap are 1.5 mm
    found = search.search(dataclasses.replace(STORYS, greatest_outer_diameter=60.0))
    needed = next(easing for easing in found.relaxations if easing.demand == "outer diameter").needed
    assert np.ceil(10 * 5.15 / np.sin(np.pi / 20)) / 10 == 33.0
    assert needed == 2 * (33.0 + 5 + 1.5)


def test_ratios_are_tried_one_by_one_on_either_side():
    brief = Brief(130, 110, (2.5,), eccentric_bearings=("61800",))
    ratios = [easing.needed for easing in search.search(brief).relaxations if easing.demand == "ratio"]
    assert ratios == [max(r for r in range(40, 130) if any_design(dataclasses.replace(brief, ratio=r)))]
    deep = dataclasses.replace(STORYS, ratio=2, greatest_outer_diameter=90)
    (higher,) = [easing.needed for easing in search.search(deep).relaxations if easing.demand == "ratio"]
    assert higher == min(r for r in range(3, 40) if any_design(dataclasses.replace(deep, ratio=r)))


def test_demands_that_only_give_way_together_are_told_together():
    # lobes of 14 mm need an eccentric of 7 mm, for which no bearing at hand has the bore, a wall included
    brief = dataclasses.replace(STORYS, greatest_outer_diameter=60.0, resolution=14.0)
    found = search.search(brief)
    assert found.together
    assert {easing.demand for easing in found.relaxations} == {"outer diameter", "resolution"}
    assert search.TOGETHER in repr(found)
    assert all(meets(easing.reducer, eased_brief(brief, found.relaxations)) for easing in found.relaxations)


def test_where_nothing_helps_that_is_said():
    brief = Brief(19, 110, ("623",), eccentric_bearings=("623",))  # no shaft fits in that bearing's eccentric
    found = search.search(brief)
    assert found.relaxations == ()
    assert search.HOPELESS in repr(found)


def test_what_is_said_names_both_sizes_and_how_far_was_looked():
    found = search.search(dataclasses.replace(STORYS, greatest_outer_diameter=60.0))
    for easing in found.relaxations:
        assert str(easing) in repr(found)
        assert f"{easing.needed:g}" in str(easing) and f"{easing.asked:g}" in str(easing)
    assert search.NOTHING in repr(found)
    assert f"up to {relaxation.WIDEST} times the outer diameter" in repr(found)


@pytest.mark.parametrize("demand", relaxation.DEMANDS)
def test_every_demand_has_its_words(demand):
    reducer = search.search(STORYS, most=1).designs[0].reducer
    assert "1.5" in str(relaxation.Relaxation(demand, 2, 1.5, reducer))
