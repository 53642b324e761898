"""A lesson run, saved, opened with a new kernel, exported and printed: every picture of it is counted.

Lesson 5 has every kind of picture; kinds of stages and panels that it lacks: the day after in `test_lab.py`.

How many there are was counted by hand, cell by cell.
"""

import re
import time

import pytest

from tests.view.test_lab import SCROLLS, cells_run, complaints, exported, lab, run_all, saved, visit, without_a_kernel

__all__ = ["lab", "visit"]  # fixtures

# how many stages play, how many figures are whole, how many maps and lenses there are
COUNTED = {
    "05_four_numbers": {"stage": 3, "figure": 8, "map": 1, "lens": 1},
}
PATIENCE = 180  # s: for scrolling through a lesson once, which takes about 10 s on an idle machine

# What is in sight: kind, cell and number in it, and what tells whether it is alive: a stage's words, or a picture
IN_SIGHT = """() => {
    const kinds = { stage: "[data-cyclokit-stage]", figure: "img.cyclokit-figure",
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


def counted(page, scrolled):
    """Scroll through a page; how many pictures of each kind are alive, each counted once."""
    alive, words = set(), {}
    area = page.locator(scrolled).first
    area.evaluate("one => { one.scrollTop = 0; }")
    end, still, before = time.monotonic() + PATIENCE, 0, None
    while still < 3 and time.monotonic() < end:
        page.wait_for_timeout(200)
        for _ in range(12):  # as long as something in sight isn't alive yet
            seen = page.evaluate(IN_SIGHT)
            for kind, place, sign in seen:
                moved = kind == "stage" and sign and words.setdefault(place, sign) != sign
                if moved or (kind != "stage" and sign):
                    alive.add((kind, place))
            if {(kind, place) for kind, place, _ in seen} <= alive:
                break
            page.wait_for_timeout(150)
        here = area.evaluate("one => { one.scrollTop += 600; return [one.scrollTop, one.scrollHeight]; }")
        still, before = (still + 1 if here == before else 0), here
    return {kind: sum(one == kind for one, _ in alive) for kind in ("stage", "figure", "map", "lens")}


@pytest.mark.parametrize("name", COUNTED)
def test_every_picture_is_there_today_tomorrow_in_an_export_and_on_paper(name, lab, visit, open_page, tmp_path):
    copy = lab.folder / "lessons" / f"{name}.ipynb"
    page = visit(f"lessons/{name}.ipynb")
    page.locator(".jp-NotebookPanel .jp-MarkdownCell h1").click()
    page.keyboard.press("Control+Shift+ArrowRight")  # JupyterLab's own, which opens every fold
    run_all(page)
    cells_run(page, 1)
    page.locator(SCROLLS).evaluate("one => { one.scrollTop = one.scrollHeight; }")
    page.locator(".jp-CodeCell .jp-InputPrompt").last.get_by_text(re.compile(r"^\[\d+\]:$")).wait_for()
    assert counted(page, SCROLLS) == COUNTED[name]
    saved(page, copy)
    assert complaints(page) == []
    without_a_kernel(lab, page)

    again = visit(f"lessons/{name}.ipynb", afresh=True)
    assert counted(again, SCROLLS) == COUNTED[name]
    assert "model not found" not in again.content().lower()
    assert again.complaints == []
    page_file = exported(copy, tmp_path)
    assert counted(open_page(page_file), "html") == COUNTED[name]
    for scheme in ("light", "dark"):
        # a sheet of A4 within its edges is about 700 pixels wide
        size = {"viewport": {"width": 700, "height": 1000}}
        is_whole_on_paper(open_page(page_file, color_scheme=scheme, reduced_motion="reduce", **size), scheme, name)


def is_whole_on_paper(page, scheme, name):
    """Every picture is there and large enough, there is nothing to press, no code is cut, words are dark."""
    page.locator(".cyclokit-stage svg").first.wait_for(state="attached")
    page.emulate_media(media="print", color_scheme=scheme)
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert page.evaluate(ON_PAPER) == COUNTED[name]
    assert page.locator("button:visible, input:visible, summary:visible").count() == 0
    cut = "all => all.filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.innerText)"
    assert page.locator(".highlight pre, .jp-OutputArea-output pre").evaluate_all(cut) == []
    colours = "all => all.map(one => getComputedStyle(one).color)"
    assert set(page.locator(".cyclokit-stage output").evaluate_all(colours)) == {"rgb(31, 31, 31)"}
    assert page.pdf(format="A4", print_background=True).startswith(b"%PDF")
