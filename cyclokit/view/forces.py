"""Forces on a reducer's discs as arrows in proportion, with an arrow to measure them by and the count of loaded pins.

What is drawn was worked out by `mechanics.sharing`. An arrow begins where the force acts. For a picture that moves, the
page gets tables: what a pin's force is while the crank goes once round, if its disc carries its mean share, and what
each disc carries. The latter is as before after as many pin pitches as lobes and output rollers have in common.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from cyclokit.arguments import Floats, checked_count, checked_number
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from cyclokit.signatures import Place, read
from cyclokit.view import drive_parts, palette, svg
from cyclokit.view.svg import Move, layer, part, stroke

DISCS = ("disc", "second disc", "third disc")
LOOKS = (("purple", ()), ("purple, dashed", (1.8, 0.6)), ("purple, dotted", (0.7, 0.5)))  # and dashes [units]
NAMES = tuple(f"forces on {disc}" for disc in DISCS)  # of their layers
SENTENCE = (
    "Arrows ({look}) are the forces of ring pins, output rollers and eccentric bearing on the {disc}, each from where "
    "it acts; the arrow in the corner is {scale:g}\N{NO-BREAK SPACE}N."
)
LOADED = "{count} of {pins} pins loaded"
LONGEST = 32  # units: of the longest arrow, the bearing's
SCALE = 20  # units: the arrow to measure by is no longer
STEPS = 720  # of tables over one turn: where a pin begins and ends to push lies on a step
PER_PITCH, MOST = 12, 2400  # steps of the discs' shares in a pin pitch, and in all
DIGITS = 4  # of lengths in the tables


@dataclass(frozen=True)
class Drawn:
    """What a scene takes of forces."""

    body: str  # the arrows, a layer for each disc
    key: str  # arrow to measure by and count, which stand still whatever is held
    facts: dict[str, Any]  # what the page needs to carry the arrows along; empty for a picture that stands
    sentences: dict[str, str]  # what is seen of each layer


@read
def longest(reducer: Reducer, torque: float) -> float:
    """The greatest force on any disc while the output goes once round, nothing having a gap [N].

    Of the forces of pins, output rollers and bearings, under a torque at the output [N mm], not 0; with a scale made
    for it no arrow leaves the picture.
    """
    if checked_number("torque", torque, -1e12, 1e12) == 0:
        raise ValueError("torque is 0, but must load the pins to show forces: give some N mm.")
    shared = sharing.ideal(reducer, torque, _period(reducer))
    return float(max(shared.peak, shared.output_force.max(), np.linalg.norm(shared.bearing_force, axis=-1).max()))


@read
def standing(shared: sharing.Sharing, greatest: float, on: Place = 0) -> Drawn:
    """Forces at one crank angle.

    `greatest` is the force whose arrow is as long as arrows can be [N], above 0, from `longest`; `on` is the number of
    the disc whose loaded pins are counted, from 0.
    """
    if len(shared.crank) != 1:
        raise ValueError(f"shared has {len(shared.crank)} crank angles, but must have one: share for one angle.")
    reducer, unit = shared.reducer, drive_parts.unit_of(shared.reducer.drive)
    long = LONGEST * unit / checked_number("greatest", greatest, 1e-12, 1e12)  # mm/N
    on = checked_count("on", on, 0, reducer.discs - 1)
    scale = _round_below(SCALE * unit / long)
    body, sentences = "", {}
    for disc in range(reducer.discs):
        look, dashes = LOOKS[disc]
        style = f'fill="none" {stroke(palette.FORCE.light, 0.8 * unit, [unit * each for each in dashes])}'
        body += layer(NAMES[disc], _arrows(shared, disc, long, unit), style)
        sentences[NAMES[disc]] = SENTENCE.format(look=look, disc=DISCS[disc], scale=scale)
    count = int(shared.loaded_pins[0, on])
    return Drawn(body, _key(reducer, count, scale, scale * long, unit), {}, sentences)


@read
def moving(reducer: Reducer, torque: float, crank: float, on: Place = 0) -> Drawn:
    """Forces that change with the crank, nothing having a gap.

    The torque at the output [N mm], not 0, turns the discs counter-clockwise where it is positive. `crank` is the angle
    at which the picture stands at first [rad], and `on` the number of the disc whose loaded pins are counted then, from
    0.
    """
    greatest = longest(reducer, torque)
    drawn = standing(sharing.ideal(reducer, torque, [crank]), greatest, on)
    long = LONGEST * drive_parts.unit_of(reducer.drive) / greatest
    return Drawn(drawn.body, drawn.key, {"forces": _tables(reducer, torque, long)}, drawn.sentences)


def _pitches(reducer: Reducer) -> int:
    """Pin pitches of the crank after which output rollers stand to pins as before, but for their numbers."""
    lobes = reducer.drive.lobes
    return lobes // math.gcd(lobes, reducer.output_rollers)


def _period(reducer: Reducer) -> Floats:
    """Even crank angles over those pitches [rad]."""
    pitches = _pitches(reducer)
    steps = pitches * max(2, min(PER_PITCH, MOST // pitches))
    return 2 * np.pi / reducer.drive.pins * pitches * np.arange(steps) / steps


def _tables(reducer: Reducer, torque: float, long: float) -> dict[str, Any]:
    """What the page looks forces up in: lengths in mm, angles in degrees."""
    drive, mean = reducer.drive, abs(torque) / reducer.discs
    turn = sharing.ideal(reducer, torque, 2 * np.pi / STEPS * np.arange(STEPS))
    first = 2 * np.pi * reducer.hole_phase / drive.lobes  # roller 0, seen from the ring at crank 0
    # crank angles at which roller 0 is at even steps ahead of the crank of disc 0
    ahead = 2 * np.pi / STEPS * np.arange(STEPS)
    rollers = sharing.ideal(reducer, torque, (first - ahead) * drive.lobes / drive.pins)
    whole = sharing.ideal(reducer, torque, _period(reducer))
    out = motion.disc_poses(drive, whole.crank, reducer.discs).centre / drive.eccentricity
    radial = (whole.bearing_force * out).sum(axis=-1)
    across = whole.bearing_force[..., 1] * out[..., 0] - whole.bearing_force[..., 0] * out[..., 1]
    inwards = -turn.pin_direction[:, 0, 0]
    return {
        "unit": round(drive_parts.unit_of(drive), 4),
        "circle": [drive.pin_circle_radius, drive.roller_radius],
        "pin": _digits(long * mean * turn.pin_force[:, 0, 0] / abs(turn.disc_torque[:, 0])),
        "normal": _digits(np.degrees(np.arctan2(inwards[:, 1], inwards[:, 0]))),
        "output": _digits(long * mean * rollers.output_force[:, 0, 0] / abs(rollers.disc_torque[:, 0])),
        "rollers": [reducer.output_rollers, round(math.degrees(first), 6), drive.pins / drive.lobes],
        "period": 360 / drive.pins * _pitches(reducer),
        "share": [_digits(each / mean) for each in np.abs(whole.disc_torque).T],
        "bearing": [[_digits(long * r), _digits(long * a)] for r, a in zip(radial.T, across.T, strict=True)],
        "loaded": LOADED,
    }


def _digits(values: Floats) -> list[float]:
    """Rounded for the page; what is hardly above nothing stays above it."""
    return [float(f"{value:.{DIGITS}g}") + 0.0 if abs(value) > 1e-9 else 0.0 for value in values.tolist()]


def _arrows(shared: sharing.Sharing, disc: int, long: float, unit: float) -> str:
    """All forces on a disc; those of rollers and bearing are carried along by the parts that they are in."""
    reducer, angle = shared.reducer, float(shared.crank[0])
    drive, ahead = reducer.drive, math.degrees(motion.phases(reducer.discs)[disc])
    pins = "".join(
        f'<path data-force="pin {k}" transform="translate({svg.pair(*point)}) rotate({_degrees(way)})" '
        f'd="{arrow(long * float(force), unit)}"/>'
        for k, (force, point, way) in enumerate(
            zip(shared.pin_force[0, disc], shared.pin_point[0, disc], shared.pin_direction[0, disc], strict=True)
        )
    )
    rollers, count = "", reducer.output_rollers
    carried = Move(reducer.output_circle_radius, -1 / drive.lobes, 1)
    for j, force in enumerate(shared.output_force[0, disc]):
        at = 360 * (reducer.hole_phase / drive.lobes + j / count)
        where = f"rotate({svg.number(at - ahead - 180, 6)})translate({svg.number(reducer.output_roller_radius)})"
        shape = f'<path data-force="output {j}" d="{arrow(long * float(force), unit)}" transform="{where}"/>'
        moved = part("force", carried, shape, angle)
        rollers += svg.turned(moved, at, 6)
    bearing = shared.bearing_force[0, disc]
    way = math.degrees(math.atan2(bearing[1], bearing[0]) - angle) - ahead
    shape = f'<path data-force="bearing" transform="rotate({svg.number(-way, 4)})" '
    shape += f'd="{arrow(long * float(np.hypot(*bearing)), unit)}"/>'
    at_centre = part("force", Move(drive.eccentricity, 1, 1), shape, angle)
    return pins + rollers + svg.turned(at_centre, ahead, 6)


@read
def arrow(length: float, unit: float) -> str:
    """An arrow from (0, 0) along +x as a path's data; `forces.js` has the same."""
    head = min(2.0 * unit, length)
    wide = 0.6 * head
    end = f"m{svg.number(-head)} {svg.number(-wide)}l{svg.number(head)} {svg.number(wide)}"
    return f"M0 0h{svg.number(length)}{end}l{svg.number(-head)} {svg.number(wide)}"


