"""What a batch cost: what was drawn at what its deliveries cost, and the time of the people who made it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import mean

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact


@dataclass(frozen=True, slots=True)
class Drawn:
    """So much of a delivery went into a batch, waste and spoiled pieces included. ``quantity`` is the whole delivery in
    the same unit and ``price`` what it cost; None where nobody said, 0 for a source that is not counted."""

    what: str
    lot: str
    amount: float
    unit: str
    quantity: float
    price: float | None

    @property
    def cost(self) -> float | None:
        """Its share of the delivery's price; None where that is not known."""
        if self.quantity == 0:
            return 0.0
        return None if self.price is None else self.price * self.amount / self.quantity


@dataclass(frozen=True, slots=True)
class BatchCost:
    """What a batch cost, in one currency. ``unknown`` names what is in it at no price: the sums hold without it."""

    materials: float
    packaging: float
    labour: float | None  # None where no hourly rate was given
    containers: int
    unknown: tuple[str, ...]

    @property
    def total(self) -> float:
        """Materials, packaging and labour, as far as they are known."""
        return self.materials + self.packaging + (self.labour or 0.0)

    @property
    def each(self) -> float | None:
        """Of one container; None where none was filled."""
        return self.total / self.containers if self.containers else None


def batch_cost(drawn: Sequence[Drawn], containers: int, worked_s: float, hourly: float | None) -> BatchCost:
    """The sums of one batch: ``containers`` filled, ``worked_s`` seconds of work at ``hourly`` an hour."""

    def sum_of(pieces: bool) -> float:
        return math.fsum(d.cost or 0.0 for d in drawn if (d.unit == "pieces") is pieces)

    unknown = dict.fromkeys(
        tr("{what}, lot {lot}", what=d.what, lot=d.lot) if d.lot else tr("{what}, no lot", what=d.what)
        for d in drawn
        if d.cost is None
    )
    # By the whole minutes that are shown beside it, so that whoever reckons it again comes to the same.
    labour = None if hourly is None else hourly * round(worked_s / 60.0) / 60.0
    return BatchCost(sum_of(False), sum_of(True), labour, containers, tuple(unknown))


def resized(drawn: Sequence[Drawn], factor: float, containers: tuple[int, int]) -> tuple[Drawn, ...]:
    """The same formula in another size: what is weighed goes by the mass, packaging by the containers (before, after)."""
    before, after = containers
    each = after / before if before else factor
    return tuple(
        Drawn(d.what, d.lot, d.amount * (each if d.unit == "pieces" else factor), d.unit, d.quantity, d.price) for d in drawn
    )  # fmt: skip


def containers_of(product_g: float, filled_g: Sequence[float]) -> int:
    """So many containers a product fills, each as full as those of a batch were on average; 0 where none was filled."""
    if not filled_g or not mean(filled_g) > 0.0:
        return 0
    return math.floor(exact(product_g / mean(filled_g)))


def at_size(points: Sequence[tuple[float, float]], size: float) -> float | None:
    """A time at a batch size, out of (size, time) of past batches: on their least-squares line where there are two sizes
    or more, and not below 0; their mean where there is one size; None without any."""
    if not points:
        return None
    sizes, times = [x for x, _ in points], [y for _, y in points]
    centre, spread = mean(sizes), math.fsum((x - mean(sizes)) ** 2 for x in sizes)
    if spread <= 0.0:
        return mean(times)
    slope = math.fsum((x - centre) * (y - mean(times)) for x, y in points) / spread
    return max(mean(times) + slope * (size - centre), 0.0)


@dataclass(frozen=True, slots=True)
class Need:
    """One material of a plan: what the batches take one after the other, and what is on hand and may be used."""

    what: str
    unit: str
    each: tuple[float, ...]  # by batch, in the plan's order; 0 where it is not in it
    on_hand: float

    @property
    def needed(self) -> float:
        """All batches together."""
        return math.fsum(self.each)

    @property
    def short(self) -> float:
        """How much is missing, 0 where it lasts."""
        return max(exact(self.needed - self.on_hand), 0.0)

    @property
    def lasts_for(self) -> int:
        """So many of the batches it is enough for, from the first on."""
        left = self.on_hand
        for n, amount in enumerate(self.each):
            left = exact(left - amount)
            if left < 0:
                return n
        return len(self.each)


def soonest_first(needs: Sequence[Need]) -> tuple[Need, ...]:
    """What runs out first, before what lasts; among those that last, what is nearest to its end."""

    def key(need: Need) -> tuple[int, float]:
        return need.lasts_for, (need.on_hand - need.needed) / need.needed if need.needed else math.inf

    return tuple(sorted(needs, key=key))
