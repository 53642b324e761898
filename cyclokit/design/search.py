"""Designs that meet a brief: the whole lattice of candidates, judged by the bounds of `limits` and `space`, ranked."""

import sys
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from cyclokit.arguments import (
    GREATEST_SIZE,
    SMALLEST_SIZE,
    Floats,
    checked_choice,
    checked_count,
    checked_kind,
    checked_number,
)
from cyclokit.design.brief import ASKED_AS, Brief
from cyclokit.design.candidates import judged
from cyclokit.design.lattice import (
    CIRCLES,
    DIGITS,
    ECCENTRICITIES,
    LARGE,
    Judged,
    Parts,
    choices,
    first,
    missed,
    number,
    outer_diameter,
    reducer_at,
    step,
    ties,
)
from cyclokit.design.relaxation import WIDEST, Relaxation, relaxations
from cyclokit.machine import bench
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing, verdict
from cyclokit.mechanics.loads import CRANKS
from cyclokit.mechanics.verdict_table import Row

# The goals: name -> what is least in the best design.
GOALS = {
    "smallest": "outer diameter [mm]",
    "thickest walls": "thinnest wall, taken negative [mm]",
    "lightest pin force": "greatest force on a ring pin for a torque of 1 N mm on one disc [N]",
    "most torque": "torque at the output that it bears at the safety asked for, taken negative [N mm]",
}
MOST_TORQUE = "most torque"
SEVERAL, NO_DEMAND = "several together", "no demand"
LATTICE = (
    "Looked at: every pin circle radius in steps of {circle:g} mm, with every eccentricity in steps of {eccentricity:g}"
    " mm below a trochoid ratio of 1, for each of {parts} choices of parts; the output circle on the 0.1 mm that "
    "leaves the thickest walls."
)
COARSER = "Finer steps are looked at up to {large:g} mm of outer diameter only; between them there may be more."
BY_FORCE = ("lightest pin force", MOST_TORQUE)
PEAK = "; pin force at its peak {peak:.3f} times the formula's"
JUDGED = "; with its gaps its {part} has a safety of {low:.3g} to {high:.3g}"
NOT_BUILT = "; can't be built as a bench machine ({why})"
UNKNOWN = (0.0, 0.0)  # what isn't known never counts as safe
WEIGHED = ("ring pins", "output rods", "web between hole and root", "contact pressure", "eccentric bearing, at rest")
NOTHING = "Nothing meets the brief."
ALONE = f"One of these would do, the least on these steps, up to {WIDEST} times the outer diameter:"
TOGETHER = f"No single demand is to blame. These together would do, up to {WIDEST} times the outer diameter:"
HOPELESS = (
    f"Nor is there anything to ease, up to {WIDEST} times the outer diameter: change what is at hand, or the numbers "
    "of discs and output rollers."
)


@dataclass(frozen=True)
class Design:
    """One design that meets a brief.

    Attributes
    ----------
    reducer : Reducer
        The design.
    value : float
        What the goal makes least.
    limited_by : str
        The demand without which the best design of the same parts would gain most, up to twice the outer diameter,
        the housing's wall kept; "several together" if none helps alone, "no demand" if all together wouldn't.
    """

    reducer: Reducer
    value: float
    limited_by: str

    @property
    def peak(self) -> float:
        """Greatest pin force over a crank turn by `sharing.ideal`, in those of the formula, 4 T/(e Zc N) a disc.

        Examples
        --------
        >>> from cyclokit import Drive
        >>> design = Design(Reducer(Drive(20, 42.0, 5.0, 1.4)), 95.8, "demand")
        >>> round(design.peak, 3)
        0.998
        """
        drive, discs = self.reducer.drive, self.reducer.discs
        crank = 2 * np.pi * np.arange(CRANKS) / CRANKS
        actual = sharing.ideal(self.reducer, 1.0, crank).peak
        return actual * drive.eccentricity * drive.lobes * drive.pins * discs / 4

    def weakest(self, torque: float) -> Row:
        """Of the parts that a search weighs without gaps, the row of the least safe one by `verdict.judge`, with gaps.

        The torque is that at the output [N mm], not 0.

        Examples
        --------
        >>> from cyclokit import Drive
        >>> design = Design(Reducer(Drive(20, 42.0, 5.0, 1.4)), 95.8, "demand")
        >>> row = design.weakest(1000.0)
        >>> row.name, [round(end, 2) for end in row.safety]
        ('contact pressure', [1.65, 5.06])
        """
        checked_number("torque", torque, SMALLEST_SIZE, GREATEST_SIZE)
        judged = verdict.judge(self.reducer, torque, 0.0)
        return min((row for row in judged if row.name in WEIGHED), key=lambda row: (row.safety or UNKNOWN)[0])


