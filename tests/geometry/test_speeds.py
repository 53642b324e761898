"""Speeds of disc points and contacts, against differentiated poses, Willis and published lever arms.

Sources
-------
Willis equation for a planetary train (R. Willis, Principles of Mechanism; from memory):
(w_ring - w_crank)/(w_disc - w_crank) = (N - 1)/N; what it gives for each member held still: derived.
Lever arm of pin i about the disc's centre, e (N - 1) sin(phi)/sqrt(1 + K^2 - 2 K cos(phi)), phi from the pitch
point's side: Wang Yukun et al., "Analysis of meshing characteristics of pins and pin housing integral structure in RV
reducer".
Roller turns per output turn and least pressure angle of the story's drive: derived, each by two methods.
Rollers that discs share: derived, and followed on the edge's corners with nothing but how a rigid body moves.
"""

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from cyclokit import Drive
from cyclokit.geometry import limits, motion, outline, speeds
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from tests.geometry.drives import STORY, as_complex, sound_drives

cranks = st.floats(-50.0, 50.0)
DEEP = Drive(pins=12, pin_circle_radius=40.0, roller_radius=6.0, eccentricity=3.0)  # sound; covers the pitch point
STEP = 1e-4  # rad of crank: a central difference is off by STEP^2/6 of the third derivative
# times Rp: the third derivative of a place on the disc is below 2 Rp, and rounding is 1e-16 of 50 N Rp over the step
FLAT = 1e-8


def differentiated(place, crank, step=STEP):
    """Central difference of a function of the crank angle, crank rate 1 rad/s."""
    return (place(crank + step) - place(crank - step)) / (2 * step)


# transmission


@pytest.mark.parametrize(
    ("row", "held", "driver", "driven", "ratio"),
    [
        (0, "ring", "crank", "disc", -1 / 19),
        (1, "disc", "crank", "ring", 1 / 20),
        (2, "crank", "ring", "disc", 20 / 19),
    ],
)
def test_the_storys_ratios_with_each_member_held(row, held, driver, driven, ratio):
    found = speeds.transmission(STORY)[row]
    assert (found.held, found.driver, found.driven) == (held, driver, driven)
    assert found.ratio == pytest.approx(ratio, rel=1e-15)  # whole numbers divided once


@given(sound_drives())
def test_every_row_of_the_table_satisfies_willis(drive):
    for row in speeds.transmission(drive):
        rates = {row.held: 0.0, row.driver: 1.0, row.driven: row.ratio}
        seen = {member: rates[member] - rates["crank"] for member in rates}
        # rounding of one difference
        assert seen["ring"] * drive.pins == pytest.approx(seen["disc"] * (drive.pins - 1), rel=1e-13)


@given(sound_drives())
def test_the_table_is_what_the_poses_do(drive):
    turned = float(motion.disc_pose(drive, 1.0).angle)
    seen = {"ring": 0.0, "crank": 1.0, "disc": turned}
    for row in speeds.transmission(drive):
        ratio = (seen[row.driven] - seen[row.held]) / (seen[row.driver] - seen[row.held])
        assert row.ratio == pytest.approx(ratio, rel=1e-11)  # the pose's angle is a difference of radii e N, e (N - 1)


# points of the disc


@given(sound_drives(), cranks, st.floats(-1, 1), st.floats(-1, 1))
def test_the_velocity_of_a_disc_point_is_how_its_place_changes(drive, crank, x, y):
    point = drive.pin_circle_radius * np.array([x, y])
    found = speeds.velocities(drive, crank, point)
    changed = differentiated(lambda angle: motion.disc_points(drive, angle, point), crank)
    assert np.abs(found - changed).max() < FLAT * drive.pin_circle_radius


def test_the_discs_centre_goes_round_as_fast_as_the_crank_carries_it():
    velocity = speeds.velocities(STORY, np.pi / 2, [0.0, 0.0])  # the crank points up, so it moves to the left
    assert velocity == pytest.approx([-1.4, 0.0], abs=1e-14)  # rounding


