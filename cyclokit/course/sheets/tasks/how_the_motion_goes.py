"""Sheet 4: which way, how fast, and about which point. It goes with lesson 4."""

import cmath
import math

import sympy as sp

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task
from cyclokit.drive import Drive
from cyclokit.geometry import limits, motion, outline

TITLE = "How the motion goes"


class Both(Task):
    letter = "a"
    title = "Nothing held"
    marks = 3
    text = (
        "A drive with {pins} pins and one lobe fewer has two motors: one turns the crank at {crank_rpm:+g} turns a "
        "minute, the other turns the **ring** at {ring_rpm:+g}. Plus is counter-clockwise and minus clockwise, seen "
        "by somebody who stands beside the machine. How fast does the disc turn, seen by the same person, in turns a "
        "minute?"
    )
    names = ("a_disc_rpm",)
    other_words = "Sit on the crank. How fast does the ring go round, seen from there? And the disc? Then get up again."
    place = 'Lesson 4, "Which way, how fast": the equation, before anything in it is set to nothing.'

    def numbers(self, draw: Draw) -> Given:
        way = draw.one_of((1, -1))  # of the crank; the ring goes the other way
        return Given(
            pins=draw.whole(8, 24),
            crank_rpm=way * draw.stepped(310, 900, 10),
            ring_rpm=-way * draw.stepped(3, 12, 0.25),
        )

    def question(self, given: Given) -> NumberQuestion:
        def disc(by_ring: float, by_crank: float) -> float:
            """What the ring's turn and what the crank's give, added up."""
            return given.ring_rpm * by_ring + given.crank_rpm * by_crank

        lobes = given.pins - 1
        right = disc(given.pins / lobes, -1 / lobes)
        return NumberQuestion(
            right=right,
            unit="turns a minute",
            tolerance=0.001,
            look='How fast are ring and disc, seen from the crank? Lesson 4, "Which way, how fast".',
            slips=(
                Slip(disc(given.pins / lobes, 1 / lobes), "Which way does the disc go while the ring is held?"),
                Slip(-right, "Which way do the two rims move where they touch?"),
                Slip(disc(0, -1 / lobes), "Does the ring stand still?"),
                Slip(disc(given.pins / lobes, 0), "Does the crank stand still?"),
                Slip(
                    disc(-1 / lobes, given.pins / lobes),
                    "Which ratio goes with the ring held, and which with the crank held?",
                ),
                Slip(
                    disc(given.pins / lobes, 1 / given.pins),
                    "Whose turn is that with the disc held: the disc's, or the ring's?",
                ),
                Slip(disc(1, -1 / lobes), "What does the disc do while the crank is held and the ring turns?"),
                Slip(disc(lobes / given.pins, 1 / given.pins), "Who is the unknown in the equation, disc or ring?"),
                Slip(
                    disc(given.pins / lobes, -given.pins / lobes),
                    "Who sees that: somebody on the crank, or beside the machine?",
                ),
                Slip(disc((given.pins + 1) / given.pins, -1 / given.pins), "How many lobes has the disc?"),
            ),
        )

    def worked(self, given: Given) -> str:
        seen = given.ring_rpm - given.crank_rpm
        return (
            f"{given.pins} pins, crank {given.crank_rpm:+g}, ring {given.ring_rpm:+g} turns a minute. Seen from the "
            f"crank the ring turns at {given.ring_rpm:+g} - ({given.crank_rpm:+g}) = {seen:+g}. Where the pitch "
            f"circles touch, the disc's is as fast as the ring's, and it is the shorter one: {seen:+g} · "
            f"{given.pins}/{given.pins - 1} = {seen * given.pins / (given.pins - 1):+.3f}. Seen "
            "from beside the machine the crank's own turn comes back on top: "
            f"{seen * given.pins / (given.pins - 1) + given.crank_rpm:+.3f}."
        )


