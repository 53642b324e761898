"""How ring pins and output rollers of a reducer share a torque: all forces on all discs, at any crank angles.

The model: crank, bearings and output flange are rigid; each disc may only turn about its own centre, and only
a little; lever arms and normals are those of the ideal geometry; nothing rubs. Pins and output rollers give way along
their normals, each like a spring that can only push, perhaps after a gap. Ring pins and output rollers act one after
the other on the way from ring to output, the discs side by side.

With T > 0 the output pushes the discs round counter-clockwise, and the ring pins in their way push back. T < 0 is the
same machine seen in a mirror.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import GREATEST_SIZE, Floats, angles, checked_kind, checked_number, from_zero, positive
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics.springs import Springs, one_after_the_other


@dataclass(frozen=True, eq=False)
class Sharing:
    """Forces on the discs, in the ring's frame, for n crank angles, D discs, N ring pins and Z output rollers.

    Attributes
    ----------
    reducer : Reducer
        The reducer.
    torque : float
        At the output [N mm], positive where it turns the discs counter-clockwise.
    crank : ndarray
        Crank angles of disc 0 [rad], shape (n,).
    pin_force, output_force : ndarray
        How hard each ring pin and output roller pushes on each disc [N], at least 0, shapes (n, D, N) and (n, D, Z).
    output_turn : ndarray
        How far the output turns under the torque, gaps included, ring and crank held [rad], shape (n,).
    tangent_stiffness : ndarray
        Torsional stiffness at the output for a little torque more [N mm/rad], shape (n,).

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> shared = ideal(machine, 4000.0, [0.0])
    >>> shared.pin_direction[0, 0, 1].round(3).tolist(), shared.pin_point[0, 0, 1].round(3).tolist()  # of pin 1; mm
    ([-0.677, -0.736], [36.558, 9.3])
    >>> shared.output_direction[0, 0, 1, 0].round(3).tolist(), shared.output_point[0, 0, 1].round(3).tolist()
    (-1.0, [6.096, 23.513])
    >>> shared.bearing_force[0, 0].round(2).tolist(), shared.disc_torque[0].round(1).tolist()  # N, N mm
    ([68.02, 75.19], [2000.0, 2000.0])
    >>> shared.loaded_pins.tolist(), round(shared.peak, 3), shared.ripple, shared.secant_stiffness.round(1).tolist()
    ([[9, 9]], 14.972, 0.0, [1576.1])
    """

    reducer: Reducer
    torque: float
    crank: Floats
    pin_force: Floats
    output_force: Floats
    output_turn: Floats
    tangent_stiffness: Floats

    @cached_property
    def pin_direction(self) -> Floats:
        """Unit vectors along which the ring pins push on the discs, shape (n, D, N, 2)."""
        return -_pin_normals(self.reducer, self.crank)

    @cached_property
    def pin_point(self) -> Floats:
        """Where the ring pins push on the discs [mm], shape (n, D, N, 2)."""
        return motion.pins(self.reducer.drive) + self.reducer.drive.roller_radius * self.pin_direction

    @cached_property
    def output_direction(self) -> Floats:
        """Unit vectors along which the output rollers push on the discs, shape (n, D, Z, 2).

        A hole's centre is e further out than its roller's, in the direction of that disc's crank: they touch on the
        other side.
        """
        ahead = _crank_directions(self.reducer, self.crank)[:, :, None, :]
        return np.broadcast_to(-ahead, (*self.output_force.shape, 2))

    @cached_property
    def output_point(self) -> Floats:
        """Where the output rollers push on the discs [mm], shape (n, D, Z, 2)."""
        centres = _output_centres(self.reducer, self.crank)[:, None]
        return centres + self.reducer.output_roller_radius * self.output_direction

    @cached_property
    def bearing_force(self) -> Floats:
        """Force of each eccentric's bearing on its disc [N], shape (n, D, 2): what balances the others."""
        pins = (self.pin_force[..., None] * self.pin_direction).sum(axis=2)
        rollers = (self.output_force[..., None] * self.output_direction).sum(axis=2)
        return -(pins + rollers)

    @property
    def loaded_pins(self) -> np.ndarray:
        """Number of ring pins that push on each disc, shape (n, D)."""
        return (self.pin_force > 0).sum(axis=2)

    @property
    def disc_torque(self) -> Floats:
        """What each disc carries of the torque [N mm], shape (n, D), with the torque's sign."""
        arms = pin_arms(self.reducer, self.crank)
        return (self.pin_force * arms).sum(axis=2)

    @property
    def peak(self) -> float:
        """Greatest force of a ring pin at any of the crank angles [N]."""
        return float(self.pin_force.max(initial=0.0))

    @property
    def ripple(self) -> float:
        """Greatest less least of the largest pin force over the crank angles, as a share of their mean."""
        largest = self.pin_force.max(axis=(1, 2))
        return float(np.ptp(largest) / largest.mean()) if largest.any() else 0.0

    @property
    def secant_stiffness(self) -> Floats:
        """Torque for each radian of the output's turn, gaps included [N mm/rad], shape (n,)."""
        with np.errstate(invalid="ignore"):  # no torque and no gap: what it is for the first little
            return np.where(self.output_turn == 0, self.tangent_stiffness, self.torque / self.output_turn)


