"""Parts of a bench machine as solids, against meshes made by trimesh and the boundary dimensions of what is bought.

Sources
-------
Bearings: ISO 15. Through-holes: ISO 273, medium. Motor: NEMA ICS 16, size 17. Volumes: trimesh, of the extruded slabs.
"""

import math

import pytest
import shapely

from cyclokit import Drive
from cyclokit.design.brief import Brief
from cyclokit.design.search import search
from cyclokit.machine.hardware import SCREWS
from cyclokit.machine.layout import layout, lever_radii
from cyclokit.machine.reducer import Reducer
from cyclokit.making import contact, lying, mesh, plates, solids
from cyclokit.making.loops import Circle, area, corners_of
from cyclokit.making.shapes import Part, Slab, at_height, plane

STORY = Drive(20, 42.0, 5.0, 1.4)
MACHINE = Reducer(STORY)
PLAN = layout(MACHINE)
MADE = {part.name: part for part in solids.made(MACHINE)}
PLACED = {part.name: part for part in solids.machine(MACHINE, 0.4)}
NAMES = "disc motor_plate ring_plate cover second_plate flange cap hub_spacer crank crank_bush_lower crank_bush_upper"


def test_every_printed_part_is_made_once_and_stands_on_the_bed():
    assert set(NAMES.split()) < set(MADE)
    assert all(part.bottom == 0 and not part.bought for part in MADE.values())
    printed = {part.name for part in PLACED.values() if not part.bought}
    kinds = {name.rstrip("0123456789").rstrip("_") for name in printed}
    assert kinds | {"lever"} == set(MADE)  # which is on the machine only where it is asked for


@pytest.mark.parametrize("name", MADE)
def test_volumes_are_those_of_the_meshes(name):
    body = mesh.solid(MADE[name], 1e-3)
    # a chord's sagitta of 1 um over all walls of the part, at most twice its surface
    assert body.volume == pytest.approx(MADE[name].volume, abs=1e-3 * body.area)
    assert body.is_watertight
    assert body.body_count == 1


def test_bearings_have_the_dimensions_of_iso_15():
    for name, bore, outside, width in (
        ("crank_bearing_lower", 8, 16, 5),
        ("output_bearing_upper", 20, 32, 7),
        ("eccentric_bearing_1", 12, 21, 5),
        ("ring_roller_7_1", 3, 10, 4),
    ):
        inner, outer = PLACED[f"{name}_inner"], PLACED[f"{name}_outer"]
        assert 2 * inner.slabs[0].holes[0].radius == bore
        assert 2 * outer.slabs[0].outside.radius == outside
        assert outer.top - outer.bottom == pytest.approx(width)


def test_the_motors_face_is_that_of_size_17():
    xs = corners_of(PLACED["motor"].slabs[0].outside)
    assert xs.max(axis=0) - xs.min(axis=0) == pytest.approx([42.3, 42.3])
    threads = [loop for loop in PLACED["motor"].slabs[1].holes if loop.centre != (0.0, 0.0)]
    assert sorted(loop.centre for loop in threads) == [(-15.5, -15.5), (-15.5, 15.5), (15.5, -15.5), (15.5, 15.5)]
    assert (PLACED["motor"].top, PLACED["motor"].slabs[2].outside) == (2.0, Circle(11.0))
    assert PLACED["motor_shaft"].top == 24.0


def test_screws_go_through_holes_of_iso_273():
    holes = [loop.radius for loop in MADE["ring_plate"].slabs[0].holes if loop.centre != (0.0, 0.0)]
    assert holes == [1.7] * 4  # M3, medium: 3.4


def test_lugs_are_the_union_of_their_circles():
    lugs = [(50.2, 4.7, k * math.pi / 2 + 0.3) for k in range(4)]
    path = plates._lugged(49.9, lugs)
    united = shapely.Point(0, 0).buffer(49.9, quad_segs=2000)
    for far, radius, angle in lugs:
        lug = shapely.Point(far * math.cos(angle), far * math.sin(angle)).buffer(radius, quad_segs=2000)
        united = united.union(lug)
    assert area(path) == pytest.approx(united.area, rel=1e-6)  # polygons of 8000 corners
    assert shapely.Polygon(corners_of(path, 1e-4)).symmetric_difference(united).area < 0.05  # 4 um round it
    assert plates._lugged(60.0, lugs) == Circle(60.0)


@pytest.mark.parametrize("crank", [0.0, 1.1, 4.0])
def test_a_disc_that_goes_in_by_its_mark_is_where_its_rollers_want_it(crank):
    """The disc as it is drawn for its own place, against the made one, turned over and put on its rod."""
    parts = {part.name: part for part in solids.machine(MACHINE, crank)}
    for number in range(2):
        own = solids.disc(MACHINE, number, "own")
        phase = crank + math.pi * number
        turn = -phase / 19  # a disc turns back once in 19 turns of its crank
        there = solids.part_moved(own, turn, (1.4 * math.cos(phase), 1.4 * math.sin(phase), 0.0))
        placed = plane(parts[f"disc_{number}"].slabs[0]).buffer(0)
        wanted = plane(there.slabs[0])
        apart = placed.symmetric_difference(wanted).buffer(-0.01)
        assert apart.area < 4 * math.pi * 0.5**2  # nothing but the marks, which needn't be alike
        assert shapely.Polygon(placed.exterior).symmetric_difference(shapely.Polygon(wanted.exterior)).area < 0.6


