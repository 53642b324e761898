"""How far two outlines are apart: arrays (m, 2) of corners [mm], the first once more at the end, joined by lines."""

import math

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_length, finite

FEW = 7  # points that mostly tell in a moment when two outlines are far apart


def apart(one: ArrayLike, other: ArrayLike, tolerance: float) -> float:
    """Greatest distance of either outline from the other, counted in tolerances [mm each]; over 3, perhaps less.

    Sampled at every half tolerance, so that a distance comes out up to 3 % large, never small.

    Examples
    --------
    >>> square = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0], [0.0, 0.0]]
    >>> round(apart(square, [[0.0, 0.0], [10.0, 0.0], [10.0, 10.1], [0.0, 10.1], [0.0, 0.0]], 0.05), 3)
    2.0
    """
    value, target = _corners("one", one), _corners("other", other)
    tolerance = checked_length("tolerance", tolerance)
    if _way(value)[-1] > 10 * _way(target)[-1]:
        return math.inf  # no outline of the size that is asked for, and it would take long to sample
    reach = abs(_reach(value) - _reach(target))  # two outlines are at least as far apart as their farthest corners
    if reach > 3 * tolerance:
        return reach / tolerance
    for some, whole in ((value, target), (target, value)):
        few = _to_lines(some[:: 1 + len(some) // FEW], whole)
        if few > 3 * tolerance:
            return few / tolerance
    from scipy.spatial import cKDTree  # here, because it takes long and few answers are outlines

    fine, other_fine = (_along(corners, tolerance / 2) for corners in (value, target))
    both_ways = cKDTree(fine).query(other_fine)[0].max(), cKDTree(other_fine).query(fine)[0].max()
    return float(max(both_ways)) / tolerance


def off(points: ArrayLike, corners: ArrayLike) -> float:
    """Greatest distance of any of a few points from an outline [mm].

    Examples
    --------
    >>> off([[5.0, 1.0], [5.0, -3.0]], [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 0.0]])
    3.0
    """
    return _to_lines(_corners("points", points), _corners("corners", corners))


def _corners(name: str, values: ArrayLike) -> Floats:
    found = finite(name, values)
    if found.ndim != 2 or found.shape[1] != 2 or len(found) < 2:
        raise ValueError(f"{name} has the shape {found.shape}, but must be (m, 2), m at least 2: give x and y of each.")
    return found


def _reach(corners: Floats) -> float:
    """How far from the origin the farthest corner is [mm]."""
    return float(np.hypot(*corners.T).max())


def _way(corners: Floats) -> Floats:
    """Way from the first corner to each [mm]."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])


def _along(corners: Floats, step: float) -> Floats:
    """Points a step apart along a polygon."""
    way = _way(corners)
    even = np.linspace(0.0, way[-1], 2 + int(way[-1] / step))
    return np.column_stack([np.interp(even, way, column) for column in corners.T])


def _to_lines(points: Floats, corners: Floats) -> float:
    """Greatest distance of any of a few points from the lines between corners [mm]."""
    point, corner = (x + 1j * y for x, y in (points.T, corners.T))
    start, chord = corner[:-1, None], np.diff(corner)[:, None]
    squared = np.maximum(np.abs(chord) ** 2, np.finfo(float).tiny)
    share = np.clip(((point - start) * chord.conj()).real / squared, 0.0, 1.0)  # foot on each line
    return float(np.abs(point - start - share * chord).min(axis=0).max())
