"""A reducer on the stage: every disc's lobes among the pins, its holes round the output rollers, its marks as made.

- Distances between shapes: Shapely, a general-purpose geometry library.
- Disc k of n is where disc 0 is k/n of a crank turn later, its holes where the common output rollers are: derived;
  positions are worked out here in complex numbers, from the Willis equation (ring held: -1/lobes of the crank's turn).
"""

import re

import numpy as np
import pytest
from shapely import Point, Polygon

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.view import reducer_scene
from cyclokit.view.pins import View
from tests.geometry.drives import STORY
from tests.view.drawn import ROUNDED, SVG, facts_of, move_of, pairs, parsed, part

MACHINES = {
    "story": Reducer(STORY),
    "five output rollers": Reducer(STORY, output_rollers=5),
    "three discs": Reducer(STORY, discs=3, output_rollers=4, hole_phase=0.0),
    "one disc": Reducer(STORY, discs=1, hole_phase=0.6),
    "twelve pins": Reducer(Drive(12, 40.0, 4.0, 1.5), output_rollers=7, hole_phase=0.1, output_roller_radius=3.0),
}
CRANKS = (0.0, 0.7, 2.9, 40.0, -3.3)  # rad
FINE = 0.002  # mm: holes have three decimals, turns six of a degree


@pytest.fixture(params=MACHINES)
def machine(request):
    return MACHINES[request.param]


def drawn(machine):
    return reducer_scene.turning(machine, View(show=tuple(reducer_scene.SENTENCES)))


def turn_of(group):
    """How far a group has turned what is in it [rad]."""
    turned = re.fullmatch(r"rotate\((-?[\d.]+)\)", group.get("transform", "rotate(0)"))
    return -np.radians(float(turned[1]))


def seen(root, disc, crank, points, within):
    """Complex points of a group in a disc's part, as they are seen at a crank angle [mm]."""
    moving = next(one for one in root.iter() if one.get("data-part") == disc)
    x, y, spin = move_of(moving).at(crank)
    return np.exp(1j * group_turn(root, disc)) * (x + 1j * y + np.exp(1j * (spin + within)) * points)


def group_turn(root, disc):
    """By how much the group round a disc's part is turned [rad]."""
    above = {child: parent for parent in root.iter() for child in parent}
    return turn_of(next(group for part, group in above.items() if part.get("data-part") == disc))


def inner_turn(path, root):
    """The turns of all groups between a path and the part that it is in [rad]."""
    above = {child: parent for parent in root.iter() for child in parent}
    turned, here = 0.0, above[path]
    while here.get("data-part") is None:
        turned += turn_of(here)
        here = above[here]
    return turned


def cuts(made, disc, crank):
    """Edge, output holes and bore of a disc as they are seen: the edge's corners, centres and radii [mm]."""
    root = parsed(made)
    moving = next(one for one in root.iter() if one.get("data-part") == disc)
    path = next(one for one in moving.iter(f"{SVG}path") if one.get("fill-rule"))
    edge, *circles = path.get("d").split("M")[1:]
    within = inner_turn(path, root)
    rounds = []
    for circle in circles:
        x, y, radius = map(float, re.match(r"(-?[\d.]+),(-?[\d.]+)a([\d.]+) ", circle).groups())
        rounds.append((x + radius - 1j * y, radius))
    centres = seen(root, disc, crank, np.array([centre for centre, _ in rounds]), within)
    return seen(root, disc, crank, pairs(edge) @ [1, 1j], within), centres, [radius for _, radius in rounds]


def rollers(made, crank):
    """Centres of the output rollers as they are seen, and their radius [mm]."""
    moving = part(made, "output")
    circles = moving.findall(f"{SVG}circle")
    at = np.array([float(one.get("cx")) - 1j * float(one.get("cy")) for one in circles])
    return at * np.exp(1j * move_of(moving).at(crank)[2]), {float(one.get("r")) for one in circles}


