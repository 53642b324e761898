"""What the last cell of a sheet keeps: every answer as text, a receipt that follows from it, nothing personal."""

import json
import math
import time
from types import SimpleNamespace

import nbformat
import numpy as np
import pytest
import sympy as sp

from cyclokit.course.answers import yours
from cyclokit.course.sheets import hand_in, open_sheet
from cyclokit.course.sheets.hand_in import MIME, MOST_POINTS, cell_hash, code, data_of, entry, receipt
from cyclokit.course.sheets.library import load_tasks, sheet_names
from tests.blanks import SOLVED, sheet_name

SHEETS = sorted(SOLVED.glob("*.ipynb"))


def _kept(name, letter, *answers):
    sheet = open_sheet(name, "moss")
    task = sheet.tasks[letter]
    return entry(task, sheet.asked(letter).question, dict(zip(task.names, answers, strict=True)))


def _outline(letter="d"):
    return open_sheet("from_a_point_to_a_roller", "moss").asked(letter).question


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_the_last_cell_of_a_sheet_hands_in_and_the_solved_sheet_has_kept_every_answer(path):
    last = nbformat.read(path, as_version=4).cells[-1]
    assert last.source == "sheet.hand_in()"
    (data,) = [output.data[MIME] for output in last.outputs]
    assert set(data) == {"form", "sheet", "word", "edition", "version", "answers", "cells", "set_by", "receipt"}
    assert (data["sheet"], data["word"], data["edition"]) == (sheet_name(path), "turntable", "1")
    assert {letter: kept["state"] for letter, kept in data["answers"].items()} == dict.fromkeys(
        (task.letter for task in load_tasks(sheet_name(path)).tasks), "read"
    )
    assert receipt(data) == data["receipt"]
    assert len(json.dumps(data)) < 1_000_000


def _numbers(thing):
    if isinstance(thing, dict):
        return [number for value in thing.values() for number in _numbers(value)]
    if isinstance(thing, list):
        return [number for value in thing for number in _numbers(value)]
    return [] if isinstance(thing, str) else [thing]


@pytest.mark.parametrize("name", sheet_names())
def test_there_is_no_number_in_the_data(name):
    sheet = open_sheet(name, "moss")
    answers = {}
    for letter, task in sheet.tasks.items():
        right = sheet.asked(letter).question.right
        answers |= dict(zip(task.names, (right, "because"), strict=False))
    entries = {letter: entry(task, sheet.asked(letter).question, answers) for letter, task in sheet.tasks.items()}
    assert {kept["state"] for kept in entries.values()} == {"read"}
    assert _numbers(data_of(name, "moss", 1, "0", entries, ["a = 1"], [])) == []


@pytest.mark.parametrize("number", [2**60 + 1, 0.1, 1e300, -5e-324, np.float32(2.15), sp.pi, 7])
def test_a_number_is_kept_as_it_is_read(number):
    kept = _kept("circles_that_roll", "a", number)
    question = open_sheet("circles_that_roll", "moss").asked("a").question
    assert float(kept["value"]) == question.read(number)


@pytest.mark.parametrize(
    ("answers", "state"),
    [
        ((yours,), "still open"),
        ((math.nan,), "can't be read"),
        ((True,), "can't be read"),
        (("12",), "can't be read"),
        ((object(),), "can't be read"),
    ],
)
def test_what_is_no_answer_is_kept_as_none(answers, state):
    assert _kept("circles_that_roll", "a", *answers)["state"] == state


def test_a_letter_without_its_reason_is_open():
    assert _kept("circles_that_roll", "e", "a", yours)["state"] == "still open"
    assert _kept("circles_that_roll", "e", "a", " ")["state"] == "still open"
    kept = _kept("circles_that_roll", "e", " B ", "so \ud800 it is")
    assert (kept["letter"], kept["reason"]) == ("b", "so ? it is")


def test_a_function_that_raises_or_never_ends_is_kept_as_none():
    assert "ZeroDivisionError" in _kept("circles_that_roll", "d", lambda around: 1 / 0)["why"]
    assert _kept("circles_that_roll", "d", 7)["state"] == "can't be read"


