"""care: what is calibrated and cleaned, and when; complaint: what customers say of a batch, and what became of it."""

from __future__ import annotations

import argparse

from benchapp import events as ev
from benchapp.commands.opening import answers
from benchapp.commands.options import Parser, dated, family, runs, signs
from benchapp.commands.output import ask_secret
from benchapp.foundation.language import tr
from benchapp.record.aftercare import TASKS


def care(one: Parser) -> None:
    """benchapp care plan, done, list"""
    add = family(one)
    one = add("plan", tr("how often something is calibrated or cleaned"))
    one.add_argument(
        "equipment", help=tr("a device of the bench file, or anything else: the blender, the bench")
    )
    one.add_argument("task", choices=TASKS)
    one.add_argument("--every", type=int, required=True, metavar="DAYS", help=tr("0: no more"))
    signs(one, answers(lambda desk, g: desk.plan_care(g.equipment, g.task, g.every, g.by, ask_secret)))

    one = add("done", tr("it was calibrated or cleaned"))
    one.add_argument("equipment")
    one.add_argument("task", choices=TASKS)
    one.add_argument(
        "--found", required=True, metavar="WORDS", help=tr("the result, the certificate's number")
    )
    dated(one)
    one.add_argument("--failed", action="store_true", help=tr("it is not fit for use"))
    signs(one, answers(lambda desk, g: desk.care_done(_done(g), ask_secret)))

    one = add("list", tr("what is due when, and the log"))
    one.add_argument("equipment", nargs="?", default="", help=tr("only this"))
    runs(one, answers(lambda desk, g: desk.care_sheet(g.equipment)))


def complaint(one: Parser) -> None:
    """benchapp complaint receive, answer, list"""
    add = family(one)
    one = add("receive", tr("what a customer says of a batch"))
    one.add_argument("batch", help=tr("its name, or the code on the container"))
    one.add_argument("words", help=tr("what was said, in their words"))
    one.add_argument("--container", type=int, default=0, metavar="NUMBER")
    one.add_argument("--effect", action="store_true", help=tr("an undesirable effect on somebody's health"))
    one.add_argument("--serious", action="store_true", help=tr("such an effect, and a serious one"))
    one.add_argument("--from", dest="sender", default="", metavar="WHO", help=tr("who can be asked again"))
    dated(one)
    signs(one, answers(lambda desk, g: desk.complain(g.batch, _complaint(g), ask_secret)))

    one = add("answer", tr("what was found out, and what was done"))
    one.add_argument("batch")
    one.add_argument("number", type=_number, help=tr("as benchapp complaint list shows it: 1, or E-1"))
    one.add_argument("--found", required=True, metavar="WORDS")
    one.add_argument("--done", required=True, metavar="WORDS")
    signs(one, answers(lambda desk, g: desk.answer_complaint(g.batch, _answer(g), ask_secret)))

    one = add("list", tr("complaints and undesirable effects by batch"))
    one.add_argument("batch", nargs="?", default="", help=tr("only this one"))
    runs(one, answers(lambda desk, g: desk.complaint_sheet(g.batch)))


def _done(g: argparse.Namespace) -> ev.CareDone:
    return ev.CareDone(
        at_s=0.0, equipment=g.equipment, task=g.task, on=g.on, words=g.found, passed=not g.failed, by=g.by
    )


def _complaint(g: argparse.Namespace) -> ev.ComplaintReceived:
    return ev.ComplaintReceived(
        at_s=0.0, number=0, container=g.container, words=g.words, effect=g.effect, serious=g.serious, sender=g.sender,
        on=g.on, by=g.by,
    )  # fmt: skip


def _answer(g: argparse.Namespace) -> ev.ComplaintAnswered:
    bench, number = g.number
    return ev.ComplaintAnswered(at_s=0.0, number=number, found=g.found, done=g.done, by=g.by, bench=bench)


def _number(text: str) -> tuple[str, int]:
    """A complaint's number and the short name of the bench before it, "" none."""
    bench, _, number = text.strip().rpartition("-")
    if not number.isdecimal():
        raise argparse.ArgumentTypeError(
            tr("{text} is no number of a complaint, such as 1 or E-1", text=text)
        )
    return bench.upper(), int(number)