@dataclass(frozen=True, repr=False)
class Found:
    """What a search came to.

    Attributes
    ----------
    brief : Brief
        The brief.
    goal : str
        The goal.
    step : int
        How many times coarser than 0.1 mm (pin circle) and 0.01 mm (eccentricity) the lattice is.
    candidates, meeting : int
        How many points the lattice has, and how many meet the brief.
    designs : tuple of Design
        The best with each choice of parts at hand, the best of all first.
    relaxations : tuple of Relaxation
        If there is none: which demands exclude everything. Each is enough, unless `together`.
    together : bool
        Whether all relaxations are needed at once.
    """

    brief: Brief
    goal: str
    step: int
    candidates: int
    meeting: int
    designs: tuple[Design, ...]
    relaxations: tuple[Relaxation, ...]
    together: bool

    def __repr__(self) -> str:
        steps = {"circle": self.step / CIRCLES, "eccentricity": self.step / ECCENTRICITIES}
        lines = [
            f"{self.meeting} of {self.candidates} candidates meet the brief; least {GOALS[self.goal]} first",
            LATTICE.format(**steps, parts=len(choices(self.brief))),
            *([COARSER.format(large=LARGE)] if self.step > 1 else []),
        ]
        for design in self.designs:
            reducer = design.reducer
            lines.append(
                f"  {design.value:.4f}: {reducer.drive!r}, {reducer.output_rollers} output rollers of "
                f"{reducer.output_roller_radius:g} on {reducer.output_circle_radius:g}, "
                f"bearing {reducer.eccentric_bearing.name}; limited by {design.limited_by}"
                + self._not_built(design)
                + (PEAK.format(peak=design.peak) if self.brief.torque or self.goal in BY_FORCE else "")
                + self._judged(design)
            )
        if not self.designs:
            lines.append(f"{NOTHING} {(TOGETHER if self.together else ALONE) if self.relaxations else HOPELESS}")
        return "\n".join(lines + [f"  {relaxation}" for relaxation in self.relaxations])

    def _judged(self, design: Design) -> str:
        torque = self.brief.torque or (-design.value if self.goal == MOST_TORQUE else 0.0)
        if not torque:
            return ""
        row = design.weakest(torque)
        low, high = row.safety or UNKNOWN
        return JUDGED.format(part=row.name, low=low, high=high)

    def _not_built(self, design: Design) -> str:
        why = bench.hindrance(design.reducer)
        return NOT_BUILT.format(why=why.partition(". ")[0]) if why else ""


def search(brief: Brief, goal: str = "smallest", *, most: int = 10) -> Found:
    """Designs that meet a brief, the best by a goal first.

    Parameters
    ----------
    brief : Brief
        The brief.
    goal : str
        "smallest", "thickest walls", "lightest pin force" or "most torque".
    most : int
        Number of designs to return at most: the best one with each choice of parts at hand.

    Returns
    -------
    Found
        The same for the same brief. Where nothing meets it, it says which demand is to blame and by how much.

    Raises
    ------
    TypeError
        If `brief` is not a Brief, or `most` no whole number.
    ValueError
        If there is no such goal, or `most` is below 1.

    Notes
    -----
    Every point of a lattice is judged: pin circle radius in 0.1 mm, eccentricity in 0.01 mm, every choice of parts.
    A point counts if one output circle in 0.1 mm fits; it is given the one that leaves the thickest walls. Up to an
    outer diameter of 300 mm; beyond 300 both steps are doubled, beyond 600 again, and so on. So a looser brief never
    has a worse best as long as its step is the same: they are the diameter's alone.

    Ties go to the smaller pin force, then thicker walls, the smaller diameter, and the order at hand. The pin force
    is 4/(e Zc N) with Zc lobes: Wang, Luo, Su, Mech. Mach. Theory 102 (2016) 135-148. That is a mean; what it really is
    at its peak stands beside it. A torque is weighed by `mechanics.capacity` on that circle; where a wall that doesn't
    hang on the circle is thinner, on the one on which those that do are thickest. That knows no gaps, with which fewer
    parts share: the printed result adds the least safe of the parts weighed, as `verdict.judge` finds it with them.

    Examples
    --------
    >>> found = search(Brief(19, 110, ["623"], eccentric_bearings=["61801"]))
    >>> best = found.designs[0]
    >>> round(best.value, 1), best.reducer.drive.eccentricity, best.limited_by  # mm
    (79.0, 1.01, 'running gap')
    """
    _check(brief, goal, most)
    parts = choices(brief)
    best: dict[int, tuple[tuple[float, ...], Judged]] = {}
    meeting = 0
    for block in judged(brief, parts, brief.greatest_outer_diameter, 0, weighed=goal == MOST_TORQUE):
        meeting += block.wall.size
        for choice in np.flatnonzero(np.bincount(block.choice)).tolist():
            found = _ranked(brief, goal, block.at(block.choice == choice))
            if choice not in best or found[0] < best[choice][0]:
                best[choice] = found
    ranked = sorted(best.items(), key=lambda item: (item[1][0], item[0]))[:most]
    limits = _limited_by(brief, goal, [parts[choice] for choice, _ in ranked], [rank[0] for _, (rank, _) in ranked])
    designs = tuple(
        Design(reducer_at(brief, parts[choice], had, 0), float(_goal_values(brief, goal, had)[0]), limit)
        for (choice, (_, had)), limit in zip(ranked, limits, strict=True)
    )
    eased, together = ((), False) if designs else relaxations(brief)
    return Found(brief, goal, step(brief), number(brief), meeting, designs, eased, together)


