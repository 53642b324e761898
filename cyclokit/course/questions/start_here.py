"""Questions of lesson 0."""

from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.questions.drives import EXAMPLE, STORY

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
        right=2 * STORY.eccentricity,
        unit="mm",
        tolerance=0.005,
        look='Which two distances did the walk print? Lesson 0, "Count it".',
        slips=(Slip(STORY.eccentricity, "Is that one way from the middle, or from the lowest to the highest place?"),),
    ),
}
