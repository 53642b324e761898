"""How a reducer's discs balance: their section's moments, static and couple unbalance, shaking force, counterweight.

Masses are in tonnes, which is what N s^2/mm is, so that mm, N and s go together without factors: 1 g is 1e-6 t, and
1 g mm is 1e-6 t mm.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import (
    LONGEST,
    Floats,
    checked_choice,
    checked_kind,
    checked_length,
    checked_number,
    finite,
    positive,
)
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS

GRADES = (0.4, 1.0, 2.5, 6.3, 16.0, 40.0, 100.0, 250.0, 630.0, 1600.0, 4000.0)  # mm/s, ISO 21940-11, from memory
FASTEST = 1e6  # rad/s: ten million turns a minute
HEAVIEST = 1e3  # t
SAMPLES = 64  # a lobe to begin with
MOST_SAMPLES = 2**21  # in all; an outline that needs more is torn


@dataclass(frozen=True)
class Section:
    """Area of a disc and its moments about the disc's centre, roots and holes where disc 0 has them.

    Attributes
    ----------
    area : float
        Area A [mm^2].
    centroid : tuple of float
        Its centroid, x and y from the disc's centre [mm].
    second_moments : tuple of float
        Integrals of y^2, of x^2 and of x y over the area [mm^4].
    """

    area: float
    centroid: tuple[float, float]
    second_moments: tuple[float, float, float]

    @property
    def polar_moment(self) -> float:
        """Integral of x^2 + y^2 over the area [mm^4]."""
        return self.second_moments[0] + self.second_moments[1]


@dataclass(frozen=True)
class Unbalance:
    """Unbalance of a reducer's discs, seen by somebody who turns with the crank; x points to disc 0.

    Attributes
    ----------
    mass : float
        Mass that goes round with each eccentric [t].
    static : tuple of float
        Sum of mass times offset, x and y [t mm].
    couple : tuple of float
        Sum of mass times offset times distance along the shaft from the stack's middle, x and y [t mm^2].
    """

    mass: float
    static: tuple[float, float]
    couple: tuple[float, float]

    def shaking(self, crank_rate: float) -> tuple[float, float]:
        """Rotating force [N] and moment [N mm] on the housing at a crank rate [rad/s]: unbalance times rate squared."""
        rate = checked_number("crank_rate", crank_rate, -FASTEST, FASTEST)
        return math.hypot(*self.static) * rate**2, math.hypot(*self.couple) * rate**2


@dataclass(frozen=True)
class Counterweight:
    """A half ring opposite a disc.

    Attributes
    ----------
    mass : float
        Its mass [t].
    thickness : float
        Its thickness [mm].
    centroid_radius : float
        Distance of its centroid from the shaft's axis [mm].
    """

    mass: float
    thickness: float
    centroid_radius: float


def section(reducer: Reducer) -> Section:
    """Area, centroid and second moments of a disc, its holes and bore taken out.

    Parameters
    ----------
    reducer : Reducer
        The reducer.

    Returns
    -------
    Section
        Of the running disc: the outline moved in by its clearance, holes with theirs, allowances left out.

    Raises
    ------
    ValueError
        If the trochoid ratio is so near 1 that the outline is torn, or the holes meet each other, the bore or the
        root circle.

    Notes
    -----
    Green's theorem turns the integral over the area into one round the outline; evenly spaced samples sum a smooth
    closed curve's integral exactly but for rounding, once they are close enough. A hole of area A has A R^2/4 about an
    axis through its centre, and A times the distance squared more about the disc's (Steiner, any handbook). Three holes
    or more, evenly spaced, come to the same about every axis: Rw^2/2 each on average, wherever the first one stands.
    """
    checked_kind("reducer", reducer, Reducer)
    cut = space.bounds(space.lengths(reducer))
    for name in ("holes apart", "holes inside the roots", "holes clear of the bore"):
        value, bound = cut[name]
        if not value < bound:
            raise ValueError(
                f"reducer has output holes that aren't {name.removeprefix('holes ')}, {value:g} mm against {bound:g}: "
                "see what space.check says, and change it first."
            )
    whole = _outline_moments(reducer.disc_drive)
    circle, hole, bore = reducer.output_circle_radius, reducer.hole_radius, reducer.bore_radius
    hole_area, bore_area = np.pi * hole**2, np.pi * bore**2
    area = reducer.output_rollers * hole_area + bore_area
    about_axis = reducer.output_rollers * hole_area * (hole**2 / 4 + circle**2 / 2) + bore_area * bore**2 / 4
    left = whole - np.array([area, 0.0, 0.0, about_axis, about_axis, 0.0])
    about_x, about_y, mixed = left[3:]
    return Section(
        float(left[0]),
        (float(left[1] / left[0]), float(left[2] / left[0])),
        (float(about_x), float(about_y), float(mixed)),
    )


def disc_mass(reducer: Reducer) -> float:
    """Mass of one solid disc [t], with the middle of its material's densities; a print with hollows weighs less."""
    return section(reducer).area * reducer.disc_thickness * _density(reducer.disc_material)


