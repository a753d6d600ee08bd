"""Regulation (EC) No 1223/2009: Annex V, Annex III (Regulation (EU) No 866/2014), Art. 19. Check your own market's law."""

from __future__ import annotations

from datetime import date

import pytest

from benchapp.calculations.composition import CompositionLine, Part, in_finished_mass
from benchapp.calculations.fragrance import allergens, labelled_as
from benchapp.calculations.label import durability, ingredient_list
from benchapp.calculations.limits import FROM_MEMORY, Law, check_limits, known_limits, table
from benchapp.foundation.language import Language, speaking

# (INCI, use, highest percent that passes): salts at the edge of their acid's ceiling, computed with library molmass.
EDGES = [
    ("Sodium Benzoate", "leave-on", 0.5899), ("Sodium Benzoate", "rinse-off", 2.9499),
    ("Potassium Benzoate", "leave-on", 0.6559), ("Potassium Benzoate", "rinse-off", 0.6559),
    ("Potassium Sorbate", "leave-on", 0.803), ("Calcium Sorbate", "leave-on", 0.7015), ("Sodium Sorbate", "leave-on", 0.7173),
    ("Potassium Salicylate", "leave-on", 0.6376), ("Sodium Dehydroacetate", "leave-on", 0.678),
    ("Sodium Methylparaben", "leave-on", 0.504), ("Potassium Methylparaben", "leave-on", 0.5506),
    ("Methylparaben", "leave-on", 0.4404), ("Sodium Propylparaben", "leave-on", 0.2048),
]  # fmt: skip

# Annex V, columns c, f and g (percent in the ready-for-use preparation), typed from the text a second time: the European
# Commission's CosIng data base, last update 28 August 2026. None: the entry allows the use nothing.
ANNEX_V = """
Benzoic Acid|2.5|0.5
Propionic Acid|2|2
Salicylic Acid|0.5|0.5
Sorbic Acid|0.6|0.6
o-Phenylphenol|0.2|0.15
Chlorobutanol|0.5|0.5
4-Hydroxybenzoic Acid|0.4|0.4
Dehydroacetic Acid|0.6|0.6
Formic Acid|0.5|0.5
Dibromohexamidine Isethionate|0.1|0.1
Undecylenic Acid|0.2|0.2
Hexetidine|0.1|0.1
5-Bromo-5-Nitro-1,3-Dioxane|0.1|0
2-Bromo-2-Nitropropane-1,3-Diol|0.1|0.1
Dichlorobenzyl Alcohol|0.15|0.15
Triclocarban|0.2|0.2
p-Chloro-m-Cresol|0.2|0.2
Triclosan|0.3|0.3
Chloroxylenol|0.5|0.5
Imidazolidinyl Urea|0.6|0.6
Polyaminopropyl Biguanide|0.1|0.1
Phenoxyethanol|1|1
Methenamine|0.15|0.15
Climbazole|0.5|0.2
DMDM Hydantoin|0.6|0.6
Benzyl Alcohol|1|1
Piroctone Olamine|1|0.5
Bromochlorophene|0.1|0.1
o-Cymen-5-ol|0.1|0.1
Methylchloroisothiazolinone|0.0015|0
Chlorhexidine|0.3|0.3
Phenoxyisopropanol|1|0
Cetrimonium Bromide|0.1|0.1
Dimethyl Oxazolidine|0.1|0.1
Diazolidinyl Urea|0.5|0.5
Hexamidine|0.1|0.1
Glutaral|0.1|0.1
7-Ethylbicyclooxazolidine|0.3|0.3
Chlorphenesin|0.3|0.3
Sodium Hydroxymethylglycinate|0.5|0.5
Silver Chloride|0.004|0.004
Benzethonium Chloride|0.1|0.1
Benzalkonium Chloride|0.1|0.1
Benzylhemiformal|0.15|0
Iodopropynyl Butylcarbamate|0.02|0.01
Methylisothiazolinone|0.0015|0
Ethyl Lauroyl Arginate HCl|0.4|0.4
Silver Citrate|0.2|0.2
Hydroxyethoxyphenyl Butanone|0.7|0.7
"""
# Annex III, columns f and g, from the same data base: what emulsified products meet.
ANNEX_III = """
Triethanolamine|-|2.5
Methyl Eugenol|0.001|0.0002
Isoeugenol|0.02|0.02
Hydroxycitronellal|1|1
Laureth-9|4|3
Ethoxydiglycol|10|2.6
BHT|0.8|0.8
Retinol|0.3|0.05
Kojic Acid|1|1
Genistein|0.007|0.007
Hexyl Salicylate|0.5|0.3
Furfural|0.001|0.001
"""
TABLE = [row.split("|") for row in (ANNEX_V + ANNEX_III).split("\n") if row]


