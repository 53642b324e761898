"""Still pictures with Matplotlib: curves in mm, a drive, a drive with its parts named.

Functions that draw take `ax=None`, draw only on it and return it. `show` puts a finished figure
into the notebook as an SVG with its alt text, and with the same words under it as a caption. The
SVG follows the page: its colours are those of `palette` for a light page or for a dark one.
"""

import io
import re
import textwrap
from collections.abc import Sequence
from typing import Annotated, Any
from urllib.parse import quote

import numpy as np
from IPython.display import display
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.legend import Legend
from matplotlib.patches import Circle

from cyclokit.arguments import Floats, numbers
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline
from cyclokit.signatures import FARTHEST, Length, read
from cyclokit.texts import in_figure, in_html, plain
from cyclokit.view import palette
from cyclokit.view.palette import THINGS

# of curves one after another; each goes with its own dashes, and neighbours differ in lightness on neither page alone
COLOURS = tuple(THINGS[thing].light for thing in ("disc", "roller", "crank", "centre path", "line"))
DASHES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)))
INK = palette.LINE.light  # of lines that are no part
WORDS = palette.WORDS.light
WIDTH, HEIGHT = 5.6, 4.2  # inches: small, so that 12 points can still be read where the page is narrow
LEGEND = 0.9  # of the picture's width: more would push the axes together
NARROWEST = 400  # px that a figure has at least beside another, so that none scrolls there
LONG = 32  # letters: a label along the y axis has no room for more in a line
NOTE: dict[str, Any] = {"color": WORDS, "size": 12.0}  # of words on a picture
BESIDE = NOTE | {"textcoords": "offset points"}  # of words so many points beside their place
ARROW: dict[str, Any] = {"arrowstyle": "-|>", "linewidth": 2, "shrinkA": 0, "shrinkB": 0}  # from place to place
STYLE: dict[Any, Any] = {
    "text.color": WORDS,
    "axes.labelcolor": WORDS,
    "axes.edgecolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelcolor": WORDS,
    "ytick.labelcolor": WORDS,
    "grid.color": INK,
    "grid.alpha": 0.25,
    "axes.grid": True,
    "axes.facecolor": "none",
    "figure.facecolor": "none",
    "font.size": 12.0,
}
SVG: dict[Any, Any] = {
    "svg.fonttype": "none",  # words stay words
    "svg.hashsalt": "cyclokit",  # the same names inside every time
    "font.sans-serif": ["DejaVu Sans", "Verdana"],  # measured with the first; the second is as wide
}
UNTOLD = {"Date": None, "Creator": None, "Format": None, "Type": None}  # a picture doesn't say when or by what
SMALLEST = 11 / 16  # of its width, to which a figure shrinks: its words keep 11 of 16 pixels, and it scrolls
AS_THE_PAGE = (  # nbconvert's page says no scheme, and its picture would take the system's: light words on white
    "<style>[data-jp-theme-light=true] .cyclokit-figure{color-scheme:light}"
    "[data-jp-theme-light=false] .cyclokit-figure{color-scheme:dark}</style>"
)
DRAWN_WITHIN = 0.02  # mm: what an outline may depart by in a picture
CORNERS = 72  # of a circle in a picture: a chord leaves it by a thousandth of its radius


def _rows(name: str, values: object) -> None:
    """Refuse what is no points in rows; a row of NaN is a gap."""
    array = numbers(name, values)  # type: ignore[arg-type]  # whatever it is
    if array.ndim != 2 or array.shape[1] != 2:
        raise ValueError(f"{name} has the shape {array.shape}, but must be (n, 2): give a row of x and y a point.")
    if np.abs(array[~np.isnan(array)]).max(initial=0.0) > FARTHEST:
        raise ValueError(f"{name} reaches farther than {FARTHEST:g}, but nothing so large can be drawn: give less.")


def _centres(name: str, values: object) -> None:
    """Refuse what is neither a point nor points in rows."""
    _rows(name, [values] if np.shape(numbers(name, values)) == (2,) else values)  # type: ignore[arg-type]


Rows = Annotated[Floats, _rows]
Centres = Annotated[Floats, _centres]


@read
def plane(x_label: str = "x [mm]", y_label: str = "y [mm]", equal: bool = True) -> Axes:
    """Empty axes with labels; `equal` gives both the same scale, as lengths in a plane need."""
    with rc_context(STYLE):
        ax = Figure(figsize=(WIDTH, HEIGHT), layout="constrained").add_subplot()
        ax.set_xlabel(in_figure(x_label))
        ax.set_ylabel(textwrap.fill(in_figure(y_label), LONG, break_on_hyphens=False))
        ax.grid(True)
        if equal:
            ax.set_aspect("equal", adjustable="datalim")
    return ax


