"""What a stage shows: one SVG, each of whose parts says how it moves.

A part that moves carries, per radian of the angle that the reader turns: how far from the middle it
runs round and how fast, how fast it spins, how far it drifts along x. What is different at every pin
(contact, normal, push, force, gap) is one table over one crank turn, that of pin 0; for the other
pins it is read where pin 0 was one, two, ... pin pitches earlier. `stage.js` carries the parts along.
"""

import html
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from cyclokit.arguments import Floats, finite
from cyclokit.drive import Drive
from cyclokit.geometry import milled, motion, outline, sweep
from cyclokit.signatures import read
from cyclokit.view import drive_parts, pages, svg
from cyclokit.view.pins import View, at_pins, contact_facts, gap_facts, rolling_facts, rounded
from cyclokit.view.svg import BLUE, GREY, PURPLE, VERMILION, Move, fill, layer, part, stroke

# What the library says to a reader: layer -> what is seen of it. In the order in which the layers are offered.
SENTENCES = {
    "rollers": "The rollers (orange circles) stand on the ring.",
    "disc": "The disc (blue) is carried round by the crank.",
    "second disc": "A second disc (grey, dashed) stands half a crank turn away from the first.",
    "crank": "The crank (green) carries the eccentric (dashed circle); its knob can be dragged.",
    "output": "Output rollers (orange, filled) sit in larger holes of the disc and turn with it, without its wobble.",
    "centre path": "The centre path (purple, dashed) runs through the rollers' centres.",
    "contacts": "Dots mark where disc and rollers touch.",
    "normals": "The contact normals (thin lines) meet in the pitch point.",
    "pitch circles": "Two pitch circles (striped) roll on one another and touch in the pitch point.",
    "marked lobe": "A mark (thick blue line) on one lobe shows how the disc turns.",
    "turns": "Arcs from a fixed index (grey) show how far the crank (green, dashed) and the disc (blue) have turned.",
    "trail": "The mark leaves a dotted trail.",
    "pushing": "Filled rollers can push against the load on the disc, whose direction a bent arrow shows.",
    "forces": "Arrows at the pins are forces on the disc, the longer the larger.",
    "roller marks": "A spoke on each roller shows how it turns, rolling on the disc's edge.",
    "velocities": "Arrows show which way and how fast the disc's points move at this moment.",
    "gaps": "A cross marks every roller that has lost contact.",
    "labels": "Words name the parts.",
    "angles": "",
}
ROUGH, FINE = 40, 400  # parts of a unit by which an outline's chords leave it: for the eye, and for a lens
DRIVE = "A cycloidal drive: a ring of {pins} rollers, and in it a disc with {lobes} lobes."
CUT = (
    "What {pins} rollers leave of a round blank that is made to turn as a disc with {lobes} lobes must. "
    "Where blue and orange don't meet there is a gap."
)
NOTHING = "A ring of {pins} rollers. They pass over the middle of the blank: no disc is left."


@dataclass(frozen=True)
class Scene:
    """A picture and its words."""

    svg: str  # layers that are not shown are in it, but hidden
    layers: tuple[str, ...]  # their names, in the order in which they are offered
    words: str  # what is seen: alt text and caption


@read
def turning(drive: Drive, view: View, forces: Floats | None = None, fine: bool = False) -> Scene:
    """A drive with everything that can be shown of it.

    The trochoid ratio must not be exactly 1. `forces` are those of pin 0 on the disc [N] at even steps of one crank
    turn, shape (m,), none below zero; `fine` is for an outline that is looked at from near.
    """
    e, angle, unit = drive.eccentricity, view.angle, drive_parts.unit_of(drive)
    root, spin = drive.root_circle_radius, float(motion.disc_pose(drive, 1.0).angle)
    move = Move(e, 1, spin)
    facts = angles(drive.pins, spin, drive.ratio) | contact_facts(drive) | {"circle": drive.pin_circle_radius}
    if forces is not None:
        facts |= force_facts(forces)
    if "roller marks" in view.show:  # its table would burden every page
        facts |= rolling_facts(drive)
    edge = svg.path(drive_parts.edge_within(drive, unit / (FINE if fine else ROUGH)), closed=True)
    holes, rollers = _output(drive, root, unit)
    pitch_point = svg.circle(0, 0, 1.3 * unit, f'fill="none" {stroke(GREY, 0.6 * unit)}')
    body = (
        layer("second disc", part("second disc", Move(-e, 1, spin), _second_disc(edge, drive.lobes, unit), angle))
        + part("disc", move, _disc(drive, edge, holes, unit), angle)
        + (layer("output", part("output", Move(spin=spin), rollers, angle)) if rollers else "")
        + drive_parts.ring(drive, unit)
        + layer("pitch circles", svg.striped(motion.ring_pitch_radius(drive), math.pi * e, VERMILION, unit))
        + drive_parts.turned_so_far(root, spin, unit, angle)
        + layer("trail", drive_parts.mark_trail(drive, spin, root, drive.lobes, drive.ratio, angle))
        + at_every_pin(drive, facts, unit, view)
        + _moments(drive, unit, view)
        + layer("pushing", part("load", Move(e, 1), svg.bent_arrow(0.8 * root, view.load == "clockwise", unit), angle))
        + layer("pitch circles", part("pitch point", Move(e * drive.pins, 1), pitch_point, angle))
        + layer("crank", part("crank", Move(spin=1), svg.crank(e, root, unit), angle))
        + drive_parts.labels(drive, root, unit, angle)
    )
    words = DRIVE.format(pins=drive.pins, lobes=drive.lobes)
    return whole(drive_parts.box(drive), body, words, facts, view, move)


