"""What two areas share, judged by cutting it out and taking off its edge, which the room itself doesn't do."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.making import assembly, contact, solids
from cyclokit.making.loops import Circle, polygon
from cyclokit.making.shapes import Part, Slab, part_moved

STORY = solids.machine(Reducer(Drive(20, 42.0, 5.0, 1.4)), 0.7)
RADII = st.floats(0.5, 5.0)
PLACES = st.floats(-12.0, 12.0)
TURNS = st.floats(-math.pi, math.pi)


def piece(name, outside, holes=()):
    """A part of one slab, 5 mm thick."""
    return Part(name, (Slab(outside, holes, bottom=0.0, top=5.0),), "plastic")


RING = piece("ring", Circle(10.0), (Circle(6.0),))


def depth_beyond(one, other, depth):
    """Whether a circle as wide as that lies in what two areas share."""
    return not shapely.intersection(one, other).buffer(-depth / 2).is_empty


def judged_alike(one, other):
    """By both ways; in between, within a tenth of what counts as deep, either answer is right."""
    if depth_beyond(one.area, other.area, 1.1 * contact.DEEP):
        return contact.deep(one, other)
    return depth_beyond(one.area, other.area, 0.9 * contact.DEEP) or not contact.deep(one, other)


@given(st.integers(3, 9), RADII, PLACES, PLACES, TURNS)
def test_what_a_polygon_shares_with_a_ring_is_told_as_by_cutting_it_out(corners, radius, x, y, turn):
    angles = turn + np.arange(corners) * (2 * math.pi / corners)
    loop = polygon(np.column_stack([x + radius * np.cos(angles), y + radius * np.sin(angles)]))
    one, ring = contact.layers([piece("one", loop), RING])
    assert judged_alike(one, ring)
    assert judged_alike(ring, one)


@pytest.mark.parametrize("far, shared", [(0.008, False), (0.012, True), (-0.008, False), (-0.012, True)])
def test_a_pin_in_a_hole_of_its_size_shares_as_much_as_it_is_aside(far, shared):
    assert contact.deep(*contact.layers([piece("pin", Circle(6.0, (far, 0.0))), RING])) == shared


def test_all_pairs_of_the_story_are_told_as_by_cutting_out():
    every = contact.layers(STORY)
    pairs = [
        (one, other)
        for number, one in enumerate(every)
        for other in every[number + 1 :]
        if shapely.box(*one.area.bounds).intersects(shapely.box(*other.area.bounds))
    ]
    assert len(pairs) > 2000
    assert all(judged_alike(one, other) for one, other in pairs[::20])


@pytest.mark.parametrize("name, direction", [("disc_0", "+x"), ("crank", "-y"), ("flange", "+y")])
def test_ways_are_those_found_in_small_steps(name, direction):
    """A body is moved on by 2 um, then again, until what it shares with a part is deep: its gap is as long."""
    bodies, step = assembly.bodies(STORY), 2e-3
    mine = contact.layers(bodies[name])
    names = frozenset(part.name for part in bodies[name])
    along = contact.AXES[direction]
    every = contact.layers(STORY)
    gaps = contact.gaps_beside(mine, contact.Around(every), contact.shifted(along), names, contact.FARTHEST)
    near = {part: gap for part, gap in gaps.items() if gap < 0.2}
    assert near
    for part, gap in near.items():
        others = [layer for layer in every if layer.part == part]

        def meets(far, others=others):
            return any(
                depth_beyond(shapely.affinity.translate(one.area, *(far * np.array(along))), other.area, contact.DEEP)
                for one in mine
                for other in others
                if one.beside(other)
            )

        places = np.arange(0.0, gap + 3 * step, step)
        assert next(far for far in places if meets(far)) == pytest.approx(gap, abs=2 * step)


def test_parts_moved_into_each_other_overlap():
    pin = piece("pin", Circle(3.0))
    assert contact.overlaps([pin, RING]) == []
    assert contact.overlaps([part_moved(pin, by=(3.1, 0.0, 0.0)), RING]) == [("pin", "ring")]
