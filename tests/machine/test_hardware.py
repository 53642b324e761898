"""Screws, holes and the motor's face against their standards.

Sources
-------
ISO 273, clearance holes for screws, fine, medium and coarse. NEMA ICS 16, the face of size 17. ISO 4762 and ISO 4032,
heads, lengths and nuts: from memory. ISO 261, coarse pitches, and ISO 2306, drills for threads: from memory.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.machine.hardware import LENGTHS, MOTOR, SCREWS, longest_screw, thread

ISO_273 = {"M2.5": (2.7, 2.9, 3.1), "M3": (3.2, 3.4, 3.6), "M4": (4.3, 4.5, 4.8), "M5": (5.3, 5.5, 5.8)}
NUT_AND_HEAD = {"M2.5": (5.0, 2.0, 4.5), "M3": (5.5, 2.4, 5.5), "M4": (7.0, 3.2, 7.0), "M5": (8.0, 4.7, 8.5)}


def test_holes_are_those_of_iso_273_medium():
    assert {name: screw.hole_diameter for name, screw in SCREWS.items()} == {n: row[1] for n, row in ISO_273.items()}


def test_holes_for_cut_threads_are_the_diameter_less_the_coarse_pitch():
    pitches = {"M2.5": 0.45, "M3": 0.5, "M4": 0.7, "M5": 0.8}  # mm, ISO 261
    for name, pitch in pitches.items():
        assert SCREWS[name].core_diameter == pytest.approx(SCREWS[name].diameter - pitch)


def test_nuts_and_heads_are_those_of_the_standards():
    assert {n: (s.nut_width, s.nut_height, s.head_diameter) for n, s in SCREWS.items()} == NUT_AND_HEAD
    assert all(screw.head_height == screw.diameter for screw in SCREWS.values())  # ISO 4762: k = d


def test_an_insert_takes_its_screw_and_is_longer_than_the_screw_is_thick():
    """No standard says how large they are: from memory. What must be in any case."""
    for screw in SCREWS.values():
        assert screw.diameter < screw.insert_diameter < screw.nut_width
        assert screw.insert_length > screw.diameter


def test_the_motors_face_is_that_of_size_17():
    assert (MOTOR.side, MOTOR.hole_square, MOTOR.pilot_diameter, MOTOR.pilot_height) == (42.3, 31.0, 22.0, 2.0)
    assert 2 * MOTOR.hole_circle_radius == pytest.approx(43.84, abs=0.005)  # as it is printed there
    assert MOTOR.screw == "M3"


@given(st.floats(5, 120))
def test_the_longest_screw_is_the_longest_that_fits(room):
    found = longest_screw(room)
    assert found <= room
    assert all(length > room for length in LENGTHS if length > found)


def test_what_cannot_be_is_told():
    with pytest.raises(ValueError, match="room is 4 mm, but the shortest screw"):
        longest_screw(4.0)
    with pytest.raises(ValueError, match=r"name is 'M7', but must be one of M2\.5, M3"):
        thread("M7")
