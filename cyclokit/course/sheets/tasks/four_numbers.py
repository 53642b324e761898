"""Sheet 5: which four numbers make a drive, and how much room is left. It goes with lesson 5."""

import math

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task
from cyclokit.geometry import limits

TITLE = "Four numbers"


def _flank_bend(pins: float, circle: float, ratio: float) -> float:
    """Radius [mm] that the flank's formula gives, whether or not a lobe has the place of which it speaks."""
    return circle * math.sqrt(27 * (1 - ratio**2) * (pins - 1) / (pins + 1) ** 3)


def _tip_bend(pins: float, circle: float, ratio: float) -> float:
    """Radius of the centre path at a lobe's tip [mm]."""
    return circle * (1 + ratio) ** 2 / (pins * ratio + 1)


def _misprinted_tip_bend(pins: float, circle: float, ratio: float) -> float:
    """The same with the sign that it has in some printed copies [mm]."""
    return circle * (1 - ratio) ** 2 / (pins * ratio + 1)


def _root_bend(pins: float, circle: float, ratio: float) -> float:
    """Radius of the centre path in the middle of a root [mm]."""
    return circle * (1 - ratio) ** 2 / (pins * ratio - 1)


def _on_the_flank(pins: float, ratio: float) -> bool:
    """Whether the tightest bend is on the flank."""
    return ratio > (pins - 2) / (2 * pins - 1)


class Edge(Task):
    letter = "a"
    title = "The tightest bend of the edge"
    marks = 3
    text = (
        "A drive has {pins} pins on a circle of {circle_mm:g} mm radius, rollers of {roller_mm:g} mm radius and an "
        "eccentricity of {eccentricity_mm:g} mm. A saw blade must follow the **disc's edge**. What is the radius of "
        "curvature at its tightest outward bend, in mm?"
    )
    names = ("a_edge_radius_mm",)
    other_words = (
        "Find the tightest outward bend of the path of the roller's centre first. The lesson has two formulas "
        "for it; which one holds for this drive? Then go from the path to the edge."
    )
    place = 'Lesson 5, "The tightest bend": the two branches, and how bends side by side differ.'

    def numbers(self, draw: Draw) -> Given:
        while True:
            pins, circle = draw.whole(10, 30), draw.stepped(30, 70, 0.5)
            least, most = draw.one_of(((18, 36), (58, 82)))  # flat lobes, deep lobes
            eccentricity = round(draw.whole(least, most) / 100 * circle / pins, 2)
            widest = min(limits.least_convex_radius(pins, circle, eccentricity), limits.half_pin_distance(pins, circle))
            roller = round(4 * draw.stepped(0.4, 0.75, 0.01) * float(widest)) / 4
            misprinted = _misprinted_tip_bend(pins, circle, eccentricity * pins / circle)
            if abs(misprinted - roller) > 0.01:  # mm: a slip that comes out as zero has no tolerance
                return Given(pins=pins, circle_mm=circle, eccentricity_mm=eccentricity, roller_mm=roller)

    def question(self, given: Given) -> NumberQuestion:
        ratio = given.eccentricity_mm * given.pins / given.circle_mm
        flank, tip = _flank_bend(given.pins, given.circle_mm, ratio), _tip_bend(given.pins, given.circle_mm, ratio)
        deep = _on_the_flank(given.pins, ratio)
        least, other = (flank, tip) if deep else (tip, flank)
        which = (
            "Is the tip the tightest place of a lobe as deep as this one?"
            if deep
            else "Does a lobe as flat as this one have the place that the flank's formula speaks of?"
        )
        return NumberQuestion(
            right=least - given.roller_mm,
            unit="mm",
            tolerance=0.003,
            look='Where on this lobe is the tightest bend, and whose is it? Lesson 5, "The tightest bend".',
            slips=(
                Slip(other - given.roller_mm, which),
                Slip(least, "Is that the bend of the edge, or of the roller's path?"),
                Slip(other, "Whose bend is that, and where on the lobe?"),
                Slip(
                    least + given.roller_mm,
                    "On which side of the path does the edge lie, where the path bulges outwards?",
                ),
                Slip(
                    _misprinted_tip_bend(given.pins, given.circle_mm, ratio) - given.roller_mm,
                    "Do the two arrows of the tangent add up at the tip?",
                ),
                Slip(least - given.roller_mm / 2, "Is the length that is given a radius, or a diameter?"),
                Slip(_root_bend(given.pins, given.circle_mm, ratio) + given.roller_mm, "Does a root bulge outwards?"),
            ),
        )

    def worked(self, given: Given) -> str:
        ratio, begins = given.eccentricity_mm * given.pins / given.circle_mm, (given.pins - 2) / (2 * given.pins - 1)
        deep = _on_the_flank(given.pins, ratio)
        least = (_flank_bend if deep else _tip_bend)(given.pins, given.circle_mm, ratio)
        formula = r"R_p\sqrt{27(1-K^2)(N-1)/(N+1)^3}" if deep else r"R_p(1+K)^2/(NK+1)"
        return (
            f"{given.pins} pins on {given.circle_mm:g} mm, e = {given.eccentricity_mm:g} mm, rollers of "
            f"{given.roller_mm:g} mm radius: K = {ratio:.4f}. The branches meet at {begins:.4f}, so the tightest bend "
            f"is {'on the flank' if deep else 'at the tip'}: ${formula}$ = {least:.4f} mm for the path. The edge lies "
            f"{given.roller_mm:g} mm nearer to the bend's middle: {least - given.roller_mm:.4f} mm."
        )


