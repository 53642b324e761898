"""How the disc moves, and where it touches.

Sources
-------
Willis equation for a planetary train (any textbook of mechanisms, from memory):
(w_ring - w_crank)/(w_disc - w_crank) = (N - 1)/N; what it gives for each member held still: derived.
Common practice, no source: input and output turn opposite ways.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.geometry import motion, outline
from tests.geometry.drives import STORY, as_complex, farthest, sound_drives

cranks = st.floats(-50.0, 50.0)
SMALL = 1e-11  # times Rp: rounding of the crank's multiples


def test_at_crank_zero_a_root_lies_against_pin_zero():
    centre, angle = motion.disc_pose(STORY, 0.0)
    assert (tuple(centre), float(angle)) == ((1.4, 0.0), 0.0)
    assert motion.contacts(STORY, 0.0).points[0] == pytest.approx([42.0 - 5.0, 0.0], abs=1e-13)


@given(sound_drives(), cranks)
def test_the_disc_turns_against_the_crank_by_one_lobe_a_turn(drive, crank):
    assert motion.disc_pose(drive, crank).angle == pytest.approx(-crank / (drive.pins - 1), rel=1e-12)


def test_input_and_output_turn_opposite_ways():
    # common practice, no source
    assert motion.disc_pose(STORY, 0.1).angle < 0 < motion.disc_pose(STORY, -0.1).angle


def speeds(drive, held):
    """Speeds of the three members, per crank turn with the ring held, seen by somebody who holds one of them."""
    seen = {"ring": 0.0, "crank": 1.0, "disc": float(motion.disc_pose(drive, 1.0).angle)}
    return {member: speed - seen[held] for member, speed in seen.items()}


@given(sound_drives())
def test_the_willis_equation_holds(drive):
    seen = speeds(drive, "crank")
    assert seen["ring"] / seen["disc"] == pytest.approx((drive.pins - 1) / drive.pins, rel=1e-13)


@pytest.mark.parametrize(
    ("held", "driven", "driver", "ratio"),
    [("ring", "disc", "crank", -1 / 19), ("disc", "ring", "crank", 1 / 20), ("crank", "disc", "ring", 20 / 19)],
)
def test_the_storys_ratios_with_each_member_held(held, driven, driver, ratio):
    seen = speeds(STORY, held)
    assert seen[driven] / seen[driver] == pytest.approx(ratio, rel=1e-13)


def test_the_pitch_circles_roll_without_slip():
    # brute force: turn the disc about its contact with the ring's pitch circle, sliver by sliver
    e, n, slivers = STORY.eccentricity, STORY.pins, 20_000
    step = 2 * np.pi / slivers
    centre, angle = e + 0j, 0.0
    for k in range(slivers):
        hinge = e * n * np.exp(1j * step * (k + 0.5))
        turn = -e * step / (e * n - e)  # the centre, e (N - 1) from the hinge, travels e times the step
        centre, angle = hinge + (centre - hinge) * np.exp(1j * turn), angle + turn
    assert centre == pytest.approx(as_complex(motion.disc_pose(STORY, 2 * np.pi).centre), abs=1e-6)  # step squared
    assert angle == pytest.approx(float(motion.disc_pose(STORY, 2 * np.pi).angle), rel=1e-10)


@given(sound_drives(), cranks)
def test_every_pin_is_touched_at_one_roller_radius_along_the_normal(drive, crank):
    touch = motion.contacts(drive, crank)
    outwards = motion.pins(drive) - touch.points
    assert np.abs(outwards - drive.roller_radius * touch.normals).max() < SMALL * drive.pin_circle_radius


@given(sound_drives(), cranks)
def test_every_contact_normal_passes_through_the_pitch_point(drive, crank):
    touch = motion.contacts(drive, crank)
    towards = as_complex(motion.pitch_point(drive, crank) - touch.points)
    aside = (as_complex(touch.normals).conj() * towards).imag
    assert np.abs(aside).max() < SMALL * drive.pin_circle_radius


@given(sound_drives(), cranks)
def test_the_contacts_are_points_of_the_disc(drive, crank):
    pose, touch = motion.disc_pose(drive, crank), motion.contacts(drive, crank)
    seen_from_disc = motion.turned(touch.points - pose.centre, -pose.angle)
    tolerance = 1e-5 * drive.pin_circle_radius
    assert farthest(seen_from_disc, outline.polygon(drive, tolerance)) <= tolerance * (1 + 1e-4)  # rounding


@given(sound_drives(), cranks, st.sampled_from([-1, 1]))
def test_at_no_other_angle_does_the_disc_fit(drive, crank, way):
    # Turned a little from its place, the disc pushes some of its contact points into their rollers: as far as
    # the turn times their lever arm, which for one of any three pins is e (N - 1)/4 or more. So little a turn
    # carries no contact point round its roller: that would be second order.
    pose, touch = motion.disc_pose(drive, crank), motion.contacts(drive, crank)
    more = 1e-3 * drive.trochoid_ratio * drive.roller_radius / drive.pin_circle_radius
    pushed = pose.centre + motion.turned(touch.points - pose.centre, np.float64(way * more))
    depth = drive.roller_radius - np.abs(as_complex(motion.pins(drive) - pushed))
    assert depth.max() > 0.9 * more * drive.eccentricity * drive.lobes / 4


@given(sound_drives(), cranks)
def test_the_turned_disc_enters_no_roller(drive, crank):
    pose = motion.disc_pose(drive, crank)
    edge = outline.points(drive, np.linspace(0, 2 * np.pi, 100 * drive.lobes))
    placed = as_complex(pose.centre + motion.turned(edge, pose.angle))
    nearest = np.abs(as_complex(motion.pins(drive))[:, None] - placed).min(axis=1)
    assert (nearest > drive.roller_radius - SMALL * drive.pin_circle_radius).all()


@pytest.mark.parametrize("shape", [(), (5,), (2, 3)])
def test_results_keep_the_shape_of_the_crank(shape):
    crank = np.full(shape, 0.4)
    assert motion.disc_pose(STORY, crank).centre.shape == (*shape, 2)
    assert motion.disc_pose(STORY, crank).angle.shape == shape
    assert motion.contacts(STORY, crank).points.shape == (*shape, 20, 2)
    assert motion.contacts(STORY, crank).parameters.shape == (*shape, 20)
    assert motion.pitch_point(STORY, crank).shape == (*shape, 2)


@pytest.mark.parametrize("function", [motion.disc_pose, motion.contacts, motion.pitch_point])
def test_a_crank_angle_that_is_none_is_refused(function):
    with pytest.raises(ValueError, match="crank contains nan"):
        function(STORY, float("nan"))
    with pytest.raises(TypeError, match="crank must be real numbers"):
        function(STORY, "90")
