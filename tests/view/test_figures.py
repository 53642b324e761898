"""Still pictures: named, told apart without colour, readable on a light and a dark page.

- Contrast: Web Content Accessibility Guidelines (WCAG) 2.2, W3C, 2023, criteria 1.4.3 (words, 4.5 : 1) and
  1.4.11 (lines, 3 : 1).
- SVG: Scalable Vector Graphics (SVG) 1.1 (Second Edition), W3C, 2011.
"""

import html
import io
import math
import os
import re
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote
from xml.etree import ElementTree

import matplotlib
import nbformat
import numpy as np
import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output
from matplotlib import image, rc_context
from matplotlib.patches import Circle
from matplotlib.text import Annotation
from shapely import Point, Polygon
from traitlets.config import Config

from cyclokit import Drive
from cyclokit.geometry import motion, rolling
from cyclokit.view import figures, palette

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
WORDS = 'The story\'s drive: "twenty" rollers & a disc with <19> lobes.'
SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
ROOT = Path(__file__).resolve().parents[2]


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
    """What `show` puts into the notebook for the story's drive."""
    return _shown(figures.drive_picture(STORY))


def _shown(ax):
    with capture_output() as captured:
        assert figures.show(ax, WORDS) is None
    assert captured.stdout == captured.stderr == ""
    (output,) = captured.outputs
    return output.data


def _svg(page):
    """The picture inside a shown figure, as text."""
    return unquote(html.unescape(re.search(r'src="data:image/svg\+xml,([^"]*)"', page)[1]))


def _full():
    """A figure with all that a figure has: parts, curves, dots, words and a legend of Matplotlib's own making."""
    ax = figures.curve(SQUARE, "a square", ax=figures.parts(STORY))
    figures.circles(SQUARE, 3.0, "circles", ax=ax, thing="centre path")
    figures.dots(SQUARE, ["0.12345", *"bcd"], ax=ax)
    ax.legend(title="what is what", framealpha=1.0)
    return ax


# showing


def test_a_figure_is_a_picture_with_its_alt_text(shown):
    (alt,) = re.findall(r'<img alt="([^"]*)"', shown["text/html"])
    assert html.unescape(alt) == WORDS


def test_under_it_stand_the_same_words_as_a_caption(shown):
    (caption,) = re.findall(r"<figcaption><em>(.*)</em></figcaption>", shown["text/html"])
    assert html.unescape(caption) == WORDS
    assert shown["text/plain"] == WORDS  # where no picture can be shown


def test_two_figures_stand_beside_each_other_each_with_its_words(notebook):
    other = "A square, whose corners are a millimetre apart."
    with capture_output() as captured:
        figures.show_both(figures.drive_picture(STORY), WORDS, figures.curve(SQUARE, "a square"), other)
    (output,) = captured.outputs
    page = output.data["text/html"]
    for within in (r'<img alt="([^"]*)"', r"<figcaption><em>(.*?)</em></figcaption>"):
        assert [html.unescape(words) for words in re.findall(within, page)] == [WORDS, other]
    assert "flex-wrap:wrap" in page
    assert output.data["text/plain"] == f"{WORDS} {other}"


def test_words_are_words(shown):
    picture = ElementTree.fromstring(_svg(shown["text/html"]))
    texts = {"".join(text.itertext()) for text in picture.iter("{http://www.w3.org/2000/svg}text")}
    assert {"x [mm]", "y [mm]", "20"} <= texts


def test_the_picture_holds_no_version_of_what_drew_it(shown):
    svg = _svg(shown["text/html"])
    assert matplotlib.__version__ not in svg
    assert not re.search(r"<metadata|<!--|<\?xml|\bhttps://", svg)


def test_the_words_along_an_axis_keep_their_room_where_equal_scales_change_its_ticks(notebook):
    around = np.linspace(-0.42, 0.42, 1201)
    ax = None
    for arm in (14, 10, 6):
        ax = figures.curve(rolling.epitrochoid(30, 10, arm, around), f"arm {arm} mm", ax=ax)
    (foot,) = re.findall(r"rotate\(-90 ([-\d.]+)", _svg(_shown(ax)["text/html"]))
    assert float(foot) > 11  # points from the left edge: letters of 12 points stand 11.2 above their foot


