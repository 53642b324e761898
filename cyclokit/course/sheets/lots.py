"""Numbers of a reader's own, drawn from a text: the same on every machine and with every Python.

The draw is SHA-256 of the text and a running count, read as a whole number; no generator whose stream
may change has a hand in it.
"""

import hashlib
from collections.abc import Sequence
from typing import TypeVar

from cyclokit.drive import Drive
from cyclokit.geometry import limits

Thing = TypeVar("Thing")


class Draw:
    """Draws one number after the other.

    Parameters
    ----------
    text : str
        What all numbers follow from.
    edition : int
        The edition of the sheet, for a task whose numbers are drawn otherwise since a newer one.
    """

    def __init__(self, text: str, edition: int = 1) -> None:
        self.edition = edition
        self._text = text
        self._drawn = 0

    def whole(self, least: int, most: int) -> int:
        """A whole number from `least` to `most`, both included, all equally likely."""
        self._drawn += 1
        digest = hashlib.sha256(f"{self._drawn}/{self._text}".encode()).digest()
        return least + int.from_bytes(digest) % (most - least + 1)  # 2^256 is so large that no remainder is favoured

    def stepped(self, least: float, most: float, step: float) -> float:
        """A number from `least` to `most` in equal steps, such as 12.25."""
        return round(least + step * self.whole(0, round((most - least) / step)), 9)

    def one_of(self, things: Sequence[Thing]) -> Thing:
        """One of several things."""
        return things[self.whole(0, len(things) - 1)]

    def drive(self, fewest_pins: int = 9, most_pins: int = 24) -> Drive:
        """A sound drive of middling size and depth, in numbers that a person would choose.

        The trochoid ratio is about 0.4 to 0.8, the rollers about 0.4 to 0.75 of what would fit.
        """
        pins = self.whole(fewest_pins, most_pins)
        circle = self.stepped(30, 60, 0.5)
        eccentricity = max(0.1, round(self.stepped(0.4, 0.8, 0.01) * circle / pins, 1))
        bounds = (
            f(pins, circle, *more)
            for f, more in ((limits.half_pin_distance, ()), (limits.least_convex_radius, (eccentricity,)))
        )
        roller = max(0.25, round(4 * self.stepped(0.4, 0.75, 0.01) * float(min(bounds))) / 4)
        return Drive(pins, circle, roller, eccentricity)
