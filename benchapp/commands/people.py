"""person: who may sign, in which roles, with which PIN."""

from __future__ import annotations

import argparse
import os

from rich.console import Console

from benchapp import events as ev
from benchapp.commands.desk import Parsers, ask_secret, command, family, say, show, signed, workshop
from benchapp.record.people import ROLES, enrolment_problem, retirement_problem
from benchapp.record.pins import hashed, problem_with
from benchapp.record.workshop import Workshop
from benchapp.service.errors import DONE, CommandError


def add_person_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """person enrol, retire, pin, list."""
    under = family(parsers, "person", "who may sign: enrol, retire, pin, list")
    one = command(under, "enrol", "somebody who may sign from now on", run_enrol)
    one.add_argument("who")
    one.add_argument("--role", action="append", choices=ROLES, required=True, help="may be given again")
    one.add_argument("--by", default="", metavar="NAME", help="the releaser who enrols; nobody for the first")

    one = command(under, "retire", "somebody who signs no more", run_retire, by=True)
    one.add_argument("who")
    one.add_argument("--reason", required=True)

    one = command(under, "pin", "a new PIN: your own, or as a releaser somebody else's", run_pin, by=True)
    one.add_argument("who")

    command(under, "list", "everybody", run_list)


def run_enrol(args: argparse.Namespace, console: Console) -> int:
    """The first person enrols themselves, as a releaser; everybody after by a releaser's signature."""
    roles = tuple(dict.fromkeys(args.role))
    with workshop(args) as shop:
        problem = enrolment_problem(shop.people(), args.who, roles)
        if problem:
            raise CommandError(problem)
        first = not shop.people().signing()
        by = args.who.strip() if first else _releaser(shop, args.by)
        pin = _new_pin(args.who)
        shop.add(ev.PersonEnrolled(at_s=0.0, who=args.who.strip(), roles=roles, pin=pin, by=by))
    say(console, f"{args.who.strip()} is enrolled as {', '.join(roles)}.")
    return DONE


def run_retire(args: argparse.Namespace, console: Console) -> int:
    """What they signed stays."""
    with workshop(args) as shop:
        problem = retirement_problem(shop.people(), args.who)
        if problem:
            raise CommandError(problem)
        by = _releaser(shop, args.by)
        person = shop.people().find(args.who)
        who = person.who if person else args.who
        shop.add(ev.PersonRetired(at_s=0.0, who=who, by=by, reason=args.reason))
    say(console, f"{who} signs no more. What they signed stays.")
    return DONE


def run_pin(args: argparse.Namespace, console: Console) -> int:
    """One's own PIN with the old one; somebody else's by a releaser."""
    with workshop(args) as shop:
        person = shop.people().find(args.who)
        if person is None:
            raise CommandError(f"{args.who} is not enrolled here.")
        own = args.by.strip().casefold() == person.who.casefold()
        by = signed(shop, args.by).who if own else _releaser(shop, args.by)
        shop.add(ev.PinChanged(at_s=0.0, who=person.who, pin=_new_pin(person.who), by=by))
    say(console, f"{person.who} has a new PIN.")
    return DONE


def run_list(args: argparse.Namespace, console: Console) -> int:
    """Names and roles; never a PIN."""
    with workshop(args) as shop:
        known = sorted(shop.people().known.values(), key=lambda p: (p.retired, p.who))
    if not known:
        say(console, "Nobody is enrolled. Begin with: benchapp person enrol NAME --role releaser.")
        return DONE
    show(
        console,
        ("who", "roles", ""),
        [(p.who, ", ".join(p.roles), "retired" if p.retired else "") for p in known],
    )
    return DONE


def _releaser(shop: Workshop, by: str) -> str:
    if not by.strip():
        raise CommandError("Say which releaser you are: --by NAME.")
    proof = signed(shop, by)
    if "releaser" not in proof.roles:
        raise CommandError(f"{proof.who} is no releaser here.")
    return proof.who


def _new_pin(who: str) -> str:
    pin = ask_secret(f"New PIN for {who} (4 to 12 digits): ")
    problem = problem_with(pin)
    if problem:
        raise CommandError(problem)
    if ask_secret("The same again: ") != pin:
        raise CommandError("Those were two different PINs. Nothing was changed.")
    return hashed(pin, os.urandom)
