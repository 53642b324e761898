"""A strip chart under a stage: what happens in one crank turn, over the angle that the stage shares with it.

The curves are worked out here; `chart.js` moves the cursor as the stage moves, and the stage as the cursor is moved.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from cyclokit.arguments import Floats, checked_choice, finite
from cyclokit.drive import Drive
from cyclokit.geometry import milled, speeds, sweep
from cyclokit.signatures import read
from cyclokit.texts import in_html
from cyclokit.view import pages, palette, svg
from cyclokit.view.pins import gap_facts
from cyclokit.view.svg import BLUE, GREEN, GREY, PURPLE, VERMILION, stroke

# name of a curve -> words over its strip, its short name, unit, decimals, colour, dashes
CURVES = {
    "disc angle": ("disc, since this crank turn began [°]", "disc", "°", 2, BLUE, ()),
    "output angle": ("output, since this crank turn began [°]", "output", "°", 2, VERMILION, (6, 2)),
    "sliding": ("disc's edge past pin 0, crank at 1 rad/s [mm/s]", "edge past pin 0", " mm/s", 3, VERMILION, (9, 3)),
    "force": ("force of pin 0 on the disc [N]", "force of pin 0", " N", 1, PURPLE, (3, 3)),
    "gap": ("gap between roller 0 and the disc [mm]", "gap at roller 0", " mm", 2, PURPLE, ()),
}
SEEN = {
    "disc angle": "the disc's angle, a straight line from 0 to {last} degrees",
    "output angle": "the output's angle, a straight line from 0 to {last} degrees, since the disc takes it along",
    "sliding": "the speed at which the disc's edge passes pin 0, the one at the right, counter-clockwise above zero, "
    "with the crank at 1 rad/s: from {least} to {most} mm/s",
    "force": "the force of pin 0, the one at the right, on the disc: from {least} to {most} N",
    "gap": "the gap between the disc and roller 0, the one at the right: from {least} to {most} mm",
}
WORDS = "A chart over one crank turn, ring held. It shows {curves}. Its cursor (upright line) goes with the crank."
DEGREES = np.linspace(0.0, 360.0, 181)  # straight lines between: within 0.001 mm/s of the story's sliding
WIDTH, LEFT, RIGHT, STRIP, HEAD, FOOT = 480, 62, 464, 76, 26, 44  # of the picture, in its own units


@dataclass(frozen=True)
class Chart:
    """A picture of curves, and its words."""

    svg: str  # its cursor at the angle at which the stage stands
    words: str  # what is seen: alt text and caption


@read
def of_drive(
    drive: Drive, chart: Iterable[str], angle: float, forces: Floats | None = None, output: bool = False
) -> Chart:
    """Curves of a drive over one crank turn, one under another.

    `chart` names curves: "disc angle"; "output angle" if there is an `output`, else "sliding"; "force" if there are
    `forces`, of pin 0 on the disc [N] at even steps of one crank turn, shape (m,). The cursor stands at `angle` [rad];
    the trochoid ratio must not be exactly 1.

    Examples
    --------
    >>> story = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
    >>> of_drive(story, ["disc angle"], 0.0).words[:67]
    "A chart over one crank turn, ring held. It shows the disc's angle, "
    """
    missing = {"output angle": not output, "sliding": output, "force": forces is None, "gap": True}
    names = _chosen(chart, tuple(name for name in CURVES if not missing.get(name)))
    return _drawn({name: _curve(drive, name, forces) for name in names}, angle, {})


@read
def of_cut(cut: sweep.Cut, chart: Iterable[str], angle: float) -> Chart:
    """The same of a disc that rollers have cut, which turns at its own rate.

    Its curves are "disc angle", and "gap" of roller 0, on a scale of two eccentricities for all.
    """
    names = _chosen(chart, ("disc angle", "gap"))
    return _drawn({name: _cut_curve(cut, name) for name in names}, angle, {"gap": 2 * cut.drive.eccentricity})


def _chosen(chart: Iterable[str], offered: tuple[str, ...]) -> tuple[str, ...]:
    """The names of the curves that were asked for."""
    names = tuple(chart)
    if not names:
        raise ValueError(f"chart is empty, but must name a curve: choose from {', '.join(offered)}.")
    return tuple(checked_choice("chart", name, offered) for name in names)


def _cut_curve(cut: sweep.Cut, name: str) -> Floats:
    """Values of a cut disc over one crank turn, at DEGREES."""
    if name == "disc angle":
        return float(sweep.disc_angle(cut.drive, 1.0, cut.lobes)) * DEGREES
    return _at_degrees(gap_facts(cut.drive, cut.lobes, milled.edge(cut.drive, cut.lobes))["gap"])


def _curve(drive: Drive, name: str, forces: Floats | None) -> Floats:
    """Values over one crank turn, at DEGREES."""
    if name in ("disc angle", "output angle"):
        return speeds.disc_rate(drive) * DEGREES
    if name == "sliding":
        return speeds.contact_speeds(drive, np.radians(DEGREES)).sliding[:, 0]
    given = finite("forces", () if forces is None else forces)
    if given.ndim != 1 or not given.size:
        raise ValueError(f"forces has the shape {given.shape}, but must be one row of numbers: give that.")
    return finite("forces", _at_degrees(given))


def _at_degrees(values: Any) -> Floats:
    """Values at even steps of one crank turn, as they are at DEGREES."""
    count = np.size(values)
    return np.interp(DEGREES, 360 / count * np.arange(count), values, period=360)


def _drawn(curves: dict[str, Floats], angle: float, reaching: dict[str, float]) -> Chart:
    """The picture of curves, as they are at DEGREES; strips reach as far as `reaching` says, however low they are."""
    degrees = math.degrees(angle) % 360
    height = len(curves) * (HEAD + STRIP) + FOOT
    body, dots, line, told, said = "", "", "", [], []
    for number, (name, values) in enumerate(curves.items()):
        top = number * (HEAD + STRIP) + HEAD
        words, short, unit, decimals, colour, dashes = CURVES[name]
        low, high = _span(np.append(values, reaching.get(name, 0.0)))
        slope = -STRIP / (high - low)
        zero = top - slope * high
        body += _frame(words, top, low, high)
        at = np.column_stack([_across(DEGREES), -(zero + slope * values)])
        body += svg.line(at, f'fill="none" {stroke(colour, 2, dashes)}')
        here = float(np.interp(degrees, DEGREES, values))
        dots += f'<circle data-dot="{number}" cy="{svg.number(zero + slope * here)}" r="4.5" fill="{colour}"/>'
        line += f"M0 {top}v{STRIP}"
        rounded = (np.round(values, decimals) + 0.0).tolist()
        place = [round(zero, 3), round(slope, 6)]
        told.append({"name": short, "unit": unit, "decimals": decimals, "place": place, "values": rounded})
        least, most, last = (_said(float(value)) for value in (values.min(), values.max(), values[-1]))
        said.append(SEEN[name].format(least=least, most=most, last=last))
    words = WORDS.format(curves="; and ".join(said))
    bottom = height - FOOT
    grip = f'<path d="M0 {bottom}l-7 10h14Z" fill="{GREEN}"/><path d="{line}" {stroke(GREEN, 2)}/>'
    cursor = f'<g data-cursor="" transform="translate({svg.number(_across(degrees))} 0)">{grip}{dots}</g>'
    facts = pages.facts({"left": LEFT, "right": RIGHT, "curves": told})
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" {facts}>'
        f"<title>{in_html(words)}</title>{body}{_foot(bottom)}{cursor}</svg>"
    )
    return Chart(text, words)


def _across(degrees: Any) -> Any:
    """Where an angle of the crank lies on the axis."""
    return LEFT + (RIGHT - LEFT) * degrees / 360


def _span(values: Floats) -> tuple[float, float]:
    """Round numbers below and above all values, zero among them."""
    low, high = min(float(values.min()), 0.0), max(float(values.max()), 0.0)
    if low == high:
        return 0.0, 1.0
    power = 10.0 ** math.floor(math.log10(high - low))
    step = next(each * power for each in (0.1, 0.2, 0.5, 1, 2) if (high - low) / (each * power) <= 8)
    return step * math.floor(round(low / step, 9)), step * math.ceil(round(high / step, 9))


def _frame(words: str, top: int, low: float, high: float) -> str:
    """A strip's words, its edges and the numbers at them."""
    text = _text(words, LEFT, top - 9, "start")
    for value in sorted({low, 0.0, high}):
        y = top + STRIP * (high - value) / (high - low)
        text += f'<path d="M{LEFT} {svg.number(y)}H{RIGHT}" {stroke(GREY, 1)}/>'
        text += _text(_said(value), LEFT - 6, y + 5, "end")
    return text


def _foot(bottom: int) -> str:
    """The axis that all strips share."""
    text = ""
    for degrees in range(0, 361, 90):
        x = svg.number(_across(degrees))
        text += f'<path d="M{x} {bottom}v5" {stroke(GREY, 1)}/>' + _text(f"{degrees}", float(x), bottom + 22, "middle")
    return text + _text("crank angle in this turn [°]", (LEFT + RIGHT) / 2, bottom + 40, "middle")


def _said(value: float) -> str:
    """A number in words, with a minus sign."""
    return f"{value + 0.0:.4g}".replace("-", "\N{MINUS SIGN}")


def _text(words: str, x: float, y: float, anchor: str) -> str:
    style = f'font-family="sans-serif" font-size="14" fill="{palette.WORDS.light}" text-anchor="{anchor}"'
    return f'<text x="{svg.number(x)}" y="{svg.number(y)}" {style}>{in_html(words)}</text>'
