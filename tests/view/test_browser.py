"""Pictures in a real page: they turn as the motion says, with no network, no mouse and no surprise.

- Where the disc is: motion.disc_pose, which is checked elsewhere against the Willis equation and a rigid-body engine.
- Names of keys and of accessible parts: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criteria 2.1.1,
  2.2.2, 4.1.2; the axe-core rules, which test them.
"""

import math
import os
import re
import subprocess
import sys
import time
from urllib.parse import urlsplit

import nbformat
import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from cyclokit import Drive
from cyclokit.course.folder import notebooks
from cyclokit.geometry import motion
from cyclokit.view import stage

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
PICTURE = stage.turning_drive(STORY)
LESSON = notebooks() / "lessons" / "00_start_here.ipynb"
QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run", "--disable-sync")
WAIT = 20_000  # ms: for what takes a second or two on an idle machine
MARK = (34.5, 0.0)  # mm, on the disc: near the outer end of the mark that shows how it turns

# Where that point of the disc is seen, in mm of the picture, whatever moves it: asked of the browser
SEEN_MARK = """([stage, x, y]) => {
    const svg = stage.querySelector("svg");
    const mark = svg.querySelector("g[data-orbit] path:nth-of-type(2)");
    const point = new DOMPoint(x, y).matrixTransform(mark.getScreenCTM());
    const seen = point.matrixTransform(svg.getScreenCTM().inverse());
    return [seen.x, -seen.y];
}"""


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=chromium, args=QUIET)
        yield running
        running.close()


@pytest.fixture
def open_page(browser):
    """Open a page with the network cut off; it notes what it said on the console and what it asked for."""
    contexts = []

    def open_it(text, **options):
        context = browser.new_context(offline=True, viewport={"width": 800, "height": 900}, **options)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(WAIT)
        page.complaints, page.asked = [], []
        page.on(
            "console", lambda said: page.complaints.append(said.text) if said.type in {"error", "warning"} else None
        )
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.on("request", lambda request: page.asked.append(request.url))
        page.set_content(f"<!doctype html><html lang='en'><title>Page</title><main>{text}</main></html>")
        return page

    yield open_it
    for context in contexts:
        context.close()


@pytest.fixture
def page(open_page):
    """A page with the story's drive, paused by the reader's wish for reduced motion."""
    return open_page(PICTURE._repr_html_(), reduced_motion="reduce")


def _turn_to(page, degrees):
    page.get_by_role("slider").evaluate(
        "(slider, value) => { slider.value = value; slider.dispatchEvent(new Event('input', {bubbles: true})); }",
        degrees,
    )


def _reading(page):
    """Crank and disc angle in degrees, as the line under the picture says."""
    return tuple(map(float, re.findall(r"(-?[\d.]+)°", page.locator("output").inner_text())))


def _seen_mark(page):
    stage_there = page.locator("[data-cyclokit-stage]").first.element_handle()
    return page.evaluate(SEEN_MARK, [stage_there, *MARK])


def _plays(page):
    """Whether the picture moves by itself within half a second."""
    before = page.get_by_role("slider").input_value()
    page.wait_for_timeout(500)
    return page.get_by_role("slider").input_value() != before


# the motion


@pytest.mark.parametrize("degrees", [0, 1, 90, 359, 360, 1000, 3421, 6840])
def test_the_disc_is_seen_where_the_motion_says(page, degrees):
    _turn_to(page, degrees)
    pose = motion.disc_pose(STORY, math.radians(degrees))
    expected = pose.centre + motion.turned(np.array(MARK), pose.angle)
    # mm: shifts have four decimals; angles have four, in degrees: 5e-5 degrees at 35 mm are 3e-5 mm, and the browser
    # counts positions on the screen in single precision
    assert _seen_mark(page) == pytest.approx(expected, abs=2e-3)
    crank, disc = _reading(page)
    assert crank == degrees
    assert disc == pytest.approx(math.degrees(pose.angle), abs=0.051)  # degrees: one decimal is shown


def test_the_rollers_stand_still(page):
    where = "rings => rings.map(ring => { const box = ring.getBoundingClientRect(); return [box.x, box.y]; })"
    rollers = page.locator("svg > g:first-of-type > circle")
    assert rollers.count() == STORY.pins
    before = rollers.evaluate_all(where)
    _turn_to(page, 1234)
    assert rollers.evaluate_all(where) == before


def test_the_disc_turns_against_the_crank(page):
    _turn_to(page, 360)
    crank, disc = _reading(page)
    assert crank > 0 > disc


