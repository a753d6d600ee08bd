"""What a batch cost: sums worked by hand, and held against exact decimals. Prices are invented for the demo."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.cost import Drawn, Need, at_size, batch_cost, containers_of, resized, soonest_first

OIL = Drawn("Sunflower oil", "oil-1", 300.0, "g", 1000.0, 12.5)  # 3.75
WATER = Drawn("Purified water", "tap", 380.0, "g", 0.0, None)  # not counted: nothing
BOTTLE = Drawn("bottle-100", "bo-1", 5.0, "pieces", 50.0, 40.0)  # 4.00, the spoiled one too
UNPRICED = Drawn("Vitamin E", "ve-1", 1.5, "g", 50.0, None)


def test_a_batch_by_hand():
    cost = batch_cost((OIL, WATER, BOTTLE, UNPRICED), 4, 5400.0, 18.0)
    assert (cost.materials, cost.packaging, cost.labour) == (3.75, 4.0, 27.0)
    assert batch_cost((OIL,), 4, 1100.0, 18.0).labour == pytest.approx(5.4), "18 min, as they are shown"
    assert cost.total == 34.75
    assert cost.each == pytest.approx(8.6875)
    assert cost.unknown == ("Vitamin E, lot ve-1",), (
        "what no price is known for is named, never taken for nothing"
    )


def test_without_a_rate_or_a_container_nothing_is_made_up():
    cost = batch_cost((OIL,), 0, 5400.0, None)
    assert (cost.labour, cost.each, cost.total) == (None, None, 3.75)


MONEY = st.decimals("0.01", "9999", places=2)
GRAMS = st.decimals("0.01", "99999", places=2)


@given(st.lists(st.tuples(GRAMS, GRAMS, MONEY), min_size=1, max_size=30))
def test_sums_are_those_of_exact_decimals(lots):
    drawn = [Drawn("x", str(n), float(a), "g", float(q), float(p)) for n, (a, q, p) in enumerate(lots)]
    exactly = sum((p * a / q for a, q, p in lots), Decimal(0))
    assert batch_cost(drawn, 0, 0.0, None).materials == pytest.approx(float(exactly), rel=1e-12)


@given(st.floats(0.1, 10), st.integers(1, 200), st.integers(1, 200))
def test_another_size_costs_its_mass_and_its_containers(factor, before, after):
    found = batch_cost(resized((OIL, BOTTLE), factor, (before, after)), after, 0.0, None)
    assert found.materials == pytest.approx(3.75 * factor)
    assert found.packaging == pytest.approx(4.0 * after / before)


def test_containers_are_those_that_get_as_full_as_the_others_were():
    assert containers_of(485.0, [97.0, 97.0, 97.0]) == 5
    assert containers_of(484.9, [97.0, 97.0, 97.0]) == 4
    assert containers_of(500.0, []) == 0


def test_a_time_lies_on_the_line_through_what_was_made():
    assert at_size([], 500.0) is None
    assert at_size([(500.0, 60.0), (500.0, 70.0)], 900.0) == 65.0
    assert at_size([(400.0, 60.0), (800.0, 100.0)], 600.0) == pytest.approx(80.0)
    assert at_size([(400.0, 60.0), (800.0, 100.0)], 1000.0) == pytest.approx(120.0)
    assert at_size([(400.0, 10.0), (800.0, 110.0)], 100.0) == 0.0


def test_a_line_through_scattered_times_is_that_of_the_statistics_module():
    from statistics import linear_regression

    points = [(400.0, 61.0), (500.0, 66.0), (500.0, 71.0), (900.0, 98.0)]
    slope, intercept = linear_regression([x for x, _ in points], [y for _, y in points])
    assert at_size(points, 700.0) == pytest.approx(slope * 700.0 + intercept)


@given(st.lists(st.integers(0, 50), min_size=1, max_size=12), st.integers(0, 300))
def test_it_lasts_as_long_as_drawing_batch_after_batch_leaves_something(each, on_hand):
    need = Need("oil", "g", tuple(map(float, each)), float(on_hand))
    left, lasts = on_hand, 0
    for grams in each:
        if grams > left:
            break
        left, lasts = left - grams, lasts + 1
    assert need.lasts_for == lasts
    assert need.short == max(sum(each) - on_hand, 0)
    assert (need.short == 0) == (need.lasts_for == len(each))


def test_what_runs_out_first_stands_first():
    soon, later, lasts = (
        Need(n, "g", (10.0, 10.0, 10.0), g) for n, g in (("a", 5.0), ("b", 25.0), ("c", 31.0))
    )
    assert soonest_first((lasts, later, soon)) == (soon, later, lasts)
