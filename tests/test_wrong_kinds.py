"""Every public function is called with every wrong kind for each of its arguments.

What comes must be a TypeError or a ValueError of ours, raised here and in our words, which names the argument or shows
what was given, and says what to do; or a right answer, where the kind is one that the function takes.
"""

import importlib
import inspect
import pkgutil
import re
import shutil
import sys
import tempfile
import typing
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from numbers import Integral, Real
from pathlib import Path

import numpy as np
import pytest
import shapely
import sympy as sp

import cyclokit
from cyclokit import Drive
from cyclokit.course.answers.formulas import OutlineQuestion
from cyclokit.course.answers.patience import TookTooLong
from cyclokit.course.answers.reading import Unreadable
from cyclokit.course.marking import class_page, earned, ledger, settings
from cyclokit.course.marking.aside import Outcome
from cyclokit.course.marking.collect import CantRead
from cyclokit.course.marking.judge import Result
from cyclokit.course.marking.ledger import Ledger
from cyclokit.course.questions import GUESSES
from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets.library import load_tasks
from cyclokit.course.sheets.task import asked
from cyclokit.design import candidates, lattice
from cyclokit.design.brief import Brief
from cyclokit.geometry import derivation, limits, outline, sweep
from cyclokit.machine import hardware, layout, reducer_file, space
from cyclokit.machine import reducer as reducers
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import BEARINGS
from cyclokit.making import (
    allowances,
    assembly,
    contact,
    loops,
    over_rollers,
    paper,
    printing,
    shapes,
    solids,
    stacking,
)
from cyclokit.mechanics import balance, bearings, capacity, sharing, springs
from cyclokit.mechanics import pins as beams
from cyclokit.mechanics.verdict_case import Case
from cyclokit.tables import BadTable, Column
from cyclokit.view import cut, figures, forces, limits_map, pins, scene, svg
from tests.course.marking import classes

