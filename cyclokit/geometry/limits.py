"""Whether the shape that four numbers give is sound, and by how much; beside it what is only advised against.

Each bound is a function of plain numbers or arrays, so that one drive and a million candidates
are judged alike. There `pins`, `pin_circle_radius`, `roller_radius` and `eccentricity` are N, Rp, r and e
[-, mm, mm, mm], above zero, of shapes that broadcast.
"""

import math
from functools import reduce

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import Floats, checked_kind, checked_length, finite, positive
from cyclokit.drive import FEWEST_PINS, MOST_PINS, Drive
from cyclokit.report import Limit, Report, within

NEWTON_STEPS = 4  # of the pressure angle: after three it is right to 1e-6 rad, after four to rounding

UNITS = {"loop": "", "pressure angle": "rad"}  # the others are mm
# What the library says to a reader: name -> (what is compared, what goes wrong, what to change).
SENTENCES = {
    "loop": (
        "trochoid ratio, below 1",
        "From a trochoid ratio of 1 on the centre path has cusps or loops, and no edge follows all of it. A disc "
        "that is milled along it turns, but only some of the pins touch it.",
        "Choose a smaller eccentricity, fewer pins, or a larger pin circle.",
    ),
    "undercut": (
        "roller radius, below the least convex radius of the centre path",
        "A roller wider than the tightest bend of its centre path cuts the lobe's flank away. Such a disc can be "
        "milled and turns, but fewer pins touch it, and its lobes have sharp edges.",
        "Choose smaller rollers or a smaller eccentricity.",
    ),
    "rollers apart": (
        "roller radius, below half the distance between neighbouring pins",
        "Neighbouring rollers overlap.",
        "Choose smaller rollers, fewer pins, or a larger pin circle.",
    ),
    "rule of thumb": (
        "eccentricity, below half the roller diameter (common practice, no source)",
        "Common practice advises against it. The rule is too strict here if the drive is sound: 12 pins on a 40 mm "
        "circle with 2 mm rollers (radii) stay sound at 3 mm. Elsewhere it is too loose: 8 mm rollers undercut at 2.9.",
        "Go by the margins of the real limits; choose a smaller eccentricity where they are thin.",
    ),
    "pressure angle": (
        "least angle between a roller's push and the way it turns the disc's point; what it costs is load on the "
        "eccentric's bearing, and nothing is judged by it",
        "",
        "Choose a larger eccentricity for a smaller angle.",
    ),
    "wall": (
        "least wall asked for, up to the wall between neighbouring rollers",
        "What stands between neighbouring rollers is thinner than the workshop can make.",
        "Choose smaller rollers, fewer pins, or a larger pin circle.",
    ),
    "lobe height": (
        "resolution of printer or cutter, up to the lobe's height, twice the eccentricity",
        "The printer or cutter can't tell a lobe from a root.",
        "Choose a larger eccentricity or a finer printer.",
    ),
}


