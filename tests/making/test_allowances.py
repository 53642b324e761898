"""Test piece, template and what follows from the filled table, against tables made with known allowances.

NIST/SEMATECH e-Handbook of Statistical Methods, 4.5: the same line is found by SciPy's `linregress`.
"""

import numpy as np
import pytest
from scipy import stats

from cyclokit import Drive, tables
from cyclokit.machine.reducer import Reducer
from cyclokit.making import allowances, mesh, printing, shapes
from tests.making.parts import STORY

REDUCER = Reducer(STORY)
PLACES = {one.label: one for one in printing.features(REDUCER)}


def filled(holes=(0.07, 0.0), outsides=(0.02, 0.0), seats=0.05, noise=0.004, apart=0.0, **typed):
    """A table as a printer with these allowances (constant, per mm) would fill it; invented."""
    rows = printing.template(REDUCER).decode("utf-8-sig").splitlines()
    chance = np.random.default_rng(7)
    out = [rows[0]]
    for row in rows[1:]:
        label, kind, nominal, tried, *_ = row.split(",")
        one = float(nominal)
        x = y = depth = goes = ""
        if kind == "seat":
            depth = f"{one - seats + chance.normal(0, noise):.3f}"
        else:
            sign, (fixed, share) = (-1, holes) if kind == "hole" else (1, outsides)
            needs = fixed + share * one
            x, y = (f"{one + sign * 2 * (needs + side * apart / 2) + chance.normal(0, noise):.3f}" for side in (1, -1))
        for name, cell in typed.items():
            if name.partition("_")[0] == label:
                x, y, depth, goes = (
                    cell if name.endswith(f"_{at}") else old
                    for at, old in zip(("x", "y", "depth", "goes"), (x, y, depth, goes), strict=True)
                )
        out.append(",".join([label, kind, nominal, tried, x, y, depth, goes]))
    return "\n".join(out).encode()


def found(**how):
    return allowances.calibrate(printing.measured(filled(**how), REDUCER), REDUCER)


def test_the_piece_has_the_machines_sizes_and_closes():
    piece = printing.piece(REDUCER)
    assert mesh.solid(piece).is_watertight
    sizes = {(one.kind, one.nominal) for one in PLACES.values()}
    assert {("hole", 3.0), ("hole", 5.0), ("hole", 21.0), ("hole", 13.0), ("peg", 10.0), ("peg", 12.0)} <= sizes
    top = max(slab.top for slab in piece.slabs[:4])
    for one in PLACES.values():
        inside = [shapes.at_height(piece, z).contains(shapely_point(one)) for z in (0.1, top - 0.1, piece.top - 0.1)]
        assert inside == {"hole": [0, 0, 0], "seat": [1, 0, 0], "peg": [1, 1, 1], "plate": [1, 1, 0]}[one.kind] or (
            one.kind == "plate"
        )
        if one.kind == "seat":
            floor = [z for z in np.arange(0.05, top, 0.1) if shapes.at_height(piece, z).contains(shapely_point(one))]
            assert top - max(floor) == pytest.approx(one.nominal, abs=0.1)


def shapely_point(one):
    import shapely

    return shapely.Point(one.centre)


@pytest.mark.parametrize("pins", [8, 20, 33])
def test_nothing_on_any_piece_meets_its_neighbour(pins):
    reducer = Reducer(Drive(pins, 60.0, 5.0, 1.2))
    for one in printing.features(reducer):
        for other in printing.features(reducer):
            if one.label < other.label and "plate" not in (one.kind, other.kind):
                wide = [printing.SEAT if f.kind == "seat" else f.nominal for f in (one, other)]
                gap = np.hypot(*np.subtract(one.centre, other.centre)) - sum(wide) / 2
                assert gap > printing.GAP - 1e-6
    for slab in printing.piece(reducer).slabs:
        assert shapes.plane(slab).is_valid


def test_the_template_can_be_read_as_it_is_and_says_nothing():
    read = printing.measured(printing.template(REDUCER), REDUCER)
    assert [one.feature for one in read] == list(PLACES.values())
    nothing = allowances.calibrate(read, REDUCER)
    assert not nothing.holes.supported and "0 were measured" in str(nothing)
    with pytest.raises(ValueError, match="nothing sure of holes"):
        allowances.with_allowances(REDUCER, nothing)


