"""Sheet 7: how pins share a load, and what the eccentric's bearing carries. It goes with lesson 7."""

import math

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task

TITLE = "Who carries the load"


class Books(Task):
    letter = "a"
    title = "The formula in the books"
    marks = 3
    text = (
        "A drive has {pins} pins on a circle of {circle_mm:g} mm radius, a disc with one lobe fewer, and an "
        "eccentricity of {eccentricity_mm:g} mm. Its output carries {torque_n_m:g} N m. It has two discs, but they "
        "don't share evenly: the first carries {percent} % of the torque. How hard, in **newtons**, does the "
        "hardest-pressed pin push on the **first** disc, by the formula of the books?"
    )
    names = ("a_push_newton",)
    other_words = (
        "Which torque does the formula want, and in which unit? Which arm has a pin at the best place? How many pins "
        "share, and what does the mean make of their arms?"
    )
    place = 'Lesson 7, "From two springs to twenty", under the figure of the pushes.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive(12, 40)
        return Given(
            pins=drive.pins,
            circle_mm=drive.pin_circle_radius,
            eccentricity_mm=drive.eccentricity,
            torque_n_m=draw.stepped(1.5, 12, 0.1),
            percent=draw.one_of((53, 54, 56, 57, 58, 61, 62, 63, 64)),
        )

    def question(self, given: Given) -> NumberQuestion:
        pins, lobes, e = given.pins, given.pins - 1, given.eccentricity_mm
        whole = 1000 * given.torque_n_m
        first = whole * given.percent / 100
        return NumberQuestion(
            right=4 * first / (e * lobes * pins),
            unit="N",
            tolerance=0.002,
            look='Which torque, which arm, how many pins? Lesson 7, "From two springs to twenty".',
            slips=(
                Slip(4 * whole / (e * lobes * pins), "Is that the torque of the output, or of the first disc?"),
                Slip(4 * whole / 2 / (e * lobes * pins), "Do the two discs share evenly?"),
                Slip(4 * (whole - first) / (e * lobes * pins), "Which of the two discs is asked for?"),
                Slip(4 * first / 1000 / (e * lobes * pins), "In which unit does the torque go with lengths in mm?"),
                Slip(4 * first / (given.circle_mm * pins), "Is the pin circle's radius a lever arm about the disc?"),
                Slip(4 * first / (e * pins * pins), "Is the arm counted with the pins, or with the lobes?"),
                Slip(first / (e * lobes), "How many pins share it?"),
                Slip(2 * first / (e * lobes * pins), "Have all pins that push the longest arm?"),
                Slip(first / (e * lobes * pins), "How many pins can push, and has each of them the longest arm?"),
            ),
        )

    def worked(self, given: Given) -> str:
        first = 1000 * given.torque_n_m * given.percent / 100
        arm = given.eccentricity_mm * (given.pins - 1)
        return (
            f"{given.pins} pins, eccentricity {given.eccentricity_mm:g} mm, {given.torque_n_m:g} N m, of which the "
            f"first disc carries {given.percent} %: {first:.6g} N mm. The longest arm is {given.eccentricity_mm:g} · "
            f"{given.pins - 1} = {arm:.6g} mm, so $F = 4 \\cdot {first:.6g}/({arm:.6g} \\cdot {given.pins})$ = "
            f"{4 * first / (arm * given.pins):.4g} N. The pin circle's radius isn't needed."
        )


