"""Pins that bend.

- J. M. Gere, Mechanics of Materials, example 6-2: a sandwich beam, 200 x 160 mm, aluminium faces of 5 mm (72 GPa) on a
  core of 150 mm (0.8 GPa), 3000 N m: 18.985 MPa in the faces, 0.19776 MPa in the core, E I 910 200 N m^2; recomputed.
- The deflections of beams with one load: Gere, appendix G (from memory).
- Minor diameters of screws' threads, d3: DIN 13, M3 2.387, M4 3.141, M5 4.019, M6 4.773 (from memory).
- The cored pin: derived by formula and by unit loads.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import cumulative_trapezoid, trapezoid

from cyclokit.mechanics import pins
from cyclokit.mechanics.pins import Layer

STEEL = (Layer(4.0, 0.0, 208e3),)
CORED = (Layer(4.0, 0.0, 208e3), Layer(8.0, 4.0, 3500.0))
STIFFNESS = pins.bending_stiffness(STEEL)


def test_geres_sandwich():
    faces = 200 * (160**3 - 150**3) / 12
    core = 200 * 150**3 / 12
    stress = pins._composite_stress(3e6, *np.array([[72e3, 800.0], [faces, core], [80.0, 75.0]]))
    np.testing.assert_allclose(stress, [18.985, 0.19776], rtol=5e-5)  # printed digits
    assert (72e3 * faces + 800 * core) / 1e6 == pytest.approx(910_200, rel=5e-5)


def test_the_cored_pin():
    assert pins.bending_stiffness(CORED) == pytest.approx(3_273_539.545, abs=5e-4)  # printed digits
    assert pins.bending_stiffness(CORED[:1]) / pins.bending_stiffness(CORED) == pytest.approx(0.7984645, abs=5e-8)
    bent = pins.bend(CORED, 30.0, "both ends", [50.0, 50.0], [10.0, 20.0], [10.0, 20.0])
    assert bent.deflection[1000] == pytest.approx(0.01463757, abs=5e-9)
    np.testing.assert_allclose(bent.at_loads, 0.01272832, atol=5e-9)
    np.testing.assert_allclose(bent.stress, [63.539785, 2.138358], atol=5e-7)


@pytest.mark.parametrize(
    ("support", "at", "deflection", "moment"),
    [
        ("one end", 30.0, 50 * 30**3 / 3, 50 * 30),
        ("both ends", 15.0, 50 * 30**3 / 48, 50 * 30 / 4),
        ("both ends clamped", 15.0, 50 * 30**3 / 192, 50 * 30 / 8),
    ],
)
def test_one_load_as_in_the_handbook(support, at, deflection, moment):
    bent = pins.bend(STEEL, 30.0, support, [50.0], [at], [at])
    assert bent.at_loads[0] == pytest.approx(deflection / STIFFNESS, rel=1e-9)  # rounding
    assert np.abs(bent.moment).max() == pytest.approx(moment, rel=1e-9)
    assert bent.stress[0] == pytest.approx(moment * 32 / (np.pi * 4.0**3), rel=1e-9)


def test_an_even_load_as_in_the_handbook():
    bent = pins.bend(STEEL, 30.0, "both ends", [60.0], [0.0], [30.0])
    assert bent.at_loads[0] == pytest.approx(5 * 60 * 30**3 / 384 / STIFFNESS, rel=1e-9)
    clamped = pins.bend(STEEL, 30.0, "both ends clamped", [60.0], [0.0], [30.0])
    assert clamped.at_loads[0] == pytest.approx(60 * 30**3 / 384 / STIFFNESS, rel=1e-9)


@pytest.mark.parametrize(("nominal", "root"), [(3.0, 2.387), (4.0, 3.141), (5.0, 4.019), (6.0, 4.773)])
def test_a_screws_shank_at_its_threads_root(nominal, root):
    assert pins.thread_root(nominal) == pytest.approx(root, abs=6e-4)  # printed digits, and half of the next


@st.composite
def loaded(draw):
    """A span, and one to three loads on it."""
    span, count = draw(st.floats(5, 60)), draw(st.integers(1, 3))
    starts = [draw(st.floats(0.02, 0.8)) for _ in range(count)]
    widths = [draw(st.just(0.0) | st.floats(0.01, 0.18)) for _ in range(count)]  # points, and loads with some width
    places = [(span * start, span * (start + width)) for start, width in zip(starts, widths, strict=True)]
    forces = [draw(st.sampled_from([-1, 1])) * draw(st.floats(1, 100)) for _ in range(count)]
    return span, np.array(forces), np.array(places)


@given(loaded(), st.sampled_from(pins.SUPPORTS))
def test_integrated_numerically_the_pin_bends_alike(load, support):
    """Moments from statics and a trapezium rule, with what the supports add found by their effect: derived."""
    span, forces, places = load
    bent = pins.bend(STEEL, span, support, forces, *places.T)
    x = np.linspace(0, span, 20_001)
    after = [np.maximum(x[:, None] - edge, 0.0) for edge in places.T]
    width = places[:, 1] - places[:, 0]
    ramp = np.where(width > 0, (after[0] ** 2 - after[1] ** 2) / (2 * np.where(width > 0, width, 1)), after[0])
    base = -ramp @ forces  # moment of the loads alone, as if nothing held the pin
    units = {
        "one end": [],
        "both ends": [x],
        "both ends clamped": [x, np.ones_like(x)],
    }[support]
    if support == "one end":  # statics: nothing beyond the free end
        moment = base - base[-1] - (base[-1] - base[-2]) / (x[1] - x[0]) * (x - span)
    elif support == "both ends":
        moment = base - x / span * base[-1]
    else:  # neither slope nor place may differ between the ends
        ends = [[trapezoid(unit * weight, x) for unit in units] for weight in (np.ones_like(x), span - x)]
        wanted = [-trapezoid(base * weight, x) for weight in (np.ones_like(x), span - x)]
        moment = base + np.array(units).T @ np.linalg.solve(ends, wanted)
    slope = -cumulative_trapezoid(moment, x, initial=0) / STIFFNESS
    down = cumulative_trapezoid(slope, x, initial=0)
    if support == "both ends":
        down -= x / span * down[-1]
    size = np.abs(forces).sum() * span**3 / STIFFNESS + 1e-12
    # 20 000 steps leave their square, a point load or its jump in the slope of the moment one step
    np.testing.assert_allclose(bent.deflection, down[::10], atol=1e-5 * size)
    np.testing.assert_allclose(bent.moment, moment[::10], atol=1e-4 * (np.abs(forces).sum() * span + 1e-12))


@given(loaded(), st.sampled_from(pins.SUPPORTS))
def test_two_planes_are_two_bendings_at_right_angles(load, support):
    span, forces, places = load
    both = pins.bend(STEEL, span, support, np.stack([forces, forces[::-1]], axis=1), *places.T)
    for axis, force in enumerate((forces, forces[::-1])):
        alone = pins.bend(STEEL, span, support, force, *places.T)
        np.testing.assert_allclose(both.deflection[:, axis], alone.deflection, atol=1e-12)
    assert both.stress[0] >= alone.stress[0] * (1 - 1e-9)


def test_the_more_is_held_the_less_it_bends():
    deflections = [pins.bend(STEEL, 30.0, support, [50.0], [18.0], [22.0]).at_loads[0] for support in pins.SUPPORTS]
    assert deflections == sorted(deflections, reverse=True)
    lid_off = pins.bend(STEEL, 30.0, "one end", [50.0], [20.0], [24.0])
    lid_on = pins.bend(STEEL, 30.0, "both ends", [50.0], [20.0], [24.0])
    assert lid_off.stress[0] > 2 * lid_on.stress[0]


@pytest.mark.parametrize("share", [0.0, 0.5, 0.95])
def test_shear_of_a_tube_integrates_to_the_shear_force(share):
    """Zhuravskii's formula integrated over the middle of a ring gives the factor: derived; 4/3 solid, near 2 thin."""
    inner = share
    first_moment = 2 / 3 * (1 - inner**3)
    width, second = 2 * (1 - inner), np.pi / 4 * (1 - inner**4)
    area = np.pi * (1 - inner**2)
    assert pins._shear_factor(Layer(2.0, 2 * inner, 1.0)) == pytest.approx(first_moment / (second * width) * area)