def pin_arms(reducer: Reducer, crank: ArrayLike) -> Floats:
    """Lever arms of all ring pins about the discs' centres [mm], shape (n, D, N), at crank angles (n,) of disc 0 [rad].

    An arm is above 0 where the pin stands in the way of a disc that turns counter-clockwise.

    Notes
    -----
    The normal at every contact passes through the pitch point, e Zc from the disc's centre (`motion.pitch_point`), so
    the arm is e Zc times the sine of the angle between the crank and that normal: e Zc sin(phi)/sqrt(1 + K^2 - 2 K
    cos(phi)) with phi from the crank to the pin, Wang Yukun et al., "Analysis of meshing characteristics of pins and
    pin housing integral structure in RV reducer".

    Examples
    --------
    >>> from cyclokit import Drive
    >>> story = Reducer(Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4))
    >>> pin_arms(story, [0.0])[0, 0, :4].round(3).tolist()
    [0.0, 19.573, 25.853, 26.474]
    """
    crank = _angles(reducer, crank)
    ahead = _crank_directions(reducer, crank)[:, :, None, :]
    return motion.disc_pitch_radius(reducer.drive) * _cross(ahead, _pin_normals(reducer, crank))


def output_arms(reducer: Reducer, crank: ArrayLike) -> Floats:
    """Lever arms of all output rollers about the discs' centres [mm], shape (n, D, Z); angles as in `pin_arms`.

    The output circle's radius times the sine of the angle from the disc's crank to the roller: above 0 where the roller
    pushes when the output turns counter-clockwise.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> output_arms(machine, [0.0])[0, 0].round(3).tolist()  # mm
    [2.147, 23.513, 21.366, -2.147, -23.513, -21.366]
    """
    crank = _angles(reducer, crank)
    ahead = _crank_directions(reducer, crank)[:, :, None, :]
    return _cross(ahead, _output_centres(reducer, crank)[:, None])


def ideal(reducer: Reducer, torque: float, crank: ArrayLike) -> Sharing:
    """Forces where nothing has a gap and all pins and rollers are springs of one stiffness.

    The torque at the output [N mm] has any sign; `crank` is crank angles of disc 0 [rad], shape (n,). The forces don't
    hang on that stiffness; turn and stiffness are for springs of 1 N/mm.

    Raises
    ------
    TypeError, ValueError
        If an argument is not of its kind, or not finite.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> story = Reducer(Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4), discs=1)
    >>> shared = ideal(story, 2000.0, [0.0])
    >>> int(shared.loaded_pins[0, 0]), round(shared.peak, 3)  # pins, N
    (9, 14.972)
    """
    return as_made(reducer, torque, crank, pin_stiffness=1.0, output_stiffness=1.0)


