"""Lessons, stages, panels and a sheet in JupyterLab: pictures play, panels talk with Python, answers are handed in.

- Where the disc is: motion.disc_pose, checked elsewhere against the Willis equation and a rigid-body engine.
- Roles, names, contrast: the axe-core rules, which test the Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023.
"""

import math
import re
import time
from urllib.parse import urlsplit

import nbformat
import pytest
from playwright.sync_api import expect

from cyclokit import Drive
from cyclokit.course.marking import collect
from cyclokit.course.reader.folder import notebooks
from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets.library import load_tasks
from tests.view.conftest import WAIT, noting
from tests.view.test_browser import MATRIX, turn_to, turns_apart

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
LESSONS = notebooks() / "lessons"
SIZE = {"width": 1300, "height": 1000}
SCROLLS = ".jp-Notebook .jp-WindowedPanel-outer"  # cells far from the view are not in the page
LIVE = "figure.cyclokit-stage[data-live]"
# JupyterLab's own, for a kernel that restarts
EXPECTED = re.compile("Connection lost, reconnecting|Could not restore the debugger state")


@pytest.fixture(scope="module")
def lab(tmp_path_factory, open_lessons):
    """JupyterLab with the reader's folder."""
    with open_lessons(tmp_path_factory.mktemp("lab")) as opened:
        yield opened


@pytest.fixture(scope="module")
def visit(lab, browser, request):
    """Open a notebook of the reader's folder, of these cells if such are given, in place of the one before.

    All tests have one window, as JupyterLab takes longer to be loaded than most of them take; it is loaded `afresh`
    where one asks for it, and in another window after a test that failed: who knows what that left behind.
    """
    page, failed = None, 0

    def open_it(name, *sources, afresh=False, unless_open=False, reduced_motion="no-preference", viewport=SIZE):
        nonlocal page, failed
        if page and request.session.testsfailed > failed:
            page.context.close()
            page = None
        failed = request.session.testsfailed
        loaded = page and not afresh
        page = page or noting(browser.new_page())
        page.complaints.clear()
        if loaded and unless_open and page.notebook == name:
            return page
        if loaded:
            closed(page)
        if sources:
            write(lab, name, *sources)
        page.emulate_media(reduced_motion=reduced_motion)
        page.set_viewport_size(viewport)
        if loaded:
            menu(page, "File", "filebrowser:open-path")
            page.locator(".jp-Dialog input").fill(name)
            page.keyboard.press("Enter")
        else:
            page.goto(lab.of(f"/lab/tree/{name}?reset"))
        page.locator(".jp-NotebookPanel .jp-Cell").first.wait_for()
        page.locator("#jp-bottom-panel", has_text="Idle").wait_for()  # the kernel is there
        page.notebook = name
        return page

    yield open_it
    if page:
        page.context.close()


def closed(page):
    """Close the notebook that is open, if one is; what isn't saved is lost."""
    panel = page.locator(".jp-NotebookPanel")
    if panel.count():
        menu(page, "File", "application:close")
        page.wait_for_function("document.querySelector('.jp-Dialog') || !document.querySelector('.jp-NotebookPanel')")
        if panel.count():
            page.get_by_role("dialog").get_by_role("button", name="Discard").click()
        panel.wait_for(state="detached")


@pytest.fixture
def anew(visit):
    """Open a notebook of these cells, unless it is open, and run all of it, as every test that looks at it does."""

    def run_it(name, *sources):
        page = visit(name, *sources, unless_open=True, reduced_motion="reduce")
        before = page.evaluate(LAST_NUMBER)
        run_all(page)
        page.wait_for_function(f"before => ({LAST_NUMBER})() > before", arg=before)
        return page

    return run_it


LAST_NUMBER = """() => Number(
    [...document.querySelectorAll(".jp-CodeCell .jp-InputPrompt")].at(-1).textContent.match(/\\d+/) ?? 0)"""


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


