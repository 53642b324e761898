"""Slabs and parts against the areas of their curves, and of Shapely's polygons."""

import math

import pytest

from cyclokit.geometry import outline
from cyclokit.making import loops, shapes
from tests.making.parts import STORY


def test_slabs_and_parts():
    slab = shapes.Slab(loops.Lobes(STORY, (1.4, 0.0), 0.3), (loops.Circle(10.5, (1.4, 0.0)),), 15.5, 20.5)
    disc = shapes.Part("disc", (slab,), "PETG")
    assert disc.volume == pytest.approx(5 * (outline.area(STORY) - math.pi * 10.5**2), rel=1e-12)
    assert shapes.plane(slab).area == pytest.approx(slab.area, abs=1e-3 * 400)  # tolerance times all edges
    assert shapes.at_height(disc, 18.0).area == shapes.plane(slab).area
    assert shapes.at_height(disc, 15.5).is_empty and shapes.at_height(disc, 21.0).is_empty
    lifted = shapes.part_moved(disc, 0.5, (1.0, 2.0, 3.0))
    assert (lifted.bottom, lifted.top) == (18.5, 23.5)
    assert lifted.volume == pytest.approx(disc.volume, rel=1e-12)


def test_what_is_no_shape_is_told():
    with pytest.raises(ValueError, match="the top must be higher"):
        shapes.Slab(loops.Circle(1.0), (), 2.0, 2.0)


@pytest.mark.parametrize("name", ["", "../disc", "disc 1", "d\x1b[2J", "scheibe_\u00fc", "a" * 101])
def test_a_name_that_no_file_should_have_is_refused(name):
    with pytest.raises(ValueError, match=r"name is .*files are called so"):
        shapes.Part(name, (shapes.Slab(loops.Circle(2.0), (), 0.0, 1.0),), "PLA")


def test_a_part_without_slabs_is_refused():
    with pytest.raises(ValueError, match="slabs is empty"):
        shapes.Part("disc", (), "PLA")
