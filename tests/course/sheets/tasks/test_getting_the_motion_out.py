"""Sheet 6 held against what is printed elsewhere, polygons, sums of forces and brute force.

- Output holes: common practice, no source: 13 mm rollers at 1.5 mm eccentricity take holes 3 mm wider.
- Balance quality: ISO 21940-11, G = e_per x omega; 10 kg at 3000 rpm and G 2.5 give 79.577 g mm.
- Gear trains: R. Willis, Principles of Mechanism, 1841 (from memory): speeds seen from the arm keep their proportion.
- A mass m on a circle of radius R at the rate w pulls with m R w^2; moments are cross products: any mechanics handbook.
- Two discs at 180 degrees are the same part, turned round, exactly when Zw has more factors of 2 than Zc, and turned
  over with the holes a quarter lobe pitch from a tip: derived, held against brute force here.
- Distances between shapes: Shapely, a general-purpose geometry library.
"""

from fractions import Fraction

import numpy as np
import pytest
from shapely import Point

from cyclokit.course.answers.outcomes import LOOK_AGAIN, judge
from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import getting_the_motion_out as sheet

READERS = [f"reader {number}" for number in range(60)]


# a. A hole to cut


def test_common_practices_hole_is_right_without_its_clearance():
    assert sheet.Hole().question(
        Given(roller_across_mm=13.0, eccentricity_mm=1.5, clearance_mm=0.0)
    ).right - 13.0 == pytest.approx(3.0)


def test_a_roller_in_the_hole_has_just_its_clearance_at_every_crank_angle():
    for word in READERS:
        given = numbers_of(sheet.Hole(), word)
        radius, roller = sheet.Hole().question(given).right / 2, given.roller_across_mm / 2
        for crank in np.linspace(0, 2 * np.pi, 12):
            centre = given.eccentricity_mm * np.array([np.cos(crank), np.sin(crank)])
            edge = Point(*centre).buffer(radius, quad_segs=400).exterior
            # mm: a polygon of 4 x 400 corners lies up to 3e-5 inside a circle of 14 mm
            assert edge.distance(Point(0, 0)) - roller == pytest.approx(given.clearance_mm, abs=1e-4)


# b. Where a hole is


def test_the_hole_turns_with_the_output_and_runs_round_its_roller_opposite_the_first_disc():
    for word in READERS[:30]:
        given = numbers_of(sheet.Place(), word)
        right = sheet.Place().question(given).right
        output = 1 - given.pins / (given.pins - 1)  # Willis, ring held: what the disc turns for one of the crank
        first = given.circle_mm * np.exp(2j * np.pi * given.hole / given.rollers)
        for crank in (0.0, 0.8, -1.3, 17.3):
            roller = first * np.exp(1j * output * crank)
            found = complex(*right(crank)) - roller
            assert found == pytest.approx(-given.eccentricity_mm * np.exp(1j * crank), abs=1e-9)  # mm: rounding


# c. What rocks the housing


@pytest.mark.parametrize("discs", [2, 3])
@pytest.mark.parametrize("percent", [5, 38, 60])
def test_the_moment_is_the_sum_of_places_cross_forces(discs, percent):
    m, e, b, g, w = 0.02, 1.4, 5.0, 1.0, 62.8
    place = {"m": m, "e": e, "b": b, "g": g, "w": w}
    right = sheet.Rocks().question(Given(discs=discs, percent=percent)).right
    found = float(right.subs({symbol: place[symbol.name] for symbol in right.free_symbols}))
    about, total = np.zeros(3), np.zeros(3)
    for k in range(discs):
        way = 2 * np.pi * k / discs
        force = (1 + percent / 100) * m * e * w**2 * np.array([np.cos(way), np.sin(way), 0.0])
        about += np.cross([0.0, 0.0, 7.0 + k * (b + g)], force)  # from any point of the shaft: the forces sum to nought
        total += force
    assert np.abs(total).max() < 1e-9
    assert found == pytest.approx(np.linalg.norm(about), rel=1e-12)


def test_a_wrong_term_is_seen_however_small_it_is_where_the_moment_is_large():
    for word in READERS[:30]:
        question = sheet.Rocks().question(numbers_of(sheet.Rocks(), word))
        symbols = {symbol.name: symbol for symbol in question.right.free_symbols}
        m, w = symbols["m"], symbols["w"]
        for wrong in (question.right + m, question.right * (1 + 1 / w**3), question.right + m * w):
            assert judge(question, wrong).outcome == LOOK_AGAIN


# d. A counterweight for one disc


def test_with_the_counterweight_the_rotor_just_meets_its_grade():
    for word in READERS:
        given = numbers_of(sheet.Weight(), word)
        added = sheet.Weight().question(given).right
        assert added > 0
        moment = (given.both_g / 2 + given.bearing_g) * given.eccentricity_mm - added * given.radius_mm
        # ISO 21940-11: from its printed example, scaled with grade and mass, and against the rate
        allowed = 79.577 * (given.grade / 2.5) * (given.turning_g / 10_000) / (given.turns_per_minute / 3000)
        assert moment == pytest.approx(allowed, rel=1e-5)  # the digits that are printed


# e. Taken apart


def test_the_ring_has_the_pins_with_which_the_second_disc_sits_so_far_round():
    for word in READERS:
        given = numbers_of(sheet.Apart(), word)
        pins = sheet.Apart().question(given).right
        lobes = pins - 1
        turned = 360 / given.discs * (1 - pins / lobes)  # Willis: the disc after that share of a crank turn
        pitch = 360 / lobes
        smallest = min(abs(turned - k * pitch) for k in range(-2, 3))
        assert smallest == pytest.approx(given.degrees, abs=1e-4)  # degrees: four decimals


# f. One file or two


def _serves(lobes, rollers, phase, over):
    """Whether the first disc lies on the second one's place in some way: whole sets of roots and holes, in turns."""
    sign = -1 if over else 1
    roots = {Fraction(k, lobes) for k in range(lobes)}
    holes = {(phase / lobes + Fraction(k, rollers)) % 1 for k in range(rollers)}
    wanted = {(root - Fraction(1, 2 * lobes)) % 1 for root in roots}
    for hole in holes:
        turn = hole - sign * phase / lobes  # hole 0 of the part comes there
        laid = [{(sign * way + turn) % 1 for way in ways} for ways in (roots, holes)]
        if laid == [wanted, holes]:
            return True
    return False


@pytest.mark.parametrize("phase", sheet.PLACES)
def test_the_letter_is_what_laying_roots_and_holes_on_one_another_says(phase):
    for lobes in range(5, 25):
        for rollers in range(3, 13):
            right = sheet._file_right(lobes + 1, rollers, sheet.PLACES[phase])
            ways = [_serves(lobes, rollers, phase, over) for over in (False, True)]
            assert right == ("a" if ways[0] else "b" if ways[1] else "c")


def test_each_letter_is_right_for_about_a_third_of_readers():
    letters = [
        sheet.File().question(numbers_of(sheet.File(), f"{word} {k}")).right for word in READERS for k in range(5)
    ]
    for letter in "abc":
        assert 0.2 < letters.count(letter) / len(letters) < 0.47  # a third, and five standard deviations of 300
