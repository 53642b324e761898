"""What a student's sheet earned: by what came of each answer, by corrections, and by what a person gave."""

from typing import NamedTuple

from cyclokit.course.answers.outcomes import RIGHT
from cyclokit.course.marking import reasons
from cyclokit.course.marking.aside import Outcome
from cyclokit.course.marking.judge import Result
from cyclokit.course.marking.ledger import Row, SheetRow
from cyclokit.course.marking.reasons import Read
from cyclokit.signatures import read

INCOMPLETE, NOTHING = "incomplete", "nothing handed in"

HOW = {
    "everyone": "all marks for everyone",
    "right": "right",
    "slip": "a known slip",
    "wrong": "not right",
    "waits": "waits for a person who reads the reason",
    "read": "read by a person",
}


class Earned(NamedTuple):
    """What a task earned: marks (None until a person has read it), and how that came about."""

    marks: float | None
    how: str
    comment: str = ""


class Marked(NamedTuple):
    """A student's sheet: its row in the ledger with corrections, what came of the attempts that count, and marks."""

    row: Row
    outcomes: list[Outcome]
    earned: dict[str, Earned]

    @property
    def total(self) -> str:
        """All marks together, in words where there is no number yet."""
        marks = [earned.marks for earned in self.earned.values()]
        if not marks:
            return NOTHING
        return INCOMPLETE if None in marks else f"{sum(mark for mark in marks if mark is not None):.6g}"

    @property
    def receipt(self) -> str:
        """The receipt code of what counts, "" for nothing."""
        return self.outcomes[0].receipt if self.outcomes else ""

    def shown(self, letter: str) -> str:
        """The marks of a task, in words where there is no number yet."""
        if not self.earned:
            return ""
        marks = self.earned[letter].marks
        return INCOMPLETE if marks is None else f"{marks:.6g}"


@read
def marked(row: SheetRow, outcomes: list[Outcome], given: dict[str, Read]) -> Marked:
    """What a sheet earned, none where no attempt counts; its row is corrected, its outcomes have the same answers."""
    earned = {}
    for kept in row["tasks"] if outcomes else []:
        by_person = given.get(reasons.code_of(row["word"], kept["letter"]))
        earned[kept["letter"]] = _earned(kept, outcomes[0].results[kept["letter"]], by_person)
    return Marked(row, outcomes, earned)


def _earned(kept: Row, result: Result, by_person: Read | None) -> Earned:
    """What the answer to a task earns."""
    if kept["everyone"]:
        return Earned(kept["marks"], HOW["everyone"])
    if result.reason:
        return Earned(by_person.marks, HOW["read"], by_person.comment) if by_person else Earned(None, HOW["waits"])
    if result.outcome == RIGHT:
        return Earned(kept["marks"], HOW["right"])
    if result.slip:
        return Earned(kept["marks"] * kept["shares"].get(result.slip, 0), HOW["slip"])
    return Earned(0, HOW["wrong"] if result.read else result.outcome)
