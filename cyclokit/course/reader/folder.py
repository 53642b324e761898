"""A reader's own copy of the lessons and sheets.

What is copied is remembered in the folder, as hashes of every edition a file has had, so that a file the reader
changed can be told from one that only grew old: the first is kept, the second is renewed. That is written down before
anything is copied: a copying that is killed half-way leaves no file that nobody knows.
"""

import json
import os
import re
from pathlib import Path

from cyclokit.arguments import checked_choice
from cyclokit.course.reader.editions import MEMORY, cells_hash, file_hash, read_memory
from cyclokit.course.reader.typed import typed
from cyclokit.files import alone, as_path, make_folder, write_whole
from cyclokit.texts import plain, shown

KINDS = {"lessons": ("lesson", "--fresh"), "exercises": ("sheet", "--fresh-sheet")}
PACKAGE = Path(__file__).resolve().parents[2]

KEPT = "kept   {name}: you changed it; a newer {what} is there{beside}"
READ_ONLY = "kept   {name}: it is read-only; a newer {what} is there{beside}"
UNKNOWN = "kept   {name}: it isn't the {what} of this version, and whether you changed it isn't known"
RENEWED = "renewed {name}: you hadn't changed it and a newer one is there"
COPIED = "copied {name}"
RENAMED = "renamed {old}: it is {name} now"
KEPT_RENAMED = "kept   {old}: you changed it; in this version it is {name}"
FRESH = "copied a fresh {name}; yours is untouched"
BESIDE = ", and  {command}  puts it beside yours"


def notebooks() -> Path:
    """The folder that holds `lessons` and `exercises`: inside an installed package, or the checkout."""
    installed = PACKAGE / "notebooks"
    return installed if installed.is_dir() else PACKAGE.parent


def copy_all(folder: str | Path) -> list[str]:
    """Copy every lesson and sheet into `folder`, made if it isn't there, never over a file that the reader changed.

    Returns a line for each file that was copied, renewed or renamed, or of which a newer one is there.

    Raises
    ------
    ValueError
        If `folder` is a file, or can't be written to.
    """
    folder = _made_ready(folder)
    with alone(folder / MEMORY):
        memory = read_memory(folder)
        renamed = _renamed(folder, memory)
        planned = _planned(folder, memory)
        _remember(folder, memory)
        lines = [_said(folder, name, line) for name, line in planned.items()]
        for name, line in planned.items():
            if line in (COPIED, RENEWED):
                (folder / name).parent.mkdir(exist_ok=True)
                write_whole(folder / name, (notebooks() / name).read_bytes())
        for old, name in renamed.items():
            if _untouched(folder / old, memory[old]):
                (folder / old).unlink()
                lines.append(RENAMED.format(old=old, name=name))
            elif planned.get(name) == COPIED:
                lines.append(KEPT_RENAMED.format(old=old, name=name))
    return lines


def _planned(folder: Path, memory: dict[str, list[str]]) -> dict[str, str]:
    """What is to be said of each file that isn't as it should be; `memory` is told of every edition that is there."""
    planned = {}
    for source in _sources():
        name, new = source.relative_to(notebooks()).as_posix(), source.read_bytes()
        editions = memory.get(name, [])
        line = _line(folder / name, new, editions)
        if line:
            planned[name] = line
        if line not in (KEPT, READ_ONLY, UNKNOWN):
            hashes = dict.fromkeys([file_hash(new), cells_hash(new)])
            memory[name] = [*editions, *(known for known in hashes if known not in editions)]
    return planned


def _line(target: Path, new: bytes, editions: list[str]) -> str | None:
    """What is to be done with one file, as the line that says so; None where it stays and nothing is newer."""
    there = _content(target)
    if there is None:
        return COPIED
    if there == new:
        return None
    same_cells = cells_hash(there) == cells_hash(new)
    if not same_cells and not _is_edition(there, editions):
        newer = not _is_edition(new, editions)
        return (KEPT if editions else UNKNOWN) if newer else None
    if same_cells and file_hash(there) not in editions:  # it was run, or JupyterLab saved it
        return None
    return RENEWED if target.stat().st_mode & 0o200 else READ_ONLY


