"""Whether bearings come on to a crank, against a search over all orders and ends and all places of each ring.

The search knows nothing of circles that share a point: a ring goes from place to place of a lattice, wherever it takes
all that it is round. Rings that are on already bar the way.
"""

import itertools
import math
from collections import deque
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit.machine import bench, crank, fits
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from tests.geometry.drives import STORY

STEP = 0.5  # mm of the lattice; all lengths below are whole multiples, so that its places are the deciding ones


def goes(pieces, seat, bore, below, barred):
    """Whether a ring gets from an end to its seat, from place to place; `barred` are heights of rings that are on."""
    width = seat.top - seat.bottom
    low, high = pieces[0].bottom - 2 * width, pieces[-1].top + width
    start = (low if below else high, 0.0, 0.0)
    goal = (seat.bottom, seat.x, seat.y)

    def _free(z, x, y):
        clear = all(z + width <= bottom or z >= top for bottom, top in barred)
        return clear and all(
            math.hypot(x - piece.x, y - piece.y) <= bore - piece.radius + 1e-9
            for piece in pieces
            if z + width > piece.bottom and z < piece.top
        )

    seen, waiting = {start}, deque([start])
    while waiting:
        z, x, y = waiting.popleft()
        if (z, x, y) == goal:
            return True
        for change in (-STEP, STEP):
            for place in ((z + change, x, y), (z, x + change, y), (z, x, y + change)):
                inside = low <= place[0] <= high and max(abs(place[1]), abs(place[2])) <= 3
                if inside and place not in seen and _free(*place):
                    seen.add(place)
                    waiting.append(place)
    return False


def by_trying(pieces, seats, bore):
    """Whether some order and some ends put all rings on."""
    for order in itertools.permutations(range(len(seats))):
        for ends in itertools.product((True, False), repeat=len(seats)):
            barred = []
            for number, below in zip(order, ends, strict=True):
                if not goes(pieces, seats[number], bore, below, barred):
                    break
                barred.append((seats[number].bottom, seats[number].top))
            else:
                return True
    return False


def by_trying_divided(lower, upper, whole, bore):
    """Whether some order and some ends put all rings on, each before the two pieces are joined or after."""
    seats = list(whole[1:-1:2])

    @cache
    def _goes(number, joined, below, barred):
        pieces = whole if joined else lower if seats[number] in lower else upper
        mine = [heights for heights in barred if pieces[0].bottom <= heights[0] < pieces[-1].top]
        return goes(pieces, seats[number], bore, below, mine)

    @cache
    def _rest(on, joined):
        barred = tuple((seats[number].bottom, seats[number].top) for number in on)
        if len(on) == len(seats) or (not joined and _rest(on, True)):
            return True
        left = [number for number in range(len(seats)) if number not in on]
        ways = ((number, below) for number in left for below in (True, False))
        return any(_goes(*way[:1], joined, way[1], barred) and _rest((*on, way[0]), joined) for way in ways)

    return _rest((), False)


def by_rule(pieces, seats, bore):
    return seats == pieces[1:-1:2] and crank._ends_of(tuple(pieces), bore) is not None


def built(journal, neck, e, bore, width, gap, discs):
    """A crank of one, two opposite or three discs, the middle one of three opposite."""
    z, pieces = 3.0, [crank.Cylinder(journal, 0.0, 0.0, 0.0, 3.0)]
    for number in range(discs):
        if number:
            pieces.append(crank.Cylinder(neck, 0.0, 0.0, z, z + gap))
            z += gap
        pieces.append(crank.Cylinder(bore, e * (-1) ** number, 0.0, z, z + width))
        z += width
    return (*pieces, crank.Cylinder(journal, 0.0, 0.0, z, z + 3.0))


HALVES = st.integers(1, 6).map(lambda halves: halves / 2)


@settings(max_examples=60, deadline=None)
@given(st.integers(4, 8), st.integers(4, 9), st.sampled_from([0.5, 1.0]), st.integers(1, 2), HALVES, st.integers(1, 3))
def test_the_rule_is_that_of_trying_all_orders_and_ends(journal, neck, e, width, gap, discs):
    pieces = built(journal / 2, neck / 2, e, 3.5, float(width), gap, discs)
    seats = pieces[1:-1:2]
    assert by_rule(pieces, seats, 3.5) == by_trying(pieces, seats, 3.5)


@settings(max_examples=40, deadline=None)
@given(st.integers(4, 8), st.integers(4, 9), st.sampled_from([0.5, 1.0]), st.integers(1, 2), HALVES, st.integers(2, 8))
def test_so_it_is_where_the_crank_is_divided(journal, neck, e, width, gap, spigot):
    whole = built(journal / 2, neck / 2, e, 3.5, float(width), gap, 3)
    below, upper = whole[:4], whole[4:]
    lower = (*below, crank.Cylinder(spigot / 2, 0.0, 0.0, below[-1].top, below[-1].top + gap + width / 2))
    ruled = all(crank._ends_of(piece, 3.5) is not None for piece in (lower, upper))
    assert ruled == by_trying_divided(lower, upper, whole, 3.5)


@settings(max_examples=40, deadline=None)
@given(
    st.integers(4, 8),
    st.integers(4, 9),
    st.sampled_from([0.5, 1.0]),
    st.integers(1, 2),
    HALVES,
    st.integers(2, 8),
    st.sampled_from(["lower", "upper", "its own"]),
)
def test_so_it_is_of_two_discs_wherever_the_neck_is(journal, neck, e, width, gap, spigot, on):
    whole = built(journal / 2, neck / 2, e, 3.5, float(width), gap, 2)
    cut, begins = (3 if on == "lower" else 2), (2 if on == "upper" else 3)
    below, upper = whole[:cut], whole[begins:]
    lower = (*below, crank.Cylinder(spigot / 2, 0.0, 0.0, below[-1].top, whole[3].top - width / 2))
    ruled = all(crank._ends_of(piece, 3.5) is not None for piece in (lower, upper))
    assert ruled == by_trying_divided(lower, upper, whole, 3.5)


