"""Moving pictures as they leave Python: the same text every time, and as true as the motion they show.

- SVG and its coordinates, y downwards: Scalable Vector Graphics (SVG) 1.1, W3C, 2011, ch. 7.
- Contrast of 3 : 1 for graphics: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criterion 1.4.11.
- Cycloid of a circle of radius r, turned by a: x = r (a - sin a), y = r (1 - cos a); any calculus handbook
  (from memory).
- Distances between shapes: Shapely, a general-purpose geometry library.
"""

import base64
import hashlib
import html
import math
import os
import re
import subprocess
import sys
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon

from cyclokit import Drive
from cyclokit.geometry import motion
from cyclokit.view import stage

SVG = "{http://www.w3.org/2000/svg}"
STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
DRIVES = [STORY, Drive(12, 40.0, 4.0, 1.5), Drive(3, 50.0, 10.0, 5.0), Drive(61, 30.0, 0.8, 0.2)]
PICTURES = {
    "drive": lambda: stage.turning_drive(STORY),
    "line": lambda: stage.rolling_on_line(10.0),
    "circle": lambda: stage.rolling_on_circle(30.0, 10.0, 10.0),
}
ROUNDED = 0.005 + 1e-9  # mm: coordinates have two decimals

angles = st.floats(min_value=-200.0, max_value=200.0)


@pytest.fixture(params=PICTURES)
def picture(request):
    return PICTURES[request.param]()


def _groups(picture):
    return [group for group in _svg(picture).iter(f"{SVG}g") if "data-orbit" in group.attrib]


def _svg(picture):
    return ElementTree.fromstring(picture.svg)


def _carried(group, angle):
    """Where a group is at an angle, as its attributes say: x, y (y upwards) and its turn."""
    rate = {name: float(group.get(f"data-{name}")) for name in ("orbit", "orbit-rate", "spin-rate", "drift", "up")}
    x = rate["orbit"] * math.cos(rate["orbit-rate"] * angle) + rate["drift"] * angle
    y = rate["orbit"] * math.sin(rate["orbit-rate"] * angle) + rate["up"]
    return x, y, rate["spin-rate"] * angle


def _seen(points, where):
    """Points of a group as they are seen when it stands at x, y and has turned."""
    x, y, spin = where
    return motion.turned(points, np.float64(spin)) + np.array([x, y])


def _pairs(text):
    return np.array([pair.split(",") for pair in re.findall(r"-?[\d.]+,-?[\d.]+", text)], dtype=float)


def _still_in(text):
    """The SVG that stands in the page as a picture."""
    return base64.b64decode(re.search(r"data:image/svg\+xml;base64,([^\"]+)", text)[1]).decode()


# the motion


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
@given(angles)
def test_the_disc_in_the_picture_is_where_the_motion_says(drive, crank):
    disc = _groups(stage.turning_drive(drive))[0]
    x, y, spin = _carried(disc, crank)
    pose = motion.disc_pose(drive, crank)
    assert (x, y) == pytest.approx(pose.centre, abs=1e-6)  # mm: attributes carry six decimals
    assert spin == pytest.approx(float(pose.angle), abs=1e-9 * abs(crank) + 1e-12)  # rad: nine decimals a radian


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
def test_the_slider_spans_one_turn_of_the_disc_backwards(drive):
    disc = _groups(stage.turning_drive(drive))[0]
    _, _, spin = _carried(disc, 2 * math.pi * stage.turning_drive(drive).turns)
    assert spin == pytest.approx(-2 * math.pi, abs=1e-6)  # rad: nine decimals a radian, up to 400 rad


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
def test_the_eccentric_turns_with_the_crank_about_the_discs_centre(drive):
    disc, eccentric = _groups(stage.turning_drive(drive))
    for crank in (0.0, 1.0, 5.0):
        assert _carried(eccentric, crank)[:2] == _carried(disc, crank)[:2]
        assert _carried(eccentric, crank)[2] == crank


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
def test_every_roller_of_the_picture_touches_its_disc_at_any_crank_angle(drive):
    picture = stage.turning_drive(drive)
    disc = _groups(picture)[0]
    outline = _pairs(disc.find(f"{SVG}path").get("d")) * [1, -1]
    rollers = [ring for group in _svg(picture).findall(f"{SVG}g")[:1] for ring in group.findall(f"{SVG}circle")]
    assert len(rollers) == drive.pins
    # mm: the outline may depart by a 2000th of the picture's reach; corners and rollers are rounded
    within = drive.pin_circle_radius / 1000 + 2 * math.sqrt(2) * ROUNDED
    for crank in np.linspace(0.1, 2 * math.pi * drive.ratio, 7):
        seen = Polygon(_seen(outline, _carried(disc, crank)))
        for roller in rollers:
            centre = Point(float(roller.get("cx")), -float(roller.get("cy")))
            assert seen.exterior.distance(centre) == pytest.approx(float(roller.get("r")), abs=within)
            assert not seen.contains(centre)


