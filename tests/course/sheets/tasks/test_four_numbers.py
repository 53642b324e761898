"""Sheet 5 held against what is printed elsewhere and against curves that are only looked at.

- Least convex radius: Wang, Luo, Su, "Multi-objective optimization...", Mechanism and Machine Theory 102 (2016)
  135-148, eq. 12. The tip's branch, (1 + K)^2, and the root: derived, held against finite differences of the path.
- The drives Rp 40, e 1.5, 12 pins and Rp 100, e 1, 40 pins, with their least and root radii (the project's check
  values, brute force).
- Whether four numbers make a drive: tests/geometry/judge.py, which only looks at a sampled outline.
"""

import math

import numpy as np
import pytest

from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import four_numbers as sheet
from cyclokit.drive import Drive
from tests.geometry import judge

READERS = [f"reader {number}" for number in range(60)]
STEP = 1e-4  # rad over N: central differences are then off by about 1e-8, and rounding by about the same


def _curvatures(pins, circle, eccentricity, t):
    """Curvature of the centre path [1/mm], outward bends above zero, by finite differences alone."""

    def path(t):
        return circle * np.exp(1j * t) - eccentricity * np.exp(1j * pins * t)

    step = STEP / pins
    first = (path(t + step) - path(t - step)) / (2 * step)
    second = (path(t + step) - 2 * path(t) + path(t - step)) / step**2
    return (first.conj() * second).imag / np.abs(first) ** 3


def _least(pins, circle, eccentricity):
    half_a_lobe = np.linspace(0, np.pi / (pins - 1), 20_001)
    return 1 / _curvatures(pins, circle, eccentricity, half_a_lobe).max()


def test_the_edges_tightest_bend_is_what_looking_finds():
    for word in READERS:
        given = numbers_of(sheet.Edge(), word)
        numbers = given.pins, given.circle_mm, given.eccentricity_mm
        found = _least(*numbers) - given.roller_mm
        assert sheet.Edge().question(given).right == pytest.approx(
            found, rel=1e-4
        )  # second differences, far below the tolerance


@pytest.mark.parametrize(
    ("pins", "circle", "eccentricity", "least", "root"),
    [(12, 40.0, 1.5, 13.133744, 2.75), (40, 100.0, 1.0, 11.529412, 2.4)],
)
def test_the_published_drives_have_their_bends(pins, circle, eccentricity, least, root):
    asked = sheet.Edge().question(Given(pins=pins, circle_mm=circle, eccentricity_mm=eccentricity, roller_mm=2.0))
    assert asked.right == pytest.approx(least - 2.0, abs=1e-6)  # printed digits
    assert sheet.Program().question(Given(pins=pins, circle_mm=circle)).right(eccentricity) == pytest.approx(
        least, abs=1e-6
    )
    drive = Drive(pins, circle, 2.0, eccentricity)
    assert sheet.Cutter().question(Given(drive=drive)).right == pytest.approx(2 * (root + 2.0), abs=1e-6)


def test_half_of_the_readers_need_each_branch():
    ratios = [
        (given.pins, given.eccentricity_mm * given.pins / given.circle_mm)
        for given in (numbers_of(sheet.Edge(), word) for word in READERS)
    ]
    flank = sum(ratio > (pins - 2) / (2 * pins - 1) for pins, ratio in ratios)  # Wang, Luo, Su 2016
    assert 15 < flank < 45


@pytest.mark.parametrize(("pins", "tenths"), [(8, -8), (20, -5), (40, -1)])
def test_a_bend_on_the_way_is_that_of_finite_differences(pins, tenths):
    right = sheet.Bend().question(Given(pins=pins, tenths=tenths)).right
    values = {"R_p": 50.0, "e": 0.7, "r": 3.0}
    found = float(right.subs({symbol: values[symbol.name] for symbol in right.free_symbols}))
    there = math.acos(tenths / 10) / (pins - 1)
    assert found == pytest.approx(1 / _curvatures(pins, 50.0, 0.7, there) - 3.0, rel=1e-5)  # second differences


def test_the_program_finds_what_looking_finds_for_every_input_that_is_tried():
    for word in READERS[:20]:
        question = sheet.Program().question(given := numbers_of(sheet.Program(), word))
        for (eccentricity,) in question.tries:
            found = _least(given.pins, given.circle_mm, eccentricity)
            assert question.right(eccentricity) == pytest.approx(found, rel=1e-4)  # second differences


def test_the_judge_who_only_looks_sees_the_same_reason():
    for word in READERS:
        given = numbers_of(sheet.Forbidden(), word)
        numbers = given.pins, given.circle_mm, given.roller_mm, given.eccentricity_mm
        seen = set(judge.faults(*numbers))
        needle = set(judge.faults(given.pins, given.circle_mm, 1e-6, given.eccentricity_mm))  # only loops are left
        right = sheet.Forbidden().question(given).right
        assert (right == sheet.LOOPS) == bool(needle)
        assert (right == sheet.OVERLAP) == (judge.OVERLAP in seen)
        assert (right == sheet.SOUND) == (not seen)
        assert (right == sheet.UNDERCUT) == (judge.BACKWARDS in seen and not needle)


def test_the_rule_of_thumb_is_kept_and_broken_by_sound_drives_and_by_others():
    drawn = [numbers_of(sheet.Forbidden(), f"reader {number}") for number in range(400)]
    told = {(sheet._forbidden_right(given), given.eccentricity_mm < given.roller_mm) for given in drawn}
    assert {(sheet.SOUND, True), (sheet.SOUND, False), (sheet.UNDERCUT, True)} <= told


def test_the_cutter_is_as_wide_as_the_edge_bends_in_a_root():
    for word in READERS:
        drive = numbers_of(sheet.Cutter(), word).drive
        path = -1 / _curvatures(drive.pins, drive.pin_circle_radius, drive.eccentricity, 0.0)
        assert path > 0
        assert sheet.Cutter().question(Given(drive=drive)).right == pytest.approx(
            2 * (path + drive.roller_radius), rel=1e-6
        )  # second differences


def test_a_root_is_nowhere_tighter_than_in_its_middle():
    for word in READERS:
        drive = numbers_of(sheet.Cutter(), word).drive
        t = np.linspace(0, np.pi / drive.lobes, 2001)
        hollow = -_curvatures(drive.pins, drive.pin_circle_radius, drive.eccentricity, t)
        assert hollow.max() == pytest.approx(hollow[0], rel=1e-6)  # second differences


def test_the_whole_of_the_greatest_eccentricity_is_where_looking_says_soundness_ends():
    for word in READERS:
        given = numbers_of(sheet.Drawer(), word)
        most = sheet.Drawer().question(given).right / (given.percent / 100)
        numbers = given.crank_turns + 1, given.diameter_mm / 2, given.roller_diameter_mm / 2
        assert judge.is_sound(*numbers, most * 0.999)
        assert not judge.is_sound(*numbers, most * 1.001)
