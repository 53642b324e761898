"""Sheet 4 held against what is printed elsewhere and against differentiated poses.

- Gear trains: R. Willis, Principles of Mechanism, 1841 (from memory): (w_ring - w_crank)/(w_disc - w_crank) is
  (N - 1)/N.
- Velocity as the derivative of a place: numerical differentiation of where pins and marks are seen.
- Perimeter of the story's disc 262.724697 mm and its roller turns 8.362787: derived, two methods (the project's
  check values).
- Normals: by what a polygon library calls nearest, `shapely`, Shapely 2, GEOS.
"""

import math

import numpy as np
import pytest
import shapely

from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import how_the_motion_goes as sheet
from cyclokit.drive import Drive
from cyclokit.geometry import limits, motion, outline

READERS = [f"reader {number}" for number in range(60)]
STEP = 1e-5  # rad of crank: a central difference is off by its square, and by rounding of 1e-16 of a place over it


def test_ring_and_disc_keep_willis_proportion_seen_from_the_crank():
    for word in READERS:
        given = numbers_of(sheet.Both(), word)
        ring, crank, disc = given.ring_rpm, given.crank_rpm, sheet.Both().question(given).right
        # rounding
        assert (ring - crank) / (disc - crank) == pytest.approx((given.pins - 1) / given.pins, rel=1e-12)


def _mark(eccentricity, pins, mark, crank):
    """Where a mark of the disc is, as a complex number: carried round, and turned back by Willis' rate."""
    return eccentricity * np.exp(1j * crank) + mark * np.exp(-1j * crank / (pins - 1))


def test_the_marks_velocity_is_how_its_place_changes():
    for word in READERS[:20]:
        given = numbers_of(sheet.Witness(), word)
        mark = complex(given.mark_x_mm, given.mark_y_mm)
        for crank in (0.8, -1.3, 33.3):
            ahead, behind = (_mark(given.eccentricity_mm, given.pins, mark, crank + way * STEP) for way in (1, -1))
            found = complex(*sheet.Witness().question(given).right(crank))
            assert abs(found - (ahead - behind) / (2 * STEP)) < 1e-7  # mm/s: rounding of 60 mm over the step


@pytest.mark.parametrize(("pins", "crank_rate"), [(9, 2), (20, 5), (32, 9)])
def test_a_rollers_rim_is_as_fast_as_the_edge_that_a_mark_at_the_contact_has(pins, crank_rate):
    drive = Drive(pins, 42.0, 2.0, 0.6)
    right = sheet.Rate().question(Given(pins=pins, crank_rate=crank_rate)).right
    for crank in (0.3, 1.1, 2.8):  # pin 0 stands on +x, so that this is its angle from the crank too
        contact = motion.contacts(drive, -crank).points[0] @ [1, 1j]
        normal = motion.contacts(drive, -crank).normals[0] @ [1, 1j]
        centre, turned = drive.eccentricity * np.exp(-1j * crank), np.exp(1j * crank / (pins - 1))
        mark = (contact - centre) / turned
        ahead, behind = (_mark(drive.eccentricity, pins, mark, -crank + way * STEP) for way in (1, -1))
        edge = crank_rate * (ahead - behind) / (2 * STEP)
        values = {"R_p": 42.0, "e": 0.6, "r": 2.0, "phi": crank}
        rate = float(right.subs({symbol: values[symbol.name] for symbol in right.free_symbols}))
        rim = 1j * rate * (-drive.roller_radius * normal)  # a roller turns about its pin
        assert abs(rim - edge) < 1e-6  # mm/s: rounding of 40 mm over the step, times the rate


def test_the_storys_rollers_turn_as_often_as_the_check_values_say():
    for crank_turns in (19, 190):
        asked = sheet.Worn().question(Given(pins=20, edge_mm=262.724697, diameter_mm=10.0, crank_turns=crank_turns))
        assert asked.right == pytest.approx(8.362787 * crank_turns / 19, rel=1e-7)  # printed digits


def test_an_edge_is_as_long_as_a_polygon_librarys():
    for word in READERS[:20]:
        given = numbers_of(sheet.Worn(), word)
        drives = [Drive(given.pins, 40.0, given.diameter_mm / 2, 0.5), Drive(20, 42.0, 5.0, 1.4)]
        for drive in drives:
            ring = shapely.LinearRing(outline.points(drive, np.linspace(0, 2 * np.pi, 40_000)[:-1]))
            right = (
                sheet.Worn()
                .question(
                    Given(
                        pins=drive.pins,
                        edge_mm=ring.length,
                        diameter_mm=2 * drive.roller_radius,
                        crank_turns=drive.pins - 1,
                    )
                )
                .right
            )
            assert right == pytest.approx(ring.length / (2 * math.pi * drive.roller_radius), rel=1e-12)  # rounding


def _meeting(drive):
    """How far from the ring's centre the lines meet on which pins and their nearest points of the edge lie."""
    edge = np.add(outline.polygon(drive, 1e-4), [drive.eccentricity, 0.0])  # crank 0: carried along x
    disc = shapely.LinearRing(edge)
    pins = motion.pins(drive)[1:4]
    feet = [shapely.line_interpolate_point(disc, disc.project(shapely.Point(pin))) for pin in pins]
    across = [np.array([foot.x, foot.y]) - pin for foot, pin in zip(feet, pins, strict=True)]
    return float(np.mean([pin[0] - way[0] * pin[1] / way[1] for pin, way in zip(pins, across, strict=True)]))


@pytest.mark.parametrize("change", sorted(sheet.CHANGES))
def test_the_point_where_normals_meet_moves_as_nearest_points_say(change):
    drive = Drive(16, 42.0, 4.0, 1.4)
    farther = _meeting(sheet._changed(drive, change)) - _meeting(drive)
    found = "b" if abs(farther) < 0.3 else "c" if farther > 0 else "a"  # mm: a chord of 1e-4 tilts by a percent
    assert sheet.Meeting().question(Given(drive=drive, change=change)).right == found


def test_both_drives_of_the_comparison_are_sound():
    for word in READERS:
        given = numbers_of(sheet.Meeting(), word)
        assert limits.check(given.drive).sound
        assert limits.check(sheet._changed(given.drive, given.change)).sound


def test_the_ordered_drive_turns_as_asked_and_has_the_pitch_circle_asked_for():
    for word in READERS:
        given = numbers_of(sheet.Order(), word)
        circle = given.diameter_mm / 2
        pins = round(given.percent / 100 * circle / sheet.Order().question(given).right)  # N = K Rp/e
        against = given.way == "against the crank"
        # Willis: with the ring held the disc makes 1 - N/(N - 1) turns, with the disc held the ring 1 - (N - 1)/N
        turns = 1 - pins / (pins - 1) if against else 1 - (pins - 1) / pins
        assert 1 / turns == pytest.approx((-1 if against else 1) * given.crank_turns, rel=1e-9)  # rounding
        assert sheet.Order().question(given).right * pins / circle == pytest.approx(
            given.percent / 100, rel=1e-12
        )  # rounding
