"""The disc cut by brute force against the closed outline, a polygon library and the one-lobe theorem.

Sources
-------
The witness here is the sweep itself: it has no formula of an outline in it, so where it and
`cyclokit.geometry.outline` agree, two independent ways agree. Its own witness is shapely (GEOS), which
takes polygons away from polygons.
One-lobe theorem (for M lobes the N pins' traces lie on one curve that closes in one turn exactly when
|N - M| = 1), and how far the gaps open otherwise: derived, not printed anywhere we know.
"""

import dataclasses
import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import limits, outline, polygons, sweep
from tests.geometry.drives import LOOPED, STORY, TWELVE, UNDERCUT, as_complex, sound_drives

STUBBY = Drive(pins=12, pin_circle_radius=40.0, roller_radius=2.0, eccentricity=3.0)  # sound, with e > r
EIGHT = Drive(pins=8, pin_circle_radius=40.0, roller_radius=5.0, eccentricity=1.6)
TURNING_PAIRS = [(pins, lobes) for pins in range(4, 31) for lobes in range(pins - 3, pins + 3) if lobes != pins]
CRANK = np.linspace(0, 2 * np.pi, 8, endpoint=False) + 0.1  # odd places, none of them a symmetry of the drive


def gentle(pins):
    """A drive whose rollers could be served by one lobe more as well as by one fewer.

    With one lobe more a lobe's tip has the radius of curvature Rp (1 - K)^2/(1 + N K) on the centre path
    (from its first two derivatives, as with one lobe fewer), and the roller must be smaller.
    """
    radius, ratio = 42.0, 0.1
    eccentricity = ratio * radius / pins
    room = min(
        limits.half_pin_distance(pins, radius),
        limits.least_convex_radius(pins, radius, eccentricity),
        radius * (1 - ratio) ** 2 / (1 + pins * ratio),
    )
    return Drive(pins, radius, 0.5 * float(room), eccentricity)


def outline_on_rays(drive, angles):
    """Radius of the closed outline on each ray, by secant steps on the parameter."""
    grid = np.linspace(0, 2 * np.pi, 400 * drive.pins)

    def turned_back(t):
        return as_complex(outline.points(drive, t)) * np.exp(-1j * angles)

    t = np.interp(angles, np.unwrap(np.angle(as_complex(outline.points(drive, grid)))), grid)
    for _ in range(4):
        slope = (np.angle(turned_back(t + 1e-6)) - np.angle(turned_back(t - 1e-6))) / 2e-6
        t = t - np.angle(turned_back(t)) / slope
    return turned_back(t).real


def segments(polygon):
    """The sides of a closed polygon, in a tree that finds the nearest."""
    return shapely.STRtree(shapely.linestrings(np.stack([polygon[:-1], polygon[1:]], axis=1)))


def farthest_apart(drive, cut):
    """Greatest distance between the cut's polygon and the closed outline, looked for both ways."""
    fine = max(cut.resolution / 100, 1e-8)  # the outline as a polygon, and places on it between two rays
    exact = outline.polygon(drive, fine)
    places = outline.points(drive, np.linspace(0, 2 * np.pi, 5 * cut.radii.size))
    there = segments(exact).query_nearest(shapely.points(cut.points), all_matches=False, return_distance=True)[1]
    back = segments(cut.points).query_nearest(shapely.points(places), all_matches=False, return_distance=True)[1]
    return max(there.max(), back.max())


@pytest.mark.parametrize("drive", [STORY, TWELVE, STUBBY], ids=["story", "twelve", "eccentricity above roller"])
def test_brute_force_finds_the_outline(drive):
    cut = sweep.cut(drive)
    assert farthest_apart(drive, cut) <= cut.resolution


def test_the_storys_disc_is_found_to_a_few_micrometres():
    cut = sweep.cut(STORY)
    assert cut.resolution < 0.005  # mm, what a lesson lays over the closed form
    # on the rays themselves only the steps count: their bound is 0.17 micrometres here, and radii are
    # a little longer than distances square to the edge (up to 1.2 times)
    assert np.abs(cut.radii - outline_on_rays(STORY, cut.angles)).max() < 0.0002


@settings(max_examples=30)
@given(sound_drives())
def test_brute_force_finds_the_outline_of_every_sound_drive(drive):
    cut = sweep.cut(drive)
    assert farthest_apart(drive, cut) <= cut.resolution
    # a roller between two steps can only take more away; rounding of the rays' search is 3e-15 of the radius
    assert (cut.radii - outline_on_rays(drive, cut.angles)).min() > -1e-12 * drive.pin_circle_radius


