"""What an import brings in, and which room may import which."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import cyclokit

PACKAGE = Path(cyclokit.__file__).parent
SLOW = ("numpy", "scipy", "sympy", "matplotlib", "ipywidgets", "anywidget", "IPython")
# from the ground up; a room imports from its own floor and from lower ones
FLOORS = [
    {"drive"},
    {"arrays", "uncertainty", "tables"},
    {"geometry"},
    {"reducer"},
    {"mechanics"},
    {"view", "making", "bench"},
    {"course"},
    {"clone"},
    {"__main__"},
]


@pytest.mark.parametrize(
    "code",
    [
        "import cyclokit",
        "import runpy\nsys.argv = ['cyclokit', '--help']\n"
        "try: runpy.run_module('cyclokit', run_name='__main__')\nexcept SystemExit: pass",
    ],
)
def test_a_quick_start_loads_nothing_slow(code):
    told = subprocess.run(
        [sys.executable, "-c", f"import sys\n{code}\nprint('loaded:', *sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = told.stdout.split("loaded:")[1].split()
    assert "cyclokit" in loaded
    assert not set(SLOW) & set(loaded)


def _room(module: str) -> str:
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def _floor(room: str) -> int:
    return next(number for number, rooms in enumerate(FLOORS) if room in rooms)


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_rooms_import_downwards_only(path):
    room = path.relative_to(PACKAGE).with_suffix("").parts[0]
    if room == "__init__":
        return
    imported = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "cyclokit":
            if node.module == "cyclokit":
                imported |= {alias.name for alias in node.names if alias.name not in cyclokit.__all__} - {"__version__"}
            else:
                imported.add(_room(node.module))
    for other in imported - {room}:
        assert _floor(other) < _floor(room), f"{room} imports {other}, which stands no lower"
