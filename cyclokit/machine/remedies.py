"""How much a row of a report lacks, and which one figure of the reader's, changed to which value, removes the row.

Nothing is guessed: a value is told if a reducer with it was made and judged. What wasn't given is chosen anew then, as
it is where the reader writes that value into the file.
"""

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from cyclokit.arguments import checked_kind
from cyclokit.machine.reducer import DRIVE, FIGURES, Reducer
from cyclokit.machine.stock import BEARINGS, Bearing
from cyclokit.report import SLACK, Limit, Report
from cyclokit.signatures import read
from cyclokit.texts import shown

STEP = 0.1  # mm, in which lengths are tried
FINE_STEP = 0.05  # mm; of what is small itself
FINE = ("eccentricity", "hole_clearance", "outline_clearance", "axial_clearance", "shaft_play")
FARTHEST = 16384  # steps that a length is changed by
BEYOND = 6  # lengths that are tried where a row is gone and another came
MOST_COUNTED = 9  # that a count is changed by, and less
JOINT = ("-motor_shaft_length", "+disc_thickness", "+plate_thickness")
FASTENED = ("screw", "crank_bearing", "+plate_thickness", "-disc_gap", "+disc_thickness")
# row -> which figures are tried, in this order: "+" larger, "-" smaller, without a sign any other of the table
TRIED: dict[str, tuple[str, ...]] = {
    "loop": ("-eccentricity", "-pins", "+pin_circle_radius"),
    "undercut": ("-roller_radius", "-eccentricity"),
    "rollers apart": ("-roller_radius", "-pins", "+pin_circle_radius"),
    "outline moved in": ("-outline_clearance", "-roller_radius", "-eccentricity"),
    "holes apart": ("-output_roller_radius", "-output_rollers", "+output_circle_radius"),
    "holes inside the roots": ("-output_circle_radius", "-output_roller_radius", "+pin_circle_radius"),
    "holes clear of the bore": ("+output_circle_radius", "-output_roller_radius", "eccentric_bearing"),
    "rollers pass the holes": ("+hole_clearance",),
    "shaft inside the eccentric": ("eccentric_bearing", "-shaft_radius", "-eccentricity"),
    "crank bearing between the rollers": ("+output_circle_radius", "-output_roller_radius", "crank_bearing"),
    "output rods inside the ring pins": ("-output_circle_radius", "-output_rod_radius"),
    "rod inside the roller": ("-pin_rod_radius",),
    "bearing as wide as the roller": ("pin_bearing", "+roller_radius", "-roller_radius"),
    "rod in the ring bearing": ("-pin_rod_radius", "pin_bearing"),
    "rod fills the ring bearing": ("+pin_rod_radius", "pin_bearing"),
    "output rod inside its roller": ("-output_rod_radius",),
    "spacer round the shaft": ("+spacer_radius", "-shaft_radius"),
    "spacer reaches the inner rings": ("+spacer_radius",),
    "spacer on inner rings only": ("-spacer_radius", "eccentric_bearing"),
    "bearings apart": ("+disc_gap", "+disc_thickness", "eccentric_bearing"),
    "middle eccentric on the shaft": ("eccentric_bearing", "-shaft_radius", "-eccentricity", "-discs"),
    "ring bearings apart": ("+disc_gap", "+disc_thickness", "pin_bearing"),
    "side play inside the gap": ("-axial_clearance", "+disc_gap"),
    "disc thick enough for its bearing": ("+disc_thickness", "eccentric_bearing"),
    "disc thin enough for its bearing": ("-disc_thickness", "eccentric_bearing"),
    "housing outside the rollers": ("+housing_wall", "-running_gap"),
    "crank bearing round the crank": ("crank_bearing", "-shaft_radius", "-shaft_play"),
    "crank bearing passes the eccentric's": ("crank_bearing", "eccentric_bearing", "-eccentricity", "-discs", "+discs"),
    "spacer on the bearing's inner ring": ("-spacer_radius",),
    "spacer reaches the inner ring": ("+spacer_radius",),
    "spacer's wall": ("eccentric_bearing", "+spacer_radius", "crank_bearing"),
    "rollers' spacers' wall": ("pin_bearing", "output_roller_bearing"),
    "spacer in the carrier": ("+output_circle_radius", "-output_rod_radius"),
    "carrier passes the rollers": ("-output_circle_radius", "-output_rod_radius", "-roller_radius"),
    "hub inside the output bearing": ("output_bearing", "crank_bearing"),
    "output bearings apart": ("+output_bearing_span",),
    "output bearing inside the pins": ("output_bearing", "-pin_rod_radius", "+pin_circle_radius"),
    "screws outside the housing": ("output_bearing", "screw"),
    "output bearing inside the flange": ("output_bearing", "+output_circle_radius"),
    "lugs apart": ("-screws", "screw"),
    "insert in the motor's plate": ("screw", "screws_into"),
    "screws in their inserts": FASTENED,
    "wall over the nuts": FASTENED,
    "rods held as they are judged": ("output_support", "+output_plates"),
    "motor's screws inside the pins": ("+pin_circle_radius", "-pin_rod_radius"),
    "motor's screws outside the bearing": ("crank_bearing",),
    "motor's screws sunk": ("crank_bearing", "+seat_depth"),
    "cap's screws in the hub": ("+output_bearing_span",),
    "cap's screws inside the hub": ("output_bearing", "screw"),
    "lever's seat round its screws": ("+lever_width", "screw", "output_bearing"),
    "lever's hole outside its seat": ("+lever_arm",),
    "lever's seat on the cap": ("-lever_width", "output_bearing"),
    "motor's shaft below the crank's joint": JOINT,
    "wall of the crank's spigot": ("eccentric_bearing", "-eccentricity"),
    "head of the crank's screw": ("crank_bearing",),
    "crank's screw in its thread": JOINT,
    "crank's screw above the motor's shaft": JOINT,
    "crank's screw clamps": ("crank_bearing", "+plate_thickness"),
    "crank's neck as a ring": ("+disc_gap", "crank_bearing"),
    "motor's shaft below the hub": JOINT,
    "lead-ins inside the walls": ("+least_wall",),
    "ring pins' seats": ("+seat_depth",),
    "output rods in their plates": ("+plate_thickness", "-output_rod_radius"),
    "motor's shaft in the crank": ("-seat_depth", "+motor_shaft_length"),
    "rod fills the output bearing": ("+output_rod_radius", "-output_rod_radius", "output_roller_bearing"),
    "side play beside the upper spacer": ("-axial_clearance", "+plate_thickness"),
    "side play below the flange": ("-axial_clearance",),
    "upper bearing in the flange": ("+plate_thickness", "crank_bearing"),
    "crank under the output": ("+output_bearing_span",),
}
MOST_NAMED = 3  # figures that would be enough, in a line
ENOUGH = "Enough for this: {figures}."
ENOUGH_FOR_ALL = "Enough for all of this: {figures}."
Judge = Callable[[Reducer], Sequence[Report]]
Serves = Callable[[Any], bool]  # whether a value of a figure serves


