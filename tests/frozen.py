"""Write down the numbers that some words draw, for every task of every sheet and each of its editions.

    python -m tests.frozen

What is written down already stays as it is: a class may have these numbers, and a test holds the library to them.
"""

import json
from dataclasses import astuple
from itertools import product
from pathlib import Path

from cyclokit.course.sheets.library import load_tasks, sheet_names
from cyclokit.course.sheets.task import numbers_of
from cyclokit.drive import Drive

FROZEN = Path(__file__).parent / "course" / "sheets" / "frozen.json"
# words as they come to be drawn from: composed, without capitals, with no blanks round them
WORDS = (
    *("turntable", "sunflower", "moss", "fern", "barley", "0", "7", "42", "2027", "3.5", "a", "z", "übung 7"),
    *("château", "ångström", "łódź", "žluťoučký kůň", "æbleskive", "straat 5", "o'hara", "two words", "tab\there"),
    *("mühle/rad", "a/b/c", "under_score", "dash-ed", "semi;colon", "100 %", "{braces}", "\\", "'", '"', "κύκλοι"),
    *("диск", "歯車", "톱니", "مسنن", "गियर", "🌻", "an uncommonly long word of several words, with a comma"),
)


def written():
    """All numbers, as the library draws them now: edition, sheet and letter -> name -> a value for each word."""
    table = {}
    for name in sheet_names():
        found = load_tasks(name)
        for edition, task in product(found.editions, found.tasks):
            rows = [vars(numbers_of(task, f"{name}/{word}", edition)) for word in WORDS]
            table[f"{edition} {name} {task.letter}"] = {key: [_plain(row[key]) for row in rows] for key in rows[0]}
    return table


def _plain(value):
    return list(astuple(value)) if isinstance(value, Drive) else value


if __name__ == "__main__":
    old = json.loads(FROZEN.read_text(encoding="utf-8")) if FROZEN.exists() else {}
    lines = [f"{json.dumps(key)}: {json.dumps(value)}" for key, value in (written() | old).items()]
    FROZEN.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
