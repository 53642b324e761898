"""Still pictures: named, told apart without colour, readable on a light and a dark page.

- Colours: M. Okabe and K. Ito, "Color Universal Design", 2008 (the palette, from memory).
- Contrast: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criteria 1.4.3 (words, 4.5 : 1) and
  1.4.11 (lines, 3 : 1).
- PNG and its chunks: Portable Network Graphics Specification (Third Edition), W3C, 2025.
"""

import base64
import html
import io
import math
import re
import subprocess
import sys

import numpy as np
import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from matplotlib import image
from matplotlib.colors import to_hex
from matplotlib.patches import Circle
from matplotlib.patheffects import withStroke
from matplotlib.text import Annotation, Text
from shapely import Point, Polygon
from traitlets.config import Config

from cyclokit import Drive
from cyclokit.geometry import motion
from cyclokit.view import figures

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
OKABE_ITO = {"#000000", "#E69F00", "#56B4E9", "#009E73", "#F0E442", "#0072B2", "#D55E00", "#CC79A7"}
WORDS = 'The story\'s drive: "twenty" rollers & a disc with <19> lobes.'
SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])


@pytest.fixture
def notebook(tmp_path, monkeypatch):
    """A notebook's shell, which is what shows pictures, and keeps nothing."""
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    config = Config()
    config.HistoryManager.enabled = False
    InteractiveShell.instance(config=config)
    yield
    InteractiveShell.clear_instance()


@pytest.fixture
def shown(notebook):
    """What `show` puts into the notebook for the story's drive: the picture's and the caption's output."""
    ax = figures.drive_picture(STORY)
    with capture_output() as captured:
        assert figures.show(ax, WORDS) is None
    assert captured.stdout == captured.stderr == ""
    return captured.outputs


# showing


def test_a_figure_is_a_picture_with_its_alt_text(shown):
    picture = shown[0]
    assert picture.data["image/png"]
    assert picture.metadata["image/png"]["alt"] == WORDS


def test_under_it_stand_the_same_words_as_a_caption(shown):
    assert len(shown) == 2
    caption = shown[1].data["text/html"]
    assert html.unescape(re.sub(r"<[^>]+>", "", caption)) == WORDS


def _pixels(output):
    return base64.b64decode(output.data["image/png"])


def test_the_page_shows_through_the_figure(shown):
    pixels = image.imread(io.BytesIO(_pixels(shown[0])), format="png")
    assert pixels.shape[2] == 4
    assert (pixels[[0, 0, -1, -1], [0, -1, 0, -1], 3] == 0).all()  # the corners
    assert 0.5 < (pixels[..., 3] == 0).mean() < 0.99  # most of it, and something is drawn


def test_the_picture_holds_no_version_of_what_drew_it(shown):
    # a text chunk with the name and version of the software would change with every release
    assert b"matplotlib" not in _pixels(shown[0]).lower()


def test_the_same_figure_is_the_same_picture(notebook):
    pictures = []
    for _ in range(2):
        with capture_output() as captured:
            figures.show(figures.parts(STORY), WORDS)
        pictures.append(_pixels(captured.outputs[0]))
    assert pictures[0] == pictures[1]


def test_a_figure_stays_small(shown):
    assert len(_pixels(shown[0])) < 150_000  # bytes: a lesson of 1 MB holds half a dozen of them, in base64


