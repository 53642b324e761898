"""Questions of lesson 2."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY
from cyclokit.drive import Drive

SHORTER = 2 * math.pi * STORY.roller_radius  # by which the outline is shorter than the centre path
GUESSES: dict[str, Guess] = {
    "2-way": GuessedWord(
        right="counter-clockwise",
        looks={
            "clockwise": "That is how the disc turns in the workshop. Who sits on it sees the pins go the other way.",
        },
        told="The disc goes back, so the pins go forwards round it.",
    ),
    "2-turns": GuessedNumber(
        right=STORY.lobes,
        unit="turns",
        tolerance=0,
        look="Each turn of the crank brings the pin one lobe further.",
        slips=(
            Slip(STORY.pins, "Seen from the disc the crank turns so often, right. In the workshop it is one less: 19."),
            Slip(1.0, "In one turn of the crank the pin dips into one root and comes out again. It takes 19 of them."),
        ),
        told="One lobe for each turn of the crank.",
    ),
    "2-sunk": GuessedWord(
        right="sunk",
        looks={
            "touching": "Its centre would be on the edge, right. But a roller has room around its centre.",
            "gap": "There must be room for a roller, right. But the path runs through its centre.",
        },
        told="The path runs through the roller's centre, and half of it lies inside.",
    ),
    "2-place": GuessedWord(
        right="flank",
        looks={
            "root": "Near, but at the deepest place the path runs straight across. See below.",
            "tip": "There the path runs straight across: both directions are one. See below.",
        },
        told="At root and tip the path runs straight across, and both directions are one.",
    ),
    "2-shorter": GuessedNumber(
        right=SHORTER,
        unit="mm",
        tolerance=0.02,
        look="The lobes don't matter at all. See below.",
        slips=(
            Slip(STORY.roller_radius, "So far inside it lies. Going round a circle that much smaller saves 31.42 mm."),
            Slip(
                2 * STORY.roller_radius,
                "So much narrower it is. Going round a circle that much narrower saves 31.42 mm.",
            ),
        ),
        told="As if both were circles: the lobes don't matter at all.",
    ),
}
QUESTIONS: dict[str, NumberQuestion] = {
    "2a": NumberQuestion(
        right=Drive(14, 40.0, 4.0, 1.0).lobes,
        unit="",
        tolerance=0,
        look='Count the waves of one whole path. Lesson 2, "Sit on the disc".',
        slips=(
            Slip(14, "Is that the number of pins, or of waves?"),
            Slip(15, "How often does the one arrow overtake the other?"),
        ),
    ),
    "2b": NumberQuestion(
        right=EXAMPLE.pin_circle_radius + EXAMPLE.eccentricity - EXAMPLE.roller_radius,
        unit="mm",
        tolerance=0.002,
        look='How far out does the path reach, and how much of that does the mill take? Lesson 2, "From path to disc".',
        slips=(
            Slip(40.0 + 1.5, "Does the mill cut only where its middle runs?"),
            Slip(40.0 - 4.0, "How far out, seen from the disc, does a pin's centre come?"),
            Slip(40.0 - 1.5 - 4.0, "Is that how far a root is from the centre, or a tip?"),
            Slip(40.0 + 1.5 - 8.0, "Is 4 mm the radius, or the diameter?"),
            Slip(40.0 + 1.5 + 4.0, "Does the disc lie inside the path, or outside?"),
        ),
    ),
    "2c": NumberQuestion(
        right=30.0 - 5.0 * 0.8,
        unit="mm",
        tolerance=0.001,
        look='Which way from the centre, and how far? Lesson 2, "The contact".',
        slips=(
            Slip(30.0 + 5.0 * 0.8, "Does the disc lie inside the path, or outside?"),
            Slip(30.0 - 10.0 * 0.8, "Is 5 mm the radius, or the diameter?"),
            Slip(30.0 - 5.0, "Which share of the way goes along x?"),
            Slip(30.0 - 5.0 * 0.6, "Is that towards the disc's centre, or across the path?"),
            Slip(40.0 - 5.0 * 0.6, "Is that the x coordinate, or the y coordinate?"),
        ),
    ),
    "2d": NumberQuestion(
        right=5111.4 - 264.2 * 4 + math.pi * 4**2,
        unit="mm^2",
        tolerance=0.0005,
        look='What does the strip take away, and what happens at the bends? Lesson 2, "How long, how large".',
        slips=(
            Slip(5111.4 - 264.2 * 4, "What happens to the strip at the bends?"),
            Slip(5111.4 - 264.2 * 4 - math.pi * 4**2, "What happens to the strip where the curve bends outwards?"),
            Slip(5111.4 + 264.2 * 4 + math.pi * 4**2, "Does the disc lie inside the path, or outside?"),
        ),
    ),
}
