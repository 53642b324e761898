"""The workshop drawing and the paper drive, rendered by PDFium and read: their words, and true size in pixels."""

import math

import numpy as np
import pypdfium2
import pytest

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.making import drawing, paper_drive, solids
from tests.making.parts import STORY
from tests.making.test_paper import DOTS, pages

REDUCER = Reducer(STORY)


def text_of(file):
    document = pypdfium2.PdfDocument(file)
    return "\n".join(page.get_textpage().get_text_bounded() for page in document)


def drawn(reducer):
    return drawing.disc_drawing(reducer, solids.made(reducer)[0], ("a note",))


def test_the_drawing_has_the_numbers():
    """Over two rollers: derived, 90.7233 for an outline moved in by 0.1; H7 of 18 to 30 mm is +21 um: ISO 286-1."""
    said = text_of(drawn(REDUCER))
    for wanted in ("90.723", "21 H7 (+0.021/0)", "20, 19", "42", "1.4", "1 : 1", "6 x", "4.7368°", "a note", "2, PETG"):
        assert wanted in said, wanted
    assert "\x00" not in said and drawn(REDUCER) == drawn(REDUCER)


@pytest.mark.parametrize(
    ("drive", "scale"),
    [(Drive(12, 15.0, 2.0, 0.5), "2 : 1"), (Drive(41, 150.0, 5.0, 2.0), "1 : 5")],
)
def test_the_scale_is_the_largest_that_fits(drive, scale):
    reducer = Reducer(drive, shaft_radius=1.5, output_roller_radius=1.5) if drive.pins == 12 else Reducer(drive)
    assert scale in text_of(drawn(reducer))


def test_the_disc_on_the_drawing_has_true_size():
    (page,) = pages(drawn(REDUCER))
    x, y = drawing.VIEW
    row = page[int((drawing.HEIGHT - y - 20) * DOTS)]  # 20 mm above the middle line
    dark = np.flatnonzero(row[200:1900] > 120) / DOTS + 20 - x
    first = REDUCER.hole_phase * 2 * math.pi / 19
    places = [26 * np.exp(1j * (first + k * math.pi / 3)) for k in range(6)]
    rims = sorted(
        p.real + s * math.sqrt(6.5**2 - (20 - p.imag) ** 2) for p in places if abs(p.imag - 20) < 6.5 for s in (1, -1)
    )
    for rim in rims:
        assert np.abs(dark - rim).min() < 0.3  # a line's width


def test_the_paper_drive_has_true_size():
    board, pieces = pages(paper_drive.paper_drive(REDUCER, ()))
    for page, radius in ((board, 42 + 5 + paper_drive.SCALE), (pieces, None)):
        _, columns = np.nonzero(page[200:2500, 200:1900] > 120)
        wide = np.ptp(columns) / DOTS
        if radius:  # ticks of 3 mm on both sides; words lie farther out
            assert wide > 2 * (radius + 3)
        else:
            edge = 2 * (42 + 1.4 - 5.1)
            assert edge - 1.0 < wide < edge + 0.4  # with an odd number of lobes both tips aren't on one line
    assert "crank" in text_of(paper_drive.paper_drive(REDUCER, ()))


def test_a_hostile_note_is_only_text():
    hostile = "$\\frac{1}{2}$ <b> \x1b[2J %%d"
    assert "\x1b" not in text_of(drawing.disc_drawing(REDUCER, solids.made(REDUCER)[0], (hostile,)))
    assert "\x1b" not in text_of(paper_drive.paper_drive(REDUCER, (hostile,)))
