"""Will it hold? One table of everything that breaks in practice: how it is loaded, what it bears, what goes first.

Every figure is a band, from ranges of materials, friction and sharing (`loads`). Where a figure isn't known the row
says so, and that never counts as safe.
"""

import math
from collections.abc import Iterator, Mapping

import numpy as np

from cyclokit.arguments import (
    GREATEST_SIZE,
    LONGEST,
    SMALLEST_SIZE,
    checked_choice,
    checked_kind,
    checked_length,
    checked_number,
)
from cyclokit.geometry import speeds
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import MATERIALS
from cyclokit.mechanics import bearings, rods
from cyclokit.mechanics.cautions import cautions
from cyclokit.mechanics.contact import SHEAR
from cyclokit.mechanics.loads import Corner, steady
from cyclokit.mechanics.verdict_case import Case, disc_strength
from cyclokit.mechanics.verdict_table import Band, Row, Verdict
from cyclokit.texts import shown

AS_ROLLER = (0.5, 0.85)  # what a bearing bears as a roller, of its ratings: a range from memory


def judge(
    reducer: Reducer,
    torque: float,
    speed: float,
    *,
    safety: float = 1.5,
    hours: float = 1000.0,
    cover: bool = True,
    ratings: Mapping[str, bearings.Ratings] | None = None,
    shaft_material: str | None = None,
    grip_torque: float | None = None,
    overhung_load: float | None = None,
    overhang: float | None = None,
    output_bearing_distance: float | None = None,
    output_ratings: bearings.Ratings | None = None,
) -> Verdict:
    """Whether a reducer holds a torque, row by row, and what fails first.

    Parameters
    ----------
    reducer : Reducer
        The reducer; its parts must go together (`cyclokit.machine.space.check`).
    torque : float
        At the output [N mm], any sign.
    speed : float
        Of the crank [rad/s], any sign.
    safety : float
        The safety asked for, 1 or more.
    hours : float
        How long it is to run at this torque and speed [h].
    cover : bool
        Whether the cover is on; without it ring pins are cantilevers.
    ratings : mapping of str to Ratings, optional
        Makers' ratings of bearings by designation; for the others cautious ones, which makers exceed by up to half.
    shaft_material : str, optional
        What the crank's shaft is made of, a name from `cyclokit.machine.stock.MATERIALS`.
    grip_torque : float, optional
        Torque that the screws or the clamp hold between eccentric and shaft [N mm].
    overhung_load, overhang : float, optional
        Load across the output shaft [N], and how far outside the output's nearer bearing it hangs [mm].
    output_bearing_distance : float, optional
        Distance of the output's two bearings from each other [mm].
    output_ratings : Ratings, optional
        Of the output's nearer bearing.

    Returns
    -------
    Verdict
        The rows. What isn't given is "not known" there.

    Raises
    ------
    TypeError, ValueError
        If an argument is of another kind or out of its range, or the reducer's parts don't go together.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> judge(Reducer(Drive(20, 42.0, 5.0, 1.4)), 1000.0, 10.0).first.name
    'fatigue'
    """
    checked_kind("reducer", reducer, Reducer)
    checked_kind("cover", cover, bool)
    room = space.check(reducer)
    if not room.sound:
        missed = next(row for row in room if row.physical and not row.ok)
        raise ValueError(
            f"reducer has parts that don't go together ({missed.name}): see what space.check says, and change it first."
        )
    if shaft_material is not None:
        checked_choice("shaft_material", shaft_material, tuple(MATERIALS))
    if output_ratings is not None:
        checked_kind("output_ratings", output_ratings, bearings.Ratings)
    sizes = {"overhung_load": overhung_load, "overhang": overhang, "output_bearing_distance": output_bearing_distance}
    case = Case(
        reducer,
        checked_number("torque", torque, -GREATEST_SIZE, GREATEST_SIZE),
        checked_number("speed", speed, -GREATEST_SIZE, GREATEST_SIZE),
        checked_number("safety", safety, 1, GREATEST_SIZE),
        checked_number("hours", hours, SMALLEST_SIZE, GREATEST_SIZE),
        cover,
        _ratings(ratings),
        shaft_material,
        None if grip_torque is None else checked_number("grip_torque", grip_torque, 0, GREATEST_SIZE),
        _overhung(sizes),
        output_ratings,
    )
    return Verdict(case.torque, case.speed, case.safety, tuple(row for make in _ROWS for row in make(case)))


