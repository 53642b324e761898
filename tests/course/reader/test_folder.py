"""The reader's copy of the lessons: nothing the reader changed is lost, nothing is half written."""

import json
import os
import subprocess
import sys
from contextlib import suppress

import pytest

from cyclokit import files
from cyclokit.course.reader import editions, folder, lab
from cyclokit.course.reader.typed import typed

STEMS = ("00_start_here", "00b_tools", "01_circles_that_roll", "10_make_it")


@pytest.fixture
def source(tmp_path, monkeypatch):
    """A small source tree of lessons and sheets, in place of the real one."""
    tree = tmp_path / "source"
    for kind in folder.KINDS:
        (tree / kind).mkdir(parents=True)
    for stem in STEMS:
        (tree / "lessons" / f"{stem}.ipynb").write_bytes(f"lesson {stem}, first edition".encode())
    (tree / "lessons" / "pictures").mkdir()
    (tree / "lessons" / "pictures" / "parts.png").write_bytes(b"\x89PNG\r\n\x1a\n")
    (tree / "exercises" / "01_circles_that_roll.ipynb").write_bytes(b"a sheet, first edition")
    monkeypatch.setattr(folder, "notebooks", lambda: tree)
    return tree


@pytest.fixture
def mine(tmp_path):
    """The reader's folder, not made yet, in a place with spaces and accents."""
    return tmp_path / "Réducteur d'été" / "mes leçons ü"


def _files(tree):
    """Every file below a folder and what is in it, without what the copying remembers."""
    return {
        path.relative_to(tree).as_posix(): path.read_bytes()
        for path in tree.rglob("*")
        if path.is_file() and path.name != folder.MEMORY
    }


# copying


def test_everything_is_copied_and_each_file_has_its_line(source, mine):
    lines = folder.copy_all(mine)
    assert _files(mine) == _files(source)
    assert lines == [folder.COPIED.format(name=name) for name in [*_lessons(), *_sheets()]]


def _lessons():
    return [*(f"lessons/{stem}.ipynb" for stem in STEMS), "lessons/pictures/parts.png"]


def _sheets():
    return ["exercises/01_circles_that_roll.ipynb"]


def test_a_second_time_nothing_is_copied_and_nothing_is_said(source, mine):
    folder.copy_all(mine)
    before = {path: path.stat().st_mtime_ns for path in mine.rglob("*.*") if path.name != folder.MEMORY}
    assert folder.copy_all(mine) == []
    assert {path: path.stat().st_mtime_ns for path in before} == before


def test_a_deleted_file_comes_back(source, mine):
    folder.copy_all(mine)
    (mine / "lessons" / "01_circles_that_roll.ipynb").unlink()
    assert folder.copy_all(mine) == [folder.COPIED.format(name="lessons/01_circles_that_roll.ipynb")]
    assert _files(mine) == _files(source)


def test_a_file_that_the_reader_changed_is_kept_and_nothing_is_said_while_none_is_newer(source, mine):
    folder.copy_all(mine)
    changed = mine / "lessons" / "00b_tools.ipynb"
    changed.write_bytes(b"my own work")
    assert folder.copy_all(mine) == []
    assert changed.read_bytes() == b"my own work"


def test_it_is_kept_when_a_newer_edition_is_there_too(source, mine):
    folder.copy_all(mine)
    changed = mine / "exercises" / "01_circles_that_roll.ipynb"
    changed.write_bytes(b"my own answers")
    (source / "exercises" / "01_circles_that_roll.ipynb").write_bytes(b"a sheet, second edition")
    for _ in range(3):
        (line,) = folder.copy_all(mine)
        assert line.startswith("kept   exercises/01_circles_that_roll.ipynb: you changed it; a newer sheet 1 is there")
        assert f"{typed('open', str(mine), '--fresh-sheet', '1')}  puts" in line
        assert changed.read_bytes() == b"my own answers"


def test_a_file_that_only_grew_old_is_renewed_and_said_to_be(source, mine):
    folder.copy_all(mine)
    (source / "lessons" / "00b_tools.ipynb").write_bytes(b"second edition")
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00b_tools.ipynb")]
    assert _files(mine) == _files(source)
    (source / "lessons" / "00b_tools.ipynb").write_bytes(b"third edition")
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00b_tools.ipynb")]


