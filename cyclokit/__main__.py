"""The command line: open the lessons; in a fresh clone, set everything up first."""

import argparse
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, NoReturn, TextIO

from cyclokit import __version__
from cyclokit.texts import plain

MISSING = "{module} is not installed here: in the clone's folder,  {command}  installs it."
REFUSED = "{what} ({reason}): see that its folder is there, that you may write in it, and that the disk has room."


class Parser(argparse.ArgumentParser):
    """A parser that repeats to the terminal what was typed, and lets none of it act there."""

    def error(self, message: str) -> NoReturn:
        """Say what was wrong, on one line, and exit with code 2."""
        super().error(plain(message))


def main(arguments: list[str] | None = None) -> int:
    """Run one command, in a clone in its own environment; return its exit code."""
    from cyclokit import clone

    given = _parser().parse_args(arguments)
    try:
        if given.run not in (_start, _test) and clone.elsewhere():
            return clone.there(sys.argv[1:] if arguments is None else arguments)
        return int(given.run(given))
    except OSError as error:
        what = f"'{plain(error.filename)}' can't be used" if error.filename else "The system refused a file"
        _say(REFUSED.format(what=what, reason=error.strerror or error), sys.stderr)
        return 2
    except ValueError as error:
        _say(str(error), sys.stderr)
        return 2
    except ModuleNotFoundError as error:
        from cyclokit.course.reader import typed

        if not typed.in_clone() or not error.name or error.name.startswith("cyclokit"):
            raise
        _say(MISSING.format(module=error.name, command=typed.typed("start")), sys.stderr)
        return 2


def _say(lines: str, where: TextIO) -> None:
    """Print lines in which names of files and words of an author's may stand."""
    encoding = where.encoding or "utf-8"
    for line in lines.split("\n"):
        print(plain(line).encode(encoding, "backslashreplace").decode(encoding), file=where, flush=True)


