"""The outline's corners as they are drawn: few, and close to the curve.

Distances between shapes, and thinning by the same rule: Shapely, a general-purpose geometry library.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays
from shapely import LineString, Polygon, hausdorff_distance

from cyclokit.geometry import outline, sweep
from cyclokit.view import drive_parts
from tests.geometry.drives import STORY, UNDERCUT, sound_drives


@given(sound_drives())
@settings(max_examples=40)
def test_the_drawn_edge_is_closed_and_close_to_the_outline(drive):
    within = drive.pin_circle_radius / 2000
    edge = drive_parts.edge_within(drive, within)
    assert (edge[0] == edge[-1]).all()
    true = Polygon(outline.polygon(drive, within / 20))
    # 2: chords are as long as a sampled curvature allows, and the true outline is a polygon here, too
    assert Polygon(edge).hausdorff_distance(true) < 2 * within


def test_the_drawn_edge_of_an_undercut_disc_has_its_tails():
    edge = drive_parts.edge_within(UNDERCUT, 0.02)
    assert not Polygon(edge).is_valid  # it crosses itself
    assert len(edge) < 2000


lines = arrays.arrays(float, st.tuples(st.integers(2, 30), st.just(2)), elements=st.floats(-10, 10, width=16))


@given(lines, st.floats(0.01, 5.0))
def test_a_thinned_line_leaves_none_of_its_points_far_beside_it(points, within):
    few = drive_parts.thinned(points, within)
    assert (few[[0, -1]] == points[[0, -1]]).all()
    rows = [tuple(point) for point in points]
    assert set(map(tuple, few)) <= set(rows)
    if len(set(map(tuple, few))) > 1:
        far = max(LineString(few).distance(each) for each in map(_point, rows))
        assert far <= within * (1 + 1e-9)


def _point(row):
    return LineString([row, row])


@pytest.mark.parametrize(("lobes", "rays"), [(18, 1080), (19, 1900), (21, 1050)])
def test_a_milled_edge_is_drawn_within_what_it_says_and_in_as_few_corners_as_shapely_needs(lobes, rays):
    milled = sweep.cut(STORY, lobes=lobes, rays=rays).points
    few = drive_parts.thinned(milled, 0.02)
    assert hausdorff_distance(LineString(milled), LineString(few), densify=0.2) <= 0.02
    by_shapely = LineString(milled).simplify(0.02, preserve_topology=False)  # Douglas and Peucker
    assert len(few) <= 1.1 * len(by_shapely.coords)  # a tenth: of equally far points either may be taken
    assert len(few) < rays / 4


def test_where_nothing_lies_beside_the_chord_the_ends_are_enough():
    straight = np.linspace([0.0, 0.0], [1.0, 3.0], 50)
    assert len(drive_parts.thinned(straight, 1e-9)) == 2
