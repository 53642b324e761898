"""Questions of lesson 6."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import STORY
from cyclokit.drive import Drive

ROLLER_ACROSS = 2 * STORY.roller_radius  # mm: the story's output rollers are like those on its ring
GUESSES: dict[str, Guess] = {
    "6-hole": GuessedNumber(
        right=ROLLER_ACROSS + 2 * STORY.eccentricity,
        unit="mm",
        tolerance=0.02,
        look="Its middle goes round the roller's with the eccentricity as radius, so room is needed on both sides.",
        slips=(
            Slip(
                ROLLER_ACROSS + STORY.eccentricity,
                "The eccentricity is the right thing to add, but it is one of a radius: it is needed on both sides.",
            ),
            Slip(ROLLER_ACROSS, "That is the roller itself: nothing could wobble round it."),
            Slip(ROLLER_ACROSS + 4 * STORY.eccentricity, "It never jams; and there is twice the room that is needed."),
        ),
        told="The eccentricity on both sides of the roller.",
    ),
    "6-ahead": GuessedWord(
        right="nothing",
        looks={
            "degrees": "In a universal joint it would be so. Here several rollers hold at once, and leave nothing.",
            "hundredths": "With clearance it is so. Without it several rollers hold at once, and leave nothing.",
        },
        told="Not nearly nothing, but nothing: several rollers hold at once.",
    ),
    "6-left": GuessedWord(
        right="something",
        looks={"nothing": "The forces do cancel. But they don't lie in one plane: look at the picture below."},
        told="The forces cancel, but they lie in two planes.",
    ),
    "6-third": GuessedWord(
        right="no",
        looks={"yes": "Three forces cancel too, and lie in three planes: what is left is even larger."},
        told="Three planes make it even larger.",
    ),
    "6-four": GuessedWord(
        right="yes",
        looks={"no": "A turn by some holes moves the lobes by quarters, and two quarters are the half that is needed."},
        told="Turned by two holes.",
    ),
    "6-five": GuessedWord(
        right="no",
        looks={"yes": "A turn by some holes moves the lobes by fifths, and no number of fifths is a half."},
        told="Fifths never make a half.",
    ),
    "6-six": GuessedWord(
        right="yes",
        looks={"no": "A turn by some holes moves the lobes by sixths, and three sixths are the half that is needed."},
        told="Turned by three holes: to the roller opposite.",
    ),
}
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
