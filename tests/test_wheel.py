"""The wheel carries what a reader needs, and behaves like an editable install."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
ASK = (
    "from pathlib import Path; from cyclokit.course import folder; "
    "print(folder.notebooks()); folder.copy_all(Path('here'))"
)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    out = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(out)], cwd=ROOT, check=True, timeout=60
    )
    return next(out.glob("*.whl"))


def test_the_wheel_carries_lessons_pictures_licence_and_types(wheel):
    names = set(zipfile.ZipFile(wheel).namelist())
    for name in (
        "cyclokit/notebooks/lessons/00_start_here.ipynb",
        "cyclokit/notebooks/lessons/pictures/parts.png",
        "cyclokit/notebooks/exercises/README.md",
        "cyclokit/py.typed",
        "cyclokit/LICENSE",
        "cyclokit/view/stage.js",
        "cyclokit/course/jupyter/labconfig/page_config.json",
    ):
        assert name in names
    assert not [name for name in names if name.startswith(("tests/", "lessons/"))]


def test_wheel_and_checkout_give_the_reader_the_same_files(wheel, tmp_path):
    site = tmp_path / "site"
    zipfile.ZipFile(wheel).extractall(site)
    copies = {}
    for name, path in (("wheel", site), ("checkout", ROOT)):
        place = tmp_path / name
        place.mkdir()
        told = subprocess.run(
            [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(path)!r}); {ASK}"],
            cwd=place,
            capture_output=True,
            text=True,
            check=True,
        )
        expected = site / "cyclokit" / "notebooks" if name == "wheel" else ROOT
        assert Path(told.stdout.strip()) == expected
        files = sorted(file for file in (place / "here").rglob("*") if file.is_file())
        copies[name] = [(file.relative_to(place).as_posix(), file.read_bytes()) for file in files]
    assert copies["wheel"] == copies["checkout"]
    assert len(copies["wheel"]) > 3
