"""Curves of cooling and warming fitted to a batch as it goes: a weighted set of shapes, each with its own rate.

A curve that follows dT/dt = g f(T) becomes a straight line of slope g once the temperature is read through the
integral of 1/f. So each shape f (a room temperature, a share of evaporation, a bath) carries one Kalman filter
over that line whose slope may wander, and the shapes are weighted by how well they foretold each point (Kalman
1960; weights by Bayes' rule on the innovations).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import erf, exp, hypot, inf, log, sqrt

#: Spread of the rate before anything is measured, in units of the expected rate.
RATE_SD = 0.7
#: And as a share of itself where a pace is known from before something changed.
PACE_SD = 0.4
#: How uneven a rate may be, and how likely: what it may have wandered by the end of a wait (relative standard
#: deviation), and what ups and downs that even out (stirring now and then) leave over a whole wait.
Uneven = tuple[tuple[float, float, float], ...]
IN_AIR: Uneven = ((0.012, 0.0, 0.15), (0.03, 0.0, 0.3), (0.08, 0.0, 0.4), (0.22, 0.0, 0.15))
IN_BATH: Uneven = ((0.04, 0.0, 0.2), (0.1, 0.04, 0.3), (0.1, 0.12, 0.3), (0.3, 0.04, 0.2))
#: At first the wall of the vessel still takes up heat and everything moves: the rate may change by this much more
#: (relative standard deviation), fading over so many seconds (no source).
SETTLING_IN, SETTLING_IN_S = 0.15, 300.0
#: Shapes less likely than this are left out of a forecast.
NEGLIGIBLE = 1e-3
#: A surprise counts at most this much against a shape, in squared standard deviations.
SURPRISE = 9.0


class Shape:
    """The integral of 1/f along temperature, tabled once: ``progress_s`` runs from the start of the table.

    Cubic between nodes with the known slope 1/f. Beyond the last node the temperature is never reached.
    """

    __slots__ = ("prior", "slopes", "start_c", "step_c", "table")

    def __init__(
        self, start_c: float, step_c: float, rates: Sequence[tuple[float, float]], prior: float
    ) -> None:
        """``rates`` are f > 0 in K/s at each node and halfway to the next; ``step_c`` is negative for cooling."""
        self.start_c, self.step_c, self.prior = start_c, step_c, prior
        self.slopes = [1.0 / at for at, _ in rates]
        self.table = [0.0]
        width = abs(step_c)
        for (at, middle), (after, _) in pairwise(rates):
            self.table.append(self.table[-1] + width / 6.0 * (1.0 / at + 4.0 / middle + 1.0 / after))

    @classmethod
    def of(
        cls, start_c: float, step_c: float, nodes: int, rate_k_s: Callable[[float], float], prior: float
    ) -> Shape:
        """From f as a function of temperature; the table ends where f has gone."""
        rates: list[tuple[float, float]] = []
        for i in range(nodes):
            at = start_c + i * step_c
            pair = rate_k_s(at), rate_k_s(at + 0.5 * step_c)
            if pair[0] <= 0.0:
                break
            rates.append((pair[0], pair[1] if pair[1] > 0.0 else pair[0]))
        return cls(start_c, step_c, rates, prior)

    def progress_s(self, temp_c: float) -> tuple[float, float] | None:
        """The integral at a temperature and 1/f there; None outside the table."""
        place = (temp_c - self.start_c) / self.step_c
        i = int(place)
        if place < 0.0 or i + 1 >= len(self.table):
            return None
        u = place - i
        low, high = self.table[i], self.table[i + 1]
        width = abs(self.step_c)
        into, out = self.slopes[i] * width, self.slopes[i + 1] * width
        u2, u3 = u * u, u * u * u
        value = (
            (2.0 * u3 - 3.0 * u2 + 1.0) * low
            + (u3 - 2.0 * u2 + u) * into
            + (3.0 * u2 - 2.0 * u3) * high
            + (u3 - u2) * out
        )
        return value, self.slopes[i] * (1.0 - u) + self.slopes[i + 1] * u


class Member:
    """One shape with one wandering rate: progress y in s, rate g, their covariance, and a log weight."""

    __slots__ = ("g", "logw", "p_gg", "p_yg", "p_yy", "shape", "uneven", "wander", "y")

    def __init__(self, shape: Shape, wander: float, uneven: float, logw: float) -> None:
        self.shape, self.wander, self.uneven, self.logw = shape, wander, uneven, logw
        self.y = self.p_yy = self.p_yg = 0.0
        self.g, self.p_gg = 1.0, RATE_SD**2

    def begin(self, temp_c: float, sd_k: float, pace_k_s: float | None) -> None:
        """Stand at a temperature, with a rough pace in K/s or with none known."""
        here = self.shape.progress_s(temp_c)
        if here is None:
            self.logw = -inf
            return
        self.y, slope = here
        self.p_yy, self.p_yg = (sd_k * slope) ** 2, 0.0
        self.g = 1.0 if pace_k_s is None else pace_k_s * slope
        self.p_gg = RATE_SD**2 if pace_k_s is None else (PACE_SD * self.g) ** 2

    def take(self, dt_s: float, temp_c: float, sd_k: float, wait_s: float, settling_s: float) -> None:
        """One point later by ``dt_s``. The rate wanders over the whole wait ``wait_s``.

        It does so more at the outset: ``settling_s`` is SETTLING_IN² in s⁻¹, as far as it has faded.
        """
        here = self.shape.progress_s(temp_c)
        if here is None:
            self.logw = -inf
            return
        seen, slope = here
        q = (self.wander**2 / wait_s + settling_s) * self.g**2
        self.y += self.g * dt_s
        self.p_yy += dt_s * (2.0 * self.p_yg + dt_s * (self.p_gg + q * dt_s / 3.0))
        self.p_yy += (self.uneven * self.g) ** 2 * wait_s * dt_s
        self.p_yg += dt_s * (self.p_gg + q * dt_s / 2.0)
        self.p_gg += q * dt_s
        spread = self.p_yy + (sd_k * slope) ** 2
        error = seen - self.y
        self.logw += log(slope) - 0.5 * (min(error * error / spread, SURPRISE) + log(spread))
        gain_y, gain_g = self.p_yy / spread, self.p_yg / spread
        self.y += gain_y * error
        self.g += gain_g * error
        self.p_gg -= gain_g * self.p_yg
        self.p_yg -= gain_y * self.p_yg
        self.p_yy -= gain_y * self.p_yy

    def left(self, target_c: float, wait_s: float) -> tuple[float, float] | None:
        """Seconds from the last point to the target and their relative sd; None when it is never reached."""
        there = self.shape.progress_s(target_c)
        if there is None or self.g <= 0.0:
            return None
        t = (there[0] - self.y) / self.g
        if t <= 0.0:
            return 0.0, 0.0
        q = (self.wander * self.g) ** 2 / wait_s
        spread = self.p_yy + t * (2.0 * self.p_yg + t * (self.p_gg + q * t / 3.0))
        spread += (self.uneven * self.g) ** 2 * wait_s * t
        return t, min(1.5, sqrt(max(spread, 0.0)) / (self.g * t))


@dataclass(frozen=True, slots=True)
class Arrival:
    """When the target is reached: (weight, seconds from the last point, relative sd) per shape, and P(never)."""

    parts: tuple[tuple[float, float, float], ...]
    never: float

    def by(self, s: float) -> float:
        """Probability of having arrived within ``s`` seconds; each shape's time is log-normal."""
        total = 0.0
        for weight, t, sd in self.parts:
            if t <= 0.0 or sd <= 0.0:
                total += weight if s >= t else 0.0
            elif s > 0.0:
                total += weight * 0.5 * (1.0 + erf(log(s / t) / (sd * 1.4142135623730951)))
        return total

    def quantile_s(self, p: float) -> float:
        """Seconds by which it has arrived with probability ``p``; inf where that is never so."""
        if p >= 1.0 - self.never:
            return inf
        low, high = 0.0, max(t * exp(4.0 * sd) for _, t, sd in self.parts) + 1.0
        for _ in range(60):
            middle = 0.5 * (low + high)
            if high - low < 0.002 * middle + 0.05:
                break
            if self.by(middle) < p:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)


