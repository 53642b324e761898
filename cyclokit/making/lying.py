"""How a part lies on a printer's bed: on its flattest side, whether anything needs supports, whether layers fit.

A printer squeezes its first layer wider than the others, so that a hole is too small and an outline too large just
there; in a mesh that layer is cut back.
"""

from functools import partial
from typing import Annotated

import shapely

from cyclokit.arguments import checked_number
from cyclokit.machine.layout import LAYER
from cyclokit.making.shapes import Part, at_height, plane
from cyclokit.signatures import Length, read

FOOT = 0.2  # mm that the first layer is cut back all round: common practice, no source
SAME = 1e-6  # layers
FINE = 0.01  # mm: how far a mesh's chords may be from the curves; finer than any filament printer's step
NARROWEST = 0.3  # mm of a line that the usual nozzle of 0.4 mm can lay: common practice, no source
Layer = Annotated[float, partial(checked_number, least=0.01, most=2.0)]  # mm; no printer lays thicker ones
Foot = Annotated[float, partial(checked_number, least=0.0, most=2.0)]  # mm
NO_LAYERS = "a height of {heights} mm is no whole number of {layer:g} mm layers: the printer will round it"
OVERHANG = 0.05  # mm^2 of a slab with nothing under it that chords alone can make


@read
def overhanging(part: Part) -> tuple[float, ...]:
    """Heights at which a part, as it lies on the bed, has something with nothing under it [mm], from the bed up.

    There a printer needs supports, or a bridge. A step as wide as a line lies on the line below it.
    """
    found = []
    for height in sorted({slab.bottom for slab in part.slabs} - {part.bottom}):
        near = min(slab.top - slab.bottom for slab in part.slabs) / 4
        above, below = (at_height(part, height + side * near) for side in (1, -1))
        if above.difference(below.buffer(NARROWEST)).area > OVERHANG:
            found.append(height)
    return tuple(found)


@read
def off_layers(part: Part, layer: Layer = LAYER) -> tuple[float, ...]:
    """Heights of a part that are no whole number of layers above the bed [mm], from there up; a printer rounds them.

    Examples
    --------
    >>> from cyclokit.making.loops import Circle
    >>> from cyclokit.making.shapes import Part, Slab
    >>> off_layers(Part("disc", (Slab(Circle(10.0), (), 0.0, 3.5),), "PLA"))
    (3.5,)
    """
    heights = sorted({slab.top for slab in part.slabs} | {slab.bottom for slab in part.slabs})
    steps = [(height, (height - part.bottom) / layer) for height in heights]
    return tuple(height for height, step in steps if abs(step - round(step)) > SAME)


@read
def cut_back(part: Part, layer: Layer = LAYER, foot: Foot = FOOT, tolerance: Length = FINE) -> shapely.Geometry | None:
    """A part's first layer, cut back by `foot` all round [mm], its polygons within a tolerance of the true curves [mm].

    None where it is left as it is: there is no other layer, or too little would be left to be printed.
    """
    if not foot or part.top <= part.bottom + layer * (1 + SAME):
        return None
    middle = part.bottom + layer / 2
    whole = shapely.union_all([plane(slab, tolerance) for slab in part.slabs if slab.bottom <= middle < slab.top])
    if _pieces(whole.buffer(-foot - NARROWEST / 2)) < _pieces(whole):
        return None
    return whole.buffer(-foot, join_style="mitre")


def _pieces(area: shapely.Geometry) -> int:
    return 0 if area.is_empty else int(shapely.get_num_geometries(area))


@read
def notes(part: Part, layer: Layer = LAYER, foot: Foot = FOOT) -> tuple[str, ...]:
    """What a printer's file says: how the part lies, supports, its first layer, heights that are no whole layers."""
    told = ["lies as it is to be printed, " + (supports(part) or "no supports needed")]
    if cut_back(part, layer, foot) is not None:
        told.append(
            f"its first layer of {layer:g} mm is cut back by {foot:g} mm: leave your slicer's own such setting off"
        )
    else:
        told.append("its first layer is not cut back" + (": it is too thin for that" if foot else ""))
    return (*told, *([rounded] if (rounded := rounded_heights(part, layer)) else []))


@read
def supports(part: Part) -> str:
    """Where a part needs supports or bridges, in words; "" if nowhere."""
    hanging = overhanging(part)
    return f"supports or bridges needed at {_listed(hanging)} mm" if hanging else ""


@read
def rounded_heights(part: Part, layer: Layer = LAYER) -> str:
    """Which heights are no whole number of layers [mm], in words; "" if none."""
    off = off_layers(part, layer)
    return NO_LAYERS.format(heights=_listed(off), layer=layer) if off else ""


def _listed(heights: tuple[float, ...]) -> str:
    return ", ".join(f"{height:g}" for height in heights)
