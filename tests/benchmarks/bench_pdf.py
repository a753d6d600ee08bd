"""How long the PDF of a three-hour make takes, cold and warm. Run: python tests/benchmarks/bench_pdf.py"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "record" / "documents"))


def main() -> None:
    """Print seconds and size, the libraries' own import in the first figure."""
    from invented_batch import after, events, lotion, stored_from

    from benchapp.commands.facts import procedure_facts
    from benchapp.record.batch_record import record_of

    stored = stored_from([*events(), *after()])
    facts = procedure_facts(lotion())
    for word in ("cold", "warm", "warm"):
        began = time.perf_counter()
        from benchapp.record.documents.as_pdf import as_pdf

        pdf = as_pdf(record_of(stored, facts), "f" * 64)
        print(f"{word}: {time.perf_counter() - began:.3f} s, {len(pdf)} bytes, {len(stored)} events")


if __name__ == "__main__":
    main()