@pytest.fixture(scope="module")
def drawn_elsewhere():
    """What two processes draw at once, and what is left of it there: whether pyplot is loaded, and a colour of its."""
    program = (
        "import sys; from cyclokit import Drive; from cyclokit.view import figures; "
        "svg = figures.as_svg(figures.parts(Drive(20, 42.0, 5.0, 1.4)).figure); import matplotlib; "
        "print('matplotlib.pyplot' in sys.modules, matplotlib.rcParams['text.color']); print(svg)"
    )
    running = [
        subprocess.Popen(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": start},
            stdout=subprocess.PIPE,
            text=True,
        )
        for start in ("1", "2")
    ]
    said = [process.communicate()[0].partition("\n") for process in running]
    assert [process.returncode for process in running] == [0, 0]
    return [(left, drawn) for left, _, drawn in said]


def test_the_same_figure_is_the_same_picture_whatever_process_draws_it(drawn_elsewhere):
    (_, one), (_, other) = drawn_elsewhere
    assert one == other
    assert one.startswith("<svg")


def test_a_figure_stays_small(shown):
    assert len(shown["text/html"]) < 45_000  # bytes: a lesson of 500 kB holds half a dozen beside its stages


# as text: the same picture in fewer letters


def _numbers(svg):
    """All numbers inside tags, in order; words between tags aside."""
    return [float(number) for tag in re.findall(r"<[^>]+>", svg) for number in re.findall(r"-?\d+(?:\.\d+)?", tag)]


def _as_matplotlib_writes_it(figure):
    raw = io.StringIO()
    with rc_context(figures.SVG):
        figure.savefig(raw, format="svg", transparent=True, metadata=figures.UNTOLD)
    return raw.getvalue()


def test_rounding_moves_nothing_that_can_be_seen():
    svg, again = figures.as_svg(_full().figure), _full()  # each drawn for the first time: layouts settle later
    again.get_legend().set_frame_on(False)
    raw = _as_matplotlib_writes_it(again.figure)
    bare = re.sub(r"@media.*?(?=</style>)", "", svg)
    turned = re.sub(r'transform="rotate\(-0 [^)]*\)"', "", raw[raw.index("<svg") :])  # by nothing: left out
    before, after = _numbers(turned), _numbers(bare)
    assert len(before) == len(after) > 1000
    assert np.abs(np.subtract(before, after)).max() <= 0.005 + 1e-9  # points: half the last digit written
    assert len(svg) < 0.75 * len(raw)


def test_words_are_not_rounded():
    assert ">0.12345<" in figures.as_svg(_full().figure)


# colours of both pages


def _rules(svg):
    """What the SVG says each colour becomes on a dark page: (fill or stroke, colour) -> colour."""
    rules = re.search(r"@media\(prefers-color-scheme:dark\)\{svg\{fill:(#\w{6})\}(.*)\}</style>", svg)
    pairs = re.findall(r'\[style\*="(fill|stroke): (#\w{6})"\]\{\1:(#\w{6})!important\}', rules[2])
    return {(kind, light): dark for kind, light, dark in pairs} | {("fill", None): rules[1]}


def test_every_colour_has_its_pair_and_stands_out_from_either_page():
    svg = figures.as_svg(_full().figure)
    rules = _rules(svg)
    seen = set()
    for element in ElementTree.fromstring(svg).iter():
        style, tag = element.get("style", ""), element.tag.rpartition("}")[2]
        for kind in ("fill", "stroke"):
            found = re.search(rf"(?:^|; ){kind}: (#\w{{6}})", style)
            if found and f"{kind}-opacity" not in style:  # the grid and fillings are faint, and carry nothing alone
                least = 4.5 if tag == "text" else 3.0  # WCAG 2.2: 1.4.3, 1.4.11
                assert _contrast(found[1], "#ffffff") >= least
                assert _contrast(rules[kind, found[1]], "#111111") >= least
                seen.add(found[1])
    assert len(seen) >= 6
    assert rules["fill", None] == palette.WORDS.dark  # of what names no colour, and is black


def test_a_legend_has_no_box_that_stays_white():
    svg = figures.as_svg(_full().figure)
    assert "what is what" in svg
    assert "#ffffff" not in svg


SAYS_A_SCHEME = "<style>:root {{ color-scheme: {0} }} body {{ background: {1} }}</style>"  # JupyterLab and our pages
SAYS_A_THEME = "<style>body {{ background: {1} }}</style><body data-jp-theme-light={2}>"  # nbconvert's pages


