"""A dimensioned drawing of a disc for a workshop: outline, sizes, tolerances, the size over two rollers, the numbers.

A mill hits its sizes: no printer's allowance is in it. Tolerances share out the clearances that the reducer has: a
hole may be wider, the outline and the thickness smaller, by half of their clearance, and never the other way; holes
may stand off their places by the other half. Derived, no standard; the bearing's seat is H7 (ISO 286-2).
"""

import math
import textwrap
from typing import Any

import numpy as np

from cyclokit.drive import Drive
from cyclokit.geometry import outline
from cyclokit.machine import same_part
from cyclokit.machine.reducer import Reducer
from cyclokit.making.loops import Circle, corners_of
from cyclokit.making.over_rollers import over_rollers
from cyclokit.making.paper import INCH, blank, bound
from cyclokit.making.shapes import Part
from cyclokit.signatures import Length, read
from cyclokit.texts import in_figure

WIDTH, HEIGHT = 297.0, 210.0  # mm, A4 lying: ISO 216
SCALES = (10, 5, 2, 1, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100)  # ISO 5455
VIEW = (92.0, 118.0)  # mm, where the disc's middle is on the sheet
ROOM = 118.0  # mm that the disc and the rollers in its roots may take up
SIDE = 184.0  # mm, where the view from the side is
TABLE = 204.0  # mm, the table's left edge
RIGHT = 287.0  # mm, the frame's
H7 = ((3, 10), (6, 12), (10, 15), (18, 18), (30, 21), (50, 25), (80, 30))  # up to mm, um: ISO 286-1; <= 3 from memory
THICK, THIN = 0.7, 0.35  # mm, lines' widths: ISO 128
POINT = 72 / INCH  # points a mm
TEXT = 7.0  # points, 2.5 mm high: ISO 3098
SMALL = 6.0


@read
def disc_drawing(reducer: Reducer, part: Part, notes: tuple[str, ...]) -> bytes:
    """A disc's drawing as PDF on one A4 sheet, to the largest scale of ISO 5455 that fits.

    The disc is without allowances: one slab, its outline a drive's.
    """
    scale = _scale(reducer)
    figure, axes = blank(WIDTH, HEIGHT)
    _views(axes, reducer, part, scale)
    _sizes(axes, reducer, part, scale)
    _tabulated(axes, table(reducer, part, scale))
    _told(axes, [*words(reducer, part), *notes])
    return bound([figure], f"{part.name}, drawing")


