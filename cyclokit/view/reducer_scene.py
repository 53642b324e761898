"""What a stage shows of a reducer: all its discs with their own holes, and the output rollers that they share.

Disc k runs k/n of a crank turn ahead of disc 0. Turned by that angle, the page's own way of carrying a part along
carries it too: a group is turned once, the part in it moves like disc 0, and what is fixed to it is turned back.
"""

import math
from typing import Any

import numpy as np

from cyclokit.arguments import Floats, checked_count
from cyclokit.drive import Drive
from cyclokit.geometry import motion
from cyclokit.machine import same_part
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import Place, read
from cyclokit.view import drive_parts, palette, scene, svg
from cyclokit.view.forces import DISCS, Drawn
from cyclokit.view.pins import View, contact_facts
from cyclokit.view.svg import BLUE, GREY, Move, fill, layer, part, stroke

PAINT = ((BLUE, ()), (GREY, (2.0, 1.0)), (palette.THIRD_DISC.light, (0.7, 0.9)))  # a disc's colour and dashes [units]
PICTURE = (
    "A cycloidal reducer: a ring of {pins} rollers, and in it {discs} with {lobes} lobes and {holes} output holes."
)
COUNTED = ("one disc", "two discs", "three discs")
# What the library says to a reader: layer -> what is seen of it
SENTENCES = {
    "rollers": "The rollers (orange circles) stand on the ring.",
    "disc": "The disc (blue) is carried round by the crank.",
    "second disc": "The second disc (grey, dashed) runs {share} ahead of the first.",
    "third disc": "The third disc (purple, dotted) runs another third ahead.",
    "bearings": "A bearing (grey ring) between eccentric and disc lets the disc turn as slowly as it likes.",
    "output": "Output rollers (orange, filled) stand in the holes and turn with the plate that carries them.",
    "crank": "The crank (green) carries an eccentric (dashed circle) for each disc; its knob can be dragged.",
    "marked lobe": "A mark (thick blue line) on one lobe shows how the disc turns.",
    "turns": scene.SENTENCES["turns"],
    "trail": "The mark leaves a dotted trail.",
    "contacts": "Dots mark where the {touched} and rollers touch, clearances aside.",
    "normals": "The contact normals of the {touched} (thin lines) meet in its pitch point.",
    "pushing": "Filled rollers can push against the load on the {touched}, whose direction a bent arrow shows.",
    "forces": "Arrows at the pins are forces on the {touched}, the longer the larger.",
    "witness marks": "Witness marks: a dot on output roller 0, and one beside each disc's own hole 0; it is open where "
    "the disc's other side is up, and there are two where the disc is another part.",
    "labels": scene.SENTENCES["labels"],
    "angles": "",
}


@read
def turning(
    reducer: Reducer, view: View, touched: Place | None = None, forces: Floats | None = None, loads: Drawn | None = None
) -> scene.Scene:
    """A reducer with everything that can be shown of it, as it runs: holes and outline with their clearances.

    Parts are drawn as they are, whether they have room or not; the trochoid ratio must not be exactly 1. `touched` is
    the number of the disc, from 0, whose contacts, normals and pushing pins can be shown, and on which `forces` act:
    those of pin 0 [N] at even steps of one crank turn, shape (m,), none below zero. `loads` are all forces on the
    discs.
    """
    drive, angle = reducer.drive, view.angle
    unit, root = drive_parts.unit_of(drive), drive.root_circle_radius
    spin = float(motion.disc_pose(drive, 1.0).angle)
    move = Move(drive.eccentricity, 1, spin)
    facts = scene.angles(drive.pins, spin, drive.ratio)
    if forces is not None and touched is None:
        raise ValueError(
            "touched is None, but forces must come with the number of the disc that they act on: give it, from 0."
        )
    if touched is not None:
        touched = checked_count("touched", touched, 0, reducer.discs - 1)
        ahead = float(motion.phases(reducer.discs)[touched])
        facts |= contact_facts(drive, ahead) | {"circle": drive.pin_circle_radius}
        facts |= {} if forces is None else scene.force_facts(forces)
    body = (
        "".join(reversed(_discs(reducer, move, angle, unit)))  # disc 0 on top
        + layer("output", part("output", Move(spin=spin), _output_rollers(reducer, unit), angle))
        + drive_parts.ring(drive, unit)
        + drive_parts.turned_so_far(root, spin, unit, angle)
        + layer("trail", drive_parts.mark_trail(drive, spin, root, drive.lobes, drive.ratio, angle))
        + ("" if touched is None else _touched(drive, facts, ahead, unit, view))
        + layer("crank", part("crank", Move(spin=1), _crank(reducer, root, unit), angle))
        + drive_parts.labels(drive, root, unit, angle)
        + ("" if loads is None else loads.body)
    )
    discs = COUNTED[reducer.discs - 1]
    picture = PICTURE.format(pins=drive.pins, discs=discs, lobes=drive.lobes, holes=reducer.output_rollers)
    share = "half a crank turn" if reducer.discs == 2 else "a third of a crank turn"
    sentences = {
        name: sentence.format(share=share, touched=DISCS[touched or 0]) for name, sentence in SENTENCES.items()
    }
    if loads is not None:
        facts, sentences = facts | loads.facts, sentences | loads.sentences
    key = "" if loads is None else loads.key
    return scene.whole(drive_parts.box(drive), body, picture, facts, view, move, sentences, key)


