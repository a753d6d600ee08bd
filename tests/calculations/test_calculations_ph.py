"""The pH sums by their properties: the balance, the beliefs, the additions and what they refuse."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchapp.calculations.composition import CompositionLine, Part
from benchapp.calculations.ph_batch import plausible_batches
from benchapp.calculations.ph_chemistry import TITRANTS, Solution, solution_of, water_charge
from benchapp.calculations.ph_dose import needed_g, next_addition
from benchapp.calculations.ph_electrode import check_electrode, check_readings, nernst_slope_mv
from benchapp.calculations.ph_formula import dilution_g, percents_after, product_after_g, stated_by
from benchapp.calculations.ph_parts import SITES, Batch, Parts, PhReading, Stated, reading_sd_ph
from benchapp.calculations.ph_trial import TRIAL_ADDITIONS, answered, next_trial_addition

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from water_phases import CITRIC, Phase, Solute

CITRIC_10 = Solution(TITRANTS["citric acid"], 10.0)
SODA_10 = Solution(TITRANTS["sodium hydroxide"], 10.0)
BAND = (5.0, 5.8)
phs = st.floats(2.5, 11.0)


@given(ph=phs, step=st.floats(0.05, 2.0), name=st.sampled_from(sorted(TITRANTS)))
def test_a_titrant_loses_charge_as_ph_rises(ph: float, step: float, name: str) -> None:
    titrant = TITRANTS[name]
    assert titrant.charge(ph + step) <= titrant.charge(ph) + 1e-12
    assert titrant.buffering(ph) >= -1e-9


def test_pure_water_is_neutral_at_half_its_pk() -> None:
    assert water_charge(13.995 / 2) == pytest.approx(0.0, abs=1e-12)


@given(ph=phs)
def test_a_site_is_half_given_away_at_its_pka(ph: float) -> None:
    lost = Parts().lost(ph)
    assert all(
        (pka < ph) == (share > 0.5) for pka, share in zip(SITES, lost, strict=True) if abs(pka - ph) > 1e-9
    )


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), drop=st.floats(0.1, 1.5))
def test_the_needed_amount_brings_a_known_batch_exactly_there(seed: int, drop: float) -> None:
    """Against the generator's own solver, for a batch that is what the estimator believes it is."""
    rng = random.Random(seed)
    amounts = [rng.choice((0.0, rng.uniform(0.001, 0.03))) for _ in SITES]
    phase = Phase(
        500.0, [(Solute("site", (pka,)), c) for pka, c in zip(SITES, amounts, strict=True) if c], 0.0
    )
    start, parts = rng.uniform(4.5, 8.0), Parts()
    phase.strong = -phase.charge(start)
    grams = needed_g(
        parts, [Batch(tuple(amounts), -phase.strong)], PhReading(start, 500.0), CITRIC_10, start - drop
    )[0]
    phase.add(CITRIC, CITRIC_10.mol_kg, grams)
    assert phase.ph() == pytest.approx(start - drop, abs=0.002)


def test_a_diluted_sample_counts_its_water() -> None:
    plain, thin = PhReading(5.0, 100.0), PhReading(5.0, 100.0, water_parts=9.0)
    assert thin.known_charge(3.0) == pytest.approx(10 * plain.known_charge(3.0))


def test_the_same_readings_give_the_same_answer() -> None:
    readings = [PhReading(6.9, 500.0), PhReading(6.5, 500.0, ((CITRIC_10, 1.0),))]
    asked = [next_addition(readings, BAND, [CITRIC_10], 0.2, 20.0) for _ in range(2)]
    assert asked[0] == asked[1]
    assert asked[0].mass_g > 0


def test_a_formula_that_says_what_is_in_it_narrows_the_guess() -> None:
    start = PhReading(6.9, 500.0)
    stated = [
        Stated(TITRANTS["citric acid"], 0.009, 0.011),
        Stated(TITRANTS["triethanolamine"], 0.018, 0.022),
    ]
    blind, told = (next_addition([start], BAND, [CITRIC_10, Solution(TITRANTS["citric acid"], 0.1)], 0.2, 50.0, s) for s in ([], stated))  # fmt: skip
    assert told.in_band > 0.5 > blind.in_band
    assert told.mass_g * told.solution.percent > 10 * blind.mass_g * blind.solution.percent  # type: ignore[union-attr]


