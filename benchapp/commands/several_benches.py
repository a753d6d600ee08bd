"""workshop: several benches that know of each other by way of one server; for who looks after it, and for each bench."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console

from benchapp.commands.opening import answers, desk_in, journal_in
from benchapp.commands.options import Parser, Run, family, runs
from benchapp.commands.output import put, say, say_all
from benchapp.foundation.language import tr, tr_noop
from benchapp.record.journal import Journal
from benchapp.runtime.settings import data_folder
from benchapp.service.errors import DONE
from benchapp.service.several_benches import (
    BenchToAdd,
    add_to_server,
    join_workshop,
    leave_workshop,
    prepare_server,
    rebuild_server,
    sync_workshop,
    workshop_status,
)

if TYPE_CHECKING:
    from benchapp.service.desk import Desk

SERVER = tr_noop(
    "postgresql://ROLE@HOST/DATABASE, or service=NAME; the password stands in ~/.pgpass, never here"
)


def workshop(one: Parser) -> None:
    """benchapp workshop prepare, add, join, leave, status, benches, sync, rebuild"""
    add = family(one)
    one = add(
        "prepare",
        tr("make the workshop's tables and rights on a PostgreSQL server, or put back what is missing"),
    )
    one.add_argument("server", help=tr(SERVER))
    one.set_defaults(run=run_prepare)

    one = add("add", tr("a bench, and the role it connects as; again for a new password"))
    one.add_argument("bench", help=tr("its id: small letters and digits"))
    one.add_argument(
        "--short",
        required=True,
        metavar="NAME",
        help=tr("one to three capitals, as its batches and lots name it"),
    )
    one.add_argument("--server", required=True, help=tr(SERVER))
    one.add_argument(
        "--replaces", default="", metavar="BENCH", help=tr("the bench that died, whose chain it goes on with")
    )
    one.add_argument(
        "--host", default="", metavar="NAME", help=tr("what the bench calls the server, if not as here")
    )
    one.add_argument("--out", required=True, metavar="FILE", help=tr("where the line for its ~/.pgpass goes"))
    one.set_defaults(run=run_add)

    one = add("join", tr("make this journal a bench of the workshop; a year of it is sent at once"))
    one.add_argument("server", help=tr(SERVER))
    runs(one, run_join)
    one = add("rebuild", tr("give a server that lost them every chain that is on this bench"))
    one.add_argument("server", help=tr(SERVER))
    runs(one, answers(_rebuilt, existing=True))
    runs(add("leave", tr("be a bench alone again, the journal whole")), existing(leave_workshop))
    runs(add("status", tr("how this bench stands to the server")), existing(workshop_status))
    one = add("benches", tr("what is being made on each bench, what waits for release and what is due"))
    runs(one, answers(lambda desk, _: desk.overview_sheet(), existing=True))
    runs(add("sync", tr("send and receive everything now")), existing(sync_workshop))


def _rebuilt(desk: Desk, given: argparse.Namespace) -> str:
    return rebuild_server(desk.journal.own, data_folder(given.data), given.server)


def existing(ask: Callable[[Journal, Path], str]) -> Run:
    """A command about a journal that is there."""

    def run(args: argparse.Namespace, console: Console) -> int:
        with desk_in(args, existing=True) as desk:
            say_all(console, ask(desk.journal.own, data_folder(args.data)).splitlines())
        return DONE

    return run


def run_prepare(args: argparse.Namespace, console: Console) -> int:
    """The server, once."""
    say(console, prepare_server(args.server))
    return DONE


def run_add(args: argparse.Namespace, console: Console) -> int:
    """A bench, and the line for its password file."""
    line = add_to_server(BenchToAdd(args.bench, args.short, args.server, args.replaces, args.host))
    put(line, args.out, console)
    say(
        console,
        tr(
            "Carry that line to the bench {bench}, into its ~/.pgpass (rights 0600), and take "
            "the file away here.",
            bench=args.bench,
        ),
    )
    return DONE


def run_join(args: argparse.Namespace, console: Console) -> int:
    """A bench; its folder may be empty."""
    folder = data_folder(args.data)
    with journal_in(folder) as journal:
        say(console, join_workshop(journal, folder, args.server))
    return DONE
