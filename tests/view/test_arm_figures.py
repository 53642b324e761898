"""Pictures of lever arms: forces in proportion to arms, lines through pin and pitch point, arrows to their scale.

- Equal springs under a stiff lever push in proportion to their arms: Hooke's law and the lever's turn, derived.
- All contact normals pass through the pitch point: derived in lesson 4, tested in tests/geometry/test_speeds.py.
"""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.quiver import Quiver

from cyclokit import Drive
from cyclokit.geometry import motion
from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import sharing
from cyclokit.view import arm_figures, figures
from tests.geometry.drives import STORY

ONE_DISC = Reducer(STORY, discs=1)


@pytest.mark.parametrize(("near", "far"), [(10.0, 20.0), (20.0, 10.0), (3.0, 12.0)])
def test_posts_are_pressed_in_and_push_in_proportion_to_their_arms(near, far):
    ax = arm_figures.lever(near, far)
    arrows = [note for note in ax.texts if note.arrowprops and note.arrowprops["arrowstyle"] == "-|>"]
    pressed = [note for note in ax.texts if note.arrowprops and note.arrowprops["arrowstyle"] == "<->"]
    arms = sorted((near, far))
    assert [note.xy[0] for note in arrows] == arms
    pushes = [note.xy[1] - note.xyann[1] for note in arrows]
    ways = [note.xy[1] - note.xyann[1] for note in pressed]
    assert pushes[0] / pushes[1] == pytest.approx(arms[0] / arms[1])
    assert ways[0] / ways[1] == pytest.approx(arms[0] / arms[1])
    assert min(pushes) > 0 > max(ways)  # upwards, against the lever, and downwards, as it turns


@pytest.mark.parametrize("drive", [STORY, Drive(12, 40.0, 4.0, 2.0)])
def test_each_line_runs_from_its_pin_through_the_pitch_point_and_on(drive):
    ax = arm_figures.pin_lines(drive, (1, 3, 7))
    centre, pitch_point = np.array([drive.eccentricity, 0.0]), np.array([drive.eccentricity * drive.pins, 0.0])
    lines = {one.get_label(): one.get_xydata() for one in ax.get_lines()}
    for number in (1, 3, 7):
        start, end = lines[f"line of pin {number}"]
        around = 2 * np.pi * number / drive.pins
        assert start == pytest.approx(drive.pin_circle_radius * np.array([np.cos(around), np.sin(around)]))
        way, rest = pitch_point - start, end - pitch_point
        assert way[0] * rest[1] - way[1] * rest[0] == pytest.approx(0, abs=1e-9)
        assert way @ rest > 0
        # the ruler's foot, the place on the line that is nearest to the disc's centre, lies on what is drawn
        along = (centre - start) @ (end - start) / ((end - start) @ (end - start))
        assert 0 < along <= 1
    assert lines["pitch point"][0] == pytest.approx(pitch_point)
    assert [text.get_text() for text in ax.texts] == ["1", "3", "7"]


@pytest.mark.parametrize(("machine", "on"), [(ONE_DISC, 0), (Reducer(STORY), 1)])
def test_arrows_are_the_pushes_and_the_one_beside_them_measures_them(machine, on):
    shared = sharing.ideal(machine, 2000.0 * machine.discs, [0.4])
    ax = arm_figures.pushes(shared, on)
    (drawn,) = (each for each in ax.collections if isinstance(each, Quiver))
    sizes = np.hypot(drawn.U, drawn.V)
    (key,) = (each for each in ax.get_children() if type(each).__name__ == "QuiverKey")
    newton = float(key.text.get_text().removesuffix(" N")) / key.U
    assert newton * sizes == pytest.approx(shared.pin_force[0, on])
    np.testing.assert_allclose(drawn.XY, shared.pin_point[0, on])
    to_pitch_point = motion.pitch_point(STORY, 0.4 + np.pi * on) - drawn.XY
    assert to_pitch_point[:, 0] * drawn.V - to_pitch_point[:, 1] * drawn.U == pytest.approx(np.zeros(20), abs=1e-9)


def test_without_a_torque_there_is_nothing_to_draw():
    with pytest.raises(ValueError, match="no forces"):
        arm_figures.pushes(sharing.ideal(ONE_DISC, 0.0, [0.0]))


@pytest.mark.parametrize(("diameter", "core"), [(6.0, 3.0), (8.0, 7.0)])
def test_a_fibre_of_a_bent_piece_is_longer_by_the_curvature_times_its_distance(diameter, core):
    # strain = curvature times distance from the middle line: J. M. Gere, Mechanics of Materials, ch. 5
    ax = arm_figures.bent_piece(diameter, core)
    drawn = [one.get_xydata() for one in ax.get_lines() if len(one.get_xydata()) > 2]
    lengths = [np.hypot(*np.diff(fibre, axis=0).T).sum() for fibre in drawn]
    radius = -np.linalg.lstsq(drawn[1][[0, 40, 80]] * 2, (drawn[1][[0, 40, 80]] ** 2).sum(axis=1), rcond=None)[0][1]
    for fibre, length in zip(drawn, lengths, strict=True):
        distance = fibre[40, 1] - drawn[1][40, 1]  # from the middle line, half-way along
        assert length / lengths[1] - 1 == pytest.approx(distance / radius, abs=1e-9)


def test_a_core_as_thick_as_its_pin_is_refused():
    with pytest.raises(ValueError, match="core"):
        arm_figures.bent_piece(6.0, 6.0)


@pytest.mark.parametrize(
    "draw",
    [
        lambda: arm_figures.lever(10.0, 20.0),
        lambda: arm_figures.pin_lines(STORY, (1, 3)),
        lambda: arm_figures.pushes(sharing.ideal(ONE_DISC, 2000.0, [0.0])),
        lambda: arm_figures.bent_piece(6.0, 3.0),
    ],
)
def test_each_is_the_same_every_time_and_prints_nothing(draw, capfd):
    ax = draw()
    assert isinstance(ax.figure, Figure)
    FigureCanvasAgg(ax.figure).draw()
    assert figures.as_svg(draw().figure) == figures.as_svg(draw().figure)
    assert capfd.readouterr() == ("", "")
    said = [text for text in (*ax.texts, *ax.get_xticklabels()) if text.get_text()]
    assert min(text.get_size() for text in said) >= 12  # points, as all figures have
