"""The lessons as they are stored: in order, fresh, readable before they are run, and with nothing of a machine in them.

- Headings in order, one at the top: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criterion 1.3.1 and
  technique G141.
- Alt texts: the same, criterion 1.1.1.
- Cells, outputs and their metadata: the notebook format 4.5, https://nbformat.readthedocs.io
"""

import html
import itertools
import json
import re
import shutil
from functools import cache
from pathlib import Path
from urllib.parse import unquote

import nbformat
import pytest
from nbclient import NotebookClient

from cyclokit.__main__ import _parser
from cyclokit.course.questions import GUESSES
from cyclokit.course.reader.folder import notebooks
from tests.readable import readable

ROOT = Path(__file__).resolve().parents[1]
LESSONS = sorted((notebooks() / "lessons").glob("*.ipynb"))
ALL = [*LESSONS, *sorted((notebooks() / "exercises").glob("*.ipynb"))]
LARGEST = {"05_four_numbers": 550_000}  # bytes; of the others:
LARGE = 500_000
LONGEST_CELL = 16  # lines: "about a dozen" is asked for
OF_A_MACHINE = {
    "a path": r"(?:/home/|/tmp/|/usr/|/roo[t]/|/wor[k]/|/Users/|[A-Z]:\\\\?Users|site-packages)",
    "an address in memory": r"\b0x[0-9a-fA-F]{6,}",
    "a version": r"\b(?:[Vv]ersion \d|\d+\.\d+\.\d+\b)",
    "a time of day": r"\b\d{1,2}:\d{2}:\d{2}\b",
    "a date": r"\b20\d\d-\d\d-\d\d\b",
    "a run time": r"\b(?:Wall time|CPU times|\d+(?:\.\d+)? ?(?:ms|µs|ns) (?:±|per loop))",
}


@pytest.fixture(params=ALL, ids=lambda path: path.stem)
def path(request):
    return request.param


@cache
def _stored(path):
    """A notebook as it is stored, read once for all tests; none of them changes it."""
    return nbformat.read(path, as_version=4)


@pytest.fixture
def notebook(path):
    return _stored(path)


def _code(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "code" and cell.source.strip()]


def _headings(notebook):
    """Level and words of every heading, in order; what stands in a block of code is none."""
    text = "\n\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    text = re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)
    return [(len(marks), words.strip()) for marks, words in re.findall(r"^(#{1,6}) +(.+)$", text, flags=re.MULTILINE)]


def _texts(cell):
    """What the outputs of a cell say in words: all but pictures' pixels."""
    for output in cell.outputs:
        if "text" in output:
            yield output.text
        for kind, data in output.get("data", {}).items():
            if not kind.startswith("image/"):
                yield re.sub(r"base64,[A-Za-z0-9+/=]+", "", data if isinstance(data, str) else json.dumps(data))


def test_there_are_lessons():
    assert [path.stem for path in LESSONS][:3] == ["00_start_here", "00b_tools", "01_circles_that_roll"]


# as a page to read


def test_there_is_one_title_and_it_comes_first(notebook):
    assert [level for level, _ in _headings(notebook)].count(1) == 1
    assert re.match(r"# \S", notebook.cells[0].source)


def test_no_level_of_heading_is_left_out(notebook):
    levels = [level for level, _ in _headings(notebook)]
    for before, after in itertools.pairwise(levels):
        assert after <= before + 1


def test_a_link_within_the_page_leads_to_a_heading(notebook):
    # JupyterLab gives a heading the anchor "its words, with - for every space"
    anchors = {re.sub(r"[*_`]", "", words).replace(" ", "-") for _, words in _headings(notebook)}
    text = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    for target in re.findall(r"\]\(#([^)]+)\)", text):
        assert unquote(target) in anchors


def test_a_link_to_another_file_leads_to_one_that_is_there(path, notebook):
    text = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    for target in re.findall(r"\]\((?!#|https?:)([^)#]+)", text):
        assert (path.parent / unquote(target)).is_file(), target


def test_pictures_in_the_text_have_an_alt_text(notebook):
    text = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    assert "<img" not in text
    for alt in re.findall(r"!\[([^\]]*)\]\(", text):
        assert len(alt.split()) >= 4


