"""A browser whose pages have no network, and which note what they say and ask for."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect, sync_playwright

QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run", "--disable-sync")
WAIT = 60_000  # ms: for what takes a second or two on an idle machine, and a whole lesson that is run ten
WIDE = {"width": 900, "height": 800}  # pixels
expect.set_options(timeout=WAIT)


@pytest.fixture(scope="module")
def browser(chromium):
    """Chromium, running."""
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=chromium, args=QUIET)
        yield running
        running.close()


@pytest.fixture(scope="module")
def windows(browser):
    """Empty windows that tests have left: to fill one again takes a fifth of the time of a new one."""
    return []


@pytest.fixture
def open_page(browser, windows, request):
    """Open a page, a text or a file, with the network cut off; it notes its complaints and what it asked for.

    All that a window keeps from one page to the next is set anew: its size, its colours, its medium, how much may
    move, where the mouse is. With options of other kinds it is a window of its own.
    """
    opened, failed = [], request.session.testsfailed

    def open_it(text_or_file, viewport=WIDE, color_scheme="light", reduced_motion="no-preference", **own):
        page = windows.pop() if windows and not own else noting(browser.new_page(offline=True, **own))
        opened.append((page, own))
        page.set_viewport_size(viewport)
        page.emulate_media(media="null", color_scheme=color_scheme, reduced_motion=reduced_motion)
        page.complaints.clear()
        page.asked.clear()
        if isinstance(text_or_file, str):
            page.set_content(f"<!doctype html><html lang='en'><title>Page</title><main>{text_or_file}</main></html>")
        else:
            page.goto(text_or_file.as_uri(), wait_until="domcontentloaded")
        return page

    yield open_it
    for page, own in opened:
        if own or request.session.testsfailed > failed:  # who knows what is left of it
            page.close()
        else:
            page.goto("about:blank")
            page.mouse.move(0, 0)
            windows.append(page)


def noting(page):
    """The page, with a list of what it complains of and of what it asks for."""
    page.set_default_timeout(WAIT)
    page.complaints, page.asked = [], []
    page.on("console", lambda said: page.complaints.append(said.text) if said.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("websocket", lambda socket: page.asked.append(socket.url))
    return page


@pytest.fixture
def serious():
    """What axe finds within a part of a page that is serious or worse, by all rules, by some alone, or by the rest."""

    def look(page, selector, only=(), without=()):
        options = {"resultTypes": ["violations"], "rules": {rule: {"enabled": False} for rule in without}}
        options |= {"runOnly": list(only)} if only else {}
        if not page.evaluate("'axe' in window"):
            page.evaluate(Axe().axe_script)
        found = page.evaluate("async (asked) => (await axe.run(...asked)).violations", [selector, options])
        return [
            (finding["id"], finding["help"], [node["html"][:200] for node in finding["nodes"]])
            for finding in found
            if finding["impact"] in {"serious", "critical"}
        ]

    return look


@pytest.fixture
def angles():
    """The angles that a stage tells in degrees, by name."""

    def read(stage):
        said = stage.locator("output").inner_text().replace("\u2212", "-")  # a minus sign
        return {name: float(value) for name, value in re.findall(r"(\w+) (-?[\d.]+)°", said)}

    return read
