"""A sheet as a reader meets it: asked, checked, looked at again; and under pytest, which judges it.

That pytest sets PYTEST_VERSION from 8.2 on, and PYTEST_CURRENT_TEST from 3.2 on: its documentation, "Environment
variables" and "PYTEST_CURRENT_TEST environment variable". When two texts are the same but for capitals and how accents
are typed: the Unicode Standard, section 3.13, D145.
"""

import sys
import types
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit.course.answers import yours
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets import sheet as sheets
from cyclokit.course.sheets import task as tasks
from cyclokit.course.sheets.lots import Draw
from cyclokit.course.sheets.sheet import NotYetRight, outcomes
from cyclokit.course.sheets.trial import TEMPLATE

SHEET = "one_lobe_fewer"
RIGHT = {"b_crank_turns": -128, "f_pins": 42}  # for the word "turntable": -(9 - 1) 16, and 205 s by 5 s, against
OWN = "The word is still the sheet's own."


@pytest.fixture
def notebook(monkeypatch):
    """A reader's notebook: the variables that are set in it, outside pytest."""
    main = types.ModuleType("__main__")
    monkeypatch.setitem(sys.modules, "__main__", main)
    monkeypatch.setattr(sheets, "run_by_pytest", lambda: False)
    return main


@pytest.fixture
def shown(monkeypatch):
    """What is displayed, as texts."""
    texts = []
    monkeypatch.setattr(sheets, "display", lambda thing: texts.append(thing.data))
    return texts


def test_a_task_is_shown_with_the_readers_numbers(shown):
    given = open_sheet(SHEET, "turntable").ask("b")
    assert (given.first_pins, given.second_pins) == (9, 16)
    assert "with 9 pins" in shown[0]
    assert "with 16 pins" in shown[0]
    assert shown[0].endswith("*3 marks.* Set `b_crank_turns`.")


def test_the_tolerance_is_stated_with_the_task(shown):
    open_sheet(SHEET, "turntable").ask("a")
    assert shown[0].endswith("Set `a_turned_deg`. Accepted within 0.2 %.")


def test_the_same_word_gives_the_same_numbers_and_another_word_others(shown):
    assert open_sheet(SHEET, "turntable").ask("d") == open_sheet(SHEET, "turntable").ask("d")
    assert open_sheet(SHEET, "turntable").ask("d") != open_sheet(SHEET, "moss").ask("d")


def test_the_numbers_of_one_task_tell_nothing_of_another_sheets(shown):
    drawn = [open_sheet(name, "turntable").asked("a").given for name in ("one_lobe_fewer", "four_numbers")]
    assert drawn[0].pins != drawn[1].pins


def test_an_answer_is_looked_up_by_its_name(notebook, capsys):
    sheet = open_sheet(SHEET, "turntable")
    notebook.b_crank_turns = RIGHT["b_crank_turns"]
    sheet.check_yourself("b")
    assert capsys.readouterr().out == f"b: right. I read -128. {OWN}\n"
    notebook.b_crank_turns = 128
    sheet.check_yourself("b")
    assert capsys.readouterr().out == f"b: look again. I read 128. Which way does the last shaft go? {OWN}\n"


def test_an_answer_whose_name_is_not_there_is_open(notebook, capsys):
    open_sheet(SHEET, "turntable").check_yourself("b")
    assert capsys.readouterr().out == f"b: still open. Put your answer in place of `yours`. {OWN}\n"


@pytest.mark.parametrize("answer", [yours, 128, "128", None, float("nan"), 1j, True, [0] * 10**6, object(), len])
@pytest.mark.parametrize("letter", "abcdef")
def test_a_check_prints_one_line_whatever_was_set(answer, letter, notebook, capsys):
    sheet = open_sheet(SHEET, "turntable")
    for name in sheet.tasks[letter].names:
        setattr(notebook, name, answer)
    sheet.check_yourself(letter)
    printed = capsys.readouterr().out
    assert len(printed.splitlines()) == 1
    assert printed.startswith(f"{letter}: ")
    assert not printed.startswith(f"{letter}: right")


@pytest.mark.parametrize(
    ("names", "under"),
    [((), False), (("PYTEST_VERSION",), True), (("PYTEST_CURRENT_TEST",), True), (("PYTEST_ADDOPTS",), False)],
)
def test_pytest_is_known_by_either_of_two_variables(names, under, monkeypatch):
    for name in ("PYTEST_VERSION", "PYTEST_CURRENT_TEST"):
        monkeypatch.delenv(name, raising=False)
    for name in names:
        monkeypatch.setenv(name, "set")
    assert sheets.run_by_pytest() == under


