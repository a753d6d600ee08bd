"""listen: what hangs on the ports, serial and others, and the bench file's section for it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

from rich.console import Console

from benchapp.commands.options import Parser, number
from benchapp.commands.output import say as say_line
from benchapp.foundation.language import tr
from benchapp.service.errors import DONE, REFUSED, CommandError
from drivers.bench_file import write_section
from drivers.finding import listen as listen_on
from drivers.formats import formats_with
from drivers.hearing import BAUDS, PortReport, Search
from drivers.proposal import proposed_section, undecided


def listen(one: Parser) -> None:
    """benchapp listen"""
    one.add_argument(
        "ports", nargs="*", metavar="PORT", help=tr("only these; also socket://, rfc2217://, hid: and sysfs:")
    )
    one.add_argument("--baud", type=_speed, action="append", help=tr("only this speed (may be given again)"))
    one.add_argument("--seconds", type=number(0, 3600), default=3.0, help=tr("how long at each speed"))
    one.add_argument("--formats", metavar="FOLDER", help=tr("a folder with line formats of your own"))
    one.add_argument(
        "--request", default="", metavar="WORD", help=tr("what asks your device for a reading, as P or <ENQ>")
    )
    one.add_argument(
        "--kind",
        choices=("scale", "thermometer", "ph meter"),
        help=tr("what it is, where its lines do not say"),
    )
    one.add_argument("--unit", help=tr("the unit of its display, where its lines name none"))
    one.add_argument("--write", metavar="FILE", help=tr("add the device to this bench file"))
    one.add_argument("--name", help=tr("what the device is called there"))
    one.add_argument(
        "--guide", action="store_true", help=tr("question by question, from the plug to the bench file")
    )
    one.set_defaults(run=run_listen)


def _speed(text: str) -> int:
    return int(number(50, 4_000_000)(text))


def run_listen(args: argparse.Namespace, console: Console) -> int:
    """Listen on every port (or those named), show what each would read, write a section when told to."""

    say = partial(say_line, console)
    if args.guide:
        return _guided(args, say)
    if args.write and (not args.name or len(args.ports) != 1):
        raise CommandError(
            tr("To write a section, name one port and the device: listen PORT --write FILE --name NAME.")
        )
    formats = formats_with(Path(args.formats) if args.formats else None)

    def at_once(told: str) -> None:
        say(told)
        console.file.flush()  # a pipe keeps back what it is told, and whoever reads it would wait in the dark

    try:
        heard = listen_on(
            args.ports or None,
            search=Search(args.baud or BAUDS, args.seconds, args.request),
            formats=formats,
            progress=at_once,
        )
    except ValueError as error:
        raise CommandError(tr("--request: {error}.", error=error)) from error
    if not heard:
        say(
            tr(
                "No port is there, no USB scale and no thermometer. Plug the device in, or name a "
                "port: benchapp listen socket://host:port."
            )
        )
        return REFUSED
    for one in heard:
        _tell(one, say)
    if args.write:
        _write(args, heard[0])
        say(
            tr(
                '{name} stands in {write} now. For a scale, add its capacity there: capacity = "3000 g".',
                name=args.name,
                write=args.write,
            )
        )
    return DONE if any(h.fits for h in heard) else REFUSED


def _write(args: argparse.Namespace, heard: PortReport) -> None:
    """The section of what was heard, into the bench file. Raises CommandError where it is open what it would be."""
    open_question = undecided(heard.fits, args.kind, args.unit)
    if open_question:
        raise CommandError(tr("{open_question} Nothing was written.", open_question=open_question))
    write_section(args.write, proposed_section(heard, args.name, args.kind, args.unit))


def _guided(args: argparse.Namespace, say: Callable[[str], None]) -> int:
    from benchapp.service.connecting import Connecting
    from benchapp.service.connecting_steps import ConnectingSteps
    from benchapp.terminal.connecting_dialogue import ConnectingDialogue

    if not args.write or not args.name or len(args.ports) > 1:
        raise CommandError(
            tr(
                "Say what the device is called and where it goes: listen [PORT] --guide --write FILE "
                "--name NAME."
            )
        )

    def ask(question: str) -> str:
        say(question)
        line = sys.stdin.readline() if sys.stdin is not None else ""
        if not line:
            raise CommandError(tr("Nobody answers here. Nothing was written into the bench file."))
        return line

    search = Search(args.baud or BAUDS, args.seconds, args.request)
    work = Connecting(Path(args.write).expanduser(), search)
    port = args.ports[0] if args.ports else ""
    ConnectingDialogue(ConnectingSteps(work, lambda kind: args.name, say, port), ask, say).connect()
    return DONE


def shown_bytes(data: bytes) -> str:
    """Bytes so that each can be told from the others: printable ones as they are, the others by their number."""
    return repr(data)[2:-1].replace("\\\\", "\\")


def _tell(heard: PortReport, say: Callable[[str], None]) -> None:
    speed = tr(", {baud} baud", baud=heard.baud) if heard.baud else ""
    asked = tr(", asked with {asked}", asked=heard.asked) if heard.asked else ""
    say(f"{heard.port} {heard.description}".rstrip() + speed + asked)
    if heard.trouble:
        say(f"  {heard.trouble}")
    for line in heard.lines[:3]:
        say(tr("  it says: {shown_bytes}", shown_bytes=shown_bytes(line)))
    if heard.raw and not heard.fits:
        say(tr("  its bytes: {shown_bytes}", shown_bytes=shown_bytes(heard.raw)))
    for n, fit in enumerate(heard.fits):
        best = tr("fits best") if n == 0 else tr("fits too")
        taken = "" if fit.names_unit else tr(", if that is its unit: its lines name none")
        say(
            tr(
                "  {best}: {format}, a {kind}, reading {names}{taken}",
                best=best,
                format=fit.format,
                kind=fit.kind,
                names="; ".join(fit.reads[:3]),
                taken=taken,
            )
        )
    for misfit in (
        () if heard.fits else heard.misfits
    ):  # what it is not is of no use to whoever knows what it is
        say(tr("  does not fit: {format}: {why}", format=misfit.format, why=misfit.why))
