"""Hand-ins that are hostile or broken: each is made from a student's data, and has a harmless twin that earns all.

A case gets the folder of a student's account, the student's row in the ledger with a neighbour's under "neighbour",
and whether it is to be the twin.
"""

import json
import os
import stat
import zipfile
from copy import deepcopy

from cyclokit.course.sheets.hand_in import MIME, receipt
from tests.course.marking import classes

CASES = {}
CODE = "__import__('os').system('touch /tmp/executed')"


def case(function):
    """Note a case down by its name."""
    CASES[function.__name__.strip("_")] = function
    return function


def honest(row):
    """What an honest student hands in."""
    return classes.data(row)


def write(folder, row, kept, name="sheet.ipynb", change=lambda made: made):
    """A notebook with this data in the folder."""
    made = change(classes.notebook(row, kept))
    folder.mkdir(parents=True, exist_ok=True)
    content = made if isinstance(made, bytes) else (made if isinstance(made, str) else json.dumps(made)).encode()
    (folder / name).write_bytes(content)


def editing(name, edit):
    """A case in which the data is changed; every task of it is open, so that the change alone could earn something."""

    def function(folder, row, twin):
        kept = honest(row)
        if not twin:
            kept = deepcopy(kept)
            kept["answers"] = {letter: {"state": "still open"} for letter in kept["answers"]}
            edit(kept, row)
            kept["receipt"] = receipt(kept)
        write(folder, row, kept)

    CASES[name] = function


def number(name, text):
    """A case in which the first task's number is something else, or the right one written as it must not be."""

    def edit(kept, row):
        value = text(float(row["tasks"][0]["right"])) if callable(text) else text
        kept["answers"].update(a={"state": "read", "said": "right", "value": value})

    editing(name, edit)


number("no number", "nan")
number("infinity", "inf")
number("too large", "1e999")
number("hundred thousand digits", "9" * 100_000)
number("code for a number", CODE)
number("script for a number", "<script>alert(1)</script>")
number("half a character", "\ud800")
number("a sum", lambda right: f"0+{right!r}")
number("hexadecimal", float.hex)
number("underscores", lambda right: f"{right:.10f}"[:-1] + "_" + f"{right:.10f}"[-1])
number("digits of another script", lambda right: repr(right).translate({48 + n: 0xFF10 + n for n in range(10)}))
number("blanks around it", lambda right: f" {right!r}\n")
number("a number in JSON", lambda right: right)
number("true", True)
number("a list", lambda right: [repr(right)])
number("nothing", None)
number("an object", lambda right: {"value": repr(right)})
editing("right as a state", lambda kept, row: kept["answers"].update(a={"state": "right"}))
editing("right as a word", lambda kept, row: kept["answers"].update(a={"state": "read", "said": "right"}))
editing("all marks claimed", lambda kept, row: kept["answers"].update(a={"state": "read", "marks": "3", "value": "0"}))
editing(
    "code as an expression",
    lambda kept, row: kept["answers"].update(c={"state": "read", "said": CODE, "text": CODE, "values": ["0"] * 5}),
)
editing("too few values", lambda kept, row: kept["answers"].update(c={"state": "read", "text": "x", "values": []}))
editing("two letters", lambda kept, row: kept["answers"].update(e={"state": "read", "letter": "ab", "reason": "So."}))
editing("a letter alone", lambda kept, row: kept["answers"].update(e={"state": "read", "letter": "a", "reason": " "}))
editing(
    "half a character in a reason",
    lambda kept, row: kept["answers"].update(
        e={"state": "read", "letter": row["tasks"][4]["wrong"][0], "reason": "\ud800 is half, and then six words more"}
    ),
)
editing("a neighbour's word", lambda kept, row: kept.update(honest(row["neighbour"])))
editing("another sheet", lambda kept, row: kept.update(honest(row), sheet="circles_that_roll"))
editing("another edition", lambda kept, row: kept.update(honest(row), edition="2"))
editing("a word of nobody's", lambda kept, row: kept.update(honest(row), word="turntable"))
editing("a word that is a list", lambda kept, row: kept.update(honest(row), word=["a"]))
editing("more than is asked for", lambda kept, row: kept.update(honest(row), marks="20"))
editing("another form", lambda kept, row: kept.update(honest(row), form="2"))
editing("over a megabyte", lambda kept, row: kept.update(honest(row), version="x" * 1_100_000))
editing("nested data", lambda kept, row: kept["answers"].update(a={"state": "read", "value": [["1"]]}))


def changing(name, change):
    """A case in which the notebook is changed as a whole; its data would earn everything."""
    CASES[name] = lambda folder, row, twin: write(
        folder, row, honest(row), change=(lambda made: made) if twin else change
    )


changing("empty", lambda made: "")
changing("invalid JSON", lambda made: json.dumps(made)[:-1])
changing("a list for a notebook", lambda made: [made])
changing("latin letters", lambda made: json.dumps(made | {"x": "é"}, ensure_ascii=False).encode("latin-1"))
changing("nested deeply", lambda made: "[" * 200_000 + "]" * 200_000)
changing("NaN in the notebook", lambda made: json.dumps(made | {"x": float("nan")}))
changing("a name twice", lambda made: '{"cells": [], ' + json.dumps(made)[1:])
changing("an older format", lambda made: made | {"nbformat": 3, "worksheets": [{"cells": made["cells"]}]})
changing("a format that is true", lambda made: made | {"nbformat": True})
changing("cells that are none", lambda made: made | {"cells": [1, "x", None, *made["cells"]]})
changing("outputs that are none", lambda made: made | {"cells": [{**cell, "outputs": {}} for cell in made["cells"]]})
changing("outputs cleared", lambda made: made | {"cells": [cell | {"outputs": []} for cell in made["cells"]]})


