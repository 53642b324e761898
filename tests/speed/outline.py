"""How fast the outline is computed, as ratios measured in one run: `python tests/speed/outline.py`."""

import timeit

import numpy as np
import shapely

from cyclokit import Drive
from cyclokit.geometry import outline

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
TOLERANCE = 1e-3  # mm


def best(*works, rounds=15, block=1):
    """Least time of each work [s]; in turns, block by block, so that a busy moment strikes all alike."""
    times = [[min(timeit.repeat(work, number=1, repeat=block)) for work in works] for _ in range(rounds)]
    return np.min(times, axis=0)


def four_trig_arrays(t):
    """What numpy alone takes for the sines and cosines of t and N t."""
    several = STORY.pins * t
    np.cos(t), np.sin(t), np.cos(several), np.sin(several)


def path(samples):
    """The centre path, evenly sampled in its parameter."""
    return outline.centre_path(STORY, np.linspace(0, 2 * np.pi, samples, endpoint=False))


def offset(sampled):
    """Shapely's offset polygon of a sampled centre path, as anyone would call it.

    Other joins and fewer segments a corner make it no quicker and no closer.
    """
    return shapely.Polygon(sampled).buffer(-STORY.roller_radius)


def deviation(polygon):
    """Farthest that polygon and true outline are from one another [mm], looked at over a lobe and more."""
    lobe = np.linspace(-np.pi, np.pi, 4001) / STORY.lobes
    corners = shapely.get_coordinates(polygon.exterior)
    corners = corners[np.abs(np.arctan2(corners[:, 1], corners[:, 0])) < np.pi / STORY.lobes]
    curve = shapely.linestrings(outline.points(STORY, 1.1 * lobe))
    outwards = shapely.distance(shapely.points(outline.points(STORY, lobe)), polygon.exterior)
    return max(outwards.max(), shapely.distance(shapely.points(corners), curve).max())


def fewest_samples():
    """Fewest samples of the path, to one in a hundred, with which the offset keeps the tolerance."""
    low, high = 100, 100_000
    while high - low > low / 100:
        middle = (low + high) // 2
        low, high = (low, middle) if deviation(offset(path(middle))) <= TOLERANCE else (middle, high)
    return high


def main():
    """Print each ratio with its target."""
    t = np.linspace(0, 2 * np.pi, 1_000_000)
    targets = {outline.points: 2.0, outline.normals: 2.0, outline.curvature: 0.7}
    works = [lambda function=function: function(STORY, t) for function in targets]
    numpy_alone, *ours = best(lambda: four_trig_arrays(t), *works)
    for (function, target), time in zip(targets.items(), ours, strict=True):
        print(f"{function.__name__:9} {time / numpy_alone:.2f} times numpy's four arrays (target: at most {target})")

    sampled = path(samples := fewest_samples())
    ours, theirs = best(lambda: outline.polygon(STORY, TOLERANCE), lambda: offset(sampled), block=15)
    print(f"polygon   {theirs / ours:.1f} times as fast as shapely's offset of {samples} samples (target: at least 5)")


if __name__ == "__main__":
    main()
