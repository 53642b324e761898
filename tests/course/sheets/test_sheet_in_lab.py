"""An exercise sheet in JupyterLab, as a reader has it: read, answered wrong, then right, run all, saved."""

import re
import time

import nbformat
import pytest
from playwright.sync_api import sync_playwright

from cyclokit.course.marking import collect
from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets.library import load_tasks

QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run", "--disable-sync")
WAIT = 30_000  # ms: for what takes a second or two on an idle machine
NAME = "03_one_lobe_fewer"


@pytest.fixture(scope="module")
def lab(tmp_path_factory, open_lessons):
    with open_lessons(tmp_path_factory.mktemp("lab")) as opened:
        yield opened


@pytest.fixture
def page(lab, chromium):
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=QUIET)
        page = browser.new_page(viewport={"width": 1200, "height": 6000})  # so high that every cell is in the page
        page.set_default_timeout(WAIT)
        page.complaints = []
        page.on("console", lambda said: page.complaints.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: page.complaints.append(str(error)))
        page.goto(lab.of(f"/lab/tree/exercises/{NAME}.ipynb?reset"))
        page.locator(".jp-NotebookPanel .jp-MarkdownCell h1", has_text="exercise sheet").wait_for()
        page.locator("#jp-bottom-panel", has_text="Idle").wait_for()  # the kernel is there
        yield page
        browser.close()


def _run_all(page):
    page.get_by_role("menuitem", name="Run").first.click()
    page.get_by_role("menuitem", name="Run All Cells", exact=True).click()


def _line(page, letter, says):
    """Wait for the line of a task's check."""
    cell = page.locator(".jp-CodeCell", has=page.get_by_text(f'sheet.check_yourself("{letter}")', exact=True))
    cell.locator(".jp-OutputArea-output", has_text=re.compile(rf"^{letter}: {says}")).wait_for()


def _answer(page, old, new):
    """Type an answer in place of another one, in the cell where it is set."""
    cell = page.locator(".jp-CodeCell .cm-content", has_text=old).first
    cell.click()
    page.keyboard.press("Control+a")
    page.keyboard.type(new)


def test_a_reader_answers_in_jupyterlab(page, lab):
    question = open_sheet("one_lobe_fewer", "turntable").asked("f").question

    # a fresh sheet: the tasks can be read before anything is run, and no check has said anything
    assert page.get_by_text("plant laboratory's turntable").count() == 1
    assert page.get_by_text("still open").count() == 0

    _run_all(page)
    for letter in "abcdef":
        _line(page, letter, r"still open\. ")

    slip = question.slips[0]
    _answer(page, "f_pins = yours", f"f_pins = {slip.wrong}")
    _run_all(page)
    _line(page, "f", rf"look again\. I read {slip.wrong}\. {re.escape(slip.look)}")

    _answer(page, f"f_pins = {slip.wrong}", f"f_pins = {question.right}")
    _run_all(page)
    _line(page, "f", rf"right\. I read {question.right}\.")
    _line(page, "a", r"still open\. ")

    copy = lab.folder / "exercises" / f"{NAME}.ipynb"
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1").click()
    page.keyboard.press("Control+s")
    end = time.monotonic() + WAIT / 1000
    while f"f_pins = {question.right}" not in copy.read_text(encoding="utf-8") and time.monotonic() < end:
        page.wait_for_timeout(100)
    saved = nbformat.read(copy, as_version=4)
    assert [cell for cell in saved.cells if cell.source == f"f_pins = {question.right}"]
    assert "widgets" not in saved.metadata
    # what is handed in has survived JupyterLab's saving: its receipt fits, and each cell is as it was run
    names = [name for task in load_tasks("one_lobe_fewer").tasks for name in task.names]
    handed = collect.read(copy.read_bytes(), {"one_lobe_fewer": names})
    assert handed.remarks == []
    assert handed.data["answers"]["f"]["value"] == repr(float(question.right))
    assert handed.data["answers"]["a"] == {"state": "still open"}
    assert page.complaints == []
