"""A panel of a rolling circle: a slider for the pen's arm, and what becomes of the curve where it comes nearest."""

import math
from functools import partial

from cyclokit.signatures import Length, read
from cyclokit.view import rolling_scene, stage
from cyclokit.view.panel import Panel, Shown, Slider, Values, to_know

LAYERS = ("circle", "curve", "whole curve", "angles")
# What the library says to a reader, by whether the arm is shorter than the radius, as long, or longer
VERDICTS = {
    -1: "The arm is shorter than the rolling circle's radius: rounded roots.",
    0: "The arm is as long as the rolling circle's radius: cusps.",
    1: "The arm is longer than the rolling circle's radius: loops.",
}
RATIO = "arm over the rolling circle's radius"


@read
def pen_on_arm(fixed_radius: Length, rolling_radius: Length, arm: Length) -> Panel:
    """A slider for the arm of the pen on a circle that rolls round another, with the curve that it draws.

    Lengths are in mm; `arm`, at first the distance of the drawing point from the rolling circle's centre, can go from a
    tenth of that circle's radius to twice it.
    """
    fixed, radius, arm = float(fixed_radius), float(rolling_radius), float(arm)
    if not radius / 10 <= arm <= 2 * radius:
        raise ValueError(
            f"arm is {arm:g} mm, but must be from a tenth of rolling_radius, {radius / 10:g} mm, to twice that radius, "
            f"{2 * radius:g} mm: choose an arm in between."
        )
    step = 10.0 ** (math.floor(math.log10(radius)) - 1)
    sliders = {"arm": Slider("arm [mm]", arm, radius / 10, 2 * radius, step)}
    return Panel(sliders, partial(_shown, fixed=fixed, radius=radius), LAYERS)


def _shown(values: Values, fixed: float, radius: float) -> Shown:
    ratio = values["arm"] / radius
    side = 0 if math.isclose(ratio, 1, rel_tol=1e-9) else int(math.copysign(1, ratio - 1))
    picture = rolling_scene.on_circle(fixed, radius, values["arm"], stage.seen(0.0, LAYERS))
    return Shown(picture, [to_know("trochoid ratio", ratio, RATIO, "")], True, VERDICTS[side])
