"""The outline's corners as they are drawn: few, and close to the curve.

Distances between shapes: Shapely, a general-purpose geometry library.
"""

from hypothesis import given, settings
from shapely import Polygon

from cyclokit.geometry import outline
from cyclokit.view import drive_parts
from tests.geometry.drives import UNDERCUT, sound_drives


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
