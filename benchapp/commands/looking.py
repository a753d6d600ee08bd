"""batches and trends: what was made, and how a procedure's yields go."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Parser, runs
from benchapp.commands.output import say, show
from benchapp.foundation.language import number, tr
from benchapp.record.batch_line import BatchLine
from benchapp.record.documents.plain_text import date_time
from benchapp.service.batches import CHART_LEAST
from benchapp.service.errors import DONE, CommandError
from benchapp.service.training import practised_among
from benchapp.service.wording import state_of


def batches(one: Parser) -> None:
    """benchapp batches"""
    runs(one, run_batches)


def trends(one: Parser) -> None:
    """benchapp trends"""
    one.add_argument("procedure")
    one.add_argument("--rehearsals", action="store_true", help=tr("of rehearsals instead of real makes"))
    runs(one, run_trends)


def run_batches(args: argparse.Namespace, console: Console) -> int:
    """All batches, newest first."""
    with desk_in(args) as desk:
        lines = desk.journal.batches()
        practised = practised_among(desk.journal, lines, {})
    if not lines:
        say(console, tr("No batch is recorded here yet."))
        return DONE
    titles = ("batch", "grams", "maker", "begun", "", tr("product g"))
    show(console, titles, [_row(b, practised[b.batch].said if b.batch in practised else "") for b in lines])
    return DONE


def _row(b: BatchLine, practised: str) -> tuple[str, ...]:
    end = (b.end or "unfinished") if b.rehearsal else state_of(b)
    kind = (
        tr("practised: {practised}", practised=practised)
        if practised
        else tr("{end}, rehearsal", end=end)
        if b.rehearsal
        else end
    )
    product = "" if b.product_g is None else number(b.product_g, ".1f")
    name = b.batch if b.procedure in b.batch else f"{b.batch} ({b.procedure})"
    return name, number(b.batch_g), b.maker, date_time(b.wall)[:10], kind, product


def run_trends(args: argparse.Namespace, console: Console) -> int:
    """Yield of every finished batch of a procedure on an individuals chart, and what drifts."""
    with desk_in(args) as desk:
        found = desk.trend(args.procedure, args.rehearsals)
    if found is None:
        raise CommandError(
            tr(
                "A chart needs at least {chart_least} finished batches of {procedure}.",
                chart_least=CHART_LEAST,
                procedure=args.procedure,
            )
        )
    early = tr(", provisional: there are few batches") if found.chart.provisional else ""
    say(
        console,
        tr(
            "Yield of {count} batches: centre {centre:.2f} %, limits {lower:.2f} to {upper:.2f} %{early}",
            count=len(found.values),
            centre=found.chart.centre,
            lower=found.chart.lower,
            upper=found.chart.upper,
            early=early,
        ),
    )
    for batch, value, flag in zip(found.batches, found.values, found.flags, strict=True):
        say(console, f"{batch}  {number(value, '.2f')} %  {flag}".rstrip())
    return DONE