def _key(reducer: Reducer, count: int, scale: float, length: float, unit: float) -> str:
    """The arrow to measure by with its value, and how many pins are loaded, in the corners below."""
    style = f'fill="none" {stroke(palette.FORCE.light, 0.9 * unit)}'
    at = f'transform="translate({svg.number(-48 * unit)} {svg.number(47.5 * unit)})"'
    measure = f'<path data-force="scale" data-newton="{scale:g}" {at} d="{arrow(length, unit)}" {style}/>'
    told = LOADED.format(count=count, pins=reducer.drive.pins)
    words = _words(f"{scale:g} N", -48, 43.6, "start", unit) + _words(told, 49, 47.5, "end", unit, "data-loaded")
    return f'<g data-forces-key="">{measure}{words}</g>'


def _words(words: str, x: float, y: float, anchor: str, unit: float, name: str = "data-scale") -> str:
    style = f'font-family="sans-serif" font-size="{svg.number(3.6 * unit)}" fill="{palette.WORDS.light}"'
    place = f'x="{svg.number(x * unit)}" y="{svg.number(y * unit)}" text-anchor="{anchor}" dominant-baseline="central"'
    rim = f'paint-order="stroke" {stroke(palette.PAGE.light, 1.2 * unit)} stroke-linejoin="round"'
    return f'<text {name}="" {place} {style} {rim}>{words}</text>'


def _degrees(way: Floats) -> str:
    return svg.number(-math.degrees(math.atan2(way[1], way[0])), 4)


def _round_below(value: float) -> float:
    """The largest of 1, 2, 5, 10, ... that is not above a value."""
    power = 10.0 ** math.floor(math.log10(value))
    return float(f"{next(each * power for each in (5, 2, 1) if each * power <= value * (1 + 1e-9)):g}")
