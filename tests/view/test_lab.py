"""The stage and the panels in JupyterLab: live, both ways, in a light and a dark theme, and gone when they are gone.

- Where the disc is: motion.disc_pose, checked elsewhere against the Willis equation and a rigid-body engine.
- Roles, names, contrast: the axe-core rules, which test the Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023.
"""

import json
import math
import re
import time
import urllib.request
from contextlib import contextmanager
from urllib.parse import urlsplit

import nbformat
import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.course.reader.folder import notebooks
from cyclokit.geometry import motion
from tests.view.conftest import WAIT, noting
from tests.view.test_browser import MATRIX, turn_to, turns_apart

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
LESSONS = notebooks() / "lessons"
SCROLLS = ".jp-Notebook .jp-WindowedPanel-outer"  # cells far from the view are not in the page
LIVE = "figure.cyclokit-stage:not([data-cyclokit-stage])"  # the widget; its twin carries that attribute
# JupyterLab's own: for a notebook that is opened again and not yet run, and for a kernel that restarts
EXPECTED = re.compile("model not found|Connection lost, reconnecting")


@pytest.fixture(scope="module")
def lab(tmp_path_factory, open_lessons):
    """JupyterLab with the reader's folder."""
    with open_lessons(tmp_path_factory.mktemp("lab")) as opened:
        yield opened


@pytest.fixture
def visit(lab, browser):
    """Open a notebook of the reader's folder in a fresh window of the browser."""
    contexts = []

    def open_it(name, **options):
        context = browser.new_context(viewport={"width": 1300, "height": 1000}, **options)
        contexts.append(context)
        page = noting(context.new_page())
        page.goto(lab.of(f"/lab/tree/{name}?reset"))
        page.locator(".jp-NotebookPanel .jp-Cell").first.wait_for()
        page.locator("#jp-bottom-panel", has_text="Idle").wait_for()  # the kernel is there
        return page

    yield open_it
    for context in contexts:
        context.close()


def menu(page, name, command):
    page.get_by_role("menuitem", name=name, exact=True).first.click()
    page.locator(f'.lm-Menu-item[data-command="{command}"]').click()


def run_all(page):
    menu(page, "Run", "runmenu:run-all")


def cells_run(page, count):
    """Wait until so many cells carry a number."""
    page.wait_for_function(
        "count => [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')]"
        ".filter(one => /^\\[\\d+\\]:$/.test(one.textContent)).length >= count",
        arg=count,
    )


def cells_counted(page):
    """The number of cells by JupyterLab's status line."""
    return re.search(r"Cell \d+/(\d+)", page.locator("#jp-bottom-panel").inner_text())[1]


def complaints(page):
    return [said for said in page.complaints if not EXPECTED.search(said)]


def write(lab, name, *sources):
    cells = [nbformat.v4.new_code_cell(source) for source in sources]
    notebook = nbformat.v4.new_notebook(cells=cells)
    notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
    nbformat.write(notebook, lab.folder / name)


def outputs(path):
    """What every cell of a notebook has printed and which kinds of output it has; nbval compares the rest."""
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    kinds = lambda output: sorted(kind for kind in output.get("data", {}) if "widget-view" not in kind)  # noqa: E731
    return [
        (cell.source, output.output_type, output.get("text"), kinds(output))
        for cell in cells
        for output in cell.outputs
    ]


# the lessons


