"""Forces and couple in the cut: the arrows are read back and held against what the unbalance says.

That the forces of evenly phased discs cancel and that two leave a moment m e a: `mechanics.balance`, checked elsewhere.
"""

import numpy as np
import pytest

from cyclokit.machine.reducer import Reducer
from cyclokit.mechanics import balance
from cyclokit.view import couple_figure, cut
from tests.geometry.drives import STORY


def arrows(ax):
    """Start and end of each force."""
    found = [note for note in ax.texts if not note.get_text() and note.arrowprops["arrowstyle"] == "-|>"]
    return np.array([[note.xyann, note.xy] for note in found])


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_forces_start_in_the_discs_planes_and_cancel_from_two_on(discs):
    machine = Reducer(STORY, discs=discs)
    ax = couple_figure.couple(machine)
    forces = arrows(ax)
    assert forces[:, 0, 0].tolist() == cut.middles(machine).tolist()
    assert forces[:, 1, 0].tolist() == forces[:, 0, 0].tolist()  # square to the axis
    assert np.allclose(forces[:, 0, 1], cut.offsets(machine)[:, 0])
    pulls = forces[:, 1, 1] - forces[:, 0, 1]
    assert (np.sign(pulls) == np.sign(forces[:, 0, 1])).all()  # outwards
    assert (abs(pulls.sum()) < 1e-9) == (discs > 1)
    planes = [line.get_xdata()[0] for line in ax.get_lines() if line.get_gid() == "plane"]
    assert planes == cut.middles(machine).tolist()


def test_the_bent_arrow_tilts_as_the_two_forces_do():
    machine = Reducer(STORY)
    ax = couple_figure.couple(machine)
    forces = arrows(ax)
    moment = (forces[:, 0, 0] * (forces[:, 1, 1] - forces[:, 0, 1])).sum()  # counter-clockwise above zero
    (bent,) = (patch for patch in ax.patches if patch.get_gid() is None and hasattr(patch, "_posA_posB"))
    (x1, y1), (x2, y2) = bent._posA_posB
    about = cut.middles(machine).mean()
    assert np.sign((x1 - about) * y2 - (x2 - about) * y1) == np.sign(moment)
    pulls = abs(forces[:, 1, 1] - forces[:, 0, 1])
    left = balance.unbalance(machine)
    mass_by_e = balance.disc_mass_g(machine)[1] * STORY.eccentricity
    assert abs(moment) / pulls[0] * mass_by_e == pytest.approx(left.couple_g_mm2[1])


@pytest.mark.parametrize("discs", [1, 2, 3])
def test_every_part_has_its_name_once(discs):
    machine = Reducer(STORY, discs=discs)
    named = [note.get_text() for note in couple_figure.couple(machine).texts]
    wanted = {"bearing", "eccentric", "crank", *list(("disc", "second disc", "third disc")[:discs])}
    assert wanted <= set(named)
    assert len([name for name in named if name in wanted]) == len(wanted)
    assert ("couple" in named) == (discs == 2)
    assert couple_figure.words(machine)
