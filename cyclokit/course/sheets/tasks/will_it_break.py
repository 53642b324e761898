"""Sheet 8: bending pins, contact pressure, tired bearings, and what goes first. It goes with lesson 8."""

import math

import sympy as sp
from scipy.optimize import brentq

from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task

TITLE = "Will it break?"
STEEL = 208e3  # MPa
STEEL_POISSON, PLASTIC_POISSON = 0.3, 0.4


def _second_moment(outer: float, inner: float = 0.0) -> float:
    """Second moment of area of a ring by its diameters [mm^4]."""
    return math.pi * (outer**4 - inner**4) / 64


class Cored(Task):
    letter = "a"
    title = "A core in a printed pin"
    marks = 3
    text = (
        "A pin of {pin_mm:g} mm is printed of a plastic with a modulus of {plastic_gpa:g} GPa and drilled out for a "
        "tight core of {core_mm:g} mm of steel with 208 GPa (all **across**). Two plates {span_mm:g} mm apart hold it "
        "up, but don't clamp it. A thin disc midway between them pushes with {force_n:g} N. By how many "
        "**micrometres** does the pin give way there?"
    )
    names = ("a_deflection_um",)
    other_words = (
        "Of which two shapes is the section made, and how stiff is each with its own modulus? Then: a beam on two "
        "supports, loaded in the middle."
    )
    place = 'Lesson 8, "Four pins": the second moment of a ring, and the deflection in the middle.'

    def numbers(self, draw: Draw) -> Given:
        return Given(
            pin_mm=draw.stepped(5, 10, 0.5),
            core_mm=draw.one_of((2, 2.5, 3, 4)),
            plastic_gpa=draw.stepped(1.6, 3.4, 0.1),
            span_mm=draw.stepped(24, 50, 1),
            force_n=draw.stepped(30, 120, 5),
        )

    def question(self, given: Given) -> NumberQuestion:
        plastic, pin, core = 1000 * given.plastic_gpa, given.pin_mm, given.core_mm
        of_core, of_tube = STEEL * _second_moment(core), plastic * _second_moment(pin, core)

        def deflection(stiffness: float, shared_by: float = 48) -> float:
            return 1000 * given.force_n * given.span_mm**3 / (shared_by * stiffness)

        right = deflection(of_core + of_tube)
        return NumberQuestion(
            right=right,
            unit="um",
            tolerance=0.001,
            look='Which two stiffnesses add up, and how is the pin held? Lesson 8, "Four pins".',
            slips=(
                Slip(
                    deflection(of_core + plastic * _second_moment(pin - core)),
                    "Which powers does a tube's formula subtract?",
                ),
                Slip(deflection(of_core + plastic * _second_moment(pin)), "Is there plastic where the core is?"),
                Slip(deflection(of_core), "Which part of the pin is left out?"),
                Slip(deflection(of_tube), "Which part of the pin is left out?"),
                Slip(deflection(plastic * _second_moment(pin)), "Where is the steel?"),
                Slip(deflection(STEEL * _second_moment(pin)), "Which part of the section is of steel?"),
                Slip(deflection(of_core + of_tube, 3), "How many plates hold the pin, and where is it pushed?"),
                Slip(deflection(of_core + of_tube, 24), "How many plates hold the pin?"),
                Slip(deflection(of_core + of_tube, 192), "Do the plates clamp the pin?"),
                Slip(right / 16, "Are the sizes radii, or diameters?"),
                Slip(right / 1000, "In which unit is it asked for?"),
            ),
        )

    def worked(self, given: Given) -> str:
        of_core = STEEL * _second_moment(given.core_mm)
        of_tube = 1000 * given.plastic_gpa * _second_moment(given.pin_mm, given.core_mm)
        way = given.force_n * given.span_mm**3 / (48 * (of_core + of_tube))
        return (
            f"Pin {given.pin_mm:g} mm, {given.plastic_gpa:g} GPa, core {given.core_mm:g} mm: the core has $EI$ = "
            f"{of_core:.0f} N mm², the tube, with {given.pin_mm:g}⁴ - {given.core_mm:g}⁴ in it, {of_tube:.0f}. "
            f"Together {of_core + of_tube:.0f}. Supported on {given.span_mm:g} mm, {given.force_n:g} N midway: "
            f"$FL^3/(48\\,EI)$ = {way:.6f} mm, that is {1000 * way:.3f} micrometres."
        )