STORY = Drive(pins=8, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
REDUCER = Reducer(STORY)
PART = shapes.Part("part", (shapes.Slab(loops.Circle(5.0), (), 0.0, 5.0),), "PLA")
DISC = shapes.Part(
    "disc",
    (
        shapes.Slab(
            loops.Lobes(STORY),
            (loops.Circle(8.0), loops.Circle(3.0, (15.0, 0.0))),
            0.0,
            5.0,
            (loops.Circle(0.5, (10.5, 0.0)),),
        ),
    ),
    "PLA",
)
MEASURED = tuple(
    printing.Measured(one, one.nominal - 0.1, one.nominal - 0.1)
    for one in printing.features(REDUCER)
    if one.kind == "hole"
) + tuple(
    printing.Measured(one, one.nominal + 0.04, one.nominal + 0.04)
    for one in printing.features(REDUCER)
    if one.kind == "peg"
)
OVER = over_rollers.over_rollers(STORY, 5.0, 0.1) + 0.02
SMALL = Reducer(STORY, discs=1, output_rollers=3, screws=3, pin_made="solid")  # few parts
LAYERS = contact.layers((PART,))
HOLDS = (assembly.Hold("part", "+x", "other", 0.1, 0.1, "stop"),)
PATH = derivation.first_generation()
VIEW = pins.View()
TASK = load_tasks("one_lobe_fewer").tasks[0]
BRIEF = Brief(7, 110.0, ("623",), eccentric_bearings=("61801",))
PARTS = lattice.choices(BRIEF)[0]
HAD = next(had for had in candidates.judged(BRIEF, [PARTS], 110.0, 0) if had.wall.size)
PLAIN, BORNE = space.lengths(REDUCER), capacity.strengths(REDUCER, 1.5)
CASE = Case(REDUCER, 100.0, 1.0, 1.5, 1.0, True, {}, None, None, None, None)
UNBALANCE = balance.Unbalance((1.0, 1.0), (1.0, 0.0), (0.0, 0.0))
SPRINGS = springs.Springs(*np.ones((3, 1, 2, 4)))
SHARED = sharing.ideal(REDUCER, 2000.0, [0.1])

# A course that was dealt to one student, one sheet of it handed in, marked, and what that is made of.
STUDENT = "s1"


def _course_files(folder):
    """A course that was dealt and marked, and what was handed in: what is in each file."""
    row = classes.row_of(classes.dealt(folder, [STUDENT], ["3"]), STUDENT)
    classes.hand_in(folder / "handed_in", STUDENT, classes.notebook(row, classes.data(row)))
    classes.marked(folder / "course", folder / "handed_in")
    return classes.everything(folder), settings.corrected(row, [])


with tempfile.TemporaryDirectory() as folder:
    COURSE_FILES, SHEET_ROW = _course_files(Path(folder))
BOOK = Ledger("course")
BOOK.put(SHEET_ROW)
HANDED_IN = COURSE_FILES[f"handed_in/[{STUDENT}]/sheet.ipynb"]
NUMBER = next(kept for kept in SHEET_ROW["tasks"] if kept["kind"] == "number")
ROLLER = "from_a_point_to_a_roller"
OUTLINE = next(task for task in load_tasks(ROLLER).tasks if isinstance(asked(task, "moss").question, OutlineQuestion))
OUTCOME = Outcome("a.ipynb", "abcdefgh", {kept["letter"]: Result("right") for kept in SHEET_ROW["tasks"]}, [], [])
MARKED = earned.marked(SHEET_ROW, [OUTCOME], {})

# Functions that a test can't call: they start JupyterLab, install, or are the command line itself, tried elsewhere.
STARTERS = {"clone", "__main__", "course.reader.connection"}
NOT_CALLED = {"course.reader.lab.open_lab", "course.reader.lab.run_to_its_end", "signatures.read"}
# pytest alone calls it.
NOT_CALLED |= {"view.nbval.pytest_configure", "course.reported.pytest_runtest_makereport"}
# A terminal of JupyterLab is around the first, and the second takes any number of texts: tests/test_command_line.py.
NOT_CALLED |= {"course.reader.lab.link", "course.reader.typed.typed"}
# It refuses a folder that is there, as after the first call: tests/making/test_files.py tries its arguments.
NOT_CALLED |= {"making.files.write", "making.files.write_test_piece"}
# It writes all lessons each time, which takes a minute here: tests/course/reader/test_pages.py tries its folder.
NOT_CALLED |= {"course.reader.pages.write_all"}
NOT_CALLED |= {"texts.in_table"}  # what it is given was made by this package
# What is only repeated in a message, and the bounds that this package itself gives to what reads for it.
OURS = {"name", "remedy", "least", "most", "allowed", "kind", "rate"}
READERS = {"arguments", "files", "drive"}
# What may be anything at all.
ANYTHING = {
    ("course.answers.reading", "thing"),
    ("course.answers.guesses", "reply"),
    ("course.questions", "guess"),
    ("texts", "text"),
    ("texts", "value"),
    ("geometry.polygons", "name"),
}
# A reducer's figures are named by themselves.
NAMED_AS = {("machine.reducer.checked", "value"): "discs"}
# Their sentences are for the reader of a sheet, who set the answer and knows no argument; "too late" is one too.
OUTCOMES = {
    "course.answers.reading.real": Unreadable,
    "course.answers.reading.reals": Unreadable,
    "course.answers.patience.within": TookTooLong,
    "making.printing.measured": BadTable,  # every bad cell has a line of its own
    # These list all that is wrong in a file, for whoever typed or handed it in.
    "tables.read": BadTable,
    "course.marking.collect.read": CantRead,
}
# What a function raises that was given goes on.
GOES_ON = {
    ("course.answers.patience.within", "work"),
    ("making.contact.gaps_beside", "move"),
    ("geometry.chords.corners", "edge"),
    ("course.marking.mark.mark", "say"),
}
# It gives what it takes, NaN too.
AS_GIVEN = {"arguments.numbers"}
# A bearing without load lives for ever.
ENDLESS = {f"mechanics.bearings.{name}" for name in ("life_revolutions", "life_hours", "static_safety")}

PIECES = [(loops.Circle(5.0), 0.0, 5.0)]
# A right value for each argument, by its name; where one name stands for several things, with the function's before it.
RIGHT = {
    "part": PART,
    "slab": PART.slabs[0],
    "loop": loops.Circle(5.0),
    "notes": ("a note",),
    "centre": (0.0, 0.0),
    "by": (1.0, 2.0),
    "start": (0.0, 0.0),
    "end": (3.0, 0.0),
    "bulge": 0.5,
    "turn": 0.3,
    "drive": STORY,
    "story": STORY,
    "reducer": REDUCER,
    "cut": sweep.cut(STORY),
    "piece": sweep.cut(STORY),
    "view": VIEW,
    "t": [0.1, 0.2],
    "crank": [0.1, 0.2],
    "at": [0.1, 0.2],
    "around": [0.1, 0.2],
    "values": [0.1, 0.2],
    "points": [[1.0, 2.0], [3.0, 4.0]],
    "edge": outline.polygon(STORY, 0.1),
    "angle": 0.3,
    "discs": 2,
    "lobes": 7,
    "rays": 1000,
    "steps": 60,
    "tolerance": 0.01,
    "pins": 8,
    "path": PATH,
    "tangent": derivation.tangent(PATH),
    "vector": PATH,
    "normal": PATH,
    "expression": derivation.t**2,
    "crank_rate": 3.0,
    "rotor_mass_g": 500.0,
    "unbalance": UNBALANCE,
    "grade": 6.3,
    "material": "PETG",
    "eccentric_material": "PETG",
    "ratings": bearings.CAUTIOUS["625"],
    "layers": (beams.Layer(4.0, 0.0, 208e3),),
    "layer": 0.2,
    "foot": 0.2,
    "support": "both ends",
    "poisson_1": 0.3,
    "poisson_2": 0.3,
    "advice": False,
    "brief": BRIEF,
    "question": asked(TASK, "moss").question,
    "sheet": open_sheet("four_numbers", "moss"),
    "task": TASK,
    "word": "moss",
    "quiet": False,
    "edition": 1,
    "draws": 3,
    "say": print,
    "said": print,
    "ax": None,
    "thing": "disc",
    "frame": "ring",
    "show": ("disc",),
    "playing": False,
    "lens": None,
    "reaching": (1.0, 2.0),
    "least_wall": 1.2,
    "resolution": 0.4,
    "beside": {"other": STORY},
    "drives": {"story": STORY},
    "colour": "#0072b2",
    "told": {"a": 1},
    "svg": "<svg/>",
    "words": "words",
    "label": "label",
    "x_label": "x",
    "y_label": "y",
    "alt": "alt",
    "equal": True,
    "plan": layout.layout(REDUCER),
    "allow": stacking.NONE,
    "crank_bearing": BEARINGS["625"],
    "parts": PARTS,
    "had": HAD,
    "kind_of_machine": Reducer,
    "bearing": BEARINGS["625"],
    "eccentric_bearing": BEARINGS["61804"],
    "ring_bearing": None,
    "made": "solid",
    "plain": space.lengths(REDUCER),
    "outer_radius": 20.0,
    "inner_radius": 10.0,
    "turns": 7,
    "arches": 2,
    "pin_circle_diameter_mm": 100.0,
    "roller_diameter_mm": 10.0,
    "rate": 2.0,
    "kind": Drive,
    "name": "name",
    "remedy": "give one",
    "value": 5.0,
    "least": 1.0,
    "most": 9.0,
    "allowed": ("a", "b"),
    "content": b"text",
    "target": "target.txt",
    "file": "file.txt",
    "folder": "folder",
    "number": "0",
    "text": "text",
    "within": 0.1,
    "unit": 0.8,
    "decimals": 2,
    "samples": 100,
    "chart": ("sliding",),
    "touched": 1,
    "ahead": 0.3,
    "upper": '<svg viewBox="0 0 1 1"/>',
    "lower": '<svg viewBox="0 0 1 1"/>',
    "fine": False,
    "forces": np.array([1.0, 2.0]),
    "box": (0.0, 0.0, 1.0, 1.0),
    "facts": {"turns": 1},
    "sentences": scene.SENTENCES,
    "disc": svg.Move(),
    "move": svg.Move(),
    "dashes": (1.0, 2.0),
    "middles": ((1.0, 0.0),),
    "closed": False,
    "mirrored": False,
    "centre_arm": derivation.Rp,
    "pen_arm": derivation.e,
    "turned": derivation.t,
    "count": 8,
    "shared": SHARED,
    "loads": forces.standing(SHARED, 50.0),
    "on": 1,
    "curves": {"ideal": SHARED},
    "bands": {"steel rod": (1.0, 2.0)},
}
RIGHT |= {
    "course": "course",
    "handed_in": "handed_in",
    "roster": "roster.csv",
    "student": STUDENT,
    "known": {STUDENT: {"place": "", "group": "g1"}},
    "book": BOOK,
    "row": SHEET_ROW,
    "kept": NUMBER,
    "entry": {"state": "still open"},
    "sheets": [MARKED],
    "outcome": OUTCOME,
    "outcomes": [OUTCOME],
    "columns": [Column("id")],
    "attempts": [],
    "decided": {},
    "times": {},
    "accounts": {STUDENT: ""},
    "counts": class_page.Counts(),
}
PLAIN_TEXTS = {"content", "more", "style", "colour", "body", "picture", "shape", "name", "fixed"}  # in rooms that draw
SPECIAL = {
    "geometry.chords.corners": {"edge": lambda t: (t, t**2, 2 * t, t - t - 1), "grid": [0.1, 0.2, 0.4], "fewest": 2},
    "mechanics.springs.one_after_the_other": {"torque": 500.0, "first": SPRINGS, "second": SPRINGS},
    "view.chart.of_cut": {"chart": ("disc angle",)},
    "view.choice.of_lobes": {"lobes": (6, 7), "chosen": 7},
    "view.choice.of_held": {"chosen": "disc"},
    "view.held_scene.rates": {"held": "disc"},
    "view.held_scene.turning": {"held": "disc"},
    "view.lobe_figures.snapshot": {"lobes": (6, 7)},
    "view.lobe_figures.pitches": {"lobes": (6, 7)},
    "view.lobe_figures.rounds": {"lobes": (6, 7)},
    "view.lobe_figures.two_arrows": {"lobes": 7, "pin": 0},
    "view.lobe_figures.milled_edges": {"drives": (STORY,), "lobes": (7,)},
    "view.contact_figures.pushes": {"discs": (1, 2)},
    "view.contact_figures.touch": {"roller_radius": 5.0, "bulge_radius": 2.5, "hollow_radius": 5.5},
    "view.arm_figures.bent_piece": {"diameter": 6.0, "core": 3.0},
    "view.arm_figures.lever": {"near": 10.0, "far": 20.0},
    "view.arm_figures.pin_lines": {"pins": (1, 3)},
    "view.chart.of_drive": {"chart": ("disc angle",), "output": False},
    "course.answers.guesses.answered": {"guess": GUESSES["0-turns"], "reply": 20},
    "course.questions.answer_guess": {"name": "0-turns", "guess": 20},
    "machine.stack.roller_walls": {"pin_made": "sleeve on rod"},
    "view.limits_map.words_from": {"shown": limits_map.of_ring(8, 42.0), "words": "yours"},
    "making.loops.Polyline": {"corners": ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), "bulges": (0.0, 0.0, 0.0)},
    "making.shapes.Part": {"slabs": PART.slabs, "material": "PLA", "bought": False},
    "making.shapes.Slab": {"outside": loops.Circle(5.0), "holes": (), "marks": (), "bottom": 0.0},
    "making.loops.polygon": {"corners": [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]},
    "making.loops.rounded_rectangle": {"width": 30.0, "height": 20.0},
    "making.loops.circle_with_flat": {"flat": 4.0},
    "making.shapes.part_moved": {"by": (1.0, 2.0, 3.0)},
    "making.mesh.solid": {"chord": 0.01},
    "making.mesh.stl": {"chord": 0.01},
    "making.mesh.three_mf": {"chord": 0.01},
    "making.files.for_the_printer": {"formats": ("stl",)},
    "making.printing.measured": {"content": printing.template(REDUCER)},
    "making.allowances.calibrate": {"measured": MEASURED, "sought": 0.1, "caliper": 0.03},
    "making.allowances.with_allowances": {"found": allowances.calibrate(MEASURED, REDUCER)},
    "making.over_rollers.over_rollers": {"moved_in": 0.1},
    "making.over_rollers.outline_allowance": {"sizes": [OVER] * 6, "sought": 0.1, "caliper": 0.03},
    "making.over_rollers.with_outline_allowance": {"found": over_rollers.outline_allowance(REDUCER, 5.0, [OVER] * 6)},
    "making.paper.bound": {"figures": [paper.blank()[0]], "title": "a title"},
    "making.paper.sheets": {
        "title": "a title",
        "drawings": [paper.Drawn("a", [(np.array([[0.0, 0.0], [9.0, 9.0]]), "black", 0.5)])],
    },
    "making.drawing.disc_drawing": {"part": DISC},
    "making.drawing.table": {"part": DISC, "scale": 1.0},
    "making.drawing.words": {"part": DISC},
    "making.stacking.stacked": {"name": "part", "solids": PIECES, "cuts": PIECES, "material": "PLA"},
    "making.stacking.bored": {"bottom": 0.0, "top": 5.0, "below": True, "above": False},
    "making.solids.disc": {"number": 0, "name": "disc"},
    "arguments.checked_count": {"value": 5, "least": 1, "most": 9},
    "arguments.checked_choice": {"value": "a"},
    "arguments.checked_kind": {"value": STORY},
    "course.own.choose": {"lobes": "deep"},
    "course.reader.folder.copy_fresh": {"kind": "lessons"},
    "course.reader.lab.lab_command": {
        "folder": "folder",
        "notebook": "folder/lessons/a.ipynb",
        "browser": True,
        "port": 8890,
    },
    "geometry.derivation.turned_by": {"angle": derivation.t},
    "geometry.derivation.no_slip": {
        "fixed_radius": derivation.Rp,
        "rolling_radius": derivation.r,
        "around": derivation.t,
    },
    "geometry.derivation.turn_outside": {"wandered": derivation.t, "around": derivation.t},
    "geometry.derivation.turn_of_ring": {"wandered": derivation.t, "around": derivation.t},
    "geometry.derivation.centre_path": {"around": derivation.t},
    "geometry.derivation.arches": {"wandered": 3 * derivation.t},
    "geometry.derivation.outline_curvature": {"path_curvature": 1 / derivation.Rp},
    "geometry.derivation.closing_gap": {"path": derivation.path_of_arches()},
    "files.as_path": {"value": "file.txt"},
    "files.make_folder": {"place": "folder"},
    "course.reader.pages.page": {"notebook": cyclokit.__path__[0] + "/../lessons/00_start_here.ipynb"},
    "course.reader.pages.of_output": {"latex": "$a$"},
    "course.reader.pages.mathml": {"latex": "a", "display": "inline"},
    "geometry.motion.most_room": {"crank": 0.3, "near": 0.0},
    "geometry.polygons.vectors": {"values": [[1.0, 2.0]]},
    "geometry.polygons.all_round": {"lobe": [[1.0, 2.0]]},
    "geometry.polygons.from_chords": {"places": [1.0, 2.0], "starts": [0.0, 1.0], "ends": [3.0, 2.0]},
    "geometry.rolling.epitrochoid": {"around": [0.1, 0.2]},
    "machine.crank.Cylinder": {"bottom": 1.0, "top": 2.0},
    "making.allowed.drawn": {"draw": solids.made},
    "machine.remedies.lacks": {"row": limits.check(STORY)["undercut"]},
    "machine.remedies.enough": {"names": ("undercut",), "judge": lambda reducer: (space.check(reducer),)},
    "machine.remedies.lines": {"judge": lambda reducer: (space.check(reducer),)},
    "machine.fits.deviations": {"zone": "h6"},
    "machine.fits.play": {"hole": "H7", "rod": "h6"},
    "machine.frame.lever_width": {"screw": "M3"},
    "machine.hardware.thread": {"name": "M3"},
    "mechanics.output_shaft.flat_pressure": {"flat": 0.5},
    "mechanics.frame_loads.check": {"torque": 1000.0, "load": 40.0, "overhang": 20.0},
    "making.order.of": {"lever": True},
    "view.closeup.drawn": {"report": limits.check(STORY)},
    "design.brief.Brief": {field.name: getattr(BRIEF, field.name) for field in fields(BRIEF)},
    "columns.Column": {"kind": "number", "unit": "mm", "unique": True, "needed": True},
    "columns.name_and_unit": {"heading": "length_cm"},
    "design.candidates.judged": {"parts": [PARTS], "largest": 110.0, "eased": 0, "thicker_than": 0.0, "weighed": False},
    "design.lattice.first": {"columns": [np.array([2.0, 1.0, 1.0]), np.array([0.0, 2.0, 1.0])]},
    "design.lattice.reducer_at": {"where": 0},
    "design.output_circle.best_place": {
        "one": replace(space.lengths(REDUCER), output_circle_radius=np.asarray(1.0)),
        "two": replace(space.lengths(REDUCER), output_circle_radius=np.asarray(2.0)),
    },
    "design.search.search": {"goal": "smallest", "most": 3},
    "machine.declared.declare": {"kind": "length", "meaning": "meaning", "allowed": (), "choose": None},
    "machine.defaults.output_roller_radius": {"hole_clearance": 0.1, "outline_clearance": 0.1, "wall": 1.2},
    "machine.defaults.output_circle_radius": {"disc_drive": STORY, "hole_radius": 6.0, "bore_radius": 10.0},
    "machine.defaults.output_rollers": {"output_circle_radius": 24.0, "wall": 1.2},
    "machine.reducer.Reducer": {name: getattr(REDUCER, name) for name in reducers.FIGURES},
    "machine.reducer.checked": {"name": "discs", "value": 2},
    "machine.reducer_file.from_toml": {"text": reducer_file.to_toml(REDUCER)},
    "machine.reducer_file.read": {"file": "my_reducer.toml"},
    "machine.stock.Bearing": {"bore_diameter": 5.0, "outer_diameter": 16.0},
    "machine.stock.first_taking": {"bearings": tuple(BEARINGS.values()), "diameter": 5.0},
    "report.within": {"strict": True},
    "making.axial_rows.left_for_walls": {"rod_length": 35.0, "row_length": 27.0},
    "making.axial_rows.row": {"name": "pin", "lengths": {"spacer": 5.0}},
    "making.axial_rows.rows_of": {"parts": solids.machine(REDUCER)},
    "making.order.steps": {"parts": solids.machine(REDUCER)},
    "making.order.blocked": {"parts": solids.machine(REDUCER)},
    "making.assembly.bodies": {"parts": solids.machine(REDUCER)},
    "making.assembly.loose_joints": {"parts": solids.machine(REDUCER)},
    "making.assembly.held": {"parts": solids.machine(REDUCER)[:5]},
    "making.assembly.unheld": {"holds": HOLDS},
    "making.assembly.chains": {"holds": HOLDS},
    "making.bought.bearing": {"one": BEARINGS["625"]},
    "making.bought.rod": {"material": "plain steel", "top": 9.0},
    "making.bought.screw": {"one": hardware.SCREWS["M3"]},
    "making.bought.nut": {"one": hardware.SCREWS["M3"]},
    "making.bought.insert": {"one": hardware.SCREWS["M3"]},
    "making.bought.motor": {"face": hardware.MOTOR, "flat": 0.5},
    "making.bought.thread_places": {"face": hardware.MOTOR},
    "making.bought.around": {"number": 3},
    "making.contact.deep": {"first": LAYERS[0], "second": LAYERS[0]},
    "making.contact.gaps_along": {"body": LAYERS, "others": contact.Around(LAYERS), "up": True, "names": frozenset()},
    "making.contact.gaps_beside": {
        "body": LAYERS,
        "others": contact.Around(LAYERS),
        "move": contact.shifted((1.0, 0.0)),
        "names": frozenset(),
    },
    "making.contact.shifted": {"along": (1.0, 0.0)},
    "making.contact.layers": {"parts": solids.machine(REDUCER)},
    "making.contact.overlaps": {"parts": solids.machine(REDUCER)},
    "making.contact.by_part": {"parts": solids.machine(REDUCER)},
    "making.plates.output_places": {"crank": 0.3},
    "making.plates.second_plate": {"crank": 0.3},
    "making.plates.flange": {"crank": 0.3},
    "making.plates.cap_screw_places": {"crank": 0.3},
    "making.plates.lever": {"crank": 0.3},
    "making.plates.cap": {"crank": 0.3},
    "making.spacers.row_on_rod": {"which": "ring"},
    "making.shapes.checked_parts": {"parts": (PART,)},
    "making.solids.machine": {"crank": 0.3, "lever": False},
    "making.solids.notes": {"part": solids.made(REDUCER)[0]},
    "mechanics.bearings.equivalent_load": {"load": [1.0, 2.0], "revolutions": [3.0, 4.0]},
    "mechanics.friction.at_roller": {"coefficient": (0.1, 0.2)},
    "mechanics.friction.efficiency": {"pins": (0.1, 0.2), "output": (0.1, 0.2), "eccentric": (0.001, 0.003)},
    "mechanics.friction.mean_along": {"trochoid_ratio": 0.5},
    "mechanics.friction.pin_efficiency": {"coefficient": 0.1},
    "mechanics.cautions.cautions": {"case": CASE},
    "mechanics.capacity.torque": {"borne": BORNE, "plain": PLAIN, "worst": 0.5},
    "mechanics.capacity.at_most": {"several": [BORNE], "plain": PLAIN},
    "mechanics.capacity.together": {"several": [BORNE], "kind": [0, 0]},
    "mechanics.capacity.worst_contact": {"plain": PLAIN},
    "mechanics.loads.steady": {"loads": [[1.0, 2.0], [3.0, 4.0]]},
    "mechanics.verdict.judge": {
        "cover": True,
        "ratings": {},
        "shaft_material": "plain steel",
        "output_ratings": bearings.Ratings(1000.0, 500.0),
    },
    "mechanics.rods.crank": {"material": "plain steel"},
    "mechanics.stiffness.flattening": {"side": "roller"},
    "mechanics.pins.Layer": {"inner_diameter": 1.0},
    "mechanics.pins.bend": {"span": 30.0, "force": [50.0], "start": [15.0], "end": [15.0]},
    "mechanics.pins.thread_root": {"nominal_diameter": 6.0},
    "uncertainty.line": {"x": [0.0, 1.0, 2.0], "y": [0.1, 0.9, 2.1]},
    "uncertainty.outliers": {"x": [0.0, 1.0, 2.0], "y": [0.1, 0.9, 2.1], "resolved": 1e-6},
    "uncertainty.coverage_factor": {"degrees_of_freedom": 16, "level": 0.95},
    "uncertainty.rounded": {"unit": "mm", "uncertainty": 0.1},
    "view.forces.moving": {"crank": 0.3},
    "view.clearance_panel.ahead": {"reducer": Reducer(STORY, discs=1)},
    "view.limit_figures.turning_tangent": {"t": 0.1, "step": 0.05},
    "view.limit_figures.side_by_side": {"radii": (5.0, 7.0)},
    "view.limit_figures.tail": {"drive": replace(STORY, pins=20, eccentricity=2.0)},
    "view.load_figures.pressure_along": {
        "angle": [0.1, 0.2],
        "force": [1.0, 2.0],
        "pressure": [1.0, 2.0],
    },
    "view.pins.at_pins": {
        "name": "normals",
        "facts": pins.contact_facts(STORY) | {"pins": 8, "circle": 42.0},
    },
    "view.scene.at_every_pin": {"facts": pins.contact_facts(STORY) | {"pins": 8, "circle": 42.0}},
    "view.saved.save": {"text": "<svg/>", "file": "file.svg"},
    "view.svg.label": {"words": "disc"},
    "course.answers.outcomes.judge": {"answer": 5.0},
    "course.answers.patience.within": {"seconds": 1.0, "work": lambda: 5.0},
    "course.answers.reading.told": {"error": ValueError("no")},
    "course.questions.check_yourself": {"name": "0a", "answer": "b"},
    "course.answers.outlines.apart": {"one": outline.polygon(STORY, 0.1), "other": outline.polygon(STORY, 0.1)},
    "course.answers.outlines.off": {"corners": outline.polygon(STORY, 0.1)},
    "course.answers.formulas.shares": {"value": [1.0, 2.0], "target": [1.0, 2.1], "tolerance": 0.01},
    "course.marking.class_page.count": {"counts": class_page.Counts()},
    "course.marking.collect.read": {"content": HANDED_IN, "names": {}},
    "course.marking.collect.notebooks": {"folder": "handed_in"},
    "course.marking.deal.deal": {"sheets": ["3"], "fresh": "", "printed": False},
    "course.marking.earned.marked": {"given": {}},
    "course.marking.judge.judge": {"sheet": "one_lobe_fewer"},
    "course.marking.judge.outline_question": {
        "sheet": ROLLER,
        "kept": ledger.task_row(OUTLINE, asked(OUTLINE, "moss")),
    },
    "course.marking.ledger.given": {"numbers": SHEET_ROW["tasks"][0]["given"]},
    "course.marking.ledger.task_row": {"asked": asked(TASK, "moss")},
    "course.marking.ledger.word": {"secret": bytes(32), "sheet": "one_lobe_fewer", "number": 1},
    "course.marking.marks_table.changes": {"before": {}},
    "course.marking.marks_table.line": {"parts": [("one_lobe_fewer", "a")]},
    "course.marking.marks_table.told": {"changed": []},
    "course.marking.paper.file_name": {"name": "name"},
    "course.marking.paper.page": {"title": "title", "body": "body"},
    "course.marking.paper.wide": {"name": "name", "table": "<table></table>"},
    "course.marking.paper.write": {"sheets": {"one_lobe_fewer": load_tasks("one_lobe_fewer")}},
    "course.marking.reasons.code_of": {"letter": "a"},
    "course.marking.reasons.merged": {"file": "reasons.csv", "answers": []},
    "course.marking.reasons.write": {"sheet": "one_lobe_fewer", "rows": []},
    "course.marking.replies.paths": {"places": ["a.ipynb"]},
    "course.marking.replies.write": {"where": {"a.ipynb": "a.html"}, "marked": [MARKED], "unread": {}},
    "course.marking.replies.reply": {"sheet": MARKED},
    "course.marking.settings.corrected": {"given": []},
    "course.marking.settle.owner": {"place": "[s1]/a.ipynb"},
    "course.sheets.blank.notebook": {"found": load_tasks("one_lobe_fewer"), "file": "my_tasks.py"},
    "course.sheets.hand_in.cell_hash": {"source": "a = 1"},
    "course.sheets.hand_in.code": {"digest": bytes(32), "length": 8},
    "course.sheets.hand_in.data_of": {"version": "1", "entries": {}, "cells": ["a = 1"], "names": ["a"]},
    "course.sheets.hand_in.entry": {"answers": {}},
    "course.sheets.hand_in.receipt": {"data": {}},
    "course.sheets.hand_in.sets": {"source": "a = 1", "name": "a"},
    "tables.read": {"content": b"id\n1\n", "keep_others": False},
    "tables.written": {"rows": [["id"], ["1"]]},
    "course.sheets.blank.write": {"target": "sheet.ipynb"},
    "course.sheets.sheet.open_sheet": {"edition": 1},
    "course.sheets.sheet.outcomes": {"answers": {}},
    "course.sheets.sheet.task_shown": {"ask": asked(TASK, "moss")},
    "course.sheets.trial.try_task": {"found": None},
    "course.sheets.trial.gives_away": {"line": "line", "right": 5.0},
    "course.sheets.trial.new_file": {"target": "new_tasks.py"},
    "view.figures.dots": {"words": ["a", "b"]},
    "view.figures.show": {"ax": figures.plane()},
    "view.figures.show_both": {
        "first": figures.plane(),
        "first_alt": "alt",
        "second": figures.plane(),
        "second_alt": "alt",
    },
    "view.leaders.leaders": {"spots": [np.zeros((1, 2))], "places": [[1.0, 2.0]]},
    "view.section.as_file": {"kind": "svg"},
    "view.section.draw": {"face": cut.faces(REDUCER)[0], "ax": figures.plane(), "hatched": True},
    "view.figures.as_svg": {"figure": figures.plane().figure},
    "view.figures.circles": {"centres": [[1.0, 2.0]], "radius": 2.0},
    "view.figures.name_curves": {"ax": figures.curve(np.zeros((2, 2)), "a curve")},
    "view.figures.drive_picture": {"crank": 0.3},
    "view.palette.for_dark": {"colour": "#0072b2"},
    "view.pages.script": {"names": "stage.js"},
    "view.stage.seen": {"load": "clockwise", "crank": 0.3},
    "view.stage.turning_drive": {"load": "clockwise", "crank": 0.3, "forces": None, "chart": ()},
    "view.stage.turning_reducer": {"load": "clockwise", "crank": 0.3, "forces": None, "touched": None, "chart": ()},
    "view.stage.loaded_reducer": {"crank": 0.3, "on": 0, "torque": 2000.0, "show": ("rollers",)},
    "view.stage.turning_cut": {"crank": 0.3, "chart": ()},
    "view.stage.one_roller": {"crank": 0.3, "show": ("roller",)},
    "view.stage.rolling_on_line": {"show": ("circle",)},
    "view.stage.rolling_on_circle": {"show": ("circle",)},
    "view.svg.number": {"value": 5.0},
    "view.cut_shapes.bar": {"along": (0.0, 5.0), "x": 1.0, "y": 1.0},
    "view.cut_shapes.bored": {"along": (0.0, 5.0), "x": 1.0, "below": 0.5, "above": 0.5},
    "view.cut_shapes.flatted": {"along": (0.0, 5.0), "flat": 1.0, "lead_in": True},
    "view.cut_shapes.faces_of": {"solid": [shapely.box(0, 0, 5, 5)], "gone": [shapely.box(1, 1, 2, 2)]},
    "view.cut_shapes.both_sides": {"number": 6},
    "view.cut_shapes.bearing_faces": {"bearing": BEARINGS["625"], "x": 1.0, "y": 1.0},
    "view.cut_shapes.screw_faces": {"screw": hardware.thread("M3"), "x": 1.0},
    "view.panel.to_know": {"meaning": "the hardest push", "unit": "N"},
    "view.svg.turned": {"decimals": 6},
}


