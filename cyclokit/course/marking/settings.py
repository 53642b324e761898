"""What an instructor writes: corrections of the ledger, decisions on hand-ins, times at which they came."""

import datetime
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from cyclokit import tables
from cyclokit.course.marking.ledger import Ledger, Row, SheetRow
from cyclokit.files import as_path, write_whole
from cyclokit.signatures import read
from cyclokit.tables import BadTable, Column, Fault
from cyclokit.texts import plain, shown

SETTINGS, DECISIONS, TIMES = "settings.toml", "decisions.csv", "times.csv"
COUNTS, IGNORED = "counts", "does not count"
TEMPLATE = b"""# Corrections, applied in this order when a class is marked. Each has date, sheet, task, why, and one of
#   tolerance = 0.02          another tolerance, as the task has it (a share, or mm for an outline)
#   slip = 1, share = 0.5     what the first known slip earns, as a share of the marks
#   everyone = true           all marks for whoever handed in this sheet
#   right = 12.5              another right number, for one student = "id"
#
# [[corrections]]
# date = 2027-01-31
# sheet = "one_lobe_fewer"
# task = "b"
# why = "the text could be read in two ways"
# slip = 1
# share = 1.0
"""
ALLOWED = ({"tolerance"}, {"slip", "share"}, {"everyone"}, {"right", "student"})

Correction = dict[str, Any]
Thing = TypeVar("Thing")


def make_settings(course: str | Path) -> None:
    """Write settings and tables to fill in, where there are none."""
    folder = as_path("course", course)
    if not folder.is_dir():
        raise ValueError(f"course is {shown(str(course))}, but there is no such folder: deal first.")
    texts = {
        SETTINGS: TEMPLATE,
        DECISIONS: tables.written([("place", "decision")]),
    }
    for name, content in texts.items():
        if not (folder / name).exists():
            write_whole(folder / name, content)


