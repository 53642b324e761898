"""How the disc moves, and where it touches.

Sources
-------
Willis equation for a planetary train (any textbook of mechanisms, from memory):
(w_ring - w_crank)/(w_disc - w_crank) = (N - 1)/N; what it gives for each member held still: derived.
Common practice, no source: input and output turn opposite ways.
"""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import milled, motion, outline
from tests.geometry.drives import STORY, TWELVE, as_complex, farthest, sound_drives

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


# points of the disc, and several discs


@given(sound_drives(), cranks)
def test_contacts_are_where_the_disc_has_carried_its_outline(drive, crank):
    touch = motion.contacts(drive, crank)
    carried = motion.disc_points(drive, crank, outline.points(drive, touch.parameters))
    assert np.abs(carried - touch.points).max() < SMALL * drive.pin_circle_radius


@settings(max_examples=30)
@given(sound_drives(), cranks, st.integers(1, 5))
def test_every_disc_of_a_stack_fits_the_rollers(drive, crank, discs):
    tolerance = 1e-4 * drive.pin_circle_radius
    edge, pins = outline.polygon(drive, tolerance), shapely.points(motion.pins(drive))
    for centre, angle in zip(*motion.disc_poses(drive, crank, discs), strict=True):
        distances = shapely.distance(shapely.LineString(centre + motion.turned(edge, angle)), pins)
        # the polygon is as far off as that, and a little rounding
        assert np.abs(distances - drive.roller_radius).max() < 1.01 * tolerance
        assert np.hypot(*centre) == pytest.approx(drive.eccentricity, rel=1e-12)


@given(sound_drives(), cranks, st.integers(2, 5))
def test_the_discs_of_a_stack_are_evenly_round_and_balance_one_another(drive, crank, discs):
    centres = as_complex(motion.disc_poses(drive, crank, discs).centre)
    assert abs(centres.sum()) < 1e-12 * drive.pin_circle_radius  # rounding of the crank angles
    assert centres[0] == pytest.approx(as_complex(motion.disc_pose(drive, crank).centre), rel=1e-12)


def test_the_second_of_two_discs_sits_half_a_lobe_round():
    # derived; a lobe of the story's disc is 360/19 degrees
    assert np.degrees(motion.outline_offsets(STORY, 2)) == pytest.approx([0.0, -180 / 19], rel=1e-14)
    assert np.degrees(motion.outline_offsets(STORY, 3)) == pytest.approx([0.0, -120 / 19, -240 / 19], rel=1e-14)


@given(sound_drives(), cranks, st.integers(1, 5))
def test_the_discs_offsets_stay_while_all_turn_together(drive, crank, discs):
    angle = motion.disc_poses(drive, crank, discs).angle
    assert np.abs(angle - angle[0] - motion.outline_offsets(drive, discs)).max() < 1e-12  # rounding


@pytest.mark.parametrize("bad", [2.0, True, "2"])
def test_discs_are_counted(bad):
    with pytest.raises(TypeError, match="discs must be a whole number"):
        motion.phases(bad)


@pytest.mark.parametrize("bad", [0, -1, 13])
def test_no_discs_and_too_many_are_refused(bad):
    with pytest.raises(ValueError, match=f"discs is {bad}, but must be 1 to 12"):
        motion.disc_poses(STORY, 0.0, bad)


# by contact alone


ROUND = np.linspace(0, 2 * np.pi, 41)
DEEP = Drive(pins=12, pin_circle_radius=40.0, roller_radius=2.0, eccentricity=3.0)  # pins' centres come inside its tips


@pytest.mark.parametrize("drive", [STORY, TWELVE, DEEP], ids=["story", "twelve", "deep"])
def test_a_disc_that_takes_the_place_with_most_room_follows_the_law(drive):
    pose = motion.followed(drive, outline.polygon(drive, 1e-4), ROUND)
    # the polygon may cut off 1e-4 mm, over the longest lever e (N - 1): 17 to 33 mm
    assert pose.angle == pytest.approx(motion.disc_pose(drive, ROUND).angle, abs=1e-4 / 16)
    assert pose.centre == pytest.approx(motion.disc_pose(drive, ROUND).centre, abs=1e-12)


@pytest.mark.parametrize("lobes", [17, 18, 19, 20, 21])
def test_discs_with_other_numbers_of_lobes_find_their_rates_by_contact(lobes):
    pose = motion.followed(STORY, milled.edge(STORY, lobes, tolerance=1e-5), ROUND)
    assert pose.angle == pytest.approx(ROUND * (1 - 20 / lobes), abs=1e-5)  # rad: 1e-5 mm over levers of mm


def test_the_room_is_what_a_polygon_library_measures():
    edge, crank = outline.polygon(TWELVE, 1e-3), 0.4
    angle, room = motion.most_room(TWELVE, edge, crank)
    rooms = []
    for turn in (angle - 1e-3, angle, angle + 1e-3):
        disc = shapely.Polygon(motion.disc_pose(TWELVE, crank).centre + motion.turned(edge, np.float64(turn)))
        rooms.append(shapely.distance(disc, shapely.points(motion.pins(TWELVE))).min() - TWELVE.roller_radius)
    assert room == pytest.approx(rooms[1], abs=1e-9)
    assert max(rooms[0], rooms[2]) < rooms[1]


def test_a_disc_for_other_pins_finds_no_room():
    edge = outline.polygon(Drive(11, 40.0, 4.0, 1.5), 1e-3)
    assert motion.most_room(Drive(11, 40.0, 4.0, 1.5), edge, 0.3)[1] > -2e-3
    assert motion.most_room(Drive(12, 40.0, 4.0, 1.5), edge, 0.3)[1] < -1


@pytest.mark.parametrize("edge", [[[1.0, 0.0], [0.0, 1.0], [1.0, 0.0]], [1.0, 2.0]])
def test_a_disc_with_too_few_corners_is_refused(edge):
    with pytest.raises(ValueError, match="edge has the shape"):
        motion.most_room(STORY, edge, 0.0)
