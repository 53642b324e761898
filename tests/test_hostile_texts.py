"""Texts that would act where they are shown: fed into every public place that takes a text of somebody's.

Each place gives what it shows, or refuses in words, and the words are shown on a terminal. What HTML, XML and TOML
make of it is asked of Python's own parsers: the same tags as with a harmless text, and no character that acts.
"""

import io
import json
import tomllib
from contextlib import chdir, redirect_stdout
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from traitlets import TraitError

from cyclokit import Drive, files, texts
from cyclokit.course import own, questions
from cyclokit.course.reader import folder
from cyclokit.course.sheets import sheet, trial
from cyclokit.machine import reducer_file
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.mechanics import balance, sharing
from cyclokit.view import figures, limits_map, live_map, load_figures, pages, saved, stage, svg
from tests import test_wrong_kinds as wrong_kinds

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
HARMLESS = "wheel"
HOSTILE = (
    "<img src=x onerror=alert(1)>",
    "</title></td></figcaption><script>alert(1)</script>",
    '" onload="alert(1)',
    "' onload='alert(1)",
    "]]> --> &lt; &#60;",
    "\x1b[2J\x1b]0;owned\x07",
    "one\nright.\r\x85\u2028two",
    "\u202egpj.exe\u2066",
    "\x00\x08\ud800\ufffe",
    "$x_{$ \\frac",
    "{0} {name} %s %(x)s",
    "[a](javascript:alert(1)) `$$\\require{x}$$` <b>",
    "'''\"\"\"\\",
)


def _bearing(text):
    return Reducer(STORY, eccentric_bearing=Bearing(text, 20.0, 32.0, 7.0))


def _toml_of(text):
    written = reducer_file.to_toml(_bearing(text))
    assert tomllib.loads(written)["eccentric_bearing"]["name"] == text
    assert reducer_file.from_toml(written) == _bearing(text)
    return written


def _read(tmp_path, reader, content, name="file.toml"):
    path = tmp_path / name
    path.write_bytes(content.encode("utf-8", "surrogatepass"))
    return reader(path)


def _typed(text):
    """A text as a TOML string; one with half a character in it can't be typed in any file."""
    return json.dumps(text, ensure_ascii=False)


STORY_TOML = "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"


def _in_file_name(tmp_path, text, use):
    try:
        path = tmp_path / text
        path.write_text("mine")
    except (OSError, ValueError):  # no file can be called so here
        path = tmp_path / "mine"
        path.write_text("mine")
    return use(path)


def _shown(text):
    """What a figure leaves in a notebook."""
    InteractiveShell.instance()
    with capture_output() as told:
        figures.show(figures.plane(), text)
    return "".join(output.data.get("text/html", "") for output in told.outputs)


def _asked(word):
    InteractiveShell.instance()
    with capture_output() as told:
        opened = sheet.open_sheet("one_lobe_fewer", word)
        opened.ask("a")
        opened.another_look("a")
    for output in told.outputs:
        assert word not in output.data["text/markdown"]  # numbers follow from it; the page never shows it
    return repr(opened)


def _printed(act):
    told = io.StringIO()
    with redirect_stdout(told):
        act()
    return told.getvalue()


