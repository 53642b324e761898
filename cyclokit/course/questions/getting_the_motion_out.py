"""Questions of lesson 6."""

import math

from cyclokit.course.answers.guesses import Guess
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.drive import Drive

GUESSES: dict[str, Guess] = {}
QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
    "6a": NumberQuestion(
        right=13 + 2 * 1.8,
        unit="mm",
        tolerance=0.001,
        look='How far does a hole run round its roller, and on how many sides? Lesson 6, "A wobble and a rotation".',
        slips=(
            Slip(13 + 1.8, "Is the eccentricity that of a radius, or of a diameter?"),
            Slip(13 / 2 + 1.8, "Is that from the middle, or across?"),
            Slip(2 * 13 + 2 * 1.8, "Is 13 mm the radius, or the diameter?"),
            Slip(13 + 4 * 1.8, "How far from the roller's middle is the hole's?"),
            Slip(13 - 2 * 1.8, "Which of the two is inside the other?"),
        ),
    ),
    "6b": NumberQuestion(
        right=40 / Drive(16, 45.0, 6.5, 1.5).ratio,
        unit="degrees",
        tolerance=0.002,
        look='How does the plate turn, compared with the disc? Lesson 6, "Does the output turn evenly?".',
        slips=(
            Slip(40 / 16, "Is that the number of pins, or of lobes?"),
            Slip(40 / 17, "How many lobes has this disc?"),
            Slip(40.0, "Does the output go with the disc's turn, or with its centre?"),
            Slip(40 * 15, "Which of the two is the slow one?"),
            Slip(-40 / 15, "Is a sign asked for?"),
        ),
    ),
    "6c": NumberQuestion(
        right=30 * 1.5 * 8,
        unit="g mm^2",
        tolerance=0.001,
        look='Which arrow goes with which distance along the shaft? Lesson 6, "Why two discs".',
        slips=(
            Slip(30 * 1.5, "Is that the static unbalance of a disc, or the couple of two?"),
            Slip(2 * 30 * 1.5, "Which way do the two forces point, and is a distance in it?"),
            Slip(2 * 30 * 1.5 * 8, "How far is each disc from the middle of the two?"),
            Slip(30 * 1.5 * 8 / 2, "How many discs are there?"),
            Slip(30 * 8, "How far from the axis is a disc's centre?"),
            Slip(math.sqrt(3) * 30 * 1.5 * 8, "How many discs are there?"),
        ),
    ),
    "6d": NumberQuestion(
        right=180 / Drive(16, 45.0, 6.5, 1.5).lobes,
        unit="degrees",
        tolerance=0.002,
        look='By how much has the disc turned after half a crank turn? Lesson 6, "A puzzle: one part or two?".',
        slips=(
            Slip(360 / 15, "How does a disc look that is turned by that?"),
            Slip(180 / 16, "Is that the pitch of the pins, or of the lobes?"),
            Slip(360 / 16, "Is that the pitch of the pins, or of the lobes?"),
            Slip(180.0, "Is that the crank's turn, or the disc's?"),
            Slip(-180 / 15, "Is a sign asked for?"),
            Slip(math.pi / 15, "Is that in degrees?"),
        ),
    ),
    "6e": ChoiceQuestion(
        right="b",
        looks={
            "a": 'By which shares of a lobe can turning round move the lobes? Lesson 6, "A puzzle: one part or two?".',
            "c": 'What does turning over do to a hole? Lesson 6, "A puzzle: one part or two?".',
        },
    ),
}
