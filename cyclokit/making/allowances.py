"""Allowances from what was measured of a print: how much a hole is drawn larger, and an outline moved inwards.

All of them are lengths on the radius (a seat's on its depth), and none is a clearance: what a machine needs to run is
judged elsewhere, and a printer that hits every size needs no allowance at all. Common practice, no source: a hobby
printer needed 0.07 mm on holes and 0.02 mm on outsides; that is taken to be on the radius, since printed holes are
usually 0.1 to 0.4 mm too small across (from memory), and the double of 0.07 lies in that range.

What goes into files: a constant part, and a proportional one where the data tell it from none; how tightly bought parts
went in; and a recess's depth in whole layers, since a slicer makes no others. What x needs more than y is told and goes
into no file: a hole drawn oval is wrong as soon as somebody turns the part on the bed, and a printer's axes can be set.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.machine.reducer import Reducer
from cyclokit.making.lying import LAYER, Layer
from cyclokit.making.printing import GOES, Measured
from cyclokit.signatures import Length, Size, read
from cyclokit.uncertainty import FEWEST as ON_A_LINE
from cyclokit.uncertainty import Line, coverage_factor, line, outliers, rounded

FEWEST = 5  # features of a kind: with fewer, Student's factor alone makes the interval more than three times as wide
SOUGHT = 0.1  # mm on the radius: the clearance that a reducer has where none is given
CALIPER = 0.03  # mm, a caliper's limit of error: DIN 862, from memory
KINDS = {"holes": ("hole",), "outsides": ("peg", "plate"), "seats": ("seat",)}
LEVEL = 0.95
RESOLVED = 1e-6  # mm: less than that is no scatter

SENTENCES = {
    "few": "{count} were measured, at {sizes} different sizes: measure {fewest} or more, at three sizes or more",
    "outlier": "{labels} lies far off the others: measure it again, or leave it out of the table and say why",
    "uncertain": "the allowance is known to ±{known:.3f} mm only, which is more than half of the {sought:g} mm "
    "sought: measure more, nearer to that size, or with a better instrument",
    "scatter": "single ones miss by up to {tolerance:.3f} mm, which is more than the {sought:g} mm sought: no "
    "allowance makes up for that; look after the printer first",
    "axes": "along x and along y they differ by {difference:.3f} mm on the radius, more than half of what is sought: "
    "one allowance makes them no rounder; look after the printer's axes first",
    "order": "{label} goes '{goes}', and a narrower one '{other}': try both again",
}


@dataclass(frozen=True)
class Allowance:
    """What one kind of feature needs, and how sure one can be of it.

    Attributes
    ----------
    kind : str
        "holes", "outsides" or "seats".
    count : int
        How many were measured.
    line : Line or None
        Allowance [mm] over nominal size [mm]: its intercept is the constant part, its slope the proportional one.
        None where the measured ones are too few for one.
    along_x, along_y : Line or None
        The same from the sizes along one axis alone.
    difference, difference_uncertainty : float
        Mean of what x needs more than y, and its standard uncertainty [mm].
    instrument : float
        Standard uncertainty that all values share, from the instrument [mm].
    size : float
        The size at which it is wanted [mm].
    scatter : float
        Standard deviation of single sizes along an axis about the line [mm]; 0 without a line.
    outliers : tuple of str
        Labels of those that lie too far off the line; they are in it all the same.
    reasons : tuple of str
        Why nothing can be concluded; empty where it can.
    """

    kind: str
    count: int
    line: Line | None
    along_x: Line | None
    along_y: Line | None
    difference: float
    difference_uncertainty: float
    instrument: float
    size: float
    scatter: float
    outliers: tuple[str, ...]
    reasons: tuple[str, ...]

    @property
    def supported(self) -> bool:
        """Whether the data support a conclusion."""
        return not self.reasons

    @property
    def axes_differ(self) -> bool:
        """Whether x and y differ by more than their scatter explains."""
        factor = coverage_factor(max(1, self.count - 1), LEVEL)
        return abs(self.difference) > factor * self.difference_uncertainty > 0

    def at(self, size: float) -> tuple[float, float]:
        """The allowance for a size [mm] and its standard uncertainty [mm], the instrument's in it."""
        if self.line is None:
            raise ValueError(f"size is {size:g}, but there is no line through the few {self.kind}: measure more.")
        value, fitted = self.line.at(size)
        return float(value), math.hypot(float(fitted), self.instrument)

    @property
    def proportional(self) -> bool:
        """Whether the proportional part can be told from none."""
        if self.line is None:
            return False
        factor = coverage_factor(self.line.degrees_of_freedom, LEVEL)
        return abs(self.line.slope) > factor * self.line.slope_uncertainty

    @property
    def parts(self) -> tuple[float, float]:
        """What goes into files: the constant part [mm], to a micrometre, and what each mm of size adds [mm].

        Where no proportional part can be told, the constant one is the allowance at the size where it is wanted.
        """
        if self.line is None or not self.proportional:
            return round(self.at(self.size)[0], 3) + 0.0, 0.0
        return round(self.line.intercept, 3) + 0.0, round(self.line.slope, 5) + 0.0

    @property
    def tolerance(self) -> float:
        """How far a single one may miss its size on the radius, at its own size, in 95 of 100 [mm]."""
        if self.line is None:
            return math.inf
        _, known = self.at(self.size)
        return coverage_factor(self.line.degrees_of_freedom, LEVEL) * math.hypot(known, self.scatter)

    def __str__(self) -> str:
        if self.line is None:
            return "\n".join([f"{self.kind}:", *(f"  no conclusion: {reason}." for reason in self.reasons)])
        found = self.line
        lines = [
            f"{self.kind}: {rounded(*self.at(self.size), 'mm')} at {self.size:g} mm, from {self.count} measured",
            f"  constant part {rounded(found.intercept, found.intercept_uncertainty, 'mm')}, proportional part "
            f"{rounded(1000 * found.slope, 1000 * found.slope_uncertainty, 'mm per m')}"
            + ("" if self.proportional else ", not to be told from none"),
            f"  single ones miss by up to {self.tolerance:.3f} mm (95 of 100)",
        ]
        if self.axes_differ and self.along_x and self.along_y:
            by_axis = [float(axis.at(self.size)[0]) for axis in (self.along_x, self.along_y)]
            lines.append(f"  the axes differ: along x {by_axis[0]:.3f} mm, along y {by_axis[1]:.3f} mm")
        lines += [f"  outlier: {label}" for label in self.outliers]
        return "\n".join(lines + [f"  no conclusion: {reason}." for reason in self.reasons])