def check(
    drive: Drive, *, advice: bool = False, least_wall: float | None = None, resolution: float | None = None
) -> Report:
    """Every limit of a drive's shape, with its value, bound and margin; if asked for, advice beside them.

    Parameters
    ----------
    drive : Drive
        The drive.
    advice : bool
        Whether to report the rule of thumb and the pressure angle too.
    least_wall : float, optional
        Thinnest wall between neighbouring rollers that the workshop can make [mm]; reported if given.
    resolution : float, optional
        Lowest step that the printer or cutter can make [mm]; reported if given.

    Returns
    -------
    Report
        Its `sound` says whether the shape has no loop, no undercut and no rollers that overlap, whatever the advice.
        Loads and parts are not judged. Drives that aren't sound may turn too: see the rows' words.

    Raises
    ------
    TypeError, ValueError
        If `drive` isn't a Drive, or `least_wall` or `resolution` is not a length above zero.

    Examples
    --------
    >>> check(Drive(20, 42.0, 5.0, 1.4)).sound
    True
    """
    checked_kind("drive", drive, Drive, "make one from the four numbers; a Reducer has it as its `drive`")
    n, radius, roller, eccentricity = drive.pins, drive.pin_circle_radius, drive.roller_radius, drive.eccentricity
    checked_kind("advice", advice, bool, "give True or False")
    limits = [
        Limit(name, float(value), float(bound), UNITS.get(name, "mm"), True, True, *SENTENCES[name])
        for name, (value, bound) in bounds(n, radius, roller, eccentricity).items()
    ]
    if advice:
        limits.append(_advice("rule of thumb", eccentricity, rule_of_thumb_eccentricity(roller), strict=True))
        angle = float(least_pressure_angle(n, radius, roller, eccentricity))
        limits.append(_advice("pressure angle", angle, math.inf))
    if least_wall is not None:
        asked = checked_length("least_wall", least_wall)
        limits.append(_advice("wall", asked, wall_between_rollers(n, radius, roller)))
    if resolution is not None:
        asked = checked_length("resolution", resolution)
        limits.append(_advice("lobe height", asked, lobe_height(eccentricity)))
    return Report(drive, tuple(limits))


def bounds(
    pins: ArrayLike, pin_circle_radius: ArrayLike, roller_radius: ArrayLike, eccentricity: ArrayLike
) -> dict[str, tuple[Floats, Floats]]:
    """What must stay below what in a sound shape: name of the report's row -> value and bound [mm; ratios for loops].

    For arrays of the four numbers [-, mm, mm, mm], above zero, of shapes that broadcast.

    Examples
    --------
    >>> {name: (float(value), round(float(bound), 3)) for name, (value, bound) in bounds(20, 40, 5, 1.4).items()}
    {'loop': (0.7, 1.0), 'undercut': (5.0, 6.723), 'rollers apart': (5.0, 6.257)}
    """
    roller = positive("roller_radius", roller_radius)
    return {
        "loop": (trochoid_ratio(pins, pin_circle_radius, eccentricity), np.asarray(1.0)),
        "undercut": (roller, least_convex_radius(pins, pin_circle_radius, eccentricity)),
        "rollers apart": (roller, half_pin_distance(pins, pin_circle_radius)),
    }


def sound(
    pins: ArrayLike, pin_circle_radius: ArrayLike, roller_radius: ArrayLike, eccentricity: ArrayLike
) -> np.ndarray:
    """Whether the shape is sound, for arrays of the four numbers [-, mm, mm, mm]: as `check(Drive(...)).sound`.

    Examples
    --------
    >>> sound(20, 42.0, 5.0, [1.4, 1.9]).tolist()
    [True, False]
    """
    pairs = bounds(pins, pin_circle_radius, roller_radius, eccentricity).values()
    return reduce(np.logical_and, [within(value, bound, strict=True) for value, bound in pairs])


