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
from cyclokit.machine import defaults, space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.space_words import SENTENCES
from cyclokit.machine.stock import Bearing
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)
ROUND = (
    1e-4  # mm: a circle's polygon of 4 x 512 corners lies 2.4e-5 of 20 mm inside it, and two circles face each other
)
WALLS = ("wall between holes", "wall to the roots", "wall to the bore", "wall of the eccentric")


def circle(radius, x=0.0, y=0.0):
    return shapely.Point(x, y).buffer(radius, quad_segs=512)


def middles(machine):
    """The middles of the disc's output holes as points, in the disc's own frame."""
    turn = (
        2
        * np.pi
        * (machine.hole_phase / machine.drive.lobes + np.arange(machine.output_rollers) / machine.output_rollers)
    )
    x, y = machine.output_circle_radius * np.cos(turn), machine.output_circle_radius * np.sin(turn)
    return [shapely.Point(centre) for centre in zip(x, y, strict=True)]


def holes(machine):
    """The holes themselves, as polygons."""
    return [circle(machine.hole_radius, middle.x, middle.y) for middle in middles(machine)]


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
    # to a circle it is its radius less than to its middle, which GEOS finds much faster than between two polygons
    between = cut[0].distance(middles(machine)[1]) - machine.hole_radius
    assert max(report["wall between holes"].bound, 0) == pytest.approx(max(between, 0), abs=ROUND)
    bore = min(hole.distance(shapely.Point(0, 0)) for hole in cut) - machine.bore_radius
    assert max(report["wall to the bore"].bound, 0) == pytest.approx(max(bore, 0), abs=ROUND)
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
    found = min(
        edge.exterior.distance(middle) - machine.hole_radius if edge.contains(middle) else -ROUND
        for middle in middles(machine)
    )
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


SLEEVES = {"pin_made": "sleeve on rod", "pin_rod_radius": 2.5}
BEARINGS_ON_RODS = {"pin_made": "bearing on rod", "pin_bearing": "623", "pin_rod_radius": 1.5}
CLOSE = Drive(20, 42.0, 6.48, 0.5)  # rollers 0.18 mm apart
# row -> figures with which it is kept, and what makes it fail; a drive in place of figures is another drive
BROKEN = {
    "loop": ({}, Drive(20, 42.0, 5.0, 2.2)),
    "undercut": ({}, Drive(20, 42.0, 6.4, 1.9)),
    "rollers apart": ({}, Drive(20, 42.0, 6.6, 0.5)),
    "lobe height": ({}, Drive(20, 42.0, 5.0, 0.19)),
    "outline moved in": ({}, {"outline_clearance": 2.4}),
    "holes apart": ({}, {"output_rollers": 13}),
    "holes inside the roots": ({}, {"output_circle_radius": 30.0}),
    "holes clear of the bore": ({}, {"output_circle_radius": 16.5}),
    "rollers pass the holes": ({}, {"hole_clearance": 0.0}),
    "shaft inside the eccentric": (
        {"eccentric_bearing": "688", "spacer_radius": 3.0},
        {"shaft_radius": 2.7, "crank_bearing": "686"},
    ),
    "crank bearing between the rollers": ({}, {"crank_bearing": "61808"}),
    "output rods inside the ring pins": (
        {"output_rod_radius": 5.0, "output_circle_radius": 35.1},
        {"output_circle_radius": 35.3},
    ),
    "rod inside the roller": (SLEEVES, {"pin_rod_radius": 5.0}),
    "discs on a sleeve": (SLEEVES, {"discs": 3}),
    "bearing as wide as the roller": (BEARINGS_ON_RODS, {"pin_bearing": "624", "pin_rod_radius": 2.0}),
    "rod in the ring bearing": (BEARINGS_ON_RODS, {"pin_rod_radius": 1.51}),
    "rod fills the ring bearing": (BEARINGS_ON_RODS, {"pin_rod_radius": 1.39}),
    "output rod inside its roller": ({"output_rod_radius": 5.0}, {"output_rod_radius": 5.1}),
    "spacer round the shaft": ({}, {"spacer_radius": 2.4}),
    "spacer reaches the inner rings": ({}, {"spacer_radius": 4.5}),
    "spacer on inner rings only": ({}, {"spacer_radius": 5.8}),
    "bearings apart": ({}, {"disc_gap": 0.5, "disc_thickness": 4.0}),
    "side play inside the gap": ({"axial_clearance": 0.9}, {"axial_clearance": 1.0}),
    "ring bearings apart": (
        {"pin_bearing": Bearing("wide", 3.0, 10.0, 5.9)},
        {"pin_bearing": Bearing("wider", 3.0, 10.0, 6.0)},
    ),
    "middle eccentric on the shaft": (
        {"discs": 3, "shaft_radius": 2.0, "eccentric_bearing": "61800", "spacer_radius": 4.0},
        {"shaft_radius": 2.5},
    ),
    "disc thick enough for its bearing": ({"disc_thickness": 2.5, "disc_gap": 4.0}, {"disc_thickness": 2.4}),
    "disc thin enough for its bearing": ({"disc_thickness": 10.0}, {"disc_thickness": 10.1}),
    "housing outside the rollers": ({"housing_wall": 0.4}, {"housing_wall": 0.3}),
    "gap between rollers": (SLEEVES | {"running_gap": 0.2}, CLOSE),
    "sharpest edge": ({}, {"outline_clearance": 2.0}),
    "wall between holes": ({"output_rollers": 10}, {"output_rollers": 12}),
    "wall to the roots": ({}, {"output_circle_radius": 28.0}),
    "wall to the bore": ({}, {"output_circle_radius": 18.0}),
    "wall of the eccentric": ({"eccentric_bearing": "61800", "shaft_radius": 2.4}, {"shaft_radius": 2.5}),
    "wall between pin seats": (SLEEVES, {"pin_made": "solid", "pin_rod_radius": 6.0}),
    "wall between output rods": ({"output_rollers": 20}, {"output_rod_radius": 4.0}),
    "wall to the crank bearing's seat": ({}, {"output_circle_radius": 10.6}),
    "wall outside the output rods": ({"output_circle_radius": 36.0}, {"output_circle_radius": 37.0}),
    "wall of the housing": ({"housing_wall": 1.5}, {"housing_wall": 1.4}),
    "wall of the sleeve": (SLEEVES, {"pin_rod_radius": 3.9}),
    "wall of the output rollers": ({"output_rod_radius": 3.8}, {"output_rod_radius": 3.9}),
}  # fmt: skip


