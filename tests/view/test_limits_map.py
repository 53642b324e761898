"""The map of sound shapes: its lines lie where the limits do, its region holds what is sound.

Two drives that tell the rule of thumb (common practice, no source) from the real bounds: derived, each by two methods.
"""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.colors import to_hex

from cyclokit import Drive
from cyclokit.geometry import limits
from cyclokit.view import figures
from cyclokit.view import limits_map as possible
from tests.geometry import judge

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
NEAR = Drive(pins=20, pin_circle_radius=42.0, roller_radius=3.0, eccentricity=0.8)
STRICT = Drive(pins=12, pin_circle_radius=40.0, roller_radius=2.0, eccentricity=3.0)
LOOSE = Drive(pins=12, pin_circle_radius=40.0, roller_radius=8.0, eccentricity=2.9)
rings = st.tuples(st.integers(3, 60), st.floats(5, 200))


def with_workshop(pins, radius):
    """A map with all lines that there are."""
    apart = float(limits.half_pin_distance(pins, radius))
    return possible.of_ring(pins, radius, least_wall=0.3 * apart, resolution=0.2 * radius / pins), 0.3 * apart


@given(rings)
def test_on_each_line_its_limit_has_no_margin(ring):
    shown, least_wall = with_workshop(*ring)
    for line in shown.lines:
        for roller, eccentricity in line.points:
            if min(roller, eccentricity) < 1e-6 * ring[1]:
                continue  # ends on an axis, where there is no drive
            drive = Drive(*ring, roller, eccentricity)
            report = limits.check(drive, advice=True, least_wall=least_wall, resolution=0.2 * ring[1] / ring[0])
            # lines are straight or have their corners on the limit, but for the end that is cut off within a chord
            assert abs(report[line.name].margin) < 1e-3 * ring[1]
            assert report[line.name].physical == line.physical


def test_every_limit_of_the_report_has_its_line():
    shown, _ = with_workshop(20, 42.0)
    report = limits.check(STORY, advice=True, least_wall=1.0, resolution=0.2)
    assert [line.name for line in shown.lines] == [limit.name for limit in report if limit.name != "pressure angle"]
    assert [line.name for line in possible.of_ring(20, 42.0).lines] == [
        "loop",
        "undercut",
        "rollers apart",
        "rule of thumb",
    ]


@given(rings, st.floats(0.01, 1.0), st.floats(0.01, 1.0))
def test_the_region_holds_just_the_sound_drives(ring, across, up):
    shown = possible.of_ring(*ring)
    region = shapely.Polygon(shown.sound)
    roller, eccentricity = across * shown.reach[0], up * shown.reach[1]
    place = shapely.Point(roller, eccentricity)
    if region.exterior.distance(place) < 1e-3 * ring[1] / ring[0]:
        return  # within the chords of the region's edge
    assert region.contains(place) == bool(limits.sound(*ring, roller, eccentricity))


@given(rings)
def test_the_regions_edge_is_where_soundness_ends(ring):
    corners = possible.of_ring(*ring).sound
    top = corners[corners.min(axis=1) > 0]
    assert limits.sound(*ring, *top.T * (1 - 1e-6)).all()
    assert not limits.sound(*ring, top[:, 0], top[:, 1] * (1 + 1e-6)).any()
    apart = limits.half_pin_distance(*ring)
    assert top[-1][0] == pytest.approx(apart, rel=1e-11)  # up to where the rollers overlap


@pytest.mark.parametrize(("roller", "eccentricity"), [(2.0, 3.0), (8.0, 2.9), (8.0, 2.7), (10.2, 1.0), (10.5, 1.0)])
def test_the_region_agrees_with_a_judge_who_only_looks_at_the_outline(roller, eccentricity):
    region = shapely.Polygon(possible.of_ring(12, 40.0).sound)
    assert region.contains(shapely.Point(roller, eccentricity)) == judge.is_sound(12, 40.0, roller, eccentricity)


