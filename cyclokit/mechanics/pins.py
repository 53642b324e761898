"""Pins that bend: round, tube, tube on a core, screw shank; held at one end or both; loaded anywhere along them.

Beams as in J. M. Gere, Mechanics of Materials: slender, straight, elastic, sections stay flat. A pin as short as it is
thick bends and shears more than this says. Which support is meant must be chosen: a hole holds a pin at an angle only
as far as it is deep and tight, so "supported" is the cautious choice for strength and for stiffness between two plates,
and with the cover off a pin is a cantilever, whatever it was before.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import pi

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import (
    GREATEST_SIZE,
    LONGEST,
    SMALLEST_SIZE,
    Floats,
    checked_choice,
    checked_length,
    checked_number,
    finite,
    from_zero,
)
from cyclokit.texts import shown

Integrals = Callable[[int, Floats], Floats]

SUPPORTS = ("one end", "both ends", "both ends clamped")
NARROW = 1e-6  # of where it stands: a load narrower than that is taken as a point
PLACES = 2001  # along a pin, at which moment and deflection are looked at
# Coarse pitch [mm] by nominal diameter: ISO 261, from memory.
PITCHES = {2.0: 0.4, 2.5: 0.45, 3.0: 0.5, 4.0: 0.7, 5.0: 0.8, 6.0: 1.0, 8.0: 1.25}
ROOT = 1.226869  # thread depth on both sides, in pitches, of an external thread: ISO 68-1, from memory


@dataclass(frozen=True)
class Layer:
    """One material of a pin's section: a disc, or a ring round the layer in it.

    Attributes
    ----------
    outer_diameter, inner_diameter : float
        Diameters [mm]; the inner one is 0 for a solid core.
    modulus : float
        Young's modulus [MPa].

    Examples
    --------
    >>> core = Layer(4.0, 0.0, 208e3)
    >>> round(core.area, 3), round(core.second_moment, 3)  # mm^2, mm^4
    (12.566, 12.566)
    """

    outer_diameter: float
    inner_diameter: float
    modulus: float

    def __post_init__(self) -> None:
        checked_length("outer_diameter", self.outer_diameter)
        checked_number("modulus", self.modulus, SMALLEST_SIZE, GREATEST_SIZE)
        if not checked_number("inner_diameter", self.inner_diameter, 0, LONGEST) < self.outer_diameter:
            raise ValueError(
                f"inner_diameter is {shown(self.inner_diameter)} mm, but must be 0 to below outer_diameter, "
                f"{shown(self.outer_diameter)}: give 0 for a solid pin."
            )

    @property
    def area(self) -> float:
        """Area of the section [mm^2]."""
        return pi * (self.outer_diameter**2 - self.inner_diameter**2) / 4

    @property
    def second_moment(self) -> float:
        """Second moment of area I = pi (D^4 - d^4)/64 [mm^4]."""
        return pi * (self.outer_diameter**4 - self.inner_diameter**4) / 64


@dataclass(frozen=True, eq=False)
class Bending:
    """How a pin bends, at places along it.

    Attributes
    ----------
    place : ndarray
        Places along the pin from its first support [mm], shape (m,).
    moment, shear_force, deflection : ndarray
        Bending moment [N mm], above 0 where the pin sags between its supports, shear force [N], its slope, and
        deflection the loads' way [mm], shape (m,) or (m, 2) as the loads are.
    at_loads : ndarray
        Deflection in the middle of each load [mm], shape (k,) or (k, 2).
    stress : tuple of float
        Greatest bending stress in each layer, from the inside outwards [MPa].
    shear_stress : tuple of float
        Greatest shear stress in each layer [MPa].
    """

    place: Floats
    moment: Floats
    shear_force: Floats
    deflection: Floats
    at_loads: Floats
    stress: tuple[float, ...]
    shear_stress: tuple[float, ...]


def thread_root(nominal_diameter: float) -> float:
    """Diameter of a coarse metric screw's shank at its thread's root [mm], which is what bends.

    The nominal one, of 2, 2.5, 3, 4, 5, 6 or 8 mm, less 1.227 pitches: ISO 68-1 and ISO 261, from memory.

    Raises
    ------
    ValueError
        If there is no such size in the table.

    Examples
    --------
    >>> round(thread_root(6.0), 3)
    4.773
    """
    size = checked_length("nominal_diameter", nominal_diameter)
    if size not in PITCHES:
        sizes = ", ".join(f"{size:g}" for size in PITCHES)
        raise ValueError(f"nominal_diameter is {size:g}, but must be one of {sizes} mm: choose one of these.")
    return size - ROOT * PITCHES[size]


def bending_stiffness(layers: tuple[Layer, ...]) -> float:
    """Sum of E I over a pin's layers [N mm^2], which bend as one.

    Examples
    --------
    >>> round(bending_stiffness((Layer(4.0, 0.0, 208e3), Layer(8.0, 4.0, 3.5e3))))  # N mm^2: steel in plastic
    3273540
    """
    return sum(layer.modulus * layer.second_moment for layer in _nested(layers))


def bend(
    layers: tuple[Layer, ...], span: float, support: str, force: ArrayLike, start: ArrayLike, end: ArrayLike
) -> Bending:
    """How a pin bends under loads that are spread over rollers' widths.

    Parameters
    ----------
    layers : tuple of Layer
        The section from the inside outwards, each layer round the one before.
    span : float
        Free length [mm]: between the supports, or from the one support to the pin's end.
    support : str
        "one end" (clamped at 0), "both ends" (supported), or "both ends clamped".
    force : array_like
        Loads [N], shape (k,), or (k, 2) where they push in several directions across the pin.
    start, end : array_like
        Where each load begins and ends [mm from the first support], shape (k,), 0 to `span`; equal for a point load.

    Returns
    -------
    Bending
        Moments, deflections and stresses.

    Raises
    ------
    TypeError, ValueError
        If a number is out of its range, there is no such support, or shapes don't fit.

    Notes
    -----
    Moment, slope and deflection are integrals of the loads, each with a constant that the supports decide: four
    equations. A tube on a core shears in proportion to each one's bending stiffness (derived, for thin cores).

    Examples
    --------
    >>> steel_rod = (Layer(4.0, 0.0, 208e3),)
    >>> round(float(bend(steel_rod, 30.0, "both ends", [50.0], [15.0], [15.0]).at_loads[0]), 4)
    0.0108
    """
    length = checked_length("span", span)
    checked_choice("support", support, SUPPORTS)
    loads, first, last = finite("force", force), finite("start", start), finite("end", end)
    if loads.ndim not in (1, 2) or first.shape != last.shape or first.shape != loads.shape[:1]:
        raise ValueError(
            f"force, start and end have the shapes {loads.shape}, {first.shape} and {last.shape}, but must be (k,) or "
            "(k, 2), (k,) and (k,): give each load its start and end."
        )
    from_zero("force", np.abs(loads))
    if not ((first >= 0) & (last >= first) & (last <= length)).all():
        raise ValueError(
            f"start and end are {shown(start)} and {shown(end)}, but must lie within the span, 0 to "
            f"{length:g} mm, in order."
        )
    stiffness = bending_stiffness(layers)
    place = np.linspace(0, length, PLACES)
    free = _from_loads(loads, first, last)
    constants = _constants(support, length, free, stiffness)
    shear, moment, deflection = (
        sign * _with(constants, order, place, free, stiffness) for order, sign in ((1, -1), (2, -1), (4, 1))
    )
    largest = [float(_size(values).max(initial=0.0)) for values in (moment, shear)]
    parts = np.array([(layer.modulus, layer.second_moment, layer.outer_diameter / 2) for layer in layers]).T
    shares = parts[0] * parts[1] / stiffness
    return Bending(
        place,
        moment,
        shear,
        deflection,
        _with(constants, 4, (first + last) / 2, free, stiffness),
        tuple(float(each) for each in _composite_stress(largest[0], *parts)),
        tuple(
            float(share * largest[1] * _shear_factor(layer) / layer.area)
            for share, layer in zip(shares, layers, strict=True)
        ),
    )


def _composite_stress(moment: float, modulus: Floats, second_moment: Floats, distance: Floats) -> Floats:
    """Greatest bending stress in each part of a section: E M y/sum(E I), J. M. Gere, Mechanics of Materials, ch. 6."""
    return modulus * moment * distance / float((modulus * second_moment).sum())


def _from_loads(loads: Floats, first: Floats, last: Floats) -> Integrals:
    """A function of order and places: the loads' part of shear (1), moment (2), slope (3) and deflection (4).

    The order-th integral of the loads along the pin, times order factorial less one; a load's own width is averaged.
    """

    wide = last - first > NARROW * last  # the ends of a narrower load cancel: it is a point

    def part(order: int, place: Floats) -> Floats:
        after = [np.maximum(place[:, None] - edge, 0.0) for edge in (first, last)]
        spread = (after[0] ** order - after[1] ** order) / (order * np.where(wide, last - first, 1.0))
        at_once = np.where(place[:, None] >= first, after[0] ** (order - 1), 0.0)
        return np.where(wide, spread, at_once) @ loads

    return part


def _with(constants: Floats, order: int, place: Floats, free: Integrals, stiffness: float) -> Floats:
    """E I times third (1) or second derivative (2) of the deflection, its slope (3) or itself (4), at places.

    The constants are the same four at the beginning; the deflection goes the way of the loads.
    """
    loaded = free(order, place) / (1, 1, 1, 2, 6)[order]
    powers = _powers(order, place, stiffness) @ constants
    return powers + (loaded if order <= 2 else loaded / stiffness)


def _powers(order: int, place: Floats, stiffness: float) -> Floats:
    """What each constant adds to shear, moment, slope or deflection, shape (m, 4)."""
    none, one = np.zeros_like(place), np.ones_like(place)
    columns = {
        1: (one, none, none, none),
        2: (place, one, none, none),
        3: (place**2 / (2 * stiffness), place / stiffness, one, none),
        4: (place**3 / (6 * stiffness), place**2 / (2 * stiffness), place, one),
    }
    return np.stack(columns[order], axis=1)


def _constants(support: str, length: float, free: Integrals, stiffness: float) -> Floats:
    """The four constants of integration, shape (4,) or (4, 2)."""
    held = {
        "one end": ((3, 0.0), (4, 0.0), (1, length), (2, length)),
        "both ends": ((2, 0.0), (4, 0.0), (2, length), (4, length)),
        "both ends clamped": ((3, 0.0), (4, 0.0), (3, length), (4, length)),
    }[support]
    rows, wanted = [], []
    for order, at in held:
        rows.append(_powers(order, np.array([at]), stiffness)[0])
        nothing = np.zeros((4, *np.shape(free(1, np.array([0.0])))[1:]))
        wanted.append(-_with(nothing, order, np.array([at]), free, stiffness)[0])
    return np.linalg.solve(np.array(rows), np.array(wanted))


def _size(values: Floats) -> Floats:
    return np.abs(values) if values.ndim == 1 else np.linalg.norm(values, axis=1)


def _shear_factor(layer: Layer) -> float:
    """Greatest shear stress over the mean one: 4/3 for a solid round, up to 2 for a thin tube (Gere, ch. 5)."""
    outer, inner = layer.outer_diameter / 2, layer.inner_diameter / 2
    return 4 / 3 * (outer**2 + outer * inner + inner**2) / (outer**2 + inner**2)


def _nested(layers: tuple[Layer, ...]) -> tuple[Layer, ...]:
    """The layers, if there are any and each lies round the one before."""
    if not isinstance(layers, tuple) or not layers or not all(isinstance(layer, Layer) for layer in layers):
        raise TypeError(
            f"layers is {shown(layers)}, but must be a tuple of Layer: give one such as (Layer(4.0, 0.0, 208e3),)."
        )
    for inner, outer in pairwise(layers):
        if inner.outer_diameter > outer.inner_diameter:
            raise ValueError(
                f"layers overlap: one is {inner.outer_diameter:g} mm thick and the next has a bore of "
                f"{outer.inner_diameter:g}: give them from the inside outwards."
            )
    return layers
