"""What a machine's frame and output are where nobody says: each figure from the plain numbers that it must suit."""

import math
from functools import partial
from typing import Annotated

from cyclokit.arguments import checked_choice
from cyclokit.machine.hardware import SCREWS, thread
from cyclokit.machine.stock import BEARINGS, Bearing, first_taking
from cyclokit.signatures import Length, read

Thread = Annotated[str, partial(checked_choice, allowed=tuple(SCREWS))]

LIP = 3.0  # mm, between the output bearings' outer rings: common practice, no source
THINNEST_PLATE = 4.0  # mm; common practice, no source
SMALLEST_FIRST = sorted(BEARINGS.values(), key=lambda one: (one.bore_diameter, one.outer_diameter))
HELD = 2.0  # times its diameter a pressed rod is held over: common practice, no source


@read
def output_bearing(crank_bearing: Bearing, least_wall: Length) -> Bearing | None:
    """The smallest bearing of the table that goes round a hub with the crank's bearing and a wall [mm] round it.

    None if there is none.

    Examples
    --------
    >>> output_bearing(BEARINGS["688ZZ"], 1.2).name  # a wall of 1.2 mm round 16 mm
    '61804'
    >>> output_bearing(BEARINGS["61808"], 1.2) is None
    True
    """
    needed = crank_bearing.outer_diameter + 2 * least_wall
    return first_taking(SMALLEST_FIRST, needed)


@read
def output_bearing_span(bearing: Bearing | None) -> float | None:
    """Distance between the middles of two output bearings with a lip between them [mm]; None without a bearing.

    Examples
    --------
    >>> output_bearing_span(BEARINGS["61804"])  # mm
    10.0
    """
    return bearing.width + LIP if bearing else None


@read
def output_roller_bearing(roller_radius: Length, rod_radius: Length) -> Bearing | None:
    """The listed bearing as wide as an output roller, with its rod's diameter for a bore; None if there is none.

    Examples
    --------
    >>> output_roller_bearing(5.0, 1.5).name  # radii [mm]
    '623'
    >>> output_roller_bearing(4.0, 1.5) is None
    True
    """
    sizes = (2 * rod_radius, 2 * roller_radius)
    fitting = [one for one in BEARINGS.values() if (one.bore_diameter, one.outer_diameter) == sizes]
    return min(fitting, key=lambda bearing: bearing.width, default=None)


@read
def plate_thickness(rod_radius: Length) -> float:
    """Thickness of the plates that hold the output rods [mm]: twice a rod's diameter, and not below 4.

    Examples
    --------
    >>> plate_thickness(1.5), plate_thickness(0.5)  # mm
    (6.0, 4.0)
    """
    return max(THINNEST_PLATE, 2 * HELD * rod_radius)


@read
def lever_width(bearing: Bearing | None, screw: Thread, least_wall: Length) -> float | None:
    """Width across flats of the lever's seat [mm]: the cap's screws and a wall outside them; None without a bearing.

    No wider than that its corners stand on the cap.

    Examples
    --------
    >>> lever_width(BEARINGS["61804"], "M3", 1.2), lever_width(BEARINGS["61804"], "M5", 1.2)  # mm
    (17.9, 19.9)
    """
    if bearing is None:
        return None
    wanted = round(bearing.bore_diameter / 2 + thread(screw).head_diameter + 2 * least_wall, 1)
    return min(wanted, math.floor(10 * math.sqrt(3) * bearing.shoulder_radius) / 10)
