"""How fast files are made, and 200 random sound reducers read back: `python tests/speed/files.py`."""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.making import files, solids
from tests.making.test_read_back import FLAT, MESHES, check, random_reducers

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
ONE = (
    "import time; from cyclokit import Drive; from cyclokit.machine.reducer import Reducer\n"
    "from cyclokit.making import files, solids; import ezdxf, scipy.interpolate\n"
    "reducer = Reducer(Drive(20, 42.0, 5.0, 1.4)); start = time.perf_counter()\n"
    "files.WRITERS['dxf'](solids.disc(reducer, 0, 'disc'), ()); print(time.perf_counter() - start)"
)


def main():
    """Print each time with its target, then what reading back found."""
    with tempfile.TemporaryDirectory() as folder:
        start = time.perf_counter()
        made = files.write(
            Reducer(STORY), Path(folder) / "out", tuple(kind for kind in files.WRITERS if kind != "step")
        )
        print(f"story, {len(made)} files without STEP: {time.perf_counter() - start:.2f} s (target: at most 5)")
    times = [float(subprocess.check_output([sys.executable, "-c", ONE])) for _ in range(5)]
    print(f"disc's DXF above its imports, in a fresh process: {1000 * min(times):.0f} ms (target: at most 50)")
    start, parts = time.perf_counter(), 0
    for reducer in random_reducers(200):
        for part in solids.made(reducer):
            if part.name.startswith("disc"):
                parts += 1
                for kind in (*FLAT, *MESHES):
                    check(kind, files.WRITERS[kind](part, ()), part)
    print(f"200 reducers, {parts} discs in 5 formats read back without fault in {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
