"""Reasons in words, read by a person: a table and a page for each task, with answers and without names.

A table is merged with what stands in it already: marks and comments are kept, and an answer that changed since is
flagged.
"""

import hashlib
from pathlib import Path
from typing import NamedTuple

from cyclokit import tables
from cyclokit.course.marking.ledger import TaskRow
from cyclokit.course.marking.paper import file_name, in_words, page, wide
from cyclokit.course.sheets.hand_in import code
from cyclokit.files import as_path, write_whole
from cyclokit.signatures import Size, read
from cyclokit.tables import Column
from cyclokit.texts import in_html

HEADINGS = ("code", "letter", "reason", "marks", "comment", "changed")
VERSION = "version"  # of the answer, whatever a spreadsheet makes of a reason such as 3/4
FORMULA = ("=", "+", "-", "@", "\t", "\r")
CHANGED = "yes"

SENTENCES = {
    "title": "Reasons: {sheet}, task {letter}",
    "rubric": "At most {marks} marks, for letter and reason together. The letters that are right are marked. "
    "Write marks and a comment into the table with the name of this page; judge what the reason says, not how it is "
    "spelled. An answer that changed since it was read says yes under 'changed': read it again, and empty that cell.",
}


class Reason(NamedTuple):
    """An answer to be read: a code in place of a name, the letter, whether it is right, and the reason."""

    code: str
    letter: str
    right: bool
    reason: str


class Read(NamedTuple):
    """What a person gave: marks, a comment; None and "" where the answer wasn't read, or changed since."""

    marks: float | None
    comment: str


@read
def code_of(word: str, letter: str) -> str:
    """What stands for a student in the table of a task."""
    return code(hashlib.sha256(f"{word}/{letter}".encode()).digest(), 10)


@read
def merged(file: str | Path, most: Size, answers: list[Reason]) -> tuple[list[list[object]], dict[str, Read]]:
    """The rows of a task's table, with what a person has written into it, and what that comes to by codes.

    The file may not be there yet. Headings come first; a person's own columns stay, and rows whose answer is no longer
    handed in.

    Raises
    ------
    BadTable
        If somebody wrote something into it that can't be used.
    """
    marks = Column("marks", "number", "", 0, most, needed=False)
    first = Column("code", unique=True)
    texts = {name: Column(name, needed=False) for name in (*HEADINGS, VERSION)}
    columns = list((texts | {"code": first, "marks": marks}).values())
    file = as_path("file", file)
    old = tables.read(file.read_bytes(), columns, file.name, keep_others=True) if file.exists() else tables.Table()
    own = [name for name in (old.others or [{}])[0] if name]
    rows = {
        str(row["code"]): [*(_typed(row[column.name]) for column in columns), *(others[name] for name in own)]
        for row, others in zip(old.rows, old.others, strict=True)
    }
    given = {}
    for answer in answers:
        shown = f"{answer.letter}{' (right)' * answer.right}"
        before = rows.get(answer.code)
        version = _version(shown, answer.reason)
        marks_there, comment, changed, last, *more = before[3:] if before else ("", "", "", version, *[""] * len(own))
        if not last and before:  # somebody has taken the column out
            last = _version(str(before[1]), str(before[2]))
        if last != version and (marks_there != "" or comment):
            changed = CHANGED
        rows[answer.code] = [answer.code, shown, safe(answer.reason), marks_there, comment, changed, version, *more]
        if marks_there != "" and not changed:
            given[answer.code] = Read(float(str(marks_there)), str(comment))
    return [[*(column.name for column in columns), *own], *(rows[key] for key in sorted(rows))], given


def _version(letter: str, reason: str) -> str:
    return "v" + code(hashlib.sha256(f"{letter} {safe(reason)}".encode()).digest(), 5)


def _typed(value: object) -> object:
    """A cell as a person would type it."""
    return "" if value is None else f"{value:.15g}" if isinstance(value, float) else value


@read
def safe(text: str) -> str:
    """A student's text on one line, fit for a spreadsheet: it begins no formula."""
    line = " ".join(text.encode("utf-8", "replace").decode().replace("\0", " ").split())
    return f"'{line}" if line.startswith(FORMULA) else line


@read
def write(folder: str | Path, sheet: str, kept: TaskRow, rows: list[list[object]]) -> None:
    """Write a task's table, whose rows `merged` gave, and its page."""
    folder = as_path("folder", folder)
    folder.mkdir(parents=True, exist_ok=True)
    name = file_name(f"{sheet}_{kept['letter']}")
    write_whole(folder / f"{name}.csv", tables.written(rows))
    title = SENTENCES["title"].format(sheet=in_words(sheet), letter=kept["letter"])
    rubric = SENTENCES["rubric"].format(marks=kept["marks"])
    head = "".join(f'<th scope="col" class="{heading}">{heading}</th>' for heading in HEADINGS)
    cells = "".join(f"<tr>{''.join(map(_cell, HEADINGS, row))}</tr>\n" for row in rows[1:])
    table = wide(title, f"<table><tr>{head}</tr>\n{cells}</table>")
    body = f"<h1>{in_html(title)}</h1><p>{in_html(rubric)}</p>{table}"
    write_whole(folder / f"{name}.html", page(title, body))


def _cell(heading: str, text: object) -> str:
    return f'<td class="{heading}">{in_html(text)}</td>'
