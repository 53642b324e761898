"""What gets installed: the library with its lessons and sheets, the same as in the checkout, and nothing else.

The wheel's layout: Binary distribution format, Python Packaging Authority,
https://packaging.python.org/en/latest/specifications/binary-distribution-format/
"""

import os
import re
import shutil
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest
import yaml

from cyclokit import __version__
from cyclokit.course.reader import folder

ROOT = Path(__file__).resolve().parents[1]
PARTS = ("pyproject.toml", "README.md", "DEVELOPERS.md", ".gitignore", "cyclokit", "lessons", "exercises", "tests")


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """A directory with the source archive and the wheel made from it, without the network.

    Built from a copy, so that building leaves nothing in the checkout; the copy also has what tools and readers
    leave behind, which must not be packed.
    """
    place = tmp_path_factory.mktemp("copy") / "cyclokit"
    place.mkdir()
    for part in PARTS:
        if (ROOT / part).is_dir():
            shutil.copytree(
                ROOT / part, place / part, ignore=shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
            )
        else:
            shutil.copy(ROOT / part, place / part)
    for left_behind in ("lessons/my_drive.toml", "lessons/.ipynb_checkpoints/00-checkpoint.ipynb"):
        (place / left_behind).parent.mkdir(exist_ok=True)
        (place / left_behind).write_text("mine")
    out = tmp_path_factory.mktemp("built")
    done = subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(place)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        env={**os.environ, "PIP_NO_INDEX": "1"},
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return out


@pytest.fixture(scope="module")
def names(built):
    """Every file in the wheel."""
    (wheel,) = built.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        return {name for name in packed.namelist() if not name.endswith("/")}


@pytest.fixture(scope="module")
def site(built, tmp_path_factory):
    """The wheel unpacked, as an installation does it."""
    place = tmp_path_factory.mktemp("site")
    (wheel,) = built.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(place)
    return place


def _run(site, program, place):
    """Run a program with the unpacked wheel, from another directory."""
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=place,
        env={**os.environ, "PYTHONPATH": str(site)},
        capture_output=True,
        encoding="utf-8",
        check=False,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def _tree(place):
    return {path.relative_to(place).as_posix(): path.read_bytes() for path in place.rglob("*") if path.is_file()}


def test_one_wheel_fits_every_machine(built):
    assert [path.name for path in built.glob("*.whl")] == [f"cyclokit-{__version__}-py3-none-any.whl"]


def test_the_lessons_and_their_pictures_are_in_it(names):
    files = [
        path for kind in folder.KINDS for path in (ROOT / kind).rglob("[!.]*") if path.suffix in {".ipynb", ".svg"}
    ]
    here = {
        f"cyclokit/notebooks/{path.relative_to(ROOT).as_posix()}"
        for path in files
        if ".ipynb_checkpoints" not in path.parts
    }
    assert any(name.endswith("00_start_here.ipynb") for name in here)
    assert any(name.endswith("pictures/turning.svg") for name in here)
    assert here <= names


def test_what_the_library_needs_is_in_it(names):
    needed = {
        "cyclokit/__main__.py",
        "cyclokit/py.typed",
        "cyclokit/LICENSE",
        "cyclokit/CITATION.cff",
        "cyclokit/CHANGES.md",
        "cyclokit/view/stage.js",
        "cyclokit/course/reader/jupyter/labconfig/page_config.json",
        "cyclokit/course/reader/jupyter/labconfig/default_setting_overrides.json",
    }
    assert needed <= names
    modules = {path.relative_to(ROOT).as_posix() for path in (ROOT / "cyclokit").rglob("*.py")}
    assert modules <= names


def test_nothing_else_is_in_it(names):
    assert {name.partition("/")[0] for name in names} == {"cyclokit", f"cyclokit-{__version__}.dist-info"}
    assert not [name for name in names if "test" in name or "pycache" in name or "checkpoint" in name]
    assert not [name for name in names if name.endswith("my_drive.toml")]


