"""The stage in a real page: it turns as the motion says, with no network, no mouse and no surprise.

- Where the disc is: motion.disc_pose, which is checked elsewhere against the Willis equation and a rigid-body engine.
- Names, keys, pausing, reflow, target size: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criteria
  2.1.1, 2.2.2, 1.4.10, 2.5.8, 4.1.2, 4.1.3; the axe-core rules, which test many of them.
- Keys of buttons, checkboxes and sliders: ARIA Authoring Practices Guide, W3C.
"""

import math
import re

import numpy as np
import pytest
from nbconvert.exporters import HTMLExporter
from playwright.sync_api import expect

from cyclokit import Drive
from cyclokit.course.reader.folder import notebooks
from cyclokit.geometry import motion, sweep
from cyclokit.machine.reducer import Reducer
from cyclokit.view import stage
from tests.view.conftest import WAIT

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
LESSON = notebooks() / "lessons" / "00_start_here.ipynb"
PAUSED = {"reduced_motion": "reduce"}
MINUS = "\u2212"
EVERYTHING = stage.turning_drive(STORY).layers

# The matrix that carries an element's own points to where they are seen in the picture [mm], y downwards
MATRIX = """element => {
    const svg = element.ownerSVGElement;
    const m = svg.getScreenCTM().inverse().multiply(element.getScreenCTM());
    return [m.a, m.b, m.c, m.d, m.e, m.f];
}"""

# Presses a stage's buttons and moves its slider
TURN = """(controls, [turns, rest]) => {
    const button = (name) => [...controls.querySelectorAll("button")].find((one) => one.textContent.includes(name));
    button("To start").click();
    for (let turn = 0; turn < turns; turn += 1) button("+1 turn").click();
    const slider = controls.querySelector("input[type=range]");
    slider.value = rest;
    for (const kind of ["input", "change"]) slider.dispatchEvent(new Event(kind, { bubbles: true }));
}"""


def html_of(made):
    """What a stage leaves in a notebook."""
    return made._repr_html_()


@pytest.fixture
def page(open_page):
    """The story's drive, paused by the reader's wish for less motion."""
    return open_page(html_of(stage.turning_drive(STORY)), **PAUSED)


@pytest.fixture
def full(open_page):
    """The same with everything shown."""
    return open_page(html_of(stage.turning_drive(STORY, show=EVERYTHING)), **PAUSED)


def turn_to(stage, degrees):
    """Bring a stage to an angle of its crank with its buttons and its slider, as a hand would."""
    stage.locator(".controls").evaluate(TURN, by_hand(degrees))