def finished(page):
    """Wait until nothing runs any more."""
    page.wait_for_function(
        "() => { const said = [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')].map(one => one.innerText);"
        " return said.some(one => /\\d/.test(one)) && !said.some(one => one.includes('*')); }"
    )
    page.locator("#jp-bottom-panel", has_text="Idle").wait_for()


def numbered(page, numbers):
    """Wait until the cells with code carry these numbers."""
    page.wait_for_function(
        "wanted => [...document.querySelectorAll('.jp-CodeCell .jp-InputPrompt')].map(one => one.textContent).join()"
        " === wanted",
        arg=",".join(f"[{number}]:" for number in numbers),
    )


def frames(page, count=30):
    """Let the page have so many frames: time for what must not happen."""
    page.evaluate("async count => { for (; count > 0; count -= 1) await new Promise(requestAnimationFrame); }", count)


def cells_counted(page):
    """The number of cells by JupyterLab's status line."""
    return re.search(r"Cell \d+/(\d+)", page.locator("#jp-bottom-panel").inner_text())[1]


# Which cell of how many is active, and whether it holds code, once JupyterLab has had two frames to act: what a cell
# that is out of sight shows is filled in late, and isn't looked at.
ACTIVE = """async () => {
    for (let frame = 0; frame < 2; frame += 1) await new Promise(requestAnimationFrame);
    return [document.querySelector("#jp-bottom-panel").innerText.match(/Cell \\d+\\/\\d+/)[0],
        document.querySelector(".jp-Notebook .jp-Cell.jp-mod-active").classList.contains("jp-CodeCell")];
}"""


def keys_stay_away(page, keys):
    """Press keys, one after the other: what "a" adds "x" would take away. None may reach JupyterLab."""
    before = page.evaluate(ACTIVE)
    for key in keys:
        page.keyboard.press(key)
        assert page.evaluate(ACTIVE) == before, key


def cells_of(path):
    """Kind and source of every cell of a notebook's file."""
    return [(cell.cell_type, cell.source) for cell in nbformat.read(path, as_version=4).cells]


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
    kinds = lambda output: sorted(output.get("data", {}))  # noqa: E731
    return [
        (cell.source, output.output_type, output.get("text"), kinds(output))
        for cell in cells
        for output in cell.outputs
    ]


def scrolled_to(page, wanted):
    """Scroll down a notebook, and from its top again, until something is in the page."""
    end = time.monotonic() + WAIT / 1000
    while wanted.count() == 0:
        assert time.monotonic() < end, f"{wanted} never came"
        page.locator(SCROLLS).evaluate(
            """view => { const at = view.scrollTop; view.scrollTop += 600;
                if (view.scrollTop === at) view.scrollTop = 0; }"""
        )
        page.wait_for_timeout(100)


# the lessons


def test_lesson_0_as_a_reader_goes_through_it(lab, visit):
    """Open, look, Run All, look again, save; nothing leaves this machine."""
    page = visit("lessons/00_start_here.ipynb")
    scrolled_to(page, page.locator(LIVE))  # before anything has run: our own lessons are signed, and play
    assert page.get_by_role("dialog").count() == 0  # no question about news, no other dialog

    run_all(page)
    page.locator(LIVE).first.wait_for(state="attached")
    page.locator(SCROLLS).evaluate("view => { view.scrollTop = view.scrollHeight; }")
    page.locator(".jp-CodeCell .jp-InputPrompt").last.get_by_text(re.compile(r"^\[\d+\]:$")).wait_for()
    page.locator(SCROLLS).evaluate("view => { view.scrollTop = 0; }")
    turning = page.locator(f"{LIVE} >> visible=true").first  # the first of the page lies in a fold
    scrolled_to(page, turning)
    turning.scroll_into_view_if_needed()
    before = turning.locator("output").inner_text()
    expect(turning.locator("output")).not_to_have_text(before)

    copy = lab.folder / "lessons" / "00_start_here.ipynb"
    before = copy.stat().st_mtime_ns
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1", has_text="Start here").click()
    page.keyboard.press("Control+s")
    written_since(page, copy, before)
    assert outputs(copy) == outputs(LESSONS / copy.name)
    assert complaints(page) == []
    hosts = {urlsplit(address).hostname for address in page.asked if not address.startswith(("data:", "blob:"))}
    assert hosts == {"127.0.0.1"}