@pytest.mark.parametrize("gap", [0.5, 1.0, 3.0])
def test_between_thick_journals_only_a_neck_of_its_own_lets_both_bearings_on(gap):
    """Journal and neck so thick that no ring passes either of them: 3 + 1 is more than 3.5."""
    whole = built(3.0, 3.0, 1.0, 3.5, 1.0, gap, 2)
    spigot = crank.Cylinder(2.0, 0.0, 0.0, whole[1].top, whole[3].top - 0.5)
    assert not by_trying(whole, whole[1:-1:2], 3.5)
    assert not by_trying_divided((*whole[:2], spigot), whole[2:], whole, 3.5)
    short = crank.Cylinder(2.0, 0.0, 0.0, whole[2].top, whole[3].top - 0.5)
    assert not by_trying_divided((*whole[:3], short), whole[3:], whole, 3.5)
    assert by_trying_divided((*whole[:2], spigot), whole[3:], whole, 3.5)


@pytest.mark.parametrize(
    ("discs", "gap", "expected"), [(1, 0.5, True), (2, 0.5, True), (3, 0.5, False), (3, 1.0, True), (3, 2.0, True)]
)
def test_a_middle_disc_needs_a_neck_as_long_as_its_bearing(discs, gap, expected):
    pieces = built(2.5, 2.5, 1.0, 3.5, 1.0, gap, discs)
    assert by_rule(pieces, pieces[1:-1:2], 3.5) == by_trying(pieces, pieces[1:-1:2], 3.5) == expected


def test_the_storys_crank_takes_each_bearing_from_its_own_end():
    assert crank.ends(Reducer(STORY)) == ("below", "above")
    assert crank.ends(Reducer(STORY, discs=1)) == ("below",)
    assert crank.division(Reducer(STORY)) is None


@pytest.mark.parametrize("gap", [1.0, 5.0, 12.0])
def test_of_three_discs_a_crank_in_one_piece_takes_none_and_a_divided_one_does(gap):
    """However long the neck is: one that is a shoulder for inner rings lets none on to the eccentric beside it."""
    machine = Reducer(STORY, discs=3, disc_gap=gap)
    assert crank._ends_of(crank.cylinders(machine), 6.0) is None
    assert crank.ends(machine) == ("below", "above", "above")


def test_the_divided_cranks_screw_is_in_the_spigot_and_above_the_motors_shaft():
    found = crank.division(Reducer(STORY, discs=3))
    tip = found.seat - found.length
    assert (
        tip - 1.0 == pytest.approx(found.thread_bottom) and found.thread_bottom > 24.0 + 0.5
    )  # the motor's shaft, and a gap
    assert found.engaged == pytest.approx(found.spigot_top - tip)
    assert found.engaged > 1.6 * found.screw.diameter
    assert found.radius + 1.4 + 1.2 == pytest.approx(6.0)  # a wall of 1.2 mm in the eccentric


def test_a_thick_journal_divides_the_crank_of_two_discs_alone():
    thick = {"crank_bearing": "61800", "spacer_radius": 5.5}  # 10 mm: 5 + 1.4 is more than the eccentric's 6
    two = Reducer(STORY, **thick)
    assert crank.ends(two) == ("above", "below")
    lower, neck, upper = crank.pieces(two)
    assert [piece.radius for piece in (*lower[:2], *neck, *upper)] == [5.0, 6.0, 5.5, 6.0, 5.0]
    found = crank.division(two)
    assert found.loose_neck
    assert "crank's neck on the spigot" in {fit.where for fit in fits.fits(two)}
    assert 5.5 - found.radius >= two.least_wall  # the neck's own wall
    assert found.flat - found.screw.diameter / 2 >= two.least_wall
    for discs in (1, 3):
        other = Reducer(STORY, discs=discs, **thick)
        assert crank.ends(other) is None
        assert not bench.check(other)["crank bearing passes the eccentric's"].ok


@pytest.mark.parametrize("eccentric", [12.0, 12.2, 12.5, 12.7, 12.8, 12.9, 13.0])
def test_a_crank_of_two_discs_is_divided_where_journals_are_thicker_than_the_bore_less_2_e(eccentric):
    machine = Reducer(
        STORY, crank_bearing="61800", eccentric_bearing=Bearing("own", eccentric, 21.0, 5.0), spacer_radius=5.5
    )
    assert (crank.division(machine) is None) == (eccentric - 2 * 1.4 + 1e-9 >= 10.0)
    names = {row.name for row in bench.check(machine)}
    assert ("crank bearing passes the eccentric's" in names) == (crank.division(machine) is None)
    assert ("crank's screw clamps" in names) == (crank.division(machine) is not None)


def test_a_spigot_of_no_radius_is_told_and_no_error():
    report = bench.check(Reducer(STORY, crank_bearing="61800", eccentric_bearing="61801", least_wall=5.0))
    assert not report["wall of the crank's spigot"].ok


def test_eccentrics_that_leave_no_neck_are_not_divided():
    touching = Reducer(STORY, crank_bearing="61800", disc_thickness=3.0, disc_gap=1.0)
    assert touching.disc_pitch < touching.eccentric_bearing.width
    assert crank.division(touching) is None
    assert not bench.check(touching)["crank bearing passes the eccentric's"].ok