def by_hand(degrees):
    """How often the button for a turn is pressed, and where the slider goes to."""
    return [int(degrees // 360), degrees % 360]


def button(page, name):
    return page.get_by_role("button", name=name, exact=True)


def plays(page):
    """Whether the picture moves by itself within thirty frames, half a second of a machine that keeps up."""
    return page.locator("output").evaluate(
        """async output => { const before = output.innerText;
            for (let frame = 0; frame < 30 && output.innerText === before; frame += 1)
                await new Promise(requestAnimationFrame);
            return output.innerText !== before; }"""
    )


def pose_of(page, selector):
    """Where a part's own middle is seen [mm], y upwards, and how far it has turned [rad]."""
    return pose(page.locator(selector).first.evaluate(MATRIX))


def pose(matrix):
    """The same from its matrix."""
    a, b, _, _, x, y = matrix
    return np.array([x, -y]), math.atan2(-b, a)


def poses_at(page, cranks, *selectors):
    """The poses of parts at angles of the crank [rad], each as `turn_to` and `pose_of` have it."""
    matrices = page.locator(".controls").evaluate(
        f"""(controls, [turns, names]) => turns.map((turn) => {{
            ({TURN})(controls, turn);
            return names.map((name) => ({MATRIX})(document.querySelector(name))); }})""",
        [[by_hand(math.degrees(crank)) for crank in cranks], selectors],
    )
    return [[pose(matrix) for matrix in at_one] for at_one in matrices]


def seen_point(page, selector, x, y):
    """Where points (x, y) of all elements are seen [mm], y upwards, (n, 2)."""
    matrices = page.locator(selector).evaluate_all(f"elements => elements.map({MATRIX})")
    return np.array([[a * x - c * y + e, -(b * x - d * y + f)] for a, b, c, d, e, f in matrices])


def turns_apart(one, other):
    """The angle between two directions [rad], 0 to pi."""
    return abs((one - other + math.pi) % (2 * math.pi) - math.pi)


# the motion

SCREEN = 5e-4  # mm: shifts have four decimals, and the browser counts positions on the screen in single precision
TURNED = 2e-5  # rad: turns have four decimals of a degree, and the browser's matrices single precision


def test_the_disc_is_where_the_motion_says_at_any_angle(page):
    cranks = np.random.default_rng(1).uniform(0, 2 * math.pi * STORY.ratio, 50)
    for crank, [(centre, angle)] in zip(cranks, poses_at(page, cranks, '[data-part="disc"]'), strict=True):
        right = motion.disc_pose(STORY, crank)
        assert centre == pytest.approx(right.centre, abs=SCREEN)
        assert turns_apart(angle, float(right.angle)) < TURNED


def test_with_the_disc_held_the_ring_is_where_the_motion_says(page):
    button(page, "Hold the disc").click()
    cranks = np.random.default_rng(2).uniform(0, 2 * math.pi * STORY.ratio, 50)
    poses = poses_at(page, cranks, '[data-layer="rollers"]', '[data-part="disc"]')
    for crank, [(ring, ring_angle), (disc, disc_angle)] in zip(cranks, poses, strict=True):
        right = motion.disc_pose(STORY, crank)
        # the ring's middle less the disc's, turned back by the disc's angle
        assert ring == pytest.approx(motion.turned(-right.centre, -right.angle), abs=SCREEN)
        assert turns_apart(ring_angle, -float(right.angle)) < TURNED
        assert disc == pytest.approx([0, 0], abs=SCREEN)
        assert turns_apart(disc_angle, 0.0) < TURNED


def test_with_the_ring_held_the_rollers_stand_still(page):
    before = seen_point(page, '[data-layer="rollers"] circle', 0, 0)
    assert len(before) == STORY.pins + 1  # and the ring's centre
    turn_to(page, 1234)
    assert (seen_point(page, '[data-layer="rollers"] circle', 0, 0) == before).all()


@pytest.mark.parametrize("degrees", [0, 0.5, 31, 200.5, 361, 5000])
def test_every_contact_is_where_the_motion_says(full, degrees):
    turn_to(full, degrees)
    contacts = motion.contacts(STORY, math.radians(degrees))
    seen = seen_point(full, '[data-layer="contacts"] circle', -STORY.roller_radius, 0)
    # mm: the table has directions to a hundredth of a degree, 9e-4 mm on a roller of 5 mm
    assert seen == pytest.approx(contacts.points, abs=1e-3 + SCREEN)


@pytest.mark.parametrize("degrees", [0, 0.5, 31, 200.5])
def test_all_normals_end_in_the_pitch_point(full, degrees):
    turn_to(full, degrees)
    point = motion.pitch_point(STORY, math.radians(degrees))
    ends = full.locator('[data-layer="normals"] line').evaluate_all(
        f"lines => lines.map(line => [Number(line.getAttribute('x2')), ({MATRIX})(line)])"
    )
    assert len(ends) == STORY.pins
    for x, (a, b, _, _, e, f) in ends:
        # mm: lengths to a tenth; directions to 5e-3 degrees, 6e-3 mm at 70 mm
        assert np.hypot(*(np.array([a * x + e, -(b * x + f)]) - point)) < 0.05 + 0.007
    assert pose_of(full, '[data-part="pitch point"]')[0] == pytest.approx(point, abs=SCREEN)


def test_the_second_disc_is_where_the_first_one_is_half_a_crank_turn_later(full):
    turn_to(full, 100)
    later = motion.disc_pose(STORY, math.radians(100 + 180))
    centre, angle = pose_of(full, '[data-part="second disc"] path')
    assert centre == pytest.approx(later.centre, abs=SCREEN)
    # an outline that has turned by one lobe looks as before
    assert math.remainder(angle - float(later.angle), 2 * math.pi / STORY.lobes) == pytest.approx(0, abs=TURNED)


def test_output_rollers_touch_their_holes_and_turn_with_the_disc(full):
    circles = f"all => all.map(one => [one.cx, one.cy, one.r].map(it => it.baseVal.value).concat(({MATRIX})(one)))"
    for degrees in (0, 77, 1000):
        turn_to(full, degrees)
        rollers = full.locator('[data-part="output"] circle').evaluate_all(circles)
        holes = full.locator('[data-part="disc"] [data-layer="output"] circle').evaluate_all(circles)
        assert len(rollers) == len(holes) == 6
        for (x, y, r, a, b, c, d, e, f), (hx, hy, hr, ha, hb, hc, hd, he, hf) in zip(rollers, holes, strict=True):
            apart = math.hypot(a * x + c * y + e - ha * hx - hc * hy - he, b * x + d * y + f - hb * hx - hd * hy - hf)
            assert apart == pytest.approx(STORY.eccentricity, abs=SCREEN)
            assert hr - r == pytest.approx(apart, abs=1e-3 + SCREEN)  # mm: radii have three decimals


@pytest.mark.parametrize("discs", [2, 3])
def test_every_disc_of_a_reducer_is_where_the_motion_says_and_has_its_holes_round_the_output_rollers(open_page, discs):
    machine = Reducer(STORY, discs=discs)
    page = open_page(html_of(stage.turning_reducer(machine)), **PAUSED)
    for degrees in (0, 77, 1000):
        turn_to(page, degrees)
        poses = motion.disc_poses(STORY, math.radians(degrees), discs)
        circles = page.locator('[data-part="output"] > circle')
        rollers = circles.evaluate_all("all => all.map(one => [one.cx, one.cy].map(it => it.baseVal.value))")
        at = np.array([seen_point(page, '[data-part="output"]', x, -y)[0] for x, y in rollers])
        for name, centre, angle in zip(("disc", "second disc", "third disc"), poses.centre, poses.angle, strict=False):
            path = f'[data-part="{name}"] path[fill-rule][d*="L"]'  # not the bearing
            middle, turned = pose_of(page, path)
            assert middle == pytest.approx(centre, abs=SCREEN)
            assert math.remainder(turned - float(angle), 2 * math.pi / STORY.lobes) == pytest.approx(0, abs=TURNED)
            cut = re.findall(r"M(-?[\d.]+),(-?[\d.]+)a([\d.]+) ", page.locator(path).get_attribute("d"))[:-1]
            holes = [seen_point(page, path, float(x) + float(r), -float(y))[0] for x, y, r in cut]
            assert len(holes) == 6
            # mm: holes have three decimals
            assert np.hypot(*(np.array(holes) - at).T) == pytest.approx(STORY.eccentricity, abs=2e-3 + SCREEN)


def test_a_forces_arrow_at_a_pin_is_as_long_as_its_force(open_page):
    forces = [0.0, 1.0, 4.0, 2.0]  # N at 0, 90, 180, 270 degrees of the crank, for pin 0
    page = open_page(html_of(stage.turning_drive(STORY, show=["forces"], forces=forces)), **PAUSED)
    for degrees, expected in ((0, 0.0), (90, 0.25), (180, 1.0), (270, 0.5), (360, 0.0)):
        turn_to(page, degrees)
        a, b, *_ = page.locator('[data-layer="forces"] path').first.evaluate(MATRIX)
        assert math.hypot(a, b) == pytest.approx(expected, abs=1e-6)
        # pin 5 stands a quarter of a turn farther on: it has what pin 0 had a quarter of a turn ago
        a, b, *_ = page.locator('[data-layer="forces"] path').nth(5).evaluate(MATRIX)
        before = dict(zip((0, 90, 180, 270), forces, strict=True))[(degrees - 90) % 360] / 4
        assert math.hypot(a, b) == pytest.approx(before, abs=1e-6)


def test_rollers_of_a_cut_with_the_wrong_number_of_lobes_lose_contact_and_say_so(open_page):
    piece = sweep.cut(STORY, lobes=18, rays=1080)
    page = open_page(html_of(stage.turning_cut(piece)), **PAUSED)
    for degrees in (0.5, 40.5, 333.5):
        turn_to(page, degrees)
        apart = 20 - sweep.touching(piece, math.radians(degrees))
        crosses = page.locator('[data-layer="gaps"] path').evaluate_all(
            "all => all.map(one => one.getAttribute('visibility') === 'visible')"
        )
        assert sum(crosses) == apart  # the table has a row every half degree
        assert f"{sum(crosses)} of 20 lost contact" in page.locator("output").inner_text()
    assert 0 < sum(crosses) < 20


def test_pins_that_push_change_sides_with_the_load(full):
    seen = "all => all.map(one => one.getAttribute('visibility') === 'visible')"
    turn_to(full, 50)
    before = full.locator('[data-layer="pushing"] circle').evaluate_all(seen)
    button(full, "Turn the load round").click()
    after = full.locator('[data-layer="pushing"] circle').evaluate_all(seen)
    assert sum(before) == 10 == sum(after)  # half of the rollers: the lines of the others run the wrong way
    assert not any(one and other for one, other in zip(before, after, strict=True))
    assert "10 of 20 can push" in full.locator("output").inner_text()


@pytest.mark.parametrize("made", [stage.rolling_on_line(10.0), stage.rolling_on_circle(30.0, 10.0, 6.0)], ids=repr)
def test_a_rolling_circle_draws_its_curve_as_it_goes(open_page, made):
    page = open_page(html_of(made), **PAUSED)
    whole = float(page.get_by_role("slider").get_attribute("max"))
    drawn = []
    for share in (0, 0.25, 0.5, 0.9):
        turn_to(page, share * whole)
        drawn.append(page.locator("polyline").evaluate("line => line.points.numberOfItems"))
    assert drawn[0] == 1
    assert drawn == sorted(set(drawn))


def test_the_trail_of_the_mark_ends_where_the_mark_is(full):
    root = STORY.pin_circle_radius - STORY.eccentricity - STORY.roller_radius
    way = math.pi / STORY.lobes
    for degrees in (0, 120, 1800):
        turn_to(full, degrees)
        pose = motion.disc_pose(STORY, math.radians(degrees))
        mark = pose.centre + motion.turned(0.97 * root * np.array([math.cos(way), math.sin(way)]), pose.angle)
        end = full.locator('[data-layer="trail"] polyline').evaluate(
            "line => { const p = line.points[line.points.numberOfItems - 1]; return [p.x, -p.y]; }"
        )
        # mm: a point 21 times a turn, these angles among them; two decimals
        assert end == pytest.approx(mark, abs=0.006)


# the numbers beside it


def test_the_line_tells_both_angles(page, angles):
    turn_to(page, 360)
    assert angles(page) == {"crank": 360.0, "disc": pytest.approx(-360 / 19, abs=0.051)}  # one decimal is shown
    assert f"{MINUS}18.9°" in page.locator("output").inner_text()


def test_with_the_disc_held_the_line_tells_the_rings_angle(page, angles):
    turn_to(page, 360)
    button(page, "Hold the disc").click()
    # Willis: seen from the disc the ring turns with the crank, N : 1
    told = angles(page)
    assert told["crank"] / told["ring"] == pytest.approx(20, rel=0.003)  # one decimal of 18.9


def test_the_angles_are_read_out_while_paused_and_not_while_playing(page):
    # WCAG 2.2, 4.1.3: a status message; sixty a second would drown everything else
    assert page.locator("output").get_attribute("aria-live") is None  # an output element is polite of itself
    button(page, "Play").click()
    assert page.locator("output").get_attribute("aria-live") == "off"
    button(page, "Pause").click()
    assert page.locator("output").get_attribute("aria-live") == "polite"


def test_the_slider_says_its_place_in_words(page):
    turn_to(page, 90)
    slider = page.get_by_role("slider", name="angle in degrees, within one turn")
    assert slider.get_attribute("aria-valuetext") == page.locator("output").inner_text()


# by itself, by keys, by hand


def test_it_plays_by_itself_and_can_be_paused(open_page):
    page = open_page(html_of(stage.turning_drive(STORY)))
    assert plays(page)
    button(page, "Pause").click()
    assert not plays(page)
    button(page, "Play").click()
    assert plays(page)


def test_it_waits_for_whoever_wants_less_motion(page):
    assert not plays(page)
    button(page, "Play").click()
    assert plays(page)


def test_it_waits_where_python_said_so(open_page):
    assert not plays(open_page(html_of(stage.turning_drive(STORY, playing=False))))


def test_buttons_step_by_a_degree_and_by_a_pin(page, angles):
    for name, degrees in (
        ("+1°", 1),
        ("+1 pin", 19),
        (f"{MINUS}1°", 18),
        (f"{MINUS}1 pin", 0),
        (f"{MINUS}1°", 360 * 19 - 1),
        ("+1°", 0),
    ):
        button(page, name).click()
        assert angles(page)["crank"] == degrees


def test_keys_do_the_same_wherever_the_focus_is(page, angles):
    page.keyboard.press("Tab")  # the stage itself
    assert page.evaluate("document.activeElement.tagName") == "FIGURE"
    for key, degrees in (("ArrowRight", 1), ("ArrowUp", 19), ("ArrowLeft", 18), ("ArrowDown", 0)):
        page.keyboard.press(key)
        assert angles(page)["crank"] == degrees
    page.keyboard.press(" ")
    assert plays(page)
    page.keyboard.press(" ")
    assert not plays(page)
    page.get_by_role("slider").focus()
    before = angles(page)["crank"]
    page.keyboard.press("ArrowRight")
    assert angles(page)["crank"] == pytest.approx(before + 1, abs=0.11)
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement === document.body")


def test_plus_and_minus_change_the_speed_and_never_the_direction(page):
    speed = page.get_by_text("° a second")
    page.locator("figure").focus()
    said = [speed.inner_text()]
    for _ in range(5):
        page.keyboard.press("-")
        said.append(speed.inner_text())
    assert said == [f"{value}° a second" for value in (60, 30, 10, 3, 1, 1)]
    button(page, "Reverse").click()
    for _ in range(9):
        page.keyboard.press("+")
    assert speed.inner_text() == f"{MINUS}360° a second"


def pace(page):
    """Degrees of the crank a second, by the times of the page's own frames."""
    start, then, end, now = page.evaluate(
        """async () => {
            const frame = () => new Promise(requestAnimationFrame);
            const crank = () => Number(document.querySelector("output").textContent.match(/crank ([\\d.]+)/)[1]);
            for (let count = 0; count < 3; count += 1) await frame();
            const then = await frame(), start = crank();
            for (let count = 0; count < 24; count += 1) await frame();
            const now = await frame(), end = crank();
            return [start, then, end, now]; }"""
    )
    return (end - start) / (now - then) * 1000


def test_it_plays_backwards_and_slower_when_told(page):
    turn_to(page, 1000)
    button(page, "Play").click()
    # of the speed: words have tenths of a degree, and what is read is ten degrees or more
    assert pace(page) == pytest.approx(60, rel=0.02)
    button(page, "Reverse").click()
    assert pace(page) == pytest.approx(-60, rel=0.02)
    button(page, "Slower").click()
    assert pace(page) == pytest.approx(-30, rel=0.02)


def test_a_click_on_the_picture_plays_and_pauses(page):
    x, y = middle(page)
    page.mouse.click(x + 20, y + 60)
    assert plays(page)
    assert button(page, "Pause").is_visible()
    page.mouse.click(x + 20, y + 60)
    assert not plays(page)
    assert button(page, "Play").is_visible()


def test_the_slider_spans_one_crank_turn_and_a_counter_tells_which(page, angles):
    counter, slider = page.locator(".row span").last, page.get_by_role("slider")
    assert (slider.get_attribute("min"), slider.get_attribute("max")) == ("0", "360")
    turn_to(page, 90)
    assert counter.inner_text() == "turn 1 of 19"
    button(page, "+1 turn").click()
    assert (angles(page)["crank"], counter.inner_text(), slider.input_value()) == (450, "turn 2 of 19", "90")
    for _ in range(17):
        button(page, "+1 turn").click()
    assert (angles(page)["crank"], counter.inner_text()) == (18 * 360 + 90, "turn 19 of 19")
    button(page, "+1 turn").click()  # all is as at the start
    assert (angles(page)["crank"], counter.inner_text()) == (90, "turn 1 of 19")
    button(page, "To start").click()
    assert (angles(page)["crank"], slider.input_value()) == (0, "0")


def test_a_hand_at_the_sliders_end_stays_in_its_turn(page, angles):
    slider = page.get_by_role("slider")
    input_event = "(one, value) => { one.value = value; one.dispatchEvent(new Event('input')); }"
    for value, crank in ((350, 350), (360, 360), (355, 355), (360, 360)):
        slider.evaluate(input_event, value)
        assert angles(page)["crank"] == crank
        assert slider.input_value() == str(value)
    slider.evaluate("one => one.dispatchEvent(new Event('change'))")
    assert page.locator(".row span").last.inner_text() == "turn 2 of 19"


@pytest.mark.parametrize(
    "made", [lambda: stage.rolling_on_line(10.0), lambda: stage.rolling_on_circle(30.0, 10.0, 6.0)]
)
def test_a_rolling_circles_last_angle_is_reached(open_page, made):
    page = open_page(html_of(made()), **PAUSED)
    whole = page.locator("polyline").get_attribute("data-trail")
    turns = 2 if "line" in repr(made()) else 1
    turn_to(page, 360 * (turns - 1))
    page.get_by_role("slider").evaluate("one => { one.value = 360; one.dispatchEvent(new Event('input')); }")
    assert page.locator("polyline").get_attribute("points") == whole
    page.get_by_role("slider").evaluate("one => one.dispatchEvent(new Event('change'))")
    assert page.locator("polyline").get_attribute("points") == whole
    assert page.get_by_role("slider").input_value() == "360"


@pytest.mark.parametrize("degrees", [0, 31, 200.5, 359, 361, 5000])
def test_the_arcs_reach_as_far_as_crank_and_disc_have_turned(page, degrees):
    turn_to(page, degrees)
    ends = page.locator("[data-arc]").evaluate_all(
        "all => all.map(one => [one.getPointAtLength(1e6), one.getTotalLength()])"
        ".map(([end, far]) => [end.x, -end.y, far])"
    )
    turned = degrees % 360, float(motion.disc_pose(STORY, math.radians(degrees)).angle) / math.pi * 180
    for (x, y, length), angle in zip(ends, turned, strict=True):
        assert turns_apart(math.atan2(y, x), math.radians(angle)) < 2e-4  # rad: three decimals of 25 mm
        # Chromium measures arcs to about a 5000th
        assert length == pytest.approx(math.hypot(x, y) * math.radians(abs(angle) % 360), rel=5e-4, abs=0.02)


def test_a_circle_on_a_line_is_no_thin_strip_on_a_narrow_page(open_page):
    page = open_page(html_of(stage.rolling_on_line(10.0)), viewport={"width": 420, "height": 800}, **PAUSED)
    picture = page.locator("svg")
    page.wait_for_function("document.querySelector('svg').getBoundingClientRect().height > 140")
    box = picture.bounding_box()
    for degrees in (0, 200, 360, 500, 719):  # the circle is in sight all the way
        turn_to(page, degrees)
        wheel = page.locator('[data-part="circle"] circle').first.bounding_box()
        assert wheel["x"] >= box["x"] - 1
        assert wheel["x"] + wheel["width"] <= box["x"] + box["width"] + 1
    page.set_viewport_size({"width": 1100, "height": 800})
    page.wait_for_function("Number(document.querySelector('svg').getAttribute('viewBox').split(' ')[2]) > 150")


def test_on_paper_the_curve_is_whole_and_no_button_is_printed(open_page):
    page = open_page(html_of(stage.rolling_on_circle(30.0, 10.0, 6.0)), **PAUSED)
    whole = page.locator("polyline").get_attribute("data-trail")
    assert page.locator("polyline").get_attribute("points") != whole
    page.emulate_media(media="print")
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert page.locator("polyline").get_attribute("points") == whole
    assert page.locator("button:visible").count() == 0
    page.emulate_media(media="screen")
    turn_to(page, 90)
    assert page.locator("polyline").get_attribute("points") != whole


def test_on_paper_all_of_a_circles_line_is_seen(open_page):
    page = open_page(html_of(stage.rolling_on_line(10.0)), viewport={"width": 660, "height": 900}, **PAUSED)
    page.locator("svg").wait_for()
    page.emulate_media(media="print")  # a sheet of A4 within its edges
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    left, _, width, _ = map(float, page.locator("svg").get_attribute("viewBox").split())
    assert (
        left <= -10.0 and left + width >= 4 * math.pi * 10.0 + 10.0
    )  # two turns of 10 mm, and the circle at both ends
    assert page.locator("svg").bounding_box()["height"] >= 100
    page.emulate_media(media="screen")
    turn_to(page, 90)
    assert float(page.locator("svg").get_attribute("viewBox").split()[2]) < 70


def test_words_in_the_picture_can_be_read_on_a_narrow_page(open_page):
    made = stage.turning_drive(STORY, show=("rollers", "disc", "crank", "labels"))
    page = open_page(html_of(made), viewport={"width": 420, "height": 800}, **PAUSED)
    words = page.locator("svg text")
    assert words.all_text_contents() == ["roller", "disc", "centres", "crank"]
    for word in words.all():
        assert word.bounding_box()["height"] >= 12  # CSS pixels, about 9 pt
    before = words.last.bounding_box()
    turn_to(page, 180)
    after = words.last.bounding_box()
    assert after["x"] < before["x"] - 50  # the crank's name goes with it, and stays upright
    assert after["width"] == pytest.approx(before["width"], abs=1)


def test_a_fast_wheel_starts_slowly(open_page):
    page = open_page(html_of(stage.rolling_on_circle(30.0, 1.0, 1.0)), **PAUSED)  # spins 31 times in one round
    assert page.get_by_text("3° a second").is_visible()


def test_the_space_bar_on_a_button_presses_that_button_only(page, angles):
    button(page, "+1°").focus()
    page.keyboard.press(" ")
    assert angles(page)["crank"] == 1
    assert not plays(page)


def test_layers_are_switched_by_name_and_the_words_follow(page):
    def seen(name):
        if name == "angles":
            return page.locator("output").is_visible()
        ways = page.locator(f'[data-layer="{name}"]').evaluate_all("all => all.map(one => one.getAttribute('display'))")
        assert len(set(ways)) == 1  # all that has this name, or nothing
        return ways[0] != "none"

    page.locator("summary").click()
    names = page.get_by_role("checkbox").evaluate_all("boxes => boxes.map(box => box.value)")
    assert tuple(names) == EVERYTHING
    for name in names:
        box = page.get_by_role("checkbox", name=name, exact=True)
        before = box.is_checked()
        assert seen(name) is before is (name in stage.SHOWN)
        box.click()
        assert seen(name) is box.is_checked() is not before
    words = page.locator("figcaption").inner_text()
    assert "contact normals" in words  # was off
    assert "green" not in words  # was on
    assert page.get_by_role("img", name=words).count() == 1


def knob_at(page):
    box = page.locator("[data-knob]").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def middle(page):
    box = page.locator("svg").bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


@pytest.mark.parametrize("way", [1, -1])
def test_the_crank_follows_the_mouse(page, angles, way):
    turn_to(page, 720)
    (x, y), (cx, cy) = knob_at(page), middle(page)
    arm = math.hypot(x - cx, y - cy)
    page.mouse.move(x, y)
    page.mouse.down()
    for degrees in range(0, 451, 15):  # a turn and a quarter: past where directions jump from 180 to -180 degrees
        angle = way * math.radians(degrees)
        page.mouse.move(cx + arm * math.cos(angle), cy - arm * math.sin(angle))
    page.mouse.up()
    # degrees: the mouse goes in whole pixels or parts of them, 0.6 degrees at 100 pixels from the middle
    assert angles(page)["crank"] == pytest.approx(720 + way * 450, abs=1.0)
    x, y = knob_at(page)
    assert math.atan2(cy - y, x - cx) == pytest.approx(way * math.pi / 2, abs=0.03)
    page.mouse.move(cx + arm, cy)  # let go: it stays
    assert angles(page)["crank"] == pytest.approx(720 + way * 450, abs=1.0)


def test_with_the_disc_held_the_knob_stays_under_the_mouse(page):
    button(page, "Hold the disc").click()
    (x, y), (cx, cy) = knob_at(page), middle(page)
    page.mouse.move(x, y)
    page.mouse.down()
    for degrees in range(0, 91, 10):
        angle = math.radians(degrees)
        goal = cx + 100 * math.cos(angle), cy - 100 * math.sin(angle)
        page.mouse.move(*goal)
    page.mouse.up()
    x, y = knob_at(page)
    # rad: the ring's centre is carried round by e, about 7 of the knob's 70 pixels
    assert math.atan2(cy - y, x - cx) == pytest.approx(math.pi / 2, abs=0.15)


def test_the_crank_follows_a_finger_and_the_page_can_still_be_scrolled(open_page, angles):
    page = open_page(html_of(stage.turning_drive(STORY)), has_touch=True, **PAUSED)
    (x, y), (cx, cy) = knob_at(page), middle(page)
    arm = math.hypot(x - cx, y - cy)
    finger = page.context.new_cdp_session(page)

    def touch(kind, *points):
        finger.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": a, "y": b} for a, b in points]})

    touch("touchStart", (x, y))
    for degrees in range(0, 91, 5):
        angle = math.radians(degrees)
        touch("touchMove", (cx + arm * math.cos(angle), cy - arm * math.sin(angle)))
    touch("touchEnd")
    assert angles(page)["crank"] == pytest.approx(90, abs=1.5)  # degrees, in whole pixels
    before = angles(page)["crank"]
    touch("touchStart", (cx, cy + 1.5 * arm))
    touch("touchMove", (cx, cy + 1.2 * arm))
    touch("touchCancel")
    assert angles(page)["crank"] == pytest.approx(before, abs=1.5)
    assert "pan-y" in page.locator("svg").evaluate("svg => getComputedStyle(svg).touchAction")


def test_a_circle_on_a_line_can_be_pushed_along(open_page, angles):
    page = open_page(html_of(stage.rolling_on_line(10.0)), **PAUSED)
    box = page.locator("svg").bounding_box()
    mm = box["width"] / (2 * 2 * math.pi * 10 + 26)
    page.mouse.move(box["x"] + 50, box["y"] + 40)
    page.mouse.down()
    page.mouse.move(box["x"] + 50 + 10 * math.pi * mm, box["y"] + 40)
    page.mouse.up()
    assert angles(page)["circle"] == pytest.approx(-180, abs=1.5)  # half a turn to the right; in whole pixels


# what a reader needs


def test_every_control_is_reached_by_the_tab_key_and_its_focus_is_seen(page):
    names, outlines = [], []
    for _ in range(15):
        page.keyboard.press("Tab")
        name, outline = page.evaluate(
            "[document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent,"
            " getComputedStyle(document.activeElement).outlineStyle]"
        )
        names.append(name)
        outlines.append(outline)
    assert names[1:14] == [
        *("Play", f"{MINUS}1°", "+1°", f"{MINUS}1 pin", "+1 pin", "Slower", "Faster", "Reverse"),
        *("angle in degrees, within one turn", "To start", "+1 turn", "Hold the disc", "Show"),
    ]
    assert set(outlines[:14]) == {"solid"}


def test_two_stages_have_names_that_tell_them_apart(open_page):
    page = open_page(html_of(stage.turning_drive(STORY)) + html_of(stage.rolling_on_line(10.0)), **PAUSED)
    for kind in ("figure", ".controls"):
        names = [one.get_attribute("aria-label") for one in page.locator(kind).all()]
        assert "20 rollers" in names[0]
        assert "along a line" in names[1]


def test_a_pressed_button_looks_pressed_and_says_what_it_does(page):
    look = "one => [getComputedStyle(one).backgroundColor, getComputedStyle(one).color]"
    hold = button(page, "Hold the disc")
    before = hold.evaluate(look)
    hold.click()
    assert hold.evaluate(look)[0] != before[0]
    assert hold.evaluate(look)[1] != before[1]
    assert "Press again to hold the ring" in page.locator(".note").inner_text()
    hold.click()
    assert hold.evaluate(look) == before
    assert page.locator(".note").is_hidden()


def test_what_can_be_pressed_is_large_enough_for_a_finger(full):
    # WCAG 2.2, 2.5.8: 24 by 24 CSS pixels
    full.locator("summary").click()
    for selector in ("button:visible", "label:visible", "summary", "[data-knob]"):
        for box in full.locator(selector).all():
            size = box.bounding_box()
            assert min(size["width"], size["height"]) >= 24, (selector, size)


@pytest.mark.parametrize("width", [450, 320])  # 200 % zoom of 900 pixels, and what WCAG 2.2, 1.4.10 asks for
def test_a_narrow_page_needs_no_sideways_scrolling(open_page, width):
    made = stage.turning_drive(STORY, show=EVERYTHING)
    page = open_page(html_of(made), viewport={"width": width, "height": 400}, **PAUSED)
    page.locator("summary").click()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert page.locator("svg").bounding_box()["width"] >= 0.7 * min(width, 400)


@pytest.mark.parametrize(("background", "theme"), [("#fff", "light"), ("#111", "dark"), ("#263238", "dark")])
def test_it_follows_the_pages_background_at_once(page, background, theme):
    page.evaluate("colour => { document.body.style.background = colour; }", background)
    page.wait_for_function(f"document.querySelector('figure').dataset.theme === '{theme}'")
    stroke = page.locator('[data-part="disc"] path').first.evaluate("path => getComputedStyle(path).stroke")
    assert stroke == {"light": "rgb(0, 114, 178)", "dark": "rgb(86, 180, 233)"}[theme]  # Okabe-Ito blue, sky blue


def _luminance(colour):
    """Relative luminance of (red, green, blue), 0 to 255, as WCAG 2.2 defines it."""
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in np.array(colour) / 255]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one, other):
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("background", ["#ffffff", "#111111"])
def test_lines_and_words_stand_out_from_the_page(full, background):
    full.evaluate("colour => { document.body.style.background = colour; }", background)
    full.locator(f"figure[data-theme={'light' if background == '#ffffff' else 'dark'}]").wait_for()
    behind = [int(background[place : place + 2], 16) for place in (1, 3, 5)]

    def colours(selector, what):
        found = full.locator(selector).evaluate_all(f"all => all.map(one => getComputedStyle(one).{what})")
        return {tuple(map(int, re.findall(r"\d+", colour)[:3])) for colour in found if colour.startswith("rgb(")}

    drawn = colours("svg [stroke]:not(text)", "stroke")  # the rim of words is the page's colour
    assert len(drawn) >= 5
    for colour in drawn | colours("button", "borderTopColor"):
        assert _contrast(colour, behind) >= 3.0, colour  # WCAG 2.2, 1.4.11
    for colour in colours("button, label, output, figcaption, summary", "color"):
        assert _contrast(colour, behind) >= 4.5, colour  # WCAG 2.2, 1.4.3


