"""Whether everything that the lessons need is there."""

import os
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement

from cyclokit.course.reader.typed import typed
from cyclokit.files import as_path

FINE = "Everything is there: you can start."
MISSING = (
    "{name} is missing or too old (it must be {needed}): run  %pip install --upgrade {name}  in an empty "
    "cell of this page, then restart the kernel."
)
NO_FOLDER = "This folder can't be written to: copy the lessons to a folder of yours with  {command}"


def report(folder: str | Path = Path()) -> str:
    """A line for each thing that is missing here, or one that says that all is there; lessons write to `folder`."""
    wanted = [Requirement(text) for text in metadata.requires("cyclokit") or []]
    wanted = [need for need in wanted if need.marker is None or need.marker.evaluate({"extra": "lab"})]
    lines = [MISSING.format(name=need.name, needed=need.specifier) for need in wanted if not _there(need)]
    if not os.access(as_path("folder", folder), os.W_OK):
        lines.append(NO_FOLDER.format(command=typed("open", "FOLDER")))
    return "\n".join(lines) or FINE


def _there(need: Requirement) -> bool:
    try:
        return need.specifier.contains(metadata.version(need.name), prereleases=True)
    except metadata.PackageNotFoundError:
        return False
