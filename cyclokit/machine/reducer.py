"""A drive dressed as a machine: output rollers and holes, discs, shaft, bearings, pins, materials, clearances.

What is a clearance, needed so that the machine runs, and what is an allowance, made up for what the printer does,
are kept apart. What is chosen where nothing is given stands in `defaults`, the file it is kept in in `reducer_file`,
how a figure is declared in `declared`.
"""

from dataclasses import KW_ONLY, dataclass, field, fields, replace
from typing import Any

from cyclokit.arguments import checked_kind
from cyclokit.drive import Drive
from cyclokit.machine import defaults, frame
from cyclokit.machine.declared import BELOW_ONE, attributes, declare, figures_of
from cyclokit.machine.hardware import FASTENINGS, SCREWS
from cyclokit.machine.stock import BEARINGS, MATERIALS, Bearing, Material
from cyclokit.texts import in_html, in_table, shown

ALLOWANCE = (-5.0, 5.0)  # mm; as of a clearance
DEPTH = (-0.5, 0.5)  # mm; more than two layers are a slip
SHARE = (-0.02, 0.02)  # no plastic shrinks by more than 4 parts in a hundred: from memory
SUPPORTS = ("both ends", "one end")
DRIVE = tuple(field.name for field in fields(Drive))


def _eccentric_bearing(reducer: "Reducer") -> Bearing:
    """The smallest that the crank's journals pass, where their bearing is chosen too and output rollers keep room."""
    shaft, eccentricity, wall = reducer.shaft_radius, reducer.drive.eccentricity, reducer.least_wall
    smallest = defaults.eccentric_bearing(shaft, eccentricity, wall)
    if reducer.crank_bearing:
        return smallest
    clearances = (reducer.hole_clearance, reducer.outline_clearance)
    try:
        wider = defaults.eccentric_bearing(shaft, eccentricity, max(wall, defaults.journal_wall(shaft)))
        if not reducer.output_roller_radius:
            defaults.output_roller_radius(reducer.drive, wider.outer_diameter / 2, wall, *clearances)
    except ValueError:
        return smallest
    return wider


