"""What a stage shows: one SVG, each of whose parts says how it moves.

A part that moves carries, per radian of the angle that the reader turns: how far from the middle it
runs round and how fast, how fast it spins, how far it drifts along x. What is different at every pin
(contact, normal, push, force, gap) is one table over one crank turn, that of pin 0; for the other
pins it is read where pin 0 was one, two, ... pin pitches earlier. `stage.js` carries the parts along.
"""

import html
import json
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from cyclokit.arrays import Floats
from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline, rolling, sweep
from cyclokit.view import pins, svg
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
    """An SVG with all its layers, and the words that go with it.

    Attributes
    ----------
    svg : str
        The picture with every layer showing.
    layers : tuple of str
        Their names, in the order in which they are offered.
    words : str
        What the picture is of.
    """

    svg: str
    layers: tuple[str, ...]
    words: str

    def alt(self, show: Iterable[str]) -> str:
        """What is seen with these layers, in sentences: alt text and caption."""
        shown = set(show)
        return " ".join([self.words, *(SENTENCES[name] for name in self.layers if name in shown and SENTENCES[name])])

    def still(self, show: Iterable[str]) -> str:
        """The SVG with only these layers showing, and the words as its title."""
        text = self.svg.replace("<title></title>", f"<title>{html.escape(self.alt(show), quote=False)}</title>")
        for name in set(self.layers) - set(show):
            text = text.replace(f'data-layer="{name}"', f'data-layer="{name}" display="none"')
        return text


def turning(
    drive: Drive,
    angle: float = 0.0,
    frame: str = "ring",
    load: str = "counter-clockwise",
    output: tuple[int, float, float] | None = None,
    forces: Floats | None = None,
) -> Scene:
    """A drive with everything that can be shown of it.

    Parameters
    ----------
    drive : Drive
        The drive; its trochoid ratio must not be exactly 1.
    angle : float
        Crank angle [rad] at which it stands.
    frame : str
        "ring" or "disc": which of them is held.
    load : str
        "counter-clockwise" or "clockwise": the load on the disc.
    output : tuple, optional
        Number of output rollers, radius of the circle they stand on [mm] and their own radius [mm];
        without it a sketch of six.
    forces : ndarray, optional
        Force of pin 0 on the disc [N] at even steps of one crank turn, shape (m,), none below zero.

    Returns
    -------
    Scene
        All layers showing.

    Raises
    ------
    ValueError
        If the output holes don't fit into the disc, or the trochoid ratio is 1.
    """
    e, r, circle = drive.eccentricity, drive.roller_radius, drive.pin_circle_radius
    spin = float(motion.disc_pose(drive, 1.0).angle)
    unit, root, move = _unit(drive), circle - e - r, Move(e, 1, spin)
    facts = _angles(drive.pins, spin, drive.ratio) | pins.contact_facts(drive) | {"circle": circle}
    if forces is not None:
        facts["force"] = pins.rounded(forces / (forces.max() or 1.0), 3)
    edge = outline.polygon(drive, unit / 40)
    path = outline.centre_path(drive, np.linspace(0, 2 * np.pi, 16 * drive.lobes + 1))
    holes, rollers = _output(drive, root, unit, output)
    turned = f'transform="rotate({svg.number(180 / drive.lobes)})"'  # half a lobe: half a turn later it meets the pins
    behind = svg.line(edge, f"{turned} {fill(GREY, 0.15)} {stroke(GREY, 0.5 * unit, (2 * unit, unit))}", closed=True)
    on_disc = (
        layer("disc", svg.line(edge, f"{fill(BLUE, 0.22)} {stroke(BLUE, 0.5 * unit)}", closed=True))
        + (layer("output", holes) if holes else "")
        + layer("centre path", svg.line(path, f'fill="none" {stroke(PURPLE, 0.5 * unit, (1.6 * unit, 0.8 * unit))}'))
        + layer("pitch circles", svg.striped(motion.disc_pitch_radius(drive), math.pi * e, BLUE, unit))
        + layer("marked lobe", svg.mark(root, drive.lobes, unit))
    )
    contact, long, wide = (svg.number(value) for value in (-r, 18 * unit, 2 * unit))
    arrow = f'<path d="M{contact} 0h-{long}m{wide} -{wide}l-{wide} {wide}l{wide} {wide}"'
    body = (
        layer("second disc", part("second disc", Move(-e, 1, spin), behind, angle))
        + part("disc", move, on_disc, angle)
        + (layer("output", part("output", Move(spin=spin), rollers, angle)) if rollers else "")
        + _ring(drive, unit)
        + layer("pitch circles", svg.striped(motion.ring_pitch_radius(drive), math.pi * e, VERMILION, unit))
        + layer("trail", _mark_trail(drive, spin, root, drive.lobes, drive.ratio, angle))
        + pins.at_pins("pushing", f'<circle r="{svg.number(0.6 * r)}"', facts, angle, f'fill="{VERMILION}"', load)
        + layer("pushing", part("load", Move(e, 1), svg.bent_arrow(0.8 * root, load == "clockwise", unit), angle))
        + pins.at_pins("normals", f'<line x1="{contact}"', facts, angle, stroke(GREY, 0.3 * unit))
        + pins.at_pins(
            "contacts", f'<circle cx="{contact}" r="{svg.number(0.7 * unit)}"', facts, angle, f'fill="{GREY}"'
        )
        + (
            pins.at_pins("forces", arrow, facts, angle, f'fill="none" {stroke(PURPLE, unit)}')
            if "force" in facts
            else ""
        )
        + layer(
            "pitch circles",
            part(
                "pitch point",
                Move(e * drive.pins, 1),
                svg.circle(0, 0, 1.3 * unit, f'fill="none" {stroke(GREY, 0.6 * unit)}'),
                angle,
            ),
        )
        + layer("crank", part("crank", Move(spin=1), svg.crank(e, root, unit), angle))
    )
    words = DRIVE.format(pins=drive.pins, lobes=drive.lobes)
    return _scene(_box(drive), body, words, facts, svg.held(move, angle) if frame == "disc" else "")


