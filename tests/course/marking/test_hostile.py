"""Hostile and broken hand-ins: no point gained, no other row changed, nothing written elsewhere, nothing executed."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from cyclokit.course.marking import ledger, replies, settle
from cyclokit.course.sheets.hand_in import receipt
from tests.course.marking import classes, hostile

ROOT = Path(__file__).resolve().parents[3]
CANARY = "canary-that-sings-7331"
ALL = "20"


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """A class of two, with a canary in what is kept."""
    folder = tmp_path_factory.mktemp("class")
    made = classes.dealt(folder, ["eve", "ann"], [classes.SHEET])
    file = made / ledger.KEEP / ledger.LEDGER
    rows = [json.loads(line) | {"canary": CANARY} for line in file.read_text().splitlines()]
    file.write_text("".join(f"{json.dumps(row)}\n" for row in rows))
    (made / ledger.KEEP / ledger.SECRET).write_bytes(CANARY.encode().ljust(32, b"!")[:32])
    return made


def _marked(course, handed_in):
    """Marked, every reason read (marks for a letter that is right), and marked again; the marks table."""
    classes.marked(course, handed_in)
    classes.read_reasons(course, lambda row, name: "3" if row["letter"].endswith("(right)") else "0")
    classes.marked(course, handed_in)
    return classes.marks(course)


def _total(line):
    return line[f"{classes.SHEET} total"]


def _earned(line):
    """The sum of all marks of a row."""
    tasks = [value for name, value in line.items() if name.startswith(classes.SHEET) and len(name.split()[-1]) == 1]
    return sum(float(value) for value in tasks if value and value != "incomplete")


@pytest.fixture
def clean(course):
    """What an earlier case left of the marks is gone."""
    import shutil

    shutil.rmtree(course / "marks", ignore_errors=True)
    return course


def test_there_are_enough_of_them():
    assert len(hostile.CASES) >= 40


@pytest.mark.parametrize("name", hostile.CASES)
def test_it_gains_nothing_and_its_harmless_twin_everything(name, clean, tmp_path):
    eve, ann = (classes.row_of(clean, student) for student in ("eve", "ann"))
    eve["neighbour"] = ann
    rows = {}
    for kind in ("alone", "hostile", "twin"):
        handed_in = tmp_path / kind / "in"
        classes.hand_in(handed_in, "ann", classes.notebook(ann, hostile.honest(ann)))
        if kind != "alone":
            hostile.CASES[name](handed_in / "[eve]", eve, kind == "twin")
        before = {path: path.lstat().st_mtime_ns for path in tmp_path.rglob("*")}
        kept = classes.everything(clean / "keep")
        rows[kind] = _marked(clean, handed_in)
        assert {path: path.lstat().st_mtime_ns for path in tmp_path.rglob("*")} == before
        assert {**classes.everything(clean / "keep"), "replies.csv": b""} == {**kept, "replies.csv": b""}
    assert rows["hostile"]["ann"] == rows["alone"]["ann"] == rows["twin"]["ann"]
    assert _total(rows["alone"]["ann"]) == _total(rows["twin"]["eve"]) == ALL
    assert _earned(rows["hostile"]["eve"]) == 0
    assert not Path("/tmp/executed").exists()
    assert not Path("/tmp/escaped.ipynb").exists()


def test_a_neighbours_word_counts_for_nobody_and_is_told(clean, tmp_path):
    ann = classes.row_of(clean, "ann")
    classes.hand_in(tmp_path, "ann", classes.notebook(ann, hostile.honest(ann)))
    for name in ("sheet.ipynb", "as of [ann].ipynb"):
        classes.hand_in(tmp_path, "eve", classes.notebook(ann, classes.data(ann, {"a": 1})), name)
    rows = _marked(clean, tmp_path)
    assert (_total(rows["ann"]), _total(rows["eve"])) == (ALL, "nothing handed in")
    assert classes.looked_at(clean) == {
        "[eve]/sheet.ipynb": "came from the account of eve, with the word of ann: decide in decisions.csv",
        "[eve]/as of [ann].ipynb": settle.SENTENCES["accounts"],
    }


TEXTS = [
    "<script>alert(1)</script>",
    "=1+cmd|' /C calc'!A0",
    "@SUM(1)",
    '"><img src=x onerror=alert(1)>',
    "\u202egnp",
    "\x00\x1b[2J",
]


@pytest.mark.parametrize("text", TEXTS)
def test_what_is_in_a_reason_does_nothing_in_pages_and_tables(text, clean, tmp_path):
    eve = classes.row_of(clean, "eve")
    classes.hand_in(tmp_path, "eve", classes.notebook(eve, classes.data(eve, reason=text + " it is so")))
    assert _total(_marked(clean, tmp_path)["eve"]) == ALL
    for path, content in classes.everything(clean / "marks").items():
        page = content.decode()
        if path.endswith(".html"):
            assert "<script" not in page and "<img" not in page
            assert not set("\u202e\x00\x1b") & set(page)
            assert "default-src 'none'" in page and "http://" not in page.replace("http-equiv", "")
        else:
            assert not [
                cell
                for row in classes.table(clean / "marks" / path)
                for cell in row.values()
                if cell[:1] in "=+-@" and cell
            ]


def test_a_reply_goes_to_its_own_path_even_if_names_differ_only_in_case_or_are_taken(clean, tmp_path):
    eve, ann = (classes.row_of(clean, student) for student in ("eve", "ann"))
    classes.hand_in(tmp_path, "eve", classes.notebook(eve, hostile.honest(eve)), "a.ipynb")
    classes.hand_in(tmp_path, "eve", classes.notebook(eve, hostile.honest(eve)), "A.ipynb")
    classes.hand_in(tmp_path, "eve", classes.notebook(eve, hostile.honest(eve)), "a.html/b.ipynb")
    classes.hand_in(tmp_path, "ann", classes.notebook(ann, hostile.honest(ann)), "line\nbreak.ipynb")
    _marked(clean, tmp_path)
    replies = sorted(classes.everything(clean / "marks" / "replies"))
    assert replies == ["[ann]/line\nbreak.html", "[eve]/A~2.html", "[eve]/a.html/b.html", "[eve]/a~3.html"]


def test_data_that_was_changed_by_hand_is_judged_as_if_on_paper_and_remarked(clean, tmp_path):
    eve = classes.row_of(clean, "eve")
    kept = classes.data(eve, {"a": 1})
    forged = kept | {"receipt": "aaaaaaaa"}
    assert receipt(forged) != forged["receipt"]
    classes.hand_in(tmp_path, "eve", classes.notebook(eve, forged))
    line = _marked(clean, tmp_path)["eve"]
    assert line[f"{classes.SHEET} a"] == "0"
    (reply,) = classes.everything(clean / "marks" / "replies").values()
    assert "was changed by hand" in reply.decode()


def test_a_canary_and_right_answers_are_in_nothing_that_is_handed_out_or_replied(clean, tmp_path):
    eve = classes.row_of(clean, "eve")
    choices = {kept["letter"]: 1 for kept in eve["tasks"]}
    classes.hand_in(tmp_path, "eve", classes.notebook(eve, classes.data(eve, choices)))
    _marked(clean, tmp_path)
    assert classes.everything(clean / "out") and classes.everything(clean / "marks")
    assert _given_away(clean) == []
    (reply,) = classes.everything(clean / "marks" / "replies").values()
    for kept in eve["tasks"]:
        if kept["kind"] == "number" and kept["right"] > 100:  # one slip is its negative
            assert not re.search(rf"(?<![-\d]){re.escape(format(kept['right'], '.5g'))}", reply.decode())


def _given_away(course):
    """Files handed out or replied that have something of what is kept in them."""
    secret = (course / "keep" / "secret").read_bytes()
    traces = (CANARY.encode(), secret, secret.hex().encode())
    files = {**classes.everything(course / "out"), **classes.everything(course / "marks")}
    return [path for path, content in files.items() if any(trace in content for trace in traces)]


def test_a_reply_that_gave_something_away_would_be_found(clean, tmp_path, monkeypatch):
    eve = classes.row_of(clean, "eve")
    classes.hand_in(tmp_path, "eve", classes.notebook(eve, classes.data(eve)))
    whole = replies.reply
    monkeypatch.setattr(replies, "reply", lambda sheet, outcome: whole(sheet, outcome) + str(sheet.row).encode())
    classes.marked(clean, tmp_path)
    assert _given_away(clean) == ["replies/[eve]/sheet.html"]


WATCHED = """
import importlib, os, pickle, subprocess, sys
from pathlib import Path
sys.path.insert(0, {root!r})
from cyclokit.course.marking import collect
from tests.course.marking import classes
course, handed_in, quiet = map(Path, {folders!r})
classes.marked(course, quiet)  # so that all of ours is loaded
import bz2, encodings.cp437, lzma, zlib  # what zipfile loads when it meets a name or a method
plants = [
    lambda: eval("1 + 1"),
    lambda: exec("x = 1"),
    lambda: pickle.loads(pickle.dumps(Path)),
    lambda: importlib.import_module("wave"),
    lambda: subprocess.run([sys.executable, "-c", ""]),
    lambda: os.system("true"),
    lambda: (quiet.parent / "planted").write_text("x"),
    lambda: (quiet.parent / "planted").rename(quiet.parent / "moved"),
]
events, watch = [], True
def hook(name, arguments):
    if watch:
        bad = name in ("exec", "compile", "import", "pickle.find_class", "marshal.loads", "code.__new__")
        bad |= name.startswith(("subprocess", "os.system", "os.exec", "os.fork", "socket", "ctypes", "urllib"))
        wrote = name == "open" and isinstance(arguments[2], int) and arguments[2] & 3
        moved = name in ("os.mkdir", "os.remove", "os.rename", "os.rmdir", "os.symlink", "os.link", "os.truncate")
        bad |= (wrote or moved) and not str(arguments[0]).startswith(str(course))
        if bad:
            events.append((name, str(arguments)[:200]))
sys.addaudithook(hook)
classes.marked(course, handed_in)
found = [len(events)]
read = collect.read
for planted in plants:  # that these would be found
    collect.read = lambda content, names: (planted(), read(content, names))[1]
    events.clear()
    classes.marked(course, quiet)
    found.append(len({{name for name, _ in events}}))
watch = False
print(found)
print(events, file=sys.stderr)
"""


def test_nothing_is_executed_imported_or_written_elsewhere(clean, tmp_path):
    eve, ann = (classes.row_of(clean, student) for student in ("eve", "ann"))
    classes.hand_in(tmp_path / "quiet", "ann", classes.notebook(ann, hostile.honest(ann)))
    eve["neighbour"] = ann
    for number, make in enumerate(hostile.CASES.values()):
        make(tmp_path / "in" / f"[eve] {number}", eve, False)
    folders = [str(clean), str(tmp_path / "in"), str(tmp_path / "quiet")]
    code = WATCHED.format(root=str(ROOT), folders=folders)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    clean_run, *planted = json.loads(done.stdout)
    assert clean_run == 0
    assert len(planted) == 8 and all(planted), planted
