"""A reducer cut open along its axis, true to scale, and its face beside it: what stands where, and which way it is off.

Cut faces are hatched, neighbours in different directions; shafts, rods, screws, nuts and balls are not, nor is the
motor, which is bought whole (ISO 128-3, from memory). Parts are numbered, with a list.
"""

import io
from functools import partial
from itertools import pairwise
from typing import Annotated, NamedTuple

import numpy as np
import shapely
from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.textpath import TextPath
from shapely import Polygon

from cyclokit.arguments import Floats, checked_choice
from cyclokit.machine import bench, space
from cyclokit.machine.layout import LEVER
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import read
from cyclokit.texts import in_html, plain
from cyclokit.view import cut, figures, palette
from cyclokit.view.cut_shapes import Face
from cyclokit.view.leaders import leaders

KINDS = ("svg", "pdf")  # of a file of its own
Kind = Annotated[str, partial(checked_choice, allowed=KINDS)]
TURNS, SHADE = palette.WORDS, 0.42  # of what turns with the output, darker filled too; what stands still is LINE
# What each part is drawn in, how it is hatched, neighbours never alike, and what the words say after its name.
LOOKS = {
    "motor": (palette.LINE, "", ""),
    "motor shaft": (palette.CRANK, "", ""),
    "motor screw": (palette.LINE, "", ""),
    "motor plate": (palette.LINE, "///", ""),
    "ring plate": (palette.LINE, "\\\\\\", ""),
    "cover": (palette.LINE, "///", ""),
    "cover screw": (palette.LINE, "", ""),
    "nut": (palette.LINE, "", ""),
    "insert": (palette.LINE, "|||||", "melted in"),
    "crank": (palette.CRANK, "////", "with its eccentrics"),
    "crank upper": (palette.CRANK, "----", "its upper piece"),
    "crank neck": (palette.CRANK, "\\\\\\\\\\", "a ring between its pieces"),
    "crank screw": (palette.LINE, "", ""),
    "crank bush": (palette.CRANK, "\\\\\\\\\\", "a spacer"),
    "crank bearing": (palette.CENTRE_PATH, "|||||", ""),
    "eccentric bearing": (palette.CENTRE_PATH, "|||||", "in its disc"),
    "disc": (palette.DISC, "////", ""),
    "second disc": (palette.DISC, "\\\\\\\\", ""),
    "third disc": (palette.DISC, "////", ""),
    "ring rod": (palette.ROLLER, "", "of a ring pin"),
    "ring roller": (palette.ROLLER, "|||||", "on a ring pin"),
    "ring sleeve": (palette.ROLLER, "|||||", "roller on a ring pin"),
    "ring bush": (palette.ROLLER, "\\\\\\\\\\", "a spacer"),
    "output rod": (palette.ROLLER, "", ""),
    "output roller": (palette.ROLLER, "|||||", ""),
    "output sleeve": (palette.ROLLER, "|||||", "output roller"),
    "output bush": (palette.ROLLER, "\\\\\\\\\\", "a spacer"),
    "output collar": (palette.ROLLER, "/////", "at a rod's free end"),
    "second plate": (TURNS, "////", "for the rods' other ends"),
    "flange": (TURNS, "////", "the output plate"),
    "output bearing": (palette.CENTRE_PATH, "|||||", ""),
    "hub spacer": (TURNS, "\\\\\\\\\\", ""),
    "cap": (TURNS, "\\\\\\\\", ""),
    "cap screw": (palette.LINE, "", ""),
}
OTHER = (palette.LINE, "---", "")
WIDTH = 6.0  # inches
LEFT, FOOT, TOP, MARGIN = 0.78, 0.5, 0.05, 0.18  # inches left of the axes, under, above and right of them
SIDE, ABOVE, BELOW = 0.4, 0.4, 0.75  # inches in the axes beside, above and under what is drawn: numbers, measures
LIST, ROW, SMALL = 1.75, 0.2, 11.0  # inches of the list's width, from row to row, and points of its letters
APART = 0.22  # inches from number to number
BESIDE = 0.03  # inches between a measure's number and the line at its end
STEP = 1.5  # mm between places where a leader may start
DEEP = 0.5  # of the way from a face's edge to its roomiest place: a leader starts no nearer to the edge
RIM = 1.04  # times the machine's radius that its face takes
PAGE = (  # under a picture that is a page of its own
    f"<style>svg{{background:{palette.PAGE.light}}}"
    f"@media(prefers-color-scheme:dark){{svg{{background:{palette.PAGE.dark}}}}}</style>"
)
# What the library says to a reader.
ALT = (
    "The machine cut open along its axis, true to scale, motor left, output right, lengths along the axis measured "
    "from the motor's face: {parts}. {off} {turned} {left_out}"
)
ALONE = (
    "The discs cut open along the axis, true to scale, alone with their bearings and the crank, for this reducer can't "
    "be built as a bench machine ({why}): {parts}. {off}"
)
OFF = {
    1: "The disc is off the axis by {e:g} mm, upwards.",
    2: "The first disc, nearer to the motor, is off the axis by {e:g} mm upwards, the second by as much downwards.",
    3: "The first disc, next to the motor, is off the axis by {e:g} mm upwards, the two others by half as much "
    "downwards.",
}
TURNED = (
    "As drawings do, some parts are turned into the plane of the cut: the output, so that a rod lies above the axis, "
    "and below it the screws of motor and cover."
)
LEFT_OUT = "Not drawn are the discs' witness marks, and the lever, which is put on for tests alone."
NO_MACHINE = "alone: can't be built\nas a bench machine"


