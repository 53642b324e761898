"""Questions of lesson 5."""

import math

from cyclokit.course.answers.guesses import Guess
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.drive import Drive
from cyclokit.geometry import limits

FLAT = Drive(pins=13, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.1)
FLANK_OF_FLAT = 40 * math.sqrt(27 * (1 - FLAT.trochoid_ratio**2) * 12 / 14**3)  # mm; not its least
LEAST_OF_FLAT = float(limits.least_convex_radius(13, 40.0, 1.1))  # mm

GUESSES: dict[str, Guess] = {}
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
