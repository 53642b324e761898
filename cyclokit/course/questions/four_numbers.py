"""Questions of lesson 5."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import STORY
from cyclokit.drive import Drive
from cyclokit.geometry import limits

FLAT = Drive(pins=13, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.1)
FLANK_OF_FLAT = 40 * math.sqrt(27 * (1 - FLAT.trochoid_ratio**2) * 12 / 14**3)  # mm; not its least
LEAST_OF_FLAT = float(limits.least_convex_radius(13, 40.0, 1.1))  # mm

RING = STORY.pins, STORY.pin_circle_radius
WIDEST = float(limits.least_convex_radius(*RING, STORY.eccentricity))  # mm
SIDE_BY_SIDE = float(limits.half_pin_distance(*RING))  # mm
LOOPS_FROM = STORY.pin_circle_radius / STORY.pins  # mm
DEEPEST = float(limits.greatest_eccentricity(*RING, STORY.roller_radius))  # mm
MOST = float(limits.greatest_eccentricity(16, 45.0, 6.5))  # mm: of the first design

GUESSES: dict[str, Guess] = {
    "5-loop": GuessedNumber(
        right=LOOPS_FROM,
        unit="mm",
        tolerance=0.05,
        look="There the pitch point has come out to the pins.",
        slips=(
            Slip(STORY.roller_radius, "Right that there is an end; it comes sooner. Rollers of no width have no say."),
            Slip(STORY.pin_circle_radius, "Right that there is an end; long before, the pitch point reaches the pins."),
        ),
        told="There the pitch point has come out to the pins.",
    ),
    "5-bend": GuessedWord(
        right="flank",
        looks={
            "tip": "It looks so, and for flatter lobes it is right. The story's are deeper: there it is the flank, "
            "by a little."
        },
        told="By a little; for flatter lobes it would be the tip.",
    ),
    "5-widest": GuessedNumber(
        right=WIDEST,
        unit="mm",
        tolerance=0.08,
        look="That is the radius of the path's tightest bend.",
        slips=(
            Slip(STORY.roller_radius, "So wide they are, and the edge follows. There is more room: look below."),
            Slip(2 * WIDEST, "That is the bend's width across. Its radius is asked for."),
        ),
        told="That is the radius of the path's tightest bend.",
    ),
    "5-undercut": GuessedWord(
        right="b",
        looks={
            "a": "Right of a disc that is cut along the formula's edge. This one was made by turning, and it turns.",
            "c": "Right that it turns, at its ratio. But count the rollers that touch it, below.",
        },
        told="It was made by turning, so it turns; but see how many rollers touch.",
    ),
    "5-bug": GuessedWord(
        right="flat",
        looks={
            "deep": "Right that the lobes' depth decides. For deep ones the flank is the tightest place, as it says.",
            "many": "The number of pins has a say in where it begins; what decides is how flat the lobes are.",
            "few": "The number of pins has a say in where it begins; what decides is how flat the lobes are.",
        },
        told="There the tip is the tightest place, and the program speaks of one that the lobe hasn't got.",
    ),
    "5-promise": GuessedWord(
        right="less",
        looks={"more": "That would be the worse bug. It finds a place that no lobe has, and that bends more tightly."},
        told="It finds a place that no lobe has, and that bends more tightly than any that is there.",
    ),
    "5-side": GuessedNumber(
        right=SIDE_BY_SIDE,
        unit="mm",
        tolerance=0.03,
        look="It is half of what lies straight between two neighbouring pins.",
        slips=(Slip(2 * SIDE_BY_SIDE, "That is how far apart the pins are: two radii have to share it."),),
        told="Half of what lies straight between two neighbouring pins.",
    ),
    "5-first": GuessedWord(
        right="undercut",
        looks={
            "loops": "Right that a larger eccentricity ends in loops. The rollers are in the way before.",
            "rollers": "The pins don't move when the eccentricity grows, so rollers that fit go on fitting.",
        },
        told="Loops would come later, and rollers that fit side by side go on fitting.",
    ),
    "5-first-mm": GuessedNumber(
        right=DEEPEST,
        unit="mm",
        tolerance=0.05,
        look="There the path bends as tightly as the rollers.",
        slips=(
            Slip(LOOPS_FROM, "There loops would begin. With these rollers undercut comes before."),
            Slip(DEEPEST - STORY.eccentricity, "So much is left from where the story stands. Where do you arrive?"),
        ),
        told="There the path bends as tightly as the rollers.",
    ),
    "5-design": GuessedNumber(
        right=0.6 * MOST,
        unit="mm",
        tolerance=0.25,
        look="Neither all that undercut leaves, nor so little that the lobes are flat.",
        slips=(
            Slip(MOST, "That is just where undercut begins: right as an end, with no room left."),
            Slip(45 / 16, "That is where loops begin. Undercut comes before."),
            Slip(6.5, "That is the rule of thumb's end. Undercut comes long before."),
        ),
        told="Neither all that undercut leaves, nor so little that the lobes are flat.",
    ),
    "5-rule": GuessedWord(
        right="c",
        looks={
            "a": "Half of it: it turns sound drives away. It lets unsound ones pass as well.",
            "b": "Half of it: it lets unsound drives pass. It turns sound ones away as well.",
            "d": "For many drives it happens to say what is so. Look for one where it doesn't.",
        },
        told="One drive is enough to refute each half.",
    ),
}
QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
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
    "5h": ChoiceQuestion(
        right="a",
        looks={
            "b": 'By what was this disc made, and as what did it move? Lesson 5, "What undercut really does".',
            "c": 'Has a lobe gone, or a piece of each flank? Lesson 5, "What undercut really does".',
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
}
