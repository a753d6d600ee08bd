"""The touchscreen as a command: opens the window where there is a display, says why not where there is none."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.making import WATCHED_PACE, journal_in
from benchapp.commands.workshop import ShopFloor
from benchapp.errors import ABANDONED, DONE, UNFINISHED, CommandError
from benchapp.screens.environment import display_missing, tame
from benchapp.settings import data_folder
from drivers.bench_file import read_bench


def has_glass(args: argparse.Namespace, console: Console) -> bool:
    """Whether to open a window: not when the terminal was asked for, or when there is no display (said once)."""
    if args.terminal:
        return False
    why = display_missing()
    if why:
        console.print(why, markup=False, highlight=False)
    return not why


def run_screen(args: argparse.Namespace, console: Console) -> int:
    """The bench on the touchscreen: begin, go on, look back."""
    why = display_missing()
    if why:
        raise CommandError(why)
    return on_glass(args, None, None)


def on_glass(args: argparse.Namespace, begin: tuple[str, float] | None, resume: str | None) -> int:
    """Open the window; returns when it is closed."""
    folder = data_folder(args.data)
    bench = read_bench(args.bench) if getattr(args, "bench", None) else None
    tame(folder / "display", fullscreen=getattr(args, "fullscreen", False))
    from benchapp.screens.app import BenchApp

    pace = WATCHED_PACE if getattr(args, "pace", None) is None else args.pace
    with journal_in(folder) as journal:
        shop = ShopFloor(journal, bench, args.maker, pace, getattr(args, "seed", 1), folder)
        app = BenchApp(shop)
        app.begin_with, app.resume_at_once = begin, resume
        app.run()
        newest = journal.batches(1)
    if begin is None or not newest:
        return DONE
    return {"finished": DONE, "abandoned": ABANDONED}.get(newest[0].end, UNFINISHED)
