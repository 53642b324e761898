"""What an import brings in, and which room may import which."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import cyclokit

PACKAGE = Path(cyclokit.__file__).parent
SLOW = {"numpy", "scipy", "sympy", "matplotlib", "ipywidgets", "anywidget", "IPython"}
# From the ground up. A room imports from itself and from lower floors; rooms on one floor don't know each other.
FLOORS = [
    {"texts"},
    {"arguments", "files"},
    {"drive"},
    {"report", "uncertainty", "tables"},
    {"geometry"},
    {"machine"},
    {"mechanics"},
    {"design"},
    {"view", "making", "bench"},
    {"course"},
    {"clone"},
    {"__main__"},
]
NO_ROOMS = {"Drive", "__version__"}  # what the package itself gives


@pytest.mark.parametrize(
    "code",
    [
        "import cyclokit",
        "import runpy\nsys.argv = ['cyclokit', '--help']\n"
        "try: runpy.run_module('cyclokit', run_name='__main__')\nexcept SystemExit: pass",
    ],
    ids=["import", "--help"],
)
def test_a_quick_start_loads_nothing_slow(code):
    told = subprocess.run(
        [sys.executable, "-c", f"import sys\n{code}\nprint('loaded:', *sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    loaded = set(told.stdout.split("loaded:")[1].split())
    assert "cyclokit" in loaded
    assert not SLOW & loaded


def rooms_imported(source):
    """The rooms of the package that a module's source imports, anywhere in it and in any way."""
    rooms = set()
    for node in ast.walk(ast.parse(source)):
        names = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written in full, so that this test can read them"
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        inside = [name.split(".")[1:] for name in names if name.split(".")[0] == "cyclokit"]
        rooms |= {parts[0] for parts in inside if parts and parts[0] not in NO_ROOMS}
    return rooms


def floor(room):
    return next(number for number, rooms in enumerate(FLOORS) if room in rooms)


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_rooms_import_downwards_only(path):
    room = path.relative_to(PACKAGE).with_suffix("").parts[0]
    imported = rooms_imported(path.read_text(encoding="utf-8"))
    if room == "__init__":
        assert imported == {"drive"}
        return
    for other in imported - {room}:
        assert floor(other) < floor(room), f"{room} imports {other}, which stands no lower"


@pytest.mark.parametrize(
    "source",
    [
        "import cyclokit.view.stage",
        "from cyclokit.view import stage",
        "from cyclokit.view.stage import Stage",
        "from cyclokit import Drive, __version__, view",
        "def later():\n    import cyclokit.view as v",
    ],
)
def test_no_way_of_importing_goes_unseen(source):
    assert rooms_imported(source) == {"view"}
