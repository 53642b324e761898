"""Files are written whole or not at all, by one at a time, and where the reader meant them to be."""

import errno
import os
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cyclokit import files

AGES_AGO = time.time() - 2 * files.LEFT_OVER


@pytest.fixture
def target(tmp_path):
    """A file of the reader's that is there already."""
    place = tmp_path / "my_drive.toml"
    place.write_bytes(b"old")
    return place


def _names(folder):
    return sorted(path.name for path in folder.iterdir())


def _full(*_):
    raise OSError(errno.ENOSPC, "No space left on device")


# folders


def test_a_folder_is_made_with_those_above_it_and_may_be_there(tmp_path):
    for _ in range(2):
        files.make_folder(str(tmp_path / "above" / "mine"))
    assert (tmp_path / "above" / "mine").is_dir()


def test_a_place_that_is_no_folder_to_write_in_is_refused(target, monkeypatch):
    for place in (target, target / "below"):
        with pytest.raises(OSError):
            files.make_folder(place)
    monkeypatch.setattr(files.os, "access", lambda *_: False)  # root may write everywhere
    with pytest.raises(PermissionError, match=re.escape(str(target.parent))):
        files.make_folder(target.parent)


# whole or not at all


def test_what_is_written_is_there_and_nothing_else(target):
    files.write_whole(target, b"new\r\n\x00")
    assert target.read_bytes() == b"new\r\n\x00"
    assert _names(target.parent) == ["my_drive.toml"]


@pytest.mark.parametrize("step", ["replace", "chmod", "fsync"])
@pytest.mark.parametrize("stopped", [KeyboardInterrupt, SystemExit, OSError])
def test_an_interrupted_writing_leaves_the_old_file_whole_and_nothing_beside_it(target, monkeypatch, step, stopped):
    def interrupted(*_):
        raise stopped

    monkeypatch.setattr(files.os, step, interrupted)
    with pytest.raises(stopped):
        files.write_whole(target, b"new")
    assert _names(target.parent) == ["my_drive.toml"]
    assert target.read_bytes() == b"old"


def test_an_error_names_the_readers_file_and_no_other(target, monkeypatch):
    monkeypatch.setattr(files.os, "replace", _full)
    with pytest.raises(OSError, match="No space left") as said:
        files.write_whole(target, b"new")
    assert said.value.errno == errno.ENOSPC
    assert str(target) in str(said.value)
    assert files.WRITING not in str(said.value)


@pytest.mark.parametrize("act", [lambda target: files.write_whole(target, b"new"), lambda target: _alone(target)])
def test_a_folder_that_is_not_there_is_said_by_the_files_name(tmp_path, act):
    with pytest.raises(FileNotFoundError) as said:
        act(tmp_path / "nowhere" / "my_drive.toml")
    assert "my_drive.toml" in str(said.value)
    assert files.WRITING not in str(said.value)


def _alone(target):
    with files.alone(target):
        pass


# modes and links


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no such modes")
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
def test_a_file_keeps_its_mode(target, mode):
    target.chmod(mode)
    files.write_whole(target, b"new")
    assert target.stat().st_mode & 0o777 == mode
    assert target.read_bytes() == b"new"


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no such modes")
@pytest.mark.parametrize("mask", [0o022, 0o077, 0o002])
def test_a_new_file_has_the_mode_that_the_reader_gives_new_files(tmp_path, mask):
    before = os.umask(mask)
    try:
        files.write_whole(tmp_path / "new", b"new")
    finally:
        os.umask(before)
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o666 & ~mask


def test_a_read_only_file_stays(target):
    target.chmod(0o444)
    with pytest.raises(PermissionError, match="read-only") as said:
        files.write_whole(target, b"new")
    assert "my_drive.toml" in str(said.value)
    assert target.read_bytes() == b"old"
    assert _names(target.parent) == ["my_drive.toml"]


def test_a_folder_in_the_files_place_stays(tmp_path):
    (tmp_path / "my_drive.toml").mkdir()
    with pytest.raises(FileExistsError, match=r"is no file.*my_drive\.toml"):
        files.write_whole(tmp_path / "my_drive.toml", b"new")
    assert (tmp_path / "my_drive.toml").is_dir()


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
def test_a_pipe_in_the_files_place_stays(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileExistsError, match="is no file"):
        files.write_whole(tmp_path / "pipe", b"new")
    assert (tmp_path / "pipe").is_fifo()


@pytest.fixture
def link(target):
    """A link of the reader's, in another folder, to a file or to where one will be."""

    def make(to):
        folder = target.parent / "elsewhere"
        folder.mkdir()
        try:
            (folder / "link").symlink_to(to)
        except OSError:
            pytest.skip("no links here")
        return folder / "link"

    return make


@pytest.mark.parametrize("name", ["my_drive.toml", "not_there_yet.toml"])
def test_a_link_is_followed_and_stays_a_link(target, link, name):
    there = link(Path("..") / name)
    files.write_whole(there, b"new")
    assert there.is_symlink()
    assert (target.parent / name).read_bytes() == b"new"
    assert _names(there.parent) == ["link"]


