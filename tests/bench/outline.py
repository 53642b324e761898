"""How fast the outline is computed, as ratios measured in one run: `python tests/bench/outline.py`."""

import timeit

import numpy as np
import shapely

from cyclokit import Drive
from cyclokit.geometry import outline

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
TOLERANCE = 1e-3  # mm


def best(work, repeats=15):
    """Least time of several runs [s]."""
    return min(timeit.repeat(work, number=1, repeat=repeats))


def four_trig_arrays(t):
    """What numpy alone takes for the sines and cosines of t and N t."""
    several = STORY.pins * t
    np.cos(t), np.sin(t), np.cos(several), np.sin(several)


def offset(samples):
    """Shapely's offset of the centre path, sampled path to polygon."""
    path = outline.centre_path(STORY, np.linspace(0, 2 * np.pi, samples, endpoint=False))
    return lambda: shapely.Polygon(path).buffer(-STORY.roller_radius, quad_segs=16)


def deviation(ring):
    """Farthest distance of the true outline from a ring, over one lobe [mm]."""
    lobe = outline.points(STORY, np.linspace(0, 2 * np.pi / STORY.lobes, 2000))
    return shapely.distance(shapely.points(lobe), ring).max()


def main():
    t = np.linspace(0, 2 * np.pi, 1_000_000)
    numpy_time = best(lambda: four_trig_arrays(t))
    for function, target in ((outline.points, 2.0), (outline.normals, 2.0), (outline.curvature, 0.7)):
        ratio = best(lambda function=function: function(STORY, t)) / numpy_time
        print(f"{function.__name__:10} {ratio:5.2f} times numpy's four arrays (at most {target})")

    samples = 1000
    while deviation(offset(samples)().exterior) > TOLERANCE:
        samples += 200
    ours, theirs = best(lambda: outline.polygon(STORY, TOLERANCE), 50), best(offset(samples))
    print(f"polygon at 1 um: {theirs / ours:.1f} times as fast as shapely's offset of {samples} samples (at least 5)")


if __name__ == "__main__":
    main()
