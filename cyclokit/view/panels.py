"""Sliders for the four numbers of a drive, beside a stage, and a map if wanted, that follow them.

The limits stand beside it, in words and numbers. Numbers whose shape is not sound are named with what is wrong, and the
last picture of a drive that can be made stays, greyed.
"""

import html
import math
from collections.abc import Iterable, Mapping
from typing import Any

import ipywidgets

from cyclokit.drive import MOST_PINS, Drive
from cyclokit.geometry import limits
from cyclokit.view import live_map, stage
from cyclokit.view.limits_map import AXES

SLIDERS = {
    "pins": "ring pins",
    "pin_circle_radius": "pin circle radius [mm]",
    "roller_radius": "roller radius [mm]",
    "eccentricity": "eccentricity [mm]",
}
# What the library says to a reader: from which share of its bound a limit's margin is called so.
MARGINS = ((0.2, "plenty of room"), (0.05, "some room"), (0.0, "hardly any room"), (-math.inf, "beyond the limit"))
SOUND = "The shape is sound: no loop, no undercut, no rollers that overlap."
IMPOSSIBLE = "The shape of these numbers is not sound; the greyed picture is the last one that was."
RESET = "Reset"
CODE = "Python that makes this drive, to copy"


class Panel(ipywidgets.Box):
    """Four sliders, a stage, the limits, a button and a line of code; made by `four_numbers` and `on_the_map`.

    Attributes
    ----------
    stage : Stage
        The picture; its `drive` is the last sound one.
    sliders : dict of str to widget
        By the names of the drive's four numbers.
    reset : Button
        Puts the numbers back to those at the beginning.
    map : LiveMap or None
        The map of what is possible, on which the drive is a point that can be dragged.
    """

    def __init__(self, drive: Drive, show: Iterable[str], beside: Mapping[str, Drive] | None = None) -> None:
        self._start = drive
        self._settling = False
        self.stage = stage.turning_drive(drive, show)
        self.sliders = {name: _slider(name, getattr(drive, name)) for name in SLIDERS}
        self.reset = ipywidgets.Button(description=RESET)
        self._limits, self._code = ipywidgets.HTML(), ipywidgets.HTML()
        self.stage.layout.flex = "1 1 34em"
        self.map = None if beside is None else live_map.of_drive(drive, _grids(self.sliders), beside)
        side = ipywidgets.VBox(
            [*self.sliders.values(), self.reset, *([self.map] if self.map else []), self._limits, self._code],
            layout={"flex": "1 1 26em", "min_width": "0"},
        )
        super().__init__([self.stage, side], layout={"flex_flow": "row wrap", "align_items": "flex-start"})
        self.add_class("cyclokit-panel")
        for slider in self.sliders.values():
            slider.observe(self._follow, "value")
        self.reset.on_click(self._put_back)
        if self.map:
            self.map.observe(self._taken, "drive")
        self._follow()

    @property
    def drive(self) -> Drive:
        """The drive that the sliders stand at, whether it can be made or not."""
        return Drive(**{name: _value(slider, getattr(self._start, name)) for name, slider in self.sliders.items()})

    def _follow(self, _: object = None) -> None:
        if self._settling:
            return
        report = limits.check(self.drive)
        with self.stage.hold_sync():  # one message for the page, not three
            if report.sound:
                self.stage.drive = report.drive
            self.stage.dimmed = not report.sound
        if self.map:
            self.map.drive = report.drive
        self._limits.value = _told(report)
        self._code.value = _code_line(report.drive)

    def _put_back(self, _: object) -> None:
        self._move_to(self._start)

    def _taken(self, change: Mapping[str, Any]) -> None:
        """The point on the map has been dragged."""
        if change["new"] != self.drive:
            self._move_to(change["new"])

    def _move_to(self, drive: Drive) -> None:
        self._settling = True  # four sliders move, one picture follows
        for name, slider in self.sliders.items():
            slider.value = getattr(drive, name)
        self._settling = False
        self._follow()

    def __repr__(self) -> str:
        return f"Panel({self.drive!r})"

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        page = self.stage.page() + (self.map.page() if self.map else "") + self._limits.value + self._code.value
        return (super()._repr_mimebundle_() or {}) | {"text/plain": repr(self), "text/html": page}