class Arm(Task):
    letter = "b"
    title = "An arm for every pin"
    marks = 4
    text = (
        "A drive has {pins} pins on a circle of {circle_mm:g} mm radius, a disc with one lobe fewer, and an "
        "eccentricity of {eccentricity_mm:g} mm. The load pushes the disc round **counter-clockwise**. Write a "
        "function that takes the `angle` of a pin in radians, seen from the ring's centre, counted counter-clockwise "
        "from the direction of the pitch point, and returns its lever arm about the disc's centre in mm, and 0 for a "
        "pin that can't push. It will be tried on angles that you don't see, of any sign and size."
    )
    names = ("b_arm_mm",)
    other_words = (
        "Through which two points does the line run along which the pin pushes? How far does that line pass from the "
        "disc's centre, and on which side of it?"
    )
    place = 'Lesson 7, "Whose arm is how long", from the figure on.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive(9, 30)
        return Given(pins=drive.pins, circle_mm=drive.pin_circle_radius, eccentricity_mm=drive.eccentricity)

    def question(self, given: Given) -> FunctionQuestion:
        pins, e, circle = given.pins, given.eccentricity_mm, given.circle_mm
        longest, ratio = e * (pins - 1), e * pins / circle

        def arm(angle: float, most: float = longest, short: float = ratio) -> float:
            """Of either sign."""
            return most * math.sin(angle) / math.sqrt(1 + short**2 - 2 * short * math.cos(angle))

        return FunctionQuestion(
            right=lambda angle: max(arm(angle), 0.0),
            tries=((0.7,), (2.1,), (-1.0,), (4.4,), (7.5,), (1.5,)),
            wanted="an arm in mm",
            tolerance=0.001,
            look="How far from the disc's centre does the pin's line pass? Lesson 7, \"Whose arm is how long\".",
            slips=(
                Slip(arm, "Which pins can't push?"),
                Slip(lambda angle: abs(arm(angle)), "Can pins on both sides of the crank's line hold that load?"),
                Slip(lambda angle: max(-arm(angle), 0.0), "On which side of the crank's line do pins hold that load?"),
                Slip(lambda angle: max(arm(angle, e * pins), 0.0), "About which centre is that arm?"),
                Slip(lambda angle: max(arm(angle, circle), 0.0), "How far is the pitch point from the disc's centre?"),
                Slip(lambda angle: max(longest * math.sin(angle), 0.0), "Does the pin's line run along its radius?"),
                Slip(lambda angle: max(circle * math.sin(angle), 0.0), "Along which line does the pin push?"),
                Slip(lambda angle: max(arm(angle, longest, -ratio), 0.0), "On which side of the ring is phi zero?"),
                Slip(lambda angle: max(arm(angle, longest, longest / circle), 0.0), "What is the trochoid ratio?"),
                Slip(lambda angle: max(arm(angle, longest, e / circle), 0.0), "What is the trochoid ratio?"),
                Slip(lambda angle: max(arm(math.radians(angle)), 0.0), "In which unit does the angle come in?"),
                Slip(lambda angle: max(arm(angle) / circle, 0.0), "Has the result the unit of a length?"),
            ),
        )

    def worked(self, given: Given) -> str:
        longest, ratio = given.eccentricity_mm * (given.pins - 1), given.eccentricity_mm * given.pins / given.circle_mm
        return (
            f"{given.pins} pins on {given.circle_mm:g} mm, eccentricity {given.eccentricity_mm:g} mm: the longest arm "
            f"is {longest:.6g} mm, the trochoid ratio {ratio:.6g}. So `arm = {longest:.6g} * np.sin(angle) / "
            f"np.sqrt(1 + {ratio:.6g}**2 - 2 * {ratio:.6g} * np.cos(angle))`. A pin with an arm below 0 would have to "
            "pull: end with `return max(arm, 0.0)`."
        )