def unbalance(reducer: Reducer, *, bearing_mass: float = 0.0) -> Unbalance:
    """Static and couple unbalance of the discs.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    bearing_mass : float
        Mass of one eccentric's bearing [t], from its maker's table, from 0; it goes round with its disc.

    Returns
    -------
    Unbalance
        Of 1 disc: m e and no couple. Of 2: nothing and m e a, a apart. Of 3: nothing and sqrt(3) m e a.

    Raises
    ------
    ValueError
        If `bearing_mass` is below 0.

    Notes
    -----
    A disc turns slowly about its own centre of mass, which its even holes leave at its centre, so only the centre's
    circle of radius e counts. The eccentrics themselves are left out: they are small, and lie the same way.
    """
    mass = disc_mass(reducer) + checked_number("bearing_mass", bearing_mass, 0.0, HEAVIEST)
    centres = motion.disc_poses(reducer.drive, 0.0, reducer.discs).centre
    along = (np.arange(reducer.discs) - (reducer.discs - 1) / 2) * reducer.disc_pitch
    static, couple = mass * centres.sum(axis=0), mass * (along[:, None] * centres).sum(axis=0)
    return Unbalance(mass, (float(static[0]), float(static[1])), (float(couple[0]), float(couple[1])))


def quality(static: ArrayLike, mass: ArrayLike, crank_rate: ArrayLike) -> Floats:
    """Balance quality of a rotor: its centre of mass's distance from the axis times its rate.

    Parameters
    ----------
    static : array_like
        Size of the static unbalance [t mm], from 0.
    mass : array_like
        Mass of all that turns [t], above zero.
    crank_rate : array_like
        Rate [rad/s], above zero.

    Returns
    -------
    ndarray
        Quality [mm/s]; the grade G 2.5 allows 2.5.

    Notes
    -----
    ISO 21940-11: G = e_per x omega.
    """
    static, mass, crank_rate = finite("static", static), positive("mass", mass), positive("crank_rate", crank_rate)
    with np.errstate(over="ignore"):  # said in words
        return _held("static/mass*crank_rate", static / mass * crank_rate)


def permissible(grade: ArrayLike, mass: ArrayLike, crank_rate: ArrayLike) -> Floats:
    """Greatest static unbalance that a balance quality grade allows.

    Parameters
    ----------
    grade : array_like
        The grade's number, such as 6.3 for G 6.3 [mm/s], above zero.
    mass : array_like
        Mass of all that turns [t], above zero.
    crank_rate : array_like
        Rate [rad/s], above zero.

    Returns
    -------
    ndarray
        Unbalance [t mm]; divided by the mass, the permissible distance of the centre of mass from the axis [mm].

    Notes
    -----
    ISO 21940-11: U_per = G m/omega.
    """
    grade, mass, crank_rate = positive("grade", grade), positive("mass", mass), positive("crank_rate", crank_rate)
    with np.errstate(over="ignore"):  # said in words
        return _held("grade*mass/crank_rate", grade * mass / crank_rate)


