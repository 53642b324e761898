"""Columns of tables that people typed: what each is to hold, and why a cell of it can't be used."""

import math
import re
import sys
from dataclasses import dataclass

from cyclokit.arguments import checked_choice, checked_kind, checked_number
from cyclokit.signatures import read as reading
from cyclokit.texts import shown

KINDS = ("text", "number", "whole")
UNITS = {  # what a column's unit can be typed in, and by how much it is then multiplied
    "mm": {"mm": 1.0, "cm": 10.0, "m": 1000.0, "um": 0.001, "µm": 0.001, "in": 25.4},
    "N": {"N": 1.0, "kN": 1000.0},
    "N mm": {"Nmm": 1.0, "Ncm": 10.0, "Nm": 1000.0},
    "deg": {"deg": 1.0, "rad": 180 / math.pi},
    "g": {"g": 1.0, "kg": 1000.0},
    "s": {"s": 1.0, "min": 60.0},
}
OFF = (10.0, 25.4, 1000.0)  # factors by which a value in another unit is off
NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,3})?")

SENTENCES = {
    "open": "empty: {wanted} is expected",
    "number": "{value} is no number: {wanted} is expected",
    "point": "{value} has a decimal {this} where the rest of the table has a decimal {other}: which is meant?",
    "range": "{value} is out of range: {wanted} is expected",
    "off": "{value} is out of range, and {by} {factor:g} it would not be: is it in another unit? {wanted} is expected",
    "thousands": "{value} could be {one:g} or {other:g}: which is meant? Write it without a comma",
}


@dataclass(frozen=True)
class Column:
    """What a column is to hold.

    Attributes
    ----------
    name : str
        Its name, without a unit.
    kind : str
        "text" (kept as it is typed, leading zeros too), "number" or "whole".
    unit : str
        The unit in which its numbers are wanted, "" for plain numbers.
    least, most : float
        The range of its numbers, both included.
    unique : bool
        Whether a value may stand in it only once.
    needed : bool
        Whether the column must be there and each of its cells filled; else an empty cell is None, or "" for a text.
    """

    name: str
    kind: str = "text"
    unit: str = ""
    least: float = -math.inf
    most: float = math.inf
    unique: bool = False
    needed: bool = True

    def __post_init__(self) -> None:
        for name in ("name", "unit"):
            checked_kind(name, getattr(self, name), str, "give a text")
        if not self.name.strip():
            raise ValueError("name is empty, but a column is found by it: give one, such as 'length'.")
        checked_choice("kind", self.kind, KINDS)
        for name in ("least", "most"):
            bound = getattr(self, name)
            if not (isinstance(bound, float) and math.isinf(bound)):
                checked_number(name, bound, -sys.float_info.max, sys.float_info.max)
        if not self.least <= self.most:
            raise ValueError(f"least is {self.least:g} and most {self.most:g}, which no number fits: swap them.")
        for name in ("unique", "needed"):
            checked_kind(name, getattr(self, name), bool, "give True or False")

    @property
    def heading(self) -> str:
        """Its name in a header, with the unit."""
        return f"{self.name}_{self.unit.replace(' ', '')}" if self.unit else self.name

    @property
    def wanted(self) -> str:
        """What is expected in its cells, in words."""
        if self.kind == "text":
            return "a text"
        what = "a whole number" if self.kind == "whole" else "a number"
        bounds = [f"from {self.least:g}"] * math.isfinite(self.least) + [f"to {self.most:g}"] * math.isfinite(self.most)
        return " ".join([what, *bounds, *([self.unit] if self.unit else [])])

    @property
    def units(self) -> dict[str, float]:
        """What its unit can be typed in, and by how much a number is then multiplied."""
        return UNITS.get(self.unit, {self.unit: 1.0})

    def factor(self, heading: str) -> float | None:
        """By how much its numbers are multiplied under a heading: 0 of no known unit, None if it is another's."""
        if heading.casefold() == self.name.casefold():
            return 1.0
        name, unit = name_and_unit(heading)
        return self.units.get(unit, 0.0) if self.unit and name == self.name.casefold() else None

    def value(self, cell: str, factor: float, decimal: str) -> tuple[object, str]:
        """A cell's value, and why it can't be used, "" if it can."""
        if not cell:
            nothing = "" if self.kind == "text" else None
            return nothing, SENTENCES["open"].format(wanted=self.wanted) if self.needed else ""
        if self.kind == "text":
            return cell, ""
        if not factor:  # the column's own fault
            return None, ""
        words = {"value": shown(cell), "wanted": self.wanted}
        if not NUMBER.fullmatch(cell):
            return None, SENTENCES["number"].format(**words)
        typed = float(cell.replace(",", "."))
        other = {",": ".", ".": ","}[decimal]
        if other in cell:
            names = {",": "comma", ".": "point"}
            return None, SENTENCES["point"].format(**words, this=names[other], other=names[decimal])
        if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", cell):
            others = typed * 1000
            if all(self.fits(value * factor) for value in (typed, others)):
                return None, SENTENCES["thousands"].format(**words, one=typed, other=others)
        value = round(typed * factor, 12) if factor != 1 else typed
        if not math.isfinite(value) or (self.kind == "whole" and not value.is_integer()):
            return None, SENTENCES["number"].format(**words)
        if not self.fits(value):
            return value, self._out_of_range(value, words)
        return (int(value) if self.kind == "whole" else value), ""

    def fits(self, value: float) -> bool:
        """Whether a number is in its range."""
        return self.least <= value <= self.most

    def why_outside(self, value: float) -> str:
        """Why a number that was read is out of its range, a slip of its unit asked about; "" if it isn't."""
        return "" if self.fits(value) else self._out_of_range(value, {"value": f"{value:g}", "wanted": self.wanted})

    def _out_of_range(self, value: float, words: dict[str, str]) -> str:
        for factor in OFF:
            if self.fits(value / factor):
                return SENTENCES["off"].format(**words, by="divided by", factor=factor)
            if self.fits(value * factor):
                return SENTENCES["off"].format(**words, by="times", factor=factor)
        return SENTENCES["range"].format(**words)


@reading
def name_and_unit(heading: str) -> tuple[str, str]:
    """A heading's name and unit: "Length [cm]" and "length_cm" give "length" and "cm"."""
    found = re.fullmatch(r"(.+?)\s*(?:[\[(]\s*(\S+?)\s*[\])]|[_ /]([A-Za-zµ°]+))", heading)
    return (found[1].strip().casefold(), found[2] or found[3]) if found else (heading.casefold(), "")
