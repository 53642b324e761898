"""Pictures that move in the page, with no kernel and no network.

A moving picture is one SVG. Each group in it that moves says how, per radian of the angle that
the reader turns: how far from the middle it runs round and how fast, how fast it spins, how far
it drifts along x. `stage.js` reads these and carries the groups along; it computes no geometry.
Where scripts don't run, the same SVG is a still picture with its words.
"""

import base64
import html
import math
from collections.abc import Iterable
from dataclasses import dataclass
from importlib.resources import files

import numpy as np

from cyclokit.arrays import Floats
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, rolling, sweep

# Okabe-Ito colours that keep 3 : 1 against a white page and a dark one, each with a shape of its own
BLUE, VERMILION, GREEN, GREY = "#0072B2", "#D55E00", "#009E73", "#767676"


@dataclass(frozen=True, repr=False)
class MovingPicture:
    """An SVG whose groups move, with the words that say what it shows.

    Attributes
    ----------
    svg : str
        The still picture at angle 0; its moving groups carry `data-` attributes.
    words : str
        What the picture shows: its alt text and its caption.
    readout : str
        Pairs "name:rate" for the line of angles under the picture, e.g. "crank:1,disc:-0.05".
    turns : float
        How many turns of the angle the slider spans.
    """

    svg: str
    words: str
    readout: str
    turns: float

    def __repr__(self) -> str:
        return f"MovingPicture({self.words!r})"

    def _repr_html_(self) -> str:
        still = base64.b64encode(self.svg.encode()).decode()
        words = html.escape(self.words, quote=True)
        script = (files("cyclokit.view") / "stage.js").read_text(encoding="utf-8")
        return (
            f'<figure style="margin:0;max-width:34em"><div data-cyclokit-stage data-readout="{self.readout}" '
            f'data-turns="{self.turns:g}">'
            f'<img alt="{words}" style="width:100%" src="data:image/svg+xml;base64,{still}"></div>'
            f"<figcaption>{words}</figcaption></figure>"
            f'<script type="module">{script}</script>'
        )


def turning_drive(drive: Drive) -> MovingPicture:
    """The drive as its crank turns: rollers stand, the disc wobbles and turns slowly back.

    Parameters
    ----------
    drive : Drive
        The drive; its trochoid ratio must not be exactly 1.

    Returns
    -------
    MovingPicture
        One crank turn is 2 pi of its angle; the slider spans one turn of the disc.
    """
    spin = float(motion.disc_pose(drive, 1.0).angle)
    words = (
        f"A cycloidal drive: {drive.pins} rollers (orange circles) stand still; the disc with {drive.lobes} lobes "
        "(blue) is carried round by the eccentric (green, dashed). A witness mark near the disc's edge shows how the "
        "disc turns; the angles of crank and disc stand under the picture."
    )
    edge = outline.polygon(drive, _reach(drive) / 2000)
    root = drive.pin_circle_radius - drive.eccentricity - drive.roller_radius
    return _turning(drive, edge, root, spin, drive.ratio, words)


def turning_cut(cut: sweep.Cut) -> MovingPicture:
    """A disc that rollers have cut, as its crank turns and it is made to turn at its rate.

    Parameters
    ----------
    cut : Cut
        From `sweep.cut`, with any number of lobes.

    Returns
    -------
    MovingPicture
        One crank turn is 2 pi of its angle; the slider spans the turns after which all is as before.
    """
    drive = cut.drive
    spin = float(sweep.disc_angle(drive, 1.0, cut.lobes))
    words = (
        f"What {drive.pins} rollers (orange circles) leave of a round blank that is made to turn as a disc with "
        f"{cut.lobes} lobes must (blue): the eccentric (green, dashed) carries it round. Where blue and orange don't "
        "meet there is a gap."
    )
    return _turning(drive, cut.points, float(cut.radii.min()), spin, max(cut.turns, 2), words)


