"""What the verdict says to a reader."""

# name -> (what is loaded and what it bears, what to change)
SENTENCES = {
    "ring pins": (
        "greatest stress in a ring pin, against its material's strength (of a print across its layers)",
        "Hold pins at both ends, take thicker or steel rods, more pins, or a larger eccentricity.",
    ),
    "web between hole and root": (
        "stress in the disc's web, a bar as long as the hole is wide, against the disc's strength",
        "Leave a thicker web: smaller output rollers, a smaller output circle, a thicker disc.",
    ),
    "output rods": (
        "greatest stress in an output rod, against its material's strength (of a print across its layers)",
        "Hold output rods at both ends, take thicker rods, more of them, or a larger output circle.",
    ),
    "crank shaft": (
        "stress in the crank's shaft, bent and twisted, against its material's strength; shaft_material says which",
        "Take a thicker or stronger shaft, a larger eccentricity, or bearings nearer to the discs.",
    ),
    "crank screws": (
        "torque of the crank, friction included, against grip_torque: what screws or a clamp hold, measured",
        "Give the shaft a flat for the screw, a clamp, or more screws; measure when it slips.",
    ),
    "contact pressure": (
        "peak pressure at the worst place of the whole flank, against that at which the softer side yields below",
        "Take a thicker disc, larger rollers, more pins, a larger eccentricity, or a stronger disc.",
    ),
    "eccentric bearing, life": (
        "steady load of the eccentric's bearing, against that with which nine in ten live the hours (ISO 281)",
        "Take a larger bearing, a larger eccentricity, more discs, or a lower speed.",
    ),
    "eccentric bearing, at rest": (
        "greatest load of the eccentric's bearing, against its static rating C0 (ISO 76)",
        "Take a larger bearing, a larger eccentricity, or more discs.",
    ),
    "rollers' bearings, life": (
        "steady load of a bearing that is a ring pin's roller, against a part of that with which it lives the hours: "
        "its thin outer ring has no seat round it",
        "Take larger bearings as rollers, more pins, or a larger eccentricity.",
    ),
    "rollers' bearings, at rest": (
        "greatest load of a bearing that is a roller, against a part of its static rating: no seat is round it",
        "Take larger bearings as rollers, more pins, or a larger eccentricity.",
    ),
    "crank's own bearings, life": (
        "steady load of the crank's bearings, which bear the couple of the discs' forces, against that for the hours",
        "Take larger bearings, set them farther apart, or bring the discs nearer to each other.",
    ),
    "crank's own bearings, at rest": (
        "greatest load of the crank's bearings, against their static rating",
        "Take larger bearings, set them farther apart, or bring the discs nearer to each other.",
    ),
    "output bearing, life": (
        "load of the output's bearing nearer to an overhung load, against that for the hours; overhung_load, overhang, "
        "output_bearing_distance and output_ratings say which",
        "Set the output's bearings farther apart, hang the load nearer, or take larger bearings.",
    ),
    "output bearing, at rest": (
        "the same load, against that bearing's static rating",
        "Set the output's bearings farther apart, hang the load nearer, or take larger bearings.",
    ),
    "fatigue": (
        "stress of the part that tires first ({part}), one cycle a crank turn, against what is left of its strength "
        "after the hours: a caution",
        "Halve the stress, or take a part that can be changed and look at it often.",
    ),
    "creep": (
        "stress of the plastic part that creeps first ({part}), against what it holds for weeks: a caution",
        "Don't leave it loaded, or take metal there.",
    ),
    "heat, p v": (
        "pressure times speed where a plastic slides ({part}), against what unlubricated plastics stand: a caution",
        "Let rollers turn on bearings, oil it, or turn more slowly.",
    ),
    "heat, softening": (
        "warming by friction losses, motor left out, against what is left to the softening of {part}: a caution",
        "Turn more slowly or by turns, take rollers with bearings, a larger housing, or a plastic for heat.",
    ),
}
ANSWERS = {
    True: "holds",
    False: "fails",
    None: "open: it hangs on the range",
    "unknown": "not known, which is not safe",
}
HOLDS = {True: "every row holds", False: "it won't hold", None: "it can't be said that it holds"}
FIRST = "First to go: {name}, with a safety of {safety} where {asked:g} is asked for. {remedy}"
UNLOADED = "Nothing that is known is loaded."
CAUTIONS = (
    "Printed parts vary: two of one file differ by more than these bands may show. A test to failure decides, behind a "
    "guard and with nobody beside it.",
    "A drive that can be driven backwards holds no load when the power goes: never stand under one. Local rules and "
    "licensed practice come first.",
)
