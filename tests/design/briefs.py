"""Briefs that several tests use, and a judge of designs by the reports alone."""

import dataclasses

from hypothesis import strategies as st

from cyclokit.design import demands
from cyclokit.design.brief import ASKED_AS, Brief, rollers_at_hand
from cyclokit.geometry import limits
from cyclokit.machine import space
from cyclokit.machine.stock import Bearing

STORYS = Brief(19, 110, ["623"])
# a small machine, for which everything can be tried one by one
SMALL = Brief(
    5,
    60,
    [3.0],
    least_wall=0.5,
    resolution=0.3,
    running_gap=0.2,
    output_rollers=4,
    eccentric_bearings=[Bearing("small", 8.0, 11.0, 3.0)],
    shaft_diameter=3.0,
)


def rows(reducer, brief):
    """All rows by which a design of a brief is judged."""
    return [
        *limits.check(reducer.drive, resolution=brief.resolution),
        *space.check(reducer, least_wall=brief.least_wall, resolution=brief.resolution),
        *demands.check(brief, reducer),
    ]


def meets(reducer, brief):
    """Whether a design meets a brief by the reports alone, and is made of what is at hand."""
    at_hand = [(roller.radius, roller.rod_radius) for roller in rollers_at_hand(brief)]
    asked = (brief.ratio, brief.discs, brief.output_rollers, brief.running_gap, brief.shaft_diameter / 2)
    return (
        all(row.ok for row in rows(reducer, brief))
        and (reducer.drive.roller_radius, reducer.pin_rod_radius) in at_hand
        and (reducer.output_roller_radius, reducer.output_rod_radius) in at_hand
        and reducer.eccentric_bearing.name in [getattr(item, "name", item) for item in brief.eccentric_bearings]
        and asked
        == (
            reducer.drive.ratio,
            reducer.discs,
            reducer.output_rollers,
            reducer.running_gap,
            reducer.shaft_radius,
        )
    )


@st.composite
def briefs(draw):
    """Briefs of a workshop's kind; some can be met and some can't."""
    sizes = st.one_of(st.sampled_from(["623", "624"]), st.integers(20, 100).map(lambda tenths: tenths / 10))
    return Brief(
        ratio=draw(st.integers(5, 30)),
        greatest_outer_diameter=draw(st.integers(550, 1100)) / 10,
        roller_diameters=draw(st.lists(sizes, min_size=1, max_size=2)),
        least_wall=draw(st.integers(4, 20)) / 10,
        resolution=draw(st.integers(1, 8)) / 10,
        running_gap=draw(st.integers(5, 50)) / 100,
        least_share=draw(st.integers(0, 50)) / 100,
        greatest_share=draw(st.integers(60, 95)) / 100,
        output_rollers=draw(st.integers(3, 8)),
        discs=draw(st.integers(1, 3)),
        outline_clearance=draw(st.integers(0, 20)) / 100,
        eccentric_bearings=draw(st.sampled_from([("61800",), ("61804", "61800")])),
    )


def eased_brief(brief, relaxations):
    for relaxation in relaxations:
        name = "ratio" if relaxation.demand == "ratio" else ASKED_AS[relaxation.demand]
        assert relaxation.asked == getattr(brief, name)
        brief = dataclasses.replace(brief, **{name: relaxation.needed})
    return brief
