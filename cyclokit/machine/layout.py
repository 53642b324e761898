"""Where everything of a bench machine stands: heights along the axis and radii, from the motor's face upwards.

The motor's plate holds the motor, the crank's lower bearing and the lower ends of the ring pins' rods; on it stand the
ring plate and the cover, which holds the rods' upper ends and the two output bearings. In these turns the carrier:
second plate, output rods and flange, whose hub holds the crank's upper bearing. Whether it can be built so is for
`cyclokit.machine.bench.check`. Gaps are common practice, no source; those along the axis are chosen so that what is
printed is a whole number of layers high, as far as bought parts and a reducer's own figures are.
"""

import math
from dataclasses import dataclass
from typing import Any

from cyclokit.arguments import checked_kind
from cyclokit.machine import space
from cyclokit.machine.hardware import INSERT_WALL, MOTOR, Screw, longest_screw, thread
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import Bearing
from cyclokit.report import SLACK

LAYER = 0.2  # mm, a usual layer of a 0.4 mm nozzle: common practice, no source
AXIAL_GAP = 0.6  # mm, between plates that turn past each other
PILOT_PLAY = 0.1  # mm, round the motor's pilot
PILOT_GAP = 0.4  # mm, above the motor's pilot: printed over nothing, the roof of its recess sags
SCREW_GAP = 0.25  # mm, round a head or a nut in its pocket
STACK_PLAY = 0.2  # mm, that a row of rollers and spacers has along its rod
SEAT_PLAY = 0.1  # mm, at each end of a ring pin's rod, along it
SEAT_SLACK = 0.0  # mm, on the diameter of a ring pin's seat as it is drawn
ENGAGED = 4.0  # mm of a motor's screw that are in its thread
HUB_SHORT = 0.2  # mm, that the hub stays below its bearings' top, so that the cap clamps their inner rings
CAP = 3.0  # mm, the cap's thickness below the lever's seat
LEVER = 6.0  # mm, height of the lever's seat
LID = 2.4  # mm, of the lever above its seat, under the heads of the cap's screws
LEVER_WALLS = 3  # least walls round the lever's holes: common practice, no source
LEVER_PLAY = 0.1  # mm, all round the lever's seat
COVER_WALL = 1.4  # mm, above the seats in the cover
LEAD_IN = LAYER  # mm, width and height of the step where something must find its way in
CATCH = 2 * LAYER  # mm, the same of the chamfer that catches the ring pins' rods, if there is room
BUSH_PLAY = 0.1  # mm, radius: spacers slide on their rods
COLLAR = 2.0  # rod radii that a collar on a rod's end is long, in whole layers: common practice, no source
BUSH_WALL = 0.4  # mm, one line of the usual nozzle
THREAD_END = 1.0  # mm of a hole below a screw's tip
BUSH_STEP = 1.0  # mm, of a spacer's end that meets a smaller bearing


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Heights z above the motor's face and radii about the axis [mm].

    Attributes
    ----------
    recess_top, plate_top : float
        Top of the pilot's recess in the motor's plate, and of the plate, where the ring plate begins.
    lower_bearing : tuple of float
        Bottom and top of the crank's lower bearing.
    second_plate, flange : tuple of float
        Bottom and top of the two plates that hold the output rods; of the collars on their free ends where there is
        no second plate.
    discs, eccentrics : tuple of tuple of float
        Bottom and top of each disc, and of its bearing and eccentric.
    ring_rollers, output_rollers : tuple of float
        Bottom of each bearing on a rod of the ring, or of the output, from the lowest disc up; none without bearings.
    cover_bottom, cover_top, housing_top : float
        Where the ring plate ends and the cover begins, its flange's top, and its bearing housing's.
    upper_bearing : tuple of float
        Bottom and top of the crank's upper bearing.
    output_bearings : tuple of tuple of float
        Bottom and top of each of the two.
    hub_top, cap_top : float
        Top of the hub, and of the cap, where the lever's seat begins.
    inside, outside : float
        Radius of the ring plate's inside, and of the frame outside, lugs aside.
    screw_circle, lug : float
        Radius of the circle of the cover's screws, and of the lug round each.
    foot_circle, foot_lug : float
        The same for the screws that hold the machine to its bench.
    carrier : float
        Radius of the flange and the second plate.
    hub : float
        Radius of the hub, the output bearings' bore.
    housing : float
        Radius of the cover's bearing housing.
    cap_circle : float
        Radius of the circle of the cap's screws.
    screw_length, motor_screw_length, cap_screw_length : int
        Lengths of the screws of cover, motor and cap.
    screw_tip, pocket_top : float
        Height of the tip of the cover's screws, from which the nut goes up, and of the nut's top: its pocket is open
        downwards.
    insert_bottom : float
        Height of the lower end of an insert that stands there in place of a nut, flush with the plate's top.
    motor_screw_seat : float
        Height of the face under the heads of the motor's screws.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> layout(Reducer(Drive(20, 42.0, 5.0, 1.4))).diameter_over_lugs  # mm
    117.4
    """

    recess_top: float
    plate_top: float
    lower_bearing: tuple[float, float]
    second_plate: tuple[float, float]
    flange: tuple[float, float]
    discs: tuple[tuple[float, float], ...]
    eccentrics: tuple[tuple[float, float], ...]
    ring_rollers: tuple[float, ...]
    output_rollers: tuple[float, ...]
    cover_bottom: float
    cover_top: float
    housing_top: float
    upper_bearing: tuple[float, float]
    output_bearings: tuple[tuple[float, float], tuple[float, float]]
    hub_top: float
    cap_top: float
    inside: float
    outside: float
    screw_circle: float
    lug: float
    foot_circle: float
    foot_lug: float
    carrier: float
    hub: float
    housing: float
    cap_circle: float
    screw_length: int
    motor_screw_length: int
    cap_screw_length: int
    screw_tip: float
    pocket_top: float
    insert_bottom: float
    motor_screw_seat: float

    @property
    def diameter_over_lugs(self) -> float:
        """Diameter of the smallest round box that takes the frame, its lugs and feet [mm]."""
        return 2 * max(self.screw_circle + self.lug, self.foot_circle + self.foot_lug, self.outside)


def layout(reducer: Reducer) -> Layout:
    """Where everything of a machine stands.

    Parameters
    ----------
    reducer : Reducer
        The reducer, with an output bearing.

    Returns
    -------
    Layout
        Heights and radii [mm].

    Raises
    ------
    ValueError
        If no output bearing goes round the hub.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> plan = layout(Reducer(Drive(20, 42.0, 5.0, 1.4)))
    >>> plan.discs, plan.cover_bottom, plan.screw_length
    (((15.8, 20.8), (21.8, 26.8)), 34.0, 35)
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    bearing = reducer.output_bearing
    if bearing is None:
        raise ValueError(
            f"output_bearing is None, because none of the table goes round a hub with a {reducer.crank_bearing.name} "
            "in it: give a Bearing, or a smaller crank_bearing."
        )
    screw = thread(reducer.screw)
    up = _heights(reducer, bearing)
    room = up["cover_top"]
    length = longest_screw(room)
    head = up["cap_top"] + LEVER
    over = max(reducer.least_wall, THREAD_END + LEAD_IN)  # the hole's end stays above the bearing's lip
    thickest = head - up["upper_bearing"][1] - reducer.least_wall - over
    return Layout(
        **up,
        **_radii(reducer, bearing, screw),
        screw_length=length,
        screw_tip=room - length,
        pocket_top=room - length + screw.nut_height,
        insert_bottom=up["plate_top"] - screw.insert_length,
        motor_screw_length=int(up["motor_screw_seat"] + ENGAGED),
        cap_screw_length=longest_screw(thickest),
    )


