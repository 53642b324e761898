"""A test piece of the sizes a machine uses, and the table for what calipers and bought parts say of it.

The piece is drawn without allowances, so that what is measured on it is what the printer does. What follows from the
table stands in `allowances`.
"""

import math
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from cyclokit import tables
from cyclokit.machine.reducer import Reducer
from cyclokit.making.loops import Circle, Point, Polyline
from cyclokit.making.lying import LAYER, Layer
from cyclokit.making.shapes import Part, Slab
from cyclokit.signatures import read
from cyclokit.tables import BadTable, Column, Fault

WIDTH = 105.0  # mm, so that the piece fits on a small printer's bed; common practice, no source
GAP = 4.0  # mm between holes or pegs, room for a caliper's jaws
STEPS = (0.0, 0.15, 0.3)  # mm, how much wider than a bought part the holes are that it is tried in
PEG = 6.0  # mm, a peg's height: calipers' jaws go past it
FLOOR = 1.0  # mm left under the deepest seat
SEAT = 10.0  # mm, a seat's diameter: a caliper's depth rod goes in
DEPTHS = (1.0, 2.0, 3.0)  # mm, about: how deep the seats are
FAR = 1.0  # mm: farther off than that nothing is printed, and it is a slip
GOES = ("no", "tight", "slides", "loose")  # how a bought part goes into a hole, wider and wider
COLUMNS = (
    Column("label", unique=True),
    Column("kind"),
    Column("nominal", "number", "mm", 0.1, 1000.0),
    Column("tried", "number", "mm", 0.1, 1000.0, needed=False),
    Column("x", "number", "mm", 0.0, 1000.0, needed=False),
    Column("y", "number", "mm", 0.0, 1000.0, needed=False),
    Column("depth", "number", "mm", 0.0, 1000.0, needed=False),
    Column("goes", needed=False),
)
SENTENCES = {
    "label": "{label} is no place on this piece: is the table another reducer's? Its places are {labels}",
    "nominal": "{value:g} stands here, but {label} of this piece is {wanted:g} mm: is the table another reducer's?",
    "axis": "a {kind} isn't measured so: leave the cell empty",
    "goes": "{value} stands here: write one of no, tight, slides, loose, or nothing",
    "nothing": "nothing to try stands in {label}: leave the cell empty",
}
FILLING = (
    "Row A begins at the cut corner, with the narrowest holes.",
    "In measured.csv fill in x_mm and y_mm of holes, pegs and the plate, and depth_mm of seats. Cells may stay empty.",
    "Try a rod, a motor's shaft or a bearing as wide as tried_mm in its holes, and write into goes how it goes in: no, "
    "tight (pushed in, stays), slides (by hand, without play) or loose.",
)


Wanted = tuple[str, float, float, float | None]  # kind, nominal size, how wide it is, the part that is tried


@dataclass(frozen=True)
class Feature:
    """One hole, peg or seat of the test piece, or the piece's own outside.

    Attributes
    ----------
    label : str
        Its row, a letter from the side with the cut corner, and its number in the row, from that corner.
    kind : str
        "hole", "peg", "seat" or "plate".
    nominal : float
        Its diameter, a seat's depth, the plate's width [mm].
    centre : tuple of float
        Where it is [mm].
    tried : float or None
        The diameter of the bought part that is tried in it [mm].
    """

    label: str
    kind: str
    nominal: float
    centre: Point
    tried: float | None = None


@dataclass(frozen=True)
class Measured:
    """What was measured of one feature.

    Attributes
    ----------
    feature : Feature
        The feature.
    x, y : float or None
        Its size along x and y [mm].
    depth : float or None
        A seat's depth [mm].
    goes : str
        How the bought part goes in: "no", "tight", "slides", "loose", or "" if it wasn't tried.
    """

    feature: Feature
    x: float | None = None
    y: float | None = None
    depth: float | None = None
    goes: str = ""


