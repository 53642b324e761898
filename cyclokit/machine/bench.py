"""Whether a reducer can be built as a bench machine: crank, carrier, motor, screws and bearings have their room."""

import cmath
import math

from cyclokit.arguments import checked_kind
from cyclokit.machine import crank, fits, remedies, space
from cyclokit.machine.bench_words import CAPTIONS, CAUGHT, SENTENCES, WORDS
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
    roller_bearings,
)
from cyclokit.machine.reducer import SUPPORTS, Reducer
from cyclokit.report import Limit, Report

SHORTEST_GRIP = 6.0  # mm of the motor's shaft that the crank must be on: common practice, no source
STRICT = (
    "lead-ins inside the walls",
    "flat of the motor's shaft",
    "side play below the flange",
)  # less than the bound, not as much


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
    """Why a reducer can't be built as a bench machine: a line for every row that forbids it; None if it can.

    A line says by how much, and one figure with a value that was found to be enough for that row, or some such, each by
    itself; what kind of figure to change where none was. A last line says what is enough for all rows. Rows of the
    machine are told where the reducer has room for its own parts.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> refused(Reducer(Drive(20, 42.0, 5.0, 1.4))) is None
    True
    >>> refused(Reducer(Drive(20, 42.0, 5.0, 1.4), crank_bearing="625")).partition(".")[0]
    'crank bearing round the crank'
    """
    try:
        return "\n".join(remedies.lines(reducer, _reports)) or None
    except ValueError as error:
        return str(error)


def hindrance(reducer: Reducer) -> str | None:
    """The name of the first row that forbids a bench machine, or why none can be judged; None if it can be built.

    That is `refused` at once, without what is lacked and what would be enough.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> hindrance(Reducer(Drive(20, 42.0, 5.0, 1.4), crank_bearing="625"))
    'crank bearing round the crank'
    """
    try:
        report = next((report for report in _reports(reducer) if not report.sound), None)
    except ValueError as error:
        return str(error)
    return next(row.name for row in report if row.physical and not row.ok) if report else None


def _reports(reducer: Reducer) -> tuple[Report, Report]:
    return space.check(reducer), check(reducer)


def engaged(reducer: Reducer) -> float:
    """Length of the motor's shaft that is inside the crank [mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> engaged(Reducer(Drive(20, 42.0, 5.0, 1.4)))  # mm
    20.4
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
        "side play below the flange": (reducer.axial_clearance, plan.flange[0] - plan.discs[-1][1]),
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
        "lead-ins inside the walls": (LEAD_IN, wall),
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
        "output bearing inside the flange": (bearing.shoulder_radius, min(plan.carrier, bearing.lip_radius)),
        "cap's screws in the hub": (tip + LID + ENGAGED, plan.hub_top),
        "lever's hole outside its seat": (sum(lever_radii(reducer)), reducer.lever_arm),
        "cap's screws inside the hub": (plan.cap_circle + screw.diameter / 2 + wall, plan.hub),
        "lever's seat round its screws": (plan.cap_circle + screw.head_diameter / 2, reducer.lever_width / 2),
        "lever's seat on the cap": (reducer.lever_width / 3**0.5, bearing.shoulder_radius),
    }
