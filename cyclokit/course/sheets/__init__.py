"""Exercise sheets: numbers of one's own, tasks, and what comes of an answer."""

from cyclokit.course.sheets.sheet import open_sheet

__all__ = ["open_sheet"]
