"""The lens in a real page: it looks at the contact, wherever that goes, and shows what the picture shows.

- Where contacts are: `motion.contacts`, which is checked elsewhere against distances of polygons.
"""

import math
import re

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.geometry import motion, sweep
from cyclokit.view import stage

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)


@pytest.fixture(scope="module")
def blank():
    return sweep.cut(STORY, rays=1080)


def seen(page):
    """The middle of what the lens shows [mm], y upwards, and how wide that is."""
    left, top, width, _ = map(float, page.locator(".cyclokit-lens svg").get_attribute("viewBox").split())
    return np.array([left + width / 2, -(top + width / 2)]), width


def opened(open_page, made):
    return open_page(made._repr_html_(), reduced_motion="reduce")


@pytest.mark.parametrize("kind", ["drive", "cut"])
def test_the_contact_is_in_the_middle_at_any_angle_whichever_is_held(open_page, blank, kind):
    degrees = 234
    made = stage.turning_drive(STORY, lens=3) if kind == "drive" else stage.turning_cut(blank, lens=3)
    page = opened(open_page, made)
    for _ in range(13):
        page.get_by_role("button", name="+1 pin").click()  # 18 degrees each
    crank = math.radians(degrees)
    contact = motion.contacts(STORY, crank).points[3]
    # mm: rollers have three decimals, and the browser counts in single precision
    assert seen(page)[0] == pytest.approx(contact, abs=3e-3)
    page.get_by_role("button", name="Hold the disc").click()
    pose = motion.disc_pose(STORY, crank)
    assert seen(page)[0] == pytest.approx(motion.turned(contact - pose.centre, -pose.angle), abs=3e-3)
    page.get_by_role("button", name="+1 roller").click()
    page.get_by_role("button", name="Hold the disc").click()
    assert seen(page)[0] == pytest.approx(motion.contacts(STORY, crank).points[4], abs=3e-3)
    assert page.get_by_role("img", name="Roller 4, enlarged").count() == 1


def test_what_moves_in_the_picture_moves_in_the_lens_and_what_is_hidden_is_hidden(open_page):
    page = opened(open_page, stage.turning_drive(STORY, lens=0))
    page.get_by_role("button", name="+1 pin").click()
    page.locator("summary").click()
    page.get_by_label("crank", exact=True).uncheck()
    page.get_by_label("normals", exact=True).check()
    for part in ('[data-part="disc"]', '[data-layer="normals"] line >> nth=5'):
        one, other = (page.locator(f"{place} svg").locator(part) for place in (".picture", ".cyclokit-lens"))
        assert one.get_attribute("transform") == other.get_attribute("transform")
    assert page.locator('.cyclokit-lens [data-layer="crank"]').get_attribute("display") == "none"


def test_it_goes_closer_and_back_and_begins_again_after_the_last_roller(open_page, serious):
    page = opened(open_page, stage.turning_drive(STORY, lens=19))
    assert seen(page)[1] == pytest.approx(2.6 * STORY.roller_radius)
    page.get_by_role("button", name="Closer").click()
    assert seen(page)[1] == pytest.approx(0.4 * STORY.roller_radius)
    page.get_by_role("button", name="+1 roller").click()
    assert page.get_by_role("img", name="Roller 0, enlarged").count() == 1
    page.get_by_role("button", name="Closer").click()
    assert seen(page)[1] == pytest.approx(2.6 * STORY.roller_radius)
    assert not serious(page, ".cyclokit-stage")
    assert page.complaints == page.asked == []


def test_only_a_stage_that_asks_for_a_lens_carries_it():
    assert "lens" not in stage.turning_drive(STORY)._repr_html_()
    text = stage.turning_drive(STORY, lens=0)._repr_html_()
    assert "playLenses()" in text
    assert not re.search(r"chart", text)


@pytest.mark.parametrize("lens", [-1, 20])
def test_a_pin_that_is_not_there_has_no_lens(lens):
    with pytest.raises(ValueError, match=rf"lens is {lens}, but must be 0 to"):
        stage.turning_drive(STORY, lens=lens)


def said(page):
    return page.locator(".cyclokit-lens .place").inner_text()


def turn(page, degrees):
    page.locator('.controls input[type="range"]').evaluate(
        "(one, degrees) => { one.value = degrees; one.dispatchEvent(new Event('input')); }", degrees
    )


@pytest.mark.parametrize("pin", [0, 7])
def test_it_says_what_the_contact_is_on_by_quarters_of_a_lobes_height(open_page, pin):
    """The inner quarter is a root, the outer one a tip, by the roller's distance from the disc's middle."""
    page = opened(open_page, stage.turning_drive(STORY, lens=pin))
    seen_words = set()
    for degrees in range(0, 360, 10):
        turn(page, degrees)
        centre = motion.disc_pose(STORY, math.radians(degrees)).centre
        distance = np.hypot(*(motion.pins(STORY)[pin] - centre))
        height = (distance - (42.0 - 1.4)) / 2.8  # 0 in a root, 1 on a tip
        if min(abs(height - 0.25), abs(height - 0.75)) < 0.02:  # of e/R = 1/30 the page's rule is off at most
            continue
        word = "root" if height < 0.25 else "tip" if height > 0.75 else "flank"
        assert word in said(page), degrees
        seen_words.add(word)
    assert seen_words == {"root", "flank", "tip"}


def test_it_says_gap_where_the_roller_has_lost_contact_as_the_picture_does(open_page):
    page = opened(open_page, stage.turning_cut(sweep.cut(STORY, lobes=18, rays=1080), lens=3))
    seen_words = set()
    for degrees in range(5, 360, 25):
        turn(page, degrees)
        crossed = page.locator('.picture [data-layer="gaps"] [data-pin="3"]').get_attribute("visibility") == "visible"
        assert ("gap" in said(page)) == crossed
        seen_words.add(crossed)
    assert seen_words == {True, False}
