"""Pictures of contacts: the swing is that of the library's normals, the bars are its pushes (both tested there)."""

import math

import numpy as np
import pytest
from matplotlib.colors import to_hex

from cyclokit import Drive
from cyclokit.geometry import motion, speeds
from cyclokit.view import contact_figures, palette
from tests.geometry.drives import STORY


@pytest.mark.parametrize("drive", [STORY, Drive(12, 40.0, 4.0, 2.0)])
def test_the_swing_is_as_wide_as_contacts_swing_over_a_turn(drive):
    ax = contact_figures.swing(drive)
    crank = np.linspace(0, 2 * np.pi, 20_001)
    normal = motion.contacts(drive, crank).normals[:, 0]  # outwards: at pin 0 about +x
    widest = np.degrees(np.abs(np.arctan2(normal[:, 1], normal[:, 0])).max())
    assert widest == pytest.approx(math.degrees(math.asin(drive.trochoid_ratio)), abs=1e-4)
    (told,) = (text.get_text() for text in ax.texts if text.get_text().endswith("°"))
    assert float(told[:-1]) == pytest.approx(widest, abs=0.05)  # one decimal


def test_tangents_meet_the_pitch_circle_at_right_angles():
    ax = contact_figures.swing(STORY)
    corners = [line.get_xydata() for line in ax.get_lines() if line.get_linestyle() == "-."]
    for centre, touch, pin in corners:
        assert np.linalg.norm(touch - centre) == pytest.approx(28.0)
        assert (touch - centre) @ (pin - touch) == pytest.approx(0, abs=1e-9)


def test_no_tangent_reaches_a_pin_on_its_pitch_circle():
    with pytest.raises(ValueError, match="trochoid ratio"):
        contact_figures.swing(Drive(20, 42.0, 5.0, 2.1))


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_bars_are_where_the_library_says_that_a_pin_pushes(discs):
    ax = contact_figures.pushes(STORY, [discs])
    bars = [[path.get_extents() for path in row.get_paths()] for row in ax.collections[::2]]  # the fillings
    assert len(bars) == discs
    for degrees in (10.1, 77.3, 133.9, 200.7, 299.3, 350.2):
        pushing = speeds.shared_rollers(STORY, math.radians(degrees), discs).pushing[:, 0]
        drawn = [any(box.x0 < degrees < box.x1 for box in row) for row in bars]
        assert drawn == pushing.tolist()


def test_each_disc_has_its_own_colour_pattern_and_edge():
    ax = contact_figures.pushes(STORY, [3])
    edged = ax.collections[1::2]
    colours = [to_hex(row.get_edgecolor()[0]) for row in edged]
    assert colours == [palette.THINGS[name].light for name in ("disc", "second disc", "third disc")]
    assert len({row.get_hatch() for row in edged}) == 3
    assert len({str(row.get_linestyle()) for row in edged}) == 3
    shades = [row.get_facecolor()[0][3] for row in ax.collections[::2]]
    assert shades[0] == 1 and max(shades[1:]) < 0.5  # in grey the first one is by far the darkest


def test_no_discs_are_refused():
    with pytest.raises(ValueError, match="discs is empty"):
        contact_figures.pushes(STORY, [])


@pytest.mark.parametrize(("roller", "bulge", "hollow"), [(5.0, 2.5, 5.5), (3.0, 8.0, 30.0)])
def test_the_gap_beside_a_contact_is_that_between_the_circles(roller, bulge, hollow):
    # held against the gap of two circles by Pythagoras, and its leading term x^2/(2 R) (lesson 8)
    ax = contact_figures.touch(roller, bulge, hollow)
    gaps = [line.get_xydata() for line in ax.get_lines() if line.get_marker() == "o"]
    for ends, radius in zip(gaps, (bulge, -hollow), strict=True):
        x = 0.8 * min(roller, bulge)
        upper = roller - math.sqrt(roller**2 - x**2)
        lower = math.copysign(abs(radius) - math.sqrt(radius**2 - x**2), -radius)
        assert ends[:, 1].tolist() == pytest.approx([lower, upper])
        assert upper - lower > x**2 / 2 * (1 / roller + 1 / radius) > 0
    told = [float(text.get_text().split()[-2]) for text in ax.texts]
    assert told == pytest.approx([np.ptp(ends[:, 1]) for ends in gaps], abs=0.005)


def test_a_roller_that_does_not_go_into_its_hollow_is_refused():
    with pytest.raises(ValueError, match="hollow_radius"):
        contact_figures.touch(5.0, 2.5, 5.0)
