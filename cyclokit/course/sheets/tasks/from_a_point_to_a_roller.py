"""Sheet 2: from the path of a roller's centre to the disc. It goes with lesson 2."""

import math
from collections.abc import Callable

import numpy as np
import sympy as sp

from cyclokit.arguments import Floats
from cyclokit.course.answers.formulas import ExpressionQuestion, OutlineQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, NumberQuestion, Slip
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.task import Given, Task
from cyclokit.geometry import motion, outline
from cyclokit.geometry.derivation import Rp, e, t

TITLE = "From a point to a roller"


class Touch(Task):
    letter = "a"
    title = "Where it touches"
    marks = 3
    text = (
        "Seen from the disc, the middle of a roller is at ({x_mm:g}, {y_mm:g}) mm, and its path, which runs "
        "counter-clockwise round the disc, runs there in the direction {heading_deg:g}° (counted counter-clockwise "
        "from +x). The roller is {diameter_mm:g} mm wide. Where does it touch the disc? Give the contact's **y** "
        "coordinate in mm."
    )
    names = ("a_contact_y_mm",)
    other_words = (
        "Draw the path as a short arrow through the roller's middle. The disc is on one side of the arrow. The "
        "contact lies straight across, at the roller's edge."
    )
    place = 'Lesson 2, "The contact", and the box "Five minutes on normals".'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive()
        t = math.radians(draw.stepped(35, 145, 1))
        x, y = outline.centre_path(drive, t)
        outward_x, outward_y = outline.normals(drive, t)
        heading = math.degrees(math.atan2(outward_x, -outward_y))  # a quarter turn on from the outward normal
        return Given(
            x_mm=round(float(x), 2),
            y_mm=round(float(y), 2),
            heading_deg=round(heading, 1),
            diameter_mm=2 * drive.roller_radius,
        )

    def question(self, given: Given) -> NumberQuestion:
        radius, heading = given.diameter_mm / 2, math.radians(given.heading_deg)
        return NumberQuestion(
            right=given.y_mm + radius * math.cos(heading),  # the outward normal is (sin, -cos) of the heading
            unit="mm",
            tolerance=0.002,
            look='Which way from the centre, and how far? Lesson 2, "The contact".',
            slips=(
                Slip(given.y_mm, "Is that the middle of the roller, or the place where it touches?"),
                Slip(given.y_mm - radius * math.cos(heading), "On which side of its path does the disc lie?"),
                Slip(given.y_mm + given.diameter_mm * math.cos(heading), "Is a radius given, or a diameter?"),
                Slip(
                    given.y_mm * (1 - radius / math.hypot(given.x_mm, given.y_mm)),
                    "Is that across the path, or towards the middle?",
                ),
                Slip(given.y_mm + radius * math.sin(heading), "Is that across the path, or along it?"),
                Slip(given.y_mm - radius * math.sin(heading), "Is that across the path, or along it?"),
                Slip(given.y_mm + radius * math.cos(given.heading_deg), "Which unit do sine and cosine want?"),
            ),
        )

    def worked(self, given: Given) -> str:
        heading, radius = math.radians(given.heading_deg), given.diameter_mm / 2
        normal_x, normal_y = math.sin(heading), -math.cos(heading)
        return (
            f"Centre ({given.x_mm:g}, {given.y_mm:g}) mm, heading {given.heading_deg:g}°, roller "
            f"{given.diameter_mm:g} mm wide. The tangent is ({math.cos(heading):.4f}, {math.sin(heading):.4f}); a "
            f"quarter turn clockwise from it is the outward normal, ({normal_x:.4f}, {normal_y:.4f}). From the centre "
            f"{radius:g} mm back along it, so y is {given.y_mm:g} - {radius:g} · ({normal_y:.4f}) = "
            f"{given.y_mm - radius * normal_y:.3f} mm."
        )


