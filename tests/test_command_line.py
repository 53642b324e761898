"""The commands that a reader types: what they print, where they stop, and that lesson 0 really opens."""

import ast
import csv
import json
import os
import platform
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import ExitStack, suppress
from functools import partial
from pathlib import Path
from types import SimpleNamespace
from xml.etree import ElementTree

import nbformat
import pytest
from nbformat import sign

from cyclokit import __main__ as command_line
from cyclokit import __version__, clone
from cyclokit.course.reader import folder, lab, typed
from cyclokit.making import printing
from tests.making.test_allowances import filled

ROOT = Path(__file__).resolve().parents[1]


def _run(*arguments, cwd=ROOT, **settings):
    """Run Python here; its exit code, its standard output and its standard error."""
    environment = {**os.environ, **settings}
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=cwd,
        env=environment,
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    return done.returncode, done.stdout, done.stderr


@pytest.fixture(autouse=True)
def no_jupyterlab_around(monkeypatch, tmp_path):
    """As in a plain terminal, wherever the tests run; what is signed stays in this test's directory."""
    for name in ("JUPYTER_SERVER_URL", "JUPYTER_SERVER_ROOT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "signatures"))
    monkeypatch.setenv("JUPYTER_CONFIG_DIR", str(tmp_path / "settings"))
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "running"))


@pytest.fixture
def started(monkeypatch):
    """The commands that would have been started, instead of starting them."""
    commands = []

    def call(command, **options):
        commands.append((command, options))
        return 0

    monkeypatch.setattr(lab, "open_lab", lambda *given: commands.append(given) or 0)
    monkeypatch.setattr(clone, "run_to_its_end", call)
    return commands


# what is there


def test_help_needs_nothing_but_python():
    # -S hides every installed package, as on a machine that has Python and a fresh clone only
    code, printed, _ = _run("-S", "-m", "cyclokit", "--help")
    assert code == 0
    assert all(word in printed for word in ("open", "start", "test"))


def test_help_of_open_names_the_folder_and_the_fresh_copy(capsys):
    with pytest.raises(SystemExit, match="0"):
        command_line.main(["open", "--help"])
    printed = capsys.readouterr().out
    assert "my-lessons" in printed
    assert "--fresh" in printed


def test_the_version_is_printed(capsys):
    with pytest.raises(SystemExit, match="0"):
        command_line.main(["--version"])
    assert capsys.readouterr().out.strip() == __version__


@pytest.mark.parametrize("arguments", [["opne"], []])
def test_an_unknown_command_says_which_there_are(arguments, capsys):
    with pytest.raises(SystemExit) as stopped:
        command_line.main(arguments)
    said = capsys.readouterr().err
    assert stopped.value.code == 2
    assert "command" in said
    assert "Traceback" not in said


@pytest.mark.parametrize("command", [["--help"], ["start"], ["test"], ["open"]])
@pytest.mark.parametrize("version", [(3, 9, 2), (3, 10, 14)])
def test_an_old_python_gets_one_sentence(command, version):
    code, printed, said = _run(
        "-c",
        f"import runpy, sys; sys.version_info = {version}; sys.argv[1:] = {command}; "
        "runpy.run_module('cyclokit', run_name='__main__', alter_sys=True)",
    )
    assert code == 1
    assert printed == ""
    assert len(said.strip().splitlines()) == 1
    assert "3.11 or newer" in said
    assert f"{version[0]}.{version[1]}:" in said  # the one it has
    assert "install a newer one" in said


def test_the_sentence_for_an_old_python_is_written_in_that_python():
    # a file that an old Python can't read would end in a SyntaxError instead; Python's own parser is asked
    ast.parse((ROOT / "cyclokit" / "__init__.py").read_text(encoding="utf-8"), feature_version=(3, 7))


# open