class Stress(Task):
    letter = "b"
    title = "A bored pin, off the middle"
    marks = 4
    text = (
        "A ring pin of one material has the diameter $d$ and, all along, a bore of {bore_percent} % of it. Two plates "
        "hold it up without clamping it; its free length between them is $L$. A thin disc pushes it with the force $F$ "
        "at {place_percent} % of that length from the first plate. How large is the greatest **bending stress**? Give "
        "a SymPy expression in `F`, `L` and `d`, in any form. These three are SymPy's symbols from the next cell; keep "
        "their names for them."
    )
    names = ("b_stress",)
    other_words = (
        "How large is the bending moment where the disc pushes? How much of the section is left, and how far from "
        "the middle line is the outermost fibre?"
    )
    place = 'Lesson 8, "One support for two" for the moment of a load anywhere; "Four pins" for the stress.'

    def numbers(self, draw: Draw) -> Given:
        return Given(
            bore_percent=draw.whole(40, 75),
            place_percent=draw.one_of([*range(15, 43), *range(58, 86)]),
        )

    def question(self, given: Given) -> ExpressionQuestion:
        F, L, d = sp.symbols("F L d", positive=True)
        bore, place = sp.Rational(given.bore_percent, 100), sp.Rational(given.place_percent, 100)

        def bent(moment: sp.Expr, left: sp.Expr = 1 - bore**4) -> sp.Expr:
            """Greatest stress under a moment, with a share of the round's section modulus left."""
            return 32 * moment / (sp.pi * d**3 * left)

        right = bent(F * L * place * (1 - place))
        return ExpressionQuestion(
            right=right,
            ranges={"F": (20, 200), "L": (10, 60), "d": (3, 10)},
            look='Which moment, and which second moment of area? Lesson 8, "One support for two".',
            slips=(
                Slip(bent(F * L * place), "How many plates hold the pin?"),
                Slip(bent(F * L * (1 - place)), "How many plates hold the pin?"),
                Slip(bent(F * L / 4), "Where does the disc push?"),
                Slip(bent(F * L), "How many plates hold the pin, and where is it pushed?"),
                Slip(bent(F * L * place * (1 - place), sp.Integer(1)), "What does the bore take away?"),
                Slip(
                    bent(F * L * place * (1 - place), (1 - bore) ** 4),
                    "Which powers does a tube's formula subtract?",
                ),
                Slip(
                    bent(F * L * place * (1 - place), 1 - bore**3),
                    "How far from the middle is the fibre that decides: at the bore, or outside?",
                ),
                Slip(
                    bent(F * L * place * (1 - place), 1 - bore**2),
                    "Is that the area that is left, or the second moment?",
                ),
                Slip(2 * right, "From which line is a fibre's distance counted?"),
                Slip(right / 8, "Is d the radius, or the diameter?"),
                Slip(2 * right / d, "How far from the middle is the outermost fibre?"),
                Slip(4 * F / (sp.pi * d**2 * (1 - bore**2)), "Is the pin pulled, or bent?"),
                Slip(F * L * place * (1 - place), "Is that the moment, or the stress?"),
            ),
        )

    def worked(self, given: Given) -> str:
        bore, place = given.bore_percent / 100, given.place_percent / 100
        return (
            f"Bore {given.bore_percent} % of $d$, load at {given.place_percent} % of $L$. With $a$ = {place:g} $L$ "
            f"the moment under the disc is $F a (L-a)/L$ = {place:g} · {1 - place:g} $F L$ = "
            f"{place * (1 - place):.4f} $F L$. The second moment is $\\pi d^4 (1 - {bore:g}^4)/64$, the outermost "
            f"fibre at $d/2$: `32*{place:g}*{round(1 - place, 2):g}*F*L/(sp.pi*d**3*(1 - {bore:g}**4))`."
        )


