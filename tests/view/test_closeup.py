"""What is wrong, enlarged: the outline crosses itself where a general-purpose geometry library finds it does.

- Crossings of a line with itself: Shapely, a general-purpose geometry library.
- Neighbouring rollers of radius r on N pins overlap by 2 r - 2 Rp sin(pi/N): elementary geometry.
"""

import html
import math
import re
from urllib.parse import unquote
from xml.etree import ElementTree

import numpy as np
import pytest
from shapely import LineString

from cyclokit import Drive
from cyclokit.geometry import limits, outline
from cyclokit.view import closeup
from tests.view.drawn import SVG

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
UNDERCUT = [
    Drive(20, 42.0, 5.0, 1.9),
    Drive(20, 42.0, 6.5, 1.7),
    Drive(12, 40.0, 8.0, 2.9),
    Drive(12, 40.0, 4.0, 3.25),
    Drive(61, 30.0, 0.8, 0.48),
]


def read(report):
    """The picture, and what is said of it."""
    made = closeup.drawn(report)
    figure = unquote(html.unescape(re.search(r'src="data:image/svg\+xml,([^"]+)"', made)[1]))
    said = html.unescape(re.search(r"<figcaption>(.*)</figcaption>", made)[1])
    assert html.unescape(re.search(r'alt="([^"]+)"', made)[1]) == said
    return ElementTree.fromstring(figure), said


def test_of_a_sound_drive_nothing_is_enlarged():
    assert closeup.drawn(limits.check(STORY)) == ""


@pytest.mark.parametrize("drive", UNDERCUT, ids=repr)
def test_an_undercut_outline_crosses_itself_where_it_is_said_to(drive):
    crossing = closeup.crossing_of(drive)
    lobe = outline.points(drive, np.linspace(crossing.first, crossing.then, 2001))
    assert not LineString(lobe).is_simple
    # mm: the two branches pass within a chord's error of the place
    for half in (lobe[:900], lobe[1100:]):
        assert LineString(half).distance(LineString([crossing.at, crossing.at + 1e-9])) < 2e-3 * drive.roller_radius
    assert "crosses itself" in read(limits.check(drive))[1]


@pytest.mark.parametrize(
    "drive", [STORY, Drive(12, 40.0, 4.0, 1.5), Drive(61, 30.0, 0.8, 0.2), Drive(3, 50.0, 10.0, 5.0)], ids=repr
)
def test_a_sound_outline_crosses_itself_nowhere(drive):
    assert closeup.crossing_of(drive) is None
    assert LineString(outline.points(drive, np.linspace(-1, 3, 2001) * np.pi / drive.lobes)).is_simple


@pytest.mark.parametrize(("eccentricity", "words"), [(2.1, "comes to a point"), (2.6, "runs through a loop")])
def test_a_centre_path_that_turns_back_is_shown_with_its_roller(eccentricity, words):
    root, said = read(limits.check(Drive(20, 42.0, 5.0, eccentricity)))
    assert words in said
    (roller,) = root.findall(f"{SVG}circle")
    assert (float(roller.get("cx")), float(roller.get("cy"))) == (0, 0)
    assert float(roller.get("r")) < 100  # all of it is in the picture


def test_overlapping_rollers_say_by_how_much():
    drive = Drive(20, 42.0, 7.5, 1.0)
    root, said = read(limits.check(drive))
    overlap = 2 * 7.5 - 2 * 42 * math.sin(math.pi / 20)
    assert f"overlap by {overlap:.2g} mm" in said
    one, other = [np.array([float(c.get(k)) for k in ("cx", "cy", "r")]) for c in root.findall(f"{SVG}circle")]
    apart = np.hypot(*(one - other)[:2])
    assert 2 - apart / one[2] == pytest.approx(overlap / 7.5, abs=1e-3)  # three decimals of about 50 units
