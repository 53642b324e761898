"""The output under a load beyond its bearings, against statics written down again.

Sources
-------
A beam on two supports: any statics handbook. 40 N, 20 mm beyond bearings 10 mm apart: 80 and 120 N, derived.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import output_shaft
from tests.geometry.drives import STORY

LENGTHS = st.floats(1.0, 200.0)


def test_the_storys_reactions():
    assert output_shaft.reactions(40.0, 20.0, 10.0) == pytest.approx((80.0, 120.0))


@given(st.floats(0.0, 1000.0), LENGTHS, LENGTHS)
def test_forces_and_moments_balance(load, overhang, span):
    far, near = output_shaft.reactions(load, overhang, span)
    forces, places = [load, -near, far], [overhang, 0.0, -span]
    assert sum(forces) == pytest.approx(0.0, abs=1e-9 * (1 + near))
    assert np.dot(forces, places) == pytest.approx(0.0, abs=1e-7 * (1 + near * span))


def test_the_storys_flange_does_not_tilt_on_to_its_cover():
    tilt = output_shaft.tilt(Reducer(STORY))
    assert tilt.angle == pytest.approx(0.002, rel=1e-5)
    assert tilt.at_edge == pytest.approx(0.002 * 29.9)
    assert tilt.at_edge < tilt.gap
    assert output_shaft.tilt(Reducer(STORY, output_bearing_span=20.0)).at_edge == pytest.approx(tilt.at_edge / 2)


@given(st.floats(1.0, 5.0), st.floats(0.05, 0.9), st.floats(2.0, 30.0), st.floats(0.0, 500.0))
def test_the_flats_pressure_adds_up_to_the_torque(radius, share, length, torque):
    flat = share * radius
    pressure = output_shaft.flat_pressure(radius, flat, length, torque)
    half = math.sqrt(radius**2 - (radius - flat) ** 2)
    x = (np.arange(20_000) + 0.5) / 20_000 * half  # middles of strips of the loaded half
    found = float(np.sum(pressure * x / half * x) * half / 20_000 * length)
    assert found == pytest.approx(torque, rel=1e-6, abs=1e-9)  # the middles' rule: 1e-9


def test_a_flat_deeper_than_its_shaft_is_told():
    with pytest.raises(ValueError, match="flat is 3 mm deep"):
        output_shaft.flat_pressure(2.5, 3.0, 20.0, 100.0)