def _wrong_kinds():
    """One of every kind of thing that somebody may give by mistake, by a name for it."""
    return {
        "None": None,
        "True": True,
        "a text": "text",
        "an empty text": "",
        "a number as text": "5",
        "bytes": b"5",
        "a dict": {},
        "a set": {1.0},
        "an empty list": [],
        "a list of texts": ["a"],
        "a list in a list": [[1.0], [2.0, 3.0]],
        "a list of None": [None],
        "a list of bools": [True, False],
        "many numbers": [1.0, 2.0, 3.0],
        "an array of any shape": np.zeros((2, 3, 2)),
        "complex": 1j,
        "nan": float("nan"),
        "infinite": float("inf"),
        "a list with nan": [0.1, float("nan")],
        "below zero": -5,
        "zero": 0,
        "a half": 0.5,
        "huge": 1e308,
        "huge below zero": -1e308,
        "too large for a float": 10**400,
        "too large to print": 10**5000,
        "a longer float": np.longdouble("1e4000"),
        "a decimal": Decimal("0.1"),
        "masked": np.ma.masked_array([0.1, 0.2], [False, True]),
        "a list of masked": [np.ma.masked_array([0.1, 0.2], [False, True])],
        "a date": np.datetime64("2020-01-01"),
        "any object": object(),
        "a class": Drive,
        "a function": len,
        "a generator": (number for number in (1.0, 2.0)),
        "a drive": STORY,
        "a reducer": REDUCER,
        "a path": Path("file.txt"),
        "an array of texts": np.array(["a", "b"]),
        "an array of objects": np.array([object(), None]),
        "an expression": sp.Symbol("x"),
        "a matrix": sp.Matrix([1, 2, 3]),
        "a list that holds itself": _endless(),
        "what can't be shown": _Shy(),
    }


