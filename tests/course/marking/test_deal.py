"""Numbers dealt to a class: who gets what, what stays as it is, and what is refused.

RFC 2104 for HMAC; the word is worked out a second time with the two hashes that it is defined by.
"""

import hashlib
import json
import re
import stat
import sys

import pytest

from cyclokit import __main__ as command_line
from cyclokit import tables
from cyclokit.course.marking import ledger
from cyclokit.course.marking.deal import _read_roster, deal
from cyclokit.course.marking.ledger import Ledger
from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets.hand_in import LETTERS
from cyclokit.course.sheets.trial import TEMPLATE
from tests.course.marking import classes

SHEET = classes.SHEET
IDS = ["007", "Zoë", "O'Neil 5", "ليلى", "李雷", "x" * 60]


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    return classes.dealt(tmp_path_factory.mktemp("class"), IDS, ["3"], printed=True)


def _hmac(key, text):
    """HMAC-SHA256 as RFC 2104 defines it, for a key shorter than 64 bytes."""
    key = key.ljust(64, b"\0")
    inner = hashlib.sha256(bytes(byte ^ 0x36 for byte in key) + text).digest()
    return hashlib.sha256(bytes(byte ^ 0x5C for byte in key) + inner).digest()


def test_a_word_follows_from_secret_id_sheet_and_number_alone(course):
    secret = (course / "keep" / "secret").read_bytes()
    for student in IDS:
        digest = _hmac(secret, json.dumps([student, SHEET, 1]).encode())
        assert classes.row_of(course, student)["word"] == "".join(LETTERS[byte % 32] for byte in digest[:12])
    assert 32**12 == 2**60  # 60 bits


def test_every_student_has_a_folder_with_the_sheet_and_the_word_in_it(course):
    assert sorted(path.name for path in (course / "out").iterdir()) == sorted(IDS)
    for student in IDS:
        row = classes.row_of(course, student)
        made = json.loads((course / "out" / student / "03_one_lobe_fewer.ipynb").read_text(encoding="utf-8"))
        code = ["".join(cell["source"]) for cell in made["cells"] if cell["cell_type"] == "code"]
        assert f'my_word = "{row["word"]}"\nsheet = open_sheet("{SHEET}", my_word, edition=1)' in code[0]
        assert code[-1] == "sheet.hand_in()"
        assert all(cell["outputs"] == [] for cell in made["cells"] if cell["cell_type"] == "code")
        assert not re.search("turntable|Put a word of your own", json.dumps(made["cells"][:2]))


def test_the_ledger_has_the_numbers_and_answers_of_that_word(course):
    for row in Ledger(course).rows():
        sheet = open_sheet(SHEET, row["word"])
        for kept in row["tasks"]:
            given, question = sheet.asked(kept["letter"])
            assert ledger.given(kept["given"]) == given
            if kept["kind"] == "number":
                assert (kept["right"], kept["tolerance"]) == (question.right, question.tolerance)
                assert kept["wrong"] == [slip.wrong for slip in question.slips]


def test_the_secret_is_private_and_the_folder_ignored_by_git(course):
    if sys.platform != "win32":
        assert stat.S_IMODE((course / "keep" / "secret").stat().st_mode) == 0o600
    assert (course / "keep" / ".gitignore").read_text() == "*\n"
    assert len((course / "keep" / "secret").read_bytes()) == 32


def test_words_are_listed_for_letters(course):
    rows = classes.table(course / "keep" / "words.csv")
    assert [(row["id"], row["word"]) for row in rows] == [(name, classes.row_of(course, name)["word"]) for name in IDS]


def test_paper_has_the_numbers_and_only_the_key_the_answers(course):
    row = classes.row_of(course, "007")
    page = (course / "out" / "007" / f"paper_{SHEET}.html").read_text(encoding="utf-8")
    key = (course / "keep" / f"paper_key_{SHEET}.html").read_text(encoding="utf-8")
    assert row["word"] in page
    assert "<script" not in page + key
    for kept in row["tasks"]:
        if kept["kind"] == "number":
            assert f"{kept['right']:.6g}" in key
    whole = row["tasks"][0]["right"]
    assert f"{whole:.6g}" not in re.sub("<[^>]*>", "", page)


def test_dealing_again_adds_rows_and_changes_nothing(tmp_path):
    made = classes.dealt(tmp_path, ["ann", "bob"], ["3"])
    before, secret = list(Ledger(made).rows()), (made / "keep" / "secret").read_bytes()
    (made / "out" / "ann" / "03_one_lobe_fewer.ipynb").write_text("mine")
    classes.dealt(tmp_path, ["bob", "eve"], ["3"])
    rows = list(Ledger(made).rows())
    assert rows[:2] == before
    assert [row["student"] for row in rows] == ["ann", "bob", "eve"]
    assert (made / "keep" / "secret").read_bytes() == secret
    assert (made / "out" / "ann" / "03_one_lobe_fewer.ipynb").read_text() == "mine"


