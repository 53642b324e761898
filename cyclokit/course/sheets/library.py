"""Where tasks come from: the sheets of the library, and files of one's own."""

import importlib
import importlib.util
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

from cyclokit.course.answers.reading import told
from cyclokit.course.sheets.task import Task
from cyclokit.files import as_path
from cyclokit.texts import shown


@dataclass(frozen=True)
class Tasks:
    """What a sheet is made of."""

    name: str  # what the numbers hang on, beside the word: for ever the same, whatever the file is called
    title: str
    tasks: tuple[Task, ...]  # in order
    editions: tuple[int, ...]  # the last is that of new sheets


def load_tasks(name: str | Path) -> Tasks:
    """The tasks of a sheet, by its name or from a file; refuses a file that holds none."""
    name = name if isinstance(name, str) else str(as_path("name", name))
    if name.endswith(".py"):
        module = _from_file(Path(name))
        own_name = _text(module, "NAME", name, Path(name).stem)
    else:
        module, own_name = _from_library(name), name
    title, tasks = _text(module, "TITLE", name, "My sheet"), getattr(module, "TASKS", None)
    if not isinstance(tasks, tuple) or not tasks or not all(isinstance(task, Task) for task in tasks):
        raise ValueError(f"{name} must have a tuple TASKS of tasks, such as TASKS = (Across(),): add it.")
    for task in tasks:
        missing = [part for part in Task.__annotations__ if not hasattr(task, part)]
        if missing:
            raise ValueError(f"{name}: task {type(task).__name__} has no {', '.join(missing)}: add what is missing.")
    letters = [task.letter for task in tasks]
    if len(set(letters)) < len(letters):
        raise ValueError(f"{name} has tasks with the letters {', '.join(letters)}: give each a letter of its own.")
    editions = getattr(module, "EDITIONS", (1,))
    if not isinstance(editions, tuple) or not editions or {type(edition) for edition in editions} != {int}:
        raise ValueError(f"{name} has EDITIONS {editions!r}: give a tuple of whole numbers, such as EDITIONS = (1, 2).")
    return Tasks(own_name, title, tasks, editions)


def sheet_names() -> list[str]:
    """The names of all sheets that the library has."""
    folder = Path(__file__).parent / "tasks"
    return sorted(path.stem for path in folder.glob("*.py") if path.stem not in {"__init__", "template"})


def _text(module: ModuleType, name: str, file: str, example: str) -> str:
    text = getattr(module, name, None)
    if not isinstance(text, str) or not text.strip():
        raise ValueError(f'{file} must have a text {name}, such as {name} = "{example}": add it.')
    return text


def _from_library(name: str) -> ModuleType:
    if name not in sheet_names():
        raise ValueError(f"name is {shown(name)}, but the sheets are {', '.join(sheet_names())}: take one of these.")
    return importlib.import_module(f"cyclokit.course.sheets.tasks.{name}")


def _from_file(path: Path) -> ModuleType:
    if not path.is_file():
        raise ValueError(f"name is {shown(str(path))}, but there is no such file of tasks: give its path.")
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None and spec.loader is not None  # both are there for a file that ends in .py
    module = importlib.util.module_from_spec(spec)
    try:
        spec.loader.exec_module(module)
    except (Exception, SystemExit) as error:  # an author's file may raise anything
        raise ValueError(f"{path} can't be run ({told(error)}): correct it.") from error
    return module
