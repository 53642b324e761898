"""A disc's section, its holes and bore taken out: area, centroid and second moments."""

from dataclasses import dataclass

import numpy as np

from cyclokit.arguments import Floats, checked_kind
from cyclokit.drive import Drive
from cyclokit.geometry import outline
from cyclokit.machine import space
from cyclokit.machine.reducer import Reducer

SAMPLES = 64  # a lobe to begin with
MOST_SAMPLES = 2**21  # in all; an outline that needs more is torn


@dataclass(frozen=True)
class Section:
    """Area of a disc and its moments about the disc's centre, roots and holes where disc 0 has them.

    Attributes
    ----------
    area : float
        Area A [mm^2].
    centroid : tuple of float
        Its centroid, x and y from the disc's centre [mm].
    second_moments : tuple of float
        Integrals of y^2, of x^2 and of x y over the area [mm^4].

    Examples
    --------
    >>> whole = Section(area=np.pi, centroid=(0.0, 0.0), second_moments=(0.75, 0.75, 0.0))
    >>> whole.polar_moment  # mm^4
    1.5
    """

    area: float
    centroid: tuple[float, float]
    second_moments: tuple[float, float, float]

    @property
    def polar_moment(self) -> float:
        """Integral of x^2 + y^2 over the area [mm^4]."""
        return self.second_moments[0] + self.second_moments[1]


def section(reducer: Reducer) -> Section:
    """Area, centroid and second moments of a disc, its holes and bore taken out.

    Of the running disc: the outline moved in by its clearance, holes with theirs, allowances left out.

    Raises
    ------
    ValueError
        If the trochoid ratio is so near 1 that the outline is torn, or the holes meet each other, the bore or the
        root circle.

    Notes
    -----
    Green's theorem turns the integral over the area into one round the outline; evenly spaced samples sum a smooth
    closed curve's integral exactly but for rounding, once they are close enough. A hole of area A has A R^2/4 about an
    axis through its centre, and A times the distance squared more about the disc's (Steiner, any handbook). Three holes
    or more, evenly spaced, come to the same about every axis: Rw^2/2 each on average, wherever the first one stands.

    Examples
    --------
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> round(section(machine).area, 2)  # mm^2
    3103.76
    """
    checked_kind("reducer", reducer, Reducer)
    cut = space.bounds(space.lengths(reducer))
    for name in ("holes apart", "holes inside the roots", "holes clear of the bore"):
        value, bound = cut[name]
        if not value < bound:
            raise ValueError(
                f"reducer has output holes that aren't {name.removeprefix('holes ')}, {value:g} mm against {bound:g}: "
                "see what space.check says, and change it first."
            )
    whole = _outline_moments(reducer.disc_drive)
    circle, hole, bore = reducer.output_circle_radius, reducer.hole_radius, reducer.bore_radius
    hole_area, bore_area = np.pi * hole**2, np.pi * bore**2
    area = reducer.output_rollers * hole_area + bore_area
    about_axis = reducer.output_rollers * hole_area * (hole**2 / 4 + circle**2 / 2) + bore_area * bore**2 / 4
    left = whole - np.array([area, 0.0, 0.0, about_axis, about_axis, 0.0])
    about_x, about_y, mixed = left[3:]
    return Section(
        float(left[0]),
        (float(left[1] / left[0]), float(left[2] / left[0])),
        (float(about_x), float(about_y), float(mixed)),
    )


def _outline_moments(drive: Drive) -> Floats:
    """Area and its integrals of x, y, y^2, x^2 and x y, by sums that are doubled until nothing changes."""
    samples = SAMPLES * drive.lobes
    coarse = _boundary_sums(drive, samples)
    while samples < MOST_SAMPLES:
        samples *= 2
        fine = _boundary_sums(drive, samples)
        size = drive.pin_circle_radius ** np.array([2, 3, 3, 4, 4, 4])
        if (np.abs(fine - coarse) <= 1e-12 * size).all():
            return fine
        coarse = fine
    raise ValueError(
        f"drive has a trochoid ratio of {drive.trochoid_ratio:.9g}, so near 1 that its outline is torn: "
        "choose a smaller eccentricity."
    )


def _boundary_sums(drive: Drive, samples: int) -> Floats:
    t = 2 * np.pi * np.arange(samples) / samples
    x, y = outline.points(drive, t).T
    along = np.fft.ifft(2j * np.pi * np.fft.fftfreq(samples) * np.fft.fft(x + 1j * y))  # exact for a smooth curve
    step_x, step_y = along.real, along.imag
    sweep = x * step_y - y * step_x  # twice the area that the ray from the centre sweeps over
    return np.array(
        [sweep / 2, x * sweep / 3, y * sweep / 3, y * y * sweep / 4, x * x * sweep / 4, x * y * sweep / 4]
    ).sum(axis=1)
