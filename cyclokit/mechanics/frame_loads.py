"""What the frame and the output of a bench machine carry: its feet, the screws of its cover, its bearings, its lever.

Statics of a stiff machine on a stiff bench, at rest; friction, which would carry a part of it, is left out.
"""

import math

import numpy as np

from cyclokit.arguments import checked_kind, checked_length, checked_number
from cyclokit.machine import bench
from cyclokit.machine.hardware import Screw, thread
from cyclokit.machine.layout import LEVER, Layout, layout, lever_radii
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics.output_shaft import MOST, flat_pressure, reactions, tilt
from cyclokit.report import Limit, Report

LOAD, OVERHANG = 40.0, 20.0  # N, mm beyond the output's upper bearing: what a lever with a weight may come to; stated
FIGURE = math.inf
ALONG = 200  # places along the lever at which its stress is looked at
# name -> (unit, what is compared, what goes wrong, what to change); figures have no trouble
SENTENCES = {
    "torque on the ring": (
        "N mm",
        "what the discs turn the ring pins with: pins / lobes of the output's torque",
        "",
        "",
    ),
    "torque of the motor on the frame": (
        "N mm",
        "the other way: the output's torque / lobes, friction left out",
        "",
        "",
    ),
    "torque on the bench": (
        "N mm",
        "both together: the output's torque, for the motor stands on the same frame",
        "",
        "",
    ),
    "shear of a foot's screw": ("N", "each foot's share of the torque on the bench and of the overhung load", "", ""),
    "pressure in a foot's hole": (
        "MPa",
        "that shear over the screw's diameter and the plate's thickness, up to the frame's strength",
        "The holes of the feet give way.",
        "Choose more or thicker screws, or a thicker motor plate.",
    ),
    "pull on a foot's screw": (
        "N",
        "what the overhung load, which tips the machine, pulls the most loaded foot with",
        "",
        "",
    ),
    "pressure under a foot's screw": (
        "MPa",
        "that pull over the face under the screw's head, up to the frame's strength",
        "The heads of the feet's screws sink in.",
        "Choose more or thicker screws, or put washers under their heads.",
    ),
    "bending of a foot": (
        "MPa",
        "stress of that pull at the root of the lug, up to the frame's strength",
        "A foot breaks off.",
        "Choose more screws, or a thicker motor plate.",
    ),
    "pressure in the cover's holes": (
        "MPa",
        "half of the torque on the ring, which the pins' upper ends bring into the cover, on its screws' holes, up to "
        "the frame's strength",
        "The holes of the cover's screws give way.",
        "Choose more or thicker screws.",
    ),
    "lower output bearing": ("N", "the radial force on it of the overhung load", "", ""),
    "upper output bearing": ("N", "the radial force on it of the overhung load", "", ""),
    "tilt of the flange": (
        "mm",
        "what the flange's edge moves as the output tilts in its bearings' play, up to its gap to the cover",
        "The flange rubs on the cover.",
        "Choose a larger output_bearing_span.",
    ),
    "pressure on the shaft's flat": (
        "MPa",
        "of the motor's torque, friction left out, on the crank's bore, up to the crank's strength",
        "The motor's shaft turns in the crank.",
        "Choose a motor with a longer shaft or a deeper flat.",
    ),
    "stress in the lever": (
        "MPa",
        "where the output's torque bends it most, up to its strength",
        "The lever breaks.",
        "Choose a smaller torque, or make the lever of metal.",
    ),
}
WORDS = ("the frame carries this", "the frame doesn't carry this")
CAPTIONS = ("The frame carries this, at rest", "The frame doesn't carry this, at rest")


