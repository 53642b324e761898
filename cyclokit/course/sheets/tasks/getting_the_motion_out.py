"""Sheet 6: how holes and rollers give a rotation, and what two discs do. It goes with lesson 6."""

import math
from fractions import Fraction

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task

TITLE = "Getting the motion out"


class Hole(Task):
    letter = "a"
    title = "A hole to cut"
    marks = 3
    text = (
        "The output rollers of a drive are {roller_across_mm:g} mm **across**. Its eccentricity is "
        "{eccentricity_mm:g} mm, and each hole is to have a clearance of {clearance_mm:g} mm on the **radius**. How "
        "wide do you cut the disc's output holes, **across**?"
    )
    names = ("a_hole_across_mm",)
    other_words = (
        "Stand on a roller. Round it runs a hole, whose middle stays at one distance from yours. How far from "
        "its own middle must the hole's edge be? Then think of how a hole's width is measured."
    )
    place = 'Lesson 6, "A wobble and a rotation", where hole and roller are subtracted.'

    def numbers(self, draw: Draw) -> Given:
        return Given(
            roller_across_mm=draw.one_of((5, 6, 8, 10, 12, 13, 16, 19, 22)),
            eccentricity_mm=draw.stepped(0.8, 2.6, 0.1),
            clearance_mm=draw.stepped(0.1, 0.3, 0.05),
        )

    def question(self, given: Given) -> NumberQuestion:
        roller, e, gap = given.roller_across_mm, given.eccentricity_mm, given.clearance_mm
        return NumberQuestion(
            right=roller + 2 * e + 2 * gap,
            unit="mm",
            tolerance=0.001,
            look='What must a hole leave round its roller, and on how many sides? Lesson 6, "A wobble and a rotation".',
            slips=(
                Slip(roller + e + 2 * gap, "Is the eccentricity that of a radius, or of a diameter?"),
                Slip(roller + 2 * e + gap, "Is the clearance that of a radius, or of a diameter?"),
                Slip(roller + e + gap, "Which of the three lengths go on the radius?"),
                Slip(roller + 2 * e, "What does the hole get so that the machine runs?"),
                Slip(roller / 2 + e + gap, "Is that from the middle, or across?"),
                Slip(2 * roller + 2 * e + 2 * gap, "Is the roller given from the middle, or across?"),
                Slip(roller + 4 * e + 2 * gap, "How far from the roller's middle is the hole's?"),
            ),
        )

    def worked(self, given: Given) -> str:
        radius = given.roller_across_mm / 2 + given.eccentricity_mm + given.clearance_mm
        return (
            f"Rollers of {given.roller_across_mm:g} mm, eccentricity {given.eccentricity_mm:g} mm, clearance "
            f"{given.clearance_mm:g} mm. The hole's radius is {given.roller_across_mm / 2:g} + "
            f"{given.eccentricity_mm:g} + {given.clearance_mm:g} = {radius:g} mm; across, {2 * radius:g} mm."
        )


