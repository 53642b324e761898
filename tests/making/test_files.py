"""A folder of files as a maker gets it: whole or not at all, never over something, the same bytes every time."""

import errno
import hashlib
import os
import shlex
import subprocess
import sys
import time

import numpy as np
import pytest

from cyclokit import Drive, clone
from cyclokit.__main__ import main
from cyclokit.machine.reducer import Reducer
from cyclokit.making import files, mesh, solids
from tests.making.parts import STORY
from tests.making.test_allowances import filled
from tests.making.test_drawing import text_of
from tests.making.test_flat import entities
from tests.making.test_mesh import triangles_of_stl

REDUCER = Reducer(STORY)
UNSOUND = Reducer(Drive(20, 42.0, 5.0, 2.0), outline_clearance=0.1)
FLAT = ("dxf", "svg", "csv")


@pytest.fixture(scope="module")
def everything(tmp_path_factory):
    """The folder in which every part is in every format, and what was told meanwhile."""
    folder, told = tmp_path_factory.mktemp("everything"), []
    written = files.write(REDUCER, folder / "out", tuple(files.WRITERS), said=told.append)
    return folder, written, told


def test_every_part_in_every_format_is_there(everything):
    folder, written, told = everything
    names = {
        f"{part.name}{'_mm' if kind == 'stl' else ''}.{kind}" for part in solids.made(REDUCER) for kind in files.WRITERS
    }
    names |= {"paper_drive.pdf", "disc_drawing.pdf"}
    assert {path.name for path in written} == names == set(told)
    assert {path.name for path in (folder / "out").iterdir()} == names
    assert not list(folder.glob(".making-*"))


def test_another_process_writes_the_same_bytes(tmp_path, everything):
    code = (
        "import sys; from cyclokit import Drive; from cyclokit.machine.reducer import Reducer\n"
        "from cyclokit.making import files\n"
        "files.write(Reducer(Drive(20, 42.0, 5.0, 1.4)), sys.argv[1], tuple(files.WRITERS))"
    )
    seed = "1" if os.environ.get("PYTHONHASHSEED") != "1" else "2"  # not this process's
    environment = os.environ | {"PYTHONHASHSEED": seed}
    subprocess.run([sys.executable, "-c", code, str(tmp_path / "out")], check=True, env=environment)
    hashes = [
        {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in (folder / "out").iterdir()}
        for folder in (tmp_path, everything[0])
    ]
    assert hashes[0] == hashes[1]