@read
def numbered(reducer: Reducer) -> dict[str, int]:
    """The parts that the cut shows, each with its number in the picture."""
    return _numbered(cut.faces(reducer))


def _numbered(made: list[Face]) -> dict[str, int]:
    shown = dict.fromkeys(face.part for face in made)
    known = [part for part in LOOKS if part in shown]
    return {part: number for number, part in enumerate((*known, *(part for part in shown if part not in LOOKS)), 1)}


@read
def words(reducer: Reducer) -> str:
    """What `axial` shows, in words: the parts with their numbers, and which way each disc is off."""
    parts = ", ".join(f"{number} {_listed(part)}" for part, number in numbered(reducer).items())
    off = OFF[reducer.discs].format(e=reducer.drive.eccentricity)
    why = bench.hindrance(reducer)
    if why:
        return ALONE.format(why=plain(why).partition(". ")[0].rstrip("."), parts=parts, off=off)
    return ALT.format(parts=parts, off=off, turned=TURNED, left_out=LEFT_OUT)


def _listed(part: str) -> str:
    """A part's name, and what it is, where the name alone doesn't say it."""
    explained = LOOKS.get(part, OTHER)[2]
    return f"{part} ({explained})" if explained else part


@read
def axial(reducer: Reducer) -> Axes:
    """The cut along the axis, with numbered parts, a list of them, and measures along the axis.

    For `figures.show` with `words(reducer)`. Of a reducer that can't be built as a bench machine: discs, bearings and
    crank.
    """
    made, frame = cut.faces(reducer), framed(reducer)
    side = SIDE / frame.scale
    ax = frame.axes(frame.left - side, frame.right + side, "along the axis [mm]")
    ax.set_xticks([tick for tick in ax.get_xticks() if frame.left <= tick <= frame.right])  # else one is in the list
    for face in made:
        draw(face, ax)
    _centre_lines(made, reducer, ax)
    _measure(made, reducer, frame, ax)
    _number(made, frame, ax)
    rows = [f"{number}  {part}" for part, number in _numbered(made).items()]
    for row, text in enumerate(rows if cut.plan_of(reducer) else [*rows, "", NO_MACHINE], start=1):
        at = ax.get_position().x1 + 0.05 / WIDTH, 1 - (TOP + ROW * row) / frame.height
        ax.figure.text(*at, text, color=figures.WORDS, size=SMALL)
    return ax