class Steps(Task):
    letter = "b"
    title = "From a tip to a root"
    marks = 3
    text = (
        "A disc is made for {pins} pins. You stand at its centre, look at the tip of a lobe, and turn until you look "
        "straight at root number {roots}; number 1 is the first root that comes. By how many **degrees** have you "
        "turned, counted positive?"
    )
    names = ("b_turned_deg",)
    other_words = (
        "Count waves of the disc's edge. How many go once round, and how many have passed when you look at that root?"
    )
    place = 'Lesson 2, "Sit on the disc": what the distance from the disc\'s centre depends on.'

    def numbers(self, draw: Draw) -> Given:
        return Given(pins=draw.whole(9, 32), roots=draw.whole(3, 8))

    def question(self, given: Given) -> NumberQuestion:
        def angle(waves: int) -> float:
            """From a tip to one of the next roots, for so many waves round the disc."""
            return (given.roots - 0.5) * 360 / waves

        return NumberQuestion(
            right=angle(given.pins - 1),
            unit="degrees",
            tolerance=0.002,
            look='How many waves does the path have, and where in a wave is the root? Lesson 2, "Sit on the disc".',
            slips=(
                Slip(angle(given.pins), "Is that the number of pins, or of waves?"),
                Slip(angle(given.pins + 1), "How often does the one arrow overtake the other?"),
                Slip(given.roots * 360 / (given.pins - 1), "Where do you begin to count: at a tip, or at a root?"),
                Slip((given.roots + 0.5) * 360 / (given.pins - 1), "Which root is the first one after the tip?"),
                Slip(math.radians(angle(given.pins - 1)), "Which unit is asked for?"),
            ),
        )

    def worked(self, given: Given) -> str:
        wave = 360 / (given.pins - 1)
        return (
            f"{given.pins} pins, root number {given.roots}. The path has {given.pins - 1} waves, so a wave takes "
            f"360°/{given.pins - 1} = {wave:.3f}°. The first root comes half a wave after the tip, root {given.roots} "
            f"another {given.roots - 1} waves on: {given.roots - 0.5:g} · {wave:.3f}° = "
            f"{(given.roots - 0.5) * wave:.2f}°."
        )


class Tangent(Task):
    letter = "c"
    title = "A tip on the x axis"
    marks = 4
    text = (
        "A colleague likes to begin with a **tip** on +x. For {pins} pins the centre path is then "
        r"$x = R_p\cos t + e\cos {pins}t$, $y = R_p\sin t + e\sin {pins}t$. What is the **square of the length** of "
        r"its "
        "tangent? Give a SymPy expression in `Rp`, `e` and `t`, in any form. "
        "These three are SymPy's symbols from the first cell; keep their names for them."
    )
    names = ("c_length_squared",)
    other_words = (
        "Take the derivative of x and of y with respect to t, square both, add. SymPy may do the algebra; "
        "the form makes no difference."
    )
    place = 'Lesson 2, "The contact": the same for a disc that begins with a root.'

    def numbers(self, draw: Draw) -> Given:
        return Given(pins=draw.whole(7, 40))

    def question(self, given: Given) -> ExpressionQuestion:
        def squared(first: sp.Expr, second: sp.Expr, angle: sp.Expr) -> sp.Expr:
            """Square of the length of two arrows' sum, by the law of cosines."""
            return first**2 + second**2 + 2 * first * second * sp.cos(angle)

        right = squared(Rp, given.pins * e, (given.pins - 1) * t)
        return ExpressionQuestion(
            right=right,
            ranges={"R_p": (30, 60), "e": (0.5, 2), "t": (0.1, 6)},
            look='Which two arrows does the derivative have, and what lies between them? Lesson 2, "The contact".',
            slips=(
                Slip(
                    squared(Rp, -given.pins * e, (given.pins - 1) * t),
                    "Which disc begins with a root, and which with a tip?",
                ),
                Slip(squared(Rp, given.pins * e, given.pins * t), "How fast does the one arrow gain on the other?"),
                Slip(
                    squared(Rp, given.pins * e, (given.pins + 1) * t),
                    "Which sum of products is that, and which do you need?",
                ),
                Slip(squared(Rp, e, (given.pins - 1) * t), "Is that the path, or its tangent?"),
                Slip(
                    squared(Rp, (given.pins - 1) * e, (given.pins - 1) * t),
                    "Which number comes down in the derivative?",
                ),
                Slip(sp.sqrt(right), "Is that the length, or its square?"),
            ),
        )

    def worked(self, given: Given) -> str:
        path = rf"$z = R_p\mathrm{{e}}^{{it}} - e\,\mathrm{{e}}^{{{given.pins}it}}$"
        length = rf"$R_p^2 + {given.pins**2}e^2 - {2 * given.pins}R_p\,e\cos {given.pins - 1}t$"
        return (
            f"{given.pins} pins, but with a **root** on +x: {path}. The derivative is an arrow of length $R_p$ and, "
            f"the other way, one of length ${given.pins}e$. The angle between them grows by $({given.pins} - 1)t$. By "
            f"the law of cosines the square of the sum's length is {length}."
        )


