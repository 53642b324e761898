"""What friction takes.

- Wang, Luo, Su, "Multi-objective optimization...", Mech. Mach. Theory 102 (2016) 135-148: the loss at the pins to first
  order.
- The full form, and the mean force of the eccentric's bearing: derived; equal to the mean of 2 000 equilibria with
  friction. Here the losses are summed up from forces and sliding speeds, which come from other rooms.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from cyclokit import Drive
from cyclokit.geometry import speeds
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import friction, sharing
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY, discs=1, output_circle_radius=26.0)
TURN = np.linspace(0, 2 * np.pi, 2001)


@pytest.mark.parametrize(("mu", "forward", "backward"), [(0.1, 0.828296, 0.845411), (0.3, 0.514501, 0.630248)])
def test_the_storys_pins_without_rollers(mu, forward, backward):
    assert friction.pin_efficiency(MACHINE, mu) == (
        pytest.approx(forward, abs=5e-7),  # printed digits
        pytest.approx(backward, abs=5e-7),
    )


@given(st.floats(1e-4, 0.9999))
def test_the_mean_along_is_its_integral(ratio):
    def share(phi):
        return np.sin(phi) * (ratio - np.cos(phi)) / (1 + ratio**2 - 2 * ratio * np.cos(phi))

    whole = quad(share, 0, np.pi, limit=200, points=[np.arccos(ratio)])[0]
    assert friction.mean_along(ratio) == pytest.approx(whole, abs=1e-9)  # what the integration leaves


def test_the_eccentrics_bearing_bears_what_the_forces_leave():
    assert friction.mean_bearing_force(MACHINE, 2000.0) == pytest.approx(105.6993, abs=5e-5)  # printed digits
    force = np.linalg.norm(sharing.ideal(MACHINE, 2000.0, TURN).bearing_force, axis=-1)
    assert force.mean() == pytest.approx(105.6993, rel=2e-3)  # 20 pins and 6 rollers are not many


def test_small_friction_takes_what_slides_times_how_hard_it_is_pushed():
    """Power by force and sliding speed, pin by pin, over a turn: to first order, derived."""
    shared = sharing.ideal(MACHINE, 2000.0, TURN)
    slide = np.abs(speeds.contact_speeds(STORY, TURN).sliding)  # per radian of crank a second
    power = (shared.pin_force[:, 0] * slide).sum(axis=1).mean()
    out = 2000.0 / STORY.lobes
    band = friction.efficiency(MACHINE, (0.0, 1e-4), (0.0, 0.0), (0.0, 0.0))
    assert band.pins[1] == pytest.approx(1e-4 * power / out, rel=5e-3)  # a mean over 20 pins, not over many
    assert 1 - band.forward[0] == pytest.approx(band.pins[1], rel=1e-3)  # second order left out
    rolled = 1e-4 * shared.output_force.sum(axis=(1, 2)).mean() * STORY.eccentricity * 20 / 19 / out
    assert friction.efficiency(MACHINE, (0, 0), (0, 1e-4)).output[1] == pytest.approx(rolled, rel=5e-3)


@given(st.floats(0.2, 0.9), st.floats(0, 0.5), st.floats(0, 0.5))
def test_more_friction_never_helps(ratio, one, other):
    machine = Reducer(Drive(20, 42.0, 3.0, ratio * 42 / 20), discs=1, **SIZES)
    low, high = sorted((one, other))
    assert friction.pin_efficiency(machine, low) >= friction.pin_efficiency(machine, high)
    band = friction.efficiency(machine, (low, high), (low, high))
    assert 0 <= band.forward[0] <= band.forward[1] <= 1
    assert 0 <= band.backward[0] <= band.backward[1] <= 1


SIZES = {"output_circle_radius": 26.0, "output_roller_radius": 3.0, "output_rollers": 6, "eccentric_bearing": "61804"}


def test_half_is_no_law_of_locking():
    """Below one half forwards it may still be driven backwards; whether it locks is told, or left open."""
    half = friction.efficiency(MACHINE, (0.31, 0.31), (0, 0), (0, 0))
    assert half.forward[1] < 0.5 and half.locks is False
    plain = friction.efficiency(MACHINE, (0, 0), (0, 0), (5.0, 5.0))
    assert plain.locks is True
    assert friction.efficiency(MACHINE, (0, 0), (0, 0), (0.001, 5.0)).locks is None


def test_a_plain_eccentric_locks_near_the_known_coefficient():
    # mu = e F_t/(r_b F_b), with crank and disc turning against each other as Zc to N: derived
    radius = MACHINE.eccentric_bearing.bore_diameter / 2
    across = 1.0 / (STORY.eccentricity * STORY.lobes)
    known = STORY.eccentricity * across / (radius * friction.mean_bearing_force(MACHINE, 1.0)) * 19 / 20
    for mu, locks in ((0.999 * known, False), (1.001 * known, True)):
        assert friction.efficiency(MACHINE, (0, 0), (0, 0), (mu, mu)).locks is locks


def test_a_roller_on_a_rod_rubs_with_the_shorter_arm():
    assert friction.at_roller((0.1, 0.2), 1.5, 5.0) == (pytest.approx(0.03), pytest.approx(0.06))


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: friction.pin_efficiency(MACHINE, -0.1), "coefficient is -0.1"),
        (lambda: friction.efficiency(MACHINE, (0.2, 0.1), (0, 0)), "pins is"),
        (lambda: friction.mean_along(1.0), "trochoid_ratio is 1"),
    ],
)
def test_what_cannot_be_is_refused_in_words(call, said):
    with pytest.raises(ValueError, match=said):
        call()
