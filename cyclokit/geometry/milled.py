"""The disc that rollers leave of a round blank, exactly: which of them touch it, and its edge.

Where `sweep` looks along rays, here the curve itself is followed. Seen from a disc with M lobes a pin
that the crank has passed by the angle f (its *phase*: the crank's angle less the pin's) is at

    z(f) = (Rp - e exp(i f)) exp(i f (N - M)/M),

turned by whole lobe pitches, whichever pin it is. Its roller can touch the disc only one roller radius
beside z, square to z', and does so where no roller at any other time comes nearer to that place than its
radius. Those phases are whole stretches, the same before as after phase 0. A stretch ends where two curves
beside z cross, in a corner of the disc: two equations for two phases, solved to rounding.

The number M of `lobes` for which the disc is made to turn is 1 to 10 000, N - 1 if left out.
What is milled off from the middle, so that it would fall out, is no part of the disc. Derived here; the
tests hold it against polygons and against the sweep.
"""

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import optimize, spatial

from cyclokit.arguments import Floats, angles, checked_count, checked_kind, checked_number
from cyclokit.drive import MOST_PINS, Drive

Complexes = NDArray[np.complex128]  # points of the plane, x + i y
Phases = Floats | float
Stretch = tuple[int, float, float]  # side of the path (1 left, -1 right), first and last phase [rad]
End = tuple[int, float]  # side and phase
Guess = tuple[float, float, int]  # a corner's phases on two paths, and the lobe pitches between these

STEPS = 3600  # from phase 0 to pi: a contact, or a loss, that lasts less than 0.05 degrees can be missed
FINEST, COARSEST = 1e-7, 1e3  # mm
NEAR = 0.02  # rad: of tails shorter than that rounding hides the corner; the guess at it is right to 1e-5 rad there
SMALL = 0.2  # rad: of longer tails that guess is too far off to find the corner from
SLACK = 1e-9  # rad of phase, for rounding: a roller just at a corner touches


def touches(drive: Drive, crank: ArrayLike, lobes: int | None = None) -> NDArray[np.bool_]:
    """Which rollers touch the disc that they have milled, whatever its number of lobes; shape of `crank` + (N,).

    `crank` is crank angles [rad] of any shape, `lobes` as for `edge`.

    Raises
    ------
    ValueError
        If nothing is left of the disc, or the pins' paths have cusps: the trochoid ratio is |N - M| exactly.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> story = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
    >>> [int(touches(story, 0.1, lobes).sum()) for lobes in (18, 19, 20, 21)]
    [10, 20, 11, 8]
    """
    stretches, crank = contact_phases(drive, lobes), angles("crank", crank)
    phase = crank[..., None] - 2 * np.pi * np.arange(drive.pins) / drive.pins
    phase = np.abs((phase + np.pi) % (2 * np.pi) - np.pi)
    found = np.zeros(phase.shape, dtype=bool)
    for first, last in stretches:
        found |= (phase >= first - SLACK) & (phase <= last + SLACK)
    return found


def contact_phases(drive: Drive, lobes: int | None = None) -> Floats:
    """At which crank angles a pin's roller touches the disc, counted from where the crank points at the pin.

    First and last angle of each stretch of contact [rad], shape (n, 2), 0 to pi; as far before as after. `lobes` is as
    for `edge`.

    Raises
    ------
    ValueError
        If nothing is left of the disc, or the pins' paths have cusps: the trochoid ratio is |N - M| exactly.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> contact_phases(story).round(4).tolist()  # rad: all the way round
    [[0.0, 3.1416]]
    >>> contact_phases(story, 18).round(3).tolist()  # of a disc that turns as if it had 18 lobes
    [[0.0, 1.521]]
    """
    lobes = _lobes(drive, lobes)
    return np.array([(first, last) for _, first, last in _stretches(drive, lobes)])


