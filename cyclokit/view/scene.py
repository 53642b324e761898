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

from cyclokit.arrays import Floats
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, rolling, sweep
from cyclokit.view import pages, svg
from cyclokit.view.pins import SAMPLES, View, at_pins, contact_facts, of_pin_0, one_pitch, rounded
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
    "trail": "The mark leaves a dotted trail.",
    "pushing": "Filled rollers can push against the load on the disc, whose direction a bent arrow shows.",
    "forces": "Arrows at the pins are forces on the disc, the longer the larger.",
    "gaps": "A cross marks every roller that has lost contact.",
    "circle": "The rolling circle is blue.",
    "curve": "The curve is orange.",
    "angles": "",
}
DRIVE = "A cycloidal drive: a ring of {pins} rollers, and in it a disc with {lobes} lobes."
CUT = (
    "What {pins} rollers leave of a round blank that is made to turn as a disc with {lobes} lobes must. "
    "Where blue and orange don't meet there is a gap."
)
ON_LINE = (
    "A circle of radius {radius:g} mm rolls along a line without slipping. The point on its edge (orange dot) "
    "draws a cycloid: it stops for an instant each time it touches the line."
)
ON_CIRCLE = (
    "A circle of radius {radius:g} mm rolls round a fixed circle of radius {fixed:g} mm. A point {arm:g} mm from "
    "its centre (orange dot) draws {curve}."
)


@dataclass(frozen=True)
class Scene:
    """A picture and its words.

    Attributes
    ----------
    svg : str
        The picture; layers that are not shown are in it, but hidden.
    layers : tuple of str
        Names of all layers, in the order in which they are offered.
    words : str
        What is seen: alt text and caption.
    """

    svg: str
    layers: tuple[str, ...]
    words: str


def turning(
    drive: Drive,
    view: View,
    output: tuple[int, float, float] | None = None,
    forces: Floats | None = None,
) -> Scene:
    """A drive with everything that can be shown of it.

    Parameters
    ----------
    drive : Drive
        The drive; its trochoid ratio must not be exactly 1.
    view : View
        How it is seen.
    output : tuple, optional
        Number of output rollers, radius of the circle they stand on [mm] and their own radius [mm];
        without it a sketch of six.
    forces : ndarray, optional
        Force of pin 0 on the disc [N] at even steps of one crank turn, shape (m,), none below zero.

    Returns
    -------
    Scene
        The picture.

    Raises
    ------
    ValueError
        If the output holes don't fit into the disc, or the trochoid ratio is 1.
    """
    e, angle, unit = drive.eccentricity, view.angle, _unit(drive)
    root, spin = _root(drive), float(motion.disc_pose(drive, 1.0).angle)
    move = Move(e, 1, spin)
    facts = _angles(drive.pins, spin, drive.ratio) | contact_facts(drive) | {"circle": drive.pin_circle_radius}
    if forces is not None:
        facts["force"] = rounded(forces / (forces.max() or 1.0), 3)
    edge = svg.path(_edge(drive, unit / 40), closed=True)
    holes, rollers = _output(drive, root, unit, output)
    pitch_point = svg.circle(0, 0, 1.3 * unit, f'fill="none" {stroke(GREY, 0.6 * unit)}')
    body = (
        layer("second disc", part("second disc", Move(-e, 1, spin), _second_disc(edge, drive.lobes, unit), angle))
        + part("disc", move, _disc(drive, edge, holes, unit), angle)
        + (layer("output", part("output", Move(spin=spin), rollers, angle)) if rollers else "")
        + _ring(drive, unit)
        + layer("pitch circles", svg.striped(motion.ring_pitch_radius(drive), math.pi * e, VERMILION, unit))
        + layer("trail", _mark_trail(drive, spin, root, drive.lobes, drive.ratio, angle))
        + _at_every_pin(drive, facts, unit, view)
        + layer("pushing", part("load", Move(e, 1), svg.bent_arrow(0.8 * root, view.load == "clockwise", unit), angle))
        + layer("pitch circles", part("pitch point", Move(e * drive.pins, 1), pitch_point, angle))
        + layer("crank", part("crank", Move(spin=1), svg.crank(e, root, unit), angle))
    )
    words = DRIVE.format(pins=drive.pins, lobes=drive.lobes)
    return _scene(_box(drive), body, words, facts, view, move)


