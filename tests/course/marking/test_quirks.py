"""What a hurried instructor, a spreadsheet and a learning platform do to a class's tables and files."""

import shutil
import subprocess
import sys
import unicodedata
import zipfile
from contextlib import suppress
from pathlib import Path

import pytest

from cyclokit import files, tables
from cyclokit.course.marking import collect, reasons
from cyclokit.course.marking.deal import deal
from cyclokit.course.marking.forget import forget
from cyclokit.course.marking.ledger import Ledger
from cyclokit.course.sheets.hand_in import data_of
from tests.course.marking import classes

SHEET = classes.SHEET
ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="module")
def once(tmp_path_factory):
    return classes.dealt(tmp_path_factory.mktemp("class"), ["ann", "bob"], [SHEET])


@pytest.fixture
def course(once, tmp_path):
    """A class of two, and what they handed in beside it: ann one slip, bob all right."""
    made = Path(shutil.copytree(once, tmp_path / "course"))
    for student, choices in (("ann", {"b": 1}), ("bob", {})):
        row = classes.row_of(made, student)
        classes.hand_in(tmp_path / "in", student, classes.notebook(row, classes.data(row, choices)))
    return made


def _marked(course):
    return classes.marked(course, course.parent / "in")


# rosters


def _dealt(tmp_path, *rosters):
    for roster in rosters:
        (tmp_path / "roster.csv").write_bytes(roster if isinstance(roster, bytes) else roster.encode())
        deal(tmp_path / "roster.csv", tmp_path / "course", [SHEET])
    return [row["student"] for row in Ledger(tmp_path / "course").rows()]


@pytest.mark.parametrize(
    ("roster", "students"),
    [
        (b"\xef\xbb\xbfid;name\r\n007;A\r\n7;B\r\n", ["007", "7"]),
        (" ID \tname\n\u00a01 \tA\n\t\n", ["1"]),
        ("id,name,,\n1,A,,\n,,,\n", ["1"]),
    ],
)
def test_a_roster_is_read_as_a_spreadsheet_saves_it(roster, students, tmp_path):
    assert _dealt(tmp_path, roster) == students


@pytest.mark.parametrize(
    ("roster", "why"),
    [
        ("id,name\n1,Ä\n".encode("utf-16"), "save it as 'CSV UTF-8'"),
        ("id,name\n1,Ä\n".encode("cp1252"), "save it as 'CSV UTF-8'"),
        ("id\n1.23E+12\n", "row 2, column id: '1.23E.12' looks like a number that a spreadsheet has shortened"),
        ("id\n1,2E+11\n".replace(",", ";"), "cells where"),
        ("id;n\n1,2E+11;x\n", "looks like a number that a spreadsheet has shortened"),
        ("id\na\u200bb\n", "has a character in it that can't be seen"),
        ("id\n\u202eab\n", "has a character in it that can't be seen"),
        ("id,=x\n1,A\n", "'=x' begins with ="),
        ("id,name\n", "there is no student in it"),
    ],
)
def test_a_roster_that_would_deal_to_the_wrong_ids_is_refused(roster, why, tmp_path):
    with pytest.raises(tables.BadTable, match=why):
        _dealt(tmp_path, roster)
    assert not (tmp_path / "course").exists()


@pytest.mark.parametrize("again", ["ANN", unicodedata.normalize("NFD", "Zoë")])
def test_an_id_that_only_looks_new_is_refused_when_dealing_again(again, tmp_path):
    with pytest.raises(tables.BadTable, match="was dealt to as"):
        _dealt(tmp_path, "id\nann\nZoë\n", f"id\n{again}\n")
    assert [row["student"] for row in Ledger(tmp_path / "course").rows()] == ["ann", "Zoë"]


def test_sheets_that_were_dealt_before_and_are_not_quiet_are_told(tmp_path):
    assert _dealt(tmp_path, "id\nann\n")
    deal(tmp_path / "roster.csv", tmp_path / "course", [SHEET], quiet=True)
    (line,) = classes.table(tmp_path / "course" / "keep" / "report.csv")
    assert "its checks are not quiet" in line["why"]


# decisions, times, settings


@pytest.mark.parametrize("name", ["a  b.ipynb", " a.ipynb", "a\nb.ipynb", "a, b.ipynb", "=a.ipynb", "Zoe\u0308.ipynb"])
def test_a_place_is_decided_on_as_it_is_listed_whatever_its_name(name, course):
    row = classes.row_of(course, "ann")
    classes.hand_in(course.parent / "in", "ann", classes.notebook(row, classes.data(row)), name)
    _marked(course)
    (listed,) = [place for place in classes.looked_at(course) if place != "[ann]/sheet.ipynb"]
    rows = [("place", "decision"), (unicodedata.normalize("NFC", listed), "Counts")]
    (course / "decisions.csv").write_bytes(tables.written(rows))
    _marked(course)
    assert classes.marks(course)["ann"][f"{SHEET} b"] == "3"
    assert list(classes.looked_at(course)) == ["[ann]/sheet.ipynb"]


