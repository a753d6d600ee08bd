"""Prepackages: 76/211/EEC Annex I and II, the same table as OIML R 87 and UK SI 2006/659."""

from __future__ import annotations

import math
import statistics

import pytest
from scipy import stats

from benchapp.calculations import filling as f

# Annex I 2.4, percentages rounded up to the next tenth.
TNE = [(5, 0.5), (15, 1.4), (30, 2.7), (50, 4.5), (100, 4.5), (118, 5.4), (150, 6.8), (200, 9.0), (250, 9.0), (400, 12.0),
       (473, 14.2), (500, 15.0), (1000, 15.0), (2000, 30.0), (10_000, 150.0), (12_000, 150.0)]  # fmt: skip


@pytest.mark.parametrize(("nominal", "error"), TNE)
def test_tolerable_negative_error(nominal: float, error: float) -> None:
    assert f.tolerable_negative_error(nominal) == pytest.approx(error)


def test_none_below_five() -> None:
    with pytest.raises(ValueError, match="under 5"):
        f.tolerable_negative_error(4.9)


# Annex II, reference test, non-destructive: (batch, packs drawn, accepted with).
@pytest.mark.parametrize(
    ("batch", "drawn", "accepted"), [(100, 50, 3), (166, 50, 3), (500, 50, 3), (501, 80, 5), (3200, 80, 5)]
)
def test_as_many_may_be_short_as_the_reference_test_accepts(batch: int, drawn: int, accepted: int) -> None:
    """Probabilities from SciPy's hypergeometric distribution: 95 % accept the number, not one more."""
    short = f.may_be_short(batch)
    assert stats.hypergeom.cdf(accepted, batch, short, drawn) >= 0.95
    assert stats.hypergeom.cdf(accepted, batch, short + 1, drawn) < 0.95


@pytest.mark.parametrize(("batch", "short"), [(19, 0), (20, 1), (60, 3), (99, 4)])
def test_under_a_hundred_one_in_twenty_may_be_short(batch: int, short: int) -> None:
    assert f.may_be_short(batch) == short


@pytest.mark.parametrize(("n", "factor"), [(20, 0.640), (30, 0.503), (50, 0.379)])
def test_packs_whose_plain_mean_holds_pass_the_mean_test(n: int, factor: float) -> None:
    """Annex II asks of a sample: mean at least nominal less factor times s, the factor t(0.995)/sqrt(n) (SciPy)."""
    assert stats.t.ppf(0.995, n - 1) / math.sqrt(n) == pytest.approx(factor, abs=0.0006)
    packs = [99.0 + 2.0 * (i % 2) for i in range(n)]
    s = statistics.stdev(packs)
    assert f.judge_fill(packs, 100.0).mean_holds
    only_by_the_sample = [g - 0.9 * factor * s for g in packs]
    assert not f.judge_fill(only_by_the_sample, 100.0).mean_holds
    assert f.judge_fill(packs, statistics.fmean(packs)).mean_holds


@pytest.mark.parametrize(
    ("nominal", "serves_g", "fails_g"), [(100, 0.7, 0.8), (30, 0.4, 0.5), (5, 0.05, 0.1)]
)
def test_measuring_error_is_a_fifth(nominal: float, serves_g: float, fails_g: float) -> None:
    """OIML R 87: 0.9 of 4.5 g for 100 g; a difference of two readings of 0.7 g steps is known to 0.81 g."""
    assert f.scale_serves(serves_g, f.tolerable_negative_error(nominal))
    assert not f.scale_serves(fails_g, f.tolerable_negative_error(nominal))
