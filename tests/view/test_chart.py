"""A chart over one crank turn: its curves, its words, its numbers.

- How fast the edge slides past a pin: the derivative of the disc's motion (`motion.disc_points`), differenced here.
- The disc's angle over a crank turn: -1/(N - 1) of it (Willis equation, ring held).
"""

import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import motion, sweep
from cyclokit.machine.reducer import Reducer
from cyclokit.view import chart, stage
from tests.view.drawn import SVG, facts_of, pairs, parsed

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
BOTH = ("disc angle", "sliding")
FORCES = [0.0, 30.0, 120.0, 60.0]


def curves_of(made):
    """Name -> values over one crank turn."""
    return {curve["name"]: np.array(curve["values"]) for curve in facts_of(made)["curves"]}


def test_the_disc_goes_back_by_one_lobe_a_crank_turn():
    turned = curves_of(chart.of_drive(STORY, BOTH, 0.0))["disc"]
    assert turned == pytest.approx(-np.linspace(0, 360, 181) / 19, abs=0.005)  # degrees: two decimals


def test_a_reducers_output_turns_with_its_discs():
    told = stage.turning_reducer(Reducer(STORY), chart=("disc angle", "output angle")).chart
    turned = curves_of(told)
    assert turned["output"] == pytest.approx(-np.linspace(0, 360, 181) / 19, abs=0.005)  # degrees: two decimals
    assert (turned["output"] == turned["disc"]).all()
    with pytest.raises(ValueError, match=r"chart is 'sliding'.*disc angle, output angle"):
        stage.turning_reducer(Reducer(STORY), chart=("sliding",))


@pytest.mark.parametrize("lobes", [18, 20, 21])
def test_a_cut_disc_turns_at_the_rate_of_its_lobes(lobes):
    made = stage.turning_cut(sweep.cut(STORY, lobes=lobes, rays=360), chart=("disc angle",), crank=7.0, lens=0)
    # lesson 3: a disc with M lobes among N pins turns by 1 - N/M for each turn of the crank
    assert curves_of(made.chart)["disc"] == pytest.approx((1 - 20 / lobes) * np.linspace(0, 360, 181), abs=0.005)
    assert "playLenses();playCharts()" in made.page()
    with pytest.raises(ValueError, match=r"chart is 'output angle'.*one of disc angle"):
        stage.turning_cut(sweep.cut(STORY, lobes=lobes, rays=360), chart=("output angle",))


@pytest.mark.parametrize("lobes", [17, 18, 19, 21])
def test_a_gap_is_as_wide_as_a_ruler_says_and_all_are_drawn_to_one_scale(lobes):
    piece = sweep.cut(STORY, lobes=lobes)
    made = chart.of_cut(piece, ["gap"], 0.0)
    gap = curves_of(made)["gap at roller 0"]
    for place in (0, 33, 90, 101, 170):
        ruler = sweep.gaps(piece, np.radians(2 * place))[0]  # of a disc found by brute force
        assert gap[place] == pytest.approx(ruler, abs=piece.resolution + 0.02)  # mm: between two steps of the table
    (curve,) = facts_of(made)["curves"]
    assert curve["place"][1] == pytest.approx(-chart.STRIP / 3)  # two eccentricities, 2.8 mm, and rounded up


def test_the_edge_is_as_fast_as_differences_of_its_places():
    told = curves_of(chart.of_drive(STORY, BOTH, 0.0))["edge past pin 0"]
    little = 1e-5  # rad: differences of places are good to its square, and to rounding over it
    for place in (0, 17, 90, 133):
        crank = 2 * math.pi * place / 180
        contact = motion.contacts(STORY, crank)
        pose = motion.disc_pose(STORY, crank)
        on_disc = motion.turned(contact.points[0] - pose.centre, -pose.angle)
        before, after = (motion.disc_points(STORY, crank + by, on_disc[None])[0] for by in (-little, little))
        x, y = contact.normals[0]
        along = float((after - before) / (2 * little) @ [-y, x])
        assert told[place] == pytest.approx(along, abs=5e-4 + 1e-6)  # mm/s: three decimals


def test_forces_are_read_at_even_steps_with_straight_lines_between():
    told = curves_of(chart.of_drive(STORY, ["force"], 0.0, np.array(FORCES)))["force of pin 0"]
    assert told[[0, 45, 90, 135, 180]].tolist() == [0.0, 30.0, 120.0, 60.0, 0.0]
    assert told[22] == pytest.approx(30 * 44 / 90, abs=0.05)  # N: one decimal


