"""The map of sound shapes: eccentricity against roller radius, for given pins and pin circle.

`of_ring` gives the map as plain data, for any way of drawing it; `picture` draws it with Matplotlib.
"""

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np
from matplotlib.axes import Axes

from cyclokit.arguments import Floats, checked_length
from cyclokit.drive import Drive, checked_pins
from cyclokit.geometry import limits
from cyclokit.signatures import read
from cyclokit.texts import in_figure
from cyclokit.view import figures

AXES = {"roller_radius": "roller radius [mm]", "eccentricity": "eccentricity [mm]"}
CORNERS = 200  # of a curved line: at the pictures' size no chord is told from the curve
DIAGONAL = np.array([[0.0, 0.0], [1.0, 1.0]])
FOOT = 0.16  # of the map's height: where upright words begin, above those of low lobes
SOUND = "sound"
LETTER = 0.018  # of the map's width: about what one takes
SOUND_COLOUR = figures.COLOURS[2]
SHADED = 0.18  # how much of its colour the sound region has
SIDEWAYS, UPWARDS = {"left": 5, "right": -5, "center": 0}, {"top": -3, "bottom": 3}  # from a place to its words
MARKERS = "oD^sv"  # one each, so that points differ without colour


class Look(NamedTuple):
    """How a line is drawn, and how its words stand at their place."""

    colour: str
    width: float  # points
    dashes: tuple[float, ...]  # in widths; none for a line drawn through
    across: str  # the words' "left", "center" or "right" is at the place
    upwards: str  # their "top" or "bottom" is
    upright: bool = False


# name of a line -> its look: physical limits thick, advice thin; each with its own dashes
LOOKS = {
    "loop": Look(figures.COLOURS[0], 2.5, (6.4, 1.6, 1.0, 1.6), "center", "bottom"),
    "undercut": Look(figures.COLOURS[1], 2.5, (), "right", "bottom"),
    "rollers apart": Look(figures.COLOURS[2], 3.0, (1.0, 1.65), "left", "bottom", upright=True),
    "rule of thumb": Look(figures.INK, 1.5, (3.7, 1.6), "left", "top"),
    "wall": Look(figures.INK, 1.5, (1.0, 2.0), "right", "bottom", upright=True),
    "lobe height": Look(figures.INK, 1.5, (5.0, 1.0, 1.0, 1.0, 1.0, 1.0), "right", "bottom"),
}


class Line(NamedTuple):
    """One limit on the map."""

    name: str  # in `limits.check`
    label: str  # what to write beside it
    label_at: tuple[float, float]  # where [mm]: roller radius and eccentricity
    points: Floats  # along the line [mm], (m, 2)
    physical: bool  # whether what lies beyond it is unsound in shape; otherwise it is advised against


class LimitsMap(NamedTuple):
    """The map for one ring: roller radius and eccentricity [mm]."""

    lines: tuple[Line, ...]  # physical limits first
    sound: Floats  # corners of the region in which drives are sound, closed, (m, 2)
    sound_at: tuple[float, float]  # where to write that it is so
    reach: tuple[float, float]  # the greatest that the map shows


@read
def of_ring(
    pins: int,
    pin_circle_radius: float,
    *,
    least_wall: float | None = None,
    resolution: float | None = None,
    reaching: tuple[float, float] = (0.0, 0.0),
) -> LimitsMap:
    """The map's lines and its sound region, as plain data, for 3 to 10 000 pins on a circle of some radius [mm].

    What the workshop can make, `least_wall` and `resolution` [mm] as for `limits.check`, has a line where it is given.
    Every line ends where the map does: not before the roller radius and eccentricity [mm] of `reaching`.
    """
    if len(reaching) != 2:
        raise ValueError(f"reaching has {len(reaching)} numbers, but must be roller radius and eccentricity: give two.")
    pins, radius = checked_pins(pins), checked_length("pin_circle_radius", pin_circle_radius)
    apart, loop = float(limits.half_pin_distance(pins, radius)), radius / pins
    reach = (max(1.45 * apart, reaching[0]), max(1.15 * loop, reaching[1]))
    lines = _lines_of_the_ring(pins, radius, reach)
    if least_wall is not None:
        lines.append(_wall(checked_length("least_wall", least_wall), apart, reach))
    if resolution is not None:
        lines.append(_lobe_height(checked_length("resolution", resolution), loop, reach))
    rollers = apart * np.linspace(0.0, 1.0, CORNERS + 1)[1:]
    rollers[-1] *= 1 - 1e-12  # where the rollers touch nothing is sound
    top = np.column_stack([rollers, limits.greatest_eccentricity(pins, radius, rollers)])
    sound = np.vstack([np.zeros((1, 2)), [[0.0, loop]], top, [[apart, 0.0], [0.0, 0.0]]])
    return LimitsMap(tuple(lines), sound, (0.63 * apart, 0.15 * loop), reach)