@read
def cut(piece: sweep.Cut, view: View, fine: bool = False) -> Scene:
    """A disc that rollers have cut, of any number of lobes, made to turn at its rate.

    Something must be left of the disc. It is drawn as rollers moving without steps leave it (`milled`), whatever the
    cut's rays, `fine` if it is looked at from near; a cross marks each roller that has lost contact, by the same count
    as `sweep.touching`.
    """
    drive, lobes, angle = piece.drive, piece.lobes, view.angle
    spin = float(sweep.disc_angle(drive, 1.0, lobes))
    unit, root, turns = drive_parts.unit_of(drive), drive.root_circle_radius, max(piece.turns, 2)
    move = Move(drive.eccentricity, 1, spin)
    edge = milled.edge(drive, lobes, unit / (FINE if fine else ROUGH))
    facts = angles(drive.pins, spin, turns) | gap_facts(drive, lobes, edge) | {"circle": drive.pin_circle_radius}
    disc = svg.line(edge, svg.disc(unit), closed=True)
    arm = svg.number(0.5 * drive.roller_radius)
    cross = f'<path d="M-{arm} -{arm}L{arm} {arm}M-{arm} {arm}L{arm} -{arm}"'
    body = (
        part("disc", move, layer("disc", disc) + layer("marked lobe", svg.mark(root, lobes, unit)), angle)
        + drive_parts.ring(drive, unit)
        + drive_parts.turned_so_far(root, spin, unit, angle)
        + layer("trail", drive_parts.mark_trail(drive, spin, root, lobes, turns, angle))
        + at_pins("gaps", cross, facts, stroke(PURPLE, 0.8 * unit), view)
        + layer("crank", part("crank", Move(spin=1), svg.crank(drive.eccentricity, root, unit), angle))
        + drive_parts.labels(drive, root, unit, angle)
    )
    return whole(drive_parts.box(drive), body, CUT.format(pins=drive.pins, lobes=lobes), facts, view, move)


@read
def nothing(drive: Drive, view: View) -> Scene:
    """The rollers alone, where they leave no disc."""
    spin = float(sweep.disc_angle(drive, 1.0, drive.lobes))
    facts = angles(drive.pins, spin, drive.ratio) | {"frames": {"ring": [["crank", 1]]}}
    unit = drive_parts.unit_of(drive)
    crank = svg.crank(drive.eccentricity, drive.pin_circle_radius / 2, unit)
    body = drive_parts.ring(drive, unit) + layer("crank", part("crank", Move(spin=1), crank, view.angle))
    return whole(drive_parts.box(drive), body, NOTHING.format(pins=drive.pins), facts, view)


# what the page is told


@read
def whole(
    box: tuple[float, ...],
    body: str,
    picture: str,
    facts: dict[str, Any],
    view: View,
    disc: Move | None = None,
    sentences: dict[str, str] = SENTENCES,
    fixed: str = "",
) -> Scene:
    """The whole SVG of a scene, with its words and the facts that the page needs to move it.

    Parameters
    ----------
    box : tuple of float
        The picture's frame: left, top, width and height [mm], y downwards.
    body : str
        All parts and layers, as SVG.
    picture : str
        What is seen whatever layers are shown.
    facts : dict
        What the page needs to know: turns of the slider, frames, step.
    view : View
        How it is seen.
    disc : Move, optional
        How the disc moves, if it can be held.
    sentences : dict
        What is seen of each layer, in the order in which layers are offered.
    fixed : str
        What stands still in the picture whatever is held, as SVG.

    Returns
    -------
    Scene
        Layers that are not shown are in it, but hidden.
    """
    layers = tuple(name for name in sentences if f'data-layer="{name}"' in body or name == "angles")
    words = " ".join([picture, *(sentences[name] for name in layers if name in view.show and sentences[name])])
    for name in set(layers) - set(view.show):
        body = body.replace(f'data-layer="{name}"', f'data-layer="{name}" display="none"')
    facts = facts | {"words": picture, "layers": {name: sentences[name] for name in layers}}
    world = svg.held(disc, view.angle) if disc and view.frame == "disc" else ""
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{" ".join(map(svg.number, box))}" role="img" '
        f"{pages.facts(facts)}><title>{html.escape(words, quote=False)}</title>"
        f'<g data-world="" transform="{world}">{body}</g>{fixed}</svg>'
    )
    return Scene(text, layers, words)


