"""listen: what hangs on the ports, and the bench file's section for it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from functools import partial
from pathlib import Path

from rich.console import Console

from benchapp.commands.options import Parser
from benchapp.commands.output import say as say_line
from benchapp.service.errors import DONE, REFUSED, CommandError
from drivers.bench_file import write_section
from drivers.errors import DriverError
from drivers.finding import BAUDS, PortReport, proposed_section
from drivers.finding import listen as listen_on
from drivers.formats import formats_with


def listen(one: Parser) -> None:
    """benchapp listen"""
    one.add_argument("ports", nargs="*", metavar="PORT", help="only these; also socket:// and rfc2217://")
    one.add_argument("--baud", type=int, action="append", help="only this speed (may be given again)")
    one.add_argument("--seconds", type=float, default=3.0, help="how long at each speed")
    one.add_argument("--formats", metavar="FOLDER", help="a folder with line formats of your own")
    one.add_argument("--write", metavar="FILE", help="add the device to this bench file")
    one.add_argument("--name", help="what the device is called there")
    one.set_defaults(run=run_listen)


def run_listen(args: argparse.Namespace, console: Console) -> int:
    """Listen on every port (or those named), show what each would read, write a section when told to."""

    say = partial(say_line, console)
    if args.write and (not args.name or len(args.ports) != 1):
        raise CommandError(
            "To write a section, name one port and the device: listen PORT --write FILE --name NAME."
        )
    formats = formats_with(Path(args.formats) if args.formats else None)
    heard = listen_on(
        args.ports or None, bauds=args.baud or BAUDS, seconds=args.seconds, formats=formats, progress=say
    )
    if not heard:
        say(
            "No serial port is there. Plug the device in, or name a port: benchapp listen socket://host:port."
        )
        return REFUSED
    for one in heard:
        _tell(one, say)
    if args.write:
        try:
            write_section(args.write, proposed_section(heard[0], args.name))
        except DriverError as error:
            raise CommandError(str(error)) from error
        say(
            f'{args.name} stands in {args.write} now. For a scale, add its capacity there: capacity = "3000 g".'
        )
    return DONE if any(h.fits for h in heard) else REFUSED


def _tell(heard: PortReport, say: Callable[[str], None]) -> None:
    speed = f", {heard.baud} baud" if heard.baud else ""
    asked = f", asked with {heard.asked}" if heard.asked else ""
    say(f"{heard.port} {heard.description}".rstrip() + speed + asked)
    if heard.trouble:
        say(f"  {heard.trouble}")
    for line in heard.lines[:3]:
        say(f"  it says: {line.decode('ascii', 'replace')}")
    for n, fit in enumerate(heard.fits):
        best = "fits best" if n == 0 else "fits too"
        say(f"  {best}: {fit.format}, a {fit.kind}, reading {'; '.join(fit.reads[:3])}")
    for misfit in heard.misfits:
        say(f"  does not fit: {misfit.format}: {misfit.why}")
