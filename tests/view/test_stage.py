"""What a stage is in Python: its view, words, files, and the same text every time.

- Contrast of 3 : 1 for graphics: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criterion 1.4.11.
- SVG: Scalable Vector Graphics (SVG) 1.1, W3C, 2011. HTML and its data attributes: HTML Living Standard, WHATWG.
"""

import hashlib
import html
import json
import math
import os
import re
import subprocess
import sys
from urllib.parse import unquote
from xml.etree import ElementTree

import nbformat
import numpy as np
import pytest
from IPython.core.formatters import DisplayFormatter

from cyclokit import Drive
from cyclokit.course.reader.folder import notebooks
from cyclokit.geometry import motion, sweep
from cyclokit.machine.reducer import Reducer
from cyclokit.view import pages, reducer_scene, rolling_scene, scene, stage

SVG = "{http://www.w3.org/2000/svg}"
STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
TWELVE = Drive(12, 40.0, 4.0, 1.5)
MADE = {
    "drive": lambda: stage.turning_drive(STORY),
    "everything": lambda: stage.turning_drive(STORY, show=stage.turning_drive(STORY).layers, crank=0.7, frame="disc"),
    "forces": lambda: stage.turning_drive(STORY, show=["forces"], forces=[0, 1, 2]),
    "cut": lambda: stage.turning_cut(sweep.cut(STORY, lobes=18, rays=1080)),
    "reducer": lambda: stage.turning_reducer(Reducer(STORY)),
    "reducer, everything": lambda: stage.turning_reducer(
        Reducer(STORY, discs=3), show=stage.turning_reducer(Reducer(STORY, discs=3)).layers, crank=0.7, frame="disc"
    ),
    "line": lambda: stage.rolling_on_line(10.0),
    "circle": lambda: stage.rolling_on_circle(30.0, 10.0, 6.0),
}


@pytest.fixture(params=MADE)
def made(request):
    return MADE[request.param]()


def bundle(made):
    """What the notebook keeps of it."""
    kinds = DisplayFormatter().format(made)[0]
    assert set(kinds) == {"text/plain", "text/html"}  # no widget's view, which would be an error without its kernel
    return kinds


def still_in(text):
    """The SVG that stands in the page as a picture."""
    return unquote(html.unescape(re.search(r"data:image/svg\+xml,([^\"]+)", text)[1]))


# how it is seen


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        ({"show": ["disc", "gears"]}, "'gears'.*choose from"),
        ({"crank": math.nan}, "crank is nan"),
        ({"crank": math.inf}, "crank is inf"),
        ({"frame": "moon"}, "frame is 'moon'.*ring, disc"),
        ({"load": "up"}, "load is 'up'.*clockwise"),
        ({"forces": [1.0, -1.0]}, "from 0 up"),
        ({"forces": [[1.0, 2.0]]}, "one row"),
        ({"forces": []}, "one row"),
        ({"forces": [math.nan]}, "finite"),
    ],
)
def test_what_cannot_be_shown_is_refused_with_a_reason(wish, words):
    with pytest.raises(ValueError, match=words):
        stage.turning_drive(STORY, **wish)


@pytest.mark.parametrize(
    ("name", "value"), [("show", "disc"), ("crank", "half"), ("crank", [1.0, 2.0]), ("forces", ["x"])]
)
def test_things_of_another_kind_are_refused(name, value):
    with pytest.raises(TypeError, match=name):
        stage.turning_drive(STORY, **{name: value})


def test_a_stage_cannot_begin_with_what_it_does_not_have():
    with pytest.raises(ValueError, match="'pitch circles'"):
        stage.turning_cut(sweep.cut(STORY, lobes=18, rays=1080), show=["disc", "pitch circles"])


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_a_reducer_has_a_layer_for_each_of_its_discs(discs):
    shown = stage.turning_reducer(Reducer(STORY, discs=discs))
    assert [name for name in shown.layers if name.endswith("disc")] == ["disc", "second disc", "third disc"][:discs]
    assert set(shown.layers) - set(shown.view.show) == {"witness marks", "marked lobe", "trail", "turns", "labels"}
    with pytest.raises(ValueError, match="'contacts'"):
        stage.turning_reducer(Reducer(STORY, discs=discs), show=["contacts"])


def test_forces_are_offered_where_they_are_known():
    assert "forces" not in stage.turning_drive(STORY).layers
    assert "forces" in stage.turning_drive(STORY, forces=np.array([0.0, 10.0, 20.0])).layers


