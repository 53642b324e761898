"""The outline of the disc: points, normals, curvature, length, area, and a polygon to a tolerance.

Everything is in the disc's own frame, its centre at the origin. The parameter `t` [rad], of any shape
and up to 1e15/N either way, runs from 0 to 2 pi once round the disc; t = 0 is a root on +x. With N pins on
a circle Rp, eccentricity e and trochoid ratio K = e N / Rp, a roller's centre traces, seen from the disc,
the centre path

    z(t) = Rp exp(i t) - e exp(i N t)

whose outward normal is z - P, with P = e (N - 1) exp(i N t) the pitch point:

    w(t) = z - P = Rp exp(i t) - e N exp(i N t),     |w| = Rp sqrt(1 + K^2 - 2 K cos((N - 1) t)).

The outline is the centre path moved inwards by the roller radius r: z - r w / |w|.
Lesson 2 derives this step by step; cyclokit's own derivation, checked against values found
otherwise in tests/geometry/test_outline.py.
"""

import math

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ellipe, ellipeinc

from cyclokit.arguments import Floats, angles, checked_kind
from cyclokit.drive import Drive
from cyclokit.geometry import chords, polygons


def centre_path(drive: Drive, t: ArrayLike) -> Floats:
    """Points of the path that a roller's centre traces, seen from the disc [mm], shape of `t` [rad] + (2,).

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> centre_path(story, 0.0).round(3).tolist()  # mm: a root, Rp - e from the middle
    [40.6, 0.0]
    """
    t = _parameter(drive, t)
    radius, offset, pins = drive.pin_circle_radius, drive.eccentricity, drive.pins
    return np.stack(
        [radius * np.cos(t) - offset * np.cos(pins * t), radius * np.sin(t) - offset * np.sin(pins * t)], axis=-1
    )


def points(drive: Drive, t: ArrayLike) -> Floats:
    """Points of the outline [mm], shape of `t` [rad] + (2,); t = 0 is a root on +x.

    z - r w/|w|: the centre path moved inwards by the roller radius (the module's formula, derived in lesson 2).

    Raises
    ------
    ValueError
        If the trochoid ratio is 1 and a `t` falls on a cusp of the centre path.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> points(story, 0.3).round(4).tolist()  # mm
    [36.0424, 8.619]
    """
    t = _parameter(drive, t)
    outline = np.empty((*t.shape, 2))
    outline[..., 0], outline[..., 1], _, _ = _edge(drive, t)
    return outline


def normals(drive: Drive, t: ArrayLike) -> Floats:
    """Outward unit normals of the outline, which are those of the centre path; shape of `t` [rad] + (2,).

    w/|w|, away from the pitch point (the module's formula, derived in lesson 2).

    Raises
    ------
    ValueError
        If the trochoid ratio is 1 and a `t` falls on a cusp of the centre path.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> normals(story, 0.0).round(3).tolist()  # out of the root, away from the middle
    [1.0, 0.0]
    """
    t = _parameter(drive, t)
    _, _, normal_x, normal_y = _edge(drive, t)
    return np.stack([normal_x, normal_y], axis=-1)


def curvature(drive: Drive, t: ArrayLike) -> Floats:
    """Curvature of the outline [1/mm], shape of `t` [rad], positive where it bulges outwards.

    Raises
    ------
    ValueError
        If a `t` falls on a cusp: of the centre path (trochoid ratio 1), or of the outline (the
        centre path's radius of curvature is just the roller radius).

    Notes
    -----
    The centre path has the curvature B / (Rp u^1.5) with u = 1 + K^2 - 2 K cos((N - 1) t) and
    B = 1 + N K^2 - K (1 + N) cos((N - 1) t); a curve moved inwards by r has its radius
    of curvature smaller by r. Cyclokit's own derivation (lesson 2).

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> round(float(curvature(story, 0.3)), 6)  # 1/mm
    -0.105702
    """
    t = _parameter(drive, t)
    ratio, pins = drive.trochoid_ratio, drive.pins
    cosine = np.cos((pins - 1) * t)
    u = (1 + ratio**2) - 2 * ratio * cosine
    bend = (1 + pins * ratio**2) - ratio * (1 + pins) * cosine  # B of the notes
    root = np.sqrt(np.maximum(u, 0.0))  # rounding can leave -1e-16 where K is 1
    _refuse_cusps(t, root, _nothing(drive), "centre path, whose trochoid ratio is 1")
    room = drive.pin_circle_radius * (u * root) - drive.roller_radius * bend
    _refuse_cusps(t, np.abs(room), 0.0, "outline, which is undercut")
    return bend / room


