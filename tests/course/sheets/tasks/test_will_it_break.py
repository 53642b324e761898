"""Sheet 8 held against what is printed elsewhere, sums over little squares and slices, and a cycle played through.

- Second moments, bending stress E M y/sum(E I), moments of beams: J. M. Gere, Mechanics of Materials.
- Cored pin, plastic tube 8/4 at 3.5 GPa on a 4 mm steel core at 208 GPa: sum of E I 3 273 539.545 N mm^2; supported,
  two loads of 50 N 10 from each end of 30: 0.01463757 mm in the middle: derived, formula and unit-load integral agree.
- Pressure of two cylinders of 40 mm, 20 mm long, 24.1 kN, 200 GPa, 0.29: A. P. Boresi and R. J. Schmidt, Advanced
  Mechanics of Materials, 6th ed., p. 621 prints 1445 MPa; recomputed 1447.037, a half-plane solver gives 1447.035.
- Story's drive: the worst pressure is 1.4976 times that at the most loaded pin: derived, two methods.
- Bearing life: SKF general catalogue, 6309, C 55.3 kN, P 10 kN, 3000 rpm: 940 h (ISO 281); recomputed 939.5.
- Used-up shares of life add up: ISO 281, for loads that vary (from memory).
- Power in is power out without losses; gear trains: R. Willis, Principles of Mechanism, 1841 (from memory).
"""

import itertools
import math

import numpy as np
import pytest

from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import will_it_break as sheet
from cyclokit.drive import Drive
from cyclokit.geometry import outline

READERS = [f"reader {number}" for number in range(40)]


def _squares(weight, side=0.01):
    """Integral of weight(distance) y^2 over the plane, by little squares, for what lies within 6 mm."""
    grid = np.arange(-6 + side / 2, 6, side)
    x, y = np.meshgrid(grid, grid)
    return float((weight(np.hypot(x, y)) * y**2).sum() * side**2)


def _midway(stiffness, span, force):
    """Deflection in the middle of a supported beam loaded there, by the unit load method in slices [mm]."""
    place = (np.arange(20_000) + 0.5) * span / 20_000
    unit = np.minimum(place, span - place) / 2
    return force * float((unit**2).sum()) * span / 20_000 / stiffness


# a. A core in a printed pin


def test_the_pin_whose_stiffness_is_known_gives_way_as_that_says():
    given = Given(pin_mm=8.0, core_mm=4.0, plastic_gpa=3.5, span_mm=30.0, force_n=50.0)
    right = sheet.Cored().question(given).right
    assert right == pytest.approx(1000 * _midway(3_273_539.545, 30.0, 50.0), rel=1e-8)  # of the slices, and the digits
    # of two loads 10 mm from each end the middle gives way by 0.01463757 mm: each does 23/27 of one midway (Gere)
    assert right / 1000 * 2 * 23 / 27 == pytest.approx(0.01463757, rel=1e-6)


def test_a_readers_pin_gives_way_as_squares_and_slices_say():
    for word in READERS[:6]:
        given = numbers_of(sheet.Cored(), word)

        def modulus(distance, given=given):
            inside = np.where(distance < given.core_mm / 2, 208e3, 1000 * given.plastic_gpa)
            return np.where(distance < given.pin_mm / 2, inside, 0.0)

        found = 1000 * _midway(_squares(modulus), given.span_mm, given.force_n)
        assert sheet.Cored().question(given).right == pytest.approx(found, rel=2e-3)  # of squares at a round edge


# b. A bored pin, off the middle


def test_the_greatest_stress_is_that_of_cutting_the_pin_everywhere():
    for word in READERS[:6]:
        given = numbers_of(sheet.Stress(), word)
        force, span, thick = 50.0, 24.0, 7.0
        at = given.place_percent / 100 * span
        place = np.linspace(0, span, 24_001)
        first = force * (span - at) / span  # push of the first plate: moments about the second
        moment = first * place - force * np.maximum(place - at, 0)
        bore = given.bore_percent / 100 * thick / 2
        second = _squares(lambda distance, bore=bore: ((distance < 3.5) & (distance > bore)).astype(float))
        right = sheet.Stress().question(given).right
        sizes = {"F": force, "L": span, "d": thick}
        found = float(right.subs({symbol: sizes[symbol.name] for symbol in right.free_symbols}))
        assert found == pytest.approx(moment.max() * 3.5 / second, rel=3e-3)  # of squares at round edges


# c. Pressed along the flank


def _bend(drive, phi, step=1e-4):
    """Curvature of the disc's edge, above zero where it bulges: the circle through three of its points."""
    t = phi / drive.lobes + np.array([-step, 0.0, step])
    before, here, after = outline.points(drive, t)
    one, other = here - before, after - here
    cross = one[0] * other[1] - one[1] * other[0]
    return 2 * cross / (np.hypot(*one) * np.hypot(*other) * np.hypot(*(after - before)))


