"""Learn how a cycloidal speed reducer works, then design, make and test one."""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  (every command passes here first, an old Python's too)
    raise SystemExit(
        "cyclokit needs Python 3.11 or newer and this is Python %d.%d: install a newer one from "  # noqa: UP031
        "your system's packages or python.org, then type the command again with it." % sys.version_info[:2]
    )

from cyclokit.drive import Drive

__all__ = ["Drive"]
__version__ = "0.1.0"
