"""Panels of a drive's four numbers, its limits, and a stage that follows; on the map of sound shapes or without it."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import partial

from cyclokit.drive import MOST_PINS, Drive
from cyclokit.geometry import limits, sweep
from cyclokit.report import Report
from cyclokit.signatures import read
from cyclokit.view import closeup, live_map, scene, stage
from cyclokit.view.limits_map import AXES
from cyclokit.view.panel import BEYOND, Panel, Shown, Slider, Values

LABELS = {
    "pins": "ring pins",
    "pin_circle_radius": "pin circle radius [mm]",
    "roller_radius": "roller radius [mm]",
    "eccentricity": "eccentricity [mm]",
}
# What the library says to a reader.
SOUND = "The shape is sound: no loop, no undercut, no rollers that overlap."
IMPOSSIBLE = "The shape of these numbers is not sound; the picture shows what comes of them."


@read
def four_numbers(drive: Drive, show: Iterable[str] = stage.SHOWN) -> Panel:
    """Sliders for the four numbers of a drive, its limits, and a stage that follows.

    The drive is the one to begin with, and to come back to; `show` are the stage's layers at first.
    `Drive(**panel.values)` is the drive that the sliders stand at, sound or not.
    """
    layers = tuple(show)
    return Panel(_four_sliders(drive), partial(_four_numbers, show=layers), layers)


@read
def on_the_map(drive: Drive, beside: Mapping[str, Drive] | None = None, show: Iterable[str] = stage.SHOWN) -> Panel:
    """The same, with the map of sound shapes: the drive is a point on it that follows the sliders, and moves them.

    For the rest as `four_numbers`. `beside` are other drives by their names, such as "the story's drive"; those in the
    same ring are on the map.
    """
    sliders = _four_sliders(drive)
    reaching = sliders["roller_radius"].most, sliders["eccentricity"].most
    layers = tuple(show)
    draw = partial(_four_numbers, show=layers, reaching=reaching, beside=dict(beside or {}))
    return Panel(sliders, draw, layers, AXES)


def _four_numbers(
    values: Values,
    show: tuple[str, ...],
    reaching: tuple[float, float] | None = None,
    beside: Mapping[str, Drive] | None = None,
) -> Shown:
    """What is shown of a drive: picture, limits, code, and the map if it is to reach somewhere."""
    drive = Drive(pins=int(values["pins"]), **{name: values[name] for name in LABELS if name != "pins"})
    report = limits.check(drive)
    on_map = "" if reaching is None else live_map.drawn(drive, reaching, beside or {})
    code = f"drive = {drive!r}"
    verdict = SOUND if report.sound else IMPOSSIBLE
    return Shown(_picture(report, show), report, report.sound, verdict, code, on_map, closeup.drawn(report))


def _picture(report: Report, show: tuple[str, ...]) -> scene.Scene:
    """The drive; where its outline can't be made, the disc that its rollers leave of a blank, if they leave one."""
    drive, view = report.drive, stage.seen(0.0, (*show, *BEYOND))
    if report["loop"].ok and report["undercut"].ok:
        return scene.turning(drive, view)
    if drive.trochoid_ratio == 1:  # just there a roller touches an arc at once; no eye sees a billionth less
        drive = replace(drive, eccentricity=drive.eccentricity * (1 - 1e-9))
    left = sweep.cut(drive, rays=max(2000, 60 * drive.pins))
    return scene.cut(left, view) if left.radii.min() > 0 else scene.nothing(drive, view)


def _four_sliders(drive: Drive) -> dict[str, Slider]:
    """Sliders from a fifth to twice each number, in steps of about a hundredth of it."""
    return {name: _slider(name, getattr(drive, name)) for name in LABELS}


def _slider(name: str, value: float) -> Slider:
    if name == "pins":
        return Slider(LABELS[name], int(value), 3, min(max(40, 2 * int(value)), MOST_PINS), 1)
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    # ends at whole steps from the value, so that it lies on a step of its own slider
    least, most = (round(value + round(share * value / step) * step, 12) for share in (-0.8, 1.0))
    return Slider(LABELS[name], value, least, most, step)
