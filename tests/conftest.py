"""What all tests share: no silent skips in continuous integration, a browser, lessons opened in JupyterLab."""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import settings

from cyclokit import clone

STARTS_WITHIN = 30  # s: JupyterLab answers about 2.5 s after its start, ten times that on a loaded machine
ENDS_WITHIN = 20  # s

# what a test finds doesn't depend on how fast the machine is
settings.register_profile("unhurried", settings(), deadline=None)
settings.load_profile("unhurried")


# Files that take longest, the longest first: what is left for the end is short, so that both workers end together.
LONGEST = (
    "test_lab",
    "test_pictures_stay",
    "test_pages",
    "test_first_week",
    "test_tasks",
    "test_mark",
    "test_blanks",
    "test_wrong_kinds",
    "test_browser",
    "test_search",
    "test_files",
    "test_keyboard",
    "test_brute_force",
    "test_polygon",
    "test_command_line",
    "test_figures",
    "test_assembly",
    "test_cases",
)


def pytest_collection_modifyitems(items):
    """Begin with the files that take longest; within a file nothing changes."""
    place = {name: number for number, name in enumerate(LONGEST)}
    items.sort(key=lambda item: place.get(item.path.stem, len(LONGEST)))


@pytest.hookimpl(wrapper=True, tryfirst=True)  # outermost, so that expected failures are told apart already
def pytest_runtest_makereport(item, call):
    """Turn a skipped test into a failed one where CI is true."""
    return _failed_if_skipped((yield))


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_make_collect_report(collector):
    """Turn a whole file that was skipped into a failed one where CI is true."""
    return _failed_if_skipped((yield))


def _failed_if_skipped(report):
    if os.environ.get("CI") == "true" and report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = f"skipped in continuous integration, which counts as failed: {reason}"
    return report


@pytest.fixture(scope="session", autouse=True)
def commands_run_here():
    """Commands of ours run in the environment that is tried, though the clone may have another one of its own."""
    with pytest.MonkeyPatch.context() as patch:
        if clone.elsewhere():
            patch.setattr(clone, "PYTHON", Path(sys.prefix) / clone.PYTHON.relative_to(clone.PYTHON.parents[1]))
        yield


@pytest.fixture(scope="session")
def chromium():
    """Where Chromium or Chrome is."""
    names = (os.environ.get("CHROMIUM", ""), "chromium", "chromium-browser", "google-chrome", "chrome")
    for name in names:
        if name and (found := shutil.which(name)):
            return found
    pytest.skip("no Chromium or Chrome on the PATH: install one, or set CHROMIUM to where it is")


@dataclass
class Lab:
    """A running `cyclokit open`: its process, the reader's folder, the file with what it has printed so far."""

    process: subprocess.Popen
    folder: Path
    printed: Path

    @property
    def text(self):
        """What it has printed so far."""
        return self.printed.read_text(encoding="utf-8")

    @property
    def address(self):
        """The address with a token that JupyterLab has printed, "" before it has."""
        found = re.search(r"http://127\.0\.0\.1:\d+/\S*\?token=\w+", self.text)
        return found[0] if found else ""

    def of(self, path):
        """The address of another page of this server."""
        server, token = self.address.partition("/lab")[0], self.address.rpartition("=")[2]
        return f"{server}{path}{'&' if '?' in path else '?'}token={token}"


@pytest.fixture(scope="session")
def open_lessons():
    """Start `cyclokit open` with all that it writes below one directory; a context that ends it again."""
    return _open_lessons


@contextmanager
def _open_lessons(home):
    own = {f"JUPYTER_{kind}_DIR": str(home / kind) for kind in ("CONFIG", "DATA", "RUNTIME")}
    no_window = {"BROWSER": f"{Path(sys.executable).as_posix()} -c pass %s"}
    folder, printed = home / "Mes leçons ici", home / "printed.txt"  # a name with spaces and an accent
    with printed.open("wb") as output, _keyboard() as keyboard:
        process = subprocess.Popen(
            [sys.executable, "-m", "cyclokit", "open", str(folder)],
            env={
                **_outside_pytest(),
                **own,
                **no_window,
                "IPYTHONDIR": str(home / "ipython"),
                "PYTHONIOENCODING": "utf-8",
            },
            cwd=home,
            stdin=keyboard,
            stdout=output,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        lab = Lab(process, folder, printed)
        try:
            end = time.monotonic() + STARTS_WITHIN
            while not _answers(lab) and process.poll() is None and time.monotonic() < end:
                time.sleep(0.1)
            assert _answers(lab), lab.text
            yield lab
        finally:
            _end(lab)


def _outside_pytest():
    """This environment as a reader has it, whose kernels don't take themselves for pytest's."""
    return {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}


@contextmanager
def _keyboard():
    """A terminal to read from, where the system has such: there JupyterLab asks before it ends."""
    if not hasattr(os, "openpty"):
        yield subprocess.DEVNULL
        return
    ends = os.openpty()
    yield ends[1]
    for end in ends:
        os.close(end)


def _answers(lab):
    """Whether the address has been printed and the server listens there: it, as it knows the token, not another."""
    try:
        return bool(lab.address) and urllib.request.urlopen(lab.of("/api/status"), timeout=5).status == 200
    except OSError:
        return False


def _end(lab):
    """Ask the server to end; if it doesn't, end the processes that were started here."""
    try:
        if lab.process.poll() is None and lab.address:
            asking = urllib.request.Request(lab.of("/api/shutdown"), method="POST")
            urllib.request.urlopen(asking, timeout=ENDS_WITHIN).close()
        lab.process.wait(ENDS_WITHIN)
    except (OSError, subprocess.TimeoutExpired):
        lab.process.kill()
        lab.process.wait(ENDS_WITHIN)
    if lab.process.returncode != 0 and hasattr(os, "killpg"):
        with suppress(ProcessLookupError):  # the JupyterLab that it may have left behind, in the group made for it
            os.killpg(lab.process.pid, signal.SIGKILL)
