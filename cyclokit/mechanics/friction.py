"""What friction takes: at the ring pins, the output rollers and the eccentrics' bearings, forwards and backwards.

Contact forces are those of `sharing.ideal`, in proportion to the lever arms and without friction of their own except at
the ring pins, averaged over a turn of many pins. Every coefficient is a range, so every result is a band: sliding
friction of printed plastics is reported from 0.04 to 0.20 (oiled: Polymers 2023, 15, 4112) and from 0.62 to 0.76 (dry
PLA), that of a rolling bearing as 0.0015 (SKF).
"""

import math
from dataclasses import dataclass

from cyclokit.arguments import GREATEST_SIZE, LONGEST, checked_kind, checked_length, checked_number, finite
from cyclokit.machine.reducer import Reducer
from cyclokit.texts import shown

Range = tuple[float, float]
ROLLING: Range = (0.001, 0.003)  # a clean ball bearing, at its bore: SKF gives 0.0015; the range from memory
OILED: Range = (0.04, 0.20)  # printed plastics, oiled: Polymers 2023, 15, 4112
DRY: Range = (0.20, 0.76)  # printed plastics, dry: up to 0.76 for PLA; the lower end from memory


@dataclass(frozen=True)
class Efficiency:
    """Share of the power that comes through, as bands from the coefficients' ranges; 0 where nothing does.

    Attributes
    ----------
    forward, backward : tuple of float
        Least and greatest, where the crank drives the output, and where the output drives the crank.
    pins, output, eccentric : tuple of float
        Least and greatest part of the output's power that each place takes, driven forwards and to first order.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> efficiency(machine, pins=(0.04, 0.2), output=(0.04, 0.2)).locks
    False
    """

    forward: Range
    backward: Range
    pins: Range
    output: Range
    eccentric: Range

    @property
    def locks(self) -> bool | None:
        """Whether it can't be driven backwards; None where the band leaves it open."""
        if self.backward[0] > 0:
            return False
        return True if self.backward[1] == 0 else None


def mean_along(trochoid_ratio: float) -> float:
    """Mean part I of the pins' push along the line of centres.

    Parameters
    ----------
    trochoid_ratio : float
        K, above 0 and below 1.

    Returns
    -------
    float
        The integral of sin(phi)(K - cos(phi))/(1 + K^2 - 2 K cos(phi)) over 0 to pi, in closed form
        [2 K - (1 - K^2) ln((1 + K)/(1 - K))]/(2 K^2): derived.

    Raises
    ------
    ValueError
        If K is not above 0 and below 1.

    Examples
    --------
    >>> round(mean_along(0.5), 6)
    0.352082
    """
    ratio = checked_number("trochoid_ratio", trochoid_ratio, 0, 1)
    if ratio in (0, 1):
        raise ValueError(f"trochoid_ratio is {ratio:g}, but must be above 0 and below 1: change the drive.")
    if ratio < 0.01:  # the closed form loses its digits there: the first terms of its series
        return float(2 * ratio / 3 + 2 * ratio**3 / 15)
    return float((2 * ratio - (1 - ratio**2) * math.log((1 + ratio) / (1 - ratio))) / (2 * ratio**2))


def mean_bearing_force(reducer: Reducer, torque: float) -> float:
    """Mean force of an eccentric's bearing on its disc [N], for a torque on that disc [N mm].

    Across the crank it is T/(e Zc) always; along it the output rollers push with 4 T/(pi Rw), less what the pins push
    back, 2 T I/(pi e Zc): derived, means over many pins and rollers.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> round(mean_bearing_force(machine, 2000.0), 2)  # N
    105.7
    """
    torque = checked_number("torque", torque, -GREATEST_SIZE, GREATEST_SIZE)
    checked_kind("reducer", reducer, Reducer)
    drive = reducer.drive
    across = torque / (drive.eccentricity * drive.lobes)
    pushed = 4 * torque / (math.pi * reducer.output_circle_radius)
    return math.hypot(across, pushed - 2 * across * mean_along(drive.trochoid_ratio) / math.pi)


def at_roller(coefficient: Range, rod_radius: float, roller_radius: float) -> Range:
    """Friction at a roller's outside where it turns on its rod: the coefficient on the rod, with the shorter arm.

    Examples
    --------
    >>> [round(share, 3) for share in at_roller((0.1, 0.2), rod_radius=1.5, roller_radius=3.0)]
    [0.05, 0.1]
    """
    low, high = _range("coefficient", coefficient)
    rod = checked_number("rod_radius", rod_radius, 0, LONGEST)
    roller = checked_length("roller_radius", roller_radius)
    return low * rod / roller, high * rod / roller