class Gap(Task):
    letter = "c"
    title = "Two posts and a gap"
    marks = 4
    text = (
        "A stiff lever is pressed against two posts with the torque $T$. The near post is $a$ from the pivot and has "
        "the stiffness $k$; the far one is ${times:g}\\,a$ from it and has the stiffness ${stiff:g}\\,k$. Before "
        "anything turns, the lever touches the {touching} post, and the {away} one stands $g$ away from it. The "
        "torque is so large that in the end **both** push. How hard does the **{asked}** post push? Give a SymPy "
        "expression in `T`, `k`, `a` and `g` (in one set of units, so that no factors come in)."
    )
    names = ("c_push",)
    other_words = (
        "Turn the lever by a small angle. How far is each post pressed in then? What does each push with, and at "
        "which arm? For which angle is the torque held?"
    )
    place = 'Lesson 7, "As made", where the lever comes back; "Two springs" for SymPy\'s part.'

    def numbers(self, draw: Draw) -> Given:
        touching, away = draw.one_of((("near", "far"), ("far", "near")))
        return Given(
            times=draw.stepped(1.5, 4, 0.25),
            stiff=draw.one_of((0.4, 0.5, 0.6, 0.8, 1.25, 1.5, 1.6, 2.5, 3)),
            touching=touching,
            away=away,
            asked=draw.one_of(("near", "far")),
        )

    def question(self, given: Given) -> ExpressionQuestion:
        T, a, g = sp.symbols("T a g", positive=True)
        gap = (g, 0) if given.away == "near" else (0, g)
        right = _push(given, gap, given.asked)
        other = {"near": "far", "far": "near"}[given.asked]
        alone = T / (a if given.asked == "near" else _exact(given.times) * a)
        same = Given(**{**vars(given), "stiff": 1})
        return ExpressionQuestion(
            right=right,
            ranges={"T": (1000, 3000), "k": (500, 2000), "a": (8, 20), "g": (0.01, 0.05)},
            look='How far is each post pressed in, and what do both hold together? Lesson 7, "As made".',
            slips=(
                Slip(_push(given, gap, other), "Which of the two posts is asked for?"),
                Slip(_push(given, (0, 0), given.asked), "Does it make no difference how far away a post stands?"),
                Slip(_push(given, gap[::-1], given.asked), "Which of the two posts is touched at first?"),
                Slip(_push(given, (-gap[0], -gap[1]), given.asked), "Is a post that stands away pressed in farther?"),
                Slip(_push(same, gap, given.asked), "Are both posts as stiff?"),
                Slip(alone, "Does that post hold the torque alone?"),
                Slip(alone / 2, "Does each of the two hold the same part of the torque?"),
                Slip(_push(given, gap, given.asked, arms=1), "What do the posts hold together: forces, or moments?"),
            ),
        )

    def worked(self, given: Given) -> str:
        n, s = f"{given.times:g}", f"{given.stiff:g}"
        near, far = ("(a*d - g)", f"{n}*a*d") if given.away == "near" else ("a*d", f"({n}*a*d - g)")
        wanted = f"k*{near}" if given.asked == "near" else f"{s}*k*{far}"
        return (
            f"Far post at {n} a with {s} k, gap at the {given.away} post; asked for is the {given.asked} one. Turned "
            f"by `d`, the near post pushes with `k*{near}` and the far one with `{s}*k*{far}`. Together they hold "
            f"`turn = sp.solve(sp.Eq(k*{near}*a + {s}*k*{far}*{n}*a, T), d)[0]`, and the push is "
            f"`({wanted}).subs(d, turn)`."
        )


def _exact(value: float) -> sp.Rational:
    return sp.Rational(str(value))


def _push(given: Given, gaps: tuple[sp.Expr, sp.Expr], asked: str, arms: int = 2) -> sp.Expr:
    """Push of one of the posts; with `arms` 1 the sum of their forces, times a, is taken for the torque."""
    T, k, a = sp.symbols("T k a", positive=True)
    times, share = _exact(given.times), _exact(given.stiff)
    counts = times ** (arms - 1)  # how often the far post's push counts in the torque
    turn = (T + k * a * (gaps[0] + share * counts * gaps[1])) / (k * a**2 * (1 + share * counts * times))
    near, far = k * (a * turn - gaps[0]), share * k * (times * a * turn - gaps[1])
    return sp.expand(near if asked == "near" else far)