def test_twice_the_rays_and_steps_make_the_cut_four_times_as_exact():
    cuts = [sweep.cut(STORY, rays=rays, steps=steps) for rays, steps in ((1000, 180), (2000, 360), (4000, 720))]
    stated = np.array([cut.resolution for cut in cuts])
    measured = np.array([farthest_apart(STORY, cut) for cut in cuts])
    # second order is a factor of 4; rays fall a little differently each time
    assert stated[:-1] / stated[1:] == pytest.approx(4, rel=0.1)
    assert measured[:-1] / measured[1:] == pytest.approx(4, rel=0.1)


def test_twice_the_steps_alone_make_each_ray_four_times_as_exact():
    exact, errors = None, []
    for steps in (180, 360, 720):  # multiples of the pins, else the pins' steps interleave and do better
        cut = sweep.cut(STORY, rays=19_000, steps=steps)  # many, so that some ray falls midway between steps
        exact = outline_on_rays(STORY, cut.angles) if exact is None else exact
        errors.append(np.abs(cut.radii - exact).max())
    assert np.divide(errors[:-1], errors[1:]) == pytest.approx(4, rel=0.05)  # second order


def test_the_sweep_needs_no_formula_of_an_outline(monkeypatch):
    expected = sweep.cut(STORY, rays=500)

    def refuse(*_):
        raise AssertionError("the sweep has asked for the outline")

    for name in ("centre_path", "points", "normals", "curvature", "length", "area", "polygon", "_edge"):
        monkeypatch.setattr(outline, name, refuse)
    cut = sweep.cut(STORY, rays=500)
    assert (cut.radii == expected.radii).all()
    assert (sweep.touching(cut, CRANK) == STORY.pins).all()


@pytest.mark.parametrize(
    ("drive", "lobes"), [(EIGHT, 7), (EIGHT, 9), (EIGHT, 6), (UNDERCUT, 19), (LOOPED, 19)], ids=str
)
def test_a_polygon_library_cuts_the_same_disc(drive, lobes):
    """Circles are taken away one by one, over all the crank's turns, where the sweep turns one turn's cut on."""
    steps = 40
    cut = sweep.cut(drive, lobes, rays=1000, steps=steps)
    crank = 2 * np.pi / steps * np.arange(steps * cut.turns)
    centres = sweep.pins_from_disc(drive, crank, lobes).reshape(-1, 2)
    centres = centres[np.unique(centres.round(9), axis=0, return_index=True)[1]]  # many rollers come to one place
    rollers = shapely.union_all(shapely.buffer(shapely.points(centres), drive.roller_radius, quad_segs=16))
    blank = shapely.Point(0, 0).buffer(drive.pin_circle_radius + drive.eccentricity, quad_segs=256)
    left = shapely.difference(blank, rollers)
    disc = next(part for part in shapely.get_parts(left) if part.covers(shapely.Point(0, 0)))
    rays = shapely.linestrings(np.stack([np.zeros((cut.angles.size, 2)), 1.1 * cut.points[:-1]], axis=1))
    by_library = shapely.length(shapely.intersection(rays, disc))
    # the 64-sided roller lies between two round ones, of r and of r cos(pi/64), 6 to 8 micrometres less:
    # that alone limits how well the two agree
    thinner = dataclasses.replace(drive, roller_radius=drive.roller_radius * math.cos(math.pi / 64))
    cut_less = sweep.cut(thinner, lobes, rays=1000, steps=steps)
    assert (cut.radii - by_library).max() < 1e-9  # rounding
    assert (by_library - cut_less.radii).max() < 1e-9
    assert np.median(cut_less.radii - cut.radii) < 0.01


@pytest.mark.parametrize("pins", range(4, 31))
def test_the_pins_traces_are_one_curve_exactly_when_lobes_and_pins_differ_by_one(pins):
    drive = gentle(pins)
    for lobes in range(pins - 3, pins + 3):
        if lobes == pins:
            continue  # the disc doesn't turn; that is the next test
        # pin k comes to the direction t of pin 0 when the disc has turned by 2 pi k/N - t; a turn, and a bit
        t = np.linspace(0, 2 * np.pi, 50)
        crank = (t - 2 * np.pi * np.arange(pins)[:, None] / pins) * lobes / (pins - lobes)
        seen = as_complex(sweep.pins_from_disc(drive, crank, lobes))
        traces = seen[np.arange(pins), :, np.arange(pins)]
        spread = np.abs(traces - traces[0]).max()
        open_by = np.abs(traces[:, -1] - traces[:, 0]).max()
        one_closed_curve = max(spread, open_by) < 1e-9  # rounding is 1e-12, the smallest failure 0.1 e
        assert one_closed_curve == (abs(pins - lobes) == 1)


