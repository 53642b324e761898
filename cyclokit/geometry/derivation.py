"""From the rolling circle to the outline of the disc, in SymPy, one function a step.

Read it next to lesson 2. Nothing here is typed in finished form: every function takes what the
step before it returned, and `derive` runs them one after the other. The curve comes about in two
ways that share no circle and are the same curve in the end:

- `first_generation`: a circle of radius Rp/N rolls round one of Rp (N - 1)/N;
- `second_generation`: the ring's pitch circle, e N, rolls round the disc's, e (N - 1).

Vectors are 2 x 1 matrices, angles count counter-clockwise.
"""

from dataclasses import dataclass
from numbers import Real

import numpy as np
import sympy as sp
from numpy.typing import ArrayLike
from sympy.simplify.fu import TR8

from cyclokit.arguments import LARGEST, Floats, angles, checked_kind
from cyclokit.drive import Drive

# N pins, pin circle radius Rp, roller radius r, eccentricity e
N = sp.symbols("N", integer=True, positive=True)
Rp, r, e = sp.symbols("R_p r e", positive=True)
# t is the parameter of the outline, u any angle by which one circle's centre goes round another's,
# b the angle by which their contact wanders on the rolling one
t, u, b = sp.symbols("t u b", real=True)
# arches in one turn, whole or not
n = sp.symbols("n", positive=True)


def _expression(name: str, value: sp.Expr) -> sp.Expr:
    """An expression or a number; never a text, which SymPy would run as Python."""
    if isinstance(value, bool) or not isinstance(value, sp.Expr | Real) or isinstance(value, sp.MatrixBase):
        kind = type(value).__name__
        raise TypeError(f"{name} must be an expression, not a {kind}: make one of the module's symbols, such as R_p/N.")
    expression = sp.sympify(value)
    endless = expression.has(sp.nan, sp.oo, -sp.oo, sp.zoo)
    if endless or (expression.is_number and bool(abs(expression) > LARGEST)):
        raise ValueError(f"{name} has no finite value: give a number, or an expression of the module's symbols.")
    return expression


def _vector(name: str, value: sp.Matrix) -> sp.Matrix:
    if not isinstance(value, sp.MatrixBase) or value.shape != (2, 1):
        kind = type(value).__name__
        raise TypeError(f"{name} must be a 2 x 1 matrix, not a {kind}: give what the step before returned.")
    return value


def turned_by(angle: sp.Expr) -> sp.Matrix:
    """The matrix that turns a vector counter-clockwise.

    Examples
    --------
    >>> turned_by(sp.pi / 2)
    Matrix([
    [0, -1],
    [1,  0]])
    """
    angle = _expression("angle", angle)
    return sp.Matrix([[sp.cos(angle), -sp.sin(angle)], [sp.sin(angle), sp.cos(angle)]])


def no_slip(fixed_radius: sp.Expr, rolling_radius: sp.Expr, around: sp.Expr = t) -> sp.Expr:
    """Angle b by which the contact wanders on the rolling circle while that goes round by `around`.

    No slip means that the arc used up on the fixed circle is as long as the one used up on the rolling
    circle. On each, the arc is radius times angle.

    Examples
    --------
    >>> no_slip(3 * r, r)
    3*t
    """
    fixed_radius, rolling_radius = (
        _expression("fixed_radius", fixed_radius),
        _expression("rolling_radius", rolling_radius),
    )
    around = _expression("around", around)
    if rolling_radius == 0:
        raise ValueError("rolling_radius is 0, but a point can't roll: give a circle's radius.")
    equal_arcs = sp.Eq(fixed_radius * around, rolling_radius * b)
    return sp.solve(equal_arcs, b)[0]


def turn_outside(wandered: sp.Expr, around: sp.Expr = t) -> sp.Expr:
    """Turn of a circle that rolls on the outside of another, seen by who stands beside.

    The line between the centres has turned by `around`; on top of that comes what the contact wandered.

    Examples
    --------
    >>> turn_outside(3 * t)  # a circle that rolls round one three times as large
    4*t
    """
    wandered, around = _expression("wandered", wandered), _expression("around", around)
    return sp.factor(around + wandered)


def turn_of_ring(wandered: sp.Expr, around: sp.Expr = t) -> sp.Expr:
    """Turn of a ring that rolls round a smaller circle inside it, seen by who sits on that circle.

    The contact wanders the way the ring goes round, so the ring itself turns only by what is left.

    Examples
    --------
    >>> turn_of_ring(no_slip(e * 19, e * 20))  # a ring with 20 pins
    t/20
    """
    wandered, around = _expression("wandered", wandered), _expression("around", around)
    return sp.factor(around - wandered)