def test_a_code_cell_can_be_read_at_a_glance(notebook):
    for cell in _code(notebook):
        assert len(cell.source.splitlines()) <= LONGEST_CELL, cell.source


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_has_the_parts_that_every_lesson_has(path):
    notebook = _stored(path)
    opening = notebook.cells[0].source
    assert re.search(r"^\*\*.+\?\*\*$", opening, flags=re.MULTILINE)  # the one question
    for part in ("Run All", "**Time:**", "**You need:**", "**You will be able to:**"):
        assert part in opening
    assert (
        len(re.findall(r"^\d\. .*\?.*\[.+\]\(#.+\)", opening, flags=re.MULTILINE)) == 3
    )  # entry questions, with boxes
    sections = [words for level, words in _headings(notebook) if level == 2]
    assert "Where this stops being true" in sections
    assert "What you can do now" in sections
    parts = {words for level, words in _headings(notebook) if level in (3, 4)}  # Watch it can lie in the fold
    assert {"Guess first", "Work it out", "Watch it", "Check yourself"} <= parts
    assert any(cell.source.startswith(("import ", "from ")) for cell in _code(notebook)[:1])  # one import cell
    assert not [cell for cell in _code(notebook)[1:] if re.search(r"^(import|from) ", cell.source, flags=re.MULTILINE)]


# guesses that stay guesses

FOLDED = "jp-MarkdownHeadingCollapsed"  # JupyterLab's own key: a section whose heading has it opens folded


def _level(cell):
    """The level of the heading with which a cell begins, 0 for none."""
    marks = re.match(r"(#{1,6}) ", cell.source) if cell.cell_type == "markdown" else None
    return len(marks[1]) if marks else 0


def _guesses(cells):
    """For each guess: the cells from its heading to the fold, and those in the fold, its heading first."""
    for start, cell in enumerate(cells):
        if re.search(r"^### Guess first$", cell.source, flags=re.MULTILINE) and cell.cell_type == "markdown":
            after = range(start + 1, len(cells))
            fold = next(place for place in after if _level(cells[place]))
            end = next((place for place in after if place > fold and 0 < _level(cells[place]) <= 3), len(cells))
            yield cells[start:fold], cells[fold:end]


def _answered(cell):
    return re.findall(r'^answer_guess\("([\w-]+)", (my_guess\w*)\)$', cell.source, flags=re.MULTILINE)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_under_every_guess_the_working_out_is_folded(path):
    guesses = list(_guesses(_stored(path).cells))
    assert guesses
    for asked, fold in guesses:
        assert fold[0].source == "### Work it out"  # alone in its cell: its own text would not be folded
        assert fold[0].metadata.get(FOLDED) is True
        *before, last = asked
        assert re.fullmatch(r"(my_guess\w* = yours\n?)+", last.source)  # nothing stands between guess and fold
        assert not [cell for cell in before if "my_guess" in cell.source]
        assert fold[1].cell_type == "code"  # else the cursor is lost for a step when Shift + Enter opens the fold
        assert re.fullmatch(r'(answer_guess\("[\w-]+", my_guess\w*\)\n?)+', fold[1].source)
        assert [name for _, name in _answered(fold[1])] == re.findall(r"my_guess\w*", last.source)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_nothing_else_is_folded_and_no_link_leads_into_a_fold(path):
    cells = _stored(path).cells
    folds = [fold for _, fold in _guesses(cells)]
    assert [cell for cell in cells if FOLDED in cell.metadata] == [fold[0] for fold in folds]
    text = "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")
    targets = {unquote(target) for target in re.findall(r"\]\(#([^)]+)\)", text)}
    for fold in folds:
        for level, words in _headings(nbformat.v4.new_notebook(cells=fold)):
            assert words.replace(" ", "-") not in targets
            assert level == 4 or words == "Work it out"  # what lies in the fold is one level lower
    for cell in cells:  # a fold ends at a cell that begins with a heading, else that cell's first words are lost in it
        if cell.cell_type == "markdown" and re.search(r"^#{1,3} ", cell.source, flags=re.MULTILINE):
            assert _level(cell), cell.source


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_every_guess_is_answered_by_the_page_and_no_output_gives_it_away(path):
    number = re.match(r"0*(\d+[a-z]?)_", path.stem)[1]
    cells = _stored(path).cells
    names = [name for cell in cells if cell.cell_type == "code" for name, _ in _answered(cell)]
    assert names == [name for name in GUESSES if name.partition("-")[0] == number]
    for cell in cells:
        for text in _texts(cell) if cell.cell_type == "code" and "answer_guess" in cell.source else ():
            assert all(line.startswith("Your guess is still open.") for line in text.splitlines())


