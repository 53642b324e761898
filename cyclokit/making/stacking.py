"""How a printed part is drawn: piece on piece, what is cut out of it, and the printer's allowances in every radius."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Annotated, Any

from cyclokit.machine.hardware import Screw
from cyclokit.machine.layout import LEAD_IN
from cyclokit.machine.reducer import FIGURES, Reducer
from cyclokit.making.loops import At, Circle, Loop
from cyclokit.making.shapes import Part, Slab
from cyclokit.signatures import Length, read
from cyclokit.texts import shown


@dataclass(frozen=True)
class Allowances:
    """What is added to and taken from sizes because of what the printer does; a reducer's figures of that name.

    Attributes
    ----------
    hole, outline : float
        Added to a hole's radius, taken from an outside's [mm].
    hole_share, outline_share : float
        The same for each mm of the diameter.
    fit : float
        Added to the radius of the seat of a bearing or a rod besides [mm].
    depth : float
        Added to a recess's depth [mm].
    threads : bool
        Whether a hole in which a screw cuts its own thread is as narrow as that needs, not as wide as the screw.
    """

    hole: float = 0.0
    hole_share: float = 0.0
    outline: float = 0.0
    outline_share: float = 0.0
    fit: float = 0.0
    depth: float = 0.0
    threads: bool = False

    def bored(self, radius: float) -> float:
        """The radius with which a hole is drawn [mm]."""
        return radius + self.hole + 2 * radius * self.hole_share

    def turned(self, radius: float) -> float:
        """The radius with which an outside is drawn [mm]."""
        return radius - self.outline - 2 * radius * self.outline_share

    def seat(self, radius: float) -> float:
        """The radius with which the seat of a bearing or a rod is drawn [mm]."""
        return self.bored(radius) + self.fit

    def threaded(self, screw: Screw) -> float:
        """The radius with which a hole is drawn in which a screw cuts its own thread [mm]."""
        return self.bored((screw.core_diameter if self.threads else screw.diameter) / 2)


@read
def allowances(reducer: Reducer) -> Allowances:
    """A reducer's allowances; ValueError where recesses that are drawn deeper would meet back to back."""
    if 2 * reducer.depth_allowance >= reducer.least_wall:
        raise ValueError(
            f"depth_allowance is {reducer.depth_allowance:g} mm, which leaves nothing of a wall of "
            f"{reducer.least_wall:g} mm between two recesses: choose less than half of that."
        )
    return Allowances(
        reducer.hole_allowance,
        reducer.hole_allowance_share,
        reducer.outline_allowance,
        reducer.outline_allowance_share,
        reducer.fit_allowance,
        reducer.depth_allowance,
        threads=True,
    )


@read
def exact(reducer: Reducer) -> Reducer:
    """A reducer without any allowance; its clearances are as they were."""
    none: dict[str, Any] = dict.fromkeys((name for name in FIGURES if "_allowance" in name), 0.0)
    return replace(reducer, **none)


NONE = Allowances()
Piece = tuple[Loop, float, float]  # a loop from one height to another [mm]


def _checked_pieces(name: str, value: object) -> None:
    """Refuse what is no sequence of loops with two heights each, by the argument's name."""
    rows = value if isinstance(value, list | tuple) else [value]
    for row in rows:
        if not (isinstance(row, tuple) and len(row) == 3 and isinstance(row[0], Loop)):
            raise TypeError(f"{name} has {shown(row)}, but each must be a loop and two heights: give a list of those.")


Pieces = Annotated[Sequence[Piece], _checked_pieces]


@read
def stacked(name: str, solids: Pieces, cuts: Pieces, material: str) -> Part:
    """A part from what it is made of, piece on piece, and what is cut out of that; pieces at one height don't meet."""
    if not solids:
        raise ValueError("solids is empty, but a part is made of one piece or more: give loops and their heights.")
    levels = sorted({round(z, 9) for _, bottom, top in (*solids, *cuts) for z in (bottom, top)})
    slabs = []
    for low, high in pairwise(levels):
        middle = (low + high) / 2
        outside = [loop for loop, bottom, top in solids if bottom < middle < top]
        holes = tuple(loop for loop, bottom, top in cuts if bottom < middle < top)
        if outside:
            slabs.append(Slab(outside[0], holes, low, high))
    return Part(name, tuple(slabs), material)


@read
def bored(
    radius: Length, bottom: float, top: float, centre: At = (0.0, 0.0), *, below: bool = False, above: bool = False
) -> list[Piece]:
    """A round hole with a step for a lead-in where it is open below or above [mm]."""
    low, high = bottom + LEAD_IN * below, top - LEAD_IN * above
    pieces: list[Piece] = [(Circle(radius, centre), low, high)]
    if below:
        pieces.append((Circle(radius + LEAD_IN, centre), bottom, low))
    if above:
        pieces.append((Circle(radius + LEAD_IN, centre), high, top))
    return pieces
