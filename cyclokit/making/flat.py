"""A part's outlines in flat files for cutters and CAD: DXF, SVG, and CSV of points. All lengths are millimetres.

Where a part has more than one level (a step, a pocket), each level has layers of its own, named from the bottom up.
"""

import csv
import io
import math
from collections.abc import Iterator
from typing import Any

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.geometry import motion, outline
from cyclokit.making import curves
from cyclokit.making.loops import Circle, Lobes, Loop, Polyline, arc, corners_of
from cyclokit.making.shapes import Part, Slab
from cyclokit.signatures import read
from cyclokit.texts import in_html, plain

SPLINE, ARCS, HOLES, MARKS, NOTE = "edge_spline", "edge_arcs", "holes", "witness_marks", "note"
COLOURS = {SPLINE: 5, ARCS: 7, HOLES: 1, MARKS: 3, NOTE: 8}  # of the DXF's own table
LINE = 0.1  # mm, a hairline for cutters that want one; common practice, no source
MARGIN = 5.0  # mm round an SVG's shape
SPACING = 0.01  # mm: how far the CSV's points let a chord be from the curve


@read
def dxf(part: Part, notes: tuple[str, ...]) -> bytes:
    """A part as DXF, in millimetres: a disc's outline as a spline and as arcs, each on a layer of its own.

    The spline's layer is off, because many cutters would cut both. Notes are written below the part, on a layer of
    their own, and as properties of the file.
    """
    import ezdxf
    from ezdxf import units

    fixed, ezdxf.options.write_fixed_meta_data_for_testing = ezdxf.options.write_fixed_meta_data_for_testing, True
    try:  # no dates and no random marks: the same part gives the same bytes
        document = ezdxf.new("R2010", units=units.MM)
        for name in ("ACDBPLACEHOLDER", "LAYOUT"):  # else their order changes from run to run
            document.classes.add_class(name)
        space = document.modelspace()
        for prefix, slab in _levels(part):
            for layer, loops in _layers(slab):
                for loop in loops:
                    _to_dxf(document, space, prefix + layer, loop)
        for number, note in enumerate(notes):
            text = plain(note)
            document.header.custom_vars.append(f"note {number + 1}", text)
            _layer(document, NOTE).dxf.plot = 0  # to be read, not to be cut or engraved
            place = (0.0, -(_reach(part) + 5.0 + 4.0 * number))
            space.add_text(text.replace("%%", "% %"), height=2.5, dxfattribs={"layer": NOTE, "insert": place})
        stream = io.StringIO()
        document.write(stream)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = fixed
    return stream.getvalue().encode("utf-8")


@read
def svg(part: Part, notes: tuple[str, ...]) -> bytes:
    """A part as SVG in true millimetres, its curves as arcs, the notes as its description."""
    size = 2 * (_reach(part) + MARGIN)
    groups = "".join(
        f'<g id="{prefix}{layer}">' + "".join(map(_to_svg, loops)) + "</g>\n"
        for prefix, slab in _levels(part)
        for layer, loops in _layers(slab)
        if loops
    )
    half = _written(size / 2)
    told = "\n".join(in_html(note) for note in notes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_written(size)}mm" height="{_written(size)}mm" '
        f'viewBox="-{half} -{half} {_written(size)} {_written(size)}" fill="none" stroke="black" '
        f'stroke-width="{LINE}">\n<title>{in_html(part.name)}</title>\n<desc>{told}</desc>\n{groups}</svg>\n'
    ).encode()


@read
def points(part: Part, notes: tuple[str, ...]) -> bytes:
    """A part's outlines as CSV: points on them [mm] and unit normals out of each loop, whose last point is its first.

    Notes are lines that begin with #.
    """
    stream = io.StringIO()
    for note in notes:
        stream.write(f"# {plain(note)}\n")
    write = csv.writer(stream, lineterminator="\n").writerow
    write(("loop", "x_mm", "y_mm", "normal_x", "normal_y"))
    for prefix, slab in _levels(part):
        for layer, loops in _layers(slab):
            for number, loop in enumerate(loops):
                places, normals = _with_normals(loop)
                name = f"{prefix}{layer.removesuffix('_arcs')}_{number}"
                for row in np.hstack([places, normals]):
                    write((name, *(f"{value + 0.0:.6f}" for value in row.round(6))))
    return stream.getvalue().encode("utf-8")


