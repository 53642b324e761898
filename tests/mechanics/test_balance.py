"""How discs balance, against the standard's example and sums over small pieces.

Sources
-------
ISO 21940-11, Mechanical vibration - Rotor balancing - Part 11: G = e_per x omega; 10 kg at 3000 rpm and G 2.5 give
7.9577 um and 79.577 g mm. Its grades, and that the permissible unbalance is shared out to the two bearings' planes,
half to each where the centre of mass is midway: from memory.
Two equal discs at 180 degrees: static sum 0, couple m e a. An eccentric's own unbalance: derived, summed over small
pieces. Area of cut polygons: GEOS (through shapely). Half ring and circle: any handbook, from memory.
"""

import dataclasses
import inspect
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import balance
from tests.geometry.drives import STORY
from tests.mechanics.cut import cut_polygon

MACHINE = Reducer(STORY)
RPM = 2 * math.pi / 60  # rad/s


def test_a_disc_weighs_its_area_times_thickness_times_density():
    least, most = MATERIALS["PETG"].density
    cubic = cut_polygon(MACHINE).area * 5.0  # mm^3
    # 1 t/mm^3 is 1e6 g/mm^3; rel: of the polygon
    assert balance.disc_mass_g(MACHINE) == pytest.approx((cubic * least * 1e6, cubic * most * 1e6), rel=1e-5)
    assert 19 < balance.disc_mass_g(MACHINE)[0] < balance.disc_mass_g(MACHINE)[1] < 21
    thick = dataclasses.replace(MACHINE, disc_thickness=10.0, disc_material="bearing steel")
    assert balance.disc_mass_g(thick)[1] / balance.disc_mass_g(MACHINE)[1] == pytest.approx(2 * 7.85 / 1.29)


def test_an_eccentrics_own_unbalance_is_that_of_its_small_pieces():
    machine = MACHINE
    assert (machine.eccentric_bearing.bore_diameter, machine.eccentric_bearing.width) == (12.0, 5.0)
    step = 0.02
    x, y = np.meshgrid(np.arange(-8, 8, step) + step / 2, np.arange(-8, 8, step) + step / 2)
    solid = (np.hypot(x - 1.4, y) < 6.0) & (
        np.hypot(x, y) > 2.5
    )  # the round about the eccentric, less the shaft's hole
    first = (x[solid] * step**2).sum() * 5.0  # mm^4
    for mass, density in zip(balance.eccentric_mass_g(machine), MATERIALS["plain steel"].density, strict=True):
        assert mass * 1.4 == pytest.approx(first * density * 1e6, rel=1e-3)  # squares of 0.02 mm
    # as much as 22 % of the disc's, middle of the ranges
    share = sum(balance.eccentric_mass_g(machine)) / sum(balance.disc_mass_g(machine))
    assert share == pytest.approx(0.22, abs=0.01)  # digits as given


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
    found = balance.unbalance(machine)
    e, a = 1.4, 6.0
    assert found.mass_g == balance.disc_mass_g(machine)
    for end, m in enumerate(found.mass_g):
        sizes = found.static_g_mm[end], found.couple_g_mm2[end]
        assert sizes == pytest.approx((static * m * e, couple * m * e * a), abs=1e-12 * m)  # rounding of m e
        assert in_sum(machine, m) == pytest.approx(sizes, abs=1e-12 * m)


def test_the_unbalance_points_to_disc_0():
    found = balance.unbalance(Reducer(STORY, discs=1))
    assert found.static_arm == (1.4, 0.0)
    assert balance.unbalance(MACHINE).couple_arm[0] < 0  # disc 0 lies before the middle, at x > 0


def test_bearing_and_eccentric_go_round_with_their_disc():
    bare = balance.unbalance(MACHINE)
    laden = balance.unbalance(MACHINE, bearing_mass_g=6.3, eccentric_material="plain steel")
    steel = balance.eccentric_mass_g(MACHINE)
    assert laden.mass_g == pytest.approx([bare.mass_g[end] + 6.3 + steel[end] for end in (0, 1)])
    assert laden.couple_arm == bare.couple_arm
    with pytest.raises(ValueError, match="bearing_mass_g is -1"):
        balance.unbalance(MACHINE, bearing_mass_g=-1.0)
    with pytest.raises(ValueError, match="material is 'cheese'"):
        balance.unbalance(MACHINE, eccentric_material="cheese")


def test_the_shaking_force_is_that_of_a_mass_on_a_circle():
    # m v^2/r with v = r omega (any mechanics handbook): 20 g at 1.4 mm and 600 rpm
    shaking = balance.Unbalance((20.0, 30.0), (1.4, 0.0), (0.0, 1.4 * 6.0))
    speed = 1.4e-3 * 600 * RPM  # m/s
    force, moment = shaking.shaking(600 * RPM)
    assert force == pytest.approx((0.020 * speed**2 / 1.4e-3, 0.030 * speed**2 / 1.4e-3))  # kg, m and s give N as well
    assert moment == pytest.approx((force[0] * 6.0, force[1] * 6.0))


