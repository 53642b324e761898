"""What a reducer's figures are where nobody gives them: each from the plain numbers that it must suit.

Walls are common practice, no source; bearings are those of the table in `stock`.
"""

import math

from cyclokit.drive import Drive
from cyclokit.machine.stock import BEARINGS, Bearing

LEAST_WALL = 1.2  # mm, three lines of a 0.4 mm nozzle: common practice, no source
WALL_SHARE = 0.07  # of the pin circle radius: what a default wall is on a larger machine
OUTPUT_ROLLERS = (6, 4, 3)  # what is tried, in this order


def wall(pin_circle_radius: float) -> float:
    """A wall [mm] that suits a machine of that pin circle radius [mm]."""
    return max(LEAST_WALL, round(WALL_SHARE * pin_circle_radius, 1))


def eccentric_bearing(shaft_radius: float, eccentricity: float) -> Bearing:
    """The smallest bearing of the table whose eccentric has the shaft in it, and a wall.

    Parameters
    ----------
    shaft_radius, eccentricity : float
        Radius of the crank's shaft, and e [mm].

    Returns
    -------
    Bearing
        The bearing.

    Raises
    ------
    ValueError
        If none is wide enough.
    """
    needed = 2 * (shaft_radius + eccentricity + LEAST_WALL)
    wide = [bearing for bearing in BEARINGS.values() if bearing.bore_diameter >= needed]
    if not wide:
        raise ValueError(
            f"eccentric_bearing must have a bore of {needed:.1f} mm or more, and none in the table has: give a "
            "Bearing of your own, a thinner shaft or a smaller eccentricity."
        )
    return min(wide, key=lambda bearing: (bearing.outer_diameter, bearing.width, bearing.name))


def crank_bearing(shaft_radius: float) -> Bearing:
    """The smallest bearing of the table whose bore takes a shaft.

    Parameters
    ----------
    shaft_radius : float
        Radius of the shaft [mm].

    Returns
    -------
    Bearing
        The bearing.

    Raises
    ------
    ValueError
        If none is wide enough.
    """
    wide = [bearing for bearing in BEARINGS.values() if bearing.bore_diameter >= 2 * shaft_radius]
    if not wide:
        raise ValueError(
            f"shaft_radius is {shaft_radius:g} mm, and no crank_bearing in the table takes it: give a Bearing."
        )
    return min(wide, key=lambda bearing: (bearing.bore_diameter, bearing.outer_diameter, bearing.width))


def output_roller_radius(
    drive: Drive, bore_radius: float, wall: float, hole_clearance: float, outline_clearance: float
) -> float:
    """Radius of the output rollers [mm]: that of the ring's, or as much as leaves two walls beside their holes.

    Parameters
    ----------
    drive : Drive
        The drive.
    bore_radius : float
        Radius of the disc's bore [mm].
    wall : float
        Wall to leave [mm].
    hole_clearance, outline_clearance : float
        What holes are wider by, and the outline is moved in by [mm].

    Returns
    -------
    float
        Radius [mm], in tenths unless it is the ring rollers'.

    Raises
    ------
    ValueError
        If there is no room.
    """
    room = drive.root_circle_radius - bore_radius
    most = room / 2 - wall - drive.eccentricity - hole_clearance - outline_clearance
    if most < 0.1:
        raise ValueError(
            f"output_roller_radius can't be chosen: between roots and bore there are {room:.1f} mm, too few for holes "
            f"and two walls of {wall:g} mm. Give it yourself, or a smaller bearing, or choose a larger pin circle."
        )
    return min(drive.roller_radius, math.floor(10 * most) / 10)


def output_circle_radius(disc_drive: Drive, hole_radius: float, wall: float) -> float:
    """Radius of the output rollers' circle [mm]: as far out as a wall to the roots lets their holes go.

    Parameters
    ----------
    disc_drive : Drive
        The drive with the disc's own outline, clearance included.
    hole_radius : float
        Radius of the output holes [mm].
    wall : float
        Wall to leave [mm].

    Returns
    -------
    float
        Radius [mm], a round number.

    Raises
    ------
    ValueError
        If the holes don't fit inside the roots.
    """
    most = disc_drive.root_circle_radius - hole_radius - wall
    step = 0.5 if wall > 2 else 0.1  # a round number that leaves the inner wall three quarters at least
    if most < step:
        raise ValueError(
            f"output_circle_radius can't be chosen: holes of radius {hole_radius:g} mm don't fit inside the "
            "roots. Give smaller output rollers, or choose a larger pin circle."
        )
    return round(math.floor(most / step) * step, 1)  # 17 * 0.1 is 1.7000000000000002


def output_rollers(output_circle_radius: float, hole_radius: float, wall: float) -> int:
    """Number of output rollers: 6, 4 or 3, the most that leave a wall between their holes.

    Parameters
    ----------
    output_circle_radius, hole_radius, wall : float
        Radius of their circle, of the holes, and the wall to leave [mm].

    Returns
    -------
    int
        The number.

    Raises
    ------
    ValueError
        If even three are too many.
    """
    for number in OUTPUT_ROLLERS:
        apart = 2 * output_circle_radius * math.sin(math.pi / number)
        if apart - 2 * hole_radius >= wall:
            return number
    raise ValueError(
        f"output_rollers can't be chosen: even {OUTPUT_ROLLERS[-1]} holes of radius {hole_radius:g} mm leave "
        f"no wall of {wall:g} mm between them. Give smaller output rollers or a larger circle."
    )


def spacer_radius(shaft_radius: float, eccentricity: float, bearing: Bearing) -> float:
    """Radius of the spacers between eccentrics' bearings [mm].

    Half-way between too small to reach the inner rings and too large to stay off the outer ones.
    """
    least = max(shaft_radius, bearing.bore_diameter / 2 - eccentricity)
    return (least + bearing.shoulder_radius - eccentricity) / 2


def pin_made(roller_radius: float) -> str:
    """How a ring pin with a roller of that radius [mm] is made: of a listed bearing if there is one just as wide."""
    if _ring_bearing(roller_radius):
        return "bearing on rod"
    return "sleeve on rod" if roller_radius >= 2.5 else "solid"


def pin_rod_radius(roller_radius: float, made: str) -> float:
    """Radius of a ring pin's rod [mm], for a roller of that radius [mm] that is made in that way."""
    bearing = _ring_bearing(roller_radius)
    if made == "bearing on rod" and bearing:
        return bearing.bore_diameter / 2
    return roller_radius if made == "solid" else roller_radius / 2


def _ring_bearing(roller_radius: float) -> Bearing | None:
    """The first bearing of the table that is just as wide as the rollers, if there is one."""
    alike = [bearing for bearing in BEARINGS.values() if bearing.outer_diameter == 2 * roller_radius]
    return alike[0] if alike else None