@pytest.mark.parametrize("name", ["00_start_here", "06_getting_the_motion_out"])  # a short one and a long one
def test_shift_enter_opens_every_fold_and_runs_every_cell(name, lab, visit):
    """Down a lesson with Shift + Enter alone: the folds are closed at first, then open, and no cell was left out."""
    page = visit(f"lessons/{name}.ipynb", reduced_motion="reduce")
    copy, lesson = lab.folder / "lessons" / f"{name}.ipynb", nbformat.read(LESSONS / f"{name}.ipynb", as_version=4)
    folded = page.locator(
        ".jp-NotebookPanel .jp-Cell .jp-collapsed-cell-info, .jp-NotebookPanel .jp-showHiddenCellsButton"
    )
    scrolled_to(page, folded)
    page.locator(SCROLLS).evaluate("view => { view.scrollTop = 0; }")
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1").click()
    for _ in lesson.cells:
        page.keyboard.press("Shift+Enter")
    finished(page)
    expect(folded).to_have_count(0)
    saved(page, copy)
    *run, new = nbformat.read(copy, as_version=4).cells  # below the last cell JupyterLab has made a new one
    assert [cell.source for cell in run] == [cell.source for cell in lesson.cells] and new.source == ""
    assert not [cell.source for cell in run if "jp-MarkdownHeadingCollapsed" in cell.metadata]
    code = [cell for cell in run if cell.cell_type == "code"]
    first = code[0].execution_count  # the kernel may have run before; a cell that was left out would break the row
    assert [cell.execution_count for cell in code] == list(range(first, first + len(code)))
    assert not [output for cell in code for output in cell.outputs if output.output_type == "error"]


def test_lesson_3_turns_its_cuts_at_their_own_rates(visit, serious):
    page = visit("lessons/03_one_lobe_fewer.ipynb", reduced_motion="reduce")
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1").click()
    page.keyboard.press("Control+Shift+ArrowRight")  # every fold is opened
    run_all(page)
    page.locator("#jp-bottom-panel", has_text="Idle").wait_for()
    choice = page.locator(".cyclokit-choice", has_text="Lobes of the disc")
    scrolled_to(page, choice)
    for lobes in (17, 20, 21, 18):
        choice.get_by_role("button", name=str(lobes), exact=True).click()
        turning = choice.locator(f"{LIVE}:visible")
        expect(turning).to_have_count(1)
        turning.scroll_into_view_if_needed()
        for crank in (1.0, 5.0, 8.0):
            turn_to(turning, math.degrees(crank))
            a, b, _, _, x, y = turning.locator('[data-part="disc"]').evaluate(MATRIX)
            assert (x, -y) == pytest.approx((1.4 * math.cos(crank), 1.4 * math.sin(crank)), abs=5e-4)
            # lesson 3: a disc with M lobes among N pins turns by 1 - N/M for each turn of the crank
            assert turns_apart(math.atan2(-b, a), crank * (1 - 20 / lobes)) < 2e-5
        assert serious(page, ".cyclokit-choice") == []
    assert complaints(page) == []


# an exercise sheet

SHEET = "03_one_lobe_fewer"


def line(page, letter, says):
    """Wait for the line of a task's check."""
    cell = page.locator(".jp-CodeCell", has=page.get_by_text(f'sheet.check_yourself("{letter}")', exact=True))
    cell.locator(".jp-OutputArea-output", has_text=re.compile(rf"^{letter}: {says}")).wait_for()


