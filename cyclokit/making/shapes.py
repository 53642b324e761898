"""Parts as stacks of slabs: plates with holes, whose edges are loops with their true curves.

A part is what it is before anybody chose a file format: each writer takes from it the circle, the curve or as many
corners as its format can hold. All lengths in mm, all angles in rad, counter-clockwise.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated

import shapely

from cyclokit.arguments import checked_kind, checked_number
from cyclokit.making.loops import Loop, area, corners_of, moved, turned_over
from cyclokit.signatures import FARTHEST, Length, read
from cyclokit.texts import shown

NAME = re.compile("[A-Za-z0-9_]{1,100}")  # of a part


def _checked_step(name: str, value: object) -> None:
    """Refuse what is no tuple of x, y and z [mm], by the argument's name."""
    if not isinstance(value, tuple) or len(value) != 3:
        raise TypeError(f"{name} must be a tuple of x, y and z in mm, not {shown(value)}: give (0.0, 0.0, 1.0), say.")
    for number in value:
        checked_number(name, number, -FARTHEST, FARTHEST)


Step = Annotated[tuple[float, float, float], _checked_step]


def _checked_loop(name: str, value: object) -> None:
    """Refuse what is neither a Circle, nor Lobes, nor a Polyline, by the argument's name."""
    if not isinstance(value, Loop):
        raise TypeError(f"{name} must be a Circle, Lobes or a Polyline, not a {type(value).__name__}: make one.")


@dataclass(frozen=True)
class Slab:
    """A plate with holes, from one height to another.

    Attributes
    ----------
    outside : Circle, Lobes or Polyline
        Its edge.
    holes : tuple of Circle, Lobes or Polyline
        What is cut out; they don't meet each other or the edge.
    bottom, top : float
        Heights z [mm].
    marks : tuple of Circle, Lobes or Polyline
        Holes that only tell how the part goes in: witness marks.
    """

    outside: Loop
    holes: tuple[Loop, ...]
    bottom: float
    top: float
    marks: tuple[Loop, ...] = ()

    def __post_init__(self) -> None:
        _checked_loop("outside", self.outside)
        for name in ("holes", "marks"):
            checked_kind(name, getattr(self, name), tuple, "give a tuple of loops")
            for loop in getattr(self, name):
                _checked_loop(name, loop)
        for name in ("bottom", "top"):
            checked_number(name, getattr(self, name), -FARTHEST, FARTHEST)
        if not self.bottom < self.top:
            raise ValueError(f"bottom is {self.bottom} mm and top {self.top}: the top must be higher. Swap them.")

    @property
    def cut(self) -> tuple[Loop, ...]:
        """All that is cut out: holes and marks."""
        return (*self.holes, *self.marks)

    @property
    def area(self) -> float:
        """Area of the plate, what is cut out taken away [mm^2]."""
        return abs(area(self.outside)) - sum(abs(area(loop)) for loop in self.cut)

    @property
    def volume(self) -> float:
        """Its volume [mm^3]."""
        return self.area * (self.top - self.bottom)


@dataclass(frozen=True)
class Part:
    """One part of a machine, where it is in the machine when the crank is at 0.

    Attributes
    ----------
    name : str
        Its name: letters of the alphabet, digits and underscores, so that a file can have it.
    slabs : tuple of Slab
        What it is, from the bottom up; slabs that touch are one piece.
    material : str
        What it is made of.
    bought : bool
        Whether it is bought rather than made.
    """

    name: str
    slabs: tuple[Slab, ...]
    material: str
    bought: bool = False

    def __post_init__(self) -> None:
        for name in ("name", "material"):
            checked_kind(name, getattr(self, name), str, "give a text")
        if not NAME.fullmatch(self.name):
            raise ValueError(
                f"name is {shown(self.name)}, but files are called so: give letters from a to z, digits and "
                "underscores, 100 at most."
            )
        checked_kind("slabs", self.slabs, tuple, "give a tuple of Slab")
        for slab in self.slabs:
            checked_kind("slabs", slab, Slab, "give a tuple of Slab")
        if not self.slabs:
            raise ValueError("slabs is empty, but a part has one or more: give a tuple of Slab.")
        checked_kind("bought", self.bought, bool, "give True or False")

    @property
    def volume(self) -> float:
        """Its volume [mm^3], of the true curves."""
        return sum(slab.volume for slab in self.slabs)

    @property
    def bottom(self) -> float:
        """Its lowest height [mm]."""
        return min(slab.bottom for slab in self.slabs)

    @property
    def top(self) -> float:
        """Its greatest height [mm]."""
        return max(slab.top for slab in self.slabs)


def checked_parts(parts: object) -> tuple[Part, ...]:
    """Some parts as a tuple; anything else is refused in words."""
    if not isinstance(parts, tuple | list) or not parts:
        raise TypeError(f"parts must be a tuple of Part, not {shown(parts)}: give what solids.machine gives.")
    for part in parts:
        checked_kind("parts", part, Part, "give what solids.machine gives")
    return tuple(parts)


@read
def part_moved(part: Part, turn: float = 0.0, by: Step = (0.0, 0.0, 0.0)) -> Part:
    """A part turned about the axis through (0, 0) [rad], then moved along x, y and z [mm]."""
    x, y, z = by

    def _there(slab: Slab) -> Slab:
        outside, holes, marks = _each(slab, lambda loop: moved(loop, turn, (x, y)))
        return Slab(outside, holes, slab.bottom + z, slab.top + z, marks)

    return replace(part, slabs=tuple(map(_there, part.slabs)))


@read
def part_turned_over(part: Part) -> Part:
    """A part upside down: turned over about the x axis, and lifted so that it stands on z = 0."""
    height = part.top

    def _over(slab: Slab) -> Slab:
        outside, holes, marks = _each(slab, turned_over)
        return Slab(outside, holes, height - slab.top, height - slab.bottom, marks)

    return replace(part, slabs=tuple(map(_over, reversed(part.slabs))))


def _each(slab: Slab, change: Callable[[Loop], Loop]) -> tuple[Loop, tuple[Loop, ...], tuple[Loop, ...]]:
    """A slab's outside, holes and marks, each loop changed."""
    return change(slab.outside), tuple(map(change, slab.holes)), tuple(map(change, slab.marks))


@read
def plane(slab: Slab, tolerance: Length = 1e-3) -> shapely.Geometry:
    """A slab as a polygon of Shapely's, its corners on the true curves, its edges within a tolerance of them [mm].

    A ValueError says where its holes meet each other or the edge, or a loop crosses itself.
    """
    found = shapely.Polygon(corners_of(slab.outside, tolerance), [corners_of(loop, tolerance) for loop in slab.cut])
    if not found.is_valid:
        why = shapely.is_valid_reason(found)
        raise ValueError(f"slab is no plate with holes ({why}): move or shrink what meets there.")
    return found


@read
def at_height(part: Part, z: float, tolerance: Length = 1e-3) -> shapely.Geometry:
    """What a plane at a height z cuts out of a part [mm]; on a slab's own face it meets nothing of that slab."""
    return shapely.union_all([plane(slab, tolerance) for slab in part.slabs if slab.bottom < z < slab.top])
