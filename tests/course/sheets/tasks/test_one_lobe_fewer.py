"""Sheet 3 held against what is printed elsewhere and against the milled disc.

- Gear trains: R. Willis, Principles of Mechanism, 1841 (from memory): speeds seen from the arm keep their proportion.
- Seen from the disc, the pins run along one curve closed in one turn exactly when |N - M| = 1: derived, and held
  against brute force here and in tests/geometry/test_sweep.py.
"""

import math

import numpy as np
import pytest

from cyclokit.course.sheets.task import Given, numbers_of
from cyclokit.course.sheets.tasks import one_lobe_fewer as sheet
from cyclokit.drive import Drive
from cyclokit.geometry import sweep

READERS = [f"reader {number}" for number in range(60)]


def _willis(ring_teeth, disc_teeth, ring=0.0, disc=None, arm=1.0):
    """The speed that is not given, from (ring - arm)/(disc - arm) = disc teeth/ring teeth."""
    if disc is None:
        return arm + (ring - arm) * ring_teeth / disc_teeth
    return arm + (disc - arm) * disc_teeth / ring_teeth


def test_an_odd_disc_turns_as_willis_says():
    for word in READERS:
        given = numbers_of(sheet.Odd(), word)
        turns = given.turns * _willis(given.pins, given.lobes)
        assert sheet.Odd().question(given).right == pytest.approx(360 * turns, rel=1e-12)  # rounding


def test_two_drives_in_a_row_multiply_as_willis_says():
    for word in READERS:
        given = numbers_of(sheet.Row(), word)
        middle = _willis(given.first_pins, given.first_pins - 1)
        last = middle * _willis(given.second_pins, given.second_pins - 1, disc=0.0)
        assert sheet.Row().question(given).right == round(1 / last)


@pytest.mark.parametrize(("difference", "word"), [(2, "more"), (2, "fewer"), (12, "more"), (12, "fewer")])
def test_the_family_formula_is_that_of_willis(difference, word):
    right = sheet.Family().question(Given(difference=difference, word=word)).right
    symbols = {symbol.name: symbol for symbol in right.free_symbols}
    lobes = 30 + (difference if word == "more" else -difference)
    found = float(right.subs({symbols["N"]: 30, symbols["c"]: 2.5}))
    assert found == pytest.approx(2.5 * _willis(30, lobes), rel=1e-12)  # rounding


def test_what_the_disc_sees_of_a_pin_is_what_the_milling_uses():
    for word in READERS[:20]:
        given = numbers_of(sheet.Seen(), word)
        drive = Drive(given.pins, given.circle_mm, 1.0, given.eccentricity_mm)
        for crank in (0.8, -1.3, 17.3):
            seen = sweep.pins_from_disc(drive, crank, given.lobes)[given.pin]
            assert np.allclose(
                sheet.Seen().question(given).right(crank), seen, rtol=0, atol=1e-12 * drive.pin_circle_radius * 20
            )


def _curves(pins, lobes):
    """How many curves the pins run along, and after how many turns each closes: counted from the paths themselves."""
    if pins == lobes:
        return "d"
    drive = Drive(pins, 40.0, 1.0, 0.5)
    turns = abs(pins - lobes)  # after so many turns round the disc every path has closed
    crank = np.linspace(0, 2 * np.pi * lobes, 400 * lobes * turns + 1)[:-1]
    traces = sweep.pins_from_disc(drive, crank, lobes) @ [1, 1j]
    first = traces[:, 0]
    same = [np.abs(first[:, None] - traces[::1234, k]).min(axis=0).max() < 0.05 for k in range(pins)]  # mm: a step
    if not all(same):
        return "c"
    rounds = np.cumsum(np.diff(np.unwrap(np.angle(first)))) / (2 * np.pi)
    closes = np.abs(first[1:] - first[0]) < 1e-6
    return "a" if math.isclose(abs(rounds[closes][0]) if closes.any() else turns, 1, abs_tol=0.01) else "b"


@pytest.mark.parametrize("pins", [12, 14, 18])
@pytest.mark.parametrize("more", [-7, -6, -5, -3, -2, -1, 0, 1, 2, 3, 4])
def test_the_number_of_curves_is_that_of_the_paths(pins, more):
    assert sheet.Curves().question(Given(pins=pins, lobes=pins + more)).right == _curves(pins, pins + more)


def test_no_pin_is_jumped_by_the_discs_that_are_asked_about():
    for word in READERS:
        # with half of the pins, or with half as many more, another disc would meet the same pins: derived, brute force
        for task in (sheet.Odd(), sheet.Seen(), sheet.Curves()):
            given = numbers_of(task, word)
            assert given.pins < 2 * given.lobes < 3 * given.pins


def test_only_one_letter_is_true_of_a_disc_that_does_not_turn():
    # its pins run along several curves as well: these don't go round the disc
    assert sheet.Curves().question(Given(pins=12, lobes=12)).right == sheet.CIRCLES
    assert "several curves, each of which goes round the disc" in sheet.Curves().text


def test_the_turntable_turns_the_way_and_at_the_speed_asked_for():
    for word in READERS:
        given = numbers_of(sheet.Table(), word)
        pins = sheet.Table().question(given).right
        ring_held, disc_held = _willis(pins, pins - 1), _willis(pins, pins - 1, disc=0.0)
        plate = -ring_held if given.way == "against" else disc_held
        assert given.crank_seconds / plate == pytest.approx(given.plate_seconds, rel=1e-12)  # rounding
