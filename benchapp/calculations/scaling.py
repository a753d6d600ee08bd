"""Percent to grams: a formula's shares scaled to a batch, rounded to what the scale can show, the sum exact."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal


def scale_formula(
    shares_percent: Mapping[str, float],
    batch_g: float,
    readability_g: Mapping[str, float],
    rest: str | None = None,
    ceilings: frozenset[str] = frozenset(),
) -> dict[str, float]:
    """Grams of every line for a batch of ``batch_g`` grams.

    Each line is rounded to the readability of the scale it is weighed on (``readability_g`` per line, grams);
    a line in ``ceilings`` is rounded down, so that rounding never lifts it above a legal limit. The ``rest``
    line, where there is one, takes what the others leave, so the grams add up to ``batch_g`` exactly when
    ``batch_g`` is a whole number of the rest line's divisions. Plain proportion; exact decimal arithmetic.
    Raises ValueError for a batch that is not positive or shares that leave no room for the rest.
    """
    if not batch_g > 0:
        raise ValueError(f"the batch size is {batch_g} g; it has to be more than 0 g")
    batch = Decimal(repr(batch_g))
    grams: dict[str, Decimal] = {}
    for line, share in shares_percent.items():
        if line == rest:
            continue
        exact = batch * Decimal(repr(share)) / 100
        grams[line] = _rounded(exact, readability_g[line], down=line in ceilings)
    if rest is not None:
        left = batch - sum(grams.values())
        if left < 0:
            raise ValueError("the other lines already need more than the whole batch; lower a percentage")
        grams[rest] = _rounded(left, readability_g[rest], down=False)
    return {line: float(grams[line]) for line in shares_percent}


def _rounded(exact: Decimal, readability_g: float, *, down: bool) -> Decimal:
    step = Decimal(repr(readability_g))
    mode = ROUND_FLOOR if down else ROUND_HALF_EVEN
    return (exact / step).quantize(Decimal(1), rounding=mode) * step
