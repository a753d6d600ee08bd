"""Regulation (EC) No 1223/2009: Annex V, Annex III (Regulation (EU) No 866/2014), Art. 19. Check your own market's law."""

from __future__ import annotations

from datetime import date

import pytest
from molmass import Formula

from benchapp.calculations.composition import CompositionLine, Part, in_finished_mass
from benchapp.calculations.label import allergens, durability, ingredient_list
from benchapp.calculations.limits import check_limits, known_limits, table

# (INCI, use, highest percent that passes): salts at the edge of their acid's ceiling.
EDGES = [
    ("Sodium Benzoate", "leave-on", 0.5899), ("Sodium Benzoate", "rinse-off", 2.9499),
    ("Potassium Sorbate", "leave-on", 0.803), ("Sodium Dehydroacetate", "leave-on", 0.678),
    ("Benzoic Acid", "leave-on", 0.5), ("Phenoxyethanol", "leave-on", 1.0), ("Benzyl Alcohol", "rinse-off", 1.0),
    ("Chlorphenesin", "leave-on", 0.3), ("Salicylic Acid", "leave-on", 0.5), ("o-Phenylphenol", "rinse-off", 0.2),
    ("o-Phenylphenol", "leave-on", 0.15), ("Behentrimonium Chloride", "rinse-off", 5.0),
]  # fmt: skip
FORMULAS = {
    "Benzoic Acid": "C7H6O2", "Sodium Benzoate": "C7H5O2Na", "Sorbic Acid": "C6H8O2", "Potassium Sorbate": "C6H7O2K",
    "Dehydroacetic Acid": "C8H8O4", "Sodium Dehydroacetate": "C8H7O4Na", "Salicylic Acid": "C7H6O3",
    "Sodium Salicylate": "C7H5O3Na", "Methylparaben": "C8H8O3", "Ethylparaben": "C9H10O3", "Propylparaben": "C10H12O3",
    "Butylparaben": "C11H14O3", "Sodium Methylparaben": "C8H7O3Na", "Sodium Ethylparaben": "C9H9O3Na",
    "Sodium Propylparaben": "C10H11O3Na", "Sodium Butylparaben": "C11H13O3Na",
}  # fmt: skip


def one(inci: str, percent: float) -> list[CompositionLine]:
    return [
        CompositionLine(inci, percent, (Part(inci, 100, 100),)),
        CompositionLine("Water", 100 - percent, (Part("Aqua", 100, 100),)),
    ]


@pytest.mark.parametrize(("inci", "use", "edge"), EDGES)
def test_ceiling(inci: str, use: str, edge: float) -> None:
    at, above = (check_limits(one(inci, p), use, area="hair") for p in (edge, edge * 1.003))  # type: ignore[arg-type]
    assert at
    assert all(c.passed for c in at)
    assert not all(c.passed for c in above)


def test_cetrimonium_by_area() -> None:
    hair, act_view = (
        check_limits(one("Cetrimonium Chloride", 0.9), "leave-on", area=a) for a in ("hair", "face")
    )
    assert [c.ceiling_percent for c in hair] == [1.0]
    assert [c.passed for c in act_view] == [False]
    anywhere = check_limits(one("Cetrimonium Chloride", 0.9), "leave-on")
    assert not all(c.passed for c in anywhere)


def test_the_three_are_summed() -> None:
    lines = [
        *one("Cetrimonium Chloride", 2.4),
        CompositionLine("Behentrimonium", 2.7, (Part("Behentrimonium Chloride", 95, 100),)),
    ]
    failed = [c for c in check_limits(lines, "rinse-off") if not c.passed]
    assert [(round(c.percent, 6), c.ceiling_percent) for c in failed] == [(5.1, 5.0)]


def test_molar_masses_are_those_of_the_formulas() -> None:
    """Library molmass (standard atomic weights)."""
    rows = {
        s["inci"]: s["g_mol"] for row in table("limits")["limit"] for s in row["substances"] if "g_mol" in s
    }
    assert rows.keys() == FORMULAS.keys()
    for inci, g_mol in rows.items():
        assert g_mol == pytest.approx(Formula(FORMULAS[inci]).mass, abs=0.005), inci


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


def test_every_limit_names_its_entry_and_a_ceiling() -> None:
    for limit in known_limits():
        assert limit.entry.startswith("Annex ")
        assert limit.rinse_off_percent or limit.leave_on_percent
