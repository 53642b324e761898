"""Numbers round a picture, each with a straight leader line to its thing, no two of which cross.

Leaders whose lengths have the least sum never cross: two that did could swap their numbers, and both together would be
shorter. The assignment is SciPy's.
"""

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import linear_sum_assignment
from scipy.spatial.distance import cdist

from cyclokit.arguments import Floats
from cyclokit.geometry.polygons import vectors
from cyclokit.signatures import read
from cyclokit.view.figures import Rows


@read
def leaders(spots: list[Rows], places: ArrayLike) -> list[tuple[Floats, Floats]]:
    """Where each leader starts, on its thing, and ends, at the place of its number.

    Parameters
    ----------
    spots : list of ndarray
        For each thing the points (n, 2) of it at which its leader may start.
    places : ndarray
        Where numbers may stand (m, 2); at least as many as there are things.

    Returns
    -------
    list of tuple of ndarray
        For each thing start and end, (2,) each.

    Examples
    --------
    >>> left, right = np.array([[0.0, 0.0]]), np.array([[1.0, 0.0], [5.0, 0.0]])
    >>> [(start.tolist(), end.tolist()) for start, end in leaders([left, right], [(6.0, 0.0), (0.0, 1.0)])]
    [([0.0, 0.0], [0.0, 1.0]), ([5.0, 0.0], [6.0, 0.0])]
    """
    free = vectors("places", places).reshape(-1, 2)
    if len(free) < len(spots):
        raise ValueError(f"places are {len(free)}, but must be at least {len(spots)}: give one for each thing.")
    far = [cdist(mine, free) for mine in spots]
    _, chosen = linear_sum_assignment(np.array([each.min(axis=0) for each in far]).reshape(-1, len(free)))
    return [(mine[each[:, place].argmin()], free[place]) for mine, each, place in zip(spots, far, chosen, strict=True)]
