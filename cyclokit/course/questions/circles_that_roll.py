"""Questions of lesson 1."""

import math

from cyclokit.course.answers.guesses import Guess
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE
from cyclokit.geometry import rolling

GUESSES: dict[str, Guess] = {}
QUESTIONS: dict[str, NumberQuestion] = {
    "1a": NumberQuestion(
        right=2 * math.pi * 10,
        unit="mm",
        tolerance=0.005,
        look='Which arc of the circle has met the line in one turn? Lesson 1, "Along a line".',
        slips=(
            Slip(math.pi * 10, "Is 10 mm the radius, or the diameter?"),
            Slip(2 * math.pi * 20, "Is 10 mm the radius, or the diameter?"),
            Slip(2 * 10, "Is that how wide the circle is, or how far it has rolled?"),
        ),
    ),
    "1b": NumberQuestion(
        right=rolling.cycloid_arch_length(7),
        unit="mm",
        tolerance=0.005,
        look='Which integral gives a length? Lesson 1, "How long is an arch?".',
        slips=(
            Slip(2 * math.pi * 7, "Is that how far the circle rolled, or the length of the curve?"),
            Slip(rolling.cycloid_arch_length(7) / 2, "Is that half an arch, or the whole?"),
            Slip(rolling.cycloid_arch_length(14), "Is 7 mm the radius, or the diameter?"),
            Slip(4 / math.pi * 7, "Which length does that number go with?"),
        ),
    ),
    "1c": NumberQuestion(
        right=(50 + 20) / 20,
        unit="",
        tolerance=0,
        look='Which two turns add up? Lesson 1, "Round a circle".',
        slips=(
            Slip(50 / 20, "Who sees that turn: somebody outside, or somebody on the line between the centres?"),
            Slip(50 / 20 - 1, "Which way do the two turns go?"),
        ),
    ),
    "1d": NumberQuestion(
        right=4 * rolling.epicycloid_arch_length(40, 10),
        unit="mm",
        tolerance=0.005,
        look='How long is one arch, and how many are there? Lesson 1, "Round a circle".',
        slips=(
            Slip(rolling.epicycloid_arch_length(40, 10), "Is that one arch, or the whole curve?"),
            Slip(4 * 4 * rolling.epicycloid_arch_length(40, 10), "Is the length you began with that of one arch?"),
            Slip(4 * rolling.cycloid_arch_length(10), "Is an arch as long round a circle as along a line?"),
        ),
    ),
    "1e": NumberQuestion(
        right=EXAMPLE.trochoid_ratio,
        unit="",
        tolerance=0.005,
        look='Which circle rolls, and how long is the arm? Lesson 1, "From circles to a drive".',
        slips=(
            Slip(EXAMPLE.eccentricity / EXAMPLE.pin_circle_radius, "Is the pin circle the circle that rolls?"),
            Slip(
                EXAMPLE.eccentricity * EXAMPLE.lobes / EXAMPLE.pin_circle_radius, "Is it pins or lobes that count here?"
            ),
            Slip(EXAMPLE.trochoid_ratio / 2, "Is 40 mm the radius, or the diameter?"),
            Slip(1 / EXAMPLE.trochoid_ratio, "Which of the two lengths stands above, and which below?"),
        ),
    ),
}
