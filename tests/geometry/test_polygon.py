"""The polygon keeps its promise: near enough everywhere, closed, and with few chords.

The fewest chords are found here by a greedy search: from a start, each chord reaches as far as the tolerance
lets it. Any polygon with a corner at that start needs at least as many chords, and from another start greedy's
own count is at most one less; so what greedy finds is at most one chord above the fewest.
"""

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from cyclokit import Drive
from cyclokit.geometry import limits, outline
from tests.geometry.drives import FORTY, LOOPED, STORY, TWELVE, UNDERCUT, as_complex, farthest, sound_drives

TOLERANCES = [0.1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6]
DRIVES = {
    "story": STORY,
    "twelve": TWELVE,
    "forty": FORTY,
    "shallow": Drive(60, 40.0, 1.0, 0.02),
    "three pins": Drive(3, 42.0, 20.0, 4.0),
    "nearly cusped": Drive(20, 42.0, 1.5, 2.058),
    "undercut": UNDERCUT,
    "looped": LOOPED,
}
SOUND = [name for name, drive in DRIVES.items() if limits.check(drive).sound]


def curve_from_polygon(drive, corners):
    """Largest distance of the true curve from the polygon, over one lobe, from 20 samples a chord and more."""
    chords = (len(corners) - 1) // drive.lobes
    curve = outline.points(drive, np.linspace(-np.pi, np.pi, 20 * chords + 4001) / drive.lobes)
    return farthest(curve, corners[np.arange(-2, chords + 3) % (len(corners) - 1)])


def polygon_from_curve(drive, corners):
    """Largest distance of the polygon, eight points on each chord of a lobe, from the true curve."""
    chords = (len(corners) - 1) // drive.lobes
    curve = outline.points(drive, np.linspace(-1.2 * np.pi, 1.2 * np.pi, 50 * chords + 20_001) / drive.lobes)
    edge = corners[: chords + 1]
    on_edge = edge[:-1, None] + np.diff(edge, axis=0)[:, None] * np.linspace(0, 1, 8, endpoint=False)[:, None]
    return farthest(on_edge.reshape(-1, 2), curve)


SHARES = np.linspace(0, 1, 41)  # of a chord; a peak between two of them is higher by a thousandth at most


def arc_from(drive, t):
    """The outline as complex numbers, as `cyclokit.geometry.outline` opens with it; asked a hundred thousand times."""
    first, second = drive.pin_circle_radius * np.exp(1j * t), drive.eccentricity * np.exp(1j * drive.pins * t)
    outwards = first - drive.pins * second
    return first - second - drive.roller_radius * outwards / np.abs(outwards)


def farthest_reach(drive, tolerance, start, guess):
    """The last t to which a chord from `start` may lead, to 1/4000 of the way; `guess` is about how far."""

    def excess(way):
        arc = arc_from(drive, start + way * SHARES)
        chord = arc[-1] - arc[0]
        seen = (arc - arc[0]) / chord
        farthest = np.abs((seen - np.clip(seen.real, 0, 1)) * chord).max()
        return np.sqrt(farthest / tolerance) - 1  # about straight: a chord twice as long is off four times as far

    short = guess
    while excess(short) > 0:
        short /= 2
    while excess(2 * short) <= 0:
        short *= 2
    return start + brentq(excess, short, 2 * short, rtol=1 / 4000, xtol=1e-15)


def greedy_chords(drive, tolerance, start, lobes):
    """How many chords greedy needs from `start` round so many lobes."""
    at, step, chords = start, 0.01 / drive.lobes, 0
    while at < start + 2 * np.pi * lobes / drive.lobes * (1 - 1e-12):
        reached = farthest_reach(drive, tolerance, at, 0.8 * step)
        at, step, chords = reached, reached - at, chords + 1
    return chords