class Hardest(Task):
    letter = "d"
    title = "What the mean leaves out"
    marks = 4
    text = (
        "A small drive has {pins} pins on a circle of {circle_mm:g} mm radius, pin 0 in the direction from which the "
        "crank angle is counted and the others evenly counter-clockwise, a disc with one lobe fewer, and an "
        "eccentricity of {eccentricity_mm:g} mm. Its output carries {torque_n_m:g} N m, of which the first of two "
        "discs holds just half, and pushes that disc round counter-clockwise. All pins are alike, none has a gap. The "
        "first disc's crank stands at **{crank_deg}°**. How hard, in **newtons**, does the hardest-pressed pin really "
        "push on it?"
    )
    names = ("d_push_newton",)
    other_words = (
        "List all pins by their angles from the pitch point, which is where the crank points. Which can push, and "
        "with which arms? What does each of them get?"
    )
    place = 'Lesson 7, "Whose arm is how long" for the arms, "From two springs to twenty" for the shares.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive(6, 9)
        return Given(
            pins=drive.pins,
            circle_mm=drive.pin_circle_radius,
            eccentricity_mm=drive.eccentricity,
            torque_n_m=draw.stepped(1.5, 8, 0.1),
            crank_deg=draw.whole(5, 355),
        )

    def question(self, given: Given) -> NumberQuestion:
        torque = 1000 * given.torque_n_m / 2
        arms = _arms(given, given.crank_deg)
        held = [max(arm, 0.0) for arm in arms]
        right = _most(torque, held)
        behind = [max(-arm, 0.0) for arm in arms]
        at_start = [max(arm, 0.0) for arm in _arms(given, 0)]
        sines = [max(math.sin(angle), 0.0) * given.circle_mm for angle in _angles(given, given.crank_deg)]
        return NumberQuestion(
            right=right,
            unit="N",
            tolerance=0.001,
            look='Which pins push, and with which arms? Lesson 7, "From two springs to twenty".',
            slips=(
                Slip(2 * right, "Is that the torque of one disc, or of both?"),
                Slip(right / 1000, "In which unit does the torque go with lengths in mm?"),
                Slip(
                    4 * torque / (given.eccentricity_mm * (given.pins - 1) * given.pins),
                    "Is that a mean over all crank angles, or what stands there at this one?",
                ),
                Slip(_most(torque, list(map(abs, arms))), "Do all pins push?"),
                Slip(_most(torque, behind), "On which side of the crank's line do pins hold that load?"),
                Slip(_most(torque, at_start), "Where does the crank stand?"),
                Slip(_most(torque, sines), "Along which line does a pin push?"),
                Slip(torque / sum(held), "Do all pins that push do so equally hard?"),
                Slip(torque / max(held), "Does one pin carry the disc alone?"),
                Slip(torque * sum(held) / sum(arm**2 for arm in held), "Is that one pin, or all of them together?"),
            ),
        )

    def worked(self, given: Given) -> str:
        torque, arms = 1000 * given.torque_n_m / 2, _arms(given, given.crank_deg)
        listed = ", ".join(f"{arm:.3f}" for arm in arms)
        held = [arm for arm in arms if arm > 0]
        squares = sum(arm**2 for arm in held)
        return (
            f"{given.pins} pins on {given.circle_mm:g} mm, eccentricity {given.eccentricity_mm:g} mm, crank at "
            f"{given.crank_deg}°, {torque:.6g} N mm on the disc. Pin $i$ is $360 i/{given.pins} - {given.crank_deg}$ "
            f"degrees from the pitch point. The arms of pins 0, 1, ... are {listed} mm; those above 0 push, and their "
            f"squares sum to {squares:.2f} mm². The longest of them gets {torque:.6g} · {max(held):.3f}/{squares:.2f} "
            f"= {torque * max(held) / squares:.4g} N."
        )


def _angles(given: Given, crank_deg: float) -> list[float]:
    """Of all pins from the pitch point [rad]."""
    return [2 * math.pi * pin / given.pins - math.radians(crank_deg) for pin in range(given.pins)]


def _arms(given: Given, crank_deg: float) -> list[float]:
    """Lever arms of all pins about the disc's centre [mm], below 0 for those that can't push."""
    ratio = given.eccentricity_mm * given.pins / given.circle_mm
    return [
        given.eccentricity_mm
        * (given.pins - 1)
        * math.sin(angle)
        / math.sqrt(1 + ratio**2 - 2 * ratio * math.cos(angle))
        for angle in _angles(given, crank_deg)
    ]


def _most(torque: float, arms: list[float]) -> float:
    """Hardest push where these arms hold a torque."""
    return torque * max(arms) / sum(arm**2 for arm in arms)


