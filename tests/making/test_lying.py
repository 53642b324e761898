"""How parts lie on the bed: supports, layers, and the first layer of a mesh cut back."""

import numpy as np
import pytest
import shapely

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.making import loops, lying, mesh, shapes, solids
from tests.making.parts import DISC, KINDS, NOTES, OTHERS, STEPPED, STORY
from tests.making.test_mesh import is_closed, triangles_of_stl, volume

PLATE = shapes.Slab(loops.Circle(10.0), (loops.Circle(3.0),), 0.0, 2.0)


def test_what_hangs_over_nothing_is_seen():
    hat = shapes.Part("hat", (PLATE, shapes.Slab(loops.Circle(12.0), (), 2.0, 4.0)), "PLA")
    assert lying.overhanging(hat) == (2.0,)
    assert lying.overhanging(shapes.part_turned_over(hat)) == ()
    assert lying.overhanging(DISC) == () and "no supports needed" in lying.notes(DISC)[0]
    assert "supports or bridges needed at 2 mm" in lying.notes(hat)[0]


@pytest.mark.parametrize(("layer", "off"), [(0.2, (2.3,)), (0.1, ()), (0.3, (2.3,)), (0.25, (2.3,))])
def test_heights_that_are_no_whole_layers_are_seen(layer, off):
    assert lying.off_layers(STEPPED, layer) == off  # 2.3 and 6 mm


# what discs that are no whole layers apart move; where the cover's screws end, nuts have their pockets
APART = {"motor_plate", "ring_plate", "crank", "ring_bush_middle", "output_bush_middle"}
COLLARS = Reducer(Drive(12, 42.0, 1.5, 1.5), pin_made="sleeve on rod", output_plates=1)  # 1.5 mm high by their rods
MACHINES = {kind: Reducer(STORY, **figures) for kind, figures in KINDS.items()} | OTHERS | {"collars": COLLARS}


@pytest.mark.parametrize("machine", MACHINES.values(), ids=MACHINES)
def test_what_is_printed_of_a_machine_is_whole_layers_high(machine):
    assert {part.name: lying.off_layers(part) for part in solids.made(machine) if lying.off_layers(part)} == {}


@pytest.mark.parametrize(
    ("figures", "off"),
    [
        ({"seat_depth": 3.4}, {"motor_plate", "cover"}),  # 3.5 mm with their play
        ({"axial_clearance": 0.3}, {"crank_bush_upper"}),
        ({"plate_thickness": 6.1}, {"second_plate", "flange", "crank", "crank_bush_lower", "crank_bush_upper"}),
        ({"disc_thickness": 5.1}, {"disc", *APART}),
        # a bearing of 5 mm in a disc of 4 mm, and a washer of 0.5 mm (ISO 7089): discs are 5.5 mm apart
        ({"disc_thickness": 4.0}, APART),
        ({"crank_bearing": Bearing("odd", 8.0, 16.0, 4.5)}, {"motor_plate", "crank", "crank_bush_upper"}),
    ],
    ids=lambda case: next(iter(case)) if isinstance(case, dict) else "",
)
def test_what_is_not_follows_a_figure_or_a_bought_part_that_is_not(figures, off):
    """A height that somebody gave, or a bearing's: the machine has no other to choose."""
    made = solids.made(Reducer(STORY, **figures))
    assert {part.name for part in made if lying.off_layers(part)} == off


