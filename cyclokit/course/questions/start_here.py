"""Questions of lesson 0."""

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY

A_LOBE = 1 / STORY.ratio  # of a turn: how far the disc turns for one turn of the crank
GUESSES: dict[str, Guess] = {
    "0-turns": GuessedNumber(
        right=A_LOBE,
        unit="turns",
        tolerance=0.1,
        look="What you see below is that the disc is carried round at once, and turns only slowly.",
        slips=(
            Slip(1.0, "The disc's middle does go round once with the crank. The disc itself hardly turns: see below."),
            Slip(0.0, "Nearly: it turns so little that you must look twice. See below."),
            Slip(-A_LOBE, "Right, with the way it turns as well, although only the size was asked for!"),
        ),
        told="So little that you must look twice. Which way it turns, you see below.",
    ),
    "0-lobes": GuessedNumber(
        right=STORY.lobes,
        unit="lobes",
        tolerance=0,
        look="Further down they are counted.",
        slips=(
            Slip(STORY.pins, "A fair guess: as many as rollers would look right, and then nothing would turn."),
            Slip(STORY.pins + 1, "Another number than rollers, right; but there is one fewer, not one more."),
        ),
        told="One fewer than rollers.",
    ),
    "0-height": GuessedNumber(
        right=2 * STORY.eccentricity,
        unit="mm",
        tolerance=0.05,
        look="It has to do with how far the crank carries the disc to either side.",
        slips=(Slip(STORY.eccentricity, "So far the disc is carried to one side. It goes to the other as well."),),
        told="Twice the eccentricity: so far it is from one side to the other.",
    ),
    "0-works": GuessedWord(
        right="no",
        looks={"yes": "It is right that it can still be drawn. But look what becomes of the edge, below."},
        told="Look at what becomes of the edge, below.",
    ),
}
QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
    "0a": ChoiceQuestion(
        right="b",
        looks={
            "a": 'Follow the mark on the disc while the crank turns. Lesson 0, "Watch the machine".',
            "c": 'Follow the mark for more than one crank turn. Lesson 0, "Watch the machine".',
        },
    ),
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
    "0c": NumberQuestion(
        right=2 * EXAMPLE.eccentricity,
        unit="mm",
        tolerance=0.005,
        look='Which two distances did the walk print? Lesson 0, "Count it".',
        slips=(
            Slip(EXAMPLE.eccentricity, "Is that one way from the middle, or from the lowest to the highest place?"),
        ),
    ),
    "0d": ChoiceQuestion(
        right="c",
        looks={
            "a": 'Where is its centre, while it turns? Lesson 0, "The parts and their names".',
            "b": 'On which shaft does it sit, and how fast does that turn? Lesson 0, "The parts and their names".',
            "d": 'What does a ring pin do while the crank turns? Lesson 0, "The parts and their names".',
        },
    ),
}
