"""What a reader answers: read strictly, compared, and told apart in four outcomes. `yours` stands for an open one.

- `formulas.ExpressionQuestion`: A question whose answer is an expression, equal in value, whatever its form
- `formulas.FunctionQuestion`: A question whose answer is a function, tried on inputs that the reader has not seen
- `formulas.OutlineQuestion`: A question whose answer is an outline, an array (m, 2) of points joined by straight lines
- `formulas.shares`: Each departure counted in tolerances; from a target that is nothing everything else is far away
- `guesses.GuessedNumber`: A number that is guessed: `tolerance` is wide
- `guesses.GuessedWord`: One of a few words or letters that is guessed
- `guesses.answered`: The line that answers a reader's guess, whatever object it is
- `kinds.Slip`: A wrong answer that has a known cause, and the question that it raises
- `kinds.Question`: What all kinds have in common
- `kinds.NumberQuestion`: A question whose answer is a number
- `kinds.ChoiceQuestion`: A question with a few answers to choose from by letter, perhaps with a reason in words
- `outcomes.Judged`: What came out: the outcome, what was read ("" if nothing was), and one thing to look at
- `outcomes.judge`: What comes of an answer, whatever object it is
- `outlines.apart`: Greatest distance of either outline from the other, counted in tolerances (Hausdorff)
- `outlines.off`: Greatest distance of any of a few points from an outline [mm]
- `patience.TookTooLong`: The work was stopped because its time was over
- `patience.within`: The result of `work()`, if it comes in time
- `reading.Unreadable`: The answer is none of its kind; the message says why
- `reading.StillOpen`: The answer, or a part of it, is still `yours`; the message says what to do
- `reading.real`: A finite real number: exact, in an array of one, or complex with nothing imaginary; True is none
- `reading.reals`: An array of finite real numbers; one row or one column becomes a plain row of numbers
- `reading.told`: The error's type and text on one line; the type alone if its text can't be had
- `reading.one_line`: The thing's text on one line that can be read at a glance
- `reading.kind_of`: The type's name on one line, whatever somebody called it
- `reading.silence`: Nothing that an answer prints, displays or warns of reaches the page
"""

from cyclokit.course.answers.reading import yours

__all__ = ["yours"]
