"""Whether a reducer's parts go together: its shape, walls of disc and housing, and the `stack` along its axis.

Each bound that hangs on the drive is worked out from plain numbers or arrays (`Lengths`), so that one reducer and a
million candidates are judged alike. What the report says stands in `space_words`.
"""

from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_kind, checked_length, positive
from cyclokit.geometry import limits
from cyclokit.machine import stack
from cyclokit.machine.defaults import RESOLUTION
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.space_words import CAPTIONS, SENTENCES, WORDS
from cyclokit.report import Limit, Report, within
from cyclokit.signatures import read

BOTH_ENDS_ONLY = ("output rods inside the ring pins", "wall outside the output rods")


@dataclass(frozen=True, kw_only=True)
class Lengths:
    """The plain numbers of one reducer or many, by name: lengths [mm] and counts, above zero, shapes that broadcast.

    Attributes
    ----------
    pins, pin_circle_radius, roller_radius, eccentricity : ndarray
        The four numbers N, Rp, r and e.
    disc_roller_radius : ndarray
        r and the outline's clearance: the roller whose outline the finished disc has.
    pin_rod_radius : ndarray
        Radius of a ring pin's rod.
    output_rollers, output_circle_radius, output_roller_radius, output_rod_radius, hole_radius : ndarray
        Number Zw, radius Rw of their circle, of a roller, of its rod, and of an output hole.
    shaft_radius, eccentric_radius, bore_radius, crank_bearing_radius : ndarray
        Of the shaft, the eccentric, the disc's bore, and the outside of the crank's bearing.
    running_gap : ndarray
        Gap that parts that turn keep from each other.
    """

    pins: Floats
    pin_circle_radius: Floats
    roller_radius: Floats
    eccentricity: Floats
    disc_roller_radius: Floats
    pin_rod_radius: Floats
    output_rollers: Floats
    output_circle_radius: Floats
    output_roller_radius: Floats
    output_rod_radius: Floats
    hole_radius: Floats
    shaft_radius: Floats
    eccentric_radius: Floats
    bore_radius: Floats
    crank_bearing_radius: Floats
    running_gap: Floats

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            object.__setattr__(self, name, positive(name, getattr(self, name)))


@read
def lengths(reducer: Reducer) -> Lengths:
    """The plain numbers of a reducer that decide about its room.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> lengths(machine).hole_radius.tolist()  # mm
    6.5
    """
    drive = reducer.drive
    return Lengths(
        pins=np.asarray(drive.pins),
        pin_circle_radius=np.asarray(drive.pin_circle_radius),
        roller_radius=np.asarray(drive.roller_radius),
        eccentricity=np.asarray(drive.eccentricity),
        disc_roller_radius=np.asarray(reducer.disc_drive.roller_radius),
        pin_rod_radius=np.asarray(reducer.pin_rod_radius),
        output_rollers=np.asarray(reducer.output_rollers),
        output_circle_radius=np.asarray(reducer.output_circle_radius),
        output_roller_radius=np.asarray(reducer.output_roller_radius),
        output_rod_radius=np.asarray(reducer.output_rod_radius),
        hole_radius=np.asarray(reducer.hole_radius),
        shaft_radius=np.asarray(reducer.shaft_radius),
        eccentric_radius=np.asarray(reducer.eccentric_bearing.bore_diameter / 2),
        bore_radius=np.asarray(reducer.bore_radius),
        crank_bearing_radius=np.asarray(reducer.crank_bearing.outer_diameter / 2),
        running_gap=np.asarray(reducer.running_gap),
    )


