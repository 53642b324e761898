"""Spline and arcs against the outline itself, as fine polygons; SciPy evaluates the spline."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.interpolate import BSpline

from cyclokit import Drive
from cyclokit.geometry import limits, outline
from cyclokit.making import curves, loops
from tests.making.parts import STORY, farthest, true_edge

REAL = 1e-5  # mm: the polygon may be ten nanometres off


def sampled(spline, each=5):
    """Points of a spline, several between every two knots."""
    knots = np.unique(spline.knots)
    at = (knots[:-1, None] + np.diff(knots)[:, None] * np.linspace(0, 1, each)).ravel()
    return BSpline(spline.knots, spline.control_points, 3)(at)


def arc_points(arcs, each=5):
    """Points of arcs, by their centres."""
    found = []
    closed = np.vstack([arcs.corners, arcs.corners[:1]])
    for start, end, bulge in zip(closed[:-1], closed[1:], arcs.bulges, strict=True):
        (x, y), radius, first, swept = loops.arc(tuple(start), tuple(end), bulge)
        angle = first + swept * np.linspace(0, 1, each)
        found.append(np.column_stack([x + radius * np.cos(angle), y + radius * np.sin(angle)]))
    return np.vstack(found)


@settings(max_examples=8)
@given(st.integers(3, 40), st.floats(0.05, 0.9), st.floats(0.05, 0.9))
def test_both_are_as_near_as_they_say_on_any_sound_drive(pins, ratio, share):
    radius = 40.0
    eccentricity = ratio * radius / pins
    roller = share * min(radius * math.sin(math.pi / pins), limits.least_convex_radius(pins, radius, eccentricity))
    drive = Drive(pins, radius, float(roller), eccentricity)
    assume(limits.check(drive).sound)
    line = true_edge(loops.Lobes(drive))
    smooth, arcs = curves.spline(drive), curves.arcs(drive)
    assert farthest(sampled(smooth), line) <= smooth.deviation + REAL
    assert farthest(arc_points(arcs), line) <= arcs.deviation + REAL
    assert max(smooth.deviation, arcs.deviation) <= curves.DEVIATION
    assert (smooth.control_points[0] == smooth.control_points[-1]).all()


def test_they_enclose_the_same_area():
    for points in (sampled(curves.spline(STORY)), arc_points(curves.arcs(STORY))):
        apart = np.hypot(*np.diff(points, axis=0).T) > 1e-9  # one piece's end is the next one's start
        polygon = shapely.Polygon(points[1:][apart])
        assert polygon.is_valid
        # half a micrometre all along the edge, and the chords between samples
        assert polygon.area == pytest.approx(outline.area(STORY), abs=0.2)


def test_points_even_in_t_would_miss_by_more_than_a_tenth_of_a_millimetre_with_400():
    """Why points are even along the outline: with as many even in t a spline cuts the roots (derived)."""
    t = np.linspace(0, 2 * np.pi, 401)
    line = true_edge(loops.Lobes(STORY))
    from scipy.interpolate import CubicSpline

    places = outline.points(STORY, t)
    places[-1] = places[0]
    even = CubicSpline(t, places, bc_type="periodic")
    assert farthest(even(np.linspace(0, 2 * np.pi, 9001)), line) > 0.05
    along = curves.even_along(STORY, 399)
    gaps = np.hypot(*np.diff(outline.points(STORY, along), axis=0).T)
    assert gaps.max() / gaps.min() < 1.1  # chords of equal arcs differ where the outline bends


def test_a_cusp_is_told():
    with pytest.raises(ValueError, match="cusp"):
        curves.spline(Drive(12, 40.0, 8.0, 2.9))
    with pytest.raises(ValueError, match="cusp"):
        curves.arcs(Drive(12, 40.0, 8.0, 2.9))


@pytest.mark.parametrize(("end", "gap"), [(6.28, 0.63), (6.283, 0.04)])
def test_a_curve_tool_that_stops_short_leaves_a_gap_and_our_curves_none(end, gap):
    """The README's two figures; derived: the gap is the outline's speed at root 0 times what is missing of a turn."""
    first, last = outline.points(STORY, np.array([0.0, end]))
    assert math.dist(first, last) == pytest.approx(gap, abs=0.005)
    a, b = outline.points(STORY, np.array([-1e-4, 1e-4]))
    assert math.dist(first, last) == pytest.approx(math.dist(a, b) / 2e-4 * (2 * math.pi - end), rel=0.01)
    smooth, arcs = sampled(curves.spline(STORY)), arc_points(curves.arcs(STORY))
    assert math.dist(smooth[0], smooth[-1]) == 0
    assert math.dist(arcs[0], arcs[-1]) < 1e-12  # found by way of the last arc's centre
