"""The polygon keeps its promise: near enough everywhere, closed, and with few chords.

The fewest chords are found here by a greedy search on a finely sampled curve; from a given start
greedy is at most one chord above the fewest.
"""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

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


def departures(drive, corners):
    """Largest distances curve to polygon and polygon to curve, over one lobe, from dense samples."""
    chords = (len(corners) - 1) // drive.lobes
    samples = 20 * chords + 4001
    curve = outline.points(drive, np.linspace(-np.pi, np.pi, samples) / drive.lobes)
    wider = outline.points(drive, np.linspace(-1.2 * np.pi, 1.2 * np.pi, 8 * samples) / drive.lobes)
    edge = corners[np.arange(-2, chords + 3) % (len(corners) - 1)]
    on_edge = (edge[2:-3, None] + (edge[3:-2] - edge[2:-3])[:, None] * np.linspace(0, 1, 9)[:, None]).reshape(-1, 2)
    return farthest(curve, edge), farthest(on_edge, wider)


def greedy_chords(drive, tolerance, start, samples):
    """Chords of an inscribed polygon, each reaching as far as the tolerance lets it."""
    z = as_complex(outline.points(drive, start + np.linspace(0, 2 * np.pi, samples + 1)))

    def fits(i, j):
        inner = z[i : j + 1 : max(1, (j - i) // 60)] - z[i]
        along = (z[j] - z[i]) / abs(z[j] - z[i])
        seen = inner * along.conjugate()
        beyond = seen.real - np.clip(seen.real, 0, abs(z[j] - z[i]))
        return np.hypot(seen.imag, beyond).max() <= tolerance

    at, chords = 0, 0
    while at < samples:
        step = 1
        while at + 2 * step <= samples and fits(at, at + 2 * step):
            step *= 2
        low, high = at + step, min(at + 2 * step, samples)
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if fits(at, middle) else (low, middle - 1)
        at, chords = low, chords + 1
    return chords


@pytest.mark.parametrize("tolerance", TOLERANCES)
@pytest.mark.parametrize("name", DRIVES)
def test_the_polygon_never_leaves_the_outline_by_more_than_the_tolerance(name, tolerance):
    drive = DRIVES[name]
    curve_out, edge_out = departures(drive, outline.polygon(drive, tolerance))
    assert curve_out <= tolerance * (1 + 1e-6) + 1e-12  # rounding of coordinates
    assert edge_out <= tolerance * (1 + 2e-2)  # the curve is itself sampled for this side


@settings(max_examples=40, deadline=None)  # how long one takes is no matter here
@given(sound_drives(), st.floats(-6, -1))
def test_that_holds_for_any_sound_drive(drive, power):
    tolerance = 10**power
    if tolerance < 1e-6 * drive.pin_circle_radius:
        tolerance = 1e-6 * drive.pin_circle_radius
    curve_out, _ = departures(drive, outline.polygon(drive, tolerance))
    assert curve_out <= tolerance * (1 + 1e-6)


@pytest.mark.parametrize("tolerance", [0.1, 1e-2, 1e-3, 1e-4])
@pytest.mark.parametrize("name", SOUND)
def test_it_needs_hardly_more_chords_than_the_fewest(name, tolerance):
    drive = DRIVES[name]
    chords = len(outline.polygon(drive, tolerance)) - 1
    samples = drive.lobes * max(2000, 40 * chords // drive.lobes)
    fewest = min(greedy_chords(drive, tolerance, start, samples) for start in (0.0, 0.01, np.pi / drive.lobes))
    assert chords <= max(1.1 * fewest, fewest + drive.lobes)


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
    corners = as_complex(outline.polygon(STORY, 1e-2))
    fine = as_complex(outline.points(STORY, np.linspace(0, 2 * np.pi, 400_001)))
    nearest = np.abs(corners[:30, None] - fine).min(axis=1)
    assert nearest.max() < 2e-3  # half a step of the fine samples, up to Rp (1 + K) 2 pi/400 000


@pytest.mark.parametrize("tolerance", [0.0, -1.0, 1e-10, 2e3, float("nan"), float("inf")])
def test_a_tolerance_out_of_range_is_refused(tolerance):
    with pytest.raises(ValueError, match="tolerance"):
        outline.polygon(STORY, tolerance)


def test_a_torn_outline_is_refused():
    with pytest.raises(ValueError, match="trochoid ratio is 1"):
        outline.polygon(Drive(20, 42.0, 5.0, 2.1), 1e-3)