# as it was run


def test_every_code_cell_was_run_in_order_from_the_first(notebook):
    # nbval compares no cell without a count, so that a stripped notebook would pass everything
    assert [cell.execution_count for cell in _code(notebook)] == list(range(1, len(_code(notebook)) + 1))


def test_no_error_and_no_warning_is_stored(notebook):
    for cell in _code(notebook):
        assert not [output for output in cell.outputs if output.output_type == "error"], cell.source
        assert not [output for output in cell.outputs if output.get("name") == "stderr"], cell.source


def test_no_state_of_widgets_is_stored(notebook):
    # with it an exported page asks another machine for the widgets' scripts
    assert "widgets" not in notebook.metadata
    for cell in _code(notebook):
        for output in cell.outputs:
            assert (
                "application/vnd.jupyter.widget-view+json" not in output.get("data", {}) or "text/html" in output.data
            )


def test_nothing_of_a_machine_is_stored(notebook):
    for cell in _code(notebook):
        for text in _texts(cell):
            for what, pattern in OF_A_MACHINE.items():
                found = re.search(pattern, text)
                assert not found, f"{what}: {found[0]!r} in the output of\n{cell.source}"
        assert set(cell.metadata) <= {"tags"}
    assert "version" not in notebook.metadata.get("language_info", {})


def test_no_check_is_switched_off(notebook):
    # a cell whose output depends on the reader's own drive may differ, and is still run
    for cell in notebook.cells:
        assert set(cell.metadata.get("tags", [])) <= {"nbval-ignore-output"}
        assert not re.search(r"# ?(?:NBVAL_\w+|PYTEST_VALIDATE_\w+)", cell.source)


def test_a_lesson_stays_small(path):
    assert path.stat().st_size < LARGEST.get(path.stem, LARGE)


def test_every_stored_picture_has_its_words_twice(notebook):
    for cell in _code(notebook):
        for output in cell.outputs:
            data = output.get("data", {})
            assert not [kind for kind in data if kind.startswith("image/")]  # JupyterLab shows such without words
            alts = re.findall(r'<img alt="([^"]*)" class="cyclokit-figure"', data.get("text/html", ""))
            for alt in alts:
                assert len(alt.split()) >= 8, alt  # a sentence that says what is seen
                assert f"<figcaption><em>{alt}</em></figcaption>" in data["text/html"]
            assert not alts or html.unescape(" ".join(alts)) == data["text/plain"]


def test_every_moving_picture_that_is_stored_has_its_words_twice(notebook):
    for cell in _code(notebook):
        for output in cell.outputs:
            for text in re.findall(
                r"<figure.*?</figure>", output.get("data", {}).get("text/html", ""), flags=re.DOTALL
            ):
                if "cyclokit-figure" not in text:  # that doesn't move
                    alt = re.search(r'<img alt="([^"]+)"', text)[1]
                    assert f"<figcaption>{alt}</figcaption>" in text


def test_every_stored_table_has_a_caption_and_headed_columns(notebook):
    for cell in _code(notebook):
        for output in cell.outputs:
            for table in re.findall(r"<table.*?</table>", output.get("data", {}).get("text/html", ""), flags=re.DOTALL):
                assert "<caption>" in table
                assert "<th scope='col'>" in table or '<th scope="col">' in table


def test_it_is_stored_as_nbformat_writes_it(path, notebook):
    nbformat.validate(notebook)
    assert path.read_text(encoding="utf-8").strip() == nbformat.writes(notebook).strip()


def test_what_git_shows_of_a_notebook_can_be_read(path, notebook):
    text = readable(json.loads(path.read_text(encoding="utf-8")))
    for cell in notebook.cells:
        assert cell.source in text
        for output in cell.get("outputs", []):
            assert output.get("text", "") in text
    assert max(map(len, text.splitlines())) < 6000  # letters: tables are one line