def changed(machine, change):
    if isinstance(change, Drive):
        return dataclasses.replace(machine, drive=change)
    if change.get("pin_made") == "solid":  # its rod is the roller
        drive = dataclasses.replace(machine.drive, roller_radius=change["pin_rod_radius"])
        return dataclasses.replace(machine, drive=drive, **change)
    return dataclasses.replace(machine, **change)


@pytest.mark.parametrize("name", BROKEN)
def test_each_row_comes_out_either_way_and_says_what_to_do(name):
    figures, change = BROKEN[name]
    kept = dataclasses.replace(MACHINE, **figures)
    broken = changed(kept, change)
    assert space.check(kept)[name].ok
    report = space.check(broken)
    limit = report[name]
    assert not limit.ok
    assert limit.trouble in repr(report) and limit.remedy in repr(report)
    assert limit.meaning in report._repr_html_().replace("&#x27;", "'")
    if limit.physical:
        assert not report.sound


@pytest.mark.parametrize(
    ("name", "failing"),
    [
        ("holes apart", {"holes apart"}),
        ("holes inside the roots", {"holes inside the roots"}),
        ("holes clear of the bore", {"holes clear of the bore"}),
        ("rollers pass the holes", {"rollers pass the holes"}),
        ("shaft inside the eccentric", {"shaft inside the eccentric"}),
        ("crank bearing between the rollers", {"crank bearing between the rollers"}),
        ("rod inside the roller", {"rod inside the roller"}),
        ("bearing as wide as the roller", {"bearing as wide as the roller"}),
        ("rod in the ring bearing", {"rod in the ring bearing"}),
        ("rod fills the ring bearing", {"rod fills the ring bearing"}),
        ("output rod inside its roller", {"output rod inside its roller"}),
        ("spacer round the shaft", {"spacer round the shaft", "spacer reaches the inner rings"}),
        ("spacer reaches the inner rings", {"spacer reaches the inner rings"}),
        ("spacer on inner rings only", {"spacer on inner rings only"}),
        ("bearings apart", {"bearings apart"}),
        ("side play inside the gap", {"side play inside the gap"}),
        ("ring bearings apart", {"ring bearings apart"}),
        ("disc thick enough for its bearing", {"disc thick enough for its bearing"}),
        ("disc thin enough for its bearing", {"disc thin enough for its bearing"}),
        ("housing outside the rollers", {"housing outside the rollers"}),
        ("sharpest edge", set()),
        ("discs on a sleeve", set()),
        ("wall to the roots", set()),
        ("wall of the housing", set()),
        ("wall of the sleeve", set()),
    ],
)
def test_one_row_alone_decides_if_it_is_physical_and_never_if_it_is_advice(name, failing):
    report = space.check(changed(dataclasses.replace(MACHINE, **BROKEN[name][0]), BROKEN[name][1]))
    assert {limit.name for limit in report if limit.physical and not limit.ok} == failing
    assert not report[name].ok
    assert report.sound == (not failing)