def test_never_more_than_the_cap_nor_less_than_the_scale_weighs() -> None:
    readings = [PhReading(6.9, 500.0), PhReading(6.8, 500.0, ((CITRIC_10, 2.0),))]
    assert next_addition(readings, BAND, [CITRIC_10], 0.2, 0.7).mass_g <= 0.7
    capped = next_addition(readings, BAND, [CITRIC_10], 0.2, 0.1)
    assert capped.mass_g == 0.0
    assert "no more" in capped.hindrance


def test_each_solution_has_a_cap_of_its_own() -> None:
    weak = Solution(TITRANTS["citric acid"], 1.0)
    asked = next_addition([PhReading(5.9, 500.0)], BAND, [CITRIC_10, weak], 0.5, [20.0, 0.3])
    other = next_addition([PhReading(5.9, 500.0)], BAND, [CITRIC_10, weak], 0.5, [0.3, 20.0])
    assert {asked.solution, other.solution} <= {CITRIC_10, weak}
    for found, of_strong in ((asked, 20.0), (other, 0.3)):
        cap_g = of_strong if found.solution == CITRIC_10 else 20.3 - of_strong
        assert found.mass_g <= cap_g


def test_no_more_is_weighed_than_is_safe() -> None:
    asked = next_addition([PhReading(6.9, 500.0)], BAND, [CITRIC_10], 0.01, 20.0)
    assert 0.0 < asked.mass_g <= asked.most_g <= 20.0


def test_a_strip_dares_less_than_a_meter() -> None:
    meter, strip = (next_addition([PhReading(6.5, 500.0, sd_ph=reading_sd_ph(step))], BAND, [CITRIC_10], 0.01, 20.0)
                    for step in (0.0, 0.5))  # fmt: skip
    assert 0.0 < strip.most_g < meter.most_g


def test_too_strong_a_solution_is_refused_with_the_strength_that_would_do() -> None:
    strong = Solution(TITRANTS["sodium hydroxide"], 40.0)
    asked = next_addition([PhReading(4.6, 50.0)], BAND, [strong], 0.5, 20.0)
    assert asked.mass_g == 0.0
    assert 0.0 < asked.dilute_to_percent < 40.0
    thin = Solution(strong.titrant, asked.dilute_to_percent)
    assert next_addition([PhReading(4.6, 50.0)], BAND, [thin], 0.5, 1e9).hindrance == ""


def test_nothing_to_add_in_band_or_without_the_right_bottle() -> None:
    assert next_addition([PhReading(5.4, 500.0)], BAND, [CITRIC_10], 0.2, 20.0).mass_g == 0.0
    assert "no solution" in next_addition([PhReading(4.0, 500.0)], BAND, [CITRIC_10], 0.2, 20.0).hindrance
    assert next_addition([PhReading(4.0, 500.0)], BAND, [SODA_10], 0.001, 20.0).mass_g > 0.0


def test_refuses_a_batch_never_measured_and_a_band_upside_down() -> None:
    with pytest.raises(ValueError, match="measure it first"):
        plausible_batches([])
    with pytest.raises(ValueError, match="upside down"):
        next_addition([PhReading(7.0, 500.0)], (5.8, 5.0), [CITRIC_10], 0.2, 20.0)


def in_a_trial(*ph_after: tuple[float, float], step_ph: float = 0.0) -> list[PhReading]:
    """Readings of a trial sample, each with the grams of citric acid that are in it by then."""
    return [PhReading(ph, 20.0, ((CITRIC_10, grams),), 4.0, reading_sd_ph(step_ph)) for ph, grams in ph_after]


@pytest.mark.parametrize(
    ("trial", "moved"),
    [
        ([], False), (in_a_trial((7.39, 0.05)), False), (in_a_trial((7.38, 0.05), (7.4, 1.4)), False),
        (in_a_trial((7.6, 0.3)), False), (in_a_trial((7.38, 0.05), (6.1, 0.3)), True),
        (in_a_trial((7.0, 0.3), step_ph=1.0), False),
    ],
)  # fmt: skip
def test_a_trial_sample_has_answered_where_it_moved_the_way_its_additions_go(trial, moved) -> None:
    assert answered(trial, PhReading(7.4, 500.0, (), 4.0)) is moved


