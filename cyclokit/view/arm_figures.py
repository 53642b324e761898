"""Still pictures of lever arms: a lever on two posts, lines and pushes of pins, a bent piece of a pin."""

import math
from collections.abc import Iterable

import numpy as np
from matplotlib.axes import Axes

from cyclokit.arguments import checked_count, checked_kind
from cyclokit.drive import Drive
from cyclokit.geometry import motion
from cyclokit.mechanics import sharing
from cyclokit.signatures import Length, read
from cyclokit.view import figures, palette
from cyclokit.view.figures import NOTE

HEAD = figures.ARROW | {"mutation_scale": 16, "linewidth": 2.2, "color": palette.FORCE.light}
WAY = figures.ARROW | {"arrowstyle": "<->", "color": figures.INK, "linewidth": None}
TURNED = 0.2  # rad: by how much the lever is drawn turned, so that it is seen
LONGEST = 0.35  # of the pin circle's radius: the arrow of the hardest push
BENT, OPEN = 2.5, 0.5  # of the diameter: the radius of a bent piece; rad: its half, either side of the middle


@read
def lever(near: Length, far: Length) -> Axes:
    """A stiff lever that is turned against two posts: how far each is pressed in, and how hard it pushes back.

    `near` and `far` are the posts' distances from the pivot [mm]. The turn is drawn much larger than it is; the forces'
    arrows are in proportion to each other.
    """
    far, near = max(near, far), min(near, far)
    ax = figures.plane("distance from the pivot [mm]", "", equal=False)
    tip, slope = 1.25 * far, math.tan(TURNED)
    ax.plot([0, tip], [0, 0], linestyle="--", color=figures.INK, linewidth=1.5)
    ax.plot([0, tip], [0, -slope * tip], color=palette.DISC.light, linewidth=5)
    ax.plot(0, 0, "o", color=palette.CRANK.light, markersize=10, zorder=3)
    floor = -0.55 * far
    for arm, name in ((near, "1"), (far, "2")):
        pressed = -slope * arm
        zigzag = arm + 0.03 * far * np.array([0, 0, 1, -1, 1, -1, 1, -1, 0, 0])
        ax.plot(zigzag, np.linspace(floor, pressed, 10), color=palette.ROLLER.light, linewidth=2)
        push = 0.5 * arm
        ax.annotate("", (arm, pressed + push), (arm, pressed), arrowprops=HEAD)
        ax.annotate(f"$F_{name}$", (arm + 0.03 * far, pressed + 0.75 * push), **NOTE)
        ax.annotate("", (arm - 0.08 * far, pressed), (arm - 0.08 * far, 0), arrowprops=WAY)
        ax.annotate(rf"$l_{name}\,\delta$", (arm - 0.08 * far, 0.02 * far), ha="center", **NOTE)
        ax.annotate(f"$l_{name}$", (arm, floor - 0.09 * far), ha="center", **NOTE)
    ax.plot([0, tip], [floor, floor], color=figures.INK, linewidth=1.5)
    bow = np.linspace(0, -TURNED, 21)
    ax.plot(1.15 * far * np.cos(bow), 1.15 * far * np.sin(bow), color=figures.INK, linewidth=1)
    ax.annotate(r"$\delta$", (1.17 * far, -0.12 * far), va="center", **NOTE)
    ax.set_ylim(floor - 0.15 * far, 0.5 * far)
    ax.set_yticks([])
    ax.grid(False)
    return ax


@read
def pin_lines(drive: Drive, pins: Iterable[int]) -> Axes:
    """The lines along which some pins push at crank 0, through the pitch point and beyond, and the disc's pitch circle.

    Pin 0 is on +x, the others follow counter-clockwise. A pin's lever arm is the distance of its line from the disc's
    centre, which is left to be measured.
    """
    numbers = [checked_count("pins", each, 0, drive.pins - 1) for each in pins]
    pitch_point, centre = motion.pitch_point(drive, 0.0), motion.disc_pose(drive, 0.0).centre
    at, far = motion.pins(drive), motion.disc_pitch_radius(drive)
    ax = figures.drive_picture(drive)
    figures.circles(centre, far, "disc's pitch circle", ax, thing="disc")
    for number in numbers:
        beyond = pitch_point - at[number]
        ends = np.array([at[number], pitch_point + far * beyond / np.hypot(*beyond)])
        figures.curve(ends, f"line of pin {number}", ax, thing="centre path")
    figures.dots(at[numbers], [str(number) for number in numbers], ax, thing="roller")
    ax.plot(*pitch_point, "o", color=figures.WORDS, markersize=7, linestyle="none", label="pitch point", zorder=4)
    edge = 1.05 * (drive.pin_circle_radius + drive.roller_radius)
    ax.set_aspect("equal", adjustable="box")
    ax.set_xlim(-edge, edge)
    ax.set_ylim(-0.6 * edge, edge)  # the lower pins have lines of the same kind
    figures.name_curves(ax)
    return ax


