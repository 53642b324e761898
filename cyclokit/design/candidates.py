"""Candidates for a brief: every point of a lattice with every choice of parts, judged many at once as one is."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from functools import reduce
from itertools import product

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_count
from cyclokit.design.brief import Brief, Roller, bearings_at_hand, rollers_at_hand
from cyclokit.design.output_circle import PER_MM, ROUGH, best_place
from cyclokit.drive import Drive
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.defaults import PINS_MADE, crank_bearing
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.mechanics import capacity
from cyclokit.report import SLACK, within
from cyclokit.signatures import Place, Size, read

CIRCLES, ECCENTRICITIES = 10, 100  # lattice points in a mm where the step is 1
LARGE = 300.0  # mm of outer diameter asked for; beyond it the step doubles, and again at each doubling
BLOCK = 60_000  # candidates judged at once: more don't fit into a processor's cache
DIGITS = 9  # to which figures that are meant to be equal are


@dataclass(frozen=True)
class Parts:
    """A choice of what is at hand: ring and output rollers, and the eccentrics' bearing.

    Examples
    --------
    >>> from cyclokit.machine.stock import BEARINGS
    >>> sleeve, solid = Roller(4.0, None), Roller(2.0, None)
    >>> Parts(sleeve, solid, BEARINGS["61801"]).wall  # mm, of the sleeve
    2.0
    """

    ring: Roller
    output: Roller
    bearing: Bearing

    @property
    def wall(self) -> float:
        """The thinnest wall of the rollers themselves, as `space` reports them [mm]."""
        ring, output = self.ring, self.output
        walls = space.roller_walls(ring.made, ring.radius, ring.rod_radius, output.radius, output.rod_radius)
        return min(walls.values(), default=np.inf)


@dataclass(frozen=True)
class Judged:
    """Candidates that nothing physical forbids, one in each place of the arrays, and what they have.

    Attributes
    ----------
    choice : ndarray of int
        Which of the choices of parts.
    pin_circle_radius, eccentricity, output_circle_radius : ndarray
        Lattice points [mm]; of the output circles the one that leaves the thickest walls.
    reach, wall, detail, gap : ndarray
        How far rollers and disc reach; the thinnest wall but the housing's; the lobe's height or the radius of its
        sharpest edge, whichever is less; between ring rollers, if these turn [mm].
    share : ndarray
        Eccentricity by the greatest.
    torque : ndarray
        Torque at the output that `mechanics.capacity` allows them [N mm]; infinite where nobody asked.

    Examples
    --------
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> parts = choices(brief)
    >>> had = next(judged(brief, parts, 110.0, eased=0))
    >>> bool(had.at(had.share > 0.7).share.min() > 0.7)
    True
    """

    choice: np.ndarray
    pin_circle_radius: Floats
    eccentricity: Floats
    output_circle_radius: Floats
    reach: Floats
    wall: Floats
    detail: Floats
    gap: Floats
    share: Floats
    torque: Floats

    def at(self, where: np.ndarray | tuple[np.ndarray, ...]) -> "Judged":
        """The candidates at some places, or where a mask says so."""
        return Judged(**{field.name: getattr(self, field.name)[where] for field in fields(self)})


@read
def step(brief: Brief) -> int:
    """How many times coarser than 0.1 and 0.01 mm the lattice is; it depends on the diameter asked for alone.

    Examples
    --------
    >>> step(Brief(19, 110, ["623"])), step(Brief(19, 500, ["623"]))
    (1, 2)
    """
    return int(2 ** max(0, math.ceil(math.log2(brief.greatest_outer_diameter / LARGE))))


@read
def choices(brief: Brief) -> list[Parts]:
    """Every choice of parts, in the order at hand; no ring sleeves for more discs than may share one.

    Examples
    --------
    >>> len(choices(Brief(19, 110, ["623", 8], eccentric_bearings=["61801"])))  # ring rollers by output rollers
    4
    """
    rollers = rollers_at_hand(brief)
    rings = [roller for roller in rollers if roller.made != PINS_MADE[1] or brief.discs <= space.MOST_ON_A_SLEEVE]
    return [Parts(*parts) for parts in product(rings, rollers, bearings_at_hand(brief))]


@read
def number(brief: Brief) -> int:
    """How many points the lattice has: pin circles inside the outer diameter, trochoid ratios below 1, all parts.

    Examples
    --------
    >>> number(Brief(19, 110, ["623"], eccentric_bearings=["61801"]))
    75350
    """
    circles = range(1, _circles(brief, brief.greatest_outer_diameter) + 1)
    finer = ECCENTRICITIES // CIRCLES
    return len(choices(brief)) * sum((finer * circle - 1) // (brief.ratio + 1) for circle in circles)


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
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> parts = choices(brief)
    >>> had = next(judged(brief, parts, 110.0, eased=0))
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


@read
def missed(brief: Brief, had: Judged) -> dict[str, np.ndarray]:
    """Which candidates miss which demand; the housing has a wall just as thick as is asked for.

    Examples
    --------
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> parts = choices(brief)
    >>> had = next(judged(brief, parts, 110.0, eased=0))
    >>> any(misses.any() for misses in missed(brief, had).values())
    False
    """
    return {
        "outer diameter": ~within(outer_diameter(brief, had), brief.greatest_outer_diameter, strict=False),
        "least wall": ~within(brief.least_wall, had.wall, strict=False),
        "resolution": ~within(brief.resolution, had.detail, strict=False),
        "running gap": ~within(brief.running_gap, had.gap, strict=False),
        "least share": ~within(brief.least_share, had.share, strict=False),
        "greatest share": ~within(had.share, brief.greatest_share, strict=False),
        "torque": ~within(brief.torque, had.torque, strict=False),
    }


@read
def outer_diameter(brief: Brief, had: Judged) -> Floats:
    """Of the housing [mm].

    Examples
    --------
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> parts = choices(brief)
    >>> blocks = judged(brief, parts, 110.0, eased=0)
    >>> round(min(float(outer_diameter(brief, had).min()) for had in blocks), 1)  # mm
    79.0
    """
    return 2 * (had.reach + housing_wall(brief))


@read
def housing_wall(brief: Brief) -> float:
    """The least, running gap included [mm].

    Examples
    --------
    >>> housing_wall(Brief(19, 110, ["623"]))  # mm
    1.5
    """
    return brief.least_wall + brief.running_gap


@read
def reducer_at(brief: Brief, parts: Parts, had: Judged, where: Place) -> Reducer:
    """The candidate at a place as a reducer.

    Examples
    --------
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> parts = choices(brief)
    >>> had = next(judged(brief, parts, 110.0, eased=0))
    >>> reducer_at(brief, parts[0], had, 0).eccentric_bearing.name
    '61801'
    """
    checked_count("where", where, 0, had.pin_circle_radius.size - 1)
    radius, eccentricity, circle = (
        float(values[where]) for values in (had.pin_circle_radius, had.eccentricity, had.output_circle_radius)
    )
    return Reducer(
        Drive(brief.ratio + 1, radius, parts.ring.radius, eccentricity),
        discs=brief.discs,
        least_wall=brief.least_wall,
        running_gap=brief.running_gap,
        housing_wall=housing_wall(brief),
        shaft_radius=brief.shaft_diameter / 2,
        eccentric_bearing=parts.bearing,
        output_rollers=brief.output_rollers,
        output_circle_radius=circle,
        output_roller_radius=parts.output.radius,
        output_rod_radius=parts.output.rod_radius,
        pin_made=parts.ring.made,
        pin_bearing=parts.ring.bearing,
        hole_clearance=brief.hole_clearance,
        outline_clearance=brief.outline_clearance,
        disc_material=brief.disc_material,
        roller_material=brief.roller_material,
        rod_material=brief.rod_material,
    )


@read
def first(columns: Sequence[np.ndarray]) -> int:
    """Place of the smallest in the first column, among those alike in the next, and so on.

    Examples
    --------
    >>> first([np.array([2.0, 1.0, 1.0]), np.array([0.0, 5.0, 4.0])])
    2
    """
    if len({column.shape for column in columns}) != 1 or columns[0].ndim != 1 or not columns[0].size:
        raise ValueError("columns must be arrays of equally many numbers, one or more: give at least one of them.")
    where = np.arange(columns[0].size)
    for column in columns:
        rounded = np.round(column[where], DIGITS)
        where = where[rounded == rounded.min()]
    return int(where[0])


@read
def ties(brief: Brief, had: Judged) -> list[Floats]:
    """What decides between designs that are alike else: pin force, which falls with the eccentricity; walls; size.

    Examples
    --------
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> parts = choices(brief)
    >>> had = next(judged(brief, parts, 110.0, eased=0))
    >>> len(ties(brief, had))  # columns, each with one number for every candidate
    3
    """
    return [-had.eccentricity, -had.wall, outer_diameter(brief, had)]


def _circles(brief: Brief, largest: float) -> int:
    """Number of pin circles in the lattice up to an outer diameter."""
    return math.floor(largest / 2 * CIRCLES / step(brief) + SLACK)


def _shapes(brief: Brief, ring: Roller, bearings: Sequence[Bearing], largest: float, eased: int) -> Iterator[Judged]:
    """What is sound as a drive, as yet without output rollers, and with walls as thick as you like."""
    pins, number = brief.ratio + 1, _circles(brief, largest)
    widest = max(bearing.bore_diameter for bearing in bearings) / 2 - brief.shaft_diameter / 2
    deepest = min(widest, largest / 2 / pins)  # an eccentric holds its shaft, and no drive has loops
    last = max(0, math.ceil(deepest * ECCENTRICITIES / step(brief)))
    eccentricity = np.arange(1, last + 1) * step(brief) / ECCENTRICITIES
    rows = max(1, BLOCK // max(1, last))
    for start in reversed(range(1, number + 1, rows)):  # on large machines what is looked for is found soonest
        radius = np.arange(start, min(start + rows, number + 1))[:, None] * step(brief) / CIRCLES
        bounds = limits.bounds(pins, radius, ring.radius, eccentricity)
        sound = reduce(np.logical_and, [within(value, bound, strict=True) for value, bound in bounds.values()])
        most = limits.greatest_eccentricity(pins, radius, ring.radius)
        edge = bounds["undercut"][1] - ring.radius - brief.outline_clearance
        values: dict[str, ArrayLike] = {
            "choice": 0,
            "pin_circle_radius": radius,
            "eccentricity": eccentricity,
            "output_circle_radius": 0.0,
            "reach": space.reach(radius, ring.radius, eccentricity) if last else 0.0,
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
    circle = np.where(upper >= lower - SLACK, place + 1, place) / PER_MM
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
