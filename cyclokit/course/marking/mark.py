"""A class marked: what was handed in is read, judged against the ledger, settled, and written as tables and pages.

Nothing that was handed in is executed, imported, unpickled or evaluated. One hand-in is in memory at a time; what came
of it is laid aside until marks are written, student by student.
"""

import hashlib
import json
import re
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

from cyclokit import tables
from cyclokit.course.answers.outcomes import RIGHT
from cyclokit.course.marking import class_page, collect, ledger, marks_table, reasons, replies, settings
from cyclokit.course.marking.aside import LaidAside, Outcome
from cyclokit.course.marking.collect import CantRead
from cyclokit.course.marking.earned import Marked, marked
from cyclokit.course.marking.judge import judge
from cyclokit.course.marking.ledger import Entry, Ledger, Row
from cyclokit.course.marking.marks_table import Change
from cyclokit.course.marking.paper import file_name
from cyclokit.course.marking.reasons import Read, Reason, safe
from cyclokit.course.marking.settle import SENTENCES as WHY
from cyclokit.course.marking.settle import Attempt, Listed, owner, settle
from cyclokit.files import alone, as_path, write_whole
from cyclokit.signatures import read
from cyclokit.texts import plain, shown

MARKS = "marks"  # the folder of what is written
LISTED = "to_look_at.csv"
COUNTED = "{files} files, {counting} sheets count, {listed} lines to look at."


class _Class(NamedTuple):
    """What marking a class needs beside the hand-ins."""

    book: Ledger
    given: list[settings.Correction]
    words: dict[str, list[str]]  # of each student, in the roster's order
    counting: dict[str, list[Attempt]]
    aside: LaidAside

    def row(self, word: str) -> Row:
        return settings.corrected(self.book.row(word), self.given)

    def outcomes(self, word: str) -> list[Outcome]:
        return [self.aside.at(attempt.where) for attempt in self.counting.get(word, [])]

    def sheets(self, student: str, by_person: dict[str, Read]) -> list[Marked]:
        return [marked(self.row(word), self.outcomes(word), by_person) for word in self.words[student]]


@read
def mark(course: str | Path, handed_in: str | Path, say: Callable[[str], object]) -> None:
    """Judge what was handed in, and write marks, replies, a class page and what is to be looked at.

    Parameters
    ----------
    course : str or Path
        The folder in which numbers were dealt.
    handed_in : str or Path
        A folder with notebooks and zip files, in any folders.
    say : callable
        Called with each line that is to be told, without names, before anything is written.

    Raises
    ------
    ValueError
        If nothing was dealt there, there is no such folder, or a table or the settings can't be used; then nothing
        is written.
    """
    kept, handed_in = ledger.keep(course), as_path("handed_in", handed_in)
    course, folder = kept.parent, kept.parent / MARKS
    if not handed_in.is_dir():
        raise ValueError(f"handed_in is {shown(str(handed_in))}, but there is no such folder: give what was handed in.")
    with alone(course / ".course"), LaidAside(kept) as aside:
        given, decided, times = settings.corrections(course), settings.decisions(course), settings.times(course)
        book, known = Ledger(course), ledger.students(course)
        attempts = _judged(book, handed_in, given, aside)
        accounts = {student: unicodedata.normalize("NFC", others.get("place", "")) for student, others in known.items()}
        counting, listed = settle(attempts, accounts, _by_place(decided, attempts), _by_place(times, attempts))
        those = _Class(book, given, _words(book, known), counting, aside)
        listed += _without_work(those)
        by_person: dict[str, Read] = {}
        for name, words in _with_reasons(those).items():
            by_person |= _merged(folder, name, words, those)[1]
        table, changed, counts = _table(folder, known, those, by_person)
        for line in marks_table.told(changed):
            say(plain(line))
        say(COUNTED.format(files=len(attempts), counting=len(counting), listed=len(listed)))
        _write(folder, table, changed, sorted(listed), counts)
        for (sheet, letter), words in _with_reasons(those).items():
            task = next(task for task in those.row(words[0])["tasks"] if task["letter"] == letter)
            lines, _ = _merged(folder, (sheet, letter), words, those)
            reasons.write(folder / "reasons", sheet, task, lines)
        _write_replies(folder / replies.REPLIES, kept / replies.WHOSE, those, by_person, attempts, accounts)


def _words(book: Ledger, known: dict[str, dict[str, str]]) -> dict[str, list[str]]:
    """The words of each student, in the order in which they were dealt."""
    words: dict[str, list[str]] = {student: [] for student in known}
    for word, entry in book.entries.items():
        if not entry.replaced and entry.student in words:
            words[entry.student].append(word)
    return words


def _by_place(table: dict[str, Any], attempts: list[Attempt]) -> dict[str, Any]:
    """What a person wrote for places, who copied these as they are listed; what fits no place stays."""
    typed = {_typed(place): value for place, value in table.items()}
    found = {attempt.place: _typed(attempt.place) for attempt in attempts if table}
    there = {place: typed[listed] for place, listed in found.items() if listed in typed}
    return there | {listed: value for listed, value in typed.items() if listed not in found.values()}


def _typed(place: str) -> str:
    return unicodedata.normalize("NFC", safe(place))


def _without_work(those: _Class) -> list[Listed]:
    entries = [
        those.book.entries[word] for words in those.words.values() for word in words if word not in those.counting
    ]
    return [Listed("", entry.student, entry.sheet, WHY["no work"]) for entry in entries]


