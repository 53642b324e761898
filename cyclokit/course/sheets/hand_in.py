"""What a student hands in: the answers of a sheet as data, kept in the output of the sheet's last cell.

The data says nothing about the person. All numbers are kept as text, because JupyterLab rewrites those of JSON. It is
a claim, as if written on paper: whoever marks judges it anew.
"""

import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion, OutlineQuestion
from cyclokit.course.answers.kinds import Asking, ChoiceQuestion, Question
from cyclokit.course.answers.patience import PATIENCE, within
from cyclokit.course.answers.reading import StillOpen, Unreadable, one_line, silence, yours
from cyclokit.course.sheets.task import Task
from cyclokit.signatures import read
from cyclokit.texts import in_html

MIME = "application/vnd.cyclokit.hand-in+json"
FORM = "1"  # of the data, should it ever change
LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"  # 32 that are not taken for one another: neither l nor 1, neither o nor 0
MOST_POINTS = 5000  # of an outline
MOST_WORDS = 20_000  # characters of a reason or an expression
THINNED = 0.1  # tolerances by which leaving points out may move an outline
MOST_CELLS = 2000
HASHED = 16  # hexadecimal digits of a cell's hash

SENTENCES = {
    "read": "read",
    "open": "still open",
    "unread": "can't be read",
    "thin": f"I keep at most {MOST_POINTS} points of an outline, and of this one too little would be left: take fewer.",
    "long": f"I keep at most {MOST_WORDS} characters: write less.",
    "receipt": "Receipt code: {code}",
    "save": "Save the notebook now, and hand in the file as it is.",
    "head": "Task</th><th>What is handed in",
    "word": "The word is still the sheet's own: whose answers these are can't be told.",
}

Data = dict[str, Any]


@read
def data_of(
    name: str, word: str, edition: int, version: str, entries: dict[str, Data], cells: list[str], names: list[str]
) -> Data:
    """All that is handed in, with its receipt code; `cells` are all that were run, in order. No number is in it."""
    latest = dict.fromkeys(cell_hash(cell) for cell in reversed(cells) if cell.strip())  # the last run of each counts
    hashes = list(latest)[:MOST_CELLS][::-1]
    data: Data = {"form": FORM, "sheet": name, "word": word, "edition": str(edition), "version": version}
    data |= {"answers": entries, "cells": hashes, "set_by": _setters(cells, names)}
    return data | {"receipt": receipt(data)}


def _setters(cells: list[str], names: list[str]) -> dict[str, str]:
    """For each answer's name the hash of the cell that set it last."""
    last = {name: next((cell for cell in reversed(cells) if sets(cell, name)), None) for name in names}
    return {name: cell_hash(cell) for name, cell in last.items() if cell is not None}


@read
def entry(task: Task, question: Asking, answers: Mapping[str, object]) -> Data:
    """What is kept of the answer to a task, among answers by their names; what isn't there is open.

    "state" is read, still open or can't be read; then comes what was read, as text, or why nothing was.
    """
    parts = tuple(answers.get(name, yours) for name in task.names)
    answer = parts if len(parts) > 1 else parts[0]
    if any(part is yours for part in parts):
        return {"state": SENTENCES["open"]}
    with silence():
        try:
            return {"state": SENTENCES["read"], **within(PATIENCE, lambda: _kept(question, answer))}
        except StillOpen:
            return {"state": SENTENCES["open"]}
        except Unreadable as error:
            return {"state": SENTENCES["unread"], "why": str(error)}
        except BaseException:  # an answer may raise anything at whatever is done with it
            return {"state": SENTENCES["unread"], "why": str(question.refusal(answer))}


def _kept(question: Question, answer: Any) -> Data:
    value = question.read(answer)
    said = question.said(answer, value)
    if isinstance(question, ChoiceQuestion):
        reason = answer[1] if question.reason else ""
        return {"said": said, "letter": value, "reason": _short(_whole(reason))}
    if isinstance(question, OutlineQuestion):
        return {"said": said, "points": _points(question, value)}
    if isinstance(question, ExpressionQuestion | FunctionQuestion):
        text = _short(_whole(str(answer))) if isinstance(question, ExpressionQuestion) else ""
        return {"said": said, "values": _texts(np.ravel(value)), "text": text}
    return {"said": said, "value": repr(float(value))}


def _whole(text: str) -> str:
    """A text without halves of characters, which no file can hold."""
    return text.encode("utf-8", "replace").decode()


def _short(text: str) -> str:
    if len(text) > MOST_WORDS:
        raise _Refused("long")
    return text


class _Refused(Unreadable):
    """The answer can't be kept as data."""

    def __init__(self, sentence: str) -> None:
        Exception.__init__(self, SENTENCES[sentence])


def _texts(numbers: Iterable[float]) -> list[str]:
    return [repr(float(number)) for number in numbers]


