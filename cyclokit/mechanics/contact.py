"""Pressure where two cylinders touch along a line, and along a disc's whole flank.

K. L. Johnson, Contact Mechanics, ch. 4: two cylinders with parallel axes, smooth, elastic, the contact much narrower
than either radius. Both plastics that creep and thin walls behind the contact leave that model.
"""

from contextlib import suppress
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import GREATEST_SIZE, SMALLEST_SIZE, Floats, finite, from_zero, positive
from cyclokit.drive import Drive
from cyclokit.geometry import outline
from cyclokit.texts import shown

SHEAR = 0.300283  # greatest shear stress, in peak pressures; Johnson, ch. 4, recomputed
SHEAR_DEPTH = 0.786151  # where it is, in half widths


@dataclass(frozen=True, eq=False)
class LineContact:
    """Contact of two cylinders along a line; arrays of one shape.

    Attributes
    ----------
    half_width : ndarray
        Half width b of the flattened strip [mm].
    peak_pressure : ndarray
        Pressure p0 in its middle [MPa].

    Examples
    --------
    >>> contact = line(24100.0, 20.0, 40.0, 40.0, 200e3, 200e3, 0.29, 0.29)
    >>> contact.greatest_shear.round(1).tolist(), contact.shear_depth.round(3).tolist()  # MPa, mm
    (434.5, 0.417)
    """

    half_width: Floats
    peak_pressure: Floats

    @property
    def greatest_shear(self) -> Floats:
        """Greatest shear stress in either cylinder, 0.3003 p0 [MPa]."""
        return SHEAR * self.peak_pressure

    @property
    def shear_depth(self) -> Floats:
        """How deep below the surface that is, 0.786 b [mm]."""
        return SHEAR_DEPTH * self.half_width


def line(
    force: ArrayLike,
    length: ArrayLike,
    radius_1: ArrayLike,
    radius_2: ArrayLike,
    modulus_1: ArrayLike,
    modulus_2: ArrayLike,
    poisson_1: ArrayLike = 0.3,
    poisson_2: ArrayLike = 0.3,
) -> LineContact:
    """Half width and peak pressure of two cylinders that are pressed together.

    Parameters
    ----------
    force : array_like
        Force between them [N], from 0.
    length : array_like
        Length of the line along which they touch [mm], above 0.
    radius_1, radius_2 : array_like
        Their radii [mm], not 0; that of a hollow one, which bends round the other, below 0, of a flat infinite.
    modulus_1, modulus_2 : array_like
        Young's moduli [MPa], above 0.
    poisson_1, poisson_2 : array_like
        Poisson's ratios, -1 to 0.5.

    Returns
    -------
    LineContact
        The contact; no force gives no width and no pressure.

    Raises
    ------
    TypeError, ValueError
        If a number is out of its range, or a hollow cylinder is no wider than the one in it.

    Notes
    -----
    1/R = 1/R1 + 1/R2, 1/E* = (1 - nu1^2)/E1 + (1 - nu2^2)/E2, b = sqrt(4 F R/(pi L E*)), p0 = sqrt(F E*/(pi L R)):
    K. L. Johnson, Contact Mechanics, ch. 4.

    Examples
    --------
    >>> contact = line(24100.0, 20.0, 40.0, 40.0, 200e3, 200e3, 0.29, 0.29)
    >>> round(float(contact.peak_pressure), 1)
    1447.0
    """
    force = from_zero("force", force)
    curvature = _curvature("radius_1", radius_1) + _curvature("radius_2", radius_2)
    if not (curvature > 0).all():
        raise ValueError(
            f"radius_1 and radius_2 are {shown(radius_1)} and {shown(radius_2)}, but a hollow cylinder must be "
            "wider than the one in it: give the hollow one's radius a minus, and a larger value."
        )
    stiffness = 1 / (
        _compliance("modulus_1", modulus_1, "poisson_1", poisson_1)
        + _compliance("modulus_2", modulus_2, "poisson_2", poisson_2)
    )
    along = force / (np.pi * positive("length", length))
    return LineContact(
        half_width=np.sqrt(4 * along / (curvature * stiffness)), peak_pressure=np.sqrt(along * stiffness * curvature)
    )


def flank_radius(drive: Drive, t: ArrayLike) -> Floats:
    """Radius of the disc's edge at its parameters, as `line` wants it: below 0 where the edge is hollow.

    Parameters
    ----------
    drive : Drive
        The drive; a disc's own, moved inwards by its clearance, is `reducer.disc_drive`.
    t : array_like
        The outline's parameter [rad], any shape.

    Returns
    -------
    ndarray
        Radius [mm]; infinite where the edge is straight.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> flank_radius(story, [0.0, 0.3]).round(3).tolist()  # mm: both hollow
    [-5.378, -9.461]
    """
    with np.errstate(divide="ignore"):
        return 1 / outline.curvature(drive, t)


def _curvature(name: str, radius: ArrayLike) -> Floats:
    """One over radii of either sign; that of a flat, whose radius is infinite, is 0."""
    flat: Any = np.False_
    with suppress(TypeError, ValueError, OverflowError), np.errstate(over="ignore"):  # said in words below
        flat = np.isinf(np.asarray(radius, dtype=float))
    checked = finite(name, np.where(flat, 1.0, radius) if flat.any() else radius)
    size = np.abs(checked)
    if not ((size >= SMALLEST_SIZE) & (size <= GREATEST_SIZE)).all():
        raise ValueError(
            f"{name} is {shown(radius)}, but a cylinder has a radius, {SMALLEST_SIZE:g} to {GREATEST_SIZE:g}: "
            "give it in mm, infinite for a flat."
        )
    return np.where(flat, 0.0, 1 / checked)


def _compliance(modulus_name: str, modulus: ArrayLike, poisson_name: str, poisson: ArrayLike) -> Floats:
    ratio = finite(poisson_name, poisson)
    if not ((ratio >= -1) & (ratio <= 0.5)).all():
        raise ValueError(f"{poisson_name} is {shown(poisson)}, but must be -1 to 0.5: look it up for the material.")
    return (1 - ratio**2) / positive(modulus_name, modulus)
