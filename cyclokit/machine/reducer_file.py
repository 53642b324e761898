"""The file a reducer is kept in: TOML that a person can read and type, lengths in mm."""

import re
import tomllib
from dataclasses import fields
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import tomli_w

from cyclokit.arguments import checked_kind
from cyclokit.drive import Drive
from cyclokit.files import alone, as_path, write_whole
from cyclokit.geometry import limits
from cyclokit.machine.reducer import DRIVE, FIGURES, Reducer
from cyclokit.machine.remedies import lacks
from cyclokit.machine.stock import Bearing
from cyclokit.texts import plain

CLOSE = 0.7  # of two names' letters are alike where one is meant for the other
DECIMAL_COMMA = re.compile(r"=\s*[+-]?\d+,\d")


def to_toml(reducer: Reducer) -> str:
    """The reducer as the text of a TOML file, every figure that it has; `from_toml` gives the equal reducer back.

    Examples
    --------
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> to_toml(machine).splitlines()[1:4]
    ['pins = 20', 'pin_circle_radius = 42.0', 'roller_radius = 5.0']
    """
    checked_kind("reducer", reducer, Reducer, "make one from a Drive first")
    return "# A reducer. Lengths in mm; hole_phase in lobe pitches.\n" + tomli_w.dumps(reducer.figures())


def from_toml(text: str) -> Reducer:
    """A reducer from the text of a TOML file: the drive's four numbers, and whatever else isn't to be chosen.

    Parameters
    ----------
    text : str
        TOML with the keys of `Drive` and `Reducer` at its top level; numbers are mm. A bearing is a designation, or
        a table of name, bore_diameter, outer_diameter and width.

    Returns
    -------
    Reducer
        The reducer; keys that are left out are chosen as `Reducer` does.

    Raises
    ------
    ValueError
        If the text isn't TOML, naming the line; if a key is unknown or missing, or its value can't be, naming the key.

    Examples
    --------
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> from_toml(to_toml(machine)) == machine
    True
    """
    checked_kind("text", text, str, "give the file's text, or its path to read()")
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # of TOML, and of a number with 5000 digits
        comma = "; numbers have a point, no comma" if DECIMAL_COMMA.search(text) else ""
        raise ValueError(f"text must be TOML, and isn't ({plain(error)}): correct that place{comma}.") from error
    known = {*DRIVE, *FIGURES}
    for key in sorted(table.keys() - known):
        raise ValueError(_unknown(plain(key), table[key], known))
    if missing := [name for name in DRIVE if name not in table]:
        raise ValueError(f"{missing[0]} is missing in the text: a reducer needs at least {', '.join(DRIVE)}. Add it.")
    for key, figure in FIGURES.items():
        if figure.kind == "bearing" and isinstance(table.get(key), dict):
            table[key] = _bearing(key, table[key])
    try:
        drive = Drive(**{name: table.pop(name) for name in DRIVE})
    except TypeError as error:
        raise ValueError(str(error)) from error
    try:
        return Reducer(drive, **table)
    except (TypeError, ValueError) as error:
        raise ValueError(" ".join((str(error), *_unsound(drive)))) from error


def write(reducer: Reducer, file: str | Path) -> None:
    """Write the reducer to a TOML file, unless the file holds something else.

    Parameters
    ----------
    reducer : Reducer
        The reducer.
    file : str or Path
        Where.

    Raises
    ------
    ValueError
        If the file is there and holds another text.

    Examples
    --------
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write(machine, f"{folder}/machine.toml")
    ...     print(read(f"{folder}/machine.toml") == machine)
    True
    """
    target, content = as_path("file", file), to_toml(reducer).encode()
    with alone(target):
        if target.exists() and target.read_bytes() != content:
            raise ValueError(
                f"{plain(target.name)} holds something else and was not touched: choose another name, or delete it."
            )
        write_whole(target, content)


def read(file: str | Path) -> Reducer:
    """The reducer in a TOML file.

    Parameters
    ----------
    file : str or Path
        The file; one that keeps a drive's four numbers only will do.

    Returns
    -------
    Reducer
        What `from_toml` makes of it.

    Raises
    ------
    ValueError
        If it can't be read or understood; the message names the file, and the line or the key.

    Examples
    --------
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write(machine, f"{folder}/machine.toml")
    ...     print(read(f"{folder}/machine.toml").drive)
    Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
    """
    source = as_path("file", file)
    try:
        return from_toml(source.read_text(encoding="utf-8-sig"))  # Windows editors add a mark
    except OSError as error:
        raise ValueError(f"{plain(source.name)} can't be read ({error.strerror}): give a reducer's file.") from error
    except ValueError as error:  # a text that isn't UTF-8 is one too
        raise ValueError(f"{plain(source.name)}: {plain(error)}") from error


def _unknown(key: str, value: object, known: set[str]) -> str:
    """What is said of a key that there isn't: the one that is meant, if that can be seen, else all that there are."""
    whole = [name for name in sorted(known, key=len, reverse=True) if key.startswith(f"{name}_")]
    if whole:
        return f"{key} is no key: all lengths are in mm and keys carry no unit. Write {whole[0]}, in mm."
    if isinstance(value, dict) and known & value.keys():
        return f"{key} is no key of a reducer, whose keys stand in no table: delete the line [{key}]."
    if (radius := key.replace("diameter", "radius")) in known:
        return f"{key} is no key of a reducer: what is round is given by its radius. Write {radius}, half of it."
    if close := get_close_matches(key.lower(), sorted(known), 1, CLOSE):
        return f"{key} is no key of a reducer: perhaps {close[0]} is meant. Correct or delete it."
    return f"{key} is no key of a reducer: the keys are {', '.join(sorted(known))}. Correct or delete it."


def _unsound(drive: Drive) -> list[str]:
    """What forbids the drive itself, if anything does: a figure that can't be chosen for it is the less of it."""
    bad = [row for row in limits.check(drive) if not row.ok]
    return [f"The drive itself isn't sound. {bad[0].name}: {lacks(bad[0])} {bad[0].remedy}"] if bad else []


def _bearing(key: str, table: dict[str, Any]) -> Bearing:
    names = {field.name for field in fields(Bearing)}
    if odd := sorted(table.keys() ^ names):
        raise ValueError(
            f"{key} has wrong or missing keys, {plain(', '.join(odd))}: it needs {', '.join(sorted(names))}."
        )
    try:
        return Bearing(**table)
    except (TypeError, ValueError) as error:
        raise ValueError(f"{key}: {error}") from error
