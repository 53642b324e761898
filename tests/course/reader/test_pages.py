"""Lessons as pages: nothing is fetched, no equation is lost, all that moves moves, on a screen and on paper.

- How many children an element of an equation has: Mathematical Markup Language (MathML) 3.0, W3C, 2014, section 3.1.3.
- Contrast, names, roles: the axe-core rules, which test the Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023.
"""

import re
from xml.etree import ElementTree

import nbformat
import pytest

from cyclokit import __main__ as command_line
from cyclokit.course.reader import pages
from cyclokit.course.reader.folder import notebooks

LESSONS = sorted((notebooks() / "lessons").glob("*.ipynb"))
CHILDREN = {"mfrac": 2, "mroot": 2, "msub": 2, "msup": 2, "msubsup": 3, "munder": 2, "mover": 2, "munderover": 3}
# One element with words of its own for each way in which words look, by all that tells how they stand out from what is
# behind them: their own style, and those of all that they are in
ONE_OF_A_KIND = """(page) => {
    const told = ["display", "visibility", "opacity", "color", "fill", "stroke", "backgroundColor", "backgroundImage",
        "fontSize", "fontWeight", "textShadow"];
    const kinds = new Map(), found = new Map();
    const look = (one, above) => {
        const style = getComputedStyle(one);
        const looks = [above, one.checkVisibility(), ...told.map((name) => style[name])].join();
        if (!kinds.has(looks)) kinds.set(looks, kinds.size);
        const kind = kinds.get(looks);
        const words = [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
        if (words && !found.has(kind)) found.set(kind, one);
        for (const child of one.children) look(child, kind);
    };
    look(page, -1);
    return [...found.values()];
}"""
STORED_LATEX = re.compile(r"\$\$.+?\$\$|\$[^$]+\$", re.DOTALL)


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """All lessons as pages."""
    folder = tmp_path_factory.mktemp("pages")
    assert command_line.main(["pages", str(folder)]) == 0
    return folder


def equations(path):
    """The equations of a notebook by a plain look at it: pairs of dollars outside of code, and outputs in LaTeX."""
    found = []
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "markdown":
            words = re.sub(r"```.*?```|`[^`]*`", "", cell.source, flags=re.DOTALL)
            found += STORED_LATEX.findall(words)
        else:
            found += [
                output.data["text/latex"]
                for output in cell.get("outputs", [])
                if "text/latex" in output.get("data", {})
            ]
    return found


def stored(path, what):
    """How often something stands in the HTML that a notebook has stored."""
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    return sum(output.get("data", {}).get("text/html", "").count(what) for cell in cells for output in cell.outputs)


# the equations


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_every_equation_of_a_lesson_is_well_formed(path):
    found = equations(path)
    assert found
    for latex in found:
        told = pages.of_output(latex)
        for element in ElementTree.fromstring(told).iter():
            needed = CHILDREN.get(element.tag)
            assert needed in (None, len(element)), (latex, told)
        assert not re.search(r"[\\&$]", re.sub(r"&#x[0-9A-F]+;|<[^>]+>", "", told)), latex


def rows(told):
    """The words of a table's cells."""
    table = ElementTree.fromstring(told).find(".//mtable")
    return [["".join(cell.itertext()) for cell in row] for row in table]


@pytest.mark.parametrize("name", ["aligned", "align", "align*"])
def test_rows_are_set_at_their_signs(name):
    told = pages.mathml(f"\\begin{{{name}}} a &= b+1 \\\\[2ex] c &= d \\end{{{name}}}", "block")
    assert rows(told) == [["a", "=b+1"], ["c", "=d"]]
    assert re.findall('columnalign="(.*?)"', told)[:2] == ["right", "left"]


def test_a_case_has_no_height_of_a_gap_in_it():
    told = pages.mathml(r"\begin{cases} a & b \\[2ex] c & d \end{cases}", "block")
    assert rows(told) == [["a", "b"], ["c", "d"]]


def test_brackets_after_a_row_stay_where_they_are_no_gap():
    assert rows(pages.mathml(r"\begin{matrix} a \\ [x] \end{matrix}", "block")) == [["a"], ["[x]"]]


@pytest.mark.parametrize("latex", [r"a \nosuchthing b", r"a & b", r"\left( a", "a_b_c"])
def test_what_cannot_be_told_is_refused_by_name(latex):
    with pytest.raises(ValueError, match=re.escape(repr(latex)) + ".*MathML.*more simply"):
        pages.mathml(latex, "inline")


def test_an_equation_in_a_heading_is_one(written):
    text = (written / "05_four_numbers.html").read_text(encoding="utf-8")
    assert re.search("<h2[^>]*>Deeper: one lobe more, and where <math.*?</math> belongs", text)


