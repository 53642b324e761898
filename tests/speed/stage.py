"""How smoothly the stage moves and how soon it follows, in headless Chromium: `python tests/speed/stage.py`.

All is measured in the page. A frame counts only if the disc's transform changed. A few minutes, nothing else running.
"""

import statistics
import sys
import tempfile
from contextlib import contextmanager
from pathlib import Path
from shutil import which

import nbformat
from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))  # the tests are no installed package

from cyclokit import Drive
from cyclokit.view import stage
from tests.conftest import _open_lessons

STORY = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
HUNDRED = Drive(pins=100, pin_circle_radius=42.0, roller_radius=1.0, eccentricity=0.3)
SHOW = ("rollers", "disc", "second disc", "crank", "contacts", "normals", "marked lobe", "angles")
SECONDS = 5
TURNS = (100, 1000)

# Frames a second in which the disc's transform changed
FRAMES = """seconds => new Promise(done => {
    const disc = document.querySelector('.cyclokit-stage [data-part="disc"]');
    let changed = 0, before = disc.getAttribute("transform");
    const start = performance.now();
    const look = now => {
        const here = disc.getAttribute("transform");
        if (here !== before) changed += 1;
        before = here;
        if (now - start < 1000 * seconds) requestAnimationFrame(look);
        else done(1000 * changed / (now - start));
    };
    requestAnimationFrame(look);
})"""

# Pictures a second that an inline figure reaches while its slider is pushed as fast as it follows
PICTURES = """async seconds => {
    const area = document.querySelector(".widget-output");
    const handle = document.querySelector(".widget-interact .noUi-handle");
    const picture = () => area.querySelector("img")?.src;
    const start = performance.now();
    let seen = 0;
    while (performance.now() - start < 1000 * seconds) {
        const before = picture();
        handle.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowRight", bubbles: true}));
        const waited = performance.now();
        while ((picture() === before || !picture()) && performance.now() - waited < 2000) {
            await new Promise(requestAnimationFrame);
        }
        seen += 1;
    }
    return 1000 * seen / (performance.now() - start);
}"""

# Milliseconds from a movement of the eccentricity's slider to the first frame with the new outline in the page
DELAYS = """async times => {
    const slider = [...document.querySelectorAll("[data-cyclokit-panel] input[type=range]")].find(
        one => one.getAttribute("aria-label").includes("eccentricity"));
    const outline = () => document.querySelector('[data-cyclokit-panel] [data-part="disc"] path').getAttribute("d");
    const delays = [];
    for (let k = 0; k < times; k += 1) {
        const before = outline();
        const start = performance.now();
        if (k % 40 < 20) slider.stepUp(); else slider.stepDown();
        slider.dispatchEvent(new Event("input"));
        while (outline() === before && performance.now() - start < 2000) await new Promise(requestAnimationFrame);
        delays.push(performance.now() - start);
        await new Promise(then => setTimeout(then, 60));
    }
    return delays;
}"""

# The frame clock in our hand, so that a thousand crank turns don't take a thousand seconds
CLOCK = """() => {
    let waiting = new Map(), count = 0, now = 0;
    window.requestAnimationFrame = then => { waiting.set(++count, then); return count; };
    window.cancelAnimationFrame = number => waiting.delete(number);
    window.tick = (frames, by) => {
        for (let k = 0; k < frames; k += 1) {
            const all = [...waiting.values()];
            waiting = new Map();
            now += by;
            for (const then of all) then(now);
        }
    };
}"""

SOURCES = (
    """import matplotlib
import numpy as np
from ipywidgets import interact
from matplotlib import pyplot as plt
from cyclokit import Drive
from cyclokit.geometry import motion, outline
from cyclokit.view import panels, stage
%matplotlib inline
story = Drive(20, 42.0, 5.0, 1.4)""",
    f"stage.turning_drive(story, show={SHOW})",
    """edge = outline.polygon(story, 0.025)
def draw(degrees):
    fig, ax = plt.subplots()
    for k in (0, np.pi):
        centre, angle = motion.disc_pose(story, np.radians(degrees) + k)
        ax.plot(*(centre + motion.turned(edge, angle)).T)
    for x, y in motion.pins(story):
        ax.add_patch(plt.Circle((x, y), 5.0, fill=False))
    contacts = motion.contacts(story, np.radians(degrees))
    ax.plot(*contacts.points.T, "k.")
    point = motion.pitch_point(story, np.radians(degrees))
    for contact in contacts.points:
        ax.plot(*np.array([contact, point]).T, "k", linewidth=0.5)
    ax.set_aspect("equal")
    plt.show()
_ = interact(draw, degrees=(0, 3600))""",
    "panels.four_numbers(story)",
)


