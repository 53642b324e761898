"""Counts, lengths, numbers, choices, arrays and angles that come in: read, or refused by name in one sentence.

That nothing is left of an angle's direction is asked of mpmath, a general-purpose library for numbers of any length.
"""

import math
from fractions import Fraction

import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.arguments import (
    LARGEST_ANGLE,
    angles,
    checked_choice,
    checked_count,
    checked_kind,
    checked_length,
    checked_number,
    finite,
    from_zero,
    numbers,
    positive,
)

ENDLESS = [1.0]
ENDLESS.append(ENDLESS)
MASKED = np.ma.masked_array([1.0, 2.0], [False, True])


@pytest.mark.parametrize(
    ("given", "read"),
    [
        (3, 3.0),
        (np.float32(0.5), 0.5),
        ([], []),
        ([[], []], [[], []]),
        (range(3), [0.0, 1.0, 2.0]),
        (10**20, 1e20),
        ([10**20, 1.5], [1e20, 1.5]),
        (Fraction(1, 4), 0.25),
        ([Fraction(1, 4), 2], [0.25, 2.0]),
        (np.ma.masked_array([1.0, 2.0]), [1.0, 2.0]),  # nothing is masked
        (np.array([1, 2], dtype=object), [1.0, 2.0]),
        (np.longdouble(2), 2.0),
    ],
    ids=str,
)
def test_what_is_real_is_read(given, read):
    came = finite("t", given)
    assert came.dtype == np.float64
    assert type(came) is np.ndarray
    assert came.tolist() == read


@given(st.floats() | st.lists(st.floats(), max_size=4).map(np.array))
def test_a_float_is_read_as_the_same_float_in_a_list_is(given):
    """Floats take a way of their own, a list doesn't."""
    assert np.array_equal(numbers("t", given), numbers("t", [given])[0], equal_nan=True)
    assert numbers("t", given).dtype == np.float64
    assert numbers("t", given).shape == np.shape(given)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (10**400, "t contains 1000"),
        ([1.0, -(10**400)], "t contains -1000"),
        (10**5000, "t contains something of type int"),
        (np.longdouble("1e4000"), r"t contains 1e\+4000"),
        ([0.0, np.nan], "t contains nan"),
        (MASKED, "t has masked values"),
        ([MASKED, MASKED], "t has masked values"),
        ([np.ma.masked, 1.0], "t has masked values"),
        ((1.0, [MASKED]), "t has masked values"),
        ([[1.0], [2.0, 3.0]], "equally long"),
        (ENDLESS, "makes no array"),
    ],
    ids=range(11),
)
def test_what_has_no_number_is_refused_by_its_name(given, said):
    with pytest.raises(ValueError, match=said) as refused:
        finite("t", given)
    assert len(str(refused.value).splitlines()) == 1
    assert len(str(refused.value)) < 300


@pytest.mark.parametrize("given", [True, [True, 1.0], [[1.0], [np.False_]], "1", ["1"], None, [None], 1j, {}, b"1"])
def test_what_is_no_real_number_is_refused_by_its_name(given):
    with pytest.raises(TypeError, match="t must be real numbers"):
        finite("t", given)


def test_positive_numbers_are_above_zero():
    assert positive("mass", [1, 2]).tolist() == [1.0, 2.0]
    with pytest.raises(ValueError, match=r"mass contains 0\.0, but must be above zero"):
        positive("mass", [1, 0])
    with pytest.raises(ValueError, match=r"mass contains 1e\+16, but must be above zero, 1e-15 to 1e\+15"):
        positive("mass", 1e16)


def test_sizes_are_zero_or_more():
    assert from_zero("load", [0, 2]).tolist() == [0.0, 2.0]
    for wrong in (-1.0, 1e16):
        with pytest.raises(ValueError, match=r"load contains .* but must be 0 or more, up to 1e\+15"):
            from_zero("load", [1.0, wrong])


# angles


@given(st.floats(-1.0, 1.0), st.floats(1.0, 1e4))
def test_an_angle_is_taken_as_long_as_something_is_left_of_where_it_points(share, rate):
    angle = share * LARGEST_ANGLE / rate
    assert angles("t", angle, rate) == angle
    # the float nearest to rate*angle points, to an eighth of a radian, where the exact product does
    with mpmath.workdps(40):
        assert abs(mpmath.mpf(rate) * mpmath.mpf(angle) - mpmath.mpf(rate * angle)) < 0.125


@pytest.mark.parametrize("rate", [1.0, 20.0, 1e4])
@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize("beyond", [1.01, 1e200])
def test_an_angle_beyond_that_is_refused_by_its_name(rate, sign, beyond):
    with pytest.raises(ValueError, match=r"crank contains .* take whole turns"):
        angles("crank", [0.0, sign * beyond * LARGEST_ANGLE / rate], rate)


@pytest.mark.parametrize("given", [[], [[]], 0.0])
def test_no_angle_at_all_is_fine(given):
    assert angles("t", given).tolist() == given


# objects and lengths


def test_a_wrong_kind_of_object_is_told_what_to_give():
    checked_kind("number", 3, int)
    with pytest.raises(TypeError, match="number must be a int, not a NoneType: give a int"):
        checked_kind("number", None, int)
    with pytest.raises(TypeError, match="number must be a int, not a str: count them"):
        checked_kind("number", "3", int, "count them")


@pytest.mark.parametrize("given", [10**400, 10**5000, np.longdouble("1e4000"), float("nan"), -1, 0], ids=range(6))
def test_a_length_out_of_range_is_refused_by_its_name(given):
    with pytest.raises(ValueError, match=r"arm is .* give a length above zero"):
        checked_length("arm", given)


# plain numbers and words


@pytest.mark.parametrize("kind", [int, np.int8, np.int64, np.uint16])
def test_any_whole_number_is_a_count(kind):
    count = checked_count("discs", kind(3), 1, 3)
    assert (count, type(count)) == (3, int)


@pytest.mark.parametrize("bad", [2.0, np.float64(2), True, np.True_, "2", None, [2], 2j])
def test_what_cant_be_counted_is_refused_by_name(bad):
    with pytest.raises(TypeError, match="discs must be a whole number such as 1, not"):
        checked_count("discs", bad, 1, 3)


@pytest.mark.parametrize("bad", [0, 4, np.int64(-1), 10**400])
def test_a_count_out_of_range_names_the_range(bad):
    with pytest.raises(ValueError, match=r"discs is \S+, but must be 1 to 3"):
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


@pytest.mark.parametrize(
    ("value", "meant"),
    [
        ("petg", ", perhaps 'PETG'"),
        ("ABS+", ", perhaps 'ABS'"),
        ("61801-2RS", ", perhaps '61801'"),
        (688, ", perhaps '688' in quotation marks"),
        ("PEGT", ", perhaps 'PETG'"),
        ("61810", ""),  # another bearing, however much alike
        ("6201", ""),
        ("wood", ""),
        (None, ""),
    ],
)
def test_a_word_that_may_be_meant_is_named(value, meant):
    with pytest.raises(ValueError, match=rf": choose one of these{meant}\.$"):
        checked_choice("what", value, ("PETG", "ABS", "61801", "688"))


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


def test_a_number_up_to_but_not_one_is_told_so():
    with pytest.raises(ValueError, match=r"^phase is 1\.0, but must be 0 to below 1: "):
        checked_number("phase", 1.0, 0.0, math.nextafter(1.0, 0.0))
    with pytest.raises(ValueError, match=r"^phase is 2, but must be 0 to 1: "):
        checked_number("phase", 2, 0.0, 1.0)