def test_lesson_0_as_a_reader_goes_through_it(lab, visit):
    """Open, look, Run All, look again, save; nothing leaves this machine."""
    page = visit("lessons/00_start_here.ipynb")
    stored = page.locator(".jp-OutputArea img[alt^='A cycloidal drive']").first
    stored.wait_for(state="attached")  # before anything has run: the stored picture, still, with its words
    assert page.locator(".cyclokit-stage").count() == 0
    assert page.get_by_role("dialog").count() == 0  # no question about news, no other dialog

    run_all(page)
    page.locator(LIVE).first.wait_for(state="attached")
    page.locator(SCROLLS).evaluate("view => { view.scrollTop = view.scrollHeight; }")
    page.locator(".jp-CodeCell .jp-InputPrompt").last.get_by_text(re.compile(r"^\[\d+\]:$")).wait_for()
    page.locator(SCROLLS).evaluate("view => { view.scrollTop = 0; }")
    turning = page.locator(LIVE).first
    turning.scroll_into_view_if_needed()
    before = turning.locator("output").inner_text()
    page.wait_for_timeout(500)
    assert turning.locator("output").inner_text() != before

    copy = lab.folder / "lessons" / "00_start_here.ipynb"
    before = copy.stat().st_mtime_ns
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1", has_text="Start here").click()
    page.keyboard.press("Control+s")
    end = time.monotonic() + WAIT / 1000
    while copy.stat().st_mtime_ns == before and time.monotonic() < end:
        page.wait_for_timeout(100)
    assert outputs(copy) == outputs(LESSONS / copy.name)
    assert complaints(page) == []
    hosts = {urlsplit(address).hostname for address in page.asked if not address.startswith(("data:", "blob:"))}
    assert hosts == {"127.0.0.1"}


def test_lesson_3_turns_its_cuts_at_their_own_rates(visit, serious):
    page = visit("lessons/03_one_lobe_fewer.ipynb", reduced_motion="reduce")
    run_all(page)
    for lobes in (18, 20, 21):
        turning = page.locator(LIVE, has_text=f"a disc with {lobes} lobes")
        while turning.count() == 0:
            page.locator(SCROLLS).evaluate("view => { view.scrollTop += 400; }")
            page.wait_for_timeout(100)
        turning.scroll_into_view_if_needed()
        slider = turning.get_by_role("slider")
        for crank in (1.0, 5.0):
            slider.evaluate(
                "(one, value) => { one.value = value; one.dispatchEvent(new Event('input')); }", math.degrees(crank)
            )
            a, b, _, _, x, y = turning.locator('[data-part="disc"]').evaluate(MATRIX)
            e = 0.4 if lobes == 21 else 1.4
            assert (x, -y) == pytest.approx((e * math.cos(crank), e * math.sin(crank)), abs=5e-4)
            # lesson 3: a disc with M lobes among N pins turns by 1 - N/M for each turn of the crank
            assert turns_apart(math.atan2(-b, a), crank * (1 - 20 / lobes)) < 2e-5
        assert serious(page, LIVE) == []
    assert complaints(page) == []


# a notebook of its own

IMPORT = "from cyclokit import Drive\nfrom cyclokit.view import stage\nstory = Drive(20, 42.0, 5.0, 1.4)"
STAGE = "shown = stage.turning_drive(story)\nshown"


@pytest.fixture
def both_ways(lab, visit):
    """A stage, and a cell that prints what Python knows of it."""
    write(
        lab, "both.ipynb", IMPORT, STAGE, "print('told', round(shown.crank, 4), shown.show, shown.frame, shown.playing)"
    )
    page = visit("both.ipynb", reduced_motion="reduce")
    run_all(page)
    cells_run(page, 3)
    page.locator(LIVE).wait_for()
    return page


def told(page):
    """Run the last cell again; what it prints."""
    last = page.locator(".jp-CodeCell").last
    before = last.locator(".jp-InputPrompt").inner_text()
    last.locator(".cm-content").click()
    page.keyboard.press("Control+Enter")
    page.wait_for_function(
        "before => { const now = [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')].at(-1).textContent;"
        " return now !== before && /\\d/.test(now); }",
        arg=before,
    )
    return last.locator(".jp-OutputArea").inner_text()


def run(page, code):
    """Put code into the last cell and run it."""
    page.locator(".jp-CodeCell .cm-content").last.click()
    page.keyboard.press("Control+a")
    page.keyboard.insert_text(code)
    page.keyboard.press("Control+Enter")


