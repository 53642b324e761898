"""JupyterLab: started in the reader's folder, or asked for its page where it runs already."""

import importlib.util
import os
import socket
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from urllib.parse import quote

from cyclokit.arguments import checked_count, checked_kind
from cyclokit.course.reader.folder import KINDS, PACKAGE, copies, is_readers
from cyclokit.course.reader.typed import in_clone, typed
from cyclokit.files import as_path, make_folder
from cyclokit.texts import plain, shown

FOLDER = "my-lessons"
NOT_INSTALLED = 'JupyterLab is not installed here: install it with  pip install "cyclokit[lab]"'
NOT_IN_CLONE = "JupyterLab is not installed here: in the clone's folder,  {command}  installs it."
OUTSIDE = (
    "'{folder}' isn't below '{root}', where the JupyterLab that runs here finds its files: "
    "give a folder in there, or copy alone, with  {command}"
)
HOME = (
    "JupyterLab keeps settings of its own in '{place}', which can't be used ({reason}): "
    "it needs a home folder that you may write to; the variable HOME names it (on Windows USERPROFILE)."
)


def open_lab(folder: str | Path, notebook: str | Path, browser: bool = True, port: int | None = None) -> int:
    """Start JupyterLab in `folder` with `notebook` open; return its exit code when it ends.

    It chooses a free port by itself where none is given, 1 to 65535. ValueError if JupyterLab is not installed.
    """
    port = _free_port() if port is None else port
    return run_to_its_end(lab_command(folder, notebook, browser, port), env=lab_environment())


def _free_port() -> int:
    """A port that the system hands out, another one each time.

    JupyterLab tries the same ports in the same order, and listens a moment after it tried: of two that start on one
    machine in the same second, one's browser would be sent to the other's.
    """
    with socket.create_server(("127.0.0.1", 0)) as listening:
        return int(listening.getsockname()[1])


def check_installed() -> None:
    """Raise a ValueError that says what to install, if JupyterLab is not there."""
    if importlib.util.find_spec("jupyterlab") is None:
        raise ValueError(NOT_IN_CLONE.format(command=typed("start")) if in_clone() else NOT_INSTALLED)


def check_home() -> None:
    """Raise a ValueError that says where JupyterLab must be able to write, if it isn't."""
    from jupyter_core import paths  # here, so that --help and start need nothing installed

    for place in (paths.jupyter_config_dir(), paths.jupyter_data_dir(), paths.jupyter_runtime_dir()):
        try:
            make_folder(place)
        except OSError as error:
            raise ValueError(HOME.format(place=plain(place), reason=error.strerror)) from error


def lab_command(folder: str | Path, notebook: str | Path, browser: bool = True, port: int | None = None) -> list[str]:
    """The command that starts JupyterLab, reachable from this machine only."""
    folder, notebook = as_path("folder", folder), as_path("notebook", notebook)
    checked_kind("browser", browser, bool)
    if not notebook.is_relative_to(folder):
        raise ValueError(f"notebook is {shown(str(notebook))}, but must be in {shown(str(folder))}: give one in there.")
    return [
        sys.executable,
        *("-m", "jupyterlab", "--ServerApp.ip=127.0.0.1", "--LabApp.extension_manager=readonly"),
        "--ServerApp.allow_root=True",  # in a container one often is root
        "--ServerApp.kernel_websocket_connection_class=cyclokit.course.reader.connection.PromptConnection",
        f"--ServerApp.root_dir={folder.resolve()}",
        f"--LabApp.default_url=/lab/tree/{quote(notebook.relative_to(folder).as_posix())}",
        *([] if browser else ["--no-browser"]),
        *([] if port is None else [f"--ServerApp.port={checked_count('port', port, 1, 65535)}"]),
    ]


def lab_environment() -> dict[str, str]:
    """This environment, without the news prompt; in JupyterLab's terminals our commands are found."""
    own = str(PACKAGE / "course" / "reader" / "jupyter")
    settings = [own, *filter(None, [os.environ.get("JUPYTER_CONFIG_PATH")])]
    programs = [str(Path(sys.executable).parent), *filter(None, [os.environ.get("PATH")])]
    active = {} if sys.prefix == sys.base_prefix else {"VIRTUAL_ENV": sys.prefix}  # Windows' `py` goes by it
    return {
        **os.environ,
        **active,
        "PATH": os.pathsep.join(programs),
        "JUPYTER_CONFIG_PATH": os.pathsep.join(settings),
    }


def running_root() -> Path | None:
    """The folder of the JupyterLab in whose terminal this runs, None elsewhere."""
    inside = os.environ.get("JUPYTER_SERVER_URL") and os.environ.get("JUPYTER_SERVER_ROOT")
    return Path(inside).expanduser() if inside else None


def default_folder() -> Path:
    """The reader's folder if this is it or its part with lessons, else `my-lessons` in here.

    In a terminal of a JupyterLab that runs elsewhere it is JupyterLab's own folder, or `my-lessons` in that.
    """
    if is_readers(Path()):
        return Path()
    if Path.cwd().name in KINDS and is_readers(Path("..")):
        return Path("..")
    root = running_root()
    if root is None or Path.cwd().is_relative_to(root.resolve()):
        return Path(FOLDER)
    return root if is_readers(root) else root / FOLDER


def link(folder: str | Path, notebook: str | Path) -> str:
    """The address of a notebook in the JupyterLab in whose terminal this runs.

    Raises
    ------
    ValueError
        If no JupyterLab runs here, or the folder isn't below its own.
    """
    folder, notebook = as_path("folder", folder), as_path("notebook", notebook)
    if (root := running_root()) is None:
        raise ValueError(f"folder is {shown(str(folder))}, but this is no terminal of JupyterLab: use  {typed('open')}")
    if not folder.resolve().is_relative_to(root.resolve()):
        command = typed("copy", str(folder))
        raise ValueError(OUTSIDE.format(folder=plain(folder), root=plain(root), command=command))
    if not notebook.resolve().is_relative_to(folder.resolve()):
        raise ValueError(f"notebook is {shown(str(notebook))}, but must be in {shown(str(folder))}: give one in there.")
    place = notebook.resolve().relative_to(root.resolve())
    return f"{os.environ['JUPYTER_SERVER_URL'].rstrip('/')}/lab/tree/{quote(place.as_posix())}"


def sign(folder: str | Path) -> None:
    """Tell Jupyter that the package's own notebooks in `folder` are to be trusted: their stored stages then play.

    What differs from the package's own by a byte is left to the reader's own trust.
    """
    own = copies(folder)
    if importlib.util.find_spec("nbformat") is None or not own:
        return
    import nbformat
    from nbformat.sign import NotebookNotary

    with suppress(OSError):  # a home folder that can't be written to: the stages play once they are run
        notary = NotebookNotary()
        for content in own:
            notary.sign(nbformat.reads(content.decode(), as_version=4))


def run_to_its_end(command: list[str], env: dict[str, str] | None = None, cwd: str | Path | None = None) -> int:
    """Run a command and return its exit code; Ctrl+C is left to it, and it is waited for."""
    with subprocess.Popen(command, env=env, cwd=cwd) as running:
        while True:
            try:
                return running.wait()
            except KeyboardInterrupt:  # it had the same key, and JupyterLab asks its own question first
                continue
