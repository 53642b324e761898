"""The cut's faces against the solids that are made, which are worked out apart from them and cut here by brute force.

Each slab of each solid is met by rays from the axis, in Shapely, a general-purpose geometry library; what they meet is
a box as high as the slab. The output is turned so that rod 0 stands in the plane; the frame is met where its screws
stand. Where the plane meets a disc: Shapely cuts the whole disc. That two equal discs half a crank turn apart lie e to
either side of the axis, and three a third apart e, -e/2, -e/2: trigonometry.
"""

import re
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cyclokit import Drive
from cyclokit.geometry import motion, outline
from cyclokit.machine import bench
from cyclokit.machine.hardware import MOTOR
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import BEARINGS
from cyclokit.making import parts, solids
from cyclokit.making.loops import Circle, corners_of
from cyclokit.view import cut, section

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
ODD = Drive(pins=15, pin_circle_radius=45.0, roller_radius=6.0, eccentricity=1.5)
FAR = 500.0
THINNEST = 0.01  # mm; the solids' circles are polygons here, which leave them by a micrometre
SHOWN = shapely.box(-cut.BODY, -FAR, FAR, FAR)  # of the motor's body no more is drawn
BUILT = {
    "story": Reducer(STORY),
    "one disc": Reducer(STORY, discs=1),
    "sleeves": Reducer(STORY, pin_made="sleeve on rod", output_rod_radius=2.0),
    "solid pins": Reducer(STORY, pin_made="solid", roller_material="plain steel"),
    "small rollers": Reducer(
        Drive(pins=30, pin_circle_radius=40.0, roller_radius=2.0, eccentricity=0.8), pin_made="solid"
    ),
    "three discs": Reducer(STORY, discs=3),
    "thick journals": Reducer(STORY, crank_bearing="61800", spacer_radius=5.5, motor_shaft_length=18.0),
    "inserts": Reducer(STORY, screws_into="inserts"),
    "one plate": Reducer(STORY, output_plates=1, output_support="one end"),
    "odd": Reducer(Drive(21, 50.0, 5.0, 1.4), output_rollers=5, screws=5),
    "large": Reducer(Drive(24, 60.0, 5.0, 1.5), screw="M4", screws=6, eccentric_bearing=BEARINGS["61803"]),
}
REFUSED = {
    "no wall": Reducer(STORY, least_wall=3.0),
    "one end": Reducer(ODD, pin_made="sleeve on rod", pin_support="one end"),
    "no output bearing": Reducer(STORY, crank_bearing=BEARINGS["61808"]),
}
ALL = BUILT | REFUSED


def kind(name):
    """What the cut calls a solid: alike parts have one name, as in the parts list; discs are told apart."""
    if disc := re.fullmatch(r"disc_(\d)", name):
        return cut.DISCS[int(disc[1])]
    words = [word for word in name.split("_") if not word.isdigit()]
    if {"bearing", "roller", "bush"} & set(words):
        words = [word for word in words if word not in ("inner", "balls", "outer", "lower", "middle", "upper")]
    return " ".join(words)


def rays(reducer, name):
    """Along which rays a solid is met: angle, from where to where, and on which side of the axis that is drawn."""
    below = np.pi
    motor, cover = (
        min(np.arange(number) * 2 * np.pi / number + np.pi / number, key=lambda angle: abs(angle - below))
        for number in (4, reducer.screws)
    )
    above = (0.0, 0.0, FAR, 1)
    if kind(name) in ("motor", "motor screw"):
        return [above, (motor, 0.0, FAR, -1)]
    if kind(name) in ("cover screw", "nut", "insert"):
        return [above, (cover, 0.0, FAR, -1)]
    if kind(name) in ("motor plate", "ring plate", "cover"):
        seat = reducer.drive.pin_circle_radius, reducer.pin_rod_radius + 0.3
        inner = (MOTOR.hole_circle_radius + 3.0 + seat[0] - seat[1]) / 2
        outer = seat[0] + seat[1] + 0.3
        turned = [(motor, 0.0, inner, -1), (below, inner, outer, -1), (cover, outer, FAR, -1)]
        return [above, *turned]
    return [above, (below, 0.0, FAR, -1)]


