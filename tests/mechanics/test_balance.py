"""How discs balance, against GEOS, the standard's example and sums over small pieces.

Sources
-------
ISO 21940-11, Mechanical vibration - Rotor balancing - Part 11: G = e_per x omega; 10 kg at 3000 rpm and G 2.5 give
7.9577 um and 79.577 g mm. Its grades: from memory.
Two equal discs at 180 degrees: static sum 0, couple m e a; the story's area and polar second moment of area: derived,
two methods. Area and centroid of cut polygons: GEOS (through shapely). Half ring and circle: any handbook, from memory.
"""

import dataclasses
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import outline
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import balance
from tests.geometry.drives import LOOPED, STORY, TWELVE, sound_drives

MACHINE = Reducer(STORY)
BARE = Reducer(STORY, outline_clearance=0.0)
GRAM = 1e-6  # t
RPM = 2 * math.pi / 60  # rad/s


def cut_polygon(machine, tolerance=1e-4):
    """The disc as a polygon with its holes, its corners on the curves."""
    turn = machine.hole_phase / machine.drive.lobes + np.arange(machine.output_rollers) / machine.output_rollers
    centres = machine.output_circle_radius * np.exp(2j * np.pi * turn)
    cuts = [shapely.Point(0, 0).buffer(machine.bore_radius, quad_segs=2000)]
    cuts += [shapely.Point(c.real, c.imag).buffer(machine.hole_radius, quad_segs=2000) for c in centres]
    return shapely.Polygon(outline.polygon(machine.disc_drive, tolerance)).difference(shapely.union_all(cuts))


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
    area, x, y, about_x, about_y, mixed = balance._outline_moments(STORY)
    assert area == pytest.approx(4272.756572, abs=5e-7)  # digits as given
    assert about_x + about_y == pytest.approx(2914850.308, abs=5e-4)
    # 19 lobes are even all round; rounding of 2e6
    assert [x, y, mixed, about_x - about_y] == pytest.approx([0, 0, 0, 0], abs=1e-8)


