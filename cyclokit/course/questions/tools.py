"""Questions of lesson 0b."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY

GUESSES: dict[str, Guess] = {
    "0b-lobes": GuessedNumber(
        right=STORY.pins - 1,
        unit="",
        tolerance=0,
        look="Do the three lines one by one, as the machine does: below.",
        slips=(
            Slip(
                EXAMPLE.pins - 1,
                "In a spreadsheet, yes: there a formula follows its numbers. A line of code is done once.",
            ),
        ),
        told="The line was done once, with the 20 that stood there then.",
    ),
    "0b-sum": GuessedWord(
        right="c",
        looks={
            "a": "There is a number in that text, true. But Python doesn't read it for you.",
            "b": "Two texts would be joined like that, true. But 20 is none.",
        },
        told="It doesn't guess what you mean.",
    ),
    "0b-places": GuessedNumber(
        right=STORY.pins - 1,
        unit="",
        tolerance=0,
        look="Which of those angles are the same place of the circle?",
        slips=(
            Slip(STORY.pins, "There are 20 numbers, true. But the last, 360, is the same place as the first, 0."),
            Slip(STORY.pins + 1, "It counts its numbers, not its gaps: there are 20. And two are the same place."),
        ),
        told="The last of the 20 numbers, 360, is the same place as the first.",
    ),
    "0b-pieces": GuessedNumber(
        right=math.ceil(math.pi / math.acos(1 - 0.01 / STORY.pin_circle_radius)),
        unit="pieces",
        tolerance=0.2,
        look="Twice as many pieces leave a quarter of the gap; so a fine circle is cheap.",
        told="See below how quickly the gap shrinks.",
    ),
    "0b-equal": GuessedWord(
        right="no",
        looks={"yes": "On paper, yes. See what the machine has kept of the three numbers."},
        told="On paper they are; see below what the machine has kept of them.",
    ),
    "0b-where": GuessedWord(
        right="b",
        looks={
            "a": "There you are nearest, and just there it changes least: nearer until then, farther afterwards.",
            "c": "There you are farthest, and just there it changes least: farther until then, nearer afterwards.",
        },
        told="Nearly a quarter turn, and not quite; see below.",
    ),
}
QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
    "0ba": NumberQuestion(
        right=2 * 8,  # the second run of B finds what C left
        unit="mm",
        tolerance=0,
        look='Follow the runs one by one, in the order told. Lesson 0b, "Run, stop, restart, save".',
        slips=(
            Slip(2 * 5, "What did `radius` hold when B was run for the last time?"),
            Slip(5, "Is that `radius`, or `diameter`?"),
            Slip(8, "Is that `radius`, or `diameter`?"),
        ),
    ),
    "0bb": ChoiceQuestion(
        right="b",
        looks={
            "a": 'How wide is the roller meant to be? Lesson 0b, "Reading an error".',
            "c": 'Was the value made there, or only handed on? Lesson 0b, "Reading an error".',
            "d": 'Who made the value that was refused there? Lesson 0b, "Reading an error".',
        },
    ),
    "0bc": NumberQuestion(
        right=2 * EXAMPLE.pin_circle_radius * math.sin(math.pi / EXAMPLE.pins),
        unit="mm",
        tolerance=0.002,
        look='Which two points did you measure between? Lesson 0b, "Rows of numbers".',
        slips=(
            Slip(
                2 * math.pi * EXAMPLE.pin_circle_radius / EXAMPLE.pins, "Is that straight across, or along the circle?"
            ),
            Slip(
                EXAMPLE.pin_circle_radius * math.sin(math.pi / EXAMPLE.pins),
                "Is that from pin to pin, or to the middle?",
            ),
            Slip(2 * EXAMPLE.pin_circle_radius * math.sin(math.pi / EXAMPLE.lobes), "Has each pin a place of its own?"),
            Slip(
                2 * EXAMPLE.pin_circle_radius * abs(math.sin(180 / EXAMPLE.pins)), "Which unit do sine and cosine want?"
            ),
            Slip(2 * STORY.pin_circle_radius * math.sin(math.pi / STORY.pins), "Which drive's pins are these?"),
        ),
    ),
    "0bd": NumberQuestion(
        right=math.ceil(math.pi / math.acos(1 - 0.001 / STORY.roller_radius)),
        unit="",
        tolerance=0,
        look='Which radius and which gap went in? Lesson 0b, "Drawing a curve".',
        slips=(
            Slip(
                math.floor(math.pi / math.acos(1 - 0.001 / STORY.roller_radius)), "What gap do you find with that many?"
            ),
            Slip(
                math.ceil(math.pi / math.acos(1 - 0.001 / STORY.roller_radius)) - 3, "Is that the number, or its place?"
            ),
            Slip(
                math.ceil(math.pi / math.acos(1 - 0.001 / STORY.roller_radius)) + 1, "Did you count pieces, or corners?"
            ),
            Slip(
                math.ceil(math.pi / math.acos(1 - 0.0005 / STORY.roller_radius)),
                "Which does it want, radius or diameter?",
            ),
            Slip(math.ceil(math.pi / math.acos(1 - 0.001 / STORY.pin_circle_radius)), "Whose circle is that?"),
        ),
    ),
    "0be": ChoiceQuestion(
        right="c",
        looks={
            "a": 'What did `==` say about 0.1 + 0.2? Lesson 0b, "Exact, or nearly".',
            "b": "What does that line say when `a` is 1 and `b` is 42?",
        },
    ),
    "0bf": NumberQuestion(
        right=30 * 20 * math.sin(math.pi / 3) / math.hypot(30 - 20 * math.cos(math.pi / 3), 20 * math.sin(math.pi / 3)),
        unit="mm/rad",
        tolerance=0.005,
        look='Which formula says how fast? Lesson 0b, "Letters instead of numbers".',
        slips=(
            Slip(
                30 * 20 * math.sin(60) / math.hypot(30 - 20 * math.cos(60), 20 * math.sin(60)),
                "Which unit has the angle?",
            ),
            Slip(
                math.hypot(30 - 20 * math.cos(math.pi / 3), 20 * math.sin(math.pi / 3)), "Is that how far, or how fast?"
            ),
            Slip(2 * 30 * 20 * math.sin(math.pi / 3), "Is that how fast the distance grows, or its square?"),
        ),
    ),
}