@read
def features(reducer: Reducer, layer: Layer = LAYER) -> tuple[Feature, ...]:
    """What the test piece has on it: holes first, then seats, pegs, and its own outside, each with label and place.

    Their sizes are a machine's: rods, the crank's shaft and bearings that go into holes, its output holes, eccentric
    and rollers. A seat's depth is a whole number of the printer's layers [mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> found = features(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> [(one.label, one.nominal) for one in found][:3]
    [('A1', 3.0), ('A2', 3.15), ('A3', 3.3)]
    """
    rods = {2 * reducer.pin_rod_radius, 2 * reducer.output_rod_radius, 2 * reducer.shaft_radius}
    bearings = {reducer.crank_bearing.outer_diameter, reducer.eccentric_bearing.outer_diameter}
    wider = [(round(size + step, 6), size) for size in sorted(rods | bearings) for step in STEPS]
    holes: list[Wanted] = [("hole", size, size, tried) for size, tried in wider]
    holes += [("hole", 2 * reducer.hole_radius, 2 * reducer.hole_radius, None)] * 2
    depths = sorted({_layers(depth, layer) for depth in DEPTHS})
    seats: list[Wanted] = [("seat", depth, SEAT, None) for depth in depths for _ in range(2)]
    radii = (reducer.drive.roller_radius, reducer.output_roller_radius, reducer.shaft_radius, reducer.spacer_radius)
    around = {*(2 * radius for radius in radii), reducer.eccentric_bearing.bore_diameter}
    pegs: list[Wanted] = [("peg", round(size, 6), size, None) for size in sorted(around) for _ in range(2)]
    found, y, row = [], GAP, 0
    for group in (holes, seats, pegs):
        for line in _rows(group):
            deep = max(wide for _, _, wide, _ in line)
            x = GAP
            for number, (kind, nominal, wide, tried) in enumerate(line):
                place = (x + wide / 2, y + deep / 2)
                found.append(Feature(f"{_letter(row)}{number + 1}", kind, nominal, place, tried))
                x += wide + GAP
            y += deep + GAP
            row += 1
    side = 5.0 * math.ceil(max(WIDTH, y) / 5)
    return (*found, Feature("plate", "plate", side, (side / 2, side / 2)))


@read
def piece(reducer: Reducer, layer: Layer = LAYER) -> Part:
    """A plate with holes, seats and pegs of a machine's sizes, square, the corner beside A1 cut off, on z = 0.

    No allowance is in it.
    """
    found = features(reducer, layer)
    seats = [one for one in found if one.kind == "seat"]
    deepest = max(one.nominal for one in seats)
    thick = round(deepest + math.ceil(FLOOR / layer - 1e-9) * layer, 6)
    side, cut = found[-1].nominal, GAP
    square = Polyline(((cut, 0.0), (side, 0.0), (side, side), (0.0, side), (0.0, cut)), (0.0,) * 5)
    holes = tuple(Circle(one.nominal / 2, one.centre) for one in found if one.kind == "hole")
    heights = [0.0, *sorted({thick - one.nominal for one in seats}), thick]
    plate = []
    for low, high in pairwise(heights):
        open_there = tuple(Circle(SEAT / 2, one.centre) for one in seats if thick - one.nominal <= low)
        plate.append(Slab(square, holes + open_there, low, high))
    top = thick + _layers(PEG, layer)
    pegs = [Slab(Circle(one.nominal / 2, one.centre), (), thick, top) for one in found if one.kind == "peg"]
    return Part("test_piece", (*plate, *pegs), reducer.disc_material)


@read
def notes(reducer: Reducer) -> tuple[str, ...]:
    """What a file of the test piece says: how it is printed, and how its places are called."""
    return (
        f"test_piece: {reducer.disc_material}, flat, no supports, no allowances: print it as you will print the discs",
        "rows A, B, ... from the side with the cut corner, numbers from that corner; x runs along the rows",
    )