def test_a_trial_comes_to_an_end() -> None:
    start = PhReading(7.0, 500.0)
    past = [PhReading(4.8, 20.0, ((CITRIC_10, 0.5),))]
    assert "complete" in next_trial_addition(start, past, BAND, [CITRIC_10], 0.01, 20.0).hindrance
    many = [PhReading(6.9 - i / 100, 20.0, ((CITRIC_10, 0.01 * (i + 1)),)) for i in range(TRIAL_ADDITIONS)]
    assert "complete" in next_trial_addition(start, many, BAND, [CITRIC_10], 0.01, 20.0).hindrance


def test_electrode_as_theory_has_it_passes_and_a_worn_one_does_not() -> None:
    k = nernst_slope_mv(25.0)
    good = check_electrode((7.0, 3.0), (4.005, 3.0 + 0.98 * k * 2.995), 25.0)
    assert not good.complaint
    assert (good.slope_percent, good.offset_mv) == (pytest.approx(98.0), pytest.approx(3.0))
    assert "slope 85 %" in check_electrode((7.0, 0.0), (4.0, 0.85 * k * 3), 25.0).complaint
    assert "offset 35 mV" in check_electrode((7.0, 35.0), (4.0, 35.0 + k * 3), 25.0).complaint
    with pytest.raises(ValueError, match="too close"):
        check_electrode((7.0, 0.0), (6.865, 8.0), 25.0)


def test_electrode_from_readings_alone() -> None:
    check = check_readings((7.0, 7.1), (4.0, 4.4), 25.0)
    assert check.slope_percent == pytest.approx(90.0)
    assert check.offset_mv == pytest.approx(-0.1 * nernst_slope_mv(25.0))


def test_the_solution_in_a_material() -> None:
    found = solution_of([("Aqua", 89, 91), ("Lactic Acid", 9, 11)])
    assert found is not None
    assert (found.titrant.name, found.percent, found.lowers) == ("lactic acid", 10.0, True)
    assert solution_of([("Aqua", 100, 100)]) is None
    assert solution_of([("Citric Acid", 5, 5), ("Lactic Acid", 5, 5)]) is None
    assert solution_of([("Arginine", 10, 10)]).lowers is False  # type: ignore[union-attr]


def test_what_a_formula_states() -> None:
    lines = [
        CompositionLine("Water", 99.5, (Part("Aqua", 100, 100),)),
        CompositionLine("Preservative", 0.5, (Part("Sodium Benzoate", 80, 100),)),
    ]
    (stated,) = stated_by(lines)
    assert stated.high_mol_kg == pytest.approx(0.5 * 10 / 144.11)
    assert stated.low_mol_kg == pytest.approx(0.8 * stated.high_mol_kg)


@given(batch=st.floats(50, 5000), added=st.floats(0, 50), lost=st.floats(0, 40))
def test_additions_thin_everything_and_count_in_the_yield(batch: float, added: float, lost: float) -> None:
    after = percents_after({"water": 80.0, "oil": 20.0}, batch, {"acid": added})
    assert sum(after.values()) == pytest.approx(100.0)
    assert after["oil"] <= 20.0 + 1e-9
    assert after["oil"] / after["water"] == pytest.approx(0.25)
    assert product_after_g(batch, added, lost) == pytest.approx(batch + added - lost)


@given(strong=st.floats(1, 50), share=st.floats(0.01, 0.99), make=st.floats(1, 500))
def test_a_dilution_holds_what_it_should(strong: float, share: float, make: float) -> None:
    solution, water = dilution_g(Solution(TITRANTS["citric acid"], strong), strong * share, make)
    assert solution + water == pytest.approx(make)
    assert solution * strong == pytest.approx(make * strong * share)


def test_a_dilution_cannot_make_it_stronger() -> None:
    with pytest.raises(ValueError, match="cannot be made"):
        dilution_g(CITRIC_10, 12.0, 100.0)
