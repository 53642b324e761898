"""Functions whose arguments are read as their signatures say: many plain numbers, texts and objects each."""

import inspect
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial, reduce, wraps
from operator import or_
from types import UnionType
from typing import Annotated, Any, ParamSpec, TypeVar, Union, get_args, get_origin, get_type_hints

import numpy as np

from cyclokit.arguments import GREATEST_SIZE, checked_count, checked_kind, checked_length, checked_number, finite

P = ParamSpec("P")
T = TypeVar("T")
FARTHEST = 1e12  # mm, or rad: nothing that can be drawn is larger
MOST = 1_000_000

# A hint that brings its own reader
Length = Annotated[float, checked_length]  # mm, above zero
Size = Annotated[float, partial(checked_number, least=0.0, most=GREATEST_SIZE)]
Place = Annotated[int, partial(checked_count, least=0, most=MOST)]  # from 0


def read(function: Callable[P, T]) -> Callable[P, T]:
    """Have a function refuse arguments of another kind than its signature says, by their names.

    They are numbers, counts, texts, objects of classes, sequences or tables of those, arrays, or what an `Annotated`
    hint has a reader for, a callable that takes name and value. What it is given goes in unchanged.
    """
    hints = get_type_hints(function, include_extras=True)
    expected = tuple((name, hints.get(name, Any)) for name in inspect.signature(function).parameters)

    @wraps(function)
    def _reading(*args: P.args, **kwargs: P.kwargs) -> T:
        for (name, hint), value in zip(expected, args, strict=False):
            # most are plain: a picture has thousands of them, and a slider's hand waits
            plain = type(value) is hint and hint is not int
            if not plain or (hint is float and not -FARTHEST <= value <= FARTHEST):  # type: ignore[operator]
                _read_as(name, value, hint)
        for name, value in kwargs.items():
            _read_as(name, value, hints.get(name, Any))
        return function(*args, **kwargs)

    return _reading


def _read_as(name: str, value: Any, hint: Any) -> None:
    """Refuse a value that isn't what a hint says."""
    origin, inside = get_origin(hint), get_args(hint)
    if hint is Any or hint is object:
        return
    if origin is Annotated:
        inside[1](name, value)
    elif origin in (Union, UnionType) and type(None) in inside:
        if value is not None:
            _read_as(name, value, reduce(or_, (one for one in inside if one is not type(None))))
    elif hint is float:
        checked_number(name, value, -FARTHEST, FARTHEST)
    elif hint is int:
        checked_count(name, value, 1, MOST)
    elif isinstance(hint, type) and origin is None:
        checked_kind(name, value, hint)
    elif origin is Callable:
        if not callable(value):
            raise TypeError(f"{name} must be a function, not a {type(value).__name__}: give its name alone.")
    elif origin in (Mapping, dict):
        checked_kind(name, value, origin)
        for key, one in value.items():
            _read_as(name, key, inside[0])
            _read_as(name, one, inside[1])
    elif origin in (Iterable, Sequence, tuple, list):
        _read_row(name, value, origin, inside[0])
    elif origin in (Union, UnionType) and all(isinstance(one, type) for one in inside):
        if not isinstance(value, hint):
            kinds = " or ".join(one.__name__ for one in inside)
            raise TypeError(f"{name} must be a {kinds}, not a {type(value).__name__}: give one of these.")
    elif np.abs(finite(name, value)).max(initial=0.0) > FARTHEST:
        raise ValueError(f"{name} reaches farther than {FARTHEST:g}, but nothing so large can be drawn: give less.")


def _read_row(name: str, value: Any, kind: type, inside: Any) -> None:
    """Refuse what is no row of things of a kind; what can be gone through once only is left to the function."""
    if isinstance(value, str | bytes) or not isinstance(value, kind):
        raise TypeError(f"{name} must be a list or tuple, not a {type(value).__name__}: put what is in it in brackets.")
    for one in value if isinstance(value, Sequence) else ():
        _read_as(name, one, inside)
