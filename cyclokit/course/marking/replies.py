"""A reply to each hand-in that counts or can't be read, at its own path, ready to be uploaded."""

import os
import unicodedata
from collections.abc import Iterable
from pathlib import Path

from cyclokit.arguments import checked_kind
from cyclokit.course.marking.aside import Outcome
from cyclokit.course.marking.earned import INCOMPLETE, Earned, Marked
from cyclokit.course.marking.judge import Result
from cyclokit.course.marking.ledger import Row
from cyclokit.course.marking.paper import in_words, page
from cyclokit.files import as_path, write_whole
from cyclokit.signatures import read
from cyclokit.texts import in_html

REPLIES = "replies"
SUFFIX = ".ipynb"
LONGEST_NAME = 240  # bytes, of the 255 that a name can have
WHOSE = "replies.csv"  # in what is kept

SENTENCES = {
    "reply": "{title}: what was read, and what it earned",
    "receipt": "Receipt code {code}. If your own page showed another one, tell your instructor.",
    "total": "Together: {total} of {most} marks.",
    "incomplete": "Together: incomplete, until a person has read what waits.",
    "waits": "none yet: a person has to read the reason",
    "unread": "Nothing was marked: this file {why}.",
    "corrected": "Corrected {why}.",
}


@read
def paths(places: list[str]) -> dict[str, str]:
    """Where the reply to each place goes; names that a file system may take for one another get a number."""
    taken = {_key(parent.as_posix()) for place in places for parent in Path(place).parents}
    found = {}
    for place in places:
        stem, number = place[: -len(SUFFIX)] if place.casefold().endswith(SUFFIX) else place, 1
        path = f"{stem}.html"
        while _key(path) in taken:
            number += 1
            path = f"{_short(stem)}~{number}.html"
        taken.add(_key(path))
        found[place] = path
    return found


def _short(stem: str) -> str:
    """A path whose last name has room for a number."""
    head, slash, name = stem.rpartition("/")
    return head + slash + name.encode()[:LONGEST_NAME].decode(errors="ignore")


def _key(path: str) -> str:
    return unicodedata.normalize("NFC", path).casefold()


@read
def write(folder: str | Path, where: dict[str, str], marked: Iterable[Marked], unread: dict[str, str]) -> None:
    """Write all replies where `paths` says, or why one is unread; take away those of an earlier marking."""
    folder = as_path("folder", folder)
    _sweep(folder, set(where.values()))
    for sheet in marked:
        checked_kind("marked", sheet, Marked)
        for outcome in sheet.outcomes:
            if outcome.place in where:
                _write(folder / where[outcome.place], reply(sheet, outcome))
    for place, why in unread.items():
        if place in where:
            _write(folder / where[place], page("Reply", f"<p>{in_html(SENTENCES['unread'].format(why=why))}</p>"))


def _write(target: Path, content: bytes) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    if not target.is_file() or target.read_bytes() != content:  # writing takes the most time
        write_whole(target, content)


def _sweep(folder: Path, wanted: set[str]) -> None:
    """Take away replies to what is no longer there, and folders that are empty then."""
    for place, _, names in os.walk(folder, topdown=False):
        for old in (Path(place, name) for name in names if name.endswith(".html")):
            if old.relative_to(folder).as_posix() not in wanted:
                old.unlink()
        if Path(place) != folder and not os.listdir(place):
            os.rmdir(place)


@read
def reply(sheet: Marked, outcome: Outcome) -> bytes:
    """The page for a student: what was read, right or which slip, how the marks arose; never the answer."""
    sections = [
        _task(kept, outcome.results[kept["letter"]], sheet.earned[kept["letter"]]) for kept in sheet.row["tasks"]
    ]
    title = SENTENCES["reply"].format(title=in_words(sheet.row["sheet"]))
    most, total = sum(kept["marks"] for kept in sheet.row["tasks"]), sheet.total
    last = SENTENCES["incomplete"] if total == INCOMPLETE else SENTENCES["total"].format(total=total, most=most)
    remarks = [SENTENCES["receipt"].format(code=outcome.receipt), *outcome.remarks]
    paragraphs = "".join(f"<p>{in_html(line)}</p>" for line in [last, *remarks])
    body = f"<h1>{in_html(title)}</h1>{paragraphs}{''.join(sections)}"
    return page(title, body)


def _task(kept: Row, result: Result, earned: Earned) -> str:
    """What is said of one task."""
    look = kept["looks"][result.slip - 1] if result.slip and not result.reason else ""
    corrected = [SENTENCES["corrected"].format(why=why) for why in kept["corrected"]]
    told = " ".join(filter(None, [f"{earned.how}.", result.why, look, *corrected]))
    marks = SENTENCES["waits"] if earned.marks is None else f"{earned.marks:.6g} of {kept['marks']} marks"
    parts = {"Read": result.read, "Reason": result.reason, "Result": told, "Comment": earned.comment, "Marks": marks}
    lines = "".join(f"<dt>{name}:</dt><dd>{in_html(text)}</dd>" for name, text in parts.items() if text)
    return f"<section><h2>{in_html(kept['letter'])}. {in_html(kept['title'])}</h2><dl>{lines}</dl></section>\n"
