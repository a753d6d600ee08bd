"""Hands at work: streams that fall and drip, transfers, and a person pouring towards a number.

Everything a hand is busy with is an object stepped by the world until it is ``done``; mass that has left one place and not yet
arrived is inside it, so nothing is ever lost between vessels.
"""

from __future__ import annotations

from collections import deque
from random import Random
from typing import Protocol

from benchapp.foundation.numbers import exact
from drivers.simulated.bench_top import BenchTop
from drivers.simulated.materials import MaterialKind, SimulatedMaterial
from drivers.simulated.simulated_vessel import Mixture
from drivers.simulated.water import CP_WATER

FALL_S = 0.25  # from the lip to the surface
VALVE_S = 0.15  # how fast a hand opens and closes a stream
DROP_G = 0.05
PIPETTE_G = 10.0  # less than this comes out of a pipette, in smaller drops
TRANSFER_G_S = 40.0


class Handling(Protocol):
    """Something that takes time. ``into`` is the vessel it happens at; ``rough`` while it shakes a scale."""

    into: str
    done: bool
    rough: bool

    def step(self, bench: BenchTop, dt_s: float) -> None: ...


class Pause:
    """A hand busy for a while with nothing that weighs."""

    def __init__(self, into: str, seconds: float) -> None:
        self.into, self.left_s, self.done, self.rough = into, seconds, False, False

    def step(self, bench: BenchTop, dt_s: float) -> None:
        """Let the time pass."""
        self.left_s = exact(self.left_s - dt_s)
        self.done = self.left_s <= 0.0


class Stream:
    """Something on its way into a vessel. ``poured_g`` is what left the bottle."""

    def __init__(self, material: SimulatedMaterial, into: str, temp_c: float, rng: Random) -> None:
        self.material, self.into, self.temp_c, self._rng = material, into, temp_c, rng
        self.done = self.rough = self.closed = self.empty = False
        self.wanted_g_s = self.flow_g_s = 0.0
        self.poured_g = 0.0
        self.drop_g = DROP_G
        self._falling: deque[tuple[float, Mixture, float]] = deque()  # arrival time, what, its temperature
        self._drops_at: list[float] = []

    @property
    def still(self) -> bool:
        """Nothing flows, falls or will drip."""
        return not (self.flow_g_s or self.wanted_g_s or self._falling or self._drops_at)

    def halt(self, now_s: float) -> None:
        """Stop for now; up to two drops follow a liquid."""
        if self.wanted_g_s > 0.0 and not self.dry:
            self._drops_at = sorted(
                now_s + self._rng.uniform(0.4, 2.0) for _ in range(self._rng.randint(0, 2))
            )
        self.wanted_g_s = 0.0

    @property
    def dry(self) -> bool:
        """Whether it is a powder, which comes in clumps and does not drip."""
        return self.material.powder

    def draw(self, bench: BenchTop, grams: float) -> tuple[Mixture, float]:
        """Take so many grams from where it comes from; returns them and their temperature."""
        return Mixture.of(self.material, grams), self.temp_c

    def step(self, bench: BenchTop, dt_s: float) -> None:
        """Let it flow, fall and drip."""
        now = bench.now_s
        self.flow_g_s += (self.wanted_g_s - self.flow_g_s) * min(1.0, dt_s / VALVE_S)
        if self.wanted_g_s == 0.0 and self.flow_g_s < 0.02:
            self.flow_g_s = 0.0
        if self.flow_g_s > 0.0:
            uneven = max(0.0, 1.0 + self._rng.gauss(0.0, 0.5 if self.dry else 0.05))
            self._let_go(bench, now, self.flow_g_s * dt_s * uneven)
        while self._drops_at and self._drops_at[0] <= now:
            self._let_go(bench, self._drops_at.pop(0), self.drop_g)
        while self._falling and self._falling[0][0] <= now:
            _, portion, temp_c = self._falling.popleft()
            bench.vessel(self.into).receive(portion, temp_c)
        self.rough = self.flow_g_s > 0.0
        self.done = self.closed and self.still

    def _let_go(self, bench: BenchTop, at_s: float, grams: float) -> None:
        portion, temp_c = self.draw(bench, grams)
        self.poured_g += portion.mass_g
        self._falling.append((exact(at_s + FALL_S), portion, temp_c))


class VesselStream(Stream):
    """A stream out of another vessel; ``empty`` when only what clings to the walls is left."""

    CLINGS_G = 0.5

    def __init__(self, source: str, into: str, rng: Random) -> None:
        super().__init__(SimulatedMaterial("", MaterialKind.LIQUID, CP_WATER, 1.0), into, 0.0, rng)
        self.source = source

    def draw(self, bench: BenchTop, grams: float) -> tuple[Mixture, float]:
        """Take from the vessel what it still gives."""
        vessel = bench.vessel(self.source)
        there = max(0.0, vessel.net_g - self.CLINGS_G)
        if grams >= there:
            self.empty = True
            self.wanted_g_s = self.flow_g_s = 0.0
            self._drops_at = []
        return vessel.give(min(grams, there))


