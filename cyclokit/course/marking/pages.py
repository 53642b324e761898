"""What marking writes: the marks table, a reply for each hand-in, a page about the class, what is to be looked at."""

import csv
import io
import unicodedata
from collections import Counter, defaultdict
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cyclokit import tables
from cyclokit.course.answers.outcomes import RIGHT
from cyclokit.course.marking.ledger import KEEP
from cyclokit.course.marking.paper import page
from cyclokit.course.marking.reasons import safe
from cyclokit.course.marking.settle import Attempt, Listed
from cyclokit.files import write_whole
from cyclokit.texts import in_html, plain

if TYPE_CHECKING:
    from cyclokit.course.marking.mark import Marked

TABLE, LISTED, ALIKE, CLASS, REPLIES = "marks.csv", "to_look_at.csv", "alike.csv", "class.html", "replies"
INCOMPLETE, NOTHING = "incomplete", "nothing handed in"
WHOSE = "replies.csv"  # in what is kept
ALIKE_WORDS = 6  # that a reason has which can be told from another's
BAR = 300  # width of a full bar in the class page

SENTENCES = {
    "changed": "{student}, {sheet} {letter}: {before} -> {now} ({why})",
    "anew": "another hand-in counts",
    "reply": "{sheet}: what was read, and what it earned",
    "receipt": "Receipt code {code}. If your own page showed another one, tell your instructor.",
    "total": "Together: {total} of {most} marks.",
    "incomplete": "Together: incomplete, until a person has read what waits.",
    "unread": "Nothing was marked: this file {why}.",
    "counted": "{files} files, {counting} sheets count, {listed} lines to look at.",
    "class": "The class",
    "no names": "How many answered a task rightly, and which slips were made. No names.",
    "corrected": "Corrected {why}.",
}


def changes(folder: Path, marked: "list[Marked]") -> list[str]:
    """Who gains or loses what and why, against the marks table that is there; nothing if there is none."""
    file = folder / TABLE
    if not file.exists():
        return []
    lines = list(csv.DictReader(io.StringIO(file.read_text(encoding="utf-8-sig"), newline="")))
    before = {line["id"]: line for line in lines}
    said = []
    for sheet in marked:
        old = before.get(sheet.row["student"], {})
        for kept in sheet.row["tasks"]:
            now, was = _cell(sheet, kept["letter"]), old.get(f"{sheet.row['sheet']} {kept['letter']}")
            if was is not None and was != now:
                anew = old.get(f"{sheet.row['sheet']} receipt") != _receipt(sheet)
                how = sheet.earned[kept["letter"]].how if sheet.earned else NOTHING
                why = [SENTENCES["anew"]] * anew + [SENTENCES["corrected"].format(why=w) for w in kept["corrected"]]
                words = {"student": sheet.row["student"], "sheet": sheet.row["sheet"], "letter": kept["letter"]}
                line = SENTENCES["changed"].format(
                    **words, before=was or "-", now=now or "-", why="; ".join([*why, how])
                )
                said.append(plain(line))
    return said


def counted(attempts: list[Attempt], counting: dict[str, Any], listed: list[Listed]) -> str:
    """How much there is, in a line without names."""
    return SENTENCES["counted"].format(files=len(attempts), counting=len(counting), listed=len(listed))


def write(
    folder: Path,
    known: dict[str, dict[str, str]],
    marked: "list[Marked]",
    attempts: list[Attempt],
    listed: list[Listed],
) -> None:
    """Write all of it.

    Parameters
    ----------
    folder : Path
        Where to.
    known : dict
        The roster's other columns, by the students' ids.
    marked : list of Marked
        Every student's sheets.
    attempts : list of Attempt
        Everything that was handed in.
    listed : list of Listed
        What is to be looked at.
    """
    folder.mkdir(parents=True, exist_ok=True)
    write_whole(folder / TABLE, tables.written(list(_table(known, marked))))
    lines = [[safe(cell) for cell in line] for line in listed]
    write_whole(folder / LISTED, tables.written([Listed._fields, *lines]))
    write_whole(folder / ALIKE, tables.written([("sheet", "what", "students"), *_alike(marked)]))
    write_whole(folder / CLASS, _class(marked))
    _write_replies(folder / REPLIES, folder.parent / KEEP / WHOSE, marked, attempts)


