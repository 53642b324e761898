"""Where the disc is, and where it touches the rollers, at any crank angle.

The ring stands still with its centre at the origin, pin k at the angle 2 pi k/N. Crank angles
are counter-clockwise positive; at crank 0 the disc's centre is at (+e, 0) and its root on +x
lies against pin 0. All of the motion follows from two circles that roll on one another: the
ring's pitch circle, radius e N, and the disc's inside it, radius e (N - 1).

In every function but `most_room` and `followed`, `crank` is crank angles [rad] of any shape; so is what comes of
them, and (2,) more for x and y [mm] in the ring's frame.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import spatial

from cyclokit.arguments import LARGEST_ANGLE, Floats, angles, checked_count, checked_kind, checked_number
from cyclokit.drive import Drive
from cyclokit.geometry import outline
from cyclokit.geometry.polygons import from_chords, vectors

MOST_DISCS = 12  # more than anybody stacks


@dataclass(frozen=True)
class Pose:
    """Where the disc is: `centre` (..., 2) [mm] and `angle` (...) [rad], counter-clockwise positive."""

    centre: Floats
    angle: Floats

    def __iter__(self):  # type: ignore[no-untyped-def]  # so that `centre, angle = disc_pose(...)` reads well
        return iter((self.centre, self.angle))


@dataclass(frozen=True)
class Contacts:
    """Where the disc touches the rollers, per crank angle and pin.

    Attributes
    ----------
    points : ndarray
        Contact points [mm], shape (..., N, 2), in the ring's frame.
    normals : ndarray
        Unit normals out of the disc, towards the pin, shape (..., N, 2).
    parameters : ndarray
        The outline's t at each contact [rad], shape (..., N).
    """

    points: Floats
    normals: Floats
    parameters: Floats


def ring_pitch_radius(drive: Drive) -> float:
    """Radius of the ring's pitch circle, e N [mm]; the pin circle is another, larger one.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> ring_pitch_radius(story)  # mm
    28.0
    """
    checked_kind("drive", drive, Drive)
    return drive.eccentricity * drive.pins


def disc_pitch_radius(drive: Drive) -> float:
    """Radius of the disc's pitch circle, e (N - 1) [mm].

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> round(disc_pitch_radius(story), 4)  # mm
    26.6
    """
    checked_kind("drive", drive, Drive)
    return drive.eccentricity * drive.lobes


def disc_pose(drive: Drive, crank: ArrayLike) -> Pose:
    """Centre [mm] and angle [rad] of the disc, shapes of `crank` [rad] + (2,) and of `crank`.

    Notes
    -----
    While the crank turns, the circles' contact runs the arc `ring radius * crank` along the ring's
    pitch circle. Without slip it runs the same arc along the disc's, and there that arc is
    `disc radius * (crank - angle)`, because the disc itself has turned by `angle`. So
    angle = crank (disc radius - ring radius)/disc radius. Cyclokit's own derivation; the law
    is checked against the Willis equation and a rigid-body engine in the tests.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> centre, angle = disc_pose(story, 2 * np.pi)
    >>> round(float(angle / (2 * np.pi)), 4)  # turns of the disc for one of the crank: -1/19
    -0.0526
    """
    crank = angles("crank", crank)
    ring, disc = ring_pitch_radius(drive), disc_pitch_radius(drive)
    return Pose(centre=drive.eccentricity * _unit(crank), angle=crank * (disc - ring) / disc)


def pins(drive: Drive) -> Floats:
    """Centres of the ring pins [mm], shape (N, 2); pin 0 on +x, the others counter-clockwise.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> pins(story)[0].tolist()  # mm
    [42.0, 0.0]
    """
    checked_kind("drive", drive, Drive)
    return drive.pin_circle_radius * _unit(2 * np.pi * np.arange(drive.pins) / drive.pins)


def pitch_point(drive: Drive, crank: ArrayLike) -> Floats:
    """The point [mm] where the pitch circles touch, through which every contact normal passes.

    Shape of `crank` [rad] + (2,), in the ring's frame.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> pitch_point(story, 0.0).tolist()  # mm
    [28.0, 0.0]
    """
    return ring_pitch_radius(drive) * _unit(angles("crank", crank))


def contacts(drive: Drive, crank: ArrayLike) -> Contacts:
    """Contact points and normals of the disc with every roller, one row of N pins a crank angle [rad].

    Raises
    ------
    ValueError
        If the trochoid ratio is exactly 1 and a contact falls on a cusp.

    Notes
    -----
    Seen from the disc, pin k's centre is at Rp exp(i t) - e exp(i N t), the centre path,
    with t = 2 pi k/N - angle; the contact is the outline's point of that t.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> touch = contacts(story, 0.0)
    >>> touch.points[0].round(4).tolist()  # mm: pin 0 touches the root
    [37.0, 0.0]
    """
    pose = disc_pose(drive, crank)
    t = 2 * np.pi * np.arange(drive.pins) / drive.pins - pose.angle[..., None]
    return Contacts(
        points=pose.centre[..., None, :] + turned(outline.points(drive, t), pose.angle[..., None]),
        normals=turned(outline.normals(drive, t), pose.angle[..., None]),
        parameters=t,
    )


def disc_points(drive: Drive, crank: ArrayLike, points: ArrayLike) -> Floats:
    """Where points of the disc are, seen from the ring [mm]; shape of `crank` + shape of `points`.

    `crank` is in rad; `points` are x and y [mm] in the disc's own frame, shape (..., 2), as `outline.points` gives.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> disc_points(story, 0.0, [0.0, 0.0]).tolist()  # mm: the disc's middle, on the crank
    [1.4, 0.0]
    """
    pose, points = disc_pose(drive, crank), vectors("points", points)
    angle = pose.angle.reshape(pose.angle.shape + (1,) * (points.ndim - 1))  # an axis beside each of the points'
    centre = pose.centre.reshape((*angle.shape, 2))
    return centre + turned(points, angle)


def most_room(drive: Drive, edge: ArrayLike, crank: float, near: float = 0.0) -> tuple[float, float]:
    """The disc angle that leaves most room between a disc's edge and the rollers, found by trying.

    A witness for `disc_pose`: it knows where pins and crank are and what shape the disc has, and nothing of
    lobes, rates or pitch circles.

    Parameters
    ----------
    drive : Drive
        Pins, radii and eccentricity of the ring; the disc may have been made for another one.
    edge : array_like
        The disc's edge as a polygon [mm] in its own frame, counter-clockwise, (m, 2); the last point is the first.
    crank : float
        Crank angle [rad].
    near : float
        Disc angle [rad] round which is tried, half a pin pitch either way.

    Returns
    -------
    tuple of float
        The angle [rad], to 1e-8 of a pin pitch, and the least distance [mm] from any roller to the edge there: about 0
        if the disc just fits, below 0 if it has to go into a roller.

    Raises
    ------
    ValueError
        If `edge` is not a polygon, or the crank is not one finite number.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> edge = outline.polygon(story, 0.001)
    >>> angle, room = most_room(story, edge, 1.9)
    >>> round(angle, 4), abs(room) < 0.002  # rad, and mm: it is crank/-19, and touches
    (-0.1, True)
    """
    checked_kind("drive", drive, Drive)
    crank = checked_number("crank", crank, -LARGEST_ANGLE, LARGEST_ANGLE)
    near = checked_number("near", near, -LARGEST_ANGLE, LARGEST_ANGLE)
    corners = vectors("edge", edge)
    if corners.ndim != 2 or len(corners) < 4:
        raise ValueError(f"edge has the shape {corners.shape}, but must be (m, 2), m at least 4: give a polygon.")
    from_centre = pins(drive) - drive.eccentricity * _unit(np.asarray(crank))
    tree = spatial.KDTree(corners[:-1], compact_nodes=False, balanced_tree=False)  # quicker of a curve, as in `milled`
    middle, swing = near, np.pi / drive.pins
    for trials in (61, 13, 13, 13, 13, 13, 13, 13, 13):
        angles = middle + np.linspace(-swing, swing, trials)
        seen = turned(from_centre, -angles[:, None])
        room = _outside(corners, tree, seen).min(axis=1) - drive.roller_radius
        middle, swing = float(angles[room.argmax()]), 2 * swing / (trials - 1)
    return middle, float(room.max())


def followed(drive: Drive, edge: ArrayLike, crank: ArrayLike) -> Pose:
    """Where a disc goes as the crank turns, by contact alone: at each crank angle it takes the place with `most_room`.

    Parameters
    ----------
    drive, edge : Drive, array_like
        The ring, and the disc's edge as a polygon [mm], as for `most_room`.
    crank : array_like
        Crank angles [rad] in the order in which they are passed, shape (n,), from an angle at which the disc's own is
        near 0; each so near to the last that the disc turns by less than half a pin pitch between them.

    Returns
    -------
    Pose
        `centre` [mm], (n, 2), and `angle` [rad], (n,).

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> edge = outline.polygon(story, 0.001)
    >>> followed(story, edge, [0.0, 1.9]).angle.round(3).tolist()  # rad
    [0.0, -0.1]
    """
    checked_kind("drive", drive, Drive)
    crank, angle = angles("crank", crank), [0.0]
    if crank.ndim != 1:
        raise ValueError(f"crank has the shape {crank.shape}, but must be (n,): give a row of crank angles.")
    for one in crank:
        angle.append(most_room(drive, edge, one, angle[-1])[0])
    return Pose(centre=drive.eccentricity * _unit(crank), angle=np.array(angle[1:]))


def phases(discs: int) -> Floats:
    """Angle 2 pi k/n [rad] by which the crank of disc k runs ahead of disc 0's, shape (n,).

    Examples
    --------
    >>> phases(2).round(4).tolist()  # rad
    [0.0, 3.1416]
    """
    number = checked_count("discs", discs, 1, MOST_DISCS)
    return 2 * np.pi * np.arange(number) / number


def disc_poses(drive: Drive, crank: ArrayLike, discs: int) -> Pose:
    """Centres and angles of 1 to 12 equal discs on one shaft, evenly phased; shapes of `crank` + (n, 2) and (n,).

    `crank` [rad] is disc 0's; centres are in mm, angles [rad] those of the outlines, whose roots 0 point there.

    Raises
    ------
    TypeError, ValueError
        If `discs` is not a whole number, or out of range.

    Notes
    -----
    Disc k's crank is 2 pi k/n ahead, and its outline must fit the rollers there: it is where disc 0's would be
    once its crank got there. All discs turn at the same rate, so `outline_offsets` between them stay.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> disc_poses(story, 0.0, discs=2).centre.round(4).tolist()  # mm
    [[1.4, 0.0], [-1.4, 0.0]]
    """
    return disc_pose(drive, angles("crank", crank)[..., None] + phases(discs))


def outline_offsets(drive: Drive, discs: int) -> Floats:
    """Angle by which each of 1 to 12 discs' outlines sits round from disc 0's on the common output [rad], shape (n,).

    For disc k k/n of a lobe pitch, clockwise: -2 pi k/(n (N - 1)). The second of two sits half a lobe round.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> np.degrees(outline_offsets(story, 2)[1:]).round(4).tolist()  # half a lobe pitch
    [-9.4737]
    """
    return disc_pose(drive, phases(discs)).angle


def turned(points: ArrayLike, angle: ArrayLike) -> Floats:
    """Points or vectors (..., 2) turned about the origin by `angle` [rad], counter-clockwise.

    Examples
    --------
    >>> turned([1.0, 0.0], np.pi / 2).round(4).tolist()
    [0.0, 1.0]
    """
    points, angle = vectors("points", points), angles("angle", angle)
    try:
        np.broadcast_shapes(points.shape[:-1], angle.shape)
    except ValueError as error:
        raise ValueError(
            f"angle has the shape {angle.shape}, which doesn't go with points' {points.shape}: give one for each point."
        ) from error
    cosine, sine = np.cos(angle), np.sin(angle)
    x, y = points[..., 0], points[..., 1]
    return np.stack([cosine * x - sine * y, sine * x + cosine * y], axis=-1)


def _outside(corners: Floats, tree: spatial.KDTree, places: Floats) -> Floats:
    """Distance [mm] of places (..., 2) from a counter-clockwise polygon by its nearest corner; inside it below zero."""
    nearest = tree.query(places)[1]
    here, best, along = corners[nearest], np.full(nearest.shape, np.inf), np.zeros(places.shape)
    for start, end in ((corners[nearest - 1 - (nearest == 0)], here), (here, corners[nearest + 1])):
        chord = end - start
        best = np.minimum(best, from_chords(places, start, end))
        along += chord / np.hypot(*np.moveaxis(chord, -1, 0))[..., None]  # both chords' directions weigh alike
    arm = places - here
    return np.where(along[..., 0] * arm[..., 1] > along[..., 1] * arm[..., 0], -best, best)


def _unit(angle: Floats) -> Floats:
    return np.stack([np.cos(angle), np.sin(angle)], axis=-1)
