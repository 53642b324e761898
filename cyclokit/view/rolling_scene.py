"""What a stage shows of a rolling circle: the circle, the point on it, the curve that it draws, and why it draws it.

A still at the beginning has the whole curve, since it never comes to draw it.
"""

import math

import numpy as np

from cyclokit.geometry import rolling
from cyclokit.signatures import read
from cyclokit.view import scene, svg
from cyclokit.view.pins import View
from cyclokit.view.svg import GREEN, GREY, PURPLE, VERMILION, Move, layer, part, stroke

# What the library says to a reader: layer -> what is seen of it
SENTENCES = {
    "circle": "The rolling circle is blue.",
    "curve": "The curve is orange.",
    "whole curve": "All of the curve is drawn thin.",
    "equal arcs": "The lengths that have met since the point was last nearest (purple, thick) are equal on both.",
    "hinge": "A grey dot marks the contact: the circle turns about it as about a hinge, which takes its centre along "
    "the arrow.",
    "letters": "Letters name the angles.",
    "angles": "",
}
ON_LINE = (
    "A circle of radius {radius:g} mm rolls along a line without slipping. The point on its edge (orange dot) "
    "draws a cycloid: it stops for an instant each time it touches the line."
)
ON_CIRCLE = (
    "A circle of radius {radius:g} mm rolls round a fixed circle of radius {fixed:g} mm. A point {arm:g} mm from "
    "its centre (orange dot) draws {curve}."
)


@read
def on_line(rolling_radius: float, arches: int, view: View) -> scene.Scene:
    """A circle rolling along a line, and the cycloid that a point on its edge draws.

    The circle's radius is in mm; it makes so many turns as there are arches, and the view's angle is how far it has
    turned.
    """
    radius, turned = rolling_radius, 2 * math.pi * arches
    drawn = rolling.cycloid(radius, np.linspace(0, turned, 60 * arches + 1))
    width, unit = turned * radius, turned * radius / 120
    wheel = svg.wheel(radius, radius, pen_at=-math.pi / 2, unit=unit)
    above, below = Move(drift=radius, up=radius), Move(drift=radius)
    thick = stroke(PURPLE, 1.2 * unit)
    rim = svg.arc(radius, -1, view.angle, thick)
    spoke = svg.arc(0.35 * radius, -1, view.angle, stroke(GREY, 0.4 * unit))
    letter = svg.label("φ", -0.2 * radius, -0.55 * radius, 0.7 * unit)
    body = (
        svg.line([(-radius, 0), (width + radius, 0)], stroke(GREY, 0.4 * unit))
        + layer("curve", svg.trail(drawn, view.angle / turned or 1.0, stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(spin=-1, drift=radius, up=radius), wheel, view.angle))
        + layer(
            "equal arcs",
            part("run", below, svg.run(radius, view.angle, thick), view.angle)
            + part("arc", above, svg.turned(rim, -90), view.angle),
        )
        + layer("letters", part("angle", above, svg.turned(spoke, -90) + letter, view.angle))
        + layer("hinge", part("hinge", above, svg.turned(_hinge(radius, 1, unit), -90), view.angle))
    )
    facts = {"turns": arches, "frames": {"ring": [["circle", -1]]}, "step": [15, "15°"], "along": radius}
    box = (-1.3 * radius, -2.3 * radius, width + 2.6 * radius, 2.6 * radius)
    return scene.whole(box, body, ON_LINE.format(radius=radius), facts, view, sentences=SENTENCES)