def _judged(book: Ledger, handed_in: Path, given: list[settings.Correction], aside: LaidAside) -> list[Attempt]:
    """Every hand-in judged, one after the other, in the order of their places."""
    first: dict[str, Entry | str] = {entry.sheet: word for word, entry in reversed(book.entries.items())}
    names = {
        sheet: [name for kept in book.row(str(word))["tasks"] for name in kept["names"]]
        for sheet, word in first.items()
    }
    return [
        _attempt(_readable(place), content, book, names, given, aside)
        for place, content in collect.notebooks(handed_in)
    ]


def _readable(place: str) -> str:
    """A place as text that can be written; of two that differ in bytes that are no text, both stay what they are."""
    return re.sub("[\ud800-\udfff]", lambda found: f"~{ord(found[0]):x}", place)


def _attempt(
    place: str,
    content: bytes | CantRead,
    book: Ledger,
    names: dict[str, list[str]],
    given: list[settings.Correction],
    aside: LaidAside,
) -> Attempt:
    try:
        if isinstance(content, CantRead):
            raise content
        data, remarks, own_cells = collect.read(content, names)
    except CantRead as error:
        return Attempt(place, why=str(error))
    word = data["word"]
    if word not in book.entries:
        return Attempt(place, why=WHY["word"])
    entry = book.entries[word]
    attempt = Attempt(place, "", entry.word, entry.student, entry.sheet)
    if entry.replaced:
        return attempt._replace(why=WHY["replaced"])
    if data["sheet"] != entry.sheet:
        return attempt._replace(why=WHY["sheet"])
    row = settings.corrected(book.row(word), given)
    if data["edition"] != str(row["edition"]):
        return attempt._replace(why=WHY["edition"])
    answers = hashlib.sha256(json.dumps(data["answers"], sort_keys=True).encode()).digest()
    results = {kept["letter"]: judge(row["sheet"], kept, data["answers"].get(kept["letter"])) for kept in row["tasks"]}
    outcome = Outcome(place, collect.receipt(data), results, remarks, sorted(own_cells))
    return attempt._replace(answers=answers, where=aside.add(outcome))


def _with_reasons(those: _Class) -> dict[tuple[str, str], list[str]]:
    """For each task with a reason, by sheet and letter, the words of all who have it."""
    found: dict[tuple[str, str], list[str]] = {}
    letters: dict[str, list[str]] = {}
    for words in those.words.values():
        for word in words:
            sheet = those.book.entries[word].sheet
            if sheet not in letters:
                tasks = those.book.row(word)["tasks"]
                letters[sheet] = [kept["letter"] for kept in tasks if kept["kind"] == "choice" and kept["reason"]]
            for letter in letters[sheet]:
                found.setdefault((sheet, letter), []).append(word)
    return found


def _merged(
    folder: Path, name: tuple[str, str], words: list[str], those: _Class
) -> tuple[list[list[object]], dict[str, Read]]:
    """A task's table of reasons to be written, and by their codes what a person gave."""
    sheet, letter = name
    (most,) = {kept["marks"] for kept in those.row(words[0])["tasks"] if kept["letter"] == letter}
    answers = []
    for word in words:
        for attempt in those.counting.get(word, [])[:1]:
            result = those.aside.at(attempt.where).results[letter]
            if result.reason:
                code = reasons.code_of(word, letter)
                answers.append(Reason(code, result.read, result.outcome == RIGHT, result.reason))
    return reasons.merged(folder / "reasons" / f"{file_name(f'{sheet}_{letter}')}.csv", most, answers)


def _table(
    folder: Path, known: dict[str, dict[str, str]], those: _Class, by_person: dict[str, Read]
) -> tuple[bytes, list[Change], class_page.Counts]:
    """The marks table, what it changes in the one that is there, and what is counted of the class."""
    others, parts = marks_table.headings(those.book, known)
    rows = [["id", *others, *(f"{sheet} {part}" for sheet, part in parts)]]
    before, changed, counts = marks_table.there(folder), list[Change](), class_page.Counts()
    for student, row in known.items():
        sheets = those.sheets(student, by_person)
        rows.append([student, *(row.get(name, "") for name in others), *marks_table.line(sheets, parts)])
        changed += marks_table.changes(before, sheets)
        class_page.count(counts, sheets)
    return tables.written(rows), changed, counts


def _write(folder: Path, table: bytes, changed: list[Change], listed: list[Listed], counts: class_page.Counts) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    if changed:  # first, or a kill would lose them; without changes the last ones stay
        write_whole(folder / marks_table.CHANGED, tables.written([Change._fields, *changed]))
    lines = [[safe(cell) for cell in line] for line in listed]
    write_whole(folder / LISTED, tables.written([Listed._fields, *lines]))
    write_whole(folder / class_page.ALIKE, tables.written([("sheet", "what", "students"), *class_page.alike(counts)]))
    write_whole(folder / class_page.CLASS, class_page.drawn(counts))
    write_whole(folder / marks_table.TABLE, table)


def _write_replies(
    folder: Path,
    whose: Path,
    those: _Class,
    by_person: dict[str, Read],
    attempts: list[Attempt],
    accounts: dict[str, str],
) -> None:
    students = {attempt.place: attempt.student for several in those.counting.values() for attempt in several}
    students = {place: student for place, student in students.items() if student in those.words}
    unread = {
        attempt.place: attempt.why
        for attempt in attempts
        if attempt.why and not attempt.student and attempt.place.casefold().endswith(".ipynb")
    }
    where = replies.paths(sorted({**students, **unread}))
    rows = [(path, students.get(place) or owner(place, accounts) or "") for place, path in where.items()]
    write_whole(whose, tables.written([("reply", "student"), *rows]))  # first: killed now, `forget` finds them all
    everybody = (sheet for student in those.words for sheet in those.sheets(student, by_person))
    replies.write(folder, where, everybody, unread)
