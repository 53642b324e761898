"""What fits in what: limits of metal parts (ISO 286), and how each hole and seat of a bench machine is meant.

A fit in a print isn't one of ISO 286: a calibration print decides, and the allowances make up for it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from cyclokit.arguments import checked_choice, checked_kind, checked_length
from cyclokit.machine.crank import division
from cyclokit.machine.hardware import thread
from cyclokit.machine.layout import (
    BUSH_PLAY,
    LEVER_PLAY,
    PILOT_PLAY,
    SCREW_GAP,
    SEAT_PLAY,
    SEAT_SLACK,
    chamfer,
    layout,
)
from cyclokit.machine.reducer import Reducer

# Up to this nominal size [mm]: lower and upper deviation [um]. ISO 286-2 as read in NSK's rolling bearings catalogue,
# appendices 9 to 11; up to 3 mm and h8 from memory. "bearing" is the bore of a bearing of normal class, from memory.
DEVIATIONS = {
    "m6": {3.0: (2, 8), 6.0: (4, 12), 10.0: (6, 15)},
    "h6": {3.0: (-6, 0), 6.0: (-8, 0), 10.0: (-9, 0)},
    "h8": {3.0: (-14, 0), 6.0: (-18, 0), 10.0: (-22, 0)},
    "g6": {3.0: (-8, -2), 6.0: (-12, -4), 10.0: (-14, -5)},
    "H7": {3.0: (0, 10), 6.0: (0, 12), 10.0: (0, 15)},
    "bearing": {10.0: (-8, 0)},
}
HOLES, RODS = ("H7", "bearing"), ("m6", "h6", "h8", "g6")
PRESS, SLIDE, FREE = "press", "slide", "free"


@dataclass(frozen=True)
class Fit:
    """How one part sits in or on another.

    Attributes
    ----------
    where : str
        What sits where.
    kind : str
        "press", "slide" or "free".
    play : float
        What the hole's diameter is wider by, as it is drawn [mm].
    words : str
        How it is made so.
    """

    where: str
    kind: str
    play: float
    words: str


def deviations(nominal: float, zone: str) -> tuple[float, float]:
    """Lower and upper deviation of a tolerance zone [mm], for a nominal diameter up to 10 mm.

    Zones: "m6", "h6", "h8" or "g6" of a rod, "H7" of a hole, or "bearing" of a bearing's bore.

    Raises
    ------
    ValueError
        If the zone isn't listed, or the size is beyond its table.

    Examples
    --------
    >>> deviations(3.0, "m6")  # mm
    (0.002, 0.008)
    >>> deviations(8.0, "H7")  # mm
    (0.0, 0.015)
    """
    size = checked_length("nominal", nominal)
    table = DEVIATIONS[checked_choice("zone", zone, tuple(DEVIATIONS))]
    for most, (lower, upper) in table.items():
        if size <= most:
            return lower / 1000, upper / 1000
    raise ValueError(f"nominal is {size:g} mm, but {zone} is listed up to {max(table):g}: look it up in ISO 286-2.")


def play(nominal: float, hole: str, rod: str) -> tuple[float, float]:
    """Least and greatest play, on the diameter, of a rod in a hole of the same nominal one [mm]; pressed below 0.

    Hole and rod are told by their tolerance zones.

    Examples
    --------
    >>> play(3.0, "bearing", "m6")  # a dowel pin in a miniature bearing: always pressed
    (-0.016, -0.002)
    >>> play(3.0, "bearing", "h6")
    (-0.008, 0.006)
    """
    low, high = deviations(nominal, checked_choice("hole", hole, HOLES))
    thin, thick = deviations(nominal, checked_choice("rod", rod, RODS))
    return round(low - thick, 6), round(high - thin, 6)


def lean(play_in_seat: float, depth: float, height: float) -> float:
    """How far a rod in one seat leans to either side at a height above it [mm], as its seat's two ends let it.

    The play is on the diameter, the depth that of the seat, the height above the seat [mm].

    Examples
    --------
    >>> round(lean(0.05, 3.5, 25.0), 4)
    0.3821
    """
    loose, held = checked_length("play_in_seat", play_in_seat), checked_length("depth", depth)
    return loose * (checked_length("height", height) + held / 2) / held


def caught(reducer: Reducer) -> float:
    """The play in a ring pin's seat, on the diameter, with which the leaning rod still finds the cover's chamfer [mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> round(caught(machine), 4), round(lean(caught(machine), 3.5, 25.4), 4)  # mm: it leans as far as the chamfer
    (0.0516, 0.4)
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    plan = layout(reducer)
    return chamfer(reducer) / lean(1.0, reducer.seat_depth, plan.cover_bottom - plan.plate_top)


def fits(reducer: Reducer) -> tuple[Fit, ...]:
    """How every hole and seat of a bench machine is meant; printed seats at their nominal size.

    The calibration print's allowance makes them so.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> loose = [fit for fit in fits(Reducer(Drive(20, 42.0, 5.0, 1.4))) if fit.kind == FREE]
    >>> [(fit.where, round(fit.play, 3)) for fit in loose[:2]]  # mm
    [('spacer between them on the hub', 0.2), ('spacers on the crank', 0.2)]
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    seat = "printed to size after a calibration print; press by the outer ring"
    return (
        Fit("crank's lower bearing in the motor's plate", PRESS, 0.0, seat),
        Fit("crank's upper bearing in the hub", PRESS, 0.0, seat),
        Fit("eccentric bearings in the discs", PRESS, 0.0, f"{seat}, its middle in the disc's"),
        Fit("output bearings in the cover", PRESS, 0.0, f"{seat}, one from either side up to the lip"),
        Fit("output bearings on the hub", SLIDE, 0.0, "sanded until they slide; the cap clamps them"),
        Fit("spacer between them on the hub", FREE, 2 * BUSH_PLAY, "printed; its length sets the bearings' play"),
        Fit("crank bearings on the crank", SLIDE, 0.0, "sanded until they slide; spacers hold them"),
        *_on_eccentrics(reducer),
        Fit("spacers on the crank", FREE, 2 * BUSH_PLAY, "printed"),
        Fit("ring pins' rods in motor's plate and cover", SLIDE, SEAT_SLACK, f"{2 * SEAT_PLAY:g} mm free lengthwise"),
        Fit("output rods in their plates or collars", PRESS, 0.0, "printed to size after a calibration print"),
        Fit("roller bearings on their rods", SLIDE, 0.0, "rods h6 or h8; an m6 pin jams in the bore"),
        Fit(
            "sleeves on their rods", SLIDE, 0.0, "bored H7 for a rod h6 or h8, or sanded until they turn by themselves"
        ),
        Fit("spacers on their rods", FREE, 2 * BUSH_PLAY, "printed"),
        Fit("motor's pilot in its plate", FREE, 2 * PILOT_PLAY, "printed; it centres the motor"),
        Fit("crank on the motor's shaft", FREE, 2 * reducer.shaft_play, "so that their bearings don't fight"),
        Fit("output rollers in the discs' holes", FREE, 2 * reducer.hole_clearance, "the reducer's clearance"),
        *_screwed(reducer),
        Fit("lever on its seat", FREE, 2 * LEVER_PLAY, "printed; the cap's screws hold it"),
    )


def _on_eccentrics(reducer: Reducer) -> Iterator[Fit]:
    """How each disc's bearing sits on the crank, and what is on either side of it."""
    last = reducer.discs - 1
    for number in range(reducer.discs):
        below = f"the neck above bearing {number - 1}" if number else "the lower spacer"
        above = f"the neck below bearing {number + 1}" if number < last else "the upper spacer"
        words = f"sanded until it slides; between {below} and {above}"
        yield Fit(f"eccentric bearing {number} on the crank", SLIDE, 0.0, words)


def _screwed(reducer: Reducer) -> Iterator[Fit]:
    """How screws and what they go into sit in their holes."""
    screw = thread(reducer.screw)
    yield Fit("screws in their through-holes", FREE, screw.hole_diameter - screw.diameter, "ISO 273, medium")
    yield Fit("heads of the motor's screws, sunk", FREE, 2 * SCREW_GAP, "printed")
    if reducer.screws_into == "inserts":
        yield Fit("inserts in the motor's plate", PRESS, 0.0, "melted in; the hole is the maker's")
    else:
        yield Fit("nuts in their pockets", FREE, 2 * SCREW_GAP, "printed; a corner stops them turning")
    yield Fit(
        "cap's screws in the hub", PRESS, 0.0, f"they cut their own thread in holes of {screw.core_diameter:g} mm"
    )
    if reducer.output_bearing and (cut := division(reducer)):
        yield Fit("crank's spigot in its upper piece", SLIDE, 0.0, "sanded until it slides; a flat, and a screw")
        if cut.loose_neck:
            yield Fit("crank's neck on the spigot", SLIDE, 0.0, "sanded until it slides; the two pieces clamp it")
