"""Arguments read with care: counts, lengths, numbers, choices, and arrays of numbers.

Everywhere `name` is the argument's name, for the message, and `value` or `values` what was given. A TypeError says
that it is of another kind, a ValueError that it is out of range.
NumPy is loaded when the first array comes in, so that `import cyclokit` stays quick.
"""

import math
import sys
from difflib import get_close_matches
from numbers import Integral, Real
from typing import TYPE_CHECKING, Any

from cyclokit.texts import shown

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
else:
    ArrayLike = Floats = Any

SHORTEST, LONGEST = 1e-6, 1e6  # mm: a nanometre to a kilometre; beyond, squares lose their digits
LARGEST = sys.float_info.max
SMALLEST_SIZE, GREATEST_SIZE = 1e-15, 1e15  # in any unit used here; beyond, it is a slip, and powers overflow
LARGEST_ANGLE = 1e15  # rad
DEEPEST = 64  # dimensions that an array can have


def checked_count(name: str, value: object, least: int, most: int) -> int:
    """A whole number of any integer type from least to most, as an int; bool and floats are refused.

    Examples
    --------
    >>> checked_count("discs", 2, 1, 3)
    2
    """
    if isinstance(value, bool) or not isinstance(value, Integral):
        raise TypeError(f"{name} must be a whole number such as {least}, not {shown(value)}: give a count.")
    if not least <= int(value) <= most:
        raise ValueError(f"{name} is {shown(value)}, but must be {least} to {most}: choose another number.")
    return int(value)


def checked_number(name: str, value: object, least: float, most: float) -> float:
    """A number of any real type from least to most, as a float; bool, text and NaN are refused.

    Examples
    --------
    >>> checked_number("hole_clearance", 0.1, 0, 5)
    0.1
    """
    if type(value) is not float and (isinstance(value, bool) or not isinstance(value, Real)):
        raise TypeError(f"{name} must be a number such as 0.1, not {shown(value)}: give the plain number.")
    if not least <= value <= most:  # type: ignore[operator]  # before float(), which a huge one won't pass
        raise ValueError(
            f"{name} is {shown(value)}, but must be {least:g} to {_end(most)}: give a number in that range."
        )
    return float(value)


def _end(most: float) -> str:
    """The greatest number allowed; the one just below a whole number by that one."""
    beyond = math.nextafter(most, math.inf)
    return f"below {beyond:g}" if abs(most) < 1 and beyond == round(beyond) else f"{most:.16g}"


def checked_length(name: str, value: object) -> float:
    """A length in mm above zero, as a float.

    Examples
    --------
    >>> checked_length("roller_radius", 5)  # mm
    5.0
    """
    if type(value) is not float and (isinstance(value, bool) or not isinstance(value, Real)):
        raise TypeError(f"{name} must be a number in mm such as 5.0, not {shown(value)}: give the plain number.")
    if not SHORTEST <= value <= LONGEST:  # type: ignore[operator]  # before float(), which a huge one won't pass
        raise ValueError(
            f"{name} is {shown(value)} mm, but must be finite and {SHORTEST:g} to {LONGEST:g} mm: "
            "give a length above zero."
        )
    return float(value)


def checked_choice(name: str, value: object, allowed: tuple[str, ...]) -> str:
    """One of a few words, as it is; a ValueError names those that are allowed, and the one that may be meant.

    Examples
    --------
    >>> checked_choice("support", "one end", ("both ends", "one end"))
    'one end'
    """
    if not isinstance(value, str) or value not in allowed:
        raise ValueError(
            f"{name} is {shown(value)}, but must be one of {', '.join(allowed)}: choose one of these"
            f"{_meant(value, allowed)}."
        )
    return value


def _meant(value: object, allowed: tuple[str, ...]) -> str:
    """Which of a few words is meant: the same but for capitals, or with something after it, or nearly the same letters.

    A designation with another number is another thing, however much alike they look.
    """
    text = shown(value).strip("'").lower()
    same = [word for word in allowed if word.lower() == text]
    begun = sorted((word for word in allowed if text.startswith(word.lower())), key=len)
    close = get_close_matches(text, [word.lower() for word in allowed], 1)
    near = [] if any(map(str.isdigit, text)) else [word for word in allowed if word.lower() in close]
    found = (same or begun[-1:] or near)[:1]
    return "".join(f", perhaps '{word}'{'' if isinstance(value, str) else ' in quotation marks'}" for word in found)


def checked_kind(name: str, value: object, kind: type, remedy: str = "") -> None:
    """Refuse an object of another kind than is needed, such as `Drive`, with what to give.

    `remedy` is what to do, where to give one isn't enough.

    Examples
    --------
    >>> checked_kind("facts", {}, dict)  # of the right kind: nothing is said
    >>> checked_kind("facts", "text", dict)
    Traceback (most recent call last):
    TypeError: facts must be a dict, not a str: give a dict.
    """
    if not isinstance(value, kind):
        raise TypeError(
            f"{name} must be a {kind.__name__}, not a {type(value).__name__}: {remedy or f'give a {kind.__name__}'}."
        )


def finite(name: str, values: ArrayLike) -> Floats:
    """Real finite numbers of any shape, as an array of floats; bool, complex, text and None are refused.

    Raises
    ------
    TypeError
        If `values` is not made of real numbers.
    ValueError
        If one of them is NaN, infinite or masked, or the rows are of unequal length.

    Examples
    --------
    >>> finite("crank", [0, 1, 2.5])
    array([0. , 1. , 2.5])
    """
    import numpy as np

    array, floats = _as_floats(name, values)
    if not (math.isfinite(floats.item()) if floats.ndim == 0 else np.isfinite(floats).all()):
        bad = array[~np.isfinite(floats)].flat[0]
        words = shown(bad) if array.dtype.kind == "O" else str(bad)
        raise ValueError(f"{name} contains {words}, but every value must be finite: take it out first.")
    return floats