def _endless():
    endless = [1.0]
    endless.append(endless)
    return endless


class _Shy:
    """An object that breaks when it is shown or compared."""

    def __repr__(self):
        raise RuntimeError("no")

    def __eq__(self, other):
        raise RuntimeError("no")

    __hash__ = None


def _modules():
    for module in pkgutil.walk_packages(cyclokit.__path__, "cyclokit."):
        name = module.name.removeprefix("cyclokit.")
        if name not in STARTERS:
            yield name, importlib.import_module(module.name)


def _functions():
    """Every public function and method, and every class that checks what it is made of, by its full name."""
    for room, module in _modules():
        for name, thing in vars(module).items():
            if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(thing) or (is_dataclass(thing) and hasattr(thing, "__post_init__")):
                yield f"{room}.{name}", thing
    yield "view.svg.Move.at", svg.Move().at
    yield "mechanics.balance.Unbalance.shaking", UNBALANCE.shaking


FUNCTIONS = {name: function for name, function in _functions() if name not in NOT_CALLED}
PARAMETERS = {name: inspect.signature(function).parameters for name, function in FUNCTIONS.items()}


def _right(name, parameter):
    if parameter in SPECIAL.get(name, {}):
        return SPECIAL[name][parameter]
    if name.startswith("view.") and parameter in PLAIN_TEXTS:
        return "text"
    if name.startswith("course.sheets.") and parameter == "name":
        return "one_lobe_fewer"
    if name == "drive.Drive":
        return getattr(STORY, parameter)
    return RIGHT.get(parameter, 5.0)


