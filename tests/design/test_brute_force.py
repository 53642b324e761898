"""A small lattice judged one by one with the reports: best designs, their number, and what must give way."""

import dataclasses
import math
from fractions import Fraction
from functools import cache

import pytest

from cyclokit import Drive
from cyclokit.design import candidates, demands, search
from cyclokit.design.brief import ASKED_AS, asked, bearings_at_hand, rollers_at_hand
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from tests.design.briefs import SMALL, meets

STEP = 16  # pin circles in 1.6 mm, eccentricities in 0.16: few enough to be built one by one
LARGEST = 60.0
BRIEF = dataclasses.replace(SMALL, greatest_outer_diameter=LARGEST)
ROUND = 1e-9


def found(monkeypatch, brief, goal="smallest"):
    monkeypatch.setattr(candidates, "LARGE", brief.greatest_outer_diameter / STEP)
    answer = search.search(brief, goal)
    assert answer.step == STEP
    return answer


@cache
def everything():
    """Every reducer on the lattice that is sound and has room, with every output circle, and what its reports say."""
    (roller,), (bearing,) = rollers_at_hand(BRIEF), bearings_at_hand(BRIEF)
    records = []
    for number in range(1, int(LARGEST * 5 / STEP) + 1):
        circle = number * STEP / 10
        for part in range(1, math.ceil(100 * circle / (BRIEF.ratio + 1) / STEP)):
            drive = Drive(BRIEF.ratio + 1, circle, roller.radius, part * STEP / 100)
            # for time: holes that would break through a root or the bore are never tried
            hole = roller.radius + drive.eccentricity + BRIEF.hole_clearance
            first, last = bearing.outer_diameter / 2 + hole, drive.root_circle_radius - hole
            for tenths in range(math.ceil(10 * first), int(10 * last) + 1) if limits.check(drive).sound else ():
                reducer = Reducer(
                    drive,
                    least_wall=BRIEF.least_wall,
                    running_gap=BRIEF.running_gap,
                    housing_wall=BRIEF.least_wall + BRIEF.running_gap,
                    shaft_radius=BRIEF.shaft_diameter / 2,
                    eccentric_bearing=bearing,
                    output_rollers=BRIEF.output_rollers,
                    output_circle_radius=tenths / 10,
                    output_roller_radius=roller.radius,
                    output_rod_radius=roller.rod_radius,
                    pin_made=roller.made,
                )
                report = space.check(reducer)
                if report.sound:
                    records.append((reducer, had(reducer, report)))
    return records


@cache
def meeting():
    """Those that meet the brief."""
    return [(reducer, has) for reducer, has in everything() if meets(reducer, BRIEF)]


def had(reducer, report):
    """What a reducer has, by the demand's name."""
    walls = [row.bound for row in report if "wall" in row.name and row.name != "wall of the housing"]
    return {
        "reach": space.outer_diameter(reducer) / 2 - reducer.housing_wall,
        "least wall": min(walls),
        "resolution": min(report["lobe height"].bound, report["sharpest edge"].bound),
        "share": demands.check(BRIEF, reducer)["least share"].bound,
    }


def misses(brief, has):
    """The demands that it misses; rollers here are solid, so that there is no gap between them."""
    outer = 2 * (has["reach"] + brief.least_wall + brief.running_gap)
    return {
        name
        for name, missed in {
            "outer diameter": outer > brief.greatest_outer_diameter + ROUND,
            "least wall": has["least wall"] < brief.least_wall - ROUND,
            "resolution": has["resolution"] < brief.resolution - ROUND,
            "least share": has["share"] < brief.least_share - ROUND,
            "greatest share": has["share"] > brief.greatest_share + ROUND,
        }.items()
        if missed
    }


def easings(brief, has):
    """The ways to ease demands so that a candidate meets them: demand -> size; a thinner wall makes it smaller too."""
    eased = {}
    if has["resolution"] < brief.resolution - ROUND:
        eased["resolution"] = down(has["resolution"])
    if has["share"] < brief.least_share - ROUND:
        eased["least share"] = down(has["share"])
    if has["share"] > brief.greatest_share + ROUND:
        eased["greatest share"] = -down(-has["share"])
    inside = has["reach"] + brief.running_gap
    ways = []
    for may in ({"outer diameter"}, {"least wall"}, {"outer diameter", "least wall"}):
        wall, outer = brief.least_wall, brief.greatest_outer_diameter
        if "least wall" in may:
            room = math.inf if "outer diameter" in may else outer / 2 - inside
            wall = min(wall, down(min(has["least wall"], room)))
        if "outer diameter" in may:
            outer = max(outer, math.ceil((2 * (inside + wall) - ROUND) * 10) / 10)
        good = 0.01 - ROUND <= wall <= has["least wall"] + ROUND and 2 * (inside + wall) <= outer + ROUND
        if good and outer <= 2 * brief.greatest_outer_diameter + ROUND:
            now = eased | {"least wall": wall, "outer diameter": outer}
            ways.append({name: size for name, size in now.items() if size != asked(brief)[name]})
    return ways


