"""What a stage is in Python: traits, words, files, and the same text every time.

- Contrast of 3 : 1 for graphics: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criterion 1.4.11.
- SVG: Scalable Vector Graphics (SVG) 1.1, W3C, 2011. HTML and its data attributes: HTML Living Standard, WHATWG.
"""

import base64
import hashlib
import html
import json
import math
import os
import re
import subprocess
import sys
from xml.etree import ElementTree

import nbformat
import numpy as np
import pytest
from traitlets import TraitError

from cyclokit import Drive
from cyclokit.course.reader.folder import notebooks
from cyclokit.geometry import motion, sweep
from cyclokit.machine.reducer import Reducer
from cyclokit.view import reducer_scene, rolling_scene, scene, stage, svg

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
    return made._repr_mimebundle_()[0]


def still_in(text):
    """The SVG that stands in the page as a picture."""
    return base64.b64decode(re.search(r"data:image/svg\+xml;base64,([^\"]+)", text)[1]).decode()


# traits


def test_another_drive_is_drawn_at_once():
    shown = stage.turning_drive(STORY)
    before = shown._svg
    shown.drive = TWELVE
    assert shown._svg != before
    assert "12 rollers" in bundle(shown)["text/html"]
    shown.drive = STORY
    assert shown._svg == before


def test_what_the_page_says_of_the_drive_is_a_drive_in_python():
    shown = stage.turning_drive(STORY)
    numbers = shown.get_state("drive")["drive"]
    assert numbers == {"pins": 20, "pin_circle_radius": 42.0, "roller_radius": 5.0, "eccentricity": 1.4}
    shown.set_state({"drive": {"pins": 12, "pin_circle_radius": 40.0, "roller_radius": 4.0, "eccentricity": 1.5}})
    assert shown.drive == TWELVE


def test_what_the_page_says_is_read_in_python():
    shown = stage.turning_drive(STORY)
    shown.set_state(
        {"crank": 1.25, "show": ["disc", "contacts"], "frame": "disc", "load": "clockwise", "playing": False}
    )
    assert (shown.crank, shown.show, shown.frame) == (1.25, ("disc", "contacts"), "disc")
    assert (shown.load, shown.playing) == ("clockwise", False)


def test_an_observer_hears_where_the_reader_stopped():
    shown, heard = stage.turning_drive(STORY), []
    shown.observe(lambda change: heard.append(change["new"]), "crank")
    shown.set_state({"crank": 0.5})
    assert heard == [0.5]


@pytest.mark.parametrize(
    ("trait", "value", "words"),
    [
        ("show", ["disc", "gears"], "'gears'.*choose from"),
        ("crank", math.nan, "crank contains nan.*finite"),
        ("crank", math.inf, "crank contains inf.*finite"),
        ("forces", [1.0, -1.0], "from 0 up"),
        ("forces", [[1.0, 2.0]], "one row"),
        ("forces", [], "one row"),
        ("forces", [math.nan], "finite"),
        ("drive", None, "must stay"),
    ],
)
def test_what_cannot_be_shown_is_refused_with_a_reason(trait, value, words):
    shown = stage.turning_drive(STORY)
    before = getattr(shown, trait)
    with pytest.raises(ValueError, match=words):
        setattr(shown, trait, value)
    assert getattr(shown, trait) == before


@pytest.mark.parametrize(
    ("trait", "value"), [("frame", "moon"), ("load", "up"), ("drive", 3), ("playing", "yes"), ("show", "disc")]
)
def test_words_and_things_of_another_kind_are_refused(trait, value):
    shown = stage.turning_drive(STORY)
    with pytest.raises(TraitError):
        setattr(shown, trait, value)


def test_a_stage_cannot_begin_with_what_it_does_not_have():
    with pytest.raises(ValueError, match="'pitch circles'"):
        stage.turning_cut(sweep.cut(STORY, lobes=18, rays=1080), show=["disc", "pitch circles"])


@pytest.mark.parametrize("name", ["line", "reducer"])
def test_a_rolling_circle_has_no_drive_and_a_reducer_no_other(name):
    shown = MADE[name]()
    assert shown.drive is None
    with pytest.raises(ValueError, match="must stay None"):
        shown.drive = STORY


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_a_reducer_has_a_layer_for_each_of_its_discs(discs):
    shown = stage.turning_reducer(Reducer(STORY, discs=discs))
    assert [name for name in shown.layers if name.endswith("disc")] == ["disc", "second disc", "third disc"][:discs]
    assert set(shown.layers) - set(shown.show) == {"witness marks", "marked lobe", "trail"}
    with pytest.raises(ValueError, match="'contacts'"):
        stage.turning_reducer(Reducer(STORY, discs=discs), show=["contacts"])


def test_a_cut_is_cut_anew_for_another_drive():
    shown = stage.turning_cut(sweep.cut(STORY, lobes=18, rays=1080))
    shown.drive = Drive(20, 42.0, 4.0, 1.4)
    fresh = stage.turning_cut(sweep.cut(Drive(20, 42.0, 4.0, 1.4), lobes=18, rays=1080))
    assert shown._svg == fresh._svg


def test_forces_can_be_given_later():
    shown = stage.turning_drive(STORY)
    assert "forces" not in shown.layers
    shown.forces = np.array([0.0, 10.0, 20.0])
    assert "forces" in shown.layers
    shown.show = (*stage.SHOWN, "forces")


def test_a_trochoid_ratio_of_one_has_no_picture():
    with pytest.raises(ValueError, match="trochoid ratio is 1"):
        stage.turning_drive(Drive(20, 42.0, 5.0, 2.1))


# the same text every time


def test_a_stage_leaves_the_same_text_in_every_process():
    program = (
        "import hashlib; from cyclokit import Drive; from cyclokit.view import stage; "
        "d = Drive(20, 42.0, 5.0, 1.4); "
        "p = stage.turning_drive(d), stage.rolling_on_line(10.0), stage.rolling_on_circle(30.0, 10.0, 6.0); "
        "text = ''.join(x._repr_mimebundle_()[0]['text/html'] + repr(x) for x in p); "
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
    assert made.model_id not in text
    assert not re.search(r'\bid="', text + still_in(text))  # two of the same picture may stand in one page


def test_beside_the_twin_stands_the_widget(made):
    assert bundle(made)["application/vnd.jupyter.widget-view+json"]["model_id"] == made.model_id


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


def test_stored_lessons_hold_the_twin_and_no_widget_that_nobody_has():
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
    text = bundle(made)["text/html"] + still_in(bundle(made)["text/html"])
    addresses = set(re.findall(r"\w+://[^\s\"'<>)]+", text))
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
    assert text.partition("\n")[2] == still_in(bundle(made)["text/html"])
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
    lines = stage.SCRIPT.splitlines()
    assert len(lines) <= 420
    assert not re.search(r"^\s*import\b|\bfetch\(|XMLHttpRequest|setInterval|setTimeout|https?:", stage.SCRIPT, re.M)
    assert "</script" not in stage.SCRIPT  # it stands inside a page


@pytest.mark.parametrize("colour", [svg.BLUE, svg.VERMILION, svg.GREEN, svg.PURPLE, svg.GREY])
@pytest.mark.parametrize("page", ["#ffffff", "#111111"])
def test_a_still_stands_out_from_a_light_and_a_dark_page(colour, page):
    light, dark = sorted((_luminance(colour), _luminance(page)), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 3.0  # WCAG 2.2, 1.4.11


def _luminance(colour):
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
