"""Sheet 3: why one lobe fewer, and what other discs do. It goes with lesson 3."""

import math
from typing import Any

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.sheet import Task

TITLE = "One lobe fewer"

# a. An odd disc


def odd_numbers(draw: Draw) -> dict[str, Any]:
    pins = draw.whole(11, 36)  # so that five lobes more or fewer is less than half of them
    return {"pins": pins, "lobes": pins + draw.one_of((-5, -4, -3, -2, 2, 3, 4, 5)), "turns": draw.whole(3, 9)}


def odd(pins: int, lobes: int, turns: int) -> NumberQuestion:
    right = 360 * turns * (lobes - pins) / lobes
    return NumberQuestion(
        right=right,
        unit="degrees",
        tolerance=0.002,
        look='What does the formula give for these two counts? Lesson 3, "Count first".',
        slips=(
            Slip(-right, "Which of the two pitches is longer here, and which way must the disc go?"),
            Slip(360 * turns * (lobes - pins) / pins, "Which of the two counts stands below?"),
            Slip(-360 * turns * (lobes - pins) / pins, "Which counts stand above and below, and in which order?"),
            Slip(math.copysign(360 * turns / lobes, lobes - pins), "By how many do the two counts differ?"),
            Slip(right / turns, "How often does the crank turn?"),
            Slip(right / 360, "Which unit is asked for?"),
            Slip(math.radians(right), "Which unit is asked for, degrees or radians?"),
        ),
    )


def odd_worked(pins: int, lobes: int, turns: int) -> str:
    each = (lobes - pins) / lobes
    return (
        f"{pins} pins, {lobes} lobes, {turns} turns. In one crank turn the disc turns by ({lobes} - {pins})/{lobes} = "
        f"{each:+.5f} of a turn; in {turns} of them by {turns * each:+.5f}, which is {360 * turns * each:+.2f}°."
    )


task_a = Task(
    letter="a",
    title="An odd disc",
    marks=3,
    text="Somebody mills a disc with {lobes} lobes for a ring of {pins} pins, and makes it turn as such a disc must. "
    "The ring is held. The crank makes {turns} turns counter-clockwise. By how many **degrees** does the disc turn? "
    "Minus means against the crank.",
    names=("a_turned_deg",),
    numbers=odd_numbers,
    question=odd,
    other_words="Begin with a root at pin 0. When the crank has come to the next pin, the next root must be there. "
    "How far does the disc have to turn for that, and how often does it happen?",
    place='Lesson 3, "Count first": root 1 meets pin 1.',
    worked=odd_worked,
)


# b. Two in a row


def row_numbers(draw: Draw) -> dict[str, Any]:
    return {"first_pins": draw.whole(8, 25), "second_pins": draw.whole(9, 32)}


def row(first_pins: int, second_pins: int) -> NumberQuestion:
    first, second = first_pins - 1, second_pins  # ring held: minus the lobes; disc held: the pins
    return NumberQuestion(
        right=-first * second,
        unit="",
        tolerance=0,
        look='Which part is held in each, and what is its ratio then? Lesson 3, "Which part is held".',
        slips=(
            Slip(first * second, "Which way does the last shaft go?"),
            Slip(-first_pins * second, "Which part of the first drive is held?"),
            Slip(-first * (second_pins - 1), "Which part of the second drive is held?"),
            Slip(first * (second_pins - 1), "Which part is held in each of the two, and which way does its output go?"),
            Slip(-(first_pins + 1) * second, "How many lobes has the first disc?"),
            Slip(-(first + second), "What becomes of one turn of the second crank, seen from the first?"),
        ),
    )


def row_worked(first_pins: int, second_pins: int) -> str:
    return (
        f"{first_pins} pins with the ring held, then {second_pins} pins with the disc held. The first needs "
        f"{first_pins - 1} crank turns for one turn of its disc, against the crank. The second needs {second_pins} "
        f"turns of its crank for one of its ring, with the crank. One turn at the end takes {second_pins} turns in "
        f"the middle and {first_pins - 1} times as many at the beginning: {(first_pins - 1) * second_pins}, the "
        f"other way: {-(first_pins - 1) * second_pins}."
    )


