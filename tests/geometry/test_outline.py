"""The disc's outline against closed formulas, quadrature, differentiation and a polygon library.

Sources
-------
Area and length of the centre path, its radius of curvature, the story's and the two table rows:
derived, each by two methods. Lengths and areas of parallel curves: J. Steiner, 1840. Least convex
radius: Wang, Luo, Su, "Multi-objective optimization...", Mech. Mach. Theory 102 (2016) 135-148, eq. 12.
The elliptic integral is scipy.special.ellipe's; offsets are shapely's (GEOS).
"""

import math

import mpmath
import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe

from cyclokit import Drive
from cyclokit.geometry import outline
from tests.geometry.drives import FORTY, LOOPED, STORY, TWELVE, UNDERCUT, as_complex, farthest, sound_drives

ONCE_ROUND = np.linspace(0, 2 * np.pi, 200_001)
CUSPED = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=2.1)  # trochoid ratio exactly 1
parameters = st.floats(-20.0, 20.0)


def signed_area(z):
    return 0.5 * (z[:-1].conj() * z[1:]).imag.sum()


def test_the_storys_point_and_curvature():
    # derived, two methods; digits as printed there
    assert outline.points(STORY, 0.3) == pytest.approx([36.042420317344, 8.618984839797], abs=5e-13)
    assert outline.curvature(STORY, 0.3) == pytest.approx(-0.105701564746, abs=5e-13)


def test_the_storys_perimeter_area_and_polar_moment():
    assert outline.length(STORY) == pytest.approx(262.724697, abs=5e-7)  # digits as printed
    assert outline.area(STORY) == pytest.approx(4272.756572, abs=5e-7)
    # polar moment of a polygon about the origin: sum of cross (a.a + a.b + b.b)/12
    z = as_complex(outline.polygon(STORY, 1e-6))
    a, b = z[:-1], z[1:]
    moment = ((a.conj() * b).imag * (abs(a) ** 2 + (a.conj() * b).real + abs(b) ** 2)).sum() / 12
    assert moment == pytest.approx(2914850.308, abs=0.5)  # 1e-6 mm along 263 mm at 36 mm: about 0.3


@pytest.mark.parametrize(
    ("drive", "path_length", "path_area"),
    [(TWELVE, 264.220763, 5111.371247), (FORTY, 653.713335, 31541.590242)],
)
def test_length_and_area_of_the_centre_path(drive, path_length, path_area):
    r = drive.roller_radius
    # Steiner backwards from the outline: L + 2 pi r, A + L r + pi r^2; digits as printed
    assert outline.length(drive) + 2 * math.pi * r == pytest.approx(path_length, abs=5e-7)
    assert outline.area(drive) + outline.length(drive) * r + math.pi * r**2 == pytest.approx(path_area, abs=5e-7)
    k = drive.trochoid_ratio
    assert path_length == pytest.approx(4 * drive.pin_circle_radius * (1 + k) * ellipe(4 * k / (1 + k) ** 2), abs=5e-7)
    assert path_area == pytest.approx(
        math.pi * (drive.pin_circle_radius**2 + drive.pins * drive.eccentricity**2), abs=5e-7
    )


def test_perimeter_and_area_of_the_disc_with_twelve_pins():
    assert outline.length(TWELVE) == pytest.approx(239.088022, abs=5e-7)
    assert outline.area(TWELVE) == pytest.approx(4104.753678, abs=5e-7)


@pytest.mark.parametrize("drive", [STORY, UNDERCUT, LOOPED], ids=["sound", "undercut", "looped"])
def test_length_and_area_are_those_of_the_curve_as_drawn(drive):
    z = as_complex(outline.points(drive, ONCE_ROUND))
    # 200 000 chords; at a cusp a chord loses up to its own length, about 1e-5 of the whole
    assert outline.length(drive) == pytest.approx(np.abs(np.diff(z)).sum(), rel=1e-6)
    assert outline.area(drive) == pytest.approx(signed_area(z), rel=1e-6)


@given(sound_drives())
def test_length_and_area_of_any_sound_drive(drive):
    lobe = as_complex(outline.points(drive, np.linspace(-np.pi, np.pi, 20_001) / drive.lobes))
    # Each chord loses 1/24 of its squared turn. That is largest in a root where K is 0.95: with q = lobes t
    # the normal turns by K/(1 - K) = 19 times dq there, by 0.006 a chord; on the whole lobe far less.
    assert outline.length(drive) == pytest.approx(drive.lobes * np.abs(np.diff(lobe)).sum(), rel=1e-6)
    assert outline.area(drive) == pytest.approx(drive.lobes * signed_area(lobe), rel=1e-6)


