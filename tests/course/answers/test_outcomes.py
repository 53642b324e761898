"""Reading an answer: whatever it is, one of four outcomes and one line, and never an exception."""

import math
from fractions import Fraction

import numpy as np
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.course.answers import yours
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.answers.outcomes import LOOK_AGAIN, OPEN, RIGHT, UNREADABLE, judge
from tests.course.answers.cases import AlwaysEqual

HALF = (Slip(42.0, "Is that half?"),)
LENGTH = NumberQuestion(right=84.0, unit="mm", tolerance=0.005, look="Look there.", slips=HALF)
COUNT = NumberQuestion(right=11, unit="", tolerance=0, look="Count again.", slips=(Slip(12, "Is that the pins?"),))
ONE = NumberQuestion(right=1, unit="", tolerance=0, look="Look there.")
CHOICE = ChoiceQuestion(right="b", looks={"a": "Follow the mark.", "c": "Follow it longer."})
OUTCOMES = {RIGHT, LOOK_AGAIN, UNREADABLE, OPEN}


class LyingNumber(float):
    """A float that says it is equal to, below and no distance from everything."""

    def __eq__(self, other):
        return True

    def __le__(self, other):
        return True

    def __sub__(self, other):
        return LyingNumber(0.0)

    def __abs__(self):
        return 0.0

    __ge__ = __lt__ = __gt__ = __le__
    __rsub__ = __sub__
    __hash__ = float.__hash__


class ClaimsToBeRight(float):
    """A float that turns into the right value when it is asked to be a plain one."""

    def __float__(self):
        return 84.0


class LyingText(str):
    """A text that says it is the right letter."""

    def strip(self):
        return "b"

    def __eq__(self, other):
        return True

    __hash__ = str.__hash__


class Raising(float):
    """Raises at whatever is asked of it."""

    def _raise(self, *_):
        raise RuntimeError("not for you")

    __float__ = __repr__ = __str__ = __format__ = __eq__ = __le__ = __sub__ = __abs__ = __bool__ = _raise
    __hash__ = float.__hash__


class RaisesAboutItsClass:
    """Raises when asked what it is."""

    @property
    def __class__(self):
        raise RuntimeError("not for you")


def _check(question, answer):
    judged = judge(question, answer)
    assert judged.outcome in OUTCOMES
    line = judged.line("b")
    assert len(line.splitlines()) == 1
    assert len(line) < 500
    return judged.outcome, line.removeprefix(f"b: {judged.outcome}. ")


@pytest.mark.parametrize("awkward", [lambda: Raising(84.0), RaisesAboutItsClass], ids=["any use", "its class"])
@pytest.mark.parametrize("question", [LENGTH, COUNT, CHOICE], ids=["length", "count", "choice"])
def test_what_raises_when_it_is_looked_at_can_not_be_read(awkward, question):
    assert _check(question, awkward())[0] == UNREADABLE


@given(st.recursive(st.none() | st.booleans() | st.floats() | st.text() | st.binary() | st.complex_numbers(), st.lists))
def test_whatever_the_answer_is_there_is_one_line(answer):
    for question in (LENGTH, COUNT, CHOICE):
        _check(question, answer)


@pytest.mark.parametrize("question", [LENGTH, COUNT, CHOICE], ids=["length", "count", "choice"])
def test_an_answer_that_is_not_given_yet_is_open(question):
    assert _check(question, yours)[0] == OPEN
    assert repr(yours) == OPEN


@pytest.mark.parametrize(
    "answer",
    [
        84,
        84.0,
        np.float64(84),
        np.float32(84),
        np.int64(84),
        Fraction(84),
        sympy.Integer(84),
        sympy.Rational(168, 2),
        28 * sympy.pi * 3 / sympy.pi,
    ],
    ids=repr,
)
def test_a_right_number_of_any_kind_is_right(answer):
    assert _check(LENGTH, answer) == (RIGHT, "I read 84 mm.")


