"""What several rooms' tests need: a rehearsal over real ports, and a journal in a folder of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchapp.record.journal import Journal
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.runtime.session import BatchOrder, begin, facts_of
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench
from procedures.model import Procedure
from procedures.reading import read_procedure
from procedures.shelf import find

WALL = "2026-03-01T09:00:00.000+01:00"


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    """A journal whose wall clock stands still."""
    opened = Journal(tmp_path / "data", lambda: WALL)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def lotion() -> Procedure:
    """The shipped hand lotion."""
    return read_procedure(find("oat-hand-lotion")).procedure


Rehearse = Callable[..., Rehearsal]


@pytest.fixture
def make_rehearsal(journal: Journal) -> Iterator[Rehearse]:
    """Begins rehearsals on simulated benches served as real serial ports, and closes them."""
    opened: list[Rehearsal] = []

    def start(
        procedure: Procedure, *, seed: int = 1, devices=DEFAULT_DEVICES, batch: str = "b1"
    ) -> Rehearsal:
        bench = SimulatedBench(seed=seed, devices=devices)
        facts = [facts_of(d) for d in bench.bench.devices]
        session = begin(
            journal,
            BatchOrder(procedure, procedure.default_batch_g, facts, "Mara Lind", batch, rehearsal=True),
            lambda: bench.now_s,
        )
        opened.append(rehearse(bench, session, seed))
        return opened[-1]

    yield start
    for one in opened:
        one.close()
