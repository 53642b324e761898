"""Designs that meet a brief, and which demand must give way where none does.

- `brief.Roller`: A roller at hand: its radius [mm], and the bearing it is, if it is one
- `brief.Brief`: What a reducer must be, and what there is to make it of; whatever is round is given by its diameter
- `brief.asked`: The demands of a brief that can give way a little, by their names
- `brief.rollers_at_hand`: Rollers at hand, each once, in the brief's order
- `brief.bearings_at_hand`: Bearings at hand for the eccentrics, each once, in the brief's order
- `candidates.judged`: Candidates made of some parts that miss at most so many demands, all others met
- `demands.check`: The size and the share of the greatest eccentricity that a brief asks for
- `lattice.Parts`: A choice of what is at hand: ring and output rollers, and the eccentrics' bearing
- `lattice.Judged`: Candidates that nothing physical forbids, one in each place of the arrays, and what they have
- `lattice.step`: How many times coarser than 0.1 and 0.01 mm the lattice is
- `lattice.choices`: Every choice of parts, in the order at hand; no ring sleeves for more discs than may share one
- `lattice.number`: How many points the lattice has: pin circles inside the outer diameter, trochoid ratios below 1
- `lattice.missed`: Which candidates miss which demand; the housing has a wall just as thick as is asked for
- `lattice.outer_diameter`: Outer diameter of the candidates' housings [mm]
- `lattice.housing_wall`: The thinnest housing wall that a brief allows, running gap included [mm]
- `lattice.reducer_at`: The candidate at a place as a reducer
- `lattice.first`: Place of the smallest in the first column, among those alike in the next, and so on
- `lattice.ties`: What decides between designs that are alike else: pin force, walls, size
- `lattice.circles`: Number of pin circles in the lattice up to an outer diameter [mm]
- `output_circle.best_place`: The lattice place of the output circle that leaves the thickest walls, or its neighbour
- `relaxation.Relaxation`: A demand that excludes every design, and by how much it must give way
- `relaxation.relaxations`: Each demand that is to blame alone; if there is none, the fewest that must be eased together
- `search.Design`: One design that meets a brief
- `search.Found`: What a search came to
- `search.search`: Designs that meet a brief, the best by a goal first
"""
