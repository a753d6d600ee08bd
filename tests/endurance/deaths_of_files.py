"""Sudden death while a record is being written out, and while an old journal is brought up to date.

``python tests/endurance/deaths_of_files.py 100``. A document is whole or not there; an old journal is the old one or
the new one, with the same head either way.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from benchapp.foundation.text_files import write_whole
from benchapp.record.documents.as_pdf import as_pdf
from benchapp.record.journal import JOURNAL, Journal
from benchapp.record.tables import INDEXES
from benchapp.record.verifying import verify
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from benchapp.service.procedure_facts import record_in
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

sys.path.insert(0, str(Path(__file__).parents[1]))
from acting import taken_for_real, to_the_end

WALL = "2026-03-01T09:00:00.000+01:00"


def made(folder: Path) -> str:
    """A journal with one finished make; its batch."""
    recipe = read_procedure(find("tide-pool-gel")).procedure
    journal = Journal(folder, lambda: WALL)
    with SimulatedBench(seed=3, devices=DEFAULT_DEVICES) as bench:
        taken_for_real(bench)
        facts = [facts_of(d) for d in bench.bench.devices]
        session = begin(
            journal, BatchOrder(recipe, recipe.default_batch_g, facts, "Mara Lind", "b1"), lambda: bench.now_s
        )
        rehearsal = rehearse(bench, session, 3)
        to_the_end(rehearsal)
        rehearsal.close()
    journal.close()
    return "b1"


def aged(new: Path, old: Path) -> None:
    """The same chain in a file as the first version of the program left it."""
    old.mkdir()
    shutil.copy(new / JOURNAL, old / JOURNAL)
    raw = sqlite3.connect(old / JOURNAL)
    for table in INDEXES.sorted_tables:
        raw.execute(f"DROP TABLE {table.name}")
    raw.execute("UPDATE schema SET version = 1")
    raw.commit()
    raw.close()


def killed(act: Callable[[], None], after_s: float) -> None:
    """A child that does it, and dies after so long."""
    child = os.fork()
    if child == 0:
        try:
            act()
        finally:
            os._exit(0)
    time.sleep(after_s)  # a real process is killed at a real instant: there is no clock to hand in
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def exports(folder: Path, batch: str, kills: int, chance: random.Random) -> list[str]:
    """Records written out in a loop and killed; what is wrong with the files that are there."""
    out = folder / "out"
    out.mkdir()

    journal = Journal(folder, lambda: WALL)
    data = as_pdf(record_in(journal, batch), journal.head())
    journal.close()

    def write(number: int) -> None:
        for n in range(100_000):
            write_whole(out / f"{number}-{n}.pdf", data)

    for number in range(kills):
        killed(lambda number=number: write(number), chance.uniform(0.0, 0.1))
    files = sorted(out.glob("*.pdf"))
    wrong = [f"{f.name} is torn" for f in files if not f.read_bytes().rstrip().endswith(b"%%EOF")]
    return wrong if files else ["no document was ever written, so nothing was tried"]


def migrations(folder: Path, kills: int, chance: random.Random) -> list[str]:
    """Old journals brought up to date and killed at it; what is wrong with them afterwards."""
    wrong: list[str] = []
    journal = Journal(folder, lambda: WALL)
    head = journal.head()
    journal.close()
    for number in range(kills):
        old = folder / f"old-{number}"
        aged(folder, old)
        killed(lambda old=old: Journal(old, lambda: WALL).close(), chance.uniform(0.0, 0.05))
        again = Journal(old, lambda: WALL)
        found = verify(again, head=head)
        if not found.sound or found.indexes or again.batch("b1").end != "finished":
            wrong.append(f"old journal {number}: {found}")
        again.close()
        shutil.rmtree(old)
    return wrong


def main() -> int:
    """Both."""
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    chance = random.Random(5)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        batch = made(folder)
        wrong = [*exports(folder, batch, kills, chance), *migrations(folder, kills, chance)]
    print(f"{kills} exports and {kills} old journals killed: {len(wrong)} wrong")
    print("\n".join(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
