"""What the tables say, what they are silent about, and a workshop's own file of law."""

from __future__ import annotations

import pytest
from catalogue import marked, outside

from benchapp.calculations.composition import CompositionLine, Part
from benchapp.calculations.fragrance import allergens, labelled_as, undeclared_fragrance
from benchapp.calculations.limits import CHECK_YOUR_LAW, Law, check_limits, conditions, not_known, unlimited
from benchapp.calculations.own_limits import read_law
from benchapp.foundation.language import speaking


def line(name: str, percent: float, *parts: tuple[str, float, float]) -> CompositionLine:
    return CompositionLine(name, percent, tuple(Part(*p) for p in (parts or ((name, 100, 100),))))


# Invented for the demo.
LOTION = [
    line("Aqua", 95.0), line("Glycerin", 3.0), line("Phenoxyethanol", 0.9995), line("Lactic Acid", 1.0005),
]  # fmt: skip


def test_what_no_ceiling_is_known_for_is_said_in_one_line():
    assert unlimited(LOTION, "leave-on") == ("Glycerin", "Lactic Acid")
    said = not_known(LOTION, "leave-on")
    assert said.startswith(
        "No ceiling known for: Glycerin, Lactic Acid. The market's current law decides (EU: "
    )
    assert said.endswith(CHECK_YOUR_LAW)


def test_a_formula_the_tables_know_whole_says_still_that_the_law_decides():
    assert not_known([line("Aqua", 99.5), line("Phenoxyethanol", 0.5)], "leave-on").startswith(
        "The market's current law"
    )


def test_a_ceiling_of_another_use_is_no_known_ceiling():
    assert unlimited([line("Triethanolamine", 1.0)], "rinse-off") == ("Triethanolamine",)
    assert unlimited([line("Triethanolamine", 1.0)], "leave-on") == ()


def test_water_lost_moves_a_share_over_its_ceiling():
    """0.9995 % with 3 % of everything lost is 1.030 % of what is left."""
    (before,), (after,) = check_limits(LOTION, "leave-on"), check_limits(LOTION, "leave-on", 3.0)
    assert before.passed
    assert (after.passed, round(after.percent, 3)) == (False, 1.030)


def test_a_use_that_is_not_allowed_is_no_ceiling_of_nought_percent():
    (check,) = check_limits([line("Methylisothiazolinone", 0.0004)], "leave-on")
    assert not check.passed
    assert "up to 0.0004 %, not allowed in this use" in check.sentence


def test_a_raw_material_that_brings_a_prohibited_one():
    brought = line(
        "Polymer emulsion", 2.0, ("Polyacrylamide", 40, 41), ("Formaldehyde", 0, 0.01), ("Aqua", 59, 60)
    )
    assert [c.limit.name for c in check_limits([brought], "rinse-off") if not c.passed] == [
        "formaldehyde as such"
    ]


@pytest.mark.parametrize(("inci", "word"), [
    ("DMDM Hydantoin", "releases formaldehyde"), ("Sodium Hydroxide", "pH 11"), ("Limonene", "peroxide value"),
    ("Hydrolyzed Wheat Protein", "3.5 kDa"),
])  # fmt: skip
def test_what_the_law_asks_beside_a_percentage(inci, word):
    assert word in conditions([line(inci, 0.1)])[0]


def test_what_the_law_asks_and_whose_it_is_are_said_in_the_language_that_is_spoken():
    with speaking(marked()):
        asked = conditions([line("Sodium Hydroxide", 0.1)])[0]
        silent = not_known(LOTION, "leave-on")
    assert outside(asked) == "Sodium Hydroxide:  (Annex III 15a)."
    assert "as of" not in outside(silent)


def test_an_essential_oil_is_named_and_its_constituents_are_asked_for():
    oil = line("Lavender", 0.2, ("Lavandula Angustifolia Oil", 100, 100))
    assert [(a.inci, round(a.percent, 3)) for a in allergens([oil], "leave-on")] == [
        ("Lavandula Oil/Extract", 0.2)
    ]
    assert undeclared_fragrance([oil]) == ("Lavender",)
    told = line(
        "Lavender",
        0.2,
        ("Lavandula Angustifolia Oil", 50, 60),
        ("Linalool", 30, 40),
        ("Linalyl Acetate", 10, 20),
    )
    assert undeclared_fragrance([told]) == ()
    assert [a.inci for a in allergens([told], "leave-on")] == [
        "Lavandula Oil/Extract",
        "Linalool",
        "Linalyl Acetate",
    ]