@given(sound_drives())
def test_the_area_is_the_outlines_own_closed_form(drive):
    # two ways, and both round: the sums to 1e-12 of the pin circle's square
    assert balance._outline_moments(drive)[0] == pytest.approx(
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
    found, polygon = balance.section(machine), cut_polygon(machine)
    size = machine.drive.pin_circle_radius
    # the polygon leaves the outline by 1e-4 mm at most, along 2 pi R or a little more
    assert found.area == pytest.approx(polygon.area, abs=1e-4 * 10 * size)
    centroid = polygon.centroid
    assert found.centroid == pytest.approx((centroid.x, centroid.y), abs=1e-4)
    assert found.second_moments == pytest.approx(tuple(second_moments(polygon)), abs=1e-4 * 10 * size**3)
    assert found.polar_moment == found.second_moments[0] + found.second_moments[1]


def test_two_lobes_are_longer_one_way():
    about_x, about_y, _ = balance.section(Reducer(Drive(3, 60.0, 10.0, 4.0), output_rollers=4)).second_moments
    assert about_y < about_x  # roots on +x and -x, tips on +y and -y


@given(sound_drives(), st.floats(0.01, 0.3))
def test_a_disc_moved_in_by_its_clearance_loses_a_rim_as_long_as_its_outline(drive, share):
    whole = balance._outline_moments(drive)[0]
    moved = 1e-5 * share * drive.roller_radius
    less = balance._outline_moments(dataclasses.replace(drive, roller_radius=drive.roller_radius + moved))[0]
    # Steiner: the length times the way, less pi times its square; rounding of the area over so thin a rim
    assert (whole - less) / moved == pytest.approx(
        outline.length(drive), rel=1e-4, abs=1e-11 * drive.pin_circle_radius**2 / moved
    )


@pytest.mark.parametrize(
    "figures", [{"output_circle_radius": 32.0}, {"output_circle_radius": 16.0}, {"output_rollers": 13}]
)
def test_holes_that_run_into_something_have_no_section(figures):
    with pytest.raises(ValueError, match="reducer has output holes that"):
        balance.section(dataclasses.replace(MACHINE, **figures))


def test_an_outline_that_is_torn_has_no_section():
    torn = Drive(20, 42.0, 5.0, 2.1 * (1 - 1e-9))
    with pytest.raises(ValueError, match="so near 1"):
        balance._outline_moments(torn)


def test_a_looped_outlines_area_counts_as_its_parameter_draws_it():
    assert balance._outline_moments(LOOPED)[0] == pytest.approx(outline.area(LOOPED), rel=1e-9)


def test_a_disc_weighs_its_area_times_thickness_times_density():
    plastic = MATERIALS["PETG"].density
    expected = cut_polygon(MACHINE).area * 5.0 * (plastic[0] + plastic[1]) / 2
    assert balance.disc_mass(MACHINE) == pytest.approx(expected, rel=1e-5)  # of the polygon
    assert 19 * GRAM < balance.disc_mass(MACHINE) < 21 * GRAM
    thick = dataclasses.replace(MACHINE, disc_thickness=10.0, disc_material="bearing steel")
    assert balance.disc_mass(thick) / balance.disc_mass(MACHINE) == pytest.approx(2 * 7.825 / 1.27)


# unbalance


def in_sum(machine, mass):
    """Static and couple unbalance, added up disc by disc in complex numbers."""
    turns = np.exp(2j * np.pi * np.arange(machine.discs) / machine.discs)
    pitch = machine.disc_thickness + machine.disc_gap
    along = pitch * (np.arange(machine.discs) - (machine.discs - 1) / 2)
    offset = mass * machine.drive.eccentricity * turns
    return abs(offset.sum()), abs((along * offset).sum())


@pytest.mark.parametrize(("discs", "static", "couple"), [(1, 1, 0), (2, 0, 1), (3, 0, math.sqrt(3))])
def test_one_disc_shakes_two_wobble_and_three_wobble_too(discs, static, couple):
    machine = Reducer(STORY, discs=discs)
    found, m = balance.unbalance(machine), balance.disc_mass(machine)
    e, a = 1.4, 6.0
    assert found.mass == m
    # rounding of m e
    assert math.hypot(*found.static) == pytest.approx(static * m * e, abs=1e-12 * m)
    assert math.hypot(*found.couple) == pytest.approx(couple * m * e * a, abs=1e-12 * m)
    assert in_sum(machine, m) == pytest.approx((math.hypot(*found.static), math.hypot(*found.couple)), abs=1e-12 * m)


def test_the_unbalance_points_to_disc_0():
    found = balance.unbalance(Reducer(STORY, discs=1))
    assert found.static[0] > 0
    assert found.static[1] == 0
    two = balance.unbalance(MACHINE)
    assert two.couple[0] < 0  # disc 0 lies before the middle, at x > 0


def test_an_eccentrics_bearing_goes_round_with_its_disc():
    bare, laden = (balance.unbalance(MACHINE, bearing_mass=mass) for mass in (0.0, 6.3 * GRAM))
    assert laden.mass == pytest.approx(bare.mass + 6.3 * GRAM)
    assert laden.couple[0] / bare.couple[0] == pytest.approx(laden.mass / bare.mass)
    with pytest.raises(ValueError, match="bearing_mass is -1"):
        balance.unbalance(MACHINE, bearing_mass=-1.0)


def test_the_shaking_force_is_that_of_a_mass_on_a_circle():
    # m v^2/r with v = r omega (any mechanics handbook): 20 g at 1.4 mm and 600 rpm
    shaking = balance.Unbalance(20 * GRAM, (20 * GRAM * 1.4, 0.0), (0.0, 20 * GRAM * 1.4 * 6.0))
    speed = 1.4e-3 * 600 * RPM  # m/s
    force, moment = shaking.shaking(600 * RPM)
    assert force == pytest.approx(0.020 * speed**2 / 1.4e-3)  # kg, m and s give N as well
    assert moment == pytest.approx(force * 6.0)


def test_the_standards_example():
    # ISO 21940-11: 10 kg, 3000 rpm, G 2.5
    allowed = float(balance.permissible(2.5, 0.010, 3000 * RPM))
    assert allowed / 0.010 * 1e3 == pytest.approx(7.9577, abs=5e-5)  # um; digits as printed
    assert allowed / GRAM == pytest.approx(79.577, abs=5e-4)  # g mm
    assert balance.quality(allowed, 0.010, 3000 * RPM) == pytest.approx(2.5)


@given(st.floats(1e-9, 1.0), st.floats(1e-6, 1.0), st.floats(0.1, 1000.0))
def test_the_grade_reached_is_the_finest_that_allows_the_unbalance(static, mass, rate):
    if balance.quality(static, mass, rate) > 4000:
        with pytest.raises(ValueError, match="the coarsest grade is 4000"):
            balance.grade(static, mass, rate)
        return
    number = balance.grade(static, mass, rate)
    assert static <= balance.permissible(number, mass, rate) * (1 + 1e-12)  # rounding
    finer = [grade for grade in balance.GRADES if grade < number]
    if finer:
        assert static > balance.permissible(finer[-1], mass, rate)


def test_grades_are_about_two_and_a_half_times_apart():
    steps = np.divide(balance.GRADES[1:], balance.GRADES[:-1])
    assert steps == pytest.approx(2.5, abs=0.05)
    assert {2.5, 6.3, 16.0} <= set(balance.GRADES)


@given(st.floats(1e-6, 1e-3), st.floats(5, 50), st.floats(0.1, 0.95))
def test_a_counterweight_takes_the_unbalance_away(static, outer, share):
    weight = balance.counterweight(static, outer, share * outer)
    assert weight.mass * weight.centroid_radius == pytest.approx(static)
    # the half ring's centroid and area, by GEOS
    ring = shapely.Point(0, 0).buffer(outer, quad_segs=500).difference(shapely.Point(0, 0).buffer(share * outer, 500))
    half = ring.intersection(shapely.box(0, -2 * outer, 2 * outer, 2 * outer))
    assert weight.centroid_radius == pytest.approx(half.centroid.x, rel=1e-4)  # polygons of 2000 corners
    density = sum(MATERIALS["bearing steel"].density) / 2
    assert weight.mass == pytest.approx(half.area * weight.thickness * density, rel=1e-3)  # of a thin ring


def test_the_counterweight_of_one_printed_disc_is_a_thin_piece_of_steel():
    single = balance.unbalance(Reducer(STORY, discs=1))
    weight = balance.counterweight(math.hypot(*single.static), 15.0, 3.0)
    assert 0.5 < weight.thickness < 3.0
    assert weight.mass < single.mass


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ((1e-5, 3.0, 15.0), "inner_radius is 15"),
        ((0.0, 15.0, 3.0), "static contains 0.0"),
        ((1e-5, -15.0, 3.0), "outer_radius is -15"),
        ((1e-5, 15.0, 3.0, "cheese"), "material is 'cheese'"),
    ],
)
def test_an_impossible_counterweight_is_refused_by_name(arguments, named):
    with pytest.raises(ValueError, match=named):
        balance.counterweight(*arguments)


@pytest.mark.parametrize("bad", [0.0, -2.5, float("nan")])
def test_bad_numbers_are_refused_by_name(bad):
    with pytest.raises(ValueError, match="grade contains"):
        balance.permissible(bad, 0.01, 300.0)
    with pytest.raises(ValueError, match="mass contains"):
        balance.quality(1e-5, bad, 300.0)
    with pytest.raises(ValueError, match="crank_rate contains"):
        balance.quality(1e-5, 0.01, bad)
