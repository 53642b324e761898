"""One figure of a machine, declared once: its kind, what is allowed, its default and what it means.

A frozen dataclass whose fields are made by `declare` reads, chooses, documents and lists its figures from that.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Any

from cyclokit.arguments import checked_choice, checked_count, checked_length, checked_number
from cyclokit.machine.stock import BEARINGS, Bearing
from cyclokit.signatures import read
from cyclokit.texts import shown

CHOSEN: Any = None  # stands for a figure that is chosen to suit the others
BELOW_ONE = math.nextafter(1.0, 0.0)
READERS: dict[str, Callable[[str, Any, tuple], Any]] = {
    "length": lambda name, value, allowed: checked_length(name, value),
    "count": lambda name, value, allowed: checked_count(name, value, *allowed),
    "number": lambda name, value, allowed: checked_number(name, value, *allowed),
    "choice": checked_choice,
    "bearing": lambda name, value, allowed: (
        value if isinstance(value, Bearing) else BEARINGS[checked_choice(name, value, allowed)]
    ),
}
TYPES = {"length": "float", "count": "int", "number": "float", "choice": "str", "bearing": "Bearing or str"}


@dataclass(frozen=True)
class Figure:
    """What is declared of one figure.

    Attributes
    ----------
    kind : str
        "length", "count", "number", "choice" or "bearing".
    meaning : str
        What it is, with its unit.
    allowed : tuple
        The least and the greatest of a count or a number; the words of a choice; a bearing's designations.
    choose : callable or None
        Gives the default from the machine whose figures above it are set already; None if the default is fixed.

    Examples
    --------
    >>> wall = Figure("length", "Wall [mm].", (), None)
    >>> wall.read("wall", 2)
    2.0
    """

    kind: str
    meaning: str
    allowed: tuple
    choose: Callable[[Any], Any] | None

    def read(self, name: str, value: Any) -> Any:
        """The value as it is stored, if it is of the right kind and in its range."""
        return READERS[self.kind](name, value, self.allowed)


@read
def declare(
    kind: str,
    meaning: str,
    default: Any = CHOSEN,
    *,
    allowed: tuple = (),
    choose: Callable[[Any], Any] | None = None,
) -> Any:
    """A dataclass field that carries its `Figure`, with a fixed default or a way to choose one.

    Parameters
    ----------
    kind, meaning : str
        As `Figure` has them.
    default : object
        The fixed default.
    allowed : tuple
        As `Figure` has it; a bearing's designations are always those of the table.
    choose : callable or None
        As `Figure` has it.

    Returns
    -------
    Field
        For the body of a dataclass.

    Examples
    --------
    >>> @dataclass(frozen=True)
    ... class Box:
    ...     wall: float = declare("length", "Wall [mm].", 2.0)
    >>> Box().wall
    2.0
    """
    checked_choice("kind", kind, tuple(READERS))
    if kind == "bearing":
        allowed = tuple(BEARINGS)
    return field(default=default, metadata={"figure": Figure(kind, meaning, allowed, choose)})


def figures_of(kind_of_machine: Any) -> dict[str, Figure]:
    """The declared figures of a dataclass by their names, in order.

    Examples
    --------
    >>> from cyclokit.machine.reducer import Reducer
    >>> figures_of(Reducer)["discs"].allowed
    (1, 3)
    """
    if not is_dataclass(kind_of_machine):
        raise TypeError(f"kind_of_machine must be a dataclass, not {shown(kind_of_machine)}: give such a class.")
    return {one.name: one.metadata["figure"] for one in fields(kind_of_machine) if "figure" in one.metadata}


def attributes(kind_of_machine: Any) -> str:
    """The figures as numpydoc's attributes, for the class's docstring.

    Examples
    --------
    >>> from cyclokit.machine.reducer import Reducer
    >>> attributes(Reducer).strip().splitlines()[0]
    'discs : int, default 2'
    """
    figures, lines = figures_of(kind_of_machine), []
    defaults = {one.name: one.default for one in fields(kind_of_machine)}
    for name, figure in figures.items():
        chosen = figure.choose is not None
        lines.append(f"    {name} : {TYPES[figure.kind]}, {'chosen' if chosen else f'default {defaults[name]!r}'}")
        lines.append(f"        {figure.meaning}{_range(figure)}")
    return "\n".join(lines) + "\n"


def _range(figure: Figure) -> str:
    if figure.kind in ("count", "number"):
        least, most = figure.allowed
        return f" From {least:g} to {'below 1' if most == BELOW_ONE else f'{most:g}'}."
    return f" One of {', '.join(map(repr, figure.allowed))}." if figure.kind == "choice" else ""
