"""A part as STEP, for CAD programs: extruded true curves, made by the Open CASCADE kernel."""

import math
import re
import tempfile
from pathlib import Path as File
from typing import Any

from cyclokit.geometry import motion
from cyclokit.making import curves
from cyclokit.making.loops import Circle, Lobes, Loop, arc
from cyclokit.making.shapes import Part
from cyclokit.signatures import read
from cyclokit.texts import plain

WHEN = "2000-01-01T00:00:00"  # a file made twice is the same


@read
def step(part: Part, notes: tuple[str, ...]) -> bytes:
    """A part as STEP, in millimetres, with notes in its header: a disc's edge is the extruded spline.

    A ValueError says what to do where the extra `step` isn't installed.
    """
    kernel = _kernel()
    one = solid(part)
    one.label = plain(part.name)
    body = kernel.Compound(children=[one], label=one.label)
    with tempfile.TemporaryDirectory() as folder:
        target = File(folder) / "part.step"
        kernel.export_step(body, target, unit=kernel.Unit.MM, timestamp=WHEN)
        text = target.read_text(encoding="utf-8")
    # the kernel counts the parts that a process has written; each file has one
    text = re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')\d+'", r"\g<1>1'", text)
    told = ",".join("'" + _escaped(note) + "'" for note in (part.name, *notes))
    head, found, rest = text.partition("FILE_DESCRIPTION((")
    _, _, rest = rest.partition("),")
    return (head + found + told + ")," + rest).encode("ascii")


@read
def solid(part: Part) -> Any:
    """A part as a solid of build123d's [mm], its slabs joined."""
    kernel = _kernel()
    bodies = []
    for slab in part.slabs:
        face = kernel.Face(_wire(kernel, slab.outside), [_wire(kernel, loop) for loop in slab.cut])
        if face.normal_at().Z < 0:
            face = -face
        bodies.append(
            kernel.Solid.extrude(face, kernel.Vector(0, 0, slab.top - slab.bottom)).moved(
                kernel.Location((0, 0, slab.bottom))
            )
        )
    return bodies[0] if len(bodies) == 1 else bodies[0].fuse(*bodies[1:]).clean()


def _wire(kernel: Any, loop: Loop) -> Any:
    if isinstance(loop, Circle):
        edge = kernel.Edge.make_circle(loop.radius)
        return kernel.Wire([edge.moved(kernel.Location((*loop.centre, 0)))])
    if isinstance(loop, Lobes):
        return kernel.Wire([_spline_edge(kernel, loop)])
    edges = []
    for start, end, bulge in loop.edges:
        if bulge:
            (x, y), radius, first, swept = arc(start, end, bulge)
            halfway = first + swept / 2
            middle = (x + radius * math.cos(halfway), y + radius * math.sin(halfway), 0)
            edges.append(kernel.Edge.make_three_point_arc((*start, 0), middle, (*end, 0)))
        else:
            edges.append(kernel.Edge.make_line((*start, 0), (*end, 0)))
    return kernel.Wire(edges)


def _spline_edge(kernel: Any, loop: Lobes) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.collections import Array1_double, Array1_gp_Pnt, Array1_int
    from OCP.Geom import Geom_BSplineCurve
    from OCP.gp import gp_Pnt

    found = curves.spline(loop.drive)
    places = motion.turned(found.control_points, loop.turn) + loop.centre
    poles = Array1_gp_Pnt(1, len(places))
    for number, (x, y) in enumerate(places):
        poles.SetValue(number + 1, gp_Pnt(float(x), float(y), 0.0))
    inner = found.knots[3:-3]  # each once; the ends count four times
    knots, times = Array1_double(1, len(inner)), Array1_int(1, len(inner))
    for number, knot in enumerate(inner):
        knots.SetValue(number + 1, float(knot))
        times.SetValue(number + 1, 4 if number in (0, len(inner) - 1) else 1)
    return kernel.Edge(BRepBuilderAPI_MakeEdge(Geom_BSplineCurve(poles, knots, times, 3)).Edge())


def _escaped(text: str) -> str:
    """A text as ISO 10303-21 writes it: quotes twice, and what isn't ASCII by its number."""
    safe = plain(text).replace("\\", "\\\\").replace("'", "''")
    return "".join(c if c.isascii() else f"\\X4\\{ord(c):08X}\\X0\\" for c in safe)


def _kernel() -> Any:
    try:
        import build123d
    except ImportError as error:
        raise ValueError("step needs cyclokit's extra `step`: README, For makers, says how to install it.") from error
    return build123d
