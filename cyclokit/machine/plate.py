"""How far a reducer's output plate can turn before one of its rollers meets the edge of its hole."""

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, finite
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import read


@read
def ahead(reducer: Reducer, crank: ArrayLike) -> Floats:
    """How far the plate can turn forwards before each roller meets each disc's hole, the discs held.

    Parameters
    ----------
    reducer : Reducer
        The reducer; the clearance is what its holes have beyond roller and eccentricity.
    crank : array_like
        Crank angles [rad], shape (n,).

    Returns
    -------
    ndarray
        Angles [rad], counter-clockwise, shape (n, discs, rollers); the least of a crank angle is where the plate stops.

    Raises
    ------
    ValueError
        If `crank` is no row of numbers, or the holes are so large that nothing stops a roller on its way round.

    Notes
    -----
    Seen from the disc, a roller that is turned by d about the axis lies off its hole's middle by
    |e exp(i c) + Rw exp(i b) (1 - exp(i d))|, and there is room for e + s. Squared, that is a cosine of d: derived.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4), discs=1, hole_clearance=0.1)
    >>> round(float(np.degrees(ahead(machine, [0.0]).min())), 3)
    0.242
    """
    crank = np.atleast_1d(finite("crank", crank))
    if crank.ndim != 1:
        raise ValueError(f"crank has the shape {crank.shape}, but must be a row of angles, (n,): give that.")
    drive, circle, clearance = reducer.drive, reducer.output_circle_radius, reducer.hole_clearance
    e, count = drive.eccentricity, reducer.output_rollers
    if 2 * e * clearance + clearance**2 >= 4 * circle * (circle - e):
        raise ValueError(
            f"reducer has a hole_clearance of {clearance!r} mm, but must have one well below its "
            f"output_circle_radius of {circle:g} mm: choose a smaller clearance or a larger circle."
        )
    stands = 2 * np.pi * (reducer.hole_phase / drive.lobes + np.arange(count) / count)
    turned = crank + motion.phases(reducer.discs)[:, None]  # of each disc's eccentric, (discs, n)
    way = stands + (motion.disc_pose(drive, crank).angle - turned)[..., None]  # of each roller, seen from there
    x, y = circle + e * np.cos(way), e * np.sin(way)
    room = (2 * e * clearance + clearance**2) / (2 * circle)
    stop = np.arccos((x - room) / np.hypot(x, y)) - np.arctan2(y, x)
    return np.asarray(np.swapaxes(np.maximum(stop, 0.0), 0, 1))