class Rate(Task):
    letter = "b"
    title = "A roller's rate"
    marks = 4
    text = (
        "The ring of a drive with {pins} pins is held, and the crank turns counter-clockwise at {crank_rate} rad/s. "
        r"At some moment the angle between the crank and the direction of one pin is $\varphi$, seen from the ring's "
        "centre. The pin carries a free roller that rolls on the disc without slip. At which rate does the roller "
        "turn, seen from the ring, in rad/s, counter-clockwise positive? Give a SymPy expression in `Rp`, `e`, `r` "
        "(the roller's radius) and `phi`, in any form. These four are SymPy's symbols from the next cell; keep their "
        "names for them."
    )
    names = ("b_roller_rate",)
    other_words = (
        "Draw ring centre, pitch point and pin: two sides of a triangle and the angle between them are known, and the "
        "law of cosines gives the third. From that you have the speed of the disc's edge, and from the speed the "
        "roller's rate."
    )
    place = 'Lesson 4, "Sliding and rolling"; where the pitch point is: "The point that stands still".'

    def numbers(self, draw: Draw) -> Given:
        return Given(pins=draw.whole(9, 32), crank_rate=draw.whole(2, 9))

    def question(self, given: Given) -> ExpressionQuestion:
        Rp, e, r, phi = sp.symbols("R_p e r phi", positive=True)

        def rolling(pitch_radius: sp.Expr, cosine: sp.Expr, turns: sp.Expr) -> sp.Expr:
            """Rate of a roller a distance from the pitch point, for so much disc rate."""
            distance = sp.sqrt(Rp**2 + pitch_radius**2 - 2 * Rp * pitch_radius * cosine)
            return turns * (distance - r) / r

        disc = sp.Rational(given.crank_rate, given.pins - 1)
        right = rolling(e * given.pins, sp.cos(phi), disc)
        return ExpressionQuestion(
            right=right,
            ranges={"R_p": (30, 60), "e": (0.4, 0.8), "r": (2, 5), "phi": (0.3, 2.8)},
            look='How far is the contact from the pitch point, and how fast the edge? Lesson 4, "Sliding and rolling".',
            slips=(
                Slip(-right, "Which way does a roller turn, beside a disc that turns against the crank?"),
                Slip(
                    rolling(e * (given.pins - 1), sp.cos(phi), disc),
                    "How far is the pitch point from the ring's centre?",
                ),
                Slip(rolling(e, sp.cos(phi), disc), "About which point does the disc turn at that moment?"),
                Slip(rolling(e * given.pins, -sp.cos(phi), disc), "Which pin is nearest to the pitch point?"),
                Slip(right + disc, "Is that the contact, or the middle of the roller?"),
                Slip(right + 2 * disc, "On which side of the roller does the disc touch it?"),
                Slip(
                    rolling(e * given.pins, sp.cos(phi), sp.Rational(given.crank_rate, given.pins)),
                    "How fast does the disc turn?",
                ),
                Slip(
                    rolling(e * given.pins, sp.cos(phi), sp.Rational(1, given.pins - 1)),
                    "How fast does the crank turn here?",
                ),
                Slip(right * r, "Is that the speed of the edge, or the rate of the roller?"),
            ),
        )

    def worked(self, given: Given) -> str:
        return (
            f"{given.pins} pins, crank at {given.crank_rate} rad/s. The pitch point lies ${given.pins}e$ out along "
            f"the crank, so by the law "
            rf"of cosines it is $D = \sqrt{{R_p^2 + ({given.pins}e)^2 - {2 * given.pins}R_p\,e\cos\varphi}}$ from the "
            rf"pin. The disc turns at $-{given.crank_rate}/{given.pins - 1}$ rad/s about it, its edge is $D - r$ "
            rf"away, and the roller's surface moves with the edge, so that the roller turns the other way round, at "
            rf"${given.crank_rate}(D - r)/({given.pins - 1}r)$."
        )


