"""Rolling circles on the stage: the drawn point stays on its curve, and nothing slips.

Cycloid of a circle of radius r, turned by a: x = r (a - sin a), y = r (1 - cos a); any calculus handbook (from memory).
"""

import math

import numpy as np
import pytest

from cyclokit.geometry import motion
from cyclokit.view import rolling_scene
from cyclokit.view.pins import View
from tests.view.drawn import ROUNDED, SVG, move_of, pairs, parsed, part, seen

ALL = tuple(rolling_scene.SENTENCES)


@pytest.mark.parametrize("radius", [10.0, 2.5])
def test_the_pen_of_the_circle_on_a_line_draws_the_cycloid(radius):
    made = rolling_scene.on_line(radius, 2, View(show=ALL))
    wheel = part(made, "circle")
    pen = wheel.findall(f"{SVG}circle")[-1]
    at = np.array([float(pen.get("cx")), -float(pen.get("cy"))])
    trail = pairs(next(parsed(made).iter(f"{SVG}polyline")).get("data-trail"))
    for drawn, angle in zip(trail, np.linspace(0, 4 * math.pi, len(trail)), strict=True):
        cycloid = radius * np.array([angle - math.sin(angle), 1 - math.cos(angle)])
        assert seen(at, move_of(wheel).at(angle)) == pytest.approx(cycloid, abs=1e-3)  # mm: the pen has three decimals
        assert drawn == pytest.approx(cycloid, abs=ROUNDED)


@pytest.mark.parametrize(("fixed", "rolling", "arm"), [(30.0, 10.0, 10.0), (30.0, 10.0, 6.0), (39.9, 2.1, 1.4)])
def test_the_pen_of_the_circle_on_a_circle_stays_on_its_curve(fixed, rolling, arm):
    made = rolling_scene.on_circle(fixed, rolling, arm, View(show=ALL))
    wheel = part(made, "circle")
    pen = wheel.findall(f"{SVG}circle")[-1]
    at = np.array([float(pen.get("cx")), -float(pen.get("cy"))])
    trail = pairs(next(parsed(made).iter(f"{SVG}polyline")).get("data-trail"))
    for drawn, angle in zip(trail, np.linspace(0, 2 * math.pi, len(trail)), strict=True):
        assert seen(at, move_of(wheel).at(angle)) == pytest.approx(drawn, abs=2 * ROUNDED)  # both are rounded


@pytest.mark.parametrize(("fixed", "rolling"), [(30.0, 10.0), (39.9, 2.1)])
def test_the_circle_rolls_round_the_other_without_slipping(fixed, rolling):
    # no slip: the point of the rolling circle that touches the fixed one stands still for an instant
    move = move_of(part(rolling_scene.on_circle(fixed, rolling, rolling, View()), "circle"))
    x, y, turn = move.at(1.0)
    touching = fixed * np.array([math.cos(1.0), math.sin(1.0)])
    on_wheel = motion.turned(touching - [x, y], np.float64(-turn))
    step = 1e-4
    ways = []
    for point in (on_wheel, np.zeros(2)):
        before, after = (seen(point, move.at(angle)) for angle in (1.0 - step, 1.0 + step))
        ways.append(math.dist(before, after))
    # what is left is of the third order in the step: far below a thousandth of the centre's way
    assert ways[0] < 1e-3 * ways[1]


@pytest.mark.parametrize("made", [rolling_scene.on_line(10.0, 2, View(show=ALL)),
                                  rolling_scene.on_circle(30.0, 10.0, 6.0, View(show=ALL))])  # fmt: skip
def test_a_still_shows_the_curve_drawn(made):
    (trail,) = parsed(made).iter(f"{SVG}polyline")
    assert trail.get("points") == trail.get("data-trail")
