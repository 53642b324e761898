"""A reducer cut open: the drawn faces read back and held against what the machine's own numbers say.

Where the plane of the cut meets a disc: Shapely, a general-purpose geometry library, cuts the whole disc. That two
equal discs half a crank turn apart lie e to either side of the axis, and three a third apart e, -e/2, -e/2:
trigonometry.
"""

import numpy as np
import pytest
import shapely
from matplotlib.patches import Polygon

from cyclokit import Drive
from cyclokit.geometry import motion, outline
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.view import cut, figures, section

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
ODD = Drive(pins=15, pin_circle_radius=45.0, roller_radius=6.0, eccentricity=1.5)
MACHINES = [
    Reducer(STORY),
    Reducer(STORY, discs=1),
    Reducer(STORY, discs=3),
    Reducer(ODD, pin_made="sleeve on rod", pin_support="one end"),
    Reducer(Drive(pins=30, pin_circle_radius=40.0, roller_radius=2.0, eccentricity=0.8), pin_made="solid"),
]
ALL = pytest.mark.parametrize("machine", MACHINES, ids=["two", "one", "three", "odd", "solid"])


def drawn(machine):
    """The faces as they were drawn, by part: left, right, low and high of each [mm]."""
    found = {}
    for patch in section.beside_face(machine).patches:
        if isinstance(patch, Polygon) and patch.get_gid():
            corners = patch.get_xy()
            box = (*corners[:, 0][[0, 1]], corners[:, 1].min(), corners[:, 1].max())
            found.setdefault(patch.get_gid(), []).append(box)
    return {part: np.array(boxes) for part, boxes in found.items()}


@pytest.mark.parametrize(("machine", "offsets"), list(zip(MACHINES[:3], ([1, -1], [1], [1, -0.5, -0.5]), strict=True)))
def test_each_disc_is_off_the_axis_by_its_own_way(machine, offsets):
    ax = section.beside_face(machine)
    middles = {line.get_gid(): line.get_ydata()[0] for line in ax.get_lines() if line.get_gid()}
    assert list(middles.values()) == pytest.approx([1.4 * share for share in offsets], abs=1e-12)
    faces = drawn(machine)
    for disc, share in zip(cut.DISCS, offsets, strict=False):
        bore = sorted(np.abs(faces[disc][:, 2:]).min(axis=1))[:2]  # the two faces beside the bore
        assert (bore[0] - bore[1]) / 2 == pytest.approx(-1.4 * abs(share), abs=1e-9)


@ALL
def test_heights_are_those_of_the_machine(machine):
    faces = drawn(machine)
    for number in range(machine.discs):
        along = faces[cut.DISCS[number]][:, :2]
        assert np.ptp(along, axis=1) == pytest.approx(machine.disc_thickness)
        assert along[:, 0] == pytest.approx(number * (machine.disc_thickness + machine.disc_gap))
    assert np.ptp(faces["bearing on the eccentric"][:, :2], axis=1) == pytest.approx(machine.eccentric_bearing.width)
    assert faces["housing"][:, 3].max() == pytest.approx(space.outer_diameter(machine) / 2)
    assert faces["crank"][0, 2:] == pytest.approx([-machine.shaft_radius, machine.shaft_radius])
    rods = faces["rod of a ring pin"][:, 2:].mean(axis=1)
    sides = (1,) if machine.drive.pins % 2 else (-1, 1)  # an odd number of pins has none opposite another
    assert sorted(rods) == pytest.approx([side * machine.drive.pin_circle_radius for side in sides])


@ALL
def test_the_plane_meets_each_disc_where_a_geometry_library_cuts_it(machine):
    faces = drawn(machine)
    for number in range(machine.discs):
        pose = motion.disc_pose(machine.drive, 2 * np.pi * number / machine.discs)
        disc = shapely.Polygon(pose.centre + motion.turned(outline.polygon(machine.disc_drive), pose.angle))
        met = shapely.intersection(disc, shapely.LineString([(-200, 0), (200, 0)])).bounds
        boxes = faces[cut.DISCS[number]]
        # mm: the same polygon, cut in two ways
        assert (boxes[:, 2].min(), boxes[:, 3].max()) == pytest.approx((met[0], met[2]), abs=1e-9)


@ALL
def test_no_two_parts_are_in_one_place(machine):
    faces = [(face.part, shapely.Polygon(face.corners)) for face in cut.faces(machine)]
    for number, (part, face) in enumerate(faces):
        assert face.area > 0
        for other_part, other in faces[:number]:
            # mm^2: faces that touch share a line
            assert face.intersection(other).area < 1e-6, (part, other_part)


@ALL
def test_every_part_has_a_number_on_the_picture_in_its_list_and_in_its_words(machine):
    ax = section.beside_face(machine)
    numbers = section.numbered(machine)
    assert sorted(int(text.get_text()) for text in ax.texts if text.get_text().isdigit()) == list(numbers.values())
    listed = {text.get_text() for text in ax.figure.texts}
    words = section.words(machine)
    for part, number in numbers.items():
        assert f"{number}  {part}" in listed
        assert f"{number} {part}" in words
    assert {"crank", "eccentric", "bearing on the eccentric", "disc", "output plate"} <= set(numbers)


@ALL
def test_both_pictures_are_true_to_one_scale(machine):
    opened, face = section.beside_face(machine).figure.axes
    width, height = opened.figure.get_size_inches()
    scales = []
    for ax in (opened, face):
        place = ax.get_position()
        scales += [np.ptp(ax.get_xlim()) / (place.width * width), np.ptp(ax.get_ylim()) / (place.height * height)]
    assert scales == pytest.approx([scales[0]] * 4)
    assert opened.get_position().y0 == pytest.approx(face.get_position().y0)


def test_hatches_of_what_is_cut_and_of_nothing_else():
    hatched = {part for part, (_, hatch) in section.PARTS.items() if hatch}
    assert hatched.isdisjoint({"crank", "rod of a ring pin", "rod of an output roller", "ball"})
    svg = figures.as_svg(section.beside_face(MACHINES[0]).figure)
    assert svg.count("<pattern") >= 5
    assert len(svg) < 150_000


def test_no_reducer_no_cut():
    with pytest.raises(TypeError, match="reducer"):
        cut.faces(STORY)