# the pages


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_page_has_everything_plays_and_asks_for_nothing(path, written, open_page, serious):
    page = open_page(written / f"{path.stem}.html", color_scheme="light")
    page.wait_for_load_state("load")
    assert page.locator("math").count() == len(equations(path))
    assert "$$" not in page.locator("main").inner_text()
    stages = stored(path, "data-cyclokit-stage=")
    assert page.locator("[data-cyclokit-stage]").count() == stages
    page.wait_for_function("many => document.querySelectorAll('.cyclokit-stage output').length === many", arg=stages)
    assert page.locator("img").evaluate_all("all => all.filter(one => one.complete && !one.naturalWidth).length") == 0
    assert page.locator("img.cyclokit-figure").count() == stored(path, 'class="cyclokit-figure"')
    lost = (
        "all => all.filter(one => !document.getElementById(decodeURIComponent(one.hash.slice(1)))).map(one => one.hash)"
    )
    assert page.locator('a[href^="#"]:not(.anchor-link)').evaluate_all(lost) == []  # nbconvert's own are hidden
    assert page.locator('a[href$=".ipynb"]').count() == 0
    assert serious(page, "main", without=["color-contrast"]) == []
    assert _faint(page, serious) == []
    page.emulate_media(color_scheme="dark")  # one that opens in the dark: tests/view/test_browser.py
    dark = "many => document.querySelectorAll('.cyclokit-stage[data-theme=dark]').length === many"
    page.wait_for_function(dark, arg=stages)
    assert _faint(page, serious) == []  # all that is other than in the light
    for number in range(stages):
        _plays(page, number)
    assert [address for address in page.asked if not address.startswith(("file:", "data:"))] == []
    assert page.complaints == []


def _faint(page, serious):
    """Words that don't stand out: every kind of them is looked at once."""
    kinds = page.locator("main").evaluate_handle(ONE_OF_A_KIND)
    return serious(page, {"include": kinds}, only=["color-contrast"])


def _plays(page, number):
    """Wait until that stage's words have changed."""
    stage = page.locator(".cyclokit-stage").nth(number)
    choice = stage.locator("xpath=ancestor::*[@data-choice]")
    if choice.count():  # one of several, of which one is seen
        words = choice.get_attribute("data-choice")
        choice.locator("xpath=..").get_by_role("button", name=words, exact=True).first.click()
    stage.scroll_into_view_if_needed()
    before = stage.locator("output").inner_text()
    if stage.locator("button.play").inner_text() == "Play":  # one that stands until the reader asks
        stage.locator("button.play").click()
    page.wait_for_function(
        "([number, before]) => document.querySelectorAll('.cyclokit-stage')[number]"
        ".querySelector('output').innerText !== before",
        arg=[number, before],
    )


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_paper_there_is_no_control_and_no_code_is_cut(scheme, written, open_page):
    page = open_page(written / "05_four_numbers.html", color_scheme=scheme, viewport={"width": 700, "height": 900})
    page.locator(".cyclokit-stage output").first.wait_for()
    page.emulate_media(media="print", color_scheme=scheme)
    assert page.locator("button:visible, input:visible, summary:visible").count() == 0
    cut = "all => all.filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.innerText)"
    assert page.locator(".jp-InputArea-editor, .jp-OutputArea-output pre").evaluate_all(cut) == []
    assert page.locator("body").evaluate("body => getComputedStyle(body).backgroundColor") == "rgb(255, 255, 255)"
    assert page.locator(".jp-RenderedMarkdown p").first.evaluate(BRIGHTNESS) < 60  # dark words on the white sheet
    assert page.locator(".cyclokit-stage output").first.evaluate(BRIGHTNESS) < 60


BRIGHTNESS = "one => Math.max(...getComputedStyle(one).color.match(/[\\d.]+/g).slice(0, 3).map(Number))"


# the files


def test_pages_are_the_same_every_time_and_are_renewed(written):
    before = {path: path.read_bytes() for path in written.iterdir()}
    assert len(before) == len(LESSONS)
    assert pages.write_all(written) == [f"wrote {path.stem}.html" for path in LESSONS]
    assert {path: path.read_bytes() for path in written.iterdir()} == before


def test_what_a_reader_made_is_left_alone(tmp_path, monkeypatch):
    (tmp_path / "few" / "lessons").mkdir(parents=True)
    (tmp_path / "few" / "lessons" / LESSONS[0].name).write_bytes(LESSONS[0].read_bytes())
    monkeypatch.setattr(pages, "notebooks", lambda: tmp_path / "few")
    own = tmp_path / "00_start_here.html"
    own.write_text("mine")
    with pytest.raises(ValueError, match=r"00_start_here\.html.*made or changed by somebody else"):
        pages.write_all(tmp_path)
    assert own.read_text() == "mine"


def test_a_file_is_no_folder(tmp_path, capsys):
    (tmp_path / "taken").write_text("mine")
    assert command_line.main(["pages", str(tmp_path / "taken")]) == 2
    assert "folder" in capsys.readouterr().err


def test_what_is_no_notebook_is_refused(tmp_path):
    other = tmp_path / "other.ipynb"
    for content in ("words", "{}", '{"nbformat": 4}'):
        other.write_text(content)
        with pytest.raises(ValueError, match="no notebook"):
            pages.page(other)


def test_a_page_has_the_name_of_its_lesson(written):
    text = (written / "01_circles_that_roll.html").read_text(encoding="utf-8")
    assert "<title>Circles that roll</title>" in text


@pytest.mark.parametrize("folder", [None, 5, "", b"pages"])
def test_a_folder_of_another_kind_is_refused_before_a_page_is_made(folder):
    with pytest.raises((TypeError, ValueError), match="folder"):
        pages.write_all(folder)
