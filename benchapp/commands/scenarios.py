"""scenarios: what can be rehearsed."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.options import Parser, runs
from benchapp.commands.output import say, show
from benchapp.foundation.language import tr
from benchapp.runtime.settings import OWN_SCENARIOS, data_folder
from benchapp.service.errors import DONE
from benchapp.service.practice import practices


def scenarios(one: Parser) -> None:
    """benchapp scenarios"""
    runs(one, run_scenarios)


def run_scenarios(args: argparse.Namespace, console: Console) -> int:
    """Names, titles and goals; a file that cannot be used is named with what is wrong."""
    found = practices(data_folder(args.data) / OWN_SCENARIOS)
    show(console, ("name", "", "goal"), [(p.key, p.title, p.goal) for p in found.found])
    for why in found.broken:
        say(console, tr("cannot be used: {why}", why=why))
    say(console, tr("Rehearse one: benchapp rehearse --scenario NAME."))
    return DONE
