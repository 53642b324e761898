"""Whether all is there that the lessons need, said in words that help."""

import re
import shlex
from importlib import metadata
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from cyclokit.course import installation
from cyclokit.course.reader.typed import typed


@pytest.fixture
def versions(monkeypatch):
    """Versions that seem to be installed, in place of the real ones; None is a package that is missing."""
    pretended = {}
    real = metadata.version

    def version(name):
        found = pretended.get(name, "real")
        if found is None:
            raise metadata.PackageNotFoundError(name)
        return real(name) if found == "real" else found

    monkeypatch.setattr(installation.metadata, "version", version)
    return pretended


def test_here_everything_is_there(tmp_path):
    assert installation.report(tmp_path) == installation.FINE
    assert len(installation.FINE.splitlines()) == 1


@pytest.mark.parametrize("found", [None, "0.1"])
@pytest.mark.parametrize("name", ["sympy", "jupyterlab"])  # one that all need, one that the lessons need
def test_what_is_missing_or_too_old_is_named(name, found, versions, tmp_path):
    versions[name] = found
    (line,) = installation.report(tmp_path).splitlines()
    assert line.startswith(f"{name} ")
    assert ">=" in line


def test_each_missing_thing_has_its_line(versions, tmp_path):
    versions.update(numpy=None, scipy="0.1", matplotlib=None)
    names = [line.split()[0] for line in installation.report(tmp_path).splitlines()]
    assert sorted(names) == ["matplotlib", "numpy", "scipy"]


def test_what_only_the_developers_need_is_not_asked_for(versions, tmp_path):
    versions.update(pytest=None, hypothesis=None, ruff=None)
    assert installation.report(tmp_path) == installation.FINE


@pytest.mark.parametrize("version", ["99.0", "99.0rc1"])
def test_a_newer_one_will_do_and_so_will_its_preview(version, versions, tmp_path):
    versions["sympy"] = version
    assert installation.report(tmp_path) == installation.FINE


def test_the_advice_would_renew_what_is_too_old(versions, tmp_path):
    # pip leaves an installed package as it is unless told which version to have:
    # https://pip.pypa.io/en/stable/cli/pip_install/
    versions["sympy"] = "0.1"
    advice = re.search(r"pip install (.*?)(?:  |$)", installation.report(tmp_path))[1]
    (asked,) = (word for word in shlex.split(advice) if not word.startswith("-"))
    wanted = Requirement(asked)
    assert wanted.name == "sympy"
    assert "--upgrade" in advice or not wanted.specifier.contains("0.1")


def test_the_advice_can_be_typed_on_windows_too(versions, tmp_path):
    # cmd.exe hands single quotes on to the program as they are; common practice, no source
    versions["sympy"] = None
    assert "'" not in installation.report(tmp_path).partition("pip install")[2].partition("  ")[0]


def test_a_folder_that_can_not_be_written_to_is_said(monkeypatch, tmp_path):
    monkeypatch.setattr(installation.os, "access", lambda *_: False)
    (line,) = installation.report(tmp_path).splitlines()
    assert "can't be written to" in line
    assert line.endswith(typed("open", "FOLDER"))


def test_the_folder_it_asks_about_is_the_one_the_lesson_is_in(monkeypatch):
    asked = []
    monkeypatch.setattr(installation.os, "access", lambda folder, mode: asked.append(folder) or True)
    installation.report()
    assert asked == [Path()]
