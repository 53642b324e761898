"""Tables that people typed: CSV read against a declared list of columns, every bad cell named.

A table may have a header or none, commas, semicolons or tabs between its cells, decimal points or decimal commas, and
units in its columns' names ("length_mm", "length [cm]"). What could be meant otherwise is asked about and never used;
what isn't read is said.
"""

import csv
import io
import re
import unicodedata
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Annotated

from cyclokit.arguments import checked_kind
from cyclokit.columns import NUMBER, Column, name_and_unit
from cyclokit.signatures import read as reading
from cyclokit.texts import plain, shown

MOST_BYTES = 20_000_000
SENTENCES = {
    "encoding": "is no text in UTF-8: save it as 'CSV UTF-8'",
    "large": "has more than 20 MB: is that the right file?",
    "empty": "has no rows: fill in the template",
    "quote": "a quotation mark is opened and not closed: close it, or take it out",
    "two names": "two columns are called so: keep one of them",
    "no header": "no cell is called {names}: is this the header, or a row? Write the columns' names into the first row",
    "no column": "there is no such column: its name is expected in the first row",
    "unit": "the unit {unit} is not one that is read here: give the column in {known}",
    "cells": "{count} cells where {wanted} are expected{why}",
    "swapped": "{value} would fit the column {other}, and that one's value this column: are the two swapped?",
    "twice": "{value} stands in row {row} already: keep one of the two",
}
NOTES = {
    "no header": "There is no header: the columns are taken to be {names}, in this order.",
    "blank": "Row {row} is empty and was left out.",
    "other": "The column {name} is not asked for and was not read.",
}


def _checked_columns(name: str, value: object) -> None:
    """Refuse what is no row of columns, each with a name of its own, by the argument's name."""
    if not isinstance(value, list | tuple):
        raise TypeError(f"{name} must be a list or tuple, not a {type(value).__name__}: put the columns in brackets.")
    for column in value:
        checked_kind(name, column, Column)
    names = [column.name.casefold() for column in value]
    if not names or len(set(names)) < len(names):
        raise ValueError(f"{name} has the names {shown(names)}, but must have one or more, each once: change them.")


Columns = Annotated[Sequence[Column], _checked_columns]
Lines = list[tuple[int, list[str]]]  # a line's number and its cells
Where = dict[int, tuple[Column, float]]  # by its place in a line, a column and the factor of its unit


@dataclass(frozen=True)
class Fault:
    """A cell that can't be used: its row as a spreadsheet counts (0: the whole file), its column, and what is wrong."""

    row: int
    column: str
    why: str

    def __str__(self) -> str:
        where = [f"row {self.row}"] * bool(self.row) + [f"column {plain(self.column)}"] * bool(self.column)
        return f"{', '.join(where) or 'the file'}: {self.why}"


class BadTable(ValueError):
    """A table that can't be used as it is; `faults` has every bad cell."""

    def __init__(self, name: str, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join([f"{plain(name)} can't be used as it is:", *(f"  {fault}." for fault in faults)]))


