"""What one very long batch and very many lots take: recorded as text, verified, listed.

Run ``python tests/benchmarks/bench_large.py [EVENTS [LOTS]]``; without numbers 200 000 and 10 000. Each figure is the
best of five whole runs of the command in processes of their own, the first of which is thrown away: an installation has its
bytecode. Beside it stands the load of the machine.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from benchapp import events as ev
from benchapp.record.journal import Journal

BATCH, MAKER, DAY = "20260301-long-1", "Mara Lind", "2026-03-01T09:00:00.000+01:00"
PART, RUNS = 20_000, 6


def batch_of(count: int) -> list[ev.Event]:
    """A make of so many events: a weighing, its lot, a burst, temperatures and a look in turn."""
    made: list[ev.Event] = [
        ev.MakeStarted(
            at_s=0.0, batch=BATCH, maker=MAKER, procedure="long", procedure_sha256="0" * 64, procedure_text="",
            batch_g=500.0, devices=(),
        )
    ]  # fmt: skip
    while len(made) < count:
        made += _turn(float(len(made)), len(made) // 5)
    return made[:count]


def _turn(at_s: float, turn: int) -> list[ev.Event]:
    step = f"{turn // 50:04d}-weigh"
    return [
        ev.ActBegan(at_s=at_s, step=step, act=f"pour {turn}"),
        ev.LotTaken(at_s=at_s, step=step, act=f"pour {turn}", line="oil", material="oil", lot="oil-1", how="scanned"),
        ev.WeightTaken(
            at_s=at_s, step=step, act=f"pour {turn}", line="oil", vessel="pot", target_g=0.01, low_g=0.0, high_g=0.02,
            net_g=0.01, gross_g=400.0, source=ev.Source.MEASURED, device="bench scale", checked=True, lot="oil-1",
        ),
        ev.TemperaturesLogged(at_s=at_s, step=step, source=ev.Source.MEASURED, temps_c=(("pot", 71.5), ("bath", 75.0))),
        ev.Watched(at_s=at_s, step=step),
    ]  # fmt: skip


def lots(count: int) -> list[ev.Event]:
    """Deliveries of one material each day."""
    return [
        ev.LotReceived(
            at_s=0.0, lot=f"oil-{n}", material="oil", name="Oil", supplier="Pier Oils", supplier_lot=str(n),
            quantity=1000.0, unit="g", received="2026-01-01", expires="2027-12-31", documents=(), by=MAKER,
        )
        for n in range(count)
    ]  # fmt: skip


def build(folder: Path, events: int, many_lots: int) -> None:
    """A journal with one batch of so many events, and so many lots."""
    journal = Journal(folder, lambda: DAY)
    journal.append(ev.WORKSHOP, lots(many_lots))
    made = batch_of(events)
    for first in range(0, len(made), PART):
        journal.append(BATCH, made[first : first + PART])
    journal.close()


def took_s(*words: str) -> tuple[float, float]:
    """Seconds of one command, from its start to its end, and those it had a processor; it has to end well."""
    began, used = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-m", "benchapp.cli", *words], check=True, stdout=subprocess.DEVNULL)
    since = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.perf_counter() - began, since.ru_utime - used.ru_utime + since.ru_stime - used.ru_stime


def main(events: int, many_lots: int) -> None:
    """Build, run, print."""
    with tempfile.TemporaryDirectory() as temporary:
        os.environ |= {"XDG_CONFIG_HOME": temporary, "PYTHONPYCACHEPREFIX": temporary}
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.umask(0o077)
        folder = Path(temporary, "data")
        began = time.perf_counter()
        build(folder, events, many_lots)
        print(f"{events} events and {many_lots} lots written in {time.perf_counter() - began:.1f} s")
        for words in (["record", BATCH], ["verify", BATCH], ["verify"], ["lot", "list"]):
            seconds, busy = min([took_s(*words, "--data", str(folder)) for _ in range(RUNS)][1:])
            load = os.getloadavg()[0]
            print(
                f"{' '.join(words):28}{seconds:7.2f} s, {busy:.2f} s of a processor, load {load:.1f}",
                flush=True,
            )


if __name__ == "__main__":
    main(*([int(n) for n in sys.argv[1:3]] + [200_000, 10_000][len(sys.argv) - 1 :]))
