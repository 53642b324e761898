"""Every format of ten random sound reducers read back, and faults planted in the files, which reading back must see.

Circles are found in a mesh by cutting it, elsewhere from what stands in the file.
"""

import functools
import importlib.util
import io
import re
import zipfile
from dataclasses import replace
from unittest import mock

import numpy as np
import pytest
import trimesh

from cyclokit import Drive
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.making import files, loops, mesh, paper, solids
from tests.making import step_file
from tests.making.parts import STORY, chords_of, farthest, true_edge
from tests.making.test_curves import arc_points, curves, sampled
from tests.making.test_flat import entities, numbers
from tests.making.test_mesh import curved_surface, is_closed, triangles_of_3mf, triangles_of_stl, volume
from tests.making.test_paper import paths

MESHES = ("stl", "3mf")
KERNEL = pytest.mark.skipif(importlib.util.find_spec("build123d") is None, reason="needs cyclokit's extra `step`")
KINDS = [pytest.param(kind, marks=KERNEL if kind == "step" else ()) for kind in files.WRITERS]


def random_reducers(count):
    chance, found = np.random.default_rng(11), []
    while len(found) < count:
        pins, radius = int(chance.integers(9, 30)), round(float(chance.uniform(35, 70)), 1)
        roller, eccentricity = round(float(chance.uniform(2, 6)), 2), round(float(chance.uniform(0.5, 2.0)), 2)
        try:
            reducer = Reducer(Drive(pins, radius, roller, eccentricity), hole_allowance=0.07, outline_allowance=0.02)
        except ValueError:
            continue
        if space.check(reducer).sound:
            found.append(reducer)
    return found


def circle(points):
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    return (*middle, float(np.hypot(*(points - middle).T).max()))


def read_dxf(file):
    text = file.decode().replace("\r", "")
    assert re.search(r"\$INSUNITS\n *70\n *4\n", text), "no millimetres"
    found = entities(file)
    (line,) = [tags for name, tags in found if name == "LWPOLYLINE"]
    assert int(line[70][0]) & 1, "open"
    arcs = curves.Arcs(np.column_stack([numbers(line, 10), numbers(line, 20)]), numbers(line, 42), 0.0)
    rings = [tuple(float(tags[code][0]) for code in (10, 20, 40)) for name, tags in found if name == "CIRCLE"]
    (smooth,) = [tags for name, tags in found if name == "SPLINE"]
    assert int(smooth[70][0]) & 1, "open"
    points = np.column_stack([numbers(smooth, 10), numbers(smooth, 20)])
    return [arc_points(arcs), sampled(curves.Spline(numbers(smooth, 40), points, 0.0))], rings


def read_svg(file):
    text = file.decode()
    size = re.search(r'width="([\d.]+)mm".* viewBox="\S+ \S+ ([\d.]+)', text)
    assert size and size[1] == size[2], "no millimetres"
    (path,) = re.findall(r'<path d="([^"]*)"', text)
    assert path.endswith("Z"), "open"
    ends = re.findall(r"(-?[\d.]+) (-?[\d.]+)(?=[AMLZ])", path)
    rings = re.findall(r'<circle cx="(\S+)" cy="(\S+)" r="(\S+)"', text)
    return [np.array(ends, float) * (1, -1)], [(float(x), -float(y), float(r)) for x, y, r in rings]


def read_csv(file):
    rows = [line.split(",") for line in file.decode().splitlines() if not line.startswith("#")]
    assert rows[0][1] == "x_mm", "no millimetres"
    loops = {}
    for name, *values in rows[1:]:
        loops.setdefault(name, []).append([float(value) for value in values[:2]])
    loops = {name: np.array(points) for name, points in loops.items()}
    assert all((points[0] == points[-1]).all() for points in loops.values()), "open"
    return [loops.pop("edge_0")], list(map(circle, loops.values()))


def read_pdf(file):
    """From the middle of the sheet's frame: the part's extent has its middle there."""
    ((size, lines),) = paths(file)
    assert size == pytest.approx((210, 297), abs=1e-3), "no A4, ISO 216"
    _, frame, *drawn = lines
    assert any(np.ptp(line, axis=0) == pytest.approx((100, 0), abs=1e-3) for line in drawn), "no bar of 100 mm"
    drawn = [line - (frame.min(axis=0) + frame.max(axis=0)) / 2 for line in drawn if len(line) > 2]
    assert all(np.abs(line[0] - line[-1]).max() < 1e-4 for line in drawn), "open"
    edge, *others = sorted(drawn, key=np.ptp, reverse=True)
    return [edge], list(map(circle, others))


def read_mesh(triangles):
    assert is_closed(triangles), "open"
    body = trimesh.Trimesh(**trimesh.triangles.to_kwargs(triangles), process=True)
    body.merge_vertices()
    cut = body.section(plane_origin=(0, 0, triangles[..., 2].max() / 2), plane_normal=(0, 0, 1))
    loops = sorted((np.array(loop)[:, :2] for loop in cut.discrete), key=np.ptp)
    return [loops[-1]], list(map(circle, loops[:-1]))


def read_stl(file):
    assert b"millimetres" in file[:80], "no millimetres"
    return read_mesh(triangles_of_stl(file)[0])


