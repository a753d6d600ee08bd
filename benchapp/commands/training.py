"""scenarios, debrief, competence: learning on a simulated bench, and what comes of it."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.desk import Parsers, command, family, say, show, signed, workshop
from benchapp.commands.making import journal_in
from benchapp.record.competence import LEVELS, STEP_KINDS, competence_in, grant, grant_problem
from benchapp.rehearsal.debrief import debrief, debrief_lines
from benchapp.rehearsal.errors import RehearsalError
from benchapp.rehearsal.evidence import goal_reached
from benchapp.rehearsal.scenario_reading import OWN_SCENARIOS, find_scenario, scenarios
from benchapp.runtime.settings import data_folder
from benchapp.service.errors import DONE, CommandError


def add_training_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """scenarios, debrief, competence."""
    command(parsers, "scenarios", "what can be rehearsed", run_scenarios)
    one = command(parsers, "debrief", "a rehearsal looked back on", run_debrief)
    one.add_argument("batch")
    under = family(parsers, "competence", "who may do what, since when: show, grant")
    one = command(under, "show", "per person and kind of step", run_competence)
    one.add_argument("who", nargs="?", default="")
    one = command(
        under, "grant", "a releaser or maker says that somebody may do a kind of step", run_grant, by=True
    )
    one.add_argument("who")
    one.add_argument("kind", choices=STEP_KINDS)
    one.add_argument("--level", choices=LEVELS, default=LEVELS[-1])
    one.add_argument("--reason", default="")


def run_scenarios(args: argparse.Namespace, console: Console) -> int:
    """Names, titles and goals; a file that cannot be used is named with what is wrong."""
    own = data_folder(args.data) / OWN_SCENARIOS
    rows = []
    for name in scenarios(own):
        try:
            one = find_scenario(name, own)
        except RehearsalError as error:
            rows.append((name, "cannot be used", str(error)))
            continue
        rows.append((name, one.title, one.goal))
    show(console, ("name", "", "goal"), rows)
    say(console, "Rehearse one: benchapp rehearse --scenario NAME.")
    return DONE


def run_debrief(args: argparse.Namespace, console: Console) -> int:
    """The timeline, what it did to the batch, what a master would have done."""
    with workshop(args, existing=True) as shop:
        events = shop.journal.events(shop.journal.batch(args.batch).batch)
    try:
        found = debrief(events)
    except RehearsalError as error:
        raise CommandError(str(error)) from error
    for line in debrief_lines(found):
        say(console, line)
    return DONE


def run_competence(args: argparse.Namespace, console: Console) -> int:
    """Who may do what, and since when."""
    with journal_in(data_folder(args.data)) as journal:
        found = competence_in(journal, goal_reached)
    wanted = args.who.strip().casefold()
    rows = [
        (who, kind, one.level, one.since[:10], one.why)
        for (who, kind), one in sorted(found.items())
        if not wanted or who.casefold() == wanted
    ]
    if not rows:
        say(console, "Nothing is on record yet. Begin with: benchapp rehearse --scenario NAME --maker WHO.")
        return DONE
    show(console, ("who", "kind of step", "level", "since", "by"), rows)
    return DONE


def run_grant(args: argparse.Namespace, console: Console) -> int:
    """Signed by somebody who may make or release, and never for oneself."""
    with workshop(args) as shop:
        problem = grant_problem(shop.people(), args.who, args.by)
        if problem:
            raise CommandError(problem)
        proof = signed(shop, args.by)
        granted = grant(shop.people(), args.who, args.kind, args.level, proof.who, args.reason)
        shop.add(granted)
    say(console, f"{granted.who}: {granted.step_kind}, {granted.level}.")
    return DONE
