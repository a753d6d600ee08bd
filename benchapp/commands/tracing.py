"""trace and recall: from a lot to whoever has something of it, and from a container back to every lot."""

from __future__ import annotations

from benchapp.commands.opening import answers
from benchapp.commands.options import Parser, runs
from benchapp.foundation.language import tr


def trace(one: Parser) -> None:
    """benchapp trace"""
    one.add_argument("what", metavar="LOT|BATCH|CONTAINER", help=tr("a container is BATCH/7"))
    runs(one, answers(lambda desk, given: desk.trace(given.what), existing=True))


def recall(one: Parser) -> None:
    """benchapp recall"""
    one.add_argument("lot")
    runs(one, answers(lambda desk, given: desk.recall(given.lot), existing=True))