def grade(static: float, mass: float, crank_rate: float) -> float:
    """The finest balance quality grade of ISO 21940-11 that a rotor meets.

    Parameters
    ----------
    static, mass, crank_rate : float
        As `quality` takes them.

    Returns
    -------
    float
        The grade's number, such as 6.3 [mm/s].

    Raises
    ------
    ValueError
        If the rotor is worse than the coarsest grade.
    """
    static = checked_number("static", static, 0.0, HEAVIEST * LONGEST)
    mass = checked_number("mass", mass, 0.0, HEAVIEST)
    reached = float(quality(static, mass, checked_number("crank_rate", crank_rate, 0.0, FASTEST)))
    for number in GRADES:
        if reached <= number:
            return number
    raise ValueError(
        f"static is {static:g} t mm, a quality of {reached:g} mm/s, but the coarsest grade is {GRADES[-1]:g}: "
        "balance the rotor, or turn it more slowly."
    )


def counterweight(
    static: float, outer_radius: float, inner_radius: float, material: str = "bearing steel"
) -> Counterweight:
    """The half ring opposite the disc that takes a static unbalance away.

    Parameters
    ----------
    static : float
        Size of the static unbalance [t mm], above zero.
    outer_radius, inner_radius : float
        Radii of the half ring [mm].
    material : str
        A name from `cyclokit.machine.stock.MATERIALS`.

    Returns
    -------
    Counterweight
        Beside a single disc, in another plane, it leaves a couple: the unbalance times their distance.

    Raises
    ------
    ValueError
        If the inner radius is not below the outer, or the material is unknown.

    Notes
    -----
    A half ring's first moment of area is 2 (Ro^3 - Ri^3)/3, about its straight edge (any handbook).
    """
    outer, inner = checked_length("outer_radius", outer_radius), checked_length("inner_radius", inner_radius)
    if inner >= outer:
        raise ValueError(
            f"inner_radius is {inner:g} mm, but must be below outer_radius, {outer:g}: swap or change them."
        )
    checked_choice("material", material, tuple(MATERIALS))
    area, first = np.pi / 2 * (outer**2 - inner**2), 2 / 3 * (outer**3 - inner**3)
    needed = float(positive("static", checked_number("static", static, 0.0, HEAVIEST * LONGEST)))
    return Counterweight(needed * area / first, needed / (_density(material) * first), first / area)


def _held(what: str, values: Floats) -> Floats:
    if not np.isfinite(values).all():
        raise ValueError(f"{what} is more than a float can hold: give tonnes, mm and rad/s.")
    return values


def _density(material: str) -> float:
    return sum(MATERIALS[material].density) / 2


def _outline_moments(drive: Drive) -> Floats:
    """Area and its integrals of x, y, y^2, x^2 and x y, by sums that are doubled until nothing changes."""
    samples = SAMPLES * drive.lobes
    coarse = _boundary_sums(drive, samples)
    while samples < MOST_SAMPLES:
        samples *= 2
        fine = _boundary_sums(drive, samples)
        size = drive.pin_circle_radius ** np.array([2, 3, 3, 4, 4, 4])
        if (np.abs(fine - coarse) <= 1e-12 * size).all():
            return fine
        coarse = fine
    raise ValueError(
        f"drive has a trochoid ratio of {drive.trochoid_ratio:.9g}, so near 1 that its outline is torn: "
        "choose a smaller eccentricity."
    )


def _boundary_sums(drive: Drive, samples: int) -> Floats:
    t = 2 * np.pi * np.arange(samples) / samples
    x, y = outline.points(drive, t).T
    along = np.fft.ifft(2j * np.pi * np.fft.fftfreq(samples) * np.fft.fft(x + 1j * y))  # exact for a smooth curve
    step_x, step_y = along.real, along.imag
    sweep = x * step_y - y * step_x  # twice the area that the ray from the centre sweeps over
    return np.array(
        [sweep / 2, x * sweep / 3, y * sweep / 3, y * y * sweep / 4, x * x * sweep / 4, x * y * sweep / 4]
    ).sum(axis=1)