def chamfer(reducer: Reducer) -> float:
    """Width of the chamfer that catches the ring pins' rods when the cover comes on [mm]; 0 where seats are too close.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> chamfer(Reducer(Drive(20, 42.0, 5.0, 1.4))), chamfer(Reducer(Drive(20, 42.0, 6.0, 1.4), pin_made="solid"))  # mm
    (0.4, 0.2)
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    apart = 2 * reducer.drive.pin_circle_radius * math.sin(math.pi / reducer.drive.pins) - 2 * reducer.pin_rod_radius
    return next((width for width in (CATCH, LEAD_IN) if apart >= 2 * width + BUSH_WALL), 0.0)


def carrier_bore(reducer: Reducer) -> float:
    """Radius of the holes in the carrier's plates round the crank's spacers [mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> carrier_bore(Reducer(Drive(20, 42.0, 5.0, 1.4)))  # mm
    8.0
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    bearing = reducer.crank_bearing
    spacer = max(reducer.spacer_radius, bearing.shoulder_radius)
    return max(spacer + reducer.running_gap, bearing.outer_diameter / 2)


def lever_radii(reducer: Reducer) -> tuple[float, float]:
    """Radii of the lever round its seat, and round the hole at its end [mm].

    Examples
    --------
    >>> from cyclokit import Drive
    >>> [round(radius, 2) for radius in lever_radii(Reducer(Drive(20, 42.0, 5.0, 1.4)))]  # mm
    [14.05, 5.3]
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    if reducer.lever_width is None:
        raise ValueError("lever_width is None, because there is no output_bearing: give both.")
    wall = LEVER_WALLS * reducer.least_wall
    corner = (reducer.lever_width / 2 + LEVER_PLAY) * 2 / math.sqrt(3)
    return corner + wall, thread(reducer.screw).hole_diameter / 2 + wall


def roller_bearings(reducer: Reducer) -> tuple[Bearing, ...]:
    """The bearings that are rollers, of the ring and of the output.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> [bearing.name for bearing in roller_bearings(machine)]  # of the ring, of the output
    ['623', '623']
    """
    checked_kind("reducer", reducer, Reducer, "make one with Reducer(drive)")
    return tuple(bearing for bearing in (reducer.ring_bearing, reducer.output_roller_bearing) if bearing)


def _heights(reducer: Reducer, bearing: Bearing) -> dict[str, Any]:
    """Heights, from the motor's face up."""
    recess, wall, crank = MOTOR.pilot_height + PILOT_GAP, reducer.least_wall, reducer.crank_bearing.width
    motor_screw = thread(MOTOR.screw)
    top = max(recess + wall + crank, reducer.seat_depth + SEAT_PLAY + 2 * wall)
    # the longer of two screws whose head is sunk, else the shorter: it holds ENGAGED and doesn't bottom
    seat = next((s for s in (4.0, 2.0) if s + motor_screw.head_height <= top), 2.0)
    collar = LAYER * math.ceil(COLLAR * reducer.output_rod_radius / LAYER - SLACK)
    beyond = reducer.plate_thickness if reducer.output_plates == 2 else collar
    second = (top + AXIAL_GAP, top + AXIAL_GAP + beyond)
    widest = max(one.width for one in (reducer.eccentric_bearing, *roller_bearings(reducer)))
    half = reducer.eccentric_bearing.width / 2
    # from a plate to the nearest eccentric, whole layers; what is wider than that reaches nearer
    clear = LAYER * math.ceil((AXIAL_GAP + max(widest, reducer.disc_thickness) / 2 - half) / LAYER - SLACK)
    gap = clear + half - reducer.disc_thickness / 2
    middles = [
        second[1] + gap + reducer.disc_thickness / 2 + disc * reducer.disc_pitch for disc in range(reducer.discs)
    ]
    discs = tuple((z - reducer.disc_thickness / 2, z + reducer.disc_thickness / 2) for z in middles)
    flange = (discs[-1][1] + gap, discs[-1][1] + gap + reducer.plate_thickness)
    cover = flange[1] + AXIAL_GAP
    upper = max(cover - crank, flange[0] + wall)
    first = (cover, cover + bearing.width)
    last = (cover + reducer.output_bearing_span, cover + reducer.output_bearing_span + bearing.width)
    found = {
        "recess_top": recess,
        "plate_top": top,
        "lower_bearing": (top - crank, top),
        "second_plate": second,
        "flange": flange,
        "discs": discs,
        "eccentrics": tuple((z - half, z + half) for z in middles),
        "ring_rollers": _on_spacers(reducer.ring_bearing, top, middles),
        "output_rollers": _on_spacers(reducer.output_roller_bearing, second[1], middles),
        "cover_bottom": cover,
        "cover_top": cover + reducer.seat_depth + SEAT_PLAY + COVER_WALL,
        "housing_top": last[1],
        "upper_bearing": (upper, upper + crank),
        "output_bearings": (first, last),
        "hub_top": last[1] - HUB_SHORT,
        "cap_top": last[1] + CAP,
        "motor_screw_seat": seat,
    }
    return {name: _tidy(height) for name, height in found.items()}


def _tidy(heights: Any) -> Any:
    """Heights without the rounding of their sums."""
    return tuple(map(_tidy, heights)) if isinstance(heights, tuple) else round(heights, 9)


def _on_spacers(bearing: Bearing | None, floor: float, middles: list[float]) -> tuple[float, ...]:
    """Bottoms of the bearings on a rod: over a spacer of whole layers, less than one below the middles of the discs.

    So the row's play, one layer, takes them to the discs' middles or past them.
    """
    if bearing is None:
        return ()
    spacer = LAYER * math.floor((middles[0] - bearing.width / 2 - floor) / LAYER + SLACK)
    return tuple(floor + spacer + middle - middles[0] for middle in middles)


def _radii(reducer: Reducer, bearing: Bearing, screw: Screw) -> dict[str, Any]:
    """Radii about the axis."""
    drive, wall = reducer.drive, reducer.least_wall
    reach = float(space.reach(drive.pin_circle_radius, drive.roller_radius, drive.eccentricity))
    inside, outside = reach + reducer.running_gap, reach + reducer.housing_wall
    nut = (screw.nut_width / 2 + SCREW_GAP) * 2 / math.sqrt(3)  # to its pocket's corners
    if reducer.screws_into == "inserts":
        nut = screw.insert_diameter / 2 + INSERT_WALL - wall
    seat = drive.pin_circle_radius + reducer.pin_rod_radius
    circle = max(inside + wall + screw.hole_diameter / 2, seat + wall + nut)
    head = max(nut, screw.head_diameter / 2 + SCREW_GAP)
    foot = max(outside, MOTOR.side / math.sqrt(2)) + screw.head_diameter / 2 + 1.0  # heads go in beside both
    rod = reducer.output_circle_radius + reducer.output_rod_radius
    return {
        "inside": inside,
        "outside": outside,
        "screw_circle": _up(circle),
        "lug": _up(head + wall),
        "foot_circle": _up(foot),
        "foot_lug": _up(max(screw.head_diameter / 2 + wall, foot - outside + wall)),
        "carrier": min(rod + 2 * wall, drive.pin_circle_radius - drive.roller_radius - reducer.running_gap),
        "hub": bearing.bore_diameter / 2,
        "housing": bearing.outer_diameter / 2 + 2 * wall,
        "cap_circle": bearing.bore_diameter / 4,
    }


def _up(length: float) -> float:
    """Rounded up to a tenth of a millimetre."""
    return math.ceil(10 * length - 1e-9) / 10
