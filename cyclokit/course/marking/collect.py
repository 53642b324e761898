"""What was handed in: notebooks in any folders or zip files, read as data. Nothing is run, no link followed."""

import json
import os
import re
import stat
import zipfile
from collections import Counter
from collections.abc import Iterator
from io import BufferedReader, FileIO
from lzma import LZMAError
from pathlib import Path
from typing import Any, NamedTuple
from zlib import error as ZlibError

from cyclokit.course.sheets.hand_in import FORM, MIME, cell_hash, receipt, sets
from cyclokit.files import as_path
from cyclokit.signatures import read as reading
from cyclokit.texts import shown

MOST_NOTEBOOK = 50_000_000  # bytes
MOST_DATA = 1_000_000  # characters
MOST_IN_ZIP = 20_000  # files
MOST_ZIP = 2_000_000_000  # bytes of all notebooks in one zip file
MOST_LIST = 10_000_000  # bytes of a zip file's list of files
LONGEST_NUMBER = 400  # characters
LONGEST_PLACE = 1000
LONGEST_SHOWN = 50  # characters of a name that is refused
OWN_CELL = 40  # characters that a cell has that can be told from another's

SENTENCES = {
    "link": "is a link, and was not followed",
    "kind": "is neither a notebook nor a zip file, and was not read",
    "large": "has more than 50 MB, and was not read",
    "system": "can't be read: {error}",
    "zip": "is no zip file that can be read",
    "inner": "is a zip file in a zip file, and was not read: unpack the outer one",
    "many": "holds too much, and was not read further",
    "long": "has a name in its zip file that is too long, and was not read",
    "name": "has a name in its zip file that leads elsewhere, and was not read",
    "locked": "is locked by a password in its zip file",
    "twice": "stands twice in its zip file, and was not read",
    "text": "is no text in UTF-8",
    "json": "is no JSON that can be read: {why}",
    "notebook": "is no notebook of format 4",
    "none": "holds nothing that was handed in: the last cell was not run, or its output was cleared",
    "several": "holds {count} outputs to be handed in that differ: run the last cell again, and delete copies",
    "data": "holds data that can't be read: {why}",
    "receipt": "The receipt code does not fit the data: the output was changed by hand.",
    "edited": "{name}: the cell that sets it was changed after the last cell was run, or was not run.",
}


class CantRead(Exception):
    """A hand-in that can't be read; the message says why."""

    def __init__(self, sentence: str, **words: object) -> None:
        super().__init__(SENTENCES[sentence].format(**words))


class _HandedIn(NamedTuple):
    """What was read from a notebook: the data, what is to be remarked, and hashes of the cells that are its own."""

    data: dict[str, Any]
    remarks: list[str]
    own_cells: frozenset[str]


def notebooks(folder: str | Path) -> Iterator[tuple[str, bytes | CantRead]]:
    """Every file below a folder, in the order of their names: its place, and its content or why there is none."""
    there = as_path("folder", folder)
    if not there.is_dir():
        raise ValueError(f"folder is {shown(str(folder))}, but there is no such folder: give one with notebooks.")
    return _notebooks(there)


def _notebooks(folder: Path) -> Iterator[tuple[str, bytes | CantRead]]:
    for path in _files(folder):
        place = path.relative_to(folder).as_posix()
        try:
            yield from _of_file(path, place)
        except OSError as error:
            yield place, CantRead("system", error=error.strerror)


def _files(folder: Path) -> Iterator[Path]:
    with os.scandir(folder) as entries:
        for entry in sorted(entries, key=lambda entry: entry.name):
            if entry.name.startswith(".") or entry.name == "__MACOSX":  # what systems and JupyterLab leave
                continue
            if entry.is_dir(follow_symlinks=False):
                yield from _files(Path(entry.path))
            else:
                yield Path(entry.path)