task_b = Task(
    letter="b",
    title="Two in a row",
    marks=3,
    text="Two drives, each with one lobe fewer than pins, stand in a row. In the first, with {first_pins} pins, the "
    "**ring** is held, and its disc's turning drives the crank of the second. In the second, with {second_pins} "
    "pins, the **disc** is kept from turning, and the ring goes round. How many turns of the first crank make one "
    "turn of the last ring? Put a minus before it if the ring turns against the first crank.",
    names=("b_crank_turns",),
    numbers=row_numbers,
    question=row,
    other_words="Go backwards: one turn of the last ring takes how many turns of the second crank? And each of these "
    "how many of the first?",
    place='Lesson 3, "Which part is held": the three cases.',
    worked=row_worked,
)


# c. A formula for a whole family


def family_numbers(draw: Draw) -> dict[str, Any]:
    return {"difference": draw.whole(2, 12), "word": draw.one_of(("more", "fewer"))}


def family(difference: int, word: str) -> ExpressionQuestion:
    N, c = sp.symbols("N c", positive=True)
    more = difference if word == "more" else -difference
    right = c * more / (N + more)
    return ExpressionQuestion(
        right=right,
        ranges={"N": (20, 40), "c": (0.5, 6)},
        look='What do you get with the lobes written in N? Lesson 3, "Count first".',
        slips=(
            Slip(-right, "Which of the two pitches is longer here, and which way must the disc go?"),
            Slip(c * more / N, "Which of the two counts stands below?"),
            Slip(-c * more / (N - more), "Has the disc more lobes than pins, or fewer?"),
            Slip(c * (N + more) / more, "Is that the disc's angle, or the crank's?"),
            Slip(sp.Rational(more, abs(more)) * c / (N + more), "By how many do the two counts differ?"),
            Slip(right / c, "Is that for one radian, or for the angle c?"),
            Slip(right * 180 / sp.pi, "Which unit is asked for?"),
        ),
    )


def family_worked(difference: int, word: str) -> str:
    sign = "+" if word == "more" else "-"
    above = f"{difference}" if word == "more" else f"-{difference}"
    return (
        rf"Discs with {difference} lobes {word} than pins: $M = N {sign} {difference}$. The disc's angle is "
        rf"$c\,\frac{{M - N}}{{M}}$, and with $M$ put in $\frac{{{above}\,c}}{{N {sign} {difference}}}$, in SymPy "
        f"`{above} * c / (N {sign} {difference})`."
    )


task_c = Task(
    letter="c",
    title="A formula for a whole family",
    marks=4,
    text="Think of all discs that have {difference} lobes **{word}** than the ring has pins. The ring has $N$ pins "
    "and is held; the crank has turned counter-clockwise by the angle $c$. By which angle has the disc turned, in "
    "the unit of $c$ (radians), counter-clockwise positive? Give a SymPy expression in `N` and `c` alone.",
    names=("c_disc_angle",),
    numbers=family_numbers,
    question=family,
    other_words="Write down the number of lobes with the letter N, and the turn of the disc for one turn of the "
    "crank. Then take c instead of one turn.",
    place='Lesson 3, "Count first", where SymPy solves for the turn.',
    worked=family_worked,
)


# d. What the disc sees


def seen_numbers(draw: Draw) -> dict[str, Any]:
    drive = draw.drive()
    return {
        "pins": drive.pins,
        "lobes": drive.pins + draw.one_of((-4, -3, -2, 2, 3)),
        "circle_mm": drive.pin_circle_radius,
        "eccentricity_mm": drive.eccentricity,
        "pin": draw.whole(1, drive.pins - 1),
    }


