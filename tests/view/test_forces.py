"""Arrows of forces, read back from the picture and held against the forces themselves.

- Equilibrium: the arrows of one disc, head to tail, close (statics of a plane body, any textbook).
- The page's tables are tried in a second way: looked up here as the page does, against `sharing.ideal` at that angle.
"""

import math
import re

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from cyclokit.view import drive_parts, forces, reducer_scene, stage
from cyclokit.view.pins import View
from tests.geometry.drives import STORY
from tests.view.drawn import facts_of, move_of, parsed

MACHINES = {
    "story": Reducer(STORY),
    "three discs": Reducer(STORY, discs=3, output_rollers=4, hole_phase=0.0),
    "one disc": Reducer(STORY, discs=1, hole_phase=0.6),
    "odd numbers": Reducer(Drive(12, 40.0, 4.0, 1.5), output_rollers=3, hole_phase=0.1, output_roller_radius=3.0),
}
DRAWN = 0.002  # mm: places have three decimals, lengths too
TURNED = 1e-4  # rad: angles have four decimals of a degree


@pytest.fixture(params=MACHINES)
def machine(request):
    return MACHINES[request.param]


def transform(text):
    """The complex turn and shift that an SVG transform makes, y upwards."""
    turn, shift = 1 + 0j, 0j
    for kind, inside in re.findall(r"(\w+)\(([^)]*)\)", text or ""):
        numbers = [float(each) for each in re.split(r"[ ,]+", inside.strip())]
        if kind == "rotate":
            turn *= np.exp(-1j * math.radians(numbers[0]))
        else:
            shift += turn * (numbers[0] - 1j * (numbers[1] if len(numbers) > 1 else 0.0))
    return turn, shift


def length_of(path):
    return float(re.match(r"M0 0h(-?[\d.]+)", path.get("d"))[1])


def arrows(made, disc):
    """Where each arrow of a disc begins and what it is as a vector, complex, by its name [mm]."""
    root = parsed(made)
    above = {child: parent for parent in root.iter() for child in parent}
    group = next(one for one in root.iter() if one.get("data-layer") == forces.NAMES[disc])
    found = {}
    for path in group.iter():
        if path.get("data-force"):
            turn, shift, here = 1 + 0j, 0j, path
            while here is not root:
                outer_turn, outer_shift = transform(here.get("transform"))
                turn, shift = outer_turn * turn, outer_shift + outer_turn * shift
                here = above[here]
            found[path.get("data-force")] = shift, turn * length_of(path)
    return found


def scale_of(made):
    """Newtons for a mm of an arrow, as a reader with a ruler has it."""
    scale = next(one for one in parsed(made).iter() if one.get("data-force") == "scale")
    return float(scale.get("data-newton")) / length_of(scale)


def expected(shared, disc):
    """Point and force of everything that pushes on a disc, by its name."""
    named = {}
    for name, force, point, way in (
        ("pin", shared.pin_force, shared.pin_point, shared.pin_direction),
        ("output", shared.output_force, shared.output_point, shared.output_direction),
    ):
        for k, size in enumerate(force[0, disc]):
            named[f"{name} {k}"] = point[0, disc, k] @ [1, 1j], size * (way[0, disc, k] @ [1, 1j])
    centre = shared.reducer.drive.eccentricity * np.exp(
        1j * (shared.crank[0] + 2 * np.pi * disc / shared.reducer.discs)
    )
    named["bearing"] = centre, shared.bearing_force[0, disc] @ [1, 1j]
    return named


def held_against(made, shared):
    """Every arrow of every disc, against the forces."""
    newton = scale_of(made)
    for disc in range(shared.reducer.discs):
        right, found = expected(shared, disc), arrows(made, disc)
        assert found.keys() == right.keys()
        largest = max(abs(force) for _, force in right.values())
        for name, (point, force) in right.items():
            at, arrow = found[name]
            if abs(force) > 0:
                assert abs(at - point) < 2 * DRAWN, name
            # two lengths, arrow's and scale's, each to half a thousandth of a mm
            assert abs(newton * arrow - force) < newton * DRAWN + largest * TURNED, name


@pytest.mark.parametrize("torque", [2000.0, -350.0])
def test_every_arrow_is_the_force_in_its_place_and_proportion(machine, torque):
    for crank in (0.0, 0.7, -3.3, 40.0):
        made = stage.loaded_reducer(machine, torque, crank=crank).scene
        held_against(made, sharing.ideal(machine, torque, [crank]))