@read
def way_out(drive: Drive) -> tuple[str, Floats]:
    """The limit that lies nearest to a sound drive on its map, and the nearest place on it.

    Parameters
    ----------
    drive : Drive
        A sound drive; its pins and pin circle stay.

    Returns
    -------
    tuple
        The limit's name in `limits.check`, and roller radius and eccentricity at the nearest place [mm], shape (2,).

    Examples
    --------
    >>> name, place = way_out(Drive(20, 42.0, 5.0, 1.4))
    >>> name, place.round(2).tolist()
    ('undercut', [5.05, 1.81])
    """
    if not limits.check(drive).sound:
        raise ValueError(f"drive is {drive!r}, but must be sound, on the inner side of all limits: choose another.")
    here = np.array([drive.roller_radius, drive.eccentricity])
    shown = of_ring(drive.pins, drive.pin_circle_radius)
    nearest = {line.name: _nearest(line.points, here) for line in shown.lines if line.physical}
    name = min(nearest, key=lambda name: float(np.hypot(*(nearest[name] - here))))
    return name, nearest[name]


def _nearest(points: Floats, here: Floats) -> Floats:
    """The place on a line through points that lies nearest, all (., 2)."""
    steps = np.diff(points, axis=0)
    along = np.clip(((here - points[:-1]) * steps).sum(axis=1) / (steps**2).sum(axis=1), 0.0, 1.0)
    places = points[:-1] + along[:, None] * steps
    return np.asarray(places[np.argmin(((places - here) ** 2).sum(axis=1))])


@read
def picture(drives: Mapping[str, Drive], *, least_wall: float | None = None, resolution: float | None = None) -> Axes:
    """Draw the map with some drives of one ring on it as points.

    One to five drives by the words to write beside them, all with the same pins and pin circle, whose map it is;
    `least_wall` and `resolution` [mm] as for `of_ring`.
    """
    rings = {(drive.pins, drive.pin_circle_radius) for drive in drives.values()}
    if len(rings) != 1 or len(drives) > len(MARKERS):
        raise ValueError(
            f"drives has {len(drives)} drives with {len(rings)} different rings, but must have 1 to {len(MARKERS)} "
            "that share pins and pin circle: draw one map for each ring."
        )
    farthest = [1.1 * max(getattr(drive, name) for drive in drives.values()) for name in AXES]
    shown = of_ring(*rings.pop(), least_wall=least_wall, resolution=resolution, reaching=(farthest[0], farthest[1]))
    ax = figures.plane(AXES["roller_radius"], AXES["eccentricity"], equal=False)
    _lines(ax, shown)
    for (name, drive), marker in zip(drives.items(), MARKERS, strict=False):
        words = in_figure(name)
        at = (drive.roller_radius, drive.eccentricity)
        across = words_from(shown, drive, words)
        ax.plot(*at, marker=marker, markersize=9, color=figures.INK, linestyle="none", label=words)
        _write(ax, words, at, (math.copysign(9, SIDEWAYS[across]), 0), ha=across, va="center")
    ax.set_xlim(0.0, shown.reach[0])
    ax.set_ylim(0.0, shown.reach[1])
    return ax


