"""Drives that the questions of several lessons ask about."""

from cyclokit.drive import Drive

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
EXAMPLE = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.5)