def _parser() -> argparse.ArgumentParser:
    parser = Parser(prog="cyclokit", description="Lessons on cycloidal speed reducers.")
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(required=True, metavar="command")

    folder = Parser(add_help=False)
    folder.add_argument("folder", nargs="?", type=Path, help="by default this one if it is yours, else my-lessons")
    afresh = folder.add_mutually_exclusive_group()
    afresh.add_argument("--fresh", metavar="LESSON", help="put a fresh copy of this lesson, such as 3, beside yours")
    afresh.add_argument("--fresh-sheet", metavar="SHEET", help="the same with an exercise sheet")
    about = "copy the lessons into a folder of yours and open lesson 0"
    opening = commands.add_parser("open", parents=[folder], help=about)
    opening.add_argument("--no-browser", action="store_true", help="print the address, and open no browser")
    opening.add_argument("--port", type=int, help="where JupyterLab listens, such as 8890")
    opening.set_defaults(run=_open)
    copying = commands.add_parser("copy", parents=[folder], help="copy the lessons into a folder of yours, no more")
    copying.set_defaults(run=_copy)

    trying = commands.add_parser("try-task", help="draw a thousand sets of numbers for a file of tasks, and tell")
    trying.add_argument("file", help="a file that ends in .py, or the name of a sheet, such as one_lobe_fewer")
    trying.add_argument("--word", default="turntable", help="the reader whose numbers are shown; default: turntable")
    trying.add_argument("--sheet", type=Path, metavar="NOTEBOOK", help="write the blank sheet, a file not there yet")
    trying.set_defaults(run=_try_task)
    writing = commands.add_parser("new-task", help="write a file of tasks to begin with")
    writing.add_argument("file", type=Path, help="a file that is not there yet, such as my_tasks.py")
    writing.set_defaults(run=_new_task)

    paging = commands.add_parser("pages", help="write every lesson as a page to read or print without a network")
    paging.add_argument("folder", type=Path, help="where to, such as pages")
    paging.set_defaults(run=_pages)

    making = commands.add_parser("make", help="write the files of a reducer's parts, to print, cut or mill")
    making.add_argument("reducer", type=Path, help="its file, such as my_reducer.toml; four numbers are enough")
    making.add_argument("folder", type=Path, help="where to, such as parts: a new one, or an empty one")
    making.add_argument("--formats", default="dxf,svg", help="of dxf,svg,csv,pdf,stl,3mf,step; default: dxf,svg")
    making.add_argument("--layer", type=float, default=0.2, help="the printer's layer height [mm]; default: 0.2")
    making.add_argument(
        "--foot", type=float, default=0.2, help="how far a mesh's first layer is cut back [mm]; default: 0.2"
    )
    making.add_argument("--test-piece", action="store_true", help="a test piece for the printer instead, and its table")
    making.add_argument("--unsound", action="store_true", help="also if it isn't sound; every file then says so")
    making.set_defaults(run=_make)

    weighing = commands.add_parser("allowances", help="say what a measured test piece means for a reducer's files")
    weighing.add_argument("reducer", type=Path, help="its file, such as my_reducer.toml")
    weighing.add_argument("measured", type=Path, help="the table, filled in: measured.csv")
    weighing.add_argument("--layer", type=float, default=0.2, help="the layer height of the test piece; default: 0.2")
    weighing.set_defaults(run=_allowances)

    dealing = commands.add_parser("deal", help="deal sheets to a class, each student with numbers of their own")
    dealing.add_argument("roster", type=Path, help="a table (CSV) with a column id")
    dealing.add_argument("course", type=Path, help="the course's folder; what is in COURSE/keep is never handed out")
    dealing.add_argument("--sheets", required=True, help="numbers or files of tasks, such as 1,2,my_tasks.py")
    dealing.add_argument("--quiet", action="store_true", help="an examination: checks say only what was read")
    dealing.add_argument("--paper", action="store_true", help="pages to be printed too, and a key")
    dealing.add_argument(
        "--fresh", default="", metavar="ID", help="other numbers in these sheets, for this student alone"
    )
    dealing.set_defaults(run=_deal)
    marking = commands.add_parser("mark", help="mark what a class handed in; nothing of it is run")
    marking.add_argument("course", type=Path, help="the folder of a course that was dealt")
    marking.add_argument("handed_in", type=Path, help="a folder with notebooks and zip files")
    marking.set_defaults(run=_mark)
    forgetting = commands.add_parser("forget", help="delete what a course has of a student, and say what remains")
    forgetting.add_argument("course", type=Path, help="the folder of a course that was dealt")
    forgetting.add_argument("student", help="the student's id")
    forgetting.set_defaults(run=_forget)

    starting = commands.add_parser("start", help="in a fresh clone: set everything up and open lesson 0")
    starting.set_defaults(run=_start)
    testing = commands.add_parser("test", help="in a fresh clone: set everything up and run every test")
    testing.set_defaults(run=_test)
    return parser


def _open(given: argparse.Namespace) -> int:
    from cyclokit.course.reader import lab  # here, so that --help and start need nothing installed

    lab.check_installed()
    folder = given.folder or lab.default_folder()
    if lab.running_root():
        lab.link(folder, folder)  # or nothing is copied
        first = _copied(given, folder)
        _say(f"JupyterLab runs here already. Open {lab.link(folder, first)}", sys.stdout)
        return 0
    lab.check_home()  # or nothing is copied
    lab.lab_command(folder, folder, port=given.port)
    first = _copied(given, folder)
    _say(f"Opening {plain(first)}. To end JupyterLab, press Ctrl+C here twice.", sys.stdout)
    return lab.open_lab(folder, first, not given.no_browser, given.port)


def _copy(given: argparse.Namespace) -> int:
    from cyclokit.course.reader import lab

    first = _copied(given, given.folder or lab.default_folder())
    _say(f"Open {plain(first)} in your JupyterLab.", sys.stdout)
    return 0


def _copied(given: argparse.Namespace, place: Path) -> Path:
    """Copy what is asked for into the reader's folder, say so, and return the page to begin with."""
    from cyclokit.course.reader import folder, lab

    if given.fresh is None and given.fresh_sheet is None:
        lines = folder.copy_all(place)
        first = place / "lessons" / "00_start_here.ipynb"
    else:
        sheet = given.fresh is None
        number, kind = (given.fresh_sheet, "exercises") if sheet else (given.fresh, "lessons")
        first = folder.copy_fresh(place, number, kind)
        lines = [folder.FRESH.format(name=first.name)]
    for line in lines:
        _say(line, sys.stdout)
    lab.sign(place)
    return first


