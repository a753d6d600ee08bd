"""debrief and competence: what came of a rehearsal, and who may do what."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import answers, desk_in
from benchapp.commands.options import Parser, family, runs, signs
from benchapp.commands.output import ask_secret, say
from benchapp.foundation.language import tr
from benchapp.record.competence import LEVELS, STEP_KINDS
from benchapp.service.errors import DONE
from benchapp.service.training_facts import Grant


def debrief(one: Parser) -> None:
    """benchapp debrief"""
    one.add_argument("batch")
    runs(one, run_debrief)


def competence(one: Parser) -> None:
    """benchapp competence show, grant"""
    add = family(one)
    one = add("show", tr("per person and kind of step"))
    one.add_argument("who", nargs="?", default="")
    runs(one, answers(lambda desk, g: desk.competence_list(g.who)))
    one = add("grant", tr("a releaser or maker says that somebody may do a kind of step"))
    one.add_argument("who")
    one.add_argument("kind", choices=STEP_KINDS)
    one.add_argument("--level", choices=LEVELS, default=LEVELS[-1])
    one.add_argument("--reason", default="")
    signs(one, answers(lambda desk, g: desk.give(Grant(g.who, g.kind, g.level, g.reason), g.by, ask_secret)))


def run_debrief(args: argparse.Namespace, console: Console) -> int:
    """The timeline, what it did to the batch, what a master would have done."""
    from benchapp.rehearsal.debrief import debrief_lines

    with desk_in(args, existing=True) as desk:
        found = desk.debriefing(desk.journal.batch(args.batch).batch)
    for line in debrief_lines(found):
        say(console, line)
    return DONE