class Bend(Task):
    letter = "b"
    title = "A bend on the way"
    marks = 4
    text = (
        "A drive has {pins} pins. Take the place on a lobe where the cosine of $(N-1)\\,t$ is ${tenths}/10$ "
        "(at a tip it is $-1$, in the middle of a root $+1$). What is the radius of curvature of the **disc's edge** "
        "there, counted positive where the edge bulges outwards? Give a SymPy expression in `Rp`, `e` and `r` (the "
        "roller's radius), in any form. These three are SymPy's symbols from the next cell; keep their names for them."
    )
    names = ("b_edge_radius",)
    other_words = (
        "The lesson has the radius of the path's bend for any place and any number of pins. Put this place and "
        "this number in, write the trochoid ratio with e and Rp, and go from the path to the edge."
    )
    place = 'Lesson 5, "The tightest bend": the radius before anything is set to zero.'

    def numbers(self, draw: Draw) -> Given:
        return Given(pins=draw.whole(8, 40), tenths=draw.one_of((-8, -7, -6, -5, -4, -3, -2, -1)))

    def question(self, given: Given) -> ExpressionQuestion:
        Rp, e, r = sp.symbols("R_p e r", positive=True)
        place, ratio = sp.Rational(given.tenths, 10), e * given.pins / Rp

        def path(at: sp.Expr, count: int = given.pins, halves: int = 3) -> sp.Expr:
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
                Slip(path(place, given.pins - 1) - r, "Is it pins or lobes that count here?"),
                Slip(path(place, given.pins + 1) - r, "Is it pins or lobes that count here?"),
                Slip(path(place, halves=1) - r, "Which power of the speed stands in a curvature?"),
                Slip(path(sp.Integer(-1)) - r, "Is that at the place that is asked for, or at the tip?"),
                Slip(1 / path(place), "Is that a radius, or a curvature?"),
            ),
        )

    def worked(self, given: Given) -> str:
        place = given.tenths / 10
        return (
            f"{given.pins} pins, at the place where the cosine is ${given.tenths}/10$: with $K = {given.pins}e/R_p$ "
            f"it is $S = 1 + K^2 + {-2 * place:g}K$ and $D = 1 + {given.pins}K^2 + {-place * (given.pins + 1):.4g}K$. "
            f"The path's radius is "
            "$R_pS^{3/2}/D$. As $D$ is above zero the path bulges outwards, and the edge's radius is $r$ less."
        )


