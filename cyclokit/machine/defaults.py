"""What a reducer's figures are where nobody gives them: each from the plain numbers that it must suit.

Walls are common practice, no source; bearings are those of the table in `stock`.
"""

import math
from functools import partial
from typing import Annotated

from cyclokit.arguments import checked_choice, checked_number
from cyclokit.drive import Drive
from cyclokit.machine.stock import BEARINGS, Bearing, first_taking
from cyclokit.report import SLACK, within
from cyclokit.signatures import Length, read

LEAST_WALL = 1.2  # mm, three lines of a 0.4 mm nozzle: common practice, no source
RUNNING_GAP = 0.3  # mm, between parts that turn past each other: common practice, no source
RESOLUTION = 0.4  # mm, the usual nozzle: common practice, no source
WALL_SHARE = 0.07  # of the pin circle radius: the housing's wall on a larger machine
OUTER_SHARE = 0.25  # of what is free beside an output hole, left outside it: far out forces are small, roots are weak
SMALLEST_OUTPUT_ROLLER = 1.5  # mm, radius: thinner rods bend and aren't sold with sleeves; common practice, no source
OUTPUT_ROLLERS = (6, 4, 3)  # what is tried, in this order
DISC_GAP = 1.0  # mm
WASHER = 0.5  # mm, the thinnest plain washer, M3: ISO 7089, from memory
PINS_MADE = ("solid", "sleeve on rod", "bearing on rod")
BY_OUTSIDE = sorted(BEARINGS.values(), key=lambda one: (one.outer_diameter, one.width, one.name))
BY_BORE = sorted(BEARINGS.values(), key=lambda one: (one.bore_diameter, one.outer_diameter, -one.width))
CLEARANCE = (0.0, 5.0)  # mm; beyond that it is a slip of the unit

Clearance = Annotated[float, partial(checked_number, least=CLEARANCE[0], most=CLEARANCE[1])]
Made = Annotated[str, partial(checked_choice, allowed=PINS_MADE)]


@read
def housing_wall(pin_circle_radius: Length, least_wall: Length, running_gap: Length) -> float:
    """A housing's wall, running gap included [mm], that suits a machine of that pin circle radius [mm].

    Examples
    --------
    >>> housing_wall(42.0, least_wall=1.2, running_gap=0.3)  # mm
    2.9
    """
    return max(round(least_wall + running_gap, 6), round(WALL_SHARE * pin_circle_radius, 1))


@read
def eccentric_bearing(shaft_radius: Length, eccentricity: Length, least_wall: Length = LEAST_WALL) -> Bearing:
    """The smallest bearing of the table whose eccentric has the shaft in it, and a wall [all mm].

    Raises
    ------
    ValueError
        If none is wide enough.

    Examples
    --------
    >>> eccentric_bearing(shaft_radius=2.5, eccentricity=1.4).name
    '61801'
    """
    needed = 2 * (shaft_radius + eccentricity + least_wall)
    if bearing := first_taking(BY_OUTSIDE, needed):
        return bearing
    raise ValueError(
        f"eccentric_bearing must have a bore of {needed:.1f} mm or more, and none in the table has: give a "
        "Bearing of your own, a thinner shaft or a smaller eccentricity."
    )


@read
def crank_bearing(shaft_radius: Length) -> Bearing:
    """The smallest bearing of the table whose bore takes the crank: a shaft and a wall of 1.2 mm all round it.

    Where none has room for the walls, the smallest that takes the shaft. Of two alike but for their width the wider,
    which is the shielded one. It doesn't hang on the wall that is asked for: a search that eases this keeps its parts.

    Raises
    ------
    ValueError
        If none takes even the shaft.

    Examples
    --------
    >>> crank_bearing(shaft_radius=2.5).name
    '688ZZ'
    """
    for needed in (2 * (shaft_radius + LEAST_WALL), 2 * shaft_radius):
        if bearing := first_taking(BY_BORE, needed):
            return bearing
    raise ValueError(
        f"shaft_radius is {shaft_radius:g} mm, and no crank_bearing in the table takes it: give a Bearing."
    )