class Disc(Task):
    letter = "d"
    title = "A disc to cut"
    marks = 5
    text = (
        "A laser cutter wants the disc's edge as points. Pins: {drive.pins}, on a circle of "
        "{drive.pin_circle_radius:g} mm radius; rollers of {drive.roller_radius:g} mm radius; eccentricity "
        "{drive.eccentricity:g} mm. Give the outline as an array with one row a point, x and y in mm, the disc's "
        "centre at the origin and the **tip** of a lobe on +x. The points are joined by straight lines; the last is "
        "joined to the first. Build it from the formula; the numbers are in `given_d.drive`. To look at it: "
        "`figures.show(figures.curve(d_outline_mm, 'my disc'), 'The disc that I made.')`."
    )
    names = ("d_outline_mm",)
    other_words = (
        "Three steps: points of the centre path, unit normals across it, one roller radius inwards. And one "
        "more, because the lesson's disc begins with a root."
    )
    place = 'Lesson 2, "The contact", for the formula; "Sit on the disc" for the number of waves.'

    def numbers(self, draw: Draw) -> Given:
        return Given(drive=draw.drive())

    def question(self, given: Given) -> OutlineQuestion:
        t = np.linspace(0, 2 * np.pi, 240 * given.drive.lobes, endpoint=False)
        path, outward, inwards = (
            outline.centre_path(given.drive, t),
            outline.normals(given.drive, t),
            given.drive.roller_radius,
        )
        towards_centre = path * (1 - inwards / np.hypot(*path.T))[:, None]

        def tip_on_x(points: Floats) -> Floats:
            """Turned by half a lobe."""
            return motion.turned(points, np.array(np.pi / given.drive.lobes))

        return OutlineQuestion(
            right=tip_on_x(outline.polygon(given.drive, 1e-3)),
            tolerance=0.02,
            look='Which of the steps from path to edge did you take? Lesson 2, "The contact".',
            slips=(
                Slip(path - inwards * outward, "What lies on +x, a root or a tip?"),
                Slip(tip_on_x(path), "On which curve does the middle of the roller run?"),
                Slip(tip_on_x(path + inwards * outward), "On which side of the path does the disc lie?"),
                Slip(tip_on_x(path - 2 * inwards * outward), "Which does the formula want, radius or diameter?"),
                Slip(tip_on_x(towards_centre), "Is that across the path, or towards the disc's centre?"),
                Slip(
                    motion.turned(path - inwards * outward, np.array(np.pi / given.drive.pins)),
                    "By half of which pitch?",
                ),
            ),
        )

    def worked(self, given: Given) -> str:
        root = given.drive.root_circle_radius
        circle, short = f"{given.drive.pin_circle_radius:g}", f"{given.drive.eccentricity:g}"
        return (
            f"{given.drive!r}, but with a **root** on +x: `around = np.linspace(0, 2 * np.pi, 4000)`; x and y of the "
            f"centre path are `{circle} * np.cos(around) - {short} * np.cos({given.drive.pins} * around)` and the "
            f"same with sines; "
            "`np.gradient` or the derivative by hand gives the tangent `(dx, dy)`; the outward unit normal is "
            f"`(dy, -dx) / np.hypot(dx, dy)`; the outline is path minus {given.drive.roller_radius:g} times that, "
            f"`np.column_stack([x, y])`. Its first point is at {root:g} mm on +x. To bring a tip there, begin with "
            "the other path, of task c, or turn all points by half a lobe."
        )


LOOSE, TOUCHING, STUCK = "a", "b", "c"
# what was printed -> how far inside the centre path its edge lies, for rollers of that radius
MISTAKES: dict[str, Callable[[float], float]] = {
    "the centre path for its edge": lambda radius: 0.0,
    "an edge that lies half a roller radius inside the centre path": lambda radius: radius / 2,
    "an edge that lies one roller diameter inside the centre path": lambda radius: 2 * radius,
    "the correct edge, but for rollers 1 mm wider across than those in the ring": lambda radius: radius + 0.5,
    "the correct edge, but for rollers 1 mm narrower across than those in the ring": lambda radius: radius - 0.5,
    "the correct edge, and then sanded it down by 0.3 mm all round": lambda radius: radius + 0.3,
    "the correct edge, but 2 mm thicker than the drawing says": lambda radius: radius,
    "the correct edge, and turned it over about the x axis": lambda radius: radius,
}


