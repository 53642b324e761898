"""The live map: its point stands where the drive is, and its lines where the limits are.

- SVG: Scalable Vector Graphics 2, W3C.
- An undercut drive that the rule of thumb (common practice, no source) lets pass: derived, by two methods.
"""

import json
import re
from xml.etree import ElementTree

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.geometry import limits
from cyclokit.view import limits_map, live_map

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
LOOSE = Drive(pins=12, pin_circle_radius=40.0, roller_radius=8.0, eccentricity=2.9)  # undercut, e below r
NEAR = Drive(pins=20, pin_circle_radius=42.0, roller_radius=3.0, eccentricity=0.8)
STEPS = ((1.0, 10.0, 0.01), (0.28, 2.8, 0.01))
SVG = "{http://www.w3.org/2000/svg}"


def read(text):
    """The picture, and where a place in it lies [mm]."""
    root = ElementTree.fromstring(text)
    facts = json.loads(root.get("data-facts"))

    def in_mm(x, y):  # SVG's y points down
        return (x - facts["left"]) / facts["across"], (-y - facts["bottom"]) / facts["up"]

    return root, in_mm


def point(text):
    """Where the drive's point is [mm], and which of its two marks is seen."""
    root, in_mm = read(text)
    (group,) = [one for one in root.iter(f"{SVG}g") if one.get("data-point") is not None]
    (seen,) = [one.get("data-mark") for one in group if one.get("data-mark") and one.get("display") == "inline"]
    return in_mm(*map(float, re.findall(r"-?[\d.]+", group.get("transform")))), seen


@pytest.mark.parametrize(("drive", "seen"), [(STORY, "sound"), (NEAR, "sound"), (LOOSE, "wrong")])
def test_the_point_stands_at_the_drive_and_tells_whether_it_is_sound(drive, seen):
    at, mark = point(live_map.drawn(drive, (0.0, 0.0), {}))
    assert at == pytest.approx(
        (drive.roller_radius, drive.eccentricity), abs=1e-3 * drive.roller_radius
    )  # three digits
    assert mark == seen


def test_each_limit_has_its_line_at_its_place_and_its_words():
    text = live_map.drawn(STORY, (0.0, 0.0), {})
    root, in_mm = read(text)
    said = [
        "\n".join(one.itertext() if len(one) < 2 else [part.text for part in one]) for one in root.iter(f"{SVG}text")
    ]
    paths = {one.get("stroke"): one.get("d") for one in root.findall(f"{SVG}path") if one.get("stroke")}
    shown = limits_map.of_ring(20, 42.0)
    for line in shown.lines:
        assert line.label in said
        if not line.physical:
            continue
        drawn = paths[limits_map.LOOKS[line.name].colour]
        corners = [in_mm(*map(float, pair.split(","))) for pair in re.findall(r"[-\d.]+,[-\d.]+", drawn)]
        assert np.array(corners) == pytest.approx(line.points, abs=2e-4 * 42)  # places are rounded to 0.01


def test_the_axes_are_named_with_their_unit():
    text = live_map.drawn(STORY, (0.0, 0.0), {})
    for name in ("roller radius [mm]", "eccentricity [mm]"):
        assert f">{name}</tspan>" in text


def test_the_map_reaches_as_far_as_the_point_can_be_dragged():
    _, in_mm = read(live_map.drawn(STORY, (STEPS[0][1], STEPS[1][1]), {}))
    widest, highest = in_mm(live_map.WIDTH - live_map.RIGHT, -(live_map.HEIGHT - live_map.TOP))
    assert widest >= STEPS[0][1] - 1e-9 and highest >= STEPS[1][1] - 1e-9  # rounding


def test_a_drive_beside_it_is_on_the_map_of_its_own_ring_alone():
    text = live_map.drawn(NEAR, (0.0, 0.0), {"the story's drive": STORY})
    words = live_map.words_of(text)
    assert ">the story's drive</tspan>" in text or ">the story&#x27;s drive</tspan>" in text
    assert "the diamond is the story's drive" in words
    text = live_map.drawn(LOOSE, (0.0, 0.0), {"the story's drive": STORY})
    words = live_map.words_of(text)
    assert "story" not in text.partition("</title>")[2]
    assert "the story's drive stands in another ring" in words


def test_its_words_stand_in_its_title():
    text = live_map.drawn(STORY, (10.0, 2.8), {"the story's drive": STORY})
    title = next(ElementTree.fromstring(text).iter(f"{SVG}title")).text
    assert live_map.words_of(text) == title
    assert "20 pins on a circle of radius 42 mm" in title


def test_the_region_that_is_shaded_is_the_sound_one():
    root, in_mm = read(live_map.drawn(STORY, (0.0, 0.0), {}))
    (region,) = [one.get("d") for one in root.iter(f"{SVG}path") if one.get("fill-opacity") == "0.18"]
    corners = np.array([in_mm(*map(float, pair.split(","))) for pair in re.findall(r"[-\d.]+,[-\d.]+", region)])
    inside = corners[(corners > 0.05).all(axis=1)] * (0.99, 0.99)  # within the region by more than is rounded
    assert limits.sound(20, 42.0, *inside.T).all()
    beyond = corners[(corners > 0.05).all(axis=1)] * (1.01, 1.01)
    assert not limits.sound(20, 42.0, *beyond.T).any()