def _parts(case: Case) -> Iterator[Row]:
    for name, (stress, strength, _) in case.stressed.items():
        yield case.row(name, stress, strength, "MPa")


def _crank(case: Case) -> Iterator[Row]:
    least, most = case.efficiency.forward
    ideal = abs(case.torque) / case.reducer.drive.lobes
    torque = _share(ideal, most), _share(ideal, least)
    stress = strength = None
    if case.shaft_material:
        shaft = rods.crank(case.reducer, case.shaft_material)
        bent = [corner.crank_stress(shaft, twist) for twist in torque for corner in case.corners]
        stress, strength = (min(bent), max(bent)), shaft.strength
    yield case.row("crank shaft", stress, strength, "MPa")
    grip = case.grip_torque
    yield case.row("crank screws", torque, None if grip is None else (grip, grip), "N mm")


def _contact(case: Case) -> Iterator[Row]:
    disc, roller = disc_strength(case.reducer), MATERIALS[case.reducer.roller_material].strength
    yields = (min(disc[0], roller[0]) / (2 * SHEAR), min(disc[1], roller[1]) / (2 * SHEAR)) if disc else None
    yield case.row("contact pressure", case.over(Corner.contact_pressure), yields, "MPa")  # Tresca; Johnson, ch. 6


def _bearings(case: Case) -> Iterator[Row]:
    reducer, speed = case.reducer, abs(case.speed)
    rate = float(bearings.eccentric_speed(reducer.drive, speed))
    eccentric = case.ratings_of(reducer.eccentric_bearing)
    loads = [corner.eccentric_loads for corner in case.corners]
    yield from case.bearing_rows("eccentric bearing", eccentric, rate, *_steady_and_most(loads))
    if reducer.ring_bearing:
        rated = case.ratings_of(reducer.ring_bearing)
        as_roller = (rated[0], (rated[1][0] * AS_ROLLER[0], rated[1][1] * AS_ROLLER[1])) if rated else None
        turns = speeds.roller_turns(reducer.disc_drive) / reducer.drive.lobes
        loads = [corner.shared.pin_force.reshape(len(corner.shared.crank), -1) for corner in case.corners]
        yield from case.bearing_rows("rollers' bearings", as_roller, speed * turns, *_steady_and_most(loads))
    shaft = rods.crank(reducer, case.shaft_material or "plain steel")  # its material doesn't matter here
    loads = [corner.crank_loads(shaft) for corner in case.corners]
    yield from case.bearing_rows(
        "crank's own bearings", case.ratings_of(reducer.crank_bearing), rate, *_steady_and_most(loads)
    )


def _output(case: Case) -> Iterator[Row]:
    load = None
    if case.overhung:
        hung, away, apart = case.overhung
        least, most = case.over(Corner.output_resultant)
        load = hung * (1 + away / apart) + least, hung * (1 + away / apart) + most
    rated = (case.output_ratings, (1.0, 1.0)) if case.output_ratings else None
    yield from case.bearing_rows("output bearing", rated, abs(case.speed) / case.reducer.drive.ratio, load, load)


_ROWS = (_parts, _crank, _contact, _bearings, _output, cautions)


def _steady_and_most(loads: list[np.ndarray]) -> tuple[Band, Band]:
    """Of loads (n, k) in each corner: the steady one, and the greatest."""
    steadies, most = [steady(each) for each in loads], [float(each.max()) for each in loads]
    return (min(steadies), max(steadies)), (min(most), max(most))


def _share(one: float, other: float) -> float:
    return one / other if other else math.inf


def _ratings(ratings: Mapping[str, bearings.Ratings] | None) -> Mapping[str, bearings.Ratings]:
    if ratings is None:
        return {}
    good = isinstance(ratings, Mapping) and all(isinstance(each, bearings.Ratings) for each in ratings.values())
    if not good:
        raise TypeError(
            f"ratings is {shown(ratings)}, but must be a dict of Ratings by designation: give one such as "
            "{'623': Ratings(640.0, 220.0)}."
        )
    return ratings


def _overhung(sizes: dict[str, float | None]) -> tuple[float, float, float] | None:
    """Load, overhang and distance of bearings, if all are known."""
    read = {
        "overhung_load": lambda name, size: checked_number(name, size, 0, GREATEST_SIZE),
        "overhang": lambda name, size: checked_number(name, size, 0, LONGEST),
        "output_bearing_distance": checked_length,
    }
    known = [read[name](name, size) for name, size in sizes.items() if size is not None]
    return (known[0], known[1], known[2]) if len(known) == len(sizes) else None
