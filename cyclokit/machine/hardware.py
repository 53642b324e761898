"""What else is bought: screws with their nuts and holes, and a motor's face.

Through-holes: ISO 273, medium. Holes in which a screw cuts its own thread: the drill for a thread, its diameter less
its pitch (ISO 2306, ISO 261: from memory). Heads: ISO 4762; nuts: ISO 4032, both from memory, as are the lengths.
Inserts that are melted into a print follow no standard: theirs are from memory, take the maker's. Motor: NEMA ICS 16,
the face of size 17; depth of its threads, length and flat of its shaft from memory: measure the motor at hand.
"""

from dataclasses import dataclass

from cyclokit.arguments import checked_choice, checked_length

LENGTHS = (5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100)  # mm, ISO 4762, from memory


FASTENINGS = ("nuts", "inserts")
INSERT_WALL = 1.6  # mm, round an insert's hole, a rim of 7.2 mm for an M3's: from memory


@dataclass(frozen=True)
class Screw:
    """A socket head cap screw with its hole, nut and insert, all in mm.

    Attributes
    ----------
    name : str
        Thread, such as "M3".
    diameter, hole_diameter, core_diameter : float
        Of the thread; of the through-hole, medium (ISO 273); of the hole in which it cuts its own thread (ISO 2306).
    head_diameter, head_height : float
        Of the head (ISO 4762).
    nut_width, nut_height : float
        Of the nut across its flats, and along the axis (ISO 4032).
    insert_diameter, insert_length : float
        Of the hole for an insert, and of the insert.
    """

    name: str
    diameter: float
    hole_diameter: float
    core_diameter: float
    head_diameter: float
    head_height: float
    nut_width: float
    nut_height: float
    insert_diameter: float
    insert_length: float


SCREWS = {
    screw.name: screw
    for screw in (
        Screw("M2.5", 2.5, 2.9, 2.05, 4.5, 2.5, 5.0, 2.0, 3.6, 4.0),
        Screw("M3", 3.0, 3.4, 2.5, 5.5, 3.0, 5.5, 2.4, 4.0, 5.0),
        Screw("M4", 4.0, 4.5, 3.3, 7.0, 4.0, 7.0, 3.2, 5.6, 6.0),
        Screw("M5", 5.0, 5.5, 4.2, 8.5, 5.0, 8.0, 4.7, 6.4, 7.0),
    )
}


@dataclass(frozen=True)
class Motor:
    """A motor's face, all in mm.

    Attributes
    ----------
    name : str
        Name.
    side, hole_square : float
        Side of its square face, and of the square on which its threads stand.
    pilot_diameter, pilot_height : float
        Of the round step round the shaft.
    screw : str
        Its threads.
    thread_depth : float
        How deep they are: a longer screw bottoms, and holds nothing.

    Examples
    --------
    >>> round(MOTOR.hole_circle_radius, 3)  # mm
    21.92
    """

    name: str
    side: float
    hole_square: float
    pilot_diameter: float
    pilot_height: float
    screw: str
    thread_depth: float

    @property
    def hole_circle_radius(self) -> float:
        """Radius of the circle on which the threads stand [mm]."""
        return self.hole_square / 2**0.5


MOTOR = Motor("NEMA 17", 42.3, 31.0, 22.0, 2.0, "M3", 4.5)


def longest_screw(room: float) -> int:
    """The longest screw of the list that is no longer than the room it has.

    Parameters
    ----------
    room : float
        From under the head to where the tip may be at most [mm].

    Returns
    -------
    int
        Length [mm], the head not counted.

    Raises
    ------
    ValueError
        If even the shortest is too long.

    Examples
    --------
    >>> longest_screw(38.5)
    35
    """
    limit = checked_length("room", room)
    fitting = [length for length in LENGTHS if length <= limit]
    if not fitting:
        raise ValueError(
            f"room is {limit:g} mm, but the shortest screw of the list is {LENGTHS[0]}: make what it goes through "
            "thicker."
        )
    return fitting[-1]


def thread(name: str) -> Screw:
    """The screw of a thread's name, one of the table's.

    Examples
    --------
    >>> thread("M3").hole_diameter  # mm
    3.4
    """
    return SCREWS[checked_choice("name", name, tuple(SCREWS))]
