"""What a check came to: limits with value, bound and margin, and whether they forbid the drive."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import checked_kind, numbers
from cyclokit.drive import Drive
from cyclokit.texts import in_table

SLACK = 1e-9  # mm, or of a ratio: two lengths that are meant to be equal differ by their rounding


def within(value: ArrayLike, bound: ArrayLike, strict: bool) -> np.ndarray:
    """Whether values keep their bounds, for arrays that broadcast: the one comparison that reports and searches share.

    Strictly they must stay below. Otherwise they may be equal, give or take 1e-9 for rounding. NaN keeps no bound.

    Raises
    ------
    TypeError, ValueError
        If `value` or `bound` is not made of real numbers, or `strict` is no bool.

    Examples
    --------
    >>> within(3.0 - 1.8, [1.2, 1.1], strict=False).tolist()
    [True, False]
    """
    checked_kind("strict", strict, bool)
    had, most = numbers("value", value), numbers("bound", bound)
    return np.less(had, most) if strict else np.less_equal(had, np.add(most, SLACK))


@dataclass(frozen=True)
class Limit:
    """One limit of a drive: `value` must stay below `bound`, or must not pass it.

    A physical limit decides whether the drive is sound. The others advise: a rule of thumb, or what a workshop
    can make. A limit without a bound, an infinite one, is a figure to know: nothing is judged by it.

    Attributes
    ----------
    name : str
        Short name.
    value, bound : float
        What the drive has (or a workshop asks for), and what that must stay below; infinite for a figure to know.
    unit : str
        "mm", "rad", or "" for a ratio.
    physical : bool
        Whether it decides if the drive is sound; advice doesn't.
    strict : bool
        Whether the value must stay below the bound; otherwise it may equal it.
    meaning, trouble, remedy : str
        What is compared; what goes wrong beyond the bound; which number to change.

    Examples
    --------
    >>> limit = Limit("wall", 1.25, 2.0, "mm", False, False, "least wall", "It breaks.", "Choose more.")
    >>> limit.margin, limit.ok
    (0.75, True)
    """

    name: str
    value: float
    bound: float
    unit: str
    physical: bool
    strict: bool
    meaning: str
    trouble: str
    remedy: str

    @property
    def margin(self) -> float:
        """The room between value and bound, below 0 beyond it."""
        return self.bound - self.value

    @property
    def ok(self) -> bool:
        """Whether the value keeps its bound."""
        return bool(within(self.value, self.bound, self.strict))


@dataclass(frozen=True, repr=False)
class Report:
    """All limits of a drive, or of what is built on it, in the order in which they are judged.

    Attributes
    ----------
    drive : Drive
        The drive.
    limits : tuple of Limit
        The limits.
    words : tuple of str
        What is said after the drive where every physical limit is kept, and where one isn't.
    captions : tuple of str
        The same, as the caption of a notebook's table.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> limit = Limit("loop", 0.5, 1.0, "", True, True, "trochoid ratio", "It loops.", "Choose fewer pins.")
    >>> report = Report(story, (limit,))
    >>> report.sound, report["loop"].margin
    (True, 0.5)
    """

    drive: Drive
    limits: tuple[Limit, ...]
    words: tuple[str, str] = ("sound", "not sound")
    captions: tuple[str, str] = ("The shape of this drive is sound", "The shape of this drive is not sound")

    @property
    def sound(self) -> bool:
        """Whether every physical limit is kept; nothing else was judged."""
        return all(limit.ok for limit in self.limits if limit.physical)

    def __iter__(self) -> Iterator[Limit]:
        return iter(self.limits)

    def __getitem__(self, name: str) -> Limit:
        for limit in self.limits:
            if limit.name == name:
                return limit
        names = ", ".join(limit.name for limit in self.limits)
        raise KeyError(f"{name!r} is not a limit; the limits are: {names}")

    def __repr__(self) -> str:
        lines = [f"{self.drive!r}: {self.words[not self.sound]}"]
        lines += [f"  {_row(limit)}" for limit in self.limits]
        lines += [f"  {limit.trouble} {limit.remedy}" for limit in self.limits if not limit.ok]
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        columns = ("limit", "what is compared", "value", "bound", "margin", "ok?")
        rows = ((_name(limit), limit.meaning, *_numbers(limit), _answer(limit)) for limit in self.limits)
        return in_table(self.captions[not self.sound], columns, rows, left=(1, 5))


def _row(limit: Limit) -> str:
    if _is_figure(limit):
        return f"    {_name(limit)}: {limit.value:.4f} {limit.unit}".rstrip()
    mark = "ok" if limit.ok else "NO" if limit.physical else "--"
    numbers = f"{limit.value:.4f} against {limit.bound:.4f}, margin {limit.margin:+.4f} {limit.unit}"
    return f"{mark}  {_name(limit)}: {numbers}".rstrip()


def _numbers(limit: Limit) -> tuple[str, str, str]:
    """Cells of a notebook's table: value, bound and margin."""
    if _is_figure(limit):
        return f"{limit.value:.4f} {limit.unit}", "", ""
    return f"{limit.value:.4f}", f"{limit.bound:.4f}", f"{limit.margin:+.4f} {limit.unit}"


def _answer(limit: Limit) -> str:
    if _is_figure(limit):
        return "not judged"
    if limit.ok:
        return "ok"
    return f"{'no' if limit.physical else 'advice'}: {limit.trouble} {limit.remedy}"


def _name(limit: Limit) -> str:
    if _is_figure(limit):
        return f"{limit.name} (figure)"
    return limit.name if limit.physical else f"{limit.name} (advice)"


def _is_figure(limit: Limit) -> bool:
    return math.isinf(limit.bound)
