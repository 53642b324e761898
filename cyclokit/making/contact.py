"""How far a rigid body of parts can be shifted or turned before it meets others: layer by layer, with Shapely.

Curves are polygons within 2 micrometres; bodies meet where what they share is deeper than 10 micrometres.
"""

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from typing import Annotated, Any

import numpy as np
import shapely

from cyclokit.arguments import checked_kind
from cyclokit.making.loops import At
from cyclokit.making.shapes import Part, Slab, checked_parts, plane
from cyclokit.signatures import Length, read

TOLERANCE = 2e-3  # mm, of the polygons
DEEP = 1e-2  # mm: what is shared less deep than that is left over from polygons, and counts as touching
FARTHEST = 1.0  # mm: what is farther away holds nothing
FIRST = 2**6  # part of the way that is tried first; then twice as far, and so on
STEPS = 8  # of halving then: 2 micrometres
EVEN = 1e-6  # mm: heights that differ by less are one
AXES = {"+x": (1.0, 0.0), "-x": (-1.0, 0.0), "+y": (0.0, 1.0), "-y": (0.0, -1.0)}
Names = Annotated[frozenset[str], partial(checked_kind, kind=frozenset, remedy="give a frozenset of texts")]


@dataclass(frozen=True, eq=False)
class Layer:
    """One slab of a part as an area of Shapely's, from a height to a height [mm].

    Its core is what is left of the area where half of `DEEP` is taken off all round.
    """

    part: str
    area: Any
    core: Any
    bottom: float
    top: float

    def beside(self, other: "Layer") -> bool:
        """Whether the two share some height."""
        return min(self.top, other.top) - max(self.bottom, other.bottom) > EVEN


@lru_cache(maxsize=20_000)
def _area(slab: Slab) -> Any:
    return _prepared(plane(slab, TOLERANCE))


@lru_cache(maxsize=20_000)
def _core(slab: Slab) -> Any:
    return _prepared(_area(slab).buffer(-DEEP / 2, quad_segs=2))


def _prepared(area: Any) -> Any:
    """The same area, which from now on tells faster what meets it."""
    shapely.prepare(area)
    return area


@read
def layers(parts: Iterable[Part]) -> list[Layer]:
    """All slabs of some parts."""
    return [
        Layer(part.name, _area(slab), _core(slab), slab.bottom, slab.top)
        for part in checked_parts(parts)
        for slab in part.slabs
    ]


@read
def by_part(parts: Iterable[Part]) -> dict[str, list[Layer]]:
    """The same, those of each part by its name."""
    found: dict[str, list[Layer]] = {}
    for layer in layers(parts):
        found.setdefault(layer.part, []).append(layer)
    return found


@read
def deep(first: Layer, second: Layer) -> bool:
    """Whether the areas of two layers share more than a line of touch: a circle as wide as `DEEP` lies in both.

    Its middle lies in the core of each, and such a point is all it takes. So nothing needs to be cut out (derived).
    """
    return bool(second.core.intersects(first.core))


class Around:
    """Layers in a tree, so that those near to an area are found fast."""

    def __init__(self, every: list[Layer]) -> None:
        self.every = every
        self.tree = shapely.STRtree([layer.area for layer in every])
        self._beside: dict[Layer, list[Layer]] = {}  # is asked for again in every direction

    def near(self, area: Any, reach: float) -> Iterator[Layer]:
        """Layers whose boxes come that near to an area's [mm]."""
        low_x, low_y, high_x, high_y = area.bounds
        box = shapely.box(low_x - reach, low_y - reach, high_x + reach, high_y + reach)
        for number in sorted(self.tree.query(box).tolist()):
            yield self.every[number]

    def beside(self, layer: Layer) -> list[Layer]:
        """Layers at a height of this one that are no farther from it than what holds something."""
        if layer not in self._beside:
            near = (other for other in self.near(layer.area, FARTHEST) if layer.beside(other))
            self._beside[layer] = [other for other in near if layer.area.dwithin(other.area, FARTHEST)]
        return self._beside[layer]


@read
def overlaps(parts: Iterable[Part]) -> list[tuple[str, str]]:
    """Pairs of parts that share some room, by their names, each once, in the order of the parts.

    Faces that touch, and cylinders of one size in each other, share none.
    """
    every = Around(layers(parts))
    found: dict[tuple[str, str], None] = {}
    place = {layer.part: number for number, layer in enumerate(every.every)}
    for layer in every.every:
        for other in every.near(layer.area, 0.0):
            pair = (layer.part, other.part)
            new = place[pair[0]] < place[pair[1]] and pair not in found
            if new and layer.beside(other) and deep(layer, other):
                found[pair] = None
    return list(found)


@read
def gaps_along(body: list[Layer], others: Around, up: bool, names: Names) -> dict[str, float]:
    """How far a body's layers go up, or down, before they meet each other part: its name -> way [mm].

    Parts that are named move along and are left out, and those that aren't met.
    """
    found: dict[str, float] = {}
    for layer in body:
        for other in others.near(layer.area, 0.0):
            way = other.bottom - layer.top if up else layer.bottom - other.top
            if other.part in names or way < -EVEN or way >= found.get(other.part, math.inf):
                continue
            if deep(layer, other):
                found[other.part] = max(way, 0.0)
    return found


@read
def gaps_beside(
    body: list[Layer], others: Around, move: Callable[[Any, float], Any], names: Names, most: Length
) -> dict[str, float]:
    """The same in the plane, shifted or turned: how far, at most, in what `move` is asked for to move an area.

    What counts as touching is less than was gone.
    """
    there = cache(lambda number, much: move(body[number].core, much))  # the same ways are tried for every part
    pairs: dict[str, list[tuple[int, Any]]] = {}
    for number, layer in enumerate(body):
        for other in others.beside(layer):
            if other.part not in names:
                pairs.setdefault(other.part, []).append((number, other.core))
    met = {part: _first_touch(some, there, most) for part, some in pairs.items()}
    return {part: how_far for part, how_far in met.items() if how_far is not None}


def _first_touch(pairs: list[tuple[int, Any]], there: Callable[[int, float], Any], most: float) -> float | None:
    """How far the body's layers of the pairs go until one meets its core; None if none does."""

    def _meets(much: float) -> bool:
        return any(core.intersects(there(number, much)) for number, core in pairs)

    low, high = 0.0, most / FIRST
    while not _meets(high):
        if high >= most:
            return None
        low, high = high, 2 * high
    for _ in range(STEPS):
        middle = (low + high) / 2
        low, high = (low, middle) if _meets(middle) else (middle, high)
    return low


@read
def shifted(along: At) -> Callable[[Any, float], Any]:
    """A way to move areas: along a direction."""
    way = np.array(along)
    return lambda area, much: shapely.transform(area, lambda points: points + much * way)


@read
def turned(centre: At) -> Callable[[Any, float], Any]:
    """A way to move areas: turned about a centre [rad]."""
    from shapely import affinity

    return lambda area, much: affinity.rotate(area, much, origin=centre, use_radians=True)
