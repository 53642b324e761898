"""From a fresh clone to a running lesson, or to every test, with nothing but Python there.

Only the standard library may be used here: nothing is installed yet when this runs. The three
steps are those that the README also gives to type by hand.
"""

import os
import shutil
import subprocess
import venv
from pathlib import Path

from cyclokit.course.reader.folder import run_to_its_end

ROOT = Path(__file__).resolve().parents[1]
PYTHON = ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def start() -> int:
    """Set up the clone's own environment for the lessons, then open lesson 0."""
    return _run(["-m", "pip", "install", "--quiet", "--editable", f"{ROOT}[lab]"], "open")


def test() -> int:
    """Set up the clone's own environment for the tests, then run them all."""
    return _run(["-m", "pip", "install", "--quiet", "--editable", f"{ROOT}[test]"], None)


def _run(install: list[str], command: str | None) -> int:
    if not (ROOT / "pyproject.toml").is_file():
        print("This command works in a clone of cyclokit; here the lessons open with:  cyclokit open")
        return 2
    print("Setting up .venv and what the lessons need (a few minutes the first time) ...", flush=True)
    if not PYTHON.is_file():
        try:
            venv.create(ROOT / ".venv", with_pip=True)
        except (subprocess.CalledProcessError, OSError):
            shutil.rmtree(ROOT / ".venv", ignore_errors=True)  # half made: the next try begins anew
            print("Python can't make an environment here: install its venv package (on Debian: python3-venv).")
            return 2
    steps = [install, ["-m", "cyclokit", command] if command else ["-m", "pytest"]]
    for step in steps:
        code = run_to_its_end([str(PYTHON), *step], cwd=ROOT)
        if code:
            return code
    return 0