@pytest.mark.parametrize("holes", [(0.07, 0.0), (0.03, 0.004), (-0.02, 0.001)])
@pytest.mark.parametrize("outsides", [(0.02, 0.0), (0.05, -0.0005)])
def test_known_allowances_come_back_within_their_uncertainty(holes, outsides):
    said = found(holes=holes, outsides=outsides)
    for one, (fixed, share) in ((said.holes, holes), (said.outsides, outsides)):
        assert one.supported, one.reasons
        value, uncertainty = one.at(one.size)
        assert abs(value - fixed - share * one.size) < 3 * uncertainty
        assert abs(one.line.slope - share) < 4 * one.line.slope_uncertainty
    assert said.seats.at(3.0)[0] == pytest.approx(0.05, abs=0.01)
    better = allowances.with_allowances(REDUCER, said)
    assert better.hole_allowance + 13.0 * better.hole_allowance_share == pytest.approx(
        holes[0] + 13.0 * holes[1], abs=0.01
    )
    assert (better.hole_allowance_share != 0) == (holes[1] != 0)
    assert better.outline_allowance + 76.8 * better.outline_allowance_share == pytest.approx(
        outsides[0] + 76.8 * outsides[1], abs=0.01
    )
    assert (better.hole_clearance, better.outline_clearance) == (0.1, 0.1)


def test_the_line_is_scipys():
    said = found(holes=(0.03, 0.004))
    read = [one for one in printing.measured(filled(holes=(0.03, 0.004)), REDUCER) if one.feature.kind == "hole"]
    nominal = [one.feature.nominal for one in read]
    other = stats.linregress(nominal, [(2 * one.feature.nominal - one.x - one.y) / 4 for one in read])
    assert said.holes.line.slope == pytest.approx(other.slope, rel=1e-9)
    assert said.holes.line.intercept_uncertainty == pytest.approx(other.intercept_stderr, rel=1e-9)
    assert said.holes.along_x.slope == pytest.approx(
        stats.linregress(nominal, [(one.feature.nominal - one.x) / 2 for one in read]).slope, rel=1e-9
    )


def test_intervals_hold_what_they_promise():
    """Of 300 invented tables nine in ten and more have the true allowance within two standard uncertainties."""
    chance, inside = np.random.default_rng(3), 0
    holes = [one for one in PLACES.values() if one.kind == "hole"]
    for _ in range(300):
        read = [printing.Measured(one, *(one.nominal - 0.14 + chance.normal(0, 0.02, 2)).tolist()) for one in holes]
        one = allowances.calibrate(read, REDUCER, caliper=0.0).holes
        value, uncertainty = one.at(one.size)
        inside += abs(value - 0.07) <= 2 * uncertainty
    assert 0.90 < inside / 300 < 0.985  # Student with 12 degrees of freedom: 0.931, plus or minus 3 of 1.5 %


def test_an_outlier_is_shown_and_stays_in():
    said = found(B3_x="20.2", B3_y="20.2")
    assert said.holes.outliers == ("B3",) and not said.holes.supported
    assert "outlier: B3" in str(said) and said.holes.count == found().holes.count
    assert found().holes.outliers == () == found().outsides.outliers


def test_axes_that_differ_are_told_apart():
    said = found(apart=0.04)
    assert said.holes.axes_differ and said.holes.difference == pytest.approx(0.04, abs=0.01)
    along = [float(axis.at(13.0)[0]) for axis in (said.holes.along_x, said.holes.along_y)]
    assert along == pytest.approx([0.09, 0.05], abs=0.01) and "the axes differ" in str(said)
    assert not found().holes.axes_differ
    assert any("printer's axes" in reason for reason in found(apart=0.14).holes.reasons)


def test_a_scatter_larger_than_what_is_sought_supports_nothing():
    said = found(noise=0.15)
    assert any("no allowance makes up" in reason for reason in said.holes.reasons)
    assert any("known to" in reason for reason in found(noise=0.15).outsides.reasons)


