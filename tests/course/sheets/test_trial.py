"""Trying a file of tasks: what an author is told, and that every fault is found."""

import itertools
import math
import re

import pytest

from cyclokit.__main__ import main
from cyclokit.course.answers.formulas import FunctionQuestion, OutlineQuestion
from cyclokit.course.answers.kinds import NumberQuestion, Slip
from cyclokit.course.sheets import trial
from cyclokit.course.sheets.library import Tasks, load_tasks
from cyclokit.course.sheets.task import Given, asked, twin_of
from cyclokit.course.sheets.trial import TEMPLATE, gives_away, new_file, try_task
from cyclokit.drive import Drive
from cyclokit.geometry import outline

(SAMPLE,) = load_tasks(str(TEMPLATE)).tasks


def _task(**changes):
    """The template's task with other parts."""
    return type("Changed", (type(SAMPLE),), changes)()


def _question(right=84.0, look="Which one?", slips=(), tolerance=0.005):
    return NumberQuestion(right=right, unit="mm", tolerance=tolerance, look=look, slips=slips)


def test_the_template_is_a_sound_task():
    trial = try_task(SAMPLE)
    assert trial.faults == ()
    assert "drives: 1000, all sound" in trial.remarks
    assert "1000" in str(trial) or "different" in str(trial)


def test_numbers_and_answers_are_shown_with_their_spread():
    text = str(try_task(SAMPLE, draws=200))
    assert "steps: 2 to 4, 3 different" in text
    assert "mm, median" in text
    assert "9 to 24 pins, trochoid ratio 0." in text


def test_slips_that_collide_are_counted():
    remarks = try_task(SAMPLE).remarks
    assert [remark for remark in remarks if remark.startswith("slip 1 and slip 4 come within three tolerances in ")]


def test_unsound_drives_are_counted():
    def numbers(self, draw):
        return Given(drive=Drive(20, 42.0, 5.0, draw.one_of((1.4, 2.6))), steps=draw.whole(2, 4))

    (fault, *_) = try_task(_task(numbers=numbers), draws=100).faults
    assert fault.endswith("of the drives are not sound")
    assert 30 < int(fault.split()[0]) < 70  # one in two


def test_slips_that_always_collide_are_a_fault():
    def question(self, given):
        return _question(
            right=given.drive.pins * given.steps, slips=(Slip(given.drive.pins * given.steps * 1.01, "Is it?"),)
        )

    assert any(
        "keeps its slips" in fault or "keep its slips apart" in fault
        for fault in try_task(_task(question=question), draws=20).faults
    )


def test_an_answer_that_everybody_has_is_a_fault():
    def question(self, given):
        return _question(right=84.0)

    assert any("so that it can be copied" in fault for fault in try_task(_task(question=question), draws=20).faults)


@pytest.mark.parametrize("line", ["Is that too large?", "Is it twice that?", "Divide by two?", "Is it 84 mm?", "83.9?"])
def test_a_line_that_tells_is_found(line):
    assert gives_away(line, 84.0)

    def question(self, given):
        return _question(right=84.0, look=line)

    assert any("tells a direction" in fault for fault in try_task(_task(question=question), draws=20).faults)


@pytest.mark.parametrize("line", ["Is that the radius?", 'Which one? Lesson 84, "Count first".', "Is 10 mm a radius?"])
def test_a_line_that_only_asks_is_let_through(line):
    assert not gives_away(line, 84.0)


@pytest.mark.parametrize("text", ["{missing} pins", "{drive.missing} pins", "{drive"])
def test_a_text_that_can_not_be_made_is_a_fault(text):
    assert try_task(_task(text=text), draws=20).faults


def test_a_text_that_holds_the_answer_is_a_fault():
    def question(self, given):
        return _question(right=given.drive.lobes * given.steps)

    assert not any("text holds" in fault for fault in try_task(_task(question=question), draws=50).faults)
    held = _task(question=lambda self, given: _question(right=given.drive.lobes), text="It is {drive.lobes}.")
    assert any("text holds the answer for 100%" in fault for fault in try_task(held, draws=50).faults)


def test_numbers_that_do_not_come_from_the_draw_are_a_fault():
    count = itertools.count()

    def numbers(self, draw):
        return Given(drive=draw.drive(), steps=2 + next(count) % 3)

    assert any("change from one draw to the next" in fault for fault in try_task(_task(numbers=numbers)).faults)


def test_a_task_without_a_drive_is_told_that_soundness_is_not_tried():
    def question(self, given):
        return _question(right=given.pins)

    task = _task(
        numbers=lambda self, draw: Given(pins=draw.whole(10, 999)),
        question=question,
        text="{pins}",
        worked=lambda self, given: f"It is {given.pins}.",
    )
    assert any("isn't tried" in remark for remark in try_task(task, draws=50).remarks)


def test_many_telling_lines_are_told_once_with_their_number():
    def question(self, given):
        return _question(
            right=given.drive.pins * given.steps * 1.5, look=f"Is {given.drive.pins * given.steps} too small?"
        )

    faults = [
        fault for fault in try_task(_task(question=question), draws=100).faults if "tell" in fault or "so do" in fault
    ]
    assert len(faults) == 2
    assert "and so do" in faults[1]


