"""A drive with one member held: seen from the ring it must go as it does with the ring held, whatever is held.

- Three members on one arm: R. Willis, Principles of Mechanism (from memory): rates seen from the crank stay in
  proportion.
"""

import json
import math
import re
from xml.etree import ElementTree

import pytest

from cyclokit import Drive
from cyclokit.geometry import motion
from cyclokit.view import held_scene
from cyclokit.view.pins import View
from cyclokit.view.svg import Move
from tests.geometry.drives import STORY

FEW = Drive(pins=9, pin_circle_radius=30.0, roller_radius=4.0, eccentricity=1.0)
CASES = [(drive, held) for drive in (STORY, FEW) for held in held_scene.MEMBERS]


def moves(drive, held, angle=0.0):
    svg = held_scene.turning(drive, held, View(angle, show=tuple(held_scene.SENTENCES))).svg
    tree = ElementTree.fromstring(svg)
    parts = {part.get("data-part"): part for part in tree.iter() if part.get("data-part")}
    told = {name: Move(*map(float, part.get("data-move").split())) for name, part in parts.items()}
    return told, json.loads(tree.get("data-facts"))


@pytest.mark.parametrize(("drive", "held"), CASES)
@pytest.mark.parametrize("angle", [0.0, 0.7, 4.0, 17.0])
def test_seen_from_the_ring_the_disc_is_where_it_always_is(drive, held, angle):
    told, _ = moves(drive, held)
    ring, crank = told["ring"].spin * angle, told["crank"].spin * angle
    pose = motion.disc_pose(drive, crank - ring)
    x, y, spin = told["disc"].at(angle)
    centre = complex(*pose.centre) * complex(math.cos(ring), math.sin(ring))
    assert complex(x, y) == pytest.approx(centre, abs=1e-7)  # rates carry nine decimals
    assert spin - ring == pytest.approx(pose.angle, abs=1e-7)


@pytest.mark.parametrize(("drive", "held"), CASES)
def test_the_held_member_stands_and_the_driver_makes_one_turn(drive, held):
    told, facts = moves(drive, held)
    assert told[held].spin == 0
    rates = dict(facts["frames"]["ring"])
    assert next(iter(rates.values())) == 1
    assert {name: told[name].spin for name in rates} == pytest.approx(rates)
    ring, disc, crank = (rates[name] for name in ("ring", "disc", "crank"))
    assert (ring - crank) / (disc - crank) == pytest.approx(drive.lobes / drive.pins, abs=1e-7)  # Willis


@pytest.mark.parametrize(("drive", "held"), CASES)
def test_after_its_turns_all_is_as_before(drive, held):
    told, facts = moves(drive, held)
    for move in told.values():
        for turned in (move.spin, move.rate):
            assert (turned * facts["turns"]) % 1 == pytest.approx(0, abs=1e-6) or (
                turned * facts["turns"]
            ) % 1 == pytest.approx(1, abs=1e-6)


def test_the_words_say_what_is_held_and_who_drives():
    words = held_scene.turning(STORY, "disc", View(show=("turns",))).words
    assert "disc may wobble but not turn" in words
    assert re.search(r"The crank \(green\) drives; the ring follows", words)


def test_nothing_else_can_be_held():
    with pytest.raises(ValueError, match="held is 'roller', but must be one of ring, disc, crank"):
        held_scene.rates(STORY, "roller")
