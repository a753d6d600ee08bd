"""rehearse, guide and resume: what the commands that walk a make are given. The walking itself is loaded when a make is walked."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import journal_in
from benchapp.commands.options import Parser, Run, batch_size, runs, simulated, substitute, terminal, voice
from benchapp.foundation.language import tr
from benchapp.runtime.settings import data_folder
from benchapp.service.errors import CommandError
from procedures.shelf import shipped


def rehearse(one: Parser) -> None:
    """benchapp rehearse"""
    one.add_argument("procedure", nargs="?", help=tr("a shipped procedure's name or a .toml file"))
    batch_size(one)
    simulated(one)
    one.add_argument(
        "--scenario", metavar="NAME", help=tr("something goes wrong; benchapp scenarios lists what")
    )
    one.add_argument("--maker", default="rehearsal", help=tr("who makes it"))
    terminal(one)
    runs(one, _glass_or(run_rehearse))


def guide(one: Parser) -> None:
    """benchapp guide"""
    one.add_argument("procedure")
    one.add_argument("--bench", required=True, metavar="FILE", help=tr("the bench file"))
    batch_size(one)
    one.add_argument("--maker", required=True, metavar="NAME", help=tr("who makes it"))
    substitute(one)
    one.add_argument("--reason", default="", help=tr("why it is replaced"))
    one.add_argument(
        "--approved-by",
        default="",
        metavar="NAME",
        help=tr("the releaser who answers for it; the PIN is asked for"),
    )
    terminal(one)
    runs(one, _glass_or(run_guide))


def resume(one: Parser) -> None:
    """benchapp resume"""
    one.add_argument("batch", nargs="?", help=tr("which one; the newest unfinished if none is named"))
    one.add_argument("--bench", metavar="FILE", help=tr("the bench file; the one used last if none is named"))
    simulated(one)
    voice(one)
    runs(one, run_resume)


def _glass_or(run: Run) -> Run:
    """On the touchscreen where there is a display, otherwise in the terminal."""

    def act(args: argparse.Namespace, console: Console) -> int:
        from benchapp.commands.glass import has_glass, on_glass

        asked = getattr(args, "scenario", None) or getattr(args, "substitute", None)
        if asked or not has_glass(args, console):
            return run(args, console)
        return on_glass(args, _chosen(args))

    return act


def _chosen(args: argparse.Namespace) -> tuple[str, float]:
    """The procedure and the size a command line asks for, checked. Raises CommandError and ProcedureError."""
    from benchapp.commands.planning import size_of
    from benchapp.commands.procedure_named import procedure_named
    from benchapp.service.bench_devices import BenchDevices
    from drivers.bench_file import read_bench

    name = args.procedure or shipped_first()
    procedure = procedure_named(args, name)
    batch_g = size_of(args.batch_size, procedure)
    file = getattr(args, "bench", None)
    BenchDevices(read_bench(file) if file else None, None).require_possible(procedure, batch_g)
    return name, batch_g


def run_rehearse(args: argparse.Namespace, console: Console) -> int:
    """Walk a procedure on a simulated bench."""
    from benchapp.commands.walking import walk_rehearsal

    return walk_rehearsal(args, console, args.procedure or shipped_first())


def run_guide(args: argparse.Namespace, console: Console) -> int:
    """Walk a procedure on real ports."""
    from benchapp.commands.walking import walk_guided

    return walk_guided(args, console)


def run_resume(args: argparse.Namespace, console: Console) -> int:
    """Go on with an unfinished make, the newest unless one is named."""
    with journal_in(data_folder(args.data)) as journal:
        line = journal.to_go_on_with() if args.batch is None else journal.batch(args.batch)
    if line is None:
        raise CommandError(tr("No make is unfinished here. benchapp batches lists what there is."))
    from benchapp.commands.walking import walk_on

    return walk_on(args, console, line.batch)


def shipped_first() -> str:
    """The procedure a rehearsal takes when none is named."""
    return "oat-hand-lotion" if "oat-hand-lotion" in shipped() else shipped()[0]