class Program(Task):
    letter = "c"
    title = "A program without the bug"
    marks = 4
    text = (
        "For a ring of {pins} pins on a circle of {circle_mm:g} mm radius, write a function that takes the "
        "eccentricity `eccentricity` in mm and returns the least radius of curvature of the **centre path** where it "
        "bulges outwards, in mm. It will be tried on flat lobes and on deep ones, all without loops, one eccentricity "
        "at a time."
    )
    names = ("c_least_radius_mm",)
    other_words = (
        "Two formulas, and a question that says which one holds. Try your function against the lesson's "
        "`brute_force` (copy it with the two imports that it needs, `Drive` and `outline`), in places where the one "
        "formula holds and where the other does."
    )
    place = 'Lesson 5, "Find the bug"; the formulas stand in "The tightest bend".'

    def numbers(self, draw: Draw) -> Given:
        return Given(pins=draw.whole(9, 40), circle_mm=draw.stepped(30, 90, 0.5))

    def question(self, given: Given) -> FunctionQuestion:
        def by_ratio(eccentricity: float) -> float:
            return eccentricity * given.pins / given.circle_mm

        def least(eccentricity: float) -> float:
            return float(
                limits.least_convex_radius(given.pins, given.circle_mm, eccentricity)
            )  # with another reader's numbers: loops

        def misprinted(eccentricity: float) -> float:
            ratio = by_ratio(eccentricity)
            return (_flank_bend if _on_the_flank(given.pins, ratio) else _misprinted_tip_bend)(
                given.pins, given.circle_mm, ratio
            )

        def with_lobes(eccentricity: float) -> float:
            ratio = by_ratio(eccentricity) * (given.pins - 1) / given.pins
            return (_flank_bend if _on_the_flank(given.pins - 1, ratio) else _tip_bend)(
                given.pins - 1, given.circle_mm, ratio
            )

        def swapped(eccentricity: float) -> float:
            ratio = by_ratio(eccentricity)
            return (_tip_bend if _on_the_flank(given.pins, ratio) else _flank_bend)(given.pins, given.circle_mm, ratio)

        meet = (given.pins - 2) / (2 * given.pins - 1)  # beside this ratio a program shows where it changes over
        shares = (0.1, 0.22, meet - 0.08, meet - 0.04, meet + 0.04, meet + 0.08, 0.8, 0.93)
        return FunctionQuestion(
            right=least,
            tries=tuple((round(share * given.circle_mm / given.pins, 3),) for share in shares),
            wanted="a radius in mm",
            tolerance=0.0003,  # near where the branches meet they hardly differ
            look='Where is the tightest bend, for flat lobes and for deep ones? Lesson 5, "Find the bug".',
            slips=(
                Slip(
                    lambda e: _flank_bend(given.pins, given.circle_mm, by_ratio(e)), "What does it say for flat lobes?"
                ),
                Slip(
                    lambda e: _tip_bend(given.pins, given.circle_mm, by_ratio(e)),
                    "Is the tip the tightest place of deep lobes?",
                ),
                Slip(swapped, "Which of the two formulas goes with which lobes?"),
                Slip(misprinted, "Do the two arrows of the tangent add up at the tip?"),
                Slip(with_lobes, "Is it pins or lobes that stand there?"),
                Slip(
                    lambda e: _tip_bend(given.pins, given.circle_mm, e / given.circle_mm),
                    "Which number is missing in the trochoid ratio?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        begins = (given.pins - 2) / (2 * given.pins - 1)
        e = 0.9 * begins * given.circle_mm / given.pins
        ratio = e * given.pins / given.circle_mm
        return (
            f"{given.pins} pins on a circle of {given.circle_mm:g} mm radius: `k = e * {given.pins} / "
            f"{given.circle_mm:g}`. For `k > ({given.pins} - 2) / (2 * {given.pins} - 1)`, which is {begins:.4f}, "
            f"return the flank's radius `{given.circle_mm:g} * np.sqrt(27 * (1 - k**2) * {given.pins - 1} / "
            f"{given.pins + 1}**3)`, otherwise the tip's, `{given.circle_mm:g} * (1 + k)**2 / ({given.pins} * k + "
            f"1)`. For e = {e:.3f} mm that is {_tip_bend(given.pins, given.circle_mm, ratio):.4f} mm."
        )


SOUND, LOOPS, UNDERCUT, OVERLAP = "a", "b", "c", "d"


def _clear(kind: str, given: Given) -> bool:
    """Whether this and nothing else is the case, and no margin is so thin that rounding decides."""
    shares = _shares(given)
    return _forbidden_right(given) == kind and all(abs(share - 1) > 0.02 for share in shares.values())


def _shares(given: Given) -> dict[str, float]:
    """What there is over what there may be, for each way to be forbidden."""
    path = given.pins, given.circle_mm, given.eccentricity_mm
    return {
        LOOPS: float(limits.trochoid_ratio(*path)),
        UNDERCUT: given.roller_mm / float(limits.least_convex_radius(*path)),
        OVERLAP: given.roller_mm / float(limits.half_pin_distance(given.pins, given.circle_mm)),
    }


def _forbidden_right(given: Given) -> str:
    """The letter; "" where two apply. A path with loops has no bend of which undercut could be told."""
    shares = _shares(given)
    if shares[LOOPS] >= 1:
        del shares[UNDERCUT]
    broken = [letter for letter, share in shares.items() if share >= 1]
    return SOUND if not broken else broken[0] if len(broken) == 1 else ""


class Forbidden(Task):
    letter = "d"
    title = "Sound, or what forbids it"
    marks = 3
    text = (
        "Somebody proposes {pins} pins on a circle of {circle_mm:g} mm radius, rollers of {roller_mm:g} mm radius "
        'and an eccentricity of {eccentricity_mm:g} mm. `"a"` It is sound. `"b"` The path has loops. `"c"` The path '
        'has none, but the flanks are undercut. `"d"` Neighbouring rollers overlap. Choose a letter, and say in a '
        "sentence or two what you compared, and what the rule of thumb says of the same numbers."
    )
    names = ("d_letter", "d_reason")
    other_words = (
        "Three limits, one after the other: the trochoid ratio, the distance of neighbouring pins, the "
        "tightest bend of the path. For the last one choose the right branch."
    )
    place = 'Lesson 5, "The map" has all three; "A rule of thumb, refuted" says what the rule is worth.'

    def numbers(self, draw: Draw) -> Given:
        kind = draw.one_of((SOUND, LOOPS, UNDERCUT, OVERLAP))
        while True:
            pins, circle = draw.whole(9, 24), draw.stepped(30, 60, 0.5)
            least, most = {SOUND: (50, 92), LOOPS: (104, 125), UNDERCUT: (82, 96), OVERLAP: (12, 25)}[kind]
            eccentricity = round(draw.whole(least, most) / 100 * circle / pins, 2)
            apart = float(limits.half_pin_distance(pins, circle))
            narrowest, widest = {SOUND: (10, 90), LOOPS: (30, 80), UNDERCUT: (60, 92), OVERLAP: (106, 125)}[kind]
            roller = max(0.5, round(4 * draw.whole(narrowest, widest) / 100 * apart) / 4)
            given = Given(pins=pins, circle_mm=circle, roller_mm=roller, eccentricity_mm=eccentricity)
            if _clear(kind, given):
                return given

    def question(self, given: Given) -> ChoiceQuestion:
        looks = {
            SOUND: "Have you worked out the margins of all three limits?",
            LOOPS: "What is the trochoid ratio?",
            UNDERCUT: "How tight is the path's tightest bend, and how large is a roller? A rule of thumb doesn't tell.",
            OVERLAP: "How far apart are neighbouring pins, and how much of that do two rollers need?",
        }
        right = _forbidden_right(given)
        return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)

    def worked(self, given: Given) -> str:
        ratio = given.eccentricity_mm * given.pins / given.circle_mm
        apart = given.circle_mm * math.sin(math.pi / given.pins)
        start = (
            f"{given.pins} pins on {given.circle_mm:g} mm, rollers of {given.roller_mm:g} mm radius, e = "
            f"{given.eccentricity_mm:g} mm: K = {ratio:.4f}, to stay below 1; side by side rollers must stay below "
            f"{apart:.3f} mm, "
        )
        letter = _forbidden_right(given)
        rule = "kept" if given.eccentricity_mm < given.roller_mm else "broken"
        end = f'So it is `"{letter}"`. The rule of thumb, e below the roller\'s radius, is {rule}, and decides nothing.'
        if ratio >= 1:
            return f"{start}and with loops there is no need to ask for bends. {end}"
        least = (_flank_bend if _on_the_flank(given.pins, ratio) else _tip_bend)(given.pins, given.circle_mm, ratio)
        return f"{start}and for the tightest bend below {least:.3f} mm. {end}"


class Cutter(Task):
    letter = "e"
    title = "A cutter for the roots"
    marks = 3
    text = (
        "A round cutter goes along the outside of a disc for {drive.pins} pins on a circle of "
        "{drive.pin_circle_radius:g} mm radius, rollers of {drive.roller_radius:g} mm radius and an eccentricity of "
        "{drive.eccentricity:g} mm. It must reach the middle of every root without cutting into its sides. The "
        "tightest place of a root is its middle. How wide may the cutter be at most: which **diameter**, in mm?"
    )
    names = ("e_diameter_mm",)
    other_words = (
        "The cutter must bend no less than the edge does in the middle of a root. How tight is the path there, "
        "and how does going inwards change a hollow bend?"
    )
    place = 'Lesson 5, "The tightest bend": "And the roots?".'

    def numbers(self, draw: Draw) -> Given:
        return Given(drive=draw.drive())

    def question(self, given: Given) -> NumberQuestion:
        numbers, roller = (
            (given.drive.pins, given.drive.pin_circle_radius, given.drive.trochoid_ratio),
            given.drive.roller_radius,
        )
        path = _root_bend(*numbers)
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
                Slip(2 * (_misprinted_tip_bend(*numbers) + roller), "Which sign has the cosine in a root?"),
                Slip(2 * (_tip_bend(*numbers) - roller), "Is that a tip, or a root?"),
                Slip(2 * (_flank_bend(*numbers) - roller), "Is that the bend of a flank, or of a root?"),
                Slip(2 * (_flank_bend(*numbers) + roller), "Is that the bend of a flank, or of a root?"),
                Slip(2 * (path + 2 * roller), "Is the length that is given a radius, or a diameter?"),
            ),
        )

    def worked(self, given: Given) -> str:
        path = _root_bend(given.drive.pins, given.drive.pin_circle_radius, given.drive.trochoid_ratio)
        return (
            f"{given.drive!r}, in mm: K = {given.drive.trochoid_ratio:.4f}. In a root the path's radius is "
            f"$R_p(1-K)^2/(NK-1)$ = {path:.4f} mm, hollow. The edge lies {given.drive.roller_radius:g} mm inside it, "
            f"on the far side of its bend, so its radius is {path + given.drive.roller_radius:.4f} mm, and a cutter "
            f"may be {2 * (path + given.drive.roller_radius):.3f} mm wide."
        )


