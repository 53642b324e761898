"""Whether a reducer's parts have room: walls of the disc, fits on the eccentric, rollers through all the holes.

Each bound is worked out from plain numbers or arrays (`Lengths`), so that one reducer and a million candidates
are judged alike.
"""

from dataclasses import dataclass
from functools import reduce

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, positive
from cyclokit.drive import checked_length
from cyclokit.geometry import limits
from cyclokit.machine.reducer import Reducer
from cyclokit.report import Limit, Report

# What the library says to a reader: name -> (what is compared, what goes wrong, what to change).
SENTENCES = {
    "outline moved in": (
        "roller radius and the outline's clearance, below the least convex radius of the centre path",
        "The clearance cuts the lobes' flanks away, as larger rollers would.",
        "Choose a smaller outline clearance, smaller rollers or a smaller eccentricity.",
    ),
    "holes apart": (
        "radius of the output holes, below half the distance between neighbouring ones",
        "Neighbouring output holes run into each other.",
        "Choose smaller or fewer output rollers, or a larger output circle.",
    ),
    "holes inside the roots": (
        "farthest reach of an output hole from the disc's centre, below the root circle's radius",
        "An output hole can break through a root.",
        "Choose a smaller output circle, smaller output rollers, or a larger pin circle.",
    ),
    "holes clear of the bore": (
        "radius of the disc's bore, below the nearest reach of an output hole",
        "The output holes break into the bore.",
        "Choose a larger output circle, smaller output rollers, or a smaller eccentric bearing.",
    ),
    "rollers pass the holes": (
        "radius of an output roller, below what all discs' holes leave free together, the holes' less the eccentricity",
        "The discs sit an eccentricity off to either side, and their holes leave the roller no play: it jams.",
        "Make the holes' radius that of the roller and the eccentricity, and a clearance more.",
    ),
    "shaft inside the eccentric": (
        "radius of the shaft and the eccentricity, below the radius of the eccentric, the bore of its bearing",
        "The shaft sticks out of the eccentric.",
        "Choose an eccentric bearing with a larger bore, a thinner shaft, or a smaller eccentricity.",
    ),
    "crank bearing between the rollers": (
        "outer radius of the crank's bearing, below the nearest reach of an output roller",
        "The output rollers run into the crank's bearing.",
        "Choose a larger output circle, smaller output rollers, or a smaller crank bearing.",
    ),
    "rod inside the roller": (
        "radius of a ring pin's rod, below that of its roller",
        "The rod is no thinner than the roller round it.",
        "Choose a thinner rod.",
    ),
    "spacer round the shaft": (
        "radius of the shaft, below that of the spacers",
        "The shaft doesn't go through the spacers.",
        "Choose larger spacers or a thinner shaft.",
    ),
    "spacer reaches the inner rings": (
        "radius of the eccentrics less the eccentricity, below the radius of the spacers",
        "The spacers don't reach past the eccentrics, so nothing holds the inner rings apart.",
        "Choose larger spacers.",
    ),
    "spacer on inner rings only": (
        "radius of the spacers and the eccentricity, below the radius up to which a bearing's side is inner ring",
        "The spacers can touch the outer rings, which turn against them: they grind.",
        "Choose smaller spacers, or an eccentric bearing with thicker rings.",
    ),
    "bearings apart": (
        "width of an eccentric's bearing, below the distance between neighbouring discs' middles",
        "Neighbouring bearings touch, outer ring on outer ring, and these move against each other.",
        "Choose thicker discs, a wider gap, or a narrower bearing.",
    ),
    "wall between holes": (
        "least wall asked for, below the wall between neighbouring output holes",
        "The wall between output holes is thinner than the workshop can make.",
        "Choose smaller or fewer output rollers, or a larger output circle.",
    ),
    "wall to the roots": (
        "least wall asked for, below the wall between output holes and root circle",
        "The wall between an output hole and a root can be thinner than the workshop can make.",
        "Choose a smaller output circle or smaller output rollers.",
    ),
    "wall to the bore": (
        "least wall asked for, below the wall between output holes and bore",
        "The wall between output holes and bore is thinner than the workshop can make.",
        "Choose a larger output circle, smaller output rollers, or a smaller eccentric bearing.",
    ),
    "wall of the eccentric": (
        "least wall asked for, below the eccentric's wall round the shaft",
        "The eccentric's wall beside the shaft is thinner than the workshop can make.",
        "Choose an eccentric bearing with a larger bore, or a thinner shaft.",
    ),
}
WORDS = ("as a reducer, room for all its parts", "as a reducer, no room for all its parts")
CAPTIONS = ("This reducer has room for all its parts", "This reducer has no room for all its parts")
ONLY_BETWEEN_DISCS = (
    "spacer round the shaft",
    "spacer reaches the inner rings",
    "spacer on inner rings only",
    "bearings apart",
)


