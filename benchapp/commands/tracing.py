"""trace and recall: from a lot to whoever has something of it, and from a container back to every lot."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Parser, runs
from benchapp.commands.output import show_sheet
from benchapp.service.errors import DONE


def trace(one: Parser) -> None:
    """benchapp trace"""
    one.add_argument("what", metavar="LOT|BATCH|CONTAINER", help="a container is BATCH/7")
    runs(one, run_trace)


def recall(one: Parser) -> None:
    """benchapp recall"""
    one.add_argument("lot")
    runs(one, run_recall)


def run_trace(args: argparse.Namespace, console: Console) -> int:
    """A lot forward, anything else back."""
    with desk_in(args, existing=True) as desk:
        show_sheet(console, desk.trace(args.what))
    return DONE


def run_recall(args: argparse.Namespace, console: Console) -> int:
    """The list to work through with a telephone."""
    with desk_in(args, existing=True) as desk:
        show_sheet(console, desk.recall(args.lot))
    return DONE
