"""Leaders that never cross: tried on points at random, and against all ways to hand out places."""

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.view.leaders import leaders

POINT = st.tuples(st.integers(-20, 20), st.integers(-20, 20))
SPOTS = st.lists(st.lists(POINT, min_size=1, max_size=3), min_size=1, max_size=5)
PLACES = st.lists(POINT, min_size=5, max_size=7, unique=True)


def crossing(lines):
    """Pairs of lines of which either goes through the other, its ends not counted."""
    shapes = [shapely.LineString(line) for line in lines]
    return [pair for pair in itertools.combinations(shapes, 2) if pair[0].crosses(pair[1])]


@given(SPOTS, PLACES)
def test_leaders_have_the_least_sum_of_all_and_cross_nowhere(spots, places):
    things, free = [np.array(spot, dtype=float) for spot in spots], np.array(places, dtype=float)
    found = leaders(things, free)
    assert all(any((start == spot).all() for spot in mine) for (start, _), mine in zip(found, things, strict=True))
    ends = {tuple(end) for _, end in found}
    assert len(ends) == len(things)
    assert ends <= {tuple(place) for place in free}
    least = min(
        sum(np.hypot(*(mine - place).T).min() for mine, place in zip(things, some, strict=True))
        for some in itertools.permutations(free, len(things))
    )
    assert sum(np.hypot(*(end - start)) for start, end in found) == pytest.approx(least)
    straight = [line for line in found if np.hypot(*(line[1] - line[0])) > 0]
    assert not crossing(straight)


def test_places_handed_out_in_order_do_cross():
    assert crossing([((0.0, 0.0), (5.0, 5.0)), ((5.0, 0.0), (0.0, 5.0))])
    found = leaders([np.array([[0.0, 0.0]]), np.array([[5.0, 0.0]])], [(5.0, 5.0), (0.0, 5.0)])
    assert not crossing(found)


def test_too_few_places_are_refused():
    with pytest.raises(ValueError, match="places are 1, but must be at least 2"):
        leaders([np.zeros((1, 2)), np.ones((1, 2))], [(0.0, 0.0)])
