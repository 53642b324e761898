"""Meshes read back: the STL's bytes by NumPy, the 3MF's XML by the standard library; volumes by the divergence theorem
(any calculus handbook), against the true curves'."""

import io
import zipfile
from xml.etree import ElementTree

import numpy as np
import pytest

from cyclokit.making import loops, mesh, shapes
from tests.making.parts import DISC, NOTES, STEPPED

SPACE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
PARTS = pytest.mark.parametrize("part", [DISC, STEPPED], ids=lambda part: part.name)


def triangles_of_stl(file):
    count = int.from_bytes(file[80:84], "little")
    assert len(file) == 84 + 50 * count
    rows = np.frombuffer(file[84:], dtype=np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("r", "<u2")]))
    return rows["c"].astype(float), rows["n"].astype(float)


def triangles_of_3mf(file):
    with zipfile.ZipFile(io.BytesIO(file)) as archive:
        (name,) = [name for name in archive.namelist() if name.endswith(".model")]
        model = ElementTree.fromstring(archive.read(name))
    assert model.get("unit") == "millimeter"
    points = np.array([[float(v.get(axis)) for axis in "xyz"] for v in model.iter(f"{SPACE}vertex")])
    faces = np.array([[int(t.get(corner)) for corner in ("v1", "v2", "v3")] for t in model.iter(f"{SPACE}triangle")])
    return points[faces], model


def volume(triangles):
    return float(np.einsum("ij,ij->i", triangles[:, 0], np.cross(triangles[:, 1], triangles[:, 2])).sum() / 6)


def is_closed(triangles):
    """Whether every edge is met once each way."""
    _, number = np.unique(triangles.reshape(-1, 3).round(5), axis=0, return_inverse=True)
    faces = number.reshape(-1, 3)
    edges = np.vstack([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    edges = edges[edges[:, 0] != edges[:, 1]]
    there, counts = np.unique(edges, axis=0, return_counts=True)
    back = np.unique(edges[:, ::-1], axis=0)
    return (counts == 1).all() and np.array_equal(there, back)


def curved_surface(part):
    """Surface of what a mesh can only come near to [mm^2]."""
    return sum((slab.top - slab.bottom) * shapes.plane(slab).length for slab in part.slabs)


@PARTS
def test_volumes_are_within_the_chord_times_the_curved_surface(part):
    stl, _ = triangles_of_stl(mesh.stl(part, NOTES))
    three, _ = triangles_of_3mf(mesh.three_mf(part, NOTES))
    for triangles in (stl, three):
        assert is_closed(triangles)
        assert abs(volume(triangles) - part.volume) <= mesh.CHORD * curved_surface(part)
    assert volume(triangles_of_stl(mesh.stl(part, NOTES, 0.001))[0]) == pytest.approx(
        part.volume, abs=0.001 * curved_surface(part)
    )


def test_an_inch_or_an_open_mesh_would_be_seen():
    triangles, _ = triangles_of_stl(mesh.stl(DISC, NOTES))
    assert not is_closed(triangles[1:])
    assert abs(volume(triangles / 25.4) - DISC.volume) > mesh.CHORD * curved_surface(DISC)


def test_faces_look_outwards_and_the_headers_name_the_unit():
    file = mesh.stl(DISC, NOTES)
    triangles, normals = triangles_of_stl(file)
    across = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    assert (np.einsum("ij,ij->i", across, normals) >= 0).all()
    assert file[:80].startswith(b"millimetres; disc")
    assert b"\x1b" not in file[:80] and not file.startswith(b"solid")  # which would mean an STL of letters
    _, model = triangles_of_3mf(mesh.three_mf(DISC, NOTES))
    (told,) = [m.text for m in model.iter(f"{SPACE}metadata") if m.get("name") == "Description"]
    assert "<b>" in told and "\x1b" not in told  # escaped: it is text


def test_holes_that_meet_are_refused():
    slab = shapes.Slab(loops.Circle(10.0), (loops.Circle(2.0), loops.Circle(2.0, (3.0, 0.0))), 0.0, 1.0)
    with pytest.raises(ValueError, match="no plate with holes"):
        mesh.solid(shapes.Part("bad", (slab,), "PLA"))


CORE = {  # 3MF Core Specification 1.3, chapters 3 and 4: what each element may say of itself
    "model": {"unit"},
    "metadata": {"name"},
    "resources": set(),
    "object": {"id", "name", "type"},
    "mesh": set(),
    "vertices": set(),
    "vertex": {"x", "y", "z"},
    "triangles": set(),
    "triangle": {"v1", "v2", "v3"},
    "build": set(),
    "item": {"objectid", "transform", "partnumber"},
}


def test_a_3mf_has_the_core_of_the_format_and_nothing_else():
    """A strict reader refuses what it doesn't know."""
    _, model = triangles_of_3mf(mesh.three_mf(DISC, NOTES))
    for element in model.iter():
        assert element.tag.startswith(SPACE)
        assert set(element.keys()) <= CORE[element.tag.removeprefix(SPACE)]
    assert [item.get("objectid") for item in model.iter(f"{SPACE}item")] == ["1"]
