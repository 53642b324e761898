"""What time and heat do: fatigue, creep, sliding and softening. Cautions, each with a wide range from memory."""

import math
from collections.abc import Iterator

from cyclokit.arguments import checked_kind
from cyclokit.machine import space
from cyclokit.mechanics import rods
from cyclokit.mechanics.verdict_case import Case
from cyclokit.mechanics.verdict_table import Row

# Each a range from memory: measure where it matters.
TIRED = {"plastic": (0.15, 0.4), "steel": (0.3, 0.5)}  # of the strength, after a million cycles and more
NOT_YET_TIRED, ALL_TIRED = 3.0, 6.0  # powers of ten of cycles between which strength falls to that
CREEPS = (0.2, 0.5)  # of a plastic's strength, held for weeks
STANDS = (20.0, 100.0)  # MPa mm/s, unlubricated plastics
COOLS = (5e-3, 15e-3)  # mW/(mm^2 K), still air
ROOM = (20.0, 30.0)  # deg C
SOFTENS = {  # deg C
    "PLA": (50.0, 60.0),
    "PETG": (65.0, 80.0),
    "ABS": (80.0, 100.0),
    "PA12, sintered": (90.0, 150.0),
    "POM homopolymer": (90.0, 120.0),
    "POM copolymer": (85.0, 115.0),
}  # also: which materials are plastics


def cautions(case: Case) -> tuple[Row, ...]:
    """Rows of fatigue, creep, sliding and softening; those of plastics only where there are any.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> from cyclokit.machine.reducer import Reducer
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> case = Case(machine, 2000.0, 10.0, 1.5, 1000.0, True, {}, None, None, None, None)
    >>> [row.name for row in cautions(case)]
    ['fatigue', 'creep', 'heat, softening']
    """
    checked_kind("case", case, Case)
    return tuple(row for make in (_tired, _creeps, _rubs, _warms) for row in make(case))


def _tired(case: Case) -> Iterator[Row]:
    cycles = abs(case.speed) * case.hours * 3600 / (2 * math.pi)
    gone = min(max((math.log10(max(cycles, 1.0)) - NOT_YET_TIRED) / (ALL_TIRED - NOT_YET_TIRED), 0.0), 1.0)
    left = {kind: tuple(1 - gone * (1 - end) for end in band) for kind, band in TIRED.items()}
    rows = []
    for part, (stress, strength, material) in case.stressed.items():
        share = left["plastic" if material in SOFTENS else "steel"]
        bears = (strength[0] * share[0], strength[1] * share[1]) if strength else None
        rows.append(case.row("fatigue", stress, bears, "MPa", part))
    yield _worst(rows)


def _creeps(case: Case) -> Iterator[Row]:
    rows = [
        case.row("creep", stress, (strength[0] * CREEPS[0], strength[1] * CREEPS[1]) if strength else None, "MPa", part)
        for part, (stress, strength, material) in case.stressed.items()
        if material in SOFTENS
    ]
    if rows:
        yield _worst(rows)


def _rubs(case: Case) -> Iterator[Row]:
    reducer, speed = case.reducer, abs(case.speed)
    sliding = {}  # part -> what slides on what, over which projected area [mm^2], force times speed in each corner
    if not reducer.ring_bearing:
        pair = {reducer.roller_material, reducer.disc_material if reducer.pin_made == "solid" else reducer.rod_material}
        area = 2 * reducer.pin_rod_radius * rods.pin_contact_length(reducer)
        sliding["ring pins"] = pair, area, [corner.pin_sliding(speed) for corner in case.corners]
    pair = {reducer.roller_material, reducer.disc_material if rods.solid_output(reducer) else reducer.rod_material}
    area = 2 * reducer.output_rod_radius * reducer.disc_thickness
    sliding["output rollers"] = pair, area, [corner.output_sliding(speed) for corner in case.corners]
    rows = []
    for part, (pair, area, powers) in sliding.items():
        if pair & SOFTENS.keys():
            worst = [float(power.max()) / area for power in powers]
            rows.append(case.row("heat, p v", (min(worst), max(worst)), STANDS, "MPa mm/s", part))
    if rows:
        yield _worst(rows)


def _warms(case: Case) -> Iterator[Row]:
    reducer = case.reducer
    soft = [name for name in (reducer.disc_material, reducer.housing_material) if name in SOFTENS]
    if not soft:
        return
    softest = min(soft, key=lambda name: SOFTENS[name])
    radius, long = space.outer_diameter(reducer) / 2, case.ring_pin.span
    surface = 2 * math.pi * radius * (radius + long)
    power = abs(case.torque * case.speed) / reducer.drive.ratio
    lost = [
        power * ((1 / share if share else math.inf) - 1) if power else 0.0 for share in case.efficiency.forward[::-1]
    ]
    warming = lost[0] / (surface * COOLS[1]), lost[1] / (surface * COOLS[0])
    left = SOFTENS[softest][0] - ROOM[1], SOFTENS[softest][1] - ROOM[0]
    yield case.row("heat, softening", warming, left, "K", softest)


def _worst(rows: list[Row]) -> Row:
    """The row with the least safety; one that isn't known comes before all."""
    return min(rows, key=lambda row: row.safety or (-1.0, 0.0))
