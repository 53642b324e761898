"""Arguments read with care: counts, lengths, numbers, choices, and arrays of numbers.

NumPy is loaded when the first array comes in, so that `import cyclokit` stays quick.
"""

import math
from numbers import Integral, Real
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
else:
    ArrayLike = Floats = Any

SHORTEST, LONGEST = 1e-6, 1e6  # mm: a nanometre to a kilometre; beyond, squares lose their digits


def checked_count(name: str, value: object, least: int, most: int) -> int:
    """A whole number of any integer type, as an int.

    Parameters
    ----------
    name : str
        The argument's name, for the message.
    value : object
        What was given; bool and floats are refused.
    least, most : int
        What is allowed, both included.

    Returns
    -------
    int
        The number.

    Raises
    ------
    TypeError
        If it isn't a whole number.
    ValueError
        If it is out of range.

    Examples
    --------
    >>> checked_count("discs", 2, 1, 3)
    2
    """
    if isinstance(value, bool) or not isinstance(value, Integral):
        raise TypeError(f"{name} must be a whole number, not {value!r}: it counts something.")
    if not least <= int(value) <= most:
        raise ValueError(f"{name} is {value}, but must be {least} to {most}: choose another number.")
    return int(value)


def checked_number(name: str, value: object, least: float, most: float) -> float:
    """A number of any real type, as a float.

    Parameters
    ----------
    name : str
        The argument's name, for the message.
    value : object
        What was given; bool, text and NaN are refused.
    least, most : float
        What is allowed, both included.

    Returns
    -------
    float
        The number.

    Raises
    ------
    TypeError
        If it isn't a number.
    ValueError
        If it is out of range.

    Examples
    --------
    >>> checked_number("hole_clearance", 0.1, 0, 5)
    0.1
    """
    if isinstance(value, bool) or not isinstance(value, Real):
        raise TypeError(f"{name} must be a number such as 0.1, not {value!r}: give the plain number.")
    if not least <= float(value) <= most:
        raise ValueError(f"{name} is {value!r}, but must be {least:g} to {most:g}: give a number in that range.")
    return float(value)


def checked_length(name: str, value: object) -> float:
    """A length in mm above zero, as a float."""
    if isinstance(value, bool) or not isinstance(value, Real):
        raise TypeError(f"{name} must be a number in mm such as 5.0, not {value!r}: give the plain number.")
    if not (math.isfinite(value) and SHORTEST <= float(value) <= LONGEST):
        raise ValueError(
            f"{name} is {value!r} mm, but must be finite and {SHORTEST:g} to {LONGEST:g} mm: give a length above zero."
        )
    return float(value)


def checked_choice(name: str, value: object, allowed: tuple[str, ...]) -> str:
    """One of a few words, as it is; a ValueError names those that are allowed."""
    if not isinstance(value, str) or value not in allowed:
        raise ValueError(f"{name} is {value!r}, but must be one of {', '.join(allowed)}: choose one of these.")
    return value


def checked_kind(name: str, value: object, kind: type, remedy: str) -> None:
    """Refuse what isn't of a class of ours, with a TypeError that says what to give instead."""
    if not isinstance(value, kind):
        raise TypeError(f"{name} must be a {kind.__name__}, not a {type(value).__name__}: {remedy}.")


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
    import numpy as np

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