@pytest.mark.parametrize("tolerance", TOLERANCES)
@pytest.mark.parametrize("name", DRIVES)
def test_the_polygon_never_leaves_the_outline_by_more_than_the_tolerance(name, tolerance):
    drive = DRIVES[name]
    corners = outline.polygon(drive, tolerance)
    assert curve_from_polygon(drive, corners) <= tolerance * (1 + 1e-6) + 1e-12  # rounding of coordinates
    # the curve is sampled: 40 times a chord, and 1/40 squared is how far its own chords leave it
    assert polygon_from_curve(drive, corners) <= tolerance * (1 + 1e-3)


@settings(max_examples=40)
@given(sound_drives(), st.floats(-6, -2))
def test_that_holds_for_any_sound_drive(drive, power):
    tolerance = 10**power * drive.pin_circle_radius
    assume(tolerance <= 0.1)
    corners = outline.polygon(drive, tolerance)
    assert curve_from_polygon(drive, corners) <= tolerance * (1 + 1e-6) + 1e-12  # rounding of coordinates


@pytest.mark.parametrize(
    ("name", "tolerance"), [*((name, tolerance) for name in SOUND for tolerance in (0.1, 1e-2)), ("shallow", 1e-3)]
)
def test_it_needs_hardly_more_chords_than_the_fewest(name, tolerance):
    drive = DRIVES[name]
    chords = len(outline.polygon(drive, tolerance)) - 1
    starts = (0.0, 0.4 * np.pi / drive.lobes, np.pi / drive.lobes)
    fewest = min(greedy_chords(drive, tolerance, start, drive.lobes) for start in starts)
    assert chords <= max(1.1 * fewest, fewest + drive.lobes)


@pytest.mark.parametrize(
    ("name", "tolerance"),
    [
        *((name, tolerance) for name in SOUND for tolerance in (1e-3, 1e-4) if (name, tolerance) != ("shallow", 1e-3)),
        ("story", 1e-5),
        ("shallow", 1e-6),
    ],
)
def test_a_lobe_needs_hardly_more_chords_than_the_fewest(name, tolerance):
    drive = DRIVES[name]
    chords = (len(outline.polygon(drive, tolerance)) - 1) / drive.lobes
    starts = (0.0, 0.4 * np.pi / drive.lobes, np.pi / drive.lobes)
    # with one chord fewer than greedy takes no polygon gets past a lobe, so in the mean it takes no fewer
    fewest = min(greedy_chords(drive, tolerance, start, 1) for start in starts) - 1
    assert chords <= max(1.1 * fewest, fewest + 1)


@pytest.mark.parametrize("name", DRIVES)
def test_it_is_closed_to_the_bit_and_every_lobe_is_alike(name):
    drive = DRIVES[name]
    corners = outline.polygon(drive, 1e-3)
    assert (corners[0] == corners[-1]).all()
    lobes = as_complex(corners[:-1]).reshape(drive.lobes, -1)
    back = lobes * np.exp(-2j * np.pi * np.arange(drive.lobes) / drive.lobes)[:, None]
    assert np.abs(back - back[0]).max() < 1e-12 * drive.pin_circle_radius  # one rotation's rounding


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_drives_polygon_is_a_simple_ring(name):
    ring = shapely.LinearRing(outline.polygon(DRIVES[name], 1e-3))
    assert ring.is_simple
    assert ring.is_ccw


def test_its_corners_lie_on_the_outline():
    fine = outline.points(STORY, np.linspace(0, 2 * np.pi, 40_001))
    # the fine samples are up to 0.032 mm apart, in the roots, whose radius is more than the roller's: 0.032^2/(8 5)
    assert farthest(outline.polygon(STORY, 1e-2), fine) < 2.6e-5


@pytest.mark.parametrize("tolerance", [0.0, -1.0, 1e-10, 2e3, float("nan"), float("inf")])
def test_a_tolerance_out_of_range_is_refused(tolerance):
    with pytest.raises(ValueError, match="tolerance"):
        outline.polygon(STORY, tolerance)


def test_a_torn_outline_is_refused():
    with pytest.raises(ValueError, match="trochoid ratio is 1"):
        outline.polygon(Drive(20, 42.0, 5.0, 2.1), 1e-3)
