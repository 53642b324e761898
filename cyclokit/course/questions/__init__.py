"""The questions under "Check yourself" in the lessons and the guesses: right values, known slips, what to look at.

Each question's words stand in its lesson; its name is the lesson's number and a letter. Right values
are worked out from the library or a formula, never typed; a file holds those of the lesson whose name it has. These
questions only guide. A guess has the lesson's number and a word, such as "0-turns".
"""

from cyclokit.arguments import checked_choice
from cyclokit.course.answers.guesses import Guess, answered
from cyclokit.course.answers.outcomes import judge
from cyclokit.course.questions import (
    circles_that_roll,
    four_numbers,
    from_a_point_to_a_roller,
    getting_the_motion_out,
    how_the_motion_goes,
    one_lobe_fewer,
    start_here,
    tools,
    who_carries_the_load,
    will_it_break,
)

QUESTIONS = {
    **start_here.QUESTIONS,
    **tools.QUESTIONS,
    **circles_that_roll.QUESTIONS,
    **from_a_point_to_a_roller.QUESTIONS,
    **one_lobe_fewer.QUESTIONS,
    **how_the_motion_goes.QUESTIONS,
    **four_numbers.QUESTIONS,
    **getting_the_motion_out.QUESTIONS,
    **who_carries_the_load.QUESTIONS,
    **will_it_break.QUESTIONS,
}
GUESSES: dict[str, Guess] = {
    **start_here.GUESSES,
    **tools.GUESSES,
    **circles_that_roll.GUESSES,
    **from_a_point_to_a_roller.GUESSES,
    **one_lobe_fewer.GUESSES,
    **how_the_motion_goes.GUESSES,
    **four_numbers.GUESSES,
    **getting_the_motion_out.GUESSES,
    **who_carries_the_load.GUESSES,
    **will_it_break.GUESSES,
}


def answer_guess(name: str, guess: object) -> None:
    """Print one line that answers a guess: what was read, and what was right in it; nothing is raised.

    Parameters
    ----------
    name : str
        The guess's name, as it stands in the lesson.
    guess : object
        What the reader set.

    Raises
    ------
    ValueError
        If there is no such guess.
    """
    print(answered(GUESSES[checked_choice("name", name, tuple(GUESSES))], guess))


def check_yourself(name: str, answer: object) -> None:
    """Print one line about an answer; whatever the answer is, nothing is raised.

    Parameters
    ----------
    name : str
        The question's name, as it stands in the lesson.
    answer : object
        What the reader set.

    Raises
    ------
    ValueError
        If there is no such question.
    """
    print(judge(QUESTIONS[checked_choice("name", name, tuple(QUESTIONS))], answer).line(name))
