"""Rigid bodies that know no law: a motor turns the crank, the disc is pushed round by the rollers alone.

Sources
-------
pymunk (Chipmunk), a general-purpose two-dimensional rigid-body engine. It is told where the pins stand,
the disc's shape and the crank's motor, nothing of ratios. The law it is held against is the reduction
ratio of a hypocyclic train with the ring held, -1/(N - 1) (Willis equation; any textbook of mechanisms,
from memory), and for M lobes 1 - N/M.
Settings (clearance 0.05 mm, collision slop 0.002 mm, 50 iterations, dt 1/2000 s): common practice, no source;
without clearance the contacts jitter.
"""

import math
from functools import cache

import numpy as np
import pymunk
import pytest
import shapely

from cyclokit import Drive
from cyclokit.geometry import milled, outline, sweep

CLEARANCE = 0.05  # mm, by which each roller is smaller than the one the disc was made for
STEP = 1 / 2000  # s
TURNS = 10  # of the crank, at one a second
TORQUE = 1e5  # N mm, the motor's largest
SHAPE = 0.02  # mm, how far the disc's polygon may leave its curve: well within the clearance

EIGHT = Drive(pins=8, pin_circle_radius=40.0, roller_radius=5.0, eccentricity=1.6)
ELEVEN = Drive(pins=11, pin_circle_radius=40.0, roller_radius=5.0, eccentricity=1.4)
TWENTY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
EIGHT_FOR_NINE = Drive(pins=8, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.2)
ELEVEN_FOR_TWELVE = Drive(pins=11, pin_circle_radius=40.0, roller_radius=3.0, eccentricity=1.2)

# The disc may begin at one end of its play and end at the other. Each way the play is the clearance, and what
# the polygon's chords cut off, over the largest lever arm e M. Ten crank turns turn a disc by 10 2 pi/M, so that
# is (0.05 + 0.02)/(10 pi e) of the way: 0.14 to 0.19 % for the eccentricities here.
PLAY = 0.002


def convex_parts(edge):
    """The disc as a rim of four-cornered pieces; what is inside them never meets a roller."""
    inner = 0.7 * np.hypot(*edge.T).min() * edge / np.hypot(*edge.T)[:, None]
    return np.stack([edge[:-1], edge[1:], inner[1:], inner[:-1]], axis=1)


def machine(edge, pins, drive):
    """A space with ring, crank and disc in it, at crank angle 0: the disc's centre at (e, 0)."""
    space = pymunk.Space()
    space.iterations, space.collision_slop = 50, 0.002
    crank, disc = pymunk.Body(1.0, 1000.0), pymunk.Body(1.0, 1000.0)
    disc.position = on_crank = (drive.eccentricity, 0.0)
    parts = [pymunk.Poly(disc, part.tolist()) for part in convex_parts(edge)]
    around = 2 * np.pi * np.arange(pins) / pins
    centres = drive.pin_circle_radius * np.column_stack([np.cos(around), np.sin(around)])
    ring = space.static_body
    rollers = [pymunk.Circle(ring, drive.roller_radius - CLEARANCE, tuple(centre)) for centre in centres.tolist()]
    motor = pymunk.SimpleMotor(ring, crank, -2 * math.pi)  # the ring turns clockwise, seen from the crank
    motor.max_force = TORQUE
    bearings = pymunk.PivotJoint(ring, crank, (0, 0), (0, 0)), pymunk.PivotJoint(crank, disc, on_crank, (0, 0))
    for part in parts:
        part.filter = pymunk.ShapeFilter(group=1)  # pieces of one disc don't meet one another
    for shape in parts + rollers:
        shape.friction = 0.0
    space.add(crank, disc, *parts, *rollers, motor, *bearings)
    return space, crank, disc


