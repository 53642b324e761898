"""Drives that several tests use, and a way to draw sound ones at random."""

import numpy as np
import shapely
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import limits

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
TWELVE = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.5)
FORTY = Drive(pins=40, pin_circle_radius=100.0, roller_radius=2.0, eccentricity=1.0)
UNDERCUT = Drive(pins=20, pin_circle_radius=42.0, roller_radius=6.4, eccentricity=1.9)
LOOPED = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=2.6)


@st.composite
def sound_drives(draw):
    """A sound drive, with room to spare from 2 % to 95 % of what its rollers and eccentricity may be."""
    pins = draw(st.integers(3, 60))
    radius = draw(st.floats(5.0, 200.0))
    roller = draw(st.floats(0.02, 0.95)) * float(limits.half_pin_distance(pins, radius))
    most = float(limits.greatest_eccentricity(pins, radius, roller))
    return Drive(pins, radius, roller, draw(st.floats(0.02, 0.95)) * most)


def as_complex(xy):
    """Points (..., 2) as complex numbers, which turn and subtract in one stroke."""
    return np.ascontiguousarray(xy, dtype=np.float64).view(np.complex128)[..., 0]


def farthest(points, line):
    """Largest distance of any of the points (n, 2) from the line through the points (m, 2)."""
    pieces = shapely.linestrings(np.stack([line[:-1], line[1:]], axis=1))
    _, distances = shapely.STRtree(pieces).query_nearest(
        shapely.points(points), return_distance=True, all_matches=False
    )
    return distances.max()