def length(drive: Drive) -> float:
    """Length of the outline [mm]; of an undercut one as the parameter draws it, tails included.

    Notes
    -----
    With q = (N - 1) t the centre path's length from its root is elliptic and its normal's turn
    elementary (both in `_travel_and_turn`); the outline's speed is the difference
    d travel - r d turn, whose sign changes only where the outline has a cusp. For a sound drive
    that is 4 Rp (1 + K) E(m) - 2 pi r with m = 4 K/(1 + K)^2. Derived here, by two methods.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> round(length(story), 4)  # mm
    262.7247
    """
    checked_kind("drive", drive, Drive)
    at = np.array([0.0, *_cusps(drive), math.pi])
    travel, turn = _travel_and_turn(drive, at)
    return float(2 * np.abs(np.diff(travel - drive.roller_radius * turn)).sum())


def area(drive: Drive) -> float:
    """Area inside the outline [mm^2]; of an undercut one counted with the sign its parameter gives.

    Notes
    -----
    Steiner's formula (J. Steiner, 1840) for the centre path moved inwards by r:
    A - L r + (turn / 2) r^2, with A = pi (Rp^2 + N e^2), L the path's length and turn the whole
    turn of its normal: 2 pi when the trochoid ratio K < 1, N times that when K > 1, where every
    loop turns once more, and (N + 1) pi at K = 1, where the cusps are closed by straight lines.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> round(area(story), 4)  # mm^2
    4272.7566
    """
    checked_kind("drive", drive, Drive)
    travel, turn = _travel_and_turn(drive, np.array([0.0, math.pi]))
    path_length, whole_turn = 2 * float(travel[1] - travel[0]), 2 * float(turn[1] - turn[0])
    path_area = math.pi * (drive.pin_circle_radius**2 + drive.pins * drive.eccentricity**2)
    return path_area - path_length * drive.roller_radius + whole_turn / 2 * drive.roller_radius**2


def polygon(drive: Drive, tolerance: float = 1e-3) -> Floats:
    """A closed polygon, its corners on the outline, that never leaves the outline by more than `tolerance`.

    Every lobe is cut into the same chords, placed so that all depart from their arc alike: that
    needs about the fewest. The first corner is the tip of a lobe, at t = -pi/lobes.

    Parameters
    ----------
    drive : Drive
        The drive; its trochoid ratio must not be exactly 1.
    tolerance : float
        Largest distance [mm] between polygon and outline, 1e-9 to 1e3, default a micrometre.

    Returns
    -------
    ndarray
        Corners [mm], shape (m, 2); the last is the first, to the bit.

    Raises
    ------
    ValueError
        If the tolerance is out of range, or the trochoid ratio is 1, where the outline is torn.

    Notes
    -----
    The promise is kept for every sound drive. Where the trochoid ratio is within 0.2 % of 1, which
    no sound drive's is, the normal whips round so fast that the tolerance can be passed by a sixth.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> polygon(story, 0.01).shape, polygon(story, 0.001).shape  # finer, more corners
    ((438, 2), (1369, 2))
    """
    checked_kind("drive", drive, Drive)
    fewest = 2 if drive.lobes == 2 else 1  # or the polygon is a line, there and back
    t = chords.corners(lambda t: _edge(drive, t), _fine_grid(drive), tolerance, fewest)[:-1]
    if cusps := _cusps(drive):  # none on a sound drive; a chord would cut their tips off
        t = np.unique(np.concatenate([t, np.array(cusps) / drive.lobes, np.array(cusps) / -drive.lobes]))
    return polygons.all_round(points(drive, t), drive.lobes)