def _check(brief: Brief, goal: str, most: int) -> None:
    checked_kind("brief", brief, Brief, "make one first, such as Brief(19, 110, ['623'])")
    checked_choice("goal", goal, tuple(GOALS))
    checked_count("most", most, 1, sys.maxsize)


def _goal_values(brief: Brief, goal: str, had: Judged) -> Floats:
    if goal == "smallest":
        return outer_diameter(brief, had)
    if goal == MOST_TORQUE:
        return -had.torque
    return -had.wall if goal == "thickest walls" else 4 / (had.eccentricity * brief.ratio * (brief.ratio + 1))


def _order(brief: Brief, goal: str, had: Judged) -> list[Floats]:
    """What candidates are ranked by, least first; the pin force by the eccentricity, with whose steps it falls."""
    column = -had.eccentricity if goal == "lightest pin force" else _goal_values(brief, goal, had)
    return [column, *ties(brief, had)]


def _ranked(brief: Brief, goal: str, had: Judged) -> tuple[tuple[float, ...], Judged]:
    """The best of some candidates, and what it is ranked by."""
    columns = _order(brief, goal, had)
    place = first(columns)
    return tuple(round(float(column[place]), DIGITS) for column in columns), had.at(np.array([place]))


def _limited_by(brief: Brief, goal: str, parts: list[Parts], best: list[float]) -> list[str]:
    """For each choice of parts the demand whose removal alone would better its best value most."""
    gains = {name: np.array(best) - 10**-DIGITS for name in (*ASKED_AS, SEVERAL)}  # better is below that
    for had in _better(brief, goal, parts, max(best, default=0.0), 1):
        lost = missed(brief, had)
        alone, values = sum(lost.values()) == 1, _order(brief, goal, had)[0]
        for demand, misses in lost.items():
            where = misses & alone
            np.minimum.at(gains[demand], had.choice[where], values[where])
    named = [min(gains, key=lambda demand: gains[demand][place]) for place in range(len(parts))]
    return [
        name if gains[name][place] < gains[SEVERAL][place] else _several(brief, goal, parts[place], best[place])
        for place, name in enumerate(named)
    ]


def _several(brief: Brief, goal: str, parts: Parts, best: float) -> str:
    """Whether all demands together hold a value back that none does alone."""
    everything = _better(brief, goal, [parts], best, len(ASKED_AS))
    better = (_order(brief, goal, had)[0].min(initial=np.inf) < best - 10**-DIGITS for had in everything)
    return SEVERAL if any(better) else NO_DEMAND


def _better(brief: Brief, goal: str, parts: list[Parts], best: float, eased: int) -> Iterator[Judged]:
    """Candidates up to twice the outer diameter, the most of those left out that are no better."""
    if goal == "smallest":
        return judged(brief, parts, min(best, WIDEST * brief.greatest_outer_diameter), eased)
    thicker_than = max(10**-DIGITS - best, 0.0) if goal == "thickest walls" else 0.0
    widest = WIDEST * brief.greatest_outer_diameter
    return judged(brief, parts, widest, eased, thicker_than, weighed=goal == MOST_TORQUE)
