"""Pictures of contacts: the swing is that of the library's normals, the bars are its pushes (both tested there)."""

import math

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.geometry import motion, speeds
from cyclokit.view import contact_figures
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
    bars = [[path.get_extents() for path in row.get_paths()] for row in ax.collections]
    assert len(bars) == discs
    for degrees in (10.1, 77.3, 133.9, 200.7, 299.3, 350.2):
        pushing = speeds.shared_rollers(STORY, math.radians(degrees), discs).pushing[:, 0]
        drawn = [any(box.x0 < degrees < box.x1 for box in row) for row in bars]
        assert drawn == pushing.tolist()


def test_no_discs_are_refused():
    with pytest.raises(ValueError, match="discs is empty"):
        contact_figures.pushes(STORY, [])
