"""How fast as-made sharing is, against a root finder, and how it grows: `python tests/speed/sharing.py`.

The processor's own time counts, so that what else the machine does matters less; the least of several runs.
"""

import resource
import time

import numpy as np
from scipy.optimize import brentq

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing

STORY = Reducer(Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4))
TORQUE = 2000.0
STIFFNESS = {"pin_stiffness": 2200.0, "output_stiffness": 3700.0}
RUNS = 7


def busy(call, runs=RUNS):
    """Least processor's time of some runs [s]."""
    times = []
    for _ in range(runs):
        began = time.process_time()
        call()
        times.append(time.process_time() - began)
    return min(times)


def gaps_of(reducer, cranks):
    """Gaps of its own for each pin and roller [mm], the same in each run."""
    rng = np.random.default_rng(1)
    shapes = [(cranks, reducer.discs, count) for count in (reducer.drive.pins, reducer.output_rollers)]
    return [rng.uniform(0, 0.05, shape) for shape in shapes]


def as_made(reducer, crank, gaps):
    """The library's way."""
    return sharing.as_made(reducer, TORQUE, crank, *gaps, **STIFFNESS)


def by_root_finder(reducer, crank, gaps):
    """Turn of the output at each angle: one root for it, and in it one for how far each disc turns [rad]."""
    arms = [of(reducer, crank) for of in (sharing.pin_arms, sharing.output_arms)]
    stiff = list(STIFFNESS.values())

    def torque_of(kind, at, disc, turn):
        arm, gap = arms[kind][at, disc], gaps[kind][at, disc]
        return float((stiff[kind] * arm * np.maximum(arm * turn - gap, 0.0)).sum())

    def carried(at, disc, turn):
        def balance(part):
            return torque_of(0, at, disc, part) - torque_of(1, at, disc, turn - part)

        return torque_of(0, at, disc, brentq(balance, 0.0, turn, xtol=1e-14))

    def balance(turn, at):
        return sum(carried(at, disc, turn) for disc in range(reducer.discs)) - TORQUE

    return np.array([brentq(balance, 0.0, 0.1, args=(at,), xtol=1e-13) for at in range(len(crank))])


def wide(pins):
    """A reducer with so many pins."""
    return Reducer(Drive(pins=pins, pin_circle_radius=3.0 * pins, roller_radius=2.0, eccentricity=1.4))


def main():
    """Print times with their targets."""
    crank = np.linspace(0, 2 * np.pi, 360, endpoint=False)
    gaps = gaps_of(STORY, 360)
    ours = busy(lambda: as_made(STORY, crank, gaps))
    theirs = busy(lambda: by_root_finder(STORY, crank, gaps), runs=1)
    apart = np.abs(by_root_finder(STORY, crank, gaps) / as_made(STORY, crank, gaps).output_turn - 1).max()
    print(f"360 crank angles, 20 pins, two discs, gaps of their own: {1e3 * ours:.2f} ms (target: at most 5)")
    print(f"a root finder angle by angle: {theirs / ours:.0f} times as long (target: 20), apart by {apart:.1e}")
    for name, small, large, factor in (
        ("pins", (wide(50), 2000), (wide(200), 2000), 4),
        ("crank angles", (STORY, 10_000), (STORY, 100_000), 10),
    ):
        times = []
        for reducer, cranks in (small, large):
            angles, some = np.linspace(0, 2 * np.pi, cranks), gaps_of(reducer, cranks)
            times.append(busy(lambda reducer=reducer, angles=angles, some=some: as_made(reducer, angles, some), 3))
        print(
            f"{factor} times as many {name}, {small[1]} to {large[1]} angles, {small[0].drive.pins} to "
            f"{large[0].drive.pins} pins: {times[1] / times[0]:.1f} times as long, {times[1]:.2f} s (target: {factor})"
        )
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2  # Linux counts in KiB
    print(f"memory at most {peak:.2f} GiB")


if __name__ == "__main__":
    main()
