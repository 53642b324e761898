"""Life and static safety of ball bearings: on the eccentrics, in the crank's seats, and as rollers on pins.

Lives are ISO 281's basic ones: 90 of 100 bearings of a kind reach them, clean and greased. Miniature bearings in a
printed machine, with dust in them, reach less.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import (
    GREATEST_SIZE,
    SMALLEST_SIZE,
    Floats,
    checked_kind,
    checked_number,
    finite,
    from_zero,
    positive,
)
from cyclokit.drive import Drive
from cyclokit.texts import shown

EXPONENT = 3  # of a ball bearing's life: ISO 281


@dataclass(frozen=True)
class Ratings:
    """What a maker's list says of a bearing.

    Attributes
    ----------
    dynamic : float
        Basic dynamic load rating C [N].
    static : float
        Basic static load rating C0 [N].
    """

    dynamic: float
    static: float

    def __post_init__(self) -> None:
        for name in ("dynamic", "static"):
            checked_number(name, getattr(self, name), SMALLEST_SIZE, GREATEST_SIZE)


# Cautious figures for bearings whose maker isn't known, from memory: makers' lists differ by half and more
# (625: 1140 or 1730 N). Take the maker's own where it is known.
CAUTIOUS = {
    name: Ratings(dynamic, static)
    for name, dynamic, static in (
        ("623", 500.0, 170.0),
        ("624", 950.0, 350.0),
        ("625", 1140.0, 380.0),
        ("626", 1900.0, 700.0),
        ("607", 1900.0, 700.0),
        ("608", 2700.0, 1100.0),
        ("686", 850.0, 350.0),
        ("686ZZ", 850.0, 350.0),
        ("688", 1000.0, 450.0),
        ("688ZZ", 1000.0, 450.0),
        ("61800", 1300.0, 550.0),
        ("61801", 1350.0, 630.0),
        ("61802", 1500.0, 750.0),
        ("61803", 1600.0, 850.0),
        ("61804", 3600.0, 2000.0),
        ("61805", 4000.0, 2300.0),
        ("61806", 4200.0, 2600.0),
        ("61807", 4400.0, 2900.0),
        ("61808", 4600.0, 3100.0),
        ("61900", 2000.0, 800.0),
        ("61904", 5800.0, 3200.0),
        ("61905", 6400.0, 3800.0),
    )
}


def life_revolutions(ratings: Ratings, load: ArrayLike) -> Floats:
    """Basic rating life L10 of a ball bearing, in revolutions of ring against ring: (C/P)^3 million, ISO 281.

    The load P is the equivalent radial one [N], from 0; without it the life is infinite.

    Examples
    --------
    >>> float(life_revolutions(Ratings(55300.0, 31500.0), 10e3)) / 1e6  # millions; the list's example says 169
    169.112377
    """
    checked_kind("ratings", ratings, Ratings)
    load = from_zero("load", load)
    with np.errstate(divide="ignore"):
        return 1e6 * (ratings.dynamic / load) ** EXPONENT


def life_hours(ratings: Ratings, load: ArrayLike, speed: ArrayLike) -> Floats:
    """The same in hours, at a steady speed of one ring against the other [rad/s], above 0.

    The load is the equivalent radial one [N], from 0; without it the life is infinite.

    Examples
    --------
    >>> life_hours(Ratings(55300.0, 31500.0), 10e3, 3000 * 2 * np.pi / 60).round().tolist()  # the list's too
    940.0
    """
    return life_revolutions(ratings, load) * 2 * np.pi / (positive("speed", speed) * 3600)


def static_safety(ratings: Ratings, load: ArrayLike) -> Floats:
    """Static load rating over the greatest load [N]: below 1 the balls leave marks (ISO 76); infinite without load.

    Examples
    --------
    >>> static_safety(Ratings(1140.0, 815.0), 500.0).tolist()  # the list's example says 1.63
    1.63
    """
    checked_kind("ratings", ratings, Ratings)
    with np.errstate(divide="ignore"):
        return ratings.static / from_zero("load", load)


def equivalent_load(load: ArrayLike, revolutions: ArrayLike) -> float:
    """The steady load [N] that tires a bearing as much as a cycle of different ones does.

    `load` is that in each part of the cycle [N], from 0, `revolutions` those in each part, or in proportion to them,
    from 0 and not all 0; both of shape (k,). The cube root of the mean cube (ISO 281, by adding up the shares of life
    used).

    Examples
    --------
    >>> round(equivalent_load([100.0, 50.0], [1.0, 1.0]), 2)  # N: above the mean
    82.55
    """
    loads, turns = from_zero("load", load), finite("revolutions", revolutions)
    if loads.ndim != 1 or loads.shape != turns.shape or (turns < 0).any() or not turns.sum() > 0:
        raise ValueError(
            f"revolutions is {shown(revolutions)} for a load of {shown(load)}, but must be as many in a row, 0 or "
            "more, and not all 0: give each load its own."
        )
    return float(np.cbrt((loads**EXPONENT * turns).sum() / turns.sum()))


def eccentric_speed(drive: Drive, crank_speed: ArrayLike) -> Floats:
    """Speed of an eccentric's bearing, ring against ring [rad/s], for crank speeds [rad/s]: N/(N - 1) of them.

    The inner ring turns with the crank, the outer with the disc, the other way and N - 1 times as slowly. Seen from the
    inner ring the load stands still, so that one place of it is loaded all the time; round the outer ring it goes.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> eccentric_speed(story, 95.0).round(3).tolist()  # rad/s
    100.0
    """
    checked_kind("drive", drive, Drive)
    return from_zero("crank_speed", np.abs(finite("crank_speed", crank_speed))) * drive.pins / drive.lobes
