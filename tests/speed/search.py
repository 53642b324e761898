"""How fast candidates are judged, and in how much memory: `python tests/speed/search.py`.

Elapsed time counts on a machine that does nothing else; the processor's own time is printed beside it.
"""

import resource
import time

from cyclokit.design.brief import Brief
from cyclokit.design.search import search

ONE = Brief(19, 110.0, ("623",), eccentric_bearings=("61801",))
MANY = Brief(19, 110.0, ("623", 3.0, 4.0))  # 45 choices of parts
CASES = {
    "one choice of parts": ONE,
    "45 choices of parts": MANY,
    "an empty answer, with what to ease": Brief(19, 60.0, ("623",)),
    "an empty answer that nothing helps": Brief(40, 60.0, ("623", 4.5), least_wall=8.0, resolution=30.0),
}
MILLION = 1_000_000


def least(brief, candidates, rounds=5):
    """Least elapsed time and processor's time [s] for a million candidates."""
    times = []
    for _ in range(rounds):
        began = time.perf_counter(), time.process_time()
        judged = search(brief, candidates=candidates).candidates
        ended = time.perf_counter(), time.process_time()
        times.append([(end - begin) * MILLION / judged for begin, end in zip(began, ended, strict=True)])
    return [min(column) for column in zip(*times, strict=True)]


def main():
    """Print times and memory with their targets."""
    for name, brief in CASES.items():
        elapsed, busy = least(brief, MILLION)
        print(f"{name:35} {elapsed:.2f} s elapsed, {busy:.2f} s processor, a million candidates (target: at most 1.5)")
    few, many = least(ONE, MILLION)[1], least(ONE, 10 * MILLION, rounds=2)[1]
    print(f"ten times as many take {many / few:.2f} times as long each (target: at most 1.2)")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2  # Linux counts in KiB
    print(f"memory at most {peak:.2f} GiB, ten millions included (target: below 1 GB)")


if __name__ == "__main__":
    main()