@read
def journal_wall(shaft_radius: Length) -> float:
    """Wall round the shaft of a crank that fills the bearing that is chosen for it [mm].

    The eccentric has as much at least, so that its bearing passes the crank's journals.

    Examples
    --------
    >>> journal_wall(shaft_radius=2.5)  # mm: 688ZZ
    1.5
    """
    return crank_bearing(shaft_radius).bore_diameter / 2 - shaft_radius


@read
def output_roller_radius(
    drive: Drive, bore_radius: Length, wall: Length, hole_clearance: Clearance, outline_clearance: Clearance
) -> float:
    """Radius of the output rollers [mm]: that of the ring's, or as much as leaves two walls beside their holes.

    It is 1.5 or more, in tenths unless it is the ring rollers'. The clearances are what holes are wider by, and the
    outline is moved in by [mm].

    Raises
    ------
    ValueError
        If there is no room for rollers of 1.5 mm.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> output_roller_radius(story, bore_radius=10.5, wall=1.2, hole_clearance=0.1, outline_clearance=0.1)  # mm
    5.0
    """
    room = drive.root_circle_radius - bore_radius
    holes = (room - outline_clearance - 0.1) / 2 - wall  # 0.1 is left for rounding their circle
    most = math.floor(10 * (holes - drive.eccentricity - hole_clearance) + SLACK) / 10
    if most < SMALLEST_OUTPUT_ROLLER:
        between = f"between roots and bore there are {room:.1f} mm, which"
        if room < 0:
            roots = drive.root_circle_radius
            between = f"the roots, {roots:.1f} mm from the middle, are inside the bore of {bore_radius:g} and"
        raise ValueError(
            f"output_roller_radius can't be chosen: {between} with two walls of {wall:g} mm leave no holes for rollers "
            f"of {SMALLEST_OUTPUT_ROLLER:g} mm. Give output_roller_radius or a smaller least_wall or "
            "eccentric_bearing, or choose a larger pin circle."
        )
    return min(max(drive.roller_radius, SMALLEST_OUTPUT_ROLLER), most)


@read
def output_circle_radius(disc_drive: Drive, hole_radius: Length, bore_radius: Length, wall: Length) -> float:
    """Radius of the output rollers' circle [mm]: a quarter of what is free beside the holes is left outside them.

    It is in tenths, and leaves the wall to the roots of the disc's own outline, clearance included.

    Raises
    ------
    ValueError
        If the holes don't fit inside the roots.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> output_circle_radius(story, hole_radius=6.5, bore_radius=10.5, wall=1.2)  # mm
    26.0
    """
    roots = disc_drive.root_circle_radius
    outside = max(wall, OUTER_SHARE * (roots - bore_radius - 2 * hole_radius))
    most = math.floor(10 * (roots - hole_radius - outside) + SLACK)  # 10 * 23.8 can be 237.99999999999997
    if most < 1:
        raise ValueError(
            f"output_circle_radius can't be chosen: holes of radius {hole_radius:g} mm don't fit inside the "
            "roots. Give smaller output rollers, or choose a larger pin circle."
        )
    return most / 10


@read
def output_rollers(output_circle_radius: Length, hole_radius: Length, wall: Length) -> int:
    """Number of output rollers: 6, 4 or 3, the most that leave a wall [mm] between their holes.

    Raises
    ------
    ValueError
        If even three are too many.

    Examples
    --------
    >>> output_rollers(output_circle_radius=23.8, hole_radius=6.5, wall=1.2)
    6
    """
    for number in OUTPUT_ROLLERS:
        apart = 2 * output_circle_radius * math.sin(math.pi / number)
        if within(wall, apart - 2 * hole_radius, strict=False):
            return number
    raise ValueError(
        f"output_rollers can't be chosen: even {OUTPUT_ROLLERS[-1]} holes of radius {hole_radius:g} mm leave "
        f"no wall of {wall:g} mm between them. Give smaller output rollers or a larger output_circle_radius."
    )


