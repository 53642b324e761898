"""Whether the parts of a reducer overlap, by laying them out layer by layer: no bound of the library is asked.

Shapes are cut and laid over each other with GEOS (through shapely). The disc is what is left of the centre path's
inside when a roller is rolled along it. Positions: disc k's crank angle is 2 pi k/n ahead, and a disc at crank angle
psi has turned by -psi/(N - 1); output rollers turn with it.
"""

from itertools import pairwise

import numpy as np
import shapely

CORNERS = 32  # a quarter circle; a polygon lies 3e-4 of the radius inside its circle
SAMPLES = 100  # a lobe of the centre path
SMALL = 0.05  # mm: overlaps as deep as that are told from what polygons leave, 0.024 of a circle of 80 mm


def circle(radius, centre=0j):
    return shapely.Point(centre.real, centre.imag).buffer(radius, quad_segs=CORNERS)


def deep(shape):
    """Whether an overlap is deeper than what rounding leaves."""
    return not shape.is_empty and not shape.buffer(-SMALL / 2).is_empty


def around(radius, number, start=0.0):
    return radius * np.exp(1j * (start + 2 * np.pi * np.arange(number) / number))


def overlaps(shapes):
    tree = shapely.STRtree(shapes)
    first, second = tree.query(shapes, predicate="intersects")
    return any(deep(shapes[i].intersection(shapes[j])) for i, j in zip(first, second, strict=True) if i < j)


def sticks_out(inner, outer):
    return deep(inner.difference(outer))


def blank(reducer):
    """The disc's outline about its own centre, root 0 on +x, milled by a roller that goes along the centre path."""
    drive = reducer.drive
    t = 2 * np.pi * np.arange(SAMPLES * drive.lobes) / (SAMPLES * drive.lobes)
    path = drive.pin_circle_radius * np.exp(1j * t) - drive.eccentricity * np.exp(1j * drive.pins * t)
    inside = shapely.make_valid(shapely.Polygon(np.column_stack([path.real, path.imag])))
    return inside.buffer(-(drive.roller_radius + reducer.outline_clearance), quad_segs=16)


def in_the_disc(reducer, crank):
    """What goes wrong in the discs' layers at a crank angle."""
    drive, lobes = reducer.drive, reducer.drive.lobes
    rollers = [circle(drive.roller_radius, pin) for pin in around(drive.pin_circle_radius, drive.pins)]
    output = around(
        reducer.output_circle_radius,
        reducer.output_rollers,
        2 * np.pi * reducer.hole_phase / lobes - crank / lobes,
    )
    output_rollers = [circle(reducer.output_roller_radius, centre) for centre in output]
    bearing, outline = reducer.eccentric_bearing, blank(reducer)
    found = set()
    if overlaps(rollers):
        found.add("ring rollers")
    for k in range(reducer.discs):
        ahead = crank + 2 * np.pi * k / reducer.discs
        centre = drive.eccentricity * np.exp(1j * ahead)
        turned = shapely.affinity.rotate(outline, -ahead / lobes, origin=(0, 0), use_radians=True)
        whole = shapely.affinity.translate(turned, centre.real, centre.imag)
        holes = [circle(reducer.hole_radius, centre + place) for place in output]
        bore = circle(bearing.outer_diameter / 2, centre)
        if overlaps([*holes, bore]) or any(sticks_out(cut, whole) for cut in [*holes, bore]):
            found.add("cuts of the disc")
        if any(deep(whole.intersection(roller)) for roller in rollers):
            found.add("disc and ring roller")
        if any(sticks_out(roller, hole) for roller, hole in zip(output_rollers, holes, strict=True)):
            found.add("disc and output roller")
        if sticks_out(circle(reducer.shaft_radius), circle(bearing.bore_diameter / 2, centre)):
            found.add("shaft and eccentric")
        if reducer.discs > 1:
            found |= between_discs(reducer, centre)
    crank_bearing = circle(reducer.crank_bearing.outer_diameter / 2)
    if any(deep(crank_bearing.intersection(roller)) for roller in output_rollers):
        found.add("crank bearing and output roller")
    return found


def between_discs(reducer, centre):
    """What goes wrong where a spacer lies on the bearing of the disc with that centre."""
    bearing, spacer = reducer.eccentric_bearing, circle(reducer.spacer_radius)
    found = set()
    outer_ring = circle(bearing.outer_diameter / 2, centre).difference(circle(bearing.shoulder_radius, centre))
    if deep(spacer.intersection(outer_ring)):
        found.add("spacer and outer ring")
    if not sticks_out(spacer, circle(bearing.bore_diameter / 2, centre)):
        found.add("spacer misses the inner ring")
    if sticks_out(circle(reducer.shaft_radius), spacer):
        found.add("shaft and spacer")
    return found


def in_the_ends(reducer):
    """What goes wrong where rods are held, whatever the output's angle; and round it all."""
    drive = reducer.drive
    ring_rods = [circle(reducer.pin_rod_radius, pin) for pin in around(drive.pin_circle_radius, drive.pins)]
    turning = circle(reducer.output_circle_radius + reducer.output_rod_radius + reducer.running_gap)
    found = set()
    if reducer.pin_support == "both ends" and any(deep(turning.intersection(rod)) for rod in ring_rods):
        found.add("output rods and ring pins")
    if sticks_out(circle(reducer.output_rod_radius), circle(reducer.output_roller_radius)):
        found.add("output rod and roller")
    held_in = reducer.ring_bearing.bore_diameter / 2 if reducer.ring_bearing else drive.roller_radius
    if sticks_out(circle(reducer.pin_rod_radius), circle(held_in)):
        found.add("rod and roller")
    return found


def along_the_axis(reducer):
    """What meets what along the axis, each part from side to side; discs as near as side play lets them."""
    found = set()
    places = reducer.disc_pitch * np.arange(reducer.discs)
    parts = {"discs": reducer.disc_thickness + reducer.axial_clearance, "bearings": reducer.eccentric_bearing.width}
    if reducer.ring_bearing:
        parts["ring bearings"] = reducer.ring_bearing.width
    for name, width in parts.items():
        sides = [(place - width / 2, place + width / 2) for place in places]
        if any(left[1] - right[0] > SMALL for left, right in pairwise(sides)):
            found.add(name)
    return found


def faults(reducer, cranks):
    """All that overlaps, at some crank angle."""
    found = in_the_ends(reducer) | along_the_axis(reducer)
    for crank in cranks:
        found |= in_the_disc(reducer, crank)
    return found
