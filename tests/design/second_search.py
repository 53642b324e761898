"""A second search of the same lattice, which shares no code with the first: plane geometry written down again.

The least convex radius is found on the centre path itself, Rp exp(it) - e exp(iNt), by its curvature at many places
and closer ones round the least; the greatest eccentricity by halving; the output circle by trying all of them.
"""

import numpy as np

HALVINGS = 50  # of the greatest eccentricity, to 1e-15 of it
ZOOMS = 4  # of the place of the least radius; each is 15 times closer


def least_convex_radius(pins, circle, offset):
    """Least radius of curvature of the centre path where it bulges outwards, for arrays of one shape [mm]."""
    middle, width = np.full(circle.shape, np.pi / 2), np.pi / 2
    for zoom in range(ZOOMS + 1):
        turn = middle[..., None] + np.linspace(-width, width, 181 if zoom == 0 else 61)
        turn = np.clip(turn, 0, np.pi) / (pins - 1)  # from a root to the tip beside it, and the rest is alike
        first = 1j * circle[..., None] * np.exp(1j * turn) - 1j * pins * offset[..., None] * np.exp(1j * pins * turn)
        second = -circle[..., None] * np.exp(1j * turn) + pins**2 * offset[..., None] * np.exp(1j * pins * turn)
        bend = (np.conj(first) * second).imag / np.abs(first) ** 3
        tightest = bend.argmax(axis=-1)[..., None]
        middle = np.take_along_axis(turn, tightest, axis=-1)[..., 0] * (pins - 1)
        width = width * (2 / 180 if zoom == 0 else 2 / 30)
    return 1 / bend.max(axis=-1)


def greatest_eccentricity(pins, circle, roller):
    """The eccentricity at which the roller is as wide as the least radius, or the path gets cusps [mm]."""
    low, high = np.zeros(circle.shape), circle / pins
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        sound = least_convex_radius(pins, circle, middle) > roller
        low, high = np.where(sound, middle, low), np.where(sound, high, middle)
    return low


def meeting(asked, ring, output, bearing):
    """All candidates with these parts that do: rows of pin circle, eccentricity and the thickest of the least walls.

    `asked` has what a brief has by plain names, and the least gap between rollers, which solid pins needn't keep;
    ring and output are (radius, rod's radius), a bearing (bore, outer).
    """
    pins, (roller, rod), (out, out_rod) = asked["ratio"] + 1, ring, output
    bore, outside = bearing[0] / 2, bearing[1] / 2
    circles = np.arange(1, int(asked["outer"] * 5) + 1) / 10
    circles = circles[2 * circles * np.sin(np.pi / pins) - 2 * roller >= asked["least gap"] - 1e-9]
    circles = circles[2 * circles * np.sin(np.pi / pins) - 2 * rod >= asked["wall"] - 1e-9]
    rows = []
    for circle, most in zip(circles, greatest_eccentricity(pins, circles, roller), strict=True):
        offset = np.arange(1, int(100 * circle / pins) + 1) / 100
        offset = offset[(offset >= asked["shares"][0] * most - 1e-9) & (offset <= asked["shares"][1] * most + 1e-9)]
        offset = offset[bore - asked["shaft"] - offset >= asked["wall"] - 1e-9]
        across = 2 * (np.maximum(circle + roller, circle + 2 * offset - roller) + asked["wall"] + asked["gap"])
        offset = offset[(across <= asked["outer"] + 1e-9) & (2 * offset >= asked["resolution"] - 1e-9)]
        if not offset.size:
            continue
        edge = least_convex_radius(pins, np.full(offset.shape, circle), offset) - roller - asked["outline clearance"]
        offset = offset[edge >= asked["resolution"] - 1e-9][:, None]
        away = np.arange(1, int(10 * circle)) / 10
        hole, chord = out + offset + asked["hole clearance"], 2 * away * np.sin(np.pi / asked["output rollers"])
        left = [
            chord - 2 * hole,
            circle - offset - roller - asked["outline clearance"] - away - hole,
            away - hole - outside,
            chord - 2 * out_rod,
            away - out_rod - asked["crank bearing"],
            (circle - rod - away - out_rod - asked["gap"]) / 2,
        ]
        wall = np.min(np.broadcast_arrays(*left), axis=0)
        wall[:, away - out <= asked["crank bearing"] + 1e-9] = -1  # rollers beside the crank's bearing: physical
        wall = np.minimum(wall.max(axis=1, initial=-1), bore - asked["shaft"] - offset[:, 0])
        wall = np.minimum(wall, 2 * circle * np.sin(np.pi / pins) - 2 * rod)
        good = wall >= asked["wall"] - 1e-9
        rows += [(circle, *row) for row in zip(offset[good, 0].tolist(), wall[good].tolist(), strict=True)]
    return np.array(rows).reshape(-1, 3)
