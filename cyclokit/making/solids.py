"""What each part of a reducer is: a stack of slabs with true curves, at its own place in the machine or on a bed.

A part that runs in the machine has the reducer's clearances in it. What a printer makes too small or too large is made
up for by the reducer's allowances, and only in a part that is made (`made`): the machine is judged without them.
"""

import math
from dataclasses import replace

import numpy as np

from cyclokit.arguments import checked_kind
from cyclokit.drive import Drive
from cyclokit.geometry import limits, outline
from cyclokit.machine import same_part
from cyclokit.machine.reducer import Reducer
from cyclokit.making.shapes import Circle, Lobes, Loop, Part, Slab, polygon
from cyclokit.signatures import Place, read

FINE = 400  # points a lobe, and a quarter circle, of an outline that is no curve of ours any more
MARK = 0.5  # mm, radius of a witness mark: a hole right through, seen from both faces
MARK_WALL = 0.8  # mm from the mark to the hole that it marks; two lines of a usual nozzle: common practice, no source


@read
def made(reducer: Reducer) -> tuple[Part, ...]:
    """The parts that are made, each once, as it lies on the bed: allowances included.

    Parameters
    ----------
    reducer : Reducer
        The reducer.

    Returns
    -------
    tuple of Part
        Parts about their own middle, standing on z = 0.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> [part.name for part in made(Reducer(Drive(20, 42.0, 5.0, 1.4)))]
    ['disc']
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    places = same_part.placings(reducer)
    firsts = [next(place for place in places if place.part == part) for part in sorted({p.part for p in places})]
    names = ["disc"] if len(firsts) == 1 else [f"disc_{number + 1}" for number in range(len(firsts))]
    return tuple(disc(reducer, first.disc, name) for first, name in zip(firsts, names, strict=True))


@read
def disc(reducer: Reducer, number: Place, name: str) -> Part:
    """A disc about its own centre, root 0 on +x, standing on z = 0, with its allowances.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    number : int
        Which disc of the stack.
    name : str
        The part's name.

    Returns
    -------
    Part
        One slab, with bore, output holes and the witness mark outside hole 0.
    """
    pitch = 2 * math.pi / reducer.drive.lobes
    first = (reducer.hole_phase + number / reducer.discs) * pitch
    edge = replace(reducer.disc_drive, roller_radius=reducer.disc_drive.roller_radius + reducer.outline_allowance)
    radius = reducer.hole_radius + reducer.hole_allowance
    circle = reducer.output_circle_radius
    angles = [first + 2 * math.pi * hole / reducer.output_rollers for hole in range(reducer.output_rollers)]
    holes = [Circle(radius, (circle * math.cos(angle), circle * math.sin(angle))) for angle in angles]
    bore = Circle(reducer.bore_radius + reducer.hole_allowance)
    return Part(
        name,
        (Slab(_edge(edge), (bore, *holes), 0.0, reducer.disc_thickness, (_mark(circle - radius, first),)),),
        reducer.disc_material,
    )


@read
def notes(reducer: Reducer, part: Part) -> tuple[str, ...]:
    """What a file says of the part in it: its size, and which clearances and allowances it contains."""
    return (
        f"{part.name}: {part.material}, {part.top - part.bottom:g} mm high, lengths in mm",
        f"clearances it contains: outline moved in by {reducer.outline_clearance:g} mm, output holes' radius "
        f"{reducer.hole_clearance:g} mm more than it needs",
        f"allowances for the printer it contains: outline moved in by {reducer.outline_allowance:g} mm, holes' radius "
        f"{reducer.hole_allowance:g} mm more",
    )


def _edge(drive: Drive) -> Loop:
    """A disc's outline; where it is undercut, what rollers leave of it, as a polygon within half a micrometre."""
    if drive.roller_radius < limits.least_convex_radius(drive.pins, drive.pin_circle_radius, drive.eccentricity):
        return Lobes(drive)
    import shapely

    turned = np.linspace(0, 2 * math.pi, FINE * drive.lobes + 1)
    path = shapely.Polygon(outline.centre_path(drive, turned))
    if not path.is_valid:
        raise ValueError(f"{drive!r} has a centre path that loops, which leaves no disc: choose a smaller eccentricity")
    left = shapely.remove_repeated_points(path.buffer(-drive.roller_radius, quad_segs=FINE), 1e-6)
    if left.geom_type != "Polygon" or left.is_empty:
        raise ValueError(f"{drive!r} leaves no disc in one piece: choose smaller rollers.")
    return polygon(shapely.get_coordinates(left.normalize().exterior.reverse())[:-1])


def _mark(inside: float, angle: float) -> Circle:
    """A witness mark towards the middle from a hole whose inner side is that far out [mm]."""
    far = inside - MARK_WALL - MARK
    return Circle(MARK, (far * math.cos(angle), far * math.sin(angle)))
