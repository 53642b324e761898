"""Sizes over gauge rollers: against rollers pressed by brute force into the outline as a fine polygon (derived)."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from cyclokit import Drive
from cyclokit.geometry import limits, outline
from cyclokit.machine.reducer import Reducer
from cyclokit.making import over_rollers as rooms
from tests.making.parts import STORY

REDUCER = Reducer(STORY)


def pressed(drive, gauge, moved_in):
    """Size over two rollers, each let down along a root's ray until it touches the outline."""
    edge = shapely.Polygon(outline.polygon(replace(drive, roller_radius=drive.roller_radius + moved_in), 1e-6)).exterior
    centres = []
    for root in (0, drive.lobes // 2):
        ray = np.exp(2j * math.pi * root / drive.lobes)

        def gap(far, ray=ray):
            return edge.distance(shapely.Point((far * ray).real, (far * ray).imag)) - gauge

        outside = drive.pin_circle_radius + drive.eccentricity + gauge + 1
        low = drive.pin_circle_radius - drive.eccentricity - drive.roller_radius - moved_in + 0.5 * gauge
        centres.append(brentq(gap, low, outside) * ray)
    return abs(centres[0] - centres[1]) + 2 * gauge


def test_published_sizes():
    """Derived, by formula and by pressing rollers in: 20 pins, 42, 5, 1.4; moved in by 0.1."""
    assert rooms.over_rollers(STORY, 5.0) == pytest.approx(90.922661, abs=5e-7)
    assert rooms.over_rollers(STORY, 5.0, 0.1) == pytest.approx(90.7233, abs=5e-5)
    even = Drive(21, 42.0, 5.0, 1.4)
    assert rooms.over_rollers(even, 5.0) == pytest.approx(2 * (42 - 1.4) + 10, abs=1e-12)


@given(st.integers(4, 30), st.floats(0.2, 0.8), st.floats(0.1, 0.8), st.floats(0.3, 1.0), st.floats(0, 0.3))
def test_rollers_pressed_in_measure_the_same(pins, ratio, share, thin, moved_in):
    eccentricity = ratio * 40 / pins
    least = limits.least_convex_radius(pins, 40.0, eccentricity)
    drive = Drive(pins, 40.0, float(share * min(40 * math.sin(math.pi / pins), least)), eccentricity)
    assume(limits.check(drive).sound and drive.roller_radius + moved_in < 0.95 * least)
    try:
        size = rooms.over_rollers(drive, thin * drive.roller_radius, moved_in)
    except ValueError as error:
        assert "stand out" in str(error)
        return
    assert size == pytest.approx(pressed(drive, thin * drive.roller_radius, moved_in), abs=1e-5)  # ten chords' errors


def test_jaws_can_push_rollers_up_the_flanks_by_what_is_said():
    """The docstring's 2.6 um: the least size that a roller's own centre path allows between parallel jaws."""
    slant = math.pi / (2 * STORY.lobes)
    t = np.linspace(-0.05, 0.05, 200001)
    path = outline.centre_path(STORY, t) @ [1, 1j]
    along = (path * np.exp(1j * slant)).real
    near = np.abs(t) < math.pi / STORY.lobes / 2
    least = 2 * along[near].min() + 10
    assert rooms.over_rollers(STORY, 5.0) - least == pytest.approx(2.6e-3, abs=1e-4)


def test_rollers_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="don't reach their bottom"):
        rooms.over_rollers(STORY, 5.5)
    with pytest.raises(ValueError, match="don't stand out"):
        rooms.over_rollers(STORY, 0.5)


def test_a_disc_that_came_out_large_gives_the_allowance_back():
    grown = 0.035
    size = rooms.over_rollers(STORY, 5.0, 0.1 - grown)
    sizes = size + np.array([0.01, -0.01, 0.005, -0.005, 0.0, 0.0])
    found = rooms.outline_allowance(REDUCER, 5.0, sizes)
    assert not found.reasons and found.allowance == pytest.approx(grown, abs=1e-9)
    better = rooms.with_outline_allowance(REDUCER, found)
    assert better.outline_allowance == 0.035 and better.outline_clearance == REDUCER.outline_clearance
    again = rooms.outline_allowance(better, 5.0, sizes - 2 * grown * math.cos(math.pi / 38))
    assert again.allowance == pytest.approx(grown, abs=1e-9)  # it has what it needs: the same in all


@pytest.mark.parametrize(
    ("sizes", "said"),
    [([90.7, 90.71], "measure 5 or more"), ([90.2, 91.2, 90.6, 90.9, 90.4, 91.1], "out of round")],
)
def test_what_the_sizes_do_not_support_is_said(sizes, said):
    found = rooms.outline_allowance(REDUCER, 5.0, sizes)
    assert any(said in reason for reason in found.reasons) and said in str(found)
    with pytest.raises(ValueError, match="nothing sure"):
        rooms.with_outline_allowance(REDUCER, found)


@pytest.mark.parametrize("sizes", [[3.57, 3.57], [907.2], [90.7], []])
def test_sizes_in_another_unit_or_too_few_are_refused(sizes):
    with pytest.raises(ValueError, match="sizes has"):
        rooms.outline_allowance(REDUCER, 5.0, sizes)
