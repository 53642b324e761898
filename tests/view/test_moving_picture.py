"""The picture at the top of the README and of lesson 0: where a browser puts its disc, and where it stands still.

- Where the disc is: motion.disc_pose, checked elsewhere against the Willis equation and a rigid-body engine.
- Motion that can be switched off: Media Queries Level 5, W3C, prefers-reduced-motion.
"""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from cyclokit.geometry import motion
from cyclokit.view import palette
from tests.moving_picture import OUTPUT_CIRCLE, OUTPUT_ROLLER, PERIOD, STORY, picture

PICTURES = Path(__file__).resolve().parents[2] / "lessons" / "pictures"
HOLD = """milliseconds => {
    document.getAnimations().forEach(each => { each.pause(); each.currentTime = milliseconds; });
    const own = document.querySelector("svg").getCTM().inverse();
    const at = name => { const m = own.multiply(document.getElementById(name).getCTM()); return [m.a, m.b, m.e, m.f]; };
    return { disc: at("disc"), output: at("output"), crank: at("arm") };
}"""


def _pose(matrix):
    """Centre [mm] and angle [rad] of a part, y upwards, in the picture's own scale."""
    a, b, x, y = matrix
    scale = math.hypot(a, b)
    return np.array([x, -y]) / scale, -math.atan2(b, a)


def _apart(one, other):
    """How far two angles are apart [rad], whatever the whole turns."""
    return abs(math.remainder(one - other, 2 * math.pi))


@pytest.mark.parametrize(("name", "moving"), [("turning.svg", True), ("at_rest.svg", False)])
def test_the_pictures_that_are_kept_are_those_that_are_drawn_now(name, moving):
    kept = (PICTURES / name).read_text(encoding="utf-8")
    assert kept == picture(STORY, moving)
    assert 4_000 < len(kept) < 20_000
    assert "<script" not in kept and "http" not in kept.replace("http://www.w3.org/2000/svg", "")


@pytest.mark.parametrize("seconds", [0.0, 0.7, 3.9, 40.0, 75.9, 7600.3])
def test_a_browser_turns_the_disc_as_the_library_does(seconds, open_page):
    page = open_page(PICTURES / "turning.svg")
    there = {name: _pose(matrix) for name, matrix in page.evaluate(HOLD, 1000 * seconds).items()}
    crank = 2 * math.pi * seconds / PERIOD
    right = motion.disc_pose(STORY, crank)
    middle = there["disc"][0] - there["crank"][0]
    assert np.abs(middle - right.centre).max() < 1e-3  # mm: browsers compute in single precision
    assert _apart(there["disc"][1], right.angle) < 1e-4  # rad
    assert _apart(there["output"][1], right.angle) < 1e-4
    assert _apart(there["crank"][1], crank) < 1e-4


def test_every_output_roller_touches_its_hole_and_none_comes_into_it():
    holes, rollers = (
        [tuple(map(float, found)) for found in re.findall(pattern, picture(STORY, True))]
        for pattern in (
            r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="3.9"',
            r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="2.5"',
        )
    )
    assert holes == rollers and len(holes) == 6
    assert math.isclose(3.9 - OUTPUT_ROLLER, STORY.eccentricity)
    assert STORY.root_circle_radius > OUTPUT_CIRCLE + 3.9


def test_whoever_asks_for_less_motion_gets_the_drive_at_rest(open_page):
    moving = open_page(PICTURES / "turning.svg")
    assert moving.evaluate("document.getAnimations().length") == 4
    still = open_page(PICTURES / "turning.svg", reduced_motion="reduce")
    assert still.evaluate("document.getAnimations().length") == 0
    assert open_page(PICTURES / "at_rest.svg").evaluate("document.getAnimations().length") == 0


@pytest.mark.parametrize("page_is", ["light", "dark"])
def test_its_lines_have_the_colours_of_their_parts_on_light_and_dark(page_is, open_page):
    page = open_page(PICTURES / "turning.svg", color_scheme=page_is)
    drawn = page.evaluate(
        "['#disc > path', '.roller > circle', '#arm > circle'].map("
        "one => getComputedStyle(document.querySelector(one)).stroke)"
    )
    for stroke, paint in zip(drawn, (palette.DISC, palette.ROLLER, palette.CRANK), strict=True):
        colour = "#" + "".join(f"{int(part):02x}" for part in re.findall(r"\d+", stroke))
        assert colour == getattr(paint, page_is)