def _calls():
    for name, parameters in PARAMETERS.items():
        for parameter in parameters:
            room = name.rpartition(".")[0]
            if (room, parameter) not in ANYTHING and not (room in READERS and parameter in OURS):
                yield name, parameter


CALLS = list(_calls())


def call(name, /, **changed):
    given = {parameter: _right(name, parameter) for parameter in PARAMETERS[name]} | changed
    if "name" in given and name.rpartition(".")[0] in (*READERS, "geometry.polygons"):
        given["name"] = next(iter(changed), "value")  # what reads for others names what they say
    many = [given.pop(one.name) for one in PARAMETERS[name].values() if one.kind is one.VAR_POSITIONAL]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        came = FUNCTIONS[name](*many, **given)
        if name == "files.alone":
            with came:
                return None
        return list(came) if inspect.isgenerator(came) else came


# An endless bound judges nothing, an endless torque was not asked for, what is round turns freely, and a
# column may be one of any numbers.
MAY_BE_ENDLESS = {("Limit", "bound"), ("Judged", "torque"), ("Hold", "play"), ("Hold", "in_all"), ("Column", "most")}


def _numbers(thing, depth=0):
    """All numbers in a result, however deep."""
    if depth > 6 or isinstance(thing, str | bytes):
        return
    if isinstance(thing, np.ndarray):
        yield from thing.ravel().tolist()
    elif isinstance(thing, float | int):
        yield thing
    elif is_dataclass(thing):
        for field in fields(thing):
            held = getattr(thing, field.name)
            met = isinstance(thing, assembly.Hold) and thing.by
            if (type(thing).__name__, field.name) in MAY_BE_ENDLESS and not met:
                held = np.where(np.isposinf(held), 0.0, held)  # NaN is none there either
            yield from _numbers(held, depth + 1)
    elif isinstance(thing, sp.Basic | sp.MatrixBase):
        yield np.nan if thing.has(sp.nan, sp.oo, -sp.oo, sp.zoo) else 0
    elif isinstance(thing, Mapping):
        yield from _numbers(list(thing.values()), depth + 1)
    elif isinstance(thing, Sequence):
        for one in thing:
            yield from _numbers(one, depth + 1)