def check(reducer: Reducer, *, least_wall: float | None = None, resolution: float = RESOLUTION) -> Report:
    """Whether a reducer's parts go together: its drive's limits and all about its room, with value, bound and margin.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    least_wall : float, optional
        Thinnest wall that the workshop can make [mm]; the reducer's own if it isn't given.
    resolution : float
        Lowest step that the printer or cutter can make [mm].

    Returns
    -------
    Report
        Of the form that `cyclokit.geometry.limits.check` gives, its rows among them. Its `sound` says whether the
        shape is sound and the parts go together, however thin the walls.

    Raises
    ------
    TypeError, ValueError
        If `reducer` isn't a Reducer, or the others are not lengths above zero.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> check(Reducer(Drive(20, 42.0, 5.0, 1.4))).sound
    True
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    asked = reducer.least_wall if least_wall is None else checked_length("least_wall", least_wall)
    shape = limits.check(reducer.drive, resolution=checked_length("resolution", resolution))
    plain = lengths(reducer)
    pairs = bounds(plain)
    rows = [_must(name, *pair) for name, pair in pairs.items() if name in SENTENCES]
    rows += [_row_of_stack(name, *pair) for name, pair in stack.bounds(reducer).items()]
    if reducer.pin_made != "solid":
        gap = limits.wall_between_rollers(plain.pins, plain.pin_circle_radius, plain.roller_radius)
        rows.append(_should("gap between rollers", reducer.running_gap, gap))
    moved_in, least = pairs["outline moved in"]
    rows.append(_should("sharpest edge", resolution, least - moved_in))
    rows += [_should(name, asked, wall) for name, wall in walls(plain).items()]
    others = {"wall of the housing": reducer.housing_wall - reducer.running_gap} | stack.roller_walls(
        reducer.pin_made,
        reducer.drive.roller_radius,
        reducer.pin_rod_radius,
        reducer.output_roller_radius,
        reducer.output_rod_radius,
    )
    rows += [_should(name, asked, wall) for name, wall in others.items()]
    if reducer.pin_support != "both ends":
        rows = [row for row in rows if row.name not in BOTH_ENDS_ONLY]
    return Report(reducer.drive, (*shape, *rows), WORDS, CAPTIONS)


@read
def bounds(plain: Lengths) -> dict[str, tuple[Floats, Floats]]:
    """What must stay below what, for arrays: name -> (value, bound) [mm]; the names are those of the report.

    Notes
    -----
    The drive's own limits stand first. The root circle is the largest about the disc's centre that meets no root;
    where no hole faces a root the real wall is thicker. The holes of discs whose centres lie e from the axis, on any
    sides of it, leave a circle free of radius hole less e: a hole's centre is e away, and where the discs face opposite
    ways nothing more is free. Ring pins are taken to be held at both ends.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> value, bound = bounds(lengths(machine))["holes inside the roots"]
    >>> value.round(3).tolist(), bound.round(3).tolist()  # mm
    (32.5, 35.5)
    """
    circle, hole = plain.output_circle_radius, plain.hole_radius
    shape = limits.bounds(plain.pins, plain.pin_circle_radius, plain.roller_radius, plain.eccentricity)
    return shape | {
        "outline moved in": (plain.disc_roller_radius, shape["undercut"][1]),
        "holes apart": (hole, limits.half_pin_distance(plain.output_rollers, circle)),
        "holes inside the roots": (circle + hole, root_radius(plain)),
        "holes clear of the bore": (plain.bore_radius, circle - hole),
        "rollers pass the holes": (plain.output_roller_radius, free_radius(hole, plain.eccentricity)),
        "shaft inside the eccentric": (plain.shaft_radius + plain.eccentricity, plain.eccentric_radius),
        "crank bearing between the rollers": (plain.crank_bearing_radius, circle - plain.output_roller_radius),
        "output rods inside the ring pins": (
            circle + plain.output_rod_radius + plain.running_gap,
            plain.pin_circle_radius - plain.pin_rod_radius,
        ),
    }


@read
def walls(plain: Lengths) -> dict[str, Floats]:
    """Thinnest walls of disc, eccentric, ring and output, for arrays: name -> mm, below 0 where one is broken.

    Notes
    -----
    As the output circle grows, those to the roots and outside the output rods get thinner, by 1 and by 1/2; those
    between holes and rods, to the bore and to the crank bearing's seat get thicker. The others don't depend on it.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> walls(lengths(machine))["wall to the bore"].round(3).tolist()  # mm
    9.0
    """
    circle, hole, rod = plain.output_circle_radius, plain.hole_radius, plain.output_rod_radius
    return {
        "wall between holes": limits.wall_between_rollers(plain.output_rollers, circle, hole),
        "wall to the roots": root_radius(plain) - circle - hole,
        "wall to the bore": circle - hole - plain.bore_radius,
        "wall of the eccentric": plain.eccentric_radius - plain.shaft_radius - plain.eccentricity,
        "wall between pin seats": limits.wall_between_rollers(
            plain.pins, plain.pin_circle_radius, plain.pin_rod_radius
        ),
        "wall between output rods": limits.wall_between_rollers(plain.output_rollers, circle, rod),
        "wall to the crank bearing's seat": circle - rod - plain.crank_bearing_radius,
        "wall outside the output rods": (
            plain.pin_circle_radius - plain.pin_rod_radius - circle - rod - plain.running_gap
        )
        / 2,
    }


@read
def sound(plain: Lengths) -> np.ndarray:
    """Whether every one of `bounds` holds, for arrays; what concerns pins and the stack is for `check` alone.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> sound(lengths(machine)).tolist()
    True
    """
    return reduce(np.logical_and, [within(value, bound, strict=True) for value, bound in bounds(plain).values()])


@read
def root_radius(plain: Lengths) -> Floats:
    """Radius of the circle through the finished disc's roots, Rp - e - r [mm], for arrays.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> root_radius(lengths(machine)).round(3).tolist()  # mm
    35.5
    """
    return plain.pin_circle_radius - plain.eccentricity - plain.disc_roller_radius


def free_radius(hole_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """Radius of the thickest roller that goes through all discs' holes [mm], for arrays: the hole's less e.

    Two discs' holes are 2 e apart: what they share is 2 (hole - e) wide.

    Examples
    --------
    >>> free_radius(6.5, 1.4).round(3).tolist()  # mm
    5.1
    """
    return positive("hole_radius", hole_radius) - positive("eccentricity", eccentricity)


def reach(pin_circle_radius: ArrayLike, roller_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """How far rollers and disc reach from the ring's centre [mm], for arrays of Rp, r and e [mm]: inside, no housing.

    That of the rollers' outsides, or of the tips, Rp + 2 e - r, if they reach farther.

    Examples
    --------
    >>> reach(42.0, 5.0, [1.4, 6.0]).tolist()  # mm
    [47.0, 49.0]
    """
    roller, offset = positive("roller_radius", roller_radius), positive("eccentricity", eccentricity)
    return positive("pin_circle_radius", pin_circle_radius) + np.maximum(roller, 2 * offset - roller)


@read
def outer_diameter(reducer: Reducer) -> float:
    """Outer diameter of the housing [mm]: rollers and disc, and its wall all round, running gap included.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> outer_diameter(machine)  # mm
    99.8
    """
    drive = reducer.drive
    inside = float(reach(drive.pin_circle_radius, drive.roller_radius, drive.eccentricity))
    return 2 * (inside + reducer.housing_wall)


def _row_of_stack(name: str, value: float, bound: float) -> Limit:
    if name == stack.ADVICE:
        return _should(name, value, bound, unit="")
    return _must(name, value, bound, strict=name not in stack.MAY_BE_EQUAL)


def _must(name: str, value: float | Floats, bound: float | Floats, strict: bool = True) -> Limit:
    return Limit(name, float(value), float(bound), "mm", True, strict, *SENTENCES[name])


def _should(name: str, value: float | Floats, bound: float | Floats, unit: str = "mm") -> Limit:
    return Limit(name, float(value), float(bound), unit, False, False, *SENTENCES[name])
