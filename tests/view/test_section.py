"""A reducer cut open: what is drawn read back, and held against the cut's faces and against how drawings are made.

Cut faces are hatched, neighbours not alike, and shafts, rods, screws, nuts and balls lengthwise not at all (ISO 128-3);
each item has one number, at the end of a leader that crosses no other (ISO 6433): both from memory.
"""

import functools
import itertools

import numpy as np
import pytest
import shapely
from matplotlib.patches import PathPatch
from matplotlib.text import Annotation, Text

from cyclokit import Drive
from cyclokit.machine import bench, space
from cyclokit.machine.layout import layout
from cyclokit.machine.reducer import Reducer
from cyclokit.view import cut, figures, machine_face, section
from tests.view.test_cut import ALL, BUILT, REFUSED, STORY

axial, face_of = functools.cache(section.axial), functools.cache(machine_face.face)
EACH = pytest.mark.parametrize("machine", ALL.values(), ids=ALL)
WHOLE = ("rod", "shaft", "screw", "nut", "motor")


def patches(ax):
    """What is drawn of each part: filled shapes, and hatched ones."""
    drawn = [patch for patch in ax.patches if isinstance(patch, PathPatch)]
    return [patch for patch in drawn if patch.get_gid()], [patch for patch in drawn if patch.get_hatch()]


def room(text):
    """The box that a text takes, its leader not counted [pixels]."""
    return Text.get_window_extent(text)


def numbers(ax):
    """Numbers round the cut: text, start of the leader, its end."""
    notes = [note for note in ax.texts if isinstance(note, Annotation) and note.get_text()]
    return [(note.get_text(), note.xy, note.xyann) for note in notes]


@EACH
def test_every_face_is_drawn_where_the_cut_has_it(machine):
    filled, hatched = patches(axial(machine))
    faces = cut.faces(machine)
    assert [patch.get_gid() for patch in filled] == [face.part for face in faces]
    for patch, face in zip(filled, faces, strict=True):
        outside = shapely.Polygon(patch.get_path().to_polygons()[0])
        assert outside.area == pytest.approx(face.shape.area)
        assert outside.symmetric_difference(face.shape).area == pytest.approx(0, abs=1e-6)
    cut_ones = [face for face in faces if not face.part.endswith(WHOLE) and not face.ball]
    assert len(hatched) == len(cut_ones)


def alike(machine):
    """Parts that touch and are hatched in one way."""
    faces = [face for face in cut.faces(machine) if not face.ball and not face.part.endswith(WHOLE)]
    ways = {part: set(hatch) for part, (_, hatch, _) in section.LOOKS.items()}
    return {
        (one.part, other.part)
        for one, other in itertools.combinations(faces, 2)
        if one.part != other.part and ways[one.part] == ways[other.part]
        if one.shape.buffer(1e-6).intersection(other.shape).length > 0.1
    }


@EACH
def test_neighbours_are_hatched_in_different_ways(machine):
    assert not alike(machine)


def test_neighbours_hatched_alike_are_found(monkeypatch):
    monkeypatch.setitem(section.LOOKS, "crank", section.LOOKS["eccentric bearing"])
    assert ("eccentric bearing", "crank") in alike(ALL["story"])


@EACH
def test_every_part_has_its_number_in_the_picture_in_the_list_and_in_the_words(machine):
    ax = axial(machine)
    given = section.numbered(machine)
    assert set(given) == {face.part for face in cut.faces(machine)}
    assert sorted(int(text) for text, _, _ in numbers(ax)) == list(range(1, len(given) + 1))
    listed = {text.get_text() for text in ax.figure.texts}
    words = section.words(machine)
    for part, number in given.items():
        assert f"{number}  {part}" in listed
        assert f"{number} {part}" in words
    shapes = {part: shapely.union_all([f.shape for f in cut.faces(machine) if f.part == part]) for part in given}
    for text, start, _ in numbers(ax):
        part = next(part for part, number in given.items() if number == int(text))
        assert shapes[part].contains(shapely.Point(start))


@EACH
def test_leaders_neither_cross_nor_cover_each_other_nor_a_number(machine):
    ax = axial(machine)
    lines = {text: shapely.LineString([start, end]) for text, start, end in numbers(ax)}
    ax.figure.draw_without_rendering()
    to_mm = ax.transData.inverted()
    for note in ax.texts:
        if note.get_text() in lines:
            corners = to_mm.transform(room(note).get_points())
            box = shapely.box(*corners.ravel())
            assert not [other for other, line in lines.items() if other != note.get_text() and line.intersects(box)]
            low, high = np.sort([ax.get_xlim(), ax.get_ylim()], axis=1).T
            assert (corners >= low).all()
            assert (corners <= high).all()
    for (one, line), (other, second) in itertools.combinations(lines.items(), 2):
        assert line.distance(second) > 0.2, (one, other)  # mm; a line is 0.25 mm thick, and its dot 1 mm wide


WIDE = (Reducer(Drive(11, 90.2, 6.5, 5.75)), Reducer(Drive(8, 63.8, 19.32, 4.09)))  # about 200 mm across


@pytest.mark.parametrize("machine", [*ALL.values(), *WIDE], ids=[*ALL, "wide", "as wide as its ticks"])
def test_what_is_written_stays_in_the_picture_and_off_the_rest(machine):
    for ax in (axial(machine), face_of(machine)):
        figure = ax.figure
        figure.draw_without_rendering()
        ticks = [
            label
            for axis, (low, high) in ((ax.xaxis, ax.get_xlim()), (ax.yaxis, ax.get_ylim()))
            for label, at in zip(axis.get_ticklabels(), axis.get_ticklocs(), strict=True)
            if low <= at <= high
        ]
        texts = [*figure.texts, *ax.texts, ax.xaxis.label, ax.yaxis.label, *ticks]
        boxes = [room(text) for text in texts if text.get_text().strip()]
        for box in boxes:
            assert box.x0 >= 0
            assert box.y0 >= 0
            assert box.x1 <= figure.bbox.x1
            assert box.y1 <= figure.bbox.y1
        for one, other in itertools.combinations(boxes, 2):
            assert not one.overlaps(other)


