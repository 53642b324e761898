"""What was dealt to whom: the course's secret, its students, and the ledger with every word and right answer.

All of it stands in COURSE/keep, which is never handed out. The ledger is a line of JSON for each student and sheet,
written when dealing; marking reads it and draws nothing.
"""

import hashlib
import hmac
import json
import os
import secrets
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Annotated, Any, NamedTuple

import numpy as np

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion, OutlineQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion
from cyclokit.course.sheets import tasks
from cyclokit.course.sheets.hand_in import code
from cyclokit.course.sheets.task import Asked, Given, Task
from cyclokit.drive import Drive
from cyclokit.files import as_path, write_whole
from cyclokit.signatures import read
from cyclokit.texts import plain, shown

KEEP, OUT = "keep", "out"
SECRET, LEDGER, STUDENTS = "secret", "ledger.jsonl", "students.json"
SECRET_BYTES = 32
WORD_LENGTH = 12  # letters and digits of 5 bits each

ROW_PARTS = {"student", "sheet", "word", "number", "edition", "version", "replaced", "tasks"}
TASK_PARTS = {"letter", "title", "marks", "names", "given", "look", "looks", "kind"}


def _checked_row(name: str, value: object) -> None:
    """Refuse what is no row of a ledger, by an argument's name."""
    if not isinstance(value, dict) or not value.keys() >= ROW_PARTS:
        raise TypeError(f"{name} must be a row of a ledger, not a {type(value).__name__} without its parts: read one.")


def _checked_task(name: str, value: object) -> None:
    """Refuse what is no task in a row of a ledger, by an argument's name."""
    if not isinstance(value, dict) or not value.keys() >= TASK_PARTS:
        raise TypeError(
            f"{name} must be a task in a row of a ledger, not a {type(value).__name__} without its parts: read one."
        )


Row = dict[str, Any]
SheetRow = Annotated[Row, _checked_row]
TaskRow = Annotated[Row, _checked_task]


def keep(course: str | Path) -> Path:
    """The folder of what is kept; refuses one where nothing was dealt."""
    folder = as_path("course", course) / KEEP
    if not (folder / LEDGER).is_file():
        raise ValueError(f"course is {shown(str(course))}, but nothing was dealt there: give the folder of a course.")
    return folder


def make_keep(course: str | Path) -> bytes:
    """Make the folder of what is kept if it isn't there, and return the course's secret, made once."""
    folder = as_path("course", course) / KEEP
    folder.mkdir(parents=True, exist_ok=True)
    if not (folder / ".gitignore").exists():
        write_whole(folder / ".gitignore", b"*\n")
    if not (folder / SECRET).exists():
        if (folder / LEDGER).exists():
            raise ValueError(f"{plain(folder / SECRET)} is gone, but the ledger is there: put it back from a copy.")
        _make_secret(folder / SECRET)
    secret = (folder / SECRET).read_bytes()
    if len(secret) != SECRET_BYTES:
        raise ValueError(f"{plain(folder / SECRET)} has not {SECRET_BYTES} bytes: put it back from a copy.")
    return secret


def _make_secret(target: Path) -> None:
    beside = target.with_name(f".writing-{secrets.token_hex(8)}")
    with open(beside, "xb", opener=lambda path, flags: os.open(path, flags, 0o600)) as file:  # private from the first
        file.write(secrets.token_bytes(SECRET_BYTES))
        file.flush()
        os.fsync(file.fileno())
    os.replace(beside, target)


@read
def word(secret: bytes, student: str, sheet: str, number: int) -> str:
    """A student's word for a sheet: 12 letters and digits, 60 bits, HMAC-SHA256 of JSON [id, sheet, number].

    The number is 1, or more where fresh numbers were asked for.
    """
    text = json.dumps([student, sheet, number])
    return code(hmac.new(secret, text.encode(), hashlib.sha256).digest(), WORD_LENGTH)


