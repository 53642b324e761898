"""A reducer's drive on paper: board, disc and crank in true size, to cut out and turn by hand.

What a printer's or a mill's allowances are for, scissors don't do: none is in it.
"""

import math

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.making import paper
from cyclokit.making.loops import Circle, Lobes, Loop, Point, corners_of
from cyclokit.making.paper import Drawn
from cyclokit.signatures import read

FINE = 0.01  # mm; finer than a printed line
SCALE = 5.0  # mm from the rollers to the scale round them
TICK = 2.0  # mm, at root 0
STEPS = 12  # numbered positions of the crank
CROSS = 1.5  # mm, half a cross that marks where a pin goes through
BESIDE = 6.0  # mm between disc and crank
BLACK, GREY = "black", "dimgrey"
SAID = (
    "Paste it on card. Cut out disc, bore and crank on a mat, away from your hand; cap the pin, it is sharp",
    "a drawing pin joins the crank's pin hole to the board's middle; lay the disc round the crank, its tick at 0°",
    "turn the crank, and the disc so that it touches the rollers: once round takes it one lobe back",
    "clearance is in it, no allowance for a printer",
)


@read
def paper_drive(reducer: Reducer, notes: tuple[str, ...]) -> bytes:
    """The board with rollers and crank positions, and the first disc and crank to cut out: PDF in true size on A4."""
    return paper.sheets([board(reducer), pieces(reducer)], "paper drive", (*notes, *SAID))


@read
def board(reducer: Reducer) -> Drawn:
    """The board: ring rollers with their middles, the circle of crank centres, output rollers, a scale all round."""
    drive = reducer.drive
    rollers = [_point(place) for place in motion.pins(drive)]
    lines = [_line(Circle(drive.roller_radius, place), BLACK, 0.6) for place in rollers]
    lines += [line for place in rollers for line in _cross(place)]
    lines += [*_cross((0.0, 0.0)), _line(Circle(drive.eccentricity), BLACK, 0.4)]
    turns = 2 * math.pi * np.arange(reducer.output_rollers) / reducer.output_rollers
    for x, y in reducer.output_circle_radius * np.column_stack([np.cos(turns), np.sin(turns)]):
        lines.append(_line(Circle(reducer.output_roller_radius, (float(x), float(y))), GREY, 0.4))
    labels = [(_out(place, drive.roller_radius + 2.0), str(number), 6.0) for number, place in enumerate(rollers)]
    reach = drive.eccentricity + reducer.bore_radius
    for step in range(STEPS):
        ray = np.array([math.cos(2 * math.pi * step / STEPS), math.sin(2 * math.pi * step / STEPS)])
        lines += _cross(_point(drive.eccentricity * ray), 0.25)
        lines.append((np.array([reach * ray, (reach + 2.0) * ray]), BLACK, 0.4))
        labels.append((_point((reach + 4.0) * ray), str(step), 6.0))
    outside = drive.pin_circle_radius + drive.roller_radius + SCALE
    for degree in range(0, 360, 5):
        ray = np.array([math.cos(math.radians(degree)), math.sin(math.radians(degree))])
        long = 3.0 if degree % 30 == 0 else 1.5
        lines.append((np.array([outside * ray, (outside + long) * ray]), BLACK, 0.4))
        if degree % 30 == 0:
            labels.append((_point((outside + 6.0) * ray), f"{degree}°", 6.0))
    return Drawn("paper drive: board", lines, labels)


@read
def pieces(reducer: Reducer) -> Drawn:
    """What is cut out: the disc, its first root marked, and the crank with its pin hole and pointer."""
    edge = reducer.disc_drive
    first = reducer.hole_phase * 2 * math.pi / edge.lobes
    turns = first + 2 * math.pi * np.arange(reducer.output_rollers) / reducer.output_rollers
    holes = reducer.output_circle_radius * np.column_stack([np.cos(turns), np.sin(turns)])
    loops: list[Loop] = [Lobes(edge), Circle(reducer.bore_radius)]
    loops += [Circle(reducer.hole_radius, (float(x), float(y))) for x, y in holes]
    lines = [_line(loop, BLACK, 0.6) for loop in loops]
    root = edge.pin_circle_radius - edge.eccentricity - edge.roller_radius
    lines.append((np.array([[root - TICK, 0.0], [root, 0.0]]), BLACK, 0.8))
    down = edge.pin_circle_radius + edge.eccentricity - edge.roller_radius + BESIDE + reducer.bore_radius
    middle = (0.0, -down)
    lines.append(_line(Circle(reducer.bore_radius - reducer.outline_clearance, middle), BLACK, 0.6))
    pin = (-edge.eccentricity, -down)
    lines += _cross(pin)
    tip = reducer.bore_radius - 1.0
    lines.append((np.array([[edge.eccentricity + 1.0, -down], [tip, -down]]), BLACK, 0.8))
    lines.append((np.array([[tip - 2.0, 1.0 - down], [tip, -down], [tip - 2.0, -1.0 - down]]), BLACK, 0.8))
    labels = [((0.0, -down + 0.6 * reducer.bore_radius), "crank", 6.0)]
    return Drawn(f"paper drive: disc with {edge.lobes} lobes, and crank", lines, labels)


def _line(loop: Loop, colour: str, width: float) -> tuple[Floats, str, float]:
    return (corners_of(loop, FINE), colour, width)


def _cross(place: Point, half: float = CROSS) -> list[tuple[Floats, str, float]]:
    x, y = place
    return [
        (np.array([[x - half, y], [x + half, y]]), BLACK, 0.3),
        (np.array([[x, y - half], [x, y + half]]), BLACK, 0.3),
    ]


def _point(place: Floats) -> Point:
    return float(place[0]), float(place[1])


def _out(place: Point, by: float) -> Point:
    """A place moved away from the middle."""
    far = math.hypot(*place)
    return (place[0] * (far + by) / far, place[1] * (far + by) / far)
