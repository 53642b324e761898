"""Points in a plane, and polygons of them."""

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_count, finite
from cyclokit.drive import MOST_PINS

FARTHEST = 1e12  # mm; no point of any disc is so far away


def vectors(name: str, values: ArrayLike) -> Floats:
    """Finite points or vectors of any shape (..., 2); `name` is the argument's, for the message.

    Examples
    --------
    >>> vectors("points", [[1, 2], [3, 4]]).tolist()
    [[1.0, 2.0], [3.0, 4.0]]
    """
    array = finite(name, values)
    if array.ndim == 0 or array.shape[-1] != 2:
        raise ValueError(f"{name} has the shape {array.shape}, but must be (..., 2): give x and y for each.")
    if array.size and np.abs(array).max() > FARTHEST:
        bad = array.flat[np.abs(array).argmax()]
        raise ValueError(f"{name} contains {bad} mm, but must be within {FARTHEST:g}: give lengths in mm.")
    return array


def all_round(lobe: ArrayLike, lobes: int) -> Floats:
    """A lobe's corners (m, 2) [mm], the next lobe's first one left out, turned on from lobe to lobe: a closed polygon.

    Examples
    --------
    >>> all_round([[1.0, 0.0]], 2).round(9).tolist()  # the last corner is the first
    [[1.0, 0.0], [-1.0, 0.0], [1.0, 0.0]]
    """
    lobes, corners = checked_count("lobes", lobes, 1, MOST_PINS), vectors("lobe", lobe)
    if corners.ndim != 2 or not len(corners):
        raise ValueError(f"lobe has the shape {corners.shape}, but must be (m, 2): give its corners.")
    turned = np.exp(2j * np.pi / lobes * np.arange(lobes))
    whole = np.outer(turned, corners @ [1, 1j]).ravel()
    return np.append(whole, whole[0]).view(np.float64).reshape(-1, 2)


def from_chords(places: ArrayLike, starts: ArrayLike, ends: ArrayLike) -> Floats:
    """Distance [mm] of places from the straight pieces between starts and ends; shapes (..., 2) that broadcast.

    Examples
    --------
    >>> from_chords([[0.0, 3.0], [5.0, 4.0]], [0.0, 0.0], [2.0, 0.0]).tolist()  # beside it; beyond its end
    [3.0, 5.0]
    """
    place, start, end = vectors("places", places), vectors("starts", starts), vectors("ends", ends)
    try:
        np.broadcast_shapes(place.shape, start.shape, end.shape)
    except ValueError as error:
        raise ValueError(
            f"places, starts and ends have the shapes {place.shape}, {start.shape} and {end.shape}, but must "
            "broadcast: give one start and one end for each place."
        ) from error
    chord, arm = (np.ascontiguousarray(one).view(np.complex128)[..., 0] for one in (end - start, place - start))
    share = np.clip((arm * chord.conj()).real / np.maximum(np.abs(chord) ** 2, np.finfo(float).tiny), 0.0, 1.0)
    return np.abs(arm - share * chord)  # from the nearest place of the chord
