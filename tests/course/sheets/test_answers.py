"""The answer key for whoever teaches: what it says is right, and in one table."""

import re

import pytest

from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion
from cyclokit.course.answers.outcomes import RIGHT
from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets.library import load_tasks, sheet_names
from tests import answers


@pytest.mark.parametrize("name", sheet_names())
def test_the_key_solves_the_sheet(name):
    sheet = open_sheet(name, "moss")
    rows = list(answers.rows(name, "Moss "))
    assert [row[0] for row in rows] == [f"{task.letter}. {task.title}" for task in load_tasks(name).tasks]
    for (letter, task), (_, marks, _, right, worked) in zip(sheet.tasks.items(), rows, strict=True):
        assert marks == str(task.marks)
        assert len(worked) > 60
        question = sheet.asked(letter).question
        if isinstance(question, NumberQuestion):
            meant = float(right.split()[0])
            assert sheet.outcome(letter, {task.names[0]: meant}).outcome == RIGHT
        if isinstance(question, ChoiceQuestion):
            meant = dict(zip(task.names, (right[0], "because it is so"), strict=True))
            assert sheet.outcome(letter, meant).outcome == RIGHT


def test_the_key_is_printed_as_one_table(capsys):
    assert answers.main(["one_lobe_fewer", "moss"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 2 + 6
    assert {len(re.findall(r"(?<!\\)\|", line)) for line in lines} == {6}


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["none", "moss"], "the sheets are circles_that_roll"),
        (["one_lobe_fewer", " "], "word is ' '"),
        (["one_lobe_fewer", "moss", "--edition", "9"], "edition is 9"),
        (["one_lobe_fewer", "moss", "--edition", "0"], "edition is 0"),
        (["none.py", "moss"], "no such file of tasks"),
    ],
)
def test_what_is_not_there_is_told_so(arguments, said, capsys):
    assert answers.main(arguments) == 2
    assert said in capsys.readouterr().err
