"""What a stage shows, as it leaves Python: as true as the motion it shows.

- SVG and its coordinates, y downwards: Scalable Vector Graphics (SVG) 1.1, W3C, 2011, ch. 7.
- Cycloid of a circle of radius r, turned by a: x = r (a - sin a), y = r (1 - cos a); any calculus handbook
  (from memory).
- Distances between shapes: Shapely, a general-purpose geometry library.
- A pin can only push, so it resists a turn of the disc exactly if that turn would bring the disc closer to it: derived.
"""

import json
import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon

from cyclokit import Drive
from cyclokit.geometry import motion, outline, sweep
from cyclokit.view import pins, scene, svg
from cyclokit.view.pins import View
from tests.geometry.drives import UNDERCUT, sound_drives

SVG = "{http://www.w3.org/2000/svg}"
STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
DRIVES = [STORY, Drive(12, 40.0, 4.0, 1.5), Drive(3, 50.0, 10.0, 5.0), Drive(61, 30.0, 0.8, 0.2)]
ALL = tuple(scene.SENTENCES)
ROUNDED = 0.005 + 1e-9  # mm: curves have two decimals, the rest three

angles = st.floats(min_value=-200.0, max_value=200.0)


def parsed(made):
    return ElementTree.fromstring(made.svg)


def facts_of(made):
    return json.loads(parsed(made).get("data-facts"))


def part(made, name):
    return next(one for one in parsed(made).iter() if one.get("data-part") == name)


def move_of(element):
    """How a part moves, as the page reads it."""
    return svg.Move(*map(float, element.get("data-move").split()))


def seen(points, where):
    """Points of a part as they are seen when it stands at x, y and has turned."""
    x, y, turn = where
    return motion.turned(np.asarray(points), np.float64(turn)) + np.array([x, y])


def pairs(text):
    """Points of a path or polyline, y upwards."""
    return np.array([pair.split(",") for pair in re.findall(r"-?[\d.]+,-?[\d.]+", text)], dtype=float) * [1, -1]


# where parts are


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
@given(angles)
@settings(max_examples=20)
def test_the_disc_is_where_the_motion_says(drive, crank):
    x, y, turn = move_of(part(scene.turning(drive, View()), "disc")).at(crank)
    pose = motion.disc_pose(drive, crank)
    assert (x, y) == pytest.approx(pose.centre, abs=1e-6)  # mm: rates carry nine decimals
    assert turn == pytest.approx(float(pose.angle), abs=1e-9 * abs(crank) + 1e-12)


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
def test_the_slider_spans_one_turn_of_the_disc_backwards(drive):
    made = scene.turning(drive, View())
    _, _, turn = move_of(part(made, "disc")).at(2 * math.pi * facts_of(made)["turns"])
    assert turn == pytest.approx(-2 * math.pi, abs=1e-6)  # rad: nine decimals a radian, up to 400 rad


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
def test_every_roller_touches_the_disc_at_any_crank_angle(drive):
    made = scene.turning(drive, View())
    disc = part(made, "disc")
    edge = pairs(disc.find(f"{SVG}g/{SVG}path").get("d"))
    rings = next(one for one in parsed(made).iter() if one.get("data-layer") == "rollers").findall(f"{SVG}circle")
    rollers = [(float(one.get("cx")), -float(one.get("cy")), float(one.get("r"))) for one in rings[:-1]]
    assert len(rollers) == drive.pins
    # mm: the outline departs by about a 2000th of the picture's half width; corners and rollers are rounded
    within = drive.pin_circle_radius / 1000 + 2 * math.sqrt(2) * ROUNDED
    for crank in np.linspace(0.1, 2 * math.pi * drive.ratio, 7):
        shape = Polygon(seen(edge, move_of(disc).at(crank)))
        for x, y, radius in rollers:
            assert shape.exterior.distance(Point(x, y)) == pytest.approx(radius, abs=within)
            assert not shape.contains(Point(x, y))