def test_python_reads_where_the_reader_stopped(both_ways):
    page = both_ways
    turn_to(page, 90)
    page.get_by_role("slider").evaluate("slider => slider.dispatchEvent(new Event('change'))")
    assert f"told {round(math.pi / 2, 4)} " in told(page)
    page.get_by_role("button", name="+1 pin", exact=True).click()
    assert f"told {round(math.radians(108), 4)} " in told(page)
    page.get_by_role("button", name="Hold the disc").click()
    page.locator(f"{LIVE} summary").click()
    page.get_by_role("checkbox", name="normals").click()
    said = told(page)
    assert "'normals'" in said
    assert " disc False" in said
    assert complaints(page) == []


def test_python_moves_the_picture(both_ways, angles):
    page = both_ways
    run(page, "shown.crank = 2.0; shown.show = ['disc', 'contacts', 'angles']; shown.frame = 'disc'")
    page.wait_for_function("document.querySelector('output').textContent.includes('ring')")
    assert angles(page)["crank"] == pytest.approx(math.degrees(2.0) * 20 / 19, abs=0.051)  # one decimal
    assert page.locator('[data-layer="contacts"]').get_attribute("display") == "inline"
    assert page.locator('[data-layer="rollers"]').get_attribute("display") == "none"
    run(page, "shown.drive = Drive(12, 40.0, 4.0, 1.5); shown.frame = 'ring'; shown.show = shown.layers")
    page.wait_for_function("document.querySelectorAll('[data-layer=\"rollers\"] circle').length === 13")
    pose = motion.disc_pose(Drive(12, 40.0, 4.0, 1.5), 2.0)
    a, b, _, _, x, y = page.locator('[data-part="disc"]').evaluate(MATRIX)
    assert np.array([x, -y]) == pytest.approx(pose.centre, abs=5e-4)
    assert turns_apart(math.atan2(-b, a), float(pose.angle)) < 2e-5
    assert complaints(page) == []


@pytest.mark.parametrize("place", ["figure", "button.play", "input[type=range]", "summary", "input[type=checkbox]"])
def test_jupyterlabs_own_keys_stay_away(both_ways, place):
    page = both_ways
    page.locator(f"{LIVE} summary").click()
    (page.locator(LIVE) if place == "figure" else page.locator(f"{LIVE} {place}").first).focus()
    cells = """() => [...document.querySelectorAll(".jp-Cell")].map(one => [
        one.classList.contains("jp-mod-active"), one.classList.contains("jp-CodeCell"), one.innerText.slice(0, 9)])"""
    before = page.evaluate(cells)
    for key in ("a", "b", "j", "m", "x", "z", "ArrowDown", "ArrowUp", "ArrowLeft", "+", "-"):
        page.keyboard.press(key)  # one after the other: what "a" adds "x" would take away
        page.wait_for_timeout(100)
        assert page.evaluate(cells) == before, key
    page.keyboard.press("Escape")
    # back in JupyterLab's hands
    assert page.evaluate("document.activeElement.closest('.jp-Cell, .jp-Notebook') !== null")
    assert page.evaluate("document.activeElement.closest('.cyclokit-stage') === null")


def test_it_is_dark_where_jupyterlab_is_dark(lab, visit, serious):
    write(lab, "dark.ipynb", IMPORT, STAGE)
    with in_theme(lab, "JupyterLab Dark"):
        page = visit("dark.ipynb", reduced_motion="reduce")
        run_all(page)
        page.locator(f'{LIVE}[data-theme="dark"]').wait_for()
        assert serious(page, LIVE) == []
    page = visit("dark.ipynb", reduced_motion="reduce")
    run_all(page)
    page.locator(f'{LIVE}[data-theme="light"]').wait_for()
    assert serious(page, LIVE) == []


@contextmanager
def in_theme(lab, name):
    """JupyterLab in another theme, as its settings editor would put it."""
    address = lab.of("/lab/api/settings/@jupyterlab/apputils-extension:themes")

    def put(raw):
        data = json.dumps({"raw": json.dumps(raw)}).encode()
        urllib.request.urlopen(urllib.request.Request(address, data, method="PUT"), timeout=10).close()

    put({"theme": name})
    try:
        yield
    finally:
        put({})