@pytest.mark.parametrize("names", [(), "a_across_mm", ("a across",), ("a_mm", "2_mm"), ("lambda",), (None,), ["a_mm"]])
def test_names_that_a_reader_can_not_set_are_a_fault(names):
    assert any(fault.startswith("its names are") for fault in try_task(_task(names=names), draws=20).faults)


@pytest.mark.parametrize(
    ("part", "value"), [("letter", 1), ("letter", ""), ("letter", "a b"), ("marks", 0), ("marks", -3), ("marks", "3")]
)
def test_a_letter_or_marks_that_no_sheet_can_have_are_a_fault(part, value):
    faults = try_task(_task(**{part: value}), draws=20).faults
    assert any(re.match(f"its {part} (is|are) {value!r}: give a ", fault) for fault in faults)


@pytest.mark.parametrize("tolerance", [-0.005, math.nan, math.inf, 0, 0.0, None, "0.005", True])
def test_a_tolerance_that_is_not_above_zero_is_a_fault(tolerance):
    def question(self, given):
        return _question(right=given.drive.pin_circle_radius * math.sqrt(given.steps), tolerance=tolerance)

    assert any(fault.startswith("its tolerance is") for fault in try_task(_task(question=question), draws=20).faults)


@pytest.mark.parametrize("share", [1, 0.01])
def test_a_whole_number_of_steps_may_have_to_be_met(share):
    def question(self, given):
        return _question(right=round(share * given.drive.pins * given.steps, 2), tolerance=0)

    assert not any("tolerance" in fault for fault in try_task(_task(question=question), draws=20).faults)


@pytest.mark.parametrize("kind", [FunctionQuestion, OutlineQuestion])
def test_functions_and_outlines_need_a_tolerance_above_zero(kind):
    def question(self, given):
        if kind is OutlineQuestion:
            return OutlineQuestion(outline.polygon(given.drive, 0.1), tolerance=0, look="Which one?")
        return FunctionQuestion(
            lambda a: a * given.drive.pins * given.steps, ((1.0,),), "a number", tolerance=0, look="Which one?"
        )

    assert any(fault.startswith("its tolerance is") for fault in try_task(_task(question=question), draws=20).faults)


@pytest.mark.parametrize("changed", ["numbers", "question", "worked"])
def test_an_authors_function_that_exits_ends_nothing_but_its_task(changed):
    def leaves(*_, **__):
        raise SystemExit(3)

    assert try_task(_task(**{changed: leaves}), draws=20).faults[-1] == "it can't be made: SystemExit: 3"


def test_a_right_answer_that_the_worked_twin_does_not_come_to_is_a_fault():
    def question(self, given):
        return _question(right=1000 * SAMPLE.question(given).right)

    (fault,) = try_task(_task(question=question), draws=20).faults
    assert fault.startswith("the worked twin doesn't come to what the question calls right, ")


def test_one_readers_task_is_shown_with_its_right_answer_and_the_worked_twin():
    found = Tasks("my_tasks", "Mine", (SAMPLE,), (1,))
    ask, twin = asked(SAMPLE, "my_tasks/moss"), twin_of(SAMPLE, "my_tasks/moss")
    text = str(try_task(SAMPLE, found, draws=20, word=" Moss"))
    for expected in (
        "As the reader with the word moss sees it:",
        f"{ask.given.drive.pins} pins stand evenly on a circle of {ask.given.drive.pin_circle_radius:g} mm radius.",
        "*3 marks.* Set `a_across_mm`. Accepted within 0.2 %.",
        f"Right answer: {ask.question.right:.12g} mm",
        SAMPLE.worked(twin),
    ):
        assert expected in text


def test_a_trial_that_takes_long_says_for_how_many_seconds(monkeypatch):
    clock = itertools.count(0, 0.3)
    monkeypatch.setattr(trial.time, "monotonic", lambda: next(clock))
    said = []
    try_task(SAMPLE, draws=10, say=said.append)
    assert said[:3] == ["task a: 1 s", "task a: 2 s", "task a: 3 s"]
    assert len(said) == len(set(said))
    monkeypatch.setattr(trial.time, "monotonic", lambda: 5.0)
    said.clear()
    try_task(SAMPLE, draws=10, say=said.append)
    assert said == []


@pytest.mark.parametrize("part", ["letter", "title", "marks", "text", "names", "other_words", "place"])
def test_a_task_without_a_part_is_told_which(part, tmp_path, capsys):
    own = tmp_path / "my_tasks.py"
    text = TEMPLATE.read_text(encoding="utf-8").replace(f"    {part} = ", f"    not_{part} = ")
    own.write_text(text, encoding="utf-8")
    assert main(["try-task", str(own)]) == 2
    assert f"task Across has no {part}: add what is missing." in capsys.readouterr().err


