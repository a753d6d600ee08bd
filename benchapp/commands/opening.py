"""Opening the workshop behind the glass: kept apart, because all that it needs takes longer to load than a window."""

from __future__ import annotations

import argparse
from pathlib import Path

from benchapp.record.journal import Journal
from benchapp.rehearsal.runner import SCENARIO_PACE, WATCHED_PACE
from benchapp.runtime.clocks import wall_now
from benchapp.service.shop_floor import ShopFloor
from drivers.bench_file import read_bench


def open_floor(args: argparse.Namespace, folder: Path) -> tuple[ShopFloor, Journal]:
    """The workshop a command line asks for, and its journal, which the caller closes.

    Raises BadBenchFile and RecordError.
    """
    bench = read_bench(args.bench) if getattr(args, "bench", None) else None
    chosen = getattr(args, "pace", None)
    pace, practice_pace = (WATCHED_PACE, SCENARIO_PACE) if chosen is None else (chosen, chosen)
    journal = Journal(folder, wall_now)
    seed = getattr(args, "seed", 1)
    return ShopFloor(journal, bench, args.maker, pace, seed, folder, practice_pace), journal
