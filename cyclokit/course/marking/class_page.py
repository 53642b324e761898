"""A page about the class without names, and who is alike word for word, for a person to look at."""

import hashlib
from array import array
from collections import Counter, defaultdict

import numpy as np

from cyclokit.course.answers.outcomes import RIGHT
from cyclokit.course.marking.earned import Marked
from cyclokit.course.marking.paper import in_words, page
from cyclokit.signatures import read
from cyclokit.texts import in_html

ALIKE, CLASS = "alike.csv", "class.html"
ALIKE_WORDS = 6  # that a reason has which can be told from another's
BAR = 300  # width of a full bar
DIGEST = 8  # bytes of a hash: of a million different cells two share one with a chance of 3e-8

SENTENCES = {
    "class": "The class",
    "right": "{right} of {handed} right",
    "no names": "How many answered a task rightly, and which slips were made. No names.",
}


class Counts:
    """How often each task was right and which slips were made; and numbers that stand for cells and reasons."""

    def __init__(self) -> None:
        self.titles: dict[tuple[str, str], str] = {}
        self.outcomes: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
        self.students: list[str] = []
        self.digests: dict[tuple[str, str], tuple[array[int], array[int]]] = {}


@read
def count(counts: Counts, sheets: list[Marked]) -> None:
    """Count all sheets of a student in."""
    if sheets:
        counts.students.append(sheets[0].row["student"])
    for sheet in sheets:
        for kept in sheet.row["tasks"]:
            key = (sheet.row["sheet"], kept["letter"])
            counts.titles.setdefault(key, kept["title"])
            for outcome in sheet.outcomes[:1]:
                result = outcome.results[kept["letter"]]
                counts.outcomes[key][kept["looks"][result.slip - 1] if result.slip else result.outcome] += 1
        for what, text in sorted(_own(sheet)):
            found = counts.digests.setdefault((sheet.row["sheet"], what), (array("Q"), array("L")))
            digest = hashlib.sha256(
                text.encode("utf-8", "surrogatepass")
            ).digest()  # a reason can have half a character
            found[0].append(int.from_bytes(digest[:DIGEST]))
            found[1].append(len(counts.students) - 1)


def _own(sheet: Marked) -> set[tuple[str, str]]:
    """What a student wrote that can be told from another's: cells and reasons."""
    found = set()
    for outcome in sheet.outcomes:
        found |= {("cell", own) for own in outcome.own_cells}
        for letter, result in outcome.results.items():
            words = result.reason.casefold().split()
            if len(words) >= ALIKE_WORDS:
                found.add((f"reason {letter}", " ".join(words)))
    return found


@read
def alike(counts: Counts) -> list[list[str]]:
    """Who has a cell of their own, or a reason, that is word for word another's: sheet, what, students."""
    groups: Counter[tuple[str, str, str]] = Counter()
    for (sheet, what), (digests, students) in counts.digests.items():
        several, times = np.unique(np.array(digests), return_counts=True)
        for digest in several[times > 1]:
            places = np.flatnonzero(np.array(digests) == digest)
            names = sorted(counts.students[students[place]] for place in places)
            groups[sheet, what, ", ".join(names)] += 1
    return [[sheet, f"{number} {what}", names] for (sheet, what, names), number in sorted(groups.items())]


@read
def drawn(counts: Counts) -> bytes:
    """How often each task was right and which slips were made, as bars and in words."""
    body = f"<h1>{SENTENCES['class']}</h1><p>{SENTENCES['no names']}</p>\n"
    last = ""
    order = list(dict.fromkeys(name for name, _ in counts.titles))
    for (name, letter), title in sorted(counts.titles.items(), key=lambda one: (order.index(one[0][0]), one[0][1])):
        if name != last:
            body += f"<h2>{in_html(in_words(name))}</h2>\n"
            last = name
        body += _task(f"{letter}. {title}", counts.outcomes[name, letter])
    return page(SENTENCES["class"], body)


def _task(title: str, count: Counter[str]) -> str:
    handed, right = count.total(), count[RIGHT]
    share = right / handed if handed else 0
    bar = (
        f'<svg width="{BAR}" height="14" role="img" aria-label="{share:.0%} right">'
        f'<rect width="{BAR}" height="13" fill="none" stroke="currentColor"/>'
        f'<rect width="{share * BAR:.0f}" height="13" fill="#0072b2"/></svg>'
    )
    others = sorted(
        ((number, words) for words, number in count.items() if words != RIGHT), key=lambda one: (-one[0], one[1])
    )
    slips = "".join(f"<li>{number}: {in_html(words)}</li>" for number, words in others)
    right_of = SENTENCES["right"].format(right=right, handed=handed)
    return f"<section><h3>{in_html(title)}</h3><p>{right_of}<br>{bar}</p><ul>{slips}</ul></section>\n"
