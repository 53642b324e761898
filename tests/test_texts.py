"""Texts of somebody else's: they can be read, and do nothing.

What ends a line, moves a terminal's cursor or turns the direction of writing is asked of the Unicode character
database, as Python's `unicodedata` has it: https://www.unicode.org/reports/tr44/, general categories.
What HTML makes of a text is asked of Python's own HTML parser, what XML makes of it of Expat.
"""

import unicodedata
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import texts

ACTING = {"Cc", "Cs", "Cn", "Zl", "Zp"}  # control, half a character, none at all, ends of lines and paragraphs


@given(st.text(st.characters()))  # halves of characters too
def test_nothing_acts_in_a_plain_text(text):
    shown = texts.plain(text)
    assert not {unicodedata.category(character) for character in shown} & ACTING
    assert not {"\u202a", "\u202b", "\u202d", "\u202e", "\u2066", "\u2067", "\u2068"} & set(shown)
    assert len(shown.splitlines()) <= 1
    shown.encode("utf-8")  # it can be printed


@pytest.mark.parametrize(
    "text", ["", "623", "Réducteur d'été <b>", "回転 減速機", "10\u00a0mm", "क्\u200dष", "🙂", "a\\b"]
)
def test_what_can_be_read_stays(text):
    assert texts.plain(text) == text


def test_what_acts_is_spelled_out():
    assert texts.plain("623\x1b[2J\n\x07\u202egnp.exe\ud800") == "623\\x1b[2J\\n\\x07\\u202egnp.exe\\ud800"


class _Read(HTMLParser):
    """What a browser would see: tags and words."""

    def __init__(self, page):
        super().__init__(convert_charrefs=True)
        self.tags, self.words = [], ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, attributes))

    def handle_data(self, data):
        self.words += data


@given(st.text(st.characters()))
def test_in_html_a_text_is_only_words(text):
    read = _Read(f"<p>{texts.in_html(text)}</p>")
    assert read.tags == [("p", [])]
    assert read.words == texts.plain(text)


@given(st.text(st.characters()), st.sampled_from("'\""))
def test_in_an_attribute_a_text_stays_in_it(text, quote):
    read = _Read(f"<p title={quote}{texts.in_html(text)}{quote}></p>")
    assert read.tags == [("p", [("title", texts.plain(text))])]


@given(st.text(st.characters()))
def test_in_svg_a_text_leaves_the_picture_whole(text):
    assert (ElementTree.fromstring(f"<title>{texts.in_html(text)}</title>").text or "") == texts.plain(text)
