"""Questions of lesson 4."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, speeds

WIDER = Drive(pins=20, pin_circle_radius=50.0, roller_radius=5.0, eccentricity=1.2)
FLATTER = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.2)

PITCH = motion.ring_pitch_radius(STORY)
FACTOR = (STORY.pin_circle_radius + PITCH - STORY.roller_radius) / (
    STORY.pin_circle_radius - PITCH - STORY.roller_radius
)  # how much faster the edge passes the farthest pin than the nearest

GUESSES: dict[str, Guess] = {
    "4-still": GuessedNumber(
        right=motion.ring_pitch_radius(STORY),
        unit="mm",
        tolerance=0.05,
        look="Between disc's centre and rollers, out along the crank.",
        slips=(
            Slip(
                STORY.eccentricity,
                "The disc's centre is what the crank carries along, so it moves. Farther out: 28 mm.",
            ),
            Slip(STORY.pin_circle_radius, "Out along the crank, right; but not as far as the pins: 28 mm."),
            Slip(motion.disc_pitch_radius(STORY), "So far it is from the *disc's* centre. From the ring's: 28 mm."),
            Slip(0.0, "That point stands still in the ring. The disc's point there moves. Farther out: 28 mm."),
        ),
        told="Out along the crank, between disc's centre and rollers.",
    ),
    "4-curves": GuessedWord(
        right="b",
        looks={
            "a": "One on the ring and one on the disc, right; but nobody made these: circles of 28 and 26.6 mm.",
            "c": "It is one point at each moment; but it draws two circles, one in ring and disc each.",
        },
        told="Two circles that nobody made.",
    ),
    "4-meet": GuessedWord(
        right="same",
        looks={
            "nearer": "Larger rollers do touch nearer to the middle. But on the same normals.",
            "farther": "The discs differ, right. But the normals are the same.",
        },
        told="The roller only shortens the arm.",
    ),
    "4-swing": GuessedNumber(
        right=math.degrees(math.asin(STORY.trochoid_ratio)),
        unit="degrees",
        tolerance=0.1,
        look="It is the angle whose sine is the trochoid ratio.",
        slips=(Slip(90.0, "A quarter turn it would be at the limit, with a trochoid ratio of 1. Here 41.8 degrees."),),
        told="The angle whose sine is the trochoid ratio.",
    ),
    "4-block": GuessedNumber(
        right=1,
        unit="turns",
        tolerance=0.001,
        look="Seen from the crank the ring stands still, and so the disc does as well: all go round as a block.",
        slips=(
            Slip(-1 / STORY.lobes, "So it would be with the ring held. Here it is 1: all go round as a block."),
            Slip(1 - 1 / STORY.lobes, "Adding up is a good idea. But seen from the crank, nothing moves: it is 1."),
        ),
        told="Nothing moves against anything else: all go round as a block.",
    ),
    "4-factor": GuessedNumber(
        right=FACTOR,
        unit="times",
        tolerance=0.15,
        look="The farther from the pitch point, the faster.",
        slips=(
            Slip(
                1.0, "The disc turns at one rate, right; but about the pitch point, and the pins are not equally far."
            ),
            Slip(1 / FACTOR, "The size is right. But far from the pitch point is fast: 7.2 times."),
            Slip(
                (STORY.pin_circle_radius + PITCH) / (STORY.pin_circle_radius - PITCH),
                "So it is at the pins' centres. The contacts lie one roller radius nearer: 7.2 times.",
            ),
        ),
        told="The farther from the pitch point, the faster.",
    ),
    "4-shared": GuessedWord(
        right="one",
        looks={"both": "Both may touch it. But a pin pushes on one side of the crank's line only: one disc at a time."},
        told="The discs stand on opposite sides of every pin.",
    ),
}
QUESTIONS: dict[str, NumberQuestion] = {
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
        look='Which numbers does a pitch circle depend on? Lesson 4, "Where that point goes".',
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
    "4f": NumberQuestion(
        right=math.sin(math.radians(30)),
        unit="",
        tolerance=0.002,
        look='Which right-angled triangle has the pin as a corner? Lesson 4, "How far a contact swings".',
        slips=(
            Slip(math.cos(math.radians(30)), "Which side lies opposite the angle?"),
            Slip(math.tan(math.radians(30)), "Where does the right angle stand?"),
            Slip(math.sin(30), "In which unit does the sine take its angle?"),
            Slip(math.radians(30), "Is the ratio the angle itself?"),
        ),
    ),
}
