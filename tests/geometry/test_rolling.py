"""Rolling curves against handbooks and against a circle rolled step by step.

Sources
-------
Cycloid: length 8 r (C. Wren, 1658), area 3 pi r^2 (G. de Roberval); any calculus handbook, from memory.
Epicycloid: area pi r^2 (n + 1)(n + 2), R. W. Gosper, math-fun list (for R = 1); length 8 (n + 1) r,
from memory. Cardioid: Encyclopedia of Mathematics, "Cardioid". An epitrochoid's length by the
complete elliptic integral: derived; scipy.special.ellipe against scipy.integrate.quad.
"""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from cyclokit.geometry import outline, rolling
from tests.geometry.drives import as_complex, sound_drives

radii = st.floats(0.1, 100.0)
EXACT = 1e-12  # relative: a few roundings of a closed formula


def chord_length(points):
    return np.hypot(*np.diff(points, axis=0).T).sum()


@given(radii)
def test_a_cycloids_arch_is_eight_radii_long_and_three_circles_large(radius):
    assert rolling.cycloid_arch_length(radius) == pytest.approx(8 * radius, rel=EXACT)
    assert rolling.cycloid_arch_area(radius) == pytest.approx(3 * math.pi * radius**2, rel=EXACT)


def test_the_cycloids_points_are_as_long_and_large_as_that():
    points = rolling.cycloid(2.0, np.linspace(0, 2 * np.pi, 20_001))
    # 20 000 chords of a smooth arch: relative error (2 pi/20 000)^2/24, about 4e-9
    assert chord_length(points) == pytest.approx(rolling.cycloid_arch_length(2.0), rel=1e-8)
    assert np.trapezoid(points[:, 1], points[:, 0]) == pytest.approx(rolling.cycloid_arch_area(2.0), rel=1e-7)


@pytest.mark.parametrize("n", [1, 2, 3, 19])
def test_whole_epicycloids_are_as_long_and_large_as_handbooks_say(n):
    r = 1.7
    assert n * rolling.epicycloid_arch_length(n * r, r) == pytest.approx(8 * (n + 1) * r, rel=EXACT)
    whole = n * rolling.epicycloid_arch_area(n * r, r)
    assert whole == pytest.approx(math.pi * r**2 * (n + 1) * (n + 2), rel=EXACT)


def test_the_cardioid():
    # Encyclopedia of Mathematics, "Cardioid": length 16 r, area 6 pi r^2, arc from the cusp 16 r sin^2(phi/4)
    r = 2.5
    assert rolling.epicycloid_arch_length(r, r) == pytest.approx(16 * r, rel=EXACT)
    assert rolling.epicycloid_arch_area(r, r) == pytest.approx(6 * math.pi * r**2, rel=EXACT)
    phi = np.linspace(0, 2.0, 20_001)
    arc = chord_length(rolling.epicycloid(r, r, phi))
    assert arc == pytest.approx(16 * r * math.sin(2.0 / 4) ** 2, rel=1e-8)  # 20 000 chords


@given(radii, radii)
def test_an_epicycloids_arch_is_not_eight_times_the_distance_of_the_centres(fixed, rolled):
    # derived: the trap is 8 (R + r); an arch has 8 r (R + r)/R
    length = rolling.epicycloid_arch_length(fixed, rolled)
    assert length == pytest.approx(8 * rolled * (fixed + rolled) / fixed, rel=EXACT)
    arch = rolling.epicycloid(fixed, rolled, np.linspace(0, 2 * np.pi * rolled / fixed, 4001))
    # 4 000 chords lose 1/24 of their squared turn, and an arch turns by pi (R + 2 r)/R at most
    turn = math.pi * (fixed + 2 * rolled) / fixed / 4000
    assert length == pytest.approx(chord_length(arch), rel=turn**2 / 20 + 1e-10)  # and N t is rounded


@given(radii, radii, st.floats(0.05, 3.0))
def test_an_epitrochoids_length_is_the_integral_of_its_speed(fixed, rolled, ratio):
    def speed(a):
        return (fixed + rolled) * math.sqrt(1 + ratio**2 - 2 * ratio * math.cos(a * fixed / rolled))

    # half an arch, twice: quad's own tolerance is 1.5e-8
    integral = 2 * quad(speed, 0, math.pi * rolled / fixed)[0]
    assert rolling.epitrochoid_arch_length(fixed, rolled, ratio * rolled) == pytest.approx(integral, rel=1e-7)


