"""Still pictures of why one lobe fewer: pins on the lobes at one moment, two arrows that add up, a pin's rounds.

Distances are those of the rollers' centres from the disc's, drawn over the direction in which the pin stands.
"""

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from cyclokit.arguments import checked_count, checked_kind
from cyclokit.drive import MOST_PINS, Drive
from cyclokit.geometry import milled
from cyclokit.signatures import Place, read
from cyclokit.view import figures, palette
from cyclokit.view.figures import NOTE

PINS = palette.ROLLER.light
WAVE = palette.CENTRE_PATH.light


@read
def root_and_tip(drive: Drive) -> Axes:
    """A drive at crank 0: where its disc lies deepest among the rollers, and what lies opposite; both numbered."""
    ax = figures.drive_picture(drive)
    reach, off = drive.root_circle_radius, drive.eccentricity
    named = {
        "root": ((reach + off, 0), (0.5 * reach, 0)),
        "tip": ((-reach - off, 0), (-0.4 * reach, 0.26 * reach)),
        "crank": ((off, 0), (0.1 * reach, 0.42 * reach)),
    }
    for words, (point, text_at) in named.items():
        ax.annotate(words, point, text_at, ha="center", va="center", arrowprops={"arrowstyle": "->"}, **NOTE)
    _numbers(ax, drive.pins, 0j, drive.pin_circle_radius + 2 * drive.roller_radius, 0, PINS)
    _numbers(ax, drive.lobes, complex(off), 0.82 * reach, np.pi / drive.lobes, palette.DISC.light)
    return ax


@read
def pitches(drive: Drive, lobes: Iterable[int]) -> Axes:
    """Pins 0 and 1, and for each number of lobes roots 0 and 1 under them, with the way that root 1 has to go.

    Rows for numbers of lobes M from the top down; an arrow is the disc's turn while the crank goes on by one pin.
    """
    chosen, pitch = _counts(lobes), 360 / drive.pins
    ax = figures.plane("direction [degrees], counter-clockwise positive", "", equal=False)
    ax.vlines([0, pitch], -0.6, len(chosen) - 0.5, color=PINS, linestyle="--", linewidth=1.5)
    for row, each in enumerate(reversed(chosen)):
        root = 360 / each
        ax.plot([0, root], [row, row], "v", color=palette.DISC.light, markersize=9)
        if each != drive.pins:
            ax.annotate("", (pitch, row), (root, row), arrowprops=figures.ARROW | {"color": figures.WORDS})
        ax.annotate(f"{pitch - root:+.2f}°" if root != pitch else "0°", (pitch * 1.25, row), va="center", **NOTE)
    for number, at in enumerate((0, 360 / chosen[0])):
        ax.annotate(f"root {number}", (at, len(chosen) - 0.85), color=palette.DISC.light, fontsize=12.0)
    ax.set_yticks(range(len(chosen)), [f"{each} lobes" for each in reversed(chosen)])
    for number, at in enumerate((0, pitch)):
        ax.annotate(f"pin {number}", (at, len(chosen) - 0.35), ha="center", **NOTE)
    ax.set_xlim(-0.1 * pitch, 1.48 * pitch)
    ax.set_ylim(-0.6, len(chosen))
    return ax