def _of_file(path: Path, place: str) -> Iterator[tuple[str, bytes | CantRead]]:
    about = path.lstat()
    suffix = path.suffix.casefold()
    if stat.S_ISLNK(about.st_mode):
        yield place, CantRead("link")
    elif not stat.S_ISREG(about.st_mode) or suffix not in {".ipynb", ".zip"}:
        yield place, CantRead("kind")
    elif suffix == ".zip":
        yield from _of_zip(path, place)
    elif about.st_size > MOST_NOTEBOOK:
        yield place, CantRead("large")
    else:
        yield place, path.read_bytes()


class _Careful(BufferedReader):
    """A zip file whose list of files is not read if it is too long to be held."""

    def read(self, size: int | None = -1, /) -> bytes:
        """As of any file."""
        if size is not None and size > MOST_LIST:
            raise zipfile.BadZipFile
        return super().read(size)


def _of_zip(path: Path, place: str) -> Iterator[tuple[str, bytes | CantRead]]:
    try:
        with _Careful(FileIO(path)) as file, zipfile.ZipFile(file) as archive:
            members = [(_name(member), member) for member in archive.infolist() if not member.is_dir()]
            members = [(name, member) for name, member in members if not _litter(name)]
            names = Counter(name for name, _ in members)
            left = MOST_ZIP
            for name, member in members[:MOST_IN_ZIP]:
                inner = f"{place}/{name}"
                if why := _refused(name, member) or ("twice" if names[name] > 1 else ""):
                    yield f"{place}/{_harmless(name)}" if why in ("name", "long") else inner, CantRead(why)
                    continue
                if (left := left - member.file_size) < 0:
                    break
                try:
                    with archive.open(member) as content:
                        yield inner, content.read(MOST_NOTEBOOK)
                except (zipfile.BadZipFile, ZlibError, LZMAError, EOFError, OSError, ValueError, RuntimeError):
                    yield inner, CantRead("zip")
            if left < 0 or len(members) > MOST_IN_ZIP:
                yield place, CantRead("many")
    except (zipfile.BadZipFile, NotImplementedError, ValueError, EOFError):
        yield place, CantRead("zip")


def _name(member: zipfile.ZipInfo) -> str:
    """A file's name in a zip file, however its maker separates folders, and without a "./" at its beginning."""
    return member.filename.replace("\\", "/").removeprefix("./")


def _litter(name: str) -> bool:
    return any((part.startswith(".") and part not in (".", "..")) or part == "__MACOSX" for part in name.split("/"))


def _harmless(name: str) -> str:
    """A name to be listed, and for the reply."""
    safe = re.sub(r'[\\/:*?"<>|\x00-\x1f]|\.\.', "_", name)
    return safe if len(safe) <= LONGEST_SHOWN else f"{safe[:LONGEST_SHOWN]}_{cell_hash(name)}.ipynb"


def _refused(name: str, member: zipfile.ZipInfo) -> str:
    """Why a file in a zip file isn't read, "" if it is."""
    parts = name.split("/")
    if {".", "..", ""} & set(parts) or re.search(r'[:*?"<>|\x00-\x1f]', name):
        return "name"
    if len(name) > LONGEST_PLACE or any(len(part.encode("utf-8", "replace")) > 200 for part in parts):
        return "long"
    if stat.S_ISLNK(member.external_attr >> 16):
        return "link"
    if not name.casefold().endswith(".ipynb"):
        return "inner" if name.casefold().endswith(".zip") else "kind"
    if member.flag_bits & 1:
        return "locked"
    return "large" if member.file_size > MOST_NOTEBOOK else ""


@reading
def read(content: bytes, names: dict[str, list[str]]) -> _HandedIn:
    """What a notebook hands in; `names` has for each sheet those of its answers, to see which cells set them.

    Raises
    ------
    CantRead
        If it can't be read, or holds no data to be handed in, or several that differ.
    """
    cells = _cells(_json(content))
    texts = [text for kind, text, _ in cells if kind == "code"]
    found = {json.dumps(data, sort_keys=True): data for _, _, outputs in cells for data in _handed(outputs)}
    if not found:
        raise CantRead("none")
    if len(found) > 1:
        raise CantRead("several", count=len(found))
    ((text, data),) = found.items()
    if len(text) > MOST_DATA:
        raise CantRead("data", why="there is too much of it")
    data = _checked(data)
    own = names.get(data["sheet"], [])
    remarks = [] if receipt(data) == data["receipt"] else [SENTENCES["receipt"]]
    remarks += [SENTENCES["edited"].format(name=name) for name in own if _edited(texts, name, data)]
    setting = [text for text in texts if len(text) >= OWN_CELL and not re.search(r"\byours\b", text)]
    setting = [text for text in setting if any(sets(text, name) for name in own)]
    return _HandedIn(data, remarks, frozenset(cell_hash(" ".join(text.split())) for text in setting))


