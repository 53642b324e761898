"""Every lesson as one page of HTML that needs no network and no kernel, on a screen and on paper.

A page holds the outputs that its lesson has stored. Equations become MathML, which browsers set by themselves.
"""

import re
from functools import cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import nbformat
from jinja2 import pass_context
from latex2mathml import converter
from nbconvert.exporters.html import HTMLExporter
from nbconvert.filters.markdown_mistune import IPythonRenderer, MarkdownWithMath

from cyclokit.arguments import checked_choice, checked_kind
from cyclokit.course.reader.folder import notebooks
from cyclokit.files import as_path, make_folder
from cyclokit.texts import shown
from cyclokit.view import saved

WRITTEN = "wrote {name}"
# nbconvert's own page without what it would fetch, and without cleaning code that is clean as it is made; dark where
# the reader's pages are, and light on paper
TEMPLATE = """{% extends "index.html.j2" %}
{% block html_head_js %}{% endblock %}
{% block html_head_js_mathjax %}{% endblock %}
{% block html_head_js_mermaidjs %}{% endblock %}
{% block jupyter_widgets %}{% endblock %}
{% block notebook_css %}{{ super() }}
<style>@media screen and (prefers-color-scheme: dark) { {% include "static/theme-dark.css" %} }
{{ own_style }}</style>
{% endblock %}
{% block input %}

<div class="jp-CodeMirrorEditor jp-Editor jp-InputArea-editor" data-type="inline">
     <div class="cm-editor cm-s-jupyter">
{{ cell.source | highlight_code(metadata=cell.metadata) }}
     </div>
</div>
{%- endblock %}
{% block data_latex %}<div class="jp-RenderedHTMLCommon jp-RenderedLatex jp-OutputArea-output">
{{ output.data["text/latex"] | mathml }}</div>
{% endblock %}
"""
STYLE = """:root { color-scheme: light dark; }
body.jp-Notebook { max-width: 72rem; margin: 0 auto; padding: 1rem; overflow: visible; }
body.jp-Notebook .cyclokit-figure { color-scheme: light dark; } /* as the page is, and not as JupyterLab's theme */
body.jp-Notebook main a { text-decoration: underline !important; }
:root { --jp-cell-prompt-not-active-opacity: 1;
  --jp-cell-inprompt-font-color: #1f6299; --jp-cell-outprompt-font-color: #9c4529;
  --jp-mirror-editor-number-color: #006b00; --jp-mirror-editor-comment-color: #2f6868;
  --jp-mirror-editor-operator-color: #8a1fd0; --jp-mirror-editor-keyword-color: #006b00;
  --jp-mirror-editor-builtin-color: #006b00; }
@media screen and (prefers-color-scheme: dark) { :root {
  --jp-cell-inprompt-font-color: #6fb1e4; --jp-cell-outprompt-font-color: #e89a80;
  --jp-mirror-editor-number-color: #7bd17f; --jp-mirror-editor-comment-color: #7fbcbc;
  --jp-mirror-editor-operator-color: #cf9bff; --jp-mirror-editor-keyword-color: #7bd17f;
  --jp-mirror-editor-builtin-color: #7bd17f; } }
.equation { display: block; overflow-x: auto; overflow-y: hidden; margin: .8em 0; }
mtd[columnalign="left"] { text-align: left; } mtd[columnalign="right"] { text-align: right; }
.highlight pre, .jp-OutputArea-output pre { white-space: pre-wrap; overflow-wrap: anywhere; }
.jp-RenderedHTMLCommon { overflow-x: auto; }
[data-panel="asleep"] { display: none; }
@media (max-width: 600px) {
  .jp-InputPrompt, .jp-OutputPrompt { display: none; } body.jp-Notebook { padding: .4rem; } }
@media print {
  :root, body.jp-Notebook .cyclokit-figure { color-scheme: light; }
  figure, img, svg, .equation, table { break-inside: avoid; } h1, h2, h3, h4 { break-after: avoid; } }
"""


def write_all(folder: str | Path) -> list[str]:
    """Write every lesson into `folder` as a page of its own; return a line for each.

    The folder is made if it isn't there. Pages that were written there before, and not changed since, are replaced.

    Raises
    ------
    ValueError
        If `folder` is a file or can't be written to, or another file has the name of a page.
    """
    folder = as_path("folder", folder)
    try:
        make_folder(folder)
    except OSError as error:
        raise ValueError(
            f"folder is {shown(str(folder))}, but can't be used as one ({error.strerror}): "
            "give a folder that you may write to."
        ) from error
    lessons = sorted((notebooks() / "lessons").glob("*.ipynb"))
    texts = {f"{lesson.stem}.html": page(lesson) for lesson in lessons}
    for name, text in texts.items():
        saved.save(folder / name, text)
    return [WRITTEN.format(name=name) for name in texts]


