"""What tests read from a scene's SVG, its y upwards again."""

import json
import re
from xml.etree import ElementTree

import numpy as np

from cyclokit.geometry import motion
from cyclokit.view import svg

SVG = "{http://www.w3.org/2000/svg}"
ROUNDED = 0.005 + 1e-9  # mm: curves have two decimals, the rest three


def parsed(made):
    return ElementTree.fromstring(made.svg)


def facts_of(made):
    return json.loads(parsed(made).get("data-facts"))


def part(made, name):
    return next(one for one in parsed(made).iter() if one.get("data-part") == name)


def move_of(element):
    """How a part moves, as the page reads it."""
    return svg.Move(*map(float, element.get("data-move").split()))


def seen(points, where):
    """Points of a part as they are seen when it stands at x, y and has turned."""
    x, y, turn = where
    return motion.turned(np.asarray(points), np.float64(turn)) + np.array([x, y])


def pairs(text):
    """Points of a path or polyline, y upwards."""
    return np.array([pair.split(",") for pair in re.findall(r"-?[\d.]+,-?[\d.]+", text)], dtype=float) * [1, -1]
