"""What a bench machine is made of: the list of its parts.

Lengths are taken from the solids, so that the list is that of the machine that was judged.
"""

import csv
import io
from collections.abc import Sequence
from dataclasses import astuple, dataclass

from cyclokit.machine import crank
from cyclokit.machine.hardware import MOTOR, Screw, thread
from cyclokit.machine.layout import layout
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS, Bearing
from cyclokit.making import order, solids
from cyclokit.making.loops import Circle
from cyclokit.making.shapes import Part
from cyclokit.texts import in_html, plain

GRAMS = 1e6  # in a tonne
COLUMNS = ("part", "count", "made or bought", "size", "length [mm]", "mass of one [g]")


@dataclass(frozen=True)
class Item:
    """One line of a parts list.

    Attributes
    ----------
    part, count, made : str, int, str
        Name, how many, "printed", "machined" (of a material that isn't printed) or "bought".
    size : str
        Material of what is made, and a sleeve's bore and outside; what to ask for of what is bought.
    length : float or None
        Along the axis [mm]; None where it isn't the machine's to say.
    mass_g : float or None
        Of one, of solid material [g]; None where it isn't known from its shape.
    """

    part: str
    count: int
    made: str
    size: str
    length: float | None
    mass_g: float | None


@dataclass(frozen=True)
class PartsList:
    """A machine's parts, alike ones together, printed ones first; a table in a notebook, with what to mind."""

    items: tuple[Item, ...]

    @property
    def mass_g(self) -> float:
        """Mass of all parts but the motor, of solid material [g]."""
        return sum(item.count * item.mass_g for item in self.items if item.mass_g is not None)

    def csv(self) -> str:
        """The list as CSV, with a line of headings."""
        stream = io.StringIO()
        rows = ([plain(cell) for cell in _cells(item)] for item in self.items)
        csv.writer(stream, lineterminator="\n").writerows([COLUMNS, *rows])
        return stream.getvalue()

    def _repr_html_(self) -> str:
        head = "".join(f"<th scope='col'>{column}</th>" for column in COLUMNS)
        rows = "".join(
            "<tr>" + "".join(f"<td style='text-align:left'>{in_html(cell)}</td>" for cell in _cells(item)) + "</tr>"
            for item in self.items
        )
        table = f"<table><caption>Parts</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
        return table + order.cautions_in_html()


def parts_list(reducer: Reducer) -> PartsList:
    """The parts of a reducer that can be built as a bench machine, alike ones together, printed ones first.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> items = parts_list(Reducer(Drive(20, 42.0, 5.0, 1.4))).items
    >>> [(item.part, item.count) for item in items if item.size.startswith("623")]
    [('ring roller', 40), ('output roller', 12)]
    """
    groups: dict[str, list[Part]] = {}
    discs = {f"disc_{disc}": name.replace("_", " ") for disc, name in enumerate(solids.disc_names(reducer))}
    for part in solids.machine(reducer, lever=True):
        groups.setdefault(discs.get(part.name) or _kind(part.name), []).append(part)
    items = [_item(reducer, kind, some) for kind, some in groups.items() if kind != "motor shaft"]
    items.append(_foot_screws(reducer))
    return PartsList(tuple(sorted(items, key=lambda item: item.made == "bought")))


def _foot_screws(reducer: Reducer) -> Item:
    """The line of the screws that hold the machine to its bench, which are no part of it."""
    through = f"{layout(reducer).plate_top:g} mm of foot and what your bench needs"
    count, size = len(order.foot_screws(reducer)), f"{reducer.screw}, ISO 4762; as long as {through}"
    return Item("foot screw", count, "bought", size, None, None)


def _kind(name: str) -> str:
    """What parts that are alike have in common of their names; the three of a bearing are one."""
    words = [word for word in name.split("_") if not word.isdigit()]
    if "bearing" in words or "roller" in words:
        words = [word for word in words if word not in ("inner", "balls", "outer", "lower", "upper")]
    return " ".join(words)


def _item(reducer: Reducer, kind: str, parts: Sequence[Part]) -> Item:
    """The line of parts that are alike."""
    bearing = _bearing(reducer, kind)
    count = len(parts) // 3 if bearing else len(parts)
    mass: float | None = sum(part.volume * _density(part) for part in parts) * GRAMS / count
    first = parts[0]
    material = MATERIALS[first.material]
    made = "bought" if first.bought else "printed" if material.strength_across != material.strength else "machined"
    length, size = first.top - first.bottom, first.material
    if kind.endswith("sleeve"):
        bore, outside = (2 * radius for radius in _radii(first))
        size += f", {bore:g} x {outside:g} mm"
    elif bearing:
        sizes = f"{bearing.bore_diameter:g} x {bearing.outer_diameter:g} x {bearing.width:g}"
        size = f"{bearing.name}, {sizes}, ISO 15"
    elif kind.endswith("screw"):
        screw = _screw(reducer, kind)
        length -= screw.head_height
        size = f"{screw.name} x {length:.0f}, ISO 4762"
    elif kind == "nut":
        size = f"{reducer.screw}, ISO 4032"
    elif kind == "insert":
        mass, hole = None, thread(reducer.screw).insert_diameter
        size = f"{reducer.screw}, to melt in, for a hole of {hole:g} mm"
    elif kind == "motor":
        length, mass = reducer.motor_shaft_length, None
        shaft, flat = 2 * reducer.shaft_radius, reducer.motor_shaft_flat
        size = f"{MOTOR.name} (NEMA ICS 16), shaft of {shaft:g} mm with a flat of {flat:g} mm, {length:g} mm long"
    elif kind.endswith("rod"):
        radius = reducer.pin_rod_radius if kind.startswith("ring") else reducer.output_rod_radius
        size = f"rod of {2 * radius:g} mm, h6 or h8, {first.material}"
    return Item(kind, count, made, size, round(length, 3), None if mass is None else round(mass, 2))


def _radii(sleeve: Part) -> tuple[float, float]:
    """Radii of a sleeve's bore and outside [mm]."""
    (bore,), outside = sleeve.slabs[0].holes, sleeve.slabs[0].outside
    assert isinstance(bore, Circle) and isinstance(outside, Circle)
    return bore.radius, outside.radius


def _screw(reducer: Reducer, kind: str) -> Screw:
    """The screw that a kind of part is."""
    if (cut := crank.division(reducer)) and kind.startswith("crank"):
        return cut.screw
    return thread(MOTOR.screw if kind.startswith("motor") else reducer.screw)


def _bearing(reducer: Reducer, kind: str) -> Bearing | None:
    """The bearing that a kind of part is, if it is one."""
    return {
        "crank bearing": reducer.crank_bearing,
        "output bearing": reducer.output_bearing,
        "eccentric bearing": reducer.eccentric_bearing,
        "ring roller": reducer.ring_bearing,
        "output roller": reducer.output_roller_bearing,
    }.get(kind)


def _density(part: Part) -> float:
    """The middle of the range [t/mm^3]."""
    return sum(MATERIALS[part.material].density) / 2


def _cells(item: Item) -> list[str]:
    return ["" if cell is None else f"{cell:g}" if isinstance(cell, float) else str(cell) for cell in astuple(item)]