def test_figures_leave_no_state_behind():
    program = (
        "import sys; from cyclokit import Drive; from cyclokit.view import figures; "
        "figures.parts(Drive(20, 42.0, 5.0, 1.4)); import matplotlib; "
        "print('matplotlib.pyplot' in sys.modules, matplotlib.rcParams['text.color'])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "black"]


# drawing


@pytest.mark.parametrize(
    "draw",
    [
        lambda ax: figures.curve(SQUARE, "a square", ax=ax),
        lambda ax: figures.dots(SQUARE, list("abcd"), ax=ax),
        lambda ax: figures.drive_picture(STORY, ax=ax),
    ],
    ids=["curve", "dots", "drive"],
)
def test_what_draws_draws_on_the_axes_it_was_given_and_returns_them(draw):
    ax = figures.plane()
    assert draw(ax) is ax
    assert ax.figure.axes == [ax]
    assert draw(None) is not ax


@pytest.mark.parametrize("ax", [figures.plane(), figures.drive_picture(STORY), figures.parts(STORY)])
def test_both_axes_have_a_label_with_its_unit(ax):
    assert ax.get_xlabel() == "x [mm]"
    assert ax.get_ylabel() == "y [mm]"


def test_lengths_have_the_same_scale_both_ways():
    assert figures.plane().get_aspect() == 1.0
    assert figures.plane("t [rad]", "distance [mm]", equal=False).get_aspect() == "auto"


def test_curves_differ_in_colour_and_in_dashes():
    ax = figures.plane()
    for name in "abcde":
        figures.curve(SQUARE, name, ax=ax)
    lines = ax.get_lines()
    assert len({line.get_color() for line in lines}) == 5
    assert len({str(line._dash_pattern) for line in lines}) == 5
    assert [text.get_text() for text in ax.get_legend().get_texts()] == list("abcde")


def test_the_colours_are_those_that_stay_apart_for_everybody():
    assert set(figures.COLOURS) - {figures.INK} <= OKABE_ITO


@pytest.mark.parametrize("colour", [*figures.COLOURS, figures.INK])
@pytest.mark.parametrize("page", ["#ffffff", "#111111"])
def test_lines_stand_out_from_a_light_and_a_dark_page(colour, page):
    assert _contrast(_channels(colour), _channels(page)) >= 3.0  # WCAG 2.2, 1.4.11


def test_every_word_of_a_shown_figure_has_a_rim_that_it_stands_out_from(notebook):
    ax = figures.curve(SQUARE, "a square", ax=figures.parts(STORY))
    with capture_output():
        figures.show(ax, WORDS)
    words = [text for text in ax.figure.findobj(Text) if text.get_text()]
    assert {"x [mm]", "y [mm]", "pin circle", "a square", "20"} <= {text.get_text() for text in words}
    for text in words:
        (rim,) = text.get_path_effects()
        assert isinstance(rim, withStroke)
        around = to_hex(rim._gc["foreground"])
        assert _contrast(_channels(to_hex(text.get_color())), _channels(around)) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("page", ["#ffffff", "#111111", "#263238"])
def test_words_can_be_read_on_the_page_as_it_is_seen(notebook, page):
    ax = figures.plane("a long label under it", "y")
    with capture_output() as captured:
        figures.show(ax, WORDS)
    drawn = image.imread(io.BytesIO(_pixels(captured.outputs[0])), format="png")
    height, width, _ = drawn.shape
    label = drawn[int(0.95 * height) :, int(0.4 * width) : int(0.65 * width)]  # where the label stands
    behind = np.array(_channels(page)) / 255
    seen = label[..., :3] * label[..., 3:] + behind * (1 - label[..., 3:])
    letters = seen[(seen.max(axis=2) < 0.25) & (label[..., 3] > 0.95)]
    assert len(letters) > 50  # pixels: of the letters themselves
    beside = seen[seen.min(axis=2) > 0.9]
    assert len(beside) > 50
    assert _contrast(letters.mean(axis=0) * 255, beside.mean(axis=0) * 255) >= 4.5  # WCAG 2.2, 1.4.3


def _channels(colour):
    return tuple(int(colour[place : place + 2], 16) for place in (1, 3, 5))


def _contrast(one, other):
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(channels):
    """Relative luminance of red, green, blue, each 0 to 255, as WCAG 2.2 defines it."""
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in np.array(channels) / 255]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_points_have_their_words_beside_them():
    ax = figures.dots(SQUARE, list("abcd"))
    words = {text.get_text(): text.xy for text in ax.texts}
    assert words == {word: tuple(point) for word, point in zip("abcd", SQUARE, strict=True)}


def test_a_word_too_few_is_an_error():
    with pytest.raises(ValueError, match="shorter"):
        figures.dots(SQUARE, list("abc"))


@pytest.mark.parametrize("crank", [0.0, 1.0, 40.0])
def test_the_drive_is_drawn_as_it_stands_at_that_crank_angle(crank):
    ax = figures.drive_picture(STORY, crank)
    rollers = [patch for patch in ax.patches if isinstance(patch, Circle)]
    (disc,) = (patch for patch in ax.patches if not isinstance(patch, Circle))
    seen = Polygon(disc.get_xy())
    assert len(rollers) == STORY.pins
    assert {patch.radius for patch in rollers} == {STORY.roller_radius}
    # a disc with evenly spaced lobes has its centroid in its centre: symmetry
    assert (seen.centroid.x, seen.centroid.y) == pytest.approx(
        [1.4 * math.cos(crank), 1.4 * math.sin(crank)], abs=1e-3
    )  # mm: the outline is drawn with 0.02 mm
    for roller in rollers:  # each touches the disc; mm: the outline is drawn within 0.02
        assert seen.exterior.distance(Point(roller.center)) == pytest.approx(5.0, abs=0.021)


def test_the_parts_are_named_in_the_trades_words():
    ax = figures.parts(STORY)
    names = {text.get_text() for text in ax.texts if isinstance(text, Annotation)}
    assert {"roller on a ring pin", "pin circle", "disc", "root", "tip of a lobe"} <= names


def test_every_arrow_points_at_the_part_it_names():
    ax = figures.parts(STORY)
    at = {text.get_text(): np.array(text.xy) for text in ax.texts}
    radius = {name: math.hypot(*point) for name, point in at.items()}
    assert radius["pin circle"] == pytest.approx(42.0)
    assert min(math.dist(at["roller on a ring pin"], pin) for pin in motion.pins(STORY)) <= STORY.roller_radius
    disc = Polygon(next(patch.get_xy() for patch in ax.patches if not isinstance(patch, Circle)))
    for name in ("root", "tip of a lobe"):  # mm: the outline is drawn within 0.02
        assert disc.exterior.distance(Point(at[name])) < 0.1
    assert disc.contains(Point(at["disc"]))
    # a root is nearest to the disc's centre, a tip farthest: 35.6 and 38.4 mm, Rp - r -+ e
    assert math.dist(at["root"], (1.4, 0)) == pytest.approx(35.6, abs=0.1)
    assert math.dist(at["tip of a lobe"], (1.4, 0)) == pytest.approx(38.4, abs=0.1)
