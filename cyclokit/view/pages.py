"""What moving pictures leave in a page: a script, a still with its words, facts that a script reads."""

import html
import json
from importlib.resources import files
from typing import Any
from urllib.parse import quote

from cyclokit.arguments import checked_choice
from cyclokit.signatures import read
from cyclokit.texts import in_html
from cyclokit.view import palette

PLAIN = " !$&'()*+,-./:;=?@[]_~|{}"  # what may stand in a data address as it is: shorter than base64 by a fifth


# A still follows a light or a dark page by itself; the script of a moving picture takes this out, and does it better.
DARK = "".join(
    f"[{what}='{light}']{{{what}:{dark}}}" for light, dark in palette.ON_DARK.items() for what in ("stroke", "fill")
)


def script(*names: str) -> str:
    """Scripts of this room, and before them what every moving picture shares."""
    room = files("cyclokit.view")
    there = tuple(sorted(file.name for file in room.iterdir() if file.name.endswith(".js")))
    for name in names:
        checked_choice("names", name, there)
    return "".join((room / file).read_text(encoding="utf-8") for file in ("page.js", *names))


@read
def facts(told: dict[str, Any]) -> str:
    """Facts as an attribute of an SVG, for `page.js` to read."""
    text = json.dumps(told, separators=(",", ":"), ensure_ascii=False)
    return f"data-facts='{html.escape(text, quote=False).replace(chr(39), '&#39;')}'"


@read
def still(svg: str, words: str) -> str:
    """A picture that needs no script, with its alt text, and the same words as a caption."""
    style = f"><style>@media(prefers-color-scheme:dark){{{DARK}}}</style>"
    said, data = in_html(words), html.escape(quote(svg.replace(">", style, 1), safe=PLAIN))
    return (
        f'<img alt="{said}" style="width:100%;max-width:544px;max-height:75vh" src="data:image/svg+xml,{data}">'
        f"<figcaption>{said}</figcaption>"
    )