@read
def snapshot(drive: Drive, lobes: Iterable[int]) -> Axes:
    """For each number of lobes: the wave that the disc offers round the ring at crank 0, and where the pins are.

    One strip for each number of lobes M, of which the last is returned: pins at Rp - e cos phi, the wave Rp - e cos(M
    phi), to first order in e/Rp. A bar is solid where the roller would stand in the disc, dotted where there is air
    between.
    """
    chosen = _counts(lobes)
    place, pins = np.linspace(0, 360, 361), 360 / drive.pins * np.arange(drive.pins + 1)
    solid: Any = "-"
    dotted: Any = (0, (0.7, 0.7))
    for ax, each in _strips(drive, chosen, 2.0):
        needed, offered = (-drive.eccentricity * np.cos(np.radians(times * pins)) for times in (1, each))
        ax.plot(place, -drive.eccentricity * np.cos(np.radians(each * place)), color=WAVE, linewidth=0.9)
        bars = ax.vlines(pins, needed, offered, color=figures.WORDS, linewidth=3.5, zorder=3)
        bars.set_linestyle([solid if far > out else dotted for out, far in zip(needed, offered, strict=True)])
        ax.plot(pins, needed, "o", color=PINS, markersize=7, zorder=4)
        ax.set_xticks(range(0, 361, 90))
    ax.set_xlabel("direction of the pin, from the crank [degrees]")
    named: tuple[tuple[str, dict[str, Any]], ...] = (
        ("pins", {"color": PINS, "marker": "o", "linestyle": ""}),
        ("what the disc offers", {"color": WAVE, "linewidth": 0.9}),
        ("air between", {"color": figures.WORDS, "linewidth": 3.5, "linestyle": dotted}),
        ("roller in the disc", {"color": figures.WORDS, "linewidth": 3.5, "linestyle": solid}),
    )
    handles = [Line2D([], [], label=words, **style) for words, style in named]
    with rc_context(figures.STYLE):
        ax.figure.legend(handles=handles, loc="outside upper center", ncols=2, frameon=False)
    return ax


@read
def two_arrows(drive: Drive, lobes: int, pin: Place = 0) -> Axes:
    """What a disc with so many lobes sees of one pin, as two arrows at four moments, and the path that comes of it.

    The long arrow is Rp, and from its end the short one, e long; the moments are a quarter of a lobe apart. Pins are
    counted from 0.
    """
    pin = checked_count("pin", pin, 0, drive.pins - 1)
    turn = (lobes - drive.pins) / lobes  # of the disc, for one of the crank
    start = 2 * np.pi * pin / drive.pins
    crank = np.linspace(0, 2 * np.pi * lobes, 40 * lobes + 1) / abs(turn * lobes or 1.0)
    far, near = _arrows(drive, crank, turn, start)
    ax = figures.curve(_xy(far + near), f"path of pin {pin}", thing="centre path")
    moments = np.linspace(0, crank[-1] / lobes, 5)[:4]
    for number, (long, short) in enumerate(zip(*_arrows(drive, moments, turn, start), strict=True)):
        for tail, tip, colour in ((0j, long, PINS), (long, long + short, palette.CRANK.light)):
            look = figures.ARROW | {"color": colour}
            ax.annotate("", (tip.real, tip.imag), (tail.real, tail.imag), arrowprops=look)
        end = 1.3 * long
        ax.annotate(f"{number}", (end.real, end.imag), ha="center", va="center", **NOTE)
    ax.plot(0, 0, "x", color=palette.CRANK.light, markersize=9)
    for words, colour in (("long arrow", PINS), ("short arrow", palette.CRANK.light)):
        ax.plot([], [], color=colour, linewidth=2, label=words)
    figures.name_curves(ax)
    return ax


@read
def rounds(drive: Drive, lobes: Iterable[int]) -> Axes:
    """How far out pin 0 passes in each of its rounds about the disc, and the other pins with it.

    One strip for each number of lobes M, none as many as pins, of which the last is returned: distance from the pin
    circle over the direction of the pin's long arrow, over a third of the disc, each round with
    its own dashes.
    """
    chosen = _counts(lobes)
    t = np.linspace(0, 2 * np.pi / 3, 161)
    for ax, each in _strips(drive, chosen, 1.75):
        fewer = drive.pins - each
        if not fewer:
            raise ValueError(
                f"lobes contains {each}, but such a disc doesn't turn, and no pin goes round it: leave it out."
            )
        alike = np.gcd(fewer, drive.pins)  # every so many pins one runs along the same curve
        number = abs(fewer) // alike  # rounds until the path closes
        for one in range(number):
            curve = -drive.eccentricity * np.cos(each * (t + 2 * np.pi * one) / fewer)
            ax.plot(
                np.degrees(t), curve, color=figures.COLOURS[one % 5], linestyle=figures.DASHES[one % 5], linewidth=2,
                label=f"pin 0, round {one + 1}" if number > 1 else f"pin 0, {alike}, {2 * alike}, ...",
            )  # fmt: skip
        if number < abs(fewer):
            curve = -drive.eccentricity * np.cos((each * t - 2 * np.pi) / fewer)
            ax.plot(
                np.degrees(t), curve, color=figures.INK, linestyle=figures.DASHES[3], linewidth=2.5,
                label=f"pin 1, {1 + alike}, {1 + 2 * alike}, ...",
            )  # fmt: skip
        with rc_context(figures.STYLE):
            ax.legend(loc="center left", bbox_to_anchor=(1.0, 0.5), frameon=False, fontsize=11)
    ax.set_xlabel("direction of the long arrow [degrees]")
    return ax


