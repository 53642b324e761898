"""What a stage shows, as it leaves Python: as true as the motion it shows.

- SVG and its coordinates, y downwards: Scalable Vector Graphics (SVG) 1.1, W3C, 2011, ch. 7.
- Distances between shapes: Shapely, a general-purpose geometry library.
- A pin can only push, so it resists a turn of the disc exactly if that turn would bring the disc closer to it: derived.
"""

import html
import json
import math
import re
from urllib.parse import unquote
from xml.etree import ElementTree

import nbformat
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon

from cyclokit import Drive
from cyclokit.course.reader.folder import notebooks
from cyclokit.geometry import milled, motion, outline, sweep
from cyclokit.view import pins, scene
from cyclokit.view.pins import View
from tests.view.drawn import ROUNDED, SVG, facts_of, move_of, pairs, parsed, part, seen

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
DRIVES = [STORY, Drive(12, 40.0, 4.0, 1.5), Drive(3, 50.0, 10.0, 5.0), Drive(61, 30.0, 0.8, 0.2)]
LESSONS = notebooks() / "lessons"
ALL = tuple(scene.SENTENCES)

angles = st.floats(min_value=-200.0, max_value=200.0)


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


def lost_by_the_page(made, crank):
    """How many rollers the page says have lost contact, which looks pin k up in pin 0's table k pitches earlier."""
    return lost_by_facts(parsed(made), crank)


def lost_by_facts(svg, crank):
    facts = json.loads(svg.get("data-facts"))
    table, pins = facts["gap"], facts["pins"]
    looked = [round((crank / (2 * math.pi) - k / pins) * len(table)) % len(table) for k in range(pins)]
    return sum(table[place] > facts["closed"] for place in looked)


