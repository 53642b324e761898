"""Texts that somebody else wrote, made fit for the place where they are shown."""

import html

# Joiners, without which some scripts can't be written, and spaces that don't break: harmless, though not "printable"
HARMLESS = "\u200c\u200d\u00a0\u202f\u3000"
LONGEST = 80  # characters of an object in a message


def plain(text: object) -> str:
    r"""A text on one line, for a terminal or a message: what would act there instead of being read is spelled out.

    Parameters
    ----------
    text : object
        A text, or what has one.

    Returns
    -------
    str
        The same, but for control characters, line breaks, marks that turn the direction of writing, and halves of
        characters: each is spelled as Python spells it.

    Examples
    --------
    >>> print(plain("623\x1b[2J\n"))
    623\x1b[2J\n
    """
    return "".join(_spelled(character) for character in str(text))


def in_html(text: object) -> str:
    """A text for HTML or SVG, between tags or in an attribute with quotes round it: it is read there, and does nothing.

    Parameters
    ----------
    text : object
        A text, or what has one.

    Returns
    -------
    str
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
    """Any object in a message: as Python writes it, on one line, cut short where it is long.

    Parameters
    ----------
    value : object
        Anything that somebody gave for something else.

    Returns
    -------
    str
        At most 80 characters.

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


def _spelled(character: str) -> str:
    if character.isprintable() or character in HARMLESS:
        return character
    return character.encode("unicode_escape").decode("ascii")
