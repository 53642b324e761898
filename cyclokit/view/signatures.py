"""Arguments of functions that draw: many plain numbers and texts each, read as their signatures say."""

import inspect
from collections.abc import Callable, Mapping, Sequence
from functools import wraps
from typing import Any, ParamSpec, TypeVar, get_args, get_origin, get_type_hints

import numpy as np

from cyclokit.arguments import checked_count, checked_kind, checked_number, finite

P = ParamSpec("P")
T = TypeVar("T")
FARTHEST = 1e12  # mm, or rad: nothing that can be drawn is larger
MOST = 1_000_000


def read(function: Callable[P, T]) -> Callable[P, T]:
    """Have a function refuse arguments of another kind than its signature says, by their names.

    Parameters
    ----------
    function : callable
        Its arguments are numbers, counts, texts, objects of a class, sequences or tables of those, or arrays.

    Returns
    -------
    callable
        The same. What it is given goes in unchanged.
    """
    hints = get_type_hints(function)
    expected = tuple((name, hints.get(name, Any)) for name in inspect.signature(function).parameters)

    @wraps(function)
    def _reading(*args: P.args, **kwargs: P.kwargs) -> T:
        for (name, hint), value in zip(expected, args, strict=False):
            # most are plain: a picture has thousands of them, and a slider's hand waits
            if not (type(value) is hint is str or (type(value) is hint is float and -FARTHEST <= value <= FARTHEST)):
                _read_as(name, value, hint)
        for name, value in kwargs.items():
            _read_as(name, value, hints.get(name, Any))
        return function(*args, **kwargs)

    return _reading


def _read_as(name: str, value: Any, hint: Any) -> None:
    """Refuse a value that isn't what a hint says."""
    origin = get_origin(hint)
    if hint is Any or (value is None and type(None) in get_args(hint)):
        return
    if hint is float:
        checked_number(name, value, -FARTHEST, FARTHEST)
    elif hint is int:
        checked_count(name, value, 1, MOST)
    elif isinstance(hint, type):
        checked_kind(name, value, hint)
    elif origin in (Mapping, dict):
        checked_kind(name, value, origin)
    elif origin in (Sequence, tuple):
        if isinstance(value, str | bytes):
            raise TypeError(f"{name} must be a sequence, not a {type(value).__name__}: give a tuple.")
        checked_kind(name, value, origin)
        for one in value:
            _read_as(name, one, get_args(hint)[0])
    elif (
        len(kinds := [kind for kind in get_args(hint) if isinstance(kind, type) and kind is not Any]) == 2
        and type(None) in kinds
    ):
        checked_kind(name, value, kinds[0])
    elif np.abs(finite(name, value)).max(initial=0.0) > FARTHEST:
        raise ValueError(f"{name} reaches farther than {FARTHEST:g}, but nothing so large can be drawn: give less.")