@read
def template(reducer: Reducer, layer: Layer = LAYER) -> bytes:
    """The table to fill in, as CSV: a row for every feature, its measured cells empty, which they may stay.

    Sizes go to x_mm and y_mm, a seat's depth to depth_mm, and how a bought part goes into its hole to goes: no, tight
    (pushed in, stays), slides (by hand, without play), loose.
    """
    rows = [
        (one.label, one.kind, f"{one.nominal:g}", f"{one.tried:g}" if one.tried else "", "", "", "", "")
        for one in features(reducer, layer)
    ]
    return tables.written([[column.heading for column in COLUMNS], *rows])


@read
def measured(
    content: bytes, reducer: Reducer, layer: Layer = LAYER, said: Callable[[str], None] | None = None
) -> tuple[Measured, ...]:
    """What a filled-in table says.

    Parameters
    ----------
    content : bytes
        The CSV file's content.
    reducer : Reducer
        The machine whose piece was printed.
    layer : float
        The layer height with which the piece was drawn [mm].
    said : callable, optional
        Is told what was taken for granted or left out, a sentence each; without it Python warns of that.

    Returns
    -------
    tuple of Measured
        In the table's order; features that aren't in it are not in this either.

    Raises
    ------
    BadTable
        With every cell that can't be used: of another piece, in another unit, or no size of that hole at all.
    """
    known = {one.label: one for one in features(reducer, layer)}
    table = tables.read(content, COLUMNS, "the table of measured values")
    for note in table.notes:
        if said:
            said(note)
        else:
            warnings.warn(note, stacklevel=2)
    faults, found = [], []
    for row, cells in zip(table.lines, table.rows, strict=True):
        label = str(cells["label"]).strip()
        if label not in known:
            words = {"label": tables.shown(label), "labels": ", ".join(known)}
            faults.append(Fault(row, "label", SENTENCES["label"].format(**words)))
            continue
        one = known[label]
        faults += _faults(row, cells, one)
        sizes = {name: cells[name] for name in ("x", "y", "depth")}
        found.append(Measured(one, goes=str(cells["goes"]).strip().lower(), **sizes))  # type: ignore[arg-type]
    if faults:
        raise BadTable("the table of measured values", faults)
    return tuple(found)


def _faults(row: int, cells: dict[str, object], one: Feature) -> list[Fault]:
    """What is wrong with one row's cells, all of which could be read."""
    faults = []
    nominal = cells["nominal"]
    if isinstance(nominal, float) and abs(nominal - one.nominal) > 1e-3:
        words = {"value": nominal, "label": one.label, "wanted": one.nominal}
        faults.append(Fault(row, "nominal_mm", SENTENCES["nominal"].format(**words)))
    for name in ("x", "y", "depth"):
        value = cells[name]
        if not isinstance(value, float):
            continue
        if (name == "depth") != (one.kind == "seat"):
            faults.append(Fault(row, f"{name}_mm", SENTENCES["axis"].format(kind=one.kind)))
            continue
        far = min(FAR, one.nominal / 3)
        allowed = Column(name, "number", "mm", round(one.nominal - far, 3), round(one.nominal + far, 3))
        if why := allowed.why_outside(value):
            faults.append(Fault(row, f"{name}_mm", why))
    goes = str(cells["goes"]).strip().lower()
    if goes and goes not in GOES:
        faults.append(Fault(row, "goes", SENTENCES["goes"].format(value=tables.shown(goes))))
    elif goes and one.tried is None:
        faults.append(Fault(row, "goes", SENTENCES["nothing"].format(label=one.label)))
    return faults


def _rows(group: list[Wanted]) -> list[list[Wanted]]:
    """Features in rows that are no longer than the piece is wide."""
    rows: list[list[Wanted]] = [[]]
    for one in group:
        long = GAP + sum(wide + GAP for _, _, wide, _ in [*rows[-1], one])
        if rows[-1] and long > WIDTH:
            rows.append([])
        rows[-1].append(one)
    return rows


def _letter(row: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    return (_letter(row // 26 - 1) if row >= 26 else "") + chr(ord("A") + row % 26)


def _layers(height: float, layer: float) -> float:
    """The whole number of layers nearest to a height, one at least [mm]."""
    return round(max(1, round(height / layer)) * layer, 6)
