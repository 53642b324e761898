"""Sheet 1: what a point on a rolling circle draws. It goes with lesson 1."""

import math
from typing import Any

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.sheet import Task

TITLE = "Circles that roll"

# a. A wheel on the road


def wheel_numbers(draw: Draw) -> dict[str, Any]:
    return {"diameter_mm": draw.stepped(300, 700, 5), "turns": draw.whole(3, 12)}


def wheel(diameter_mm: float, turns: int) -> NumberQuestion:
    radius = diameter_mm / 2
    return NumberQuestion(
        right=8 * radius * turns,
        unit="mm",
        tolerance=0.005,
        look='How long is one arch, and how many are there? Lesson 1, "How long is an arch?".',
        slips=(
            Slip(8 * diameter_mm * turns, "Is the length that is given a radius, or a diameter?"),
            Slip(8 * radius, "Is that one arch, or the whole curve?"),
            Slip(4 * radius * turns, "Is that half an arch, or a whole one, each turn?"),
            Slip(2 * math.pi * radius * turns, "Is that how far the wheel rolled, or how long the curve is?"),
            Slip(2 * math.pi * diameter_mm * turns, "Which length is asked for, and is a radius given?"),
        ),
    )


def wheel_worked(diameter_mm: float, turns: int) -> str:
    radius, arch = diameter_mm / 2, 4 * diameter_mm
    return (
        f"A wheel of {diameter_mm:g} mm diameter, {turns} turns. Its radius is {radius:g} mm. In one turn the stone "
        f"draws one arch, $8r$ = {arch:g} mm; in {turns} turns {turns} arches, {turns * arch:g} mm together."
    )


task_a = Task(
    letter="a",
    title="A wheel on the road",
    marks=3,
    text="A wheel of {diameter_mm:g} mm **diameter** rolls along a flat road without slipping, for {turns} whole "
    "turns. A small stone sticks to its edge. How long is the curve that the stone draws through the air, in mm?",
    names=("a_curve_mm",),
    numbers=wheel_numbers,
    question=wheel,
    other_words="The stone goes up and comes down to the road again and again. Find the length of one such arch "
    "from the speed of a point on the edge, then count arches.",
    place='Lesson 1, "How long is an arch?": the integral of the speed over one turn.',
    worked=wheel_worked,
)


# b. Seen from outside


def outside_numbers(draw: Draw) -> dict[str, Any]:
    return {"rolling_mm": draw.whole(7, 23), "fixed_mm": draw.whole(25, 90), "around_deg": draw.whole(35, 160)}


def outside(rolling_mm: int, fixed_mm: int, around_deg: int) -> NumberQuestion:
    turned = around_deg * (fixed_mm + rolling_mm) / rolling_mm
    return NumberQuestion(
        right=turned,
        unit="degrees",
        tolerance=0.005,
        look='Which two turns add up? Lesson 1, "Round a circle".',
        slips=(
            Slip(around_deg * fixed_mm / rolling_mm, "Who sees that turn: somebody outside, or somebody on the arm?"),
            Slip(around_deg * (fixed_mm - rolling_mm) / rolling_mm, "Which way do the two turns go?"),
            Slip(around_deg * (fixed_mm + rolling_mm) / fixed_mm, "Whose radius stands below?"),
            Slip(-turned, "Which way does the circle turn, and which way does its centre go?"),
            Slip(math.radians(turned), "Which unit is asked for?"),
        ),
    )


def outside_worked(rolling_mm: int, fixed_mm: int, around_deg: int) -> str:
    wandered = around_deg * fixed_mm / rolling_mm
    return (
        f"Radius {rolling_mm} mm round {fixed_mm} mm, by {around_deg}°. Equal arcs: the contact has wandered by "
        f"{around_deg}° · {fixed_mm}/{rolling_mm} = {wandered:.1f}° on the rolling circle. The line between the "
        f"centres has turned by {around_deg}° as well, the same way: {wandered + around_deg:.1f}° together."
    )


