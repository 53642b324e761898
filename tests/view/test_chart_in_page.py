"""A chart in a real page: one angle for it and its stage, by mouse and by keys, read out and seen on any page.

- A slider's role and keys: ARIA Authoring Practices Guide, W3C; the axe-core rules.
"""

import math

import pytest

from cyclokit import Drive
from cyclokit.geometry import speeds
from cyclokit.view import stage

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)


@pytest.fixture
def page(open_page):
    made = stage.turning_drive(STORY, chart=("disc angle", "sliding"))
    return open_page(made._repr_html_(), reduced_motion="reduce")


def at(page, degrees):
    """Where an angle of the chart is on the screen."""
    page.locator(".track").scroll_into_view_if_needed()
    box = page.locator(".cyclokit-chart svg").bounding_box()
    return box["x"] + (62 + 402 * degrees / 360) / 480 * box["width"], box["y"] + box["height"] / 2


def cursor(page):
    """The angle at which the cursor stands [degrees]."""
    moved = page.locator("[data-cursor]").get_attribute("transform")
    return (float(moved.split("(")[1].split()[0]) - 62) / 402 * 360


def test_dragging_on_the_chart_turns_the_crank_within_its_turn(page, angles):
    page.get_by_role("button", name="+1 turn").click()
    page.mouse.move(*at(page, 30))
    page.mouse.down()
    page.mouse.move(*at(page, 90))
    page.mouse.move(*at(page, 200))
    # degrees: whole pixels, of which a turn has about 450
    assert angles(page.locator(".cyclokit-stage"))["crank"] == pytest.approx(560, abs=1)
    assert cursor(page) == pytest.approx(200, abs=1)
    page.mouse.move(*at(page, 500))  # beyond its end
    page.mouse.up()
    assert angles(page.locator(".cyclokit-stage"))["crank"] == pytest.approx(720, abs=0.1)
    page.mouse.move(*at(page, 90))  # let go: it stays
    assert angles(page.locator(".cyclokit-stage"))["crank"] == pytest.approx(720, abs=0.1)


def test_the_cursor_goes_with_the_stage_and_its_values_are_the_speeds(page):
    for _ in range(3):
        page.get_by_role("button", name="+1 pin").click()
    assert cursor(page) == pytest.approx(54, abs=1e-6)
    told = page.get_by_role("slider", name="Chart").get_attribute("aria-valuetext").replace("\u2212", "-")
    sliding = speeds.contact_speeds(STORY, math.radians(54)).sliding[0]
    assert told == f"crank in this turn 54.0°: disc {-54 / 19:.2f}°, edge past pin 0 {sliding:.3f} mm/s"


def test_playing_moves_the_cursor(page):
    page.get_by_role("button", name="Play").click()
    page.wait_for_function(
        "() => Number(document.querySelector('.track').getAttribute('aria-valuenow')) > 5", polling="raf"
    )
    page.mouse.move(*at(page, 90))
    page.mouse.down()
    page.get_by_role("button", name="Play").wait_for()  # a hand on the chart stops it
    page.mouse.up()


def test_keys_on_the_chart_do_what_they_do_on_the_stage(page):
    track = page.get_by_role("slider", name="Chart")
    track.focus()
    for key, degrees in (("ArrowRight", 1), ("ArrowRight", 2), ("ArrowLeft", 1), ("ArrowUp", 19)):
        page.keyboard.press(key)
        assert cursor(page) == pytest.approx(degrees, abs=1e-6)
    page.keyboard.press(" ")
    assert page.get_by_role("button", name="Pause").count() == 1


@pytest.mark.parametrize(("background", "words"), [("white", "rgb(31, 31, 31)"), ("#111", "rgb(240, 240, 240)")])
def test_it_follows_the_pages_background(page, serious, background, words):
    page.evaluate("colour => { document.body.style.background = colour; }", background)
    page.wait_for_function(
        "words => getComputedStyle(document.querySelector('.cyclokit-chart text')).fill === words", arg=words
    )
    assert not serious(page, ".cyclokit-chart")
    assert page.complaints == page.asked == []


@pytest.mark.parametrize("width", [320, 420])
def test_a_narrow_page_needs_no_sideways_scrolling_and_its_words_can_be_read(open_page, width):
    made = stage.turning_drive(STORY, chart=("disc angle", "sliding"))
    page = open_page(made._repr_html_(), viewport={"width": width, "height": 800}, reduced_motion="reduce")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    words = page.locator(".cyclokit-chart text")
    size = "all => all.map((one) => parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a)"
    assert min(words.evaluate_all(size)) >= 11  # pixels: common practice, no source
    boxes = [words.nth(number).bounding_box() for number in range(words.count())]
    picture = page.locator(".cyclokit-chart svg").bounding_box()
    for box in boxes:  # whole
        assert picture["x"] <= box["x"] and box["x"] + box["width"] <= picture["x"] + picture["width"] + 1


def test_two_charts_in_a_page_go_with_their_own_stages(open_page):
    text = stage.turning_drive(STORY, chart=("sliding",), playing=False)._repr_html_()
    page = open_page(text + text)
    page.get_by_role("button", name="+1 pin").nth(1).click()
    moved = page.locator(".track").evaluate_all("all => all.map((one) => Number(one.getAttribute('aria-valuenow')))")
    assert moved == [0, 18]