def seen(pins: int, lobes: int, circle_mm: float, eccentricity_mm: float, pin: int) -> FunctionQuestion:
    def path(long: float, short: float, offset: float = -eccentricity_mm) -> tuple[float, float]:
        """The long arrow and the short one, by their angles."""
        return (
            circle_mm * math.cos(long) + offset * math.cos(short),
            circle_mm * math.sin(long) + offset * math.sin(short),
        )

    stands, rate = 2 * math.pi * pin / pins, 1 - pins / lobes  # the pin's direction; the disc's turn for the crank's
    return FunctionQuestion(
        right=lambda c: path(stands - rate * c, c - rate * c),
        tries=((0.8,), (2.7,), (-1.3,), (5.9,), (17.3,)),
        wanted="x and y in mm",
        tolerance=0.001,
        look='Where does each of the two arrows point at crank 0, and where a moment later? Lesson 3, "The theorem".',
        slips=(
            Slip(lambda c: path(stands, c), "Who sees the pin there: somebody beside the disc, or on it?"),
            Slip(
                lambda c: path(stands + rate * c, c + rate * c), "Which way does a standing pin go, seen from the disc?"
            ),
            Slip(lambda c: path(stands - rate * c, c), "Which comes first, to subtract or to turn?"),
            Slip(lambda c: path(2 * math.pi * pin / lobes - rate * c, c - rate * c), "Which pitch do the pins have?"),
            Slip(lambda c: path(stands + c / (pins - 1), c + c / (pins - 1)), "How many lobes has this disc?"),
            Slip(lambda c: path(stands - rate * c, c - rate * c, eccentricity_mm), "Is it pin less centre?"),
            Slip(lambda c: path(stands - rate * c, 0.0, 0.0), "Where is the disc's centre?"),
            Slip(lambda c: path(stands + 2 * math.pi / pins - rate * c, c - rate * c), "Which pin is number 0?"),
            Slip(lambda c: path(stands - rate * c, c - rate * c)[::-1], "Which of the two comes first?"),
            Slip(
                lambda c: path(stands - rate * math.radians(c), math.radians(c) * (1 - rate)),
                "In which unit does the angle come in?",
            ),
        ),
    )


def seen_worked(pins: int, lobes: int, circle_mm: float, eccentricity_mm: float, pin: int) -> str:
    return (
        f"{pins} pins on {circle_mm:g} mm, {lobes} lobes, eccentricity {eccentricity_mm:g} mm, pin {pin}, with "
        f"complex numbers: the pin is at `{circle_mm:g} * np.exp(2j * np.pi * {pin} / {pins})`, the disc's centre at "
        f"`{eccentricity_mm:g} * np.exp(1j * crank)`, and the disc has turned by `angle = crank * (1 - {pins} / "
        f"{lobes})`. "
        "`z = (pin - centre) * np.exp(-1j * angle)`, and the function ends with `return z.real, z.imag`."
    )


task_d = Task(
    letter="d",
    title="What the disc sees",
    marks=4,
    text="A ring of {pins} pins on a circle of {circle_mm:g} mm radius, an eccentricity of {eccentricity_mm:g} mm, "
    "and a disc with {lobes} lobes that turns as such a disc must; at crank 0 the disc's angle is 0. Pin 0 stands on "
    "+x, the others follow counter-clockwise. Write a function that takes the crank angle `crank` (in radians) and "
    "returns x and y, in mm, of the middle of **pin {pin}** as somebody sees it who sits on the disc. It will be "
    "tried on angles that you don't see.",
    names=("d_seen_mm",),
    numbers=seen_numbers,
    question=seen,
    other_words="Where does the pin stand? Where is the disc's centre? Subtract. By how much has the disc turned? "
    "Turn back by that.",
    place='Lesson 3, "The theorem", step 1.',
    worked=seen_worked,
)


# e. How many curves

ONE, WINDING, SEVERAL, CIRCLES = "a", "b", "c", "d"