def centre_path(around: sp.Expr, turned: sp.Expr, centre_arm: sp.Expr, pen_arm: sp.Expr) -> sp.Matrix:
    """Path of a pen on the rolling circle: two arms joined end to end, each turning at its own rate.

    The first arm leads from the fixed circle's centre to the rolling one's and turns by `around`, the second
    from there to the pen and turns by `turned`. Both start along x; a negative arm starts backwards.

    Examples
    --------
    >>> centre_path(t, 20 * t, Rp, -e)
    Matrix([
    [R_p*cos(t) - e*cos(20*t)],
    [R_p*sin(t) - e*sin(20*t)]])
    """
    around, turned = _expression("around", around), _expression("turned", turned)
    centre_arm, pen_arm = _expression("centre_arm", centre_arm), _expression("pen_arm", pen_arm)
    return turned_by(around) * sp.Matrix([centre_arm, 0]) + turned_by(turned) * sp.Matrix([pen_arm, 0])


def first_generation() -> sp.Matrix:
    """The centre path from a circle of Rp/N on one of Rp (N - 1)/N; the pen starts e nearer the middle.

    Examples
    --------
    >>> first_generation()
    Matrix([
    [R_p*cos(t) - e*cos(N*t)],
    [R_p*sin(t) - e*sin(N*t)]])
    """
    fixed, rolling = Rp * (N - 1) / N, Rp / N
    return centre_path(t, turn_outside(no_slip(fixed, rolling)), sp.simplify(fixed + rolling), -e)


def second_generation() -> sp.Matrix:
    """The centre path from the pitch circles: the ring's, with a pin on it, rolls round the disc's.

    Seen from the disc the ring's centre starts at -e and the pin is Rp away from it. These are the two
    arms of the first generation in the other order, and the order of a sum doesn't matter.

    Examples
    --------
    >>> sp.simplify(second_generation() - first_generation())
    Matrix([
    [0],
    [0]])
    """
    turned = turn_of_ring(no_slip(e * (N - 1), e * N, u), u)
    path = centre_path(u, turned, -e, Rp)
    around = sp.solve(sp.Eq(turned, t), u)[0]  # told by the pin's turn t, as the first generation is
    return path.subs(u, around)


def tangent(path: sp.Matrix) -> sp.Matrix:
    """Tangent of a path: its derivative, as long as the pen is fast [mm per radian of t].

    Examples
    --------
    >>> tangent(first_generation())[0]
    N*e*sin(N*t) - R_p*sin(t)
    """
    path = _vector("path", path)
    return path.diff(t)


def products_to_sums(expression: sp.Expr) -> sp.Expr:
    """Products of sines and cosines written as sums, multiplied out.

    With cos A cos B = (cos(A - B) + cos(A + B))/2 and sin A sin B = (cos(A - B) - cos(A + B))/2 on every product
    the terms in A + B cancel, and for A = B that is sin^2 + cos^2 = 1. SymPy knows the rule as TR8.

    Examples
    --------
    >>> products_to_sums(sp.cos(t) * sp.cos(N * t) + sp.sin(t) * sp.sin(N * t))
    cos(t*(N - 1))
    """
    expression = _expression("expression", expression)
    sums = sp.expand(TR8(sp.expand(expression)))
    return sums.replace(sp.cos, lambda angle: sp.cos(sp.factor(angle)))  # N t - t reads better as (N - 1) t


def length_squared(vector: sp.Matrix) -> sp.Expr:
    """Square of a vector's length, without products of sines and cosines.

    Examples
    --------
    >>> length_squared(tangent(first_generation()))
    N**2*e**2 - 2*N*R_p*e*cos(t*(N - 1)) + R_p**2
    """
    vector = _vector("vector", vector)
    return products_to_sums(vector.dot(vector))


def normal(tangent: sp.Matrix) -> sp.Matrix:
    """Outward unit normal: the tangent turned clockwise by a quarter turn, divided by its length.

    Clockwise, because the path runs counter-clockwise and so has its outside on the right.

    Examples
    --------
    >>> normal(sp.Matrix([0, 3]))
    Matrix([
    [1],
    [0]])
    """
    tangent = _vector("tangent", tangent)
    return turned_by(-sp.pi / 2) * tangent / sp.sqrt(length_squared(tangent))


def outline(path: sp.Matrix, normal: sp.Matrix) -> sp.Matrix:
    """Outline of the disc: from the roller's centre one roller radius inwards.

    There the roller touches, because it touches at right angles to the way its centre goes.

    Examples
    --------
    >>> outline(sp.Matrix([Rp, 0]), sp.Matrix([1, 0]))
    Matrix([
    [R_p - r],
    [      0]])
    """
    path, normal = _vector("path", path), _vector("normal", normal)
    return path - r * normal


def path_curvature(tangent: sp.Matrix) -> sp.Expr:
    """Curvature of the centre path [1/mm], positive where it bulges outwards.

    How fast the tangent turns, per length: (x' y'' - y' x'')/speed^3.

    Examples
    --------
    >>> path_curvature(tangent(sp.Matrix([Rp * sp.cos(t), Rp * sp.sin(t)])))
    1/R_p
    """
    tangent = _vector("tangent", tangent)
    change = tangent.diff(t)
    turning = products_to_sums(tangent[0] * change[1] - tangent[1] * change[0])
    return turning / length_squared(tangent) ** sp.Rational(3, 2)


