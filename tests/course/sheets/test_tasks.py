"""What holds for every task of every sheet: numbers of one's own, sound drives, slips that are told apart.

A thousand draws are looked at for every task, because a class has hundreds; what takes judging, for forty readers.
"""

import re
from collections import Counter
from functools import cache

import pytest

from cyclokit.course.answers.formulas import FunctionQuestion, OutlineQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion
from cyclokit.course.answers.outcomes import LOOK_AGAIN, RIGHT, judge
from cyclokit.course.reader.folder import notebooks
from cyclokit.course.sheets import task as tasks
from cyclokit.course.sheets.library import load_tasks, sheet_names
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import twin_of
from cyclokit.course.sheets.trial import gives_away, lines_of
from cyclokit.drive import Drive
from cyclokit.geometry import limits
from tests.course.answers import rounding

TASKS = [pytest.param(task, id=f"{name} {task.letter}") for name in sheet_names() for task in load_tasks(name).tasks]
SOME = [f"reader {number}" for number in range(40)]
DRAWS = 1000
COMMONEST = 0.06  # share of a thousand readers with the same answer
MARKS = 20

asked = cache(tasks.asked)  # a reader is asked once for all tests


def _answer(task, known):
    """What a reader would set who means this."""
    return (known, "because it is so") if len(task.names) > 1 else known


def _questions(task, words=SOME):
    return [asked(task, word).question for word in words]


def _asks_for_a_number(task):
    return isinstance(asked(task, "turntable").question, NumberQuestion)


@pytest.mark.parametrize("task", TASKS)
def test_a_thousand_draws_give_sound_drives_and_answers_of_ones_own(task):
    kind, answers = type(asked(task, "turntable").question), []
    for number in range(DRAWS):
        given = task.numbers(Draw(f"reader {number}/{task.letter}/0"))
        for value in vars(given).values():
            assert not isinstance(value, Drive) or limits.check(value).sound
        if kind in (FunctionQuestion, OutlineQuestion):  # as many answers as there are sets of numbers
            answers.append(str(given))
        else:
            answers.append(task.question(given).right)
    if kind is not ChoiceQuestion:  # a letter is one of a few for everybody, and comes with a reason
        assert max(Counter(answers).values()) <= COMMONEST * DRAWS


@pytest.mark.parametrize("task", TASKS)
def test_a_slip_raises_its_own_question_and_no_other(task):
    for question in _questions(task, ("turntable", "sunflower", "moss")):
        for slip in question.slips:
            judged = judge(question, _answer(task, slip.wrong))
            assert judged.outcome == LOOK_AGAIN
            assert judged.look.startswith(slip.look)
            assert not [line for line in lines_of(question) if line != slip.look and line in judged.look]


@pytest.mark.parametrize("task", TASKS)
def test_the_right_answer_is_right(task):
    for question in _questions(task):
        assert judge(question, _answer(task, question.right)).outcome == RIGHT


@pytest.mark.parametrize("task", [task for task in TASKS if _asks_for_a_number(*task.values)])
def test_a_right_number_with_few_figures_is_asked_about_rounding_and_never_about_concepts(task):
    for question in _questions(task):
        assert rounding.misread(question) == []


@pytest.mark.parametrize("task", TASKS)
def test_another_readers_answer_is_not_right(task):
    first, second = _questions(task, ("turntable", "moss"))
    if not isinstance(first, ChoiceQuestion):
        assert judge(second, first.right).outcome == LOOK_AGAIN


@pytest.mark.parametrize("task", TASKS)
def test_no_line_holds_a_direction_a_factor_or_the_answer(task):
    for question in _questions(task):
        for line in lines_of(question):
            assert not gives_away(line, question.right), line
            assert "?" in line
            assert len(line) < 130


@pytest.mark.parametrize("task", TASKS)
def test_every_place_that_is_named_is_a_heading_of_the_lesson(task):
    assert re.search(r'Lesson \d+b?, "', task.place)
    for text in [task.place, task.other_words, *lines_of(asked(task, "turntable").question)]:
        for number, sections in re.findall(r'Lesson (\d+b?), ((?:"[^"]+"(?: and |, |; )?)+)', text):
            padded = number if len(number.rstrip("b")) > 1 else f"0{number}"
            (lesson,) = (notebooks() / "lessons").glob(f"{padded}_*.ipynb")
            for section in re.findall(r'"([^"]+)"', sections):
                assert re.search(rf'"#+ {re.escape(section)}(\\n|")', lesson.read_text(encoding="utf-8")), section


@pytest.mark.parametrize("task", TASKS)
def test_text_and_twin_are_made_of_the_readers_numbers_and_of_others(task):
    for word in SOME[:5]:
        (given, question), other = asked(task, word), twin_of(task, word)
        assert not re.search(r"\{\w*(_mm|drive|:)", task.shown(given))
        assert other != given
        twin = task.question(other)
        if not isinstance(question, ChoiceQuestion):
            assert question.apart(question.value(twin.right), question.value(question.right)) > 3
        assert len(task.worked(other)) > 60


@pytest.mark.parametrize("name", sheet_names())
def test_a_sheet_has_four_to_six_tasks_in_order_and_twenty_marks(name):
    found = load_tasks(name)
    assert found.title
    assert [task.letter for task in found.tasks] == list("abcdef"[: len(found.tasks)])
    assert 4 <= len(found.tasks) <= 6
    assert sum(task.marks for task in found.tasks) == MARKS


@pytest.mark.parametrize("task", TASKS)
def test_names_of_answers_begin_with_the_tasks_letter(task):
    assert all(re.fullmatch(rf"{task.letter}_[a-z_]+[a-z]", name) for name in task.names)


def test_the_slips_that_everybody_makes_are_all_told_apart():
    """Those that the course asks for, each by the question it raises in the sheet where it belongs."""
    lines = " ".join(line for parameter in TASKS for line in lines_of(asked(*parameter.values, "turntable").question))
    for expected in (
        "Is that the number of pins, or of waves?",  # N for N - 1
        "How often does the one arrow overtake the other?",  # N + 1
        "Which way does the last shaft go?",  # a lost sign
        "Which unit do sine and cosine want?",  # degrees for radians
        "Is the length that is given a radius, or a diameter?",  # diameter for radius
        "Is a radius asked for, or a diameter?",  # and the reverse
        "Which of the two lengths stands above, and which below?",  # an inverse ratio
        "Is the pin circle the circle that rolls?",  # trochoid ratio e/Rp
        "Does the ring's number stand there, or the disc's?",  # e (N - 1)/Rp
        "On which curve does the middle of the roller run?",  # outline = centre path
        "On which side of the path does the disc lie?",  # offset outwards
        "Is that one arch, or the whole curve?",  # per arch for the whole
    ):
        assert expected in lines
