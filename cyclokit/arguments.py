"""Arrays of numbers that come in as arguments, read with care."""

from numbers import Integral

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def finite(name: str, values: ArrayLike) -> Floats:
    """Real finite numbers of any shape, as an array of floats.

    Parameters
    ----------
    name : str
        The argument's name, for the message.
    values : array_like
        Real numbers; bool, complex, text and None are refused.

    Returns
    -------
    ndarray of float
        Same shape as `values`.

    Raises
    ------
    TypeError
        If `values` is not made of real numbers.
    ValueError
        If one of them is NaN or infinite, or the rows are of unequal length.
    """
    array = np.asarray(values)
    if array.size == 0:
        return np.zeros(array.shape)
    if array.dtype.kind not in "iuf":
        raise TypeError(f"{name} must be real numbers, not {array.dtype} values: give a number or an array of numbers.")
    array = array.astype(np.float64, copy=False)
    if not np.isfinite(array).all():
        bad = array[~np.isfinite(array)].flat[0]
        raise ValueError(f"{name} contains {bad}, but every value must be finite: take it out first.")
    return array


def positive(name: str, values: ArrayLike) -> Floats:
    """Finite numbers above zero, as `finite` returns them."""
    array = finite(name, values)
    if not (array > 0).all():
        bad = array[~(array > 0)].flat[0]
        raise ValueError(f"{name} contains {bad}, but must be above zero: give lengths and counts above zero.")
    return array


def whole(name: str, value: object, least: int, most: int) -> int:
    """A whole number from least to most; `name` is the argument's, for the message."""
    if isinstance(value, bool) or not isinstance(value, Integral):
        raise TypeError(f"{name} must be a whole number, not {value!r}: it counts something.")
    if not least <= int(value) <= most:
        raise ValueError(f"{name} is {value}, but must be {least} to {most}: choose another number.")
    return int(value)
