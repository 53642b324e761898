"""How stiff a ring pin and an output roller are as built: the rod that bends, and the contact that flattens, in series.

Left out, because a reducer doesn't say it or it can't be told by hand: how far plates, seats and the carrier give way,
a roller's play on its rod and a ball bearing's own softness, the lobe and the web that bend behind the contact, shear
of a short pin, what a second disc's load adds at the first, and creep. All of these make a real pin softer, which
shares the load among more of them, and turns the output farther. The stiffness of the whole reducer at its output,
tangent and secant, is in what `sharing.as_made` returns.
"""

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import (
    GREATEST_SIZE,
    SMALLEST_SIZE,
    Floats,
    checked_choice,
    checked_kind,
    checked_number,
    from_zero,
    positive,
)
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import contact, rods

SIDES = ("roller", "disc")
POISSON = 0.4  # of printed plastics, from memory; a steel's 0.3 makes the steel side 8 % softer, which hardly counts


def pin_stiffness(reducer: Reducer, torque: float) -> Floats:
    """Stiffness of a ring pin at each disc, as built, under a torque at the output [N mm], not 0.

    Force over deflection at the roller [N/mm], shape (2, D, 1): with the least and with the greatest moduli of the
    materials. Each of the two broadcasts as `sharing.as_made` wants it. A contact is stiffer, the harder it is pressed,
    and is taken as it is under the peak force 4 T/(e Zc N) of one disc's share. Twice the torque makes it some 8 %
    stiffer.

    Raises
    ------
    TypeError, ValueError
        If an argument is of another kind, or the torque is 0.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> soft, stiff = pin_stiffness(Reducer(Drive(20, 42.0, 5.0, 1.4)), 2000.0)
    >>> soft.round().tolist(), stiff.round().tolist()
    ([[1213.0], [1213.0]], [[1556.0], [1556.0]])
    """
    checked_kind("reducer", reducer, Reducer)
    drive = reducer.drive
    force = _size(torque) * 4 / (drive.eccentricity * drive.lobes * drive.pins * reducer.discs)
    length = rods.pin_contact_length(reducer)
    return _in_series(reducer, rods.ring_pin(reducer), force, length, drive.roller_radius, np.inf)


def output_stiffness(reducer: Reducer, torque: float) -> Floats:
    """Stiffness of an output roller at each disc, as built [N/mm], shape (2, D, 1), as `pin_stiffness` returns it.

    The torque at the output [N mm], not 0, is taken as there, with the peak force 4 T/(Zw Rw).

    Raises
    ------
    TypeError, ValueError
        If an argument is of another kind, or the torque is 0.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> soft, stiff = output_stiffness(Reducer(Drive(20, 42.0, 5.0, 1.4)), 2000.0)
    >>> soft.round().tolist(), stiff.round().tolist()  # N/mm, of either disc
    ([[3764.0], [1600.0]], [[5383.0], [1969.0]])
    """
    checked_kind("reducer", reducer, Reducer)
    force = _size(torque) * 4 / (reducer.output_rollers * reducer.output_circle_radius * reducer.discs)
    radius = reducer.output_roller_radius
    return _in_series(reducer, rods.output_rod(reducer), force, reducer.disc_thickness, radius, -reducer.hole_radius)


def flattening(
    force: ArrayLike, length: ArrayLike, half_width: ArrayLike, radius: ArrayLike, modulus: ArrayLike, side: str
) -> Floats:
    """How far one side of a line contact is flattened.

    Parameters
    ----------
    force, length, half_width : array_like
        Force [N], length and half width of the strip [mm], above 0.
    radius : array_like
        Radius of the roller [mm]; for the disc's side how deep it is looked at.
    modulus : array_like
        Young's modulus of that side [MPa].
    side : str
        "roller", a round pressed from its rim to its centre, or "disc", a deep body.

    Returns
    -------
    ndarray
        How much nearer the centre, or the place that deep, comes to the contact [mm].

    Notes
    -----
    F (1 - nu^2)/(pi L E) times 2 ln(4 R/b) - 1 for the round and 2 ln(2 R/b) - nu/(1 - nu) for the deep body:
    K. L. Johnson, Contact Mechanics, ch. 5, from memory; the tests integrate the strains. b is taken as no wider than
    R, beyond which neither holds.

    Examples
    --------
    >>> print(f"{flattening(100.0, 4.0, 0.1, 5.0, 208e3, 'roller'):.6f}")  # mm
    0.000308
    """
    checked_choice("side", side, SIDES)
    radius = positive("radius", radius)
    width = np.minimum(positive("half_width", half_width), radius)
    along = from_zero("force", force) * (1 - POISSON**2) / (np.pi * positive("length", length))
    shape = (
        2 * np.log(4 * radius / width) - 1
        if side == "roller"
        else 2 * np.log(2 * radius / width) - POISSON / (1 - POISSON)
    )
    return along / positive("modulus", modulus) * shape


def _in_series(reducer: Reducer, rod: rods.Rod, force: float, length: float, radius: float, against: float) -> Floats:
    """Stiffness with the least and the greatest moduli, shape (2, D, 1)."""
    found = []
    for which in (0, 1):
        disc, roller, bent = (
            MATERIALS[name].modulus[which] for name in (reducer.disc_material, reducer.roller_material, rod.material)
        )
        width = contact.line(force, length, radius, against, roller, disc, POISSON, POISSON).half_width
        flat = flattening(force, length, width, radius, roller, "roller") + flattening(
            force, length, width, radius, disc, "disc"
        )
        found.append(1 / (rod.compliance(bent) + float(flat) / force))
    return np.array(found)[..., None]


def _size(torque: float) -> float:
    size = abs(checked_number("torque", torque, -GREATEST_SIZE, GREATEST_SIZE))
    if size < SMALLEST_SIZE:
        raise ValueError("torque is 0, but a contact without load has no stiffness: give the torque it is to carry.")
    return size
