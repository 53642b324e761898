"""Panels: named sliders beside a picture that is drawn anew for every set of numbers, with rows that judge them.

In JupyterLab page and Python talk: `panel.js` finds the panel in the page and puts its sliders in. What the notebook
keeps is HTML alone: after a new kernel, and in an exported page, the picture plays on and the numbers stand beside it.
"""

import html
import math
import uuid
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import anywidget
import traitlets

from cyclokit.arguments import finite
from cyclokit.report import Limit
from cyclokit.signatures import read
from cyclokit.view import live_map, pages, scene, stage

Values = dict[str, float]
# What the library says to a reader: from which share of its bound a limit's margin is called so.
MARGINS = ((0.2, "plenty of room"), (0.05, "some room"), (0.0, "hardly any room"), (-math.inf, "beyond the limit"))
ASLEEP = "Run this cell to move its sliders."
CODE = "Python that makes this drive, to copy"
BEYOND = ("gaps",)  # layers that pictures beyond a limit have
STYLE = """.cyclokit-panel-frame { container-type: inline-size; }
.cyclokit-panel-frame > div { display: grid; gap: .8em 1.6em; max-width: 1152px; font: 1em/1.35 system-ui, sans-serif;
  grid-template-columns: minmax(0, 1fr); }
.cyclokit-panel-frame .cyclokit-stage .picture { flex-basis: 100%; }
.cyclokit-panel-frame ul { padding-left: 1.2em; margin: 0; } .cyclokit-panel-frame p { margin: 0 0 .4em; }
.cyclokit-panel-frame textarea { width: 100%; box-sizing: border-box; resize: none; font-family: monospace;
  color: inherit; background: transparent; }
@container (min-width: 900px) {
  .cyclokit-panel-frame > div { grid-template-columns: minmax(512px, 3fr) minmax(0, 2fr); }
  .cyclokit-panel-frame [data-panel="stage"] { grid-column: 1; grid-row: 1 / 9; } }
@media print { .cyclokit-panel-frame [data-panel="asleep"] { display: none; } }"""


class Slider:
    """A number that the reader moves in the page, and Python sets.

    `label` says what it is, with its unit; `value` is where it stands, between `least` and `most`, in steps of `step`.
    A whole number stays one.
    """

    def __init__(self, label: str, value: float, least: float, most: float, step: float) -> None:
        self.label, self.least, self.most, self.step = label, least, most, step
        self.whole = isinstance(value, int)
        self.moved: Callable[[], None] = lambda: None  # the panel that it belongs to draws anew
        self._value = self.checked(value)

    @property
    def value(self) -> float:
        """Where it stands; another value can be set."""
        return self._value

    @value.setter
    def value(self, value: float) -> None:
        """Set it, and let the panel follow."""
        self.put(value)
        self.moved()

    def put(self, value: float) -> None:
        """Set the value without a word to the panel."""
        self._value = self.checked(value)

    def checked(self, value: float) -> float:
        """The value, of the slider's kind and within its ends."""
        number = float(finite(self.label, value))
        if not self.least <= number <= self.most or (self.whole and number != round(number)):
            kind = "a whole number " if self.whole else ""
            raise ValueError(
                f"{self.label} is {value!r}, but must be {kind}from {self.least:g} to {self.most:g}: "
                "choose one of these, or make a panel that begins elsewhere."
            )
        return round(number) if self.whole else number

    def __repr__(self) -> str:
        return f"Slider({self.label!r}, {self.value!r})"


@dataclass(frozen=True)
class Shown:
    """What a panel shows for one set of numbers."""

    picture: scene.Scene  # what its stage shows
    rows: Iterable[Limit]  # what is judged, such as a report
    sound: bool  # whether nothing forbids these numbers
    verdict: str  # the same in a sentence; what is wrong with each row is said after it
    code: str = ""  # Python that makes what is shown, to copy
    map: str = ""  # as SVG, on which two of the sliders' numbers are a point
    closeup: str = ""  # a figure of what is wrong, as HTML, beside the words that say it


