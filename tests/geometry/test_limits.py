"""What makes a drive impossible, against published formulas, brute force and an independent judge.

Sources
-------
Wang, Luo, Su, "Multi-objective optimization...", Mech. Mach. Theory 102 (2016) 135-148, eq. 12: least
convex radius of the centre path on the flank. The tip's branch and the table rows: derived, brute force.
Non-undercutting condition: F. L. Litvin, A. Fuentes, Gear Geometry and Applied Theory.
Rule of thumb, eccentricity below half the roller diameter: common practice, no source. Two drives that tell it from
the real bounds, and the story's least pressure angle: derived, each by two methods.
Bearing 623, 10 mm across: ISO 15.
"""

import dataclasses

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from cyclokit import Drive
from cyclokit.geometry import limits, outline
from tests.geometry import judge
from tests.geometry.drives import STORY, UNDERCUT, sound_drives

FOUR = ("pins", "pin_circle_radius", "roller_radius", "eccentricity")
BOUNDS = ("loop", "undercut", "rollers apart")
BAND = 1e-3  # share of a bound within which a sampled outline needn't tell the sides apart


def path_curvatures(pins, radius, eccentricity):
    """Curvature along half a lobe of the centre path, from derivatives of its two terms."""
    t = np.linspace(0, np.pi / (pins - 1), 40_001)
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


def published(pins, radius, ratio):
    """Wang, Luo, Su 2016, eq. 12."""
    return radius * np.sqrt(27 * (1 - ratio**2) * (pins - 1) / (pins + 1) ** 3)


@given(st.integers(3, 60), st.floats(5, 200), st.floats(0, 0.999))
def test_the_published_formula_holds_from_its_own_smallest_ratio_on(pins, radius, share):
    smallest = (pins - 2) / (2 * pins - 1)
    ratio = smallest + share * (1 - smallest)
    least = limits.least_convex_radius(pins, radius, ratio * radius / pins)
    # K comes back rounded from e, and 1 - K^2 magnifies that a thousandfold where K is 0.999
    assert least == pytest.approx(published(pins, radius, ratio), rel=1e-12)


def test_for_smaller_ratios_the_published_formula_is_wrong_and_the_tip_is_tightest():
    # derived, two methods: 11.529412 where the flank's formula gives 11.328647
    assert published(40, 100.0, 0.4) == pytest.approx(11.328647, abs=5e-7)  # digits as printed
    assert limits.least_convex_radius(40, 100.0, 1.0) == pytest.approx(100 * 1.4**2 / (40 * 0.4 + 1), rel=1e-14)


@given(st.integers(3, 60), st.floats(5, 200), st.floats(1, 50), st.floats(0.01, 1.5))
def test_a_drive_with_loops_has_finite_limits_too(pins, radius, ratio, roller):
    drive = Drive(pins, radius, roller * radius, ratio * radius / pins)
    report = limits.check(drive)
    assert np.isfinite([number for limit in report for number in (limit.value, limit.bound, limit.margin)]).all()
    if drive.trochoid_ratio >= 1:  # 1 itself can come back rounded from e
        assert not report.sound
        assert not report["loop"].ok


@given(st.integers(3, 60), st.floats(5, 200), st.floats(0.02, 1.6).filter(lambda k: abs(k - 1) > 0.01))
def test_both_branches_are_the_least_radius_that_brute_force_finds(pins, radius, ratio):
    tightest = path_curvatures(pins, radius, ratio * radius / pins).max()
    # The minimum is flat, so its error is second order in the step. It is sharpest near ratio 1: there it
    # lies 2.4 sqrt(1 - K), 0.24 or more, from the root, and a step of pi/40 000 is 3e-4 of that.
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


def random_numbers(count, rng):
    """Four numbers each, drawn across and beyond the sensible range, three in four beside one of the limits."""
    rng = np.random.default_rng(rng)

    def spread(low, high):  # as many in each decade
        return np.exp(rng.uniform(np.log(low), np.log(high), count))

    pins = np.rint(spread(2.51, 100.4)).astype(int)
    radius = spread(5, 500)
    beside = 1 + rng.choice([-1, 1], count) * spread(1e-3, 0.1)  # times a bound
    nearest = rng.choice(["none", *BOUNDS], count)
    ratio = np.where(nearest == "loop", beside, rng.uniform(0.01, 1.4, count))
    eccentricity = ratio * radius / pins
    apart, least = limits.half_pin_distance(pins, radius), limits.least_convex_radius(pins, radius, eccentricity)
    roller = np.select(
        [nearest == "loop", nearest == "undercut", nearest == "rollers apart"],
        [rng.uniform(0.02, 1.2, count) * least, beside * least, beside * apart],
        spread(0.02, 1.5) * apart,
    )
    return pins, radius, np.maximum(roller, 1e-6 * radius), eccentricity