def test_places_that_differ_in_case_alone_are_decided_on_apart(course):
    row = classes.row_of(course, "ann")
    classes.hand_in(course.parent / "in", "ann", classes.notebook(row, classes.data(row)), "SHEET.ipynb")
    rows = "place,decision\n[ann]/sheet.ipynb,does not count\n[ann]/SHEET.ipynb,counts\n"
    (course / "decisions.csv").write_text(rows)
    _marked(course)
    assert classes.marks(course)["ann"][f"{SHEET} b"] == "3"
    (course / "decisions.csv").write_text(rows + "[ann]/SHEET.ipynb,does not count\n")
    with pytest.raises(ValueError, match=r"row 4, column place: .* stands in the table already"):
        _marked(course)


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"sheet": "one_lobe_fewr"}, "correction 1: sheet is 'one_lobe_fewr', but what was dealt is one_lobe_fewer"),
        ({"task": "B"}, "task is 'B', but this sheet has a, b, c, d, e, f"),
        ({"everyone": None, "slip": 50, "share": 1}, "slip is 50, but task b has . that are known"),
        (
            {"everyone": None, "right": 3, "student": "'ANN'"},
            "student is 'ANN', but this sheet was dealt to no such id",
        ),
        ({"task": "e", "everyone": None, "tolerance": 0.1}, "task e has no tolerance"),
        ({"task": "e", "everyone": None, "right": 3, "student": "'ann'"}, "task e has no number"),
    ],
)
def test_a_correction_that_fits_nothing_that_was_dealt_is_refused(changed, why, course):
    parts = {"sheet": SHEET, "task": "b", "everyone": "true", **changed}
    quoted = {name: f'"{value}"' if name in ("sheet", "task") else value for name, value in parts.items()}
    lines = [f"{name} = {value}" for name, value in quoted.items() if value is not None]
    text = "\n".join(['[[corrections]]\ndate = 2027-01-31\nwhy = "so"', *lines])
    (course / "settings.toml").write_text(text)
    with pytest.raises(ValueError, match=why):
        _marked(course)
    assert not (course / "marks").exists()


def test_settings_of_an_old_editor_are_read(course):
    text = f'[[corrections]]\ndate = 2027-01-31\nwhy = "so"\nsheet = "{SHEET}"\ntask = "b"\neveryone = true\n'
    (course / "settings.toml").write_text(text.replace("\n", "\r\n"), encoding="utf-8-sig")
    _marked(course)
    assert classes.marks(course)["ann"][f"{SHEET} b"] == "3"


# tables that were opened and saved


@pytest.mark.parametrize(
    "saved",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace(",", ";"),
        lambda text: text.replace("\n", "\n\n"),
        lambda text: text + ",,,\n",
        lambda text: text.removeprefix("\ufeff"),
    ],
)
def test_a_marks_table_that_a_spreadsheet_saved_is_still_compared(saved, course):
    _marked(course)
    table = course / "marks" / "marks.csv"
    table.write_text(saved(table.read_text(encoding="utf-8")), encoding="utf-8", newline="")
    (course / "decisions.csv").write_text("place,decision\n[ann]/sheet.ipynb,does not count\n")
    assert f"{SHEET} b: 0 -> - for 1 (nothing handed in)" in _marked(course)


@pytest.mark.parametrize("content", [b"", b"\n", b"\xff\xfei\0d\0", b"id,\xe9\n", b"x,y\n1,2\n"])
def test_a_marks_table_that_is_none_is_told_and_nothing_written(content, course):
    _marked(course)
    (course / "marks" / "marks.csv").write_bytes(content)
    before = classes.everything(course)
    with pytest.raises(ValueError, match="is no longer the table that was written"):
        _marked(course)
    assert classes.everything(course) == before


def test_what_a_person_adds_to_a_table_of_reasons_stays(course):
    _marked(course)
    file = course / "marks" / "reasons" / f"{SHEET}_e.csv"
    head, *lines = file.read_text(encoding="utf-8").splitlines()
    typed = [f"{line.replace(',,,', ',2.125,good,')},seen {number}" for number, line in enumerate(lines)]
    file.write_text("\n".join([f"{head},by me", *typed]) + "\n", encoding="utf-8")
    before = file.read_bytes()
    for _ in range(2):
        _marked(course)
        assert file.read_bytes() == before
    row = classes.row_of(course, "ann")
    made = classes.notebook(row, classes.data(row, reason="because it is quite another thing than I thought"))
    classes.hand_in(course.parent / "in", "ann", made)
    _marked(course)
    mine = {line["code"]: line for line in classes.table(file)}[reasons.code_of(row["word"], "e")]
    assert (mine["marks"], mine["comment"], mine["changed"]) == ("2.125", "good", "yes")
    assert mine["by me"].startswith("seen ")


