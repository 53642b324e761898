"""What a stage shows of one roller: where it goes, seen from the disc, and what it leaves of a blank on its way.

The groove is the roller's path drawn as wide as the roller, so what is left is found without a formula of an edge.
"""

import math

import numpy as np

from cyclokit.drive import Drive
from cyclokit.geometry import motion, outline
from cyclokit.signatures import read
from cyclokit.view import drive_parts, palette, scene, svg
from cyclokit.view.pins import View, at_pins, contact_facts
from cyclokit.view.svg import BLUE, GREEN, GREY, PURPLE, VERMILION, Move, fill, layer, part, stroke

STEPS = 36  # of the roller in one turn of the crank
# What the library says to a reader: layer -> what is seen of it
SENTENCES = {
    "blank": "It mills a round blank (blue): what it passes over is gone.",
    "path": "Its centre leaves a path (purple).",
    "disc's edge": "The formula's edge is drawn as a blue line.",
    "roller": "The roller is an orange circle with a dot in its centre.",
    "normal": "A thin cross stands along and across the way of its centre.",
    "contact": "A large dot marks where it touches the disc.",
    "centres": "A green dot is the disc's centre.",
    "angles": "",
}
ROLLER = "One of the {pins} rollers goes round the disc, as the disc sees it."


@read
def one_roller(drive: Drive, view: View) -> scene.Scene:
    """One roller, the path of its centre, and the blank that it mills.

    The trochoid ratio must not be exactly 1; the view's angle is the crank's.
    """
    e, radius, angle = drive.eccentricity, drive.roller_radius, view.angle
    unit, spin = drive_parts.unit_of(drive), float(motion.disc_pose(drive, 1.0).angle)
    move, turns = Move(e, 1, spin), drive.lobes
    path = outline.centre_path(drive, np.linspace(0, 2 * np.pi, STEPS * turns + 1))
    share = angle / (2 * math.pi * turns) or 1.0
    wide = f'{stroke(palette.PAGE.light, 2 * radius)} stroke-linejoin="round" stroke-linecap="round"'
    blank = svg.circle(0, 0, drive.pin_circle_radius + e, f"{fill(BLUE, 0.22)} {stroke(BLUE, 0.3 * unit)}")
    edge = svg.line(drive_parts.edge_within(drive, unit / 40), f'fill="none" {stroke(BLUE, 0.6 * unit)}', closed=True)
    disc = (
        layer("blank", blank + svg.trail(path, share, wide))
        + layer("path", svg.trail(path, share, stroke(PURPLE, 0.5 * unit)))
        + layer("disc's edge", edge)
        + layer("centres", svg.circle(0, 0, 0.9 * unit, f'fill="{GREEN}"'))
    )
    facts = scene.angles(drive.pins, spin, turns) | contact_facts(drive)
    facts |= {"pins": 1, "circle": drive.pin_circle_radius, "step": [15, "15°"]}
    long, small = svg.number(2 * radius), svg.number(1.1 * unit)
    cross = f'<path d="M{long} 0H{svg.number(-3 * radius)}M0 {long}V-{long}"'
    dot = f'<circle cx="{svg.number(-radius)}" r="{small}"'
    x = drive.pin_circle_radius
    roller = svg.circle(x, 0, radius, stroke(VERMILION, 0.6 * unit)) + svg.circle(
        x, 0, 0.7 * unit, f'fill="{VERMILION}"'
    )
    body = (
        part("disc", move, disc, angle)
        + layer("roller", roller, 'fill="none"')
        + at_pins("normal", cross, facts, stroke(GREY, 0.4 * unit), view)
        + at_pins("contact", dot, facts, f'fill="{GREY}"', view)
    )
    words = ROLLER.format(pins=drive.pins)
    return scene.whole(drive_parts.box(drive), body, words, facts, view, move, SENTENCES)
