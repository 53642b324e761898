"""Whether a reducer can be built as a bench machine: crank, carrier, motor, screws and bearings have their room."""

import cmath
import math

from cyclokit.arguments import checked_kind
from cyclokit.machine import crank, fits, space
from cyclokit.machine.hardware import MOTOR, thread
from cyclokit.machine.layout import (
    AXIAL_GAP,
    BUSH_PLAY,
    BUSH_WALL,
    ENGAGED,
    LEAD_IN,
    LEVER,
    LID,
    SCREW_GAP,
    THREAD_END,
    Layout,
    carrier_bore,
    layout,
    lever_radii,
    outer_lip,
    roller_bearings,
)
from cyclokit.machine.reducer import SUPPORTS, Reducer
from cyclokit.report import Limit, Report

SHORTEST_GRIP = 6.0  # mm of the motor's shaft that the crank must be on: common practice, no source
# name -> (what is compared, what goes wrong, what to change)
SENTENCES = {
    "crank bearing round the crank": (
        "radius of the shaft, its play and a wall, up to that of the crank bearing's bore",
        "The crank has no wall round the motor's shaft where its bearings are.",
        "Choose a crank bearing with a larger bore, or a thinner shaft.",
    ),
    "crank bearing passes the eccentric's": (
        "radius of the crank bearing's bore and the eccentricity, up to that of the eccentric bearing's bore",
        "The crank's journal is so thick that the disc's bearing can't come on over it.",
        "Choose a smaller crank bearing, an eccentric bearing with a larger bore, a smaller eccentricity, or two "
        "discs: their crank can be divided between them.",
    ),
    "spacer on the bearing's inner ring": (
        "radius of the spacers and the eccentricity, up to the eccentric bearing's inner ring",
        "The spacers rub on the outer rings.",
        "Choose smaller spacers.",
    ),
    "spacer reaches the inner ring": (
        "radius of the eccentric less the eccentricity, below that of the spacers",
        "The spacers don't hold the inner rings.",
        "Choose larger spacers.",
    ),
    "spacer's wall": (
        "radius of the crank's journal, its play and one line of a print, up to that of the spacers and of the crank "
        "bearing's inner ring",
        "The spacers on the crank have no wall.",
        "Choose an eccentric bearing with a larger bore, larger spacers, or a smaller crank bearing.",
    ),
    "rollers' spacers' wall": (
        "one line of a print, up to the wall of the spacers that touch a roller bearing's inner ring only",
        "The spacers between roller bearings have no wall.",
        "Choose bearings with thicker rings.",
    ),
    "spacer in the carrier": (
        "radius of the carrier's holes round the crank's spacers, and a wall, up to the nearest reach of an output rod",
        "The output plates have no wall between the crank and their rods.",
        "Choose a larger output circle or thinner rods.",
    ),
    "carrier passes the rollers": (
        "farthest reach of the output rods and a wall, up to what the ring rollers leave less the running gap",
        "The carrier can't go in between the ring rollers.",
        "Choose a smaller output circle, thinner rods or smaller rollers.",
    ),
    "hub inside the output bearing": (
        "radius of the crank bearing and a wall, up to that of the output bearing's bore",
        "The hub round the crank's upper bearing has no wall.",
        "Choose a larger output bearing or a smaller crank bearing.",
    ),
    "output bearings apart": (
        "width of an output bearing and a wall for the lip between, up to the distance of their middles",
        "There is no lip between the output bearings that could hold them.",
        "Choose a larger output_bearing_span.",
    ),
    "output bearing inside the pins": (
        "radius of the output bearing and a wall, up to the nearest reach of a ring pin's seat",
        "The output bearing's seat breaks into those of the ring pins.",
        "Choose a smaller output bearing, thinner rods or a larger pin circle.",
    ),
    "screws outside the housing": (
        "radius of the cover's bearing housing and a screw's head, up to the screws' circle",
        "The heads of the cover's screws run into the bearing housing.",
        "Choose a smaller output bearing or thinner screws.",
    ),
    "output bearing inside the flange": (
        "radius inside which only the output bearing's inner ring is, and a gap, up to the flange's radius",
        "The flange has no shoulder for the output bearing.",
        "Choose a smaller output bearing or a larger output circle.",
    ),
    "lugs apart": (
        "half the sum of the lugs' widths, up to the distance of the middles of neighbouring ones",
        "The lugs of the cover's screws and the feet run into each other.",
        "Choose fewer or smaller screws.",
    ),
    "insert in the motor's plate": (
        "length of the inserts, up to the thickness of the motor's plate",
        "The inserts are longer than the motor's plate is thick.",
        "Choose smaller screws, or nuts.",
    ),
    "screws in their inserts": (
        "diameter of the cover's screws, up to how far they are in their inserts",
        "The screws are too short to hold in their inserts.",
        "Choose other screws, or nuts.",
    ),
    "rods held as they are judged": (
        "plates in which the verdict takes an output rod to be held, up to those it stands in",
        "The verdict takes the output rods to be held in a plate that isn't there.",
        "Choose output_support 'one end', or two output_plates.",
    ),
    "wall over the nuts": (
        "height of the nuts' pockets and a wall, up to the thickness of the motor's plate",
        "The nuts' pockets break through the motor's plate.",
        "Choose smaller screws or a wider crank bearing.",
    ),
    "motor's screws inside the pins": (
        "farthest reach of the motor's screw heads and a wall, up to the nearest reach of a ring pin's seat, or of a "
        "nut, from where a screw is",
        "The heads of the motor's screws run into the ring pins' seats, or into the nuts' pockets.",
        "Choose a larger pin circle or thinner rods: this motor's face is too large.",
    ),
    "motor's screws outside the bearing": (
        "radius of the crank bearing's seat and a wall, up to the nearest reach of the motor's screw heads",
        "The heads of the motor's screws run into the crank bearing's seat.",
        "Choose a smaller crank bearing.",
    ),
    "motor's screws sunk": (
        "height of the heads of the motor's screws, up to the thickness of the motor's plate",
        "The heads of the motor's screws rub on the second output plate.",
        "Choose a wider crank bearing or deeper seats.",
    ),
    "motor's screws don't bottom": (
        "length of the motor's screws inside the motor, up to the depth of its threads",
        "The screws meet the threads' end before they hold the plate.",
        "Choose shorter screws.",
    ),
    "cap's screws in the hub": (
        "height of a cap screw's tip and 4 mm, a lever's lid under its head, up to the hub's top",
        "The cap's screws find no thread in the hub.",
        "Choose a larger output_bearing_span.",
    ),
    "cap's screws inside the hub": (
        "farthest reach of the cap's screws and a wall, up to the hub's radius",
        "The cap's screws break through the hub.",
        "Choose a larger output bearing or thinner screws.",
    ),
    "lever's seat round its screws": (
        "farthest reach of the cap's screw heads, up to half the width of the lever's seat",
        "A lever can't pass the heads of the cap's screws.",
        "Choose a larger lever_width.",
    ),
    "lever's hole outside its seat": (
        "sum of the lever's radii round its seat and its hole, up to the lever's arm",
        "The lever's hole runs into its seat.",
        "Choose a longer lever_arm.",
    ),
    "lever's seat on the cap": (
        "half the lever's seat across its corners, up to the radius of the cap",
        "The lever's seat is wider than the cap.",
        "Choose a smaller lever_width or a larger output bearing.",
    ),
    "motor's shaft below the crank's joint": (
        "height of the motor's shaft's end, a gap and a wall, up to where the crank is divided",
        "The motor's shaft goes into the spigot that joins the crank's two pieces.",
        "Choose a motor with a shorter shaft, or thicker discs or plates.",
    ),
    "wall of the crank's spigot": (
        "radius of the crank's screw and a wall, up to the distance of the spigot's flat from the axis",
        "The spigot that joins the crank's two pieces has no wall round its screw.",
        "Choose an eccentric bearing with a larger bore, or a smaller eccentricity.",
    ),
    "head of the crank's screw": (
        "radius of the crank's screw's head, its gap and a wall, up to the radius of the crank's journal",
        "The head of the crank's screw leaves no wall in the upper journal.",
        "Choose a crank bearing with a larger bore.",
    ),
    "crank's screw in its thread": (
        "height of the crank's screw's tip and 4 mm, up to the top of the spigot",
        "The screw that joins the crank's pieces isn't long enough in its thread.",
        "Choose a motor with a shorter shaft, or thicker discs or plates.",
    ),
    "crank's screw above the motor's shaft": (
        "height of the motor's shaft's end, a gap, a wall and the thread's end, up to the tip of the crank's screw",
        "The shortest screw that could join the crank's pieces runs into the motor's shaft.",
        "Choose a motor with a shorter shaft, or thicker discs or plates.",
    ),
    "crank's screw clamps": (
        "top of the spigot and two walls, up to the face under the crank's screw's head",
        "The screw that joins the crank's pieces clamps no wall.",
        "Choose a wider crank bearing, or thicker plates.",
    ),
    "crank's neck as a ring": (
        "two layers of a print, up to the height of the crank's neck, a ring of its own between two thick journals",
        "The ring between the crank's two pieces is too thin to be printed.",
        "Choose a wider disc_gap, or a smaller crank bearing.",
    ),
    "motor's shaft below the hub": (
        "height of the motor's shaft's end and a gap, up to the hub above the crank's upper bearing",
        "The motor's shaft runs into the hub.",
        "Choose a motor with a shorter shaft, or thicker discs or plates.",
    ),
    "flat of the motor's shaft": (
        "how deep the flat of the motor's shaft is, below the shaft's radius",
        "No shaft has a flat as deep as that.",
        "Measure it again: the radius, less what is left from the axis to the flat.",
    ),
    "ring pins' seats": (
        "a wall, up to how deep the ring pins' rods stand in their seats",
        "The seats are too shallow to hold the rods.",
        "Choose a larger seat_depth.",
    ),
    "output rods in their plates": (
        "diameter of the output rods, up to the thickness of the plates that they are pressed into",
        "The plates are too thin to hold the rods upright (common practice, no source).",
        "Choose a larger plate_thickness, or thinner rods.",
    ),
    "motor's shaft in the crank": (
        "6 mm (common practice, no source), up to the length of the motor's shaft that is in the crank",
        "The motor's shaft doesn't reach far enough into the crank.",
        "Choose a motor with a longer shaft.",
    ),
    "rod fills the output bearing": (
        "difference of radius between an output roller's bore and its rod, up to nothing",
        "The output roller's bearing doesn't sit on its rod.",
        "Choose the bearing's bore as thick as the rod.",
    ),
    "side play beside the upper spacer": (
        "side play and one line of a print, up to the distance from the upper eccentric to the crank's upper bearing",
        "The side play leaves no upper spacer on the crank.",
        "Choose less side play or thicker plates.",
    ),
    "upper bearing in the flange": (
        "height of the crank's upper bearing's bottom, up to the flange's top less two walls",
        "The flange doesn't hold the crank's upper bearing.",
        "Choose thicker plates or a narrower crank bearing.",
    ),
    "crank under the output": (
        "height of the crank's upper bearing's top, its lip and a wall, up to the hub's top",
        "The crank's upper bearing breaks through the hub.",
        "Choose a larger output_bearing_span.",
    ),
}
CAUGHT = "play that the cover's chamfer catches"
STRICT = ("flat of the motor's shaft",)  # less than the bound, not as much
WORDS = ("can be built as a bench machine", "can't be built as a bench machine")
CAPTIONS = ("This reducer can be built as a bench machine", "This reducer can't be built as a bench machine")