def test_gaps_and_stiffness_of_ones_own_are_drawn_as_they_were_shared():
    rng = np.random.default_rng(1)
    machine = MACHINES["story"]
    shared = sharing.as_made(
        machine, 2000.0, [0.4], rng.uniform(0, 0.05, (1, 2, 20)), 0.01, pin_stiffness=800.0, output_stiffness=2000.0
    )
    drawn = forces.standing(shared, forces.longest(machine, 4000.0), 1)
    made = reducer_scene.turning(machine, View(0.4, show=forces.NAMES[:2]), loads=drawn)
    held_against(made, shared)
    pins = [sum(abs(arrow) > 0 for name, (_, arrow) in arrows(made, d).items() if "pin" in name) for d in (0, 1)]
    assert pins == shared.loaded_pins[0].tolist()
    assert f"{pins[1]} of 20 pins loaded" in made.svg


def test_the_arrows_of_a_disc_put_head_to_tail_close(machine):
    made = stage.loaded_reducer(machine, 2000.0, crank=1.1).scene
    for disc in range(machine.discs):
        found = arrows(made, disc)
        assert abs(sum(arrow for _, arrow in found.values())) < 0.01 * abs(found["bearing"][1])


def test_no_arrow_is_longer_than_it_may_be_and_the_scale_is_round(machine):
    unit = drive_parts.unit_of(machine.drive)
    for crank in np.linspace(0, 30, 13):
        made = stage.loaded_reducer(machine, 137.0, crank=crank).scene
        found = [abs(arrow) for disc in range(machine.discs) for _, arrow in arrows(made, disc).values()]
        assert max(found) < forces.LONGEST * unit * 1.001  # the greatest is looked for at steps of the crank
        scale = next(one for one in parsed(made).iter() if one.get("data-force") == "scale")
        assert scale.get("data-newton").strip("0.")[0] in "125"
        assert 0.4 * forces.SCALE * unit <= length_of(scale) <= forces.SCALE * unit + DRAWN


def on_round(table, share):
    """As the page looks a value up."""
    at = (share % 1) * len(table)
    before = int(at) % len(table)
    return table[before] + (at - int(at)) * (table[(before + 1) % len(table)] - table[before])


def test_the_tables_give_all_forces_at_any_crank_angle(machine):
    made = stage.loaded_reducer(machine, 2000.0).scene
    told, newton = facts_of(made)["forces"], scale_of(made)
    drive, discs = machine.drive, machine.discs
    count, first, rate = told["rollers"]
    rng = np.random.default_rng(2)
    for crank in rng.uniform(0, 2 * np.pi * drive.lobes, 60):
        shared, degrees = sharing.ideal(machine, 2000.0, [crank]), math.degrees(crank)
        near = 0.012 * max(shared.peak, shared.output_force.max())  # straight lines between the tables' steps
        for disc in range(discs):
            share = on_round(told["share"][disc], degrees / told["period"])
            at = [(degrees + 360 * disc / discs) / 360 - k / drive.pins for k in range(drive.pins)]
            pins = np.array([share * on_round(told["pin"], each) for each in at])
            assert newton * pins == pytest.approx(shared.pin_force[0, disc], abs=near)
            assert (pins > 1e-6).sum() == shared.loaded_pins[0, disc]
            at = [(first - degrees * rate) / 360 + j / count - disc / discs for j in range(count)]
            output = np.array([share * on_round(told["output"], each) for each in at])
            assert newton * output == pytest.approx(shared.output_force[0, disc], abs=near)
            turned = np.exp(1j * (crank + 2 * np.pi * disc / discs))
            bearing = [on_round(table, degrees / told["period"]) for table in told["bearing"][disc]] @ np.array([1, 1j])
            size = np.linalg.norm(shared.bearing_force[0, disc])
            assert abs(newton * bearing * turned - shared.bearing_force[0, disc] @ [1, 1j]) < 0.012 * size


def test_rollers_arrows_are_carried_along_by_their_parts(machine):
    made, crank = stage.loaded_reducer(machine, 2000.0, crank=0.3).scene, 5.1
    root = parsed(made)
    above = {child: parent for parent in root.iter() for child in parent}
    shared = sharing.ideal(machine, 2000.0, [crank])
    for disc in range(machine.discs):
        group = next(one for one in root.iter() if one.get("data-layer") == forces.NAMES[disc])
        for j in range(machine.output_rollers):
            path = next(one for one in group.iter() if one.get("data-force") == f"output {j}")
            x, y, spin = move_of(above[path]).at(crank)
            turn, shift = transform(path.get("transform"))
            outer, _ = transform(above[above[path]].get("transform"))
            point = outer * (x + 1j * y + np.exp(1j * spin) * shift)
            assert abs(point - shared.output_point[0, disc, j] @ [1, 1j]) < DRAWN
            way = outer * np.exp(1j * spin) * turn
            assert abs(way - shared.output_direction[0, disc, j] @ [1, 1j]) < TURNED


