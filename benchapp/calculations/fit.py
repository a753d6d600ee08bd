"""Curves of cooling and warming fitted to a batch as it goes: a weighted set of shapes, each with its own rate.

A curve that follows dT/dt = g f(T) becomes a straight line of slope g once the temperature is read through the
integral of 1/f. So each shape f (a room, a share of evaporation, a bath, something that melts) carries one Kalman
filter over that line whose slope may wander, and the shapes are weighted by how well they foretold each point
(Kalman 1960; weights by Bayes' rule on the innovations). Where stirring now and then makes the probe swing about the
mean of the contents, a third state is that swing, which fades (Ornstein and Uhlenbeck).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import exp, hypot, inf, log, sqrt

from benchapp.calculations.arrival import Arrival, Course
from benchapp.calculations.shape import Shape
from benchapp.calculations.unevenness import Uneven, Unevenness

#: Spread of the rate before anything is measured, in units of the expected rate.
RATE_SD = 0.7
#: And as a share of itself where a pace is known from before something changed.
PACE_SD = 0.4
#: At first the wall of the vessel still takes up heat and everything moves: the rate may change by this much more
#: (relative standard deviation), fading over so many seconds (no source).
SETTLING_IN, SETTLING_IN_S = 0.15, 300.0
#: Shapes less likely than this are left out of a forecast; those so much less likely than the best are dropped (log).
NEGLIGIBLE, HOPELESS = 1e-3, 12.0
#: A surprise counts at most this much against a shape, in squared standard deviations.
SURPRISE = 9.0
#: How long a swing of the probe about the mean takes to fade, in seconds (no source).
SWING_S = 200.0


@dataclass(frozen=True, slots=True)
class Zone:
    """Temperatures on the way, in its order, between which something melts or sets: no pace there tells of the next.

    ``rough_s``: variance of the progress in s² for each second spent there.
    """

    begins_c: float
    ends_c: float
    rough_s: float

    def holds(self, temp_c: float) -> bool:
        """Whether a temperature lies in it."""
        return min(self.begins_c, self.ends_c) < temp_c < max(self.begins_c, self.ends_c)


@dataclass(frozen=True, slots=True)
class Strays:
    """What may stray just now: the whole wait over which rates wander, how much they still settle in (s⁻¹), how
    rough it is (s), and how much one point counts among shapes none of which is quite right."""

    wait_s: float
    settling_s: float
    rough_s: float
    trust: float


class Member:
    """One shape with one wandering rate: progress y in s, rate g, swing d in K, their covariance, and a log weight."""

    __slots__ = (
        "d", "g", "logw", "p_dd", "p_gd", "p_gg", "p_yd", "p_yg", "p_yy", "shape", "slope", "uneven", "y",
    )  # fmt: skip

    def __init__(self, shape: Shape, uneven: Uneven, logw: float) -> None:
        self.shape, self.uneven, self.logw = shape, uneven, logw
        self.y = self.p_yy = self.p_yg = 0.0
        self.g, self.p_gg, self.slope = 1.0, RATE_SD**2, 1.0
        self.d = self.p_dd = self.p_yd = self.p_gd = 0.0

    def begin(self, temp_c: float, sd_k: float, pace_k_s: float | None) -> None:
        """Stand at a temperature, with a rough pace in K/s or with none known."""
        here = self.shape.progress_s(temp_c)
        if here is None:
            self.logw = -inf
            return
        self.y, self.slope = here
        self.p_dd = self.uneven.swing_k**2
        self.p_yy, self.p_yg = (sd_k * self.slope) ** 2 + self.p_dd * self.slope**2, 0.0
        self.p_yd = -self.p_dd * self.slope
        self.p_gd = self.d = 0.0
        spread = self.shape.pace_sd if self.shape.pace_sd is not None else RATE_SD
        self.g = 1.0 if pace_k_s is None else pace_k_s * self.slope
        self.p_gg = spread**2 if pace_k_s is None else (PACE_SD * self.g) ** 2

    def take(self, dt_s: float, point: tuple[float, float], strays: Strays) -> None:
        """One point (°C and its standard deviation) later by ``dt_s``."""
        temp_c, sd_k = point
        here = self.shape.progress_s(temp_c)
        if here is None:
            self.logw = -inf
            return
        seen, slope = here
        uneven = self.uneven
        q = (uneven.wander**2 / strays.wait_s + strays.settling_s) * self.g**2
        self.y += self.g * dt_s
        self.p_yy += dt_s * (2.0 * self.p_yg + dt_s * (self.p_gg + q * dt_s / 3.0))
        self.p_yy += (uneven.rough**2 * strays.wait_s + strays.rough_s) * self.g**2 * dt_s
        self.p_yg += dt_s * (self.p_gg + q * dt_s / 2.0)
        self.p_gg += q * dt_s
        self.slope = slope
        if uneven.swing_k:
            self._swing(dt_s)
            self._correct_swinging(seen, slope, sd_k, strays.trust)
            return
        spread = self.p_yy + (sd_k * slope) ** 2
        error = seen - self.y
        self.logw += strays.trust * (log(slope) - 0.5 * (min(error * error / spread, SURPRISE) + log(spread)))
        gain_y, gain_g = self.p_yy / spread, self.p_yg / spread
        self.y += gain_y * error
        self.g += gain_g * error
        self.p_gg -= gain_g * self.p_yg
        self.p_yg -= gain_y * self.p_yg
        self.p_yy -= gain_y * self.p_yy

    def _swing(self, dt_s: float) -> None:
        keep = exp(-dt_s / SWING_S)
        self.p_yd = keep * (self.p_yd + dt_s * self.p_gd)
        self.p_gd *= keep
        self.p_dd = keep * keep * self.p_dd + self.uneven.swing_k**2 * (1.0 - keep * keep)
        self.d *= keep

    def _correct_swinging(self, seen: float, slope: float, sd_k: float, trust: float) -> None:
        """What is seen is y plus the swing times the slope."""
        c_y = self.p_yy + slope * self.p_yd
        c_g = self.p_yg + slope * self.p_gd
        c_d = self.p_yd + slope * self.p_dd
        spread = c_y + slope * c_d + (sd_k * slope) ** 2
        error = seen - self.y - slope * self.d
        self.logw += trust * (log(slope) - 0.5 * (min(error * error / spread, SURPRISE) + log(spread)))
        k_y, k_g, k_d = c_y / spread, c_g / spread, c_d / spread
        self.y += k_y * error
        self.g += k_g * error
        self.d += k_d * error
        self.p_yy -= k_y * c_y
        self.p_yg -= k_y * c_g
        self.p_yd -= k_y * c_d
        self.p_gg -= k_g * c_g
        self.p_gd -= k_g * c_d
        self.p_dd -= k_d * c_d

    def left(self, target_c: float, wait_s: float, zone: Zone | None = None) -> tuple[float, float] | None:
        """Seconds from the last point to the target and their relative sd; None when it is never reached."""
        there = self.shape.progress_to(target_c)
        if there is None or self.g <= 0.0:
            return None
        t = (there[0] - self.y) / self.g
        uneven, swings = self.uneven, 0.0
        if uneven.swing_k:
            keep = exp(-max(t, 0.0) / SWING_S)
            t -= keep * self.d * there[1] / self.g
            swings = there[1] ** 2 * (
                keep * keep * self.p_dd + uneven.swing_k**2 * (1.0 - keep * keep)
            ) + 2.0 * there[1] * keep * (self.p_yd + max(t, 0.0) * self.p_gd)
        if t <= 0.0:
            return 0.0, 0.0
        q = (uneven.wander * self.g) ** 2 / wait_s
        spread = self.p_yy + t * (2.0 * self.p_yg + t * (self.p_gg + q * t / 3.0)) + swings
        spread += (uneven.rough * self.g) ** 2 * wait_s * t
        if zone is not None:
            spread += zone.rough_s * self.g**2 * self._within_s(zone, t)
        return t, min(1.5, sqrt(max(spread, 0.0)) / (self.g * t))

    def _within_s(self, zone: Zone, t: float) -> float:
        """How much of the time to come is spent in a zone."""
        near, far = self.shape.progress_to(zone.begins_c), self.shape.progress_to(zone.ends_c)
        begins = max(0.0, (near[0] - self.y) / self.g) if near else 0.0
        ends = min(t, (far[0] - self.y) / self.g) if far else t
        return max(0.0, ends - begins)


class Ensemble:
    """All shapes together. ``target_c`` is where the wait ends."""

    def __init__(self, shapes: Sequence[Shape], target_c: float, uneven: Unevenness) -> None:
        self.shapes, self.target_c, self.uneven = shapes, target_c, uneven
        self.members: list[Member] = []
        self.best: Member | None = None  # the likeliest
        self.wait_s = 1.0
        self.at_s = self.begun_s = 0.0
        self.settling, self.trust = SETTLING_IN, 1.0
        self.zone: Zone | None = None

    def begin(self, at_s: float, temp_c: float, sd_k: float, pace_k_s: float | None = None) -> None:
        """Start anew at a point, with all shapes as likely as at the outset."""
        self.members = [
            Member(shape, uneven, log(shape.prior * uneven.share))
            for shape in self.shapes
            for uneven in self.uneven.ways
        ]
        for member in self.members:
            member.begin(temp_c, sd_k, pace_k_s)
        self.at_s = self.begun_s = at_s
        self._weigh()
        waits = [t[0] for m in self.members if (t := m.left(self.target_c, 1.0)) is not None]
        self.wait_s = max(120.0, sorted(waits)[len(waits) // 2] if waits else 0.0)

    def take(self, at_s: float, temp_c: float, sd_k: float) -> None:
        """One more point."""
        rough_s = self.zone.rough_s if self.zone and self.zone.holds(temp_c) else 0.0
        strays = Strays(self.wait_s, self._settling_s(at_s), rough_s, self.trust)
        for member in self.members:
            member.take(at_s - self.at_s, (temp_c, sd_k), strays)
        self.at_s = at_s
        self._weigh()

    def begin_anew(self, at_s: float, temp_c: float, sd_k: float, pace_k_s: float) -> None:
        """Start anew at a point with another pace: half of what is known of the shapes is kept."""
        learnt: dict[int, float] = {}
        for member in self.members:
            learnt[id(member.shape)] = learnt.get(id(member.shape), 0.0) + exp(member.logw)
        whole = sum(shape.prior for shape in self.shapes)
        kept = {id(s): 0.5 * learnt.get(id(s), 0.0) + 0.5 * s.prior / whole for s in self.shapes}
        self.begin(at_s, temp_c, sd_k, pace_k_s)
        for member in self.members:
            member.logw += log(kept[id(member.shape)] / member.shape.prior)
        self._weigh()

    def _settling_s(self, at_s: float) -> float:
        return self.settling**2 / SETTLING_IN_S * exp(-(at_s - self.begun_s) / SETTLING_IN_S)

    def _weigh(self) -> None:
        self.best = max(self.members, key=lambda m: m.logw, default=None)
        top = self.best.logw if self.best else -inf
        self.members = [m for m in self.members if m.logw > top - HOPELESS]
        self.best = self.best if self.members else None
        total = log(sum(exp(m.logw - top) for m in self.members)) + top if self.members else 0.0
        for member in self.members:
            member.logw -= total

    def measure_wait(self, elapsed_s: float) -> None:
        """Set the length of the whole wait from what has gone and what is still to come."""
        best = self.best
        left = best.left(self.target_c, self.wait_s) if best else None
        if left is not None:
            self.wait_s = max(120.0, elapsed_s + left[0])

    def rate_k_s(self, temp_c: float) -> float:
        """How fast the temperature moves towards the target at a temperature, by the likeliest shape."""
        best = self.best
        here = best.shape.progress_s(temp_c) if best else None
        return best.g / here[1] if best and here else 0.0

    def course(self, temp_c: float, sign: float) -> Course | None:
        """Where it is expected next, from the latest point at ``temp_c``; ``sign`` is -1 where it cools."""
        total = rate = square = own = rough = drift = 0.0
        settling_s = self._settling_s(self.at_s)
        for weight, m in self._weighted():
            r = m.g / m.slope
            total += weight
            rate += weight * r
            square += weight * r * r
            own += weight * sqrt(max(m.p_gg, 0.0)) / m.slope
            jumps = (m.uneven.rough * r) ** 2 * self.wait_s + m.uneven.swing_k**2 * 2.0 / SWING_S
            rough += weight * sqrt(jumps)
            drift += weight * abs(r) * sqrt((m.uneven.wander**2 / self.wait_s + settling_s) / 3.0)
        best = self.best
        if total <= 0.0 or best is None:
            return None
        rate, square = rate / total, square / total
        seen = best.shape.progress_s(temp_c)
        offset = (best.y - seen[0]) / best.slope + best.d if seen else 0.0
        a = best.p_yy / best.slope**2 + 2.0 * best.p_yd / best.slope + best.p_dd
        spread = max(square - rate * rate, 0.0) + (own / total) ** 2
        variance = max(a, 0.0), (rough / total) ** 2, spread, (drift / total) ** 2
        return Course(self.at_s, temp_c + sign * offset, sign * rate, variance)

    def arrival(self, at_c: float | None = None) -> Arrival:
        """When a temperature (the target, where none is named) is reached, over all shapes that count."""
        at_c = self.target_c if at_c is None else at_c
        parts, never, total = [], 0.0, 0.0
        for weight, member in self._weighted():
            total += weight
            left = member.left(at_c, self.wait_s, self.zone)
            if left is None:
                never += weight
            else:
                parts.append((weight, left[0], hypot(left[1], self.uneven.doubt)))
        if total <= 0.0:
            return Arrival((), 1.0)
        return Arrival(tuple((w / total, t, sd) for w, t, sd in parts), never / total)

    def _weighted(self) -> Iterator[tuple[float, Member]]:
        for member in self.members:
            weight = exp(member.logw)
            if weight >= NEGLIGIBLE:
                yield weight, member