@read
def as_file(reducer: Reducer, kind: Kind) -> bytes:
    """The section as a file of its own, with its words as the title.

    `kind` is "svg", in the colours of light and dark pages, or "pdf"; the bytes are the same every time.
    """
    figure, said = axial(reducer).figure, words(reducer)
    assert isinstance(figure, Figure)  # a whole one, as `axial` makes it
    if kind == "svg":
        return figures.as_svg(figure).replace("><", f"><title>{in_html(said)}</title>{PAGE}<", 1).encode()
    written = io.BytesIO()
    told = {"Title": plain(said), "CreationDate": None, "Creator": None, "Producer": None}
    figure.savefig(written, format="pdf", metadata=told)
    return written.getvalue()


class _Frame(NamedTuple):
    """What cut and face have in common: the drawing's ends [mm], its scale, the picture's height [inches]."""

    left: float
    right: float
    half: float
    scale: float
    height: float

    @property
    def up(self) -> tuple[float, float]:
        """From where to where off the axis [mm]."""
        return -self.half - BELOW / self.scale, self.half + ABOVE / self.scale

    def axes(self, low: float, high: float, label: str) -> Axes:
        """Empty axes of a picture of their own, true to scale, from low to high [mm]."""
        with rc_context(figures.STYLE | {"hatch.linewidth": 0.5, "axes.grid": False}):
            figure = Figure(figsize=(WIDTH, self.height))
            wide, tall = self.scale * (high - low), self.scale * (self.up[1] - self.up[0])
            under = self.height - TOP - tall
            places = LEFT / WIDTH, under / self.height, wide / WIDTH, tall / self.height
            ax = figure.add_axes(places)
        ax.set(xlim=(low, high), ylim=self.up, xlabel=label, ylabel="off the axis [mm]")
        ax.set_yticks([tick for tick in ax.get_yticks() if abs(tick) <= self.half])
        if self.half >= 100:
            ax.yaxis.labelpad = 2.0  # points: ticks of three digits and a sign are wide
        for side in ("top", "right"):
            ax.spines[side].set_visible(False)
        return ax


@read
def framed(reducer: Reducer) -> _Frame:
    """One scale for the cut with its list and for the face."""
    made, plan = cut.faces(reducer), cut.plan_of(reducer)
    left, low, right, high = shapely.total_bounds([face.shape for face in made])
    over = plan.diameter_over_lugs if plan else space.outer_diameter(reducer)
    half = max(-low, high, over / 2)
    scale = min((WIDTH - LEFT - 2 * SIDE - LIST) / (right - left), (WIDTH - LEFT - MARGIN) / (2 * RIM * half))
    rows = len(_numbered(made)) + (1 if plan else 4)
    tall = max(2 * half * scale + ABOVE + BELOW, ROW * rows)
    return _Frame(left, right, half, scale, tall + FOOT + TOP)


@read
def draw(face: Face, ax: Axes, hatched: bool = True) -> None:
    """Draw a face in its part's colour, hatched if its kind is."""
    paint, hatch, _ = LOOKS.get(face.part, OTHER)
    rings = [face.shape.exterior, *face.shape.interiors]
    path = Path.make_compound_path(*(Path(np.array(ring.coords), closed=True) for ring in rings))
    filled = (paint.light, SHADE if paint == TURNS else palette.FILLED)
    ax.add_patch(PathPatch(path, facecolor=filled, edgecolor=paint.light, lw=0.8, gid=face.part))
    if hatch and hatched and not face.ball:  # by itself: in SVG it would be as see-through as the filling
        ax.add_patch(PathPatch(path, facecolor="none", edgecolor=paint.light, lw=0, hatch=hatch))


def _centre_lines(made: list[Face], reducer: Reducer, ax: Axes) -> None:
    """Centre lines of the machine, of rods, screws and feet, and of each disc, which is off the axis."""
    left, _, right, _ = shapely.total_bounds([face.shape for face in made])
    lines = [(left, 0.0, right, 0.0)]
    lines += [face.shape.bounds for face in made if face.part.endswith(("rod", "screw"))]
    if plan := cut.plan_of(reducer):
        lines.append((0.0, plan.foot_circle, plan.plate_top, plan.foot_circle))
    for low, under, high, over in lines:
        middle = (under + over) / 2
        ax.plot([low - 2, high + 2], [middle, middle], color=figures.INK, lw=0.8, ls="-.", gid="centre line")
    half = reducer.disc_thickness / 2
    for disc, (place, off) in enumerate(zip(cut.middles(reducer), cut.offsets(reducer)[:, 0], strict=True)):
        ax.plot([place - half, place + half], [off, off], color=palette.CRANK.light, lw=1.5, gid=f"middle {disc}")


