"""Sheet 1 held against what is printed elsewhere.

- Cycloid: one arch of a circle of radius r is 8 r long. C. Wren, 1658; any calculus handbook (from memory).
- A coin that rolls once round an equal one turns twice: any handbook of kinematics (from memory).
- Trochoid ratio K1 = e N / Rp of a drive: Wang, Luo, Su, "Multi-objective optimization...", Mechanism and Machine
  Theory 102 (2016) 135-148.
"""

import math
from fractions import Fraction

import numpy as np
import pytest

from cyclokit.course.answers.outcomes import LOOK_AGAIN, judge
from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import circles_that_roll as sheet
from cyclokit.drive import Drive


def test_a_stone_on_a_wheel_of_a_metre_draws_four_metres_a_turn():
    assert sheet.Wheel().question(Given(diameter_mm=1000, turns=7)).right == pytest.approx(
        8 * 500 * 7, rel=1e-12
    )  # Wren; rounding


def test_a_coin_round_an_equal_one_turns_twice():
    assert sheet.Outside().question(Given(rolling_mm=12, fixed_mm=12, around_deg=360)).right == pytest.approx(
        2 * 360, rel=1e-12
    )  # rounding


def test_the_pen_on_top_runs_ahead_of_the_centre_and_is_back_after_a_turn():
    # a prolate cycloid, stepped: the circle hinges about its contact (1e-4: 20 000 steps)
    steps, radius, share = 20_000, 10.0, 0.4
    pen, turned = 1j * radius * (1 + share), 2.0
    for number in range(steps):
        hinge = radius * turned * (number + 0.5) / steps
        pen = hinge + (pen - hinge) * np.exp(-1j * turned / steps)
    r, phi = sorted(sheet.Top().question(Given(percent=40)).right.free_symbols, key=str)
    formula = float(sheet.Top().question(Given(percent=40)).right.subs({r: radius, phi: turned}))
    assert formula == pytest.approx(pen.real, rel=1e-4)


def test_the_pen_round_a_circle_goes_as_a_hinge_takes_it():
    steps, fixed, rolling, arm, around = 20_000, 40.0, 8.0, 5.5, 1.9
    pen = fixed + rolling + arm + 0j
    for number in range(steps):
        hinge = fixed * np.exp(1j * around * (number + 0.5) / steps)
        pen = hinge + (pen - hinge) * np.exp(1j * around / steps * (fixed + rolling) / rolling)
    assert np.allclose(
        sheet.Pen().question(Given(rolling_mm=8, fixed_mm=40, arm_mm=5.5)).right(around),
        [pen.real, pen.imag],
        rtol=1e-4,
    )  # 20 000 steps


def test_a_pen_that_never_turns_is_not_called_right_for_the_first_input():
    # np.exp(around) for np.exp(1j * around): wrong at the first input, and far more at another
    for word in ("turntable", "sunflower", "moss"):
        given = numbers_of(sheet.Pen(), word)
        question, centre = sheet.Pen().question(given), given.fixed_mm + given.rolling_mm

        def forgotten(around, given=given, centre=centre):
            z = centre * np.exp(around) + given.arm_mm * np.exp(around * centre / given.rolling_mm)
            return z.real, z.imag

        judged = judge(question, forgotten)
        assert judged.outcome == LOOK_AGAIN
        assert judged.look.startswith(question.look)


@pytest.mark.parametrize(("arm", "letter"), [(9.5, "a"), (10.0, "b"), (10.5, "c")])
def test_the_pen_backs_up_where_its_arm_is_longer_than_the_radius(arm, letter):
    around = np.array([-1e-3, 1e-3])
    path = 50 * np.exp(1j * around) - arm * np.exp(1j * around * 50 / 10)
    forwards = np.diff(path.imag)[0]
    assert sheet.Three().question(Given(rolling_mm=10, fixed_mm=40, arm_mm=arm)).right == letter
    assert {"a": forwards > 1e-4, "b": abs(forwards) < 1e-6, "c": forwards < -1e-4}[letter]


def test_no_crank_hangs_on_a_rounding_error():
    # exact fractions beside the floats that a reader has
    for word in [*(f"reader {number}" for number in range(300)), "circles_that_roll/oak"]:
        given = numbers_of(sheet.Crank(), word)
        exact = Fraction(str(given.most)) * given.diameter_mm / 2 / (given.lobes + 1)
        assert sheet.Crank().question(given).right == float(Fraction(math.floor(100 * exact), 100))
        assert math.floor(100 * float(exact)) == math.floor(100 * exact)


def test_a_crank_between_the_steps_is_asked_for_the_steps_with_however_many_figures():
    for number in range(60):
        given = numbers_of(sheet.Crank(), f"reader {number}")
        question = sheet.Crank().question(given)
        exact = given.most * given.diameter_mm / 2 / (given.lobes + 1)
        for figures in (3, 4, 6, 9):
            if round(exact, figures) not in {question.right, round(question.right + 0.01, 2)}:
                judged = judge(question, round(exact, figures))
                assert judged.look.startswith("In which steps can cranks be had?")


def test_the_crank_ordered_is_the_last_that_keeps_the_trochoid_ratio():
    for number in range(200):
        given = numbers_of(sheet.Crank(), f"reader {number}")
        pins, circle = given.lobes + 1, given.diameter_mm / 2
        eccentricity = sheet.Crank().question(given).right
        assert Drive(pins, circle, 1.0, eccentricity).trochoid_ratio <= given.most + 1e-9  # rounding
        assert Drive(pins, circle, 1.0, eccentricity + 0.01).trochoid_ratio > given.most
        assert math.isclose(eccentricity, round(eccentricity, 2))
