"""Sheet 5: which four numbers make a drive, and how much room is left. It goes with lesson 5."""

import math
from typing import Any

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.sheet import Task
from cyclokit.drive import Drive
from cyclokit.geometry import limits

TITLE = "Four numbers"


def flank_bend(pins: float, circle: float, ratio: float) -> float:
    """Radius [mm] that the flank's formula gives, whether or not a lobe has the place of which it speaks."""
    return circle * math.sqrt(27 * (1 - ratio**2) * (pins - 1) / (pins + 1) ** 3)


def tip_bend(pins: float, circle: float, ratio: float) -> float:
    """Radius of the centre path at a lobe's tip [mm]."""
    return circle * (1 + ratio) ** 2 / (pins * ratio + 1)


def misprinted_tip_bend(pins: float, circle: float, ratio: float) -> float:
    """The same with the sign that it has in some printed copies [mm]."""
    return circle * (1 - ratio) ** 2 / (pins * ratio + 1)


def root_bend(pins: float, circle: float, ratio: float) -> float:
    """Radius of the centre path in the middle of a root [mm]."""
    return circle * (1 - ratio) ** 2 / (pins * ratio - 1)


def on_the_flank(pins: float, ratio: float) -> bool:
    """Whether the tightest bend is on the flank."""
    return ratio > (pins - 2) / (2 * pins - 1)


# a. The tightest bend of the edge


def edge_numbers(draw: Draw) -> dict[str, Any]:
    while True:
        pins, circle = draw.whole(10, 30), draw.stepped(30, 70, 0.5)
        least, most = draw.one_of(((18, 36), (58, 82)))  # flat lobes, deep lobes
        eccentricity = round(draw.whole(least, most) / 100 * circle / pins, 2)
        widest = min(limits.least_convex_radius(pins, circle, eccentricity), limits.half_pin_distance(pins, circle))
        roller = round(4 * draw.stepped(0.4, 0.75, 0.01) * float(widest)) / 4
        misprinted = misprinted_tip_bend(pins, circle, eccentricity * pins / circle)
        if abs(misprinted - roller) > 0.01:  # mm: a slip that comes out as zero has no tolerance
            return {"pins": pins, "circle_mm": circle, "eccentricity_mm": eccentricity, "roller_mm": roller}


def edge(pins: int, circle_mm: float, eccentricity_mm: float, roller_mm: float) -> NumberQuestion:
    ratio = eccentricity_mm * pins / circle_mm
    flank, tip = flank_bend(pins, circle_mm, ratio), tip_bend(pins, circle_mm, ratio)
    deep = on_the_flank(pins, ratio)
    least, other = (flank, tip) if deep else (tip, flank)
    which = (
        "Is the tip the tightest place of a lobe as deep as this one?"
        if deep
        else "Does a lobe as flat as this one have the place that the flank's formula speaks of?"
    )
    return NumberQuestion(
        right=least - roller_mm,
        unit="mm",
        tolerance=0.003,
        look='Where on this lobe is the tightest bend, and whose is it? Lesson 5, "The tightest bend".',
        slips=(
            Slip(other - roller_mm, which),
            Slip(least, "Is that the bend of the edge, or of the roller's path?"),
            Slip(other, "Whose bend is that, and where on the lobe?"),
            Slip(least + roller_mm, "On which side of the path does the edge lie, where the path bulges outwards?"),
            Slip(
                misprinted_tip_bend(pins, circle_mm, ratio) - roller_mm,
                "Do the two arrows of the tangent add up at the tip?",
            ),
            Slip(least - roller_mm / 2, "Is the length that is given a radius, or a diameter?"),
            Slip(root_bend(pins, circle_mm, ratio) + roller_mm, "Does a root bulge outwards?"),
        ),
    )


