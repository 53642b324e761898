"""What each part carries at its worst, held against single sums and published formulas.

- Wang, Luo, Su, "Multi-objective optimization...", Mech. Mach. Theory 102 (2016) 135-148: the share of power that pins
  which don't turn take, lambda mu with lambda = 4 (Rp - r)/(pi e Zc), to first order.
- K. L. Johnson, Contact Mechanics, ch. 4: peak pressure of a line contact, written down again here.
- J. M. Gere, Mechanics of Materials: moments F L/8 and F L/4 of a bar loaded in its middle.
"""

import dataclasses
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit.geometry import limits, outline
from cyclokit.machine.reducer import Reducer
from cyclokit.making import plates
from cyclokit.mechanics import bearings, loads, pins, rods, sharing
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)
SOLID = Reducer(dataclasses.replace(STORY, roller_radius=2.4), disc_material="bearing steel", outline_clearance=0.0)
WHOLE = 2 * np.pi * np.arange(loads.CRANKS) / loads.CRANKS


@pytest.fixture(scope="module")
def corner():
    """Without gaps, with the greatest moduli."""
    return loads.corners(MACHINE, 3000.0)[1]


def test_the_corners_hold_the_torque_and_gaps_make_the_peak_larger():
    corners = loads.corners(MACHINE, 3000.0)
    for corner in corners:
        assert corner.shared.disc_torque.sum(axis=1) == pytest.approx(3000.0)  # rounding only
        assert len(corner.shared.crank) == loads.CRANKS
    soft, stiff, soft_gaps, stiff_gaps = (corner.largest_pin_force for corner in corners)
    assert soft < soft_gaps < stiff_gaps and stiff < stiff_gaps


@pytest.mark.parametrize("support", ["both ends", "one end"])
def test_pins_and_rods_bend_as_if_each_were_bent_alone(corner, support):
    pin, shared = rods.ring_pin(MACHINE, support), corner.shared
    rod = rods.output_rod(dataclasses.replace(MACHINE, output_support=support))
    for beam, force, direction, worst in (
        (pin, shared.pin_force, shared.pin_direction, corner.ring_pin_stress(pin)),
        (rod, shared.output_force, shared.output_direction, corner.output_rod_stress(rod)),
    ):
        arrows, layer = force[..., None] * direction, pins.Layer(beam.diameter, 0.0, 2e5)
        largest = np.unique([np.argsort(-force[:, disc].ravel())[:30] for disc in range(2)])
        found = []
        for crank, place in zip(*np.unravel_index(largest, (len(force), force.shape[2])), strict=True):
            bent = pins.bend((layer,), beam.span, support, arrows[crank, :, place], beam.start, beam.end)
            found.append(max(bent.stress[0], np.sqrt(3) * bent.shear_stress[0]))
        assert worst == pytest.approx(max(found), rel=5e-3)  # one place in twenty is looked at


def carried_by_rods(corner, stands):
    """Greatest moment in output rods clamped in the flange and in a plate that nothing but they carry [N mm].

    The plate goes where the sum of forces and moments on it is nothing: three numbers, a set of linear equations.
    Moments of clamped beams and of ends that give way: J. M. Gere, Mechanics of Materials, appendix.
    """
    rod, shared = rods.output_rod(MACHINE), corner.shared
    span, at = rod.span, (rod.start + rod.end) / 2
    arrows = shared.output_force[..., None] * shared.output_direction  # (n, discs, rollers, 2)
    worst = 0.0
    for crank, loaded in enumerate(arrows[::10]):
        places = stands(float(shared.crank[10 * crank]))
        pushed = np.einsum("d,drx->rx", at**2 * (3 * span - 2 * at) / span**3, loaded)  # on the plate, if it is held
        # a plate that goes by u and turns by w moves rod k by (1, 0, -y; 0, 1, x) of that
        moves = np.array([[[1.0, 0.0, -y], [0.0, 1.0, x]] for x, y in places])
        stiff = np.einsum("rxi,rxj->ij", moves, moves) * 12 / span**3  # of 1 N mm^2 of bending stiffness
        goes = moves @ np.linalg.solve(stiff, np.einsum("rxi,rx->i", moves, pushed))
        first = np.einsum("d,drx->rx", at * (span - at) ** 2 / span**2, loaded) + 6 / span**2 * goes
        last = np.einsum("d,drx->rx", at**2 * (span - at) / span**2, loaded) - 6 / span**2 * goes
        on_plate = pushed - 12 / span**3 * goes
        between = [  # from the plate's end to each load
            on_plate * (span - x) - last - np.einsum("d,drx->rx", np.maximum(at - x, 0.0), loaded) for x in at
        ]
        assert np.abs(on_plate.sum(axis=0)).max() < 1e-9  # N
        worst = max(worst, *(np.linalg.norm(moment, axis=1).max() for moment in (first, last, *between)))
    return worst


