"""Counts, lengths, numbers, choices and arrays that come in as arguments: any real type, or a word on what to give."""

from fractions import Fraction

import numpy as np
import pytest

from cyclokit.arguments import (
    checked_choice,
    checked_count,
    checked_kind,
    checked_length,
    checked_number,
    finite,
    positive,
)


@pytest.mark.parametrize("kind", [int, np.int8, np.int64, np.uint16])
def test_any_whole_number_is_a_count(kind):
    count = checked_count("discs", kind(3), 1, 3)
    assert (count, type(count)) == (3, int)


@pytest.mark.parametrize("bad", [2.0, np.float64(2), True, np.True_, "2", None, [2], 2j])
def test_what_cant_be_counted_is_refused_by_name(bad):
    with pytest.raises(TypeError, match="discs must be a whole number, not"):
        checked_count("discs", bad, 1, 3)


@pytest.mark.parametrize("bad", [0, 4, np.int64(-1), 10**400])
def test_a_count_out_of_range_names_the_range(bad):
    with pytest.raises(ValueError, match=r"discs is -?\d+, but must be 1 to 3"):
        checked_count("discs", bad, 1, 3)


@pytest.mark.parametrize("number", [1, 1.0, np.float32(1), np.int64(1), Fraction(1)])
def test_any_real_number_is_a_number_and_a_length(number):
    for read in (lambda: checked_number("gap", number, 0, 1), lambda: checked_length("gap", number)):
        assert (read(), type(read())) == (1.0, float)


@pytest.mark.parametrize("bad", ["1", None, True, 1j, [1.0], np.array([1.0, 2.0])])
def test_what_is_no_number_is_refused_by_name(bad):
    with pytest.raises(TypeError, match="gap must be a number such as"):
        checked_number("gap", bad, 0, 1)
    with pytest.raises(TypeError, match="gap must be a number in mm"):
        checked_length("gap", bad)


@pytest.mark.parametrize("bad", [-0.1, 1.1, float("nan"), float("inf")])
def test_a_number_out_of_range_names_the_range(bad):
    with pytest.raises(ValueError, match=r"gap is .* but must be 0 to 1: give a number in that range"):
        checked_number("gap", bad, 0, 1)


def test_a_choice_is_one_of_the_words():
    assert checked_choice("pin_made", "solid", ("solid", "sleeve")) == "solid"
    for bad in ("Solid", 1, None, ["solid"]):
        with pytest.raises(ValueError, match=r"pin_made is .* but must be one of solid, sleeve"):
            checked_choice("pin_made", bad, ("solid", "sleeve"))


def test_another_kind_is_refused_with_what_to_give():
    checked_kind("path", "a", str, "write it")
    with pytest.raises(TypeError, match=r"path must be a str, not a dict: write it\."):
        checked_kind("path", {}, str, "write it")


def test_arrays_are_floats_of_the_same_shape():
    assert finite("turn", [[1, 2], [3, 4]]).dtype == float
    assert finite("turn", []).shape == (0,)
    assert positive("radius", np.int64(3)) == 3.0
    for bad in (["1"], [True], [1j], None):
        with pytest.raises(TypeError, match="turn must be real numbers"):
            finite("turn", bad)
    with pytest.raises(ValueError, match="turn contains nan"):
        finite("turn", [1.0, float("nan")])
    with pytest.raises(ValueError, match="radius contains 0"):
        positive("radius", [1.0, 0.0])
