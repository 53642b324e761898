"""Still pictures with Matplotlib: curves in mm, a drive, a drive with its parts named.

Functions that draw take `ax=None`, draw only on it and return it. `show` puts a finished figure
into the notebook with its alt text, and with the same words under it as a caption.
"""

import io
from typing import Any

import numpy as np
from IPython.display import HTML, Image, display
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle
from matplotlib.patheffects import withStroke
from matplotlib.text import Text

from cyclokit.arguments import Floats
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline
from cyclokit.texts import in_figure, in_html, plain

# Okabe-Ito, in an order in which neighbours also differ in lightness; each goes with its own dashes
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#767676")
DASHES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)))
INK = "#767676"  # of lines: 3 : 1 against a white page and a dark one
# Of words, and of the rim that `show` puts round them: no one colour has 4.5 : 1 against both pages. On a white page
# the rim is not seen; on a dark one it carries the words.
WORDS, AROUND = "#1f1f1f", "#ffffff"
RIM = 4.0  # points, half of it on either side of a letter's edge
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
    "legend.framealpha": 0.0,
    "font.size": 12.0,
}
DRAWN_WITHIN = 0.02  # mm: what an outline may depart by in a picture


def plane(x_label: str = "x [mm]", y_label: str = "y [mm]", equal: bool = True) -> Axes:
    """Empty axes with labels; `equal` gives both the same scale, as lengths in a plane need."""
    with rc_context(STYLE):
        ax = Figure(figsize=(6.4, 4.8), layout="constrained").add_subplot()
        ax.set_xlabel(x_label)
        ax.set_ylabel(y_label)
        ax.grid(True)
        if equal:
            ax.set_aspect("equal", adjustable="datalim")
    return ax


def curve(points: Floats, label: str, ax: Axes | None = None) -> Axes:
    """A curve through points (n, 2), in the next colour and dashes, named in the legend."""
    ax = ax or plane()
    number = len(ax.get_lines())
    colour, dashes = COLOURS[number % len(COLOURS)], DASHES[number % len(DASHES)]
    ax.plot(points[:, 0], points[:, 1], label=in_figure(label), linewidth=2, color=colour, linestyle=dashes)
    with rc_context(STYLE):
        long = sum(len(str(line.get_label())) for line in ax.get_lines()) > 45
        ax.legend(loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=2 if long else 3)
    return ax


def dots(points: Floats, words: list[str], ax: Axes | None = None) -> Axes:
    """Points (n, 2), each with a word beside it."""
    ax = ax or plane()
    ax.scatter(points[:, 0], points[:, 1], color=COLOURS[1], zorder=3)
    ax.margins(0.1)  # room for the words
    for (x, y), word in zip(points, words, strict=True):
        ax.annotate(in_figure(word), (x, y), xytext=(6, 6), textcoords="offset points", color=WORDS)
    return ax


def drive_picture(drive: Drive, crank: float = 0.0, ax: Axes | None = None) -> Axes:
    """Rollers, disc and centres of a drive at one crank angle [rad]."""
    ax = ax or plane()
    pose = motion.disc_pose(drive, crank)
    disc = pose.centre + motion.turned(outline.polygon(drive, DRAWN_WITHIN), pose.angle)
    ax.fill(disc[:, 0], disc[:, 1], facecolor=COLOURS[0] + "38", edgecolor=COLOURS[0], linewidth=1.5)
    for x, y in motion.pins(drive):
        ax.add_patch(Circle((x, y), drive.roller_radius, fill=False, edgecolor=COLOURS[1], linewidth=1.5))
    ax.plot(0, 0, "+", color=INK, markersize=10)
    ax.plot(*pose.centre, "x", color=COLOURS[2], markersize=8)
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
    at = {
        "roller on a ring pin": (pin[drive.pins // 8], (0.70, 0.93)),
        "pin circle": (circle * np.array([np.cos(2.6), np.sin(2.6)]), (0.02, 0.93)),
        "disc": (np.array([-0.45 * circle, -0.3 * circle]), (0.02, 0.05)),
        "root": (np.array([circle - roller, 0.0]), (0.88, 0.38)),
        "tip of a lobe": (np.add(tip, [drive.eccentricity, 0.0]), (0.82, 0.66)),
        "ring's centre (+) and\ndisc's centre (x)": (np.zeros(2), (0.68, 0.03)),
    }
    ax.margins(x=0.3)
    for words, (point, text_at) in at.items():
        ax.annotate(
            words,
            point,
            xytext=text_at,
            textcoords="axes fraction",
            color=WORDS,
            arrowprops={"arrowstyle": "->", "color": INK},
        )
    return ax


def show(ax: Axes, alt: str) -> None:
    """Put a figure into the notebook, with `alt` as its alt text and as its caption.

    Parameters
    ----------
    ax : Axes
        Any axes of the figure.
    alt : str
        What the figure shows, in a sentence or two.
    """
    picture = io.BytesIO()
    figure = ax.figure
    assert isinstance(figure, Figure)  # plane() made it; a SubFigure can't save itself
    figure.draw_without_rendering()  # all words of the ticks are there after that
    for words in figure.findobj(Text):
        words.set_path_effects([withStroke(linewidth=RIM, foreground=AROUND)])
    figure.savefig(picture, format="png", dpi=110, transparent=True, metadata={"Software": None})
    display(Image(picture.getvalue(), alt=plain(alt), metadata={"alt": plain(alt)}))
    display(HTML(f"<p><em>{in_html(alt)}</em></p>"))
