"""Invented classes, and what their students hand in, without a kernel."""

import csv
import io
import json
from functools import cache
from pathlib import Path

from cyclokit import __version__
from cyclokit.course.answers.outcomes import RIGHT
from cyclokit.course.marking import deal as deal_room
from cyclokit.course.marking.deal import deal
from cyclokit.course.marking.judge import judge, outline_question
from cyclokit.course.marking.ledger import Ledger
from cyclokit.course.marking.mark import mark
from cyclokit.course.sheets import open_sheet
from cyclokit.course.sheets import sheet as sheet_room
from cyclokit.course.sheets import task as task_room
from cyclokit.course.sheets.hand_in import MIME, data_of, entry

# A student's numbers are drawn once, not when they are dealt and again when the sheet is opened: drawing takes longest.
deal_room.asked = sheet_room.asked = cache(task_room.asked)

REASON = "because the two of them turn about the same point in the same time"
SHEET = "one_lobe_fewer"


def dealt(folder, ids, sheets, **more):
    """A class that was dealt sheets; its folder. Each student's account is a folder with the id in brackets."""
    rows = [["id", "place", "group"], *([name, f"[{name}]", "g1"] for name in ids)]
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    (folder / "roster.csv").write_text(text.getvalue(), encoding="utf-8")
    deal(folder / "roster.csv", folder / "course", sheets, **more)
    return folder / "course"


def row_of(course, student, sheet=SHEET):
    """A student's row in the ledger."""
    (found,) = [
        row
        for row in Ledger(course).rows()
        if (row["student"], row["sheet"], row["replaced"]) == (student, sheet, False)
    ]
    return found


def data(row, choices=None, reason=REASON):
    """What is handed in: for each letter 0 for the right answer, a slip's number, or None for an open one."""
    sheet = open_sheet(row["sheet"], row["word"], edition=row["edition"])
    answers = {}
    for letter, task in sheet.tasks.items():
        question, choice = sheet.asked(letter).question, (choices or {}).get(letter, 0)
        if choice is None:
            continue
        value = question.right if choice == 0 else question.slips[choice - 1].wrong
        answers |= dict(zip(task.names, (value, reason), strict=False))
    entries = {letter: entry(task, sheet.asked(letter).question, answers) for letter, task in sheet.tasks.items()}
    names = [name for task in sheet.tasks.values() for name in task.names]
    cells = [_text(cell) for cell in blank(row)["cells"] if cell["cell_type"] == "code"]
    return data_of(sheet.name, sheet.word, row["edition"], __version__, entries, cells, names)


def blank(row):
    """The sheet that a student was handed out, as it is; the same for all but for the word."""
    from cyclokit.course.reader.folder import notebooks

    (path,) = (notebooks() / "exercises").glob(f"*_{row['sheet']}.ipynb")
    text = path.read_text(encoding="utf-8").replace('my_word = \\"turntable\\"', f'my_word = \\"{row["word"]}\\"')
    return json.loads(text)


def notebook(row, kept):
    """A notebook with this data in its last cell."""
    made = blank(row)
    for cell in made["cells"]:
        if cell["cell_type"] == "code":
            cell |= {"outputs": [], "execution_count": 1}
    output = {"output_type": "execute_result", "execution_count": 1, "metadata": {}}
    made["cells"][-1]["outputs"] = [{**output, "data": {"text/plain": ["a: right"], MIME: kept}}]
    return made


def hand_in(folder, student, made, name="sheet.ipynb"):
    """Put a notebook where the student's account is; its path."""
    path = Path(folder) / f"[{student}]" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(made if isinstance(made, str) else json.dumps(made), encoding="utf-8")
    return path


def marked(course, handed_in):
    """What `mark` says, line by line."""
    said = []
    mark(course, handed_in, said.append)
    return said


def table(file):
    """The rows of a table of ours."""
    return list(csv.DictReader(io.StringIO(file.read_text(encoding="utf-8-sig"), newline="")))


def marks(course):
    """The marks table by ids."""
    return {line["id"]: line for line in table(course / "marks" / "marks.csv")}


def looked_at(course):
    """What is to be looked at: place -> why."""
    return {line["place"]: line["why"] for line in table(course / "marks" / "to_look_at.csv") if line["place"]}


def read_reasons(course, give):
    """Write marks into every table of reasons, as a person does; `give` gets a row and the table's name."""
    for file in sorted((course / "marks" / "reasons").glob("*.csv")):
        rows = table(file)
        for row in rows:
            row["marks"], row["comment"], row["changed"] = give(row, file.stem), "read", ""
        text = io.StringIO()
        writer = csv.DictWriter(text, rows[0].keys() if rows else ["code"])
        writer.writeheader()
        writer.writerows(rows)
        file.write_text(text.getvalue(), encoding="utf-8")


def everything(folder):
    """Every file below a folder, and what is in it."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def _text(cell):
    return "".join(cell["source"])


def rightly(sheet, kept):
    """The right answer to a task as the ledger has it, as an entry of a hand-in."""
    if kept["kind"] == "choice":
        return {"state": "read", "letter": kept["right"], "reason": REASON}
    if kept["kind"] == "number":
        return {"state": "read", "value": repr(kept["right"])}
    if kept["kind"] == "outline":
        corners = outline_question(sheet, kept).right[::2]
        return {"state": "read", "points": ";".join(f"{x:.6f} {y:.6f}" for x, y in corners[:5000])}
    return {"state": "read", "values": [repr(value) for value in kept["right"]]}


def right(sheet, kept, given):
    """Whether an entry is right for a task of somebody's."""
    return judge(sheet, kept, given).outcome == RIGHT


def random_choices(row, rng):
    """A student's answers: most right, some slips, some open."""
    found = {}
    for kept in row["tasks"]:
        slips = len(kept["looks"])
        found[kept["letter"]] = [0, int(rng.integers(1, slips + 1)) if slips else 0, None][
            int(rng.choice(3, p=[0.5, 0.35, 0.15]))
        ]
    return found
