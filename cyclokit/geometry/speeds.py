"""How fast the disc's points move, how contacts slide and roll, and how fast each member turns.

The ring stands still and the crank turns counter-clockwise at 1 rad/s: speeds are in mm/s and rad/s, and at
another crank rate they are so many times larger. `crank` is crank angles [rad] of any shape, and what comes of them
has that shape, and (N,) more for all pins at once, (2,) for x and y in the ring's frame.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cyclokit.arguments import Floats, angles, checked_kind, checked_length
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline

ROUNDING = 1e-9  # rad: a pin on the line of centres has no lever arm and bears nothing, whatever rounding makes of it


@dataclass(frozen=True)
class Transmission:
    """Turns of one member for one turn of another while the third is held.

    Attributes
    ----------
    held, driver, driven : str
        "ring", "disc" (which the output follows) or "crank".
    ratio : float
        Turns of the driven member for one of the driver; below zero if they turn opposite ways.
    """

    held: str
    driver: str
    driven: str
    ratio: float


@dataclass(frozen=True)
class ContactSpeeds:
    """Speeds at each contact, shape (..., N), at a crank rate of 1 rad/s.

    The first three are along the outline's tangent, counter-clockwise round the disc positive.

    Attributes
    ----------
    sliding : ndarray
        Speed of the disc's edge at the contact [mm/s]: so fast it slides over a roller that can't turn.
    along_disc : ndarray
        Speed at which the contact wanders along the disc's edge [mm/s].
    along_roller : ndarray
        Speed at which it wanders round a roller that can't turn [mm/s]: `sliding` + `along_disc`.
    roller_rate : ndarray
        Rate at which a free roller turns, rolling on the edge [rad/s], counter-clockwise positive.
    """

    sliding: Floats
    along_disc: Floats
    along_roller: Floats
    roller_rate: Floats


@dataclass(frozen=True)
class SharedRollers:
    """What several discs ask of free rollers that reach past all of them, at a crank rate of 1 rad/s.

    Attributes
    ----------
    edges : ndarray
        Speed of each disc's edge past each pin [mm/s], shape (..., n, N), signs as `ContactSpeeds.sliding`.
    pushing : ndarray of bool
        Whether that pin can push that disc the way it turns, shape (..., n, N).
    sliding : ndarray
        How fast the edges that push slide over a shared roller [mm/s], from 0, shape (..., N): the fastest less the
        slowest. It is shared out between the contacts as the roller likes; 0 where only one disc pushes, or none.
    """

    edges: Floats
    pushing: NDArray[np.bool_]
    sliding: Floats


def transmission(drive: Drive) -> tuple[Transmission, ...]:
    """Ratios with the ring, the disc and the crank held, in this order.

    Ring held: -1/(N - 1), the disc turns against the crank. Disc held, so that it only orbits: 1/N, the ring
    turns with the crank. Crank held: N/(N - 1), the disc with the ring.

    Notes
    -----
    For somebody who sits on the crank both pitch circles turn about centres that stand still. They roll on each
    other, so that their rims are equally fast: rates go as 1/radius, with the same sign, the disc's circle lying
    inside the ring's. Everybody else sees these rates less the rate of what is held. That is the
    Willis equation, (w_ring - w_crank)/(w_disc - w_crank) = (N - 1)/N (R. Willis, Principles of
    Mechanism; from memory), which the tests hold it against.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> [(one.held, round(one.ratio, 4)) for one in transmission(story)]
    [('ring', -0.0526), ('disc', 0.05), ('crank', 1.0526)]
    """
    checked_kind("drive", drive, Drive)
    ring_radius, disc_radius = drive.pins, drive.lobes  # of the pitch circles, in eccentricities
    rates = {"ring": disc_radius, "disc": ring_radius, "crank": 0}  # rims equally fast, seen from the crank
    return tuple(
        Transmission(held, driver, driven, (rates[driven] - rates[held]) / (rates[driver] - rates[held]))
        for held, driver, driven in (("ring", "crank", "disc"), ("disc", "crank", "ring"), ("crank", "ring", "disc"))
    )


def disc_rate(drive: Drive) -> float:
    """Rate at which the disc turns, the ring held [rad/s at a crank rate of 1 rad/s]: -1/(N - 1).

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> round(disc_rate(story), 4)
    -0.0526
    """
    return transmission(drive)[0].ratio


def instant_centre(drive: Drive, crank: ArrayLike) -> Floats:
    """The point [mm] about which the disc turns at that moment, ring held; shape of `crank` [rad] + (2,).

    Notes
    -----
    The disc's centre moves at right angles to the crank, e fast. A point at the distance d from it, out along
    the crank, moves e + d w with the disc's rate w: it stands still for d = -e/w = e (N - 1). That is the
    pitch point, which `motion.pitch_point` has from the pitch circles.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> instant_centre(story, 0.0).round(4).tolist()  # mm: the pitch point, e N from the middle
    [28.0, 0.0]
    """
    outwards = motion.disc_pose(drive, crank).centre / drive.eccentricity
    return outwards * (drive.eccentricity - drive.eccentricity / disc_rate(drive))


def velocities(drive: Drive, crank: ArrayLike, points: ArrayLike) -> Floats:
    """Velocities of points of the disc, seen from the ring [mm/s]; shape of `crank` + shape of `points`.

    `crank` is in rad; the points are x and y [mm] in the disc's own frame, shape (..., 2).

    Notes
    -----
    At every moment the disc turns about its instant centre: at right angles to the line from there, as fast as
    that is long times the disc's rate.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> velocities(story, 0.0, [0.0, 0.0]).round(4).tolist()  # mm/s: the disc's middle, e fast
    [0.0, 1.4]
    """
    places, centre = motion.disc_points(drive, crank, points), instant_centre(drive, crank)
    centre = centre.reshape(centre.shape[:-1] + (1,) * (places.ndim - centre.ndim) + (2,))
    return disc_rate(drive) * _quarter_turn(places - centre)


def contact_speeds(drive: Drive, crank: ArrayLike) -> ContactSpeeds:
    """How every contact slides and rolls at a crank rate of 1 rad/s, one row of N pins a crank angle [rad].

    Raises
    ------
    ValueError
        If the pitch point falls on a pin's centre: the trochoid ratio is 1 and a cusp has its turn.

    Notes
    -----
    The normal at pin k runs from the pitch point to the pin's centre, a distance d. The contact is one roller
    radius r short of the pin, so the disc's edge there moves w (d - r) along the tangent, w being the disc's rate.
    The contact goes round the pin as the normal turns: the pitch point runs round its circle and the pin
    stands still. A free roller's surface moves with the edge. Derived; the tests differentiate poses.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> contact_speeds(story, 0.0).sliding[:2].round(3).tolist()  # mm/s: pins 0 and 1
    [-0.474, -0.665]
    """
    pitch = motion.pitch_point(drive, crank)[..., None, :]
    to_pin = motion.pins(drive) - pitch
    distance = np.hypot(to_pin[..., 0], to_pin[..., 1])
    if distance.size and distance.min() <= 1e-14 * drive.pins * drive.pin_circle_radius:
        raise ValueError(
            "crank contains an angle at which the pitch point falls on a pin, a cusp of the centre path: "
            "leave it out, or choose a smaller eccentricity."
        )
    run = -_quarter_turn(pitch)  # of the pin, seen from the pitch point
    normal_turn = (to_pin[..., 0] * run[..., 1] - to_pin[..., 1] * run[..., 0]) / distance**2
    sliding = disc_rate(drive) * (distance - drive.roller_radius)
    along_roller = -drive.roller_radius * normal_turn
    return ContactSpeeds(sliding, along_roller - sliding, along_roller, -sliding / drive.roller_radius)


def roller_turns(drive: Drive) -> float:
    """Turns that a free roller makes, rolling on the edge of a sound disc, while the disc turns once.

    Notes
    -----
    The edge's length over the roller's. The roller's pin stands still, so that nothing is added for
    going round. Against the disc's turn, as two wheels side by side.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> round(roller_turns(story), 4)
    8.3628
    """
    return outline.length(drive) / (2 * np.pi * drive.roller_radius)


def shared_rollers(drive: Drive, crank: ArrayLike, discs: int) -> SharedRollers:
    """How 1 to 12 discs on one crank, evenly phased, slide over ring rollers that they share.

    `crank` is disc 0's crank angles [rad], any shape; speeds and pushes are n discs by N pins a crank angle.

    Raises
    ------
    TypeError, ValueError
        As `motion.phases` and `contact_speeds` say; the trochoid ratio must not be exactly 1.

    Notes
    -----
    A roller turns at one rate and can roll on one edge only, unless both are equally fast. Pins push a disc where the
    pressure angle is below a right angle: on one side of its line of centres. Two discs lie on opposite sides of
    every pin, so that a pin never pushes both: its roller rolls on the one, and slips at the other, which it needn't
    touch once there is clearance. Of three, two push a pin half of the time. Where the load drives the disc, the
    other side pushes, and all is mirrored. Derived; the tests follow edges of polygons.

    Examples
    --------
    >>> story = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
    >>> crank = np.linspace(0, 2 * np.pi, 3600)
    >>> [float(shared_rollers(story, crank, discs).sliding.max().round(2)) for discs in (1, 2, 3)]
    [0.0, 0.0, 2.55]
    """
    cranks = angles("crank", crank)[..., None] + motion.phases(discs)
    edges = contact_speeds(drive, cranks).sliding
    pushing = pressure_angles(drive, cranks) < np.pi / 2 - ROUNDING
    fastest, slowest = (np.where(pushing, sign * edges, -np.inf).max(axis=-2) for sign in (1, -1))
    return SharedRollers(edges, pushing, np.where(pushing.any(axis=-2), fastest + slowest, 0.0))


def output_roller_rate(drive: Drive, output_roller_radius: float) -> float:
    """Rate at which a free output roller turns on the plate that carries it [rad/s at a crank rate of 1 rad/s].

    -e N/((N - 1) r), seen from the plate; below zero, as it turns against the crank. `output_roller_radius` r is in mm;
    its holes have e more, without clearance.

    Notes
    -----
    The plate turns as the discs do, so that seen from it a disc doesn't turn: all of its points go round circles of
    radius e, at the crank's rate less the disc's, N/(N - 1). The hole touches the roller on the side away from the
    crank and moves along it. Neither the disc's phase nor the crank angle is left in it: all discs on one shaft ask a
    roller for the same rate, always, so they may share it. Derived; the tests follow the holes' edges.

    Examples
    --------
    >>> story = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
    >>> round(output_roller_rate(story, output_roller_radius=5.0), 4)
    -0.2947
    """
    against = disc_rate(drive) - 1  # reads the drive first
    return drive.eccentricity * against / checked_length("output_roller_radius", output_roller_radius)


def pressure_angles(drive: Drive, crank: ArrayLike) -> Floats:
    """Angle [rad] between each roller's push and the velocity of the disc's point about the disc's centre.

    Of the shape of `crank` [rad] + (N,). Below pi/2 the roller can push the disc the way it turns; from there on it
    would have to pull. `limits.least_pressure_angle` is the least over the whole outline. The trochoid ratio must not
    be exactly 1.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> np.degrees(pressure_angles(story, 0.0)[:4]).round(2).tolist()
    [90.0, 57.44, 45.88, 45.09]
    """
    touch = motion.contacts(drive, crank)
    arm = touch.points - motion.disc_pose(drive, crank).centre[..., None, :]
    turning = disc_rate(drive) * _quarter_turn(arm)
    push = -touch.normals
    along = (push * turning).sum(axis=-1)
    across = push[..., 0] * turning[..., 1] - push[..., 1] * turning[..., 0]
    return np.arctan2(np.abs(across), along)


def _quarter_turn(vectors: Floats) -> Floats:
    """Vectors (..., 2) turned counter-clockwise by a quarter turn."""
    return np.stack([-vectors[..., 1], vectors[..., 0]], axis=-1)
