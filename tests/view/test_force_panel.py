"""Sliders of torque, gap and crank angle: rows and arrows are what the forces are, and pins drop out as gaps grow.

- The bearing's share across the crank is T/(e lobes) of the disc's torque T, whatever the sharing: equilibrium of
  moments about the pitch point, derived; the sums are added here from the arrows as they are drawn.
"""

import html
import json
import math
import re

import numpy as np
import pytest

from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from cyclokit.view import drive_parts, force_panel, forces
from tests.geometry.drives import STORY
from tests.view.test_forces import arrows, held_against, scale_of

MACHINE = Reducer(STORY)
STIFF = {"pin_stiffness": 1000.0, "output_stiffness": 2000.0}  # N/mm, invented


@pytest.fixture
def panel():
    return force_panel.under_load(MACHINE, 4000.0, **STIFF)


def rows(panel):
    """The rows' numbers, by name."""
    found = re.findall(r"<b>(.*?)</b> \(.*?\): (-?[\d.]+)", panel._rows)
    return {html.unescape(name): float(value) for name, value in found}


def test_arrows_and_rows_are_the_forces_for_every_set_of_numbers(panel):
    for torque, gap, crank in ((2000.0, 0.0, 0), (3100.0, 0.02, 77), (500.0, 0.1, 360), (4000.0, 0.005, 181)):
        panel.move({"torque": torque, "gap": gap, "crank": crank})
        shared = sharing.as_made(MACHINE, torque, [math.radians(crank)], gap, **STIFF)
        made = panel.shown.picture
        held_against(made, shared)
        told, drawn = rows(panel), arrows(made, 0)
        pins = [arrow for name, (_, arrow) in drawn.items() if name.startswith("pin ") and abs(arrow) > 0]
        newton = scale_of(made)
        near = 0.005 * abs(newton * drawn["bearing"][1])
        assert told["pins loaded"] == shared.loaded_pins[0, 0]
        assert told["peak"] == pytest.approx(newton * max(map(abs, pins)), abs=near)
        assert told["bearing"] == pytest.approx(newton * abs(drawn["bearing"][1]), abs=near)
        across = (newton * drawn["bearing"][1] * np.exp(-1j * math.radians(crank))).imag
        assert told["bearing, across"] == pytest.approx(across, abs=near)
        own = abs(shared.disc_torque[0, 0]) / (STORY.eccentricity * STORY.lobes)
        assert told["bearing, across"] == pytest.approx(own, abs=0.0006)  # rows have three decimals
        assert told["moment over e lobes"] == pytest.approx(-own, abs=0.0006)
        centre = drawn["bearing"][0]
        for kind, name in (("pin", "pins' moment"), ("output", "rollers' moment")):
            each = [(at - centre, push) for what, (at, push) in drawn.items() if what.startswith(kind + " ")]
            moment = newton * sum((at.conjugate() * push).imag for at, push in each)
            assert told[name] == pytest.approx(moment, rel=0.005)
        assert told["pins' moment"] == pytest.approx(-told["rollers' moment"], abs=0.0011)
        assert told["forces' sum"] == 0.0


def test_pins_drop_out_one_after_another_as_the_gap_grows_and_the_peak_rises(panel):
    panel.sliders["torque"].value = 2000.0
    slider, counts, peaks = panel.sliders["gap"], [], []
    for gap in np.linspace(0, slider.most, 101):
        slider.value = float(gap)
        counts.append(rows(panel)["pins loaded"])
        peaks.append(rows(panel)["peak"])
    steps = np.diff(counts)
    assert counts[0] == 9  # at crank 0 pins 0 and 10 stand in line with the crank: 9 of the other 18 are ahead
    assert counts[-1] <= 3
    assert set(steps) <= {0, -1}
    assert (np.diff(peaks) > -0.0011).all()
    assert peaks[-1] > 1.5 * peaks[0]


def test_more_torque_brings_them_back(panel):
    panel.sliders["gap"].value = 0.02
    counts = []
    for torque in np.linspace(100, 4000, 40):
        panel.sliders["torque"].value = float(torque)
        counts.append(rows(panel)["pins loaded"])
    assert (np.diff(counts) >= 0).all()
    assert counts[0] < counts[-1]


