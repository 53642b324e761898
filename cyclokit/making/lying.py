"""How a part lies on a printer's bed: on its flattest side, whether anything needs supports, whether layers fit.

A printer squeezes its first layer wider than the others, so that a hole is too small and an outline too large just
there; in a mesh that layer is cut back.
"""

from cyclokit.making.shapes import Part, at_height
from cyclokit.signatures import Length, Size, read

LAYER = 0.2  # mm, a usual layer of a 0.4 mm nozzle: common practice, no source
FOOT = 0.2  # mm that the first layer is cut back all round: common practice, no source
SAME = 1e-6  # layers
NO_LAYERS = "a height of {heights} mm is no whole number of {layer:g} mm layers: the printer will round it"
OVERHANG = 0.05  # mm^2 of a slab with nothing under it that chords alone can make


@read
def overhanging(part: Part) -> tuple[float, ...]:
    """Heights at which a part has something with nothing under it [mm]: there a printer needs supports, or a bridge.

    Parameters
    ----------
    part : Part
        The part, as it lies on the bed.

    Returns
    -------
    tuple of float
        From the bed up; empty where it prints without supports.
    """
    found = []
    for height in sorted({slab.bottom for slab in part.slabs} - {part.bottom}):
        near = min(slab.top - slab.bottom for slab in part.slabs) / 4
        above, below = (at_height(part, height + side * near) for side in (1, -1))
        if above.difference(below.buffer(1e-3)).area > OVERHANG:
            found.append(height)
    return tuple(found)


@read
def off_layers(part: Part, layer: Length = LAYER) -> tuple[float, ...]:
    """Heights of a part that are no whole number of layers above the bed [mm].

    Parameters
    ----------
    part : Part
        The part, as it lies on the bed.
    layer : float
        The printer's layer height [mm].

    Returns
    -------
    tuple of float
        From the bed up. A printer rounds them, and the part is higher or lower than it is drawn.

    Examples
    --------
    >>> from cyclokit.making.shapes import Circle, Part, Slab
    >>> off_layers(Part("disc", (Slab(Circle(10.0), (), 0.0, 3.5),), "PLA"))
    (3.5,)
    """
    heights = sorted({slab.top for slab in part.slabs} | {slab.bottom for slab in part.slabs})
    steps = [(height, (height - part.bottom) / layer) for height in heights]
    return tuple(height for height, step in steps if abs(step - round(step)) > SAME)


@read
def has_foot(part: Part, layer: Length = LAYER) -> bool:
    """Whether a part's first layer can be cut back: what stands on the bed is higher than a layer."""
    return all(slab.top > part.bottom + layer * (1 + SAME) for slab in part.slabs if slab.bottom < part.bottom + layer)


@read
def notes(part: Part, layer: Length = LAYER, foot: Size = FOOT) -> tuple[str, ...]:
    """What a printer's file says: how the part lies, supports, its first layer, heights that are no whole layers.

    Parameters
    ----------
    part : Part
        The part, as it lies on the bed.
    layer : float
        The printer's layer height [mm].
    foot : float
        How far the first layer is cut back [mm].

    Returns
    -------
    tuple of str
        Two or three sentences.
    """
    hanging, off = overhanging(part), off_layers(part, layer)
    told = [
        "lies as it is to be printed, "
        + (f"supports or bridges needed at {_listed(hanging)} mm" if hanging else "no supports needed"),
    ]
    if foot and has_foot(part, layer):
        told.append(
            f"its first layer of {layer:g} mm is cut back by {foot:g} mm: leave your slicer's own such setting off"
        )
    else:
        told.append("its first layer is not cut back")
    if off:
        told.append(NO_LAYERS.format(heights=_listed(off), layer=layer))
    return tuple(told)


def _listed(heights: tuple[float, ...]) -> str:
    return ", ".join(f"{height:g}" for height in heights)
