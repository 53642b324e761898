"""Still pictures of loads: the triangle of forces to scale, shares of pins, pressure along a flank, pins compared."""

import math
from collections.abc import Mapping

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_count, checked_kind, finite, from_zero
from cyclokit.geometry import motion
from cyclokit.mechanics import sharing
from cyclokit.signatures import Place, read
from cyclokit.texts import in_figure, shown
from cyclokit.view import figures, palette

MARKERS = "os^Dv"  # one each, so that curves differ without colour
# What pushes on a disc, in the order in which the triangle is walked: its words, and its dashes
SIDES = {"pins": ("ring pins", "-"), "output": ("output rollers", "--"), "bearing": ("bearing", ":")}
FORCE = palette.FORCE.light
HEAD = 0.02  # of a side: how far before its end its arrow head begins
BAND = 0.35  # how much of its colour the doubtful part of a bar has


def _forces_of(shared: sharing.Sharing, on: int) -> dict[str, Floats]:
    """The three forces on a disc [N], (2,) each: of all ring pins, of all output rollers, of its bearing."""
    on = checked_count("on", on, 0, shared.reducer.discs - 1)
    pins = (shared.pin_force[0, on, :, None] * shared.pin_direction[0, on]).sum(axis=0)
    output = (shared.output_force[0, on, :, None] * shared.output_direction[0, on]).sum(axis=0)
    return {"pins": pins, "output": output, "bearing": shared.bearing_force[0, on]}


def _meeting_point(shared: sharing.Sharing, on: int) -> Floats:
    """Where the three forces' lines of action meet.

    Three forces that balance meet in a point, or are parallel (any textbook of statics). All pins' normals pass through
    the pitch point, so their sum does; the bearing's force passes through the disc's centre.
    """
    sides = _forces_of(shared, on)
    if not np.hypot(*sides["pins"]):
        raise ValueError("shared has no forces: share a torque that is not 0.")
    drive = shared.reducer.drive
    centre = motion.disc_poses(drive, shared.crank, shared.reducer.discs).centre[0, on]
    pitch_point = _pitch_point(shared, on)
    pins, bearing = sides["pins"], sides["bearing"]
    along = _cross(pitch_point - centre, pins) / _cross(bearing, pins)
    return centre + along * bearing


def _pitch_point(shared: sharing.Sharing, on: int) -> Floats:
    reducer = shared.reducer
    return motion.pitch_point(reducer.drive, shared.crank + motion.phases(reducer.discs)[on])[0]


@read
def lines_of_action(shared: sharing.Sharing, on: Place = 0) -> Axes:
    """A disc with the lines along which the three forces on it act; they meet in a point.

    Of the forces, which must not be of no torque, the first crank angle counts, on the disc number `on`, from 0. The
    forces' own lengths are in `triangle`, not here.
    """
    sides, meet = _forces_of(shared, on), _meeting_point(shared, on)
    drive = shared.reducer.drive
    ahead = float(motion.phases(shared.reducer.discs)[on])
    ax = figures.drive_picture(drive, float(shared.crank[0]) + ahead)
    ways = {name: side / np.hypot(*side) for name, side in sides.items()}
    reach = 1.1 * (drive.pin_circle_radius + drive.roller_radius)
    for name, (words, dashes) in SIDES.items():
        ends = meet + np.outer([-reach, reach], ways[name])
        ax.plot(*ends.T, linestyle=dashes, color=FORCE, linewidth=2, label=words, zorder=3)
    point = _pitch_point(shared, on)
    ax.plot(*point, "o", color=figures.WORDS, markersize=6, linestyle="none", label="pitch point", zorder=4)
    ax.plot(*meet, "s", color=FORCE, markersize=7, linestyle="none", label="they meet", zorder=4)
    figures.name_curves(ax)
    return ax


@read
def triangle(shared: sharing.Sharing, on: Place = 0) -> Axes:
    """The three forces on a disc head to tail, to scale, with a length to measure by.

    As for `lines_of_action`. Both axes have one scale, in N, so that a ruler on the page measures forces; no number
    tells them.
    """
    sides = _forces_of(shared, on)
    _meeting_point(shared, on)  # refuses what has no forces
    ax = figures.plane("force along x [N]", "force along y [N]")
    corners = np.cumsum([np.zeros(2), *(sides[name] for name in SIDES)], axis=0)
    for name, start, end in zip(SIDES, corners, corners[1:], strict=False):
        words, dashes = SIDES[name]
        ax.plot(*np.array([start, end]).T, linestyle=dashes, color=FORCE, linewidth=2, label=words)
        head = figures.ARROW | {"mutation_scale": 22, "color": FORCE, "linewidth": None}
        ax.annotate("", tuple(end), tuple(end + HEAD * (start - end)), arrowprops=head)
    size = np.ptp(corners, axis=0).max()
    scale = _round_below(size / 2)
    ruler = corners.min(axis=0) - [0, 0.25 * size] + np.array([[0, 0], [scale, 0]])
    ax.plot(*ruler.T, "|-", color=figures.WORDS, linewidth=2, markersize=12)
    ax.annotate(f"{scale:g} N", (ruler[0, 0] + scale / 2, ruler[0, 1]), (0, 6), ha="center", **figures.BESIDE)
    ax.margins(0.1)
    figures.name_curves(ax)
    return ax