@dataclass(frozen=True)
class Lengths:
    """The plain numbers of one reducer or many: lengths [mm] and counts, above zero, shapes that broadcast.

    Attributes
    ----------
    pins, pin_circle_radius, roller_radius, eccentricity : ndarray
        The four numbers N, Rp, r and e; r with the outline's clearance, as the finished disc has it.
    output_rollers, output_circle_radius, output_roller_radius, hole_radius : ndarray
        Number Zw, radius Rw of their circle, of a roller, and of an output hole.
    shaft_radius, eccentric_radius, bore_radius, crank_bearing_radius : ndarray
        Of the shaft, the eccentric, the disc's bore, and the outside of the crank's bearing.
    """

    pins: Floats
    pin_circle_radius: Floats
    roller_radius: Floats
    eccentricity: Floats
    output_rollers: Floats
    output_circle_radius: Floats
    output_roller_radius: Floats
    hole_radius: Floats
    shaft_radius: Floats
    eccentric_radius: Floats
    bore_radius: Floats
    crank_bearing_radius: Floats

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            object.__setattr__(self, name, positive(name, getattr(self, name)))


def lengths(reducer: Reducer) -> Lengths:
    """The plain numbers of a reducer that decide about its room."""
    drive = reducer.disc_drive
    numbers = (
        drive.pins,
        drive.pin_circle_radius,
        drive.roller_radius,
        drive.eccentricity,
        reducer.output_rollers,
        reducer.output_circle_radius,
        reducer.output_roller_radius,
        reducer.hole_radius,
        reducer.shaft_radius,
        reducer.eccentric_bearing.bore_diameter / 2,
        reducer.bore_radius,
        reducer.crank_bearing.outer_diameter / 2,
    )
    return Lengths(*map(np.asarray, numbers))


def check(reducer: Reducer, *, least_wall: float | None = None) -> Report:
    """Everything about a reducer's room, with its value, bound and margin.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    least_wall : float, optional
        Thinnest wall that the workshop can make [mm]; the walls are reported beside it if it is given.

    Returns
    -------
    Report
        Of the form that `cyclokit.geometry.limits.check` gives. Its `sound` says whether the parts go together,
        however thin the walls.

    Raises
    ------
    TypeError, ValueError
        If `least_wall` is not a length above zero.
    """
    plain = lengths(reducer)
    rows = [_limit(name, value, bound) for name, (value, bound) in bounds(plain).items()]
    rows += [_limit(name, value, bound) for name, (value, bound) in _single_bounds(reducer).items()]
    if least_wall is not None:
        asked = checked_length("least_wall", least_wall)
        rows += [_limit(name, asked, wall, physical=False) for name, wall in walls(plain).items()]
    return Report(reducer.drive, tuple(rows), WORDS, CAPTIONS)


def bounds(plain: Lengths) -> dict[str, tuple[Floats, Floats]]:
    """What must stay below what, for arrays: name -> (value, bound) [mm]; the names are those of the report.

    Notes
    -----
    The root circle is the largest about the disc's centre that meets no root; where no hole faces a root the real wall
    is thicker. The holes of discs whose centres lie e from the axis, on any sides of it, leave a circle free
    of radius hole less e: a hole's centre is e away, and where the discs face opposite ways nothing more is free.
    """
    circle, hole = plain.output_circle_radius, plain.hole_radius
    return {
        "outline moved in": (
            plain.roller_radius,
            limits.least_convex_radius(plain.pins, plain.pin_circle_radius, plain.eccentricity),
        ),
        "holes apart": (hole, limits.half_pin_distance(plain.output_rollers, circle)),
        "holes inside the roots": (circle + hole, root_radius(plain)),
        "holes clear of the bore": (plain.bore_radius, circle - hole),
        "rollers pass the holes": (plain.output_roller_radius, free_radius(hole, plain.eccentricity)),
        "shaft inside the eccentric": (plain.shaft_radius + plain.eccentricity, plain.eccentric_radius),
        "crank bearing between the rollers": (plain.crank_bearing_radius, circle - plain.output_roller_radius),
    }


