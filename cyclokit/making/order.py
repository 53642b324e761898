"""The order in which a bench machine goes together, and whether each part reaches its place along the axis."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from cyclokit.machine import same_part
from cyclokit.machine.reducer import Reducer
from cyclokit.making import contact, solids
from cyclokit.making.shapes import Part, checked_parts
from cyclokit.signatures import read
from cyclokit.texts import in_html

ABOVE, BELOW, LAID = "from above", "from below", "laid down"
SANDED = "Sand it until every bearing that goes on it slides."
PRESSED = "Press an eccentric bearing into a disc; slide both on from below."
STAYS = "A dab of grease keeps it there when all is turned over."
LOWER_SPACER = f"Slide the lower spacer on, its thin end outwards: crank_bush_lower. {STAYS}"
UPPER_SPACER = f"Slide the upper spacer on, its thin end outwards: crank_bush_upper. {STAYS}"
# where -> what comes (a pattern of names, or another group), how, and what is said; groups are named in capitals
STEPS = (
    ("CRANK", "crank", LAID, f"Take the part crank, its bore for the motor downwards. {SANDED}"),
    ("CRANK", "disc_0|eccentric_bearing_0_.*", BELOW, PRESSED),
    ("CRANK", "crank_bush_lower", BELOW, LOWER_SPACER),
    ("CRANK", "disc_1|eccentric_bearing_1_.*", ABOVE, "The same with the next disc, from above."),
    ("CRANK", "crank_upper", ABOVE, "Put crank_upper on, its other piece: the spigot's flat lets it on one way only."),
    ("CRANK", "crank_screw", ABOVE, "Put the crank screw in; it cuts its own thread, so stop when the pieces meet."),
    ("CRANK", "disc_2|eccentric_bearing_2_.*", ABOVE, "The same with the next disc, from above."),
    ("CRANK", "crank_bush_upper", ABOVE, UPPER_SPACER),
    (
        "CARRIER",
        "flange",
        LAID,
        "Sand the flange's hub until an output bearing slides on it; lay the flange on its hub.",
    ),
    ("CARRIER", "crank_bearing_upper_.*", BELOW, "Press a crank bearing into the hub, down to its lip."),
    ("CARRIER", r"output_rod_\d+", BELOW, "Press the output rods in until they are flush with the other face."),
    ("CARRIER", "CRANK", BELOW, "Put crank and discs in, the bore for the motor up."),
    ("CARRIER", r"output_sleeve_\d+", BELOW, "Slide a sleeve on each rod: output_sleeve. Each must turn by itself."),
    ("CARRIER", r"output_bush_upper_\d+", BELOW, "Slide a spacer on each rod: output_bush_upper."),
    ("CARRIER", r"output_roller_\d+_2_.*", BELOW, "Slide a bearing on each rod: output roller."),
    ("CARRIER", r"output_bush_middle_\d+_1", BELOW, "Slide a spacer on each rod: output_bush_middle."),
    ("CARRIER", r"output_roller_\d+_1_.*", BELOW, "Slide a bearing on each rod: output roller."),
    ("CARRIER", r"output_bush_middle_\d+", BELOW, "Slide a spacer on each rod: output_bush_middle."),
    ("CARRIER", r"output_roller_\d+_0_.*", BELOW, "Slide a bearing on each rod: output roller."),
    ("CARRIER", r"output_bush_lower_\d+", BELOW, "Slide a spacer on each rod: output_bush_lower."),
    (
        "CARRIER",
        "second_plate",
        BELOW,
        "Press the second plate on, the wider ends of its holes first, flush with the rods. The carrier is complete.",
    ),
    (
        "CARRIER",
        r"output_collar_\d+",
        BELOW,
        "Press a collar on each rod, flush with its end: output_collar. The carrier is complete.",
    ),
    ("COVER", "cover", LAID, "Lay the cover down, its housing downwards."),
    ("COVER", "output_bearing_lower_.*", BELOW, "Press an output bearing in, down to the lip."),
    ("MACHINE", "motor_plate", LAID, "Lay the motor plate down, the seats for rods and bearing up."),
    ("MACHINE", "crank_bearing_lower_.*", ABOVE, "Press the other crank bearing in, down to its lip."),
    (
        "MACHINE",
        r"nut_\d+",
        BELOW,
        "Push the nuts to the ends of their pockets, underneath. Grease, or tape pressed in after them, holds them; "
        "later a pencil reaches them.",
    ),
    (
        "MACHINE",
        r"insert_\d+",
        ABOVE,
        "Melt the inserts in with a soldering iron, flush with the plate; let them cool.",
    ),
    ("MACHINE", "motor(_shaft)?", BELOW, "Put the motor under its plate."),
    ("MACHINE", r"motor_screw_\d+", ABOVE, "Put the motor screws in from above: their heads are sunk in the plate."),
    ("MACHINE", "ring_plate", ABOVE, "Put the ring plate on."),
    ("MACHINE", r"ring_rod_\d+", ABOVE, "Put the ring rods into their seats."),
    ("MACHINE", r"ring_sleeve_\d+", ABOVE, "Slide a sleeve on each rod: ring_sleeve. Each must turn by itself."),
    ("MACHINE", r"ring_bush_lower_\d+", ABOVE, "Slide a spacer on each rod: ring_bush_lower."),
    ("MACHINE", r"ring_roller_\d+_0_.*", ABOVE, "Slide a bearing on each rod: ring roller."),
    ("MACHINE", r"ring_bush_middle_\d+", ABOVE, "Slide a spacer on each rod: ring_bush_middle."),
    ("MACHINE", r"ring_roller_\d+_1_.*", ABOVE, "Slide a bearing on each rod: ring roller."),
    ("MACHINE", r"ring_bush_middle_\d+_1", ABOVE, "Slide a spacer on each rod: ring_bush_middle."),
    ("MACHINE", r"ring_roller_\d+_2_.*", ABOVE, "Slide a bearing on each rod: ring roller."),
    ("MACHINE", r"ring_bush_upper_\d+", ABOVE, "Slide a spacer on each rod: ring_bush_upper."),
    (
        "MACHINE",
        "CARRIER",
        ABOVE,
        "Turn the carrier over, the crank held in it, and let it in: first the shaft into the crank, flat on flat; "
        "then turn the carrier until the discs mesh.",
    ),
    ("MACHINE", "COVER", ABOVE, "Put the cover on: the rods find their seats, the hub its bearing."),
    ("MACHINE", r"cover_screw_\d+", ABOVE, "Screw the cover on with the cover screws, crosswise."),
    ("MACHINE", "hub_spacer", ABOVE, "Slide the hub spacer on to the hub."),
    (
        "MACHINE",
        "output_bearing_upper_.*",
        ABOVE,
        "Press the second output bearing in, down to the lip, with a tube as wide as its outer ring.",
    ),
    ("MACHINE", "cap", ABOVE, "Put the cap on, its hexagon up."),
    ("MACHINE", "lever", ABOVE, "For a test bench only: put the lever over the cap's hexagon, an arm that swings."),
    (
        "MACHINE",
        r"cap_screw_\d+",
        ABOVE,
        "Put the cap screws in; they cut their own thread. The cap clamps the inner rings; the output turns freely.",
    ),
)
# the same of a crank whose neck is a ring of its own: its bearings come on from where it is divided
FROM_THE_CUT = (
    ("UPPER", "crank_upper", LAID, f"Take crank_upper, the crank's piece without a spigot. {SANDED}"),
    ("UPPER", "disc_1|eccentric_bearing_1_.*", BELOW, PRESSED),
    ("CRANK", "crank", LAID, f"Take the part crank, its bore for the motor downwards. {SANDED}"),
    ("CRANK", "disc_0|eccentric_bearing_0_.*", ABOVE, "The same with the other disc, over the spigot."),
    ("CRANK", "crank_neck", ABOVE, "Slide crank_neck on to the spigot, a ring: the wider end of its hole goes first."),
    ("CRANK", "UPPER", ABOVE, "Put the upper piece with its disc on: the spigot's flat lets it on one way only."),
    ("CRANK", "crank_screw", ABOVE, "Put the crank screw in; it cuts its own thread, so stop when all is tight."),
    ("CRANK", "crank_bush_lower", BELOW, LOWER_SPACER),
    ("CRANK", "crank_bush_upper", ABOVE, UPPER_SPACER),
)
TO_BENCH = (
    "Screw the machine to its bench with the foot screws, through its feet, before it runs: a hole in the bench takes "
    "the motor, and the bench holds the torque."
)
MARKED = "Each disc has a witness mark beside a hole, a tiny hole or your pen's: that hole goes over its rod."
COUNTED = "Call any rod 0 and count clockwise, as you look down on them:"
LEVEL = "No second plate keeps crank and discs in: lay both on their sides for this, so that nothing slides out."
PLACES = ("first", "second", "third")  # of the discs, from the motor
ANY = "Any hole of the disc goes over any rod."
CAUTIONS = (
    "Wear goggles when you cut rods, and file the ends: cut rods splinter and their edges are sharp.",
    "Press bearings by their outer ring into seats, and by their inner ring on to shafts, slowly, in a vice with soft "
    "jaws; keep fingers out. A pin or a ring under pressure can jump.",
    "If you melt inserts in: the soldering iron has 200 to 300 degrees, and the print smokes. Air the room.",
    "A stepper motor gets too hot to touch at its rated current. Let it cool; PLA gives way at 55 degrees.",
    "An arm on the output swings with all the torque: stop the motor before you reach in, keep faces and hair away.",
    "Local rules of the workshop, and what its supervisor says, come before all of this.",
)


@dataclass(frozen=True)
class Step:
    """One step of the assembly.

    Attributes
    ----------
    group : str
        What is put together: "UPPER" (the upper piece of a crank), "CRANK", "CARRIER", "COVER" or "MACHINE".
    parts : tuple of str
        The names of the parts that come, those of a group that comes among them.
    comes : str
        "from above", "from below", or "laid down" for the first of its group.
    words : str
        What is done.
    """

    group: str
    parts: tuple[str, ...]
    comes: str
    words: str


@dataclass(frozen=True)
class Order:
    """The order in which a machine goes together, with its cautions; a numbered list in a notebook."""

    steps: tuple[Step, ...]

    def __str__(self) -> str:
        said = [f"{number}. {step.group.capitalize()}: {step.words}" for number, step in enumerate(self.steps, start=1)]
        return "\n".join((*CAUTIONS, "", *said))

    def _repr_html_(self) -> str:
        said = "".join(f"<li>{step.group.capitalize()}: {in_html(step.words)}</li>" for step in self.steps)
        return f"{cautions_in_html()}<ol>{said}</ol>"


def of(reducer: Reducer, *, lever: bool = False) -> Order:
    """The order in which a reducer goes together as a bench machine, the lever for a test bench on it or not.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> print(str(of(Reducer(Drive(20, 42.0, 5.0, 1.4)))).splitlines()[-3])
    35. Machine: Put the cap on, its hexagon up.
    """
    found = steps(solids.machine(reducer, lever=lever))
    to_bench = Step("MACHINE", foot_screws(reducer), ABOVE, TO_BENCH)
    said = (replace(step, words=" ".join([step.words, *_of_discs(reducer, step)])) for step in found)
    return Order((*said, to_bench))


@read
def foot_screws(reducer: Reducer) -> tuple[str, ...]:
    """The names of the screws that hold a machine to its bench: bought for it, but no part of it.

    Examples
    --------
    >>> from cyclokit import Drive
    >>> foot_screws(Reducer(Drive(20, 42.0, 5.0, 1.4)))[:2]
    ('foot_screw_0', 'foot_screw_1')
    """
    return tuple(f"foot_screw_{number}" for number in range(reducer.screws))


def _of_discs(reducer: Reducer, step: Step) -> list[str]:
    """What a step says of discs: how bearings sit in them, each one's file, upper face and mark's rod, what slides."""
    if step.group == "CARRIER":
        return _on_rods(reducer) if "disc_0" in step.parts else []
    if step.group == "MACHINE":
        return [LEVEL] if "disc_0" in step.parts and reducer.output_plates == 1 else []
    if "crank_upper" in step.parts:
        return []
    said = [_seated(reducer)] if step.words == PRESSED else []
    names = solids.disc_names(reducer)
    return said + [
        f"This disc is the {PLACES[place.disc]} from the motor, made as {names[place.disc]}; the face that is on top "
        f"in its file looks {'down: turn it over' if place.turned_over else 'up'}."
        for place in same_part.placings(reducer)
        if f"disc_{place.disc}" in step.parts and reducer.discs > 1
    ]


def _on_rods(reducer: Reducer) -> list[str]:
    """Which hole of each disc goes over which rod."""
    if reducer.discs == 1:
        return [ANY]
    on = [f"the {PLACES[place.disc]} disc's on rod {place.roller}" for place in same_part.placings(reducer)]
    return [MARKED, f"{COUNTED} {', '.join(on)}."]


def _seated(reducer: Reducer) -> str:
    """How far an eccentric bearing, whose middle is its disc's, lies below the disc's faces or stands out of them."""
    below = (reducer.disc_thickness - reducer.eccentric_bearing.width) / 2
    if abs(below) < contact.EVEN:
        return "The bearing ends flush with the disc's faces."
    return f"The bearing ends {abs(below):g} mm {'below' if below > 0 else 'out of'} each of the disc's faces."


def cautions_in_html() -> str:
    """What to mind, as a list of HTML."""
    return f"<ul>{''.join(f'<li>{in_html(caution)}</li>' for caution in CAUTIONS)}</ul>"


def steps(parts: Iterable[Part]) -> tuple[Step, ...]:
    """The steps in which a machine's parts go together, in order; steps of parts that it hasn't are left out.

    The last ones, of "MACHINE", bring every part in; a ValueError names a part that is in no step.
    """
    names, found = [part.name for part in checked_parts(parts)], []
    groups: dict[str, tuple[str, ...]] = {}
    later = tuple(step for step in STEPS if step[0] != "CRANK")
    for group, pattern, comes, words in (*FROM_THE_CUT, *later) if "crank_neck" in names else STEPS:
        some = groups.get(pattern) or tuple(name for name in names if re.fullmatch(pattern, name))
        if some:
            groups[group] = (*groups.get(group, ()), *some)
            found.append(Step(group, some, comes, words))
    if missing := set(names) - set(groups.get("MACHINE", ())):
        raise ValueError(f"parts has {sorted(missing)[0]}, which is in no step: give a machine's parts.")
    return tuple(found)


def blocked(parts: Iterable[Part]) -> list[tuple[Step, str, str]]:
    """Parts of a machine that can't reach their places along the axis: step, part, and what of its group is in the way.

    What is in the way was there before.
    """
    parts = checked_parts(parts)
    layers = contact.by_part(parts)
    there: dict[str, list[contact.Layer]] = {}
    found = []
    for step in steps(parts):
        placed = there.setdefault(step.group, [])
        coming = [layer for name in step.parts for layer in layers[name]]
        if placed:
            around = contact.Around(placed)
            ways = {
                (one.part, other.part)
                for one in coming
                for other in around.near(one.area, 0.0)
                if _bars(step, one, other)
            }
            found += [(step, *way) for way in sorted(ways)]
        placed += coming
    return found


def _bars(step: Step, coming: contact.Layer, placed: contact.Layer) -> bool:
    """Whether what is placed stands on the way of what comes."""
    if step.comes == ABOVE:
        on_the_way = placed.top > coming.bottom + contact.EVEN
    else:
        on_the_way = placed.bottom < coming.top - contact.EVEN
    return on_the_way and contact.deep(coming, placed)
