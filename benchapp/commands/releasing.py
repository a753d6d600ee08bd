"""due, batch-check, close-deviation, retain, release and dispatch: from a finished batch to one that has left."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import answers, desk_in
from benchapp.commands.options import Parser, dated, day, number, runs, signs
from benchapp.commands.output import ask_secret, say, show
from benchapp.foundation.language import tr, translated
from benchapp.record.deviations import Deviation, how_it_stands
from benchapp.record.facts import CheckResult
from benchapp.record.release import DECISIONS
from benchapp.service.desk import Desk
from benchapp.service.desk_facts import BatchFacts
from benchapp.service.errors import DONE, REFUSED
from benchapp.service.release import Consignment
from benchapp.service.wording import state_of


def due(one: Parser) -> None:
    """benchapp due"""
    runs(one, answers(lambda desk, _: desk.due_list()))


def batch_check(one: Parser) -> None:
    """benchapp batch-check"""
    one.add_argument("batch")
    one.add_argument("check", help=tr("its name, as the procedure has it"))
    one.add_argument("--value", type=number(), help=tr("where the check has limits"))
    good = one.add_mutually_exclusive_group()
    good.add_argument("--passed", action="store_true", help=tr("it is as it has to be"))
    good.add_argument("--failed", action="store_true", help=tr("it isn't"))
    one.add_argument("--words", default="", help=tr("what was seen"))
    signs(one, answers(lambda desk, g: desk.record_check(g.batch, g.check, _result(g), g.by, ask_secret)))


def close_deviation(one: Parser) -> None:
    """benchapp close-deviation"""
    one.add_argument("batch")
    one.add_argument("number", type=int)
    why = one.add_mutually_exclusive_group(required=True)
    why.add_argument("--reason", help=tr("why the product may still be used"))
    why.add_argument(
        "--checked-afterwards",
        action="store_true",
        help=tr("the device that was not checked has passed its check since"),
    )
    signs(one, answers(_closed))


def retain(one: Parser) -> None:
    """benchapp retain"""
    one.add_argument("batch")
    one.add_argument("pieces", type=int, help=tr("how many of its containers"))
    one.add_argument("--where", required=True)
    one.add_argument("--until", type=day, required=True, metavar="DATE")
    signs(
        one,
        answers(lambda desk, g: desk.retain(g.batch, g.pieces, g.where, g.until, g.by, ask_secret)),
    )


def release(one: Parser) -> None:
    """benchapp release"""
    one.add_argument("batch")
    one.add_argument("--decision", choices=DECISIONS)
    one.add_argument("--reason", default="")
    signs(one, run_release, tr("the releaser; the PIN is asked for"), required=False)


def dispatch(one: Parser) -> None:
    """benchapp dispatch"""
    one.add_argument("batch")
    one.add_argument("containers", help=tr("7, or 1-24"))
    one.add_argument("to", help=tr("who has them, so that they can be called"))
    dated(one)
    one.add_argument("--note", default="", help=tr("the delivery note's number"))
    signs(
        one,
        answers(
            lambda desk, g: desk.dispatch(
                g.batch, Consignment(g.containers, g.to, g.on, g.note), g.by, ask_secret
            )
        ),
    )


def _closed(desk: Desk, g: argparse.Namespace) -> str:
    if g.checked_afterwards:
        return desk.checked_afterwards(g.batch, g.number, g.by, ask_secret)
    return desk.close_deviation(g.batch, g.number, g.reason, g.by, ask_secret)


def _result(given: argparse.Namespace) -> CheckResult:
    return CheckResult(given.value, given.words, True if given.passed else False if given.failed else None)


def run_release(args: argparse.Namespace, console: Console) -> int:
    """Without a decision: how it stands. With one: signed."""
    with desk_in(args) as desk:
        if args.decision is None:
            return _stand(desk.batch(args.batch), console)
        say(console, desk.decide(args.batch, args.decision, args.reason, args.by, ask_secret))
    return DONE


def _deviation(d: Deviation) -> str:
    state = translated(how_it_stands(d.grade, d.closed_by, d.closed))
    return tr(
        "Deviation {number}, {grade}: {text} ({state})",
        number=d.number,
        grade=d.grade,
        text=d.text,
        state=state,
    )


def _stand(b: BatchFacts, console: Console) -> int:
    line = b.line
    say(
        console,
        tr(
            "Batch {batch}: {decision}, made by {maker}.",
            batch=line.batch,
            decision=state_of(line),
            maker=line.maker,
        ),
    )
    rows = [(c.check.name, c.check.limits, c.due_words, c.state, c.result_words) for c in b.checks]
    if rows:
        show(console, ("check", tr("has to be"), "due", "", "result"), rows)
    for deviation in b.deviations:
        if not deviation.blocks:  # those are among what speaks against it
            say(console, _deviation(deviation))
    for kept in b.retained:
        say(console, kept)
    for reason in b.against:
        say(console, tr("against release: {reason}", reason=reason))
    say(console, b.unknown)
    return REFUSED if b.against else DONE