class Ensemble:
    """All shapes together. ``target_c`` is where the wait ends."""

    def __init__(self, shapes: Sequence[Shape], target_c: float, uneven: Uneven, doubt: float) -> None:
        """``doubt`` is the relative standard deviation of what is to come that no reading so far can lessen."""
        self.shapes, self.target_c, self.uneven, self.doubt = shapes, target_c, uneven, doubt
        self.members: list[Member] = []
        self.wait_s = 1.0
        self.at_s = self.begun_s = 0.0

    def begin(self, at_s: float, temp_c: float, sd_k: float, pace_k_s: float | None = None) -> None:
        """Start anew at a point, with all shapes as likely as at the outset."""
        self.members = [
            Member(shape, wander, uneven, log(shape.prior * share))
            for shape in self.shapes
            for wander, uneven, share in self.uneven
        ]
        for member in self.members:
            member.begin(temp_c, sd_k, pace_k_s)
        self.at_s = self.begun_s = at_s
        self._weigh()
        waits = [t[0] for m in self.members if (t := m.left(self.target_c, 1.0)) is not None]
        self.wait_s = max(120.0, sorted(waits)[len(waits) // 2] if waits else 0.0)

    def take(self, at_s: float, temp_c: float, sd_k: float) -> None:
        """One more point."""
        settling_s = SETTLING_IN**2 / SETTLING_IN_S * exp(-(at_s - self.begun_s) / SETTLING_IN_S)
        for member in self.members:
            member.take(at_s - self.at_s, temp_c, sd_k, self.wait_s, settling_s)
        self.at_s = at_s
        self._weigh()

    def _weigh(self) -> None:
        top = max((m.logw for m in self.members), default=-inf)
        self.members = [m for m in self.members if m.logw > top - 25.0]
        total = log(sum(exp(m.logw - top) for m in self.members)) + top if self.members else 0.0
        for member in self.members:
            member.logw -= total

    def measure_wait(self, elapsed_s: float) -> None:
        """Set the length of the whole wait from what has gone and what is still to come."""
        best = self.best
        left = best.left(self.target_c, self.wait_s) if best else None
        if left is not None:
            self.wait_s = max(120.0, elapsed_s + left[0])

    @property
    def best(self) -> Member | None:
        """The likeliest shape."""
        return max(self.members, key=lambda m: m.logw, default=None)

    def rate_k_s(self, temp_c: float) -> float:
        """How fast the temperature moves towards the target at a temperature, by the likeliest shape."""
        best = self.best
        here = best.shape.progress_s(temp_c) if best else None
        return best.g / here[1] if best and here else 0.0

    def arrival(self, at_c: float | None = None) -> Arrival:
        """When a temperature (the target, where none is named) is reached, over all shapes that count."""
        at_c = self.target_c if at_c is None else at_c
        parts, never, total = [], 0.0, 0.0
        for weight, member in self._weighted():
            total += weight
            left = member.left(at_c, self.wait_s)
            if left is None:
                never += weight
            else:
                parts.append((weight, left[0], hypot(left[1], self.doubt)))
        if total <= 0.0:
            return Arrival((), 1.0)
        return Arrival(tuple((w / total, t, sd) for w, t, sd in parts), never / total)

    def _weighted(self) -> Iterator[tuple[float, Member]]:
        for member in self.members:
            weight = exp(member.logw)
            if weight >= NEGLIGIBLE:
                yield weight, member
