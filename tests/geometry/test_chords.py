"""Chords of curves whose fewest are known: a circle's by its sagitta, a parabola's by Archimedes; all derived."""

import math

import numpy as np
import pytest

from cyclokit.geometry import chords

GRID = np.linspace(0.0, 2.0, 101)


def circle(t, radius=10.0):
    return radius * np.cos(t), radius * np.sin(t), np.cos(t), np.sin(t)


def parabola(t):
    """y = x^2/2, seen from below."""
    long = np.hypot(1.0, t)
    return t, t**2 / 2, t / long, -1 / long


def cubic(t):
    """y = x^3/6 from -1 to 1: it has an inflection in the middle."""
    x = t - 1.0
    long = np.hypot(1.0, x**2 / 2)
    return x, x**3 / 6, x**2 / 2 / long, -1 / long


def departures(edge, t):
    """Farthest that each arc leaves its chord's line, by a thousand samples."""
    along = t[:-1, None] + np.diff(t)[:, None] * np.linspace(0, 1, 1001)
    arc = np.array(edge(along)[:2])
    start, way = arc[:, :, :1], arc[:, :, -1:] - arc[:, :, :1]
    across = way[0] * (arc - start)[1] - way[1] * (arc - start)[0]
    return (np.abs(across) / np.hypot(*way)).max(axis=1)


@pytest.mark.parametrize("tolerance", [1.0, 0.1, 1e-2, 1e-4, 1e-6])
def test_a_circle_gets_the_fewest_chords_all_alike(tolerance):
    t = chords.corners(circle, GRID, tolerance)
    fewest = 2.0 / (2 * math.acos(1 - tolerance / 10.0))  # of a sagitta of the tolerance
    # one more while few, else a hundredth: by so many is tried; and what a bound on what samples miss costs
    assert fewest <= len(t) - 1 <= max(math.ceil(fewest) + 1, 1.015 * fewest)
    np.testing.assert_allclose(np.diff(t), np.diff(t)[0], rtol=1e-6)
    assert departures(circle, t).max() <= tolerance


@pytest.mark.parametrize("tolerance", [0.1, 1e-2, 1e-4, 1e-6])
@pytest.mark.parametrize("edge", [parabola, cubic])
def test_chords_of_a_curve_that_bends_unevenly_keep_the_tolerance(edge, tolerance):
    t = chords.corners(edge, GRID, tolerance)
    assert (t[0], t[-1]) == (0.0, 2.0)
    assert departures(edge, t).max() <= tolerance


@pytest.mark.parametrize("tolerance", [1e-2, 1e-4, 1e-6])
def test_a_parabola_gets_hardly_more_than_the_fewest(tolerance):
    # a chord over a width w leaves y = x^2/2 by w^2/8 upright, whatever its place, and by less square to its own slope
    reached, fewest = 0.0, 0
    while reached < 2.0:
        width = math.sqrt(8 * tolerance)
        for _ in range(50):  # the slope is that of the chord's middle
            width = math.sqrt(8 * tolerance * math.hypot(1.0, reached + width / 2))
        reached, fewest = reached + width, fewest + 1
    assert fewest <= len(chords.corners(parabola, GRID, tolerance)) - 1 <= max(fewest + 1, 1.02 * fewest)


def test_no_fewer_chords_than_are_asked_for():
    assert len(chords.corners(circle, GRID, 100.0, fewest=5)) == 6


@pytest.mark.parametrize("grid", [[0.0, 1.0], [0.0, 1.0, 1.0], [0.0, 2.0, 1.0], [[0.0, 1.0, 2.0]]])
def test_a_grid_that_does_not_rise_is_refused(grid):
    with pytest.raises(ValueError, match="grid must be a row of three"):
        chords.corners(circle, grid, 0.1)


def wave(t):
    """A hundred waves that three parameters don't see."""
    steep = 0.01 * 100 * np.pi * np.cos(100 * np.pi * t)
    long = np.hypot(1.0, steep)
    return t, 0.01 * np.sin(100 * np.pi * t), steep / long, -1 / long


def test_a_curve_that_its_grid_does_not_show_is_refused_and_not_tried_for_ever():
    with pytest.raises(ValueError, match="give a finer grid"):
        chords.corners(wave, [0.0, 1.0, 2.0], 1e-4)


def test_a_straight_line_is_one_chord():
    assert chords.corners(lambda t: (t, 2 * t, 0 * t + 0.8**0.5, 0 * t - 0.2**0.5), GRID, 1e-6).tolist() == [0.0, 2.0]
