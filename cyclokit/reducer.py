"""A drive dressed as a machine: output rollers and holes, discs, shaft, bearings, pins, materials, clearances.

A reducer can be written to a TOML file that a person can read and type. What is a clearance, needed so that the
machine runs, and what is an allowance, made up for what the printer does, are kept apart.
"""

import math
import tomllib
from dataclasses import dataclass, fields, replace
from numbers import Real
from pathlib import Path
from typing import Any

import tomli_w

from cyclokit.drive import Drive, checked_length
from cyclokit.files import write_whole
from cyclokit.stock import BEARINGS, MATERIALS, Bearing, Material

CHOSEN: Any = None  # stands for a figure that `Reducer` chooses by itself
LEAST_WALL = 1.2  # mm, three lines of a 0.4 mm nozzle: common practice, no source
WALL_SHARE = 0.07  # of the pin circle radius: what a default wall is on a larger machine
OUTPUT_ROLLERS = (6, 4, 3)  # what is tried by itself, in this order
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

    Any figures that can be drawn are accepted: whether they go together is for `cyclokit.mechanics.space.check`.

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
        `cyclokit.stock.BEARINGS`, or a Bearing.
    spacer_radius : float
        Radius of the round spacers on the shaft between the eccentrics' bearings [mm].
    pin_made : str
        "solid", "sleeve on rod" or "bearing on rod".
    pin_rod_radius : float
        Radius of the rod that carries sleeve or bearing [mm]; a solid pin's own.
    pin_support : str
        "both ends" or "one end".
    disc_material, roller_material, rod_material, housing_material : str
        Names from `cyclokit.stock.MATERIALS`.
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

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><th scope='row' style='text-align:left'>{name}</th><td style='text-align:left'>{value}</td></tr>"
            for name, value in _plain(self).items()
        )
        head = "<tr><th scope='col'>what</th><th scope='col'>value</th></tr>"
        return f"<table><caption>A reducer, lengths in mm</caption><thead>{head}</thead><tbody>{rows}</tbody></table>"


def to_toml(reducer: Reducer) -> str:
    """The reducer as the text of a TOML file, every figure in it; `from_toml` gives the equal reducer back."""
    return "# A reducer. Lengths in mm; hole_phase in lobe pitches.\n" + tomli_w.dumps(_plain(reducer))


def from_toml(text: str) -> Reducer:
    """A reducer from the text of a TOML file: the drive's four numbers, and whatever else isn't to be chosen.

    Parameters
    ----------
    text : str
        TOML with the keys of `Drive` and `Reducer` at its top level; numbers are mm. A bearing is a designation, or
        a table of name, bore_diameter, outer_diameter and width.

    Returns
    -------
    Reducer
        The reducer; keys that are left out are chosen as `Reducer` does.

    Raises
    ------
    ValueError
        If the text isn't TOML, naming the line; if a key is unknown or missing, or its value can't be, naming the key.
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"this isn't TOML ({error}): correct that place.") from error
    known = {*DRIVE, *(field.name for field in fields(Reducer))} - {"drive"}
    for key in table.keys() - known:
        raise ValueError(_unknown(key, known))
    if missing := [name for name in DRIVE if name not in table]:
        raise ValueError(f"{missing[0]} is missing: a reducer needs at least {', '.join(DRIVE)}. Add it.")
    for key in BEARING_KEYS:
        if isinstance(table.get(key), dict):
            table[key] = _bearing(key, table[key])
    try:
        drive = Drive(**{name: table.pop(name) for name in DRIVE})
        return Reducer(drive, **table)
    except TypeError as error:
        raise ValueError(str(error)) from error


def write(reducer: Reducer, file: Path) -> None:
    """Write the reducer to a TOML file, unless the file holds something else.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    file : Path
        Where.

    Raises
    ------
    ValueError
        If the file is there and holds another text.
    """
    content = to_toml(reducer).encode()
    if file.exists() and file.read_bytes() != content:
        raise ValueError(f"{file.name} holds something else and was not touched: choose another name, or delete it.")
    write_whole(file, content)


def read(file: Path) -> Reducer:
    """The reducer in a TOML file.

    Parameters
    ----------
    file : Path
        The file; one that keeps a drive's four numbers only will do.

    Returns
    -------
    Reducer
        What `from_toml` makes of it.

    Raises
    ------
    ValueError
        If it can't be understood; the message names the file, and the line or the key.
    """
    try:
        return from_toml(file.read_text(encoding="utf-8-sig"))  # Windows editors add a mark
    except ValueError as error:  # a text that isn't UTF-8 is one too
        raise ValueError(f"{file.name}: {error}") from error


def _plain(reducer: Reducer) -> dict[str, Any]:
    """All figures by their keys, the drive's first, as TOML has them."""
    table: dict[str, Any] = {name: getattr(reducer.drive, name) for name in DRIVE}
    for name in [field.name for field in fields(reducer) if field.name != "drive"]:
        value = getattr(reducer, name)
        if isinstance(value, Bearing):
            listed = BEARINGS.get(value.name) == value
            value = value.name if listed else {f.name: getattr(value, f.name) for f in fields(value)}
        table[name] = value
    return table


def _unknown(key: str, known: set[str]) -> str:
    whole = [name for name in sorted(known, key=len, reverse=True) if key.startswith(f"{name}_")]
    if whole:
        return f"{key} is no key: all lengths are in mm and keys carry no unit. Write {whole[0]}, in mm."
    return f"{key} is no key of a reducer: the keys are {', '.join(sorted(known))}. Correct or delete it."