@pytest.mark.parametrize("ground", [SAYS_A_SCHEME, SAYS_A_THEME])
@pytest.mark.parametrize("system", ["light", "dark"])
@pytest.mark.parametrize("scheme, page", [("light", "#ffffff"), ("dark", "#111111"), ("dark", "#263238")])
def test_a_figure_can_be_read_on_the_page_as_it_is_seen(notebook, open_page, scheme, page, system, ground):
    ax = figures.plane("a long label under it", "y")
    ax.plot([0, 1], [0, 1], color="black", linestyle="none", marker="s", markersize=30)  # a reader's own, in black
    ground = ground.format(scheme, page, str(scheme == "light").lower())
    tab = open_page(ground + _shown(ax)["text/html"], color_scheme=system)
    tab.wait_for_function("document.querySelector('img').complete")
    png = io.BytesIO(tab.locator("img").screenshot())
    pixels = np.round(255 * image.imread(png, format="png")[..., :3]).astype(int)
    height, width, _ = pixels.shape
    corners = pixels[[0, 0, -1, -1], [0, -1, 0, -1]]
    assert (corners == _channels(page)).all()  # the page shows through
    label = pixels[int(0.94 * height) :, int(0.35 * width) : int(0.7 * width)].reshape(-1, 3)
    marker = pixels[int(0.1 * height) : int(0.9 * height), int(0.15 * width) : int(0.9 * width)].reshape(-1, 3)
    for part, least in ((label, 50), (marker, 500)):  # pixels of letters, of the markers
        far = [colour for colour in np.unique(part, axis=0) if _contrast(colour, page) >= 4.5]
        assert sum((part == colour).all(axis=1).sum() for colour in far) > least


def _channels(colour):
    return np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)])


def _contrast(one, other):
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour):
    """Relative luminance of #rrggbb, or of three channels from 0 to 255, as WCAG 2.2 defines it."""
    channels = _channels(colour) if isinstance(colour, str) else np.array(colour)
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels / 255]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


# in nbval's eyes


FIGURE = "figures.show(figures.curve(np.eye(2), 'a line'), 'A short line from one axis to the other, in blue.')"
CELLS = {  # what a cell runs, and how its stored output is changed before nbval compares
    "another Matplotlib": (FIGURE, r"data:image/svg\+xml,[^\"]*", "data:image/svg+xml,%3Csvg/%3E"),
    "another alt text": (FIGURE, 'alt="A short line', 'alt="A long line'),
    "another caption": (FIGURE, "<em>A short line", "<em>A long line"),
    "another stage": ("stage.rolling_on_line(10)", r"(svg\+xml,.{40}).{8}", r"\1AAAAAAAA"),
    "nothing changed": (FIGURE, "$^", ""),
}


@pytest.mark.filterwarnings("ignore:.*:DeprecationWarning")  # of the packages that run kernels
def test_nbval_compares_a_figures_words_and_not_its_picture_but_all_of_a_stage(notebook, tmp_path):
    shell, imports = InteractiveShell.instance(), "import numpy as np\nfrom cyclokit.view import figures, stage"
    cells = [nbformat.v4.new_code_cell(imports)]
    for source, pattern, new in CELLS.values():
        with capture_output() as captured:
            done = shell.run_cell(f"{imports}\n{source}")
        data = captured.outputs[0].data if captured.outputs else shell.display_formatter.format(done.result)[0]
        changed = re.sub(pattern, new, data["text/html"])
        assert (changed == data["text/html"]) == (pattern == "$^")
        stored = nbformat.v4.new_output("display_data", {**data, "text/html": changed})
        cells.append(nbformat.v4.new_code_cell(source, execution_count=len(cells), outputs=[stored]))
    path = tmp_path / "lessons" / "deep" / "one.ipynb"
    path.parent.mkdir(parents=True)
    nbformat.write(nbformat.v4.new_notebook(cells=cells), path)
    pytest_alone = [sys.executable, "-m", "pytest", "--nbval", "-p", "no:cacheprovider", "-v", path.name]
    done = subprocess.run(pytest_alone, cwd=path.parent, capture_output=True, text=True)
    results = re.findall(r"Cell \d+ (PASSED|FAILED)", done.stdout)
    assert results == ["PASSED", "PASSED", "FAILED", "FAILED", "FAILED", "PASSED"], done.stdout


def test_the_readmes_picture_has_the_parts_as_they_are_drawn_now():
    kept = (ROOT / "lessons" / "pictures" / "parts.svg").read_text(encoding="utf-8")
    now = figures.as_svg(figures.parts(STORY).figure)
    assert re.findall(r">([^<>]+)</text>", kept) == re.findall(r">([^<>]+)</text>", now)


