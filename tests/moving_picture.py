"""Draw the story's drive as a picture that turns by itself, and the same at rest, for the README and lesson 0.

    python -m tests.moving_picture

The picture needs no script: CSS turns three groups, each in a time that follows from the drive's ratio. Within the
crank, which goes round once in `PERIOD`, the disc turns back by one whole turn and one lobe; so it is the disc's own
turn over the crank's that is drawn, never a table of poses. Whoever asks for less motion gets the drive at rest.
"""

import math

from cyclokit import Drive
from cyclokit.course.reader.folder import notebooks
from cyclokit.files import write_whole
from cyclokit.geometry import motion
from cyclokit.view import drive_parts, palette, svg

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
PERIOD = 4.0  # s for one turn of the crank
SIZE = 280  # pixels
OUTPUT_CIRCLE, OUTPUT_ROLLER = 24.0, 2.5  # mm, of six output rollers
WORDS = (  # no count and no direction: lesson 0 lets its reader guess both
    "A cycloidal drive that turns: a crank carries a wavy disc round inside a ring of rollers, and six output rollers "
    "in the disc's holes follow its slow turn."
)
WITHIN = 0.03  # mm between the drawn outline and the curve: a tenth of a pixel


def picture(drive: Drive, moving: bool) -> str:
    """The drive as SVG, turning by itself or at rest."""
    e, box = drive.eccentricity, " ".join(map(svg.number, drive_parts.box(drive)))
    rollers = "".join(svg.circle(x, y, drive.roller_radius) for x, y in motion.pins(drive))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" width="{SIZE}" height="{SIZE}" role="img">'
        f"<title>{WORDS}</title><style>{_style(drive, moving)}</style>"
        f'<g class="roller">{rollers}</g>'
        f'<g id="crank"><g transform="translate({svg.pair(e, 0)})"><g id="disc" class="disc">{_disc(drive)}</g></g></g>'
        f'<g id="output" class="roller solid">{_at_six(OUTPUT_ROLLER)}</g>'
        f'<g id="arm" class="crank">{svg.circle(e, 0, 9)}{svg.line([(0, 0), (15, 0)], "")}</g></svg>\n'
    )


def _disc(drive: Drive) -> str:
    """Outline, holes, and a mark on one lobe."""
    root = drive.root_circle_radius
    half = math.pi / drive.lobes
    way = [math.cos(half), math.sin(half)]
    mark = svg.line([[share * root * part for part in way] for share in (0.82, 0.97)], 'class="mark"')
    edge = svg.line(drive_parts.edge_within(drive, WITHIN), "", closed=True)
    return edge + _at_six(OUTPUT_ROLLER + drive.eccentricity) + mark


def _at_six(radius: float) -> str:
    ways = [math.pi / 3 * number for number in range(6)]
    return "".join(svg.circle(OUTPUT_CIRCLE * math.cos(way), OUTPUT_CIRCLE * math.sin(way), radius) for way in ways)


def _style(drive: Drive, moving: bool) -> str:
    painted = _paints("light") + "@media (prefers-color-scheme:dark){" + _paints("dark") + "}"
    lines = "*{fill:none;stroke-width:.9}.disc>path:first-child{fill-opacity:.22}.mark{stroke-width:2.4}"
    return lines + painted + (_turning(drive) if moving else "")


def _paints(page: str) -> str:
    disc, roller, crank = (getattr(paint, page) for paint in (palette.DISC, palette.ROLLER, palette.CRANK))
    return (
        f".disc *{{stroke:{disc}}}.disc>path:first-child{{fill:{disc}}}.roller *{{stroke:{roller}}}"
        f".solid *{{fill:{roller};fill-opacity:.45}}.crank *{{stroke:{crank}}}.crank circle{{stroke-dasharray:3 1.5}}"
    )


def _turning(drive: Drive) -> str:
    """Times for one turn [s]; SVG's y points down, so that counter-clockwise is a negative angle."""
    disc = float(motion.disc_pose(drive, 1.0).angle)  # turns of the disc for one of the crank
    rates = {"#crank,#arm": 1.0, "#disc": disc - 1.0, "#output": disc}  # the disc's is seen from the crank
    moves = "".join(
        f"{name}{{animation:{'left' if rate > 0 else 'right'} {PERIOD / abs(rate):.6g}s linear infinite}}"
        for name, rate in rates.items()
    )
    ways = "@keyframes left{to{transform:rotate(-360deg)}}@keyframes right{to{transform:rotate(360deg)}}"
    return f"{ways}@media (prefers-reduced-motion:no-preference){{{moves}}}"


if __name__ == "__main__":
    for name, moving in (("turning.svg", True), ("at_rest.svg", False)):
        write_whole(notebooks() / "lessons" / "pictures" / name, picture(STORY, moving).encode())
