"""A notebook as text that a person can compare: what git shows of a change, once told so.

    git config diff.notebook.textconv "python3 -m tests.readable"

Cells and what they put out are written one under another. Of a picture or a script only a few letters are left,
which change when it does.
"""

import hashlib
import json
import re
import sys
from pathlib import Path

LONG = re.compile(r'(?<=src=")data:[^"]*|(?<=<script type="module">).*?(?=</script>)|^[\w+/=\n]{1000,}$', re.DOTALL)


def readable(notebook: dict) -> str:
    """All that a notebook says, cell by cell."""
    lines = []
    for cell in notebook["cells"]:
        tags = "".join(f" [{tag}]" for tag in cell["metadata"].get("tags", []))
        lines += [f"## {cell['cell_type']}{tags}", _text(cell["source"]), ""]
        for output in cell.get("outputs", []):
            lines += [f"-> {output['output_type']}"]
            told = output.get("data", {"text": output.get("text", output.get("traceback", ""))})
            lines += [f"{kind}: {LONG.sub(_few_letters, _text(text))}" for kind, text in told.items()] + [""]
    return "\n".join(lines)


def _text(lines: list[str] | str | dict) -> str:
    return "".join(lines) if isinstance(lines, list | str) else json.dumps(lines, sort_keys=True)


def _few_letters(long: re.Match[str]) -> str:
    return f"[{len(long[0])} letters, {hashlib.sha256(long[0].encode()).hexdigest()[:8]}]"


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8")
    print(readable(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8"))))
