"""Numbers dealt to a class: for each student a folder with sheets, each with a word of its own in its first cell."""

import json
import re
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

from cyclokit import __version__, tables
from cyclokit.course.marking import ledger, paper, settings
from cyclokit.course.marking.ledger import Ledger
from cyclokit.course.reader.folder import notebooks
from cyclokit.course.sheets import blank
from cyclokit.course.sheets.library import Tasks, load_tasks
from cyclokit.course.sheets.sheet import SHEETS_WORD
from cyclokit.course.sheets.task import asked
from cyclokit.files import alone, as_path, write_whole
from cyclokit.signatures import read
from cyclokit.tables import Column, Table
from cyclokit.texts import plain, shown

ROSTER = (Column("id", unique=True), Column("place", needed=False, unique=True))
FORMULA = "=+-@"  # with which a spreadsheet's formula begins
NO_NAME = '/\\:*?"<>|'  # what a folder's name can't have everywhere
RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)  # names that Windows keeps for itself
SHORTENED = re.compile(r"\d([.,]\d+)?E\+\d+")
WORDS, REPORT = "words.csv", "report.csv"

SENTENCES = {
    "slash": "{value} has {sign} in it, which no folder's name can have: give another id",
    "dots": "{value} is no name for a folder: give another id",
    "formula": "{value} begins with {sign}, which a spreadsheet takes for a formula: put another character before it",
    "shortened": "{value} looks like a number that a spreadsheet has shortened: make the column text, and fill it anew",
    "hidden": "{value} has a character in it that can't be seen: take it out",
    "known as": "{value} was dealt to as {before}: write it in that way",
    "control": "{value} has a control character in it: take it out",
    "nobody": "there is no student in it",
    "dealt": "dealt {sheet} to {count} students",
    "gone": "is no longer in the roster, and keeps what was dealt",
    "not whole": "is in the student's folder, but is no notebook with the student's word: delete it, and deal again",
    "not quiet": "was dealt before, and its checks are not quiet: delete it, and deal again",
    "report": "{count} lines to look at in {file}",
    "answers": "{file} is in every folder that was dealt and contains the right answers.",
    "your numbers": "- **Your numbers:** they are drawn from the word in the first cell, which is yours alone. "
    "Leave it and the edition as they are.",
}


class _Dealt(NamedTuple):
    """A sheet to be dealt: its tasks, its file's name, the blank notebook, and the file of tasks where there is one."""

    tasks: Tasks
    stem: str
    notebook: dict[str, Any]
    file: Path | None


@read
def deal(
    roster: str | Path,
    course: str | Path,
    sheets: Sequence[str],
    quiet: bool = False,
    fresh: str = "",
    printed: bool = False,
) -> list[str]:
    """Deal sheets to the students of a roster; dealing again adds what is missing and changes nobody's word.

    Parameters
    ----------
    roster : str or Path
        A table with a column `id`, perhaps `place`, and any others.
    course : str or Path
        The course's folder; made if it isn't there.
    sheets : sequence of str
        Numbers or names of sheets, or files of tasks.
    quiet : bool
        Whether the sheets' checks say only what was read, as in an examination.
    fresh : str
        The id of a student who gets other numbers in these sheets; nobody else is dealt anything then.
    printed : bool
        Whether a page to be printed is made for each student and sheet, and a key.

    Returns
    -------
    list of str
        What was done, a line each.

    Raises
    ------
    ValueError
        If the roster or a sheet can't be used; then nothing is dealt.
    """
    table, course = _read_roster(roster), as_path("course", course)
    if not sheets:
        raise ValueError("sheets is empty, but nothing is dealt then: give numbers such as 1,2,3.")
    found = [_sheet_of(name) for name in sheets]
    ids = [str(row["id"]) for row in table.rows]
    if fresh and fresh not in ids:
        raise ValueError(f"fresh is {shown(fresh)}, but there is no such id in the roster: give one of the roster.")
    said = list(table.notes)
    course.mkdir(parents=True, exist_ok=True)
    with alone(course / ".course"):
        secret = ledger.make_keep(course)
        book, known = Ledger(course), ledger.students(course)
        report = [(name, "", SENTENCES["gone"]) for name in known if name not in ids]
        _same_ids(Path(roster).name, table, list(known))
        for row, others in zip(table.rows, table.others, strict=True):
            known[str(row["id"])] = {"place": str(row["place"]), **others}
        for sheet in found:
            count = _draw(book, secret, sheet, [fresh] if fresh else ids, bool(fresh))
            said.append(SENTENCES["dealt"].format(sheet=sheet.tasks.name, count=count))
        ledger.save_students(course, known)  # first what is kept, then what is handed out: killed between, begin again
        book.save()
        words = [(entry.student, entry.sheet, word) for word, entry in book.entries.items() if not entry.replaced]
        write_whole(course / ledger.KEEP / WORDS, tables.written([("id", "sheet", "word"), *words]))
        report += _hand_out(course, book, found, quiet)
        write_whole(course / ledger.KEEP / REPORT, tables.written([("student", "sheet", "why"), *report]))
        settings.make_settings(course)
        if printed:
            paper.write(course, book, {sheet.tasks.name: sheet.tasks for sheet in found})
    if report:
        said.append(SENTENCES["report"].format(count=len(report), file=f"{ledger.KEEP}/{REPORT}"))
    said += [SENTENCES["answers"].format(file=sheet.file.name) for sheet in found if sheet.file]
    return said


