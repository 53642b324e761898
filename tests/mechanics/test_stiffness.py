"""Stiffness of pins and rollers as built.

- K. L. Johnson, Contact Mechanics, ch. 4 and 5 (from memory): stresses under a line contact, and how far a round and a
  deep body are flattened. Here the strains along the axis are integrated.
- J. M. Gere, Mechanics of Materials, appendix: deflection of a cantilever under a load at a place.
"""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, trapezoid

from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import pins, rods, sharing, stiffness
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)
NU = stiffness.POISSON


def strain(along, across):
    """Strain [of E] along the load in plane strain."""
    return (1 - NU**2) * (along - NU / (1 - NU) * across)


def deep(z, b):
    """Stresses under 1 N/mm of Hertz pressure on a half-plane, along the load and across."""
    root = np.hypot(b, z)
    return -2 / (np.pi * root), -2 / np.pi * ((b**2 + 2 * z**2) / (b**2 * root) - 2 * z / b**2)


def round_one(z, b, radius):
    """The same in a round that is pressed between that strip and a point opposite."""
    along, across = deep(z, b)
    return along + (1 / radius - 2 / (2 * radius - z)) / np.pi, across + 1 / (np.pi * radius)


@given(st.floats(0.02, 0.08), st.floats(1.0, 10.0))
def test_flattening_is_the_strains_integral(part, radius):
    b = part * radius
    for side, stresses in (("disc", lambda z: deep(z, b)), ("roller", lambda z: round_one(z, b, radius))):
        summed = -quad(lambda z, of=stresses: strain(*of(z)), 0, radius, points=[b])[0] / 1000.0
        flat = stiffness.flattening(1.0, 1.0, b, radius, 1000.0, side)
        assert float(flat) == pytest.approx(summed, rel=part)  # the closed form leaves out powers of b/R


def test_rod_and_contact_are_in_series():
    pin, load = rods.ring_pin(MACHINE), 3000.0
    soft, stiff = stiffness.pin_stiffness(MACHINE, load)
    assert soft.shape == stiff.shape == (2, 1)
    assert (soft < stiff).all() and (stiff < 1 / pin.compliance(212e3)[:, None]).all()
    hard = dataclasses.replace(MACHINE, disc_material="bearing steel", pin_support="one end", pin_rod_radius=1.5)
    long = stiffness.pin_stiffness(hard, load)[0, 1, 0]
    # a point load in the middle of the far disc on a cantilever: F a^3/(3 E I), Gere; the width adds less than 2 %
    far, bends = 15.7, 190e3 * np.pi * 3.0**4 / 64
    assert long == pytest.approx(3 * bends / far**3, rel=0.05)  # the steel contact takes the rest


def test_the_deflection_is_that_of_the_unit_load_integral():
    rod = rods.output_rod(MACHINE)
    bends, place = 190e3 * np.pi * rod.diameter**4 / 64, np.linspace(0, rod.span, 200_001)
    for disc in range(2):
        load = rod.start[disc] + (np.arange(400) + 0.5) / 400 * (rod.end[disc] - rod.start[disc])
        moment = np.maximum(load[None, :] - place[::100, None], 0).mean(axis=1)
        unit = np.maximum(load.mean() - place[::100], 0)
        summed = trapezoid(moment * unit, place[::100]) / bends
        assert rod.compliance(190e3)[disc] == pytest.approx(summed, rel=1e-4)  # steps of the sum


@given(st.floats(10, 1e5), st.sampled_from(sorted(MATERIALS)))
def test_more_load_makes_contacts_stiffer_and_sign_doesnt_matter(torque, material):
    machine = dataclasses.replace(MACHINE, disc_material=material)
    for of in (stiffness.pin_stiffness, stiffness.output_stiffness):
        assert (of(machine, 2 * torque) >= of(machine, torque)).all()
        assert np.array_equal(of(machine, -torque), of(machine, torque))


def test_as_made_takes_it_and_gives_a_stiffness_at_the_output():
    soft, stiff = stiffness.pin_stiffness(MACHINE, 2000.0)
    outer = stiffness.output_stiffness(MACHINE, 2000.0)
    gentle, hard = (
        sharing.as_made(MACHINE, 2000.0, [0.1, 0.2], pin_stiffness=pin, output_stiffness=out)
        for pin, out in ((soft, outer[0]), (stiff, outer[1]))
    )
    assert (gentle.secant_stiffness < hard.secant_stiffness).all()
    assert np.allclose(gentle.secant_stiffness, gentle.tangent_stiffness)  # no gap: a straight line
    gaps = sharing.as_made(MACHINE, 2000.0, [0.1], 0.1, pin_stiffness=soft, output_stiffness=outer[0])
    assert gaps.secant_stiffness[0] < gaps.tangent_stiffness[0]
    more = sharing.as_made(MACHINE, 2000.001, [0.1], 0.1, pin_stiffness=soft, output_stiffness=outer[0])
    measured = 0.001 / (more.output_turn - gaps.output_turn)
    assert measured == pytest.approx(gaps.tangent_stiffness, rel=1e-6)  # digits lost in the difference


def test_no_torque_has_no_stiffness():
    with pytest.raises(ValueError, match="torque is 0"):
        stiffness.pin_stiffness(MACHINE, 0.0)


def test_pins_that_lose_their_cover_are_cantilevers():
    covered, bare = rods.ring_pin(MACHINE), rods.ring_pin(MACHINE, "one end")
    assert (covered.support, bare.support) == ("both ends", "one end")
    for moments, pin in ((covered.unit_moments(), covered), (bare.unit_moments(), bare)):
        bent = pins.bend(
            (pins.Layer(pin.diameter, 0.0, 2e5),), pin.span, pin.support, [1.0], pin.start[1:], pin.end[1:]
        )
        peak = abs(bent.moment).max()
        assert abs(moments[:, 1]).max() == pytest.approx(peak, rel=5e-3)  # one place in twenty is looked at
    assert abs(bare.unit_moments()).max() > 2.5 * abs(covered.unit_moments()).max()  # L/(L - a) is 25.4/9.7


def test_without_an_output_bearing_the_crank_stands_wider_than_plates_that_are_near():
    plain = Reducer(MACHINE.drive, crank_bearing="61806")
    assert plain.output_bearing is None
    shaft = rods.crank(plain, "plain steel")
    assert shaft.span == rods.ring_pin(plain).span + plain.crank_bearing.width
    assert np.allclose((shaft.start + shaft.end) / 2 + (shaft.start + shaft.end)[::-1] / 2, shaft.span)
