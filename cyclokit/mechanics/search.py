"""Designs that meet a brief: a grid of candidates judged by the bounds of `limits` and `space`, ranked by a goal."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import reduce
from itertools import chain, combinations, product
from numbers import Integral

import numpy as np

from cyclokit.arrays import Floats
from cyclokit.drive import MOST_PINS, Drive, checked_length
from cyclokit.geometry import limits
from cyclokit.geometry.report import Limit
from cyclokit.mechanics import space
from cyclokit.reducer import LEAST_WALL, Reducer, checked, crank_bearing_for
from cyclokit.stock import BEARINGS, Bearing

BLOCK = 200_000  # candidates judged at once: more take memory and no less time
WIDEST = 4  # times the outer diameter asked for: how far is looked if nothing fits
COARSER = 20  # so many other ratios or rollers are tried, each with so many times fewer candidates

# The goals: name -> what is least in the best design.
GOALS = {
    "smallest": "outer diameter [mm]",
    "thickest walls": "thinnest wall, taken negative [mm]",
    "lightest pin force": "greatest force on a ring pin for a torque of 1 N mm on one disc [N]",
}
# What can limit a design; the rest follows from the clearances that were given, or from these.
LIMITING = (
    "loop",
    "outline moved in",
    "wall",
    "lobe height",
    "crank bearing between the rollers",
    "wall between holes",
    "wall to the roots",
    "wall to the bore",
    "wall of the eccentric",
    "outer diameter",
)
OUTER = (
    "outer diameter of the housing, up to the greatest asked for",
    "The housing is larger than it may be.",
    "Choose a smaller pin circle or smaller rollers.",
)
DEMANDS = {
    "outer diameter": "let the outer diameter grow from {asked:g} to {needed:g} mm",
    "least wall": "let walls be thinner, {needed:g} instead of {asked:g} mm",
    "resolution": "print or cut finer, steps of {needed:g} instead of {asked:g} mm",
    "ratio": "take a ratio of {needed:g} instead of {asked:g}",
    "rollers": "take rollers of radius {needed:g} mm or less; the smallest at hand have {asked:g}",
}
ASKED_AS = {"outer diameter": "greatest_outer_diameter", "least wall": "least_wall", "resolution": "resolution"}
EASED = tuple(ASKED_AS)  # the demands that are lengths, in the order in which `_meets` takes them
SETS = [names for size in (1, 2, 3) for names in combinations(EASED, size)]
NOTHING = "Nothing meets the brief."
ALONE = "One of these would do:"
TOGETHER = "No single demand is to blame. These together would do:"
HOPELESS = "And no single demand that is eased would help: change the bearings at hand, or several demands at once."


@dataclass(frozen=True)
class Brief:
    """What a reducer must be, and what there is to make it of.

    Attributes
    ----------
    ratio : int
        Crank turns for one output turn, 2 to 9999.
    greatest_outer_diameter : float
        Of the housing, its wall as thick as the least wall [mm].
    rollers : tuple of float or str
        Radii [mm] of rollers, or designations of bearings used as rollers, that are at hand for ring and output.
    least_wall : float
        Thinnest wall that the workshop can make [mm].
    resolution : float
        Smallest step that printer or cutter can make [mm]; lobes must be higher.
    output_rollers : int
        Number of output rollers.
    eccentric_bearings : tuple of Bearing or str
        Bearings at hand for the eccentrics.
    shaft_radius : float
        Radius of the crank's shaft [mm].
    hole_clearance, outline_clearance : float
        As a Reducer has them [mm].
    """

    ratio: int
    greatest_outer_diameter: float
    rollers: tuple[float | str, ...]
    least_wall: float = LEAST_WALL
    resolution: float = 0.4
    output_rollers: int = 6
    eccentric_bearings: tuple[Bearing | str, ...] = ("61800", "61801", "61802", "61803", "61804")
    shaft_radius: float = 2.5
    hole_clearance: float = 0.1
    outline_clearance: float = 0.1

    def __post_init__(self) -> None:
        if isinstance(self.ratio, bool) or not isinstance(self.ratio, Integral) or not 2 <= self.ratio < MOST_PINS:
            raise ValueError(f"ratio is {self.ratio!r}, but must be a whole number from 2 to {MOST_PINS - 1}.")
        for name in ("greatest_outer_diameter", "least_wall", "resolution", "shaft_radius"):
            checked_length(name, getattr(self, name))
        for name in ("rollers", "eccentric_bearings"):
            if not isinstance(getattr(self, name), tuple) or not getattr(self, name):
                raise ValueError(f"{name} is {getattr(self, name)!r}, but must be a tuple of one or more: ('623',).")
        _radii(self)
        _bearings(self)
        for name in ("output_rollers", "hole_clearance", "outline_clearance"):
            checked(name, getattr(self, name))


@dataclass(frozen=True)
class Design:
    """One design that meets a brief.

    Attributes
    ----------
    reducer : Reducer
        The design.
    value : float
        What the goal makes least.
    limited_by : Limit
        The row of `limits`' or `space`'s report, or of the outer diameter, with the smallest margin for its bound.
    """

    reducer: Reducer
    value: float
    limited_by: Limit


@dataclass(frozen=True)
class Relaxation:
    """A demand that excludes every design, and by how much it must give way.

    Attributes
    ----------
    demand : str
        "outer diameter", "least wall", "resolution", "ratio" or "rollers".
    asked, needed : float
        What the brief asks, and what would do [mm; a ratio has no unit].
    reducer : Reducer
        A design that meets the brief then.
    """

    demand: str
    asked: float
    needed: float
    reducer: Reducer

    def __str__(self) -> str:
        return DEMANDS[self.demand].format(asked=self.asked, needed=self.needed)


@dataclass(frozen=True, repr=False)
class Found:
    """What a search came to.

    Attributes
    ----------
    brief : Brief
        The brief.
    goal : str
        The goal.
    candidates, meeting : int
        How many candidates were judged, and how many meet the brief.
    designs : tuple of Design
        The best with each choice of parts at hand, the best of all first.
    relaxations : tuple of Relaxation
        If there is none: which demands exclude everything. Each is enough, unless `together`.
    together : bool
        Whether all relaxations are needed at once.
    """

    brief: Brief
    goal: str
    candidates: int
    meeting: int
    designs: tuple[Design, ...]
    relaxations: tuple[Relaxation, ...]
    together: bool

    def __repr__(self) -> str:
        lines = [f"{self.meeting} of {self.candidates} candidates meet the brief; least {GOALS[self.goal]} first"]
        for design in self.designs:
            drive, limit = design.reducer.drive, design.limited_by
            lines.append(
                f"  {design.value:.4f}: {drive!r}, {design.reducer.output_rollers} output rollers of "
                f"{design.reducer.output_roller_radius:g} on {design.reducer.output_circle_radius:g}, "
                f"bearing {design.reducer.eccentric_bearing.name}; limited by {limit.name}, "
                f"{limit.value:.4f} against {limit.bound:.4f}"
            )
        if not self.designs:
            lines.append(f"{NOTHING} {(TOGETHER if self.together else ALONE) if self.relaxations else HOPELESS}")
        return "\n".join(lines + [f"  {relaxation}" for relaxation in self.relaxations])


@dataclass(frozen=True)
class _Parts:
    """A choice of what is at hand: radii of ring and output rollers, and the eccentrics' bearing."""

    roller_radius: float
    output_roller_radius: float
    bearing: Bearing