def test_rods_that_carry_a_second_plate_are_judged_with_care_as_held_at_one_end(corner):
    """Clamped in both plates they bear more than if that plate stood still, and less than held at one end alone.

    Not clamped in the second plate, which then holds nothing, they bear all of it: never more.
    """

    def _stands(crank):
        return [place for place, _ in plates.output_places(MACHINE, crank)]

    rod, shared = rods.output_rod(MACHINE), corner.shared
    assert rod.support == "one end"
    alone = np.einsum(
        "d,ndrx->nrx", (rod.start + rod.end) / 2, shared.output_force[..., None] * shared.output_direction
    )
    cantilever = np.linalg.norm(alone[::10], axis=2).max()
    still = rods.output_rod(dataclasses.replace(MACHINE, output_support="both ends"))
    arrows = shared.output_force[..., None] * shared.output_direction
    supported = np.linalg.norm(np.einsum("pd,ndrx->npx", still.unit_moments(), arrows[:, :, :1]), axis=2).max()
    assert supported < carried_by_rods(corner, _stands) < 0.6 * cantilever


def test_the_web_is_a_bar_that_a_beam_program_bends_too(corner):
    clamped, supported = corner.web_stress()
    height = 42 - 1.4 - 5.1 - MACHINE.output_circle_radius - MACHINE.hole_radius  # to the disc's own roots
    force = max(corner.largest_pin_force, corner.largest_output_force)
    for found, support in ((clamped, "both ends clamped"), (supported, "both ends")):
        span = 2 * MACHINE.hole_radius
        bent = pins.bend((pins.Layer(1.0, 0.0, 1.0),), span, support, [force], [span / 2], [span / 2])
        stress = abs(bent.moment).max() / (MACHINE.disc_thickness * height**2 / 6)
        assert found == pytest.approx(stress, rel=1e-6)


def test_the_worst_pressure_is_that_of_every_contact_looked_at_alone(corner):
    shared, found = corner.shared, []
    star = 1 / ((1 - 0.4**2) / 212e3 + (1 - 0.4**2) / 2200.0)
    for crank in range(0, loads.CRANKS, 9):
        for disc in range(2):
            turned = shared.crank[crank] + np.pi * disc
            t = 2 * np.pi * np.arange(20) / 20 + turned / 19  # the disc turns back by 1/19 of the crank
            near = [outline.points(MACHINE.disc_drive, t + step) for step in (-1e-4, 0.0, 1e-4)]
            first, second = (near[2] - near[0]) / 2e-4, (near[2] - 2 * near[1] + near[0]) / 1e-8
            bend = (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]) / np.linalg.norm(first, axis=1) ** 3
            force = shared.pin_force[crank, disc]
            found.append(np.sqrt(force * star * (1 / 5.0 + bend) / (np.pi * 4.0)).max())  # 623 are 4 mm wide
    assert max(found) <= corner.contact_pressure() * (1 + 1e-5)  # differences of the outline
    assert max(found) == pytest.approx(corner.contact_pressure(), rel=0.01)  # every ninth crank angle only


def test_the_most_loaded_pin_is_not_the_most_stressed():
    machine, crank = Reducer(STORY, discs=1, outline_clearance=0.0), np.linspace(0, 2 * np.pi / 20, 400)
    arms = np.maximum(sharing.pin_arms(machine, crank)[:, 0], 0.0)  # to which ideal forces are in proportion
    t = loads.parameters(machine, crank)[:, 0]
    pressure = np.sqrt(arms * (1 / 5.0 + outline.curvature(STORY, t))).ravel()
    phi = np.degrees(2 * np.pi * np.arange(20) / 20 - crank[:, None]).ravel() % 360
    # derived, by two methods: 1.4976 times the pressure of the most loaded pin, at 81.38 degrees
    assert phi[pressure.argmax()] == pytest.approx(81.38, abs=0.1)  # steps of 0.045 degrees, and a flat top
    assert pressure.max() / pressure[arms.argmax()] == pytest.approx(1.4976, rel=1e-3)  # the same steps