@given(sound_drives(), parameters)
def test_normals_are_unit_vectors_across_the_outline(drive, t):
    normal = as_complex(outline.normals(drive, t))
    step = 1e-6 / drive.pins
    ahead, behind = as_complex(outline.points(drive, [t + step, t - step]))
    assert abs(normal) == pytest.approx(1, abs=1e-14)  # rounding
    tangent = (ahead - behind) / abs(ahead - behind)
    # N t, up to 1 200, is rounded by 2e-13, and with it the points by 4e-15 Rp; they lie 1e-6/N times
    # the speed apart, which near a tight flank falls to a few thousandths of Rp
    assert tangent == pytest.approx(1j * normal, abs=1e-4)  # a quarter turn clockwise of the way round: outwards


@given(sound_drives(), parameters)
def test_the_outline_lies_one_roller_radius_inside_the_centre_path(drive, t):
    outwards = outline.centre_path(drive, t) - outline.points(drive, t)
    assert outwards == pytest.approx(
        drive.roller_radius * outline.normals(drive, t), abs=1e-12 * drive.pin_circle_radius
    )


@given(sound_drives())
def test_no_roller_cuts_into_the_outline(drive):
    t = np.linspace(0, 2 * np.pi / drive.lobes, 40)
    path = as_complex(outline.centre_path(drive, t))
    edge = as_complex(outline.points(drive, np.linspace(0, 2 * np.pi, 60 * drive.lobes)))
    distance = np.abs(path[:, None] - edge).min(axis=1)
    assert (distance >= drive.roller_radius * (1 - 1e-9) - 1e-12 * drive.pin_circle_radius).all()  # rounding


@pytest.mark.parametrize("drive", [STORY, TWELVE, UNDERCUT, LOOPED])
@pytest.mark.parametrize("t", [0.0, 0.11, 0.3, 1.7, 3.0])
def test_curvature_is_that_of_fifty_digit_differentiation(drive, t):
    with mpmath.workdps(50):
        radius, e, n = (mpmath.mpf(repr(x)) for x in (drive.pin_circle_radius, drive.eccentricity, drive.pins))
        r = mpmath.mpf(repr(drive.roller_radius))

        def point(s):
            w = radius * mpmath.expj(s) - e * n * mpmath.expj(n * s)
            return radius * mpmath.expj(s) - e * mpmath.expj(n * s) - r * w / abs(w)

        first, second = mpmath.diff(point, mpmath.mpf(t)), mpmath.diff(point, mpmath.mpf(t), 2)
        # the parameter's own direction turns round with the curve where r passes the path's radius
        way = mpmath.re(first / (1j * (radius * mpmath.expj(t) - e * n * mpmath.expj(n * t))))
        expected = float(mpmath.im(mpmath.conj(first) * second) / abs(first) ** 3 * mpmath.sign(way))
    assert outline.curvature(drive, t) == pytest.approx(expected, rel=1e-9)  # cancellation near a cusp


def test_curvature_is_positive_on_a_tip_and_negative_in_a_root():
    assert outline.curvature(STORY, np.pi / STORY.lobes) > 0 > outline.curvature(STORY, 0.0)


@pytest.mark.parametrize("drive", [TWELVE, FORTY])
def test_roots_stand_on_the_root_circle(drive):
    roots = outline.points(drive, 2 * np.pi / drive.lobes * np.arange(drive.lobes))
    assert np.hypot(*roots.T) == pytest.approx(drive.root_circle_radius, rel=1e-12)  # rounding


@pytest.mark.parametrize(("drive", "root_radius"), [(TWELVE, 2.75), (FORTY, 2.4)])
def test_a_roots_radius_is_the_centre_paths_and_one_roller_more(drive, root_radius):
    # derived: the path's root radius is Rp (1 - K)^2/(N K - 1), the table's column; the outline's own is that plus r
    assert -1 / outline.curvature(drive, 0.0) == pytest.approx(root_radius + drive.roller_radius, rel=1e-12)


