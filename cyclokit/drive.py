"""The four numbers that fix a drive's shape."""

from dataclasses import dataclass

from cyclokit.arguments import checked_count, checked_length
from cyclokit.texts import in_table

FEWEST_PINS, MOST_PINS = 3, 10_000  # fewer hold no disc


@dataclass(frozen=True, repr=False)
class Drive:
    """The shape of a cycloidal drive: ring pins round a disc with one lobe fewer.

    Any numbers with which a curve can be drawn are accepted, a bad drive's too:
    whether the drive can turn is for `cyclokit.geometry.limits.check` to say.

    Parameters
    ----------
    pins : int
        Number N of ring pins, 3 to 10 000.
    pin_circle_radius : float
        Radius Rp of the circle on which the pins' centres stand [mm].
    roller_radius : float
        Radius r of the roller on each pin, or of the bare pin [mm].
    eccentricity : float
        Distance e of the disc's centre from the ring's centre [mm].

    Raises
    ------
    TypeError
        If `pins` is not a whole number, or a length is not a number.
    ValueError
        If there are too few or too many pins, or a length is not finite, not above
        zero, or outside 1e-6 to 1e6 mm.

    Examples
    --------
    >>> drive = Drive(pins=20, pin_circle_radius=42.0, roller_radius=5.0, eccentricity=1.4)
    >>> drive.lobes, drive.ratio, round(drive.trochoid_ratio, 4)
    (19, 19, 0.6667)
    >>> drive.root_circle_radius  # mm
    35.6
    """

    pins: int
    pin_circle_radius: float
    roller_radius: float
    eccentricity: float

    def __post_init__(self) -> None:
        # object.__setattr__ is how a frozen dataclass stores a checked value
        object.__setattr__(self, "pins", checked_pins(self.pins))
        for name in ("pin_circle_radius", "roller_radius", "eccentricity"):
            object.__setattr__(self, name, checked_length(name, getattr(self, name)))

    @property
    def lobes(self) -> int:
        """Number of lobes of the disc, N - 1."""
        return self.pins - 1

    @property
    def ratio(self) -> int:
        """Crank turns for one turn of the disc the other way, ring held; equal to the lobes."""
        return self.lobes

    @property
    def trochoid_ratio(self) -> float:
        """K1 = e N / Rp: 0 would be a circle, from 1 on the centre path has cusps or loops."""
        return self.eccentricity * self.pins / self.pin_circle_radius

    @property
    def root_circle_radius(self) -> float:
        """Distance of the disc's roots from its centre, Rp - e - r [mm]; below 0 where rollers reach beyond it."""
        return self.pin_circle_radius - self.eccentricity - self.roller_radius

    def __repr__(self) -> str:
        return (
            f"Drive(pins={self.pins}, pin_circle_radius={self.pin_circle_radius!r}, "
            f"roller_radius={self.roller_radius!r}, eccentricity={self.eccentricity!r})"
        )

    def _repr_html_(self) -> str:
        rows = (
            ("ring pins", "N", f"{self.pins}"),
            ("pin circle radius", "Rp", f"{self.pin_circle_radius:g} mm"),
            ("roller radius", "r", f"{self.roller_radius:g} mm"),
            ("eccentricity", "e", f"{self.eccentricity:g} mm"),
            ("lobes", "N - 1", f"{self.lobes}"),
            ("reduction ratio, ring held", "", f"{self.ratio} : 1, output reversed"),
            ("trochoid ratio", "K1", f"{self.trochoid_ratio:.4f}"),
        )
        return in_table("A cycloidal drive", ("what", "symbol", "value"), rows)


def checked_pins(pins: object) -> int:
    """A whole number of pins, 3 to 10 000, as an int; fewer than 3 hold no disc.

    Examples
    --------
    >>> checked_pins(20)
    20
    """
    return checked_count("pins", pins, FEWEST_PINS, MOST_PINS)
