"""What is different at every pin: one table over one crank turn, that of pin 0, and a shape at each pin.

Pin k at a crank angle a is what pin 0 was at a - 2 pi k/N, all of it turned by 2 pi k/N: the ring and
the disc look as before. So the page needs the table of one pin only.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, finite
from cyclokit.drive import Drive
from cyclokit.geometry import milled, motion, speeds, sweep
from cyclokit.signatures import read
from cyclokit.view import svg

SAMPLES = 720  # of a table over one crank turn, at least: half a degree
LEAST_GAP = 0.001  # mm: the smallest that three decimals tell from none
LOADS = {"counter-clockwise": "-", "clockwise": "+"}  # load on the disc -> which way the pins that resist it turn it


@dataclass(frozen=True)
class View:
    """How a still picture is seen."""

    angle: float = 0.0  # at which it stands [rad]
    frame: str = "ring"  # or "disc": which of them is held
    load: str = "counter-clockwise"  # or "clockwise": on the disc
    show: tuple[str, ...] = ()  # the layers that are shown


@read
def contact_facts(drive: Drive, ahead: float = 0.0) -> dict[str, Any]:
    """Tables of pin 0: its normal's direction, how far the pitch point is along it, and which way it turns the disc.

    The direction [degrees] is counted from -x, the way to the ring's centre; "+" is counter-clockwise.
    A disc that runs `ahead` [rad] of the crank touches the pins as the first one does that much later.
    """
    crank, pins = _one_pitch(drive.pins) + ahead, motion.pins(drive)
    points, centre = motion.contacts(drive, crank).points, motion.disc_pose(drive, crank).centre
    inwards = (points - pins) / drive.roller_radius
    reach = ((motion.pitch_point(drive, crank)[:, None] - pins) * inwards).sum(axis=-1)
    lever = _cross(points - centre[:, None], inwards)
    as_pin_0 = motion.turned(-inwards, -2 * np.pi * np.arange(drive.pins) / drive.pins)
    direction = np.degrees(np.arctan2(as_pin_0[..., 1], as_pin_0[..., 0]))
    near = 1e-6 * drive.eccentricity  # through the disc's centre, but for rounding
    push = np.where(lever > near, "+", np.where(lever < -near, "-", "0"))
    return {
        "normal": rounded(_of_pin_0(direction), 2),
        "reach": rounded(_of_pin_0(reach), 1 if drive.pin_circle_radius >= 10 else 4),
        "push": "".join(_of_pin_0(push)),
    }


@read
def gap_facts(drive: Drive, lobes: int, edge: Floats) -> dict[str, Any]:
    """Table of pin 0: the gap [mm] between its roller and a milled disc's edge, not above `closed` where they touch.

    Whether they touch is asked of the curve; a gap that is there, however small, is given as a micrometre at least.
    """
    crank = _one_pitch(drive.pins)
    wide = np.maximum(sweep.gaps_to_edge(drive, edge, crank, lobes), LEAST_GAP)
    return {"gap": rounded(_of_pin_0(np.where(milled.touches(drive, crank, lobes), 0.0, wide)), 3), "closed": 0}


@read
def rolling_facts(drive: Drive) -> dict[str, Any]:
    """How pin 0's free roller turns as the crank does, counter-clockwise positive, rolling on the edge without slip.

    "rolls" is how far on an average, as a share of the crank's angle; "rolled" is a table over one crank turn, how far
    it is ahead of that [degrees].
    """
    crank = _one_pitch(drive.pins)
    rate = _of_pin_0(speeds.contact_speeds(drive, crank).roller_rate)  # rad/s at 1 rad/s
    each, mean = 2 * np.pi / len(rate), float(rate.mean())
    between = (rate + np.roll(rate, -1)) / 2 - mean  # trapezoids: the rate is smooth and comes back to its start
    ahead = each * np.concatenate([[0.0], np.cumsum(between)[:-1]])
    return {"rolls": round(mean, 9), "rolled": rounded(np.degrees(ahead), 2)}


def _one_pitch(pins: int) -> Floats:
    """Even crank angles over one pin pitch [rad], so many that a whole turn has at least SAMPLES."""
    each = math.ceil(SAMPLES / pins)
    return 2 * np.pi / pins * np.arange(each) / each


def _of_pin_0(values: np.ndarray) -> np.ndarray:
    """What holds for all pins (n, N) over one pin pitch, as what holds for pin 0 over one crank turn (n N,)."""
    return np.roll(values[:, ::-1], 1, axis=1).T.ravel()


def _cross(a: Floats, b: Floats) -> Floats:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


@read
def rounded(values: ArrayLike, decimals: int) -> list[float]:
    """Numbers for the page, none of them -0."""
    return (np.round(finite("values", values), decimals) + 0.0).tolist()


@read
def at_pins(name: str, shape: str, facts: dict[str, Any], style: str, view: View) -> str:
    """One shape at every pin, as it stands in that view; -x points to the ring's centre.

    Of a layer that is not shown the page gets pin 0's shape alone: it makes the others when they are asked for.
    """
    if missing := {"pins", "circle"} - facts.keys():
        raise ValueError(f"facts must have {' and '.join(sorted(missing))}: put in those of `contact_facts` and these.")
    count, circle = facts["pins"], svg.number(facts["circle"])

    def _of_pin(k: int, table: str) -> Any:
        values = facts[table]
        return values[round((view.angle / (2 * math.pi) - k / count) * len(values)) % len(values)]

    shapes = []
    for k in range(count if name in view.show else 1):
        where, more = f"rotate({svg.number(-360 * k / count)})translate({circle})", ""
        if name == "pushing":
            more = "" if _of_pin(k, "push") == LOADS[view.load] else ' visibility="hidden"'
        elif name == "gaps":
            more = "" if _of_pin(k, "gap") > facts["closed"] else ' visibility="hidden"'
        elif name == "roller marks":
            late = math.degrees(view.angle) - 360 * k / count
            where += f"rotate({svg.number(-(facts['rolls'] * late + _of_pin(k, 'rolled')))})"
        else:
            where += f"rotate({svg.number(-_of_pin(k, 'normal'))})"
        if name == "normals":
            more = f' x2="{svg.number(-_of_pin(k, "reach"))}"'
        elif name == "forces":
            where += f"scale({svg.number(_of_pin(k, 'force'))})"
        shapes.append(f'{shape} data-pin="{k}" transform="{where}"{more}/>')
    return svg.layer(name, "".join(shapes), style)