def brute(reducer, made):
    """The faces that the plane leaves of solids, by their kinds; balls, which are a ring there, left out."""
    found = {}
    for part in (part for part in made if not part.name.endswith("balls")):
        for slab in part.slabs:
            area = shapely.Polygon(corners_of(slab.outside), [corners_of(hole) for hole in slab.holes])
            for angle, near, far, side in rays(reducer, part.name):
                way = np.array([np.cos(angle), np.sin(angle)])
                met = shapely.intersection(area.buffer(0), shapely.LineString([near * way, far * way]))
                for one in shapely.get_parts(met):
                    if one.length > 1e-6:
                        low, high = sorted(side * np.hypot(*np.array(one.coords)[[0, -1]].T))
                        box = shapely.box(slab.bottom, low, slab.top, high)
                        found.setdefault(kind(part.name), {}).setdefault(part.name, []).append(box)
    return {name: [shapely.union_all(boxes) for boxes in each.values()] for name, each in found.items()}


def in_the_plane(reducer):
    """Its solids, the output turned so that a rod stands in the plane."""
    return solids.machine(replace(reducer, hole_phase=0.0))


def differing(faces, met):
    """Kinds of parts of which faces and solids differ; of bearings the rings' envelopes."""
    drawn = {}
    for face in faces:
        if not face.ball:
            drawn.setdefault(face.part, []).append(face.shape)
    wrong = {}
    for name in drawn.keys() | met.keys():
        sides = [drawn.get(name, []), met.get(name, [])]
        if name.endswith(("bearing", "roller")):
            sides = [[one.envelope for whole in side for one in shapely.get_parts(whole)] for side in sides]
        one, other = (shapely.union_all(side).intersection(SHOWN) for side in sides)
        if not one.symmetric_difference(other).buffer(-THINNEST / 2).is_empty:
            wrong[name] = round(one.area - other.area, 3)
    return wrong


@pytest.mark.parametrize("machine", BUILT.values(), ids=BUILT)
def test_every_face_is_where_the_solids_have_it(machine):
    assert differing(cut.faces(machine), brute(machine, in_the_plane(machine))) == {}


@pytest.mark.parametrize("machine", BUILT.values(), ids=BUILT)
def test_names_are_those_of_the_parts_list(machine):
    listed = {re.sub("bush (lower|middle|upper)$", "bush", item.part) for item in parts.parts_list(machine).items}
    drawn = {re.sub("^(second|third) disc$", "disc", face.part) for face in cut.faces(machine)}
    assert drawn - {"motor shaft"} == listed - {"lever", "foot screw"}  # the shaft is the motor's; feet are the bench's


@pytest.mark.parametrize("machine", BUILT.values(), ids=BUILT)
def test_what_the_plane_meets_and_is_not_drawn_is_said_beside_the_picture(machine):
    turned = replace(machine, hole_phase=0.0)
    with_lever = brute(machine, solids.machine(turned, lever=True))
    missing = with_lever.keys() - {face.part for face in cut.faces(machine)}
    plane = shapely.LineString([(-FAR, 0), (FAR, 0)])
    marks = [
        mark
        for part in solids.machine(turned, lever=True)
        for slab in part.slabs
        for mark in slab.marks
        if shapely.Polygon(corners_of(mark)).intersects(plane)
    ]
    assert missing == {"lever"} and marks
    words = section.words(machine)
    assert "Not drawn are the discs' witness marks, and the lever" in words


def without(part, loop_at):
    """A part without the holes that have their middle there, or are as large."""
    slabs = tuple(
        replace(slab, holes=tuple(hole for hole in slab.holes if not loop_at(slab, hole))) for slab in part.slabs
    )
    return replace(part, slabs=slabs)