@pytest.mark.parametrize("drive", [STORY, TWELVE, FORTY])
def test_the_outline_is_what_a_polygon_library_gets_by_offsetting_the_centre_path(drive):
    path = outline.centre_path(drive, np.linspace(0, 2 * np.pi, 20_000, endpoint=False))
    offset = shapely.Polygon(path).buffer(-drive.roller_radius, quad_segs=64)
    edge = outline.polygon(drive, 1e-5)
    around = np.array(offset.exterior.coords)
    # limited by the sampled path (its corners make facets: 20 000 points, chord error about 2e-5 mm
    # at the roots, which the offset magnifies by (root radius + r)/root radius) and by 64 segments a quarter arc
    assert max(farthest(around, edge), farthest(edge, around)) < 2e-3
    assert offset.area == pytest.approx(outline.area(drive), rel=1e-6)


@given(sound_drives(), parameters)
def test_every_lobe_is_the_first_one_turned(drive, t):
    lobe = 2 * np.pi / drive.lobes
    first, next_one = as_complex(outline.points(drive, [t, t + lobe]))
    assert next_one == pytest.approx(first * np.exp(1j * lobe), abs=1e-10 * drive.pin_circle_radius)  # N t is rounded


@given(sound_drives(), st.floats(0, 2 * np.pi))
def test_once_round_leads_back_to_the_same_point(drive, t):
    first, again = outline.points(drive, [t, t + 2 * np.pi])
    assert again == pytest.approx(first, abs=1e-10 * drive.pin_circle_radius)  # N t is rounded


def test_t_zero_is_a_root_on_the_x_axis():
    assert outline.points(STORY, 0.0) == pytest.approx([42.0 - 1.4 - 5.0, 0.0], abs=1e-14)


@pytest.mark.parametrize("shape", [(), (1,), (7,), (3, 4), (0,)])
def test_points_keep_the_shape_of_t(shape):
    t = np.full(shape, 0.3)
    assert outline.points(STORY, t).shape == (*shape, 2)
    assert outline.normals(STORY, t).shape == (*shape, 2)
    assert outline.curvature(STORY, t).shape == shape


@pytest.mark.parametrize("function", [outline.normals, outline.curvature, outline.points])
def test_at_a_cusp_nothing_is_invented(function):
    with pytest.raises(ValueError, match=r"t contains 0 rad, where there is a cusp"):
        function(CUSPED, [0.1, 0.0])
    with pytest.raises(ValueError, match=r"t contains 0\.33069396"):  # 2 pi/19
        function(CUSPED, 2 * np.pi / 19)
    assert np.isfinite(function(CUSPED, [0.1, 0.2])).all()


def test_where_the_outline_itself_has_a_cusp_it_has_no_curvature():
    # derived: the tip's radius on the centre path, Rp (1 + K)^2/(N K + 1), is 6 here, just the roller's
    tip = np.pi / 3
    drive = Drive(pins=4, pin_circle_radius=8.0, roller_radius=6.0, eccentricity=1.0)
    with pytest.raises(ValueError, match=r"t contains 1\.0471975.* cusp of the outline"):
        outline.curvature(drive, [0.0, tip])
    assert outline.normals(drive, tip) == pytest.approx([0.5, math.sqrt(0.75)], abs=1e-14)  # the path's still exists


def test_length_and_area_at_a_trochoid_ratio_of_one():
    lobe = np.linspace(1e-9, 2 * np.pi / 19 - 1e-9, 100_001)
    z = as_complex(outline.points(CUSPED, lobe))
    assert outline.length(CUSPED) == pytest.approx(19 * np.abs(np.diff(z)).sum(), rel=1e-6)  # 100 000 chords a lobe
    closed = np.append(z, z[0] * np.exp(2j * np.pi / 19))  # the tear is closed by a straight line
    assert outline.area(CUSPED) == pytest.approx(19 * signed_area(closed), rel=1e-6)


@pytest.mark.parametrize("k", [1 - 1e-9, 1 - 1e-15, 1 + 1e-9])
def test_length_and_area_stay_finite_beside_a_trochoid_ratio_of_one(k):
    drive = Drive(20, 42.0, 5.0, 2.1 * k)
    assert math.isfinite(outline.length(drive))
    assert math.isfinite(outline.area(drive))


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), [0.0, float("nan")]])
@pytest.mark.parametrize("function", [outline.points, outline.normals, outline.curvature, outline.centre_path])
def test_an_infinite_or_missing_t_is_refused(function, bad):
    with pytest.raises(ValueError, match="t contains"):
        function(STORY, bad)


@pytest.mark.parametrize("bad", ["0.3", None, 1j, [True, False], ["a"]])
def test_a_t_that_is_no_number_is_refused(bad):
    with pytest.raises(TypeError, match="t must be real numbers"):
        outline.points(STORY, bad)
