"""Curves that a point on a rolling circle draws: cycloid, epicycloid, epitrochoid.

All of them start with the drawing point nearest the line or the fixed circle: the cycloid at the
origin, the others on +x. Lesson 1 derives them from the no-slip condition.

Radii (R of the fixed circle, r of the rolling one) and the arm d, the drawing point's distance from the rolling
circle's centre, are in mm, above zero; R/r arches or cusps come in one turn round, which closes the curve when that
is a whole number. Angles [rad] have any shape; points are x and y [mm], shape of the angles + (2,).
"""

import math

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ellipe

from cyclokit.arguments import Floats, angles, checked_length


def cycloid(rolling_radius: float, turn: ArrayLike) -> Floats:
    """Points of the curve that a point on a circle's edge draws as the circle rolls along the x axis.

    `turn` is the angle [rad] by which the circle has turned; 2 pi is one arch. The radius is in mm, as are the points.

    Notes
    -----
    (r (turn - sin turn), r (1 - cos turn)); any calculus handbook, from memory.

    Examples
    --------
    >>> cycloid(10.0, [0, np.pi]).round(3).tolist()  # mm: the start, and half an arch on
    [[0.0, 0.0], [31.416, 20.0]]
    """
    radius, turn = checked_length("rolling_radius", rolling_radius), angles("turn", turn)
    return radius * np.stack([turn - np.sin(turn), 1 - np.cos(turn)], axis=-1)


def epicycloid(fixed_radius: float, rolling_radius: float, around: ArrayLike) -> Floats:
    """Points of the curve that a point on a circle's edge draws as the circle rolls round another.

    `around` is the angle [rad] by which the rolling circle's centre has gone round. Radii are in mm, as are the points.

    Examples
    --------
    >>> epicycloid(30.0, 10.0, [0, np.pi / 3]).round(3).tolist()  # mm: a cusp, and the top of an arch
    [[30.0, 0.0], [25.0, 43.301]]
    """
    return epitrochoid(fixed_radius, rolling_radius, rolling_radius, around)


def epitrochoid(fixed_radius: float, rolling_radius: float, arm: float, around: ArrayLike) -> Floats:
    """Points of the curve that a point fixed to a circle draws as the circle rolls round another.

    `around` is the angle [rad] by which the rolling circle's centre has gone round; `arm` [mm] is the point's distance
    from that centre. Radii are in mm; points are x and y [mm], shape of `around` + (2,).

    Notes
    -----
    (R + r) exp(i a) - d exp(i a (R + r)/r): rolling without slip, the circle has turned by
    a (R + r)/r when its centre has gone round by a. Derived in lesson 1.
    With R + r = Rp, r = Rp/N and d = e this is a drive's centre path.

    Examples
    --------
    >>> epitrochoid(39.9, 2.1, 1.4, 0.0).round(3).tolist()  # mm: a root of the story's centre path, Rp - e
    [40.6, 0.0]
    """
    fixed, rolling, arm = _radii(fixed_radius, rolling_radius, arm)
    around = angles("around", around, rate=(fixed + rolling) / rolling)
    centre, turned = fixed + rolling, around * ((fixed + rolling) / rolling)
    x = centre * np.cos(around) - arm * np.cos(turned)
    y = centre * np.sin(around) - arm * np.sin(turned)
    return np.stack([x, y], axis=-1)


def cycloid_arch_length(rolling_radius: float) -> float:
    """Length of one arch of a cycloid, 8 r [mm] (C. Wren, 1658; any calculus handbook).

    Examples
    --------
    >>> cycloid_arch_length(10.0)  # mm
    80.0
    """
    return 8 * checked_length("rolling_radius", rolling_radius)


def cycloid_arch_area(rolling_radius: float) -> float:
    """Area under one arch of a cycloid, 3 pi r^2 [mm^2] (G. de Roberval; any calculus handbook).

    Examples
    --------
    >>> round(cycloid_arch_area(10.0), 3)  # mm^2
    942.478
    """
    return 3 * math.pi * checked_length("rolling_radius", rolling_radius) ** 2


def epicycloid_arch_length(fixed_radius: float, rolling_radius: float) -> float:
    """Length of one arch of an epicycloid, cusp to cusp, 8 r (R + r)/R [mm]; R/r arches go round.

    Examples
    --------
    >>> round(epicycloid_arch_length(30.0, 10.0), 3)  # mm, 8 r (R + r)/R
    106.667
    """
    return epitrochoid_arch_length(fixed_radius, rolling_radius, rolling_radius)


def epicycloid_arch_area(fixed_radius: float, rolling_radius: float) -> float:
    """Area of the sector between an epicycloid's arch and the centre [mm^2]; R/r of them go round.

    Examples
    --------
    >>> round(epicycloid_arch_area(10.0, 10.0), 3)  # mm^2: a cardioid, 6 pi r^2
    1884.956
    """
    return epitrochoid_arch_area(fixed_radius, rolling_radius, rolling_radius)


def epitrochoid_arch_length(fixed_radius: float, rolling_radius: float, arm: float) -> float:
    """Length of one arch of an epitrochoid, root to root [mm], for radii R and r and arm d [mm].

    Notes
    -----
    4 (R + r)(1 + K) E(m) r/R with K = d/r, m = 4 K/(1 + K)^2 and E the complete elliptic
    integral of the second kind. Derived in lesson 1 up to the integral, which has no simpler form.

    Examples
    --------
    >>> round(19 * epitrochoid_arch_length(39.9, 2.1, 1.4), 3)  # mm, all of the story's centre path
    294.141
    """
    fixed, rolling, arm = _radii(fixed_radius, rolling_radius, arm)
    ratio = arm / rolling  # the trochoid ratio K
    m = 1 - ((1 - ratio) / (1 + ratio)) ** 2  # 4 K/(1 + K)^2, never above 1 by rounding
    return float(4 * (fixed + rolling) * (1 + ratio) * ellipe(m) * rolling / fixed)


def epitrochoid_arch_area(fixed_radius: float, rolling_radius: float, arm: float) -> float:
    """Area that the line from the centre to the drawing point sweeps over one arch [mm^2], for R, r and d [mm].

    Notes
    -----
    pi ((R + r)^2 + (R + r)/r d^2) r/R. Derived in lesson 1.

    Examples
    --------
    >>> round(19 * epitrochoid_arch_area(39.9, 2.1, 1.4), 3)  # mm^2: pi (Rp^2 + N e^2)
    5664.92
    """
    fixed, rolling, arm = _radii(fixed_radius, rolling_radius, arm)
    centre = fixed + rolling
    return math.pi * (centre**2 + centre / rolling * arm**2) * rolling / fixed


def _radii(fixed_radius: float, rolling_radius: float, arm: float) -> tuple[float, float, float]:
    return (
        checked_length("fixed_radius", fixed_radius),
        checked_length("rolling_radius", rolling_radius),
        checked_length("arm", arm),
    )
