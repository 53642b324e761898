"""What a stage shows of a drive of which one member is held: ring, disc or crank, each with a witness mark.

The angle that the reader turns is the driver's: the crank's, or the ring's where the crank is held.
"""

import numpy as np

from cyclokit.arguments import checked_choice
from cyclokit.drive import Drive
from cyclokit.geometry import speeds
from cyclokit.signatures import read
from cyclokit.view import drive_parts, scene, svg
from cyclokit.view.pins import View
from cyclokit.view.svg import BLUE, GREEN, GREY, VERMILION, Move, layer, part, stroke

MEMBERS = ("ring", "disc", "crank")
# What the library says to a reader: layer -> what is seen of it
SENTENCES = {
    "rollers": "The rollers (orange circles) go with the ring.",
    "turns": "Arcs from a fixed index (grey) show how far the ring (orange, outside), the disc (blue) and the crank "
    "(green, dashed) have turned.",
    "angles": "",
}
PICTURE = (
    "A drive with {pins} pins whose {held} {how}. A thick line marks one pin of the ring (orange) and one lobe of the "
    "disc (blue). {drives}"
)
HOW = {"ring": "is held", "disc": "may wobble but not turn", "crank": "is held"}
DRIVES = {
    "ring": "The crank (green) drives; the disc follows.",
    "disc": "The crank (green) drives; the ring follows.",
    "crank": "The ring drives; the disc follows.",
}


@read
def rates(drive: Drive, held: str) -> dict[str, float]:
    """How fast each member turns for the driver's 1, the driver first; the held one has 0."""
    row = speeds.transmission(drive)[MEMBERS.index(checked_choice("held", held, MEMBERS))]
    return {row.driver: 1.0, row.driven: row.ratio, row.held: 0.0}


@read
def turning(drive: Drive, held: str, view: View) -> scene.Scene:
    """A drive with one member held.

    `held` is "ring", "disc" or "crank", the view's angle the driver's; after the picture's turns all is as before. The
    trochoid ratio must not be exactly 1.
    """
    turned, angle, unit = rates(drive, held), view.angle, drive_parts.unit_of(drive)
    root, e = drive.root_circle_radius, drive.eccentricity
    edge = svg.line(drive_parts.edge_within(drive, unit / scene.ROUGH), svg.disc(unit), closed=True)
    reach = drive.pin_circle_radius + drive.roller_radius
    rim = svg.circle(0, 0, reach + unit, f'fill="none" {stroke(VERMILION, 0.6 * unit)}')
    pointer = svg.line([(reach - 1.6 * drive.roller_radius, 0), (reach + unit, 0)], stroke(VERMILION, 2 * unit))
    body = (
        part("disc", Move(e, turned["crank"], turned["disc"]), edge + svg.mark(root, drive.lobes, unit), angle)
        + part("ring", Move(spin=turned["ring"]), drive_parts.ring(drive, unit) + rim + pointer, angle)
        + layer("turns", _arcs(root, turned, unit, angle))
        + part("crank", Move(spin=turned["crank"]), svg.crank(e, root, unit), angle)
        + svg.label(f"{held}: held", 0.0, -0.45 * root, unit)
    )
    picture = PICTURE.format(pins=drive.pins, held=held, how=HOW[held], drives=DRIVES[held])
    facts = {
        "pins": drive.pins,
        "turns": drive.pins if held == "disc" else drive.lobes,
        "frames": {"ring": [[name, round(rate, 9)] for name, rate in turned.items()]},
        "step": [360 / drive.pins, "1 pin"],
    }
    return scene.whole(drive_parts.box(drive), body, picture, facts, view, sentences=SENTENCES)


def _arcs(root: float, turned: dict[str, float], unit: float, angle: float) -> str:
    """How far each member has turned, from an index that stands still."""
    index = svg.line(np.array([(0.6, 0), (0.82, 0)]) * root, stroke(GREY, 0.8 * unit))
    crank = svg.arc(0.63 * root, turned["crank"], angle, stroke(GREEN, 0.8 * unit, (2 * unit, unit)))
    disc = svg.arc(0.71 * root, turned["disc"], angle, stroke(BLUE, 1.4 * unit))
    return index + crank + disc + svg.arc(0.79 * root, turned["ring"], angle, stroke(VERMILION, unit))
