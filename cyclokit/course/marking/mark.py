"""A class marked: what was handed in is read, judged against the ledger, settled, and written as tables and pages.

Nothing that was handed in is executed, imported, unpickled or evaluated.
"""

import hashlib
import json
from collections import defaultdict
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from cyclokit.course.answers.outcomes import RIGHT
from cyclokit.course.marking import collect, ledger, pages, reasons, settings
from cyclokit.course.marking.collect import CantRead
from cyclokit.course.marking.judge import Result, judge
from cyclokit.course.marking.ledger import Ledger, Row
from cyclokit.course.marking.reasons import Read, Reason
from cyclokit.course.marking.settle import SENTENCES as WHY
from cyclokit.course.marking.settle import Attempt, Listed, settle
from cyclokit.files import alone
from cyclokit.texts import plain

MARKS = "marks"  # the folder of what is written

HOW = {
    "everyone": "all marks for everyone",
    "right": "right",
    "slip": "a known slip",
    "wrong": "not right",
    "waits": "waits for a person who reads the reason",
    "read": "read by a person",
}


class Earned(NamedTuple):
    """What a task earned: marks (None until a person has read it), and how that came about."""

    marks: float | None
    how: str
    comment: str = ""


class Marked(NamedTuple):
    """A student's sheet: its row in the ledger with corrections, the attempt that counts, and what each task earned."""

    row: Row
    attempts: list[Attempt]
    earned: dict[str, Earned]


def mark(course: Path, handed_in: Path, say: Callable[[str], object]) -> None:
    """Judge what was handed in, and write marks, replies, a class page and what is to be looked at.

    Parameters
    ----------
    course : Path
        The folder in which numbers were dealt.
    handed_in : Path
        A folder with notebooks and zip files, in any folders.
    say : callable
        Called with each line that is to be told, before anything is written.

    Raises
    ------
    ValueError
        If nothing was dealt there, there is no such folder, or a table or the settings can't be used; then nothing
        is written.
    """
    ledger.keep(course)
    if not handed_in.is_dir():
        raise ValueError(f"{plain(handed_in)} is no folder: give the one with what was handed in.")
    with alone(course / ".course"):
        given, decided, times = settings.corrections(course), settings.decisions(course), settings.times(course)
        book, known = Ledger(course), ledger.students(course)
        attempts = judged(book, handed_in, given)
        accounts = {student: others.get("place", "") for student, others in known.items()}
        counting, listed = settle(attempts, accounts, decided, times)
        rows = [_told(settings.corrected(row, given)) for row in book.rows() if not row["replaced"]]
        rows = [row for row in rows if row["student"] in known]
        listed += [
            Listed("", row["student"], row["sheet"], WHY["no work"]) for row in rows if row["word"] not in counting
        ]
        tables, read = _reasons(course / MARKS / "reasons", rows, counting)
        marked = [_marked(row, counting.get(row["word"], []), read) for row in rows]
        for line in pages.changes(course / MARKS, marked):
            say(line)
        say(pages.counted(attempts, counting, listed))
        for sheet, kept, lines in tables:
            reasons.write(course / MARKS / "reasons", sheet, kept, lines)
        pages.write(course / MARKS, known, marked, attempts, sorted(listed))


def _told(row: Row) -> Row:
    """A row without what only judging needs, so that those of a whole class take little room."""
    heavy = {"given", "right", "wrong", "names"}
    return {**row, "tasks": [{name: kept[name] for name in kept if name not in heavy} for kept in row["tasks"]]}


def judged(book: Ledger, handed_in: Path, given: list[settings.Correction]) -> list[Attempt]:
    """Every hand-in judged, one after the other; of none more is kept than what came of it.

    Parameters
    ----------
    book : Ledger
        What was dealt.
    handed_in : Path
        Where the hand-ins are.
    given : list of dict
        The corrections.

    Returns
    -------
    list of Attempt
        In the order of their places.
    """
    names: dict[str, list[str]] = {}
    for row in book.rows():
        names.setdefault(row["sheet"], [name for kept in row["tasks"] for name in kept["names"]])
    return [
        _attempt(place.encode("utf-8", "replace").decode(), content, book, names, given)
        for place, content in collect.notebooks(handed_in)
    ]


