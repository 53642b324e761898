"""The first week: installed by pip, opened, used and misused as a reader does, with the network cut (Linux).

A class installs from a folder of wheels, and a shared server has one installation for all, which nobody but its
owner may change. So the package is installed once, by pip, and used by its owner and by a user without any rights.
"""

import json
import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import venv
from pathlib import Path

import pytest

from cyclokit import clone

ROOT = Path(__file__).resolve().parents[1]
# a namespace of processes too: whatever was started in it ends with it
CUT = ["unshare", "--net", "--pid", "--fork", "--kill-child"]
NOBODY = 65534  # the user without rights, on every Linux
# may read everywhere (Python itself may lie in root's own home) and write only what is nobody's
AS_NOBODY = [
    *("setpriv", f"--reuid={NOBODY}", f"--regid={NOBODY}", "--clear-groups"),
    *("--inh-caps=+dac_read_search", "--ambient-caps=+dac_read_search"),
]
PARTS = ("pyproject.toml", "cyclokit", "lessons", "exercises")
OPENS = """
ip link set lo up 2>/dev/null
{python} -c "import socket; socket.create_connection(('192.0.2.1', 80), 2)" 2>/dev/null && echo "not cut"
touch said
BROWSER=true {command} > said 2>&1 &
for _ in $(seq 300); do grep -q "http://127" said && break; sleep 0.1; done
address=$(grep -o "http://127[^ ]*" said | head -1)
{python} -c "import sys, urllib.request
print(urllib.request.urlopen(sys.argv[1], timeout=30).status)" "$address"
"""
# commands one after the other in one process, each in a folder of its own: a start takes longer than what they do
EACH = """
import contextlib, io, json, os, sys
from cyclokit.__main__ import main
done = []
for folder, command in json.loads(sys.argv[1]):
    os.chdir(folder)
    with contextlib.redirect_stdout(io.StringIO()) as said, contextlib.redirect_stderr(said):
        code = main(command)
    done.append((code, said.getvalue()))
print(json.dumps(done))
"""


