"""The package's own commands, written as they can be typed here. Only the standard library may be used."""

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[3]  # the clone, where this is one


def typed(*arguments: str) -> str:
    """A command of this package as it is typed: by Python in a clone, by its own name where that is found."""
    if not all(isinstance(argument, str) for argument in arguments):
        raise TypeError("arguments must be texts such as 'open': give texts.")
    return " ".join([_program(), _quoted(arguments)])


def in_clone() -> bool:
    """Whether this runs from a clone, not from an installed copy."""
    return (CHECKOUT / "pyproject.toml").is_file()


def _program() -> str:
    if in_clone():
        return "py -m cyclokit" if os.name == "nt" else "python3 -m cyclokit"
    found = shutil.which("cyclokit")
    if found and Path(found).parent == Path(sys.executable).parent:
        return "cyclokit"
    return f"{_quoted((sys.executable,))} -m cyclokit"  # as in an environment that isn't activated


def _quoted(arguments: tuple[str, ...]) -> str:
    return subprocess.list2cmdline(arguments) if os.name == "nt" else shlex.join(arguments)