def test_the_standards_example():
    # ISO 21940-11: 10 kg, 3000 rpm, G 2.5
    allowed = float(balance.permissible_static_g_mm(2.5, 10_000, 3000 * RPM))
    assert allowed / 10_000 * 1e3 == pytest.approx(7.9577, abs=5e-5)  # um; digits as printed
    assert allowed == pytest.approx(79.577, abs=5e-4)  # g mm
    assert balance.quality(allowed, 0.0, 10_000, 3000 * RPM, 50.0) == pytest.approx(2.5)


def in_bearings(masses, offsets, places, distance):
    """What unbalance each bearing's plane has, by the lever, from point masses along the shaft, in complex numbers."""
    arrows = masses * offsets
    far = (arrows * (places + distance / 2)).sum() / distance
    return abs(arrows.sum() - far), abs(far)


@given(st.integers(1, 3), st.floats(10, 300), st.floats(0, 50), st.floats(20, 2000), st.floats(1, 300))
def test_the_quality_is_that_of_the_worse_bearing_by_the_lever(discs, distance, bearing, rotor, rate):
    machine = Reducer(STORY, discs=discs)
    found = balance.unbalance(machine, bearing_mass_g=bearing)
    places = 6.0 * (np.arange(discs) - (discs - 1) / 2)
    offsets = 1.4 * np.exp(2j * np.pi * np.arange(discs) / discs)
    worse = max(in_bearings(found.mass_g[1], offsets, places, distance))
    allowed = 2.5 * rotor / rate / 2  # at each bearing
    reached = balance.quality(found.static_g_mm[1], found.couple_g_mm2[1], rotor, rate, distance)
    assert reached / 2.5 == pytest.approx(worse / allowed)


@given(st.floats(0, 100), st.floats(0, 1000), st.floats(0, 2 * np.pi), st.floats(5, 300))
def test_static_and_couple_together_are_never_worse_than_their_sum_says(static, couple, between, distance):
    # four masses of 1 g: two at the middle, and two at a tenth of the distance from it, opposite each other
    offsets = np.array(
        [static / 2, static / 2, *(couple / (0.2 * distance) * np.exp(1j * between) * np.array([1, -1]))]
    )
    places = distance * np.array([0, 0, 0.1, -0.1])
    worse = max(in_bearings(np.ones(4), offsets, places, distance))
    reached = float(balance.quality(static, couple, 100.0, 1.0, distance))
    assert 2 * worse / 100 <= reached * (1 + 1e-9) + 1e-12  # rounding
    assert reached <= 2 * math.sqrt(2) * worse / 100 * (1 + 1e-9) + 1e-12  # at right angles it is too careful by this


def test_two_discs_of_the_story_meet_g_6_3_only_with_their_bearings_well_apart():
    # 600 turns a minute, 60 g turning (invented); middle of PETG's densities, 1.27 g/cm^3
    machine, rate = MACHINE, 600 * RPM
    disc = cut_polygon(machine).area * 5.0 * 1.27e-3
    couple = disc * 1.4 * 6.0
    assert couple == pytest.approx(165.6, abs=0.05)  # g mm^2; digits as given
    half = 6.3 * 60 / rate / 2  # g mm in each bearing's plane
    assert couple / half == pytest.approx(55.0, abs=0.1)
    eccentric = np.pi * 6.0**2 * 5.0 * 7.85e-3
    assert (disc + eccentric) * 1.4 * 6.0 / half == pytest.approx(67.4, abs=0.1)
    left = balance.unbalance(machine)
    assert balance.grade(left, 60.0, rate, 60.0) == 6.3
    assert balance.grade(left, 60.0, rate, 50.0) == 16
    steel = balance.unbalance(machine, eccentric_material="plain steel")
    assert balance.grade(steel, 60.0, rate, 60.0) == 16
    assert balance.grade(steel, 60.0, rate, 75.0) == 6.3
    # the middle of what the library says is what was worked out here
    least_distance = [float(2 * size / balance.permissible_static_g_mm(6.3, 60.0, rate)) for size in left.couple_g_mm2]
    assert sum(least_distance) / 2 == pytest.approx(couple / half, rel=1e-4)  # of the polygon


def test_one_disc_needs_a_counterweight_above_some_speed_only():
    single = balance.unbalance(Reducer(STORY, discs=1))
    assert balance.grade(single, 60.0, 600 * RPM, 60.0) == 40
    assert balance.grade(single, 60.0, 100 * RPM, 60.0) == 6.3