@pytest.mark.parametrize("radius", [10.0, 2.5])
def test_the_pen_of_the_circle_on_a_line_draws_the_cycloid(radius):
    picture = stage.rolling_on_line(radius, arches=2)
    (wheel,) = _groups(picture)
    pen = wheel.findall(f"{SVG}circle")[-1]
    at = np.array([float(pen.get("cx")), -float(pen.get("cy"))])
    trail = _pairs(_svg(picture).find(f"{SVG}polyline").get("points")) * [1, -1]
    for drawn, angle in zip(trail, np.linspace(0, 4 * math.pi, len(trail)), strict=True):
        cycloid = radius * np.array([angle - math.sin(angle), 1 - math.cos(angle)])
        assert _seen(at, _carried(wheel, angle)) == pytest.approx(cycloid, abs=1e-5)  # mm: drift has six decimals
        assert drawn == pytest.approx(cycloid, abs=ROUNDED)


@pytest.mark.parametrize(("fixed", "rolling", "arm"), [(30.0, 10.0, 10.0), (30.0, 10.0, 6.0), (39.9, 2.1, 1.4)])
def test_the_pen_of_the_circle_on_a_circle_stays_on_its_curve(fixed, rolling, arm):
    picture = stage.rolling_on_circle(fixed, rolling, arm)
    (wheel,) = _groups(picture)
    pen = wheel.findall(f"{SVG}circle")[-1]
    at = np.array([float(pen.get("cx")), -float(pen.get("cy"))])
    trail = _pairs(_svg(picture).find(f"{SVG}polyline").get("points")) * [1, -1]
    for drawn, angle in zip(trail, np.linspace(0, 2 * math.pi, len(trail)), strict=True):
        assert _seen(at, _carried(wheel, angle)) == pytest.approx(drawn, abs=2 * ROUNDED)  # pen and curve are rounded


@pytest.mark.parametrize(("fixed", "rolling"), [(30.0, 10.0), (39.9, 2.1)])
def test_the_circle_rolls_round_the_other_without_slipping(fixed, rolling):
    # no slip: the point of the rolling circle that touches the fixed one stands still for an instant
    (wheel,) = _groups(stage.rolling_on_circle(fixed, rolling, rolling))
    x, y, spin = _carried(wheel, 1.0)
    touching = fixed * np.array([math.cos(1.0), math.sin(1.0)])
    on_wheel = motion.turned(touching - [x, y], np.float64(-spin))
    step = 1e-4
    ways = []
    for point in (on_wheel, np.zeros(2)):
        before, after = (_seen(point, _carried(wheel, angle)) for angle in (1.0 - step, 1.0 + step))
        ways.append(math.dist(before, after))
    # what is left is of the third order in the step: far below a thousandth of the centre's way
    assert ways[0] < 1e-3 * ways[1]


# the same text every time


def test_a_picture_is_the_same_text_in_every_process():
    program = (
        "import hashlib; from cyclokit import Drive; from cyclokit.view import stage; "
        "d = Drive(20, 42.0, 5.0, 1.4); "
        "p = stage.turning_drive(d), stage.rolling_on_line(10), stage.rolling_on_circle(30, 10, 6); "
        "print(hashlib.sha256(''.join(x._repr_html_() for x in p).encode()).hexdigest())"
    )
    printed = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": order},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for order in ("1", "2")
    }
    here = stage.turning_drive(STORY), stage.rolling_on_line(10), stage.rolling_on_circle(30, 10, 6)
    printed.add(hashlib.sha256("".join(picture._repr_html_() for picture in here).encode()).hexdigest())
    assert len(printed) == 1


@given(st.integers(3, 60), st.floats(1.0, 500.0), st.floats(0.02, 0.95), st.floats(0.01, 1.3))
def test_no_picture_has_a_zero_with_a_minus_sign(pins, circle, roller_share, ratio):
    drive = Drive(pins, circle, roller_share * circle * math.sin(math.pi / pins), ratio * circle / pins)
    try:
        text = stage.turning_drive(drive).svg
    except ValueError:  # a trochoid ratio of exactly 1 has no outline
        return
    assert not re.search(r"-0(?:\.0*)?(?![\d.])", text)


