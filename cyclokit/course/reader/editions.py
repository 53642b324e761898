"""What tells the editions of a copied file apart, and the reader's changes from JupyterLab's own.

JupyterLab's autosave changes a notebook's metadata, running it changes its outputs, and running its last cell adds
an empty one: none of these is a change of the reader's. So an edition is known by two hashes: of its bytes, and of
its cells' kinds and sources.
"""

import hashlib
import json
from pathlib import Path

from cyclokit.arguments import checked_kind
from cyclokit.files import as_path

MEMORY = ".cyclokit.json"


def file_hash(content: bytes) -> str:
    """The hash of a file's bytes."""
    checked_kind("content", content, bytes)
    return hashlib.sha256(content).hexdigest()


def cells_hash(content: bytes) -> str:
    """The hash of what the cells of a notebook say; of another file that of its bytes."""
    checked_kind("content", content, bytes)
    cells = _cells(content)
    if cells is None:
        return file_hash(content)
    return f"cells {file_hash(json.dumps(cells).encode())}"


def _cells(content: bytes) -> list[tuple[str, str]] | None:
    """Kind and source of each cell up to the last that isn't empty; None if that is no notebook."""
    try:
        cells = [(str(cell["cell_type"]), "".join(cell["source"])) for cell in json.loads(content)["cells"]]
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    while cells and not cells[-1][1].strip():
        cells.pop()
    return cells


def read_memory(folder: str | Path) -> dict[str, list[str]]:
    """Hashes of what was copied before; a memory that can't be read counts as none, so everything is kept."""
    file = as_path("folder", folder) / MEMORY
    try:
        memory = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(memory, dict):
        return {}
    editions = {name: [known] if isinstance(known, str) else known for name, known in memory.items()}
    return {name: known for name, known in editions.items() if isinstance(known, list)}