@pytest.mark.parametrize("part", ["numbers", "question", "worked"])
def test_a_task_without_a_method_is_told_which(part, tmp_path, capsys):
    own = tmp_path / "my_tasks.py"
    text = TEMPLATE.read_text(encoding="utf-8").replace(f"def {part}(", f"def not_{part}(")
    own.write_text(text, encoding="utf-8")
    assert main(["try-task", str(own)]) == 2
    said = capsys.readouterr().err
    assert "can't be run (TypeError: Can't instantiate abstract class Across" in said
    assert part in said


def _raises(*_, **__):
    raise KeyError("rpm")


@pytest.mark.parametrize("changed", ["numbers", "question", "worked"])
def test_what_an_authors_function_raises_is_a_fault_of_that_task(changed):
    trial = try_task(_task(**{changed: _raises}), draws=20)
    assert trial.faults == ("it can't be made: KeyError: there is nothing called 'rpm'",)
    assert "a. Across the pins" in str(trial)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("TITLE = 'Mine'\nNAME = 'mine'", "a tuple TASKS"),
        ("TITLE = 'Mine'\nNAME = 'mine'\nTASKS = 7", "a tuple TASKS"),
        ("TITLE = 'Mine'\nNAME = 'mine'\nTASKS = (7,)", "a tuple TASKS"),
        ("TASKS = ()\nNAME = 'mine'", "a text TITLE"),
        ("TITLE = 'Mine'\nTASKS = ()", 'a text NAME, such as NAME = "my_tasks"'),
        ("TITLE = 'Mine'\nNAME = 'mine'\nTASKS = ()", "a tuple TASKS"),
        ("TITLE = 'Mine'\nNAME = ' '", "a text NAME"),
        (f"{TEMPLATE.read_text(encoding='utf-8')}\nEDITIONS = 2", "has EDITIONS 2: give a tuple of whole numbers"),
        ("import sys\nsys.exit(3)", "can't be run (SystemExit: 3)"),
        ("exit()", "can't be run ("),
        ("{}['rpm']", "can't be run (KeyError: there is nothing called 'rpm')"),
        ("TITLE = ", "can't be run (SyntaxError"),
        ("import nothing_of_that_name", "can't be run (ModuleNotFoundError"),
    ],
)
def test_a_file_that_is_no_sheet_is_told_what_it_lacks(text, said, tmp_path, capsys):
    own = tmp_path / "my_tasks.py"
    own.write_text(text)
    assert main(["try-task", str(own)]) == 2
    assert said in capsys.readouterr().err


def test_two_tasks_with_one_letter_are_refused(tmp_path, capsys):
    own = tmp_path / "my_tasks.py"
    text = TEMPLATE.read_text(encoding="utf-8").replace("TASKS = (Across(),)", "TASKS = (Across(), Across())")
    own.write_text(text, encoding="utf-8")
    assert main(["try-task", str(own)]) == 2
    assert "give each a letter of its own" in capsys.readouterr().err


def test_the_command_tells_and_its_exit_code_says_whether_the_file_is_fit(tmp_path, capsys):
    own = tmp_path / "my_tasks.py"
    assert main(["new-task", str(own)]) == 0
    assert own.read_bytes() == TEMPLATE.read_bytes()
    assert main(["try-task", str(own)]) == 0
    assert "a. Across the pins (3 marks)" in capsys.readouterr().out
    own.write_text(
        own.read_text(encoding="utf-8").replace("Is that straight across", "Is that too far"), encoding="utf-8"
    )
    assert main(["try-task", str(own)]) == 1
    assert "NOT YET FIT: a line tells" in capsys.readouterr().out


def test_a_new_file_is_named_like_itself(tmp_path):
    for stem in ("own", "müller's", 'a "b"'):
        new_file(tmp_path / f"{stem}.py")
        assert load_tasks(str(tmp_path / f"{stem}.py")).name == stem


def test_the_command_shows_one_reader_and_writes_the_blank_sheet(tmp_path, capsys):
    own, sheet = tmp_path / "my_tasks.py", tmp_path / "my_sheet.ipynb"
    assert main(["new-task", str(own)]) == 0
    assert main(["try-task", str(own), "--word", "Moss", "--sheet", str(sheet)]) == 0
    assert "As the reader with the word moss sees it:" in capsys.readouterr().out
    assert 'open_sheet(\\"my_tasks.py\\", my_word, edition=1)' in sheet.read_text(encoding="utf-8")
    assert main(["try-task", str(own), "--sheet", str(sheet)]) == 2
    assert "is there already and was not touched" in capsys.readouterr().err


def test_the_command_says_what_is_there_to_be_tried(tmp_path, capsys):
    assert main(["try-task", "none"]) == 2
    assert "the sheets are circles_that_roll" in capsys.readouterr().err
    assert main(["try-task", str(tmp_path / "none.py")]) == 2
    assert "no such file" in capsys.readouterr().err


def test_a_file_that_is_there_is_not_written_over(tmp_path, capsys):
    own = tmp_path / "my_tasks.py"
    own.write_text("mine")
    with pytest.raises(ValueError, match="not there yet"):
        new_file(own)
    assert main(["new-task", str(own)]) == 2
    assert own.read_text() == "mine"
    assert main(["new-task", str(tmp_path / "my_tasks.txt")]) == 2