@given(st.floats(0, 1000), st.floats(0, 1000), st.floats(1, 1000), st.floats(0.1, 1000), st.floats(1, 1000))
def test_the_grade_reached_is_the_finest_that_allows_the_unbalance(static, couple, mass, rate, distance):
    unbalance = balance.Unbalance((0.5, 1.0), (static, 0.0), (0.0, couple))
    if balance.quality(static, couple, mass, rate, distance) > 4000:
        with pytest.raises(ValueError, match="the coarsest grade is 4000"):
            balance.grade(unbalance, mass, rate, distance)
        return
    number = balance.grade(unbalance, mass, rate, distance)

    def used(grade):
        """How much of what the grade allows is used up."""
        return static / balance.permissible_static_g_mm(grade, mass, rate) + couple / balance.permissible_couple_g_mm2(
            grade, mass, rate, distance
        )

    assert used(number) <= 1 + 1e-12  # rounding
    finer = [grade for grade in balance.GRADES if grade < number]
    if finer:
        assert used(finer[-1]) > 1 - 1e-12


def test_grades_are_about_two_and_a_half_times_apart():
    steps = np.divide(balance.GRADES[1:], balance.GRADES[:-1])
    assert steps == pytest.approx(2.5, abs=0.05)
    assert {2.5, 6.3, 16.0} <= set(balance.GRADES)


@given(st.floats(1, 1000), st.floats(5, 50), st.floats(0.1, 0.95))
def test_a_counterweight_takes_the_unbalance_away(static, outer, share):
    weight = balance.counterweight(static, outer, share * outer)
    assert weight.mass_g * weight.centroid_radius == pytest.approx(static)
    # the half ring's centroid and area, by GEOS
    ring = shapely.Point(0, 0).buffer(outer, quad_segs=500).difference(shapely.Point(0, 0).buffer(share * outer, 500))
    half = ring.intersection(shapely.box(0, -2 * outer, 2 * outer, 2 * outer))
    assert weight.centroid_radius == pytest.approx(half.centroid.x, rel=1e-4)  # polygons of 2000 corners
    densities = MATERIALS["plain steel"].density[::-1]  # the densest needs the least thickness
    made = [half.area * thick * density * 1e6 for thick, density in zip(weight.thickness, densities, strict=True)]
    assert made == pytest.approx([weight.mass_g] * 2, rel=1e-3)  # of a thin ring


def test_the_counterweight_of_one_printed_disc_is_a_thin_piece_of_steel():
    single = balance.unbalance(Reducer(STORY, discs=1))
    weight = balance.counterweight(single.static_g_mm[1], 15.0, 3.0)
    assert 0.5 < weight.thickness[0] < weight.thickness[1] < 3.0
    assert weight.mass_g < single.mass_g[0]


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        ((10.0, 3.0, 15.0), "inner_radius is 15"),
        ((0.0, 15.0, 3.0), "static_g_mm is 0.0"),
        ((10.0, -15.0, 3.0), "outer_radius is -15"),
        ((10.0, 15.0, 3.0, "cheese"), "material is 'cheese'"),
    ],
)
def test_an_impossible_counterweight_is_refused_by_name(arguments, named):
    with pytest.raises(ValueError, match=named):
        balance.counterweight(*arguments)


@pytest.mark.parametrize("bad", [0.0, -2.5, float("nan")])
def test_bad_numbers_are_refused_by_name(bad):
    with pytest.raises(ValueError, match="grade contains"):
        balance.permissible_static_g_mm(bad, 10.0, 300.0)
    with pytest.raises(ValueError, match="rotor_mass_g contains"):
        balance.quality(10.0, 0.0, bad, 300.0, 50.0)
    with pytest.raises(ValueError, match="crank_rate contains"):
        balance.quality(10.0, 0.0, 10.0, bad, 50.0)
    with pytest.raises(ValueError, match="bearing_distance contains"):
        balance.permissible_couple_g_mm2(6.3, 10.0, 300.0, bad)


@pytest.mark.parametrize("bad", [-2.5, float("nan")])
def test_a_size_below_zero_is_refused_by_name(bad):
    with pytest.raises(ValueError, match="static_g_mm contains"):
        balance.quality(bad, 0.0, 10.0, 300.0, 50.0)
    with pytest.raises(ValueError, match="couple_g_mm2 contains"):
        balance.quality(0.0, bad, 10.0, 300.0, 50.0)


def test_nobody_types_tonnes():
    named = [
        name
        for function in vars(balance).values()
        if inspect.isfunction(function) and function.__module__ == balance.__name__
        for name in inspect.signature(function).parameters
    ]
    weighing = [name for name in named if any(word in name for word in ("mass", "static", "couple"))]
    assert weighing
    assert all("_g" in name for name in weighing)
