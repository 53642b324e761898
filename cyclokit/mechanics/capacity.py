"""The torque that a reducer bears by formulas, for arrays: one design and a million candidates are weighed alike.

Forces are the literature's means: 4 T/(e Zc N) on the most loaded ring pin, 4 T/(Zw Rw) on an output roller, shared
evenly by the discs, and the mean force of the eccentric's bearing. Ring pins, output rods, the web between hole and
root, the contact along the whole flank and the eccentric bearing's static rating are weighed, each with the lower end
of what its material bears. Where output rods are held at one end the disc nearer to their carrier takes more than its
share, for the story's drive 1.3 to 1.5 of it: for that, and for everything else, gaps included, `verdict.judge` has
the last word.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import lru_cache, reduce

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import GREATEST_SIZE, Floats, checked_kind, checked_number, from_zero, positive
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import BEARINGS, MATERIALS
from cyclokit.mechanics import bearings, pins, rods
from cyclokit.mechanics.contact import SHEAR
from cyclokit.mechanics.loads import ENDS
from cyclokit.mechanics.stiffness import POISSON
from cyclokit.texts import shown

ROOM = 1 + 1e-5  # what `worst_contact`, which looks at places, may be below the worst
LOOKED_AT, NEARER = 49, 4  # places on half a lobe's flank, and how many times nearer round the worst of them


@dataclass(frozen=True)
class Strengths:
    """What the parts of a reducer bear, whatever its drive is; with the safety taken off, 0 where it isn't known.

    Attributes
    ----------
    discs : int
        Number of discs that share.
    pin_force, output_force, bearing_force : float or ndarray
        On a ring pin, an output rod, and an eccentric's bearing [N].
    web : float or ndarray
        Stress in the web, times the disc's thickness [N/mm].
    contact : float or ndarray
        Force times curvature, relative, at which a contact reaches its pressure [N/mm].
    """

    discs: int
    pin_force: float | Floats
    output_force: float | Floats
    bearing_force: float | Floats
    web: float | Floats
    contact: float | Floats


PARTS = tuple(field.name for field in fields(Strengths))[1:]


def strengths(reducer: Reducer, safety: float) -> Strengths:
    """What the parts of a reducer bear at a safety.

    Parameters
    ----------
    reducer : Reducer
        The reducer; of its drive only the roller counts.
    safety : float
        The safety asked for, 1 or more.

    Returns
    -------
    Strengths
        The lower ends of what materials and ratings are known to bear.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> borne = strengths(Reducer(Drive(20, 42.0, 5.0, 1.4)), 2.0)
    >>> round(borne.pin_force), round(borne.bearing_force)  # N
    (96, 315)
    """
    checked_kind("reducer", reducer, Reducer)
    safety = checked_number("safety", safety, 1, GREATEST_SIZE)
    bearing, disc = reducer.eccentric_bearing, MATERIALS[reducer.disc_material]
    rated = bearings.CAUTIOUS.get(bearing.name) if BEARINGS.get(bearing.name) == bearing else None
    along = disc.strength if reducer.print_orientation == "flat" else disc.strength_across
    strong, roller = along[0] if along else 0.0, MATERIALS[reducer.roller_material]
    pressure = min(strong, roller.strength[0]) / (2 * SHEAR) / safety
    compliance = (1 - POISSON**2) * (1 / disc.modulus[1] + 1 / roller.modulus[1])
    return Strengths(
        reducer.discs,
        _rod_force(rods.ring_pin(reducer)) / safety,
        _rod_force(rods.output_rod(reducer)) / safety,
        rated.static / safety if rated else 0.0,
        strong * reducer.disc_thickness / safety,
        pressure**2 * np.pi * rods.pin_contact_length(reducer) * compliance,
    )


def torque(borne: Strengths, plain: space.Lengths, worst: ArrayLike) -> Floats:
    """Greatest torque at the output that the weakest of the parts bears, for arrays.

    Parameters
    ----------
    borne : Strengths
        What the parts bear.
    plain : Lengths
        The plain numbers of reducers with these parts.
    worst : array_like
        What `worst_contact` gives for them [1/mm].

    Returns
    -------
    ndarray
        Torque [N mm], 0 where there is no web.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> plain = space.lengths(machine)
    >>> round(float(torque(strengths(machine, 2.0), plain, worst_contact(plain))))  # N mm
    1466
    """
    checked_kind("borne", borne, Strengths)
    checked_kind("plain", plain, space.Lengths)
    arm, circle = plain.eccentricity * (plain.pins - 1), plain.output_circle_radius
    on_pin = 4 / (arm * plain.pins)  # force for a torque of 1 N mm on one disc
    on_roller = 4 / (plain.output_rollers * circle)
    on_bearing = np.hypot(1 / arm, 4 / (np.pi * circle) - 2 * _mean_along(plain) / (np.pi * arm))
    web = np.maximum(space.root_radius(plain) - circle - plain.hole_radius, 0.0)
    with np.errstate(divide="ignore"):  # no web bears nothing
        bent = ENDS[1] * 2 * plain.hole_radius * 6 / web**2
        sheared = np.sqrt(3) * 1.5 / 2 / web
    on_web = np.maximum(on_pin, on_roller) * np.maximum(bent, sheared)
    pairs = (
        (borne.pin_force, on_pin),
        (borne.output_force, on_roller),
        (borne.bearing_force, on_bearing),
        (borne.web, on_web),
        (borne.contact, on_pin * positive("worst", worst)),
    )
    return np.asarray(borne.discs * reduce(np.minimum, [bears / loaded for bears, loaded in pairs]))


def at_most(several: Sequence[Strengths], plain: space.Lengths) -> Floats:
    """A torque that none of several choices of parts exceeds with that shape [N mm], quickly, for arrays.

    Parameters
    ----------
    several : sequence of Strengths
        What the choices bear.
    plain : Lengths
        The plain numbers of the shapes; the output circle and what stands on it don't matter.

    Returns
    -------
    ndarray
        Torque [N mm]: the contact is looked at where the force is greatest only, and the output circle is taken as
        large as the root circle.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> bool(at_most([strengths(machine, 2.0)], space.lengths(machine)) >= of(machine, 2.0))
    True
    """
    checked_kind("plain", plain, space.Lengths)
    several = _all_strengths(several)
    best = {name: max(getattr(borne, name) for borne in several) for name in PARTS}
    arm = plain.eccentricity * (plain.pins - 1)
    ratio = plain.eccentricity * plain.pins / plain.pin_circle_radius
    there = _pressed(plain, np.arccos(np.minimum(ratio, 1.0)))
    bounds = (
        best["pin_force"] * arm * plain.pins / 4,
        best["contact"] * arm * plain.pins / (4 * there),
        best["output_force"] * plain.output_rollers * space.root_radius(plain) / 4,
        best["bearing_force"] * arm,
    )
    return np.asarray(several[0].discs * ROOM * reduce(np.minimum, bounds))


def together(several: Sequence[Strengths], kind: np.ndarray) -> Strengths:
    """Strengths of candidates, each of one of several kinds by its number, as arrays.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> both = together([strengths(machine, 1.0), strengths(machine, 2.0)], np.array([0, 1, 1]))
    >>> [round(force) for force in both.bearing_force]  # N
    [630, 315, 315]
    """
    several, numbers = _all_strengths(several), from_zero("kind", kind)
    if not ((numbers < len(several)) & (numbers == np.floor(numbers))).all():
        raise ValueError(f"kind is {shown(kind)}, but must be whole numbers from 0 to {len(several) - 1}: give places.")
    figures = (np.array([getattr(borne, name) for borne in several])[numbers.astype(int)] for name in PARTS)
    return Strengths(several[0].discs, *figures)


def of(reducer: Reducer, safety: float) -> float:
    """Greatest torque at a reducer's output that the weakest of these parts bears at a safety [N mm].

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    safety : float
        The safety asked for, 1 or more; of a pressure, not of the torque that goes with its square.

    Returns
    -------
    float
        Torque [N mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> round(of(Reducer(Drive(20, 42.0, 5.0, 1.4)), 2.0))
    1466
    """
    borne, plain = strengths(reducer, safety), space.lengths(reducer)
    return float(torque(borne, plain, worst_contact(plain)))


def worst_contact(plain: space.Lengths) -> Floats:
    """A pin's share of the peak force times the relative curvature, the greatest of the whole flank [1/mm], for arrays.

    Notes
    -----
    With u = sqrt(1 + K^2 - 2 K cos(phi)) the share is sin(phi)/u, as in `sharing`, and the centre path's curvature k is
    [(1 + N) u^2 - (N - 1)(1 - K^2)]/(2 Rp u^3); the disc's edge has k/(1 - k r). Derived; the tests differentiate the
    outline. Round the worst of 49 places nearer ones are looked at, and through the worst of these goes a parabola.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> round(float(worst_contact(space.lengths(Reducer(Drive(20, 42.0, 5.0, 1.4))))), 3)  # 1/mm
    0.549
    """
    checked_kind("plain", plain, space.Lengths)
    value, best = np.zeros(()), np.zeros(())
    for place in np.linspace(0.0, np.pi, LOOKED_AT):
        value, best = _larger(plain, np.asarray(place), value, best)
    apart, middle = np.pi / (LOOKED_AT - 1) / NEARER, best
    for step in range(1 - NEARER, NEARER):
        value, best = _larger(plain, np.clip(middle + step * apart, 0.0, np.pi), value, best)
    before, after = (_pressed(plain, best + step) for step in (-apart, apart))
    bend = 2 * value - before - after
    return value + np.where(bend > 0, (after - before) ** 2 / (8 * np.where(bend > 0, bend, 1.0)), 0.0)


def _larger(plain: space.Lengths, place: Floats, value: Floats, best: Floats) -> tuple[Floats, Floats]:
    """The larger of a value and that at a place, and its place."""
    there = _pressed(plain, place)
    return np.maximum(there, value), np.where(there > value, place, best)


def _pressed(plain: space.Lengths, phi: Floats) -> Floats:
    ratio = plain.eccentricity * plain.pins / plain.pin_circle_radius
    square = 1 + ratio**2 - 2 * ratio * np.cos(phi)
    root = np.sqrt(square)
    along = (1 + plain.pins) * square - (plain.pins - 1) * (1 - ratio**2)
    edge = along / (2 * plain.pin_circle_radius * square * root - along * plain.disc_roller_radius)
    return np.sin(phi) / root * (1 / plain.roller_radius + edge)


def _all_strengths(several: Sequence[Strengths]) -> Sequence[Strengths]:
    if not isinstance(several, list | tuple) or not several or not all(isinstance(one, Strengths) for one in several):
        raise TypeError(f"several is {shown(several)}, but must be a list of Strengths: give what `strengths` returns.")
    return several


def _mean_along(plain: space.Lengths) -> Floats:
    """`friction.mean_along` for arrays."""
    ratio = plain.eccentricity * plain.pins / plain.pin_circle_radius
    small = np.maximum(ratio, 0.01)
    closed = (2 * small - (1 - small**2) * np.log((1 + small) / (1 - small))) / (2 * small**2)
    return np.where(ratio < 0.01, 2 * ratio / 3 + 2 * ratio**3 / 15, closed)


def _rod_force(rod: rods.Rod) -> float:
    """Force of one disc alone on a rod at the lower end of its strength [N]; 0 where that isn't known."""
    stress = _stress_of_one(rod.diameter, rod.span, rod.support, tuple(rod.start.tolist()), tuple(rod.end.tolist()))
    return float(rod.strength[0] / stress) if rod.strength else 0.0


@lru_cache(maxsize=1000)
def _stress_of_one(
    diameter: float, span: float, support: str, start: tuple[float, ...], end: tuple[float, ...]
) -> float:
    """Greatest stress for 1 N from one disc, the worst of them [MPa]."""
    layers = (pins.Layer(diameter, 0.0, 1.0),)
    bent = [pins.bend(layers, span, support, [1.0], [one], [other]) for one, other in zip(start, end, strict=True)]
    return max(max(each.stress[0], np.sqrt(3) * each.shear_stress[0]) for each in bent)