@read
def task_row(task: Task, asked: Asked) -> Row:
    """What the ledger has of a task: the numbers, and what is right and wrong as values that can be compared."""
    question: Any = asked.question
    kept = {"letter": task.letter, "title": task.title, "marks": task.marks, "names": list(task.names)}
    kept |= {"given": {name: _plain(value) for name, value in vars(asked.given).items()}, "look": question.look}
    slips = [] if isinstance(question, OutlineQuestion) else [slip.wrong for slip in question.slips]
    kept["looks"] = [slip.look for slip in question.slips]
    if isinstance(question, ChoiceQuestion):
        return kept | {"kind": "choice", "right": question.right, "wrong": slips, "reason": question.reason}
    if isinstance(question, OutlineQuestion):
        kept |= {"kind": "outline", "tolerance": question.tolerance}
        if type(task).__module__.startswith(tasks.__name__):  # it follows from the numbers
            return kept
        return kept | {"right": question.right.tolist(), "wrong": [slip.wrong.tolist() for slip in question.slips]}
    if isinstance(question, ExpressionQuestion | FunctionQuestion):
        values = [np.ravel(question.value(known)).tolist() for known in (question.right, *slips)]
        kept |= {"right": values[0], "wrong": values[1:]}
        if isinstance(question, FunctionQuestion):
            return kept | {"kind": "function", "tolerance": question.tolerance}
        return kept | {"kind": "expression", "text": str(question.right)}
    wrong = [float(slip) for slip in slips]
    return kept | {
        "kind": "number", "right": float(question.right), "wrong": wrong, "unit": question.unit,
        "tolerance": question.tolerance,
    }  # fmt: skip


@read
def given(numbers: Row) -> Given:
    """A reader's numbers, as the ledger has them."""
    back = {name: Drive(*value["drive"]) if isinstance(value, dict) else value for name, value in numbers.items()}
    return SimpleNamespace(**back)


def _plain(value: Any) -> Any:
    if isinstance(value, Drive):
        return {"drive": [value.pins, value.pin_circle_radius, value.roller_radius, value.eccentricity]}
    return value.item() if isinstance(value, np.generic) else value


class Entry(NamedTuple):
    """Where a row stands in the ledger, and what must be known of it without reading it."""

    where: int
    word: str
    student: str
    sheet: str
    replaced: bool


class Ledger:
    """The rows of a course by their words; a row is read from the file when it is asked for, and none is kept."""

    def __init__(self, course: str | Path) -> None:
        self._file = as_path("course", course) / KEEP / LEDGER
        self._index()

    def _index(self) -> None:
        """Note down where each row stands."""
        self._changed: dict[str, Row] = {}  # until they are saved
        self.entries: dict[str, Entry] = {}
        names: dict[str, str] = {}  # each only once
        where = 0
        if not self._file.exists():
            return
        with self._file.open("rb") as lines:
            for line in lines:
                row = json.loads(line)
                student, sheet = (names.setdefault(row[part], row[part]) for part in ("student", "sheet"))
                self.entries[row["word"]] = Entry(where, row["word"], student, sheet, row["replaced"])
                where += len(line)

    def row(self, word: str) -> Row:
        """The row of a word."""
        if word in self._changed:
            return self._changed[word]
        with self._file.open("rb") as file:
            file.seek(self.entries[word].where)
            found: Row = json.loads(file.readline())
        return found

    def rows(self) -> Iterator[Row]:
        """All rows, in the order in which they were dealt."""
        return (self.row(word) for word in self.entries)

    def put(self, row: Row) -> None:
        """Add a row, or replace the one with its word; `save` writes it."""
        self._changed[row["word"]] = row
        self.entries[row["word"]] = Entry(-1, row["word"], row["student"], row["sheet"], row["replaced"])

    def drop(self, word: str) -> None:
        """Take a row out; `save` writes it."""
        del self.entries[word]
        self._changed.pop(word, None)

    def save(self) -> None:
        """Write all rows, whole or not at all."""
        write_whole(self._file, "".join(f"{json.dumps(row)}\n" for row in self.rows()).encode())
        self._index()


def students(course: str | Path) -> dict[str, dict[str, str]]:
    """The other columns of the roster for each student's id, in the roster's order."""
    file = as_path("course", course) / KEEP / STUDENTS
    found: dict[str, dict[str, str]] = json.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    return found


@read
def save_students(course: str | Path, known: dict[str, dict[str, str]]) -> None:
    """Write the students' ids and other columns; `make_keep` comes first."""
    folder = as_path("course", course) / KEEP
    if not folder.is_dir():
        raise ValueError(f"course is {shown(str(course))}, but there is no folder {KEEP} in it: make it first.")
    write_whole(folder / STUDENTS, json.dumps(known, indent=1, ensure_ascii=False).encode())