@read
def lines(reducer: Reducer, judge: Judge) -> tuple[str, ...]:
    """What is told of the first report that isn't sound: a line for every row that forbids it, and one for all of them.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> from cyclokit.machine import space
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4), spacer_radius=4.5)
    >>> [line.rpartition(". ")[2] for line in lines(machine, lambda one: (space.check(one),))]
    ['Enough for this: spacer_radius = 4.7.']
    """
    report = next((report for report in _read(reducer, judge) if not report.sound), ())
    rows = [row for row in report if row.physical and not row.ok]
    told = [
        " ".join((f"{row.name}.", row.trouble, lacks(row), *(_named(ENOUGH, reducer, [row], judge) or [row.remedy])))
        for row in rows
    ]
    return (*told, *(_named(ENOUGH_FOR_ALL, reducer, rows, judge) if len(rows) > 1 else ()))


def _named(words: str, reducer: Reducer, rows: Sequence[Limit], judge: Judge) -> list[str]:
    """A sentence that names some of the figures that would be enough; none without any."""
    figures = enough(reducer, [row.name for row in rows], judge)
    return [words.format(figures=" or ".join(figures[:MOST_NAMED]))] if figures else []


def _read(reducer: Reducer, judge: Judge) -> tuple[Report, ...]:
    """The reports that a judge gives; what gives none is refused by its name."""
    try:
        reports = tuple(judge(reducer))
        for report in reports:
            checked_kind("judge", report, Report)
    except TypeError as error:
        raise TypeError("judge must be a function that takes a reducer and gives reports: give such a one.") from error
    return reports


