"""Sliders and what hangs on them: the drive, its limits in words, and the last picture that can be made.

- Limits of the story's numbers: half the distance between neighbouring pins is Rp sin(pi/N) = 6.5703 mm, elementary
  geometry; the trochoid ratio is e N/Rp = 0.6667.
- HTML: HTML Living Standard, WHATWG.
"""

import html
import math
import re

import pytest

from cyclokit import Drive
from cyclokit.geometry import limits
from cyclokit.view import panels, stage

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)


@pytest.fixture
def panel():
    return panels.four_numbers(STORY)


def said(panel):
    """What the limits say, without markup."""
    return html.unescape(re.sub(r"<[^>]+>", " ", panel._limits.value))


def code(panel):
    """The line that is there to be copied."""
    return html.unescape(re.search(r">([^<]+)</textarea>", panel._code.value)[1])


def test_there_is_a_slider_for_each_number_with_its_name_and_unit(panel):
    assert list(panel.sliders) == list(STORY.__dataclass_fields__)
    for name, slider in panel.sliders.items():
        assert slider.value == getattr(STORY, name)
        assert slider.description
        assert name == "pins" or "[mm]" in slider.description


def test_the_stage_follows_every_slider(panel):
    for name, value in (("pins", 21), ("pin_circle_radius", 50.0), ("roller_radius", 4.5), ("eccentricity", 1.2)):
        panel.sliders[name].value = value
        assert getattr(panel.stage.drive, name) == value
    assert panel.drive == panel.stage.drive == Drive(21, 50.0, 4.5, 1.2)
    assert not panel.stage.dimmed


def test_margins_stand_beside_it_in_words_and_numbers(panel):
    assert "0.667 against 1.000, margin +0.333, plenty of room" in said(panel)
    assert f"5.000 against {42 * math.sin(math.pi / 20):.3f} mm, margin +1.570 mm, plenty of room" in said(panel)
    panel.sliders["roller_radius"].value = 6.0
    assert "margin +0.570 mm, some room" in said(panel)
    panel.sliders["roller_radius"].value = 6.5
    assert "margin +0.070 mm, hardly any room" in said(panel)
    panel.sliders["roller_radius"].value = 6.6
    assert "margin -0.030 mm, beyond the limit" in said(panel)


@pytest.mark.parametrize(
    ("name", "value", "limit"),
    [("eccentricity", 2.5, "loop"), ("eccentricity", 2.1, "loop"), ("eccentricity", 1.9, "undercut"),
     ("roller_radius", 8.0, "rollers apart")],
)  # fmt: skip
def test_an_impossible_set_says_what_is_wrong_and_keeps_the_last_picture_greyed(panel, name, value, limit):
    panel.sliders["pins"].value = 19
    panel.sliders["pins"].value = 20
    before = panel.stage._svg
    panel.sliders[name].value = value
    assert panel.stage.dimmed
    assert panel.stage._svg == before
    assert panel.stage.drive == STORY
    assert getattr(panel.drive, name) == value
    assert panels.IMPOSSIBLE in said(panel)
    trouble = limits.check(panel.drive)[limit]
    assert trouble.trouble in said(panel)
    assert trouble.remedy in said(panel)
    panel.sliders[name].value = getattr(STORY, name)
    assert not panel.stage.dimmed
    assert panels.SOUND in said(panel)


def test_reset_puts_back_the_numbers_it_began_with_and_draws_once(panel):
    panel.sliders["pins"].value = 19
    panel.sliders["eccentricity"].value = 0.9
    panel.sliders["roller_radius"].value = 8.0
    drawn = []
    panel.stage.observe(lambda change: drawn.append(change["new"]), "drive")
    panel.reset.click()
    assert panel.drive == STORY
    assert drawn == [STORY]
    assert not panel.stage.dimmed


def test_the_line_of_code_gives_the_drive(panel):
    panel.sliders["pin_circle_radius"].value = 41.9 + 0.1 * 3  # as a slider that adds up its steps has it
    names = {"Drive": Drive}
    exec(code(panel), names)
    assert names["drive"] == panel.drive == Drive(20, 42.2, 5.0, 1.4)
    assert "42.2," in code(panel)


@pytest.mark.parametrize(
    "drive", [STORY, Drive(12, 40.0, 4.0, 1.5), Drive(61, 30.0, 0.8, 0.234), Drive(200, 5e3, 3.0, 9.0)]
)
def test_sliders_begin_exactly_at_the_drive_and_reach_beyond_its_limits(drive):
    panel = panels.four_numbers(drive)
    assert panel.drive == drive
    for name, slider in panel.sliders.items():
        assert slider.min < getattr(drive, name) < slider.max
    most = limits.greatest_eccentricity(drive.pins, drive.pin_circle_radius, drive.roller_radius)
    panel.sliders["eccentricity"].value = panel.sliders["eccentricity"].max
    assert panel.stage.dimmed == (panel.drive.eccentricity >= most)


@pytest.mark.parametrize("eccentricity", [1.4, 1.437, 1.2345678901234, 0.07])
def test_a_drive_between_two_steps_lies_on_a_step_of_its_own_sliders(eccentricity):
    drive = Drive(20, 42.0, 5.0, eccentricity)
    panel = panels.four_numbers(drive)
    for name, slider in list(panel.sliders.items())[1:]:
        steps = (getattr(drive, name) - slider.min) / slider.step
        assert steps == pytest.approx(round(steps), abs=1e-6)  # rounding; the page moves to whole steps
    panel.sliders["eccentricity"].value = eccentricity * (1 + 4e-16)  # as the page gives it back
    assert panel.drive == drive


def test_the_panel_leaves_a_page_of_its_own_with_picture_limits_and_code(panel):
    bundle = panel._repr_mimebundle_()
    text = bundle["text/html"]
    assert "data-cyclokit-stage" in text
    assert "<figcaption>" in text
    assert "plenty of room" in text
    assert html.escape(repr(STORY)) in text
    assert bundle["text/plain"] == f"Panel({STORY!r})"
    assert bundle["application/vnd.jupyter.widget-view+json"]["model_id"] == panel.model_id
    assert panel.model_id not in text
    assert len(text.encode()) < 80_000
    assert text == panels.four_numbers(STORY)._repr_mimebundle_()["text/html"]


def test_it_shows_the_layers_it_was_asked_for():
    assert panels.four_numbers(STORY, show=["disc", "contacts"]).stage.show == ("disc", "contacts")
    assert panels.four_numbers(STORY).stage.show == stage.SHOWN


def test_no_widget_that_keeps_its_own_output_is_used(panel):
    # they stall a notebook that runs without a browser
    kinds = set()
    waiting = [panel]
    while waiting:
        one = waiting.pop()
        kinds.add(type(one).__name__)
        waiting += getattr(one, "children", [])
    assert kinds == {"Panel", "Stage", "VBox", "IntSlider", "FloatSlider", "Button", "HTML"}
