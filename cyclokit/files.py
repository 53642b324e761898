"""Files written whole or not at all."""

import os
import tempfile
from pathlib import Path


def write_whole(target: Path, content: bytes) -> None:
    """Write a file beside its place, then move it there, so that it is never half written."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".writing-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(name, 0o644)  # mkstemp's file is for its maker alone
        os.replace(name, target)
    except BaseException:
        os.unlink(name)
        raise