def test_too_few_support_nothing():
    few = b"\n".join(filled().splitlines()[:4])
    said = allowances.calibrate(printing.measured(few, REDUCER), REDUCER)
    assert said.holes.reasons == ("3 were measured, at 3 different sizes: measure 5 or more, at three sizes or more",)


def test_bought_parts_say_how_they_go():
    said = found(A1_goes="no", A2_goes="Tight", A3_goes="slides", A4_goes="slides", A5_goes="tight")
    assert [(fit.tried, fit.goes, fit.least, fit.most) for fit in said.fits] == [
        (3.0, "tight", 0.075, 0.075),
        (3.0, "slides", 0.15, 0.15),
        (5.0, "tight", 0.075, 0.075),
        (5.0, "slides", 0.0, 0.0),
    ]
    assert "A5" in said.doubts[0] and "a narrower one 'slides'" in str(said)


def test_what_went_in_tightly_and_depths_in_whole_layers_go_into_the_reducer():
    better = allowances.with_allowances(REDUCER, found(seats=0.13, A2_goes="tight", B3_goes="tight", B4_goes="slides"))
    assert better.fit_allowance == pytest.approx(0.075 - 0.07, abs=0.01)  # both were drawn 0.075 wider on the radius
    assert better.depth_allowance == 0.2
    assert allowances.with_allowances(REDUCER, found(seats=0.08), 0.1).depth_allowance == 0.1
    assert allowances.with_allowances(REDUCER, found(seats=0.08)).depth_allowance == 0  # less than half a layer
    doubtful = found(A1_goes="slides", A2_goes="tight")
    assert doubtful.doubts and allowances.with_allowances(REDUCER, doubtful).fit_allowance == 0


@pytest.mark.parametrize(
    ("typed", "row", "column", "why"),
    [
        ({"B2_x": "2.09"}, 11, "x_mm", "times 10 it would not be"),
        ({"B2_y": "0.823"}, 11, "y_mm", "times 25.4 it would not be"),
        ({"B2_x": "209"}, 11, "x_mm", "divided by 10 it would not be"),
        ({"B2_x": "17.5"}, 11, "x_mm", "out of range"),
        ({"B2_x": "wide"}, 11, "x_mm", "no number"),
        ({"B2_goes": "well"}, 11, "goes", "one of no, tight, slides, loose"),
        ({"C1_goes": "tight"}, 14, "goes", "nothing to try"),
        ({"D1_x": "10"}, 16, "x_mm", "isn't measured so"),
        ({"A1_depth": "3"}, 2, "depth_mm", "isn't measured so"),
    ],
)
def test_every_bad_cell_is_named(typed, row, column, why):
    with pytest.raises(tables.BadTable) as told:
        printing.measured(filled(**typed), REDUCER)
    (fault,) = told.value.faults
    assert (fault.row, fault.column) == (row, column) and why in fault.why


def test_what_is_left_out_of_a_table_is_said():
    """A column that somebody gave another name, as one that isn't read, and an empty row."""
    said = []
    content = filled().replace(b"x_mm", b"width_mm", 1) + b"\n,,,,,,,\n"
    read = printing.measured(content, REDUCER, said=said.append)
    assert said == ["Row 31 is empty and was left out.", "The column 'width_mm' is not asked for and was not read."]
    assert all(one.x is None for one in read) and any(one.y for one in read)
    with pytest.warns(UserWarning, match="'width_mm' is not asked for"):
        printing.measured(filled().replace(b"x_mm", b"width_mm", 1), REDUCER)


def test_a_table_with_decimal_commas_says_the_same():
    typed = filled().decode()
    head, *rows = (line.replace(",", ";") for line in typed.splitlines())
    content = "\n".join([head, *(row.replace(".", ",") for row in rows)]).encode()
    assert printing.measured(content, REDUCER) == printing.measured(filled(), REDUCER)


def test_another_reducers_table_is_seen():
    other = Reducer(STORY, shaft_radius=2.0)
    with pytest.raises(tables.BadTable, match="is the table another reducer's"):
        printing.measured(printing.template(other), REDUCER)
    strange = filled() + b"\nZ9,hole,3,3,3.0,3.0,,"
    with pytest.raises(tables.BadTable, match="no place on this piece"):
        printing.measured(strange, REDUCER)
