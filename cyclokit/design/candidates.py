"""Candidates for a brief: a grid of drives and output circles, judged many at once by the bounds of one."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce
from itertools import product

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.design.brief import Brief, bearings_at_hand, radii_at_hand
from cyclokit.drive import Drive
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.defaults import RUNNING_GAP, crank_bearing, pin_bearing, pin_made, rod_radius
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing

BLOCK = 200_000  # candidates judged at once: more take memory and no less time


@dataclass(frozen=True)
class Parts:
    """A choice of what is at hand: radii of ring and output rollers, and the eccentrics' bearing."""

    roller_radius: float
    output_roller_radius: float
    bearing: Bearing


@dataclass(frozen=True)
class Judged:
    """A block of candidates made of the same parts; arrays whose shapes broadcast to (pin circles, K1, circles)."""

    parts: Parts
    pin_circle_radius: Floats
    eccentricity: Floats
    output_circle_radius: Floats
    possible: np.ndarray  # nothing physical forbids it
    wall: Floats  # thinnest of all but the housing's
    reach: Floats


def grid(brief: Brief, largest: float, number: int) -> Iterator[Judged]:
    """About that many candidates, judged, with pin circles up to the largest radius."""
    radii = radii_at_hand(brief)
    choices = [Parts(*parts) for parts in product(radii, radii, bearings_at_hand(brief))]
    side = max(2, round((number / len(choices)) ** (1 / 3)))
    share = np.arange(1, side + 1) / (side + 1)
    circles = np.maximum(np.round(largest * np.arange(1, side + 1) / side, 1), 0.1)
    step = max(1, BLOCK // side**2)
    for parts in choices:
        for start in range(0, side, step):
            yield _judge(brief, parts, circles[start : start + step, None, None], share[:, None], share)


def _judge(brief: Brief, parts: Parts, radius: Floats, ratio: Floats, circle: Floats) -> Judged:
    """Candidates by their pin circle radius, trochoid ratio and share of the output circle, judged."""
    pins = brief.ratio + 1
    eccentricity = np.maximum(np.round(ratio * radius / pins, 2), 0.01)
    output = np.maximum(np.round(circle * radius, 1), 0.1)
    roller = np.asarray(parts.roller_radius)
    plain = space.Lengths(
        pins=np.asarray(pins),
        pin_circle_radius=radius,
        roller_radius=roller,
        eccentricity=eccentricity,
        disc_roller_radius=roller + brief.outline_clearance,
        pin_rod_radius=np.asarray(_rod_radius(parts.roller_radius)),
        output_rollers=np.asarray(brief.output_rollers),
        output_circle_radius=output,
        output_roller_radius=np.asarray(parts.output_roller_radius),
        output_rod_radius=np.asarray(_rod_radius(parts.output_roller_radius)),
        hole_radius=parts.output_roller_radius + eccentricity + brief.hole_clearance,
        shaft_radius=np.asarray(brief.shaft_radius),
        eccentric_radius=np.asarray(parts.bearing.bore_diameter / 2),
        bore_radius=np.asarray(parts.bearing.outer_diameter / 2),
        crank_bearing_radius=np.asarray(crank_bearing(brief.shaft_radius).outer_diameter / 2),
        running_gap=np.asarray(RUNNING_GAP),
    )
    walls = [*space.walls(plain).values(), limits.wall_between_rollers(pins, radius, roller)]
    return Judged(
        parts,
        radius,
        eccentricity,
        output,
        limits.sound(pins, radius, roller, eccentricity) & space.sound(plain),
        reduce(np.minimum, walls),
        space.reach(radius, roller, eccentricity),
    )


def _rod_radius(roller_radius: float) -> float:
    made = pin_made(roller_radius, None)
    return rod_radius(roller_radius, made, pin_bearing(roller_radius) if made == "bearing on rod" else None)


def met(block: Judged, outer: float | Floats, least_wall: float | Floats, resolution: float | Floats) -> np.ndarray:
    """Whether candidates meet the demands that are lengths; the housing has a wall just as thick as asked for."""
    return (
        block.possible
        & (block.wall > least_wall)
        & (2 * (block.reach + least_wall) <= outer)
        & (limits.lobe_height(block.eccentricity) > resolution)
    )


def at(values: Floats, shape: tuple[int, ...], where: np.ndarray | np.intp) -> Floats:
    """Values that broadcast to the shape, at flat places in it."""
    return np.broadcast_to(values, shape)[np.unravel_index(where, shape)]


def reducer_at(brief: Brief, block: Judged, shape: tuple[int, ...], where: np.intp) -> Reducer:
    """The candidate at a flat place in the block, as a reducer."""
    radius, eccentricity, circle = (
        float(at(values, shape, where))
        for values in (block.pin_circle_radius, block.eccentricity, block.output_circle_radius)
    )
    return Reducer(
        Drive(brief.ratio + 1, radius, block.parts.roller_radius, eccentricity),
        output_rollers=brief.output_rollers,
        output_circle_radius=circle,
        output_roller_radius=block.parts.output_roller_radius,
        eccentric_bearing=block.parts.bearing,
        shaft_radius=brief.shaft_radius,
        housing_wall=brief.least_wall,
        hole_clearance=brief.hole_clearance,
        outline_clearance=brief.outline_clearance,
    )