@given(rings)
def test_the_map_is_plain_and_finite(ring):
    shown, _ = with_workshop(*ring)
    assert (shown.pins, shown.pin_circle_radius) == ring
    assert (shown.sound[0] == shown.sound[-1]).all()
    for points in (shown.sound, *(line.points for line in shown.lines)):
        assert points.dtype == float and points.shape[1] == 2
        assert np.isfinite(points).all()
        assert (points >= 0).all() and (points <= np.array(shown.reach) * (1 + 1e-12)).all()
    for line in shown.lines:
        assert min(line.label_at) >= 0 and (np.array(line.label_at) <= shown.reach).all()


@pytest.mark.parametrize(
    ("wrong", "error", "says"),
    [
        ({"pins": 2}, ValueError, "pins is 2"),
        ({"pin_circle_radius": -1.0}, ValueError, "pin_circle_radius is -1.0 mm"),
        ({"least_wall": 14.0}, ValueError, "least_wall is 14.0 mm, but must be below 13.1405"),
        ({"least_wall": "1"}, TypeError, "least_wall must be a number"),
        ({"resolution": 0.0}, ValueError, "resolution is 0.0 mm"),
        ({"resolution": 4.2}, ValueError, "resolution is 4.2 mm, but must be below 4.2"),
    ],
)
def test_what_has_no_map_is_refused_in_words(wrong, error, says):
    with pytest.raises(error, match=says):
        possible.of_ring(**{"pins": 20, "pin_circle_radius": 42.0, **wrong})


# the picture


def drawn(ax):
    """What is drawn, by name: limits and drives."""
    return {line.get_label(): line for line in ax.get_lines()}


def words(ax):
    """Words on the picture and the places they belong to."""
    return {text.get_text(): text.xy for text in ax.texts}


def test_every_line_has_its_words_beside_it():
    ax = possible.picture({"the story's": STORY}, least_wall=1.2, resolution=0.4)
    shown = possible.of_ring(20, 42.0, least_wall=1.2, resolution=0.4)
    for line in shown.lines:
        assert (drawn(ax)[line.name].get_xydata() == line.points).all()
        assert words(ax)[line.label] == line.label_at
        near = shapely.LineString(line.points).distance(shapely.Point(line.label_at))
        # the undercut's words stand above its falling line, the others' on theirs
        assert near == pytest.approx(0, abs=1e-12) or line.name == "undercut"


def test_both_drives_are_points_on_the_map():
    ax = possible.picture({"the story's": STORY, "yours": NEAR})
    assert drawn(ax)["the story's"].get_xydata().tolist() == [[5.0, 1.4]]
    assert drawn(ax)["yours"].get_xydata().tolist() == [[3.0, 0.8]]
    assert drawn(ax)["the story's"].get_marker() != drawn(ax)["yours"].get_marker()
    assert {"the story's", "yours"} <= set(words(ax))


def test_the_rule_of_thumb_is_dashed_and_no_two_lines_look_alike():
    lines = drawn(possible.picture({"the story's": STORY}, least_wall=1.2, resolution=0.4))
    names = ("loop", "undercut", "rollers apart", "rule of thumb", "wall", "lobe height")
    assert lines["rule of thumb"].get_linestyle() == "--"
    assert len({str(lines[name]._dash_pattern) for name in names}) == len(names)
    assert len({to_hex(lines[name].get_color()) for name in names[:4]}) == 4


def test_the_sound_region_is_shaded():
    ax = possible.picture({"the story's": STORY})
    (region,) = ax.patches
    assert (region.get_xy() == possible.of_ring(20, 42.0).sound).all()
    assert "sound" in words(ax)


def test_the_counterexamples_of_the_rule_of_thumb_lie_where_they_should():
    ax = possible.picture({"too strict": STRICT, "too loose": LOOSE})
    region = shapely.Polygon(ax.patches[0].get_xy())
    left, right = (shapely.Point(drawn(ax)[name].get_xydata()[0]) for name in ("too strict", "too loose"))
    assert region.contains(left) and left.y > left.x  # sound, beyond the rule
    assert not region.contains(right) and right.y < right.x


