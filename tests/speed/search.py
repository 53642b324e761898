"""How fast the lattice is searched, and in how much memory: `python tests/speed/search.py`.

Elapsed time counts on a machine that does nothing else; the processor's own time is printed beside it.
"""

import dataclasses
import resource
import time

from cyclokit.design.brief import Brief
from cyclokit.design.search import search

MANY = Brief(19, 110, ("623", 6.0, 8.0))  # 45 choices of parts
ONE = dataclasses.replace(MANY, roller_diameters=("623",), eccentric_bearings=("61804",), least_share=0.1)
RATIOS = range(2, 101)


def measured(brief, goal="smallest"):
    """Elapsed time and processor's time [s], and what was found."""
    began = time.perf_counter(), time.process_time()
    found = search(brief, goal)
    return time.perf_counter() - began[0], time.process_time() - began[1], found


def main():
    """Print times and memory with their targets."""
    strong = dataclasses.replace(MANY, torque=500.0)
    for goal, brief in (
        ("smallest", MANY),
        ("thickest walls", MANY),
        ("lightest pin force", MANY),
        ("most torque", MANY),
        ("smallest", strong),
    ):
        times = [measured(dataclasses.replace(brief, ratio=ratio), goal) for ratio in RATIOS]
        goal += f" with {brief.torque:g} N mm" if brief.torque else ""
        for name, target, some in (
            ("with designs", 1.0, [row for row in times if row[2].designs]),
            ("eased", 3.0, [row for row in times if not row[2].designs]),
        ):
            elapsed, busy, found = max(some, key=lambda row: row[1])
            print(
                f"{goal}, {len(some)} ratios {name}: at most {elapsed:.2f} s elapsed, {busy:.2f} s processor at ratio "
                f"{found.brief.ratio}, {found.candidates / 1e6:.1f} million candidates (target: at most {target})"
            )
    for torque, goal, other in (
        (1000.0, "smallest", "smallest"),
        (1000.0, "thickest walls", "thickest walls"),
        (0.0, "most torque", "lightest pin force"),
    ):
        asked = dataclasses.replace(MANY, torque=torque)
        weighed, plain = (
            min(busy_time(measured(brief, name)) for _ in range(3)) for brief, name in ((asked, goal), (MANY, other))
        )
        print(
            f"{goal} with {torque:g} N mm takes {weighed:.2f} s, {weighed / plain:.2f} times as long as {other} "
            "without (target: at most 2)"
        )
    small, large = (
        min(
            (measured(dataclasses.replace(ONE, greatest_outer_diameter=size, ratio=9)) for _ in range(5)), key=busy_time
        )
        for size in (140, 280)
    )
    times, points = large[1] / small[1], large[2].candidates / small[2].candidates
    print(f"{points:.1f} times as many candidates take {times:.1f} times as long (target: not more than that)")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2  # Linux counts in KiB
    print(f"memory at most {peak:.2f} GiB (target: below 0.5 GB)")


def busy_time(row):
    """The processor's time of what was measured."""
    return row[1]


if __name__ == "__main__":
    main()
