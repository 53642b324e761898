"""What a brief asks of a design beyond what `limits` and `space` report: rows of the same form."""

import math

from cyclokit.design.brief import Brief
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import capacity
from cyclokit.report import Limit, Report
from cyclokit.signatures import read

SENTENCES = {
    "outer diameter": (
        "outer diameter of the housing, up to the greatest asked for",
        "The housing is larger than it may be.",
        "Choose a smaller pin circle or smaller rollers.",
    ),
    "least share": (
        "least share asked for, up to the eccentricity as a share of the greatest with which the drive is sound",
        "The lobes are shallow for this drive: the pins' forces are large, and play turns the output far.",
        "Choose a larger eccentricity.",
    ),
    "greatest share": (
        "eccentricity as a share of the greatest with which the drive is sound, up to the greatest share asked for",
        "The flanks are nearly undercut: the lobes' edges are sharp.",
        "Choose a smaller eccentricity or smaller rollers.",
    ),
}
TORQUE = (
    "torque asked for at the output, up to what the weakest part bears at the safety asked for, by formulas",
    "A part may break or wear out under that torque.",
    "See what verdict.judge says, and strengthen what goes first.",
)
WORDS = ("as its brief asks", "not as its brief asks")
CAPTIONS = (
    "This reducer has the size and the lobes that its brief asks for",
    "This reducer misses what its brief asks for",
)


@read
def check(brief: Brief, reducer: Reducer) -> Report:
    """The size and the share of the greatest eccentricity that a brief asks for.

    Parameters
    ----------
    brief : Brief
        The brief.
    reducer : Reducer
        The design.

    Returns
    -------
    Report
        Of the form that `cyclokit.geometry.limits.check` gives; it decides like a physical one.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> story = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> check(Brief(19, 110, ["623"]), story).sound
    True
    """
    drive = reducer.drive
    most = float(limits.greatest_eccentricity(drive.pins, drive.pin_circle_radius, drive.roller_radius))
    share = drive.eccentricity / most if most > 0 else math.nan
    pairs = {
        "outer diameter": (space.outer_diameter(reducer), brief.greatest_outer_diameter, "mm"),
        "least share": (brief.least_share, share, ""),
        "greatest share": (share, brief.greatest_share, ""),
    }
    asked = []
    if brief.torque:
        asked = [Limit("torque", brief.torque, capacity.of(reducer, brief.safety), "N mm", True, False, *TORQUE)]
    rows = [Limit(name, *pair, True, False, *SENTENCES[name]) for name, pair in pairs.items()]
    return Report(drive, (*rows, *asked), WORDS, CAPTIONS)
