"""Sheet 7 held against what is printed elsewhere, a general solver for springs that only push, and brute force.

- Peak push 4 T/(e Zc Zp), T of one disc, about half of the pins loaded, and the published example (40 pins, 100 mm,
  1 mm, 167 N m, one of two discs carries 0.55): Wang Yukun et al., "Analysis of meshing characteristics of pins and pin
  housing integral structure in RV reducer"; the formula also in Wang, Luo, Su, "Multi-objective optimization...",
  Mechanism and Machine Theory 102 (2016) 135-148.
- Longest lever arm e Zc, at cos(phi) = K: Wang Yukun et al.
- Equal springs that can only push share a torque so that they store the least work (Castigliano; any handbook of
  mechanics, from memory): non-negative least squares, scipy.optimize.nnls.
- Gear trains: R. Willis, Principles of Mechanism, 1841 (from memory), for the crank's torque.
- That gap times stiffness over torque is all that counts: derived, held against the library's sharing here.
"""

import math
import re

import numpy as np
import pytest
import sympy as sp
from scipy.optimize import brentq, nnls

from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import who_carries_the_load as sheet
from cyclokit.drive import Drive
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing

READERS = [f"reader {number}" for number in range(60)]


def _arms(given, crank):
    """Lever arms [mm] of all pins: distances of the disc's centre from lines that join pins and pitch point."""
    centre = given.eccentricity_mm * np.exp(1j * crank)
    pins = given.circle_mm * np.exp(2j * np.pi * np.arange(given.pins) / given.pins)
    way = pins - given.pins * centre  # the pitch point is that much farther out than the disc's centre
    return ((given.pins - 1) * centre.conjugate() * way / np.abs(way)).imag


def _least_work(arms, torque):
    """Forces of equal springs that only push and hold a torque: a heavy row for the torque, a light one for each."""
    weight = 1e5
    rows = np.vstack([weight * np.asarray(arms), np.eye(len(arms))])
    wanted = np.concatenate([[weight * torque], np.zeros(len(arms))])
    return nnls(rows, wanted, maxiter=100 * len(arms))[0]


# a. The formula in the books


def test_the_published_example_has_the_push_of_its_formula():
    given = Given(pins=40, circle_mm=100.0, eccentricity_mm=1.0, torque_n_m=167.0, percent=55)
    disc_torque = 0.55 * 167e3
    trochoid_ratio = 40 * 1.0 / 100.0
    # the same paper's other form, 4 T/(K1 Zc Rp)
    assert sheet.Books().question(given).right == pytest.approx(4 * disc_torque / (trochoid_ratio * 39 * 100.0))


def test_the_formulas_push_is_the_mean_over_all_places_of_many_pins():
    for word in READERS:
        given = numbers_of(sheet.Books(), word)
        cranks = np.linspace(0, 2 * np.pi / given.pins, 20, endpoint=False)
        torque = 1000 * given.torque_n_m * given.percent / 100
        squares = np.mean([(np.maximum(_arms(given, crank), 0) ** 2).sum() for crank in cranks])
        best = torque * given.eccentricity_mm * (given.pins - 1) / squares
        # a dozen pins: what is left of a sum over places is K to the power of the pins, below 0.8 ** 12 / 2
        assert sheet.Books().question(given).right == pytest.approx(best, rel=0.04)


# b. An arm for every pin


def test_the_arm_is_the_distance_of_the_pins_line_and_only_those_ahead_have_one():
    for word in READERS[:30]:
        given = numbers_of(sheet.Arm(), word)
        right = sheet.Arm().question(given).right
        for angle in (0.3, 1.7, 3.0, 3.3, 6.0, -0.4, 9.0):
            pin = given.circle_mm * np.exp(1j * angle)
            pitch_point, centre = given.eccentricity_mm * given.pins, given.eccentricity_mm
            line = (pin - pitch_point) / abs(pin - pitch_point)
            foot = pitch_point + ((centre - pitch_point) * line.conjugate()).real * line
            expected = abs(foot - centre) if math.sin(angle) > 0 else 0.0
            assert right(angle) == pytest.approx(expected, abs=1e-9)  # mm: rounding


def test_no_arm_is_longer_than_the_papers_and_that_stands_where_the_paper_says():
    for word in READERS[:30]:
        given = numbers_of(sheet.Arm(), word)
        right = sheet.Arm().question(given).right
        longest = given.eccentricity_mm * (given.pins - 1)
        best = math.acos(given.eccentricity_mm * given.pins / given.circle_mm)
        assert right(best) == pytest.approx(longest, rel=1e-12)
        assert max(map(right, np.linspace(0, 2 * np.pi, 1001))) <= longest * (1 + 1e-12)


# c. Two posts and a gap