@read
def pins_by_angle(curves: Mapping[str, sharing.Sharing], on: Place = 0) -> Axes:
    """Force on each ring pin over its angle from the pitch point, for several sharings.

    `curves` are forces by what is said of them, such as "ideal" or "gap 0.02 mm"; the first of their crank angles
    counts, on the disc number `on`, from 0. The pitch point lies along the crank of that disc, so the angle is counted
    from there.
    """
    _some(curves)
    on = checked_count("on", on, 0, min(each.reducer.discs for each in curves.values()) - 1)
    ax = figures.plane("pin's angle from the pitch point [°]", "force of the pin [N]", equal=False)
    for number, (name, shared) in enumerate(curves.items()):
        drive = shared.reducer.drive
        ahead = float(shared.crank[0]) + motion.phases(shared.reducer.discs)[on]
        angles = np.degrees((2 * np.pi * np.arange(drive.pins) / drive.pins - ahead + 1e-9) % (2 * np.pi))
        order = np.argsort(angles)
        figures.curve(np.column_stack([angles, shared.pin_force[0, on]])[order], name, ax)
        ax.get_lines()[-1].set_marker(MARKERS[number % len(MARKERS)])
    ax.set_xlim(0, 360)
    ax.set_xticks(range(0, 361, 60))
    ax.set_ylim(bottom=0)
    return ax


@read
def peak_over_a_turn(curves: Mapping[str, sharing.Sharing]) -> Axes:
    """The hardest push of a ring pin as the crank turns.

    `curves` are forces by what is said of them, each at several crank angles in order.
    """
    _some(curves)
    ax = figures.plane("crank angle [°]", "force of the most loaded pin [N]", equal=False)
    for name, shared in curves.items():
        largest = shared.pin_force.max(axis=(1, 2))
        figures.curve(np.column_stack([np.degrees(shared.crank), largest]), name, ax)
    ax.set_ylim(0, 1.1 * max(shared.peak for shared in curves.values()) or 1.0)
    return ax


@read
def pressure_along(angle: ArrayLike, force: ArrayLike, pressure: ArrayLike) -> Axes:
    """Force and contact pressure along a flank, the most loaded and the most stressed place marked: they are not one.

    Parameters
    ----------
    angle : array_like
        The pin's angle from the pitch point [rad], shape (n,), in order.
    force, pressure : array_like
        Force [N] and peak pressure [MPa] there, as from `contact.line`, from 0, shape (n,).

    Returns
    -------
    Axes
        Each curve is in shares of its own greatest value, which its mark tells.
    """
    degrees = np.degrees(_row("angle", finite("angle", angle)))
    forces = _row("force", from_zero("force", force), len(degrees))
    pressures = _row("pressure", from_zero("pressure", pressure), len(degrees))
    ax = figures.plane("pin's angle from the pitch point [°]", "share of its greatest value [%]", equal=False)
    for values, name, words, unit, thing, marker in (
        (forces, "force", "most loaded", "N", "centre path", MARKERS[1]),
        (pressures, "pressure", "most stressed", "MPa", "disc", MARKERS[2]),
    ):
        greatest, at = values.max() or 1.0, int(np.argmax(values))
        figures.curve(np.column_stack([degrees, 100 * values / greatest]), name, ax, thing=thing)
        ax.plot(
            degrees[at], 100 * values[at] / greatest, marker, color=figures.WORDS, markersize=9, linestyle="none",
            label=f"{words}: {values[at]:.3g} {unit} at {degrees[at]:.0f}°",
        )  # fmt: skip
    ax.set_ylim(bottom=0)
    figures.name_curves(ax)
    return ax


@read
def compared(bands: Mapping[str, tuple[float, float]], label: str) -> Axes:
    """Bars side by side, each drawn through to its least value and pale from there to its greatest.

    Parameters
    ----------
    bands : mapping of str to tuple of float
        Least and greatest value by name, such as of a printed, a cored, a steel pin and a screw; from 0.
    label : str
        What the bars are long of, with its unit.

    Returns
    -------
    Axes
        The first bar is at the top.
    """
    values = _bands(bands)
    ax = figures.plane(in_figure(label), "", equal=False)
    colour, room = palette.DISC.light, 1.6 * values.max() or 1.0
    for place, (least, most) in enumerate(values.tolist()):
        ax.barh(place, least, color=colour, height=0.5)
        pale = (colour, BAND)
        ax.barh(place, most - least, left=least, facecolor=pale, edgecolor=colour, height=0.5, linewidth=1.5)
        told = f"{least:.3g}" if least == most else f"{least:.3g} to {most:.3g}"
        ax.annotate(told, (most, place), (6, 0), va="center", **figures.BESIDE)
    with rc_context(figures.STYLE):
        ax.set_yticks(range(len(values)), [in_figure(name) for name in bands])
    ax.invert_yaxis()
    ax.set_xlim(0, room)
    ax.grid(False, axis="y")
    return ax


def _some(curves: Mapping[str, sharing.Sharing]) -> None:
    if not curves:
        raise ValueError("curves is empty, but must hold a sharing: give one by its name.")


def _bands(bands: Mapping[str, tuple[float, float]]) -> Floats:
    checked_kind("bands", bands, Mapping)
    values = from_zero("bands", list(bands.values()))
    if values.ndim != 2 or values.shape[1] != 2 or not len(values) or (values[:, 0] > values[:, 1]).any():
        raise ValueError(f"bands is {shown(bands)}, but must be a least and a greatest value each: give them in order.")
    return values


def _row(name: str, values: Floats, count: int | None = None) -> Floats:
    if values.ndim != 1 or not len(values) or (count is not None and len(values) != count):
        raise ValueError(f"{name} has the shape {values.shape}, but must be a row, as long as angle: give that.")
    return values


def _round_below(value: float) -> float:
    power = 10.0 ** math.floor(math.log10(value))
    return next(each * power for each in (5, 2, 1) if each * power <= value * (1 + 1e-9))


def _cross(one: Floats, other: Floats) -> float:
    return float(one[0] * other[1] - one[1] * other[0])
