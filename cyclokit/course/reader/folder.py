"""A reader's own copy of the lessons and sheets, and JupyterLab opened in it.

What is copied is remembered in the folder, as hashes of every edition a file has had, so that a file the reader
changed can be told from one that only grew old: the first is kept, the second is renewed. That is written down before
anything is copied: a copying that is killed half-way leaves no file that nobody knows.
"""

import hashlib
import importlib.util
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from urllib.parse import quote

from cyclokit.arguments import checked_choice
from cyclokit.files import alone, as_path, write_whole
from cyclokit.texts import plain, shown

MEMORY = ".cyclokit.json"
KINDS = ("lessons", "exercises")
PACKAGE = Path(__file__).resolve().parents[2]

KEPT = "kept   {name}: you changed it, so it stays as it is"
READ_ONLY = "kept   {name}: it is read-only; a newer one is there, which  --fresh  puts beside it"
RENEWED = "renewed {name}: you hadn't changed it and a newer one is there"
COPIED = "copied {name}"
FRESH = "copied a fresh {name}; yours is untouched"


def notebooks() -> Path:
    """The folder that holds `lessons` and `exercises`: inside an installed package, or the checkout."""
    installed = PACKAGE / "notebooks"
    return installed if installed.is_dir() else PACKAGE.parent


def copy_all(folder: str | Path) -> list[str]:
    """Copy every lesson and sheet into `folder`, never over a file that the reader changed.

    Parameters
    ----------
    folder : str or Path
        Where to; made if it isn't there.

    Returns
    -------
    list of str
        A line for each file copied, renewed or kept; none for a file that is as it was.

    Raises
    ------
    ValueError
        If `folder` is a file, or can't be written to.
    """
    folder = made_ready(folder)
    lines = []
    with alone(folder / MEMORY):
        memory = _read_memory(folder)
        planned = _planned(folder, memory)
        known = json.dumps(memory, indent=1, sort_keys=True).encode()
        if _content(folder / MEMORY) != known:
            write_whole(folder / MEMORY, known)
        for name, line in planned.items():
            lines.append(line.format(name=name))
            if line in (COPIED, RENEWED):
                (folder / name).parent.mkdir(exist_ok=True)
                write_whole(folder / name, (notebooks() / name).read_bytes())
    return lines


def _planned(folder: Path, memory: dict[str, list[str]]) -> dict[str, str]:
    """What is to be said of each file that isn't as it should be; `memory` is told of every edition that is there."""
    planned = {}
    for source in _sources():
        name, new = source.relative_to(notebooks()).as_posix(), _hash(source.read_bytes())
        target = folder / name
        there = _content(target)
        editions = memory.get(name, [])
        if there is not None and _hash(there) not in (new, *editions):
            planned[name] = KEPT
            continue
        if there is None:
            planned[name] = COPIED
        elif _hash(there) != new:
            planned[name] = RENEWED if target.stat().st_mode & 0o200 else READ_ONLY
        memory[name] = [*editions, new] if new not in editions else editions
    return planned


def copy_fresh(folder: str | Path, number: str, kind: str = "lessons") -> Path:
    """Put a fresh copy of one lesson or exercise sheet beside the reader's.

    Parameters
    ----------
    folder : str or Path
        The reader's folder; made if it isn't there.
    number : str
        Its number, such as "3" or "0b".
    kind : str
        "lessons" or "exercises".

    Returns
    -------
    Path
        The fresh copy, under a name that wasn't taken.

    Raises
    ------
    ValueError
        If it is not there, or the folder can't be written to.
    """
    checked_choice("kind", kind, KINDS)
    there = {_number(path): path for path in _sources() if path.parent.name == kind and path.suffix == ".ipynb"}
    if not isinstance(number, str) or number not in there:
        raise ValueError(f"number is {shown(number)}, but {kind} have no such: choose one of: {', '.join(there)}.")
    source = there[number]
    target = first = made_ready(folder) / kind / f"{source.stem}.fresh{source.suffix}"
    with alone(first):
        again = 2
        while os.path.lexists(target):  # a link that leads nowhere is the reader's too
            target = first.with_name(f"{source.stem}.fresh-{again}{source.suffix}")
            again += 1
        write_whole(target, source.read_bytes())
    return target