@dataclass(frozen=True)
class Reducer:
    """A cycloidal drive as a machine; whatever isn't given is chosen to suit the drive.

    Any figures that can be drawn are accepted: whether they go together is for `cyclokit.machine.space.check`.

    Attributes
    ----------
    drive : Drive
        The four numbers of the drive.
    given : tuple of str
        Names of the figures that were given; the others were chosen. Reducers are equal whichever were.

    Raises
    ------
    TypeError
        If a figure is of another kind: a text for a length, say.
    ValueError
        If one is out of its range, or can't be chosen because the drive leaves no room.

    Notes
    -----
    The defaults: a shaft of 5 mm (NEMA ICS 16, the shaft of size 17), the smallest bearing of the table that holds
    it and the eccentricity and passes the crank's journals, output rollers like the ring's, farther out than in.
    Walls, gaps and clearances are common practice, no source. A figure that is chosen may look at all that are given,
    and at those above it.

    Examples
    --------
    >>> machine = Reducer(Drive(20, 42.0, 5.0, 1.4))
    >>> machine.output_rollers, machine.output_circle_radius, machine.eccentric_bearing.name
    (6, 26.0, '61801')
    >>> round(machine.hole_radius, 3), machine.bore_radius, machine.ring_bearing.name, machine.disc_pitch  # mm
    (6.5, 10.5, '623', 6.0)
    >>> machine.disc_drive.roller_radius, machine.disc_strength  # mm, MPa
    (5.1, (30.0, 56.0))
    >>> list(machine.figures())[:5]
    ['pins', 'pin_circle_radius', 'roller_radius', 'eccentricity', 'discs']
    """

    drive: Drive
    _: KW_ONLY
    discs: int = declare("count", "Number of equally phased discs.", 2, allowed=(1, 3))
    least_wall: float = declare(
        "length",
        "Thinnest wall that the workshop can make [mm]: sizes and numbers that aren't given are chosen to leave it.",
        defaults.LEAST_WALL,
    )
    running_gap: float = declare(
        "length",
        "Gap that turning ring rollers keep from each other, and parts that turn from the housing [mm].",
        defaults.RUNNING_GAP,
    )
    hole_clearance: float = declare(
        "number",
        "What the output holes' radius has beyond roller plus eccentricity [mm].",
        0.1,
        allowed=defaults.CLEARANCE,
    )
    outline_clearance: float = declare(
        "number",
        "How far the disc's outline is moved inwards, so that it runs without jamming [mm].",
        0.1,
        allowed=defaults.CLEARANCE,
    )
    axial_clearance: float = declare("number", "Side play of each disc [mm].", 0.2, allowed=defaults.CLEARANCE)
    shaft_radius: float = declare("length", "Radius of the crank's shaft [mm].", 2.5)
    eccentric_bearing: Bearing = declare(
        "bearing",
        "The bearing in each disc, on its eccentric: a designation from `cyclokit.machine.stock.BEARINGS`, or a "
        "Bearing.",
        choose=lambda r: _eccentric_bearing(r),
    )
    crank_bearing: Bearing = declare(
        "bearing",
        "The bearing in which the crank runs, in the motor's plate and in the middle of the output rods' carrier.",
        choose=lambda r: defaults.crank_bearing(r.shaft_radius),
    )
    output_roller_radius: float = declare(
        "length",
        "Radius of each output roller [mm].",
        choose=lambda r: defaults.output_roller_radius(
            r.drive, r.bore_radius, r.least_wall, r.hole_clearance, r.outline_clearance
        ),
    )
    output_circle_radius: float = declare(
        "length",
        "Radius Rw of the circle on which the output rollers' centres stand [mm].",
        choose=lambda r: defaults.output_circle_radius(r.disc_drive, r.hole_radius, r.bore_radius, r.least_wall),
    )
    output_rollers: int = declare(
        "count",
        "Number Zw of output rollers, evenly spaced.",
        allowed=(3, 100),
        choose=lambda r: defaults.output_rollers(r.output_circle_radius, r.hole_radius, r.least_wall),
    )
    hole_phase: float = declare(
        "number",
        "Where hole 0 of disc 0 lies, counter-clockwise from root 0, in lobe pitches. At 0.25 two discs "
        "are always the same part, if they are alike on both faces.",
        0.25,
        allowed=(0.0, BELOW_ONE),
    )
    pin_made: str = declare(
        "choice",
        "How a ring pin is made.",
        allowed=defaults.PINS_MADE,
        choose=lambda r: defaults.pin_made(r.drive.roller_radius, r.pin_bearing),
    )
    pin_bearing: Bearing | None = declare(
        "bearing",
        "The bearing that is a ring pin's roller, one a disc and pin; None where pins are made in another way.",
        choose=lambda r: (
            defaults.pin_bearing(r.drive.roller_radius, r.pin_rod_radius) if r.pin_made == "bearing on rod" else None
        ),
    )
    pin_rod_radius: float = declare(
        "length",
        "Radius of the rod that carries sleeve or bearing [mm]; a solid pin's own.",
        choose=lambda r: defaults.rod_radius(r.drive.roller_radius, r.pin_made, r.ring_bearing),
    )
    pin_support: str = declare("choice", "Where ring pins are held.", SUPPORTS[0], allowed=SUPPORTS)
    output_rod_radius: float = declare(
        "length",
        "Radius of the rod that carries an output roller [mm]; a solid roller's own.",
        choose=lambda r: defaults.output_rod_radius(r.output_roller_radius, r.drive.roller_radius, r.pin_rod_radius),
    )
    output_support: str = declare(
        "choice",
        "Where output rods are judged to be held: in the carrier alone, the cautious choice where a second plate is "
        "carried by nothing but the rods, or in a plate on the discs' other side as well.",
        SUPPORTS[1],
        allowed=SUPPORTS,
    )
    output_plates: int = declare(
        "count",
        "How many plates a bench machine's output rods stand in: 2 are the flange and a second plate beyond the discs; "
        "1 is the flange, and a collar on each rod's free end keeps its rollers on.",
        2,
        allowed=(1, 2),
    )
    disc_thickness: float = declare(
        "length", "Thickness of each disc [mm].", choose=lambda r: r.eccentric_bearing.width
    )
    disc_gap: float = declare(
        "length",
        "Free distance between two discs [mm].",
        choose=lambda r: defaults.disc_gap(r.disc_thickness, r.eccentric_bearing, r.ring_bearing),
    )
    spacer_radius: float = declare(
        "length",
        "Radius of the round spacers on the shaft between the eccentrics' bearings [mm].",
        choose=lambda r: defaults.spacer_radius(r.shaft_radius, r.drive.eccentricity, r.eccentric_bearing),
    )
    housing_wall: float = declare(
        "length",
        "Wall of the housing round rollers and discs, running gap included [mm].",
        choose=lambda r: defaults.housing_wall(r.drive.pin_circle_radius, r.least_wall, r.running_gap),
    )
    disc_material: str = declare("choice", "The discs' material.", "PETG", allowed=tuple(MATERIALS))
    roller_material: str = declare("choice", "The rollers' material.", "bearing steel", allowed=tuple(MATERIALS))
    rod_material: str = declare("choice", "The rods' material.", "plain steel", allowed=tuple(MATERIALS))
    housing_material: str = declare("choice", "The housing's material.", "PETG", allowed=tuple(MATERIALS))
    print_orientation: str = declare(
        "choice",
        "How the disc is printed: flat, loaded along its layers, or upright, loaded across them.",
        "flat",
        allowed=("flat", "upright"),
    )
    hole_allowance: float = declare(
        "number",
        "What the maker adds to a hole's radius because the printer makes holes small [mm]. A calibration print "
        "decides; 0 until then. No fit is judged by it.",
        0.0,
        allowed=ALLOWANCE,
    )
    outline_allowance: float = declare(
        "number",
        "What the maker moves an outline inwards by because the printer makes outlines large [mm], as above.",
        0.0,
        allowed=ALLOWANCE,
    )
    hole_allowance_share: float = declare(
        "number", "What is added to `hole_allowance` for each mm of a hole's diameter [mm].", 0.0, allowed=SHARE
    )
    outline_allowance_share: float = declare(
        "number", "What is added to `outline_allowance` for each mm of an outside's diameter [mm].", 0.0, allowed=SHARE
    )
    fit_allowance: float = declare(
        "number",
        "What the maker adds besides to the radius of a seat of a bearing or a rod [mm], so that it goes in as a trial "
        "found.",
        0.0,
        allowed=ALLOWANCE,
    )
    depth_allowance: float = declare(
        "number",
        "What the maker makes a recess deeper by because the printer makes recesses shallow [mm].",
        0.0,
        allowed=DEPTH,
    )
    motor_shaft_length: float = declare("length", "How far the motor's shaft stands out of its face [mm].", 24.0)
    motor_shaft_flat: float = declare("length", "How deep the flat of the motor's shaft is [mm].", 0.5)
    shaft_play: float = declare(
        "number",
        "What the crank's bore is wider by than the motor's shaft, all round [mm], so that the motor's bearings and "
        "the crank's don't fight.",
        0.1,
        allowed=defaults.CLEARANCE,
    )
    output_bearing: Bearing | None = declare(
        "bearing",
        "Each of the two bearings in which the output turns, round the hub that holds the crank's upper bearing; None "
        "where the table has none that is wide enough.",
        choose=lambda r: frame.output_bearing(r.crank_bearing, r.least_wall),
    )
    output_bearing_span: float = declare(
        "length",
        "Distance between the middles of the two output bearings [mm].",
        choose=lambda r: frame.output_bearing_span(r.output_bearing),
    )
    output_roller_bearing: Bearing | None = declare(
        "bearing",
        "The bearing that is an output roller, one a disc and rod; None where output rollers are made in another way.",
        choose=lambda r: frame.output_roller_bearing(r.output_roller_radius, r.output_rod_radius),
    )
    plate_thickness: float = declare(
        "length",
        "Thickness of the output flange and of the second output plate [mm].",
        choose=lambda r: frame.plate_thickness(r.output_rod_radius),
    )
    seat_depth: float = declare("length", "How deep each end of a ring pin's rod stands in its seat [mm].", 3.5)
    screw: str = declare("choice", "The screws that hold cover and ring.", "M3", allowed=tuple(SCREWS))
    screws_into: str = declare(
        "choice",
        "What these screws go into, in the motor's plate: nuts in pockets below it, or inserts melted into its top.",
        FASTENINGS[0],
        allowed=FASTENINGS,
    )
    screws: int = declare(
        "count",
        "How many screws hold cover and ring; as many between them hold the machine to its bench.",
        4,
        allowed=(3, 8),
    )
    lever_width: float = declare(
        "length",
        "Width across flats of the hexagon on the output, onto which a lever goes [mm].",
        choose=lambda r: frame.lever_width(r.output_bearing, r.screw, r.least_wall),
    )
    lever_arm: float = declare(
        "length", "Distance from the axis to the hole at the lever's end [mm], where a weight hangs or pulls.", 100.0
    )
    given: tuple[str, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        checked_kind("drive", self.drive, Drive, "make one from four numbers first")
        self._set("given", tuple(name for name in FIGURES if getattr(self, name) is not None))
        for name, figure in FIGURES.items():
            if getattr(self, name) is not None or figure.choose is None:
                self._set(name, figure.read(name, getattr(self, name)))
        for name, figure in FIGURES.items():
            if getattr(self, name) is None and figure.choose and (value := figure.choose(self)) is not None:
                self._set(name, figure.read(name, value))
        if self.pin_made == "solid" and self.pin_rod_radius != self.drive.roller_radius:
            raise ValueError(
                f"pin_rod_radius is {self.pin_rod_radius:g} mm, but a solid pin's must be its own, "
                f"{self.drive.roller_radius:g}: leave it out, or choose another pin_made."
            )
        if 2 * self.shaft_radius > self.crank_bearing.bore_diameter:
            raise ValueError(
                f"crank_bearing is {self.crank_bearing.name}, whose bore of {self.crank_bearing.bore_diameter:g} mm "
                f"doesn't take a shaft of {2 * self.shaft_radius:g}: choose a larger bearing or a thinner shaft."
            )

    def _set(self, name: str, value: object) -> None:
        object.__setattr__(self, name, value)  # how a frozen dataclass stores a checked value

    @property
    def hole_radius(self) -> float:
        """Radius of the output holes in the running machine [mm]: roller + eccentricity + clearance, all radii."""
        return self.output_roller_radius + self.drive.eccentricity + self.hole_clearance

    @property
    def bore_radius(self) -> float:
        """Radius of each disc's bore, which takes the eccentric's bearing [mm]."""
        return self.eccentric_bearing.outer_diameter / 2

    @property
    def ring_bearing(self) -> Bearing | None:
        """The bearing that is a ring pin's roller, if pins are made so."""
        return self.pin_bearing if self.pin_made == "bearing on rod" else None

    @property
    def disc_pitch(self) -> float:
        """Distance between the middles of neighbouring discs [mm]."""
        return self.disc_thickness + self.disc_gap

    @property
    def disc_drive(self) -> Drive:
        """The drive whose outline the disc has once it is moved inwards by its clearance: with larger rollers."""
        return replace(self.drive, roller_radius=self.drive.roller_radius + self.outline_clearance)

    @property
    def disc_strength(self) -> tuple[float, float]:
        """Least and greatest strength of the disc's material, along or across the layers as it is printed [MPa]."""
        material: Material = MATERIALS[self.disc_material]
        strength = material.strength if self.print_orientation == "flat" else material.strength_across
        if strength is None:
            raise ValueError(
                f"print_orientation is 'upright', but no source says how strong {material.name} is across its "
                "layers: print it flat, choose another disc_material, or test a bar of it."
            )
        return strength

    def figures(self) -> dict[str, Any]:
        """All figures by their names, the drive's first; a listed bearing by its designation, another as a dict."""
        table: dict[str, Any] = {name: getattr(self.drive, name) for name in DRIVE}
        for name in FIGURES:
            value = getattr(self, name)
            if isinstance(value, Bearing):
                listed = BEARINGS.get(value.name) == value
                value = value.name if listed else {f.name: getattr(value, f.name) for f in fields(value)}
            table[name] = value
        return {name: value for name, value in table.items() if value is not None}

    def _repr_html_(self) -> str:
        rows = ((name, in_html(value)) for name, value in self.figures().items())
        return in_table("A reducer, lengths in mm", ("what", "value"), rows, left=(1,))


FIGURES = figures_of(Reducer)
Reducer.__doc__ = (Reducer.__doc__ or "").replace("\n\n    Raises", f"\n{attributes(Reducer)}\n    Raises", 1)


def checked(name: str, value: Any) -> Any:
    """A reducer's figure of that name, if there is one and it is of the right kind and in its range.

    Examples
    --------
    >>> checked("discs", 3)
    3
    """
    if not isinstance(name, str) or name not in FIGURES:
        raise ValueError(f"name is {shown(name)}, but must be a figure of a reducer: {', '.join(FIGURES)}.")
    return FIGURES[name].read(name, value)