class Flank(Task):
    letter = "c"
    title = "Pressed along the flank"
    marks = 4
    text = (
        "A drive has {pins} pins on a circle of {circle_mm:g} mm radius, rollers of {roller_mm:g} mm radius and an "
        "eccentricity of {eccentricity_mm:g} mm; its disc was made without clearance. Rollers of steel (208 GPa, 0.3) "
        "touch the disc (a plastic with {plastic_gpa:g} GPa, 0.4) along {length_mm:g} mm; the second figure is "
        "Poisson's ratio. Write a function that takes the force on one pin, in N, and the pin's angle from the pitch "
        "point, in radians (0 at the disc's root, about $\\pi$ at a tip), and returns the peak pressure there in MPa. "
        "It will be tried on forces and angles that you don't see."
    )
    names = ("c_pressure_mpa",)
    other_words = (
        "How round is the disc's edge at that angle, and does it bulge there or is it hollow? That and the roller make "
        "one R, the two materials one E*."
    )
    place = 'Lesson 8, "Where it presses": the two formulas, and the cell that goes along the flank.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive(10, 24)
        return Given(
            pins=drive.pins,
            circle_mm=drive.pin_circle_radius,
            roller_mm=drive.roller_radius,
            eccentricity_mm=drive.eccentricity,
            plastic_gpa=draw.stepped(1.6, 3.4, 0.1),
            length_mm=draw.stepped(4, 12, 0.5),
        )

    def question(self, given: Given) -> FunctionQuestion:
        roller, plastic = given.roller_mm, 1000 * given.plastic_gpa
        softness = (1 - PLASTIC_POISSON**2) / plastic + (1 - STEEL_POISSON**2) / STEEL

        def path(phi: float) -> float:
            """Curvature of the centre path [1/mm], above zero where it bulges."""
            ratio, cosine = given.eccentricity_mm * given.pins / given.circle_mm, math.cos(phi)
            turning = 1 + given.pins * ratio**2 - (given.pins + 1) * ratio * cosine
            return turning / (given.circle_mm * (1 + ratio**2 - 2 * ratio * cosine) ** 1.5)

        def edge(phi: float) -> float:
            return path(phi) / (1 - roller * path(phi))

        def pressure(force: float, curvature: float, soft: float = softness, length: float = given.length_mm) -> float:
            return math.sqrt(force * abs(curvature) / (math.pi * length * soft))

        def right(force: float, phi: float) -> float:
            return pressure(force, 1 / roller + edge(phi))

        return FunctionQuestion(
            right=right,
            tries=((20.0, 0.12), (12.0, 0.3), (35.0, 0.9), (27.0, 1.6), (18.0, 2.8)),
            wanted="a pressure in MPa",
            tolerance=0.001,
            look='Which R and which E* does this place have? Lesson 8, "Where it presses".',
            slips=(
                Slip(
                    lambda f, phi: pressure(f, 1 / roller + abs(edge(phi))),
                    "Does the flank bulge everywhere?",
                ),
                Slip(lambda f, phi: pressure(f, 1 / roller - edge(phi)), "Which of the two counts as hollow?"),
                Slip(
                    lambda f, phi: pressure(f, 1 / roller + path(phi)), "Is that the bend of the edge, or of the path?"
                ),
                Slip(lambda f, phi: pressure(f, 1 / roller), "How round is the disc there?"),
                Slip(lambda f, phi: pressure(f, edge(phi)), "How round is the roller?"),
                Slip(lambda f, phi: pressure(f, 0.5 / roller + edge(phi)), "Is the roller given by its radius?"),
                Slip(lambda f, phi: pressure(f, 1 / roller + edge(math.pi - phi)), "Where is the angle zero?"),
                Slip(
                    lambda f, phi: pressure(f, 1 / roller + edge((given.pins - 1) * phi)),
                    "Is that the pin's angle, or the outline's parameter?",
                ),
                Slip(lambda f, phi: pressure(f, 1 / roller + edge(phi), 1 / plastic), "What else than E is in E*?"),
                Slip(
                    lambda f, phi: pressure(f, 1 / roller + edge(phi), 1 / plastic + 1 / STEEL),
                    "What else than the moduli is in E*?",
                ),
                Slip(
                    lambda f, phi: pressure(f, 1 / roller + edge(phi), 2 / (plastic + STEEL)),
                    "Do the moduli add up, or the softnesses?",
                ),
                Slip(
                    lambda f, phi: pressure(f, 1 / roller + edge(phi), length=1.0), "Along which length do they touch?"
                ),
                Slip(lambda f, phi: math.pi / 4 * right(f, phi), "Is that the mean pressure, or that in the middle?"),
                Slip(lambda f, phi: right(f, phi) / 1000, "In which unit is the pressure?"),
                Slip(lambda f, phi: right(f, phi) ** 2, "Which power does the pressure go with?"),
            ),
        )

    def worked(self, given: Given) -> str:
        drive = f"Drive({given.pins}, {given.circle_mm:g}, {given.roller_mm:g}, {given.eccentricity_mm:g})"
        return (
            f"{given.pins} pins: the flank's radius at the angle `phi` is `contact.flank_radius({drive}, phi / "
            f"{given.pins - 1})`, below zero where it is hollow. With `1/R = 1/{given.roller_mm:g} + 1/flank` and "
            f"`1/E_star = (1 - 0.4**2)/{1000 * given.plastic_gpa:g} + (1 - 0.3**2)/208e3` return "
            f"`np.sqrt(force * E_star / (np.pi * {given.length_mm:g} * R))`. Or let `contact.line` do it."
        )