def _is_edition(content: bytes, editions: list[str]) -> bool:
    return file_hash(content) in editions or cells_hash(content) in editions


def _untouched(target: Path, editions: list[str]) -> bool:
    """Whether a file is a copy that nobody has changed or protected."""
    return target.stat().st_mode & 0o200 != 0 and _is_edition(target.read_bytes(), editions)


def _renamed(folder: Path, memory: dict[str, list[str]]) -> dict[str, str]:
    """Notebooks copied under a name that they don't have any more, each with its name today."""
    today = [source.relative_to(notebooks()) for source in _sources() if source.suffix == ".ipynb"]
    renamed = {}
    for old in map(Path, memory):
        stands = old.parent.as_posix() in KINDS and (folder / old).is_file() and not (folder / old).is_symlink()
        if not stands or old.suffix != ".ipynb" or old in today:
            continue
        same_kind = [path for path in today if path.parent == old.parent]
        for same in (_title, _number):
            if found := [path for path in same_kind if same(path) == same(old)]:
                renamed[old.as_posix()] = found[0].as_posix()
                break
    return renamed


def _said(folder: Path, name: str, line: str) -> str:
    """A line about one file, with the command that gives a fresh one where there is such."""
    path = Path(name)
    if path.suffix != ".ipynb":
        return line.format(name=name, what="one", beside="")
    what, option = KINDS[path.parent.as_posix()]
    number = _number(path)
    beside = BESIDE.format(command=typed("open", str(folder), option, number))
    return line.format(name=name, what=f"{what} {number}", beside=beside)


def _remember(folder: Path, memory: dict[str, list[str]]) -> None:
    known = json.dumps(memory, indent=1, sort_keys=True).encode()
    if _content(folder / MEMORY) != known:
        write_whole(folder / MEMORY, known)


def copy_fresh(folder: str | Path, number: str, kind: str = "lessons") -> Path:
    """Put a fresh copy of one lesson or exercise sheet beside the reader's, under a name that wasn't taken.

    Numbers are those of files, such as "3" or "0b"; the folder is made if it isn't there.

    Raises
    ------
    ValueError
        If it is not there, or the folder can't be written to.
    """
    checked_choice("kind", kind, tuple(KINDS))
    there = {_number(path): path for path in _sources() if path.parent.name == kind and path.suffix == ".ipynb"}
    if not isinstance(number, str) or number not in there:
        raise ValueError(f"number is {shown(number)}, but {kind} have no such: choose one of: {', '.join(there)}.")
    source = there[number]
    folder = _made_ready(folder)
    with alone(folder / MEMORY):
        _remember(folder, read_memory(folder))  # from now on this is a reader's folder
    target = first = folder / kind / f"{source.stem}.fresh{source.suffix}"
    with alone(first):
        again = 2
        while os.path.lexists(target):  # a link that leads nowhere is the reader's too
            target = first.with_name(f"{source.stem}.fresh-{again}{source.suffix}")
            again += 1
        write_whole(target, source.read_bytes())
    return target


def copies(folder: str | Path) -> list[bytes]:
    """The package's notebooks of which a copy that is the same to the byte stands in the reader's folder."""
    folder = as_path("folder", folder)
    stand = [path for kind in KINDS for path in (folder / kind).glob("*.ipynb") if path.is_file()]
    there = {file_hash(path.read_bytes()) for path in stand}
    own = [source.read_bytes() for source in _sources() if source.suffix == ".ipynb"]
    return [content for content in own if file_hash(content) in there]


def is_readers(folder: str | Path) -> bool:
    """Whether lessons were copied into a folder before."""
    return (as_path("folder", folder) / MEMORY).is_file()


def _made_ready(folder: str | Path) -> Path:
    """Make `folder` and its two parts, and return it, or say in words why it can't be."""
    folder = as_path("folder", folder)
    try:
        for place in (folder, *(folder / kind for kind in KINDS)):
            make_folder(place)
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


def _title(path: Path) -> str:
    """A lesson's name without its number."""
    return path.stem.partition("_")[2]


def _content(path: Path) -> bytes | None:
    """What is in a file, None if there is none; a link that leads nowhere is none."""
    return path.read_bytes() if path.exists() else None
