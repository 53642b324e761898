"""A lesson run, saved, opened with a new kernel, exported and printed: every picture of it is counted.

Lesson 5 has every kind of picture; kinds of stages and panels that it lacks stand in cells below it.

How many there are was counted by hand, cell by cell.
"""

import json
import os
import subprocess
import sys
import urllib.request

import nbformat

from tests.view.test_lab import (
    SCROLLS,
    closed,
    complaints,
    finished,
    frames,
    lab,
    run_all,
    saved,
    visit,
)

__all__ = ["lab", "visit"]  # fixtures

LESSON = "05_four_numbers"
BELOW = (
    """from cyclokit.machine.reducer import Reducer
from cyclokit.view import rolling_panel""",
    "stage.turning_drive(story)",
    "stage.turning_reducer(Reducer(story))",
    "stage.rolling_on_line(10.0)",
    "stage.rolling_on_circle(30.0, 10.0, 6.0)",
    "rolling_panel.pen_on_arm(fixed_radius=30, rolling_radius=10, arm=10)",
)
# how many stages play, how many figures are whole, how many maps and lenses there are: the lesson's and those below
COUNTED = {"stage": 3 + 5, "figure": 8, "map": 1, "lens": 1}
PANELS = 2 + 1
AWAKE = COUNTED | {"panel": PANELS, "asleep": 0}
ASLEEP = COUNTED | {"panel": 0, "asleep": PANELS}
PAPER = {"width": 700, "height": 1000}  # a sheet of A4 within its edges, in pixels
PASSES = 5  # through a lesson: on an idle machine one is enough

# What is in sight: kind, cell and number in it, and what tells whether it is alive: a stage's words, a picture, a
# panel's sliders or its note that it sleeps
IN_SIGHT = """() => {
    const kinds = { panel: "[data-cyclokit-panel]", stage: "[data-cyclokit-stage]", figure: "img.cyclokit-figure",
        map: "[data-panel=map] :is(img, svg)", lens: ".cyclokit-lens svg" };
    const found = [];
    for (const [kind, selector] of Object.entries(kinds)) {
        for (const one of document.querySelectorAll(selector)) {
            const { top, bottom, width } = one.getBoundingClientRect();
            if (bottom < 20 || top > innerHeight - 20 || !width) continue;
            const cell = one.closest(".jp-Cell");
            const cells = [...cell.parentNode.children];
            const place = cell.dataset.windowedListIndex ?? cells.indexOf(cell);
            const number = [...cell.querySelectorAll(selector)].indexOf(one);
            if (kind === "panel") {
                const awake = one.querySelector("[data-panel=sliders] input");
                const note = one.innerText.includes("Run this cell to move its sliders.");
                found.push([awake ? "panel" : "asleep", `${place}.${number}`, Boolean(awake) !== note]);
                continue;
            }
            const alive = kind === "stage" ? one.querySelector("output")?.textContent ?? ""
                : one.tagName === "IMG" ? (one.complete && one.naturalWidth > 0) : width > 100;
            found.push([kind, `${place}.${number}`, alive]);
        }
    }
    return found;
}"""

ON_PAPER = """() => {
    const many = selector => [...document.querySelectorAll(selector)].filter(one => {
        const { width, height } = one.getBoundingClientRect();
        return width > 200 && height > 90;
    }).length;
    return { stage: many(".cyclokit-stage .picture svg"), figure: many("img.cyclokit-figure"),
        map: many("[data-panel=map] img"), lens: many(".cyclokit-lens svg") };
}"""


def counted(page, scrolled, wanted):
    """Scroll through a page until it has been seen whole, again while fewer pictures are alive than wanted.

    Returns how many pictures of each kind are alive, each counted once.
    """
    alive, words, kinds = set(), {}, {}
    area = page.locator(scrolled).first
    for _ in range(PASSES):
        area.evaluate("one => { one.scrollTop = 0; }")
        before, here = None, 0
        while here != before:
            looked(page, alive, words)
            before, here = here, area.evaluate("one => { one.scrollTop += 600; return one.scrollTop; }")
        kinds = {kind: sum(one == kind for one, _ in alive) for kind in wanted}
        if all(kinds[kind] >= count for kind, count in wanted.items()):
            break
    return kinds


