"""What each part of a reducer carries under a torque, at its worst over a crank turn.

Each figure is worked out in four corners: without any gap and with the gaps that the clearances leave, and with the
least and with the greatest moduli. Without a gap many pins share; with gaps and stiff materials few do. Prints that are
out of true share worse than that.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cyclokit.arguments import GREATEST_SIZE, Floats, checked_kind, checked_number, from_zero
from cyclokit.geometry import motion, speeds
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import bearings, contact, rods, sharing, stiffness

CRANKS = 360  # angles looked at in a crank turn
SHEARED = 4 / 3 * np.sqrt(3)  # a round's shear force over area, as the bending stress that does as much (von Mises)
ENDS = (1 / 8, 1 / 4)  # F L times this: moment of a bar loaded in its middle, clamped and supported; Gere, any edition


@dataclass(frozen=True, eq=False)
class Corner:
    """Forces of one corner, and what follows from them.

    Attributes
    ----------
    shared : Sharing
        The forces, for 360 crank angles of a turn.
    which : int
        0 for the least moduli of the materials, 1 for the greatest.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> worst = corners(machine, 2000.0)[3]  # with gaps, and stiff
    >>> pin, rod, shaft = rods.ring_pin(machine), rods.output_rod(machine), rods.crank(machine, "plain steel")
    >>> round(worst.largest_pin_force), round(worst.largest_output_force), round(worst.output_resultant())  # N
    (23, 55, 26)
    >>> round(worst.ring_pin_stress(pin)), round(worst.output_rod_stress(rod)), round(worst.crank_stress(shaft, 105.3))
    (49, 105, 25)
    >>> [round(stress) for stress in worst.web_stress()], round(worst.contact_pressure())  # MPa
    ([12, 24], 42)
    >>> round(worst.eccentric_loads.max()), round(worst.crank_loads(shaft).max())  # N
    (73, 27)
    >>> round(worst.pin_sliding(10.0).max()), round(worst.output_sliding(10.0).max())  # N mm/s, crank at 10 rad/s
    (17, 65)
    >>> worst.reducer is machine
    True
    """

    shared: sharing.Sharing
    which: int

    @property
    def reducer(self) -> Reducer:
        """The reducer."""
        return self.shared.reducer

    def ring_pin_stress(self, pin: rods.Rod) -> float:
        """Greatest stress in a ring pin [MPa], the loads of all discs on it added as arrows."""
        return _rod_stress(pin, self.shared.pin_force[..., None] * self.shared.pin_direction)

    def output_rod_stress(self, rod: rods.Rod) -> float:
        """The same in an output rod."""
        return _rod_stress(rod, self.shared.output_force[..., None] * self.shared.output_direction)

    @cached_property
    def largest_pin_force(self) -> float:
        """Of one ring pin on one disc [N]."""
        return self.shared.peak

    @cached_property
    def largest_output_force(self) -> float:
        """Of one output roller on one disc [N]."""
        return float(self.shared.output_force.max())

    def web_stress(self) -> tuple[float, float]:
        """Stress in the web between an output hole and the roots [MPa], its ends clamped and its ends supported.

        The web is taken as a straight bar as long as the hole is wide and as high as it is thin, with the larger force
        of a pin and a roller straight in its middle: cautious, common practice, no source. It shears, too.
        """
        reducer = self.reducer
        height, thick = float(space.walls(space.lengths(reducer))["wall to the roots"]), reducer.disc_thickness
        force = max(self.largest_pin_force, self.largest_output_force)
        sheared = np.sqrt(3) * 1.5 * force / 2 / (height * thick)
        clamped, supported = (
            max(float(share * force * 2 * reducer.hole_radius * 6 / (thick * height**2)), float(sheared))
            for share in ENDS
        )
        return clamped, supported

    def contact_pressure(self) -> float:
        """Greatest peak pressure between discs and ring pins [MPa], every pin with the flank that it touches."""
        reducer = self.reducer
        disc, roller = (
            MATERIALS[name].modulus[self.which] for name in (reducer.disc_material, reducer.roller_material)
        )
        touched = contact.line(
            self.shared.pin_force,
            rods.pin_contact_length(reducer),
            reducer.drive.roller_radius,
            contact.flank_radius(reducer.disc_drive, parameters(reducer, self.shared.crank)),
            roller,
            disc,
            stiffness.POISSON,
            stiffness.POISSON,
        )
        return float(touched.peak_pressure.max())

    @cached_property
    def eccentric_loads(self) -> Floats:
        """Of the eccentrics' bearings [N], shape (n, D)."""
        return np.linalg.norm(self.shared.bearing_force, axis=2)

    def crank_loads(self, shaft: rods.Rod) -> Floats:
        """Of the crank's two bearings [N], shape (n, 2): they bear the couple of the discs' forces."""
        forces, place = self.shared.bearing_force, (shaft.start + shaft.end) / 2 / shaft.span
        second = (forces * place[:, None]).sum(axis=1)
        return np.linalg.norm(np.stack([forces.sum(axis=1) - second, second], axis=1), axis=2)

    def crank_stress(self, shaft: rods.Rod, torque: float) -> float:
        """Greatest stress in the crank's shaft [MPa], bent by the discs and twisted by its torque (von Mises)."""
        bent = _rod_stress(shaft, self.shared.bearing_force[:, :, None])
        twisted = torque / (2 * shaft.section_modulus)
        return float(np.hypot(bent, np.sqrt(3) * twisted))

    def output_resultant(self) -> float:
        """Greatest sum of the output rollers' forces as arrows [N], which the output's bearing holds."""
        forces = self.shared.output_force[..., None] * self.shared.output_direction
        return float(np.linalg.norm(forces.sum(axis=(1, 2)), axis=1).max())

    def pin_sliding(self, crank_speed: float) -> Floats:
        """Mean of force times sliding speed at each ring pin [N mm/s]: at a solid pin's edge, or on a sleeve's rod."""
        reducer = self.reducer
        cranks = self.shared.crank[:, None] + motion.phases(reducer.discs)
        sliding = np.abs(speeds.contact_speeds(reducer.drive, cranks).sliding) * crank_speed
        if reducer.pin_made != "solid":
            sliding = sliding * reducer.pin_rod_radius / reducer.drive.roller_radius
        return (self.shared.pin_force * sliding).mean(axis=0).sum(axis=0)

    def output_sliding(self, crank_speed: float) -> Floats:
        """The same at each output roller."""
        reducer = self.reducer
        rate = abs(speeds.output_roller_rate(reducer.drive, reducer.output_roller_radius))
        return self.shared.output_force.mean(axis=0).sum(axis=0) * rate * reducer.output_rod_radius * crank_speed


