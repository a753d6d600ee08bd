"""How many additions a batch needs to come into its pH band: the estimator against adding 0.2 g and looking.

Run ``python tests/benchmarks/bench_ph.py [phases] [way ...]``, a way by a part of its name. Simulated phases, fixed
seed; true pH decides what is past the band's far edge, the noisy reading (standard deviation 0.03) when a maker stops.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

from water_phases import Phase, Solute, Task, random_task

from benchapp.calculations.ph_chemistry import TITRANTS, Solution, Titrant
from benchapp.calculations.ph_dose import Suggestion, next_addition
from benchapp.calculations.ph_parts import PhReading, Stated, reading_sd_ph
from benchapp.calculations.ph_trial import next_trial_addition

NOISE_PH, PKA_OFF, LEAST_G, SAMPLE_G, LONGEST = 0.03, 0.1, 0.2, 20.0, 40
#: What stands on the bench, percent by mass: the strong one and its dilutions.
#: How far a colour is judged off, in steps of the strip (no source).
STRIP_OFF = 0.25
STRENGTHS = (20.0, 5.0, 1.0, 0.2, 0.05)
SEED = 2024

Added = tuple[tuple[Solution, float], ...]


@dataclass(frozen=True)
class Outcome:
    """One batch: additions to it, additions to its trial, whether it ended past the far edge or unfinished."""

    additions: int
    trial: int
    past: bool
    unfinished: bool
    slowest_s: float = 0.0


class Bench:
    """A simulated maker: pours nearly what is asked, reads with noise, or a strip in steps of ``step_ph``."""

    def __init__(self, task: Task, seed: int, step_ph: float = 0.0) -> None:
        self.task, self.rng, self.step_ph = task, random.Random(seed), step_ph
        self.phase = task.phase
        self.solutions = [Solution(TITRANTS[task.titrant.name], p) for p in STRENGTHS]
        self.lowering = self.phase.ph() > task.high

    def read(self, phase_ph: float) -> float:
        """A reading to two decimals, or the strip's nearest colour, judged a quarter of a step off."""
        if self.step_ph:
            seen = phase_ph + self.rng.gauss(0.0, STRIP_OFF * self.step_ph)
            return round(round(seen / self.step_ph) * self.step_ph, 2)
        return round(phase_ph + self.rng.gauss(0.0, NOISE_PH), 2)

    def poured(self, wanted_g: float) -> float:
        """What lands in the boat, to 0.01 g, and is known: within 1 % and a drop of 0.03 g."""
        return max(round(wanted_g * self.rng.uniform(0.99, 1.01) + self.rng.uniform(-0.03, 0.03), 2), 0.01)

    def going_on(self, ph: float) -> bool:
        """Whether the reading still stands on the side it came from."""
        return ph > self.task.high if self.lowering else ph < self.task.low

    def past(self) -> bool:
        """Whether the batch truly is beyond the far edge."""
        return self.phase.ph() < self.task.low if self.lowering else self.phase.ph() > self.task.high

    def stated(self) -> tuple[Stated, ...]:
        """What a formula would tell: nine of ten named solutes, as a supplier's range, pKa off by 0.1; unnamed ones never."""
        told = []
        for solute, mol_kg in self.phase.solutes:
            width = self.rng.uniform(1.1, 2.0)
            low = mol_kg / width ** self.rng.random()
            if solute.name != "unnamed" and self.rng.random() < 0.9:
                told.append(Stated(self._remembered(solute), low, low * width))
        return tuple(told)

    def _remembered(self, solute: Solute) -> Titrant:
        off = self.rng.gauss(0.0, PKA_OFF)
        return Titrant(solute.name, tuple(pka + off for pka in solute.pka), solute.top, 100.0)


def by_estimate(
    task: Task, seed: int, *, trial: bool, told: bool, step_ph: float = 0.0, strip_known: bool = True
) -> Outcome:
    """Additions as the estimator asks for them, which knows that a strip is read, or takes it for a meter."""
    bench = Bench(task, seed, step_ph)
    band, stated = (task.low, task.high), bench.stated() if told else ()
    sd_ph = reading_sd_ph(step_ph if strip_known else 0.0)
    readings = [PhReading(bench.read(bench.phase.ph()), bench.phase.batch_g, sd_ph=sd_ph)]
    tried = _titrate(bench, readings[0], stated) if trial and bench.going_on(readings[0].ph) else []
    added: Added = ()
    slowest = 0.0
    while bench.going_on(readings[-1].ph) and len(added) < LONGEST:
        began = time.process_time()
        asked = next_addition(readings, band, bench.solutions, LEAST_G, 1e9, stated, tried)
        slowest = max(slowest, time.process_time() - began)
        if not asked.mass_g:
            return Outcome(len(added), len(tried), bench.past(), True, slowest)
        added = _add(bench, bench.phase, added, asked)
        readings.append(PhReading(bench.read(bench.phase.ph()), bench.phase.batch_g, added, sd_ph=sd_ph))
    return Outcome(len(added), len(tried), bench.past(), len(added) == LONGEST, slowest)


