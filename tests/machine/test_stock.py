"""Bearings and materials that are bought, against the standard's dimensions and the sources' ranges.

Sources
-------
ISO 15, Rolling bearings - Radial bearings - Boundary dimensions, general plan: d, D and B of single row ball bearings.
The wider shielded 686 and 688: makers' catalogues. Moduli and strengths: NSK rolling bearings catalogue, appendix 8;
PMC10113796, Table 6; PMC10406103; Engineering Plastics Handbook, Table 5.5. Densities, the rod from a shop, and how far
prints and makers differ beyond those sources: from memory.
"""

import pytest

from cyclokit.machine.stock import BEARINGS, MATERIALS, Bearing

ISO_15 = """
623 3x10x4, 624 4x13x5, 625 5x16x5, 626 6x19x6, 607 7x19x6, 608 8x22x7, 686 6x13x3.5, 686ZZ 6x13x5, 688 8x16x4,
688ZZ 8x16x5, 61800 10x19x5, 61801 12x21x5, 61802 15x24x5, 61803 17x26x5, 61804 20x32x7, 61805 25x37x7, 61806 30x42x7,
61807 35x47x7, 61808 40x52x7, 61900 10x22x6, 61904 20x37x9, 61905 25x42x9
"""
GPA = 1000.0  # MPa
SOURCES = {  # modulus [GPa], strength along and across the layers [MPa], as the sources print them
    "bearing steel": ((208, 208), (1570, 1960), (1570, 1960)),
    "PLA": ((3, 4), (50, 65), (35, 45)),
    "PETG": ((2.0, 2.1), (38, 56), (25, 38)),
    "ABS": ((1.4, 3.2), (35, 38), None),
    "PA12, sintered": ((1.5, 1.8), (43, 48), None),
    "POM homopolymer": ((3.0, 3.0), (72, 72), (72, 72)),
    "POM copolymer": ((2.5, 2.5), (65, 65), (65, 65)),
}


def test_bearings_have_the_standards_dimensions():
    listed = dict(row.split() for row in ISO_15.replace("\n", " ").split(","))
    ours = {b.name: f"{b.bore_diameter:g}x{b.outer_diameter:g}x{b.width:g}" for b in BEARINGS.values()}
    assert ours == listed
    assert all(name == bearing.name for name, bearing in BEARINGS.items())


def test_thin_bearings_follow_the_standards_bore_numbers():
    # ISO 15's series 18 and 19: the last two digits are 00, 01, 02, 03 for 10, 12, 15, 17 mm, and a fifth of the bore
    # from 04 on (any bearing catalogue, from memory)
    small = {"00": 10, "01": 12, "02": 15, "03": 17}
    for name, bearing in BEARINGS.items():
        if name.startswith("61"):
            assert bearing.bore_diameter == small.get(name[-2:], 5 * int(name[-2:]))


def test_the_story_needs_a_roller_of_10_mm_and_the_623_is_one():
    assert BEARINGS["623"].outer_diameter == 10


@pytest.mark.parametrize("bearing", BEARINGS.values(), ids=BEARINGS)
def test_a_shoulder_lies_on_the_inner_ring(bearing):
    # both rings and the balls between them share the height; the inner ring has a good quarter of it
    share = (2 * bearing.shoulder_radius - bearing.bore_diameter) / (bearing.outer_diameter - bearing.bore_diameter)
    assert share == pytest.approx(0.25)
    into_the_outer = bearing.outer_diameter / 2 - bearing.lip_radius
    assert into_the_outer == pytest.approx(bearing.shoulder_radius - bearing.bore_diameter / 2)  # rings alike


def test_the_shoulder_stays_below_a_makers():
    # bearing 608: a maker's inner ring is 12.1 mm over its shoulder (makers' catalogues, from memory)
    assert 8 < 2 * BEARINGS["608"].shoulder_radius < 12.1


def within(inner, outer):
    return outer[0] <= inner[0] and inner[1] <= outer[1]


@pytest.mark.parametrize("name", SOURCES)
def test_a_materials_ranges_hold_those_of_its_sources(name):
    modulus, along, across = SOURCES[name]
    material = MATERIALS[name]
    assert within([GPA * size for size in modulus], material.modulus)
    assert within(along, material.strength)
    assert (across is None) == (material.strength_across is None)
    assert across is None or within(across, material.strength_across)
    assert material.source


def test_every_material_is_held_against_a_source_but_the_rod_that_has_none():
    assert set(MATERIALS) == set(SOURCES) | {"plain steel"}
    assert "from memory" in MATERIALS["plain steel"].source


@pytest.mark.parametrize("name", [name for name in MATERIALS if "steel" not in name])
def test_no_plastics_figure_is_given_as_if_it_were_one_number(name):
    # a printed bar's modulus and strength scatter by a tenth and more between printers (from memory), a moulded POM's
    # by some hundredths between makers
    material = MATERIALS[name]
    least = 0.07 if "POM" in name else 0.15
    for figures in (material.modulus, material.strength, material.strength_across):
        if figures is not None:
            assert (figures[1] - figures[0]) / (figures[1] + figures[0]) >= least


def test_a_rod_from_a_shop_is_weaker_than_a_hardened_bearing():
    assert MATERIALS["plain steel"].strength[1] < MATERIALS["bearing steel"].strength[0]


@pytest.mark.parametrize("material", MATERIALS.values(), ids=MATERIALS)
def test_ranges_rise_and_layers_are_weaker_across(material):
    ranges = [material.modulus, material.strength, material.density]
    assert all(0 < least <= most for least, most in ranges)
    if material.strength_across:
        assert material.strength_across[0] <= material.strength[0]
        assert material.strength_across[1] <= material.strength[1]


def test_a_cubic_centimetre_of_each_weighs_what_one_knows():
    # grams, from memory: water is 1, steel nearly 8, plastics are about 1 to 1.4
    grams = {name: sum(material.density) / 2 * 1e3 * 1e6 for name, material in MATERIALS.items()}
    assert all(7.7 < grams.pop(name) < 8.0 for name in ("bearing steel", "plain steel"))
    assert all(0.9 < weight < 1.5 for weight in grams.values())


@pytest.mark.parametrize(
    ("sizes", "named"),
    [((10, 3, 4), "bore_diameter is 10"), ((3, 10, 0), "width is 0"), ((3, float("inf"), 4), "outer_diameter is inf")],
)
def test_an_impossible_bearing_is_refused_by_name(sizes, named):
    with pytest.raises(ValueError, match=named):
        Bearing("odd", *sizes)


def test_a_bearing_needs_a_name():
    with pytest.raises(ValueError, match="name is ''"):
        Bearing("", 3, 10, 4)
