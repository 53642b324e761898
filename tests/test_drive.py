"""The four numbers of a drive."""

import dataclasses
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive

STORY = {"pins": 20, "pin_circle_radius": 42.0, "roller_radius": 5.0, "eccentricity": 1.4}
LENGTHS = ["pin_circle_radius", "roller_radius", "eccentricity"]


def test_four_numbers_fix_lobes_ratio_and_trochoid_ratio():
    drive = Drive(**STORY)
    assert (drive.lobes, drive.ratio) == (19, 19)
    assert drive.trochoid_ratio == 1.4 * 20 / 42.0


@pytest.mark.parametrize(("pins", "ratio"), [(12, 11), (16, 15)])
def test_n_pins_give_a_ratio_of_n_minus_one(pins, ratio):
    # common practice, no source: 12 rollers and 11 lobes give 11 : 1, 16 rollers 15 : 1
    assert Drive(pins, 40.0, 3.0, 1.0).ratio == ratio


def test_a_drive_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        Drive(**STORY).pins = 21


def test_the_repr_gives_the_drive_back():
    drive = Drive(**STORY)
    assert eval(repr(drive)) == drive
    assert repr(drive) == "Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)"


lengths = st.floats(1e-6, 1e6)


@given(st.integers(3, 10_000), lengths, lengths, lengths)
def test_any_drive_survives_its_repr(pins, radius, roller, eccentricity):
    drive = Drive(pins, radius, roller, eccentricity)
    assert eval(repr(drive)) == drive
    assert hash(eval(repr(drive))) == hash(drive)


def test_the_html_is_a_table_with_named_rows_and_units():
    page = Drive(**STORY)._repr_html_()
    for words in ("<table>", "<caption>", "scope='row'", "eccentricity", "1.4 mm", "19 : 1, output reversed"):
        assert words in page


def test_numpy_numbers_are_stored_as_plain_ones():
    drive = Drive(np.int64(20), np.float64(42), np.float32(5), 1.4)
    assert drive == Drive(**STORY)
    assert [type(value) for value in dataclasses.astuple(drive)] == [int, float, float, float]


@pytest.mark.parametrize("pins", [2, 0, -5, 10_001, 10**400])
def test_a_number_of_pins_that_holds_no_disc_is_refused(pins):
    with pytest.raises(ValueError, match=r"pins is .* must be 3 to 10000"):
        Drive(**STORY | {"pins": pins})


@pytest.mark.parametrize("pins", [20.0, np.float64(20), float("nan"), "20", None, True, np.True_, 20j, [20]])
def test_pins_that_cannot_be_counted_are_refused(pins):
    with pytest.raises(TypeError, match="pins must be a whole number such as 3, not"):
        Drive(**STORY | {"pins": pins})


@pytest.mark.parametrize("name", LENGTHS)
@pytest.mark.parametrize("length", [0, -1.0, float("nan"), float("inf"), -float("inf"), 1e-7, 1e7])
def test_an_impossible_length_is_refused_by_its_name(name, length):
    with pytest.raises(ValueError, match=re.escape(f"{name} is {length!r} mm")):
        Drive(**STORY | {name: length})


@pytest.mark.parametrize("name", LENGTHS)
@pytest.mark.parametrize("length", ["5", None, True, np.True_, 5j, [5.0], np.array([5.0, 6.0])])
def test_a_length_that_is_no_number_is_refused_by_its_name(name, length):
    with pytest.raises(TypeError, match=re.escape(f"{name} must be a number in mm such as 5.0, not {length!r}")):
        Drive(**STORY | {name: length})


def test_a_bad_drive_can_still_be_drawn():
    assert Drive(20, 42.0, 9.0, 4.0).trochoid_ratio > 1
