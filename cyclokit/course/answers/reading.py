"""Reading whatever a reader may have set, strictly: numbers, arrays of them, names of types, texts of errors.

`yours` stands where an answer is still open.
"""

import math
import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout, suppress
from decimal import Decimal
from numbers import Real
from typing import Any

import numpy as np
import sympy as sp
from IPython.utils.capture import capture_output

from cyclokit.arguments import Floats
from cyclokit.signatures import read

IMAGINARY = 1e-12  # share of a complex number that may be left of roundings where nothing imaginary is meant

SENTENCES = {
    "open": "Put your answer in place of `yours`.",
    "reason open": "A letter and a reason in words are both asked for.",
    "number": "I need a plain number, and got something of type {kind}. Leave out quotes, units and letters.",
    "commas": "I need a plain number, and got one with a comma in it. Write a decimal point, as in 0.5.",
    "finite": "I need a finite number.",
    "expression": "I need a SymPy expression, and got something of type {kind}. Leave out quotes, Eq(...) and [].",
    "symbols": "I don't know the symbol {strange} in it, only {known}. Take the symbols that the sheet gives.",
    "value": "I get no real number out of it at {place}.",
    "function": "I need a function, and got something of type {kind}. Give the function itself, by its name.",
    "raised": "Called with {inputs} it raised {error}.",
    "result": "Called with {inputs} it should give {wanted}. {why}",
    "entry": "Entry {place} is no finite number, but of type {kind}.",
    "nan": "Entry {place} is {value}.",
    "array": "It is of type {kind}.",
    "shape": "Called with {inputs} it should give {wanted}, and gave something of shape {shape}.",
    "outline": "I need an array of x and y, one row a point, and got something of type {kind}.",
    "rows": "I need an array of 3 to {most} rows with x and y, and got one of shape {shape}.",
    "letter": "I need one of the letters {letters}, in quotes.",
    "word": "I need one of these, in quotes: {words}.",
    "reason": "I need a reason in words, in quotes, and got something of type {kind}.",
    "stopped": "Reading it was stopped.",
    "elsewhere": "It is right for {first}. Is it for {where}?",
    "rounded": "How many figures did you keep?",
    "between": "The points lie where they should. Do the straight lines from each to the next?",
    "slow": "It was not done after {seconds:g} s. Does something in it go on for ever? (One call of compiled code, "
    "such as a search in a text, I can't stop before it ends.)",
}


class _Yours:
    """Stands for an answer that nobody has given yet."""

    def __repr__(self) -> str:
        return "still open"


yours = _Yours()


class Unreadable(ValueError):
    """The answer is none of its kind; the message says why, to its reader."""

    def __init__(self, sentence: str, **words: object) -> None:
        super().__init__(SENTENCES[sentence].format(**words))


class StillOpen(Exception):
    """The answer, or a part of it, is still `yours`; the message says what to do."""

    def __init__(self, sentence: str = "open") -> None:
        super().__init__(SENTENCES[sentence])


def real(answer: object) -> float:
    """A finite real number: exact, in an array of one, or complex with nothing imaginary; True is none."""
    number: Any = answer
    if isinstance(number, np.ndarray) and number.size == 1:
        number = number.reshape(-1)[0]
    if isinstance(number, complex | np.complexfloating):
        parts = complex(number)
        number = parts.real if abs(parts.imag) <= IMAGINARY * abs(parts.real) else number
    exact = isinstance(number, Decimal) or (isinstance(number, sp.Expr) and not number.free_symbols)
    if isinstance(number, bool | np.timedelta64) or not (exact or isinstance(number, Real)):
        raise Unreadable("number", kind=kind_of(number))
    try:
        value = float(number)
        if isinstance(number, np.float32 | np.float16):  # the number that its own figures mean: 2.15, not 2.1500001
            value = float(f"{value:.{np.finfo(number).precision + 1}g}")
    except OverflowError:
        raise Unreadable("finite") from None
    if not math.isfinite(value):
        raise Unreadable("finite")
    return value


def reals(answer: object) -> Floats:
    """An array of finite real numbers; one row or one column becomes a plain row of numbers."""
    array = _array(answer)
    if array.dtype.kind in "Oc":  # exact numbers, such as SymPy's, complex ones, or something that isn't a number
        array = np.array([_entry(place, thing) for place, thing in enumerate(array.flat)]).reshape(array.shape)
    if array.dtype.kind not in "iuf":
        raise Unreadable("array", kind=kind_of(array.flat[0] if array.size else answer))
    with np.errstate(over="ignore"):  # of a longer float; said in words below
        numbers = array.astype(float)
    if not (finite := np.isfinite(numbers)).all():
        raise Unreadable("nan", place=int(finite.argmin()), value=numbers.flat[finite.argmin()])
    return numbers.ravel() if 1 in numbers.shape else numbers


def _array(answer: object) -> np.ndarray:
    """The answer as an array, of whatever type; of objects if its parts have different shapes."""
    with suppress(Exception):
        return np.array(answer, subok=False)  # a copy of a plain array, whatever class it came in
    try:
        return np.array(answer, dtype=object)
    except Exception:
        raise Unreadable("array", kind=kind_of(answer)) from None


def _entry(place: int, thing: object) -> float:
    if thing is yours:
        raise StillOpen
    try:
        return real(thing)
    except Exception:
        raise Unreadable("entry", place=place, kind=kind_of(thing)) from None


@read
def told(error: BaseException) -> str:
    """The error's type and text on one line; the type alone if its text can't be had."""
    if type(error) is KeyError:
        return one_line(f"KeyError: there is nothing called {error}")
    try:
        return one_line(f"{type(error).__name__}: {error}".rstrip(": "))
    except BaseException:  # its text may raise anything in its turn
        return kind_of(error)


def one_line(thing: object) -> str:
    """The thing's text on one line that can be read at a glance."""
    text = " ".join("".join(sign if sign.isprintable() else " " for sign in str(thing)).split())
    return text if len(text) <= 80 else f"{text[:77]}..."


def kind_of(answer: object) -> str:
    """The type's name on one line, whatever somebody called it."""
    return one_line(type.__dict__["__name__"].__get__(type(answer)))[:40]  # the real name, not a claimed one


@contextmanager
def silence() -> Iterator[None]:
    """Nothing that an answer prints, displays or warns of reaches the page."""
    with (
        open(os.devnull, "w", encoding="utf-8", errors="ignore") as nowhere,
        redirect_stdout(nowhere),
        redirect_stderr(nowhere),
        capture_output(stdout=False, stderr=False),  # what is displayed
        warnings.catch_warnings(),
        np.errstate(all="ignore"),
    ):
        warnings.simplefilter("ignore")
        yield