def edge_worked(pins: int, circle_mm: float, eccentricity_mm: float, roller_mm: float) -> str:
    ratio, begins = eccentricity_mm * pins / circle_mm, (pins - 2) / (2 * pins - 1)
    deep = on_the_flank(pins, ratio)
    least = (flank_bend if deep else tip_bend)(pins, circle_mm, ratio)
    formula = r"R_p\sqrt{27(1-K^2)(N-1)/(N+1)^3}" if deep else r"R_p(1+K)^2/(NK+1)"
    return (
        f"{pins} pins on {circle_mm:g} mm, e = {eccentricity_mm:g} mm, rollers of {roller_mm:g} mm radius: "
        f"K = {ratio:.4f}. The branches meet at {begins:.4f}, so the tightest bend is "
        f"{'on the flank' if deep else 'at the tip'}: ${formula}$ = {least:.4f} mm for the path. "
        f"The edge lies {roller_mm:g} mm nearer to the bend's middle: {least - roller_mm:.4f} mm."
    )


task_a = Task(
    letter="a",
    title="The tightest bend of the edge",
    marks=3,
    text="A drive has {pins} pins on a circle of {circle_mm:g} mm radius, rollers of {roller_mm:g} mm radius and an "
    "eccentricity of {eccentricity_mm:g} mm. A saw blade must follow the **disc's edge**. What is the radius of "
    "curvature at its tightest outward bend, in mm?",
    names=("a_edge_radius_mm",),
    numbers=edge_numbers,
    question=edge,
    other_words="Find the tightest outward bend of the path of the roller's centre first. The lesson has two formulas "
    "for it; which one holds for this drive? Then go from the path to the edge.",
    place='Lesson 5, "The tightest bend": the two branches, and how bends side by side differ.',
    worked=edge_worked,
)


# b. A bend on the way


def bend_numbers(draw: Draw) -> dict[str, Any]:
    return {"pins": draw.whole(8, 40), "tenths": draw.one_of((-8, -7, -6, -5, -4, -3, -2, -1))}


def bend(pins: int, tenths: int) -> ExpressionQuestion:
    Rp, e, r = sp.symbols("R_p e r", positive=True)
    place, ratio = sp.Rational(tenths, 10), e * pins / Rp

    def path(at: sp.Expr, count: int = pins, halves: int = 3) -> sp.Expr:
        """Radius of curvature of the centre path where the cosine is `at`."""
        squared, turning = 1 + ratio**2 - 2 * ratio * at, 1 + count * ratio**2 - (count + 1) * ratio * at
        return Rp * squared ** sp.Rational(halves, 2) / turning

    right = path(place) - r
    return ExpressionQuestion(
        right=right,
        ranges={"R_p": (40, 60), "e": (0.3, 0.9), "r": (2, 5)},
        look='What are $S$ and $D$ at that place, and whose bend is asked for? Lesson 5, "The tightest bend".',
        slips=(
            Slip(path(place), "Is that the bend of the edge, or of the roller's path?"),
            Slip(path(place) + r, "On which side of the path does the edge lie, where the path bulges outwards?"),
            Slip(path(-place) - r, "Is that place nearer to a tip, or to a root?"),
            Slip(path(place, pins - 1) - r, "Is it pins or lobes that count here?"),
            Slip(path(place, pins + 1) - r, "Is it pins or lobes that count here?"),
            Slip(path(place, halves=1) - r, "Which power of the speed stands in a curvature?"),
            Slip(path(sp.Integer(-1)) - r, "Is that at the place that is asked for, or at the tip?"),
            Slip(1 / path(place), "Is that a radius, or a curvature?"),
        ),
    )


def bend_worked(pins: int, tenths: int) -> str:
    place = tenths / 10
    return (
        f"{pins} pins, at the place where the cosine is ${tenths}/10$: with $K = {pins}e/R_p$ it is $S = 1 + K^2 + "
        f"{-2 * place:g}K$ and $D = 1 + {pins}K^2 + {-place * (pins + 1):.4g}K$. The path's radius is "
        "$R_pS^{3/2}/D$. As $D$ is above zero the path bulges outwards, and the edge's radius is $r$ less."
    )


