"""A reducer's face, beside its cut and true to the same scale: seen along the axis from the output, its cover off."""

import math
from collections.abc import Iterable

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.patches import Circle

from cyclokit.arguments import Floats
from cyclokit.geometry import motion, outline
from cyclokit.machine import space
from cyclokit.machine.hardware import thread
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import read
from cyclokit.view import cut, figures, palette, section

DASHES = ("-", "--", ":")  # of the discs, from the front
# What the library says to a reader.
FACE = (
    "The same machine to the same scale, seen from its output side, {without}, the crank such that it carries the "
    "first disc upwards. {off} The cut goes along the upright dash-dotted line."
)
OPENED, NO_MACHINE = "cover and output plate taken off", "its housing a plain circle"
BEHIND = {
    1: "The disc is filled.",
    2: "The second disc is in front, filled; the first, dashed, looks out behind it.",
    3: "The third disc is in front, filled; the second, dashed, and the first, dotted, look out behind it.",
}


@read
def words(reducer: Reducer) -> str:
    """What `face` shows, in words."""
    without = OPENED if cut.plan_of(reducer) else NO_MACHINE
    return FACE.format(without=without, off=BEHIND[reducer.discs])


@read
def face(reducer: Reducer) -> Axes:
    """The machine seen along its axis from the output, to the scale and at the height of the cut.

    For `figures.show` with `words(reducer)`. The crank carries the first disc upwards.
    """
    frame = section.framed(reducer)
    far = section.RIM * frame.half
    ax = frame.axes(-far, far, "across [mm]")
    _frame(reducer, ax)
    _draw_discs(reducer, ax)
    ax.plot([0, 0], [-far, far], color=figures.INK, lw=1.2, ls="-.", gid="cut")
    ax.plot([-far, far], [0, 0], color=figures.INK, lw=0.8, ls="-.")
    return ax


def _up(points: Floats) -> Floats:
    """Turned by a quarter: what lies along +x points up."""
    return motion.turned(points, math.pi / 2)


def _edge(
    points: Floats, ax: Axes, paint: palette.Paint, filled: float = 0.0, dashes: str = "-", gid: str = ""
) -> None:
    """A closed line as seen along the axis (n, 2), filled or not."""
    colour = paint.light
    ax.fill(*_up(points).T, facecolor=(colour, filled), edgecolor=colour, lw=1.0, ls=dashes, gid=gid)


def _ring(at: Floats, radius: float, ax: Axes, paint: palette.Paint, filled: float = 0.0, dashes: str = "-") -> None:
    """A circle as seen along the axis."""
    colour = paint.light
    ax.add_patch(Circle(tuple(_up(at)), radius, facecolor=(colour, filled), edgecolor=colour, lw=1.0, ls=dashes))


def _plate(radius: float, lugs: Iterable[tuple[Floats, float]]) -> Floats:
    """A round plate's edge with lugs, each a circle about a place (n, 2)."""
    round_ones = [shapely.Point(0, 0).buffer(radius, 36), *(shapely.Point(at).buffer(lug, 8) for at, lug in lugs)]
    return np.array(shapely.union_all(round_ones).exterior.coords)


def _frame(reducer: Reducer, ax: Axes) -> None:
    """Ring plate and feet, and the ring's pins and rollers."""
    plan, drive = cut.plan_of(reducer), reducer.drive
    axis = np.zeros(2)
    if plan is None:
        _ring(axis, space.outer_diameter(reducer) / 2, ax, palette.LINE)
    else:
        screws = _around(plan.screw_circle, reducer.screws, math.pi / reducer.screws)
        feet = _around(plan.foot_circle, reducer.screws)
        hole = thread(reducer.screw).hole_diameter / 2
        lugs = [(at, plan.lug) for at in screws]
        _edge(_plate(plan.outside, [*lugs, *((at, plan.foot_lug) for at in feet)]), ax, palette.LINE)
        _edge(_plate(plan.outside, lugs), ax, palette.LINE)
        _ring(axis, plan.inside, ax, palette.LINE)
        for at in (*screws, *feet):
            _ring(at, hole, ax, palette.LINE)
    for pin in motion.pins(drive):
        _ring(pin, drive.roller_radius, ax, palette.ROLLER)
        _ring(pin, reducer.pin_rod_radius, ax, palette.ROLLER, palette.FILLED)


def _around(radius: float, number: int, first: float = 0.0) -> Floats:
    """Places evenly spaced on a circle (n, 2) [mm], from an angle on [rad]."""
    angles = first + 2 * math.pi * np.arange(number) / number
    return radius * np.column_stack([np.cos(angles), np.sin(angles)])


def _draw_discs(reducer: Reducer, ax: Axes) -> None:
    """Discs with their holes, the last one in front, output rollers and rods, and what carries that disc."""
    drive = reducer.drive
    first = 2 * math.pi * reducer.hole_phase / drive.lobes
    rollers = _around(reducer.output_circle_radius, reducer.output_rollers, first)
    poses = motion.disc_poses(drive, 0.0, reducer.discs)
    edge = outline.polygon(reducer.disc_drive, figures.DRAWN_WITHIN)
    for disc, (centre, angle) in enumerate(zip(poses.centre, poses.angle, strict=True)):
        behind = reducer.discs - 1 - disc
        filled, turned = 0.0 if behind else palette.FILLED, motion.turned(edge, angle)
        _edge(centre + turned, ax, palette.DISC, filled, DASHES[behind], f"{cut.DISCS[disc]} seen")
        for roller in rollers:
            _ring(centre + roller, reducer.hole_radius, ax, palette.DISC, dashes=DASHES[behind])
    for roller in rollers:
        _ring(roller, reducer.output_roller_radius, ax, palette.ROLLER, palette.FILLED)
        _ring(roller, reducer.output_rod_radius, ax, palette.ROLLER, palette.FILLED)
    _ring(poses.centre[-1], reducer.bore_radius, ax, palette.CENTRE_PATH)
    _ring(poses.centre[-1], reducer.eccentric_bearing.bore_diameter / 2, ax, palette.CRANK, palette.FILLED)
    journal = reducer.crank_bearing.bore_diameter / 2 if cut.plan_of(reducer) else reducer.shaft_radius
    _ring(np.zeros(2), journal, ax, palette.CRANK, palette.FILLED)