def walls(plain: Lengths) -> dict[str, Floats]:
    """Thinnest walls of the disc and the eccentric, for arrays: name -> mm, below 0 where one is broken."""
    circle, hole = plain.output_circle_radius, plain.hole_radius
    return {
        "wall between holes": limits.wall_between_rollers(plain.output_rollers, circle, hole),
        "wall to the roots": root_radius(plain) - circle - hole,
        "wall to the bore": circle - hole - plain.bore_radius,
        "wall of the eccentric": plain.eccentric_radius - plain.shaft_radius - plain.eccentricity,
    }


def sound(plain: Lengths) -> np.ndarray:
    """Whether every bound holds, for arrays; what concerns pins and spacers is for `check` alone."""
    return reduce(np.logical_and, [value < bound for value, bound in bounds(plain).values()])


def root_radius(plain: Lengths) -> Floats:
    """Radius of the circle through the disc's roots, Rp - e - r [mm], for arrays."""
    return plain.pin_circle_radius - plain.eccentricity - plain.roller_radius


def free_radius(hole_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """Radius of the thickest roller that goes through all discs' holes [mm]: the hole's less the eccentricity.

    Parameters
    ----------
    hole_radius, eccentricity : array_like
        Radius of the output holes, and e [mm], above zero, shapes that broadcast.

    Returns
    -------
    ndarray
        Radius [mm]. Two discs' holes are 2 e apart: what they share is 2 (hole - e) wide.
    """
    return positive("hole_radius", hole_radius) - positive("eccentricity", eccentricity)


def reach(pin_circle_radius: ArrayLike, roller_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """How far rollers and disc reach from the ring's centre: inside that, no housing.

    Parameters
    ----------
    pin_circle_radius, roller_radius, eccentricity : array_like
        Rp, r and e [mm], above zero, shapes that broadcast.

    Returns
    -------
    ndarray
        Radius [mm]: of the rollers' outsides, or of the tips', Rp + 2 e - r, if they reach farther.
    """
    roller, offset = positive("roller_radius", roller_radius), positive("eccentricity", eccentricity)
    return positive("pin_circle_radius", pin_circle_radius) + np.maximum(roller, 2 * offset - roller)


def outer_diameter(reducer: Reducer) -> float:
    """Outer diameter of the housing [mm]: rollers and disc, and its wall all round."""
    drive = reducer.drive
    inside = float(reach(drive.pin_circle_radius, drive.roller_radius, drive.eccentricity))
    return 2 * (inside + reducer.housing_wall)


def _single_bounds(reducer: Reducer) -> dict[str, tuple[float, float]]:
    """What concerns pins, and spacers between discs."""
    bearing, eccentricity, spacer = reducer.eccentric_bearing, reducer.drive.eccentricity, reducer.spacer_radius
    held = {
        "rod inside the roller": (reducer.pin_rod_radius, reducer.drive.roller_radius),
        "spacer round the shaft": (reducer.shaft_radius, spacer),
        "spacer reaches the inner rings": (bearing.bore_diameter / 2 - eccentricity, spacer),
        "spacer on inner rings only": (spacer + eccentricity, bearing.shoulder_radius),
        "bearings apart": (bearing.width, reducer.disc_pitch),
    }
    if reducer.pin_made == "solid":
        del held["rod inside the roller"]
    return {name: pair for name, pair in held.items() if reducer.discs > 1 or name not in ONLY_BETWEEN_DISCS}


def _limit(name: str, value: float | Floats, bound: float | Floats, physical: bool = True) -> Limit:
    return Limit(name, float(value), float(bound), "mm", physical, True, *SENTENCES[name])