task_b = Task(
    letter="b",
    title="A bend on the way",
    marks=4,
    text="A drive has {pins} pins. Take the place on a lobe where the cosine of $(N-1)\\,t$ is ${tenths}/10$ "
    "(at a tip it is $-1$, in the middle of a root $+1$). What is the radius of curvature of the **disc's edge** "
    "there, counted positive where the edge bulges outwards? Give a SymPy expression in `Rp`, `e` and `r` (the "
    "roller's radius), in any form. These three are SymPy's symbols from the next cell; keep their names for them.",
    names=("b_edge_radius",),
    numbers=bend_numbers,
    question=bend,
    other_words="The lesson has the radius of the path's bend for any place and any number of pins. Put this place and "
    "this number in, write the trochoid ratio with e and Rp, and go from the path to the edge.",
    place='Lesson 5, "The tightest bend": the radius before anything is set to zero.',
    worked=bend_worked,
)


# c. A program without the bug


def program_numbers(draw: Draw) -> dict[str, Any]:
    return {"pins": draw.whole(9, 40), "circle_mm": draw.stepped(30, 90, 0.5)}


def program(pins: int, circle_mm: float) -> FunctionQuestion:
    def by_ratio(eccentricity: float) -> float:
        return eccentricity * pins / circle_mm

    def least(eccentricity: float) -> float:
        return float(limits.least_convex_radius(pins, circle_mm, eccentricity))  # with another reader's numbers: loops

    def misprinted(eccentricity: float) -> float:
        ratio = by_ratio(eccentricity)
        return (flank_bend if on_the_flank(pins, ratio) else misprinted_tip_bend)(pins, circle_mm, ratio)

    def with_lobes(eccentricity: float) -> float:
        ratio = by_ratio(eccentricity) * (pins - 1) / pins
        return (flank_bend if on_the_flank(pins - 1, ratio) else tip_bend)(pins - 1, circle_mm, ratio)

    def swapped(eccentricity: float) -> float:
        ratio = by_ratio(eccentricity)
        return (tip_bend if on_the_flank(pins, ratio) else flank_bend)(pins, circle_mm, ratio)

    meet = (pins - 2) / (2 * pins - 1)  # beside this ratio a program shows where it changes over
    shares = (0.1, 0.22, meet - 0.08, meet - 0.04, meet + 0.04, meet + 0.08, 0.8, 0.93)
    return FunctionQuestion(
        right=least,
        tries=tuple((round(share * circle_mm / pins, 3),) for share in shares),
        wanted="a radius in mm",
        tolerance=0.0003,  # near where the branches meet they hardly differ
        look='Where is the tightest bend, for flat lobes and for deep ones? Lesson 5, "Find the bug".',
        slips=(
            Slip(lambda e: flank_bend(pins, circle_mm, by_ratio(e)), "What does it say for flat lobes?"),
            Slip(lambda e: tip_bend(pins, circle_mm, by_ratio(e)), "Is the tip the tightest place of deep lobes?"),
            Slip(swapped, "Which of the two formulas goes with which lobes?"),
            Slip(misprinted, "Do the two arrows of the tangent add up at the tip?"),
            Slip(with_lobes, "Is it pins or lobes that stand there?"),
            Slip(lambda e: tip_bend(pins, circle_mm, e / circle_mm), "Which number is missing in the trochoid ratio?"),
        ),
    )


def program_worked(pins: int, circle_mm: float) -> str:
    begins = (pins - 2) / (2 * pins - 1)
    e = 0.9 * begins * circle_mm / pins
    ratio = e * pins / circle_mm
    return (
        f"{pins} pins on a circle of {circle_mm:g} mm radius: `k = e * {pins} / {circle_mm:g}`. "
        f"For `k > ({pins} - 2) / (2 * {pins} - 1)`, which is {begins:.4f}, return the flank's radius "
        f"`{circle_mm:g} * np.sqrt(27 * (1 - k**2) * {pins - 1} / {pins + 1}**3)`, "
        f"otherwise the tip's, `{circle_mm:g} * (1 + k)**2 / ({pins} * k + 1)`. "
        f"For e = {e:.3f} mm that is {tip_bend(pins, circle_mm, ratio):.4f} mm."
    )


