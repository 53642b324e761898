"""The derivation in SymPy against the closed outline, and against itself made another way.

Sources
-------
`cyclokit.geometry.outline` holds the closed form and is checked on its own against quadrature,
differentiation and shapely. Double generation (a circle of Rp/N on Rp (N - 1)/N and the pitch circles e N,
e (N - 1) draw one curve), the radius of curvature of the centre path and the story's point: derived,
each by two methods. Curvature of a parallel curve: any textbook of differential geometry, from memory;
here held against the definition, differentiated without any simplification.
"""

import math

import numpy as np
import pytest
import sympy as sp
from hypothesis import given, settings
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import derivation, outline, rolling
from cyclokit.geometry.derivation import N, Rp, e, n, r, t, u
from tests.geometry.drives import STORY, UNDERCUT, as_complex, sound_drives

ROUND = np.linspace(0, 2 * np.pi, 1001)
FIRST = derivation.derive(derivation.first_generation())
SECOND = derivation.derive(derivation.second_generation())
GAP = derivation.closing_gap(derivation.path_of_arches())


def relative(values, expected):
    """Greatest departure, as a part of the greatest value on the curve."""
    return np.abs(values - expected).max() / np.abs(expected).max()


@pytest.fixture(params=[FIRST, SECOND], ids=["first generation", "second generation"])
def steps(request):
    return request.param


def test_equal_arcs_make_the_contact_wander_in_the_ratio_of_the_radii():
    large, small = sp.symbols("A B", positive=True)
    wandered = derivation.no_slip(large, small)
    assert sp.simplify(large * t - small * wandered) == 0


def test_a_coin_rolled_once_round_an_equal_one_turns_twice():
    # the classic; any book of puzzles, from memory
    assert derivation.turn_outside(derivation.no_slip(r, r)).subs(t, 2 * sp.pi) == 2 * 2 * sp.pi


def test_the_rolling_circle_turns_as_often_as_there_are_pins():
    wandered = derivation.no_slip(Rp * (N - 1) / N, Rp / N)
    assert derivation.turn_outside(wandered) == N * t
    assert derivation.arches(wandered) == N - 1


def test_the_ring_turns_by_one_pin_while_it_rolls_once_round_the_disc():
    turned = derivation.turn_of_ring(derivation.no_slip(e * (N - 1), e * N, u), u)
    assert turned.subs(u, 2 * sp.pi) == 2 * sp.pi / N


def test_both_generations_are_one_curve():
    assert derivation.first_generation() == derivation.second_generation()


def test_the_first_generation_is_the_epitrochoid_of_lesson_1():
    radius = STORY.pin_circle_radius / STORY.pins
    drawn = rolling.epitrochoid(STORY.pin_circle_radius - radius, radius, STORY.eccentricity, ROUND)
    assert relative(derivation.numeric(FIRST.path, STORY, ROUND), drawn) < 1e-12


def pairs(steps):
    """Each step's expression beside the library's function."""
    return [
        (steps.path, outline.centre_path),
        (steps.normal, outline.normals),
        (steps.outline, outline.points),
        (steps.curvature, outline.curvature),
    ]


def test_every_step_agrees_with_the_outline(steps):
    for expression, function in pairs(steps):
        assert relative(derivation.numeric(expression, STORY, ROUND), function(STORY, ROUND)) < 1e-12


def test_an_undercut_outline_is_drawn_alike_too(steps):
    for expression, function in pairs(steps)[:-1]:  # its curvature passes through infinity, where no digit is left
        assert relative(derivation.numeric(expression, UNDERCUT, ROUND), function(UNDERCUT, ROUND)) < 1e-12


@settings(max_examples=30)
@given(sound_drives(), st.lists(st.floats(0.0, 7.0), min_size=1, max_size=20))
def test_every_step_agrees_with_the_outline_for_every_sound_drive(drive, at):
    at = np.append(np.linspace(0, 2 * np.pi, 20 * drive.pins), at)  # so that the curve's largest value is among them
    # the speed squared, 1 + K^2 - 2 K cos, loses digits as the trochoid ratio K nears 1: at the largest here, 0.95,
    # a rounding counts (1 + K)^2/(1 - K)^2 = 1500 times, 3e-13; 5e-13 measured
    for expression, function in pairs(FIRST):
        assert relative(derivation.numeric(expression, drive, at), function(drive, at)) < 1e-12


def test_the_tangent_is_square_to_the_normal_and_as_long_as_the_pen_is_fast(steps):
    along = as_complex(derivation.numeric(steps.tangent, STORY, ROUND))
    outward = as_complex(outline.normals(STORY, ROUND))
    # Rp sqrt(1 + K^2 - 2 K cos((N - 1) t)), derived
    k = STORY.trochoid_ratio
    speed = STORY.pin_circle_radius * np.sqrt(1 + k**2 - 2 * k * np.cos(STORY.lobes * ROUND))
    assert relative(along, 1j * outward * speed) < 1e-12


