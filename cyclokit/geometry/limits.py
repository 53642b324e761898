"""What makes four numbers impossible, and by how much.

Each bound is a function of plain numbers or arrays, so that one drive and a million candidates
are judged alike.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arrays import Floats, positive
from cyclokit.drive import Drive

# What the library says to a reader: name -> (what is compared, what goes wrong, what to change).
SENTENCES = {
    "loop": (
        "trochoid ratio, below 1",
        "From a trochoid ratio of 1 on the centre path has cusps or loops and no disc follows it.",
        "Choose a smaller eccentricity, fewer pins, or a larger pin circle.",
    ),
    "undercut": (
        "roller radius, below the least convex radius of the centre path",
        "A roller wider than the tightest bend of its centre path cuts the lobe's flank away.",
        "Choose smaller rollers or a smaller eccentricity.",
    ),
    "rollers apart": (
        "roller radius, below half the distance between neighbouring pins",
        "Neighbouring rollers overlap.",
        "Choose smaller rollers, fewer pins, or a larger pin circle.",
    ),
}


@dataclass(frozen=True)
class Limit:
    """One limit of a drive: `value` must stay below `bound`.

    Attributes
    ----------
    name : str
        Short name.
    value, bound, margin : float
        What the drive has, what it must stay below, and the room between; `unit` says in what.
    unit : str
        "mm", or "" for a ratio.
    ok : bool
        Whether the value is below the bound.
    physical : bool
        Whether it decides if the drive is sound; rules of thumb don't.
    meaning, trouble, remedy : str
        What is compared; what goes wrong beyond the bound; which number to change.
    """

    name: str
    value: float
    bound: float
    margin: float
    unit: str
    ok: bool
    physical: bool
    meaning: str
    trouble: str
    remedy: str


@dataclass(frozen=True, repr=False)
class Report:
    """All limits of a drive, in the order in which they are judged."""

    drive: Drive
    limits: tuple[Limit, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing physical forbids the drive."""
        return all(limit.ok for limit in self.limits if limit.physical)

    def __iter__(self) -> Iterator[Limit]:
        return iter(self.limits)

    def __getitem__(self, name: str) -> Limit:
        for limit in self.limits:
            if limit.name == name:
                return limit
        names = ", ".join(limit.name for limit in self.limits)
        raise KeyError(f"{name!r} is not a limit; the limits are: {names}")

    def __repr__(self) -> str:
        word = "sound" if self.sound else "not sound"
        lines = [f"{self.drive!r}: {word}"]
        lines += [f"  {_row(limit)}" for limit in self.limits]
        lines += [f"  {limit.trouble} {limit.remedy}" for limit in self.limits if not limit.ok]
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><th scope='row' style='text-align:left'>{limit.name}</th>"
            f"<td style='text-align:left'>{limit.meaning}</td>"
            f"<td>{limit.value:.4f}</td><td>{limit.bound:.4f}</td><td>{limit.margin:+.4f} {limit.unit}</td>"
            f"<td style='text-align:left'>{'ok' if limit.ok else f'no: {limit.trouble} {limit.remedy}'}</td></tr>"
            for limit in self.limits
        )
        columns = ("limit", "what is compared", "value", "bound", "margin", "ok?")
        head = "".join(f"<th scope='col'>{column}</th>" for column in columns)
        caption = "Nothing physical forbids this drive" if self.sound else "This drive can't be made to turn"
        return f"<table><caption>{caption}</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def check(drive: Drive) -> Report:
    """Every limit of a drive, with its value, bound and margin.

    Parameters
    ----------
    drive : Drive
        The drive.

    Returns
    -------
    Report
        Its `sound` says whether nothing physical forbids the drive.
    """
    numbers = drive.pins, drive.pin_circle_radius
    roller = drive.roller_radius
    return Report(
        drive,
        (
            _limit("loop", drive.trochoid_ratio, 1.0, ""),
            _limit("undercut", roller, float(least_convex_radius(*numbers, drive.eccentricity)), "mm"),
            _limit("rollers apart", roller, float(half_pin_distance(*numbers)), "mm"),
        ),
    )


def sound(
    pins: ArrayLike, pin_circle_radius: ArrayLike, roller_radius: ArrayLike, eccentricity: ArrayLike
) -> np.ndarray:
    """Whether nothing physical forbids the drive, for arrays of the four numbers.

    Parameters
    ----------
    pins, pin_circle_radius, roller_radius, eccentricity : array_like
        The four numbers [-, mm, mm, mm], above zero, shapes that broadcast.

    Returns
    -------
    ndarray of bool
        The same answer as `check(Drive(...)).sound`.
    """
    ratio = trochoid_ratio(pins, pin_circle_radius, eccentricity)
    smallest = np.minimum(
        least_convex_radius(pins, pin_circle_radius, eccentricity), half_pin_distance(pins, pin_circle_radius)
    )
    return (ratio < 1) & (positive("roller_radius", roller_radius) < smallest)


