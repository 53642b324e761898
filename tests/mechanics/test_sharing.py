"""How pins and rollers share a torque, held against published formulas, general solvers and plain statics.

- Wang Yukun et al., "Analysis of meshing characteristics of pins and pin housing integral structure in RV reducer":
  lever arm of a pin, linear sharing, and 20 pins loaded in the example with 40 pins, Rp 100, e 1, r 2.
- Wang, Luo, Su, "Multi-objective optimization...", Mech. Mach. Theory 102 (2016) 135-148: peak force 4 T/(e Zc Zp).
- scipy's non-negative least squares and root finder, which know nothing of straight pieces.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq, nnls

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from tests.geometry.drives import STORY

TURN = np.linspace(0.0, 2 * np.pi, 60, endpoint=False)
BALANCE = 1e-9  # of the load: what rounding leaves of sums over some fifty forces, with room


@st.composite
def machines(draw):
    """Reducers of many kinds, whether their parts have room or not."""
    pins, radius = draw(st.integers(3, 40)), draw(st.floats(20, 100))
    ratio = draw(st.floats(0.1, 0.95))
    drive = Drive(pins, radius, 0.3 * radius * np.sin(np.pi / pins), ratio * radius / pins)
    return Reducer(
        drive,
        discs=draw(st.integers(1, 3)),
        output_rollers=draw(st.integers(3, 9)),
        output_circle_radius=0.6 * radius,
        output_roller_radius=0.05 * radius,
        hole_phase=draw(st.floats(0, 0.99)),
        eccentric_bearing="61808",
        shaft_radius=1.0,
        spacer_radius=5.0,
    )


@st.composite
def cases(draw):
    """A machine with gaps and stiffnesses of its own, a torque, and crank angles."""
    machine, rng = draw(machines()), np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    crank = rng.uniform(-7, 7, 3)
    shapes = [(3, machine.discs, count) for count in (machine.drive.pins, machine.output_rollers)]
    gaps = [rng.uniform(0, draw(st.sampled_from([0.0, 1e-3, 0.1])), shape) for shape in shapes]
    stiffness = [rng.uniform(1e3, 1e4, shape) for shape in shapes]
    return machine, draw(st.sampled_from([-1, 1])) * draw(st.floats(1, 1e5)), crank, gaps, stiffness


def as_made(case, torque=None):
    machine, asked, crank, gaps, (pins, rollers) = case
    wanted = asked if torque is None else torque
    return sharing.as_made(machine, wanted, crank, *gaps, pin_stiffness=pins, output_stiffness=rollers)


def moments(shared):
    """Sum of the moments of all contact forces about each disc's centre, from points, directions and forces alone."""
    drive, discs = shared.reducer.drive, shared.reducer.discs
    crank = shared.crank[:, None] + 2 * np.pi * np.arange(discs) / discs
    centres = drive.eccentricity * np.stack([np.cos(crank), np.sin(crank)], axis=-1)[:, :, None, :]
    total = 0.0
    for force, direction, point in (
        (shared.pin_force, shared.pin_direction, shared.pin_point),
        (shared.output_force, shared.output_direction, shared.output_point),
    ):
        arm, vector = point - centres, force[..., None] * direction
        total = total + (arm[..., 0] * vector[..., 1] - arm[..., 1] * vector[..., 0]).sum(axis=2)
    return total


# published


def test_the_story_carries_2000_newton_millimetres_on_nine_pins():
    # derived by two methods, see the shared table of values: peak, sums of forces and of their components
    shared = sharing.ideal(Reducer(STORY, discs=1), 2000.0, [0.0])
    assert shared.loaded_pins.tolist() == [[9]]
    assert shared.peak == pytest.approx(14.972250, abs=5e-7)  # printed digits
    assert shared.pin_force.sum() == pytest.approx(94.301905, abs=5e-7)
    radial, tangential = (shared.pin_force[..., None] * shared.pin_direction).sum(axis=(0, 1, 2))
    assert (radial, -tangential) == (pytest.approx(24.729946, abs=5e-7), pytest.approx(75.187970, abs=5e-7))


def test_wang_yukuns_example_has_twenty_pins_loaded():
    machine = Reducer(Drive(40, 100.0, 2.0, 1.0), discs=1)
    counts = sharing.ideal(machine, 0.55 * 167e3, TURN + 0.01).loaded_pins
    assert set(counts.ravel()) <= {19, 20} and 20 in counts


def test_a_pins_arm_is_the_published_one():
    crank = 0.3
    phi = 2 * np.pi * np.arange(20) / 20 - crank
    ratio = STORY.trochoid_ratio
    published = 1.4 * 19 * np.sin(phi) / np.sqrt(1 + ratio**2 - 2 * ratio * np.cos(phi))
    np.testing.assert_allclose(sharing.pin_arms(Reducer(STORY), [crank])[0, 0], published, atol=1e-12)  # rounding


