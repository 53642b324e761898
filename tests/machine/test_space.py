"""Whether a reducer's parts have room, against polygons that are cut and measured with GEOS.

Sources
-------
GEOS (through shapely), a general-purpose library for plane geometry: distances and overlaps of the parts as they lie.
Output holes, common practice, no source: 3 mm wider than 13 mm rollers at an eccentricity of 1.5 mm.
Bearing dimensions: ISO 15.
"""

import dataclasses

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import limits, motion, outline
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)
ROUND = (
    1e-4  # mm: a circle's polygon of 4 x 512 corners lies 2.4e-5 of 20 mm inside it, and two circles face each other
)
WALLS = ("wall between holes", "wall to the roots", "wall to the bore", "wall of the eccentric")


def circle(radius, x=0.0, y=0.0):
    return shapely.Point(x, y).buffer(radius, quad_segs=512)


def holes(machine):
    """The disc's output holes as polygons, in the disc's own frame."""
    turn = (
        2
        * np.pi
        * (machine.hole_phase / machine.drive.lobes + np.arange(machine.output_rollers) / machine.output_rollers)
    )
    x, y = machine.output_circle_radius * np.cos(turn), machine.output_circle_radius * np.sin(turn)
    return [circle(machine.hole_radius, *centre) for centre in zip(x, y, strict=True)]


@st.composite
def machines(draw):
    """Reducers whose parts may have room or not, holes anywhere."""
    return Reducer(
        STORY,
        output_rollers=draw(st.integers(3, 12)),
        output_circle_radius=draw(st.floats(12, 36)),
        output_roller_radius=draw(st.floats(1, 7)),
        hole_phase=draw(st.floats(0, 0.999)),
        hole_clearance=draw(st.floats(0, 0.5)),
        outline_clearance=draw(st.floats(0, 0.5)),
        eccentric_bearing=draw(st.sampled_from(["61800", "61801", "61803", "61805"])),
    )


def test_the_storys_walls():
    # 42 - 1.4 - 5.1 is the root circle with its clearance, 26 the output circle, 6.5 a hole, 10.5 the bore
    walls = {name: space.check(MACHINE, least_wall=1.2)[name].bound for name in WALLS}
    assert walls == pytest.approx(
        {"wall between holes": 13.0, "wall to the roots": 3.0, "wall to the bore": 9.0, "wall of the eccentric": 2.1}
    )


def test_a_report_on_room_calls_no_drive_sound():
    crowded = dataclasses.replace(MACHINE, output_rollers=20)
    for machine, word in ((MACHINE, "room for all"), (crowded, "no room for all")):
        report = space.check(machine)
        assert repr(report).splitlines()[0] == f"{STORY!r}: as a reducer, {word} its parts"
        assert f"<caption>This reducer has {word} its parts</caption>" in report._repr_html_()
        assert "sound" not in repr(report) and "forbids" not in report._repr_html_()


@given(machines())
def test_walls_are_what_is_left_between_the_cuts(machine):
    cut, report = holes(machine), space.check(machine, least_wall=1.0)
    between = cut[0].distance(cut[1])
    assert max(report["wall between holes"].bound, 0) == pytest.approx(between, abs=ROUND)
    bore = min(hole.distance(circle(machine.bore_radius)) for hole in cut)
    assert max(report["wall to the bore"].bound, 0) == pytest.approx(bore, abs=ROUND)
    rows = {
        "holes apart": "between holes",
        "holes clear of the bore": "to the bore",
        "holes inside the roots": "to the roots",
    }
    for name, wall in rows.items():
        thickness = report[f"wall {wall}"].bound
        assert abs(thickness) < 1e-9 or report[name].ok == (thickness > 0)  # at 0 rounding decides


@given(machines())
def test_no_hole_is_nearer_to_the_outline_than_the_wall_to_the_roots_says(machine):
    edge = shapely.Polygon(outline.polygon(machine.disc_drive, 1e-4))
    wall = space.check(machine, least_wall=1.0)["wall to the roots"].bound
    found = min(edge.exterior.distance(hole) if edge.contains(hole) else -ROUND for hole in holes(machine))
    assert found >= min(wall, 0) - 2 * ROUND
    if wall > 0:
        assert found >= wall - 2 * ROUND


