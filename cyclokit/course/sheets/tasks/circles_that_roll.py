"""Sheet 1: what a point on a rolling circle draws. It goes with lesson 1."""

import math

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task

TITLE = "Circles that roll"


class Wheel(Task):
    letter = "a"
    title = "A wheel on the road"
    marks = 3
    text = (
        "A wheel of {diameter_mm:g} mm **diameter** rolls along a flat road without slipping, for {turns} whole "
        "turns. A small stone sticks to its edge. How long is the curve that the stone draws through the air, in mm?"
    )
    names = ("a_curve_mm",)
    other_words = (
        "The stone goes up and comes down to the road again and again. Find the length of one such arch "
        "from the speed of a point on the edge, then count arches."
    )
    place = 'Lesson 1, "How long is an arch?": the integral of the speed over one turn.'

    def numbers(self, draw: Draw) -> Given:
        return Given(diameter_mm=draw.stepped(300, 700, 5), turns=draw.whole(3, 12))

    def question(self, given: Given) -> NumberQuestion:
        radius = given.diameter_mm / 2
        return NumberQuestion(
            right=8 * radius * given.turns,
            unit="mm",
            tolerance=0.005,
            look='How long is one arch, and how many are there? Lesson 1, "How long is an arch?".',
            slips=(
                Slip(8 * given.diameter_mm * given.turns, "Is the length that is given a radius, or a diameter?"),
                Slip(8 * radius, "Is that one arch, or the whole curve?"),
                Slip(4 * radius * given.turns, "Is that half an arch, or a whole one, each turn?"),
                Slip(2 * math.pi * radius * given.turns, "Is that how far the wheel rolled, or how long the curve is?"),
                Slip(
                    2 * math.pi * given.diameter_mm * given.turns, "Which length is asked for, and is a radius given?"
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        radius, arch = given.diameter_mm / 2, 4 * given.diameter_mm
        return (
            f"A wheel of {given.diameter_mm:g} mm diameter, {given.turns} turns. Its radius is {radius:g} mm. In one "
            f"turn the stone draws one arch, $8r$ = {arch:g} mm; in {given.turns} turns {given.turns} arches, "
            f"{given.turns * arch:g} mm together."
        )


class Outside(Task):
    letter = "b"
    title = "Seen from outside"
    marks = 3
    text = (
        "A circle of {rolling_mm} mm radius rolls round a fixed circle of {fixed_mm} mm radius, on its outside. "
        "Its centre has gone round by {around_deg}°. By how many **degrees** has the rolling circle turned, seen by "
        "somebody who stands beside? Positive means the way its centre goes."
    )
    names = ("b_turned_deg",)
    other_words = (
        "Paint an arrow on the rolling circle. Two things turn it: the circle rolls off an arc, and the line "
        "from which you counted that arc turns too."
    )
    place = 'Lesson 1, "Round a circle", where the two turns are put together.'

    def numbers(self, draw: Draw) -> Given:
        return Given(rolling_mm=draw.whole(7, 23), fixed_mm=draw.whole(25, 90), around_deg=draw.whole(35, 160))

    def question(self, given: Given) -> NumberQuestion:
        turned = given.around_deg * (given.fixed_mm + given.rolling_mm) / given.rolling_mm
        return NumberQuestion(
            right=turned,
            unit="degrees",
            tolerance=0.005,
            look='Which two turns add up? Lesson 1, "Round a circle".',
            slips=(
                Slip(
                    given.around_deg * given.fixed_mm / given.rolling_mm,
                    "Who sees that turn: somebody outside, or somebody on the arm?",
                ),
                Slip(
                    given.around_deg * (given.fixed_mm - given.rolling_mm) / given.rolling_mm,
                    "Which way do the two turns go?",
                ),
                Slip(
                    given.around_deg * (given.fixed_mm + given.rolling_mm) / given.fixed_mm,
                    "Whose radius stands below?",
                ),
                Slip(-turned, "Which way does the circle turn, and which way does its centre go?"),
                Slip(math.radians(turned), "Which unit is asked for?"),
            ),
        )

    def worked(self, given: Given) -> str:
        wandered = given.around_deg * given.fixed_mm / given.rolling_mm
        return (
            f"Radius {given.rolling_mm} mm round {given.fixed_mm} mm, by {given.around_deg}°. Equal arcs: the contact "
            f"has wandered by {given.around_deg}° · {given.fixed_mm}/{given.rolling_mm} = {wandered:.1f}° on the "
            f"rolling circle. The line between the centres has turned by {given.around_deg}° as well, the same way: "
            f"{wandered + given.around_deg:.1f}° together."
        )


class Top(Task):
    letter = "c"
    title = "A pen that starts on top"
    marks = 4
    text = (
        "A circle of radius $r$ rolls to the right along the x axis. At the start its centre is straight above the "
        "origin. A pen is fixed to it at {percent} % of the radius from the centre, and at the start straight "
        "**above** "
        r"the centre. The circle has turned clockwise by $\varphi$ (in radians). Where is the pen? Give its **x** "
        "coordinate as a SymPy expression in `r` and `phi`."
    )
    names = ("c_pen_x",)
    other_words = (
        "Two steps: where has the centre got to, and how much farther right or left than the centre is the "
        "pen? A spoke that points up and turns clockwise leans to one side first."
    )
    place = 'Lesson 1, "Along a line": centre plus a turned spoke. Only the spoke is another one here.'

    def numbers(self, draw: Draw) -> Given:
        return Given(percent=draw.whole(25, 85))

    def question(self, given: Given) -> ExpressionQuestion:
        r, phi = sp.symbols("r varphi", positive=True)
        share = sp.Rational(given.percent, 100)
        in_degrees = phi * sp.pi / 180
        return ExpressionQuestion(
            right=r * phi + share * r * sp.sin(phi),
            ranges={"r": (5, 30), "varphi": (0.2, 6)},
            look='Where is the centre, and what is added to it? Lesson 1, "Along a line".',
            slips=(
                Slip(r * phi - share * r * sp.sin(phi), "Where does the pen start, and which way does it go first?"),
                Slip(r * phi + r * sp.sin(phi), "How far from the centre is the pen?"),
                Slip(r * phi + share * r * sp.cos(phi), "At the start, is the pen beside the centre, or over it?"),
                Slip(share * r * sp.sin(phi), "Where is the centre by then?"),
                Slip(r + share * r * sp.cos(phi), "Is that the pen's x, or its y?"),
                Slip(r * in_degrees + share * r * sp.sin(in_degrees), "In which unit does phi count?"),
            ),
        )

    def worked(self, given: Given) -> str:
        share = given.percent / 100
        return (
            f"Where is a pen at {given.percent} % of the radius that starts straight **below** the centre? The centre "
            f"has moved to "
            rf"$x = r\varphi$. The spoke points down, $(0, -{share:g}\,r)$, and turns clockwise by $\varphi$; its x "
            rf"becomes $-{share:g}\,r\sin\varphi$. Together $x = r\varphi - {share:g}\,r\sin\varphi$, in SymPy "
            f"`r * phi - sp.Rational({given.percent}, 100) * r * sp.sin(phi)`."
        )


class Pen(Task):
    letter = "d"
    title = "A pen round a circle"
    marks = 4
    text = (
        "A circle of {rolling_mm} mm radius rolls round a fixed circle of {fixed_mm} mm radius, on its outside, "
        "counter-clockwise. The pen sits on an arm of {arm_mm:g} mm. At the start the rolling circle's centre is on "
        "+x, and the pen is where it is **farthest** from the fixed circle's centre. Write a function that takes the "
        "angle `around` (in radians) by which the rolling circle's centre has gone round, and returns the pen's x and "
        "y in mm. It will be tried on angles that you don't see."
    )
    names = ("d_pen_mm",)
    other_words = (
        "Two arms joined end to end. The first leads from the fixed circle's centre to the rolling one's, the "
        "second from there to the pen. How long is each, where does it point at the start, by how much has it turned?"
    )
    place = 'Lesson 1, "Round a circle" and "Move the pen". There the pen starts at its nearest.'

    def numbers(self, draw: Draw) -> Given:
        rolling = draw.whole(6, 15)
        return Given(rolling_mm=rolling, fixed_mm=draw.whole(20, 60), arm_mm=draw.stepped(2, rolling - 1, 0.5))

    def question(self, given: Given) -> FunctionQuestion:
        centre = given.fixed_mm + given.rolling_mm

        def joined(first: float, second: float, first_turn: float, second_turn: float) -> tuple[float, float]:
            """Two arms, end to end."""
            return (
                first * math.cos(first_turn) + second * math.cos(second_turn),
                first * math.sin(first_turn) + second * math.sin(second_turn),
            )

        return FunctionQuestion(
            right=lambda a: joined(centre, given.arm_mm, a, a * centre / given.rolling_mm),
            tries=((0.37,), (1.9,), (-2.2,), (4.4,), (7.1,)),
            wanted="x and y in mm",
            tolerance=0.001,
            look='Which two arms are joined, and how far has each turned? Lesson 1, "Round a circle".',
            slips=(
                Slip(
                    lambda a: joined(centre, -given.arm_mm, a, a * centre / given.rolling_mm),
                    "Where is the pen at the start?",
                ),
                Slip(
                    lambda a: joined(centre, given.arm_mm, a, a * given.fixed_mm / given.rolling_mm),
                    "Who sees the circle turn by that?",
                ),
                Slip(
                    lambda a: joined(given.fixed_mm, given.arm_mm, a, a * centre / given.rolling_mm),
                    "How far apart are the centres?",
                ),
                Slip(
                    lambda a: joined(centre, given.arm_mm, a, -a * centre / given.rolling_mm),
                    "Which way does the circle turn?",
                ),
                Slip(
                    lambda a: joined(centre, given.rolling_mm, a, a * centre / given.rolling_mm),
                    "Is the pen on the circle's edge?",
                ),
                Slip(
                    lambda a: joined(
                        centre, given.arm_mm, math.radians(a), math.radians(a) * centre / given.rolling_mm
                    ),
                    "In which unit does the angle come in?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        centre = given.fixed_mm + given.rolling_mm
        return (
            f"Radius {given.rolling_mm} mm round {given.fixed_mm} mm, arm {given.arm_mm:g} mm, but with the pen "
            f"**nearest** the middle at the start. Arm one is {centre} mm long and turns by `around`. Arm two is "
            f"{given.arm_mm:g} mm long, starts backwards and turns by `around * {centre} / {given.rolling_mm}`. So x "
            f"is `{centre} * np.cos(around) - {given.arm_mm:g} * np.cos(around * {centre} / {given.rolling_mm})`, and "
            f"y the same with sines; the function ends with `return x, y`."
        )


SHORT, EVEN, LONG = "a", "b", "c"


class Three(Task):
    letter = "e"
    title = "Which of the three"
    marks = 3
    text = (
        "A circle of {rolling_mm} mm radius rolls round a fixed one of {fixed_mm} mm radius, and the pen's arm is "
        '{arm_mm:g} mm long. Where the pen is nearest the middle, the curve has `"a"` a rounded root, `"b"` a cusp, '
        '`"c"` a loop. Choose a letter, and say in a sentence or two how the pen moves there and why.'
    )
    names = ("e_letter", "e_reason")
    other_words = (
        "At that place the pen lies on the line from the rolling circle's centre to the contact. The circle "
        "turns about the contact as about a hinge. On which side of the hinge is the pen?"
    )
    place = 'Lesson 1, "Move the pen", and the hinge under "Watch it" in "Along a line".'

    def numbers(self, draw: Draw) -> Given:
        rolling = draw.whole(8, 20)
        other = draw.stepped(1, 5, 0.5)
        return Given(
            rolling_mm=rolling, fixed_mm=rolling * draw.whole(3, 9), arm_mm=rolling + draw.one_of((-other, 0.0, other))
        )

    def question(self, given: Given) -> ChoiceQuestion:
        looks = {
            SHORT: "Where the pen is nearest the middle, does it go on forwards without a stop?",
            EVEN: "Is there an instant at which the pen stands still?",
            LONG: "Is there a stretch on which the pen goes backwards?",
        }
        right = SHORT if given.arm_mm < given.rolling_mm else LONG if given.arm_mm > given.rolling_mm else EVEN
        return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)

    def worked(self, given: Given) -> str:
        right = self.question(given).right
        why = {
            SHORT: "short of the contact, on the centre's side of it, and goes on the way the centre goes: a rounded "
            "root",
            EVEN: "in the contact itself, and stands still with it: a cusp",
            LONG: "beyond the contact, on its other side, and goes back while the centre goes on: a loop",
        }
        ratio = given.arm_mm / given.rolling_mm
        return (
            f"Rolling circle {given.rolling_mm} mm, arm {given.arm_mm:g} mm: the trochoid ratio is {ratio:.3g}. The "
            f"circle turns about "
            "the contact as about a hinge. Nearest the middle the pen is "
            f'{why[right]}, `"{right}"`.'
        )


class Crank(Task):
    letter = "f"
    title = "A crank to order"
    marks = 3
    text = (
        "You design a drive whose disc has {lobes} lobes, on a pin circle of {diameter_mm} mm **diameter**. The "
        "trochoid ratio may be {most:g} at most. Cranks are made in steps of 0.01 mm. Which is the largest "
        "eccentricity that you can order, in mm?"
    )
    names = ("f_eccentricity_mm",)
    other_words = (
        "The trochoid ratio is an arm measured in radii of a rolling circle. Which circle rolls in this "
        "drive? Put the ratio at its limit, solve for the arm, and then choose a crank that can be had."
    )
    place = 'Lesson 1, "From circles to a drive": the dictionary.'

    def numbers(self, draw: Draw) -> Given:
        while True:  # until the limit lies well between two cranks, so that rounding errors decide nothing
            lobes, diameter, most = draw.whole(8, 22), draw.whole(60, 120), draw.stepped(0.55, 0.8, 0.01)
            if 0.1 < 100 * most * diameter / 2 / (lobes + 1) % 1 < 0.9:
                return Given(lobes=lobes, diameter_mm=diameter, most=most)

    def question(self, given: Given) -> NumberQuestion:
        pins, radius = given.lobes + 1, given.diameter_mm / 2
        which_number = "Does the ring's number stand there, or the disc's?"
        which_length = "Is the pin circle's radius given, or its diameter?"

        def down(eccentricity: float) -> float:
            """To the hundredth below."""
            return math.floor(100 * eccentricity) / 100

        right = down(given.most * radius / pins)
        return NumberQuestion(
            right=right,
            unit="mm",
            tolerance=0,
            look='Which three numbers make the trochoid ratio? Lesson 1, "From circles to a drive".',
            slips=(
                Slip(given.most * radius / pins, "In which steps can cranks be had?"),
                Slip(down(given.most * radius / given.lobes), which_number),
                Slip(given.most * radius / given.lobes, which_number),
                Slip(down(given.most * radius / (given.lobes + 2)), "How many pins go with so many lobes?"),
                Slip(down(given.most * given.diameter_mm / pins), which_length),
                Slip(given.most * given.diameter_mm / pins, which_length),
                Slip(down(given.most * radius), "Is the pin circle the circle that rolls?"),
                Slip(down(radius / pins / given.most), "Which of the two lengths stands above, and which below?"),
                Slip(round(right + 0.01, 2), "What does the trochoid ratio come to with that crank?"),
                Slip(round(right - 0.01, 2), "Is the next crank in the list out of the question?"),
            ),
        )

    def worked(self, given: Given) -> str:
        pins, radius = given.lobes + 1, given.diameter_mm / 2
        exact = given.most * radius / pins
        return (
            f"{given.lobes} lobes, {given.diameter_mm} mm diameter, at most {given.most:g}. {given.lobes} lobes go "
            f"with {pins} pins. Half the diameter is {radius:g} mm, so the rolling circle has {radius:g}/{pins} = "
            f"{radius / pins:.4f} mm, and the arm may be {given.most:g} times that: {exact:.4f} mm. In hundredths, "
            f"without going over: {math.floor(100 * exact) / 100:.2f} mm."
        )


TASKS = (Wheel(), Outside(), Top(), Pen(), Three(), Crank())
