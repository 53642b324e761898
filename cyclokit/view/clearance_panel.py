"""A panel of the holes' clearance: how far the output plate can run ahead of a disc, and which roller stops it."""

import math
from dataclasses import replace
from functools import partial

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.geometry import motion
from cyclokit.machine import plate
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import read
from cyclokit.view import drive_parts, scene, stage, svg
from cyclokit.view.panel import Panel, Shown, Slider, Values, to_know
from cyclokit.view.svg import BLUE, GREEN, GREY, PURPLE, stroke

MOST = 1.0  # mm: the clearance slider's end
# What the library says to a reader.
PICTURE = (
    "Left, a disc (blue) with its output holes, seen by somebody who sits on it, and in them the output rollers "
    "(orange) of a plate that was turned forwards as far as it goes; the crank (green) points where the disc's centre "
    "is carried. The roller that stops the plate has a thick rim (purple). Right, that roller in its hole, enlarged; "
    "where it would be without clearance is dashed."
)
STOPPED = "The plate can run ahead of the disc by {degrees:.3f}\N{DEGREE SIGN}; then roller {roller} meets its hole."
HELD = "Without clearance the plate can't run ahead at all: roller {roller} touches its hole already."
# of each row: name -> what it is, and its unit
ROWS = {
    "hole across": ("roller, twice the eccentricity and twice the clearance", "mm"),
    "plate ahead": ("at most, at this crank angle", "\N{DEGREE SIGN}"),
    "least ahead": ("the least over a crank turn", "\N{DEGREE SIGN}"),
    "most ahead": ("the most over a crank turn", "\N{DEGREE SIGN}"),
    "at the output circle": ("so far a roller goes meanwhile", "mm"),
}


@read
def ahead(reducer: Reducer) -> Panel:
    """Sliders for the holes' clearance and the crank angle, and how far the plate can run ahead.

    The reducer must have one disc; its clearance, 0 to 1 mm, is where the panel begins.
    """
    if reducer.discs != 1:
        raise ValueError(f"reducer has {reducer.discs} discs, but must have one: give Reducer(drive, discs=1).")
    sliders = {
        "clearance": Slider("clearance of the holes, on the radius [mm]", reducer.hole_clearance, 0.0, MOST, 0.05),
        "crank": Slider("crank angle [°]", 0.0, 0.0, 360.0, 1.0),
    }
    return Panel(sliders, partial(_shown, reducer=reducer), (), moves=False)


def _shown(values: Values, reducer: Reducer) -> Shown:
    made, crank = replace(reducer, hole_clearance=values["clearance"]), math.radians(values["crank"])
    here = plate.ahead(made, [crank])[0, 0]
    turn = np.degrees(plate.ahead(made, np.linspace(0, 2 * np.pi, 721)).min(axis=(1, 2)))
    stops = int(np.argmin(here))
    degrees = math.degrees(here[stops])
    figures = {
        "hole across": 2 * made.hole_radius,
        "plate ahead": degrees,
        "least ahead": float(turn.min()),
        "most ahead": float(turn.max()),
        "at the output circle": made.output_circle_radius * here[stops],
    }
    said = (HELD if values["clearance"] == 0 else STOPPED).format(degrees=degrees, roller=stops)
    rows = [to_know(name, value, *ROWS[name]) for name, value in figures.items()]
    return Shown(_picture(made, crank, here[stops], stops), rows, True, said)


def _picture(reducer: Reducer, crank: float, ahead: float, stops: int) -> scene.Scene:
    """The disc held, the plate turned ahead [rad] about the axis, and the roller that stops it enlarged."""
    drive = reducer.drive
    unit, half = drive_parts.unit_of(drive), -drive_parts.box(drive)[0]
    turned = float(motion.disc_pose(drive, crank).angle)
    way = 2 * np.pi * (reducer.hole_phase / drive.lobes + np.arange(reducer.output_rollers) / reducer.output_rollers)
    holes = reducer.output_circle_radius * np.column_stack([np.cos(way), np.sin(way)])
    axis = -drive.eccentricity * np.array([math.cos(crank - turned), math.sin(crank - turned)])  # seen from the disc
    rollers = axis + motion.turned(holes, ahead)
    edge = svg.line(drive_parts.edge_within(reducer.disc_drive, unit / scene.ROUGH), svg.disc(unit), closed=True)
    rim = f'fill="none" {stroke(BLUE, 0.5 * unit)}'
    body = edge + "".join(_circle(hole, reducer.hole_radius, rim) for hole in holes)
    body += "".join(_circle(roller, reducer.output_roller_radius, svg.output_roller(unit)) for roller in rollers)
    thick = f'fill="none" {stroke(PURPLE, 1.2 * unit)}'
    body += _circle(rollers[stops], reducer.output_roller_radius, thick)
    body += svg.line([axis, axis * (1 - 0.45 * half / drive.eccentricity)], stroke(GREEN, unit))
    body += _circle(axis, 0.9 * unit, f'fill="{GREEN}"') + svg.circle(0, 0, 0.9 * unit, f'fill="{BLUE}"')
    body += _enlarged(reducer, half, unit, rollers[stops] - holes[stops], axis)
    box = (-half, -half, 4 * half, 2 * half)
    return scene.whole(box, body, PICTURE, {}, stage.seen(0.0, ()), sentences={})


def _enlarged(reducer: Reducer, half: float, unit: float, off: Floats, axis: Floats) -> str:
    """A hole in the middle of the right half, its roller off its middle, and off it without clearance (dashed)."""
    times = 0.85 * half / reducer.hole_radius
    middle = np.array([2 * half, 0.0])
    before, now = middle + times * axis, middle + times * off
    radius = times * reducer.output_roller_radius
    touches = middle + times * reducer.hole_radius * off / np.hypot(*off)
    return (
        _circle(middle, times * reducer.hole_radius, f'fill="none" {stroke(BLUE, unit)}')
        + _circle(now, radius, svg.output_roller(unit))
        + _circle(before, radius, f'fill="none" {stroke(GREY, 0.8 * unit, (2 * unit, unit))}')
        + _circle(touches, 1.6 * unit, f'fill="{PURPLE}"')
    )


def _circle(middle: Floats, radius: float, style: str) -> str:
    return svg.circle(float(middle[0]), float(middle[1]), radius, style)