def test_the_cranks_bearings_balance_the_discs(corner):
    shaft = rods.crank(MACHINE, "plain steel")
    at = corner.crank_loads(shaft)
    forces = corner.shared.bearing_force
    places = (shaft.start + shaft.end) / 2
    first = (forces * (shaft.span - places)[:, None]).sum(axis=1) / shaft.span  # moments about the second bearing
    assert at[:, 0] == pytest.approx(np.linalg.norm(first, axis=1))
    one = loads.corners(dataclasses.replace(MACHINE, discs=1), 3000.0)[1]
    both = one.crank_loads(rods.crank(one.reducer, "plain steel"))
    # of 19.4 mm between the bearings' middles the disc's is 12.2 mm above the lower one
    parts = np.array([7.2, 12.2]) / 19.4
    assert both == pytest.approx(np.linalg.norm(one.shared.bearing_force, axis=2) * parts)
    bent = corner.crank_stress(shaft, 0.0)
    assert corner.crank_stress(shaft, 1e4) == pytest.approx(np.hypot(bent, np.sqrt(3) * 16e4 / (np.pi * 5.0**3)))


def test_steady_loads_are_cubic_means(corner):
    by_hand = max(np.mean(corner.eccentric_loads[:, disc] ** 3) ** (1 / 3) for disc in range(2))
    assert loads.steady(corner.eccentric_loads) == pytest.approx(by_hand)
    assert bearings.equivalent_load([by_hand], [1.0]) == pytest.approx(by_hand)


def test_sliding_at_pins_is_the_published_first_order_loss():
    assert SOLID.pin_made == "solid"
    drive, torque, speed = SOLID.drive, 2000.0, 7.0
    lost = loads.corners(SOLID, torque)[0].pin_sliding(speed).sum()
    lam = 4 * (drive.pin_circle_radius - drive.roller_radius) / (np.pi * drive.eccentricity * drive.lobes)
    # a mean over infinitely many pins; twenty differ by what the edge of the loaded half leaves
    assert lost == pytest.approx(lam * torque * speed / drive.lobes, rel=0.01)


def test_sliding_at_output_rollers_is_e_times_the_cranks_speed_against_the_output():
    torque, speed = 2000.0, 7.0
    solid = dataclasses.replace(MACHINE, output_rod_radius=MACHINE.output_roller_radius)
    lost = loads.corners(solid, torque)[1].output_sliding(speed).sum()
    push = 4 * torque / (np.pi * solid.output_circle_radius)
    assert lost == pytest.approx(
        push * STORY.eccentricity * speed * 20 / 19, rel=0.02
    )  # six rollers, not endlessly many


@settings(max_examples=6, deadline=None)
@given(st.integers(8, 30), st.floats(0.2, 0.7), st.integers(1, 3), st.floats(1, 1e5), st.sampled_from([-1, 1]))
def test_sign_mirrors_and_size_counts(count, share, discs, torque, sign):
    radius = 5.0 * count
    most = float(limits.greatest_eccentricity(count, radius, 4.0))
    drive = dataclasses.replace(
        STORY, pins=count, pin_circle_radius=radius, roller_radius=4.0, eccentricity=share * most
    )
    machine = Reducer(
        drive, discs=discs, eccentric_bearing="61808", output_roller_radius=2.0, output_circle_radius=35.0
    )
    with patch.object(loads, "CRANKS", 40):  # for time
        small, large = (loads.corners(machine, sign * size) for size in (torque, 2 * torque))
        mirrored = loads.corners(machine, -sign * torque)
    pin = rods.ring_pin(machine)
    for one, two, other in zip(small, large, mirrored, strict=True):
        assert one.ring_pin_stress(pin) <= two.ring_pin_stress(pin)
        assert one.contact_pressure() <= two.contact_pressure()
        assert (one.eccentric_loads <= two.eccentric_loads + 1e-9 * torque).all() or discs > 1
        # a turn is looked at in 40 places, which a mirror takes into themselves only where the rollers allow it
        assert other.largest_pin_force == pytest.approx(one.largest_pin_force, rel=0.1)