def test_nothing_is_overwritten(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(ValueError, match="not empty"):
        files.write(REDUCER, tmp_path)
    with pytest.raises(ValueError, match="not empty"):
        files.write(REDUCER, tmp_path / "mine.txt")
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
    (tmp_path / "empty").mkdir()
    assert files.write(REDUCER, str(tmp_path / "empty"), ("svg",))


def test_an_empty_folder_that_is_there_stays_and_is_filled(tmp_path, monkeypatch):
    """It may be where the maker stands, or a link."""
    (tmp_path / "here").mkdir(mode=0o700)
    (tmp_path / "link").symlink_to(tmp_path / "here")
    before = (tmp_path / "here").stat()
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.setattr(files.Path, "rename", _full)
    with pytest.raises(OSError, match="No space"):
        files.write(REDUCER, ".", ("svg",))
    assert not list((tmp_path / "here").iterdir())
    monkeypatch.undo()
    written = files.write(REDUCER, tmp_path / "link", ("svg",))
    after = (tmp_path / "here").stat()
    assert (after.st_ino, after.st_mode) == (before.st_ino, before.st_mode)
    assert {path.name for path in written} == {path.name for path in (tmp_path / "here").iterdir()}
    assert "disc.svg" in {path.name for path in written} and not list(tmp_path.glob(".making-*"))


def test_what_a_killed_write_left_is_in_nobodys_way_and_is_gone_an_hour_later(tmp_path):
    for name, age in (("fresh", 60), ("old", 3700)):  # s
        (tmp_path / f".making-{name}").mkdir()
        (tmp_path / f".making-{name}" / "disc.svg").write_text("half")
        then = time.time() - age
        os.utime(tmp_path / f".making-{name}", (then, then))
    (tmp_path / ".making-file").write_text("somebody's own")
    os.utime(tmp_path / ".making-file", (0, 0))
    written = files.write(REDUCER, tmp_path, ("svg",))
    assert "disc.svg" in {path.name for path in written}
    assert {path.name for path in tmp_path.glob(".making-*")} == {".making-fresh", ".making-file"}


def test_a_folder_that_can_not_take_all_files_keeps_none(tmp_path, monkeypatch):
    real = files.Path.rename
    done = []

    def rename(path, there):
        if len(done) == 3:
            raise OSError(errno.EIO, "as planned", str(path))
        done.append(there)
        return real(path, there)

    monkeypatch.setattr(files.Path, "rename", rename)
    with pytest.raises(OSError, match="as planned"):
        files.write(REDUCER, tmp_path, ("svg",))
    assert len(done) == 3 and not list(tmp_path.iterdir())


def test_a_writer_that_fails_leaves_nothing(tmp_path, monkeypatch):
    def full(part, notes):
        raise OSError(28, "No space left on device")

    monkeypatch.setitem(files.WRITERS, "svg", full)
    with pytest.raises(OSError, match="No space"):
        files.write(REDUCER, tmp_path / "out")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("which", ["full", "read-only"])
def test_a_disk_that_fails_half_way_leaves_nothing_and_names_the_folder(which, tmp_path, monkeypatch):
    """A full disk fails while a file is written, a read-only one when the first is to be made."""
    written = []
    real = files.Path.write_bytes

    def write(path, content):
        if which == "read-only" or len(written) == 2:
            raise OSError({"full": errno.ENOSPC, "read-only": errno.EROFS}[which], "as planned", str(path))
        written.append(real(path, content[: len(content) // 2]))

    monkeypatch.setattr(files.Path, "write_bytes", write)
    with pytest.raises(OSError) as told:
        files.write(REDUCER, tmp_path / "out", FLAT)
    assert told.value.filename == str(tmp_path / "out")
    assert not list(tmp_path.iterdir())


def test_a_place_that_can_not_be_written_is_told_in_a_sentence(tmp_path, capsys, monkeypatch):
    (tmp_path / "four.toml").write_text(
        "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"
    )
    (tmp_path / "file").write_text("mine")
    monkeypatch.setattr(clone, "elsewhere", lambda: False)
    assert main(["make", str(tmp_path / "four.toml"), str(tmp_path / "file" / "parts")]) == 2
    assert "can't be used" in capsys.readouterr().err
    monkeypatch.setattr(files.os, "replace", _full)
    assert main(["make", str(tmp_path / "four.toml"), str(tmp_path / "parts")]) == 2
    said = capsys.readouterr().err
    assert "parts" in said and ".making" not in said and "the disk has room" in said and said.count("\n") == 1
    assert {path.name for path in tmp_path.iterdir()} == {"four.toml", "file"}


def _full(*paths):
    raise OSError(errno.ENOSPC, "No space left on device", str(paths[0]))


@pytest.mark.skipif(sys.platform != "linux" or os.geteuid() != 0, reason="needs root on Linux, to mount a tiny disk")
def test_a_disk_that_is_really_full_leaves_nothing(tmp_path):
    code = (
        "import sys; from pathlib import Path; from cyclokit import Drive\n"
        "from cyclokit.machine.reducer import Reducer; from cyclokit.making import files\n"
        "try: files.write(Reducer(Drive(20, 42.0, 5.0, 1.4)), sys.argv[1] + '/out', ('dxf', 'svg', 'csv'))\n"
        "except OSError as error: print(error.errno, list(Path(sys.argv[1]).iterdir()))"
    )
    mounted = "mount -t tmpfs -o size=100k none {0} && {1} -c {2} {0}"
    command = mounted.format(tmp_path, sys.executable, shlex.quote(code))
    told = subprocess.run(["unshare", "-m", "sh", "-c", command], capture_output=True, text=True)
    if "mount" in told.stderr or "unshare" in told.stderr:
        pytest.skip("no disk can be mounted here")
    assert told.stdout.strip() == f"{errno.ENOSPC} []"


def test_a_test_piece_comes_with_its_table(tmp_path):
    told = []
    written = files.write_test_piece(REDUCER, tmp_path / "out", ("stl", "3mf", "dxf"), said=told.append)
    assert {path.name for path in written} == set(told)
    assert set(told) == {"test_piece_mm.stl", "test_piece.3mf", "test_piece.dxf", "measured.csv"}
    assert b"no allowances" in (tmp_path / "out" / "test_piece.dxf").read_bytes()


def test_supports_and_heights_that_are_no_whole_layers_are_told():
    assert not [line for line in files.for_the_printer(REDUCER, ("stl",)) if line.startswith("disc:")]
    assert files.for_the_printer(REDUCER, ("dxf",), 0.3) == ()
    plates = [line for line in files.for_the_printer(REDUCER, ("stl",)) if line.startswith("motor_plate:")]
    # over the pilot's recess and the nuts
    assert plates == ["motor_plate: supports or bridges needed at 2.4, 6.4 mm."]
    (said,) = [line for line in files.for_the_printer(REDUCER, ("stl",), 0.3) if line.startswith("disc:")]
    assert said == "disc: a height of 5 mm is no whole number of 0.3 mm layers: the printer will round it."


def test_an_unsound_reducer_is_refused_unless_asked_for_and_then_every_file_says_so(tmp_path):
    with pytest.raises(ValueError, match=r"(?s)not sound: .*unsound=True; --unsound in a command"):
        files.write(UNSOUND, tmp_path / "out")
    assert not list(tmp_path.iterdir())
    for path in files.write(UNSOUND, tmp_path / "out", (*FLAT, "pdf", "stl"), unsound=True):
        said = text_of(path) if path.suffix == ".pdf" else path.read_bytes().decode("latin-1")
        assert "NOT SOUND" in said, path.name


@pytest.mark.parametrize(
    ("given", "kind", "said"),
    [
        ({"formats": "dxf"}, TypeError, "formats must be a list or tuple"),
        ({"formats": ("dwg",)}, ValueError, "each must be one of"),
        ({"formats": ()}, ValueError, "formats is empty"),
        ({"reducer": STORY}, TypeError, "reducer must be a Reducer"),
        ({"folder": 5}, TypeError, "folder must be a str or Path"),
        ({"unsound": 1}, TypeError, "unsound must be a bool"),
    ],
)
def test_what_cannot_be_is_told(given, kind, said, tmp_path):
    with pytest.raises(kind, match=said):
        files.write(**{"reducer": REDUCER, "folder": tmp_path / "out"} | given)
    assert not list(tmp_path.iterdir())


def test_allowances_are_in_the_files_and_said(tmp_path):
    plain, adjusted = (
        {path.name: path.read_text() for path in files.write(reducer, tmp_path / name, ("csv",))}
        for reducer, name in (
            (REDUCER, "plain"),
            (Reducer(STORY, hole_allowance=0.07, outline_allowance=0.02), "adjusted"),
        )
    )

    def root(text):
        return float(next(line for line in text.splitlines() if line.startswith("edge_0")).split(",")[1])

    assert root(plain["disc.csv"]) - root(adjusted["disc.csv"]) == pytest.approx(0.02, abs=2e-6)
    assert "outline moved in by 0.02 mm, holes' radius 0.07 mm more" in adjusted["disc.csv"]
    holes = [
        np.ptp([float(line.split(",")[1]) for line in text.splitlines() if line.startswith("holes_0")])
        for text in (plain["disc.csv"], adjusted["disc.csv"])
    ]
    assert holes[1] - holes[0] == pytest.approx(0.14, abs=4e-6)


def sizes(folder):
    """All circles of a folder's DXF files, by file and layer: radii in the order in which they stand there [mm]."""
    found = {}
    for path in sorted(folder.glob("*.dxf")):
        for kind, tags in entities(path.read_bytes()):
            if kind == "CIRCLE":
                found.setdefault((path.stem, tags[8][0]), []).append(float(tags[40][0]))
    return found


SEATS = (1.5, 8.0, 10.5, 16.0)  # mm: rods of 3 mm; bearings' outsides of ISO 15, 16, 21 and 32 mm


def test_what_a_printer_needs_is_in_every_size_that_is_made(tmp_path, capsys, monkeypatch):
    """From the filled-in table through the lines that the command gives to the files, read back."""
    monkeypatch.setattr(clone, "elsewhere", lambda: False)
    four = "pins = 20\npin_circle_radius = 42.0\nroller_radius = 5.0\neccentricity = 1.4\n"
    (tmp_path / "four.toml").write_text(four)
    (tmp_path / "measured.csv").write_bytes(filled(holes=(0.03, 0.004), outsides=(0.05, -0.0005), A3_goes="tight"))
    assert main(["allowances", str(tmp_path / "four.toml"), str(tmp_path / "measured.csv")]) == 0
    lines = [line for line in capsys.readouterr().out.splitlines() if " = " in line]
    (tmp_path / "mine.toml").write_text("\n".join([four, *lines]))
    for name in ("four", "mine"):
        assert main(["make", str(tmp_path / f"{name}.toml"), str(tmp_path / name), "--formats", "dxf"]) == 0
    mine = {name: float(value) for name, value in (line.split(" = ") for line in lines)}
    assert mine["hole_allowance_share"] == pytest.approx(0.004, abs=5e-4)
    assert mine["outline_allowance_share"] == pytest.approx(-0.0005, abs=1e-4)

    def hole(radius):
        return radius + mine["hole_allowance"] + 2 * radius * mine["hole_allowance_share"]

    plain, adjusted, seated = sizes(tmp_path / "four"), sizes(tmp_path / "mine"), set()
    for where, radii in plain.items():
        for before, after in zip(radii, adjusted[where], strict=True):
            seat = next((one for one in SEATS if before == pytest.approx(one)), None)
            led = [(one, step) for one in SEATS for step in (0.2, 0.4) if before == pytest.approx(one + step)]
            if where[1].endswith("edge_arcs"):
                wanted = [before - mine["outline_allowance"] - 2 * before * mine["outline_allowance_share"]]
            elif where[1].endswith("witness_marks"):
                wanted = [before]
            elif seat and after == pytest.approx(hole(seat) + mine["fit_allowance"], abs=1e-9):
                seated.add(seat)
                continue
            else:  # of a seat's size, but nothing is held there
                wanted = [hole(before), *(hole(one) + mine["fit_allowance"] + step for one, step in led)]  # a lead-in
            assert min(abs(after - one) for one in wanted) < 1e-9, where
    assert seated == set(SEATS)
    roots = [42.0 - 1.4 - spline_root((tmp_path / name / "disc.dxf").read_bytes()) - 5.1 for name in ("four", "mine")]
    across = 2 * (42.0 + 1.4 - 5.1)
    expected = mine["outline_allowance"] + across * mine["outline_allowance_share"]
    assert roots == pytest.approx([0.0, expected], abs=1e-9)


def spline_root(file):
    """How far out the first point of a disc's spline is [mm], its root 0."""
    (tags,) = [tags for kind, tags in entities(file) if kind == "SPLINE"]
    return float(tags[10][0])


def test_recesses_are_deeper_by_their_allowance(tmp_path):
    """Heights of a motor plate, as its mesh has them: what is open below ends higher, what is open above lower."""
    plain, deep = (
        heights(mesh.stl(part, ()))
        for one in (REDUCER, Reducer(STORY, depth_allowance=0.2))
        for part in solids.made(one)
        if part.name == "motor_plate"
    )
    assert plain == [0.0, 2.4, 3.6, 4.0, 5.0, 6.4, 8.4, 8.6]
    assert deep == [0.0, 2.6, 3.4, 3.8, 4.8, 6.6, 8.4, 8.6]
    with pytest.raises(ValueError, match=r"leaves nothing of a wall of 0\.8 mm"):  # between pilot and bearing
        solids.made(Reducer(STORY, least_wall=0.8, depth_allowance=0.4))


def heights(file):
    """The heights at which a mesh has corners [mm]."""
    return np.unique(triangles_of_stl(file)[0][..., 2].round(5)).tolist()
