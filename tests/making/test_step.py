"""STEP files read back by the Open CASCADE kernel: volume by its accurate (Gauss-Kronrod) property, faces by kind.

The kernel that reads also wrote; what it is held against is ours: areas of the true curves, radii and places of holes,
and the outline as a fine polygon.
"""

import math

import numpy as np
import pytest

from cyclokit.machine.reducer import Reducer
from cyclokit.making import solids, step
from tests.making.parts import DISC, NOTES, STEPPED, STORY, farthest, true_edge
from tests.making.test_mesh import curved_surface
from tests.making.test_read_back import random_discs

b3d = pytest.importorskip("build123d")


def read(file, tmp_path):
    target = tmp_path / "part.step"
    target.write_bytes(file)
    return b3d.import_step(target)


def volume(shape):
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    properties = GProp_GProps()
    BRepGProp.VolumePropertiesGK_s(shape.wrapped, properties, 1e-7)
    return properties.Mass()


@pytest.mark.parametrize("part", [DISC, STEPPED], ids=lambda part: part.name)
def test_volumes_and_cylinders(part, tmp_path):
    body = read(step.step(part, NOTES), tmp_path)
    assert len(body.solids()) == 1 and body.is_valid
    # half a micrometre all along the spline, at most
    assert sum(map(volume, body.solids())) == pytest.approx(part.volume, abs=5e-4 * 263 * 5)
    cylinders = [face for face in body.faces() if face.geom_type == b3d.GeomType.CYLINDER]
    found = sorted(round(face.radius, 9) for face in cylinders)
    expected = [0.5, *[6.5] * 6, 10.5] if part is DISC else [4.0] * 4 + [8.0, 11.0]
    assert found == expected
    box = body.bounding_box()
    assert pytest.approx((part.bottom, part.top), abs=1e-5) == (box.min.Z, box.max.Z)


def test_ten_random_discs_have_their_volumes(tmp_path):
    for part in random_discs():
        (body,) = read(step.step(part, ()), tmp_path).solids()
        assert volume(body) == pytest.approx(part.volume, abs=5e-4 * curved_surface(part))


def test_every_part_of_the_storys_machine_is_one_solid_with_its_volume(tmp_path):
    for part in solids.made(Reducer(STORY)):
        body = read(step.step(part, ()), tmp_path)
        (one,) = body.solids()
        assert body.is_valid and body.label == part.name
        # what is no spline is exact: a millionth
        assert volume(one) == pytest.approx(
            part.volume, rel=1e-6, abs=5e-4 * curved_surface(part) * ("disc" in part.name)
        )


def test_the_edge_of_a_disc_is_the_outline(tmp_path):
    body = read(step.step(DISC, NOTES), tmp_path)
    (edge,) = [
        edge
        for edge in body.edges()
        if edge.geom_type == b3d.GeomType.BSPLINE and math.isclose(edge.center().Z, 0, abs_tol=1e-6)
    ]
    curve = edge.geom_adaptor()
    at = np.linspace(curve.FirstParameter(), curve.LastParameter(), 5000)
    points = np.array([[place.X(), place.Y()] for place in map(curve.Value, map(float, at))])
    assert farthest(points, true_edge()) < 1e-3


def test_its_texts_are_escaped():
    file = step.step(DISC, NOTES).decode("ascii")
    head = file.partition("DATA;")[0]
    assert "''" in head and "\x1b" not in head and "\\X4\\000000FC\\X0\\" in head


def test_a_part_written_twice_by_one_process_is_the_same_to_the_byte():
    first = step.step(DISC, NOTES)
    assert first.count(b"NEXT_ASSEMBLY_USAGE_OCCURRENCE") == 1
    assert step.step(DISC, NOTES) == first
