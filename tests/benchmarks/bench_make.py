"""Readings through the core, and a whole make's events played again, each against its floor.

``python tests/benchmarks/bench_make.py``. The make is a rehearsal of the hand lotion in lock-step, made once first.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from benchapp.make.core import Make
from benchapp.make.inputs import Degrees, Grams, Tick
from benchapp.make.view_building import view_model_of
from benchapp.record.journal import Journal
from benchapp.record.stored_event import StoredEvent
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session_start import BatchOrder, begin, facts_of, plan_of
from drivers.simulated import DEFAULT_DEVICES, PH_METER, SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

sys.path.insert(0, str(Path(__file__).parents[1]))
from acting import to_the_end

READINGS = 200_000
ROUNDS = 5


def whole_make() -> tuple[list[StoredEvent], list[str]]:
    """Events and stored texts of a finished make."""
    recipe = read_procedure(find("oat-hand-lotion")).procedure
    with (
        tempfile.TemporaryDirectory() as name,
        SimulatedBench(seed=1, devices=(*DEFAULT_DEVICES, PH_METER)) as bench,
    ):
        journal = Journal(Path(name), lambda: "2026-03-01T09:00:00.000+01:00")
        facts = [facts_of(d) for d in bench.bench.devices]
        session = begin(
            journal,
            BatchOrder(recipe, recipe.default_batch_g, facts, "Mara Lind", "b1", rehearsal=True),
            lambda: bench.now_s,
        )
        rehearsal = rehearse(bench, session, 1)
        to_the_end(rehearsal)
        rehearsal.close()
        stored = journal.stored("b1")
        journal.close()
    return stored, [json.dumps({"fields": str(s.event)}) for s in stored]


def at_step(stored: list[StoredEvent], step: str, act: str) -> Make:
    """The make as it stood when that act began."""
    events = [s.event for s in stored]
    place = next(
        n
        for n, e in enumerate(events)
        if getattr(e, "step", "") == step and getattr(e, "act", "").startswith(act)
    )
    return Make(plan_of(events[0]), events[: place + 1])  # type: ignore[arg-type]


def through(make: Make, given: Callable[[int, float], list[Grams | Degrees | Tick]]) -> float:
    """Readings a second put to a make that has nothing to decide; the moment is drawn up 20 times a bench second."""
    at_s, count = make.state.now_s, 0
    began = time.perf_counter()
    while count < READINGS:
        at_s = round(at_s + 0.05, 3)
        for one in given(count, at_s):
            make.take(one)
            count += 1
    return count / (time.perf_counter() - began)


def pouring(n: int, at_s: float) -> list[Grams | Degrees | Tick]:
    """The scale runs up and down below its band and never rests; two probes beside it."""
    return [Grams(at_s, "bench scale", 430.0 + (n * 7 % 900) / 10, False, False), Degrees(at_s, "thermometer", "probe 1", 21.0),
            Degrees(at_s, "thermometer", "probe 2", 21.0), Tick(at_s)]  # fmt: skip


def heating(n: int, at_s: float) -> list[Grams | Degrees | Tick]:
    """Two probes creep up far below the band."""
    temp = 40.0 + n * 1e-5
    return [Degrees(at_s, "thermometer", "probe 1", temp), Degrees(at_s, "thermometer", "probe 2", temp),
            Grams(at_s, "bench scale", 0.0, True, False), Tick(at_s)]  # fmt: skip


def middle(act: Callable[[], float]) -> float:
    """The middle of some rounds."""
    return sorted(act() for _ in range(ROUNDS))[ROUNDS // 2]


def timed(act: Callable[[], object]) -> float:
    """Seconds."""
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def main() -> None:
    """All figures."""
    stored, texts = whole_make()
    events = [s.event for s in stored]
    hours = events[-1].at_s / 3600
    print(f"a make of {hours:.1f} bench hours, {len(events)} events")
    for what, step, act, given in (
        ("pouring", "02-weigh", "pour", pouring),
        ("heating", "06-heat", "heat", heating),
    ):
        rate = middle(lambda step=step, act=act, given=given: through(at_step(stored, step, act), given))
        print(f"readings through the core while {what:10} {rate:12,.0f} a second  (wanted at least 50,000)")
    plan = plan_of(events[0])  # type: ignore[arg-type]
    replay = middle(lambda: timed(lambda: Make(plan, events)))
    floor = middle(lambda: timed(lambda: [json.loads(t) for t in texts]))
    print(
        f"replay of the whole make                     {replay:10.3f} s  (wanted at most 1; reading as many JSON texts: {floor:.3f} s)"
    )
    make = at_step(stored, "06-heat", "heat")
    drawn = (
        middle(lambda: timed(lambda: [view_model_of(make, make.state.now_s + n * 0.05) for n in range(2000)]))
        / 2000
    )
    print(f"one moment drawn up                          {1e3 * drawn:10.3f} ms")


if __name__ == "__main__":
    main()
