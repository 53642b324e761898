"""Which rollers touch a milled disc, and its edge: against a judge who only looks, the sweep, and polygons.

Sources
-------
Exact counts for the story's ring: found three ways that share no code, by Newton's rule on the outline's own crossings
(derived, not printed anywhere we know), by the judge here, and by a cut of 400 000 rays and 24 000 steps.
Shapely (GEOS), a general-purpose geometry library, for polygons.
"""

import math

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import limits, milled, outline, sweep
from tests.geometry.drives import STORY, farthest, sound_drives
from tests.geometry.judge import contact_looked_for


def story_with(eccentricity):
    return Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=eccentricity)


EVERY_SIX_DEGREES = 2 * np.pi * np.arange(60) / 60
EVERY_FIFTEEN_DEGREES = 2 * np.pi * np.arange(24) / 24
PLACES = np.arange(6) + 0.01  # crank angles of no symmetry


@pytest.mark.parametrize(("lobes", "least", "most"), [(18, 9, 10), (19, 20, 20), (20, 11, 11), (21, 7, 8)])
def test_how_many_rollers_touch_the_storys_four_discs(lobes, least, most):
    counts = milled.touches(STORY, EVERY_SIX_DEGREES, lobes).sum(axis=-1)
    assert (counts.min(), counts.max()) == (least, most)


@pytest.mark.parametrize(
    ("eccentricity", "lobes", "counts"),
    [(2.0, 19, [10, 10, 10, 12, 10, 10]), (0.6, 21, [13, 13, 13, 14, 13, 13]), (0.4, 21, [20] * 6)],
)
def test_how_many_rollers_touch_an_undercut_disc(eccentricity, lobes, counts):
    drive = story_with(eccentricity)
    assert milled.touches(drive, EVERY_FIFTEEN_DEGREES[:6], lobes).sum(axis=-1).tolist() == counts


@pytest.mark.parametrize("rays", [2000, 6080, 50_000])
def test_the_count_does_not_hang_on_the_cut(rays):
    cut = sweep.cut(story_with(2.0), rays=rays)
    assert sweep.touching(cut, EVERY_FIFTEEN_DEGREES[:6]).tolist() == [10, 10, 10, 12, 10, 10]


@st.composite
def rings(draw, most=1.25):
    """Any ring of 8 to 40 pins with rollers apart, up to loops, and a number of lobes near that of the pins."""
    pins = draw(st.integers(8, 40))
    roller = draw(st.floats(0.15, 0.98)) * 40.0 * math.sin(math.pi / pins)
    eccentricity = draw(st.floats(0.05, most).filter(lambda ratio: abs(ratio - 1) > 1e-9)) * 40.0 / pins
    lobes = pins + draw(st.sampled_from([-3, -2, -1, 1, 2]))
    return Drive(pins, 40.0, roller, eccentricity), lobes


@settings(max_examples=15, deadline=None)
@given(rings(), st.floats(0, 6.28), st.integers(0, 39))
@example((Drive(8, 40.0, 7.653668647301796, 4.921875), 7), 0.0, 2)  # a long tail: its corner isn't where small ones' is
@example((Drive(26, 40.0, 2.8086922151362947, 1.5303223470567826), 25), math.pi, 0)
def test_a_judge_who_looks_all_round_a_roller_says_the_same(ring, crank, pin):
    (drive, lobes), pin = ring, pin % ring[0].pins
    found = contact_looked_for(drive, lobes, crank, pin)
    # a millionth of a mm: the judge's rollers are stopped every 0.002 rad, which leaves up to 1e-7 mm standing; between
    # that and 1e-5 mm it can't tell
    if found > -1e-6:
        assert milled.touches(drive, crank, lobes)[pin]
    elif found < -1e-5:
        assert not milled.touches(drive, crank, lobes)[pin]


@settings(max_examples=25, deadline=None)
@given(rings(most=0.9), st.floats(0, 6.28))  # with loops edges hang over, and rays from the centre miss that
def test_the_sweep_never_sees_more_gaps_than_there_are(ring, crank):
    drive, lobes = ring
    cut = sweep.cut(drive, lobes)
    gaps, touches = sweep.gaps(cut, crank), milled.touches(drive, crank, lobes)
    assert not (touches & (gaps > cut.resolution)).any()
    assert sweep.touching(cut, crank) == touches.sum()


@settings(max_examples=25, deadline=None)
@given(sound_drives(), st.floats(-50, 50))
def test_all_rollers_of_a_sound_drive_touch(drive, crank):
    assert milled.touches(drive, crank).all()
    assert milled.contact_phases(drive) == pytest.approx(np.array([[0, np.pi]]))


@pytest.mark.parametrize("pins", [8, 13, 20, 29, 40])
@pytest.mark.parametrize("beyond", [1e-6, 1e-4, 1e-2])
def test_contact_is_lost_as_soon_as_the_disc_is_undercut(pins, beyond):
    circle, roller = 40.0, 0.7 * 40.0 * math.sin(math.pi / pins)
    limit = float(limits.greatest_eccentricity(pins, circle, roller))
    assert milled.contact_phases(Drive(pins, circle, roller, limit * (1 - beyond))).shape == (1, 2)
    lost = milled.contact_phases(Drive(pins, circle, roller, limit * (1 + beyond)))
    assert lost.shape == (2, 2)
    # the tail grows with the square root of what is beyond: so do its cusps, a quadratic
    wider = milled.contact_phases(Drive(pins, circle, roller, limit * (1 + 1.5 * beyond)))
    assert (wider[1, 0] - wider[0, 1]) / (lost[1, 0] - lost[0, 1]) == pytest.approx(math.sqrt(1.5), rel=0.02)