def _as_printed(line_force, curvature, stiffness):
    """Peak pressure by proportion from the printed example: it goes with the root of each [MPa]."""
    printed = 24_100 / 20, 1 / 20, 200e3 / (2 * (1 - 0.29**2))
    return 1447.037 * math.sqrt(line_force / printed[0] * curvature / printed[1] * stiffness / printed[2])


def test_the_pressure_is_that_of_the_printed_example_scaled_to_the_edge_as_it_bends():
    for word in READERS:
        given = numbers_of(sheet.Flank(), word)
        drive = Drive(given.pins, given.circle_mm, given.roller_mm, given.eccentricity_mm)
        stiffness = 1 / ((1 - 0.3**2) / 208e3 + (1 - 0.4**2) / (1000 * given.plastic_gpa))
        question = sheet.Flank().question(given)
        for force, phi in question.tries:
            curvature = 1 / given.roller_mm + _bend(drive, phi)
            found = _as_printed(force / given.length_mm, curvature, stiffness)
            assert question.right(force, phi) == pytest.approx(found, rel=1e-4)  # three points of a bend that changes


def test_every_reader_has_a_hollow_among_what_is_tried_and_a_bulge():
    for word in READERS:
        given = numbers_of(sheet.Flank(), word)
        drive = Drive(given.pins, given.circle_mm, given.roller_mm, given.eccentricity_mm)
        bends = [_bend(drive, phi) for _, phi in sheet.Flank().question(given).tries]
        assert min(bends) < 0 < max(bends)


def test_the_storys_worst_place_is_as_much_worse_as_is_known():
    given = Given(pins=20, circle_mm=42.0, roller_mm=5.0, eccentricity_mm=1.4, plastic_gpa=2.0, length_mm=5.0)
    right, ratio = sheet.Flank().question(given).right, 2 / 3
    angles = np.radians(np.arange(1, 180, 0.01))
    forces = np.sin(angles) / np.sqrt(1 + ratio**2 - 2 * ratio * np.cos(angles))
    pressures = [right(force, phi) for force, phi in zip(forces, angles, strict=True)]
    assert max(pressures) / pressures[np.argmax(forces)] == pytest.approx(1.4976, abs=1e-4)  # the digits
    assert np.degrees(angles[np.argmax(pressures)]) == pytest.approx(81.38, abs=0.02)  # degrees: flat at the top


# d. How long an eccentric's bearing lives


def _lives(rating, load, turns_per_minute):
    """Hours, by proportion from the catalogue's example."""
    return 939.5 * (rating / load / 5.53) ** 3 * 3000 / turns_per_minute


def test_the_hours_are_those_of_the_catalogue_when_a_cycle_is_played_until_the_bearing_is_used_up():
    for word in READERS:
        given = numbers_of(sheet.Hours(), word)
        crank, output = 1.0, 1 - given.pins / (given.pins - 1)  # Willis, ring held
        used = 0.0
        for share, torque in ((given.percent / 100, given.high_nm), (1 - given.percent / 100, given.low_nm)):
            across = 1000 * torque / 2 * abs(output) / (given.eccentricity_mm * crank)  # power in is power out
            ring_against_ring = given.turns_per_minute * abs(crank - output)
            used += share / _lives(given.rating_n, given.times * across, ring_against_ring)  # in an hour
        assert sheet.Hours().question(given).right == pytest.approx(1 / used, rel=1e-4)  # the digits of 939.5


# e. What goes first


def test_what_goes_first_is_what_is_weakest_in_the_worst_of_all_cases():
    for word in READERS:
        given = numbers_of(sheet.First(), word)
        worst = [
            min(strength / stress for stress, strength in itertools.product(loaded, bears))
            for loaded, bears in zip(given.loaded, given.bears, strict=True)
        ]
        assert sheet.First().question(given).right == "abcd"[worst.index(min(worst))]


def test_each_letter_is_right_for_about_a_quarter_of_readers():
    letters = [
        sheet.First().question(numbers_of(sheet.First(), f"{word} {k}")).right for word in READERS for k in range(8)
    ]
    for letter in "abcd":
        assert 0.13 < letters.count(letter) / len(letters) < 0.37  # a quarter, and five standard deviations of 320


# f. How thin may the core be


def test_with_that_core_the_pin_just_keeps_its_limit():
    for word in READERS[:6]:
        given = numbers_of(sheet.Core(), word)
        core = sheet.Core().question(given).right

        def modulus(distance, given=given, core=core):
            inside = np.where(distance < core / 2, 208e3, 1000 * given.plastic_gpa)
            return np.where(distance < given.pin_mm / 2, inside, 0.0)

        found = 1000 * _midway(_squares(modulus), given.span_mm, given.force_n)
        assert found == pytest.approx(given.limit_um, rel=3e-3)  # of squares at a round edge
        assert 0 < core < given.pin_mm
