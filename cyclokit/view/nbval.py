"""A plugin for pytest: of a figure nbval compares the words, not the picture as one release of Matplotlib writes it."""

from importlib.resources import files
from typing import Any


def pytest_configure(config: Any) -> None:
    """Give nbval the rule beside this file, unless it isn't there or was given another."""
    if getattr(config.option, "nbval_sanitize_with", "") is None:
        config.option.nbval_sanitize_with = str(files("cyclokit.view") / "nbval.cfg")
