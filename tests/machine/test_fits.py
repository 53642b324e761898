"""Fits of metal parts against ISO 286, and how every seat of a machine is meant.

Sources
-------
ISO 286-1, standard tolerance grades IT6, IT7 and IT8 (3 to 6 mm: 8, 12, 18 um; 6 to 10: 9, 15, 22); m6, h6, g6 and H7
as read in NSK's rolling bearings catalogue, appendices 9 to 11. Up to 3 mm, and a bearing's bore of 0 to -8 um: from
memory. Dowel pins m6: DIN 6325.
"""

import pytest

from cyclokit.machine import bench, fits
from cyclokit.machine.layout import chamfer
from cyclokit.machine.reducer import Reducer
from tests.geometry.drives import STORY

GRADES = {"6": (6, 8, 9), "7": (10, 12, 15), "8": (14, 18, 22)}  # um, up to 3, 6 and 10 mm
ROWS = {"m6": ((2, 8), (4, 12), (6, 15)), "h6": ((-6, 0), (-8, 0), (-9, 0)), "H7": ((0, 10), (0, 12), (0, 15))}


@pytest.mark.parametrize("zone", ["m6", "h6", "h8", "g6", "H7"])
def test_a_zone_is_as_wide_as_its_grade(zone):
    for size, grade in zip((3.0, 6.0, 10.0), GRADES[zone[-1]], strict=True):
        lower, upper = fits.deviations(size, zone)
        assert upper - lower == pytest.approx(grade / 1000)


@pytest.mark.parametrize("zone", ROWS)
def test_deviations_are_those_of_iso_286(zone):
    for size, (lower, upper) in zip((2.5, 3.5, 8.0), ROWS[zone], strict=True):
        assert fits.deviations(size, zone) == (lower / 1000, upper / 1000)


@pytest.mark.parametrize("size", [1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0])  # DIN 6325
def test_a_dowel_pin_always_jams_in_a_miniature_bearing_and_h6_mostly_slides(size):
    assert fits.play(size, "bearing", "m6")[1] < 0
    low, high = fits.play(size, "bearing", "h6")
    assert low < 0 < high
    assert low + high >= -0.002 - 1e-12
    assert fits.play(size, "bearing", "h8")[1] > high


def test_every_seat_says_how_it_is_meant():
    found = fits.fits(Reducer(STORY, shaft_play=0.15))
    assert {fit.kind for fit in found} == {"press", "slide", "free"}
    assert len({fit.where for fit in found}) == len(found)
    assert all(fit.play > 0 for fit in found if fit.kind == "free")
    assert all(fit.play == 0 for fit in found if fit.kind == "press")
    assert next(fit for fit in found if "shaft" in fit.where).play == 0.3


def test_each_discs_bearing_says_how_it_is_located_and_its_neighbours_are_those_that_hold_it():
    three = fits.fits(Reducer(STORY, discs=3))
    words = {fit.where: fit.words for fit in three if fit.where.startswith("eccentric bearing ")}
    assert list(words) == [f"eccentric bearing {number} on the crank" for number in range(3)]
    assert words["eccentric bearing 0 on the crank"].endswith("between the lower spacer and the neck below bearing 1")
    assert words["eccentric bearing 2 on the crank"].endswith("between the neck above bearing 1 and the upper spacer")


def test_the_chamfer_catches_a_rod_that_leans_in_its_seat():
    machine = Reducer(STORY)
    assert fits.lean(fits.caught(machine), 3.5, 25.4) == pytest.approx(chamfer(machine))
    assert fits.caught(machine) > 0.05 > fits.deviations(3.0, "H7")[1] - fits.deviations(3.0, "h8")[0]
    assert bench.check(machine)["play that the cover's chamfer catches"].value == fits.caught(machine)


def test_a_rod_leans_by_its_play_over_its_depth():
    # similar triangles: the rod touches its seat's mouth on one side and its bottom on the other
    assert fits.lean(0.1, 10.0, 20.0) == pytest.approx(0.1 / 10.0 * (20.0 + 5.0))


def test_what_cannot_be_is_told():
    with pytest.raises(ValueError, match="zone is 'k6', but must be one of"):
        fits.deviations(3.0, "k6")
    with pytest.raises(ValueError, match="nominal is 12 mm, but m6 is listed up to 10"):
        fits.deviations(12.0, "m6")
    with pytest.raises(ValueError, match="hole is 'm6'"):
        fits.play(3.0, "m6", "h6")
