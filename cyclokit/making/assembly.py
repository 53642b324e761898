"""A bench machine judged as a whole: what overlaps, what holds each part and with how much play.

Parts that are pressed, screwed or built into each other move together as one body. Each body is shifted along x, y and
z and turned, until it meets a part of another one: that part holds it. Inside a body the joint holds.
"""

import heapq
import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely

from cyclokit.making import contact
from cyclokit.making.loops import Circle, Point
from cyclokit.making.shapes import Part, checked_parts
from cyclokit.signatures import read

DIRECTIONS = ("+x", "-x", "+y", "-y", "+z", "-z", "turning")
GROUND = "ring_plate"
TURNED = 10 * contact.FARTHEST  # mm that a body is turned at its farthest point
CLOSE = 0.01  # mm: parts that are joined touch
# part -> (to which part it is joined, how); {n} is the part's own number
JOINTS = {
    "motor": ("motor_plate", "screwed"),
    "motor_shaft": ("motor", "held by the motor's own bearings"),
    "motor_screw_{n}": ("motor", "screwed"),
    "motor_plate": (GROUND, "screwed"),
    "cover": (GROUND, "screwed"),
    "cover_screw_{n}": ("cover", "screwed"),
    "nut_{n}": ("cover_screw_{n}", "screwed"),
    "insert_{n}": ("cover_screw_{n}", "screwed"),
    "crank_bearing_lower_outer": ("motor_plate", "pressed"),
    "output_bearing_lower_outer": ("cover", "pressed"),
    "output_bearing_upper_outer": ("cover", "pressed"),
    "output_rod_{n}": ("flange", "pressed"),
    "output_collar_{n}": ("output_rod_{n}", "pressed"),
    "second_plate": ("output_rod_0", "pressed"),
    "crank_bearing_upper_outer": ("flange", "pressed"),
    "output_bearing_lower_inner": ("flange", "clamped"),
    "hub_spacer": ("output_bearing_lower_inner", "clamped"),
    "output_bearing_upper_inner": ("hub_spacer", "clamped"),
    "cap": ("output_bearing_upper_inner", "clamped"),
    "lever": ("cap", "screwed"),
    "cap_screw_{n}": ("flange", "screwed"),
    "crank_upper": ("crank", "screwed"),
    "crank_neck": ("crank", "clamped"),
    "crank_screw": ("crank_upper", "screwed"),
    "eccentric_bearing_{n}_outer": ("disc_{n}", "pressed"),
}
# part -> what the names of the screws begin with that hold it; a screw fills each of the holes round which they stand
SCREWS = {
    "motor": "motor_screw",
    "motor_plate": "cover_screw",
    "cover": "cover_screw",
    "cap": "cap_screw",
    "lever": "cap_screw",
    "crank_upper": "crank_screw",
}


@dataclass(frozen=True)
class Hold:
    """What holds a part in one direction.

    Attributes
    ----------
    part : str
        The part.
    direction : str
        "+x", "-x", "+y", "-y", "+z", "-z" or "turning", counter-clockwise about its body's own middle.
    by : str
        The neighbour through which it is held on the shortest way to the ring plate; empty where it turns freely, or
        where nothing holds it.
    play : float
        How far its body goes until it meets that neighbour [mm]; of turning, at the body's farthest point.
    in_all : float
        The plays of the whole way to the ring plate together [mm].
    how : str
        "stop" where it meets another body; how it is joined inside its own; "free" where it turns freely.
    """

    part: str
    direction: str
    by: str
    play: float
    in_all: float
    how: str


@read
def joint(name: str) -> tuple[str, str] | None:
    """To which part a part is joined, and how; None if it moves by itself."""
    for pattern, (to, how) in JOINTS.items():
        if found := re.fullmatch(pattern.replace("{n}", r"(?P<n>\d+)"), name):
            return to.format(**found.groupdict()), how
    return None


@read
def root(name: str) -> str:
    """The part to which a body's parts are joined in the end, after which the body is called."""
    while joined := joint(name):
        name = joined[0]
    return name


def bodies(parts: Iterable[Part]) -> dict[str, list[Part]]:
    """Parts that move together, by the name of their root."""
    found: dict[str, list[Part]] = {}
    for part in checked_parts(parts):
        found.setdefault(root(part.name), []).append(part)
    return found