@dataclass(frozen=True)
class Table:
    """What was read.

    Attributes
    ----------
    rows : list of dict
        For each row the values by the columns' names.
    others : list of dict
        For each row the cells of the columns that weren't asked for, by their headings, as they were typed.
    lines : list of int
        The rows' numbers, as a spreadsheet counts them.
    notes : list of str
        What was taken for granted or left out.
    """

    rows: list[dict[str, object]] = field(default_factory=list)
    others: list[dict[str, str]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


@reading
def template(columns: Columns) -> bytes:
    """A table to fill in: its header alone, which a spreadsheet opens as UTF-8."""
    return written([[column.heading for column in columns]])


@reading
def written(rows: Sequence[Sequence[object]]) -> bytes:
    """Rows as CSV that a spreadsheet opens as UTF-8."""
    content = io.BytesIO()
    content.write(b"\xef\xbb\xbf")
    with io.TextIOWrapper(content, encoding="utf-8", newline="") as text:  # a quarter of what a StringIO holds
        csv.writer(text, lineterminator="\n").writerows(rows)
        text.flush()
        return content.getvalue()


@reading
def read(content: bytes, columns: Columns, name: str = "the table", keep_others: bool = False) -> Table:
    """The rows of a table, if every cell can be used.

    Parameters
    ----------
    content : bytes
        The file's content.
    columns : sequence of Column
        What is to be in it; without a header, in this order.
    name : str
        What the table is called in a message.
    keep_others : bool
        Whether columns that aren't asked for are kept as they are typed; else a note tells of them.

    Returns
    -------
    Table
        Its rows, in the wanted units, and what is to be said of them.

    Raises
    ------
    BadTable
        With every bad cell: its row, its column, and what is expected.

    Examples
    --------
    >>> read(b"id;length_cm\\n007;1,5\\n", [Column("id"), Column("length", "number", "mm", 0, 100)]).rows
    [{'id': '007', 'length': 15.0}]
    """
    lines = _cells(content, name)
    notes = [NOTES["blank"].format(row=row) for row, cells in lines if not any(cells)]
    lines = [(row, cells) for row, cells in lines if any(cells)]
    if not lines:
        raise BadTable(name, [Fault(0, "", SENTENCES["empty"])])
    (row, headings), faults = lines[0], []
    where = _header(headings, columns)
    if not where and all(column.kind == "text" for column in columns):
        names = " or ".join(shown(column.heading) for column in columns)
        raise BadTable(name, [Fault(row, "", SENTENCES["no header"].format(names=names))])
    if where:
        lines = lines[1:]
        faults = _header_faults(row, headings, where)
    else:
        where = {place: (column, 1.0) for place, column in enumerate(columns[: len(headings)])}
        headings = [column.heading for column in columns[: len(headings)]]
        notes.insert(0, NOTES["no header"].format(names=", ".join(headings)))
    present = {column for column, _ in where.values()}
    missing = [column.heading for column in columns if column.needed and column not in present]
    faults += [Fault(row, heading, SENTENCES["no column"]) for heading in missing]
    table = _table(lines, headings, where, columns, faults)
    if faults:
        raise BadTable(name, faults)
    if not keep_others:
        strange = [heading for place, heading in enumerate(headings) if place not in where]
        notes += [NOTES["other"].format(name=shown(heading)) for heading in strange]
    return replace(table, notes=notes)


def _table(lines: Lines, headings: list[str], where: Where, columns: Sequence[Column], faults: list[Fault]) -> Table:
    """Read the rows below the header; what is wrong in them is added to `faults`."""
    decimal = _decimal(lines, where)
    table = Table()
    seen: dict[tuple[str, str], int] = {}
    for row, cells in lines:
        if len(cells) < len(headings) or any(cells[len(headings) :]):
            why = ", a decimal comma in a table with commas, perhaps" if len(cells) > len(headings) else ""
            faults.append(Fault(row, "", SENTENCES["cells"].format(count=len(cells), wanted=len(headings), why=why)))
            continue
        values: dict[str, object] = {column.name: "" if column.kind == "text" else None for column in columns}
        bad = {}
        for place, (column, factor) in where.items():
            values[column.name], why = column.value(cells[place], factor, decimal)
            if why:
                bad[column] = (cells[place], why, values[column.name])
        faults += _row_faults(row, bad) + _repeated(row, values, [c for c in columns if c not in bad], seen)
        table.rows.append(values)
        table.lines.append(row)
        table.others.append({heading: cells[place] for place, heading in enumerate(headings) if place not in where})
    return table


def _repeated(
    row: int, values: dict[str, object], columns: list[Column], seen: dict[tuple[str, str], int]
) -> list[Fault]:
    """Values that may stand in the table once and do so again; other capitals make no other value."""
    faults = []
    for column in columns:
        value = values[column.name]
        if column.unique and value not in ("", None):
            key = (column.name, unicodedata.normalize("NFC", str(value)).casefold())
            if key in seen:
                why = SENTENCES["twice"].format(value=shown(value), row=seen[key])
                faults.append(Fault(row, column.heading, why))
            seen.setdefault(key, row)
    return faults


def _cells(content: bytes, name: str) -> Lines:
    """Each line's number and its cells, without blanks round them."""
    if len(content) > MOST_BYTES:
        raise BadTable(name, [Fault(0, "", SENTENCES["large"])])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadTable(name, [Fault(0, "", SENTENCES["encoding"])]) from None
    if "\0" in text:
        raise BadTable(name, [Fault(0, "", SENTENCES["encoding"])])
    first = re.sub(r'"[^"]*"', "", next((line for line in text.splitlines() if line.strip()), ""))
    delimiter = max(";\t,", key=lambda sign: (first.count(sign) > 0, -";\t,".index(sign)))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True, skipinitialspace=True)
    lines = []
    try:
        for number, cells in enumerate(reader, start=1):
            lines.append((number, [cell.strip() for cell in cells]))
    except csv.Error:
        raise BadTable(name, [Fault(len(lines) + 1, "", SENTENCES["quote"])]) from None
    return lines


def _header(cells: list[str], columns: Sequence[Column]) -> Where:
    """Where each column stands, and the factor of its unit (0 if it isn't known); empty if no cell is a heading."""
    where: Where = {}
    for place, cell in enumerate(cells):
        for column in columns:
            factor = column.factor(cell)
            if factor is not None:
                where[place] = (column, factor)
    return where


def _header_faults(row: int, headings: list[str], where: Where) -> list[Fault]:
    names = Counter(where[place][0].name if place in where else heading for place, heading in enumerate(headings))
    faults = [Fault(row, name, SENTENCES["two names"]) for name, count in names.items() if count > 1 and name]
    for place, (column, factor) in where.items():
        if not factor:
            words = SENTENCES["unit"].format(
                unit=shown(name_and_unit(headings[place])[1]), known=", ".join(column.units)
            )
            faults.append(Fault(row, headings[place], words))
    return faults


def _decimal(lines: Lines, where: Where) -> str:
    """The decimal sign that most of the table's numbers have; a point if there is none."""
    texts = [
        cells[place]
        for _, cells in lines
        for place, (column, _) in where.items()
        if column.kind != "text" and place < len(cells) and NUMBER.fullmatch(cells[place])
    ]
    commas, points = (sum(sign in text for text in texts) for sign in ",.")
    return "," if commas > points else "."


def _row_faults(row: int, bad: dict[Column, tuple[str, str, object]]) -> list[Fault]:
    """What is wrong in a row; two values that would fit each other's columns are asked about as swapped."""
    whys = {column: why for column, (_, why, _) in bad.items()}
    for one, other in combinations(bad, 2):
        (cell, _, value), (cell_there, _, value_there) = bad[one], bad[other]
        numbers = isinstance(value, float) and isinstance(value_there, float)
        if numbers and one.fits(value_there) and other.fits(value):  # type: ignore[arg-type]
            whys[one] = SENTENCES["swapped"].format(value=shown(cell), other=other.heading)
            whys[other] = SENTENCES["swapped"].format(value=shown(cell_there), other=one.heading)
    return [Fault(row, column.heading, why) for column, why in whys.items()]
