"""The lattice of candidates for a brief: its points and choices of parts, what they have, and what they miss."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import product

import numpy as np

from cyclokit.arguments import Floats, checked_count
from cyclokit.design.brief import Brief, Roller, bearings_at_hand, rollers_at_hand
from cyclokit.drive import Drive
from cyclokit.machine import stack
from cyclokit.machine.defaults import PINS_MADE
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.report import SLACK, within
from cyclokit.signatures import Place, Size, read

CIRCLES, ECCENTRICITIES = 10, 100  # lattice points in a mm where the step is 1
LARGE = 300.0  # mm of outer diameter asked for; beyond it the step doubles, and again at each doubling
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
        walls = stack.roller_walls(ring.made, ring.radius, ring.rod_radius, output.radius, output.rod_radius)
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
    >>> from cyclokit.design.candidates import judged
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> had = next(judged(brief, choices(brief), 110.0, eased=0))
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
    rings = [roller for roller in rollers if roller.made != PINS_MADE[1] or brief.discs <= stack.MOST_ON_A_SLEEVE]
    return [Parts(*parts) for parts in product(rings, rollers, bearings_at_hand(brief))]


@read
def number(brief: Brief) -> int:
    """How many points the lattice has: pin circles inside the outer diameter, trochoid ratios below 1, all parts.

    Examples
    --------
    >>> number(Brief(19, 110, ["623"], eccentric_bearings=["61801"]))
    75350
    """
    finer, last = ECCENTRICITIES // CIRCLES, circles(brief, brief.greatest_outer_diameter)
    return len(choices(brief)) * sum((finer * circle - 1) // (brief.ratio + 1) for circle in range(1, last + 1))


@read
def missed(brief: Brief, had: Judged) -> dict[str, np.ndarray]:
    """Which candidates miss which demand; the housing has a wall just as thick as is asked for.

    Examples
    --------
    >>> from cyclokit.design.candidates import judged
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> had = next(judged(brief, choices(brief), 110.0, eased=0))
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
    >>> from cyclokit.design.candidates import judged
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> blocks = judged(brief, choices(brief), 110.0, eased=0)
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
    >>> from cyclokit.design.candidates import judged
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> had = next(judged(brief, choices(brief), 110.0, eased=0))
    >>> reducer_at(brief, choices(brief)[0], had, 0).eccentric_bearing.name
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
    >>> from cyclokit.design.candidates import judged
    >>> brief = Brief(19, 110, ["623"], eccentric_bearings=["61801"])
    >>> had = next(judged(brief, choices(brief), 110.0, eased=0))
    >>> len(ties(brief, had))  # columns, each with one number for every candidate
    3
    """
    return [-had.eccentricity, -had.wall, outer_diameter(brief, had)]


@read
def circles(brief: Brief, largest: Size) -> int:
    """Number of pin circles in the lattice up to an outer diameter [mm].

    Examples
    --------
    >>> circles(Brief(19, 110, ["623"]), 60.0)
    300
    """
    return math.floor(largest / 2 * CIRCLES / step(brief) + SLACK)
