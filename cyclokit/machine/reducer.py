"""A drive dressed as a machine: output rollers and holes, discs, shaft, bearings, pins, materials, clearances.

What is a clearance, needed so that the machine runs, and what is an allowance, made up for what the printer does,
are kept apart. What is chosen where nothing is given stands in `defaults`, the file it is kept in in `reducer_file`.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from numbers import Real
from typing import Any

from cyclokit.drive import Drive, checked_length
from cyclokit.machine import defaults
from cyclokit.machine.stock import BEARINGS, MATERIALS, Bearing, Material
from cyclokit.texts import in_html

CHOSEN: Any = None  # stands for a figure that `Reducer` chooses by itself
MOST_OUTPUT_ROLLERS = 100
LARGEST_ALLOWANCE = 5.0  # mm; beyond that it is a slip of the unit

DRIVE = tuple(field.name for field in fields(Drive))
LENGTHS = (
    "output_circle_radius",
    "output_roller_radius",
    "disc_thickness",
    "disc_gap",
    "shaft_radius",
    "spacer_radius",
    "pin_rod_radius",
    "housing_wall",
)
COUNTS = {"output_rollers": (3, MOST_OUTPUT_ROLLERS), "discs": (1, 3)}
BEARING_KEYS = ("eccentric_bearing", "crank_bearing")
CHOICES = {
    "pin_made": ("solid", "sleeve on rod", "bearing on rod"),
    "pin_support": ("both ends", "one end"),
    "print_orientation": ("flat", "upright"),
} | {f"{part}_material": tuple(MATERIALS) for part in ("disc", "roller", "rod", "housing")}
CLEARANCES = ("hole_clearance", "outline_clearance", "axial_clearance")
ALLOWANCES = ("hole_allowance", "outline_allowance")


@dataclass(frozen=True)
class Reducer:
    """A cycloidal drive as a machine; whatever isn't given is chosen to suit the drive.

    Any figures that can be drawn are accepted: whether they go together is for `cyclokit.machine.space.check`.

    Attributes
    ----------
    drive : Drive
        The four numbers of the drive.
    output_rollers : int
        Number Zw of output rollers, evenly spaced, 3 to 100.
    output_circle_radius : float
        Radius Rw of the circle on which their centres stand [mm].
    output_roller_radius : float
        Radius of each [mm].
    hole_phase : float
        Where hole 0 of disc 0 lies, counter-clockwise from root 0, in lobe pitches, 0 to below 1. At 0.25 two
        discs are always the same part.
    discs : int
        Number of equally phased discs, 1, 2 or 3.
    disc_thickness, disc_gap : float
        Thickness of each disc, and the free distance between two of them [mm].
    shaft_radius : float
        Radius of the crank's shaft [mm].
    eccentric_bearing, crank_bearing : Bearing or str
        The bearing in each disc, on its eccentric, and the one in which the crank runs: a designation from
        `cyclokit.machine.stock.BEARINGS`, or a Bearing.
    spacer_radius : float
        Radius of the round spacers on the shaft between the eccentrics' bearings [mm].
    pin_made : str
        "solid", "sleeve on rod" or "bearing on rod".
    pin_rod_radius : float
        Radius of the rod that carries sleeve or bearing [mm]; a solid pin's own.
    pin_support : str
        "both ends" or "one end".
    disc_material, roller_material, rod_material, housing_material : str
        Names from `cyclokit.machine.stock.MATERIALS`.
    print_orientation : str
        How the disc is printed: "flat", loaded along its layers, or "upright", loaded across them.
    housing_wall : float
        Wall of the housing round rollers and discs, running gap included [mm].
    hole_clearance : float
        What the output holes' radius has beyond roller plus eccentricity [mm], from 0.
    outline_clearance : float
        How far the disc's outline is moved inwards, so that it runs without jamming [mm], from 0.
    axial_clearance : float
        Side play of each disc [mm], from 0.
    hole_allowance, outline_allowance : float
        What the maker adds to a hole's radius, or moves an outline inwards by, because the printer makes holes
        small and outlines large [mm]. A calibration print decides; 0 until then. No fit is judged by them.

    Raises
    ------
    TypeError
        If a figure is of another kind: a text for a length, say.
    ValueError
        If one is out of its range, or can't be chosen because the drive leaves no room.

    Notes
    -----
    The defaults: a shaft of 5 mm (NEMA ICS 16, the shaft of size 17), the smallest bearing of the table that holds
    it and the eccentricity, output rollers like the ring's as far out as a wall allows. Walls and clearances are
    common practice, no source.
    """

    drive: Drive
    output_rollers: int = CHOSEN
    output_circle_radius: float = CHOSEN
    output_roller_radius: float = CHOSEN
    hole_phase: float = 0.25
    discs: int = 2
    disc_thickness: float = CHOSEN
    disc_gap: float = 1.0
    shaft_radius: float = 2.5
    eccentric_bearing: Bearing = CHOSEN
    crank_bearing: Bearing = CHOSEN
    spacer_radius: float = CHOSEN
    pin_made: str = CHOSEN
    pin_rod_radius: float = CHOSEN
    pin_support: str = "both ends"
    disc_material: str = "PETG"
    roller_material: str = "bearing steel"
    rod_material: str = "bearing steel"
    housing_material: str = "PETG"
    print_orientation: str = "flat"
    housing_wall: float = CHOSEN
    hole_clearance: float = 0.1
    outline_clearance: float = 0.1
    axial_clearance: float = 0.2
    hole_allowance: float = 0.0
    outline_allowance: float = 0.0

    def __post_init__(self) -> None:
        if not isinstance(self.drive, Drive):
            raise TypeError(f"drive must be a Drive, not {self.drive!r}: make one from four numbers first.")
        for name in [field.name for field in fields(self) if field.name != "drive"]:
            if getattr(self, name) is not None:
                self._set(name, checked(name, getattr(self, name)))
        for name, choose in CHOOSE.items():
            if getattr(self, name) is None:
                self._set(name, checked(name, choose(self)))
        if self.pin_made == "solid" and self.pin_rod_radius != self.drive.roller_radius:
            raise ValueError(
                f"pin_rod_radius is {self.pin_rod_radius:g} mm, but a solid pin's must be its own, "
                f"{self.drive.roller_radius:g}: leave it out, or choose another pin_made."
            )
        if 2 * self.shaft_radius > self.crank_bearing.bore_diameter:
            raise ValueError(
                f"crank_bearing is {self.crank_bearing.name}, whose bore of {self.crank_bearing.bore_diameter:g} mm "
                f"doesn't take a shaft of {2 * self.shaft_radius:g}: choose a larger bearing or a thinner shaft."
            )

    def _set(self, name: str, value: object) -> None:
        object.__setattr__(self, name, value)  # how a frozen dataclass stores a checked value

    @property
    def hole_radius(self) -> float:
        """Radius of the output holes in the running machine [mm]: roller + eccentricity + clearance, all radii."""
        return self.output_roller_radius + self.drive.eccentricity + self.hole_clearance

    @property
    def bore_radius(self) -> float:
        """Radius of each disc's bore, which takes the eccentric's bearing [mm]."""
        return self.eccentric_bearing.outer_diameter / 2

    @property
    def disc_pitch(self) -> float:
        """Distance between the middles of neighbouring discs [mm]."""
        return self.disc_thickness + self.disc_gap

    @property
    def disc_drive(self) -> Drive:
        """The drive whose outline the disc has once it is moved inwards by its clearance: with larger rollers."""
        return replace(self.drive, roller_radius=self.drive.roller_radius + self.outline_clearance)

    @property
    def disc_strength(self) -> tuple[float, float]:
        """Least and greatest strength of the disc's material, along or across the layers as it is printed [MPa]."""
        material: Material = MATERIALS[self.disc_material]
        strength = material.strength if self.print_orientation == "flat" else material.strength_across
        if strength is None:
            raise ValueError(
                f"print_orientation is 'upright', but no source says how strong {material.name} is across its "
                "layers: print it flat, choose another disc_material, or test a bar of it."
            )
        return strength

    def figures(self) -> dict[str, Any]:
        """All figures by their names, the drive's first; a listed bearing by its designation, another as a dict."""
        table: dict[str, Any] = {name: getattr(self.drive, name) for name in DRIVE}
        for name in [field.name for field in fields(self) if field.name != "drive"]:
            value = getattr(self, name)
            if isinstance(value, Bearing):
                listed = BEARINGS.get(value.name) == value
                value = value.name if listed else {f.name: getattr(value, f.name) for f in fields(value)}
            table[name] = value
        return table

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><th scope='row' style='text-align:left'>{name}</th><td style='text-align:left'>{value}</td></tr>"
            for name, value in zip(self.figures(), map(in_html, self.figures().values()), strict=True)
        )
        head = "<tr><th scope='col'>what</th><th scope='col'>value</th></tr>"
        return f"<table><caption>A reducer, lengths in mm</caption><thead>{head}</thead><tbody>{rows}</tbody></table>"