def _measure(made: list[Face], reducer: Reducer, frame: _Frame, ax: Axes) -> None:
    """Measures along the axis: plate, ring, cover and lever's seat, and the whole; without a machine, of the discs."""
    plan, discs = cut.plan_of(reducer), [face.shape for face in made if face.part in cut.DISCS]
    low, _, high, _ = shapely.total_bounds(discs)
    heights = [low, high]
    if plan:
        heights = [0.0, plan.plate_top, plan.cover_bottom, plan.housing_top, plan.cap_top + LEVER]
    look = figures.ARROW | {"arrowstyle": "<->", "color": figures.INK, "linewidth": 0.8, "mutation_scale": 7}

    def _line(one: float, other: float, row: float) -> None:
        y = -frame.half - row * BELOW / frame.scale
        for at in (one, other):
            sides = [face.shape.bounds for face in made]
            low = min(under for left, under, right, _ in sides if np.isclose(at, (left, right)).any())
            ax.plot([at, at], [low - 1, y - 0.8], color=figures.INK, lw=0.6, gid="extension")
        ax.annotate("", (other, y), (one, y), arrowprops=look)
        said = f"{other - one:.4g}"
        wide, near = TextPath((0, 0), said, size=SMALL).get_extents().width / 72 / frame.scale, BESIDE / frame.scale
        at, side = (one + other) / 2, "center"
        if wide + 2 * near > other - one:  # outside, where the lines at both ends leave it no room
            at, side = (one - near, "right") if one == heights[0] else (other + near, "left")
        ax.text(at, y, said, ha=side, va="bottom", color=figures.WORDS, size=SMALL)

    for one, other in pairwise(heights) if plan else ():
        _line(one, other, 0.45)
    _line(heights[0], heights[-1], 0.9)


def _number(made: list[Face], frame: _Frame, ax: Axes) -> None:
    """A number for each part, round the cut, with a line to one of its faces."""
    parts = _numbered(made)
    spots = [_spots([face.shape for face in made if face.part == part and not face.ball]) for part in parts]
    for number, ends in zip(parts.values(), leaders(spots, _places(frame)), strict=True):
        start, end = ((float(x), float(y)) for x, y in ends)
        look = figures.ARROW | {"arrowstyle": "-", "color": figures.WORDS, "linewidth": 0.7}
        ax.annotate(str(number), start, end, color=figures.WORDS, ha="center", va="center", size=SMALL, arrowprops=look)
        ax.plot(*start, ".", color=figures.WORDS, markersize=4)


def _spots(shapes: list[Polygon]) -> Floats:
    """Where on its faces a part's leader may start (n, 2)."""
    found = [np.array([[one.representative_point().x, one.representative_point().y] for one in shapes])]
    for one in shapes:
        low, under, high, over = one.bounds
        points = np.stack(np.meshgrid(np.arange(low, high, STEP), np.arange(under, over, STEP)), axis=-1).reshape(-1, 2)
        deep = one.buffer(-DEEP * shapely.length(shapely.maximum_inscribed_circle(one, 0.1)))
        found.append(points[shapely.contains_xy(deep, points)])
    return np.vstack(found)


def _places(frame: _Frame) -> Floats:
    """Where numbers may stand (n, 2): in a row above the cut, and in a column on either side."""
    apart, beside = APART / frame.scale, 0.55 * SIDE / frame.scale
    along = np.arange(frame.left, frame.right, apart)
    up = np.arange(-frame.half, frame.half + apart, apart)
    columns = [np.column_stack([np.full_like(up, at), up]) for at in (frame.left - beside, frame.right + beside)]
    return np.vstack([np.column_stack([along, np.full_like(along, frame.half + 0.6 * ABOVE / frame.scale)]), *columns])