@read
def words_from(shown: LimitsMap, drive: Drive, words: str) -> str:
    """Which end of a drive's words is at its place, "left" or "right".

    Limits lie to the right of a sound drive, and to the left of another; an axis on the far left.
    """
    room = drive.roller_radius / shown.reach[0] > LETTER * (len(words) + 1)
    return "right" if room and limits.check(drive).sound else "left"


def _lines(ax: Axes, shown: LimitsMap) -> None:
    """The sound region and every limit, with its words beside it."""
    ax.fill(*shown.sound.T, facecolor=(SOUND_COLOUR, SHADED), edgecolor="none")
    _write(ax, SOUND, shown.sound_at, (0, 0), ha="center")
    for line in shown.lines:
        look = LOOKS[line.name]
        dashes = (0, look.dashes) if look.dashes else "-"
        ax.plot(*line.points.T, label=line.name, color=look.colour, linewidth=look.width, linestyle=dashes)
        placed = {"ha": look.across, "va": look.upwards, "rotation": 90 if look.upright else 0}
        _write(ax, line.label, line.label_at, (SIDEWAYS[look.across], UPWARDS[look.upwards]), **placed)


def _write(ax: Axes, words: str, at: tuple[float, float], aside: tuple[float, float], **placed: Any) -> None:
    ax.annotate(words, at, aside, **figures.BESIDE | {"weight": "bold", "size": 11}, **placed)


def _lines_of_the_ring(pins: int, radius: float, reach: tuple[float, float]) -> list[Line]:
    """The physical limits, and the rule of thumb."""
    apart, loop, (widest, highest) = float(limits.half_pin_distance(pins, radius)), radius / pins, reach
    bend, square = _undercut(pins, radius, widest), min(reach)
    on_bend = float(np.interp(1.05 * apart, bend[:, 0], bend[:, 1]))
    return [
        Line("loop", "loops above", (0.6 * apart, loop), _across(loop, widest), True),
        Line("undercut", "undercut above", (widest, on_bend), bend, True),
        Line("rollers apart", "rollers overlap", (apart, FOOT * highest), _up(apart, highest), True),
        Line("rule of thumb", "rule of thumb:\nstay right", (0.45 * square, 0.45 * square), square * DIAGONAL, False),
    ]


def _wall(least: float, apart: float, reach: tuple[float, float]) -> Line:
    thickest = apart - least / 2
    if thickest <= 0:
        raise ValueError(
            f"least_wall is {least} mm, but must be below {2 * apart:.6g}, the distance between the pins: "
            "choose a thinner wall, fewer pins, or a larger pin_circle_radius."
        )
    return Line("wall", "wall too thin beyond", (thickest, FOOT * reach[1]), _up(thickest, reach[1]), False)


def _lobe_height(resolution: float, loop: float, reach: tuple[float, float]) -> Line:
    lowest = resolution / 2
    if lowest >= loop:
        raise ValueError(
            f"resolution is {resolution} mm, but must be below {2 * loop:.6g}, the height of the highest lobes: "
            "choose a finer printer, fewer pins, or a larger pin_circle_radius."
        )
    return Line("lobe height", "too low below", (reach[0], lowest), _across(lowest, reach[0]), False)


def _undercut(pins: int, radius: float, widest: float) -> Floats:
    """The line along which the roller radius is the least convex radius, from no roller to the map's end."""
    ratio = np.sin(np.linspace(np.pi / 2, 0.0, CORNERS + 1)[1:-1])  # closer where the line is steep
    eccentricity = ratio * radius / pins
    roller = limits.least_convex_radius(pins, radius, eccentricity)
    whole = np.vstack([[[0.0, radius / pins]], np.column_stack([roller, eccentricity]), [[radius, 0.0]]])
    if widest >= radius:
        return whole
    end = np.interp(widest, whole[:, 0], whole[:, 1])
    return np.vstack([whole[whole[:, 0] < widest], [[widest, end]]])


def _across(eccentricity: float, widest: float) -> Floats:
    return np.array([[0.0, eccentricity], [widest, eccentricity]])


def _up(roller: float, highest: float) -> Floats:
    return np.array([[roller, 0.0], [roller, highest]])