def as_made(
    reducer: Reducer,
    torque: float,
    crank: ArrayLike,
    gaps: ArrayLike = 0.0,
    output_gaps: ArrayLike = 0.0,
    *,
    pin_stiffness: ArrayLike,
    output_stiffness: ArrayLike,
) -> Sharing:
    """Forces where each pin and roller has a gap and a stiffness of its own.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    torque : float
        At the output [N mm], any sign.
    crank : array_like
        Crank angles of disc 0 [rad], shape (n,).
    gaps, output_gaps : array_like
        Gaps along the normals before anything turns [mm], from 0; shapes that broadcast to (n, D, N) and (n, D, Z).
    pin_stiffness, output_stiffness : array_like
        Stiffness of each pin and output roller, bending and contact together [N/mm], above 0; the same shapes.

    Returns
    -------
    Sharing
        The forces.

    Raises
    ------
    TypeError, ValueError
        If an argument is not of its kind, not finite, out of its range, or of a shape that doesn't broadcast.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> shared = as_made(machine, 4000.0, [0.0], gaps=0.01, pin_stiffness=2e4, output_stiffness=2e4)
    >>> shared.loaded_pins.tolist(), shared.output_turn.round(5).tolist()  # rad
    ([[3, 3]], [0.00054])
    """
    crank = _angles(reducer, crank)
    torque = checked_number("torque", torque, -GREATEST_SIZE, GREATEST_SIZE)
    sign = -1.0 if torque < 0 else 1.0
    pins = _springs("gaps", gaps, "pin_stiffness", pin_stiffness, sign * pin_arms(reducer, crank))
    rollers = _springs(
        "output_gaps", output_gaps, "output_stiffness", output_stiffness, sign * output_arms(reducer, crank)
    )
    turn, tangent, pin_force, output_force = one_after_the_other(abs(torque), pins, rollers)
    return Sharing(reducer, torque, crank, pin_force, output_force, sign * turn, tangent)


def _springs(gap_name: str, gaps: ArrayLike, name: str, stiffness: ArrayLike, arms: Floats) -> Springs:
    gap, stiff = from_zero(gap_name, gaps), positive(name, stiffness)
    for given, values in ((gap_name, gap), (name, stiff)):
        fits = values.ndim <= 3 and all(
            size in (1, whole) for size, whole in zip(values.shape[::-1], arms.shape[::-1], strict=False)
        )
        if not fits:
            raise ValueError(
                f"{given} has the shape {values.shape}, but must broadcast to {arms.shape}: give one for each."
            )
    return Springs(arms, np.broadcast_to(gap, arms.shape), np.broadcast_to(stiff, arms.shape))


def _angles(reducer: Reducer, crank: ArrayLike) -> Floats:
    checked_kind("reducer", reducer, Reducer)
    crank = angles("crank", crank)
    if crank.ndim != 1:
        raise ValueError(
            f"crank has the shape {crank.shape}, but must be (n,): give a row of crank angles, such as [0]."
        )
    return crank


def _crank_directions(reducer: Reducer, crank: Floats) -> Floats:
    """Unit vectors from the ring's centre to the discs' centres, shape (n, D, 2)."""
    return motion.disc_poses(reducer.drive, crank, reducer.discs).centre / reducer.drive.eccentricity


def _pin_normals(reducer: Reducer, crank: Floats) -> Floats:
    """Unit normals out of the discs at the ring pins, from the pitch point to the pin, shape (n, D, N, 2)."""
    pitch = motion.ring_pitch_radius(reducer.drive) * _crank_directions(reducer, crank)
    away = motion.pins(reducer.drive) - pitch[:, :, None, :]
    return away / np.linalg.norm(away, axis=-1, keepdims=True)


def _output_centres(reducer: Reducer, crank: Floats) -> Floats:
    """Centres of the output rollers [mm], shape (n, Z, 2): they turn with the discs, roller 0 at hole 0 of disc 0."""
    pitch = 2 * np.pi / reducer.drive.lobes
    rollers = 2 * np.pi * np.arange(reducer.output_rollers) / reducer.output_rollers
    angle = motion.disc_pose(reducer.drive, crank).angle[:, None] + reducer.hole_phase * pitch + rollers
    return reducer.output_circle_radius * np.stack([np.cos(angle), np.sin(angle)], axis=-1)


def _cross(one: Floats, other: Floats) -> Floats:
    return one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
