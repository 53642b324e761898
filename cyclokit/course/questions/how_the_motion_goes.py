"""Questions of lesson 4."""

from cyclokit.course.answers.guesses import Guess
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, speeds

WIDER = Drive(pins=20, pin_circle_radius=50.0, roller_radius=5.0, eccentricity=1.2)
FLATTER = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.2)

GUESSES: dict[str, Guess] = {}
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
}