def numbers(name: str, values: ArrayLike) -> Floats:
    """Real numbers as `finite` takes them, infinite ones and NaN too, where these have a meaning.

    Examples
    --------
    >>> numbers("bound", [1.0, float("inf")]).tolist()
    [1.0, inf]
    """
    return _as_floats(name, values)[1]


def positive(name: str, values: ArrayLike) -> Floats:
    """Finite numbers above zero, 1e-15 to 1e15, as `finite` returns them.

    Examples
    --------
    >>> positive("load", [5, 7.5]).tolist()  # N
    [5.0, 7.5]
    """
    array = finite(name, values)
    if not _inside(array, SMALLEST_SIZE, GREATEST_SIZE):
        bad = array[(array < SMALLEST_SIZE) | (array > GREATEST_SIZE)].flat[0]
        raise ValueError(
            f"{name} contains {bad}, but must be above zero, {SMALLEST_SIZE:g} to {GREATEST_SIZE:g}: "
            "give lengths and counts above zero."
        )
    return array


def from_zero(name: str, values: ArrayLike) -> Floats:
    """Finite sizes from 0 to 1e15, as `finite` returns them.

    Examples
    --------
    >>> from_zero("gaps", [0, 0.05]).tolist()  # mm
    [0.0, 0.05]
    """
    array = finite(name, values)
    if not _inside(array, 0.0, GREATEST_SIZE):
        bad = array[(array < 0) | (array > GREATEST_SIZE)].flat[0]
        raise ValueError(
            f"{name} contains {bad}, but must be 0 or more, up to {GREATEST_SIZE:g}: "
            "give its size alone, without a sign."
        )
    return array


def angles(name: str, values: ArrayLike, rate: float = 1.0) -> Floats:
    """Finite angles [rad] of any shape, not so many turns that nothing is left of where they point.

    `rate` is the fastest that anything turns with them: the sine of so many times the angle is taken.

    Raises
    ------
    TypeError
        If `values` is not made of real numbers.
    ValueError
        If one is not finite, or `rate` times it is beyond 1e15 rad, where floats lie an eighth of a radian apart.

    Examples
    --------
    >>> angles("crank", [0, 0.5]).tolist()  # rad
    [0.0, 0.5]
    """
    import numpy as np

    array = finite(name, values)
    if array.size and max(array.max(), -array.min()) > LARGEST_ANGLE / rate:
        bad = array.flat[np.abs(array).argmax()]
        raise ValueError(
            f"{name} contains {bad} rad, but beyond {LARGEST_ANGLE / rate:.3g} rad nothing is left of where it points: "
            "take whole turns, 2 pi, off first."
        )
    return array


def _as_floats(name: str, values: ArrayLike) -> "tuple[np.ndarray, Floats]":
    """Real numbers as they came, and as floats, infinite beyond the largest."""
    import numpy as np

    # most come as floats: nothing can be wrong with their kind, and a search asks a million times
    if type(values) in (float, np.float64):
        return (array := np.asarray(values)), array
    if type(values) is np.ndarray and values.dtype == np.float64:
        return values, values.reshape(values.shape)
    if _masked(values):
        raise ValueError(f"{name} has masked values in it, which have no number: take them out, or fill them, first.")
    array = _as_array(name, values)
    if array.size == 0:
        return array, np.zeros(array.shape)
    if array.dtype.kind == "O" and all(_real(value) for value in array.flat):  # whole numbers too large for an int64
        read: Any = [_as_float(value) for value in array.flat]
    elif array.dtype.kind in "iuf" and not _has_bool(values):
        with np.errstate(over="ignore"):  # of a longer float
            read = array.astype(np.float64, copy=False)
    else:
        kind = "bool" if _has_bool(values) else array.dtype
        raise TypeError(f"{name} must be real numbers, not {kind} values: give a number or an array of numbers.")
    return array, np.asarray(read, dtype=np.float64).reshape(array.shape)


def _inside(array: Floats, least: float, most: float) -> bool:
    """Whether finite numbers are all in a range; a search asks a million times, mostly of plain ones."""
    if array.ndim == 0:
        return bool(least <= array.item() <= most)
    return not array.size or bool(array.min() >= least and array.max() <= most)


def _as_array(name: str, values: ArrayLike) -> "np.ndarray":
    import numpy as np

    try:
        return np.asarray(values)
    except (TypeError, ValueError, OverflowError) as error:  # numpy's own words don't say which argument it was
        raise ValueError(
            f"{name} is {shown(values)}, which makes no array: give a number, or rows of numbers that are equally long."
        ) from error


def _as_float(value: Any) -> float:
    try:
        return float(value)
    except OverflowError:
        return math.copysign(math.inf, value > 0 or -1)


def _real(value: object) -> bool:
    return isinstance(value, Real) and not isinstance(value, bool)


def _has_bool(values: object) -> bool:
    """Whether there is a bool among numbers: NumPy would read it as 0 or 1."""
    import numpy as np

    if isinstance(values, list | tuple):
        return any(map(_has_bool, values))
    return isinstance(values, bool | np.bool_)


def _masked(values: object, depth: int = 0) -> bool:
    """Whether something is masked, in lists of arrays too, from which NumPy would take the numbers under the mask."""
    import numpy as np

    if isinstance(values, list | tuple) and depth < DEEPEST:
        return any(_masked(value, depth + 1) for value in values)
    return np.ma.is_masked(values)