@pytest.mark.parametrize("answer", [11, 11.0, np.uint8(11), Fraction(22, 2), sum([1.1] * 10), 7.7 / 0.7], ids=repr)
def test_a_whole_number_is_right_whatever_kind_it_comes_in(answer):
    # ten times 1.1 add up to 10.999999999999998 in binary floating point (IEEE 754): the sum is right all the same
    assert _check(COUNT, answer)[0] == RIGHT


@pytest.mark.parametrize("answer", [11.0000001, 10.9999999, 11.001, 11.5, 10, -11, 0, 1e300])
def test_what_is_sent_back_never_reads_like_the_right_number(answer):
    outcome, said = _check(COUNT, answer)
    assert outcome == LOOK_AGAIN
    assert not said.startswith("I read 11. ")


@pytest.mark.parametrize(("share", "outcome"), [(0.0049, RIGHT), (0.0051, LOOK_AGAIN)])
def test_the_tolerance_is_the_stated_one_on_both_sides(share, outcome):
    assert _check(LENGTH, 84.0 * (1 + share))[0] == outcome
    assert _check(LENGTH, 84.0 * (1 - share))[0] == outcome


def test_the_tolerance_is_stated_where_an_answer_is_sent_back():
    assert _check(LENGTH, 85.0)[1] == "I read 85 mm. Look there. (Accepted within 0.5 %.)"
    assert _check(COUNT, 10)[1] == "I read 10. Count again."


def test_a_slip_gets_its_own_thing_to_look_at():
    assert _check(LENGTH, 42)[1].startswith("I read 42 mm. Is that half?")
    assert _check(COUNT, 12)[1] == "I read 12. Is that the pins?"


def test_true_is_not_one():
    assert _check(ONE, 1)[0] == RIGHT
    assert _check(ONE, True)[0] == UNREADABLE
    assert _check(ONE, np.True_)[0] == UNREADABLE


@pytest.mark.parametrize("answer", [LyingNumber(3.0), LyingNumber(math.nan), AlwaysEqual()])
def test_a_number_that_lies_about_itself_is_not_right(answer):
    for question in (LENGTH, COUNT, ONE):
        assert _check(question, answer)[0] != RIGHT


def test_a_number_is_what_it_says_when_made_plain():
    # whoever writes a class that turns into the right value knows the right value
    assert _check(LENGTH, ClaimsToBeRight(3.0)) == (RIGHT, "I read 84 mm.")


def test_an_exact_number_is_read_as_the_number_that_it_is():
    assert _check(LENGTH, 42 * sympy.sqrt(4))[0] == RIGHT
    assert _check(LENGTH, 27 * sympy.pi)[0] == LOOK_AGAIN
    assert _check(LENGTH, 84 * sympy.I)[0] == UNREADABLE


def test_an_answer_of_nothing_is_compared_without_complaint():
    nothing = NumberQuestion(right=0.0, unit="mm", tolerance=0.01, look="Look there.")
    assert _check(nothing, 0)[0] == RIGHT
    assert _check(nothing, 1e300)[0] == LOOK_AGAIN


@pytest.mark.parametrize("answer", ["b", "B", " b ", "b\n"])
def test_a_letter_is_read_kindly(answer):
    assert _check(CHOICE, answer) == (RIGHT, "I read b.")


@pytest.mark.parametrize(("answer", "look"), [("a", "Follow the mark."), ("C", "Follow it longer.")])
def test_a_wrong_letter_gets_its_own_thing_to_look_at(answer, look):
    outcome, said = _check(CHOICE, answer)
    assert outcome == LOOK_AGAIN
    assert said.endswith(look)


@pytest.mark.parametrize("answer", ["d", "ab", "", "β", "b" * 100, 2, LyingText("a")], ids=repr)
def test_what_is_none_of_the_letters_can_not_be_read(answer):
    outcome, said = _check(CHOICE, answer)
    assert outcome == UNREADABLE
    assert "a, b, c" in said  # in order: the right one is not told from the others