@read
def on_circle(fixed_radius: float, rolling_radius: float, arm: float, view: View) -> scene.Scene:
    """A circle rolling round a fixed one, and the curve that a point fixed to it draws.

    Radii are in mm, and `arm` is the distance of the drawing point from the rolling circle's centre [mm]. The view's
    angle is how far that centre has gone round.
    """
    drawn = rolling.epitrochoid(fixed_radius, rolling_radius, arm, np.linspace(0, 2 * math.pi, 721))
    centre = fixed_radius + rolling_radius
    spin = centre / rolling_radius
    reach = centre + max(arm, rolling_radius) + fixed_radius / 30
    unit = reach / 50
    wheel = svg.wheel(rolling_radius, arm, pen_at=math.pi, unit=unit)
    body = (
        svg.circle(0, 0, fixed_radius, f'fill="none" {stroke(GREY, 0.4 * unit)}')
        + layer("whole curve", svg.line(drawn, f'fill="none" {stroke(VERMILION, 0.25 * unit)}'))
        + layer("curve", svg.trail(drawn, view.angle / (2 * math.pi) or 1.0, stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(centre, 1, spin), wheel, view.angle))
        + _construction(fixed_radius, rolling_radius, unit, view.angle)
    )
    curve = "an epicycloid" if arm == rolling_radius else "an epitrochoid"
    words = ON_CIRCLE.format(radius=rolling_radius, fixed=fixed_radius, arm=arm, curve=curve)
    facts = {"turns": 1, "frames": {"ring": [["round", 1], ["circle", round(spin, 9)]]}, "step": [15, "15°"]}
    return scene.whole((-reach, -reach, 2 * reach, 2 * reach), body, words, facts, view, sentences=SENTENCES)


def _construction(fixed: float, radius: float, unit: float, angle: float) -> str:
    """Equal arcs, the hinge, and the angles a and b; what goes with the line between the centres turns as it does."""
    centre, thin, thick = fixed + radius, stroke(GREY, 0.4 * unit), stroke(PURPLE, 1.2 * unit)
    rate = fixed / radius  # of b, the angle by which the contact wanders on the rolling circle
    line, out = Move(spin=1), Move(centre, 1, 1)
    met = part("met", line, svg.arc(fixed, -1, angle, thick, 2 * math.pi / max(rate, 1.0)), angle)
    rim = part("rim", out, svg.turned(svg.arc(radius, rate, angle, thick), 180), angle)
    size = 0.25 * fixed
    between = svg.line([(0, 0), (centre, 0)], stroke(GREY, 0.4 * unit, (unit, unit)))
    round_a = svg.line([(0, 0), (fixed, 0)], thin) + svg.arc(size, 1, angle, thin)
    round_b = part("round b", out, svg.turned(svg.arc(0.45 * radius, rate, angle, thin), 180), angle)
    beside_b = centre + 0.7 * radius * np.exp(1j * (math.pi + 0.5))
    letters = _upright("a", 1.3 * size * np.exp(-0.2j), unit, angle) + _upright("b", beside_b, unit, angle)
    return (
        layer("equal arcs", met + rim)
        + layer("letters", round_a + part("line of centres", line, between, angle) + round_b + letters)
        + layer("hinge", part("hinge", out, svg.turned(_hinge(radius, -1, unit), 180), angle))
    )


def _hinge(radius: float, way: int, unit: float) -> str:
    """The contact at (radius, 0), and an arrow from the centre along y, up or down, where the hinge takes it."""
    tip = way * 0.75 * radius
    head = [(-unit, tip - way * 2 * unit), (0, tip), (unit, tip - way * 2 * unit)]
    style = stroke(GREEN, 0.7 * unit)
    arrow = svg.line([(0, 0), (0, tip)], style) + svg.line(head, f'fill="none" {style}')
    return arrow + svg.circle(radius, 0, 1.1 * unit, f'fill="{GREY}"')


def _upright(word: str, at: complex, unit: float, angle: float) -> str:
    """A word that goes round with the line between the centres, from `at` on, and stays upright."""
    phase = math.degrees(float(np.angle(at)))
    moving = part(f"letter {word}", Move(abs(at), 1), svg.turned(svg.label(word, 0, 0, unit), -phase), angle)
    return svg.turned(moving, phase)
