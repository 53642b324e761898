"""What the frame carries, against equilibrium of every screw's force written down again.

Sources
-------
Bolts on a circle under torque and tipping: statics, any handbook of machine elements; repeated here as sums over the
bolts. 40 N, 20 mm beyond bearings 10 mm apart: 80 and 120 N, derived. Ring, output and crank: Willis' equation.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.machine.layout import layout, lever_radii
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import frame_loads
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)
PLAN = layout(MACHINE)


def test_the_ring_bears_20_of_19_and_the_bench_what_the_output_does():
    """Without friction power in is power out: the motor gives 1/19 of the torque, and all torques add up to none."""
    rows = frame_loads.check(MACHINE, 1900.0)
    ring, motor = rows["torque on the ring"].value, rows["torque of the motor on the frame"].value
    assert ring == pytest.approx(1900.0 * 20 / 19)
    assert motor == pytest.approx(1900.0 / 19)
    assert rows["torque on the bench"].value == pytest.approx(ring - motor)
    reactions = (rows["lower output bearing"].value, rows["upper output bearing"].value)
    assert reactions == pytest.approx((80.0, 120.0))


@pytest.mark.parametrize("screws", [3, 4, 6])
@pytest.mark.parametrize("way", [0.0, 0.3, 1.0])
def test_the_feet_hold_the_machine(screws, way):
    """All feet together hold torque and tipping, whichever way the load points; none is pulled more than is said."""
    machine = Reducer(STORY, screws=screws)
    plan, rows = layout(machine), frame_loads.check(machine, 3000.0, 40.0, 20.0)
    angles = 2 * np.pi * np.arange(screws) / screws
    places = plan.foot_circle * np.exp(1j * angles)
    most = rows["pull on a foot's screw"].value
    pulls = most * np.cos(angles - way)  # a stiff plate on springs: as far as each lies along the load
    tipping = 40.0 * (sum(plan.output_bearings[1]) / 2 + 20.0)
    assert np.sum(pulls * np.real(places * np.exp(-1j * way))) == pytest.approx(tipping)
    assert np.sum(pulls) == pytest.approx(0.0, abs=1e-9)
    shear = rows["shear of a foot's screw"].value - 40.0 / screws
    assert screws * shear * plan.foot_circle == pytest.approx(3000.0)


def test_the_lug_and_the_holes_are_those_of_the_plan():
    rows = frame_loads.check(MACHINE, 3000.0)
    shear, pull = rows["shear of a foot's screw"].value, rows["pull on a foot's screw"].value
    assert rows["pressure in a foot's hole"].value == pytest.approx(shear / (3.0 * 8.6))  # M3 in a plate of 8.6 mm
    assert rows["pressure under a foot's screw"].value == pytest.approx(pull / (np.pi / 4 * (5.5**2 - 3.4**2)))
    inertia = 2 * PLAN.foot_lug * 8.6**3 / 12
    assert rows["bending of a foot"].value == pytest.approx(
        pull * (PLAN.foot_circle - PLAN.outside) * 8.6 / 2 / inertia
    )
    half = 3000.0 * 20 / 19 / 2 / (4 * PLAN.screw_circle)
    assert rows["pressure in the cover's holes"].value == pytest.approx(half / (3.0 * (PLAN.cover_top - 34.0)))


def test_the_levers_stress_is_that_of_its_narrow_section():
    near, far = lever_radii(MACHINE)
    x = np.linspace(near, 100.0 - far, 5000)
    force, width = 2000.0 / 100.0, 2 * np.interp(x, [0.0, 100.0], [near, far])
    stress = force * (100.0 - x) * (width / 2) / (6.0 * width**3 / 12)
    # 200 places are looked at; a maximum is flat
    assert frame_loads.check(MACHINE, 2000.0)["stress in the lever"].value == pytest.approx(stress.max(), rel=1e-4)


@given(st.floats(0.0, 1e5), st.floats(0.0, 1e3), st.floats(1.0, 200.0))
def test_more_load_is_never_borne_more_easily(torque, load, overhang):
    less, more = (frame_loads.check(MACHINE, torque * way, load * way, overhang) for way in (0.5, 1.0))
    assert all(one.value <= other.value for one, other in zip(less, more, strict=True))
    assert all(row.ok for row in less) or not more.sound


def test_what_breaks_is_told():
    report = frame_loads.check(MACHINE, 5e4)
    assert not report.sound
    assert "The lever breaks." in repr(report)
    assert all(row.trouble and row.remedy for row in report if row.physical)
    with pytest.raises(ValueError, match="can't be built as a bench machine"):
        frame_loads.check(Reducer(STORY, crank_bearing="625"), 1000.0)
    with pytest.raises(ValueError, match="torque is -1"):
        frame_loads.check(MACHINE, -1.0)