def test_another_picture_is_another_line():
    cells = json.loads((notebooks() / "lessons" / "00_start_here.ipynb").read_text(encoding="utf-8"))
    before = readable(cells)
    after = readable(json.loads(json.dumps(cells).replace("M51", "M52")))
    different = [pair for pair in zip(before.splitlines(), after.splitlines(), strict=True) if pair[0] != pair[1]]
    assert 0 < len(different) <= 4  # of its figures, by one line each
    assert all(
        re.sub(r"\[\d+ letters, \w+\]", "", one) == re.sub(r"\[\d+ letters, \w+\]", "", other)
        for one, other in different
    )


# as it runs


def _bytes(place):
    return {path.relative_to(place): path.read_bytes() for path in place.rglob("*") if path.is_file()}


@pytest.mark.filterwarnings("ignore:.*:DeprecationWarning")  # of the packages that run kernels
def test_running_a_lesson_leaves_the_folder_as_it_was(tmp_path):
    shutil.copytree(notebooks() / "lessons", tmp_path / "lessons", ignore=shutil.ignore_patterns(".*"))
    before = _bytes(tmp_path)
    lesson = nbformat.read(tmp_path / "lessons" / "00_start_here.ipynb", as_version=4)
    place = {"metadata": {"path": str(tmp_path / "lessons")}}
    NotebookClient(lesson, timeout=60, resources=place).execute()
    assert _bytes(tmp_path) == before


# what is told about them


def _commands(text):
    """Every command of ours that a text tells somebody to type, whole."""
    names = "open|copy|pages|start|test|try-task|new-task|make|allowances|deal|mark|forget|--"
    told = rf"cyclokit (?:{names})[^`\n]*"
    in_words, in_lines = rf"`([^`\n]*\b{told})`", rf"^(python3 -m {told})$"
    return re.findall(in_words, text) + re.findall(in_lines, text, flags=re.MULTILINE)


def _documents():
    for name in ("README.md", "DEVELOPERS.md", "exercises/README.md"):
        yield name, (ROOT / name).read_text(encoding="utf-8")
    for notebook in ALL:
        cells = _stored(notebook).cells
        yield notebook.name, "\n".join(cell.source for cell in cells if cell.cell_type == "markdown")


def test_the_commands_that_are_told_are_there_and_need_nothing_on_the_path():
    told = [(name, command) for name, text in _documents() for command in _commands(text)]
    named = {command.split("cyclokit ")[1].split()[0] for _, command in told}
    assert named >= {"open", "start", "test", "try-task", "new-task", "--version"}
    for name, command in told:
        start, _, rest = command.partition("cyclokit ")
        assert start in {"python3 -m ", "py -m ", ".venv/bin/python -m "}, (name, command)
        if rest != "--version":  # it ends the program
            assert _parser().parse_args(rest.split()).run


def _everything_a_reader_may_read():
    """Documents, notebooks with their outputs as they are stored, and the sources that messages stand in."""
    yield from (*ROOT.glob("*.md"), *(ROOT / "exercises").glob("*.md"), *ALL)
    for ending in ("*.py", "*.md", "*.js", "*.cff"):
        yield from (ROOT / "cyclokit").rglob(ending)


COMMANDS = "|".join(next(action.choices for action in _parser()._actions if action.choices))


def _bare(text):
    """Commands that only somebody with our program on the path could type."""
    return re.findall(rf"(?<!-m )(?<![\w/.])cyclokit +(?:{COMMANDS}|--\w+)\b.*", text)


def test_no_command_is_told_that_needs_us_on_the_path():
    # where that is so, in an installed copy, messages are made by course.reader.typed
    told = {str(path): _bare(path.read_text(encoding="utf-8")) for path in _everything_a_reader_may_read()}
    assert len(told) > 100
    assert {path: commands for path, commands in told.items() if commands} == {}


@pytest.mark.parametrize("text", ["type `cyclokit open`.", "then  cyclokit try-task a.py", "cyclokit --version"])
def test_a_bare_command_is_found(text):
    assert _bare(text)
    assert not _bare(text.replace("cyclokit", "python3 -m cyclokit"))


def test_the_readme_tells_every_command_that_there_is():
    (commands,) = (action.choices for action in _parser()._actions if action.choices)
    told = {command.split("cyclokit ")[1].split()[0] for command in _commands((ROOT / "README.md").read_text("utf-8"))}
    assert set(commands) <= told


