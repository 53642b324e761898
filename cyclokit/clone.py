"""From a fresh clone to a running lesson, or to every test, with nothing but Python there.

Only the standard library may be used here: nothing is installed yet when this runs. The three
steps are those that the README also gives to type by hand. What was installed to its end is noted in `.venv`,
so that the next start asks no network and an interrupted one is mended.
"""

import hashlib
import os
import platform
import shutil
import subprocess
import sys
import venv
from pathlib import Path

from cyclokit.course.reader.lab import run_to_its_end
from cyclokit.course.reader.typed import typed
from cyclokit.files import write_whole
from cyclokit.texts import plain

ROOT = Path(__file__).resolve().parents[1]
PYTHON = ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
HOLDS = {"lab": ("lab",), "test": ("lab", "test")}  # the tests need all that the lessons need

SENTENCES = {
    "no clone": "This command works in a clone of cyclokit; here the lessons open with:  {command}",
    "setting up": "Setting up .venv and what is needed (a few minutes the first time) ...",
    "no venv": "Python can't make an environment here: install its venv package (on Debian: python3-venv).",
    "no place": "'{place}' can't be made or changed ({reason}): put the clone into a folder that you may write to, "
    "with no file of that name in it.",
    "stopped": "Stopped before all was there. The same command begins again.",
    "failed": "Not everything could be installed; the lines above say why. It needs a network; the same command, "
    "typed again, goes on.",
}


def start() -> int:
    """Set up the clone's own environment for the lessons, then open lesson 0."""
    return _set_up("lab") or run_to_its_end([str(PYTHON), "-m", "cyclokit", "open"], cwd=ROOT)


def test() -> int:
    """Set up the clone's own environment for the tests, then run them all."""
    return _set_up("test") or run_to_its_end([str(PYTHON), "-m", "pytest"], cwd=ROOT)


def elsewhere() -> bool:
    """Whether this Python isn't the one of the clone's environment, though there is one."""
    return _is_clone() and PYTHON.is_file() and Path(sys.prefix).resolve() != PYTHON.parents[1].resolve()


def there(arguments: list[str]) -> int:
    """Run a command of ours in the clone's environment; return its exit code."""
    return run_to_its_end([str(PYTHON), "-m", "cyclokit", *arguments])


def constraints(folder: str | Path) -> list[str]:
    """What makes pip take the versions that the tests were last seen to pass with, on the Pythons they are for.

    Parameters
    ----------
    folder : str or Path
        The clone.

    Returns
    -------
    list of str
        Options for pip; none on another Python.
    """
    file = Path(folder) / ".ci" / "constraints.txt"
    made_for = f"# Python {sys.version_info[0]}.{sys.version_info[1]}, {platform.system()}"
    known = file.is_file() and file.read_text(encoding="utf-8").startswith(made_for)
    return ["--constraint", str(file)] if known else []


def _is_clone() -> bool:
    return (ROOT / "pyproject.toml").is_file()


def _set_up(extra: str) -> int:
    """Install what is missing; 0 if all is there afterwards."""
    if not _is_clone():
        return _told("no clone", 2)
    note, wanted = ROOT / ".venv" / f"installed-{extra}", _fingerprint()
    if PYTHON.is_file() and note.is_file() and note.read_text(encoding="utf-8") == wanted:
        return 0
    _told("setting up", 0)
    if not _has_pip() and (code := _made_environment()):
        return code
    pinned = constraints(ROOT) if extra == "test" else []
    install = ["-m", "pip", "install", "--quiet", *pinned, "--editable", f"{ROOT}[{extra}]"]
    if code := run_to_its_end([str(PYTHON), *install], cwd=ROOT):
        return _told("failed", code)
    for name in HOLDS[extra]:
        write_whole(ROOT / ".venv" / f"installed-{name}", wanted.encode())
    return 0


def _fingerprint() -> str:
    """What the installation follows from: the list of what is needed, and the place that it points to."""
    return hashlib.sha256((ROOT / "pyproject.toml").read_bytes() + os.fsencode(ROOT)).hexdigest()


def _has_pip() -> bool:
    if not PYTHON.is_file():
        return False
    return not subprocess.run([str(PYTHON), "-m", "pip", "--version"], capture_output=True, check=False).returncode


def _made_environment() -> int:
    """Make the environment anew; 0 if that went well, and else nothing half made is left."""
    try:
        venv.create(ROOT / ".venv", with_pip=True, clear=True)
        return 0
    except subprocess.CalledProcessError:
        shutil.rmtree(ROOT / ".venv", ignore_errors=True)
        return _told("no venv", 2)
    except OSError as error:
        shutil.rmtree(ROOT / ".venv", ignore_errors=True)
        return _told("no place", 2, place=plain(ROOT / ".venv"), reason=error.strerror)
    except KeyboardInterrupt:
        shutil.rmtree(ROOT / ".venv", ignore_errors=True)
        return _told("stopped", 130)


def _told(sentence: str, code: int, **words: object) -> int:
    print(SENTENCES[sentence].format(command=typed("open"), **words), flush=True)
    return code
