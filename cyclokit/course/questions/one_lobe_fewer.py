"""Questions of lesson 3."""

import math

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.questions.drives import STORY
from cyclokit.drive import Drive
from cyclokit.geometry import milled

TOUCHING = int(milled.touches(STORY, 0.1, 18).sum())  # of the disc with 18 lobes: now and then one fewer
BACK, FORTH, NOT = "back", "forth", "not"


def _turning(lobes: int, looks: dict[str, str], told: str) -> GuessedWord:
    """Which way a disc turns in the story's ring, the crank turning counter-clockwise."""
    more = lobes - STORY.pins
    return GuessedWord(right=FORTH if more > 0 else BACK if more < 0 else NOT, looks=looks, told=told)


GUESSES: dict[str, Guess] = {
    "3-opposite": GuessedWord(
        right="tip",
        looks={
            "root": "There is a root at the crank, right; but the disc is pushed towards the crank, away from the pin "
            "opposite. It must reach out farthest there: a tip.",
            "flank": "It comes to the flank on the way, half-way between; opposite it must reach out farthest: a tip.",
        },
        told="The disc is pushed away from that pin, so that there it must reach out farthest.",
    ),
    "3-turn-18": _turning(
        18,
        {
            FORTH: "It does turn, right; but back, against the crank.",
            NOT: "It is no good disc, but it does turn: back, against the crank.",
        },
        "Back, and more than twice as fast as the one with 19.",
    ),
    "3-turn-20": _turning(
        20,
        {
            BACK: "It moves, right: it wobbles. But it doesn't turn.",
            FORTH: "It moves, right: it wobbles. But it doesn't turn.",
        },
        "It only wobbles.",
    ),
    "3-turn-21": _turning(
        21,
        {
            BACK: "It turns, right; but here the roots stand closer than the pins, and it goes forth, with the crank.",
            NOT: "It does turn: forth, with the crank.",
        },
        "Here the roots stand closer than the pins.",
    ),
    "3-touching": GuessedNumber(
        right=TOUCHING,
        unit="rollers",
        tolerance=0.11,
        look="Of two waves the disc keeps what lies farther in, so that about every second roller touches at a moment.",
        slips=(
            Slip(STORY.pins, "The others can't all touch: the snapshot has gaps in it. About half are left."),
            Slip(STORY.pins - 2, "There are two lobes fewer, but far more contacts fewer: about half are left."),
        ),
        told="About half: those on the side of the crank.",
    ),
    "3-how-many": GuessedNumber(
        right=1,
        unit="discs",
        tolerance=0,
        look="Only the disc with 19 lobes does it, with this eccentricity.",
        slips=(
            Slip(2, "By the snapshot it should be two, one fewer and one more. The rollers don't let the second be."),
        ),
        told="Only the one with 19 lobes, with this eccentricity.",
    ),
    "3-curve": GuessedWord(
        right="half",
        looks={
            "same": "That holds for 19 lobes. With 18, pin 1 is deepest where pin 0 is farthest out.",
            "elsewhere": "Another curve, right; and a very simple one: the same, half a wave on.",
        },
        told="Where the one is deepest the other is farthest out.",
    ),
    "3-ring": GuessedNumber(
        right=1 / STORY.pins,
        unit="turns",
        tolerance=0.02,
        look="One part in the number of pins, with the crank.",
        slips=(
            Slip(
                -1 / STORY.pins, "The size is right; but the ring goes with the crank, as the disc can't go against it."
            ),
            Slip(1 / STORY.lobes, "The way is right. It is one *pin* pitch now: 1/20 of a turn."),
            Slip(
                -1 / STORY.lobes,
                "So the disc turned while the ring was held. Now it is the ring, and it goes the other way.",
            ),
            Slip(1.0, "With the crank, right. But far less: 1/20 of a turn."),
            Slip(0.0, "One of the two must give way. It is the ring: by 1/20 of a turn, with the crank."),
        ),
        told="One pin pitch, with the crank.",
    ),
}
QUESTIONS: dict[str, NumberQuestion] = {
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
            Slip(2 * math.pi * (25 - 20) / 25, "Is that in degrees?"),
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
