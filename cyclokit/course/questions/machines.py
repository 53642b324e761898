"""Lessons 4 to 6."""

import math

from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY
from cyclokit.drive import Drive
from cyclokit.geometry import limits, motion, outline, speeds

WIDER = Drive(pins=20, pin_circle_radius=50.0, roller_radius=5.0, eccentricity=1.2)
FLATTER = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.2)
FLAT = Drive(pins=13, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.1)
FLANK_OF_FLAT = 40 * math.sqrt(27 * (1 - FLAT.trochoid_ratio**2) * 12 / 14**3)  # mm; not its least
LEAST_OF_FLAT = float(limits.least_convex_radius(13, 40.0, 1.1))  # mm

QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
    "4a": NumberQuestion(
        right=motion.disc_pitch_radius(EXAMPLE),
        unit="mm",
        tolerance=0.005,
        look='Which two motions cancel there? Lesson 4, "The point that stands still".',
        slips=(
            Slip(motion.ring_pitch_radius(EXAMPLE), "From which centre did you measure?"),
            Slip(EXAMPLE.pin_circle_radius, "Does the pin circle come into it?"),
            Slip(2 * motion.disc_pitch_radius(EXAMPLE), "Is that a radius, or a diameter?"),
            Slip(EXAMPLE.eccentricity * (EXAMPLE.pins + 1), "Which way does the disc turn while it is carried round?"),
            Slip(EXAMPLE.eccentricity, "Is that the disc's centre itself?"),
            Slip(motion.disc_pitch_radius(STORY), "Which drive is asked for?"),
            Slip(motion.ring_pitch_radius(STORY), "Which drive is asked for, and from which centre?"),
        ),
    ),
    "4b": NumberQuestion(
        right=motion.ring_pitch_radius(WIDER),
        unit="mm",
        tolerance=0.005,
        look='Which numbers does a pitch circle depend on? Lesson 4, "Two circles that roll".',
        slips=(
            Slip(WIDER.pin_circle_radius, "Which circle do the pins stand on, and which one rolls?"),
            Slip(motion.disc_pitch_radius(WIDER), "Is that the ring's circle, or the disc's?"),
            Slip(2 * motion.ring_pitch_radius(WIDER), "Is that a radius, or a diameter?"),
            Slip(motion.ring_pitch_radius(STORY), "Which eccentricity has the new drive?"),
            Slip(STORY.trochoid_ratio * WIDER.pin_circle_radius, "Is the trochoid ratio still the story's?"),
        ),
    ),
    "4c": NumberQuestion(
        right=FLATTER.pin_circle_radius - motion.ring_pitch_radius(FLATTER) - FLATTER.roller_radius,
        unit="mm",
        tolerance=0.005,
        look='What lies on the line from the ring\'s centre to the pin? Lesson 4, "Why all normals meet there".',
        slips=(
            Slip(
                FLATTER.pin_circle_radius - motion.ring_pitch_radius(FLATTER),
                "Is that the contact, or the pin's centre?",
            ),
            Slip(
                FLATTER.pin_circle_radius - motion.disc_pitch_radius(FLATTER) - FLATTER.roller_radius,
                "From which centre is the pitch point that far?",
            ),
            Slip(
                FLATTER.pin_circle_radius - motion.ring_pitch_radius(FLATTER) + FLATTER.roller_radius,
                "On which side of the pin does the disc touch it?",
            ),
            Slip(
                FLATTER.pin_circle_radius + motion.ring_pitch_radius(FLATTER) + FLATTER.roller_radius,
                "Towards which side does the crank point?",
            ),
            Slip(FLATTER.pin_circle_radius - FLATTER.roller_radius, "From which point did you measure?"),
            Slip(
                FLATTER.pin_circle_radius - FLATTER.eccentricity - FLATTER.roller_radius,
                "From which point did you measure?",
            ),
        ),
    ),
    "4d": NumberQuestion(
        right=30 * speeds.transmission(Drive(16, 45.0, 6.5, 1.5))[2].ratio,
        unit="turns a minute",
        tolerance=0.001,
        look='Seen from the crank, which way do the two rims move? Lesson 4, "Which way, how fast".',
        slips=(
            Slip(-30 / 15, "Which member is held?"),
            Slip(30 / 15, "Which member is held?"),
            Slip(30 * STORY.pins / STORY.lobes, "Which drive is asked for?"),
            Slip(30 / 16, "Which member is held?"),
            Slip(-30 * 16 / 15, "Which way do the two rims move where they touch?"),
            Slip(30 * 15 / 16, "Which of the two circles is the shorter one?"),
            Slip(30 * 17 / 16, "How many lobes has this disc?"),
            Slip(30, "Have ring and disc the same circle?"),
        ),
    ),
    "4e": NumberQuestion(
        right=speeds.roller_turns(EXAMPLE),
        unit="turns",
        tolerance=0.005,
        look='Along which curve does a roller roll, and how long is once round it? Lesson 4, "Sliding and rolling".',
        slips=(
            Slip(
                speeds.roller_turns(EXAMPLE) + 1,
                "Which length is that, the edge's or that of the roller's path? And does the pin itself go round?",
            ),
            Slip(-speeds.roller_turns(EXAMPLE), "Is a sign asked for?"),
            Slip(2 * speeds.roller_turns(EXAMPLE), "How long is once round the roller?"),
            Slip(speeds.roller_turns(EXAMPLE) / 2, "How long is once round the roller?"),
            Slip(speeds.roller_turns(EXAMPLE) / EXAMPLE.ratio, "While what turns once?"),
            Slip(EXAMPLE.pins, "Does the roller mesh with lobes, or roll?"),
            Slip(EXAMPLE.lobes, "Does the roller mesh with lobes, or roll?"),
            Slip(speeds.roller_turns(STORY), "Which drive is asked for?"),
            Slip(outline.length(EXAMPLE), "Is that a length, or a number of turns?"),
        ),
    ),
    "5a": NumberQuestion(
        right=45 / 15,
        unit="mm",
        tolerance=0.005,
        look='Where does the path have no direction? Lesson 5, "Where the path turns back".',
        slips=(
            Slip(45 / 14, "Is it pins or lobes that count here?"),
            Slip(2 * 45 / 15, "Is 45 mm the radius, or the diameter?"),
            Slip(45 / 15 / 2, "Is 45 mm the radius, or the diameter?"),
            Slip(15 / 45, "Which of the two stands above, and which below?"),
        ),
    ),
    "5b": NumberQuestion(
        right=LEAST_OF_FLAT,
        unit="mm",
        tolerance=0.003,
        look='Where on the lobe is the tightest bend of this drive? Lesson 5, "The tightest bend".',
        slips=(
            Slip(FLANK_OF_FLAT, "Does the lobe have the place that this formula speaks of?"),
            Slip(LEAST_OF_FLAT - 4, "Is that the path's bend, or the edge's?"),
            Slip(FLANK_OF_FLAT - 4, "Whose bend is that, and does the lobe have that place?"),
            Slip(40 * (1 - 0.3575) ** 2 / (13 * 0.3575 + 1), "Do the two arrows of the tangent add up at the tip?"),
            Slip(40 * (1 - 0.3575) ** 2 / (13 * 0.3575 - 1), "Is that a tip, or a root?"),
            Slip(float(limits.half_pin_distance(13, 40.0)), "Which of the three limits is that?"),
        ),
    ),
    "5c": NumberQuestion(
        right=38 / 79,
        unit="",
        tolerance=0.0003,
        look='For which ratio does the place of zero slope come to the tip? Lesson 5, "The tightest bend".',
        slips=(
            Slip(37 / 77, "Is that the number of pins, or of lobes?"),
            Slip(42 / 81, "Which signs stand above and below?"),
            Slip(0.5, "Is that exact, or what comes of it for very many pins?"),
            Slip(1 / 40, "Is that about the tip, or about the root?"),
            Slip(1, "Is that where the branches meet, or where loops begin?"),
        ),
    ),
    "5d": NumberQuestion(
        right=2 * float(limits.half_pin_distance(14, 45.0)),
        unit="mm",
        tolerance=0.002,
        look='How far apart are neighbouring pins? Lesson 5, "Rollers side by side".',
        slips=(
            Slip(float(limits.half_pin_distance(14, 45.0)), "Is a radius asked for, or a diameter?"),
            Slip(2 * math.pi * 45 / 14, "Is that straight across, or along the circle?"),
            Slip(2 * 45 * math.sin(math.pi / 13), "Is it pins or lobes that stand there?"),
            Slip(2 * 45 * abs(math.sin(180 / 14)), "Which unit does the sine want?"),
        ),
    ),
    "5e": ChoiceQuestion(
        right="b",
        looks={
            "a": 'How high is the shaded region at its right-hand edge? Lesson 5, "The map".',
            "c": 'Which line of the map is that, and does it end the shaded region? Lesson 5, "The map".',
        },
    ),
    "5f": NumberQuestion(
        right=float(limits.greatest_eccentricity(16, 45.0, 8.0)),
        unit="mm",
        tolerance=0.004,
        look='Which limit comes first, and what does it say of the trochoid ratio? Lesson 5, "The map".',
        slips=(
            Slip(45 / 16, "Which limit is met before loops begin?"),
            Slip(float(limits.greatest_eccentricity(16, 45.0, 4.0)), "Is 8 mm the radius, or the diameter?"),
            Slip(float(limits.greatest_eccentricity(16, 45.0, 6.5)), "Which rollers has this drive?"),
            Slip(float(limits.greatest_eccentricity(16, 45.0, 8.0)) * 16 / 45, "Is that a length, or a ratio?"),
            Slip(float(limits.greatest_eccentricity(16, 45.0, 8.0)) * 16 / 15, "Is it pins or lobes that count?"),
            Slip(8, "Is that a limit, or a rule of thumb?"),
        ),
    ),
    "5g": ChoiceQuestion(
        right="a",
        looks={
            "b": "Is the eccentricity of that drive below its roller radius?",
            "c": "Of how many drives does that sentence speak, and how many have you looked at?",
        },
    ),
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
