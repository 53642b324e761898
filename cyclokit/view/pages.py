"""What moving pictures leave in a page: a script, a still with its words, facts that a script reads."""

import base64
import html
import json
from importlib.resources import files
from typing import Any

from cyclokit.texts import in_html


def script(name: str) -> str:
    """A script of this room, and before it what every moving picture shares."""
    room = files("cyclokit.view")
    return "".join((room / file).read_text(encoding="utf-8") for file in ("page.js", name))


def facts(told: dict[str, Any]) -> str:
    """Facts as an attribute of an SVG, for `page.js` to read."""
    text = json.dumps(told, separators=(",", ":"), ensure_ascii=False)
    return f"data-facts='{html.escape(text, quote=False).replace(chr(39), '&#39;')}'"


def still(svg: str, words: str) -> str:
    """A picture that needs no script, with its alt text, and the same words as a caption."""
    said, data = in_html(words), base64.b64encode(svg.encode()).decode()
    return (
        f'<img alt="{said}" style="width:100%;max-width:34em;max-height:75vh" src="data:image/svg+xml;base64,{data}">'
        f"<figcaption>{said}</figcaption>"
    )
