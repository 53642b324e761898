"""Shapes as SVG text: rounded, the same every time, y upwards on the way in and downwards in the text."""

import math
import re
from collections.abc import Sequence
from dataclasses import astuple, dataclass

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.geometry.polygons import vectors
from cyclokit.signatures import Length, read
from cyclokit.texts import in_html
from cyclokit.view import palette

# one colour a thing; each goes with its own dashes or shape too
BLUE, VERMILION, GREEN, PURPLE, GREY = (
    paint.light for paint in (palette.DISC, palette.ROLLER, palette.CRANK, palette.CENTRE_PATH, palette.LINE)
)


@dataclass(frozen=True)
class Move:
    """How a part moves as the angle a grows: it stands at orbit (cos, sin)(rate a) + (drift a, up), spun by spin a."""

    orbit: float = 0.0
    rate: float = 0.0
    spin: float = 0.0
    drift: float = 0.0
    up: float = 0.0

    @read
    def at(self, angle: float) -> tuple[float, float, float]:
        """Where it is, x and y [mm], and its turn [rad], at an angle [rad]."""
        x = self.orbit * math.cos(self.rate * angle) + self.drift * angle
        return x, self.orbit * math.sin(self.rate * angle) + self.up, self.spin * angle


@read
def layer(name: str, content: str, more: str = "") -> str:
    """What is shown and hidden under one name."""
    return f'<g data-layer="{name}"{more and " " + more}>{content}</g>'


@read
def part(name: str, move: Move, content: str, angle: float) -> str:
    """A part that moves, standing where it is at that angle [rad]."""
    x, y, spin = move.at(angle)
    rates = " ".join(repr(round(float(value), 9) + 0.0) for value in astuple(move))
    where = f"translate({_pair(x, y)}) rotate({_number(-math.degrees(spin))})"
    return f'<g data-part="{name}" data-move="{rates}" transform="{where}">{content}</g>'


@read
def held(move: Move, angle: float) -> str:
    """The transform that makes a moving part stand still in the middle: the inverse of its own."""
    x, y, spin = move.at(angle)
    return f"rotate({_number(math.degrees(spin))}) translate({_pair(-x, -y)})"


@read
def turned(content: str, degrees: float, decimals: int = 3) -> str:
    """The same, turned counter-clockwise about (0, 0)."""
    return f'<g transform="rotate({_number(-degrees, decimals)})">{content}</g>'


@read
def fill(colour: str, opacity: float) -> str:
    """A see-through filling."""
    return f'fill="{colour}" fill-opacity="{opacity:g}"'


@read
def stroke(colour: str, width: float, dashes: Sequence[float] = ()) -> str:
    """A line's colour, width and dashes [mm]."""
    lengths = " ".join(map(_number, dashes))
    return f'stroke="{colour}" stroke-width="{_number(width)}"' + (f' stroke-dasharray="{lengths}"' if dashes else "")


@read
def circle(x: float, y: float, radius: float, style: str = "") -> str:
    """A circle about (x, y)."""
    return f'<circle cx="{_number(x)}" cy="{_number(-y)}" r="{_number(radius)}" {style}/>'


@read
def line(points: ArrayLike, style: str = "", closed: bool = False) -> str:
    """Straight pieces through points (n, 2); closed, its last point must be the first."""
    return f'<path d="{path(points, closed)}" {style}/>'


@read
def path(points: ArrayLike, closed: bool = False) -> str:
    """The same as a path's data, for who draws it twice."""
    pairs = _pairs(points).split(" ")
    return f"M{'L'.join(pairs[:-1])}Z" if closed else f"M{'L'.join(pairs)}"


@read
def trail(points: ArrayLike, share: float, style: str) -> str:
    """A curve (n, 2) that appears as the angle grows; its points lie at even steps of the angle."""
    pairs = _pairs(points)
    share = share if share == 1 else share % 1  # the end is a place of its own
    shown = " ".join(pairs.split(" ")[: 1 + round(share * (len(np.asarray(points)) - 1))])
    return f'<polyline data-trail="{pairs}" points="{shown}" fill="none" {style}/>'