def test_a_link_to_itself_is_an_error_that_names_it(link):
    there = link("link")
    with pytest.raises(OSError, match="link"):
        files.write_whole(there, b"new")
    assert there.is_symlink()


# leftovers


@pytest.mark.parametrize(("age", "stays"), [(0.0, True), (0.9, True), (1.1, False), (100.0, False)])
def test_what_a_killed_writing_left_is_taken_away_an_hour_later(target, age, stays):
    left = target.parent / f"{files.WRITING}0123456789abcdef"
    left.write_bytes(b"half")
    then = time.time() - age * files.LEFT_OVER
    os.utime(left, (then, then))
    files.write_whole(target, b"new")
    assert left.exists() == stays


def test_a_folder_or_a_link_of_that_name_stays(target, link):
    folder = target.parent / f"{files.WRITING}folder"
    folder.mkdir()
    named = target.parent / f"{files.WRITING}link"
    link(target).rename(named)
    for path in (folder, named):
        os.utime(path, (AGES_AGO, AGES_AGO), **({} if path is folder else {"follow_symlinks": False}))
    files.write_whole(target, b"new")
    assert folder.exists()
    assert named.is_symlink()


def test_a_live_writing_keeps_its_own_however_long_it_takes(target, monkeypatch):
    """A laptop that was put to sleep in the middle: meanwhile somebody else writes there."""
    fsync = os.fsync

    def asleep(handle):
        monkeypatch.setattr(files.os, "fsync", fsync)
        (mine,) = target.parent.glob(f"{files.WRITING}*")
        os.utime(mine, (AGES_AGO, AGES_AGO))
        subprocess.run([sys.executable, "-c", OTHER, str(target.parent / "other")], check=True, timeout=60)

    monkeypatch.setattr(files.os, "fsync", asleep)
    files.write_whole(target, b"new")
    assert target.read_bytes() == b"new"
    assert _names(target.parent) == ["my_drive.toml", "other"]


OTHER = "import sys; from cyclokit import files; files.write_whole(sys.argv[1], b'of another')"


# by one at a time


COUNTING = """
import sys
from cyclokit import files
for _ in range(50):
    with files.alone(sys.argv[1]):
        number = int(open(sys.argv[1]).read())
        files.write_whole(sys.argv[1], str(number + 1).encode())
"""


def test_three_at_once_who_each_add_one_lose_none(tmp_path):
    count = tmp_path / "count"
    count.write_text("0")
    command = [sys.executable, "-c", COUNTING, str(count)]
    running = [subprocess.Popen(command) for _ in range(3)]
    assert [process.wait(60) for process in running] == [0, 0, 0]
    assert count.read_text() == "150"
    assert _names(tmp_path) == ["count"]


def test_who_asks_through_a_link_waits_for_the_same(target, link, monkeypatch):
    there = link(target)
    monkeypatch.setattr(files, "PATIENCE", 0.05)
    with files.alone(target), pytest.raises(TimeoutError, match="somebody else") as said, files.alone(there):
        raise AssertionError("both are in")
    assert "link" in str(said.value)
    _alone(there)


HOLDING = """
import sys, time
from cyclokit import files
with files.alone(sys.argv[1]):
    print("in", flush=True)
    time.sleep(60)
"""


def test_a_killed_one_keeps_nobody_out(target):
    with subprocess.Popen([sys.executable, "-c", HOLDING, str(target)], stdout=subprocess.PIPE) as holding:
        assert holding.stdout.readline().strip() == b"in"
        holding.kill()
    begun = time.monotonic()
    _alone(target)
    assert time.monotonic() - begun < files.PATIENCE / 2
    assert _names(target.parent) == ["my_drive.toml"]


def test_where_no_locks_are_known_nobody_is_kept_out(target, monkeypatch):
    def unknown(*_):
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(
        files.msvcrt if os.name == "nt" else files.fcntl, "locking" if os.name == "nt" else "flock", unknown
    )
    _alone(target)
    files.write_whole(target, b"new")
    assert target.read_bytes() == b"new"


# paths


@pytest.mark.parametrize("kind", [str, Path])
def test_a_path_may_be_text(target, kind):
    files.write_whole(kind(target), b"new")
    _alone(kind(target))
    assert target.read_bytes() == b"new"


@pytest.mark.parametrize("wrong", [None, 3, b"my_drive.toml", ["my_drive.toml"], {}, object()])
def test_what_is_no_path_is_refused_by_its_name(wrong):
    with pytest.raises(TypeError, match=r"^target must be a path .* give a text or a Path"):
        files.write_whole(wrong, b"new")


@pytest.mark.parametrize("wrong", ["", "a\0b"])
def test_a_text_that_can_be_no_path_is_refused(wrong):
    with pytest.raises(ValueError, match=r"^target is"):
        files.write_whole(wrong, b"new")


@pytest.mark.parametrize("wrong", ["text", None, 3, bytearray(b"x")])
def test_what_is_no_bytes_is_refused(target, wrong):
    with pytest.raises(TypeError, match=r"^content must be bytes"):
        files.write_whole(target, wrong)
    assert target.read_bytes() == b"old"