def trochoid_ratio(pins: ArrayLike, pin_circle_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """K1 = e N/Rp, for arrays of plain numbers [-, mm, mm]; a usable disc needs less than 1."""
    return (
        positive("eccentricity", eccentricity)
        * positive("pins", pins)
        / positive("pin_circle_radius", pin_circle_radius)
    )


def half_pin_distance(pins: ArrayLike, pin_circle_radius: ArrayLike) -> Floats:
    """Half the distance between neighbouring pins' centres, Rp sin(pi/N) [mm], for arrays."""
    return positive("pin_circle_radius", pin_circle_radius) * np.sin(np.pi / positive("pins", pins))


def least_convex_radius(pins: ArrayLike, pin_circle_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """Least radius of curvature of the centre path where it bulges outwards.

    Parameters
    ----------
    pins, pin_circle_radius, eccentricity : array_like
        N, Rp [mm] and e [mm], above zero, shapes that broadcast.

    Returns
    -------
    ndarray
        Radius [mm]; rollers must be smaller, or the flanks are undercut.

    Notes
    -----
    With K = e N/Rp the tightest place is on the flank for K > (N - 2)/(2 N - 1), and there
    Rp sqrt(27 (1 - K^2)(N - 1)/(N + 1)^3): H. Wang, Luo, Su, "Multi-objective optimization...",
    Mechanism and Machine Theory 102 (2016) 135-148, eq. 12. For smaller K it is the lobe's tip:
    Rp (1 + K)^2/(N K + 1), derived. With loops (K > 1) it is the loop's inner end:
    Rp (K - 1)^2/(N K - 1), derived; at K = 1 it is 0.
    """
    n, radius = positive("pins", pins), positive("pin_circle_radius", pin_circle_radius)
    ratio = trochoid_ratio(n, radius, eccentricity)
    flank = radius * np.sqrt(27 * np.maximum(1 - ratio**2, 0.0) * (n - 1) / (n + 1) ** 3)
    tip = radius * (1 + ratio) ** 2 / (n * ratio + 1)
    with np.errstate(divide="ignore"):  # n ratio = 1 belongs to another branch
        loop = radius * (ratio - 1) ** 2 / np.abs(n * ratio - 1)
    return np.where(ratio >= 1, loop, np.where(ratio > (n - 2) / (2 * n - 1), flank, tip))


def greatest_eccentricity(pins: ArrayLike, pin_circle_radius: ArrayLike, roller_radius: ArrayLike) -> Floats:
    """Eccentricity at which a drive with these pins and rollers stops being sound.

    Parameters
    ----------
    pins, pin_circle_radius, roller_radius : array_like
        N, Rp [mm] and r [mm], above zero, shapes that broadcast.

    Returns
    -------
    ndarray
        Eccentricity [mm]; every smaller one is sound. Zero where the rollers overlap.

    Notes
    -----
    `least_convex_radius` solved for the eccentricity: it falls as the eccentricity grows, first
    along the tip's branch, a quadratic in K, then along the flank's.
    """
    n, radius = positive("pins", pins), positive("pin_circle_radius", pin_circle_radius)
    share = positive("roller_radius", roller_radius) / radius
    flank = np.sqrt(np.maximum(1 - share**2 * (n + 1) ** 3 / (27 * (n - 1)), 0.0))
    # (1 + K)^2 = share (N K + 1): the smaller root, where the tip's radius still falls with K
    half = 1 - share * n / 2
    tip = -half - np.sqrt(np.maximum(half**2 - (1 - share), 0.0))
    ratio = np.where(flank > (n - 2) / (2 * n - 1), flank, tip)
    return np.where(share < np.sin(np.pi / n), ratio * radius / n, 0.0)


def _limit(name: str, value: float, bound: float, unit: str) -> Limit:
    meaning, trouble, remedy = SENTENCES[name]
    return Limit(name, value, bound, bound - value, unit, value < bound, True, meaning, trouble, remedy)


def _row(limit: Limit) -> str:
    mark = "ok" if limit.ok else "NO"
    numbers = f"{limit.value:.4f} against {limit.bound:.4f}, margin {limit.margin:+.4f} {limit.unit}"
    return f"{mark}  {limit.name}: {numbers}".rstrip()