@read
def pair(x: float, y: float) -> str:
    """A point, with SVG's y axis, which points down."""
    return _pair(x, y)


@read
def number(value: float, decimals: int = 3) -> str:
    """Rounded, without zeros at the end, and never -0, so that the same picture is the same text."""
    return _number(value, decimals)


def _pair(x: float, y: float) -> str:
    return f"{_number(x)},{_number(-y)}"


def _number(value: float, decimals: int = 3) -> str:
    return f"{round(float(value), decimals) + 0.0:.{decimals}f}".rstrip("0").rstrip(".")


def _pairs(points: ArrayLike) -> str:
    """Points as text, to a thousandth of a mm, or a hundredth in a picture too large to show that."""
    xy = vectors("points", points) * [1, -1]
    if xy.ndim != 2 or not len(xy):
        raise ValueError(f"points has the shape {xy.shape}, but must be (n, 2): give x and y of one point or more.")
    rounded = np.round(xy, 2 if np.abs(xy).max() > 10 else 3) + 0.0
    return " ".join(["%.10g,%.10g"] * len(xy)) % tuple(rounded.ravel().tolist())  # one call: ten times as fast


@read
def arc(radius: float, rate: float, angle: float, style: str, every: Length = 2 * math.pi) -> str:
    """How far something has turned that turns by `rate` an angle [rad]: an arc about (0, 0), from +x on.

    It begins anew each time it has turned by `every` [rad], once round at most.
    """
    turned = math.fmod(rate * angle, every)
    way = f"A{_number(radius)} {_number(radius)} 0 {int(abs(turned) > math.pi)} {int(turned < 0)}"
    end = _pair(radius * math.cos(turned), radius * math.sin(turned))
    told = f'data-arc="{_number(radius)} {round(rate, 9) + 0.0!r} {_number(math.degrees(every), 6)}"'
    return f'<path {told} d="M{_number(radius)},0{way} {end}" fill="none" {style}/>'


@read
def run(radius: float, angle: float, style: str) -> str:
    """The way that a circle has rolled since it began its turn: a straight line back along x from where it is."""
    length = _number(-radius * math.fmod(angle, 2 * math.pi))
    return f'<path data-run="{_number(radius)}" d="M0,0H{length}" fill="none" {style}/>'


@read
def label(words: str, x: float, y: float, unit: float) -> str:
    """Words in the middle of a picture of a drive, with a rim that keeps lines off them."""
    rim = f'paint-order="stroke" {stroke(palette.PAGE.light, 1.2 * unit)} stroke-linejoin="round"'
    return (
        f'<text x="{_number(x)}" y="{_number(-y)}" font-size="{_number(3.6 * unit)}" text-anchor="middle" '
        f'font-family="sans-serif" dominant-baseline="central" fill="{palette.WORDS.light}" {rim}>'
        f"{in_html(words)}</text>"
    )


@read
def below(upper: str, lower: str) -> str:
    """Two pictures as one, the second under the first and as wide, with a gap between them."""
    (_, _, wide, high), (_, _, low_wide, low_high) = (_frame(each) for each in (upper, lower))
    width, gap = 100.0, 4.0
    heights = width * high / wide, width * low_high / low_wide
    whole = f'viewBox="0 0 {_number(width)} {_number(heights[0] + gap + heights[1])}"'
    placed = (
        each.replace("<svg ", f'<svg y="{_number(y)}" width="{_number(width)}" height="{_number(height)}" ', 1)
        for each, y, height in zip((upper, lower), (0.0, heights[0] + gap), heights, strict=True)
    )
    return f'<svg xmlns="http://www.w3.org/2000/svg" {whole}>{"".join(placed)}</svg>'


def _frame(picture: str) -> tuple[float, ...]:
    """A picture's left, top, width and height."""
    found = re.search(r'<svg [^>]*?viewBox="([^"]*)"', picture)
    if not found:
        raise ValueError("upper and lower must be whole SVG pictures, each with a viewBox: give those.")
    return tuple(map(float, found[1].split()))


# parts of a drive; lengths in mm, `unit` is a 50th of half the picture's width


