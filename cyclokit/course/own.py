"""The reader's own drive: chosen with a few questions, kept in `my_drive.toml` beside the lessons."""

import tomllib
from numbers import Integral, Real
from pathlib import Path

from cyclokit.arguments import LONGEST, SHORTEST, checked_kind
from cyclokit.drive import MOST_PINS, Drive
from cyclokit.files import alone, as_path, write_whole
from cyclokit.geometry import limits
from cyclokit.texts import plain, shown

FILE = Path("my_drive.toml")
DEPTHS = {"shallow": 0.4, "middling": 0.6, "deep": 0.75}  # shares of the greatest sound eccentricity

KEPT = "kept in {file}: the lessons will draw it beside the story's drive"
ALREADY = (
    "{file} holds another drive, {drive!r}, and was not touched. "
    "To replace it, delete or rename that file and run this cell again."
)
NONE_YET = 'No drive of your own yet: lesson 0, "A drive of your own".'


def choose(turns: int, pin_circle_diameter_mm: float, roller_diameter_mm: float, lobes: str = "middling") -> Drive:
    """A sound drive from three or four plain wishes.

    Parameters
    ----------
    turns : int
        Crank turns for one turn of the output, 2 to 9999: the reduction ratio.
    pin_circle_diameter_mm, roller_diameter_mm : float
        Diameters [mm], above zero.
    lobes : str
        "shallow", "middling" or "deep": 0.4, 0.6 or 0.75 of the eccentricity at which the drive
        would stop being sound.

    Returns
    -------
    Drive
        Always one that `limits.check` calls sound.

    Raises
    ------
    ValueError
        If the rollers are too large for that many pins on that circle, or a wish is out of range.
    """
    if not isinstance(lobes, str) or lobes not in DEPTHS:
        raise ValueError(f"lobes is {shown(lobes)}, but must be one of {', '.join(DEPTHS)}: choose one of these words.")
    if isinstance(turns, bool) or not isinstance(turns, Integral) or not 2 <= turns < MOST_PINS:
        raise ValueError(f"turns is {shown(turns)}, but must be a whole number from 2 to {MOST_PINS - 1}: count turns.")
    numbers = int(turns) + 1, _wish("pin_circle_diameter_mm", pin_circle_diameter_mm) / 2
    roller_radius = _wish("roller_diameter_mm", roller_diameter_mm) / 2
    most = float(limits.greatest_eccentricity(*numbers, roller_radius))
    if most == 0:
        widest = 2 * float(limits.half_pin_distance(*numbers))
        raise ValueError(
            f"roller_diameter_mm is {roller_diameter_mm:g}, but {numbers[0]} rollers on a pin_circle_diameter_mm of "
            f"{pin_circle_diameter_mm:g} must stay below {widest:.2f} mm or they touch: choose smaller rollers, "
            "a larger circle or fewer turns."
        )
    eccentricity = float(f"{DEPTHS[lobes] * most:.3g}")
    if eccentricity < SHORTEST:
        raise ValueError(
            f"pin_circle_diameter_mm is {pin_circle_diameter_mm:g}, but that leaves an eccentricity of "
            f"{eccentricity:g} mm, which nobody can measure: choose a larger circle or fewer turns."
        )
    return Drive(*numbers, roller_radius, eccentricity)


def _wish(name: str, diameter: float) -> float:
    """A diameter above zero, in the range that a `Drive` takes [mm]."""
    most = 2 * LONGEST
    if isinstance(diameter, bool) or not isinstance(diameter, Real) or not 2 * SHORTEST <= diameter <= most:
        raise ValueError(f"{name} is {shown(diameter)}, but must be a number of mm above zero and up to {most:g}.")
    return float(diameter)


def keep(drive: Drive, file: str | Path = FILE) -> str:
    """Write the drive to `my_drive.toml`, unless a drive is kept there already; return a line that says which.

    A file that is there is left as it is, whichever drive it holds; of two that keep at once, the second is told what
    the first has kept.
    """
    checked_kind("drive", drive, Drive)
    file = as_path("file", file)
    with alone(file):
        held = read(file)
        if held is None:
            write_whole(file, _text(drive).encode())
    said = KEPT if held in (None, drive) else ALREADY
    return said.format(file=plain(file.name), drive=held)


def read(file: str | Path = FILE) -> Drive | None:
    """The drive kept in `my_drive.toml`, by default beside the lesson that is open; None where there is no such file.

    Raises
    ------
    ValueError
        If the file can't be understood; the message names the line or the key.
    """
    file = as_path("file", file)
    name = plain(file.name)
    try:
        table = tomllib.loads(file.read_text(encoding="utf-8-sig"))  # Windows editors add a mark
    except FileNotFoundError:
        return None
    except (ValueError, RecursionError) as error:  # of TOML, of UTF-8, of a number with 5000 digits
        raise ValueError(f"{name} can't be read ({plain(error)}): correct that place, or delete the file.") from error
    names = Drive.__dataclass_fields__.keys()
    if table.keys() != names:
        odd = plain(", ".join(sorted(table.keys() ^ names)))
        raise ValueError(f"{name} must have the keys {', '.join(names)}; wrong or missing: {odd}. Correct them.")
    try:
        return Drive(**table)
    except (TypeError, ValueError) as error:
        raise ValueError(f"{name}: {error}") from error


def beside(story: Drive) -> dict[str, Drive]:
    """The story's drive and the reader's own, by whose they are; a line is printed where there is none yet.

    They are "the story's", and "yours" where `my_drive.toml` is there. ValueError if that can't be understood.
    """
    checked_kind("story", story, Drive, "make one from four numbers first")
    mine = read()
    if mine is None:
        print(NONE_YET)
        return {"the story's": story}
    return {"the story's": story, "yours": mine}


def _text(drive: Drive) -> str:
    return (
        "# My own drive. Lengths in mm.\n"
        f"pins = {drive.pins}\n"
        f"pin_circle_radius = {drive.pin_circle_radius!r}\n"
        f"roller_radius = {drive.roller_radius!r}\n"
        f"eccentricity = {drive.eccentricity!r}\n"
    )
