"""Whether a machine has room for its allowances: holes that are drawn wider, or outsides narrower, leave every wall.

An allowance makes up for what a printer does, so that the printed wall is the machine's own. What is drawn must be a
part all the same: its holes meet neither each other nor its edge, and none of them, nor its outside, is gone.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import Any

import shapely

from cyclokit.arguments import checked_kind
from cyclokit.machine.reducer import FIGURES, Reducer
from cyclokit.making import stacking
from cyclokit.making.shapes import Part, plane
from cyclokit.signatures import read

NAMES = tuple(name for name in FIGURES if "_allowance" in name)
STEP, SHARE_STEP = 0.01, 0.0001  # mm, in which is told for how much there is room
SLIVER = 0.02  # mm, of a wall: less is none, whatever rounds it
NO_ROOM = (
    "{name} is {value:g} mm, with which {part} loses a wall or a hole: this machine has room for {room}. Give "
    "that, or measure the test piece again."
)
TOGETHER = (
    "{names} are more together than this machine has room for: {part} loses a wall or a hole. Set all but one to 0, "
    "and measure the test piece again."
)
Draw = Callable[[Reducer], Iterable[Part]]
Whole = dict[str, bool]  # whether a part is one without any allowance, by its name


@read
def drawn(reducer: Reducer, draw: Draw) -> tuple[Part, ...]:
    """A reducer's parts as `draw` makes them, allowances included.

    A ValueError names an allowance for which the machine has no room, and for how much it has. What is no part without
    any allowance, an unsound reducer's, is no fault of theirs and is left.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> from cyclokit.making import solids
    >>> drawn(Reducer(Drive(20, 42.0, 5.0, 1.4), hole_allowance=0.1), solids.made)[0].name
    'disc'
    """
    stacking.allowances(reducer)  # or says why there are none
    given = [name for name in NAMES if getattr(reducer, name)]
    try:
        parts, error = _as_far(draw(reducer))
        whole = not error and (not given or all(map(_is_whole, parts)))
    except TypeError as wrong:
        raise TypeError("draw must be a function that takes a reducer and gives parts: give solids.made.") from wrong
    if whole:
        return parts
    plain_one = {part.name: _is_whole(part) for part in draw(stacking.exact(reducer))}
    if part := _broken(reducer, draw, plain_one):
        raise ValueError(_why(reducer, draw, plain_one, given, part)) from error
    return parts


def _as_far(parts: Iterable[Part]) -> tuple[tuple[Part, ...], ValueError | None]:
    """Parts up to one that can't be drawn, and why it can't."""
    found = []
    try:
        for part in parts:
            checked_kind("draw", part, Part)
            found.append(part)
    except ValueError as error:
        return tuple(found), error
    return tuple(found), None


def _broken(reducer: Reducer, draw: Draw, whole: Whole) -> str | None:
    """The name of the first part that is none with a reducer's allowances, and is one without any."""
    parts, error = _as_far(draw(reducer))
    if error:
        return list(whole)[len(parts)]
    return next((part.name for part in parts if whole[part.name] and not _is_whole(part)), None)


def _why(reducer: Reducer, draw: Draw, whole: Whole, given: list[str], part: str) -> str:
    """Which allowance is too much, the others being what they are, and how much isn't."""

    def _fits(name: str, value: float) -> bool:
        changed: dict[str, Any] = {name: value}
        return _broken(replace(reducer, **changed), draw, whole) is None

    for name in given:
        if _fits(name, 0.0):
            value = getattr(reducer, name)
            room = _room(value, SHARE_STEP if name.endswith("_share") else STEP, partial(_fits, name))
            side = "no more" if value > 0 else "no less"
            return NO_ROOM.format(name=name, value=value, part=part, room=f"{room:g} mm, {side}")
    names = " and ".join(f"{name} {getattr(reducer, name):g} mm" for name in given)
    return TOGETHER.format(names=names, part=part)


def _room(value: float, step: float, fits: Callable[[float], bool]) -> float:
    """The most that fits, in whole steps from 0, which does, towards a value, which doesn't."""
    near, far = 0, math.ceil(abs(value) / step)

    def _at(steps: int) -> float:
        return math.copysign(round(steps * step, 6), value) if steps else 0.0

    while far - near > 1:
        middle = (near + far) // 2
        near, far = (middle, far) if fits(_at(middle)) else (near, middle)
    return _at(near)


def _is_whole(part: Part) -> bool:
    """Whether every slab of a part is a plate with holes, and walls beside them."""
    try:
        return all(map(_has_walls, map(plane, part.slabs)))
    except ValueError:
        return False


def _has_walls(whole: shapely.Geometry) -> bool:
    """Whether a plate stays in one piece, with as many holes, where all of its edges are moved in."""
    inner = whole.buffer(-SLIVER / 2, quad_segs=1, join_style="mitre")
    return inner.geom_type == "Polygon" and len(inner.interiors) == len(whole.interiors)
