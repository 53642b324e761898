"""Expressions, functions, outlines and reasons: read strictly, compared by value, never raising.

An expression is equal whatever its form: sin^2 + cos^2 = 1, any handbook (from memory). How far outlines are apart is
held against SciPy in test_outlines.
"""

import math
import time
import warnings

import numpy as np
import pytest
import sympy as sp
from hypothesis import given, settings
from hypothesis import strategies as st
from IPython.display import display

from cyclokit.course.answers import formulas, yours
from cyclokit.course.answers.formulas import ExpressionQuestion, FunctionQuestion, OutlineQuestion
from cyclokit.course.answers.kinds import ChoiceQuestion, Slip
from cyclokit.course.answers.outcomes import LOOK_AGAIN, OPEN, RIGHT, UNREADABLE, judge
from cyclokit.course.answers.reading import SENTENCES
from cyclokit.drive import Drive
from cyclokit.geometry import outline
from tests.course.answers.cases import for_ever

r, phi = sp.symbols("r varphi", positive=True)
EXPRESSION = ExpressionQuestion(
    right=r * sp.cos(2 * phi),
    ranges={"r": (5, 30), "varphi": (0.2, 6)},
    look="Look there.",
    slips=(Slip(r * sp.cos(phi), "Which angle?"), Slip(-r * sp.cos(2 * phi), "Which way?")),
)
POINT = FunctionQuestion(
    right=lambda a: (10 * math.cos(a), 10 * math.sin(a)),
    tries=((0.3,), (2.0,), (-4.0,)),
    wanted="x and y in mm",
    tolerance=0.001,
    look="Look there.",
    slips=(Slip(lambda a: (10 * math.cos(a), -10 * math.sin(a)), "Which way?"),),
)
NUMBER = FunctionQuestion(
    right=lambda pins, radius: 2 * radius * math.sin(math.pi / pins),
    tries=((12, 40.0), (20, 42.0)),
    wanted="a number of mm",
    tolerance=0.001,
    look="Look there.",
)
EXAMPLE = Drive(pins=12, pin_circle_radius=40.0, roller_radius=4.0, eccentricity=1.5)
EDGE = outline.polygon(EXAMPLE, 1e-3)
OUTLINE = OutlineQuestion(
    right=EDGE,
    tolerance=0.05,
    look="Look there.",
    slips=(Slip(outline.centre_path(EXAMPLE, np.linspace(0, 2 * np.pi, 2000)), "Is that the path?"),),
)
REASONED = ChoiceQuestion(right="b", looks={"a": "Follow it.", "c": "Count it."}, reason=True)
ALL = [EXPRESSION, POINT, NUMBER, OUTLINE, REASONED]
NAMES = ["expression", "point", "number", "outline", "reasoned"]


def outcome(question, answer):
    """The outcome; whatever the answer is, it is one line and takes no time to speak of."""
    begun = time.monotonic()
    judged = judge(question, answer)
    assert time.monotonic() - begun < 12  # 8 s on the clock at most and what comes after, on a loaded machine
    line = judged.line("b")
    assert len(line.splitlines()) == 1
    assert len(line) < 500
    return judged.outcome


class LyingArray(np.ndarray):
    """An array that is no distance from anything."""

    def __sub__(self, other):
        return np.zeros(self.shape)

    __rsub__ = __sub__


@settings(max_examples=60)
@given(st.recursive(st.none() | st.booleans() | st.floats() | st.text() | st.binary(), st.lists))
def test_whatever_the_answer_is_it_is_never_right_by_chance(answer):
    for question in ALL:
        assert outcome(question, answer) in {LOOK_AGAIN, UNREADABLE}


@pytest.mark.parametrize("question", ALL, ids=NAMES)
def test_what_nobody_has_answered_is_open(question):
    assert outcome(question, yours) == OPEN


# expressions


def test_values_that_were_worked_out_once_are_those_of_this_question():
    places = {"r": (1, 2), "varphi": (0.2, 6)}
    elsewhere = ExpressionQuestion(EXPRESSION.right, places, EXPRESSION.look)
    for question in (EXPRESSION, elsewhere, EXPRESSION, elsewhere):
        assert question.value(question.right).tolist() == question.read(question.right).tolist()
    assert (elsewhere.value(elsewhere.right) != EXPRESSION.value(EXPRESSION.right)).all()


