"""What draws is given plain numbers and texts, and refuses by its name whatever isn't one."""

from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import ArrayLike

from cyclokit.signatures import FARTHEST, read


@read
def _drawn(x: float, word: str, count: int, points: ArrayLike, dashes: Sequence[float] = (), style: str | None = None):
    """What it was given."""
    return x, word, count, points, dashes, style


RIGHT = {"x": 1.0, "word": "a", "count": 2, "points": [[1.0, 2.0]], "dashes": (1.0,), "style": "b"}


def test_what_is_right_goes_in_unchanged():
    assert _drawn(*RIGHT.values()) == _drawn(**RIGHT) == tuple(RIGHT.values())
    assert _drawn(1, "a", np.int64(2), [[1]]) == (1, "a", 2, [[1]], (), None)
    assert _drawn.__doc__ == "What it was given."


@pytest.mark.parametrize("how", ["by place", "by name"])
@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("x", float("nan")),
        ("x", 2 * FARTHEST),
        ("x", True),
        ("x", "1"),
        ("word", 1),
        ("count", 0),
        ("count", 2.0),
        ("points", [[np.inf, 0.0]]),
        ("points", [[2 * FARTHEST, 0.0]]),
        ("points", None),
        ("dashes", "ab"),
        ("dashes", (1.0, "b")),
        ("dashes", 1.0),
        ("style", 1),
    ],
)
def test_what_is_wrong_is_refused_by_its_name(name, wrong, how):
    given = RIGHT | {name: wrong}
    with pytest.raises((TypeError, ValueError), match=rf"^{name} "):
        _drawn(*given.values()) if how == "by place" else _drawn(**given)