def _points(question: OutlineQuestion, value: Any) -> str:
    """The outline's corners, "x y" and a semicolon between two, to a millionth of a millimetre."""
    corners = value[:-1]
    if len(corners) > MOST_POINTS:
        places = _thinned(_complex(corners))
        if _left_out(value, np.append(places, len(corners))) > THINNED * question.tolerance:
            raise _Refused("thin")
        corners = corners[places]
    return ";".join(f"{x:.6f} {y:.6f}" for x, y in corners)


def _complex(points: Floats) -> np.ndarray:
    """x + iy; a product of matrices would begin threads for so little, which wait for one another on a busy machine."""
    return points[:, 0] + 1j * points[:, 1]


def _thinned(corners: np.ndarray) -> np.ndarray:
    """Places of as many corners as are kept: those are left out, never two neighbours at once, that matter least."""
    places = np.arange(len(corners))
    while (excess := len(places) - MOST_POINTS) > 0:
        here = corners[places]
        chord = np.roll(here, -1) - np.roll(here, 1)
        heights = np.abs(((here - np.roll(here, 1)) * chord.conj()).imag) / np.maximum(np.abs(chord), 1e-300)
        candidates = np.arange(1, len(places), 2)
        places = np.delete(places, candidates[np.argsort(heights[candidates], kind="stable")[:excess]])
    return places


def _left_out(value: Floats, places: np.ndarray) -> float:
    """Greatest distance of a corner from the straight line between those at the places before and after it [mm]."""
    corners = _complex(value)
    after = np.clip(np.searchsorted(places, np.arange(len(corners)), side="right"), 1, len(places) - 1)
    start, chord = corners[places[after - 1]], corners[places[after]] - corners[places[after - 1]]
    squared = np.maximum(np.abs(chord) ** 2, np.finfo(float).tiny)
    share = np.clip(((corners - start) * chord.conj()).real / squared, 0.0, 1.0)
    return float(np.abs(corners - start - share * chord).max())


@read
def cell_hash(source: str) -> str:
    """The hash of a cell's source; blanks at its ends make no difference."""
    text = "\n".join(line.rstrip() for line in source.strip().splitlines())
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:HASHED]


@read
def receipt(data: Data) -> str:
    """Eight letters and digits that follow from the data, whatever the order of its parts."""
    plain = {key: value for key, value in data.items() if key != "receipt"}
    text = json.dumps(plain, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return code(hashlib.sha256(text.encode()).digest(), 8)


@read
def code(digest: bytes, length: int) -> str:
    """As many letters and digits, five bits each, that are not taken for one another."""
    if length > len(digest):
        raise ValueError(f"length is {length}, but digest has {len(digest)} bytes: give no more than it has.")
    return "".join(LETTERS[byte % len(LETTERS)] for byte in digest[:length])


@read
def sets(source: str, name: str) -> bool:
    """Whether a cell seems to set the answer with this name."""
    return name in source and any(name in line and _line_sets(line, name) for line in source.splitlines())


def _line_sets(line: str, name: str) -> bool:
    """Whether a line defines or assigns the name; in time that grows with the line's length alone, whatever it is."""
    defined = re.match(r"\s*def\s+(\w+)", line)
    assigned = re.split(r"(?<![=!<>])=(?!=)", re.split("[#(]", line, maxsplit=1)[0])[:-1]
    return (defined is not None and defined[1] == name) or any(name in re.findall(r"\w+", part) for part in assigned)


class HandIn:
    """What the last cell shows, and keeps: data, and a remark beside it."""

    def __init__(self, data: Data, remark: str = "") -> None:
        self._data, self._remark = data, remark

    def __repr__(self) -> str:
        lines = [f"{letter}: {self._said(kept)}" for letter, kept in self._data["answers"].items()]
        return "\n".join([*lines, *self._last()])

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> Data:
        """The table for the page, the same as text, and the data."""
        rows = "".join(
            f"<tr><td>{in_html(letter)}</td><td>{in_html(self._said(kept))}</td></tr>"
            for letter, kept in self._data["answers"].items()
        )
        last = "".join(f"<p>{in_html(line)}</p>" for line in self._last())
        table = f"<table><tr><th>{SENTENCES['head']}</th></tr>{rows}</table>{last}"
        return {"text/plain": repr(self), "text/html": table, MIME: self._data}

    def _last(self) -> list[str]:
        remark = [self._remark] * bool(self._remark)
        return [SENTENCES["receipt"].format(code=self._data["receipt"]), *remark, SENTENCES["save"]]

    @staticmethod
    def _said(kept: Data) -> str:
        if kept["state"] == SENTENCES["read"]:
            return one_line(kept["said"])
        return f"{kept['state']}. {kept.get('why', '')}".rstrip(" ")
