"""Pictures of why one lobe fewer: what is drawn is what the sweep's pins, which know of no cosine, say."""

import itertools

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.geometry import milled, sweep
from cyclokit.view import figures, lobe_figures
from tests.geometry.drives import STORY

SLIM = Drive(pins=20, pin_circle_radius=4200.0, roller_radius=5.0, eccentricity=1.4)  # e/Rp as good as nothing


def strips(ax):
    return ax.figure.axes


@pytest.mark.parametrize("lobes", [17, 18, 19, 21, 22])
def test_a_pin_on_the_snapshot_is_as_far_out_as_the_sweep_says(lobes):
    (strip,) = strips(lobe_figures.snapshot(SLIM, [lobes]))
    _, dots = (line.get_xydata() for line in strip.get_lines())
    distance = np.linalg.norm(sweep.pins_from_disc(SLIM, 0.0, lobes), axis=-1) - SLIM.pin_circle_radius
    assert dots[:-1, 1] == pytest.approx(distance, abs=1e-3)  # mm: second order, e^2/2Rp = 0.0002
    assert dots[-1] == pytest.approx(dots[0] + [360, 0])


@pytest.mark.parametrize("lobes", range(15, 26))
def test_all_pins_lie_on_the_wave_only_if_the_counts_differ_by_one(lobes):
    (strip,) = strips(lobe_figures.snapshot(STORY, [lobes]))
    bars = np.array(strip.collections[0].get_segments())
    gaps = bars[:, 1, 1] - bars[:, 0, 1]
    wave, _ = (line.get_xydata() for line in strip.get_lines())
    ends = np.interp(bars[:, 1, 0], *wave.T)
    assert bars[:, 1, 1] == pytest.approx(ends, abs=0.03)  # mm: straight pieces of the wave
    assert (np.abs(gaps).max() < 1e-9) == (abs(lobes - 20) == 1)
    if lobes == 18:
        assert gaps[10] == pytest.approx(-2 * STORY.eccentricity)  # the disc ends that much short of the pin opposite


@pytest.mark.parametrize("lobes", [17, 18, 22])
def test_a_bar_is_dotted_where_there_is_air_and_solid_where_a_roller_stands_in_the_disc(lobes):
    (strip,) = strips(lobe_figures.snapshot(STORY, [lobes]))
    pin = 2 * np.pi / 20 * np.arange(21)
    air = STORY.eccentricity * (np.cos((20 - lobes) * pin) - np.cos(pin))  # the lesson's formula, derived
    dashes = [style[1] for style in strip.collections[0].get_linestyle()]
    for gap, dash in zip(air, dashes, strict=True):
        assert abs(gap) < 1e-9 or (dash is None) == (gap < 0)


def test_arrows_of_the_pitches_are_the_discs_turns_for_one_pin():
    chosen = (18, 19, 20, 21)
    ax = lobe_figures.pitches(STORY, chosen)
    turned = [np.degrees(sweep.disc_angle(STORY, 2 * np.pi / 20, lobes)) for lobes in reversed(chosen)]
    told = [text.get_text() for text in ax.texts if text.get_text().endswith("°")]
    assert [float(words[:-1]) for words in told] == pytest.approx(turned, abs=0.005)  # two decimals


@pytest.mark.parametrize(("lobes", "pin"), [(5, 0), (5, 2), (7, 0), (4, 1)])
def test_two_arrows_end_where_the_sweep_sees_the_pin(lobes, pin):
    drive = Drive(6, 40.0, 5.0, 5.0)
    ax = lobe_figures.two_arrows(drive, lobes, pin)
    arrows = [(np.array(text.xyann), np.array(text.xy)) for text in ax.texts if text.arrow_patch]
    path = ax.get_lines()[0].get_xydata()
    for (start, joint), (joint_again, end) in zip(arrows[::2], arrows[1::2], strict=True):
        assert start == pytest.approx([0, 0])
        assert joint == pytest.approx(joint_again)
        assert np.linalg.norm(joint) == pytest.approx(40.0)
        assert np.linalg.norm(end - joint) == pytest.approx(5.0)
        assert np.linalg.norm(path - end, axis=1).min() < 0.5  # mm: between two points of the path
    seen = sweep.pins_from_disc(drive, np.linspace(0, 2 * np.pi * lobes, 20_001), lobes)[:, pin]
    for _, end in arrows[1::2]:
        assert np.linalg.norm(seen - end, axis=1).min() < 0.02  # mm: between two cranks


@pytest.mark.parametrize("lobes", [17, 18, 19, 21, 22, 23])
def test_rounds_are_those_of_the_pins_that_the_sweep_sees(lobes):
    (strip,) = strips(lobe_figures.rounds(SLIM, [lobes]))
    crank = np.linspace(0, 2 * np.pi * lobes, 100_001)
    seen = sweep.pins_from_disc(SLIM, crank, lobes)
    for line in strip.get_lines():
        pin = seen[:, int(line.get_label().split(",")[0].removeprefix("pin "))] @ [1, 1j]
        degrees, out = line.get_xydata()[120]
        passing = np.flatnonzero(np.abs(np.angle(pin * np.exp(-1j * np.radians(degrees)))) < 1e-3)
        assert np.abs(np.abs(pin[passing]) - SLIM.pin_circle_radius - out).min() < 0.01  # mm, comes by in some round
    expected = {1: 1, 2: 2, 3: 3}[abs(20 - lobes)]
    assert len(strip.get_lines()) == expected
    waves = np.array([line.get_ydata() for line in strip.get_lines()])
    assert all(np.abs(a - b).max() > 1 for a, b in itertools.combinations(waves, 2))  # mm: told apart


def test_a_disc_that_does_not_turn_has_no_rounds():
    with pytest.raises(ValueError, match="lobes contains 20"):
        lobe_figures.rounds(STORY, [19, 20])


@pytest.mark.parametrize("draw", [lobe_figures.snapshot, lobe_figures.rounds, lobe_figures.pitches])
def test_no_numbers_of_lobes_are_refused(draw):
    with pytest.raises(ValueError, match="lobes is empty"):
        draw(STORY, [])


def test_milled_edges_are_those_of_the_discs():
    ax = lobe_figures.milled_edges([STORY, STORY], [19, 21])
    for line, lobes in zip(ax.get_lines(), (19, 21), strict=True):
        edge = np.linalg.norm(milled.edge(STORY, lobes), axis=1)
        assert line.get_ydata().min() == pytest.approx(edge.min(), abs=0.002)  # mm: twice the edge's tolerance
        assert line.get_ydata().max() == pytest.approx(edge.max(), abs=0.002)


def test_root_and_tip_are_named_and_lie_on_the_line_of_the_crank():
    ax = lobe_figures.root_and_tip(STORY)
    places = {text.get_text(): text.xy for text in ax.texts}
    assert places["root"] == pytest.approx((37.0, 0.0))  # a roller's inner side: Rp - r
    assert places["tip"] == pytest.approx((-37.0, 0.0))
    told = [text.get_text() for text in ax.texts]
    assert sorted(words for words in told if words.isdigit()) == sorted(map(str, [*range(20), *range(19)]))
    assert figures.as_svg(ax.figure).startswith("<svg")
