"""The questions under "Check yourself" in the lessons: right values, known slips, what to look at.

Each question's words stand in its lesson; its name is the lesson's number and a letter. Right values
are worked out from the library or a formula, never typed; a file holds those of a few lessons. These questions only
guide.
"""

from cyclokit.course.answers.outcomes import judge
from cyclokit.course.questions import beginnings, machines, outlines

QUESTIONS = beginnings.QUESTIONS | outlines.QUESTIONS | machines.QUESTIONS


def check_yourself(name: str, answer: object) -> None:
    """Print one line about an answer; whatever the answer is, nothing is raised.

    Parameters
    ----------
    name : str
        The question's name, as it stands in the lesson.
    answer : object
        What the reader set.
    """
    print(judge(QUESTIONS[name], answer).line(name))