@read
def curve(points: Rows, label: str, ax: Axes | None = None, thing: str | None = None) -> Axes:
    """A curve through points, named in the legend.

    Parameters
    ----------
    points : ndarray
        Points, shape (n, 2); a row of NaN is a gap.
    label : str
        Its name.
    ax : Axes, optional
        What to draw on.
    thing : str, optional
        What it is a curve of, one of `palette.THINGS`, to be drawn in that thing's colour. Left out, it has the next
        colour; in either case the next dashes; a ValueError tells a name that isn't one.

    Returns
    -------
    Axes
        The axes drawn on.
    """
    ax, points = ax or plane(), np.asarray(points)
    number = len(ax.get_lines())
    colour = COLOURS[number % len(COLOURS)] if thing is None else _colour(thing)
    dashes = DASHES[number % len(DASHES)]
    ax.plot(points[:, 0], points[:, 1], label=in_figure(label), linewidth=2, color=colour, linestyle=dashes)
    name_curves(ax)
    return ax


@read
def name_curves(ax: Axes) -> None:
    """A legend above the axes, in as many columns as have room there, if any curve has a name."""
    if not ax.get_legend_handles_labels()[1]:
        return
    for columns in (3, 2, 1):
        with rc_context(STYLE):
            legend = ax.legend(
                loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=columns, columnspacing=1.0, frameon=False
            )
        if legend.get_window_extent().width < LEGEND * ax.figure.bbox.width:
            return


@read
def circles(centres: Centres, radius: Length, label: str, ax: Axes | None = None, thing: str | None = None) -> Axes:
    """Circles of one radius, as one curve with gaps; for the rest as `curve`.

    `centres` are points [mm], shape (n, 2), or (2,) for one; the radius is in mm.
    """
    around = np.linspace(0, 2 * np.pi, CORNERS + 1)
    edge = np.vstack([radius * np.column_stack([np.cos(around), np.sin(around)]), [[np.nan, np.nan]]])
    return curve((np.reshape(centres, (-1, 1, 2)) + edge).reshape(-1, 2), label, ax, thing)


@read
def dots(points: Rows, words: Sequence[str], ax: Axes | None = None, thing: str = "roller") -> Axes:
    """Points (n, 2), each with a word beside it, in the colour of a thing of `palette.THINGS`."""
    if len(words) != len(points):
        raise ValueError(f"words are {len(words)}, but must be {len(points)}: give one for each point.")
    ax, points = ax or plane(), np.asarray(points)
    ax.scatter(points[:, 0], points[:, 1], color=_colour(thing), zorder=3)
    ax.margins(0.1)  # room for the words
    for (x, y), word in zip(points, words, strict=True):
        ax.annotate(in_figure(word), (x, y), (6, 6), **BESIDE)
    return ax


@read
def drive_picture(drive: Drive, crank: float = 0.0, ax: Axes | None = None) -> Axes:
    """Rollers, disc and centres of a drive at one crank angle [rad]."""
    ax = ax or plane()
    pose = motion.disc_pose(drive, crank)
    disc = pose.centre + motion.turned(outline.polygon(drive, DRAWN_WITHIN), pose.angle)
    edge = palette.DISC.light
    ax.fill(*disc.T, facecolor=(edge, palette.FILLED), edgecolor=edge, linewidth=1.5)
    for x, y in motion.pins(drive):
        ax.add_patch(Circle((x, y), drive.roller_radius, fill=False, edgecolor=palette.ROLLER.light, linewidth=1.5))
    ax.plot(0, 0, "+", color=INK, markersize=10)
    ax.plot(*pose.centre, "x", color=palette.CRANK.light, markersize=8)
    return ax