def down(size):
    return math.floor((size + ROUND) * 100) / 100


GOALS = {
    "smallest": lambda reducer, has: space.outer_diameter(reducer),
    "thickest walls": lambda reducer, has: -has["least wall"],
    "lightest pin force": lambda reducer, has: 4 / (reducer.drive.eccentricity * 30),  # Wang, Luo, Su 2016
}


@pytest.mark.parametrize("goal", GOALS)
def test_count_and_best_are_those_of_one_by_one_judging(monkeypatch, goal):
    answer = found(monkeypatch, BRIEF, goal)
    assert answer.meeting == len({reducer.drive for reducer, _ in meeting()}) > 20
    best = min(
        (
            round(GOALS[goal](reducer, has), 9),
            -reducer.drive.eccentricity,
            -round(has["least wall"], 9),
            reducer.drive.pin_circle_radius,
        )
        for reducer, has in meeting()
    )
    first = answer.designs[0]
    reducer = first.reducer
    walls = min(row.bound for row in space.check(reducer) if "wall" in row.name and row.name != "wall of the housing")
    assert (first.value, -reducer.drive.eccentricity, -walls, reducer.drive.pin_circle_radius) == pytest.approx(best)


def test_the_lattice_has_as_many_points_as_can_be_counted(monkeypatch):
    points = sum(
        Fraction(part * STEP, 100) * 6 < Fraction(number * STEP, 10)  # e N < Rp: no loop, in whole numbers
        for number in range(1, int(LARGEST * 5 / STEP) + 1)
        for part in range(1, 100)
    )
    assert found(monkeypatch, BRIEF).candidates == points
    assert found(monkeypatch, dataclasses.replace(BRIEF, roller_diameters=[3.0, 2.0])).candidates == 4 * points


@pytest.mark.parametrize(
    "figures",
    [
        {"greatest_outer_diameter": 26.0},
        {"greatest_outer_diameter": 26.0, "least_wall": 0.9},
        {"resolution": 2.0},
        {"least_wall": 2.0},
        {"least_share": 0.5, "greatest_share": 0.51},
        {"least_share": 0.1, "greatest_share": 0.15},
        {"least_wall": 2.0, "resolution": 3.0},
        {"greatest_outer_diameter": 24.0, "least_wall": 2.0, "resolution": 3.0, "least_share": 0.7},
    ],
)
def test_easings_are_the_least_of_one_by_one_judging(monkeypatch, figures):
    brief = dataclasses.replace(BRIEF, **{"greatest_outer_diameter": 30.0} | figures)
    answer = found(monkeypatch, brief)
    assert 2 * brief.greatest_outer_diameter <= LARGEST
    inside = [has for _, has in everything()]
    assert not any(misses(brief, has) == set() for has in inside) and not answer.designs
    asks = asked(brief)
    ways = [way for has in inside for way in easings(brief, has)]
    fewest = min(map(len, ways))
    others = {r.demand: r.needed for r in answer.relaxations if r.demand not in ("ratio", "running gap")}
    if fewest == 1:
        least = {}
        for (name, size), *_ in (way.items() for way in ways if len(way) == 1):
            least[name] = min(least.get(name, math.inf), abs(size - asks[name]))
        assert not answer.together
        assert {name: abs(size - asks[name]) for name, size in others.items()} == pytest.approx(least)
    elif answer.together:
        assert len(answer.relaxations) == fewest
        share = min(sum(abs(way[n] / asks[n] - 1) for n in way) for way in ways if len(way) == fewest)
        assert sum(abs(r.needed / r.asked - 1) for r in answer.relaxations) == pytest.approx(share)
    else:  # another ratio or gap does alone
        assert not others
    assert set(others) <= set(ASKED_AS)