def corners(reducer: Reducer, torque: float) -> tuple[Corner, ...]:
    """The forces in all four corners, for a torque of any sign at the output [N mm].

    Without gaps and with those of the clearances, each with the least and with the greatest moduli.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> [round(corner.largest_pin_force) for corner in corners(Reducer(Drive(20, 42.0, 5.0, 1.4)), 2000.0)]  # N
    [9, 10, 21, 23]
    """
    checked_kind("reducer", reducer, Reducer)
    return tuple(_corners(reducer, checked_number("torque", torque, -GREATEST_SIZE, GREATEST_SIZE)))


def parameters(reducer: Reducer, crank: Floats) -> Floats:
    """Outline parameters where every disc touches every ring pin [rad], shape (n, D, N); see `motion.contacts`.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> parameters(Reducer(Drive(20, 42.0, 5.0, 1.4)), np.array([0.0])).shape
    (1, 2, 20)
    """
    checked_kind("reducer", reducer, Reducer)
    pins, drive = np.arange(reducer.drive.pins), reducer.drive
    angle = motion.disc_poses(drive, crank, reducer.discs).angle
    return np.asarray(2 * np.pi * pins / drive.pins - angle[..., None])


def steady(loads: Floats) -> float:
    """Of loads over a turn, shape (n, k), the steady one that tires the most tired of k bearings as much [N].

    Examples
    --------
    >>> round(steady(np.array([[100.0, 10.0], [200.0, 10.0]])), 1)  # N
    165.1
    """
    each = from_zero("loads", loads)
    if each.ndim != 2 or not each.size:
        raise ValueError(
            f"loads has the shape {each.shape}, but must be (n, k): give a row of k bearings a crank angle."
        )
    return max(bearings.equivalent_load(one, np.ones(len(one))) for one in each.T)


def _corners(reducer: Reducer, torque: float) -> Iterator[Corner]:
    crank = 2 * np.pi * np.arange(CRANKS) / CRANKS
    pressed = torque or 1.0  # without a load any stiffness does
    pins, rollers = stiffness.pin_stiffness(reducer, pressed), stiffness.output_stiffness(reducer, pressed)
    for gap, hole_gap in ((0.0, 0.0), (reducer.outline_clearance, reducer.hole_clearance)):
        for which in (0, 1):
            shared = sharing.as_made(
                reducer, torque, crank, gap, hole_gap, pin_stiffness=pins[which], output_stiffness=rollers[which]
            )
            yield Corner(shared, which)


def _rod_stress(rod: rods.Rod, forces: Floats) -> float:
    """Greatest stress in any of k rods [MPa], bending or shear, under forces (n, D, k, 2)."""
    arrows = forces.transpose(3, 1, 0, 2).reshape(2, forces.shape[1], -1)
    arrows = arrows[:, :, arrows.any(axis=(0, 1))]  # most pins are not pushed at most angles
    moment, shear = (
        max(float(np.sqrt(((share @ arrows) ** 2).sum(axis=0).max(initial=0.0))) for share in unit)
        for unit in (rod.unit_moments(), rod.unit_shears())
    )
    return max(moment / rod.section_modulus, SHEARED * shear / rod.area)