@pytest.mark.parametrize("picture", [stage.rolling_on_line(10.0), stage.rolling_on_circle(30.0, 10.0, 6.0)], ids=repr)
def test_a_rolling_circle_draws_its_curve_as_it_goes(open_page, picture):
    page = open_page(picture._repr_html_(), reduced_motion="reduce")
    drawn = "line => line.points.numberOfItems"
    points = []
    for share in (0, 0.25, 0.5, 1):
        _turn_to(page, share * 360 * picture.turns)
        points.append(page.locator("polyline").evaluate(drawn))
    assert points[0] == 1
    assert points == sorted(set(points))
    assert points[-1] == len(re.search(r'points="([^"]+)"', picture.svg)[1].split())


# by itself, and by keys


def test_a_picture_plays_by_itself_and_can_be_paused(open_page):
    page = open_page(PICTURE._repr_html_())
    assert _plays(page)
    page.get_by_role("button", name="play or pause").click()
    assert not _plays(page)
    page.get_by_role("button", name="play or pause").click()
    assert _plays(page)


def test_it_waits_for_whoever_wants_less_motion(page):
    assert not _plays(page)
    page.get_by_role("button", name="play or pause").click()
    assert _plays(page)


def test_every_control_can_be_reached_and_used_by_keys(page):
    names = []
    for _ in range(4):
        page.keyboard.press("Tab")
        names.append(page.evaluate("document.activeElement.getAttribute('aria-label')"))
    assert names == [
        "play or pause (space)",
        "one degree back (left arrow)",
        "one degree on (right arrow)",
        "angle of the crank in degrees",
    ]
    for key, degrees in (("ArrowRight", 1), ("ArrowRight", 2), ("ArrowUp", 12), ("ArrowDown", 2), ("ArrowLeft", 1)):
        page.keyboard.press(key)
        assert _reading(page)[0] == degrees
    page.keyboard.press(" ")
    assert _plays(page)
    page.keyboard.press(" ")
    assert not _plays(page)
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement === document.body")


def test_the_space_bar_on_a_button_presses_that_button_only(page):
    page.get_by_role("button", name="one degree on").focus()
    page.keyboard.press(" ")
    assert _reading(page)[0] == 1
    assert not _plays(page)
    page.get_by_role("button", name="play or pause").focus()
    page.keyboard.press(" ")
    assert _plays(page)


def test_steps_go_round_at_the_ends(page):
    page.get_by_role("button", name="one degree back").click()
    assert _reading(page)[0] == 360 * STORY.ratio - 1
    page.get_by_role("button", name="one degree on").click()
    assert _reading(page)[0] == 0


def test_the_reading_is_read_out_while_paused_and_not_while_playing(page):
    # WCAG 2.2, 4.1.3: a status message; sixty a second would drown everything else
    assert page.locator("output").get_attribute("aria-live") == "polite"
    page.get_by_role("button", name="play or pause").click()
    assert page.locator("output").get_attribute("aria-live") == "off"


# the page


def test_a_page_asks_for_nothing_and_complains_of_nothing(open_page):
    page = open_page(PICTURE._repr_html_())
    assert _plays(page)
    assert page.complaints == []
    assert [address for address in page.asked if not address.startswith("data:")] == []


def test_two_pictures_in_one_page_turn_by_themselves(open_page):
    page = open_page(PICTURE._repr_html_() + stage.rolling_on_line(10.0)._repr_html_(), reduced_motion="reduce")
    assert page.locator("[data-cyclokit-stage] svg").count() == 2
    assert page.get_by_role("slider").count() == 2
    page.get_by_role("button", name="one degree on").first.click()
    assert [slider.input_value() for slider in page.get_by_role("slider").all()] == ["1", "0"]
    assert page.complaints == []


def test_where_scripts_do_not_run_the_still_picture_keeps_its_words(open_page):
    still = re.sub(r"<script.*?</script>", "", PICTURE._repr_html_(), flags=re.DOTALL)
    page = open_page(still)
    image = page.get_by_role("img", name=PICTURE.words)
    assert image.count() == 1
    assert image.evaluate("image => image.complete && image.naturalWidth > 0")
    assert page.get_by_text(PICTURE.words).is_visible()  # and as a caption


def test_the_turning_picture_keeps_its_words_as_well(page):
    assert page.get_by_role("img", name=PICTURE.words).count() == 1
    assert page.get_by_text(PICTURE.words).last.is_visible()


def test_nothing_runs_on_when_the_picture_has_gone(open_page):
    page = open_page(PICTURE._repr_html_())
    frames = "window.frames_asked = 0; const ask = window.requestAnimationFrame.bind(window);"
    counted = "window.requestAnimationFrame = then => { window.frames_asked += 1; return ask(then); };"
    page.evaluate("() => {" + frames + counted + "}")
    page.evaluate("document.querySelector('figure').remove()")
    page.wait_for_timeout(300)
    asked = page.evaluate("window.frames_asked")
    page.wait_for_timeout(300)
    assert page.evaluate("window.frames_asked") == asked


