"""What the report on a reducer's room says to a reader."""

# name -> (what is compared, what goes wrong, what to change)
SENTENCES = {
    "outline moved in": (
        "roller radius and the outline's clearance, below the least convex radius of the centre path",
        "The clearance cuts the lobes' flanks away, as larger rollers would.",
        "Choose a smaller outline clearance, smaller rollers or a smaller eccentricity.",
    ),
    "holes apart": (
        "radius of the output holes, below half the distance between neighbouring ones",
        "Neighbouring output holes run into each other.",
        "Choose smaller or fewer output rollers, or a larger output circle.",
    ),
    "holes inside the roots": (
        "farthest reach of an output hole from the disc's centre, below the root circle's radius",
        "An output hole can break through a root.",
        "Choose a smaller output circle, smaller output rollers, or a larger pin circle.",
    ),
    "holes clear of the bore": (
        "radius of the disc's bore, below the nearest reach of an output hole",
        "The output holes break into the bore.",
        "Choose a larger output circle, smaller output rollers, or a smaller eccentric bearing.",
    ),
    "rollers pass the holes": (
        "radius of an output roller, below what all discs' holes leave free together, the holes' less the eccentricity",
        "The discs sit an eccentricity off to either side, and their holes leave the roller no play: it jams.",
        "Make the holes' radius that of the roller and the eccentricity, and a clearance more.",
    ),
    "shaft inside the eccentric": (
        "radius of the shaft and the eccentricity, below the radius of the eccentric, the bore of its bearing",
        "The shaft sticks out of the eccentric.",
        "Choose an eccentric bearing with a larger bore, a thinner shaft, or a smaller eccentricity.",
    ),
    "crank bearing between the rollers": (
        "outer radius of the crank's bearing, below the nearest reach of an output roller",
        "The output rollers run into the crank's bearing.",
        "Choose a larger output circle, smaller output rollers, or a smaller crank bearing.",
    ),
    "output rods inside the ring pins": (
        "farthest reach of an output roller's rod and the running gap, below the nearest reach of a ring pin's rod",
        "The part that carries the output rods can't turn inside the part that holds the ring pins.",
        "Choose a smaller output circle, thinner rods, or hold the ring pins at one end only.",
    ),
    "rod inside the roller": (
        "radius of a ring pin's rod, below that of the sleeve round it",
        "The sleeve has no wall.",
        "Choose a thinner rod.",
    ),
    "bearing as wide as the roller": (
        "the larger of the ring bearing's and the roller's radius, up to the smaller",
        "The bearing that is named as a ring pin's roller has another radius than the drive's rollers.",
        "Name the bearing that has the rollers' diameter, or change the roller radius to its half.",
    ),
    "rod in the ring bearing": (
        "radius of a ring pin's rod, up to that of its bearing's bore",
        "The rod doesn't go into its bearing.",
        "Choose a thinner rod, or a bearing with a larger bore.",
    ),
    "rod fills the ring bearing": (
        "radius of the ring bearing's bore, up to 0.1 mm more than its rod's (common practice, no source)",
        "The rod is so loose in its bearing that the roller leaves its place.",
        "Choose the rod as thick as the bearing's bore.",
    ),
    "output rod inside its roller": (
        "radius of an output roller's rod, up to that of the roller",
        "The rod is thicker than the roller round it.",
        "Choose a thinner rod.",
    ),
    "spacer round the shaft": (
        "radius of the shaft, below that of the spacers",
        "The shaft doesn't go through the spacers.",
        "Choose larger spacers or a thinner shaft.",
    ),
    "spacer reaches the inner rings": (
        "radius of the eccentrics less the eccentricity, below the radius of the spacers",
        "The spacers don't reach past the eccentrics, so nothing holds the inner rings apart.",
        "Choose larger spacers.",
    ),
    "spacer on inner rings only": (
        "radius of the spacers and the eccentricity, below the radius up to which a bearing's side is inner ring",
        "The spacers can touch the outer rings, which turn against them: they grind.",
        "Choose smaller spacers, or an eccentric bearing with thicker rings.",
    ),
    "bearings apart": (
        "width of an eccentric's bearing, below the distance between neighbouring discs' middles",
        "Neighbouring bearings touch, outer ring on outer ring, and these move against each other.",
        "Choose thicker discs, a wider gap, or a narrower bearing.",
    ),
    "middle eccentric on the shaft": (
        "radius of the shaft, the eccentricity and the least wall, up to the radius of the eccentric",
        "Between three discs a bearing can't step aside from one eccentric to the next, so that the middle eccentric "
        "must be a part of its own, slid on with its bearing. Round the shaft it has no wall left.",
        "Choose an eccentric bearing with a larger bore, a thinner shaft, a smaller eccentricity, or two discs.",
    ),
    "ring bearings apart": (
        "width of a ring pin's bearing and a thin washer of 0.1 mm, up to the distance between neighbouring discs' "
        "middles",
        "Each disc has a bearing of its own on each ring pin, and neighbouring ones touch: they turn at different "
        "speeds.",
        "Choose a wider gap, thicker discs, narrower bearings, or sleeves.",
    ),
    "side play inside the gap": (
        "side play of a disc, below the gap between two discs",
        "Two discs can shift until they rub on each other.",
        "Choose a wider gap or less side play.",
    ),
    "disc thick enough for its bearing": (
        "width of the eccentric's bearing, up to twice the disc's thickness (common practice, no source)",
        "The disc holds less than half of its bearing and tilts on it.",
        "Choose a thicker disc or a narrower bearing.",
    ),
    "disc thin enough for its bearing": (
        "thickness of the disc, up to twice the width of the eccentric's bearing (common practice, no source)",
        "The bearing holds less than half of the disc's thickness, and the disc tilts on it.",
        "Choose a thinner disc, a wider bearing, or more discs.",
    ),
    "housing outside the rollers": (
        "running gap round the rollers, below the housing's wall, which includes it",
        "The running gap takes all of the housing's wall.",
        "Choose a thicker housing wall or a smaller running gap.",
    ),
    "discs on a sleeve": (
        "discs that share each ring pin's sleeve, up to 2 (derived: two opposite discs never push a pin at once)",
        "Of three discs two push a pin for half of the time, at different speeds: a sleeve that they share slides.",
        "Choose two discs, or a bearing for each disc and pin.",
    ),
    "gap between rollers": (
        "running gap asked for, up to the gap between neighbouring ring rollers, which turn",
        "Neighbouring rollers are so near that they may rub as they turn.",
        "Choose smaller rollers, fewer pins, or a larger pin circle.",
    ),
    "sharpest edge": (
        "resolution of printer or cutter, up to the least convex radius of the finished outline",
        "The lobes' sharpest edges are finer than the printer or cutter can make: they come out blunt.",
        "Choose smaller rollers, a smaller eccentricity or outline clearance, or a finer printer.",
    ),
    "wall between holes": (
        "least wall asked for, up to the wall between neighbouring output holes",
        "The wall between output holes is thinner than the workshop can make.",
        "Choose smaller or fewer output rollers, or a larger output circle.",
    ),
    "wall to the roots": (
        "least wall asked for, up to the wall between output holes and root circle",
        "The wall between an output hole and a root can be thinner than the workshop can make.",
        "Choose a smaller output circle or smaller output rollers.",
    ),
    "wall to the bore": (
        "least wall asked for, up to the wall between output holes and bore",
        "The wall between output holes and bore is thinner than the workshop can make.",
        "Choose a larger output circle, smaller output rollers, or a smaller eccentric bearing.",
    ),
    "wall of the eccentric": (
        "least wall asked for, up to the eccentric's wall round the shaft",
        "The eccentric's wall beside the shaft is thinner than the workshop can make.",
        "Choose an eccentric bearing with a larger bore, or a thinner shaft.",
    ),
    "wall between pin seats": (
        "least wall asked for, up to the wall between neighbouring ring pins' rods",
        "The wall between the seats of neighbouring ring pins is thinner than the workshop can make.",
        "Choose thinner rods, fewer pins, or a larger pin circle.",
    ),
    "wall between output rods": (
        "least wall asked for, up to the wall between neighbouring output rollers' rods",
        "The wall between the seats of neighbouring output rods is thinner than the workshop can make.",
        "Choose thinner or fewer output rods, or a larger output circle.",
    ),
    "wall to the crank bearing's seat": (
        "least wall asked for, up to the wall between output rods and the crank's bearing",
        "The wall between output rods and the crank bearing's seat is thinner than the workshop can make.",
        "Choose a larger output circle, thinner output rods, or a smaller crank bearing.",
    ),
    "wall outside the output rods": (
        "least wall asked for, up to half of what output rods, running gap and ring pins' rods leave between them: the "
        "other half holds the ring pins",
        "The wall outside the output rods, or the one that holds the ring pins, is thinner than the workshop can make.",
        "Choose a smaller output circle, thinner rods, or hold the ring pins at one end only.",
    ),
    "wall of the sleeve": (
        "least wall asked for, up to the wall of a ring pin's sleeve",
        "The sleeve's wall is thinner than the workshop can make.",
        "Choose a thinner rod, or solid pins.",
    ),
    "wall of the output rollers": (
        "least wall asked for, up to the wall of an output roller round its rod",
        "The output roller's wall round its rod is thinner than the workshop can make.",
        "Choose a thinner rod, or solid output rollers: a rod of the same radius.",
    ),
    "wall of the housing": (
        "least wall asked for, up to the housing's wall without the running gap in it",
        "What is left of the housing's wall outside the running gap is thinner than the workshop can make.",
        "Choose a thicker housing wall.",
    ),
}
WORDS = ("as a reducer, room for all its parts", "as a reducer, no room for all its parts")
CAPTIONS = ("This reducer has room for all its parts", "This reducer has no room for all its parts")