def test_a_change_taken_back_counts_as_none(source, mine):
    folder.copy_all(mine)
    lesson = mine / "lessons" / "00b_tools.ipynb"
    as_copied = lesson.read_bytes()
    lesson.write_bytes(b"a try")
    folder.copy_all(mine)
    lesson.write_bytes(as_copied)
    (source / "lessons" / "00b_tools.ipynb").write_bytes(b"second edition")
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00b_tools.ipynb")]


def test_files_of_the_readers_own_are_left_alone(source, mine):
    folder.copy_all(mine)
    (mine / "lessons" / "my_drive.toml").write_text("pins = 16")
    (mine / "notes.txt").write_text("mine")
    folder.copy_all(mine)
    assert (mine / "lessons" / "my_drive.toml").read_text() == "pins = 16"
    assert (mine / "notes.txt").read_text() == "mine"


@pytest.mark.parametrize(
    "broken", [b"", b"{", b"\xff\xfe\x00", b"[]", b"null", b'"text"', b'{"lessons/00b_tools.ipynb": 3}', b"{}"]
)
def test_with_a_broken_memory_everything_is_kept(broken, source, mine):
    folder.copy_all(mine)
    (mine / folder.MEMORY).write_bytes(broken)
    (source / "lessons" / "00b_tools.ipynb").write_bytes(b"second edition")
    before = _files(mine)
    assert folder.copy_all(mine) == [folder.UNKNOWN.format(name="lessons/00b_tools.ipynb", what="lesson 0b")]
    assert _files(mine) == before


def test_the_memory_is_the_same_text_for_the_same_files(source, tmp_path):
    folder.copy_all(tmp_path / "one")
    folder.copy_all(tmp_path / "two")
    one, two = ((tmp_path / name / folder.MEMORY).read_text() for name in ("one", "two"))
    assert one == two
    assert str(tmp_path) not in one
    assert list(json.loads(one)) == sorted(json.loads(one))


def test_what_a_tool_or_a_reader_left_in_the_checkout_is_not_copied(source, mine):
    checkpoints = source / "lessons" / ".ipynb_checkpoints"
    checkpoints.mkdir()
    (checkpoints / "00_start_here-checkpoint.ipynb").write_bytes(b"a checkpoint")
    (source / "lessons" / "my_drive.toml").write_text("pins = 16")
    (source / "lessons" / ".writing-1.ipynb").write_bytes(b"half a lesson")
    folder.copy_all(mine)
    assert sorted(_files(mine)) == sorted([*_lessons(), *_sheets()])


def test_a_checkout_below_a_hidden_folder_is_copied_as_well(source, mine, tmp_path, monkeypatch):
    hidden = tmp_path / ".work"
    source.rename(hidden)
    monkeypatch.setattr(folder, "notebooks", lambda: hidden)
    folder.copy_all(mine)
    assert sorted(_files(mine)) == sorted([*_lessons(), *_sheets()])


def test_copies_can_be_written_even_from_a_read_only_installation(source, mine):
    for path in source.rglob("*.ipynb"):
        path.chmod(0o444)
    folder.copy_all(mine)
    for path in mine.rglob("*.ipynb"):
        assert os.access(path, os.W_OK)
        assert path.stat().st_mode & 0o200


# where it can't be done


@pytest.mark.parametrize("inside", ["", "deeper"])
def test_a_file_is_no_folder(inside, source, tmp_path):
    (tmp_path / "file").write_text("mine")
    with pytest.raises(ValueError, match=r"can't be used as a folder.*give a folder that you may write to"):
        folder.copy_all(tmp_path / "file" / inside)
    assert (tmp_path / "file").read_text() == "mine"


def test_a_file_in_the_place_of_lessons_is_no_folder_either(source, tmp_path):
    (tmp_path / "lessons").write_text("mine")
    with pytest.raises(ValueError, match="can't be used as a folder"):
        folder.copy_all(tmp_path)
    assert (tmp_path / "lessons").read_text() == "mine"


def test_a_copy_that_fails_leaves_the_old_file_whole_and_nothing_beside_it(source, mine, monkeypatch):
    folder.copy_all(mine)
    before = {path: path.read_bytes() for path in mine.rglob("*") if path.is_file()}
    (source / "lessons" / "00b_tools.ipynb").write_bytes(b"second edition")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(folder.os, "replace", full)
    with pytest.raises(OSError, match="No space left"):
        folder.copy_all(mine)
    assert {path: path.read_bytes() for path in mine.rglob("*") if path.is_file()} == before


