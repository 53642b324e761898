"""Where nothing meets a brief: which demand excludes everything, and by how much it must give way."""

from dataclasses import dataclass, replace
from functools import reduce
from itertools import combinations

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.design.brief import ASKED_AS, Brief, lengths_asked, radii_at_hand
from cyclokit.design.candidates import Judged, at, grid, met, reducer_at
from cyclokit.geometry import limits
from cyclokit.machine.reducer import Reducer

WIDEST = 4  # times the outer diameter asked for: how far is looked if nothing fits
COARSER = 20  # so many other ratios or rollers are tried, each with so many times fewer candidates
DEMANDS = {
    "outer diameter": "let the outer diameter grow from {asked:g} to {needed:g} mm",
    "least wall": "let walls be thinner, {needed:g} instead of {asked:g} mm",
    "resolution": "print or cut finer, steps of {needed:g} instead of {asked:g} mm",
    "ratio": "take a ratio of {needed:g} instead of {asked:g}",
    "rollers": "take rollers of radius {needed:g} mm or less; the smallest at hand have {asked:g}",
}
EASED = tuple(ASKED_AS)  # the demands that are lengths, in the order in which `met` takes them
SETS = [names for size in (1, 2, 3) for names in combinations(EASED, size)]


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


def relaxations(brief: Brief, candidates: int) -> tuple[tuple[Relaxation, ...], bool]:
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
    asked = lengths_asked(brief)
    largest = WIDEST * brief.greatest_outer_diameter / 2
    for _ in range(2):
        for block in grid(brief, largest, candidates):
            for names in SETS if block.possible.any() else ():
                needed = _needed(brief, block, names)
                shares = [np.abs(needed[name] / asked[name] - 1) for name in names]
                excess = np.where(met(block, *needed.values()), reduce(np.add, shares), np.inf)
                where = excess.argmin()
                if excess.flat[where] < least.get(names, (np.inf,))[0]:
                    relaxed = [(name, asked[name], float(at(needed[name], excess.shape, where))) for name in names]
                    if any(size == was for _, was, size in relaxed):
                        continue  # fewer demands are enough, and have their own set
                    eased = _asking(brief, {name: size for name, _, size in relaxed})
                    reducer = reducer_at(eased, block, excess.shape, where)
                    least[names] = float(excess.flat[where]), [Relaxation(*numbers, reducer) for numbers in relaxed]
        if ("outer diameter",) in least:
            largest = least[("outer diameter",)][1][0].needed / 2
        else:
            largest = brief.greatest_outer_diameter / 2
    return {names: relaxations for names, (_, relaxations) in least.items()}


def _asking(brief: Brief, sizes: dict[str, float]) -> Brief:
    """The brief with other lengths asked for."""
    outer, least_wall, resolution = (lengths_asked(brief) | sizes).values()
    return replace(brief, greatest_outer_diameter=outer, least_wall=least_wall, resolution=resolution)


def _needed(brief: Brief, block: Judged, names: tuple[str, ...]) -> dict[str, Floats]:
    """The lengths to ask for instead, so that candidates meet them, if they are named; in round numbers."""
    outer, least_wall, resolution = (np.asarray(size) for size in lengths_asked(brief).values())
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
    smallest = min(radii_at_hand(brief))
    for share in range(COARSER - 1, 0, -1):
        radius = round(smallest * share / COARSER, 2)
        if radius > 0 and (reducer := _any(replace(brief, rollers=(radius,)), candidates // COARSER)):
            return Relaxation("rollers", smallest, radius, reducer)
    return None


def _any(brief: Brief, candidates: int) -> Reducer | None:
    """The first candidate that meets a brief."""
    for block in grid(brief, brief.greatest_outer_diameter / 2, candidates):
        meets = met(block, *lengths_asked(brief).values())
        if meets.any():
            return reducer_at(brief, block, meets.shape, meets.argmax())
    return None
