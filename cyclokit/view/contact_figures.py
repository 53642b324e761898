"""Still pictures of contacts: how far one swings on its roller, which disc pushes a pin, how closely two edges lie."""

import math
from collections.abc import Iterable
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from cyclokit.arguments import checked_count
from cyclokit.drive import Drive
from cyclokit.geometry import motion, speeds
from cyclokit.signatures import Length, read
from cyclokit.view import figures, palette
from cyclokit.view.figures import NOTE

MOST_DISCS = 12
# The bars of discs: colour, how much of it the filling has, pattern and edge, as dashed and dotted as on a stage.
BARS: Any = (
    (palette.DISC, 1.0, "", "-"),
    (palette.SECOND_DISC, palette.FILLED, "///", "--"),
    (palette.THIRD_DISC, palette.FILLED, "..", ":"),
)


@read
def swing(drive: Drive) -> Axes:
    """One roller and the ring's pitch circle: the contact's two extreme places, where the normal is a tangent.

    The angle either side of the line to the ring's centre is arcsin K1. The trochoid ratio must be below 1, else no
    tangent reaches the pin.
    """
    if drive.trochoid_ratio >= 1:
        raise ValueError(
            f"drive has the trochoid ratio {drive.trochoid_ratio:g}, but must be below 1: lower its eccentricity."
        )
    pin, roller, pitch = drive.pin_circle_radius, drive.roller_radius, motion.ring_pitch_radius(drive)
    most = math.asin(drive.trochoid_ratio)
    ax = figures.circles(np.zeros(2), pitch, "ring's pitch circle", thing="roller")
    figures.circles(np.array([pin, 0.0]), roller, "roller", ax, thing="roller")
    far = math.sqrt(pin**2 - pitch**2)  # from the pin to where the tangent touches
    for way in (1, -1):
        touch = pin - far * math.cos(most), way * far * math.sin(most)
        ax.plot([0, touch[0], pin], [0, touch[1], 0], color=palette.CRANK.light, linewidth=1.2, linestyle="-.")
        ax.plot(*touch, "o", color=palette.CRANK.light)
    around = np.pi + np.linspace(-most, most, 61)
    ax.plot(pin + roller * np.cos(around), roller * np.sin(around), color=palette.DISC.light, linewidth=5)
    ax.plot([0, pin], [0, 0], color=figures.INK, linewidth=1, linestyle=":")
    bow = np.pi + np.linspace(0, -most, 31)
    ax.plot(pin + 0.6 * pin * np.cos(bow), 0.6 * pin * np.sin(bow), color=figures.INK, linewidth=1)
    ax.annotate(f"{math.degrees(most):.1f}°", (0.54 * pin, 0.46 * pin * math.tan(most / 4)), ha="center", **NOTE)
    corner: Any = np.array([math.sin(most), math.cos(most)])  # from the middle to where the upper tangent touches
    along = np.array([math.cos(most), -math.sin(most)])  # and on to the pin
    square = pitch * corner + 0.07 * pin * np.array([-corner, along - corner, along])
    ax.plot(*square.T, color=figures.INK, linewidth=1)
    half = pitch * corner + 0.5 * far * along
    for words, point, text_at in (
        ("normal, farthest aside", half, (0.75, 0.94)),
        ("where the contact\nwanders", (pin - roller, 0), (0.79, 0.1)),
    ):
        ax.annotate(
            words, point, text_at, textcoords="axes fraction", ha="center", va="center",
            arrowprops={"arrowstyle": "->", "color": figures.INK}, **NOTE,
        )  # fmt: skip
    ax.annotate("$eN$", 0.5 * pitch * corner, (-8, 2), ha="right", **figures.BESIDE)
    ax.annotate("$R_p$", (0.28 * pin, 0.03 * pin), ha="center", **NOTE)
    return ax


@read
def pushes(drive: Drive, discs: Iterable[int]) -> Axes:
    """Which of several discs push pin 0 over one crank turn, a bar for each disc and stretch.

    `discs` are numbers of discs on one crank, 1 to 12, one group of bars each, from the top down; the looks of
    the first three come again after them. The trochoid ratio must not be exactly 1.
    """
    groups = tuple(checked_count("discs", each, 1, MOST_DISCS) for each in discs)
    if not groups:
        raise ValueError("discs is empty, but must be numbers of discs: give one or more.")
    degrees = np.linspace(0, 360, 721)
    ax = figures.plane("crank angle [degrees]", "", equal=False)
    names, row = [], 0.0
    for count in groups:
        pushing = speeds.shared_rollers(drive, np.radians(degrees[:-1] + 0.25), count).pushing[:, :, 0]
        for disc in range(count):
            starts = np.flatnonzero(np.diff(np.concatenate([[0], pushing[:, disc], [0]]).astype(int)))
            spans = [(degrees[a], degrees[b] - degrees[a]) for a, b in starts.reshape(-1, 2)]
            paint, filled, pattern, dashes = BARS[disc % len(BARS)]
            ax.broken_barh(spans, (row - 0.35, 0.7), facecolor=(paint.light, filled), edgecolor="none")
            # apart from it: in SVG a pattern is as see-through as its filling
            look = {"edgecolor": paint.light, "hatch": pattern, "linestyle": dashes, "linewidth": 1.5}
            ax.broken_barh(spans, (row - 0.35, 0.7), facecolor="none", **look)
            names.append((row, f"disc {disc} of {count}"))
            row -= 1.0
        row -= 0.6
    ax.set_yticks(*zip(*names, strict=True))
    ax.set_xticks(range(0, 361, 60))
    ax.grid(True, axis="x")
    return ax


@read
def touch(roller_radius: Length, bulge_radius: Length, hollow_radius: Length) -> Axes:
    """A roller on a bulge and in a hollow, true to scale, with the gap between the edges as far beside the contact.

    Radii are in mm; the hollow's must be larger than the roller's, else the roller doesn't go in. The contacts are on
    one level, the bulge's on the left.
    """
    if hollow_radius <= roller_radius:
        raise ValueError(
            f"hollow_radius is {hollow_radius:g} mm, but must be above roller_radius, {roller_radius:g} mm: widen it."
        )
    ax = figures.plane()
    beside, apart = 0.8 * min(roller_radius, bulge_radius), 2.5 * roller_radius
    across = np.linspace(-1, 1, 101)
    for place, radius, words in ((0.0, bulge_radius, "on a bulge"), (apart, -hollow_radius, "in a hollow")):
        wide = 0.95 * min(abs(radius), roller_radius)
        ax.fill(
            place + wide * np.concatenate([across, [1, -1]]),
            np.concatenate([-_drop(wide * across, radius), [-1.2 * bulge_radius] * 2]),
            facecolor=(palette.DISC.light, palette.FILLED), edgecolor=palette.DISC.light, linewidth=2,
        )  # fmt: skip
        around = roller_radius * np.exp(1j * np.linspace(0, 2 * np.pi, 145))
        ax.plot(place + around.real, roller_radius + around.imag, color=palette.ROLLER.light, linewidth=2)
        edges = [-_drop(beside, radius), _drop(beside, roller_radius)]
        ax.plot([place + beside] * 2, edges, "o-", color=palette.FORCE.light, linewidth=3, markersize=4)
        ax.annotate(
            f"{words}:\ngap {edges[1] - edges[0]:.2f} mm", (place, roller_radius), ha="center", va="center", **NOTE
        )
    return ax


def _drop(beside: Any, radius: float) -> Any:
    """How far a circle's edge falls away, so far beside its highest point; a hollow's rises."""
    return math.copysign(1, radius) * (abs(radius) - np.sqrt(radius**2 - beside**2))
