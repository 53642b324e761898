"""What came of each hand-in, laid aside in a file until marks are written, so that memory need not hold a class."""

import json
from pathlib import Path
from tempfile import TemporaryFile
from types import TracebackType
from typing import NamedTuple

from cyclokit.course.marking.judge import Result
from cyclokit.files import as_path


class Outcome(NamedTuple):
    """What came of a hand-in: of each task by its letter, what is to be remarked, hashes of the cells of its own."""

    place: str
    receipt: str
    results: dict[str, Result]
    remarks: list[str]
    own_cells: list[str]


class LaidAside:
    """A file without a name on a folder's disk, gone when it is closed or the program ends."""

    def __init__(self, folder: str | Path) -> None:
        self._file = TemporaryFile(dir=as_path("folder", folder))  # noqa: SIM115  (closed at the end of the block)

    def __enter__(self) -> "LaidAside":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: object, trace: TracebackType | None) -> None:
        self._file.close()

    def add(self, outcome: Outcome) -> int:
        """Lay one aside; return where it is."""
        where = self._file.seek(0, 2)
        self._file.write(json.dumps(outcome).encode() + b"\n")
        return where

    def at(self, where: int) -> Outcome:
        """What was laid aside there."""
        self._file.seek(where)
        place, receipt, results, remarks, own_cells = json.loads(self._file.readline())
        return Outcome(place, receipt, {letter: Result(*of) for letter, of in results.items()}, remarks, own_cells)
