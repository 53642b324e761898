"""DXF, SVG and CSV read back by what didn't write them: the DXF as tagged pairs of lines (DXF reference: a group code,
then its value), its spline by SciPy, the SVG's arcs by svgpathtools, the CSV by the standard library."""

import csv
import io
import math
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
import shapely
import svgpathtools
from PIL import Image
from playwright.sync_api import sync_playwright

from cyclokit.making import flat, loops
from tests.making.parts import DISC, EDGE, HOLES, MARK, NOTES, STEPPED, farthest, true_edge
from tests.making.test_curves import BSpline, arc_points, curves

MICROMETRE = 1e-3


def entities(file):
    """Every entity of a DXF: its kind, and group code -> values in order."""
    lines = file.decode("utf-8").splitlines()
    found, kind, inside = [], None, False
    for code, value in zip(map(int, lines[::2]), lines[1::2], strict=True):
        if code == 0:
            kind = value
            if inside:
                found.append((kind, {}))
        elif code == 2 and kind == "SECTION":
            inside = value == "ENTITIES"
        elif inside and found:
            found[-1][1].setdefault(code, []).append(value)
    return [(kind, tags) for kind, tags in found if kind not in ("ENDSEC", "SECTION", "EOF")]


def numbers(tags, code):
    return np.array(tags[code], dtype=float)


def _holes_are_right(found):
    circles = [tags for kind, tags in found if kind == "CIRCLE"]
    seen = sorted((tags[8][0], *(float(tags[code][0]) for code in (40, 10, 20))) for tags in circles)
    holes = [("holes", hole.radius, *hole.centre) for hole in (loops.Circle(10.5), *HOLES)]
    wanted = sorted([*holes, ("witness_marks", MARK.radius, *MARK.centre)])
    assert [one[0] for one in seen] == [one[0] for one in wanted]
    assert np.allclose([one[1:] for one in seen], [one[1:] for one in wanted], atol=1e-12)


def test_the_spline_of_a_dxf_is_the_outline():
    (tags,) = [tags for kind, tags in entities(flat.dxf(DISC, NOTES)) if kind == "SPLINE"]
    points = np.column_stack([numbers(tags, 10), numbers(tags, 20)])
    assert (points[0] == points[-1]).all()
    assert int(tags[70][0]) & 1  # closed
    knots = numbers(tags, 40)
    curve = BSpline(knots, points, 3)(np.linspace(knots[0], knots[-1], 5 * len(points)))
    assert farthest(curve, true_edge()) < MICROMETRE
    assert tags[8] == ["edge_spline"]


def test_the_arcs_of_a_dxf_are_the_outline_and_its_holes_exact():
    found = entities(flat.dxf(DISC, NOTES))
    (tags,) = [tags for kind, tags in found if kind == "LWPOLYLINE"]
    assert int(tags[70][0]) & 1  # closed
    corners = np.column_stack([numbers(tags, 10), numbers(tags, 20)])
    bulges = numbers(tags, 42)
    assert farthest(arc_points(curves.Arcs(corners, bulges, 0.0)), true_edge()) < MICROMETRE
    _holes_are_right(found)


def test_a_dxf_is_in_millimetres_and_without_fault(tmp_path):
    (tmp_path / "disc.dxf").write_bytes(flat.dxf(DISC, NOTES))
    document = ezdxf.readfile(tmp_path / "disc.dxf")
    assert document.header["$INSUNITS"] == 4  # DXF reference: millimetres
    audit = document.audit()
    assert not audit.errors and not audit.fixes
    assert document.layers.get("edge_spline").is_off() and not document.layers.get("edge_arcs").is_off()
    assert [layer.dxf.name for layer in document.layers if not layer.dxf.plot] == ["Defpoints", "note"]
    assert not any("\x1b" in text for _, text in document.header.custom_vars)


def area_of(picture):
    """Areas inside an SVG's shapes, by layer [mm^2], and its size."""
    root = ElementTree.fromstring(picture)
    space = "{http://www.w3.org/2000/svg}"
    areas = {}
    for group in root.iter(f"{space}g"):
        for shape in group:
            if shape.tag == f"{space}circle":
                area = math.pi * float(shape.get("r")) ** 2
            else:
                path = svgpathtools.parse_path(shape.get("d"))
                points = np.array([piece.point(at) for piece in path for at in np.linspace(0, 1, 21)[:-1]])
                area = shapely.Polygon(np.column_stack([points.real, -points.imag])).area
            areas.setdefault(group.get("id"), []).append(area)
    return areas, root