def _fine_grid(drive: Drive) -> Floats:
    """Some 250 values of t from a tip past the root to the next tip, even in t and in the normal's turn.

    Where the trochoid ratio is near 1 the normal whips round in a sliver of t that even steps miss.
    """
    even = np.linspace(-math.pi, math.pi, 129)
    ratio = drive.trochoid_ratio
    turning = 2 * np.arctan2(abs(1 - ratio) * np.sin(even / 2), (1 + ratio) * np.cos(even / 2))
    both = np.sort(np.concatenate([even, turning]))
    distinct = np.diff(both) > 1e-9 * np.abs(both[1:])
    return both[np.r_[True, distinct]] / drive.lobes


def _edge(drive: Drive, t: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """x and y of the outline [mm] and of its unit normal w/|w|; refuses a cusp, where w is nothing."""
    radius, offset, pins = drive.pin_circle_radius, drive.eccentricity, drive.pins
    nt = pins * t
    x, y = radius * np.cos(t), radius * np.sin(t)
    offset_x, offset_y = offset * np.cos(nt), offset * np.sin(nt)
    normal_x, normal_y = x - pins * offset_x, y - pins * offset_y  # w of the module's docstring
    speed = np.sqrt(normal_x * normal_x + normal_y * normal_y)
    _refuse_cusps(t, speed, radius * _nothing(drive), "centre path, whose trochoid ratio is 1")
    normal_x, normal_y = normal_x / speed, normal_y / speed
    return (
        x - offset_x - drive.roller_radius * normal_x,
        y - offset_y - drive.roller_radius * normal_y,
        normal_x,
        normal_y,
    )


def _parameter(drive: Drive, t: ArrayLike) -> Floats:
    """Values of t, read with care; the centre path's small circle goes round N times as fast."""
    checked_kind("drive", drive, Drive)
    return angles("t", t, rate=drive.pins)


def _nothing(drive: Drive) -> float:
    """The relative speed below which only rounding of N t is left."""
    return 1e-14 * drive.pins


def _refuse_cusps(t: Floats, size: Floats, least: float, where: str) -> None:
    if size.size and size.min() <= least:
        cusps = ", ".join(f"{value:.12g}" for value in t[size <= least].flat[:3])
        raise ValueError(
            f"t contains {cusps} rad, where there is a cusp of the {where}: no normal or curvature exists there. "
            "Leave those t out, or choose a smaller eccentricity."
        )


def _travel_and_turn(drive: Drive, q: Floats) -> tuple[Floats, Floats]:
    """Centre path's length [mm] and turn of its normal [rad] from its root to q = (N - 1) t in 0..pi.

    Counted in q, so that twice the value at pi is that of the whole path.
    Sources: the path's length by the elliptic integral E, the turn by
    the integral of Poisson's kernel (any calculus handbook, from memory; both checked by quadrature).
    """
    ratio, pins = drive.trochoid_ratio, drive.pins
    m = 1 - ((1 - ratio) / (1 + ratio)) ** 2  # 4 K/(1 + K)^2, written so that rounding can't lift it above 1
    travel = 2 * drive.pin_circle_radius * (1 + ratio) * (ellipe(m) - ellipeinc((math.pi - q) / 2, m))
    kernel = np.arctan2((1 + ratio) * np.sin(q / 2), abs(1 - ratio) * np.cos(q / 2))
    return travel, (pins + 1) / 2 * q - (pins - 1) * np.sign(1 - ratio) * kernel


def _cusps(drive: Drive) -> list[float]:
    """Where in q = (N - 1) t, between 0 and pi, the outline's speed changes its sign.

    That is Rp v^3 - r (N + 1)/2 v^2 + r (N - 1)(1 - K^2)/2 = 0 with v = |w|/Rp: the centre
    path's radius of curvature equals r. None for a sound drive.
    """
    ratio, radius = drive.trochoid_ratio, drive.pin_circle_radius
    square = drive.roller_radius * (drive.pins + 1) / 2
    constant = drive.roller_radius * (drive.pins - 1) * (1 - ratio**2) / 2
    if 27 * radius**2 * constant > 4 * square**3:  # the cubic's least value is above zero
        return []
    v = np.roots([radius, -square, 0.0, constant])
    v = v[np.isreal(v)].real
    cosine = (1 + ratio**2 - v**2) / (2 * ratio)
    return sorted(np.arccos(cosine[(np.abs(cosine) < 1) & (v > 0)]).tolist())
