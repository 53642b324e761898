"""Blank sheets come from the solved ones, and pytest with nbval judges every sheet by what is right in it.

nbval runs a notebook's cells and compares outputs: https://nbval.readthedocs.io, nbval 0.11.
"""

import json
import os
import re
import subprocess
import sys
import types
from copy import deepcopy

import nbformat
import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from nbclient import NotebookClient

from cyclokit.course.answers.outcomes import OPEN, RIGHT
from cyclokit.course.reader.folder import notebooks
from cyclokit.course.sheets import blank, open_sheet
from cyclokit.course.sheets.library import load_tasks, sheet_names
from cyclokit.course.sheets.sheet import outcomes
from cyclokit.course.sheets.trial import TEMPLATE
from tests.blanks import SOLVED, answer_names, sheet_name, without_answers, without_check_outputs

SHEETS = sorted(SOLVED.glob("*.ipynb"))
BLANKS = notebooks() / "exercises"
LESSONS = notebooks() / "lessons"
# a sheet with a task of every kind, made of those that there are
KINDS = {
    "a": ("01_circles_that_roll", "Wheel"),  # a number
    "b": ("04_how_the_motion_goes", "Rate"),  # an expression
    "c": ("05_four_numbers", "Program"),  # a function
    "d": ("02_from_a_point_to_a_roller", "Disc"),  # an outline
    "e": ("03_one_lobe_fewer", "Curves"),  # a choice
}


@pytest.fixture(params=SHEETS, ids=lambda path: path.stem)
def solved(request):
    return request.param


def _execute(notebook):
    """Run a notebook as a reader does, in a kernel that doesn't take itself for pytest's."""
    own = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    NotebookClient(notebook, timeout=60).execute(env=own)


def _read(path):
    return nbformat.read(path, as_version=4)


def _sources(notebook):
    return [(cell.cell_type, cell.source, cell.metadata) for cell in notebook.cells]


def _run_here(notebook, word):
    """A notebook's variables, once its code has run here with this word; checks are left out."""
    InteractiveShell.instance()
    variables = {"__name__": "__main__"}
    with capture_output():
        for cell in notebook.cells:
            if cell.cell_type == "code" and "check_yourself" not in cell.source:
                exec(cell.source.replace('my_word = "turntable"', f"my_word = {word!r}"), variables)
    assert variables["my_word"] == word
    return variables


def _said(variables):
    """The outcome of each task."""
    return {letter: judged.outcome for letter, judged in outcomes(variables["sheet"], variables).items()}


def _failed(folder, sheets, how="--nbval"):
    """For each sheet the letters of the tasks at which pytest fails; any other cell that fails is named.

    The sheets stand one after the other in one notebook, because a kernel takes a second to start; each opens itself
    and sets every answer anew.
    """
    cells, whose = [], []
    for name, sheet in sheets.items():
        cells += deepcopy(sheet.cells)
        whose += [(name, cell.source) for cell in sheet.cells if cell.cell_type == "code"]
    for number, cell in enumerate(cells):
        cell.id = f"cell-{number:03d}"
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=sheet.metadata), folder / "sheets.ipynb")
    command = [sys.executable, "-m", "pytest", how, "--nbval-cell-timeout=60", "-p", "no:cacheprovider", "-q", "-rf"]
    done = subprocess.run(
        [*command, "--color=no", "sheets.ipynb"], cwd=folder, capture_output=True, text=True, timeout=300
    )
    failed = dict.fromkeys(sheets, "")
    for number in re.findall(r"^FAILED \S+\.ipynb::Cell (\d+)", done.stdout, flags=re.MULTILINE):
        name, source = whose[int(number)]
        letter = re.fullmatch(r'sheet\.check_yourself\("(\w)"\)', source)
        failed[name] += letter[1] if letter else f" [{source}] "
    assert re.search(r"\d+ (passed|failed)", done.stdout), done.stdout + done.stderr
    return failed


def test_every_sheet_has_a_solved_copy_a_blank_and_a_lesson():
    assert sorted(sheet_name(path) for path in SHEETS) == sheet_names()
    assert [path.name for path in SHEETS] == [path.name for path in sorted(BLANKS.glob("*.ipynb"))]
    assert all((LESSONS / path.name).is_file() for path in SHEETS)


def test_the_blank_is_made_from_the_solved_sheet(solved):
    assert _sources(_read(BLANKS / solved.name)) == _sources(without_answers(_read(solved), answer_names(solved)))