@pytest.mark.parametrize(
    ("changed", "error", "said"),
    [
        ({"support": "glued"}, ValueError, "support is 'glued'"),
        ({"span": 0.0}, ValueError, "span is 0.0"),
        ({"end": [31.0]}, ValueError, "must lie within the span"),
        ({"start": [20.0]}, ValueError, "in order"),
        ({"force": [1.0, 2.0]}, ValueError, "give each load its start and end"),
        ({"layers": ()}, TypeError, "layers is ()"),
        ({"layers": (CORED[1], CORED[0])}, ValueError, "layers overlap"),
    ],
)
def test_what_cannot_be_is_refused_in_words(changed, error, said):
    given = {"layers": STEEL, "span": 30.0, "support": "both ends", "force": [50.0], "start": [10.0], "end": [14.0]}
    with pytest.raises(error, match=said.replace("()", r"\(\)")):
        pins.bend(**given | changed)


def test_layers_and_sizes_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="inner_diameter is 4"):
        Layer(4.0, 4.0, 208e3)
    with pytest.raises(ValueError, match=r"nominal_diameter is 3\.3"):
        pins.thread_root(3.3)


def test_a_load_as_narrow_as_rounding_is_a_point_load():
    point = pins.bend(STEEL, 5.0, "one end", [1.0], [0.1], [0.1])
    for narrow in (1e-17, 1e-12, 1e-9, 1e-5):
        bent = pins.bend(STEEL, 5.0, "one end", [1.0], [0.1], [0.1 + narrow])
        assert bent.deflection[-1] == pytest.approx(point.deflection[-1], rel=1e-3)  # half of 1e-5 in 0.1, twice over