def _try_task(given: argparse.Namespace) -> int:
    from cyclokit.course.sheets import blank, trial

    trials = trial.try_file(given.file, word=given.word, say=lambda line: _say(line, sys.stderr))
    _say("\n\n".join(map(str, trials)), sys.stdout)
    if given.sheet is not None:
        blank.write(given.file, given.sheet)
        _say(f"wrote {plain(given.sheet)}", sys.stdout)
    return int(any(tried.faults for tried in trials))


def _new_task(given: argparse.Namespace) -> int:
    from cyclokit.course.reader.typed import typed
    from cyclokit.course.sheets import trial

    trial.new_file(given.file)
    _say(f"wrote {plain(given.file)}: change it, then  {typed('try-task', str(given.file))}", sys.stdout)
    return 0


def _pages(given: argparse.Namespace) -> int:
    from cyclokit.course.reader import pages

    _say("\n".join(pages.write_all(given.folder)), sys.stdout)
    return 0


def _make(given: argparse.Namespace) -> int:
    from cyclokit.machine import bench, reducer_file, space
    from cyclokit.making import files, order, parts, printing
    from cyclokit.view import section

    formats = tuple(kind.strip() for kind in given.formats.split(","))
    reducer = reducer_file.read(given.reducer)
    how: dict[str, Any] = {
        "layer": given.layer,
        "foot": given.foot,
        "said": lambda name: _say(f"making {name}", sys.stdout),
    }
    if given.test_piece:
        files.write_test_piece(reducer, given.folder, formats, **how)
        for line in (*printing.notes(reducer), *printing.FILLING):
            _say(line, sys.stdout)
    else:
        why = bench.refused(reducer)
        kinds = () if why else (kind for kind in formats if kind in section.KINDS)
        more: dict[str, Callable[[], bytes]] = {
            f"section.{kind}": partial(section.as_file, reducer, kind) for kind in kinds
        }
        if not why:
            more |= {
                "parts_list.csv": lambda: parts.parts_list(reducer).csv().encode(),
                "order.txt": lambda: f"{order.of(reducer, lever=True)}\n".encode(),
            }
        files.write(reducer, given.folder, formats, unsound=given.unsound, more=more, **how)
        for line in (f"Only discs, for it can't be built as a bench machine:\n{why}",) if why else order.CAUTIONS:
            _say(line, sys.stdout)
        for line in files.for_the_printer(reducer, formats, given.layer):
            _say(line, sys.stdout)
        for row in space.check(reducer):
            if not row.ok and not row.physical:
                _say(f"{row.name}: {row.trouble} {row.remedy}", sys.stdout)
    _say(f"All of it is in {plain(given.folder)}", sys.stdout)
    return 0


def _allowances(given: argparse.Namespace) -> int:
    from cyclokit.machine import reducer_file
    from cyclokit.making import allowances, printing

    reducer = reducer_file.read(given.reducer)
    content = given.measured.read_bytes()
    typed = printing.measured(content, reducer, given.layer, lambda line: _say(line, sys.stdout))
    found = allowances.calibrate(typed, reducer)
    _say(str(found), sys.stdout)
    better = allowances.with_allowances(reducer, found, given.layer)
    _say(f"To have them in your files, write into {plain(given.reducer)}:", sys.stdout)
    for name, value in better.figures().items():
        if "_allowance" in name and (value or value != getattr(reducer, name)):
            _say(f"{name} = {value:g}", sys.stdout)
    return 0


def _deal(given: argparse.Namespace) -> int:
    from cyclokit.course.marking import deal

    sheets = [name.strip() for name in given.sheets.split(",") if name.strip()]
    lines = deal.deal(given.roster, given.course, sheets, given.quiet, given.fresh, given.paper)
    _say("\n".join(lines), sys.stdout)
    return 0


def _mark(given: argparse.Namespace) -> int:
    from cyclokit.course.marking import mark

    mark.mark(given.course, given.handed_in, lambda line: _say(line, sys.stdout))
    return 0


def _forget(given: argparse.Namespace) -> int:
    from cyclokit.course.marking import forget

    _say("\n".join(forget.forget(given.course, given.student)), sys.stdout)
    return 0


def _start(given: argparse.Namespace) -> int:
    from cyclokit import clone

    return clone.start()


def _test(given: argparse.Namespace) -> int:
    from cyclokit import clone

    return clone.test()


if __name__ == "__main__":
    sys.exit(main())