def pin_efficiency(reducer: Reducer, coefficient: float) -> tuple[float, float]:
    """Efficiency with friction at the ring pins alone, forwards and backwards, 0 to 1; 0 backwards: it locks.

    The coefficient mu is that between disc and ring pin, from 0; of a roller as `at_roller` gives it.

    Raises
    ------
    ValueError
        If the coefficient is below 0, or the trochoid ratio is 1 or more.

    Notes
    -----
    With lambda = 4 (Rp - r)/(pi e Zc): forwards [1 - mu (lambda - 2 I/pi)]/(1 + 2 mu I/pi), backwards
    (1 - 2 mu I/pi)/[1 + mu (lambda - 2 I/pi)]. To first order the loss is lambda mu: Wang, Luo, Su, "Multi-objective
    optimization...", Mech. Mach. Theory 102 (2016) 135-148; the full form is derived.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> [round(share, 4) for share in pin_efficiency(machine, 0.1)]
    [0.8283, 0.8454]
    """
    checked_kind("reducer", reducer, Reducer)
    mu = checked_number("coefficient", coefficient, 0, GREATEST_SIZE)
    drive = reducer.drive
    along = 2 * mean_along(drive.trochoid_ratio) / math.pi
    slide = 4 * (drive.pin_circle_radius - drive.roller_radius) / (math.pi * drive.eccentricity * drive.lobes)
    forward = (1 - mu * (slide - along)) / (1 + mu * along)
    backward = (1 - mu * along) / (1 + mu * (slide - along))
    return max(0.0, float(forward)), max(0.0, float(backward))


def efficiency(reducer: Reducer, pins: Range, output: Range, eccentric: Range = ROLLING) -> Efficiency:
    """Efficiency of a reducer, forwards and backwards, as a band.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    pins, output : tuple of float
        Least and greatest coefficient between disc and ring pins, and between disc and output rollers, from 0; of a
        roller that turns on its rod as `at_roller` gives it. `OILED` and `DRY` are ranges for printed plastics.
    eccentric : tuple of float
        Of the eccentrics' bearings, at their bore.

    Returns
    -------
    Efficiency
        The bands. Seals, grease and the bearings of crank and output come on top: measure them.

    Raises
    ------
    TypeError, ValueError
        If a range is no pair of numbers from 0 in order, or the trochoid ratio is 1 or more.

    Notes
    -----
    An output roller that doesn't turn slides at e times the speed of the crank against the output, N/Zc of the crank's,
    and is pushed with 4 T/(pi Rw) in the mean over all; an eccentric's bearing turns at N/Zc of the crank's speed too.
    Both losses are added to the pins' as shares of the output's power. Derived.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> [round(share, 2) for share in efficiency(machine, pins=OILED, output=OILED).forward]
    [0.56, 0.88]
    """
    checked_kind("reducer", reducer, Reducer)
    pins, output, eccentric = _range("pins", pins), _range("output", output), _range("eccentric", eccentric)
    drive = reducer.drive
    ends = [pin_efficiency(reducer, mu) for mu in pins]
    turn = drive.pins  # of crank against disc, for one turn of the output
    rolled = [mu * 4 * drive.eccentricity * turn / (math.pi * reducer.output_circle_radius) for mu in output]
    arm = reducer.eccentric_bearing.bore_diameter / 2 * mean_bearing_force(reducer, 1.0)
    turned = [mu * arm * turn for mu in eccentric]
    slide = 4 * (drive.pin_circle_radius - drive.roller_radius) / (math.pi * drive.eccentricity * drive.lobes)
    forward = [1 / (1 / ends[k][0] + rolled[k] + turned[k]) if ends[k][0] else 0.0 for k in (1, 0)]
    backward = [max(0.0, ends[k][1] - rolled[k] - turned[k]) for k in (1, 0)]
    return Efficiency(
        (forward[0], forward[1]),
        (backward[0], backward[1]),
        (slide * pins[0], slide * pins[1]),
        (rolled[0], rolled[1]),
        (turned[0], turned[1]),
    )


def _range(name: str, pair: Range) -> Range:
    """A coefficient's least and greatest."""
    ends = finite(name, pair)
    if ends.shape != (2,) or not 0 <= ends[0] <= ends[1] <= GREATEST_SIZE:
        raise ValueError(
            f"{name} is {shown(pair)}, but must be two numbers from 0 to {GREATEST_SIZE:g}, the smaller one first."
        )
    return float(ends[0]), float(ends[1])
