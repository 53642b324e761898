"""How far the plate runs ahead: against polygons pushed together, and against tiny steps.

- Whether a roller cuts into its hole: Shapely, a general-purpose geometry library.
- That nothing is left without clearance: the mean of the squared distances, derived in lesson 6.
"""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import motion
from cyclokit.machine import plate
from cyclokit.machine.reducer import Reducer
from tests.geometry.drives import STORY

MACHINES = [
    Reducer(STORY, discs=1, hole_clearance=0.1),
    Reducer(STORY, hole_clearance=0.3, output_rollers=5),
    Reducer(STORY, discs=3, hole_clearance=0.2),
    Reducer(Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=2.0), discs=2, hole_clearance=0.15),
]


def free(machine, crank, turn):
    """Whether no roller of a plate that is turned by `turn` [rad] from the discs' angle leaves any of its holes."""
    way = (
        2
        * np.pi
        * (machine.hole_phase / machine.drive.lobes + np.arange(machine.output_rollers) / machine.output_rollers)
    )
    at = machine.output_circle_radius * np.column_stack([np.cos(way), np.sin(way)])
    pose = motion.disc_poses(machine.drive, crank, machine.discs)
    angle = float(motion.disc_pose(machine.drive, crank).angle)
    for middle in np.reshape(pose.centre, (-1, 2)):
        for hole, roller in zip(middle + motion.turned(at, angle), motion.turned(at, angle + turn), strict=True):
            around = shapely.Point(hole).buffer(machine.hole_radius, quad_segs=2000)
            if not around.contains(shapely.Point(roller).buffer(machine.output_roller_radius, quad_segs=200)):
                return False
    return True


@pytest.mark.parametrize("machine", MACHINES, ids=["one", "two", "three", "other"])
@pytest.mark.parametrize("crank", [0.0, 0.7, 2.9])
def test_up_to_there_every_roller_is_within_its_hole_and_not_beyond(machine, crank):
    stop = plate.ahead(machine, [crank]).min()
    assert free(machine, crank, 0.995 * stop)  # the hole's polygon is a ten thousandth of a mm too small
    assert not free(machine, crank, 1.005 * stop)


@given(st.integers(3, 12), st.floats(0.0, 1.0, exclude_max=True), st.floats(-10, 10))
@settings(max_examples=60, deadline=None)
def test_without_clearance_the_plate_stands_at_every_crank_angle(rollers, phase, crank):
    machine = Reducer(STORY, output_rollers=rollers, hole_phase=phase, hole_clearance=0.0)
    assert plate.ahead(machine, [crank]).min() < 1e-7  # a cosine near 1 has lost half of its figures


def test_every_disc_and_roller_has_its_own_column():
    assert plate.ahead(MACHINES[2], np.linspace(0, 1, 7)).shape == (7, 3, MACHINES[2].output_rollers)


def test_holes_that_hold_no_roller_are_refused():
    machine = Reducer(STORY, discs=1, hole_clearance=5.0, output_circle_radius=3.0, output_rollers=3)
    with pytest.raises(ValueError, match=r"hole_clearance of 5\.0 mm, but must have one well below"):
        plate.ahead(machine, [0.0])


def test_a_table_of_crank_angles_is_refused():
    with pytest.raises(ValueError, match="crank has the shape"):
        plate.ahead(MACHINES[0], [[0.1, 0.2]])