def test_the_storys_point(steps):
    # derived, two methods; digits as printed there
    assert derivation.numeric(steps.outline, STORY, 0.3) == pytest.approx([36.042420317344, 8.618984839797], abs=5e-13)
    assert derivation.numeric(steps.curvature, STORY, 0.3) == pytest.approx(-0.105701564746, abs=5e-13)


def test_the_radius_of_curvature_of_the_centre_path():
    k, theta = e * N / Rp, (N - 1) * t
    printed = (
        Rp * (1 + k**2 - 2 * k * sp.cos(theta)) ** sp.Rational(3, 2) / (1 + N * k**2 - k * (1 + N) * sp.cos(theta))
    )
    found = derivation.path_curvature(FIRST.tangent)
    at = ROUND[:-1]
    assert relative(derivation.numeric(found, STORY, at), derivation.numeric(1 / printed, STORY, at)) < 1e-12


def test_the_rule_of_parallel_curves_gives_what_differentiating_twice_gives():
    velocity = FIRST.outline.diff(t)
    change = velocity.diff(t)
    x, y = (derivation.numeric(vector, STORY, ROUND).T for vector in (velocity, change))
    by_definition = (x[0] * y[1] - x[1] * y[0]) / np.hypot(*x) ** 3
    # a few hundred operations on numbers that partly cancel: 1e-13 measured
    assert relative(derivation.numeric(FIRST.curvature, STORY, ROUND), by_definition) < 1e-12


def test_a_curve_closes_after_one_turn_exactly_when_its_arches_are_whole():
    assert not GAP.has(t)  # the same for every place on the curve
    whole = sp.symbols("m", integer=True, positive=True)
    assert GAP.subs(n, whole) == 0
    for part in (sp.Rational(1, 2), sp.Rational(7, 2), sp.Rational(58, 3), sp.sqrt(2), sp.Rational(1901, 100)):
        assert GAP.subs(n, part) > 0
    # half an arch over, the pen ends on the other side of the rolling circle's centre
    assert GAP.subs(n, sp.Rational(39, 2)) == 2 * e


def test_the_path_of_n_arches_is_a_drives_when_n_is_its_lobes():
    assert derivation.path_of_arches().subs(n, N - 1) == derivation.first_generation()


@given(st.fractions(1, 40, max_denominator=12))
def test_the_closing_gap_is_what_the_pen_measures(arches):
    radius, arm = 42.0, 1.4
    rolling_radius = radius / (float(arches) + 1)
    start, end = rolling.epitrochoid(radius - rolling_radius, rolling_radius, arm, [0.3, 0.3 + 2 * np.pi])
    gap = GAP.subs({n: sp.Rational(arches.numerator, arches.denominator), e: sp.Rational(14, 10)})
    assert float(gap) == pytest.approx(math.dist(start, end), abs=1e-11)  # 40 turns of rounding on 1.4 mm


def test_the_closing_gap_of_a_drive_is_nothing(steps):
    assert derivation.closing_gap(steps.path) == 0


def test_no_step_is_typed_in_finished_form():
    """Change a circle and every later step follows: with the pen on the edge the path has cusps, K = 1."""
    path = derivation.centre_path(t, derivation.turn_outside(derivation.no_slip(3 * r, r)), 4 * r, -r)
    fast = derivation.length_squared(derivation.tangent(path))
    # the epicycloid's speed 2 (R + r) sin(R a/(2 r)) of lesson 1, from memory any handbook's
    assert sp.simplify(fast - (8 * r * sp.sin(3 * t / 2)) ** 2) == 0


@pytest.mark.parametrize("shape", [(), (4,), (2, 3)])
def test_numbers_have_the_shape_of_their_parameters(shape):
    at = np.full(shape, 0.3)
    assert derivation.numeric(FIRST.path, STORY, at).shape == (*shape, 2)
    assert derivation.numeric(FIRST.curvature, STORY, at).shape == shape
    assert (derivation.numeric(Rp + e, STORY, at) == 43.4).all()  # a constant, everywhere


def test_a_symbol_without_a_number_is_refused_in_words():
    with pytest.raises(ValueError, match="expression contains n, u, but only t, N, R_p, r and e have numbers"):
        derivation.numeric(n * sp.cos(u), STORY, ROUND)


def test_a_cusp_is_refused_in_words():
    cusped = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=2.1)
    with pytest.raises(ValueError, match="at contains 0 rad, where the expression has no value"):
        derivation.numeric(FIRST.normal, cusped, [0.1, 0.0])
    with pytest.raises(ValueError, match="at contains inf"):
        derivation.numeric(FIRST.normal, STORY, math.inf)