task_c = Task(
    letter="c",
    title="A program without the bug",
    marks=4,
    text="For a ring of {pins} pins on a circle of {circle_mm:g} mm radius, write a function that takes the "
    "eccentricity `eccentricity` in mm and returns the least radius of curvature of the **centre path** where it "
    "bulges outwards, in mm. It will be tried on flat lobes and on deep ones, all without loops, one eccentricity at "
    "a time.",
    names=("c_least_radius_mm",),
    numbers=program_numbers,
    question=program,
    other_words="Two formulas, and a question that says which one holds. Try your function against the lesson's "
    "`brute_force` (copy it with the two imports that it needs, `Drive` and `outline`), in places where the one "
    "formula holds and where the other does.",
    place='Lesson 5, "Find the bug"; the formulas stand in "The tightest bend".',
    worked=program_worked,
)


# d. Sound, or what forbids it

SOUND, LOOPS, UNDERCUT, OVERLAP = "a", "b", "c", "d"


def forbidden_numbers(draw: Draw) -> dict[str, Any]:
    kind = draw.one_of((SOUND, LOOPS, UNDERCUT, OVERLAP))
    while True:
        pins, circle = draw.whole(9, 24), draw.stepped(30, 60, 0.5)
        least, most = {SOUND: (50, 92), LOOPS: (104, 125), UNDERCUT: (82, 96), OVERLAP: (12, 25)}[kind]
        eccentricity = round(draw.whole(least, most) / 100 * circle / pins, 2)
        apart = float(limits.half_pin_distance(pins, circle))
        narrowest, widest = {SOUND: (10, 90), LOOPS: (30, 80), UNDERCUT: (60, 92), OVERLAP: (106, 125)}[kind]
        roller = max(0.5, round(4 * draw.whole(narrowest, widest) / 100 * apart) / 4)
        given = {"pins": pins, "circle_mm": circle, "roller_mm": roller, "eccentricity_mm": eccentricity}
        if _clear(kind, given):
            return given


def _clear(kind: str, given: dict[str, Any]) -> bool:
    """Whether this and nothing else is the case, and no margin is so thin that rounding decides."""
    shares = _shares(**given)
    return forbidden_right(**given) == kind and all(abs(share - 1) > 0.02 for share in shares.values())


def _shares(pins: int, circle_mm: float, roller_mm: float, eccentricity_mm: float) -> dict[str, float]:
    """What there is over what there may be, for each way to be forbidden."""
    return {
        LOOPS: float(limits.trochoid_ratio(pins, circle_mm, eccentricity_mm)),
        UNDERCUT: roller_mm / float(limits.least_convex_radius(pins, circle_mm, eccentricity_mm)),
        OVERLAP: roller_mm / float(limits.half_pin_distance(pins, circle_mm)),
    }


def forbidden_right(pins: int, circle_mm: float, roller_mm: float, eccentricity_mm: float) -> str:
    """The letter; "" where two apply. A path with loops has no bend of which undercut could be told."""
    shares = _shares(pins, circle_mm, roller_mm, eccentricity_mm)
    if shares[LOOPS] >= 1:
        del shares[UNDERCUT]
    broken = [letter for letter, share in shares.items() if share >= 1]
    return SOUND if not broken else broken[0] if len(broken) == 1 else ""


def forbidden(pins: int, circle_mm: float, roller_mm: float, eccentricity_mm: float) -> ChoiceQuestion:
    looks = {
        SOUND: "Have you worked out the margins of all three limits?",
        LOOPS: "What is the trochoid ratio?",
        UNDERCUT: "How tight is the path's tightest bend, and how large is a roller? A rule of thumb doesn't tell.",
        OVERLAP: "How far apart are neighbouring pins, and how much of that do two rollers need?",
    }
    right = forbidden_right(pins, circle_mm, roller_mm, eccentricity_mm)
    return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)


def forbidden_worked(pins: int, circle_mm: float, roller_mm: float, eccentricity_mm: float) -> str:
    ratio = eccentricity_mm * pins / circle_mm
    apart = circle_mm * math.sin(math.pi / pins)
    start = (
        f"{pins} pins on {circle_mm:g} mm, rollers of {roller_mm:g} mm radius, e = {eccentricity_mm:g} mm: "
        f"K = {ratio:.4f}, to stay below 1; side by side rollers must stay below {apart:.3f} mm, "
    )
    letter = forbidden_right(pins, circle_mm, roller_mm, eccentricity_mm)
    rule = "kept" if eccentricity_mm < roller_mm else "broken"
    end = f'So it is `"{letter}"`. The rule of thumb, e below the roller\'s radius, is {rule}, and decides nothing.'
    if ratio >= 1:
        return f"{start}and with loops there is no need to ask for bends. {end}"
    least = (flank_bend if on_the_flank(pins, ratio) else tip_bend)(pins, circle_mm, ratio)
    return f"{start}and for the tightest bend below {least:.3f} mm. {end}"