@read
def milled_edges(drives: Iterable[Drive], lobes: Iterable[int]) -> Axes:
    """How far milled discs reach from their centres, over some lobes; one for each drive and number of lobes."""
    rings, counts = tuple(drives), _counts(lobes)
    for one in rings:
        checked_kind("drives", one, Drive)
    if len(rings) != len(counts):
        raise ValueError(f"drives are {len(rings)}, but must be {len(counts)}: give one for each number of lobes.")
    ax = figures.plane("direction [degrees]", "distance from the centre [mm]", equal=False)
    for drive, each in zip(rings, counts, strict=True):
        edge = milled.edge(drive, each) @ [1, 1j]
        near = edge[np.abs(np.angle(edge)) < np.pi / 8]
        near = near[np.argsort(np.angle(near))]
        figures.curve(
            np.column_stack([np.degrees(np.angle(near)), np.abs(near)]), f"{each} lobes, {drive.eccentricity} mm", ax
        )
    return ax


def _numbers(ax: Axes, count: int, middle: complex, radius: float, start: float, colour: str) -> None:
    """Numbers from 0, evenly round a circle about the middle."""
    places = _xy(middle + radius * np.exp(1j * (start + 2 * np.pi / count * np.arange(count))))
    for number, place in enumerate(places):
        ax.annotate(f"{number}", place, ha="center", va="center", color=colour, fontsize=11.0)
    ax.update_datalim(places)  # words alone claim no room
    ax.autoscale_view()


def _counts(lobes: Iterable[int]) -> tuple[int, ...]:
    """Numbers of lobes, at least one."""
    counts = tuple(checked_count("lobes", each, 1, MOST_PINS) for each in lobes)
    if not counts:
        raise ValueError("lobes is empty, but must be numbers of lobes: give one or more.")
    return counts


def _strips(drive: Drive, lobes: tuple[int, ...], height: float) -> Iterator[tuple[Axes, int]]:
    """Axes one under another that share their x axis, each with its number of lobes."""
    with rc_context(figures.STYLE):
        figure = Figure(figsize=(figures.WIDTH, height * len(lobes) + 0.5), layout="constrained")
        axes = figure.subplots(len(lobes), 1, sharex=True, squeeze=False)[:, 0]
    for ax, each in zip(axes, lobes, strict=True):
        ax.grid(False)  # every line of a grid weighs as much as a curve
        ax.set_title(f"{each} lobes, {drive.pins} pins", **NOTE)
        ax.set_ylabel("from the pin\ncircle [mm]")
    return zip(axes, lobes, strict=True)


def _arrows(drive: Drive, crank: np.ndarray, turn: float, start: float) -> tuple[np.ndarray, np.ndarray]:
    """Long and short arrow as complex numbers [mm]: the pin, less the disc's centre, seen from the disc."""
    back = np.exp(-1j * turn * crank)
    return drive.pin_circle_radius * np.exp(1j * start) * back, -drive.eccentricity * np.exp(1j * crank) * back


def _xy(points: np.ndarray) -> np.ndarray:
    return np.column_stack([points.real, points.imag])
