"""A reader's numbers stay: those that some words drew once are drawn for ever."""

import json
import unicodedata

from cyclokit.course.sheets.task import normalised
from tests.frozen import FROZEN, WORDS, written


def test_every_word_draws_the_numbers_that_it_drew_once():
    frozen = json.loads(FROZEN.read_text(encoding="utf-8"))
    assert written() == frozen  # a sheet or edition that isn't there yet: python -m tests.frozen adds it


def test_the_words_are_as_they_are_drawn_from():
    assert len(set(WORDS)) == 40
    for word in WORDS:
        assert normalised(word) == word


def test_words_that_are_typed_otherwise_draw_the_same():
    for word in WORDS:
        for typed in (f"  {word}\n", unicodedata.normalize("NFD", word), word.upper()):
            assert normalised(typed) == word