def _add(bench: Bench, phase: Phase, added: Added, asked: Suggestion) -> Added:
    assert asked.solution is not None
    mass_g = bench.poured(asked.mass_g)
    phase.add(bench.task.titrant, asked.solution.mol_kg, mass_g)
    return (*added, (asked.solution, mass_g))


def _titrate(bench: Bench, start: PhReading, stated: tuple[Stated, ...]) -> list[PhReading]:
    """A 20 g sample taken through the band."""
    sample, tried = bench.phase.sample(SAMPLE_G), []
    added: Added = ()
    band = (bench.task.low, bench.task.high)
    while True:
        asked = next_trial_addition(start, tried, band, bench.solutions, LEAST_G, SAMPLE_G, stated)
        if not asked.mass_g:
            return tried
        added = _add(bench, sample, added, asked)
        tried.append(PhReading(bench.read(sample.ph()), SAMPLE_G, added, sd_ph=start.sd_ph))


def add_and_look(task: Task, seed: int, percent: float = 20.0) -> Outcome:
    """The rival: 0.2 g of the strong solution, look, again."""
    bench = Bench(task, seed)
    solution = Solution(TITRANTS[task.titrant.name], percent)
    ph, additions = bench.read(bench.phase.ph()), 0
    while bench.going_on(ph) and additions < 500:
        bench.phase.add(task.titrant, solution.mol_kg, bench.poured(0.2))
        ph, additions = bench.read(bench.phase.ph()), additions + 1
    return Outcome(additions, 0, bench.past(), additions == 500)


def tasks(count: int, seed: int = SEED) -> list[Task]:
    """Fresh phases of a seed (a run changes them)."""
    rng = random.Random(seed)
    return [random_task(rng) for _ in range(count)]


def quantile(values: list[int], share: float) -> int:
    """The value that ``share`` of the values do not pass."""
    ordered = sorted(values)
    return ordered[min(int(share * len(ordered)), len(ordered) - 1)]


def table(count: int, words: Sequence[str] = ()) -> Iterator[tuple[str, list[Outcome]]]:
    """All ways, or those named, over the same phases, row by row, on every core."""
    ways: list[tuple[str, Callable[[Task, int], Outcome]]] = [
        ("0.2 g of 20 % and look", partial(add_and_look, percent=20.0)),
        ("0.2 g of 5 % and look", partial(add_and_look, percent=5.0)),
        ("estimate alone, formula stated", partial(by_estimate, trial=False, told=True)),
        ("estimate alone, formula unknown", partial(by_estimate, trial=False, told=False)),
        (
            "strip of 0.5, taken for a meter",
            partial(by_estimate, trial=False, told=True, step_ph=0.5, strip_known=False),
        ),
        ("strip of 0.5, known as one", partial(by_estimate, trial=False, told=True, step_ph=0.5)),
        ("estimate after a trial, formula stated", partial(by_estimate, trial=True, told=True)),
        ("estimate after a trial, formula unknown", partial(by_estimate, trial=True, told=False)),
    ]
    with ProcessPoolExecutor() as pool:
        for name, way in ways:
            if words and not any(word in name for word in words):
                continue
            yield name, list(pool.map(way, tasks(count), range(count), chunksize=10))


def main(count: int, words: Sequence[str] = ()) -> None:
    """Print the comparison."""
    print(f"{count} simulated water phases, seed {SEED}")
    print(f"{'way':50} median  p95  max  past far edge  unfinished  trial median  slowest s")
    for name, found in table(count, words):
        additions = [x.additions for x in found]
        print(
            f"{name:50} {quantile(additions, 0.5):6d} {quantile(additions, 0.95):4d} {max(additions):4d}"
            f"  {100 * sum(x.past for x in found) / count:10.2f} %  {sum(x.unfinished for x in found):10d}"
            f"  {quantile([x.trial for x in found], 0.5):12d}  {max(x.slowest_s for x in found):9.3f}",
            flush=True,
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000, sys.argv[2:])