def one(inci: str, percent: float) -> list[CompositionLine]:
    return [
        CompositionLine(inci, percent, (Part(inci, 100, 100),)),
        CompositionLine("Water", 100 - percent, (Part("Aqua", 100, 100),)),
    ]


@pytest.mark.parametrize(("inci", "use", "edge"), EDGES)
def test_a_salt_counts_as_its_acid(inci: str, use: str, edge: float) -> None:
    at, above = (check_limits(one(inci, p), use) for p in (edge, edge * 1.003))  # type: ignore[arg-type]
    assert at
    assert all(c.passed for c in at)
    assert not all(c.passed for c in above)


@pytest.mark.parametrize(("inci", "rinse_off", "leave_on"), TABLE, ids=[row[0] for row in TABLE])
def test_the_ceilings_are_those_of_the_text(inci: str, rinse_off: str, leave_on: str) -> None:
    for use, ceiling in (("rinse-off", rinse_off), ("leave-on", leave_on)):
        found = check_limits(one(inci, 0.00001), use, law=Law(("EU",)))  # type: ignore[arg-type]
        assert (min((c.ceiling_percent for c in found), default=None)) == (
            None if ceiling == "-" else float(ceiling)
        )


# Every name column b or n of Annex V gives for the acids with salts and esters.
NAMED = """AMMONIUM BENZOATE/BUTYL BENZOATE/CALCIUM BENZOATE/ETHYL BENZOATE/ISOBUTYL BENZOATE/ISOPROPYL BENZOATE/
MAGNESIUM BENZOATE/MEA-BENZOATE/METHYL BENZOATE/PHENYL BENZOATE/POTASSIUM BENZOATE/PROPYL BENZOATE/SODIUM BENZOATE/
AMMONIUM PROPIONATE/CALCIUM PROPIONATE/MAGNESIUM PROPIONATE/POTASSIUM PROPIONATE/SODIUM PROPIONATE/CALCIUM SALICYLATE/
MAGNESIUM SALICYLATE/MEA-SALICYLATE/POTASSIUM SALICYLATE/SODIUM SALICYLATE/TEA-SALICYLATE/CALCIUM SORBATE/POTASSIUM SORBATE/
SODIUM SORBATE/TEA-SORBATE/SODIUM O-PHENYLPHENATE/MEA O-PHENYLPHENATE/POTASSIUM O-PHENYLPHENATE/SODIUM SULFITE/
AMMONIUM BISULFITE/AMMONIUM SULFITE/POTASSIUM METABISULFITE/POTASSIUM SULFITE/SODIUM BISULFITE/SODIUM METABISULFITE/
BUTYLPARABEN/POTASSIUM BUTYLPARABEN/POTASSIUM PROPYLPARABEN/PROPYLPARABEN/SODIUM BUTYLPARABEN/SODIUM PROPYLPARABEN/
CALCIUM PARABEN/ETHYLPARABEN/METHYLPARABEN/POTASSIUM ETHYLPARABEN/POTASSIUM METHYLPARABEN/POTASSIUM PARABEN/
SODIUM ETHYLPARABEN/SODIUM METHYLPARABEN/SODIUM PARABEN/SODIUM DEHYDROACETATE/SODIUM FORMATE/CALCIUM UNDECYLENATE/
MEA-UNDECYLENATE/POTASSIUM UNDECYLENATE/SODIUM UNDECYLENATE/TEA-UNDECYLENATE/CHLORHEXIDINE DIGLUCONATE/PIROCTONE OLAMINE"""


