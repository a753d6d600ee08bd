"""Sudden death: makes killed with SIGKILL at random instants and resumed, over and over, until they are done.

Each child goes on with the unfinished make on a simulated bench with real ptys, and tells through a pipe what it has
on disk after every append: how many events, and a digest of where the make stands. After the kill the journal is
opened anew: everything told must be there, the fold of the same events must stand at the same place, and the chain
must be whole. Children also export the record and bring an old file up to date, and are killed at that.
``python tests/endurance/deaths.py 500`` is the long run; SIGKILL shows the death of a process, not of the power.
"""

from __future__ import annotations

import hashlib
import os
import random
import select
import signal
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from benchapp.make.core import Make
from benchapp.make.view_building import view_model_of
from benchapp.record.journal import Journal
from benchapp.record.verifying import verify
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session import Session
from benchapp.runtime.session_start import BatchOrder, begin, facts_of, plan_of, reopen
from drivers.simulated import DEFAULT_DEVICES, PH_METER, SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

#: One child in three lives for a time, at most so long, in seconds; the others for as many events as chance says, however slow the
#: machine is: at most so many, and so many seconds in which one has to come.
LONGEST_S, MOST_EVENTS, PATIENCE_S = 2.5, 40, 60.0
WALL = "2026-03-01T09:00:00.000+01:00"


def digest_of(make: Make) -> str:
    """Where a make stands: step, act, what it asks, the ledger, the clock and what is left of a wait."""
    state = make.state
    ledger = {
        k: (v.empty_g, sorted((x, round(g, 6)) for x, g in v.contents_g.items()))
        for k, v in sorted(state.ledger.vessels.items())
        if v.empty_g is not None or v.contents_g  # an account opened by looking at it holds nothing
    }
    told = (
        make.state.prompt,
        ledger,
        round(state.now_s, 6),
        round(state.progress.held_s, 6),
        len(state.deviations),
    )
    return hashlib.sha256(repr(told).encode()).hexdigest()[:16]


@dataclass
class Tally:
    """What the kills met."""

    kills: int = 0
    events: int = 0
    makes: int = 0
    by_step: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)


def _tell(pipe: int, session: Session) -> None:
    os.write(pipe, f"{session.batch} {session.make.state.count} {digest_of(session.make)}\n".encode())


def _go_on(folder: Path, pipe: int, number: int) -> None:
    """The child: go on with the unfinished make, or begin one; every append is told once it is on disk."""
    journal = Journal(folder, lambda: WALL)
    with SimulatedBench(seed=number, devices=(*DEFAULT_DEVICES, PH_METER)) as bench:
        waiting = [b for b in journal.batches(5) if not b.end]
        if waiting:
            stored = journal.stored(waiting[0].batch)
            base_s = stored[-1].event.at_s
            session = reopen(journal, stored, 0.0, lambda: base_s + bench.now_s)
        else:
            key = shipped()[number % len(shipped())]
            recipe = read_procedure(find(key)).procedure
            facts = [facts_of(d) for d in bench.bench.devices]
            batch = journal.new_batch("20260301", key)
            session = begin(
                journal,
                BatchOrder(recipe, recipe.default_batch_g, facts, "Mara Lind", batch, rehearsal=True),
                lambda: bench.now_s,
            )
        rehearsal = rehearse(bench, session, number)
        told = -1
        view = session.view()
        while not view.over:
            view = rehearsal.step()
            said = rehearsal.answers.at(view)
            if said is not None:
                session.put(said.given(session.clock(), view.prompt))
            if session.recorded != told:
                told = session.recorded
                _tell(pipe, session)
        rehearsal.close()
    journal.close()


def kill_once(folder: Path, number: int, chance: random.Random, tally: Tally) -> None:
    """One child, one kill, one look at what is left."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        try:
            _go_on(folder, writes, number)
        finally:
            os._exit(0)
    os.close(writes)
    for_s, events = chance.uniform(0.05, LONGEST_S), chance.randint(5, MOST_EVENTS)
    told = _listen(reads, child, *((for_s, MOST_EVENTS**2) if number % 3 == 0 else (PATIENCE_S, events)))
    os.close(reads)
    tally.kills += 1
    _look(folder, told, tally)


def _listen(reads: int, child: int, for_s: float, lines: int) -> list[str]:
    """What the child tells until its time is up, or it has told so many lines; then it is killed, and the rest of the pipe is read."""
    end = time.monotonic() + for_s
    data = b""
    while (left := end - time.monotonic()) > 0 and data.count(b"\n") < lines:
        ready, _, _ = select.select([reads], [], [], left)
        part = os.read(reads, 65536) if ready else b""
        if ready and not part:
            break
        data += part
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while part := os.read(reads, 65536):
        data += part
    return [x for x in data.decode().split("\n") if x.count(" ") == 2]


def _look(folder: Path, told: list[str], tally: Tally) -> None:
    journal = Journal(folder, lambda: WALL)
    try:
        found = verify(journal)
        if not found.sound or found.indexes:
            tally.faults.append(
                f"kill {tally.kills}: verify says {found.findings or found.indexes or found.guards}"
            )
        tally.events = found.events
        tally.makes = sum(1 for b in journal.batches(1000) if b.end)
        if not told:
            return
        batch, count, digest = told[-1].split(" ")
        events = [s.event for s in journal.stored(batch)]
        if len(events) < int(count):
            tally.faults.append(f"kill {tally.kills}: {count} events were told, {len(events)} are there")
            return
        again = Make(plan_of(events[0]), events[: int(count)])  # type: ignore[arg-type]
        tally.by_step[view_model_of(again, again.state.now_s).step_kind or "over"] += 1
        if digest_of(again) != digest:
            tally.faults.append(f"kill {tally.kills}: the make stands elsewhere at {again.state.prompt}")
    finally:
        journal.close()


def run(kills: int, seed: int = 20260301, show: bool = False) -> Tally:
    """So many kills in one journal."""
    tally, chance = Tally(), random.Random(seed)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for number in range(kills):
            kill_once(folder, number, chance, tally)
            if show:
                bar = "#" * (40 * (number + 1) // kills)
                print(
                    f"\r[{bar:40}] {number + 1}/{kills} kills, {tally.events} events", end="", file=sys.stderr
                )
    return tally


def main() -> int:
    """The long run, with a bar."""
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    tally = run(kills, show=True)
    print(f"\n{tally.kills} kills, {tally.events} events on disk, {tally.makes} makes brought to their end")
    print("by the step they met:", ", ".join(f"{k} {n}" for k, n in sorted(tally.by_step.items())))
    print(
        "\n".join(tally.faults)
        or "nothing told was lost, every make stood where it had stood, every chain was whole"
    )
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main())
