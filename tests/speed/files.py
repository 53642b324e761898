"""How fast files are made, and 200 random sound reducers read back: `python tests/speed/files.py`."""

import importlib.util
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.making import files
from tests.making.test_read_back import check, random_discs

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
ONE = (  # the first disc that a process makes, its notes too
    "import time; from cyclokit import Drive; from cyclokit.machine.reducer import Reducer\n"
    "from cyclokit.making import files, solids; import ezdxf, scipy.interpolate\n"
    "reducer = Reducer(Drive(20, 42.0, 5.0, 1.4)); start = time.process_time()\n"
    "part = solids.disc(reducer, 0, 'disc'); files.WRITERS['dxf'](part, solids.notes(reducer, part))\n"
    "print(time.process_time() - start)"
)


def main():
    """Print each time with its target, then what reading back found."""
    with tempfile.TemporaryDirectory() as folder:
        start = time.process_time()
        made = files.write(
            Reducer(STORY), Path(folder) / "out", tuple(kind for kind in files.WRITERS if kind != "step")
        )
        print(f"story, {len(made)} files without STEP: {time.process_time() - start:.2f} s of one core (at most 5)")
    times = [float(subprocess.check_output([sys.executable, "-c", ONE])) for _ in range(5)]
    print(f"disc and its DXF above their imports, in a fresh process: {1000 * min(times):.0f} ms (at most 50)")
    kinds = [kind for kind in files.WRITERS if kind != "step" or importlib.util.find_spec("build123d")]
    start = time.process_time()
    for number, part in enumerate(random_discs(200), 1):
        for kind in kinds:
            check(kind, files.WRITERS[kind](part, ()), part)
        if number % 20 == 0:
            spent = time.process_time() - start
            print(
                f"{number} random sound discs in {', '.join(kinds)} read back without fault, {spent:.0f} s", flush=True
            )


if __name__ == "__main__":
    main()
