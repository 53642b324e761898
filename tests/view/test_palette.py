"""One colour a thing: it stands out from both pages, and for everybody from the other things.

- Contrast: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criteria 1.4.3 and 1.4.11.
- Colours for everybody to measure ours against: M. Okabe and K. Ito, "Color Universal Design", 2008 (from memory).
- How others see colours: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based model for
  simulation of color vision deficiency", IEEE Trans. Visualization and Computer Graphics 15 (2009), table for severity
  1.0 (from memory).
- Distance of colours: CIE 1976 L*a*b*, white D65 (from memory).
"""

import itertools
import re
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.view import palette

OKABE_ITO = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#767676")  # and a grey: blue, vermilion, green, purple
EYES = {
    "all cones": np.eye(3),
    "no red": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "no green": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "no blue": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
}
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
TOLD_APART = {name: paint for name, paint in palette.THINGS.items() if name != "second disc"}  # grey, like lines
colours = st.integers(0, 0xFFFFFF).map("#{:06x}".format)


def _channels(colour):
    return np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)]) / 255


def _linear(channels):
    return np.array([part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels])


def _contrast(one, other):
    light, dark = sorted((float(_linear(each) @ TO_XYZ[1]) for each in (one, other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _lab(linear):
    share = TO_XYZ @ np.clip(linear, 0, 1) / [0.9505, 1.0, 1.089]
    x, y, z = np.where(share > 0.008856, np.cbrt(share), 7.787 * share + 16 / 116)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def _nearest(seen, eyes):
    """The least distance between two of some colours, as those eyes see them."""
    places = [_lab(np.array(EYES[eyes]) @ _linear(_channels(colour))) for colour in seen]
    return min(np.linalg.norm(one - other) for one, other in itertools.combinations(places, 2))


@pytest.mark.parametrize("page", ["light", "dark"])
@pytest.mark.parametrize("thing", palette.THINGS)
def test_a_line_stands_out_from_the_page_and_from_a_disc_on_it(thing, page):
    line, ground = (_channels(getattr(paint, page)) for paint in (palette.THINGS[thing], palette.PAGE))
    disc = palette.FILLED * _channels(getattr(palette.DISC, page)) + (1 - palette.FILLED) * ground
    assert _contrast(line, ground) >= 4.5
    assert _contrast(line, disc) >= 3.0  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("page", ["light", "dark"])
def test_words_can_be_read_even_on_a_disc(page):
    words, ground = (_channels(getattr(paint, page)) for paint in (palette.WORDS, palette.PAGE))
    disc = palette.FILLED * _channels(getattr(palette.DISC, page)) + (1 - palette.FILLED) * ground
    assert min(_contrast(words, ground), _contrast(words, disc)) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("page", ["light", "dark"])
@pytest.mark.parametrize("eyes", EYES)
def test_things_stay_apart_for_all_eyes_at_least_as_far_as_in_the_published_palette(eyes, page):
    assert _nearest([getattr(paint, page) for paint in TOLD_APART.values()], eyes) >= max(
        15.0, min(_nearest(OKABE_ITO, each) for each in EYES)
    )


def test_the_measure_tells_bad_colours_from_good_ones():
    # red and green of one lightness, the textbook's pair that half of the colour-blind confuse
    assert _nearest(["#c05200", "#6b6100"], "no red") < 5 < 40 < _nearest(["#c05200", "#6b6100"], "all cones")
    for matrix in EYES.values():
        assert np.sum(matrix, axis=1) == pytest.approx(1.0, abs=2e-6)  # grey stays grey: the table, digit by digit


def test_no_colour_of_a_light_page_has_two_of_a_dark_one():
    paints = {*palette.THINGS.values(), palette.WORDS, palette.PAGE}
    assert len({paint.light for paint in paints}) == len(paints)
    assert all(palette.ON_DARK[paint.light] == paint.dark for paint in paints)


@given(colours)
def test_any_other_colour_can_be_seen_on_a_dark_page(colour):
    if colour in palette.ON_DARK:
        return
    dark = palette.for_dark(colour)
    least = _contrast(_channels(dark), _channels(palette.PAGE.dark))
    assert least >= 4.45  # 4.5, less what rounding a channel to a whole number takes
    if _contrast(_channels(colour), _channels(palette.PAGE.dark)) >= 4.5:
        assert dark == colour  # bright enough as it is
    assert (_channels(dark) >= _channels(colour) - 1e-9).all()  # lighter, never another hue's part darker


def test_the_page_knows_the_same_pairs_for_the_map():
    page = (files("cyclokit.view") / "page.js").read_text(encoding="utf-8")
    pairs = dict(re.findall(r'"(#[0-9a-f]{6})": "(#[0-9a-f]{6})"', page))
    for paint in (palette.DISC, palette.ROLLER, palette.CRANK, palette.LINE):
        assert pairs[paint.light] == paint.dark
