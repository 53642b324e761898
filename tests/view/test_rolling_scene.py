"""Rolling circles on the stage: the drawn point stays on its curve, and nothing slips.

Cycloid of a circle of radius r, turned by a: x = r (a - sin a), y = r (1 - cos a); any calculus handbook (from memory).
"""

import math
import re

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


def _length(made, name):
    """How long a grown arc or line is, as the picture has it at rest [mm]."""
    (path,) = part(made, name).iter(f"{SVG}path")
    numbers = list(map(float, re.findall(r"-?[\d.]+", path.get("d"))))
    if path.get("data-run"):
        return abs(numbers[2])
    (x, y), (end_x, end_y), (large, way) = numbers[:2], numbers[-2:], numbers[5:7]
    between = math.atan2(-end_y, end_x) - math.atan2(-y, x)
    turned = -(-between % (2 * math.pi)) if way else between % (2 * math.pi)
    assert (abs(turned) > math.pi) == bool(large) or abs(turned) == pytest.approx(math.pi, abs=1e-3)
    return float(path.get("data-arc").split()[0]) * abs(turned)


@pytest.mark.parametrize("turned", [0.4, 2.5, 5.9, 7.0, 11.0])
def test_the_lengths_that_have_met_are_equal_on_circle_and_line(turned):
    made = rolling_scene.on_line(10.0, 2, View(turned, show=ALL))
    met = 10.0 * (turned % (2 * math.pi))  # in this turn: no slip
    assert [_length(made, name) for name in ("run", "arc")] == pytest.approx([met, met], abs=0.01)  # three decimals


@pytest.mark.parametrize(("fixed", "rolling"), [(30.0, 10.0), (50.0, 20.0), (39.9, 2.1)])
@pytest.mark.parametrize("around", [0.2, 1.1, 3.0, 5.5])
def test_the_arcs_that_have_met_are_equal_on_both_circles(fixed, rolling, around):
    made = rolling_scene.on_circle(fixed, rolling, rolling, View(around, show=ALL))
    met = fixed * around % (2 * math.pi * rolling)  # since the pen's last touch: no slip
    # three decimals of a point, and six of a period's degrees, on arcs of some tens of mm
    assert [_length(made, name) for name in ("met", "rim")] == pytest.approx([met, met], abs=0.01)


def test_the_hinge_is_the_contact_and_its_arrow_goes_where_the_centre_goes():
    for made, contact, way in (
        (rolling_scene.on_line(10.0, 2, View(show=ALL)), lambda a: (10 * a, 0), lambda a: (1, 0)),
        (
            rolling_scene.on_circle(30.0, 10.0, 10.0, View(show=ALL)),
            lambda a: (30 * math.cos(a), 30 * math.sin(a)),
            lambda a: (-math.sin(a), math.cos(a)),
        ),
    ):
        hinge = part(made, "hinge")
        group = hinge.find(f"{SVG}g")
        degrees = -float(re.search(r"rotate\((.*?)\)", group.get("transform"))[1])
        dot = group.find(f"{SVG}circle")
        start, tip = pairs(group.find(f"{SVG}path").get("d"))
        for angle in (0.0, 0.7, 4.0):
            where = move_of(hinge).at(angle)
            at, begin, end = (
                seen(motion.turned(np.array(point), np.float64(math.radians(degrees))), where)
                for point in ((float(dot.get("cx")), 0.0), start, tip)
            )
            assert at == pytest.approx(contact(angle), abs=1e-6)
            assert (end - begin) / math.dist(end, begin) == pytest.approx(way(angle), abs=1e-6)


def test_a_letter_stays_upright_beside_its_angle():
    made = rolling_scene.on_circle(30.0, 10.0, 10.0, View(1.0, show=ALL))
    for name in ("letter a", "letter b"):
        letter = part(made, name)
        assert move_of(letter).spin == 0
        (inner,) = (each for each in letter if each.get("transform"))
        (outer,) = (each for each in parsed(made).iter(f"{SVG}g") if letter.get("data-part") in [
            child.get("data-part") for child in each])  # fmt: skip
        turns = [float(re.search(r"rotate\((.*?)\)", each.get("transform"))[1]) for each in (outer, inner)]
        assert sum(turns) == pytest.approx(0)
