"""Questions of lesson 3."""

import math

from cyclokit.course.answers.guesses import Guess
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.questions.drives import STORY
from cyclokit.drive import Drive

GUESSES: dict[str, Guess] = {}
QUESTIONS: dict[str, NumberQuestion] = {
    "3a": NumberQuestion(
        right=360 / Drive(16, 45.0, 6.5, 1.5).lobes,
        unit="degrees",
        tolerance=0.002,
        look='By how many lobe pitches does the disc slip in one crank turn? Lesson 3, "Count first".',
        slips=(
            Slip(360 / 16, "Is that the pitch of the pins, or of the lobes?"),
            Slip(360 / 17, "How many lobes has this disc?"),
            Slip(2 * math.pi / 15, "Is that in degrees?"),
            Slip(1 / 15, "Is that in degrees?"),
            Slip(-360 / 15, "Is a sign asked for?"),
        ),
    ),
    "3b": NumberQuestion(
        right=360 * (25 - 20) / 25,
        unit="degrees",
        tolerance=0.002,
        look='What does the formula give for these two counts? Lesson 3, "Count first".',
        slips=(
            Slip(-360 * (25 - 20) / 25, 'Which of the two pitches is longer here? Lesson 3, "Count first".'),
            Slip(360 * (25 - 20) / 20, "Which of the two counts stands below?"),
            Slip(360 / 25, "By how many do the two counts differ?"),
            Slip((25 - 20) / 25, "Is that in degrees?"),
            Slip(2 * math.pi * (25 - 20) / 25, "Is that in degrees?"),
        ),
    ),
    "3c": NumberQuestion(
        right=STORY.ratio,
        unit="",
        tolerance=0,
        look='Which letters stand in the formula? Lesson 3, "Count first".',
        slips=(
            Slip(2 * STORY.ratio, "Does a length stand in the formula?"),
            Slip(STORY.ratio / 2, "Does a length stand in the formula?"),
            Slip(STORY.pins, "Pins, or lobes?"),
            Slip(-STORY.ratio, "Is a sign asked for?"),
        ),
    ),
    "3d": NumberQuestion(
        right=360 / 16,
        unit="degrees",
        tolerance=0.002,
        look='Which part is held? Lesson 3, "Which part is held".',
        slips=(
            Slip(360 / 15, "Is that the case with the ring held, or with the disc held?"),
            Slip(-360 / 16, "Which way does the ring go, seen from the crank and seen from outside?"),
            Slip(1 / 16, "Is that in degrees?"),
            Slip(2 * math.pi / 16, "Is that in degrees?"),
        ),
    ),
}
