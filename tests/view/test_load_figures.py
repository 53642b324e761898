"""Pictures of loads: what is drawn is what was computed, to scale, with units, in words that can be read.

- Three forces that balance meet in a point and close a triangle: statics of a plane body, any textbook.
- Contrast and sizes of the figures themselves: tests/view/test_figures.py.
"""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from cyclokit import Drive
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from cyclokit.view import figures, load_figures
from tests.geometry.drives import STORY

MACHINE = Reducer(STORY)
ODD = Reducer(Drive(12, 40.0, 4.0, 1.5), output_rollers=3, hole_phase=0.1, output_roller_radius=3.0)
STIFF = {"pin_stiffness": 1000.0, "output_stiffness": 2000.0}  # N/mm, invented
TURN = np.linspace(0, 2 * np.pi, 121)


def shares(machine, crank=0.5, torque=2000.0):
    return sharing.ideal(machine, torque, [crank])


def words(ax):
    """Everything that is written in the legend."""
    return [text.get_text() for text in ax.get_legend().get_texts()]


def line(ax, label):
    return next(one for one in ax.get_lines() if one.get_label().startswith(label)).get_xydata()


CASES = [(MACHINE, 0, 2000.0), (MACHINE, 1, 2000.0), (ODD, 0, 700.0), (ODD, 1, -700.0)]


@pytest.mark.parametrize(("machine", "on", "torque"), CASES)
def test_the_triangle_closes_and_its_sides_are_the_forces_by_a_ruler(machine, on, torque):
    shared = shares(machine, torque=torque)
    ax = load_figures.triangle(shared, on)
    FigureCanvasAgg(ax.figure).draw()
    on_paper = ax.transData.transform
    ruler = next(one for one in ax.get_lines() if one.get_marker() == "|").get_xydata()
    told = next(text.get_text() for text in ax.texts if text.get_text().endswith(" N"))
    newton = float(told.removesuffix(" N")) / np.linalg.norm(np.diff(on_paper(ruler), axis=0))
    sides = [line(ax, label) for label in ("ring pins", "output rollers", "bearing")]
    for side, after in zip(sides, sides[1:] + sides[:1], strict=True):
        assert side[1] == pytest.approx(after[0], abs=1e-9)  # head to tail, and closed
    expected = (
        (shared.pin_force[0, on][:, None] * shared.pin_direction[0, on]).sum(axis=0),
        (shared.output_force[0, on][:, None] * shared.output_direction[0, on]).sum(axis=0),
        shared.bearing_force[0, on],
    )
    for side, force, label in zip(sides, expected, words(ax), strict=True):
        assert newton * np.linalg.norm(np.diff(on_paper(side), axis=0)) == pytest.approx(np.hypot(*force), rel=1e-6)
        assert np.diff(side, axis=0)[0] == pytest.approx(force)
        assert not any(letter.isdigit() for letter in label)  # the ruler's task


@pytest.mark.parametrize(("machine", "on", "torque"), CASES)
def test_the_lines_of_action_meet_where_no_forces_moment_is_left(machine, on, torque):
    shared = shares(machine, torque=torque)
    ax = load_figures.lines_of_action(shared, on)
    meet = line(ax, "they meet")[0]
    size = np.hypot(*shared.bearing_force[0, on]) * STORY.pin_circle_radius
    for label, points, forces in (
        ("ring pins", shared.pin_point, shared.pin_force[..., None] * shared.pin_direction),
        ("output rollers", shared.output_point, shared.output_force[..., None] * shared.output_direction),
    ):
        arms, pushes = points[0, on] - meet, forces[0, on]
        moment = (arms[:, 0] * pushes[:, 1] - arms[:, 1] * pushes[:, 0]).sum()
        assert abs(moment) < 1e-9 * size
        drawn, total = np.diff(line(ax, label), axis=0)[0], pushes.sum(axis=0)
        assert abs(drawn[0] * total[1] - drawn[1] * total[0]) < 1e-9 * np.hypot(*drawn) * np.hypot(*total)
    for label in ("ring pins", "output rollers", "bearing"):
        ends = line(ax, label)
        assert ends.mean(axis=0) == pytest.approx(meet)


