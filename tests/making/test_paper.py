"""Sheets rendered by PDFium and measured in pixels: what is printed at 100 % has true size."""

import ctypes

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from cyclokit.making import loops, paper, shapes
from tests.making.parts import NOTES

DOTS = 10.0  # a millimetre
MM = 25.4 / 72  # of a PDF's unit: ISO 32000-1, 8.3.2.3


def pages(file):
    """Every page's darkness, rows from the top."""
    document = pypdfium2.PdfDocument(file)
    return [255 - np.asarray(page.render(scale=DOTS * 25.4 / 72).to_pil().convert("L")) for page in document]


def paths(file):
    """Every page's size and its lines' corners, from the lower left [mm]; PDFium reads the curves, no pixels."""
    found = []
    for page in pypdfium2.PdfDocument(file):
        objects = list(page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]))
        assert all(one.get_matrix().get() == (1, 0, 0, 1, 0, 0) for one in objects)
        found.append((np.array(page.get_size()) * MM, [corners(one) * MM for one in objects]))
    return found


def corners(path):
    x, y = ctypes.c_float(), ctypes.c_float()
    points = []
    for number in range(pdfium.FPDFPath_CountSegments(path)):
        pdfium.FPDFPathSegment_GetPoint(pdfium.FPDFPath_GetPathSegment(path, number), x, y)
        points.append((x.value, y.value))
    return np.array(points)


def extent(dark, level=120):
    """How far what is dark reaches across and up [mm]."""
    rows, columns = np.nonzero(dark > level)
    return np.ptp(columns) / DOTS, np.ptp(rows) / DOTS


def test_a_square_is_as_large_as_it_is():
    square = shapes.Part("square", (shapes.Slab(loops.rounded_rectangle(60.0, 40.0, 1.0), (), 0.0, 1.0),), "PLA")
    (page,) = pages(paper.true_size(square, NOTES))
    assert page.shape == pytest.approx((2970, 2100), abs=1)  # A4, ISO 216, to a pixel
    drawn = page[300:2300, 300:1800]  # inside the frame, above the words
    width, height = extent(drawn)
    assert width == pytest.approx(60, abs=0.4) and height == pytest.approx(40, abs=0.4)  # a line's width


def test_the_scale_bar_is_a_hundred_millimetres():
    square = shapes.Part("square", (shapes.Slab(loops.Circle(10.0), (), 0.0, 1.0),), "PLA")
    (page,) = pages(paper.true_size(square, NOTES))
    line = page[2970 - 123 : 2970 - 117].max(axis=0)
    columns = np.flatnonzero(line[:1130] > 100)
    assert np.ptp(columns) / DOTS == pytest.approx(100, abs=0.5)


@pytest.mark.parametrize(("radius", "count"), [(90.0, 1), (120.0, 2), (200.0, 6)])
def test_a_large_part_is_tiled_and_nothing_is_lost(radius, count):
    ring = shapes.Part("ring", (shapes.Slab(loops.Circle(radius), (), 0.0, 1.0),), "PLA")
    found = pages(paper.true_size(ring, NOTES))
    assert len(found) == count
    room = (paper.WIDTH - 2 * paper.EDGE, paper.HEIGHT - 2 * paper.EDGE - paper.FOOT)
    across = max(1, int(np.ceil((2 * radius - paper.SHARED) / (room[0] - paper.SHARED))))
    down = count // across
    whole = ((room[0] - paper.SHARED) * across + paper.SHARED, (room[1] - paper.SHARED) * down + paper.SHARED)
    seen = []
    for number, page in enumerate(found):
        row, column = divmod(number, across)
        rows, columns = np.nonzero(page > 150)
        x = columns / DOTS - paper.EDGE + column * (room[0] - paper.SHARED) - whole[0] / 2
        y = whole[1] / 2 - (rows / DOTS - paper.EDGE) - row * (room[1] - paper.SHARED)
        seen.append(np.column_stack([x, y]))
    places = np.vstack(seen)
    near = places[np.abs(np.hypot(*places.T) - radius) < 0.3]
    angles = np.sort(np.arctan2(near[:, 1], near[:, 0]))
    assert np.diff(angles).max() < 0.02  # the whole circle is there, where it belongs