def test_the_readme_names_the_lessons_that_are_there():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| (\d+b?) \| ([^|]+?) \|", readme, flags=re.MULTILINE))
    for lesson in LESSONS:
        number = re.match(r"0*(\d+[a-z]?)_", lesson.stem)[1]
        title = _stored(lesson).cells[0].source.splitlines()[0].removeprefix("# ")
        assert rows[number] == title
    ready = re.search(r"Ready now: (.+?)\.", readme)[1]
    assert re.split(r", | and ", ready) == [re.match(r"0*(\d+[a-z]?)_", lesson.stem)[1] for lesson in LESSONS]


def test_the_readmes_example_runs():
    (example,) = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), flags=re.DOTALL)
    names = {}
    exec(example, names)
    assert names["limits"].check(names["drive"]).sound


def test_the_readmes_pictures_are_there_and_have_their_words():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    pictures = re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", readme)
    pictures += re.findall(r'alt="([^"]*)" src="([^"]+)"', readme)
    assert len(pictures) == 2
    for alt, target in pictures:
        assert (ROOT / target).is_file()
        assert len(alt.split()) >= 8
    (still,) = re.findall(r'reduced-motion: reduce\)" srcset="([^"]+)"', readme)
    assert (ROOT / still).is_file()


@pytest.mark.parametrize("document", ["README.md", "exercises/README.md"])
def test_links_to_files_lead_to_files(document):
    text = (ROOT / document).read_text(encoding="utf-8")
    for target in re.findall(r"(?<!!)\[[^\]]+\]\((?!https?:)([^)#]+)\)", text):
        assert (ROOT / document).parent.joinpath(target).exists(), target


def test_the_readmes_command_comes_before_anything_that_asks_for_skill():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "python3 -m cyclokit start" in readme[:2500]
    assert "python3 -m cyclokit test" in readme[:2500]


# the teacher's page

TEACHING = (ROOT / "exercises" / "README.md").read_text(encoding="utf-8")
PLAN = re.findall(r"^\| (\d+b?) \| ([^|]+) \| (\d+) \| (yes|) \| (yes|) \|$", TEACHING, flags=re.MULTILINE)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_the_minutes_of_a_lessons_sections_add_up_to_what_the_lesson_says(path):
    notebook = _stored(path)
    number = re.match(r"0*(\d+[a-z]?)_", path.stem)[1]
    planned = [(section, int(minutes)) for lesson, section, minutes, *_ in PLAN if lesson == number]
    told = re.search(r"\*\*Time:\*\* about (\d+) minutes", notebook.cells[0].source)[1]
    assert sum(minutes for _, minutes in planned) == int(told)
    left_out = ("Deeper", "Five minutes", "Where this stops", "What you can do")
    sections = [words for level, words in _headings(notebook) if level == 2 and not words.startswith(left_out)]
    assert [section for section, _ in planned if not section.startswith(("Opening", "Closing"))] == sections


@pytest.mark.parametrize(("route", "column"), [("3 hours", 3), ("6 hours", 4), ("the whole", None)])
def test_a_routes_minutes_are_those_of_its_sections(route, column):
    told = int(re.search(rf"^\| {route} \| (\d+)", TEACHING, flags=re.MULTILINE)[1])
    assert told == sum(int(row[2]) for row in PLAN if column is None or row[column])
    if column is not None:
        assert told <= 60 * int(route[0])


def test_every_lesson_has_its_usual_wrong_guesses():
    slips = TEACHING.partition("## Usual wrong guesses")[2].partition("\n## ")[0]
    for lesson in dict(row[:2] for row in PLAN):
        assert len(re.findall(rf"^\| {lesson} \| .+ \| .+\? ?[^|]*\|$", slips, flags=re.MULTILINE)) >= 3


def test_the_sheets_minutes_are_those_that_the_sheets_say():
    told = dict(re.findall(r"^\| `([^`]+)` \| lesson \d \| (\d+) minutes \|$", TEACHING, flags=re.MULTILINE))
    for sheet in (notebooks() / "exercises").glob("*.ipynb"):
        opening = _stored(sheet).cells[0].source
        assert re.search(r"\*\*Time:\*\* about (\d+) minutes", opening)[1] == told[sheet.name]
    assert f"about {sum(map(int, told.values()))} minutes more" in TEACHING
