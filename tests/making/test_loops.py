"""Loops against Shapely's areas, which know polygons only, and against themselves turned and moved."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.making import loops

STORY = Drive(20, 42.0, 5.0, 1.4)
LOOPS = {
    "circle": loops.Circle(5.0, (3.0, -2.0)),
    "lobes": loops.Lobes(STORY, (1.4, 0.0), 0.3),
    "polygon": loops.polygon(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0))),
    "rounded rectangle": loops.rounded_rectangle(40.0, 30.0, 5.0, (1.0, 2.0)),
    "shaft with a flat": loops.circle_with_flat(2.5, 2.0, 0.4),
    "nut": loops.hexagon(5.5, (7.0, 1.0), 0.2),
    "hollowed": loops.Polyline(((-5.0, -5.0), (5.0, -5.0), (5.0, 5.0), (-5.0, 5.0)), (0.0, -0.3, 0.0, 0.5)),
}
EVERY = pytest.mark.parametrize("loop", LOOPS.values(), ids=LOOPS)


@EVERY
@pytest.mark.parametrize("tolerance", [0.1, 0.01, 0.001])
def test_the_polygon_is_as_near_as_asked_and_its_area_that_of_the_curve(loop, tolerance):
    corners = loops.corners_of(loop, tolerance)
    assert (corners[0] == corners[-1]).all()
    judged = shapely.Polygon(corners)
    assert judged.is_valid
    assert shapely.LinearRing(corners).is_ccw
    # an error of at most the tolerance all along the edge
    assert abs(judged.area - loops.area(loop)) <= tolerance * judged.length
    fine = loops.corners_of(loop, 1e-5)
    chords = shapely.STRtree(shapely.linestrings(np.stack([corners[:-1], corners[1:]], axis=1)))
    _, distance = chords.query_nearest(shapely.points(fine), return_distance=True)
    assert distance.max() <= tolerance + 1e-5


@EVERY
@given(turn=st.floats(-7, 7), x=st.floats(-50, 50), y=st.floats(-50, 50))
def test_what_is_moved_has_the_same_corners_moved(loop, turn, x, y):
    there = loops.corners_of(loops.moved(loop, turn, (x, y)), 0.05)
    here = loops.corners_of(loop, 0.05)
    expected = here @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]]) + (x, y)
    if isinstance(loop, loops.Circle):  # its corners begin on +x, however it was turned
        assert np.abs(np.hypot(*(there - loops.moved(loop, turn, (x, y)).centre).T) - loop.radius).max() < 1e-9
        assert np.allclose(expected[:-1].mean(axis=0), there[:-1].mean(axis=0), atol=1e-9)
    else:
        assert np.allclose(there, expected, atol=1e-9)  # rounding, of lengths up to 100 mm


@EVERY
def test_turned_over_twice_is_as_before_and_once_is_the_mirror_image(loop):
    over = loops.turned_over(loop)
    assert loops.area(over) == pytest.approx(loops.area(loop), rel=1e-12)
    mirrored = shapely.Polygon(loops.corners_of(loop, 1e-3) * (1, -1))
    difference = mirrored.symmetric_difference(shapely.Polygon(loops.corners_of(over, 1e-3)))
    assert difference.area <= 2e-3 * mirrored.length
    twice = shapely.Polygon(loops.corners_of(loops.turned_over(over), 1e-3))
    assert twice.symmetric_difference(shapely.Polygon(loops.corners_of(loop, 1e-3))).area <= 2e-3 * twice.length


def test_arcs_are_where_their_ends_and_middle_are():
    start, end, bulge = (3.0, 1.0), (-2.0, 4.0), 0.7
    (x, y), radius, first, swept = loops.arc(start, end, bulge)
    assert (x + radius * math.cos(first), y + radius * math.sin(first)) == pytest.approx(start)
    assert (x + radius * math.cos(first + swept), y + radius * math.sin(first + swept)) == pytest.approx(end)
    # a bulge is the sagitta over half the chord (DXF reference, LWPOLYLINE group 42; from memory)
    top = np.array([x + radius * math.cos(first + swept / 2), y + radius * math.sin(first + swept / 2)])
    middle = (np.array(start) + end) / 2
    assert np.hypot(*(top - middle)) == pytest.approx(bulge * math.dist(start, end) / 2)


def test_what_is_no_loop_is_told():
    with pytest.raises(ValueError, match="a bulge for each"):
        loops.Polyline(((0.0, 0.0), (1.0, 0.0)), (0.0,))
    with pytest.raises(ValueError, match="radius"):
        loops.Circle(0.0)
