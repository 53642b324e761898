"""Whether four numbers make a drive, judged by looking at a finely sampled outline and nothing else.

No trochoid ratio, no curvature and nothing of cyclokit is used: the centre path is sampled, moved inwards
along its own finite differences, and looked at. By symmetry half a lobe, root to tip, stands for all:
the whole ring is that half mirrored and turned.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.spatial import KDTree

STEPS = 200  # along half a lobe at least
TURN = 0.02  # rad: the path turns by no more than this from one sample to the next
TOO_MANY = 100_000  # samples; a path that still turns more sharply has a cusp
SLOW, CLOSER = 0.1, 64  # where the outline advances less than SLOW of the path, look CLOSER times more closely

OVERLAP = "neighbouring rollers overlap"
CUSP = "the centre path has a cusp"
BACKWARDS = "the outline runs backwards"
CROSSING = "the outline crosses itself"
CUT_INTO = "a roller cuts into the outline"


@dataclass(frozen=True)
class Judged:
    """Four plain numbers, and the curves that are looked at, as complex numbers."""

    pins: int
    pin_circle_radius: float
    roller_radius: float
    eccentricity: float

    def path(self, t):
        """Where a roller's centre is, seen from the disc."""
        return self.pin_circle_radius * np.exp(1j * t) - self.eccentricity * np.exp(1j * self.pins * t)

    def direction(self, t):
        """Unit tangent of the path, by finite differences."""
        nudge = 1e-5 / self.pins  # rounding and the path's bend then weigh about alike
        ahead = self.path(t + nudge) - self.path(t - nudge)
        return ahead / np.maximum(np.abs(ahead), np.finfo(float).tiny)

    def outline(self, t):
        """One roller radius to the left of the path, whose inside is there if it runs counter-clockwise."""
        return self.path(t) + self.roller_radius * 1j * self.direction(t)

    def progress(self, t):
        """How far the outline advances the path's way in each step, as a share of the path's own step."""
        along = np.diff(self.path(t))
        return (np.diff(self.outline(t)) / along).real


def faults(pins, pin_circle_radius, roller_radius, eccentricity):
    """Everything that forbids the drive, the quickest to find first; nothing if it is sound."""
    judged = Judged(int(pins), float(pin_circle_radius), float(roller_radius), float(eccentricity))
    standing = pin_circle_radius * np.exp(2j * np.pi * np.arange(2) / pins)
    if abs(standing[1] - standing[0]) <= 2 * roller_radius:
        yield OVERLAP
    t = _samples(judged)
    if t is None:
        yield CUSP
        return
    closer = _split(t, judged.progress(t) < SLOW, CLOSER)
    if judged.progress(closer).min() <= 0:
        yield BACKWARDS
    if not _is_simple(judged.outline(t), judged.pins - 1):
        yield CROSSING
    if _comes_within(judged, t, roller_radius * (1 - TURN**2)):
        yield CUT_INTO  # a chord aslant by TURN comes nearer by half of TURN squared: no cut yet


def is_sound(pins, pin_circle_radius, roller_radius, eccentricity):
    """Whether nothing forbids the drive."""
    return not any(faults(pins, pin_circle_radius, roller_radius, eccentricity))


def _samples(judged):
    """Values of t over half a lobe, closer where the path turns faster; None if it has a cusp."""
    t = np.linspace(0.0, np.pi / (judged.pins - 1), STEPS + 1)
    while t.size < TOO_MANY:
        direction = judged.direction(t)
        sharp = np.abs(np.angle(direction[1:] * direction[:-1].conj())) > TURN
        if not sharp.any():
            return t
        if np.diff(t)[sharp].min() < 1e-5 / judged.pins:  # what the differences can't see apart
            return None
        t = _split(t, sharp, 2)
    return None


def _split(t, chosen, parts):
    """The chosen steps of `t` cut into equal parts."""
    between = t[:-1][chosen, None] + np.diff(t)[chosen, None] * (np.arange(1, parts) / parts)
    return np.sort(np.append(t, between))


def _is_simple(outline, lobes):
    """Whether the ring made of this half lobe, mirrored and turned, meets itself nowhere.

    The half must run from one mirror line to the next, itself simple. Where it met one of the lines in
    between it would meet its own mirror image; where it met none, nothing else can reach it.
    """
    seen_from_tip = outline * np.exp(-1j * np.pi / lobes)
    in_sector = (outline.imag[1:-1] > 0).all() and (seen_from_tip.imag[1:-1] < 0).all()
    starts_and_ends = outline[0].real > 0 and seen_from_tip[-1].real > 0
    return bool(in_sector and starts_and_ends and shapely.LineString(_xy(outline)).is_simple)


def _comes_within(judged, t, distance):
    """Whether the outline comes as near as that, less than the roller radius, to the whole centre path.

    Turned by every whole number of lobes, half a lobe of the outline meets one lobe of the path in all the
    ways in which outline and path can meet.
    """
    path, lobes = judged.path(t), judged.pins - 1
    lobe = np.concatenate([path[:0:-1].conj(), path])
    middle = lobe.mean()
    turned = np.multiply.outer(np.exp(2j * np.pi / lobes * np.arange(lobes)), judged.outline(t[::2]))  # close enough
    near = turned[np.abs(turned - middle) <= np.abs(lobe - middle).max() + judged.roller_radius]
    line = shapely.LineString(_xy(lobe))
    shapely.prepare(line)
    return bool(shapely.dwithin(line, shapely.points(_xy(near)), distance).any())


def _xy(z):
    return np.stack([z.real, z.imag], axis=-1)


def contact_looked_for(drive, lobes, crank, pin, steps=3000):
    """How near [mm, 0 or less] a roller's edge comes to being left standing: about 0 exactly if it touches the disc.

    All rollers are stopped at many places of all turns. Of the roller's own inner half the place is looked for that
    is least deep in any of the others; from there it must be free to the middle of the disc. No tangent, no normal.
    """
    pins, circle, roller, e = drive.pins, drive.pin_circle_radius, drive.roller_radius, drive.eccentricity

    def seen(k, c):
        return (circle * np.exp(2j * np.pi * k / pins) - e * np.exp(1j * c)) * np.exp(-1j * c * (1 - pins / lobes))

    turns = lobes // math.gcd(pins, lobes)
    stops = np.linspace(0, 2 * np.pi * turns, steps * turns, endpoint=False)
    centres = np.concatenate([seen(k, stops) for k in range(math.gcd(pins, abs(pins - lobes)))])
    others = KDTree(_xy(centres), compact_nodes=False, balanced_tree=False)  # quicker along a curve

    def depth(places):
        return others.query(_xy(places))[0] - roller

    here = seen(pin, crank)
    ways = np.angle(-here) + np.linspace(-np.pi / 2, np.pi / 2, 361)
    for _ in range(7):
        found = depth(here + roller * np.exp(1j * ways))
        best, apart = ways[found.argmax()], ways[1] - ways[0]
        ways = np.linspace(best - apart, best + apart, 13)
    place = here + roller * np.exp(1j * best)
    off = place + 0.05 * e * np.exp(1j * best)  # a little into the disc, then towards its middle
    way_in = np.concatenate([np.linspace(place, off, 8)[1:], np.linspace(off, 0.9 * off, 40)])
    return min(found.max(), 0.0) if depth(way_in).min() > -1e-4 else -roller