def _read_roster(roster: str | Path) -> Table:
    """The students, every one with an id that a folder can have; refuses by name what isn't fit for a spreadsheet."""
    file = as_path("roster", roster)
    if not file.is_file():
        raise ValueError(f"roster is {shown(str(file))}, but there is no such file: give a table with a column id.")
    table = tables.read(file.read_bytes(), ROSTER, file.name, keep_others=True)
    faults = [
        tables.Fault(0, name, why)
        for name in dict.fromkeys(n for o in table.others for n in o)
        if (why := _unfit(name, False))
    ]
    if not table.rows:
        faults.append(tables.Fault(0, "id", SENTENCES["nobody"]))
    for line, row, others in zip(table.lines, table.rows, table.others, strict=True):
        cells = {**{name: str(value) for name, value in row.items()}, **others}
        for name, value in cells.items():
            if why := _unfit(value, name == "id"):
                faults.append(tables.Fault(line, name, why))
    if faults:
        raise tables.BadTable(file.name, faults)
    return table


def _same_ids(name: str, table: Table, known: list[str]) -> None:
    """Refuse an id that was dealt to in other capitals, or with its accents made otherwise: one folder for two."""
    before = {unicodedata.normalize("NFC", student).casefold(): student for student in known}
    faults = []
    for line, row in zip(table.lines, table.rows, strict=True):
        there = before.get(unicodedata.normalize("NFC", str(row["id"])).casefold(), row["id"])
        if there != row["id"]:
            words = {"value": ascii(row["id"]), "before": ascii(there)}
            faults.append(tables.Fault(line, "id", SENTENCES["known as"].format(**words)))
    if faults:
        raise tables.BadTable(name, faults)


def _unfit(value: str, is_id: bool) -> str:
    """What is wrong with a cell of the roster, "" for nothing."""
    words = {"value": shown(value)}
    if any(unicodedata.category(sign) == "Cc" for sign in value):
        return SENTENCES["control"].format(**words)
    if value[:1] and value[0] in FORMULA:
        return SENTENCES["formula"].format(**words, sign=value[0])
    if not is_id:
        return ""
    if plain(value) != value:
        return SENTENCES["hidden"].format(**words)
    if SHORTENED.fullmatch(value):
        return SENTENCES["shortened"].format(**words)
    if bad := next((sign for sign in value if sign in NO_NAME), ""):
        return SENTENCES["slash"].format(**words, sign=bad)
    if ".." in value or value.endswith(".") or RESERVED.fullmatch(value) or len(value.encode()) > 100:
        return SENTENCES["dots"].format(**words)
    return ""


def _sheet_of(name: str) -> _Dealt:
    """A sheet by its number, its name or its file of tasks, with the blank notebook that belongs to it."""
    if name.endswith(".py"):
        found, file = load_tasks(name), Path(name)
        return _Dealt(found, file.stem, blank.notebook(found, file.name), file)
    pattern = f"{int(name):02d}_*.ipynb" if name.isdecimal() else f"*_{name}.ipynb"
    there = sorted((notebooks() / "exercises").glob(pattern)) if re.fullmatch(r"\w+", name) else []
    if len(there) != 1:
        have = ", ".join(path.stem for path in sorted((notebooks() / "exercises").glob("*.ipynb")))
        raise ValueError(f"sheets has {shown(name)}, but the sheets are {have}: give numbers such as 1,2,3.")
    found = load_tasks(there[0].stem.partition("_")[2])
    return _Dealt(found, there[0].stem, json.loads(there[0].read_text(encoding="utf-8")), None)