COUNT_FRAMES = """() => { window.asked = 0; const ask = window.requestAnimationFrame.bind(window);
    window.requestAnimationFrame = then => {
        if (String(then).includes("isConnected")) window.asked += 1;  // the stage's own
        return ask(then);
    };
}"""


def asks(page):
    before = page.evaluate("window.asked")
    page.wait_for_timeout(400)
    return page.evaluate("window.asked") - before


def test_two_stages_a_restart_a_second_run_and_a_reopening_leave_nothing_behind(lab, visit):
    write(lab, "two.ipynb", IMPORT, STAGE, "stage.rolling_on_line(10.0)")
    page = visit("two.ipynb")
    page.evaluate(COUNT_FRAMES)
    run_all(page)
    page.locator(LIVE).nth(1).wait_for()
    one_alone = asks(page)
    assert one_alone > 5

    page.locator(".jp-CodeCell .cm-content").nth(1).click()  # the cell run twice: one stage there, not two
    page.keyboard.press("Control+Enter")
    page.wait_for_timeout(1500)
    assert page.locator(LIVE).count() == 2
    page.keyboard.press("Control+Enter")
    page.wait_for_timeout(1500)
    assert asks(page) <= 1.5 * one_alone

    menu(page, "Kernel", "kernelmenu:restart")
    page.get_by_role("dialog").get_by_role("button", name="Confirm").click()
    page.locator("#jp-bottom-panel", has_text="Idle").wait_for()
    page.wait_for_timeout(1000)
    run_all(page)
    page.wait_for_timeout(3000)
    assert page.locator(LIVE).count() == 2
    assert asks(page) <= 1.5 * one_alone

    menu(page, "File", "docmanager:save")
    page.wait_for_timeout(500)
    menu(page, "File", "application:close")
    page.locator(LIVE).first.wait_for(state="detached")
    assert asks(page) == 0
    assert complaints(page) == []

    again = visit("two.ipynb")  # opened again, before and after its cells run
    again.wait_for_timeout(1000)
    run_all(again)
    again.locator(LIVE).nth(1).wait_for()
    assert complaints(again) == []


# the panel


@pytest.fixture
def panel(lab, visit):
    source = "from cyclokit.view import panels\nshown = panels.four_numbers(story)\nshown"
    write(lab, "panel.ipynb", IMPORT, source, "print('told', shown.drive, shown.stage.drive == shown.drive)")
    page = visit("panel.ipynb", reduced_motion="reduce")
    run_all(page)
    cells_run(page, 3)
    page.locator(LIVE).wait_for()
    return page


def slide(page, name, key, times):
    """Press a key on a slider so many times."""
    handle = page.locator(".widget-slider", has_text=name).locator(".noUi-handle")
    handle.focus()
    for _ in range(times):
        page.keyboard.press(key)


def test_a_drive_between_two_steps_stays_what_it_is(lab, visit):
    odd = "odd = Drive(17, 41.23, 4.567, 1.2345)"
    source = f"from cyclokit.view import panels\n{odd}\nshown = panels.four_numbers(odd)\nshown"
    write(lab, "odd.ipynb", IMPORT, source, "print('told', shown.drive == odd == shown.stage.drive)")
    page = visit("odd.ipynb", reduced_motion="reduce")
    run_all(page)
    page.locator(".cyclokit-panel textarea").wait_for()
    page.wait_for_timeout(1000)  # what the page's sliders send back at the start
    assert "eccentricity=1.2345" in page.locator(".cyclokit-panel textarea").input_value()
    assert "True" in told(page)