def test_after_a_copy_that_failed_half_way_the_next_one_completes_it(source, mine, monkeypatch):
    replace, calls = os.replace, []

    def fails_the_third_time(*paths):
        calls.append(paths)
        if len(calls) == 3:
            raise OSError(28, "No space left on device")
        replace(*paths)

    monkeypatch.setattr(folder.os, "replace", fails_the_third_time)
    with pytest.raises(OSError, match="No space left"):
        folder.copy_all(mine)
    folder.copy_all(mine)
    assert _files(mine) == _files(source)
    # and what was copied before the failure is known as a copy, not as the reader's work
    (source / "lessons" / "00_start_here.ipynb").write_bytes(b"second edition")
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00_start_here.ipynb")]


def _copy_until_killed(mine, killed_after):
    """Copy everything, and be killed when more files than that would be put in their places."""
    replace, calls = os.replace, []

    def killed(*paths):
        calls.append(paths)
        if len(calls) > killed_after:
            raise KeyboardInterrupt
        replace(*paths)

    with pytest.MonkeyPatch.context() as patch, suppress(KeyboardInterrupt):
        patch.setattr(files.os, "replace", killed)
        folder.copy_all(mine)


@pytest.mark.parametrize("killed_after", range(8))
def test_a_copying_killed_half_way_leaves_nothing_that_counts_as_changed(killed_after, source, mine):
    """A newer edition is being copied, and after that comes a third: nobody has changed anything."""
    folder.copy_all(mine)
    _new_edition(source, "second")
    _copy_until_killed(mine, killed_after)
    _new_edition(source, "third")
    assert {line.split()[0] for line in folder.copy_all(mine)} == {"renewed"}
    assert _files(mine) == _files(source)


def _new_edition(source, which):
    for path in source.rglob("*.*"):
        path.write_bytes(f"{path.stem}, {which} edition".encode())


def test_a_memory_of_an_earlier_version_is_understood(source, mine):
    folder.copy_all(mine)
    memory = json.loads((mine / folder.MEMORY).read_text())
    (mine / folder.MEMORY).write_text(json.dumps({name: editions[0] for name, editions in memory.items()}))
    _new_edition(source, "second")
    assert {line.split()[0] for line in folder.copy_all(mine)} == {"renewed"}


def test_a_read_only_lesson_stays_and_the_others_are_renewed(source, mine):
    folder.copy_all(mine)
    mine_alone = mine / "lessons" / "00b_tools.ipynb"
    mine_alone.chmod(0o444)
    before = mine_alone.read_bytes()
    _new_edition(source, "second")
    said = folder.copy_all(mine)
    kept = [line for line in said if not line.startswith("renewed")]
    assert len(kept) == 1
    assert kept[0].startswith("kept   lessons/00b_tools.ipynb: it is read-only; a newer lesson 0b is there")
    assert len(said) == len(_files(source))
    assert mine_alone.read_bytes() == before


# what JupyterLab changes by itself, and what the reader does


def _notebook(*sources, **more):
    cells = [
        {"cell_type": "code", "source": [source], "metadata": {}, "outputs": [], "execution_count": None}
        for source in sources
    ]
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5} | more).encode()


def _as_saved(content):
    """As JupyterLab saves a notebook that was run to its last cell and not changed."""
    notebook = json.loads(content)
    notebook["metadata"]["kernelspec"] = {"name": "python3"}
    for cell in notebook["cells"]:
        cell["source"] = "".join(cell["source"])
        cell["execution_count"], cell["outputs"] = 7, [{"output_type": "stream", "name": "stdout", "text": "5"}]
    notebook["cells"].append({"cell_type": "code", "source": "", "metadata": {}, "outputs": []})
    return json.dumps(notebook, indent=1).encode()


@pytest.fixture
def lesson(source, mine):
    """Lesson 0b as a notebook, copied: where its editions come from, and the reader's copy."""
    there = source / "lessons" / "00b_tools.ipynb"
    there.write_bytes(_notebook("guess = 3", "print(guess)"))
    folder.copy_all(mine)
    return there, mine / "lessons" / "00b_tools.ipynb"


