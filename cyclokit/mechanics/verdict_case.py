"""What a verdict is asked: a reducer, its load, what its drawing doesn't say; and the forces that follow."""

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from cyclokit.arguments import checked_kind
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import BEARINGS, Bearing
from cyclokit.mechanics import bearings, friction, rods
from cyclokit.mechanics.loads import Corner, corners
from cyclokit.mechanics.verdict_table import Band, Row
from cyclokit.mechanics.verdict_words import SENTENCES

LISTS_DIFFER = (1.0, 1.5)  # what a maker's rating may be of the cautious one: from memory


@dataclass(frozen=True, eq=False)
class Case:
    """What is judged, read with care: the arguments of `verdict.judge`, and what several rows ask for.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> case = Case(machine, 2000.0, 10.0, 1.5, 1000.0, True, {}, None, None, None, None)
    >>> len(case.corners), case.ring_pin.diameter, sorted(case.stressed)
    (4, 3.0, ['output rods', 'ring pins', 'web between hole and root'])
    >>> low, high = case.over(lambda corner: corner.largest_pin_force)
    >>> low < high
    True
    >>> 0 < case.efficiency.forward[0] < 1
    True
    >>> case.row("ring pins", (10.0, 20.0), (100.0, 200.0), "MPa").safety
    (5.0, 20.0)
    >>> rated = case.ratings_of(machine.eccentric_bearing)
    >>> [row.name for row in case.bearing_rows("eccentric bearing", rated, 10.0, (10.0, 20.0), (30.0, 40.0))]
    ['eccentric bearing, life', 'eccentric bearing, at rest']
    """

    reducer: Reducer
    torque: float
    speed: float
    safety: float
    hours: float
    covered: bool
    ratings: Mapping[str, bearings.Ratings]
    shaft_material: str | None
    grip_torque: float | None
    overhung: tuple[float, float, float] | None
    output_ratings: bearings.Ratings | None

    @cached_property
    def corners(self) -> tuple[Corner, ...]:
        """The forces, without gaps and with them, with the least and the greatest moduli."""
        return corners(self.reducer, self.torque)

    @cached_property
    def efficiency(self) -> friction.Efficiency:
        """Of the reducer, friction as a range."""
        reducer = self.reducer
        plain = (friction.OILED[0], friction.DRY[1])
        pins = friction.ROLLING if reducer.ring_bearing else plain
        if reducer.pin_made != "solid":
            pins = friction.at_roller(pins, reducer.pin_rod_radius, reducer.drive.roller_radius)
        rod = min(reducer.output_rod_radius, reducer.output_roller_radius)
        return friction.efficiency(reducer, pins, friction.at_roller(plain, rod, reducer.output_roller_radius))

    @cached_property
    def ring_pin(self) -> rods.Rod:
        """A ring pin, as it is held with or without the cover."""
        return rods.ring_pin(self.reducer, None if self.covered else "one end")

    @cached_property
    def stressed(self) -> dict[str, tuple[Band, Band | None, str]]:
        """Parts that bend once a crank turn: stress [MPa], strength [MPa] and material of each."""
        reducer, pin, rod = self.reducer, self.ring_pin, rods.output_rod(self.reducer)
        web = [corner.web_stress() for corner in self.corners]
        return {
            "ring pins": (self.over(lambda c: c.ring_pin_stress(pin)), pin.strength, pin.material),
            "web between hole and root": (
                (min(low for low, _ in web), max(high for _, high in web)),
                disc_strength(reducer),
                reducer.disc_material,
            ),
            "output rods": (self.over(lambda c: c.output_rod_stress(rod)), rod.strength, rod.material),
        }

    def over(self, figure: Callable[[Corner], float]) -> Band:
        """Least and greatest of a figure over the corners."""
        values = [figure(corner) for corner in self.corners]
        return min(values), max(values)

    def row(self, name: str, loaded: Band | None, bears: Band | None, unit: str, part: str = "") -> Row:
        """A row of the table, with its sentences."""
        meaning, remedy = SENTENCES[name]
        return Row(name, meaning.format(part=part), remedy, loaded, bears, unit, self.safety)

    def ratings_of(self, bearing: Bearing) -> tuple[bearings.Ratings, Band] | None:
        """Ratings of a bearing, and the range in which the true ones are of them."""
        if bearing.name in self.ratings:
            return self.ratings[bearing.name], (1.0, 1.0)
        cautious = bearings.CAUTIOUS.get(bearing.name) if BEARINGS.get(bearing.name) == bearing else None
        return (cautious, LISTS_DIFFER) if cautious else None

    def bearing_rows(
        self,
        name: str,
        rated: tuple[bearings.Ratings, Band] | None,
        rate: float,
        tiring: Band | None,
        most: Band | None,
    ) -> Iterator[Row]:
        """Life, if it turns, and static safety of a bearing, ring against ring at a rate [rad/s]."""
        millions = rate * self.hours * 3600 / (2 * math.pi) / 1e6
        kinds = [("at rest", most, 1.0)]
        if millions:  # a bearing that doesn't turn has no life to judge
            kinds.insert(0, ("life", tiring, millions ** (-1 / bearings.EXPONENT)))
        for kind, loaded, share in kinds:
            bears = None
            if rated:
                rating = rated[0].dynamic if kind == "life" else rated[0].static
                bears = (rating * rated[1][0] * share, rating * rated[1][1] * share)
            yield self.row(f"{name}, {kind}", loaded, bears, "N")


def disc_strength(reducer: Reducer) -> Band | None:
    """Strength of the disc as it is printed [MPa]; None where no source says.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> disc_strength(Reducer(Drive(20, 42.0, 5.0, 1.4)))  # MPa
    (30.0, 56.0)
    """
    checked_kind("reducer", reducer, Reducer)
    try:
        return reducer.disc_strength
    except ValueError:  # no source says how strong that is across its layers
        return None
