"""Texts that somebody else wrote, made fit for the place where they are shown."""

import html
from collections.abc import Iterable, Sequence

# Joiners, without which some scripts can't be written, and spaces that don't break: harmless, though not "printable"
HARMLESS = "\u200c\u200d\u00a0\u202f\u3000"
LEFT = " style='text-align:left'"
LONGEST = 80  # characters of an object in a message


def plain(text: object) -> str:
    r"""A text on one line, for a terminal or a message: what would act there instead of being read is spelled out.

    That is control characters, line breaks, marks that turn the direction of writing, and halves of characters: each
    as Python spells it.

    Examples
    --------
    >>> print(plain("623\x1b[2J\n"))
    623\x1b[2J\n
    """
    return "".join(_spelled(character) for character in str(text))


def in_html(text: object) -> str:
    """A text for HTML or SVG, between tags or in an attribute with quotes round it: it is read there, and does nothing.

    As `plain` gives it, its angle brackets, quotes and ampersands as entities.

    Examples
    --------
    >>> in_html("<b>623</b>")
    '&lt;b&gt;623&lt;/b&gt;'
    """
    return html.escape(plain(text), quote=True)


def in_figure(text: object) -> str:
    """A text for a figure of Matplotlib's: its lines as `plain` gives them, and no dollar begins a formula."""
    return "\n".join(map(plain, str(text).split("\n"))).replace("$", r"\$")


def shown(value: object) -> str:
    """Any object in a message: as Python writes it, on one line, cut short beyond 80 characters.

    Examples
    --------
    >>> shown(None), shown("5")
    ('None', "'5'")
    """
    try:
        text = plain(" ".join(repr(value).split()))
    except Exception:  # a repr may raise anything, and that of a number with 5000 digits does
        text = f"something of type {plain(type(value).__name__)}"
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 3]}..."


def in_table(caption: str, columns: Sequence[str], rows: Iterable[Sequence[object]], left: Sequence[int] = ()) -> str:
    """A table of HTML: each row's first cell heads it; what `in_html` makes safe must be so already.

    The cells of the columns in `left` begin at the left; the first one's always do.

    Examples
    --------
    >>> in_table("Bearings", ["name", "bore"], [["623", 3]])[:33]
    '<table><caption>Bearings</caption'
    """
    head = "".join(f"<th scope='col'>{column}</th>" for column in columns)
    body = ""
    for first, *others in rows:
        cells = (f"<td{LEFT if number in left else ''}>{cell}</td>" for number, cell in enumerate(others, 1))
        body += f"<tr><th scope='row'{LEFT}>{first}</th>{''.join(cells)}</tr>"
    return f"<table><caption>{caption}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _spelled(character: str) -> str:
    if character.isprintable() or character in HARMLESS:
        return character
    return character.encode("unicode_escape").decode("ascii")