def test_arrows_grow_with_the_torque_at_one_scale(panel):
    scale = scale_of(panel.shown.picture)
    before = arrows(panel.shown.picture, 0)["bearing"][1]
    panel.sliders["torque"].value = 2000.0
    assert scale_of(panel.shown.picture) == scale
    assert abs(arrows(panel.shown.picture, 0)["bearing"][1]) == pytest.approx(abs(before) / 2, rel=1e-3)


def test_the_longest_arrow_is_as_long_as_arrows_can_be_where_the_slider_ends(panel):
    lengths = []
    for crank in range(0, 361, 4):
        panel.move({"torque": 4000.0, "gap": 0.0, "crank": crank})
        lengths.append(abs(arrows(panel.shown.picture, 0)["bearing"][1]))
    assert max(lengths) == pytest.approx(forces.LONGEST * drive_parts.unit_of(STORY), rel=0.01)


@pytest.mark.parametrize("torque", [0.0, -2000.0, math.nan])
def test_a_torque_that_loads_nothing_is_refused(torque):
    with pytest.raises(ValueError, match="torque"):
        force_panel.under_load(MACHINE, torque, **STIFF)


# in a page, with Python behind it, without JupyterLab


def mounted(open_page, panel, **options):
    """The panel in a page, its sliders asking Python."""
    names = ("_name", "_sliders", "_start", "_values", "_heard", "_sound", "_svg", "_map", "_verdict", "_rows", "_code",
             "_map_moves")  # fmt: skip
    page = open_page(panel.page(), reduced_motion="reduce", **options)

    def state():
        return {name: getattr(panel, name) for name in names}

    def hear(said):
        panel._hear(None, json.loads(said), None)
        return state()

    page.expose_function("hear", hear)
    page.evaluate(
        """async ([text, state]) => {
            const wake = [];
            const model = {
                get: (name) => state[name],
                on: (event, act) => { if (event === "change") wake.push(act); },
                send: async (said) => {
                    state = await window.hear(JSON.stringify(said));
                    wake.forEach((act) => act());
                },
            };
            const room = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
            (await import(room)).default.initialize({ model });
        }""",
        [str(panel._esm), state()],
    )
    return page


def test_in_the_page_the_arrows_follow_the_sliders(open_page, panel, serious):
    panel.sliders["torque"].value = 2000.0
    page = mounted(open_page, panel)
    slider = page.get_by_role("slider", name="gap at every pin")
    slider.focus()
    for _ in range(20):
        page.keyboard.press("ArrowRight")
    page.wait_for_function("() => document.querySelector('[data-loaded]').textContent.startsWith('6 of')")
    assert panel.values["gap"] == pytest.approx(0.02)
    loaded = page.locator('[data-force^="pin "]').evaluate_all(
        "all => all.filter((one) => one.closest('[data-layer]').getAttribute('display') !== 'none'"
        " && Number(/h([\\d.]+)/.exec(one.getAttribute('d'))[1]) > 0).length"
    )
    assert loaded == 6
    words = page.locator("[data-cyclokit-still] svg").get_attribute("aria-label")
    assert words == page.locator("[data-cyclokit-still] figcaption").text_content() == panel.shown.picture.words
    assert "6 of 20 pins push" in page.locator("[data-panel=verdict]").inner_text()
    assert page.get_by_role("button", name="Play").count() == 0  # nothing is offered that would do nothing
    assert not serious(page, ".cyclokit-panel")
    assert page.complaints == []


@pytest.mark.parametrize(("background", "words"), [("white", "rgb(31, 31, 31)"), ("#111", "rgb(240, 240, 240)")])
def test_without_a_kernel_the_picture_is_there_and_follows_the_page(open_page, panel, background, words):
    page = open_page(panel.page(), viewport={"width": 420, "height": 900})
    page.evaluate("colour => { document.body.style.background = colour; }", background)
    page.wait_for_function(
        "words => getComputedStyle(document.querySelector('[data-scale]')).fill === words", arg=words
    )
    assert "Run this cell to move its sliders." in page.locator("body").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= 420
    assert page.complaints == page.asked == []