def edge(drive: Drive, lobes: int | None = None, tolerance: float = 1e-3) -> Floats:
    """The milled disc's edge as a polygon that has all of its corners.

    Parameters
    ----------
    drive, lobes : Drive, int
        The drive, and the number M of lobes, 1 to 10 000; N - 1 if left out.
    tolerance : float
        Farthest that a chord may depart from its arc [mm], 1e-7 to 1e3. What is left of the blank's rim, if
        anything, is drawn as one straight line between two corners.

    Returns
    -------
    ndarray
        x and y [mm] in the disc's frame, (m, 2); the last point is the first.

    Raises
    ------
    ValueError
        If nothing is left of the disc, or the pins' paths have cusps: the trochoid ratio is |N - M| exactly.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> radii = np.hypot(*edge(story).T)
    >>> [float(round(radius, 3)) for radius in (radii.min(), radii.max())]  # mm: roots and tips
    [35.601, 38.4]
    """
    lobes, tolerance = _lobes(drive, lobes), checked_number("tolerance", tolerance, FINEST, COARSEST)
    pieces = []
    for side, first, last in _stretches(drive, lobes):
        ends = [(-last, last)] if first == 0 else [(first, 2 * np.pi - first)] if last == np.pi else []
        for start, end in ends or [(first, last), (-last, -first)]:
            piece = _beside(drive, lobes, _chords(drive, lobes, np.linspace(start, end, 20_001), side, tolerance), side)
            forwards = (piece[:-1].conj() * piece[1:]).imag.sum() > 0
            pieces.append(piece if forwards else piece[::-1])
    lobe_pitches = np.exp(2j * np.pi / lobes * np.arange(lobes))
    around = [piece * turn for piece in pieces for turn in lobe_pitches]
    around.sort(key=lambda piece: np.angle(piece[0] + piece[-1]))
    points = np.concatenate(around)
    points = points[np.abs(points - np.roll(points, 1)) > 1e-9 * drive.pin_circle_radius]  # pieces meet in corners
    points = np.append(points, points[0])
    return np.stack([points.real, points.imag], axis=-1)


def _lobes(drive: Drive, lobes: int | None) -> int:
    checked_kind("drive", drive, Drive)
    return drive.lobes if lobes is None else checked_count("lobes", lobes, 1, MOST_PINS)


def _chords(drive: Drive, lobes: int, fine: Floats, side: int, tolerance: float) -> Floats:
    """Phases from the first to the last of `fine`, so that all chords between them depart from their arcs alike.

    A chord of length s, along which the edge turns by a, departs by s a/8.
    """
    tangent = _tangent(drive, lobes, fine)
    turn = np.abs(np.angle(tangent[1:] * tangent[:-1].conj()))
    need = np.sqrt(np.abs(np.diff(_beside(drive, lobes, fine, side))) * turn / (8 * tolerance))
    total = np.concatenate([[0.0], np.cumsum(need)])
    count = max(8, math.ceil(1.2 * total[-1]))  # a little more than needed: within a chord the bend may change
    return np.interp(np.linspace(0.0, total[-1], count + 1), total, fine)


@lru_cache(maxsize=256)
def _stretches(drive: Drive, lobes: int) -> tuple[Stretch, ...]:
    """Where a roller touches what hangs together with the disc's middle, phases from 0 to pi."""
    if drive.pin_circle_radius - drive.eccentricity <= drive.roller_radius:
        raise ValueError("a roller passes over the disc's centre, no disc is left: choose smaller rollers.")
    if abs(drive.trochoid_ratio - abs(drive.pins - lobes)) < 1e-12 * drive.pins:
        raise ValueError(
            f"drive has a trochoid ratio of {abs(drive.pins - lobes)}, at which the pins' paths have cusps for {lobes} "
            "lobes: a roller touches an arc at once there. Choose a slightly smaller eccentricity."
        )
    if lobes == drive.pins:
        return ((-1, 0.0, _end_of_bite(drive)),)
    found: list[Stretch] = []
    corners: dict[End, End] = {}  # of each end of a stretch: what it meets there
    everywhere = _rollers_everywhere(drive, lobes)
    for side in (1, -1):
        free, guess = _free(drive, lobes, side, *everywhere)
        bounds = np.flatnonzero(np.diff(np.concatenate([[False], free, [False]]).astype(int)))
        for start, stop in bounds.reshape(-1, 2):
            first, last = 0.0, np.pi
            if start > 0:
                first, meets = _corner(drive, lobes, side, *guess(start - 1, 1))
                corners[side, first] = meets
            if stop <= STEPS:
                last, meets = _corner(drive, lobes, side, *guess(stop, -1))
                corners[side, last] = meets
            found.append((side, first, last))
    return _round_the_middle(drive, lobes, found, corners)


