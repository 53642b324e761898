"""Sheet 2 held against what is printed elsewhere and against a polygon library.

- Parallel curves: J. Steiner, 1840: a curve moved inwards by d is 2 pi d shorter.
- Law of cosines: any handbook (from memory), by numerical differentiation here.
- The disc as an offset of the centre path: `shapely.buffer`, Shapely 2, GEOS.
- Story drive, perimeter 262.724697 mm: derived, two methods (the project's check values).
"""

import math

import numpy as np
import pytest
import shapely
from scipy.signal import find_peaks
from shapely.affinity import scale, translate

from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import from_a_point_to_a_roller as sheet
from cyclokit.drive import Drive
from cyclokit.geometry import limits, motion, outline

READERS = [f"reader {number}" for number in range(60)]


def _path_with_a_tip_on_x(drive, t):
    """Centre path [mm] as complex numbers."""
    return drive.pin_circle_radius * np.exp(1j * t) + drive.eccentricity * np.exp(1j * drive.pins * t)


def test_the_disc_is_the_centre_path_moved_inwards_by_a_polygon_library():
    for word in READERS[:20]:
        drive = numbers_of(sheet.Disc(), word).drive
        path = _path_with_a_tip_on_x(drive, np.linspace(0, 2 * np.pi, 6000, endpoint=False))
        polygon = shapely.Polygon(np.column_stack([path.real, path.imag]))
        disc = polygon.buffer(-drive.roller_radius, quad_segs=64)
        ours = shapely.Polygon(sheet.Disc().question(Given(drive=drive)).right)  # 0.001 mm
        assert shapely.hausdorff_distance(disc.exterior, ours.exterior) < 0.003  # the library's polygon has its share


def test_the_contact_is_one_roller_radius_from_the_middle_and_inside():
    for word in READERS[:20]:
        given = numbers_of(sheet.Touch(), word)
        heading, radius = math.radians(given.heading_deg), given.diameter_mm / 2
        across = 1j * complex(math.cos(heading), math.sin(heading))  # to the left of a counter-clockwise path is inside
        contact = complex(given.x_mm, given.y_mm) + radius * across
        assert sheet.Touch().question(given).right == pytest.approx(contact.imag, rel=1e-12)  # rounding
        assert abs(contact) < math.hypot(given.x_mm, given.y_mm)


@pytest.mark.parametrize("pins", [9, 20, 32])
def test_roots_are_where_the_path_comes_nearest(pins):
    t = np.linspace(0, 2 * np.pi, 200_001)[:-1]
    drive = Drive(pins, 60.0, 1.0, 0.5)
    roots, _ = find_peaks(-np.abs(_path_with_a_tip_on_x(drive, t)))
    for number in (3, 8):
        seen = np.degrees(np.angle(_path_with_a_tip_on_x(drive, t[roots[number - 1]])) % (2 * np.pi))
        assert sheet.Steps().question(Given(pins=pins, roots=number)).right == pytest.approx(
            seen, abs=0.005
        )  # two steps of t


@pytest.mark.parametrize("pins", [7, 17, 40])
def test_the_tangents_length_is_that_of_a_numerical_derivative(pins):
    right = sheet.Tangent().question(Given(pins=pins)).right
    circle, eccentricity, parameter = 42.0, 1.1, 0.77
    symbols = {symbol.name: symbol for symbol in right.free_symbols}
    found = float(right.subs({symbols["R_p"]: circle, symbols["e"]: eccentricity, symbols["t"]: parameter}))
    drive, step = Drive(pins, circle, 1.0, eccentricity), 1e-5
    ahead, behind = (_path_with_a_tip_on_x(drive, parameter + way * step) for way in (1, -1))
    assert found == pytest.approx(abs(ahead - behind) ** 2 / (4 * step**2), rel=1e-6)  # the step squared, times N^2


def test_the_storys_disc_is_shorter_than_its_path_by_two_pi_radii():
    story = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
    path = 262.724697 + 2 * math.pi * 5
    assert outline.length(story) == pytest.approx(262.724697, abs=5e-7)  # its printed digits
    assert sheet.Order().question(Given(path_mm=path, edge_mm=262.724697)).right == pytest.approx(10, rel=1e-9)


def test_the_roller_to_order_makes_a_sound_drive_of_a_common_size():
    for word in READERS:
        given = numbers_of(sheet.Order(), word)
        assert 2 < sheet.Order().question(given).right < 32


@pytest.mark.parametrize("mistake", sheet.MISTAKES)
def test_a_wrong_print_goes_in_where_it_stays_clear_of_the_rollers(mistake):
    drive = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.5)
    path = shapely.Polygon(outline.centre_path(drive, np.linspace(0, 2 * np.pi, 4000)))
    edge = path.buffer(-sheet.MISTAKES[mistake](drive.roller_radius))
    if "turned it over" in mistake:
        edge = scale(edge, yfact=-1, origin=(0, 0))
    rollers = [shapely.Point(pin).buffer(drive.roller_radius, quad_segs=64) for pin in motion.pins(drive)]
    disc = translate(edge, xoff=drive.eccentricity)  # at crank 0
    overlap = max(disc.intersection(roller).area for roller in rollers)
    gap = min(disc.distance(roller) for roller in rollers)
    # the least mistake is 0.3 mm; both polygons are within a hundredth
    assert sheet.Wrong().question(Given(drive=drive, mistake=mistake)).right == (
        "c" if overlap > 0.1 else "a" if gap > 0.1 else "b"
    )
    assert limits.check(drive).sound