def test_without_the_column_of_versions_an_answer_is_compared_as_it_stands(course):
    _marked(course)
    file = course / "marks" / "reasons" / f"{SHEET}_e.csv"
    classes.read_reasons(course, lambda row, name: "1")
    rows = [list(row.values())[:-1] for row in classes.table(file)]
    rows[0][2] = "something else was written"
    file.write_bytes(tables.written([reasons.HEADINGS, *rows]))
    _marked(course)
    assert [line["changed"] for line in classes.table(file)] == ["yes", ""]


def test_a_reason_that_a_spreadsheet_takes_for_a_date_can_be_marked_there(course):
    row = classes.row_of(course, "ann")
    classes.hand_in(course.parent / "in", "ann", classes.notebook(row, classes.data(row, reason="3/4")))
    _marked(course)
    file = course / "marks" / "reasons" / f"{SHEET}_e.csv"
    for _ in range(2):
        classes.read_reasons(course, lambda row, name: "1,5")
        file.write_text(file.read_text(encoding="utf-8").replace("3/4", "03. Apr"), encoding="utf-8")
        _marked(course)
        assert classes.marks(course)["ann"][f"{SHEET} e"] == "1.5"
        assert "3/4" in file.read_text(encoding="utf-8")


def test_own_tasks_may_be_called_what_no_file_can_be_called(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    text = f"from cyclokit.course.sheets.tasks.{SHEET} import TASKS\nTITLE, NAME = 'Ours', 'gears/../ours'\n"
    (tmp_path / "ours.py").write_text(text)
    (tmp_path / "roster.csv").write_text("id\nann\n")
    deal(tmp_path / "roster.csv", tmp_path / "course", ["ours.py"])
    row = classes.row_of(tmp_path / "course", "ann", "gears/../ours")
    entries = {kept["letter"]: classes.rightly(SHEET, kept) for kept in row["tasks"]}
    handed = data_of(row["sheet"], row["word"], 1, "0", entries, [], [])
    classes.hand_in(tmp_path / "in", "ann", classes.notebook({**row, "sheet": SHEET}, handed))
    classes.marked(tmp_path / "course", tmp_path / "in")
    classes.read_reasons(tmp_path / "course", lambda row, name: "3")
    classes.marked(tmp_path / "course", tmp_path / "in")
    assert classes.marks(tmp_path / "course")["ann"]["gears/../ours total"] == "20"
    tables = [path.name for path in (tmp_path / "course" / "marks" / "reasons").iterdir()]
    assert sorted(tables) == ["gears____ours_e.csv", "gears____ours_e.html"]


# what a learning platform exports


def test_a_zip_file_is_read_however_its_maker_writes_names(course):
    row = classes.row_of(course, "ann")
    shutil.rmtree(course.parent / "in" / "[ann]")
    made = (course.parent / "in" / "[bob]" / "sheet.ipynb").read_bytes()
    mine = classes.hand_in(course.parent, "x", classes.notebook(row, classes.data(row, {"b": 1}))).read_bytes()
    with zipfile.ZipFile(course.parent / "in" / "export.zip", "w") as archive:
        archive.writestr("./[ann]/sheet.ipynb", mine)
        archive.writestr("[bob]\\sheet.ipynb", made)
        archive.writestr("[bob]/work.zip", made)
    _marked(course)
    assert [line[f"{SHEET} b"] for line in classes.marks(course).values()] == ["0", "3"]
    assert classes.looked_at(course) == {"export.zip/[bob]/work.zip": collect.SENTENCES["inner"]}


def test_an_account_is_known_whichever_way_an_accent_is_packed(tmp_path):
    (tmp_path / "roster.csv").write_text("id,place\nann,Zoë_41\nbob,Bo_42\n", encoding="utf-8")
    deal(tmp_path / "roster.csv", tmp_path / "course", [SHEET])
    row = classes.row_of(tmp_path / "course", "bob")
    made = classes.notebook(row, classes.data(row))
    classes.hand_in(tmp_path / "in", unicodedata.normalize("NFD", "Zoë_41"), made)
    classes.marked(tmp_path / "course", tmp_path / "in")
    (why,) = classes.looked_at(tmp_path / "course").values()
    assert why.startswith("came from the account of ann, with the word of bob")


def test_a_list_of_files_that_is_too_long_is_not_held(tmp_path):
    with zipfile.ZipFile(tmp_path / "all.zip", "w") as archive:
        archive.writestr("x" * 250, "")
        archive.filelist += archive.filelist * 40_000
    ((place, why),) = collect.notebooks(tmp_path)
    assert (place, str(why)) == ("all.zip", collect.SENTENCES["zip"])


# killed, and two at once


def _killed_anywhere(monkeypatch, rooms, begin, run, folder, expected):
    """Everything that is there when `run` dies before its n-th file and is run again, for every n; how many."""
    for number in range(100):
        begin()
        left = [number]

        def write(target, content, left=left, write_whole=files.write_whole):
            left[0] -= 1
            if left[0] < 0:
                raise KeyboardInterrupt
            write_whole(target, content)

        with monkeypatch.context() as patched, suppress(KeyboardInterrupt):
            for room in rooms:
                patched.setattr(f"cyclokit.course.marking.{room}.write_whole", write)
            run()
        if left[0] >= 0:
            return number
        run()
        assert classes.everything(folder) == expected
    raise AssertionError("it never came to its end")


def _again(folder, kept):
    def begin():
        shutil.rmtree(folder)
        shutil.copytree(kept, folder)

    return begin


def test_marking_killed_before_any_file_and_started_again_comes_to_the_same(course, monkeypatch):
    """A second marking, after a correction: what changed last is told too."""
    _marked(course)
    text = f'[[corrections]]\ndate = 2027-01-31\nwhy = "so"\nsheet = "{SHEET}"\ntask = "b"\neveryone = true\n'
    (course / "settings.toml").write_text(text)
    begin = _again(course, shutil.copytree(course, course.parent / "begun"))
    _marked(course)
    whole = classes.everything(course)
    rooms = ("mark", "replies", "reasons")
    count = _killed_anywhere(monkeypatch, rooms, begin, lambda: _marked(course), course, whole)
    assert count == 10  # who has which reply; changes, list, alike, class, marks; a table and its page; two replies


def test_dealing_killed_before_any_file_and_started_again_comes_to_the_same(tmp_path, monkeypatch):
    """Once there is a secret: before, nobody has anything."""
    (tmp_path / "roster.csv").write_text("id\nann\nbob\n")
    made = tmp_path / "course"
    (made / "keep").mkdir(parents=True)
    (made / "keep" / "secret").write_bytes(bytes(range(32)))
    begin = _again(made, shutil.copytree(made, tmp_path / "begun"))

    def run():
        deal(tmp_path / "roster.csv", made, [SHEET], printed=True)

    run()
    whole = classes.everything(made)
    rooms = ("deal", "ledger", "settings", "paper")
    count = _killed_anywhere(monkeypatch, rooms, begin, run, made, whole)
    assert count == 12  # .gitignore, students, ledger, words, 2 sheets, report, settings, decisions, 2 pages, a key


def test_forgetting_killed_before_any_file_and_started_again_comes_to_the_same(course, monkeypatch):
    _marked(course)
    begin = _again(course, shutil.copytree(course, course.parent / "begun"))
    forget(course, "ann")
    whole = classes.everything(course)

    def run():
        with suppress(ValueError):  # if all was done already
            forget(course, "ann")

    assert _killed_anywhere(monkeypatch, ("forget", "ledger"), begin, run, course, whole) > 5
    begin()
    with monkeypatch.context() as patched, suppress(KeyboardInterrupt):
        patched.setattr(Path, "unlink", _killed)
        run()
    run()
    assert classes.everything(course) == whole


def _killed(path, missing_ok=False):
    raise KeyboardInterrupt


def test_two_who_mark_at_once_come_to_what_one_does(course):
    _marked(course)
    whole = classes.everything(course)
    shutil.rmtree(course / "marks")
    command = [sys.executable, "-m", "cyclokit", "mark", str(course), str(course.parent / "in")]
    both = [subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL) for _ in range(2)]
    assert [process.wait() for process in both] == [0, 0]
    assert classes.everything(course) == whole


def test_forgetting_leaves_no_line_and_no_reply_that_names_the_student(course):
    ann, bob = (classes.row_of(course, student) for student in ("ann", "bob"))
    classes.hand_in(course.parent / "in", "ann", "{", "broken.ipynb")
    classes.hand_in(course.parent / "in", "ann", classes.notebook(bob, classes.data(bob)), "bobs.ipynb")
    _marked(course)
    assert "of ann, with" in (course / "marks" / "to_look_at.csv").read_text(encoding="utf-8")
    forget(course, "ann")
    for path, content in classes.everything(course).items():
        assert "ann" not in path
        assert b"ann" not in content.replace(b"cannot", b""), path
    assert ann["word"] not in Ledger(course).entries