# place -> what is shown of a text there: "html", "svg" or "terminal", and how to get it
PLACES = {
    "a bearing's name in the notebook": ("html", lambda text, _: _bearing(text)._repr_html_()),
    "a bearing's name on a terminal": ("terminal", lambda text, _: repr(_bearing(text))),
    "a bearing's name in a reducer's file": ("toml", lambda text, _: _toml_of(text)),
    "a bearing too small": ("terminal", lambda text, _: Reducer(STORY, crank_bearing=Bearing(text, 2.0, 4.0, 1.0))),
    "a bearing's designation": ("terminal", lambda text, _: Reducer(STORY, crank_bearing=text)),
    "a material": ("terminal", lambda text, _: Reducer(STORY, disc_material=text)),
    "a counterweight's material": ("terminal", lambda text, _: balance.counterweight(1e-6, 20.0, 10.0, text)),
    "a key of a reducer's file": (
        "terminal",
        lambda text, tmp: _read(tmp, reducer_file.read, f"{STORY_TOML}{_typed(text)} = 1\n"),
    ),
    "a key of a bearing": (
        "terminal",
        lambda text, tmp: _read(tmp, reducer_file.read, f"{STORY_TOML}crank_bearing = {{{_typed(text)} = 1}}\n"),
    ),
    "a word in a reducer's file": (
        "terminal",
        lambda text, tmp: _read(tmp, reducer_file.read, f"{STORY_TOML}pin_made = {_typed(text)}\n"),
    ),
    "a reducer's file that is no TOML": ("terminal", lambda text, tmp: _read(tmp, reducer_file.read, text)),
    "a key of one's own file": (
        "terminal",
        lambda text, tmp: _read(tmp, own.read, f"{STORY_TOML}{_typed(text)} = 1\n"),
    ),
    "a word in one's own file": (
        "terminal",
        lambda text, tmp: _read(tmp, own.read, STORY_TOML.replace("20", _typed(text))),
    ),
    "one's own file that is no TOML": ("terminal", lambda text, tmp: _read(tmp, own.read, text)),
    "the name of a reducer's file": (
        "terminal",
        lambda text, tmp: _in_file_name(tmp, text, lambda path: reducer_file.write(Reducer(STORY), path)),
    ),
    "the name of a reducer's file, read": (
        "terminal",
        lambda text, tmp: _in_file_name(tmp, text, reducer_file.read),
    ),
    "the name of one's own file": (
        "terminal",
        lambda text, tmp: _in_file_name(tmp, text, lambda path: own.keep(STORY, path)),
    ),
    "the name of one's own file, kept": ("terminal", lambda text, tmp: own.keep(STORY, tmp / text)),
    "the name of a folder": ("terminal", lambda text, tmp: _in_file_name(tmp, text, folder.copy_all)),
    "the number of a lesson": ("terminal", lambda text, tmp: folder.copy_fresh(tmp, text)),
    "the name of a saved stage": ("terminal", lambda text, _: stage.turning_drive(STORY).save(text)),
    "the name of a saved picture": (
        "terminal",
        lambda text, tmp: _in_file_name(tmp, text, lambda path: saved.save(path, "<svg/>")),
    ),
    "the name of any file": (
        "terminal",
        lambda text, tmp: files.write_whole(tmp / "nowhere" / text, b""),
    ),
    "the name of a file of tasks": ("terminal", lambda text, _: sheet.open_sheet(f"{text}.py", "word")),
    "the name of a new file of tasks": (
        "terminal",
        lambda text, tmp: _in_file_name(tmp, text, trial.new_file),
    ),
    "the name of a sheet": ("terminal", lambda text, _: sheet.open_sheet(text, "word")),
    "a sheet's word": ("terminal", lambda text, _: _asked(text)),
    "a task's letter": ("terminal", lambda text, _: sheet.open_sheet("one_lobe_fewer", "word").ask(text)),
    "an answer to a question": ("lines", lambda text, _: _printed(lambda: questions.check_yourself("1a", text))),
    "a figure's alt text": ("html", lambda text, _: _shown(text)),
    "a name on the live map, in its picture": ("svg", lambda text, _: live_map.drawn(STORY, (0, 0), {text: STORY})),
    "a name on the live map, in its words": (
        "terminal",
        lambda text, _: live_map.words_of(live_map.drawn(STORY, (0, 0), {text: STORY})),
    ),
    "a layer of a stage": ("terminal", lambda text, _: stage.turning_drive(STORY, show=[text])),
    "a frame of a stage": ("terminal", lambda text, _: stage.turning_drive(STORY, frame=text)),
    "a wish": ("terminal", lambda text, _: own.choose(15, 100.0, 10.0, text)),
    "words on a map": ("png", lambda text, _: limits_map.picture({text: STORY}).figure),
    "a curve's name": ("png", lambda text, _: figures.curve(figures.np.zeros((2, 2)), text).figure),
    "words along an axis": ("png", lambda text, _: figures.plane(text, text).figure),
    "words under a still": ("html", lambda text, _: pages.still("<svg/>", text)),
    "words in a picture": ("svg", lambda text, _: svg.label(text, 0.0, 0.0, 1.0)),
    "a bar's name": ("png", lambda text, _: load_figures.compared({text: (1.0, 2.0)}, text).figure),
    "a sharing's name": (
        "png",
        lambda text, _: load_figures.pins_by_angle({text: sharing.ideal(Reducer(STORY), 2.0, [0.0])}).figure,
    ),
    "a dot's word": ("png", lambda text, _: figures.dots(figures.np.zeros((1, 2)), [text]).figure),
}