def cut(piece: sweep.Cut, view: View) -> Scene:
    """A disc that rollers have cut, of any number of lobes, made to turn at its rate.

    Parameters
    ----------
    piece : Cut
        From `sweep.cut`; something must be left of the disc.
    view : View
        How it is seen.

    Returns
    -------
    Scene
        The picture; a cross marks each roller that has lost contact.
    """
    drive, lobes, angle = piece.drive, piece.lobes, view.angle
    spin = float(sweep.disc_angle(drive, 1.0, lobes))
    unit, root, turns = _unit(drive), float(piece.radii.min()), max(piece.turns, 2)
    move = Move(drive.eccentricity, 1, spin)
    facts = _angles(drive.pins, spin, turns) | {
        "circle": drive.pin_circle_radius,
        "gap": rounded(of_pin_0(sweep.gaps(piece, one_pitch(drive.pins, SAMPLES // 2))), 3),
        "closed": round(piece.resolution, 4),
    }
    disc = svg.line(piece.points, f"{fill(BLUE, 0.22)} {stroke(BLUE, 0.5 * unit)}", closed=True)
    arm = svg.number(0.5 * drive.roller_radius)
    cross = f'<path d="M-{arm} -{arm}L{arm} {arm}M-{arm} {arm}L{arm} -{arm}"'
    body = (
        part("disc", move, layer("disc", disc) + layer("marked lobe", svg.mark(root, lobes, unit)), angle)
        + _ring(drive, unit)
        + layer("trail", _mark_trail(drive, spin, root, lobes, turns, angle))
        + at_pins("gaps", cross, facts, stroke(PURPLE, 0.8 * unit), view)
        + layer("crank", part("crank", Move(spin=1), svg.crank(drive.eccentricity, root, unit), angle))
    )
    return _scene(_box(drive), body, CUT.format(pins=drive.pins, lobes=lobes), facts, view, move)


def on_line(rolling_radius: float, arches: int, view: View) -> Scene:
    """A circle rolling along a line, and the cycloid that a point on its edge draws.

    Parameters
    ----------
    rolling_radius : float
        Radius of the circle [mm].
    arches : int
        How many turns it makes.
    view : View
        How it is seen; its angle is how far the circle has turned.

    Returns
    -------
    Scene
        The picture.
    """
    radius, whole = rolling_radius, 2 * math.pi * arches
    drawn = rolling.cycloid(radius, np.linspace(0, whole, 60 * arches + 1))
    width, unit = whole * radius, whole * radius / 120
    wheel = svg.wheel(radius, radius, pen_at=-math.pi / 2, unit=unit)
    body = (
        svg.line([(-radius, 0), (width + radius, 0)], stroke(GREY, 0.4 * unit))
        + layer("curve", svg.trail(drawn, view.angle / whole, stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(spin=-1, drift=radius, up=radius), wheel, view.angle))
    )
    facts = {"turns": arches, "frames": {"ring": [["circle", -1]]}, "step": [15, "15°"], "along": radius}
    box = (-1.3 * radius, -2.3 * radius, width + 2.6 * radius, 2.6 * radius)
    return _scene(box, body, ON_LINE.format(radius=radius), facts, view)


def on_circle(fixed_radius: float, rolling_radius: float, arm: float, view: View) -> Scene:
    """A circle rolling round a fixed one, and the curve that a point fixed to it draws.

    Parameters
    ----------
    fixed_radius, rolling_radius : float
        Radii [mm].
    arm : float
        Distance of the drawing point from the rolling circle's centre [mm].
    view : View
        How it is seen; its angle is how far the rolling circle's centre has gone round.

    Returns
    -------
    Scene
        The picture.
    """
    drawn = rolling.epitrochoid(fixed_radius, rolling_radius, arm, np.linspace(0, 2 * math.pi, 721))
    centre = fixed_radius + rolling_radius
    spin = centre / rolling_radius
    reach = centre + max(arm, rolling_radius) + fixed_radius / 30
    unit = reach / 50
    wheel = svg.wheel(rolling_radius, arm, pen_at=math.pi, unit=unit)
    body = (
        svg.circle(0, 0, fixed_radius, f'fill="none" {stroke(GREY, 0.4 * unit)}')
        + layer("curve", svg.trail(drawn, view.angle / (2 * math.pi), stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(centre, 1, spin), wheel, view.angle))
    )
    curve = "an epicycloid" if arm == rolling_radius else "an epitrochoid"
    words = ON_CIRCLE.format(radius=rolling_radius, fixed=fixed_radius, arm=arm, curve=curve)
    facts = {"turns": 1, "frames": {"ring": [["round", 1], ["circle", round(spin, 9)]]}, "step": [15, "15°"]}
    return _scene((-reach, -reach, 2 * reach, 2 * reach), body, words, facts, view)


# what the page is told


def _scene(
    box: tuple[float, ...], body: str, picture: str, facts: dict[str, Any], view: View, disc: Move | None = None
) -> Scene:
    """The whole SVG, with the facts that the page needs to move it."""
    layers = tuple(name for name in SENTENCES if f'data-layer="{name}"' in body or name == "angles")
    words = " ".join([picture, *(SENTENCES[name] for name in layers if name in view.show and SENTENCES[name])])
    for name in set(layers) - set(view.show):
        body = body.replace(f'data-layer="{name}"', f'data-layer="{name}" display="none"')
    facts = facts | {"words": picture, "layers": {name: SENTENCES[name] for name in layers}}
    world = svg.held(disc, view.angle) if disc and view.frame == "disc" else ""
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{" ".join(map(svg.number, box))}" role="img" '
        f"{pages.facts(facts)}><title>{html.escape(words, quote=False)}</title>"
        f'<g data-world="" transform="{world}">{body}</g></svg>'
    )
    return Scene(text, layers, words)


def _angles(count: int, spin: float, turns: int) -> dict[str, Any]:
    """What turns at which rate with ring or disc held, and how far one step takes the crank."""
    spin = round(spin, 9) + 0.0
    frames = {"ring": [["crank", 1], ["disc", spin]], "disc": [["crank", 1 - spin], ["ring", 0.0 - spin]]}
    return {"pins": count, "turns": turns, "frames": frames, "step": [360 / count, "1 pin"]}


# the parts


def _unit(drive: Drive) -> float:
    """A 50th of half the picture's width [mm]: lines and dots are drawn in this, whatever the drive's size."""
    return -_box(drive)[0] / 50


def _box(drive: Drive) -> tuple[float, ...]:
    reach = drive.pin_circle_radius + drive.roller_radius + 2 * drive.eccentricity
    return -reach, -reach, 2 * reach, 2 * reach


def _root(drive: Drive) -> float:
    """How far the disc's roots are from its centre [mm]."""
    return drive.pin_circle_radius - drive.eccentricity - drive.roller_radius


def _edge(drive: Drive, within: float) -> Floats:
    """The outline as a closed polygon whose chords leave it by about `within` [mm], (m, 2).

    `outline.polygon` keeps its tolerance for certain, and takes ten times as long: a slider's hand would notice.
    A chord of length c whose ends' normals differ by a leaves its arc by c a/8.
    """
    t = np.linspace(0.0, 2 * np.pi / drive.lobes, 201)
    points, normals = outline.points(drive, t), outline.normals(drive, t) @ [1, 1j]
    length, turn = np.hypot(*np.diff(points, axis=0).T), np.abs(np.angle(normals[1:] / normals[:-1]))
    need = np.concatenate([[0.0], np.cumsum(np.sqrt(length * turn / (8 * within)) + 1 / 50)])
    chosen = np.interp(np.linspace(0.0, need[-1], math.ceil(need[-1]) + 1), need, t)[:-1]
    lobe = outline.points(drive, chosen) @ [1, 1j]
    corners = np.outer(np.exp(2j * np.pi / drive.lobes * np.arange(drive.lobes)), lobe).ravel()
    return np.append(corners, corners[0]).view(np.float64).reshape(-1, 2)


def _disc(drive: Drive, edge: str, holes: str, unit: float) -> str:
    """The disc, and all that is fixed to it."""
    path = outline.centre_path(drive, np.linspace(0, 2 * np.pi, min(12, max(8, 400 // drive.lobes)) * drive.lobes + 1))
    return (
        layer("disc", f'<path d="{edge}" {fill(BLUE, 0.22)} {stroke(BLUE, 0.5 * unit)}/>')
        + (layer("output", holes) if holes else "")
        + layer("centre path", svg.line(path, f'fill="none" {stroke(PURPLE, 0.5 * unit, (1.6 * unit, 0.8 * unit))}'))
        + layer("pitch circles", svg.striped(motion.disc_pitch_radius(drive), math.pi * drive.eccentricity, BLUE, unit))
        + layer("marked lobe", svg.mark(_root(drive), drive.lobes, unit))
    )


def _second_disc(edge: str, lobes: int, unit: float) -> str:
    """The same outline, turned by half a lobe: half a crank turn later it meets the same pins."""
    style = f"{fill(GREY, 0.15)} {stroke(GREY, 0.5 * unit, (2 * unit, unit))}"
    return f'<path d="{edge}" transform="rotate({svg.number(180 / lobes)})" {style}/>'


def _at_every_pin(drive: Drive, facts: dict[str, Any], unit: float, view: View) -> str:
    """Normals, contacts, pushes and forces."""
    contact, small = svg.number(-drive.roller_radius), svg.number(0.7 * unit)
    half, long, wide = (svg.number(value) for value in (0.6 * drive.roller_radius, 18 * unit, 2 * unit))
    arrow = f'<path d="M{contact} 0h-{long}m{wide} -{wide}l-{wide} {wide}l{wide} {wide}"'
    return (
        at_pins("pushing", f'<circle r="{half}"', facts, f'fill="{VERMILION}"', view)
        + at_pins("normals", f'<line x1="{contact}"', facts, stroke(GREY, 0.3 * unit), view)
        + at_pins("contacts", f'<circle cx="{contact}" r="{small}"', facts, f'fill="{GREY}"', view)
        + (at_pins("forces", arrow, facts, f'fill="none" {stroke(PURPLE, unit)}', view) if "force" in facts else "")
    )


def _ring(drive: Drive, unit: float) -> str:
    rollers = "".join(svg.circle(x, y, drive.roller_radius) for x, y in motion.pins(drive))
    centre = svg.circle(0, 0, 0.8 * unit, f'fill="{VERMILION}"')
    return layer("rollers", rollers + centre, f'fill="none" {stroke(VERMILION, 0.6 * unit)}')


def _output(drive: Drive, root: float, unit: float, output: tuple[int, float, float] | None) -> tuple[str, str]:
    """Holes of the disc and the output rollers in them; nothing where a sketch of six doesn't fit."""
    count, circle, roller = output or (6, 0.64 * root, 0.07 * root)
    hole = roller + drive.eccentricity
    fits = hole < circle * math.sin(math.pi / count) and hole + circle < root if count > 1 else hole + circle < root
    if output and not fits:
        raise ValueError(
            f"output is {output}, but its holes of radius {hole:g} mm don't fit side by side into a disc of root "
            f"radius {root:g} mm: give fewer or smaller rollers, or another circle."
        )
    if not fits:
        return "", ""
    ways = 2 * math.pi * np.arange(count) / count
    at = [(circle * math.cos(way), circle * math.sin(way)) for way in ways]
    holes = "".join(svg.circle(x, y, hole, f'fill="none" {stroke(BLUE, 0.5 * unit)}') for x, y in at)
    filled = f"{fill(VERMILION, 0.45)} {stroke(VERMILION, 0.5 * unit)}"
    return holes, "".join(svg.circle(x, y, roller, filled) for x, y in at)


def _mark_trail(drive: Drive, spin: float, root: float, lobes: int, turns: int, angle: float) -> str:
    """Where the mark's outer end goes until all is as before."""
    crank = np.linspace(0, 2 * np.pi * turns, turns * min(max(400 // turns, 8), 60) + 1)
    centre = drive.eccentricity * np.stack([np.cos(crank), np.sin(crank)], axis=-1)
    end = 0.97 * root * np.array([math.cos(math.pi / lobes), math.sin(math.pi / lobes)])
    unit, share = _unit(drive), angle / crank[-1]
    return svg.trail(centre + motion.turned(end, spin * crank), share, stroke(PURPLE, 0.6 * unit, (0.6 * unit, unit)))
