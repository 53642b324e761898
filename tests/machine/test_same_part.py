"""Whether discs of a stack are the same part, against brute force over every lobe count, roller count and hole phase.

The conditions are derived here and not printed anywhere; the second method is to turn and turn over sets of points:
- two discs, turned round: exactly when the output rollers' number has more factors of 2 than the lobes';
- two discs, turned over: always where the holes are a quarter lobe pitch from a lobe's tip;
- three discs, turned round: exactly when the rollers' number has more factors of 3; turning over doesn't help.
"""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import motion
from cyclokit.machine import same_part
from cyclokit.machine.reducer import Reducer
from tests.geometry.drives import STORY

LOBES, ROLLERS = range(2, 25), range(3, 13)


def machine(lobes, rollers, phase, discs=2):
    """A reducer with these counts; its lengths don't matter here."""
    drive = Drive(lobes + 1, 60.0, 1.0, 0.5)
    return Reducer(drive, output_rollers=rollers, hole_phase=float(phase), discs=discs)


def serves(lobes, rollers, phase, discs, disc, over):
    """Whether the first disc serves as that disc: every turn that brings its hole 0 on a roller is tried.

    Roots and holes of the first disc, turned over if so, then turned; beside them what the stack's disc number `disc`
    must have: roots 1/discs of a lobe pitch each back, holes on rollers. Angles are exact, in whole parts of a turn.
    """
    sign, parts = -1 if over else 1, lobes * rollers * discs * phase.denominator  # of a turn
    hole, lobe, roller = int(phase * parts / lobes), parts // lobes, parts // rollers
    roots, holes = range(0, parts, lobe), range(hole, hole + parts, roller)
    wanted_roots, wanted_holes = {(k - disc * lobe // discs) % parts for k in roots}, {k % parts for k in holes}
    return any(
        {(sign * k + turn) % parts for k in roots} == wanted_roots
        and {(sign * k + turn) % parts for k in holes} == wanted_holes
        for turn in (k - sign * hole for k in holes)
    )


def factors(number, prime):
    """How often a prime divides a number."""
    return 0 if number % prime else 1 + factors(number // prime, prime)


@pytest.mark.parametrize("lobes", LOBES)
@pytest.mark.parametrize("phase", [Fraction(0), Fraction(1, 4), Fraction(1, 3), Fraction(1, 2), Fraction(7, 40)])
def test_two_discs_are_the_same_part_just_when_brute_force_finds_a_way(lobes, phase):
    for rollers in ROLLERS:
        second = same_part.placings(machine(lobes, rollers, phase))[1]
        round_, over = (serves(lobes, rollers, phase, 2, 1, turned_over) for turned_over in (False, True))
        assert (second.part == 0) == (round_ or over)
        if second.part == 0:
            assert second.turned_over == (not round_)  # turned round is tried first
        assert round_ == (factors(rollers, 2) > factors(lobes, 2))


def test_holes_a_quarter_pitch_from_a_tip_always_let_the_disc_be_turned_over():
    for lobes in LOBES:
        for rollers in ROLLERS:
            for phase in (Fraction(1, 4), Fraction(3, 4)):  # a tip is half a lobe pitch from a root
                assert serves(lobes, rollers, phase, 2, 1, over=True)
                assert same_part.placings(machine(lobes, rollers, phase))[1].part == 0


@pytest.mark.parametrize("lobes", LOBES)
@pytest.mark.parametrize("phase", [Fraction(0), Fraction(1, 4), Fraction(1, 6), Fraction(7, 40)])
def test_three_discs_are_the_same_part_just_when_the_rollers_have_more_factors_of_3(lobes, phase):
    for rollers in ROLLERS:
        found = same_part.placings(machine(lobes, rollers, phase, discs=3))
        brute = all(any(serves(lobes, rollers, phase, 3, disc, over) for over in (False, True)) for disc in (1, 2))
        assert all(placing.part == 0 for placing in found) == brute
        assert brute == (factors(rollers, 3) > factors(lobes, 3))


@pytest.mark.parametrize("discs", [1, 2, 3])
@pytest.mark.parametrize("phase", [Fraction(0), Fraction(1, 4), Fraction(1, 6), Fraction(1, 12), Fraction(7, 40)])
def test_witness_marks_bring_roots_and_holes_where_they_belong(discs, phase):
    for lobes in LOBES:
        for rollers in ROLLERS:
            found = same_part.placings(machine(lobes, rollers, phase, discs))
            assert [placing.disc for placing in found] == list(range(discs))
            for placing in found:
                first = next(other for other in found if other.part == placing.part)
                assert first.roller == 0 and not first.turned_over
                # the part's own holes lie further on from its roots if it was made for a later disc
                own = (phase + Fraction(first.disc, discs)) / lobes
                sign = -1 if placing.turned_over else 1
                # hole 0 of the part onto its roller, which stands `phase` on from disc 0's root
                turn = phase / lobes + Fraction(placing.roller, rollers) - sign * own
                roots = {(sign * Fraction(k, lobes) + turn) % 1 for k in range(lobes)}
                assert roots == {(Fraction(k, lobes) - Fraction(placing.disc, discs * lobes)) % 1 for k in range(lobes)}


def test_two_kinds_of_part_are_enough_for_three_discs_if_a_hole_is_on_a_root():
    # the second and third are each other's mirror images: 1/3 + 2/3 of a lobe pitch is a whole one
    placings = same_part.placings(machine(19, 4, 0, discs=3))
    assert [placing.part for placing in placings] == [0, 1, 1]
    assert placings[2].turned_over


def test_the_storys_discs_are_one_part_turned_half_round():
    second = same_part.placings(Reducer(STORY))[1]
    assert (second.part, second.turned_over, second.roller) == (0, False, 3)  # six rollers: the opposite one
    five = Reducer(STORY, output_rollers=5)
    assert same_part.placings(five)[1].turned_over
    assert same_part.placings(Reducer(STORY, output_rollers=5, hole_phase=0.0))[1].part == 1


@given(st.integers(2, 40), st.integers(3, 15), st.floats(0, 0.999), st.integers(1, 3))
def test_disc_0_is_part_0_as_it_is_and_no_part_is_left_out(lobes, rollers, phase, discs):
    placings = same_part.placings(machine(lobes, rollers, phase, discs))
    assert placings[0] == same_part.Placing(0, 0, False, 0)
    assert {placing.part for placing in placings} == set(range(max(placing.part for placing in placings) + 1))
    assert all(0 <= placing.roller < rollers for placing in placings)


@pytest.mark.parametrize("discs", [2, 3])
def test_outlines_and_holes_of_all_discs_meet_rollers_and_pins_as_they_are_placed(discs):
    # the story's stack, seen from the ring: the part's roots against each disc's pose, its holes round the rollers
    reducer = Reducer(STORY, discs=discs, output_rollers=6, hole_phase=0.25)
    drive, pose = reducer.drive, motion.disc_poses(STORY, 0.7, discs)
    output = motion.disc_pose(STORY, 0.7).angle
    rollers = 2 * np.pi * (0.25 / drive.lobes + np.arange(6) / 6) + output
    part_holes = 2 * np.pi * (0.25 / drive.lobes + np.arange(6) / 6)
    for placing in same_part.placings(reducer):
        if placing.part:
            continue
        sign = -1 if placing.turned_over else 1
        turn = rollers[placing.roller] - sign * part_holes[0]
        lobes_off = (turn - pose.angle[placing.disc]) * drive.lobes / (2 * np.pi)
        assert lobes_off == pytest.approx(round(lobes_off), abs=1e-9)  # rounding
