"""The index that each package opens with, brought up to date: `python -m tests.faces`.

A line that is there keeps its words. A new name gets the first line of its docstring; shorten that by hand, and name
the formula where it has a name.
"""

import ast
import re
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1] / "cyclokit"
WIDEST = 120  # characters of a line
NO_INDEX = {"tasks", "questions"}  # an instructor's texts, one file a sheet or lesson, listed in the course instead
LINE = re.compile(r"^- `([\w.]+)`: (.+)$", re.MULTILINE)


def packages():
    """Every package that opens with an index."""
    return [path.parent for path in sorted(PACKAGE.rglob("__init__.py")) if path.parent.name not in NO_INDEX]


def told(package):
    """The index that stands there: name -> its words."""
    return dict(LINE.findall(_docstring(package / "__init__.py")))


def wanted(package):
    """What belongs there: `module.name` of each public function and class, packages inside it -> its first line."""
    lines = {}
    for path in sorted(package.iterdir()):
        if path.is_dir() and (path / "__init__.py").exists():
            lines[path.name] = _first(_docstring(path / "__init__.py"))
        elif path.suffix == ".py" and not path.name.startswith("_"):
            lines |= {f"{path.stem}.{name}": words for name, words in public(path).items()}
    return lines


def public(path):
    """Public functions and classes of a module: name -> the first line of its docstring."""
    body = ast.parse(path.read_text(encoding="utf-8")).body
    makers = [node for node in body if isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name[0] != "_"]
    return {node.name: _first(ast.get_docstring(node) or "") for node in makers}


def _docstring(path):
    return ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""


def _first(docstring):
    return docstring.split("\n")[0].removesuffix(".")


def _line(name, words):
    """A line of the index; of words that are too long for it what stands before the last stop that fits."""
    opening = f"- `{name}`: "
    room = WIDEST - len(opening)
    return opening + (words if len(words) <= room else re.sub(r"[,:;] [^,:;]*$", "", words[:room]))


def main():
    """Write the indices anew."""
    for package in packages():
        path, kept = package / "__init__.py", told(package)
        text = path.read_text(encoding="utf-8")
        whole = ast.parse(text).body[0]
        opening = _docstring(path).partition("\n\n- `")[0]
        index = "\n".join(_line(name, kept.get(name, words)) for name, words in wanted(package).items())
        after = text.split("\n")[whole.end_lineno :]
        path.write_text("\n".join([f'"""{opening}\n\n{index}\n"""', *after]), encoding="utf-8")


if __name__ == "__main__":
    main()