def cut(piece: sweep.Cut, angle: float = 0.0, frame: str = "ring") -> Scene:
    """A disc that rollers have cut, of any number of lobes, made to turn at its rate.

    Parameters
    ----------
    piece : Cut
        From `sweep.cut`; something must be left of the disc.
    angle : float
        Crank angle [rad] at which it stands.
    frame : str
        "ring" or "disc": which of them is held.

    Returns
    -------
    Scene
        All layers showing; a cross marks each roller that has lost contact.
    """
    drive, lobes = piece.drive, piece.lobes
    spin = float(sweep.disc_angle(drive, 1.0, lobes))
    unit, root, turns = _unit(drive), float(piece.radii.min()), max(piece.turns, 2)
    move = Move(drive.eccentricity, 1, spin)
    gaps = sweep.gaps(piece, pins.one_pitch(drive.pins, pins.SAMPLES // 2))
    facts = _angles(drive.pins, spin, turns) | {
        "circle": drive.pin_circle_radius,
        "gap": pins.rounded(pins.of_pin_0(gaps), 3),
        "closed": round(piece.resolution, 4),
    }
    disc = svg.line(piece.points, f"{fill(BLUE, 0.22)} {stroke(BLUE, 0.5 * unit)}", closed=True)
    arm = svg.number(0.5 * drive.roller_radius)
    cross = f'<path d="M-{arm} -{arm}L{arm} {arm}M-{arm} {arm}L{arm} -{arm}"'
    body = (
        part("disc", move, layer("disc", disc) + layer("marked lobe", svg.mark(root, lobes, unit)), angle)
        + _ring(drive, unit)
        + layer("trail", _mark_trail(drive, spin, root, lobes, turns, angle))
        + pins.at_pins("gaps", cross, facts, angle, stroke(PURPLE, 0.8 * unit))
        + layer("crank", part("crank", Move(spin=1), svg.crank(drive.eccentricity, root, unit), angle))
    )
    words = CUT.format(pins=drive.pins, lobes=lobes)
    return _scene(_box(drive), body, words, facts, svg.held(move, angle) if frame == "disc" else "")


def on_line(rolling_radius: float, arches: int, angle: float = 0.0) -> Scene:
    """A circle rolling along a line, and the cycloid that a point on its edge draws.

    Parameters
    ----------
    rolling_radius : float
        Radius of the circle [mm].
    arches : int
        How many turns it makes.
    angle : float
        Angle [rad] by which it has turned.

    Returns
    -------
    Scene
        All layers showing.
    """
    radius, whole = rolling_radius, 2 * math.pi * arches
    drawn = rolling.cycloid(radius, np.linspace(0, whole, 60 * arches + 1))
    width, unit = whole * radius, whole * radius / 120
    wheel = svg.wheel(radius, radius, pen_at=-math.pi / 2, unit=unit)
    body = (
        svg.line([(-radius, 0), (width + radius, 0)], stroke(GREY, 0.4 * unit))
        + layer("curve", svg.trail(drawn, angle / whole, stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(spin=-1, drift=radius, up=radius), wheel, angle))
    )
    facts = {"turns": arches, "frames": {"ring": [["circle", -1]]}, "step": [15, "15°"], "along": radius}
    box = (-1.3 * radius, -2.3 * radius, width + 2.6 * radius, 2.6 * radius)
    return _scene(box, body, ON_LINE.format(radius=radius), facts)


def on_circle(fixed_radius: float, rolling_radius: float, arm: float, angle: float = 0.0) -> Scene:
    """A circle rolling round a fixed one, and the curve that a point fixed to it draws.

    Parameters
    ----------
    fixed_radius, rolling_radius : float
        Radii [mm].
    arm : float
        Distance of the drawing point from the rolling circle's centre [mm].
    angle : float
        How far the rolling circle's centre has gone round [rad].

    Returns
    -------
    Scene
        All layers showing.
    """
    drawn = rolling.epitrochoid(fixed_radius, rolling_radius, arm, np.linspace(0, 2 * math.pi, 721))
    centre = fixed_radius + rolling_radius
    spin = centre / rolling_radius
    reach = centre + max(arm, rolling_radius) + fixed_radius / 30
    unit = reach / 50
    wheel = svg.wheel(rolling_radius, arm, pen_at=math.pi, unit=unit)
    body = (
        svg.circle(0, 0, fixed_radius, f'fill="none" {stroke(GREY, 0.4 * unit)}')
        + layer("curve", svg.trail(drawn, angle / (2 * math.pi), stroke(VERMILION, 0.7 * unit)))
        + layer("circle", part("circle", Move(centre, 1, spin), wheel, angle))
    )
    curve = "an epicycloid" if arm == rolling_radius else "an epitrochoid"
    words = ON_CIRCLE.format(radius=rolling_radius, fixed=fixed_radius, arm=arm, curve=curve)
    facts = {"turns": 1, "frames": {"ring": [["round", 1], ["circle", round(spin, 9)]]}, "step": [15, "15°"]}
    return _scene((-reach, -reach, 2 * reach, 2 * reach), body, words, facts)


# what the page is told


def _scene(box: tuple[float, ...], body: str, words: str, facts: dict[str, Any], world: str = "") -> Scene:
    """The whole SVG, with the facts that the page needs to move it."""
    layers = tuple(name for name in SENTENCES if f'data-layer="{name}"' in body or name == "angles")
    facts = facts | {"words": words, "layers": {name: SENTENCES[name] for name in layers}}
    data = html.escape(json.dumps(facts, separators=(",", ":"), ensure_ascii=False), quote=False).replace("'", "&#39;")
    text = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{" ".join(map(svg.number, box))}" role="img" '
        f'data-facts=\'{data}\'><title></title><g data-world="" transform="{world}">{body}</g></svg>'
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
    crank = np.linspace(0, 2 * np.pi * turns, turns * min(max(480 // turns, 12), 60) + 1)
    centre = drive.eccentricity * np.stack([np.cos(crank), np.sin(crank)], axis=-1)
    end = 0.97 * root * np.array([math.cos(math.pi / lobes), math.sin(math.pi / lobes)])
    unit, share = _unit(drive), angle / crank[-1]
    return svg.trail(centre + motion.turned(end, spin * crank), share, stroke(PURPLE, 0.6 * unit, (0.6 * unit, unit)))