def open_lab(folder: str | Path, notebook: str | Path) -> int:
    """Start JupyterLab in `folder` with `notebook` open; return its exit code when it ends.

    Parameters
    ----------
    folder, notebook : str or Path
        The reader's folder, and a notebook below it.

    Returns
    -------
    int
        Its exit code.

    Raises
    ------
    ValueError
        If JupyterLab is not installed.
    """
    if importlib.util.find_spec("jupyterlab") is None:
        raise ValueError('JupyterLab is not installed here: install it with  pip install "cyclokit[lab]"')
    return run_to_its_end(lab_command(folder, notebook), env=lab_environment())


def lab_command(folder: str | Path, notebook: str | Path) -> list[str]:
    """The command that starts JupyterLab, reachable from this machine only."""
    folder, notebook = as_path("folder", folder), as_path("notebook", notebook)
    if not notebook.is_relative_to(folder):
        raise ValueError(f"notebook is {shown(str(notebook))}, but must be in {shown(str(folder))}: give one in there.")
    return [
        sys.executable,
        *("-m", "jupyterlab", "--ServerApp.ip=127.0.0.1", "--LabApp.extension_manager=readonly"),
        "--ServerApp.allow_root=True",  # in a container one often is root
        "--ServerApp.kernel_websocket_connection_class=cyclokit.course.reader.connection.PromptConnection",
        f"--ServerApp.root_dir={folder.resolve()}",
        f"--LabApp.default_url=/lab/tree/{quote(notebook.relative_to(folder).as_posix())}",
    ]


def lab_environment() -> dict[str, str]:
    """This environment, with a JupyterLab setting that keeps the news prompt away."""
    own = str(PACKAGE / "course" / "reader" / "jupyter")
    paths = [own, *filter(None, [os.environ.get("JUPYTER_CONFIG_PATH")])]
    return {**os.environ, "JUPYTER_CONFIG_PATH": os.pathsep.join(paths)}


def run_to_its_end(command: list[str], env: dict[str, str] | None = None, cwd: str | Path | None = None) -> int:
    """Run a command and return its exit code; Ctrl+C is left to it, and it is waited for."""
    with subprocess.Popen(command, env=env, cwd=cwd) as running:
        while True:
            try:
                return running.wait()
            except KeyboardInterrupt:  # it had the same key, and JupyterLab asks its own question first
                continue


def made_ready(folder: str | Path) -> Path:
    """Make `folder` and its two parts, and return it, or say in words why it can't be."""
    folder = as_path("folder", folder)
    try:
        for kind in KINDS:
            (folder / kind).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ValueError(
            f"'{plain(folder)}' can't be used as a folder ({error.strerror}): give a folder that you may write to."
        ) from error
    return folder


def _sources() -> list[Path]:
    """Lessons, sheets and the lessons' pictures, in order; not what a reader or a tool left there."""
    return [
        path
        for kind in KINDS
        for path in sorted((notebooks() / kind).rglob("*"))
        if path.suffix in {".ipynb", ".png", ".svg"} and "/." not in f"/{path.relative_to(notebooks()).as_posix()}"
    ]


def _number(path: Path) -> str:
    """A lesson's number from its file name: 03_one_lobe_fewer -> 3, 00b_tools -> 0b."""
    match = re.match(r"0*(\d+[a-z]?)_", path.stem)
    return match[1] if match else path.stem


def _read_memory(folder: Path) -> dict[str, list[str]]:
    """Hashes of what was copied before; a memory that can't be read counts as none, so everything is kept."""
    try:
        memory = json.loads((folder / MEMORY).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(memory, dict):
        return {}
    editions = {name: [known] if isinstance(known, str) else known for name, known in memory.items()}
    return {name: known for name, known in editions.items() if isinstance(known, list)}


def _content(path: Path) -> bytes | None:
    """What is in a file, None if there is none; a link that leads nowhere is none."""
    return path.read_bytes() if path.exists() else None


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
