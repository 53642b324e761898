"""What a cut through a reducer's axis leaves: faces, part by part, and where the discs lie. `section` draws them.

The plane of the cut holds the axis and the first disc's eccentricity. Output rollers are turned into it, as drawings
do (aligned section, ISO 128-3, from memory). No reducer says yet how thick its plates are: they are as wide
here as the crank's bearing, which the output plate holds.
"""

import itertools
import math
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.geometry import motion, outline
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.signatures import read

DISCS = ("disc", "second disc", "third disc")
STUB = 5.0  # shaft radii that the crank stands out on the motor's side


class Face(NamedTuple):
    """A face of the cut: its part, and its corners (n, 2), along the axis and off it [mm]."""

    part: str
    corners: Floats


@read
def faces(reducer: Reducer) -> list[Face]:
    """All faces that the cut leaves, those farther back first.

    Parameters
    ----------
    reducer : Reducer
        The machine, its crank along the plane of the cut.

    Returns
    -------
    list of Face
        Each part's faces, on both sides of the axis.

    Raises
    ------
    TypeError
        If `reducer` is no Reducer.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> made = faces(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> sorted({face.part for face in made if "disc" in face.part})
    ['disc', 'second disc']
    """
    found = [*_plates(reducer), *_crank(reducer)]
    for disc in range(reducer.discs):
        found += [*_disc(reducer, disc), *_on_its_eccentric(reducer, disc)]
    return [*found, *_pins(reducer), *_output(reducer)]


@read
def middles(reducer: Reducer) -> Floats:
    """Where the middle plane of each disc lies along the axis, from the first disc's outer face [mm]."""
    return np.asarray(reducer.disc_thickness / 2 + reducer.disc_pitch * np.arange(reducer.discs), dtype=np.float64)


@read
def inside(reducer: Reducer) -> tuple[float, float]:
    """From plate to plate along the axis: discs, or bearings that are wider, and a running gap on either side."""
    wide = [reducer.disc_thickness, reducer.eccentric_bearing.width]
    wide += [reducer.ring_bearing.width] if reducer.ring_bearing else []
    half = max(wide) / 2 + reducer.running_gap
    places = middles(reducer)
    return float(places[0]) - half, float(places[-1]) + half


def _both(part: str, along: tuple[float, float], low: float, high: float) -> list[Face]:
    """A face above the axis, and the same below."""
    return [_on_side(part, along, low, high, side) for side in (1, -1)]


def _on_side(part: str, along: tuple[float, float], low: float, high: float, side: int) -> Face:
    """A face above the axis, or the same below: side 1 or -1."""
    return _box(part, along, *sorted((side * low, side * high)))


def _pin_sides(reducer: Reducer) -> tuple[int, ...]:
    """On which sides of the axis the plane meets a ring pin: an odd number of pins has none opposite another."""
    return (1,) if reducer.drive.pins % 2 else (1, -1)


def _box(part: str, along: tuple[float, float], low: float, high: float) -> Face:
    left, right = along
    return Face(part, np.array([(left, low), (right, low), (right, high), (left, high)]))


def _plates(reducer: Reducer) -> Iterable[Face]:
    """Housing with its ends, which hold the pins, and the plate that the output rods stand in."""
    left, right = inside(reducer)
    thick, rod, wall = reducer.crank_bearing.width, reducer.pin_rod_radius, reducer.least_wall
    circle, outside = reducer.drive.pin_circle_radius, space.outer_diameter(reducer) / 2
    low = circle - rod - wall
    ends = [(right, right + thick)]
    ends += [(left - thick, left)] if reducer.pin_support == "both ends" else []
    for end in ends:
        for side in _pin_sides(reducer):  # above the rod and below it
            yield _on_side("housing", end, circle + rod, outside, side)
            yield _on_side("housing", end, low, circle - rod, side)
        if len(_pin_sides(reducer)) == 1:
            yield _on_side("housing", end, low, outside, -1)
    yield from _both("housing", (left, right), outside - reducer.housing_wall + reducer.running_gap, outside)
    plate, bore = (left - thick, left), reducer.crank_bearing.outer_diameter / 2
    output, rod = reducer.output_circle_radius, reducer.output_rod_radius
    yield from _both("output plate", plate, bore, output - rod)
    yield from _both("output plate", plate, output + rod, output + rod + wall)
    yield from _bearing("bearing of the crank", left - thick / 2, 0.0, reducer.crank_bearing, 0.0)


def _crank(reducer: Reducer) -> Iterable[Face]:
    """The shaft, from the output plate to the motor, and the spacers on it."""
    left, right = inside(reducer)
    radius, thick = reducer.shaft_radius, reducer.crank_bearing.width
    width, places = reducer.eccentric_bearing.width, middles(reducer)
    for one, other in itertools.pairwise(places):
        yield from _both("spacer", (one + width / 2, other - width / 2), radius, reducer.spacer_radius)
    yield _box("crank", (left - thick, right + thick + STUB * radius), -radius, radius)


