"""Parts of a drive that several pictures show: the outline's corners, the ring, a mark's trail."""

import math

import numpy as np

from cyclokit.arguments import Floats, checked_length
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, polygons
from cyclokit.signatures import read
from cyclokit.view import svg
from cyclokit.view.svg import BLUE, GREEN, GREY, PURPLE, VERMILION, Move, layer, part, stroke

RINGS = 6  # of velocity arrows round the pitch point
LONG = 0.22  # of an arrow, as a share of its distance from there


@read
def unit_of(drive: Drive) -> float:
    """A 50th of half the picture's width [mm]: lines and dots are drawn in this, whatever the drive's size."""
    return -box(drive)[0] / 50


@read
def box(drive: Drive) -> tuple[float, ...]:
    """The frame of a drive's picture: left, top, width and height [mm]."""
    reach = drive.pin_circle_radius + drive.roller_radius + 2 * drive.eccentricity
    return -reach, -reach, 2 * reach, 2 * reach


@read
def edge_within(drive: Drive, within: float) -> Floats:
    """The outline as a closed polygon whose chords leave it by about `within` [mm], (m, 2).

    `outline.polygon` keeps its tolerance for certain, and takes ten times as long: a slider's hand would notice.
    A chord of length c whose ends' normals differ by a leaves its arc by c a/8.
    """
    within = checked_length("within", within)
    t = np.linspace(0.0, 2 * np.pi / drive.lobes, 201)
    points, normals = outline.points(drive, t), outline.normals(drive, t) @ [1, 1j]
    length, turn = np.hypot(*np.diff(points, axis=0).T), np.abs(np.angle(normals[1:] / normals[:-1]))
    need = np.concatenate([[0.0], np.cumsum(np.sqrt(length * turn / (8 * within)) + 1 / 50)])
    chosen = np.interp(np.linspace(0.0, need[-1], math.ceil(need[-1]) + 1), need, t)[:-1]
    return polygons.all_round(outline.points(drive, chosen), drive.lobes)


@read
def ring(drive: Drive, unit: float) -> str:
    """The rollers on the ring, and a dot in its middle."""
    rollers = "".join(svg.circle(x, y, drive.roller_radius) for x, y in motion.pins(drive))
    centre = svg.circle(0, 0, 0.8 * unit, f'fill="{VERMILION}"')
    return layer("rollers", rollers + centre, f'fill="none" {stroke(VERMILION, 0.6 * unit)}')


@read
def mark_trail(drive: Drive, spin: float, root: float, lobes: int, turns: int, angle: float) -> str:
    """Where the mark's outer end goes until all is as before."""
    crank = np.linspace(0, 2 * np.pi * turns, turns * min(max(400 // turns, 8), 60) + 1)
    centre = drive.eccentricity * np.stack([np.cos(crank), np.sin(crank)], axis=-1)
    end = 0.97 * root * np.array([math.cos(math.pi / lobes), math.sin(math.pi / lobes)])
    unit, share = unit_of(drive), angle / crank[-1]
    return svg.trail(centre + motion.turned(end, spin * crank), share, stroke(PURPLE, 0.6 * unit, (0.6 * unit, unit)))


@read
def turned_so_far(root: float, spin: float, unit: float, angle: float) -> str:
    """Two arcs from a fixed index: how far the crank has turned, and how far the disc has crept back."""
    index = svg.line([(0.66 * root, 0), (0.8 * root, 0)], stroke(GREY, 0.8 * unit))
    crank = svg.arc(0.69 * root, 1.0, angle, stroke(GREEN, 0.8 * unit, (2 * unit, unit)))
    return layer("turns", index + crank + svg.arc(0.77 * root, spin, angle, stroke(BLUE, 1.4 * unit)))


@read
def velocity_arrows(drive: Drive, unit: float) -> str:
    """Velocities of the disc's points while the crank points along +x: on rings round the pitch point, clockwise."""
    pitch, within = motion.ring_pitch_radius(drive), drive.root_circle_radius
    arrows = ""
    for radius in (pitch + within) / RINGS * np.arange(1, RINGS + 1):
        ways = np.exp(2j * np.pi / (4 * RINGS) * np.arange(4 * RINGS))
        for tail in pitch + radius * ways[np.abs(pitch + radius * ways - drive.eccentricity) < within]:
            tip = tail - LONG * 1j * (tail - pitch)
            back = min(2.4 * unit, abs(tip - tail) / 2) * (tip - tail) / abs(tip - tail)
            head = [tip - back * (1 + 0.5j), tip, tip - back * (1 - 0.5j)]
            arrows += f"M{svg.pair(tail.real, tail.imag)}L{svg.pair(tip.real, tip.imag)}"
            arrows += f"M{'L'.join(svg.pair(end.real, end.imag) for end in head)}"
    still = svg.circle(pitch, 0, 1.3 * unit, f'fill="{VERMILION}"')
    return f'<path d="{arrows}" fill="none" {stroke(GREY, 0.6 * unit)}/>{still}'


@read
def labels(drive: Drive, root: float, unit: float, angle: float) -> str:
    """Names of the parts, beside them."""
    x, y = motion.pins(drive)[drive.pins // 4]
    at_rest = svg.label("roller", x, y, unit) + svg.label("disc", -0.6 * root, -0.34 * root, unit)
    at_rest += svg.label("centres", 0.0, -0.13 * root, unit)
    # the crank's goes round with it, upright
    crank = part("crank's name", Move(0.6 * root, 1), svg.label("crank", 0.0, 0.0, unit), angle)
    return layer("labels", at_rest + crank)