def _end_of_bite(drive: Drive) -> float:
    """With as many lobes as pins each roller bites a round hole of radius r + e: the phase at which its edge ends.

    It meets its neighbour's half way between the pins, or else the blank's rim.
    """
    circle, bite = drive.pin_circle_radius, drive.roller_radius + drive.eccentricity
    half_distance = circle * math.sin(math.pi / drive.pins)
    reach = circle + drive.eccentricity
    if bite >= half_distance:
        reach = circle * math.cos(math.pi / drive.pins) - math.sqrt(bite**2 - half_distance**2)
    return math.acos((circle**2 + bite**2 - reach**2) / (2 * circle * bite))


def _path(drive: Drive, lobes: int, phase: Phases) -> Complexes:
    """The pin's centre, seen from the disc."""
    along = np.exp(1j * phase * ((drive.pins - lobes) / lobes))
    return np.asarray((drive.pin_circle_radius - drive.eccentricity * np.exp(1j * phase)) * along)


def _tangent(drive: Drive, lobes: int, phase: Phases) -> Complexes:
    """Derivative of the path by the phase."""
    apart, arm = (drive.pins - lobes) * drive.pin_circle_radius, drive.eccentricity * drive.pins
    along = phase * (drive.pins - lobes) / lobes
    return 1j / lobes * np.exp(1j * along) * (apart - arm * np.exp(1j * phase))


def _beside(drive: Drive, lobes: int, phase: Phases, side: int) -> Complexes:
    """The place one roller radius beside the path, on its left (1) or right (-1)."""
    tangent = _tangent(drive, lobes, phase)
    return _path(drive, lobes, phase) + side * drive.roller_radius * 1j * tangent / np.abs(tangent)


def _too_tight(drive: Drive, lobes: int, phase: Phases, side: int) -> Floats:
    """Above zero where the place beside runs against the path, which bends there more tightly than the roller."""
    apart, arm = (drive.pins - lobes) * drive.pin_circle_radius, drive.eccentricity * drive.pins
    # the tangent's own turn: of its factor exp(i along), and of the sum of two arrows beside it
    arrow = arm * np.exp(1j * phase)
    turn = (drive.pins - lobes) / lobes - (1j * arrow / (apart - arrow)).imag
    return np.asarray(side * drive.roller_radius * turn - np.abs(_tangent(drive, lobes, phase)))


def _rollers_everywhere(drive: Drive, lobes: int) -> tuple[spatial.KDTree, Floats, NDArray[np.int64]]:
    """All places [mm] of rollers that can reach into one lobe's sector: as a tree, their phases and lobe pitches."""
    half = np.linspace(0.0, np.pi, STEPS + 1)
    phase = np.concatenate([-half[:0:-1], half])
    seen = _path(drive, lobes, phase)
    wide = math.pi / lobes + np.arcsin(drive.roller_radius / np.abs(seen))
    first = np.ceil((-wide - np.angle(seen)) * lobes / (2 * np.pi)).astype(int)
    last = np.floor((wide - np.angle(seen)) * lobes / (2 * np.pi)).astype(int)
    count = np.minimum(last - first + 1, lobes)
    which = np.repeat(np.arange(phase.size), count)
    pitches = first[which] + np.arange(which.size) - np.repeat(np.cumsum(count) - count, count)
    centres = seen[which] * np.exp(2j * np.pi * pitches / lobes)
    # of a curve such a tree answers several times as fast, and the same
    tree = spatial.KDTree(_xy(centres), compact_nodes=False, balanced_tree=False)
    return tree, phase[which], pitches