def test_open_prints_what_it_copies_and_opens_lesson_0(tmp_path, started, capsys):
    mine = tmp_path / "mine"
    assert command_line.main(["open", str(mine)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert "copied lessons/00_start_here.ipynb" in lines
    assert lines[-1].startswith(f"Opening {mine / 'lessons' / '00_start_here.ipynb'}.")
    assert started == [(mine, mine / "lessons" / "00_start_here.ipynb", True, None)]


def test_open_twice_copies_nothing_twice(tmp_path, started, capsys):
    command_line.main(["open", str(tmp_path)])
    capsys.readouterr()
    command_line.main(["open", str(tmp_path)])
    assert len(capsys.readouterr().out.splitlines()) == 1  # "Opening ..."


def test_open_without_a_folder_uses_my_lessons(tmp_path, started, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    command_line.main(["open"])
    assert (tmp_path / "my-lessons" / "lessons" / "00_start_here.ipynb").is_file()


def test_open_fresh_opens_the_fresh_copy(tmp_path, started, capsys):
    command_line.main(["open", str(tmp_path)])
    command_line.main(["open", str(tmp_path), "--fresh", "1"])
    fresh = started[-1][1]
    assert fresh.parent == tmp_path / "lessons"
    assert fresh.name == "01_circles_that_roll.fresh.ipynb"
    assert "yours is untouched" in capsys.readouterr().out


def test_open_fresh_sheet_opens_a_fresh_sheet(tmp_path, started, capsys):
    command_line.main(["open", str(tmp_path), "--fresh-sheet", "1"])
    fresh = started[-1][1]
    assert fresh.parent == tmp_path / "exercises"
    assert fresh.name == "01_circles_that_roll.fresh.ipynb"


def test_open_says_which_lessons_there_are(tmp_path, started, capsys):
    assert command_line.main(["open", str(tmp_path), "--fresh", "99"]) == 2
    said = capsys.readouterr().err
    assert "'99'" in said
    assert "0, " in said
    assert "Traceback" not in said
    assert started == []


HOSTILE = "mine\x1b[2J\x07\u202e"


@pytest.mark.parametrize(
    "arguments",
    [
        [HOSTILE],
        ["open", "a", HOSTILE],
        ["open", "a", "--fresh", HOSTILE],
        ["open", "a", f"--{HOSTILE}"],
        ["try-task", HOSTILE],
        ["try-task", f"{HOSTILE}.py"],
        ["new-task", HOSTILE],
        ["new-task", f"{HOSTILE}.py"],
        ["open", HOSTILE],
        ["open", "file/" + HOSTILE],
        ["open", "half\udce9"],  # a name in another encoding
    ],
    ids=ascii,
)
def test_what_was_typed_is_repeated_and_does_nothing(arguments, tmp_path, started, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "file").write_text("mine")
    with suppress(SystemExit):
        command_line.main(arguments)
    told = capsys.readouterr()
    lines = (told.out + told.err).splitlines()
    assert any("mine" in line or "half" in line for line in lines)
    for line in lines:
        assert all(character.isprintable() for character in line), ascii(line)
    assert "Traceback" not in told.err


def test_a_terminal_that_knows_few_letters_gets_the_others_spelled_out(tmp_path):
    code, printed, said = _run(
        "-c",
        "from cyclokit.course.reader import lab; lab.open_lab = lambda *_: 0\n"
        f"from cyclokit import __main__ as it; it.main(['open', {str(tmp_path / '減速機')!r}])",
        PYTHONIOENCODING="ascii",
    )
    assert (code, said) == (0, "")
    assert "\\u6e1b" in printed


def test_open_says_that_a_file_is_no_folder(tmp_path, started, capsys):
    (tmp_path / "file").write_text("mine")
    assert command_line.main(["open", str(tmp_path / "file")]) == 2
    said = capsys.readouterr().err
    assert len(said.splitlines()) == 1
    assert "can't be used as a folder" in said
    assert (tmp_path / "file").read_text() == "mine"


def test_a_full_disk_is_said_in_one_line(tmp_path, started, monkeypatch, capsys):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(folder.os, "replace", full)
    assert command_line.main(["open", str(tmp_path)]) == 2
    said = capsys.readouterr().err
    assert len(said.splitlines()) == 1
    assert "No space left on device" in said


def test_without_jupyterlab_one_sentence_says_what_to_install(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(lab.importlib.util, "find_spec", lambda name: None)
    assert command_line.main(["open", str(tmp_path)]) == 2
    said = capsys.readouterr().err
    assert len(said.splitlines()) == 1
    assert "python3 -m cyclokit start" in said or "py -m cyclokit start" in said
    assert not (tmp_path / "lessons").exists()


def test_without_jupyterlab_an_installed_copy_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setattr(typed, "CHECKOUT", tmp_path)
    monkeypatch.setattr(lab.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(ValueError, match=r'pip install "cyclokit\[lab\]"'):
        lab.check_installed()


# in the reader's own folder


@pytest.mark.parametrize("inside", ["", "lessons", "exercises"])
@pytest.mark.parametrize("more", [[], ["--fresh", "0"]], ids=["open", "fresh"])
def test_in_the_readers_own_folder_that_one_is_used(inside, more, tmp_path, started, monkeypatch, capsys):
    command_line.main(["open", str(tmp_path / "mine")])
    monkeypatch.chdir(tmp_path / "mine" / inside)
    assert command_line.main(["open", *more]) == 0
    assert not list(tmp_path.rglob("my-lessons"))
    assert started[-1][0].resolve() == tmp_path / "mine"
    assert started[-1][1].resolve().parent == tmp_path / "mine" / "lessons"


def test_a_folder_that_began_with_a_fresh_copy_is_the_readers_own_too(tmp_path, started, monkeypatch, capsys):
    command_line.main(["open", str(tmp_path / "mine"), "--fresh", "0"])
    monkeypatch.chdir(tmp_path / "mine")
    command_line.main(["open"])
    assert not list(tmp_path.rglob("my-lessons"))


def test_the_clone_is_nobodys_own_folder(monkeypatch):
    # it has lessons and exercises as well
    monkeypatch.chdir(ROOT)
    assert lab.default_folder() == Path("my-lessons")


def test_copy_copies_and_starts_nothing(tmp_path, started, capsys):
    assert command_line.main(["copy", str(tmp_path / "mine")]) == 0
    assert (tmp_path / "mine" / "lessons" / "00_start_here.ipynb").is_file()
    assert "in your JupyterLab" in capsys.readouterr().out.splitlines()[-1]
    command_line.main(["copy", str(tmp_path / "mine"), "--fresh-sheet", "1"])
    assert (tmp_path / "mine" / "exercises" / "01_circles_that_roll.fresh.ipynb").is_file()
    assert started == []


# from a terminal inside JupyterLab


@pytest.fixture
def inside(tmp_path, monkeypatch):
    """JupyterLab's own folder, seen from one of its terminals, as behind a server for many."""
    root = tmp_path / "Büro der Studentin"
    root.mkdir()
    monkeypatch.setenv("JUPYTER_SERVER_ROOT", str(root))
    monkeypatch.setenv("JUPYTER_SERVER_URL", "http://127.0.0.1:8888/user/moss/")
    monkeypatch.chdir(root)
    return root


def _last_line(capsys):
    return capsys.readouterr().out.splitlines()[-1]


def test_inside_jupyterlab_the_lessons_are_copied_and_the_link_is_printed(inside, started, capsys):
    assert command_line.main(["open"]) == 0
    page = "lab/tree/my-lessons/lessons/00_start_here.ipynb"
    assert _last_line(capsys).endswith(f" http://127.0.0.1:8888/user/moss/{page}")
    assert (inside / "my-lessons" / "lessons" / "00_start_here.ipynb").is_file()
    assert started == []


def test_a_link_is_one_word(inside, started, capsys):
    command_line.main(["open", "mes leçons"])
    assert "/lab/tree/mes%20le%C3%A7ons/lessons/" in _last_line(capsys)


def test_from_elsewhere_they_are_copied_below_jupyterlabs_own_folder(inside, tmp_path, started, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    command_line.main(["open"])
    assert (inside / "my-lessons" / "lessons").is_dir()
    assert not (tmp_path / "my-lessons").exists()


@pytest.mark.parametrize("where", ["", "lessons", "../elsewhere"])
def test_in_a_jupyterlab_of_ours_its_own_folder_is_used(where, inside, tmp_path, started, monkeypatch, capsys):
    (tmp_path / "elsewhere").mkdir()
    folder.copy_all(inside)
    monkeypatch.chdir(inside / where)
    command_line.main(["open", "--fresh", "0"])
    assert _last_line(capsys).endswith("/user/moss/lab/tree/lessons/00_start_here.fresh.ipynb")
    assert not list(tmp_path.rglob("my-lessons"))


def test_a_folder_that_jupyterlab_can_not_see_is_refused_before_anything_is_copied(inside, tmp_path, started, capsys):
    assert command_line.main(["open", str(tmp_path / "else where")]) == 2
    said = capsys.readouterr().err
    assert len(said.splitlines()) == 1
    assert "isn't below" in said
    assert f"copy '{tmp_path / 'else where'}'" in said or f'copy "{tmp_path}' in said
    assert not (tmp_path / "else where").exists()


# JupyterLab's settings


def test_no_browser_and_port_are_passed_on(tmp_path, started, capsys):
    command_line.main(["open", str(tmp_path), "--no-browser", "--port", "8890"])
    assert started[-1][2:] == (False, 8890)
    command = lab.lab_command(tmp_path, tmp_path / "lessons", browser=False, port=8890)
    assert command[-2:] == ["--no-browser", "--ServerApp.port=8890"]
    assert not {"--no-browser", "port"} & set(lab.lab_command(tmp_path, tmp_path / "lessons"))


def test_two_that_start_in_the_same_second_listen_at_two_free_ports(tmp_path, monkeypatch):
    commands = []
    monkeypatch.setattr(lab, "run_to_its_end", lambda command, **_: commands.append(command) or 0)
    with ExitStack() as taken:
        for _ in range(3):
            assert lab.open_lab(tmp_path, tmp_path / "lessons") == 0
            port = int(commands[-1][-1].removeprefix("--ServerApp.port="))
            taken.enter_context(socket.create_server(("127.0.0.1", port)))  # fails where another one listens


@pytest.mark.parametrize("port", ["0", "65536", "-1"])
def test_a_port_that_can_not_be_is_refused_before_anything_is_copied(port, tmp_path, started, capsys):
    assert command_line.main(["open", str(tmp_path), "--port", port]) == 2
    assert "port is" in capsys.readouterr().err
    assert not (tmp_path / "lessons").exists()


def test_in_its_terminals_our_commands_are_found():
    environment = lab.lab_environment()
    assert environment["PATH"].split(os.pathsep)[0] == str(Path(sys.executable).parent)
    assert environment.get("VIRTUAL_ENV", sys.prefix) == sys.prefix


def test_copies_of_the_packages_own_are_trusted_and_no_others(tmp_path, capsys):
    mine = tmp_path / "mine"
    command_line.main(["copy", str(mine)])
    changed = mine / "lessons" / "01_circles_that_roll.ipynb"
    before = changed.read_text(encoding="utf-8")
    shutil.rmtree(tmp_path / "signatures")  # as on another machine
    changed.write_text(before.replace("rolling", "rolling <script>", 1), encoding="utf-8")
    command_line.main(["copy", str(mine)])
    command_line.main(["copy", str(mine), "--fresh", "2"])
    notary = sign.NotebookNotary()
    trusted = {path: notary.check_signature(nbformat.read(path, 4)) for path in mine.rglob("*.ipynb")}
    assert [path for path, is_trusted in trusted.items() if not is_trusted] == [changed]
    assert trusted[mine / "lessons" / "02_from_a_point_to_a_roller.fresh.ipynb"]


# how commands are written


@pytest.mark.parametrize(("system", "program"), [("posix", "python3 -m cyclokit"), ("nt", "py -m cyclokit")])
def test_in_a_clone_commands_are_typed_for_python(system, program, tmp_path, monkeypatch):
    (tmp_path / "pyproject.toml").write_text("")
    monkeypatch.setattr(typed, "CHECKOUT", tmp_path)
    monkeypatch.setattr(typed, "os", SimpleNamespace(name=system))
    assert typed.typed("open") == f"{program} open"
    quoted = typed.typed("open", "my own lessons", "--fresh", "3")
    assert quoted == f"{program} open {'{0}my own lessons{0}'.format(chr(34) if system == 'nt' else chr(39))} --fresh 3"


@pytest.mark.parametrize("wrong", [None, 3, b"open", ["open"], Path("mine")])
def test_what_is_typed_and_what_is_linked_are_texts(wrong, inside):
    with pytest.raises(TypeError, match="arguments must be texts"):
        typed.typed("open", wrong)
    if not isinstance(wrong, Path):
        for given in [(wrong, "page"), ("folder", wrong)]:
            with pytest.raises(TypeError, match="must be a path"):
                lab.link(*given)


def test_in_a_plain_terminal_there_is_no_link(tmp_path):
    with pytest.raises(ValueError, match="no terminal of JupyterLab"):
        lab.link(tmp_path, tmp_path)


def test_an_installed_copy_has_a_command_of_its_own_where_that_is_on_the_path(tmp_path, monkeypatch):
    ours, others = tmp_path / "our env", tmp_path / "another"
    for place in (ours, others):
        place.mkdir()
        (place / "cyclokit").touch(mode=0o755)
        (place / "cyclokit.exe").touch()
    monkeypatch.setattr(typed, "CHECKOUT", tmp_path)
    monkeypatch.setattr(sys, "executable", str(ours / "python"))
    monkeypatch.setenv("PATH", str(ours))
    assert typed.typed("open") == "cyclokit open"
    for elsewhere in (tmp_path, others):  # none is found, or that of another installation
        monkeypatch.setenv("PATH", str(elsewhere))
        assert typed.typed("open").replace('"', "'") == f"'{ours / 'python'}' -m cyclokit open"


def test_jupyterlab_is_reachable_from_this_machine_only(tmp_path):
    command = lab.lab_command(tmp_path, tmp_path / "lessons" / "00_start_here.ipynb")
    assert "--ServerApp.ip=127.0.0.1" in command
    assert f"--ServerApp.root_dir={tmp_path.resolve()}" in command


def test_our_settings_come_first_and_the_readers_stay(monkeypatch):
    monkeypatch.setenv("JUPYTER_CONFIG_PATH", os.pathsep.join(["/of/mine", "/of/ours"]))
    first, *rest = lab.lab_environment()["JUPYTER_CONFIG_PATH"].split(os.pathsep)
    assert Path(first, "labconfig", "page_config.json").is_file()
    assert rest == ["/of/mine", "/of/ours"]


@pytest.mark.parametrize("before", [None, ""])
def test_our_settings_stand_alone_where_the_reader_has_none(before, monkeypatch):
    # an empty entry in such a list would mean the current directory
    monkeypatch.delenv("JUPYTER_CONFIG_PATH", raising=False)
    if before is not None:
        monkeypatch.setenv("JUPYTER_CONFIG_PATH", before)
    assert os.pathsep not in lab.lab_environment()["JUPYTER_CONFIG_PATH"]


def test_the_settings_switch_the_news_prompt_off():
    settings = json.loads(
        (folder.PACKAGE / "course/reader/jupyter/labconfig/page_config.json").read_text(encoding="utf-8")
    )
    assert settings["disabledExtensions"]["@jupyterlab/apputils-extension:announcements"] is True


# start and test, in a fresh clone


@pytest.fixture
def fresh_clone(tmp_path, monkeypatch):
    """A clone that has nothing yet; making an environment leaves a Python and pip that do nothing."""
    (tmp_path / "pyproject.toml").write_text("")
    monkeypatch.setattr(clone, "ROOT", tmp_path)
    monkeypatch.setattr(clone, "PYTHON", tmp_path / ".venv" / "bin" / "python")
    monkeypatch.setattr(clone.venv, "create", _environment_made)
    monkeypatch.setattr(clone, "_has_pip", lambda: (tmp_path / ".venv" / "pip").is_file())
    return tmp_path


def _environment_made(place, with_pip, clear):
    assert with_pip and clear
    (place / "bin").mkdir(parents=True, exist_ok=True)
    (place / "bin" / "python").write_text("")
    (place / "pip").write_text("")


@pytest.mark.parametrize(
    ("command", "extra", "last"),
    [("start", "lab", ["-m", "cyclokit", "open"]), ("test", "test", ["-m", "pytest"])],
)
def test_a_fresh_clone_is_set_up_and_then_used(command, extra, last, fresh_clone, started):
    assert command_line.main([command]) == 0
    python = str(fresh_clone / ".venv" / "bin" / "python")
    (install, _), (use, options) = started
    assert install[:4] == [python, "-m", "pip", "install"]
    assert install[-1] == f"{fresh_clone}[{extra}]"
    assert use == [python, *last]
    assert Path(options["cwd"]) == fresh_clone


@pytest.mark.parametrize("first", ["start", "test"])
def test_the_second_start_installs_nothing(first, fresh_clone, started, capsys):
    command_line.main([first])
    started.clear()
    capsys.readouterr()
    assert command_line.main(["start"]) == 0
    assert [command[1:] for command, _ in started] == [["-m", "cyclokit", "open"]]
    assert capsys.readouterr().out == ""


def test_lessons_alone_are_not_enough_for_the_tests(fresh_clone, started):
    command_line.main(["start"])
    started.clear()
    command_line.main(["test"])
    assert started[0][0][-1] == f"{fresh_clone}[test]"


def test_other_needs_are_installed_again(fresh_clone, started):
    command_line.main(["start"])
    (fresh_clone / "pyproject.toml").write_text("# needs more")
    started.clear()
    command_line.main(["start"])
    assert started[0][0][1:4] == ["-m", "pip", "install"]


def test_nothing_is_opened_when_the_installation_fails_and_the_next_start_tries_again(fresh_clone, monkeypatch, capsys):
    calls, code = [], 3
    monkeypatch.setattr(clone, "run_to_its_end", lambda command, **_: calls.append(command) or code)
    assert clone.start() == 3
    assert len(calls) == 1
    assert "needs a network" in capsys.readouterr().out
    code = 0
    assert clone.start() == 0
    assert [call[2] for call in calls] == ["pip", "pip", "cyclokit"]


def test_a_python_that_cannot_make_environments_is_told_what_to_install_and_can_try_again(
    fresh_clone, started, monkeypatch, capsys
):
    """As on Debian without python3-venv, where what is left behind has a Python and no pip."""

    def half_made(place, with_pip, clear):
        _environment_made(place, with_pip, clear)
        raise subprocess.CalledProcessError(1, "ensurepip")

    monkeypatch.setattr(clone.venv, "create", half_made)
    assert clone.start() == 2
    assert "python3-venv" in capsys.readouterr().out
    monkeypatch.setattr(clone.venv, "create", _environment_made)  # it has been installed since
    assert not clone.PYTHON.exists(), "the next start would take the half-made environment for a whole one"
    assert clone.start() == 0


def test_ctrl_c_while_the_environment_is_made_leaves_nothing_half_made(fresh_clone, started, monkeypatch, capsys):
    def stopped(place, with_pip, clear):
        (place / "bin").mkdir(parents=True)
        (place / "bin" / "python").write_text("")
        raise KeyboardInterrupt

    monkeypatch.setattr(clone.venv, "create", stopped)
    assert clone.start() == 130
    assert "begins again" in capsys.readouterr().out
    assert not (fresh_clone / ".venv").exists()


def test_an_environment_without_pip_is_made_anew(fresh_clone, started):
    # as after a power cut in the first seconds
    clone.PYTHON.parent.mkdir(parents=True)
    clone.PYTHON.write_text("half made")
    assert clone.start() == 0
    assert clone.PYTHON.read_text() == ""
    assert len(started) == 2


def test_start_says_that_it_belongs_to_a_clone(tmp_path, started, monkeypatch, capsys):
    monkeypatch.setattr(clone, "ROOT", tmp_path)
    assert clone.start() == 2
    assert "cyclokit open" in capsys.readouterr().out
    assert started == []


def test_the_tests_take_the_versions_that_are_known_good_where_these_were_made(tmp_path):
    (tmp_path / ".ci").mkdir()
    file = tmp_path / ".ci" / "constraints.txt"
    assert clone.constraints(tmp_path) == []
    file.write_text(f"# Python {sys.version_info[0]}.{sys.version_info[1]}, {platform.system()}\nnumpy==2.4.0\n")
    assert clone.constraints(tmp_path) == ["--constraint", str(file)]
    file.write_text("# Python 3.99, Plan 9\n")
    assert clone.constraints(tmp_path) == []


# every other command, in a clone, in the clone's environment


@pytest.mark.parametrize("arguments", [["open", "mine"], ["try-task", "one_lobe_fewer"], ["new-task", "mine.py"]])
def test_a_command_runs_itself_in_the_clones_environment(arguments, fresh_clone, started):
    _environment_made(fresh_clone / ".venv", with_pip=True, clear=True)
    assert command_line.main(arguments) == 0
    ((command, _),) = started
    assert command == [str(clone.PYTHON), "-m", "cyclokit", *arguments]


def test_in_that_environment_already_it_just_runs(fresh_clone, started, monkeypatch):
    _environment_made(fresh_clone / ".venv", with_pip=True, clear=True)
    monkeypatch.setattr(sys, "prefix", str(fresh_clone / ".venv"))
    assert command_line.main(["open", str(fresh_clone / "mine")]) == 0
    ((place, page, *_),) = started
    assert (place, page) == (fresh_clone / "mine", fresh_clone / "mine" / "lessons" / "00_start_here.ipynb")


# really


def test_open_starts_jupyterlab_with_lesson_0_and_ctrl_c_twice_ends_it(tmp_path, open_lessons):
    with open_lessons(tmp_path) as lab:
        assert lab.address.partition("?")[0].endswith("/lab/tree/lessons/00_start_here.ipynb")
        with urllib.request.urlopen(lab.address, timeout=20) as page:  # it lists what will not be loaded
            assert b"@jupyterlab/apputils-extension:announcements" in page.read()
        about = lab.of("/api/contents/lessons/00_start_here.ipynb?content=0")
        with urllib.request.urlopen(about, timeout=20) as answer:
            assert json.load(answer)["type"] == "notebook"

        if os.name == "nt":  # there Ctrl+C can't be sent to one group of processes
            return
        os.killpg(lab.process.pid, signal.SIGINT)  # a terminal sends Ctrl+C to the whole group
        time.sleep(1.0)
        assert lab.process.poll() is None, "JupyterLab asks whether it should end, and must get the time to"
        os.killpg(lab.process.pid, signal.SIGINT)  # a second time is a yes
        assert lab.process.wait(20) == 0
        assert "Traceback" not in lab.text


STORY = "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"


def test_make_writes_every_printed_part_from_four_numbers_and_says_what_to_mind(tmp_path, capsys):
    (tmp_path / "story.toml").write_text(STORY)
    wanted = ["make", str(tmp_path / "story.toml"), str(tmp_path / "parts"), "--formats", "csv"]
    assert command_line.main(wanted) == 0
    told = capsys.readouterr().out
    names = {path.name for path in (tmp_path / "parts").iterdir()}
    assert all(f"making {name}" in told for name in names)
    assert "goggles" in told and "Local rules" in told
    with open(tmp_path / "parts" / "parts_list.csv", newline="") as file:
        listed = list(csv.DictReader(file))
    printed = {f"{row['part'].replace(' ', '_')}.csv" for row in listed if row["made or bought"] == "printed"}
    assert printed == names - {"parts_list.csv", "order.txt"}
    assert ("disc.csv", "2") in {(f"{row['part']}.csv", row["count"]) for row in listed}
    steps = (tmp_path / "parts" / "order.txt").read_text()
    assert "goggles" in steps and "the second disc's on rod 3" in steps
    assert command_line.main(wanted) == 2
    assert "not empty" in capsys.readouterr().err


def test_in_a_fresh_clone_a_command_says_what_to_type_first(monkeypatch, capsys):
    def _without(given, name):
        raise ModuleNotFoundError(f"No module named '{name}'", name=name)

    monkeypatch.setattr(command_line, "_make", partial(_without, name="tomli_w"))
    assert command_line.main(["make", "my_reducer.toml", "parts"]) == 2
    told = capsys.readouterr().err
    assert "tomli_w is not installed here" in told and typed.typed("start") in told
    monkeypatch.setattr(command_line, "_make", partial(_without, name="cyclokit.lost"))  # a fault of ours
    with pytest.raises(ModuleNotFoundError):
        command_line.main(["make", "my_reducer.toml", "parts"])


def test_make_draws_the_section_in_the_formats_that_hold_a_drawing(tmp_path):
    (tmp_path / "story.toml").write_text(STORY)
    for place in ("one", "two"):
        wanted = ["make", str(tmp_path / "story.toml"), str(tmp_path / place), "--formats", "svg,pdf"]
        assert command_line.main(wanted) == 0
    for name, begins in (("section.svg", b"<svg"), ("section.pdf", b"%PDF")):
        content = (tmp_path / "one" / name).read_bytes()
        assert content.startswith(begins)
        assert content == (tmp_path / "two" / name).read_bytes()
    picture = ElementTree.fromstring((tmp_path / "one" / "section.svg").read_bytes())
    title = picture.findtext("{http://www.w3.org/2000/svg}title")
    made = {path.stem.replace("_", " ") for path in (tmp_path / "one").iterdir() if path.suffix == ".svg"}
    of_a_kind = {re.sub("bush .*", "bush", name) for name in made - {"section", "lever"}}  # which tests alone need
    assert all(re.search(rf"\d {name}\b", title) for name in of_a_kind)  # each file's part has its number


def test_make_says_what_is_thinner_than_asked_for(tmp_path, capsys):
    for name, more in (("good", ""), ("thin", "output_circle_radius = 28.3\n")):  # 0.7 mm to the roots
        (tmp_path / f"{name}.toml").write_text(STORY + more)
        wanted = ["make", str(tmp_path / f"{name}.toml"), str(tmp_path / name), "--formats", "svg"]
        assert command_line.main(wanted) == 0
        assert ("wall to the roots: " in capsys.readouterr().out) == bool(more)


def test_make_says_why_there_are_only_discs(tmp_path, capsys):
    (tmp_path / "thin.toml").write_text(STORY + 'crank_bearing = "625"\n')
    assert command_line.main(["make", str(tmp_path / "thin.toml"), str(tmp_path / "parts"), "--formats", "svg"]) == 0
    assert "Only discs, for it can't be built as a bench machine:\ncrank bearing" in capsys.readouterr().out
    assert [path.name for path in (tmp_path / "parts").iterdir()] == ["disc.svg"]


def test_a_test_piece_comes_with_what_to_write_into_its_table(tmp_path, capsys):
    (tmp_path / "story.toml").write_text(STORY)
    wanted = ["make", str(tmp_path / "story.toml"), str(tmp_path / "piece"), "--test-piece", "--formats", "stl"]
    assert command_line.main(wanted) == 0
    told = capsys.readouterr().out
    with open(tmp_path / "piece" / "measured.csv", newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    empty = {name for name in rows[0] if not any(row[name] for row in rows)}
    assert empty == {"x_mm", "y_mm", "depth_mm", "goes"}
    assert all(name in told for name in empty | {row["kind"] for row in rows} | set(printing.GOES))
    narrowest = min((row for row in rows if row["kind"] == "hole"), key=lambda row: float(row["nominal_mm"]))
    assert narrowest["label"] == "A1" and "Row A begins at the cut corner, with the narrowest holes." in told


def test_allowances_are_told_from_a_measured_piece(tmp_path, capsys):
    (tmp_path / "story.toml").write_text(STORY)
    (tmp_path / "measured.csv").write_bytes(filled())
    assert command_line.main(["allowances", str(tmp_path / "story.toml"), str(tmp_path / "measured.csv")]) == 0
    told = capsys.readouterr().out
    values = dict(line.split(" = ") for line in told.splitlines() if "_allowance = " in line)
    assert float(values["hole_allowance"]) == pytest.approx(0.07, abs=0.01)  # what was put in, and its noise of 0.004
    assert float(values["outline_allowance"]) == pytest.approx(0.02, abs=0.01)
