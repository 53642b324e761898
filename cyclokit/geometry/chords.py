"""Chords of a smooth curve: where its corners are put, so that few straight pieces keep to a tolerance."""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_count, checked_number, finite

Edge = Callable[[Floats], tuple[Floats, Floats, Floats, Floats]]  # of a parameter: x and y, and the unit normal's

FINEST, COARSEST = 1e-9, 1e3  # mm: a printer needs 0.01, a mill 0.001
MOST = 1_000_000  # chords
SAMPLES = 8  # on each chord's arc at least
LOST = 10  # times as many chords as seem needed: the grid is too coarse to tell
FEW = 20  # chords; below that one too many weighs, so the search begins lower


def corners(edge: Edge, grid: ArrayLike, tolerance: float, fewest: int = 1) -> Floats:
    """Parameters of a curve's corners, so placed that all chords between them depart from their arcs alike.

    Parameters
    ----------
    edge : callable
        For an array of parameters, of any shape, the curve's x and y [mm], and those of its unit normal.
    grid : array_like
        Parameters that rise from the curve's first end to its last, so close that between them it bends evenly.
    tolerance : float
        Farthest that a chord may depart from its arc [mm], 1e-9 to 1e3, well above the rounding of its coordinates.
    fewest : int
        How many chords there are at least, 1 to a million.

    Returns
    -------
    ndarray
        Parameters, both ends included: about the fewest chords.

    Raises
    ------
    TypeError, ValueError
        If an argument is not of its kind, the grid does not rise, or the curve bends between its parameters.

    Examples
    --------
    >>> def circle(t):
    ...     return 10 * np.cos(t), 10 * np.sin(t), np.cos(t), np.sin(t)
    >>> corners(circle, np.linspace(0, 1.5, 31), 0.1).round(3).tolist()  # rad; 0.08 mm from their arcs
    [0.0, 0.25, 0.5, 0.75, 1.0, 1.25, 1.5]
    """
    if not callable(edge):
        raise TypeError(f"edge must be a function, not a {type(edge).__name__}: give its name alone.")
    grid, tolerance = finite("grid", grid), checked_number("tolerance", tolerance, FINEST, COARSEST)
    if grid.ndim != 1 or grid.size < 3 or not (np.diff(grid) > 0).all():
        raise ValueError("grid must be a row of three parameters or more, each above the last: give them in order.")
    need = np.maximum(_chords_needed(edge, grid, tolerance), 1e-12)  # a straight line has two ends too
    estimate = need.sum() if need.sum() > FEW else 0.8 * need.sum()
    chords = max(math.ceil(estimate), checked_count("fewest", fewest, 1, MOST))
    t = _share_out(grid, need, chords)
    limit = LOST * (chords + FEW)
    while chords <= limit:
        for _ in range(4 if chords > FEW else 12):  # rounds that level the errors
            error = _chord_errors(edge, t)
            if error.max() <= tolerance:
                return t
            t = _share_out(t, np.sqrt(error), chords)
        chords += max(1, chords // 100)
    raise ValueError(
        f"edge can't be kept to with {limit} chords, {LOST} times as many as it seems to need on grid: "
        "give a finer grid."
    )


def _chords_needed(edge: Edge, t: Floats, tolerance: float) -> Floats:
    """How many chords (a fraction) each step of `t` needs, if each is to leave its arc by the tolerance.

    A chord of length c leaves an arc of curvature k by k c^2/8. Near an inflection the chord is
    longer than the stretch in which k is about zero, so k^2 gets a floor from its slope k' there:
    0.25 (k'^2 tolerance)^(2/3) keeps every chord of a cubic y = k' x^3/6 within the tolerance
    (found by trying all positions of the chord; 0.22 is the least that does).
    """
    x, y, normal_x, normal_y = edge(t)
    step = np.hypot(np.diff(x), np.diff(y))
    bend = (normal_x[:-1] * normal_y[1:] - normal_y[:-1] * normal_x[1:]) / step
    slope = np.gradient(bend) / step
    return step * ((bend**2 + 0.25 * (slope**2 * tolerance) ** (2 / 3)) ** 0.25 / math.sqrt(8 * tolerance))


def _share_out(t: Floats, need: Floats, chords: int) -> Floats:
    """New corners, so that each chord gets the same share of what the old steps needed."""
    total = np.concatenate([[0.0], np.cumsum(need)])
    return np.interp(np.linspace(0.0, total[-1], chords + 1), total, t)


def _chord_errors(edge: Edge, t: Floats) -> Floats:
    """Farthest distance [mm] of each chord's arc from the chord, and a little more, never less.

    The distance is sampled; between two samples ds apart, where the normal turns by da, the arc
    can rise by another ds/2 tan(da/4).
    """
    samples = SAMPLES if t.size > FEW else 30 * SAMPLES  # few chords are long ones
    x, y, normal_x, normal_y = edge(t[:-1, None] + np.diff(t)[:, None] * np.linspace(0.0, 1.0, samples + 1))
    arc, normal = x + 1j * y, normal_x + 1j * normal_y
    chord = arc[:, -1:] - arc[:, :1]
    reach = np.maximum(np.abs(chord), np.finfo(float).tiny)
    seen = (arc - arc[:, :1]) * (chord.conj() / reach)  # real part along the chord, imaginary across it
    beyond = seen.real - np.clip(seen.real, 0.0, reach)  # past an end, where a cusp sticks out
    half_turn = np.arcsin(np.minimum(np.abs(np.diff(normal)) / 2, 1.0))
    missed = np.abs(np.diff(arc)) / 2 * np.tan(half_turn / 2)
    return np.sqrt((seen.imag**2 + beyond**2).max(axis=1)) + missed.max(axis=1)
