"""What pytest says of a sheet: for each task that is not right one line, the task, the word and what came of it.

pytest finds this by the package's entry point. It changes only how a check's own exception is reported.
"""

import re
from typing import Any

import pytest

COLOURS = re.compile(r"\x1b\[[0-9;]*m")
RAISED = re.compile(r"^NotYetRight: (.+)$", re.MULTILINE)


@pytest.hookimpl(hookwrapper=True)  # the older form, which every pytest knows
def pytest_runtest_makereport(item: Any, call: Any) -> Any:
    """Put a check's line in place of its traceback, which a notebook's cell reports as a text."""
    report = (yield).get_result()
    if report.failed and isinstance(report.longrepr, str):
        lines = RAISED.findall(COLOURS.sub("", report.longrepr))
        if lines:
            report.longrepr = lines[-1]