@pytest.mark.parametrize("inci", [n.strip() for n in NAMED.split("/")])
def test_every_name_of_the_text_is_found_and_counts_as_less_than_itself(inci: str) -> None:
    found = check_limits(one(inci, 1.0), "leave-on")
    assert found
    assert all(c.percent <= 1.0 for c in found)


def test_an_ester_and_its_salt_are_added_up() -> None:
    """Methylparaben 0.3 % and its sodium salt 0.3 % are 0.51 % of the acid, where one ester may have 0.4 %."""
    lines = [
        *one("Methylparaben", 0.3),
        CompositionLine("Salt", 0.3, (Part("Sodium Methylparaben", 100, 100),)),
    ]
    failed = [c for c in check_limits(lines, "leave-on") if not c.passed]
    assert [(c.limit.name, round(c.percent, 2)) for c in failed] == [("methylparaben and its salts", 0.51)]


def test_esters_together_and_the_two_that_are_held_lower() -> None:
    lines = [
        CompositionLine(n, 0.42, (Part(n, 100, 100),))
        for n in ("Methylparaben", "Ethylparaben", "Calcium Paraben")
    ]
    assert [c.limit.name for c in check_limits(lines, "leave-on") if not c.passed] == ["parabens together"]
    two = [
        CompositionLine(n, 0.11, (Part(n, 100, 100),)) for n in ("Propylparaben", "Potassium Butylparaben")
    ]
    assert [
        "propyl- and butylparaben" in c.limit.name for c in check_limits(two, "leave-on") if not c.passed
    ] == [True]


def test_cetrimonium_by_area() -> None:
    hair, act_view = (
        check_limits(one("Cetrimonium Chloride", 0.9), "leave-on", area=a) for a in ("hair", "face")
    )
    assert [c.ceiling_percent for c in hair] == [1.0, 3.0]
    assert [c.passed for c in act_view] == [False, True]
    anywhere = check_limits(one("Cetrimonium Chloride", 0.9), "leave-on")
    assert not all(c.passed for c in anywhere)


def test_the_three_are_summed() -> None:
    lines = [
        *one("Cetrimonium Chloride", 2.4),
        CompositionLine("Behentrimonium", 2.7, (Part("Behentrimonium Chloride", 95, 100),)),
    ]
    failed = [c for c in check_limits(lines, "rinse-off") if not c.passed]
    assert [(round(c.percent, 6), c.ceiling_percent) for c in failed] == [(5.1, 5.0)]


def test_two_denominators() -> None:
    """Three percent of water lost turns 1.0 % into 1.031 %; the label's order keeps the mass as added."""
    assert in_finished_mass(1.0, 3.0) == pytest.approx(1.031, abs=0.0005)
    lines = one("Phenoxyethanol", 1.0)
    assert check_limits(lines, "leave-on")[0].passed
    assert not check_limits(lines, "leave-on", lost_percent=3.0)[0].passed
    assert ingredient_list(lines).names == ("Aqua", "Phenoxyethanol")


@pytest.mark.parametrize(("use", "above"), [("leave-on", 0.001), ("rinse-off", 0.01)])
def test_allergen_threshold(use: str, above: float) -> None:
    assert not allergens(one("Linalool", above), use)  # type: ignore[arg-type]
    assert [a.inci for a in allergens(one("Linalool", above * 1.01), use)] == ["Linalool"]  # type: ignore[arg-type]


