"""Every case with a question of every kind: one line without control characters, no warning, and what is to be said.

What can be printed on a page: `str.isprintable`, Unicode Standard, categories Other and Separator.
"""

import gc
import inspect
import re
import time
import warnings
from collections import Counter
from pathlib import Path

import pytest

from cyclokit.course.answers import formulas, guesses, kinds, outcomes
from cyclokit.course.answers.outcomes import LOOK_AGAIN, OPEN, RIGHT, UNREADABLE, judge
from tests.course.answers.cases import ASKED, CASES, PATIENCE

OUTCOMES = {RIGHT, LOOK_AGAIN, UNREADABLE, OPEN}
DEVELOPERS = Path(__file__).parents[3] / "DEVELOPERS.md"


@pytest.mark.parametrize("asked", ASKED)
def test_of_every_answer_this_kind_of_question_says_the_right_thing(asked, capsys, monkeypatch):
    for room in (formulas, outcomes):
        monkeypatch.setattr(room, "PATIENCE", PATIENCE)
    for case in CASES:
        with warnings.catch_warnings(record=True) as warned:
            warnings.simplefilter("always")
            begun = time.monotonic()
            judged = judge(ASKED[asked], case.answer)
            took = time.monotonic() - begun
            if inspect.iscoroutinefunction(case.answer):
                gc.collect()  # which is when Python warns of what was never awaited
        assert not warned, case.kind
        assert capsys.readouterr() == ("", ""), case.kind
        line = judged.line("b")
        assert line.isprintable(), case.kind
        assert len(line) < 400, line
        assert took < 6 or judged.outcome != UNREADABLE  # 2 s on the clock at most, and what comes after
        if asked not in case.by:
            assert judged.outcome != RIGHT, line
        elif case.said in OUTCOMES:
            assert judged.outcome == case.said, line
        else:
            assert judged.outcome == UNREADABLE, line
            assert case.said in line
        if callable(case.answer) and "function" in asked:
            assert "I need a function" not in line


def test_every_kind_of_question_is_asked():
    classes = {
        thing
        for room in (kinds, formulas, guesses)
        for _, thing in inspect.getmembers(room, inspect.isclass)
        if hasattr(thing, "refusal") and thing is not kinds.Question
    }
    assert {type(question) for question in ASKED.values()} == classes


def test_the_table_for_developers_counts_the_cases():
    rows = re.findall(r"^\| (.+?) \| (\d+) \|$", DEVELOPERS.read_text(encoding="utf-8"), flags=re.MULTILINE)
    assert {kind: int(count) for kind, count in rows} == Counter(case.kind for case in CASES)