def _draw(book: Ledger, secret: bytes, sheet: _Dealt, ids: list[str], afresh: bool) -> int:
    """Add a row for each student who has none of this sheet, or afresh; return how many."""
    name, edition = sheet.tasks.name, sheet.tasks.editions[-1]
    old = {entry.student: word for word, entry in book.entries.items() if entry.sheet == name and not entry.replaced}
    count = 0
    for student in ids:
        if student in old and not afresh:
            continue
        number = 1
        if student in old:
            row = book.row(old[student])
            book.put({**row, "replaced": True})
            number = row["number"] + 1
        word = ledger.word(secret, student, name, number)
        tasks = [ledger.task_row(task, asked(task, f"{name}/{word}", edition)) for task in sheet.tasks.tasks]
        book.put(
            {
                **{"student": student, "sheet": name, "word": word, "number": number, "edition": edition},
                **{"version": __version__, "replaced": False, "tasks": tasks},
            }
        )
        count += 1
    return count


def _hand_out(course: Path, book: Ledger, sheets: list[_Dealt], quiet: bool) -> list[tuple[str, str, str]]:
    """Write each student's sheets that aren't there yet; tell of those that are there and aren't whole."""
    report = []
    by_name = {sheet.tasks.name: sheet for sheet in sheets}
    for word, entry in book.entries.items():
        sheet = by_name.get(entry.sheet)
        if sheet is None or entry.replaced:
            continue
        row = book.row(word)
        folder = course / ledger.OUT / row["student"]
        folder.mkdir(parents=True, exist_ok=True)
        again = f"_{row['number']}" if row["number"] > 1 else ""
        target = folder / f"{sheet.stem}{again}.ipynb"
        if not target.exists():
            write_whole(target, _with_word(sheet, row["word"], row["edition"], quiet))
        elif why := _otherwise(target, word, quiet):  # somebody's work may be in it: it stays
            report.append((entry.student, target.stem, why))
        if sheet.file and not (folder / sheet.file.name).exists():
            write_whole(folder / sheet.file.name, sheet.file.read_bytes())
    return report


def _otherwise(target: Path, word: str, quiet: bool) -> str:
    """What a sheet that was handed out earlier has not: its student's word, or quiet checks; "" if it has."""
    try:
        cells = json.loads(target.read_text(encoding="utf-8"))["cells"]
        text = "\n".join("".join(cell["source"]) for cell in cells)
    except (OSError, ValueError, KeyError, TypeError):
        text = ""
    if f'"{word}"' not in text:
        return SENTENCES["not whole"]
    return SENTENCES["not quiet"] if quiet and "quiet=True" not in text else ""


def _with_word(sheet: _Dealt, word: str, edition: int, quiet: bool) -> bytes:
    """The blank sheet with a student's word in its first cell, and nothing run."""
    cells, changed = [], 0
    for cell in sheet.notebook["cells"]:
        text = "".join(cell["source"])
        if cell["cell_type"] == "markdown":
            text = re.sub(r"^- \*\*Your numbers:\*\*.*$", SENTENCES["your numbers"], text, flags=re.MULTILINE)
            cells.append({**cell, "source": text.splitlines(keepends=True)})
            continue
        text, once = re.subn(rf'^my_word = "{SHEETS_WORD}"$', f'my_word = "{word}"', text, flags=re.MULTILINE)
        quietly = ", quiet=True" if quiet else ""
        text = re.sub(r"my_word, edition=\d+\)", f"my_word, edition={edition}{quietly})", text)
        changed += once
        source = text.splitlines(keepends=True)
        cells.append({**cell, "source": source, "outputs": [], "execution_count": None})
    if changed != 1:
        raise ValueError(f"{sheet.stem} has not one place for a word: make its blank again.")
    return (json.dumps({**sheet.notebook, "cells": cells}, indent=1, ensure_ascii=False) + "\n").encode()
