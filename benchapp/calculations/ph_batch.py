"""This batch's own buffering, from its readings and weighed additions: a sample of batches that would read so.

Charge has to balance at every reading (textbook; Van Slyke 1922 for the buffer value). Bayes' rule over the amounts:
draws from the beliefs beforehand, weighted by each new reading, drawn again in proportion and moved by Metropolis'
rule (Metropolis et al. 1953; resample and move, Gilks and Berzuini 2001). Fixed seeds: the same readings give the
same answer.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from functools import lru_cache
from operator import mul

from benchapp.calculations.ph_parts import SITES, Batch, Parts, PhReading, Stated
from benchapp.foundation.language import tr

#: Draws from the beliefs beforehand, draws kept after the second reading, moves of every part of each.
FIRST_DRAWS, DRAWS, SWEEPS = 2000, 500, 2
#: Length of a small Metropolis step on the 0..1 scale of the beliefs beforehand.
STEP = 0.12
#: Kinds of move: up to the first share a small step, up to the second a new start, else two sites change places.
SMALL, ANEW = 0.5, 0.75

Places = tuple[float, ...]


def plausible_batches(readings: Sequence[PhReading], stated: Sequence[Stated] = ()) -> tuple[Batch, ...]:
    """Batches that agree with the readings, drawn from what is plausible. Raises ValueError without a reading."""
    if not readings:
        raise ValueError(tr("without a pH reading nothing can be said of a batch; measure it first"))
    return _after(tuple(readings), tuple(stated)).batches


@dataclass(frozen=True)
class _Sample:
    """Draws after some readings: places (0..1 in the beliefs beforehand), how well each fits, and as batches."""

    places: tuple[Places, ...]
    fits: tuple[float, ...]
    batches: tuple[Batch, ...]


@lru_cache(maxsize=2)
def _after(readings: tuple[PhReading, ...], stated: tuple[Stated, ...]) -> _Sample:
    """The sample after these readings; each reading refines the last."""
    rng = random.Random(len(readings))
    parts = Parts(stated)
    balance = _Balance(readings, parts)
    if len(readings) == 1:
        draws = [_Draw([rng.random() for _ in range(parts.count)], balance) for _ in range(FIRST_DRAWS)]
    else:
        earlier = _after(readings[:-1], stated)
        found = [_Draw(places, balance) for places in earlier.places]
        gained = [draw.fit - fit for draw, fit in zip(found, earlier.fits, strict=True)]
        draws = [draw.twin() for draw in _drawn_again(found, gained, rng)]
        for draw in draws:
            draw.move(rng)
    return _Sample(
        tuple(tuple(d.places) for d in draws), tuple(d.fit for d in draws), tuple(d.batch(rng) for d in draws)
    )


def _drawn_again(draws: Sequence[_Draw], gained: Sequence[float], rng: random.Random) -> list[_Draw]:
    """DRAWS of them, in proportion to the likelihood each gained (systematic resampling)."""
    top = max(gained)
    weights = [math.exp(g - top) for g in gained]
    step = sum(weights) / DRAWS
    mark, total = rng.random() * step, 0.0
    found: list[_Draw] = []
    for draw, weight in zip(draws, weights, strict=True):
        total += weight
        while mark < total:
            found.append(draw)
            mark += step
    return found


class _Balance:
    """The charge balance at every reading: rows by part, columns by reading. Linear in the amounts."""

    def __init__(self, readings: Sequence[PhReading], parts: Parts) -> None:
        self.parts, self.sd_ph = parts, max(r.sd_ph for r in readings)
        self.lost_by_reading = [parts.lost(r.ph) for r in readings]
        self.buffering_by_reading = [parts.buffering(r.ph) for r in readings]
        self.lost = [list(row) for row in zip(*self.lost_by_reading, strict=True)]
        self.buffering = [list(row) for row in zip(*self.buffering_by_reading, strict=True)]
        self.known_charge = [r.known_charge(r.ph) for r in readings]
        self.known_buffering = [r.known_buffering(r.ph) for r in readings]


class _Draw:
    """One batch as it may be, with its charge and buffer value at every reading in mol/kg."""

    def __init__(self, places: Sequence[float], balance: _Balance) -> None:
        self.places, self.balance = list(places), balance
        self.held = [balance.parts.at(part, place) for part, place in enumerate(places)]
        amounts = balance.parts.amounts(self.held)
        self.charge = [
            known - sum(map(mul, amounts, lost))
            for known, lost in zip(balance.known_charge, balance.lost_by_reading, strict=True)
        ]
        self.buffering = [
            known + sum(map(mul, amounts, each))
            for known, each in zip(balance.known_buffering, balance.buffering_by_reading, strict=True)
        ]
        self.fit = _fit(self.charge, self.buffering, balance.sd_ph)

    def move(self, rng: random.Random) -> None:
        """SWEEPS Metropolis moves of every part. One move changes few sums, so each is cheap."""
        for part in list(range(len(self.places))) * SWEEPS:
            kind = rng.random()
            if kind > ANEW and part < len(SITES):
                other = rng.randrange(len(SITES))
                self._try(part, self.places[other], other, rng)
                continue
            place = rng.random()
            if kind < SMALL:
                place = abs(self.places[part] + rng.gauss(0.0, STEP))
                place = 2.0 - place if place > 1.0 else place
            self._try(part, place, None, rng)

    def twin(self) -> _Draw:
        """The same draw, to be moved by itself. Lists are replaced, never changed, but for these two."""
        other = copy(self)
        other.places, other.held = list(self.places), list(self.held)
        return other

    def _try(self, part: int, place: float, other: int | None, rng: random.Random) -> None:
        """Move ``part`` to ``place``, and ``other`` to where it was, if Metropolis' rule allows."""
        lost, buffering = self.balance.lost, self.balance.buffering
        column, amount = self.balance.parts.at(part, place)
        was_column, was = self.held[part]
        more = amount - was
        if other is not None:  # it takes what ``part`` had
            a, b = lost[column], lost[other]
            charge = [q - more * (x - y) for q, x, y in zip(self.charge, a, b, strict=True)]
            a, b = buffering[column], buffering[other]
            slope = [s + more * (x - y) for s, x, y in zip(self.buffering, a, b, strict=True)]
        elif column == was_column:
            charge = [q - more * x for q, x in zip(self.charge, lost[column], strict=True)]
            slope = [s + more * x for s, x in zip(self.buffering, buffering[column], strict=True)]
        else:
            a, b = lost[column], lost[was_column]
            charge = [q - amount * x + was * y for q, x, y in zip(self.charge, a, b, strict=True)]
            a, b = buffering[column], buffering[was_column]
            slope = [s + amount * x - was * y for s, x, y in zip(self.buffering, a, b, strict=True)]
        fit = _fit(charge, slope, self.balance.sd_ph)
        if fit < self.fit and rng.random() >= math.exp(fit - self.fit):
            return
        if other is not None:
            self.places[other], self.held[other] = self.places[part], (other, was)
        self.places[part], self.held[part] = place, (column, amount)
        self.charge, self.buffering, self.fit = charge, slope, fit

    def batch(self, rng: random.Random) -> Batch:
        """As a batch, its fixed charge drawn from what the readings leave open."""
        weights = [1.0 / (s * s) for s in self.buffering]
        whole = sum(weights)
        fixed = sum(map(mul, weights, self.charge)) / whole + rng.gauss(0.0, self.balance.sd_ph) / math.sqrt(
            whole
        )
        return Batch(tuple(self.balance.parts.amounts(self.held)), fixed)


def _fit(charge: Sequence[float], slope: Sequence[float], sd_ph: float) -> float:
    """Logarithm of the likelihood of normal reading errors, the fixed charge integrated out (the true first pH even)."""
    w0 = w1 = w2 = 0.0
    q0 = charge[0]
    for q, s in zip(charge, slope, strict=True):
        w = 1.0 / (s * s)
        q -= q0
        w0 += w
        w1 += w * q
        w2 += w * q * q
    misfit = (w2 - w1 * w1 / w0) / (2 * sd_ph * sd_ph)
    return -misfit - 0.5 * math.log(w0) - math.log(slope[0])