def _table(known: dict[str, dict[str, str]], marked: "list[Marked]") -> Iterable[list[str]]:
    """The marks table: a row for each student, marks as text so that nothing is rounded."""
    letters: dict[str, list[str]] = {}
    by_student: dict[str, dict[str, Marked]] = defaultdict(dict)
    for sheet in marked:
        letters.setdefault(sheet.row["sheet"], [kept["letter"] for kept in sheet.row["tasks"]])
        by_student[sheet.row["student"]][sheet.row["sheet"]] = sheet
    others = list(dict.fromkeys(name for row in known.values() for name in row if name != "place"))
    parts = [(name, part) for name, found in letters.items() for part in [*found, "total", "receipt"]]
    yield ["id", *others, *(f"{name} {part}" for name, part in parts)]
    for student, row in known.items():
        mine = by_student[student]
        yield [student, *(row.get(name, "") for name in others), *(_part(mine.get(name), part) for name, part in parts)]


def _part(sheet: "Marked | None", part: str) -> str:
    if sheet is None:
        return ""
    return {"total": _total, "receipt": _receipt}.get(part, lambda sheet: _cell(sheet, part))(sheet)


def _cell(sheet: "Marked", letter: str) -> str:
    if not sheet.earned:
        return ""
    marks = sheet.earned[letter].marks
    return INCOMPLETE if marks is None else f"{marks:.6g}"


def _total(sheet: "Marked") -> str:
    marks = [earned.marks for earned in sheet.earned.values()]
    if not marks:
        return NOTHING
    return INCOMPLETE if None in marks else f"{sum(mark for mark in marks if mark is not None):.6g}"


def _receipt(sheet: "Marked") -> str:
    return sheet.attempts[0].receipt if sheet.attempts else ""


def _write_replies(folder: Path, kept: Path, marked: "list[Marked]", attempts: list[Attempt]) -> None:
    """A page for each hand-in that counts or can't be read, at its own path; whose it is stands in what is kept."""
    counting = {attempt.place: (sheet, attempt) for sheet in marked for attempt in sheet.attempts}
    unread = {
        attempt.place: attempt.why
        for attempt in attempts
        if attempt.why and not attempt.student and attempt.place.casefold().endswith(".ipynb")
    }
    paths = _reply_paths(sorted({**counting, **unread}))
    _sweep(folder, {folder / path for path in paths.values()})
    for place, path in paths.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        content = reply(*counting[place]) if place in counting else _unread(unread[place])
        if not (folder / path).is_file() or (folder / path).read_bytes() != content:  # writing takes the most time
            write_whole(folder / path, content)
    whose = {attempt.place: attempt.student for attempt in attempts}
    rows = [(path.as_posix(), whose[place]) for place, path in paths.items()]
    write_whole(kept, tables.written([("reply", "student"), *rows]))


def _unread(why: str) -> bytes:
    return page("Reply", f"<p>{in_html(SENTENCES['unread'].format(why=why))}</p>")


def _sweep(folder: Path, wanted: set[Path]) -> None:
    """Take away replies of an earlier marking to what is no longer there, and folders that are empty then."""
    for old in sorted(folder.rglob("*"), reverse=True) if folder.exists() else []:
        if old.is_dir() and not any(old.iterdir()):
            old.rmdir()
        elif old.is_file() and old.suffix == ".html" and old not in wanted:
            old.unlink()


def _reply_paths(places: list[str]) -> dict[str, Path]:
    """Where the reply to each place goes; names that a file system may take for one another get a number."""
    taken = {_key(parent.as_posix()) for place in places for parent in Path(place).parents}
    paths = {}
    for place in places:
        stem, number = place[: -len(".ipynb")], 1
        path = f"{stem}.html"
        while _key(path) in taken:
            number += 1
            path = f"{stem}~{number}.html"
        taken.add(_key(path))
        paths[place] = Path(path)
    return paths


def _key(path: str) -> str:
    return unicodedata.normalize("NFC", path).casefold()