task_b = Task(
    letter="b",
    title="Seen from outside",
    marks=3,
    text="A circle of {rolling_mm} mm radius rolls round a fixed circle of {fixed_mm} mm radius, on its outside. "
    "Its centre has gone round by {around_deg}°. By how many **degrees** has the rolling circle turned, seen by "
    "somebody who stands beside? Positive means the way its centre goes.",
    names=("b_turned_deg",),
    numbers=outside_numbers,
    question=outside,
    other_words="Paint an arrow on the rolling circle. Two things turn it: the circle rolls off an arc, and the line "
    "from which you counted that arc turns too.",
    place='Lesson 1, "Round a circle", where the two turns are put together.',
    worked=outside_worked,
)


# c. A pen that starts on top


def top_numbers(draw: Draw) -> dict[str, Any]:
    return {"percent": draw.whole(25, 85)}


def top(percent: int) -> ExpressionQuestion:
    r, phi = sp.symbols("r varphi", positive=True)
    share = sp.Rational(percent, 100)
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


def top_worked(percent: int) -> str:
    share = percent / 100
    return (
        f"Where is a pen at {percent} % of the radius that starts straight **below** the centre? The centre has "
        f"moved to "
        rf"$x = r\varphi$. The spoke points down, $(0, -{share:g}\,r)$, and turns clockwise by $\varphi$; its x "
        rf"becomes $-{share:g}\,r\sin\varphi$. Together $x = r\varphi - {share:g}\,r\sin\varphi$, in SymPy "
        f"`r * phi - sp.Rational({percent}, 100) * r * sp.sin(phi)`."
    )


task_c = Task(
    letter="c",
    title="A pen that starts on top",
    marks=4,
    text="A circle of radius $r$ rolls to the right along the x axis. At the start its centre is straight above the "
    "origin. A pen is fixed to it at {percent} % of the radius from the centre, and at the start straight **above** "
    r"the centre. The circle has turned clockwise by $\varphi$ (in radians). Where is the pen? Give its **x** "
    "coordinate as a SymPy expression in `r` and `phi`.",
    names=("c_pen_x",),
    numbers=top_numbers,
    question=top,
    other_words="Two steps: where has the centre got to, and how much farther right or left than the centre is the "
    "pen? A spoke that points up and turns clockwise leans to one side first.",
    place='Lesson 1, "Along a line": centre plus a turned spoke. Only the spoke is another one here.',
    worked=top_worked,
)


# d. A pen round a circle


def pen_numbers(draw: Draw) -> dict[str, Any]:
    rolling = draw.whole(6, 15)
    return {"rolling_mm": rolling, "fixed_mm": draw.whole(20, 60), "arm_mm": draw.stepped(2, rolling - 1, 0.5)}


def pen(rolling_mm: int, fixed_mm: int, arm_mm: float) -> FunctionQuestion:
    centre = fixed_mm + rolling_mm

    def joined(first: float, second: float, first_turn: float, second_turn: float) -> tuple[float, float]:
        """Two arms, end to end."""
        return (
            first * math.cos(first_turn) + second * math.cos(second_turn),
            first * math.sin(first_turn) + second * math.sin(second_turn),
        )

    return FunctionQuestion(
        right=lambda a: joined(centre, arm_mm, a, a * centre / rolling_mm),
        tries=((0.37,), (1.9,), (-2.2,), (4.4,), (7.1,)),
        wanted="x and y in mm",
        tolerance=0.001,
        look='Which two arms are joined, and how far has each turned? Lesson 1, "Round a circle".',
        slips=(
            Slip(lambda a: joined(centre, -arm_mm, a, a * centre / rolling_mm), "Where is the pen at the start?"),
            Slip(lambda a: joined(centre, arm_mm, a, a * fixed_mm / rolling_mm), "Who sees the circle turn by that?"),
            Slip(lambda a: joined(fixed_mm, arm_mm, a, a * centre / rolling_mm), "How far apart are the centres?"),
            Slip(lambda a: joined(centre, arm_mm, a, -a * centre / rolling_mm), "Which way does the circle turn?"),
            Slip(lambda a: joined(centre, rolling_mm, a, a * centre / rolling_mm), "Is the pen on the circle's edge?"),
            Slip(
                lambda a: joined(centre, arm_mm, math.radians(a), math.radians(a) * centre / rolling_mm),
                "In which unit does the angle come in?",
            ),
        ),
    )