# of a disc: its edge as points (twice where it is there twice), its round holes as x, y, radius; each reader sees to
# millimetres and that all is closed, else AssertionError
READERS = {
    "dxf": read_dxf,
    "svg": read_svg,
    "csv": read_csv,
    "pdf": read_pdf,
    "stl": read_stl,
    "3mf": lambda file: read_mesh(triangles_of_3mf(file)[0]),
    "step": step_file.disc,
}


@functools.cache
def truth(loop):
    """A disc's true edge as corners and as the lines between them."""
    return loops.corners_of(loop, 1e-4), true_edge(loop)


def check(kind, file, part):
    """What is in a file is the part: its edge, and every hole and mark exactly where it is, and its volume."""
    edges, rings = READERS[kind](file)
    slab = part.slabs[0]
    corners, chords = truth(slab.outside)
    if kind == "pdf":
        middle = (corners.min(axis=0) + corners.max(axis=0)) / 2
        edges, rings = [edge + middle for edge in edges], [(x + middle[0], y + middle[1], r) for x, y, r in rings]
    exact = 2e-3 if kind in MESHES else 1e-3  # a mesh's corners are single floats, and a cut goes between them
    near = (mesh.CHORD if kind in MESHES else 0) + exact
    for edge in edges:
        assert farthest(edge, chords) < near
        assert farthest(corners, chords_of(np.vstack([edge, edge[:1]]))) < near + 0.02  # between points that were read
    wanted = sorted((*loop.centre, loop.radius) for loop in slab.cut)
    assert len(rings) == len(wanted)
    away = np.abs(np.array(rings)[:, None, :] - np.array(wanted)).max(axis=2)
    assert away.min(axis=0).max() < near + exact and away.min(axis=1).max() < near + exact
    if kind in MESHES:
        triangles = (triangles_of_stl if kind == "stl" else triangles_of_3mf)(file)[0]
        assert abs(volume(triangles) - part.volume) <= mesh.CHORD * curved_surface(part)


@functools.cache
def random_discs(count=10):
    return [part for one in random_reducers(count) for part in solids.made(one) if part.name.startswith("disc")]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("number", range(10))
def test_random_sound_reducers_come_back(number, kind):
    part = random_discs()[number]
    check(kind, files.WRITERS[kind](part, ()), part)


PART = solids.disc(Reducer(STORY), 0, "disc")


@functools.cache
def right(kind):
    """A file that reads back rightly."""
    file = files.WRITERS[kind](PART, ())
    check(kind, file, PART)
    return file


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("fault", ["open", "inches", "hole", "mark"])
def test_a_planted_fault_is_seen(kind, fault):
    wrong = spoiled(right(kind), kind, fault)
    with pytest.raises(AssertionError):
        check(kind, wrong, PART)


def spoiled(file, kind, fault):
    (slab,) = PART.slabs
    bore, first, *others = slab.holes
    if fault == "hole":
        there = replace(first, centre=(first.centre[0] + 0.1, first.centre[1]))
        return files.WRITERS[kind](replace(PART, slabs=(replace(slab, holes=(bore, there, *others)),)), ())
    if fault == "mark":  # as if it stood at the next hole
        marks = (loops.moved(slab.marks[0], 2 * np.pi / (len(slab.holes) - 1)),)
        return files.WRITERS[kind](replace(PART, slabs=(replace(slab, marks=marks),)), ())
    if kind == "pdf":  # what stands in it is packed: it is made so
        wrong = {"INCH": 1.0} if fault == "inches" else {"corners_of": lambda *loop: loops.corners_of(*loop)[:-1]}
        with mock.patch.multiple(paper, **wrong):
            return files.WRITERS[kind](PART, ())
    if fault == "inches":
        changed = {
            "dxf": lambda: re.sub(rb"(\$INSUNITS\r?\n *70\r?\n) *4", rb"\g<1>1", file),
            "svg": lambda: re.sub(rb'([\d.]+)mm"', rb'\g<1>in"', file),
            "csv": lambda: file.replace(b"x_mm", b"x_in"),
            "stl": lambda: file.replace(b"millimetres", b"inches     "),
            "3mf": lambda: model_changed(file, b'unit="millimeter"', b'unit="inch"'),
            "step": lambda: file.replace(b"SI_UNIT(.MILLI.,.METRE.)", b"CONVERSION_BASED_UNIT('INCH',#1)"),
        }[kind]()
    else:
        changed = {
            "dxf": lambda: re.sub(rb"(LWPOLYLINE[\s\S]*?AcDbPolyline[\s\S]*?\n *70\r?\n) *1", rb"\g<1>0", file),
            "svg": lambda: file.replace(b'Z"', b'"'),
            "csv": lambda: b"\n".join(file.splitlines()[:-1]),
            "stl": lambda: file[:80] + (int.from_bytes(file[80:84], "little") - 1).to_bytes(4, "little") + file[84:-50],
            "3mf": lambda: model_changed(file, b"<triangle ", b"<nothing ", 1),
            "step": lambda: re.sub(rb"(CLOSED_SHELL\('',\()#\d+,", rb"\1", file),
        }[kind]()
    assert changed != file
    return changed


def model_changed(file, old, new, count=-1):
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(file)) as before, zipfile.ZipFile(stream, "w") as after:
        for name in before.namelist():
            content = before.read(name)
            after.writestr(name, content.replace(old, new, count) if name.endswith(".model") else content)
    return stream.getvalue()