def _serious(page, selector):
    found = Axe().run(page, context=selector).response["violations"]
    return [(finding["id"], finding["help"]) for finding in found if finding["impact"] in {"serious", "critical"}]


def test_axe_finds_nothing_serious_in_a_picture(page):
    assert _serious(page, "figure") == []


# a lesson as a page of its own


def test_a_lesson_exported_as_a_page_plays_with_no_network(open_page, tmp_path):
    subprocess.run(
        [sys.executable, "-m", "nbconvert", "--to", "html", "--output-dir", str(tmp_path), str(LESSON)],
        check=True,
        capture_output=True,
        timeout=60,
        env={**os.environ, "JUPYTER_CONFIG_DIR": str(tmp_path), "IPYTHONDIR": str(tmp_path)},
    )
    page = open_page("")
    page.goto((tmp_path / "00_start_here.html").as_uri(), wait_until="domcontentloaded")
    stages = page.locator("[data-cyclokit-stage]")
    stages.first.locator("svg").wait_for()
    assert stages.count() == page.locator("[data-cyclokit-stage][data-live] svg").count() > 0
    before = _seen_mark(page)
    page.wait_for_timeout(500)
    assert _seen_mark(page) != before


# JupyterLab

NOTEBOOK = ".jp-Notebook .jp-WindowedPanel-outer"  # what scrolls; cells far from the view are not in the page


@pytest.fixture(scope="module")
def lab(tmp_path_factory, open_lessons):
    with open_lessons(tmp_path_factory.mktemp("lab")) as opened:
        yield opened


def _cells_counted(page):
    """The number of cells by JupyterLab's status line; the page itself holds only those near the view."""
    return re.search(r"Cell \d+/(\d+)", page.locator("#jp-bottom-panel").inner_text())[1]


def _outputs(path):
    """What every cell of a notebook has printed and which kinds of output it has; nbval compares the rest."""
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    return [
        (cell.source, output.output_type, output.get("text"), sorted(output.get("data", {})))
        for cell in cells
        for output in cell.outputs
    ]


def test_lesson_0_runs_in_jupyterlab(lab, browser):
    """One visit, as a reader makes it: open, look, Run All, look again; nothing leaves this machine."""
    context = browser.new_context(viewport={"width": 1200, "height": 1000})
    page = context.new_page()
    page.set_default_timeout(WAIT)
    complaints, asked = [], []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.on("websocket", lambda socket: asked.append(socket.url))
    try:
        page.goto(lab.address)
        page.locator(".jp-NotebookPanel .jp-MarkdownCell h1", has_text="Start here").wait_for()

        # before anything has run: the stored picture, still, with its words
        stored = page.locator(".jp-OutputArea img[alt^='A cycloidal drive']").first
        stored.wait_for(state="attached")
        assert page.locator("[data-live]").count() == 0
        assert page.get_by_role("dialog").count() == 0  # no question about news, no other dialog

        page.locator("#jp-bottom-panel", has_text="Idle").wait_for()  # the kernel is there
        page.get_by_role("menuitem", name="Run").first.click()
        page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        page.locator("[data-live] svg").first.wait_for(state="attached")
        page.locator(NOTEBOOK).evaluate("view => { view.scrollTop = view.scrollHeight; }")
        page.locator(".jp-CodeCell .jp-InputPrompt").last.get_by_text(re.compile(r"^\[\d+\]:$")).wait_for()
        page.locator(NOTEBOOK).evaluate("view => { view.scrollTop = 0; }")

        turning = page.locator("[data-live]").first
        turning.scroll_into_view_if_needed()
        before = turning.locator("output").inner_text()
        page.wait_for_timeout(500)
        assert turning.locator("output").inner_text() != before

        # JupyterLab's own keys stay away while a picture's controls have the focus: no cell is added by "a"
        turning.get_by_role("button").first.focus()
        cells = _cells_counted(page)
        page.keyboard.press("a")
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(200)
        assert _cells_counted(page) == cells

        copy = lab.folder / "lessons" / LESSON.name
        before = copy.stat().st_mtime_ns
        page.locator(".jp-NotebookPanel .jp-MarkdownCell h1", has_text="Start here").click()
        page.keyboard.press("Control+s")
        end = time.monotonic() + WAIT / 1000
        while copy.stat().st_mtime_ns == before and time.monotonic() < end:
            page.wait_for_timeout(100)
        assert _outputs(copy) == _outputs(LESSON)

        assert _serious(page, "[data-cyclokit-stage]") == []
        assert complaints == []
        hosts = {urlsplit(address).hostname for address in asked if not address.startswith(("data:", "blob:"))}
        assert hosts == {"127.0.0.1"}
    finally:
        context.close()
