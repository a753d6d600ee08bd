"""person: who may sign, in which roles, with which PIN."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Family, Parser, runs, signs
from benchapp.commands.output import ask_secret, say, show
from benchapp.record.people import ROLES
from benchapp.service.errors import DONE


def person(one: Parser) -> None:
    """benchapp person enrol, retire, pin, list"""
    under = Family(one)
    one = under.add("enrol", "somebody who may sign from now on")
    one.add_argument("who")
    one.add_argument("--role", action="append", choices=ROLES, required=True, help="may be given again")
    signs(one, run_enrol, "the releaser who enrols; nobody for the first", required=False)

    one = under.add("retire", "somebody who signs no more")
    one.add_argument("who")
    one.add_argument("--reason", required=True)
    signs(one, run_retire)

    one = under.add("pin", "a new PIN: your own, or as a releaser somebody else's")
    one.add_argument("who")
    signs(one, run_pin)

    runs(under.add("list", "everybody"), run_list)


def run_enrol(args: argparse.Namespace, console: Console) -> int:
    """The first person enrols themselves, as a releaser; everybody after by a releaser's signature."""
    with desk_in(args) as desk:
        say(console, desk.enrol(args.who, tuple(args.role), args.by, ask_secret, ask_secret))
    return DONE


def run_retire(args: argparse.Namespace, console: Console) -> int:
    """What they signed stays."""
    with desk_in(args) as desk:
        say(console, desk.retire(args.who, args.reason, args.by, ask_secret))
    return DONE


def run_pin(args: argparse.Namespace, console: Console) -> int:
    """One's own PIN with the old one; somebody else's by a releaser."""
    with desk_in(args) as desk:
        say(console, desk.change_pin(args.who, args.by, ask_secret, ask_secret))
    return DONE


def run_list(args: argparse.Namespace, console: Console) -> int:
    """Names and roles; never a PIN."""
    with desk_in(args) as desk:
        known = desk.roster()
    if not known:
        say(console, "Nobody is enrolled. Begin with: benchapp person enrol NAME --role releaser.")
        return DONE
    rows = [(p.who, ", ".join(p.roles), "retired" if p.retired else "") for p in known]
    show(console, ("who", "roles", ""), rows)
    return DONE
