"""What a stage shows of a rolling circle: the circle, the point on it, and the curve that it draws.

A still at the beginning has the whole curve, since it never comes to draw it.
"""

import math

import numpy as np

from cyclokit.geometry import rolling
from cyclokit.signatures import read
from cyclokit.view import scene, svg
from cyclokit.view.pins import View
from cyclokit.view.svg import GREY, VERMILION, Move, layer, part, stroke

# What the library says to a reader: layer -> what is seen of it
SENTENCES = {"circle": "The rolling circle is blue.", "curve": "The curve is orange.", "angles": ""}
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

    Parameters
    ----------
    rolling_radius : float
        Radius of the circle [mm].
    arches : int
        How many turns it makes.
    view : View
        How it is seen; its angle is how far the circle has turned.

    Returns
    -------
    Scene
        The picture.
    """
    radius, turned = rolling_radius, 2 * math.pi * arches
    drawn = rolling.cycloid(radius, np.linspace(0, turned, 60 * arches + 1))
    width, unit = turned * radius, turned * radius / 120
    wheel = svg.wheel(radius, radius, pen_at=-math.pi / 2, unit=unit)
    body = (
        svg.line([(-radius, 0), (width + radius, 0)], stroke(GREY, 0.4 * unit))
        + layer("curve", svg.trail(drawn, view.angle / turned or 1.0, stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(spin=-1, drift=radius, up=radius), wheel, view.angle))
    )
    facts = {"turns": arches, "frames": {"ring": [["circle", -1]]}, "step": [15, "15°"], "along": radius}
    box = (-1.3 * radius, -2.3 * radius, width + 2.6 * radius, 2.6 * radius)
    return scene.whole(box, body, ON_LINE.format(radius=radius), facts, view, sentences=SENTENCES)


@read
def on_circle(fixed_radius: float, rolling_radius: float, arm: float, view: View) -> scene.Scene:
    """A circle rolling round a fixed one, and the curve that a point fixed to it draws.

    Parameters
    ----------
    fixed_radius, rolling_radius : float
        Radii [mm].
    arm : float
        Distance of the drawing point from the rolling circle's centre [mm].
    view : View
        How it is seen; its angle is how far the rolling circle's centre has gone round.

    Returns
    -------
    Scene
        The picture.
    """
    drawn = rolling.epitrochoid(fixed_radius, rolling_radius, arm, np.linspace(0, 2 * math.pi, 721))
    centre = fixed_radius + rolling_radius
    spin = centre / rolling_radius
    reach = centre + max(arm, rolling_radius) + fixed_radius / 30
    unit = reach / 50
    wheel = svg.wheel(rolling_radius, arm, pen_at=math.pi, unit=unit)
    body = (
        svg.circle(0, 0, fixed_radius, f'fill="none" {stroke(GREY, 0.4 * unit)}')
        + layer("curve", svg.trail(drawn, view.angle / (2 * math.pi) or 1.0, stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(centre, 1, spin), wheel, view.angle))
    )
    curve = "an epicycloid" if arm == rolling_radius else "an epitrochoid"
    words = ON_CIRCLE.format(radius=rolling_radius, fixed=fixed_radius, arm=arm, curve=curve)
    facts = {"turns": 1, "frames": {"ring": [["round", 1], ["circle", round(spin, 9)]]}, "step": [15, "15°"]}
    return scene.whole((-reach, -reach, 2 * reach, 2 * reach), body, words, facts, view, sentences=SENTENCES)
