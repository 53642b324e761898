"""Write down the versions with which everything passes, for the README's second command.

    python -m tests.known_good

Run it in the environment in which all tests have just passed. pip takes these versions for the tests of a clone made
later, on the same Python and system; `.ci/versions` tries the newest and the oldest apart.
"""

import platform
import subprocess
import sys
from pathlib import Path

CONSTRAINTS = Path(__file__).resolve().parents[1] / ".ci" / "constraints.txt"


def installed():
    """A line for each package that is installed here, but for cyclokit itself."""
    freeze = [sys.executable, "-m", "pip", "freeze", "--exclude-editable", "--exclude", "cyclokit"]
    lines = subprocess.run(freeze, capture_output=True, text=True, check=True).stdout.splitlines()
    return sorted((line for line in lines if "==" in line), key=str.lower)


if __name__ == "__main__":
    head = f"# Python {sys.version_info[0]}.{sys.version_info[1]}, {platform.system()}"
    CONSTRAINTS.write_text("\n".join([head, *installed()]) + "\n", encoding="utf-8")