class Panel(anywidget.AnyWidget):
    """Sliders, and a picture with rows that follow them; made by the functions of other rooms, such as `panels`.

    `sliders` by their names: what Python sets, the page shows; what the reader moves, Python reads there. `shown` is
    what the panel shows for the numbers as they stand.
    """

    _esm = pages.script("live_map.js", "still.js", "panel.js")
    _name = traitlets.Unicode().tag(sync=True)  # by which the page finds it: no two panels of a page may share one
    _sliders: Any = traitlets.List().tag(sync=True)
    _start = traitlets.Dict().tag(sync=True)
    _values = traitlets.Dict().tag(sync=True)
    _heard = traitlets.Int(0).tag(sync=True)  # how many of the page's words have been heard
    _sound = traitlets.Bool(True).tag(sync=True)
    _svg, _map, _verdict, _rows, _code = (traitlets.Unicode().tag(sync=True) for _ in range(5))
    _map_moves: Any = traitlets.List().tag(sync=True)

    def __init__(
        self,
        sliders: Mapping[str, Slider],
        show: Callable[[Values], Shown],
        layers: Iterable[str] = stage.SHOWN,
        map_moves: Iterable[str] = (),
        moves: bool = True,
    ) -> None:
        self.sliders = dict(sliders)
        self._show, self._view = show, stage.seen(0.0, (*layers, *BEYOND))
        self._moves = moves  # whether its picture plays by itself, or only follows the sliders
        self.shown = show(self.values)
        told = [
            {"name": name, "label": one.label, "words": one.label.partition(" [")[0], "whole": one.whole,
             "least": one.least, "most": one.most, "step": one.step, "decimals": _decimals(one)}
            for name, one in self.sliders.items()
        ]  # fmt: skip
        start = self.values
        super().__init__(_name=uuid.uuid4().hex[:12], _sliders=told, _start=start, _map_moves=list(map_moves))
        self._tell()
        for slider in self.sliders.values():
            slider.moved = self._follow
        self.on_msg(self._hear)

    @property
    def values(self) -> Values:
        """The numbers that the sliders stand at, by name."""
        return {name: slider.value for name, slider in self.sliders.items()}

    @property
    def stage(self) -> stage.Stage:
        """The picture as it stands, which can be saved."""
        return stage.Stage(self.shown.picture, self._view)

    def move(self, values: Mapping[str, float]) -> None:
        """Set some of the numbers at once, and draw once."""
        checked = {name: self.sliders[name].checked(value) for name, value in values.items()}  # all or none
        for name, value in checked.items():
            self.sliders[name].put(value)
        self._follow()

    def _follow(self) -> None:
        self.shown = self._show(self.values)
        self._tell()

    def _tell(self) -> None:
        """Tell the page, in one message."""
        with self.hold_sync():
            self._values, self._svg, self._sound = self.values, self.shown.picture.svg, self.shown.sound
            self._verdict, self._rows = _verdict(self.shown), _rows(self.shown.rows)
            self._code, self._map = _code_field(self.shown.code), self.shown.map

    def _hear(self, _: object, said: dict[str, Any], __: object) -> None:
        """The reader has moved something in the page."""
        with self.hold_sync():
            self._heard = said["number"]  # also if these numbers are refused: the page waits for an answer
            self.move(said["values"])

    def page(self) -> str:
        """The panel as a piece of HTML that plays by itself."""
        still = "".join(f"<li>{html.escape(one.label)}: {one.value:g}</li>" for one in self.sliders.values())
        parts = {
            "sliders": f"<ul>{still}</ul>",
            "asleep": f"<p>{ASLEEP}</p>",
            "verdict": self._verdict,
            "stage": self.stage.page() if self._moves else _still(self.shown.picture),
            "map": pages.still(self._map, live_map.words_of(self._map)) if self._map else "",
            "rows": self._rows,
            "code": self._code,
        }
        tags = {"map": "figure" if self._map else "div", "verdict": "div role='status'"}
        inside = "".join(
            f'<{tags.get(name, "div")} data-panel="{name}" style="margin:0">{part}</{tags.get(name, "div").split()[0]}>'
            for name, part in parts.items()
            if part or name != "map"  # of a panel without a map no empty figure
        )
        return (
            f'<section class="cyclokit-panel-frame" data-cyclokit-panel="{self._name}"><style>{STYLE}</style>'
            f"<div>{inside}</div></section>"
        )

    def __repr__(self) -> str:
        return f"Panel({', '.join(f'{name}={value!r}' for name, value in self.values.items())})"

    def _repr_mimebundle_(self, **_: Any) -> tuple[dict[str, Any], dict[str, Any]]:
        """HTML alone: a widget's view would be an error once the kernel has gone."""
        return {"text/plain": repr(self), "text/html": self.page()}, {}


@read
def to_know(name: str, value: float, meaning: str, unit: str) -> Limit:
    """A row of a figure that nothing bounds."""
    return Limit(name, value, math.inf, unit, False, False, meaning, "", "")


def _decimals(slider: Slider) -> int:
    """Decimals with which a slider's number is written: those of its step."""
    return 0 if slider.whole else max(0, -math.floor(math.log10(slider.step)))


def _still(picture: scene.Scene) -> str:
    """A picture that doesn't play by itself."""
    still = pages.still(picture.svg, picture.words)
    script = f'<script type="module">{pages.script("still.js")}\nplayStills();</script>'
    return f'<figure data-cyclokit-still style="margin:0">{still}</figure>{script}'


def _verdict(shown: Shown) -> str:
    wrong = "".join(f"<p><b>{row.trouble} {row.remedy}</b></p>" for row in shown.rows if not row.ok)
    return f"<p>{shown.verdict}</p>{wrong}{shown.closeup}"


def _rows(rows: Iterable[Limit]) -> str:
    """Every row with its numbers and its margin in words."""
    return f"<ul>{''.join(f'<li>{_row(row)}</li>' for row in rows)}</ul>"


def _row(limit: Limit) -> str:
    unit = f" {limit.unit}" if limit.unit else ""
    if math.isinf(limit.bound):  # a figure to know
        value = limit.value if isinstance(limit.value, int) else f"{limit.value + 0.0:.3f}"
        return f"<b>{limit.name}</b> ({limit.meaning}): {value}{unit}"
    share = limit.margin / limit.bound if limit.bound > 0 else -math.inf
    words = next(words for least, words in MARGINS if share > least or least == -math.inf)
    numbers = f"{limit.value:.3f} against {limit.bound:.3f}{unit}, margin {limit.margin:+.3f}{unit}"
    return f"<b>{limit.name}</b> ({limit.meaning}): {numbers}, {words}"


def _code_field(code: str) -> str:
    """Code in a field from which it can be copied with mouse or keys."""
    if not code:
        return ""
    return (
        f"<label style='display:block'>{CODE}<textarea readonly rows='3' data-lm-suppress-shortcuts='true'>"
        f"{html.escape(code)}</textarea></label>"
    )
