"""Whether the discs of a stack can be the same part, and the witness marks that tell how each goes in.

Disc k of n runs k/n of a crank turn ahead, and its outline sits k/n of a lobe pitch back from disc 0's, while its
holes stand where the common output rollers are: k/n of a lobe pitch further on from its roots. A part made for disc 0
serves there if some turn about the axis, or some turning over, brings roots on roots and holes on holes. Only a disc
that is alike on both faces, without a step or a pocket on one of them, can be turned over.
"""

from dataclasses import dataclass

import numpy as np

from cyclokit.arguments import checked_kind
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer

SAME = 1e-9  # lobe pitches: what rounding makes of a phase such as 1/3


@dataclass(frozen=True)
class Placing:
    """How one disc goes in.

    Attributes
    ----------
    disc : int
        Number of the disc in the stack; disc 0 is at crank 0 with its root 0 on +x and its hole 0 on output roller 0.
    part : int
        Which part it is; discs with the same number are the same part.
    turned_over : bool
        Whether its other side is up, compared with the first disc of that part.
    roller : int
        The output roller on which its witness mark goes; the mark is at the part's hole 0.
    """

    disc: int
    part: int
    turned_over: bool
    roller: int


def placings(reducer: Reducer) -> tuple[Placing, ...]:
    """How every disc of a reducer goes in, with as few different parts as can be.

    Parameters
    ----------
    reducer : Reducer
        The reducer.

    Returns
    -------
    tuple of Placing
        One a disc. Turned round is tried before turned over, and the lowest output roller is taken.

    Notes
    -----
    Angles in lobe pitches: a part whose hole 0 lies `a` on from its root 0 has a root `-a` on from the roller m that
    takes hole 0, and `+a` if it is turned over; the rollers are Zc/Zw apart. Disc k needs a root at -a_k, with a_k
    its holes' phase. So a part fits it where m Zc/Zw + a_k -+ a is a whole number. Derived; the tests turn and
    turn over sets of angles. Two discs come out as the same part, turned round, exactly when Zw has more factors of 2
    than Zc; turned over always at a hole phase of 1/4 or 3/4; three, turned round, when Zw has more factors of 3.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> [(placing.part, placing.turned_over, placing.roller) for placing in placings(machine)]
    [(0, False, 0), (0, False, 3)]
    """
    checked_kind("reducer", reducer, Reducer)
    drive = reducer.drive
    ahead = -motion.outline_offsets(drive, reducer.discs) * drive.lobes / (2 * np.pi)
    wanted = [reducer.hole_phase + float(share) for share in ahead]
    parts: list[float] = []
    placed = []
    for disc, phase in enumerate(wanted):
        fits = _placing(disc, phase, parts, drive.lobes, reducer.output_rollers)
        if fits is None:
            parts.append(phase)
            fits = Placing(disc, len(parts) - 1, turned_over=False, roller=0)
        placed.append(fits)
    return tuple(placed)


def _placing(disc: int, wanted: float, parts: list[float], lobes: int, rollers: int) -> Placing | None:
    """The first way in which one of the parts serves as that disc."""
    for part, phase in enumerate(parts):
        for turned_over in (False, True):
            needs = np.arange(rollers) * lobes / rollers + wanted + (phase if turned_over else -phase)
            fits = np.abs(needs - np.rint(needs)) < SAME
            if fits.any():
                return Placing(disc, part, turned_over, int(fits.argmax()))
    return None