@pytest.mark.parametrize(
    "answer",
    [
        r * sp.cos(2 * phi),
        r * (sp.cos(phi) ** 2 - sp.sin(phi) ** 2),
        r - 2 * r * sp.sin(phi) ** 2,
        sp.re(r * sp.exp(2 * sp.I * phi)),
        sp.Derivative(r * sp.sin(2 * phi) / 2, phi),
        sp.Integral(-2 * r * sp.sin(2 * phi), (phi, 0, phi)) + r,
        sp.Integral(sp.cos(2 * phi), (r, 0, r)),
        1.0 * r * sp.cos(2.0 * phi),
    ],
    ids=str,
)
def test_an_expression_is_right_in_any_form(answer):
    assert outcome(EXPRESSION, answer) == RIGHT


def test_a_symbol_is_known_by_its_name_whatever_is_assumed_of_it():
    plain_r, plain_phi = sp.symbols("r varphi")
    real_phi = sp.Symbol("varphi", real=True)
    assert outcome(EXPRESSION, plain_r * sp.cos(2 * plain_phi)) == RIGHT
    assert outcome(EXPRESSION, plain_r * sp.cos(2 * real_phi)) == RIGHT


@pytest.mark.parametrize(
    "answer",
    [r, 2 * r * sp.cos(2 * phi), r * sp.cos(2 * phi) + sp.Rational(1, 1000), 0, 12.5, sp.pi, sp.Integer(3)],
    ids=str,
)
def test_another_expression_is_looked_at_again(answer):
    assert outcome(EXPRESSION, answer) == LOOK_AGAIN


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (r * sp.cos(2 * sp.Symbol("q")), "I don't know the symbol q in it, only r, varphi."),
        (r * sp.Function("f")(phi), "no real number"),
        (r * sp.sqrt(-phi), "no real number"),
        (r / (phi - phi), "no real number"),
        (sp.Symbol("a\nb" * 50), "I don't know the symbol"),
    ],
)
def test_an_expression_that_has_no_value_is_told_so(answer, said):
    judged = judge(EXPRESSION, answer)
    assert judged.outcome == UNREADABLE
    assert said in judged.line("b")
    assert len(judged.line("b").splitlines()) == 1


@pytest.mark.parametrize("slip", EXPRESSION.slips, ids=lambda slip: slip.look)
def test_a_wrong_expression_gets_its_own_question_in_any_form(slip):
    judged = judge(EXPRESSION, sp.expand_trig(slip.wrong))
    assert (judged.outcome, judged.look) == (LOOK_AGAIN, slip.look)


@pytest.mark.parametrize(("first", "second"), [(0.143, 0.745), (0.1429, 0.7454), (0.14286, 0.74536)])
def test_an_expression_with_rounded_numbers_is_asked_about_its_figures(first, second):
    torque, gap = sp.symbols("T g")
    right = torque / 7 + sp.sqrt(5) * gap / 3
    question = ExpressionQuestion(right=right, ranges={"T": (1, 9), "g": (1, 9)}, look="Look there.")
    assert outcome(question, right.evalf(15)) == RIGHT
    assert judge(question, first * torque + second * gap).look == SENTENCES["rounded"]
    assert judge(question, 1.03 * right).look == "Look there."


# functions


@pytest.mark.parametrize(
    "answer",
    [
        lambda a: (10 * math.cos(a), 10 * math.sin(a)),
        lambda a: [10 * np.cos(a), 10 * np.sin(a)],
        lambda a: 10 * np.array([np.cos(a), np.sin(a)]),
        lambda a: np.array([[10 * np.cos(a)], [10 * np.sin(a)]]),
        lambda a: sp.Matrix([10 * sp.cos(a), 10 * sp.sin(a)]),
        lambda a: (10 * sp.cos(sp.Rational(str(a))), sp.im(10 * sp.exp(sp.I * sp.Rational(str(a))))),  # exact
        lambda a, radius=10: (radius * math.cos(a), radius * math.sin(a)),
    ],
)
def test_a_function_is_right_by_what_it_gives(answer):
    assert outcome(POINT, answer) == RIGHT


def test_a_number_as_numpys_where_gives_it_is_a_number():
    assert outcome(NUMBER, lambda pins, radius: np.where(pins > 3, 2 * radius * np.sin(np.pi / pins), 0.0)) == RIGHT