@dataclass(frozen=True)
class Fit:
    """How a bought part goes into holes ("tight", "slides" or "loose"), its diameter and the holes' sizes [mm].

    These are the least and the greatest of those in which it goes so: how much larger they are drawn, on the radius.
    """

    tried: float
    goes: str
    least: float
    most: float

    def __str__(self) -> str:
        return (
            f"a part of {self.tried:g} mm goes '{self.goes}' in holes drawn {self.least:g} to {self.most:g} mm larger "
            "on the radius"
        )


@dataclass(frozen=True)
class Calibration:
    """All that a table of measured values says: what each kind needs, what was tried, trials that contradict."""

    holes: Allowance
    outsides: Allowance
    seats: Allowance
    fits: tuple[Fit, ...]
    doubts: tuple[str, ...]

    def __str__(self) -> str:
        parts = [str(self.holes), str(self.outsides), str(self.seats), *map(str, self.fits)]
        return "\n".join(parts + [f"doubtful: {doubt}." for doubt in self.doubts])


@read
def calibrate(
    measured: Sequence[Measured], reducer: Reducer, sought: Length = SOUGHT, caliper: Size = CALIPER
) -> Calibration:
    """What printed sizes say about the allowances of a machine's parts, at its output holes and its disc's outside.

    `measured` is what `cyclokit.making.printing.measured` reads. Sizes are to be met as near as `sought` on the radius
    [mm]; the caliper's limit of error [mm] is that of a rectangular distribution (JCGM 100:2008, 4.3.7). A feature's x
    and y are taken as one point, their mean, because they share what is wrong with that feature. What lies too far off
    is found by `uncertainty.outliers`.
    """
    sizes = {"holes": 2 * reducer.hole_radius, "seats": reducer.disc_thickness}
    sizes["outsides"] = 2 * (reducer.drive.pin_circle_radius + reducer.drive.eccentricity - reducer.drive.roller_radius)
    found = {name: _allowance(name, measured, sizes[name], sought, caliper) for name in KINDS}
    fits, doubts = _fits(measured)
    return Calibration(**found, fits=fits, doubts=doubts)


@read
def with_allowances(reducer: Reducer, found: Calibration, layer: Layer = LAYER) -> Reducer:
    """A reducer with the allowances that a calibration found; everything else, its clearances too, as it was.

    They are `hole_allowance` and `outline_allowance`, and their shares, and a ValueError where the data don't support
    these; `fit_allowance` where parts went in tight; `depth_allowance` in whole layers [mm], if that is supported.
    """
    for one in (found.holes, found.outsides):
        if not one.supported:
            raise ValueError(f"found says nothing sure of {one.kind}: {one.reasons[0]}.")
    hole, hole_share = found.holes.parts
    outline, outline_share = found.outsides.parts
    better = replace(
        reducer,
        hole_allowance=hole,
        hole_allowance_share=hole_share,
        outline_allowance=outline,
        outline_allowance_share=outline_share,
    )
    tight = [(fit.least + fit.most) / 2 - hole - hole_share * fit.tried for fit in found.fits if fit.goes == "tight"]
    if tight and not found.doubts:
        better = replace(better, fit_allowance=round(float(np.mean(tight)), 3) + 0.0)
    if found.seats.supported:
        depth = found.seats.at(found.seats.size)[0]
        better = replace(better, depth_allowance=round(round(depth / layer) * layer, 6) + 0.0)
    return better


