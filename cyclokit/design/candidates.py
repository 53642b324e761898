"""Candidates for a brief: every point of a lattice with every choice of parts, judged many at once as one is."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from functools import reduce

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats
from cyclokit.design.brief import Brief, Roller
from cyclokit.design.lattice import CIRCLES, ECCENTRICITIES, Judged, Parts, circles, missed, reducer_at, step
from cyclokit.design.output_circle import PER_MM, ROUGH, best_place
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.defaults import crank_bearing
from cyclokit.machine.stock import Bearing
from cyclokit.mechanics import capacity
from cyclokit.report import SLACK, within
from cyclokit.signatures import Place, Size, read

BLOCK = 60_000  # candidates judged at once: more don't fit into a processor's cache


@read
def judged(
    brief: Brief,
    parts: Sequence[Parts],
    largest: Size,
    eased: Place,
    thicker_than: Size = 0.0,
    *,
    weighed: bool = False,
) -> Iterator[Judged]:
    """Candidates made of some parts that miss at most so many demands, all others met; the rest is left out.

    Parameters
    ----------
    brief : Brief
        The brief.
    parts : sequence of Parts
        Choices of parts; what is yielded tells them by their places here.
    largest : float
        Outer diameter up to which is looked [mm].
    eased : int
        How many demands may be missed.
    thicker_than : float
        Candidates whose thinnest wall isn't thicker are left out [mm].
    weighed : bool
        Whether to say what torque they bear where the brief doesn't ask for any.

    Yields
    ------
    Judged
        Blocks of them.

    Examples
    --------
    >>> from cyclokit.design.lattice import choices
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> had = next(judged(brief, choices(brief), 110.0, eased=0))
    >>> had.wall.size > 0
    True
    """
    for ring in dict.fromkeys(choice.ring for choice in parts):
        these = np.array(
            [number for number, choice in enumerate(parts) if choice.ring == ring and choice.wall > thicker_than],
            dtype=int,
        )
        if not these.size:
            continue
        borne: list[capacity.Strengths] = []
        for shapes in _shapes(brief, ring, [parts[number].bearing for number in these], largest, eased):
            if not shapes.wall.size:
                continue
            if weighed or brief.torque:
                borne = borne or _strengths(brief, parts, these, shapes)
                shapes = _strong_enough(brief, parts[these[0]], shapes, borne, eased)
            for start in range(0, shapes.wall.size, max(1, BLOCK // these.size)):
                block = shapes.at(np.arange(start, min(start + max(1, BLOCK // these.size), shapes.wall.size)))
                yield from _dressed(brief, parts, these, block, eased, thicker_than, borne)


def _shapes(brief: Brief, ring: Roller, bearings: Sequence[Bearing], largest: float, eased: int) -> Iterator[Judged]:
    """What is sound as a drive, as yet without output rollers, and with walls as thick as you like."""
    pins, number = brief.ratio + 1, circles(brief, largest)
    widest = max(bearing.bore_diameter for bearing in bearings) / 2 - brief.shaft_diameter / 2
    deepest = min(widest, largest / 2 / pins)  # an eccentric holds its shaft, and no drive has loops
    last = max(0, math.ceil(deepest * ECCENTRICITIES / step(brief)))
    every = np.arange(1, last + 1) * step(brief) / ECCENTRICITIES
    rows = max(1, BLOCK // max(1, last))
    for start in reversed(range(1, number + 1, rows)):  # on large machines what is looked for is found soonest
        radius = np.arange(start, min(start + rows, number + 1)) * step(brief) / CIRCLES
        # no need to look where rollers overlap, or every path has loops: nothing is sound there
        radius = radius[limits.half_pin_distance(pins, radius) > ring.radius][:, None]
        eccentricity = every[every * pins < radius.max(initial=0.0)]
        if not eccentricity.size:
            continue
        bounds = limits.bounds(pins, radius, ring.radius, eccentricity)
        sound = reduce(np.logical_and, [within(value, bound, strict=True) for value, bound in bounds.values()])
        most = limits.greatest_eccentricity(pins, radius, ring.radius)
        edge = bounds["undercut"][1] - ring.radius - brief.outline_clearance
        values: dict[str, ArrayLike] = {
            "choice": 0,
            "pin_circle_radius": radius,
            "eccentricity": eccentricity,
            "output_circle_radius": 0.0,
            "reach": space.reach(radius, ring.radius, eccentricity),
            "wall": np.inf,
            "detail": np.minimum(limits.lobe_height(eccentricity), edge),
            "gap": limits.wall_between_rollers(pins, radius, ring.radius) if ring.turns else np.inf,
            "share": eccentricity / np.where(most > 0, most, np.inf),
            "torque": np.inf,
        }
        all_of = Judged(*(np.broadcast_to(values[field.name], sound.shape) for field in fields(Judged)))
        yield all_of.at(np.nonzero(sound & (sum(missed(brief, all_of).values()) <= eased)))


def _dressed(
    brief: Brief,
    parts: Sequence[Parts],
    these: np.ndarray,
    shapes: Judged,
    eased: int,
    thicker_than: float,
    borne: Sequence[capacity.Strengths],
) -> Iterator[Judged]:
    """The same with output rollers and bearings, each on its best output circle, with the walls that this leaves."""
    made, every = [parts[number] for number in these], np.arange(these.size)[:, None]
    first_of_all = _lengths(brief, made, every[:1], shapes.at(np.arange(1)), 2.0)
    place, thinnest = best_place(_lengths(brief, made, every, shapes, 1.0), first_of_all)
    own = np.array([parts.wall for parts in made])
    thinnest = np.minimum(thinnest, own[:, None])
    lost = missed(brief, shapes)
    outside = lost.pop("outer diameter")
    # where both are missed, thinner walls may do for the diameter as well: the housing has a wall
    thin = thinnest < brief.least_wall - ROUGH
    kind, where = np.nonzero((sum(lost.values()) + (outside | thin) <= eased) & (thinnest > thicker_than))
    whole, shapes, place = shapes, shapes.at(where), place[kind, where]
    lower, upper = (_at_circle(brief, made, kind, shapes, number / PER_MM) for number in (place, place + 1))
    wall = np.minimum(np.maximum(lower, upper), own[kind])
    # where the upper one is forbidden the lower may have hardly a wall more
    circle = np.where((upper > 0) & (upper >= lower - SLACK), place + 1, place) / PER_MM
    found = replace(shapes, choice=these[kind], output_circle_radius=circle, wall=wall)
    kept = np.flatnonzero(_within_eased(brief, found, eased) & (wall > thicker_than))
    found, kind, where = found.at(kept), kind[kept], where[kept]
    if borne and kept.size:
        used, places = np.flatnonzero(np.bincount(where)), np.cumsum(np.bincount(where) > 0) - 1
        alike = _lengths(brief, made[:1], np.zeros(used.size, dtype=int), whole.at(used), 1.0)
        found = _weighed(
            brief, made, kind, found, capacity.together(borne, kind), capacity.worst_contact(alike)[places[where]]
        )
        found = found.at(_within_eased(brief, found, eased))
    yield found


def _strong_enough(
    brief: Brief, made: Parts, shapes: Judged, borne: Sequence[capacity.Strengths], eased: int
) -> Judged:
    """Shapes with a torque that no choice of parts exceeds; those that miss too much with it are left out."""
    plain = _lengths(brief, [made], np.zeros(shapes.wall.size, dtype=int), shapes, 1.0)
    strong = replace(shapes, torque=capacity.at_most(borne, plain))
    return strong.at(np.asarray(sum(missed(brief, strong).values()) <= eased))


def _within_eased(brief: Brief, had: Judged, eased: int) -> np.ndarray:
    """Which candidates miss no more demands than that; diameter and wall, which may be eased as one, count once."""
    lost = missed(brief, had)
    both = lost.pop("outer diameter") | lost.pop("least wall")
    return np.asarray(sum(lost.values()) + both <= eased)


def _strengths(brief: Brief, parts: Sequence[Parts], these: np.ndarray, shapes: Judged) -> list[capacity.Strengths]:
    """What each of these choices of parts bears, whatever the shape is."""
    some = replace(shapes.at(np.arange(1)), output_circle_radius=np.ones(1))
    return [capacity.strengths(reducer_at(brief, parts[number], some, 0), brief.safety) for number in these]


def _weighed(
    brief: Brief, made: Sequence[Parts], kind: np.ndarray, found: Judged, borne: capacity.Strengths, worst: Floats
) -> Judged:
    """The same candidates with the torque that they bear."""
    plain = _lengths(brief, made, kind, found, found.output_circle_radius)
    return replace(found, torque=capacity.torque(borne, plain, worst))


def _lengths(
    brief: Brief, made: Sequence[Parts], kind: np.ndarray, shapes: Judged, circle: float | Floats
) -> space.Lengths:
    """The plain numbers of shapes with the parts of some kind and an output circle."""
    ring, shaft = made[0].ring, brief.shaft_diameter / 2
    output = np.array([parts.output.radius for parts in made])[kind]
    return space.Lengths(
        pins=np.asarray(brief.ratio + 1),
        pin_circle_radius=shapes.pin_circle_radius,
        roller_radius=np.asarray(ring.radius),
        eccentricity=shapes.eccentricity,
        disc_roller_radius=np.asarray(ring.radius + brief.outline_clearance),
        pin_rod_radius=np.asarray(ring.rod_radius),
        output_rollers=np.asarray(brief.output_rollers),
        output_circle_radius=np.asarray(circle),
        output_roller_radius=output,
        output_rod_radius=np.array([parts.output.rod_radius for parts in made])[kind],
        hole_radius=output + shapes.eccentricity + brief.hole_clearance,
        shaft_radius=np.asarray(shaft),
        eccentric_radius=np.array([parts.bearing.bore_diameter / 2 for parts in made])[kind],
        bore_radius=np.array([parts.bearing.outer_diameter / 2 for parts in made])[kind],
        crank_bearing_radius=np.asarray(crank_bearing(shaft).outer_diameter / 2),
        running_gap=np.asarray(brief.running_gap),
    )


def _at_circle(brief: Brief, made: Sequence[Parts], kind: np.ndarray, shapes: Judged, circle: Floats) -> Floats:
    """The thinnest wall with that output circle, 0 where something physical forbids it."""
    plain = _lengths(brief, made, kind, shapes, circle)
    return np.where(space.sound(plain), reduce(np.minimum, space.walls(plain).values()), 0.0)