@given(sound_drives(), cranks)
def test_the_instant_centre_is_where_the_disc_stands_still(drive, crank):
    pose = motion.disc_pose(drive, crank)
    centre = speeds.instant_centre(drive, crank)
    on_disc = motion.turned(centre - pose.centre, -pose.angle)
    stands = differentiated(lambda angle: motion.disc_points(drive, angle, on_disc), crank)
    assert np.abs(stands).max() < FLAT * drive.pin_circle_radius


@given(sound_drives(), cranks)
def test_the_instant_centre_is_the_pitch_point_and_no_point_of_the_pin_circle(drive, crank):
    centre = speeds.instant_centre(drive, crank)
    # rounding of e N, and of the crank's multiples
    assert np.abs(centre - motion.pitch_point(drive, crank)).max() < 1e-12 * drive.pin_circle_radius
    assert np.hypot(*centre) < drive.pin_circle_radius


@pytest.mark.parametrize("shape", [(), (3,), (2, 3)])
@pytest.mark.parametrize("points", [(2,), (5, 2), (4, 5, 2)])
def test_any_shapes_of_crank_angles_and_points_go_together(shape, points):
    found = speeds.velocities(STORY, np.full(shape, 0.3), np.full(points, 7.0))
    assert found.shape == shape + points
    assert np.abs(found - speeds.velocities(STORY, 0.3, [7.0, 7.0])).max() < 1e-13  # rounding


@pytest.mark.parametrize("bad", [1.0, [1.0, 2.0, 3.0]])
def test_a_point_without_x_and_y_is_refused(bad):
    with pytest.raises(ValueError, match=r"points has the shape .* must be \(\.\.\., 2\)"):
        speeds.velocities(STORY, 0.0, bad)


# contacts


@given(sound_drives(), cranks)
def test_the_disc_slides_along_each_roller_and_never_into_it(drive, crank):
    # the point of the disc that is now the contact, followed as the disc moves on
    touch, pose = motion.contacts(drive, crank), motion.disc_pose(drive, crank)
    on_disc = motion.turned(touch.points - pose.centre, -pose.angle)
    velocity = as_complex(differentiated(lambda angle: motion.disc_points(drive, angle, on_disc), crank))
    seen = velocity * as_complex(touch.normals).conj()  # real part along the normal, imaginary along the tangent
    room = FLAT * drive.pin_circle_radius
    assert np.abs(seen.real).max() < room
    assert np.abs(seen.imag - speeds.contact_speeds(drive, crank).sliding).max() < room


@given(sound_drives(), cranks)
def test_the_contact_wanders_round_the_roller_and_along_the_disc(drive, crank):
    found = speeds.contact_speeds(drive, crank)
    touch = motion.contacts(drive, crank)
    # a normal whips round in about 1 - K of a pin pitch; the step must be small against that
    step = 1e-3 * (1 - drive.trochoid_ratio) / drive.pins
    normals, pose = as_complex(touch.normals), motion.disc_pose(drive, crank)

    round_roller = as_complex(differentiated(lambda angle: motion.contacts(drive, angle).points, crank, step))
    along_edge = as_complex(
        differentiated(lambda angle: outline.points(drive, motion.contacts(drive, angle).parameters), crank, step)
    )
    along_edge = along_edge * np.exp(1j * pose.angle)
    fastest = np.abs(found.along_roller).max() + np.abs(found.along_disc).max()
    # second order in a thousandth of the whip (1e-6, times a third derivative of some ten), and rounding over the step
    room = 1e-4 * fastest + 1e-13 * drive.pin_circle_radius / step
    assert np.abs((round_roller * normals.conj()).imag - found.along_roller).max() < room
    assert np.abs((along_edge * normals.conj()).imag - found.along_disc).max() < room


@given(sound_drives(), cranks)
def test_a_free_roller_moves_with_the_edge_that_it_touches(drive, crank):
    found, touch = speeds.contact_speeds(drive, crank), motion.contacts(drive, crank)
    arm = as_complex(touch.points - motion.pins(drive))
    surface = (1j * found.roller_rate * arm * as_complex(touch.normals).conj()).imag
    assert np.abs(surface - found.sliding).max() < 1e-11 * drive.pin_circle_radius  # rounding