def check(reducer: Reducer, torque: float, load: float = LOAD, overhang: float = OVERHANG) -> Report:
    """What a torque at the output and an overhung load do to the frame of a bench machine, and what it bears.

    Parameters
    ----------
    reducer : Reducer
        A reducer that can be built as a bench machine.
    torque : float
        At the output, from 0 [N mm].
    load, overhang : float
        Radial load on the output, from 0 [N], and how far it acts beyond the middle of the upper output bearing [mm].

    Returns
    -------
    Report
        Values, bounds and margins; what has no bound is a figure. A bound is the lower end of the frame's strength,
        along its layers: once, at rest; no safety is in it.

    Raises
    ------
    ValueError
        If it can't be built so, or a number is out of its range.

    Notes
    -----
    The motor is screwed to the frame that holds the ring. So ring and motor turn the frame with T N/(N - 1) and, the
    other way, T/(N - 1), and the bench holds T: not 20/19 of it, as it would if the motor stood by itself. n feet on a
    circle of radius r share a torque as T/(n r) and a tipping moment M as 2 M/(n r) at most, as bolts on a circle do
    (any handbook); the lug is a beam from its screw to the plate's edge (cautious: it lies on the bench).

    Examples
    --------
    >>> from cyclokit import Drive
    >>> rows = check(Reducer(Drive(20, 42.0, 5.0, 1.4)), 1900.0)
    >>> [round(rows[name].value, 3) for name in ("torque on the ring", "torque on the bench")]  # N mm
    [2000.0, 1900.0]
    >>> rows["upper output bearing"].value, rows.sound  # N
    (120.0, True)
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    if why := bench.refused(reducer):
        raise ValueError(f"reducer can't be built as a bench machine: {why}")
    turns, force = checked_number("torque", torque, 0.0, MOST), checked_number("load", load, 0.0, MOST)
    beyond, plan = checked_length("overhang", overhang), layout(reducer)
    far, near = reactions(force, beyond, reducer.output_bearing_span)
    tilted, motors = tilt(reducer), turns / reducer.drive.lobes
    flat = flat_pressure(reducer.shaft_radius, reducer.motor_shaft_flat, bench.engaged(reducer), motors)
    strength = MATERIALS[reducer.housing_material].strength[0]
    values = {
        "torque on the ring": (turns + motors, FIGURE),
        "torque of the motor on the frame": (motors, FIGURE),
        "torque on the bench": (turns, FIGURE),
        **_feet(reducer, plan, turns, (force, beyond), strength),
        "pressure in the cover's holes": (
            (turns + motors) / 2 / _bearing(reducer, plan.screw_circle, plan.cover_top - plan.cover_bottom),
            strength,
        ),
        "lower output bearing": (far, FIGURE),
        "upper output bearing": (near, FIGURE),
        "tilt of the flange": (tilted.at_edge, tilted.gap),
        "pressure on the shaft's flat": (flat, strength),
        "stress in the lever": (_in_lever(reducer, turns), strength),
    }
    return Report(reducer.drive, tuple(_limit(name, *pair) for name, pair in values.items()), WORDS, CAPTIONS)


def _limit(name: str, value: float, bound: float) -> Limit:
    unit, meaning, trouble, remedy = SENTENCES[name]
    return Limit(name, value, bound, unit, bound != FIGURE, False, meaning, trouble, remedy)


def _feet(
    reducer: Reducer, plan: Layout, torque: float, hangs: tuple[float, float], strength: float
) -> dict[str, tuple[float, float]]:
    """Rows of the feet, which stand on the bench at the height of the motor's face."""
    load, overhang = hangs
    screw, circle, number = thread(reducer.screw), plan.foot_circle, reducer.screws
    shear = torque / (number * circle) + load / number
    height = sum(plan.output_bearings[1]) / 2 + overhang
    pull = 2 * load * height / (number * circle)
    root = max(0.0, circle - plan.outside)
    return {
        "shear of a foot's screw": (shear, FIGURE),
        "pressure in a foot's hole": (shear / (screw.diameter * plan.plate_top), strength),
        "pull on a foot's screw": (pull, FIGURE),
        "pressure under a foot's screw": (pull / _under_head(screw), strength),
        "bending of a foot": (6 * pull * root / (2 * plan.foot_lug * plan.plate_top**2), strength),
    }


def _bearing(reducer: Reducer, circle: float, thick: float) -> float:
    """What divides a torque into the pressure in the holes of screws on a circle [mm^3]."""
    return reducer.screws * circle * thread(reducer.screw).diameter * thick


def _under_head(screw: Screw) -> float:
    """The face under a screw's head [mm^2]."""
    return math.pi / 4 * (screw.head_diameter**2 - screw.hole_diameter**2)


def _in_lever(reducer: Reducer, torque: float) -> float:
    """Greatest stress in the lever, a flat bar that gets narrower from its seat to its hole [MPa]."""
    near, far = lever_radii(reducer)
    place = np.linspace(near, reducer.lever_arm - far, ALONG)
    width = 2 * (near + (far - near) * place / reducer.lever_arm)
    moment = torque * (1 - place / reducer.lever_arm)
    return float((6 * moment / (LEVER * width**2)).max())
