"""A student's data deleted, and what remains said."""

import csv
import io
import shutil
from pathlib import Path

from cyclokit import tables
from cyclokit.course.marking import class_page, ledger, marks_table, reasons, replies, settings
from cyclokit.course.marking.deal import REPORT
from cyclokit.course.marking.ledger import KEEP, OUT, Ledger
from cyclokit.course.marking.mark import LISTED, MARKS
from cyclokit.files import alone, write_whole
from cyclokit.signatures import read
from cyclokit.texts import plain, shown

REMAINS = (
    "What was handed in is not touched: delete it there, and mark again, so that class page and lists are made anew.",
    "Copies of this course, the roster that it was dealt from, and what a learning platform has, are not known here.",
    "Settings, decisions and times are yours: look through {files} for this student.",
)


@read
def forget(course: str | Path, student: str) -> list[str]:
    """Delete what the course has of a student; tell what was deleted, and what remains.

    Raises
    ------
    ValueError
        If nothing was dealt there, or not to this student.
    """
    course = ledger.keep(course).parent
    with alone(course / ".course"):
        book, known = Ledger(course), ledger.students(course)
        rows = [row for row in book.rows() if row["student"] == student]
        if student not in known and not rows:
            raise ValueError(f"student is {shown(student)}, but nothing was dealt to that id: give one of the roster.")
        codes = {reasons.code_of(row["word"], kept["letter"]) for row in rows for kept in row["tasks"]}
        written = _replies(course, student)
        for reply in written:  # before what tells whose they are
            reply.unlink()
        for row in rows:
            book.drop(row["word"])
        if (course / OUT / student).is_dir():
            shutil.rmtree(course / OUT / student)
        for file in sorted((course / MARKS / "reasons").glob("*.csv")):
            _without(file, "code", codes)
            file.with_suffix(".html").unlink(missing_ok=True)  # made anew when the class is marked again
        for path, column in ((KEEP + "/words.csv", "id"), (f"{MARKS}/{marks_table.TABLE}", "id")):
            _without(course / path, column, {student})
        for name in (f"{MARKS}/{marks_table.CHANGED}", f"{KEEP}/{REPORT}", f"{KEEP}/{replies.WHOSE}"):
            _without(course / name, "student", {student})
        for name in (class_page.ALIKE, class_page.CLASS, LISTED):  # others' lines can name this student
            (course / MARKS / name).unlink(missing_ok=True)
        for key in (course / KEEP).glob("paper_key_*.html"):
            key.unlink()
        book.save()
        ledger.save_students(course, {name: row for name, row in known.items() if name != student})
    files = f"{settings.SETTINGS}, {settings.DECISIONS} and {settings.TIMES}"
    deleted = (
        f"deleted {len(rows)} sheets in the ledger, the folder that was dealt, {len(written)} replies, marks, reasons"
    )
    return [plain(deleted), *(line.format(files=files) for line in REMAINS)]


def _replies(course: Path, student: str) -> list[Path]:
    """The replies to a student's hand-ins."""
    folder, memory = course / MARKS / replies.REPLIES, course / KEEP / replies.WHOSE
    if not memory.exists():
        return []
    lines = csv.reader(io.StringIO(memory.read_text(encoding="utf-8-sig"), newline=""))
    found = [folder / path for path, whose in lines if whose == student]
    return [path for path in found if path.is_file()]


def _without(file: Path, column: str, gone: set[str]) -> None:
    """Write a table of ours without the rows that have one of these values in a column."""
    if not file.exists():
        return
    rows = list(csv.reader(io.StringIO(file.read_text(encoding="utf-8-sig"), newline="")))
    place = rows[0].index(column)
    write_whole(file, tables.written([rows[0], *(row for row in rows[1:] if row[place] not in gone)]))
