"""What an overhung load does to the output: its bearings' reactions and the flange's tilt; pressure on the D-flat."""

import math
from dataclasses import dataclass

from cyclokit.arguments import checked_kind, checked_length, checked_number
from cyclokit.machine.layout import AXIAL_GAP, layout
from cyclokit.machine.reducer import Reducer

MOST = 1e6  # N, or N mm
INNER_PLAY = 0.02  # mm, radial play inside a bearing of 20 mm bore, normal class at most: ISO 5753-1, from memory


@dataclass(frozen=True)
class Tilt:
    """How far the output tilts in the play of its bearings.

    Attributes
    ----------
    angle : float
        Angle [rad].
    at_edge : float
        What the flange's edge moves along the axis [mm].
    gap : float
        The gap that it has there to the cover [mm].
    """

    angle: float
    at_edge: float
    gap: float


def reactions(load: float, overhang: float, span: float) -> tuple[float, float]:
    """Forces on two bearings a span apart under a radial load, from 0, that acts beyond the nearer one [N, mm].

    On the farther bearing, opposite to the load's own direction, and on the nearer one: P a / s and P (a + s) / s, from
    moments about either (statics of a beam on two supports).

    Examples
    --------
    >>> reactions(40.0, 20.0, 10.0)
    (80.0, 120.0)
    """
    force = checked_number("load", load, 0.0, MOST)
    away, apart = checked_length("overhang", overhang), checked_length("span", span)
    return force * away / apart, force * (away + apart) / apart


def tilt(reducer: Reducer, inner_play: float = INNER_PLAY) -> Tilt:
    """How far the flange tilts as the radial play [mm] inside its two bearings lets it, against its gap to the cover.

    One bearing at one side of its play, the other at the other: play on the diameter over span (derived).

    Examples
    --------
    >>> from cyclokit import Drive
    >>> found = tilt(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> round(found.angle, 5), round(found.at_edge, 4), found.gap  # rad, mm, mm
    (0.002, 0.0598, 0.6)
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    angle = math.atan(checked_length("inner_play", inner_play) / reducer.output_bearing_span)
    return Tilt(angle, math.tan(angle) * layout(reducer).carrier, AXIAL_GAP)


def flat_pressure(radius: float, flat: float, length: float, torque: float) -> float:
    """Greatest pressure [MPa] on the flat of a shaft that turns a bore with the same flat, by a torque from 0 [N mm].

    Radius, depth of the flat, and the length over which it is in the bore are in mm.

    Notes
    -----
    One half of the flat bears, its pressure growing from nothing at the middle to p at the edge, w away: T = p L w^2/3,
    w^2 = r^2 - (r - f)^2 (derived). With play the edge alone bears at first, and the print gives way until it is so.

    Examples
    --------
    >>> round(flat_pressure(2.5, 0.5, 20.5, 100.0), 3)
    6.504
    """
    outside, deep = checked_length("radius", radius), checked_length("flat", flat)
    if deep > outside:
        raise ValueError(f"flat is {deep:g} mm deep, but must be no deeper than the radius, {outside:g}: lower it.")
    half_squared = outside**2 - (outside - deep) ** 2
    return 3 * checked_number("torque", torque, 0.0, MOST) / (checked_length("length", length) * half_squared)