@read
def lacks(row: Limit) -> str:
    """By how much a row's value passes its bound, and what both of them are, in a sentence.

    Examples
    --------
    >>> lacks(Limit("wall", 1.2, 0.9, "mm", True, False, "least wall asked for, up to that of the hub", "", ""))
    '0.3 mm too much: least wall asked for (1.2 mm), up to that of the hub (0.9 mm).'
    """
    said = re.split(r", (up to|below) ", row.meaning, maxsplit=1)
    if len(said) < 3:
        raise ValueError(f"row is {shown(row.name)}, by which nothing is judged: give one with a bound.")
    value, bound = _told_apart(row.value, row.bound)
    unit = f" {row.unit}" if row.unit else ""
    over = f"{float(value) - float(bound):.6f}".rstrip("0").rstrip(".")
    much = f"{over}{unit} too much" if over != "0" else "As much, but less is needed"
    return f"{much}: {_with(said[0], value, unit)}, {said[1]} {_with(said[2], bound, unit)}."


def _told_apart(value: float, bound: float) -> tuple[str, str]:
    """Two numbers in as many digits as they differ in, two after the point at least."""
    for digits in range(2, 7):
        if abs(value - bound) < SLACK or abs(value - bound) > 4 * 10**-digits:
            break
    return f"{round(value, digits) + 0.0:g}", f"{round(bound, digits) + 0.0:g}"


def _with(words: str, number: str, unit: str) -> str:
    """Words for a number with that number, unless they begin with it."""
    return words if words.split()[0] == number else f"{words} ({number}{unit})"


@read
def enough(reducer: Reducer, names: Sequence[str], judge: Judge) -> tuple[str, ...]:
    """Figures with values of which each alone removes some rows and brings no other, as they stand in a reducer's file.

    First what leaves the fewest rows that forbid anything. `judge` gives the reports on a reducer, a later one being
    told only where those before it are sound.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> from cyclokit.machine import space
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4), output_circle_radius=29.5)
    >>> enough(machine, ["holes inside the roots"], lambda one: (space.check(one),))
    ('output_circle_radius = 28.9', 'output_roller_radius = 4.4', 'pin_circle_radius = 42.6')
    """
    before = _read(reducer, judge)
    figures = dict.fromkeys(figure for name in names for figure in TRIED.get(name, ()))
    found = [one for figure in figures if (one := _with_one(reducer, figure, set(names), before, judge))]
    return tuple(words for _, words in sorted(found, key=lambda one: one[0]))


def _with_one(
    reducer: Reducer, signed: str, names: set[str], before: Sequence[Report], judge: Judge
) -> tuple[tuple[int, int], str] | None:
    """What one figure, with its sign, leaves, and in words to which value it is changed; None if it isn't enough."""
    figure = signed.lstrip("+-")

    def _judged(value: Any) -> Sequence[Report]:
        try:
            return judge(_changed(reducer, figure, value))
        except ValueError:  # it can't be made, or not be judged
            return ()

    def _gone(value: Any) -> bool:
        after = _judged(value)
        return bool(after) and not any(_bad(report) & names for report in after)

    value = _nearest(
        reducer, figure, signed[0], _gone, lambda value: _gone(value) and not _came(before, _judged(value))
    )
    return None if value is None else (_left(_judged(value)), f"{figure} = {_typed(value)}")