def test_output_rollers_turn_with_the_disc_and_begin_at_the_hole_phase(machine):
    made, drive = drawn(machine), machine.drive
    for crank in CRANKS:
        found, radii = rollers(made, crank)
        first = 2 * np.pi * machine.hole_phase / drive.lobes - crank / drive.lobes
        count = machine.output_rollers
        expected = machine.output_circle_radius * np.exp(1j * (first + 2 * np.pi * np.arange(count) / count))
        assert np.abs(found - expected).max() < FINE
        assert radii == {machine.output_roller_radius}


def test_every_disc_has_its_holes_round_the_output_rollers_and_its_bore_on_its_eccentric(machine):
    made, e = drawn(machine), machine.drive.eccentricity
    for crank in CRANKS:
        at, _ = rollers(made, crank)
        for k, disc in enumerate(reducer_scene.DISCS[: machine.discs]):
            centre = e * np.exp(1j * (crank + 2 * np.pi * k / machine.discs))
            _, centres, radii = cuts(made, disc, crank)
            assert np.abs(centres[:-1] - (at + centre)).max() < FINE
            assert abs(centres[-1] - centre) < FINE
            assert radii[:-1] == pytest.approx([machine.hole_radius] * machine.output_rollers, abs=1e-3)
            assert radii[-1] == pytest.approx(machine.bore_radius, abs=1e-3)


def test_every_output_roller_is_inside_every_discs_hole_at_every_crank_angle(machine):
    made = drawn(machine)
    for crank in np.linspace(0, 2 * np.pi * machine.drive.ratio, 60):
        at, _ = rollers(made, crank)
        for disc in reducer_scene.DISCS[: machine.discs]:
            _, centres, radii = cuts(made, disc, crank)
            room = np.array(radii[:-1]) - machine.output_roller_radius - np.abs(centres[:-1] - at)
            assert room == pytest.approx(machine.hole_clearance, abs=2 * FINE)


def test_every_disc_lies_among_the_pins_with_its_clearance(machine):
    made, drive = drawn(machine), machine.drive
    pins = drive.pin_circle_radius * np.exp(2j * np.pi * np.arange(drive.pins) / drive.pins)
    within = drive.pin_circle_radius / 1000 + 2 * np.sqrt(2) * ROUNDED  # mm, as test_scene has it
    for crank in CRANKS:
        for disc in reducer_scene.DISCS[: machine.discs]:
            edge, _, _ = cuts(made, disc, crank)
            shape = Polygon(np.column_stack([edge.real, edge.imag]))
            for pin in pins:
                gap = shape.exterior.distance(Point(pin.real, pin.imag)) - drive.roller_radius
                assert gap == pytest.approx(machine.outline_clearance, abs=within)
                assert not shape.contains(Point(pin.real, pin.imag))


# witness marks


def marks(made, disc):
    """A disc's witness marks in its own part: their direction's middle [rad], how many, and whether they are open."""
    root = parsed(made)
    moving = next(one for one in root.iter() if one.get("data-part") == disc)
    group = next(one for one in moving.iter() if one.get("data-layer") == "witness marks")
    circles = list(group.iter(f"{SVG}circle"))
    at = np.array([float(one.get("cx")) - 1j * float(one.get("cy")) for one in circles])
    at = at * np.exp(1j * inner_turn(circles[0], root))
    return np.angle(at.sum()), len(circles), {one.get("fill") == "none" for one in circles}


def test_discs_with_the_same_marks_are_the_same_part_laid_on_one_another_by_their_marks(machine):
    made = drawn(machine)
    first = {}
    for disc in reducer_scene.DISCS[: machine.discs]:
        edge, centres, _ = cuts(made, disc, 0.0)
        middle = centres[-1]
        way, count, opened = marks(made, disc)
        way += group_turn(parsed(made), disc)
        assert len(opened) == 1
        # everything is laid so that the marks are on +x; a part whose marks are open is turned over first
        laid = [(points - middle) * np.exp(-1j * way) for points in (edge, centres[:-1])]
        laid = [points.conj() if opened == {True} else points for points in laid]
        assert np.abs(np.angle(laid[1])).min() < 1e-4  # a hole's middle lies under the marks
        if count not in first:
            assert opened == {False}
            first[count] = laid
            continue
        shapes = [Polygon(np.column_stack([points.real, points.imag])) for points in (laid[0], first[count][0])]
        assert shapes[0].hausdorff_distance(shapes[1]) < machine.drive.pin_circle_radius / 1000 + 2 * ROUNDED
        apart = np.abs(laid[1][:, None] - first[count][1])
        assert apart.min(axis=1).max() < FINE
    # four holes on roots, three discs; or seven, a tenth of a lobe pitch on: no way of turning brings both in place
    assert len(first) == (2 if machine in (MACHINES["three discs"], MACHINES["twelve pins"]) else 1)