def _is_right(came):
    """Whether an answer can be one: it has numbers in it, none of which is NaN or infinite."""
    finite = all(abs(number) <= sys.float_info.max for number in _numbers(came) if isinstance(number, Real | np.number))
    return finite and not (isinstance(came, str) and re.search(r"\b(nan|inf)\b", came))


def _taken(name, parameter, value):
    """Whether the function says, by its signature, that it takes such a thing."""
    about = PARAMETERS[name][parameter]
    if value is None and about.default is None:
        return True
    hint = (
        typing.get_type_hints(FUNCTIONS[name]).get(parameter, object)
        if inspect.isfunction(FUNCTIONS[name])
        else about.annotation
    )
    return _fits(hint, value)


def _fits(hint, value):
    if hint is object or hint is typing.Any:
        return True
    if "ArrayLike" in str(hint) or "_NestedSequence" in str(hint) or "ndarray" in str(hint):
        return _fits_array(value) or (value is None and "None" in str(hint))
    origin = typing.get_origin(hint)
    if origin is typing.Union or "UnionType" in type(hint).__name__:
        return any(_fits(one, value) for one in typing.get_args(hint))
    if hint is float:
        return isinstance(value, Real) and not isinstance(value, bool)
    if hint is int:
        return isinstance(value, Integral) and not isinstance(value, bool)
    if hint is type(None) or hint is None:
        return value is None
    kind = origin or hint
    if "sympy" in str(hint):
        return isinstance(value, sp.Expr | Real) and not isinstance(value, bool)
    return isinstance(kind, type) and isinstance(value, kind)


