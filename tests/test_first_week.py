"""The second day: what is installed opens with the network cut, in a network namespace of its own (Linux)."""

import re
import shutil
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

from cyclokit import clone

ROOT = Path(__file__).resolve().parents[1]
# a namespace of processes too: whatever was started in it ends with it
CUT = ["unshare", "--map-root-user", "--net", "--pid", "--fork", "--kill-child"]
PARTS = ("pyproject.toml", "cyclokit", "lessons", "exercises")
SCRIPT = """
ip link set lo up
{python} -c "import socket; socket.create_connection(('192.0.2.1', 80), 2)" 2>/dev/null && echo "not cut"
BROWSER=true {python} -m cyclokit start > said 2>&1 &
for _ in $(seq 300); do grep -q "http://127" said && break; sleep 0.1; done
address=$(grep -o "http://127[^ ]*" said | head -1)
{python} -c "import sys, urllib.request
print(urllib.request.urlopen(sys.argv[1], timeout=30).status)" "$address"
"""


@pytest.fixture
def installed(tmp_path, monkeypatch):
    """A clone that is set up already: its environment has what this one has, and its own cyclokit."""
    try:
        subprocess.run([*CUT, "true"], check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("no network namespace can be made here")
    place = tmp_path / "a clone"
    place.mkdir()
    for part in PARTS:
        copy = shutil.copytree if (ROOT / part).is_dir() else shutil.copy
        copy(ROOT / part, place / part)
    venv.create(place / ".venv", with_pip=False)
    site = place / ".venv" / "lib" / f"python3.{sys.version_info[1]}" / "site-packages"
    (site / "others.pth").write_text(f"{place}\n{sysconfig.get_paths()['purelib']}\n")
    monkeypatch.setattr(clone, "ROOT", place)
    (place / ".venv" / "installed-lab").write_text(clone._fingerprint())
    return place


def test_the_second_start_opens_the_lessons_with_the_network_cut(installed):
    script = SCRIPT.format(python=sys.executable)
    done = subprocess.run(
        [*CUT, "bash", "-c", script], cwd=installed, capture_output=True, text=True, check=False, timeout=90
    )
    said = (installed / "said").read_text()
    assert done.stdout.split() == ["200"], done.stdout + done.stderr + said
    assert "Setting up" not in said
    assert re.search(r"^Opening my-lessons", said, re.MULTILINE)
    assert "Traceback" not in said
