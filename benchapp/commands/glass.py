"""The touchscreen as a command: opens the window where there is a display, says why not where there is none."""

from __future__ import annotations

import argparse
import contextlib
import signal
from typing import TYPE_CHECKING

from benchapp.commands.options import Parser, runs, simulated
from benchapp.foundation.language import tr
from benchapp.runtime.settings import data_folder, preferences_in
from benchapp.screens.environment import display_missing, tame
from benchapp.service.errors import ABANDONED, DONE, UNFINISHED, CommandError

if TYPE_CHECKING:
    from rich.console import Console

    from benchapp.record.batch_line import BatchLine
    from benchapp.service.bench_service import BenchService


def screen(one: Parser) -> None:
    """benchapp screen"""
    one.add_argument("--bench", metavar="FILE", help=tr("the bench file; without one the bench is simulated"))
    one.add_argument("--maker", default="rehearsal", metavar="NAME", help=tr("who makes"))
    one.add_argument("--fullscreen", action="store_true")
    one.add_argument(
        "--go-on", action="store_true", help=tr("take up the unfinished make at once, as after a power cut")
    )
    one.add_argument(
        "--office",
        action="store_true",
        help=tr("there is no bench here: begin with those of the whole workshop"),
    )
    simulated(one)
    runs(one, run_screen)


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
    return on_glass(args, None)


def on_glass(args: argparse.Namespace, begin: tuple[str, float] | None) -> int:
    """Open the window; returns when it is closed."""
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # a window's own loop would swallow what ends the others
    folder = data_folder(args.data)
    tame(folder / "display", fullscreen=getattr(args, "fullscreen", False))
    from benchapp.screens.app import BenchApp

    with contextlib.ExitStack() as opened:
        newest: list[BatchLine] = []

        def open_shop() -> BenchService:
            from benchapp.commands.opening import bench_service

            shop, journal = opened.enter_context(bench_service(args))
            opened.callback(lambda: newest.extend(journal.batches(1)))
            return shop

        app = BenchApp(open_shop, preferences_in(folder), data=folder, office=getattr(args, "office", False))
        app.begin_with, app.go_on = begin, getattr(args, "go_on", False)
        app.run()
    if begin is None or not newest:
        return DONE
    return {"finished": DONE, "abandoned": ABANDONED}.get(newest[0].end, UNFINISHED)
