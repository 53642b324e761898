"""Straight lines and digits against published examples.

- NIST Statistical Reference Datasets, linear regression, "Norris" (certified values).
- JCGM 100:2008, Evaluation of measurement data: Guide to the expression of uncertainty in measurement, H.1.6 (coverage
  factor of the end gauge) and H.3 (calibration of a thermometer; its data and results from memory, recomputed here).
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from cyclokit import uncertainty

NORRIS_X = """.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777 558.2 .4 .6 775.5 666.9 338 447.5 11.6 556 228.1
995.8 887.6 120.2 .3 .3 556.8 339.1 887.2 999 779 11.1 118.3 229.2 669.1 448.9 .5"""
NORRIS_Y = """.1 338.8 118.1 888 9.2 228.1 668.5 998.5 449.1 778.9 559.2 .3 .1 778.1 668.8 339.3 448.9 10.8 557.7 228.3
998 888.8 119.6 .3 .6 557.6 339.3 888 998.5 778.9 10.2 117.6 228.9 668.4 449.2 .2"""
THERMOMETER_T = np.array([21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511])
THERMOMETER_B = -np.array([0.171, 0.169, 0.166, 0.159, 0.164, 0.165, 0.156, 0.157, 0.159, 0.161, 0.160])


def norris():
    return uncertainty.line([float(x) for x in NORRIS_X.split()], [float(y) for y in NORRIS_Y.split()])


@pytest.mark.parametrize(
    ("name", "certified"),
    [
        ("intercept", -0.262323073774029),
        ("slope", 1.00211681802045),
        ("intercept_uncertainty", 0.232818234301152),
        ("slope_uncertainty", 0.000429796848199937),
        ("scatter", 0.884796396144373),
    ],
)
def test_norris(name, certified):
    # 1e-11: certified to 15 digits, and least squares in doubles loses a few to the size of x
    assert getattr(norris(), name) == pytest.approx(certified, rel=1e-11)


def test_thermometer():
    found = uncertainty.line(THERMOMETER_T - 20, THERMOMETER_B)
    # half of the last printed digit each
    assert found.intercept == pytest.approx(-0.1712, abs=5e-5)
    assert found.intercept_uncertainty == pytest.approx(0.0029, abs=5e-5)
    assert found.slope == pytest.approx(0.00218, abs=5e-6)
    assert found.slope_uncertainty == pytest.approx(0.00067, abs=5e-6)
    assert found.scatter == pytest.approx(0.0035, abs=5e-5)
    assert found.correlation == pytest.approx(-0.930, abs=5e-4)
    height, spread = found.at(10.0)
    assert height == pytest.approx(-0.1494, abs=5e-5)
    assert spread == pytest.approx(0.0041, abs=5e-5)
    assert found.degrees_of_freedom == 9


def test_coverage_factors():
    assert uncertainty.coverage_factor(16, 0.99) == pytest.approx(2.92, abs=5e-3)  # H.1.6, half of the last digit
    # of the normal distribution, from any handbook (memory)
    assert uncertainty.coverage_factor(1e15) == pytest.approx(1.959964, abs=5e-7)


@pytest.mark.parametrize(
    ("value", "spread", "unit", "text"),
    [
        (50000838.0, 31.71, "nm", "(50000838 ± 32) nm"),  # JCGM 100, H.1
        (100.02147, 0.00035, "g", "(100.02147 ± 0.00035) g"),  # JCGM 100, 7.2.2
        (-0.262323073774029, 0.232818234301152, "", "-0.26 ± 0.23"),
        (12345.0, 678.0, "", "12340 ± 680"),
        (12345.0, 67800.0, "", "12000 ± 68000"),
        (1.0, 0.0996, "", "1.00 ± 0.10"),
        (1.0, 9.96, "", "1 ± 10"),
        (-0.001, 0.5, "", "0.00 ± 0.50"),
        (2.5, 0.0, "mm", "(2.5 ± 0) mm"),
    ],
)
def test_digits(value, spread, unit, text):
    assert uncertainty.rounded(value, spread, unit) == text


@given(st.floats(-1e6, 1e6), st.floats(1e-9, 1e6))
def test_no_digit_that_means_something_is_lost(value, spread):
    told, about = (float(part) for part in uncertainty.rounded(value, spread).split(" ± "))
    assert about == pytest.approx(spread, rel=0.05)  # two digits: at worst 1.05 told as 1.0
    assert abs(told - value) <= 0.0501 * spread + np.spacing(
        abs(value)
    )  # half a step of the second digit; a double's own


@given(
    st.lists(st.tuples(st.integers(-50, 50), st.integers(-1000, 1000)), min_size=3, max_size=12),
    st.floats(-100, 100),
)
def test_the_line_and_its_uncertainty_by_matrices(points, where):
    x, y = np.array(points, dtype=float).T
    if np.ptp(x) == 0:
        with pytest.raises(ValueError, match="no slope"):
            uncertainty.line(x, y)
        return
    found = uncertainty.line(x, y)
    design = np.column_stack([np.ones_like(x), x])
    (intercept, slope), *_ = np.linalg.lstsq(design, y, rcond=None)
    variance = np.sum((y - design @ [intercept, slope]) ** 2) / (len(x) - 2)
    covariance = variance * np.linalg.inv(design.T @ design)
    near = {"rel": 1e-7, "abs": 1e-7}  # x up to 50 and as few as three points: the matrix loses some digits
    assert [found.intercept, found.slope] == pytest.approx([intercept, slope], **near)
    height, spread = found.at(where)
    row = np.array([1.0, where])
    assert height == pytest.approx(row @ [intercept, slope], rel=1e-7, abs=1e-6)
    assert spread**2 == pytest.approx(row @ covariance @ row, rel=1e-6, abs=1e-6)


def test_95_of_100_bands_hold_the_truth():
    rng = np.random.default_rng(1)
    x = np.linspace(0, 10, 8)
    factor = uncertainty.coverage_factor(6)
    held = 0
    for _ in range(1000):
        height, spread = uncertainty.line(x, 2 + 0.5 * x + rng.normal(0, 0.1, 8)).at(4.0)
        held += abs(height - 4.0) <= factor * spread
    assert 930 <= held <= 970  # 950, give or take three standard deviations of a count (6.9 each)


def left_out(x, y, place):
    """How far a point lies off the line through the others, over how sure that line and its scatter are of it."""
    others = np.delete(np.arange(len(x)), place)
    fitted, spread = np.polyfit(x[others], y[others], 1, cov="unscaled")
    off = y[others] - np.polyval(fitted, x[others])
    seen = np.array([x[place], 1.0])
    return abs(y[place] - np.polyval(fitted, x[place])) / math.sqrt(
        off @ off / (len(others) - 2) * (1 + seen @ spread @ seen)
    )


@given(st.integers(0, 2**32 - 1), st.integers(5, 12), st.floats(0, 20))
def test_outliers_are_those_that_a_line_through_the_others_leaves_behind(number, count, off):
    chance = np.random.default_rng(number)
    x, y = np.sort(chance.uniform(0, 10, count)), chance.normal(0, 1, count)
    y[count // 2] += off
    found, left = [], np.arange(count)
    while len(left) >= 5:
        ratios = [left_out(x[left], y[left], place) for place in range(len(left))]
        most = stats.t.ppf(1 - 0.005 / len(left), len(left) - 3)
        assume(abs(max(ratios) - most) > 1e-6 * most)  # rounding decides
        if max(ratios) <= most:
            break
        found.append(int(left[np.argmax(ratios)]))
        left = np.delete(left, np.argmax(ratios))
    assert list(uncertainty.outliers(x, y, 1e-9)) == found


def test_few_tables_without_an_outlier_have_one():
    chance = np.random.default_rng(11)
    share = np.mean([bool(uncertainty.outliers(range(8), chance.normal(0, 1, 8), 1e-9)) for _ in range(2000)])
    assert 0.004 < share <= 0.016  # 1 in 100 at most, and hardly fewer; three standard deviations of 0.0022


def test_what_is_no_scatter_makes_no_outlier():
    y = np.array([0.0, 1e-12, 0.0, 0.0, 5e-12, 0.0])
    assert uncertainty.outliers(range(6), y, 1e-6) == ()
    assert uncertainty.outliers(range(4), [0.0, 0.0, 9.0, 0.0], 1e-6) == ()  # too few
    assert uncertainty.outliers([2.0] * 6, y, 1e-6) == ()  # and no line


@pytest.mark.parametrize(
    ("x", "y", "said"),
    [
        ([1, 2], [1, 2], "2 points"),
        ([1, 2, 3], [1, 2], "as many"),
        ([[1, 2, 3]], [[1, 2, 3]], "one list"),
        ([1, 1, 1], [1, 2, 3], "no slope"),
        ([1, 2, math.nan], [1, 2, 3], "x contains nan"),
    ],
)
def test_what_makes_no_line_is_told(x, y, said):
    with pytest.raises(ValueError, match=said):
        uncertainty.line(x, y)