def test_allowances_are_in_what_is_made_and_not_in_the_machine():
    adjusted = Reducer(STORY, hole_allowance=0.07, outline_allowance=0.02)
    made = {part.name: part for part in solids.made(adjusted)}
    assert made["crank"].slabs[2].outside.radius == pytest.approx(6.0 - 0.02)
    assert made["ring_plate"].slabs[0].holes[0].radius == pytest.approx(47.3 + 0.07)
    assert all(made[name].volume < part.volume for name, part in MADE.items())
    assert solids.machine(adjusted) == solids.machine(MACHINE)


@pytest.mark.parametrize(("part", "discs", "count", "screw"), [("flange", 2, 3, "M3"), ("crank", 3, 1, "M2.5")])
def test_a_screw_finds_a_hole_that_it_can_cut_its_thread_in(part, discs, count, screw):
    """In the machine it has its thread: its hole is as wide as it is there, which as made would hold nothing."""
    reducer = Reducer(STORY, discs=discs, hole_allowance=0.07)
    made, placed = ({one.name: one for one in some}[part] for some in (solids.made(reducer), solids.machine(reducer)))
    for one, diameter in ((made, SCREWS[screw].core_diameter + 0.14), (placed, SCREWS[screw].diameter)):
        highest = max(one.slabs, key=lambda slab: slab.top)
        assert [hole.radius for hole in highest.holes] == pytest.approx([diameter / 2] * count)
    assert SCREWS[screw].core_diameter + 0.14 < 0.95 * SCREWS[screw].diameter


def test_seats_have_a_step_as_a_lead_in():
    low, high = (at_height(MADE["motor_plate"], z) for z in (8.3, 8.5))
    step = low.difference(high).area
    rods, seat = 20 * math.pi * (1.7**2 - 1.5**2), math.pi * (8.2**2 - 8.0**2)
    assert step == pytest.approx(rods + seat, rel=0.01)  # polygons within a micrometre


def test_the_lever_is_the_hull_of_its_two_round_ends():
    (near, far), lever = lever_radii(MACHINE), MADE["lever"]
    ends = [shapely.Point(x, 0).buffer(r, quad_segs=2000) for x, r in ((0, near), (MACHINE.lever_arm, far))]
    hull = shapely.union_all(ends).convex_hull
    assert area(lever.slabs[0].outside) == pytest.approx(hull.area, rel=1e-6)  # polygons of 8000 corners
    # its open side is up, so that it prints without supports; its hole is where a weight pulls
    assert lying.overhanging(lever) == ()
    assert lever.top == pytest.approx(6.0 + 2.4)
    ends = [loop.centre for loop in lever.slabs[0].holes if loop.centre[0] > 50]
    assert ends == [pytest.approx((100.0, 0.0))]


def test_a_reducer_that_cannot_be_built_has_its_discs_made_and_no_machine():
    thin = Reducer(STORY, discs=3, crank_bearing="625")
    assert {part.name.split("_")[0] for part in solids.made(thin)} == {"disc"}
    with pytest.raises(ValueError, match="can't be built as a bench machine: crank bearing round the crank"):
        solids.machine(thin)
    with pytest.raises(TypeError, match="reducer must be a Reducer"):
        solids.machine(STORY)


def test_parts_have_names_of_their_own():
    assert len(PLACED) == len(solids.machine(MACHINE, 0.4))
    assert len(contact.layers(tuple(PLACED.values()))) > len(PLACED)


def tight_discs():
    """Discs that the search finds, whose walls are as thin as a workshop's, and the reducers they are of."""
    for teeth, most in ((9, 80.0), (19, 110.0)):
        for design in search(Brief(teeth, most, ["623", 6.0]), "smallest").designs:
            for part in solids.made(design.reducer):
                if part.name.startswith("disc"):
                    yield design.reducer, part


def test_a_witness_mark_has_room_and_is_nearest_to_hole_0_however_thin_the_walls():
    """Of the first discs that the search gives, some had their mark cut into the bore."""
    inside, discs = 0, list(tight_discs())
    for reducer, part in discs:
        (slab,) = part.slabs
        (mark,) = slab.marks
        walls = shapely.Polygon(corners_of(slab.outside), [corners_of(hole) for hole in slab.holes])
        edge = shapely.Point(mark.centre).buffer(mark.radius, quad_segs=90)
        assert walls.contains(edge)
        assert walls.boundary.distance(edge) >= 0.8 - 0.05  # what is asked for, less how finely it was sought
        _, *holes = slab.holes
        apart = [math.dist(mark.centre, hole.centre) - hole.radius for hole in holes]
        assert min(range(len(holes)), key=apart.__getitem__) == 0
        inside += math.hypot(*mark.centre) < reducer.output_circle_radius
        mesh.solid(part)
    assert inside < len(discs)  # some have no room towards the middle


def test_a_disc_without_room_for_a_mark_has_none_and_its_file_says_so():
    """None of 400 small sound reducers came to that; a ring of 1.2 mm is as thin as can be."""
    ring = Slab(Circle(10.0), (Circle(8.8),), 0.0, 5.0)
    assert solids._marks(ring, 8.8, 0.0, math.pi / 3) == ()
    assert any("no witness mark" in note for note in solids.notes(MACHINE, Part("disc", (ring,), "PETG")))
    assert not any("no witness mark" in note for note in solids.notes(MACHINE, MADE["disc"]))
