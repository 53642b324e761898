"""The table that a verdict is: rows of what is loaded, by how much, and what it bears, each as a band."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from cyclokit.mechanics.verdict_words import ANSWERS, CAUTIONS, FIRST, HOLDS, UNLOADED
from cyclokit.texts import in_html

Band = tuple[float, float]  # least and greatest


@dataclass(frozen=True)
class Row:
    """One thing that can break.

    Attributes
    ----------
    name, meaning, remedy : str
        Its name, what is compared, and what to change.
    loaded : tuple of float or None
        By how much it is loaded, least and greatest; None where it isn't known.
    bears : tuple of float or None
        What it bears, least and greatest; None where it isn't known.
    unit : str
        Of both.
    asked : float
        The safety asked for.

    Examples
    --------
    >>> row = Row("ring pins", "stress", "thicker rods", (10.0, 20.0), (30.0, 60.0), "MPa", 1.5)
    >>> row.safety, row.ok, row.answer
    ((1.5, 6.0), True, 'holds')
    """

    name: str
    meaning: str
    remedy: str
    loaded: Band | None
    bears: Band | None
    unit: str
    asked: float

    @property
    def safety(self) -> Band | None:
        """The least it bears over the greatest load, and the other way round; None where either isn't known."""
        if self.loaded is None or self.bears is None:
            return None
        return _over(self.bears[0], self.loaded[1]), _over(self.bears[1], self.loaded[0])

    @property
    def ok(self) -> bool | None:
        """True if all of the band is safe, False if none of it is; None where that is open, or not known."""
        if self.safety is None:
            return None
        if self.safety[0] >= self.asked:
            return True
        return False if self.safety[1] < self.asked else None

    @property
    def answer(self) -> str:
        """The same in words."""
        return ANSWERS["unknown" if self.safety is None else self.ok]


@dataclass(frozen=True, repr=False)
class Verdict:
    """All rows for a reducer under a torque.

    Attributes
    ----------
    torque, speed : float
        At the output [N mm], and of the crank [rad/s].
    asked : float
        The safety asked for.
    rows : tuple of Row
        The rows; what a machine doesn't have, such as bearings as rollers, has none.

    Examples
    --------
    >>> row = Row("ring pins", "stress", "thicker rods", (10.0, 20.0), (30.0, 60.0), "MPa", 1.5)
    >>> verdict = Verdict(2000.0, 10.0, 1.5, (row,))
    >>> verdict.holds, verdict.first.name
    (True, 'ring pins')
    """

    torque: float
    speed: float
    asked: float
    rows: tuple[Row, ...]

    @property
    def holds(self) -> bool | None:
        """True if every row holds, False if one fails, None if that is open: not known is not safe."""
        answers = [row.ok for row in self.rows]
        return False if False in answers else all(answers) or None

    @property
    def first(self) -> Row:
        """What fails first: the row with the least safety at the lower end of its band, of those that are known."""
        return min((row for row in self.rows if row.safety), key=lambda row: (row.safety or (0.0,))[0])

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    def __getitem__(self, name: str) -> Row:
        for row in self.rows:
            if row.name == name:
                return row
        raise KeyError(f"{name!r} is no row here; the rows are: {'; '.join(row.name for row in self.rows)}")

    def __repr__(self) -> str:
        lines = [self._headline]
        for row in self.rows:
            loaded, bears = _shown(row.loaded, "" if row.bears else row.unit), _shown(row.bears, row.unit)
            numbers = f"loaded {loaded}, bears {bears}, safety {_shown(row.safety)}"
            lines.append(f"  {row.name}: {numbers}: {row.answer}")
        return "\n".join([*lines, self._goes_first, *CAUTIONS])

    def _repr_html_(self) -> str:
        rows = "\n".join(
            f"<tr><th scope='row' style='text-align:left'>{in_html(row.name)}</th>"
            + "".join(
                f"<td style='text-align:left'>{in_html(cell)}</td>"
                for cell in (
                    row.meaning,
                    _shown(row.loaded, row.unit),
                    _shown(row.bears, row.unit),
                    _shown(row.safety),
                    row.answer if row.ok else f"{row.answer}. {row.remedy}",
                )
            )
            + "</tr>"
            for row in self.rows
        )
        columns = ("what", "what is compared", "loaded", "bears", "safety", "does it hold?")
        head = "".join(f"<th scope='col'>{column}</th>" for column in columns)
        words = "".join(f"<p>{in_html(words)}</p>" for words in (self._goes_first, *CAUTIONS))
        caption = f"<caption>{in_html(self._headline)}</caption>"
        return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>{words}"

    @property
    def _headline(self) -> str:
        return f"{self.torque:g} N mm at the output, crank at {self.speed:g} rad/s: {HOLDS[self.holds]}"

    @property
    def _goes_first(self) -> str:
        first = self.first
        if first.safety and math.isinf(first.safety[0]):
            return UNLOADED
        return FIRST.format(name=first.name, safety=_shown(first.safety), asked=self.asked, remedy=first.remedy)


def _over(one: float, other: float) -> float:
    return one / other if other else math.inf


def _shown(band: Band | None, unit: str = "") -> str:
    if band is None:
        return "not known"
    low, high = (f"{float(f'{end:.3g}'):g}" for end in band)  # three figures, and no power of ten below a million
    return f"{low if low == high else f'{low} to {high}'} {unit}".rstrip()