@pytest.fixture(scope="module")
def cut():
    """What is put before a command to cut its network."""
    command = CUT if os.name == "posix" and os.geteuid() == 0 else [*CUT, "--map-root-user"]
    try:
        subprocess.run([*command, "true"], check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("no network namespace can be made here")
    return [*command, "bash", "-c", 'ip link set lo up; exec "$@"', "cut"]


def _site(environment):
    return environment / "lib" / f"python3.{sys.version_info[1]}" / "site-packages"


# a clone, on the second day


@pytest.fixture
def second_day(tmp_path, monkeypatch):
    """A clone that is set up already: its environment has what this one has, and its own cyclokit."""
    place = tmp_path / "a clone"
    place.mkdir()
    for part in PARTS:
        copy = shutil.copytree if (ROOT / part).is_dir() else shutil.copy
        copy(ROOT / part, place / part)
    venv.create(place / ".venv", with_pip=False)
    (_site(place / ".venv") / "others.pth").write_text(f"{place}\n{sysconfig.get_paths()['purelib']}\n")
    monkeypatch.setattr(clone, "ROOT", place)
    (place / ".venv" / "installed-lab").write_text(clone._fingerprint())
    return place


def test_the_second_start_opens_the_lessons_with_the_network_cut(cut, second_day):
    script = OPENS.format(python=sys.executable, command=f"{sys.executable} -m cyclokit start")
    done = subprocess.run(
        [*cut, "bash", "-c", script], cwd=second_day, capture_output=True, text=True, check=False, timeout=90
    )
    said = (second_day / "said").read_text()
    assert done.stdout.split() == ["200"], done.stdout + done.stderr + said
    assert "Setting up" not in said
    assert re.search(r"^Opening my-lessons", said, re.MULTILINE)
    assert "Traceback" not in said


# installed by pip, from a folder of wheels


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """An environment into which pip has installed our wheel; what the wheel needs is seen through to this one's."""
    place = tmp_path_factory.mktemp("installed")
    environment, wheels = place / "env", place / "wheels"
    offline = ["--no-index", "--no-deps", "--disable-pip-version-check", "--quiet"]
    venv.create(environment, with_pip=True)
    for python, arguments in [
        (sys.executable, ["wheel", "--no-build-isolation", "--wheel-dir", wheels, ROOT]),
        (environment / "bin" / "python", ["install", "--find-links", wheels, "cyclokit"]),
    ]:
        subprocess.run([python, "-m", "pip", *arguments, *offline], cwd=place, check=True, timeout=120)
    (_site(environment) / "others.pth").write_text(f"{sysconfig.get_paths()['purelib']}\n")
    (environment / "share").symlink_to(Path(sys.prefix) / "share")
    return environment


class Reader:
    """Somebody who types commands of the installation, with the network cut, in a fresh home folder."""

    def __init__(self, before, environment, home):
        self.before, self.environment, self.home = before, environment, home

    def types(self, *command, home=None):
        """Run a command in the home folder; its exit code, and all that it said."""
        path = os.pathsep.join([str(self.environment / "bin"), "/usr/local/bin", "/usr/bin", "/bin", "/usr/sbin"])
        done = subprocess.run(
            [*self.before, *command],
            cwd=self.home,
            env={"PATH": path, "HOME": str(home or self.home), "LANG": "C.UTF-8"},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            check=False,
            timeout=120,
        )
        return done.returncode, done.stdout

    def types_each(self, commands):
        """Run commands of ours, each in its folder; the exit code of each, and all that it said."""
        code, said = self.types("python", "-c", EACH, json.dumps([(str(folder), words) for folder, words in commands]))
        assert code == 0, said
        return json.loads(said)


@pytest.fixture
def home():
    """A fresh home folder; not below pytest's own, into which no other user may go."""
    with tempfile.TemporaryDirectory() as place:
        yield Path(place)


@pytest.fixture
def another(cut, installed, home):
    """A user who may read the installation and write nothing but the home folder."""
    if os.geteuid() != 0:
        pytest.skip("only root can become another user")
    os.chown(home, NOBODY, NOBODY)
    reader = Reader([*cut, *AS_NOBODY], installed, home)
    code, said = reader.types("touch", _site(installed) / "cyclokit" / "theirs", "mine")
    if not (home / "mine").is_file():
        pytest.skip(f"no command can be run as another user here: {said}")
    assert code != 0 and not (_site(installed) / "cyclokit" / "theirs").exists()
    return reader


@pytest.fixture(params=["its owner", "another user"])
def reader(request, cut, installed, home):
    """Whoever uses the installation."""
    return request.getfixturevalue("another") if request.param == "another user" else Reader(cut, installed, home)


def _is_told(said, *words):
    """Whether it is sentences for a reader: no traceback, no bare number of an error."""
    assert not re.search(r"Traceback|Errno|Error:|Warning:", said), said
    assert all(word in said for word in words), said


def test_what_pip_installed_opens_with_the_network_cut(reader):
    script = OPENS.format(python="python", command="cyclokit open")
    code, said = reader.types("bash", "-c", script)
    log = (reader.home / "said").read_text(encoding="utf-8")
    assert (code, said.split()) == (0, ["200"]), said + log
    _is_told(log, "Opening my-lessons")
    assert (reader.home / "my-lessons" / "lessons" / "00_start_here.ipynb").is_file()


def test_every_command_works_from_there(reader):
    where = "import cyclokit; print(cyclokit.__file__)"
    assert reader.types("python", "-c", where)[1].startswith(str(_site(reader.environment)))
    code, said = reader.types("cyclokit", "copy")
    _is_told(said, "00_start_here.ipynb in your JupyterLab")
    assert code == 0, said
    expected = [
        ("copy --fresh 1", 0, "01_circles_that_roll.fresh.ipynb"),
        ("copy --fresh-sheet 1", 0, "01_circles_that_roll.fresh.ipynb"),
        ("new-task my_tasks.py", 0, "wrote my_tasks.py"),
        ("try-task my_tasks.py --sheet mine.ipynb", 0, "wrote mine.ipynb"),
        ("start", 2, "cyclokit open"),
        ("test", 2, "cyclokit open"),
    ]
    done = reader.types_each([(reader.home, command.split()) for command, _, _ in expected])
    for (_, wanted, word), (code, said) in zip(expected, done, strict=True):
        _is_told(said, word)
        assert code == wanted, said


def test_a_notebook_of_the_readers_finds_the_library_there(another):
    another.types("cyclokit", "copy")
    code, said = another.types(
        *("python", "-m", "nbconvert", "--execute", "--to", "notebook", "--output", "run"),
        "my-lessons/lessons/00b_tools.ipynb",
    )
    assert code == 0, said
    assert (another.home / "my-lessons" / "lessons" / "run.ipynb").is_file()


def test_a_folder_may_have_a_blank_and_an_umlaut(another):
    commands = [(another.home, [command, f"Meine Übungen/{command}"]) for command in ("copy", "pages")]
    for code, said in another.types_each(commands):
        assert code == 0, said
        _is_told(said)
    assert (another.home / "Meine Übungen" / "copy" / "lessons" / "00_start_here.ipynb").is_file()
    assert (another.home / "Meine Übungen" / "pages" / "00_start_here.html").is_file()


PLACES = ("read-only", "read-only/inside", "in the way", "in the way/inside")
UNUSABLE = [(command, place) for command in ("open", "copy", "new-task") for place in PLACES]


def test_a_place_that_can_not_be_used_is_said_in_a_sentence(another):
    commands = []
    for number, (command, place) in enumerate([*UNUSABLE, ("pages", "read-only"), ("pages", "in the way")]):
        folder = another.home / str(number)
        folder.mkdir()
        os.chown(folder, NOBODY, NOBODY)
        (folder / "read-only").mkdir()  # root's own
        (folder / "in the way").write_text("theirs")
        commands.append((folder, [command, f"{place}/mine.py" if command == "new-task" else place]))
    for (folder, (command, place)), (code, said) in zip(commands, another.types_each(commands), strict=True):
        assert code == 2, said
        _is_told(said)
        last = said.splitlines()[-1]
        assert place.removesuffix("/mine.py") in last, command
        assert re.search(r"may write (to|in)", last) and last.endswith("."), last
        assert not list((folder / "read-only").iterdir())
        assert (folder / "in the way").read_text() == "theirs"


def test_a_home_that_can_not_be_written_to_is_said_before_anything_is_copied(another):
    code, said = another.types("cyclokit", "open", home="/nonexistent")
    assert code == 2
    _is_told(said, "home folder that you may write to", "/nonexistent")
    assert len(said.splitlines()) == 1
    assert not (another.home / "my-lessons").exists()
    code, said = another.types("cyclokit", "copy", home="/nonexistent")  # needs none
    assert code == 0
    _is_told(said)


@pytest.mark.parametrize("wrong", ["read-only", "in the way"])
def test_a_clone_in_which_nothing_can_be_installed_says_so(wrong, another):
    place = another.home / "a clone"
    place.mkdir()
    shutil.copy(ROOT / "pyproject.toml", place)
    shutil.copytree(ROOT / "cyclokit", place / "cyclokit")  # root's own
    if wrong == "in the way":
        (place / ".venv").write_text("theirs")
        os.chown(place, NOBODY, NOBODY)
    code, said = another.types("bash", "-c", 'cd "a clone"; exec python -m cyclokit start')
    assert code == 2
    _is_told(said, ".venv' can't be made", "that you may write to")
    assert "venv package" not in said
    if wrong == "in the way":
        assert (place / ".venv").read_text() == "theirs"
