"""What an instructor sees where pytest runs a sheet: one line a task in the summary, and no traceback."""

import os
import subprocess
import sys

from cyclokit.course.reader.folder import notebooks


def test_the_summary_names_each_task_and_what_came_of_it():
    blank = notebooks() / "exercises" / "03_one_lobe_fewer.ipynb"
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--nbval-lax", "-n", "0", "-p", "no:cacheprovider", str(blank)],
        capture_output=True,
        text=True,
        check=False,
        timeout=100,
        env={**os.environ, "COLUMNS": "200"},
    )
    failed = [line for line in done.stdout.splitlines() if line.startswith("FAILED")]
    said = [line.partition(" - ")[2].partition(". ")[0] for line in failed]
    assert said == [f'{letter}, word "turntable": still open' for letter in "abcdef"]
    assert "Traceback" not in done.stdout