def _touched(drive: Drive, facts: dict[str, Any], ahead: float, unit: float, view: View) -> str:
    """What is different at every pin, for the disc that runs ahead by an angle [rad], and the load on it."""
    arrow = svg.bent_arrow(0.8 * drive.root_circle_radius, view.load == "clockwise", unit)
    load = _turned(part("load", Move(drive.eccentricity, 1), arrow, view.angle), ahead)
    return scene.at_every_pin(drive, facts, unit, view) + layer("pushing", load)


def _discs(reducer: Reducer, move: Move, angle: float, unit: float) -> list[str]:
    """Every disc with its holes and marks."""
    drive = reducer.drive
    edge = svg.path(drive_parts.edge_within(reducer.disc_drive, unit / 40), closed=True)
    ahead, offsets = motion.phases(reducer.discs), motion.outline_offsets(drive, reducer.discs)
    drawn = []
    for placing in same_part.placings(reducer):
        k = placing.disc
        # on the part, a direction of the output at crank 0 lies `ahead` back, because the group round it is turned
        outline = _turned(_outline(reducer, edge, offsets[k], k, unit), -ahead[k])
        marks = layer("witness marks", _turned(_witness(reducer, placing, unit), -ahead[k]))
        lobe = layer("marked lobe", svg.mark(drive.root_circle_radius, drive.lobes, unit)) if k == 0 else ""
        moving = part(DISCS[k], move, outline + layer("bearings", _bearing(reducer, unit)) + lobe + marks, angle)
        drawn.append(layer(DISCS[k], _turned(moving, ahead[k])))
    return drawn


def _outline(reducer: Reducer, edge: str, offset: float, disc: int, unit: float) -> str:
    """A disc's edge, turned by its own offset, with output holes and bore cut out of it."""
    colour, dashes = PAINT[disc]
    style = f'{fill(colour, 0.22)} fill-rule="evenodd" {stroke(colour, 0.5 * unit, [unit * each for each in dashes])}'
    # seen from the outline, the holes are turned the other way
    holes = "".join(_round_cut(x, y, reducer.hole_radius) for x, y in _at_rollers(reducer, -offset))
    bore = _round_cut(0, 0, reducer.bore_radius)
    return _turned(f'<path d="{edge}{holes}{bore}" {style}/>', offset)


def _bearing(reducer: Reducer, unit: float) -> str:
    """What lies between an eccentric and its disc, seen along the axis."""
    bore = reducer.eccentric_bearing.bore_diameter / 2
    ring = _round_cut(0, 0, reducer.bore_radius) + _round_cut(0, 0, bore)
    return f'<path d="{ring}" {fill(GREY, 0.35)} fill-rule="evenodd" {stroke(GREY, 0.3 * unit)}/>'


def _output_rollers(reducer: Reducer, unit: float) -> str:
    rollers = _at_rollers(reducer)
    radius, dot = reducer.output_roller_radius, min(0.9 * unit, 0.4 * reducer.output_roller_radius)
    mark = layer("witness marks", svg.circle(*rollers[0], dot, f'fill="{GREY}"'))
    return "".join(svg.circle(x, y, radius, svg.output_roller(unit)) for x, y in rollers) + mark


def _witness(reducer: Reducer, placing: same_part.Placing, unit: float) -> str:
    """A disc's dots, inside its part's hole 0: as many as the part's number and one, open if it is turned over."""
    colour = PAINT[placing.disc][0]
    between = (reducer.output_circle_radius - reducer.hole_radius + reducer.bore_radius) / 2
    style = f'fill="{"none" if placing.turned_over else colour}" {stroke(colour, 0.4 * unit)}'
    step = 2.8 * unit / max(between, unit)
    way = _ways(reducer)[placing.roller] - placing.part * step / 2
    ways = [way + number * step for number in range(placing.part + 1)]
    return "".join(svg.circle(between * math.cos(at), between * math.sin(at), 0.9 * unit, style) for at in ways)


def _crank(reducer: Reducer, root: float, unit: float) -> str:
    e, radius = reducer.drive.eccentricity, reducer.eccentric_bearing.bore_diameter / 2
    middles = [(e * math.cos(ahead), e * math.sin(ahead)) for ahead in motion.phases(reducer.discs)]
    return "".join(svg.eccentric(x, y, radius, unit) for x, y in middles) + svg.arm(root, unit, middles)


def _ways(reducer: Reducer) -> np.ndarray:
    """Directions of the output rollers at crank 0 [rad]."""
    count = reducer.output_rollers
    return 2 * np.pi * (reducer.hole_phase / reducer.drive.lobes + np.arange(count) / count)


def _at_rollers(reducer: Reducer, turn: float = 0.0) -> list[tuple[float, float]]:
    """Where the output rollers are on their circle at crank 0 [mm], turned by an angle [rad]."""
    circle = reducer.output_circle_radius
    return [(circle * math.cos(way + turn), circle * math.sin(way + turn)) for way in _ways(reducer)]


def _round_cut(x: float, y: float, radius: float) -> str:
    """A circle as a piece of a path's data."""
    r, across = svg.number(radius), svg.number(2 * radius)
    return f"M{svg.pair(x - radius, y)}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0 -{across} 0Z"


def _turned(content: str, angle: float) -> str:
    """Something turned by an angle [rad], counter-clockwise."""
    return svg.turned(content, math.degrees(angle), 6)