def excesses(pins, radius, roller, eccentricity):
    """By what share each limit's value is above its bound (below it: negative), one row a limit."""
    return np.stack(
        [
            limits.trochoid_ratio(pins, radius, eccentricity) - 1,
            roller / limits.least_convex_radius(pins, radius, eccentricity) - 1,
            roller / limits.half_pin_distance(pins, radius) - 1,
        ]
    )


def compare_with_the_judge(count, rng):
    """How many number sets lie on each side of each limit, and those on which limits and judge disagree.

    Three counts a limit: inside it, beyond it, and beyond it alone, where no other limit helps to refuse.
    What lies within BAND of a bound is not compared.
    """
    numbers = random_numbers(count, rng)
    excess = excesses(*numbers)
    beyond = excess >= 0
    alone = beyond & (beyond.sum(axis=0) == 1)
    sides = {
        name: (int((~own).sum()), int(own.sum()), int(only.sum()))
        for name, own, only in zip(BOUNDS, beyond, alone, strict=True)
    }
    sound, wrong = limits.sound(*numbers), []
    for k in np.flatnonzero((np.abs(excess) > BAND).all(axis=0)):
        row = tuple(column[k].item() for column in numbers)
        seen = set(judge.faults(*row))
        undercut, overlapping = beyond[1:, k]
        if (not seen, judge.BACKWARDS in seen, judge.OVERLAP in seen) != (sound[k], undercut, overlapping):
            wrong.append(row)
    return sides, wrong


def test_the_limits_agree_with_a_judge_who_only_looks_at_the_outline():
    sides, wrong = compare_with_the_judge(2000, rng=1)
    for counts in sides.values():
        assert min(counts) >= 20  # 1 000 in the 100 000 of tests/speed/limits.py
    assert wrong == []


@pytest.mark.parametrize(
    ("numbers", "found"),
    [
        (dataclasses.astuple(STORY), set()),
        ((20, 42.0, 6.6, 0.5), {judge.OVERLAP}),
        ((20, 42.0, 5.0, 2.1), {judge.CUSP}),
        ((20, 42.0, 6.4, 1.9), {judge.BACKWARDS, judge.CROSSING, judge.CUT_INTO}),
        ((20, 42.0, 0.01, 2.3), {judge.CROSSING, judge.CUT_INTO}),  # a small roller follows every loop
    ],
    ids=["sound", "overlapping", "cusped", "undercut", "looped"],
)
def test_the_judge_can_say_no_for_each_of_its_reasons(numbers, found):
    assert set(judge.faults(*numbers)) == found
    assert judge.is_sound(*numbers) == (not found)


@given(st.integers(3, 60), st.floats(5, 200), st.floats(0.02, 0.999))
def test_the_greatest_eccentricity_is_where_soundness_ends(pins, radius, share):
    roller = share * float(limits.half_pin_distance(pins, radius))
    most = float(limits.greatest_eccentricity(pins, radius, roller))
    assert limits.check(Drive(pins, radius, roller, most * (1 - 1e-6))).sound
    assert not limits.check(Drive(pins, radius, roller, most * (1 + 1e-6))).sound


def test_rollers_that_overlap_leave_no_eccentricity():
    assert limits.greatest_eccentricity(20, 42.0, 6.6) == 0


def test_arrays_and_single_drives_are_judged_alike():
    numbers = random_numbers(300, rng=2)
    for row, sound in zip(zip(*numbers, strict=True), limits.sound(*numbers), strict=True):
        assert limits.check(Drive(**dict(zip(FOUR, row, strict=True)))).sound == sound


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_bad_numbers_are_refused_by_name(bad):
    with pytest.raises(ValueError, match="eccentricity contains"):
        limits.least_convex_radius(20, 42.0, bad)
    with pytest.raises(ValueError, match="roller_radius contains"):
        limits.sound(20, 42.0, bad, 1.4)


def test_the_tips_branch_is_never_what_forbids_a_drive():
    # where the branches meet, the rollers that the tip would still allow overlap already
    pins = np.arange(3, 10_001)
    meeting = (pins - 2) / (2 * pins - 1) / pins  # eccentricity, pin circle radius 1
    assert (limits.least_convex_radius(pins, 1.0, meeting) > 1.03 * limits.half_pin_distance(pins, 1.0)).all()


# what is advised against

ADVICE = ("rule of thumb", "pressure angle", "wall", "lobe height")


