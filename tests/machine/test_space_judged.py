"""What the report on a reducer's room says, against a judge who lays the parts out and looks for overlaps.

Source: GEOS (through shapely), a general-purpose library for plane geometry.
"""

import dataclasses

import numpy as np
import pytest

from cyclokit import Drive
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer
from cyclokit.machine.stock import BEARINGS
from tests.geometry.drives import STORY
from tests.machine import judge

NUMBER = 200
# Rows that fail only where parts really overlap -> what the judge calls it. The others keep a distance on purpose (an
# undercut disc can be milled, a hole may face a lobe, a disc may tilt), and aren't asked for in this direction.
EXACT = {
    "rollers apart": "ring rollers",
    "holes apart": "cuts of the disc",
    "holes clear of the bore": "cuts of the disc",
    "shaft inside the eccentric": "shaft and eccentric",
    "crank bearing between the rollers": "crank bearing and output roller",
    "output rods inside the ring pins": "output rods and ring pins",
    "rod inside the roller": "rod and roller",
    "rod in the ring bearing": "rod and roller",
    "output rod inside its roller": "output rod and roller",
    "spacer round the shaft": "shaft and spacer",
    "spacer reaches the inner rings": "spacer misses the inner ring",
    "spacer on inner rings only": "spacer and outer ring",
    "bearings apart": "bearings",
    "side play inside the gap": "discs",
}
CHANGED = (
    "output_circle_radius", "output_roller_radius", "output_rod_radius", "shaft_radius", "spacer_radius",
    "pin_rod_radius", "disc_thickness", "disc_gap", "axial_clearance", "hole_clearance", "outline_clearance",
)  # fmt: skip


def random_reducer(rng):
    """A reducer of default figures, up to four of which are then changed; its parts go together or not."""
    pins, radius = int(rng.integers(5, 31)), float(rng.uniform(25, 80))
    roller = float(rng.uniform(0.2, 1.05)) * float(limits.half_pin_distance(pins, radius))
    most = float(limits.greatest_eccentricity(pins, radius, min(roller, 0.9 * radius * np.sin(np.pi / pins))))
    drive = Drive(pins, radius, roller, float(rng.uniform(0.3, 1.02)) * most)
    try:
        machine = Reducer(
            drive,
            discs=int(rng.integers(1, 4)),
            hole_phase=float(rng.uniform(0, 1)),
            pin_made=str(rng.choice(["sleeve on rod", "solid", "bearing on rod"])),
            axial_clearance=float(rng.uniform(0, 1.5)),
        )
        for name in rng.choice(CHANGED, rng.integers(0, 5), replace=False):
            if name == "pin_rod_radius" and machine.pin_made == "solid":
                continue
            size = getattr(machine, name) * float(np.exp(rng.normal(0, 0.5)))
            machine = dataclasses.replace(machine, **{str(name): size})
        if rng.random() < 0.3:
            wide = {"eccentric_bearing": str(rng.choice(list(BEARINGS))), "crank_bearing": "61808"}
            machine = dataclasses.replace(machine, **wide)
    except ValueError:  # no default can be chosen, or the shaft is too thick for its bearing
        return None
    return machine


def judged(count, rng):
    """Reports of random reducers, each with what the judge finds at a few crank angles."""
    rng = np.random.default_rng(rng)
    done = []
    while len(done) < count:
        if machine := random_reducer(rng):
            done.append((space.check(machine), judge.faults(machine, rng.uniform(0, 2 * np.pi, 2))))
    return done


@pytest.fixture(scope="module")
def verdicts():
    return judged(NUMBER, rng=5)


def test_where_the_report_says_there_is_room_nothing_overlaps(verdicts):
    sound = [(report, found) for report, found in verdicts if report.sound]
    assert len(sound) > NUMBER / 10
    for report, found in sound:
        assert not found, f"{found}: {report}"


def test_where_an_exact_row_fails_the_judge_sees_that_overlap(verdicts):
    seen = set()
    for report, found in verdicts:
        for limit in report:
            if limit.name in EXACT and limit.margin < -2 * judge.SMALL:
                assert EXACT[limit.name] in found, f"{limit.name}: {report}"
                seen.add(limit.name)
    assert seen == set(EXACT)


def test_the_judge_sees_rods_in_bearings_and_bearings_on_pins():
    assert not judge.faults(Reducer(STORY), [0.0, 1.0])
    assert judge.faults(Reducer(STORY, pin_rod_radius=1.7), [0.0]) == {"rod and roller"}
    wide = Reducer(STORY, pin_bearing="61800", disc_gap=1.0, disc_thickness=3.9, eccentric_bearing="688")
    assert "ring bearings" in judge.faults(wide, [0.0])
    assert not space.check(wide)["ring bearings apart"].ok