def page(notebook: str | Path) -> str:
    """A notebook with its stored outputs as one page that asks for nothing else, the same every time.

    Raises
    ------
    ValueError
        If there is none, it is no notebook, or it has an equation that can't be told in MathML.
    """
    path = as_path("notebook", notebook)
    try:
        content = nbformat.reads(path.read_text(encoding="utf-8"), as_version=4)
    except (OSError, UnicodeDecodeError, nbformat.reader.NotJSONError, nbformat.ValidationError) as error:
        raise ValueError(f"notebook is {shown(str(path))}, but that is no notebook: give another one.") from error
    heading = re.search(r"^# (.+)", content.cells[0].source if content.cells else "", re.MULTILINE)
    named = {"metadata": {"name": heading[1] if heading else path.stem, "path": str(path.parent)}}
    text, _ = _exporter().from_notebook_node(content, named)
    return saved.DOCTYPE + text.partition("\n")[2]


@cache
def _exporter() -> "_Pages":
    """One for all pages: its templates are made once."""
    return _Pages()


class _Pages(HTMLExporter):
    """The HTML of nbconvert, with equations as MathML."""

    def __init__(self) -> None:
        super().__init__(raw_template=TEMPLATE, embed_images=True)
        self.environment.globals["own_style"] = STYLE
        self.register_filter("mathml", of_output)

    @pass_context
    def markdown2html(self, context: Any, source: str) -> str:
        """A text as HTML, with what its cell has attached."""
        renderer = Renderer(
            escape=False,
            attachments=context.get("cell", {}).get("attachments", {}),
            embed_images=True,
            path=context["resources"]["metadata"]["path"],
        )
        return MarkdownWithMath(renderer=renderer).render(source)


class Renderer(IPythonRenderer):
    """A text as HTML, with equations as MathML, and without links to notebooks, which don't come along."""

    def block_math(self, body: str) -> str:
        """An equation on a line of its own."""
        return mathml(body, "block")

    def inline_math(self, body: str) -> str:
        """An equation within the text."""
        return mathml(body, "inline")

    def latex_environment(self, name: str, body: str) -> str:
        """An equation that says so itself."""
        return mathml(f"\\begin{{{name}}}{body}\\end{{{name}}}", "block")

    def link(self, text: str, url: str, title: str | None = None) -> str:
        """A link, or its words where it leads to a notebook."""
        return text if url.endswith(".ipynb") else str(super().link(text, url, title))


def of_output(latex: str) -> str:
    """An output that is one equation, between its dollars."""
    checked_kind("latex", latex, str, "give the equation as text")
    return mathml(latex.strip().strip("$").removeprefix("\\displaystyle"), "block")


def mathml(latex: str, display: str) -> str:
    r"""An equation in LaTeX, without its dollars, as MathML: "block" for a line of its own, "inline" within a text.

    Raises
    ------
    ValueError
        If it has a command or a sign that isn't known.

    Examples
    --------
    >>> mathml("a^2", "inline").partition(">")[2]
    '<mrow><msup><mi>a</mi><mn>2</mn></msup></mrow></math>'
    """
    checked_kind("latex", latex, str, "give the equation as text")
    checked_choice("display", display, ("block", "inline"))
    # the converter has no aligned rows, and prints the height of a gap between rows
    known = re.sub(r"\\begin\{align(?:ed|\*)?\}", r"\\begin{array}{rlrlrl}", latex)
    known = re.sub(r"\\end\{align(?:ed|\*)?\}", r"\\end{array}", known)
    known = re.sub(r"\\\\\[-?[\d.]+(?:ex|em|pt|mm)\]", r"\\\\ ", known)
    try:
        told = converter.convert(known, display=display)
        words = "".join(ElementTree.fromstring(told).itertext())
    except Exception as error:  # its errors have no common kind, and some are Python's own
        raise _refused(latex) from error
    if "\\" in words:
        raise _refused(latex)
    told = re.sub(
        ' xmlns="[^"]*"', "", told
    )  # HTML needs none, and in a heading nbconvert would put it before every tag
    return f'<span class="equation">{told}</span>' if display == "block" else told


def _refused(latex: str) -> ValueError:
    return ValueError(f"latex is {shown(latex)}, but has something that MathML can't be made of: write it more simply.")