def test_a_drive_far_off_the_map_is_still_seen():
    far = Drive(pins=20, pin_circle_radius=42.0, roller_radius=30.0, eccentricity=9.0)
    ax = possible.picture({"far": far})
    assert ax.get_xlim()[1] > 30 and ax.get_ylim()[1] > 9


def test_the_axes_have_labels_with_units_and_are_those_that_were_given():
    ax = figures.plane("roller radius [mm]", "eccentricity [mm]", equal=False)
    assert possible.picture({"the story's": STORY}, ax=ax) is ax
    ax = possible.picture({"the story's": STORY})
    assert (ax.get_xlabel(), ax.get_ylabel()) == ("roller radius [mm]", "eccentricity [mm]")
    assert ax.get_aspect() == "auto"
    assert (ax.get_xlim()[0], ax.get_ylim()[0]) == (0, 0)


def test_words_are_large_bold_and_do_not_cover_one_another():
    ax = possible.picture({"the story's": STORY}, least_wall=1.2, resolution=0.4)
    figure = ax.figure
    figure.draw_without_rendering()
    boxes = {text.get_text(): text.get_window_extent() for text in ax.texts}
    frame = ax.get_window_extent()
    for text in ax.texts:
        assert text.get_weight() == "bold" and text.get_size() >= 11
        box = boxes[text.get_text()]
        assert frame.x0 <= box.x0 and box.x1 <= frame.x1 and frame.y0 <= box.y0 and box.y1 <= frame.y1
    names = list(boxes)
    for k, name in enumerate(names):
        for other in names[k + 1 :]:
            assert not boxes[name].overlaps(boxes[other]), (name, other)


@pytest.mark.parametrize(
    "drives",
    [
        {},
        {"the story's": STORY, "another ring": STRICT},
        {str(k): STORY for k in range(6)},
    ],
    ids=["none", "two rings", "too many"],
)
def test_drives_that_share_no_map_are_refused(drives):
    with pytest.raises(ValueError, match=r"drives has .* share pins and pin circle"):
        possible.picture(drives)


def test_the_loop_line_is_where_the_trochoid_ratio_is_one():
    (loop,) = (line for line in possible.of_ring(20, 42.0).lines if line.name == "loop")
    assert loop.points[:, 1] == pytest.approx([2.1, 2.1], rel=1e-15)
    assert math.isclose(Drive(20, 42.0, 5.0, 2.1).trochoid_ratio, 1.0)


@given(st.integers(5, 40), st.floats(0.05, 0.95), st.floats(0.1, 0.95))
@settings(max_examples=60, deadline=None)
def test_no_way_out_is_shorter_than_the_one_that_is_told(pins, roller, share):
    radius = roller * float(limits.half_pin_distance(pins, 40.0))
    drive = Drive(pins, 40.0, radius, share * float(limits.greatest_eccentricity(pins, 40.0, radius)))
    name, place = possible.way_out(drive)
    here = np.array([drive.roller_radius, drive.eccentricity])
    far = float(np.hypot(*(place - here)))
    angle = np.linspace(-np.pi / 2, np.pi, 120)  # to the axes there is no limit
    round_here = here + 0.998 * far * np.stack((np.cos(angle), np.sin(angle)), axis=1)  # the map's line is a polygon
    assert limits.sound(pins, 40.0, *round_here[(round_here > 0.01).all(axis=1)].T).all()
    beyond = here + 1.002 * (place - here) + 1e-4 * (place - here) / far
    assert not limits.check(Drive(pins, 40.0, *beyond))[name].ok


def test_there_is_no_way_out_of_where_one_is_not():
    with pytest.raises(ValueError, match="must be sound"):
        possible.way_out(Drive(20, 42.0, 5.0, 2.0))