def _bad(report: Report) -> set[str]:
    """The names of rows that aren't kept, advice too."""
    return {row.name for row in report if not row.ok}


def _came(before: Sequence[Report], after: Sequence[Report]) -> bool:
    """Whether a change brought a row to the reports up to the first that wasn't sound: of the next nothing was told."""
    told = next((place for place, report in enumerate(before) if not report.sound), len(before))
    return any(_bad(now) - _bad(was) for was, now in zip(before[: told + 1], after, strict=False))


def _left(after: Sequence[Report]) -> tuple[int, int]:
    """How many rows forbid what was changed, the fewer the less; those of a later report are fewer."""
    for place, report in enumerate(after):
        if not report.sound:
            return -place, sum(row.physical and not row.ok for row in report)
    return -len(after), 0


def _changed(reducer: Reducer, figure: str, value: Any) -> Reducer:
    """A reducer with another value of one figure; what wasn't given is chosen anew."""
    given = {name: getattr(reducer, name) for name in reducer.given}
    if figure in DRIVE:
        return Reducer(replace(reducer.drive, **{figure: value}), **given)
    return Reducer(reducer.drive, **given | {figure: value})


def _nearest(reducer: Reducer, figure: str, way: str, gone: Serves, alone: Serves) -> Any:
    """The value of a figure that serves alone and is nearest to what it is, of those that are tried; None if none."""
    now = getattr(reducer.drive if figure in DRIVE else reducer, figure)
    kind = "count" if figure == "pins" else "length" if figure in DRIVE else FIGURES[figure].kind
    if kind in ("length", "number"):
        values: Sequence[Any] = _lengths(now, 1 if way == "+" else -1, FINE_STEP if figure in FINE else STEP, gone)
    elif kind == "count":
        values = [now + step if way == "+" else now - step for step in range(1, MOST_COUNTED)]
    elif kind == "bearing":
        values = sorted(BEARINGS.values(), key=partial(_apart, now)) if now else []
    else:
        words = FIGURES[figure].allowed
        values = sorted(words, key=lambda word: abs(words.index(word) - words.index(now)))
    return next((value for value in values if value != now and alone(value)), None)


def _lengths(now: float, sign: int, step: float, gone: Serves) -> list[float]:
    """The nearest length with which a row is gone [mm], and some beyond it, in whole steps; none if none was found.

    Farther and farther off is tried, then what is nearer, as long as the row is gone there.
    """
    start = math.floor(now / step + SLACK) if sign > 0 else math.ceil(now / step - SLACK)

    def _at(steps: int) -> float:
        return round((start + sign * steps) * step, 6)

    near, far, last = 0, 1, FARTHEST if sign > 0 else start - 1
    while last > 0 and not gone(_at(far)):
        if far == last:
            return []
        slower = last if sign > 0 else max(far + 1, (start + far) // 2)  # no length is less than half of the former
        near, far = far, min(2 * far, last, slower)
    while far - near > 1:
        middle = (near + far) // 2
        near, far = (near, middle) if gone(_at(middle)) else (middle, far)
    return [_at(steps) for steps in range(far, min(far + BEYOND, last + 1))]


def _apart(one: Bearing, other: Bearing) -> float:
    """How different two bearings are [mm]."""
    sizes = ("bore_diameter", "outer_diameter", "width")
    return sum(abs(getattr(one, size) - getattr(other, size)) for size in sizes)


def _typed(value: Any) -> str:
    """A value as it is typed into a reducer's file."""
    if isinstance(value, Bearing | str):
        return f'"{value.name if isinstance(value, Bearing) else value}"'
    return f"{value:g}"
