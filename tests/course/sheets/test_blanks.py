"""Blank sheets come from the solved ones, and pytest with nbval judges every sheet by what is right in it.

nbval runs a notebook's cells and compares outputs: https://nbval.readthedocs.io, nbval 0.11.
"""

import os
import re
import subprocess
import sys

import nbformat
import pytest
from nbclient import NotebookClient

from cyclokit.course.reader.folder import notebooks
from cyclokit.course.sheets.sheet import load_tasks, sheet_names
from tests.blanks import SOLVED, answer_names, sheet_name, without_answers, without_check_outputs

SHEETS = sorted(SOLVED.glob("*.ipynb"))
LESSONS = notebooks() / "lessons"


@pytest.fixture(params=SHEETS, ids=lambda path: path.stem)
def solved(request):
    return request.param


def _execute(notebook, **more):
    """Run a notebook as a reader does, in a kernel that doesn't take itself for pytest's."""
    own = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    NotebookClient(notebook, timeout=60, **more).execute(env=own)


def _read(path):
    return nbformat.read(path, as_version=4)


def _sources(notebook):
    return [(cell.cell_type, cell.source, cell.metadata) for cell in notebook.cells]


def _failed(*paths, how="--nbval"):
    """For each notebook the letters of the tasks at which pytest fails; any other cell that fails is named."""
    command = [
        sys.executable,
        "-m",
        "pytest",
        how,
        "--nbval-cell-timeout=60",
        "-p",
        "no:cacheprovider",
        "-q",
        "-rf",
    ]
    done = subprocess.run(
        [*command, "--color=no", *paths], cwd=paths[0].parent, capture_output=True, text=True, timeout=300
    )
    cells = {path.name: [cell for cell in _read(path).cells if cell.cell_type == "code"] for path in paths}
    failed = {path.name: "" for path in paths}
    for name, number in re.findall(r"^FAILED (\S+\.ipynb)::Cell (\d+)", done.stdout, flags=re.MULTILINE):
        source = cells[name][int(number)].source
        letter = re.fullmatch(r'sheet\.check_yourself\("(\w)"\)', source)
        failed[name] += letter[1] if letter else f" [{source}] "
    assert re.search(r"\d+ (passed|failed)", done.stdout), done.stdout + done.stderr
    return failed


def test_every_sheet_has_a_solved_copy_a_blank_and_a_lesson():
    assert sorted(sheet_name(path) for path in SHEETS) == sheet_names()
    assert [path.name for path in SHEETS] == [path.name for path in sorted((notebooks() / "exercises").glob("*.ipynb"))]
    assert all((LESSONS / path.name).is_file() for path in SHEETS)


def test_the_blank_is_made_from_the_solved_sheet(solved):
    blank = _read(notebooks() / "exercises" / solved.name)
    assert _sources(blank) == _sources(without_answers(_read(solved), answer_names(solved)))


def test_the_blank_asks_for_every_answer_and_holds_none(solved):
    text = "\n".join(cell.source for cell in _read(notebooks() / "exercises" / solved.name).cells)
    for task in load_tasks(sheet_name(solved))[1]:
        for name in task.names:
            assert re.search(
                rf"^{name} = yours$|^def {name}\(.*\n    \"\"\".*\n    return yours$", text, flags=re.MULTILINE
            )
    assert "import yours" in text


def test_the_blanks_stored_outputs_are_what_running_it_gives(solved):
    path = notebooks() / "exercises" / solved.name
    fresh = _read(path)
    _execute(fresh, resources={"metadata": {"path": str(path.parent)}})
    stored = [cell.get("outputs") for cell in _read(path).cells]
    assert [cell.get("outputs") for cell in without_check_outputs(fresh).cells] == stored


def test_a_blank_stores_no_output_of_a_check(solved):
    checks = [
        cell for cell in _read(notebooks() / "exercises" / solved.name).cells if "sheet.check_yourself" in cell.source
    ]
    assert len(checks) == len(load_tasks(sheet_name(solved))[1])
    for cell in checks:
        assert cell.outputs == []
        assert cell.metadata.tags == ["nbval-ignore-output"]


def test_titles_in_the_sheet_are_those_of_the_tasks(solved):
    headings = [cell.source for cell in _read(solved).cells if cell.source.startswith("## ")]
    tasks = load_tasks(sheet_name(solved))[1]
    assert headings[: len(tasks)] == [f"## {task.letter}. {task.title}" for task in tasks]


def test_the_solved_sheet_says_right_everywhere(solved):
    for cell in _read(solved).cells:
        if cell.source.startswith("sheet.check_yourself("):
            assert ": right. " in cell.outputs[0].text


@pytest.mark.parametrize("word", ["sunflower", "moss", "Übung 7", "0"])
def test_the_solution_solves_it_for_every_reader(solved, word):
    notebook = _read(solved)
    for cell in notebook.cells:
        cell.source = cell.source.replace('my_word = "turntable"', f"my_word = {word!r}")
    _execute(notebook)
    for cell in notebook.cells:
        if cell.source.startswith("sheet.check_yourself("):
            assert ": right. " in cell.outputs[0].text


@pytest.mark.filterwarnings("ignore:.*:DeprecationWarning")  # of the packages that run kernels
def test_pytest_fails_at_exactly_the_tasks_that_are_not_right(solved, tmp_path):
    names, notebook = answer_names(solved), _read(solved)
    letters = "".join(task.letter for task in load_tasks(sheet_name(solved))[1])
    open_ones = letters[1::2]
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
    helped = _read(solved)
    for place in range(len(helped.cells), 0, -1):
        helped.cells.insert(place, nbformat.v4.new_code_cell("helper = 1 + 1\nhelper"))
    blank = _read(notebooks() / "exercises" / solved.name)
    sheets = {"blank": blank, "solved": notebook, "helped": helped, "half": half, "wrong": wrong, "erring": erring}
    for name, sheet in sheets.items():
        nbformat.write(sheet, tmp_path / f"{name}.ipynb")
    failed = _failed(*(tmp_path / f"{name}.ipynb" for name in sheets))
    assert failed == {
        "blank.ipynb": letters,
        "solved.ipynb": "",
        "helped.ipynb": "",
        "half.ipynb": open_ones,
        "wrong.ipynb": letters,
        "erring.ipynb": letters,
    }


def test_with_lax_a_readers_own_cells_may_print_what_they_like(tmp_path):
    noisy = without_answers(_read(SOLVED / "03_one_lobe_fewer.ipynb"), {"a_turned_deg"})
    for place in range(len(noisy.cells), 0, -2):
        cell = nbformat.v4.new_code_cell("import random\nrandom.random()", execution_count=1)
        cell.outputs = [nbformat.v4.new_output("execute_result", {"text/plain": "0.5"}, execution_count=1)]
        noisy.cells.insert(place, cell)
    nbformat.write(noisy, tmp_path / "noisy.ipynb")
    assert _failed(tmp_path / "noisy.ipynb", how="--nbval-lax") == {"noisy.ipynb": "a"}
