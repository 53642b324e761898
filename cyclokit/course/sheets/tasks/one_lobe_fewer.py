"""Sheet 3: why one lobe fewer, and what other discs do. It goes with lesson 3."""

import math

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task

TITLE = "One lobe fewer"


class Odd(Task):
    letter = "a"
    title = "An odd disc"
    marks = 3
    text = (
        "Somebody mills a disc with {lobes} lobes for a ring of {pins} pins, and makes it turn as such a disc must. "
        "The ring is held. The crank makes {turns} turns counter-clockwise. By how many **degrees** does the disc "
        "turn? Minus means against the crank."
    )
    names = ("a_turned_deg",)
    other_words = (
        "Begin with a root at pin 0. When the crank has come to the next pin, the next root must be there. "
        "How far does the disc have to turn for that, and how often does it happen?"
    )
    place = 'Lesson 3, "Count first": root 1 meets pin 1.'

    def numbers(self, draw: Draw) -> Given:
        pins = draw.whole(11, 36)  # so that five lobes more or fewer is less than half of them
        return Given(pins=pins, lobes=pins + draw.one_of((-5, -4, -3, -2, 2, 3, 4, 5)), turns=draw.whole(3, 9))

    def question(self, given: Given) -> NumberQuestion:
        right = 360 * given.turns * (given.lobes - given.pins) / given.lobes
        return NumberQuestion(
            right=right,
            unit="degrees",
            tolerance=0.002,
            look='What does the formula give for these two counts? Lesson 3, "Count first".',
            slips=(
                Slip(-right, "Which of the two pitches is longer here, and which way must the disc go?"),
                Slip(
                    360 * given.turns * (given.lobes - given.pins) / given.pins, "Which of the two counts stands below?"
                ),
                Slip(
                    -360 * given.turns * (given.lobes - given.pins) / given.pins,
                    "Which counts stand above and below, and in which order?",
                ),
                Slip(
                    math.copysign(360 * given.turns / given.lobes, given.lobes - given.pins),
                    "By how many do the two counts differ?",
                ),
                Slip(right / given.turns, "How often does the crank turn?"),
                Slip(right / 360, "Which unit is asked for?"),
                Slip(math.radians(right), "Which unit is asked for, degrees or radians?"),
            ),
        )

    def worked(self, given: Given) -> str:
        each = (given.lobes - given.pins) / given.lobes
        return (
            f"{given.pins} pins, {given.lobes} lobes, {given.turns} turns. In one crank turn the disc turns by "
            f"({given.lobes} - {given.pins})/{given.lobes} = {each:+.5f} of a turn; in {given.turns} of them by "
            f"{given.turns * each:+.5f}, which is {360 * given.turns * each:+.2f}°."
        )


class Row(Task):
    letter = "b"
    title = "Two in a row"
    marks = 3
    text = (
        "Two drives, each with one lobe fewer than pins, stand in a row. In the first, with {first_pins} pins, the "
        "**ring** is held, and its disc's turning drives the crank of the second. In the second, with {second_pins} "
        "pins, the **disc** is kept from turning, and the ring goes round. How many turns of the first crank make one "
        "turn of the last ring? Put a minus before it if the ring turns against the first crank."
    )
    names = ("b_crank_turns",)
    other_words = (
        "Go backwards: one turn of the last ring takes how many turns of the second crank? And each of these "
        "how many of the first?"
    )
    place = 'Lesson 3, "Which part is held": the three cases.'

    def numbers(self, draw: Draw) -> Given:
        return Given(first_pins=draw.whole(8, 25), second_pins=draw.whole(9, 32))

    def question(self, given: Given) -> NumberQuestion:
        first, second = given.first_pins - 1, given.second_pins  # ring held: minus the lobes; disc held: the pins
        return NumberQuestion(
            right=-first * second,
            unit="",
            tolerance=0,
            look='Which part is held in each, and what is its ratio then? Lesson 3, "Which part is held".',
            slips=(
                Slip(first * second, "Which way does the last shaft go?"),
                Slip(-given.first_pins * second, "Which part of the first drive is held?"),
                Slip(-first * (given.second_pins - 1), "Which part of the second drive is held?"),
                Slip(
                    first * (given.second_pins - 1),
                    "Which part is held in each of the two, and which way does its output go?",
                ),
                Slip(-(given.first_pins + 1) * second, "How many lobes has the first disc?"),
                Slip(-(first + second), "What becomes of one turn of the second crank, seen from the first?"),
            ),
        )

    def worked(self, given: Given) -> str:
        return (
            f"{given.first_pins} pins with the ring held, then {given.second_pins} pins with the disc held. The first "
            f"needs {given.first_pins - 1} crank turns for one turn of its disc, against the crank. The second needs "
            f"{given.second_pins} turns of its crank for one of its ring, with the crank. One turn at the end takes "
            f"{given.second_pins} turns in the middle and {given.first_pins - 1} times as many at the beginning: "
            f"{(given.first_pins - 1) * given.second_pins}, the other way: "
            f"{-(given.first_pins - 1) * given.second_pins}."
        )