@pytest.mark.parametrize("count", [4000, MOST_POINTS, MOST_POINTS + 1, 6000, 60_000])
def test_an_outline_is_kept_to_a_share_of_its_tolerance(count):
    question = _outline()
    corners = question.value(question.right)
    way = np.linspace(0, len(corners) - 1, count, endpoint=False)
    answer = np.column_stack([np.interp(way, np.arange(len(corners)), column) for column in corners.T])
    kept = _kept("from_a_point_to_a_roller", "d", answer)
    points = np.array([pair.split() for pair in kept["points"].split(";")], dtype=float)
    assert len(points) <= MOST_POINTS
    # the second way: shapely's distance, of polygons as wholes
    from shapely.geometry import Polygon

    apart = Polygon(points).hausdorff_distance(Polygon(answer))
    assert apart <= hand_in.THINNED * question.tolerance + 1e-6  # rounding of the points
    assert question.apart(question.value(points), question.value(question.right)) <= 1


def test_an_outline_that_can_not_be_thinned_is_told():
    around = np.linspace(0, 2 * np.pi, 12_000, endpoint=False)
    jagged = (30 + np.arange(len(around)) % 2)[:, None] * np.column_stack([np.cos(around), np.sin(around)])
    assert "at most 5000 points" in _kept("from_a_point_to_a_roller", "d", jagged)["why"]


def test_a_receipt_follows_from_all_of_the_data_and_from_no_order():
    data = data_of("a", "moss", 1, "0.1", {"a": {"state": "read", "value": "1.0"}}, ["x = 1"], ["x"])
    assert data["set_by"] == {"x": cell_hash("x = 1")}
    assert receipt(dict(reversed(data.items()))) == data["receipt"]
    assert len(data["receipt"]) == 8
    for key, value in [("word", "fern"), ("edition", "2"), ("answers", {}), ("cells", [])]:
        assert receipt({**data, key: value}) != data["receipt"]


def test_only_cells_that_were_run_are_in_it_and_blanks_at_their_ends_count_for_nothing():
    data = data_of("a", "moss", 1, "0.1", {}, ["", "x = 1", "y = 2  \n", "x = 1"], [])
    assert data["cells"] == [cell_hash(" y = 2".strip()), cell_hash("x = 1\n")]
    assert cell_hash("x = 1") != cell_hash("x = 2")


def test_a_code_has_thirty_two_letters_none_like_another():
    assert len(set(hand_in.LETTERS)) == 32
    assert not set("l1o0") & set(hand_in.LETTERS)
    assert code(bytes(range(32)), 32) == hand_in.LETTERS


def test_what_is_shown_is_escaped_and_has_the_receipt():
    entries = {"a": {"state": "read", "said": "<script>x</script>"}, "b": {"state": "can't be read", "why": "Why."}}
    shown = hand_in.HandIn(data_of("a", "moss", 1, "0.1", entries, [], []))
    page = shown._repr_mimebundle_()["text/html"]
    assert "<script" not in page
    assert "can&#x27;t be read. Why." in page
    assert shown._data["receipt"] in page
    assert f"Receipt code: {shown._data['receipt']}" in repr(shown)


def test_a_sheet_hands_in_what_is_in_the_notebook(monkeypatch):
    import sys
    import types

    main = types.ModuleType("__main__")
    main.a_curve_mm = 12.5
    monkeypatch.setitem(sys.modules, "__main__", main)
    shell = SimpleNamespace(user_ns={"In": ["", "a_curve_mm = 12.5"]})
    monkeypatch.setattr("cyclokit.course.sheets.sheet.get_ipython", lambda: shell)
    data = open_sheet("circles_that_roll", "moss").hand_in()._data
    assert data["answers"]["a"]["value"] == "12.5"
    assert data["answers"]["b"] == {"state": "still open"}
    assert data["cells"] == [cell_hash("a_curve_mm = 12.5")]


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("a_mm = 1", True),
        ("  a_mm=1", True),
        ("b = a_mm = 2", True),
        ("a_mm, b = 1, 2", True),
        ("def a_mm(x):\n    return 1", True),
        ("print(a_mm)", False),
        ("a_mm == 2", False),
        ("# a_mm = 1", False),
        ("aa_mm = 1", False),
    ],
)
def test_a_cell_that_sets_an_answer_is_known(source, found):
    assert hand_in.sets(source, "a_mm") is found


@pytest.mark.parametrize("source", ["\n" * 400_000 + "a_mm", "a_mm " * 200_000, "a_mm," * 200_000 + "=" * 200_000])
def test_no_cell_takes_long_to_look_at(source):
    begun = time.process_time()
    hand_in.sets(source, "a_mm")
    assert time.process_time() - begun < 5  # what is quadratic takes hours