@dataclass(frozen=True)
class _Judged:
    """A block of candidates made of the same parts; arrays whose shapes broadcast to (pin circles, K1, circles)."""

    parts: _Parts
    pin_circle_radius: Floats
    eccentricity: Floats
    output_circle_radius: Floats
    possible: np.ndarray  # nothing physical forbids it
    wall: Floats  # thinnest of all but the housing's
    reach: Floats


def search(brief: Brief, goal: str = "smallest", *, most: int = 10, candidates: int = 1_000_000) -> Found:
    """Designs that meet a brief, the best by a goal first.

    Parameters
    ----------
    brief : Brief
        The brief.
    goal : str
        "smallest", "thickest walls" or "lightest pin force".
    most : int
        Number of designs to return at most: the best one with each choice of parts at hand.
    candidates : int
        About how many candidates are judged, 1000 or more; time goes with it.

    Returns
    -------
    Found
        The same for the same brief. Where nothing meets it, it says which demand is to blame and by how much.

    Raises
    ------
    ValueError
        If there is no such goal, or a count is out of range.

    Notes
    -----
    A grid over pin circle, trochoid ratio and output circle, rounded to 0.1 mm (the eccentricity to 0.01), for each
    choice of rollers and bearing. Ties go to the design with the thicker walls. The pin force is 4/(e Zc N) with Zc
    lobes: H. Wang, Luo, Su, Mech. Mach. Theory 102 (2016) 135-148.
    """
    if goal not in GOALS:
        raise ValueError(f"goal is {goal!r}, but must be one of {', '.join(GOALS)}: choose one of these.")
    if not 1000 <= candidates <= 10**9 or most < 1:
        raise ValueError(f"candidates is {candidates} and most {most}, but must be 1000 to 1e9, and 1 or more.")
    best: dict[_Parts, tuple[float, float, Reducer]] = {}
    judged = meeting = 0
    for block in _candidates(brief, brief.greatest_outer_diameter / 2, candidates):
        meets = _meets(block, *_lengths_asked(brief).values())
        judged += meets.size
        where = np.flatnonzero(meets)
        meeting += where.size
        if not where.size:
            continue
        values = _at(_goal_values(goal, brief, block), meets.shape, where)
        walls = _at(block.wall, meets.shape, where)
        first = np.lexsort((-walls, values))[0]
        found = float(values[first]), -float(walls[first]), _reducer(brief, block, meets.shape, where[first])
        best[block.parts] = min(best.get(block.parts, found), found, key=lambda item: item[:2])
    ranked = sorted(best.values(), key=lambda item: item[:2])[:most]
    designs = tuple(Design(reducer, value, _tightest(brief, reducer)) for value, _, reducer in ranked)
    relaxations, together = ((), False) if designs else _relaxations(brief, candidates)
    return Found(brief, goal, judged, meeting, designs, relaxations, together)


