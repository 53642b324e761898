"""What stands on what along a bench machine's axis: pieces between two faces, and how far rods and screws are held.

Lengths are taken from the solids, so that they are those of the machine that was judged.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from cyclokit.arguments import checked_kind, checked_length, checked_number
from cyclokit.machine import bench, crank
from cyclokit.machine.layout import AXIAL_GAP, LEVER, STACK_PLAY, layout
from cyclokit.machine.reducer import Reducer
from cyclokit.making import solids
from cyclokit.making.shapes import Part, checked_parts
from cyclokit.texts import plain

PRINTED = 0.1  # mm, either way, of a printed length: common practice, no source
BEARING = 0.12  # mm, that a bearing may be narrower: ISO 492, normal class, from memory


@dataclass(frozen=True)
class Row:
    """Pieces that stand on each other between two faces.

    Attributes
    ----------
    name : str
        What it is the row of.
    pieces : tuple of tuple
        From the bottom up: name, length, how much longer and how much shorter it may come out [mm].
    room : float
        Distance of the two faces [mm].
    play : float
        What should be left free [mm].
    """

    name: str
    pieces: tuple[tuple[str, float, float, float], ...]
    room: float
    play: float

    @property
    def length(self) -> float:
        """Length of all pieces together [mm]."""
        return sum(length for _, length, _, _ in self.pieces)

    @property
    def free(self) -> float:
        """What is left free [mm]; below 0 where they are too long."""
        return round(self.room - self.length, 9) + 0.0  # no -0

    @property
    def worst(self) -> tuple[float, float]:
        """The same where every piece comes out as long, and as short, as it may [mm]."""
        return (
            round(self.free - sum(longer for _, _, longer, _ in self.pieces), 9) + 0.0,
            round(self.free + sum(shorter for _, _, _, shorter in self.pieces), 9),
        )

    @property
    def ok(self) -> bool:
        """Whether the row leaves as much as it should, within a micrometre."""
        return abs(self.free - self.play) < 1e-3

    def __str__(self) -> str:
        pieces = " + ".join(f"{name} {length:g}" for name, length, _, _ in self.pieces)
        told = f"{self.name}: {pieces} = {self.length:.6g} mm in {self.room:.6g}, {self.free:.3g} mm free"
        if self.ok:
            low, high = self.worst
            more = "" if low >= 0 else "; measure the pieces, and file the last one if they are long"
            return f"{told} ({low:.3g} to {high:.3g} as pieces come out{more})"
        wrong, by = ("long", self.play - self.free) if self.free < self.play else ("short", self.free - self.play)
        return f"{told}: {by:.3g} mm too {wrong}, for {self.play:g} should be free"


def row(name: str, lengths: Mapping[str, float], room: float, play: float = 0.0) -> Row:
    """Printed pieces between two faces, from the bottom up, and what should be left free of their room [mm].

    Examples
    --------
    >>> lengths = {"spacer": 7, "bearing": 5, "middle spacer": 3, "other bearing": 5, "other spacer": 7}
    >>> row("pin", lengths, 27.0).ok
    True
    """
    checked_kind("name", name, str)
    checked_kind("lengths", lengths, Mapping, "give lengths by their names")
    pieces = tuple(
        (plain(piece), checked_length("lengths", length), PRINTED, PRINTED) for piece, length in lengths.items()
    )
    return Row(plain(name), pieces, checked_length("room", room), checked_number("play", play, 0.0, 10.0))


def left_for_walls(rod_length: float, row_length: float) -> float:
    """What a rod has left for each of two walls beside the row that stands on it [mm].

    Examples
    --------
    >>> left_for_walls(35.0, 27.0)
    4.0
    """
    rod, stands = checked_length("rod_length", rod_length), checked_length("row_length", row_length)
    if rod <= stands:
        raise ValueError(f"rod_length is {rod:g} mm, but must be more than the row's, {stands:g}: take a longer rod.")
    return (rod - stands) / 2


def rows(reducer: Reducer) -> tuple[Row, ...]:
    """All rows of a bench machine along its axis, with what each should leave free: pin, rod, crank, hub, frame."""
    return rows_of(reducer, solids.machine(reducer))


def rows_of(reducer: Reducer, parts: Sequence[Part]) -> tuple[Row, ...]:
    """The same with the lengths of some parts, which needn't be as they should."""
    plan, by = layout(reducer), {part.name: part for part in checked_parts(parts)}
    if missing := {"ring_plate", "crank_bush_lower"} - by.keys():
        raise ValueError(f"parts has no {sorted(missing)[0]}: give all parts of a machine, as solids.machine does.")
    discs = range(reducer.discs)
    neck: dict[str, float | None] = {f"neck_{n}": plan.eccentrics[n + 1][0] - plan.eccentrics[n][1] for n in discs[:-1]}
    if "crank_neck" in by:  # a ring of its own, between two discs
        neck = {"crank_neck": None}
    inner = [f"eccentric_bearing_{n}_inner" for n in discs]
    eccentrics = [name for pair in zip_longest(inner, neck) for name in pair if name]
    inside, gap = plan.flange[0] - plan.second_plate[1], plan.discs[0][0] - plan.second_plate[1]
    discs_and_gaps: dict[str, float | None] = {}
    for n in discs:
        discs_and_gaps |= {f"disc_{n}": None} | ({f"gap_{n}": reducer.disc_gap} if n < discs[-1] else {})
    beyond = next((name for name in ("second_plate", "output_collar_0") if name in by), "output_rod_0_free_end")
    length = None if beyond in by else plan.second_plate[1] - plan.second_plate[0]
    frame = {"gap_to_plate": AXIAL_GAP, beyond: length, "gap_below": gap} | discs_and_gaps
    frame |= {"gap_above": gap, "flange": plan.flange[1] - plan.flange[0], "gap_to_cover": AXIAL_GAP}
    on_crank = dict.fromkeys(["crank_bush_lower", *eccentrics, "crank_bush_upper"]) | neck
    hub = dict.fromkeys(["output_bearing_lower_inner", "hub_spacer", "output_bearing_upper_inner"])
    ring = by["ring_plate"]
    wanted = (
        ("ring pin", dict.fromkeys(_on_rod("ring", by)), plan.cover_bottom - plan.plate_top, STACK_PLAY),
        ("output pin", dict.fromkeys(_on_rod("output", by)), inside, STACK_PLAY),
        ("crank", on_crank, plan.upper_bearing[0] - plan.lower_bearing[1], reducer.axial_clearance),
        ("hub", hub, plan.housing_top - plan.cover_bottom, 0.0),
        ("inside the ring plate", frame, ring.top - ring.bottom, 0.0),
    )
    return tuple(Row(name, _pieces(lengths, by), room, play) for name, lengths, room, play in wanted if lengths)


