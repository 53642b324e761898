"""A disc cut out of a polygon by GEOS, for several tests to hold things against."""

import numpy as np
import shapely

from cyclokit.geometry import outline


def cut_polygon(machine, tolerance=1e-4):
    """The disc as a polygon with its holes, its corners on the curves."""
    turn = machine.hole_phase / machine.drive.lobes + np.arange(machine.output_rollers) / machine.output_rollers
    centres = machine.output_circle_radius * np.exp(2j * np.pi * turn)
    cuts = [shapely.Point(0, 0).buffer(machine.bore_radius, quad_segs=2000)]
    cuts += [shapely.Point(c.real, c.imag).buffer(machine.hole_radius, quad_segs=2000) for c in centres]
    return shapely.Polygon(outline.polygon(machine.disc_drive, tolerance)).difference(shapely.union_all(cuts))
