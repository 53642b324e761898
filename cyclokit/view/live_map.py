"""The live map: which shapes are sound in a drive's ring, and the drive as a point on it that can be dragged.

`limits_map` works out the lines; in a panel's page `live_map.js` moves the point.
"""

import html
import math
from collections.abc import Mapping
from typing import Any

import numpy as np
from matplotlib.ticker import MaxNLocator

from cyclokit.drive import Drive
from cyclokit.geometry import limits
from cyclokit.signatures import read
from cyclokit.texts import plain
from cyclokit.view import limits_map, pages, svg
from cyclokit.view.limits_map import AXES, LOOKS, SIDEWAYS, UPWARDS

WIDTH, HEIGHT = 480.0, 380.0  # of the picture; its lengths have no unit of the page
LEFT, RIGHT, BOTTOM, TOP = 54.0, 16.0, 54.0, 12.0  # room round the map
ANCHORS = {"left": "start", "center": "middle", "right": "end"}
LETTERS = 15.0  # height
RIM = 'paint-order="stroke" stroke="#ffffff" stroke-width="3" stroke-linejoin="round" fill="#1f1f1f"'
HAND = 22.0  # radius of what can be taken hold of round the point
# What the library says to a reader.
WORDS = (
    "The map of sound shapes for {pins} pins on a circle of radius {radius:g} mm: eccentricity over roller radius. "
    "The shaded region is sound. Thick lines are physical limits: loops above the dash-dotted one, an undercut above "
    "the bent one, overlapping rollers right of the dotted one. The thin dashed line is a rule of thumb. "
    "The dot is this drive{beside}."
)
BESIDE = "; the diamond is {name}"
ELSEWHERE = "; {name} stands in another ring, which has a map of its own"


@read
def drawn(drive: Drive, reaching: tuple[float, float], beside: Mapping[str, Drive]) -> str:
    """The map of a drive's ring with the drive on it, as SVG.

    It ends not before the roller radius and eccentricity [mm] of `reaching`. Other drives by their names are on it
    where they are in the same ring; the words say so. The drive itself may be sound or not.
    """
    beside = {plain(name): other for name, other in beside.items()}
    shown = limits_map.of_ring(*_ring(drive), reaching=reaching)
    across, up = (WIDTH - LEFT - RIGHT) / shown.reach[0], (HEIGHT - BOTTOM - TOP) / shown.reach[1]
    scale = np.array([across, up])
    neighbours = {name: other for name, other in beside.items() if _ring(other) == _ring(drive)}
    tails = [(BESIDE if name in neighbours else ELSEWHERE).format(name=name) for name in beside]
    words = WORDS.format(pins=drive.pins, radius=drive.pin_circle_radius, beside="".join(tails))
    body = (
        _axes(shown, scale)
        + svg.line(_placed(shown.sound, scale), svg.fill(limits_map.SOUND_COLOUR, limits_map.SHADED), closed=True)
        + "".join(_limit(line, scale) for line in shown.lines)
        + _text(limits_map.SOUND, _placed(shown.sound_at, scale), "center")
        + "".join(_neighbour(name, other, shown, scale) for name, other in neighbours.items())
        + _dot(_placed(_point(drive), scale), limits.check(drive).sound)
    )
    told = {"left": LEFT, "bottom": BOTTOM, "across": across, "up": up, "words": words}
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 {-HEIGHT:g} {WIDTH:g} {HEIGHT:g}" role="img" '
        f'{pages.facts(told)} font-family="sans-serif" font-size="{LETTERS:g}">'
        f"<title>{html.escape(words, quote=False)}</title>{body}</svg>"
    )


@read
def words_of(text: str) -> str:
    """What is seen on a map that `drawn` has made: its title."""
    return html.unescape(text.partition("<title>")[2].partition("</title>")[0])


def _ring(drive: Drive) -> tuple[int, float]:
    return drive.pins, drive.pin_circle_radius


def _point(drive: Drive) -> tuple[float, float]:
    return drive.roller_radius, drive.eccentricity


def _placed(points: Any, scale: np.ndarray) -> np.ndarray:
    """From mm to places in the picture, y upwards."""
    return np.asarray(points) * scale + [LEFT, BOTTOM]


