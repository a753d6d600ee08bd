"""Salts and esters held against library molmass, over all names of all acids of the table."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from molmass import Formula

from benchapp.calculations.limits import known_acids
from benchapp.calculations.substances import ATOMS, CATIONS, ESTERS, is_water, molar_mass, same_name

ACIDS = st.sampled_from([*known_acids().values()])
COUNTS = st.dictionaries(st.sampled_from([*ATOMS]), st.integers(1, 40), min_size=1, max_size=5)


@given(COUNTS)
def test_a_molar_mass_is_that_of_molmass(counts):
    formula = "".join(f"{atom}{n}" for atom, n in counts.items())
    assert molar_mass(formula) == pytest.approx(Formula(formula).mass, rel=2e-4)


@pytest.mark.parametrize("formula", ["", "benzoic", "C7H6O2.", "(CH3)2", "Xx2"])
def test_what_is_no_formula_is_refused(formula):
    with pytest.raises(ValueError, match=r"formula|atomic weight"):
        molar_mass(formula)


def salt(formula: str, cation: str) -> Formula:
    ion, charge = CATIONS[cation]
    anion = Formula(formula) - Formula("H")
    return Formula("".join([f"({anion.formula})"] * charge) + f"({ion})")


@given(ACIDS, st.sampled_from([*CATIONS]))
def test_a_salt_holds_as_much_acid_as_molmass_says(acid, cation):
    (factor,) = set(acid.factors([cation]).values())
    expected = CATIONS[cation][1] * Formula(acid.formula).mass / salt(acid.formula, cation).mass
    assert factor == pytest.approx(expected, rel=1e-4)


@given(ACIDS.filter(lambda a: a.ester), st.sampled_from([*ESTERS]), st.sampled_from([*CATIONS]))
def test_an_ester_and_its_salts_hold_as_much_acid_as_molmass_says(acid, alkyl, cation):
    ester = Formula(acid.formula) - Formula("H") + Formula(ESTERS[alkyl])
    (factor,) = set(acid.factors([alkyl]).values())
    assert factor == pytest.approx(Formula(acid.formula).mass / ester.mass, rel=1e-4)
    salts = acid.factors([f"{alkyl} salts"])
    of_salt = salts[same_name(f"{cation} {acid.ester.format(alkyl)}")]
    expected = CATIONS[cation][1] * Formula(acid.formula).mass / salt(ester.formula, cation).mass
    assert of_salt == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(("one", "other"), [
    ("Sodium  benzoate", "SODIUM BENZOATE"), ("MEA-Benzoate", "mea benzoate"), ("Triethanolamine Salicylate", "TEA-Salicylate"),
    ("Methyl paraben", "Methylparaben"), ("Methyl-Paraben", "methylparaben"), ("Sodium_Benzoate.", "Sodium Benzoate"),
    ("Sodium\u200bBenzoate", "Sodium Benzoate"), ("Sodium/Benzoate", "sodium benzoate"), ("α-Pinene", "Alpha-Pinene"),
    ("Lavandula Angustifolia (Lavender) Oil", "lavandula angustifolia oil"), ("Acétyl Cedrene", "Acetyl Cedrene"),
])  # fmt: skip
def test_two_ways_to_write_a_name(one, other):
    assert same_name(one) == same_name(other)


@pytest.mark.parametrize(
    ("inci", "water"),
    [
        ("Aqua", True),
        ("WATER", True),
        ("Water (Aqua)", True),
        ("Aqua/Water/Eau", True),
        ("Rosa Damascena Flower Water", False),
        ("", False),
    ],
)
def test_water_has_a_few_names_and_pairs_of_them(inci, water):
    assert is_water(inci) is water