def test_a_trochoid_ratio_of_one_has_no_picture():
    with pytest.raises(ValueError, match="trochoid ratio is 1"):
        stage.turning_drive(Drive(20, 42.0, 5.0, 2.1))


# the same text every time


def test_a_stage_leaves_the_same_text_in_every_process():
    program = (
        "import hashlib; from cyclokit import Drive; from cyclokit.view import stage; "
        "d = Drive(20, 42.0, 5.0, 1.4); "
        "p = stage.turning_drive(d), stage.rolling_on_line(10.0), stage.rolling_on_circle(30.0, 10.0, 6.0); "
        "text = ''.join(x._repr_html_() + repr(x) for x in p); "
        "print(hashlib.sha256(text.encode()).hexdigest())"
    )
    printed = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": order},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for order in ("1", "2")
    }
    here = [MADE[name]() for name in ("drive", "line", "circle")]
    printed.add(hashlib.sha256("".join(bundle(one)["text/html"] + repr(one) for one in here).encode()).hexdigest())
    assert len(printed) == 1


def test_the_representation_has_no_address_and_no_random_id(made):
    text = bundle(made)["text/plain"] + bundle(made)["text/html"]
    assert text == bundle(made)["text/plain"] + bundle(made)["text/html"]
    assert not re.search(r"\b0x[0-9a-f]{6}", text)
    assert not re.search(r'\bid="', text + still_in(text))  # two of the same picture may stand in one page


# the words


def test_the_alt_text_the_caption_and_the_title_are_the_same_words(made):
    text = bundle(made)["text/html"]
    alt = html.unescape(re.search(r'<img alt="([^"]*)"', text)[1])
    caption = html.unescape(re.search(r"<figcaption>(.*?)</figcaption>", text)[1])
    assert alt == caption == ElementTree.fromstring(still_in(text)).find(f"{SVG}title").text
    assert len(alt.split()) >= 8


def test_the_words_say_what_is_shown_and_nothing_else():
    shown = stage.turning_drive(STORY, show=["disc", "normals"])
    words = re.search(r"<figcaption>(.*?)</figcaption>", bundle(shown)["text/html"])[1]
    assert "20 rollers" in words
    assert "19 lobes" in words
    assert "pitch point" in words
    assert "crank" not in words.replace("by the crank", "")
    assert "an epicycloid" in repr(stage.rolling_on_circle(30.0, 10.0, 10.0))
    assert "an epitrochoid" in repr(stage.rolling_on_circle(30.0, 10.0, 6.0))


def test_every_layer_but_the_numbers_has_its_sentence():
    for room in (scene, rolling_scene, reducer_scene):
        assert [name for name, words in room.SENTENCES.items() if not words] == ["angles"]


# the page


def test_the_still_picture_shows_the_chosen_layers_and_no_other():
    shown = stage.turning_drive(STORY, show=["disc", "contacts"])
    still = ElementTree.fromstring(still_in(bundle(shown)["text/html"]))
    layers = [(one.get("data-layer"), one.get("display")) for one in still.iter() if one.get("data-layer")]
    assert {name for name, display in layers if display != "none"} == {"disc", "contacts"}
    assert {name for name, _ in layers} | {"angles"} == set(shown.layers)


@pytest.mark.parametrize("frame", ["ring", "disc"])
def test_the_still_picture_stands_at_the_crank_angle(frame):
    shown = stage.turning_drive(STORY, crank=2.0, frame=frame)
    still = ElementTree.fromstring(still_in(bundle(shown)["text/html"]))
    pose = motion.disc_pose(STORY, 2.0)
    disc = next(one for one in still.iter() if one.get("data-part") == "disc")
    x, y, turn = map(float, re.findall(r"-?[\d.]+", disc.get("transform")))
    assert (x, -y) == pytest.approx(pose.centre, abs=6e-4)  # mm: three decimals
    assert -turn == pytest.approx(math.degrees(float(pose.angle)), abs=6e-4)  # degrees: three decimals
    world = next(one for one in still.iter() if "data-world" in one.attrib)
    if frame == "ring":
        assert not world.get("transform")
    else:
        turn, x, y = map(float, re.findall(r"-?[\d.]+", world.get("transform")))
        assert turn == pytest.approx(math.degrees(float(pose.angle)), abs=6e-4)
        assert (-x, y) == pytest.approx(pose.centre, abs=6e-4)


def test_the_page_begins_where_python_left_it():
    shown = stage.turning_drive(STORY, crank=2.0, frame="disc", load="clockwise", playing=False)
    state = json.loads(html.unescape(re.search(r'data-cyclokit-stage="([^"]+)"', bundle(shown)["text/html"])[1]))
    assert state == {"crank": 2.0, "show": list(stage.SHOWN), "frame": "disc", "load": "clockwise", "playing": False}