task_d = Task(
    letter="d",
    title="Sound, or what forbids it",
    marks=3,
    text="Somebody proposes {pins} pins on a circle of {circle_mm:g} mm radius, rollers of {roller_mm:g} mm radius "
    "and an "
    'eccentricity of {eccentricity_mm:g} mm. `"a"` It is sound. `"b"` The path has loops. `"c"` The path has none, but '
    'the flanks are undercut. `"d"` Neighbouring rollers overlap. Choose a letter, and say in a sentence or two what '
    "you compared, and what the rule of thumb says of the same numbers.",
    names=("d_letter", "d_reason"),
    numbers=forbidden_numbers,
    question=forbidden,
    other_words="Three limits, one after the other: the trochoid ratio, the distance of neighbouring pins, the "
    "tightest bend of the path. For the last one choose the right branch.",
    place='Lesson 5, "The map" has all three; "A rule of thumb, refuted" says what the rule is worth.',
    worked=forbidden_worked,
)


# e. A cutter for the roots


def cutter_numbers(draw: Draw) -> dict[str, Any]:
    return {"drive": draw.drive()}


def cutter(drive: Drive) -> NumberQuestion:
    numbers, roller = (drive.pins, drive.pin_circle_radius, drive.trochoid_ratio), drive.roller_radius
    path = root_bend(*numbers)
    return NumberQuestion(
        right=2 * (path + roller),
        unit="mm",
        tolerance=0.003,
        look='How tight is a root of the edge, and what is asked for? Lesson 5, "The tightest bend".',
        slips=(
            Slip(path + roller, "Is a radius asked for, or a diameter?"),
            Slip(2 * path, "Is that the bend of the edge, or of the roller's path?"),
            Slip(2 * abs(path - roller), "On which side of a hollow path does the edge lie?"),
            Slip(2 * roller, "Is the root just as tight as a roller?"),
            Slip(2 * (misprinted_tip_bend(*numbers) + roller), "Which sign has the cosine in a root?"),
            Slip(2 * (tip_bend(*numbers) - roller), "Is that a tip, or a root?"),
            Slip(2 * (flank_bend(*numbers) - roller), "Is that the bend of a flank, or of a root?"),
            Slip(2 * (flank_bend(*numbers) + roller), "Is that the bend of a flank, or of a root?"),
            Slip(2 * (path + 2 * roller), "Is the length that is given a radius, or a diameter?"),
        ),
    )


def cutter_worked(drive: Drive) -> str:
    path = root_bend(drive.pins, drive.pin_circle_radius, drive.trochoid_ratio)
    return (
        f"{drive!r}, in mm: K = {drive.trochoid_ratio:.4f}. In a root the path's radius is $R_p(1-K)^2/(NK-1)$ = "
        f"{path:.4f} mm, hollow. The edge lies {drive.roller_radius:g} mm inside it, on the far side of its bend, so "
        f"its radius is {path + drive.roller_radius:.4f} mm, and a cutter may be "
        f"{2 * (path + drive.roller_radius):.3f} mm wide."
    )


task_e = Task(
    letter="e",
    title="A cutter for the roots",
    marks=3,
    text="A round cutter goes along the outside of a disc for {drive.pins} pins on a circle of "
    "{drive.pin_circle_radius:g} mm radius, rollers of {drive.roller_radius:g} mm radius and an eccentricity of "
    "{drive.eccentricity:g} mm. It must reach the middle of every root without cutting into its sides. The tightest "
    "place of a root is its middle. How wide may the cutter be at most: which **diameter**, in mm?",
    names=("e_diameter_mm",),
    numbers=cutter_numbers,
    question=cutter,
    other_words="The cutter must bend no less than the edge does in the middle of a root. How tight is the path there, "
    "and how does going inwards change a hollow bend?",
    place='Lesson 5, "The tightest bend": "And the roots?".',
    worked=cutter_worked,
)