def corrections(course: str | Path) -> list[Correction]:
    """The corrections in the course's settings; refuses by its number one that can't be used, or fits nothing dealt."""
    file = as_path("course", course) / SETTINGS
    if not file.exists():
        return []
    try:
        found = tomllib.loads(file.read_text(encoding="utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise ValueError(f"{plain(file)} can't be read ({plain(error)}): correct it.") from None
    given = found.get("corrections", [])
    if set(found) - {"corrections"} or not isinstance(given, list):
        raise ValueError(f"{plain(file)} has something other than [[corrections]]: take it out.")
    dealt = _dealt(course) if given else {}
    for number, correction in enumerate(given, start=1):
        if why := _unfit(correction) or _fits_nothing(correction, dealt):
            raise ValueError(f"{plain(file)}, correction {number}: {why}.")
    return given


def _dealt(course: str | Path) -> dict[str, dict[str, Row]]:
    """Of each sheet that was dealt the row of each student."""
    found: dict[str, dict[str, Row]] = {}
    for row in Ledger(course).rows():
        tasks = {kept["letter"]: (kept["kind"], "tolerance" in kept, len(kept["looks"])) for kept in row["tasks"]}
        found.setdefault(row["sheet"], {})[row["student"]] = tasks
    return found


def _fits_nothing(correction: Correction, dealt: dict[str, dict[str, Row]]) -> str:
    """Why nobody could gain or lose anything by a correction, "" if somebody can."""
    sheet, task = correction["sheet"], correction["task"]
    if sheet not in dealt:
        return f"sheet is {shown(sheet)}, but what was dealt is {', '.join(sorted(dealt))}"
    students = dealt[sheet]
    if (student := correction.get("student", "")) and student not in students:
        return f"student is {shown(student)}, but this sheet was dealt to no such id"
    tasks = [students[student]] if student else list(students.values())
    found = [row[task] for row in tasks if task in row]
    if not found:
        return f"task is {shown(task)}, but this sheet has {', '.join(tasks[0])}"
    kinds, tolerances, slips = zip(*found, strict=True)
    if "tolerance" in correction and not any(tolerances):
        return f"task {task} has no tolerance"
    if "right" in correction and "number" not in kinds:
        return f"task {task} has no number for an answer"
    if correction.get("slip", 0) > max(slips):
        return f"slip is {correction['slip']}, but task {task} has {max(slips)} that are known"
    return ""


def _unfit(correction: Any) -> str:
    """What is wrong with a correction, "" for nothing."""
    if not isinstance(correction, dict):
        return "it is no table: begin it with [[corrections]]"
    if type(correction.get("date")) is not datetime.date:
        return f"date is {shown(correction.get('date'))}, but must be a day such as 2027-01-31"
    for name in ("sheet", "task", "why"):
        if not isinstance(correction.get(name), str) or not correction[name].strip():
            return f"{name} must be a text with something in it"
    what = set(correction) - {"date", "sheet", "task", "why"}
    if what not in ALLOWED:
        return "give one of tolerance; slip and share; everyone; right and student"
    ranges = {"tolerance": (1e-12, 1e3), "share": (0, 1), "slip": (1, 100), "right": (-1e300, 1e300)}
    for name in what & set(ranges):
        value, (least, most) = correction[name], ranges[name]
        if type(value) not in (int, float) or not least <= value <= most or (name == "slip" and type(value) is not int):
            return f"{name} is {shown(value)}, but must be a number from {least:g} to {most:g}"
    if "everyone" in what and correction["everyone"] is not True:
        return "everyone must be true"
    if "student" in what and not isinstance(correction["student"], str):
        return "student must be an id, as a text"
    return ""


@read
def corrected(row: SheetRow, given: list[Correction]) -> Row:
    """A row, corrected: its tasks get `shares` (what each slip earns), `everyone` and `corrected` (why)."""
    return {**row, "tasks": [_task(row, kept, given) for kept in row["tasks"]]}


def _task(row: Row, kept: Row, given: list[Correction]) -> Row:
    kept = {**kept, "shares": {}, "everyone": False, "corrected": []}
    for correction in given:
        if (correction["sheet"], correction["task"]) != (row["sheet"], kept["letter"]):
            continue
        if correction.get("student", row["student"]) != row["student"]:
            continue
        if "tolerance" in correction and "tolerance" in kept:
            kept["tolerance"] = float(correction["tolerance"])
        if "slip" in correction:
            kept["shares"] = {**kept["shares"], correction["slip"]: correction["share"]}
        if "right" in correction and kept["kind"] == "number":
            kept["right"] = float(correction["right"])
        kept["everyone"] = kept["everyone"] or "everyone" in correction
        kept["corrected"] = [*kept["corrected"], f"{correction['date']}: {correction['why']}"]
    return kept


def decisions(course: str | Path) -> dict[str, str]:
    """For each place that was decided on, whether it counts."""
    return _by_place(course, DECISIONS, "decision", _decision)


def _decision(text: str) -> tuple[str, str]:
    """A decision, and what is wrong with it, "" for nothing."""
    decision = text.casefold()
    known = decision in (COUNTS, IGNORED)
    return decision, "" if known else f"{shown(text)} is none of '{COUNTS}' and '{IGNORED}': write one of these"


def times(course: str | Path) -> dict[str, datetime.datetime]:
    """When each place was handed in, as far as that is known."""
    return _by_place(course, TIMES, "time", _time)


def _time(text: str) -> tuple[datetime.datetime, str]:
    """A time, and what is wrong with it, "" for nothing."""
    try:
        moment = datetime.datetime.fromisoformat(text)
    except ValueError:
        moment = datetime.datetime.min
    zone = moment.tzinfo is not None
    return moment, "" if zone else f"{shown(text)} is no time with a zone: write it as 2027-01-31T16:00+01:00"


def _by_place(
    course: str | Path, name: str, column: str, understood: Callable[[str], tuple[Thing, str]]
) -> dict[str, Thing]:
    """What a table says of each place; those that differ in capitals alone are two. Empty if there is no such table."""
    file = as_path("course", course) / name
    if not file.exists():
        return {}
    table = tables.read(file.read_bytes(), (Column("place"), Column(column)), name)
    found: dict[str, Thing] = {}
    bad = []
    for line, row in zip(table.lines, table.rows, strict=True):
        place, (value, why) = str(row["place"]), understood(str(row[column]))
        if why:
            bad.append(Fault(line, column, why))
        if place in found:
            bad.append(Fault(line, "place", f"{shown(place)} stands in the table already: keep one of the two"))
        found[place] = value
    if bad:
        raise BadTable(name, bad)
    return found