def test_rollers_of_the_story_turn_against_the_disc_all_the_time():
    found = speeds.contact_speeds(STORY, np.linspace(0, 2 * np.pi, 200))
    assert (found.roller_rate > 0).all()
    assert speeds.disc_rate(STORY) < 0
    # least where the pitch point is nearest to a pin, Rp (1 - K) = 14 mm, less 5, by 1/19; farthest Rp (1 + K) = 70
    assert found.sliding.max() == pytest.approx(-9 / 19, rel=1e-12)  # crank 0 is one of the angles
    assert found.sliding.min() == pytest.approx(-65 / 19, rel=1e-12)  # pin 10 is opposite then


def test_a_roller_that_covers_the_pitch_point_turns_back_for_a_moment():
    assert limits.check(DEEP).sound
    rates = speeds.contact_speeds(DEEP, np.linspace(0, 2 * np.pi, 200)).roller_rate
    assert rates.min() < 0 < rates.max()


def test_the_storys_rollers_turn_eight_times_and_a_third_for_one_turn_of_the_output():
    assert speeds.roller_turns(STORY) == pytest.approx(8.362787, abs=5e-7)  # digits as given


@given(sound_drives())
def test_roller_turns_are_what_the_rates_add_up_to(drive):
    steps = 4096  # a lobe at a time the rate is periodic, so that the sum converges at once
    crank = 2 * np.pi * np.arange(steps) / steps
    rates = speeds.contact_speeds(drive, crank).roller_rate[:, 0]
    # the mean's error falls as K^steps for the sound drives' K below 0.95: rounding is left
    assert rates.mean() * drive.lobes == pytest.approx(speeds.roller_turns(drive), rel=1e-9)


def test_at_a_cusp_there_is_no_contact_to_speak_of():
    cusped = Drive(pins=20, pin_circle_radius=40.0, roller_radius=5.0, eccentricity=2.0)
    with pytest.raises(ValueError, match="crank contains an angle"):
        speeds.contact_speeds(cusped, [0.1, 0.0])
    assert np.isfinite(speeds.contact_speeds(cusped, 0.1).sliding).all()


@pytest.mark.parametrize("function", [speeds.instant_centre, speeds.contact_speeds, speeds.pressure_angles])
def test_a_crank_angle_that_is_none_is_refused(function):
    with pytest.raises(ValueError, match="crank contains nan"):
        function(STORY, float("nan"))


# rollers that discs share


CORNERS = outline.points(STORY, np.linspace(0, 2 * np.pi, 40_001))
NEAREST = cKDTree(CORNERS)


def nearest_corner(points):
    """The corner of the story's edge nearest to each point, as complex numbers."""
    return as_complex(CORNERS[NEAREST.query(np.stack([points.real, points.imag], axis=-1))[1]])


def followed(crank, discs):
    """Edge speeds and moments at the story's pins, from the corner of each disc's edge that is nearest to each pin.

    Only the law of the disc's turn and rigid bodies are used: no pitch point, no contact, no normal of an outline.
    """
    pins = 42.0 * np.exp(2j * np.pi * np.arange(20) / 20)
    edges, moments = np.empty((len(crank), discs, 20)), np.empty((len(crank), discs, 20))
    for row, angle in enumerate(crank):
        for disc in range(discs):
            ahead = angle + 2 * np.pi * disc / discs
            centre, turned = 1.4 * np.exp(1j * ahead), np.exp(-1j * ahead / 19)
            seen = (pins - centre) / turned
            places = centre + turned * nearest_corner(seen)
            velocity = 1j * centre - 1j / 19 * (places - centre)
            normal = (pins - places) / np.abs(pins - places)
            edges[row, disc] = (velocity * normal.conj()).imag
            moments[row, disc] = ((places - centre).conj() * -normal).imag  # of a push of 1 N about the disc's centre
    return edges, moments