def test_figures_leave_no_state_behind(drawn_elsewhere):
    assert [left for left, _ in drawn_elsewhere] == ["False black", "False black"]


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


@pytest.mark.parametrize("thing", palette.THINGS)
def test_a_thing_has_its_colour_whatever_was_drawn_before(thing):
    for before in range(3):
        ax = figures.plane()
        for _ in range(before):
            figures.curve(SQUARE, "before", ax=ax)
        figures.curve(SQUARE, "it", ax=ax, thing=thing)
        assert ax.get_lines()[-1].get_color() == palette.THINGS[thing].light


def test_a_thing_that_nobody_knows_is_refused_in_words():
    with pytest.raises(ValueError, match="thing is 'wheel', but must be one of disc, roller"):
        figures.curve(SQUARE, "a wheel", thing="wheel")


@pytest.mark.parametrize("letters", [1, 12, 16, 20, 26, 32])
@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_a_legend_stays_inside_the_picture(letters, count):
    ax = figures.plane("x", "a long label that stands along the y axis [mm/s]", equal=False)
    for _ in range(count):
        figures.curve(SQUARE, "m" * (letters // 2) + "i" * (letters - letters // 2), ax=ax)
    figure = ax.figure
    figure.draw_without_rendering()
    whole = figure.bbox
    for box in (ax.get_legend().get_window_extent(), ax.yaxis.label.get_window_extent()):
        assert whole.x0 <= box.x0 and box.x1 <= whole.x1 and whole.y0 <= box.y0 and box.y1 <= whole.y1
    assert ax.get_window_extent().width > 0.7 * whole.width  # nor does it push the axes together


def test_circles_are_round_and_where_they_should_be():
    ax = figures.circles(motion.pins(STORY), 5.0, "rollers", thing="roller")
    (line,) = ax.get_lines()
    points = line.get_xydata()
    pieces = np.split(points, np.flatnonzero(np.isnan(points[:, 0])))
    rings = [piece[~np.isnan(piece[:, 0])] for piece in pieces if len(piece) > 1]
    assert len(rings) == STORY.pins
    for ring, pin in zip(rings, motion.pins(STORY), strict=True):
        assert np.hypot(*(ring - pin).T) == pytest.approx(5.0, abs=1e-9)
        # a thousandth of the radius: how far a chord of 72 may leave its circle (its sagitta)
        assert Polygon(ring).exterior.distance(Point(pin)) == pytest.approx(5.0, rel=1e-3)
    assert len(figures.circles([1.0, 2.0], 3.0, "one").get_lines()[0].get_xydata()) == 74


def test_points_have_their_words_beside_them():
    ax = figures.dots(SQUARE, list("abcd"))
    words = {text.get_text(): text.xy for text in ax.texts}
    assert words == {word: tuple(point) for word, point in zip("abcd", SQUARE, strict=True)}


def test_a_word_too_few_is_an_error():
    with pytest.raises(ValueError, match="words are 3, but must be 4"):
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
    names = {text.get_text().replace("\n", " ") for text in ax.texts if isinstance(text, Annotation)}
    assert {"roller on a ring pin", "pin circle", "disc", "root", "tip of a lobe"} <= names


def test_every_arrow_points_at_the_part_it_names():
    ax = figures.parts(STORY)
    at = {text.get_text().replace("\n", " "): np.array(text.xy) for text in ax.texts}
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


def test_words_of_a_figure_can_be_read_on_a_narrow_page_which_does_not_grow_wider(shown, open_page):
    page = open_page(shown["text/html"], viewport={"width": 320, "height": 800})  # a cell's output at 420 pixels
    picture = page.locator("img")
    page.wait_for_function("document.querySelector('img').complete")
    shrunk = picture.bounding_box()["width"] / float(re.search(r"max-width:(\d+)px", shown["text/html"])[1])
    assert 16 * shrunk == pytest.approx(11, abs=0.1)  # pixels of what is 12 points, 16 pixels, on a wide page
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    caption, before = page.locator("figcaption").bounding_box(), picture.bounding_box()["x"]
    picture.evaluate("one => { one.parentElement.scrollLeft = 40; }")
    assert picture.bounding_box()["x"] == pytest.approx(before - 40, abs=1)
    assert page.locator("figcaption").bounding_box() == caption  # its words stay where they are
    page.set_viewport_size({"width": 1100, "height": 800})
    assert picture.bounding_box()["width"] == pytest.approx(96 * figures.WIDTH, abs=1)
