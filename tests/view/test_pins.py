"""Tables of pin 0: how its roller turns.

- A roller that rolls once along a closed edge turns by the edge's length over its own (rolling without slip).
"""

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.geometry import motion, outline
from cyclokit.view import pins, scene
from cyclokit.view.pins import View
from tests.geometry.drives import STORY

DRIVES = [STORY, Drive(12, 40.0, 4.0, 1.5)]


@pytest.mark.parametrize("drive", DRIVES)
def test_while_the_disc_turns_once_a_roller_turns_by_the_edges_length_over_its_own(drive):
    facts = pins.rolling_facts(drive)
    around = 2 * np.pi * drive.roller_radius
    assert facts["rolls"] * drive.lobes == pytest.approx(outline.length(drive) / around, rel=1e-6)


@pytest.mark.parametrize("drive", DRIVES)
def test_the_table_is_the_edge_that_has_passed(drive):
    facts, little = pins.rolling_facts(drive), 1e-6  # rad
    table = np.array(facts["rolled"])
    steps = len(table)
    for place in (0, steps // 5, steps // 2, steps - 7):
        crank = 2 * np.pi * place / steps
        turned = (table[(place + 3) % steps] - table[place - 3]) / (6 * 360 / steps) + facts["rolls"]
        touch = motion.contacts(drive, crank)
        at = motion.disc_pose(drive, crank)
        own = motion.turned(touch.points[0] - at.centre, -at.angle)  # the disc's point that touches
        moved = (motion.disc_points(drive, crank + little, own) - motion.disc_points(drive, crank - little, own)) / (
            2 * little
        )
        tangent = np.array([-touch.normals[0, 1], touch.normals[0, 0]])
        # a roller's surface at the disc's side goes with the edge; two decimals of a degree over six steps
        assert turned == pytest.approx(-(moved @ tangent) / drive.roller_radius, abs=0.005)


def test_only_a_page_that_asks_for_it_carries_the_table():
    assert "rolled" not in scene.turning(STORY, View(show=("rollers",))).svg
    made = scene.turning(STORY, View(show=("rollers", "roller marks", "velocities")))
    assert "rolled" in made.svg
    assert {"roller marks", "velocities"} <= set(made.layers)
