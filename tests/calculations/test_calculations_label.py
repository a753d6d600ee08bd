"""Label and ceilings on a small invented formula: worst case, order, doubts, fragrance, durability, pH window."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.composition import CompositionLine, Part, in_finished_mass, shares_as_added
from benchapp.calculations.fragrance import undeclared_fragrance
from benchapp.calculations.label import durability, ingredient_list
from benchapp.calculations.limits import check_limits, preservative_window_complaint

# Invented for the demo.
LOTION = [
    CompositionLine("Purified water", 84.0, (Part("Aqua", 100, 100),)),
    CompositionLine(
        "Emulsifying wax", 12.0, (Part("Glyceryl Stearate", 45, 55), Part("PEG-100 Stearate", 45, 55))
    ),
    CompositionLine("Preservative", 1.1, (Part("Phenoxyethanol", 89, 91), Part("Aqua", 9, 11))),
    CompositionLine(
        "Protein",
        1.9,
        (Part("Aqua", 74, 80), Part("Hydrolyzed Oat Protein", 20, 25), Part("Phenoxyethanol", 0, 0.5)),
    ),
    CompositionLine("Scent", 0.6, (Part("Parfum", 100, 100),)),
    CompositionLine("Colour", 0.4, (Part("CI 77491", 100, 100),)),
]


def test_order_doubts_and_the_free_end() -> None:
    listed = ingredient_list(LOTION)
    assert listed.names[0] == "Aqua"
    assert set(listed.names[1:3]) == {"Glyceryl Stearate", "PEG-100 Stearate"}
    assert listed.names[3] == "Phenoxyethanol"  # up to 1.0105 %: not free
    assert listed.free_from == 4
    assert listed.names[-1] == "CI 77491"
    assert listed.doubts == ()
    assert listed.text.startswith("Ingredients: Aqua, ")


def test_overlapping_ranges_are_said() -> None:
    lines = [CompositionLine("Mix", 10.0, (Part("First", 40, 60), Part("Second", 35, 65)))]
    assert "First and Second could stand the other way round" in ingredient_list(lines).doubts[0]


def test_the_worst_case_over_two_materials_counts() -> None:
    (check,) = check_limits(LOTION, "leave-on")
    assert check.percent == pytest.approx(1.1 * 0.91 + 1.9 * 0.005)
    assert not check.passed
    assert "ABOVE 1 %" in check.sentence
    assert "current law" in check.sentence


def test_a_fragrance_that_names_nothing() -> None:
    assert undeclared_fragrance(LOTION) == ("Scent",)
    named = [CompositionLine("Scent", 0.6, (Part("Parfum", 100, 100), Part("Linalool", 0, 2)))]
    assert undeclared_fragrance(named) == ()


def test_a_substance_stands_once_whichever_of_its_names_a_supplier_gives() -> None:
    formula = [
        CompositionLine("Purified water", 60.0, (Part("Aqua", 100, 100),)),
        CompositionLine("Cetearyl alcohol", 15.0, (Part("Cetearyl Alcohol", 100, 100),)),
        CompositionLine(
            "Panthenol solution", 10.0, (Part("Panthenol", 50, 50), Part("Water (Aqua)", 50, 50))
        ),
        CompositionLine("Wax blend", 15.0, (Part("Cetearyl-alcohol", 60, 60), Part("Lanolin", 40, 40))),
    ]
    assert ingredient_list(formula).names == ("Aqua", "Cetearyl Alcohol", "Lanolin", "Panthenol")
    assert shares_as_added(formula)["aqua"].likely_percent == 65.0


shares = st.lists(st.floats(0.05, 50), min_size=2, max_size=8)


@given(shares)
def test_the_order_descends_and_nothing_is_lost(percents: list[float]) -> None:
    lines = [CompositionLine(f"M{i}", p, (Part(f"S{i}", 90, 100),)) for i, p in enumerate(percents)]
    listed = ingredient_list(lines)
    held = shares_as_added(lines)
    likely = [held[n.casefold()].likely_percent for n in listed.names]
    assert sorted(listed.names) == sorted(f"S{i}" for i in range(len(percents)))
    assert likely[: listed.free_from] == sorted(likely[: listed.free_from], reverse=True)
    assert all(held[n.casefold()].high_percent < 1.0 for n in listed.names[listed.free_from :])


@given(percent=st.floats(0, 50), lost=st.floats(0, 50))
def test_what_evaporates_concentrates_the_rest(percent: float, lost: float) -> None:
    after = in_finished_mass(percent, lost)
    assert after * (100 - lost) == pytest.approx(percent * 100)


@pytest.mark.parametrize("lost", [-1.0, 100.0])
def test_impossible_losses(lost: float) -> None:
    with pytest.raises(ValueError, match="makes no sense"):
        in_finished_mass(1.0, lost)


@given(made=st.dates(date(2020, 1, 1), date(2040, 12, 31)), months=st.integers(1, 30))
def test_a_date_never_promises_more_than_was_stated(made: date, months: int) -> None:
    until = durability(made, months).until
    assert until is not None
    whole = (until.year - made.year) * 12 + until.month - made.month
    assert whole == months - 1


def test_durability_refuses_nonsense() -> None:
    with pytest.raises(ValueError, match="makes no sense"):
        durability(date(2026, 1, 1), 0)


def test_ph_window() -> None:
    assert preservative_window_complaint("Benzyl alcohol preservative", (2.0, 6.0), 4.0, 4.8) == ""
    assert "may not protect" in preservative_window_complaint(
        "Benzyl alcohol preservative", (2.0, 6.0), 5.5, 6.5
    )