def _candidates(brief: Brief, largest: float, number: int) -> Iterator[_Judged]:
    """About that many candidates, judged, with pin circles up to the largest radius."""
    radii = _radii(brief)
    choices = [_Parts(*parts) for parts in product(radii, radii, _bearings(brief))]
    side = max(2, round((number / len(choices)) ** (1 / 3)))
    share = np.arange(1, side + 1) / (side + 1)
    circles = np.maximum(np.round(largest * np.arange(1, side + 1) / side, 1), 0.1)
    step = max(1, BLOCK // side**2)
    for parts in choices:
        for start in range(0, side, step):
            yield _judge(brief, parts, circles[start : start + step, None, None], share[:, None], share)


def _judge(brief: Brief, parts: _Parts, radius: Floats, ratio: Floats, circle: Floats) -> _Judged:
    """Candidates by their pin circle radius, trochoid ratio and share of the output circle, judged."""
    pins = brief.ratio + 1
    eccentricity = np.maximum(np.round(ratio * radius / pins, 2), 0.01)
    output = np.maximum(np.round(circle * radius, 1), 0.1)
    roller = np.float64(parts.roller_radius)
    sizes = (pins, radius, roller + brief.outline_clearance, eccentricity)
    output_sizes = (
        brief.output_rollers,
        output,
        parts.output_roller_radius,
        parts.output_roller_radius + eccentricity + brief.hole_clearance,
    )
    crank = crank_bearing_for(brief.shaft_radius).outer_diameter / 2
    bearings = (brief.shaft_radius, parts.bearing.bore_diameter / 2, parts.bearing.outer_diameter / 2, crank)
    plain = space.Lengths(*map(np.asarray, (*sizes, *output_sizes, *bearings)))
    walls = [*space.walls(plain).values(), limits.wall_between_rollers(pins, radius, roller)]
    return _Judged(
        parts,
        radius,
        eccentricity,
        output,
        limits.sound(pins, radius, roller, eccentricity) & space.sound(plain),
        reduce(np.minimum, walls),
        space.reach(radius, roller, eccentricity),
    )


def _meets(block: _Judged, outer: float | Floats, least_wall: float | Floats, resolution: float | Floats) -> np.ndarray:
    """Whether candidates meet the demands that are lengths; the housing has a wall just as thick as asked for."""
    return (
        block.possible
        & (block.wall > least_wall)
        & (2 * (block.reach + least_wall) <= outer)
        & (limits.lobe_height(block.eccentricity) > resolution)
    )


def _goal_values(goal: str, brief: Brief, block: _Judged) -> Floats:
    if goal == "smallest":
        return 2 * (block.reach + brief.least_wall)
    if goal == "thickest walls":
        return -block.wall
    return 4 / (block.eccentricity * brief.ratio * (brief.ratio + 1))


def _at(values: Floats, shape: tuple[int, ...], where: np.ndarray | np.intp) -> Floats:
    """Values that broadcast to the shape, at flat places in it."""
    return np.broadcast_to(values, shape)[np.unravel_index(where, shape)]


def _reducer(brief: Brief, block: _Judged, shape: tuple[int, ...], where: np.intp) -> Reducer:
    """The candidate at a flat place in the block, as a reducer."""
    radius, eccentricity, circle = (
        float(_at(values, shape, where))
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


def _tightest(brief: Brief, reducer: Reducer) -> Limit:
    """The row with the smallest margin for its bound, of those that can limit a design."""
    size, most = space.outer_diameter(reducer), brief.greatest_outer_diameter
    rows = chain(
        limits.check(reducer.drive, least_wall=brief.least_wall, resolution=brief.resolution),
        space.check(reducer, least_wall=brief.least_wall),
        [Limit("outer diameter", size, most, most - size, "mm", size <= most, False, *OUTER)],
    )
    return min((row for row in rows if row.name in LIMITING), key=lambda row: row.margin / row.bound)


def _relaxations(brief: Brief, candidates: int) -> tuple[tuple[Relaxation, ...], bool]:
    """Each demand that is to blame alone; if there is none, the fewest lengths that must be eased together."""
    eased = _eased(brief, candidates)
    others = _other_ratio(brief, candidates), _other_rollers(brief, candidates)
    alone = [eased[(name,)][0] for name in EASED if (name,) in eased] + [other for other in others if other]
    if alone:
        return tuple(alone), False
    return next(((tuple(eased[names]), True) for names in SETS if names in eased), ((), False))


def _eased(brief: Brief, candidates: int) -> dict[tuple[str, ...], list[Relaxation]]:
    """For each set of lengths that may be eased the least easing, as a sum of shares, with which one candidate passes.

    The first look goes far beyond the outer diameter asked for, on a coarse grid; the second no farther than needed.
    """
    least: dict[tuple[str, ...], tuple[float, list[Relaxation]]] = {}
    asked = _lengths_asked(brief)
    largest = WIDEST * brief.greatest_outer_diameter / 2
    for _ in range(2):
        for block in _candidates(brief, largest, candidates):
            for names in SETS if block.possible.any() else ():
                needed = _needed(brief, block, names)
                shares = [np.abs(needed[name] / asked[name] - 1) for name in names]
                excess = np.where(_meets(block, *needed.values()), reduce(np.add, shares), np.inf)
                where = excess.argmin()
                if excess.flat[where] < least.get(names, (np.inf,))[0]:
                    relaxed = [(name, asked[name], float(_at(needed[name], excess.shape, where))) for name in names]
                    if any(size == was for _, was, size in relaxed):
                        continue  # fewer demands are enough, and have their own set
                    eased = _asking(brief, {name: size for name, _, size in relaxed})
                    reducer = _reducer(eased, block, excess.shape, where)
                    least[names] = float(excess.flat[where]), [Relaxation(*numbers, reducer) for numbers in relaxed]
        if ("outer diameter",) in least:
            largest = least[("outer diameter",)][1][0].needed / 2
        else:
            largest = brief.greatest_outer_diameter / 2
    return {names: relaxations for names, (_, relaxations) in least.items()}


def _lengths_asked(brief: Brief) -> dict[str, float]:
    return {name: getattr(brief, ASKED_AS[name]) for name in EASED}


def _asking(brief: Brief, sizes: dict[str, float]) -> Brief:
    """The brief with other lengths asked for."""
    outer, least_wall, resolution = (_lengths_asked(brief) | sizes).values()
    return replace(brief, greatest_outer_diameter=outer, least_wall=least_wall, resolution=resolution)


def _needed(brief: Brief, block: _Judged, names: tuple[str, ...]) -> dict[str, Floats]:
    """The lengths to ask for instead, so that candidates meet them, if they are named; in round numbers."""
    outer, least_wall, resolution = (np.asarray(size) for size in _lengths_asked(brief).values())
    height = limits.lobe_height(block.eccentricity)
    wall = block.wall if "outer diameter" in names else np.minimum(block.wall, outer / 2 - block.reach)
    if "least wall" in names:
        least_wall = np.minimum(least_wall, _rounded_down(wall))
    if "resolution" in names:
        resolution = np.minimum(resolution, _rounded_down(height))
    if "outer diameter" in names:
        outer = np.maximum(outer, np.ceil(20 * (block.reach + least_wall)) / 10)
    return dict(zip(EASED, (outer, least_wall, resolution), strict=True))


def _rounded_down(sizes: Floats) -> Floats:
    """To below the size, in hundredths of a mm; where that leaves nothing, to more than the size."""
    down = np.floor(100 * sizes - 1e-6) / 100
    return np.where(down > 0, down, np.inf)


def _other_ratio(brief: Brief, candidates: int) -> Relaxation | None:
    """The next lower ratio for which something is found, in steps of a twentieth."""
    for ratio in range(brief.ratio - 1, 1, -max(1, brief.ratio // COARSER)):
        if reducer := _any(replace(brief, ratio=ratio), candidates // COARSER):
            return Relaxation("ratio", brief.ratio, ratio, reducer)
    return None


def _other_rollers(brief: Brief, candidates: int) -> Relaxation | None:
    """The next smaller rollers with which something is found, in steps of a twentieth."""
    smallest = min(_radii(brief))
    for share in range(COARSER - 1, 0, -1):
        radius = round(smallest * share / COARSER, 2)
        if radius > 0 and (reducer := _any(replace(brief, rollers=(radius,)), candidates // COARSER)):
            return Relaxation("rollers", smallest, radius, reducer)
    return None


def _any(brief: Brief, candidates: int) -> Reducer | None:
    """The first candidate that meets a brief."""
    for block in _candidates(brief, brief.greatest_outer_diameter / 2, candidates):
        meets = _meets(block, *_lengths_asked(brief).values())
        if meets.any():
            return _reducer(brief, block, meets.shape, meets.argmax())
    return None


def _radii(brief: Brief) -> list[float]:
    """Radii of the rollers at hand [mm], each once, the smallest first."""
    rollers = brief.rollers
    return sorted(
        {
            _listed("rollers", r).outer_diameter / 2 if isinstance(r, str) else checked_length("rollers", r)
            for r in rollers
        }
    )


def _bearings(brief: Brief) -> list[Bearing]:
    return [b if isinstance(b, Bearing) else _listed("eccentric_bearings", b) for b in brief.eccentric_bearings]


def _listed(name: str, designation: str) -> Bearing:
    if designation not in BEARINGS:
        raise ValueError(f"{name} has {designation!r}, but bearings must be of the table: {', '.join(BEARINGS)}.")
    return BEARINGS[designation]
