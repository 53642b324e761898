"""The stage: a drive, or a rolling circle, that turns in the page and can be stopped, stepped and dragged.

In JupyterLab it is a widget whose state Python and page share. Beside the widget it leaves a page of
its own in the notebook, a still picture and the script that moves it, which needs neither kernel nor
network: that is what a saved or exported copy shows. `scene` draws, `stage.js` moves.
"""

import html
import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import anywidget
import traitlets
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, finite
from cyclokit.drive import Drive
from cyclokit.files import as_path
from cyclokit.geometry import sweep
from cyclokit.machine.reducer import Reducer
from cyclokit.view import pages, reducer_scene, rolling_scene, saved, scene
from cyclokit.view.pins import LOADS, View

SHOWN = ("rollers", "disc", "crank", "marked lobe", "angles")
SCRIPT = pages.script("stage.js")
PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark"><title>{title}</title>
<style>:root {{ color-scheme: light dark }} body {{ background: #fff; margin: 1.5em }}
@media (prefers-color-scheme: dark) {{ body {{ background: #111 }} }}</style></head>
<body><main>{body}</main></body></html>
"""


class Stage(anywidget.AnyWidget):
    """A picture that moves; made by the functions of this module.

    Attributes
    ----------
    crank : float
        Angle [rad] at which it stands; where the reader stops it, Python reads it here.
    drive : Drive or None
        The drive that is shown; another one can be put in its place. None for a rolling circle or a reducer.
    show : tuple of str
        The layers that are seen, out of `layers`.
    frame : str
        "ring" or "disc": which of them is held.
    load : str
        "counter-clockwise" or "clockwise": the load on the disc, for the layer "pushing".
    forces : ndarray or None
        Force of pin 0 on the disc [N] at even steps of one crank turn, shape (m,); gives the layer "forces".
    playing : bool
        Whether it moves by itself.
    dimmed : bool
        Whether it is greyed, because it shows no longer what was asked for.
    """

    _esm = SCRIPT
    _svg = traitlets.Unicode().tag(sync=True)
    crank = traitlets.Float().tag(sync=True)
    drive = traitlets.Instance(Drive, allow_none=True).tag(
        sync=True,
        to_json=lambda drive, _: drive and vars(drive),
        from_json=lambda numbers, _: numbers and Drive(**numbers),
    )
    show = traitlets.Tuple().tag(sync=True)
    frame = traitlets.Enum(("ring", "disc"), "ring").tag(sync=True)
    load = traitlets.Enum(tuple(LOADS), "counter-clockwise").tag(sync=True)
    forces = traitlets.Any(None, allow_none=True)
    playing = traitlets.Bool(True).tag(sync=True)
    dimmed = traitlets.Bool(False).tag(sync=True)

    def __init__(self, draw: Callable[["Stage", View], scene.Scene], show: Iterable[str], **state: Any) -> None:
        self._draw, self._turns = draw, "drive" in state
        super().__init__(**state)
        self._scene = draw(self, View())  # the page moves it to where it stands, and shows what is to be shown
        self.show = tuple(show)
        self._svg = self._scene.svg
        self.observe(self._redraw, ["drive", "forces"])

    @property
    def layers(self) -> tuple[str, ...]:
        """Names of all that can be shown."""
        return self._scene.layers

    def _redraw(self, change: dict[str, Any]) -> None:
        if change["name"] == "drive" and change["new"] is None:  # traitlets lets None pass unvalidated
            self.drive = change["old"]
            raise ValueError(f"drive is None, but must stay a drive such as {self.drive!r}: make another stage.")
        self._scene = self._draw(self, View())
        self._svg = self._scene.svg

    @traitlets.validate("crank")
    def _check_crank(self, proposal: dict[str, Any]) -> float:
        return float(finite("crank", proposal["value"]))

    @traitlets.validate("show")
    def _check_show(self, proposal: dict[str, Any]) -> tuple[str, ...]:
        wanted = tuple(proposal["value"])
        for name in wanted:
            if name not in self.layers:
                raise ValueError(f"show contains {name!r}, but must be of {', '.join(self.layers)}: choose from these.")
        return wanted

    @traitlets.validate("drive")
    def _check_drive(self, proposal: dict[str, Any]) -> Drive | None:
        if self._svg and not self._turns:
            raise ValueError(f"drive is {proposal['value']!r}, but must stay None here: make another stage.")
        return proposal["value"]

    @traitlets.validate("forces")
    def _check_forces(self, proposal: dict[str, Any]) -> Floats | None:
        if proposal["value"] is None:
            return None
        forces = finite("forces", proposal["value"])
        if forces.ndim != 1 or not forces.size or (forces < 0).any():
            raise ValueError(
                f"forces has shape {forces.shape}, but must be one row of numbers from 0 up: "
                "give the force of pin 0 at even steps of one crank turn."
            )
        return forces

    def save(self, file: str | Path) -> None:
        """Write what is seen into one file: `.html` plays in any browser, `.svg` is a still for slides.

        Parameters
        ----------
        file : str or Path
            Where; a file that was saved so is replaced unless somebody has changed it, any other is left alone.

        Raises
        ------
        ValueError
            If the name ends otherwise, or another file stands there.
        """
        target = as_path("file", file)
        if target.suffix not in {".html", ".svg"}:
            raise ValueError(f"file is {str(file)!r}, but must end in .html or .svg: add one of these.")
        page = PAGE.format(title=html.escape(self._seen().words), body=self.page())
        saved.save(target, page if target.suffix == ".html" else self._seen().svg)

    def _seen(self) -> scene.Scene:
        """The picture as it stands now."""
        return self._draw(self, View(self.crank, self.frame, self.load, self.show))

    def page(self) -> str:
        """The picture as a piece of HTML that plays by itself."""
        seen = self._seen()
        names = ("crank", "show", "frame", "load", "playing")
        state = html.escape(json.dumps({name: getattr(self, name) for name in names}), quote=True)
        return (
            f'<figure data-cyclokit-stage="{state}" style="margin:0">{pages.still(seen.svg, seen.words)}</figure>'
            f'<script type="module">{SCRIPT}\nplaySaved();</script>'
        )

    def __repr__(self) -> str:
        return f"Stage({self._scene.words!r})"

    def _repr_mimebundle_(self, **_: Any) -> tuple[dict[str, Any], dict[str, Any]]:
        data, metadata = super()._repr_mimebundle_() or ({}, {})
        return data | {"text/plain": repr(self), "text/html": self.page()}, metadata


def turning_drive(
    drive: Drive,
    show: Iterable[str] = SHOWN,
    crank: float = 0.0,
    frame: str = "ring",
    load: str = "counter-clockwise",
    forces: ArrayLike | None = None,
    playing: bool = True,
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

    Returns
    -------
    Stage
        One crank turn is 2 pi of its angle; its slider spans one turn of the disc.

    Raises
    ------
    ValueError
        If a layer's name is unknown, or forces are not a row of numbers from 0 up.
    """

    def _draw(stage: Stage, view: View) -> scene.Scene:
        assert stage.drive is not None  # _check_drive sees to it
        return scene.turning(stage.drive, view, stage.forces)

    state = {"drive": drive, "crank": crank, "frame": frame, "load": load, "forces": forces, "playing": playing}
    return Stage(_draw, show, **state)


def turning_reducer(
    reducer: Reducer,
    show: Iterable[str] | None = None,
    crank: float = 0.0,
    frame: str = "ring",
    playing: bool = True,
) -> Stage:
    """The reducer as its crank turns: all its discs, each with its own holes, and the output rollers in them.

    Parameters
    ----------
    reducer : Reducer
        The reducer, drawn as it runs, with its clearances; its trochoid ratio must not be exactly 1.
    show : iterable of str, optional
        Layers to begin with; without it all but witness marks, the marked lobe and its trail.
    crank : float
        Crank angle to begin with [rad].
    frame : str
        "ring" or "disc": which of them is held; the disc is the first one.
    playing : bool
        Whether it plays at once; never for readers who ask their system for less motion.

    Returns
    -------
    Stage
        Its slider spans one turn of the output. No other drive can be put in.

    Raises
    ------
    ValueError
        If a layer's name is unknown.
    """

    def _draw(_: Stage, view: View) -> scene.Scene:
        return reducer_scene.turning(reducer, view)

    discs = reducer_scene.DISCS[: reducer.discs]
    shown = ("rollers", *discs, "output", "crank", "angles") if show is None else show
    return Stage(_draw, shown, crank=crank, frame=frame, playing=playing)


def turning_cut(
    cut: sweep.Cut,
    show: Iterable[str] = (*SHOWN, "gaps"),
    crank: float = 0.0,
    frame: str = "ring",
    playing: bool = True,
) -> Stage:
    """A disc that rollers have cut, as its crank turns and it is made to turn at its rate.

    Parameters
    ----------
    cut : Cut
        From `sweep.cut`, with any number of lobes; something must be left of the disc.
    show : iterable of str
        Layers to begin with.
    crank : float
        Crank angle to begin with [rad].
    frame : str
        "ring" or "disc": which of them is held.
    playing : bool
        Whether it plays at once.

    Returns
    -------
    Stage
        Its slider spans the turns after which all is as before. Another drive put in is cut anew.
    """

    def _draw(stage: Stage, view: View) -> scene.Scene:
        assert stage.drive is not None
        same = stage.drive == cut.drive
        piece = cut if same else sweep.cut(stage.drive, cut.lobes, cut.radii.size)
        return scene.cut(piece, view)

    return Stage(_draw, show, drive=cut.drive, crank=crank, frame=frame, playing=playing)


def rolling_on_line(rolling_radius: float, arches: int = 2) -> Stage:
    """A circle rolling along a line, and the cycloid that a point on its edge draws.

    Parameters
    ----------
    rolling_radius : float
        Radius of the circle [mm].
    arches : int
        How many turns the circle makes.

    Returns
    -------
    Stage
        Its angle is the circle's own turn.
    """
    return Stage(lambda _, view: rolling_scene.on_line(rolling_radius, arches, view), ("circle", "curve", "angles"))


def rolling_on_circle(fixed_radius: float, rolling_radius: float, arm: float) -> Stage:
    """A circle rolling round a fixed one, and the curve that a point fixed to it draws.

    Parameters
    ----------
    fixed_radius, rolling_radius : float
        Radii [mm].
    arm : float
        Distance of the drawing point from the rolling circle's centre [mm].

    Returns
    -------
    Stage
        Its angle is how far the rolling circle's centre has gone round.
    """
    return Stage(
        lambda _, view: rolling_scene.on_circle(fixed_radius, rolling_radius, arm, view), ("circle", "curve", "angles")
    )
