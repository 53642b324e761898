"""Sliders and what hangs on them: the drive, its limits in words, and the last picture that can be made.

- Limits of the story's numbers: half the distance between neighbouring pins is Rp sin(pi/N) = 6.5703 mm, elementary
  geometry; the trochoid ratio is e N/Rp = 0.6667.
- HTML: HTML Living Standard, WHATWG.
"""

import html
import math
import re

import pytest
from IPython.core.formatters import DisplayFormatter

from cyclokit import Drive
from cyclokit.geometry import limits
from cyclokit.report import Limit
from cyclokit.view import panels, scene, stage
from cyclokit.view.panel import ASLEEP, Panel, Shown, Slider

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)


@pytest.fixture
def panel():
    return panels.four_numbers(STORY)


def plain(text):
    """What HTML says, without markup."""
    return html.unescape(re.sub(r"<[^>]+>", " ", text))


def said(panel):
    """What the limits say."""
    return plain(panel._verdict + panel._rows)


def code(panel):
    """The line that is there to be copied."""
    return html.unescape(re.search(r">([^<]+)</textarea>", panel._code)[1])


def drive_of(panel):
    """The drive that the sliders stand at."""
    return Drive(**panel.values)


def say(panel, number=1, **values):
    """What the page sends when a reader moves sliders."""
    panel._handle_custom_msg({"values": {**panel.values, **values}, "number": number}, [])


# sliders


def test_there_is_a_slider_for_each_number_with_its_name_and_unit(panel):
    assert list(panel.sliders) == list(STORY.__dataclass_fields__)
    for name, slider in panel.sliders.items():
        assert slider.value == getattr(STORY, name)
        assert slider.label
        assert name == "pins" or "[mm]" in slider.label


def test_all_follows_every_slider(panel):
    for name, value in (("pins", 21), ("pin_circle_radius", 50.0), ("roller_radius", 4.5), ("eccentricity", 1.2)):
        before = panel._svg
        panel.sliders[name].value = value
        assert panel.values[name] == panel._values[name] == value
        assert panel._svg != before
    assert drive_of(panel) == Drive(21, 50.0, 4.5, 1.2)
    assert panel._svg == panels.four_numbers(Drive(21, 50.0, 4.5, 1.2))._svg
    assert code(panel) == f"drive = {drive_of(panel)!r}"


def test_what_python_sets_stays(panel):
    # in turn, as a page's answer to the first could come after the second
    panel.sliders["roller_radius"].value = 6.0
    panel.sliders["roller_radius"].value = 5.0
    assert panel.sliders["roller_radius"].value == panel._values["roller_radius"] == 5.0
    assert panel._heard == 0  # the page has said nothing


def test_what_the_reader_moves_python_reads_and_the_page_hears_that_it_was_heard(panel):
    say(panel, 1, eccentricity=1.2)
    assert panel.sliders["eccentricity"].value == 1.2
    assert panel._heard == 1
    say(panel, 2, roller_radius=4.0, pins=21)
    assert drive_of(panel) == Drive(21, 42.0, 4.0, 1.2)
    assert panel._heard == 2
    assert isinstance(panel.values["pins"], int)


def test_of_several_numbers_all_are_taken_or_none(panel):
    drawn = []
    panel.observe(lambda change: drawn.append(change["new"]), "_svg")
    with pytest.raises(ValueError, match="eccentricity"):
        panel.move({"pins": 21, "eccentricity": 40.0})
    assert drive_of(panel) == STORY
    panel.move({"pins": 21, "eccentricity": 1.0})
    assert len(drawn) == 1
    say(panel, 7, eccentricity=40.0)  # ipywidgets writes the error into the log
    assert drive_of(panel) == Drive(21, 42.0, 5.0, 1.0)
    assert panel._heard == 7  # the page would wait for an answer for ever


@pytest.mark.parametrize(
    ("name", "value", "error", "words"),
    [
        ("pins", 20.5, ValueError, "ring pins is 20.5, but must be a whole number from 3 to 40"),
        ("pins", 2, ValueError, "from 3 to 40"),
        ("eccentricity", 40.0, ValueError, r"eccentricity \[mm\] is 40.0, but must be from 0.28 to 2.8"),
        ("eccentricity", math.nan, ValueError, "finite"),
        ("roller_radius", "wide", TypeError, "real numbers"),
    ],
)
def test_a_number_that_a_slider_cannot_stand_at_is_refused(panel, name, value, error, words):
    with pytest.raises(error, match=words):
        panel.sliders[name].value = value
    assert drive_of(panel) == STORY


@pytest.mark.parametrize(
    "drive", [STORY, Drive(12, 40.0, 4.0, 1.5), Drive(61, 30.0, 0.8, 0.234), Drive(200, 5e3, 3.0, 9.0)]
)
def test_sliders_begin_exactly_at_the_drive_and_reach_beyond_its_limits(drive):
    panel = panels.four_numbers(drive)
    assert drive_of(panel) == drive
    for name, slider in panel.sliders.items():
        assert slider.least < getattr(drive, name) < slider.most
    most = limits.greatest_eccentricity(drive.pins, drive.pin_circle_radius, drive.roller_radius)
    panel.sliders["eccentricity"].value = panel.sliders["eccentricity"].most
    assert panel.shown.sound == (panel.values["eccentricity"] < most)


