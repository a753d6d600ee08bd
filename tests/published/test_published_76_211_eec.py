"""Prepackages: 76/211/EEC Annex I and II, the same table as OIML R 87 and UK SI 2006/659."""

from __future__ import annotations

import math

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


# Annex II, reference test, non-destructive single sampling.
@pytest.mark.parametrize(
    ("batch", "sample", "accept"),
    [(100, 50, 3), (500, 50, 3), (501, 80, 5), (3200, 80, 5), (60, 60, 3), (19, 19, 0)],
)
def test_reference_test(batch: int, sample: int, accept: int) -> None:
    assert f.reference_sample(batch) == sample
    assert f.reference_test(batch, accept)
    assert not f.reference_test(batch, accept + 1)


@pytest.mark.parametrize(("n", "factor"), [(20, 0.640), (30, 0.503), (50, 0.379)])
def test_mean_test_factor(n: int, factor: float) -> None:
    """Annex II: t(0.995)/sqrt(n), here from SciPy's t distribution; the test turns on exactly that factor."""
    assert stats.t.ppf(0.995, n - 1) / math.sqrt(n) == pytest.approx(factor, abs=0.0006)
    spread = [float(i % 2) for i in range(n)]
    s, mean = f.stdev(spread), 0.5
    assert f.mean_test(spread, mean + (factor - 0.001) * s)
    assert not f.mean_test(spread, mean + (factor + 0.001) * s)


def test_measuring_error_is_a_fifth() -> None:
    assert f.scale_serves(0.9, 100.0)
    assert not f.scale_serves(0.91, 100.0)