@read
def offsets(reducer: Reducer) -> Floats:
    """How far each disc's middle lies off the axis, along the plane of the cut and square to it [mm], (n, 2)."""
    ahead = motion.phases(reducer.discs)
    return np.asarray(reducer.drive.eccentricity * np.column_stack([np.cos(ahead), np.sin(ahead)]), dtype=np.float64)


def _disc(reducer: Reducer, disc: int) -> Iterable[Face]:
    """What is left of a disc beside its bore and two of its holes, up to where the plane meets its outline."""
    place, half = middles(reducer)[disc], reducer.disc_thickness / 2
    off, beside = offsets(reducer)[disc]
    bore = math.sqrt(reducer.bore_radius**2 - beside**2)
    hole, circle = reducer.hole_radius, reducer.output_circle_radius
    low, high = _reach(reducer, disc)
    above = (off + bore, off + circle - hole), (off + circle + hole, high)
    below = (low, off - circle - hole), (off - circle + hole, off - bore)
    for lower, upper in (*above, *below):
        yield _box(DISCS[disc], (place - half, place + half), lower, upper)


def _reach(reducer: Reducer, disc: int) -> tuple[float, float]:
    """Where the plane of the cut meets a disc's outline, below the axis and above it [mm]."""
    ahead = 2 * math.pi * disc / reducer.discs
    pose = motion.disc_pose(reducer.drive, ahead)
    edge = pose.centre + motion.turned(outline.polygon(reducer.disc_drive), pose.angle)
    here, there = edge[:-1], edge[1:]
    crossing = (here[:, 1] <= 0) != (there[:, 1] <= 0)
    share = here[crossing, 1] / (here[crossing, 1] - there[crossing, 1])
    met = here[crossing, 0] + share * (there[crossing, 0] - here[crossing, 0])
    return float(met.min()), float(met.max())


def _on_its_eccentric(reducer: Reducer, disc: int) -> Iterable[Face]:
    """The eccentric beside the shaft, and the bearing on it."""
    place, bearing = middles(reducer)[disc], reducer.eccentric_bearing
    off, beside = offsets(reducer)[disc]
    radius = math.sqrt((bearing.bore_diameter / 2) ** 2 - beside**2)
    along = (place - bearing.width / 2, place + bearing.width / 2)
    yield _box("eccentric", along, reducer.shaft_radius, off + radius)
    yield _box("eccentric", along, off - radius, -reducer.shaft_radius)
    yield from _bearing("bearing on the eccentric", place, off, bearing, beside)


def _bearing(part: str, place: float, off: float, bearing: Bearing, beside: float) -> Iterable[Face]:
    """Rings and balls of a bearing about a place; each ring a quarter of the height: common practice, no source."""
    bore, shoulder, outside = bearing.bore_diameter / 2, bearing.shoulder_radius, bearing.outer_diameter / 2
    edges = [math.sqrt(radius**2 - beside**2) for radius in (bore, shoulder, bore + outside - shoulder, outside)]
    along = (place - bearing.width / 2, place + bearing.width / 2)
    for side in (1, -1):
        for one, other in (edges[:2], edges[2:]):
            yield _box(part, along, *sorted((off + side * one, off + side * other)))
        ball = min(0.6 * (outside - bore) / 2, 0.8 * bearing.width) / 2
        around = np.linspace(0, 2 * np.pi, 37)[:-1]
        middle = np.array([place, off + side * (edges[1] + edges[2]) / 2])
        yield Face("ball", middle + ball * np.column_stack([np.cos(around), np.sin(around)]))


def _pins(reducer: Reducer) -> Iterable[Face]:
    """A ring pin on either side: its rod, held by the housing, and what rolls on it."""
    left, right = inside(reducer)
    circle, rod, roller = reducer.drive.pin_circle_radius, reducer.pin_rod_radius, reducer.drive.roller_radius
    thick = reducer.crank_bearing.width
    held = left - (thick if reducer.pin_support == "both ends" else 0.0)
    along = (held, right + thick)
    for side in _pin_sides(reducer):
        yield _on_side("rod of a ring pin", along, circle - rod, circle + rod, side)
        if reducer.ring_bearing:
            for place in middles(reducer):
                yield from _bearing("roller on a ring pin", place, side * circle, reducer.ring_bearing, 0.0)
        elif roller > rod:
            yield _on_side("roller on a ring pin", (left, right), circle + rod, circle + roller, side)
            yield _on_side("roller on a ring pin", (left, right), circle - roller, circle - rod, side)


def _output(reducer: Reducer) -> Iterable[Face]:
    """An output roller in either hole of every disc, and the rods that carry them out of the plate."""
    left, right = inside(reducer)
    circle, rod, roller = reducer.output_circle_radius, reducer.output_rod_radius, reducer.output_roller_radius
    yield from _both("rod of an output roller", (left - reducer.crank_bearing.width, right), circle - rod, circle + rod)
    for place in middles(reducer) if roller > rod else ():
        along = (place - reducer.disc_thickness / 2, place + reducer.disc_thickness / 2)
        yield from _both("output roller", along, circle + rod, circle + roller)
        yield from _both("output roller", along, circle - roller, circle - rod)