def _edited(texts: list[str], name: str, data: dict[str, Any]) -> bool:
    """Whether the cell that set an answer isn't there as it was run, or one that sets it was not run."""
    hashes = [cell_hash(text) for text in texts if sets(text, name)]
    ran, last = set(data["cells"]), data["set_by"].get(name)
    return any(known not in ran for known in hashes) or (last is not None and last not in hashes)


def _json(content: bytes) -> Any:
    if len(content) > MOST_NOTEBOOK:
        raise CantRead("large")
    try:
        return json.loads(
            content.decode("utf-8-sig"), object_pairs_hook=_once, parse_constant=_no_number,
            parse_float=_number, parse_int=_whole,
        )  # fmt: skip
    except UnicodeDecodeError:
        raise CantRead("text") from None
    except RecursionError:
        raise CantRead("json", why="it is nested too deeply") from None
    except ValueError as error:
        words = getattr(error, "msg", None) or str(error)
        raise CantRead("json", why=words) from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a name stands twice in it")
    return found


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")


def _number(text: str) -> float:
    value = float(text) if len(text) <= LONGEST_NUMBER else float("inf")
    if value in (float("inf"), float("-inf")):
        raise ValueError("a number in it is too large or too long")
    return value


def _whole(text: str) -> int:
    if len(text) > LONGEST_NUMBER:
        raise ValueError("a number in it is too long")
    return int(text)


def _cells(notebook: Any) -> list[tuple[str, str, list[Any]]]:
    """Kind, source and outputs of each cell."""
    try:
        if type(notebook["nbformat"]) is not int or notebook["nbformat"] != 4:
            raise CantRead("notebook")
        return [_cell(cell) for cell in notebook["cells"]]
    except (KeyError, TypeError, AttributeError):
        raise CantRead("notebook") from None


def _cell(cell: dict[str, Any]) -> tuple[str, str, list[Any]]:
    source, outputs = cell["source"], cell.get("outputs", [])
    text = source if isinstance(source, str) else "".join(source)
    if not isinstance(cell["cell_type"], str) or not isinstance(outputs, list):
        raise CantRead("notebook")
    return cell["cell_type"], text, outputs


def _handed(outputs: list[Any]) -> Iterator[Any]:
    for output in outputs:
        data = output.get("data") if isinstance(output, dict) else None
        if isinstance(data, dict) and MIME in data:
            yield data[MIME]


def _checked(data: Any) -> dict[str, Any]:
    """The data, if it has the form of ours: texts, lists and names of texts, and nothing else."""
    texts = ("form", "sheet", "word", "edition", "version", "receipt")
    if not isinstance(data, dict) or set(data) != {*texts, "answers", "cells", "set_by"}:
        raise CantRead("data", why="it has not the parts that are expected")
    answers = data["answers"]
    good = all(isinstance(data[name], str) for name in texts) and _all_texts(data["cells"], list)
    good = good and _all_texts(data["set_by"], dict) and isinstance(answers, dict)
    good = good and all(isinstance(kept, dict) and isinstance(kept.get("state"), str) for kept in answers.values())
    parts = (part for kept in answers.values() for part in kept.values()) if good else ()
    if not good or not all(isinstance(part, str) or _all_texts(part, list) for part in parts):
        raise CantRead("data", why="a part of it is of another kind than is expected")
    if data["form"] != FORM:
        raise CantRead("data", why=f"its form is not {FORM}")
    return data


def _all_texts(thing: Any, kind: type) -> bool:
    parts = thing.values() if isinstance(thing, dict) else thing
    return isinstance(thing, kind) and all(isinstance(part, str) for part in parts)
