"""Parts on paper: in true size over as many A4 sheets as it takes, as PDF whose lines are curves, not pixels."""

import io
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.making.loops import corners_of
from cyclokit.making.shapes import Part
from cyclokit.signatures import Length, read
from cyclokit.texts import in_figure, plain, shown

WIDTH, HEIGHT = 210.0, 297.0  # mm, A4: ISO 216
EDGE = 12.0  # mm that printers leave free; common practice, no source
SHARED = 10.0  # mm that neighbouring sheets have in common, to glue them
BAR = 100.0  # mm, the scale bar; on narrow sheets too
FINE = 5e-4  # mm: as near as the curves of the files for cutters
INCH = 25.4
FOOT = 20.0  # mm at the bottom of a sheet for bar and words
ACROSS = 165  # letters of a line of words


def _checked_figure(name: str, value: object) -> None:
    """Refuse what is no figure of Matplotlib's, by the argument's name; it is not imported for that."""
    if not hasattr(value, "savefig"):
        raise TypeError(f"{name} must be figures of Matplotlib's, not {shown(value)}: `blank` makes one.")


Figure = Annotated[Any, _checked_figure]


@dataclass(frozen=True)
class Drawn:
    """What is drawn in true size on as many sheets as it takes.

    Attributes
    ----------
    name : str
        What stands on each sheet.
    lines : list of tuple
        Points (n, 2) [mm], colour and width [pt] of each line.
    labels : list of tuple
        Where [mm], a text, and its size [pt].
    """

    name: str
    lines: list[tuple[Floats, str, float]]
    labels: list[tuple[tuple[float, float], str, float]] = field(default_factory=list)


@read
def true_size(part: Part, notes: tuple[str, ...]) -> bytes:
    """A part as PDF in true size, tiled over A4 sheets, each with the notes and a scale bar to measure."""
    loops = [loop for slab in part.slabs for loop in (slab.outside, *slab.cut)]
    return sheets([Drawn(part.name, [(corners_of(loop, FINE), "black", 0.5) for loop in loops])], part.name, notes)


@read
def sheets(drawings: Sequence[Drawn], title: str, notes: tuple[str, ...]) -> bytes:
    """Drawings as one PDF in true size, each on sheets of its own, on each of which the notes stand."""
    return bound([figure for drawn in drawings for figure in _tiled(drawn, notes)], title)


@read
def bound(figures: Sequence[Figure], title: str) -> bytes:
    """Figures of Matplotlib's as the pages of a PDF, with every corner of their lines; the same bytes every time."""
    from matplotlib.backends.backend_pdf import PdfPages

    stream = io.BytesIO()
    about = {"CreationDate": None, "Title": plain(title)}
    with PdfPages(stream, metadata=about) as pages:
        for figure in figures:
            for line in (line for axes in figure.axes for line in axes.lines):
                line.get_path().should_simplify = False  # else corners within a ninth of a pixel are left out
            pages.savefig(figure)
    return stream.getvalue()


def _tiled(drawn: Drawn, notes: tuple[str, ...]) -> Iterator[Any]:
    every = np.vstack([points for points, _, _ in drawn.lines])
    low, high = every.min(axis=0), every.max(axis=0)
    room = np.array([WIDTH - 2 * EDGE, HEIGHT - 2 * EDGE - FOOT])
    counts = np.maximum(1, np.ceil((high - low - SHARED) / (room - SHARED))).astype(int)
    start = (low + high) / 2 - (counts * (room - SHARED) + SHARED) / 2
    for row in reversed(range(counts[1])):
        for column in range(counts[0]):
            corner = start + np.array([column, row]) * (room - SHARED)
            words = f"{drawn.name}, sheet {column + 1} of {counts[0]} across, {counts[1] - row} of {counts[1]} down"
            yield _sheet(drawn, corner, room, (words, *notes))


def _sheet(drawn: Drawn, corner: np.ndarray, room: np.ndarray, words: tuple[str, ...]) -> Any:
    """One sheet: what lies in a window, its corner [mm] at the sheet's lower left margin, above bar and words."""
    figure, axes = blank()
    shift = np.array([EDGE, EDGE + FOOT]) - corner
    window = _rectangle(axes, (EDGE, EDGE + FOOT), room)
    for curve, colour, width in drawn.lines:
        (line,) = axes.plot(*(curve + shift).T, color=colour, linewidth=width)
        line.set_clip_path(window)
    for place, text, size in drawn.labels:
        x, y = shift + place
        if EDGE <= x <= EDGE + room[0] and EDGE + FOOT <= y <= EDGE + FOOT + room[1]:
            axes.text(x, y, in_figure(text), fontsize=size, ha="center", va="center", clip_path=window)
    _crosses(axes, (EDGE, EDGE + FOOT), room)
    _bar(axes, (EDGE, EDGE))
    told = "\n".join(textwrap.wrap(in_figure("; ".join(words)), ACROSS))
    axes.text(EDGE, EDGE + 5, told, fontsize=6, va="bottom")
    return figure


@read
def blank(width: Length = WIDTH, height: Length = HEIGHT) -> tuple[Any, Any]:
    """An empty sheet whose axes are millimetres of paper from its lower left corner, as figure and axes."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width / INCH, height / INCH))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, width)
    axes.set_ylim(0, height)
    axes.axis("off")
    return figure, axes


def _bar(axes: Any, where: tuple[float, float]) -> None:
    """A scale bar of 100 mm, its left end there [mm], with what to do where it isn't."""
    x, y = where
    axes.plot([x, x + BAR], [y, y], color="black", linewidth=0.8)
    for tick in range(11):
        rise = 3.0 if tick % 5 == 0 else 1.5
        axes.plot([x + 10 * tick] * 2, [y, y + rise], color="black", linewidth=0.5)
    axes.text(x + BAR + 3, y, "100 mm: measure it; if it isn't, print again at 100 %", fontsize=6, va="bottom")


def _crosses(axes: Any, corner: tuple[float, float], room: Any) -> None:
    """Crosses where neighbouring sheets are laid over each other, in the four corners of the window."""
    for x in (corner[0] + SHARED / 2, corner[0] + room[0] - SHARED / 2):
        for y in (corner[1] + SHARED / 2, corner[1] + room[1] - SHARED / 2):
            axes.plot([x - 2, x + 2], [y, y], color="grey", linewidth=0.4)
            axes.plot([x, x], [y - 2, y + 2], color="grey", linewidth=0.4)


def _rectangle(axes: Any, corner: tuple[float, float], room: Any) -> Any:
    from matplotlib.patches import Rectangle

    return axes.add_patch(Rectangle(corner, *room, facecolor="none", edgecolor="lightgrey", linewidth=0.4))
