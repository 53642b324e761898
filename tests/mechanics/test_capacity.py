"""The torque that a reducer bears by formulas, held against the verdict, which sums up forces, and against outlines.

- Wang, Luo, Su, "Multi-objective optimization...", Mech. Mach. Theory 102 (2016) 135-148: peak force 4 T/(e Zc N).
- "derived": worst pressure at 81.38 degrees, for the story's drive 1.4976 times that at the most loaded pin.
"""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit.geometry import outline
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.mechanics import capacity, friction, loads, rods, verdict
from tests.geometry.drives import STORY, sound_drives

MACHINE = Reducer(STORY)


def plain_of(drive, moved=0.0):
    """Plain numbers in which only the drive matters."""
    lengths = space.lengths(MACHINE)
    return dataclasses.replace(
        lengths,
        pins=drive.pins,
        pin_circle_radius=drive.pin_circle_radius,
        roller_radius=drive.roller_radius,
        eccentricity=drive.eccentricity,
        disc_roller_radius=drive.roller_radius + moved,
    )


@settings(deadline=None)
@given(sound_drives())
def test_the_worst_contact_is_that_of_the_outline(drive):
    t = np.linspace(0, np.pi / drive.lobes, 4001)  # half a lobe: the pin's angle from the crank is N - 1 times that
    phi = t * drive.lobes
    ratio = drive.trochoid_ratio
    share = np.sin(phi) / np.sqrt(1 + ratio**2 - 2 * ratio * np.cos(phi))
    looked_at = (share * (1 / drive.roller_radius + outline.curvature(drive, t))).max()
    found = float(np.max(capacity.worst_contact(plain_of(drive))))
    assert found == pytest.approx(looked_at, rel=2e-3)  # a flank that is nearly undercut peaks between the places


def test_the_storys_worst_contact():
    ratio = STORY.trochoid_ratio
    t = np.arccos(ratio) / STORY.lobes
    there = 1 / STORY.roller_radius + float(outline.curvature(STORY, [t])[0])
    worst = float(np.max(capacity.worst_contact(plain_of(STORY))))
    assert np.sqrt(worst / there) == pytest.approx(1.4976, abs=5e-5)  # printed digits


@pytest.mark.parametrize("part", ["pin_force", "output_force", "bearing_force", "web", "contact"])
def test_each_part_alone_lies_in_the_verdicts_band(part):
    """At the torque that a part bears with a safety of 1, by the formula, its band holds the lower end."""
    name = {
        "pin_force": "ring pins",
        "output_force": "output rods",
        "bearing_force": "eccentric bearing, at rest",
        "web": "web between hole and root",
        "contact": "contact pressure",
    }[part]
    even = dataclasses.replace(MACHINE, output_support="both ends")  # so that both discs carry alike
    borne, plain = capacity.strengths(even, 1.0), space.lengths(even)
    alone = dataclasses.replace(borne, **{other: 1e12 for other in capacity.PARTS if other != part})
    torque = float(np.max(capacity.torque(alone, plain, capacity.worst_contact(plain))))
    row = verdict.judge(even, torque, 1.0)[name]
    assert row.loaded[0] * 0.9 <= row.bears[0] <= row.loaded[1] * 1.1  # the formula is a mean over many pins


def test_where_rods_are_held_at_one_end_a_disc_carries_more_than_the_formula_says():
    force = 4 * 3000.0 / (STORY.eccentricity * 19 * 20 * 2)
    uneven, even = (
        loads.corners(dataclasses.replace(MACHINE, output_support=support), 3000.0)[0].largest_pin_force
        for support in ("one end", "both ends")
    )
    assert even == pytest.approx(force, rel=0.05)  # twenty pins, not endlessly many
    assert 1.2 * force < uneven < 2 * force


def test_bearing_force_is_that_of_the_friction_room():
    borne, plain = capacity.strengths(MACHINE, 1.0), space.lengths(MACHINE)
    alone = dataclasses.replace(borne, **{other: 1e12 for other in capacity.PARTS if other != "bearing_force"})
    torque = float(np.max(capacity.torque(alone, plain, 1.0)))
    assert friction.mean_bearing_force(MACHINE, torque / 2) == pytest.approx(borne.bearing_force)


def test_what_is_not_known_bears_nothing():
    for changed in (
        {"eccentric_bearing": Bearing("of a toy", 10.0, 19.0, 5.0)},
        {"rod_material": "ABS"},
        {"disc_material": "ABS", "print_orientation": "upright"},
    ):
        assert capacity.of(dataclasses.replace(MACHINE, **changed), 1.0) == 0.0
    assert capacity.of(MACHINE, 1.0) > 1000.0


@settings(max_examples=20, deadline=None)
@given(st.floats(1, 5), st.sampled_from(["PLA", "PETG", "plain steel"]))
def test_more_safety_bears_less_and_at_most_is_no_less(safety, material):
    machine = dataclasses.replace(MACHINE, disc_material=material)
    one, more = capacity.of(machine, safety), capacity.of(machine, 1.1 * safety)
    assert more <= one / 1.1 * (1 + 1e-9)
    bound = float(capacity.at_most([capacity.strengths(machine, safety)], space.lengths(machine)))
    assert bound >= one


def test_many_are_weighed_as_one_is():
    plain = space.lengths(MACHINE)
    several = [capacity.strengths(dataclasses.replace(MACHINE, disc_material=name), 2.0) for name in ("PLA", "PETG")]
    kind = np.array([0, 1, 1, 0])
    found = capacity.torque(capacity.together(several, kind), plain, capacity.worst_contact(plain))
    alone = [capacity.of(dataclasses.replace(MACHINE, disc_material=name), 2.0) for name in ("PLA", "PETG")]
    assert found == pytest.approx(np.array(alone)[kind])
    pin = rods.ring_pin(MACHINE)
    assert (pin.span, *pin.start, *pin.end) == pytest.approx((25.4, 7.7, 13.7, 11.7, 17.7))
    assert several[0].pin_force == pytest.approx(
        400.0 / 2 / capacity._stress_of_one(3.0, 25.4, "both ends", (7.7, 13.7), (11.7, 17.7))
    )