FAULTS = {
    "motor plate": lambda slab, hole: isinstance(hole, Circle) and hole.radius > 11.0 and slab.bottom == 0,
    "flange": lambda slab, hole: hole.centre[0] > 4 and hole.centre[0] < 6,  # the thread of the cap's screw
    "disc": lambda slab, hole: hole.centre[0] == pytest.approx(26.0 + 1.4),
    "second plate": lambda slab, hole: hole.centre == (0.0, 0.0),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_forgotten_recess_is_found(name):
    machine = BUILT["story"]
    made = [without(part, FAULTS[name]) if kind(part.name) == name else part for part in in_the_plane(machine)]
    assert list(differing(cut.faces(machine), brute(machine, made))) == [name]


def test_a_part_that_is_not_drawn_or_stands_elsewhere_is_found():
    machine = BUILT["story"]
    faces, met = cut.faces(machine), brute(machine, in_the_plane(machine))
    for name in {face.part for face in faces}:
        assert list(differing([face for face in faces if face.part != name], met)) == [name]
        moved = [
            face._replace(shape=shapely.affinity.translate(face.shape, 0.3)) if face.part == name else face
            for face in faces
        ]
        assert list(differing(moved, met)) == [name]


@pytest.mark.parametrize("machine", ALL.values(), ids=ALL)
def test_no_two_faces_are_in_one_place(machine):
    tree = shapely.STRtree([face.shape for face in cut.faces(machine)])
    for one, other in tree.query(tree.geometries, predicate="intersects").T:
        # mm^2: faces that touch share a line
        assert one == other or tree.geometries[one].intersection(tree.geometries[other]).area < 1e-6
    assert all(one.area > 0 and one.is_valid for one in tree.geometries)


@pytest.mark.parametrize("machine", ALL.values(), ids=ALL)
def test_the_plane_meets_each_disc_where_a_geometry_library_cuts_it(machine):
    for number, middle in enumerate(cut.middles(machine)):
        pose = motion.disc_pose(machine.drive, 2 * np.pi * number / machine.discs)
        disc = shapely.Polygon(pose.centre + motion.turned(outline.polygon(machine.disc_drive), pose.angle))
        met = shapely.intersection(disc, shapely.LineString([(-200, 0), (200, 0)])).bounds
        mine = shapely.union_all([face.shape for face in cut.faces(machine) if face.part == cut.DISCS[number]]).bounds
        assert (mine[1], mine[3]) == pytest.approx((met[0], met[2]), abs=1e-9)  # mm: one polygon, cut in two ways
        half = machine.disc_thickness / 2
        assert (mine[0], mine[2]) == pytest.approx((middle - half, middle + half))


@pytest.mark.parametrize(("discs", "shares"), [(1, [1]), (2, [1, -1]), (3, [1, -0.5, -0.5])])
def test_each_disc_is_off_the_axis_by_its_own_way(discs, shares):
    machine = Reducer(STORY, discs=discs)
    assert cut.offsets(machine)[:, 0] == pytest.approx([1.4 * share for share in shares], abs=1e-12)
    for number, share in enumerate(shares):
        sides = [face.shape.bounds for face in cut.faces(machine) if face.part == cut.DISCS[number]]
        above, below = min(low for _, low, _, _ in sides if low > 0), max(high for *_, high in sides if high < 0)
        assert (above + below) / 2 == pytest.approx(1.4 * share, abs=1e-9)  # the bore's middle


@pytest.mark.parametrize("machine", REFUSED.values(), ids=REFUSED)
def test_of_a_reducer_that_is_refused_only_what_is_known_is_cut(machine):
    assert bench.refused(machine)
    assert {face.part for face in cut.faces(machine)} == {"crank", "eccentric bearing", *cut.DISCS[: machine.discs]}


def test_no_reducer_no_cut():
    with pytest.raises(TypeError, match="reducer"):
        cut.faces(STORY)