def _allowance(name: str, measured: Sequence[Measured], size: float, sought: float, caliper: float) -> Allowance:
    rows = [(one, _needs(name, one)) for one in measured if one.feature.kind in KINDS[name]]
    rows = [(one, needs) for one, needs in rows if not np.isnan(needs).all()]
    nominal = np.array([one.feature.nominal for one, _ in rows], dtype=float)
    needs = np.array([pair for _, pair in rows], dtype=float).reshape(-1, 2)
    both = ~np.isnan(needs).any(axis=1)
    apart = needs[both, 0] - needs[both, 1]
    means = np.array([np.mean(pair[~np.isnan(pair)]) for pair in needs])
    fitted = _line(nominal, means)
    along_x, along_y = (_line(nominal[~np.isnan(column)], column[~np.isnan(column)]) for column in needs.T)
    scatter, far_off = 0.0, tuple[int, ...]()
    if fitted:
        off = needs - fitted.at(nominal)[0][:, None]
        off = off[~np.isnan(off)]
        scatter = math.sqrt(float(off @ off) / (off.size - 2))
        far_off = outliers(nominal, means, RESOLVED)
    found = Allowance(
        kind=name,
        count=len(rows),
        line=fitted,
        along_x=along_x,
        along_y=along_y,
        difference=float(apart.mean()) if apart.size else 0.0,
        difference_uncertainty=float(apart.std(ddof=1)) / math.sqrt(apart.size) if apart.size > 1 else 0.0,
        instrument=caliper / math.sqrt(3) * (1.0 if name == "seats" else 0.5),
        size=size,
        scatter=scatter,
        outliers=tuple(rows[place][0].feature.label for place in far_off),
        reasons=(),
    )
    return replace(found, reasons=_reasons(found, len(set(nominal.tolist())), sought))


def _needs(name: str, one: Measured) -> tuple[float, float]:
    """What each axis needs [mm], NaN where nothing was measured: half of what is missing or too much across."""
    if name == "seats":
        return (math.nan if one.depth is None else one.feature.nominal - one.depth, math.nan)
    sign = 0.5 if name == "holes" else -0.5
    x, y = (math.nan if size is None else sign * (one.feature.nominal - size) for size in (one.x, one.y))
    return x, y


def _line(nominal: Floats, needs: Floats) -> Line | None:
    if nominal.size < ON_A_LINE or np.ptp(nominal) == 0:
        return None
    return line(nominal, needs)


def _reasons(found: Allowance, sizes: int, sought: float) -> tuple[str, ...]:
    """Why nothing can be concluded."""
    if found.line is None or found.count < FEWEST or sizes < 3:
        return (SENTENCES["few"].format(count=found.count, sizes=sizes, fewest=FEWEST),)
    reasons = [SENTENCES["outlier"].format(labels=label) for label in found.outliers]
    known = coverage_factor(found.line.degrees_of_freedom, LEVEL) * found.at(found.size)[1]
    if known > sought / 2:
        reasons.append(SENTENCES["uncertain"].format(known=known, sought=sought))
    if found.tolerance > sought:
        reasons.append(SENTENCES["scatter"].format(tolerance=found.tolerance, sought=sought))
    if found.axes_differ and abs(found.difference) > sought / 2:
        reasons.append(SENTENCES["axes"].format(difference=abs(found.difference)))
    return tuple(reasons)


def _fits(measured: Sequence[Measured]) -> tuple[tuple[Fit, ...], tuple[str, ...]]:
    """What was tried, by the part's size and how it goes; and trials in which a wider hole is tighter."""
    tried = [one for one in measured if one.goes and one.feature.tried]
    fits, doubts = [], []
    for size in sorted({one.feature.tried or 0.0 for one in tried}):
        here = sorted((one for one in tried if one.feature.tried == size), key=lambda one: one.feature.nominal)
        for one, wider in pairwise(here):
            if GOES.index(wider.goes) < GOES.index(one.goes):
                words = {"label": wider.feature.label, "goes": wider.goes, "other": one.goes}
                doubts.append(SENTENCES["order"].format(**words))
        for goes in GOES[1:]:
            more = [round((one.feature.nominal - size) / 2, 6) for one in here if one.goes == goes]
            if more:
                fits.append(Fit(size, goes, min(more), max(more)))
    return tuple(fits), tuple(doubts)
