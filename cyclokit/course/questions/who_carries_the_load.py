"""Questions of lesson 7."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing

TORQUE = 2000.0  # N mm, on one disc
ONE_DISC = Reducer(STORY, discs=1)
IDEAL = sharing.ideal(ONE_DISC, TORQUE, [0.0])
LEFT = sharing.as_made(ONE_DISC, TORQUE, [0.0], 0.02, pin_stiffness=2000.0, output_stiffness=2000.0)
LONGEST = motion.disc_pitch_radius(STORY)
GUESSES: dict[str, Guess] = {
    "7-far": GuessedNumber(
        right=1000 * 20 / (10**2 + 20**2),
        unit="N",
        tolerance=0.02,
        look="Both help, and the far one more: it is pressed in farther.",
        slips=(
            Slip(1000 / 20, "That is what the far one alone would need. The near one takes some of it."),
            Slip(1000 / 2 / 20, "That gives each half of the torque. But the far one is pressed in twice as far."),
            Slip(1000 / 30, "That has both push equally hard. But the far one is pressed in twice as far."),
            Slip(1000 * 10 / 500, "That is what the near one pushes with; asked for was the far one."),
        ),
        told="It is pressed in twice as far as the near one, so it pushes twice as hard.",
    ),
    "7-best": GuessedNumber(
        right=math.degrees(math.acos(STORY.trochoid_ratio)),
        unit="degrees",
        tolerance=0.15,
        look="Its line should pass as far from the disc's centre as a line through the pitch point can.",
        slips=(
            Slip(90.0, "There the pin stands across the crank. But its line doesn't: it slants to the pitch point."),
            Slip(0.0, "There the pin's line passes through the disc's centre: it has no arm at all."),
            Slip(180.0, "There the pin's line passes through the disc's centre: it has no arm at all."),
        ),
        told="There its line stands across the crank, and just touches the disc's pitch circle.",
    ),
    "7-arm": GuessedNumber(
        right=LONGEST,
        unit="mm",
        tolerance=0.03,
        look="It is the distance of a line from the disc's centre, and all lines pass through the pitch point.",
        slips=(
            Slip(STORY.pin_circle_radius, "So far out the pin stands. But it doesn't push at right angles to that."),
            Slip(
                STORY.pin_circle_radius - STORY.roller_radius,
                "So far out the two touch. But the pin doesn't push at right angles to that.",
            ),
            Slip(motion.ring_pitch_radius(STORY), "So far it is from the ring's centre; the disc's is nearer."),
            Slip(STORY.eccentricity, "That is the crank's arm. The disc's is longer, by as much as the ratio."),
        ),
        told="So far the pitch point is from the disc's centre.",
    ),
    "7-hardest": GuessedNumber(
        right=IDEAL.peak,
        unit="N",
        tolerance=0.2,
        look="Each pin's share goes with its lever arm.",
        slips=(
            Slip(TORQUE / LONGEST, "So hard the best-placed pin would push if it were alone."),
            Slip(TORQUE / LONGEST / 10, "So it would be if ten had the longest arm. Most have a shorter one."),
            Slip(TORQUE / STORY.pin_circle_radius, "That takes one pin, and the pin circle's radius for its arm."),
            Slip(TORQUE / STORY.pin_circle_radius / 10, "Ten share, right; but none has so long an arm."),
            Slip(2 * IDEAL.peak, "That is twice the right one. Is it for all of the torque, on one disc?"),
        ),
        told="Ten share, and the best-placed do most.",
    ),
    "7-bearing": GuessedNumber(
        right=math.hypot(*IDEAL.bearing_force[0, 0]),
        unit="N",
        tolerance=0.2,
        look="Below you see what it has to hold against.",
        slips=(
            Slip(0.0, "The forces do cancel; but only because the bearing is there to push, too."),
            Slip(IDEAL.peak, "That is what one pin pushes with. The bearing holds against all of them together."),
            Slip(TORQUE / LONGEST, "That is the part across the crank. Along it there is as much again, nearly."),
        ),
        told="It holds against all pins and all output rollers together.",
    ),
    "7-left": GuessedNumber(
        right=int(LEFT.loaded_pins[0, 0]),
        unit="pins",
        tolerance=0.2,
        look="Pins with short arms are reached late, or not at all.",
        slips=(
            Slip(9, "So it would be if the gap hardly counted. But the pins give way by less than that."),
            Slip(1, "The first that is reached does get the most. But it gives way, and then others are reached."),
            Slip(0, "Somebody has to hold the torque: the disc turns until it is held."),
        ),
        told="Those with the longest arms, for they are reached first.",
    ),
}
TORQUE_OF_TWO = 27_000.0  # N mm, of question e
QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
    "7a": NumberQuestion(
        right=2800 * 30 / (10**2 + 20**2 + 30**2),
        unit="N",
        tolerance=0.002,
        look='How far is each post pressed in, and with which arm does it count? Lesson 7, "Two springs".',
        slips=(
            Slip(2.8 * 30 / 1400, "In which unit does the torque go with lengths in mm?"),
            Slip(2800 / 30, "Does the farthest one hold alone?"),
            Slip(2800 / 3 / 30, "Do all three hold the same share of the torque?"),
            Slip(2800 / 60, "Do all three push equally hard?"),
            Slip(2800 * 20 / 1400, "Which of the posts is asked for?"),
            Slip(2800 * 10 / 1400, "Is that the nearest, or the farthest?"),
        ),
    ),
    "7b": NumberQuestion(
        right=motion.disc_pitch_radius(EXAMPLE),
        unit="mm",
        tolerance=0.002,
        look='How far off the disc\'s centre can lines through the pitch point be? Lesson 7, "Whose arm is how long".',
        slips=(
            Slip(motion.ring_pitch_radius(EXAMPLE), "Is that counted from the ring's centre, or from the disc's?"),
            Slip(40.0, "Does the pin push at right angles to its own radius?"),
            Slip(1.5, "Is that the disc's arm, or the crank's?"),
            Slip(1.5 * 13, "How many lobes has the disc?"),
        ),
    ),
    "7c": NumberQuestion(
        right=math.degrees(math.acos(EXAMPLE.trochoid_ratio)),
        unit="degrees",
        tolerance=0.002,
        look='Which way does the line with the longest arm stand? Lesson 7, "Whose arm is how long".',
        slips=(
            Slip(90.0, "Is it the pin that stands across the crank, or its line?"),
            Slip(math.acos(EXAMPLE.trochoid_ratio), "Is that in degrees?"),
            Slip(math.degrees(math.asin(EXAMPLE.trochoid_ratio)), "From which direction is the angle counted?"),
            Slip(math.degrees(math.acos(1.5 * 11 / 40)), "Is the pitch point's distance from the ring's centre that?"),
        ),
    ),
    "7d": NumberQuestion(
        right=4 * 0.55 * 167_000 / (1 * 39 * 40),
        unit="N",
        tolerance=0.002,
        look='Which torque, which arm, how many pins? Lesson 7, "From two springs to twenty".',
        slips=(
            Slip(4 * 167_000 / (39 * 40), "Does one disc carry all of it?"),
            Slip(4 * 0.5 * 167_000 / (39 * 40), "Do the two share evenly?"),
            Slip(4 * 0.45 * 167_000 / (39 * 40), "Which of the two discs is asked for?"),
            Slip(4 * 0.55 * 167 / (39 * 40), "In which unit does the torque go with lengths in mm?"),
            Slip(4 * 0.55 * 167_000 / (100 * 40), "Is the pin circle's radius a lever arm?"),
            Slip(4 * 0.55 * 167_000 / (40 * 40), "Is the arm counted with the pins, or with the lobes?"),
            Slip(0.55 * 167_000 / 39, "How many pins share it?"),
            Slip(2 * 0.55 * 167_000 / (39 * 40), "Have all pins that push the longest arm?"),
        ),
    ),
    "7e": NumberQuestion(
        right=TORQUE_OF_TWO / 2 / (1.8 * 15),
        unit="N",
        tolerance=0.002,
        look='About which point does that part hold the torque? Lesson 7, "Why the eccentric\'s bearing suffers".',
        slips=(
            Slip(TORQUE_OF_TWO / (1.8 * 15), "Is that the torque of one disc, or of both?"),
            Slip(TORQUE_OF_TWO / 2 / (1.8 * 16), "Is the arm counted with the pins, or with the lobes?"),
            Slip(27 / 2 / (1.8 * 15), "In which unit does the torque go with lengths in mm?"),
            Slip(TORQUE_OF_TWO / 2 / 1.8, "Which torque is at the eccentric: the output's, or the crank's?"),
            Slip(4 * TORQUE_OF_TWO / 2 / (1.8 * 15 * 16), "Is that one pin's push, or all pins' together?"),
        ),
    ),
    "7f": ChoiceQuestion(
        right="c",
        looks={
            "a": 'How far does the disc turn before the torque is held? Lesson 7, "As made".',
            "b": 'With what is a gap to be compared? Lesson 7, "As made".',
        },
    ),
}
