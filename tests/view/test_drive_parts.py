"""The outline's corners as they are drawn: few, and close to the curve.

Distances between shapes: Shapely, a general-purpose geometry library.
"""

import re

import numpy as np
import pytest
from hypothesis import given, settings
from shapely import Polygon

from cyclokit.geometry import outline, speeds
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


def test_velocity_arrows_are_in_proportion_to_the_velocities_of_the_discs_points():
    text = re.search(r'd="([^"]+)"', drive_parts.velocity_arrows(STORY, drive_parts.unit_of(STORY)))[1]
    lines = [np.array([pair.split(",") for pair in line.split("L")], float) * [1, -1] for line in text.split("M")[1:]]
    shafts = [line for line in lines if len(line) == 2]
    assert len(shafts) > 30
    for tail, tip in shafts:
        velocity = speeds.velocities(STORY, 0.0, tail - [STORY.eccentricity, 0.0])  # the disc's frame, crank at 0
        shown = (tip - tail) / np.linalg.norm(tip - tail)
        assert shown == pytest.approx(velocity / np.linalg.norm(velocity), abs=0.01)  # of a direction: three decimals
        expected = drive_parts.LONG * STORY.lobes * np.linalg.norm(velocity)
        assert np.linalg.norm(tip - tail) == pytest.approx(expected, abs=0.003)  # mm
        assert np.linalg.norm(tail - [STORY.eccentricity, 0.0]) < STORY.root_circle_radius
