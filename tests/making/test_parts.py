"""The parts list.

Sources
-------
Bearings: ISO 15. Screws: ISO 4762. Masses: trimesh's volumes.
"""

import csv
import html as html_of
import io
import math

import pytest

from cyclokit import Drive
from cyclokit.machine.hardware import SCREWS
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS, Bearing
from cyclokit.making import mesh, order, parts, solids
from cyclokit.making.loops import Circle

STORY = Drive(20, 42.0, 5.0, 1.4)
MACHINE = Reducer(STORY)
LIST = parts.parts_list(MACHINE)
ITEMS = {item.part: item for item in LIST.items}


def test_the_list_counts_every_part_once():
    placed = solids.machine(MACHINE, lever=True)
    threes = sum(2 * item.count for item in LIST.items if "ISO 15" in item.size)  # a bearing is drawn as three
    listed = sum(item.count for item in LIST.items if item.part != "foot screw")  # the bench's, not drawn
    assert listed + threes + 1 == len(placed)  # and the motor as two
    counts = {name: ITEMS[name].count for name in ("disc", "ring rod", "ring roller", "output roller", "nut")}
    assert counts == {"disc": 2, "ring rod": 20, "ring roller": 40, "output roller": 12, "nut": 4}
    assert ITEMS["output bearing"].size == "61804, 20 x 32 x 7, ISO 15"
    assert ITEMS["motor"].size == "NEMA 17 (NEMA ICS 16), shaft of 5 mm with a flat of 0.5 mm, 24 mm long"
    assert ITEMS["cover screw"].size == "M3 x 35, ISO 4762"
    assert ITEMS["ring rod"].length == 32.4


@pytest.mark.parametrize("more", [{}, {"screw": "M4", "screws": 6}, {"screw": "M4", "screws_into": "inserts"}])
def test_there_is_a_screw_for_every_foot_and_its_length_is_the_benchs_to_say(more):
    """The feet are looked for in the printed plate: holes right through it, as far out as nothing else is."""
    machine = Reducer(STORY, **more)
    item = next(item for item in parts.parts_list(machine).items if item.part == "foot screw")
    plate = next(part for part in solids.made(machine) if part.name == "motor_plate")
    through = set.intersection(*({hole for hole in slab.holes if isinstance(hole, Circle)} for slab in plate.slabs))
    far = max(math.hypot(*hole.centre) for hole in through)
    feet = [hole for hole in through if math.hypot(*hole.centre) == pytest.approx(far)]
    assert item.count == len(feet) == machine.screws
    assert {2 * hole.radius for hole in feet} == {SCREWS[machine.screw].hole_diameter}  # ISO 273, medium
    assert (item.made, item.length, item.mass_g) == ("bought", None, None)
    assert item.size == f"{machine.screw}, ISO 4762; as long as {plate.top:g} mm of foot and what your bench needs"
    step = order.of(machine).steps[-1]
    assert len(step.parts) == item.count and "foot screws" in step.words
    assert parts.parts_list(machine).csv().rstrip().endswith('needs",,')


def test_masses_are_those_of_the_meshes():
    for part in solids.made(MACHINE):
        density = sum(MATERIALS[part.material].density) / 2
        item = ITEMS[part.name.replace("_", " ")]
        assert item.mass_g == pytest.approx(mesh.solid(part).volume * density * 1e6, rel=0.006, abs=0.006)


def test_what_is_of_metal_is_not_printed_and_a_sleeve_has_its_sizes():
    items = {item.part: item for item in parts.parts_list(Reducer(Drive(20, 42.0, 4.0, 1.4))).items}
    assert (items["ring sleeve"].made, items["ring sleeve"].size) == ("machined", "bearing steel, 4 x 8 mm")
    assert items["cover"].made == "printed"
    soft = {
        item.part: item for item in parts.parts_list(Reducer(Drive(20, 42.0, 4.0, 1.4), roller_material="PETG")).items
    }
    assert soft["ring sleeve"].made == "printed"


def test_the_table_and_the_csv_are_safe_and_whole():
    hostile = Reducer(STORY, output_bearing=Bearing("<b>61804</b>", 20.0, 32.0, 7.0))
    html = parts.parts_list(hostile)._repr_html_()
    assert "<b>" not in html
    assert "&lt;b&gt;61804" in html
    assert all(html_of.escape(caution) in html for caution in order.CAUTIONS)
    rows = list(csv.DictReader(io.StringIO(LIST.csv())))
    assert [row["part"] for row in rows] == list(ITEMS)
    assert {row["made or bought"] for row in rows} == {"printed", "bought"}
