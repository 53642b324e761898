"""What a neighbour's right values earn: every student of a class with those of every other one."""

from itertools import permutations

import numpy as np

from cyclokit.course.answers.formulas import EQUAL
from cyclokit.course.answers.formulas import shares as departures
from cyclokit.course.answers.kinds import NumberQuestion
from cyclokit.course.marking.judge import outline_question


def shares(rows):
    """Shares of a sheet's marks, one for each ordered pair: the first's sheet with the second's answers."""
    sheet, most = rows[0]["sheet"], sum(kept["marks"] for kept in rows[0]["tasks"])
    earned = np.zeros((len(rows), len(rows)))
    for place, kept in enumerate(rows[0]["tasks"]):
        tasks = [row["tasks"][place] for row in rows]
        earned += kept["marks"] * KINDS[kept["kind"]](sheet, tasks)
    return np.array([earned[pair] for pair in permutations(range(len(rows)), 2)]) / most


def _choices(sheet, tasks):
    right = np.array([kept["right"] for kept in tasks])
    return right[:, None] == right[None, :]


def _numbers(sheet, tasks):
    value = np.array([kept["right"] for kept in tasks])
    reach = [NumberQuestion(kept["right"], kept["unit"], kept["tolerance"], "").apart for kept in tasks]
    return np.array([[apart(other, own) <= 1 for other in value] for own, apart in zip(value, reach, strict=True)])


def _values(sheet, tasks):
    values = [np.array(kept["right"]) for kept in tasks]
    tolerances = [kept.get("tolerance", EQUAL) for kept in tasks]
    return np.array(
        [
            [len(own) == len(other) and departures(other, own, tolerance).max() <= 1 for other in values]
            for own, tolerance in zip(values, tolerances, strict=True)
        ]
    )


def _outlines(sheet, tasks):
    """Two outlines are at least as far apart as their farthest and as their nearest corners; mostly that is enough."""
    questions = [outline_question(sheet, kept) for kept in tasks]
    radii = [np.hypot(*question.right.T) for question in questions]
    ends = np.array([[radius.min(), radius.max()] for radius in radii])
    right = np.zeros((len(tasks), len(tasks)), bool)
    for one, question in enumerate(questions):
        near = np.abs(ends - ends[one]).max(axis=1) <= 2 * question.tolerance  # the nearest corner is not quite exact
        for other in np.flatnonzero(near):
            copied = question.value(np.round(questions[other].right[::2], 6))
            right[one, other] = question.apart(copied, question.value(question.right)) <= 1
    return right


KINDS = {"number": _numbers, "choice": _choices, "expression": _values, "function": _values, "outline": _outlines}