def test_the_outline_and_the_margins_follow_a_slider(panel):
    path = panel.locator('[data-part="disc"] path').first
    before, margins = path.get_attribute("d"), panel.locator(".cyclokit-panel ul").inner_text()
    slide(panel, "eccentricity", "ArrowRight", 5)
    panel.wait_for_function("() => document.querySelector('.cyclokit-panel textarea').value.includes('1.45')")
    assert path.get_attribute("d") != before
    assert panel.locator(".cyclokit-panel ul").inner_text() != margins
    assert "eccentricity=1.45) True" in told(panel)
    assert complaints(panel) == []


def test_an_impossible_set_is_named_and_greyed_and_reset_undoes_it(panel):
    slide(panel, "roller radius", "End", 1)
    panel.locator(f"{LIVE}[data-dimmed]").wait_for()
    assert "overlap" in panel.locator(".cyclokit-panel [role=status]").last.inner_text()
    assert panel.locator(f"{LIVE} .warning").is_visible()
    assert float(panel.locator(f"{LIVE} svg").evaluate("svg => getComputedStyle(svg).opacity")) < 0.5
    assert "False" in told(panel)
    panel.get_by_role("button", name="Reset").click()
    panel.locator(f"{LIVE}:not([data-dimmed])").wait_for()
    assert "roller_radius=5.0, eccentricity=1.4) True" in told(panel)
    assert complaints(panel) == []


def test_the_line_of_code_can_be_copied_with_keys_and_gives_the_drive(panel):
    slide(panel, "ring pins", "ArrowRight", 1)
    field = panel.locator(".cyclokit-panel textarea")
    panel.wait_for_function("() => document.querySelector('.cyclokit-panel textarea').value.includes('pins=21')")
    cells = cells_counted(panel)
    field.focus()
    panel.keyboard.press("Control+a")
    assert panel.evaluate("window.getSelection().toString()") == field.input_value()
    panel.keyboard.press("x")
    assert cells_counted(panel) == cells
    names = {"Drive": Drive}
    exec(field.input_value(), names)
    assert names["drive"] == Drive(21, 42.0, 5.0, 1.4)


def test_axe_finds_nothing_serious_in_a_panels_own_parts(panel, serious):
    # the sliders are ipywidgets' own
    assert serious(panel, ".cyclokit-panel figure") == []
    assert serious(panel, ".cyclokit-panel .widget-html") == []


# the panel with the map

MAP = "figure.cyclokit-map"


@pytest.fixture
def on_the_map(lab, visit):
    source = "from cyclokit.view import panels\nshown = panels.on_the_map(story)\nshown"
    write(lab, "map.ipynb", IMPORT, source, "print('told', shown.drive, shown.map.drive == shown.drive)")
    page = visit("map.ipynb", reduced_motion="reduce")
    run_all(page)
    cells_run(page, 3)
    page.locator(MAP).wait_for()
    return page


def said_by_the_map(page):
    """Roller radius and eccentricity [mm] that the map tells."""
    return [float(size) for size in re.findall(r"([\d.]+) mm", page.locator(f"{MAP} output").inner_text())]


def drag(page, across, up):
    """Drag the point by so many pixels; the hand lets go."""
    point = page.locator(f"{MAP} [data-point]")
    point.scroll_into_view_if_needed()
    box = point.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 11):
        page.mouse.move(x + across * step / 10, y - up * step / 10)
    page.mouse.up()


def test_dragging_the_point_moves_the_sliders_the_picture_and_python(on_the_map):
    page = on_the_map
    path = page.locator('[data-part="disc"] path').first
    before = path.get_attribute("d")
    drag(page, -40, -40)
    page.wait_for_function("before => document.querySelector('[data-part=\"disc\"] path').getAttribute('d') !== before",
                           arg=before)  # fmt: skip
    roller, eccentricity = said_by_the_map(page)
    assert roller < 4.8 and eccentricity < 1.3
    page.wait_for_timeout(500)
    assert f"roller_radius={roller}, eccentricity={eccentricity}) True" in told(page)
    for name, size in (("roller radius", roller), ("eccentricity", eccentricity)):
        shown = page.locator(".widget-slider", has_text=name).locator(".widget-readout").inner_text()
        assert float(shown) == size
    assert complaints(page) == []