def test_a_lesson_that_was_only_run_and_saved_is_left_as_it_is(lesson, mine):
    _, copy = lesson
    copy.write_bytes(_as_saved(copy.read_bytes()))
    before = copy.read_bytes()
    assert folder.copy_all(mine) == []
    assert copy.read_bytes() == before


def test_a_lesson_that_was_only_run_and_saved_is_renewed(lesson, mine):
    there, copy = lesson
    copy.write_bytes(_as_saved(copy.read_bytes()))
    there.write_bytes(_notebook("guess = 4", "print(guess)"))
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00b_tools.ipynb")]
    assert copy.read_bytes() == there.read_bytes()


def test_other_stored_outputs_renew_what_was_never_opened_and_leave_what_was_run(lesson, mine):
    there, copy = lesson
    there.write_bytes(_notebook("guess = 3", "print(guess)", metadata={"outputs": "better"}))
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00b_tools.ipynb")]
    copy.write_bytes(_as_saved(copy.read_bytes()))
    there.write_bytes(_notebook("guess = 3", "print(guess)", metadata={"outputs": "better still"}))
    assert folder.copy_all(mine) == []
    there.write_bytes(_notebook("guess = 5", "print(guess)"))
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00b_tools.ipynb")]


@pytest.mark.parametrize(
    "change",
    [
        lambda cells: cells[0].update(source="guess = 30"),
        lambda cells: cells[0].update(cell_type="markdown"),
        lambda cells: cells.pop(),
        lambda cells: cells.reverse(),
        lambda cells: cells.append(dict(cells[0], source="my_own = 1")),
        lambda cells: cells.insert(0, dict(cells[0], source="")),
    ],
    ids=["a word", "a kind", "a cell less", "another order", "a cell more", "an empty cell within"],
)
def test_every_change_of_a_cell_is_the_readers(change, lesson, mine):
    there, copy = lesson
    notebook = json.loads(_as_saved(copy.read_bytes()))
    notebook["cells"].pop()
    change(notebook["cells"])
    copy.write_text(json.dumps(notebook))
    before = copy.read_bytes()
    assert folder.copy_all(mine) == []
    there.write_bytes(_notebook("guess = 4"))
    for _ in range(2):
        (line,) = folder.copy_all(mine)
        assert "a newer lesson 0b is there" in line
    assert copy.read_bytes() == before


def test_a_lesson_saved_since_an_earlier_version_copied_it_counts_as_copied(lesson, mine):
    # an earlier version knew files by their bytes alone; this one has opened the folder once before it was saved
    there, copy = lesson
    memory = {name: known[:1] for name, known in editions.read_memory(mine).items()}
    (mine / folder.MEMORY).write_text(json.dumps(memory))
    folder.copy_all(mine)
    copy.write_bytes(_as_saved(copy.read_bytes()))
    there.write_bytes(_notebook("guess = 4"))
    assert folder.copy_all(mine) == [folder.RENEWED.format(name="lessons/00b_tools.ipynb")]


@pytest.mark.parametrize(
    "content",
    [b"", b"[]", b"3", b'{"cells": 3}', b'{"cells": [3]}', b'{"cells": [{"source": "a"}]}', b"\xff", b"[" * 100_000],
    ids=lambda content: repr(content[:30]),
)
def test_what_is_no_notebook_is_known_by_its_bytes(content):
    assert editions.cells_hash(content) == editions.file_hash(content)


def test_a_source_is_the_same_in_one_piece_and_in_lines():
    one = _notebook("a = 1\nb = 2").replace(b'["a = 1\\nb = 2"]', b'"a = 1\\nb = 2"')
    lines = _notebook("a = 1\nb = 2").replace(b'["a = 1\\nb = 2"]', b'["a = 1\\n", "b = 2"]')
    assert one != lines
    assert editions.cells_hash(one) == editions.cells_hash(lines)


# renamed lessons


@pytest.mark.parametrize(
    ("before", "now"),
    [("00b_tools", "00b_your_tools"), ("01_circles_that_roll", "02_circles_that_roll")],
    ids=["another title", "another number"],
)
@pytest.mark.parametrize("saved", [False, True])
def test_a_renamed_lesson_is_not_left_twice(saved, before, now, source, mine):
    old = source / "lessons" / f"{before}.ipynb"
    old.write_bytes(_notebook("guess = 3"))
    folder.copy_all(mine)
    if saved:
        (mine / "lessons" / old.name).write_bytes(_as_saved(old.read_bytes()))
    old.rename(old.with_stem(now)).write_bytes(_notebook("guess = 4"))
    said = folder.copy_all(mine)
    assert folder.RENAMED.format(old=f"lessons/{before}.ipynb", name=f"lessons/{now}.ipynb") in said
    assert _files(mine) == _files(source)
    assert folder.copy_all(mine) == []


