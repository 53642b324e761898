"""How far two outlines are apart, held against `scipy.spatial.distance.directed_hausdorff`."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.distance import directed_hausdorff

from cyclokit.course.answers import outlines
from cyclokit.drive import Drive
from cyclokit.geometry import outline

EDGE = outline.polygon(Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.5), 1e-3)
TOLERANCE = 0.05  # mm


@pytest.mark.parametrize("moved", [0.01, 0.04, 0.1, 0.14])
def test_the_distance_of_two_outlines_is_that_of_hausdorff(moved):
    other = EDGE + np.array([moved, 0.0])
    found = TOLERANCE * outlines.apart(other, EDGE, TOLERANCE)
    dense = [shapely.get_coordinates(shapely.segmentize(shapely.LineString(curve), 0.02)) for curve in (EDGE, other)]
    published = max(directed_hausdorff(*dense)[0], directed_hausdorff(*dense[::-1])[0])
    # both sample the curves; ours every half tolerance, which makes a distance of a tolerance 3 % larger, smaller ones
    # by up to an eighth of the tolerance
    assert found == pytest.approx(published, rel=0.03, abs=TOLERANCE / 8)


@given(st.floats(-20, 20), st.floats(0, 6.28))
def test_the_distance_is_never_more_than_that_of_all_points(tolerances, turned):
    moved = EDGE * (1 + tolerances * TOLERANCE / np.hypot(*EDGE.T).max())
    moved = moved @ np.array([[np.cos(turned), np.sin(turned)], [-np.sin(turned), np.cos(turned)]])
    apart = outlines.apart(moved, EDGE, TOLERANCE) * TOLERANCE
    farthest = max(directed_hausdorff(moved, EDGE)[0], directed_hausdorff(EDGE, moved)[0])
    assert apart <= 1.03 * farthest + TOLERANCE / 2  # corners of one may lie between those of the other


def test_an_outline_of_another_size_altogether_is_not_sampled():
    assert outlines.apart(1e9 * EDGE, EDGE, TOLERANCE) == math.inf


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=2, max_size=9))
def test_points_are_as_far_off_as_geos_says(points):
    line = shapely.LineString(EDGE)
    published = max(line.distance(shapely.Point(point)) for point in points)
    assert outlines.off(points, EDGE) == pytest.approx(published, abs=1e-9)  # rounding


@pytest.mark.parametrize("bad", [[], [[1.0, 2.0]], [[1.0, 2.0, 3.0]] * 3, [1.0, 2.0]])
def test_what_is_no_row_of_points_is_refused(bad):
    with pytest.raises(ValueError, match="other has the shape"):
        outlines.apart(EDGE, bad, TOLERANCE)