@pytest.mark.parametrize("answer", [yours, 128, "128", float("nan")])
def test_under_pytest_anything_but_right_raises_its_one_line(answer, notebook, monkeypatch):
    monkeypatch.setattr(sheets, "run_by_pytest", lambda: True)
    sheet = open_sheet(SHEET, "turntable")
    notebook.b_crank_turns = answer
    with pytest.raises(
        NotYetRight, match=r"^b, word \"turntable\": (still open|look again|can't be read)\. .*$"
    ) as raised:
        sheet.check_yourself("b")
    assert len(str(raised.value).splitlines()) == 1


def test_under_pytest_a_word_full_of_escape_characters_does_nothing_to_the_terminal(monkeypatch, notebook):
    monkeypatch.setattr(sheets, "run_by_pytest", lambda: True)
    with pytest.raises(NotYetRight, match=r"^b, word .* \[31mred.*: still open") as raised:
        open_sheet(SHEET, "moss \x1b[31mred\x07\u202e\n\nNotYetRight: b: right" + "." * 1000).check_yourself("b")
    assert str(raised.value).isprintable()
    assert len(str(raised.value)) < 200


def test_under_pytest_a_right_answer_passes(notebook, monkeypatch, capsys):
    monkeypatch.setattr(sheets, "run_by_pytest", lambda: True)
    notebook.f_pins = RIGHT["f_pins"]
    open_sheet(SHEET, "turntable").check_yourself("f")
    assert capsys.readouterr().out.startswith('f, word "turntable": right. I read 42.')


def test_in_an_examination_a_check_says_only_what_was_read(notebook, capsys):
    sheet = open_sheet(SHEET, "turntable", quiet=True)
    for answer in (-128, 128):
        notebook.b_crank_turns = answer
        sheet.check_yourself("b")
        assert capsys.readouterr().out == f"b: read as {answer}. {OWN}\n"


def test_in_an_examination_there_are_no_other_looks(shown):
    open_sheet(SHEET, "turntable", quiet=True).another_look("b", 3)
    assert shown == ["There are no other looks in an examination."]


def test_another_look_has_three_rungs_and_remembers_nothing(shown):
    sheet = open_sheet(SHEET, "turntable")
    for rung in (1, 2, 3, 1):
        sheet.another_look("b", rung)
    assert shown[0] == shown[3]
    assert len(set(shown)) == 3
    assert '`sheet.another_look("b", 2)`' in shown[0]
    assert '"Which part is held"' in shown[1]
    assert '`sheet.another_look("b", 3)`' in shown[1]
    assert "another_look" not in shown[2]
    assert "128" not in shown[2]  # the twin has other numbers and another answer


@pytest.mark.parametrize("rung", [0, 4, 1.5, "1", None])
def test_there_is_no_other_rung(rung):
    with pytest.raises(ValueError, match=r"rung is .*, but must be 1, 2 or 3"):
        open_sheet(SHEET, "turntable").another_look("b", rung)


@pytest.mark.parametrize("letter", ["g", "", None, "A"])
def test_a_letter_that_is_not_there_is_told_which_are(letter, notebook):
    sheet = open_sheet(SHEET, "turntable")
    for use in (sheet.ask, sheet.check_yourself, sheet.another_look):
        with pytest.raises(ValueError, match="the tasks are a, b, c, d, e, f"):
            use(letter)


def test_a_word_of_ones_own_is_not_remarked_upon(notebook, capsys):
    open_sheet(SHEET, "moss").check_yourself("b")
    assert capsys.readouterr().out == "b: still open. Put your answer in place of `yours`.\n"


def test_the_outcomes_of_a_whole_sheet_are_had_without_printing_or_raising(monkeypatch, capsys):
    monkeypatch.setattr(sheets, "run_by_pytest", lambda: True)
    found = outcomes(open_sheet(SHEET, "turntable"), {**RIGHT, "a_turned_deg": "much", "e_letter": "a"})
    said = {letter: judged.outcome for letter, judged in found.items()}
    assert said == dict(
        zip("abcdef", ("can't be read", "right", "still open", "still open", "still open", "right"), strict=True)
    )
    assert capsys.readouterr() == ("", "")


def test_a_sheet_draws_its_numbers_once(shown, notebook, monkeypatch):
    counted = []
    monkeypatch.setattr(sheets, "asked", lambda *given: counted.append(given) or tasks.asked(*given))
    sheet = open_sheet(SHEET, "turntable")
    for _ in range(3):
        sheet.ask("b")
        sheet.check_yourself("b")
    assert len(counted) == 1


def test_numbers_that_a_reader_changes_are_not_those_of_the_check(shown, notebook, capsys):
    sheet = open_sheet(SHEET, "turntable")
    sheet.ask("b").first_pins = 3
    assert sheet.ask("b").first_pins == 9
    notebook.b_crank_turns = RIGHT["b_crank_turns"]
    sheet.check_yourself("b")
    assert capsys.readouterr().out.startswith("b: right.")


# editions


@pytest.mark.parametrize("edition", [0, 2, 7, -1, "1", None, True, 1.5])
def test_an_edition_that_is_not_there_is_told_so_and_nothing_is_judged(edition):
    with pytest.raises(ValueError, match=r"^edition is .*, but of this sheet the library here has edition 1, so"):
        open_sheet(SHEET, "turntable", edition=edition)