def answer(page, old, new):
    """Type an answer in place of another one, in the cell where it is set."""
    page.locator(".jp-CodeCell .cm-content", has_text=old).first.click()
    page.keyboard.press("Control+a")
    page.keyboard.type(new)


def test_a_sheet_is_read_answered_wrong_then_right_run_and_saved(lab, visit):
    question = open_sheet("one_lobe_fewer", "turntable").asked("f").question
    copy = lab.folder / "exercises" / f"{SHEET}.ipynb"
    page = visit(f"exercises/{SHEET}.ipynb", viewport={"width": 1200, "height": 6000})  # every cell is in the page

    # a fresh sheet: the tasks can be read before anything is run, and no check has said anything
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1", has_text="exercise sheet").wait_for()
    expect(page.get_by_text("plant laboratory's turntable")).to_have_count(1)
    assert page.get_by_text("still open").count() == 0

    run_all(page)
    for letter in "abcdef":
        line(page, letter, r"still open\. ")

    slip = question.slips[0]
    answer(page, "f_pins = yours", f"f_pins = {slip.wrong}")
    run_all(page)
    line(page, "f", rf"look again\. I read {slip.wrong}\. {re.escape(slip.look)}")

    answer(page, f"f_pins = {slip.wrong}", f"f_pins = {question.right}")
    run_all(page)
    line(page, "f", rf"right\. I read {question.right}\.")
    line(page, "a", r"still open\. ")
    finished(page)

    saved(page, copy)
    sheet = nbformat.read(copy, as_version=4)
    assert [cell for cell in sheet.cells if cell.source == f"f_pins = {question.right}"]
    assert "widgets" not in sheet.metadata
    # what is handed in has survived JupyterLab's saving: its receipt fits, and each cell is as it was run
    names = [name for task in load_tasks("one_lobe_fewer").tasks for name in task.names]
    handed = collect.read(copy.read_bytes(), {"one_lobe_fewer": names})
    assert handed.remarks == []
    assert handed.data["answers"]["f"]["value"] == repr(float(question.right))
    assert handed.data["answers"]["a"] == {"state": "still open"}
    assert complaints(page) == []


# a notebook of its own

IMPORT = "from cyclokit import Drive\nfrom cyclokit.view import stage\nstory = Drive(20, 42.0, 5.0, 1.4)"
STAGE = "stage.turning_drive(story)"


ONE_STAGE = (IMPORT, STAGE, "1 + 1")


@pytest.fixture
def one_stage(anew):
    """A stage, run."""
    page = anew("stage.ipynb", *ONE_STAGE)
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


@pytest.mark.parametrize("place", ["figure", "button.play", "input[type=range]", "summary", "input[type=checkbox]"])
def test_jupyterlabs_own_keys_stay_away(lab, one_stage, place):
    page = one_stage
    page.locator(f"{LIVE} summary").click()
    (page.locator(LIVE) if place == "figure" else page.locator(f"{LIVE} {place}").first).focus()
    keys_stay_away(page, ("a", "b", "j", "m", "x", "z", "ArrowDown", "ArrowUp", "ArrowLeft", "+", "-"))
    page.keyboard.press("Escape")
    # back in JupyterLab's hands
    assert page.evaluate("document.activeElement.closest('.jp-Cell, .jp-Notebook') !== null")
    assert page.evaluate("document.activeElement.closest('.cyclokit-stage') === null")
    saved(page, lab.folder / "stage.ipynb")
    assert cells_of(lab.folder / "stage.ipynb") == [("code", source) for source in ONE_STAGE]


COUNT_FRAMES = """() => { window.asked = 0; const ask = window.requestAnimationFrame.bind(window);
    window.requestAnimationFrame = then => {
        if (String(then).includes("isConnected")) window.asked += 1;  // the stage's own
        return ask(then);
    };
}"""