@read
def angles(count: int, spin: float, turns: int) -> dict[str, Any]:
    """What turns at which rate with ring or disc held, and how far one step takes the crank."""
    spin = round(spin, 9) + 0.0
    frames = {"ring": [["crank", 1], ["disc", spin]], "disc": [["crank", 1 - spin], ["ring", 0.0 - spin]]}
    return {"pins": count, "turns": turns, "frames": frames, "step": [360 / count, "1 pin"]}


@read
def force_facts(forces: Floats) -> dict[str, Any]:
    """Table of pin 0: its force as a share of the largest one, at even steps of one crank turn."""
    forces = finite("forces", forces)
    if forces.ndim != 1 or not forces.size or forces.min() < 0:
        raise ValueError(f"forces has the shape {forces.shape}, but must be one row of numbers from 0 up: give that.")
    return {"force": rounded(forces / (forces.max() or 1.0), 3)}


# the parts


def _disc(drive: Drive, edge: str, holes: str, unit: float) -> str:
    """The disc, and all that is fixed to it."""
    path = outline.centre_path(drive, np.linspace(0, 2 * np.pi, min(12, max(8, 400 // drive.lobes)) * drive.lobes + 1))
    return (
        layer("disc", f'<path d="{edge}" {svg.disc(unit)}/>')
        + (layer("output", holes) if holes else "")
        + layer("centre path", svg.line(path, f'fill="none" {stroke(PURPLE, 0.5 * unit, (1.6 * unit, 0.8 * unit))}'))
        + layer("pitch circles", svg.striped(motion.disc_pitch_radius(drive), math.pi * drive.eccentricity, BLUE, unit))
        + layer("marked lobe", svg.mark(drive.root_circle_radius, drive.lobes, unit))
    )


def _second_disc(edge: str, lobes: int, unit: float) -> str:
    """The same outline, turned by half a lobe: half a crank turn later it meets the same pins."""
    style = f"{fill(GREY, 0.15)} {stroke(GREY, 0.5 * unit, (2 * unit, unit))}"
    return f'<path d="{edge}" transform="rotate({svg.number(180 / lobes)})" {style}/>'


@read
def at_every_pin(drive: Drive, facts: dict[str, Any], unit: float, view: View) -> str:
    """Normals, contacts, pushes and forces."""
    contact, small = svg.number(-drive.roller_radius), svg.number(0.7 * unit)
    half, long, wide = (svg.number(value) for value in (0.6 * drive.roller_radius, 18 * unit, 2 * unit))
    arrow = f'<path d="M{contact} 0h-{long}m{wide} -{wide}l-{wide} {wide}l{wide} {wide}"'
    spoke = f'<path d="M0 0H{svg.number(drive.roller_radius)}"'
    return (
        (at_pins("roller marks", spoke, facts, stroke(VERMILION, 1.2 * unit), view) if "rolls" in facts else "")
        + at_pins("pushing", f'<circle r="{half}"', facts, f'fill="{VERMILION}"', view)
        + at_pins("normals", f'<line x1="{contact}"', facts, stroke(GREY, 0.3 * unit), view)
        + at_pins("contacts", f'<circle cx="{contact}" r="{small}"', facts, f'fill="{GREY}"', view)
        + (at_pins("forces", arrow, facts, f'fill="none" {stroke(PURPLE, unit)}', view) if "force" in facts else "")
    )


def _moments(drive: Drive, unit: float, view: View) -> str:
    """Velocities of the disc's points, if asked for: seen from the crank they are always the same."""
    if "velocities" not in view.show:
        return ""
    arrows = drive_parts.velocity_arrows(drive, unit)
    return layer("velocities", part("velocities", Move(spin=1), arrows, view.angle))


def _output(drive: Drive, root: float, unit: float) -> tuple[str, str]:
    """A sketch of six output rollers and of the disc's holes for them; nothing where they don't fit."""
    circle, roller = 0.64 * root, 0.07 * root
    hole = roller + drive.eccentricity
    if hole >= circle / 2 or hole + circle >= root:
        return "", ""
    ways = math.pi / 3 * np.arange(6)
    at = [(circle * math.cos(way), circle * math.sin(way)) for way in ways]
    holes = "".join(svg.circle(x, y, hole, f'fill="none" {stroke(BLUE, 0.5 * unit)}') for x, y in at)
    return holes, "".join(svg.circle(x, y, roller, svg.output_roller(unit)) for x, y in at)
