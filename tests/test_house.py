"""The house: seven entries at the top, one style throughout, and no test that is quietly left out."""

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[1]
ENTRIES = {"README.md", "DEVELOPERS.md", "pyproject.toml", "lessons", "cyclokit", "tests", "exercises"}
NOT_OURS = {"my-lessons", "dist", "build", "__pycache__"}  # what readers and tools make in a clone


def _run(*command, cwd=ROOT, **settings):
    """Run a command; its exit code and all that it printed."""
    done = subprocess.run(
        command,
        cwd=cwd,
        env={**os.environ, **settings},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        check=False,
        timeout=120,
    )
    return done.returncode, done.stdout


def _passes(*command):
    code, printed = _run(*command)
    assert code == 0, printed


def _files():
    """The project's files: those that git has or would take; without git, all that no tool made."""
    if (ROOT / ".git").exists() and shutil.which("git"):
        code, printed = _run("git", "ls-files", "--cached", "--others", "--exclude-standard", "-z")
        if code == 0:
            return [Path(name) for name in printed.split("\0") if name and (ROOT / name).exists()]
    tops = [path for path in ROOT.iterdir() if _ours(path.relative_to(ROOT))]  # an environment has thousands of files
    paths = [path for top in tops for path in (top, *top.rglob("*"))]
    return [path.relative_to(ROOT) for path in paths if path.is_file() and _ours(path.relative_to(ROOT))]


def _ours(path):
    return not NOT_OURS & set(path.parts) and not any(part.startswith(".") for part in path.parts)


# the layout


def test_seven_entries_stand_at_the_top_and_no_other():
    assert {path.parts[0] for path in _files() if not path.parts[0].startswith(".")} == ENTRIES


def test_the_layout_can_be_seen_without_git_too(monkeypatch):
    monkeypatch.setattr(shutil, "which", lambda name: None)
    assert {path.parts[0] for path in _files() if not path.name.endswith(".egg-info")} >= ENTRIES


def test_names_of_files_work_on_every_system():
    # Windows and macOS take a.py and A.py for the same file; spaces make commands longer
    names = [path.as_posix() for path in _files()]
    assert len({name.lower() for name in names}) == len(names)
    assert not [name for name in names if re.search(r"[^\w./-]", name)]


def test_the_files_that_the_developers_are_told_about_are_there():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    told = re.findall(r"[ `]((?:tests|cyclokit|lessons|exercises|\.ci)/[\w./]*\w)", text)
    assert told
    for name in told:
        assert (ROOT / name).exists() or "NN_name" in name, name


def test_the_rooms_that_the_developers_are_told_about_are_those_that_are_there():
    table = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("| room | holds |")[2].partition("\n\n")[0]
    told = set(re.findall(r"`(\w+)/?(?:\.py|\.js)?`", table))
    modules = {path.stem for path in (ROOT / "cyclokit").rglob("*.py")} - {"__init__"}
    assert modules <= told, sorted(modules - told)


def test_continuous_integration_runs_the_readmes_command():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "python3 -m cyclokit test" in script
    assert "`python3 -m cyclokit test`" in (ROOT / "README.md").read_text(encoding="utf-8")
    assert "export CI=true" in script
    assert os.name == "nt" or os.access(ROOT / ".ci" / "run", os.X_OK)


def test_the_known_good_versions_are_within_those_that_are_promised():
    lines = (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    assert re.fullmatch(r"# Python 3\.\d+, \w+", lines[0])
    known = dict(line.split("==") for line in lines[1:])
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = [project["dependencies"], *project["optional-dependencies"].values()]
    promised = [Requirement(text) for group in groups for text in group if not text.startswith("cyclokit")]
    known = {canonicalize_name(name): version for name, version in known.items()}
    for need in promised:
        assert need.specifier.contains(known[canonicalize_name(need.name)]), need


# the style


def test_the_code_is_in_one_style():
    _passes(sys.executable, "-m", "ruff", "check", "--no-cache", ".")
    _passes(sys.executable, "-m", "ruff", "format", "--no-cache", "--check", ".")


def test_the_types_fit():
    _passes(sys.executable, "-m", "mypy", "cyclokit")


def test_every_public_function_is_documented_as_numpydoc_asks():
    modules = sorted(str(path) for path in (ROOT / "cyclokit").rglob("*.py"))
    _passes(sys.executable, "-m", "numpydoc", "lint", "--config", str(ROOT), *modules)


# a skipped test counts as failed in continuous integration

SKIPS = {
    "test_one.py": "import pytest\ndef test_skipped(): pytest.skip('no browser')\ndef test_passed(): pass\n",
    "test_two.py": "import pytest\npytest.skip('no such system', allow_module_level=True)\n",
    "test_three.py": "import pytest\n@pytest.mark.skipif(True, reason='too slow')\ndef test_marked(): pass\n",
    "test_four.py": "import pytest\n@pytest.fixture\ndef tool(): pytest.skip('no tool')\ndef test_with(tool): pass\n",
    "test_five.py": "import pytest\n@pytest.mark.xfail(reason='known')\ndef test_known(): assert False\n",
}
REASONS = ("no browser", "no such system", "too slow", "no tool")


@pytest.fixture
def skipping(tmp_path):
    """A directory of tests that are skipped in every way, with our conftest."""
    shutil.copy(ROOT / "tests" / "conftest.py", tmp_path)
    for name, text in SKIPS.items():
        (tmp_path / name).write_text(text)
    return tmp_path


def _pytest(place, *options, ci):
    # without the plugins that happen to be installed: they take seconds to load
    settings = {"CI": ci, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"}
    return _run(sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-rfEx", *options, cwd=place, **settings)


@pytest.mark.parametrize(
    "workers", [(), ("-p", "xdist", "-n", "2", "--dist", "loadfile")], ids=["alone", "two workers"]
)
def test_in_continuous_integration_a_skipped_test_fails_with_its_reason(workers, skipping):
    code, printed = _pytest(skipping, "--continue-on-collection-errors", *workers, ci="true")
    assert code == 1
    assert all(reason in printed for reason in REASONS), printed
    assert "1 passed" in printed
    assert "1 xfailed" in printed  # a failure that is expected has run, and is told as such
    assert "skipped," not in printed


def test_elsewhere_a_skipped_test_is_skipped(skipping):
    code, printed = _pytest(skipping, ci="false")
    assert code == 0
    assert "4 skipped" in printed
