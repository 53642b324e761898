"""Pictures saved as files: a later one goes over an earlier one, and over nothing that anybody else made or changed."""

import hashlib
import re
from pathlib import Path

from cyclokit.arguments import checked_kind
from cyclokit.files import alone, as_path, write_whole
from cyclokit.texts import plain

DOCTYPE = "<!doctype html>\n"
MARK = "<!-- written by cyclokit, {} -->\n"  # in the head, with a hash of all the rest


def save(file: str | Path, text: str) -> None:
    """Write a page or a picture, with a mark by which it is known again as long as nobody changes it.

    What this function has written there is replaced; anything else, also what was changed since, is left alone, with a
    ValueError. The text is HTML that begins with its doctype on a line of its own, or SVG.
    """
    target = as_path("file", file)
    checked_kind("text", text, str)
    with alone(target):
        if target.exists() and not _ours(target.read_bytes()):
            raise ValueError(
                f"file is '{plain(target)}', but that is there already and was made or changed by somebody else: "
                "choose another name."
            )
        write_whole(target, _marked(text).encode())


def _marked(text: str) -> str:
    head = DOCTYPE if text.startswith(DOCTYPE) else ""
    return head + MARK.format(_hash(text.encode())) + text.removeprefix(head)


def _ours(content: bytes) -> bool:
    """Whether these are the very bytes that `save` wrote."""
    found = re.match(f"({DOCTYPE})?{MARK.format('([0-9a-f]{64})')}".encode(), content)
    return found is not None and _hash((found[1] or b"") + content[found.end() :]) == found[2].decode()


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