def test_a_slip_that_is_nothing_at_all_is_told_from_everything_else():
    question = ExpressionQuestion(
        right=r, ranges={"r": (1, 2)}, look="Elsewhere?", slips=(Slip(sp.Integer(0), "Nothing?"),)
    )
    assert judge(question, sp.Integer(0)).line("a").count("Nothing?") == 1
    assert judge(question, r / 10**6).line("a").count("Elsewhere?") == 1
    assert outcome(question, r) == RIGHT


def test_a_function_of_several_inputs_is_tried_on_all_of_them():
    assert outcome(NUMBER, lambda pins, radius: 2 * radius * np.sin(np.pi / pins)) == RIGHT
    assert outcome(NUMBER, lambda pins, radius: 2 * radius * np.sin(np.pi / 12)) == LOOK_AGAIN  # right for the first


def test_a_function_that_never_ends_is_stopped_and_told_so():
    begun = time.monotonic()
    judged = judge(POINT, for_ever)
    assert "2 s" in judged.look
    assert 1.5 < time.monotonic() - begun < 10  # 2 s of processor time: up to four times that on the clock


def test_what_a_function_prints_or_warns_of_does_not_reach_the_page(capsys):
    def chatty(a):
        print("something" * 1000)
        warnings.warn("odd", stacklevel=1)
        np.log(np.array([-1.0]))
        return 10 * math.cos(a), 10 * math.sin(a)

    assert outcome(POINT, chatty) == RIGHT
    captured = capsys.readouterr()
    assert captured.out == captured.err == ""


def test_a_function_that_returns_yours_is_open():
    assert outcome(POINT, lambda a: yours) == OPEN
    assert outcome(NUMBER, lambda pins, radius: yours) == OPEN


def test_a_result_that_lies_about_its_distance_is_not_right():
    assert outcome(POINT, lambda a: np.array([1.0, 2.0]).view(LyingArray)) == LOOK_AGAIN


def test_the_reader_is_told_what_the_function_gave():
    assert (
        judge(POINT, lambda a: (1.0, 2.0))
        .line("d")
        .startswith("d: look again. I read a function that gives 1, 2 for 0.3.")
    )


def test_the_reader_is_told_what_the_function_raised():
    judged = judge(POINT, lambda a: 1 / 0)
    assert judged.look == "Called with 0.3 it raised ZeroDivisionError: division by zero."


@pytest.mark.parametrize(
    ("result", "said"),
    [
        ((1.0, math.nan), "Entry 1 is nan."),
        ((1.0, "84"), "type str"),
        ((1.0, None), "Entry 1 is no finite number, but of type NoneType."),
        ((r, 1.0), "Entry 0 is no finite number, but of type Symbol."),
        ((1.0, 2.0, 3.0), "(3,)"),
    ],
)
def test_the_reader_is_told_which_entry_can_not_be_read(result, said):
    judged = judge(POINT, lambda a: result)
    assert judged.outcome == UNREADABLE
    assert judged.look.startswith("Called with 0.3 it should give x and y in mm")
    assert said in judged.look


def test_half_of_a_point_that_is_yours_is_open():
    assert outcome(POINT, lambda a: (1.0, yours)) == OPEN


def test_a_function_that_swallows_an_interrupt_is_not_waited_for_at_every_input(monkeypatch):
    monkeypatch.setattr(formulas, "PATIENCE", 0.5)

    def swallows(a):
        try:
            end = time.monotonic() + 60
            while time.monotonic() < end:
                pass
        except KeyboardInterrupt:
            return 10 * math.cos(a), 10 * math.sin(a)

    assert outcome(POINT, swallows) == UNREADABLE


def test_what_a_function_displays_does_not_reach_the_page(capsys):
    def shows(a):
        display("d: right.")
        return 1.0, 2.0

    assert outcome(POINT, shows) == LOOK_AGAIN
    assert capsys.readouterr().out == ""


def test_a_wrong_function_gets_its_own_question():
    assert judge(POINT, lambda a: (10 * math.cos(-a), 10 * math.sin(-a))).look.startswith("Which way?")


@pytest.mark.parametrize(("share", "expected"), [(0.00095, RIGHT), (0.0011, LOOK_AGAIN)])
def test_a_function_keeps_the_stated_tolerance(share, expected):
    assert outcome(NUMBER, lambda pins, radius: (1 + share) * 2 * radius * math.sin(math.pi / pins)) == expected