def _acts(text):
    return [character for character in text if texts.plain(character) != character]


class _Tags(HTMLParser):
    def __init__(self, page):
        super().__init__()
        self.tags = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, [name for name, _ in attributes]))


def _judged(kind, shown):
    """The tags of a page or picture; of anything else nothing, if it is only read."""
    if kind == "png":
        shown.draw_without_rendering()
        return None
    shown = str(shown)
    if kind == "html":
        assert not _acts(shown), ascii(shown)
        return _Tags(shown).tags
    if kind == "svg":
        return [(one.tag, sorted(one.attrib)) for one in ElementTree.fromstring(shown).iter()]
    if kind == "toml":
        assert not _acts(shown.replace("\n", "")), ascii(shown)
        return None
    if kind == "lines":
        assert shown.endswith("\n")
        shown = shown[:-1]
    assert not _acts(shown), ascii(shown)
    return None


@pytest.fixture(scope="module")
def harmless(tmp_path_factory):
    """What the judge says of each place with a harmless text; None where that is refused too."""
    return {place: _of_harmless(*PLACES[place], tmp_path_factory.mktemp("harmless")) for place in PLACES}


def _of_harmless(kind, show, folder):
    try:
        with chdir(folder):
            return _judged(kind, show(HARMLESS, folder))
    except (ValueError, TypeError, OSError, TraitError) as error:
        assert kind == "terminal", error
        return None


@pytest.mark.parametrize("text", HOSTILE, ids=ascii)
@pytest.mark.parametrize("place", PLACES)
def test_a_hostile_text_is_read_and_does_nothing(place, text, harmless, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    kind, show = PLACES[place]
    (tmp_path / "mine").mkdir()
    try:
        assert _judged(kind, show(text, tmp_path / "mine")) == harmless[place]
    except (ValueError, TypeError, OSError, KeyError, TraitError) as error:
        _judged("terminal", error)


ASKED_OF_ALL = [call for call in wrong_kinds.CALLS if not call[0].startswith(("texts.", "course.reader.pages."))]


# what breaks lines comes last: of some texts only the first line is said; the last text can't be part of a file's name
SAID = (HOSTILE[7] + HOSTILE[5] + HOSTILE[6], HOSTILE[8])


@pytest.mark.parametrize("text", SAID, ids=ascii)
def test_whatever_any_public_function_says_of_a_hostile_text_does_nothing(text, tmp_path, monkeypatch):
    """So that a new room is tried by itself, each of its arguments; what takes a text is tried above."""
    monkeypatch.chdir(tmp_path)
    told = 0
    for name, parameter in ASKED_OF_ALL:
        try:
            with redirect_stdout(io.StringIO()):
                wrong_kinds.call(name, **{parameter: text})
        except Exception as error:  # whatever is said, it is only read
            told += 1
            assert not _acts(str(error)), (name, parameter, ascii(error))
    assert told > 0.8 * len(ASKED_OF_ALL)


def test_a_hostile_text_does_something_where_it_is_not_escaped():
    """So that the judge is known to see it."""
    row = "<td>{}</td>"
    plain_tags = _judged("html", row.format(HARMLESS))
    assert _judged("html", row.format(HOSTILE[0])) != plain_tags
    for text in HOSTILE[5:9]:
        with pytest.raises(AssertionError):
            _judged("terminal", text)
