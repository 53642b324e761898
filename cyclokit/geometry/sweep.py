"""A disc found by brute force: a round blank, minus every roller wherever it passes.

No formula of an outline is used, only where the pins stand, how the crank carries the disc's centre
round, and how fast the disc turns. So it is a witness against the closed form, and it works for any
number of lobes M among N pins (`lobes`, 1 to 10 000; N - 1 if left out), if the disc is *made* to turn at
the rate that goes with them, by 1 - N/M of a turn for each turn of the crank (pitch circles e N and e M).
`crank` is crank angles [rad] of any shape.

The edge is looked for on rays from the disc's centre: each ray ends where the first roller cuts it.
Pieces that hang behind a cut, out of the centre's sight, are not counted. How many rollers touch the
disc can't be read off rays, which know a gap only to their resolution: `touching` follows the curve.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cyclokit.arguments import Floats, angles, checked_count, checked_kind
from cyclokit.drive import MOST_PINS, Drive
from cyclokit.geometry import milled
from cyclokit.geometry.polygons import from_chords, vectors

Complexes = NDArray[np.complex128]  # points of the plane, x + i y

RAYS_A_LOBE = 12  # fewer show neither a lobe's shape nor how far off the shape is
AT_ONCE = 200_000  # pairs of a roller and a chord, compared in one stroke


@dataclass(frozen=True, eq=False, repr=False)
class Cut:
    """What the rollers leave of the blank.

    Attributes
    ----------
    drive : Drive
        Pins, radii and eccentricity.
    lobes : int
        Number M of lobes for which the disc was made to turn.
    angles, radii : ndarray
        Direction [rad] of each ray, once round from 0, and how far from the centre it ends [mm], (m,);
        radii are all 0 if a roller passes over the centre.
    turns : int
        Crank turns after which disc and pins stand as at the start: more turns cut nothing new.
    resolution : float
        The polygon `points` is nowhere farther than this [mm] from the edge that rollers moving without
        steps would leave. Twice the rays and steps quarter it on a smooth edge, and halve it at a corner
        or where the edge runs along a ray. A spike that fits between two rays is not seen.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> piece = cut(story)
    >>> piece.points.shape, piece.turns
    ((2015, 2), 19)
    """

    drive: Drive
    lobes: int
    angles: Floats
    radii: Floats
    turns: int
    resolution: float

    @property
    def points(self) -> Floats:
        """The edge as a closed polygon [mm], (m + 1, 2); the last point is the first."""
        edge = self.radii * np.exp(1j * self.angles)
        return _xy(np.append(edge, edge[0]))

    def __repr__(self) -> str:
        return f"Cut({self.drive!r}, lobes={self.lobes}, {self.radii.size} rays, resolution {self.resolution:.2g} mm)"


def cut(drive: Drive, lobes: int | None = None, rays: int | None = None, steps: int = 360) -> Cut:
    """The disc that is left when all rollers have passed.

    Parameters
    ----------
    drive : Drive
        The drive. Its blank has the radius Rp + e: no pin's centre ever gets farther out.
    lobes : int, optional
        Number M of lobes, 1 to 10 000; N - 1 if left out.
    rays : int, optional
        Rays once round, at least 12 a lobe and 12 a pin, at most 1 000 000; 2000, or 100 a lobe or pin if
        that is more, if left out. A few more are taken where that makes the disc's sectors alike.
    steps : int
        Roller positions in one turn of the crank, 12 to 100 000.

    Returns
    -------
    Cut
        The radius on each ray, and how exact it is.

    Raises
    ------
    TypeError, ValueError
        If lobes, rays or steps is not a whole number, or out of range.

    Notes
    -----
    One turn of the crank is stepped through. After it the pins stand, seen from the disc, as before but
    N/M of a turn farther; so each further turn makes the same cut, turned on by as much.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> piece = cut(story)
    >>> round(float(piece.radii.min()), 3)  # mm: the roots, Rp - e - r
    35.6
    """
    lobes = _lobes(drive, lobes)
    most = max(lobes, drive.pins)
    rays = checked_count("rays", max(2000, 100 * most) if rays is None else rays, RAYS_A_LOBE * most, 1_000_000)
    steps = checked_count("steps", steps, 12, 100_000)
    turns = lobes // math.gcd(drive.pins, lobes)
    rays = turns * math.ceil(rays / turns)  # so that the turned cuts fall on the same rays
    angles = np.linspace(0.0, 2 * np.pi, rays, endpoint=False)
    directions = np.exp(1j * angles)
    pins = _pins_from_disc(drive, np.linspace(0.0, 2 * np.pi, steps + 1), lobes)
    one_turn = _first_hits(drive, pins.ravel(), directions)
    radii = np.tile(one_turn.reshape(turns, -1).min(axis=0), turns)
    resolution = _step_error(drive, pins) + _ray_error(radii * directions)
    return Cut(drive, lobes, angles, radii, turns, resolution)


def disc_angle(drive: Drive, crank: ArrayLike, lobes: int | None = None) -> Floats:
    """Angle of a disc with M lobes, made to turn at its rate: crank (1 - N/M) [rad], counter-clockwise positive.

    Shape of `crank` [rad]; `lobes` is M, 1 to 10 000, N - 1 if left out.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> disc_angle(story, 1.9).round(4).tolist()  # rad
    -0.1
    >>> disc_angle(story, 1.9, lobes=20).round(4).tolist()  # as many lobes as pins: it only orbits
    0.0
    """
    lobes = _lobes(drive, lobes)
    return angles("crank", crank) * ((lobes - drive.pins) / lobes)


def pins_from_disc(drive: Drive, crank: ArrayLike, lobes: int | None = None) -> Floats:
    """Centres [mm] of the ring pins as somebody sees them who sits on the disc, shape of `crank` [rad] + (N, 2).

    `lobes` is the number of lobes for which the disc turns, 1 to 10 000; N - 1 if left out.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> pins_from_disc(story, 0.0)[0].round(4).tolist()  # mm: pin 0, Rp - e from the disc's middle
    [40.6, 0.0]
    """
    return _xy(_pins_from_disc(drive, angles("crank", crank), _lobes(drive, lobes)))


def gaps(cut: Cut, crank: ArrayLike) -> Floats:
    """Gap [mm] between each roller and the disc that the rollers have left, shape of `crank` [rad] + (N,).

    To the cut's polygon: never less than minus the cut's resolution, and not above it where they touch. A gap below
    the resolution may be none: `touching` knows.

    Raises
    ------
    ValueError
        If nothing is left of the disc.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> piece = cut(story)
    >>> bool((np.abs(gaps(piece, 0.5)) < piece.resolution).all())  # all rollers touch
    True
    """
    checked_kind("cut", cut, Cut)
    if not cut.radii.any():
        raise ValueError("cut has only radii of 0, no disc is left to touch: choose smaller rollers or eccentricity.")
    return gaps_to_edge(cut.drive, cut.points, crank, cut.lobes)


def gaps_to_edge(drive: Drive, edge: ArrayLike, crank: ArrayLike, lobes: int | None = None) -> Floats:
    """Gap between each roller and any edge that is made to turn as the disc does.

    With `outline.polygon` of an undercut drive it shows what an untrimmed disc would do: its tails lie in
    the rollers' way, and the gap goes below zero.

    Parameters
    ----------
    drive : Drive
        The drive.
    edge : array_like
        A closed polygon [mm] in the disc's frame, shape (m, 2), m at least 2; the last point is the first.
    crank, lobes : array_like, int
        Crank angles [rad], any shape, and the number M of lobes for which the disc is made to turn, 1 to 10 000; N - 1
        if left out.

    Returns
    -------
    ndarray
        Distance from roller to edge [mm], shape of `crank` + (N,); below zero by as much as the edge comes
        into the roller, at most by the roller's radius.

    Raises
    ------
    ValueError
        If `edge` has another shape.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> square = [[9, 9], [-9, 9], [-9, -9], [9, -9], [9, 9]]
    >>> gaps_to_edge(story, square, 0.0)[0].round(3).tolist()  # mm: Rp - e - r - 9
    26.6
    """
    corners = vectors("edge", edge)
    if corners.ndim != 2 or len(corners) < 2:
        raise ValueError(f"edge has the shape {corners.shape}, but must be (m, 2): give a polygon's x and y [mm].")
    pins = pins_from_disc(drive, crank, lobes)
    starts, ends = corners[:-1], corners[1:]
    lengths = np.hypot(*(ends - starts).T)
    distance = np.full(pins.shape[:-1], np.inf)
    places, nearest = pins.reshape(-1, 2), distance.reshape(-1)
    together = max(1, AT_ONCE // len(starts))
    for first in range(0, len(places), together):
        some = slice(first, first + together)
        away = np.sqrt(((places[some, None] - starts) ** 2).sum(axis=-1))
        # no other chord comes nearer than the nearest corner is
        pin, chord = np.nonzero(away - lengths <= away.min(axis=1, keepdims=True))
        np.minimum.at(nearest[some], pin, from_chords(places[some][pin], starts[chord], ends[chord]))
    return distance - drive.roller_radius


def touching(cut: Cut, crank: ArrayLike) -> NDArray[np.int64]:
    """How many rollers touch the disc at each crank angle: exactly, however coarse the cut; shape of `crank` [rad].

    From `milled.touches`, with pieces that hang behind a cut; of the cut only drive and lobes are asked for.

    Raises
    ------
    ValueError
        If nothing is left of the disc, or the pins' paths have cusps: the trochoid ratio is |N - M| exactly.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> touching(cut(story), [0.1, 0.2]).tolist()
    [20, 20]
    """
    checked_kind("cut", cut, Cut)
    return milled.touches(cut.drive, crank, cut.lobes).sum(axis=-1)


def _pins_from_disc(drive: Drive, crank: Floats, lobes: int) -> Complexes:
    """Where the pins are, less where the disc's centre is, turned back by the disc's angle."""
    pins = drive.pin_circle_radius * np.exp(2j * np.pi * np.arange(drive.pins) / drive.pins)
    centre = drive.eccentricity * np.exp(1j * crank)
    return (pins - centre[..., None]) * np.exp(-1j * disc_angle(drive, crank, lobes))[..., None]


def _first_hits(drive: Drive, centres: Complexes, directions: Complexes) -> Floats:
    """Distance [mm] from the origin along each ray to the first roller, or to the blank's rim."""
    radius, rays = drive.roller_radius, directions.size
    hits = np.full(rays, drive.pin_circle_radius + drive.eccentricity)
    distance, angle = np.abs(centres), np.angle(centres)
    if distance.min() <= radius:  # a roller over the centre ends all rays at once
        return np.zeros(rays)
    half_width = np.arcsin(radius / distance)  # of the roller, seen from the origin
    first = np.ceil((angle - half_width) * (rays / (2 * np.pi))).astype(int)
    last = np.floor((angle + half_width) * (rays / (2 * np.pi))).astype(int)
    for offset in range(int((last - first).max()) + 1):
        met = first + offset <= last
        ray = (first[met] + offset) % rays
        seen = centres[met] * directions[ray].conj()  # real part along the ray, imaginary across it
        np.minimum.at(hits, ray, seen.real - np.sqrt(np.maximum(radius**2 - seen.imag**2, 0.0)))
    return hits