def asks(page):
    """How often stages ask for a frame while the page has twenty."""
    return page.evaluate(
        """async () => { const before = window.asked;
            for (let frame = 0; frame < 20; frame += 1) await new Promise(requestAnimationFrame);
            return window.asked - before; }"""
    )


def test_two_stages_a_restart_a_second_run_and_a_reopening_leave_nothing_behind(lab, visit):
    page = visit("two.ipynb", IMPORT, STAGE, "stage.rolling_on_line(10.0)")
    page.evaluate(COUNT_FRAMES)
    run_all(page)
    page.locator(LIVE).nth(1).wait_for()
    one_alone = asks(page)
    assert one_alone > 5

    page.locator(".jp-CodeCell .cm-content").nth(1).click()  # the cell run twice: one stage there, not two
    for number in (4, 5):
        page.keyboard.press("Control+Enter")
        numbered(page, [1, number, 3])
        assert asks(page) <= 1.5 * one_alone
        expect(page.locator(LIVE)).to_have_count(2)

    menu(page, "Kernel", "runmenu:restart-and-run-all")
    page.get_by_role("dialog").get_by_role("button", name="Confirm").click()
    numbered(page, [1, 2, 3])
    assert asks(page) <= 1.5 * one_alone
    expect(page.locator(LIVE)).to_have_count(2)

    saved(page, lab.folder / "two.ipynb")
    closed(page)
    assert asks(page) == 0
    assert complaints(page) == []

    visit("two.ipynb")  # opened again, before and after its cells run
    page.locator(LIVE).nth(1).wait_for()
    run_all(page)
    numbered(page, [4, 5, 6])
    frames(page)  # a number may be there before its output is, and what is left of the one before goes
    expect(page.locator(LIVE)).to_have_count(2)
    assert complaints(page) == []


def saved(page, path):
    """Save a notebook, and wait until it is written."""
    before = path.stat().st_mtime_ns
    menu(page, "File", "docmanager:save")
    written_since(page, path, before)


def written_since(page, path, before):
    """Wait until a notebook is written, to its end: JupyterLab empties the file first."""
    end = time.monotonic() + WAIT / 1000
    while path.stat().st_mtime_ns == before or not path.read_text(encoding="utf-8").endswith("}\n"):
        assert time.monotonic() < end, path
        page.wait_for_timeout(100)


# the panel

PANEL = "[data-cyclokit-panel]"


FOUR_NUMBERS = (
    IMPORT,
    "from cyclokit.view import panels\nshown = panels.four_numbers(story)\nshown",
    "print('told', Drive(**shown.values))",
)


@pytest.fixture
def panel(anew):
    page = anew("panel.ipynb", *FOUR_NUMBERS)
    page.locator(f"{PANEL} input").first.wait_for()
    return page


def slider(page, name):
    return page.locator(PANEL).get_by_role("slider", name=name)


def field(page, name):
    return page.locator(PANEL).get_by_role("spinbutton", name=name)


def slide(page, name, key, times):
    """Press a key on a slider so many times."""
    slider(page, name).focus()
    for _ in range(times):
        page.keyboard.press(key)


def code_says(page, words):
    """Wait until the line of code holds these words."""
    page.wait_for_function(
        "words => document.querySelector('[data-cyclokit-panel] textarea').value.includes(words)", arg=words
    )


def test_picture_margins_and_python_follow_a_slider(panel):
    path = panel.locator('[data-part="disc"] path').first
    before, margins = path.get_attribute("d"), panel.locator("[data-panel=rows]").inner_text()
    slide(panel, "eccentricity", "ArrowRight", 5)
    code_says(panel, "eccentricity=1.45)")
    expect(path).not_to_have_attribute("d", before)
    expect(panel.locator("[data-panel=rows]")).not_to_have_text(margins, use_inner_text=True)
    expect(field(panel, "eccentricity")).to_have_value("1.45")
    assert "eccentricity=1.45)" in told(panel)
    assert complaints(panel) == []