def parts(drive: Drive) -> Axes:
    """A drive at crank 0 with its parts named."""
    ax = drive_picture(drive)
    circle, roller = drive.pin_circle_radius, drive.roller_radius
    around = np.linspace(0, 2 * np.pi, 200)
    ax.plot(circle * np.cos(around), circle * np.sin(around), ":", color=INK)
    pin = motion.pins(drive)
    tip_at = np.pi / drive.lobes  # half a lobe on from the root on +x
    tip = (circle + drive.eccentricity - roller) * np.array([np.cos(tip_at), np.sin(tip_at)])
    at = {  # what is named, and where in the picture its name stands, in shares of it
        "roller on a ring pin": (pin[drive.pins // 8], (0.98, 0.93)),
        "pin circle": (circle * np.array([np.cos(2.6), np.sin(2.6)]), (0.02, 0.93)),
        "disc": (np.array([-0.45 * circle, -0.3 * circle]), (0.02, 0.05)),
        "root": (np.array([circle - roller, 0.0]), (0.98, 0.40)),
        "tip of\na lobe": (np.add(tip, [drive.eccentricity, 0.0]), (0.98, 0.62)),
        "centres of\nring (+)\nand disc (x)": (np.zeros(2), (0.98, 0.03)),
    }
    ax.margins(x=0.3)
    for words, (point, text_at) in at.items():
        side, look = "left" if text_at[0] < 0.5 else "right", {"arrowstyle": "->", "color": INK}
        ax.annotate(words, point, text_at, textcoords="axes fraction", ha=side, arrowprops=look, **NOTE)
    return ax


@read
def show(ax: Axes, alt: str) -> None:
    """Put a figure into the notebook, with `alt` as its alt text and as its caption.

    `ax` are any axes of the figure; `alt` says what it shows, in a sentence or two.
    """
    display({"text/html": _as_html(ax, alt), "text/plain": plain(alt)}, raw=True)


@read
def show_both(first: Axes, first_alt: str, second: Axes, second_alt: str) -> None:
    """Put two figures into the notebook as `show` does, side by side, on a narrow page one under the other."""
    both = ((first, first_alt), (second, second_alt))
    sides = "".join(f'<div style="flex:1 1 {NARROWEST}px;min-width:0">{_as_html(ax, alt)}</div>' for ax, alt in both)
    page = f'<div style="display:flex;flex-wrap:wrap;gap:1em">{sides}</div>'
    display({"text/html": page, "text/plain": plain(f"{first_alt} {second_alt}")}, raw=True)


def _as_html(ax: Axes, alt: str) -> str:
    """A figure with its words under it; where it is wider than the page, only the picture scrolls."""
    figure = ax.figure
    if not isinstance(figure, Figure):  # a SubFigure can't save itself
        raise TypeError("ax must be in a whole figure, not in a part of one: give axes made with plane().")
    figure.draw_without_rendering()  # equal scales settle here; the next drawing makes room for the ticks they have
    said, data = in_html(alt), quote(as_svg(figure), safe=" ;/:=,()'*!@+~")
    wide = 96 * figure.get_figwidth()  # pixels
    return (
        f'<figure style="margin:0">{AS_THE_PAGE}<div tabindex="0" style="overflow-x:auto">'
        f'<img alt="{said}" class="cyclokit-figure" '
        f'style="width:100%;min-width:{SMALLEST * wide:.0f}px;max-width:{wide:.0f}px" src="data:image/svg+xml,{data}">'
        f"</div><figcaption><em>{said}</em></figcaption></figure>"
    )


@read
def as_svg(figure: Figure) -> str:
    """A figure as SVG: words as text, lengths to a hundredth of a point, with the colours of both pages.

    Its legends lose their boxes, which would hide a dark page. The text is the same every time for the same figure.
    """
    for legend in figure.findobj(Legend):
        legend.set_frame_on(False)
    written = io.StringIO()
    with rc_context(SVG):
        figure.savefig(written, format="svg", transparent=True, metadata=UNTOLD)
    svg = written.getvalue()
    svg = re.sub(r"<[^>]+>", _shorter, svg[svg.index("<svg") :])
    return re.sub(r">\s+<", "><", svg).replace("</style>", f"{_on_dark(svg)}</style>", 1).strip()


def _shorter(tag: re.Match[str]) -> str:
    """An SVG tag with its numbers rounded, and without what is only there for the eye; words stand outside of tags."""
    rounded = re.sub(r"-?\d+\.\d{3,}", lambda number: f"{round(float(number[0]), 2) + 0.0:g}", tag[0])
    level = re.sub(r' transform="rotate\(-?0 [^)]*\)"', "", rounded)  # a turn by nothing
    return re.sub(r"(?<=[A-Z]) (?=-?\d)", "", re.sub(r" ?\n", "", level))


def _on_dark(svg: str) -> str:
    """Rules that give every colour of an SVG its pair where the page is dark; what names no colour is black."""
    named = sorted(set(re.findall(r"(fill|stroke): (#[0-9a-f]{6})", svg)))
    rules = (f'[style*="{kind}: {colour}"]{{{kind}:{palette.for_dark(colour)}!important}}' for kind, colour in named)
    return f"@media(prefers-color-scheme:dark){{svg{{fill:{palette.WORDS.dark}}}{''.join(rules)}}}"


def _colour(thing: str) -> str:
    if thing not in THINGS:
        raise ValueError(f"thing is {thing!r}, but must be one of {', '.join(THINGS)}: choose one of these names.")
    return THINGS[thing].light