@pytest.mark.parametrize("machine", BUILT.values(), ids=BUILT)
def test_measures_are_those_of_the_layout(machine):
    ax, plan = axial(machine), layout(machine)
    spans = [(note.xyann, note.xy) for note in ax.texts if not note.get_text()]
    measured = [float(text.get_text()) for text in ax.texts if text.get_text() and not isinstance(text, Annotation)]
    assert measured == [pytest.approx(end[0] - start[0], rel=1e-3) for start, end in spans]
    assert sum(measured[:-1]) == pytest.approx(measured[-1])
    assert measured[0] == pytest.approx(plan.plate_top)
    assert measured[1] == pytest.approx(plan.cover_bottom - plan.plate_top)
    assert spans[-1][1][0] == max(face.shape.bounds[2] for face in cut.faces(machine) if face.part == "cap")


TALL = Reducer(
    Drive(12, 40.0, 6.0, 1.8), pin_made="solid"
)  # its motor's plate is too thin for the number of its height


@pytest.mark.parametrize("machine", [*BUILT.values(), TALL], ids=[*BUILT, "tall"])
def test_no_line_goes_through_a_measure_and_no_number_is_on_another(machine):
    ax = axial(machine)
    ax.figure.draw_without_rendering()
    texts = [text for text in ax.texts if text.get_text()]
    boxes = {text: shapely.box(*room(text).extents) for text in texts}
    lines = [line for line in ax.lines if line.get_gid() == "extension"]
    for text in texts:
        if not isinstance(text, Annotation):
            for line in lines:
                assert not shapely.LineString(ax.transData.transform(line.get_xydata())).intersects(boxes[text])
    for one, other in itertools.combinations(texts, 2):
        assert not boxes[one].intersects(boxes[other])


@EACH
def test_cut_and_face_are_true_to_one_scale_and_at_one_height(machine):
    scales, heights = [], []
    for ax in (axial(machine), face_of(machine)):
        place, (width, height) = ax.get_position(), ax.figure.get_size_inches()
        scales += [np.ptp(ax.get_xlim()) / (place.width * width), np.ptp(ax.get_ylim()) / (place.height * height)]
        heights.append((place.y0, height, ax.get_ylim()))
    assert scales == pytest.approx([scales[0]] * 4)
    assert heights[0] == heights[1]


@EACH
def test_each_disc_has_a_middle_line_as_far_off_the_axis_as_it_is(machine):
    lines = [line for line in axial(machine).get_lines() if (line.get_gid() or "").startswith("middle")]
    assert [line.get_ydata()[0] for line in lines] == pytest.approx(cut.offsets(machine)[:, 0])
    assert [np.mean(line.get_xdata()) for line in lines] == pytest.approx(cut.middles(machine))


@pytest.mark.parametrize("machine", BUILT.values(), ids=BUILT)
def test_rods_screws_and_the_axis_have_centre_lines(machine):
    lines = [line for line in axial(machine).get_lines() if line.get_gid() == "centre line"]
    heights = {round(line.get_ydata()[0], 6) for line in lines}
    plan, drive = layout(machine), machine.drive
    wanted = {0.0, drive.pin_circle_radius, machine.output_circle_radius, -plan.screw_circle, plan.foot_circle}
    assert {round(height, 6) for height in wanted} <= heights


@pytest.mark.parametrize("machine", REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_built_is_said_in_words_and_in_the_picture(machine):
    why = bench.refused(machine)
    words = section.words(machine)
    assert "can't be built as a bench machine" in words
    assert why.partition(". ")[0].rstrip(".") in words
    assert section.NO_MACHINE in {text.get_text() for text in axial(machine).figure.texts}


@EACH
def test_the_face_has_the_last_disc_in_front_and_the_first_one_up(machine):
    ax = face_of(machine)
    seen = {patch.get_gid(): patch for patch in ax.patches if (patch.get_gid() or "").endswith("seen")}
    assert list(seen) == [f"{name} seen" for name in cut.DISCS[: machine.discs]]
    filled = [name for name, patch in seen.items() if patch.get_facecolor()[3] > 0]
    assert filled == [list(seen)[-1]]
    first = shapely.Polygon(next(iter(seen.values())).get_xy()).centroid
    assert (first.x, first.y) == pytest.approx((0, machine.drive.eccentricity), abs=0.02)  # mm, as the outline is drawn
    reach = max(abs(np.array(ax.get_xlim())))
    plan = layout(machine) if machine in BUILT.values() else None
    assert reach > (plan.diameter_over_lugs if plan else space.outer_diameter(machine)) / 2
    assert ("cover and output plate taken off" in machine_face.words(machine)) == (plan is not None)


def test_pictures_are_small_and_hatched_in_svg():
    for ax in (section.axial(ALL["story"]), machine_face.face(ALL["story"])):
        assert len(figures.as_svg(ax.figure)) < 150_000
    assert figures.as_svg(section.axial(ALL["story"]).figure).count("<pattern") >= 8


def test_no_reducer_no_picture():
    for draw in (section.axial, section.words, machine_face.face, machine_face.words):
        with pytest.raises(TypeError, match="reducer"):
            draw(STORY)