def _free(
    drive: Drive, lobes: int, side: int, tree: spatial.KDTree, others: Floats, pitches: NDArray[np.int64]
) -> tuple[NDArray[np.bool_], Callable[[int, int], Guess]]:
    """Where on one side no other roller comes nearer than its radius, and a guess at the corner next to a place."""
    phase = np.linspace(0.0, np.pi, STEPS + 1)
    places = _beside(drive, lobes, phase, side)
    sector = np.rint(np.angle(places) * lobes / (2 * np.pi)).astype(int)
    distance, nearest = tree.query(_xy(places * np.exp(-2j * np.pi * sector / lobes)))
    tails, runs_back = _tails(drive, lobes, phase, side)
    free = ~runs_back & (distance > drive.roller_radius - 1e-12 * drive.pin_circle_radius)

    def guess(taken: int, way: int) -> Guess:
        """The corner that is met from there up (1) or down (-1): its phases on both paths, and lobe pitches between."""
        for low, high in tails:
            corner = (low + high) / 2 + way * math.sqrt(3) * (high - low) / 2  # as of all small tails, see the tests
            if high - low < SMALL and abs(corner - phase[taken]) < NEAR:
                return corner, low + high - corner, 0
        return phase[taken], others[nearest[taken]], int(pitches[nearest[taken]] + sector[taken])

    return free, guess


def _tails(drive: Drive, lobes: int, phase: Floats, side: int) -> tuple[list[tuple[float, float]], NDArray[np.bool_]]:
    """Phases of the cusps at both ends of each tail, within which the place beside the path runs back; and where."""
    runs_back = _too_tight(drive, lobes, phase, side) > 0
    cusps = [
        optimize.brentq(lambda at: _too_tight(drive, lobes, at, side), phase[i], phase[i + 1])
        for i in np.flatnonzero(np.diff(runs_back))
    ]
    if cusps and runs_back[0]:
        cusps.insert(0, -cusps[0])
    if cusps and runs_back[-1]:
        cusps.append(2 * np.pi - cusps[-1])
    return list(zip(cusps[::2], cusps[1::2], strict=True)), runs_back


def _corner(drive: Drive, lobes: int, side: int, here: float, there: float, pitches: int) -> tuple[float, End]:
    """Phase at which a place beside the path is beside another roller's path too, and that roller's side and phase."""
    turn = np.exp(2j * np.pi * pitches / lobes)
    seen = _beside(drive, lobes, here, side) / turn - _path(drive, lobes, there)
    other_side = 1 if (_tangent(drive, lobes, there).conj() * seen).imag > 0 else -1
    itself = pitches % lobes == 0 and side == other_side

    def apart(phases: Floats) -> list[float]:
        gap = _beside(drive, lobes, phases[0], side) - turn * _beside(drive, lobes, phases[1], other_side)
        gap = gap / (phases[0] - phases[1]) if itself else gap  # every place is beside itself
        return [gap.real, gap.imag]

    if not itself or abs(here - there) > NEAR:
        here, there = optimize.root(apart, [here, there], tol=1e-13).x
    return float(here), (other_side, float(abs((there + np.pi) % (2 * np.pi) - np.pi)))


def _round_the_middle(drive: Drive, lobes: int, found: list[Stretch], corners: dict[End, End]) -> tuple[Stretch, ...]:
    """Those stretches that hang together, corner by corner, with the deepest root, which no other roller reaches."""
    deepest = min((1, -1), key=lambda side: abs(_beside(drive, lobes, 0.0, side)))
    kept = [one for one in found if one[:2] == (deepest, 0.0)]
    for one in kept:
        for end in one[1:]:
            side, phase = corners.get((one[0], end), (0, 0.0))
            for other in found:
                near = min(abs(phase - other[1]), abs(phase - other[2])) < 2 * np.pi / STEPS
                if near and other[0] == side and other not in kept:
                    kept.append(other)
    return tuple(sorted(kept, key=lambda one: one[1]))


def _xy(points: Complexes) -> Floats:
    return np.stack([points.real, points.imag], axis=-1)
