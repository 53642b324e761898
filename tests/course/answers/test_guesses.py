"""Guesses are read like answers and answered in one line, whatever they are. No outside source: our own sentences."""

import pytest

from cyclokit.course.answers.guesses import GuessedNumber, GuessedWord, answered
from cyclokit.course.answers.kinds import Slip
from cyclokit.course.answers.reading import yours
from tests.course.answers.cases import CASES

WIDTH = GuessedNumber(10.0, "mm", 0.1, "It is a diameter.", (Slip(5.0, "A radius."),), told="10.0 mm it is.")
WAY = GuessedWord("back", {"on": "It does turn.", "not": "Nearly: slowly."}, told="Backwards.")


@pytest.mark.parametrize(
    ("guess", "reply", "said"),
    [
        (WIDTH, 10.9, "Your guess: 10.9 mm. Right! 10.0 mm it is."),
        (WIDTH, 5, "Your guess: 5 mm. A radius."),
        (WIDTH, 14, "Your guess: 14 mm. Not quite, but near: 10. It is a diameter."),
        (WIDTH, 40, "Your guess: 40 mm. Too much: 10. It is a diameter."),
        (WIDTH, -1, "Your guess: -1 mm. Too little: 10. It is a diameter."),
        (WAY, " Back", "Your guess: back. Right! Backwards."),
        (WAY, "not", "Your guess: not. Nearly: slowly."),
        (WAY, "maybe", 'Your guess can\'t be read. I need one of these, in quotes: "back", "not", "on".'),
        (WAY, True, 'Your guess can\'t be read. I need one of these, in quotes: "back", "not", "on".'),
    ],
)
def test_a_guess_is_told_what_was_right_in_it(guess, reply, said):
    assert answered(guess, reply) == said


@pytest.mark.parametrize("guess", [WIDTH, WAY], ids=["number", "word"])
def test_an_open_guess_is_told_nothing(guess):
    line = answered(guess, yours)
    assert line.startswith("Your guess is still open.")
    assert guess.told not in line


@pytest.mark.parametrize("guess", [WIDTH, WAY], ids=["number", "word"])
def test_no_guess_raises_or_takes_a_second_line(guess):
    for case in CASES:
        line = answered(guess, case.answer)
        assert line.startswith("Your guess")
        assert line.isprintable()