class Hours(Task):
    letter = "d"
    title = "How long an eccentric's bearing lives"
    marks = 4
    text = (
        "A drive has {pins} pins, an eccentricity of {eccentricity_mm:g} mm and **two** discs that share evenly. Its "
        "crank turns at {turns_per_minute:g} turns a minute all the time. During {percent} % of the time the torque at "
        "the output is {high_nm:g} N m, during the rest {low_nm:g} N m. The whole force on an eccentric's bearing is "
        "{times:g} times its disc's share across the crank. The bearing is rated with $C$ = {rating_n:g} N. How many "
        "**hours** is its $L_{{10}}$?"
    )
    names = ("d_life_hours",)
    other_words = (
        "Which force has the bearing of one disc at each of the two torques? Which steady force tires it as much? And "
        "how fast do its rings turn against each other?"
    )
    place = 'Lesson 8, "Tired bearings": different loads, the share across the crank, ring against ring.'

    def numbers(self, draw: Draw) -> Given:
        low = draw.stepped(3, 6, 0.1)
        return Given(
            pins=draw.whole(8, 16),
            eccentricity_mm=draw.stepped(1.2, 2.6, 0.1),
            turns_per_minute=draw.stepped(100, 900, 20),
            percent=draw.whole(10, 60),
            high_nm=round(low * draw.stepped(1.5, 3, 0.1), 1),
            low_nm=low,
            times=draw.stepped(1.2, 1.6, 0.05),
            rating_n=draw.stepped(700, 1700, 10),
        )

    def question(self, given: Given) -> NumberQuestion:
        share, lobes = given.percent / 100, given.pins - 1
        high, low = self._forces(given)

        def hours(load: float, factor: float = given.pins / lobes) -> float:
            return 1e6 * (given.rating_n / load) ** 3 / (60 * given.turns_per_minute * factor)

        steady = (share * high**3 + (1 - share) * low**3) ** (1 / 3)
        right = hours(steady)
        return NumberQuestion(
            right=right,
            unit="hours",
            tolerance=0.001,
            look='Which force, which mean, and which speed? Lesson 8, "Tired bearings".',
            slips=(
                Slip(hours(2 * steady), "How many discs share the torque?"),
                Slip(hours(steady / given.times), "Is the share across the crank all that the bearing takes?"),
                Slip(hours(steady * lobes / given.pins), "On which arm does the share across the crank act?"),
                Slip(hours(steady, 1.0), "Does the outer ring stand still?"),
                Slip(hours(steady, (lobes - 1) / lobes), "Which way does the disc turn?"),
                Slip(hours(steady, (given.pins + 1) / given.pins), "How many lobes has the disc?"),
                Slip(hours(steady, 1 / lobes), "Which of the two turns fast: crank or disc?"),
                Slip(hours(share * high + (1 - share) * low), "Which mean of the loads tires a bearing as much?"),
                Slip(
                    hours(math.sqrt(share * high**2 + (1 - share) * low**2)),
                    "Which power does life go with?",
                ),
                Slip(hours(((1 - share) * high**3 + share * low**3) ** (1 / 3)), "Which torque acts for which time?"),
                Slip(hours(high), "What does the bearing carry during the rest of the time?"),
                Slip(hours(low), "Which of the two torques is left out?"),
                Slip(60 * right, "In which unit is the time?"),
                Slip(2 * math.pi * right, "In which unit is the speed?"),
                Slip(hours(steady / 1000), "In which units are torque and arm?"),
                Slip((given.rating_n / steady) ** 3, "Are those millions of turns, or hours?"),
            ),
        )

    def worked(self, given: Given) -> str:
        share, (high, low) = given.percent / 100, self._forces(given)
        steady = (share * high**3 + (1 - share) * low**3) ** (1 / 3)
        rate = given.turns_per_minute * given.pins / (given.pins - 1)
        millions = (given.rating_n / steady) ** 3
        return (
            f"{given.pins} pins, e = {given.eccentricity_mm:g} mm: one disc takes half the torque, so its bearing "
            f"{given.times:g} · T/(2 · {given.eccentricity_mm:g} · {given.pins - 1}), that is {high:.2f} N for "
            f"{given.percent} % of the time and {low:.2f} N for the rest. The mean of the cubes gives {steady:.2f} N, "
            f"and with C = {given.rating_n:g} N {millions:.3f} million turns. Ring against ring the bearing makes "
            f"{rate:.2f} turns a minute: {1e6 * millions / (60 * rate):.1f} hours."
        )

    @staticmethod
    def _forces(given: Given) -> tuple[float, float]:
        """On an eccentric's bearing under the larger and the lower torque [N]."""
        arm = given.eccentricity_mm * (given.pins - 1)
        high, low = (given.times * 1000 * torque / (2 * arm) for torque in (given.high_nm, given.low_nm))
        return high, low


