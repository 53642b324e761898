"""One colour a thing, in figures, stages and maps alike: a pair for a light page and a dark one.

A picture is drawn in the colours of the light page; on a dark one `for_dark` says what each becomes. All lines keep
3 : 1 against either page, and against the see-through filling of a disc on it, and words 4.5 : 1 (WCAG 2.2). Whoever
confuses red and green tells them apart farther than those of Okabe and Ito, which the disc's blue is taken from.
"""

import re
from typing import NamedTuple

import numpy as np

from cyclokit.texts import shown


class Paint(NamedTuple):
    """A thing's colour on a light page and on a dark one, as #rrggbb."""

    light: str
    dark: str


DISC = Paint("#0072b2", "#56b4e9")  # and its outline, its pitch circle
ROLLER = Paint("#c05200", "#f0902c")  # and whatever stands on the ring, or on the output
CRANK = Paint("#005f33", "#3ce8a4")  # and the disc's centre, which it carries
CENTRE_PATH = Paint("#8c1a78", "#ee5fc4")  # and what else is left as a trail
LINE = Paint("#707070", "#d4d4d4")  # what is no part: axes, normals, the pin circle
SECOND_DISC = LINE  # and drawn dashed
FORCE = CENTRE_PATH  # and drawn as arrows
THIRD_DISC = Paint("#6a35d0", "#8f7bff")
WORDS = Paint("#1f1f1f", "#f0f0f0")
PAGE = Paint("#ffffff", "#111111")

THINGS = {
    "disc": DISC,
    "roller": ROLLER,
    "crank": CRANK,
    "centre path": CENTRE_PATH,
    "line": LINE,
    "second disc": SECOND_DISC,
    "third disc": THIRD_DISC,
}
FILLED = 0.22  # how much of its colour a filling has: the page shows through
ENOUGH = 4.5  # contrast that words need, and lines don't lack (WCAG 2.2, 1.4.3)
ON_DARK = {paint.light: paint.dark for paint in (*THINGS.values(), WORDS, PAGE)} | {"#000000": WORDS.dark}


def for_dark(colour: str) -> str:
    """What a colour becomes on a dark page: its pair, or the colour itself made as light as it needs to be.

    Examples
    --------
    >>> for_dark("#0072b2"), for_dark("#0000ff"), for_dark("#ff8888")
    ('#56b4e9', '#6969ff', '#ff8888')
    """
    if not isinstance(colour, str) or not re.fullmatch("#[0-9a-fA-F]{6}", colour):
        raise ValueError(f"colour is {shown(colour)}, but must be red, green and blue as '#0072b2': write it so.")
    colour = colour.lower()
    if colour in ON_DARK:
        return ON_DARK[colour]
    channels = _channels(colour)
    lighter = (channels + share * (255 - channels) for share in np.linspace(0, 1, 101))
    enough = next(each for each in lighter if _contrast(each, _channels(PAGE.dark)) >= ENOUGH)
    return "#" + "".join(f"{round(channel):02x}" for channel in enough)


def _contrast(one: np.ndarray, other: np.ndarray) -> float:
    """Contrast of two colours, 1 to 21, each red, green and blue from 0 to 255 (WCAG 2.2, "contrast ratio")."""
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _luminance(channels: np.ndarray) -> float:
    """Relative luminance, as WCAG 2.2 defines it."""
    share = channels / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def _channels(colour: str) -> np.ndarray:
    return np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)], dtype=float)
