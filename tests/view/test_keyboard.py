"""A reader without a mouse goes through stage, panel and map in JupyterLab, and axe looks at all three.

- Keys of a slider (arrows, Home, End): the WAI-ARIA Authoring Practices Guide 1.2, W3C, "Slider Pattern".
- Roles, names, contrast: the axe-core rules, which test the Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023.
"""

import pytest
from playwright.sync_api import expect

from tests.view.test_lab import (
    IMPORT,
    LIVE,
    MAP,
    PANEL,
    complaints,
    keys_stay_away,
    lab,
    numbered,
    run_all,
    visit,
)

__all__ = ["lab", "visit"]  # fixtures

TABS = 60  # more than there are places
ALL_THREE = """from cyclokit.view import panels
shown = panels.on_the_map(story)
shown"""
HERE = """() => { const here = document.activeElement;
    return [here.getAttribute('aria-label') ?? here.textContent, getComputedStyle(here).outlineStyle]; }"""


@pytest.fixture
def page(visit):
    """A panel with its stage and its map, run, and the focus in the notebook before it."""
    page = visit("keys.ipynb", IMPORT, ALL_THREE, "1 + 1", reduced_motion="reduce")
    run_all(page)
    page.locator(f"{PANEL} input").first.wait_for()
    page.locator(MAP).wait_for()
    return page


def tab_to(page, wanted):
    """Press Tab until the focus is on what has that name; its outline must be seen."""
    for _ in range(TABS):
        page.keyboard.press("Tab")
        name, outline = page.evaluate(HERE)
        if name.startswith(wanted):
            assert outline == "solid", name
            return
    raise AssertionError(f"Tab never came to {wanted}")


def letters(page):
    """Keys by which JupyterLab would make, cut or change cells; none of them may get there."""
    keys_stay_away(page, ("a", "b", "m", "x", "z", "y"))


def test_a_panel_its_stage_and_its_map_are_gone_through_with_keys_alone(page, angles):
    stage = page.locator(LIVE)
    page.locator(".jp-Notebook").first.focus()
    page.locator(PANEL).evaluate("one => { one.tabIndex = -1; one.focus(); }")  # from here on keys alone

    tab_to(page, "roller radius [mm]")
    page.keyboard.press("ArrowRight")
    page.locator("textarea", has_text="roller_radius=5.01,").wait_for(state="attached")
    page.keyboard.press("Home")
    page.locator("textarea", has_text="roller_radius=1.0,").wait_for(state="attached")
    letters(page)
    page.keyboard.press("End")
    page.locator("textarea", has_text="roller_radius=10.0,").wait_for(state="attached")
    tab_to(page, "Reset")
    page.keyboard.press("Space")
    page.locator("textarea", has_text="roller_radius=5.0,").wait_for(state="attached")

    tab_to(page, "A cycloidal drive")
    page.keyboard.press("ArrowRight")
    assert angles(stage)["crank"] == 1.0
    page.keyboard.press("End")
    assert angles(stage)["crank"] == 360.0 * 19
    page.keyboard.press("Home")
    assert angles(stage)["crank"] == 0.0
    letters(page)
    page.keyboard.press("Space")
    page.wait_for_function("!document.querySelector('.cyclokit-stage output').textContent.startsWith('crank 0.0')")
    page.keyboard.press("Space")
    tab_to(page, "angle in degrees")
    page.keyboard.press("End")
    assert angles(stage)["crank"] == 360.0  # its own end, in the turn that it is in
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Home")
    assert angles(stage)["crank"] == 0.0
    letters(page)
    tab_to(page, "Hold the disc")
    page.keyboard.press("Enter")
    assert stage.get_by_role("button", name="Hold the disc").get_attribute("aria-pressed") == "true"
    tab_to(page, "Show")
    page.keyboard.press("Enter")
    assert stage.locator("input[type=checkbox]").first.is_visible()

    tab_to(page, "map of sound shapes")
    for key in ("ArrowRight", "ArrowUp"):
        page.keyboard.press(key)
    page.locator(f"{MAP} output", has_text="5.01 mm, eccentricity 1.41 mm").wait_for()
    letters(page)
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.closest('.cyclokit-map') === null")
    assert complaints(page) == []


def in_theme(page, theme):
    """Choose JupyterLab's light or dark theme in its menu."""
    page.get_by_role("menuitem", name="Settings", exact=True).first.click()
    for words in ("Theme", f"JupyterLab {theme}"):
        page.locator(".lm-Menu-itemLabel").get_by_text(words, exact=True).click()


def test_all_are_as_light_or_dark_as_jupyterlab_and_axe_finds_nothing_serious_in_either(visit, serious):
    with_chart = "stage.turning_drive(story, chart=('disc angle',), lens=3)"
    page = visit("axe.ipynb", IMPORT, ALL_THREE, with_chart, reduced_motion="reduce")
    parts = {PANEL: 1, LIVE: 2, MAP: 1, ".cyclokit-chart": 1}

    def are(theme):
        for part, count in parts.items():
            expect(page.locator(f'{part}[data-theme="{theme}"]')).to_have_count(count)
            expect(page.locator(part)).to_have_count(count)

    run_all(page)
    are("light")
    for stage in page.locator(f"{LIVE} summary").all():
        stage.click()  # the layers' boxes too
    for part in parts:
        assert serious(page, part) == [], part
    in_theme(page, "Dark")  # those that are there follow it
    try:
        are("dark")
        for part in parts:
            assert serious(page, part) == [], part
        run_all(page)  # and new ones have it from the start
        numbered(page, [4, 5, 6])
        are("dark")
    finally:
        in_theme(page, "Light")
    are("light")