def pen_worked(rolling_mm: int, fixed_mm: int, arm_mm: float) -> str:
    centre = fixed_mm + rolling_mm
    return (
        f"Radius {rolling_mm} mm round {fixed_mm} mm, arm {arm_mm:g} mm, but with the pen **nearest** the middle at "
        f"the start. Arm one is {centre} mm long and turns by `around`. Arm two is {arm_mm:g} mm long, starts "
        f"backwards and turns by `around * {centre} / {rolling_mm}`. So x is `{centre} * np.cos(around) - {arm_mm:g} "
        f"* np.cos(around * {centre} / {rolling_mm})`, and y the same with sines; the function ends with `return x, y`."
    )


task_d = Task(
    letter="d",
    title="A pen round a circle",
    marks=4,
    text="A circle of {rolling_mm} mm radius rolls round a fixed circle of {fixed_mm} mm radius, on its outside, "
    "counter-clockwise. The pen sits on an arm of {arm_mm:g} mm. At the start the rolling circle's centre is on +x, "
    "and the pen is where it is **farthest** from the fixed circle's centre. Write a function that takes the angle "
    "`around` (in radians) by which the rolling circle's centre has gone round, and returns the pen's x and y in mm. "
    "It will be tried on angles that you don't see.",
    names=("d_pen_mm",),
    numbers=pen_numbers,
    question=pen,
    other_words="Two arms joined end to end. The first leads from the fixed circle's centre to the rolling one's, the "
    "second from there to the pen. How long is each, where does it point at the start, by how much has it turned?",
    place='Lesson 1, "Round a circle" and "Move the pen inwards". There the pen starts at its nearest.',
    worked=pen_worked,
)


# e. Which of the three

SHORT, EVEN, LONG = "a", "b", "c"


def three_numbers(draw: Draw) -> dict[str, Any]:
    rolling = draw.whole(8, 20)
    other = draw.stepped(1, 5, 0.5)
    return {
        "rolling_mm": rolling,
        "fixed_mm": rolling * draw.whole(3, 9),
        "arm_mm": rolling + draw.one_of((-other, 0.0, other)),
    }


def three(rolling_mm: int, fixed_mm: int, arm_mm: float) -> ChoiceQuestion:
    looks = {
        SHORT: "Where the pen is nearest the middle, does it go on forwards without a stop?",
        EVEN: "Is there an instant at which the pen stands still?",
        LONG: "Is there a stretch on which the pen goes backwards?",
    }
    right = SHORT if arm_mm < rolling_mm else LONG if arm_mm > rolling_mm else EVEN
    return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)


def three_worked(rolling_mm: int, fixed_mm: int, arm_mm: float) -> str:
    right = three(rolling_mm, fixed_mm, arm_mm).right
    why = {
        SHORT: "short of the contact, on the centre's side of it, and goes on the way the centre goes: a rounded root",
        EVEN: "in the contact itself, and stands still with it: a cusp",
        LONG: "beyond the contact, on its other side, and goes back while the centre goes on: a loop",
    }
    ratio = arm_mm / rolling_mm
    return (
        f"Rolling circle {rolling_mm} mm, arm {arm_mm:g} mm: the trochoid ratio is {ratio:.3g}. The circle turns about "
        "the contact as about a hinge. Nearest the middle the pen is "
        f'{why[right]}, `"{right}"`.'
    )


