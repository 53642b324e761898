"""The questions of the lessons: right values, known slips, and lines that give nothing away.

The right values are recomputed here from what is printed elsewhere:

- Cycloid: one arch of a circle of radius r is 8 r long. C. Wren, 1658; any calculus handbook (from memory).
- Epicycloid with n cusps: 8 (n + 1) r long (from memory; recomputed for n = 1: 16 r, Encyclopedia of
  Mathematics, "Cardioid").
- Least radius of the centre path: Wang, Luo, Su, "Multi-objective optimization...", Mechanism and Machine Theory
  102 (2016) 135-148, eq. 12, and from which trochoid ratio on it holds.
- Reduction ratio of a drive with N pins, N - 1 lobes and the ring held: N - 1 (Willis equation, any handbook of
  machine theory, from memory).
"""

import itertools
import math
import re

import pytest
import sympy

from cyclokit.course.answers import yours
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion
from cyclokit.course.answers.reading import SENTENCES
from cyclokit.course.questions import QUESTIONS, check_yourself
from cyclokit.course.reader.folder import notebooks
from cyclokit.course.sheets.trial import lines_of
from tests.course.answers import rounding

NUMBERS = {name: question for name, question in QUESTIONS.items() if isinstance(question, NumberQuestion)}
CHOICES = {name: question for name, question in QUESTIONS.items() if isinstance(question, ChoiceQuestion)}
SLIPS = [(name, slip) for name, question in NUMBERS.items() for slip in question.slips]

PUBLISHED = {
    "0b": 12 - 1,
    "0c": 2 * 1.4,  # from Rp - e - r at a root to Rp + e - r at a tip; the story's e is 1.4 mm
    "1a": 2 * math.pi * 10,
    "1b": 8 * 7,
    "1c": 50 / 20 + 1,
    "1d": 8 * (4 + 1) * 10,
    "1e": 1.5 * 12 / 40,
    "2a": 14 - 1,
    "2c": 30 - 5 * 0.8,
    "2d": 5111.4 - 264.2 * 4 + math.pi * 4**2,  # Steiner, 1840; the disc of 12 pins has 4104.75 mm^2
    "3a": 360 / 15,
    "3b": 360 * (25 - 20) / 25,
    "3c": 19,
    "3d": 360 / 16,  # output held: Willis
    "4a": 1.5 * 11,
    "4b": 1.2 * 20,
    "4c": 40 - 1.2 * 12 - 4,
    "4d": 30 * 16 / 15,  # crank held: Willis
    "4e": 239.088022 / (8 * math.pi),  # perimeter: derived, two methods
    "5a": 45 / 15,
    "5b": 40 * 1.3575**2 / (13 * 0.3575 + 1),  # the tip's branch: derived, brute force
    "5c": (40 - 2) / (2 * 40 - 1),  # Wang, Luo, Su 2016, where eq. 12 begins to hold
    "5d": 2 * 45 * math.sin(math.pi / 14),
    "5f": math.sqrt(1 - (8 / 45) ** 2 * 17**3 / (27 * 15)) * 45 / 16,  # Wang, Luo, Su 2016, eq. 12 turned round
    "6a": 13 + 2 * 1.8,  # common practice, no source: 3 mm wider at 1.5 mm, so by twice the eccentricity
    "6b": 40 / 15,  # ring held: Willis
    "6c": 30 * 1.5 * 8,  # two equal discs at 180 degrees leave m e a: derived
    "6d": 360 / 15 / 2,  # half a crank turn, half a lobe pitch: Willis
}
LETTERS = {
    "0a": "b",  # with the ring held, the output turns against the input: Willis
    "5g": "a",  # 12 pins on 40 mm, e 3, r 2 is sound: derived
    "6e": "b",  # 6 has no more factors of 2 than 20; holes a quarter lobe pitch from a root: derived
}


@pytest.fixture
def line(capsys):
    """The one line that a check prints."""

    def check(name, answer):
        check_yourself(name, answer)
        printed = capsys.readouterr().out
        assert printed.endswith("\n")
        assert len(printed.splitlines()) == 1
        assert printed.startswith(f"{name}: ")
        return printed.strip()

    return check


@pytest.mark.parametrize(("name", "value"), PUBLISHED.items())
def test_the_published_value_is_right(name, value, line):
    assert line(name, value).startswith(f"{name}: right. ")


@pytest.mark.parametrize(("name", "letter"), LETTERS.items())
def test_the_published_letter_is_right(name, letter, line):
    assert line(name, letter).startswith(f"{name}: right. ")


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_right_answer_is_right(name, line):
    assert line(name, QUESTIONS[name].right).startswith(f"{name}: right. ")


@pytest.mark.parametrize("name", QUESTIONS)
def test_an_open_answer_is_still_open(name, line):
    assert line(name, yours).startswith(f"{name}: still open. ")


@pytest.mark.parametrize("name", NUMBERS)
def test_nan_is_never_right(name, line):
    assert line(name, math.nan).startswith(f"{name}: can't be read. ")


@pytest.mark.parametrize("name", NUMBERS)
@pytest.mark.parametrize("factor", [1 / 1000, 1 / 10, 10, 1000, -1])
def test_a_wrong_unit_or_sign_is_not_right(name, factor, line):
    assert line(name, factor * QUESTIONS[name].right).startswith(f"{name}: look again. ")


@pytest.mark.parametrize(("name", "slip"), SLIPS)
def test_a_slip_gets_its_own_line_and_no_other(name, slip, line):
    question = QUESTIONS[name]
    said = line(name, slip.wrong)
    assert said.startswith(f"{name}: look again. ")
    assert slip.look in said
    others = {question.look, *(other.look for other in question.slips)} - {slip.look}
    assert not any(other in said for other in others)