def _axes(shown: limits_map.LimitsMap, scale: np.ndarray) -> str:
    """Two axes with ticks at round numbers, and their names."""
    ends = _placed([[0, shown.reach[1]], [0, 0], [shown.reach[0], 0]], scale)
    parts = [svg.line(ends, f'fill="none" {svg.stroke(svg.GREY, 1)}')]
    for axis, sideways in enumerate(("center", "right")):
        for value in MaxNLocator(6).tick_values(0, shown.reach[axis]):
            if 0 <= value <= shown.reach[axis]:
                at = _placed(np.eye(2)[axis] * value, scale)
                out = -5 * np.eye(2)[1 - axis]
                parts.append(svg.line([at, at + out], svg.stroke(svg.GREY, 1)))
                parts.append(_text(svg.number(value, 6), at, sideways, (0, -23) if axis == 0 else (-9, -6)))
    across, up = AXES.values()
    parts.append(_text(across, (LEFT + (WIDTH - LEFT - RIGHT) / 2, 8), "center"))
    parts.append(_text(up, (15, BOTTOM + (HEIGHT - BOTTOM - TOP) / 2), "center", upright=True))
    return "".join(parts)


def _limit(line: limits_map.Line, scale: np.ndarray) -> str:
    """A limit's line and its words."""
    look = LOOKS[line.name]
    dashes = [look.width * length for length in look.dashes]
    path = svg.line(_placed(line.points, scale), f'fill="none" {svg.stroke(look.colour, look.width, dashes)}')
    at = _placed(line.label_at, scale)
    aside = SIDEWAYS[look.across], UPWARDS[look.upwards]
    if look.upright:
        return path + _text(line.label, at, "left", (aside[0] + LETTERS, aside[1]), upright=True)
    below = LETTERS if look.upwards == "top" else -LETTERS / 4  # from the place to the first line's foot; p has a tail
    return path + _text(line.label, at, look.across, (aside[0], aside[1] - below))


def _neighbour(name: str, drive: Drive, shown: limits_map.LimitsMap, scale: np.ndarray) -> str:
    """Another drive: a diamond with its name."""
    at, across = _placed(_point(drive), scale), limits_map.words_from(shown, drive, name)
    diamond = svg.line(at + 6 * np.array([[1, 0], [0, 1], [-1, 0], [0, -1], [1, 0]]), f'fill="{svg.GREY}"', closed=True)
    return diamond + _text(name, at, across, (math.copysign(10, SIDEWAYS[across]), 6))


def _dot(at: np.ndarray, sound: bool) -> str:
    """The drive itself: a dot, a crossed ring where it can't be made; the page moves it, and shows one of the two."""
    marks = {
        "sound": svg.circle(0, 0, 8, f'fill="{svg.BLUE}"'),
        "wrong": svg.circle(0, 0, 8, f'fill="none" {svg.stroke(svg.VERMILION, 3)}')
        + svg.line([(-5, -5), (5, 5)], svg.stroke(svg.VERMILION, 3))
        + svg.line([(-5, 5), (5, -5)], svg.stroke(svg.VERMILION, 3)),
    }
    seen = "sound" if sound else "wrong"
    both = "".join(
        f'<g data-mark="{name}" display="{"inline" if name == seen else "none"}">{mark}</g>'
        for name, mark in marks.items()
    )
    hand = svg.circle(0, 0, HAND, 'fill="#ffffff" fill-opacity="0"')
    return f'<g data-point="" transform="translate({svg.pair(*at)})">{hand}{both}</g>'


def _text(words: str, at: Any, across: str, aside: tuple[float, float] = (0, 0), upright: bool = False) -> str:
    """Words with a rim, so that they can be read on any page; a line break begins another line below."""
    x, y = svg.number(at[0] + aside[0], 1), svg.number(-at[1] - aside[1], 1)
    turn = f' transform="rotate(-90 {x} {y})"' if upright else ""
    lines = "".join(
        f'<tspan x="{x}" dy="{0 if first else 1.15 * LETTERS:g}">{html.escape(line)}</tspan>'
        for first, line in zip([True] + [False] * words.count("\n"), words.split("\n"), strict=True)
    )
    return f'<text x="{x}" y="{y}" text-anchor="{ANCHORS[across]}" {RIM}{turn}>{lines}</text>'