def test_the_point_follows_a_slider(on_the_map):
    page = on_the_map
    point = page.locator(f"{MAP} [data-point]")
    before = point.get_attribute("transform")
    slide(page, "eccentricity", "ArrowRight", 5)
    page.wait_for_function(
        "before => document.querySelector('.cyclokit-map [data-point]').getAttribute('transform') !== before",
        arg=before,
    )
    page.wait_for_function("document.querySelector('.cyclokit-map output').textContent.includes('1.45 mm')")
    across = [float(re.findall(r"[-\d.]+", where)[0]) for where in (before, point.get_attribute("transform"))]
    assert across[0] == pytest.approx(across[1])
    assert complaints(page) == []


def test_out_of_the_sound_region_the_point_is_another_mark_and_the_stage_is_greyed(on_the_map):
    page = on_the_map
    drag(page, 0, 150)
    page.locator(f"{LIVE}[data-dimmed]").wait_for()
    page.locator(f'{MAP} [data-mark="wrong"]').wait_for(state="visible")
    assert page.locator(f'{MAP} [data-mark="sound"]').is_hidden()
    assert "its shape is not sound" in page.locator(f"{MAP} output").inner_text()
    page.get_by_role("button", name="Reset").click()
    page.locator(f'{MAP} [data-mark="sound"]').wait_for(state="visible")
    assert said_by_the_map(page) == [5.0, 1.4]


def test_the_point_moves_with_the_arrow_keys_and_jupyterlabs_keys_stay_away(on_the_map):
    page = on_the_map
    cells = cells_counted(page)
    page.locator(MAP).focus()
    for key in ("ArrowRight", "ArrowRight", "ArrowUp", "a", "b", "x"):
        page.keyboard.press(key)
    assert said_by_the_map(page) == [5.02, 1.41]
    assert cells_counted(page) == cells
    page.wait_for_timeout(500)
    assert "roller_radius=5.02, eccentricity=1.41) True" in told(page)


def test_other_pins_have_another_map(on_the_map):
    page = on_the_map
    slide(page, "ring pins", "ArrowLeft", 2)
    page.locator(f"{MAP} figcaption", has_text="18 pins").wait_for()
    assert said_by_the_map(page) == [5.0, 1.4]


def test_axe_finds_nothing_serious_in_the_map(lab, visit, on_the_map, serious):
    assert serious(on_the_map, MAP) == []
    with in_theme(lab, "JupyterLab Dark"):
        page = visit("map.ipynb", reduced_motion="reduce")
        run_all(page)
        page.locator(f'{MAP}[data-theme="dark"]').wait_for()
        assert serious(page, MAP) == []


# the first page, on a small screen


def test_the_first_screen_shows_the_machine_turning_above_any_code(visit):
    page = visit("lessons/00_start_here.ipynb")
    page.set_viewport_size({"width": 1366, "height": 768})
    picture = page.locator(".jp-MarkdownOutput img").first
    box, code = picture.bounding_box(), page.locator(".jp-CodeCell").first.bounding_box()
    assert box["y"] + box["height"] < 768
    assert box["y"] + box["height"] < code["y"]
    before = picture.screenshot()
    page.wait_for_timeout(700)
    assert picture.screenshot() != before


def test_lessons_can_be_told_apart_in_the_file_browser_at_the_width_that_opens(visit):
    # JupyterLab's own width; of the longest names ".ipynb" may be cut where the system's letters are wide
    page = visit("lessons/00_start_here.ipynb")
    names = page.locator(".jp-DirListing-itemText")
    widths = names.evaluate_all(
        """items => items.map(item => {
            const text = document.createElement("canvas").getContext("2d");
            text.font = getComputedStyle(item).font;
            const shown = item.textContent.replace(".ipynb", "…");
            return [item.textContent, text.measureText(shown).width, item.clientWidth];
        })"""
    )
    assert len(widths) > 8
    for name, needed, there in widths:
        assert needed <= there + 1, name