@given(radii, radii, st.floats(0.05, 3.0))
def test_an_epitrochoids_area_is_what_its_radius_sweeps(fixed, rolled, ratio):
    around = np.linspace(0, 2 * np.pi * rolled / fixed, 4001)
    z = as_complex(rolling.epitrochoid(fixed, rolled, ratio * rolled, around))
    swept = 0.5 * (z[:-1].conj() * z[1:]).imag.sum()
    # chords cut the arch's bulge off: (turn/4000)^2/24 of it, with up to (R + r)/R r/R turns
    turns = 1 + rolled / fixed
    area = rolling.epitrochoid_arch_area(fixed, rolled, ratio * rolled)
    assert swept == pytest.approx(area, rel=1e-6 * turns**2)


def rotation(centre, angle):
    """Matrix that turns the plane about a point, for columns (x, y, 1)."""
    c, s = math.cos(angle), math.sin(angle)
    x, y = centre
    return np.array([[c, -s, x - c * x + s * y], [s, c, y - s * x - c * y], [0, 0, 1]])


def roll(fixed, rolled, arm, turned, slivers):
    """Where the rolling circle's centre and its pen get: a product of small turns, and no formula.

    Rolling without slip means that the touching points of both circles stand still together. So in
    each sliver all of the circle turns about the place where it touches half way through.
    """
    centre_and_pen = np.array([[fixed + rolled, 0, 1], [fixed + rolled - arm, 0, 1]], dtype=float).T

    def touching(centre):
        return fixed * centre[:2] / np.hypot(*centre[:2])

    for _ in range(slivers):
        half_way = rotation(touching(centre_and_pen[:, 0]), turned / slivers / 2) @ centre_and_pen
        centre_and_pen = rotation(touching(half_way[:, 0]), turned / slivers) @ centre_and_pen
    return centre_and_pen[:2].T


@given(radii, radii, st.floats(0.05, 3.0), st.floats(0.1, 6.0))
@settings(max_examples=30)
def test_a_circle_rolled_without_slip_draws_the_epitrochoid(fixed, rolled, ratio, turned):
    slivers = 400
    centre, pen = roll(fixed, rolled, ratio * rolled, turned, slivers)
    # half-way turns are off by the sliver cubed, so all of them together by its square; and 400 roundings
    off = rolled * (turned / slivers) ** 2 * turned + 1e-12 * (fixed + rolled)
    assert math.hypot(*centre) == pytest.approx(fixed + rolled, abs=off)
    rounds = round((turned * rolled / (fixed + rolled) - math.atan2(centre[1], centre[0])) / (2 * math.pi))
    around = math.atan2(centre[1], centre[0]) + 2 * math.pi * rounds
    # nothing slipped: the arc run along the fixed circle is the arc run along the rolling one
    assert fixed * around == pytest.approx(rolled * (turned - around), abs=off)
    assert pen == pytest.approx(rolling.epitrochoid(fixed, rolled, ratio * rolled, around), abs=off)


@given(sound_drives(), st.floats(-10, 10))
def test_a_drives_centre_path_is_an_epitrochoid(drive, t):
    rolled = drive.pin_circle_radius / drive.pins
    point = rolling.epitrochoid(drive.pin_circle_radius - rolled, rolled, drive.eccentricity, t)
    # rounding of N t, up to 600 rad
    assert point == pytest.approx(outline.centre_path(drive, t), abs=1e-12 * drive.pin_circle_radius)


@given(sound_drives(), st.floats(0, 2 * np.pi))
def test_a_larger_circle_round_the_pitch_circle_draws_the_same_path(drive, t):
    # double generation, derived: roll a ring of radius e N about a disc of e (N - 1), inside it; a pin Rp from
    # the ring's centre draws the centre path. The ring's centre runs round at N t while the ring turns by t.
    e, n = drive.eccentricity, drive.pins
    around = n * t
    turned = around - e * (n - 1) * around / (e * n)  # no slip: the ring pays out the arc it runs along the disc
    pin = -e * np.exp(1j * around) + drive.pin_circle_radius * np.exp(1j * turned)
    # rounding of N t, up to 380 rad
    assert pin == pytest.approx(as_complex(outline.centre_path(drive, t)), abs=1e-12 * drive.pin_circle_radius)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan"), float("inf")])
def test_bad_radii_are_refused_by_name(bad):
    with pytest.raises(ValueError, match="rolling_radius"):
        rolling.cycloid(bad, 1.0)
    with pytest.raises(ValueError, match="fixed_radius"):
        rolling.epicycloid(bad, 1.0, 1.0)
    with pytest.raises(ValueError, match="arm"):
        rolling.epitrochoid(1.0, 1.0, bad, 1.0)
    with pytest.raises(ValueError, match="turn"):
        rolling.cycloid(1.0, float("nan"))