def test_rows_are_there_where_their_parts_are():
    alone = {limit.name for limit in space.check(Reducer(STORY, discs=1, pin_made="solid"))}
    both = {limit.name for limit in space.check(MACHINE)}
    three = {limit.name for limit in space.check(Reducer(STORY, discs=3, pin_made="sleeve on rod"))}
    between = {
        "spacer round the shaft", "spacer reaches the inner rings", "spacer on inner rings only", "bearings apart",
        "side play inside the gap",
    }  # fmt: skip
    bearings = {"bearing as wide as the roller", "rod in the ring bearing", "rod fills the ring bearing"}
    assert both - alone == between | bearings | {
        "ring bearings apart", "gap between rollers", "wall of the output rollers",
    }  # fmt: skip
    assert three - both == {
        "rod inside the roller", "discs on a sleeve", "wall of the sleeve", "middle eccentric on the shaft",
    }  # fmt: skip
    one_end = {limit.name for limit in space.check(Reducer(STORY, pin_support="one end"))}
    assert both - one_end == set(space.BOTH_ENDS_ONLY)
    # with room between the discs for a whole bearing the middle one steps aside
    wide = space.check(Reducer(STORY, discs=3, disc_gap=5.0))
    assert "middle eccentric on the shaft" not in {limit.name for limit in wide}


def test_every_row_has_its_sentences_and_every_sentence_its_row():
    shape = {limit.name for limit in limits.check(STORY, resolution=0.4)}
    assert set(BROKEN) == shape | set(SENTENCES)
    assert not shape & set(SENTENCES)


def test_a_bearing_of_ten_millimetres_just_takes_five_of_shaft_and_a_wall_of_1_2():
    # ISO 15: 61800 has a bore of 10; 5 - 2.5 - 1.3 is 1.2, but for rounding
    machine = Reducer(dataclasses.replace(STORY, eccentricity=1.3), eccentric_bearing="61800", shaft_radius=2.5)
    row = space.check(machine, least_wall=1.2)["wall of the eccentric"]
    assert row.ok and row.margin == pytest.approx(0, abs=1e-12)
    assert not space.check(machine, least_wall=1.2001)["wall of the eccentric"].ok
    assert defaults.eccentric_bearing(2.5, 1.3, 1.2).name == "61800"


def test_a_drive_in_place_of_a_reducer_is_refused_in_a_sentence():
    with pytest.raises(TypeError, match=r"reducer must be a Reducer, not a Drive: make one with Reducer\(drive\)"):
        space.check(STORY)


def test_walls_asked_for_advise_and_dont_decide():
    report = space.check(MACHINE, least_wall=3.5)
    assert report.sound
    assert [limit.name for limit in report if not limit.ok] == [
        "wall to the roots", "wall of the eccentric", "wall of the housing",
    ]  # fmt: skip
    assert not any(limit.physical for limit in report if "wall" in limit.name)
    assert [limit.ok for limit in space.check(MACHINE)] == [
        limit.ok for limit in space.check(MACHINE, least_wall=MACHINE.least_wall)
    ]
    with pytest.raises(ValueError, match="least_wall is -1"):
        space.check(MACHINE, least_wall=-1)


@given(machines())
def test_arrays_and_single_machines_are_judged_alike(machine):
    plain = space.lengths(machine)
    many = space.Lengths(**{name: np.repeat(size, 3) for name, size in dataclasses.asdict(plain).items()})
    rest = [limit.ok for limit in space.check(machine) if limit.name in space.bounds(plain)]
    assert space.sound(many).tolist() == [all(rest)] * 3
    report = space.check(machine, least_wall=1.0)
    for name, (value, bound) in space.bounds(many).items():
        assert np.broadcast_to(value, 3)[2] == pytest.approx(report[name].value, rel=1e-13)
        assert np.broadcast_to(bound, 3)[2] == pytest.approx(report[name].bound, rel=1e-13)
    for name, wall in space.walls(many).items():
        assert np.broadcast_to(wall, 3)[2] == pytest.approx(report[name].bound, abs=1e-12)
    gap = limits.wall_between_rollers(many.pins, many.pin_circle_radius, many.roller_radius)
    assert gap[2] == pytest.approx(report["gap between rollers"].bound, abs=1e-12)
    moved_in, least = space.bounds(many)["outline moved in"]
    assert (least - moved_in)[2] == pytest.approx(report["sharpest edge"].bound, abs=1e-12)


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
