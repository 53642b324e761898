"""Candidates for a brief: as many as are asked for, in blocks, judged like one by one."""

import dataclasses

import numpy as np
import pytest

from cyclokit.design import candidates, search
from cyclokit.geometry import limits
from cyclokit.machine import space
from tests.design.briefs import STORYS, meets


@pytest.mark.parametrize("number", [1000, 20_000, 1_000_000, 3_000_000])
def test_about_as_many_candidates_are_judged_as_are_asked_for(number):
    brief = dataclasses.replace(STORYS, eccentric_bearings=("61801", "61803"))
    assert search.search(brief, candidates=number).candidates == pytest.approx(number, rel=0.2)  # a cube's side


def test_a_block_judges_candidates_as_the_reports_judge_reducers():
    brief = dataclasses.replace(STORYS, eccentric_bearings=("61801", "61804"))
    lengths = brief.greatest_outer_diameter, brief.least_wall, brief.resolution
    blocks = list(candidates.grid(brief, brief.greatest_outer_diameter / 2, 20_000))
    assert {block.parts.bearing.name for block in blocks} == {"61801", "61804"}
    for block in blocks:
        judged = candidates.met(block, *lengths)
        possible = np.broadcast_to(block.possible, judged.shape)
        for where in range(0, judged.size, 397):  # a prime, so that all of the grid's sides are met
            reducer = candidates.reducer_at(brief, block, judged.shape, np.intp(where))
            assert judged.flat[where] == meets(reducer, brief)
            sound = limits.check(reducer.drive).sound and all(
                limit.ok for limit in space.check(reducer) if limit.name in space.bounds(space.lengths(reducer))
            )
            assert possible.flat[where] == sound