def looked(page, alive, words):
    """Note what in sight is alive, as long as something there isn't yet."""
    for _ in range(12):
        frames(page, 6)  # cells that come into sight are filled in late
        seen = page.evaluate(IN_SIGHT)
        for kind, place, sign in seen:
            if (sign and words.setdefault(place, sign) != sign) if kind == "stage" else sign:
                alive.add((kind, place))
        if {(kind, place) for kind, place, _ in seen} <= alive:
            break


def without_a_kernel(lab, page):
    """Close a page and end all kernels of the server."""
    closed(page)
    with urllib.request.urlopen(lab.of("/api/sessions"), timeout=10) as answer:
        sessions = json.load(answer)
    for session in sessions:
        address = lab.of(f"/api/sessions/{session['id']}")
        urllib.request.urlopen(urllib.request.Request(address, method="DELETE"), timeout=10).close()


def exported(notebook, folder):
    """A notebook as a page, by nbconvert."""
    subprocess.run(
        [sys.executable, "-m", "nbconvert", "--to", "html", "--output-dir", str(folder), str(notebook)],
        check=True,
        capture_output=True,
        timeout=60,
        env={**os.environ, "JUPYTER_CONFIG_DIR": str(folder), "IPYTHONDIR": str(folder)},
    )
    return folder / f"{notebook.stem}.html"


def test_every_picture_is_there_today_tomorrow_in_an_export_and_on_paper(lab, visit, open_page, tmp_path):
    copy = lab.folder / "lessons" / f"{LESSON}.ipynb"
    lesson = nbformat.read(copy, as_version=4)
    lesson.cells += [nbformat.v4.new_code_cell(source) for source in BELOW]
    nbformat.write(lesson, copy)
    page = visit(f"lessons/{LESSON}.ipynb")
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1").click()
    page.keyboard.press("Control+Shift+ArrowRight")  # JupyterLab's own, which opens every fold
    run_all(page)
    finished(page)
    assert counted(page, SCROLLS, AWAKE) == AWAKE
    saved(page, copy)
    assert complaints(page) == []
    without_a_kernel(lab, page)

    again = visit(f"lessons/{LESSON}.ipynb", afresh=True)
    assert counted(again, SCROLLS, ASLEEP) == ASLEEP
    assert "model not found" not in again.content().lower()
    assert again.complaints == []
    closed(again)  # it would go on playing

    page_file = exported(copy, tmp_path)
    offline = open_page(page_file, viewport=PAPER)
    assert counted(offline, "html", ASLEEP) == ASLEEP
    is_whole_on_paper(offline, "light")
    is_whole_on_paper(open_page(page_file, color_scheme="dark", reduced_motion="reduce", viewport=PAPER), "dark")


def is_whole_on_paper(page, scheme):
    """Every picture is there and large enough, there is nothing to press, no code is cut, words are dark."""
    page.locator(".cyclokit-stage svg").first.wait_for(state="attached")
    page.emulate_media(media="print", color_scheme=scheme)
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert page.evaluate(ON_PAPER) == COUNTED
    assert page.locator("button:visible, input:visible, summary:visible").count() == 0
    cut = "all => all.filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.innerText)"
    assert page.locator(".highlight pre, .jp-OutputArea-output pre").evaluate_all(cut) == []
    colours = "all => all.map(one => getComputedStyle(one).color)"
    assert set(page.locator(".cyclokit-stage output").evaluate_all(colours)) == {"rgb(31, 31, 31)"}
    assert page.pdf(format="A4", print_background=True).startswith(b"%PDF")