@pytest.mark.parametrize("eccentricity", [1.4, 1.437, 1.2345678901234, 0.07])
def test_a_drive_between_two_steps_lies_on_a_step_of_its_own_sliders(eccentricity):
    drive = Drive(20, 42.0, 5.0, eccentricity)
    panel = panels.four_numbers(drive)
    for name, slider in list(panel.sliders.items())[1:]:
        steps = (getattr(drive, name) - slider.least) / slider.step
        assert steps == pytest.approx(round(steps), abs=1e-6)  # rounding; the page moves by whole steps
    assert panel.values["eccentricity"] == eccentricity


# what is said


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
def test_an_impossible_set_says_what_is_wrong_and_shows_what_comes_of_it(panel, name, value, limit):
    before = panel._svg
    panel.sliders[name].value = value
    assert panel._svg != before
    assert not panel.shown.sound and not panel._sound
    assert panels.IMPOSSIBLE in said(panel)
    trouble = limits.check(drive_of(panel))[limit]
    assert trouble.trouble in plain(panel._verdict)
    assert trouble.remedy in plain(panel._verdict)
    assert "<figure" in panel.stage.page()  # which can be saved
    panel.sliders[name].value = getattr(STORY, name)
    assert panel._svg == before
    assert panel._sound
    assert panels.SOUND in said(panel)


def test_the_line_of_code_gives_the_drive(panel):
    panel.sliders["pin_circle_radius"].value = 42.2
    names = {"Drive": Drive}
    exec(code(panel), names)
    assert names["drive"] == drive_of(panel) == Drive(20, 42.2, 5.0, 1.4)


# the map


def test_panel_and_map_say_the_same_of_the_same_drive():
    panel = panels.on_the_map(STORY, {"the story's drive": STORY})
    for name, value in (("eccentricity", 2.1), ("eccentricity", 1.4), ("roller_radius", 8.0), ("pins", 12)):
        panel.sliders[name].value = value
        seen = re.search(r'data-mark="(\w+)" display="inline"', panel._map)[1]
        assert (seen == "sound") == panel._sound == limits.check(drive_of(panel)).sound
        assert f"{panel.values['pins']} pins" in panel._map


# what the notebook keeps


def test_the_panel_leaves_html_alone_with_picture_numbers_limits_and_code():
    panel = panels.on_the_map(STORY)
    kinds, _ = DisplayFormatter().format(panel)
    assert set(kinds) == {"text/plain", "text/html"}
    text = kinds["text/html"]
    assert "data-cyclokit-stage" in text
    assert text.count("<figcaption>") == 2  # of the stage and of the map
    for words in (
        "plenty of room",
        ASLEEP,
        "pin circle radius [mm]: 42",
        html.escape(repr(STORY)),
        panels.SOUND,
    ):
        assert words in text
    assert kinds["text/plain"] == "Panel(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)"
    assert panel.model_id not in text
    assert len(text.encode()) < 100_000


def test_two_panels_differ_in_their_names_alone():
    # one page may show both, so the page has to tell them apart
    one, other = panels.four_numbers(STORY), panels.four_numbers(STORY)
    assert one._name != other._name
    assert one.page().replace(one._name, "") == other.page().replace(other._name, "")
    assert one.page().count(one._name) == 1


def test_it_shows_the_layers_it_was_asked_for():
    assert set(panels.four_numbers(STORY, show=["disc", "contacts"]).stage.view.show) >= {"disc", "contacts"}
    assert "crank" not in panels.four_numbers(STORY, show=["disc", "contacts"]).stage.view.show


def test_a_panel_of_another_subject_is_made_of_sliders_and_a_function():
    def shown(values):
        turned = values["arm"] * values["force"]
        row = Limit("torque", turned, 50.0, "N mm", True, True, "torque, below 50", "It slips.", "Pull less.")
        picture = scene.turning(STORY, stage.seen(values["force"], ("disc",)))
        return Shown(picture, [row], row.ok, "It holds." if row.ok else "It slips.")

    sliders = {
        "arm": Slider("arm [mm]", 10.0, 1.0, 20.0, 0.1),
        "force": Slider("force [N]", 3, 0, 9, 1),
    }
    panel = Panel(sliders, shown, ["disc"])
    assert "30.000 against 50.000 N mm" in said(panel)
    assert "It holds." in panel.page()
    panel.sliders["force"].value = 6
    assert "It slips. Pull less." in plain(panel._verdict)
    assert panel.values == {"arm": 10.0, "force": 6}
    assert "textarea" not in panel.page().partition("</script>")[2]


def test_the_scripts_are_plain():
    script = str(Panel._esm)
    assert not re.search(r"^\s*import\b|\bfetch\(|XMLHttpRequest|setInterval|setTimeout|https?:", script, re.M)