@given(sound_drives())
@settings(max_examples=40)
def test_the_drawn_edge_is_closed_and_close_to_the_outline(drive):
    within = drive.pin_circle_radius / 2000
    edge = scene._edge(drive, within)
    assert (edge[0] == edge[-1]).all()
    true = Polygon(outline.polygon(drive, within / 20))
    # 2: chords are as long as a sampled curvature allows, and the true outline is a polygon here, too
    assert Polygon(edge).hausdorff_distance(true) < 2 * within


def test_the_drawn_edge_of_an_undercut_disc_has_its_tails():
    edge = scene._edge(UNDERCUT, 0.02)
    assert not Polygon(edge).is_valid  # it crosses itself
    assert len(edge) < 2000


# what is different at every pin


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
def test_one_pins_table_turned_gives_the_contacts_of_all(drive):
    table = pins.contact_facts(drive)
    count = len(table["normal"])
    for place in range(0, count, count // 11):
        crank = 2 * math.pi * place / count
        contacts = motion.contacts(drive, crank)
        for k in range(drive.pins):
            at = (place - k * count // drive.pins) % count
            direction = math.pi + 2 * math.pi * k / drive.pins + math.radians(table["normal"][at])
            inwards = np.array([math.cos(direction), math.sin(direction)])
            # a hundredth of a degree, halved; cos and sin of it
            assert inwards == pytest.approx(-contacts.normals[k], abs=1e-4)
            reached = motion.pins(drive)[k] + table["reach"][at] * inwards
            # mm: lengths to a tenth and the direction's rounding
            assert math.dist(reached, motion.pitch_point(drive, crank)) < 0.051 + 1e-4 * 2 * drive.pin_circle_radius


def test_the_table_is_counted_in_shares_of_a_turn_of_which_the_pins_are_whole_numbers():
    for drive in DRIVES:
        count = len(pins.contact_facts(drive)["normal"])
        assert count >= pins.SAMPLES
        assert count % drive.pins == 0


@pytest.mark.parametrize("drive", DRIVES[:3], ids=repr)
@pytest.mark.parametrize(("load", "way"), [("counter-clockwise", 1), ("clockwise", -1)])
def test_a_pin_pushes_exactly_if_the_load_turns_the_disc_against_it(drive, load, way):
    table = pins.contact_facts(drive)["push"]
    count, edge = len(table), outline.polygon(drive, 1e-4)
    for place in (7, count // 3 + 2, count - 11):
        crank = 2 * math.pi * place / count
        pose = motion.disc_pose(drive, crank)
        before, after = (
            Polygon(pose.centre + motion.turned(edge, pose.angle + turn)) for turn in (0.0, way * 1e-3)
        )  # rad: a turn by which a lever of 1 mm comes a thousandth of a mm closer
        for k, (x, y) in enumerate(motion.pins(drive)):
            closer = before.exterior.distance(Point(x, y)) - after.exterior.distance(Point(x, y))
            if abs(closer) < 5e-4:  # mm: nearly through the disc's centre, within the polygon's tolerance
                continue
            pushes = table[(place - k * count // drive.pins) % count] == pins.LOADS[load]
            assert pushes == (closer > 0)


def test_half_of_the_pins_push():
    table = pins.contact_facts(STORY)["push"]
    assert table.count("+") == table.count("-")
    assert table.count("0") == 2  # where the contact normal passes through the disc's centre: in line with the crank


@pytest.mark.parametrize("lobes", [17, 18, 20, 21])
def test_one_pins_gap_turned_gives_the_gaps_of_all(lobes):
    piece = sweep.cut(STORY, lobes=lobes, rays=60 * lobes)
    table = facts_of(scene.cut(piece, View()))["gap"]
    for place in (3, 100, 333):
        gaps = sweep.gaps(piece, 2 * math.pi * place / len(table))
        turned = [table[(place - k * len(table) // 20) % len(table)] for k in range(20)]
        # mm: every lobe of a cut is alike but for the cut's own resolution; three decimals
        assert turned == pytest.approx(gaps, abs=2 * piece.resolution + 5e-4)


def test_forces_are_drawn_in_shares_of_the_largest():
    made = scene.turning(STORY, View(show=("forces",)), forces=np.array([0.0, 30.0, 120.0, 60.0]))
    assert facts_of(made)["force"] == [0.0, 0.25, 1.0, 0.5]
    assert facts_of(scene.turning(STORY, View(), forces=np.zeros(3)))["force"] == [0.0, 0.0, 0.0]


def test_of_a_layer_that_is_not_shown_the_page_gets_one_pin():
    count = lambda made, name: len(next(one for one in parsed(made).iter() if one.get("data-layer") == name))  # noqa: E731
    assert count(scene.turning(STORY, View()), "contacts") == 1
    assert count(scene.turning(STORY, View(show=("contacts",))), "contacts") == 20


# output rollers


def test_output_rollers_are_where_they_were_asked_for():
    made = scene.turning(STORY, View(show=ALL), output=(8, 20.0, 2.0))
    rollers = part(made, "output").findall(f"{SVG}circle")
    holes = next(one for one in part(made, "disc") if one.get("data-layer") == "output").findall(f"{SVG}circle")
    assert len(rollers) == len(holes) == 8
    for one in rollers:
        assert math.hypot(float(one.get("cx")), float(one.get("cy"))) == pytest.approx(20.0, abs=2e-3)
        assert float(one.get("r")) == 2.0
    assert {float(one.get("r")) for one in holes} == {3.4}  # a hole is wider by the eccentricity all round


@pytest.mark.parametrize("output", [(8, 34.0, 2.0), (30, 20.0, 2.0)])
def test_output_holes_that_do_not_fit_are_refused(output):
    with pytest.raises(ValueError, match=r"output is .* don't fit"):
        scene.turning(STORY, View(), output=output)


def test_a_disc_too_small_for_a_sketch_of_output_rollers_has_none():
    made = scene.turning(Drive(3, 50.0, 10.0, 15.0), View())
    assert "output" not in made.layers


# rolling circles


@pytest.mark.parametrize("radius", [10.0, 2.5])
def test_the_pen_of_the_circle_on_a_line_draws_the_cycloid(radius):
    made = scene.on_line(radius, 2, View(show=ALL))
    wheel = part(made, "circle")
    pen = wheel.findall(f"{SVG}circle")[-1]
    at = np.array([float(pen.get("cx")), -float(pen.get("cy"))])
    trail = pairs(next(parsed(made).iter(f"{SVG}polyline")).get("data-trail"))
    for drawn, angle in zip(trail, np.linspace(0, 4 * math.pi, len(trail)), strict=True):
        cycloid = radius * np.array([angle - math.sin(angle), 1 - math.cos(angle)])
        assert seen(at, move_of(wheel).at(angle)) == pytest.approx(cycloid, abs=1e-3)  # mm: the pen has three decimals
        assert drawn == pytest.approx(cycloid, abs=ROUNDED)


@pytest.mark.parametrize(("fixed", "rolling", "arm"), [(30.0, 10.0, 10.0), (30.0, 10.0, 6.0), (39.9, 2.1, 1.4)])
def test_the_pen_of_the_circle_on_a_circle_stays_on_its_curve(fixed, rolling, arm):
    made = scene.on_circle(fixed, rolling, arm, View(show=ALL))
    wheel = part(made, "circle")
    pen = wheel.findall(f"{SVG}circle")[-1]
    at = np.array([float(pen.get("cx")), -float(pen.get("cy"))])
    trail = pairs(next(parsed(made).iter(f"{SVG}polyline")).get("data-trail"))
    for drawn, angle in zip(trail, np.linspace(0, 2 * math.pi, len(trail)), strict=True):
        assert seen(at, move_of(wheel).at(angle)) == pytest.approx(drawn, abs=2 * ROUNDED)  # both are rounded


@pytest.mark.parametrize(("fixed", "rolling"), [(30.0, 10.0), (39.9, 2.1)])
def test_the_circle_rolls_round_the_other_without_slipping(fixed, rolling):
    # no slip: the point of the rolling circle that touches the fixed one stands still for an instant
    move = move_of(part(scene.on_circle(fixed, rolling, rolling, View()), "circle"))
    x, y, turn = move.at(1.0)
    touching = fixed * np.array([math.cos(1.0), math.sin(1.0)])
    on_wheel = motion.turned(touching - [x, y], np.float64(-turn))
    step = 1e-4
    ways = []
    for point in (on_wheel, np.zeros(2)):
        before, after = (seen(point, move.at(angle)) for angle in (1.0 - step, 1.0 + step))
        ways.append(math.dist(before, after))
    # what is left is of the third order in the step: far below a thousandth of the centre's way
    assert ways[0] < 1e-3 * ways[1]


# the picture as a whole


@given(st.integers(3, 60), st.floats(1.0, 500.0), st.floats(0.02, 0.95), st.floats(0.01, 1.3))
@settings(max_examples=40)
def test_no_picture_has_a_zero_with_a_minus_sign(count, circle, roller_share, ratio):
    drive = Drive(count, circle, roller_share * circle * math.sin(math.pi / count), ratio * circle / count)
    try:
        text = scene.turning(drive, View(show=ALL)).svg
    except ValueError:  # a trochoid ratio of exactly 1 has no outline
        return
    assert not re.search(r"-0(?:\.0*)?(?![\d.])", text)


@pytest.mark.parametrize("circle_diameter", [0.8, 8.0, 1000.0])
def test_a_small_drive_looks_like_a_large_one(circle_diameter):
    radius = circle_diameter / 2
    drive = Drive(20, radius, radius * 5 / 42, radius * 1.4 / 42)  # the story's, smaller or larger
    sizes = []
    for one in (drive, STORY):
        picture = parsed(scene.turning(one, View(show=ALL)))
        width = float(picture.get("viewBox").split()[2])
        sizes.append(
            [float(stroke.get("stroke-width")) / width for stroke in picture.iter() if stroke.get("stroke-width")]
        )
    # of the picture's width; three decimals of the smallest drive's lines of a 40th of a mm
    assert sizes[0] == pytest.approx(sizes[1], rel=0.2)


@pytest.mark.parametrize("drive", DRIVES, ids=repr)
def test_everything_lies_inside_the_frame(drive):
    made = scene.turning(drive, View(show=ALL))
    left, _, width, _ = map(float, parsed(made).get("viewBox").split())
    reach = -left
    assert width == pytest.approx(2 * reach)
    # the farthest things: rollers seen from the disc, carried round by e, and the second disc, e from the first
    assert drive.pin_circle_radius + drive.roller_radius + drive.eccentricity < reach
    tip = drive.pin_circle_radius + drive.eccentricity - drive.roller_radius
    assert tip + 2 * drive.eccentricity < reach + drive.roller_radius
    for one in parsed(made).iter(f"{SVG}polyline"):
        assert np.hypot(*pairs(one.get("data-trail")).T).max() < reach


def test_the_mark_lies_on_the_disc_near_its_edge():
    for drive in DRIVES:
        disc = part(scene.turning(drive, View(show=ALL)), "disc")
        mark = pairs(next(one for one in disc if one.get("data-layer") == "marked lobe").find(f"{SVG}path").get("d"))
        edge = Polygon(outline.polygon(drive, 0.01))
        assert all(edge.contains(Point(point)) for point in mark)
        assert edge.exterior.distance(Point(mark[1])) < 0.35 * drive.pin_circle_radius
        assert math.atan2(mark[1][1], mark[1][0]) == pytest.approx(math.pi / drive.lobes, abs=1e-3)  # a lobe's middle
