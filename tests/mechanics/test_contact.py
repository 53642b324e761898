"""Pressure of cylinders that touch along a line.

- A. P. Boresi, R. J. Schmidt, Advanced Mechanics of Materials, 6th ed., p. 621: two cylinders of 40 mm radius, 20 mm
  long, 24.1 kN, E 200 GPa, nu 0.29: 1445 MPa, greatest shear 433 MPa (rounded by hand in the book).
- K. L. Johnson, Contact Mechanics, ch. 4: the formulas; the numerical half plane below uses none of them.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from cyclokit.geometry import motion
from cyclokit.mechanics import contact
from tests.geometry.drives import STORY

BOOK = (24100.0, 20.0, 40.0, 40.0, 200e3, 200e3, 0.29, 0.29)


def test_boresi_and_schmidts_cylinders():
    found = contact.line(*BOOK)
    assert float(found.peak_pressure) == pytest.approx(1445, rel=2e-3)  # the book rounds by hand
    assert float(found.peak_pressure) == pytest.approx(1447.037, abs=5e-4)  # recomputed, printed digits
    assert float(found.greatest_shear) == pytest.approx(433, rel=4e-3)
    assert float(found.greatest_shear) == pytest.approx(434.52, abs=5e-3)


def test_a_half_plane_of_many_strips_presses_back_alike():
    """Strips of even pressure on a half plane that lift its surface out of a cylinder: derived.

    A strip of pressure p between a and b moves the surface by -2/(pi E*) times the integral of p ln|x - s|, give or
    take a constant. The strip of contact is right where its edges are pressed by nothing.
    """
    force, length, radius, modulus = 24100.0, 20.0, 20.0, 200e3 / (1 - 0.29**2) / 2  # both cylinders as one
    low, high = 0.01, 10.0
    for _ in range(20):
        width = (low + high) / 2
        pressure = _pressed(width, force / length, radius, modulus)
        low, high = (width, high) if pressure[0] > 0 else (low, width)
    found = contact.line(*BOOK)
    assert pressure.max() == pytest.approx(float(found.peak_pressure), rel=5e-3)  # 160 strips across
    assert width == pytest.approx(float(found.half_width), rel=1e-2)


def _pressed(width, force, radius, modulus):
    """Pressure of 160 strips that together bear a force [N/mm] and keep the surface on the cylinder."""
    edges = np.linspace(-width, width, 161)
    middle, half = (edges[1:] + edges[:-1]) / 2, (edges[1] - edges[0]) / 2
    ends = [middle[:, None] - middle + side for side in (half, -half)]
    first, second = (end * (np.log(np.abs(end)) - 1) for end in ends)
    count = len(middle)
    system = np.ones((count + 1, count + 1))  # the last unknown is the depth
    system[:count, :count], system[:count, count] = -2 / (np.pi * modulus) * (first - second), -1.0
    system[count, :count], system[count, count] = 2 * half, 0.0
    return np.linalg.solve(system, np.append(-(middle**2) / (2 * radius), force))[:count]


def test_the_greatest_shear_is_where_it_is_said_to_be():
    # Johnson, eq. 4.49 for the stresses on the axis of symmetry, maximised by looking everywhere
    depth = np.linspace(0, 3, 300_001)
    across = -((1 + 2 * depth**2) / np.sqrt(1 + depth**2) - 2 * depth)
    down = -1 / np.sqrt(1 + depth**2)
    shear = np.abs(across - down) / 2
    assert shear.max() == pytest.approx(contact.SHEAR, abs=5e-7)  # printed digits
    assert depth[shear.argmax()] == pytest.approx(contact.SHEAR_DEPTH, abs=1e-5)  # step of the depth


@given(
    st.floats(0.1, 1e4),
    st.floats(1, 50),
    st.floats(1, 50),
    st.floats(0.02, 0.98),
    st.floats(1e3, 2e5),
    st.floats(1e3, 2e5),
)
def test_pressure_over_the_width_is_the_force(force, length, radius, share, one, other):
    for second in (radius, -radius / share, np.inf):  # beside it, round it, flat
        found = contact.line(force, length, radius, second, one, other)
        carried = quad(lambda x: np.sqrt(1 - x**2), -1, 1)[0] * found.peak_pressure * found.half_width * length
        assert float(carried) == pytest.approx(force, rel=1e-8)  # of the integration


def test_hollow_is_gentler_than_flat_and_flat_than_round():
    pressures = [float(contact.line(50.0, 4.0, 5.0, second, 208e3, 2000.0).peak_pressure) for second in (-8, np.inf, 8)]
    assert pressures == sorted(pressures)


def test_the_most_loaded_pin_is_not_the_most_stressed():
    # story drive, derived: at 81.38 degrees from the crank, 1.4976 times that at the most loaded place
    phi = np.linspace(1e-3, np.pi - 1e-3, 200_001)
    ratio = STORY.trochoid_ratio
    force = np.sin(phi) / np.sqrt(1 + ratio**2 - 2 * ratio * np.cos(phi))  # in proportion to the arm, as Wang has it
    radius = contact.flank_radius(STORY, phi / STORY.lobes)  # the outline's bend hangs on cos((N - 1) t) alone
    pressure = contact.line(force, 4.0, 5.0, radius, 208e3, 2000.0).peak_pressure
    assert np.degrees(phi[pressure.argmax()]) == pytest.approx(81.38, abs=5e-3)  # printed digits
    assert pressure.max() / pressure[force.argmax()] == pytest.approx(1.4976, abs=1e-4)  # 1.49754 here
    assert phi[force.argmax()] == pytest.approx(np.arccos(ratio), abs=1e-4)  # steps of phi


def test_the_bend_under_a_pin_is_that_of_its_contact():
    crank = np.linspace(0, 2 * np.pi, 7)
    parameters = motion.contacts(STORY, crank).parameters
    phi = 2 * np.pi * np.arange(20) / 20 - crank[:, None]
    np.testing.assert_allclose(
        contact.flank_radius(STORY, parameters), contact.flank_radius(STORY, phi / STORY.lobes), rtol=1e-9
    )


@pytest.mark.parametrize(
    ("changed", "error", "said"),
    [
        ({0: -1.0}, ValueError, "force contains -1.0"),
        ({2: 0.0}, ValueError, "radius_1 is 0"),
        ({3: -39.0}, ValueError, "hollow cylinder must be wider"),
        ({3: -40.0}, ValueError, "hollow cylinder must be wider"),
        ({4: 0.0}, ValueError, "modulus_1 contains 0.0"),
        ({6: 0.6}, ValueError, "poisson_1 is 0.6"),
        ({2: "40"}, TypeError, "radius_1 must be real numbers"),
        ({2: np.nan}, ValueError, "radius_1 contains nan"),
    ],
)
def test_what_cannot_be_is_refused_in_words(changed, error, said):
    numbers = [changed.get(place, number) for place, number in enumerate(BOOK)]
    with pytest.raises(error, match=said):
        contact.line(*numbers)


def test_no_force_gives_no_pressure():
    found = contact.line(0.0, *BOOK[1:])
    assert (float(found.half_width), float(found.peak_pressure)) == (0.0, 0.0)