class Witness(Task):
    letter = "c"
    title = "A witness mark"
    marks = 4
    text = (
        "A drive has {pins} pins, an eccentricity of {eccentricity_mm:g} mm and the ring held. At crank angle 0 the "
        "crank points along +x, the disc's angle is 0 too, and a witness mark on the disc is {mark_x_mm:g} mm to the "
        "right of the **disc's** centre and {mark_y_mm:g} mm above it. The crank turns counter-clockwise at 1 rad/s. "
        "Write a function that takes the crank angle `crank` (in radians) and returns the mark's velocity as the ring "
        "sees it: its x and its y part, in mm/s. It will be tried on angles that you don't see."
    )
    names = ("c_velocity_mm_s",)
    other_words = (
        "Where are the disc's centre, the mark and the pitch point at that crank angle? The mark moves at "
        "right angles to its arm from one of the other two, as fast as the disc's rate times the arm."
    )
    place = 'Lesson 4, "The point that stands still", and the box "Five minutes on quarter turns".'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive()
        return Given(
            pins=drive.pins,
            eccentricity_mm=drive.eccentricity,
            mark_x_mm=draw.stepped(6, 20, 0.5),
            mark_y_mm=draw.stepped(6, 20, 0.5),
        )

    def question(self, given: Given) -> FunctionQuestion:
        mark, disc_rate = complex(given.mark_x_mm, given.mark_y_mm), -1 / (given.pins - 1)

        def place(crank: float, turned: float = disc_rate) -> complex:
            return given.eccentricity_mm * cmath.exp(1j * crank) + mark * cmath.exp(1j * turned * crank)

        def moving(
            crank: float, disc: float = disc_rate, turned: float = disc_rate, out: float = given.pins
        ) -> complex:
            """Velocity of the mark about a point so many eccentricities out along the crank."""
            return 1j * disc * (place(crank, turned) - out * given.eccentricity_mm * cmath.exp(1j * crank))

        def both(velocity: complex) -> tuple[float, float]:
            return velocity.real, velocity.imag

        return FunctionQuestion(
            right=lambda c: both(moving(c)),
            tries=((0.8,), (2.7,), (-1.3,), (5.9,), (33.3,)),
            wanted="x and y in mm/s",
            tolerance=0.001,
            look='Where is the mark, and about which point does it turn? Lesson 4, "The point that stands still".',
            slips=(
                Slip(lambda c: both(-moving(c)), "Which way does the disc turn?"),
                Slip(
                    lambda c: both(moving(c, -disc_rate, -disc_rate)),
                    "Which way does the disc turn, against the crank?",
                ),
                Slip(lambda c: both(moving(c, turned=-disc_rate)), "Where has the disc's turn taken the mark?"),
                Slip(
                    lambda c: both(moving(c, turned=0)), "Does the mark stay in the same direction, seen from the ring?"
                ),
                Slip(lambda c: both(moving(c, out=given.pins - 1)), "From which centre is the pitch point that far?"),
                Slip(lambda c: both(moving(c, out=1)), "Does the disc's centre stand still at that moment?"),
                Slip(lambda c: both(moving(c) / 1j), "At which angle to its arm does a turning point move?"),
                Slip(lambda c: both(moving(c, -1 / given.pins, -1 / given.pins)), "How many lobes has the disc?"),
                Slip(
                    lambda c: both(1j * given.eccentricity_mm * cmath.exp(1j * c)),
                    "Is the mark in the middle of the disc?",
                ),
                Slip(lambda c: both(place(c)), "Is that where the mark is, or how fast it moves?"),
                Slip(lambda c: both(moving(c) * cmath.exp(-1j * disc_rate * c)), "Along whose x and y?"),
                Slip(lambda c: both(moving(c))[::-1], "Which of the two comes first?"),
                Slip(lambda c: both(moving(math.radians(c))), "In which unit does the angle come in?"),
            ),
        )

    def worked(self, given: Given) -> str:
        return (
            f"{given.pins} pins, eccentricity {given.eccentricity_mm:g} mm, mark {given.mark_x_mm:g} mm to the right "
            f"and {given.mark_y_mm:g} mm above, with complex numbers: `rate = -1 / {given.pins - 1}`, `out = "
            f"np.exp(1j * crank)`, the disc's centre `{given.eccentricity_mm:g} * out`, the mark "
            f"`{given.eccentricity_mm:g} * out + ({given.mark_x_mm:g} + {given.mark_y_mm:g}j) * np.exp(1j * rate * "
            f"crank)`, the pitch point `{given.pins} * {given.eccentricity_mm:g} * out`. The velocity is "
            "`1j * rate` times mark less pitch point; the function returns its `.real` and `.imag`."
        )


