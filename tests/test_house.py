"""The house's order: what stands at the top level, style, types, docstrings."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "cyclokit", "tests", "exercises"}
LEFT_BY_TOOLS = {"my-lessons", "dist", "build", "__pycache__"}


def test_seven_entries_and_no_other_stand_at_the_top():
    there = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert there - LEFT_BY_TOOLS == TOP


@pytest.mark.parametrize(
    "command",
    [
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy", "cyclokit"],
        ["numpydoc", "lint", *map(str, sorted((ROOT / "cyclokit" / "geometry").glob("*.py")))],
    ],
    ids=["style", "format", "types", "docstrings"],
)
def test_the_code_is_in_order(command):
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_readme_gives_the_two_commands_and_windows_forms():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for command in (
        "python3 -m cyclokit start",
        "python3 -m cyclokit test",
        "py -m cyclokit start",
        "py -m cyclokit test",
    ):
        assert f"`{command}`" in text