def test_the_force_on_each_pin_stands_over_its_angle_from_the_pitch_point():
    gaps = (0.0, 0.02, 0.08)
    curves = {f"gap {gap} mm": sharing.as_made(MACHINE, 2000.0, [0.5], gap, **STIFF) for gap in gaps}
    for on in (0, 1):
        ax = load_figures.pins_by_angle(curves, on)
        for name, shared in curves.items():
            points = line(ax, name)
            assert (np.diff(points[:, 0]) > 0).all()
            for angle, force in points:
                # the pin at that angle from the crank of that disc
                pin = round((np.radians(angle) + 0.5 + np.pi * on) / (2 * np.pi / 20)) % 20
                assert force == shared.pin_force[0, on, pin]
        assert words(ax) == list(curves)
        assert len({one.get_marker() for one in ax.get_lines()}) == 3


def test_the_hardest_push_over_a_turn_is_that_of_the_most_loaded_pin():
    curves = {
        "ideal": sharing.ideal(MACHINE, 2000.0, TURN),
        "gap": sharing.as_made(MACHINE, 2000.0, TURN, 0.02, **STIFF),
    }
    ax = load_figures.peak_over_a_turn(curves)
    for name, shared in curves.items():
        points = line(ax, name)
        assert points[:, 0] == pytest.approx(np.degrees(TURN))
        assert points[:, 1] == pytest.approx([max(map(max, each)) for each in shared.pin_force.tolist()])
    assert words(ax) == list(curves)


def test_the_most_loaded_and_the_most_stressed_place_are_marked_each_where_it_is():
    angle, force, pressure = np.linspace(0, 3, 31), np.zeros(31), np.full(31, 100.0)
    force[10], pressure[4] = 7.25, 431.0
    ax = load_figures.pressure_along(angle, force, pressure)
    assert line(ax, "most loaded")[0] == pytest.approx([np.degrees(1.0), 100.0])
    assert line(ax, "most stressed")[0] == pytest.approx([np.degrees(0.4), 100.0])
    assert line(ax, "force")[:, 1] == pytest.approx(100 * force / 7.25)
    assert line(ax, "pressure")[:, 1] == pytest.approx(100 * pressure / 431.0)
    assert {"most loaded: 7.25 N at 57°", "most stressed: 431 MPa at 23°"} <= set(words(ax))


def test_bars_go_to_the_least_and_their_bands_to_the_greatest():
    bands = {"printed": (1.2, 2.4), "cored": (8.0, 9.5), "steel rod": (20.0, 22.0), "screw": (14.0, 14.0)}
    ax = load_figures.compared(bands, "load that it bears [N]")
    bars = ax.patches
    for (least, most), bar, band in zip(bands.values(), bars[::2], bars[1::2], strict=True):
        assert bar.get_width() == least
        assert (band.get_x(), band.get_x() + band.get_width()) == pytest.approx((least, most))
    assert [text.get_text() for text in ax.get_yticklabels()] == list(bands)
    assert [text.get_text() for text in ax.texts] == ["1.2 to 2.4", "8 to 9.5", "20 to 22", "14"]
    assert ax.get_ylim()[0] > ax.get_ylim()[1]  # the first at the top


PICTURES = {
    "lines of action": lambda: load_figures.lines_of_action(shares(MACHINE)),
    "triangle": lambda: load_figures.triangle(shares(MACHINE)),
    "pins": lambda: load_figures.pins_by_angle({"ideal": shares(MACHINE)}),
    "peak": lambda: load_figures.peak_over_a_turn({"ideal": sharing.ideal(MACHINE, 10.0, TURN)}),
    "pressure": lambda: load_figures.pressure_along([0.1, 0.2], [1, 2], [3, 2]),
    "bars": lambda: load_figures.compared({"steel rod": (1, 2)}, "load [N]"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_each_says_its_units_and_is_the_same_every_time(name, capfd):
    draw = PICTURES[name]
    ax = draw()
    labels = [ax.get_xlabel(), ax.get_ylabel()]
    assert all(label.endswith("]") for label in labels if label)
    assert any(labels)
    svg = figures.as_svg(ax.figure)
    assert svg == figures.as_svg(draw().figure)  # the same every time
    assert capfd.readouterr() == ("", "")  # nothing that a notebook would store
    sizes = {text.get_size() for text in (*ax.texts, *ax.get_xticklabels()) if text.get_text()}
    assert not sizes or min(sizes) >= 12  # points, as all figures have


@pytest.mark.parametrize("draw", [load_figures.lines_of_action, load_figures.triangle])
def test_without_a_torque_there_is_no_triangle(draw):
    with pytest.raises(ValueError, match="no forces"):
        draw(shares(MACHINE, torque=0.0))