@read
def spacer_radius(shaft_radius: Length, eccentricity: Length, bearing: Bearing) -> float:
    """Radius of the spacers between eccentrics' bearings [mm].

    Half-way between too small to reach the inner rings and too large to stay off the outer ones.

    Examples
    --------
    >>> round(spacer_radius(2.5, 1.4, BEARINGS["61801"]), 3)  # mm
    5.162
    """
    least = max(shaft_radius, bearing.bore_diameter / 2 - eccentricity)
    return (least + bearing.shoulder_radius - eccentricity) / 2


@read
def pin_made(roller_radius: Length, bearing: Bearing | None) -> str:
    """How a ring pin is made: of the bearing that is named, or of a listed one that is just as wide [mm].

    Examples
    --------
    >>> pin_made(5.0, None)  # the bearing 623 is as wide
    'bearing on rod'
    >>> pin_made(4.0, None)
    'sleeve on rod'
    """
    if bearing or pin_bearing(roller_radius).outer_diameter == 2 * roller_radius:
        return "bearing on rod"
    return plain_pin(roller_radius)


@read
def plain_pin(roller_radius: Length) -> str:
    """How a pin is made whose roller of that radius [mm] is no bearing.

    Examples
    --------
    >>> plain_pin(2.0), plain_pin(4.0)
    ('solid', 'sleeve on rod')
    """
    return "sleeve on rod" if roller_radius >= 2.5 else "solid"


@read
def pin_bearing(roller_radius: Length, rod_radius: Length | None = None) -> Bearing:
    """The bearing of the table with the outside nearest to a roller's, and of these the bore nearest to its rod's.

    Examples
    --------
    >>> pin_bearing(5.0).name
    '623'
    """
    return min(
        BEARINGS.values(),
        key=lambda bearing: (
            abs(bearing.outer_diameter - 2 * roller_radius),
            abs(bearing.bore_diameter - 2 * rod_radius) if rod_radius else 0.0,
        ),
    )


@read
def rod_radius(roller_radius: Length, made: Made, bearing: Bearing | None) -> float:
    """Radius of the rod of a roller of that radius [mm], for the way in which it is made, and its bearing if any.

    Examples
    --------
    >>> rod_radius(4.0, "sleeve on rod", None)  # mm
    2.0
    """
    if bearing:
        return bearing.bore_diameter / 2
    return roller_radius if made == "solid" else roller_radius / 2


@read
def output_rod_radius(output_roller_radius: Length, roller_radius: Length, pin_rod_radius: Length) -> float:
    """Radius of an output roller's rod [mm]: like the ring's if the rollers are alike, else as a pin's would be.

    Examples
    --------
    >>> output_rod_radius(5.0, roller_radius=5.0, pin_rod_radius=1.5)  # mm
    1.5
    """
    if output_roller_radius == roller_radius:
        return pin_rod_radius
    made = pin_made(output_roller_radius, None)
    return rod_radius(output_roller_radius, made, pin_bearing(output_roller_radius) if made == PINS_MADE[2] else None)


@read
def disc_gap(disc_thickness: Length, eccentric_bearing: Bearing, ring_bearing: Bearing | None) -> float:
    """Free distance between two discs [mm]: 1, or what bearings wider than the disc need, with a washer between.

    Examples
    --------
    >>> disc_gap(5.0, BEARINGS["61801"], None)  # mm
    1.0
    """
    widest = max(bearing.width for bearing in (eccentric_bearing, ring_bearing) if bearing)
    return max(DISC_GAP, round(widest + WASHER - disc_thickness, 6))