def test_its_metadata_names_the_licence_and_the_oldest_python(site):
    (metadata,) = site.glob("*.dist-info/METADATA")
    lines = metadata.read_text(encoding="utf-8").splitlines()
    assert "License-Expression: BSD-3-Clause" in lines
    assert "Requires-Python: >=3.11" in lines
    assert "Provides-Extra: lab" in lines


def test_the_licence_text_stands_in_the_metadata_too(names):
    assert f"cyclokit-{__version__}.dist-info/licenses/cyclokit/LICENSE" in names


def test_it_says_how_to_cite_this_version_and_what_changed_in_it(site):
    # required keys of the Citation File Format 1.2.0, https://doi.org/10.5281/zenodo.5171937
    data = yaml.safe_load((site / "cyclokit" / "CITATION.cff").read_text(encoding="utf-8"))
    assert {"cff-version", "message", "title", "authors"} <= set(data)
    assert data["version"] == __version__
    changes = (site / "cyclokit" / "CHANGES.md").read_text(encoding="utf-8")
    assert re.findall(r"^## ([\w.]+)", changes, flags=re.MULTILINE)[0] == __version__


def test_the_command_is_there(site):
    (entries,) = site.glob("*.dist-info/entry_points.txt")
    assert "cyclokit = cyclokit.__main__:main" in entries.read_text(encoding="utf-8")


def test_the_installed_lessons_are_those_inside_the_package(site, tmp_path):
    printed = _run(site, "from cyclokit.course.reader import folder; print(folder.notebooks())", tmp_path)
    assert Path(printed) == site / "cyclokit" / "notebooks"


def test_an_installed_copy_gives_the_reader_the_same_files_byte_for_byte(site, tmp_path):
    program = "from pathlib import Path; from cyclokit.course.reader import folder; folder.copy_all(Path('mine'))"
    _run(site, program, tmp_path)
    folder.copy_all(tmp_path / "from the checkout")
    assert _tree(tmp_path / "mine") == _tree(tmp_path / "from the checkout")


def test_an_installed_copy_moves_pictures_and_finds_its_settings(site, tmp_path):
    program = (
        "import os; from pathlib import Path; from cyclokit import Drive; from cyclokit.view import stage; "
        "from cyclokit.course.reader import lab; "
        "assert '<script' in stage.turning_drive(Drive(20, 42.0, 5.0, 1.4)).page(); "
        "settings = lab.lab_environment()['JUPYTER_CONFIG_PATH'].split(os.pathsep)[0]; "
        "print(Path(settings, 'labconfig', 'page_config.json').is_file())"
    )
    assert _run(site, program, tmp_path) == "True"


def test_an_installed_copy_has_the_exercise_sheets_and_their_tasks(site, tmp_path):
    program = (
        "from pathlib import Path; from cyclokit.course.sheets import library, open_sheet, trial; "
        "trial.new_file(Path('my_tasks.py')); "
        "sheet = open_sheet('one_lobe_fewer', 'moss'); "
        "print(*library.sheet_names(), sheet, trial.try_file('my_tasks.py', 20)[0].faults)"
    )
    said = _run(site, program, tmp_path)
    assert said.startswith("circles_that_roll ")
    assert said.endswith("One lobe fewer: 6 tasks, 20 marks ()")


def test_start_in_an_installed_copy_says_how_the_lessons_open_there(site, tmp_path):
    program = "from cyclokit import clone; print(clone.start())"
    assert _run(site, program, tmp_path).splitlines()[-1] == "2"
    assert not (site / ".venv").exists()


def test_the_source_archive_has_all_that_the_tests_need(built):
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as packed:
        names = {name.partition("/")[2] for name in packed.getnames()}
    assert {"README.md", "DEVELOPERS.md", "pyproject.toml", "tests/conftest.py", "lessons/00_start_here.ipynb"} <= names
    assert not [name for name in names if name.endswith("my_drive.toml") or "checkpoint" in name]
