"""Where four numbers make no drive, enlarged: the outline that crosses itself, or the rollers that overlap."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline
from cyclokit.report import Report
from cyclokit.signatures import read
from cyclokit.view import drive_parts, pages, svg
from cyclokit.view.svg import BLUE, PURPLE, VERMILION, fill, stroke

WIDTH, STAGE_WIDTH = 220, 544  # pixels of this picture and of a stage's
LOOKED = 400  # places along two lobes, between which a crossing is looked for
# What the library says to a reader.
CROSSES = (
    "One place, {times:.0f} times as large: the outline (blue) crosses itself, and the roller (orange) cuts away "
    "what lies beyond: a sharp edge is left."
)
LOOPS = (
    "One place, {times:.0f} times as large: the centre path (purple, dashed) {way}, where the roller (orange) "
    "would have to turn back. No edge follows all of it."
)
WAYS = "comes to a point", "runs through a loop"
OVERLAP = "Two neighbouring rollers: they overlap by {overlap:.2g} mm."


class Crossing(NamedTuple):
    """Where the outline crosses itself: at `at` [mm], first with the angle `first`, then with `then` [rad]."""

    at: Floats
    first: float
    then: float


@read
def drawn(report: Report) -> str:
    """The place that makes a drive impossible, as a figure of HTML with its words; "" for a sound drive.

    Of overlapping rollers, or else of the centre path where it turns back, or of the outline where it crosses itself.
    """
    if report.sound:
        return ""
    drive = report.drive
    if not report["rollers apart"].ok:
        return _overlap(drive)
    if not report["loop"].ok:
        return _loop(drive)
    crossing = crossing_of(drive)
    return "" if crossing is None else _crossing(drive, crossing)


@read
def crossing_of(drive: Drive) -> Crossing | None:
    """Where the outline crosses itself within two lobes; None if it doesn't.

    The first one from +x on; the trochoid ratio must be below 1.
    """
    t = np.linspace(-1.0, 3.0, LOOKED + 1) * np.pi / drive.lobes
    points = outline.points(drive, t)
    steps = np.diff(points, axis=0)
    apart = points[None, :-1] - points[:-1, None]  # from the start of piece i to that of piece j
    turned = _cross(steps[:, None], steps[None])
    with np.errstate(divide="ignore", invalid="ignore"):
        on_i, on_j = _cross(apart, steps[None]) / turned, _cross(apart, steps[:, None]) / turned
    i, j = np.nonzero((on_i >= 0) & (on_i < 1) & (on_j >= 0) & (on_j < 1))
    i, j = i[j > i + 1], j[j > i + 1]  # neighbours only share an end
    at = points[i] + on_i[i, j][:, None] * steps[i]
    ahead = np.flatnonzero(at[:, 1] >= -1e-9)
    if not ahead.size:
        return None
    best = ahead[np.argmin(np.arctan2(at[ahead, 1], at[ahead, 0]))]
    return Crossing(at[best], float(t[i[best]]), float(t[j[best] + 1]))


def _crossing(drive: Drive, crossing: Crossing) -> str:
    loop = outline.points(drive, np.linspace(crossing.first, crossing.then, 50))
    half = min(max(4 * np.hypot(*(loop - crossing.at).T).max(), 0.02 * drive.roller_radius), 2 * drive.roller_radius)
    around = np.linspace(-2.0, 4.0, 1201) * np.pi / drive.lobes
    middle = outline.centre_path(drive, (crossing.first + crossing.then) / 2)
    place = Place(drive, crossing.at, half)
    roller = place.roller(middle, f'fill="none" {stroke(VERMILION, 2)}')
    return place.figure(roller + place.line(outline.points(drive, around), stroke(BLUE, 3)), CROSSES)


def _loop(drive: Drive) -> str:
    t = np.linspace(0.0, np.pi / drive.lobes, 201)[1:]
    side = outline.centre_path(drive, t)
    back = side[: int(np.argmax(side[:, 1] > 0))]  # beyond +x, on the other side of it: half of the loop
    at = outline.centre_path(drive, 0.0)
    size = float(np.hypot(*(back - at).T).max()) if len(back) else 0.0
    place = Place(drive, at, max(2 * size, 1.3 * drive.roller_radius))
    path = place.path(outline.centre_path(drive, np.linspace(-2.0, 2.0, 1201) * np.pi / drive.lobes))
    return place.figure(path + place.roller(at, f'fill="none" {stroke(VERMILION, 2)}'), LOOPS, way=WAYS[len(back) > 0])


def _overlap(drive: Drive) -> str:
    pins, radius = motion.pins(drive)[:2], drive.roller_radius
    apart = float(np.hypot(*(pins[1] - pins[0])))
    place = Place(drive, pins.mean(axis=0), 1.05 * (radius + apart / 2))
    body = "".join(place.roller(pin, f"{fill(VERMILION, 0.35)} {stroke(VERMILION, 2)}") for pin in pins)
    return place.figure(body, OVERLAP, overlap=2 * radius - apart)


@dataclass(frozen=True)
class Place:
    """A place of a drive, `half` [mm] on all sides of `at` [mm]; drawn a hundred units on all sides."""

    drive: Drive
    at: Floats
    half: float

    def seen(self, points: Floats) -> Floats:
        """Points [mm] in the picture's units; those far outside stay near, where they don't show."""
        return np.clip((points - self.at) * (100 / self.half), -1000, 1000)

    def line(self, points: Floats, style: str) -> str:
        """A line through points [mm]."""
        return svg.line(self.seen(points), f'fill="none" {style}')

    def path(self, points: Floats) -> str:
        """A piece of a centre path through points [mm]."""
        return self.line(points, stroke(PURPLE, 2, (8, 4)))

    def roller(self, centre: Floats, style: str) -> str:
        """A roller about a point [mm]."""
        x, y = self.seen(centre)
        return svg.circle(x, y, self.drive.roller_radius * 100 / self.half, style)

    def figure(self, body: str, words: str, **told: float | str) -> str:
        """The picture with its words, as HTML."""
        stage_half = -drive_parts.box(self.drive)[0]
        times = stage_half / self.half * WIDTH / STAGE_WIDTH
        said = words.format(times=max(1.0, times), **told)
        picture = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-100 -100 200 200">{body}</svg>'
        return f"<figure style='margin:.3em 0;max-width:{WIDTH}px'>{pages.still(picture, said)}</figure>"


def _cross(a: Floats, b: Floats) -> Floats:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