def _middle(body: list[Part]) -> Point:
    """The middle about which a body turns: that of its root's first outside; the axis for lobed and square ones."""
    first = next((part.slabs[0].outside for part in body if part.name == root(part.name)), None)
    if first is None:
        raise ValueError(f"parts lack {root(body[0].name)}, to which others are joined: give all of a machine's.")
    return getattr(first, "centre", (0.0, 0.0))


def _is_round(body: list[Part]) -> bool:
    """Whether a body looks the same however it is turned about its middle."""
    loops = [loop for part in body for slab in part.slabs for loop in (slab.outside, *slab.cut)]
    circles = [loop for loop in loops if isinstance(loop, Circle)]
    if len(circles) < len(loops):
        return False
    centre = _middle(body)
    return all(math.dist(circle.centre, centre) < contact.EVEN for circle in circles)


def held(parts: tuple[Part, ...]) -> tuple[Hold, ...]:
    """What holds every part of a machine, as `solids.machine` gives them, in every direction, and with how much play.

    Seven a part, but for the ring plate, which stands on the bench with the feet of the motor's plate. A direction in
    which nothing holds a part has an empty `by`.
    """
    found = _Found(parts)
    for direction in DIRECTIONS[:-1]:
        gaps = {name: _gaps(found, name, direction) for name in found.bodies if name != GROUND}
        found.stops[direction] = _ways(gaps, found.body_of)
    found.stops["turning"] = _turns(found)
    return tuple(hold for part in parts if part.name != GROUND for hold in _holds(found, part.name))


Stop = tuple[str, float, float]  # by which part, the play to it, the play of the whole way
NOTHING: Stop = ("", math.inf, math.inf)


class _Found:
    """A machine's parts as bodies, and what was found to stop these: direction -> body -> stop."""

    def __init__(self, parts: tuple[Part, ...]) -> None:
        self.bodies = bodies(parts)
        self.body_of = {part.name: name for name, body in self.bodies.items() for part in body}
        self.layers = {name: contact.layers(body) for name, body in self.bodies.items()}
        self.round = {name for name, body in self.bodies.items() if _is_round(body)}
        self.every = contact.Around(contact.layers(parts))
        self.stops: dict[str, dict[str, Stop]] = {}

    def names(self, moving: Iterable[str]) -> frozenset[str]:
        """Names of the parts of some bodies."""
        return frozenset(part.name for name in moving for part in self.bodies[name])

    def way(self, name: str) -> list[str]:
        """The bodies through which a body is held sideways, down to the ring plate."""
        way = []
        while name in self.stops["+x"]:
            name = self.body_of[self.stops["+x"][name][0]]
            way.append(name)
        return way

    def owner(self, name: str) -> str:
        """The body without which a round one is free, such as the flange of a roller on its rod; another its own."""
        return next((body for body in (name, *self.way(name)) if body not in self.round), name)


def _holds(found: _Found, part: str) -> list[Hold]:
    """All holds of one part."""
    if joined := joint(part):
        return [Hold(part, direction, joined[0], 0.0, 0.0, joined[1]) for direction in DIRECTIONS]
    holds = [Hold(part, way, *found.stops[way].get(part, NOTHING), "stop") for way in DIRECTIONS]
    if part in found.round:
        holds[-1] = Hold(part, "turning", *NOTHING, "free")
    return holds


def _gaps(found: _Found, name: str, direction: str) -> dict[str, float]:
    """How far a body goes in a direction until it meets each part."""
    body, names = found.layers[name], found.names([name])
    if direction in ("+z", "-z"):
        return contact.gaps_along(body, found.every, direction == "+z", names)
    move = contact.shifted(contact.AXES[direction])
    met = contact.gaps_beside(body, found.every, move, names, contact.FARTHEST)
    return {part: max(0.0, gap - contact.DEEP) for part, gap in met.items()}


def _ways(gaps: dict[str, dict[str, float]], body_of: dict[str, str]) -> dict[str, Stop]:
    """The shortest way from each body to the ring plate: its first part, the play to this, and that of the whole way.

    A body that is pushed pushes what it meets, which must be held in the same direction in turn: the plays add up, as
    lengths of a way do. Of ways with the same play the one through fewer bodies is taken (Dijkstra's algorithm).
    """
    in_all: dict[str, tuple[float, int]] = {GROUND: (0.0, 0)}
    found: dict[str, Stop] = {}
    waiting = [((0.0, 0), GROUND)]
    touching: dict[str, list[tuple[str, str, float]]] = {}
    for name, met in gaps.items():
        for part, gap in met.items():
            touching.setdefault(body_of[part], []).append((name, part, gap))
    while waiting:
        (way, hops), holder = heapq.heappop(waiting)
        for name, part, gap in touching.get(holder, []):
            further = (round(way + gap, 4), hops + 1)  # else rounding decides between ways that are alike
            if further < in_all.get(name, (math.inf, 0)):
                in_all[name] = further
                found[name] = (part, gap, way + gap)
                heapq.heappush(waiting, (further, name))
    return found