def pushes(shared: sharing.Sharing, on: int = 0) -> Axes:
    """The pins' pushes on a disc as arrows to one scale, with an arrow to measure them by.

    Of the forces, which must not be of no torque, the first crank angle counts, on the disc number `on`, from 0. Each
    arrow begins where its roller touches the disc, and points towards the pitch point.
    """
    checked_kind("shared", shared, sharing.Sharing)
    reducer = shared.reducer
    on = checked_count("on", on, 0, reducer.discs - 1)
    if not shared.pin_force[0, on].any():
        raise ValueError("shared has no forces: share a torque that is not 0.")
    drive = reducer.drive
    crank = float(shared.crank[0] + motion.phases(reducer.discs)[on])
    ax = figures.drive_picture(drive, crank)
    ax.plot(*motion.pitch_point(drive, crank), "o", color=figures.WORDS, linestyle="none", label="pitch point")
    hardest = float(shared.pin_force[0, on].max())
    long = LONGEST * drive.pin_circle_radius / hardest  # mm/N
    way = long * shared.pin_force[0, on, :, None] * shared.pin_direction[0, on]
    arrows = ax.quiver(
        *shared.pin_point[0, on].T, *way.T, angles="xy", scale_units="xy", scale=1, width=0.006, zorder=3,
        color=palette.FORCE.light,
    )  # fmt: skip
    newton = 10.0 ** math.floor(math.log10(hardest))
    ax.quiverkey(
        arrows, 0.88, 0.08, long * newton, f"{newton:g} N", labelcolor=figures.WORDS, fontproperties={"size": 12}
    )
    figures.name_curves(ax)
    return ax


@read
def bent_piece(diameter: Length, core: Length) -> Axes:
    """A piece of a pin with a core, bent much more than pins are: which fibres get longer, and by how much.

    `core` is the diameter of its core [mm], below the pin's `diameter` [mm]. Sections stay flat, core and shell
    together; they point to the middle of the bend.
    """
    if core >= diameter:
        raise ValueError(f"core is {core:g} mm, but must be below diameter, {diameter:g} mm: take a thinner one.")
    ax = figures.plane()
    middle = BENT * diameter  # radius of the middle line
    around = np.linspace(-OPEN, OPEN, 81)
    along, up = np.sin(around), np.cos(around)
    for thick, share, words in ((diameter, palette.FILLED, "shell"), (core, 3 * palette.FILLED, "core")):
        out, inside = middle + thick / 2, middle - thick / 2
        edge = np.column_stack([[*out * along, *inside * along[::-1]], [*out * up, *inside * up[::-1]]]) - [0, middle]
        ax.fill(
            *edge.T, facecolor=(palette.DISC.light, share), edgecolor=palette.DISC.light, linewidth=1.5, label=words
        )
    for angle in np.linspace(-OPEN, OPEN, 9):
        ends = np.outer([middle - diameter / 2, middle + diameter / 2], [math.sin(angle), math.cos(angle)])
        ax.plot(*(ends - [0, middle]).T, color=figures.INK, linewidth=1)
    fibre = 0.42 * diameter
    for away, dashes, words in (
        (fibre, "-", r"longer by $\kappa\,y$"), (0.0, "--", "as before"), (-fibre, "-", r"shorter by $\kappa\,y$"),
    ):  # fmt: skip
        line = (middle + away) * np.column_stack([along, up]) - [0, middle]
        ax.plot(*line.T, linestyle=dashes, color=figures.WORDS, linewidth=2)
        ax.annotate(words, line[-1], (8, 0), va="center", **figures.BESIDE)
    ax.set_aspect("equal", adjustable="box")
    ax.set_xlim(-1.6 * diameter, 2.4 * diameter)  # words on the right
    ax.set_ylim(-diameter, diameter)
    figures.name_curves(ax)
    return ax
