"""Still pictures of what limits the four numbers: loops, bends, rollers side by side, the tail of an undercut flank."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Rectangle

from cyclokit.arguments import Floats
from cyclokit.drive import Drive
from cyclokit.geometry import limits, milled, outline
from cyclokit.signatures import Length, read
from cyclokit.texts import in_figure
from cyclokit.view import closeup, figures, palette

WIDE = (7.2, 3.4)  # inches: two or three axes side by side
DASHED = ("--", ":", "-.", "-")  # of paths one after another; the last one is drawn through
ENLARGED = 1.2  # mm: half the width of the enlarged root


@read
def near_a_root(drives: Mapping[str, Drive]) -> Axes:
    """Centre paths over one lobe pitch, seen with the ring outside above, and their root enlarged beside it.

    One to four drives of one ring by their names; the path of the last is drawn through. The axes of the whole lobe
    pitch are returned.
    """
    if not 1 <= len(drives) <= len(DASHED):
        raise ValueError(f"drives has {len(drives)} drives, but must have 1 to {len(DASHED)}: give so many.")
    wide, close = _axes([2.2, 1.0], "along the ring [mm]", "from the centre [mm]")
    for number, (name, drive) in enumerate(drives.items(), start=len(DASHED) - len(drives)):
        t = np.linspace(-np.pi, np.pi, 2001) / drive.lobes
        path = outline.centre_path(drive, t)[:, ::-1] * [-1, 1]
        colour, through = figures.COLOURS[number], number == len(DASHED) - 1
        for ax in (wide, close):
            look: dict[str, Any] = {"ls": DASHED[number], "lw": 2.5 if through else 1.8, "color": colour}
            ax.plot(*path.T, label=in_figure(name) if ax is wide else None, **look)
    lowest = float(path[:, 1].min())
    close.set(xlim=(-ENLARGED, ENLARGED), ylim=(lowest - 0.3, lowest - 0.3 + 2 * ENLARGED))
    frame = Rectangle((-ENLARGED, lowest - 0.3), 2 * ENLARGED, 2 * ENLARGED, fill=False, edgecolor=figures.INK)
    wide.add_patch(frame)
    close.set_title("the root, enlarged", size=12, color=figures.WORDS)
    figure = wide.figure
    with rc_context(figures.STYLE):
        figure.legend(loc="outside upper center", ncols=len(drives), frameon=False)
    return wide


@read
def turning_tangent(drive: Drive, t: float, step: float = 0.05) -> Axes:
    """The tangent of a centre path at t and a step on, from one point, and the change between them in two parts.

    `t` is a place on the path [rad] where it has a direction, and `step` how far on the second one is [rad]. Lengths
    are speeds [mm a radian].
    """
    before, after = (_tangent(drive, at) for at in (t, t + step))
    if not before @ before:
        raise ValueError(f"t is {t!r}, but must be where the path has a direction: leave out the root where K1 is 1.")
    foot = before * (after @ before) / (before @ before)  # of the part across
    ax = figures.plane("x [mm a radian]", "y [mm a radian]")
    for start, end, words, paint, aside in (
        (np.zeros(2), before, "tangent now", palette.DISC, (10, -8)),
        (np.zeros(2), after, "a moment later", palette.CENTRE_PATH, (-118, 0)),
        (foot, after, "change across", palette.ROLLER, (4, 6)),
        (before, foot, "change along", palette.LINE, (12, 0)),
    ):
        ax.annotate("", tuple(end), tuple(start), arrowprops=figures.ARROW | {"color": paint.light, "shrinkB": 2})
        _say(ax, words, (start + end) / 2, paint, aside)
    ax.plot(*np.array([[0, 0], before, after, foot]).T, alpha=0)  # so that the axes reach around all
    ax.margins(0.2)
    return ax


@read
def bends(drives: Mapping[str, Drive]) -> Axes:
    """Radius of the centre path's outward bend from a lobe's tip towards its root, the least of each marked.

    For one or more drives by their names, over c, the cosine of (N - 1) t: -1 at a tip, 1 in a root.
    """
    if not drives:
        raise ValueError("drives is empty, but must hold a drive: give one by its name.")
    ax = figures.plane("c: -1 at the tip, 1 in the root", "radius of the path's bend [mm]", equal=False)
    top = 0.0
    for name, drive in drives.items():
        c = np.linspace(-1.0, 1.0, 1001)
        bend = outline.curvature(drive, (2 * np.pi - np.arccos(c)) / drive.lobes)
        path = np.divide(1.0, bend, out=np.full(len(c), np.nan), where=bend > 0) + drive.roller_radius
        figures.curve(np.column_stack([c, path]), name, ax=ax)
        least = int(np.nanargmin(path))
        ax.plot(c[least], path[least], "o", markersize=9, color=ax.get_lines()[-1].get_color())
        where = "the tip" if least == 0 else "the flank"
        _say(ax, f"least on {where}: {path[least]:.2f}", (c[least], path[least]), palette.WORDS, (7, -17))
        top = max(top, path[least])
    ax.set_ylim(0, 2.2 * top)
    ax.set_xlim(-1.05, 1.0)
    return ax


@read
def side_by_side(drive: Drive, radii: tuple[Length, ...]) -> Axes:
    """Rollers of several radii on two neighbouring pins; what overlaps is filled.

    The drive's own roller radius is not looked at; `radii` are in mm, one pair of rollers each. The first pair's axes
    are returned.
    """
    if not radii:
        raise ValueError("radii is empty, but must hold a roller's radius: give one or more.")
    half = float(limits.half_pin_distance(drive.pins, drive.pin_circle_radius))
    pairs = _axes([1.0] * len(radii), "straight across [mm]", "")
    for ax, radius in zip(pairs, radii, strict=True):
        for x in (-half, half):
            ax.add_patch(Circle((x, 0), radius, fill=False, edgecolor=palette.ROLLER.light, lw=2))
            ax.plot(x, 0, "+", color=figures.INK)
        overlap = radius - half
        if overlap > 0:
            reach = np.arccos(half / radius)
            way = np.linspace(-reach, reach, 60)
            right = np.column_stack([radius * np.cos(way) - half, radius * np.sin(way)])
            filled = np.vstack([right, right[::-1] * [-1, 1]])
            ax.fill(*filled.T, facecolor=(palette.CENTRE_PATH.light, 0.6), edgecolor=palette.CENTRE_PATH.light)
        words = f"overlap {2 * overlap:.2f} mm" if overlap > 0 else f"{-2 * overlap:.2f} mm between"
        ax.set_title(f"{radius:g} mm\n{words}", size=12, color=figures.WORDS)
        most = half + max(radii)
        ax.set(xlim=(-1.05 * most, 1.05 * most), ylim=(-1.1 * max(radii), 1.1 * max(radii)))
        ax.set_yticks([])
    return pairs[0]


@read
def tail(drive: Drive) -> Axes:
    """An undercut flank, enlarged: the milled disc, the tail of the formula's edge, and a roller that it bars.

    The drive must be undercut, without loops.
    """
    crossing = closeup.crossing_of(drive) if limits.check(drive)["loop"].ok else None
    if crossing is None:
        raise ValueError(f"drive is {drive!r}, but must be undercut without loops: choose wider rollers.")
    loop = outline.points(drive, np.linspace(crossing.first, crossing.then, 400))
    half = 1.5 * float(np.hypot(*(loop - crossing.at).T).max())
    around = (crossing.first + crossing.then) / 2 + np.linspace(-0.5, 0.5, 1001) * np.pi / drive.lobes
    ax = figures.plane()
    piece = milled.edge(drive, tolerance=1e-4)
    seen = np.flatnonzero(np.hypot(*(piece - crossing.at).T) < 3 * half)
    wedge = np.vstack([piece[seen[0] : seen[-1] + 1], [[0.0, 0.0]]])  # what is seen of the disc, up to its centre
    ax.fill(*wedge.T, facecolor=(palette.DISC.light, palette.FILLED), edgecolor="none")
    ax.plot(*outline.points(drive, around).T, color=palette.DISC.light, lw=2)
    ax.fill(*loop.T, facecolor=(palette.CENTRE_PATH.light, 0.5), edgecolor=palette.CENTRE_PATH.light)
    middle = outline.centre_path(drive, (crossing.first + crossing.then) / 2)
    roller = Circle(tuple(middle), drive.roller_radius, fill=False, edgecolor=palette.ROLLER.light, lw=2, ls="--")
    ax.add_patch(roller)
    into = (middle - crossing.at) / np.hypot(*(middle - crossing.at))
    for words, at, paint, aside in (
        ("milled disc", crossing.at - 0.7 * half * into, palette.DISC, (-12, 6)),
        ("tail", loop[np.argmax(loop @ [-into[1], into[0]])], palette.CENTRE_PATH, (0, -18)),
        ("roller", crossing.at + 0.7 * half * into, palette.ROLLER, (-12, 0)),
    ):
        _say(ax, words, at, paint, aside)
    ax.set_aspect("equal", adjustable="box")
    ax.set(xlim=crossing.at[0] + [-half, half], ylim=crossing.at[1] + [-half, half])
    return ax


def _axes(widths: list[float], x_label: str, y_label: str) -> list[Axes]:
    """Axes side by side, so wide, with one scale in both directions and the first one's label for all."""
    with rc_context(figures.STYLE):
        figure = Figure(figsize=WIDE, layout="constrained")
        made = figure.subplots(1, len(widths), squeeze=False, width_ratios=widths)[0]
        for ax in made:
            ax.set_aspect("equal")
            ax.set_xlabel(x_label)
        made[0].set_ylabel(y_label)
    return list(made)


def _tangent(drive: Drive, t: float) -> Floats:
    """Derivative of the centre path [mm a radian]."""
    pins, e = drive.pins, drive.eccentricity
    way = np.array([-np.sin(t), np.cos(t)])
    return drive.pin_circle_radius * way - e * pins * np.array([-np.sin(pins * t), np.cos(pins * t)])


def _say(ax: Axes, words: str, at: Any, paint: palette.Paint, aside: tuple[float, float]) -> None:
    ax.annotate(words, at, aside, **figures.BESIDE | {"color": paint.light, "weight": "bold"})
