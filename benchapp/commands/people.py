"""person: who may sign, in which roles, with which PIN."""

from __future__ import annotations

from benchapp.commands.opening import answers
from benchapp.commands.options import Parser, family, runs, signs
from benchapp.commands.output import ask_secret
from benchapp.foundation.language import tr
from benchapp.record.people import ROLES


def person(one: Parser) -> None:
    """benchapp person enrol, retire, pin, list"""
    add = family(one)
    one = add("enrol", tr("somebody who may sign from now on"))
    one.add_argument("who")
    one.add_argument("--role", action="append", choices=ROLES, required=True, help=tr("may be given again"))
    enrol = answers(lambda desk, g: desk.enrol(g.who, tuple(g.role), g.by, ask_secret, ask_secret))
    signs(one, enrol, tr("the releaser who enrols; nobody for the first"), required=False)

    one = add("retire", tr("somebody who signs no more"))
    one.add_argument("who")
    one.add_argument("--reason", required=True)
    signs(one, answers(lambda desk, g: desk.retire(g.who, g.reason, g.by, ask_secret)))

    one = add("pin", tr("a new PIN: your own, or as a releaser somebody else's"))
    one.add_argument("who")
    signs(one, answers(lambda desk, g: desk.change_pin(g.who, g.by, ask_secret, ask_secret)))

    runs(add("list", tr("everybody")), answers(lambda desk, _: desk.roster()))