class Worn(Task):
    letter = "d"
    title = "How often a roller turns"
    marks = 3
    text = (
        "A drive with {pins} pins runs with the ring held. The disc's edge is {edge_mm:g} mm long; the rollers have a "
        "**diameter** of {diameter_mm:g} mm and roll without slip. The crank makes {crank_turns} turns. How many turns "
        "does one roller make on its pin, counted positive? A part of a turn counts too."
    )
    names = ("d_roller_turns",)
    other_words = (
        "What length of edge passes one roller while the disc goes round once? How often does the disc go "
        "round? And how much edge does one turn of the roller use up?"
    )
    place = 'Lesson 4, "Sliding and rolling": perimeter over once round the roller.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive()
        return Given(
            pins=drive.pins,
            edge_mm=round(outline.length(drive), 1),
            diameter_mm=2 * drive.roller_radius,
            crank_turns=draw.whole(50, 900),
        )

    def question(self, given: Given) -> NumberQuestion:
        around, disc_turns = math.pi * given.diameter_mm, given.crank_turns / (given.pins - 1)
        right = disc_turns * given.edge_mm / around
        return NumberQuestion(
            right=right,
            unit="turns",
            tolerance=0.004,
            look='Along which curve does a roller roll, and how often in that time? Lesson 4, "Sliding and rolling".',
            slips=(
                Slip(
                    disc_turns * (given.edge_mm / around + 1),
                    "Which length is that, the edge's or that of the roller's path? And does the pin itself go round?",
                ),
                Slip(-right, "Is a sign asked for?"),
                Slip(right / 2, "Is the length that is given a radius, or a diameter?"),
                Slip(given.edge_mm / around, "How often does the disc go round in that time?"),
                Slip(
                    given.crank_turns * given.edge_mm / around,
                    "Does the edge go by once in a turn of the crank, or of the disc?",
                ),
                Slip(right * (given.pins - 1) / given.pins, "How many crank turns make one turn of the disc?"),
                Slip(disc_turns * given.edge_mm / given.diameter_mm, "How long is once round a roller?"),
                Slip(given.crank_turns, "Does a roller turn with the crank?"),
            ),
        )

    def worked(self, given: Given) -> str:
        around, disc_turns = math.pi * given.diameter_mm, given.crank_turns / (given.pins - 1)
        return (
            f"{given.pins} pins, edge {given.edge_mm:g} mm, rollers of {given.diameter_mm:g} mm diameter, "
            f"{given.crank_turns} crank turns. Once "
            rf"round a roller is $\pi$ · {given.diameter_mm:g} = {around:.3f} mm, so it turns "
            rf"{given.edge_mm / around:.3f} times while "
            f"the disc turns once. The disc turns {given.crank_turns}/{given.pins - 1} = {disc_turns:.3f} times: "
            f"together {disc_turns * given.edge_mm / around:.2f} turns."
        )


NEARER, SAME, FARTHER = "a", "b", "c"
# what is built otherwise -> how much more: pins, radius of the pin circle, radius of the rollers, eccentricity
CHANGES = {
    "rollers 1 mm narrower across": (0, 0.0, -0.5, 0.0),
    "rollers 1 mm wider across": (0, 0.0, 0.5, 0.0),
    "a pin circle 4 mm wider across": (0, 2.0, 0.0, 0.0),
    "a pin circle 4 mm wider across and rollers 1 mm wider across": (0, 2.0, 0.5, 0.0),
    "two more pins": (2, 0.0, 0.0, 0.0),
    "a pin circle 4 mm wider across and two more pins": (2, 2.0, 0.0, 0.0),
    "two pins fewer": (-2, 0.0, 0.0, 0.0),
    "an eccentricity 0.2 mm less": (0, 0.0, 0.0, -0.2),
    "an eccentricity 0.2 mm less and rollers 1 mm wider across": (0, 0.0, 0.5, -0.2),
    "an eccentricity 0.2 mm less and two more pins": (2, 0.0, 0.0, -0.2),
}


def _changed(drive: Drive, change: str) -> Drive:
    """The drive as it is built anew."""
    pins, circle, roller, eccentricity = CHANGES[change]
    return Drive(
        drive.pins + pins,
        drive.pin_circle_radius + circle,
        drive.roller_radius + roller,
        drive.eccentricity + eccentricity,
    )


class Meeting(Task):
    letter = "e"
    title = "Where the normals meet"
    marks = 3
    text = (
        "In a drive with {drive.pins} pins on a circle of {drive.pin_circle_radius:g} mm radius, rollers of "
        "{drive.roller_radius:g} mm radius and an eccentricity of {drive.eccentricity:g} mm all contact normals meet "
        "in one point. Somebody builds it anew with {change}, all else as it was, and a disc that fits. Seen from the "
        "ring's "
        'centre, does the point where they meet now lie `"a"` nearer, `"b"` as far as before, `"c"` farther out? '
        "Choose a "
        "letter, and say in a sentence or two why they meet at all and why there."
    )
    names = ("e_letter", "e_reason")
    other_words = (
        "About which point does the disc turn at one moment? How far out is it? Which of the four numbers "
        "stand in that distance?"
    )
    place = 'Lesson 4, "Why all normals meet there", and "Where that point goes" for the distance.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive(12, 24)
        fitting = [change for change in sorted(CHANGES) if limits.check(_changed(drive, change)).sound]
        return Given(drive=drive, change=draw.one_of(fitting))

    def question(self, given: Given) -> ChoiceQuestion:
        looks = {
            NEARER: "Which numbers does the distance depend on, and which of them has changed?",
            SAME: "Which of the pitch circle's numbers has changed?",
            FARTHER: "Which numbers does the distance depend on, and how did they change?",
        }
        farther = motion.ring_pitch_radius(_changed(given.drive, given.change)) - motion.ring_pitch_radius(given.drive)
        right = SAME if abs(farther) < 1e-9 else FARTHER if farther > 0 else NEARER  # rounding
        return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)

    def worked(self, given: Given) -> str:
        anew, letter = _changed(given.drive, given.change), self.question(given).right
        out, out_anew = (
            f"{d.pins} · {d.eccentricity:.4g} = {motion.ring_pitch_radius(d):.4g} mm" for d in (given.drive, anew)
        )
        where = {NEARER: "nearer", SAME: "as far as before", FARTHER: "farther out"}[letter]
        return (
            f"{given.drive.pins} pins and an eccentricity of {given.drive.eccentricity:g} mm, built anew with "
            f"{given.change}. At a "
            "contact the disc can only slide along the roller, and it turns about the pitch point; so every normal "
            "passes "
            f"through that. It lies $Ne$ from the ring's centre, {out} out, and in the other drive {out_anew}: "
            f"{where}, "
            f'`"{letter}"`.'
        )


