"""What a reducer must be, and what there is to make it of."""

from dataclasses import dataclass
from numbers import Integral

from cyclokit.arguments import checked_length
from cyclokit.drive import MOST_PINS
from cyclokit.machine.defaults import LEAST_WALL
from cyclokit.machine.reducer import checked
from cyclokit.machine.stock import BEARINGS, Bearing

# The demands that are lengths: name -> the brief's own
ASKED_AS = {"outer diameter": "greatest_outer_diameter", "least wall": "least_wall", "resolution": "resolution"}


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
        radii_at_hand(self)
        bearings_at_hand(self)
        for name in ("output_rollers", "hole_clearance", "outline_clearance"):
            checked(name, getattr(self, name))


def lengths_asked(brief: Brief) -> dict[str, float]:
    """The demands of a brief that are lengths [mm], by their names."""
    return {demand: getattr(brief, name) for demand, name in ASKED_AS.items()}


def radii_at_hand(brief: Brief) -> list[float]:
    """Radii of the rollers at hand [mm], each once, the smallest first."""
    rollers = brief.rollers
    return sorted(
        {
            _listed("rollers", r).outer_diameter / 2 if isinstance(r, str) else checked_length("rollers", r)
            for r in rollers
        }
    )


def bearings_at_hand(brief: Brief) -> list[Bearing]:
    """Bearings at hand for the eccentrics."""
    return [b if isinstance(b, Bearing) else _listed("eccentric_bearings", b) for b in brief.eccentric_bearings]


def _listed(name: str, designation: str) -> Bearing:
    if designation not in BEARINGS:
        raise ValueError(f"{name} has {designation!r}, but bearings must be of the table: {', '.join(BEARINGS)}.")
    return BEARINGS[designation]