def curves_numbers(draw: Draw) -> dict[str, Any]:
    pins = 2 * draw.whole(6, 15)
    kind = draw.one_of((ONE, WINDING, WINDING, SEVERAL, SEVERAL, CIRCLES))  # the middle two take thought
    counts = range(max(pins // 2 + 1, pins - 7), min(3 * pins // 2, pins + 8))  # with which no pin can be jumped
    return {"pins": pins, "lobes": draw.one_of([lobes for lobes in counts if curves_right(pins, lobes) == kind])}


def curves_right(pins: int, lobes: int) -> str:
    """Pin 0 is deepest at every d-th root place, d being the difference: the letter follows from d and the lobes."""
    difference = abs(pins - lobes)
    if difference == 0:
        return CIRCLES
    if difference == 1:
        return ONE
    return WINDING if math.gcd(difference, lobes) == 1 else SEVERAL


def curves(pins: int, lobes: int) -> ChoiceQuestion:
    looks = {
        ONE: "Does pin 0 come to the first root place after its own, in one turn round the disc?",
        WINDING: "Follow pin 0 from root place to root place: how long until it is back, and which has it met?",
        SEVERAL: "Follow pin 0 from root place to root place: is there one that it never meets?",
        CIRCLES: "Does the disc turn?",
    }
    right = curves_right(pins, lobes)
    if right == CIRCLES:
        looks = dict.fromkeys(looks, looks[CIRCLES])
    return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)


def curves_worked(pins: int, lobes: int) -> str:
    difference, letter = abs(pins - lobes), curves_right(pins, lobes)
    start = f"{pins} pins, {lobes} lobes: the counts differ by {difference}. "
    if letter == CIRCLES:
        return start + f'The disc doesn\'t turn, and every pin draws a small circle of its own: `"{letter}"`.'
    places = ", ".join(str(number * difference % lobes) for number in range(4))
    met = lobes // math.gcd(difference, lobes)
    rounds = met * difference // lobes
    return start + (
        f"From one place where pin 0 is deepest it is {difference} of the {lobes} root places to the next: {places} "
        f"and so on, where the count begins anew after {lobes - 1}. It is back at place 0 when it has met {met} of "
        f"them and has gone round {'once' if rounds == 1 else f'{rounds} times'}. "
        + (f"It has met all {lobes}, and so do the others, on the same curve: " if met == lobes else "The others need ")
        + ("" if met == lobes else "another curve: ")
        + f'`"{letter}"`.'
    )


task_e = Task(
    letter="e",
    title="How many curves",
    marks=3,
    text="A ring has {pins} pins, and a disc with {lobes} lobes turns in it as such a disc must. Seen from the disc, "
    "the "
    'middles of all pins run along `"a"` one curve that closes after one turn round the disc, `"b"` one curve that '
    'closes only after several turns, `"c"` several curves, each of which goes round the disc, '
    '`"d"` small circles that don\'t go round the disc at all. Choose a letter, and say why in a sentence or two.',
    names=("e_letter", "e_reason"),
    numbers=curves_numbers,
    question=curves,
    other_words="Number the root places of the disc. At which of them is pin 0 deepest, one after the other? Does it "
    "come to all of them before it is back at its first?",
    place='Lesson 3, "The theorem", steps 4 and 5, and the two cases after them.',
    worked=curves_worked,
)


# f. A turntable to order


def table_numbers(draw: Draw) -> dict[str, Any]:
    crank_seconds = draw.stepped(1.5, 6, 0.5)
    return {
        "crank_seconds": crank_seconds,
        "plate_seconds": crank_seconds * draw.whole(14, 60),
        "way": draw.one_of(("the same way as", "against")),
    }


def table(crank_seconds: float, plate_seconds: float, way: str) -> NumberQuestion:
    turns = round(plate_seconds / crank_seconds)
    with_crank = way != "against"
    return NumberQuestion(
        right=turns if with_crank else turns + 1,  # disc held, or ring held
        unit="",
        tolerance=0,
        look='Which part must be held, and what is the ratio then? Lesson 3, "Which part is held".',
        slips=(
            Slip(turns + 1 if with_crank else turns, "Which way does the plate go, if that part is held?"),
            Slip(turns - 1, "Does the number count pins, or lobes?"),
            Slip(turns + 2, "Has the disc more lobes than there are pins, or fewer?"),
            Slip(1 / turns, "Which of the two times stands above, and which below?"),
            Slip(-turns, "Is a sign asked for?"),
        ),
    )


def table_worked(crank_seconds: float, plate_seconds: float, way: str) -> str:
    turns = round(plate_seconds / crank_seconds)
    with_crank = way != "against"
    held, rule, pins = ("disc", "N", turns) if with_crank else ("ring", "N - 1", turns + 1)
    return (
        f"A plate that turns **{way}** the crank, once in {plate_seconds:g} s, "
        f"with a crank that takes {crank_seconds:g} s a turn: {turns} crank turns for one. That way goes the output "
        f"with the {held} held, by one turn in {rule}. So {rule} = {turns}, and the ring needs {pins} pins."
    )


task_f = Task(
    letter="f",
    title="A turntable to order",
    marks=3,
    text="You design the drive of a plant laboratory's turntable (invented, like all on this sheet). The crank takes "
    "{crank_seconds:g} s for a turn. The plate must turn once in {plate_seconds:g} s, and it must turn **{way}** "
    "the crank. The disc has one lobe fewer than there are pins, and you may hold whichever part you like. "
    "How many **pins** do you order?",
    names=("f_pins",),
    numbers=table_numbers,
    question=table,
    other_words="Go through the parts that can be held: which one then turns, which way, and how often? Take the "
    "case that goes the plate's way, then count.",
    place='Lesson 3, "Which part is held": signs and sizes of the three cases.',
    worked=table_worked,
)

TASKS = (task_a, task_b, task_c, task_d, task_e, task_f)
