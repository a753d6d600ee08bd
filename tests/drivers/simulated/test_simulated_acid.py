"""pH by charge balance against the ideal-solution figures of textbooks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drivers.simulated.acid import ph_of, water_pk
from drivers.simulated.materials import (
    ARGININE,
    CITRIC,
    LACTIC,
    TRIETHANOLAMINE,
    Acid,
    acid_solution,
    base_solution,
    buffered,
    material_for,
    water,
)
from drivers.simulated.simulated_vessel import Mixture

PHOSPHORIC = Acid("phosphoric", (2.15, 7.20, 12.35))
ACIDS = [CITRIC, LACTIC, PHOSPHORIC, TRIETHANOLAMINE, ARGININE]


@pytest.mark.parametrize(
    ("acid", "mol_l", "expected"), [(CITRIC, 0.1, 2.08), (CITRIC, 0.01, 2.62), (LACTIC, 0.1, 2.44)]
)
def test_free_acids(acid: Acid, mol_l: float, expected: float) -> None:
    """Ideal solution, pKa of the CRC tables: computed outside the project."""
    assert ph_of({acid: mol_l}, 0.0) == pytest.approx(expected, abs=0.01)


def test_water_and_strong_base_by_definition() -> None:
    assert ph_of({}, 0.0) == pytest.approx(water_pk(25.0) / 2)
    assert ph_of({}, 0.01) == pytest.approx(12.0, abs=0.01)
    assert ph_of({}, -0.01) == pytest.approx(2.0, abs=0.01)


@pytest.mark.parametrize(("temp_c", "pk"), [(0, 14.94), (25, 13.995), (40, 13.53), (60, 13.02)])
def test_ion_product_of_water(temp_c: float, pk: float) -> None:
    """CRC tables, from memory."""
    assert water_pk(temp_c) == pytest.approx(pk, abs=0.02)


def test_henderson_and_hasselbalch_in_the_middle_of_a_buffer() -> None:
    """pH = pKa + log(salt / acid), textbook."""
    assert ph_of({LACTIC: 0.1}, 0.05) == pytest.approx(3.857, abs=0.01)
    assert ph_of({LACTIC: 0.1}, 0.1 * 10 / 11) == pytest.approx(4.857, abs=0.01)
    assert Mixture.of(
        buffered("check", Acid("buffer", (4.01,)), 0.05, 0.5, 0.99), 20.0
    ).ph() == pytest.approx(4.01, abs=0.01)


def test_the_free_base_is_basic_and_its_half_neutralised_form_sits_at_its_pka() -> None:
    assert ph_of({TRIETHANOLAMINE: 0.1}, 0.0) > 10.0
    assert ph_of({TRIETHANOLAMINE: 0.1}, -0.05) == pytest.approx(7.76, abs=0.01)


@given(
    amounts=st.lists(st.tuples(st.sampled_from(ACIDS), st.floats(1e-6, 1.0)), min_size=1, max_size=4),
    strong=st.floats(-0.5, 0.5),
    more=st.floats(1e-4, 0.5),
)
def test_more_base_never_lowers_ph(amounts: list[tuple[Acid, float]], strong: float, more: float) -> None:
    acids = dict(amounts)
    assert ph_of(acids, strong + more) >= ph_of(acids, strong)


def test_dilution_moves_an_acid_towards_neutral_and_drying_keeps_the_acid() -> None:
    mixture = Mixture.of(acid_solution("citric acid", percent=1.0), 10.0)
    first = mixture.ph()
    mixture.add(Mixture.of(water(), 90.0))
    diluted = mixture.ph()
    mixture.evaporate(mixture.water_g - 9.9)
    assert first is not None
    assert diluted is not None
    assert first + 0.4 < diluted < 7.0
    assert mixture.ph() == pytest.approx(first, abs=0.01)


def test_a_sample_takes_its_share_of_the_acid_with_it() -> None:
    batch = Mixture.of(acid_solution("citric acid", percent=2.0), 100.0)
    before = batch.acid_mol[CITRIC]
    sample = batch.take(25.0)
    assert sample.acid_mol[CITRIC] == pytest.approx(before / 4.0)
    assert batch.acid_mol[CITRIC] == pytest.approx(before * 3.0 / 4.0)
    assert sample.ph() == pytest.approx(batch.ph())


def test_neutralising_citric_acid_with_three_moles_of_soda() -> None:
    """1 mol of citric acid takes 3 of sodium hydroxide; trisodium citrate at 0.1 mol/l is near pH 8.4 to 9.7."""
    mixture = Mixture.of(acid_solution("acid", percent=20.0, g_mol=192.124), 9.6062)  # 10 mmol
    mixture.add(Mixture.of(base_solution("soda", percent=10.0), 11.9991))  # 30 mmol
    mixture.add(Mixture.of(water(), 80.0))
    assert 8.3 < (mixture.ph() or 0.0) < 9.8


def test_an_oil_has_no_ph() -> None:
    assert Mixture.of(material_for("oil", "Sunflower oil"), 50.0).ph() is None
