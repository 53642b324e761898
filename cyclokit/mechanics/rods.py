"""Ring pins, output rods and the crank as beams: what they are made of, where they are held, where discs load them.

Ring pins and crank are as long as in the bench machine, in which the output's plates stand between discs and frame:
`cyclokit.machine.layout`. Without an output bearing there is no such machine; the frame's plates are taken as near as
the output's then, and the crank's bearings right behind them. Output rods: their plates stand as far from the outer
discs as the discs from each other, or as in the machine, whichever is farther. Assumed, because nothing says it: plates
hold a pin where their faces are, and hold it up without clamping it ("supported", the cautious choice), or clamp it
where it is held at one end only.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cyclokit.arguments import Floats, checked_choice, checked_kind
from cyclokit.machine.layout import Layout, layout
from cyclokit.machine.reducer import SUPPORTS, Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import pins

Band = tuple[float, float]  # least and greatest
EVERY = 20  # of the places that `pins.bend` looks at, one is kept for loads that go round: 101


@dataclass(frozen=True, eq=False)
class Rod:
    """A round beam and where each disc loads it.

    Attributes
    ----------
    diameter, span : float
        Diameter, and free length, between its two supports or from the one to its end [mm].
    material : str
        A name from `cyclokit.machine.stock.MATERIALS`.
    support : str
        As `pins.bend` takes it.
    start, end : ndarray
        Where each disc's load begins and ends [mm from the first support], shape (D,).

    Examples
    --------
    >>> rod = Rod(3.0, 12.0, "plain steel", "both ends", np.array([4.0]), np.array([8.0]))
    >>> round(rod.area, 3), round(rod.section_modulus, 3), rod.strength  # mm^2, mm^3, MPa
    (7.069, 2.651, (400.0, 850.0))
    >>> round(float(rod.compliance(208e3)[0]) * 1e6)  # nm/N
    41
    >>> round(float(rod.unit_moments().max()), 2), round(float(rod.unit_shears().max()), 2)  # N mm, N
    (2.5, 0.5)
    """

    diameter: float
    span: float
    material: str
    support: str
    start: Floats
    end: Floats

    @property
    def strength(self) -> Band | None:
        """Strength of its material [MPa]; of a print across its layers, as pins print. None where no source says."""
        return MATERIALS[self.material].strength_across

    @property
    def area(self) -> float:
        """Area of its section [mm^2]."""
        return float(np.pi * self.diameter**2 / 4)

    @property
    def section_modulus(self) -> float:
        """What divides a bending moment into its greatest stress, pi d^3/32 [mm^3]."""
        return float(np.pi * self.diameter**3 / 32)

    def compliance(self, modulus: float) -> Floats:
        """How far it gives way in the middle of each disc's load, for 1 N of that load alone [mm/N], shape (D,)."""
        return np.array([bent.at_loads[0] for bent in self._by_one(modulus)])

    def unit_moments(self) -> Floats:
        """Bending moment at 101 places along it for 1 N from each disc [N mm], shape (101, D)."""
        return np.stack([bent.moment[::EVERY] for bent in self._by_unit], axis=1)

    def unit_shears(self) -> Floats:
        """Shear force at the same places [N], shape (101, D)."""
        return np.stack([bent.shear_force[::EVERY] for bent in self._by_unit], axis=1)

    @cached_property
    def _by_unit(self) -> list[pins.Bending]:
        return self._by_one(1.0)

    def _by_one(self, modulus: float) -> list[pins.Bending]:
        layers = (pins.Layer(self.diameter, 0.0, modulus),)
        return [
            pins.bend(layers, self.span, self.support, [1.0], [begins], [ends])
            for begins, ends in zip(self.start, self.end, strict=True)
        ]


def ring_pin(reducer: Reducer, support: str | None = None) -> Rod:
    """A ring pin, loaded over its roller's width: its rod, or itself where it is solid, then made as rollers are.

    The support is "both ends" or "one end", such as while the cover is off; the reducer's own if it isn't given.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> pin = ring_pin(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> pin.diameter, round(pin.span, 1), pin.support
    (3.0, 25.4, 'both ends')
    """
    checked_kind("reducer", reducer, Reducer)
    held = reducer.pin_support if support is None else checked_choice("support", support, SUPPORTS)
    material = reducer.roller_material if reducer.pin_made == "solid" else reducer.rod_material
    diameter, width = 2 * reducer.pin_rod_radius, pin_contact_length(reducer)
    return _between(reducer, _frame(reducer), diameter, material, held, width)