class Place(Task):
    letter = "b"
    title = "Where a hole is"
    marks = 4
    text = (
        "A drive with {pins} pins and one lobe fewer has an eccentricity of {eccentricity_mm:g} mm, two discs half a "
        "crank turn apart, and {rollers} output rollers on a circle of {circle_mm:g} mm radius. At crank 0 the first "
        "disc's centre is on +x, and so is output roller 0; the others follow counter-clockwise, and the hole round "
        "roller j is called hole j. The ring is held. Write a function that takes the crank angle `crank` (in "
        "radians) and returns x and y, in mm, of the middle of hole {hole} of the **second** disc, as somebody sees "
        "it who stands beside the machine. It will be tried on angles that you don't see."
    )
    names = ("b_hole_mm",)
    other_words = (
        "Where is the middle of the output roller that stands in that hole? And where, seen from there, is the "
        "hole's own middle?"
    )
    place = (
        'Lesson 6, "A wobble and a rotation" for one disc; "Why two discs" and "A puzzle: one part or two?" for '
        "where the second one and its holes are."
    )

    def numbers(self, draw: Draw) -> Given:
        rollers = draw.whole(4, 9)
        return Given(
            pins=draw.whole(9, 30),
            rollers=rollers,
            circle_mm=draw.stepped(18, 34, 0.5),
            eccentricity_mm=draw.stepped(1, 2.4, 0.1),
            hole=draw.whole(1, rollers - 1),
        )

    def question(self, given: Given) -> FunctionQuestion:
        lobes, stands = given.pins - 1, 2 * math.pi * given.hole / given.rollers

        def at(wobble: float, way: float, offset: float = given.eccentricity_mm) -> tuple[float, float]:
            """The disc's centre in one direction, and from there the hole in another."""
            return (
                offset * math.cos(wobble) + given.circle_mm * math.cos(way),
                offset * math.sin(wobble) + given.circle_mm * math.sin(way),
            )

        return FunctionQuestion(
            right=lambda c: at(c + math.pi, stands - c / lobes),
            tries=((0.8,), (2.7,), (-1.3,), (5.9,), (17.3,)),
            wanted="x and y in mm",
            tolerance=0.001,
            look='Where is the second disc\'s centre, and which way has the output turned? Lesson 6, "Why two discs".',
            slips=(
                Slip(lambda c: at(c, stands - c / lobes), "Which of the two discs is that?"),
                Slip(lambda c: at(c, stands - c / lobes, 0.0), "Is that the hole, or the roller in it?"),
                Slip(lambda c: at(c + math.pi, stands + c / lobes), "Which way does the output turn?"),
                Slip(lambda c: at(c + math.pi, stands - c / given.pins), "How many lobes has the disc?"),
                Slip(lambda c: at(c + math.pi, stands), "Does the output stand still?"),
                Slip(lambda c: at(c + math.pi, stands + c), "How fast does the output turn?"),
                Slip(
                    lambda c: at(c + math.pi, stands - c / lobes - math.pi / lobes),
                    "Where must the second disc's holes stand: among its lobes as in the first, or round the same "
                    "rollers?",
                ),
                Slip(
                    lambda c: at(c + math.pi, stands - c / lobes + math.pi / lobes),
                    "Where must the second disc's holes stand: among its lobes as in the first, or round the same "
                    "rollers?",
                ),
                Slip(
                    lambda c: at(c + math.pi, stands + 2 * math.pi / given.rollers - c / lobes),
                    "Which hole is number 0?",
                ),
                Slip(
                    lambda c: at(c + math.pi, stands - 2 * math.pi / given.rollers - c / lobes),
                    "Which hole is number 0?",
                ),
                Slip(
                    lambda c: at(c + math.pi, 2 * math.pi * given.hole / given.pins - c / lobes),
                    "Which pitch do the holes have?",
                ),
                Slip(lambda c: at(c + math.pi, stands - c / lobes)[::-1], "Which of the two comes first?"),
                Slip(
                    lambda c: at(math.radians(c) + math.pi, stands - math.radians(c) / lobes),
                    "In which unit does the angle come in?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        return (
            f"{given.pins} pins, {given.rollers} output rollers on {given.circle_mm:g} mm, eccentricity "
            f"{given.eccentricity_mm:g} mm, hole {given.hole}, with complex numbers: the second disc's centre is at "
            f"`{given.eccentricity_mm:g} * np.exp(1j * (crank + np.pi))`. The output has turned by `-crank / "
            f"{given.pins - 1}`, so roller {given.hole} is at `{given.circle_mm:g} * np.exp(1j * (2 * np.pi * "
            f"{given.hole} / {given.rollers} - crank / {given.pins - 1}))`. The hole's middle lies beside the "
            f"roller's just as the "
            "disc's centre lies beside the axis: add the two, `z`, and end with `return z.real, z.imag`."
        )


class Rocks(Task):
    letter = "c"
    title = "What rocks the housing"
    marks = 4
    text = (
        "A crank carries **{discs}** equal discs, evenly phased. Each disc has the mass $m$ and the thickness $b$, "
        "and between neighbours there is a gap $g$. The bearing in each disc weighs {percent} % of the disc and goes "
        "round with it. The eccentricity is $e$, the crank's rate $w$ in radians a second. How large is the "
        "**moment** that rocks the housing? Give a SymPy expression in `m`, `e`, `b`, `g` and `w` (in one set of "
        "units, so that no factors come in)."
    )
    names = ("c_moment",)
    other_words = (
        "Give every disc an arrow, for the pull of what goes round with it, and a place along the shaft, "
        "counted from the middle of all. Add up place times arrow. How long is the sum?"
    )
    place = 'Lesson 6, "Why two discs", where SymPy adds up arrows and places.'

    def numbers(self, draw: Draw) -> Given:
        return Given(discs=draw.one_of((2, 3)), percent=draw.whole(5, 60))

    def question(self, given: Given) -> ExpressionQuestion:
        m, e, b, g, w = sp.symbols("m e b g w", positive=True)
        mass, apart = m * sp.Rational(100 + given.percent, 100), b + g
        arms = {2: sp.Integer(1), 3: sp.sqrt(3)}  # of the arrows times their places along the shaft
        right = arms[given.discs] * mass * e * apart * w**2
        return ExpressionQuestion(
            right=right,
            ranges={"m": (0.01, 0.1), "e": (0.8, 2.5), "b": (4, 10), "g": (0.5, 3), "w": (10, 300)},
            look='Which arrows go with which places along the shaft? Lesson 6, "Why two discs".',
            slips=(
                Slip(mass * e * w**2, "Is that a force, or a moment?"),
                Slip(right / w**2, "Is that the unbalance, or what it does at that rate?"),
                Slip(sp.Integer(0), "The forces cancel. Do they lie in one plane?"),
                Slip(right / mass * m, "What goes round with each disc?"),
                Slip(right / mass * (mass - m), "Does the bearing go round instead of the disc, or with it?"),
                Slip(right / apart * (b + 2 * g), "How many gaps lie between the middles of two neighbours?"),
                Slip(right / apart * b, "How far is it from the middle of one disc to that of the next?"),
                Slip(right / apart * g, "How far is it from the middle of one disc to that of the next?"),
                Slip(given.discs * mass * e * apart * w**2, "Do the forces of all discs point the same way?"),
                Slip(arms[5 - given.discs] * mass * e * apart * w**2, "How many discs are there, and where is each?"),
                Slip(right / 2, "How far is each disc from the middle of all?"),
                Slip(right / w, "How does what shakes grow with the rate?"),
                Slip(right / e, "How far from the axis is a disc's centre?"),
            ),
        )

    def worked(self, given: Given) -> str:
        share = f"{(100 + given.percent) / 100:g}"
        mass = f"{share}*m"
        if given.discs == 2:
            sum_up = f"The two arrows are opposite, at $-a/2$ and $+a/2$: together ${share}\\,m\\,e\\,a$."
            result = f"{mass}*e*(b + g)*w**2"
        else:
            sum_up = (
                "The middle disc counts with 0, the outer two with $-a$ and $+a$, and their arrows are 240° apart: "
                "their "
                f"difference is $\\sqrt3$ of one, so $\\sqrt3 \\cdot {share}\\,m\\,e\\,a$."
            )
            result = f"sp.sqrt(3)*{mass}*e*(b + g)*w**2"
        return (
            f"{given.discs} discs, a bearing of {given.percent} % of the disc's mass. What goes round with each "
            f"eccentric weighs ${share}\\,m$. From middle to middle it is $a = b + g$. {sum_up} The rate comes in "
            f"squared: `{result}`."
        )


class Weight(Task):
    letter = "d"
    title = "A counterweight for one disc"
    marks = 4
    text = (
        "You try a drive with only **one** of its two discs. The two together weigh {both_g:g} g without their "
        "bearings; in each sits a bearing of {bearing_g:g} g. The eccentricity is {eccentricity_mm:g} mm. All that "
        "turns with the crank, counterweight included, weighs {turning_g:g} g, and the crank is to run at "
        "{turns_per_minute:g} turns a minute. Opposite the disc you screw a piece of steel to the crank, its centre "
        "of mass {radius_mm:g} mm from the axis. How many **grams** must it have at least so that the static "
        "unbalance meets grade G {grade:g} of ISO 21940-11? Give that limit itself to four figures, not rounded up to "
        "be safe. (On paper. Before such a crank runs, the screw is secured and a guard is on; local rules come "
        "first.)"
    )
    names = ("d_counterweight_g",)
    other_words = (
        "How much static unbalance does the one disc bring? How much does the grade leave to a rotor of that "
        "mass at that rate? What lies between is the counterweight's."
    )
    place = 'Lesson 6, "Why two discs": the static unbalance, and after the figure what a grade allows.'

    def numbers(self, draw: Draw) -> Given:
        return Given(
            both_g=draw.stepped(44, 90, 1),
            bearing_g=draw.stepped(5, 14, 0.5),
            eccentricity_mm=draw.stepped(1.4, 2.4, 0.1),
            turning_g=draw.stepped(80, 140, 5),
            turns_per_minute=draw.stepped(800, 2400, 50),
            grade=draw.one_of((6.3, 16)),
            radius_mm=draw.stepped(8, 16, 0.5),
        )

    def question(self, given: Given) -> NumberQuestion:
        rate = given.turns_per_minute * 2 * math.pi / 60
        there, allowed = (
            (given.both_g / 2 + given.bearing_g) * given.eccentricity_mm,
            given.grade * given.turning_g / rate,
        )  # g mm
        return NumberQuestion(
            right=(there - allowed) / given.radius_mm,
            unit="g",
            tolerance=0.001,
            look='How much unbalance is there, and how much may stay? Lesson 6, "Why two discs".',
            slips=(
                Slip(
                    ((given.both_g + given.bearing_g) * given.eccentricity_mm - allowed) / given.radius_mm,
                    "Whose mass goes round: that of one disc or of two, and what does its bearing weigh?",
                ),
                Slip(
                    ((given.both_g + 2 * given.bearing_g) * given.eccentricity_mm - allowed) / given.radius_mm,
                    "Whose mass goes round: that of one disc, or of two?",
                ),
                Slip(
                    (given.both_g / 2 * given.eccentricity_mm - allowed) / given.radius_mm,
                    "What goes round with the disc?",
                ),
                Slip(there / given.radius_mm, "Must all of it go?"),
                Slip(
                    (there - given.grade * given.turning_g / given.turns_per_minute) / given.radius_mm,
                    "In which unit is the rate?",
                ),
                Slip((there - 2 * math.pi * allowed) / given.radius_mm, "In which unit is the rate?"),
                Slip((there + allowed) / given.radius_mm, "Which way does the counterweight pull?"),
                Slip(
                    (there - given.grade * (given.both_g / 2 + given.bearing_g) / rate) / given.radius_mm,
                    "Of which mass does the grade speak: of the disc's, or of all that turns?",
                ),
                Slip(allowed / given.radius_mm, "Is that what may stay, or what must go?"),
                Slip(there - allowed, "How far from the axis does the counterweight sit?"),
                Slip(
                    (there - given.grade * given.turning_g * rate) / given.radius_mm,
                    "How does what is allowed go with the rate?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        rate = given.turns_per_minute * 2 * math.pi / 60
        there, allowed = (
            (given.both_g / 2 + given.bearing_g) * given.eccentricity_mm,
            given.grade * given.turning_g / rate,
        )
        return (
            f"Two discs of {given.both_g:g} g together, bearing {given.bearing_g:g} g, eccentricity "
            f"{given.eccentricity_mm:g} mm: one disc leaves ({given.both_g / 2:g} + {given.bearing_g:g}) · "
            f"{given.eccentricity_mm:g} = {there:.2f} g mm. At {given.turns_per_minute:g} turns a minute the rate is "
            f"{rate:.2f} 1/s, and G {given.grade:g} allows {given.grade:g} · {given.turning_g:g}/{rate:.2f} = "
            f"{allowed:.2f} g mm. The rest, {there - allowed:.2f} g mm, is the counterweight's: at "
            f"{given.radius_mm:g} mm that makes {(there - allowed) / given.radius_mm:.3f} g."
        )


class Apart(Task):
    letter = "e"
    title = "Taken apart"
    marks = 2
    text = (
        "Of an old drive you have only its {words} discs, which stood evenly phased on the crank and had one lobe "
        "fewer than the ring had pins. You lay the second on the first, hole on hole, just as they were on their "
        "output rollers, and measure: its outline sits {degrees:g}° round from the first one's, which is the smallest "
        "angle that does. How many **pins** had the ring? (A whole number.)"
    )
    names = ("e_pins",)
    other_words = (
        "By which share of a turn does the second disc's crank run ahead? By which share of a lobe pitch is "
        "the disc turned there? So how long is a lobe pitch?"
    )
    place = 'Lesson 6, "A puzzle: one part or two?", before the guess.'

    def numbers(self, draw: Draw) -> Given:
        discs, lobes = draw.one_of((2, 3)), draw.whole(9, 45)
        return Given(discs=discs, words={2: "two", 3: "three"}[discs], degrees=round(360 / (discs * lobes), 4))

    def question(self, given: Given) -> NumberQuestion:
        lobes = round(360 / (given.discs * given.degrees))
        return NumberQuestion(
            right=lobes + 1,
            unit="",
            tolerance=0,
            look='Which share of a lobe pitch is that? Lesson 6, "A puzzle: one part or two?".',
            slips=(
                Slip(lobes, "Does that number count pins, or lobes?"),
                Slip(lobes - 1, "Has the ring fewer pins than the disc has lobes, or more?"),
                Slip(given.discs * lobes + 1, "How would a disc look that is turned by a whole lobe pitch?"),
                Slip(
                    given.discs * lobes,
                    "How would a disc look that is turned by a whole lobe pitch, and what do you count?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        lobes, share = round(360 / (given.discs * given.degrees)), {2: "half", 3: "a third of"}[given.discs]
        return (
            f"{given.words.capitalize()} discs, {given.degrees:g}°. The second disc's crank is {share} a turn ahead, "
            f"and there the disc has turned by {share} a lobe pitch. So a whole lobe pitch is "
            f"{given.discs * given.degrees:g}°, there are {360 / (given.discs * given.degrees):.3f}, which is {lobes} "
            f"lobes, and {lobes + 1} pins."
        )


ROUND, OVER, TWO = "a", "b", "c"
PLACES = {
    Fraction(0): "just in line with a root",
    Fraction(1, 4): "a quarter of a lobe pitch past a root",
    Fraction(1, 2): "just in line with a lobe's tip",
}


def _file_right(pins: int, rollers: int, place: str) -> str:
    """The letter, by trying out every number of hole pitches in exact fractions of a lobe."""
    share = next(share for share, words in PLACES.items() if words == place)
    moved = [h * Fraction(pins - 1, rollers) + Fraction(1, 2) for h in range(rollers)]
    if any(way.denominator == 1 for way in moved):
        return ROUND
    return OVER if any((way + 2 * share).denominator == 1 for way in moved) else TWO


class File(Task):
    letter = "f"
    title = "One file or two"
    marks = 3
    text = (
        "A drive has {pins} pins, a disc with one lobe fewer, and {rollers} output rollers. Seen from the disc's "
        "centre, one of the output holes lies {place}. A second disc goes on half a crank turn ahead. Is it "
        '`"a"` the same part, turned round by some hole pitches, `"b"` the same part, but only if it is turned over, '
        'or `"c"` another part? Choose a letter, and say why in a sentence or two.'
    )
    names = ("f_letter", "f_reason")
    other_words = (
        "The second disc needs its lobes half a lobe pitch round from where the first has them, and its holes where "
        "the first has them. Turn the first disc by one hole pitch after the other: where do its lobes come? Then "
        "turn it over: where does a hole come?"
    )
    place = 'Lesson 6, "A puzzle: one part or two?".'

    def numbers(self, draw: Draw) -> Given:
        kind = draw.one_of((ROUND, OVER, TWO))
        rollers = draw.whole(4, 12)
        place = draw.one_of([words for share, words in PLACES.items() if kind != OVER or share == Fraction(1, 4)])
        fits = [pins for pins in range(10, 42) if _file_right(pins, rollers, place) == kind]
        if not fits:  # with these rollers or holes that never comes out: take some with which it always does
            rollers, place = {ROUND: (8, place), OVER: (5, place), TWO: (5, PLACES[Fraction(0)])}[kind]
            fits = [pins for pins in range(10, 42) if _file_right(pins, rollers, place) == kind]
        return Given(pins=draw.one_of(fits), rollers=rollers, place=place)

    def question(self, given: Given) -> ChoiceQuestion:
        looks = {
            ROUND: "By which shares of a lobe pitch do the lobes move when the disc is turned by hole pitches?",
            OVER: "Where does a hole lie once the disc is turned over? And if that serves, is it the only way?",
            TWO: "Have you tried both ways: turned by hole pitches, and turned over?",
        }
        right = _file_right(given.pins, given.rollers, given.place)
        return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)

    def worked(self, given: Given) -> str:
        lobes, letter = given.pins - 1, _file_right(given.pins, given.rollers, given.place)
        share = next(share for share, words in PLACES.items() if words == given.place)
        moved = [h * Fraction(lobes, given.rollers) % 1 for h in range(given.rollers)]
        start = (
            f"{lobes} lobes, {given.rollers} holes, one {given.place}. Turned by 0, 1, 2, ... hole pitches, the lobes "
            f"move by {', '.join(map(str, moved))} of a pitch. "
        )
        if letter == ROUND:
            return start + f'A half is among them, after {moved.index(Fraction(1, 2))} hole pitches: `"{letter}"`.'
        start += "No half is among them. "
        if letter == OVER:
            return start + (
                f"Turned over, a hole comes from {share} past a root to {share} before it, and is needed half a pitch "
                f"from "
                f'where it was: just there. `"{letter}"`.'
            )
        where = "in line with a root again" if share == 0 else "in line with a tip again"
        return start + f'Turned over, the hole is {where}, so that helps no more than turning round: `"{letter}"`.'


TASKS = (Hole(), Place(), Rocks(), Weight(), Apart(), File())