def test_no_rolling_circle_has_one_either():
    for name in ("line", "circle"):
        assert not re.search(r"-0(?:\.0*)?(?![\d.])", PICTURES[name]().svg)


def test_the_representation_has_no_address_and_no_random_id(picture):
    assert "0x" not in repr(picture)
    assert picture._repr_html_() == picture._repr_html_()
    assert not re.search(r'\bid="', picture._repr_html_())  # two of the same picture may stand in one page


# the words


def test_the_alt_text_the_caption_and_the_title_are_the_same_words(picture):
    text = picture._repr_html_()
    alt = html.unescape(re.search(r'<img alt="([^"]*)"', text)[1])
    caption = html.unescape(re.search(r"<figcaption>(.*?)</figcaption>", text)[1])
    assert alt == caption == picture.words == _svg(picture).find(f"{SVG}title").text


def test_the_words_say_what_is_shown():
    assert "20 rollers" in stage.turning_drive(STORY).words
    assert "19 lobes" in stage.turning_drive(STORY).words
    assert "cycloid" in stage.rolling_on_line(10.0).words
    assert "an epicycloid" in stage.rolling_on_circle(30.0, 10.0, 10.0).words
    assert "an epitrochoid" in stage.rolling_on_circle(30.0, 10.0, 6.0).words


def test_words_with_signs_of_markup_do_no_harm():
    odd = stage.MovingPicture('<svg xmlns="http://www.w3.org/2000/svg"/>', 'a "b" <c> & d\'s', "crank:1", 1)
    text = odd._repr_html_()
    assert "<c>" not in text
    assert html.unescape(re.search(r'<img alt="([^"]*)"', text)[1]) == odd.words


# the page


def test_the_still_picture_is_well_formed_and_the_same_as_the_svg(picture):
    still = _still_in(picture._repr_html_())
    assert still == picture.svg
    assert ElementTree.fromstring(still).tag == f"{SVG}svg"


def test_everything_lies_inside_the_frame(picture):
    svg = _svg(picture)
    left, top, width, height = map(float, svg.get("viewBox").split())
    for angle in np.linspace(0, 2 * math.pi * picture.turns, 50):
        for group in _groups(picture):
            x, y, _ = _carried(group, angle)
            assert left <= x <= left + width
            assert top <= -y <= top + height


def test_a_page_stays_small():
    # a lesson may weigh 1 MB and holds a few of these
    assert len(stage.turning_drive(STORY)._repr_html_().encode()) < 20_000


def test_a_picture_asks_for_nothing_from_outside(picture):
    text = picture._repr_html_() + _still_in(picture._repr_html_())
    addresses = set(re.findall(r"\w+://[^\s\"'<>)]+", text))
    assert addresses <= {"http://www.w3.org/2000/svg"}  # a name, which nothing fetches


@pytest.mark.parametrize("circle_diameter", [8.0, 20.0, 80.0, 1000.0])
def test_the_mark_that_shows_the_turn_lies_on_the_disc_near_its_edge(circle_diameter):
    radius = circle_diameter / 2
    drive = Drive(20, radius, radius * 5 / 42, radius * 1.4 / 42)  # the story's, larger or smaller
    mark = _groups(stage.turning_drive(drive))[0].findall(f"{SVG}path")[1].get("d")
    start, end = map(float, re.fullmatch(r"M([-\d.]+) 0H([-\d.]+)", mark).groups())
    root = radius - drive.eccentricity - drive.roller_radius
    assert 0.3 * root < start < end < root


@pytest.mark.parametrize("circle_diameter", [8.0, 1000.0])
def test_lines_are_as_thick_in_a_small_drive_as_in_a_large_one(circle_diameter):
    radius = circle_diameter / 2
    drive = Drive(20, radius, radius * 5 / 42, radius * 1.4 / 42)  # the story's, smaller or larger
    thickness = [
        float(re.search(r'stroke-width="([\d.]+)"', picture.svg)[1]) / float(_svg(picture).get("viewBox").split()[2])
        for picture in (stage.turning_drive(drive), stage.turning_drive(STORY))
    ]
    assert 0.5 < thickness[0] / thickness[1] < 2  # of the picture's width; a factor of two is still easy to see


@pytest.mark.parametrize("colour", [stage.BLUE, stage.VERMILION, stage.GREEN, stage.GREY])
@pytest.mark.parametrize("page", ["#ffffff", "#111111"])
def test_the_colours_stand_out_from_a_light_and_a_dark_page(colour, page):
    light, dark = sorted((_luminance(colour), _luminance(page)), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 3.0  # WCAG 2.2, criterion 1.4.11


def _luminance(colour):
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
