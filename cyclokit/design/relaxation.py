"""Where nothing meets a brief: which demand excludes everything, and by how much it must give way at least."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import reduce

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.design.brief import ASKED_AS, Brief, asked, rollers_at_hand
from cyclokit.design.candidates import judged
from cyclokit.design.lattice import Judged, choices, first, reducer_at, ties
from cyclokit.drive import MOST_PINS
from cyclokit.machine.reducer import Reducer
from cyclokit.report import SLACK, within
from cyclokit.signatures import read

WIDEST = 2  # times the outer diameter asked for: how far is looked
DEMANDS = {
    "outer diameter": "let the outer diameter grow from {asked:g} to {needed:g} mm",
    "least wall": "let walls be thinner, {needed:g} instead of {asked:g} mm",
    "resolution": "print or cut finer, steps of {needed:g} instead of {asked:g} mm",
    "running gap": "let parts that turn come nearer, {needed:g} instead of {asked:g} mm",
    "least share": "let the eccentricity be smaller, from {needed:g} instead of {asked:g} of the greatest",
    "greatest share": "let the eccentricity be larger, up to {needed:g} instead of {asked:g} of the greatest",
    "torque": "ask for less torque, {needed:g} instead of {asked:g} N mm at the output",
    "ratio": "take a ratio of {needed:g} instead of {asked:g}",
}
# Which of these two are eased: a thinner wall is one of the housing too, and so makes it smaller
SINGLE = tuple(name for name in ASKED_AS if name != "running gap")  # each is eased at one place only
WAYS = (("outer diameter",), ("least wall",), ("outer diameter", "least wall"))


@dataclass(frozen=True)
class Relaxation:
    """A demand that excludes every design, and by how much it must give way.

    Attributes
    ----------
    demand : str
        "outer diameter", "least wall", "resolution", "running gap", "least share", "greatest share", "torque" or
        "ratio".
    asked, needed : float
        What the brief asks, and the nearest to it that would do [mm, torque N mm; ratio and shares have no unit].
    reducer : Reducer
        A design that meets the brief then.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> print(Relaxation("outer diameter", 80.0, 91.4, machine))
    let the outer diameter grow from 80 to 91.4 mm
    """

    demand: str
    asked: float
    needed: float
    reducer: Reducer

    def __str__(self) -> str:
        return DEMANDS[self.demand].format(asked=self.asked, needed=self.needed)


@read
def relaxations(brief: Brief) -> tuple[tuple[Relaxation, ...], bool]:
    """Each demand that is to blame alone; if there is none, the fewest that must be eased together.

    Parameters
    ----------
    brief : Brief
        A brief that nothing meets.

    Returns
    -------
    tuple of Relaxation
        The least that would do on the search's lattice, up to twice the outer diameter asked for: that diameter in
        0.1 mm, a ratio on either side, the rest in 0.01. Together the sum of the shares by which they change is least.
    bool
        Whether all are needed together.

    Examples
    --------
    >>> found, together = relaxations(Brief(19, 75, ["623"], eccentric_bearings=["61801"]))
    >>> print(found[0])
    let the outer diameter grow from 75 to 79 mm
    """
    alone = [*_eased(brief, 1), *_other_gap(brief), *_other_ratios(brief)]
    if alone:
        return tuple(alone), False
    several = (_eased(brief, number) for number in range(2, len(ASKED_AS) + 1))
    together = tuple(next(filter(None, several), []))
    return together, bool(together)


def _eased(brief: Brief, number: int) -> list[Relaxation]:
    """With just so many demands eased: the least of each single one, or of all sets the one with the least sum."""
    parts, asks = choices(brief), asked(brief)
    best: dict[str, tuple[list[float], list[Relaxation]]] = {}
    for had in judged(brief, parts, WIDEST * brief.greatest_outer_diameter, number):
        for way in WAYS if had.wall.size else ():
            needed = _needed(brief, had, way)
            shares = {name: np.abs(needed[name] - size) / max(size, SLACK) for name, size in asks.items()}
            will_do = _meets(brief, had, needed) & (sum(share > 0 for share in shares.values()) == number)
            for name in SINGLE if number == 1 else ("together",):
                where = np.flatnonzero(will_do & (shares[name] > 0) if number == 1 else will_do)
                if not where.size:
                    continue
                some = had.at(where)
                columns = [reduce(np.add, shares.values())[where], *ties(brief, some)]
                place = first(columns)
                rank = [round(float(column[place]), 9) for column in columns]
                if name not in best or rank < best[name][0]:
                    now = {demand: float(needed[demand][where[place]]) for demand in asks}
                    eased = replace(brief, **{ASKED_AS[demand]: size for demand, size in now.items()})  # type: ignore[arg-type]
                    reducer = reducer_at(eased, parts[some.choice[place]], some, place)
                    changed = [demand for demand in asks if now[demand] != asks[demand]]
                    best[name] = rank, [Relaxation(name, asks[name], now[name], reducer) for name in changed]
    return [relaxation for name in (*asks, "together") if name in best for relaxation in best[name][1]]


def _needed(brief: Brief, had: Judged, way: tuple[str, ...]) -> dict[str, Floats]:
    """What would have to be asked instead, so that each candidate meets it: outer diameter and wall if they may."""
    asks = {name: np.full(had.wall.shape, size) for name, size in asked(brief).items()}
    for name, has in (
        ("resolution", had.detail),
        ("running gap", had.gap),
        ("least share", had.share),
        ("torque", had.torque),
    ):
        asks[name] = np.minimum(asks[name], _down(has))
    asks["greatest share"] = np.maximum(asks["greatest share"], -_down(-had.share))
    inside = had.reach + asks["running gap"]
    room = np.inf if "outer diameter" in way else asks["outer diameter"] / 2 - inside
    if "least wall" in way:
        asks["least wall"] = np.minimum(asks["least wall"], _down(np.minimum(had.wall, room)))
    if "outer diameter" in way:
        needed = np.ceil((2 * (inside + asks["least wall"]) - SLACK) * 10) / 10
        asks["outer diameter"] = np.maximum(asks["outer diameter"], needed)
    return asks


def _meets(brief: Brief, had: Judged, needed: dict[str, Floats]) -> np.ndarray:
    """Whether candidates meet what was asked instead, within reason; the rest was made so."""
    outer, wall, gap = (needed[name] for name in ("outer diameter", "least wall", "running gap"))
    names = ("least wall", "running gap", "resolution", *(["torque"] if brief.torque else []))
    positive = [within(0.01, needed[name], strict=False) for name in names]
    return (
        reduce(np.logical_and, positive)
        & within(wall, had.wall, strict=False)
        & within(2 * (had.reach + wall + gap), outer, strict=False)
        & within(outer, WIDEST * brief.greatest_outer_diameter, strict=False)
    )


def _down(sizes: Floats) -> Floats:
    """The next lower hundredths, give or take rounding."""
    return np.floor((sizes + SLACK) * 100) / 100


def _other_gap(brief: Brief) -> Iterator[Relaxation]:
    """The widest narrower running gap, in hundredths, with which there is a design: it works in many places at once.

    Whatever fits with a gap fits with a narrower one, so that halving finds it.
    """
    least, most, found = 0, math.ceil(100 * (brief.running_gap - SLACK)) - 1, None
    while least < most:
        middle = (least + most + 1) // 2
        reducer = _any(replace(brief, running_gap=middle / 100))
        least, most, found = (middle, most, reducer) if reducer else (least, middle - 1, found)
    if found:
        yield Relaxation("running gap", brief.running_gap, least / 100, found)


def _other_ratios(brief: Brief) -> Iterator[Relaxation]:
    """The nearest lower and the nearest higher ratio for which there is a design."""
    outer = brief.greatest_outer_diameter
    thinnest = min(roller.radius for roller in rollers_at_hand(brief))
    # more pins would touch, or have lobes lower than the resolution
    most = min(MOST_PINS - 1, math.pi * outer / 2 / thinnest, outer / brief.resolution)
    for ratios in (range(brief.ratio - 1, 1, -1), range(brief.ratio + 1, math.floor(most) + 1)):
        for ratio in ratios:
            if reducer := _any(replace(brief, ratio=ratio)):
                yield Relaxation("ratio", brief.ratio, ratio, reducer)
                break


def _any(brief: Brief) -> Reducer | None:
    """A design that meets the brief, if there is one."""
    parts = choices(brief)
    for had in judged(brief, parts, brief.greatest_outer_diameter, 0):
        if had.wall.size:
            place = first(ties(brief, had))
            return reducer_at(brief, parts[had.choice[place]], had, place)
    return None
