"""What makes a drive impossible, against published formulas, brute force and an independent judge.

Sources
-------
Wang, Luo, Su, "Multi-objective optimization...", Mech. Mach. Theory 102 (2016) 135-148, eq. 12: least
convex radius of the centre path on the flank. The tip's branch and the table rows: derived, brute force.
Non-undercutting condition: F. L. Litvin, A. Fuentes, Gear Geometry and Applied Theory.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cyclokit import Drive
from cyclokit.geometry import limits
from tests.geometry.drives import STORY
from tests.geometry.judge import is_sound

FOUR = ("pins", "pin_circle_radius", "roller_radius", "eccentricity")


def path_curvatures(pins, radius, eccentricity):
    """Curvature along half a lobe of the centre path, from derivatives of its two terms."""
    t = np.linspace(0, np.pi / (pins - 1), 400_001)
    first = 1j * (radius * np.exp(1j * t) - eccentricity * pins * np.exp(1j * pins * t))
    second = -(radius * np.exp(1j * t) - eccentricity * pins**2 * np.exp(1j * pins * t))
    return (first.conj() * second).imag / np.abs(first) ** 3


@pytest.mark.parametrize(
    ("pins", "radius", "eccentricity", "least"),
    [(12, 40.0, 1.5, 13.133744), (40, 100.0, 1.0, 11.529412), (20, 42.0, 1.4, 7.368)],
)
def test_the_table_of_least_convex_radii(pins, radius, eccentricity, least):
    digits = len(str(least).split(".")[1])
    assert limits.least_convex_radius(pins, radius, eccentricity) == pytest.approx(least, abs=0.5 * 10**-digits)


def test_the_flanks_formula_is_wrong_where_the_tip_is_tightest():
    # derived: the published flank formula would give 11.328647 here
    assert limits.least_convex_radius(40, 100.0, 1.0) > 11.5


def test_the_published_formula_on_the_flank():
    n, k = 20, 2 / 3
    published = 42.0 * np.sqrt(27 * (1 - k**2) * (n - 1) / (n + 1) ** 3)  # eq. 12
    assert limits.least_convex_radius(20, 42.0, 1.4) == pytest.approx(published, rel=1e-12)


@given(st.integers(3, 60), st.floats(5, 200), st.floats(0.02, 1.6).filter(lambda k: abs(k - 1) > 0.01))
def test_both_branches_are_the_least_radius_that_brute_force_finds(pins, radius, ratio):
    tightest = path_curvatures(pins, radius, ratio * radius / pins).max()
    # 400 000 samples of half a lobe: the minimum is flat, second order in the step; sharpest near ratio 1
    least = limits.least_convex_radius(pins, radius, ratio * radius / pins)
    assert least == pytest.approx(1 / tightest, rel=1e-6)


def test_the_storys_report():
    report = limits.check(STORY)
    assert report.sound
    assert [limit.name for limit in report] == ["loop", "undercut", "rollers apart"]
    assert report["loop"].margin == pytest.approx(1 / 3)
    assert report["undercut"].margin == pytest.approx(7.368 - 5, abs=5e-4)
    assert report["rollers apart"].bound == pytest.approx(42.0 * np.sin(np.pi / 20))
    for limit in report:
        assert limit.ok
        assert limit.margin == limit.bound - limit.value
        assert limit.trouble.endswith(".")
        assert any(word in limit.remedy for word in ("eccentricity", "rollers", "pins"))


@pytest.mark.parametrize(
    ("drive", "broken"),
    [
        (Drive(20, 42.0, 5.0, 2.2), {"loop", "undercut"}),
        (Drive(20, 42.0, 6.4, 1.9), {"undercut"}),
        (Drive(20, 42.0, 6.6, 0.5), {"rollers apart"}),
        (Drive(12, 40.0, 8.0, 2.9), {"undercut"}),  # although the eccentricity is below the roller radius
        (Drive(12, 40.0, 2.0, 3.0), set()),  # although it is above
    ],
)
def test_each_limit_is_seen_and_named(drive, broken):
    report = limits.check(drive)
    assert {limit.name for limit in report if not limit.ok} == broken
    assert report.sound == (not broken)
    for name in broken:
        assert report[name].trouble in repr(report)
        assert report[name].remedy in report._repr_html_().replace("&#x27;", "'")


def test_an_unknown_limit_is_refused_with_the_names_there_are():
    with pytest.raises(KeyError, match="loop, undercut, rollers apart"):
        limits.check(STORY)["cusp"]


def test_a_drive_that_is_common_practice_is_sound():
    # common practice, no source: pin circle diameter 90 mm, 16 rollers of 13 mm, eccentricity 1.5 mm
    assert limits.check(Drive(16, 45.0, 6.5, 1.5)).sound


def random_numbers(count, seed):
    """Four numbers drawn across and beyond the sensible range, alike for one that is sound or not."""
    rng = np.random.default_rng(seed)
    pins = rng.integers(3, 61, count)
    radius = rng.uniform(10, 100, count)
    ratio = rng.uniform(0.02, 1.3, count)
    roller = rng.uniform(0.02, 1.4, count) * np.minimum(
        limits.half_pin_distance(pins, radius),
        np.where(rng.random(count) < 0.7, limits.least_convex_radius(pins, radius, ratio * radius / pins), np.inf),
    )
    return pins, radius, np.maximum(roller, 1e-3), ratio * radius / pins


def compare_with_the_judge(count, seed):
    """Sides of each limit, and the number sets on which limits and judge disagree outside 0.1 %."""
    numbers = random_numbers(count, seed)
    pairs = {
        "loop": (limits.trochoid_ratio(numbers[0], numbers[1], numbers[3]), np.ones(count)),
        "undercut": (numbers[2], limits.least_convex_radius(numbers[0], numbers[1], numbers[3])),
        "rollers apart": (numbers[2], limits.half_pin_distance(numbers[0], numbers[1])),
    }
    sides = {name: (int((v < b).sum()), int((v >= b).sum())) for name, (v, b) in pairs.items()}
    near = np.any([np.abs(v / b - 1) < 1e-3 for v, b in pairs.values()], axis=0)
    sound = limits.sound(*numbers)
    rows = list(zip(*numbers, strict=True))
    wrong = [row for row, ok, skip in zip(rows, sound, near, strict=True) if not skip and is_sound(*row) != ok]
    return sides, wrong


def test_the_limits_agree_with_a_judge_who_only_looks_at_the_outline():
    sides, wrong = compare_with_the_judge(1000, seed=1)
    assert min(min(pair) for pair in sides.values()) >= 10  # 1 000 a side in the benchmark's 100 000
    assert wrong == []


def test_the_judge_can_say_no():
    assert is_sound(20, 42.0, 5.0, 1.4)
    assert not is_sound(20, 42.0, 6.4, 1.9)
    assert not is_sound(20, 42.0, 5.0, 2.2)
    assert not is_sound(20, 42.0, 6.6, 0.5)


@given(st.integers(3, 60), st.floats(5, 200), st.floats(0.02, 0.999))
def test_the_greatest_eccentricity_is_where_soundness_ends(pins, radius, share):
    roller = share * float(limits.half_pin_distance(pins, radius))
    most = float(limits.greatest_eccentricity(pins, radius, roller))
    assert limits.check(Drive(pins, radius, roller, most * (1 - 1e-6))).sound
    assert not limits.check(Drive(pins, radius, roller, most * (1 + 1e-6))).sound


def test_rollers_that_overlap_leave_no_eccentricity():
    assert limits.greatest_eccentricity(20, 42.0, 6.6) == 0


def test_arrays_and_single_drives_are_judged_alike():
    numbers = random_numbers(300, seed=2)
    for row, sound in zip(zip(*numbers, strict=True), limits.sound(*numbers), strict=True):
        assert limits.check(Drive(**dict(zip(FOUR, row, strict=True)))).sound == sound


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_bad_numbers_are_refused_by_name(bad):
    with pytest.raises(ValueError, match="eccentricity contains"):
        limits.least_convex_radius(20, 42.0, bad)
    with pytest.raises(ValueError, match="roller_radius contains"):
        limits.sound(20, 42.0, bad, 1.4)
