"""Each package opens with an index of what it holds, and what computes is shown by an example that runs."""

import ast
import doctest
import importlib

import pytest

from tests import faces
from tests.faces import PACKAGE

COMPUTE = {"drive", "report", "arguments", "geometry", "machine", "mechanics", "design"}
ROOMS = [
    path
    for path in sorted(PACKAGE.rglob("*.py"))
    if path.relative_to(PACKAGE).with_suffix("").parts[0] in COMPUTE and path.name != "__init__.py"
]
SHOWN = [path for path in sorted(PACKAGE.rglob("*.py")) if ">>> " in path.read_text(encoding="utf-8")]


def _name(path):
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts)


def _without_example(path):
    """Public functions of a room, and methods and properties of its public classes, that no example shows."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        shown = _examples(node)
        if isinstance(node, ast.FunctionDef) and f"{node.name}(" not in shown:
            yield node.name
        methods = node.body if isinstance(node, ast.ClassDef) else ()
        for part in methods:
            public = isinstance(part, ast.FunctionDef) and not part.name.startswith("_")
            if public and f".{part.name}" not in shown + _examples(part):
                yield f"{node.name}.{part.name}"


def _examples(node):
    """The code of a docstring's examples."""
    found = doctest.DocTestParser().get_examples(ast.get_docstring(node) or "")
    return "".join(example.source for example in found)


@pytest.mark.parametrize("package", faces.packages(), ids=lambda package: package.name)
def test_each_package_opens_with_an_index_of_what_it_holds(package):
    # python -m tests.faces brings it up to date
    assert list(faces.told(package)) == list(faces.wanted(package))


def test_whoever_computes_is_looked_at():
    assert {_name(path).partition(".")[0] for path in ROOMS} == COMPUTE


@pytest.mark.parametrize("path", ROOMS, ids=_name)
def test_every_public_function_that_computes_has_an_example(path):
    assert not list(_without_example(path))


@pytest.mark.parametrize("path", SHOWN, ids=_name)
def test_examples_run_and_give_what_they_say(path):
    tried = doctest.testmod(importlib.import_module(f"cyclokit.{_name(path)}"))
    assert tried.attempted
    assert not tried.failed


def test_an_example_that_is_missing_is_noticed(tmp_path):
    room = tmp_path / "room.py"
    room.write_text(
        'def bare():\n    """One."""\n\n\ndef shown():\n    """One.\n\n    >>> shown()\n    """\n\n\n'
        'class Thing:\n    """One."""\n\n    def bare(self):\n        """One."""\n'
    )
    assert list(_without_example(room)) == ["bare", "Thing.bare"]
