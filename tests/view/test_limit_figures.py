"""Figures of lesson 5: what is drawn is read back, and held against another way to it.

- Where flat and deep lobes bend most: Wang, Luo, Su, "Multi-objective optimization...", Mechanism and Machine Theory
  102 (2016) 135-148, eq. 12, for the flank; the tip's Rp (1 + K)^2/(N K + 1): derived.
- How far two circles overlap, and the lens between them: Shapely, a general-purpose geometry library.
- The curvature from the two parts of the tangent's change: against `outline.curvature`, checked elsewhere.
"""

import math
import re

import numpy as np
import pytest
import shapely

from cyclokit import Drive
from cyclokit.geometry import limits, outline, sweep
from cyclokit.view import limit_figures
from tests.geometry.drives import STORY

UNDERCUT = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=2.0)


def words(ax):
    return [text.get_text() for text in ax.texts]


def test_the_path_with_a_loop_is_drawn_through_and_its_loop_is_in_the_enlarged_part():
    drives = {f"e = {e} mm": Drive(20, 42.0, 0.2, e) for e in (1.4, 2.1, 2.8)}
    wide = limit_figures.near_a_root(drives)
    close = wide.figure.axes[1]
    assert [line.get_linestyle() == "-" for line in wide.get_lines()] == [False, False, True]
    across, out = close.get_lines()[-1].get_data()
    loop = shapely.get_parts(shapely.polygonize([shapely.node(shapely.LineString(np.column_stack([across, out])))]))
    assert len(loop) == 1
    left, low, right, high = loop[0].bounds
    assert close.get_xlim()[0] < left < right < close.get_xlim()[1]
    assert close.get_ylim()[0] < low < high < close.get_ylim()[1]
    assert low == pytest.approx(42.0 - 2.8)  # Rp - e


@pytest.mark.parametrize("count", [0, 5])
def test_none_and_more_paths_than_dashes_are_refused(count):
    with pytest.raises(ValueError, match=f"drives has {count} drives, but must have 1 to 4"):
        limit_figures.near_a_root({str(number): STORY for number in range(count)})


def test_the_part_across_over_the_way_is_the_curvature():
    step = 1e-4
    ax = limit_figures.turning_tangent(STORY, 0.1, step)
    corners = np.column_stack(ax.get_lines()[-1].get_data())
    _, now, after, foot = corners
    assert (after - foot) @ now == pytest.approx(0.0, abs=1e-9)  # it stands square on the tangent
    bend = np.hypot(*(after - foot)) / (now @ now) / step
    path = outline.curvature(STORY, 0.1)
    assert bend == pytest.approx(1 / (1 / path + STORY.roller_radius), rel=3e-3)  # by one step of 1e-4 rad
    assert len(words(ax)) == 8  # four arrows, four names


def test_dots_stand_where_the_formulas_have_the_least_bend():
    ratio = STORY.trochoid_ratio
    flank = 42 * math.sqrt(27 * (1 - ratio**2) * 19 / 21**3)
    flat = Drive(20, 42.0, 5.0, 0.6)
    tip = 42 * (1 + flat.trochoid_ratio) ** 2 / (20 * flat.trochoid_ratio + 1)
    ax = limit_figures.bends({"deep": STORY, "flat": flat})
    dots = [line.get_data() for line in ax.get_lines() if line.get_marker() == "o"]
    where = (2 * ratio**2 * 20 - ratio**2 - 20 + 2) / (ratio * 21)  # of zero slope, as the lesson has it
    assert [dot[0][0] for dot in dots] == pytest.approx([where, -1.0], abs=0.002)  # a thousand places
    assert [dot[1][0] for dot in dots] == pytest.approx([flank, tip], rel=1e-5)
    assert words(ax) == [f"least on the flank: {flank:.2f}", f"least on the tip: {tip:.2f}"]


def test_what_is_filled_is_what_two_rollers_share():
    first = limit_figures.side_by_side(STORY, (5.0, 6.5, 7.5))
    pairs = first.figure.axes
    half = float(limits.half_pin_distance(20, 42.0))
    for ax, radius in zip(pairs, (5.0, 6.5, 7.5), strict=True):
        filled = [patch.get_xy() for patch in ax.patches if hasattr(patch, "get_xy")]
        round_ones = [shapely.Point(x, 0).buffer(radius, quad_segs=500) for x in (-half, half)]
        shared = shapely.intersection(*round_ones)
        assert sum(shapely.Polygon(corners).area for corners in filled) == pytest.approx(shared.area, abs=0.01)
        told = float(re.search(r"(\d+\.\d+) mm(?: between)?$", ax.get_title())[1])
        assert told == pytest.approx(abs(2 * (radius - half)), abs=0.005)  # as written


def test_the_tail_lies_outside_of_the_milled_disc_and_inside_of_the_roller():
    ax = limit_figures.tail(UNDERCUT)
    wedge, loop = (patch.get_xy() for patch in ax.patches if hasattr(patch, "get_xy"))
    (roller,) = (patch for patch in ax.patches if not hasattr(patch, "get_xy"))
    milled = sweep.cut(UNDERCUT, rays=12_000, steps=720)
    disc = shapely.Polygon(milled.points)
    assert shapely.Polygon(wedge).difference(disc.buffer(2 * milled.resolution)).area < 1e-6
    assert shapely.Polygon(loop).buffer(0).intersection(disc).area < 0.1 * shapely.Polygon(loop).buffer(0).area
    inside = np.hypot(*(loop - roller.center).T) < roller.radius
    assert inside.any()
    assert words(ax) == ["milled disc", "tail", "roller"]


@pytest.mark.parametrize("drive", [STORY, Drive(20, 42.0, 5.0, 2.1), Drive(20, 42.0, 5.0, 2.8)])
def test_a_drive_without_a_tail_is_refused(drive):
    with pytest.raises(ValueError, match="must be undercut without loops"):
        limit_figures.tail(drive)


def test_where_there_is_no_direction_and_no_roller_nothing_is_drawn():
    with pytest.raises(ValueError, match=r"t is 0\.0, but must be where the path has a direction"):
        limit_figures.turning_tangent(Drive(20, 42.0, 5.0, 2.1), 0.0)
    with pytest.raises(ValueError, match="radii is empty"):
        limit_figures.side_by_side(STORY, ())