def test_a_slider_goes_where_the_hand_goes_however_fast(panel):
    # a hundred places within a tenth of a second: the page asks for the last one, and ends there
    slider(panel, "roller radius").evaluate(
        """async one => {
            for (let k = 1; k <= 100; k += 1) {
                one.value = 5 - 0.01 * k;
                one.dispatchEvent(new Event("input"));
                if (k % 10 === 0) await new Promise(requestAnimationFrame);
            }
        }"""
    )
    code_says(panel, "roller_radius=4.0,")
    frames(panel)
    assert float(slider(panel, "roller radius").input_value()) == 4.0
    assert "roller_radius=4.0," in told(panel)


def test_a_number_can_be_typed_and_what_cannot_be_is_said(panel):
    typed = field(panel, "eccentricity")
    typed.fill("1.2345")
    typed.press("Tab")
    code_says(panel, "eccentricity=1.2345)")
    expect(typed).to_have_value("1.2345")
    for name, wrong, words in (
        ("eccentricity", "9", "eccentricity must be from 0.28 to 2.8."),
        ("eccentricity", "", "eccentricity must be from 0.28 to 2.8."),
        ("ring pins", "20.5", "ring pins must be a whole number from 3 to 40."),
    ):
        before = field(panel, name).input_value()
        field(panel, name).fill(wrong)
        field(panel, name).press("Tab")
        panel.locator(".wrong", has_text=words).wait_for()
        assert field(panel, name).input_value() == before
    assert "pins=20," in told(panel)
    assert "eccentricity=1.2345)" in told(panel)


def test_the_page_takes_back_nothing_that_python_sets(panel):
    slide(panel, "roller radius", "ArrowLeft", 3)
    code_says(panel, "roller_radius=4.97,")
    run(panel, "shown.sliders['roller_radius'].value = 6.0")
    code_says(panel, "roller_radius=6.0,")
    run(panel, "shown.sliders['roller_radius'].value = 6.0; shown.sliders['roller_radius'].value = 5.0")
    code_says(panel, "roller_radius=5.0,")
    frames(panel)
    assert (slider(panel, "roller radius").input_value(), field(panel, "roller radius").input_value()) == ("5", "5.00")
    run(panel, "print('told', Drive(**shown.values))")
    panel.get_by_text("told Drive(").wait_for()
    assert "roller_radius=5.0," in told(panel)
    assert complaints(panel) == []


def test_a_drive_between_two_steps_stays_what_it_is(visit):
    odd = "odd = Drive(17, 41.23, 4.567, 1.2345)"
    source = f"from cyclokit.view import panels\n{odd}\nshown = panels.four_numbers(odd)\nshown"
    page = visit("odd.ipynb", IMPORT, source, "print('told', Drive(**shown.values) == odd)", reduced_motion="reduce")
    run_all(page)
    page.locator(f"{PANEL} input").first.wait_for()
    frames(page)  # if the page's sliders sent anything back
    expect(field(page, "eccentricity")).to_have_value("1.2345")
    assert "eccentricity=1.2345" in page.locator("textarea").input_value()
    assert "True" in told(page)


def test_an_impossible_set_is_named_and_drawn_and_reset_undoes_it(panel):
    slide(panel, "roller radius", "End", 1)
    panel.locator("[data-panel=verdict]", has_text="Neighbouring rollers overlap").wait_for()
    assert "the picture shows what comes of them" in panel.locator("[data-panel=verdict]").inner_text()
    assert "roller_radius=10.0," in told(panel)
    radius = panel.locator('[data-layer="rollers"] circle').first.get_attribute("r")
    assert float(radius) == 10.0
    panel.get_by_role("button", name="Reset").click()
    panel.locator("[data-panel=verdict]", has_text="The shape is sound").wait_for()
    assert "roller_radius=5.0, eccentricity=1.4)" in told(panel)
    assert complaints(panel) == []