def test_the_extension_carries_its_date() -> None:
    """Regulation (EU) 2023/1545: new products from 31 July 2026."""
    assert allergens(one("Menthol", 0.1), "leave-on")[0].due == "2026-07-31"
    assert table("allergens")["extended_all_products"] == date(2028, 7, 31)


def test_durability_up_to_thirty_months_is_a_date() -> None:
    assert durability(date(2026, 3, 15), 30).text == "Best used before the end of 08/2028"
    assert durability(date(2026, 3, 15), 30).until == date(2028, 8, 31)
    assert durability(date(2026, 3, 15), 36, 12).after_opening_months == 12
    with pytest.raises(ValueError, match="after opening"):
        durability(date(2026, 3, 15), 31)


def test_every_limit_names_its_entry_its_text_and_its_markets() -> None:
    for limit in known_limits():
        assert limit.entry.startswith("Annex ")
        assert (
            limit.source == FROM_MEMORY
            or "read in November 2026" in limit.source
            or "our own reading" in limit.source
        )
        assert set(limit.markets) <= set(table("markets"))
        assert limit.rinse_off_percent is not None or limit.leave_on_percent is not None


@pytest.mark.parametrize(
    "name", ["Methyldibromo Glutaronitrile", "Hydroquinone", "Tretinoin", "Retinoic Acid"]
)
def test_a_prohibition_that_was_not_read_in_a_text_says_so(name) -> None:
    (check,) = check_limits(one(name, 0.1), "leave-on")
    assert "not allowed in this use" in check.sentence
    assert FROM_MEMORY in check.sentence


def test_a_figure_that_was_read_says_nothing_of_memory() -> None:
    alone, together = check_limits(one("Sodium Benzoate", 0.1), "leave-on")
    assert "This figure" not in alone.sentence
    assert "our own reading of two entries together" in together.sentence


@pytest.mark.parametrize(
    ("written", "means"),
    [
        ("Methyl paraben", "Methylparaben"), ("Methyl 4-hydroxybenzoate", "Methylparaben"),
        ("Methylparaben, sodium salt", "Sodium Methylparaben"), ("Isobutyl-paraben", "Isobutylparaben"),
        ("Dehydroacetic acid sodium salt", "Sodium Dehydroacetate"), ("Benzylalcohol", "Benzyl Alcohol"),
        ("2-Phenoxyethanol", "Phenoxyethanol"), ("phenoxy ethanol", "Phenoxyethanol"), ("Formalin", "Formaldehyde"),
        ("2,4-hexadienoic acid", "Sorbic Acid"), ("POTASSIUM_SORBATE", "Potassium Sorbate"),
    ],
)  # fmt: skip
def test_a_name_written_otherwise_meets_the_same_ceilings(written: str, means: str) -> None:
    found = [(c.limit.entry, c.percent) for c in check_limits(one(written, 0.3), "leave-on")]
    assert found
    assert found == [(c.limit.entry, c.percent) for c in check_limits(one(means, 0.3), "leave-on")]


#: Annex II as the European Commission's CosIng data base gave it out, last changed on 21 July 2025: number, name.
PROHIBITED = (
    ("1374", "Isopropylparaben"), ("1374", "Sodium Isopropylparaben"), ("1375", "Isobutylparaben"),
    ("1375", "Potassium Isobutylparaben"), ("1376", "Phenylparaben"), ("1377", "Benzylparaben"),
    ("1378", "Pentylparaben"), ("1380", "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde"), ("1381", "Atranol"),
    ("1382", "Chloroatranol"), ("1385", "Quaternium-15"), ("1388", "Cyclotetrasiloxane"), ("1395", "Boric Acid"),
    ("1396", "Sodium Borate"), ("1396", "Zinc Borate"), ("1397", "Sodium Perborate"),
    ("1666", "Butylphenyl Methylpropional"), ("1670", "Zinc Pyrithione"),
)  # fmt: skip