@pytest.mark.parametrize(("off", "expected"), [(0.00095, RIGHT), (0.0011, LOOK_AGAIN)])
@pytest.mark.parametrize("place", range(3))
@pytest.mark.parametrize("part", range(2))
def test_a_function_keeps_the_stated_tolerance_at_every_place_in_every_number(place, part, off, expected):
    def nearly(a):
        numbers = [10 * math.cos(a), 10 * math.sin(a)]
        numbers[part] *= 1 + off * (a == POINT.tries[place][0])
        return numbers

    assert outcome(POINT, nearly) == expected


def test_a_number_that_is_nearly_nothing_is_compared_with_a_hundredth_of_the_largest():
    question = FunctionQuestion(lambda a: a, ((100.0,), (0.0,)), "a number", 0.001, "Look there.")
    for off, expected in ((0.0009, RIGHT), (0.0011, LOOK_AGAIN)):  # 0.1 % of 1 % of 100
        assert outcome(question, lambda a, off=off: a or off) == expected


def test_a_term_that_shows_only_where_the_expression_is_small_is_seen():
    steep = ExpressionQuestion(right=r**2, ranges={"r": (1, 30)}, look="Look there.")
    smallest = 1 + 29 * (5 * math.sqrt(2) % 1)  # the fifth place, where the value is a seventieth of the largest
    for share, expected in ((0.95e-6, RIGHT), (1.1e-6, LOOK_AGAIN)):
        assert outcome(steep, r**2 + share * smallest**2 * sp.exp(-100 * (r - smallest) ** 2)) == expected


def test_a_function_is_called_right_for_an_input_only_where_it_is():
    question = FunctionQuestion(lambda a: a, ((1.0,), (2.0,)), "a number", 0.001, "Look there.")
    for answer in (lambda a: 1e6 * a, lambda a: 1.01 * a, lambda a: a + 0.5, lambda a: 3 * a if a == 1 else a):
        assert "It is right for" not in judge(question, answer).look
    assert judge(question, lambda a: a**2).look.startswith("It is right for 1. Is it for 2?")


def test_a_function_that_goes_wrong_later_is_told_where():
    judged = judge(POINT, lambda a: (10 * math.cos(abs(a)), 10 * math.sin(abs(a))))
    assert judged.look == "It is right for 0.3. Is it for -4? (Accepted within 0.1 %.)"
    assert judge(POINT, lambda a: (1.0, 2.0)).look.startswith("Look there.")


# outlines


@given(begin=st.integers(0, 500), backwards=st.booleans(), closed=st.booleans())
@settings(max_examples=20)
def test_an_outline_may_begin_anywhere_and_run_either_way(begin, backwards, closed):
    points = np.roll(EDGE[:-1], begin, axis=0)[:: -1 if backwards else 1]
    points = np.vstack([points, points[:1]]) if closed else points
    assert outcome(OUTLINE, points) == RIGHT
    assert outcome(OUTLINE, points.tolist()) == RIGHT


def test_an_outline_may_have_few_points_or_many_as_long_as_the_lines_between_them_stay_near():
    for count, expected in ((40, LOOK_AGAIN), (400, RIGHT), (50_000, RIGHT)):
        t = np.linspace(0, 2 * np.pi, count, endpoint=False)
        assert outcome(OUTLINE, outline.points(EXAMPLE, t)) == expected


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize(("out", "expected"), [(0.045, RIGHT), (0.055, LOOK_AGAIN)])
def test_an_outline_keeps_the_stated_tolerance(out, expected, side):
    t = np.linspace(0, 2 * np.pi, 4000, endpoint=False)
    assert outcome(OUTLINE, outline.points(EXAMPLE, t) + side * out * outline.normals(EXAMPLE, t)) == expected