def turned(edge, pins, drive, turns=TURNS):
    """Angles of crank and disc [rad] while the motor tries to turn the crank, (n, 2)."""
    space, crank, disc = machine(edge, pins, drive)
    angles = np.zeros((round(turns / STEP), 2))
    for step in range(len(angles)):
        space.step(STEP)
        angles[step] = crank.angle, disc.angle
    return angles


@cache
def disc_for(drive, lobes):
    """The disc's edge: the closed outline for one lobe fewer than pins, the brute-force cut for any other."""
    if lobes == drive.lobes:
        return outline.polygon(drive, SHAPE)
    cut = sweep.cut(drive, lobes, rays=4000)
    assert cut.resolution < SHAPE / 4
    return shapely.get_coordinates(shapely.simplify(shapely.LinearRing(cut.points), 0.75 * SHAPE))


@cache
def turned_among_its_own_pins(drive):
    return turned(disc_for(drive, drive.lobes), drive.pins, drive)


def ratio(angles):
    return angles[-1, 1] / angles[-1, 0]


@pytest.mark.parametrize("drive", [EIGHT, ELEVEN, TWENTY], ids=["8 pins", "11 pins", "20 pins"])
def test_the_disc_turns_by_one_lobe_against_the_crank(drive):
    angles = turned_among_its_own_pins(drive)
    assert angles[-1, 0] == pytest.approx(2 * math.pi * TURNS, rel=0.01)  # it takes 0.1 s to start
    assert ratio(angles) == pytest.approx(-1 / (drive.pins - 1), rel=PLAY)


@pytest.mark.parametrize("drive", [EIGHT_FOR_NINE, ELEVEN_FOR_TWELVE], ids=["8 pins", "11 pins"])
def test_with_one_lobe_more_than_pins_the_disc_turns_with_the_crank(drive):
    angles = turned(disc_for(drive, drive.pins + 1), drive.pins, drive)
    assert angles[-1, 0] == pytest.approx(2 * math.pi * TURNS, rel=0.01)
    assert ratio(angles) == pytest.approx(1 / (drive.pins + 1), rel=PLAY)


def test_the_disc_follows_the_law_all_the_way_and_not_only_at_the_end():
    angles = turned_among_its_own_pins(ELEVEN)
    law = sweep.disc_angle(ELEVEN, angles[:, 0])
    # the play each way, 0.07/(1.4 * 10) = 0.005 rad; at the next rate, -1/11, it would be 0.17 rad off
    assert np.abs(angles[:, 1] - law).max() < (CLEARANCE + SHAPE) / (ELEVEN.eccentricity * ELEVEN.lobes)


def test_a_disc_for_eleven_pins_jams_among_twelve():
    angles = turned(disc_for(ELEVEN, 10), 12, ELEVEN, turns=2)
    assert np.abs(angles[:, 0]).max() < 0.25 * 2 * math.pi  # no quarter of a turn where two were asked for


def test_a_disc_for_eleven_pins_fails_the_law_among_ten():
    angles = turned(disc_for(ELEVEN, 10), 10, ELEVEN, turns=2)  # as many lobes as pins
    assert abs(ratio(angles)) < 0.01  # it goes round without turning; the laws for 11 and 10 pins are -1/10, -1/9


def test_the_same_machine_turns_the_same_way_twice():
    again = turned(disc_for(EIGHT, 7), 8, EIGHT, turns=1)
    assert (again == turned_among_its_own_pins(EIGHT)[: len(again)]).all()


def test_an_undercut_disc_still_turns_once_it_is_trimmed():
    undercut = Drive(pins=12, pin_circle_radius=40.0, roller_radius=8.0, eccentricity=3.2)
    edge = milled.edge(undercut, tolerance=SHAPE)
    # with gaps of up to 0.09 mm besides, the play is (0.05 + 0.02 + 0.09)/(10 pi 3.2): 0.16 % of the way
    assert ratio(turned(edge, 12, undercut)) == pytest.approx(-1 / 11, rel=PLAY)
