"""Life of ball bearings.

- SKF general catalogue, worked example (ISO 281): 6309, C 55.3 kN, P 10 kN, 3000 r/min: 169 million, 940 h; ISO 76
  example: C0 815, P0 500: 1.63.
- NSK rolling bearings catalogue, example 1 (ISO 281): 6208, C 29.1 kN, P 2.5 kN, 900 r/min: about 29 000 h.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.geometry import motion
from cyclokit.machine.stock import BEARINGS
from cyclokit.mechanics import bearings
from cyclokit.mechanics.bearings import Ratings
from tests.geometry.drives import STORY

RPM = 2 * np.pi / 60


def test_the_6309_of_a_catalogue():
    ratings = Ratings(55.3e3, 31.5e3)
    assert float(bearings.life_revolutions(ratings, 10e3)) / 1e6 == pytest.approx(169, abs=0.5)  # printed digits
    assert float(bearings.life_hours(ratings, 10e3, 3000 * RPM)) == pytest.approx(940, abs=5)


def test_the_6208_of_another():
    hours = float(bearings.life_hours(Ratings(29.1e3, 17.9e3), 2.5e3, 900 * RPM))
    assert hours == pytest.approx(29_000, rel=0.01)  # "about"
    assert hours == pytest.approx(29_205.5, abs=0.5)  # recomputed


def test_static_safety_of_the_catalogue():
    assert float(bearings.static_safety(Ratings(1000.0, 815.0), 500.0)) == pytest.approx(1.63)


def test_no_load_tires_nothing():
    assert np.isinf(bearings.life_revolutions(Ratings(1000.0, 500.0), 0.0))
    assert np.isinf(bearings.static_safety(Ratings(1000.0, 500.0), 0.0))


@given(st.lists(st.tuples(st.floats(1, 1e4), st.floats(0.01, 100)), min_size=1, max_size=6))
def test_a_cycle_uses_up_as_much_life_as_its_parts(parts):
    """Derived: each part uses the share of life that it would last alone (Palmgren's rule)."""
    loads, turns = np.array(parts).T
    ratings = Ratings(1000.0, 500.0)
    used = (turns / bearings.life_revolutions(ratings, loads)).sum()
    whole = turns.sum() / float(bearings.life_revolutions(ratings, bearings.equivalent_load(loads, turns)))
    assert whole == pytest.approx(used)


def test_the_eccentrics_bearing_turns_faster_than_the_crank():
    """Derived from the motion: the disc's turn is measured, not put in."""
    crank = 2 * np.pi * 19
    disc = float(motion.disc_pose(STORY, crank).angle)
    assert float(bearings.eccentric_speed(STORY, crank)) == pytest.approx(crank - disc)


def test_every_bearing_of_the_table_has_a_cautious_rating_in_order():
    assert set(bearings.CAUTIOUS) == set(BEARINGS)
    for ratings in bearings.CAUTIOUS.values():
        assert ratings.static < ratings.dynamic
    assert bearings.CAUTIOUS["625"].dynamic <= 1140  # the smaller of two makers' figures, see the table of values


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: Ratings(0.0, 1.0), "dynamic is 0.0"),
        (lambda: bearings.life_revolutions(Ratings(1.0, 1.0), -1.0), "load contains -1.0"),
        (lambda: bearings.life_hours(Ratings(1.0, 1.0), 1.0, 0.0), "speed contains 0.0"),
        (lambda: bearings.equivalent_load([1.0, 2.0], [1.0]), "revolutions is"),
        (lambda: bearings.equivalent_load([1.0], [0.0]), "not all 0"),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, said):
    with pytest.raises(ValueError, match=said):
        call()
