"""upkeep: whether machine, devices, clock and copies are in order, a sentence each, and what to do."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Parser, runs
from benchapp.commands.output import show
from benchapp.foundation.language import tr
from benchapp.runtime.settings import data_folder, last_bench
from benchapp.service.errors import ATTENTION, DONE
from benchapp.service.upkeep import Upkeep, in_order
from drivers.bench_file import read_bench


def upkeep(one: Parser) -> None:
    """benchapp upkeep"""
    one.add_argument("--bench", metavar="FILE", help=tr("the bench file; the one used last if left out"))
    runs(one, run_upkeep)


def run_upkeep(args: argparse.Namespace, console: Console) -> int:
    """Exit 0 where nothing has to be done, 7 where something has."""
    file = args.bench or last_bench(data_folder(args.data))
    bench = read_bench(file) if file else None
    with desk_in(args, existing=True) as desk:
        found = Upkeep(desk.journal.own, bench).findings()
    show(
        console,
        ("matter", "", ""),
        [(f.matter, "good" if f.fine else tr("TO DO"), f"{f.text} {f.detail}".strip()) for f in found],
    )
    return DONE if in_order(found) else ATTENTION