def test_one_dot_marks_output_roller_0():
    made = drawn(MACHINES["story"])
    group = next(one for one in part(made, "output") if one.get("data-layer") == "witness marks")
    dots = list(group.iter(f"{SVG}circle"))
    roller = part(made, "output").find(f"{SVG}circle")
    assert [(dot.get("cx"), dot.get("cy")) for dot in dots] == [(roller.get("cx"), roller.get("cy"))]


# the picture as a whole


def test_the_slider_spans_one_turn_of_the_output(machine):
    made = drawn(machine)
    spin = move_of(part(made, "output")).spin
    assert 2 * np.pi * facts_of(made)["turns"] * spin == pytest.approx(-2 * np.pi, abs=1e-6)  # rad: nine decimals


def test_the_words_count_discs_lobes_and_holes(machine):
    words = drawn(machine).words
    assert f"with {machine.drive.lobes} lobes and {machine.output_rollers} output holes" in words
    assert ("half a crank turn ahead" in words) == (machine.discs == 2)
    assert ("a third of a crank turn ahead" in words) == (machine.discs == 3)


def test_no_number_of_the_picture_is_a_zero_with_a_minus_sign(machine):
    assert not re.search(r"-0(?:\.0*)?(?![\d.])", drawn(machine).svg)


# contacts


@pytest.mark.parametrize(("discs", "touched"), [(1, 0), (2, 0), (2, 1), (3, 2)])
def test_normals_of_any_disc_point_to_its_own_pitch_point(discs, touched):
    made = reducer_scene.turning(Reducer(STORY, discs=discs), View(show=("contacts",)), touched)
    facts = facts_of(made)
    for crank in (0.0, 0.7, 2.9):
        # the disc's centre, and the pitch point on the line from the ring's centre through it
        way = np.exp(1j * (crank + 2 * np.pi * touched / discs))
        for k in range(STORY.pins):
            table = facts["normal"]
            at = round((crank / (2 * np.pi) - k / STORY.pins) * len(table)) % len(table)
            out = np.exp(2j * np.pi * k / STORY.pins)
            pin = STORY.pin_circle_radius * out
            to_pitch = STORY.eccentricity * STORY.pins * way - pin
            seen_way = -out * np.exp(1j * np.radians(table[at]))
            # rad: the table is read at the nearest half degree of the crank, where normals turn up to 3 times as fast
            assert abs(seen_way - to_pitch / abs(to_pitch)) < 3 * np.radians(0.25) + 1e-3


def test_without_a_disc_chosen_there_are_no_contacts():
    made = reducer_scene.turning(Reducer(STORY), View())
    assert not {"contacts", "normals", "pushing", "forces"} & set(made.layers)
    shown = reducer_scene.turning(Reducer(STORY), View(), 1, np.array([0.0, 2.0, 1.0]))
    assert {"contacts", "normals", "pushing", "forces"} <= set(shown.layers)
    assert facts_of(shown)["force"] == [0.0, 1.0, 0.5]


def test_pins_that_push_the_second_disc_stand_on_the_other_side_of_the_line_of_centres():
    first, second = (facts_of(reducer_scene.turning(Reducer(STORY), View(), disc))["push"] for disc in (0, 1))
    swapped = second.translate(str.maketrans("+-", "-+"))
    assert sum(one == other for one, other in zip(first, swapped, strict=True)) >= len(first) - 2


def test_a_disc_that_is_not_there_and_forces_on_no_disc_are_refused():
    with pytest.raises(ValueError, match="touched is 2"):
        reducer_scene.turning(Reducer(STORY), View(), 2)
    with pytest.raises(ValueError, match="touched is None, but forces"):
        reducer_scene.turning(Reducer(STORY), View(), None, np.array([1.0]))
