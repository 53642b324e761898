"""A panel of forces: sliders for torque, gap and crank angle, and what they make of the forces on a disc."""

import math
from functools import partial

import numpy as np

from cyclokit.arguments import Floats, checked_count, checked_kind, checked_number
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from cyclokit.view import forces, reducer_scene, stage
from cyclokit.view.panel import Panel, Shown, Slider, Values, to_know

GAPS = 8.0  # the gap slider's end, in what the most loaded pin gives way under the torque where nothing has a gap
VERDICT = "{count} of {pins} pins push on the {disc}, the hardest with {peak:.3g} N; its bearing takes {bearing:.3g} N."
ALONE = " No other pin is reached: this one carries the whole disc."
# What the library says to a reader of each row: name -> what it is, and its unit
ROWS = {
    "pins loaded": ("ring pins that push on the disc", ""),
    "peak": ("the hardest push of a ring pin", "N"),
    "bearing": ("force of the eccentric's bearing on the disc", "N"),
    "bearing, across": ("its share across the crank, counter-clockwise above zero", "N"),
    "moment over e lobes": ("the pins' moment over eccentricity and lobes: the same but for its sign", "N"),
    "pins' moment": ("of all ring pins' forces about the disc's centre", "N mm"),
    "rollers' moment": ("of all output rollers' forces about it: takes the pins' away", "N mm"),
    "forces' sum": ("size of the sum of all forces on the disc", "N"),
}


def under_load(reducer: Reducer, torque: float, *, pin_stiffness: float, output_stiffness: float, on: int = 0) -> Panel:
    """Sliders for torque, gap and crank angle, with the forces on one disc: pins drop out as the gap grows.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    torque : float
        At the output [N mm] to begin with, above 0, which is also where its slider ends.
    pin_stiffness, output_stiffness : float
        Stiffness of every ring pin and output roller [N/mm], above 0.
    on : int
        Number of the disc whose forces are shown, from 0.

    Returns
    -------
    Panel
        Its gap is that of every ring pin along its normal before anything turns [mm]; output rollers have none.
    """
    checked_kind("reducer", reducer, Reducer)
    torque = checked_number("torque", torque, 1e-3, 1e9)
    stiffness = [
        checked_number(name, value, 1e-3, 1e9)
        for name, value in (("pin_stiffness", pin_stiffness), ("output_stiffness", output_stiffness))
    ]
    on = checked_count("on", on, 0, reducer.discs - 1)
    gap_step = 10.0 ** math.floor(math.log10(GAPS * sharing.ideal(reducer, torque, [0.0]).peak / stiffness[0] / 20))
    torque_step = 10.0 ** (math.floor(math.log10(torque)) - 1)
    sliders = {
        "torque": Slider("torque at the output [N mm]", torque, torque_step, torque, torque_step),
        "gap": Slider("gap at every pin [mm]", 0.0, 0.0, round(100 * gap_step, 9), gap_step),
        "crank": Slider("crank angle [°]", 0.0, 0.0, 360.0, 1.0),
    }
    greatest = forces.longest(reducer, torque)
    show = ("rollers", forces.DISCS[on], "output", "crank", forces.NAMES[on])
    draw = partial(_shown, reducer=reducer, stiffness=stiffness, on=on, greatest=greatest, show=show)
    return Panel(sliders, draw, show, moves=False)


def _shown(
    values: Values, reducer: Reducer, stiffness: list[float], on: int, greatest: float, show: tuple[str, ...]
) -> Shown:
    crank = math.radians(values["crank"])
    pins, rollers = stiffness
    shared = sharing.as_made(
        reducer, values["torque"], [crank], values["gap"], pin_stiffness=pins, output_stiffness=rollers
    )
    drawn = forces.standing(shared, greatest, on)
    picture = reducer_scene.turning(reducer, stage.seen(crank, show), loads=drawn)
    rows = _rows(shared, on)
    verdict = VERDICT.format(
        count=rows["pins loaded"],
        pins=reducer.drive.pins,
        disc=forces.DISCS[on],
        peak=rows["peak"],
        bearing=rows["bearing"],
    )
    verdict += ALONE if rows["pins loaded"] == 1 else ""
    return Shown(picture, [to_know(name, value, *ROWS[name]) for name, value in rows.items()], True, verdict)


def _rows(shared: sharing.Sharing, on: int) -> dict[str, float]:
    """Figures of one disc at one crank angle, the sums from every force at its point."""
    drive = shared.reducer.drive
    centre = motion.disc_poses(drive, shared.crank, shared.reducer.discs).centre[0, on]
    pins = shared.pin_force[0, on, :, None] * shared.pin_direction[0, on]
    rollers = shared.output_force[0, on, :, None] * shared.output_direction[0, on]
    bearing = shared.bearing_force[0, on]
    moments = [
        _moment(points[0, on] - centre, pushes)
        for points, pushes in ((shared.pin_point, pins), (shared.output_point, rollers))
    ]
    return {
        "pins loaded": int(shared.loaded_pins[0, on]),
        "peak": float(shared.pin_force[0, on].max()),
        "bearing": float(np.hypot(*bearing)),
        "bearing, across": _moment(centre, bearing) / drive.eccentricity,
        "moment over e lobes": moments[0] / (drive.eccentricity * drive.lobes),
        "pins' moment": moments[0],
        "rollers' moment": moments[1],
        "forces' sum": float(np.hypot(*(pins.sum(axis=0) + rollers.sum(axis=0) + bearing))),
    }


def _moment(points: Floats, pushes: Floats) -> float:
    return float((points[..., 0] * pushes[..., 1] - points[..., 1] * pushes[..., 0]).sum())