def test_a_stage_adds_little_to_a_notebook(made):
    # the largest of them shows everything
    output = nbformat.v4.new_output("display_data", data=bundle(made))
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("x", outputs=[output])])
    bare = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("x")])
    assert len(nbformat.writes(notebook).encode()) - len(nbformat.writes(bare).encode()) < 80_000


def test_stored_lessons_hold_stages_and_no_widget_that_nobody_has():
    # with a widget's view a fresh copy would say "model not found" instead of showing the still picture
    found = 0
    for path in (notebooks() / "lessons").glob("*.ipynb"):
        for cell in nbformat.read(path, as_version=4).cells:
            for output in cell.get("outputs", []):
                data = output.get("data", {})
                found += "data-cyclokit-stage" in data.get("text/html", "")
                assert "application/vnd.jupyter.widget-view+json" not in data, (path.name, cell.source)
    assert found >= 8


def test_it_asks_for_nothing_from_outside(made):
    addresses = set(re.findall(r"\w+://[^\s\"'<>)]+", unquote(bundle(made)["text/html"])))
    assert addresses <= {"http://www.w3.org/2000/svg"}  # a name, which nothing fetches


# files


def test_a_saved_page_is_one_small_file_in_good_order(made, tmp_path):
    made.save(tmp_path / "drive.html")
    text = (tmp_path / "drive.html").read_text(encoding="utf-8")
    assert text.startswith("<!doctype html>")
    assert '<html lang="en">' in text
    assert len(text.encode()) < 150_000
    assert os.listdir(tmp_path) == ["drive.html"]


def test_a_saved_still_is_svg_as_it_is_seen_and_needs_no_style_sheet(made, tmp_path):
    made.save(str(tmp_path / "drive.svg"))
    text = (tmp_path / "drive.svg").read_text(encoding="utf-8")
    assert ElementTree.fromstring(text).tag == f"{SVG}svg"
    still = re.sub("<style>.*</style>", "", still_in(bundle(made)["text/html"]))  # it follows a dark page
    assert text.partition("\n")[2] == still
    assert "var(" not in text
    assert "currentColor" not in text
    assert "<style" not in text


def test_an_earlier_stage_is_replaced_and_anything_else_is_left_alone(tmp_path):
    for name in ("drive.html", "drive.svg"):
        stage.turning_drive(STORY).save(tmp_path / name)
        before = (tmp_path / name).read_bytes()
        stage.turning_drive(TWELVE).save(tmp_path / name)
        assert (tmp_path / name).read_bytes() != before
        (tmp_path / f"my {name}").write_text("<svg>mine</svg>")
        with pytest.raises(ValueError, match="choose another name"):
            stage.turning_drive(STORY).save(tmp_path / f"my {name}")
        assert (tmp_path / f"my {name}").read_text() == "<svg>mine</svg>"


@pytest.mark.parametrize("name", ["drive", "drive.png", "drive.HTML.txt"])
def test_a_file_of_another_kind_is_refused(tmp_path, name):
    with pytest.raises(ValueError, match=r"must end in \.html or \.svg"):
        stage.turning_drive(STORY).save(tmp_path / name)
    assert os.listdir(tmp_path) == []


# the script


def test_the_script_is_plain_and_short():
    script = pages.script("stage.js")
    lines = script.splitlines()
    assert len(lines) <= 500
    assert not re.search(r"^\s*import\b|\bfetch\(|XMLHttpRequest|setInterval|setTimeout|https?:", script, re.M)
    assert "</script" not in script  # it stands inside a page


@pytest.mark.parametrize("page", ["#ffffff", "#111111"])
def test_a_still_stands_out_from_a_light_and_a_dark_page(made, page):
    still = still_in(bundle(made)["text/html"])
    dark = dict(re.findall(r"\[stroke='(#\w+)'\]\{stroke:(#\w+)\}", still))
    lines = re.sub(r"<text.*?</text>", "", still)  # the rim of words is the page's colour
    colours = set(re.findall(r'stroke="(#\w+)"', lines))
    assert len(colours) >= 3
    for colour in colours:
        seen = dark[colour] if page == "#111111" else colour
        light, low = sorted((_luminance(seen), _luminance(page)), reverse=True)
        assert (light + 0.05) / (low + 0.05) >= 3.0  # WCAG 2.2, 1.4.11


def _luminance(colour):
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
