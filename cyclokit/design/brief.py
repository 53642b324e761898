"""What a reducer must be, and what there is to make it of."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from cyclokit.arguments import GREATEST_SIZE, checked_count, checked_length, checked_number
from cyclokit.drive import MOST_PINS
from cyclokit.machine import defaults
from cyclokit.machine.reducer import FIGURES, checked
from cyclokit.machine.stock import BEARINGS, Bearing
from cyclokit.signatures import read
from cyclokit.texts import shown

# The demands that can give way a little: name -> the brief's own
ASKED_AS = {
    "outer diameter": "greatest_outer_diameter",
    "least wall": "least_wall",
    "resolution": "resolution",
    "running gap": "running_gap",
    "least share": "least_share",
    "greatest share": "greatest_share",
    "torque": "torque",
}
AT_HAND = ("roller_diameters", "eccentric_bearings")


@dataclass(frozen=True)
class Roller:
    """A roller at hand: its radius [mm], and the bearing it is, if it is one.

    Examples
    --------
    >>> sleeve = Roller(4.0, None)
    >>> sleeve.made, sleeve.turns, sleeve.rod_radius  # mm
    ('sleeve on rod', True, 2.0)
    """

    radius: float
    bearing: Bearing | None

    @property
    def made(self) -> str:
        """How a pin with it is made: a plain roller stays plain, even if a bearing were as wide."""
        return defaults.PINS_MADE[2] if self.bearing else defaults.plain_pin(self.radius)

    @property
    def turns(self) -> bool:
        """Whether it turns on a rod."""
        return self.made != defaults.PINS_MADE[0]

    @property
    def rod_radius(self) -> float:
        """Radius of its rod [mm], its own where it is solid."""
        return defaults.rod_radius(self.radius, self.made, self.bearing)


@dataclass(frozen=True)
class Brief:
    """What a reducer must be, and what there is to make it of; whatever is round is given by its diameter.

    Attributes
    ----------
    ratio : int
        Crank turns for one output turn, 2 to 9999.
    greatest_outer_diameter : float
        Of the housing, whose wall is the least wall and the running gap [mm].
    roller_diameters : sequence of float, str or Bearing
        What is at hand as rollers for ring and output: diameters [mm] of plain ones, or bearings, a designation
        or a Bearing each. A bearing stays that bearing, and a plain roller is solid or a sleeve.
    least_wall : float
        Thinnest wall that the workshop can make [mm].
    resolution : float
        Smallest step that printer or cutter can make [mm]; lobes must be as high, and their edges as round.
    running_gap : float
        Gap that turning ring rollers keep from each other at least, and parts that turn from the housing [mm].
    least_share, greatest_share : float
        Eccentricity as a share of the greatest with which this drive would still be sound, 0 to 1: below the least
        the lobes are shallow and the forces large, above the greatest the flanks are nearly undercut. Common practice,
        no source.
    output_rollers : int
        Number of output rollers.
    discs : int
        Number of discs, 1, 2 or 3.
    eccentric_bearings : sequence of str or Bearing
        Bearings at hand for the eccentrics.
    shaft_diameter : float
        Of the crank's shaft [mm].
    hole_clearance, outline_clearance : float
        As a Reducer has them [mm].
    torque : float
        Torque at the output that it must bear by `mechanics.capacity` [N mm], from 0; 0 asks for nothing. A part of
        which no strength or rating is known bears none.
    safety : float
        The safety at which it must, 1 or more; without gaps, which `verdict.judge` knows.
    disc_material, roller_material, rod_material : str
        As a Reducer has them.

    Raises
    ------
    TypeError
        If a figure is of another kind: a text for a length, say.
    ValueError
        If one is out of its range, or a bearing isn't listed.

    Examples
    --------
    >>> brief = Brief(19, 110, ["623", 8])
    >>> brief.roller_diameters, brief.greatest_outer_diameter
    (('623', 8.0), 110.0)
    """

    ratio: int
    greatest_outer_diameter: float
    roller_diameters: Sequence[float | str | Bearing]
    least_wall: float = defaults.LEAST_WALL
    resolution: float = defaults.RESOLUTION
    running_gap: float = defaults.RUNNING_GAP
    least_share: float = 0.4
    greatest_share: float = 0.8
    output_rollers: int = 6
    discs: int = 2
    eccentric_bearings: Sequence[str | Bearing] = ("61800", "61801", "61802", "61803", "61804")
    shaft_diameter: float = 5.0
    hole_clearance: float = 0.1
    outline_clearance: float = 0.1
    torque: float = 0.0
    safety: float = 2.0
    disc_material: str = "PETG"
    roller_material: str = "bearing steel"
    rod_material: str = "plain steel"

    def __post_init__(self) -> None:
        for field in fields(self):
            # object.__setattr__ is how a frozen dataclass stores a checked value
            object.__setattr__(self, field.name, _checked(field.name, getattr(self, field.name)))
        widest = max(bearing.bore_diameter for bearing in BEARINGS.values())
        if self.shaft_diameter > widest:
            raise ValueError(
                f"shaft_diameter is {self.shaft_diameter:g} mm, but must be {widest:g} at most, the largest bore of a "
                "listed bearing: the crank runs in one, so choose a thinner shaft."
            )
        if self.least_share > self.greatest_share:
            raise ValueError(
                f"least_share is {self.least_share:g}, but must not be above greatest_share, "
                f"{self.greatest_share:g}: look whether the two are swapped."
            )


@read
def asked(brief: Brief) -> dict[str, float]:
    """The demands of a brief that can give way a little, by their names; shares have no unit, the rest is in mm.

    Examples
    --------
    >>> asked(Brief(19, 110, ["623"]))["outer diameter"]  # mm
    110.0
    """
    return {demand: getattr(brief, name) for demand, name in ASKED_AS.items()}


@read
def rollers_at_hand(brief: Brief) -> list[Roller]:
    """Rollers at hand, each once, in the brief's order.

    Examples
    --------
    >>> [roller.radius for roller in rollers_at_hand(Brief(19, 110, ["623", 8, 8.0]))]  # mm
    [5.0, 4.0]
    """
    return list(dict.fromkeys(_roller(item) for item in brief.roller_diameters))


@read
def bearings_at_hand(brief: Brief) -> list[Bearing]:
    """Bearings at hand for the eccentrics, each once, in the brief's order.

    Examples
    --------
    >>> [bearing.name for bearing in bearings_at_hand(Brief(19, 110, ["623"]))]
    ['61800', '61801', '61802', '61803', '61804']
    """
    return list(dict.fromkeys(_bearing("eccentric_bearings", item) for item in brief.eccentric_bearings))


def _checked(name: str, value: Any) -> Any:
    if name == "ratio":
        return checked_count(name, value, 2, MOST_PINS - 1)
    if name in AT_HAND:
        return _sequence(name, value)
    if name in ("least_share", "greatest_share"):
        return checked_number(name, value, 0, 1)
    if name in ("torque", "safety"):
        return checked_number(name, value, 1 if name == "safety" else 0, GREATEST_SIZE)
    if name in FIGURES:
        return checked(name, value)
    return checked_length(name, value)


def _sequence(name: str, value: Any) -> tuple[Any, ...]:
    if isinstance(value, str) or not isinstance(value, Sequence | np.ndarray):
        raise TypeError(f"{name} must be a list or tuple such as ['623'], not {shown(value)}: put it in brackets.")
    if len(value) == 0:
        raise ValueError(f"{name} is {shown(value)}, but must have one thing or more: give a list such as ['623'].")
    make = _roller if name == "roller_diameters" else lambda item: _bearing(name, item)
    for item in value:
        make(item)  # for its errors
    return tuple(item if isinstance(item, str | Bearing) else float(item) for item in value)


def _roller(item: Any) -> Roller:
    if not isinstance(item, str | Bearing):
        return Roller(checked_length("roller_diameters", item) / 2, None)
    bearing = _bearing("roller_diameters", item)
    return Roller(bearing.outer_diameter / 2, bearing)


def _bearing(name: str, item: Any) -> Bearing:
    if isinstance(item, Bearing):
        return item
    if not isinstance(item, str):
        raise TypeError(f"{name} has {shown(item)}, but must be made of bearings: give designations such as '61801'.")
    if item not in BEARINGS:
        raise ValueError(f"{name} has {shown(item)}, but must be of the table ({', '.join(BEARINGS)}), or a Bearing.")
    return BEARINGS[item]