def test_the_stage_of_a_panel_keeps_its_angle_and_its_layers(panel, angles):
    turn_to(panel.locator(LIVE), 100)
    panel.locator(f"{LIVE} summary").click()
    panel.get_by_role("checkbox", name="contacts").click()
    slide(panel, "ring pins", "ArrowRight", 1)
    code_says(panel, "pins=21,")
    expect(panel.locator('[data-layer="contacts"] circle')).to_have_count(21)
    assert angles(panel.locator(LIVE))["crank"] == 100
    assert panel.get_by_role("checkbox", name="contacts").is_checked()


@pytest.mark.parametrize("kind", ["slider", "spinbutton", "button", "textbox"])
def test_jupyterlabs_keys_stay_away_from_a_panels_controls(lab, panel, kind):
    one = (
        panel.locator(PANEL).get_by_role(kind).first if kind != "button" else panel.get_by_role("button", name="Reset")
    )
    one.focus()
    keys_stay_away(panel, ("a", "b", "j", "m", "x", "z", "y", "ArrowDown", "ArrowUp"))
    panel.keyboard.press("Escape")
    assert panel.evaluate("document.activeElement.closest('.jp-Cell, .jp-Notebook') !== null")
    assert panel.evaluate("document.activeElement.closest('[data-cyclokit-panel]') === null")
    saved(panel, lab.folder / "panel.ipynb")
    assert cells_of(lab.folder / "panel.ipynb") == [("code", source) for source in FOUR_NUMBERS]


def test_the_line_of_code_can_be_copied_with_keys_and_gives_the_drive(panel):
    slide(panel, "ring pins", "ArrowRight", 1)
    code_says(panel, "pins=21,")
    line = panel.locator("textarea")
    line.focus()
    panel.keyboard.press("Control+a")
    assert panel.evaluate("window.getSelection().toString()") == line.input_value()
    names = {"Drive": Drive}
    exec(line.input_value(), names)
    assert names["drive"] == Drive(21, 42.0, 5.0, 1.4)


def test_a_page_that_is_loaded_again_finds_its_panel_while_the_kernel_lives(lab, panel):
    slide(panel, "ring pins", "ArrowRight", 1)
    code_says(panel, "pins=21,")
    saved(panel, lab.folder / "panel.ipynb")
    panel.goto(lab.of("/lab/tree/panel.ipynb?reset"))  # without what the other windows have open
    panel.locator(f"{PANEL} input").first.wait_for()
    expect(field(panel, "ring pins")).to_have_value("21")
    code_says(panel, "pins=21,")
    expect(panel.locator('[data-layer="rollers"] circle')).to_have_count(22)
    slide(panel, "ring pins", "ArrowRight", 1)
    code_says(panel, "pins=22,")
    assert "pins=22," in told(panel)
    assert complaints(panel) == []


def test_with_a_new_kernel_the_sliders_rest_until_the_cell_runs_again(panel):
    menu(panel, "Kernel", "kernelmenu:restart")
    panel.get_by_role("dialog").get_by_role("button", name="Confirm").click()
    panel.get_by_text("Run this cell to move its sliders.").wait_for()
    assert slider(panel, "ring pins").is_disabled()
    panel.locator("#jp-bottom-panel", has_text="Idle").wait_for()
    run_all(panel)
    panel.locator(f"{PANEL} fieldset:enabled").wait_for()
    expect(panel.locator(PANEL)).to_have_count(1)
    slide(panel, "ring pins", "ArrowRight", 1)
    code_says(panel, "pins=21,")
    assert complaints(panel) == []


def test_two_panels_move_their_own_picture(visit):
    source = "from cyclokit.view import panels\none = panels.four_numbers(story)\none"
    other = "other = panels.four_numbers(story)\nother"
    page = visit("pair.ipynb", IMPORT, source, other, "print(one.values, other.values)", reduced_motion="reduce")
    run_all(page)
    cells_run(page, 4)
    second = page.locator(PANEL).nth(1)
    second.get_by_role("slider", name="ring pins").focus()
    page.keyboard.press("ArrowRight")
    second.locator("textarea", has_text="pins=21,").wait_for()
    expect(page.locator(PANEL).first.get_by_role("spinbutton", name="ring pins")).to_have_value("20")
    assert re.search(r"'pins': 20,.*'pins': 21,", told(page))