# f. A design from a drawer


def drawer_numbers(draw: Draw) -> dict[str, Any]:
    crank_turns, diameter = draw.whole(9, 30), draw.stepped(60, 130, 1)
    widest = 2 * float(limits.half_pin_distance(crank_turns + 1, diameter / 2))
    return {
        "crank_turns": crank_turns,
        "diameter_mm": diameter,
        "roller_diameter_mm": round(2 * draw.stepped(0.5, 0.85, 0.01) * widest) / 2,
        "percent": draw.whole(45, 80),
    }


def drawer(crank_turns: int, diameter_mm: float, roller_diameter_mm: float, percent: int) -> NumberQuestion:
    def most(pins: int, circle: float) -> float:
        """Greatest eccentricity [mm] by the flank's branch."""
        return (
            math.sqrt(1 - (roller_diameter_mm / 2 / circle) ** 2 * (pins + 1) ** 3 / (27 * (pins - 1))) * circle / pins
        )

    pins, circle, share = crank_turns + 1, diameter_mm / 2, percent / 100
    right = share * most(pins, circle)
    return NumberQuestion(
        right=right,
        unit="mm",
        tolerance=0.003,
        look='How many pins, and which eccentricity leaves no room at all? Lesson 5, "A first design by hand".',
        slips=(
            Slip(share * circle / pins, "Which limit is met before loops begin?"),
            Slip(share * most(pins - 1, circle), "Is that the number of lobes, or of pins?"),
            Slip(share * most(pins, diameter_mm), "Is the length that is given a radius, or a diameter?"),
            Slip(2 * right, "Is the length that is given a radius, or a diameter?"),
            Slip(most(pins, circle), "Which share of the greatest eccentricity is asked for?"),
            Slip(share * roller_diameter_mm / 2, "Is that a limit, or a rule of thumb?"),
            Slip(right * pins / circle, "Is that a length, or a ratio?"),
            Slip((1 - share) * most(pins, circle), "Which share is to be used, and which is to be left?"),
        ),
    )


def drawer_worked(crank_turns: int, diameter_mm: float, roller_diameter_mm: float, percent: int) -> str:
    pins, circle = crank_turns + 1, diameter_mm / 2
    ratio = math.sqrt(1 - (roller_diameter_mm / 2 / circle) ** 2 * (pins + 1) ** 3 / (27 * (pins - 1)))
    return (
        f"{crank_turns} : 1, pin circle {diameter_mm:g} mm and rollers {roller_diameter_mm:g} mm in diameter: ring "
        f"held, so {pins} pins. Undercut begins where the flank's radius is {roller_diameter_mm / 2:g} mm, at "
        f"K = {ratio:.4f}, which is an eccentricity of {ratio * circle / pins:.4f} mm, before loops do. {percent} % "
        f"of it are {percent / 100 * ratio * circle / pins:.4f} mm."
    )


task_f = Task(
    letter="f",
    title="A design from a drawer",
    marks=3,
    text="A plant laboratory wants a drive (invented, like all on this sheet) with {crank_turns} crank turns for one "
    "turn of the disc, ring held, one lobe fewer than pins. The pin circle is to have a **diameter** of "
    "{diameter_mm:g} mm; in the drawer lie bearings with an outer **diameter** of {roller_diameter_mm:g} mm, for "
    "rollers. Take {percent} % of the eccentricity at which such a drive stops being sound. Which eccentricity, in mm, "
    "do you order?",
    names=("f_eccentricity_mm",),
    numbers=drawer_numbers,
    question=drawer,
    other_words="Pins from the ratio, radii from the diameters. Then ask at which trochoid ratio the tightest bend of "
    "the path is as tight as the roller, and turn that into an eccentricity. Do the rollers fit side by side?",
    place='Lesson 5, "A first design by hand", and "The map" for the formula turned round.',
    worked=drawer_worked,
)

TASKS = (task_a, task_b, task_c, task_d, task_e, task_f)
