"""How a reducer's discs balance: static and couple unbalance, shaking force, quality, counterweight.

Masses that go in or come out are in grams, and their names say so. A density is a range, so what is weighed by it is a
pair, the least and the greatest.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import (
    GREATEST_SIZE,
    SMALLEST_SIZE,
    Floats,
    checked_choice,
    checked_kind,
    checked_length,
    checked_number,
    from_zero,
    positive,
)
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics.section import section

Band = tuple[float, float]  # least and greatest
MADE_OF = tuple(MATERIALS)
GRAM = 1e-6  # t, which is N s^2/mm
GRADES = (0.4, 1.0, 2.5, 6.3, 16.0, 40.0, 100.0, 250.0, 630.0, 1600.0, 4000.0)  # mm/s, ISO 21940-11, from memory


@dataclass(frozen=True)
class Unbalance:
    """Unbalance of a reducer's discs, seen by somebody who turns with the crank; x points to disc 0.

    Attributes
    ----------
    mass_g : tuple of float
        Least and greatest mass that goes round with each eccentric [g].
    static_arm : tuple of float
        Sum of the offsets, x and y [mm]; times the mass it is the static unbalance.
    couple_arm : tuple of float
        Sum of offset times distance along the shaft from the stack's middle, x and y [mm^2]; times the mass it is the
        couple unbalance.

    Examples
    --------
    >>> found = Unbalance(mass_g=(30.0, 31.0), static_arm=(1.4, 0.0), couple_arm=(8.4, 0.0))
    >>> [round(size, 3) for size in (*found.static_g_mm, *found.couple_g_mm2)]  # g mm, g mm^2
    [42.0, 43.4, 252.0, 260.4]
    >>> force, moment = found.shaking(100.0)
    >>> round(force[1], 4), round(moment[1], 4)  # N, N mm
    (0.434, 2.604)
    """

    mass_g: Band
    static_arm: tuple[float, float]
    couple_arm: tuple[float, float]

    @property
    def static_g_mm(self) -> Band:
        """Least and greatest size of the static unbalance [g mm]."""
        return _times(self.mass_g, math.hypot(*self.static_arm))

    @property
    def couple_g_mm2(self) -> Band:
        """Least and greatest size of the couple unbalance [g mm^2]."""
        return _times(self.mass_g, math.hypot(*self.couple_arm))

    def shaking(self, crank_rate: float) -> tuple[Band, Band]:
        """Rotating force [N] and moment [N mm] on the housing at a crank rate [rad/s]: unbalance times rate squared."""
        factor = GRAM * checked_number("crank_rate", crank_rate, -GREATEST_SIZE, GREATEST_SIZE) ** 2
        return _times(self.static_g_mm, factor), _times(self.couple_g_mm2, factor)


@dataclass(frozen=True)
class Counterweight:
    """A half ring opposite a disc.

    Attributes
    ----------
    mass_g : float
        Its mass [g].
    thickness : tuple of float
        Least and greatest thickness it may need, for the greatest and the least density [mm].
    centroid_radius : float
        Distance of its centroid from the shaft's axis [mm].
    """

    mass_g: float
    thickness: Band
    centroid_radius: float


def disc_mass_g(reducer: Reducer) -> Band:
    """Least and greatest mass of one solid disc [g], by its material's density; a print with hollows weighs less.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> [round(mass, 2) for mass in disc_mass_g(machine)]  # g
    [19.4, 20.02]
    """
    return _weighed(section(reducer).area * reducer.disc_thickness, reducer.disc_material)


def eccentric_mass_g(reducer: Reducer, material: str = "plain steel") -> Band:
    """Least and greatest mass that stands for one eccentric, of a material, in its disc's unbalance [g].

    That of a full round as large as the bearing's bore and as wide as the bearing. The hole for the shaft is not taken
    out: it lies about the axis and has no moment there. So this mass times e is the eccentric's own static unbalance,
    and it lies the same way as its disc's. Derived.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> [round(mass, 2) for mass in eccentric_mass_g(machine)]  # g
    [4.41, 4.52]
    """
    checked_kind("reducer", reducer, Reducer)
    bearing = reducer.eccentric_bearing
    return _weighed(np.pi / 4 * bearing.bore_diameter**2 * bearing.width, material)


def unbalance(reducer: Reducer, *, bearing_mass_g: float = 0.0, eccentric_material: str | None = None) -> Unbalance:
    """Static and couple unbalance of the discs.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    bearing_mass_g : float
        Mass of one eccentric's bearing [g], from its maker's table, from 0; it goes round with its disc.
    eccentric_material : str, optional
        What the eccentrics are made of, a name from `cyclokit.machine.stock.MATERIALS`. If left out they are not
        counted; of steel they can have a fifth of a printed disc's unbalance and more, see `eccentric_mass_g`.

    Returns
    -------
    Unbalance
        Of 1 disc: m e and no couple. Of 2: nothing and m e a, a apart. Of 3: nothing and sqrt(3) m e a.

    Raises
    ------
    ValueError
        If `bearing_mass_g` is below 0, or the material is unknown.

    Notes
    -----
    A disc turns slowly about its own centre of mass, which its even holes leave at its centre, so only the centre's
    circle of radius e counts. The shaft, round and on the axis, has no part in it.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4))
    >>> [round(size) for size in unbalance(machine, bearing_mass_g=6.0).couple_g_mm2]
    [213, 219]
    """
    checked_kind("reducer", reducer, Reducer)
    bearing = checked_number("bearing_mass_g", bearing_mass_g, 0, GREATEST_SIZE)
    parts = [disc_mass_g(reducer), (bearing, bearing)]
    if eccentric_material is not None:
        parts.append(eccentric_mass_g(reducer, checked_choice("eccentric_material", eccentric_material, MADE_OF)))
    centres = motion.disc_poses(reducer.drive, 0.0, reducer.discs).centre
    along = (np.arange(reducer.discs) - (reducer.discs - 1) / 2) * reducer.disc_pitch
    static, couple = centres.sum(axis=0), (along[:, None] * centres).sum(axis=0)
    return Unbalance(
        (sum(least for least, _ in parts), sum(most for _, most in parts)),
        (float(static[0]), float(static[1])),
        (float(couple[0]), float(couple[1])),
    )


def quality(
    static_g_mm: ArrayLike,
    couple_g_mm2: ArrayLike,
    rotor_mass_g: ArrayLike,
    crank_rate: ArrayLike,
    bearing_distance: ArrayLike,
) -> Floats:
    """Balance quality of a rotor between two bearings, its worse bearing's.

    Parameters
    ----------
    static_g_mm : array_like
        Size of the static unbalance [g mm], from 0.
    couple_g_mm2 : array_like
        Size of the couple unbalance about the middle between the bearings [g mm^2], from 0.
    rotor_mass_g : array_like
        Mass of all that turns [g], above zero; its centre midway between the bearings.
    crank_rate : array_like
        Rate [rad/s], above zero.
    bearing_distance : array_like
        Distance of the rotor's two bearings from each other, middle to middle [mm], above zero.

    Returns
    -------
    ndarray
        Quality [mm/s]; the grade G 2.5 allows 2.5.

    Notes
    -----
    ISO 21940-11: G = e_per x omega, and the permissible unbalance U_per = G m/omega is shared out to the planes of
    the two bearings, half to each if the centre of mass is midway (the sharing from memory). Each bearing has half
    of the static unbalance, and couple/distance. So the quality is (static + 2 couple/distance) omega/m; where both
    are there they are added as if they pointed one way, which is the worst case.

    Examples
    --------
    >>> quality(79.577, 0.0, 10e3, 314.16, 100.0).round(2).tolist()  # mm/s: a rotor of 10 kg at 3000 rpm, G 2.5
    2.5
    """
    sizes = from_zero("static_g_mm", static_g_mm), from_zero("couple_g_mm2", couple_g_mm2)
    in_bearings = sizes[0] + 2 * sizes[1] / positive("bearing_distance", bearing_distance)
    return in_bearings / positive("rotor_mass_g", rotor_mass_g) * positive("crank_rate", crank_rate)


def permissible_static_g_mm(grade: ArrayLike, rotor_mass_g: ArrayLike, crank_rate: ArrayLike) -> Floats:
    """Greatest static unbalance that a grade allows where there is no couple, U_per = G m/omega: ISO 21940-11 [g mm].

    `grade` is the grade's number [mm/s], such as 6.3 for G 6.3, `rotor_mass_g` the mass of all that turns [g],
    `crank_rate` its rate [rad/s], all above zero. Divided by the mass the unbalance is the permissible distance of the
    centre of mass from the axis [mm].

    Examples
    --------
    >>> permissible_static_g_mm(2.5, 10e3, 314.159).round(2).tolist()  # g mm
    79.58
    """
    return positive("grade", grade) * positive("rotor_mass_g", rotor_mass_g) / positive("crank_rate", crank_rate)


def permissible_couple_g_mm2(
    grade: ArrayLike, rotor_mass_g: ArrayLike, crank_rate: ArrayLike, bearing_distance: ArrayLike
) -> Floats:
    """Greatest couple unbalance that a grade allows where there is no static one: ISO 21940-11 [g mm^2].

    Half of the permissible unbalance in each bearing's plane, times their distance; arguments as `quality` takes them.

    Examples
    --------
    >>> permissible_couple_g_mm2(2.5, 10e3, 314.159, 100.0).round(1).tolist()  # g mm^2
    3978.9
    """
    half = permissible_static_g_mm(grade, rotor_mass_g, crank_rate) / 2
    return half * positive("bearing_distance", bearing_distance)


def grade(unbalance: Unbalance, rotor_mass_g: float, crank_rate: float, bearing_distance: float) -> float:
    """The number of the finest balance quality grade of ISO 21940-11 that a crank with its discs surely meets [mm/s].

    Of their unbalance the greatest of the range is taken, static and couple. The rest is as `quality` takes it; the
    discs' middle is taken to be midway between the bearings.

    Raises
    ------
    ValueError
        If the rotor is worse than the coarsest grade.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> grade(unbalance(machine), rotor_mass_g=120.0, crank_rate=100.0, bearing_distance=30.0)  # mm/s
    16.0
    """
    checked_kind("unbalance", unbalance, Unbalance)
    rotor = (
        _positive("rotor_mass_g", rotor_mass_g),
        _positive("crank_rate", crank_rate),
        _positive("bearing_distance", bearing_distance),
    )
    static, couple = unbalance.static_g_mm[1], unbalance.couple_g_mm2[1]
    reached = float(quality(static, couple, *rotor))
    for number in GRADES:
        if reached <= number:
            return number
    raise ValueError(
        f"unbalance is {static:g} g mm and {couple:g} g mm^2, a quality of {reached:g} mm/s, but the coarsest grade is "
        f"{GRADES[-1]:g}: balance the rotor, set its bearings farther apart, or turn it more slowly."
    )


def counterweight(
    static_g_mm: float, outer_radius: float, inner_radius: float, material: str = "plain steel"
) -> Counterweight:
    """The half ring of such radii [mm] opposite the disc that takes a static unbalance [g mm], above zero, away.

    Beside a single disc, in another plane, it leaves a couple: the unbalance times their distance. The material is a
    name from `cyclokit.machine.stock.MATERIALS`.

    Raises
    ------
    ValueError
        If the inner radius is not below the outer, or the material is unknown.

    Notes
    -----
    A half ring's first moment of area is 2 (Ro^3 - Ri^3)/3, about its straight edge (any handbook).

    Examples
    --------
    >>> weight = counterweight(40.0, outer_radius=12.0, inner_radius=4.0)
    >>> round(weight.mass_g, 2), round(weight.centroid_radius, 3)  # g, mm
    (7.25, 5.517)
    """
    outer, inner = checked_length("outer_radius", outer_radius), checked_length("inner_radius", inner_radius)
    if inner >= outer:
        raise ValueError(
            f"inner_radius is {inner:g} mm, but must be below outer_radius, {outer:g}: swap or change them."
        )
    needed = _positive("static_g_mm", static_g_mm)
    area, first = np.pi / 2 * (outer**2 - inner**2), 2 / 3 * (outer**3 - inner**3)
    least, most = _weighed(first, material)  # of 1 mm of thickness [g mm]
    return Counterweight(needed * area / first, (needed / most, needed / least), first / area)


def _weighed(volume: float, material: str) -> Band:
    """Least and greatest mass [g] of a volume [mm^3]."""
    least, most = MATERIALS[checked_choice("material", material, MADE_OF)].density
    return float(volume * least / GRAM), float(volume * most / GRAM)


def _times(band: Band, factor: float) -> Band:
    return band[0] * factor, band[1] * factor


def _positive(name: str, value: float) -> float:
    return checked_number(name, value, SMALLEST_SIZE, GREATEST_SIZE)
