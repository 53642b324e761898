"""Springs that can only push, perhaps after a gap: how far they turn under a torque, and which of them carry it.

The torque that a set of such springs needs grows with the turn in straight pieces, steeper at each spring that begins
to push. The pieces of two sets are put one after the other for each body, those of the bodies beside each other, and
the one that holds the torque is solved: no iteration. Derived; the tests hold it against a non-negative least-squares
solver and a root finder.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cyclokit.arguments import Floats
from cyclokit.signatures import Size, read

NO_ARM = 1e-9  # mm: an arm below this is rounding, and its spring pushes nothing round
BLOCK = 500  # places solved at once: more don't fit into a processor's cache


@dataclass(frozen=True, eq=False)
class Springs:
    """Springs that push D bodies round at n places: shapes (n, D, number of springs on a body).

    Attributes
    ----------
    arm : ndarray
        Lever arms about the body's axis [mm]; a spring with none, or on the other side, pushes nothing round.
    gap : ndarray
        Gaps before anything turns [mm], from 0.
    stiffness : ndarray
        Stiffness [N/mm], above 0.
    """

    arm: Floats
    gap: Floats
    stiffness: Floats

    def _at(self, some: slice) -> "Springs":
        """The same at some of the places."""
        return Springs(self.arm[some], self.gap[some], self.stiffness[some])

    @cached_property
    def _starts(self) -> Floats:
        """Turn at which each spring begins to push [rad]; infinite for those that stand behind."""
        return np.where(self.arm > NO_ARM, self.gap / np.maximum(self.arm, NO_ARM), np.inf)

    @cached_property
    def _first(self) -> Floats:
        """Turn at which the first of them does [rad], with an axis of length 1 kept."""
        return self._starts.min(axis=-1, keepdims=True)

    @cached_property
    def _torque(self) -> "_Pieces":
        """Torque [N mm] over the turn after the first touch [rad]: steeper at each spring's start."""
        return _Pieces.of(self._starts - self._first, self.stiffness * self.arm**2)

    def _forces(self, torque: Floats) -> Floats:
        """Force of each spring [N] where all of them carry a torque (...) together."""
        turn = self._torque.reaches(torque)[..., None]
        pressed = np.maximum(turn - (self._starts - self._first), 0.0)
        return self.stiffness * np.where(self.arm > NO_ARM, self.arm, 0.0) * pressed


@read
def one_after_the_other(torque: Size, first: Springs, second: Springs) -> tuple[Floats, Floats, Floats, Floats]:
    """Bodies side by side, each held by a first set of springs and turned by a second, that share a torque [N mm].

    Returns
    -------
    tuple of ndarray
        Turn of what the second sets stand on [rad], gaps included, and torque for a little turn more [N mm/rad], both
        (n,); forces of the first and of the second springs [N], in their shapes.

    Raises
    ------
    TypeError, ValueError
        If an argument is not of its kind, the torque is below 0, or all springs of a body stand behind.

    Examples
    --------
    >>> ring = Springs(*np.array([[[[10.0, 10.0]]], [[[0.0, 0.1]]], [[[100.0, 100.0]]]]))  # the other spring has a gap
    >>> out = Springs(*np.array([[[[20.0]]], [[[0.0]]], [[[1e9]]]]))  # all but rigid
    >>> turn, _, held, _ = one_after_the_other(300.0, ring, out)
    >>> turn.round(4).tolist(), held.round(4).tolist()  # rad; N
    ([0.02], [[[20.0, 10.0]]])
    """
    for name, springs in (("first", first), ("second", second)):
        if not (springs.arm > NO_ARM).any(axis=-1).all():
            raise ValueError(f"{name} has a body that no spring pushes round: give each a spring with an arm above 0.")
    blocks = []
    for start in range(0, max(len(first.arm), 1), BLOCK):
        some, others = (springs._at(slice(start, start + BLOCK)) for springs in (first, second))
        turn, tangent, shares = _shared(some, others, torque)
        blocks.append((turn, tangent, some._forces(shares), others._forces(shares)))
    turn, tangent, pushed, carried = (np.concatenate(parts) for parts in zip(*blocks, strict=True))
    return turn, tangent, pushed, carried


@dataclass(frozen=True, eq=False)
class _Pieces:
    """A sum of straight lines that begin at `breaks`, each bending the sum by `bend`; along the last axis, in order."""

    breaks: Floats
    bend: Floats

    @classmethod
    def of(cls, breaks: Floats, bend: Floats) -> "_Pieces":
        """The same with its breaks put in order; one at infinity bends nothing."""
        order = np.argsort(breaks, axis=-1, kind="stable")
        breaks = np.take_along_axis(breaks, order, -1)
        return cls(breaks, np.where(np.isfinite(breaks), np.take_along_axis(bend, order, -1), 0.0))

    @cached_property
    def slope(self) -> Floats:
        """Slope after each break."""
        return np.cumsum(self.bend, axis=-1)

    @cached_property
    def offset(self) -> Floats:
        """What the line after each break lacks at 0."""
        return np.cumsum(self.bend * np.where(np.isfinite(self.breaks), self.breaks, 0.0), axis=-1)

    @cached_property
    def values(self) -> Floats:
        """Value at each break."""
        finite_ones = np.isfinite(self.breaks)
        return np.where(finite_ones, np.where(finite_ones, self.breaks, 0.0) * self.slope - self.offset, np.inf)

    @cached_property
    def inverse(self) -> "_Pieces":
        """The same line seen from the side: it begins at the values, with the slopes' reciprocals."""
        return _Pieces(self.values, np.diff(1 / self.slope, axis=-1, prepend=0.0))

    def piece(self, value: Floats) -> np.ndarray:
        """Number of the piece on which each value (...) is reached, with an axis of length 1 kept."""
        return np.maximum((self.values <= value[..., None]).sum(axis=-1, keepdims=True) - 1, 0)

    def reaches(self, value: Floats) -> Floats:
        """Where each value (...) is reached."""
        piece = self.piece(value)
        offset, slope = (np.take_along_axis(line, piece, -1)[..., 0] for line in (self.offset, self.slope))
        return (value + offset) / slope

    def at(self, place: Floats) -> Floats:
        """Value at each place (...)."""
        return (self.bend * np.maximum(place[..., None] - self.breaks, 0.0)).sum(axis=-1)


def _shared(first: Springs, second: Springs, torque: float) -> tuple[Floats, Floats, Floats]:
    """Turn of what is turned (n,), its tangent stiffness (n,), and what each body carries (n, D)."""
    n, bodies = first.arm.shape[:2]
    lines = [springs._torque.inverse for springs in (first, second)]
    turns = _Pieces.of(*(np.concatenate([getattr(line, name) for line in lines], -1) for name in ("breaks", "bend")))
    body = turns.inverse  # torque of each body over the output's turn after that body's first touch
    free = (first._first + second._first).reshape(n, bodies)
    least = free.min(axis=1, keepdims=True)
    together = (n, bodies * body.breaks.shape[-1])
    side_by_side = _Pieces.of((body.breaks + (free - least)[..., None]).reshape(together), body.bend.reshape(together))
    wanted = np.full(n, torque)
    turn = side_by_side.reaches(wanted)
    tangent = np.take_along_axis(side_by_side.slope, side_by_side.piece(wanted), -1)[:, 0]
    return turn + least[:, 0], tangent, body.at(turn[:, None] - (free - least))