PARTS = ("ring pins", "web of the disc", "output rods", "contact of disc and rollers")
LETTERS = "abcd"


def _safeties(given: Given) -> list[tuple[float, float]]:
    """Least and greatest safety of each part."""
    return [
        (bears[0] / loaded[1], bears[1] / loaded[0]) for loaded, bears in zip(given.loaded, given.bears, strict=True)
    ]


def _least(values: list[float]) -> int:
    return values.index(min(values))


def _traps(given: Given) -> dict[str, int]:
    """Which part one would name who looks at the wrong figures."""
    return {
        "load": _least([-loaded[1] for loaded in given.loaded]),
        "strength": _least([bears[0] for bears in given.bears]),
        "best": _least([most for _, most in _safeties(given)]),
    }


class First(Task):
    letter = "e"
    title = "What goes first"
    marks = 2
    text = (
        "Somebody hands you this verdict, stresses and strengths in MPa, each from the least to the greatest that one "
        "must reckon with:\n\n{rows}\n\nNothing else of this machine can break. What goes **first**, if one is "
        "cautious? Choose a letter, and say in a sentence or two how you know, what you would change, and what you "
        "would look at then."
    )
    names = ("e_letter", "e_reason")
    other_words = "Each row has four figures. Which two of them make its safety, if all is as bad as it may be?"
    place = 'Lesson 8, "What goes first".'

    def numbers(self, draw: Draw) -> Given:
        while True:
            loaded: list[list[float]] = []
            bears: list[list[float]] = []
            for _ in PARTS:
                least, strength = draw.stepped(10, 120, 2), draw.stepped(30, 400, 5)
                loaded.append([least, round(least * draw.stepped(1.2, 3.5, 0.1))])
                bears.append([strength, round(strength * draw.stepped(1.2, 2.2, 0.1))])
            given = Given(loaded=loaded, bears=bears)
            lows = sorted(low for low, _ in _safeties(given))
            first = _least([low for low, _ in _safeties(given)])
            if 0.4 < lows[0] < 0.8 * lows[1] and first not in _traps(given).values():
                return given

    def question(self, given: Given) -> ChoiceQuestion:
        right = _least([low for low, _ in _safeties(given)])
        traps = _traps(given)
        asked = {
            "load": "Is it the load alone that decides?",
            "strength": "Is it the strength alone that decides?",
            "best": "Which end of each range is the cautious one?",
        }
        looks = {}
        for number, letter in enumerate(LETTERS):
            if number != right:
                trap = next((name for name, at in traps.items() if at == number), None)
                looks[letter] = asked[trap] if trap else "Which two figures of a row make its least safety?"
        return ChoiceQuestion(LETTERS[right], looks, reason=True)

    def worked(self, given: Given) -> str:
        lows = [low for low, _ in _safeties(given)]
        told = ", ".join(
            f"{part} {bears[0]:g}/{loaded[1]:g} = {low:.2f}"
            for part, loaded, bears, low in zip(PARTS, given.loaded, given.bears, lows, strict=True)
        )
        return (
            f"Cautious is the least strength over the greatest stress: {told}. The least is that of the "
            f'{PARTS[_least(lows)]}: `"{LETTERS[_least(lows)]}"`. Change that part, and then work out all rows anew.'
        )

    def shown(self, given: Given) -> str:
        rows = "\n".join(
            f'- `"{letter}"` {part}: loaded {stress[0]:g} to {stress[1]:g}, bears {borne[0]:g} to {borne[1]:g}'
            for letter, part, stress, borne in zip(LETTERS, PARTS, given.loaded, given.bears, strict=True)
        )
        return self.text.format(rows=rows)


