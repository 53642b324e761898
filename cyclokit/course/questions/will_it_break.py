"""Questions of lesson 8."""

from itertools import permutations
from math import pi

from cyclokit.course.answers.guesses import Guess, GuessedNumber, GuessedWord
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import bearings, contact, pins

PLASTIC, STEEL = (sum(MATERIALS[name].modulus) / 2 for name in ("PETG", "plain steel"))  # MPa: in the middle
FOUR = {  # the pins of the first section
    "a": (pins.Layer(6.0, 0.0, PLASTIC),),
    "b": (pins.Layer(3.0, 0.0, STEEL), pins.Layer(6.0, 3.0, PLASTIC)),
    "c": (pins.Layer(6.0, 0.0, STEEL),),
    "d": (pins.Layer(pins.thread_root(6.0), 0.0, STEEL),),
}
NAMES = {"a": "the printed pin", "b": "the one with the core", "c": "the steel rod", "d": "the screw"}
STIFF = {letter: pins.bending_stiffness(layers) for letter, layers in FOUR.items()}
ORDER = "".join(sorted(STIFF, key=lambda letter: STIFF[letter], reverse=True))
FAR = ([1.0], [9.5], [9.5])  # a load of 1 N on a ring pin of 13 mm free length
OUT, BETWEEN = (float(pins.bend(FOUR["c"], 13.0, support, *FAR).at_loads[0]) for support in ("one end", "both ends"))


def _said_of(order: str) -> str:
    """What was right in an order of the four pins that isn't the right one."""
    placed = [NAMES[letter] for letter, right in zip(order, ORDER, strict=True) if letter == right]
    right = f"{' and '.join(placed).capitalize()} came out where you put {'it' if len(placed) == 1 else 'them'}. "
    return f"{right if placed else 'None is where it came out. '}From the stiffest: {ORDER}."


GUESSES: dict[str, Guess] = {
    "8-order": GuessedWord(
        right=ORDER,
        looks={order: _said_of(order) for order in map("".join, permutations(FOUR)) if order != ORDER},
        told="Steel throughout first, the print alone last. How far they lie apart may still surprise you.",
    ),
    "8-times": GuessedNumber(
        right=STIFF["b"] / STIFF["a"],
        unit="times",
        tolerance=0.25,
        look="The hole takes nearly nothing, and the core's material does the rest.",
        slips=(
            Slip(1.0, "It is right that a thin core near the middle sits badly. But look at what it is made of."),
            Slip(STEEL / PLASTIC, "By so much steel is stiffer than the plastic; but this core is thin."),
        ),
        told="From a core that is half as thick as the pin.",
    ),
    "8-cover": GuessedNumber(
        right=OUT / BETWEEN,
        unit="times",
        tolerance=0.2,
        look="Far from the one support that is left, a load has a long arm, and nothing stands behind it.",
        slips=(
            Slip(2.0, "Half the supports, twice the way: for a load midway that is right. This one is farther out."),
            Slip(16.0, "That compares loads at two places: at the free end, and midway between two supports."),
        ),
        told="How fast that grows towards the free end, you see below.",
    ),
    "8-place": GuessedWord(
        right="tip",
        looks={
            "there": "A fair guess: force does count. But how round the flank is counts as much.",
            "root": "It is right that the place shifts. But in a hollow a roller nestles.",
        },
        told="There the flank bulges most tightly, and the push is still large.",
    ),
    "8-life": GuessedNumber(
        right=0.5**bearings.EXPONENT,
        unit="of it",
        tolerance=0.05,
        look="The exponent says how hard life falls.",
        slips=(
            Slip(0.5, "The force doubles, right. Life goes with its third power."),
            Slip(0.25, "Faster than in proportion, right; but with the third power, not the second."),
        ),
        told="An eighth: half, three times over.",
    ),
    "8-first": GuessedWord(
        right="web",
        looks={
            "ring pins": "They are thin, but of steel, and held at both ends. See how far down the list they stand.",
            "output rods": "Well seen that they stick out of one plate only. But they are of steel.",
            "contact": "Very near: in the table it comes next.",
            "bearing": "It has the largest force, right. But it is made for that.",
        },
        told="Thin, printed, and pushed from both sides.",
    ),
    "8-change": GuessedWord(
        right="e",
        looks={
            "a": "Pins and bearing would gain. But the holes grow with the eccentricity, and the web gets thinner.",
            "b": "It helps, and it helps the contact too. But geometry beats it here.",
            "c": "It helps in proportion. There is something that goes with a square.",
            "d": "It helps, by sharing the push better. There is something that helps more.",
        },
        told="And it costs nothing: two millimetres in one number.",
    ),
}