def test_a_renamed_lesson_that_was_changed_stays_and_that_is_said_once(source, mine):
    folder.copy_all(mine)
    old = source / "lessons" / "00b_tools.ipynb"
    mine_alone = mine / "lessons" / old.name
    mine_alone.write_bytes(b"my own work")
    old.rename(old.with_stem("00b_your_tools"))
    said = folder.copy_all(mine)
    assert folder.KEPT_RENAMED.format(old="lessons/00b_tools.ipynb", name="lessons/00b_your_tools.ipynb") in said
    assert folder.copy_all(mine) == []
    assert mine_alone.read_bytes() == b"my own work"


def test_a_renamed_lesson_that_is_read_only_stays(source, mine):
    folder.copy_all(mine)
    old = source / "lessons" / "00b_tools.ipynb"
    (mine / "lessons" / old.name).chmod(0o444)
    old.rename(old.with_stem("00b_your_tools"))
    folder.copy_all(mine)
    assert (mine / "lessons" / old.name).is_file()


def test_a_lesson_that_is_there_no_more_stays_with_the_reader(source, mine):
    folder.copy_all(mine)
    (source / "lessons" / "10_make_it.ipynb").unlink()
    assert folder.copy_all(mine) == []
    assert (mine / "lessons" / "10_make_it.ipynb").is_file()


@pytest.mark.parametrize("name", ["../10_mine.ipynb", "lessons/../../10_mine.ipynb", "10_mine.ipynb", "lessons"])
def test_a_memory_that_somebody_else_wrote_takes_nothing_away(name, source, mine):
    folder.copy_all(mine)
    for place in (mine / "10_mine.ipynb", mine.parent / "10_mine.ipynb"):
        place.write_bytes(b"my own work")
    memory = {**editions.read_memory(mine), name: [editions.file_hash(b"my own work")]}
    (mine / folder.MEMORY).write_text(json.dumps(memory))
    folder.copy_all(mine)
    assert (mine / "10_mine.ipynb").is_file()
    assert (mine.parent / "10_mine.ipynb").is_file()


@pytest.mark.parametrize("killed_after", range(3))
def test_a_renaming_killed_half_way_is_completed_by_the_next(killed_after, source, mine):
    folder.copy_all(mine)
    old = source / "lessons" / "00b_tools.ipynb"
    old.rename(old.with_stem("00b_your_tools"))
    _copy_until_killed(mine, killed_after)
    stand = {path.name for path in (mine / "lessons").glob("00b*")}
    assert stand, "between old and new there is always one"
    folder.copy_all(mine)
    assert _files(mine) == _files(source)


OPENING = "import sys; from cyclokit.course.reader import folder; folder.copy_all(sys.argv[1])"


def test_three_who_open_the_same_folder_at_once_get_it_whole(tmp_path):
    running = [subprocess.Popen([sys.executable, "-c", OPENING, str(tmp_path / "mine")]) for _ in range(3)]
    assert [process.wait(60) for process in running] == [0, 0, 0]
    assert folder.copy_all(tmp_path / "mine") == []
    ours = {path.relative_to(folder.notebooks()).as_posix() for path in folder._sources()}
    assert set(_files(tmp_path / "mine")) == ours


# a fresh copy of one lesson


FRESH = """
import sys
from cyclokit.course.reader import editions, folder, lab
from cyclokit.course.reader.typed import typed
for _ in range(10):
    print(folder.copy_fresh(sys.argv[1], "0").name)
"""


def test_three_who_want_fresh_copies_at_once_all_get_theirs(tmp_path):
    command = [sys.executable, "-c", FRESH, str(tmp_path)]
    running = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(3)]
    got = [name for process in running for name in process.communicate(timeout=60)[0].split()]
    assert len(got) == len(set(got)) == 30
    assert {path.name for path in (tmp_path / "lessons").iterdir()} == set(got)


