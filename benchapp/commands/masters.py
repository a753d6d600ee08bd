"""master: which version of a procedure is approved for batches that leave, and what two versions differ in."""

from __future__ import annotations

import argparse

from benchapp.commands.opening import answers
from benchapp.commands.options import Parser, family, runs, signs
from benchapp.commands.output import ask_secret
from benchapp.foundation.language import tr
from benchapp.record.errors import NoSuchBatch
from benchapp.service.desk import Desk


def master(one: Parser) -> None:
    """benchapp master"""
    word = family(one)
    listed = word("list", tr("the approved versions of a procedure"))
    listed.add_argument("procedure")
    runs(listed, answers(lambda desk, g: desk.versions(g.procedure)))
    compared = word("compare", tr("two versions side by side"))
    for name in ("one", "other"):
        compared.add_argument(name, help=tr("a name, a file, NAME@VERSION or a batch"))
    runs(compared, answers(lambda desk, g: desk.compared(g.one, g.other)))
    approved = word("approve", tr("approve a procedure as it stands, or the version of a good trial"))
    approved.add_argument("procedure", help=tr("a name, a file, or the batch of a trial"))
    _reasoned(approved, tr("why it is changed; not needed for the first version"))
    signs(approved, answers(_approve), tr("the releaser who approves; the PIN is asked for"))
    withdrawn = word("withdraw", tr("nothing that leaves is made by it any more"))
    withdrawn.add_argument("procedure")
    _reasoned(withdrawn, tr("why"))
    withdraws = answers(lambda desk, g: desk.withdraw_master(g.procedure, g.reason, g.by, ask_secret))
    signs(withdrawn, withdraws, tr("the releaser; the PIN is asked for"))


def _reasoned(one: Parser, what: str) -> None:
    one.add_argument("--reason", default="", help=what)


def _approve(desk: Desk, args: argparse.Namespace) -> str:
    """A batch's version where a batch of that name was made, else the procedure."""
    try:
        batch = desk.journal.named(args.procedure).batch
    except NoSuchBatch:
        procedure = desk.procedure_named(args.procedure)
        return desk.approve_master(procedure, args.reason, args.by, ask_secret)
    return desk.approve_trial(batch, args.reason, args.by, ask_secret)