class Bearing(Task):
    letter = "e"
    title = "An eccentricity for a bearing"
    marks = 3
    text = (
        "You design a drive with {pins} pins, discs with one lobe fewer, and {discs} of them, which share evenly. The "
        "output is to carry {torque_n_m:g} N m. The bearings that you have for the eccentrics are to take at most "
        "{force_n:g} N each **across** the crank. How small may the eccentricity be, in **mm**? Give that limit "
        "itself to four figures, not rounded up to be safe. (Whether such a shape is sound, lesson 5 tells. Before a "
        "drive is loaded, the loaded arm is guarded and out of everybody's way; local rules come first.)"
    )
    names = ("e_eccentricity_mm",)
    other_words = (
        "Through which point do all pins push? At which arm does that hold the torque of a disc? And who holds "
        "against it across the crank?"
    )
    place = 'Lesson 7, "Why the eccentric\'s bearing suffers", after the sum.'

    def numbers(self, draw: Draw) -> Given:
        pins, discs = draw.whole(10, 36), draw.one_of((2, 3))
        torque, near = draw.stepped(3, 20, 0.1), draw.stepped(0.8, 2.6, 0.05)
        force = 5 * round(1000 * torque / (discs * (pins - 1) * near) / 5)
        return Given(pins=pins, discs=discs, torque_n_m=torque, force_n=force)

    def question(self, given: Given) -> NumberQuestion:
        torque, lobes = 1000 * given.torque_n_m / given.discs, given.pins - 1
        return NumberQuestion(
            right=torque / (lobes * given.force_n),
            unit="mm",
            tolerance=0.001,
            look='At which arm do the pins hold the torque? Lesson 7, "Why the eccentric\'s bearing suffers".',
            slips=(
                Slip(given.discs * torque / (lobes * given.force_n), "Is that the torque of one disc, or of all?"),
                Slip(torque / given.discs / (lobes * given.force_n), "How often is the torque shared out?"),
                Slip(torque / 1000 / (lobes * given.force_n), "In which unit does the torque go with newtons and mm?"),
                Slip(torque / (given.pins * given.force_n), "Is the arm counted with the pins, or with the lobes?"),
                Slip(torque / ((given.pins + 1) * given.force_n), "How many lobes has such a disc?"),
                Slip(torque / given.force_n, "Is that the eccentricity, or the arm that goes with it?"),
                Slip(4 * torque / (lobes * given.pins * given.force_n), "Is that a pin's push, or the bearing's?"),
            ),
        )

    def worked(self, given: Given) -> str:
        torque, lobes = 1000 * given.torque_n_m / given.discs, given.pins - 1
        return (
            f"{given.pins} pins, {given.discs} discs, {given.torque_n_m:g} N m, {given.force_n:g} N. One disc holds "
            f"{torque:.6g} N mm. Its pins push through the pitch point, {lobes} e from its centre, and the bearing "
            f"holds against them across the crank: {torque:.6g}/({lobes} e) is to be {given.force_n:g} N. So e is "
            f"{torque:.6g}/({lobes} · {given.force_n:g}) = {torque / (lobes * given.force_n):.4g} mm."
        )


MORE, LESS, SAME = "a", "b", "c"
STIFF, TORQUE = (0.8, 1.25, 2), (0.8, 1.25, 1.5, 2)  # how many times what they were


def _letter(given: Given) -> str:
    """By gap times stiffness over torque, the only thing that counts."""
    change = given.gap * given.stiff / given.torque
    return SAME if math.isclose(change, 1) else MORE if change > 1 else LESS


class Share(Task):
    letter = "f"
    title = "A redesign"
    marks = 2
    text = (
        "A drive with one disc runs with the same gap at every ring pin, and several pins push, though not all that "
        "could. Its pins are alike. Then it is redesigned: the pins become **{stiff:g}** times as stiff as they were, "
        "the torque becomes **{torque:g}** times what it was, and the gap **{gap:g}** times. (Still several pins push, "
        "and not all.) At one crank angle, compare the **share** of the hardest-pressed pin: its push divided by the "
        'torque. Does that share `"a"` grow, `"b"` shrink, or `"c"` stay as it is? Choose a letter, and say why in '
        "a sentence or two."
    )
    names = ("f_letter", "f_reason")
    other_words = (
        "How far would a pin give way if nothing had a gap? Before and after: is the gap long or short compared with "
        "that?"
    )
    place = 'Lesson 7, "As made".'

    def numbers(self, draw: Draw) -> Given:
        letter, stiff, torque = draw.one_of((MORE, LESS, SAME)), draw.one_of(STIFF), draw.one_of(TORQUE)
        shares = {MORE: (1.25, 1.5, 2), LESS: (0.5, 0.6, 0.8), SAME: (1,)}
        return Given(stiff=stiff, torque=torque, gap=round(draw.one_of(shares[letter]) * torque / stiff, 6))

    def question(self, given: Given) -> ChoiceQuestion:
        looks = {
            MORE: "Is the gap now longer or shorter, counted in what a pin gives way?",
            LESS: "Is the gap now longer or shorter, counted in what a pin gives way?",
            SAME: "Have you put all three changes together?",
        }
        right = _letter(given)
        return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)

    def worked(self, given: Given) -> str:
        letter, way = _letter(given), given.torque / given.stiff
        ends = {
            MORE: "The gap has grown by more than that, so fewer pins are reached and the hardest gets a larger share",
            LESS: "The gap has grown by less than that, so more pins are reached and the hardest gets a smaller share",
            SAME: "So has the gap: the same picture, only with other forces, and the share stays",
        }
        return (
            f"Stiffness {given.stiff:g}, torque {given.torque:g}, gap {given.gap:g} times what they were. What pins "
            f"give way goes with torque over stiffness, so it becomes {given.torque:g}/{given.stiff:g} = {way:g} times "
            f'what it was. {ends[letter]}: `"{letter}"`.'
        )


TASKS = (Books(), Arm(), Gap(), Hardest(), Bearing(), Share())
