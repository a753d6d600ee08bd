"""What a command line opens: the journal of a data folder, the desk on it, the bench."""

from __future__ import annotations

import argparse
import contextlib
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from rich.console import Console

from benchapp.commands.options import Run
from benchapp.commands.output import say_answer
from benchapp.foundation.collector import collector_paused
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import said_as
from benchapp.record.journal import JOURNAL, Journal
from benchapp.runtime.clocks import wall_now
from benchapp.runtime.settings import SERVER, data_folder, open_to_others
from benchapp.service.errors import DONE, CommandError
from benchapp.service.safekeeping import keep_copies, keep_head
from benchapp.service.wording import closing_command
from benchapp.terminal.plain import clean

if TYPE_CHECKING:
    from benchapp.service.bench_service import BenchService
    from benchapp.service.desk import Desk
    from benchapp.service.matter import Matter, Sheet

M = TypeVar("M", bound="Matter")


@contextlib.contextmanager
def journal_in(folder: Path) -> Iterator[Journal]:
    """The journal of a data folder, closed afterwards; its head is kept outside it, and a copy where one is due."""
    _warn_of_rights(folder)
    journal = Journal(folder, wall_now)
    try:
        with _knowing_others(journal, folder):
            yield journal
    finally:
        try:
            for wrong in filter(None, (keep_head(journal), keep_copies(journal, folder))):
                print(clean(wrong), file=sys.stderr)
        finally:
            journal.close()


def _knowing_others(journal: Journal, folder: Path) -> contextlib.AbstractContextManager[None]:
    if not (folder / SERVER).is_file():
        return contextlib.nullcontext()  # nothing has to be loaded for that
    from benchapp.service.several_benches import knowing_others

    return knowing_others(journal, folder)


def _warn_of_rights(folder: Path) -> None:
    not_seen = tr_noop("{folder} cannot be looked into ({strerror}). Check whose it is.")
    with said_as(CommandError, not_seen, folder=folder):
        places = open_to_others(folder)
    if places:
        names = ", ".join(str(p) for p in places[:3]) + (
            tr(" and {count} more", count=len(places) - 3) if len(places) > 3 else ""
        )
        mend = closing_command(places)
        print(
            tr(
                "Others on this machine can get at {clean}; to mend that: {clean_2}",
                clean=clean(names),
                clean_2=clean(mend),
            ),
            file=sys.stderr,
        )


@contextlib.contextmanager
def desk_in(args: argparse.Namespace, existing: bool = False) -> Iterator[Desk]:
    """The whole desk of a data folder: see ``matter_in``."""
    from benchapp.service.desk import Desk

    with matter_in(args, Desk, existing) as desk:
        yield desk


@contextlib.contextmanager
def matter_in(args: argparse.Namespace, matter: type[M], existing: bool = False) -> Iterator[M]:
    """One matter of the desk of a data folder, its journal closed afterwards. ``existing``: an empty one is not begun, as a
    mistyped folder would look like a workshop in which nothing ever happened."""
    folder = data_folder(args.data)
    if existing and not (folder / JOURNAL).is_file():
        raise CommandError(
            tr("There is no journal in {folder}. Name the folder it is in with --data.", folder=folder)
        )
    with (
        collector_paused(),
        journal_in(folder) as journal,
    ):  # a command that asks is over before circles matter
        yield matter(journal.everywhere)


def answers(ask: Callable[[Desk, argparse.Namespace], str | Sheet], existing: bool = False) -> Run:
    """A command that asks the desk and says what it answers."""

    def run(args: argparse.Namespace, console: Console) -> int:
        with desk_in(args, existing) as desk:
            say_answer(console, ask(desk, args))
        return DONE

    return run


@contextlib.contextmanager
def bench_service(args: argparse.Namespace, watched: bool = True) -> Iterator[tuple[BenchService, Journal]]:
    """The service a command line asks for, and its journal; both closed afterwards. ``watched``: whether a person
    sees what is rehearsed. Raises BadBenchFile and RecordError."""
    from benchapp.rehearsal.runner import SCENARIO_PACE, WATCHED_PACE
    from benchapp.service.bench_service import BenchService
    from benchapp.service.makes import Simulation
    from benchapp.service.several_benches import replicating
    from drivers.bench_file import read_bench

    bench = read_bench(args.bench) if getattr(args, "bench", None) else None
    folder, given = data_folder(args.data), getattr(args, "pace", None)
    pace, practice_pace = (WATCHED_PACE, SCENARIO_PACE) if watched else (0.0, 0.0)
    if given is not None:
        pace = practice_pace = given
    simulation = Simulation(pace, practice_pace, getattr(args, "seed", 1), watched)
    with journal_in(folder) as journal, replicating(journal, folder) as workshop:
        one = BenchService(journal, bench, getattr(args, "maker", ""), simulation, folder, workshop)
        try:
            yield one, journal
        finally:
            one.end()