class Wrong(Task):
    letter = "e"
    title = "A print that went wrong"
    marks = 3
    text = (
        "The ring has rollers of {drive.roller_radius:g} mm radius. Somebody printed a disc with {mistake}. At "
        "crank 0 you "
        'try to lay it in among the rollers, where the correct disc would lie. It `"a"` lies there loosely, with a '
        'gap at the rollers, `"b"` just touches every roller, `"c"` doesn\'t go in, because it would have to be where '
        "the "
        "rollers are. "
        "Choose a letter, and say why in a sentence or two, with the two distances that you compare."
    )
    names = ("e_letter", "e_reason")
    other_words = (
        "The middle of every roller is on the centre path. Compare how far it reaches inwards with how far "
        "inside the path this disc ends."
    )
    place = 'Lesson 2, "From path to disc".'

    def numbers(self, draw: Draw) -> Given:
        return Given(drive=draw.drive(), mistake=draw.one_of(sorted(MISTAKES)))

    def question(self, given: Given) -> ChoiceQuestion:
        looks = {
            LOOSE: "How far is the middle of a roller from this edge, and how far does the roller reach?",
            TOUCHING: "Which distance has the correct disc from the path, and which has this one?",
            STUCK: "How far does a roller reach in from its path, and where does this edge lie?",
        }
        inside, reach = MISTAKES[given.mistake](given.drive.roller_radius), given.drive.roller_radius
        right = TOUCHING if inside == reach else LOOSE if inside > reach else STUCK
        return ChoiceQuestion(right, {letter: look for letter, look in looks.items() if letter != right}, reason=True)

    def worked(self, given: Given) -> str:
        radius, inside, letter = (
            given.drive.roller_radius,
            MISTAKES[given.mistake](given.drive.roller_radius),
            self.question(given).right,
        )
        what = {
            LOOSE: f"the edge ends {inside - radius:.3g} mm farther in, and the disc is loose",
            TOUCHING: "the edge ends just there, and the disc touches every roller",
            STUCK: f"the edge would have to be {radius - inside:.3g} mm inside each roller, and the disc doesn't go in",
        }
        return (
            f"Rollers of {radius:g} mm radius, and a disc with {given.mistake}. A roller reaches {radius:g} mm in "
            f"from its path. "
            f'This edge lies {inside:.4g} mm inside the path: {what[letter]}, `"{letter}"`.'
        )


class Order(Task):
    letter = "f"
    title = "A roller to order"
    marks = 2
    text = (
        "Pins, pin circle and crank of a drive are settled: its centre path is {path_mm:g} mm long. Its disc is cut "
        "by somebody who is paid by the length of the edge, and your money is enough for {edge_mm:g} mm. With which "
        "roller **diameter**, in mm, does the edge become just that long?"
    )
    names = ("f_roller_diameter_mm",)
    other_words = (
        "A thicker roller leaves a smaller disc. How does the length of the edge depend on the roller's "
        "radius, whatever the lobes look like?"
    )
    place = 'Lesson 2, "How long, how large": the length of a parallel curve.'

    def numbers(self, draw: Draw) -> Given:
        drive = draw.drive()
        path = outline.length(drive) + 2 * math.pi * drive.roller_radius  # J. Steiner, 1840
        wish = drive.roller_radius + draw.stepped(-0.2, 0.2, 0.01)
        return Given(path_mm=round(path, 1), edge_mm=round(path - 2 * math.pi * wish, 1))

    def question(self, given: Given) -> NumberQuestion:
        shorter = given.path_mm - given.edge_mm
        return NumberQuestion(
            right=shorter / math.pi,
            unit="mm",
            tolerance=0.005,
            look='By how much is the edge shorter than the path? Lesson 2, "How long, how large".',
            slips=(
                Slip(shorter / (2 * math.pi), "Is a radius asked for, or a diameter?"),
                Slip(2 * shorter / math.pi, "Which does the formula hold, radius or diameter?"),
                Slip(-shorter / math.pi, "Which of the two curves is the outer one?"),
                Slip(shorter, "By how much does the direction turn, once round?"),
                Slip(shorter / 2, "By how much does the direction turn, once round?"),
                Slip(given.edge_mm / math.pi, "Which length belongs to a circle here?"),
            ),
        )

    def worked(self, given: Given) -> str:
        shorter = given.path_mm - given.edge_mm
        return (
            f"Path {given.path_mm:g} mm, edge {given.edge_mm:g} mm: shorter by {shorter:.1f} mm. Once round the "
            f"direction turns by "
            rf"$2\pi$, so that is $2\pi r$: $r$ = {shorter / (2 * math.pi):.3f} mm, and the roller is "
            f"{shorter / math.pi:.3f} mm wide."
        )


TASKS = (Touch(), Steps(), Tangent(), Disc(), Wrong(), Order())
