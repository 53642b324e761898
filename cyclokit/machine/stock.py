"""What is bought: bearings by their boundary dimensions, and materials as ranges.

Bearings: ISO 15, boundary dimensions of radial bearings (and the wider shielded forms of two miniature ones, as makers
list them). Load ratings differ between makers and aren't here: take the maker's.
Materials: each row names its source. A source's figures are those of a few specimens made with care; printers, melts
and bars differ by more, so the ranges are wider than the sources', by what is remembered of others.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from cyclokit.arguments import checked_length
from cyclokit.report import SLACK
from cyclokit.signatures import Length, read
from cyclokit.texts import plain, shown


@dataclass(frozen=True)
class Bearing:
    """A radial ball bearing by its boundary dimensions.

    Attributes
    ----------
    name : str
        Its designation, such as "623", or a name of your own.
    bore_diameter, outer_diameter, width : float
        d, D and B of ISO 15 [mm], above zero, the bore below the outer diameter.

    Examples
    --------
    >>> BEARINGS["623"].bore_diameter, BEARINGS["623"].shoulder_radius  # mm
    (3.0, 2.375)
    """

    name: str
    bore_diameter: float
    outer_diameter: float
    width: float

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not self.name or plain(self.name) != self.name:
            raise ValueError(
                f"name is {shown(self.name)}, but a bearing needs a text that can be read, such as '623': "
                "give its designation."
            )
        for field in ("bore_diameter", "outer_diameter", "width"):
            object.__setattr__(self, field, checked_length(field, getattr(self, field)))
        if self.bore_diameter >= self.outer_diameter:
            raise ValueError(
                f"bore_diameter is {self.bore_diameter:g} mm, but must be below outer_diameter, "
                f"{self.outer_diameter:g}: look whether the two are swapped."
            )

    @property
    def shoulder_radius(self) -> float:
        """Radius up to which a neighbour surely touches the inner ring only [mm].

        A quarter of the way from bore to outside: common practice, no source. ISO 15 doesn't say how thick the
        rings are; a maker's table of abutments may allow more.
        """
        return (self.bore_diameter + (self.outer_diameter - self.bore_diameter) / 4) / 2

    @property
    def lip_radius(self) -> float:
        """Least radius of what surely touches the outer ring only [mm], as `shoulder_radius` from inside.

        Examples
        --------
        >>> BEARINGS["61804"].lip_radius  # mm
        14.5
        """
        return self.outer_diameter / 2 - (self.outer_diameter - self.bore_diameter) / 8


BEARINGS = {
    name: Bearing(name, bore, outer, width)
    for name, bore, outer, width in (
        ("623", 3.0, 10.0, 4.0),
        ("624", 4.0, 13.0, 5.0),
        ("625", 5.0, 16.0, 5.0),
        ("626", 6.0, 19.0, 6.0),
        ("607", 7.0, 19.0, 6.0),
        ("608", 8.0, 22.0, 7.0),
        ("686", 6.0, 13.0, 3.5),
        ("686ZZ", 6.0, 13.0, 5.0),  # ZZ: shielded on both sides
        ("688", 8.0, 16.0, 4.0),
        ("688ZZ", 8.0, 16.0, 5.0),
        ("61800", 10.0, 19.0, 5.0),
        ("61801", 12.0, 21.0, 5.0),
        ("61802", 15.0, 24.0, 5.0),
        ("61803", 17.0, 26.0, 5.0),
        ("61804", 20.0, 32.0, 7.0),
        ("61805", 25.0, 37.0, 7.0),
        ("61806", 30.0, 42.0, 7.0),
        ("61807", 35.0, 47.0, 7.0),
        ("61808", 40.0, 52.0, 7.0),
        ("61900", 10.0, 22.0, 6.0),
        ("61904", 20.0, 37.0, 9.0),
        ("61905", 25.0, 42.0, 9.0),
    )
}


@read
def first_taking(bearings: Sequence[Bearing], diameter: Length) -> Bearing | None:
    """The first of some bearings whose bore takes a diameter [mm], give or take rounding; None if none does.

    Examples
    --------
    >>> first_taking([BEARINGS["623"], BEARINGS["688ZZ"]], 7.4).name
    '688ZZ'
    """
    return next((bearing for bearing in bearings if diameter <= bearing.bore_diameter + SLACK), None)


@dataclass(frozen=True)
class Material:
    """A material's figures, each from the least to the greatest to reckon with before a specimen is tested.

    Attributes
    ----------
    name : str
        Name.
    modulus : tuple of float
        Young's modulus [MPa].
    strength : tuple of float
        Tensile strength, of a print along its layers [MPa].
    strength_across : tuple of float or None
        Strength across a print's layers [MPa]; None where no source says, the same where there are no layers.
    density : tuple of float
        Of the solid material [t/mm^3, which is N s^2/mm^4]; a print with hollows weighs less.
    source : str
        Where the figures are from.
    """

    name: str
    modulus: tuple[float, float]
    strength: tuple[float, float]
    strength_across: tuple[float, float] | None
    density: tuple[float, float]
    source: str


_WEIGHED = "; density from memory"
_WIDER = "; widened by how prints differ, from memory" + _WEIGHED
MATERIALS = {
    material.name: material
    for material in (
        Material(
            "bearing steel",
            (204e3, 212e3),
            (1570.0, 1960.0),
            (1570.0, 1960.0),
            (7.8e-9, 7.85e-9),
            "NSK rolling bearings catalogue, appendix 8; modulus 2 % either way, from memory" + _WEIGHED,
        ),
        Material(
            "plain steel",  # a drawn bar or a rod from a shop, not hardened, stainless or not
            (190e3, 212e3),
            (400.0, 850.0),
            (400.0, 850.0),
            (7.8e-9, 8.0e-9),
            "all from memory; the bar's certificate says more",
        ),
        Material(
            "PLA",
            (2300.0, 4000.0),
            (35.0, 65.0),
            (15.0, 45.0),
            (1.2e-9, 1.25e-9),
            "PMC10113796, Table 6, and a supplier's range" + _WIDER,
        ),
        Material(
            "PETG",
            (1400.0, 2200.0),
            (30.0, 56.0),
            (15.0, 38.0),
            (1.25e-9, 1.29e-9),
            "PMC10113796, Table 6, and a supplier's range" + _WIDER,
        ),
        Material(
            "ABS",
            (1400.0, 3200.0),
            (25.0, 40.0),
            None,
            (1.03e-9, 1.07e-9),
            "PMC10113796; PMC10406103" + _WIDER,
        ),
        Material(
            "PA12, sintered",
            (1300.0, 1900.0),
            (38.0, 52.0),
            None,
            (0.93e-9, 1.01e-9),
            "PMC10113796" + _WIDER,
        ),
        Material(
            "POM homopolymer",
            (2800.0, 3300.0),
            (65.0, 75.0),
            (65.0, 75.0),
            (1.41e-9, 1.43e-9),
            "Engineering Plastics Handbook, Table 5.5; widened by how makers differ, from memory" + _WEIGHED,
        ),
        Material(
            "POM copolymer",
            (2400.0, 2900.0),
            (58.0, 68.0),
            (58.0, 68.0),
            (1.39e-9, 1.42e-9),
            "Engineering Plastics Handbook, Table 5.5; widened by how makers differ, from memory" + _WEIGHED,
        ),
    )
}
