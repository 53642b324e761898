"""A slider for the holes' clearance: the picture is read back and held against the rows, and against brute force.

That a roller in a hole touches it where the distance of their middles is the difference of their radii: circles.
"""

import html
import math
import re

import numpy as np
import pytest

from cyclokit.machine.reducer import Reducer
from cyclokit.view import clearance_panel
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY, discs=1)


@pytest.fixture
def panel():
    return clearance_panel.ahead(MACHINE)


def rows(panel):
    found = re.findall(r"<b>(.*?)</b> \(.*?\): (-?[\d.]+)", panel._rows)
    return {html.unescape(name): float(value) for name, value in found}


def circles(panel):
    """Centres (complex) and radii of the picture's circles, in its own order."""
    found = re.findall(r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="([\d.]+)"', panel.shown.picture.svg)
    return [(complex(float(x), -float(y)), float(radius)) for x, y, radius in found]


def most_ahead(crank, clearance):
    """By tiny steps, as lesson 6 does it [degrees]; `crank` is seen from the disc, from a hole on [rad]."""
    ahead = np.linspace(0, np.radians(3), 30_001)
    holes = np.exp(2j * np.pi * np.arange(6) / 6)
    apart = 1.4 * np.exp(1j * crank) + 26.0 * holes[:, None] * (1 - np.exp(1j * ahead))
    return np.degrees(ahead[(np.abs(apart) <= 1.4 + clearance + 1e-9).all(axis=0)].max())


@pytest.mark.parametrize(("clearance", "crank"), [(0.0, 0), (0.1, 0), (0.25, 77), (1.0, 300)])
def test_rows_say_what_tiny_steps_find(panel, clearance, crank):
    panel.move({"clearance": clearance, "crank": crank})
    turned = math.radians(crank) * (1 + 1 / 19)
    first = 2 * math.pi * MACHINE.hole_phase / 19
    assert rows(panel)["plate ahead"] == pytest.approx(most_ahead(turned - first, clearance), abs=0.0006)
    assert rows(panel)["hole across"] == pytest.approx(10 + 2.8 + 2 * clearance)
    assert rows(panel)["least ahead"] <= rows(panel)["plate ahead"] + 0.0011
    assert rows(panel)["plate ahead"] <= rows(panel)["most ahead"] + 0.0011


@pytest.mark.parametrize(("clearance", "crank"), [(0.0, 20), (0.1, 0), (0.25, 77), (1.0, 300)])
def test_the_roller_with_the_thick_rim_is_the_one_that_touches(panel, clearance, crank):
    panel.move({"clearance": clearance, "crank": crank})
    drawn = circles(panel)
    holes, rollers, (rim, _) = drawn[:6], drawn[6:12], drawn[12]
    apart = [abs(roller - hole) for (hole, _), (roller, _) in zip(holes, rollers, strict=True)]
    room = holes[0][1] - rollers[0][1]
    assert max(apart) == pytest.approx(room, abs=0.003)  # three decimals in the picture
    stops = [roller for roller, _ in rollers].index(rim)
    assert apart[stops] == pytest.approx(room, abs=0.003)
    assert f"roller {stops} " in panel.shown.verdict
    enlarged, (now, radius) = drawn[15], drawn[16]
    assert abs(now - enlarged[0]) == pytest.approx(enlarged[1] - radius, abs=0.02)


def test_more_discs_than_one_are_refused():
    with pytest.raises(ValueError, match="reducer has 2 discs, but must have one"):
        clearance_panel.ahead(Reducer(STORY))