def _step_error(drive: Drive, pins: Complexes) -> float:
    """Greatest thickness [mm] of what stepping leaves standing; derived, tested against the closed form.

    A roller that goes straight leaves scallops of s^2/(8 r) between positions a distance s apart. Its
    path's bow over the step, an eighth of the second difference, comes on top.
    """
    step = np.abs(np.diff(pins, axis=0)).max()
    bow = np.abs(np.diff(pins, n=2, axis=0)).max() / 8
    return float(step**2 / (8 * drive.roller_radius) + bow)


def _ray_error(edge: Complexes) -> float:
    """How far the edge can leave the chord between two rays [mm]: as a point leaves its neighbours' chord.

    At a corner between rays that is at least as far, on a smooth edge four times as far.
    """
    step, chord = edge - np.roll(edge, 1), np.roll(edge, -1) - np.roll(edge, 1)
    across = np.abs((step * chord.conj()).imag) / np.maximum(np.abs(chord), np.finfo(float).tiny)
    return float(across.max())


def _xy(points: Complexes) -> Floats:
    return np.stack([points.real, points.imag], axis=-1)


def _lobes(drive: Drive, lobes: int | None) -> int:
    checked_kind("drive", drive, Drive)
    return drive.lobes if lobes is None else checked_count("lobes", lobes, 1, MOST_PINS)