@pytest.mark.parametrize("part", [DISC, STEPPED], ids=lambda part: part.name)
def test_the_first_layer_is_cut_back_and_nothing_else(part):
    triangles, _ = triangles_of_stl(mesh.stl(part, NOTES, foot=0.2, layer=0.25))
    whole, _ = triangles_of_stl(mesh.stl(part, NOTES))
    slab = part.slabs[0]
    length = shapes.plane(slab, mesh.CHORD).length
    assert is_closed(triangles)
    # as much as a strip along all edges; corners and bends make it a little more or less
    assert volume(whole) - volume(triangles) == pytest.approx(0.2 * 0.25 * length, rel=0.02)
    for at, back in ((0.1, 0.2), (0.3, 0.0)):
        cut = mesh.solid(part, foot=0.2, layer=0.25).section(
            plane_origin=(0, 0, part.bottom + at), plane_normal=(0, 0, 1)
        )
        found = np.array([line.bounds.ravel()[[0, 1, 3, 4]] for line in [cut]])[0]
        edge = np.array(shapely.bounds(shapes.plane(slab, mesh.CHORD))) + np.array([back, back, -back, -back])
        assert found == pytest.approx(edge, abs=1e-3)


def test_what_is_no_higher_than_a_layer_is_left_as_it_is():
    thin = shapes.Part("thin", (shapes.Slab(loops.Circle(10.0), (), 0.0, 0.2),), "PLA")
    assert lying.cut_back(thin, 0.2) is None and "not cut back" in " ".join(lying.notes(thin))
    assert mesh.stl(thin, NOTES, foot=0.2) == mesh.stl(thin, NOTES)


@pytest.mark.parametrize(("wall", "cut"), [(0.65, False), (0.75, True)])
def test_a_wall_that_would_be_left_too_narrow_for_a_line_is_not_cut_back(wall, cut):
    """A line of 0.3 mm is left between two cuts of 0.2 mm where the wall is thicker than 0.7 mm."""
    bush = shapes.Part("bush", (shapes.Slab(loops.Circle(2.0 + wall), (loops.Circle(2.0),), 0.0, 3.0),), "PLA")
    assert (lying.cut_back(bush) is not None) == cut
    assert ("too thin" in " ".join(lying.notes(bush))) != cut
    triangles, _ = triangles_of_stl(mesh.stl(bush, NOTES, foot=0.2))
    assert is_closed(triangles)
    bottom = triangles[(triangles[..., 2] < 0.01).any(axis=1)]
    assert np.hypot(bottom[..., 0], bottom[..., 1]).min() == pytest.approx(2.2 if cut else 2.0, abs=0.02)


@pytest.mark.parametrize(("wide", "hangs"), [(0.25, ()), (0.6, (1.0,))])
def test_a_step_no_wider_than_a_line_needs_no_support(wide, hangs):
    """A line of 0.3 mm holds on to the one below it."""
    low = shapes.Slab(loops.Circle(5.0), (), 0.0, 1.0)
    stepped = shapes.Part("stepped", (low, shapes.Slab(loops.Circle(5.0 + wide), (), 1.0, 2.0)), "PLA")
    assert lying.overhanging(stepped) == hangs


@pytest.mark.parametrize("step", [0.1, 0.2])
def test_a_part_that_has_a_step_in_its_first_layer_is_cut_back_too(step):
    """As a lead-in into a bearing's seat has: it is as high as a layer, and as it is drawn at the layer's middle."""
    slabs = [shapes.Slab(loops.Circle(9.0), (loops.Circle(r),), *z) for r, z in ((5.2, (0, step)), (5.0, (step, 4)))]
    seat = shapes.Part("seat", tuple(slabs), "PLA")
    triangles, _ = triangles_of_stl(mesh.stl(seat, NOTES, foot=0.2))
    assert is_closed(triangles)
    ring = [r * r for r in ((8.8, 5.4) if step == 0.2 else (8.8, 5.2))]
    expected = np.pi * (0.2 * (ring[0] - ring[1]) + 3.8 * (81 - 25))
    assert volume(triangles) == pytest.approx(expected, abs=mesh.CHORD * 2 * np.pi * (9 + 5) * 4)


def test_a_foot_or_a_layer_that_no_printer_has_is_refused():
    with pytest.raises(ValueError, match=r"foot is 20"):
        lying.notes(DISC, foot=20.0)
    with pytest.raises(ValueError, match=r"layer is 5"):
        lying.off_layers(DISC, 5.0)
