"""What forces do in a reducer.

- `balance.Unbalance`: Unbalance of a reducer's discs, seen by somebody who turns with the crank; x points to disc 0
- `balance.Counterweight`: A half ring opposite a disc
- `balance.disc_mass_g`: Least and greatest mass of one solid disc [g], by its material's density
- `balance.eccentric_mass_g`: Mass that stands for one eccentric of the crank in its disc's unbalance
- `balance.unbalance`: Static and couple unbalance of the discs
- `balance.quality`: Balance quality of a rotor between two bearings, its worse bearing's (ISO 21940-11)
- `balance.permissible_static_g_mm`: Greatest static unbalance that a grade allows without a couple (ISO 21940-11)
- `balance.permissible_couple_g_mm2`: Greatest couple unbalance that a grade allows without a static one (ISO 21940-11)
- `balance.grade`: The finest balance quality grade of ISO 21940-11 that a crank with its discs surely meets
- `balance.counterweight`: The half ring opposite the disc that takes a static unbalance away
- `bearings.Ratings`: What a maker's list says of a bearing
- `bearings.life_revolutions`: Basic rating life L10 of a ball bearing (ISO 281)
- `bearings.life_hours`: The same in hours, at a steady speed of one ring against the other (ISO 281)
- `bearings.static_safety`: Static load rating over the greatest load (ISO 76)
- `bearings.equivalent_load`: The steady load that tires a bearing as much as a cycle of loads does (ISO 281)
- `bearings.eccentric_speed`: Speed of an eccentric's bearing, ring against ring: N/(N - 1) of the crank's
- `contact.LineContact`: Contact of two cylinders along a line; arrays of one shape
- `contact.line`: Half width and peak pressure of two cylinders that are pressed together (Hertz)
- `contact.flank_radius`: Radius of the disc's edge, as `line` wants it: below 0 where the edge is hollow
- `friction.Efficiency`: Share of the power that comes through, as bands from the coefficients' ranges
- `friction.mean_along`: Mean part I of the pins' push along the line of centres
- `friction.mean_bearing_force`: Mean force of an eccentric's bearing on its disc [N], for a torque on that disc [N mm]
- `friction.at_roller`: Friction at a roller's outside where it turns on its rod
- `friction.pin_efficiency`: Efficiency with friction at the ring pins alone (first order: Wang, Luo, Su 2016)
- `friction.efficiency`: Efficiency of a reducer, forwards and backwards, as a band
- `pins.Layer`: One material of a pin's section: a disc, or a ring round the layer in it
- `pins.Bending`: How a pin bends, at places along it
- `pins.thread_root`: Diameter of a coarse metric screw at its thread's root [mm] (ISO 68-1, ISO 261)
- `pins.bending_stiffness`: Sum of E I over a pin's layers [N mm^2], which bend as one
- `pins.composite_stress`: Greatest bending stress in each part of a section of several materials (composite beam)
- `pins.bend`: How a pin bends under loads spread over rollers' widths (Euler-Bernoulli beam)
- `section.Section`: Area of a disc and its moments about the disc's centre, roots and holes where disc 0 has them
- `section.section`: Area, centroid and second moments of a disc (Green's theorem, Steiner's for the holes)
- `sharing.Sharing`: Forces of all ring pins and output rollers on the discs, in the ring's frame
- `sharing.pin_arms`: Lever arms of all ring pins about the discs' centres (Wang Yukun et al.)
- `sharing.output_arms`: Lever arms of all output rollers about the discs' centres
- `sharing.ideal`: Forces where nothing has a gap and all springs are alike (linear elastic sharing)
- `sharing.as_made`: Forces where each pin and roller has a gap and a stiffness of its own
"""

MOVED = {"space", "same_part"}  # lessons that were copied before the machine had rooms of its own ask for them here
SENTENCE = (
    "{name} is in cyclokit.machine now: this lesson is of an older version. A fresh one is put beside yours by  "
    "python3 -m cyclokit open --fresh 6"
)


def __getattr__(name: str) -> object:
    if name in MOVED:
        raise ImportError(SENTENCE.format(name=name))
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
