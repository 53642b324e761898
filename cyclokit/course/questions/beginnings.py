"""Lessons 0, 0b and 1."""

import math

from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY
from cyclokit.geometry import rolling

QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
    "0b": NumberQuestion(
        right=EXAMPLE.ratio,
        unit="",
        tolerance=0,
        look='How many lobes does that disc have? Lesson 0, "Count it".',
        slips=(
            Slip(EXAMPLE.pins, 'Is that the number of pins, or of lobes? Lesson 0, "Count it".'),
            Slip(EXAMPLE.pins + 1, 'How did the lobes and pins of the story compare? Lesson 0, "Count it".'),
            Slip(-EXAMPLE.ratio, "Is a sign asked for?"),
        ),
    ),
    "0a": ChoiceQuestion(
        right="b",
        looks={
            "a": 'Follow the mark on the disc while the crank turns. Lesson 0, "Watch the machine".',
            "c": 'Follow the mark for more than one crank turn. Lesson 0, "Watch the machine".',
        },
    ),
    "0c": NumberQuestion(
        right=2 * STORY.eccentricity,
        unit="mm",
        tolerance=0.005,
        look='Which two distances did the walk print? Lesson 0, "Count it".',
        slips=(Slip(STORY.eccentricity, "Is that one way from the middle, or from the lowest to the highest place?"),),
    ),
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
