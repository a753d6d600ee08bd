"""What a fit foretells: where the temperature will be in the next minutes, and when a target is reached."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import erf, exp, inf, log, sqrt
from statistics import NormalDist

#: A quantile is found when its probability is this close.
CLOSE = 0.0001


@dataclass(frozen=True)
class Arrival:
    """When the target is reached: (weight, seconds from the last point, relative sd) per shape, and P(never)."""

    parts: tuple[tuple[float, float, float], ...]
    never: float

    @cached_property
    def _spread(self) -> tuple[tuple[float, float, float], ...]:
        """(half the weight, logarithm of the seconds, 1/(sd √2)) of every shape that spreads."""
        return tuple(
            (0.5 * w, log(t), 1.0 / (sd * sqrt(2.0))) for w, t, sd in self.parts if t > 0.0 and sd > 0.0
        )

    @cached_property
    def _sharp(self) -> tuple[tuple[float, float], ...]:
        """(weight, seconds) of every shape that says when to the second."""
        return tuple((w, t) for w, t, sd in self.parts if t <= 0.0 or sd <= 0.0)

    def by(self, s: float) -> float:
        """Probability of having arrived within ``s`` seconds; each shape's time is log-normal."""
        total = sum(w for w, t in self._sharp if s >= t)
        if s <= 0.0:
            return total
        log_s = log(s)
        return total + sum(
            [half * (1.0 + erf((log_s - log_t) * steep)) for half, log_t, steep in self._spread]
        )

    def quantile_s(self, p: float) -> float:
        """Seconds by which it has arrived with probability ``p``; inf where that is never so."""
        if p >= 1.0 - self.never:
            return inf
        # Between the earliest and the latest of what each shape alone would say.
        z = NormalDist().inv_cdf(p / (1.0 - self.never))
        alone = [t * exp(z * sd) for _, t, sd in self.parts]
        low, high = min(alone), max(alone)
        below, above = -p, 1.0 - self.never - p  # how far the probability is off at either end, at the most
        for turn in range(60):
            if high - low < 0.002 * low + 0.05:
                break
            # Along the chord, and now and then in the middle: where shapes arrive to the second it goes in steps.
            share = 0.5 if turn % 3 == 0 else below / (below - above)
            here = low + (high - low) * share
            off = self.by(here) - p
            if abs(off) < CLOSE:
                return here
            if off < 0.0:
                low, below = here, off
            else:
                high, above = here, off
        return 0.5 * (low + high)


@dataclass(frozen=True, slots=True)
class Course:
    """Where the temperature is expected, for the next minutes: K/s, and its variance a + b t + c t² + d t³."""

    at_s: float
    temp_c: float
    rate_k_s: float
    variance: tuple[float, float, float, float]

    @property
    def sd_k(self) -> float:
        """How well the temperature is known at its beginning."""
        return sqrt(self.variance[0])

    def expected(self, at_s: float) -> tuple[float, float]:
        """Temperature and its standard deviation, without the noise of a reading."""
        t = at_s - self.at_s
        a, b, c, d = self.variance
        return self.temp_c + self.rate_k_s * t, sqrt(max(a + t * (b + t * (c + t * d)), 0.0))