@pytest.mark.parametrize("pins", [4, 11, 20, 30])
def test_with_as_many_lobes_as_pins_the_disc_does_not_turn(pins):
    drive = gentle(pins)
    assert (sweep.disc_angle(drive, CRANK, lobes=pins) == 0).all()
    seen = as_complex(sweep.pins_from_disc(drive, np.linspace(0, 2 * np.pi, 100), lobes=pins))
    standing = 42.0 * np.exp(2j * np.pi * np.arange(pins) / pins)
    assert np.abs(seen - standing) == pytest.approx(drive.eccentricity, abs=1e-12)  # rounding of 42 mm


@pytest.mark.parametrize(("pins", "lobes"), TURNING_PAIRS)
def test_all_rollers_stay_in_touch_exactly_when_lobes_and_pins_differ_by_one(pins, lobes):
    drive = gentle(pins)
    cut = sweep.cut(drive, lobes, rays=1500, steps=180)
    gaps = sweep.gaps(cut, CRANK)
    assert gaps.min() >= -cut.resolution
    if abs(pins - lobes) == 1:
        assert (np.abs(gaps) <= cut.resolution).all()
        assert (sweep.touching(cut, CRANK) == pins).all()
        assert cut.resolution < 0.02 * drive.eccentricity  # so that touching means something
    else:
        # at every crank angle some roller stands off by more than the eccentricity
        assert (gaps.max(axis=1) > drive.eccentricity).all()
        # coarsest for one lobe among four pins, where the disc turns three times in a crank turn
        assert cut.resolution < 0.3 * drive.eccentricity


@pytest.mark.parametrize(("pins", "lobes"), [pair for pair in TURNING_PAIRS if pair[0] > 9])
def test_how_far_the_gaps_open(pins, lobes):
    """The traces differ by turns of the eccentricity through 1/(N - M) of a turn; the worst two set the gap."""
    drive = gentle(pins)
    cut = sweep.cut(drive, lobes, rays=1500, steps=180)
    apart = abs(pins - lobes)
    chords = np.abs(1 - np.exp(2j * np.pi * np.arange(apart) / apart))
    greatest = sweep.gaps(cut, np.linspace(0, 2 * np.pi, 20)).max()
    # first order in e/Rp (below 0.01 here), crank angles sampled: 1 % of 2 e, and what the cut can't tell
    assert greatest == pytest.approx(chords.max() * drive.eccentricity, abs=0.02 * drive.eccentricity + cut.resolution)


@pytest.mark.parametrize(
    ("lobes", "turns", "per_crank_turn"),
    [(19, 19, -1 / 19), (21, 21, 1 / 21), (20, 1, 0.0), (18, 9, -1 / 9), (1, 1, -19.0)],
)
def test_how_the_disc_turns_among_twenty_pins(lobes, turns, per_crank_turn):
    cut = sweep.cut(STORY, lobes, steps=60)
    assert cut.turns == turns
    assert sweep.disc_angle(STORY, 2 * np.pi, lobes) == pytest.approx(2 * np.pi * per_crank_turn, rel=1e-15)
    # after that many turns, and not before, every pin stands as at the start, seen from the disc
    seen = as_complex(sweep.pins_from_disc(STORY, 2 * np.pi * np.arange(turns + 1), lobes))
    back = [np.abs(pins[:, None] - seen[0]).min(axis=1).max() < 1e-9 for pins in seen]
    assert back == [True] + [False] * (turns - 1) + [True]


# what undercut does


@pytest.fixture(scope="module")
def trimmed():
    """The undercut disc as the rollers leave it, finely enough to see a corner."""
    return sweep.cut(UNDERCUT, rays=12_000, steps=720)


PART_TURN = np.linspace(0, 2 * np.pi / UNDERCUT.pins, 12, endpoint=False) + 0.003  # then all repeats with other pins


def test_the_trimmed_disc_still_turns_but_rollers_lose_it(trimmed):
    gaps = sweep.gaps(trimmed, PART_TURN)
    assert gaps.min() >= -trimmed.resolution  # nothing is in its way
    touching = sweep.touching(trimmed, PART_TURN)
    assert touching.max() < UNDERCUT.pins  # where the story's disc has all of them at all times
    assert touching.min() >= 2
    assert gaps.max() > 5 * trimmed.resolution


def test_the_rollers_that_an_undercut_disc_loses_are_those_on_its_flanks(trimmed):
    # roots and tips, where t is a multiple of half a lobe, keep their rollers; the flank between loses them
    lost = sweep.gaps(trimmed, PART_TURN) > trimmed.resolution
    t = 2 * np.pi * np.arange(UNDERCUT.pins) / UNDERCUT.pins - sweep.disc_angle(UNDERCUT, PART_TURN)[:, None]
    from_root = np.abs((t * UNDERCUT.lobes + np.pi) % (2 * np.pi) - np.pi)  # 0 at a root, pi at a tip
    assert lost.any()
    assert from_root[lost].min() > 0.1 and from_root[lost].max() < np.pi - 0.1