def test_the_stored_stage_stays_small():
    assert len(stage.loaded_reducer(MACHINES["story"], 2000.0).page()) < 120_000
    large = Reducer(Drive(100, 100.0, 2.0, 0.5), discs=3)
    tables = len(str(forces.moving(large, 2000.0, 0.0).facts))
    assert tables < 120_000


def test_what_cannot_be_drawn_is_refused():
    machine = MACHINES["story"]
    with pytest.raises(ValueError, match="torque is 0"):
        stage.loaded_reducer(machine, 0.0)
    with pytest.raises(ValueError, match="on "):
        stage.loaded_reducer(machine, 10.0, on=2)
    with pytest.raises(ValueError, match="have one"):
        forces.standing(sharing.ideal(machine, 10.0, [0.0, 1.0]), 5.0)


# in the page


def in_page(page, place):
    """Length of every arrow [mm] as the page has it, where it begins and its direction on the screen, by its name."""
    return page.locator(f'[data-layer="{forces.NAMES[place]}"]').evaluate(
        """(group) => {
            const world = document.querySelector("[data-world]").getScreenCTM().inverse();
            const told = (one) => { const w = world.multiply(one.getScreenCTM());
                return [Number(/h([\\d.]+)/.exec(one.getAttribute("d"))[1]), w.e, w.f, w.a, w.b]; };
            const arrows = [...group.querySelectorAll("path[data-force]")];
            return Object.fromEntries(arrows.map((one) => [one.dataset.force, told(one)])); }"""
    )


@pytest.mark.parametrize("on", [0, 1])
def test_as_the_crank_moves_every_arrow_stays_the_force(open_page, on):
    machine = MACHINES["story"]
    made = stage.loaded_reducer(machine, 2000.0, on=on)
    page = open_page(made.page(), reduced_motion="reduce")
    newton, crank = scale_of(made.scene), 0
    for button, by in (("+1 pin", 18), ("+1°", 1), ("+1 turn", 360), ("\N{MINUS SIGN}1°", -1), ("+1°", 1), ("+1°", 1)):
        page.get_by_role("button", name=button, exact=True).click()
        crank += by
        shared = sharing.ideal(machine, 2000.0, [math.radians(crank)])
        largest = np.linalg.norm(shared.bearing_force[0, on])
        right, found = expected(shared, on), in_page(page, on)
        assert found.keys() == right.keys()
        for name, (point, force) in right.items():
            length, x, y, across, down = found[name]
            assert newton * length == pytest.approx(abs(force), abs=0.005 * largest), (crank, name)
            if abs(force) > 0.01 * largest:
                assert abs(x - 1j * y - point) < 0.05, (crank, name)  # mm: directions between steps of half a degree
                assert abs((across - 1j * down) - force / abs(force)) < 0.01, (crank, name)
        told = page.locator("[data-loaded]").text_content()
        assert told == f"{shared.loaded_pins[0, on]} of 20 pins loaded"
    assert page.complaints == page.asked == []


def test_either_disc_is_chosen_in_the_page(open_page, serious):
    page = open_page(stage.loaded_reducer(MACHINES["story"], 2000.0).page(), reduced_motion="reduce")
    page.locator("summary").click()
    page.get_by_label("forces on second disc").check()
    assert re.fullmatch(r"\d+ and \d+ of 20 pins loaded", page.locator("[data-loaded]").text_content())
    page.get_by_label("forces on disc").uncheck()
    assert re.fullmatch(r"\d+ of 20 pins loaded", page.locator("[data-loaded]").text_content())
    page.get_by_label("forces on second disc").uncheck()
    assert not page.locator("[data-loaded]").is_visible()
    assert not serious(page, ".cyclokit-stage")


@pytest.mark.parametrize(("background", "words"), [("white", "rgb(31, 31, 31)"), ("#111", "rgb(240, 240, 240)")])
def test_words_and_arrows_follow_the_page_and_can_be_read_where_it_is_narrow(open_page, background, words):
    page = open_page(
        stage.loaded_reducer(MACHINES["story"], 2000.0).page(),
        viewport={"width": 420, "height": 900},
        reduced_motion="reduce",
    )
    page.evaluate("colour => { document.body.style.background = colour; }", background)
    page.wait_for_function(
        "words => getComputedStyle(document.querySelector('[data-scale]')).fill === words", arg=words
    )
    heights = page.locator("[data-forces-key] text").evaluate_all(
        "all => all.map((one) => parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a)"
    )
    assert min(heights) >= 11  # pixels: common practice, no source
    assert page.evaluate("document.documentElement.scrollWidth") <= 420
