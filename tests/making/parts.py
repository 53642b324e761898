"""Parts that the tests of this room make files of, and a disc's true edge to hold them against."""

import math

import numpy as np
import shapely

from cyclokit import Drive
from cyclokit.geometry import outline
from cyclokit.machine.reducer import Reducer
from cyclokit.making import loops, shapes

STORY = Drive(20, 42.0, 5.0, 1.4)
KINDS = {
    "story": {},
    "one disc": {"discs": 1},
    "sleeves": {"pin_made": "sleeve on rod"},
    "solid pins": {"pin_made": "solid", "output_roller_radius": 3.0},
    "thick discs": {"disc_thickness": 8.0},
    "M4": {"screw": "M4", "screws": 6},
}
FEW = {"pin_made": "solid", "output_rollers": 3}  # parts: what holds each one is found fast
SMALL = Drive(10, 42.0, 5.0, 1.6)
OTHERS = {
    "three discs": Reducer(SMALL, discs=3, **FEW),
    "thick journals": Reducer(SMALL, crank_bearing="61800", spacer_radius=5.5, **FEW),
    "inserts": Reducer(SMALL, screws_into="inserts", **FEW),
    "rods held at one end": Reducer(SMALL, output_plates=1, output_rod_radius=1.5, **FEW),
}
HOLES = tuple(loops.Circle(6.5, (24 * math.cos(k * math.pi / 3), 24 * math.sin(k * math.pi / 3))) for k in range(6))
EDGE = loops.Lobes(STORY, (1.4, -0.5), 0.3)
MARK = loops.Circle(0.5, (14.0, 0.0))
DISC = shapes.Part("disc", (shapes.Slab(EDGE, (loops.Circle(10.5), *HOLES), 0.0, 5.0, (MARK,)),), "PETG")
SQUARE = loops.rounded_rectangle(40.0, 30.0, 4.0, (1.0, 2.0))
STEPPED = shapes.Part(
    "stepped",
    (
        shapes.Slab(SQUARE, (loops.Circle(11.0),), 0.0, 2.3),
        shapes.Slab(SQUARE, (loops.circle_with_flat(8.0, 7.0, 0.4), loops.hexagon(5.5, (14.0, 8.0))), 2.3, 6.0),
    ),
    "PLA",
)
NOTES = ("outline moved in by 0.1 mm", "<b>ü 100 %%d \\ ' \" $x$ ; =1+1\x1b[2J</b>")  # the second is hostile


def true_edge(loop=EDGE, tolerance=1e-5):
    """A disc's outline where the loop stands, as Shapely's chords, within ten nanometres."""
    turn = np.exp(1j * loop.turn)
    around = (outline.polygon(loop.drive, tolerance) @ [1, 1j]) * turn + complex(*loop.centre)
    return chords_of(np.column_stack([around.real, around.imag]))


def chords_of(corners):
    """Lines from each point to the next, to measure distances from."""
    return shapely.STRtree(shapely.linestrings(np.stack([corners[:-1], corners[1:]], axis=1)))


def farthest(points, chords):
    """Farthest distance of points from chords [mm]."""
    _, distance = chords.query_nearest(shapely.points(points), return_distance=True)
    return float(distance.max())
