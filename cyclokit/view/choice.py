"""One stage of several that the reader chooses: as it turns, the choice changes and the angle stays.

`choice.js` shows the one that is chosen. Where no script runs, the first one chosen is seen alone.
"""

import html
from collections.abc import Iterable
from dataclasses import dataclass, replace

from cyclokit.arguments import checked_choice, checked_count
from cyclokit.drive import MOST_PINS, Drive
from cyclokit.geometry import sweep
from cyclokit.signatures import read
from cyclokit.texts import in_html
from cyclokit.view import held_scene, pages, stage

LOBES, HELD = "Lobes of the disc", "Which part is held"  # what the library says to a reader


@dataclass(frozen=True, repr=False)
class Choice:
    """Stages of which one is seen; made by the functions of this module."""

    name: str  # what is chosen
    stages: dict[str, stage.Stage]  # by the words on their buttons
    chosen: str  # which is seen at first

    def page(self) -> str:
        """All of it as a piece of HTML that plays by itself."""
        said, scripts, starts = "", list[str](), "playSaved();"
        for words, one in self.stages.items():
            page, scripts, starts = one.parts()
            hidden = "" if words == self.chosen else " hidden"
            said += f'<div data-choice="{html.escape(words)}"{hidden}>{page}</div>\n'
        script = pages.script("stage.js", *scripts, "choice.js")
        return (
            f'<div data-cyclokit-choice="{in_html(self.name)}">{said}</div>'
            f'<script type="module">{script}\n{starts}playChoices();</script>'
        )

    def __repr__(self) -> str:
        return f"Choice({self.name!r}, {self.chosen!r} of {', '.join(map(repr, self.stages))})"

    def _repr_html_(self) -> str:
        return self.page()


@read
def of_lobes(drive: Drive, lobes: Iterable[int], chosen: int) -> Choice:
    """Discs of several numbers of lobes, each milled by the rollers of one ring and made to turn as it must.

    Of each disc something must be left; `chosen` is the one of these numbers that is seen at first. A chart below shows
    the gap of roller 0.
    """
    numbers = tuple(checked_count("lobes", each, 1, MOST_PINS) for each in lobes)
    if not numbers:
        raise ValueError("lobes is empty, but must be numbers of lobes: give one or more.")
    checked_choice("chosen", str(chosen), tuple(map(str, numbers)))
    cuts = {str(each): sweep.cut(drive, each) for each in numbers}
    return _choice(LOBES, {words: stage.turning_cut(cut, chart=("gap",)) for words, cut in cuts.items()}, str(chosen))


@read
def of_held(drive: Drive, chosen: str = "ring") -> Choice:
    """The same drive with ring, disc or crank held.

    `chosen` is "ring", "disc" or "crank"; the trochoid ratio must not be exactly 1.
    """
    checked_choice("chosen", chosen, held_scene.MEMBERS)
    view = stage.seen(0.0, tuple(held_scene.SENTENCES))
    stages = {held: stage.Stage(held_scene.turning(drive, held, view), view) for held in held_scene.MEMBERS}
    return _choice(HELD, stages, chosen)


def _choice(name: str, stages: dict[str, stage.Stage], chosen: str) -> Choice:
    """Only the one that is seen plays: the others start when they are chosen."""
    return Choice(name, {words: replace(one, playing=words == chosen) for words, one in stages.items()}, chosen)
