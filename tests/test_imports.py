"""What an import brings in, and which room may import which."""

import subprocess
import sys

import pytest

from tests.house import PACKAGE, drawn, picture, rooms_imported

SLOW = {"numpy", "scipy", "sympy", "matplotlib", "ipywidgets", "anywidget", "IPython"}
# From the ground up. A room imports from itself and from lower floors; rooms on one floor don't know each other.
FLOORS = [
    {"texts"},
    {"arguments", "files"},
    {"signatures"},
    {"drive"},
    {"report", "uncertainty", "columns"},
    {"tables"},
    {"geometry"},
    {"machine"},
    {"mechanics"},
    {"design"},
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


def test_the_picture_of_the_house_is_that_of_the_imports():
    assert drawn() == picture(), "stale: draw it anew with  python -m tests.house"


@pytest.mark.parametrize("name", ["space", "same_part"])
def test_a_kept_lesson_of_an_older_version_says_what_to_do(name):
    with pytest.raises(ImportError, match="open --fresh 6"):
        exec(f"from cyclokit.mechanics import balance, {name}")  # as the lesson had it