@given(st.floats(-1000.0, 1000.0))
def test_the_cursor_stands_at_the_crank_angle_and_its_dots_on_the_curves(crank):
    made = chart.of_drive(STORY, BOTH, crank)
    cursor = next(one for one in parsed(made).iter() if "data-cursor" in one.attrib)
    x = float(re.findall(r"[\d.]+", cursor.get("transform"))[0])
    assert (x - 62) / 402 * 360 == pytest.approx(math.degrees(crank) % 360, abs=1e-3)  # degrees: three decimals of x
    lines = [pairs(one.get("d")) for one in parsed(made).findall(f"{SVG}path") if one.get("fill") == "none"]
    for dot, line in zip(cursor.iter(f"{SVG}circle"), lines, strict=True):
        # the picture's units: curves have two decimals, and the sine of 2 degrees is straight to a few thousandths
        assert -float(dot.get("cy")) == pytest.approx(np.interp(x, *line.T), abs=0.02)


@pytest.mark.parametrize("drive", [STORY, Drive(3, 50.0, 10.0, 5.0), Drive(61, 30.0, 0.8, 0.2)], ids=repr)
def test_every_curve_lies_within_its_strip_and_zero_is_marked(drive):
    made = chart.of_drive(drive, BOTH, 0.0)
    _, _, width, height = map(float, parsed(made).get("viewBox").split())
    for number, line in enumerate(one for one in parsed(made).findall(f"{SVG}path") if one.get("fill") == "none"):
        x, y = pairs(line.get("d")).T
        top = number * (chart.HEAD + chart.STRIP) + chart.HEAD
        assert chart.LEFT <= x.min() < x.max() <= chart.RIGHT < width
        assert top - 0.01 <= -y.max() < -y.min() <= top + chart.STRIP + 0.01 < height  # two decimals
    assert [one.text for one in parsed(made).iter(f"{SVG}text")].count("0") == 3  # two strips, and the axis


def test_axes_have_words_with_units():
    words = [one.text for one in parsed(chart.of_drive(STORY, BOTH, 0.0)).iter(f"{SVG}text")]
    assert sum("[°]" in each or "[mm/s]" in each for each in words) == 3


@pytest.mark.parametrize(
    ("names", "kind", "words"),
    [
        ("sliding", TypeError, "chart must be a list or tuple, not a str: .*brackets"),
        (["heat"], ValueError, "chart is 'heat'.*disc angle, sliding"),
        (["force"], ValueError, "chart is 'force'.*disc angle, sliding"),
    ],
)
def test_a_curve_that_is_not_there_is_refused(names, kind, words):
    with pytest.raises(kind, match=words):
        stage.turning_drive(STORY, chart=names)


def test_a_chart_without_curves_is_refused():
    with pytest.raises(ValueError, match="chart is empty"):
        chart.of_drive(STORY, [], 0.0)


# with its stage


def test_only_a_stage_that_asks_for_a_chart_carries_it():
    plain, charted = stage.turning_drive(STORY)._repr_html_(), stage.turning_drive(STORY, chart=BOTH)._repr_html_()
    assert "chart" not in plain
    assert "playCharts()" in charted
    assert len(charted.encode()) - len(plain.encode()) < 20_000


def test_the_still_picture_of_a_chart_has_its_words():
    made = stage.turning_drive(STORY, chart=BOTH)
    text = made._repr_html_()
    assert text.count("<img ") == 2
    assert "passes pin 0" in made.chart.words
    assert ElementTree.fromstring(made.chart.svg).find(f"{SVG}title").text == made.chart.words


def test_a_saved_still_shows_the_chart_under_the_stage(tmp_path):
    made = stage.turning_drive(STORY, chart=BOTH)
    made.save(tmp_path / "drive.svg")
    whole = ElementTree.parse(tmp_path / "drive.svg").getroot()
    upper, lower = whole.findall(f"{SVG}svg")
    assert float(lower.get("y")) > float(upper.get("height"))
    _, _, width, height = map(float, whole.get("viewBox").split())
    assert float(lower.get("y")) + float(lower.get("height")) == pytest.approx(height, abs=2e-3)  # three decimals
    assert float(upper.get("width")) == float(lower.get("width")) == width


def test_the_script_asks_for_nothing():
    script = chart.pages.script("chart.js")
    assert not re.search(r"^\s*import\b|\bfetch\(|XMLHttpRequest|setInterval|setTimeout|https?:|</script", script, re.M)
