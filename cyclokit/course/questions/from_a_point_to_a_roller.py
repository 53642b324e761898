"""Questions of lesson 2."""

import math

from cyclokit.course.answers.guesses import Guess
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.drive import Drive

GUESSES: dict[str, Guess] = {}
QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
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
    "2b": ChoiceQuestion(
        right="b",
        looks={
            "a": 'On which curve does the middle of the roller run? Lesson 2, "Why the path is not the disc".',
            "c": 'Where is the middle of the roller, and how wide is it? Lesson 2, "Why the path is not the disc".',
        },
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