class Drawer(Task):
    letter = "f"
    title = "A design from a drawer"
    marks = 3
    text = (
        "A plant laboratory wants a drive (invented, like all on this sheet) with {crank_turns} crank turns for one "
        "turn of the disc, ring held, one lobe fewer than pins. The pin circle is to have a **diameter** of "
        "{diameter_mm:g} mm; in the drawer lie bearings with an outer **diameter** of {roller_diameter_mm:g} mm, for "
        "rollers. Take {percent} % of the eccentricity at which such a drive stops being sound. Which eccentricity, "
        "in mm, do you order?"
    )
    names = ("f_eccentricity_mm",)
    other_words = (
        "Pins from the ratio, radii from the diameters. Then ask at which trochoid ratio the tightest bend of "
        "the path is as tight as the roller, and turn that into an eccentricity. Do the rollers fit side by side?"
    )
    place = 'Lesson 5, "A first design by hand", and "The map" for the formula turned round.'

    def numbers(self, draw: Draw) -> Given:
        crank_turns, diameter = draw.whole(9, 30), draw.stepped(60, 130, 1)
        widest = 2 * float(limits.half_pin_distance(crank_turns + 1, diameter / 2))
        return Given(
            crank_turns=crank_turns,
            diameter_mm=diameter,
            roller_diameter_mm=round(2 * draw.stepped(0.5, 0.85, 0.01) * widest) / 2,
            percent=draw.whole(45, 80),
        )

    def question(self, given: Given) -> NumberQuestion:
        def most(pins: int, circle: float) -> float:
            """Greatest eccentricity [mm] by the flank's branch."""
            return (
                math.sqrt(1 - (given.roller_diameter_mm / 2 / circle) ** 2 * (pins + 1) ** 3 / (27 * (pins - 1)))
                * circle
                / pins
            )

        pins, circle, share = given.crank_turns + 1, given.diameter_mm / 2, given.percent / 100
        right = share * most(pins, circle)
        return NumberQuestion(
            right=right,
            unit="mm",
            tolerance=0.003,
            look='How many pins, and which eccentricity leaves no room at all? Lesson 5, "A first design by hand".',
            slips=(
                Slip(share * circle / pins, "Which limit is met before loops begin?"),
                Slip(share * most(pins - 1, circle), "Is that the number of lobes, or of pins?"),
                Slip(share * most(pins, given.diameter_mm), "Is the length that is given a radius, or a diameter?"),
                Slip(2 * right, "Is the length that is given a radius, or a diameter?"),
                Slip(most(pins, circle), "Which share of the greatest eccentricity is asked for?"),
                Slip(share * given.roller_diameter_mm / 2, "Is that a limit, or a rule of thumb?"),
                Slip(right * pins / circle, "Is that a length, or a ratio?"),
                Slip((1 - share) * most(pins, circle), "Which share is to be used, and which is to be left?"),
            ),
        )

    def worked(self, given: Given) -> str:
        pins, circle = given.crank_turns + 1, given.diameter_mm / 2
        ratio = math.sqrt(1 - (given.roller_diameter_mm / 2 / circle) ** 2 * (pins + 1) ** 3 / (27 * (pins - 1)))
        return (
            f"{given.crank_turns} : 1, pin circle {given.diameter_mm:g} mm and rollers {given.roller_diameter_mm:g} "
            f"mm in diameter: ring held, so {pins} pins. Undercut begins where the flank's radius is "
            f"{given.roller_diameter_mm / 2:g} mm, at K = {ratio:.4f}, which is an eccentricity of "
            f"{ratio * circle / pins:.4f} mm, before loops do. {given.percent} % of it are "
            f"{given.percent / 100 * ratio * circle / pins:.4f} mm."
        )


TASKS = (Edge(), Bend(), Program(), Forbidden(), Cutter(), Drawer())
