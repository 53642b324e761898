"""One roller on the stage: it is where the disc sees pin 0, its contact is a contact, its groove leaves the disc.

- Where pins are, seen from the disc: `sweep.pins_from_disc`, from the machine's motion alone, without the outline.
- What is left: a polygon library's buffer of the path that is drawn (Shapely, on GEOS), against the milled disc.
"""

import math
import re

import numpy as np
import pytest
import shapely

from cyclokit.geometry import motion, sweep
from cyclokit.view import milling_scene, palette
from cyclokit.view.pins import View
from tests.geometry.drives import STORY
from tests.view.drawn import ROUNDED, SVG, facts_of, move_of, pairs, parsed, part, seen

ALL = tuple(milling_scene.SENTENCES)


@pytest.fixture(scope="module")
def made():
    return milling_scene.one_roller(STORY, View(show=ALL))


def trails(made):
    return [line for line in parsed(made).iter(f"{SVG}polyline")]


def test_the_roller_runs_along_its_path_seen_from_the_disc(made):
    groove, path = (pairs(line.get("data-trail")) for line in trails(made))
    assert np.array_equal(groove, path)
    crank = np.linspace(0, 2 * np.pi * STORY.lobes, len(path))
    assert facts_of(made)["turns"] == STORY.lobes
    assert np.abs(path - sweep.pins_from_disc(STORY, crank)[:, 0]).max() < ROUNDED


def test_the_disc_moves_as_the_drives(made):
    for crank in (0.3, 4.0, 60.0):
        pose = motion.disc_pose(STORY, crank)
        assert move_of(part(made, "disc")).at(crank) == pytest.approx((*pose.centre, pose.angle), abs=1e-6)


def test_what_the_groove_leaves_of_the_blank_is_the_milled_disc(made):
    (groove, _), (blank, *_) = trails(made), part(made, "disc").iter(f"{SVG}circle")
    assert groove.get("stroke") == palette.PAGE.light
    path = shapely.LineString(pairs(groove.get("data-trail")))
    gone = path.buffer(float(groove.get("stroke-width")) / 2, quad_segs=64)
    round_blank = shapely.Point(0, 0).buffer(float(blank.get("r")), quad_segs=256)
    left = round_blank.difference(gone)
    left = max(getattr(left, "geoms", [left]), key=lambda piece: piece.area)
    disc = shapely.Polygon(sweep.cut(STORY).points)
    # 36 straight steps in a wave bulge out from the path by up to 0.05 mm: less than a line of the picture is wide
    assert left.hausdorff_distance(disc) < 0.06


@pytest.mark.parametrize("crank", [0.0, 1.0, 2.5, 30.0])
def test_cross_and_dot_stand_on_the_normal_and_at_the_contact(crank):
    made = milling_scene.one_roller(STORY, View(crank, show=ALL))
    touch = motion.contacts(STORY, crank)
    (dot,) = (each for each in parsed(made).iter(f"{SVG}circle") if each.get("data-pin") == "0")
    (cross,) = (each for each in parsed(made).iter(f"{SVG}path") if each.get("data-pin") == "0")
    for element in (dot, cross):
        degrees = -float(re.findall(r"rotate\((.*?)\)", element.get("transform"))[-1])
        reach = float(dot.get("cx"))
        at = motion.pins(STORY)[0] + reach * np.array(
            [math.cos(math.radians(degrees)), math.sin(math.radians(degrees))]
        )
        # the table has 720 rows a turn: half a step of 0.25 degrees, in which a normal turns by up to 2, at 5 mm
        assert math.dist(at, touch.points[0]) < 0.2
    facts = facts_of(made)
    assert facts["pins"] == 1
    assert facts["circle"] == STORY.pin_circle_radius


def test_the_dot_is_on_the_edge_that_is_drawn(made):
    edge = next(
        pairs(each.get("d")) for layer in parsed(made).iter(f"{SVG}g") if layer.get("data-layer") == "disc's edge"
        for each in layer.iter(f"{SVG}path")
    )  # fmt: skip
    radius, facts = STORY.roller_radius, facts_of(made)
    table = np.radians(facts["normal"])
    crank = 2 * np.pi * np.arange(len(table)) / len(table)
    dots = np.array([STORY.pin_circle_radius, 0]) - radius * np.stack([np.cos(table), np.sin(table)], axis=-1)
    move = move_of(part(made, "disc"))
    ring = shapely.LinearRing(edge)
    for angle, dot in zip(crank[::7], dots[::7], strict=True):
        x, y, turn = move.at(angle)
        on_disc = motion.turned(dot - [x, y], np.float64(-turn))
        # the edge is drawn within a fortieth of a unit of about 1 mm, and rounded; the table to 0.01 degrees
        assert ring.distance(shapely.Point(on_disc)) < 0.04


def test_words_say_what_is_shown(made):
    assert made.words.startswith("One of the 20 rollers")
    only = milling_scene.one_roller(STORY, View(show=("roller", "path")))
    assert "mills" not in only.words
    assert "path" in only.words
    assert only.layers == made.layers == ALL
    assert seen([[0.0, 0.0]], move_of(part(only, "disc")).at(0.0)) == pytest.approx(np.array([[1.4, 0.0]]))