def test_advice_is_reported_only_if_it_is_asked_for():
    names = [limit.name for limit in limits.check(STORY, advice=True, least_wall=1.2, resolution=0.2)]
    assert names == [*BOUNDS, *ADVICE]
    assert [limit.name for limit in limits.check(STORY, least_wall=1.2)] == [*BOUNDS, "wall"]
    assert [limit.name for limit in limits.check(STORY, resolution=0.2)] == [*BOUNDS, "lobe height"]


@given(sound_drives(), st.floats(0.01, 300), st.floats(0.01, 300))
def test_advice_never_decides(drive, least_wall, resolution):
    report = limits.check(drive, advice=True, least_wall=least_wall, resolution=resolution)
    assert report.sound
    assert [limit.name for limit in report if not limit.physical] == list(ADVICE)
    for limit in report:
        assert limit.margin == limit.bound - limit.value
        slack = 0.0 if limit.physical or limit.name == "rule of thumb" else 1e-9  # a wall may be just as thick
        assert limit.ok == (limit.value <= limit.bound + slack if slack else limit.value < limit.bound)


def test_a_wall_and_a_lobe_may_be_just_what_is_asked_for():
    drive = Drive(20, 42.0, 5.0, 0.2)
    wall = float(limits.wall_between_rollers(20, 42.0, 5.0))
    for slip, ok in ((0, True), (1e-10, True), (1e-8, False)):
        report = limits.check(drive, least_wall=wall + slip, resolution=0.4 + slip)
        assert (report["wall"].ok, report["lobe height"].ok) == (ok, ok)


def test_something_else_than_a_drive_is_refused_in_a_sentence():
    for thing in (20, "drive", None, {"pins": 20}):
        with pytest.raises(TypeError, match=f"drive must be a Drive, not a {type(thing).__name__}: make one from"):
            limits.check(thing)


def test_a_bad_drive_isnt_made_sound_by_good_advice():
    report = limits.check(UNDERCUT, advice=True, least_wall=0.1, resolution=0.1)
    assert all(limit.ok for limit in report if not limit.physical)
    assert not report.sound


@pytest.mark.parametrize(
    ("roller", "eccentricity", "sound", "by_thumb"), [(2.0, 3.0, True, False), (8.0, 2.9, False, True)]
)
def test_the_rule_of_thumb_is_too_strict_here_and_too_loose_there(roller, eccentricity, sound, by_thumb):
    report = limits.check(Drive(12, 40.0, roller, eccentricity), advice=True)
    assert report.sound == sound == judge.is_sound(12, 40.0, roller, eccentricity)
    assert report["rule of thumb"].ok == by_thumb
    # the same two cases are told to the reader
    assert all(f"{number:g}" in report["rule of thumb"].trouble for number in (12, 40, roller, eccentricity))


def test_the_wall_between_the_storys_bearings():
    # two bearings 623 beside each other, measured with GEOS; its circles have 4 x 1000 corners: 1e-6 of 5 mm
    pins = [42.0 * np.exp(2j * np.pi * k / 20) for k in (0, 1)]
    first, second = (shapely.Point(pin.real, pin.imag).buffer(10 / 2, quad_segs=1000) for pin in pins)
    report = limits.check(STORY, least_wall=3.0)
    assert report["wall"].bound == pytest.approx(first.distance(second), abs=1e-5)
    assert report["wall"].ok
    assert not limits.check(STORY, least_wall=3.2)["wall"].ok


@given(sound_drives())
def test_the_wall_ends_where_rollers_overlap(drive):
    wall = limits.wall_between_rollers(drive.pins, drive.pin_circle_radius, drive.roller_radius)
    assert wall > 0
    overlapping = 1.001 * limits.half_pin_distance(drive.pins, drive.pin_circle_radius)
    assert limits.wall_between_rollers(drive.pins, drive.pin_circle_radius, overlapping) < 0


@given(sound_drives())
def test_a_lobe_is_as_high_as_the_outline_shows(drive):
    reach = np.hypot(*outline.points(drive, np.linspace(0, 2 * np.pi, 2 * drive.lobes + 1)).T)  # roots and tips
    # rounding of the radii
    assert limits.lobe_height(drive.eccentricity) == pytest.approx(np.ptp(reach), abs=1e-12 * drive.pin_circle_radius)


@pytest.mark.parametrize("name", ["least_wall", "resolution"])
@pytest.mark.parametrize(("bad", "error"), [(0.0, ValueError), (float("nan"), ValueError), ("1 mm", TypeError)])
def test_a_workshops_numbers_are_lengths(name, bad, error):
    with pytest.raises(error, match=f"{name} "):
        limits.check(STORY, **{name: bad})


# pressure angle


