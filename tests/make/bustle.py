"""A busy bench, made up: knocks, spoons, draughts, vessels and hands on a simulated scale.

Rates and sizes are invented for the trial; nothing here was tried on hardware.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from random import Random

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import Grams
from drivers.simulated.simulated_scale import PanForce, SimulatedScale

DIVISION_G, READ_S, REST_READ_S = 0.1, 0.1, 1.0
#: After this long without anything happening a scale speaks only once a second, as the simulated ones do.
QUIET_AFTER_S = 8.0

#: What happens to one scale in a minute, on average.
TOUCHES = {"knock": 1.5, "bounce": 0.3, "spoon": 0.4, "draught": 0.3, "lean": 0.15}
VESSELS = {"vessel": 0.25, "shuffle": 0.15, "doubled": 0.05}


@dataclass
class Pan:
    """One scale and what is done to it; ``resting_g`` stands on it all the time."""

    chance: Random
    resting_g: float = 0.0
    vessels: bool = True
    now_s: float = 0.0
    counts: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._scale = SimulatedScale("big", 3000.0, DIVISION_G, self.chance)
        self._scale.standing = "whatever"
        self._loads: list[tuple[float, float, float]] = []  # from, to, grams
        self._draught_until_s, self._busy_until_s = 0.0, 0.0
        self._leans: list[tuple[float, float, float]] = []  # the same of hands, which tremble

    def load(self, start_s: float, end_s: float, grams: float) -> None:
        """Something weighs on the pan for a while."""
        self._loads.append((start_s, end_s, grams))
        self._busy_until_s = max(self._busy_until_s, end_s + QUIET_AFTER_S)

    def minute(self) -> None:
        """Draw what happens within the next minute."""
        chance, start = self.chance, self.now_s
        kinds = TOUCHES | (VESSELS if self.vessels else {})
        for kind, rate in kinds.items():
            for _ in range(how_many(chance, rate)):
                self.counts[kind] = self.counts.get(kind, 0) + 1
                self._happen(kind, start + chance.uniform(0.0, 60.0))

    def _happen(self, kind: str, at_s: float) -> None:
        chance = self.chance
        if kind == "knock":
            self._jolt(at_s, chance.expovariate(1 / 150.0))
        elif kind == "bounce":
            grams = chance.expovariate(1 / 300.0)
            for n in range(3):
                self._jolt(at_s + n * chance.uniform(0.1, 0.3), grams * chance.uniform(0.3, 0.6) ** n)
        elif kind == "spoon":
            self._set_down(at_s, chance.uniform(5.0, 60.0), chance.uniform(0.5, 90.0))
        elif kind == "vessel":
            self._set_down(at_s, chance.uniform(80.0, 900.0), chance.uniform(2.0, 90.0))
        elif kind == "shuffle":  # down, up and down again, and away
            grams = chance.uniform(80.0, 900.0)
            for _ in range(chance.randint(2, 3)):
                stands_s = chance.uniform(0.8, 3.0)
                self._set_down(at_s, grams, stands_s)
                at_s += stands_s + chance.uniform(0.3, 2.0)
        elif kind == "doubled":  # two vessels, one after the other
            self._set_down(at_s, chance.uniform(80.0, 900.0), 20.0)
            self._set_down(at_s + chance.uniform(0.5, 1.5), chance.uniform(80.0, 900.0), 20.0)
        elif kind == "lean":
            self._leans.append((at_s, at_s + chance.uniform(1.2, 10.0), chance.uniform(200.0, 1500.0)))
            self._busy_until_s = max(self._busy_until_s, self._leans[-1][1] + QUIET_AFTER_S)
        else:
            self._draught_until_s = max(self._draught_until_s, at_s + chance.uniform(10.0, 40.0))
            self._busy_until_s = max(self._busy_until_s, self._draught_until_s + QUIET_AFTER_S)

    def _jolt(self, at_s: float, grams: float, decay_s: float = 0.08) -> None:
        self._scale.forces.append(PanForce(at_s, grams, decay_s))
        self._busy_until_s = max(self._busy_until_s, at_s + QUIET_AFTER_S)

    def _set_down(self, at_s: float, grams: float, lasts_s: float) -> None:
        self._jolt(at_s, 0.25 * grams, 0.1)
        self.load(at_s, at_s + lasts_s, grams)
        self._jolt(at_s + lasts_s - 0.1, 0.05 * grams)

    def until(self, end_s: float):
        """Readings up to then, (seconds, grams): ten a second while anything goes on, else one."""
        while self.now_s < end_s - 1e-9:
            begins = [a for a, _, _ in (*self._loads, *self._leans)] + [p.at_s for p in self._scale.forces]
            busy = self.now_s < self._busy_until_s and any(
                a <= self.now_s + 1.0 for a in [*begins, self.now_s]
            )
            gap_s = READ_S if busy else REST_READ_S
            if busy:  # the world moves on twice between two readings
                self._scale.step(
                    self.now_s + gap_s / 2, gap_s / 2, self._force(self.now_s + gap_s / 2), False
                )
                self.now_s, gap_s = round(self.now_s + gap_s / 2, 3), gap_s / 2
            self.now_s = round(self.now_s + gap_s, 3)
            self._loads = [x for x in self._loads if x[1] > self.now_s - 1.0]
            self._leans = [x for x in self._leans if x[1] > self.now_s - 1.0]
            self._scale.step(self.now_s, gap_s, self._force(self.now_s), False)
            shown = self._scale.display_g()
            if shown is not None:
                yield self.now_s, round(shown, 1)

    def _force(self, at_s: float) -> float:
        """What presses on the pan then, in grams."""
        force = self.resting_g + sum(g for a, b, g in self._loads if a <= at_s < b)
        tremor = 1.0 + 0.03 * math.sin(9.1 * at_s) + 0.05 * math.sin(2.3 * at_s)
        force += sum(tremor * g for a, b, g in self._leans if a <= at_s < b)
        if at_s < self._draught_until_s:
            force += 0.4 * math.sin(2.1 * at_s) + 0.2 * math.sin(0.7 * at_s)
        return force


def how_many(chance: Random, mean: float) -> int:
    """How many of something rare (Knuth's product of uniforms)."""
    limit, product, count = math.exp(-mean), chance.random(), 0
    while product > limit:
        product *= chance.random()
        count += 1
    return count


def bustled(make: Make, pan: Pan, minutes: int) -> list[ev.Event]:
    """What a make that stands at one prompt would have taken for an answer; nothing is applied, so it stands there."""
    out: list[ev.Event] = []
    start = make.state.now_s
    for minute in range(minutes):
        pan.minute()
        for at_s, grams in pan.until(60.0 * (minute + 1)):
            out += [e for e in make.take(Grams(start + at_s, "big", grams, None, False)) if _answers(e)]
    return out


def _answers(event: ev.Event) -> bool:
    return isinstance(
        event, ev.Confirmed | ev.ActFinished | ev.WeightTaken | ev.OverpourFound | ev.RemedyChosen
    )


def pushed(make: Make, chance: Random, pushes: int) -> int:
    """How many of so many times three deliberate pushes a make hears, each exactly once."""
    heard = 0
    pan = Pan(chance)
    start = make.state.now_s
    for n in range(pushes):
        begin = 12.0 * n + 1.0 + chance.random()
        grams = chance.lognormvariate(math.log(700.0), 0.25)
        for _ in range(3):
            lasts = min(max(chance.gauss(0.25, 0.06), 0.1), 0.8)
            pan.load(begin, begin + lasts, grams * chance.lognormvariate(0.0, 0.12))
            begin += lasts + min(max(chance.gauss(0.32, 0.07), 0.15), 0.7)
        said = 0
        for at_s, shown in pan.until(12.0 * (n + 1)):
            said += sum(
                isinstance(e, ev.Confirmed) for e in make.take(Grams(start + at_s, "big", shown, None, False))
            )
        heard += said == 1
    return heard