def test_the_blank_asks_for_every_answer_and_holds_none(solved):
    text = "\n".join(cell.source for cell in _read(BLANKS / solved.name).cells)
    for task in load_tasks(sheet_name(solved)).tasks:
        for name in task.names:
            assert re.search(
                rf"^{name} = yours$|^def {name}\(.*\n    \"\"\".*\n    return yours$", text, flags=re.MULTILINE
            )
    assert "import yours" in text


def test_a_sheet_carries_the_newest_edition(solved):
    name = sheet_name(solved)
    opened = f'sheet = open_sheet("{name}", my_word, edition={load_tasks(name).editions[-1]})'
    assert sum(opened in cell.source for cell in _read(solved).cells) == 1


def test_the_blank_stores_the_tasks_as_they_are_shown_and_no_output_of_a_check(solved):
    found, cells = open_sheet(sheet_name(solved), "turntable"), _read(BLANKS / solved.name).cells
    InteractiveShell.instance()
    for letter in found.tasks:
        with capture_output() as shown:
            found.ask(letter)
        (asking,) = [cell for cell in cells if cell.source == f'given_{letter} = sheet.ask("{letter}")']
        (check,) = [cell for cell in cells if cell.source == f'sheet.check_yourself("{letter}")']
        assert [output.data for output in asking.outputs] == [output.data for output in shown.outputs]
        assert check.outputs == []
        assert asking.metadata.tags == check.metadata.tags == ["nbval-ignore-output"]


def test_titles_in_the_sheet_are_those_of_the_tasks(solved):
    headings = [cell.source for cell in _read(solved).cells if cell.source.startswith("## ")]
    tasks = load_tasks(sheet_name(solved)).tasks
    assert headings[: len(tasks)] == [f"## {task.letter}. {task.title}" for task in tasks]


def test_the_solved_sheet_stores_that_all_is_right(solved):
    for cell in _read(solved).cells:
        if cell.source.startswith("sheet.check_yourself("):
            assert ": right. " in cell.outputs[0].text


def test_the_solution_solves_it_for_every_reader(solved):
    notebook = _read(solved)
    for word in ("sunflower", "moss", "Übung 7", "0", "fern", "barley"):
        assert set(_said(_run_here(notebook, word)).values()) == {RIGHT}, word


def test_a_blank_is_open_everywhere(solved):
    assert set(_said(_run_here(_read(BLANKS / solved.name), "moss")).values()) == {OPEN}


def _of_every_kind(folder):
    """A solved sheet with a task of every kind, and its file of tasks."""
    imports = [f"from cyclokit.course.sheets.tasks.{stem[3:]} import {task}" for stem, task in KINDS.values()]
    tasks = ", ".join(f"{task}()" for _, task in KINDS.values())
    text = "\n".join([*imports, 'TITLE = "Every kind"', 'NAME = "every kind"', f"TASKS = ({tasks})", ""])
    (folder / "every_kind.py").write_text(text, encoding="utf-8")
    first, cells = [], []
    for letter, (stem, _) in KINDS.items():
        notebook = _read(SOLVED / f"{stem}.ipynb")
        (opening,) = [cell for cell in notebook.cells if "open_sheet(" in cell.source]
        first += [line for line in opening.source.splitlines() if "import" in line and line not in first]
        headings = [place for place, cell in enumerate(notebook.cells) if cell.source.startswith("## ")]
        (begins,) = [place for place in headings if notebook.cells[place].source.startswith(f"## {letter}. ")]
        ends = min([place for place in headings if place > begins], default=len(notebook.cells))
        cells += notebook.cells[begins:ends]
    lines = [*first, 'my_word = "turntable"', 'sheet = open_sheet("every_kind.py", my_word, edition=1)']
    opening = nbformat.v4.new_code_cell("\n".join(lines))
    for number, cell in enumerate(cells):
        cell.id = f"task-cell-{number:02d}"
    return nbformat.v4.new_notebook(cells=[opening, *cells], metadata=notebook.metadata)


def test_a_sheet_of_every_kind_is_one_of_every_kind():
    kinds = {
        type(task.question(open_sheet(stem[3:], "moss").asked(letter).given)).__name__
        for letter, (stem, name) in KINDS.items()
        for task in load_tasks(stem[3:]).tasks
        if type(task).__name__ == name
    }
    assert len(kinds) == len(KINDS)


