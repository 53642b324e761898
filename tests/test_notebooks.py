"""Every lesson is fresh, small, readable and in order."""

import itertools
import re
import shutil
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

LESSONS = Path(__file__).resolve().parents[1] / "lessons"
NOT_TO_BE_STORED = re.compile(r"/home/|/root/|/tmp/|/usr/|site-packages|\b0x[0-9a-f]{6,}|20\d\d-\d\d-\d\d")


@pytest.fixture(params=sorted(LESSONS.glob("*.ipynb")), ids=lambda path: path.stem)
def path(request):
    return request.param


@pytest.fixture
def lesson(path):
    return nbformat.read(path, as_version=4)


def _code(lesson):
    return [cell for cell in lesson.cells if cell.cell_type == "code"]


def _headings(lesson):
    """Level and text of each heading, with the number of its cell."""
    for number, cell in enumerate(lesson.cells):
        if cell.cell_type == "markdown":
            for match in re.finditer(r"^(#+) (.*)$", re.sub(r"```.*?```", "", cell.source, flags=re.S), flags=re.M):
                yield number, len(match[1]), match[2].strip()


def test_it_has_one_title_and_headings_in_order(lesson):
    levels = [level for _, level, _ in _headings(lesson)]
    assert [number for number, level, _ in _headings(lesson) if level == 1] == [0]
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_links_to_its_own_headings_lead_somewhere(lesson):
    anchors = {text.replace(" ", "-") for _, _, text in _headings(lesson)}
    links = {link for cell in lesson.cells for link in re.findall(r"\]\(#([^)]*)\)", cell.source)}
    assert links <= anchors
    assert len(links) >= 4  # three boxes and the way back


def test_every_code_cell_was_run_once_in_order(lesson):
    assert [cell.execution_count for cell in _code(lesson)] == list(range(1, len(_code(lesson)) + 1))


def test_cells_are_short_enough_to_take_in(lesson):
    assert max(len(cell.source.strip().splitlines()) for cell in _code(lesson)) <= 16


def test_nothing_is_stored_that_changes_from_machine_to_machine(lesson, path):
    assert "widgets" not in lesson.metadata
    assert "version" not in lesson.metadata.language_info
    for cell in _code(lesson):
        for output in cell.outputs:
            assert output.output_type != "error"
            assert output.get("name") != "stderr"
            texts = [output.get("text", "")] + [
                value for kind, value in output.get("data", {}).items() if kind != "image/png"
            ]
            for text in texts:
                plain = re.sub(r"base64,[^\"]*", "", text)
                assert not NOT_TO_BE_STORED.search(plain)
    assert path.stat().st_size < 1_000_000


def test_every_picture_has_its_words_as_alt_text_and_as_a_caption(lesson):
    for cell in _code(lesson):
        for picture, caption in itertools.pairwise([*cell.outputs, None]):
            if "image/png" in picture.get("data", {}):
                alt = picture.metadata["image/png"]["alt"]
                words = caption.data["text/html"].replace("&#x27;", "'").replace("&quot;", '"')
                assert alt in words


def test_it_says_how_long_it_takes_and_where_it_stops_being_true(lesson):
    text = "\n".join(cell.source for cell in lesson.cells)
    for words in ("**Time:**", "**You will be able to:**", "Run All first", "Where this stops being true", "**Sources"):
        assert words in text


def test_running_a_lesson_leaves_the_folder_as_it_was(path, lesson, tmp_path):
    place = tmp_path / "lessons"
    shutil.copytree(LESSONS, place)
    before = {file: file.read_bytes() for file in place.rglob("*") if file.is_file()}
    NotebookClient(lesson, timeout=60, resources={"metadata": {"path": str(place)}}).execute()
    assert {file: file.read_bytes() for file in place.rglob("*") if file.is_file()} == before