class Core(Task):
    letter = "f"
    title = "How thin may the core be"
    marks = 3
    text = (
        "A printed pin of {pin_mm:g} mm ({plastic_gpa:g} GPa) gives way too far. You drill it out for a tight core of "
        "steel (208 GPa). It stands in two plates {span_mm:g} mm apart that hold it up without clamping it, and is "
        "pushed midway with {force_n:g} N. It must not give way by more than {limit_um:g} **micrometres** there. How "
        "thick, **across**, must the core be at least? Give that limit itself in mm, to four figures. (To be made, it "
        "is the next rod up. Clamp rod before you cut it, wear eye protection; local rules come first.)"
    )
    names = ("f_core_mm",)
    other_words = (
        "How stiff must the section be as a whole? Write down what core and tube have together, with the core's "
        "diameter as the unknown, and solve for its fourth power."
    )
    place = 'Lesson 8, "Four pins": what core and tube have together, and the deflection in the middle.'

    def numbers(self, draw: Draw) -> Given:
        pin, plastic = draw.stepped(5, 10, 0.5), draw.stepped(1.6, 3.4, 0.1)
        span, force = draw.stepped(24, 50, 1), draw.stepped(30, 120, 5)
        core = draw.stepped(0.35, 0.6, 0.01) * pin
        stiffness = STEEL * _second_moment(core) + 1000 * plastic * _second_moment(pin, core)
        limit = 1000 * force * span**3 / (48 * stiffness)
        return Given(pin_mm=pin, plastic_gpa=plastic, span_mm=span, force_n=force, limit_um=float(f"{limit:.3g}"))

    def question(self, given: Given) -> NumberQuestion:
        plastic, pin = 1000 * given.plastic_gpa, given.pin_mm

        def wanted(shared_by: float = 48) -> float:
            """What the section's sum of E times fourth powers must be [N mm^2]."""
            return 64 / math.pi * given.force_n * given.span_mm**3 / (shared_by * given.limit_um / 1000)

        def core(fourths: float) -> float:
            return ((fourths - plastic * pin**4) / (STEEL - plastic)) ** 0.25 if fourths > plastic * pin**4 else 0.0

        def misread(diameter: float) -> float:
            return STEEL * diameter**4 + plastic * (pin - diameter) ** 4 - wanted()

        slips = [
            Slip(core(wanted(3)), "How many plates hold the pin, and where is it pushed?"),
            Slip(core(wanted(24)), "How many plates hold the pin?"),
            Slip(core(wanted(192)), "Do the plates clamp the pin?"),
            Slip((wanted() / STEEL) ** 0.25, "What does the plastic do meanwhile?"),
            Slip(((wanted() - plastic * pin**4) / STEEL) ** 0.25, "Is there plastic where the core is?"),
            Slip(brentq(misread, 0.2 * pin, 10 * pin), "Which powers does a tube's formula subtract?"),
            Slip(core(wanted()) / 2, "Is that the radius, or the diameter?"),
            Slip((pin**4 - wanted() / STEEL) ** 0.25, "Is the steel inside, or outside?"),
            Slip(core(wanted()) ** 4, "Which root is still to be taken?"),
        ]
        return NumberQuestion(
            right=core(wanted()),
            unit="mm",
            tolerance=0.0005,
            look='How stiff must core and tube be together? Lesson 8, "Four pins".',
            slips=tuple(slip for slip in slips if slip.wrong > 0),
        )

    def worked(self, given: Given) -> str:
        plastic, pin = 1000 * given.plastic_gpa, given.pin_mm
        stiffness = given.force_n * given.span_mm**3 / (48 * given.limit_um / 1000)
        fourth = (64 * stiffness / math.pi - plastic * pin**4) / (STEEL - plastic)
        return (
            f"Pin {pin:g} mm, {given.plastic_gpa:g} GPa, {given.force_n:g} N on {given.span_mm:g} mm, at most "
            f"{given.limit_um:g} micrometres: the sum of $EI$ must be $FL^3/(48\\,w)$ = {stiffness:.0f} N mm². Core "
            f"and tube have $\\frac{{\\pi}}{{64}}(E_s d^4 + E_p (D^4 - d^4))$. So $d^4$ = (64/π · {stiffness:.0f} - "
            f"{plastic:g} · {pin:g}⁴)/(208000 - {plastic:g}) = {fourth:.4f} mm⁴, and $d$ = {fourth**0.25:.4f} mm."
        )


TASKS = (Cored(), Stress(), Flank(), Hours(), First(), Core())
