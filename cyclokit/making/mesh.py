"""A part as a mesh for printers: STL, which knows no unit (millimetres, as its header says), and 3MF, which does."""

import io
import re
import struct
import zipfile
from functools import lru_cache
from typing import Any
from xml.sax.saxutils import escape

import numpy as np

from cyclokit.making import lying
from cyclokit.making.lying import Foot, Layer
from cyclokit.making.shapes import Part, plane
from cyclokit.signatures import Length, read
from cyclokit.texts import plain

CHORD = lying.FINE
CORE = 'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"'
HEADER = 80  # bytes that an STL has for words


@read
def solid(part: Part, chord: Length = CHORD, foot: Foot = 0.0, layer: Layer = lying.LAYER) -> Any:
    """A part as one closed mesh.

    Parameters
    ----------
    part : Part
        The part.
    chord : float
        How far its flat faces may be from the true curves [mm].
    foot : float
        How far the first layer is cut back all round [mm]; not where that leaves nothing to print.
    layer : float
        How high the first layer is [mm].

    Returns
    -------
    trimesh.Trimesh
        Watertight, its faces looking outwards [mm].

    Raises
    ------
    ValueError
        If its slabs make no closed body.
    """
    return _solid(part, chord, foot, layer).copy()


@lru_cache(maxsize=1)  # STL and 3MF of a part are written one after the other
def _solid(part: Part, chord: float, foot: float, layer: float) -> Any:
    start, bodies = part.bottom, []
    narrow = lying.cut_back(part, layer, foot, chord)
    if narrow is not None:
        start += layer
        bodies += [_extruded(one, part.bottom, start) for one in getattr(narrow, "geoms", [narrow])]
    for slab in (one for one in part.slabs if one.top > start * (1 + lying.SAME)):
        bodies.append(_extruded(plane(slab, chord), max(slab.bottom, start), slab.top))
    whole = bodies[0] if len(bodies) == 1 else _trimesh().boolean.union(bodies, engine="manifold")
    if not whole.is_watertight or whole.volume <= 0:
        raise ValueError(f"{part.name} makes no closed body: its slabs or holes overlap. Look at its shape.")
    return whole


@read
def stl(
    part: Part, notes: tuple[str, ...], chord: Length = CHORD, foot: Foot = 0.0, layer: Layer = lying.LAYER
) -> bytes:
    """A part as a binary STL, in millimetres, made as `solid`; as much of the notes as the header's 80 bytes hold."""
    triangles = _solid(part, chord, foot, layer).triangles.astype("<f4")
    words = plain(f"millimetres; {part.name}; " + "; ".join(notes)).encode("ascii", "replace")[:HEADER]
    across = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    size = np.linalg.norm(across, axis=1, keepdims=True)
    facets = np.zeros(len(triangles), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])
    facets["normal"], facets["corners"] = across / np.where(size > 0, size, 1), triangles
    return words.ljust(HEADER) + struct.pack("<I", len(triangles)) + facets.tobytes()


@read
def three_mf(
    part: Part, notes: tuple[str, ...], chord: Length = CHORD, foot: Foot = 0.0, layer: Layer = lying.LAYER
) -> bytes:
    """A part as 3MF, its unit millimetres, made as `solid`; the notes are the model's description."""
    trimesh = _trimesh()
    body = solid(part, chord, foot, layer)
    body.units = "mm"
    made = trimesh.exchange.export.export_mesh(trimesh.Scene({part.name: body}), None, file_type="3mf")
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(made)) as old, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new:
        for name in sorted(old.namelist()):
            content = old.read(name)
            if name.endswith(".model"):
                content = _settled(content.decode("utf-8"), notes).encode("utf-8")
            new.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def _settled(model: str, notes: tuple[str, ...]) -> str:
    """A 3MF's model with what is said of it, and with nothing in it but the core of the format.

    Of its extensions nothing is used: their names, and marks that are random, make strict readers refuse the file.
    """
    head, core, rest = model.partition(CORE)
    rest = re.sub(r' (xmlns(:\w+)?|p:UUID)="[^"]*"', "", rest)
    told = escape("; ".join(map(plain, notes)))
    return head + core + rest.replace("<resources>", f'<metadata name="Description">{told}</metadata><resources>', 1)


def _extruded(area: Any, bottom: float, top: float) -> Any:
    body = _trimesh().creation.extrude_polygon(area, top - bottom, engine="earcut")
    body.apply_translation((0, 0, bottom))
    return body


def _trimesh() -> Any:
    try:
        import trimesh
        import trimesh.exchange.export
    except ImportError as error:
        raise ValueError(
            "meshes (stl, 3mf) need cyclokit's extra `mesh`, which `start` installs; by hand see README, For makers."
        ) from error
    return trimesh