def outline_curvature(path_curvature: sp.Expr) -> sp.Expr:
    """Curvature of the outline [1/mm], by the rule of parallel curves.

    A curve and its parallel have their centres of curvature in common, so moving inwards by r makes the radius
    of curvature smaller by r. Differentiating the outline twice gives the same, pages later.

    Examples
    --------
    >>> outline_curvature(1 / Rp)
    1/(R_p - r)
    """
    path_curvature = _expression("path_curvature", path_curvature)
    radius = 1 / path_curvature
    return sp.together(1 / (radius - r))


def arches(wandered: sp.Expr) -> sp.Expr:
    """Number of arches in one turn: how often the contact comes round the rolling circle meanwhile.

    Examples
    --------
    >>> arches(no_slip(3 * r, r))
    3
    """
    wandered = _expression("wandered", wandered)
    return sp.cancel(wandered.subs(t, 2 * sp.pi) / (2 * sp.pi))


def path_of_arches() -> sp.Matrix:
    """A path like `first_generation`, but with n arches in a turn, where n need not be whole.

    Examples
    --------
    >>> path_of_arches()[0]
    R_p*cos(t) - e*cos(t*(n + 1))
    """
    rolling = Rp / (n + 1)
    fixed = n * rolling
    return centre_path(t, turn_outside(no_slip(fixed, rolling)), sp.simplify(fixed + rolling), -e)


def closing_gap(path: sp.Matrix) -> sp.Expr:
    """How far the pen is, after one turn, from where it was [mm]; the curve closes where this is zero.

    For `path_of_arches` it is a sine of pi n, zero exactly when n is whole: that is the closing condition.
    For a drive n is N - 1, whole because pins can only be counted.

    Examples
    --------
    >>> closing_gap(path_of_arches())
    2*e*Abs(sin(pi*n))
    """
    path = _vector("path", path)
    squared = length_squared(path.subs(t, t + 2 * sp.pi) - path)
    whole_angle = 2 * sp.pi * n
    half_angle = 1 - 2 * sp.sin(whole_angle / 2) ** 2  # is its cosine
    return sp.sqrt(sp.expand(squared.subs(sp.cos(whole_angle), half_angle)))


@dataclass(frozen=True)
class Derivation:
    """What the steps from the centre path to the curvature came to, as SymPy expressions in t."""

    path: sp.Matrix
    tangent: sp.Matrix
    normal: sp.Matrix
    outline: sp.Matrix
    curvature: sp.Expr


def derive(path: sp.Matrix) -> Derivation:
    """All steps from a centre path to the outline and its curvature.

    Examples
    --------
    >>> derive(first_generation()).tangent[0]
    N*e*sin(N*t) - R_p*sin(t)
    """
    along = tangent(path)
    outward = normal(along)
    return Derivation(path, along, outward, outline(path, outward), outline_curvature(path_curvature(along)))


def numeric(expression: sp.Expr | sp.Matrix, drive: Drive, at: ArrayLike) -> Floats:
    """Numbers of an expression for one drive at values of t [rad], any shape; of a vector, shape of `at` + (2,).

    The expression, or 2 x 1 matrix, is one in the symbols N, Rp, r, e and t of this module, and no others.

    Raises
    ------
    ValueError
        If the expression has another symbol in it, or no value at one of the t, as the normal at a cusp.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> numeric(derive(first_generation()).outline, story, 0.3).round(4).tolist()  # mm
    [36.0424, 8.619]
    """
    if isinstance(expression, sp.MatrixBase):
        expression = _vector("expression", expression)
    else:
        expression = _expression("expression", expression)
    checked_kind("drive", drive, Drive)
    at = angles("at", at, rate=drive.pins)
    symbols = (t, N, Rp, r, e)
    if strange := expression.free_symbols - set(symbols):
        names = ", ".join(sorted(map(str, strange)))
        raise ValueError(
            f"expression contains {names}, but only t, N, R_p, r and e have numbers here: use the module's symbols."
        )
    parts = list(expression) if isinstance(expression, sp.MatrixBase) else [expression]
    in_numbers = sp.lambdify(symbols, parts, "numpy")
    with np.errstate(divide="ignore", invalid="ignore"):  # said in words below
        values = in_numbers(at, drive.pins, drive.pin_circle_radius, drive.roller_radius, drive.eccentricity)
    columns = np.stack([np.broadcast_to(value, at.shape) for value in values], axis=-1).astype(np.float64)
    if not (there := np.isfinite(columns).all(axis=-1)).all():
        raise ValueError(
            f"at contains {at[~there].flat[0]:.12g} rad, where the expression has no value, as at a cusp: "
            "leave that t out, or choose a smaller eccentricity."
        )
    return columns if isinstance(expression, sp.MatrixBase) else columns[..., 0]