class Family(Task):
    letter = "c"
    title = "A formula for a whole family"
    marks = 4
    text = (
        "Think of all discs that have {difference} lobes **{word}** than the ring has pins. The ring has $N$ pins "
        "and is held; the crank has turned counter-clockwise by the angle $c$. By which angle has the disc turned, in "
        "the unit of $c$ (radians), counter-clockwise positive? Give a SymPy expression in `N` and `c` alone."
    )
    names = ("c_disc_angle",)
    other_words = (
        "Write down the number of lobes with the letter N, and the turn of the disc for one turn of the "
        "crank. Then take c instead of one turn."
    )
    place = 'Lesson 3, "Count first", where SymPy solves for the turn.'

    def numbers(self, draw: Draw) -> Given:
        return Given(difference=draw.whole(2, 12), word=draw.one_of(("more", "fewer")))

    def question(self, given: Given) -> ExpressionQuestion:
        N, c = sp.symbols("N c", positive=True)
        more = given.difference if given.word == "more" else -given.difference
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

    def worked(self, given: Given) -> str:
        sign = "+" if given.word == "more" else "-"
        above = f"{given.difference}" if given.word == "more" else f"-{given.difference}"
        return (
            rf"Discs with {given.difference} lobes {given.word} than pins: $M = N {sign} {given.difference}$. The "
            rf"disc's angle is $c\,\frac{{M - N}}{{M}}$, and with $M$ put in $\frac{{{above}\,c}}{{N {sign} "
            rf"{given.difference}}}$, in SymPy "
            f"`{above} * c / (N {sign} {given.difference})`."
        )