def test_an_untrimmed_tail_lies_in_the_rollers_way():
    edge = outline.polygon(UNDERCUT)
    crank = np.linspace(0, 2 * np.pi / UNDERCUT.pins, 400)
    deepest = sweep.gaps_to_edge(UNDERCUT, edge, crank).min()
    # GEOS: seen from the disc the rollers' centres run along the centre path
    path = outline.centre_path(UNDERCUT, np.linspace(0, 2 * np.pi, 40_001))
    pieces = shapely.STRtree(shapely.linestrings(np.stack([path[:-1], path[1:]], axis=1)))
    nearest = pieces.query_nearest(shapely.points(edge), return_distance=True)[1].min()
    # a pin goes 0.1 mm a step at most, and near the tail's tip, 6 mm away, that changes the distance by 0.05^2/12 at
    # most; the polygon is a micrometre off
    assert deepest == pytest.approx(nearest - UNDERCUT.roller_radius, abs=3e-4)
    assert deepest < -0.4


@settings(max_examples=20)
@given(sound_drives(), st.floats(-50, 50))
def test_nothing_of_a_sound_outline_lies_in_the_rollers_way(drive, crank):
    tolerance = 1e-4 * drive.pin_circle_radius
    gaps = sweep.gaps_to_edge(drive, outline.polygon(drive, tolerance), crank)
    assert np.abs(gaps).max() < tolerance * 1.01  # all rollers touch, within the polygon's own tolerance


@given(st.lists(st.tuples(st.floats(-60, 60), st.floats(-60, 60)), min_size=2, max_size=9), st.floats(-50, 50))
def test_gaps_to_any_edge_are_those_to_all_of_its_chords(corners, crank):
    edge = np.array([*corners, corners[0]])
    pins = sweep.pins_from_disc(STORY, crank)
    to_all = polygons.from_chords(pins[:, None], edge[:-1], edge[1:]).min(axis=1) - STORY.roller_radius
    assert sweep.gaps_to_edge(STORY, edge, crank) == pytest.approx(to_all, abs=1e-12)  # rounding of 100 mm


@pytest.mark.parametrize("bad", [[1.0, 2.0], [[1.0, 2.0, 3.0]], [[1.0, 2.0]]])
def test_an_edge_is_a_polygon(bad):
    with pytest.raises(ValueError, match="edge has the shape"):
        sweep.gaps_to_edge(STORY, bad, 0.0)


def test_a_roller_over_the_centre_leaves_nothing():
    greedy = dataclasses.replace(EIGHT, roller_radius=39.0)
    cut = sweep.cut(greedy)
    assert (cut.radii == 0).all()
    with pytest.raises(ValueError, match="no disc is left"):
        sweep.gaps(cut, 0.0)


@settings(max_examples=50)
@given(st.integers(3, 30), st.integers(1, 40), st.floats(0.1, 60.0), st.floats(0.1, 60.0))
def test_no_pair_however_wild_gives_anything_but_radii(pins, lobes, roller, eccentricity):
    drive = Drive(pins, 42.0, roller, eccentricity)
    cut = sweep.cut(drive, lobes, rays=600, steps=60)
    assert np.isfinite(cut.radii).all() and math.isfinite(cut.resolution)
    assert cut.radii.min() >= 0 and cut.radii.max() <= 42.0 + eccentricity
    assert cut.radii.size == cut.angles.size >= 600 and cut.radii.size % cut.turns == 0


def test_the_polygon_is_closed_and_follows_the_rays():
    cut = sweep.cut(STORY, rays=500)
    assert (cut.points[0] == cut.points[-1]).all()
    assert as_complex(cut.points[:-1]) == pytest.approx(cut.radii * np.exp(1j * cut.angles), abs=1e-12)


@pytest.mark.parametrize(
    ("wrong", "error", "says"),
    [
        ({"lobes": 0}, ValueError, "lobes is 0, but must be 1 to 10000"),
        ({"lobes": 19.0}, TypeError, "lobes must be a whole number such as 1, not 19.0"),
        ({"lobes": True}, TypeError, "lobes must be a whole number such as 1, not True"),
        ({"rays": 239}, ValueError, "rays is 239, but must be 240 to 1000000"),
        ({"steps": 11}, ValueError, "steps is 11, but must be 12 to 100000"),
    ],
)
def test_what_cannot_be_swept_is_refused_in_words(wrong, error, says):
    with pytest.raises(error, match=says):
        sweep.cut(STORY, **wrong)
    with pytest.raises(ValueError, match="crank contains nan"):
        sweep.pins_from_disc(STORY, math.nan)