def _fits_array(value):
    try:
        array = np.asarray(value)
    except Exception:  # whatever NumPy says of a list that holds itself
        return False
    return (
        array.size == 0
        or (array.dtype.kind in "iuf" and not np.ma.is_masked(value))
        or (array.dtype == object and all(isinstance(one, Real) and not isinstance(one, bool) for one in array.flat))
    )


def _of_ours(error, parameter):
    """Whether an error was raised by this package, in words that help; what is wrong with it, or nothing."""
    if type(error) not in (TypeError, ValueError):
        return f"is a {type(error).__name__}"
    raised = error.__traceback__
    while raised.tb_next:
        raised = raised.tb_next
    where = raised.tb_frame.f_code.co_filename
    if Path(cyclokit.__file__).parent not in Path(where).parents:
        return f"comes from {where}"
    said = str(error)
    if len(said.splitlines()) != 1:
        return "is not one line"
    if not re.search(rf"\b{parameter}\b", said):
        return f"does not name {parameter}"
    if not re.search(r"must|but|: ", said) or not said.endswith((".", '"')):
        return "does not say what to do"
    return ""


def _put_course(folder):
    """The course that was dealt, in files of a folder, and a roster."""
    for name, content in COURSE_FILES.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


@pytest.fixture(autouse=True)
def _somewhere(request, tmp_path, monkeypatch):
    if "course.marking" in request.node.name:
        _put_course(tmp_path)
    monkeypatch.chdir(tmp_path)
    Path("folder").mkdir()
    Path("my_reducer.toml").write_text(reducer_file.to_toml(REDUCER), encoding="utf-8")