task_e = Task(
    letter="e",
    title="Which of the three",
    marks=3,
    text="A circle of {rolling_mm} mm radius rolls round a fixed one of {fixed_mm} mm radius, and the pen's arm is "
    '{arm_mm:g} mm long. Where the pen is nearest the middle, the curve has `"a"` a rounded root, `"b"` a cusp, '
    '`"c"` a loop. Choose a letter, and say in a sentence or two how the pen moves there and why.',
    names=("e_letter", "e_reason"),
    numbers=three_numbers,
    question=three,
    other_words="At that place the pen lies on the line from the rolling circle's centre to the contact. The circle "
    "turns about the contact as about a hinge. On which side of the hinge is the pen?",
    place='Lesson 1, "Move the pen inwards", and the hinge under "Watch it" in "Along a line".',
    worked=three_worked,
)


# f. A crank to order


def crank_numbers(draw: Draw) -> dict[str, Any]:
    while True:  # until the limit lies well between two cranks, so that rounding errors decide nothing
        lobes, diameter, most = draw.whole(8, 22), draw.whole(60, 120), draw.stepped(0.55, 0.8, 0.01)
        if 0.1 < 100 * most * diameter / 2 / (lobes + 1) % 1 < 0.9:
            return {"lobes": lobes, "diameter_mm": diameter, "most": most}


def crank(lobes: int, diameter_mm: int, most: float) -> NumberQuestion:
    pins, radius = lobes + 1, diameter_mm / 2
    which_number = "Does the ring's number stand there, or the disc's?"
    which_length = "Is the pin circle's radius given, or its diameter?"

    def down(eccentricity: float) -> float:
        """To the hundredth below."""
        return math.floor(100 * eccentricity) / 100

    right = down(most * radius / pins)
    return NumberQuestion(
        right=right,
        unit="mm",
        tolerance=0,
        look='Which three numbers make the trochoid ratio? Lesson 1, "From circles to a drive".',
        slips=(
            Slip(most * radius / pins, "In which steps can cranks be had?"),
            Slip(down(most * radius / lobes), which_number),
            Slip(most * radius / lobes, which_number),
            Slip(down(most * radius / (lobes + 2)), "How many pins go with so many lobes?"),
            Slip(down(most * diameter_mm / pins), which_length),
            Slip(most * diameter_mm / pins, which_length),
            Slip(down(most * radius), "Is the pin circle the circle that rolls?"),
            Slip(down(radius / pins / most), "Which of the two lengths stands above, and which below?"),
            Slip(round(right + 0.01, 2), "What does the trochoid ratio come to with that crank?"),
            Slip(round(right - 0.01, 2), "Is the next crank in the list out of the question?"),
        ),
    )


def crank_worked(lobes: int, diameter_mm: int, most: float) -> str:
    pins, radius = lobes + 1, diameter_mm / 2
    exact, right = most * radius / pins, crank(lobes, diameter_mm, most).right
    return (
        f"{lobes} lobes, {diameter_mm} mm diameter, at most {most:g}. {lobes} lobes go with {pins} pins. Half the "
        f"diameter is {radius:g} mm, so the rolling circle has {radius:g}/{pins} = {radius / pins:.4f} mm, and the "
        f"arm may be {most:g} times that: {exact:.4f} mm. In hundredths, without going over: {right:.2f} mm."
    )


task_f = Task(
    letter="f",
    title="A crank to order",
    marks=3,
    text="You design a drive whose disc has {lobes} lobes, on a pin circle of {diameter_mm} mm **diameter**. The "
    "trochoid ratio may be {most:g} at most. Cranks are made in steps of 0.01 mm. Which is the largest eccentricity "
    "that you can order, in mm?",
    names=("f_eccentricity_mm",),
    numbers=crank_numbers,
    question=crank,
    other_words="The trochoid ratio is an arm measured in radii of a rolling circle. Which circle rolls in this "
    "drive? Put the ratio at its limit, solve for the arm, and then choose a crank that can be had.",
    place='Lesson 1, "From circles to a drive": the dictionary.',
    worked=crank_worked,
)

TASKS = (task_a, task_b, task_c, task_d, task_e, task_f)
