"""Candidates for a brief: judged in blocks as one by one, with the best output circle, whatever the blocks' size."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit.design import candidates, lattice, search
from cyclokit.design.brief import Brief
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from tests.design.briefs import briefs, meets
from tests.geometry.drives import STORY


def blocks(brief, eased=0):
    parts = lattice.choices(brief)
    for block in candidates.judged(brief, parts, brief.greatest_outer_diameter, eased):
        for place in range(0, block.wall.size, 1 + block.wall.size // 3):
            yield parts, block, place


@settings(max_examples=30, deadline=None)  # a search's time hangs on the machine
@given(briefs())
def test_candidates_are_judged_as_their_reports_judge_them(brief):
    for parts, block, place in blocks(brief):
        reducer = lattice.reducer_at(brief, parts[block.choice[place]], block, place)
        assert meets(reducer, brief)
        walls = space.walls(space.lengths(reducer)).values()
        assert block.wall[place] == pytest.approx(min(*walls, parts[block.choice[place]].wall), abs=1e-9)
    for parts, block, place in blocks(brief, eased=1):
        missed = [name for name, lost in lattice.missed(brief, block).items() if lost[place]]
        reducer = lattice.reducer_at(brief, parts[block.choice[place]], block, place)
        physical = [row for row in (*limits.check(reducer.drive), *space.check(reducer)) if row.physical]
        # of three discs the middle eccentric needs the wall that the brief asks for, and a brief may miss
        assert all(row.ok for row in physical if row.name != "middle eccentric on the shaft")
        assert meets(reducer, brief) == (missed == [])
        assert len(missed) <= 1 or set(missed) == {"outer diameter", "least wall"}


@settings(max_examples=30, deadline=None)
@given(briefs())
def test_no_other_output_circle_leaves_thicker_walls(brief):
    for parts, block, place in blocks(brief):
        reducer = lattice.reducer_at(brief, parts[block.choice[place]], block, place)
        plain = space.lengths(reducer)
        every = np.arange(1, int(10 * reducer.drive.pin_circle_radius)) / 10
        others = dataclasses.replace(plain, output_circle_radius=every)
        thinnest = np.where(space.sound(others), np.min(np.broadcast_arrays(*space.walls(others).values()), axis=0), 0)
        assert min(thinnest.max(), parts[block.choice[place]].wall) == pytest.approx(block.wall[place], abs=1e-9)


def test_no_output_circle_that_is_forbidden_is_chosen():
    # the lower of two circles leaves a wall of 4e-15 mm here, by rounding, and the upper one breaks through the roots
    brief = Brief(5, 55.0, [9.7], 0.4, 0.7, 0.05, 0.0, 0.6, 3, 1, ["61800"], outline_clearance=0.0)
    parts = lattice.choices(brief)
    reducers = [
        lattice.reducer_at(brief, parts[0], had, place)
        for had in candidates.judged(brief, parts, 55.0, 1)
        for place in range(had.wall.size)
    ]
    assert len(reducers) > 800 and all(space.sound(space.lengths(reducer)) for reducer in reducers)


@given(st.floats(1, 40), st.floats(1, 40))
def test_bounds_and_walls_are_lines_in_the_output_circle(one, two):
    # what the closed form is built on; a new row that isn't one fails here
    plain = space.lengths(Reducer(STORY))
    at = [dataclasses.replace(plain, output_circle_radius=np.asarray(c)) for c in (one, two, (one + two) / 2)]
    for rows in ([{name: b - v for name, (v, b) in space.bounds(p).items()} for p in at], [space.walls(p) for p in at]):
        for name in rows[0]:
            assert rows[2][name] == pytest.approx((rows[0][name] + rows[1][name]) / 2, abs=1e-9)


def test_blocks_of_any_size_come_to_the_same(monkeypatch):
    brief = Brief(12, 64, ["623", 6.0], eccentric_bearings=["61800", "61801"])
    whole = search.search(brief)
    assert whole.meeting > 1000
    monkeypatch.setattr(candidates, "BLOCK", 3000)
    assert search.search(brief) == whole


def test_sleeves_that_more_than_two_discs_would_share_are_no_candidates():
    brief = Brief(12, 100, ["623", 6.0], discs=3)
    assert {parts.ring.made for parts in lattice.choices(brief)} == {"bearing on rod"}
    assert {parts.ring.made for parts in lattice.choices(dataclasses.replace(brief, discs=2))} == {
        "bearing on rod",
        "sleeve on rod",
    }
    assert search.search(dataclasses.replace(brief, roller_diameters=[6.0])).candidates == 0


@pytest.mark.parametrize(("diameter", "step"), [(44, 1), (300, 1), (300.1, 2), (600, 2), (601, 4), (5000, 32)])
def test_the_step_grows_with_the_diameter_asked_for_alone(diameter, step):
    assert lattice.step(Brief(19, diameter, ["623"])) == step
    other = Brief(19, diameter, ["623", 8.0], least_wall=9, resolution=3, greatest_share=1)
    assert lattice.step(other) == step
