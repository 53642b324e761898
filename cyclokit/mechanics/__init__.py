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
- `capacity.Strengths`: What the parts of a reducer bear, whatever its drive is; with the safety taken off
- `capacity.strengths`: What the parts of a reducer bear at a safety
- `capacity.torque`: Greatest torque at the output that the weakest of the parts bears, for arrays
- `capacity.at_most`: A torque that none of several choices of parts exceeds with that shape [N mm], quickly, for arrays
- `capacity.together`: Strengths of candidates, each of one of several kinds by its number, as arrays
- `capacity.of`: Greatest torque at a reducer's output that the weakest of these parts bears at a safety [N mm]
- `capacity.worst_contact`: A pin's share of the peak force times the relative curvature
- `cautions.cautions`: Rows of fatigue, creep, sliding and softening; those of plastics only where there are any
- `contact.LineContact`: Contact of two cylinders along a line; arrays of one shape
- `contact.line`: Half width and peak pressure of two cylinders that are pressed together (Hertz)
- `contact.flank_radius`: Radius of the disc's edge, as `line` wants it: below 0 where the edge is hollow
- `frame_loads.check`: What a torque at the output and an overhung load do to the frame of a bench machine
- `friction.Efficiency`: Share of the power that comes through, as bands from the coefficients' ranges
- `friction.mean_along`: Mean part I of the pins' push along the line of centres
- `friction.mean_bearing_force`: Mean force of an eccentric's bearing on its disc [N], for a torque on that disc [N mm]
- `friction.at_roller`: Friction at a roller's outside where it turns on its rod
- `friction.pin_efficiency`: Efficiency with friction at the ring pins alone (first order: Wang, Luo, Su 2016)
- `friction.efficiency`: Efficiency of a reducer, forwards and backwards, as a band
- `loads.Corner`: Forces of one corner, and what follows from them
- `loads.corners`: The forces in all four corners
- `loads.parameters`: Outline parameters where every disc touches every ring pin [rad], shape (n, D, N)
- `loads.steady`: Of loads over a turn, shape (n, k), the steady one that tires the most tired of k bearings as much [N]
- `output_shaft.Tilt`: How far the output tilts in the play of its bearings
- `output_shaft.reactions`: Forces on two bearings under a load beyond them
- `output_shaft.tilt`: How far the flange tilts as its two bearings' radial play lets it, against its gap to the cover
- `output_shaft.flat_pressure`: Greatest pressure on the flat of a shaft that turns a bore with the same flat
- `pins.Layer`: One material of a pin's section: a disc, or a ring round the layer in it
- `pins.Bending`: How a pin bends, at places along it
- `pins.thread_root`: Diameter of a coarse metric screw at its thread's root [mm] (ISO 68-1, ISO 261)
- `pins.bending_stiffness`: Sum of E I over a pin's layers [N mm^2], which bend as one
- `pins.bend`: How a pin bends under loads spread over rollers' widths (Euler-Bernoulli beam)
- `rods.Rod`: A round beam and where each disc loads it
- `rods.ring_pin`: A ring pin: its rod, or itself where it is solid, which is then made as rollers are
- `rods.output_rod`: An output rod, or a solid output roller, which is then made as rollers are
- `rods.crank`: The crank's shaft between its two bearings, the eccentrics on it left out
- `rods.pin_contact_length`: Length along which a disc touches a ring pin [mm]: its thickness
- `rods.solid_output`: Whether output rollers are solid, one piece with their rods
- `section.Section`: Area of a disc and its moments about the disc's centre, roots and holes where disc 0 has them
- `section.section`: Area, centroid and second moments of a disc (Green's theorem, Steiner's for the holes)
- `sharing.Sharing`: Forces of all ring pins and output rollers on the discs, in the ring's frame
- `sharing.pin_arms`: Lever arms of all ring pins about the discs' centres (Wang Yukun et al.)
- `sharing.output_arms`: Lever arms of all output rollers about the discs' centres
- `sharing.ideal`: Forces where nothing has a gap and all springs are alike (linear elastic sharing)
- `sharing.as_made`: Forces where each pin and roller has a gap and a stiffness of its own
- `springs.Springs`: Springs that push bodies round: their lever arms, gaps and stiffness
- `springs.one_after_the_other`: Bodies side by side, each held by a first set of springs and turned by a second
- `stiffness.pin_stiffness`: Stiffness of a ring pin at each disc, as built
- `stiffness.output_stiffness`: Stiffness of an output roller at each disc, as built
- `stiffness.flattening`: How far one side of a line contact is flattened
- `verdict.judge`: Whether a reducer holds a torque, row by row, and what fails first
- `verdict_case.Case`: What is judged, read with care: the arguments of `verdict.judge`, and what several rows ask for
- `verdict_case.disc_strength`: Strength of the disc as it is printed [MPa]; None where no source says
- `verdict_table.Row`: One thing that can break
- `verdict_table.Verdict`: All rows for a reducer under a torque
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