@read
def table(reducer: Reducer, part: Part, scale: Length) -> tuple[tuple[str, str], ...]:
    """What stands in the drawing's table, names and values: the part, the four numbers, how the outline is checked."""
    drive, tips = reducer.drive, _tips(reducer)
    rows = [
        ("part", part.name),
        ("needed, material", f"{_count(reducer, part)}, {part.material}"),
        ("scale; lengths in mm", f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"),
        ("pins N, lobes N - 1", f"{drive.pins}, {drive.lobes}"),
        ("pin circle radius R", f"{drive.pin_circle_radius:g}"),
        ("roller radius r", f"{drive.roller_radius:g}"),
        ("eccentricity e", f"{drive.eccentricity:g}"),
        ("outline moved in by c", f"{reducer.outline_clearance:g}"),
        ("tips ⌀, roots ⌀", f"({2 * tips:.3f}), ({2 * (tips - 2 * drive.eccentricity):.3f})"),
        ("outline's length", f"{outline.length(reducer.disc_drive):.2f}"),
    ]
    size = _over(reducer)
    if size:
        most, least = size
        rows.append((f"over two rollers ⌀{2 * drive.roller_radius:g}", f"{most:.3f} to {least:.3f}"))
    return tuple(rows)


@read
def words(reducer: Reducer, part: Part) -> tuple[str, ...]:
    """The drawing's notes: how the outline is generated, what the tolerances are, where the holes begin."""
    first = math.degrees(_first_hole(part))
    return (
        "Outline: x = R cos t - e cos N t, y = R sin t - e sin N t for t from 0 to 360°, moved inwards by r + c; "
        f"take it from {part.name}.dxf. Root 0 on +x; hole 0 at {first:.4f}° from it, counter-clockwise; "
        + ("the witness mark near it goes right through." if part.slabs[0].marks else "mark it with a pen."),
        f"Outline may lie inside by {reducer.outline_clearance / 2:g} mm, never outside. Check: over two rollers in "
        + ("opposite roots." if reducer.drive.lobes % 2 == 0 else "the two roots that are nearest to opposite."),
        "Tolerances share out the machine's clearances; no printer's allowance is in this drawing. Untoleranced: "
        "ISO 2768-1 m. Break the edges of holes, not the outline's.",
    )


def _scale(reducer: Reducer) -> float:
    drive = reducer.drive
    reach = 2 * (drive.pin_circle_radius + drive.eccentricity + drive.roller_radius)
    return next((scale for scale in SCALES if scale * reach <= ROOM), SCALES[-1])


def _views(axes: Any, reducer: Reducer, part: Part, scale: float) -> None:
    """The disc from above, with its middle lines and two gauge rollers, and from the side."""
    slab = part.slabs[0]
    for loop in (slab.outside, *slab.cut):
        _curve(axes, corners_of(loop, 0.01 / scale) * scale + VIEW, THICK)
    tips = _tips(reducer) * scale
    x, y = VIEW
    for ends in (([x - tips - 4, x + tips + 4], [y, y]), ([x, x], [y - tips - 4, y + tips + 4])):
        axes.plot(*ends, color="black", linewidth=THIN * POINT / 2, linestyle=(0, (12, 3, 2, 3)))
    around = corners_of(Circle(reducer.output_circle_radius), 0.01) * scale + VIEW
    axes.plot(*around.T, color="black", linewidth=THIN * POINT / 2, linestyle=(0, (12, 3, 2, 3)))
    if _over(reducer):
        for place in _gauges(reducer):
            around = corners_of(Circle(reducer.drive.roller_radius), 0.01) * scale + place * scale + VIEW
            axes.plot(*around.T, color="black", linewidth=THIN * POINT / 2, linestyle=(0, (9, 2, 2, 2, 2, 2)))
    thick = (slab.top - slab.bottom) * scale
    corners = np.array([[0, -tips], [thick, -tips], [thick, tips], [0, tips], [0, -tips]]) + np.array([SIDE, y])
    _curve(axes, corners, THICK)
    bore = reducer.bore_radius * scale
    for height in (-bore, bore):
        hidden = dict(color="black", linewidth=THIN * POINT / 2, linestyle=(0, (4, 2)))
        axes.plot([SIDE, SIDE + thick], [y + height] * 2, **hidden)


def _sizes(axes: Any, reducer: Reducer, part: Part, scale: float) -> None:
    """Dimensions: bore, holes, their circle, thickness, tips and roots, over two rollers."""
    slab, (x, y) = part.slabs[0], VIEW
    tips = _tips(reducer)
    share = reducer.hole_clearance / 2
    count = len(slab.holes) - 1
    hole = f"{count} x ⌀{2 * reducer.hole_radius:.4g} +{2 * share:g}/0\nplace within ⌀{2 * share:g} of true"
    top = y + tips * scale
    last = slab.holes[-1]
    assert isinstance(last, Circle)
    _leader(axes, _rim(Circle(reducer.bore_radius), scale, -0.9), (146.0, 76.0), _seat(reducer))
    _leader(axes, _rim(slab.holes[1 + count // 3], scale, 1.9), (14.0, top + 16), hole)
    on_circle = np.array([math.cos(1.0), math.sin(1.0)]) * reducer.output_circle_radius * scale + VIEW
    _leader(axes, on_circle, (x + 30, top + 22), f"⌀{2 * reducer.output_circle_radius:g}, holes evenly spaced")
    for mark in slab.marks:
        _leader(axes, _rim(mark, scale, -1.0), (146.0, 96.0), f"witness mark ⌀{2 * _radius(mark):g}")
    side = SIDE + (slab.top - slab.bottom) * scale
    low = y - tips * scale - 8
    thick = f"{slab.top - slab.bottom:g}\n0/-{reducer.axial_clearance / 2:g}"
    _dimension(axes, (SIDE, low), (side, low), thick)
    size = _over(reducer)
    if size:
        most, least = size
        first, second = (place * scale + VIEW for place in _gauges(reducer))
        along = (first - second) / np.hypot(*(first - second))
        down = np.array([along[1], -along[0]])
        radius, drop = reducer.drive.roller_radius * scale, tips * scale + 9
        ends = [first + along * radius, second - along * radius]
        for end in ends:
            _curve(axes, np.array([end, end + down * (drop + 2 + float((np.array(VIEW) - end) @ down))]), THIN)
        start, stop = (end + down * (drop + float((np.array(VIEW) - end) @ down)) for end in ends)
        _dimension(axes, tuple(stop), tuple(start), f"{most:.3f} 0/{least - most:.3f} over two rollers")


def _seat(reducer: Reducer) -> str:
    """The bore's size; where the table of grades ends, the grade alone."""
    across = 2 * reducer.bore_radius
    grade = next((grade for most, grade in H7 if across <= most), None)
    upper = f" (+{grade / 1000:.3f}/0)" if grade else ""
    return f"⌀{across:g} H7{upper}\nfor {reducer.eccentric_bearing.name}"


def _over(reducer: Reducer) -> tuple[float, float] | None:
    """Greatest and least size over two rollers like the ring's [mm], None where they don't stand out."""
    drive, moved = reducer.drive, reducer.outline_clearance
    try:
        most = over_rollers(drive, drive.roller_radius, moved)
        return most, over_rollers(drive, drive.roller_radius, 1.5 * moved)
    except ValueError:
        return None


def _gauges(reducer: Reducer) -> list[np.ndarray]:
    """Where two gauge rollers like the ring's lie, in root 0 and in that nearest to opposite [mm]."""
    drive: Drive = reducer.drive
    far = drive.pin_circle_radius - drive.eccentricity - reducer.outline_clearance
    turns = (0.0, 2 * math.pi * (drive.lobes // 2) / drive.lobes)
    return [far * np.array([math.cos(turn), math.sin(turn)]) for turn in turns]


def _tips(reducer: Reducer) -> float:
    drive = reducer.disc_drive
    return drive.pin_circle_radius + drive.eccentricity - drive.roller_radius


def _count(reducer: Reducer, part: Part) -> int:
    places = same_part.placings(reducer)
    names = sorted({place.part for place in places})
    number = 0 if len(names) == 1 else int(part.name.rpartition("_")[2]) - 1
    return sum(place.part == names[number] for place in places)


def _first_hole(part: Part) -> float:
    first = part.slabs[0].holes[1]
    assert isinstance(first, Circle)
    return math.atan2(first.centre[1], first.centre[0])


def _radius(loop: Any) -> float:
    return loop.radius if isinstance(loop, Circle) else 0.0


def _rim(loop: Any, scale: float, angle: float) -> np.ndarray:
    """A point on a circle's rim, on the sheet."""
    ray = np.array([math.cos(angle), math.sin(angle)])
    return (np.array(loop.centre) + loop.radius * ray) * scale + VIEW


def _curve(axes: Any, points: np.ndarray, width: float) -> None:
    axes.plot(*points.T, color="black", linewidth=width * POINT / 2)


def _leader(axes: Any, to: np.ndarray, where: tuple[float, float], text: str) -> None:
    arrow = dict(arrowstyle="-|>", linewidth=THIN * POINT / 2, color="black", shrinkA=0, shrinkB=0)
    axes.annotate(in_figure(text), to, where, fontsize=TEXT, arrowprops=arrow, va="center")


def _dimension(axes: Any, start: tuple[float, ...], end: tuple[float, ...], text: str) -> None:
    """A line with an arrow at each end and a text below its middle."""
    arrow = dict(arrowstyle="<|-|>", linewidth=THIN * POINT / 2, color="black", shrinkA=0, shrinkB=0)
    axes.annotate("", end, start, arrowprops=arrow)
    middle = (np.array(start) + end) / 2
    turn = math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))
    turned = dict(rotation=turn, rotation_mode="anchor")
    axes.text(*(middle - (0, 1.0)), in_figure(text), fontsize=TEXT, ha="center", va="top", **turned)


def _tabulated(axes: Any, rows: tuple[tuple[str, str], ...]) -> None:
    """The table at the right, from the top down, and the sheet's frame."""
    frame = np.array([[10, 10], [RIGHT, 10], [RIGHT, 200], [10, 200], [10, 10]], dtype=float)
    _curve(axes, frame, THICK)
    for number, (name, value) in enumerate(rows):
        y = 200 - 7.0 * (number + 1)
        _curve(axes, np.array([[TABLE, y], [RIGHT, y]]), THIN)
        axes.text(TABLE + 1.5, y + 2, in_figure(name), fontsize=TEXT)
        axes.text(TABLE + 43, y + 2, in_figure(value), fontsize=TEXT)
    bottom = 200 - 7.0 * len(rows)
    for x in (TABLE, TABLE + 41.5):
        _curve(axes, np.array([[x, 200], [x, bottom]]), THIN)


def _told(axes: Any, notes: list[str]) -> None:
    lines = [line for note in notes for line in textwrap.wrap(in_figure(note), 68)]
    axes.text(TABLE, 116, "\n".join(lines), fontsize=SMALL, va="top", linespacing=1.25)
