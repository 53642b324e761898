"""What shakes a reducer: its discs cut open along the axis, the plane and the force of each, and the couple."""

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.patches import FancyArrowPatch

from cyclokit.arguments import Floats
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import read
from cyclokit.view import cut, figures, palette, section
from cyclokit.view.cut_shapes import Face

NAMED = {
    "motor shaft": "motor's\nshaft",
    "crank": "crank",
    "crank neck": "neck",
    "crank upper": "upper piece",
    "crank screw": "screw",
    "disc": "disc",
    "second disc": "second disc",
    "third disc": "third disc",
    "eccentric bearing": "bearing",
}
HIGH = 0.5  # of the pin circle radius: how far off the axis the picture reaches
WIDE = 1.75  # times as wide as high
HEIGHTS = {  # of names
    "disc": 0.92,
    "bearing": 0.45,
    "eccentric": 0.2,
    "crank": -0.35,
    "motor's\nshaft": -0.25,
    "upper piece": 0.35,
    "neck": 0.62,
    "screw": 0.1,
}
LONG = 0.33  # of the pin circle radius: the arrow of a disc whose eccentricity lies in the picture's plane
# What the library says to a reader.
ALT = (
    "The discs cut open along the axis, near it: the crank with an eccentric for each, and on that a bearing (hatched) "
    "that carries its disc. A dashed line marks each disc's middle plane, an arrow the force with which it pulls "
    "outwards. {said}"
)
SAID = {
    1: "With one disc the force is alone.",
    2: "The two forces are opposite and lie in two planes, a apart: a bent arrow shows the way in which they tilt all.",
    3: "Only the part of each force that lies in the picture's plane is drawn.",
}


@read
def words(reducer: Reducer) -> str:
    """What `couple` shows, in words."""
    return ALT.format(said=SAID[reducer.discs])


@read
def couple(reducer: Reducer) -> Axes:
    """The cut near the axis, with each disc's middle plane and force, and the couple of two.

    For `figures.show` with `words(reducer)`. The first disc is carried upwards.
    """
    high, middles = HIGH * reducer.drive.pin_circle_radius, cut.middles(reducer)
    offs = cut.offsets(reducer)[:, 0]
    ax = figures.plane("along the axis [mm]", "off the axis [mm]")
    _faces(reducer, ax, high)
    ax.axhline(0, color=figures.INK, lw=0.8, ls="-.")
    long = LONG * reducer.drive.pin_circle_radius / reducer.drive.eccentricity
    for place, off in zip(middles, offs, strict=True):
        ax.plot([place, place], [-0.95 * high, 0.95 * high], color=figures.WORDS, lw=1.2, ls="--", gid="plane")
        look = figures.ARROW | {"color": palette.FORCE.light, "linewidth": 3}
        ax.annotate("", (place, off + long * off), (place, off), arrowprops=look)
        _say(ax, "force", (place, off + long * off), (12 if place == middles[-1] else -52, -4), palette.FORCE.light)
    if reducer.discs == 2:
        _couple(ax, middles, high)
    width = WIDE * high
    ax.set(xlim=(float(middles.mean()) - width, float(middles.mean()) + width), ylim=(-high, high))
    ax.set_aspect("equal", adjustable="box")
    return ax


def _faces(reducer: Reducer, ax: Axes, high: float) -> None:
    """What the cut leaves of discs, bearings and crank, each part named once."""
    middle, spots = float(cut.middles(reducer).mean()), {}
    for face in cut.faces(reducer):
        if face.part not in NAMED:
            continue
        section.draw(face, ax, hatched=face.part.endswith("bearing"))
        low, under, high_end, over = face.shape.bounds
        below = face.part in ("second disc", "third disc")
        if face.part not in spots and not face.ball and (over <= 0) == below:
            spots[face.part] = ((low + high_end) / 2, float(np.clip((under, over), -0.9 * high, 0.9 * high).mean()))
        if face.part == "crank":
            spots |= {"crank": _near_its_end(face), "eccentric": _on_an_eccentric(reducer)}
    for part, place in spots.items():
        name, left = NAMED.get(part, part), place[0] <= middle
        at = (middle + (-0.6 if left else 0.52) * WIDE * high, HEIGHTS.get(name, -0.75) * high)
        look = {"arrowstyle": "-", "color": figures.WORDS, "lw": 0.8}
        ax.annotate(name, place, at, va="center", ha="right" if left else "left", arrowprops=look, **figures.NOTE)
        ax.plot(*place, ".", color=figures.WORDS, markersize=4)


def _near_its_end(face: Face) -> tuple[float, float]:
    """A place on the crank under the axis, near its output end, beside the bore for the motor's shaft."""
    end = 0.1 * face.shape.bounds[0] + 0.9 * face.shape.bounds[2]
    met = face.shape.intersection(shapely.LineString([(end, 0.0), (end, face.shape.bounds[1])]))
    return end, 0.9 * met.bounds[1]


def _on_an_eccentric(reducer: Reducer) -> tuple[float, float]:
    """A place on the first eccentric, above the axis."""
    radius = reducer.eccentric_bearing.bore_diameter / 2
    return float(cut.middles(reducer)[0]), float(cut.offsets(reducer)[0, 0]) + 0.85 * radius


def _couple(ax: Axes, middles: Floats, high: float) -> None:
    """The distance between the planes, and a bent arrow for the way in which two opposite forces tilt."""
    one, other = (float(place) for place in middles)
    look = figures.ARROW | {"arrowstyle": "<->", "color": figures.WORDS, "linewidth": 1.2}
    ax.annotate("", (other, -0.88 * high), (one, -0.88 * high), arrowprops=look)
    _say(ax, "a", ((one + other) / 2, -0.88 * high), (-4, 4), figures.WORDS)
    reach = 0.62 * high
    bent = FancyArrowPatch(
        (other + 0.5 * reach, reach * 1.3), (other + 1.3 * reach, 0.25 * reach), connectionstyle="arc3,rad=-0.35",
        arrowstyle="-|>", mutation_scale=18, lw=2.5, color=palette.CENTRE_PATH.light,
    )  # fmt: skip
    ax.add_patch(bent)
    _say(ax, "couple", (other + 1.2 * reach, 0.95 * reach), (0, 4), palette.CENTRE_PATH.light)


def _say(ax: Axes, said: str, at: tuple[float, float], beside: tuple[float, float], colour: str) -> None:
    ax.annotate(said, at, beside, **figures.BESIDE | {"color": colour, "weight": "bold"})