@pytest.mark.parametrize(
    "points",
    [
        EDGE[: len(EDGE) // 2],  # half of it, closed by a straight line
        EDGE * 1.01,
        EDGE + np.array([0.2, 0.0]),
        EDGE @ np.array([[1.0, 0.0], [0.0, 1e9]]),
        np.tile([[1e12, -1e12], [-1e12, 1e12]], (50_000, 1)),
        np.zeros((10, 2)),
        np.random.default_rng(1).uniform(-45, 45, (100_000, 2)),  # millions of mm long
    ],
    ids=["half", "larger", "moved", "stretched", "huge", "a point", "scribble"],
)
def test_another_outline_is_looked_at_again(points):
    assert outcome(OUTLINE, points) == LOOK_AGAIN


@pytest.mark.parametrize("count", [30, 60, 100])
def test_an_outline_with_too_few_points_is_told_so(count):
    few = outline.points(EXAMPLE, np.linspace(0, 2 * np.pi, count, endpoint=False))
    assert judge(OUTLINE, few).look.startswith("The points lie where they should. Do the straight lines")
    assert judge(OUTLINE, few * 1.01).look.startswith("Look there.")


def test_a_wrong_outline_gets_its_own_question():
    path = outline.centre_path(EXAMPLE, np.linspace(1.0, 1.0 + 2 * np.pi, 900))
    assert judge(OUTLINE, path).look == "Is that the path? (Accepted within 0.05 mm.)"


# reasons


@pytest.mark.parametrize("letter", ["b", "B", " b "])
def test_a_letter_with_a_reason_is_right_whatever_the_reason_says(letter):
    judged = judge(REASONED, (letter, "Because I say so."))
    assert judged.line("e") == "e: right. I read b, and a reason of 4 words, which a person reads."


@pytest.mark.parametrize("reason", ["", "  \n "])
def test_a_reason_with_nothing_in_it_is_open(reason):
    judged = judge(REASONED, ("b", reason))
    assert judged.line("e") == "e: still open. A letter and a reason in words are both asked for."


@pytest.mark.parametrize(
    ("pair", "said"),
    [(("b", yours), "both asked for"), ((yours, "because"), "both asked for"), ((yours, yours), "in place of `yours`")],
)
def test_half_a_reasoned_answer_is_open_and_told_so(pair, said):
    assert outcome(REASONED, pair) == OPEN
    assert said in judge(REASONED, pair).look


def test_a_wrong_letter_gets_its_own_question_and_a_long_reason_fits_one_line():
    judged = judge(REASONED, ("a", "because\n" * 10_000))
    assert judged.line("e") == "e: look again. I read a, and a reason of 10000 words, which a person reads. Follow it."


# in an examination


@pytest.mark.parametrize(
    ("question", "answer", "line"),
    [
        (REASONED, ("a", "because"), "b: read as a, and a reason of 1 word, which a person reads."),
        (EXPRESSION, r, "b: read as r."),
        (EXPRESSION, "r", "b: can't be read. I need a SymPy expression, and got something of type str."),
        (EXPRESSION, yours, "b: still open. Put your answer in place of `yours`."),
    ],
)
def test_a_quiet_check_says_only_what_was_read(question, answer, line):
    assert judge(question, answer).quiet_line("b").startswith(line)


@pytest.mark.parametrize("question", ALL, ids=NAMES)
def test_a_quiet_check_says_the_same_of_right_and_wrong(question):
    right, wrong = question.right, question.slips[0].wrong if question.slips else lambda pins, radius: 1.0
    if question is REASONED:
        right, wrong = (right, "because"), (wrong, "because")
    for answer in (right, wrong):
        line = judge(question, answer).quiet_line("b")
        assert line.startswith("b: read as ")
        assert not any(word in line for word in ("right", "look", "Accepted"))


def test_many_more_points_on_one_side_make_no_other_outline():
    half = len(EDGE) // 2
    crowded = np.vstack([EDGE[:half], np.repeat(EDGE[half : half + 1], 5000, axis=0), EDGE[half:]])
    assert outcome(OUTLINE, crowded) == RIGHT


@given(st.floats(-0.9, 0.9), st.floats(1.2, 2.8))
def test_an_outline_that_reaches_about_as_far_is_still_looked_at_everywhere(farther, inwards):
    reach = np.hypot(*EDGE.T)
    tips, roots = reach > 0.999 * reach.max(), reach < 1.001 * reach.min()
    moved = EDGE.copy()
    moved[tips] *= 1 + farther * OUTLINE.tolerance / reach.max()
    moved[roots] *= 1 - inwards * OUTLINE.tolerance / reach.min()
    assert outcome(OUTLINE, moved) == LOOK_AGAIN


@pytest.mark.parametrize("place", [3, 100, 200])
def test_an_outline_that_strays_or_leaves_a_piece_out_is_seen_from_the_one_and_from_the_other(place):
    spike = [EDGE[place - 1] * 0.99, EDGE[place - 1]]  # inwards, and back to where it began
    strays = np.insert(EDGE[:-1], place, spike, axis=0)
    once = np.roll(EDGE[:-1], place, axis=0)[:-8]
    leaves_out = np.vstack([once, once[-2:0:-1]])  # there and back again, nowhere off the outline
    assert outcome(OUTLINE, strays) == outcome(OUTLINE, leaves_out) == LOOK_AGAIN
