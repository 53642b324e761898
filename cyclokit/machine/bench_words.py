"""What the report on a bench machine says to a reader."""

# name -> (what is compared, what goes wrong, what to change)
SENTENCES = {
    "crank bearing round the crank": (
        "radius of the shaft, its play and a wall, up to that of the crank bearing's bore",
        "The crank has no wall round the motor's shaft where its bearings are.",
        "Choose a crank bearing with a larger bore, or a thinner shaft.",
    ),
    "crank bearing passes the eccentric's": (
        "radius of the crank bearing's bore and the eccentricity, up to that of the eccentric bearing's bore",
        "The crank's journal is so thick that the disc's bearing can't come on over it.",
        "Choose a smaller crank bearing, an eccentric bearing with a larger bore, a smaller eccentricity, or two "
        "discs: their crank can be divided between them.",
    ),
    "spacer on the bearing's inner ring": (
        "radius of the spacers and the eccentricity, up to the eccentric bearing's inner ring",
        "The spacers rub on the outer rings.",
        "Choose smaller spacers.",
    ),
    "spacer reaches the inner ring": (
        "radius of the eccentric less the eccentricity, below that of the spacers",
        "The spacers don't hold the inner rings.",
        "Choose larger spacers.",
    ),
    "spacer's wall": (
        "radius of the crank's journal, its play and one line of a print, up to that of the spacers and of the crank "
        "bearing's inner ring",
        "The spacers on the crank have no wall.",
        "Choose an eccentric bearing with a larger bore, larger spacers, or a smaller crank bearing.",
    ),
    "rollers' spacers' wall": (
        "one line of a print, up to the wall of the spacers that touch a roller bearing's inner ring only",
        "The spacers between roller bearings have no wall.",
        "Choose bearings with thicker rings.",
    ),
    "spacer in the carrier": (
        "radius of the carrier's holes round the crank's spacers, and a wall, up to the nearest reach of an output rod",
        "The output plates have no wall between the crank and their rods.",
        "Choose a larger output circle or thinner rods.",
    ),
    "carrier passes the rollers": (
        "farthest reach of the output rods and a wall, up to what the ring rollers leave less the running gap",
        "The carrier can't go in between the ring rollers.",
        "Choose a smaller output circle, thinner rods or smaller rollers.",
    ),
    "hub inside the output bearing": (
        "radius of the crank bearing and a wall, up to that of the output bearing's bore",
        "The hub round the crank's upper bearing has no wall.",
        "Choose a larger output bearing or a smaller crank bearing.",
    ),
    "output bearings apart": (
        "width of an output bearing and a wall for the lip between, up to the distance of their middles",
        "There is no lip between the output bearings that could hold them.",
        "Choose a larger output_bearing_span.",
    ),
    "output bearing inside the pins": (
        "radius of the output bearing and a wall, up to the nearest reach of a ring pin's seat",
        "The output bearing's seat breaks into those of the ring pins.",
        "Choose a smaller output bearing, thinner rods or a larger pin circle.",
    ),
    "screws outside the housing": (
        "radius of the cover's bearing housing and a screw's head, up to the screws' circle",
        "The heads of the cover's screws run into the bearing housing.",
        "Choose a smaller output bearing or thinner screws.",
    ),
    "output bearing inside the flange": (
        "radius inside which only the output bearing's inner ring is, and a gap, up to the flange's radius",
        "The flange has no shoulder for the output bearing.",
        "Choose a smaller output bearing or a larger output circle.",
    ),
    "lugs apart": (
        "half the sum of the lugs' widths, up to the distance of the middles of neighbouring ones",
        "The lugs of the cover's screws and the feet run into each other.",
        "Choose fewer or smaller screws.",
    ),
    "insert in the motor's plate": (
        "length of the inserts, up to the thickness of the motor's plate",
        "The inserts are longer than the motor's plate is thick.",
        "Choose smaller screws, or nuts.",
    ),
    "screws in their inserts": (
        "diameter of the cover's screws, up to how far they are in their inserts",
        "The screws are too short to hold in their inserts.",
        "Choose other screws, a wider crank bearing, or thicker plates: they take longer screws.",
    ),
    "rods held as they are judged": (
        "plates in which the verdict takes an output rod to be held, up to those it stands in",
        "The verdict takes the output rods to be held in a plate that isn't there.",
        "Choose output_support 'one end', or two output_plates.",
    ),
    "wall over the nuts": (
        "height of the nuts' pockets and a wall, up to the thickness of the motor's plate",
        "The nuts' pockets break through the motor's plate.",
        "Choose smaller screws, a wider crank bearing, or thicker plates: they take longer screws, up to 100 mm.",
    ),
    "motor's screws inside the pins": (
        "farthest reach of the motor's screw heads and a wall, up to the nearest reach of a ring pin's seat, or of a "
        "nut, from where a screw is",
        "The heads of the motor's screws run into the ring pins' seats, or into the nuts' pockets.",
        "Choose a larger pin circle or thinner rods: this motor's face is too large.",
    ),
    "motor's screws outside the bearing": (
        "radius of the crank bearing's seat and a wall, up to the nearest reach of the motor's screw heads",
        "The heads of the motor's screws run into the crank bearing's seat.",
        "Choose a smaller crank bearing.",
    ),
    "motor's screws sunk": (
        "height of the heads of the motor's screws, up to the thickness of the motor's plate",
        "The heads of the motor's screws rub on the second output plate.",
        "Choose a wider crank bearing or deeper seats.",
    ),
    "motor's screws don't bottom": (
        "length of the motor's screws inside the motor, up to the depth of its threads",
        "The screws meet the threads' end before they hold the plate.",
        "Choose shorter screws.",
    ),
    "cap's screws in the hub": (
        "height of a cap screw's tip and 4 mm, a lever's lid under its head, up to the hub's top",
        "The cap's screws find no thread in the hub.",
        "Choose a larger output_bearing_span.",
    ),
    "cap's screws inside the hub": (
        "farthest reach of the cap's screws and a wall, up to the hub's radius",
        "The cap's screws break through the hub.",
        "Choose a larger output bearing or thinner screws.",
    ),
    "lever's seat round its screws": (
        "farthest reach of the cap's screw heads, up to half the width of the lever's seat",
        "A lever can't pass the heads of the cap's screws.",
        "Choose a larger lever_width.",
    ),
    "lever's hole outside its seat": (
        "sum of the lever's radii round its seat and its hole, up to the lever's arm",
        "The lever's hole runs into its seat.",
        "Choose a longer lever_arm.",
    ),
    "lever's seat on the cap": (
        "half the lever's seat across its corners, up to the radius of the cap",
        "The lever's seat is wider than the cap.",
        "Choose a smaller lever_width or a larger output bearing.",
    ),
    "motor's shaft below the crank's joint": (
        "height of the motor's shaft's end, a gap and a wall, up to where the crank is divided",
        "The motor's shaft goes into the spigot that joins the crank's two pieces.",
        "Choose a motor with a shorter shaft, thicker discs, or two thicker output plates.",
    ),
    "wall of the crank's spigot": (
        "radius of the crank's screw and a wall, up to the distance of the spigot's flat from the axis",
        "The spigot that joins the crank's two pieces has no wall round its screw.",
        "Choose an eccentric bearing with a larger bore, or a smaller eccentricity.",
    ),
    "head of the crank's screw": (
        "radius of the crank's screw's head, its gap and a wall, up to the radius of the crank's journal",
        "The head of the crank's screw leaves no wall in the upper journal.",
        "Choose a crank bearing with a larger bore.",
    ),
    "crank's screw in its thread": (
        "height of the crank's screw's tip and 4 mm, up to the top of the spigot",
        "The screw that joins the crank's pieces isn't long enough in its thread.",
        "Choose a motor with a shorter shaft, thicker discs, or two thicker output plates.",
    ),
    "crank's screw above the motor's shaft": (
        "height of the motor's shaft's end, a gap, a wall and the thread's end, up to the tip of the crank's screw",
        "The shortest screw that could join the crank's pieces runs into the motor's shaft.",
        "Choose a motor with a shorter shaft, or thicker discs or plates.",
    ),
    "crank's screw clamps": (
        "top of the spigot and two walls, up to the face under the crank's screw's head",
        "The screw that joins the crank's pieces clamps no wall.",
        "Choose a wider crank bearing, or thicker plates.",
    ),
    "crank's neck as a ring": (
        "two layers of a print, up to the height of the crank's neck, a ring of its own between two thick journals",
        "The ring between the crank's two pieces is too thin to be printed.",
        "Choose a wider disc_gap, or a smaller crank bearing.",
    ),
    "motor's shaft below the hub": (
        "height of the motor's shaft's end and a gap, up to the hub above the crank's upper bearing",
        "The motor's shaft runs into the hub.",
        "Choose a motor with a shorter shaft, or thicker discs or plates.",
    ),
    "flat of the motor's shaft": (
        "how deep the flat of the motor's shaft is, below the shaft's radius",
        "No shaft has a flat as deep as that.",
        "Measure it again: the radius, less what is left from the axis to the flat.",
    ),
    "lead-ins inside the walls": (
        "width of the steps where something must find its way in, below the thinnest wall",
        "The steps at the mouths of holes break through the walls beside them.",
        "Choose a larger least_wall.",
    ),
    "ring pins' seats": (
        "a wall, up to how deep the ring pins' rods stand in their seats",
        "The seats are too shallow to hold the rods.",
        "Choose a larger seat_depth.",
    ),
    "output rods in their plates": (
        "diameter of the output rods, up to the thickness of the plates that they are pressed into",
        "The plates are too thin to hold the rods upright (common practice, no source).",
        "Choose a larger plate_thickness, or thinner rods.",
    ),
    "motor's shaft in the crank": (
        "6 mm (common practice, no source), up to the length of the motor's shaft that is in the crank",
        "The motor's shaft doesn't reach far enough into the crank.",
        "Choose a motor with a longer shaft.",
    ),
    "rod fills the output bearing": (
        "difference of radius between an output roller's bore and its rod, up to nothing",
        "The output roller's bearing doesn't sit on its rod.",
        "Choose the bearing's bore as thick as the rod.",
    ),
    "side play beside the upper spacer": (
        "side play and one line of a print, up to the distance from the upper eccentric to the crank's upper bearing",
        "The side play leaves no upper spacer on the crank.",
        "Choose less side play or thicker plates.",
    ),
    "side play below the flange": (
        "side play, below the gap between the upper disc and the flange",
        "The side play lets the upper disc rub on the flange.",
        "Choose less side play.",
    ),
    "upper bearing in the flange": (
        "height of the crank's upper bearing's bottom, up to the flange's top less two walls",
        "The flange doesn't hold the crank's upper bearing.",
        "Choose thicker plates, or a wider crank bearing.",
    ),
    "crank under the output": (
        "height of the crank's upper bearing's top, its lip and a wall, up to the hub's top",
        "The crank's upper bearing breaks through the hub.",
        "Choose a larger output_bearing_span.",
    ),
}
CAUGHT = "play that the cover's chamfer catches"
WORDS = ("can be built as a bench machine", "can't be built as a bench machine")
CAPTIONS = ("This reducer can be built as a bench machine", "This reducer can't be built as a bench machine")