class Transfer:
    """One vessel's contents poured into another; ``residue_g`` stays on the walls."""

    def __init__(self, source: str, into: str, grams: float, seconds: float) -> None:
        self.source, self.into, self.left_g, self.rate_g_s = source, into, grams, grams / seconds
        self.done, self.rough = False, True

    def step(self, bench: BenchTop, dt_s: float) -> None:
        """Pour a little."""
        grams = min(self.left_g, self.rate_g_s * dt_s)
        portion, temp_c = bench.vessel(self.source).give(grams)
        bench.vessel(self.into).receive(portion, temp_c)
        self.left_g -= grams
        self.done = exact(self.left_g) <= 0.0


class Spoon:
    """A spoon or pipette that goes in, comes out with ``grams`` and empties into the bin."""

    def __init__(self, source: str, grams: float) -> None:
        self.into, self.grams = source, grams
        self.done, self.rough = False, True
        self._age_s, self._full = 0.0, False

    def step(self, bench: BenchTop, dt_s: float) -> None:
        """In, out, over."""
        self._age_s += dt_s
        if not self._full and self._age_s >= 1.0:
            self._full = True
            bench.vessel(self.into).give(self.grams)
        self.done = self._age_s >= 2.0


class PourTo:
    """A person pouring until the display has risen by ``grams``. ``skill`` 0 (clumsy) to 1 (practised).

    The eye sees the display a reaction time late; the hand slows as the number nears and stops when what is
    seen, plus what a practised hand knows is still coming, reaches the aim. A clear shortfall is topped up
    in drops, at most three times; too much stays where it is. Without a scale beneath it is poured by guess.
    """

    MARGIN = 0.004  # a shortfall under this share of the target is left

    def __init__(self, stream: Stream, grams: float, skill: float, rng: Random) -> None:
        self.stream, self.into, self.grams, self.skill, self._rng = stream, stream.into, grams, skill, rng
        self.done = self.rough = False
        self.reaction_s = 0.22 + 0.3 * (1.0 - skill) * rng.uniform(0.6, 1.4)
        self.aim_g = grams * (1.0 + rng.gauss(-0.003 * skill, 0.012 * (1.0 - skill) + 0.002))
        if grams < PIPETTE_G:
            stream.drop_g = 0.02
        self._seen: deque[tuple[float, float]] = deque()
        self._base_g: float | None = None
        self._pouring, self._tops = True, 0
        self._rest_until_s, self._patience_s = 0.0, 6.0

    @property
    def poured_g(self) -> float:
        """What left the bottle so far."""
        return self.stream.poured_g

    def step(self, bench: BenchTop, dt_s: float) -> None:
        """Look, decide, pour."""
        if self._base_g is None and self._waits(bench, dt_s):
            return
        rise = self._rise_g(bench)
        if self.stream.empty:
            self._pouring, self._tops = False, 3
        if self._pouring:
            self._steer(bench.now_s, rise)
        self.stream.step(bench, dt_s)
        self.rough = self.stream.rough
        if not self._pouring and self.stream.still:
            self._judge(bench, rise)

    def stop(self, now_s: float) -> None:
        """Tip the bottle back, whatever the display says."""
        self.stream.halt(now_s)
        self._pouring, self._tops = False, 3

    def _waits(self, bench: BenchTop, dt_s: float) -> bool:
        """Nobody begins before the scale is still, but nobody waits for ever either."""
        scale = bench.scale_under(self.into)
        self._patience_s -= dt_s
        if scale is None or self._patience_s <= 0.0:
            return False
        return scale.handled(bench.now_s) or not scale.settled

    def _rise_g(self, bench: BenchTop) -> float:
        """What the hand believes to have poured, one reaction time late."""
        scale = bench.scale_under(self.into)
        shown = scale.seen_g() if scale is not None and scale.on else None
        if shown is None:
            return self.stream.poured_g
        if self._base_g is None:
            self._base_g = shown
        self._seen.append((bench.now_s, shown - self._base_g))
        while len(self._seen) > 1 and self._seen[1][0] <= bench.now_s - self.reaction_s:
            self._seen.popleft()
        return self._seen[0][1]

    def _steer(self, now_s: float, rise_g: float) -> None:
        missing = self.aim_g - rise_g
        slowest = max(0.03, 0.012 * self.grams) * (1.6 - 0.8 * self.skill)
        quickest = min(45.0, max(0.5, self.grams / (5.0 + 3.0 * self.skill)))
        if self._tops:
            quickest = slowest = max(0.03, 0.35 * slowest)
        coming = self.stream.flow_g_s * (0.35 + FALL_S + VALVE_S + self.reaction_s) * self.skill
        coming += 0.0 if self.stream.dry else self.skill * self.stream.drop_g
        if missing - coming <= 0.0:
            self.stream.halt(now_s)
            self._pouring = False
            self._rest_until_s = now_s + 2.0
        else:
            self.stream.wanted_g_s = min(quickest, max(slowest, missing / (1.2 + 1.8 * self.skill)))

    def _judge(self, bench: BenchTop, rise_g: float) -> None:
        """Wait until the scale rests, then leave it or top up."""
        scale = bench.scale_under(self.into)
        if bench.now_s < self._rest_until_s or (scale is not None and not scale.stable):
            return
        division = scale.division_g if scale is not None else 0.0
        short = self.grams - rise_g
        if scale is not None and short > max(1.01 * division, self.MARGIN * self.grams) and self._tops < 3:
            self._tops += 1
            self.aim_g = self.grams
            self._pouring = True
        else:
            self.stream.closed = True
            self.stream.step(bench, 0.0)
            self.done = True
