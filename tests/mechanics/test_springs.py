"""Springs that can only push, worked out by hand; general solvers are asked in test_sharing, of a machine's springs."""

import numpy as np
import pytest

from cyclokit.mechanics import springs
from cyclokit.mechanics.springs import Springs, one_after_the_other


def made(*bodies):
    """Springs at one place: for each body its springs as arm, gap and stiffness."""
    return Springs(*np.moveaxis(np.array([bodies], dtype=float), -1, 0))


RIGID = made([(20.0, 0.0, 1e12)], [(20.0, 0.0, 1e12)])
ROUNDING = 1e-6  # relative: what springs that are all but rigid give way


def test_two_bodies_side_by_side_share_what_their_springs_need():
    # derived by hand: at a turn of 0.03 the first has 100 10 (0.03 - 0.01) 10 = 200 N mm, the second 100 (0.3 - 0.1) 10
    # = 200 from its first spring and 100 (0.3 - 0.2) 10 = 100 from the other; a spring behind carries nothing
    held = made([(10.0, 0.1, 100.0), (-10.0, 0.0, 100.0)], [(10.0, 0.1, 100.0), (10.0, 0.2, 100.0)])
    turn, tangent, pushed, carried = one_after_the_other(500.0, held, RIGID)
    np.testing.assert_allclose(turn, [0.03], rtol=ROUNDING)
    np.testing.assert_allclose(tangent, [3 * 100 * 10**2], rtol=ROUNDING)
    np.testing.assert_allclose(pushed, [[[20.0, 0.0], [20.0, 10.0]]], rtol=ROUNDING)
    np.testing.assert_allclose(carried, [[[10.0], [15.0]]], rtol=ROUNDING)  # N on arms of 20 mm


def test_gaps_and_turns_of_springs_one_after_the_other_add_up():
    # derived by hand: gaps 0.1/10 and 0.4/20, then 90 N mm over 100 10^2 and over 25 20^2
    turn, tangent, _, _ = one_after_the_other(90.0, made([(10.0, 0.1, 100.0)]), made([(20.0, 0.4, 25.0)]))
    assert turn[0] == pytest.approx(0.01 + 0.02 + 90 / 1e4 + 90 / 1e4)
    assert tangent[0] == pytest.approx(5e3)


def test_the_gaps_of_the_body_that_is_touched_first_count_alone_where_nothing_is_carried():
    turn, _, pushed, _ = one_after_the_other(0.0, made([(10.0, 0.3, 1.0)], [(10.0, 0.2, 1.0)]), RIGID)
    assert turn[0] == pytest.approx(0.02)
    assert not pushed.any()


def test_many_places_are_solved_as_few_are():
    rng, many = np.random.default_rng(5), 2 * springs.BLOCK + 3
    first, second = (
        Springs(rng.uniform(-5, 20, shape), rng.uniform(0, 0.1, shape), rng.uniform(1e3, 1e4, shape))
        for shape in ((many, 2, 20), (many, 2, 20))
    )
    whole = one_after_the_other(100.0, first, second)
    for start in range(0, many, 400):
        few = slice(start, start + 400)
        some = one_after_the_other(100.0, *(Springs(s.arm[few], s.gap[few], s.stiffness[few]) for s in (first, second)))
        for one, other in zip(whole, some, strict=True):
            assert np.array_equal(one[few], other)


def test_a_body_that_nothing_pushes_is_refused():
    with pytest.raises(ValueError, match="second has a body that no spring pushes round"):
        one_after_the_other(1.0, RIGID, made([(20.0, 0.0, 1.0)], [(-20.0, 0.0, 1.0)]))