@pytest.mark.filterwarnings("ignore:.*:DeprecationWarning")  # of the packages that run kernels
def test_pytest_fails_at_exactly_the_tasks_that_are_not_right(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    notebook, letters, open_ones = _of_every_kind(tmp_path), "".join(KINDS), "bd"
    names = {name for task in load_tasks("every_kind.py").tasks for name in task.names}
    half = without_answers(notebook, {name for name in names if name[0] in open_ones})
    wrong = without_answers(notebook, names)
    for cell in wrong.cells:
        cell.source = cell.source.replace("return yours", "return 12.34, 5.67").replace("= yours", "= 12.34")
    _execute(wrong)  # run and saved, with what the checks said then
    for cell in wrong.cells:
        if cell.source.startswith("sheet.check_yourself("):
            assert cell.outputs
    erring = without_answers(notebook, names)
    for cell in erring.cells:
        if cell.source.startswith("sheet.check_yourself("):  # saved after pytest's own run: the errors are stored
            cell.outputs = [nbformat.v4.new_output("error", ename="NotYetRight", evalue="a: still open.", traceback=[])]
    helped = _of_every_kind(tmp_path)
    for place in range(len(helped.cells), 0, -1):
        helped.cells.insert(place, nbformat.v4.new_code_cell("helper = 1 + 1\nhelper"))
    blank_one = without_check_outputs(without_answers(notebook, names))
    sheets = {"blank": blank_one, "whole": notebook, "helped": helped, "half": half, "wrong": wrong, "erring": erring}
    expected = {"blank": letters, "whole": "", "helped": "", "half": open_ones, "wrong": letters, "erring": letters}
    assert _failed(tmp_path, sheets) == expected


def test_pytest_fails_at_every_task_of_every_blank(tmp_path):
    """That it passes every solved sheet is seen where all tests run: there these are collected like the lessons."""
    blanks = {sheet_name(path): _read(BLANKS / path.name) for path in SHEETS}
    assert len({json.dumps(notebook.metadata, sort_keys=True) for notebook in blanks.values()}) == 1
    assert _failed(tmp_path, blanks) == {
        name: "".join(task.letter for task in load_tasks(name).tasks) for name in blanks
    }


def test_with_lax_a_readers_own_cells_may_print_what_they_like(tmp_path):
    noisy = without_answers(_read(SOLVED / "03_one_lobe_fewer.ipynb"), {"a_turned_deg"})
    for place in range(len(noisy.cells), 0, -2):
        cell = nbformat.v4.new_code_cell("import random\nrandom.random()", execution_count=1)
        cell.outputs = [nbformat.v4.new_output("execute_result", {"text/plain": "0.5"}, execution_count=1)]
        noisy.cells.insert(place, cell)
    assert _failed(tmp_path, {"noisy": noisy}, how="--nbval-lax") == {"noisy": "a"}


# the blank sheet of a file of one's own


def test_a_file_of_tasks_has_a_blank_sheet_that_runs(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my_tasks.py").write_bytes(TEMPLATE.read_bytes())
    (tmp_path / "sheets").mkdir()
    target = tmp_path / "sheets" / "mine.ipynb"
    blank.write("my_tasks.py", target)
    notebook = _read(target)
    nbformat.validate(notebook)
    monkeypatch.chdir(target.parent)  # where a notebook runs
    variables = _run_here(notebook, "moss")
    assert _said(variables) == {"a": OPEN}
    variables["a_across_mm"] = variables["sheet"].asked("a").question.right
    assert _said(variables) == {"a": RIGHT}


def test_a_check_in_that_sheet_finds_its_answer(tmp_path, monkeypatch, capsys):
    (tmp_path / "my_tasks.py").write_bytes(TEMPLATE.read_bytes())
    monkeypatch.chdir(tmp_path)
    blank.write("my_tasks.py", tmp_path / "mine.ipynb")
    main = types.ModuleType("__main__")
    monkeypatch.setitem(sys.modules, "__main__", main)
    vars(main).update(_run_here(_read(tmp_path / "mine.ipynb"), "moss"))
    monkeypatch.setattr("cyclokit.course.sheets.sheet.run_by_pytest", lambda: False)
    main.sheet.check_yourself("a")
    assert capsys.readouterr().out == "a: still open. Put your answer in place of `yours`.\n"


@pytest.mark.parametrize("name", ["mine.txt", "there.ipynb"])
def test_no_blank_sheet_is_written_over_a_file_or_under_another_kind_of_name(name, tmp_path):
    (tmp_path / "there.ipynb").write_text("mine")
    with pytest.raises(ValueError, match="give another name"):
        blank.write("one_lobe_fewer", tmp_path / name)
    assert [path.name for path in tmp_path.iterdir()] == ["there.ipynb"]
    assert (tmp_path / "there.ipynb").read_text() == "mine"