def _with_normals(loop: Loop) -> tuple[Floats, Floats]:
    """Points on a loop (m, 2) [mm], closed, and its outward unit normals there (m, 2).

    At a path's corner the point stands there twice, with the normal of either edge.
    """
    if isinstance(loop, Circle):
        corners = corners_of(loop, SPACING)
        return corners, (corners - loop.centre) / loop.radius
    if isinstance(loop, Lobes):
        # even along it, and enough of them: the chord's rise is curvature times its length squared over 8
        shortest = 1 / float(np.abs(outline.curvature(loop.drive, np.linspace(0, 2 * math.pi, 4001))).max())
        each = math.ceil(outline.length(loop.drive) / loop.drive.lobes / math.sqrt(8 * shortest * SPACING))
        t = curves.even_along(loop.drive, each * loop.drive.lobes)
        places = motion.turned(outline.points(loop.drive, t), loop.turn) + loop.centre
        places[-1] = places[0]
        return places, motion.turned(outline.normals(loop.drive, t), loop.turn)
    edges, looks = [], []
    for start, end, bulge in loop.edges:
        if bulge:
            centre, radius, first, swept = arc(start, end, bulge)
            count = max(2, math.ceil(abs(swept) / (2 * math.acos(max(0.0, 1 - SPACING / radius)))))
            angle = first + swept * np.linspace(0, 1, count + 1)
            ray = np.column_stack([np.cos(angle), np.sin(angle)])
            edges.append(centre + radius * ray)
            looks.append(math.copysign(1.0, swept) * ray)
        else:
            along = np.subtract(end, start) / math.dist(start, end)
            edges.append(np.array([start, end]))
            looks.append(np.tile([along[1], -along[0]], (2, 1)))
    return np.vstack(edges), np.vstack(looks)


def _levels(part: Part) -> Iterator[tuple[str, Slab]]:
    for number, slab in enumerate(part.slabs):
        yield f"level_{number + 1}_" if len(part.slabs) > 1 else "", slab


def _layers(slab: Slab) -> tuple[tuple[str, tuple[Loop, ...]], ...]:
    return ((ARCS, (slab.outside,)), (HOLES, slab.holes), (MARKS, slab.marks))


def _layer(document: Any, name: str) -> Any:
    if name in document.layers:
        return document.layers.get(name)
    colour = next(number for layer, number in COLOURS.items() if name.endswith(layer))
    return document.layers.add(name, color=colour)


def _to_dxf(document: Any, space: Any, layer: str, loop: Loop) -> None:
    where = {"layer": layer}
    _layer(document, layer)
    if isinstance(loop, Circle):
        space.add_circle(loop.centre, loop.radius, dxfattribs=where)
        return
    path = _in_arcs(loop) if isinstance(loop, Lobes) else loop
    corners = [(x, y, bulge) for (x, y), _, bulge in path.edges]
    space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs=where)
    if isinstance(loop, Lobes):
        smooth = curves.spline(loop.drive)
        name = layer.replace(ARCS, SPLINE)
        _layer(document, name).off()
        entity = space.add_spline(dxfattribs={"layer": name, "degree": 3})
        entity.knots = smooth.knots.tolist()
        entity.control_points = motion.turned(smooth.control_points, loop.turn) + loop.centre
        entity.closed = True


def _in_arcs(loop: Lobes) -> Polyline:
    """A disc's outline where it stands, as arcs."""
    found = curves.arcs(loop.drive)
    places = motion.turned(found.corners, loop.turn) + loop.centre
    return Polyline(tuple((float(x), float(y)) for x, y in places), tuple(found.bulges.tolist()))


def _to_svg(loop: Loop) -> str:
    """A loop as an SVG shape, y downwards."""
    if isinstance(loop, Circle):
        x, y = loop.centre
        return f'<circle cx="{_written(x)}" cy="{_written(-y)}" r="{_written(loop.radius)}"/>'
    path = _in_arcs(loop) if isinstance(loop, Lobes) else loop
    x, y = path.corners[0]
    steps = [f"M{_written(x)} {_written(-y)}"]
    for start, end, bulge in path.edges:
        there = f"{_written(end[0])} {_written(-end[1])}"
        if bulge:
            radius = math.dist(start, end) * (1 + bulge**2) / (4 * abs(bulge))
            steps.append(f"A{_written(radius)} {_written(radius)} 0 {int(abs(bulge) > 1)} {int(bulge < 0)} {there}")
        else:
            steps.append(f"L{there}")
    return f'<path d="{"".join(steps)}Z"/>'


def _reach(part: Part) -> float:
    """How far a part reaches from (0, 0) along x or y [mm], rounded up to a millimetre."""
    return float(math.ceil(max(_farthest(slab.outside) for slab in part.slabs)))


def _farthest(loop: Loop) -> float:
    """No point of a loop is farther from (0, 0) along x or y than this [mm]."""
    if isinstance(loop, Lobes):
        drive = loop.drive
        tips = drive.pin_circle_radius + drive.eccentricity - drive.roller_radius
        return tips + max(map(abs, loop.centre))
    return float(np.abs(corners_of(loop, 0.01)).max())


def _written(value: float) -> str:
    """A length to a tenth of a micrometre, without a needless zero or minus."""
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".")
