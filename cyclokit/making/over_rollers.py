"""The size of a disc over two gauge rollers in opposite roots, as calipers measure it, and what it says of a print."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from cyclokit.arguments import finite
from cyclokit.drive import Drive
from cyclokit.geometry import limits
from cyclokit.machine.reducer import Reducer
from cyclokit.making.allowances import CALIPER, FEWEST, LEVEL, SOUGHT
from cyclokit.signatures import Length, Size, read
from cyclokit.uncertainty import coverage_factor, rounded

FAR = 1.0  # mm: no print is farther off; it is a slip
SENTENCES = {
    "far": "sizes has {value:g} mm, but {expected:.3f} mm is expected, and nothing is printed {far:g} mm off: see that "
    "the rollers are {gauge:g} mm in radius, and that it is in mm.",
    "few": "{count} pairs of roots were measured: measure {fewest} or more, all round the disc",
    "uncertain": "the allowance is known to ±{known:.3f} mm only, which is more than half of the {sought:g} mm "
    "sought: measure more pairs, or with a better instrument",
    "scatter": "single pairs miss by up to {tolerance:.3f} mm, which is more than the {sought:g} mm sought: the disc "
    "is out of round, and no allowance makes up for that",
}


@dataclass(frozen=True)
class OutlineAllowance:
    """What a printed disc's outline needs, from its sizes over two gauge rollers.

    Attributes
    ----------
    allowance, uncertainty : float
        How far the outline is to be moved inwards in all, and the standard uncertainty [mm].
    tolerance : float
        How far a single pair of roots may be off, on the outline, in 95 of 100 [mm].
    count : int
        How many pairs were measured.
    reasons : tuple of str
        Why nothing can be concluded; empty where it can.
    """

    allowance: float
    uncertainty: float
    tolerance: float
    count: int
    reasons: tuple[str, ...]

    def __str__(self) -> str:
        lines = [
            f"outline: {rounded(self.allowance, self.uncertainty, 'mm')}, from {self.count} pairs of roots",
            f"  single pairs miss by up to {self.tolerance:.3f} mm (95 of 100)",
        ]
        return "\n".join(lines + [f"  no conclusion: {reason}." for reason in self.reasons])


@read
def over_rollers(drive: Drive, gauge_radius: Length, moved_in: float = 0.0) -> float:
    """Size over two gauge rollers that lie in opposite roots of a disc, right down in them [mm].

    Parameters
    ----------
    drive : Drive
        The drive whose outline the disc has.
    gauge_radius : float
        Radius of the two rollers [mm].
    moved_in : float
        How far that outline was moved inwards, by clearance and allowance [mm].

    Returns
    -------
    float
        ``2 (Rp - e - r - moved_in + gauge) cos(90 deg / lobes) + 2 gauge``, without the cosine where the lobes are
        even and the roots face each other.

    Raises
    ------
    ValueError
        If such rollers don't reach the bottom of the roots, or don't stand out beyond the lobes.

    Notes
    -----
    Derived. With odd lobes the two roots are half a lobe pitch off the line through the middle, and jaws that press
    hard can push the rollers up the flanks a little, to a size smaller by some micrometres: 2.6 on a drive with 20
    pins, 42 mm, 5 mm, 1.4 mm.

    Examples
    --------
    >>> story = Drive(20, 42.0, 5.0, 1.4)
    >>> print(f"{over_rollers(story, 5.0):.6f} {over_rollers(story, 5.0, 0.1):.4f}")
    90.922661 90.7233
    """
    root = drive.roller_radius + moved_in + _path_root(drive)
    if gauge_radius > root:
        raise ValueError(
            f"gauge_radius is {gauge_radius:g} mm, but the roots are only {root:.3f} mm in radius: such rollers don't "
            "reach their bottom. Take thinner ones."
        )
    middle = drive.pin_circle_radius - drive.eccentricity - drive.roller_radius - moved_in + gauge_radius
    tips = drive.pin_circle_radius + drive.eccentricity - drive.roller_radius - moved_in
    size = 2 * middle * _slant(drive) + 2 * gauge_radius
    if size <= 2 * tips:
        raise ValueError(
            f"gauge_radius is {gauge_radius:g} mm, but such rollers don't stand out beyond the lobes, {tips:.3f} mm "
            "from the middle: take thicker ones."
        )
    return size


@read
def outline_allowance(
    reducer: Reducer, gauge_radius: Length, sizes: ArrayLike, sought: Length = SOUGHT, caliper: Size = CALIPER
) -> OutlineAllowance:
    """What a printed disc's outline needs, from its sizes over two gauge rollers in opposite roots.

    Parameters
    ----------
    reducer : Reducer
        The reducer of which the disc was printed, with the allowance that was in its file.
    gauge_radius : float
        Radius of the two rollers [mm].
    sizes : array_like
        What was measured, each in another pair of roots [mm].
    sought : float
        How near the outline is to be met [mm].
    caliper : float
        The instrument's limit of error [mm].

    Returns
    -------
    OutlineAllowance
        The constant part: the one that the file had, and what is still missing.

    Raises
    ------
    ValueError
        If a size is no size of that disc, or there are fewer than two.

    Examples
    --------
    >>> story = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> print(outline_allowance(story, 5.0, [90.78, 90.76, 90.75, 90.78, 90.77, 90.76]))
    outline: (0.0217 ± 0.0090) mm, from 6 pairs of roots
      single pairs miss by up to 0.028 mm (95 of 100)
    """
    found = np.atleast_1d(finite("sizes", sizes)).ravel()
    expected = over_rollers(reducer.drive, gauge_radius, reducer.outline_clearance)  # of the finished disc
    far = found[np.abs(found - expected) > FAR]
    if far.size:
        words = {"value": far[0], "expected": expected, "far": FAR, "gauge": gauge_radius}
        raise ValueError(SENTENCES["far"].format(**words))
    if found.size < 2:
        raise ValueError(f"sizes has {found.size} in it, but a scatter needs two: measure more pairs of roots.")
    missing = (found - expected) / (2 * _slant(reducer.drive))
    scatter = float(missing.std(ddof=1))
    uncertainty = math.hypot(scatter / math.sqrt(missing.size), caliper / math.sqrt(3) / 2)
    factor = coverage_factor(missing.size - 1, LEVEL)
    tolerance = factor * math.hypot(scatter, uncertainty)
    reasons = []
    if missing.size < FEWEST:
        reasons.append(SENTENCES["few"].format(count=missing.size, fewest=FEWEST))
    if factor * uncertainty > sought / 2:
        reasons.append(SENTENCES["uncertain"].format(known=factor * uncertainty, sought=sought))
    if tolerance > sought:
        reasons.append(SENTENCES["scatter"].format(tolerance=tolerance, sought=sought))
    allowance = reducer.outline_allowance + float(missing.mean())
    return OutlineAllowance(allowance, uncertainty, tolerance, missing.size, tuple(reasons))


@read
def with_outline_allowance(reducer: Reducer, found: OutlineAllowance) -> Reducer:
    """A reducer with the `outline_allowance` that gauge rollers found, to a micrometre; all else as it was.

    A ValueError says why the data don't support it.
    """
    if found.reasons:
        raise ValueError(f"found says nothing sure of the outline: {found.reasons[0]}.")
    return replace(reducer, outline_allowance=round(found.allowance, 3) + 0.0)


def _slant(drive: Drive) -> float:
    """Cosine of the angle by which two roots that face each other are off the line through the middle."""
    return 1.0 if drive.lobes % 2 == 0 else math.cos(math.pi / (2 * drive.lobes))


def _path_root(drive: Drive) -> float:
    """Radius of the centre path's root [mm]: Rp (1 - K1)^2/(N K1 - 1), endless where the path has no root."""
    ratio = float(limits.trochoid_ratio(drive.pins, drive.pin_circle_radius, drive.eccentricity))
    bent = drive.pins * ratio - 1
    return drive.pin_circle_radius * (1 - ratio) ** 2 / bent if bent > 0 else math.inf
