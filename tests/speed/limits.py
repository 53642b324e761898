"""100 000 random number sets, judged by the limits and by looking: `python tests/speed/limits.py`.

The judge of tests/geometry/judge.py looks at a finely sampled outline and knows no limit. A few minutes.
"""

import sys
from multiprocessing import Pool
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))  # the tests are no installed package

from tests.geometry.test_limits import BAND, BOUNDS, compare_with_the_judge

CHUNKS, CHUNK = 200, 500


def main():
    """Print the counts on each side of each limit, and every disagreement."""
    with Pool() as pool:
        results = pool.starmap(compare_with_the_judge, [(CHUNK, 100 + k) for k in range(CHUNKS)], chunksize=1)
    for name in BOUNDS:
        inside, beyond, alone = (sum(sides[name][side] for sides, _ in results) for side in range(3))
        print(f"{name:14} {inside:6} inside, {beyond:6} beyond, {alone:6} beyond this limit alone (at least 1000 each)")
    wrong = [row for _, rows in results for row in rows]
    print(f"{CHUNKS * CHUNK} number sets, {len(wrong)} disagreements outside {BAND:.1%} of a bound (none allowed)")
    for row in wrong:
        print("   ", row)


if __name__ == "__main__":
    main()