def _bearing(key: str, table: dict[str, Any]) -> Bearing:
    names = {field.name for field in fields(Bearing)}
    if odd := sorted(table.keys() ^ names):
        raise ValueError(f"{key} has wrong or missing keys, {', '.join(odd)}: it needs {', '.join(sorted(names))}.")
    try:
        return Bearing(**table)
    except (TypeError, ValueError) as error:
        raise ValueError(f"{key}: {error}") from error


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


# What is chosen where nothing is given, in this order: each may look at those before it.


def _wall(reducer: Reducer) -> float:
    return max(LEAST_WALL, round(WALL_SHARE * reducer.drive.pin_circle_radius, 1))


def _eccentric_bearing(reducer: Reducer) -> Bearing:
    needed = 2 * (reducer.shaft_radius + reducer.drive.eccentricity + LEAST_WALL)
    wide = [bearing for bearing in BEARINGS.values() if bearing.bore_diameter >= needed]
    if not wide:
        raise ValueError(
            f"eccentric_bearing must have a bore of {needed:.1f} mm or more, and none in the table has: give a "
            "Bearing of your own, a thinner shaft or a smaller eccentricity."
        )
    return min(wide, key=lambda bearing: (bearing.outer_diameter, bearing.width, bearing.name))


def crank_bearing_for(shaft_radius: float) -> Bearing:
    """The smallest bearing of the table whose bore takes a shaft of that radius [mm].

    Raises
    ------
    ValueError
        If none does.
    """
    wide = [bearing for bearing in BEARINGS.values() if bearing.bore_diameter >= 2 * shaft_radius]
    if not wide:
        raise ValueError(
            f"shaft_radius is {shaft_radius:g} mm, and no crank_bearing in the table takes it: give a Bearing."
        )
    return min(wide, key=lambda bearing: (bearing.bore_diameter, bearing.outer_diameter, bearing.width))


def _output_roller_radius(reducer: Reducer) -> float:
    drive, wall = reducer.drive, reducer.housing_wall
    room = drive.pin_circle_radius - drive.eccentricity - drive.roller_radius - reducer.bore_radius
    most = room / 2 - wall - drive.eccentricity - reducer.hole_clearance - reducer.outline_clearance
    if most < 0.1:
        raise ValueError(
            f"output_roller_radius can't be chosen: between roots and bore there are {room:.1f} mm, too few for holes "
            f"and two walls of {wall:g} mm. Give it yourself, or a smaller bearing, or choose a larger pin circle."
        )
    return min(drive.roller_radius, math.floor(10 * most) / 10)


def _output_circle_radius(reducer: Reducer) -> float:
    drive, wall = reducer.disc_drive, reducer.housing_wall
    most = drive.pin_circle_radius - drive.eccentricity - drive.roller_radius - reducer.hole_radius - wall
    step = 0.5 if wall > 2 else 0.1  # a round number that leaves the inner wall three quarters at least
    if most < step:
        raise ValueError(
            f"output_circle_radius can't be chosen: holes of radius {reducer.hole_radius:g} mm don't fit inside the "
            "roots. Give smaller output rollers, or choose a larger pin circle."
        )
    return round(math.floor(most / step) * step, 1)  # 17 * 0.1 is 1.7000000000000002


def _output_rollers(reducer: Reducer) -> int:
    for number in OUTPUT_ROLLERS:
        apart = 2 * reducer.output_circle_radius * math.sin(math.pi / number)
        if apart - 2 * reducer.hole_radius >= reducer.housing_wall:
            return number
    raise ValueError(
        f"output_rollers can't be chosen: even {OUTPUT_ROLLERS[-1]} holes of radius {reducer.hole_radius:g} mm leave "
        f"no wall of {reducer.housing_wall:g} mm between them. Give smaller output rollers or a larger circle."
    )


def _spacer_radius(reducer: Reducer) -> float:
    # half-way between too small to reach the inner rings and too large to stay off the outer ones
    bearing, eccentricity = reducer.eccentric_bearing, reducer.drive.eccentricity
    least = max(reducer.shaft_radius, bearing.bore_diameter / 2 - eccentricity)
    return (least + bearing.shoulder_radius - eccentricity) / 2


def _pin_made(reducer: Reducer) -> str:
    if _ring_bearing(reducer.drive):
        return "bearing on rod"
    return "sleeve on rod" if reducer.drive.roller_radius >= 2.5 else "solid"


def _pin_rod_radius(reducer: Reducer) -> float:
    radius, bearing = reducer.drive.roller_radius, _ring_bearing(reducer.drive)
    if reducer.pin_made == "bearing on rod" and bearing:
        return bearing.bore_diameter / 2
    return radius if reducer.pin_made == "solid" else radius / 2


def _ring_bearing(drive: Drive) -> Bearing | None:
    """The first bearing of the table that is just as wide as the rollers, if there is one."""
    alike = [bearing for bearing in BEARINGS.values() if bearing.outer_diameter == 2 * drive.roller_radius]
    return alike[0] if alike else None


CHOOSE = {
    "housing_wall": _wall,
    "eccentric_bearing": _eccentric_bearing,
    "crank_bearing": lambda reducer: crank_bearing_for(reducer.shaft_radius),
    "output_roller_radius": _output_roller_radius,
    "output_circle_radius": _output_circle_radius,
    "output_rollers": _output_rollers,
    "disc_thickness": lambda reducer: reducer.eccentric_bearing.width,
    "spacer_radius": _spacer_radius,
    "pin_made": _pin_made,
    "pin_rod_radius": _pin_rod_radius,
}
