"""What stands beside what along the axis; each row of it comes out either way in test_space, by the report."""

import numpy as np
import pytest
import shapely

from cyclokit.machine import space, stack
from cyclokit.machine.reducer import Reducer
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)


def circle(radius, x=0.0, y=0.0):
    return shapely.Point(x, y).buffer(radius, quad_segs=512)


def test_the_storys_stack():
    # ISO 15: a 61801 is 12 x 21 x 5 mm, a 623 3 x 10 x 4; the discs are as thick as their bearings, 1 mm apart
    found = stack.bounds(MACHINE)
    assert found["spacer reaches the inner rings"][0] == pytest.approx(12 / 2 - 1.4)
    assert found["bearings apart"] == (5.0, 6.0)
    assert found["ring bearings apart"] == (pytest.approx(4 + 0.1), 6.0)  # a shim of 0.1 mm between them
    assert found["rod fills the ring bearing"][0] == 3 / 2


def test_every_name_that_may_be_equal_is_that_of_a_row():
    three = stack.bounds(Reducer(STORY, discs=3))
    assert set(three) >= stack.MAY_BE_EQUAL
    report = space.check(Reducer(STORY, discs=3))
    assert {name for name in three if not report[name].strict} == stack.MAY_BE_EQUAL


def pushed(crank):
    """Which pins a disc at that crank angle can be pushed by: where the push turns it backwards about its centre."""
    centre, pitch_point = STORY.eccentricity * np.exp(1j * crank), STORY.eccentricity * STORY.pins * np.exp(1j * crank)
    pins = STORY.pin_circle_radius * np.exp(2j * np.pi * np.arange(STORY.pins) / STORY.pins)
    push = pitch_point - pins  # contact normals go through the pitch point
    return ((pins - centre).conj() * push).imag > 1e-9


@pytest.mark.parametrize(("discs", "share"), [(2, 0.0), (3, 0.5)])
def test_two_discs_never_push_a_pin_at_once_and_of_three_two_do_half_of_the_time(discs, share):
    # derived; lets a sleeve be shared by two discs, and warns of three
    turn = np.linspace(0, 2 * np.pi, 3600, endpoint=False) + 1e-4
    pushing = [sum(pushed(crank + 2 * np.pi * k / discs).astype(int) for k in range(discs)) for crank in turn]
    assert (np.array(pushing) > 1).mean() == pytest.approx(share, abs=1e-3)  # of the turn in 3600 steps


def test_a_spacer_between_two_bearings_lies_on_both_inner_rings_and_on_nothing_else():
    bearing, e = MACHINE.eccentric_bearing, STORY.eccentricity
    spacer = circle(MACHINE.spacer_radius)
    for side in (e, -e):
        inner, eccentric = circle(bearing.shoulder_radius, side), circle(bearing.bore_diameter / 2, side)
        assert inner.contains(spacer)
        assert not eccentric.contains(spacer)