TUBE, CORE = pins.Layer(8.0, 4.0, 3500.0), pins.Layer(4.0, 0.0, 208e3)
SLENDER = pins.bend((pins.Layer(4.0, 0.0, 208e3),), 10.0, "one end", [30.0], [10.0], [10.0]).stress[0]
PRESSED = {"force": 25.0, "length": 5.0, "radius_1": 4.0, "radius_2": -10.0, "modulus_1": 208e3, "modulus_2": 2500.0}


def _pressure(**other: float) -> float:
    """Peak pressure of 8c with some figures otherwise [MPa]."""
    return float(contact.line(**{**PRESSED, "poisson_1": 0.3, "poisson_2": 0.4, **other}).peak_pressure)


def _life(load: float, speed: float) -> float:
    return float(bearings.life_hours(bearings.Ratings(1600.0, 800.0), load, speed))


CRANK = 300 * 2 * pi / 60  # rad/s
QUESTIONS: dict[str, NumberQuestion | ChoiceQuestion] = {
    "8a": NumberQuestion(
        right=pins.bending_stiffness((CORE, TUBE)),
        unit="N mm^2",
        tolerance=0.002,
        look='Which two shapes are there, each with its own modulus? Lesson 8, "Four pins".',
        slips=(
            Slip(
                208e3 * pi * 4**4 / 64 + 3500 * pi * (8 - 4) ** 4 / 64, "Which powers does a tube's formula subtract?"
            ),
            Slip(208e3 * pi * 4**4 / 64 + 3500 * pi * 8**4 / 64, "Is there plastic where the core is?"),
            Slip(3500 * pi * (8**4 - 4**4) / 64, "Which part of the pin is left out?"),
            Slip(208e3 * pi * 4**4 / 64, "Which part of the pin is left out?"),
            Slip(16 * pins.bending_stiffness((CORE, TUBE)), "Are 8 and 4 mm radii, or diameters?"),
            Slip(208e3 * pi * 8**4 / 64, "Which part of the section is of steel?"),
            Slip(pi * 8**4 / 64, "Where do the moduli come in?"),
        ),
    ),
    "8b": NumberQuestion(
        right=SLENDER,
        unit="MPa",
        tolerance=0.002,
        look='How large is the moment, and what divides it? Lesson 8, "One support for two".',
        slips=(
            Slip(SLENDER / 4, "How many supports are left?"),
            Slip(SLENDER * 2, "From which line is a fibre's distance counted?"),
            Slip(SLENDER / 8, "Is 4 mm the radius, or the diameter?"),
            Slip(30 * 10 / (pi * 4**4 / 64), "How far from the middle is the outermost fibre?"),
            Slip(30 / (pi * 4**2 / 4), "Is the pin pulled, or bent?"),
        ),
    ),
    "8c": NumberQuestion(
        right=_pressure(),
        unit="MPa",
        tolerance=0.005,
        look='Which R and which E* does this pair have? Lesson 8, "Where it presses".',
        slips=(
            Slip(_pressure(radius_2=10.0), "Does this flank bulge, or is it a hollow?"),
            Slip(_pressure(radius_2=float("inf")), "How round is the disc there?"),
            Slip(_pressure(poisson_1=0.0, poisson_2=0.0), "What else than the moduli is in E*?"),
            Slip(_pressure(modulus_2=208e3, poisson_2=0.3), "Which of the two is of steel?"),
            Slip(_pressure() / 5**0.5, "Is 25 N the force, or that of each mm?"),
            Slip(_pressure() * 5**0.5, "Along which length is that?"),
            Slip(_pressure() * pi / 4, "Is that the mean pressure, or that in the middle?"),
        ),
    ),
    "8d": NumberQuestion(
        right=_life(250.0, CRANK * 16 / 15),
        unit="hours",
        tolerance=0.001,
        look='How fast do the rings turn against each other? Lesson 8, "Tired bearings".',
        slips=(
            Slip(_life(250.0, CRANK), "Does the outer ring stand still?"),
            Slip(_life(250.0, CRANK * 14 / 15), "Which way does the disc turn?"),
            Slip(_life(250.0, CRANK * 17 / 16), "How many lobes has this disc?"),
            Slip(_life(250.0, CRANK / 15), "Which of the two turns fast: crank or disc?"),
            Slip(60 * _life(250.0, CRANK * 16 / 15), "In which unit is the speed?"),
            Slip(1e6 * (1600 / 250) ** 3, "Are those turns, or hours?"),
            Slip((1600 / 250) ** 3, "Are those millions of turns, or hours?"),
            Slip((250.0 / 1600) * _life(250.0, CRANK * 16 / 15), "Which power does life go with?"),
        ),
    ),
    "8e": ChoiceQuestion(
        right="c",
        looks={
            "a": 'Which rows have all of their range above what is asked for? Lesson 8, "What goes first".',
            "b": 'Which row has none of its range above what is asked for? Lesson 8, "What goes first".',
        },
    ),
}
