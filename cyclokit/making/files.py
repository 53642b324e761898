"""The files of a reducer's parts: one part, one format, one file; the whole folder at once, or nothing."""

import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from types import MappingProxyType

from cyclokit.files import LEFT_OVER, as_path, make_folder
from cyclokit.machine import remedies, space
from cyclokit.machine.reducer import Reducer
from cyclokit.making import drawing, flat, lying, mesh, paper, paper_drive, printing, solids, stacking, step
from cyclokit.making.loops import Lobes
from cyclokit.making.lying import Foot, Layer
from cyclokit.making.shapes import Part
from cyclokit.signatures import read
from cyclokit.texts import plain, shown

WRITERS: dict[str, Callable[..., bytes]] = {
    "dxf": flat.dxf,
    "svg": flat.svg,
    "csv": flat.points,
    "pdf": paper.true_size,
    "stl": mesh.stl,
    "3mf": mesh.three_mf,
    "step": step.step,
}
PRINTED = ("stl", "3mf")
MAKING = ".making-"  # what a folder is called that is there only while its files are made
Makers = dict[str, Callable[[], bytes]]  # what makes each file, by its name
NO_MORE: Mapping[str, Callable[[], bytes]] = MappingProxyType({})
UNSOUND = "NOT SOUND: {why} Made all the same, because it was asked for; it may jam or break."


@read
def write(
    reducer: Reducer,
    folder: str | Path,
    formats: Sequence[str] = ("dxf", "svg"),
    *,
    unsound: bool = False,
    layer: Layer = lying.LAYER,
    foot: Foot = lying.FOOT,
    more: Mapping[str, Callable[[], bytes]] = NO_MORE,
    said: Callable[[str], None] | None = None,
) -> tuple[Path, ...]:
    """Write the files of all parts that are made (`solids.made`), into a folder that isn't there yet.

    Parameters
    ----------
    reducer : Reducer
        The reducer; a sound one, as `cyclokit.machine.space.check` judges it.
    folder : str or Path
        Where to. It may be there if it is empty; nothing in it is ever overwritten.
    formats : tuple of str
        Of dxf, svg, csv, pdf, stl, 3mf and step. With pdf come a paper drive and a drawing of each disc.
    unsound : bool
        Whether a reducer that isn't sound is written too. Every file then says so.
    layer : float
        The printer's layer height [mm]: a mesh's file says which heights are no whole number of layers.
    foot : float
        How far a mesh's first layer is cut back all round [mm], because a printer squeezes it wider.
    more : mapping
        What else is in the folder: what makes a file, by its name.
    said : callable, optional
        Is told each file's name before it is made.

    Returns
    -------
    tuple of Path
        The files, such as disc.dxf and, since an STL knows no unit, disc_mm.stl.

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
    warning = _warning(reducer, unsound)
    makers: Makers = {}
    for part in solids.made(reducer):
        makers |= _of_part(part, (*warning, *solids.notes(reducer, part)), wanted, layer, foot)
    if "pdf" in wanted:
        makers |= _on_paper(reducer, warning)
    makers |= more
    return _written(makers, as_path("folder", folder), said)


@read
def write_test_piece(
    reducer: Reducer,
    folder: str | Path,
    formats: Sequence[str] = ("stl",),
    *,
    layer: Layer = lying.LAYER,
    foot: Foot = lying.FOOT,
    said: Callable[[str], None] | None = None,
) -> tuple[Path, ...]:
    """Write a test piece of the sizes a reducer uses, and the table to fill in (measured.csv), into a new folder.

    All arguments and errors are as those of `write`, but that the reducer need not be sound.
    """
    piece = printing.piece(reducer, layer)
    makers = _of_part(piece, printing.notes(reducer), _formats(formats), layer, foot)
    makers["measured.csv"] = partial(printing.template, reducer, layer)
    return _written(makers, as_path("folder", folder), said)


@read
def for_the_printer(
    reducer: Reducer, formats: Sequence[str] = ("dxf", "svg"), layer: Layer = lying.LAYER
) -> tuple[str, ...]:
    """Which parts need supports, or have a height that is no whole number of layers, a sentence each.

    None without a printer's format; `layer` is the printer's layer height [mm].
    """
    if not set(_formats(formats)) & set(PRINTED):
        return ()
    found = [(part, (lying.supports(part), lying.rounded_heights(part, layer))) for part in solids.made(reducer)]
    return tuple(f"{part.name}: {why}." for part, whys in found for why in whys if why)


def _of_part(part: Part, notes: tuple[str, ...], formats: tuple[str, ...], layer: float, foot: float) -> Makers:
    """What makes a part's file in each format; for a printer it says how the part lies; an STL's name has its unit."""
    printed = lying.notes(part, layer, foot) if set(formats) & set(PRINTED) else ()
    return {
        f"{part.name}{'_mm' if kind == 'stl' else ''}.{kind}": partial(
            WRITERS[kind], part, (*notes, *printed), foot=foot, layer=layer
        )
        if kind in PRINTED
        else partial(WRITERS[kind], part, notes)
        for kind in formats
    }


def _on_paper(reducer: Reducer, warning: tuple[str, ...]) -> Makers:
    """The paper drive, and a drawing of each disc, without a printer's allowances."""
    plain_one = stacking.exact(reducer)
    makers: Makers = {"paper_drive.pdf": partial(paper_drive.paper_drive, plain_one, warning)}
    for part in solids.made(plain_one):
        if part.name.startswith("disc") and isinstance(part.slabs[0].outside, Lobes):
            makers[f"{part.name}_drawing.pdf"] = partial(drawing.disc_drawing, plain_one, part, warning)
    return makers


