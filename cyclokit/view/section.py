"""A reducer cut open along its axis, true to scale, beside its face: what stands beside what, and which way it is off.

Faces are hatched, shafts, rods and balls are not (ISO 128-3, from memory). Parts are numbered, with a list.
"""

import math

import numpy as np
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Polygon

from cyclokit.arguments import Floats
from cyclokit.geometry import motion, outline
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.view import cut, figures, palette

PARTS = {  # in the order of their numbers: the colour of each, and how it is hatched; shafts, rods and balls are not
    "crank": (palette.CRANK, ""),
    "eccentric": (palette.CRANK, "xxxx"),
    "bearing on the eccentric": (palette.CENTRE_PATH, "||||"),
    "disc": (palette.DISC, "////"),
    "second disc": (palette.DISC, "\\\\\\\\"),
    "third disc": (palette.DISC, "////"),
    "roller on a ring pin": (palette.ROLLER, "||||"),
    "rod of a ring pin": (palette.ROLLER, ""),
    "output roller": (palette.ROLLER, "xxxx"),
    "rod of an output roller": (palette.ROLLER, ""),
    "output plate": (palette.LINE, "////"),
    "housing": (palette.LINE, "\\\\\\\\"),
    "bearing of the crank": (palette.CENTRE_PATH, "||||"),
    "spacer": (palette.LINE, "xxxx"),
    "ball": (palette.CENTRE_PATH, ""),
}
WIDTH, LEFT, LIST = 7.4, 0.75, 1.85  # inches: of the picture, left of the axes, and under them for the list of parts
ROW, SMALL = 0.23, 11.0  # inches between the list's rows, points of its letters
COLUMNS = 3
BELOW = {"second disc", "third disc", "rod of a ring pin", "rod of an output roller", "spacer", "bearing of the crank"}
DASHES = ("-", "--", ":")  # of the discs, from the front
# What the library says to a reader.
ALT = (
    "Left, the machine cut open along its axis, true to scale, output side left, motor side right: {parts}. {off} "
    "Right, the same machine seen from its output side, the output plate taken off, its crank pointing "
    "up; the cut goes along the upright dash-dotted line."
)
OFF = {
    1: "The disc is off the axis by {e:g} mm, upwards.",
    2: "The first disc is off the axis by {e:g} mm upwards, the second by as much downwards.",
    3: "The first disc is off the axis by {e:g} mm upwards, the two others by half as much downwards.",
}


def numbered(reducer: Reducer) -> dict[str, int]:
    """The parts that the cut shows, each with its number in the picture."""
    shown = {face.part for face in cut.faces(reducer)} - {"ball"}
    return {part: number for number, part in enumerate((part for part in PARTS if part in shown), start=1)}


def words(reducer: Reducer) -> str:
    """What `beside_face` shows, in words: the parts with their numbers, and which way each disc is off."""
    parts = ", ".join(f"{number} {part}" for part, number in numbered(reducer).items())
    return ALT.format(parts=parts, off=OFF[reducer.discs].format(e=reducer.drive.eccentricity))


def beside_face(reducer: Reducer) -> Axes:
    """The cut, beside the face of the machine: both true to one scale, at one height, with numbered parts.

    Parameters
    ----------
    reducer : Reducer
        The machine.

    Returns
    -------
    Axes
        Those of the cut, for `figures.show` with `words(reducer)`.

    Raises
    ------
    TypeError
        If `reducer` is no Reducer.
    """
    made = cut.faces(reducer)
    half = 1.12 * space.outer_diameter(reducer) / 2
    left, right = min(face.corners[:, 0].min() for face in made), max(face.corners[:, 0].max() for face in made)
    margin = 0.36 * half  # for the numbers
    span = right - left + 2 * margin
    mm = (WIDTH - LEFT) / (span + 2 * half)  # in the picture [inches]
    width, height = WIDTH, 2 * half * mm + LIST
    with rc_context(figures.STYLE | {"hatch.linewidth": 0.5, "axes.grid": False}):
        figure = Figure(figsize=(width, height))
        tall = LIST / height, span * mm / width, 2 * half * mm / height
        opened = figure.add_axes((LEFT / width, tall[0], tall[1], tall[2]))
        face = figure.add_axes((LEFT / width + tall[1], tall[0], 2 * half * mm / width, tall[2]))
    for ax, (low, high), label in (
        (opened, (left - margin, right + margin), "along the axis [mm]"),
        (face, (-half, half), "across [mm]"),
    ):
        ax.set(xlim=(low, high), ylim=(-half, half), xlabel=label)
        for side in ("top", "right"):
            ax.spines[side].set_visible(False)
    for at, side in ((left - 0.9 * margin, "output side"), (right + 0.9 * margin, "motor side")):
        align = "left" if at < 0 else "right"
        opened.text(at, -0.96 * half, side, color=figures.WORDS, size=SMALL, ha=align)
    opened.set_ylabel("off the axis [mm]")
    face.spines["left"].set_visible(False)
    face.set_yticks([])
    _draw(made, reducer, opened)
    _number(made, reducer, opened, (left - 0.7 * margin, right + 0.7 * margin))
    _draw_face(reducer, face)
    _list(numbered(reducer), figure)
    return opened


