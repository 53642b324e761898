"""The marks table, and what a new one changes in the one that is there."""

import csv
import io
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from cyclokit.course.marking.earned import NOTHING, Marked
from cyclokit.course.marking.ledger import Ledger
from cyclokit.files import as_path
from cyclokit.signatures import read
from cyclokit.texts import plain

TABLE, CHANGED = "marks.csv", "changes.csv"
SENTENCES = {
    "changed": "{sheet} {letter}: {before} -> {now} for {count} ({why})",
    "who": "Who they are stands in {file}.",
    "anew": "another hand-in counts",
    "corrected": "Corrected {why}.",
}


class Change(NamedTuple):
    """A mark that is another one than in the table that is there, and why."""

    student: str
    sheet: str
    task: str
    before: str
    now: str
    why: str


@read
def headings(book: Ledger, known: dict[str, dict[str, str]]) -> tuple[list[str], list[tuple[str, str]]]:
    """The roster's other columns that reach the table, and sheet and part of each column that follows them."""
    others = list(dict.fromkeys(name for row in known.values() for name in row if name != "place"))
    first = {entry.sheet: word for word, entry in reversed(book.entries.items())}
    letters = {sheet: [kept["letter"] for kept in book.row(first[sheet])["tasks"]] for sheet in reversed(first)}
    return others, [(sheet, part) for sheet, found in letters.items() for part in [*found, "total", "receipt"]]


@read
def line(sheets: list[Marked], parts: list[tuple[str, str]]) -> list[str]:
    """A student's cells under what `headings` gave, marks as text so that nothing is rounded."""
    mine = {sheet.row["sheet"]: sheet for sheet in sheets}
    return [_part(mine[name], part) if name in mine else "" for name, part in parts]


def _part(sheet: Marked, part: str) -> str:
    if part in ("total", "receipt"):
        return str(getattr(sheet, part))
    return sheet.shown(part)


def there(folder: str | Path) -> dict[str, str]:
    """The lines of the table that is there, as text, by the students' ids; its heading's is "". Empty if none is.

    A spreadsheet may have saved it: with semicolons, other line ends, empty lines. ValueError if it is no such table.
    """
    file = as_path("folder", folder) / TABLE
    if not file.exists():
        return {}
    try:
        text = file.read_text(encoding="utf-8-sig")
        sign = next((sign for sign in ";\t" if text.startswith(f"id{sign}")), ",")
        rows = (cells for cells in csv.reader(io.StringIO(text, newline=""), delimiter=sign) if any(cells))
        heading = next(rows, [""])
        lines = {cells[0]: _text(cells) for cells in rows}
    except (UnicodeDecodeError, csv.Error):
        heading = [""]
    if heading[0] != "id":
        raise ValueError(f"{plain(file)} is no longer the table that was written: take it away, and mark again.")
    return {**lines, "": _text(heading)}


def _text(cells: list[str]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="").writerow(cells)
    return text.getvalue()


def _cells(text: str) -> list[str]:
    return next(csv.reader(io.StringIO(text, newline="")))


@read
def changes(before: dict[str, str], sheets: list[Marked]) -> list[Change]:
    """What a student gains or loses and why, held against what is `there`: nothing where there was no table."""
    student = sheets[0].row["student"] if sheets else ""
    old = dict(zip(_cells(before[""]), _cells(before.get(student, '""')), strict=False)) if before else {}
    return [change for sheet in sheets for change in _of_sheet(old, sheet)]


def _of_sheet(old: dict[str, str], sheet: Marked) -> Iterable[Change]:
    name = sheet.row["sheet"]
    for kept in sheet.row["tasks"]:
        letter = kept["letter"]
        now, was = sheet.shown(letter), old.get(f"{name} {letter}")
        if was is not None and was != now:
            anew = old.get(f"{name} receipt") != sheet.receipt != ""
            how = sheet.earned[letter].how if sheet.earned else NOTHING
            why = [SENTENCES["anew"]] * anew + [SENTENCES["corrected"].format(why=words) for words in kept["corrected"]]
            yield Change(sheet.row["student"], name, letter, was or "-", now or "-", "; ".join([*why, how]))


@read
def told(changed: list[Change]) -> list[str]:
    """How many gain or lose what and why, in lines without names."""
    counts: dict[tuple[str, ...], int] = {}
    for change in changed:
        counts[change[1:]] = counts.get(change[1:], 0) + 1
    lines = []
    for (sheet, letter, before, now, why), count in counts.items():
        words = {"sheet": sheet, "letter": letter, "before": before, "now": now, "count": count, "why": why}
        lines.append(SENTENCES["changed"].format(**words))
    return [*lines, SENTENCES["who"].format(file=CHANGED)] if lines else []