def test_an_svg_has_the_areas_and_true_millimetres():
    areas, root = area_of(flat.svg(DISC, NOTES))
    assert root.get("width").endswith("mm")
    assert float(root.get("width")[:-2]) == float(root.get("viewBox").split()[2])
    assert areas["edge_arcs"][0] == pytest.approx(loops.area(EDGE), abs=0.05)  # chords between points
    assert sorted(areas["holes"]) == pytest.approx(sorted(loops.area(h) for h in (loops.Circle(10.5), *HOLES)))
    stepped, _ = area_of(flat.svg(STEPPED, NOTES))
    assert stepped["level_1_edge_arcs"][0] == pytest.approx(loops.area(STEPPED.slabs[0].outside), abs=0.1)
    assert stepped["level_2_holes"] == pytest.approx([loops.area(h) for h in STEPPED.slabs[1].holes], rel=0.02)


def test_an_svgs_outline_is_the_outline():
    path = next(
        svgpathtools.parse_path(shape.get("d"))
        for shape in ElementTree.fromstring(flat.svg(DISC, NOTES)).iter("{http://www.w3.org/2000/svg}path")
    )
    points = np.array([piece.point(at) for piece in path for at in (0, 0.3, 0.5, 0.8)])
    assert farthest(np.column_stack([points.real, -points.imag]), true_edge()) < MICROMETRE


def test_an_svg_that_a_browser_draws_has_true_size(tmp_path, chromium):
    """Chromium's pixels; a CSS inch of 25.4 mm has 96 of them: CSS Values and Units Module Level 4, 6.2."""
    dots = 4 * 96 / 25.4  # a millimetre
    (tmp_path / "disc.svg").write_bytes(flat.svg(DISC, NOTES))
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=("--no-sandbox", "--disable-gpu"))
        page = browser.new_page(viewport={"width": 420, "height": 420}, device_scale_factor=4)
        page.goto((tmp_path / "disc.svg").as_uri())
        shot = page.screenshot()
        browser.close()
    dark = np.argwhere(np.asarray(Image.open(io.BytesIO(shot)).convert("L")) < 160)[:, ::-1] / dots
    side = float(ElementTree.fromstring(flat.svg(DISC, NOTES)).get("width")[:-2])
    places = (dark - side / 2) * (1, -1)
    corners = loops.corners_of(EDGE, 0.01)
    drawn = np.concatenate([places.min(axis=0), places.max(axis=0)])
    line = 0.3  # mm: half the line's 0.1 mm, and a pixel of 0.07 mm on either side
    assert drawn == pytest.approx(np.concatenate([corners.min(axis=0), corners.max(axis=0)]), abs=line)
    for hole in (*HOLES, MARK):
        rim = np.abs(np.hypot(*(places - hole.centre).T) - hole.radius) < line
        turns = np.unique((np.angle((places[rim] - hole.centre) @ [1, 1j]) // 0.3).astype(int))
        assert turns.size >= 20  # of 21 or 22 pieces of the rim


@pytest.mark.parametrize("part", [DISC, STEPPED], ids=lambda part: part.name)
def test_points_of_a_csv_lie_on_the_loops_and_normals_point_out(part):
    lines = [line for line in flat.points(part, NOTES).decode().splitlines() if not line.startswith("#")]
    loops = {}
    for row in csv.DictReader(lines):
        loops.setdefault(row.pop("loop"), []).append([float(value) for value in row.values()])
    assert len(loops) == sum(1 + len(slab.cut) for slab in part.slabs)
    for loop in loops.values():
        rows = np.array(loop)
        assert (rows[0, :2] == rows[-1, :2]).all()
        assert np.hypot(rows[:, 2], rows[:, 3]) == pytest.approx(1, abs=2e-6)  # six digits
        ring = shapely.Polygon(rows[:, :2])
        outside = shapely.points(rows[:, :2] + 0.02 * rows[:, 2:])
        assert not shapely.contains(ring, outside).any()
        inside = shapely.points(rows[:, :2] - 0.05 * rows[:, 2:])
        assert shapely.contains(ring, inside).mean() > 0.95  # at a sharp corner a normal leaves through the other edge


def test_points_of_a_csv_are_on_the_outline():
    text = flat.points(DISC, NOTES).decode()
    rows = np.array([line.split(",")[1:3] for line in text.splitlines() if line.startswith("edge_0")], dtype=float)
    assert farthest(rows, true_edge()) < MICROMETRE