def output_rod(reducer: Reducer) -> Rod:
    """An output rod, or a solid output roller, which is then made as rollers are.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> rod = output_rod(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> rod.diameter, rod.support
    (3.0, 'one end')
    """
    checked_kind("reducer", reducer, Reducer)
    material = reducer.roller_material if solid_output(reducer) else reducer.rod_material
    diameter, support = 2 * reducer.output_rod_radius, reducer.output_support
    return _between(reducer, _output_plates(reducer), diameter, material, support, reducer.disc_thickness)


def crank(reducer: Reducer, material: str) -> Rod:
    """The crank's shaft between its two bearings, loaded over the eccentric bearings' width; the eccentrics left out.

    The material is a name from `cyclokit.machine.stock.MATERIALS`.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> shaft = crank(Reducer(Drive(20, 42.0, 5.0, 1.4)), "plain steel")
    >>> shaft.diameter, shaft.support  # mm
    (5.0, 'both ends')
    """
    checked_kind("reducer", reducer, Reducer)
    checked_choice("material", material, tuple(MATERIALS))
    width = reducer.eccentric_bearing.width
    return _between(reducer, _crank_bearings(reducer), 2 * reducer.shaft_radius, material, "both ends", width)


def pin_contact_length(reducer: Reducer) -> float:
    """Length along which a disc touches a ring pin [mm]: its thickness, or the ring bearing's width if that is less.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> pin_contact_length(Reducer(Drive(20, 42.0, 5.0, 1.4)))  # mm
    4.0
    """
    checked_kind("reducer", reducer, Reducer)
    bearing = reducer.ring_bearing
    return min(reducer.disc_thickness, bearing.width) if bearing else reducer.disc_thickness


def solid_output(reducer: Reducer) -> bool:
    """Whether output rollers are solid, one piece with their rods.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> solid_output(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    False
    """
    checked_kind("reducer", reducer, Reducer)
    return reducer.output_rod_radius >= reducer.output_roller_radius


def _between(reducer: Reducer, held: Band, diameter: float, material: str, support: str, width: float) -> Rod:
    """A beam that is held at two heights [mm], loaded over a width at each disc's middle."""
    first, last = held
    middle = np.asarray(_middles(reducer)) - first
    start, end = np.maximum(middle - width / 2, 0.0), np.minimum(middle + width / 2, last - first)
    return Rod(diameter, last - first, material, support, start, end)


def _machine(reducer: Reducer) -> Layout | None:
    return layout(reducer) if reducer.output_bearing else None


def _middles(reducer: Reducer) -> tuple[float, ...]:
    """Heights of the discs' middles [mm]."""
    if plan := _machine(reducer):
        return tuple((bottom + top) / 2 for bottom, top in plan.discs)
    return tuple(disc * reducer.disc_pitch for disc in range(reducer.discs))


def _output_plates(reducer: Reducer) -> Band:
    """Heights of the faces between which output rods are free [mm]."""
    plan, middles = _machine(reducer), _middles(reducer)
    apart = max(reducer.disc_gap, plan.flange[0] - plan.discs[-1][1] if plan else 0.0) + reducer.disc_thickness / 2
    return middles[0] - apart, middles[-1] + apart


def _frame(reducer: Reducer) -> Band:
    """Heights of the faces between which ring pins are free [mm]."""
    plan = _machine(reducer)
    return (plan.plate_top, plan.cover_bottom) if plan else _output_plates(reducer)


def _crank_bearings(reducer: Reducer) -> Band:
    """Heights of the middles of the crank's two bearings [mm]."""
    if plan := _machine(reducer):
        return sum(plan.lower_bearing) / 2, sum(plan.upper_bearing) / 2
    first, last = _output_plates(reducer)
    return first - reducer.crank_bearing.width / 2, last + reducer.crank_bearing.width / 2
