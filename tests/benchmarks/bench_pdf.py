"""How long a three-hour make takes to be opened and printed, cold and warm.

Run by hand: ``python tests/benchmarks/bench_pdf.py``. The first figure of each kind includes the libraries' own import.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "record" / "documents"))


def main() -> None:
    """Print seconds and sizes."""
    from invented_batch import BATCH, after, events

    from benchapp.record.journal import Journal
    from benchapp.service.procedure_facts import record_in

    with tempfile.TemporaryDirectory() as folder:
        journal = Journal(Path(folder), lambda: "2026-03-02T08:30:00.000+01:00")
        happened = [*events(), *after()]
        journal.append(BATCH, happened)
        print(f"{len(happened)} events")
        timed("open the batch and draw up its record", lambda: record_in(journal, BATCH))
        record, head = record_in(journal, BATCH), journal.head()
        timed("JSON", lambda: _as("as_json", "as_json")(record, head))
        timed("CSV", lambda: _as("as_csv", "as_csv")(record))
        timed("PDF on A4", lambda: _as("as_pdf", "as_pdf")(record, head))
        journal.close()


def _as(module: str, name: str) -> Callable[..., object]:
    import importlib

    found: Callable[..., object] = getattr(
        importlib.import_module(f"benchapp.record.documents.{module}"), name
    )
    return found


def timed(what: str, act: Callable[[], object]) -> None:
    """The first run and the best and worst of five more."""
    seconds = []
    for _ in range(6):
        began = time.perf_counter()
        made = act()
        seconds.append(time.perf_counter() - began)
    size = f", {len(made)} bytes or characters" if isinstance(made, str | bytes) else ""
    print(f"{what}: first {seconds[0]:.3f} s, then {min(seconds[1:]):.3f} to {max(seconds[1:]):.3f} s{size}")


if __name__ == "__main__":
    main()