def test_a_hole_that_faces_a_root_has_just_that_wall():
    machine = Reducer(STORY, hole_phase=0.0)
    edge = shapely.LinearRing(outline.polygon(machine.disc_drive, 1e-4))
    wall = space.check(machine, least_wall=1.0)["wall to the roots"].bound
    assert edge.distance(holes(machine)[0]) == pytest.approx(wall, abs=2 * ROUND)


@given(st.integers(1, 3), st.floats(0, 6.3), st.floats(0.02, 0.5))
def test_output_rollers_touch_no_hole_at_any_crank_angle_and_the_clearance_is_all_there_is(discs, crank, clearance):
    machine = Reducer(STORY, discs=discs, hole_clearance=clearance, hole_phase=0.0)
    margin = space.check(machine)["rollers pass the holes"].margin
    assert margin == pytest.approx(clearance, abs=1e-12)  # rounding
    free = circle(machine.hole_radius, *motion.disc_poses(STORY, crank, discs).centre[0])
    for centre in motion.disc_poses(STORY, crank, discs).centre[1:]:  # of one output roller, which stands at the origin
        free = free.intersection(circle(machine.hole_radius, *centre))
    # the roller stands on its own circle: seen from it every hole's centre is the disc's
    assert free.exterior.distance(shapely.Point(0, 0)) - machine.output_roller_radius == pytest.approx(
        margin, abs=ROUND
    )


def test_what_two_discs_leave_free_is_no_wider_than_the_bound():
    both = circle(MACHINE.hole_radius, 1.4).intersection(circle(MACHINE.hole_radius, -1.4))
    widest = shapely.maximum_inscribed_circle(both, tolerance=1e-5).length
    assert space.free_radius(MACHINE.hole_radius, 1.4) == pytest.approx(widest, abs=ROUND)


def test_common_practice_holes_just_let_their_rollers_pass():
    # common practice, no source: 13 mm rollers, 1.5 mm eccentricity, holes of 16 mm
    assert space.free_radius(16 / 2, 1.5) == 13 / 2
    # the slip: the eccentricity added to the diameter leaves room for a roller of 11.5 mm only
    assert 2 * space.free_radius((13 + 1.5) / 2, 1.5) == 11.5


def test_rollers_without_clearance_jam():
    report = space.check(Reducer(STORY, hole_clearance=0.0, output_roller_radius=5.0))
    assert not report.sound
    assert [limit.name for limit in report if not limit.ok] == ["rollers pass the holes"]


@pytest.mark.parametrize(
    ("figures", "broken"),
    [
        ({"output_circle_radius": 30.0}, {"holes inside the roots"}),
        ({"output_circle_radius": 16.5}, {"holes clear of the bore"}),
        ({"output_rollers": 13}, {"holes apart"}),
        (
            {"eccentric_bearing": "688", "spacer_radius": 3.0, "shaft_radius": 2.7, "crank_bearing": "686"},
            {"shaft inside the eccentric"},
        ),
        ({"crank_bearing": "61808"}, {"crank bearing between the rollers"}),
        ({"pin_made": "sleeve on rod", "pin_rod_radius": 5.0}, {"rod inside the roller"}),
        ({"spacer_radius": 4.5}, {"spacer reaches the inner rings"}),
        ({"spacer_radius": 5.8}, {"spacer on inner rings only"}),
        ({"spacer_radius": 2.4}, {"spacer round the shaft", "spacer reaches the inner rings"}),
        ({"disc_gap": 0.5, "disc_thickness": 4.0}, {"bearings apart"}),
        ({"outline_clearance": 2.4, "output_circle_radius": 24.0}, {"outline moved in"}),
    ],
)  # fmt: skip
def test_each_bound_is_seen_and_named(figures, broken):
    report = space.check(dataclasses.replace(MACHINE, **figures))
    assert {limit.name for limit in report if not limit.ok} == broken
    assert not report.sound
    for name in broken:
        assert report[name].trouble in repr(report)
        assert report[name].remedy in repr(report)
        assert report[name].unit == "mm"