def test_an_oil_without_an_entry_of_its_own_asks_for_its_constituents():
    assert undeclared_fragrance([line("Melaleuca Alternifolia Leaf Oil", 0.5)]) == (
        "Melaleuca Alternifolia Leaf Oil",
    )
    assert undeclared_fragrance([line("Helianthus Annuus Seed Oil", 5.0)]) == ()


def test_oils_of_one_entry_are_added_up():
    """Each under 0.001 %, both together above it."""
    two = [line("Lavandula Hybrida Oil", 0.0006), line("Lavandula Angustifolia Oil", 0.0006)]
    assert [a.inci for a in allergens(two, "leave-on")] == ["Lavandula Oil/Extract"]


OWN = """
markets = ["EU", "Farshore"]
by = "Ines Tern, safety assessor"
date = 2026-11-03
limit = [
    { inci = "Phenoxyethanol", percent = 0.8 },
    { inci = "Lactic Acid", leave_on = 1.0, market = "Farshore", entry = "Farshore list 4" },
]
"""


def test_a_workshops_own_limits_are_checked_like_the_laws():
    law = read_law(OWN)
    failed = [c for c in check_limits(LOTION, "leave-on", law=law) if not c.passed]
    assert [c.ceiling_percent for c in failed] == [0.8, 1.0]
    assert "own limit, Ines Tern, safety assessor, 2026-11-03" in failed[0].sentence
    assert "Farshore list 4" in failed[1].sentence
    assert unlimited(LOTION, "leave-on", law) == ("Glycerin",)
    assert "Farshore: own file only" in not_known(LOTION, "leave-on", law)


@pytest.mark.parametrize(("text", "said"), [
    ("markets = []", "list of names"), ('market = ["EU"]', "no field market"), ("limit = 3", "list of tables"),
    ('markets = ["Farshore"]', "Nothing is known of the market Farshore"),
    ('limit = [{ inci = "Menthol", percent = 1.0 }]', "whose limits"),
    ('by = "A"\ndate = 2026-01-01\nlimit = [{ inci = "Menthol" }]', "has percent"),
    ('by = "A"\ndate = 2026-01-01\nlimit = [{ inci = "Menthol", percent = 101 }]', "0 to 100"),
    ('by = "A"\ndate = 2026-01-01\nlimit = [{ percent = 1.0 }]', "names its substance"),
    ('by = "A"\ndate = 2026-01-01\nlimit = [{ inci = "Menthol", max = 1.0 }]', "no field max"),
    ('by = "A"\ndate = 2026-01-01\nlimit = [{ acid = "benzoic acid", forms = ["gold"], percent = 1.0 }]', "no form of"),
    ("markets = [", "can be read"),
])  # fmt: skip
def test_what_is_no_file_of_law_says_why(text, said):
    with pytest.raises(ValueError, match=said):
        read_law(text)


def test_the_named_markets_alone_are_checked():
    assert not check_limits([line("Genistein", 0.01)], "leave-on", law=Law(("UK",)))
    assert check_limits([line("Genistein", 0.01)], "leave-on", law=Law(("EU",)))


@pytest.mark.parametrize(
    ("written", "label"),
    [
        ("Oil of Lavender", "Lavandula Oil/Extract"), ("Rose otto", "Rose Flower Oil/Extract"),
        ("Sweet orange oil", "Citrus Aurantium Peel Oil"), ("Lemon grass oil", "Lemongrass Oil"),
        ("Lemon oil", "Citrus Limon Peel Oil"), ("Lemon myrtle oil", ""), ("Rose hip seed oil", ""),
        ("Rose geranium oil", "Pelargonium Graveolens Flower Oil"), ("Eucalyptus citriodora oil", ""),
        ("α-Pinene", "Pinene"), ("dl-Limonene", "Limonene"),
    ],
)  # fmt: skip
def test_an_oil_goes_by_the_plant_its_name_means(written, label):
    assert labelled_as(written) == label


@pytest.mark.parametrize(
    ("written", "asked"),
    [
        ("Tea tree oil", True), ("Melissa oil", True), ("Lavandula spica oil", True), ("Citrus Limon Fruit Oil", True),
        ("Prunus Amygdalus Dulcis Oil", False), ("Hippophae Rhamnoides Fruit Oil", False), ("Citrus Limon Seed Oil", False),
    ],
)  # fmt: skip
def test_what_is_not_known_of_a_scented_oil_is_asked(written, asked):
    assert bool(undeclared_fragrance([line(written, 0.5)])) is asked