def test_a_sheet_that_was_handed_out_and_is_not_whole_is_told_and_stays(tmp_path):
    made = classes.dealt(tmp_path, ["ann", "bob"], ["3"])
    whole = (made / "out" / "ann" / "03_one_lobe_fewer.ipynb").read_bytes()
    bobs = (made / "out" / "bob" / "03_one_lobe_fewer.ipynb").read_bytes()
    report = made / "keep" / "report.csv"
    assert classes.table(report) == []
    for broken in (b"", whole[: len(whole) // 2], bobs, b"[]", b"\xff"):
        (made / "out" / "ann" / "03_one_lobe_fewer.ipynb").write_bytes(broken)
        said = deal(tmp_path / "roster.csv", made, ["3"])
        assert said[-1] == "1 lines to look at in keep/report.csv"
        assert [(line["student"], line["sheet"]) for line in classes.table(report)] == [("ann", "03_one_lobe_fewer")]
        assert (made / "out" / "ann" / "03_one_lobe_fewer.ipynb").read_bytes() == broken
    (made / "out" / "ann" / "03_one_lobe_fewer.ipynb").unlink()
    deal(tmp_path / "roster.csv", made, ["3"])
    assert (made / "out" / "ann" / "03_one_lobe_fewer.ipynb").read_bytes() == whole


def test_who_left_the_roster_is_told_without_a_name(tmp_path):
    made = classes.dealt(tmp_path, ["ann", "bob"], ["3"])
    (tmp_path / "roster.csv").write_text("id\nbob\n")
    said = deal(tmp_path / "roster.csv", made, ["3"])
    assert "ann" not in " ".join(said)
    assert classes.table(made / "keep" / "report.csv")[0]["student"] == "ann"
    assert classes.row_of(made, "ann")


def test_one_student_gets_fresh_numbers(tmp_path):
    made = classes.dealt(tmp_path, ["ann", "bob"], ["3"])
    old = {name: classes.row_of(made, name) for name in ("ann", "bob")}
    classes.dealt(tmp_path, ["ann", "bob"], ["3"], fresh="ann")
    new = {name: classes.row_of(made, name) for name in ("ann", "bob")}
    assert new["bob"] == old["bob"]
    assert new["ann"]["word"] != old["ann"]["word"]
    assert Ledger(made).row(old["ann"]["word"])["replaced"]
    assert (made / "out" / "ann" / "03_one_lobe_fewer_2.ipynb").is_file()
    classes.hand_in(tmp_path / "in", "ann", classes.notebook(old["ann"], classes.data(old["ann"])))
    classes.marked(made, tmp_path / "in")
    assert classes.looked_at(made) == {"[ann]/sheet.ipynb": "has a word in whose place another was dealt"}
    with pytest.raises(ValueError, match="fresh is 'eve'"):
        classes.dealt(tmp_path, ["ann", "bob"], ["3"], fresh="eve")


def test_own_tasks_are_dealt_marked_and_said_to_hold_the_answers(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my_tasks.py").write_bytes(TEMPLATE.read_bytes())
    (tmp_path / "roster.csv").write_text("id\nann\n")
    said = deal(tmp_path / "roster.csv", tmp_path / "course", ["my_tasks.py"], quiet=True)
    assert said[-1] == "my_tasks.py is in every folder that was dealt and contains the right answers."
    text = (tmp_path / "course" / "out" / "ann" / "my_tasks.ipynb").read_text(encoding="utf-8")
    assert 'open_sheet(\\"my_tasks.py\\", my_word, edition=1, quiet=True)' in text
    assert (tmp_path / "course" / "out" / "ann" / "my_tasks.py").is_file()


@pytest.mark.parametrize(
    ("roster", "faults"),
    [
        ("id,name\na/b,x\n", [(2, "id")]),
        ("id,name\n..,x\nb..c,y\n", [(2, "id"), (3, "id")]),
        ("id,name\nann,=1+1\n=2,@x\n+3,-y\n", [(2, "name"), (3, "id"), (3, "name"), (4, "id"), (4, "name")]),
        ("id\nann\nANN\n", [(3, "id")]),
        ("id,place\nann,p\nbob,p\n", [(3, "place")]),
        ("id,name\n,x\n", [(2, "id")]),
        ("id\nCON\nnul.txt\nend.\n", [(2, "id"), (3, "id"), (4, "id")]),
        ('id\n"a\tb"\na:b\n', [(2, "id"), (3, "id")]),
        ("name,group\nann,1\n", [(1, "")]),
    ],
)
def test_what_is_no_id_is_refused_by_name_and_nothing_is_dealt(roster, faults, tmp_path):
    (tmp_path / "roster.csv").write_text(roster)
    with pytest.raises(tables.BadTable) as raised:
        deal(tmp_path / "roster.csv", tmp_path / "course", ["3"])
    assert [(fault.row, fault.column) for fault in raised.value.faults] == faults
    assert not (tmp_path / "course").exists()


def test_other_columns_reach_the_marks_unchanged(tmp_path):
    (tmp_path / "roster.csv").write_text("id;name;no\n01;Zoë, K;007\n", encoding="utf-8")
    assert _read_roster(tmp_path / "roster.csv").others == [{"name": "Zoë, K", "no": "007"}]
    deal(tmp_path / "roster.csv", tmp_path / "course", ["3"])
    (tmp_path / "in").mkdir()
    classes.marked(tmp_path / "course", tmp_path / "in")
    line = classes.marks(tmp_path / "course")["01"]
    assert (line["name"], line["no"]) == ("Zoë, K", "007")


def test_a_secret_that_is_gone_is_not_made_anew(tmp_path):
    made = classes.dealt(tmp_path, ["ann"], ["3"])
    (made / "keep" / "secret").unlink()
    with pytest.raises(ValueError, match="is gone, but the ledger is there"):
        classes.dealt(tmp_path, ["ann", "bob"], ["3"])
    assert not (made / "keep" / "secret").exists()


@pytest.mark.parametrize("sheets", ["99", "two_lobes", "../x", "x.py"])
def test_a_sheet_that_is_not_there_is_told(sheets, tmp_path, capsys):
    (tmp_path / "roster.csv").write_text("id\nann\n")
    arguments = ["deal", str(tmp_path / "roster.csv"), str(tmp_path / "course"), "--sheets", sheets]
    assert command_line.main(arguments) == 2
    assert capsys.readouterr().err
    assert not (tmp_path / "course").exists()
