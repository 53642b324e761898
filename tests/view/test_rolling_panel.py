"""The slider of a pen's arm: picture, words and ratio are those of the arm; root, cusp and loop are where they belong.

A curtate, an ordinary and a prolate trochoid: arm below, at, above the rolling radius (any handbook of curves, from
memory); held here against the curve that is drawn, by whether it goes backwards where the pen is nearest.
"""

import re

import numpy as np
import pytest

from cyclokit.view import rolling_panel
from tests.view.drawn import pairs


@pytest.fixture
def panel():
    return rolling_panel.pen_on_arm(30.0, 10.0, 10.0)


@pytest.mark.parametrize(("arm", "word", "way"), [(6.0, "roots", 1), (10.0, "cusps", 0), (14.0, "loops", -1)])
def test_the_words_are_those_of_the_curve_that_is_drawn(panel, arm, word, way):
    panel.move({"arm": arm})
    assert word in panel._verdict
    assert f"A point {arm:g} mm from" in panel.shown.picture.words
    path = pairs(re.search(r'data-trail="([^"]+)"', panel._svg)[1])
    start = path[1] - path[-2]  # along the curve where it begins, nearest the middle; going round means upwards
    assert np.sign(np.round(start[1], 1)) == way
    assert f"{arm / 10:.3f}" in panel._rows


def test_the_arm_goes_from_short_to_twice_the_radius(panel):
    for arm in (1.0, 20.0):
        panel.move({"arm": arm})
    with pytest.raises(ValueError, match="must be from 1 to 20"):
        panel.move({"arm": 20.1})
    with pytest.raises(ValueError, match=r"arm is 25 mm.*rolling_radius"):
        rolling_panel.pen_on_arm(30.0, 10.0, 25.0)
    with pytest.raises(ValueError, match="fixed_radius"):
        rolling_panel.pen_on_arm(0.0, 10.0, 5.0)