def test_no_two_kinds_of_line_differ_by_their_colour_alone(full):
    kinds = full.locator("svg [stroke]").evaluate_all(
        "all => all.map(one => [one.getAttribute('stroke-dasharray'), one.closest('[data-layer]')?.dataset.layer])"
    )
    # curves that run beside one another
    curves = {"disc", "second disc", "centre path", "trail"}
    assert len({dashes for dashes, layer in kinds if layer in curves}) == 4


def test_axe_finds_nothing_serious(full, serious):
    full.locator("summary").click()
    assert serious(full, "figure") == []
    full.evaluate("document.body.style.background = '#111'")
    full.locator("figure[data-theme=dark]").wait_for()
    assert serious(full, "figure") == []


# the page


def test_a_page_asks_for_nothing_and_complains_of_nothing(open_page):
    page = open_page(html_of(stage.turning_drive(STORY)))
    assert plays(page)
    assert page.complaints == []
    assert [address for address in page.asked if not address.startswith("data:")] == []


def test_two_stages_in_one_page_turn_by_themselves(open_page):
    page = open_page(html_of(stage.turning_drive(STORY)) + html_of(stage.rolling_on_line(10.0)), **PAUSED)
    assert page.locator("figure svg").count() == 2
    button(page, "+1°").first.click()
    first, second = page.get_by_role("slider").all()
    assert (first.input_value(), second.input_value()) == ("1", "0")
    assert page.complaints == []


