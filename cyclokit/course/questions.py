"""The questions under "Check yourself" in the lessons: right values, known slips, what to look at.

Each question's words stand in its lesson; its name is the lesson's number and a letter. Right
values are worked out here from the library or a formula, never typed. These questions only guide.
"""

import math

from cyclokit.course.answers import judge
from cyclokit.course.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.drive import Drive
from cyclokit.geometry import rolling

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
EXAMPLE = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.5)

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

# lesson 6
QUESTIONS |= {
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


def check_yourself(name: str, answer: object) -> None:
    """Print one line about an answer; whatever the answer is, nothing is raised.

    Parameters
    ----------
    name : str
        The question's name, as it stands in the lesson.
    answer : object
        What the reader set.
    """
    print(judge(QUESTIONS[name], answer).line(name))
