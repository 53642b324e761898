"""A disc's section, against GEOS and closed forms.

Sources
-------
The story's area and polar second moment of area: derived, two methods. Area and centroid of cut polygons: GEOS (through
shapely); second moments of a polygon: sums over triangles, any handbook.
"""

import dataclasses

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import outline
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import section as sections
from tests.geometry.drives import LOOPED, STORY, TWELVE, sound_drives
from tests.mechanics.cut import cut_polygon

MACHINE = Reducer(STORY)
BARE = Reducer(STORY, outline_clearance=0.0)


def second_moments(polygon):
    """Integrals of y^2, x^2 and x y over a polygon, exact: the sum over triangles from the origin to each edge."""
    sums = np.zeros(3)
    for ring, sign in [(polygon.exterior, 1)] + [(hole, -1) for hole in polygon.interiors]:
        corners = np.array(shapely.get_coordinates(ring))
        (x, y), (u, v) = corners[:-1].T, corners[1:].T
        cross = x * v - u * y
        own = [
            (cross * (y * y + y * v + v * v)).sum() / 12,
            (cross * (x * x + x * u + u * u)).sum() / 12,
            (cross * (x * v + 2 * x * y + 2 * u * v + u * y)).sum() / 24,
        ]
        sums += sign * np.sign(cross.sum()) * np.array(own)
    return sums


def test_the_storys_outline_has_its_area_and_polar_second_moment():
    area, x, y, about_x, about_y, mixed = sections._outline_moments(STORY)
    assert area == pytest.approx(4272.756572, abs=5e-7)  # digits as given
    assert about_x + about_y == pytest.approx(2914850.308, abs=5e-4)
    # 19 lobes are even all round; rounding of 2e6
    assert [x, y, mixed, about_x - about_y] == pytest.approx([0, 0, 0, 0], abs=1e-8)


@given(sound_drives())
def test_the_area_is_the_outlines_own_closed_form(drive):
    # two ways, and both round: the sums to 1e-12 of the pin circle's square
    assert sections._outline_moments(drive)[0] == pytest.approx(
        outline.area(drive), abs=1e-10 * drive.pin_circle_radius**2
    )


@pytest.mark.parametrize(
    "machine",
    [
        BARE,
        MACHINE,
        Reducer(STORY, output_rollers=3, hole_phase=0.6, output_circle_radius=24.0),
        Reducer(TWELVE, output_rollers=4),
        # two lobes: the second moments differ and, with four holes askew or three, are told apart
        Reducer(Drive(3, 60.0, 10.0, 4.0), output_rollers=3, output_circle_radius=28.0, output_roller_radius=3.0),
    ],
    ids=["story, no clearance", "story", "three holes", "twelve pins", "two lobes"],
)
def test_a_discs_moments_are_those_of_a_fine_polygon(machine):
    found, polygon = sections.section(machine), cut_polygon(machine)
    size = machine.drive.pin_circle_radius
    # the polygon leaves the outline by 1e-4 mm at most, along 2 pi R or a little more
    assert found.area == pytest.approx(polygon.area, abs=1e-4 * 10 * size)
    centroid = polygon.centroid
    assert found.centroid == pytest.approx((centroid.x, centroid.y), abs=1e-4)
    assert found.second_moments == pytest.approx(tuple(second_moments(polygon)), abs=1e-4 * 10 * size**3)
    assert found.polar_moment == found.second_moments[0] + found.second_moments[1]


def test_two_lobes_are_longer_one_way():
    about_x, about_y, _ = sections.section(Reducer(Drive(3, 60.0, 10.0, 4.0), output_rollers=4)).second_moments
    assert about_y < about_x  # roots on +x and -x, tips on +y and -y


@given(sound_drives(), st.floats(0.01, 0.3))
def test_a_disc_moved_in_by_its_clearance_loses_a_rim_as_long_as_its_outline(drive, share):
    whole = sections._outline_moments(drive)[0]
    moved = 1e-5 * share * drive.roller_radius
    less = sections._outline_moments(dataclasses.replace(drive, roller_radius=drive.roller_radius + moved))[0]
    # Steiner: the length times the way, less pi times its square; rounding of the area over so thin a rim
    assert (whole - less) / moved == pytest.approx(
        outline.length(drive), rel=1e-4, abs=1e-11 * drive.pin_circle_radius**2 / moved
    )


@pytest.mark.parametrize(
    "figures", [{"output_circle_radius": 32.0}, {"output_circle_radius": 16.0}, {"output_rollers": 13}]
)
def test_holes_that_run_into_something_have_no_section(figures):
    with pytest.raises(ValueError, match="reducer has output holes that"):
        sections.section(dataclasses.replace(MACHINE, **figures))


def test_an_outline_that_is_torn_has_no_section():
    torn = Drive(20, 42.0, 5.0, 2.1 * (1 - 1e-9))
    with pytest.raises(ValueError, match="so near 1"):
        sections._outline_moments(torn)


def test_a_looped_outlines_area_counts_as_its_parameter_draws_it():
    assert sections._outline_moments(LOOPED)[0] == pytest.approx(outline.area(LOOPED), rel=1e-9)