def checked(name: str, value: Any) -> Any:
    """A reducer's figure of that name, if it is of the right kind and in its range."""
    if name in LENGTHS:
        return checked_length(name, value)
    if name in COUNTS:
        return _count(name, value, *COUNTS[name])
    if name in CHOICES:
        return _choice(name, value, CHOICES[name])
    if name in BEARING_KEYS:
        return value if isinstance(value, Bearing) else BEARINGS[_choice(name, value, tuple(BEARINGS))]
    if name in CLEARANCES:
        return _number(name, value, 0.0, LARGEST_ALLOWANCE)
    if name in ALLOWANCES:
        return _number(name, value, -LARGEST_ALLOWANCE, LARGEST_ALLOWANCE)
    return _number(name, value, 0.0, math.nextafter(1.0, 0.0))  # the hole phase


def _count(name: str, value: Any, least: int, most: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError(f"{name} must be a whole number such as {least}, not {value!r}: give a count.")
    if not least <= value <= most:
        raise ValueError(f"{name} is {value}, but must be {least} to {most}: choose another number.")
    return value


def _choice(name: str, value: Any, allowed: tuple[str, ...]) -> str:
    if not isinstance(value, str) or value not in allowed:
        raise ValueError(f"{name} is {value!r}, but must be one of {', '.join(allowed)}: choose one of these.")
    return value


def _number(name: str, value: Any, least: float, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, Real):
        raise TypeError(f"{name} must be a number such as 0.1, not {value!r}: give the plain number.")
    if not least <= float(value) <= most:
        raise ValueError(f"{name} is {value!r}, but must be {least:g} to {most:g}: give a number in that range.")
    return float(value)


# Which default is chosen where nothing is given, in this order: each may look at those before it.
CHOOSE: dict[str, Callable[[Reducer], Any]] = {
    "housing_wall": lambda r: defaults.wall(r.drive.pin_circle_radius),
    "eccentric_bearing": lambda r: defaults.eccentric_bearing(r.shaft_radius, r.drive.eccentricity),
    "crank_bearing": lambda r: defaults.crank_bearing(r.shaft_radius),
    "output_roller_radius": lambda r: defaults.output_roller_radius(
        r.drive, r.bore_radius, r.housing_wall, r.hole_clearance, r.outline_clearance
    ),
    "output_circle_radius": lambda r: defaults.output_circle_radius(r.disc_drive, r.hole_radius, r.housing_wall),
    "output_rollers": lambda r: defaults.output_rollers(r.output_circle_radius, r.hole_radius, r.housing_wall),
    "disc_thickness": lambda r: r.eccentric_bearing.width,
    "spacer_radius": lambda r: defaults.spacer_radius(r.shaft_radius, r.drive.eccentricity, r.eccentric_bearing),
    "pin_made": lambda r: defaults.pin_made(r.drive.roller_radius),
    "pin_rod_radius": lambda r: defaults.pin_rod_radius(r.drive.roller_radius, r.pin_made),
}