@pytest.mark.parametrize("eccentricity", [1.9, 2.0, 2.05])
def test_where_contact_ends_the_closed_outline_crosses_itself(eccentricity):
    """Phase f of pin 0 is t = f/(N - 1) on the outline; `outline` shares no code with `milled`."""
    drive = story_with(eccentricity)
    (_, first), (second, _) = milled.contact_phases(drive)
    here, there = outline.points(drive, np.array([first, second]) / drive.lobes)
    assert here == pytest.approx(there, abs=1e-11)  # rounding of 42 mm, some steps of it


@pytest.mark.parametrize("pins", range(8, 41, 4))
@pytest.mark.parametrize("more", [-3, -2, -1, 0, 1, 2])
def test_the_edge_is_what_the_rollers_leave(pins, more):
    roller, lobes = 0.6 * 40.0 * math.sin(math.pi / pins), pins + more
    drive = Drive(pins, 40.0, roller, 0.7 * 40.0 / pins)
    edge = milled.edge(drive, lobes, tolerance=1e-5)
    assert (edge[0] == edge[-1]).all()
    assert shapely.LinearRing(edge).is_simple and shapely.LinearRing(edge).is_ccw
    gaps = sweep.gaps_to_edge(drive, edge, PLACES, lobes)
    touches = milled.touches(drive, PLACES, lobes)
    assert np.abs(gaps[touches]).max() < 1.01e-5  # mm: the tolerance asked for
    assert gaps.min() > -1.01e-5


def test_with_as_many_lobes_as_pins_the_edge_goes_on_behind_what_the_centre_sees():
    edge = milled.edge(STORY, 20)
    gaps = sweep.gaps_to_edge(STORY, edge, EVERY_SIX_DEGREES, 20)
    blank = shapely.Point(0, 0).buffer(43.4, quad_segs=1024)
    bites = [shapely.Point(42 * math.cos(a), 42 * math.sin(a)).buffer(6.4, quad_segs=1024) for a in pitches(20)]
    disc = shapely.difference(blank, shapely.union_all(bites))
    # mm: the rim between two bites, 0.92 mm wide, is drawn as a straight line: 0.92^2/(8 43.4)
    assert apart(shapely.get_coordinates(disc.exterior), edge) < 2.6e-3
    greatest = shapely.distance(disc, shapely.Point(43.4, 0)) - 5.0
    assert gaps.max() == pytest.approx(greatest, abs=2e-3)


def apart(one, other):
    """Greatest distance between two closed polygons, from either one's corners."""
    return max(farthest(one, other), farthest(other, one))


def pitches(count):
    return 2 * np.pi * np.arange(count) / count


def test_what_falls_out_of_the_disc_is_not_touched():
    """Thin rollers leave islands between two crossing paths; only the piece round the centre is the disc."""
    drive = Drive(20, 42.0, 0.3, 1.4)
    around = np.linspace(0, 2 * np.pi, 4001)
    paths = [42 * np.exp(1j * around) - 1.4 * np.exp(1j * (10 * around - np.pi * k)) for k in range(2)]
    bands = [shapely.LineString(np.column_stack([path.real, path.imag])).buffer(0.3) for path in paths]
    left = shapely.difference(shapely.Point(0, 0).buffer(43.4), shapely.union_all(bands))
    assert len(shapely.get_parts(left)) > 36  # a lens between each two crossings, and the disc
    disc = next(part for part in shapely.get_parts(left) if part.covers(shapely.Point(0, 0)))
    # mm: GEOS simplifies a line before it buffers it, by a hundredth of the distance
    assert apart(shapely.get_coordinates(disc.exterior), milled.edge(drive, 18)) < 0.01


def test_a_cusp_of_the_paths_is_refused_and_everything_beside_it_is_not():
    with pytest.raises(ValueError, match="trochoid ratio of 1, at which the pins' paths have cusps for 19 lobes"):
        milled.touches(story_with(2.1), 0.0)
    assert milled.touches(story_with(2.0999999), 0.0).sum() >= 2
    assert milled.touches(story_with(2.1), 0.0, lobes=18).sum() >= 2


def test_a_disc_of_which_nothing_is_left_is_refused():
    with pytest.raises(ValueError, match="no disc is left"):
        milled.touches(Drive(8, 40.0, 39.0, 1.6), 0.0)


@pytest.mark.parametrize(("lobes", "error"), [(0, ValueError), (19.0, TypeError), (True, TypeError)])
def test_lobes_are_counted(lobes, error):
    with pytest.raises(error, match="lobes"):
        milled.touches(STORY, 0.0, lobes)


@pytest.mark.parametrize(
    ("eccentricity", "lobes"), [(1.4, 19), (2.0, 19), (2.0999, 19), (2.4, 19), (2.0, 18), (1.4, 20)]
)
@pytest.mark.parametrize("tolerance", [1e-5, 1e-3, 0.03])
def test_no_chord_of_the_edge_departs_by_more_than_the_tolerance(eccentricity, lobes, tolerance):
    """Ten times as many corners or more, each on the curve: none of them lies farther from the coarse polygon."""
    drive = story_with(eccentricity)
    fine = milled.edge(drive, lobes, tolerance / 100)
    assert farthest(fine[: 2 * len(fine) // lobes], milled.edge(drive, lobes, tolerance)) <= tolerance


@pytest.mark.parametrize("tolerance", [1e-8, -1.0, 2e3])
def test_the_tolerance_is_within_reason(tolerance):
    with pytest.raises(ValueError, match="tolerance"):
        milled.edge(STORY, tolerance=tolerance)
