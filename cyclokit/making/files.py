"""The files of a reducer's parts: one part, one format, one file; the whole folder at once, or nothing."""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from cyclokit.files import as_path
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.making import flat, mesh, paper, solids, step
from cyclokit.making.shapes import Part
from cyclokit.signatures import read
from cyclokit.texts import plain, shown

WRITERS: dict[str, Callable[[Part, tuple[str, ...]], bytes]] = {
    "dxf": flat.dxf,
    "svg": flat.svg,
    "csv": flat.points,
    "pdf": paper.true_size,
    "stl": mesh.stl,
    "3mf": mesh.three_mf,
    "step": step.step,
}
UNSOUND = "NOT SOUND: {why} Made all the same, because it was asked for; it may jam or break."


@read
def write(
    reducer: Reducer,
    folder: str | Path,
    formats: Sequence[str] = ("dxf", "svg"),
    *,
    unsound: bool = False,
    said: Callable[[str], None] | None = None,
) -> tuple[Path, ...]:
    """Write the files of all parts that are made, into a folder that isn't there yet.

    Parameters
    ----------
    reducer : Reducer
        The reducer; a sound one, as `cyclokit.machine.space.check` judges it.
    folder : str or Path
        Where to. It may be there if it is empty; nothing in it is ever overwritten.
    formats : tuple of str
        Of dxf, svg, csv, pdf, stl, 3mf and step.
    unsound : bool
        Whether a reducer that isn't sound is written too. Every file then says so.
    said : callable, optional
        Is told each file's name before it is made.

    Returns
    -------
    tuple of Path
        The files, such as disc.dxf.

    Raises
    ------
    TypeError
        If an argument is of another kind.
    ValueError
        If a format is unknown, the folder holds something, or the reducer isn't sound.
    OSError
        If the folder can't be written; nothing is then left of it.
    """
    wanted = _formats(formats)
    target = as_path("folder", folder)
    warning = _warning(reducer, unsound)
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise ValueError(
            f"folder is {shown(target.name)}, which is there and not empty; nothing was written. Name a new one."
        )
    made = [(part, (*warning, *solids.notes(reducer, part))) for part in solids.made(reducer)]
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(prefix=".making-", dir=target.parent))
    try:
        beside.chmod(0o755)  # a temporary folder is closed to others
        for name, content in _contents(made, wanted, said or (lambda name: None)):
            (beside / name).write_bytes(content)
        if target.exists():
            target.rmdir()  # empty, as was seen
        os.replace(beside, target)
    except BaseException:
        shutil.rmtree(beside, ignore_errors=True)
        raise
    return tuple(sorted(target.iterdir()))


def _contents(
    made: list[tuple[Part, tuple[str, ...]]], formats: tuple[str, ...], said: Callable[[str], None]
) -> Iterator[tuple[str, bytes]]:
    for part, notes in made:
        for kind in formats:
            name = f"{part.name}.{kind}"
            said(name)
            yield name, WRITERS[kind](part, notes)


def _formats(formats: Sequence[str]) -> tuple[str, ...]:
    allowed = ", ".join(WRITERS)
    for kind in formats:
        if kind not in WRITERS:
            raise ValueError(f"formats has {shown(kind)}, but each must be one of {allowed}: choose from these.")
    if not formats:
        raise ValueError(f"formats is empty: choose one or more of {allowed}.")
    return tuple(dict.fromkeys(formats))


def _warning(reducer: Reducer, unsound: bool) -> tuple[str, ...]:
    report = space.check(reducer)
    if report.sound:
        return ()
    why = next(f"{limit.name}. {limit.trouble}" for limit in report if limit.physical and not limit.ok)
    if not unsound:
        raise ValueError(
            f"reducer is not sound: {plain(why)} Mend it, or say unsound=True to have its files all the same, each "
            "with a warning in it."
        )
    return (UNSOUND.format(why=plain(why)),)