def test_where_scripts_do_not_run_the_still_picture_keeps_its_words(open_page):
    made = stage.turning_drive(STORY, crank=1.0)
    page = open_page(re.sub(r"<script.*?</script>", "", html_of(made), flags=re.DOTALL))
    words = page.locator("figcaption").inner_text()
    assert "20 rollers" in words
    assert page.get_by_role("img", name=words).evaluate("image => image.complete && image.naturalWidth > 0")


def test_nothing_runs_on_when_the_picture_has_gone_or_is_out_of_sight(open_page):
    page = open_page(html_of(stage.turning_drive(STORY)) + "<p style='height:3000px'>")
    page.evaluate(
        "() => { window.asked = 0; window.ask = window.requestAnimationFrame.bind(window);"
        " window.requestAnimationFrame = then => { window.asked += 1; return ask(then); }; }"
    )

    def asks():
        """How often the picture asks for a frame while the page has twenty, once it has had ten to notice."""
        return page.evaluate(
            """async () => { const frames = async many => {
                    for (let frame = 0; frame < many; frame += 1) await new Promise(window.ask); };
                await frames(10);
                const before = window.asked;
                await frames(20);
                return window.asked - before; }"""
        )

    assert asks() > 5
    page.evaluate("window.scrollTo(0, 2500)")
    assert asks() == 0
    page.evaluate("window.scrollTo(0, 0)")
    assert asks() > 5
    page.evaluate("document.querySelector('figure').remove()")
    assert asks() == 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_saved_page_plays_with_the_network_cut(open_page, serious, tmp_path, scheme):
    made = stage.turning_drive(STORY, show=EVERYTHING, crank=2.0, frame="disc")
    made.save(tmp_path / "drive.html")
    page = open_page(tmp_path / "drive.html", color_scheme=scheme)
    page.locator("figure svg").wait_for()
    assert float(page.get_by_role("slider").input_value()) >= math.degrees(2.0) - 0.01
    assert plays(page)
    assert button(page, "Hold the disc").get_attribute("aria-pressed") == "true"
    assert page.locator("figure").get_attribute("data-theme") == scheme
    assert serious(page, "html") == []
    assert page.complaints == []
    assert page.asked == [(tmp_path / "drive.html").as_uri()] or {address.split(":")[0] for address in page.asked} <= {
        "file",
        "data",
    }


def test_a_lesson_exported_as_a_page_plays_with_the_network_cut(open_page, tmp_path):
    exported, _ = HTMLExporter().from_filename(LESSON)  # as `jupyter nbconvert --to html` does
    (tmp_path / "00_start_here.html").write_text(exported, encoding="utf-8")
    page = open_page(tmp_path / "00_start_here.html")
    stages = page.locator("figure[data-cyclokit-stage]")
    stages.first.locator("svg").wait_for()
    assert stages.count() == page.locator("figure[data-live] svg").count() > 0
    stages.first.scroll_into_view_if_needed()
    before = stages.first.locator("output").inner_text()
    expect(stages.first.locator("output")).not_to_have_text(before, timeout=WAIT)
