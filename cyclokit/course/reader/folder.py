"""A reader's own copy of the lessons and sheets, and JupyterLab opened in it.

What was copied is remembered in the folder, as a hash a file, so that a file the reader changed
can be told from one that only grew old: the first is kept, the second is renewed.
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

from cyclokit.files import write_whole

MEMORY = ".cyclokit.json"
KINDS = ("lessons", "exercises")
PACKAGE = Path(__file__).resolve().parents[2]

KEPT = "kept   {name}: you changed it, so it stays as it is"
RENEWED = "renewed {name}: you hadn't changed it and a newer one is there"
COPIED = "copied {name}"
FRESH = "copied a fresh {name}; yours is untouched"


def notebooks() -> Path:
    """The folder that holds `lessons` and `exercises`: inside an installed package, or the checkout."""
    installed = PACKAGE / "notebooks"
    return installed if installed.is_dir() else PACKAGE.parent


def copy_all(folder: Path) -> list[str]:
    """Copy every lesson and sheet into `folder`, never over a file that the reader changed.

    Parameters
    ----------
    folder : Path
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
    made_ready(folder)
    memory = _read_memory(folder)
    lines = []
    for source in _sources():
        name = source.relative_to(notebooks()).as_posix()
        target, content = folder / name, source.read_bytes()
        if not target.exists():
            lines.append(COPIED.format(name=name))
        elif target.read_bytes() == content:
            memory[name] = _hash(content)
            continue
        elif _hash(target.read_bytes()) == memory.get(name):
            lines.append(RENEWED.format(name=name))
        else:
            lines.append(KEPT.format(name=name))
            continue
        target.parent.mkdir(exist_ok=True)
        write_whole(target, content)
        memory[name] = _hash(content)
    write_whole(folder / MEMORY, json.dumps(memory, indent=1, sort_keys=True).encode())
    return lines


def copy_fresh(folder: Path, number: str, kind: str = "lessons") -> Path:
    """Put a fresh copy of one lesson or exercise sheet beside the reader's.

    Parameters
    ----------
    folder : Path
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
    there = {_number(path): path for path in _sources() if path.parent.name == kind and path.suffix == ".ipynb"}
    if number not in there:
        raise ValueError(f"{kind} have no number {number!r}; choose one of: {', '.join(there)}.")
    made_ready(folder)
    source = there[number]
    target = folder / kind / f"{source.stem}.fresh{source.suffix}"
    again = 2
    while target.exists():
        target = folder / kind / f"{source.stem}.fresh-{again}{source.suffix}"
        again += 1
    write_whole(target, source.read_bytes())
    return target


def open_lab(folder: Path, notebook: Path) -> int:
    """Start JupyterLab in `folder` with `notebook` open; return its exit code when it ends.

    Raises
    ------
    ValueError
        If JupyterLab is not installed.
    """
    if importlib.util.find_spec("jupyterlab") is None:
        raise ValueError('JupyterLab is not installed here: install it with  pip install "cyclokit[lab]"')
    return run_to_its_end(lab_command(folder, notebook), env=lab_environment())


def lab_command(folder: Path, notebook: Path) -> list[str]:
    """The command that starts JupyterLab, reachable from this machine only."""
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


def run_to_its_end(command: list[str], env: dict[str, str] | None = None, cwd: Path | None = None) -> int:
    """Run a command and return its exit code; Ctrl+C is left to it, and it is waited for."""
    with subprocess.Popen(command, env=env, cwd=cwd) as running:
        while True:
            try:
                return running.wait()
            except KeyboardInterrupt:  # it had the same key, and JupyterLab asks its own question first
                continue


def made_ready(folder: Path) -> None:
    """Make `folder` and its two parts, or say in words why it can't be."""
    try:
        for kind in KINDS:
            (folder / kind).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ValueError(
            f"{str(folder)!r} can't be used as a folder ({error.strerror}): give a folder that you may write to."
        ) from error


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


def _read_memory(folder: Path) -> dict[str, str]:
    """What was copied before; a memory that can't be read counts as none, so everything is kept."""
    try:
        memory = json.loads((folder / MEMORY).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return memory if isinstance(memory, dict) else {}


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