def sampled_pressure_angle(pins, radius, roller, eccentricity):
    """Least angle between the normal and the direction square to the arm from the disc's centre, by looking."""

    def angle(q):
        t = q / (pins - 1)
        along = 1j * (radius * np.exp(1j * t) - eccentricity * pins * np.exp(1j * pins * t))
        normal = -1j * along / np.abs(along)
        arm = radius * np.exp(1j * t) - eccentricity * np.exp(1j * pins * t) - roller * normal
        seen = normal * (1j * arm).conj()
        return np.abs(np.arctan2(np.abs(seen.imag), np.abs(seen.real)))

    q = np.linspace(1e-6, np.pi - 1e-6, 20_001)
    k = int(angle(q).argmin())
    between = (q[max(k - 1, 0)], q[min(k + 1, q.size - 1)])
    return float(minimize_scalar(angle, bounds=between, method="bounded", options={"xatol": 1e-10}).fun)


def test_the_storys_least_pressure_angle():
    report = limits.check(STORY, advice=True)
    assert np.degrees(report["pressure angle"].value) == pytest.approx(44.66, abs=0.005)  # digits as given
    assert report["pressure angle"].bound == np.inf  # a figure: nothing is judged by it
    assert report["pressure angle"].unit == "rad"


@given(st.integers(3, 60), st.floats(0.001, 0.999), st.floats(0.01, 0.999))
def test_the_least_pressure_angle_is_what_sampling_finds(pins, roller, share):
    roller = roller * float(limits.half_pin_distance(pins, 1.0))
    eccentricity = share * float(limits.greatest_eccentricity(pins, 1.0, roller))
    found = limits.least_pressure_angle(pins, 1.0, roller, eccentricity)
    # the minimum is flat, so both find it to about rounding, which a small angle's square root magnifies
    assert found == pytest.approx(sampled_pressure_angle(pins, 1.0, roller, eccentricity), abs=1e-7)


def test_the_least_pressure_angle_where_it_is_hardest_to_find():
    # of 400 000 random sound drives the one on which two steps of Newton's rule are worst, 3e-4 off
    numbers = 3, 1.0, 0.98976 * np.sin(np.pi / 3), 0.35761 / 3
    assert limits.least_pressure_angle(*numbers) == pytest.approx(sampled_pressure_angle(*numbers), abs=1e-7)


@pytest.mark.parametrize(
    "numbers", [(20, 42.0, 6.4, 1.9), (20, 42.0, 6.5, 2.08), (12, 40.0, 10.0, 3.2), (20, 42.0, 5.0, 2.6)]
)
def test_undercut_and_looped_drives_have_a_least_pressure_angle_too(numbers):
    # where it is 0 the sampled angle has a corner, found to the search's own 1e-10 times its slope
    assert limits.least_pressure_angle(*numbers) == pytest.approx(sampled_pressure_angle(*numbers), abs=1e-6)


def test_most_sound_drives_have_more_than_a_gears_limit_and_some_have_less():
    # a gear's 20 to 30 degrees: any handbook of gears, from memory
    assert np.degrees(limits.least_pressure_angle(20, 42.0, 5.0, 1.4)) > 40
    assert limits.check(Drive(12, 40.0, 2.0, 3.0)).sound
    assert np.degrees(limits.least_pressure_angle(12, 40.0, 2.0, 3.0)) < 30


def test_every_bound_judges_arrays_as_it_judges_single_drives():
    numbers = random_numbers(300, rng=3)
    pins, radius, roller, eccentricity = numbers
    angles, walls = limits.least_pressure_angle(*numbers), limits.wall_between_rollers(pins, radius, roller)
    heights, thumbs = limits.lobe_height(eccentricity), limits.rule_of_thumb_eccentricity(roller)
    for k in range(300):
        drive = Drive(int(pins[k]), radius[k].item(), roller[k].item(), eccentricity[k].item())
        report = limits.check(drive, advice=True, least_wall=1.0, resolution=1.0)
        assert [report[name].bound for name in ("rule of thumb", "wall", "lobe height")] == pytest.approx(
            [thumbs[k], walls[k], heights[k]], rel=1e-13
        )  # an array's and a number's last digit can differ
        assert report["pressure angle"].value == pytest.approx(angles[k], abs=1e-12)
        assert 0 <= report["pressure angle"].value < np.pi / 2


def test_bad_numbers_are_refused_by_each_bound():
    with pytest.raises(ValueError, match="roller_radius contains -1"):
        limits.wall_between_rollers(20, 42.0, -1.0)
    with pytest.raises(ValueError, match="roller_radius contains 0"):
        limits.rule_of_thumb_eccentricity(0.0)
    with pytest.raises(ValueError, match="eccentricity contains 0"):
        limits.lobe_height(0.0)
    with pytest.raises(ValueError, match="eccentricity contains nan"):
        limits.least_pressure_angle(20, 42.0, 5.0, float("nan"))