def trochoid_ratio(pins: ArrayLike, pin_circle_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """K1 = e N/Rp, for arrays of plain numbers [-, mm, mm]; a usable disc needs less than 1.

    Examples
    --------
    >>> trochoid_ratio(20, 40.0, [1.0, 1.5]).tolist()
    [0.5, 0.75]
    """
    return positive("eccentricity", eccentricity) * _pins(pins) / positive("pin_circle_radius", pin_circle_radius)


def half_pin_distance(pins: ArrayLike, pin_circle_radius: ArrayLike) -> Floats:
    """Half the distance between neighbouring pins' centres, Rp sin(pi/N) [mm], for arrays.

    Examples
    --------
    >>> half_pin_distance(20, 42.0).round(4).tolist()  # mm
    6.5702
    """
    return positive("pin_circle_radius", pin_circle_radius) * np.sin(np.pi / _pins(pins))


def least_convex_radius(pins: ArrayLike, pin_circle_radius: ArrayLike, eccentricity: ArrayLike) -> Floats:
    """Least radius of curvature [mm] of the centre path where it bulges outwards.

    Rollers must be smaller, or the flanks are undercut. For arrays of N, Rp and e [-, mm, mm].

    Notes
    -----
    With K = e N/Rp the tightest place is on the flank for K > (N - 2)/(2 N - 1), and there
    Rp sqrt(27 (1 - K^2)(N - 1)/(N + 1)^3): Wang, Luo, Su, "Multi-objective optimization...",
    Mechanism and Machine Theory 102 (2016) 135-148, eq. 12. For smaller K it is the lobe's tip:
    Rp (1 + K)^2/(N K + 1), derived. With loops (K > 1) it is the loop's inner end:
    Rp (K - 1)^2/(N K - 1), derived; at K = 1 it is 0.

    Examples
    --------
    >>> least_convex_radius(20, 42.0, 1.4).round(4).tolist()  # mm
    7.3679
    """
    n, radius = _pins(pins), positive("pin_circle_radius", pin_circle_radius)
    ratio = trochoid_ratio(n, radius, eccentricity)
    flank = radius * np.sqrt(27 * np.maximum(1 - ratio**2, 0.0) * (n - 1) / (n + 1) ** 3)
    tip = radius * (1 + ratio) ** 2 / (n * ratio + 1)
    least = np.where(ratio > (n - 2) / (2 * n - 1), flank, tip)
    looped = ratio >= 1
    if not looped.any():
        return least
    return np.where(looped, radius * (ratio - 1) ** 2 / np.where(looped, n * ratio - 1, 1.0), least)


def greatest_eccentricity(pins: ArrayLike, pin_circle_radius: ArrayLike, roller_radius: ArrayLike) -> Floats:
    """Eccentricity [mm] at which a drive with these pins and rollers stops being sound; 0 where the rollers overlap.

    Every smaller one is sound. For arrays of N, Rp and r [-, mm, mm].

    Notes
    -----
    `least_convex_radius` solved for the eccentricity: it falls as the eccentricity grows, first
    along the tip's branch, a quadratic in K, then along the flank's.

    Examples
    --------
    >>> greatest_eccentricity(20, 42.0, 5.0).round(4).tolist()  # mm
    1.8115
    """
    n, radius = _pins(pins), positive("pin_circle_radius", pin_circle_radius)
    share = positive("roller_radius", roller_radius) / radius
    flank = np.sqrt(np.maximum(1 - share**2 * (n + 1) ** 3 / (27 * (n - 1)), 0.0))
    # (1 + K)^2 = share (N K + 1): the smaller root, where the tip's radius still falls with K
    half = 1 - share * n / 2
    tip = -half - np.sqrt(np.maximum(half**2 - (1 - share), 0.0))
    ratio = np.where(flank > (n - 2) / (2 * n - 1), flank, tip)
    return np.where(share < np.sin(np.pi / n), ratio * radius / n, 0.0)


def rule_of_thumb_eccentricity(roller_radius: ArrayLike) -> Floats:
    """Eccentricity below which the rule of thumb wants to stay [mm]: half the roller diameter, for arrays.

    Common practice, no source. It knows neither pins nor pin circle, so it refuses drives that are sound and
    lets pass some that are undercut; it never decides.

    Examples
    --------
    >>> rule_of_thumb_eccentricity([4.0, 5.0]).tolist()  # mm
    [4.0, 5.0]
    """
    return positive("roller_radius", roller_radius)


def wall_between_rollers(pins: ArrayLike, pin_circle_radius: ArrayLike, roller_radius: ArrayLike) -> Floats:
    """Room between neighbouring rollers at the narrowest, 2 Rp sin(pi/N) - 2 r [mm]; below zero where they overlap.

    For arrays. `roller_radius` [mm] is that of what stands at each pin: the roller, half a bearing's outer diameter, or
    for the wall left between the pins' holes in the ring the pin's own.

    Examples
    --------
    >>> wall_between_rollers(20, 42.0, 5.0).round(4).tolist()  # mm
    3.1405
    """
    return 2 * (half_pin_distance(pins, pin_circle_radius) - positive("roller_radius", roller_radius))


def lobe_height(eccentricity: ArrayLike) -> Floats:
    """Height of a lobe's tip over the roots beside it, 2 e [mm], for arrays.

    Examples
    --------
    >>> lobe_height(1.4).tolist()  # mm
    2.8
    """
    return 2 * positive("eccentricity", eccentricity)


def least_pressure_angle(
    pins: ArrayLike, pin_circle_radius: ArrayLike, roller_radius: ArrayLike, eccentricity: ArrayLike
) -> Floats:
    """Least angle [rad] over the outline between contact normal and the point's velocity about the disc's centre.

    The least pressure angle, 0 to pi/2, for arrays of the four numbers [-, mm, mm, mm]. It is 0 where the edge runs
    straight towards the disc's centre somewhere: if there are loops, or the undercut is deep.

    Notes
    -----
    A gear's limit of 20 to 30 degrees (from memory) would refuse 20 pins on 42 mm with rollers of 5 and an
    eccentricity of 1.4, whose angle is 44.66 degrees, and most sound drives; not all: 12 pins, 40, 2 and 3 mm have
    25.0 (derived). In a gear one or two teeth carry all of the load, and what the angle adds to it bends the shafts,
    always the same way. Here half of the pins can push at once, so that their parts along the line of centres cancel
    in part; the rest goes into the crank's bearing, whose tangential load is the same at any angle (derived).

    With c = cos((N - 1) t), S = sqrt(1 + K^2 - 2 K c) and the normal through the pitch point, e (N - 1) from
    the disc's centre, the tangent of the angle is

        (Rp + e K - e (N + 1) c - r S)/(e (N - 1) sqrt(1 - c^2)).

    Its derivative is zero where ((Rp + e K) c - e (N + 1)) S = r (1 - K c)(c - K): once, because a convex
    function is divided by a concave one. Newton's rule finds that c, beginning where r is 0. Derived;
    the tests hold it against sampled outlines.

    Examples
    --------
    >>> np.degrees(least_pressure_angle(20, 42.0, 5.0, 1.4)).round(2).tolist()
    44.66
    """
    n, radius = _pins(pins), positive("pin_circle_radius", pin_circle_radius)
    roller, offset = positive("roller_radius", roller_radius) / radius, positive("eccentricity", eccentricity) / radius
    ratio = offset * n
    k = np.minimum(ratio, 1 - 1e-9)  # loops are answered at the end
    slope, start = 1 + offset * k, offset * (n + 1)
    highest = 1 - 1e-12  # a root's middle, c = 1, has no angle but a right one
    c = np.minimum(start / slope, highest)
    for _ in range(NEWTON_STEPS):
        s = np.sqrt(1 + k**2 - 2 * k * c)
        lever = slope * c - start
        error = lever * s - roller * (1 - k * c) * (c - k)
        c = np.clip(c - error / (slope * s - lever * k / s - roller * s**2), -highest, highest)
    along = slope - start * c - roller * np.sqrt(1 + k**2 - 2 * k * c)
    across = offset * (n - 1) * np.sqrt(1 - c**2)
    return np.where(ratio >= 1, 0.0, np.arctan2(np.maximum(along, 0.0), across))


def _pins(pins: ArrayLike) -> Floats:
    number = finite("pins", pins)
    if number.ndim == 0 and FEWEST_PINS <= number.item() <= MOST_PINS:  # most are one: a search asks a million times
        return number
    good = (number >= FEWEST_PINS) & (number <= MOST_PINS)
    if not good.all():
        raise ValueError(
            f"pins contains {number[~good].flat[0]}, but must be {FEWEST_PINS} to {MOST_PINS}: give counts of pins."
        )
    return number


def _advice(name: str, value: float, bound: float | Floats, strict: bool = False) -> Limit:
    return Limit(name, value, float(bound), UNITS.get(name, "mm"), False, strict, *SENTENCES[name])
