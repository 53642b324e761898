"""Right answers as readers round them, by way of decimal text, which shares nothing with how the library tells."""

from decimal import ROUND_HALF_DOWN, ROUND_HALF_UP, Decimal

from cyclokit.course.answers.outcomes import RIGHT, judge
from cyclokit.course.answers.reading import SENTENCES


def rounded(value):
    """The value to two figures and more, and to a whole number, halves rounded either way."""
    exact = Decimal(repr(float(value)))
    leading = exact.adjusted()
    lasts = {Decimal(1).scaleb(leading - figures) for figures in range(1, 7)} | {Decimal(1)}
    texts = {exact.quantize(last, way) for last in lasts if last <= Decimal(10) ** leading for way in WAYS}
    return sorted(float(text) for text in texts)


WAYS = (ROUND_HALF_UP, ROUND_HALF_DOWN)


def misread(question):
    """Rounded right answers that are asked about anything but rounding, although they are no known slip."""
    if not question.tolerance:  # a whole number that must be met is not rounded
        return []
    return [value for value in rounded(question.right) if not _fair(question, value)]


def _fair(question, value):
    judged = judge(question, value)
    if judged.outcome == RIGHT or judged.look.startswith(SENTENCES["rounded"]):
        return True
    known = [slip for slip in question.slips if abs(slip.wrong - value) <= question.tolerance * abs(slip.wrong)]
    return any(
        judged.look.startswith(slip.look) and abs(slip.wrong - value) < abs(question.right - value) for slip in known
    )
