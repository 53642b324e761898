"""Questions of lesson 1."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY
from cyclokit.geometry import rolling

COIN = 2 * math.pi  # how far a coin of radius 1 rolls in one turn
GUESSES: dict[str, Guess] = {
    "1-landing": GuessedWord(
        right="b",
        looks={
            "a": "It comes from that side, and the coin as a whole goes forwards. But how fast is the coin just there?",
            "c": "It does go round the coin's middle backwards there. But the coin goes forwards, just as fast.",
        },
        told="Forwards with the coin and backwards round its middle cancel there.",
    ),
    "1-factor": GuessedNumber(
        right=rolling.cycloid_arch_length(1) / COIN,
        unit="times as long",
        tolerance=0.02,
        look="You see below which number that is.",
        slips=(
            Slip(
                1.0,
                "The straight way is as long as that, and the spot takes another. Its curve is 1.273 times as long.",
            ),
            Slip(math.pi / 2, "That would be half a circle over that way. The arch is flatter: 1.273 times as long."),
        ),
        told="You see below which number that is.",
    ),
    "1-turns": GuessedNumber(
        right=(30 + 10) / 10,
        unit="turns",
        tolerance=0,
        look="Two turns add up, as you see below.",
        slips=(
            Slip(30 / 10, "So many times the edges have met, right. One turn more comes from going round: 4."),
            Slip(30 / 10 - 1, "Going round does count as a turn. But it adds to the others: 4."),
        ),
        told="Three from rolling, and one from going round.",
    ),
    "1-inside": GuessedWord(
        right="rounded",
        looks={
            "cusp": "The arches are still there. But this pen is never at the contact, so it never stops.",
            "loop": "The other way: a pen inside the circle never goes backwards.",
        },
        told="It never comes to the contact, so it never stops.",
    ),
    "1-outside": GuessedWord(
        right="loop",
        looks={
            "rounded": "It never stops either, right. But beyond the contact it goes backwards for a while.",
            "cusp": "The arches are still there. But this pen passes below the contact, and goes backwards there.",
        },
        told="Beyond the hinge it goes backwards for a while.",
    ),
    "1-rolling": GuessedNumber(
        right=STORY.pin_circle_radius / STORY.pins,
        unit="mm",
        tolerance=0.02,
        look="It has to roll so often in one round that it makes all the waves.",
        slips=(
            Slip(STORY.roller_radius, "That is a roller's radius. The circle that rolls is none of the parts: 2.1 mm."),
            Slip(STORY.pin_circle_radius, "Far out it is, with its centre; but it is tiny itself: 2.1 mm."),
            Slip(
                STORY.eccentricity, "That is the arm of the pen. It must be shorter than the circle's radius: 2.1 mm."
            ),
        ),
        told="No part of the machine has that radius.",
    ),
}
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
