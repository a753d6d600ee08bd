"""Percent to grams: a formula's shares scaled to a batch, rounded to what the scale can show, the sum exact."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

#: A line carries what rounding left over only up to this share of itself: half the tightest tolerance of any role.
CARRY_PERCENT = Decimal("0.5")


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
    line takes what the others leave. What its own rounding, or the absence of a rest line, still leaves over is
    carried by the largest lines whose scales can show it, none in ``ceilings`` and none by more than
    ``CARRY_PERCENT``: so the grams add up to ``batch_g`` exactly wherever the rest, or a line that carries, can show
    it; else they miss by no more than the rest's half division. Plain proportion; exact decimal arithmetic. Raises
    ValueError for a batch that is not positive, or shares that leave no room for the rest.
    """
    if not batch_g > 0:
        raise ValueError(tr("the batch size is {batch_g} g; it has to be more than 0 g", batch_g=batch_g))
    batch = Decimal(repr(batch_g))
    grams: dict[str, Decimal] = {}
    for line, share in shares_percent.items():
        if line == rest:
            continue
        exact = batch * Decimal(repr(share)) / 100
        grams[line] = _rounded(
            exact, readability_g[line], ROUND_FLOOR if line in ceilings else ROUND_HALF_EVEN
        )
    whole = rest is not None or sum(map(_exact, shares_percent.values())) == 100
    if rest is not None:
        others = sum(_exact(share) for line, share in shares_percent.items() if line != rest)
        left = max(batch - sum(grams.values()), Decimal(0))  # rounding alone may leave less than nothing
        if others > 100:
            raise ValueError(tr("the other lines already need more than the whole batch; lower a percentage"))
        grams[rest] = _rounded(
            left, readability_g[rest], ROUND_FLOOR if rest in ceilings else ROUND_HALF_EVEN
        )
    if whole:
        _carry(grams, batch - sum(grams.values()), readability_g, ceilings)
    return {line: float(grams[line]) for line in shares_percent}


def _carry(
    grams: dict[str, Decimal], over: Decimal, readability_g: Mapping[str, float], ceilings: frozenset[str]
) -> None:
    """Put what rounding left over onto the largest lines, on each as much as it may carry, in whole divisions of its scale."""
    for line in sorted(grams, key=lambda line: grams[line], reverse=True):
        if over == 0:
            return
        step = _exact(readability_g[line])
        most = Decimal(0) if line in ceilings else min(abs(over), grams[line] * CARRY_PERCENT / 100)
        part = (most / step).to_integral_value(rounding=ROUND_DOWN) * step.copy_sign(over)
        grams[line] += part
        over -= part


def batch_for_bottles_g(count: int, content_g: float, loss_percent: float = 0.0) -> float:
    """Whole grams to make so that ``count`` bottles of ``content_g`` grams can be filled.

    ``loss_percent`` of the batch stays in pots and on tools: batch = count * content / (1 - loss). Plain arithmetic. Raises ValueError for a count or content
    that is not positive, or a loss outside 0 to under 100 percent.
    """
    if count < 1 or not content_g > 0:
        raise ValueError(
            tr(
                "{count} bottles of {content_g} g: there has to be at least one, with something in it",
                count=count,
                content_g=content_g,
            )
        )
    if not 0 <= loss_percent < 100:
        raise ValueError(
            tr("a loss of {loss_percent} % leaves nothing; give 0 to under 100 %", loss_percent=loss_percent)
        )
    wanted = count * _exact(content_g) / (1 - _exact(loss_percent) / 100)
    return float(wanted.to_integral_value(rounding=ROUND_CEILING))


def bottles_from(batch_g: float, content_g: float, clings_g: float = 0.0) -> int:
    """How many bottles of ``content_g`` grams a batch of ``batch_g`` grams fills when so much stays in its pot. What a float
    adds to a percentage of it (375 g × 21.6 % is 81.00000000000001) takes none away."""
    left = _exact(batch_g) - _exact(exact(clings_g))
    return max(int(left / _exact(content_g)), 0)


def _exact(value: float) -> Decimal:
    return Decimal(repr(value))


def _rounded(exact: Decimal, readability_g: float, mode: str) -> Decimal:
    step = _exact(readability_g)
    return (exact / step).to_integral_value(rounding=mode) * step
