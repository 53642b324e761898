"""A saved picture goes over an earlier one, and over nothing that anybody else made or changed.

Whether the mark does any harm is asked of Expat (XML) and of Python's HTML parser.
"""

from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from cyclokit import Drive
from cyclokit.view import saved, stage

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
TEXTS = {
    "page.html": "<!doctype html>\n<html lang='en'><title>a</title></html>\n",
    "picture.svg": '<svg xmlns="http://www.w3.org/2000/svg"><title>a</title></svg>',
}


@pytest.fixture(params=sorted(TEXTS))
def file(request, tmp_path):
    """A file that was saved once."""
    saved.save(tmp_path / request.param, TEXTS[request.param])
    return tmp_path / request.param


def test_what_was_saved_can_be_saved_again(file):
    first = file.read_bytes()
    saved.save(file, TEXTS[file.name].replace(">a<", ">b<"))
    assert b">b<" in file.read_bytes()
    saved.save(file, TEXTS[file.name])
    assert file.read_bytes() == first


@pytest.mark.parametrize(
    "change",
    [
        lambda content: content + b" ",
        lambda content: content.replace(b"<title>a", b"<title>mine"),
        lambda content: content.replace(b"\n", b"\r\n"),
        lambda content: b"\xef\xbb\xbf" + content,
        lambda content: content.partition(b"-->\n")[2],
        lambda content: b"<html><body>my report:" + content + b"</body></html>",
        lambda content: b"",
        lambda content: bytes(range(256)),
    ],
)
def test_what_somebody_has_changed_is_left_alone(file, change):
    theirs = change(file.read_bytes())
    file.write_bytes(theirs)
    with pytest.raises(ValueError, match="somebody else: choose another name"):
        saved.save(file, TEXTS[file.name])
    assert file.read_bytes() == theirs


def test_a_report_that_holds_a_whole_stage_is_left_alone(tmp_path):
    """A notebook exported as HTML: the stage's own page is in it, script, still and all."""
    file = tmp_path / "report.html"
    report = f"<!doctype html>\n<html><body><h1>My report</h1>{stage.turning_drive(STORY).page()}</body></html>"
    file.write_text(report, encoding="utf-8")
    with pytest.raises(ValueError, match="choose another name"):
        stage.turning_drive(STORY).save(file)
    assert file.read_text(encoding="utf-8") == report


def test_a_stage_goes_over_a_stage(tmp_path):
    for name in ("drive.html", "drive.svg"):
        stage.turning_drive(STORY).save(str(tmp_path / name))
        before = (tmp_path / name).read_bytes()
        stage.turning_drive(Drive(12, 40.0, 4.0, 1.5)).save(tmp_path / name)
        assert (tmp_path / name).read_bytes() != before


def test_the_mark_does_no_harm(tmp_path):
    class Read(HTMLParser):
        seen = ()

        def handle_decl(self, decl):
            self.seen += (decl,)

        def handle_starttag(self, tag, attrs):
            self.seen += (tag,)

    stage.turning_drive(STORY).save(tmp_path / "drive.svg")
    stage.turning_drive(STORY).save(tmp_path / "drive.html")
    assert ElementTree.parse(tmp_path / "drive.svg").getroot().tag.endswith("}svg")
    page = Read()
    page.feed((tmp_path / "drive.html").read_text(encoding="utf-8"))
    assert page.seen[:3] == ("doctype html", "html", "head")


def test_a_hostile_name_is_repeated_and_does_nothing(tmp_path):
    file = tmp_path / "a\x1b[2J.svg"
    try:
        file.write_text("mine")
    except OSError:
        pytest.skip("no such names here")
    with pytest.raises(ValueError, match=r"a\\x1b\[2J\.svg"):
        saved.save(file, TEXTS["picture.svg"])