def test_one_disc_has_no_spacers_and_a_solid_pin_no_rod():
    names = {limit.name for limit in space.check(Reducer(STORY, discs=1, pin_made="solid"))}
    assert not names & {*space.ONLY_BETWEEN_DISCS, "rod inside the roller"}
    both = {limit.name for limit in space.check(MACHINE)}
    assert both - names == {*space.ONLY_BETWEEN_DISCS, "rod inside the roller"}


def test_every_row_has_its_sentences_and_every_sentence_its_row():
    assert [limit.name for limit in space.check(MACHINE, least_wall=1.0)] == list(space.SENTENCES)


def test_a_spacer_between_two_bearings_lies_on_both_inner_rings_and_on_nothing_else():
    bearing, e = MACHINE.eccentric_bearing, STORY.eccentricity
    spacer = circle(MACHINE.spacer_radius)
    for side in (e, -e):
        inner, eccentric = circle(bearing.shoulder_radius, side), circle(bearing.bore_diameter / 2, side)
        assert inner.contains(spacer)
        assert not eccentric.contains(spacer)


def test_walls_asked_for_advise_and_dont_decide():
    report = space.check(MACHINE, least_wall=3.5)
    assert report.sound
    assert [limit.name for limit in report if not limit.ok] == ["wall to the roots", "wall of the eccentric"]
    assert not any(limit.physical for limit in report if limit.name in WALLS)
    with pytest.raises(ValueError, match="least_wall is -1"):
        space.check(MACHINE, least_wall=-1)


@given(machines())
def test_arrays_and_single_machines_are_judged_alike(machine):
    plain = space.lengths(machine)
    many = space.Lengths(*(np.repeat(size, 3) for size in dataclasses.astuple(plain)))
    rest = [limit.ok for limit in space.check(machine) if limit.name in space.bounds(plain)]
    assert space.sound(many).tolist() == [all(rest)] * 3
    report = space.check(machine, least_wall=1.0)
    for name, (value, bound) in space.bounds(many).items():
        assert np.broadcast_to(value, 3)[2] == pytest.approx(report[name].value, rel=1e-13)
        assert np.broadcast_to(bound, 3)[2] == pytest.approx(report[name].bound, rel=1e-13)
    for name, wall in space.walls(many).items():
        assert np.broadcast_to(wall, 3)[2] == pytest.approx(report[name].bound, abs=1e-12)


@pytest.mark.parametrize("drive", [STORY, Drive(12, 40.0, 2.0, 3.0)], ids=["story", "deep lobes"])
def test_rollers_and_disc_stay_inside_the_housing_at_every_crank_angle(drive):
    t, crank = np.linspace(0, 2 * np.pi, 3000), np.linspace(0, 2 * np.pi, 181)
    path = np.hypot(*motion.disc_points(drive, crank, outline.points(drive, t)).T).max()
    farthest = max(drive.pin_circle_radius + drive.roller_radius, path)
    found = space.reach(drive.pin_circle_radius, drive.roller_radius, drive.eccentricity)
    assert found == pytest.approx(farthest, abs=1e-2)  # the tip is sampled to half a step of t and of crank
    assert limits.check(drive).sound


def test_the_storys_housing():
    assert space.outer_diameter(MACHINE) == pytest.approx(2 * (42 + 5 + 2.9))


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_bad_numbers_are_refused_by_name(bad):
    with pytest.raises(ValueError, match="hole_radius contains"):
        space.free_radius(bad, 1.4)
    with pytest.raises(ValueError, match="eccentricity contains"):
        space.reach(42.0, 5.0, bad)
    sizes = dataclasses.asdict(space.lengths(MACHINE)) | {"bore_radius": np.array([10.5, bad])}
    with pytest.raises(ValueError, match="bore_radius contains"):
        space.Lengths(**sizes)