def _reach(drive: Drive) -> float:
    """Half the width of a drive's picture [mm]."""
    return drive.pin_circle_radius + drive.roller_radius + 2 * drive.eccentricity


def _turning(drive: Drive, edge: Floats, root: float, spin: float, turns: int, words: str) -> MovingPicture:
    """Rollers, and a disc with that edge which the crank carries round and which spins at its own rate."""
    e = drive.eccentricity
    reach = _reach(drive)
    unit = reach / 50  # lines and dots are drawn in this, so that a small drive looks like a large one

    ring = "".join(_circle(x, y, drive.roller_radius) for x, y in motion.pins(drive))
    disc = (
        f'<path d="{_path(edge)}" fill="{BLUE}" fill-opacity="0.22" {_stroke(BLUE, 0.5 * unit)}/>'
        f'<path d="M{_number(0.84 * root)} 0H{_number(0.97 * root)}" {_stroke(BLUE, 1.2 * unit)}/>'
    )
    # the eccentric is drawn large enough to be seen, its own centre e from the crank's
    eccentric = (
        _circle(0, 0, 6 * e, f'fill="none" {_stroke(GREEN, 0.6 * unit)} stroke-dasharray="{2 * unit:.3f} {unit:.3f}"')
        + f'<path d="M{_number(-e)} 0H{_number(6 * e)}" {_stroke(GREEN, 0.8 * unit)}/>'
    )
    body = (
        f'<g fill="none" {_stroke(VERMILION, 0.6 * unit)}>{ring}</g>'
        + _moving(disc, orbit=e, orbit_rate=1, spin_rate=spin)
        + _moving(eccentric, orbit=e, orbit_rate=1, spin_rate=1)
        + _circle(0, 0, unit, f'fill="{GREEN}"')
    )
    box = (-reach, -reach, 2 * reach, 2 * reach)
    return MovingPicture(_svg(*box, body, words), words, f"crank:1,disc:{spin:.9f}", turns)


def rolling_on_line(rolling_radius: float, arches: int = 2) -> MovingPicture:
    """A circle rolling along a line, and the cycloid that a point on its edge draws.

    Parameters
    ----------
    rolling_radius : float
        Radius of the circle [mm].
    arches : int
        How many turns the circle makes.

    Returns
    -------
    MovingPicture
        The angle is the circle's own turn.
    """
    drawn = rolling.cycloid(rolling_radius, np.linspace(0, 2 * math.pi * arches, 60 * arches + 1))
    width = 2 * math.pi * rolling_radius * arches
    unit = width / 120
    ground = f"M{_number(-rolling_radius)} 0H{_number(width + rolling_radius)}"
    wheel = _wheel(rolling_radius, rolling_radius, pen_at=-math.pi / 2, unit=unit)
    body = (
        f'<path d="{ground}" {_stroke(GREY, 0.4 * unit)}/>'
        + _trail(drawn, unit)
        + _moving(wheel, up=rolling_radius, spin_rate=-1, drift=rolling_radius)
    )
    words = (
        f"A circle of radius {rolling_radius:g} mm rolls along a line without slipping. The point on its edge "
        "(orange dot) draws a cycloid: it stops for an instant each time it touches the line."
    )
    box = (-1.3 * rolling_radius, -2.3 * rolling_radius, width + 2.6 * rolling_radius, 2.6 * rolling_radius)
    return MovingPicture(_svg(*box, body, words), words, "circle:-1", arches)


