"""100 000 random drives judged twice: `python tests/bench/limits.py` from the clone's top level."""

import sys
from multiprocessing import Pool
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))  # the tests are no installed package

from tests.geometry.test_limits import compare_with_the_judge

CHUNKS, CHUNK = 100, 1000


def one(seed):
    """Compare one chunk of random drives."""
    return compare_with_the_judge(CHUNK, seed)


def main():
    with Pool() as pool:
        results = pool.map(one, range(100, 100 + CHUNKS))
    for name in results[0][0]:
        below, above = (sum(sides[name][side] for sides, _ in results) for side in (0, 1))
        print(f"{name:14} {below:6} below the bound, {above:6} at or above")
    wrong = [row for _, rows in results for row in rows]
    print(f"{CHUNKS * CHUNK} drives, {len(wrong)} disagreements outside 0.1 % of a bound")
    for row in wrong[:20]:
        print("   ", row)


if __name__ == "__main__":
    main()