def four_numbers(drive: Drive, show: Iterable[str] = stage.SHOWN) -> Panel:
    """Sliders for the four numbers of a drive, its limits, and a stage that follows.

    Parameters
    ----------
    drive : Drive
        The drive to begin with, and to come back to; its trochoid ratio must not be exactly 1.
    show : iterable of str
        Layers of the stage to begin with.

    Returns
    -------
    Panel
        Its `drive` is what the sliders stand at, its `stage.drive` the last sound one.
    """
    return Panel(drive, show)


def on_the_map(drive: Drive, beside: Mapping[str, Drive] | None = None, show: Iterable[str] = stage.SHOWN) -> Panel:
    """The same, with the map of what is possible: the drive is a point on it that follows the sliders, and moves them.

    Parameters
    ----------
    drive : Drive
        As for `four_numbers`.
    beside : mapping of str to Drive, optional
        Other drives by their names, such as "the story's drive"; those in the same ring are on the map.
    show : iterable of str
        Layers of the stage to begin with.

    Returns
    -------
    Panel
        Its `map.drive` is what the sliders stand at.
    """
    return Panel(drive, show, beside or {})


def _grids(sliders: Mapping[str, Any]) -> tuple[tuple[float, float, float], ...]:
    """Of roller radius and eccentricity: least, greatest, and step between two [mm]."""
    return tuple((sliders[name].min, sliders[name].max, sliders[name].step) for name in AXES)


def _slider(name: str, value: float) -> Any:
    """A slider from a fifth to twice the value, in steps of about a hundredth of it."""
    look = {"description": SLIDERS[name], "style": {"description_width": "11.5em"}, "layout": {"width": "auto"}}
    if name == "pins":
        return ipywidgets.IntSlider(value=value, min=3, max=min(max(40, 2 * int(value)), MOST_PINS), **look)
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    # ends at whole steps from the value: the page moves a value that lies between two steps
    least, most = (value + round(share * value / step) * step for share in (-0.8, 1.0))
    places = max(-math.floor(math.log10(step)), min(6, len(repr(value).partition(".")[2])))
    return ipywidgets.FloatSlider(value=value, min=least, max=most, step=step, readout_format=f".{places}f", **look)


def _value(slider: Any, start: float) -> Any:
    """A slider's number; the page adds up steps, which leaves a trace of rounding, also where it starts."""
    if isinstance(slider.value, int):
        return slider.value
    return start if abs(slider.value - start) < slider.step / 1000 else round(slider.value, 9)


def _told(report: limits.Report) -> str:
    """Every limit with its numbers and its margin in words, and what is wrong where one is passed."""
    lines = "".join(f"<li>{_line(limit)}</li>" for limit in report)
    wrong = "".join(f"<p><b>{limit.trouble} {limit.remedy}</b></p>" for limit in report if not limit.ok)
    status = f"<div role='status'><p>{SOUND if report.sound else IMPOSSIBLE}</p>{wrong}</div>"
    return f"<div style='line-height:1.35'>{status}<ul style='padding-left:1.2em'>{lines}</ul></div>"


def _line(limit: limits.Limit) -> str:
    share = limit.margin / limit.bound if limit.bound > 0 else -math.inf
    words = next(words for least, words in MARGINS if share > least or least == -math.inf)
    unit = f" {limit.unit}" if limit.unit else ""
    numbers = f"{limit.value:.3f} against {limit.bound:.3f}{unit}, margin {limit.margin:+.3f}{unit}"
    return f"<b>{limit.name}</b> ({limit.meaning}): {numbers}, {words}"


def _code_line(drive: Drive) -> str:
    """The drive as a line of code, in a field from which it can be copied with mouse or keys."""
    look = "width:100%;box-sizing:border-box;resize:none;font-family:monospace;color:inherit;background:transparent"
    return (
        f"<label style='display:block'>{CODE}<textarea readonly rows='3' data-lm-suppress-shortcuts='true' "
        f"style='{look}'>{html.escape(f'drive = {drive!r}')}</textarea></label>"
    )