@pytest.mark.parametrize("lobes", [17, 18, 20, 21])
def test_one_pins_gap_turned_gives_the_gaps_of_all(lobes):
    table = facts_of(scene.cut(sweep.cut(STORY, lobes=lobes), View()))["gap"]
    edge = milled.edge(STORY, lobes, tolerance=1e-5)
    for place in (3, 100, 333):
        gaps = sweep.gaps_to_edge(STORY, edge, 2 * math.pi * place / len(table), lobes)
        turned = [table[(place - k * len(table) // 20) % len(table)] for k in range(20)]
        assert turned == pytest.approx(gaps, abs=0.03)  # mm: chords as of a drawing, a 40th of a line


# the drives of which lessons 3 and 5 show both a table of counts and a stage, and the crank angles of their tables
TABLES = [
    (1.4, 17, 60),
    (1.4, 18, 60),
    (1.4, 22, 60),
    (1.4, 20, 60),
    (0.4, 21, 60),
    (2.0, 19, 24),
    (1.4, 21, 60),
    (0.6, 21, 24),
]


@pytest.mark.parametrize(("eccentricity", "lobes", "angles"), TABLES)
@pytest.mark.parametrize("rays", [None, 1080])
def test_a_stage_counts_what_the_table_beside_it_counts(eccentricity, lobes, angles, rays):
    piece = sweep.cut(Drive(20, 42.0, 5.0, eccentricity), lobes=lobes, rays=rays)
    made = scene.cut(piece, View())
    for crank in np.linspace(0, 2 * math.pi, angles, endpoint=False):
        assert lost_by_the_page(made, crank) == 20 - sweep.touching(piece, crank)


def stored(lesson):
    """Words of a stored lesson's outputs, and of each stored stage the lobes and the facts it carries."""
    outputs = [output for cell in nbformat.read(LESSONS / lesson, 4).cells for output in cell.get("outputs", [])]
    words = "\n".join(output.get("text", "") for output in outputs)
    pages = "".join(output.get("data", {}).get("text/html", "") for output in outputs)
    stages = []
    for picture in re.findall(r'src="data:image/svg\+xml,([^"]+)', pages):
        svg = ElementTree.fromstring(unquote(html.unescape(picture)))
        found = re.search(r"as a disc with (\d+) lobes must", svg.get("data-facts", ""))
        if found:
            stages.append((int(found[1]), svg))
    return words, stages


def test_the_stages_of_lesson_three_count_what_its_tables_count():
    words, stages = stored("03_one_lobe_fewer.ipynb")
    table = {
        int(row[0]): (int(row[1]), int(row[2])) for row in re.findall(r"(?m)^ +(\d+) +\S+ +(\d+) to (\d+) ", words)
    }
    assert set(table) == set(range(17, 23))
    assert [lobes for lobes, _ in stages] == list(range(17, 23))
    for lobes, svg in stages:
        lost = [lost_by_facts(svg, crank) for crank in np.linspace(0, 2 * math.pi, 60, endpoint=False)]
        assert (20 - max(lost), 20 - min(lost)) == table[lobes]


def test_the_stage_of_lesson_five_counts_what_is_printed():
    words, stages = stored("05_four_numbers.ipynb")
    printed = re.search(r"rollers in touch, of 20: \[([\d ]+)\]", words)[1].split()
    ((_, svg),) = stages
    assert [20 - lost_by_facts(svg, math.radians(15 * step)) for step in range(6)] == list(map(int, printed))


@given(st.integers(8, 40), st.sampled_from([-3, -2, -1, 0, 1, 2]), st.floats(0.1, 0.95), st.floats(0.1, 0.95))
@settings(max_examples=20, deadline=None)
def test_a_stage_loses_contact_within_a_quarter_of_a_degree_of_where_the_curve_does(pins, more, roller, ratio):
    drive = Drive(pins, 40.0, roller * 40.0 * math.sin(math.pi / pins), ratio * 40.0 / pins)
    made = scene.cut(sweep.cut(drive, pins + more), View())
    ends = milled.contact_phases(drive, pins + more)
    half_a_step = math.pi / len(facts_of(made)["gap"])
    for crank in np.linspace(0.01, 6.2, 7):
        phases = np.abs((crank - 2 * np.pi * np.arange(pins) / pins + np.pi) % (2 * np.pi) - np.pi)
        unsure = (np.abs(phases[:, None] - ends.ravel()) <= half_a_step + 1e-9).any(axis=1).sum()
        assert abs(lost_by_the_page(made, crank) - (~milled.touches(drive, crank, pins + more)).sum()) <= unsure


def test_forces_are_drawn_in_shares_of_the_largest():
    made = scene.turning(STORY, View(show=("forces",)), forces=np.array([0.0, 30.0, 120.0, 60.0]))
    assert facts_of(made)["force"] == [0.0, 0.25, 1.0, 0.5]
    assert facts_of(scene.turning(STORY, View(), forces=np.zeros(3)))["force"] == [0.0, 0.0, 0.0]


def test_of_a_layer_that_is_not_shown_the_page_gets_one_pin():
    count = lambda made, name: len(next(one for one in parsed(made).iter() if one.get("data-layer") == name))  # noqa: E731
    assert count(scene.turning(STORY, View()), "contacts") == 1
    assert count(scene.turning(STORY, View(show=("contacts",))), "contacts") == 20


# output rollers


def test_the_sketch_of_output_rollers_has_holes_wider_by_the_eccentricity_all_round():
    made = scene.turning(STORY, View(show=ALL))
    rollers = part(made, "output").findall(f"{SVG}circle")
    holes = next(one for one in part(made, "disc") if one.get("data-layer") == "output").findall(f"{SVG}circle")
    assert len(rollers) == len(holes) == 6
    for roller, hole in zip(rollers, holes, strict=True):
        assert (roller.get("cx"), roller.get("cy")) == (hole.get("cx"), hole.get("cy"))
        wider = float(hole.get("r")) - float(roller.get("r"))
        assert wider == pytest.approx(STORY.eccentricity, abs=1e-3)  # mm: both have three decimals


def test_a_disc_too_small_for_a_sketch_of_output_rollers_has_none():
    made = scene.turning(Drive(3, 50.0, 10.0, 15.0), View())
    assert "output" not in made.layers


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
