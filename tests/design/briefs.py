"""Briefs that several tests use, and a judge of designs by the reports alone."""

import dataclasses

from hypothesis import strategies as st

from cyclokit.design.brief import Brief
from cyclokit.geometry import limits
from cyclokit.machine import space

STORYS = Brief(19, 110.0, ("623",))
FEW = 60_000  # candidates: enough for what is asked here
ROUND = 1e-9


def meets(reducer, brief):
    """Whether a design meets a brief by the reports alone."""
    shape = limits.check(reducer.drive, least_wall=brief.least_wall, resolution=brief.resolution)
    room = space.check(reducer, least_wall=brief.least_wall)
    fits = space.outer_diameter(reducer) <= brief.greatest_outer_diameter + ROUND
    made_of = {r if isinstance(r, float) else 5.0 for r in brief.rollers}  # the briefs here know one bearing, the 623
    return (
        all(limit.ok for report in (shape, room) for limit in report)
        and fits
        and reducer.drive.ratio == brief.ratio
        and reducer.drive.roller_radius in made_of
        and reducer.output_roller_radius in made_of
        and reducer.output_rollers == brief.output_rollers
        and reducer.eccentric_bearing.name in brief.eccentric_bearings
    )


@st.composite
def briefs(draw):
    """Briefs of a workshop's kind; some can be met and some can't."""
    return Brief(
        ratio=draw(st.integers(5, 40)),
        greatest_outer_diameter=draw(st.floats(40, 200)),
        rollers=tuple(draw(st.lists(st.floats(1, 6), min_size=1, max_size=2))),
        least_wall=draw(st.floats(0.4, 5)),
        resolution=draw(st.floats(0.1, 3)),
        output_rollers=draw(st.integers(3, 8)),
        outline_clearance=draw(st.floats(0, 0.2)),
        eccentric_bearings=("61800", "61804"),
    )


def eased_brief(brief, relaxations):
    for relaxation in relaxations:
        name = {"outer diameter": "greatest_outer_diameter", "least wall": "least_wall"}.get(
            relaxation.demand, relaxation.demand
        )
        asked = getattr(brief, name)
        assert relaxation.asked == (min(asked) if name == "rollers" else asked)
        needed = (relaxation.needed,) if name == "rollers" else relaxation.needed
        brief = dataclasses.replace(brief, **{name: needed})
    return brief