@read
def mark(root: float, lobes: int, unit: float) -> str:
    """A thick line on the lobe that is half a lobe on from +x."""
    way = np.array([math.cos(math.pi / lobes), math.sin(math.pi / lobes)])
    return line([0.84 * root * way, 0.97 * root * way], stroke(BLUE, 1.4 * unit))


@read
def striped(radius: float, stripe: float, colour: str, unit: float) -> str:
    """A circle in stripes of a length [mm]."""
    thin, thick = stroke(colour, 0.3 * unit), stroke(colour, 1.2 * unit, (stripe, stripe))
    return circle(0, 0, radius, f'fill="none" {thin}') + circle(0, 0, radius, f'fill="none" {thick}')


@read
def crank(e: float, root: float, unit: float) -> str:
    """The eccentric, drawn large enough to be seen, and an arm with a knob to drag; all of it turns about (0, 0)."""
    shown = min(max(6 * e, 0.12 * root), 0.24 * root)
    return eccentric(e, 0, shown, unit) + arm(root, unit, middles=((e, 0),))


@read
def eccentric(x: float, y: float, radius: float, unit: float) -> str:
    """An eccentric about (x, y)."""
    return circle(x, y, radius, f'fill="none" {stroke(GREEN, 0.6 * unit, (2 * unit, unit))}')


@read
def arm(root: float, unit: float, middles: Sequence[tuple[float, float]]) -> str:
    """An arm with a knob to drag, arrowheads at its sides, and the middles of the eccentrics that turn with it."""
    x = 0.4 * root
    bar = line([(0, 0), (x - 2.6 * unit, 0)], stroke(GREEN, unit))
    heads = (np.array([(-1.4, 3.9), (0, 5.4), (1.4, 3.9)]) * [unit, way * unit] + [x, 0] for way in (1, -1))
    knob = (
        circle(x, 0, 6 * unit, f'{fill(GREEN, 0)} stroke="none"')  # what a finger needs on a narrow page
        + circle(x, 0, 2.6 * unit, f"{fill(GREEN, 0.35)} {stroke(GREEN, 0.8 * unit)}")
        + "".join(line(head, f'fill="none" {stroke(GREEN, 0.8 * unit)}') for head in heads)
    )
    middle = "".join(circle(*each, 0.9 * unit, f'fill="{GREEN}"') for each in middles)
    return bar + middle + f'<g data-knob="">{knob}</g>'


@read
def disc(unit: float) -> str:
    """The style of a disc."""
    return f"{fill(BLUE, 0.22)} {stroke(BLUE, 0.5 * unit)}"


@read
def output_roller(unit: float) -> str:
    """The style of an output roller."""
    return f"{fill(VERMILION, 0.45)} {stroke(VERMILION, 0.5 * unit)}"


@read
def bent_arrow(radius: float, mirrored: bool, unit: float) -> str:
    """An arrow along a quarter of a circle, from -45 to +45 degrees; mirrored, the other way."""
    around = np.linspace(-np.pi / 4, np.pi / 4, 25)
    tip = radius * math.sqrt(0.5)
    head = [(tip + 0.2 * unit, tip - 3 * unit), (tip, tip), (tip + 3 * unit, tip - 0.2 * unit)]
    style = f'fill="none" {stroke(GREY, 0.9 * unit)}'
    bow = line(radius * np.stack([np.cos(around), np.sin(around)], axis=-1), style)
    turned = ' transform="scale(1,-1)"' if mirrored else ""
    return f'<g data-load=""{turned}>{bow}{line(head, style)}</g>'


@read
def wheel(radius: float, arm: float, pen_at: float, unit: float) -> str:
    """A circle with a spoke to its drawing point, which starts in the direction `pen_at` [rad]."""
    pen = arm * math.cos(pen_at), arm * math.sin(pen_at)
    return (
        circle(0, 0, radius, f"{fill(BLUE, 0.15)} {stroke(BLUE, 0.5 * unit)}")
        + line([(0, 0), pen], stroke(BLUE, 0.5 * unit, (1.5 * unit, unit)))
        + circle(*pen, 0.9 * unit, f'fill="{VERMILION}"')
    )