@pytest.mark.parametrize("name", FUNCTIONS)
def test_with_right_arguments_every_function_gives_a_right_answer(name):
    assert _is_right(call(name))


@pytest.mark.parametrize(("name", "parameter"), CALLS, ids=[f"{name}-{parameter}" for name, parameter in CALLS])
def test_a_wrong_kind_is_refused_in_words_or_answered_rightly(name, parameter):
    faults = []
    for kind, value in _wrong_kinds().items():
        try:
            came = call(name, **{parameter: value})
        except Exception as error:  # judged here, whatever it is
            told = isinstance(error, OUTCOMES.get(name, ())) or ((name, parameter) in GOES_ON and callable(value))
            if not told and (fault := _of_ours(error, NAMED_AS.get((name, parameter), parameter))):
                faults.append(f"{kind}: the error {fault}: {type(error).__name__}: {error}"[:300])
            continue
        if not _taken(name, parameter, value):
            faults.append(f"{kind}: is taken, and gives {came!r}"[:300])
        elif not _is_right(came) and not (name in ENDLESS and np.all(np.asarray(came) > 0)) and name not in AS_GIVEN:
            faults.append(f"{kind}: gives numbers that are none, {came!r}"[:300])
    assert not faults, "\n".join(faults)


def _takes_path(function):
    return [name for name, hint in typing.get_type_hints(function).items() if name != "return" and "Path" in str(hint)]


TAKE_PATHS = [
    (name, parameter)
    for name, function in FUNCTIONS.items()
    if inspect.isfunction(function)
    for parameter in _takes_path(function)
]


@pytest.mark.parametrize(("name", "parameter"), TAKE_PATHS, ids=map(".".join, TAKE_PATHS))
def test_paths_may_be_text_everywhere(name, parameter, tmp_path, monkeypatch):
    came = []
    for kind in (str, Path):
        place = tmp_path / kind.__name__
        (place / "folder").mkdir(parents=True)
        shutil.copy("my_reducer.toml", place)
        if name.startswith("course.marking."):
            _put_course(place)
        with monkeypatch.context() as there:
            there.chdir(place)
            answer = call(name, **{parameter: kind(_right(name, parameter))})
        came.append((answer, sorted(path.relative_to(place).as_posix() for path in place.rglob("*"))))
    assert repr(came[0]) == repr(came[1]).replace(str(tmp_path / "Path"), str(tmp_path / "str"))


def test_whatever_takes_a_path_says_that_it_may_be_text():
    for module in pkgutil.walk_packages(cyclokit.__path__, "cyclokit."):
        if module.name == "cyclokit.__main__":
            continue
        for thing in vars(importlib.import_module(module.name)).values():
            for function in (thing, *vars(thing).values()) if inspect.isclass(thing) else (thing,):
                if not inspect.isfunction(function) or function.__name__.startswith("_"):
                    continue
                if function.__module__.startswith("cyclokit."):
                    for parameter in _takes_path(function):
                        assert "str" in str(typing.get_type_hints(function)[parameter]), (function, parameter)
