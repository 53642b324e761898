"""Drawn numbers: the same everywhere, evenly spread, and drives that are sound.

- SHA-256: FIPS 180-4, Secure Hash Standard, NIST 2015, by way of `sha256sum` of GNU coreutils.
- Evenness: Pearson's chi-squared test, `scipy.stats.chisquare`.
"""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chisquare

from cyclokit.course.sheets.lots import Draw
from cyclokit.drive import Drive
from cyclokit.geometry import limits


def test_a_draw_is_the_hash_of_the_count_and_the_text():
    # printf '1/turntable' | sha256sum
    first = 0x63DFD4B80098D3ECE27BB7D0BF7F6DC262F3FE524489D939FBCA6D5AFB1CDD7B
    assert Draw("turntable").whole(0, 2**256 - 1) == first


def test_the_same_text_draws_the_same_numbers_whatever_came_before():
    one, other = Draw("turntable"), Draw("turntable")
    assert [one.whole(0, 99) for _ in range(20)] == [other.whole(0, 99) for _ in range(20)]
    assert [one.whole(0, 99) for _ in range(20)] != [Draw("sunflower").whole(0, 99) for _ in range(20)]


def test_these_numbers_never_change():
    # written down once; whoever changes them changes every reader's sheet
    draw = Draw("turntable")
    assert [draw.whole(1, 100) for _ in range(8)] == [100, 70, 87, 92, 89, 6, 95, 3]
    assert draw.stepped(8, 24, 0.25) == 12.25
    assert draw.drive() == Drive(pins=13, pin_circle_radius=47.5, roller_radius=4.5, eccentricity=2.7)


@given(least=st.integers(-1000, 1000), span=st.integers(0, 1000), text=st.text())
def test_a_whole_number_lies_within_its_bounds(least, span, text):
    assert least <= Draw(text).whole(least, least + span) <= least + span


def test_all_whole_numbers_are_equally_likely():
    draw = Draw("fair")
    counts = np.bincount([draw.whole(0, 12) for _ in range(13_000)], minlength=13)
    assert chisquare(counts).pvalue > 0.001  # the draws never change, so neither does this


@given(text=st.text())
def test_a_stepped_number_is_a_round_one(text):
    value = Draw(text).stepped(8, 24, 0.05)
    assert 8 <= value <= 24
    assert float(f"{value:.2f}") == value


@given(text=st.text(), pins=st.tuples(st.integers(5, 20), st.integers(0, 20)))
def test_a_drawn_drive_is_sound_with_room(text, pins):
    drive = Draw(text).drive(pins[0], pins[0] + pins[1])
    report = limits.check(drive)
    assert report.sound
    assert all(limit.margin > 0.1 * limit.bound for limit in report)
    assert pins[0] <= drive.pins <= pins[0] + pins[1]