@pytest.mark.parametrize(("ratio", "most"), [(0.4, 1.05), (0.75, 1.16)])
def test_the_published_peak_is_a_mean_and_few_pins_pass_it(ratio, most):
    six = Reducer(Drive(6, 40.0, 3.0, ratio * 40 / 6), discs=1, **SMALL)
    mean = 4 * 1000.0 / (six.drive.eccentricity * 5 * 6)
    peak = sharing.ideal(six, 1000.0, np.linspace(0, 2 * np.pi, 3601)).peak
    assert peak / mean == pytest.approx(most, abs=0.01)  # figures given to two digits
    many = Reducer(Drive(200, 400.0, 1.0, ratio * 400 / 200), discs=1, **SMALL)
    mean = 4 * 1000.0 / (many.drive.eccentricity * 199 * 200)
    assert sharing.ideal(many, 1000.0, TURN).peak == pytest.approx(mean, rel=2e-3)  # falls with the number of pins


SMALL = {
    "output_rollers": 6,
    "output_circle_radius": 20.0,
    "output_roller_radius": 2.0,
    "eccentric_bearing": "61808",
    "shaft_radius": 1.0,
    "spacer_radius": 5.0,
}


# statics


@given(cases())
@settings(max_examples=60)
def test_every_disc_and_the_output_are_in_balance(case):
    shared = as_made(case)
    machine, torque = case[0], case[1]
    size = abs(torque) + 1e-30
    assert np.abs(moments(shared)).max() <= BALANCE * size
    np.testing.assert_allclose(shared.disc_torque.sum(axis=1), torque, rtol=BALANCE)
    # whatever the sharing, the bearing's force across the crank is T_d/(e Zc)
    ahead = sharing._crank_directions(machine, shared.crank)
    across = ahead[..., 0] * shared.bearing_force[..., 1] - ahead[..., 1] * shared.bearing_force[..., 0]
    arm = machine.drive.eccentricity * machine.drive.lobes
    np.testing.assert_allclose(across, shared.disc_torque / arm, atol=BALANCE * size / arm)
    np.testing.assert_allclose(across.sum(axis=1), torque / arm, rtol=BALANCE)
    assert (shared.pin_force >= 0).all() and (shared.output_force >= 0).all()


@given(cases())
@settings(max_examples=30)
def test_the_count_of_loaded_pins_never_falls_as_torque_grows(case):
    counts = [as_made(case, torque).loaded_pins for torque in np.geomspace(0.01, 1e6, 12)]
    assert (np.diff(counts, axis=0) >= 0).all()


@given(cases())
@settings(max_examples=30)
def test_no_torque_gives_no_force(case):
    shared = as_made(case, 0.0)
    assert not shared.pin_force.any() and not shared.output_force.any()
    assert np.isfinite(shared.secant_stiffness).all()


@given(machines(), st.floats(1, 1e4), st.integers(0, 2**32 - 1))
@settings(max_examples=30)
def test_the_other_way_round_is_the_mirror_image(machine, torque, seed):
    """Mirrored at the x axis: pin k becomes pin -k; the output rollers too where hole 0 lies on a root."""
    rng, crank = np.random.default_rng(seed), np.array([0.4, 2.0])
    machine = Reducer(machine.drive, **{**SMALL, "hole_phase": 0.0}, discs=1)
    gaps = rng.uniform(0, 0.05, (1, 1, machine.drive.pins))
    rollers = rng.uniform(0, 0.05, (1, 1, machine.output_rollers))
    springs = {"pin_stiffness": 1e3, "output_stiffness": 2e3}
    one = sharing.as_made(machine, torque, crank, gaps, rollers, **springs)
    flip = [np.roll(given[..., ::-1], 1, axis=-1) for given in (gaps, rollers)]
    other = sharing.as_made(machine, -torque, -crank, *flip, **springs)
    back = np.roll(other.pin_force[..., ::-1], 1, axis=-1)
    np.testing.assert_allclose(back, one.pin_force, atol=1e-9 * torque)


@given(cases())
@settings(max_examples=20)
def test_no_gaps_and_one_stiffness_are_the_ideal_model(case):
    machine, torque, crank, gaps, _ = case
    none = [np.zeros_like(gap) for gap in gaps]
    plain = sharing.as_made(machine, torque, crank, *none, pin_stiffness=700.0, output_stiffness=700.0)
    shared = sharing.ideal(machine, torque, crank)
    np.testing.assert_allclose(plain.pin_force, shared.pin_force, atol=BALANCE * abs(torque))
    # literature's rule: force in proportion to the arm, on each disc
    arms = np.maximum(np.sign(torque) * sharing.pin_arms(machine, crank), 0)
    shares = np.abs(shared.disc_torque)[..., None] * arms / (arms**2).sum(axis=2, keepdims=True)
    np.testing.assert_allclose(shared.pin_force, shares, atol=BALANCE * abs(torque))


def test_three_rollers_split_the_torque_between_a_third_and_two_thirds_where_the_rollers_give_way_most():
    # derived: the squares of the sines of three rollers that push one way add up to 1/2 to 1, to 3/2 for both discs
    machine, crank = Reducer(Drive(12, 40.0, 3.0, 1.5), **{**SMALL, "output_rollers": 3}), np.linspace(0, 70, 7001)
    soft = sharing.as_made(machine, 1000.0, crank, pin_stiffness=1e9, output_stiffness=1.0).disc_torque / 1000.0
    assert (soft.min(), soft.max()) == (
        pytest.approx(1 / 3, abs=1e-3),
        pytest.approx(2 / 3, abs=1e-3),
    )  # steps of crank
    share = sharing.ideal(machine, 1000.0, crank).disc_torque / 1000.0
    assert 1 / 3 < share.min() < 0.45 and share.max() == pytest.approx(1 - share.min())


