"""A choice of stages: one is seen, the others wait; whoever chooses another goes on at the same angle.

- A button that stays pressed says so: ARIA Authoring Practices Guide, W3C; the axe-core rules.
"""

import re

import pytest

from cyclokit import Drive
from cyclokit.geometry import sweep
from cyclokit.view import choice
from tests.geometry.drives import STORY

SMALL = Drive(pins=8, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)


@pytest.fixture
def page(open_page):
    return open_page(choice.of_lobes(STORY, (18, 19, 20), chosen=18)._repr_html_(), reduced_motion="reduce")


def seen(page):
    return page.locator("[data-choice]:visible")


def choose(page, name):
    page.get_by_role("button", name=name, exact=True).click()


def test_only_what_is_chosen_is_seen_before_any_script_runs():
    text = choice.of_lobes(SMALL, (6, 7), chosen=7).page()
    assert re.findall(r'<div data-choice="(\d)"( hidden)?>', text) == [("6", " hidden"), ("7", "")]
    assert text.count("<script") == 1  # for all of them


def test_another_disc_is_seen_at_the_same_angle_and_counts_for_itself(page, angles):
    assert "11 of 20 lost contact" in seen(page).locator("output").first.inner_text()
    for _ in range(5):
        seen(page).get_by_role("button", name="+1 pin").click()
    for lobes in (19, 20, 18):
        choose(page, str(lobes))
        assert seen(page).count() == 1
        told = angles(seen(page).locator(".cyclokit-stage"))
        assert told == {"crank": 90.0, "disc": round(90 * (1 - 20 / lobes), 1) + 0.0}
        lost = 20 - sweep.touching(sweep.cut(STORY, lobes), 3.14159265 / 2)
        assert f"{lost} of 20 lost contact" in seen(page).locator("output").first.inner_text()
        pressed = page.locator('.cyclokit-choice > .row button[aria-pressed="true"]')
        assert pressed.all_inner_texts() == [str(lobes)]
    assert not page.complaints


def test_what_plays_goes_on_playing(open_page):
    page = open_page(choice.of_held(SMALL).page())
    page.get_by_role("button", name="Pause").wait_for()
    choose(page, "crank")
    page.get_by_role("button", name="Pause").wait_for()
    choose(page, "disc")
    choose(page, "disc")  # pressed again nothing changes
    assert page.get_by_role("button", name="Pause").count() == 1


@pytest.mark.parametrize("background", ["#ffffff", "#111111"])
def test_axe_finds_nothing_serious(open_page, serious, background):
    text = choice.of_held(SMALL, chosen="disc").page()
    page = open_page(f"<style>body {{ background: {background} }}</style>{text}", reduced_motion="reduce")
    assert serious(page, ".cyclokit-choice") == []


@pytest.mark.parametrize(("lobes", "chosen"), [((18, 19), 17), ((), 19)])
def test_what_is_chosen_must_be_there(lobes, chosen):
    with pytest.raises(ValueError, match="chosen is" if lobes else "lobes is empty"):
        choice.of_lobes(STORY, lobes, chosen)


def test_its_name_can_be_read():
    assert repr(choice.of_held(SMALL)) == "Choice('Which part is held', 'ring' of 'ring', 'disc', 'crank')"
