"""Guesses: read like answers, and answered once the reader has committed to one. No guess is wrong to make.

What is told may give the value away, unlike a check's: it stands under a fold that opens after the guess.
"""

from dataclasses import KW_ONLY, dataclass

from cyclokit.arguments import checked_kind
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion
from cyclokit.course.answers.outcomes import OPEN, RIGHT, UNREADABLE, judge
from cyclokit.course.answers.reading import Unreadable

NEAR = 0.4  # a guess within this share of the right value has its size right; half of it, or twice, has not
SAID = {
    OPEN: "Your guess is still open. Put it in place of `yours` above, run that cell, then this one again.",
    UNREADABLE: "Your guess can't be read. {look}",
    RIGHT: "Your guess: {read}. Right! {told}",
    "other": "Your guess: {read}. {look}",
    "near": "Not quite, but near: {right:.4g}.",
    "large": "Too much: {right:.4g}.",
    "small": "Too little: {right:.4g}.",
}


@dataclass(frozen=True)
class GuessedNumber(NumberQuestion):
    """A number that is guessed: `tolerance` is wide, the slips' looks say what was right in such a guess.

    `look` is said to any other, after whether it is near, too much or too little, and the right number.
    """

    _: KW_ONLY
    told: str  # what is said to a guess that came out right
    accepted = ""

    def aside(self, value: float) -> str:
        """How far off the guess is, in a word, and what it is instead."""
        near = abs(value - self.right) <= NEAR * abs(self.right)
        size = "near" if near else "large" if value > self.right else "small"
        return f"{SAID[size].format(right=self.right)} {self.look}".strip()


@dataclass(frozen=True)
class GuessedWord(ChoiceQuestion):
    """One of a few words or letters that is guessed: `looks` say to each other word what was right in it."""

    _: KW_ONLY
    told: str  # what is said to a guess that came out right

    def refusal(self, answer: object) -> Unreadable:
        """What to say of a guess that is none of the words."""
        return Unreadable("word", words=", ".join(f'"{word}"' for word in sorted([self.right, *self.looks])))


Guess = GuessedNumber | GuessedWord


def answered(guess: Guess, reply: object) -> str:
    """The line that answers a reader's guess, whatever object it is: what was read, and what was right in it.

    Examples
    --------
    >>> pins = GuessedNumber(20, "pins", 0, "Count them.", told="Twenty it is.")
    >>> answered(pins, 20)
    'Your guess: 20 pins. Right! Twenty it is.'
    >>> answered(pins, 300)
    'Your guess: 300 pins. Too much: 20. Count them.'
    """
    if not isinstance(guess, Guess):
        checked_kind("guess", guess, GuessedNumber, "make one first, or a GuessedWord")
    judged = judge(guess, reply)
    sentence = SAID.get(judged.outcome, SAID["other"])
    return sentence.format(read=judged.read, look=judged.look, told=guess.told).strip()