def test_a_panels_controls_are_large_enough_for_a_finger_and_axe_finds_nothing_serious(panel, serious):
    # WCAG 2.2, 2.5.8: 24 by 24 CSS pixels
    for box in panel.locator(f"{PANEL} input:visible, {PANEL} button:visible").all():
        size = box.bounding_box()
        assert min(size["width"], size["height"]) >= 24, size
    assert serious(panel, PANEL) == []


def test_the_picture_is_wide_and_what_is_wrong_stands_above_the_fold(visit):
    source = "from cyclokit.view import panels\nshown = panels.on_the_map(story)\nshown"
    page = visit("wide.ipynb", IMPORT, source, reduced_motion="reduce", viewport={"width": 1100, "height": 900})
    run_all(page)
    page.locator(f"{PANEL} input").first.wait_for()
    slide(page, "roller radius", "End", 1)
    page.locator("[data-panel=verdict]", has_text="Neighbouring rollers overlap").wait_for()
    page.locator(PANEL).evaluate("one => one.scrollIntoView()")
    assert page.locator(f"{PANEL} svg").first.bounding_box()["width"] >= 500
    assert page.locator("[data-panel=verdict] p").last.bounding_box()["y"] < 700


# the panel with the map

MAP = "figure.cyclokit-map"


@pytest.fixture
def on_the_map(anew):
    source = "from cyclokit.view import panels\nshown = panels.on_the_map(story)\nshown"
    page = anew("map.ipynb", IMPORT, source, "print('told', Drive(**shown.values))")
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
    end = time.monotonic() + WAIT / 1000
    fields = [field(page, name) for name in ("roller radius", "eccentricity")]
    # its words, and the sliders, come with Python's last answer
    while said_by_the_map(page) != [float(one.input_value()) for one in fields] and time.monotonic() < end:
        page.wait_for_timeout(100)
    roller, eccentricity = said_by_the_map(page)
    assert roller < 4.8 and eccentricity < 1.3
    assert f"roller_radius={roller}, eccentricity={eccentricity})" in told(page)
    for name, size in (("roller radius", roller), ("eccentricity", eccentricity)):
        assert float(field(page, name).input_value()) == size
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


def test_out_of_the_sound_region_the_point_is_another_mark_and_the_panel_says_the_same(on_the_map):
    page = on_the_map
    drag(page, 0, 150)
    page.locator("[data-panel=verdict]", has_text="not sound").wait_for()
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
    page.locator(f"{MAP} output", has_text="5.02 mm, eccentricity 1.41 mm").wait_for()
    assert cells_counted(page) == cells
    assert "roller_radius=5.02, eccentricity=1.41)" in told(page)


def test_other_pins_have_another_map(on_the_map):
    page = on_the_map
    slide(page, "ring pins", "ArrowLeft", 2)
    page.locator(f"{MAP} figcaption", has_text="18 pins").wait_for()
    assert said_by_the_map(page) == [5.0, 1.4]


# the first page, on a small screen


def test_the_first_screen_shows_the_machine_turning_above_any_code(visit):
    page = visit("lessons/00_start_here.ipynb")
    page.set_viewport_size({"width": 1366, "height": 768})
    picture = page.locator(".jp-MarkdownOutput img").first
    box, code = picture.bounding_box(), page.locator(".jp-CodeCell").first.bounding_box()
    assert box["y"] + box["height"] < 768
    assert box["y"] + box["height"] < code["y"]
    before, end = picture.screenshot(), time.monotonic() + WAIT / 1000
    while picture.screenshot() == before:
        assert time.monotonic() < end


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
