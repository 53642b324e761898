"""Whether a drive is sound, judged by its finely sampled outline alone.

No trochoid ratio and no curvature is used: the centre path is sampled over a lobe, finer where it
nearly stops, offset inwards along its own chords' normals, and looked at.
"""

import numpy as np

SAMPLES = 1200


def is_sound(pins, pin_circle_radius, roller_radius, eccentricity):
    """Whether the offset runs the path's way everywhere, no roller centre comes nearer to it than r,
    and neighbouring rollers lie apart by the distance of their centres."""
    gap = np.abs(1 - np.exp(2j * np.pi / pins)) * pin_circle_radius
    if 2 * roller_radius >= gap:
        return False
    t = _parameters(pins, pin_circle_radius, eccentricity)
    path = pin_circle_radius * np.exp(1j * t) - eccentricity * np.exp(1j * pins * t)
    steps = np.diff(path)
    if (np.abs(steps) == 0).any() or (steps[:-1].conj() * steps[1:]).real.min() <= 0:
        return False  # it stops or turns back: a cusp
    if ((path[:-1].conj() * steps).imag <= 0).any():
        return False  # it runs back round the centre: a loop
    normals = -1j * steps / np.abs(steps)
    outline = (path[:-1] + path[1:]) / 2 - roller_radius * normals
    along = np.diff(outline)
    if ((steps[1:] + steps[:-1]).conj() * along).real.min() <= 0:
        return False  # the outline runs backwards: undercut
    whole = np.concatenate([outline * np.exp(2j * np.pi * k / (pins - 1)) for k in (-1, 0, 1)])
    centres = path[:: SAMPLES // 60]
    return bool(np.abs(centres[:, None] - whole).min() >= roller_radius * (1 - 1e-3))


def _parameters(pins, radius, eccentricity):
    """Parameters over one lobe from tip to tip, so that path and turning both advance evenly."""
    lobe = 2 * np.pi / (pins - 1)
    t = np.linspace(-lobe / 2, lobe / 2, 40 * SAMPLES + 1)
    path = radius * np.exp(1j * t) - eccentricity * np.exp(1j * pins * t)
    steps = np.diff(path)
    turning = np.abs(np.angle(steps[1:] * steps[:-1].conj()))
    length = np.abs(steps)
    need = length / length.sum() + np.concatenate([turning, turning[-1:]]) / max(turning.sum(), 1e-9)
    total = np.concatenate([[0], np.cumsum(need)])
    return np.interp(np.linspace(0, total[-1], SAMPLES + 1), total, t)
