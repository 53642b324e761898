"""Which hand-in counts for whom: by its word, by whose account it came from, by what an instructor decided."""

import datetime
import re
import unicodedata
from collections import defaultdict
from typing import NamedTuple

from cyclokit.course.marking.settings import COUNTS, IGNORED
from cyclokit.signatures import read

SENTENCES = {
    "ignored": "does not count, as was decided",
    "word": "has a word that was dealt to nobody here",
    "replaced": "has a word in whose place another was dealt",
    "sheet": "says that it is another sheet than the one its word was dealt for",
    "edition": "says that it is another edition than the one that was dealt",
    "account": "came from the account of {owner}, with the word of {student}: decide in decisions.csv",
    "accounts": "could be from the account of several students: make the places in the roster longer",
    "differ": "differs from {others}, with the same word: decide in decisions.csv which of them counts",
    "older": "was handed in before {other}, which counts",
    "other": "does not count, because {other} does, as was decided",
    "no work": "nothing was handed in that counts",
    "no place": "was decided on, but nothing was handed in at that place",
}


class Attempt(NamedTuple):
    """A hand-in that could be read, or why it couldn't; `student` is whose word it has, "" for nobody's."""

    place: str
    why: str = ""
    word: str = ""
    student: str = ""
    sheet: str = ""
    answers: bytes = b""  # a hash of all answers
    where: int = -1  # what came of it is laid aside there


class Listed(NamedTuple):
    """What an instructor should look at: a place, whose word or account it has, the sheet, what is to be said."""

    place: str
    student: str
    sheet: str
    why: str


@read
def owner(place: str, accounts: dict[str, str]) -> str | None:
    """Whose account a place is: the student whose text in the roster it contains; one inside a longer one is none.

    Texts are in Unicode's form NFC, "" if one isn't known. "" is nobody; None where texts of several fit.
    """
    place = unicodedata.normalize("NFC", place)  # Macs write accents apart
    fitting = {student: text for student, text in accounts.items() if text and text in place}
    spans = [
        (student, found.start(), found.start() + len(text))
        for student, text in fitting.items()
        for found in re.finditer(f"(?={re.escape(text)})", place)
    ]
    found = sorted({student for student, start, end in spans if not _inside(start, end, spans)})
    return (found or [""])[0] if len(found) < 2 else None


def _inside(start: int, end: int, spans: list[tuple[str, int, int]]) -> bool:
    """Whether a span lies in a longer one."""
    return any(first <= start and end <= last and last - first > end - start for _, first, last in spans)


@read
def settle(
    attempts: list[Attempt],
    accounts: dict[str, str],
    decided: dict[str, str],
    times: dict[str, datetime.datetime],
) -> tuple[dict[str, list[Attempt]], list[Listed]]:
    """For each word the attempts that count, which have the same answers, and what an instructor should look at.

    Accounts are texts that a path contains, of each student; decisions and times are by places, where they are known.
    """
    listed = [
        Listed(place, "", "", SENTENCES["no place"])
        for place in sorted(set(decided) - {attempt.place for attempt in attempts})
    ]
    by_word = defaultdict(list)
    for attempt in attempts:
        why = attempt.why or _not_counting(attempt, accounts, decided.get(attempt.place, ""))
        if why:
            student = attempt.student or owner(attempt.place, accounts) or ""  # a file without a word has an account
            listed.append(Listed(attempt.place, student, attempt.sheet, why))
        else:
            by_word[attempt.word].append(attempt)
    counting = {}
    for word, several in by_word.items():
        chosen, more = _chosen(several, decided, times)
        listed += more
        if chosen:
            counting[word] = chosen
    return counting, listed


def _not_counting(attempt: Attempt, accounts: dict[str, str], decision: str) -> str:
    if decision == IGNORED:
        return SENTENCES["ignored"]
    if decision == COUNTS:
        return ""
    whose = owner(attempt.place, accounts)
    if whose is None:
        return SENTENCES["accounts"]
    if whose and whose != attempt.student:
        return SENTENCES["account"].format(owner=whose, student=attempt.student)
    return ""


def _chosen(
    several: list[Attempt], decided: dict[str, str], times: dict[str, datetime.datetime]
) -> tuple[list[Attempt], list[Listed]]:
    """Of the attempts with one word those that count, and what is to be said of the others."""
    if len({attempt.answers for attempt in several}) == 1:
        return several, []
    for_these = [attempt for attempt in several if decided.get(attempt.place) == COUNTS]
    if for_these and len({attempt.answers for attempt in for_these}) == 1:
        return _only(several, for_these[0], "other")
    if all(attempt.place in times for attempt in several):
        latest = max(times[attempt.place] for attempt in several)
        last = [attempt for attempt in several if times[attempt.place] == latest]
        if len({attempt.answers for attempt in last}) == 1:
            return _only(several, last[0], "older")
    return [], [
        Listed(
            attempt.place,
            attempt.student,
            attempt.sheet,
            SENTENCES["differ"].format(
                others=", ".join(other.place for other in several if other.answers != attempt.answers)
            ),
        )
        for attempt in several
    ]


def _only(several: list[Attempt], counts: Attempt, why: str) -> tuple[list[Attempt], list[Listed]]:
    """The attempts with these answers count."""
    said = SENTENCES[why].format(other=counts.place)
    rest = [attempt for attempt in several if attempt.answers != counts.answers]
    listed = [Listed(attempt.place, attempt.student, attempt.sheet, said) for attempt in rest]
    return [attempt for attempt in several if attempt.answers == counts.answers], listed