def rolling_on_circle(fixed_radius: float, rolling_radius: float, arm: float) -> MovingPicture:
    """A circle rolling round a fixed one, and the curve that a point fixed to it draws.

    Parameters
    ----------
    fixed_radius, rolling_radius : float
        Radii [mm].
    arm : float
        Distance of the drawing point from the rolling circle's centre [mm].

    Returns
    -------
    MovingPicture
        The angle is how far the rolling circle's centre has gone round.
    """
    drawn = rolling.epitrochoid(fixed_radius, rolling_radius, arm, np.linspace(0, 2 * math.pi, 721))
    centre = fixed_radius + rolling_radius
    spin = centre / rolling_radius
    reach = centre + max(arm, rolling_radius) + fixed_radius / 30
    unit = reach / 50
    fixed = _circle(0, 0, fixed_radius, f'fill="none" {_stroke(GREY, 0.4 * unit)}')
    wheel = _wheel(rolling_radius, arm, pen_at=math.pi, unit=unit)
    body = fixed + _trail(drawn, unit) + _moving(wheel, orbit=centre, orbit_rate=1, spin_rate=spin)
    curve = "an epicycloid" if arm == rolling_radius else "an epitrochoid"
    words = (
        f"A circle of radius {rolling_radius:g} mm rolls round a fixed circle of radius {fixed_radius:g} mm. "
        f"A point {arm:g} mm from its centre (orange dot) draws {curve}."
    )
    svg = _svg(-reach, -reach, 2 * reach, 2 * reach, body, words)
    return MovingPicture(svg, words, f"round:1,circle:{spin:.9f}", 1)


def _wheel(radius: float, arm: float, pen_at: float, unit: float) -> str:
    """A circle with a spoke to its drawing point, which starts in the direction `pen_at` [rad]."""
    x, y = arm * math.cos(pen_at), arm * math.sin(pen_at)
    return (
        _circle(0, 0, radius, f'fill="{BLUE}" fill-opacity="0.15" {_stroke(BLUE, 0.5 * unit)}')
        + f'<path d="M0 0L{_pair(x, -y)}" {_stroke(BLUE, 0.5 * unit)} stroke-dasharray="{1.5 * unit:.3f} {unit:.3f}"/>'
        + _circle(x, y, 0.9 * unit, f'fill="{VERMILION}"')
    )


def _trail(points: Floats, unit: float) -> str:
    """A curve that appears as the angle grows; its points lie at even steps of the angle."""
    return f'<polyline data-trail="" points="{_pairs(points)}" fill="none" {_stroke(VERMILION, 0.7 * unit)}/>'


def _stroke(colour: str, width: float) -> str:
    return f'stroke="{colour}" stroke-width="{width:.3f}"'


def _moving(
    content: str, orbit: float = 0, orbit_rate: float = 0, spin_rate: float = 0, drift: float = 0, up: float = 0
) -> str:
    """A group that at the angle a stands at orbit (cos, sin)(orbit_rate a) + (drift a, up), spun by spin_rate a."""
    return (
        f'<g data-orbit="{orbit:.6f}" data-orbit-rate="{orbit_rate:g}" data-spin-rate="{spin_rate:.9f}" '
        f'data-drift="{drift:.6f}" data-up="{up:.6f}" transform="translate({_pair(orbit, -up)})">{content}</g>'
    )


def _svg(left: float, top: float, width: float, height: float, body: str, words: str) -> str:
    box = " ".join(_number(value) for value in (left, top, width, height))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" role="img">'
        f"<title>{html.escape(words)}</title>{body}</svg>"
    )


def _circle(x: float, y: float, radius: float, style: str = "") -> str:
    return f'<circle cx="{_number(x)}" cy="{_number(-y)}" r="{_number(radius)}" {style}/>'


def _path(points: Floats) -> str:
    return "M" + "L".join(_pair(x, -y) for x, y in points[:-1]) + "Z"


def _pairs(points: Iterable[Floats]) -> str:
    return " ".join(_pair(x, -y) for x, y in points)


def _pair(x: float, y: float) -> str:
    return f"{_number(x)},{_number(y)}"


def _number(value: float) -> str:
    """Hundredths of a mm, and never -0.00, so that the same picture is the same text."""
    return f"{round(float(value), 2) + 0.0:.2f}"