class Order(Task):
    letter = "f"
    title = "A pitch circle to order"
    marks = 3
    text = (
        "You design a drive for a plant laboratory's turntable (invented, like all on this sheet). The pin circle is "
        "to have a **diameter** of {diameter_mm:g} mm, and the ring's pitch circle {percent} % of that. {crank_turns} "
        "crank turns must make one turn of the output, and the output must turn **{way}**. You may hold the ring, or "
        "keep the disc from turning; the other one is then the output. The disc has one lobe fewer than there are "
        "pins. Which **eccentricity**, in mm, do you order?"
    )
    names = ("f_eccentricity_mm",)
    other_words = (
        "The way the output must turn says which member you hold, and the ratio then says how many pins. The "
        "eccentricity follows from the pins and the ring's pitch circle."
    )
    place = 'Lesson 4, "Which way, how fast", for the pins; "Where that point goes" for the eccentricity.'

    def numbers(self, draw: Draw) -> Given:
        return Given(
            crank_turns=draw.whole(9, 40),
            way=draw.one_of(("the same way as the crank", "against the crank")),
            percent=draw.whole(45, 75),
            diameter_mm=draw.stepped(60, 120, 1),
        )

    def question(self, given: Given) -> NumberQuestion:
        pitch_radius = given.percent / 100 * given.diameter_mm / 2
        pins, other = given.crank_turns, given.crank_turns + 1  # disc held, ring held
        if given.way == "against the crank":
            pins, other = other, pins
        return NumberQuestion(
            right=pitch_radius / pins,
            unit="mm",
            tolerance=0.005,
            look='How many pins, and how large is the ring\'s pitch circle? Lesson 4, "Where that point goes".',
            slips=(
                Slip(pitch_radius / other, "Which member is held, if the output goes that way?"),
                Slip(2 * pitch_radius / pins, "Is the length that is given a radius, or a diameter?"),
                Slip(2 * pitch_radius / other, "Is a radius given, and which member is held?"),
                Slip(given.diameter_mm / 2 / pins, "Which circle do the pins stand on, and which one rolls?"),
                Slip(pitch_radius, "Is that the pitch circle's radius, or the eccentricity?"),
                Slip(
                    (1 - given.percent / 100) * given.diameter_mm / 2 / pins,
                    "Which share of the pin circle is asked for?",
                ),
                Slip(
                    pitch_radius / (given.crank_turns - 1),
                    "How many pins go with that ratio, and which of the two pitch circles is given?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        against = given.way == "against the crank"
        pins, pitch_radius = given.crank_turns + against, given.percent / 100 * given.diameter_mm / 2
        held = "ring held: the disc makes 1/(N - 1) turn" if against else "disc held: the ring makes 1/N turn"
        return (
            f"Pin circle {given.diameter_mm:g} mm in diameter, {given.percent} %, {given.crank_turns} crank turns for "
            f"one, output {given.way}. That needs the {held} for one of the crank, so N = {pins}. The ring's pitch "
            f"circle has a radius of {given.percent} % of {given.diameter_mm:g}/2 mm, {pitch_radius:.4g} mm. It is "
            f"$eN$: $e$ = {pitch_radius:.4g}/{pins} = {pitch_radius / pins:.4f} mm."
        )


TASKS = (Both(), Rate(), Witness(), Worn(), Meeting(), Order())