def engaged(reducer: Reducer) -> dict[str, tuple[float, float]]:
    """Rods and screws: name -> length, and how much of it is held or in its thread [mm]; of rods, at each end."""
    plan = layout(reducer)
    ring = plan.cover_bottom - plan.plate_top + 2 * reducer.seat_depth
    output = plan.flange[1] - plan.second_plate[0]
    low, high = plan.screw_tip, plan.pocket_top
    if reducer.screws_into == "inserts":
        low, high = max(low, plan.insert_bottom), plan.plate_top
    cap_thread = plan.cap_screw_length - (plan.cap_top + LEVER - plan.hub_top)
    found = {
        "ring pin's rod": (ring, reducer.seat_depth),
        "output rod": (output, reducer.plate_thickness),
        "cover's screw": (float(plan.screw_length), high - low),
        "motor's screw": (float(plan.motor_screw_length), plan.motor_screw_length - plan.motor_screw_seat),
        "cap's screw": (float(plan.cap_screw_length), cap_thread),
        "motor's shaft": (reducer.motor_shaft_length, bench.engaged(reducer)),
    }
    cut = crank.division(reducer)
    return found | ({"crank's screw": (float(cut.length), cut.engaged)} if cut else {})


def _on_rod(which: str, by: Mapping[str, Part]) -> list[str]:
    """The names of what stands on rod 0, from the bottom up; of a bearing its inner ring."""
    wanted = re.compile(rf"{which}_(bush_[a-z]+|sleeve)_0(_1)?|{which}_roller_0_\d+_inner")
    return sorted((name for name in by if wanted.fullmatch(name)), key=lambda name: by[name].bottom)


def _pieces(lengths: Mapping[str, float | None], by: Mapping[str, Part]) -> tuple[tuple[str, float, float, float], ...]:
    """Pieces with their tolerances: a length that isn't given is the part's own; what is no part has none."""
    pieces = []
    for name, length in lengths.items():
        bought = name in by and by[name].bought
        own = by[name].top - by[name].bottom if length is None else length
        longer, shorter = (0.0, BEARING) if bought else (PRINTED, PRINTED) if name in by else (0.0, 0.0)
        pieces.append((name, round(own, 9), longer, shorter))
    return tuple(pieces)