def test_a_link_that_leads_nowhere_is_the_readers_too(source, mine, tmp_path):
    fresh = folder.copy_fresh(mine, "1")
    fresh.unlink()
    try:
        fresh.symlink_to(tmp_path / "on the stick that is not in")
    except OSError:
        pytest.skip("no links here")
    assert folder.copy_fresh(mine, "1").name == "01_circles_that_roll.fresh-2.ipynb"
    assert fresh.is_symlink()


@pytest.mark.parametrize("kind", ["", "lesson", None, ["lessons"], 3])
def test_an_unknown_kind_is_answered_with_those_that_are_there(kind, source, mine):
    with pytest.raises(ValueError, match=r"kind is .* lessons, exercises"):
        folder.copy_fresh(mine, "1", kind)


def test_the_folder_may_be_given_as_text(source, mine):
    folder.copy_all(str(mine))
    assert _files(mine) == _files(source)
    assert folder.copy_fresh(str(mine), "1") == mine / "lessons" / "01_circles_that_roll.fresh.ipynb"
    notebook = mine / "lessons" / "00b_tools.ipynb"
    assert lab.lab_command(str(mine), str(notebook)) == lab.lab_command(mine, notebook)


@pytest.mark.parametrize(
    ("number", "stem"),
    [("0", "00_start_here"), ("0b", "00b_tools"), ("1", "01_circles_that_roll"), ("10", "10_make_it")],
)
def test_a_fresh_copy_stands_beside_the_readers(number, stem, source, mine):
    folder.copy_all(mine)
    changed = mine / "lessons" / f"{stem}.ipynb"
    changed.write_bytes(b"my own work")
    fresh = folder.copy_fresh(mine, number)
    assert fresh == mine / "lessons" / f"{stem}.fresh.ipynb"
    assert fresh.read_bytes() == (source / "lessons" / f"{stem}.ipynb").read_bytes()
    assert changed.read_bytes() == b"my own work"


def test_fresh_copies_never_go_over_one_another(source, mine):
    copies = []
    for count in range(3):
        copies.append(folder.copy_fresh(mine, "1"))
        copies[-1].write_bytes(f"worked on, {count}".encode())
    assert [path.name for path in copies] == [
        "01_circles_that_roll.fresh.ipynb",
        "01_circles_that_roll.fresh-2.ipynb",
        "01_circles_that_roll.fresh-3.ipynb",
    ]
    assert [path.read_bytes() for path in copies] == [f"worked on, {count}".encode() for count in range(3)]


def test_a_fresh_copy_stays_when_everything_is_copied_again(source, mine):
    folder.copy_all(mine)
    fresh = folder.copy_fresh(mine, "1")
    fresh.write_bytes(b"worked on")
    assert folder.copy_all(mine) == []
    assert fresh.read_bytes() == b"worked on"


@pytest.mark.parametrize("number", ["3", "", "00", "lessons", "../0", "0B", 1, None, ["1"]])
def test_an_unknown_lesson_is_answered_with_those_that_are_there(number, source, mine):
    with pytest.raises(ValueError, match=r"choose one of: 0, 0b, 1, 10\.") as refused:
        folder.copy_fresh(mine, number)
    assert repr(number) in str(refused.value)
    assert not mine.exists()


def test_a_fresh_sheet_stands_beside_the_readers(source, mine):
    folder.copy_all(mine)
    fresh = folder.copy_fresh(mine, "1", "exercises")
    assert fresh == mine / "exercises" / "01_circles_that_roll.fresh.ipynb"
    assert fresh.read_bytes() == (source / "exercises" / "01_circles_that_roll.ipynb").read_bytes()


# where the lessons come from


def test_in_a_checkout_the_lessons_are_those_at_its_top():
    place = folder.notebooks()
    assert (place / "pyproject.toml").is_file()
    assert (place / "lessons" / "00_start_here.ipynb").is_file()


def test_in_an_installed_package_they_are_inside_it(tmp_path, monkeypatch):
    (tmp_path / "cyclokit" / "notebooks").mkdir(parents=True)
    monkeypatch.setattr(folder, "PACKAGE", tmp_path / "cyclokit")
    assert folder.notebooks() == tmp_path / "cyclokit" / "notebooks"


def test_every_lesson_of_ours_has_its_number(mine):
    numbers = [
        path.stem.partition("_")[0].removeprefix("0") for path in (folder.notebooks() / "lessons").glob("*.ipynb")
    ]
    for number in numbers:
        assert folder.copy_fresh(mine, number).is_file()