TURN = 2 * np.pi * (np.arange(720) + 0.5) / 720  # half a degree off the angles at which a pin is on a line of centres


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_shared_rollers_are_asked_for_what_the_discs_corners_do(discs):
    edges, moments = followed(TURN, discs)
    found = speeds.shared_rollers(STORY, TURN, discs)
    # a corner is at most 3.4e-3 mm from the contact: second order in that over the roller, and 1/19 of it from turning
    assert np.abs(found.edges - edges).max() < 1e-3
    assert (found.pushing == (moments < 0)).all()  # the disc turns clockwise
    pushing = np.where(moments < 0, edges, np.nan)
    with warnings.catch_warnings(action="ignore"):  # of pins that nobody pushes
        slid = np.nan_to_num(np.nanmax(pushing, axis=1) - np.nanmin(pushing, axis=1))
    assert np.abs(found.sliding - slid).max() < 2e-3  # of two edges


def test_two_edges_pass_one_pin_at_different_speeds_and_never_push_it_both():
    edges, moments = followed(np.concatenate([[0.0], TURN]), 2)
    assert np.abs(edges[0, :, 0]) == pytest.approx([9 / 19, 65 / 19], abs=1e-3)  # 0.47 and 3.42 mm/s
    apart = np.abs(edges[1:, 0] - edges[1:, 1])
    assert apart.max() == pytest.approx(2.95, abs=5e-3)  # digits as given
    assert apart.mean() == pytest.approx(1.74, abs=5e-3)
    assert np.abs(edges[1:]).mean() == pytest.approx(2.20, abs=5e-3)  # on a bare pin
    assert ((moments[1:] < 0).sum(axis=1) == 1).all()  # one of the two, and one only


def test_of_three_discs_two_push_a_pin_half_of_the_time_and_slide_on_a_shared_roller():
    _, moments = followed(TURN, 3)
    together = (moments < 0).sum(axis=1)
    assert (together == 2).mean() == pytest.approx(0.5, abs=1 / 360)  # of the steps
    assert set(together.ravel()) == {1, 2}
    found = speeds.shared_rollers(STORY, TURN, 3).sliding
    # by the law of cosines: a pin at phi from the crank is D from the pitch point, and two cranks lie 120 degrees apart
    phi = np.linspace(2 * np.pi / 3, np.pi, 100_001)  # where the pin is on the pushed side of both
    reach = [np.sqrt(42**2 + 28**2 - 2 * 42 * 28 * np.cos(phi - ahead)) for ahead in (0, 2 * np.pi / 3)]
    apart = np.abs(reach[0] - reach[1]) / 19
    assert found.max() == pytest.approx(apart.max(), abs=1e-3)  # half a degree from the greatest
    assert apart.max() == pytest.approx(2.552, abs=5e-4)
    assert found[together == 2].mean() == pytest.approx(apart.mean(), abs=1e-3)
    assert apart.mean() == pytest.approx(2.290, abs=5e-4)
    assert found[together == 1].max() == 0


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_the_pins_that_push_are_those_that_bear_the_output(discs):
    # springs that can only push, with the output held back against the way the discs turn
    forces = sharing.ideal(Reducer(STORY, discs=discs), 1000.0, TURN).pin_force
    assert (speeds.shared_rollers(STORY, TURN, discs).pushing == (forces > 0)).all()


@given(sound_drives(), st.integers(1, 6), cranks)
def test_a_pin_pushes_discs_on_one_side_of_their_lines_of_centres_only(drive, discs, crank):
    found = speeds.shared_rollers(drive, crank, discs)
    ahead = crank + 2 * np.pi * np.arange(discs)[:, None] / discs
    side = np.sin(2 * np.pi * np.arange(drive.pins) / drive.pins - ahead)
    clear = np.abs(side) > 1e-6  # on the line itself nothing is borne
    # the pins that push lie counter-clockwise of the crank, as the published lever arms have it
    assert (found.pushing == (side > 0))[clear].all()
    if discs <= 2:
        assert (found.sliding == 0).all()


