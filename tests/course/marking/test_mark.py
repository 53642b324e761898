"""A class marked: exactly what was handed in earns exactly what it should, again and again."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from itertools import permutations, product
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from cyclokit.course.marking import collect, settle
from cyclokit.course.marking.forget import forget
from cyclokit.course.marking.ledger import Ledger
from cyclokit.course.sheets.library import sheet_names
from tests.course.marking import classes, copying

ROOT = Path(__file__).resolve().parents[3]
STUDENTS = ["007", "Zoë K", "O'Neil", "ليلى", "李雷", *(f"s{number}" for number in range(33))]
SHEETS = list("12345678")
SHEET = classes.SHEET


def _expected(kept, choice):
    """What a task earns before and after its reason was read, by what the student chose."""
    if kept["kind"] == "choice" and choice is not None:
        return "incomplete", str(kept["marks"] if choice == 0 else 1)
    earned = f"{kept['marks'] if choice == 0 else 0}"
    return earned, earned


def _by_a_person(row, name):
    return name_marks[name] if row["letter"].endswith("(right)") else "1"


name_marks: dict[str, str] = {}
# axe looks at a page once by all its rules, in the dark by those that colours can break
RULES = {"light": {}, "dark": {"runOnly": ["color-contrast", "link-in-text-block"]}}


@pytest.fixture(scope="module")
def term(tmp_path_factory):
    """Over three hundred hand-ins of 38 students, on all sheets: right, slips, open; and what was chosen."""
    folder = tmp_path_factory.mktemp("term")
    course, rng, chosen = classes.dealt(folder, STUDENTS, SHEETS), np.random.default_rng(20), {}
    for row in Ledger(course).rows():
        choices = classes.random_choices(row, rng)
        chosen[row["student"], row["sheet"]] = row, choices
        name_marks.update({f"{row['sheet']}_{kept['letter']}": str(kept["marks"]) for kept in row["tasks"]})
        made = classes.notebook(row, classes.data(row, choices))
        classes.hand_in(folder / "in", row["student"], made, f"{row['sheet']}.ipynb")
    return course, folder / "in", chosen


def test_over_three_hundred_hand_ins_are_marked_exactly_as_they_were_made(term):
    course, handed_in, chosen = term
    assert sorted({sheet for _, sheet in chosen}) == sheet_names()
    assert len(chosen) == 304
    assert classes.marked(course, handed_in) == ["304 files, 304 sheets count, 0 lines to look at."]
    for stage in (0, 1):
        rows = classes.marks(course)
        wrong = [
            (student, sheet, kept["letter"])
            for (student, sheet), (row, choices) in chosen.items()
            for kept in row["tasks"]
            if rows[student][f"{sheet} {kept['letter']}"] != _expected(kept, choices[kept["letter"]])[stage]
        ]
        assert wrong == []
        classes.read_reasons(course, _by_a_person)
        classes.marked(course, handed_in)
    first = classes.everything(course / "marks")
    assert len([path for path in first if path.startswith("replies/")]) == 304
    classes.marked(course, handed_in)
    assert classes.everything(course / "marks") == first


def test_copied_values_earn_little(term):
    """Every student with the values of every other one, on every sheet."""
    _, _, chosen = term
    sheets = sorted({sheet for _, sheet in chosen})
    shares = [copying.shares([row for row, _ in chosen.values() if row["sheet"] == sheet]) for sheet in sheets]
    assert sum(map(len, shares)) == len(SHEETS) * len(STUDENTS) * (len(STUDENTS) - 1)
    for sheet, found in zip(sheets, shares, strict=True):
        assert np.mean(found <= 1 / 3) >= 0.95, sheet


def test_pairs_are_judged_as_marking_does(term):
    """All pairs of six students once more, each answer handed in and judged by itself."""
    _, _, chosen = term
    for sheet in {sheet for _, sheet in chosen}:
        rows = [row for row, _ in chosen.values() if row["sheet"] == sheet][:6]
        expected = []
        for one, other in permutations(rows, 2):
            pairs = zip(one["tasks"], other["tasks"], strict=True)
            earned = [
                kept["marks"] for kept, copied in pairs if classes.right(sheet, kept, classes.rightly(sheet, copied))
            ]
            expected.append(sum(earned) / sum(kept["marks"] for kept in one["tasks"]))
        assert copying.shares(rows).tolist() == expected


# one sheet, two students


@pytest.fixture
def course(tmp_path):
    return classes.dealt(tmp_path, ["ann", "bob"], [SHEET])


def _put(folder, row, choices=None, name="sheet.ipynb", account=None, **more):
    made = classes.notebook(row, classes.data(row, choices, **more))
    return classes.hand_in(folder, account or row["student"], made, name)


def test_two_that_differ_wait_for_a_decision(course, tmp_path):
    row = classes.row_of(course, "ann")
    _put(tmp_path / "in", row, name="one.ipynb")
    _put(tmp_path / "in", row, {"a": 1}, name="two.ipynb")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} total"] == "nothing handed in"
    assert set(classes.looked_at(course)) == {"[ann]/one.ipynb", "[ann]/two.ipynb"}
    (course / "decisions.csv").write_text("place,decision\n[ann]/two.ipynb,counts\n")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} a"] == "0"
    assert list(classes.looked_at(course)) == ["[ann]/one.ipynb"]
    (course / "decisions.csv").write_text("place,decision\n[ann]/two.ipynb,does not count\n[ann]/none.ipynb,counts\n")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} a"] == "3"
    assert set(classes.looked_at(course)) == {"[ann]/two.ipynb", "[ann]/none.ipynb"}


def test_with_times_the_last_one_counts(course, tmp_path):
    row = classes.row_of(course, "ann")
    _put(tmp_path / "in", row, name="one.ipynb")
    _put(tmp_path / "in", row, {"a": 1}, name="two.ipynb")
    times = "place,time\n[ann]/one.ipynb,2027-01-31T12:00+00:00\n[ann]/two.ipynb,2027-01-31T12:30+01:00\n"
    (course / "times.csv").write_text(times)
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} a"] == "3"
    (course / "times.csv").write_text(times.replace("+01:00", ""))
    with pytest.raises(ValueError, match=r"row 3, column time: .* is no time with a zone"):
        classes.marked(course, tmp_path / "in")


def test_another_account_waits_for_a_decision(course, tmp_path):
    row = classes.row_of(course, "ann")
    _put(tmp_path / "in", row, account="bob")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} total"] == "nothing handed in"
    (course / "decisions.csv").write_text("place,decision\n[bob]/sheet.ipynb,counts\n")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} a"] == "3"


def test_whose_account_a_place_is():
    accounts = {"ann": "st1", "joanna": "st11", "bob": "", "eve": "st2"}
    assert settle.owner("x/st11/a.ipynb", accounts) == "joanna"
    assert settle.owner("x/st1/a.ipynb", accounts) == "ann"
    assert settle.owner("x/y.ipynb", accounts) == ""
    assert settle.owner("st1/st2/y.ipynb", accounts) is None


def test_a_correction_is_told_before_it_is_written_and_says_who_gains_what(course, tmp_path):
    row = classes.row_of(course, "ann")
    _put(tmp_path / "in", row, {"b": 1})
    classes.marked(course, tmp_path / "in")
    text = '[[corrections]]\ndate = 2027-01-31\nsheet = "one_lobe_fewer"\ntask = "b"\nwhy = "two ways to read it"\n'
    (course / "settings.toml").write_text(text + "slip = 1\nshare = 0.5\n")
    said = classes.marked(course, tmp_path / "in")
    why = "Corrected 2027-01-31: two ways to read it.; a known slip"
    assert said[:2] == [f"one_lobe_fewer b: 0 -> 1.5 for 1 ({why})", "Who they are stands in changes.csv."]
    change = {"student": "ann", "sheet": SHEET, "task": "b", "before": "0", "now": "1.5", "why": why}
    assert classes.table(course / "marks" / "changes.csv") == [change]
    kept = classes.everything(course)
    assert len(classes.marked(course, tmp_path / "in")) == 1  # nothing changes, and what changed last is still told
    assert classes.everything(course) == kept
    (course / "settings.toml").write_text(text + "everyone = true\n")
    said = classes.marked(course, tmp_path / "in")
    assert said[0].startswith("one_lobe_fewer b: 1.5 -> 3 for 1 (")
    assert "ann" not in " ".join(said)
    assert classes.marks(course)["bob"][f"{SHEET} b"] == ""
    wrong = classes.data(row, {"b": 1})["answers"]["b"]["value"]
    (course / "settings.toml").write_text(text + f'right = {wrong}\nstudent = "ann"\n')
    assert len(classes.marked(course, tmp_path / "in")) == 1
    assert classes.marks(course)["ann"][f"{SHEET} b"] == "3"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("x = 1", "other than"),
        ("[[corrections]]\nsheet='s'", "date is None"),
        ("[[corrections]]\ndate=2027-01-31\nsheet='s'\ntask='a'\nwhy='w'\nslip=1", "give one of"),
        ("[[corrections]]\ndate=2027-01-31\nsheet='s'\ntask='a'\nwhy='w'\ntolerance=nan", "tolerance is nan"),
        ("[[corrections]]\ndate=2027-01-31\nsheet='s'\ntask='a'\nwhy=''\neveryone=true", "why must be"),
        ("[[corrections", "can't be read"),
    ],
)
def test_settings_that_can_not_be_used_are_told_and_nothing_is_written(text, why, course, tmp_path):
    (course / "settings.toml").write_text(text)
    (tmp_path / "in").mkdir()
    with pytest.raises(ValueError, match=why):
        classes.marked(course, tmp_path / "in")
    assert not (course / "marks").exists()


def test_reasons_are_merged_and_a_changed_one_is_flagged(course, tmp_path):
    row = classes.row_of(course, "ann")
    _put(tmp_path / "in", row, reason="because it is so, and in no other way")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} total"] == "incomplete"
    classes.read_reasons(course, lambda row, name: "2.5")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} e"] == "2.5"
    _put(tmp_path / "in", row, reason="because it is quite otherwise than I thought")
    classes.marked(course, tmp_path / "in")
    assert classes.marks(course)["ann"][f"{SHEET} e"] == "incomplete"
    (line,) = classes.table(course / "marks" / "reasons" / f"{SHEET}_e.csv")
    assert (line["marks"], line["comment"], line["changed"]) == ("2.5", "read", "yes")
    assert "ann" not in line["code"]
    classes.read_reasons(course, lambda row, name: "4")  # more than the task is worth
    before = classes.everything(course / "marks")
    with pytest.raises(ValueError, match="row 2, column marks: '4' is out of range"):
        classes.marked(course, tmp_path / "in")
    assert classes.everything(course / "marks") == before


def test_a_cell_that_was_edited_and_not_run_again_is_seen(course, tmp_path):
    row = classes.row_of(course, "ann")
    names = {SHEET: [name for kept in row["tasks"] for name in kept["names"]]}
    made = classes.notebook(row, classes.data(row))
    assert collect.read(json.dumps(made).encode(), names).remarks == []
    for cell in made["cells"]:
        if "".join(cell["source"]) == "a_turned_deg = yours":
            cell["source"] = ["a_turned_deg = 12"]
    (remark,) = collect.read(json.dumps(made).encode(), names).remarks
    assert remark.startswith("a_turned_deg: the cell that sets it was changed")


def test_who_is_alike_is_listed_for_a_person(course, tmp_path):
    for student in ("ann", "bob"):
        _put(tmp_path / "in", classes.row_of(course, student))
    classes.marked(course, tmp_path / "in")
    (line,) = classes.table(course / "marks" / "alike.csv")
    assert (line["what"], line["students"]) == ("1 reason e", "ann, bob")


def test_what_can_not_be_read_is_listed_with_whose_account_it_came_from(course, tmp_path):
    classes.hand_in(tmp_path / "in", "ann", "{")
    classes.marked(course, tmp_path / "in")
    lines = {line["place"]: line["student"] for line in classes.table(course / "marks" / "to_look_at.csv")}
    assert lines["[ann]/sheet.ipynb"] == "ann"


def test_pages_are_readable_on_a_phone_and_axe_finds_nothing(tmp_path, chromium):
    course = classes.dealt(tmp_path, ["ann", "bob"], [SHEET], printed=True)
    for student in ("ann", "bob"):
        _put(tmp_path / "in", classes.row_of(course, student), {"a": 1, "b": None})
    classes.marked(course, tmp_path / "in")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=("--no-sandbox", "--disable-gpu"))
        pages = ["marks/class.html", "marks/replies/[ann]/sheet.html", f"marks/reasons/{SHEET}_e.html"]
        pages += [f"out/ann/paper_{SHEET}.html", f"keep/paper_key_{SHEET}.html"]
        for scheme, path in product(("light", "dark"), pages):
            page = browser.new_page(viewport={"width": 390, "height": 844}, color_scheme=scheme, bypass_csp=True)
            page.goto((course / path).as_uri())
            assert page.evaluate("document.documentElement.scrollWidth") <= 390
            # all of a reason can be read without moving it sideways
            assert page.evaluate("[...document.querySelectorAll('.wide')].filter(e => e.scrollWidth > 390).length") == 0
            # no column is squeezed so narrow that words are broken letter by letter: 40 px are about five letters
            squeezed = "filter(e => e.offsetWidth && e.clientWidth < 40).length"
            assert page.evaluate(f"[...document.querySelectorAll('h1,h2,h3,p,li,dd,td,th')].{squeezed}") == 0
            assert [found["id"] for found in Axe().run(page, options=RULES[scheme]).response["violations"]] == [], path
            page.close()
        browser.close()


def test_a_reply_goes_with_its_hand_in_and_nothing_else_does(course, tmp_path):
    for student, name in [("ann", "first/sheet.ipynb"), ("ann", "sheet.ipynb"), ("bob", "sheet.ipynb")]:
        _put(tmp_path / "in", classes.row_of(course, student), name=name)
    classes.marked(course, tmp_path / "in")
    replies = course / "marks" / "replies"
    (replies / "[bob]" / "mine.txt").write_text("a person's own")
    shutil.rmtree(tmp_path / "in" / "[ann]" / "first")
    shutil.rmtree(tmp_path / "in" / "[bob]")
    classes.marked(course, tmp_path / "in")
    assert sorted(path.relative_to(replies).as_posix() for path in replies.rglob("*")) == [
        *("[ann]", "[ann]/sheet.html", "[bob]", "[bob]/mine.txt")
    ]


def test_killed_anywhere_and_started_again_comes_to_the_same(course, tmp_path):
    for student in ("ann", "bob"):
        _put(tmp_path / "in", classes.row_of(course, student), {"a": 1})
    classes.marked(course, tmp_path / "in")
    whole = classes.everything(course)
    shutil.rmtree(course / "marks")
    command = [sys.executable, "-m", "cyclokit", "mark", str(course), str(tmp_path / "in")]
    begun = time.monotonic()
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    needed = time.monotonic() - begun
    for share in (0.8, 0.95):
        shutil.rmtree(course / "marks")
        process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        time.sleep(share * needed)
        os.kill(process.pid, signal.SIGKILL)
        process.wait()
        classes.marked(course, tmp_path / "in")
        left = {path: content for path, content in classes.everything(course).items() if ".writing-" not in path}
        assert left == whole


def test_a_student_is_forgotten(course, tmp_path):
    for student in ("ann", "bob"):
        _put(tmp_path / "in", classes.row_of(course, student), reason=f"{student} thinks that it is so and not so")
    classes.marked(course, tmp_path / "in")
    word, receipt = classes.row_of(course, "ann")["word"], classes.marks(course)["ann"][f"{SHEET} receipt"]
    said = forget(course, "ann")
    assert "What was handed in is not touched" in " ".join(said)
    for path, content in classes.everything(course).items():
        assert "ann" not in path
        for trace in (b"ann", word.encode(), receipt.encode()):
            assert trace not in content, (path, trace)
    shutil.rmtree(tmp_path / "in" / "[ann]")
    classes.marked(course, tmp_path / "in")
    assert list(classes.marks(course)) == ["bob"]
    with pytest.raises(ValueError, match="nothing was dealt to that id"):
        forget(course, "ann")


def test_where_nothing_was_dealt_nothing_is_marked_and_no_secret_made(tmp_path):
    with pytest.raises(ValueError, match="nothing was dealt there"):
        classes.marked(tmp_path, tmp_path)
    assert list(tmp_path.iterdir()) == []
