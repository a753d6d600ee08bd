"""debrief and competence: what came of a rehearsal, and who may do what."""

from __future__ import annotations

import argparse

from benchapp.commands.opening import answers
from benchapp.commands.options import Parser, family, runs, signs
from benchapp.commands.output import ask_secret
from benchapp.foundation.language import tr
from benchapp.record.competence import LEVELS, STEP_KINDS
from benchapp.service.desk import Desk
from benchapp.service.matter import Sheet
from benchapp.service.training_facts import Grant


def debrief(one: Parser) -> None:
    """benchapp debrief"""
    one.add_argument("batch")
    runs(one, answers(_debriefed, existing=True))


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


def _debriefed(desk: Desk, given: argparse.Namespace) -> Sheet:
    """The timeline, what it did to the batch, what a master would have done."""
    from benchapp.rehearsal.debrief import debrief_lines

    return Sheet(tuple(debrief_lines(desk.debriefing(desk.journal.batch(given.batch).batch))))