def test_a_sheet_without_an_edition_is_of_the_first(shown):
    assert open_sheet(SHEET, "moss").ask("d") == open_sheet(SHEET, "moss", edition=1).ask("d")


class Doubled(tasks.Task):
    """Two slips; the newer one comes near the right answer for one reader in two."""

    letter, title, marks, text, names = "a", "Twice", 3, "{pins}", ("a_pins",)
    other_words = place = "Nowhere."

    def numbers(self, draw):
        return tasks.Given(pins=draw.whole(10, 99), least=draw.whole(1, 6) if draw.edition > 2 else 0)

    def question(self, given):
        odd = given.pins % 2
        slips = (Slip(2 * given.pins, "Twice?"), Slip(given.pins + 50 * (1 - odd), "Newer?", since=2))
        return NumberQuestion(right=given.pins, unit="", tolerance=0.001, look="Which?", slips=slips)

    def worked(self, given):
        return f"{given.pins}"


def test_a_slip_that_is_newer_than_the_edition_changes_no_numbers_and_is_left_out_where_it_collides():
    words = [f"reader {number}" for number in range(60)]
    first = [tasks.asked(Doubled(), word, 1) for word in words]
    second = [tasks.asked(Doubled(), word, 2) for word in words]
    drawn = [Draw(f"{word}/a/0").whole(10, 99) for word in words]
    assert [given.pins for given, _ in first] == drawn  # as if the newer slip weren't there
    assert [len(question.slips) for _, question in first] == [1 if pins % 2 else 2 for pins in drawn]
    assert all(given.pins % 2 == 0 and len(question.slips) == 2 for given, question in second)
    assert sum(old != new for old, new in zip(drawn, [given.pins for given, _ in second], strict=True)) > 15


def test_a_task_can_draw_otherwise_since_an_edition():
    assert tasks.numbers_of(Doubled(), "moss", 2).least == 0
    assert tasks.numbers_of(Doubled(), "moss", 3).least > 0


# words


@pytest.mark.parametrize(
    "word", ["Übung 7", "ÜBUNG 7", " übung 7", "übung 7\n", "u\u0308bung 7", "U\u0308BUNG 7", "\tÜbung 7\u00a0"]
)
def test_capitals_outer_blanks_and_how_accents_are_typed_make_no_other_word(word, shown):
    assert open_sheet(SHEET, word).ask("d") == open_sheet(SHEET, "übung 7").ask("d")


@pytest.mark.parametrize("word", ["ubung 7", "übung  7", "übung7", "übung 8"])
def test_other_letters_and_blanks_between_make_another_word(word, shown):
    assert open_sheet(SHEET, word).ask("d") != open_sheet(SHEET, "übung 7").ask("d")


@given(st.text())
def test_a_word_that_is_normalised_stays_as_it_is(word):
    once = tasks.normalised(word)
    assert tasks.normalised(once) == once
    for form in ("NFC", "NFD"):
        assert tasks.normalised(unicodedata.normalize(form, word)) == once


def test_own_sheets_keep_their_numbers_whatever_the_file_is_called(tmp_path, shown):
    drawn = []
    for name in ("my_tasks.py", "renamed.py", "a copy (2).py"):
        (tmp_path / name).write_bytes(TEMPLATE.read_bytes())
        drawn.append(open_sheet(str(tmp_path / name), "moss").ask("a"))
    assert drawn[0] == drawn[1] == drawn[2]


@pytest.mark.parametrize("name", ["two_lobes_fewer", "", "template", "__init__", "../one_lobe_fewer", "os"])
def test_a_sheet_that_is_not_there_is_told_which_are(name):
    with pytest.raises(ValueError, match="the sheets are circles_that_roll"):
        open_sheet(name, "turntable")


@pytest.mark.parametrize("word", ["", "  ", None, 7])
def test_a_word_is_a_text_with_something_in_it(word):
    with pytest.raises(ValueError, match="word is"):
        open_sheet(SHEET, word)


def test_a_sheet_tells_how_much_there_is():
    assert repr(open_sheet(SHEET, "turntable")) == "One lobe fewer: 6 tasks, 20 marks"


def test_a_file_of_ones_own_makes_a_sheet(tmp_path, notebook, shown, capsys):
    own = tmp_path / "my_tasks.py"
    own.write_bytes(TEMPLATE.read_bytes())
    sheet = open_sheet(str(own), "turntable")
    given = sheet.ask("a")
    notebook.a_across_mm = sheet.tasks["a"].question(given).right
    sheet.check_yourself("a")
    assert capsys.readouterr().out.startswith("a: right. ")


def test_a_file_that_is_not_there_is_told_so(tmp_path):
    with pytest.raises(ValueError, match="no such file of tasks"):
        open_sheet(str(tmp_path / "none.py"), "turntable")
