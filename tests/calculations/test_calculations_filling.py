"""Bottles: what the band promises, and how all packs of a small batch are judged and put right."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.filling import (
    density_at_20_g_ml,
    fill_target,
    judge_fill,
    may_be_short,
    nominal_mass_g,
    tolerable_negative_error,
)


@given(nominal=st.floats(5, 15_000))
def test_the_error_never_shrinks_by_more_than_the_table_steps(nominal: float) -> None:
    error = tolerable_negative_error(nominal)
    assert 0.009 * nominal <= error <= 0.09 * nominal + 0.1


@given(nominal=st.floats(5, 2000), step=st.sampled_from([0.01, 0.1, 1.0]))
def test_the_band_never_starts_below_the_label(nominal: float, step: float) -> None:
    target = fill_target(nominal, step)
    assert target.band.low >= nominal - 1e-6
    assert target.grams < target.band.high


@given(packs=st.lists(st.floats(80, 110), min_size=1, max_size=130), nominal=st.just(100.0))
def test_refilled_as_told_the_batch_passes(packs: list[float], nominal: float) -> None:
    judged = judge_fill(packs, nominal)
    after = [g + judged.refill_g.get(i, 0.0) for i, g in enumerate(packs, 1)]
    again = judge_fill(after, nominal)
    assert again.passed
    assert again.mean_holds
    assert not again.unfit
    assert len(again.short) <= may_be_short(len(after))
    assert all(add > 0 for add in judged.refill_g.values())


def test_which_bottles_to_refill() -> None:
    packs = [101.0, 90.0, 100.5, 94.0, 99.9, *[101.0] * 15]
    judged = judge_fill(packs, 100.0)
    assert judged.unfit == (2,)
    assert judged.short == (2, 4)
    assert judged.refill_g == {2: 10.0}  # one short in twenty may stay, and the mean holds


def test_a_low_mean_alone_is_put_right_from_the_lightest() -> None:
    judged = judge_fill([99.0, 99.8, 100.2], 100.0)
    assert not judged.mean_holds
    assert judged.refill_g == {1: 1.0}


def test_a_volume_is_judged_with_its_own_error() -> None:
    nominal = nominal_mass_g(250, 0.96)
    assert judge_fill([nominal - 8.7, nominal + 9], nominal, tolerable_negative_error(250) * 0.96).short == (
        1,
    )


def test_warm_product_is_denser_at_twenty() -> None:
    assert density_at_20_g_ml(0.95, 30.0) == pytest.approx(0.95285)


def test_what_it_refuses() -> None:
    with pytest.raises(ValueError, match="no pack"):
        judge_fill([], 100.0)


def test_more_than_ten_thousand_are_no_more_lenient() -> None:
    assert may_be_short(25_000) == may_be_short(10_000)


def test_a_large_run_is_refilled_down_to_what_a_sample_would_accept() -> None:
    few = may_be_short(160)
    packs = [93.0] * (few + 2) + [101.0] * (160 - few - 2)
    judged = judge_fill(packs, 100.0)
    assert judged.mean_holds
    assert list(judged.refill_g) == [1, 2]