@pytest.mark.parametrize("name", NUMBERS)
def test_slips_lie_apart_from_the_truth_and_from_each_other(name):
    # three tolerances, so that an answer is never taken for another one
    question = NUMBERS[name]
    values = sorted(map(float, [question.right, *(slip.wrong for slip in question.slips)]))
    for lower, upper in itertools.pairwise(values):
        assert upper - lower > 3 * question.tolerance * max(abs(lower), abs(upper))


@pytest.mark.parametrize("name", NUMBERS)
def test_any_other_number_gets_the_general_line(name, line):
    question = NUMBERS[name]
    value = 1.7 * max(abs(value) for value in [question.right, *(slip.wrong for slip in question.slips)])
    assert question.look in line(name, value)


@pytest.mark.parametrize("name", CHOICES)
def test_every_wrong_letter_has_a_line_of_its_own(name, line):
    looks = CHOICES[name].looks
    assert CHOICES[name].right not in looks
    for letter, look in looks.items():
        assert line(name, letter) == f"{name}: look again. I read {letter}. {look}"


@pytest.mark.parametrize("name", NUMBERS)
def test_no_line_gives_the_right_number_away(name):
    question = NUMBERS[name]
    for text in lines_of(question):
        without_places = re.sub(r"Lesson \d+[a-z]?", "", text)
        for number in re.findall(r"\d+(?:\.\d+)?", without_places):
            assert abs(float(number) - question.right) > 3 * max(question.tolerance, 1e-9) * abs(question.right), text


@pytest.mark.parametrize("name", QUESTIONS)
def test_no_line_tells_a_direction_or_a_factor(name):
    question = QUESTIONS[name]
    for text in lines_of(question):
        assert not re.search(r"\b(too|larger|smaller|bigger|twice|double|divide|multiply)\b", text)


@pytest.mark.parametrize("name", QUESTIONS)
def test_a_line_asks_one_thing(name):
    question = QUESTIONS[name]
    for text in lines_of(question):
        assert "?" in text or text.startswith(("Follow", "Look", "Count", "Compare")), text
        assert len(text) < 150


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_place_to_look_at_is_there(name):
    question = QUESTIONS[name]
    for text in lines_of(question):
        for number, section in re.findall(r'Lesson (\d+[a-z]?), "([^"]+)"', text):
            name_begins = f"{re.sub(r'^(?=[0-9](?![0-9]))', '0', number)}_"
            (lesson,) = (notebooks() / "lessons").glob(f"{name_begins}*.ipynb")
            heading = rf'"#+ {re.escape(section)}(\\n|")'
            assert re.search(heading, lesson.read_text(encoding="utf-8")), f"{lesson.name} has no section {section!r}"


@pytest.mark.parametrize("name", QUESTIONS)
def test_every_question_is_asked_in_the_lesson_of_its_number(name):
    number = re.match(r"(\d+(?:b(?=[a-z]))?)", name)[1]
    padded = number if len(number.rstrip("b")) > 1 else f"0{number}"
    (lesson,) = (notebooks() / "lessons").glob(f"{padded}_*.ipynb")
    assert f'check_yourself(\\"{name}\\"' in lesson.read_text(encoding="utf-8")


def test_every_question_that_a_lesson_asks_is_there():
    for lesson in (notebooks() / "lessons").glob("*.ipynb"):
        for name in re.findall(r'check_yourself\(\\"(\w+)\\"', lesson.read_text(encoding="utf-8")):
            assert name in QUESTIONS, f"{lesson.name} asks {name}"


class Raising(float):
    """Raises at whatever is asked of it."""

    def _raise(self, *_):
        raise RuntimeError("not for you")

    __float__ = __repr__ = __str__ = __format__ = __eq__ = __le__ = __sub__ = __abs__ = _raise
    __hash__ = float.__hash__


@pytest.mark.parametrize("name", QUESTIONS)
def test_a_check_never_raises_into_the_readers_face(name, line):
    for answer in (Raising(1.0), 10**400, sympy.Symbol("x"), "text", None, [1.0], 1j, type("two\nlines", (), {})()):
        assert line(name, answer).startswith(f"{name}: can't be read. ")


# rounding


@pytest.mark.parametrize("name", NUMBERS)
def test_a_right_answer_with_few_figures_is_asked_about_rounding_and_never_about_concepts(name):
    question = NUMBERS[name]
    assert rounding.misread(question) == []


@pytest.mark.parametrize(
    ("name", "value"), [("5b", 13.1), ("5b", 13), ("5c", 0.48), ("6b", 2.7), ("6b", 3), ("3d", 23)]
)
def test_an_answer_that_was_rounded_by_hand_is_asked_about_rounding(name, value, line):
    assert f". {SENTENCES['rounded']} (Accepted within" in line(name, value)


def test_a_slip_that_is_nearer_is_not_taken_for_rounding(line):
    # 12.84 and 13.05 mm are what the two branches give
    assert "Does the lobe have the place that this formula speaks of?" in line("5b", 12.8)
    assert QUESTIONS["5b"].look in line("5b", 12.9)


def test_an_angle_in_radians_is_asked_for_its_unit(line):
    assert "Is that in degrees?" in line("3b", 2 * math.pi * 5 / 25)


def test_a_comma_for_a_decimal_point_is_told_so(line):
    assert line("6a", (16, 6)) == (
        "6a: can't be read. I need a plain number, and got one with a comma in it. Write a decimal point, as in 0.5."
    )
