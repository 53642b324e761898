"""The stage: a drive, a reducer or a rolling circle that turns in the page and can be stopped, stepped and dragged.

A stage is a picture with the script that moves it. It needs neither kernel nor network, so it plays in a notebook that
was saved and opened again, and in an exported page, as it plays in JupyterLab. `scene` draws, `stage.js` moves.
"""

import html
import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from numpy.typing import ArrayLike

from cyclokit.arguments import checked_choice, checked_count, checked_kind, checked_number, finite
from cyclokit.drive import Drive
from cyclokit.files import as_path
from cyclokit.geometry import motion, sweep
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import FARTHEST, Place, read
from cyclokit.texts import shown
from cyclokit.view import chart as charts
from cyclokit.view import forces as loads
from cyclokit.view import milling_scene, pages, reducer_scene, rolling_scene, saved, scene, svg
from cyclokit.view.pins import LOADS, View

FAR = 1e9  # mm: as good as at no end
SHOWN = ("rollers", "disc", "crank", "marked lobe", "turns", "angles")
ROLLING = ("circle", "curve", "equal arcs", "hinge", "letters", "angles")
FRAMES = ("ring", "disc")
PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark"><title>{title}</title>
<style>:root {{ color-scheme: light dark }} body {{ background: #fff; margin: 1.5em }}
@media (prefers-color-scheme: dark) {{ body {{ background: #111 }} }}</style></head>
<body><main>{body}</main></body></html>
"""


@dataclass(frozen=True, repr=False)
class Stage:
    """A picture that moves; made by the functions of this module."""

    scene: scene.Scene  # as it stands before it moves
    view: View  # how it is seen at first
    playing: bool = True  # at once
    chart: charts.Chart | None = None  # below it, with the same angle
    lens: dict[str, float] | None = None  # what it looks at, from `_lens`
    loaded: bool = False  # whether its forces go with the crank

    @property
    def layers(self) -> tuple[str, ...]:
        """Names of all that can be shown."""
        return self.scene.layers

    def save(self, file: str | Path) -> None:
        """Write what is seen into one file: `.html` plays in any browser, `.svg` is a still for slides.

        A file that was saved so is replaced unless somebody has changed it; any other is left alone, with a ValueError,
        as is a name that ends otherwise.
        """
        target = as_path("file", file)
        if target.suffix not in {".html", ".svg"}:
            raise ValueError(f"file is {str(file)!r}, but must end in .html or .svg: add one of these.")
        if target.suffix == ".html":
            saved.save(target, PAGE.format(title=html.escape(self.scene.words), body=self.page()))
        else:
            saved.save(target, self.scene.svg if self.chart is None else svg.below(self.scene.svg, self.chart.svg))

    def page(self) -> str:
        """The picture as a piece of HTML that plays by itself."""
        page, scripts, starts = self.parts()
        return f'{page}<script type="module">{pages.script("stage.js", *scripts)}\n{starts}</script>'

    def parts(self) -> tuple[str, list[str], str]:
        """The same without its script: HTML, names of more scripts, and what starts them all."""
        view = self.view
        told = {"crank": view.angle, "show": view.show, "frame": view.frame, "load": view.load, "playing": self.playing}
        state = html.escape(json.dumps(told), quote=True)
        still = pages.still(self.scene.svg, self.scene.words)
        page = f'<figure data-cyclokit-stage="{state}" style="margin:0">{still}</figure>'
        scripts: list[str] = []
        starts = "playSaved();"
        if self.loaded:
            scripts, starts = ["forces.js"], starts + "playForces();"
        if self.lens is not None:
            page += f"<div data-cyclokit-lens='{json.dumps(self.lens)}'></div>"
            scripts, starts = [*scripts, "lens.js"], starts + "playLenses();"
        if self.chart is not None:
            below = pages.still(self.chart.svg, self.chart.words)
            page += f'<figure data-cyclokit-chart style="margin:0">{below}</figure>'
            scripts, starts = [*scripts, "chart.js"], starts + "playCharts();"
        return f"<div>{page}</div>" if scripts else page, scripts, starts  # each finds its own stage

    def __repr__(self) -> str:
        return f"Stage({self.scene.words!r})"

    def _repr_html_(self) -> str:
        return self.page()


@read
def seen(crank: float, show: Iterable[str], frame: str = "ring", load: str = "counter-clockwise") -> View:
    """How a stage is seen at first, as `turning_drive` is told; its words and numbers checked."""
    layers = tuple(show)
    for layer in layers:
        checked_kind("show", layer, str, "give the layers' names")
    checked_choice("frame", frame, FRAMES)
    checked_choice("load", load, tuple(LOADS))
    return View(checked_number("crank", crank, -FARTHEST, FARTHEST), frame, load, layers)


def _staged(drawn: scene.Scene, view: View, playing: bool = True) -> Stage:
    """A stage whose view asks for nothing that isn't there."""
    for name in view.show:
        if name not in drawn.layers:
            raise ValueError(
                f"show contains {shown(name)}, but must be of {', '.join(drawn.layers)}: choose from these."
            )
    return Stage(drawn, view, playing)


@read
def turning_drive(
    drive: Drive,
    show: Iterable[str] = SHOWN,
    crank: float = 0.0,
    frame: str = "ring",
    load: str = "counter-clockwise",
    forces: ArrayLike | None = None,
    playing: bool = True,
    chart: Iterable[str] = (),
    lens: Place | None = None,
) -> Stage:
    """The drive as its crank turns: rollers stand, the disc wobbles and turns slowly back.

    Parameters
    ----------
    drive : Drive
        The drive; its trochoid ratio must not be exactly 1.
    show : iterable of str
        Layers to begin with; the stage's `layers` names them all.
    crank : float
        Crank angle to begin with [rad].
    frame : str
        "ring" or "disc": which of them is held.
    load : str
        "counter-clockwise" or "clockwise": the load on the disc.
    forces : array_like, optional
        Force of pin 0 on the disc [N] at even steps of one crank turn, shape (m,), none below zero.
    playing : bool
        Whether it plays at once; never for readers who ask their system for less motion.
    chart : iterable of str
        Curves over one crank turn in a chart below: "disc angle", "sliding" of pin 0, and "force" if forces are given.
    lens : int, optional
        Number of the pin whose contact a lens shows at first, from 0.

    Returns
    -------
    Stage
        It plays through one turn of the disc; its slider spans one crank turn.

    Raises
    ------
    ValueError
        If a layer's or a curve's name is unknown, or forces are not a row of numbers from 0 up.
    """
    view = seen(crank, show, frame, load)
    forces = None if forces is None else finite("forces", forces)
    looked = _lens(drive, lens, motion.ring_pitch_radius(drive))
    staged = _staged(scene.turning(drive, view, forces, lens is not None), view, playing)
    return _over(replace(staged, lens=looked), chart, lambda names: charts.of_drive(drive, names, view.angle, forces))


@read
def turning_reducer(
    reducer: Reducer,
    show: Iterable[str] | None = None,
    crank: float = 0.0,
    frame: str = "ring",
    playing: bool = True,
    touched: Place | None = None,
    load: str = "counter-clockwise",
    forces: ArrayLike | None = None,
    chart: Iterable[str] = (),
) -> Stage:
    """The reducer as its crank turns: all its discs, each with its own holes, and the output rollers in them.

    For the rest as `turning_drive`: it is drawn with its clearances, the disc that can be held is the first one, and it
    plays through one turn of the output. Without `show` all layers are shown at first but witness marks, labels, turns,
    the marked lobe and its trail. `touched` is the number of the disc, from 0, whose contacts, normals and pushing pins
    can be shown, and on which load and forces act; without it none are. Curves of the chart: "disc angle", "output
    angle", and "force" if forces are given.
    """
    discs = reducer_scene.DISCS[: reducer.discs]
    layers = ("rollers", *discs, "bearings", "output", "crank", "angles") if show is None else show
    view = seen(crank, layers, frame, load)
    forces = None if forces is None else finite("forces", forces)
    staged = _staged(reducer_scene.turning(reducer, view, touched, forces), view, playing)
    return _over(staged, chart, lambda names: charts.of_drive(reducer.drive, names, view.angle, forces, output=True))


@read
def loaded_reducer(
    reducer: Reducer,
    torque: float,
    on: Place = 0,
    show: Iterable[str] | None = None,
    crank: float = 0.0,
    frame: str = "ring",
    playing: bool = True,
) -> Stage:
    """The reducer under a torque: the forces on its discs as arrows in proportion, as they change with the crank.

    For the rest as `turning_reducer`. No pin and no output roller has a gap, all are springs of one stiffness. The
    torque at the output [N mm], not 0, turns the discs counter-clockwise where it is positive. `on` is the number of
    the disc, from 0, whose forces are shown at first, those of the others being layers too; `show` are other layers to
    begin with, without it rollers, that disc, bearings, output, crank and angles.
    """
    on = checked_count("on", on, 0, reducer.discs - 1)
    others = ("rollers", loads.DISCS[on], "bearings", "output", "crank", "angles") if show is None else show
    view = seen(crank, (*others, loads.NAMES[on]), frame)
    drawn = reducer_scene.turning(reducer, view, loads=loads.moving(reducer, torque, view.angle, on))
    return replace(_staged(drawn, view, playing), loaded=True)


@read
def turning_cut(
    cut: sweep.Cut,
    show: Iterable[str] = (*SHOWN, "gaps"),
    crank: float = 0.0,
    frame: str = "ring",
    playing: bool = True,
    lens: Place | None = None,
    chart: Iterable[str] = (),
) -> Stage:
    """A disc that rollers have cut, as its crank turns and it is made to turn at its rate.

    For the rest as `turning_drive`. The cut is from `sweep.cut`, with any number of lobes; something must be left of
    the disc. It plays through the turns after which all is as before; curves of the chart are "disc angle" and "gap" of
    roller 0.
    """
    view = seen(crank, show, frame)
    staged = _staged(scene.cut(cut, view, lens is not None), view, playing)
    e, spin = cut.drive.eccentricity, float(sweep.disc_angle(cut.drive, 1.0, cut.lobes))
    reach = e - e / spin if spin else FAR  # a disc that doesn't turn: every normal runs along the crank
    looking = replace(staged, lens=_lens(cut.drive, lens, reach))
    return _over(looking, chart, lambda names: charts.of_cut(cut, names, view.angle))


@read
def one_roller(drive: Drive, show: Iterable[str], crank: float = 0.0, frame: str = "disc") -> Stage:
    """One roller of a drive as the disc sees it, and what it leaves of a round blank as it goes round.

    For the rest as `turning_drive`; layers are those in `milling_scene.SENTENCES`. It plays through one turn of the
    disc, in which the roller goes round it once.
    """
    view = seen(crank, show, frame)
    return _staged(milling_scene.one_roller(drive, view), view)


def _over(staged: Stage, chart: Iterable[str], drawn: Callable[[Any], charts.Chart]) -> Stage:
    """A stage over a chart of the curves that were asked for, if any were."""
    names = tuple(chart)
    return replace(staged, chart=drawn(names)) if names else staged


def _lens(drive: Drive, pin: int | None, reach: float) -> dict[str, float] | None:
    """A lens's pin, the pins' number, and how far out along the crank the instant centre lies [mm]; None for none."""
    if pin is None:
        return None
    return {"pin": checked_count("lens", pin, 0, drive.pins - 1), "pins": drive.pins, "reach": round(reach, 6)}


@read
def rolling_on_line(rolling_radius: float, arches: int = 2, show: Iterable[str] = ROLLING) -> Stage:
    """A circle rolling along a line, and the cycloid that a point on its edge draws.

    The circle's radius is in mm; it makes so many turns as there are arches. The stage's angle is the circle's own
    turn.
    """
    view = seen(0.0, show)
    return _staged(rolling_scene.on_line(rolling_radius, arches, view), view)


@read
def rolling_on_circle(fixed_radius: float, rolling_radius: float, arm: float, show: Iterable[str] = ROLLING) -> Stage:
    """A circle rolling round a fixed one, and the curve that a point fixed to it draws.

    Radii are in mm, and `arm` is the distance of the drawing point from the rolling circle's centre [mm]. The stage's
    angle is how far that centre has gone round.
    """
    view = seen(0.0, show)
    return _staged(rolling_scene.on_circle(fixed_radius, rolling_radius, arm, view), view)
