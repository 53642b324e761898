"""How rollers sit on their rods, and what stands beside what along a reducer's axis."""

from cyclokit.arguments import checked_choice, checked_length
from cyclokit.machine.defaults import PINS_MADE
from cyclokit.machine.reducer import Reducer
from cyclokit.signatures import read

SHIM = 0.1  # mm, the thinnest shim washer: DIN 988, from memory
LOOSE = 0.1  # mm, a rod's radius below its bore's: common practice, no source
MOST_ON_A_SLEEVE = 2  # discs: derived, held by brute force in the tests
TILT = 2.0  # times a bearing's width a disc may be thick, or the other way round: common practice, no source
ADVICE = "discs on a sleeve"  # a count; the others decide
MAY_BE_EQUAL = {
    "bearing as wide as the roller",
    "rod in the ring bearing",
    "rod fills the ring bearing",
    "output rod inside its roller",
    "ring bearings apart",
    "middle eccentric on the shaft",
    "disc thick enough for its bearing",
    "disc thin enough for its bearing",
}


@read
def bounds(reducer: Reducer) -> dict[str, tuple[float, float]]:
    """What must stay below what, or may equal it: name -> (value, bound) [mm]; the names are those of `space.check`.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> found = bounds(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> found["rod in the ring bearing"], found["bearings apart"]  # mm
    ((1.5, 1.5), (5.0, 6.0))
    """
    width, thickness = reducer.eccentric_bearing.width, reducer.disc_thickness
    found = _on_rods(reducer) | (_between_discs(reducer) if reducer.discs > 1 else {})
    if reducer.discs > 2 and reducer.disc_pitch < 2 * width:  # else the middle bearing can step aside
        needed = reducer.shaft_radius + reducer.drive.eccentricity + reducer.least_wall
        found["middle eccentric on the shaft"] = (needed, reducer.eccentric_bearing.bore_diameter / 2)
    return found | {
        "disc thick enough for its bearing": (width, TILT * thickness),
        "disc thin enough for its bearing": (thickness, TILT * width),
        "housing outside the rollers": (reducer.running_gap, reducer.housing_wall),
    }


@read
def roller_walls(
    pin_made: str, roller_radius: float, pin_rod_radius: float, output_roller_radius: float, output_rod_radius: float
) -> dict[str, float]:
    """Walls of rollers round their rods, by the names of the rows of `space.check`, from all radii [mm].

    Those of what is solid, or bought, are left out.

    Examples
    --------
    >>> roller_walls("sleeve on rod", 4.0, 2.0, 5.0, 5.0)  # mm
    {'wall of the sleeve': 2.0}
    """
    sleeve = checked_length("roller_radius", roller_radius) - checked_length("pin_rod_radius", pin_rod_radius)
    output = checked_length("output_roller_radius", output_roller_radius)
    wall = output - checked_length("output_rod_radius", output_rod_radius)
    is_sleeve = checked_choice("pin_made", pin_made, PINS_MADE) == "sleeve on rod"
    found = {"wall of the sleeve": sleeve} if is_sleeve else {}
    return found | ({"wall of the output rollers": wall} if wall > 0 else {})


def _on_rods(reducer: Reducer) -> dict[str, tuple[float, float]]:
    """How rollers sit on their rods."""
    rod, roller, bearing = reducer.pin_rod_radius, reducer.drive.roller_radius, reducer.ring_bearing
    found: dict[str, tuple[float, float]] = {}
    if reducer.pin_made == "sleeve on rod":
        found = {"rod inside the roller": (rod, roller), ADVICE: (reducer.discs, MOST_ON_A_SLEEVE)}
    if bearing:
        outside, bore = bearing.outer_diameter / 2, bearing.bore_diameter / 2
        found = {
            "bearing as wide as the roller": (max(outside, roller), min(outside, roller)),
            "rod in the ring bearing": (rod, bore),
            "rod fills the ring bearing": (bore, rod + LOOSE),
        }
    return found | {"output rod inside its roller": (reducer.output_rod_radius, reducer.output_roller_radius)}


def _between_discs(reducer: Reducer) -> dict[str, tuple[float, float]]:
    bearing, eccentricity, spacer = reducer.eccentric_bearing, reducer.drive.eccentricity, reducer.spacer_radius
    found = {
        "spacer round the shaft": (reducer.shaft_radius, spacer),
        "spacer reaches the inner rings": (bearing.bore_diameter / 2 - eccentricity, spacer),
        "spacer on inner rings only": (spacer + eccentricity, bearing.shoulder_radius),
        "bearings apart": (bearing.width, reducer.disc_pitch),
        "side play inside the gap": (reducer.axial_clearance, reducer.disc_gap),
    }
    if reducer.ring_bearing:
        found["ring bearings apart"] = (reducer.ring_bearing.width + SHIM, reducer.disc_pitch)
    return found