def _written(makers: Makers, target: Path, said: Callable[[str], None] | None) -> tuple[Path, ...]:
    """Write all files beside their place, then move them there: all of them, or none."""
    if target.exists() and (not target.is_dir() or _made(target)):
        raise ValueError(
            f"folder is {shown(target.name)}, which is there and not empty; nothing was written. Name a new one."
        )
    there = target.exists()
    with _named(target):
        within = target if there else target.parent
        make_folder(within)
        _sweep(within)
        beside = Path(tempfile.mkdtemp(prefix=MAKING, dir=within))
        try:
            for name, make in makers.items():
                if said:
                    said(name)
                (beside / name).write_bytes(make())
            if there:  # it may be where somebody stands, a link or a disk of its own: it stays
                _moved_up(beside)
            else:
                beside.chmod(0o755)  # a temporary folder is closed to others
                os.replace(beside, target)
        except BaseException:
            shutil.rmtree(beside, ignore_errors=True)
            raise
    return tuple(_made(target))


def _made(folder: Path) -> list[Path]:
    """What is in a folder, but for what is there only while something is made."""
    return sorted(path for path in folder.iterdir() if not path.name.startswith(MAKING))


def _sweep(folder: Path) -> None:
    """Take away what a killed `write` has left behind, an hour later."""
    for path in folder.glob(f"{MAKING}*"):
        if time.time() - path.lstat().st_mtime > LEFT_OVER:
            shutil.rmtree(path, ignore_errors=True)


def _moved_up(beside: Path) -> None:
    """Move all files of a folder into the one it is in, and take it away; or leave none of them there."""
    moved: list[Path] = []
    try:
        for path in sorted(beside.iterdir()):
            moved.append(path.rename(beside.parent / path.name))
        beside.rmdir()
    except BaseException:
        for path in moved:
            path.unlink()
        raise


@contextmanager
def _named(target: Path) -> Iterator[None]:
    """Errors of the system name the folder that was asked for, and no temporary one."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(target)) from error


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
    if unsound:
        why = next(f"{limit.name}. {limit.trouble}" for limit in report if limit.physical and not limit.ok)
        return (UNSOUND.format(why=plain(why)),)
    told = "\n".join(plain(line) for line in remedies.lines(reducer, lambda one: (space.check(one),)))
    raise ValueError(
        f"reducer is not sound: {told} Mend it, or ask for it by name (unsound=True; --unsound in a command) to have "
        "its files all the same, each with a warning in it."
    )