def _pushes(given, place):
    """Pushes of both posts, near and far: the lever is turned until the torque is reached."""
    arms = np.array([1.0, given.times]) * place["a"]
    stiffness = np.array([1.0, given.stiff]) * place["k"]
    gaps = np.array([place["g"], 0.0] if given.away == "near" else [0.0, place["g"]])

    def pushed(turn):
        return stiffness * np.maximum(arms * turn - gaps, 0.0)

    turn = brentq(lambda turn: pushed(turn) @ arms - place["T"], 0.0, 10.0, xtol=1e-15)
    return pushed(turn)


def test_the_posts_push_as_a_lever_does_that_is_turned_until_the_torque_is_reached():
    place = {"T": 25_000.0, "k": 900.0, "a": 11.0, "g": 0.03}  # so large a torque that both push
    for word in READERS:
        given = numbers_of(sheet.Gap(), word)
        right = sheet.Gap().question(given).right
        near, far = _pushes(given, place)
        assert min(near, far) > 0
        found = float(right.subs({symbol: place[symbol.name] for symbol in right.free_symbols}))
        assert found == pytest.approx(near if given.asked == "near" else far, rel=1e-9)


def test_the_worked_solution_of_the_posts_is_right_when_it_is_run():
    for word in READERS[:10]:
        given = numbers_of(sheet.Gap(), word)
        names = {"sp": sp, "d": sp.Symbol("d", positive=True)}
        names |= {name: sp.Symbol(name, positive=True) for name in "Tkag"}
        first, last = re.findall(r"`((?:turn = )?\(?.*?)`", sheet.Gap().worked(given))[-2:]
        exec(first, names)
        place = {"T": 2500.0, "k": 900.0, "a": 11.0, "g": 0.03}
        told, right = (
            float(each.subs({symbol: place[symbol.name] for symbol in each.free_symbols}))
            for each in (eval(last, names), sheet.Gap().question(given).right)
        )
        assert told == pytest.approx(right, rel=1e-12)


# d. What the mean leaves out


def test_the_hardest_push_is_that_of_springs_that_store_the_least_work():
    for word in READERS:
        given = numbers_of(sheet.Hardest(), word)
        arms = _arms(given, math.radians(given.crank_deg))
        forces = _least_work(arms, 1000 * given.torque_n_m / 2)
        assert (forces[arms < 0] == 0).all()
        assert sheet.Hardest().question(given).right == pytest.approx(forces.max(), rel=1e-6)  # the heavy row's weight


# e. An eccentricity for a bearing


def test_the_cranks_torque_is_handed_over_at_the_eccentricity():
    for word in READERS:
        given = numbers_of(sheet.Bearing(), word)
        crank_turns = 1 / abs(1 - given.pins / (given.pins - 1))  # Willis, ring held: for one turn of the output
        motor = 1000 * given.torque_n_m / crank_turns  # N mm: without friction as much power goes in as out
        found = sheet.Bearing().question(given).right
        assert given.discs * given.force_n * found == pytest.approx(motor, rel=1e-12)
        assert 0.7 < found < 3  # mm: as a person would choose it


# f. A redesign


def _share(stiffness, torque, gap, crank):
    machine = Reducer(Drive(20, 42.0, 5.0, 1.4), discs=1)
    made = sharing.as_made(machine, torque, [crank], gap, pin_stiffness=stiffness, output_stiffness=1e4)
    return made.peak / torque, int(made.loaded_pins[0, 0])


@pytest.mark.parametrize("crank", [0.0, 0.1, 2.0])
@pytest.mark.parametrize("stiffness", [1e3, 5e3])  # N/mm
def test_the_share_goes_the_way_that_the_letter_says(crank, stiffness):
    for word in READERS:
        given = numbers_of(sheet.Share(), word)
        before, loaded = _share(stiffness, 2000.0, 0.02, crank)
        after, still = _share(given.stiff * stiffness, given.torque * 2000.0, given.gap * 0.02, crank)
        assert min(loaded, still) > 1
        assert max(loaded, still) < 10
        way = "c" if after == pytest.approx(before, rel=1e-9) else "a" if after > before else "b"
        assert sheet.Share().question(given).right == way


def test_each_letter_is_right_for_about_a_third_of_readers():
    letters = [
        sheet.Share().question(numbers_of(sheet.Share(), f"{word} {k}")).right for word in READERS for k in range(5)
    ]
    for letter in "abc":
        assert 0.2 < letters.count(letter) / len(letters) < 0.47  # a third, and five standard deviations of 300


def test_the_arms_of_these_tests_are_those_of_normals_on_the_outline():
    drive = Drive(20, 42.0, 5.0, 1.4)
    given = Given(pins=20, circle_mm=42.0, eccentricity_mm=1.4)
    touch = motion.contacts(drive, 0.7)
    from_centre = touch.points - motion.disc_pose(drive, 0.7).centre
    moments = from_centre[:, 0] * touch.normals[:, 1] - from_centre[:, 1] * touch.normals[:, 0]
    assert _arms(given, 0.7) == pytest.approx(moments, abs=1e-9)  # mm: rounding