def reply(sheet: "Marked", attempt: Attempt) -> bytes:
    """What a student is told: what was read, right or which slip, how the marks arose; never the answer.

    Parameters
    ----------
    sheet : Marked
        The student's sheet.
    attempt : Attempt
        The hand-in.

    Returns
    -------
    bytes
        A page.
    """
    rows = []
    for kept in sheet.row["tasks"]:
        result, earned = attempt.results[kept["letter"]], sheet.earned[kept["letter"]]
        look = kept["looks"][result.slip - 1] if result.slip and not result.reason else ""
        told = " ".join(filter(None, [earned.how + ".", result.why, look, earned.comment]))
        told += "".join(f" {SENTENCES['corrected'].format(why=why)}" for why in kept["corrected"])
        marks = "waits" if earned.marks is None else f"{earned.marks:.6g} of {kept['marks']}"
        cells = (kept["letter"], kept["title"], result.read, result.reason, told, marks)
        rows.append(f"<tr>{''.join(f'<td>{in_html(cell)}</td>' for cell in cells)}</tr>")
    title = SENTENCES["reply"].format(sheet=sheet.row["sheet"])
    most, total = sum(kept["marks"] for kept in sheet.row["tasks"]), _total(sheet)
    last = SENTENCES["incomplete"] if total == INCOMPLETE else SENTENCES["total"].format(total=total, most=most)
    remarks = [SENTENCES["receipt"].format(code=attempt.receipt), *attempt.remarks]
    head = "<tr><th>Task</th><th></th><th>Read</th><th>Reason</th><th>Result</th><th>Marks</th></tr>"
    paragraphs = "".join(f"<p>{in_html(line)}</p>" for line in [last, *remarks])
    body = f'<h1>{in_html(title)}</h1><div class="wide"><table>{head}{"".join(rows)}</table></div>{paragraphs}'
    return page(title, body)


def _class(marked: "list[Marked]") -> bytes:
    """How often each task was right and which slips were made, as bars and in words."""
    counts: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    titles: dict[tuple[str, str], str] = {}
    for sheet in marked:
        for kept in sheet.row["tasks"]:
            key = (sheet.row["sheet"], kept["letter"])
            titles[key] = kept["title"]
            for attempt in sheet.attempts[:1]:
                result = attempt.results[kept["letter"]]
                counts[key][kept["looks"][result.slip - 1] if result.slip else result.outcome] += 1
    rows = []
    for (name, letter), title in titles.items():
        count = counts[name, letter]
        handed, right = count.total(), count[RIGHT]
        share = right / handed if handed else 0
        bar = (
            f'<svg width="{BAR}" height="14" role="img" aria-label="{share:.0%} right">'
            f'<rect width="{BAR}" height="13" fill="none" stroke="currentColor"/>'
            f'<rect width="{share * BAR:.0f}" height="13" fill="#0072b2"/></svg>'
        )
        slips = "".join(
            f"<li>{number}: {in_html(words)}</li>" for words, number in sorted(count.items()) if words != RIGHT
        )
        cells = (
            f"<td>{in_html(name)}</td><td>{in_html(letter)}. {in_html(title)}</td><td>{right} of {handed}<br>{bar}</td>"
        )
        rows.append(f"<tr>{cells}<td><ul>{slips}</ul></td></tr>")
    head = "<tr><th>Sheet</th><th>Task</th><th>Right</th><th>Otherwise</th></tr>"
    body = f"<h1>{SENTENCES['class']}</h1><p>{SENTENCES['no names']}</p>"
    return page(SENTENCES["class"], f'{body}<div class="wide"><table>{head}{"".join(rows)}</table></div>')


def _alike(marked: "list[Marked]") -> list[list[str]]:
    """Who has a cell of their own, or a reason, that is word for word another's; for a person to look at."""
    same: dict[tuple[str, str, str], set[str]] = defaultdict(set)
    for sheet in marked:
        for attempt in sheet.attempts:
            student = attempt.student
            for own in attempt.own_cells:
                same[attempt.sheet, "cell", own].add(student)
            for letter, result in attempt.results.items():
                words = result.reason.casefold().split()
                if len(words) >= ALIKE_WORDS:
                    same[attempt.sheet, f"reason {letter}", " ".join(words)].add(student)
    groups = Counter(
        (sheet, what, ", ".join(sorted(students))) for (sheet, what, _), students in same.items() if len(students) > 1
    )
    return [[sheet, f"{number} {what}", students] for (sheet, what, students), number in sorted(groups.items())]