def _attempt(
    place: str,
    content: bytes | CantRead,
    book: Ledger,
    names: dict[str, list[str]],
    given: list[settings.Correction],
) -> Attempt:
    try:
        if isinstance(content, CantRead):
            raise content
        data, remarks, own_cells = collect.read(content, names)
    except CantRead as error:
        return Attempt(place, why=str(error))
    word = data["word"]
    if word not in book:
        return Attempt(place, why=WHY["word"])
    row = settings.corrected(book.row(word), given)
    about = {"place": place, "word": word, "student": row["student"], "sheet": row["sheet"]}
    if row["replaced"]:
        return Attempt(**about, why=WHY["replaced"])
    if data["sheet"] != row["sheet"]:
        return Attempt(**about, why=WHY["sheet"])
    if data["edition"] != str(row["edition"]):
        return Attempt(**about, why=WHY["edition"])
    answers = hashlib.sha256(json.dumps(data["answers"], sort_keys=True).encode()).hexdigest()
    results = {kept["letter"]: judge(row["sheet"], kept, data["answers"].get(kept["letter"])) for kept in row["tasks"]}
    receipt = collect.receipt(data)
    return Attempt(
        **about, receipt=receipt, answers=answers, results=results, remarks=tuple(remarks), own_cells=own_cells
    )


def _reasons(
    folder: Path, rows: list[Row], counting: dict[str, list[Attempt]]
) -> tuple[list[tuple[str, Row, list[list[object]]]], dict[str, Read]]:
    """For each task with a reason its table to be written, and by their codes what a person gave."""
    tasks: dict[tuple[str, str], Row] = {}
    answers: dict[tuple[str, str], list[Reason]] = defaultdict(list)
    for row in rows:
        for kept in row["tasks"]:
            key, letter = (row["sheet"], kept["letter"]), kept["letter"]
            if kept["kind"] != "choice" or not kept["reason"]:
                continue
            tasks.setdefault(key, kept)
            for attempt in counting.get(row["word"], [])[:1]:
                result = attempt.results[letter]
                if result.reason:
                    right = result.outcome == RIGHT
                    code = reasons.code_of(row["word"], letter)
                    answers[key].append(Reason(code, result.read, right, result.reason))
    tables: list[tuple[str, Row, list[list[object]]]] = []
    read: dict[str, Read] = {}
    for (sheet, letter), kept in tasks.items():
        lines, given = reasons.merged(folder / f"{sheet}_{letter}.csv", kept["marks"], answers[sheet, letter])
        tables.append((sheet, kept, lines))
        read |= given
    return tables, read


def _marked(row: Row, attempts: list[Attempt], read: dict[str, Read]) -> Marked:
    earned = {}
    for kept in row["tasks"]:
        if attempts:
            given = read.get(reasons.code_of(row["word"], kept["letter"]))
            earned[kept["letter"]] = _earned(kept, attempts[0].results[kept["letter"]], given)
    return Marked(row, attempts, earned)


def _earned(kept: Row, result: Result, read: Read | None) -> Earned:
    """What the answer to a task earns."""
    if kept["everyone"]:
        return Earned(kept["marks"], HOW["everyone"])
    if result.reason:
        return Earned(read.marks, HOW["read"], read.comment) if read else Earned(None, HOW["waits"])
    if result.outcome == RIGHT:
        return Earned(kept["marks"], HOW["right"])
    if result.slip:
        return Earned(kept["marks"] * kept["shares"].get(result.slip, 0), HOW["slip"])
    return Earned(0, HOW["wrong"] if result.read else result.outcome)