@pytest.mark.parametrize(("number", "name"), PROHIBITED)
@pytest.mark.parametrize("use", ["leave-on", "rinse-off"])
def test_prohibited(number: str, name: str, use: str) -> None:
    found = check_limits(one(name, 0.001), use, law=Law(("EU",)))  # type: ignore[arg-type]
    (check,) = (c for c in found if c.limit.entry.startswith("Annex II "))
    first, _, last = check.limit.entry.removeprefix("Annex II ").replace(" and ", " to ").partition(" to ")
    assert int(first) <= int(number) <= int(last or first)
    assert not check.passed
    assert "read in November 2026" in check.limit.source


def test_what_uk_law_was_read_for_itself() -> None:
    """SI 2022/659, regulation 3(5): pyrithione zinc is Annex 2, entry 1669. SI 2025/413, Schedule: methyl salicylate 0.06 %."""
    (zinc,) = check_limits(one("Zinc Pyrithione", 0.001), "rinse-off", law=Law(("UK",)))
    assert (zinc.passed, zinc.limit.entry) == (False, "Annex II 1669 of UK law")
    for percent, passed in ((0.06, True), (0.0601, False)):
        (methyl,) = check_limits(one("Methyl Salicylate", percent), "leave-on", law=Law(("UK",)))
        assert methyl.passed is passed


def test_markets_differ() -> None:
    """Retinol: Regulation (EU) 2024/996; no such entry was found in UK law."""
    lines = one("Retinol", 0.5)
    assert [c.passed for c in check_limits(lines, "rinse-off", law=Law(("EU",)))] == [False]
    assert not check_limits(lines, "rinse-off", law=Law(("UK",)))
    assert "EU" in check_limits(lines, "rinse-off")[0].sentence


@pytest.mark.parametrize(("name", "label"), [
    ("Lavandula Angustifolia Oil", "Lavandula Oil/Extract"), ("Lavandula Angustifolia (Lavender) Flower/Leaf/Stem Extract", "Lavandula Oil/Extract"),
    ("Lavandula Hybrida Oil", "Lavandula Oil/Extract"), ("Lavender essential oil", "Lavandula Oil/Extract"), ("Lavandula Oil", "Lavandula Oil/Extract"),
    ("Citrus Aurantium Dulcis Peel Oil", "Citrus Aurantium Peel Oil"), ("Citrus Aurantium Dulcis (Orange) Peel Oil", "Citrus Aurantium Peel Oil"),
    ("Citrus Aurantium Amara Flower Oil", "Citrus Aurantium Flower Oil"), ("Citrus Aurantium Bergamia Peel Oil", "Citrus Aurantium Bergamia Peel Oil"),
    ("Citrus Limon Oil", "Citrus Limon Peel Oil"), ("Rosa Damascena Flower Oil", "Rose Flower Oil/Extract"), ("Rose absolute", "Rose Flower Oil/Extract"),
    ("Eugenia Caryophyllus Bud Oil", "Eugenia Caryophyllus Oil"), ("Mentha Piperita (Peppermint) Oil", "Mentha Piperita Oil"),
    ("Cananga Odorata Flower Oil", "Cananga Odorata Oil/Extract"), ("Pelargonium Graveolens Oil", "Pelargonium Graveolens Flower Oil"),
    ("alpha-Pinene", "Pinene"), ("d-Limonene", "Limonene"), ("Geranial", "Citral"),
    ("Rosa Canina Seed Oil", ""), ("Citrus Limon Seed Oil", ""), ("Avena Sativa Kernel Oil", ""), ("Rosa Damascena Flower Water", ""),
    ("Melaleuca Alternifolia Leaf Oil", ""),
])  # fmt: skip
def test_a_plant_counts_by_genus_species_and_part(name: str, label: str) -> None:
    assert labelled_as(name) == label


def test_a_share_is_written_with_the_decimal_mark_of_the_language() -> None:
    with speaking(Language("xx", decimal=",")):
        (check,) = check_limits(one("Phenoxyethanol", 0.6), "leave-on")
        assert "0,600 %" in check.sentence
