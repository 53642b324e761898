"""What comes of an answer: one of four outcomes and one line, whatever the answer is, and never an exception."""

from dataclasses import dataclass
from typing import Any

from cyclokit.course.answers.kinds import Asking, Question
from cyclokit.course.answers.patience import PATIENCE, TookTooLong, within
from cyclokit.course.answers.reading import SENTENCES, StillOpen, Unreadable, silence, yours
from cyclokit.signatures import read

__all__ = ["LOOK_AGAIN", "OPEN", "RIGHT", "UNREADABLE", "Judged", "judge", "yours"]

RIGHT, LOOK_AGAIN, UNREADABLE, OPEN = "right", "look again", "can't be read", "still open"


@dataclass(frozen=True)
class Judged:
    """What came out: the outcome, what was read ("" if nothing was), and one thing to look at."""

    outcome: str
    read: str
    look: str

    def line(self, name: str) -> str:
        """The line that a check prints about the question with this name."""
        read = f"I read {self.read}." if self.read else ""
        return " ".join(filter(None, [f"{name}: {self.outcome}.", read, self.look]))

    def quiet_line(self, name: str) -> str:
        """The line in an examination: only what was read, or why nothing was."""
        return f"{name}: read as {self.read}." if self.read else self.line(name)


@read
def judge(question: Asking, answer: object) -> Judged:
    """What comes of an answer, whatever object it is; a tuple if several things were asked for."""
    with silence():
        return _judged(question, answer)


def _judged(question: Question, answer: object) -> Judged:
    if answer is yours:
        return Judged(OPEN, "", SENTENCES["open"])
    if type(answer) is tuple and any(part is yours for part in answer):
        both = all(part is yours for part in answer)
        return Judged(OPEN, "", SENTENCES["open" if both else "reason open"])
    try:
        value, said = within(PATIENCE, lambda: _read(question, answer))
        return _compared(question, value, said)
    except StillOpen as error:
        return Judged(OPEN, "", str(error))
    except TookTooLong:
        return Judged(UNREADABLE, "", SENTENCES["slow"].format(seconds=PATIENCE))
    except Unreadable as error:
        return Judged(UNREADABLE, "", str(error))
    except KeyboardInterrupt:
        return Judged(UNREADABLE, "", SENTENCES["stopped"])
    except BaseException:  # an answer may raise at anything that is done with it
        return Judged(UNREADABLE, "", str(question.refusal(answer)))


def _read(question: Question, answer: object) -> tuple[Any, str]:
    value = question.read(answer)
    return value, question.said(answer, value)


def _compared(question: Question, value: Any, said: str) -> Judged:
    """Held against the right answer, then against each slip."""
    if question.apart(value, question.value(question.right)) <= 1:
        return Judged(RIGHT, said, "")
    accepted = f"({question.accepted})" if question.accepted else ""
    looks = (slip.look for slip in question.slips if question.apart(value, question.value(slip.wrong)) <= 1)
    look = next(looks, "") or question.aside(value) or question.look
    return Judged(LOOK_AGAIN, said, f"{look} {accepted}".strip())