def _turns(found: _Found) -> dict[str, Stop]:
    """What stops each body that isn't round when it is turned, with all that rides on it.

    What it meets belongs to the frame, or to another body that must be stopped in turn; not to one that is held
    sideways through the body itself, as a disc is through the crank: that one gives way.
    """
    turnable = [name for name in found.bodies if name not in found.round and name != GROUND]
    gaps: dict[str, dict[str, float]] = {}
    for name in turnable:
        riders = [other for other in found.round if found.owner(other) == name]
        layers = [layer for body in (name, *riders) for layer in found.layers[body]]
        move, far = contact.turned(_middle(found.bodies[name])), _reach(found.bodies[name])
        met = contact.gaps_beside(layers, found.every, move, found.names([name, *riders]), TURNED / far)
        gaps[name] = {
            part: gap * far for part, gap in met.items() if name not in found.way(found.owner(found.body_of[part]))
        }
    return _ways(gaps, {part: found.owner(body) for part, body in found.body_of.items()})


def _reach(body: list[Part]) -> float:
    """Distance of a body's farthest point from its middle [mm]."""
    centre = shapely.Point(_middle(body))
    return max(float(shapely.hausdorff_distance(layer.area, centre)) for layer in contact.layers(body))


@read
def unheld(holds: Sequence[Hold]) -> list[Hold]:
    """Holds that hold nothing: no part is met, and it isn't that something round turns freely."""
    return [hold for hold in holds if not hold.by and hold.how != "free"]


@read
def chains(holds: Sequence[Hold]) -> dict[tuple[str, str], list[str]]:
    """Part and direction -> the parts through which it is held, one after the other, at last by the ring plate."""
    by = {(hold.part, hold.direction): hold.by for hold in holds}
    return {key: _chain(by, *key) for key in by}


def _chain(by: dict[tuple[str, str], str], part: str, direction: str) -> list[str]:
    found: list[str] = []
    while (part := by.get((part, direction), "")) and part not in found:
        found.append(part)
        if direction == "turning" and (part, direction) in by and not by[part, direction]:
            direction = "+x"  # a roller that is pushed aside
    return found


def loose_joints(parts: Iterable[Part]) -> list[tuple[str, str]]:
    """Parts that are said to be joined and don't touch, or lack a screw or nut, by name; none in a sound machine."""
    every = checked_parts(parts)
    found, layers = [], contact.by_part(every)
    for name, mine in layers.items():
        joined = joint(name)
        if joined and not any(_touch(one, other) for one in mine for other in layers.get(joined[0], [])):
            found.append((name, joined[0]))
    found += [(part.name, SCREWS[part.name]) for part in every if part.name in SCREWS and _lacks(part, every)]
    held = {joined[0] for part in every if (joined := joint(part.name))}
    return found + [(name, "nut or insert") for name in layers if name.startswith("cover_screw") and name not in held]


def _lacks(part: Part, every: Iterable[Part]) -> bool:
    """Whether a part has none of its screws, or not one in each hole that is as far from the axis as theirs."""
    screws = [one.slabs[0].outside for one in every if one.name.startswith(SCREWS[part.name])]
    there = [getattr(outside, "centre", (0.0, 0.0)) for outside in screws]
    holes = [loop.centre for slab in part.slabs for loop in slab.cut if isinstance(loop, Circle)]
    theirs = [hole for hole in holes if any(abs(math.hypot(*hole) - math.hypot(*at)) < CLOSE for at in there)]
    return not there or any(all(math.dist(hole, at) > CLOSE for at in there) for hole in theirs)


def _touch(one: contact.Layer, other: contact.Layer) -> bool:
    """Whether two layers meet: side by side, or one on the other."""
    if one.beside(other):
        return bool(one.area.distance(other.area) < CLOSE)
    gap = max(one.bottom, other.bottom) - min(one.top, other.top)
    return gap < CLOSE and contact.deep(one, other)
