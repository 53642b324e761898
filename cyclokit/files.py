"""Files written whole or not at all, and by one at a time."""

import errno
import os
import secrets
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import lru_cache
from io import BufferedIOBase
from pathlib import Path

from cyclokit.texts import shown

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

WRITING = ".writing-"  # what the files are called that are there only while something is written
SWEPT_EACH = 60.0  # s after which a folder is looked through again for such files
LEFT_OVER = 3600.0  # s after which such a file belongs to nobody, unless somebody holds it
PATIENCE = 20.0  # s to wait for somebody else who writes there
BUSY = "somebody else has been writing in that folder for too long: end that, and try again"
READ_ONLY = "it is read-only and was not touched"
NO_FILE = "what stands there is no file and was not touched"


def as_path(name: str, value: str | os.PathLike[str]) -> Path:
    """A path that was given as text or as a `Path`; `name` is the argument's, for the message.

    Raises
    ------
    TypeError
        If it is of another kind.
    ValueError
        If it is empty, or has a character in it that no path can have.
    """
    text = os.fspath(value) if isinstance(value, str | os.PathLike) else None
    if not isinstance(text, str):
        raise TypeError(f"{name} must be a path such as 'my_drive.toml', not {shown(value)}: give a text or a Path.")
    if not text or "\0" in text:
        raise ValueError(
            f"{name} is {shown(text)}, but a path has at least one character and no NUL: give another one."
        )
    return Path(text)


def make_folder(place: str | os.PathLike[str]) -> None:
    """Make a folder if it isn't there, with those above it.

    Raises
    ------
    OSError
        If it can't be made, is a file, or can't be written to.
    """
    folder = as_path("place", place)
    folder.mkdir(parents=True, exist_ok=True)
    if not os.access(folder, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(folder))


def write_whole(target: str | Path, content: bytes) -> None:
    """Write a file beside its place, then move it there, so that it is never half written.

    A link is followed; a file that is there keeps its mode.

    Raises
    ------
    OSError
        If it can't be written, or what is there is read-only or no file; the message names the target.
    """
    asked = as_path("target", target)
    if not isinstance(content, bytes):
        raise TypeError(f"content must be bytes, not {type(content).__name__}: encode a text first.")
    with _named(asked):
        place = Path(os.path.realpath(asked))
        mode = _mode(place)
        _sweep(place.parent, int(time.monotonic() / SWEPT_EACH))
        _write(place, content, mode)


@contextmanager
def alone(target: str | Path) -> Iterator[None]:
    """Keep everybody else who asks for the same out of a file's folder, to compare and replace what is there.

    It isn't asked for twice by the same hand. On a file system that knows no locks nobody is kept out.

    Raises
    ------
    OSError
        If the folder isn't there or can't be written to, or somebody else keeps it for 20 s; the message names the
        target.
    """
    asked = as_path("target", target)
    place = Path(os.path.realpath(asked)).parent / f"{WRITING}lock"
    with _named(asked):
        lock = _taken(place)
    try:
        yield
    finally:
        _let_go(lock, place)


@contextmanager
def _named(asked: Path) -> Iterator[None]:
    """Errors of the system name the file that was asked for, and no other."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(asked)) from error


def _mode(place: Path) -> int | None:
    """The mode of a file that may be replaced, None if there is none."""
    try:
        there = os.stat(place)
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(there.st_mode):
        raise FileExistsError(errno.EEXIST, NO_FILE)
    if not there.st_mode & 0o222 or not os.access(place, os.W_OK):  # root may write everywhere
        raise PermissionError(errno.EACCES, READ_ONLY)
    return stat.S_IMODE(there.st_mode)


def _write(place: Path, content: bytes, mode: int | None) -> None:
    beside = place.parent / f"{WRITING}{secrets.token_hex(8)}"
    made_with = 0o666 if mode is None else mode & 0o777  # what is private is so from the beginning
    file = open(beside, "xb", opener=lambda path, flags: os.open(path, flags, made_with))  # noqa: SIM115  (below)
    try:
        with file:
            _lock(file)  # so that nobody takes it for a leftover
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
            if os.name != "nt":  # there an open file can't be moved
                _move(beside, place, mode)
        if os.name == "nt":
            _move(beside, place, mode)
    except BaseException:
        with suppress(FileNotFoundError):
            os.unlink(beside)
        raise


def _move(beside: Path, place: Path, mode: int | None) -> None:
    if mode is not None:
        os.chmod(beside, mode)
    os.replace(beside, place)


@lru_cache(maxsize=1)  # thousands of files written into one folder: looked through now and then, not each time
def _sweep(folder: Path, minute: int) -> None:
    """Take away what killed writes have left behind, an hour later."""
    for path in folder.glob(f"{WRITING}*"):
        with suppress(OSError):
            about = path.lstat()
            if stat.S_ISREG(about.st_mode) and time.time() - about.st_mtime > LEFT_OVER:
                with open(path, "rb+") as file:
                    if _lock(file):  # nobody's
                        _let_go(file, path)


def _taken(place: Path) -> BufferedIOBase:
    """The folder's lock, once it is ours."""
    end = time.monotonic() + PATIENCE
    while True:
        file = open(place, "ab")  # noqa: SIM115  (whoever lets go closes it)
        if _lock(file) and _stands_there(file, place):
            return file
        file.close()
        if time.monotonic() > end:
            raise TimeoutError(errno.ETIMEDOUT, BUSY)
        time.sleep(0.005)


def _stands_there(file: BufferedIOBase, place: Path) -> bool:
    """Whether an open file is still the one with that name: who had the lock before has taken its file away."""
    try:
        return os.path.samestat(os.fstat(file.fileno()), os.stat(place))
    except FileNotFoundError:
        return False


def _let_go(lock: BufferedIOBase, place: Path) -> None:
    try:
        os.unlink(place)
    except OSError:  # on Windows, where an open file stays
        lock.close()
        with suppress(OSError):  # somebody else may have opened it
            os.unlink(place)
    lock.close()


def _lock(file: BufferedIOBase) -> bool:
    """Whether an open file could be locked; it is free again once it is closed or its process is dead."""
    try:
        if sys.platform == "win32":
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):  # the second on Windows
        return False
    except OSError:  # no locks here
        return True
    return True