# general solvers


@given(cases())
@settings(max_examples=15)
def test_a_least_squares_solver_that_knows_only_forces_finds_the_same(case):
    """Least complementary energy: forces that only push, in balance, store the least."""
    machine, _, crank, (gaps, output_gaps), (pins, rollers) = case
    torque, discs = 5000.0, machine.discs
    shared = as_made(case, torque)
    arms = [sharing.pin_arms(machine, crank)[0], sharing.output_arms(machine, crank)[0]]
    stiffness = np.concatenate([pins[0].ravel(), rollers[0].ravel()])
    gap = np.concatenate([gaps[0].ravel(), output_gaps[0].ravel()])
    balance = np.zeros((discs + 1, stiffness.size))
    for disc in range(discs):
        balance[disc, : pins[0].size].reshape(discs, -1)[disc] = arms[0][disc]
        balance[disc, pins[0].size :].reshape(discs, -1)[disc] = -arms[1][disc]
    balance[-1, pins[0].size :] = arms[1].ravel()
    held = 1e4 / np.abs(balance).max()  # how strictly the balance is asked for
    matrix = np.vstack([np.diag(stiffness**-0.5), held * balance])
    wanted = np.concatenate([-gap * stiffness**0.5, held * np.array([0.0] * discs + [torque])])
    # SciPy's other one, `lsq_linear` by bvls, stops short of the least in some of a hundred cases
    solved, _ = nnls(matrix, wanted, maxiter=100 * stiffness.size)
    mine = np.concatenate([shared.pin_force[0].ravel(), shared.output_force[0].ravel()])
    # the balance is held by a weight, which leaves about its inverse square of the forces, 1e-8; and rounding
    np.testing.assert_allclose(solved, mine, atol=1e-6 * mine.max())


@given(cases())
@settings(max_examples=15)
def test_a_root_finder_finds_the_same_turn(case):
    machine, _, crank, (gaps, output_gaps), (pins, rollers) = case
    torque = 5000.0
    arms = [sharing.pin_arms(machine, crank)[0], sharing.output_arms(machine, crank)[0]]

    def carried(disc, turn):
        """What a disc carries at a turn of the output: its own turn is where ring and output pull alike."""

        def torque_of(springs, gap, arm, own):
            return (springs[0, disc] * np.maximum(own * arm[disc] - gap[0, disc], 0) * arm[disc]).sum()

        def ring(own):
            return torque_of(pins, gaps, arms[0], own)

        def output(own):
            return torque_of(rollers, output_gaps, arms[1], turn - own)

        own = brentq(lambda own: ring(own) - output(own), -1e-12, turn + 1e-12, xtol=1e-15)
        return ring(own)

    found = brentq(lambda turn: sum(carried(d, turn) for d in range(machine.discs)) - torque, 0, 10, xtol=1e-14)
    assert as_made(case, torque).output_turn[0] == pytest.approx(found, rel=1e-7)  # what the finder's steps leave


def test_the_tangent_is_the_slope_of_torque_over_turn():
    machine, rng = Reducer(STORY), np.random.default_rng(3)
    gaps = rng.uniform(0, 0.05, (1, 2, 20))
    springs = {"pin_stiffness": 5e3, "output_stiffness": 8e3}
    one, more = (sharing.as_made(machine, torque, TURN, gaps, **springs) for torque in (2000.0, 2000.001))
    slope = 0.001 / (more.output_turn - one.output_turn)
    np.testing.assert_allclose(one.tangent_stiffness, slope, rtol=1e-5)  # of a step of a millionth
    assert (one.secant_stiffness < one.tangent_stiffness).all()  # gaps cost turn


# what is refused


@pytest.mark.parametrize(
    ("changed", "error", "said"),
    [
        ({"gaps": -0.1}, ValueError, "gaps contains -0.1"),
        ({"output_gaps": np.zeros((5, 5))}, ValueError, "output_gaps has the shape"),
        ({"pin_stiffness": 0.0}, ValueError, "pin_stiffness contains 0.0"),
        ({"torque": np.nan}, ValueError, "torque is nan"),
        ({"torque": "2000"}, TypeError, "torque must be a number"),
        ({"crank": 0.0}, ValueError, "crank has the shape"),
    ],
)
def test_what_cannot_be_is_refused_in_words(changed, error, said):
    given = {"torque": 1.0, "crank": [0.0], "pin_stiffness": 1e3, "output_stiffness": 1e3} | changed
    with pytest.raises(error, match=said):
        sharing.as_made(Reducer(STORY), **given)


def test_of_no_crank_angle_there_are_no_forces():
    assert sharing.ideal(Reducer(STORY), 100.0, []).pin_force.shape == (0, 2, 20)
