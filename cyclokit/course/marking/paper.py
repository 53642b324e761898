"""A sheet on paper: for each student the tasks with their own numbers, and for whoever marks a key."""

import base64
import hashlib
from pathlib import Path
from typing import Any

from cyclokit.course.marking import ledger
from cyclokit.course.marking.ledger import Ledger, Row
from cyclokit.course.sheets.library import Tasks
from cyclokit.files import write_whole
from cyclokit.signatures import read
from cyclokit.texts import in_html

STYLE = """:root { color-scheme: light dark; background: Canvas; font: 16px/1.5 system-ui, sans-serif; }
body { max-width: 46rem; margin: 0 auto; padding: 1rem; overflow-wrap: anywhere; }
table { border-collapse: collapse; } th, td { border: 1px solid; padding: .2rem .5rem; text-align: left; }
.wide { overflow-x: auto; } .wide th, .wide td { overflow-wrap: break-word; min-width: 4rem; }
.wide .reason { min-width: 14rem; width: 100%; }
h1, h2, h3 { break-after: avoid; }
h2, h3 { margin: 1.5rem 0 .3rem; } p, ul { margin: .3rem 0; } svg { max-width: 100%; }
dt { font-weight: bold; float: left; clear: left; margin-right: .5rem; } dd { margin: 0; }
pre { white-space: pre-wrap; }
.room { height: 7rem; border-bottom: 1px solid; }
@media screen and (max-width: 36rem) {
.wide table, .wide tbody, .wide tr, .wide td { display: block; box-sizing: border-box; }
.wide tr { border: 1px solid; margin-bottom: .6rem; }
.wide td { border: 0; } .wide th, .wide td:empty { display: none; }
}
@media print { :root { color-scheme: light; font-size: 11pt; } section, tr { break-inside: avoid; } }
@media print { section.long { break-inside: auto; } }
"""
POLICY = "default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"


@read
def page(title: str, body: str) -> bytes:
    """A page that asks for nothing and runs nothing, of a title in plain text and a body in HTML."""
    digest = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
    policy = POLICY.format(digest=digest)
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{in_html(title)}</title>\n<style>{STYLE}</style></head>\n<body><main>\n{body}\n</main></body></html>\n"
    ).encode()


@read
def write(course: str | Path, book: Ledger, sheets: dict[str, Tasks]) -> None:
    """Write a page for each student and sheet into the student's folder, and a key into what is kept."""
    kept, course = ledger.keep(course), Path(course)
    keys: dict[str, list[str]] = {name: [] for name in sheets}
    for row in book.rows():
        if row["sheet"] in sheets and not row["replaced"]:
            found = sheets[row["sheet"]]
            title = f"{found.title}: {row['student']}"
            folder = course / ledger.OUT / row["student"]
            folder.mkdir(parents=True, exist_ok=True)
            body = f"<h1>{in_html(title)}</h1>\n<p>Word: <b>{row['word']}</b></p>\n"
            tasks = {task.letter: task for task in found.tasks}
            body += "\n".join(_task(tasks[kept["letter"]], kept) for kept in row["tasks"])
            write_whole(folder / f"paper_{file_name(row['sheet'])}.html", page(title, body))
            keys[row["sheet"]].append(_key(row, tasks))
    for name, sections in keys.items():
        title = f"Key: {sheets[name].title}"
        content = page(title, f"<h1>{in_html(title)}</h1>\n" + "\n".join(sections))
        write_whole(kept / f"paper_key_{file_name(name)}.html", content)


@read
def in_words(name: str) -> str:
    """A sheet's name as words: "One lobe fewer"."""
    return name.replace("_", " ").capitalize()


@read
def file_name(name: str) -> str:
    """A sheet's name as part of a file's."""
    return "".join(sign if sign.isalnum() or sign in "_-" else "_" for sign in name)


def _task(task: Any, kept: Row) -> str:
    text = _html(task.shown(ledger.given(kept["given"])))
    heading = f"<h2>{in_html(task.letter)}. {in_html(task.title)} ({task.marks} marks)</h2>"
    return f'<section>{heading}{text}<div class="room"></div></section>'


def _key(row: Row, tasks: dict[str, Any]) -> str:
    rows = []
    for kept in row["tasks"]:
        numbers = ledger.given(kept["given"])
        right = kept.get("text") or kept.get("right", "the outline that the numbers give")
        shown = f"{right:.6g} {kept['unit']}" if isinstance(right, float) else str(right)
        worked = _html(tasks[kept["letter"]].worked(numbers))
        rows.append(f"<tr><td>{in_html(kept['letter'])}</td><td>{in_html(shown)}</td><td>{worked}</td></tr>")
    head = "".join(f'<th scope="col">{name}</th>' for name in ("Task", "Right", "Worked"))
    table = f"<table><tr>{head}</tr>{''.join(rows)}</table>"
    return f'<section class="long"><h2>{in_html(row["student"])}</h2>{wide(row["student"], table)}</section>'


@read
def wide(name: str, table: str) -> str:
    """A table that can be moved sideways where the page is narrow, with keys too; its name is for who can't see it."""
    return f'<div class="wide" role="region" tabindex="0" aria-label="{in_html(name)}">{table}</div>'


def _html(markdown: str) -> str:
    """A text with equations, as HTML and MathML."""
    from nbconvert.filters.markdown_mistune import MarkdownWithMath  # here, so that dealing needs no nbconvert

    from cyclokit.course.reader.pages import Renderer

    return str(MarkdownWithMath(renderer=Renderer(escape=True)).render(markdown))