@given(sound_drives(), st.floats(0.5, 50.0), cranks, st.integers(1, 3))
def test_all_discs_ask_an_output_roller_for_the_same_rate(drive, radius, crank, discs):
    # the point of each hole's edge that touches the roller, followed as the disc moves on, seen from the plate
    def seen_from_plate(points, angle):
        pose = motion.disc_poses(drive, angle, discs)
        return pose.centre @ [1, 1j] + points * np.exp(1j * (pose.angle - motion.outline_offsets(drive, discs)))

    away = -np.exp(1j * (crank + 2 * np.pi * np.arange(discs) / discs))  # of the roller, where it touches each hole
    plate = motion.disc_pose(drive, crank).angle
    roller = drive.pin_circle_radius * np.exp(1j * plate)
    start = motion.disc_poses(drive, crank, discs).centre @ [1, 1j]
    points = (roller + radius * away - start) * np.exp(-1j * plate)  # of the discs, whose holes stand alike
    velocity = differentiated(lambda angle: seen_from_plate(points, angle), crank)
    carried = 1j * speeds.disc_rate(drive) * (roller + radius * away)  # where the plate itself would carry it
    rate = ((velocity - carried) / (1j * radius * away)).real
    expected = speeds.output_roller_rate(drive, radius)
    room = FLAT * drive.pin_circle_radius / radius
    assert np.abs(((velocity - carried) / away).real).max() < FLAT * (drive.pin_circle_radius + radius)  # not into it
    assert np.abs(rate - expected).max() < room + FLAT
    assert expected < 0


def test_the_storys_output_rollers_turn_once_in_three_and_a_half_crank_turns():
    # 1.4 mm of travel a radian at the rate 20/19, on rollers of 5 mm
    assert speeds.output_roller_rate(STORY, 5.0) == pytest.approx(-1.4 * 20 / 19 / 5, rel=1e-15)
    with pytest.raises(ValueError, match="output_roller_radius is 0"):
        speeds.output_roller_rate(STORY, 0)


# pressure angles


def lever_arms(drive, crank):
    """Lever arms of all pins about the disc's centre (Wang Yukun et al.), above zero where they push."""
    phi = 2 * np.pi * np.arange(drive.pins) / drive.pins - np.asarray(crank)[..., None]
    ratio = drive.trochoid_ratio
    return drive.eccentricity * drive.lobes * np.sin(phi) / np.sqrt(1 + ratio**2 - 2 * ratio * np.cos(phi))


@given(sound_drives(), cranks)
def test_the_pressure_angles_go_with_the_published_lever_arms(drive, crank):
    # a force at the distance rho from the centre has the lever arm rho cos(angle)
    touch = motion.contacts(drive, crank)
    distance = np.abs(as_complex(touch.points - motion.disc_pose(drive, crank).centre))
    found = distance * np.cos(speeds.pressure_angles(drive, crank))
    assert np.abs(found - lever_arms(drive, crank)).max() < 1e-10 * drive.pin_circle_radius  # rounding of the crank


def test_half_of_the_storys_pins_can_push():
    pushing = speeds.pressure_angles(STORY, np.linspace(0.01, 0.3, 30)) < np.pi / 2
    assert (pushing.sum(axis=-1) == 10).all()  # no pin stands on the line of centres at these angles
    assert (speeds.pressure_angles(STORY, 0.0) < np.pi / 2 - 1e-9).sum() == 9  # pins 0 and 10 do at crank 0


def test_the_storys_least_pressure_angle_on_its_pins():
    least = speeds.pressure_angles(STORY, np.linspace(0, 2 * np.pi, 20_000)).min()
    assert np.degrees(least) == pytest.approx(44.66, abs=0.005)  # digits as given


@given(sound_drives())
def test_no_pin_ever_has_less_than_the_least_pressure_angle(drive):
    numbers = drive.pins, drive.pin_circle_radius, drive.roller_radius, drive.eccentricity
    least = limits.least_pressure_angle(*numbers)
    assert speeds.pressure_angles(drive, np.linspace(0, 1, 400)).min() > least - 1e-7  # rounding where it is near 0
