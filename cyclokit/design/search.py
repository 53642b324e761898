"""Designs that meet a brief: a grid of candidates judged by the bounds of `limits` and `space`, ranked by a goal."""

from dataclasses import dataclass
from itertools import chain

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.design.brief import Brief, lengths_asked
from cyclokit.design.candidates import Judged, Parts, at, grid, met, reducer_at
from cyclokit.design.relaxation import Relaxation, relaxations
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.report import Limit

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
NOTHING = "Nothing meets the brief."
ALONE = "One of these would do:"
TOGETHER = "No single demand is to blame. These together would do:"
HOPELESS = "And no single demand that is eased would help: change the bearings at hand, or several demands at once."


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
    lobes: Wang, Luo, Su, Mech. Mach. Theory 102 (2016) 135-148.
    """
    if goal not in GOALS:
        raise ValueError(f"goal is {goal!r}, but must be one of {', '.join(GOALS)}: choose one of these.")
    if not 1000 <= candidates <= 10**9 or most < 1:
        raise ValueError(f"candidates is {candidates} and most {most}, but must be 1000 to 1e9, and 1 or more.")
    best: dict[Parts, tuple[float, float, Reducer]] = {}
    judged = meeting = 0
    for block in grid(brief, brief.greatest_outer_diameter / 2, candidates):
        meets = met(block, *lengths_asked(brief).values())
        judged += meets.size
        where = np.flatnonzero(meets)
        meeting += where.size
        if not where.size:
            continue
        values = at(_goal_values(goal, brief, block), meets.shape, where)
        walls = at(block.wall, meets.shape, where)
        first = np.lexsort((-walls, values))[0]
        found = float(values[first]), -float(walls[first]), reducer_at(brief, block, meets.shape, where[first])
        best[block.parts] = min(best.get(block.parts, found), found, key=lambda item: item[:2])
    ranked = sorted(best.values(), key=lambda item: item[:2])[:most]
    designs = tuple(Design(reducer, value, _tightest(brief, reducer)) for value, _, reducer in ranked)
    eased, together = ((), False) if designs else relaxations(brief, candidates)
    return Found(brief, goal, judged, meeting, designs, eased, together)


def _goal_values(goal: str, brief: Brief, block: Judged) -> Floats:
    if goal == "smallest":
        return 2 * (block.reach + brief.least_wall)
    if goal == "thickest walls":
        return -block.wall
    return 4 / (block.eccentricity * brief.ratio * (brief.ratio + 1))


def _tightest(brief: Brief, reducer: Reducer) -> Limit:
    """The row with the smallest margin for its bound, of those that can limit a design."""
    size, most = space.outer_diameter(reducer), brief.greatest_outer_diameter
    rows = chain(
        limits.check(reducer.drive, least_wall=brief.least_wall, resolution=brief.resolution),
        space.check(reducer, least_wall=brief.least_wall),
        [Limit("outer diameter", size, most, "mm", False, False, *OUTER)],
    )
    return min((row for row in rows if row.name in LIMITING), key=lambda row: row.margin / row.bound)
