"""How long a class of 300 with twelve sheets takes to be marked, whether memory grows, and what copied values earn.

    python tests/speed/marking.py

Twelve sheets are stood in for by the eight that there are: every student hands these in, and four of them once more
under a second id. A third of the students have everything right, the others slips. A few hand-ins are made, and copied
under other words, because drawing 3600 sheets takes many minutes.
"""

import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from cyclokit.course.marking.ledger import Ledger, Row, save_students
from cyclokit.course.sheets.hand_in import receipt
from cyclokit.course.sheets.library import sheet_names
from tests.course.marking import classes, copying

WANTED = 60.0  # s
SHEETS = 12
HAND_INS = 3600
STUDENTS = 300


def fill(folder: Path, count: int) -> Path:
    """A class with so many hand-ins, twelve a student, each a copy of one that was made, under a word of its own."""
    names = sheet_names()
    course = classes.dealt(folder, ["first"], [str(number) for number in range(1, len(names) + 1)])
    book, rows = Ledger(course), list(Ledger(course).rows())
    made = {row["sheet"]: [classes.data(row, choices) for choices in _choices(row)] for row in rows}
    students = {"first": {"place": ""}}
    for number in range(count):
        again, place = divmod(number % SHEETS, len(rows))
        row, word = rows[place], f"word{number}"
        student = f"s{number // SHEETS}{'again' * again}"
        students[student] = {"place": f"[{student}]"}
        book.put({**row, "student": student, "word": word})
        data = {**made[row["sheet"]][number // SHEETS % 3], "word": word}
        classes.hand_in(
            folder / "in", student, classes.notebook(row, data | {"receipt": receipt(data)}), f"{row['sheet']}.ipynb"
        )
    book.save()
    save_students(course, students)
    return course


def _choices(row: Row) -> list[dict[str, int]]:
    """Everything right, every task's last slip, every other task's first slip."""
    last = {kept["letter"]: len(kept["looks"]) for kept in row["tasks"]}
    return [{}, last, {letter: min(1, last[letter]) for letter in "ace"}]


def timed(count: int, traced: bool) -> tuple[float, float, float]:
    """Seconds on the clock, seconds of the processor, and the most memory in use [MB] (0 where it isn't traced)."""
    with tempfile.TemporaryDirectory() as name:
        course = fill(Path(name), count)
        if traced:
            tracemalloc.start()
        clock, processor = time.perf_counter(), time.process_time()
        classes.marked(course, Path(name) / "in")
        spent = time.perf_counter() - clock, time.process_time() - processor
        most = tracemalloc.get_traced_memory()[1] / 1e6 if traced else 0.0
        tracemalloc.stop()
        return *spent, most


def copied(count: int) -> dict[str, tuple[int, float]]:
    """For each sheet how many pairs of students there are, and in which share of them copied values earn little."""
    with tempfile.TemporaryDirectory() as name:
        names = sheet_names()
        students = [f"s{number}" for number in range(count)]
        course = classes.dealt(Path(name), students, [str(number) for number in range(1, len(names) + 1)])
        found = {}
        for sheet in names:
            shares = copying.shares([row for row in Ledger(course).rows() if row["sheet"] == sheet])
            found[sheet] = len(shares) // 2, float((shares <= 1 / 3).mean())
        return found


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else HAND_INS
    clock, processor, _ = timed(count, False)
    print(
        f"{count} hand-ins: {clock:.1f} s on the clock, {processor:.1f} s of the processor (at most {WANTED:g} wanted)"
    )
    for few in (count // 12, count, count * 25 // 9):
        print(f"most memory in use for {few} hand-ins: {timed(few, True)[2]:.2f} MB")
    begun = time.perf_counter()
    for sheet, (pairs, share) in copied(STUDENTS).items():
        print(f"{sheet}: of {pairs} pairs, {share:.1%} earn at most a third with the other's values")
    print(f"drawn and judged in {time.perf_counter() - begun:.0f} s")