def saved(browser, drive, **options):
    """A saved page of a playing stage."""
    page = browser.new_context(viewport={"width": 900, "height": 900}, **options).new_page()
    with tempfile.TemporaryDirectory() as place:
        stage.turning_drive(drive, show=SHOW).save(Path(place) / "drive.html")
        size = (Path(place) / "drive.html").stat().st_size
        page.goto((Path(place) / "drive.html").as_uri())
    page.locator("figure svg").wait_for()
    return page, size


def frames(browser, drive, slower):
    """Frames a second of a saved page with the processor so many times slower."""
    page, _ = saved(browser, drive)
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slower})
    page.wait_for_timeout(500)
    rate = page.evaluate(FRAMES, SECONDS)
    page.context.close()
    return rate


def heaps(browser):
    """Bytes of the page's heap after so many crank turns, rubbish collected."""
    page, _ = saved(browser, STORY, reduced_motion="reduce")
    page.evaluate(CLOCK)
    page.get_by_role("button", name="Play", exact=True).click()
    tools = page.context.new_cdp_session(page)
    done, sizes = 0, []
    for turns in TURNS:
        while done < turns:
            page.evaluate("window.tick(1800, 1000 / 30)")  # 2 degrees a frame: ten crank turns
            done += 10
        tools.send("HeapProfiler.collectGarbage")
        sizes.append(tools.send("Runtime.getHeapUsage")["usedSize"])
    page.context.close()
    return sizes


@contextmanager
def lab_page(browser):
    """The benchmark's notebook, run in JupyterLab."""
    with tempfile.TemporaryDirectory() as home, _open_lessons(Path(home)) as lab:
        cells = [nbformat.v4.new_code_cell(source) for source in SOURCES]
        kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
        notebook = nbformat.v4.new_notebook(cells=cells, metadata=kernel)
        nbformat.write(notebook, lab.folder / "bench.ipynb")
        page = browser.new_context(viewport={"width": 1300, "height": 900}).new_page()
        page.goto(lab.of("/lab/tree/bench.ipynb?reset"))
        page.locator(".jp-NotebookPanel .jp-Cell").first.wait_for()
        page.locator("#jp-bottom-panel", has_text="Idle").wait_for(timeout=60_000)
        page.get_by_role("menuitem", name="Run", exact=True).first.click()
        page.locator('.lm-Menu-item[data-command="runmenu:run-all"]').click()
        page.locator("[data-cyclokit-panel] input").first.wait_for(timeout=60_000)
        page.locator(".widget-output img").wait_for()
        page.wait_for_timeout(2000)
        yield page
        page.context.close()


def main():
    """Print each figure with its target."""
    with sync_playwright() as playwright:
        chromium = which("chromium") or which("google-chrome")
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        print("frames a second in a saved page, two discs, contacts and normals")
        for drive, slower, target in ((STORY, 1, 60), (STORY, 4, 50), (HUNDRED, 1, 50)):
            rate = frames(browser, drive, slower)
            print(f"  {drive.pins:3} pins, processor slowed {slower} times: {rate:5.1f} (target: at least {target})")
        early, late = heaps(browser)
        print(
            f"heap after {TURNS[0]} and {TURNS[1]} crank turns: {early / 1e6:.2f} and {late / 1e6:.2f} MB, "
            f"{late / early - 1:+.1%} (target: within 5 %)"
        )
        for drive in (STORY, HUNDRED):
            page, size = saved(browser, drive)
            page.context.close()
            print(f"saved page, {drive.pins} pins: {size / 1000:.0f} kB (target: under 150 for 20 pins)")
        with lab_page(browser) as page:
            ours = page.evaluate(FRAMES, SECONDS)
            while page.get_by_role("button", name="Pause", exact=True).count():
                page.get_by_role("button", name="Pause", exact=True).first.click()
            theirs = page.evaluate(PICTURES, SECONDS)
            print(
                f"in JupyterLab: stage {ours:.1f} frames a second, interact with an inline figure {theirs:.1f}: "
                f"{ours / theirs:.1f} times (target: at least 5)"
            )
            delays = sorted(page.evaluate(DELAYS, 200))
            print(
                f"slider to picture: median {statistics.median(delays):.0f} ms (target: at most 30), "
                f"95th percentile {delays[int(0.95 * len(delays))]:.0f} ms (target: at most 60)"
            )
        browser.close()


if __name__ == "__main__":
    main()