class Seen(Task):
    letter = "d"
    title = "What the disc sees"
    marks = 4
    text = (
        "A ring of {pins} pins on a circle of {circle_mm:g} mm radius, an eccentricity of {eccentricity_mm:g} mm, and "
        "a disc with {lobes} lobes that turns as such a disc must; at crank 0 the disc's angle is 0. Pin 0 stands on "
        "+x, the others follow counter-clockwise. Write a function that takes the crank angle `crank` (in radians) "
        "and returns x and y, in mm, of the middle of **pin {pin}** as somebody sees it who sits on the disc. It will "
        "be tried on angles that you don't see."
    )
    names = ("d_seen_mm",)
    other_words = (
        "Where does the pin stand? Where is the disc's centre? Subtract. By how much has the disc turned? "
        "Turn back by that."
    )
    place = 'Lesson 3, "The theorem", step 1.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive()
        return Given(
            pins=drive.pins,
            lobes=drive.pins + draw.one_of((-4, -3, -2, 2, 3)),
            circle_mm=drive.pin_circle_radius,
            eccentricity_mm=drive.eccentricity,
            pin=draw.whole(1, drive.pins - 1),
        )

    def question(self, given: Given) -> FunctionQuestion:
        def path(long: float, short: float, offset: float = -given.eccentricity_mm) -> tuple[float, float]:
            """The long arrow and the short one, by their angles."""
            return (
                given.circle_mm * math.cos(long) + offset * math.cos(short),
                given.circle_mm * math.sin(long) + offset * math.sin(short),
            )

        stands, rate = (
            2 * math.pi * given.pin / given.pins,
            1 - given.pins / given.lobes,
        )  # the pin's direction; the disc's turn for the crank's
        return FunctionQuestion(
            right=lambda c: path(stands - rate * c, c - rate * c),
            tries=((0.8,), (2.7,), (-1.3,), (5.9,), (17.3,)),
            wanted="x and y in mm",
            tolerance=0.001,
            look='Where does each of the two arrows point at crank 0, and where a moment later? Lesson 3, "The '
            'theorem".',
            slips=(
                Slip(lambda c: path(stands, c), "Who sees the pin there: somebody beside the disc, or on it?"),
                Slip(
                    lambda c: path(stands + rate * c, c + rate * c),
                    "Which way does a standing pin go, seen from the disc?",
                ),
                Slip(lambda c: path(stands - rate * c, c), "Which comes first, to subtract or to turn?"),
                Slip(
                    lambda c: path(2 * math.pi * given.pin / given.lobes - rate * c, c - rate * c),
                    "Which pitch do the pins have?",
                ),
                Slip(
                    lambda c: path(stands + c / (given.pins - 1), c + c / (given.pins - 1)),
                    "How many lobes has this disc?",
                ),
                Slip(lambda c: path(stands - rate * c, c - rate * c, given.eccentricity_mm), "Is it pin less centre?"),
                Slip(lambda c: path(stands - rate * c, 0.0, 0.0), "Where is the disc's centre?"),
                Slip(
                    lambda c: path(stands + 2 * math.pi / given.pins - rate * c, c - rate * c), "Which pin is number 0?"
                ),
                Slip(lambda c: path(stands - rate * c, c - rate * c)[::-1], "Which of the two comes first?"),
                Slip(
                    lambda c: path(stands - rate * math.radians(c), math.radians(c) * (1 - rate)),
                    "In which unit does the angle come in?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        return (
            f"{given.pins} pins on {given.circle_mm:g} mm, {given.lobes} lobes, eccentricity "
            f"{given.eccentricity_mm:g} mm, pin {given.pin}, with complex numbers: the pin is at `{given.circle_mm:g} "
            f"* np.exp(2j * np.pi * {given.pin} / {given.pins})`, the disc's centre at `{given.eccentricity_mm:g} * "
            f"np.exp(1j * crank)`, and the disc has turned by `angle = crank * (1 - {given.pins} / {given.lobes})`. "
            "`z = (pin - centre) * np.exp(-1j * angle)`, and the function ends with `return z.real, z.imag`."
        )


ONE, WINDING, SEVERAL, CIRCLES = "a", "b", "c", "d"


def _curves_right(pins: int, lobes: int) -> str:
    """Pin 0 is deepest at every d-th root place, d being the difference: the letter follows from d and the lobes."""
    difference = abs(pins - lobes)
    if difference == 0:
        return CIRCLES
    if difference == 1:
        return ONE
    return WINDING if math.gcd(difference, lobes) == 1 else SEVERAL


class Curves(Task):
    letter = "e"
    title = "How many curves"
    marks = 3
    text = (
        "A ring has {pins} pins, and a disc with {lobes} lobes turns in it as such a disc must. Seen from the disc, "
        "the "
        'middles of all pins run along `"a"` one curve that closes after one turn round the disc, `"b"` one curve that '
        'closes only after several turns, `"c"` several curves, each of which goes round the disc, '
        '`"d"` small circles that don\'t go round the disc at all. Choose a letter, and say why in a sentence or two.'
    )
    names = ("e_letter", "e_reason")
    other_words = (
        "Number the root places of the disc. At which of them is pin 0 deepest, one after the other? Does it "
        "come to all of them before it is back at its first?"
    )
    place = 'Lesson 3, "The theorem", steps 4 and 5, and the two cases after them.'

    def numbers(self, draw: Draw) -> Given:
        pins = 2 * draw.whole(6, 15)
        kind = draw.one_of((ONE, WINDING, WINDING, SEVERAL, SEVERAL, CIRCLES))  # the middle two take thought
        counts = range(max(pins // 2 + 1, pins - 7), min(3 * pins // 2, pins + 8))  # with which no pin can be jumped
        return Given(pins=pins, lobes=draw.one_of([lobes for lobes in counts if _curves_right(pins, lobes) == kind]))

    def question(self, given: Given) -> ChoiceQuestion:
        looks = {
            ONE: "Does pin 0 come to the first root place after its own, in one turn round the disc?",
            WINDING: "Follow pin 0 from root place to root place: how long until it is back, and which has it met?",
            SEVERAL: "Follow pin 0 from root place to root place: is there one that it never meets?",
            CIRCLES: "Does the disc turn?",
        }
        right = _curves_right(given.pins, given.lobes)
        if right == CIRCLES:
            looks = dict.fromkeys(looks, looks[CIRCLES])
        return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)

    def worked(self, given: Given) -> str:
        difference, letter = abs(given.pins - given.lobes), _curves_right(given.pins, given.lobes)
        start = f"{given.pins} pins, {given.lobes} lobes: the counts differ by {difference}. "
        if letter == CIRCLES:
            return start + f'The disc doesn\'t turn, and every pin draws a small circle of its own: `"{letter}"`.'
        places = ", ".join(str(number * difference % given.lobes) for number in range(4))
        met = given.lobes // math.gcd(difference, given.lobes)
        rounds = met * difference // given.lobes
        return start + (
            f"From one place where pin 0 is deepest it is {difference} of the {given.lobes} root places to the next: "
            f"{places} and so on, where the count begins anew after {given.lobes - 1}. It is back at place 0 when it "
            f"has met {met} of them and has gone round {'once' if rounds == 1 else f'{rounds} times'}. "
            + (
                f"It has met all {given.lobes}, and so do the others, on the same curve: "
                if met == given.lobes
                else "The others need "
            )
            + ("" if met == given.lobes else "another curve: ")
            + f'`"{letter}"`.'
        )


class Table(Task):
    letter = "f"
    title = "A turntable to order"
    marks = 3
    text = (
        "You design the drive of a plant laboratory's turntable (invented, like all on this sheet). The crank takes "
        "{crank_seconds:g} s for a turn. The plate must turn once in {plate_seconds:g} s, and it must turn **{way}** "
        "the crank. The disc has one lobe fewer than there are pins, and you may hold whichever part you like. "
        "How many **pins** do you order?"
    )
    names = ("f_pins",)
    other_words = (
        "Go through the parts that can be held: which one then turns, which way, and how often? Take the "
        "case that goes the plate's way, then count."
    )
    place = 'Lesson 3, "Which part is held": signs and sizes of the three cases.'

    def numbers(self, draw: Draw) -> Given:
        crank_seconds = draw.stepped(1.5, 6, 0.5)
        return Given(
            crank_seconds=crank_seconds,
            plate_seconds=crank_seconds * draw.whole(14, 60),
            way=draw.one_of(("the same way as", "against")),
        )

    def question(self, given: Given) -> NumberQuestion:
        turns = round(given.plate_seconds / given.crank_seconds)
        with_crank = given.way != "against"
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

    def worked(self, given: Given) -> str:
        turns = round(given.plate_seconds / given.crank_seconds)
        with_crank = given.way != "against"
        held, rule, pins = ("disc", "N", turns) if with_crank else ("ring", "N - 1", turns + 1)
        return (
            f"A plate that turns **{given.way}** the crank, once in {given.plate_seconds:g} s, with a crank that "
            f"takes {given.crank_seconds:g} s a turn: {turns} crank turns for one. That way goes the output with the "
            f"{held} held, by one turn in {rule}. So {rule} = {turns}, and the ring needs {pins} pins."
        )


TASKS = (Odd(), Row(), Family(), Seen(), Curves(), Table())