def check(reducer: Reducer) -> Report:
    """Whether a reducer can be built as a bench machine, beyond what `cyclokit.machine.space.check` says of its room.

    Parameters
    ----------
    reducer : Reducer
        The reducer; its ring pins held at both ends.

    Returns
    -------
    Report
        Rows of the form of `cyclokit.machine.space.check`; the diameter over the lugs is a figure among them.

    Raises
    ------
    ValueError
        If it has no output bearing, or its pins are held at one end.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> check(Reducer(Drive(20, 42.0, 5.0, 1.4))).sound
    True
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    if reducer.pin_support != "both ends":
        raise ValueError("pin_support is 'one end', but a bench machine's ring pins are held at both: change that.")
    plan = layout(reducer)
    pairs = _crank(reducer, plan) | _carrier(reducer, plan) | _frame(reducer, plan) | _output(reducer, plan)
    pairs |= _joined(reducer)
    rows = [
        Limit(name, float(value), float(bound), _unit(name), True, name in STRICT, *SENTENCES[name])
        for name, (value, bound) in pairs.items()
    ]
    over = Limit(
        "diameter over the lugs", plan.diameter_over_lugs, float("inf"), "mm", False, True, "its lugs and feet", "", ""
    )
    caught = fits.caught(reducer)
    play = Limit(CAUGHT, caught, float("inf"), "mm", False, True, "of a ring pin's rod that leans in its seat", "", "")
    return Report(reducer.drive, (*rows, over, play), WORDS, CAPTIONS)


def _unit(name: str) -> str:
    return "" if name == "rods held as they are judged" else "mm"


def refused(reducer: Reducer) -> str | None:
    """Why a reducer can't be built as a bench machine, in words; None if it can.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> refused(Reducer(Drive(20, 42.0, 5.0, 1.4))) is None
    True
    >>> refused(Reducer(Drive(20, 42.0, 5.0, 1.4), crank_bearing="625")).partition(".")[0]
    'crank bearing round the crank'
    """
    try:
        reports = (space.check(reducer), check(reducer))
    except ValueError as error:
        return str(error)
    wrong = (row for report in reports for row in report if row.physical and not row.ok)
    return next((f"{row.name}. {row.trouble} {row.remedy}" for row in wrong), None)


def engaged(reducer: Reducer) -> float:
    """Length of the motor's shaft that is inside the crank [mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> engaged(Reducer(Drive(20, 42.0, 5.0, 1.4)))  # mm
    20.5
    """
    plan = layout(reducer)
    return min(reducer.motor_shaft_length, plan.upper_bearing[1]) - plan.lower_bearing[0]


def _crank(reducer: Reducer, plan: Layout) -> dict[str, tuple[float, float]]:
    eccentric, journal, wall = reducer.eccentric_bearing, reducer.crank_bearing, reducer.least_wall
    spacer, e = reducer.spacer_radius, reducer.drive.eccentricity
    cut = crank.division(reducer)
    from_cut = reducer.discs == 2 and cut is not None and cut.loose_neck  # no bearing comes on over a journal
    found = {
        "crank bearing round the crank": (reducer.shaft_radius + reducer.shaft_play + wall, journal.bore_diameter / 2),
        "crank bearing passes the eccentric's": (journal.bore_diameter / 2 + e, eccentric.bore_diameter / 2),
        "spacer on the bearing's inner ring": (spacer + e, eccentric.shoulder_radius),
        "spacer reaches the inner ring": (eccentric.bore_diameter / 2 - e, spacer),
        "spacer's wall": (journal.bore_diameter / 2 + BUSH_PLAY + BUSH_WALL, min(spacer, journal.shoulder_radius)),
        "motor's shaft in the crank": (SHORTEST_GRIP, engaged(reducer)),
        "motor's shaft below the hub": (reducer.motor_shaft_length + AXIAL_GAP, plan.upper_bearing[1] + wall),
        "flat of the motor's shaft": (reducer.motor_shaft_flat, reducer.shaft_radius),
        "side play beside the upper spacer": (
            reducer.axial_clearance + BUSH_WALL,
            plan.upper_bearing[0] - plan.eccentrics[-1][1],
        ),
        "upper bearing in the flange": (plan.upper_bearing[0], plan.flange[1] - 2 * wall),
        "crank under the output": (plan.upper_bearing[1] + 2 * wall, plan.hub_top),
    }
    if from_cut:
        del found["crank bearing passes the eccentric's"]
    return found


def _joined(reducer: Reducer) -> dict[str, tuple[float, float]]:
    """How the two pieces of a divided crank are joined; nothing of a crank in one piece."""
    cut, wall = crank.division(reducer), reducer.least_wall
    if cut is None:
        return {}
    screw = cut.screw
    neck = {"crank's neck as a ring": (2 * LEAD_IN, cut.upper - cut.bottom)} if cut.loose_neck else {}
    return neck | {
        "motor's shaft below the crank's joint": (reducer.motor_shaft_length + AXIAL_GAP + wall, cut.bottom),
        "wall of the crank's spigot": (screw.diameter / 2 + wall, cut.flat),
        "head of the crank's screw": (
            screw.head_diameter / 2 + SCREW_GAP + wall,
            reducer.crank_bearing.bore_diameter / 2,
        ),
        "crank's screw above the motor's shaft": (
            reducer.motor_shaft_length + AXIAL_GAP + wall + THREAD_END,
            cut.seat - cut.length,
        ),
        "crank's screw in its thread": (cut.seat - cut.length + ENGAGED, cut.spigot_top),
        "crank's screw clamps": (cut.spigot_top + 2 * wall, cut.seat),
    }


def _carrier(reducer: Reducer, plan: Layout) -> dict[str, tuple[float, float]]:
    wall, drive = reducer.least_wall, reducer.drive
    rod = reducer.output_rod_radius
    walls = [one.shoulder_radius - one.bore_diameter / 2 - BUSH_PLAY for one in roller_bearings(reducer)]
    roller = reducer.output_roller_bearing
    judged = 2 if reducer.output_support == SUPPORTS[0] else 1
    return {
        "spacer in the carrier": (carrier_bore(reducer) + wall, reducer.output_circle_radius - rod),
        "output rods in their plates": (2 * rod, reducer.plate_thickness),
        "rods held as they are judged": (judged, reducer.output_plates),
        "carrier passes the rollers": (
            reducer.output_circle_radius + rod + wall,
            drive.pin_circle_radius - drive.roller_radius - reducer.running_gap,
        ),
        "rollers' spacers' wall": (BUSH_WALL, min(walls, default=BUSH_WALL)),
        "rod fills the output bearing": (abs(roller.bore_diameter / 2 - rod) if roller else 0.0, 0.0),
    }


def _frame(reducer: Reducer, plan: Layout) -> dict[str, tuple[float, float]]:
    wall, head = reducer.least_wall, thread(MOTOR.screw)
    recess, circle = head.head_diameter / 2 + SCREW_GAP, MOTOR.hole_circle_radius
    nearest = min(circle + _from_motor_screw(reducer) - reducer.pin_rod_radius, plan.screw_circle - plan.lug + wall)
    apart = abs(plan.screw_circle - plan.foot_circle * cmath.exp(1j * math.pi / reducer.screws))
    if reducer.screws_into == "inserts":
        screw = thread(reducer.screw)
        held = {
            "insert in the motor's plate": (screw.insert_length, plan.plate_top),
            "screws in their inserts": (screw.diameter, plan.plate_top - max(plan.screw_tip, plan.insert_bottom)),
        }
    else:
        held = {"wall over the nuts": (plan.pocket_top + wall, plan.plate_top)}
    return held | {
        "ring pins' seats": (wall, reducer.seat_depth),
        "lugs apart": (plan.lug + plan.foot_lug, apart),
        "motor's screws inside the pins": (circle + recess + wall, nearest),
        "motor's screws outside the bearing": (reducer.crank_bearing.outer_diameter / 2 + wall, circle - recess),
        "motor's screws sunk": (plan.motor_screw_seat + head.head_height, plan.plate_top),
        "motor's screws don't bottom": (plan.motor_screw_length - plan.motor_screw_seat, MOTOR.thread_depth),
    }


def _from_motor_screw(reducer: Reducer) -> float:
    """Least distance of a ring pin's middle from that of a motor's screw [mm]; below 0 where pins stand inside them."""
    drive, circle = reducer.drive, MOTOR.hole_circle_radius
    if drive.pin_circle_radius < circle:
        return drive.pin_circle_radius - circle
    pins = [cmath.rect(drive.pin_circle_radius, 2 * math.pi * pin / drive.pins) for pin in range(drive.pins)]
    screws = [cmath.rect(circle, math.pi * (0.25 + 0.5 * screw)) for screw in range(4)]
    return min(abs(pin - screw) for pin in pins for screw in screws)


def _output(reducer: Reducer, plan: Layout) -> dict[str, tuple[float, float]]:
    wall, screw, bearing = reducer.least_wall, thread(reducer.screw), reducer.output_bearing
    if bearing is None:
        raise ValueError("output_bearing is None: give one.")
    tip = plan.cap_top + LEVER - plan.cap_screw_length
    return {
        "hub inside the output bearing": (reducer.crank_bearing.outer_diameter / 2 + wall, plan.hub),
        "output bearings apart": (bearing.width + wall, reducer.output_bearing_span),
        "output bearing inside the pins": (
            bearing.outer_diameter / 2 + wall,
            reducer.drive.pin_circle_radius - reducer.pin_rod_radius,
        ),
        "screws outside the housing": (plan.housing + screw.head_diameter / 2 + SCREW_GAP, plan.screw_circle),
        "output bearing inside the flange": (bearing.shoulder_radius, min(plan.carrier, outer_lip(bearing))),
        "cap's screws in the hub": (tip + LID + ENGAGED, plan.hub_top),
        "lever's hole outside its seat": (sum(lever_radii(reducer)), reducer.lever_arm),
        "cap's screws inside the hub": (plan.cap_circle + screw.diameter / 2 + wall, plan.hub),
        "lever's seat round its screws": (plan.cap_circle + screw.head_diameter / 2, reducer.lever_width / 2),
        "lever's seat on the cap": (reducer.lever_width / 3**0.5, bearing.shoulder_radius),
    }