def _draw(made: list[cut.Face], reducer: Reducer, ax: Axes) -> None:
    """The faces, hatched, and the centre lines of machine, discs, pins and output rollers."""
    for part, corners in made:
        paint, hatch = PARTS[part]
        filled = (paint.light, palette.FILLED)
        ax.add_patch(Polygon(corners, facecolor=filled, edgecolor=paint.light, lw=0.8, gid=part))
        if hatch:  # by itself: in SVG it would be as see-through as the filling
            ax.add_patch(Polygon(corners, facecolor="none", edgecolor=paint.light, lw=0, hatch=hatch))
    drive, (left, right) = reducer.drive, cut.inside(reducer)
    thick = reducer.crank_bearing.width
    for height in (0.0, drive.pin_circle_radius, reducer.output_circle_radius):
        for side in (height, -height):
            ax.plot([left - 1.6 * thick, right + 1.6 * thick], [side, side], color=figures.INK, lw=0.8, ls="-.")
    for disc, place in enumerate(cut.middles(reducer)):
        off, half = cut.offsets(reducer)[disc][0], reducer.disc_thickness
        ax.plot(
            [place - half / 2, place + half / 2], [off, off], color=palette.CRANK.light, lw=1.5, gid=f"middle {disc}"
        )


def _number(made: list[cut.Face], reducer: Reducer, ax: Axes, columns: tuple[float, float]) -> None:
    """A number for each part, in two columns beside the cut, with a line to one of its faces."""
    spots = {}
    for part in numbered(reducer):
        mine = [face.corners for face in made if face.part == part]
        way = -1 if part in BELOW else 1
        largest = max(mine, key=lambda corners: (round(float(np.ptp(corners, axis=0).prod()), 3), way * corners[0, 1]))
        spots[part] = largest.mean(axis=0)
    middle = float(np.mean(cut.middles(reducer)))
    for column, left in zip(columns, (True, False), strict=True):
        beside = sorted((*spot[::-1], part) for part, spot in spots.items() if (spot[0] < middle) == left)
        heights = np.linspace(-0.78, 0.9, len(beside)) * ax.get_ylim()[1]
        for (y, x, part), height in zip(beside, heights, strict=True):
            ax.annotate(
                str(numbered(reducer)[part]),
                (x, y),
                xytext=(column, height),
                color=figures.WORDS,
                ha="center",
                va="center",
                size=figures.STYLE["font.size"],
                arrowprops={"arrowstyle": "-", "color": figures.WORDS, "lw": 0.7},
            )
            ax.plot(x, y, ".", color=figures.WORDS, markersize=4)


def _list(parts: dict[str, int], figure: Figure) -> None:
    """The list of parts under the picture."""
    rows = -(-len(parts) // COLUMNS)
    for place, (part, number) in enumerate(parts.items()):
        column, row = divmod(place, rows)
        at = 0.02 + column / COLUMNS, (LIST - 0.75 - ROW * row) / figure.get_figheight()
        figure.text(*at, f"{number}  {part}", color=figures.WORDS, size=SMALL)


def _draw_face(reducer: Reducer, ax: Axes) -> None:
    """The machine seen along its axis, its crank pointing up."""
    drive = reducer.drive

    def up(points: Floats) -> Floats:
        """Turned by a quarter: the picture's crank at 0 points up."""
        return motion.turned(points, math.pi / 2)

    def round_one(at: Floats, radius: float, paint: palette.Paint, filled: float = 0.0, dashes: str = "-") -> None:
        colour = paint.light
        ax.add_patch(Circle(tuple(up(at)), radius, facecolor=(colour, filled), edgecolor=colour, lw=1.2, ls=dashes))

    outside = space.outer_diameter(reducer) / 2
    for radius in (outside, outside - reducer.housing_wall + reducer.running_gap):
        round_one(np.zeros(2), radius, palette.LINE)
    for pin in motion.pins(drive):
        round_one(pin, drive.roller_radius, palette.ROLLER)
        round_one(pin, reducer.pin_rod_radius, palette.ROLLER, palette.FILLED)
    turn = 2 * math.pi * (reducer.hole_phase / drive.lobes + np.arange(reducer.output_rollers) / reducer.output_rollers)
    rollers = reducer.output_circle_radius * np.column_stack([np.cos(turn), np.sin(turn)])
    for disc in reversed(range(reducer.discs)):
        pose = motion.disc_pose(drive, 2 * math.pi * disc / reducer.discs)
        edge = up(pose.centre + motion.turned(outline.polygon(reducer.disc_drive, figures.DRAWN_WITHIN), pose.angle))
        filled = palette.FILLED if disc == 0 else 0.0
        ax.fill(
            *edge.T,
            facecolor=(palette.DISC.light, filled),
            edgecolor=palette.DISC.light,
            lw=1.2,
            ls=DASHES[disc],
            gid=f"{cut.DISCS[disc]} from the front",
        )
        for roller in rollers:
            round_one(pose.centre + roller, reducer.hole_radius, palette.DISC, dashes=DASHES[disc])
    for roller in rollers:
        round_one(roller, reducer.output_roller_radius, palette.ROLLER, palette.FILLED)
    off = np.array([drive.eccentricity, 0.0])
    round_one(off, reducer.bore_radius, palette.CENTRE_PATH)
    round_one(off, reducer.eccentric_bearing.bore_diameter / 2, palette.CRANK, palette.FILLED)
    round_one(np.zeros(2), reducer.shaft_radius, palette.CRANK, palette.FILLED)
    ax.axvline(0, color=figures.INK, lw=0.8, ls="-.")
    ax.axhline(0, color=figures.INK, lw=0.8, ls="-.")