def _second(made):
    output = deepcopy(made["cells"][-1]["outputs"][0])
    output["data"][MIME]["answers"]["a"]["value"] = "1.0"
    made["cells"][-1]["outputs"].append(output)
    return made


def _two_words(made, row):
    output = deepcopy(made["cells"][-1]["outputs"][0])
    output["data"][MIME] = honest(row["neighbour"])
    made["cells"][-1]["outputs"].append(output)
    return made


changing("two that differ", _second)


@case
def two_words(folder, row, twin):
    write(folder, row, honest(row), change=lambda made: made if twin else _two_words(made, row))


@case
def formula_in_a_name(folder, row, twin):
    kept = honest(row)
    if not twin:
        kept["answers"] = {letter: {"state": "read", "said": "=1+1", "value": "=1+1"} for letter in kept["answers"]}
    write(folder, row, kept, name="=cmd|' C calc'!A0.ipynb")


@case
def names_that_differ_only_in_case(folder, row, twin):
    write(folder, row, honest(row), name="a.ipynb")
    write(folder, row, honest(row) if twin else classes.data(row, {"a": 1}), name="A.ipynb")


@case
def names_so_long_that_no_number_fits_behind(folder, row, twin):
    write(folder, row, honest(row), name="a" * 249 + ".ipynb")
    write(folder, row, honest(row) if twin else classes.data(row, {"a": 1}), name="A" * 249 + ".ipynb")


@case
def a_neighbours_account_in_a_name(folder, row, twin):
    kept = honest(row) if twin else honest(row["neighbour"])
    write(folder, row, kept, name="sheet.ipynb" if twin else f"and of [{row['neighbour']['student']}].ipynb")


@case
def hundred_megabytes(folder, row, twin):
    write(folder, row, honest(row))
    if not twin:
        os.truncate(folder / "sheet.ipynb", 100_000_000)


def zipped(name, make):
    """A case of a zip file; its twin is an ordinary one."""

    def function(folder, row, twin):
        folder.mkdir(parents=True, exist_ok=True)
        content = json.dumps(classes.notebook(row, honest(row)))
        with zipfile.ZipFile(folder / "all.zip", "w", zipfile.ZIP_DEFLATED) as archive:
            if twin:
                archive.writestr("sheets/sheet.ipynb", content)
                archive.writestr("__MACOSX/sheets/._sheet.ipynb", b"\0\5\26\7")
            else:
                make(archive, content)

    CASES[name] = function


def _link(archive, content):
    member = zipfile.ZipInfo("sheet.ipynb")
    member.external_attr = (stat.S_IFLNK | 0o777) << 16
    archive.writestr(member, "/etc/passwd")


def _list(archive):
    """As many files as no class hands in, all of them in the list at the zip file's end alone."""
    archive.writestr("x" * 250, "")
    archive.filelist += archive.filelist * 40_000


def _locked(archive, content):
    archive.writestr("sheet.ipynb", content)
    archive.filelist[0].flag_bits |= 1


zipped("zip that climbs", lambda archive, content: archive.writestr("../../escaped.ipynb", content))
zipped("zip with a root", lambda archive, content: archive.writestr("/tmp/escaped.ipynb", content))
zipped("zip with a drive", lambda archive, content: archive.writestr("C:escaped.ipynb", content))
zipped("zip with a long name", lambda archive, content: archive.writestr("x" * 300 + ".ipynb", content))
zipped("zip with a long path", lambda archive, content: archive.writestr("x/" * 1000 + "sheet.ipynb", content))
zipped("zip with a long list", lambda archive, content: _list(archive))
zipped("zip with a link", _link)
zipped("zip that is locked", _locked)
zipped("zip bomb", lambda archive, content: archive.writestr("sheet.ipynb", b" " * 60_000_000))
zipped("zip of a Mac alone", lambda archive, content: archive.writestr("__MACOSX/sheet.ipynb", content))
zipped("zip in a zip", lambda archive, content: archive.writestr("inner.zip", content))


@case
def zip_cut_short(folder, row, twin):
    CASES["zip bomb"](folder, row, True)
    if not twin:
        os.truncate(folder / "all.zip", 500)


@case
def a_link(folder, row, twin):
    elsewhere = folder.parent.parent / "elsewhere"
    write(folder if twin else elsewhere, row, honest(row))
    if not twin:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "sheet.ipynb").symlink_to(elsewhere / "sheet.ipynb")


@case
def a_link_to_a_folder(folder, row, twin):
    elsewhere = folder.parent.parent / "elsewhere"
    write(folder if twin else elsewhere, row, honest(row))
    if not twin:
        folder.parent.mkdir(parents=True, exist_ok=True)
        folder.symlink_to(elsewhere)


@case
def a_pipe(folder, row, twin):
    folder.mkdir(parents=True, exist_ok=True)
    if twin:
        write(folder, row, honest(row))
    else:
        os.mkfifo(folder / "sheet.ipynb")


@case
def another_kind_of_file(folder, row, twin):
    write(folder, row, honest(row), name="sheet.ipynb" if twin else "sheet.pkl")
